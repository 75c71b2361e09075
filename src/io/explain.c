/* explain.c - what a key, a notice, a verdict or a result word means; the table of all keys. */
#include "io/fields.h"
#include "io/result.h"

#include "base/memory.h"

#include <clayquench/io.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

/* Words of results, which are no plan keys. */
static const struct {
    const char *word, *meaning;
} WORDS[] = {
    {"line", "where the hardening line (hamon) lies; null for a plate or round and for inert steel"},
    {"line.surface_mm",
     "height of the hardening line: going up from the edge flat, the first place where martensite at the steel's "
     "surface falls through one half; the lower of left and right; null if it is below one half at the edge or never "
     "falls"},
    {"line.left_mm", "the same on the left face, as seen from the heel toward the point, edge down"},
    {"line.right_mm", "the same on the right face"},
    {"line.mid_mm", "the same on the mid-plane"},
    {"mid-plane", "half-way between the two faces at every height; of a one-sided section it leans"},
    {"line.band_mm", "the transition band (habuchi): heights at the surface where martensite falls through 90 % and 10 "
                     "% of the edge's own"},
    {"line.ground_mm", "the line after finish.grind has been taken off each face"},
    {"line.crossings_mm", "every height where a face crosses one half martensite; of both faces where they differ"},
    {"line.verdict", "what kind of blade came out: no hard edge; hard right through; broken line; hard spine; faint "
                     "line; hard edge, soft back"},
    {"line.contrast_HV",
     "hardness of the edge minus that of the spine; of a double-edged section minus that of the body"},
    {"no hard edge", "verdict: the edge, 1 mm above the edge flat, is less than half martensite"},
    {"hard right through", "verdict: at least half martensite everywhere"},
    {"broken line", "verdict: a face crosses one half martensite more than twice"},
    {"hard spine",
     "verdict: the spine (mune), 1 mm inside, is at least half martensite; of a double-edged section the body"},
    {"faint line",
     "verdict: edge and spine (of a double-edged section edge and body) differ by less than 120 HV: the line "
     "will hardly etch"},
    {"hard edge, soft back", "verdict: none of the other kinds, what the smith is after"},
    {"edge",
     "of a result: hardness and structure 1 mm above the edge flat on the mid-plane; the surface of a plate or round"},
    {"body", "of a result: hardness and structure at mid-height on the mid-plane; the centre of a plate or round"},
    {"spine", "of a result: hardness and structure 1 mm below the spine flat on the mid-plane, of a double-edged "
              "section 1 mm inside "
              "the second edge; null for a plate or round"},
    {"edge_after_temper", "hardness of the edge after the tempers of the plan"},
    {"spine_after_temper", "hardness of the spine after the tempers of the plan"},
    {"HV", "Vickers hardness"},
    {"HRC", "Rockwell C hardness, from HV; null below 20, where its scale ends"},
    {"martensite", "share of the hard structure formed below Ms; auto-tempered martensite is counted in"},
    {"retained_austenite", "share of austenite still there at room temperature"},
    {"pearlite", "share of lamellar soft structure; fine pearlite (troostite) included"},
    {"bainite", "share of the structure between pearlite and martensite"},
    {"ferrite_cementite", "share of pro-eutectoid ferrite or cementite, and of what the soak left untransformed"},
    {"critical_rate_K_s",
     "constant cooling rate from the soak at which pearlite, bainite and ferrite_cementite together reach 3 %"},
    {"film",
     "vapour film at edge, body and spine: none (wet from the start), collapsed at time_s, or persisted to the end"},
    {"curve.rise_mm", "curve (sori) of the blade over blade.length as quenched, at 20 °C: + toward the spine, edge "
                      "convex; null: length or "
                      "strength of the steel is not stated, or a plate or round"},
    {"curve.low_mm",
     "lower end of the curve's band: half of it, at least 3 mm on 700 mm, by the square of the length; of "
     "oil five times the curve"},
    {"curve.high_mm", "upper end of the curve's band; see curve.low_mm"},
    {"curve.side_bend_mm", "the same sideways, + toward the right; not 0 only where the sides differ"},
    {"curve.radius_mm", "radius of the curve"},
    {"curve.direction_only", "true where the blade saw oil alone: trust the direction, not the size"},
    {"curve.tempered_mm",
     "curve after the plan's tempers; with tempered_low_mm, tempered_high_mm, tempered_side_bend_mm"},
    {"curve.precurve_mm", "curve to forge in before the quench, so that finish.curve is left after the tempers"},
    {"curve.found_mm", "rise that the blade had before this heat, from the plan's earlier heats: part of rise_mm"},
    {"curve.turns", "of a result: dips toward the edge and crests toward the spine on the way"},
    {"curve.history", "of a result: curvature, rise and side bend against time; the last entry is the blade at 20 °C"},
    {"stress",
     "of a result: stress along the blade as quenched, below 0 pressed together: mean of the hard zone "
     "(edge_MPa), least at its faces, least and most of the section, mean of the hard zone after the tempers"},
    {"crack.class",
     "low, medium or high: an estimate that ranks quenches, not a clearance. From 100 MPa of "
     "crack.index_MPa on medium, "
     "from 400 MPa on high (both chosen here); it ranks quenches of one steel, not steels; null for a steel that does "
     "not harden"},
    {"crack.index_MPa", "largest tension on cold fresh martensite times its share, weighed by finish (blade.surface), "
                        "thickness there, carbon in solution and grain"},
    {"crack.advice",
     "of quench --advise, where the class is medium or high: the one change of pull time, bath temperature, edge "
     "thickness, height of the clay's rim or soak temperature that lowers crack.index_MPa most, found by running them: "
     "change, from, to, unit, class, index_MPa, line_mm; tried: all of them, best first. A change that loses the hard "
     "edge (loses_edge) or the line (hides_line) stands behind all that keep them. null: not asked for. An estimate"},
    {"crack.reason", "where, when and why the index was reached"},
    {"crack.since_s", "first second at which the index passed its class's limit (100 or 400 MPa); null where low"},
    {"crack.time_s", "first second at which the index was within a twentieth of its largest value"},
    {"heats", "of a result: one entry per heat of the plan: temperature, steps, line, hardness, crack class, rise as "
              "quenched, and kept_mm, the rise a next heat would find"},
    {"tempers", "of a result: hardness, curve and mean stress of the hard zone after each temper"},
    {"wear",
     "of a result: millimetres from the edge flat up, after the tempers, until sharpening meets steel softer than "
     "finish.wear-to (HRC), on the hard face of a skin on one side, else on the mid-plane; null with throughout "
     "true: it never does; null with false: no line to speak of"},
    {"crack-carbon",
     "notice: steel of 0.9 % carbon or more, hard, in water: its martensite forms late and the index finds "
     "little tension, but practice knows such steels to crack most (common practice, no source). Do not take the class "
     "for safe; compare classes within one steel only"},
    {"force-balance", "notice: force and moments along the blade were not brought to balance"},
    {"probes", "of a result: name of each recorded place with time_s, temp_C and t500_s"},
    {"t500_s", "first time the place falls through 500 °C"},
    {"energy.imbalance", "heat that left through the faces against the fall of the heat content, as a share of the "
                         "former: how well the run closes"},
    {"solver.steps", "time steps that were accepted"},
    {"solver.rejected", "time steps that were tried and taken back"},
    {"solver.cells", "cells of steel and clay"},
    {"solver.core_s", "processor time of the time loop"},
    {"solver.precision", "kind of numbers computed with"},
    {"curves",
     "of a bath: heat drawn from clean and scaled steel and under clay in a steady state, against the temperature "
     "of the steel under its layer (steel_C); face_C is the wet face's; flux_MW_m2, and h_kW_m2K over steel minus "
     "bath. Where two states can stand, the hotter"},
    {"film_until_C", "of a bath's curve: outer face temperature at which its vapour film ends; null if none at 900 °C"},
    {"probe",
     "of a bath: standard probe, alloy 600, 12.5 x 60 mm, from 850 °C, thermocouple in the centre, computed as an "
     "endless round: t600_s, t400_s, t200_s, peak_rate_K_s, peak_at_C, rate_300_K_s and the curves"},
    {"silver_probe",
     "of a bath: silver, 10 x 30 mm, from 800 °C, thermocouple at the surface; its first 0.08 s, in which the "
     "skin jumps, has no rate"},
    {"grossmann_H_in",
     "of a bath: severity H = h/(2 k) per inch, h from the standard probe's rate as it falls through 705 °C, k "
     "30 W/m/K; for ranking only"},
    {"severity",
     "of a bath: it and the shipped ones, still and at their own temperatures, by the standard probe's "
     "seconds to 400 °C; where film_at_705_C is true the film decides that order, under thin clay washed_s"},
    {"fastest", "of a clay in a bath: the thickness under which a 3 mm plate falls fastest from 750 to 500 °C, its "
                "resistance, its "
                "seconds and its gain over bare steel; null if none gains a twentieth, and in a gas"},
    {"slower_from_mm", "of a clay in a bath: from this thickness on it cools slower than bare steel"},
    {"notices", "what the run noticed: code, count, sentence"},
    {"cautions", "what to mind with this bath, clay and timeline"},
    {"layouts", "of lay: the layout found, then the runner-up: wash from the edge to the rim, ramp from there, body "
                "above; what the "
                "plan as written makes of it (as_planned); chance and misses among samples of the plan's tolerances"},
    {"chance", "of a layout: share of the samples that meet the whole wish, and the interval that holds the true share "
               "nine times in ten"},
    {"reason",
     "of lay: found, no-hard-edge, hard-right-through, lowest-line, highest-line, jump, soft-edge, hard-spine, "
     "faint-line or failed; the sentence says it in words"},
    {"changes", "of lay: single changes of the plan with which a layout reaches the line"},
    {"wash", "clay of 0.05 to 0.3 mm brushed on the edge; thinner it is a film"},
    {"rim", "height at which the wash ends and the ramp to the body's clay begins"},
    {"causes",
     "of why: each with its best change, likelihood of what was seen, weight and the shop test that would show it"},
    {"weight",
     "of a cause: likelihood times exp(-off^2/2), as a share of all causes: it ranks them, it is no probability"},
    {"off", "of a change: how far it lies from the plan, in what is usual (standard deviations)"},
    {"varied", "of a comparison: the keys that were varied, with their values as written"},
    {"rows", "of a comparison or map: one per run, with the keys of a single run's result as far as they are kept"},
    {"line_mm", "of a map: height of the line, a list for each value up with an entry for each value across"},
    {"hamon", "hardening line: the border of the hardened zone as it shows on the polished blade"},
    {"yakiba", "hardened zone, from the edge up to the line"},
    {"habuchi", "transition band between hardened zone and soft back"},
    {"sori", "curve of the blade"},
    {"mune", "spine, the back of the blade"},
    {"shinogi", "ridge of a ridged, one-sided or double-edged section: blade.ridge"},
    {"hi", "groove along the blade: blade.groove"},
    {"ashi", "clay strips across the edge"},
    {"tsuchi-oki", "laying the clay"},
    {"yaki-ire", "the quench"},
    {"yaki-modoshi", "the temper"},
    {"critical_rates", "of a steel: constant cooling rates at which 3, 50 and 97 % of the whole steel end soft, what "
                       "the soak did not turn "
                       "counted in: full_K_s, half_K_s, none_K_s; null where the soak leaves more soft than that"},
    {"critical_sizes",
     "of a steel: largest round and plate that harden to half martensite at the centre, per bath, with the "
     "band that holds two heats in three"},
    {"end_quench",
     "of a steel: the end-quench (Jominy) bar: hardness and cooling rate at 700 °C against the distance from "
     "the quenched end"},
    {"soak_ladder", "of a steel: what soaks from 740 to 860 °C leave, for two or three starting structures"},
    {"soak_effect",
     "of a steel: share by which 10 K more of soak change the thickness that hardens, with its band; null "
     "where part of the steel does not turn"},
    {"isothermal",
     "of a steel: seconds at constant temperature until 1, 50 and 99 % have formed; measured: the steel's own "
     "diagram, null if it has none"},
    {"continuous", "of a steel: where transformation begins and ends at constant cooling rates, and what comes of it"},
    {"cooling", "of a steel: centre of a plate of 4 mm in each bath, and under clay"},
    {"temperatures",
     "of a steel: Ac1, Ac3 or Acm and Bs at equilibrium; martensite begins (Ms), half (M50), nine tenths (M90)"},
    {"as_quenched", "of a steel: hardness of a full quench, retained austenite counted in"},
    {"soak-hot", "notice: the soak is above 870 °C, where the grain coarsens"},
    {"rim-sloped", "notice: a vertical step of clay was sloped to 45 degrees about its middle, as wet clay would be"},
    {"cooled-in-air",
     "notice: after the last step the blade was followed in still air to 25 °C before hardness was read"},
    {"start-austenitic", "notice: start: takes the steel as fully austenitic"},
    {"steps", "of a result: temperatures of edge, body, spine and bath at the end of each step"},
    {"seconds", "of a result: temperatures of edge, body and spine at every full second, ten minutes at most"},
    {"self_tempering_HRC", "what the edge's martensite lost to heat that came back while it cooled"},
    {"spine_austenite", "share of the spine that turned to austenite at heat"},
    {"soak-too-cold", "notice: the soak is below Ac1; nothing hardens"},
    {"soak-partial", "notice: too cold or too short for all of the steel to turn; the rest stays soft, also where a "
                     "verdict says hard, which is half martensite or more"},
    {"stays-austenite", "notice: of a steel: martensite would begin below room temperature; it stays austenite"},
    {"isothermal-shape",
     "notice: starts or ends of a measured diagram are more than twice, or less than half, of what the laws' exponents "
     "make of its halves; the halves hold"},
    {"soak-near-ac1", "notice: the soak is less than 25 K above Ac1, where a small error decides"},
    {"soak-short", "notice: spheroidised stock held under 10 min"},
    {"until-missed", "notice: the steel stopped cooling above the temperature a step was to end at"},
    {"energy-open", "notice: the run's books close to no better than 0.2 %"},
    {"times-after-end", "notice: times to record that lie after the end of the last step"},
    {"frames-cut", "notice: more times were asked for than fields are kept"},
    {"more-notices", "notice: there were more notices than the list holds"},
    {"grain-coarse", "notice: the grain grows by 1.5 ASTM numbers or more"},
    {"carbide-left", "notice: the soak leaves carbide undissolved"},
    {"composition-range", "notice: composition outside the range the transformation laws were fitted on"},
    {"table-range", "notice: faces were hotter or colder than the table of a bath goes; its end value was held there"},
    {"clay-dried", "notice: wet clay thicknesses were multiplied by the drying factor"},
    {"face-balance", "notice: at some moments the temperature of an outer face was found only roughly. While the "
                     "energy imbalance stays "
                     "below 0.2 % it moves no answer; above, run with grid: {refine: 2}"},
    {"bath-warmed", "notice: what the blade gave off warmed a bath of a stated volume by 1 K or more"},
    {"bath-range",
     "notice: a bath of a stated volume warmed beyond the range of its description: the law was carried on"},
    {"bath-boils", "notice: a bath of water came to the boil; more heat was taken to make steam"},
    {"clay-lost", "notice: a patch of clay fell off as the plan says"},
    {"clay-not-lost", "notice: a patch of clay was to fall off after the end of the last step, and stayed on"},
    {"no-clay-there", "notice: a patch was to fall off where there is no clay"},
    {"wet-blade", "notice: water clung to a blade pulled from water and boiled off in the air"},
    {"washed_s", "of a bath's severity: seconds a 3 mm plate under 0.05 mm of clay takes from 750 to 500 °C"},
    {"film_s", "of a bath: how long a vapour film stands on the bare standard probe; null: none"},
    {"film_at_705_C",
     "of a bath: the standard probe's centre still cools as its vapour film lets it when it falls through 705 °C, so "
     "that grossmann_H_in is the film's"},
    {"weld-sharp", "notice: zones without welding heats: the steels meet within one cell, as no weld does"},
    {"carbon-spread", "notice: width of what carbon crosses a weld in the welding and forging heats, from nine tenths "
                      "of the step to one "
                      "tenth"},
    {"skin-left", "notice: finish.grind leaves some of the skin that has lost its carbon"},
    {"judged-by-colour", "notice: what colour the heat has in the light it is judged in, and what the eye errs by"},
    {"skin-through", "notice: the skin is half the edge thick or more; its law is that of a thick piece"},
    {"zones-swapped", "notice: the steel called hard has less carbon than the one called soft"},
    {"zones-edge-soft", "notice: at the edge of the finished section lies soft steel"},
    {"line-of-weld", "notice: the line is where a weld comes to the face, wherever the quench hardened to"},
    {"no-line", "notice: of several steels: the faces are hard, or soft, from edge to spine"},
    {"fire-too-hot", "notice: in the fire the edge overshot what was aimed at by more than 10 K"},
    {"fire-too-short", "notice: leaving the fire the edge is more than 10 K short of what was aimed at"},
    {"fire-uneven", "notice: leaving the fire edge and spine differ by more than 10 K"},
    {"build", "of a result: how a section of several steels is put together; null for one steel"},
    {"build.spread_mm", "the same width as the notice carbon-spread; null without welding heats"},
    {"build.mean_carbon_wt",
     "carbon of the whole section after the welding heats; mean_carbon_before_wt: before them. They agree: what leaves "
     "one steel is in the other"},
    {"build.classes", "laws of transformation in use: cells of nearly the same carbon and heating share one"},
    {"core-with-jacket", "construction: hard steel in the middle, soft steel on both faces; the edge is ground out of "
                         "the core"},
    {"skin-on-one-side", "construction: hard steel laid along one face, soft steel behind it; the edge is read on "
                         "that face"},
    {"edge-inlay", "construction: a strip of hard steel let into the edge of a soft back"},
    {"wrapped", "construction: soft steel wrapped round hard, open at the edge"},
    {"soft-core", "construction: hard steel round a soft core that ends at the spine"},
    {"back-and-edge", "construction: a bar of hard steel welded to a soft back, edge on"},
    {"pieces", "construction: zones with outlines of their own"},
    {"skin.file", "hardness a file meets at the edge's face, 0.02 mm deep, where it hardened through: martensite of "
                  "the carbon there; skin.file_ground after finish.grind"},
    {"fire", "of a result: hottest edge and spine became in the fire and the grain there; null without heat.fire"},
    {"history-cut", "notice: memory ran short and temperature histories are incomplete"},
};
enum { WORDS_N = sizeof WORDS / sizeof WORDS[0] };

