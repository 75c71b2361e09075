/* kit_gauges.c - what of the kit is drawn to true size: the combs for wet clay, and bars to check the paper by. */
#include "report/kit.h"

#include <stdio.h>
#include <string.h>

static const double POINT_M = 0.0254 / 72.0;
#define MM(n) ((n)*1e-3 / POINT_M)

/* A plate of 60 x 42 mm, teeth at its upper and lower end; millimetres, chosen here: a hand can saw and file it, and
 * it stands on a knife. */
static const double PLATE_TALL = 42.0, FOOT = 6.0, TOOTH = 5.5, SLOT = 2.5, SLOT_DEEP = 6.5;

const cq_kit_comb CQ_KIT_COMB_MM = {0.25e-3, "mm"}, CQ_KIT_COMB_INCH = {0.0254 / 64.0, "64"};

static double plate_wide(void) {
    return 2.0 * FOOT + CQ_KIT_TEETH * TOOTH + (CQ_KIT_TEETH + 1) * SLOT;
}

/* Along one end from left to right, `out` +1 below and -1 above; teeth stand back by their step. */
static void trace_end(cairo_t *cr, const cq_kit_comb *comb, double x, double y, double out, int first) {
    const double slot = out * MM(SLOT_DEEP);
    double at = x + MM(FOOT);
    cairo_line_to(cr, x, y);
    cairo_line_to(cr, at, y);
    for (int k = 0; k < CQ_KIT_TEETH; k++) {
        const double back = out * (first + k) * comb->step_m / POINT_M;
        cairo_line_to(cr, at, y - slot);
        cairo_line_to(cr, at + MM(SLOT), y - slot);
        cairo_line_to(cr, at + MM(SLOT), y - back);
        cairo_line_to(cr, at + MM(SLOT + TOOTH), y - back);
        at += MM(SLOT + TOOTH);
    }
    cairo_line_to(cr, at, y - slot);
    cairo_line_to(cr, at + MM(SLOT), y - slot);
    cairo_line_to(cr, at + MM(SLOT), y);
    cairo_line_to(cr, at + MM(SLOT + FOOT), y);
}

static void label_end(cq_canvas *c, const cq_kit_comb *comb, double x, double y, int first) {
    for (int k = 0; k < CQ_KIT_TEETH; k++) {
        char words[16];
        if (strcmp(comb->unit, "mm") == 0) {
            snprintf(words, sizeof words, "%.2f", 1e3 * comb->step_m * (first + k));
        } else {
            snprintf(words, sizeof words, "%d/64", first + k);
        }
        cq_canvas_text(c, x + MM(FOOT + SLOT + 0.5 * TOOTH + k * (SLOT + TOOTH)), y, 7.0, CQ_ALIGN_CENTRE, words);
    }
}

cq_status cq_kit_comb_draw(cq_canvas *c, const void *context) {
    const cq_kit_comb *comb = context;
    const double x = 16.0, top = 16.0, low = top + MM(PLATE_TALL);
    cairo_new_path(c->cr);
    trace_end(c->cr, comb, x, low, 1.0, 1);
    cairo_save(c->cr); /* the upper end from right to left: the lower one turned over */
    double right = x + MM(plate_wide());
    cairo_translate(c->cr, right, 0.0);
    cairo_scale(c->cr, -1.0, 1.0);
    trace_end(c->cr, comb, 0.0, top, -1.0, CQ_KIT_TEETH + 1);
    cairo_restore(c->cr);
    cairo_close_path(c->cr);
    cairo_set_source_rgb(c->cr, 0.93, 0.94, 0.95);
    cairo_fill_preserve(c->cr);
    cq_kit_ink(c);
    cairo_set_line_width(c->cr, 0.6);
    cairo_stroke(c->cr);
    label_end(c, comb, x, low - MM(SLOT_DEEP) - 3.0, 1);
    cairo_save(c->cr); /* read with the plate turned */
    cairo_translate(c->cr, right, top + MM(SLOT_DEEP) + 3.0);
    cairo_rotate(c->cr, 3.14159265358979);
    label_end(c, comb, 0.0, 0.0, CQ_KIT_TEETH + 1);
    cairo_restore(c->cr);
    cq_canvas_text(c, x + 0.5 * MM(plate_wide()), 0.5 * (top + low), 8.0, CQ_ALIGN_CENTRE,
                   strcmp(comb->unit, "mm") == 0 ? "wet clay, mm" : "wet clay, inch");
    right += 14.0;
    cq_canvas_text(c, right, top + 10.0, 10.0, CQ_ALIGN_LEFT, "feet: stand on the steel");
    cq_canvas_text(c, right, top + 26.0, 10.0, CQ_ALIGN_LEFT, "teeth: each one step shorter");
    cq_canvas_text(c, right, top + 50.0, 10.0, CQ_ALIGN_LEFT, "The clay is thicker than the last");
    cq_canvas_text(c, right, top + 63.0, 10.0, CQ_ALIGN_LEFT, "tooth it wetted, thinner than the next.");
    return CQ_OK;
}

static void bar(cq_canvas *c, double y, double length, int ticks, const char *words) {
    const double x = 16.0;
    cq_kit_ink(c);
    cq_canvas_line(c, x, y, x + length, y, 0.8, false);
    for (int k = 0; k <= ticks; k++) {
        const double at = x + length * k / ticks;
        cq_canvas_line(c, at, y, at, y - (k == 0 || k == ticks ? 12.0 : 7.0), 0.6, false);
    }
    cq_canvas_text(c, x, y + 14.0, 10.0, CQ_ALIGN_LEFT, words);
}

cq_status cq_kit_scales(cq_canvas *c, const void *nothing) {
    (void)nothing;
    bar(c, 24.0, MM(100.0), 10, "exactly 100 mm on paper printed at 100 %");
    bar(c, 68.0, 4.0 * 72.0, 8, "exactly 4 inches on paper printed at 100 %");
    return CQ_OK;
}
