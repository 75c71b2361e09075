/* bath_screen.c - a bath's card on one screen of 24 lines; where a long caution needs the room, the silver probe and
 * then the ranks' second figure are left to JSON. */
#include "report/bath_words.h"

#include "base/memory.h"
#include "report/words.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { COLUMNS = CQ_SCREEN_COLUMNS, WORDS = 48 };

static const double ZERO_C = 273.15, INCH = 0.0254;

static double shown_temperature(double kelvin, cq_unit_system units) {
    const double celsius = kelvin - ZERO_C;
    return units == CQ_UNITS_US ? 1.8 * celsius + 32.0 : celsius;
}

static const char *degree(cq_unit_system units) {
    return units == CQ_UNITS_US ? "°F" : "°C";
}

/* "0.05 mm", "0.002 in", two digits. */
static const char *length_words(double metres, cq_unit_system units, char to[WORDS]) {
    snprintf(to, WORDS, units == CQ_UNITS_US ? "%.2g in" : "%.2g mm",
             units == CQ_UNITS_US ? metres / INCH : 1e3 * metres);
    return to;
}

/* ---- the sentence ------------------------------------------------------------------------------------------------ */

const cq_card_clay *cq_bath_best_clay(const cq_bath_card *card) {
    const cq_card_clay *best = NULL;
    for (size_t n = 0; n < card->clays_n; n++) {
        const cq_card_clay *c = &card->clays[n];
        if (c->has_best && (best == NULL || c->bare_s / c->best_s > best->bare_s / best->best_s)) {
            best = c;
        }
    }
    return best;
}

/* The curve of a name; the bare one that carries scale, or the clean one, for NULL. */
static const cq_card_curve *curve_of(const cq_bath_card *card, const char *name) {
    const cq_card_curve *found = &card->curves[0];
    for (size_t n = 0; n < card->curves_n; n++) {
        const cq_card_curve *c = &card->curves[n];
        found = (name == NULL ? strcmp(c->name, "scaled steel") == 0 : strcmp(c->name, name) == 0) ? c : found;
    }
    return found;
}

/* In a gas nothing wets and no film breaks: a coat acts by its emissivity and by what it holds back. */
static void gas_sentence(const cq_bath_card *card, cq_unit_system units, char to[CQ_BATH_SENTENCE]) {
    const cq_card_clay *c = NULL;
    size_t best = 0;
    for (size_t n = 0; n < card->clays_n; n++) {
        for (size_t i = 1; i < card->clays[n].n; i++) {
            if (card->clays[n].seconds[i] < (c == NULL ? card->clays[n].bare_s : c->seconds[best])) {
                c = &card->clays[n];
                best = i;
            }
        }
    }
    char plate[WORDS];
    if (c == NULL) {
        snprintf(to, CQ_BATH_SENTENCE, "There is no vapour film to break in a gas: clay only slows.");
        return;
    }
    snprintf(
        to, CQ_BATH_SENTENCE,
        "There is no vapour film to break in a gas. A thin coat only radiates a little more than bare steel (%.1f s "
        "against %.1f s for a %s plate from %.0f to %.0f %s), a thick one slows.",
        c->seconds[best], c->bare_s, length_words(card->plate_m, units, plate),
        shown_temperature(750.0 + ZERO_C, units), shown_temperature(500.0 + ZERO_C, units), degree(units));
}

