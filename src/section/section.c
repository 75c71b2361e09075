/* section.c - steel outline and coat joined into the flanks of a section. */
#include "base/memory.h"
#include "section/shape.h"

#include <math.h>
#include <stdio.h>

/* Nodes nearer than this part of the height are one. */
static const double NODE_REACH = 1e-7;

/* Part of the height that no piece of a flank exceeds where clay fills a hollow of it. */
enum { FILL_PIECES = 128 };

static bool one_dimensional(cq_family family) {
    return !cq_family_is_flat_ended(family);
}

/* ---- the coat as stated ------------------------------------------------------------------------------------------ */

static bool is_positive(double v) {
    return isfinite(v) && v > 0.0;
}

static bool is_thickness(double v) {
    return isfinite(v) && v >= 0.0;
}

static cq_status refuse_coat(cq_error *error, size_t point, const char *word, double found_m, const char *expected) {
    char key[64];
    snprintf(key, sizeof key, "clay.coat.%zu.%s", point, word);
    return cq_error_say(error, CQ_ERR_GEOMETRY, key, expected, "", "%.6g mm", 1e3 * found_m);
}

static cq_status check_thicknesses(const cq_coat *coat, cq_error *error) {
    for (size_t i = 0; i < coat->n; i++) {
        const cq_coat_point *p = &coat->points[i];
        if (!is_thickness(p->left_m) || !is_thickness(p->right_m)) {
            const double bad = is_thickness(p->left_m) ? p->right_m : p->left_m;
            return refuse_coat(error, i, "thickness", bad, "a thickness, 0 or more");
        }
    }
    if (!is_thickness(coat->edge_m) || !is_thickness(coat->spine_m)) {
        const bool edge = !is_thickness(coat->edge_m);
        return cq_error_say(error, CQ_ERR_GEOMETRY, edge ? "clay.edge" : "clay.spine", "a thickness, 0 or more", "",
                            "%.6g mm", 1e3 * (edge ? coat->edge_m : coat->spine_m));
    }
    return CQ_OK;
}

static cq_status check_heights(const cq_coat *coat, double height, cq_error *error) {
    const double reach = 1e-9 * height;
    for (size_t i = 0; i < coat->n; i++) {
        const double at = coat->points[i].at_m;
        if (!(at >= -reach && at <= height + reach)) {
            return refuse_coat(error, i, "at", at, "a height on the face, from the edge flat to the spine flat");
        }
        if (i > 0 && at < coat->points[i - 1].at_m) {
            return refuse_coat(error, i, "at", at, "points from the edge up");
        }
    }
    return CQ_OK;
}

/* A plate or a round carries one thickness on each face, a round the same all round. */
static cq_status check_uniform(const cq_coat *coat, cq_family family, cq_error *error) {
    for (size_t i = 0; i < coat->n; i++) {
        const cq_coat_point *first = &coat->points[0], *p = &coat->points[i];
        const double reach = 1e-9 * fmax(first->left_m, first->right_m);
        if (fabs(p->left_m - first->left_m) > reach || fabs(p->right_m - first->right_m) > reach) {
            return refuse_coat(error, i, "thickness", p->right_m,
                               "the same thickness at every point of a plate or round");
        }
        if (family == CQ_FAMILY_ROUND && fabs(p->left_m - p->right_m) > reach) {
            return refuse_coat(error, i, "left", p->left_m, "the same thickness all round");
        }
    }
    return CQ_OK;
}

static cq_status check_coat(const cq_coat *coat, const cq_blade *blade, cq_error *error) {
    const cq_status status = check_thicknesses(coat, error);
    if (status != CQ_OK) {
        return status;
    }
    return one_dimensional(blade->family) ? check_uniform(coat, blade->family, error)
                                          : check_heights(coat, blade->height_m, error);
}

/* ---- flanks ------------------------------------------------------------------------------------------------------ */

