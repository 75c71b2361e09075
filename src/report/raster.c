/* raster.c - see raster.h.
 *
 * A corner holds the mean of the like cells that meet there; each cell is cut into four triangles about its middle,
 * which holds the mean of its corners, and within a triangle the value is linear. So the field is smooth at the cost of
 * half a cell's smear. The image is a little wider than the cells so that the clip's smooth rim, not the image's steps,
 * is seen.
 */
#include "report/raster.h"

#include "base/memory.h"

#include <math.h>
#include <stdint.h>

enum { LEVELS = 256 };
static const double PER_POINT = 1.6; /* pixels of the image per point of the canvas */
static const double RIM = 1.0;       /* pixels painted beyond the cells */

typedef struct painter {
    uint32_t *pixels;
    int width, height;
    size_t stride; /* in pixels */
    uint32_t colour[LEVELS];
} painter;

typedef struct corner {
    double x, y, v; /* pixels; share of the ramp */
} corner;

static void paint_pixel(const painter *p, int x, int y, double v) {
    const int level = v > 0.0 ? (int)fmin(LEVELS - 1, v * LEVELS) : 0;
    p->pixels[(size_t)y * p->stride + (size_t)x] = p->colour[level];
}

static int whole(double v, int most) {
    return (int)fmin(most, fmax(0.0, v));
}

/* Pixels whose middle lies in the triangle or less than the rim outside of it. */
static void paint_triangle(const painter *p, const corner *a, const corner *b, const corner *c) {
    const double twice = (b->x - a->x) * (c->y - a->y) - (c->x - a->x) * (b->y - a->y);
    if (!(fabs(twice) > 1e-9)) {
        return;
    }
    const int x0 = whole(floor(fmin(a->x, fmin(b->x, c->x)) - RIM), p->width);
    const int x1 = whole(ceil(fmax(a->x, fmax(b->x, c->x)) + RIM), p->width);
    const int y0 = whole(floor(fmin(a->y, fmin(b->y, c->y)) - RIM), p->height);
    const int y1 = whole(ceil(fmax(a->y, fmax(b->y, c->y)) + RIM), p->height);
    /* barycentric shares, linear in x and y; only the side away from the centre may be overstepped */
    const double slack = -RIM * hypot(c->x - b->x, c->y - b->y) / fabs(twice);
    for (int y = y0; y < y1; y++) {
        for (int x = x0; x < x1; x++) {
            const double px = x + 0.5, py = y + 0.5;
            const double ub = ((px - a->x) * (c->y - a->y) - (c->x - a->x) * (py - a->y)) / twice;
            const double uc = ((b->x - a->x) * (py - a->y) - (px - a->x) * (b->y - a->y)) / twice;
            const double ua = 1.0 - ub - uc;
            if (ua >= slack && ub >= -1e-6 && uc >= -1e-6) {
                paint_pixel(p, x, y, ua * a->v + ub * b->v + uc * c->v);
            }
        }
    }
}

/* Mean share of the cells of `kind` around node (i, j); NaN if there is none. */
static double at_node(const cq_grid *g, const double *field, cq_cell_kind kind, const cq_ramp *ramp, int i, int j) {
    double sum = 0.0;
    int n = 0;
    for (int di = -1; di <= 0; di++) {
        for (int dj = -1; dj <= 0; dj++) {
            const int row = i + di, column = j + dj, cell = row * g->across + column;
            if (row >= 0 && row < g->along && column >= 0 && column < g->across && g->kind[cell] == kind &&
                !isnan(field[cell])) {
                sum += cq_ramp_share(ramp, field[cell]);
                n++;
            }
        }
    }
    return n > 0 ? sum / n : NAN;
}