void cq_bath_sentence(const cq_bath_card *card, cq_unit_system units, char to[CQ_BATH_SENTENCE]) {
    const cq_card_clay *c = cq_bath_best_clay(card);
    if (card->kind == CQ_BATH_GAS) {
        gas_sentence(card, units, to);
        return;
    }
    char plate[WORDS], best[WORDS], even[2 * WORDS] = "";
    const bool film = !isnan(curve_of(card, NULL)->rewetting_K);
    if (c == NULL) {
        snprintf(to, CQ_BATH_SENTENCE, "No clay is faster than bare steel here: %s, and every coat only slows.",
                 film ? "no coat breaks the vapour film before its own resistance slows it"
                      : "there is no vapour film for a thin coat to break");
        return;
    }
    const double clay_K = curve_of(card, c->name)->rewetting_K, bare_K = curve_of(card, NULL)->rewetting_K;
    const bool wets_earlier = film && (isnan(clay_K) || clay_K > bare_K + 1.0);
    if (!isnan(c->even_m)) {
        snprintf(even, sizeof even, " From %s on clay only slows.", length_words(c->even_m, units, plate));
    }
    if (c->bare_s < 1.15 * c->best_s) { /* less would not be seen on a blade */
        snprintf(to, CQ_BATH_SENTENCE,
                 "Thin clay hardly helps here: %s of %s at the best, %.2f s for a %s plate, bare %.2f s.%s",
                 length_words(c->best_m, units, best), c->name, c->best_s, length_words(card->plate_m, units, plate),
                 c->bare_s, even);
        return;
    }
    snprintf(to, CQ_BATH_SENTENCE,
             "Why thin clay hardens: under %s of %s a %s plate falls from %.0f to %.0f %s in %.2f s, bare in %.2f s, "
             "%.1f times "
             "faster: %s.%s",
             length_words(c->best_m, units, best), c->name, length_words(card->plate_m, units, plate),
             shown_temperature(750.0 + ZERO_C, units), shown_temperature(500.0 + ZERO_C, units), degree(units),
             c->best_s, c->bare_s, c->bare_s / c->best_s,
             wets_earlier ? "the bath wets clay while a vapour film still covers bare steel"
                          : "a coat's face is colder, where the bath draws more",
             even);
}

/* ---- tables ------------------------------------------------------------------------------------------------------ */

static double flux_at(const cq_card_curve *c, double steel_K) {
    for (size_t i = 0; i + 1 < c->n; i++) {
        if (c->steel_K[i] <= steel_K && c->steel_K[i + 1] >= steel_K) {
            const double u = (steel_K - c->steel_K[i]) / (c->steel_K[i + 1] - c->steel_K[i]);
            return c->flux_W_m2[i] + u * (c->flux_W_m2[i + 1] - c->flux_W_m2[i]);
        }
    }
    return NAN;
}

static void add_curves(cq_text *t, const cq_bath_card *card, cq_unit_system units) {
    static const double metric_C[] = {850, 800, 700, 600, 500, 400, 300, 200},
                        us_C[] = {1600, 1500, 1300, 1100, 900, 700, 550, 400};
    enum { COLUMNS_N = 8 };
    const bool us = units == CQ_UNITS_US;
    cq_text_add(t, "h, kW/m²K, at steel %s        ", degree(units));
    for (int n = 0; n < COLUMNS_N; n++) {
        cq_text_add(t, "%5.0f", us ? us_C[n] : metric_C[n]);
    }
    cq_text_add(t, " film to\n");
    for (size_t c = 0; c < card->curves_n; c++) {
        const cq_card_curve *curve = &card->curves[c];
        char name[96], layer[WORDS] = "";
        if (curve->layer_m > 0.0) {
            length_words(curve->layer_m, units, layer);
        }
        snprintf(name, sizeof name, "%.19s %s", curve->name, layer);
        cq_text_add(t, "  %-28.28s", name);
        for (int n = 0; n < COLUMNS_N; n++) {
            const double steel_K = ZERO_C + (us ? (us_C[n] - 32.0) / 1.8 : metric_C[n]);
            const double h = 1e-3 * flux_at(curve, steel_K) / (steel_K - card->at_K);
            if (isfinite(h) && steel_K > card->at_K + 20.0) {
                cq_text_add(t, h < 0.995 ? " %4.2f" : " %4.1f", h);
            } else {
                cq_text_add(t, "    -");
            }
        }
        if (isnan(curve->film_end_K)) {
            cq_text_add(t, "    none\n");
        } else {
            cq_text_add(t, " %4.0f %s\n", shown_temperature(curve->film_end_K, units), degree(units));
        }
    }
}

static void seconds_words(double seconds, char to[WORDS]) {
    if (isnan(seconds)) {
        snprintf(to, WORDS, "never");
    } else {
        snprintf(to, WORDS, "%.*f", seconds < 0.995 ? 2 : seconds < 99.5, seconds);
    }
}