static cq_status allocate_flank(cq_flank *f, size_t capacity) {
    double *block = cq_memory_zero(6 * capacity, sizeof(double));
    if (block == NULL) {
        return CQ_ERR_MEMORY;
    }
    *f = (cq_flank){0,
                    block,
                    block + capacity,
                    block + 2 * capacity,
                    block + 3 * capacity,
                    block + 4 * capacity,
                    block + 5 * capacity};
    return CQ_OK;
}

/* The nodes of outline and coat in one list; where two are one, the outline's end stays. */
static cq_status build_flank(cq_flank *f, const cq_polyline *outline, const cq_polyline *coat) {
    const cq_status status = allocate_flank(f, outline->n + coat->n);
    if (status != CQ_OK) {
        return status;
    }
    const double top = outline->x[outline->n - 1];
    f->n = cq_polyline_merge_x(f->foot_x_m, outline, coat, NODE_REACH * top);
    f->foot_x_m[f->n - 1] = top;
    for (size_t i = 0; i < f->n; i++) {
        f->foot_y_m[i] = cq_polyline_eval(outline, f->foot_x_m[i], 0.0);
        f->coat_m[i] = cq_polyline_eval(coat, f->foot_x_m[i], 0.0);
    }
    cq_flank_offset(f);
    return CQ_OK;
}

/* Node at share u of the piece from node i of `f` to the next: feet, outer points and thickness run straight there. */
static void push_between(cq_flank *to, const cq_flank *f, size_t i, double u) {
    double *const into[] = {to->foot_x_m, to->foot_y_m, to->outer_x_m, to->outer_y_m, to->coat_m};
    const double *const from[] = {f->foot_x_m, f->foot_y_m, f->outer_x_m, f->outer_y_m, f->coat_m};
    for (size_t a = 0; a < sizeof into / sizeof into[0]; a++) {
        into[a][to->n] = u > 0.0 ? from[a][i] + u * (from[a][i + 1] - from[a][i]) : from[a][i];
    }
    to->n++;
}

/* The same flank with no piece longer than 1/FILL_PIECES of the height. */
static cq_status divide_flank(cq_flank *f, double height) {
    cq_flank divided = {0};
    const cq_status status = allocate_flank(&divided, f->n + FILL_PIECES);
    if (status != CQ_OK) {
        return status;
    }
    for (size_t i = 0; i + 1 < f->n; i++) {
        const double run = f->foot_x_m[i + 1] - f->foot_x_m[i];
        const int parts = (int)fmax(1.0, ceil(run / height * FILL_PIECES));
        for (int p = 0; p < parts; p++) {
            push_between(&divided, f, i, (double)p / parts);
        }
    }
    push_between(&divided, f, f->n - 1, 0.0);
    cq_memory_free(f->foot_x_m);
    *f = divided;
    return CQ_OK;
}

/* Where the outer face draws together in a hollow or runs back, nodes are added so that the fill stays where it is
 * needed. */
static cq_status build_filled_flank(cq_flank *f, const cq_polyline *outline, const cq_polyline *coat, cq_error *error) {
    cq_status status = build_flank(f, outline, coat);
    if (status != CQ_OK || !cq_flank_converges(f)) {
        return status;
    }
    status = divide_flank(f, outline->x[outline->n - 1]);
    if (status == CQ_OK && !cq_flank_fill(f)) {
        status = cq_error_say(error, CQ_ERR_GEOMETRY, "clay.coat", "a coat that does not fold on itself",
                              "make the coat thinner there", "more clay than the hollow of the face holds");
    }
    return status;
}

static bool flanks_equal(const cq_flank *a, const cq_flank *b) {
    const double reach = 1e-12; /* metres */
    if (a->n != b->n) {
        return false;
    }
    for (size_t i = 0; i < a->n; i++) {
        if (!(fabs(a->foot_x_m[i] - b->foot_x_m[i]) <= reach && fabs(a->foot_y_m[i] - b->foot_y_m[i]) <= reach &&
              fabs(a->coat_m[i] - b->coat_m[i]) <= reach)) {
            return false;
        }
    }
    return true;
}

