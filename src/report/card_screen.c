/* card_screen.c - a steel's card on one screen of 24 lines and 80 columns, in the trade's words; where it is crowded,
 * the second temper, then sentences of notices, then the end-quench bar are left to JSON and charts. */
#include "hardness/hardness.h"
#include "kinetics/kinetics.h"
#include "report/card_words.h"
#include "report/words.h"

#include "base/memory.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { COLUMNS = CQ_SCREEN_COLUMNS, NAME = 22, CELL = 6 };

/* What is left out, one after the other. */
enum { NOTHING, TWICE, NOTICES, BAR };

#define add_paragraph(text, ...) cq_paragraph_add(text, COLUMNS, __VA_ARGS__)

static double HRC_of(double HV) {
    return cq_hardness_HRC(HV);
}

/* One cell of a row, six columns; "-" where there is no value. */
static void add_cell(cq_text *t, const char *format, double value) {
    char words[32];
    snprintf(words, sizeof words, format, value);
    cq_text_add(t, "%*s", CELL, isnan(value) ? "-" : words);
}

/* A rate as far as it is known: no decimals above ten. */
static void rate_words(double rate, char to[32]) {
    snprintf(to, 32, isnan(rate) ? "-" : rate < 9.95 ? "%.1f" : "%.0f", rate);
}

/* A temperature; "-" where there is none. */
static const char *degree_words(double kelvin, cq_unit_system units, char to[32]) {
    snprintf(to, 32, isnan(kelvin) ? "-" : "%.0f", nearbyint(cq_card_degrees(kelvin, units)) + 0.0); /* no -0 */
    return to;
}

static void add_temperatures(cq_text *t, const cq_steel_card *c, cq_unit_system units) {
    const char *sign = cq_card_degree_sign(units);
    char Ms[32], M50[32], M90[32];
    add_paragraph(t, "", "Ac1 %.0f, %s %.0f; martensite begins (Ms) %s, half %s, nine tenths %s %s.",
                  cq_card_degrees(c->Ae1_K, units), c->upper_is_Acm ? "Acm" : "Ac3", cq_card_degrees(c->upper_K, units),
                  degree_words(c->state.Ms_K, units, Ms), degree_words(c->M50_K, units, M50),
                  degree_words(c->M90_K, units, M90), sign);
    char rate[3][32];
    const double rates[3] = {c->full_rate_K_s, c->half_rate_K_s, c->none_rate_K_s};
    for (int n = 0; n < 3; n++) {
        rate_words(cq_card_rate(rates[n], units), rate[n]);
    }
    add_paragraph(t, "", "Cooling rate that hardens in full %s, half %s; no martensite below %s %s/s.", rate[0],
                  rate[1], rate[2], sign);
}

static void add_temper(cq_text *t, const cq_steel_card *c, cq_unit_system units, bool twice) {
    static const int at[] = {2, 3, 4, 5, 6, 8, 12, 16, 20}; /* 150 to 600 degC of the card's 100 + 25 n */
    enum { N = sizeof at / sizeof at[0] };
    const cq_spot *s = &c->as_quenched;
    char HRC[32] = "";
    if (!isnan(s->HRC)) {
        snprintf(HRC, sizeof HRC, "%.1f HRC, ", s->HRC);
    }
    add_paragraph(t, "", "As quenched %s%.0f HV, retained austenite %.0f %%. HRC after tempers of 1 h:", HRC, s->HV,
                  100.0 * s->fraction[CQ_AUSTENITE]);
    cq_text_add(t, "  temper, %-*s", NAME - 10, cq_card_degree_sign(units));
    for (int n = 0; n < N; n++) {
        add_cell(t, "%.0f", cq_card_degrees(c->temper[at[n]].temp_K, units));
    }
    cq_text_add(t, "\n  %-*s", NAME - 3, "once");
    for (int n = 0; n < N; n++) {
        add_cell(t, "%.1f", HRC_of(c->temper[at[n]].once_HV));
    }
    if (twice) {
        cq_text_add(t, "\n  %-*s", NAME - 3, "twice");
    }
    for (int n = 0; twice && n < N; n++) {
        add_cell(t, "%.1f", HRC_of(c->temper[at[n]].twice_HV));
    }
    cq_text_add(t, "\n");
}

