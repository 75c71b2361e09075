/* lesson_words.c - see lesson_words.h. */
#include "report/lesson_words.h"

const char *const cq_lesson_terms[][2] = {
    {"quench (yaki-ire)", "cooling hot steel fast, to harden it"},
    {"temper (yaki-modoshi)", "warming it afterwards: takes brittleness, and some hardness"},
    {"laying the clay (tsuchi-oki)", "coating the blade before the heat: thick on the back, thin or none at the edge"},
    {"wash", "thin clay, about 0.05 to 0.3 mm; thinner it is a film, thicker a coat"},
    {"hardening line (hamon)", "where the surface changes from hard to soft; half of it is martensite there"},
    {"hardened zone (yakiba)", "the steel between edge and line"},
    {"transition band (habuchi)", "the strip along the line in which hard and soft are mixed"},
    {"clay strips (ashi)", "thin stripes of clay across the edge, which leave soft fingers in the hard steel"},
    {"curve (sori), spine (mune), ridge (shinogi), groove (hi)", "shape of the blade"},
    {"austenite", "what steel is made of at hardening heat; it holds the carbon in solution"},
    {"martensite", "the hard structure it becomes when cooled past the nose; larger than what it came from"},
    {"fine pearlite (troostite)", "the soft, tough structure it becomes when cooled more slowly; larger, too"},
    {"bainite", "a structure between the two"},
    {"Ae1, Ms", "two temperatures: above the first austenite forms, below the second it turns to martensite"},
    {"nose", "the temperature at which austenite turns fastest"},
    {"critical rate", "how fast steel must fall from 750 to 500 °C to harden in full"},
    {"vapour film", "steam between hot face and water; poor carrier of heat"},
    {"wetting", "the film collapses and water touches the face, which then boils it off and cools fast"},
    {"soak", "holding at heat, until carbon is in solution"},
    {"spheroidised, normalised",
     "stock whose carbon lies in round grains that dissolve slowly; stock cooled in air from heat"},
    {"MW/m²", "heat that leaves a face: megawatts, a million watts, to the square metre"},
    {"HV, HRC", "Vickers and Rockwell hardness; Rockwell C has no value below 20"}};
const size_t cq_lesson_terms_n = sizeof cq_lesson_terms / sizeof cq_lesson_terms[0];
