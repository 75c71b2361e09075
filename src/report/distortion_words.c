/* distortion_words.c - see distortion_words.h. */
#include "report/distortion_words.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { COLUMNS = 80, LENGTH = 24, PART = 160 };
static const double STRAIGHT_1_m = 0.1e-3 * 8.0 / (0.7 * 0.7); /* a tenth of a millimetre on 700 mm */
static const double STRAIGHT_M = 0.05e-3;                      /* rounds to nothing */
static const double UNLIKE_HRC = 0.5;                          /* tempers that differ by less are told as one */
/* All three chosen here. */

/* Of a bend over the blade's length, or of its curvature where none is stated. */
static bool is_straight(double curvature_1_m, double length_m) {
    return !(fabs(curvature_1_m) >= STRAIGHT_1_m) ||
           (length_m > 0.0 && !(fabs(curvature_1_m) * length_m * length_m / 8.0 >= STRAIGHT_M));
}

const char *cq_curve_direction(const cq_result *r) {
    const double k = r->curve.quenched.curvature_1_m;
    return is_straight(k, r->plan->blade.length_m) ? "straight" : k > 0.0 ? "toward the spine" : "toward the edge";
}

void cq_crack_reason(const cq_crack_answer *a, char to[CQ_CRACK_WORDS]) {
    snprintf(to, CQ_CRACK_WORDS, "%s (an estimate, not a clearance)", a->reason);
}

static const char *length_unit(cq_unit_system units) {
    return units == CQ_UNITS_US ? "in" : "mm";
}

/* "+3.1", "-0.122": mm or inch, what rounds to nothing without its sign's whim. */
static void signed_words(double metres, cq_unit_system units, char to[LENGTH]) {
    const bool us = units == CQ_UNITS_US;
    const double v = us ? metres / 0.0254 : 1e3 * metres;
    snprintf(to, LENGTH, us ? "%+.3f" : "%+.1f", fabs(v) < (us ? 0.0005 : 0.05) ? 0.0 : v);
}

/* "", or "; sideways 0.7 mm to the right (+0.3 to +1.0)"; of oil without the size. */
static void side_words(const cq_result *r, cq_unit_system units, char to[PART]) {
    const cq_bend *q = &r->curve.quenched;
    const char *way = q->side_curvature_1_m > 0.0 ? "right" : "left";
    to[0] = '\0';
    if (!(fabs(q->side_curvature_1_m) >= STRAIGHT_1_m)) {
        return;
    }
    if (r->curve.direction_only || isnan(q->side_bend_m)) {
        snprintf(to, PART, "; sideways to the %s", way);
        return;
    }
    char bend[LENGTH], low[LENGTH], high[LENGTH];
    double low_m, high_m;
    cq_result_band_m(r, fabs(q->side_bend_m), &low_m, &high_m);
    signed_words(fabs(q->side_bend_m), units, bend);
    signed_words(low_m, units, low);
    signed_words(high_m, units, high);
    snprintf(to, PART, "; sideways %s %s to the %s (%s to %s)", bend + 1, length_unit(units), way, low, high);
}

/* "+0.0 mm, straight (-0.1 to +0.1)"; of oil, or without a length, the way alone. */
static void rise_words(const cq_result *r, cq_unit_system units, char to[PART]) {
    const cq_bend *q = &r->curve.quenched;
    char rise[LENGTH], low[LENGTH], high[LENGTH];
    if (!(r->plan->blade.length_m > 0.0)) {
        snprintf(to, PART, ": %s, radius %.3g m (a rise needs blade.length)", cq_curve_direction(r),
                 fabs(1.0 / q->curvature_1_m));
    } else if (r->curve.direction_only) {
        snprintf(to, PART, ": %s (of oil only the direction is told)", cq_curve_direction(r));
    } else {
        signed_words(q->rise_m, units, rise);
        signed_words(q->low_m, units, low);
        signed_words(q->high_m, units, high);
        snprintf(to, PART, " %s %s, %s (%s to %s)", rise, length_unit(units), cq_curve_direction(r), low, high);
    }
}

static bool tells_size(const cq_result *r) {
    return r->plan->blade.length_m > 0.0 && !r->curve.direction_only;
}