static void paint_cell(const painter *p, const cq_grid *g, int i, int j, const double *node, const cq_placing *placing,
                       double mirror) {
    const int a = i * (g->across + 1) + j, up = a + g->across + 1, around[4] = {a, a + 1, up + 1, up};
    corner at[4], middle = {0.0, 0.0, 0.0};
    for (int n = 0; n < 4; n++) {
        at[n].x = PER_POINT * (placing->x0 + placing->per_x * g->node_x_m[around[n]]);
        at[n].y = PER_POINT * (placing->y0 + mirror * placing->per_y * g->node_y_m[around[n]]);
        at[n].v = node[around[n]];
        middle.x += 0.25 * at[n].x;
        middle.y += 0.25 * at[n].y;
        middle.v += 0.25 * at[n].v;
    }
    for (int n = 0; n < 4; n++) {
        paint_triangle(p, &middle, &at[n], &at[(n + 1) % 4]);
    }
}

static void paint_field(const painter *p, const cq_grid *g, const double *field, cq_cell_kind kind, const double *node,
                        const cq_placing *placing) {
    for (int i = 0; i < g->along; i++) {
        for (int j = 0; j < g->across; j++) {
            const int cell = i * g->across + j;
            if (g->kind[cell] != kind || isnan(field[cell])) {
                continue;
            }
            paint_cell(p, g, i, j, node, placing, 1.0);
            if (g->symmetric) {
                paint_cell(p, g, i, j, node, placing, -1.0);
            }
        }
    }
}

static void fill_colours(painter *p) {
    for (int n = 0; n < LEVELS; n++) {
        double rgb[3];
        cq_colour_of((n + 0.5) / LEVELS, rgb);
        p->colour[n] = 0xff000000u | (uint32_t)lrint(255 * rgb[0]) << 16 | (uint32_t)lrint(255 * rgb[1]) << 8 |
                       (uint32_t)lrint(255 * rgb[2]);
    }
}

/* The box the current clip leaves, on whole image pixels. */
static void clip_box(cairo_t *cr, double *left, double *top, int *width, int *height) {
    double x0, y0, x1, y1;
    cairo_clip_extents(cr, &x0, &y0, &x1, &y1);
    *left = floor(PER_POINT * x0) - 1.0;
    *top = floor(PER_POINT * y0) - 1.0;
    *width = (int)(ceil(PER_POINT * x1) + 1.0 - *left);
    *height = (int)(ceil(PER_POINT * y1) + 1.0 - *top);
}

cq_status cq_raster_paint(cq_canvas *canvas, const cq_grid *g, const double *field, cq_cell_kind kind,
                          const cq_ramp *ramp, const cq_placing *placing) {
    double left, top;
    painter p;
    clip_box(canvas->cr, &left, &top, &p.width, &p.height);
    const int rows = g->along + 1, columns = g->across + 1;
    double *node = cq_memory_zero((size_t)rows * (size_t)columns, sizeof *node);
    cairo_surface_t *image = cairo_image_surface_create(CAIRO_FORMAT_ARGB32, p.width, p.height);
    if (node == NULL || cairo_surface_status(image) != CAIRO_STATUS_SUCCESS) {
        cq_memory_free(node);
        cairo_surface_destroy(image);
        return CQ_ERR_MEMORY;
    }
    for (int i = 0; i < rows; i++) {
        for (int j = 0; j < columns; j++) {
            node[i * columns + j] = at_node(g, field, kind, ramp, i, j);
        }
    }
    p.pixels = (uint32_t *)(void *)cairo_image_surface_get_data(image);
    p.stride = (size_t)cairo_image_surface_get_stride(image) / sizeof(uint32_t);
    fill_colours(&p);
    const cq_placing on_image = {placing->x0 - left / PER_POINT, placing->y0 - top / PER_POINT, placing->per_x,
                                 placing->per_y};
    paint_field(&p, g, field, kind, node, &on_image);
    cq_memory_free(node);
    cairo_surface_mark_dirty(image);
    cairo_save(canvas->cr);
    cairo_scale(canvas->cr, 1.0 / PER_POINT, 1.0 / PER_POINT);
    cairo_set_source_surface(canvas->cr, image, left, top);
    cairo_paint(canvas->cr);
    cairo_restore(canvas->cr);
    cairo_surface_destroy(image);
    return CQ_OK;
}
