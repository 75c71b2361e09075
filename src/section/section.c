/* section.c - steel outline and coat joined into the flanks of a section. */
#include "base/memory.h"
#include "section/shape.h"

#include <math.h>
#include <stdio.h>

/* Steepest flank the grid's straight rows are laid on, tan 60 degrees: its cells are skewed by as much. */
static const double STEEPEST_FLANK = 1.7320508;

/* Nodes nearer than this part of the height are one. */
static const double NODE_REACH = 1e-7;

static bool one_dimensional(cq_family family) {
    return family == CQ_FAMILY_PLATE || family == CQ_FAMILY_ROUND;
}

/* ---- what the caller stated -------------------------------------------------------------------------------------- */

static bool is_positive(double v) {
    return isfinite(v) && v > 0.0;
}

static bool is_thickness(double v) {
    return isfinite(v) && v >= 0.0;
}

static cq_status refuse_blade(cq_error *error, const char *key, double found_m, const char *expected) {
    return cq_error_say(error, CQ_ERR_GEOMETRY, key, expected, "", "%.6g mm", 1e3 * found_m);
}

static cq_status check_blade(const cq_blade *b, cq_error *error) {
    if (!is_positive(b->spine_m)) {
        return refuse_blade(error, "blade.spine", b->spine_m, "a thickness above zero");
    }
    if (one_dimensional(b->family)) {
        return CQ_OK;
    }
    if (!is_positive(b->height_m)) {
        return refuse_blade(error, "blade.height", b->height_m, "a height above zero");
    }
    if (!is_positive(b->edge_m)) {
        return refuse_blade(error, "blade.edge", b->edge_m, "a thickness above zero");
    }
    if (b->family == CQ_FAMILY_CONVEX && !isfinite(b->bulge_m)) {
        return refuse_blade(error, "blade.bulge", b->bulge_m, "a length");
    }
    if (b->family == CQ_FAMILY_RIDGED) {
        const double margin = 1e-3 * b->height_m;
        if (!(b->ridge_at_m > margin && b->ridge_at_m < b->height_m - margin)) {
            return refuse_blade(error, "blade.ridge.at", b->ridge_at_m, "a height between edge and spine");
        }
        if (!is_positive(b->ridge_thickness_m)) {
            return refuse_blade(error, "blade.ridge.thickness", b->ridge_thickness_m, "a thickness above zero");
        }
    }
    return CQ_OK;
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

/* Outer points: along the normal at the ends; between, where the offset lines of the two neighbours meet: with normals
 * n0, n1 at t (n0 + n1) / (1 + n0.n1) from the foot. */
static void offset_nodes(cq_flank *f) {
    double n0x = 0.0, n0y = 0.0;
    for (size_t i = 0; i < f->n; i++) {
        double n1x = n0x, n1y = n0y;
        if (i + 1 < f->n) {
            const double dx = f->foot_x_m[i + 1] - f->foot_x_m[i], dy = f->foot_y_m[i + 1] - f->foot_y_m[i];
            const double length = hypot(dx, dy);
            n1x = -dy / length;
            n1y = dx / length;
        }
        if (i == 0) {
            n0x = n1x;
            n0y = n1y;
        }
        const double t = f->coat_m[i] / (1.0 + n0x * n1x + n0y * n1y);
        f->outer_x_m[i] = f->foot_x_m[i] + t * (n0x + n1x);
        f->outer_y_m[i] = f->foot_y_m[i] + t * (n0y + n1y);
        n0x = n1x;
        n0y = n1y;
    }
}

/* The nodes of outline and coat in one list; where two are one, the outline's end stays. */
static cq_status build_flank(cq_flank *f, const cq_polyline *outline, const cq_polyline *coat) {
    const size_t capacity = outline->n + coat->n;
    double *block = cq_memory_zero(5 * capacity, sizeof(double));
    if (block == NULL) {
        return CQ_ERR_MEMORY;
    }
    f->foot_x_m = block;
    f->foot_y_m = block + capacity;
    f->outer_x_m = block + 2 * capacity;
    f->outer_y_m = block + 3 * capacity;
    f->coat_m = block + 4 * capacity;
    const double top = outline->x[outline->n - 1];
    f->n = cq_polyline_merge_x(f->foot_x_m, outline, coat, NODE_REACH * top);
    f->foot_x_m[f->n - 1] = top;
    for (size_t i = 0; i < f->n; i++) {
        f->foot_y_m[i] = cq_polyline_eval(outline, f->foot_x_m[i], 0.0);
        f->coat_m[i] = cq_polyline_eval(coat, f->foot_x_m[i], 0.0);
    }
    offset_nodes(f);
    return CQ_OK;
}

/* The outer outline must keep climbing, or the coat folds on itself. */
static cq_status check_flank(const cq_flank *f, cq_error *error) {
    for (size_t i = 0; i < f->n; i++) {
        if (!(f->foot_y_m[i] > 0.0)) {
            return cq_error_say(error, CQ_ERR_GEOMETRY, "blade", "a positive thickness at every height", "",
                                "thickness %.3g mm at height %.3g mm", 2e3 * f->foot_y_m[i], 1e3 * f->foot_x_m[i]);
        }
        if (i == 0) {
            continue;
        }
        const double run = f->foot_x_m[i] - f->foot_x_m[i - 1], rise = f->foot_y_m[i] - f->foot_y_m[i - 1];
        if (!(fabs(rise) <= STEEPEST_FLANK * run)) {
            return cq_error_say(error, CQ_ERR_GEOMETRY, "blade", "flanks leaning 60 degrees or less",
                                "take the rounded part as a wider flat",
                                "a flank leaning %.0f degrees at height %.3g mm", atan2(fabs(rise), run) * 57.29578,
                                1e3 * f->foot_x_m[i]);
        }
        if (!(f->outer_x_m[i] > f->outer_x_m[i - 1])) {
            return cq_error_say(error, CQ_ERR_GEOMETRY, "clay.coat", "a coat that does not fold on itself",
                                "make the coat thinner there", "the clay's outer face runs back at height %.3g mm",
                                1e3 * f->foot_x_m[i]);
        }
    }
    return CQ_OK;
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

/* ---- the section ------------------------------------------------------------------------------------------------- */

static cq_status build(cq_section *s, const cq_blade *blade, const cq_coat *coat, cq_error *error) {
    cq_polyline outline = {0}, thickness = {0};
    int sloped[CQ_SIDES] = {0, 0};
    cq_status status = cq_outline_create(&outline, blade);
    for (int side = 0; side < CQ_SIDES && status == CQ_OK; side++) {
        status = cq_coat_create(&thickness, coat, side, &outline, &sloped[side]);
        if (status == CQ_OK) {
            status = build_flank(&s->side[side], &outline, &thickness);
        }
        cq_polyline_free(&thickness);
    }
    cq_polyline_free(&outline);
    if (status != CQ_OK) {
        return cq_error_say(error, status, "clay.coat", "", "", "outline and coat");
    }
    for (int side = 0; side < CQ_SIDES && status == CQ_OK; side++) {
        status = check_flank(&s->side[side], error);
    }
    s->symmetric = flanks_equal(&s->side[CQ_SIDE_LEFT], &s->side[CQ_SIDE_RIGHT]);
    s->sloped_steps = sloped[CQ_SIDE_LEFT] + (s->symmetric ? 0 : sloped[CQ_SIDE_RIGHT]);
    return status;
}

cq_status cq_section_create(cq_section **section, const cq_blade *blade, const cq_coat *coat, cq_error *error) {
    cq_status status = check_blade(blade, error);
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

/* Whether an outer point stands the coat's thickness off the line of the face from node a to node b. */
static bool stands_off(const cq_flank *f, size_t a, size_t b, size_t node) {
    const double dx = f->foot_x_m[b] - f->foot_x_m[a], dy = f->foot_y_m[b] - f->foot_y_m[a];
    const double ox = f->outer_x_m[node] - f->foot_x_m[node], oy = f->outer_y_m[node] - f->foot_y_m[node];
    const double off = (oy * dx - ox * dy) / hypot(dx, dy);
    return fabs(off - f->coat_m[node]) <= 1e-9 * f->coat_m[node] + 1e-12; /* rounding; metres */
}

/* Nodes rise, the steel has a thickness, the outer face keeps climbing in the coat's distance from the steel. */
static bool flank_is_valid(const cq_flank *f, double height) {
    if (f->n < 2 || !(fabs(f->foot_x_m[0]) <= 1e-12) || !(fabs(f->foot_x_m[f->n - 1] - height) <= 1e-9 * height)) {
        return false;
    }
    for (size_t i = 0; i < f->n; i++) {
        if (!is_positive(f->foot_y_m[i]) || !is_thickness(f->coat_m[i])) {
            return false;
        }
        if (i > 0 && !(f->foot_x_m[i] > f->foot_x_m[i - 1] && f->outer_x_m[i] > f->outer_x_m[i - 1] &&
                       stands_off(f, i - 1, i, i - 1) && stands_off(f, i - 1, i, i))) {
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
    return s->symmetric == flanks_equal(&s->side[CQ_SIDE_LEFT], &s->side[CQ_SIDE_RIGHT]);
}