/* "", or ", tempered -0.1". */
static void temper_words(const cq_result *r, cq_unit_system units, char to[PART]) {
    char after[LENGTH];
    to[0] = '\0';
    if (r->tempers_n > 0 && tells_size(r)) {
        signed_words(r->tempers[r->tempers_n - 1].bend.rise_m, units, after);
        snprintf(to, PART, ", tempered %s", after);
    }
}

/* What the plan asked for: the curve to forge in. Of oil the size is not known. */
static void add_precurve(cq_text *t, const cq_result *r, cq_unit_system units) {
    const double wanted_m = r->plan->wanted_curve_m;
    char wanted[LENGTH], forged[LENGTH];
    if (!(fabs(wanted_m) > 0.0) || !(r->plan->blade.length_m > 0.0)) {
        return;
    }
    signed_words(wanted_m, units, wanted);
    signed_words(cq_result_precurve_m(r, wanted_m), units, forged);
    cq_paragraph_add(t, COLUMNS, "  ",
                     r->curve.direction_only ? "to end at %s %s: forge it in on a trial blade (of oil %s)"
                                             : "to end at %s %s, forge it to %s before the quench",
                     wanted, length_unit(units), r->curve.direction_only ? "no size is told" : forged);
}

/* Several unlike tempers, one after the other: hardness of the edge and curve after each. */
static void add_tempers(cq_text *t, const cq_result *r, cq_unit_system units) {
    const bool us = units == CQ_UNITS_US;
    const size_t n = r->tempers_n;
    char hard[PART] = "", bent[PART] = "";
    size_t hard_at = 0, bent_at = 0;
    if (n < 2 || !(fabs(r->tempers[0].edge_HRC - r->tempers[n - 1].edge_HRC) >= UNLIKE_HRC)) {
        return;
    }
    for (size_t i = 0; i < n && hard_at < sizeof hard && bent_at < sizeof bent; i++) {
        char rise[LENGTH];
        snprintf(rise, sizeof rise, us ? "%+.3f" : "%+.2f", r->tempers[i].bend.rise_m * (us ? 1.0 / 0.0254 : 1e3));
        hard_at += (size_t)snprintf(hard + hard_at, sizeof hard - hard_at, "%s%.1f", i == 0 ? "" : ", ",
                                    r->tempers[i].edge_HRC);
        bent_at += (size_t)snprintf(bent + bent_at, sizeof bent - bent_at, "%s%s", i == 0 ? "" : ", ", rise);
    }
    if (r->curve.known && tells_size(r)) {
        cq_paragraph_add(t, COLUMNS, "  ", "after each temper: edge %s HRC; curve %s %s", hard, bent,
                         length_unit(units));
    } else {
        cq_paragraph_add(t, COLUMNS, "  ", "after each temper: edge %s HRC", hard);
    }
}

static void add_wear(cq_text *t, const cq_result *r, cq_unit_system units) {
    const bool us = units == CQ_UNITS_US;
    if (isnan(r->wear_m)) {
        return;
    }
    if (!(r->wear_m > 0.0)) {
        cq_paragraph_add(t, COLUMNS, "", "The edge is softer than %.3g HRC from the start.", r->wear_HRC);
    } else if (isinf(r->wear_m)) {
        cq_paragraph_add(t, COLUMNS, "", "However far it is sharpened, the edge keeps %.3g HRC.", r->wear_HRC);
    } else {
        cq_paragraph_add(t, COLUMNS, "",
                         us ? "Sharpening may take off %.3f in until the edge is softer than %.3g HRC."
                            : "Sharpening may take off %.1f mm until the edge is softer than %.3g HRC.",
                         us ? r->wear_m / 0.0254 : 1e3 * r->wear_m, r->wear_HRC);
    }
}

/* "the body swells, most at 8.69 s"; where the class began by another event, both, or of a snug screen the first. */
static void crack_words(const cq_crack_answer *a, bool snug, char to[PART]) {
    const bool grows = a->since_s < a->time_s,
               another = grows && a->since_cause[0] != '\0' && strcmp(a->since_cause, a->cause) != 0;
    char most[LENGTH] = "";
    if (!isnan(a->time_s)) {
        snprintf(most, sizeof most, a->time_s < 100.0 ? "%.3g s" : "%.0f s", a->time_s);
    }
    if (!grows) { /* low, or the worst at once */
        snprintf(to, PART, "%s%s%s", a->cause, most[0] == '\0' ? "" : " at ", most);
    } else if (snug) {
        snprintf(to, PART, "%s", another ? a->since_cause : a->cause);
    } else if (another) {
        snprintf(to, PART, "%s; most at %s: %s", a->since_cause, most, a->cause);
    } else {
        snprintf(to, PART, "%s, most at %s", a->cause, most);
    }
}

