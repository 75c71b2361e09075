/* section_drawing.c - see section_drawing.h. */
#include "report/section_drawing.h"

#include <math.h>
#include <stdio.h>

static const double THINNEST = 56.0;        /* points: a thinner drawing is magnified across */
static const double THIN_COAT = 1.6;        /* points: least width of the line that stands for a thin coat */
static const double SAME_LINE = 5e-5;       /* m: faces whose lines differ by less are told as one */
static const double ROOM_FOR_WORDS = 480.0; /* points of axis that hold the long words */

cq_drawing cq_drawing_fit(const cq_grid *g, double left, double width) {
    double low = HUGE_VAL, high = -HUGE_VAL, left_m = HUGE_VAL, right_m = -HUGE_VAL;
    for (int n = 0; n < (g->along + 1) * (g->across + 1); n++) {
        low = fmin(low, g->node_x_m[n]);
        high = fmax(high, g->node_x_m[n]);
        left_m = fmin(left_m, g->node_y_m[n]);
        right_m = fmax(right_m, g->node_y_m[n]);
    }
    left_m = g->symmetric ? -right_m : left_m;
    const double thick = right_m - left_m;
    cq_drawing d = {.left = left, .wide = width};
    d.place.per_x = width / (high - low);
    d.place.x0 = left - d.place.per_x * low;
    d.magnified = (int)fmin(4.0, fmax(1.0, ceil(THINNEST / (thick * d.place.per_x))));
    d.place.per_y = d.magnified * d.place.per_x;
    d.tall = thick * d.place.per_y;
    d.above = -left_m * d.place.per_y;
    cq_drawing_move(&d, 0.0);
    return d;
}

void cq_drawing_move(cq_drawing *d, double top) {
    d->place.y0 = top + d->above;
}

void cq_drawing_true(cq_drawing *d) {
    d->tall /= d->magnified;
    d->above /= d->magnified;
    d->place.per_y = d->place.per_x;
    d->magnified = 1;
    cq_drawing_move(d, 0.0);
}

/* ---- shapes ------------------------------------------------------------------------------------------------------ */

static double across_at(const cq_drawing *d, double x_m) {
    return d->place.x0 + d->place.per_x * x_m;
}

static double down_at(const cq_drawing *d, double y_m) {
    return d->place.y0 + d->place.per_y * y_m;
}

static void add_node(cairo_t *cr, const cq_grid *g, const cq_drawing *d, int i, int j, double mirror) {
    const int n = i * (g->across + 1) + j;
    cairo_line_to(cr, across_at(d, g->node_x_m[n]), down_at(d, mirror * g->node_y_m[n])); /* the first one moves */
}

/* Column of the outermost node of row i on one side; of the steel alone, or with its clay. */
static int rim_of(const cq_grid *g, int i, bool right, bool clay_too) {
    if (!clay_too) {
        return right ? g->steel_j1 : g->steel_j0;
    }
    int first = g->across, last = 0;
    for (int j = 0; j < g->across; j++) {
        if (g->kind[i * g->across + j] != CQ_CELL_NONE) {
            first = j < first ? j : first;
            last = j + 1;
        }
    }
    return right ? last : first;
}

/* Closed outline: up one side, down the other. */
static void outline(cairo_t *cr, const cq_grid *g, const cq_drawing *d, bool clay_too) {
    const int low = clay_too ? 0 : g->steel_i0, high = clay_too ? g->along : g->steel_i1;
    cairo_new_path(cr);
    for (int i = low; i < high; i++) {
        const int j = rim_of(g, i, true, clay_too);
        add_node(cr, g, d, i, j, 1.0);
        add_node(cr, g, d, i + 1, j, 1.0);
    }
    for (int i = high - 1; i >= low; i--) {
        const int j = rim_of(g, i, g->symmetric, clay_too);
        const double mirror = g->symmetric ? -1.0 : 1.0;
        add_node(cr, g, d, i + 1, j, mirror);
        add_node(cr, g, d, i, j, mirror);
    }
    cairo_close_path(cr);
}

/* ---- clay -------------------------------------------------------------------------------------------------------- */

/* Hatched, so that it is no colour of the scale and stays apart in grey. */
static void hatch(cq_canvas *c, const cq_grid *g, const cq_drawing *d) {
    double x0, y0, x1, y1;
    outline(c->cr, g, d, true);
    cairo_path_extents(c->cr, &x0, &y0, &x1, &y1);
    cairo_set_source_rgb(c->cr, 0.95, 0.93, 0.90);
    cairo_fill_preserve(c->cr);
    cairo_save(c->cr);
    cairo_clip(c->cr);
    cairo_set_source_rgb(c->cr, 0.70, 0.64, 0.56);
    cairo_set_line_width(c->cr, 0.7);
    for (double x = x0 - (y1 - y0); x < x1; x += 6.0) {
        cairo_move_to(c->cr, x, y1);
        cairo_line_to(c->cr, x + (y1 - y0), y0);
    }
    cairo_stroke(c->cr);
    cairo_restore(c->cr);
}

