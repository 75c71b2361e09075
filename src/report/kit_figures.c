/* kit_figures.c - drawings of the kit that are not to scale: coupons, the shrinkage bar, the probe, the stations. */
#include "report/kit.h"

#include <stdio.h>

/* ---- strokes ----------------------------------------------------------------------------------------------------- */

void cq_kit_ink(cq_canvas *c) {
    cairo_set_source_rgb(c->cr, 0.1, 0.13, 0.15);
}

static void grey(cq_canvas *c, double share) {
    cairo_set_source_rgb(c->cr, share, share, share);
}

/* The path, filled in a grey and outlined. */
static void body(cq_canvas *c, double share) {
    cairo_close_path(c->cr);
    grey(c, share);
    cairo_fill_preserve(c->cr);
    cq_kit_ink(c);
    cairo_set_line_width(c->cr, 0.8);
    cairo_stroke(c->cr);
}

static void box(cq_canvas *c, double x, double y, double width, double height, double share) {
    cairo_new_path(c->cr);
    cairo_rectangle(c->cr, x, y, width, height);
    body(c, share);
}

static void arrow_head(cq_canvas *c, double x, double y, double dx, double dy) {
    const double size = 5.0, wide = 2.2;
    cairo_new_path(c->cr);
    cairo_move_to(c->cr, x, y);
    cairo_line_to(c->cr, x - size * dx - wide * dy, y - size * dy + wide * dx);
    cairo_line_to(c->cr, x - size * dx + wide * dy, y - size * dy - wide * dx);
    cairo_close_path(c->cr);
    cairo_fill(c->cr);
}

/* A measure along x with heads at both ends, its words above. */
static void measure(cq_canvas *c, double x0, double x1, double y, const char *words) {
    cq_kit_ink(c);
    cq_canvas_line(c, x0, y, x1, y, 0.7, false);
    arrow_head(c, x0, y, -1.0, 0.0);
    arrow_head(c, x1, y, 1.0, 0.0);
    cq_canvas_label(c, 0.5 * (x0 + x1), y - 3.5, 10, CQ_ALIGN_CENTRE, words);
}

static void measure_up(cq_canvas *c, double x, double y0, double y1, const char *words) {
    cq_kit_ink(c);
    cq_canvas_line(c, x, y0, x, y1, 0.7, false);
    arrow_head(c, x, y0, 0.0, -1.0);
    arrow_head(c, x, y1, 0.0, 1.0);
    cq_canvas_text(c, x + 5.0, 0.5 * (y0 + y1) + 3.5, 10, CQ_ALIGN_LEFT, words);
}

/* Words at (x, y) with a line to what they name. */
static void name(cq_canvas *c, double x, double y, double to_x, double to_y, const char *words) {
    cq_kit_ink(c);
    cq_canvas_line(c, x, y + (to_y > y ? 3.0 : -10.0), to_x, to_y, 0.6, true);
    cq_canvas_label(c, x, y, 10, CQ_ALIGN_CENTRE, words);
}

/* ---- coupons ----------------------------------------------------------------------------------------------------- */

/* Steps of clay on both faces; the plate is dark where it hardened. */
cq_status cq_kit_stepped_clay(cq_canvas *c, const void *nothing) {
    enum { STEPS = 8 };
    const double left = 40.0, step = 44.0, middle = 84.0, half = 9.0;
    const int hard = 5; /* drawn so; yours will stop elsewhere */
    (void)nothing;
    for (int k = 0; k < STEPS; k++) {
        const double thick = 3.0 * (k + 1), x = left + step * k;
        box(c, x, middle - half - thick, step, thick, 0.86);
        box(c, x, middle + half, step, thick, 0.86);
        box(c, x, middle - half, step, 2.0 * half, k < hard ? 0.45 : 0.97);
    }
    name(c, 92.0, 24.0, left + 0.5 * step, middle - half - 2.0, "clay 0.1 mm (0.004 in)");
    name(c, 330.0, 24.0, left + 7.5 * step, middle - half - 20.0, "each step thicker, both faces alike");
    name(c, left + step * hard, 138.0, left + step * hard, middle + half + 3.0 * hard,
         "hardening stops here: this clay is the value");
    measure(c, left, left + step * STEPS, 162.0, "80 mm (3 1/8 in), 10 mm a step");
    cq_kit_ink(c);
    cq_canvas_text(c, left - 6.0, middle + 4.0, 10, CQ_ALIGN_RIGHT, "steel");
    return CQ_OK;
}

