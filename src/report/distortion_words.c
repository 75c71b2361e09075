/* distortion_words.c - see distortion_words.h. */
#include "report/distortion_words.h"

#include <math.h>
#include <stdio.h>

enum { COLUMNS = 80, LENGTH = 24 };
static const double STRAIGHT_1_m = 0.1e-3 * 8.0 / (0.7 * 0.7); /* a tenth of a millimetre on 700 mm */

/* What rounds to nothing has no direction. */
static bool rounds_to_nothing(double metres, cq_unit_system units) {
    return fabs(metres) < (units == CQ_UNITS_US ? 0.0005 * 0.0254 : 0.05e-3);
}

const char *cq_curve_direction(double curvature_1_m) {
    return !(fabs(curvature_1_m) >= STRAIGHT_1_m) ? "straight"
           : curvature_1_m > 0.0                  ? "toward the spine"
                                                  : "toward the edge";
}

void cq_crack_reason(const cq_crack_answer *a, char to[CQ_CRACK_WORDS]) {
    snprintf(to, CQ_CRACK_WORDS, "%s (an estimate, not a clearance)", a->reason);
}

/* "+3.1 mm", "-0.122 in". */
static void signed_words(double metres, cq_unit_system units, char to[LENGTH]) {
    const double v = units == CQ_UNITS_US ? metres / 0.0254 : 1e3 * metres;
    snprintf(to, LENGTH, units == CQ_UNITS_US ? "%+.3f" : "%+.1f", rounds_to_nothing(metres, units) ? 0.0 : v);
}

static void add_rise(cq_text *t, const cq_result *r, cq_unit_system units) {
    const cq_bend *q = &r->curve.quenched;
    const double L = r->plan->blade.length_m;
    char rise[LENGTH], low[LENGTH], high[LENGTH], temper[48] = "", side[64] = "";
    if (!(L > 0.0)) {
        cq_paragraph_add(t, COLUMNS, "", "Curve (sori): %s, radius %.3g m (a rise needs blade.length).",
                         cq_curve_direction(q->curvature_1_m), fabs(1.0 / q->curvature_1_m));
        return;
    }
    signed_words(q->rise_m, units, rise);
    signed_words(q->low_m, units, low);
    signed_words(q->high_m, units, high);
    if (r->tempers_n > 0) {
        char after[LENGTH];
        signed_words(r->tempers[r->tempers_n - 1].bend.rise_m, units, after);
        snprintf(temper, sizeof temper, ", tempered %s", after);
    }
    if (fabs(q->side_curvature_1_m) >= STRAIGHT_1_m) {
        char bend[LENGTH];
        signed_words(fabs(q->side_bend_m), units, bend);
        snprintf(side, sizeof side, "; %s %s to the %s", bend + 1, units == CQ_UNITS_US ? "in" : "mm",
                 q->side_bend_m > 0.0 ? "right" : "left");
    }
    if (r->curve.direction_only) {
        cq_paragraph_add(t, COLUMNS, "", "Curve (sori): %s (of oil only the direction is told)%s.",
                         cq_curve_direction(q->curvature_1_m), side);
    } else {
        cq_paragraph_add(t, COLUMNS, "", "Curve (sori) %s %s, %s (%s to %s)%s%s.", rise,
                         units == CQ_UNITS_US ? "in" : "mm",
                         rounds_to_nothing(q->rise_m, units) ? "straight" : cq_curve_direction(q->curvature_1_m), low,
                         high, temper, side);
    }
}

void cq_distortion_add(cq_text *t, const cq_result *r, cq_unit_system units, bool brief) {
    if (r->curve.known && r->crack.known && brief) {
        char rise[LENGTH];
        signed_words(r->curve.quenched.rise_m, units, rise);
        cq_paragraph_add(t, COLUMNS, "", "Curve (sori) %s%s, crack %s: estimates, no clearance.",
                         r->curve.direction_only ? cq_curve_direction(r->curve.quenched.curvature_1_m) : rise,
                         r->curve.direction_only ? ""
                         : units == CQ_UNITS_US  ? " in"
                                                 : " mm",
                         cq_crack_class_words(r->crack.class_n));
        return;
    }
    if (r->curve.known) {
        add_rise(t, r, units);
    }
    if (r->crack.known) { /* the whole reason stands in the JSON */
        char when[48] = "";
        const bool grows = r->crack.since_s < r->crack.time_s;
        const double at_s = grows ? r->crack.since_s : r->crack.time_s;
        if (!isnan(at_s)) {
            snprintf(when, sizeof when, at_s < 100.0 ? " %s %.3g s" : " %s %.0f s", grows ? "from" : "at", at_s);
        }
        cq_paragraph_add(t, COLUMNS, "", "Crack: %s, an estimate, not a clearance: %s%s.",
                         cq_crack_class_words(r->crack.class_n), r->crack.cause, when);
    }
}