/* In mm or inch; the heading names the unit. */
static void size_words(const cq_critical_size *s, cq_unit_system units, char to[64]) {
    const double per_m = units == CQ_UNITS_US ? 1.0 / 0.0254 : 1e3;
    const int digits = units == CQ_UNITS_US ? 3 : 1;
    if (s->state == CQ_SIZE_FOUND) {
        snprintf(to, 64, "%.*f (%.*f to %.*f)", digits, per_m * s->size_m, digits, per_m * s->low_m, digits,
                 per_m * s->high_m);
    } else {
        const double at_m = s->state == CQ_SIZE_ANY ? CQ_CARD_LARGEST_M : CQ_CARD_SMALLEST_M;
        snprintf(to, 64, "%s %.*f", s->state == CQ_SIZE_ANY ? "over" : "under", digits, per_m * at_m);
    }
}

static void add_sizes(cq_text *t, const cq_steel_card *c, cq_unit_system units) {
    const char *unit = units == CQ_UNITS_US ? "in" : "mm";
    const double austenite = c->state.austenite;
    if (austenite > CQ_AUSTENITE_SEEN && austenite < CQ_AUSTENITE_WHOLE) {
        cq_text_add(t, "Largest with half martensite in the centre, %s (%.0f %% stays soft anywhere):\n", unit,
                    100.0 * (1.0 - austenite));
    } else {
        cq_text_add(t, "Largest that hardens to its centre, %s (half martensite; two heats in three):\n", unit);
    }
    for (size_t b = 0; b < c->baths_n; b++) {
        char round[64], plate[64], bath[96];
        size_words(&c->sizes[b].round, units, round);
        size_words(&c->sizes[b].plate, units, plate);
        snprintf(bath, sizeof bath, "%.40s %.0f %s", c->sizes[b].bath, cq_card_degrees(c->sizes[b].at_K, units),
                 cq_card_degree_sign(units));
        cq_text_add(t, "  %-*s round %-24s plate %s\n", NAME - 4, bath, round, plate);
    }
}

static void add_bar(cq_text *t, const cq_steel_card *c) {
    static const int at[] = {0, 2, 4, 6, 8, 10, 13, 15, 18}; /* J1 2 3 4 6 8 12 16 24 of the card's places */
    enum { N = sizeof at / sizeof at[0] };
    cq_text_add(t, "%-*s", NAME - 1, "End-quench bar, J");
    for (int n = 0; n < N; n++) {
        add_cell(t, "%.0f", c->end_quench[at[n]].distance_m / (25.4e-3 / 16.0));
    }
    cq_text_add(t, "\n  %-*s", NAME - 3, "HRC");
    for (int n = 0; n < N; n++) {
        add_cell(t, "%.0f", HRC_of(c->end_quench[at[n]].HV));
    }
    cq_text_add(t, "\n");
}

/* Rates in brackets: part of the steel has not turned. */
static void add_ladder(cq_text *t, const cq_steel_card *c, cq_unit_system units) {
    int parts = 0;
    cq_text_add(t, "%s%-*s", "Soak, ", NAME - 7, cq_card_degree_sign(units));
    for (int n = 0; n < CQ_CARD_LADDER; n++) {
        add_cell(t, "%.0f", cq_card_degrees(c->ladder[0].step[n].temperature_K, units));
    }
    cq_text_add(t, " %s/s for half\n", cq_card_degree_sign(units));
    for (size_t k = 0; k < c->structures_n; k++) {
        cq_text_add(t, "  %-*s", NAME - 3, cq_stock_words(c->ladder[k].stock));
        for (int n = 0; n < CQ_CARD_LADDER; n++) {
            const cq_card_state *s = &c->ladder[k].step[n];
            const bool part = s->austenite < CQ_AUSTENITE_WHOLE && !isnan(s->half_rate_K_s);
            char rate[32], words[40];
            rate_words(cq_card_rate(s->half_rate_K_s, units), rate);
            snprintf(words, sizeof words, part ? "(%s)" : "%s", rate);
            cq_text_add(t, "%*s", CELL, words);
            parts += part ? 1 : 0;
        }
        cq_text_add(t, k + 1 == c->structures_n && parts > 0 ? " (part turned)\n" : "\n");
    }
}