/* How wide the line that stands for a thin coat is, and how far out of the face its middle lies. */
static double thin_width(double points, double *out) {
    const double width = fmax(THIN_COAT, points);
    *out = 0.5 * width + 0.4;
    return width;
}

/* One line along the face, interrupted where it is bare or has cells of clay. */
static void thin_face(cq_canvas *c, const cq_grid *g, const cq_drawing *d, int side) {
    const double *film_m = side == CQ_SIDE_RIGHT || g->symmetric ? g->film_right_m : g->film_left_m;
    const double down = side == CQ_SIDE_RIGHT ? 1.0 : -1.0, mirror = g->symmetric ? down : 1.0;
    const int j = side == CQ_SIDE_RIGHT || g->symmetric ? g->steel_j1 : g->steel_j0;
    double thickest_m = 0.0, out;
    for (int i = g->steel_i0; i < g->steel_i1; i++) {
        thickest_m = fmax(thickest_m, film_m[i]);
    }
    cairo_set_line_width(c->cr, thin_width(d->place.per_y * thickest_m, &out));
    cairo_new_path(c->cr);
    for (int i = g->steel_i0; i < g->steel_i1; i++) {
        for (int end = 0; end < 2 && film_m[i] > 0.0; end++) {
            const int n = (i + end) * (g->across + 1) + j;
            cairo_line_to(c->cr, across_at(d, g->node_x_m[n]), down_at(d, mirror * g->node_y_m[n]) + down * out);
        }
        if (!(film_m[i] > 0.0)) {
            cairo_new_sub_path(c->cr);
        }
    }
    cairo_stroke(c->cr);
}

static void thin_flat(cq_canvas *c, const cq_grid *g, const cq_drawing *d, int i, double film_m, double outward) {
    double out;
    const double width = thin_width(d->place.per_x * film_m, &out);
    const int row = i * (g->across + 1);
    const double high = g->node_y_m[row + g->steel_j1], low = g->symmetric ? -high : g->node_y_m[row + g->steel_j0];
    const double x = across_at(d, g->node_x_m[row + g->steel_j1]) + outward * out;
    if (film_m > 0.0) {
        cq_canvas_line(c, x, down_at(d, low), x, down_at(d, high), width, false);
    }
}

/* Coats too thin for cells of their own. */
static void thin_coats(cq_canvas *c, const cq_grid *g, const cq_drawing *d) {
    cairo_set_source_rgb(c->cr, 0.62, 0.50, 0.36);
    thin_face(c, g, d, CQ_SIDE_LEFT);
    thin_face(c, g, d, CQ_SIDE_RIGHT);
    thin_flat(c, g, d, g->steel_i0, g->film_edge_m, -1.0);
    thin_flat(c, g, d, g->steel_i1, g->film_spine_m, 1.0);
}

/* ---- fields ------------------------------------------------------------------------------------------------------ */

static cq_status paint_inside(cq_canvas *c, const cq_grid *g, const cq_drawing *d, const double *field,
                              cq_cell_kind kind, const cq_ramp *ramp) {
    cairo_save(c->cr);
    outline(c->cr, g, d, kind == CQ_CELL_CLAY);
    cairo_clip(c->cr);
    const cq_status status = cq_raster_paint(c, g, field, kind, ramp, &d->place);
    cairo_restore(c->cr);
    return status;
}

static void stroke_outline(cq_canvas *c, const cq_grid *g, const cq_drawing *d, bool clay_too) {
    outline(c->cr, g, d, clay_too);
    if (clay_too) {
        cairo_set_source_rgb(c->cr, 0.50, 0.45, 0.38);
        cairo_set_line_width(c->cr, 0.8);
    } else {
        cairo_set_source_rgb(c->cr, 0.05, 0.05, 0.05);
        cairo_set_line_width(c->cr, 1.1);
    }
    cairo_stroke(c->cr);
}

cq_status cq_drawing_steel(cq_canvas *c, const cq_grid *g, const cq_drawing *d, const double *field,
                           const cq_ramp *ramp) {
    hatch(c, g, d);
    stroke_outline(c, g, d, true);
    const cq_status status = paint_inside(c, g, d, field, CQ_CELL_STEEL, ramp);
    thin_coats(c, g, d);
    stroke_outline(c, g, d, false);
    return status;
}

