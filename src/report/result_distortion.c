/* result_distortion.c - what the page of a result says of the curve, of the stress that stays in it and of cracks. */
#include "report/result_figures.h"
#include "report/result_numbers.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* ---- words ------------------------------------------------------------------------------------------------------- */

static const double INCH_FROM_MM = 0.4; /* a 64th */

/* "curves (sori) toward the spine by 3.1 mm (1/8 in)"; what rounds to nothing is straight. */
static void add_rise(cq_text *text, const cq_telling *t) {
    const double rise = cq_telling_number(t, "curve.rise_mm");
    if (fabs(rise) < 0.05) {
        cq_text_add(text, "stays straight (");
    } else {
        cq_text_add(text, "curves (sori) toward the %s by ", rise < 0.0 ? "edge" : "spine");
    }
    cq_number_add(text, t, CQ_AS_SIZE_MM, "curve.rise_mm");
    cq_text_add(text, "\u00a0mm");
    if (fabs(rise) < 0.05) {
        cq_text_add(text, ")");
    } else if (fabs(rise) >= INCH_FROM_MM) {
        cq_text_add(text, " (");
        cq_number_add(text, t, CQ_AS_INCH_64, "curve.rise_mm");
        cq_text_add(text, "\u00a0in)");
    }
}

static void add_turns(cq_text *text, const cq_telling *t) {
    const size_t n = json_array_size(cq_telling_at(t, "curve.turns"));
    for (size_t i = 0; i < n; i++) {
        char key[64];
        snprintf(key, sizeof key, "curve.turns.%zu.kind", i);
        const char *kind = cq_telling_words(t, key);
        cq_text_add(text, "%s%s at ",
                    i == 0       ? " On its way it has a "
                    : i + 1 == n ? " and a "
                                 : ", a ",
                    kind != NULL && strcmp(kind, "dip") == 0 ? "dip" : "crest");
        cq_number_add(text, t, CQ_AS_HUNDREDTH, "curve.turns.%zu.time_s", i);
        cq_text_add(text, "\u00a0s%s", i + 1 == n ? "." : "");
    }
}

/* The blade's length is stated and the size may be told. */
static void tell_rise(cq_page *page, cq_telling *t) {
    cq_text text = {NULL, 0, 0, false};
    cq_text_add(&text, "The blade ");
    add_rise(&text, t);
    cq_text_add(&text, " as quenched, within ");
    cq_number_add(&text, t, CQ_AS_SIGNED_MM, "curve.low_mm");
    cq_text_add(&text, " to ");
    cq_number_add(&text, t, CQ_AS_SIGNED_MM, "curve.high_mm");
    cq_text_add(&text, "\u00a0mm (+ toward the spine)");
    if (t->result->tempers_n > 0) {
        cq_text_add(&text, ", ");
        cq_number_add(&text, t, CQ_AS_SIGNED_MM, "curve.tempered_mm");
        cq_text_add(&text, "\u00a0mm after temper");
    }
    if (fabs(cq_telling_number(t, "curve.side_bend_mm")) >= 0.05) {
        cq_text_add(&text, "; sideways ");
        cq_number_add(&text, t, CQ_AS_SIGNED_MM, "curve.side_bend_mm");
        cq_text_add(&text, "\u00a0mm (");
        cq_number_add(&text, t, CQ_AS_SIGNED_MM, "curve.side_low_mm");
        cq_text_add(&text, " to ");
        cq_number_add(&text, t, CQ_AS_SIGNED_MM, "curve.side_high_mm");
        cq_text_add(&text, "), + to the right");
    }
    cq_text_add(&text, ".");
    add_turns(&text, t);
    if (t->result->plan->wanted_curve_m != 0.0) {
        cq_text_add(&text, " To end at ");
        cq_number_add(&text, t, CQ_AS_SIGNED_MM, "curve.wanted_mm");
        cq_text_add(&text, "\u00a0mm, forge it to ");
        cq_number_add(&text, t, CQ_AS_SIGNED_MM, "curve.precurve_mm");
        cq_text_add(&text, "\u00a0mm before the quench.");
    }
    cq_page_text(page, cq_telling_keep(t, &text));
}

/* Oil, or a blade of no stated length: the way alone. */
static void tell_direction(cq_page *page, cq_telling *t, bool oil) {
    cq_text text = {NULL, 0, 0, false};
    const char *way = cq_telling_words(t, "curve.direction");
    cq_text_add(&text, "The blade %s%s.", way != NULL && strcmp(way, "straight") == 0 ? "stays " : "curves (sori) ",
                way == NULL ? "" : way);
    const double side = cq_telling_number(t, "curve.side_bend_mm");
    if (fabs(side) >= 0.05) {
        cq_text_add(&text, " Sideways it goes to the %s.", side > 0.0 ? "right" : "left");
    }
    cq_text_add(&text, "%s",
                oil ? " Of oil only the direction is told."
                    : " By how much can be told when the plan states the blade's length.");
    add_turns(&text, t);
    cq_page_text(page, cq_telling_keep(t, &text));
}

static void tell_curve(cq_page *page, cq_telling *t) {
    const json_t *oil = cq_telling_at(t, "curve.direction_only");
    if (cq_telling_words(t, "curve.direction") == NULL) {
        cq_page_text(page, "The curve (sori) is not computed for this piece.");
    } else if (json_is_true(oil) || isnan(cq_telling_number(t, "curve.rise_mm"))) {
        tell_direction(page, t, json_is_true(oil));
    } else {
        tell_rise(page, t);
    }
}

