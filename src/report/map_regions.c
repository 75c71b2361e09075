/* map_regions.c - what kind of blade comes out where on a map: hatching, borders, names. */
#include "report/map_sheet.h"

#include "base/memory.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static const double REGION_SIZE = 13.0; /* of a region's name, points */

/* Half-way to the neighbours: the part of the map that is this run's. */
static cq_map_box cell_of(const cq_map_sheet *s, size_t i, size_t j) {
    const cq_map_grid *g = s->g;
    const double x0 = i == 0 ? g->x[0] : 0.5 * (g->x[i - 1] + g->x[i]),
                 x1 = i + 1 == g->nx ? g->x[i] : 0.5 * (g->x[i] + g->x[i + 1]);
    const double y0 = j == 0 ? g->y[0] : 0.5 * (g->y[j - 1] + g->y[j]),
                 y1 = j + 1 == g->ny ? g->y[j] : 0.5 * (g->y[j] + g->y[j + 1]);
    return (cq_map_box){cq_axes_x(&s->axes, x0), cq_axes_y(&s->axes, y1), cq_axes_x(&s->axes, x1),
                        cq_axes_y(&s->axes, y0)};
}

/* Strokes inside the clip: they lean one way for a hard blade, the other way for a soft one, crossed for none. */
static void strokes(const cq_map_sheet *s, int verdict, double x0, double x1, double y0, double y1) {
    cairo_t *cr = s->canvas->cr;
    const double apart = verdict == CQ_VERDICT_THROUGH   ? 5.0
                         : verdict == CQ_VERDICT_NO_EDGE ? 10.0
                                                         : 14.0,
                 tall = y1 - y0;
    cairo_set_source_rgb(cr, 0.55, 0.55, 0.55);
    cairo_set_line_width(cr, 0.8);
    for (double x = x0 - tall; x < x1; x += apart) {
        if (verdict != CQ_VERDICT_NO_EDGE) {
            cairo_move_to(cr, x, y1);
            cairo_line_to(cr, x + tall, y0);
        }
        if (verdict != CQ_VERDICT_THROUGH) {
            cairo_move_to(cr, x, y0);
            cairo_line_to(cr, x + tall, y1);
        }
    }
    cairo_stroke(cr);
}

/* Where there is no line. False if no run of that verdict is without. */
static bool hatch(const cq_map_sheet *s, int verdict) {
    cairo_t *cr = s->canvas->cr;
    const cq_axes *a = &s->axes;
    bool there = false;
    cairo_save(cr);
    cairo_new_path(cr);
    for (size_t j = 0; j < s->g->ny; j++) {
        for (size_t i = 0; i < s->g->nx; i++) {
            if (cq_map_verdict(s->g, i, j) == verdict && isnan(cq_map_line(s->g, i, j))) {
                const cq_map_box b = cell_of(s, i, j);
                cairo_rectangle(cr, b.x0, b.y0, b.x1 - b.x0, b.y1 - b.y0);
                there = true;
            }
        }
    }
    cairo_clip(cr);
    strokes(s, verdict, a->x, a->x + a->width, a->y, a->y + a->height);
    cairo_restore(cr);
    return there;
}

/* Every hatching that there is, with its name above the frame from the right. */
void cq_map_hatch(const cq_map_sheet *s) {
    cairo_t *cr = s->canvas->cr;
    double x = s->axes.x + s->axes.width;
    for (int verdict = CQ_VERDICT_INERT; verdict >= CQ_MAP_UNKNOWN; verdict--) {
        if (!hatch(s, verdict)) {
            continue;
        }
        const char *words = cq_map_verdict_words(s->g, verdict);
        cairo_text_extents_t extents;
        cairo_set_source_rgb(cr, 0.1, 0.1, 0.1);
        cq_canvas_text(s->canvas, x, s->axes.y - 7, 10, CQ_ALIGN_RIGHT, words);
        cairo_text_extents(cr, words, &extents);
        x -= extents.x_advance + 26.0;
        cairo_save(cr);
        cairo_rectangle(cr, x, s->axes.y - 16, 20, 11);
        cairo_clip(cr);
        strokes(s, verdict, x, x + 20, s->axes.y - 16, s->axes.y - 5);
        cairo_restore(cr);
        cairo_set_source_rgb(cr, 0.1, 0.1, 0.1);
        cairo_set_line_width(cr, 0.8);
        cairo_rectangle(cr, x, s->axes.y - 16, 20, 11);
        cairo_stroke(cr);
        x -= 16.0;
    }
}

/* Borders between verdicts. */
void cq_map_borders(const cq_map_sheet *s) {
    cairo_t *cr = s->canvas->cr;
    cairo_new_path(cr);
    for (size_t j = 0; j < s->g->ny; j++) {
        for (size_t i = 0; i < s->g->nx; i++) {
            const cq_map_box b = cell_of(s, i, j);
            const int own = cq_map_verdict(s->g, i, j);
            if (i + 1 < s->g->nx && cq_map_verdict(s->g, i + 1, j) != own) {
                cairo_move_to(cr, b.x1, b.y0);
                cairo_line_to(cr, b.x1, b.y1);
            }
            if (j + 1 < s->g->ny && cq_map_verdict(s->g, i, j + 1) != own) {
                cairo_move_to(cr, b.x0, b.y0);
                cairo_line_to(cr, b.x1, b.y0);
            }
        }
    }
    cairo_set_line_cap(cr, CAIRO_LINE_CAP_ROUND);
    cq_canvas_stroke_rimmed(s->canvas, 4.6, 2.4);
    cairo_set_line_cap(cr, CAIRO_LINE_CAP_BUTT);
}