void cq_text_free(char *text) {
    cq_memory_free(text);
}

/* The text as the caller's own; CQ_ERR_MEMORY if it could not be built. */
static cq_status hand_over(cq_text *t, char **text) {
    if (t->failed || t->bytes == NULL) {
        cq_memory_free(t->bytes);
        return CQ_ERR_MEMORY;
    }
    if (t->length > 0 && t->bytes[t->length - 1] == '\n') { /* whoever prints it ends the line */
        t->bytes[t->length - 1] = '\0';
    }
    *text = t->bytes;
    return CQ_OK;
}

/* "clay.coat.2.at" asks for "clay.coat.N.at". */
static void generalise(const char *word, char *to, size_t size) {
    size_t n = 0;
    for (const char *p = word; *p != '\0' && n + 1 < size; p++) {
        const bool number = *p >= '0' && *p <= '9' && p != word && p[-1] == '.';
        to[n++] = *p;
        if (number) {
            to[n - 1] = 'N';
            p += strspn(p, "0123456789") - 1;
        }
    }
    to[n] = '\0';
}

static void field_path(const cq_field *f, char to[128]) {
    snprintf(to, 128, "%s%s", cq_owner_path(f->owner), f->key);
}

/* True if `asked` is the path or what stands behind its last dot. */
static bool answers(const char *path, const char *asked) {
    const char *dot = strrchr(path, '.');
    return strcmp(path, asked) == 0 || (dot != NULL && strcmp(dot + 1, asked) == 0);
}

