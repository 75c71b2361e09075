/* lay_screen.c - the clay for a line on one screen, or why there is none. */
#include "report/lay_words.h"
#include "report/screen_notes.h"
#include "report/spread_words.h"
#include "report/words.h"

#include "base/memory.h"
#include "hardness/hardness.h"

#include <math.h>
#include <stdio.h>

enum { COLUMNS = CQ_SCREEN_COLUMNS, WAYS_SHOWN = 7 };

static void add_title(cq_text *t, const cq_lay_told *told, cq_unit_system units) {
    const cq_lay_wish *w = &told->lay->wish;
    char line[CQ_LAY_LENGTH], within[CQ_LAY_LENGTH], edge[64] = "", spine[64] = "";
    char hard[48];
    if (w->edge_HV > 0.0) {
        snprintf(edge, sizeof edge, ", edge at least %.40s", cq_lay_hardness(w->edge_HV, hard));
    }
    if (w->spine_HV > 0.0) {
        snprintf(spine, sizeof spine, ", spine at most %.40s", cq_lay_hardness(w->spine_HV, hard));
    }
    cq_paragraph_add(t, COLUMNS, "", "%.44s: clay for a line at %s, within %s%s%s",
                     told->plan->title[0] == '\0' ? "The plan" : told->plan->title,
                     cq_lay_length(w->line_m, units, line), cq_lay_length(w->within_m, units, within), edge, spine);
    cq_text_add(t, "\n");
}

/* ---- what to lay ------------------------------------------------------------------------------------------------- */

static void add_face(cq_text *t, const cq_layout *l, const cq_lay_told *told, int side, cq_unit_system units) {
    char wash[CQ_LAY_LENGTH] = "bare", rim[CQ_LAY_LENGTH], top[CQ_LAY_LENGTH], body[CQ_LAY_LENGTH];
    if (l->wash_m > 0.0) {
        cq_lay_length(l->wash_m, units, wash);
    }
    cq_lay_length(l->rim_m[side], units, rim);
    cq_lay_length(l->rim_m[side] + l->ramp_m, units, top);
    cq_text_add(t, "  wash  %-10s from the edge flat up to %s%s\n", wash, rim,
                l->wash_m > 0.0 ? ", on the edge flat too" : "");
    cq_text_add(t, "  ramp  %-10s rising evenly from %s to %s\n", "", rim, top);
    cq_text_add(t, "  body  %-10s from %s up%s\n", cq_lay_length(l->body_m, units, body), top,
                told->field->double_edged ? ", the same from the second edge"
                : told->field->bare_spine ? " to the spine (mune), whose flat stays bare"
                                          : " to the spine (mune), on its flat too");
}

static void add_layout(cq_text *t, const cq_lay_told *told, cq_unit_system units) {
    const cq_layout *l = &told->lay->choice[0].layout;
    const double factor = told->plan->clay.drying_factor;
    const bool alike = fabs(l->rim_m[0] - l->rim_m[1]) < 1e-9;
    char wet[CQ_LAY_LENGTH];
    cq_text_add(t, "Lay (tsuchi-oki), dry thickness, %s:\n", alike ? "both faces alike" : "left face");
    add_face(t, l, told, 0, units);
    if (!alike) {
        cq_text_add(t, "right face:\n");
        add_face(t, l, told, 1, units);
    }
    if (factor > 0.0 && factor < 1.0) {
        const double wet_m = units == CQ_UNITS_US ? l->body_m / factor : 1e-5 * round(1e5 * l->body_m / factor);
        cq_text_add(t, "  Laid wet the body is %s thick: the mix dries to %.2f of it.\n",
                    cq_lay_length(wet_m, units, wet), factor);
    }
    if (l->bath_K > 0.0 || l->pull_s > 0.0) {
        char words[CQ_LAYOUT_WORDS];
        cq_paragraph_add(t, COLUMNS, "  ", "Not as the plan has it: %s.", cq_lay_layout(l, units, words));
    }
}

static void hardness(double HV, char to[48]) {
    const double HRC = cq_hardness_HRC(HV);
    snprintf(to, 48, isfinite(HRC) ? "%.1f HRC" : "%.0f HV", isfinite(HRC) ? HRC : HV);
}