/* Mark the region of node `from` as number `mark`; `queue` holds a place per node. */
static size_t spread(const cq_map_grid *g, int *region, size_t *queue, size_t from, int mark) {
    size_t n = 0, taken = 0;
    queue[n++] = from;
    region[from] = mark;
    while (taken < n) {
        const size_t at = queue[taken++], i = at % g->nx, j = at / g->nx;
        const size_t near[4] = {i > 0 ? at - 1 : at, i + 1 < g->nx ? at + 1 : at, j > 0 ? at - g->nx : at,
                                j + 1 < g->ny ? at + g->nx : at};
        for (int k = 0; k < 4; k++) {
            if (region[near[k]] == 0 && g->verdict[near[k]] == g->verdict[from]) {
                region[near[k]] = mark;
                queue[n++] = near[k];
            }
        }
    }
    return n;
}

/* The node of a region that is farthest from everything else, of several the one nearest to the region's mean. */
static size_t middle_of(const cq_map_sheet *s, const int *region, const size_t *members, size_t n) {
    const cq_map_grid *g = s->g;
    size_t best = members[0];
    double most = -HUGE_VAL, x_mean = 0.0, y_mean = 0.0;
    for (size_t m = 0; m < n; m++) {
        x_mean += cq_axes_x(&s->axes, g->x[members[m] % g->nx]) / (double)n;
        y_mean += cq_axes_y(&s->axes, g->y[members[m] / g->nx]) / (double)n;
    }
    for (size_t m = 0; m < n; m++) {
        const double x = cq_axes_x(&s->axes, g->x[members[m] % g->nx]),
                     y = cq_axes_y(&s->axes, g->y[members[m] / g->nx]);
        double least = fmin(fmin(x - s->axes.x, s->axes.x + s->axes.width - x),
                            fmin(y - s->axes.y, s->axes.y + s->axes.height - y));
        for (size_t o = 0; o < g->nx * g->ny; o++) {
            if (region[o] != region[members[m]]) {
                least = fmin(least,
                             hypot(x - cq_axes_x(&s->axes, g->x[o % g->nx]), y - cq_axes_y(&s->axes, g->y[o / g->nx])));
            }
        }
        least -= 0.1 * hypot(x - x_mean, y - y_mean);
        if (least > most) {
            most = least;
            best = members[m];
        }
    }
    return best;
}

/* Do words centred at (x, y) lie on nothing but the region of node `at`? */
static bool lies_within(const cq_map_sheet *s, const int *region, size_t at, double x, double y, const char *words) {
    const cq_map_grid *g = s->g;
    const cq_axes *a = &s->axes;
    cairo_text_extents_t extents;
    cairo_set_font_size(s->canvas->cr, REGION_SIZE);
    cairo_text_extents(s->canvas->cr, words, &extents);
    for (double share = -0.5; share <= 0.5; share += 0.125) {
        const double across = fmin(fmax(x + share * extents.x_advance, a->x), a->x + a->width);
        const double x_there = a->x0 + (a->x1 - a->x0) * (across - a->x) / a->width;
        const double y_there = a->y1 - (a->y1 - a->y0) * (y - a->y) / a->height;
        const size_t i = cq_map_nearest(g->x, g->nx, x_there), j = cq_map_nearest(g->y, g->ny, y_there);
        if (region[j * g->nx + i] != region[at]) {
            return false;
        }
    }
    return true;
}

/* At the middle of the region or, where words stand there already, above or below. A small or narrow one goes without:
 * its hatching is named above the frame; one without hatching, which nothing else names, is named across its border. */
static void name_region(cq_map_sheet *s, const int *region, size_t at, size_t members, const char *words) {
    static const double aside[] = {0.0, 24.0, -24.0, 48.0, -48.0, 72.0, -72.0};
    const cq_map_grid *g = s->g;
    const double x = cq_axes_x(&s->axes, g->x[at % g->nx]), y = cq_axes_y(&s->axes, g->y[at / g->nx]);
    const bool small = members < 2 || 40 * members < g->nx * g->ny, hatched = isnan(g->line_m[at]);
    for (int pass = 0; pass < (hatched ? 1 : 2) && !small; pass++) {
        for (size_t n = 0; n < sizeof aside / sizeof aside[0]; n++) {
            if ((pass > 0 || lies_within(s, region, at, x, y + aside[n], words)) &&
                cq_map_put_label(s, x, y + aside[n], REGION_SIZE, HUGE_VAL, words)) {
                return;
            }
        }
    }
}

cq_status cq_map_name_regions(cq_map_sheet *s) {
    const cq_map_grid *g = s->g;
    const size_t nodes = g->nx * g->ny;
    int *region = cq_memory_zero(nodes, sizeof *region), mark = 0;
    size_t *queue = cq_memory_zero(nodes, sizeof *queue);
    const bool enough = region != NULL && queue != NULL;
    for (size_t n = 0; n < nodes && enough; n++) {
        if (region[n] == 0) {
            const size_t members = spread(g, region, queue, n, ++mark);
            const size_t at = middle_of(s, region, queue, members);
            cairo_set_source_rgb(s->canvas->cr, 0.05, 0.05, 0.05);
            name_region(s, region, at, members, cq_map_verdict_words(g, g->verdict[at]));
        }
    }
    cq_memory_free(region);
    cq_memory_free(queue);
    return enough ? CQ_OK : CQ_ERR_MEMORY;
}