/* " from 9.06 s" or "". */
static void since_words(const cq_crack_answer *a, char to[LENGTH]) {
    to[0] = '\0';
    if (a->since_s < a->time_s) {
        snprintf(to, LENGTH, a->since_s < 100.0 ? " from %.3g s" : " from %.0f s", a->since_s);
    }
}

/* Sizes with their range, both bends, the class with its reason; short: without the tempers and when it was worst. */
static void add_brief(cq_text *t, const cq_result *r, cq_unit_system units, bool is_short) {
    char rise[PART], side[PART], temper[PART] = "", since[LENGTH], why[PART];
    rise_words(r, units, rise);
    side_words(r, units, side);
    since_words(&r->crack, since);
    crack_words(&r->crack, is_short, why);
    if (!is_short) {
        temper_words(r, units, temper);
    }
    cq_paragraph_add(t, COLUMNS, "", "Curve (sori)%s%s%s. Crack %s%s, an estimate, no clearance: %s.", rise, temper,
                     side, cq_crack_class_words(r->crack.class_n), since, why);
}

/* The same on one line: "Curve -0.2 +/-0.1 mm, 0.2 left; crack low: estimates, no clearance." */
static void add_least(cq_text *t, const cq_result *r, cq_unit_system units) {
    const cq_bend *q = &r->curve.quenched;
    const char *class = cq_crack_class_words(r->crack.class_n);
    const bool bent = fabs(q->side_curvature_1_m) >= STRAIGHT_1_m;
    const char *way = q->side_curvature_1_m > 0.0 ? "right" : "left";
    char rise[LENGTH], off[LENGTH], side[LENGTH], aside[PART] = "";
    if (!tells_size(r)) {
        cq_paragraph_add(t, COLUMNS, "", "Curve %s%s%s; crack %s: estimates, no clearance.", cq_curve_direction(r),
                         bent ? ", sideways " : "", bent ? way : "", class);
        return;
    }
    signed_words(q->rise_m, units, rise);
    signed_words(0.5 * (q->high_m - q->low_m), units, off);
    if (bent) {
        signed_words(fabs(q->side_bend_m), units, side);
        snprintf(aside, sizeof aside, ", %s %s", side + 1, way);
    }
    cq_paragraph_add(t, COLUMNS, "", "Curve %s +/-%s %s%s; crack %s: estimates, no clearance.", rise, off + 1,
                     length_unit(units), aside, class);
}

void cq_distortion_add(cq_text *t, const cq_result *r, cq_unit_system units, cq_telling_size size) {
    const bool asked = fabs(r->wear_HRC - CQ_WEAR_HRC) > 0.0;
    char rise[PART], side[PART], temper[PART], since[LENGTH], why[PART];
    if (size < CQ_TELL_SHORT) {
        add_tempers(t, r, units);
    }
    if (size < CQ_TELL_ENOUGH || asked) {
        add_wear(t, r, units);
    }
    if (r->curve.known && r->crack.known && size >= CQ_TELL_BRIEF) {
        if (size != CQ_TELL_LEAST) {
            add_brief(t, r, units, size == CQ_TELL_SHORT);
        } else {
            add_least(t, r, units);
        }
        add_precurve(t, r, units);
        return;
    }
    if (r->curve.known) {
        rise_words(r, units, rise);
        side_words(r, units, side);
        temper_words(r, units, temper);
        cq_paragraph_add(t, COLUMNS, "", "Curve (sori)%s%s%s.", rise, temper, side);
        add_precurve(t, r, units);
    }
    if (r->crack.known) { /* the whole reason stands in the JSON */
        since_words(&r->crack, since);
        crack_words(&r->crack, size >= CQ_TELL_SNUG, why);
        cq_paragraph_add(t, COLUMNS, "", "Crack: %s%s, an estimate, not a clearance: %s.",
                         cq_crack_class_words(r->crack.class_n), since, why);
    }
}