/* Height of the ridge that stands; 0 = none. */
static double ridge_of(const cq_blade *b) {
    const bool ridged = b->family == CQ_FAMILY_RIDGED || b->family == CQ_FAMILY_DOUBLE_EDGED ||
                        (b->family == CQ_FAMILY_ONE_SIDED && b->ridge_thickness_m > 0.0);
    const bool cut = b->groove_width_m > 0.0 && fabs(b->ridge_at_m - b->groove_at_m) <= 0.5 * b->groove_width_m;
    return ridged && !cut ? b->ridge_at_m : 0.0;
}

/* ---- the section ------------------------------------------------------------------------------------------------- */

static cq_status build(cq_section *s, const cq_blade *blade, const cq_coat *coat, cq_error *error) {
    cq_polyline outline[CQ_SIDES] = {{0}, {0}}, thickness = {0};
    int sloped[CQ_SIDES] = {0, 0};
    cq_status status = cq_outline_create(&outline[CQ_SIDE_LEFT], blade, CQ_SIDE_LEFT);
    status = status == CQ_OK ? cq_outline_create(&outline[CQ_SIDE_RIGHT], blade, CQ_SIDE_RIGHT) : status;
    status = status == CQ_OK ? cq_blade_check_outlines(blade, outline, error) : status;
    for (int side = 0; side < CQ_SIDES && status == CQ_OK; side++) {
        status = cq_coat_create(&thickness, coat, side, &outline[side], &sloped[side]);
        if (status == CQ_OK) {
            status = build_filled_flank(&s->side[side], &outline[side], &thickness, error);
        }
        cq_polyline_free(&thickness);
    }
    cq_polyline_free(&outline[CQ_SIDE_LEFT]);
    cq_polyline_free(&outline[CQ_SIDE_RIGHT]);
    if (status == CQ_ERR_MEMORY) {
        return cq_error_say(error, status, "clay.coat", "", "", "outline and coat");
    }
    s->symmetric = flanks_equal(&s->side[CQ_SIDE_LEFT], &s->side[CQ_SIDE_RIGHT]);
    s->sloped_steps = sloped[CQ_SIDE_LEFT] + (s->symmetric ? 0 : sloped[CQ_SIDE_RIGHT]);
    return status;
}

cq_status cq_section_create(cq_section **section, const cq_blade *blade, const cq_coat *coat, cq_error *error) {
    cq_status status = cq_blade_check(blade, error);
    if (status == CQ_OK && coat != NULL) {
        status = check_coat(coat, blade, error);
    }
    if (status != CQ_OK) {
        return status;
    }
    cq_section *s = cq_memory_zero(1, sizeof *s);
    if (s == NULL) {
        return cq_error_say(error, CQ_ERR_MEMORY, "blade", "", "", "section");
    }
    const bool flat_ends = coat != NULL && !one_dimensional(blade->family);
    s->family = blade->family;
    s->height_m = one_dimensional(blade->family) ? 1.0 : blade->height_m;
    s->length_m = blade->length_m;
    s->ridge_at_m = ridge_of(blade);
    s->edge_coat_m = flat_ends ? coat->edge_m : 0.0;
    s->spine_coat_m = flat_ends ? coat->spine_m : 0.0;
    cq_coat_point everywhere[2] = {{0.0, 0.0, 0.0}, {1.0, 0.0, 0.0}};
    cq_coat uniform = {2, everywhere, 0.0, 0.0};
    if (one_dimensional(blade->family) && coat != NULL && coat->n > 0) { /* one thickness over the unit of height */
        everywhere[0].left_m = everywhere[1].left_m = coat->points[0].left_m;
        everywhere[0].right_m = everywhere[1].right_m = coat->points[0].right_m;
        coat = &uniform;
    }
    status = build(s, blade, coat, error);
    if (status != CQ_OK) {
        cq_section_free(s);
        return status;
    }
    *section = s;
    return s->sloped_steps > 0 ? CQ_NOTICED : CQ_OK;
}

