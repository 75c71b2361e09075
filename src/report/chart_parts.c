/* chart_parts.c - see chart_parts.h. */
#include "report/chart_parts.h"

#include "hardness/hardness.h"

#include <stdio.h>

void cq_chart_style(cq_canvas *c, int n) {
    static const double rgb[CHART_STYLES][3] = {
        {0.80, 0.10, 0.10}, {0.10, 0.30, 0.65}, {0.35, 0.35, 0.35}, {0.00, 0.45, 0.40}, {0.75, 0.50, 0.05}};
    static const double dash[CHART_STYLES][4] = {
        {1, 0, 1, 0}, {7, 3, 7, 3}, {2, 2.5, 2, 2.5}, {10, 3, 2, 3}, {14, 4, 14, 4}};
    cairo_set_source_rgb(c->cr, rgb[n][0], rgb[n][1], rgb[n][2]);
    cairo_set_dash(c->cr, dash[n], n == 0 ? 0 : 4, 0);
    cairo_set_line_width(c->cr, 2.0);
}

void cq_chart_stroke(cq_canvas *c) {
    cairo_stroke(c->cr);
    cairo_set_dash(c->cr, NULL, 0, 0);
}

static void legend(cq_canvas *c, double x, double y, int n, const char *words) {
    cq_chart_style(c, n);
    cairo_move_to(c->cr, x, y);
    cairo_line_to(c->cr, x + 30, y);
    cq_chart_stroke(c);
    cairo_set_source_rgb(c->cr, 0.1, 0.1, 0.1);
    cq_canvas_text(c, x + 36, y + 4, 11, CQ_ALIGN_LEFT, words);
}

void cq_chart_legend_at(cq_canvas *c, double x, int n, const char *words) {
    legend(c, x, LEGEND_Y, n, words);
}

void cq_chart_legend_in(cq_canvas *c, cq_chart_place *place, int n, const char *words) {
    const int before = place->legends++;
    if (!place->brief) {
        legend(c, place->x + 170.0 * before, place->legend_y, n, words);
        return;
    }
    cairo_text_extents_t extents;
    cairo_set_font_size(c->cr, 11 * (c->text_scale > 0.0 ? c->text_scale : 1.0));
    cairo_text_extents(c->cr, words, &extents);
    if (before == 0 || place->legend_x + 36 + extents.x_advance > place->x + place->width) {
        place->legend_x = place->x;
        place->legend_y += before == 0 ? 0.0 : 18.0;
    }
    legend(c, place->legend_x, place->legend_y, n, words);
    place->legend_x += 36 + extents.x_advance + 14;
}

void cq_chart_legend(cq_canvas *c, int place, int n, const char *words) {
    cq_chart_legend_at(c, CHART_LEFT + 170.0 * place, n, words);
}

/* The Rockwell scale is not even in HV: its own ticks on the right. */
void cq_chart_rockwell(cq_canvas *c, const cq_axes *a) {
    cairo_set_source_rgb(c->cr, 0.15, 0.15, 0.15);
    for (int HRC = 20; HRC <= 65; HRC += 5) {
        char words[16];
        const double y = cq_axes_y(a, cq_hardness_HV(HRC));
        snprintf(words, sizeof words, "%d", HRC);
        cq_canvas_line(c, a->x + a->width, y, a->x + a->width + 4, y, 0.8, false);
        if (HRC % 10 == 0 || HRC > 50) { /* below, fives would touch */
            cq_canvas_text(c, a->x + a->width + 8, y + 3.5, 10, CQ_ALIGN_LEFT, words);
        }
    }
    cq_canvas_text_up(c, a->x + a->width + 44, a->y + 0.5 * a->height, 11,
                      a->height < 300.0 ? "Rockwell C (none below 20)" : "Rockwell hardness, HRC (none below 20)");
}

void cq_chart_colour_bar(cq_canvas *c, double x, double y, double width, const cq_ramp *ramp, const char *words) {
    enum { STEPS = 96, TALL = 13 };
    for (int n = 0; n < STEPS; n++) {
        double rgb[3];
        cq_colour_of((n + 0.5) / STEPS, rgb);
        cairo_set_source_rgb(c->cr, rgb[0], rgb[1], rgb[2]);
        cairo_rectangle(c->cr, x + width * n / (double)STEPS, y, /* under the next one too: no seams */
                        width * (n + 1 < STEPS ? 2 : 1) / (double)STEPS, TALL);
        cairo_fill(c->cr);
    }
    const cq_axes axes = {x, y, width, TALL, ramp->low, ramp->high, 0, 1, ramp->log};
    cq_axes_draw(c, &axes, words, NULL, false);
}
