/* lay_words.c - see lay_words.h. */
#include "report/lay_words.h"

#include "hardness/hardness.h"

#include <math.h>
#include <stdio.h>

char *cq_lay_length(double m, cq_unit_system units, char to[CQ_LAY_LENGTH]) {
    if (units == CQ_UNITS_METRIC) {
        snprintf(to, CQ_LAY_LENGTH, "%.4g mm", 1e3 * m);
        return to;
    }
    const double sixty_fourths = m / (0.0254 / 64.0);
    int over = (int)lround(sixty_fourths), under = 64;
    if (over == 0 || fabs(sixty_fourths - over) > 0.02) {
        snprintf(to, CQ_LAY_LENGTH, "%.3f in", m / 0.0254);
        return to;
    }
    while (over % 2 == 0 && under > 1) {
        over /= 2;
        under /= 2;
    }
    if (over >= under && under > 1) {
        snprintf(to, CQ_LAY_LENGTH, "%d %d/%d in", over / under, over % under, under);
    } else {
        snprintf(to, CQ_LAY_LENGTH, under > 1 ? "%d/%d in" : "%d in", over, under);
    }
    return to;
}

char *cq_lay_place(double m, cq_unit_system units, char to[CQ_LAY_LENGTH]) {
    if (units == CQ_UNITS_US) {
        snprintf(to, CQ_LAY_LENGTH, "%.3f in", m / 0.0254);
    } else {
        snprintf(to, CQ_LAY_LENGTH, "%.1f mm", 1e3 * m);
    }
    return to;
}

char *cq_lay_layout(const cq_layout *l, cq_unit_system units, char to[CQ_LAYOUT_WORDS]) {
    char wash[CQ_LAY_LENGTH] = "bare edge", rim[CQ_LAY_LENGTH], other[CQ_LAY_LENGTH], ramp[CQ_LAY_LENGTH],
         body[CQ_LAY_LENGTH], right[64] = "", freed[64] = "";
    if (l->wash_m > 0.0) {
        cq_lay_length(l->wash_m, units, wash);
    }
    if (fabs(l->rim_m[0] - l->rim_m[1]) > 1e-9) {
        snprintf(right, sizeof right, " left %s right", cq_lay_length(l->rim_m[1], units, other));
    }
    if (l->bath_K > 0.0) {
        const double at = units == CQ_UNITS_US ? 1.8 * l->bath_K - 459.67 : l->bath_K - 273.15;
        snprintf(freed, sizeof freed, ", bath %.0f %s", at, units == CQ_UNITS_US ? "°F" : "°C");
    }
    char pulled[32] = "";
    if (l->pull_s > 0.0) {
        snprintf(pulled, sizeof pulled, ", pulled at %.3g s", l->pull_s);
    }
    snprintf(to, CQ_LAYOUT_WORDS, "%s%s, rim %s%s, ramp %s, body %s%s%s", l->wash_m > 0.0 ? "wash " : "", wash,
             cq_lay_length(l->rim_m[0], units, rim), right, cq_lay_length(l->ramp_m, units, ramp),
             cq_lay_length(l->body_m, units, body), freed, pulled);
    return to;
}

const char *cq_lay_end_code(cq_lay_end end) {
    static const char *const codes[] = {"found", "no-hard-edge", "hard-right-through", "lowest-line", "highest-line",
                                        "jump",  "soft-edge",    "hard-spine",         "faint-line",  "failed"};
    return codes[end];
}

static char *range_words(const cq_lay_told *t, cq_unit_system units, char to[2 * CQ_LAY_LENGTH]) {
    char thin[CQ_LAY_LENGTH], thick[CQ_LAY_LENGTH];
    snprintf(to, 2 * CQ_LAY_LENGTH, "%s to %s", cq_lay_length(t->lay->wish.thinnest_m, units, thin),
             cq_lay_length(t->lay->wish.thickest_m, units, thick));
    return to;
}

const char *cq_lay_hardness(double HV, char to[48]) {
    const double HRC = cq_hardness_HRC(HV);
    snprintf(to, 48, isfinite(HRC) ? "%.0f HV (%.1f HRC)" : "%.0f HV", HV, HRC);
    return to;
}