/* "0.2 mm" of a quantity, "8" of a number. */
static char *value_text(const cq_field *f, double value, char *to, size_t size) {
    if (f->kind == CQ_FIELD_NUMBER || f->kind == CQ_FIELD_INTEGER) {
        snprintf(to, size, "%.4g", value);
        return to;
    }
    return cq_quantity_text(value, f->dimension, to, size);
}

static const char *kind_words(const cq_field *f, char *to, size_t size) {
    switch (f->kind) {
    case CQ_FIELD_QUANTITY:
    case CQ_FIELD_PERCENT:
    case CQ_FIELD_TOLD:
        return cq_dimension_words(f->dimension);
    case CQ_FIELD_TABLE:
        snprintf(to, size, "%s, or [temperature, value] pairs", cq_dimension_words(f->dimension));
        return to;
    case CQ_FIELD_CHOICE:
        return cq_choice_list(f->choices, to, size);
    case CQ_FIELD_TEXT:
        return f->choices == NULL ? "text" : cq_choice_list(f->choices, to, size);
    case CQ_FIELD_INTEGER:
        return "a whole number";
    case CQ_FIELD_NUMBER:
        return "a number without unit";
    case CQ_FIELD_FLAG:
        return "true or false";
    case CQ_FIELD_OWN:
        return f->owner == CQ_OWNER_TOLERANCES ? cq_dimension_words(f->dimension) : "";
    case CQ_FIELD_RESERVED:
        return "reserved for a later version";
    }
    return "";
}