static void add_probe(cq_text *t, const char *name, const cq_card_probe *p, cq_unit_system units) {
    const double seconds[] = {p->t600_s, p->t400_s, p->t200_s}, per = units == CQ_UNITS_US ? 1.8 : 1.0;
    char time[WORDS], late[WORDS] = "-";
    cq_text_add(t, "  %-22s", name);
    for (int i = 0; i < 3; i++) {
        seconds_words(seconds[i], time);
        cq_text_add(t, " %6s", time);
    }
    if (!isnan(p->rate_300_K_s)) {
        snprintf(late, sizeof late, "%.*f %s/s", per * p->rate_300_K_s < 10.0, per * p->rate_300_K_s, degree(units));
    }
    cq_text_add(t, "   %.*f %s/s at %.0f %s, %s\n", per * p->peak_rate_K_s < 10.0, per * p->peak_rate_K_s,
                degree(units), shown_temperature(p->peak_at_K, units), degree(units), late);
}

static void add_probes(cq_text *t, const cq_bath_card *card, cq_unit_system units, bool silver) {
    cq_text_add(t, "Probe, s to %s          ", degree(units));
    for (int i = 0; i < 3; i++) {
        cq_text_add(t, " %6.0f", shown_temperature(600.0 - 200.0 * i + ZERO_C, units));
    }
    cq_text_add(t, "   fastest, and at %.0f %s\n", shown_temperature(300.0 + ZERO_C, units), degree(units));
    add_probe(t, "standard, centre", &card->probe, units);
    if (silver) {
        add_probe(t, "silver, surface", &card->silver, units);
    }
}

/* "brine-10 2.4/0.52, [water 40 °C* 11.1/0.53], ...": a temperature where two baths share the card's name. */
static size_t rank_words(const cq_bath_card *card, cq_unit_system units, bool washed, char to[900]) {
    size_t n = 0, films = 0;
    to[0] = '\0';
    for (size_t r = 0; r < card->ranks_n && n + 128 < 900; r++) {
        const cq_card_rank *rank = &card->ranks[r];
        char bare[WORDS], at[WORDS] = "", under[WORDS + 1] = "";
        films += rank->film;
        seconds_words(rank->t400_s, bare);
        if (strcmp(rank->name, card->name) == 0) {
            snprintf(at, sizeof at, " %.0f %s", shown_temperature(rank->at_K, units), degree(units));
        }
        if (washed) {
            under[0] = '/';
            seconds_words(rank->washed_s, under + 1);
        }
        n += (size_t)snprintf(to + n, 900 - n, "%s%s%.30s%s%s %s%s%s", r == 0 ? "" : ", ", rank->self ? "[" : "",
                              rank->name, at, rank->film ? "*" : "", bare, under, rank->self ? "]" : "");
    }
    return films;
}

/* Baths by the bare probe, with the washed plate beside it. A star where a film rules the probe at 705 degC: the order
 * there is the film's. */
static void add_ranks(cq_text *t, const cq_bath_card *card, cq_unit_system units, bool with_wash) {
    char words[900], film[160] = "", plate[192] = "", wash[WORDS], size[WORDS];
    const bool washed = with_wash && card->wash != NULL;
    if (card->grossmann_film) {
        snprintf(film, sizeof film, " at %.0f %s, which is the film's: it stands %.1f s",
                 shown_temperature(705.0 + ZERO_C, units), degree(units), card->film_s);
    }
    if (washed) {
        snprintf(plate, sizeof plate, " / %s plate under %s clay, %.0f to %.0f",
                 length_words(card->plate_m, units, size), length_words(card->wash_m, units, wash),
                 shown_temperature(750.0 + ZERO_C, units), shown_temperature(500.0 + ZERO_C, units));
    }
    const char *star = rank_words(card, units, washed, words) == 0 ? ""
                       : washed                                    ? " (* held up by its film: see the second figure)"
                                                                   : " (* held up by its film, which thin clay breaks)";
    cq_paragraph_add(t, COLUMNS, "Severity: ", "Grossmann H %.2f/in%s. Bare probe to %.0f %s%s, s: %s%s.",
                     card->grossmann_per_m * INCH, film, shown_temperature(400.0 + ZERO_C, units), degree(units), plate,
                     words, star);
}