cq_status cq_drawing_both(cq_canvas *c, const cq_grid *g, const cq_drawing *d, const double *field,
                          const cq_ramp *ramp) {
    cq_status status = paint_inside(c, g, d, field, CQ_CELL_CLAY, ramp);
    stroke_outline(c, g, d, true);
    status = status < 0 ? status : paint_inside(c, g, d, field, CQ_CELL_STEEL, ramp);
    thin_coats(c, g, d);
    stroke_outline(c, g, d, false);
    return status;
}

/* ---- the hardening line ------------------------------------------------------------------------------------------ */

/* Where martensite first falls through one half along column j, from the edge up (`from_top`: from the top down): false
 * if it starts below or never falls. */
static bool falls_in_column(const cq_result *r, int j, bool from_top, double *x_m, double *y_m) {
    const cq_grid *g = r->grid;
    const int last = from_top ? g->steel_i0 : g->steel_i1 - 1, step = from_top ? -1 : 1;
    int first = from_top ? g->steel_i1 - 1 : g->steel_i0;
    while (r->built.skinned && !from_top && first < last && g->center_x_m[first * g->across + j] < 1e-3) {
        first++; /* the skin of the edge flat */
    }
    for (int i = first; i != last; i += step) {
        const int a = i * g->across + j, b = a + step * g->across;
        const double here = r->fraction[CQ_MARTENSITE][a], next = r->fraction[CQ_MARTENSITE][b];
        if (i == first && !(here >= 0.5)) {
            return false;
        }
        if (here >= 0.5 && next < 0.5) {
            const double u = (here - 0.5) / (here - next);
            *x_m = g->center_x_m[a] + u * (g->center_x_m[b] - g->center_x_m[a]);
            *y_m = g->center_y_m[a] + u * (g->center_y_m[b] - g->center_y_m[a]);
            return true;
        }
    }
    return false;
}

/* Where martensite along the height falls through one half from the top down; NaN as above. */
static double falls_from_top(const cq_profile_along *a, const double *v) {
    for (size_t i = a->n; i-- > 1 && (i + 1 < a->n || v[i] >= 0.5);) {
        if (v[i] >= 0.5 && v[i - 1] < 0.5) {
            return a->height_m[i] + (a->height_m[i - 1] - a->height_m[i]) * (v[i] - 0.5) / (v[i] - v[i - 1]);
        }
    }
    return NAN;
}

static double face_y(const cq_result *r, int side, double x_m) {
    return (side == CQ_SIDE_RIGHT ? 1.0 : -1.0) * cq_section_half_thickness(r->section, side, x_m);
}

/* A front, and where it meets the left face, the mid-plane and the right face; NaN where it does not. */
typedef struct front {
    bool from_top;
    double left_m, mid_m, right_m;
} front;

/* Two edges have a front each; it is drawn from either. Returns how many. */
static int find_fronts(const cq_result *r, front fronts[2]) {
    fronts[0] = (front){false, r->line_left_m, r->line_mid_m, r->line_right_m};
    fronts[1] = (front){true, falls_from_top(&r->along, r->along.martensite_left),
                        falls_from_top(&r->along, r->along.martensite_mid),
                        falls_from_top(&r->along, r->along.martensite_right)};
    return r->section->family == CQ_FAMILY_DOUBLE_EDGED ? 2 : 1;
}

/* The front column by column, face to face; where a column has none the curve breaks off. */
static void front_path(cq_canvas *c, const cq_result *r, const cq_drawing *d, const front *f, double mirror) {
    const cq_grid *g = r->grid;
    double x, y;
    cairo_new_sub_path(c->cr);
    if (g->symmetric && !isnan(f->mid_m)) {
        cairo_line_to(c->cr, across_at(d, f->mid_m), down_at(d, 0.0));
    } else if (!g->symmetric && !isnan(f->left_m)) {
        cairo_line_to(c->cr, across_at(d, f->left_m), down_at(d, face_y(r, CQ_SIDE_LEFT, f->left_m)));
    }
    for (int j = g->steel_j0; j < g->steel_j1; j++) {
        if (falls_in_column(r, j, f->from_top, &x, &y)) {
            cairo_line_to(c->cr, across_at(d, x), down_at(d, mirror * y));
        } else {
            cairo_new_sub_path(c->cr);
        }
    }
    if (!isnan(f->right_m)) {
        y = face_y(r, CQ_SIDE_RIGHT, f->right_m);
        cairo_line_to(c->cr, across_at(d, f->right_m), down_at(d, mirror * y));
    }
}