cq_status cq_kit_wedge(cq_canvas *c, const void *nothing) {
    const double left = 30.0, right = 400.0, middle = 80.0, thin = 3.0, thick = 34.0, stop = 0.58;
    const double x = left + stop * (right - left), half = thin + stop * (thick - thin);
    (void)nothing;
    cairo_new_path(c->cr);
    cairo_move_to(c->cr, left, middle - thin);
    cairo_line_to(c->cr, right, middle - thick);
    cairo_line_to(c->cr, right, middle + thick);
    cairo_line_to(c->cr, left, middle + thin);
    body(c, 0.97);
    cairo_new_path(c->cr); /* dark: hard; beyond the stop only below the faces */
    cairo_move_to(c->cr, left, middle - thin);
    cairo_line_to(c->cr, right, middle - thick);
    cairo_line_to(c->cr, right, middle - thick + 9.0);
    cairo_line_to(c->cr, x, middle);
    cairo_line_to(c->cr, right, middle + thick - 9.0);
    cairo_line_to(c->cr, right, middle + thick);
    cairo_line_to(c->cr, left, middle + thin);
    body(c, 0.45);
    measure_up(c, x, middle - half, middle + half, "");
    name(c, x - 40.0, 24.0, x, middle - half, "full hardening stops: thickness here is the value");
    cq_canvas_label(c, right - 50.0, middle + 4.0, 10, CQ_ALIGN_CENTRE, "soft core");
    cq_canvas_text(c, left, 54.0, 10, CQ_ALIGN_LEFT, "1 mm (3/64 in)");
    measure_up(c, right + 3.0, middle - thick, middle + thick, "");
    cq_canvas_text(c, right + 3.0, middle + thick + 14.0, 10, CQ_ALIGN_RIGHT, "12 mm (1/2 in)");
    measure(c, left, right, 150.0, "60 mm (2 3/8 in) long, 60 mm wide, bare on all sides");
    return CQ_OK;
}

/* ---- clay -------------------------------------------------------------------------------------------------------- */

cq_status cq_kit_bar(cq_canvas *c, const void *nothing) {
    const double left = 40.0, long_pt = 340.0, shrunk = 0.955;
    (void)nothing;
    cq_kit_ink(c);
    cq_canvas_text(c, left, 14.0, 10, CQ_ALIGN_LEFT, "wet: strip 130 x 25 x 5 mm, scratch two lines");
    box(c, left - 24.0, 38.0, long_pt + 48.0, 24.0, 0.86);
    cq_canvas_line(c, left, 38.0, left, 62.0, 1.2, false);
    cq_canvas_line(c, left + long_pt, 38.0, left + long_pt, 62.0, 1.2, false);
    measure(c, left, left + long_pt, 34.0, "100 mm (4 in)");
    cq_canvas_text(c, left, 94.0, 10, CQ_ALIGN_LEFT, "dry: measure between the same lines");
    box(c, left - 24.0 * shrunk, 114.0, (long_pt + 48.0) * shrunk, 24.0 * shrunk, 0.95);
    cq_canvas_line(c, left, 114.0, left, 114.0 + 24.0 * shrunk, 1.2, false);
    cq_canvas_line(c, left + long_pt * shrunk, 114.0, left + long_pt * shrunk, 114.0 + 24.0 * shrunk, 1.2, false);
    measure(c, left, left + long_pt * shrunk, 158.0, "shorter");
    return CQ_OK;
}

/* ---- the probe --------------------------------------------------------------------------------------------------- */

