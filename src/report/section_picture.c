/* section_picture.c - the section lying on its side, edge to the left, true to scale: a field in colour, the clay drawn on. */
#include "report/pictures.h"

#include <math.h>
#include <stdio.h>

enum { WIDTH = 900, LEFT = 40, RIGHT = 40 };

/* Where a point of the section lies on the canvas. */
typedef struct frame_of {
    double x0, y0, scale; /* canvas of the edge flat's middle; points per metre */
} frame_of;

static double extent_along(const cq_grid *g, double *lowest) {
    double low = HUGE_VAL, high = -HUGE_VAL;
    for (int i = 0; i <= g->along; i++) {
        for (int j = 0; j <= g->across; j++) {
            const double x = g->node_x_m[i * (g->across + 1) + j];
            low = fmin(low, x);
            high = fmax(high, x);
        }
    }
    *lowest = low;
    return high - low;
}

static double extent_across(const cq_grid *g) {
    double most = 0.0;
    for (int n = 0; n < (g->along + 1) * (g->across + 1); n++) {
        most = fmax(most, fabs(g->node_y_m[n]));
    }
    return 2.0 * most;
}

static void cell_path(cairo_t *cr, const cq_grid *g, int i, int j, const frame_of *f, double mirror) {
    const int a = i * (g->across + 1) + j, up = a + g->across + 1, corner[4] = {a, a + 1, up + 1, up};
    for (int n = 0; n < 4; n++) {
        const double x = f->x0 + f->scale * g->node_x_m[corner[n]], y = f->y0 + mirror * f->scale * g->node_y_m[corner[n]];
        if (n == 0) {
            cairo_move_to(cr, x, y);
        } else {
            cairo_line_to(cr, x, y);
        }
    }
    cairo_close_path(cr);
}

/* All cells: steel by `field` between low and high, clay in flat stone grey. */
static void draw_cells(cq_canvas *c, const cq_grid *g, const double *field, double low, double high, double offset, bool clay_too,
                       const frame_of *f) {
    cairo_save(c->cr);
    cairo_set_antialias(c->cr, c->format == CQ_FORMAT_PNG ? CAIRO_ANTIALIAS_DEFAULT : CAIRO_ANTIALIAS_NONE);
    cairo_set_line_width(c->cr, 0.5);
    for (int i = 0; i < g->along; i++) {
        for (int j = 0; j < g->across; j++) {
            const int cell = i * g->across + j;
            if (g->kind[cell] == CQ_CELL_NONE) {
                continue;
            }
            if (g->kind[cell] == CQ_CELL_CLAY && !clay_too) {
                cairo_set_source_rgb(c->cr, 0.80, 0.76, 0.70);
            } else {
                cq_canvas_colour(c, (field[cell] - offset - low) / (high - low));
            }
            for (int half = g->symmetric ? 0 : 1; half < 2; half++) {
                cell_path(c->cr, g, i, j, f, half == 0 ? -1.0 : 1.0);
                cairo_fill_preserve(c->cr);
                cairo_stroke(c->cr); /* closes the hairline between neighbours */
            }
        }
    }
    cairo_restore(c->cr);
}

/* Outline of the steel, so that clay and steel are told apart in grey print too. */
static void draw_outline(cq_canvas *c, const cq_grid *g, const frame_of *f) {
    cairo_set_source_rgb(c->cr, 0.1, 0.1, 0.1);
    cairo_set_line_width(c->cr, 0.9);
    const int sides[2] = {g->symmetric ? g->steel_j1 : g->steel_j0, g->steel_j1};
    for (int s = 0; s < 2; s++) {
        const double mirror = g->symmetric && s == 0 ? -1.0 : 1.0;
        for (int i = g->steel_i0; i <= g->steel_i1; i++) {
            const int at = (s == 0 ? i : g->steel_i1 + g->steel_i0 - i) * (g->across + 1) + sides[s];
            const double x = f->x0 + f->scale * g->node_x_m[at], y = f->y0 + mirror * f->scale * g->node_y_m[at];
            if (s == 0 && i == g->steel_i0) {
                cairo_move_to(c->cr, x, y);
            } else {
                cairo_line_to(c->cr, x, y);
            }
        }
    }
    cairo_close_path(c->cr);
    cairo_stroke(c->cr);
}

static void heading(cq_canvas *c, const cq_result *r, const char *what) {
    char words[256];
    cairo_set_source_rgb(c->cr, 0.05, 0.05, 0.05);
    snprintf(words, sizeof words, "%s", what);
    cq_canvas_text(c, LEFT, 26, 15, CQ_ALIGN_LEFT, words);
    snprintf(words, sizeof words, "%.150s", r->plan->title == NULL ? "" : r->plan->title);
    cq_canvas_text(c, LEFT, 44, 11, CQ_ALIGN_LEFT, words);
}