static void draw_front(cq_canvas *c, const cq_result *r, const cq_drawing *d, const front *f) {
    cairo_new_path(c->cr);
    front_path(c, r, d, f, 1.0);
    if (r->grid->symmetric) {
        front_path(c, r, d, f, -1.0);
    }
    cq_canvas_stroke_rimmed(c, 4.0, 1.8);
}

/* A dashed leader from the face at x_m out of the drawing, with words at its end. */
static void leader(cq_canvas *c, const cq_result *r, const cq_drawing *d, int side, double x_m, const char *name) {
    char words[96];
    const bool down = side == CQ_SIDE_RIGHT;
    const double x = across_at(d, x_m), end = d->place.y0 - d->above + (down ? d->tall + 5.0 : -5.0);
    const bool near_right = x_m > 0.6 * r->section->height_m;
    cairo_set_source_rgb(c->cr, 0.70, 0.05, 0.05);
    cq_canvas_line(c, x, down_at(d, face_y(r, side, x_m)), x, end, 1.4, true);
    snprintf(words, sizeof words, "%s%s%.1f mm", name, name[0] == '\0' ? "" : " ", 1e3 * x_m);
    cq_canvas_label(c, x + (near_right ? 4.0 : -4.0), end + (down ? 12.0 : -4.0), 11.5,
                    near_right ? CQ_ALIGN_RIGHT : CQ_ALIGN_LEFT, words);
}

/* On a narrow drawing the words must be short, and where two lines stand on it the heights alone. */
static void name_front(cq_canvas *c, const cq_result *r, const cq_drawing *d, const front *f, bool several) {
    const bool narrow = d->place.per_x * r->section->height_m < ROOM_FOR_WORDS;
    const char *name = narrow && several ? "" : f->from_top ? "second line" : "hardening line (hamon)";
    char words[64];
    if (fabs(f->left_m - f->right_m) < SAME_LINE) {
        leader(c, r, d, CQ_SIDE_LEFT, fmin(f->left_m, f->right_m), name);
        return;
    }
    for (int side = 0; side < CQ_SIDES; side++) {
        const double x_m = side == CQ_SIDE_LEFT ? f->left_m : f->right_m;
        if (!isnan(x_m)) {
            const char *face = side == CQ_SIDE_LEFT ? "left face" : "right face";
            snprintf(words, sizeof words, "%s, %s", narrow ? "line (hamon)" : name, face);
            leader(c, r, d, side, x_m, narrow && several ? "" : words);
        }
    }
}

void cq_drawing_line(cq_canvas *c, const cq_result *r, const cq_drawing *d) {
    if (!r->transforming) {
        return;
    }
    if (isnan(r->line_left_m) && isnan(r->line_right_m)) {
        char words[96];
        snprintf(words, sizeof words, "no hardening line (hamon): %s", cq_verdict_words(r->verdict));
        cairo_set_source_rgb(c->cr, 0.70, 0.05, 0.05);
        cq_canvas_text(c, across_at(d, 0.0), d->place.y0 - d->above - 9.0, 11.5, CQ_ALIGN_LEFT, words);
        return;
    }
    front fronts[2];
    const int n = find_fronts(r, fronts);
    for (int f = 0; f < n; f++) {
        draw_front(c, r, d, &fronts[f]);
        name_front(c, r, d, &fronts[f], n > 1);
    }
}

void cq_drawing_axis(cq_canvas *c, const cq_result *r, const cq_drawing *d, double y) {
    char words[160], ends[64], scale[48] = "drawn to scale";
    const double height = r->section->height_m, width = d->place.per_x * height;
    const cq_axes axes = {d->place.x0, y, width, 0, 0, 1e3 * height, 0, 1, false};
    if (d->magnified > 1) {
        snprintf(scale, sizeof scale, "thickness drawn %d times", d->magnified);
    }
    const char *faces = r->section->symmetric ? "" : "left face above; ";
    const bool room = width > ROOM_FOR_WORDS, two = r->section->family == CQ_FAMILY_DOUBLE_EDGED;
    snprintf(ends, sizeof ends, "edge left, %s%s right; ", cq_section_top_words(r->section), two ? "" : " (mune)");
    snprintf(words, sizeof words,
             room ? "height above the edge flat, mm    (%s%s%s)" : "height above the edge, mm (%s%s%s)",
             room ? ends : "", faces, scale);
    cq_axes_draw(c, &axes, words, NULL, false);
}