static void add_answer(cq_text *t, const cq_lay_told *told, cq_unit_system units) {
    const cq_lay_choice *c = &told->lay->choice[0];
    const bool tempered = told->field->tempered;
    char line[CQ_LAY_LENGTH], edge[48], spine[48], curve[64] = "", crack[48] = "", rise[CQ_LAY_LENGTH];
    hardness(c->value[tempered ? CQ_FIGURE_EDGE_TEMPER_HV : CQ_FIGURE_EDGE_HV], edge);
    hardness(c->value[tempered ? CQ_FIGURE_SPINE_TEMPER_HV : CQ_FIGURE_SPINE_HV], spine);
    if (told->best != NULL && told->best->curve.known && isfinite(told->best->curve.quenched.rise_m)) {
        const double rise_m = told->best->curve.quenched.rise_m;
        const bool none = fabs(rise_m) < (units == CQ_UNITS_US ? 0.5e-3 * 0.0254 : 0.05e-3); /* as it is rounded */
        snprintf(curve, sizeof curve, "; curve (sori) %s%s", none || rise_m < 0.0 ? "" : "+",
                 cq_lay_place(none ? 0.0 : rise_m, units, rise));
    }
    if (told->best != NULL && told->best->crack.known) {
        snprintf(crack, sizeof crack, "; crack %s, an estimate", cq_crack_class_words(told->best->crack.class_n));
    }
    cq_paragraph_add(t, COLUMNS, "As planned: ", "line %s, edge %s, %s %s%s%s%s.",
                     cq_lay_place(c->value[CQ_FIGURE_LINE], units, line), edge,
                     told->field->double_edged ? "second edge" : "spine", spine, tempered ? " after temper" : "", curve,
                     crack);
}

/* "line too high 40, too low 12, no line 3". */
static void miss_words(const cq_lay_choice *c, char to[160]) {
    const struct {
        const char *words;
        size_t n;
    } kinds[] = {{"line too low", c->low},
                 {"line too high", c->high},
                 {"no line", c->no_line},
                 {"edge too soft", c->too_soft},
                 {"spine too hard", c->too_hard}};
    size_t at = 0;
    to[0] = '\0';
    for (size_t k = 0; k < sizeof kinds / sizeof kinds[0]; k++) {
        if (kinds[k].n > 0) {
            at += (size_t)snprintf(to + at, 160 - at, "%s%s %.0f", at > 0 ? ", " : "", kinds[k].words,
                                   100.0 * (double)kinds[k].n / (double)(c->chance.n > 0 ? c->chance.n : 1));
        }
    }
}

static void add_chance(cq_text *t, const cq_lay_told *told, const cq_lay_choice *c, const char *first,
                       cq_unit_system units) {
    char share[CQ_SPREAD_WORDS], low[CQ_SPREAD_WORDS], high[CQ_SPREAD_WORDS], misses[160];
    char least[CQ_LAY_LENGTH], most[CQ_LAY_LENGTH];
    (void)told;
    miss_words(c, misses);
    cq_paragraph_add(t, COLUMNS, first,
                     "of 100 blades %s meet all of it (%s to %s)%s%s%s; lines %s to %s in nine of ten.",
                     cq_spread_hundred(c->chance.share, share), cq_spread_hundred(c->chance.low, low),
                     cq_spread_hundred(c->chance.high, high), misses[0] != '\0' ? "; " : "", misses,
                     misses[0] != '\0' ? " in 100" : "", cq_lay_place(c->line_low_m, units, least),
                     cq_lay_place(c->line_high_m, units, most));
}

/* Chances nearer than this are told apart by luck (DEVELOPERS.md); below the other a layout is right in name only.
 * Chosen here. */
static const double TIE = 0.1, SELDOM = 0.2;

static void add_doubts(cq_text *t, const cq_lay *lay) {
    const double share = lay->choice[0].chance.share;
    if (lay->choices_n > 1 && lay->choice[1].chance.share > share - TIE) {
        cq_paragraph_add(t, COLUMNS, "", "The two are a tie: take the one that is easier to lay.");
    }
    if (share < SELDOM) {
        cq_paragraph_add(
            t, COLUMNS, "",
            "Met as planned and seldom as it comes: hold heat, clay and bath closer (tolerances:), or take "
            "another height.");
    }
}

