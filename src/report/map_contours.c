/* map_contours.c - lines of equal height of the hardening line on a map, and their heights in words. */
#include "report/map_sheet.h"

#include <math.h>
#include <stdio.h>

/* Where the level crosses the side from node (i, j) to (k, l); false if it does not. */
static bool crosses(const cq_map_sheet *s, double level_m, size_t i, size_t j, size_t k, size_t l, double *x,
                    double *y) {
    const double a = cq_map_line(s->g, i, j), b = cq_map_line(s->g, k, l);
    if ((a >= level_m) == (b >= level_m)) {
        return false;
    }
    const double u = (level_m - a) / (b - a);
    *x = cq_axes_x(&s->axes, s->g->x[i] + u * (s->g->x[k] - s->g->x[i]));
    *y = cq_axes_y(&s->axes, s->g->y[j] + u * (s->g->y[l] - s->g->y[j]));
    return true;
}

/* The pieces of one level in the square at (i, j): none, one or two; n points come in pairs. */
static int pieces(const cq_map_sheet *s, double level_m, size_t i, size_t j, double x[4], double y[4]) {
    const size_t corner[5][2] = {{i, j}, {i + 1, j}, {i + 1, j + 1}, {i, j + 1}, {i, j}};
    int n = 0;
    for (int c = 0; c < 4; c++) {
        if (isnan(cq_map_line(s->g, corner[c][0], corner[c][1]))) {
            return 0;
        }
    }
    for (int c = 0; c < 4; c++) {
        if (crosses(s, level_m, corner[c][0], corner[c][1], corner[c + 1][0], corner[c + 1][1], &x[n], &y[n])) {
            n++;
        }
    }
    return n;
}

static void draw_level(const cq_map_sheet *s, double level_m) {
    double x[4], y[4];
    cairo_new_path(s->canvas->cr);
    for (size_t j = 0; j + 1 < s->g->ny; j++) {
        for (size_t i = 0; i + 1 < s->g->nx; i++) {
            const int n = pieces(s, level_m, i, j, x, y);
            for (int p = 0; p + 1 < n; p += 2) {
                cairo_move_to(s->canvas->cr, x[p], y[p]);
                cairo_line_to(s->canvas->cr, x[p + 1], y[p + 1]);
            }
        }
    }
    cairo_set_source_rgba(s->canvas->cr, 1, 1, 1, 0.75);
    cairo_set_line_width(s->canvas->cr, 2.2);
    cairo_stroke_preserve(s->canvas->cr);
    cairo_set_source_rgb(s->canvas->cr, 0.1, 0.1, 0.1);
    cairo_set_line_width(s->canvas->cr, 0.9);
    cairo_stroke(s->canvas->cr);
}

/* One number per level, on the free piece nearest to the diagonal the level has to cross. */
static void name_level(cq_map_sheet *s, double level_m, const char *words) {
    double x[4], y[4];
    for (int ring = 0; ring < 4; ring++) { /* nearer places first */
        for (size_t j = 0; j + 1 < s->g->ny; j++) {
            for (size_t i = 0; i + 1 < s->g->nx; i++) {
                const double u = (double)(i + 1) / (double)s->g->nx, v = (double)(j + 1) / (double)s->g->ny;
                const int n = pieces(s, level_m, i, j, x, y);
                const double off = fabs(u - v), least = 0.12 * ring, most = ring == 3 ? 2.0 : 0.12 * (ring + 1);
                if (n >= 2 && off >= least && off < most &&
                    cq_map_put_label(s, 0.5 * (x[0] + x[1]), 0.5 * (y[0] + y[1]), 10.0, 0.0, words)) {
                    return;
                }
            }
        }
    }
}

/* 1, 2 or 5 times a power of ten, so that there are some six levels. */
double cq_map_level_step(double span) {
    const double raw = span / 6.0, power = pow(10.0, floor(log10(raw))), lead = raw / power;
    return power * (lead < 1.5 ? 1.0 : lead < 3.5 ? 2.0 : lead < 7.5 ? 5.0 : 10.0);
}

void cq_map_contours(cq_map_sheet *s, bool words_now) {
    const double span = s->ramp.high - s->ramp.low, step = cq_map_level_step(span);
    for (double level = ceil(s->ramp.low / step) * step; level <= s->ramp.high; level += step) {
        char words[24];
        snprintf(words, sizeof words, "%g", step * nearbyint(level / step));
        if (words_now) {
            cairo_set_source_rgb(s->canvas->cr, 0.05, 0.05, 0.05);
            name_level(s, 1e-3 * level, words);
        } else {
            draw_level(s, 1e-3 * level);
        }
    }
}
