/* map_picture.c - the line's height over two varied keys: colours, contours, verdicts as regions with their names. */
#include "report/canvas.h"
#include "report/chart_parts.h"
#include "report/map_grid.h"
#include "report/study_pictures.h"

#include "base/memory.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { WIDTH = 780, LEFT = 84, RIGHT = 40, TOP = 76, TALL = 400, BAR_BELOW = 74, FOOT = 62, MOST_LABELS = 96 };
enum { PIXELS_X = 656, PIXELS_Y = 400 };
static const double REGION_SIZE = 13.0; /* of a region's name, points */

typedef struct box {
    double x0, y0, x1, y1;
} box;

typedef struct sheet {
    cq_canvas *canvas;
    const cq_map_grid *g;
    cq_axes axes;
    cq_ramp ramp; /* mm */
    size_t boxes_n;
    box boxes[MOST_LABELS]; /* words that stand already */
} sheet;

/* ---- words that do not lie on one another ------------------------------------------------------------------------ */

static bool is_free(const sheet *s, const box *b) {
    for (size_t n = 0; n < s->boxes_n; n++) {
        const box *o = &s->boxes[n];
        if (b->x0 < o->x1 && b->x1 > o->x0 && b->y0 < o->y1 && b->y1 > o->y0) {
            return false;
        }
    }
    return s->boxes_n < MOST_LABELS;
}

/* Words centred at (x, y), moved by `most` at most where they would stand out of the frame, if they lie on nothing
 * else. */
static bool put_label(sheet *s, double x, double y, double size, double most, const char *words) {
    cairo_text_extents_t extents;
    const double edge = 4.0;
    cairo_set_font_size(s->canvas->cr, size);
    cairo_text_extents(s->canvas->cr, words, &extents);
    const double half = 0.5 * extents.x_advance + edge;
    const double x_wish = x, y_wish = y;
    x = fmin(fmax(x, s->axes.x + half), s->axes.x + s->axes.width - half);
    y = fmin(fmax(y, s->axes.y + 0.8 * size), s->axes.y + s->axes.height - 0.8 * size);
    if (hypot(x - x_wish, y - y_wish) > most) {
        return false;
    }
    const box b = {x - half, y - 0.8 * size, x + half, y + 0.8 * size};
    if (!is_free(s, &b)) {
        return false;
    }
    s->boxes[s->boxes_n++] = b;
    cq_canvas_label(s->canvas, x, y + 0.35 * size, size, CQ_ALIGN_CENTRE, words);
    return true;
}

/* ---- colours ----------------------------------------------------------------------------------------------------- */

/* The interval of a rising axis that holds v, and the share of the way through it. */
static size_t interval_of(const double *axis, size_t n, double v, double *share) {
    size_t i = 0;
    while (i + 2 < n && v > axis[i + 1]) {
        i++;
    }
    *share = fmin(1.0, fmax(0.0, (v - axis[i]) / (axis[i + 1] - axis[i])));
    return i;
}

/* Height of the line at a place, from the corners around it that have one; NaN where the nearest has none, so that the
 * border between line and no line lies half-way between runs, which is all that is known of it. */
static double line_at(const cq_map_grid *g, double x, double y) {
    double u, v, sum = 0.0, weights = 0.0;
    const size_t i = interval_of(g->x, g->nx, x, &u), j = interval_of(g->y, g->ny, y, &v);
    if (isnan(cq_map_line(g, i + (u > 0.5 ? 1 : 0), j + (v > 0.5 ? 1 : 0)))) {
        return NAN;
    }
    for (size_t corner = 0; corner < 4; corner++) {
        const size_t di = corner % 2, dj = corner / 2;
        const double line_m = cq_map_line(g, i + di, j + dj),
                     weight = (di == 1 ? u : 1.0 - u) * (dj == 1 ? v : 1.0 - v);
        if (!isnan(line_m)) {
            sum += weight * line_m;
            weights += weight;
        }
    }
    return sum / weights;
}