static void add_found(cq_text *t, const cq_lay_told *told, cq_unit_system units) {
    const cq_lay *lay = told->lay;
    char words[CQ_LAYOUT_WORDS];
    add_layout(t, told, units);
    add_answer(t, told, units);
    add_chance(t, told, &lay->choice[0], "As it comes: ", units);
    if (lay->choices_n > 1) {
        cq_paragraph_add(t, COLUMNS, "Runner-up:  ", "%s:", cq_lay_layout(&lay->choice[1].layout, units, words));
        add_chance(t, told, &lay->choice[1], "            ", units);
    } else {
        cq_text_add(t, "No other wash or body reaches it.\n");
    }
    add_doubts(t, lay);
    cq_paragraph_add(t, COLUMNS, "",
                     "Chosen from %zu layouts for the likeliest, not the nearest; %zu runs. What the rest hangs on: "
                     "'clayquench spread'.",
                     lay->layouts, lay->runs);
}

/* ---- why not ----------------------------------------------------------------------------------------------------- */

static void add_ways(cq_text *t, const cq_lay_told *told, cq_unit_system units) {
    const cq_lay *lay = told->lay;
    if (lay->ways_n == 0) {
        cq_paragraph_add(
            t, COLUMNS, "",
            "No single change tried reaches it: other baths and their temperature, soak, temper, pull time, other "
            "steels.");
        return;
    }
    cq_text_add(t, "What would have to change, each alone (few layouts tried):\n");
    for (size_t n = 0; n < lay->ways_n && n < WAYS_SHOWN; n++) {
        const cq_lay_way *way = &lay->way[n];
        char words[CQ_LAYOUT_WORDS], line[CQ_LAY_LENGTH], row[256];
        snprintf(row, sizeof row, "  %.24s: line %s, %s", told->changes[way->change],
                 cq_lay_place(way->value[CQ_FIGURE_LINE], units, line), cq_lay_layout(&way->layout, units, words));
        cq_line_add(t, COLUMNS, row);
    }
    if (lay->ways_n > WAYS_SHOWN) {
        cq_text_add(t, "  and %zu more (--json)\n", lay->ways_n - WAYS_SHOWN);
    }
}

static void add_not_found(cq_text *t, const cq_lay_told *told, cq_unit_system units) {
    const cq_lay *lay = told->lay;
    char reason[CQ_LAY_SENTENCE], words[CQ_LAYOUT_WORDS], line[CQ_LAY_LENGTH];
    cq_paragraph_add(t, COLUMNS, "", "Not reachable: %s.", cq_lay_reason_words(told, units, reason));
    if (lay->has_nearest) {
        const double at = lay->nearest_value[CQ_FIGURE_LINE];
        cq_paragraph_add(t, COLUMNS, "Nearest: ", "line %s with %s; %s.", cq_lay_place(at, units, line),
                         cq_lay_layout(&lay->nearest, units, words),
                         cq_verdict_words((cq_verdict)(int)lay->nearest_value[CQ_FIGURE_VERDICT]));
    }
    cq_paragraph_add(t, COLUMNS, "",
                     "Of %zu layouts %zu end hard right through, %zu without a hard edge, %zu with a line.",
                     lay->layouts, lay->hard_through, lay->no_edge, lay->with_line);
    add_ways(t, told, units);
}

static void add_cautions(cq_text *t, const cq_lay_told *told) {
    if (told->best != NULL) {
        cq_notes_add(t, told->best, &(cq_notes_wish){true, 0, 0});
        return;
    }
    const unsigned set = cq_plan_cautions(told->plan);
    bool first = true;
    for (int c = 0; c < CQ_CAUTIONS; c++) {
        if ((set >> c & 1u) != 0 && (first || c == CQ_CAUTIONS - 1)) { /* the gravest, and that it is an estimate */
            cq_paragraph_add(t, COLUMNS, "! ", "%s", cq_caution_sentence(c));
            first = false;
        }
    }
}

cq_status cq_lay_screen(const cq_lay_told *told, cq_unit_system units, char **text) {
    cq_text t = {NULL, 0, 0, false};
    add_title(&t, told, units);
    if (told->lay->end == CQ_LAY_FOUND) {
        add_found(&t, told, units);
    } else {
        add_not_found(&t, told, units);
    }
    add_cautions(&t, told);
    if (t.failed) {
        cq_memory_free(t.bytes);
        return CQ_ERR_MEMORY;
    }
    *text = t.bytes;
    return CQ_OK;
}