void cq_section_free(cq_section *section) {
    if (section != NULL) {
        cq_memory_free(section->side[CQ_SIDE_LEFT].foot_x_m);
        cq_memory_free(section->side[CQ_SIDE_RIGHT].foot_x_m);
        cq_memory_free(section);
    }
}

static double along_flank(const cq_flank *f, double *v, double x) {
    const cq_polyline line = {f->n, f->foot_x_m, v};
    return cq_polyline_eval(&line, x, 0.0);
}

double cq_section_half_thickness(const cq_section *section, int side, double x_m) {
    return along_flank(&section->side[side], section->side[side].foot_y_m, x_m);
}

double cq_section_clay_thickness(const cq_section *section, int side, double x_m) {
    return along_flank(&section->side[side], section->side[side].coat_m, x_m);
}

const char *cq_section_top_words(const cq_section *section) {
    return section->family == CQ_FAMILY_DOUBLE_EDGED ? "second edge" : "spine";
}

/* Whether an outer point stands the coat's thickness off the line of the face from node a to node b. */
static bool stands_off(const cq_flank *f, size_t a, size_t b, size_t node) {
    const double dx = f->foot_x_m[b] - f->foot_x_m[a], dy = f->foot_y_m[b] - f->foot_y_m[a];
    const double ox = f->outer_x_m[node] - f->foot_x_m[node], oy = f->outer_y_m[node] - f->foot_y_m[node];
    const double off = (oy * dx - ox * dy) / hypot(dx, dy);
    return fabs(off - f->coat_m[node]) <= 1e-9 * f->coat_m[node] + 1e-12; /* rounding; metres */
}

/* Nodes rise, the outer face keeps climbing, in the coat's distance from the steel but where it fills a hollow. */
static bool flank_is_valid(const cq_flank *f, double height) {
    if (f->n < 2 || !(fabs(f->foot_x_m[0]) <= 1e-12) || !(fabs(f->foot_x_m[f->n - 1] - height) <= 1e-9 * height)) {
        return false;
    }
    for (size_t i = 0; i < f->n; i++) {
        if (!isfinite(f->foot_y_m[i]) || !isfinite(f->outer_y_m[i]) || !is_thickness(f->coat_m[i]) ||
            !(f->fill_m[i] <= f->coat_m[i])) {
            return false;
        }
        if (i > 0 && !(f->foot_x_m[i] > f->foot_x_m[i - 1] && f->outer_x_m[i] > f->outer_x_m[i - 1] &&
                       (fabs(f->fill_m[i - 1]) > 0.0 || stands_off(f, i - 1, i, i - 1)) &&
                       (fabs(f->fill_m[i]) > 0.0 || stands_off(f, i - 1, i, i)))) {
            return false;
        }
    }
    return true;
}

/* Steel between the faces at every node of one of them. */
static bool has_thickness(const cq_section *s, int side) {
    const cq_flank *f = &s->side[side];
    for (size_t i = 0; i < f->n; i++) {
        if (!(f->foot_y_m[i] + cq_section_half_thickness(s, 1 - side, fmin(f->foot_x_m[i], s->height_m)) > 0.0)) {
            return false;
        }
    }
    return true;
}

bool cq_section_is_valid(const cq_section *s) {
    if (s == NULL || !is_positive(s->height_m) || !is_thickness(s->edge_coat_m) || !is_thickness(s->spine_coat_m) ||
        s->sloped_steps < 0) {
        return false;
    }
    for (int side = 0; side < CQ_SIDES; side++) {
        if (!flank_is_valid(&s->side[side], s->height_m)) {
            return false;
        }
    }
    if (!has_thickness(s, CQ_SIDE_LEFT) || !has_thickness(s, CQ_SIDE_RIGHT)) {
        return false;
    }
    return s->symmetric == flanks_equal(&s->side[CQ_SIDE_LEFT], &s->side[CQ_SIDE_RIGHT]);
}
