/* curve_chart.c - the curve (sori) against time: dip, crests, what comes out, and how far it may be off. */
#include "report/chart_parts.h"
#include "report/pictures.h"

#include <math.h>
#include <stdio.h>

/* mm over the blade's length; without one, curvature in 1/km. */
static double scale_of(const cq_result *r) {
    const double L = r->plan->blade.length_m;
    return L > 0.0 ? 1e3 * L * L / 8.0 : 1e3;
}

/* 1, 2, 5, 10 ... steps that hold the value. */
static double round_up(double v) {
    const double power = pow(10.0, floor(log10(fmax(v, 1e-6)))), lead = v / power;
    return power * (lead <= 1.0 ? 1.0 : lead <= 2.0 ? 2.0 : lead <= 5.0 ? 5.0 : 10.0);
}

static cq_axes axes_of(const cq_result *r, const cq_chart_place *place) {
    const cq_curve *c = &r->curve;
    const double scale = scale_of(r);
    double low = 0.0, high = 0.0;
    for (size_t i = 0; i < c->n; i++) {
        low = fmin(low, scale * fmin(c->curvature_1_m[i], c->side_curvature_1_m[i]));
        high = fmax(high, scale * fmax(c->curvature_1_m[i], c->side_curvature_1_m[i]));
    }
    if (r->plan->blade.length_m > 0.0 && !c->direction_only) {
        low = fmin(low, 1e3 * c->quenched.low_m);
        high = fmax(high, 1e3 * c->quenched.high_m);
    }
    const double step = 0.25 * round_up(0.5 * (high - low));
    return (cq_axes){place->x,
                     place->y,
                     place->width,
                     place->height,
                     0.1,
                     pow(10.0, ceil(log10(fmax(10.0, c->time_s[c->n - 1])) - 1e-9)),
                     step * (floor(low / step - 0.3) - 0.5),
                     step * ceil(high / step + 0.2),
                     true};
}

static void draw_history(cq_canvas *c, const cq_axes *a, const cq_curve *h, const double *curvature, double scale) {
    cairo_new_path(c->cr);
    for (size_t i = 0; i < h->n; i++) {
        const double x = cq_axes_x(a, fmax(a->x0, h->time_s[i]));
        cairo_line_to(c->cr, x, cq_axes_y(a, scale * curvature[i]));
    }
    cq_chart_stroke(c);
}

static void mark_turns(cq_canvas *c, const cq_axes *a, const cq_curve *h, double scale) {
    for (size_t n = 0; n < h->turns_n; n++) {
        const cq_turn *t = &h->turns[n];
        const double x = cq_axes_x(a, fmax(a->x0, t->time_s)), y = cq_axes_y(a, scale * t->curvature_1_m);
        char words[64];
        snprintf(words, sizeof words, "%s %.3g s", t->dip ? "dip" : "crest", t->time_s);
        cairo_set_source_rgb(c->cr, 0.05, 0.05, 0.05);
        cairo_new_path(c->cr); /* not on from where the label before ended */
        cairo_arc(c->cr, x, y, 3.0, 0.0, 6.2832);
        cairo_fill(c->cr);
        cq_canvas_label(c, x, y + (t->dip ? 17 : -8), 10.5, CQ_ALIGN_CENTRE, words);
    }
}

/* What comes out, with its band, beyond the right side of the frame. */
static void mark_outcome(cq_canvas *c, const cq_axes *a, const cq_result *r) {
    const cq_bend *q = &r->curve.quenched;
    const double x = a->x + a->width + 10;
    if (!(r->plan->blade.length_m > 0.0) || r->curve.direction_only) {
        return;
    }
    const double low = cq_axes_y(a, 1e3 * q->low_m), high = cq_axes_y(a, 1e3 * q->high_m),
                 at = cq_axes_y(a, 1e3 * q->rise_m);
    char words[48];
    cairo_set_source_rgb(c->cr, 0.70, 0.05, 0.05);
    cq_canvas_line(c, x, low, x, high, 2.0, false);
    cq_canvas_line(c, x - 4, low, x + 4, low, 1.2, false);
    cq_canvas_line(c, x - 4, high, x + 4, high, 1.2, false);
    cq_canvas_line(c, x - 7, at, x + 7, at, 2.4, false);
    snprintf(words, sizeof words, fabs(q->rise_m) < 5e-5 ? "0.0 mm" : "%+.1f mm", 1e3 * q->rise_m);
    cq_canvas_label(c, x + 10, at + 4, 11, CQ_ALIGN_LEFT, words);
}

static void axis_words(const cq_result *r, bool brief, char *to, size_t room) {
    const double L = r->plan->blade.length_m;
    const char *way = brief ? " (+ toward the spine)" : "    (+ toward the spine, edge convex)";
    if (L > 0.0) {
        snprintf(to, room, "rise over %.0f mm, mm%s", 1e3 * L, way);
    } else {
        snprintf(to, room, "curvature, 1/km%s", way);
    }
}

void cq_chart_curve(cq_canvas *c, const cq_result *r, cq_chart_place *place) {
    const cq_axes a = axes_of(r, place);
    const double scale = scale_of(r);
    char words[120];
    axis_words(r, place->brief, words, sizeof words);
    cq_axes_draw(c, &a, place->brief ? "seconds since leaving the fire" : "seconds since the start of the first step",
                 words, true);
    cairo_set_source_rgb(c->cr, 0.3, 0.3, 0.3);
    cq_canvas_line(c, a.x, cq_axes_y(&a, 0.0), a.x + a.width, cq_axes_y(&a, 0.0), 1.0, false);
    cq_chart_legend_in(c, place, 0, place->brief ? "to the spine" : "toward the spine");
    cq_chart_style(c, 0);
    draw_history(c, &a, &r->curve, r->curve.curvature_1_m, scale);
    if (!r->grid->symmetric) {
        cq_chart_legend_in(c, place, 1, place->brief ? "to the right" : "sideways, + to the right");
        cq_chart_style(c, 1);
        draw_history(c, &a, &r->curve, r->curve.side_curvature_1_m, scale);
    }
    mark_turns(c, &a, &r->curve, scale);
    mark_outcome(c, &a, r);
}

cq_status cq_picture_curve(const cq_result *r, cq_picture_format format, unsigned char **bytes, size_t *length) {
    cq_chart_place place = {CHART_LEFT, CHART_TOP, CHART_WIDTH - CHART_LEFT - 96, CHART_TALL, LEGEND_Y, false, 0, 0.0};
    cq_canvas c;
    if (cq_canvas_open(&c, format, CHART_WIDTH, CHART_TOP + CHART_TALL + 48) != CQ_OK) {
        return CQ_ERR_MEMORY;
    }
    cq_picture_heading(&c, r, CHART_LEFT, CHART_WIDTH - CHART_LEFT - 36,
                       r->curve.direction_only ? "Curve (sori) during the quench: of oil only the direction is told"
                                               : "Curve (sori) during the quench");
    cq_chart_curve(&c, r, &place);
    return cq_canvas_close(&c, bytes, length);
}