static double seconds_at(const cq_card_clay *c, double coat_m) {
    for (size_t i = 0; i < c->n; i++) {
        if (fabs(c->coat_m[i] - coat_m) < 1e-9) {
            return c->seconds[i];
        }
    }
    return NAN;
}

static void add_clays(cq_text *t, const cq_bath_card *card, cq_unit_system units) {
    static const double mm[] = {0.0, 0.02, 0.05, 0.1, 0.2, 0.5, 1.0, 2.0};
    enum { COLUMNS_N = sizeof mm / sizeof mm[0] };
    const bool us = units == CQ_UNITS_US;
    char head[96];
    snprintf(head, sizeof head, "s, %.0f to %.0f %s; clay %s", shown_temperature(750.0 + ZERO_C, units),
             shown_temperature(500.0 + ZERO_C, units), degree(units), us ? "mil" : "mm");
    cq_text_add(t, "%-31s", head); /* the degree sign takes one byte more than columns */
    for (int n = 0; n < COLUMNS_N; n++) {
        cq_text_add(t, us ? " %4.1f" : " %4.3g", us ? 1e-3 * mm[n] / INCH * 1e3 : mm[n]);
    }
    cq_text_add(t, " best at\n");
    for (size_t c = 0; c < card->clays_n; c++) {
        const cq_card_clay *clay = &card->clays[c];
        cq_text_add(t, "  %-28.28s", clay->name);
        for (int n = 0; n < COLUMNS_N; n++) {
            const double s = seconds_at(clay, 1e-3 * mm[n]);
            cq_text_add(t, s < 9.95 ? " %4.2f" : s < 99.5 ? " %4.1f" : " %4.0f", s);
        }
        if (card->kind == CQ_BATH_GAS) {
            cq_text_add(t, " -\n");
        } else if (clay->has_best) {
            cq_text_add(t, us ? " %.2g mil\n" : " %.2g mm\n", us ? clay->best_m / INCH * 1e3 : 1e3 * clay->best_m);
        } else {
            cq_text_add(t, " bare\n");
        }
    }
}

static void add_all(cq_text *t, const cq_bath_card *card, cq_unit_system units, int left_out) {
    char sentence[CQ_BATH_SENTENCE], stream[WORDS] = "still";
    if (card->agitation_m_s > 0.0) {
        snprintf(stream, sizeof stream, units == CQ_UNITS_US ? "%.3g ft/s past the steel" : "%.3g m/s past the steel",
                 units == CQ_UNITS_US ? card->agitation_m_s / 0.3048 : card->agitation_m_s);
    }
    cq_paragraph_add(t, COLUMNS, "", "%.40s at %.0f %s, %s: %.120s", card->name, shown_temperature(card->at_K, units),
                     degree(units), stream, card->summary);
    add_curves(t, card, units);
    add_probes(t, card, units, left_out < 1);
    add_ranks(t, card, units, left_out < 2);
    add_clays(t, card, units);
    cq_bath_sentence(card, units, sentence);
    cq_paragraph_add(t, COLUMNS, "", "%s", sentence);
    if (card->cautions_n > 0) { /* the gravest; JSON has all */
        cq_paragraph_add(t, COLUMNS, "! ", "%s", card->cautions[0]);
    }
}

cq_status cq_report_bath_screen(const cq_bath_card *card, cq_unit_system units, char **text) {
    cq_text t = {NULL, 0, 0, false};
    int left_out = 0;
    do {
        t.length = 0;
        add_all(&t, card, units, left_out);
    } while (!t.failed && cq_text_lines(&t) > CQ_SCREEN_LINES && left_out++ < 2);
    if (t.failed) {
        cq_memory_free(t.bytes);
        return CQ_ERR_MEMORY;
    }
    *text = t.bytes;
    return CQ_OK;
}