static void range_words(const cq_field *f, char *to, size_t size) {
    char low[48], high[48];
    to[0] = '\0';
    if (f->least < f->most) {
        snprintf(to, size, "%s to %s", value_text(f, f->least, low, sizeof low),
                 value_text(f, f->most, high, sizeof high));
    }
}

/* Keys of the mapping that stands under a field, if it is one. */
static void add_keys(cq_text *t, const char *path) {
    for (int owner = 0; owner < CQ_OWNERS; owner++) {
        const char *under = cq_owner_path((cq_owner)owner);
        const size_t n = strlen(path);
        if (strncmp(under, path, n) == 0 && (strcmp(under + n, ".") == 0 || strcmp(under + n, ".N.") == 0)) {
            char keys[512];
            cq_text_add(t, "    keys: %s\n", cq_field_list((cq_owner)owner, keys, sizeof keys));
        }
    }
}

static void describe(cq_text *t, const cq_field *f) {
    char path[128], kind[160] = "", range[128], fallback[48];
    field_path(f, path);
    cq_text_add(t, "%s: %s.\n", path, f->words);
    const char *what = kind_words(f, kind, sizeof kind);
    if (what[0] != '\0') {
        cq_text_add(t, "    %s\n", what);
    }
    range_words(f, range, sizeof range);
    if (range[0] != '\0') {
        cq_text_add(t, "    from %s\n", range);
    }
    if (!isnan(f->fallback)) {
        cq_text_add(t, "    default: %s\n", value_text(f, f->fallback, fallback, sizeof fallback));
    }
    if (f->later != NULL) {
        cq_text_add(t, "    in a later version: %s\n", cq_choice_list(f->later, kind, sizeof kind));
    }
    add_keys(t, path);
}