static void add_soak(cq_text *t, const cq_steel_card *c, cq_unit_system units) {
    const cq_card_state *s = &c->state;
    char soak[CQ_CARD_SENTENCE], austenite[32] = "all", carbide[48] = "";
    cq_card_soak_words(c, units, soak);
    if (!(s->austenite > CQ_AUSTENITE_SEEN)) {
        add_paragraph(t, "", "Soak %s: no austenite.", soak);
        return;
    }
    if (s->austenite < CQ_AUSTENITE_WHOLE) {
        snprintf(austenite, sizeof austenite, "%.0f %%", 100.0 * s->austenite);
    }
    if (s->carbide > 1e-3) {
        snprintf(carbide, sizeof carbide, " (%.1f %% carbide left)", 100.0 * s->carbide);
    }
    add_paragraph(t, "", "Soak %s: %s austenite, %.2f %% C dissolved%s, grain %.1f.", soak, austenite,
                  s->carbon_solution_wt, carbide, s->grain_ASTM);
}

/* Sentences, or words alone where they shall share a line. */
static void add_notices(cq_text *t, const cq_steel_card *c, bool folded) {
    char words[CQ_CARD_SENTENCE] = "";
    for (size_t n = 0; n < c->notices_n; n++) {
        const cq_notice *notice = &c->notices[n];
        const size_t used = strlen(words);
        if (strcmp(notice->code, "carbide-left") == 0) { /* told in the line of the soak */
            continue;
        }
        if (folded) {
            snprintf(words + used, sizeof words - used, "%s%s", used == 0 ? "" : ", ", notice->code);
        } else {
            add_paragraph(t, "* ", "%s: %s", notice->code, notice->sentence);
        }
    }
    if (words[0] != '\0') {
        add_paragraph(t, "* ", "%s ('clayquench explain WORD', --json)", words);
    }
}

static void add_all(cq_text *t, const cq_steel_card *c, cq_unit_system units, int left_out) {
    char words[CQ_CARD_SENTENCE];
    cq_card_composition_words(c, words);
    add_paragraph(t, "", "%s: %s", c->steel->name == NULL ? "Own steel" : c->steel->name, words);
    add_soak(t, c, units);
    cq_card_line_words(c, units, words);
    add_paragraph(t, "", "Hardening line (hamon): %s", words);
    add_temperatures(t, c, units);
    add_temper(t, c, units, left_out < TWICE);
    add_sizes(t, c, units);
    if (left_out < BAR) {
        add_bar(t, c);
    }
    add_ladder(t, c, units);
    cq_card_effect_words(c, units, words);
    add_paragraph(t, "", "%s", words);
    add_notices(t, c, left_out >= NOTICES);
    add_paragraph(t, "! ", "Estimates, not a clearance: heats differ; try a wedge of your own bar.");
}

cq_status cq_card_screen(const cq_steel_card *c, cq_unit_system units, char **text) {
    cq_text t = {NULL, 0, 0, false};
    int left_out = NOTHING;
    do {
        t.length = 0;
        add_all(&t, c, units, left_out);
    } while (!t.failed && cq_text_lines(&t) > CQ_SCREEN_LINES && left_out++ < BAR);
    if (t.failed) {
        cq_memory_free(t.bytes);
        return CQ_ERR_MEMORY;
    }
    *text = t.bytes;
    return CQ_OK;
}