/* The reason tells since when, and that it is an estimate. */
static void tell_crack(cq_page *page, cq_telling *t) {
    cq_text text = {NULL, 0, 0, false};
    const char *class = cq_telling_words(t, "crack.class"), *reason = cq_telling_words(t, "crack.reason");
    if (class == NULL) {
        cq_page_text(page, "The risk of a crack is not judged for this piece.");
        return;
    }
    cq_text_add(&text, "Risk of a crack: " CQ_MARK_STRONG "%s" CQ_MARK_WEAK, class);
    if (!isnan(cq_telling_number(t, "crack.time_s"))) {
        cq_text_add(&text, ", most at ");
        cq_number_add(&text, t, CQ_AS_HUNDREDTH, "crack.time_s");
        cq_text_add(&text, "\u00a0s");
    }
    cq_text_add(&text, ": ");
    cq_page_plain(&text, reason == NULL ? "an estimate, not a clearance" : reason, false);
    cq_text_add(&text, ".");
    cq_page_text(page, cq_telling_keep(t, &text));
}

static void tell_wear(cq_page *page, cq_telling *t) {
    const double mm = cq_telling_number(t, "wear.mm");
    const bool throughout = json_is_true(cq_telling_at(t, "wear.throughout"));
    cq_text text = {NULL, 0, 0, false};
    if (isnan(mm) && !throughout) {
        return;
    }
    if (throughout) {
        cq_text_add(&text, "However far it is sharpened, the edge keeps ");
    } else if (!(mm > 0.0)) {
        cq_text_add(&text, "The edge is softer from the start than ");
    } else {
        cq_text_add(&text, "Sharpening may take off ");
        cq_length_add(&text, t, "wear.mm");
        cq_text_add(&text, " before the edge is softer than ");
    }
    const double HRC = cq_telling_number(t, "wear.HRC");
    cq_number_add(&text, t, fabs(HRC - round(HRC)) < 0.05 ? CQ_AS_WHOLE : CQ_AS_TENTH, "wear.HRC");
    cq_text_add(&text, "\u00a0HRC.");
    cq_page_text(page, cq_telling_keep(t, &text));
}

/* Hardness and curve after each of several tempers. */
static void tell_tempers(cq_page *page, cq_telling *t) {
    const size_t n = json_array_size(cq_telling_at(t, "tempers"));
    cq_text text = {NULL, 0, 0, false};
    const bool sized =
        !isnan(cq_telling_number(t, "curve.rise_mm")) && !json_is_true(cq_telling_at(t, "curve.direction_only"));
    if (n < 2 || isnan(cq_telling_number(t, "tempers.0.edge_HRC"))) {
        return;
    }
    cq_text_add(&text, "After each temper the edge has ");
    for (size_t i = 0; i < n; i++) {
        cq_text_add(&text, "%s", i == 0 ? "" : ", ");
        cq_number_add(&text, t, CQ_AS_TENTH, "tempers.%zu.edge_HRC", i);
    }
    cq_text_add(&text, "\u00a0HRC");
    for (size_t i = 0; i < n && sized; i++) {
        cq_text_add(&text, "%s", i == 0 ? " and the curve is " : ", ");
        cq_number_add(&text, t, CQ_AS_HUNDREDTH, "tempers.%zu.rise_mm", i);
    }
    cq_text_add(&text, sized ? "\u00a0mm." : ".");
    cq_page_text(page, cq_telling_keep(t, &text));
}

/* ---- pictures ---------------------------------------------------------------------------------------------------- */

static void put_history(cq_page *page, cq_telling *t) {
    const cq_result *r = t->result;
    cq_text alt = {NULL, 0, 0, false};
    cq_text_add(&alt, "Chart: curve of the blade against time on a logarithmic scale, up toward the spine.");
    for (size_t n = 0; n < r->curve.turns_n; n++) {
        cq_text_add(&alt, " A %s at %.3g s.", r->curve.turns[n].dip ? "dip" : "crest", r->curve.turns[n].time_s);
    }
    const cq_page_figure figure = {.width = CQ_FIGURE_WIDTH,
                                   .height = cq_chart_figure_tall(),
                                   .draw = cq_curve_figure,
                                   .context = r,
                                   .alt = cq_telling_keep(t, &alt),
                                   .caption = r->curve.direction_only
                                                  ? "The curve in time; of oil only the direction is to be trusted."
                                                  : "The curve in time: down is toward the edge, up toward the spine. "
                                                    "Red bar: what comes out, and how far it may be off.",
                                   .half = true};
    cq_page_put_figure(page, &figure);
}

static void put_stress(cq_page *page, cq_telling *t) {
    const cq_result *r = t->result;
    const cq_page_figure figure = {
        .width = CQ_FIGURE_WIDTH,
        .height = cq_section_figure_tall(r),
        .draw = cq_stress_figure,
        .context = r,
        .alt = cq_telling_say(t,
                              "The section lying on its side, edge to the left. Colours show stress along the blade as "
                              "quenched, from %.0f to %.0f MPa.",
                              1e-6 * r->curve.least_stress_Pa, 1e-6 * r->curve.most_stress_Pa),
        .caption =
            "Stress along the blade that stays as quenched, at 20\u00a0°C. Pressed together resists cracks, pulled "
            "invites them.",
        .half = true};
    cq_page_put_figure(page, &figure);
}

void cq_tell_distortion(cq_page *page, cq_telling *t) {
    const cq_result *r = t->result;
    if (r->grid->one_dimensional || (!r->transforming && !r->curve.known)) {
        return;
    }
    cq_page_section(page, "curve", "How it curves, and whether it may crack");
    tell_curve(page, t);
    tell_crack(page, t);
    tell_tempers(page, t);
    tell_wear(page, t);
    if (r->curve.known && r->curve.n > 1) {
        put_history(page, t);
    }
    if (r->axial_stress_Pa != NULL) {
        put_stress(page, t);
    }
}