cq_status cq_kit_probe(cq_canvas *c, const void *nothing) {
    const double left = 60.0, right = 300.0, top = 56.0, low = 116.0, bead = 68.0;
    (void)nothing;
    box(c, left, top, right - left, low - top, 0.9);
    grey(c, 1.0);
    cairo_rectangle(c->cr, 180.0, bead - 3.0, right - 180.0, 6.0);
    cairo_fill(c->cr);
    cq_kit_ink(c);
    cq_canvas_line(c, 180.0, bead - 3.0, right, bead - 3.0, 0.7, false);
    cq_canvas_line(c, 180.0, bead + 3.0, right, bead + 3.0, 0.7, false);
    cq_canvas_line(c, 182.0, bead - 1.5, 400.0, bead - 1.5, 0.9, false);
    cq_canvas_line(c, 182.0, bead + 1.5, 400.0, bead + 1.5, 0.9, false);
    cairo_arc(c->cr, 182.0, bead, 2.8, 0.0, 6.2832);
    cairo_fill(c->cr);
    name(c, 150.0, 30.0, 181.0, bead - 3.0, "bead, pressed to the end of its hole, half-way along");
    measure_up(c, 120.0, top, bead, "depth");
    measure_up(c, 40.0, top, low, "");
    cq_canvas_text(c, 36.0, 0.5 * (top + low) + 4.0, 10, CQ_ALIGN_RIGHT, "12.5");
    measure(c, left, right, 138.0, "60 mm (2 3/8 in)");
    cq_canvas_text(c, 310.0, bead + 18.0, 10, CQ_ALIGN_LEFT, "hole sealed with");
    cq_canvas_text(c, 310.0, bead + 30.0, 10, CQ_ALIGN_LEFT, "fire cement");
    cq_canvas_text(c, 400.0, bead - 8.0, 10, CQ_ALIGN_RIGHT, "to the logger");
    cq_canvas_text(c, left, 160.0, 10, CQ_ALIGN_LEFT, "A round of 12.5 mm (1/2 in), stainless or alloy 600, bare");
    return CQ_OK;
}

/* ---- stations ---------------------------------------------------------------------------------------------------- */

cq_status cq_kit_stations(cq_canvas *c, const void *nothing) {
    static const char *const names[] = {"heel", "middle", "tip"};
    static const double at[] = {0.18, 0.52, 0.84};
    const double left = 70.0, right = 420.0, spine = 44.0, edge = 112.0;
    (void)nothing;
    cairo_new_path(c->cr);
    cairo_move_to(c->cr, left, spine);
    cairo_line_to(c->cr, right - 40.0, spine);
    cairo_curve_to(c->cr, right - 20.0, spine + 4.0, right - 6.0, spine + 18.0, right, spine + 34.0);
    cairo_curve_to(c->cr, right - 40.0, edge - 6.0, right - 70.0, edge, right - 110.0, edge);
    cairo_line_to(c->cr, left, edge);
    body(c, 0.97);
    cairo_set_line_width(c->cr, 1.4);
    cairo_move_to(c->cr, left, edge - 26.0);
    cairo_curve_to(c->cr, left + 90.0, edge - 20.0, left + 150.0, edge - 30.0, left + 240.0, edge - 24.0);
    cairo_curve_to(c->cr, left + 280.0, edge - 20.0, right - 30.0, edge - 26.0, right - 4.0, spine + 32.0);
    cq_kit_ink(c);
    cairo_stroke(c->cr);
    for (int k = 0; k < 3; k++) {
        const double x = left + at[k] * (right - left);
        cq_canvas_line(c, x, spine - 10.0, x, edge + 12.0, 0.6, true);
        cq_canvas_label(c, x, spine - 14.0, 10, CQ_ALIGN_CENTRE, names[k]);
        measure_up(c, x, edge - 25.0, edge - (k == 2 ? 4.0 : 0.0), "");
    }
    cq_canvas_text(c, left - 6.0, edge - 24.0, 10, CQ_ALIGN_RIGHT, "etched line");
    cq_canvas_text(c, left - 6.0, edge + 3.0, 10, CQ_ALIGN_RIGHT, "edge flat");
    cq_canvas_text(c, left - 6.0, spine + 4.0, 10, CQ_ALIGN_RIGHT, "spine");
    cq_canvas_text(c, left, 150.0, 10, CQ_ALIGN_LEFT,
                   "At each: height of the line, of the blade, thickness of the spine");
    return CQ_OK;
}