/* The word nearest in spelling to what was asked. */
static void find_nearest(const char *asked, char nearest[64]) {
    size_t best = strlen(asked) / 2 + 1;
    nearest[0] = '\0';
    for (size_t f = 0; f < CQ_FIELDS_N; f++) {
        char path[128];
        field_path(&CQ_FIELDS[f], path);
        size_t distance = cq_word_distance(asked, path);
        const size_t short_distance = cq_word_distance(asked, CQ_FIELDS[f].key);
        distance = short_distance < distance ? short_distance : distance;
        if (distance < best) {
            best = distance;
            snprintf(nearest, 64, "%.63s", path);
        }
    }
    for (size_t w = 0; w < WORDS_N; w++) {
        const char *dot = strrchr(WORDS[w].word, '.');
        size_t distance = cq_word_distance(asked, WORDS[w].word);
        const size_t short_distance = dot == NULL ? distance : cq_word_distance(asked, dot + 1);
        distance = short_distance < distance ? short_distance : distance;
        if (distance < best) {
            best = distance;
            snprintf(nearest, 64, "%.63s", WORDS[w].word);
        }
    }
}

cq_status cq_explain(const char *word, char **text, char nearest[64]) {
    char asked[160];
    cq_text t = {NULL, 0, 0, false};
    *text = NULL;
    nearest[0] = '\0';
    generalise(word, asked, sizeof asked);
    if (strncmp(asked, "heats.N.", 8) == 0 &&
        strchr(asked + 8, '.') != NULL) { /* heats.0.steps.1.at is as steps.1.at */
        memmove(asked, asked + 8, strlen(asked + 8) + 1);
    }
    for (size_t f = 0; f < CQ_FIELDS_N; f++) {
        char path[128];
        field_path(&CQ_FIELDS[f], path);
        if (answers(path, asked)) {
            describe(&t, &CQ_FIELDS[f]);
        }
    }
    for (size_t w = 0; w < WORDS_N; w++) {
        if (answers(WORDS[w].word, word)) {
            cq_text_add(&t, "%s: %s.\n", WORDS[w].word, WORDS[w].meaning);
        }
    }
    if (t.bytes == NULL && !t.failed) {
        find_nearest(asked, nearest);
        return CQ_ERR_ARGUMENT;
    }
    return hand_over(&t, text);
}

cq_status cq_key_table_markdown(char **text) {
    cq_text t = {NULL, 0, 0, false};
    cq_text_add(&t, "| key | what to write | range | default | meaning |\n|---|---|---|---|---|\n");
    for (size_t f = 0; f < CQ_FIELDS_N; f++) {
        const cq_field *field = &CQ_FIELDS[f];
        char path[128], kind[160], range[128], fallback[48] = "";
        field_path(field, path);
        range_words(field, range, sizeof range);
        if (!isnan(field->fallback)) {
            value_text(field, field->fallback, fallback, sizeof fallback);
        }
        cq_text_add(&t, "| `%s` | %s | %s | %s | %s |\n", path, kind_words(field, kind, sizeof kind), range, fallback,
                    field->words);
    }
    return hand_over(&t, text);
}
