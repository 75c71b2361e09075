/* map_picture.c - the line's height over two varied keys: the sheet with its colours, words and
 * marks. map_contours.c and map_regions.c draw the rest. */
#include "report/map_sheet.h"
#include "report/study_pictures.h"

#include "base/memory.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { WIDTH = 780, LEFT = 84, RIGHT = 40, TOP = 76, TALL = 400, BAR_BELOW = 74, FOOT = 62 };
enum { PIXELS_X = 656, PIXELS_Y = 400 };

/* ---- words that do not lie on one another ------------------------------------------------------------------------ */

static bool is_free(const cq_map_sheet *s, const cq_map_box *b) {
    for (size_t n = 0; n < s->boxes_n; n++) {
        const cq_map_box *o = &s->boxes[n];
        if (b->x0 < o->x1 && b->x1 > o->x0 && b->y0 < o->y1 && b->y1 > o->y0) {
            return false;
        }
    }
    return s->boxes_n < CQ_MAP_LABELS;
}

/* Words centred at (x, y), moved by `most` at most where they would stand out of the frame, if they lie on nothing
 * else. */
bool cq_map_put_label(cq_map_sheet *s, double x, double y, double size, double most, const char *words) {
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
    const cq_map_box b = {x - half, y - 0.8 * size, x + half, y + 0.8 * size};
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

static cq_status paint_lines(const cq_map_sheet *s) {
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

/* ---- the sheet --------------------------------------------------------------------------------------------------- */

static void mark_own(cq_map_sheet *s) {
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
    s->boxes[s->boxes_n++] = (cq_map_box){x - 2.0 * r, y - 2.0 * r, x + 2.0 * r, y + 2.0 * r};
    const double aside[2] = {46.0, -46.0}, above[2] = {-15.0, 15.0};
    for (int n = 0; n < 4; n++) {
        cairo_set_source_rgb(cr, 0.70, 0.05, 0.05);
        if (cq_map_put_label(s, x + aside[n % 2], y + (n < 2 ? 0.0 : above[n % 2]), 11.0, 12.0, "this plan")) {
            break;
        }
    }
}

static void heading(const cq_map_sheet *s, const cq_map *map) {
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
    const double span = fmax(1e3 * (g->high_m - g->low_m), 0.2), step = cq_map_level_step(span);
    const double low = step * floor(1e3 * g->low_m / step), high = step * ceil(1e3 * g->high_m / step);
    return (cq_ramp){low, high > low ? high : low + step, false};
}

static cq_status draw_sheet(cq_map_sheet *s, const cq_map *map) {
    char across[160], upward[160];
    cq_map_axis_words(map->x, across);
    cq_map_axis_words(map->y, upward);
    heading(s, map);
    cq_status status = paint_lines(s);
    cq_map_hatch(s);
    cq_map_contours(s, false);
    cq_map_borders(s);
    cq_axes_draw(s->canvas, &s->axes, across, upward, false);
    mark_own(s);
    status = status < 0 ? status : cq_map_name_regions(s);
    cq_map_contours(s, true);
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
    cq_map_sheet s = {.canvas = &canvas, .g = g, .ramp = ramp_of(g)};
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