static cq_status paint_lines(const sheet *s) {
    const cq_axes *a = &s->axes;
    cairo_surface_t *image = cairo_image_surface_create(CAIRO_FORMAT_ARGB32, PIXELS_X, PIXELS_Y);
    if (cairo_surface_status(image) != CAIRO_STATUS_SUCCESS) {
        cairo_surface_destroy(image);
        return CQ_ERR_MEMORY;
    }
    unsigned char *bytes = cairo_image_surface_get_data(image);
    const int stride = cairo_image_surface_get_stride(image);
    for (int row = 0; row < PIXELS_Y; row++) {
        uint32_t *pixel = (uint32_t *)(void *)(bytes + (ptrdiff_t)row * stride);
        for (int column = 0; column < PIXELS_X; column++) {
            const double x = a->x0 + (a->x1 - a->x0) * (column + 0.5) / PIXELS_X,
                         y = a->y1 - (a->y1 - a->y0) * (row + 0.5) / PIXELS_Y, line_m = line_at(s->g, x, y);
            double rgb[3];
            if (!isnan(line_m)) {
                cq_colour_of(cq_ramp_share(&s->ramp, 1e3 * line_m), rgb);
                pixel[column] = 0xff000000u | (uint32_t)lround(255.0 * rgb[0]) << 16 |
                                (uint32_t)lround(255.0 * rgb[1]) << 8 | (uint32_t)lround(255.0 * rgb[2]);
            }
        }
    }
    cairo_surface_mark_dirty(image);
    cairo_save(s->canvas->cr);
    cairo_translate(s->canvas->cr, a->x, a->y);
    cairo_scale(s->canvas->cr, a->width / PIXELS_X, a->height / PIXELS_Y);
    cairo_set_source_surface(s->canvas->cr, image, 0, 0);
    cairo_paint(s->canvas->cr);
    cairo_restore(s->canvas->cr);
    cairo_surface_destroy(image);
    return CQ_OK;
}

/* ---- regions ----------------------------------------------------------------------------------------------------- */

/* Half-way to the neighbours: the part of the map that is this run's. */
static box cell_of(const sheet *s, size_t i, size_t j) {
    const cq_map_grid *g = s->g;
    const double x0 = i == 0 ? g->x[0] : 0.5 * (g->x[i - 1] + g->x[i]),
                 x1 = i + 1 == g->nx ? g->x[i] : 0.5 * (g->x[i] + g->x[i + 1]);
    const double y0 = j == 0 ? g->y[0] : 0.5 * (g->y[j - 1] + g->y[j]),
                 y1 = j + 1 == g->ny ? g->y[j] : 0.5 * (g->y[j] + g->y[j + 1]);
    return (box){cq_axes_x(&s->axes, x0), cq_axes_y(&s->axes, y1), cq_axes_x(&s->axes, x1), cq_axes_y(&s->axes, y0)};
}