/* Lines lie on one side or on both, none near. */
static void gap_words(const cq_lay *lay, cq_unit_system units, const char *wanted, char to[CQ_LAY_SENTENCE]) {
    char nearest[CQ_LAY_LENGTH];
    if (lay->with_line == 0) {
        snprintf(
            to, CQ_LAY_SENTENCE,
            "it jumps: with less clay the blade is hard right through, with more the edge stays soft, and no layout "
            "between gives a line near %s",
            wanted);
        return;
    }
    const double at = lay->nearest_value[CQ_FIGURE_LINE];
    cq_lay_place(at, units, nearest);
    snprintf(to, CQ_LAY_SENTENCE,
             at > lay->wish.line_m
                 ? "it jumps past %s: the lowest line lies at %s, and with clay any lower the edge itself stays soft"
                 : "it jumps past %s: the highest line lies at %s, and with clay any higher the blade is hard right "
                   "through",
             wanted, nearest);
}

char *cq_lay_reason_words(const cq_lay_told *t, cq_unit_system units, char to[CQ_LAY_SENTENCE]) {
    const cq_lay *lay = t->lay;
    char range[2 * CQ_LAY_LENGTH], wanted[CQ_LAY_LENGTH], low[CQ_LAY_LENGTH], high[CQ_LAY_LENGTH], HV[48], asked[48];
    range_words(t, units, range);
    cq_lay_length(lay->wish.line_m, units, wanted);
    cq_lay_place(lay->lowest_m, units, low);
    cq_lay_place(lay->highest_m, units, high);
    const char *steel = t->plan->steel.name != NULL ? t->plan->steel.name : "this steel";
    switch (lay->end) {
    case CQ_LAY_FOUND:
        snprintf(to, CQ_LAY_SENTENCE, "found");
        break;
    case CQ_LAY_SOFT:
        snprintf(
            to, CQ_LAY_SENTENCE,
            "the edge does not harden under any layout, even bare: this bath does not cool this edge of %.40s fast "
            "enough from this heat",
            steel);
        break;
    case CQ_LAY_THROUGH:
        snprintf(to, CQ_LAY_SENTENCE,
                 "%.40s hardens right through in this bath under any clay of %s: it needs so little speed that no clay "
                 "keeps the body soft",
                 steel, range);
        break;
    case CQ_LAY_TOO_LOW:
        snprintf(to, CQ_LAY_SENTENCE,
                 "no line comes below %s, even with clay from the edge up: the thin edge cools fast enough by itself "
                 "to be hard above %s",
                 low, wanted);
        break;
    case CQ_LAY_TOO_HIGH:
        snprintf(
            to, CQ_LAY_SENTENCE,
            "no line comes above %s, however high the clay begins: further up the section is too thick to harden in "
            "this bath",
            high);
        break;
    case CQ_LAY_GAP:
        gap_words(lay, units, wanted, to);
        break;
    case CQ_LAY_EDGE:
        cq_lay_hardness(lay->best_edge_HV, HV);
        cq_lay_hardness(lay->wish.edge_HV, asked);
        snprintf(to, CQ_LAY_SENTENCE,
                 "the line is met, but the edge comes to %s at most%s, not %s: that is the steel, its heat%s", HV,
                 t->field->tempered ? " after the tempers" : "", asked, t->field->tempered ? " and the tempers" : "");
        break;
    case CQ_LAY_SPINE:
        cq_lay_hardness(lay->best_spine_HV, HV);
        cq_lay_hardness(lay->wish.spine_HV, asked);
        snprintf(to, CQ_LAY_SENTENCE,
                 "the line is met, but the spine is no softer than %s, not %s: so hard is the fine pearlite this steel "
                 "turns to under clay of %s",
                 HV, asked, range);
        break;
    case CQ_LAY_PALE:
        snprintf(to, CQ_LAY_SENTENCE,
                 "a border lies near %s, but it is no line to be seen: faint, broken, or the spine is hard as well%s",
                 wanted, t->field->bare_spine ? " (its flat is left bare: clay there may help)" : "");
        break;
    case CQ_LAY_FAILED:
        snprintf(to, CQ_LAY_SENTENCE, "no run ended: %.180s", lay->message);
        break;
    }
    return to;
}