static void mark_line(cq_canvas *c, const cq_result *r, const frame_of *f, double top, double bottom) {
    if (isnan(r->line_surface_m)) {
        return;
    }
    char words[96];
    const double x = f->x0 + f->scale * r->line_surface_m;
    cairo_set_source_rgb(c->cr, 0.75, 0.05, 0.05);
    cq_canvas_line(c, x, top, x, bottom, 1.4, true);
    snprintf(words, sizeof words, "hardening line (hamon) %.1f mm", 1e3 * r->line_surface_m);
    cq_canvas_text(c, x + 4, top - 4, 11, CQ_ALIGN_LEFT, words);
}

static frame_of fit(const cq_grid *g, double top, double *drawn_height) {
    double lowest;
    const double along = extent_along(g, &lowest);
    frame_of f;
    f.scale = (WIDTH - LEFT - RIGHT) / along;
    f.x0 = LEFT - f.scale * lowest;
    *drawn_height = f.scale * extent_across(g);
    f.y0 = top + 0.5 * *drawn_height;
    return f;
}

static void height_axis(cq_canvas *c, const cq_result *r, const frame_of *f, double y) {
    const double height = r->section->height_m;
    const cq_axes axes = {f->x0, y, f->scale * height, 0, 0, 1e3 * height, 0, 1, false};
    cq_axes_draw(c, &axes, "height above the edge flat, mm    (edge left, spine (mune) right, drawn to scale)", NULL, false);
}

cq_status cq_picture_field(const cq_result *r, cq_picture picture, cq_picture_format format, unsigned char **bytes, size_t *length) {
    const cq_grid *g = r->grid;
    const double *field = picture == CQ_PICTURE_HARDNESS ? r->hardness_HV : picture == CQ_PICTURE_MARTENSITE ? r->fraction[CQ_MARTENSITE] : r->peak_rate_K_s;
    const char *title = picture == CQ_PICTURE_HARDNESS     ? "Hardness as quenched"
                        : picture == CQ_PICTURE_MARTENSITE ? "Martensite"
                                                           : "Fastest cooling anywhere in the quench";
    const char *words = picture == CQ_PICTURE_HARDNESS     ? "Vickers hardness, HV    (clay in grey)"
                        : picture == CQ_PICTURE_MARTENSITE ? "share of martensite    (clay in grey)"
                                                           : "largest cooling rate, °C per second    (clay in grey)";
    double high = picture == CQ_PICTURE_HARDNESS ? 900.0 : 1.0;
    const double low = picture == CQ_PICTURE_HARDNESS ? 150.0 : 0.0;
    for (int cell = 0; picture == CQ_PICTURE_PEAK_RATE && cell < g->along * g->across; cell++) {
        high = g->kind[cell] == CQ_CELL_STEEL ? fmax(high, field[cell]) : high;
    }
    double tall;
    const frame_of f = fit(g, 74, &tall);
    cq_canvas c;
    if (cq_canvas_open(&c, format, WIDTH, 74 + tall + 130) != CQ_OK) {
        return CQ_ERR_MEMORY;
    }
    heading(&c, r, title);
    draw_cells(&c, g, field, low, high, 0.0, false, &f);
    draw_outline(&c, g, &f);
    mark_line(&c, r, &f, 70, 74 + tall + 4);
    height_axis(&c, r, &f, 74 + tall + 8);
    cq_canvas_scale(&c, LEFT + 200, 74 + tall + 66, WIDTH - LEFT - RIGHT - 400, low, high, words);
    return cq_canvas_close(&c, bytes, length);
}

cq_status cq_picture_temperatures(const cq_result *r, cq_picture_format format, unsigned char **bytes, size_t *length) {
    enum { STRIPS = 6 };
    const cq_grid *g = r->grid;
    double tall;
    frame_of f = fit(g, 70, &tall);
    const double pitch = tall + 26;
    size_t chosen[STRIPS], n = 0;
    for (size_t s = 0; s < STRIPS; s++) { /* evenly through the frames, first and last included */
        const size_t frame = s * (r->frames_n - 1) / (STRIPS - 1);
        if (n == 0 || frame != chosen[n - 1]) {
            chosen[n++] = frame;
        }
    }
    cq_canvas c;
    if (cq_canvas_open(&c, format, WIDTH, 74 + pitch * (double)n + 120) != CQ_OK) {
        return CQ_ERR_MEMORY;
    }
    heading(&c, r, "Temperature of steel and clay through the quench");
    for (size_t s = 0; s < n; s++) {
        char words[64];
        const double top = 78 + pitch * (double)s;
        f.y0 = top + 0.5 * tall;
        draw_cells(&c, g, r->frames[chosen[s]].temp_K, 0.0, 850.0, 273.15, true, &f);
        draw_outline(&c, g, &f);
        snprintf(words, sizeof words, "%.2f s", r->frames[chosen[s]].time_s);
        cairo_set_source_rgb(c.cr, 0.05, 0.05, 0.05);
        cq_canvas_text(&c, LEFT, top - 4, 11, CQ_ALIGN_LEFT, words);
    }
    height_axis(&c, r, &f, 78 + pitch * (double)n - 16);
    cq_canvas_scale(&c, LEFT + 200, 78 + pitch * (double)n + 40, WIDTH - LEFT - RIGHT - 400, 0, 850, "temperature, °C");
    return cq_canvas_close(&c, bytes, length);
}