/* Strokes inside the clip: they lean one way for a hard blade, the other way for a soft one, crossed for none. */
static void strokes(const sheet *s, int verdict, double x0, double x1, double y0, double y1) {
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
static bool hatch(const sheet *s, int verdict) {
    cairo_t *cr = s->canvas->cr;
    const cq_axes *a = &s->axes;
    bool there = false;
    cairo_save(cr);
    cairo_new_path(cr);
    for (size_t j = 0; j < s->g->ny; j++) {
        for (size_t i = 0; i < s->g->nx; i++) {
            if (cq_map_verdict(s->g, i, j) == verdict && isnan(cq_map_line(s->g, i, j))) {
                const box b = cell_of(s, i, j);
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
static void hatch_all(const sheet *s) {
    cairo_t *cr = s->canvas->cr;
    double x = s->axes.x + s->axes.width;
    for (int verdict = CQ_VERDICT_INERT; verdict >= CQ_MAP_UNKNOWN; verdict--) {
        if (!hatch(s, verdict)) {
            continue;
        }
        const char *words = cq_map_verdict_words(s->g, verdict);
        cairo_text_extents_t extents;
        cairo_set_source_rgb(cr, 0.1, 0.1, 0.1);
        cq_canvas_text(s->canvas, x, TOP - 7, 10, CQ_ALIGN_RIGHT, words);
        cairo_text_extents(cr, words, &extents);
        x -= extents.x_advance + 26.0;
        cairo_save(cr);
        cairo_rectangle(cr, x, TOP - 16, 20, 11);
        cairo_clip(cr);
        strokes(s, verdict, x, x + 20, TOP - 16, TOP - 5);
        cairo_restore(cr);
        cairo_set_source_rgb(cr, 0.1, 0.1, 0.1);
        cairo_set_line_width(cr, 0.8);
        cairo_rectangle(cr, x, TOP - 16, 20, 11);
        cairo_stroke(cr);
        x -= 16.0;
    }
}

/* Borders between verdicts. */
static void borders(const sheet *s) {
    cairo_t *cr = s->canvas->cr;
    cairo_new_path(cr);
    for (size_t j = 0; j < s->g->ny; j++) {
        for (size_t i = 0; i < s->g->nx; i++) {
            const box b = cell_of(s, i, j);
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
    cairo_set_source_rgb(cr, 1, 1, 1);
    cairo_set_line_width(cr, 4.6);
    cairo_stroke_preserve(cr);
    cairo_set_source_rgb(cr, 0.05, 0.05, 0.05);
    cairo_set_line_width(cr, 2.4);
    cairo_stroke(cr);
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
static size_t middle_of(const sheet *s, const int *region, const size_t *members, size_t n) {
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
static bool lies_within(const sheet *s, const int *region, size_t at, double x, double y, const char *words) {
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
static void name_region(sheet *s, const int *region, size_t at, size_t members, const char *words) {
    static const double aside[] = {0.0, 24.0, -24.0, 48.0, -48.0, 72.0, -72.0};
    const cq_map_grid *g = s->g;
    const double x = cq_axes_x(&s->axes, g->x[at % g->nx]), y = cq_axes_y(&s->axes, g->y[at / g->nx]);
    const bool small = members < 2 || 40 * members < g->nx * g->ny, hatched = isnan(g->line_m[at]);
    for (int pass = 0; pass < (hatched ? 1 : 2) && !small; pass++) {
        for (size_t n = 0; n < sizeof aside / sizeof aside[0]; n++) {
            if ((pass > 0 || lies_within(s, region, at, x, y + aside[n], words)) &&
                put_label(s, x, y + aside[n], REGION_SIZE, HUGE_VAL, words)) {
                return;
            }
        }
    }
}

static cq_status name_regions(sheet *s) {
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

/* ---- contours ---------------------------------------------------------------------------------------------------- */

/* Where the level crosses the side from node (i, j) to (k, l); false if it does not. */
static bool crosses(const sheet *s, double level_m, size_t i, size_t j, size_t k, size_t l, double *x, double *y) {
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
static int pieces(const sheet *s, double level_m, size_t i, size_t j, double x[4], double y[4]) {
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

static void draw_level(const sheet *s, double level_m) {
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
static void name_level(sheet *s, double level_m, const char *words) {
    double x[4], y[4];
    for (int ring = 0; ring < 4; ring++) { /* nearer places first */
        for (size_t j = 0; j + 1 < s->g->ny; j++) {
            for (size_t i = 0; i + 1 < s->g->nx; i++) {
                const double u = (double)(i + 1) / (double)s->g->nx, v = (double)(j + 1) / (double)s->g->ny;
                const int n = pieces(s, level_m, i, j, x, y);
                const double off = fabs(u - v), least = 0.12 * ring, most = ring == 3 ? 2.0 : 0.12 * (ring + 1);
                if (n >= 2 && off >= least && off < most &&
                    put_label(s, 0.5 * (x[0] + x[1]), 0.5 * (y[0] + y[1]), 10.0, 0.0, words)) {
                    return;
                }
            }
        }
    }
}

/* 1, 2 or 5 times a power of ten, so that there are some six levels. */
static double level_step(double span) {
    const double raw = span / 6.0, power = pow(10.0, floor(log10(raw))), lead = raw / power;
    return power * (lead < 1.5 ? 1.0 : lead < 3.5 ? 2.0 : lead < 7.5 ? 5.0 : 10.0);
}

static void contours(sheet *s, bool words_now) {
    const double span = s->ramp.high - s->ramp.low, step = level_step(span);
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

/* ---- the sheet --------------------------------------------------------------------------------------------------- */

static void mark_own(sheet *s) {
    if (!cq_map_has_own(s->g)) {
        return;
    }
    cairo_t *cr = s->canvas->cr;
    const double x = cq_axes_x(&s->axes, s->g->own_x), y = cq_axes_y(&s->axes, s->g->own_y), r = 6.0;
    const double rgb[2][3] = {{1, 1, 1}, {0.70, 0.05, 0.05}}, width[2] = {4.5, 2.0};
    for (int pass = 0; pass < 2; pass++) {
        cairo_set_source_rgb(cr, rgb[pass][0], rgb[pass][1], rgb[pass][2]);
        cairo_set_line_width(cr, width[pass]);
        cairo_new_path(cr);
        cairo_arc(cr, x, y, r, 0.0, 6.283185307179586);
        cairo_move_to(cr, x - 1.6 * r, y);
        cairo_line_to(cr, x + 1.6 * r, y);
        cairo_move_to(cr, x, y - 1.6 * r);
        cairo_line_to(cr, x, y + 1.6 * r);
        cairo_stroke(cr);
    }
    s->boxes[s->boxes_n++] = (box){x - 2.0 * r, y - 2.0 * r, x + 2.0 * r, y + 2.0 * r};
    const double aside[2] = {46.0, -46.0}, above[2] = {-15.0, 15.0};
    for (int n = 0; n < 4; n++) {
        cairo_set_source_rgb(cr, 0.70, 0.05, 0.05);
        if (put_label(s, x + aside[n % 2], y + (n < 2 ? 0.0 : above[n % 2]), 11.0, 12.0, "this plan")) {
            break;
        }
    }
}

static void heading(const sheet *s, const cq_map *map) {
    cairo_set_source_rgb(s->canvas->cr, 0.05, 0.05, 0.05);
    cq_canvas_text(s->canvas, LEFT, 26, 15, CQ_ALIGN_LEFT,
                   s->g->piece ? "What becomes of the piece" : "Where the hardening line (hamon) comes to lie");
    cq_canvas_caption(s->canvas, LEFT, 44, 11, WIDTH - LEFT - RIGHT, map->comparison->title);
}

/* Round ends that hold every line; any where there is none. */
static cq_ramp ramp_of(const cq_map_grid *g) {
    if (isnan(g->low_m)) {
        return (cq_ramp){0.0, 1.0, false};
    }
    const double span = fmax(1e3 * (g->high_m - g->low_m), 0.2), step = level_step(span);
    const double low = step * floor(1e3 * g->low_m / step), high = step * ceil(1e3 * g->high_m / step);
    return (cq_ramp){low, high > low ? high : low + step, false};
}

static cq_status draw_sheet(sheet *s, const cq_map *map) {
    char across[160], upward[160];
    cq_map_axis_words(map->x, across);
    cq_map_axis_words(map->y, upward);
    heading(s, map);
    cq_status status = paint_lines(s);
    hatch_all(s);
    contours(s, false);
    borders(s);
    cq_axes_draw(s->canvas, &s->axes, across, upward, false);
    mark_own(s);
    status = status < 0 ? status : name_regions(s);
    contours(s, true);
    const double y = TOP + TALL + BAR_BELOW;
    if (s->g->piece) {
        cq_canvas_text(s->canvas, LEFT, y, 11, CQ_ALIGN_LEFT, "a plate or round has no hardening line");
    } else if (isnan(s->g->low_m)) {
        cq_canvas_text(s->canvas, LEFT, y, 11, CQ_ALIGN_LEFT, "no run of this map has a line");
    } else {
        cq_chart_colour_bar(s->canvas, 0.5 * (WIDTH - 420.0), y, 420.0, &s->ramp,
                            "height of the line above the edge flat, mm");
    }
    return status;
}

static cq_status draw_on(const cq_map *map, const cq_easel *easel) {
    cq_map_grid *g = NULL;
    cq_status status = cq_map_grid_create(&g, map);
    if (status < 0) {
        return status;
    }
    cq_canvas canvas;
    sheet s = {.canvas = &canvas, .g = g, .ramp = ramp_of(g)};
    s.axes =
        (cq_axes){LEFT, TOP, WIDTH - LEFT - RIGHT, TALL, g->x[0], g->x[g->nx - 1], g->y[0], g->y[g->ny - 1], false};
    status = cq_easel_open(&canvas, easel, WIDTH, TOP + TALL + BAR_BELOW + FOOT);
    if (status >= 0) {
        canvas.failed = draw_sheet(&s, map) < 0 || canvas.failed;
        status = cq_easel_close(&canvas, easel);
    }
    cq_map_grid_free(g);
    return status;
}

cq_status cq_map_picture_draw(const cq_map *map, cq_picture_format format, unsigned char **bytes, size_t *length) {
    const cq_easel easel = {format, bytes, length, NULL};
    return format >= 0 && format < CQ_FORMATS ? draw_on(map, &easel) : CQ_ERR_ARGUMENT;
}

cq_status cq_map_picture_record(const cq_map *map, cq_recorded *recorded) {
    return draw_on(map, &(cq_easel){.recorded = recorded});
}
