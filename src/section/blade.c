/* blade.c - whether what the smith states of a blade can be a section. */
#include "base/memory.h"
#include "section/shape.h"

#include <math.h>
#include <stdio.h>

/* Steepest flank the grid's straight rows are laid on, tan 60 degrees: its cells are skewed by as much. */
static const double STEEPEST_FLANK = 1.7320508;

/* Heights nearer to an end than this part of the whole are that end. */
static const double MARGIN = 1e-3;

static bool is_positive(double v) {
    return isfinite(v) && v > 0.0;
}

static cq_status refuse(cq_error *error, const char *key, double found_m, const char *expected) {
    return cq_error_say(error, CQ_ERR_GEOMETRY, key, expected, "", "%.6g mm", 1e3 * found_m);
}

static bool lies_inside(double at, double height) {
    return at > MARGIN * height && at < (1.0 - MARGIN) * height;
}

static cq_status check_ridge(const cq_blade *b, cq_error *error) {
    if (!lies_inside(b->ridge_at_m, b->height_m)) {
        return refuse(error, "blade.ridge.at", b->ridge_at_m, "a height between edge and spine");
    }
    return is_positive(b->ridge_thickness_m)
               ? CQ_OK
               : refuse(error, "blade.ridge.thickness", b->ridge_thickness_m, "a thickness above zero");
}

static cq_status check_groove(const cq_blade *b, cq_error *error) {
    if (!is_positive(b->groove_width_m)) {
        return refuse(error, "blade.groove.width", b->groove_width_m, "a width above zero");
    }
    if (!is_positive(b->groove_depth_m)) {
        return refuse(error, "blade.groove.depth", b->groove_depth_m, "a depth above zero");
    }
    const double low = b->groove_at_m - 0.5 * b->groove_width_m, high = b->groove_at_m + 0.5 * b->groove_width_m;
    if (!lies_inside(low, b->height_m) || !lies_inside(high, b->height_m)) {
        return cq_error_say(error, CQ_ERR_GEOMETRY, "blade.groove.at", "a groove whose rims lie on the faces",
                            "move it or make it narrower", "rims at %.6g and %.6g mm on a section %.6g mm high",
                            1e3 * low, 1e3 * high, 1e3 * b->height_m);
    }
    return CQ_OK;
}

/* ---- points of an outline ---------------------------------------------------------------------------------------- */

/* "blade.points.3", or "blade.left.3" where the faces have lists of their own. */
static const char *point_key(char key[64], const cq_blade *b, int side, size_t point) {
    const char *list = b->left == b->right ? "points" : side == CQ_SIDE_LEFT ? "left" : "right";
    snprintf(key, 64, "blade.%s.%zu", list, point);
    return key;
}

static cq_status check_points(const cq_blade *b, int side, cq_error *error) {
    const cq_outline_point *p = side == CQ_SIDE_LEFT ? b->left : b->right;
    const size_t n = side == CQ_SIDE_LEFT ? b->left_n : b->right_n;
    char key[64];
    if (n < 2) {
        return cq_error_say(error, CQ_ERR_GEOMETRY, side == CQ_SIDE_LEFT ? "blade.left" : "blade.right",
                            "two points or more", "", "%zu", n);
    }
    for (size_t i = 0; i < n; i++) {
        if (!isfinite(p[i].out_m)) {
            return refuse(error, point_key(key, b, side, i), p[i].out_m, "a distance");
        }
        if (i == 0 && !(fabs(p[i].at_m) <= 1e-9 * b->height_m)) {
            return refuse(error, point_key(key, b, side, i), p[i].at_m, "the first point at a height of 0 mm");
        }
        if (i > 0 && !(p[i].at_m > p[i - 1].at_m)) {
            return refuse(error, point_key(key, b, side, i), p[i].at_m, "heights that rise from point to point");
        }
    }
    if (!(fabs(p[n - 1].at_m - b->height_m) <= 1e-9 * b->height_m)) {
        return refuse(error, point_key(key, b, side, n - 1), p[n - 1].at_m, "both faces to the same height");
    }
    return CQ_OK;
}

/* ---- the whole --------------------------------------------------------------------------------------------------- */

static cq_status check_family(const cq_blade *b, cq_error *error) {
    cq_status status;
    switch (b->family) {
    case CQ_FAMILY_CONVEX:
        return isfinite(b->bulge_m) && b->bulge_m >= 0.0
                   ? CQ_OK
                   : refuse(error, "blade.bulge", b->bulge_m, "a length, 0 or more");
    case CQ_FAMILY_HOLLOW:
        return isfinite(b->hollow_m) && b->hollow_m >= 0.0
                   ? CQ_OK
                   : refuse(error, "blade.hollow", b->hollow_m, "a length, 0 or more");
    case CQ_FAMILY_RIDGED:
    case CQ_FAMILY_DOUBLE_EDGED:
        return check_ridge(b, error);
    case CQ_FAMILY_ONE_SIDED:
        if (b->flat_side != CQ_SIDE_LEFT && b->flat_side != CQ_SIDE_RIGHT) {
            return cq_error_say(error, CQ_ERR_GEOMETRY, "blade.flat-face", "left or right", "", "side %d",
                                b->flat_side);
        }
        return fabs(b->ridge_thickness_m) > 0.0 || !isfinite(b->ridge_thickness_m) ? check_ridge(b, error) : CQ_OK;
    case CQ_FAMILY_OUTLINE:
        status = check_points(b, CQ_SIDE_LEFT, error);
        return status == CQ_OK ? check_points(b, CQ_SIDE_RIGHT, error) : status;
    default:
        return CQ_OK;
    }
}

cq_status cq_blade_check(const cq_blade *b, cq_error *error) {
    const bool outline = b->family == CQ_FAMILY_OUTLINE; /* its points say edge and spine */
    if (!outline && !is_positive(b->spine_m)) {
        return refuse(error, "blade.spine", b->spine_m, "a thickness above zero");
    }
    if (!cq_family_is_flat_ended(b->family)) {
        return CQ_OK;
    }
    if (!is_positive(b->height_m)) {
        return refuse(error, "blade.height", b->height_m, "a height above zero");
    }
    if (!outline && !is_positive(b->edge_m)) {
        return refuse(error, "blade.edge", b->edge_m, "a thickness above zero");
    }
    const cq_status status = check_family(b, error);
    const bool grooved = fabs(b->groove_width_m) > 0.0 || !isfinite(b->groove_width_m);
    return status == CQ_OK && grooved ? check_groove(b, error) : status;
}

/* ---- both faces together ----------------------------------------------------------------------------------------- */

static bool in_groove(const cq_blade *b, double x) {
    return b->groove_width_m > 0.0 && fabs(x - b->groove_at_m) <= 0.5 * b->groove_width_m * (1.0 + 1e-9);
}

/* The key to blame for what is wrong at height x. */
static const char *blame(char key[64], const cq_blade *b, int side, const cq_polyline *outline, double x) {
    if (in_groove(b, x)) {
        return "blade.groove.depth";
    }
    if (b->family == CQ_FAMILY_HOLLOW) {
        return "blade.hollow";
    }
    if (b->family != CQ_FAMILY_OUTLINE) {
        return "blade";
    }
    const cq_outline_point *p = side == CQ_SIDE_LEFT ? b->left : b->right;
    const size_t n = side == CQ_SIDE_LEFT ? b->left_n : b->right_n;
    size_t point = 0; /* the first at x or above; a groove has moved the outline's own indices */
    while (point + 1 < n && p[point].at_m < x - 1e-9 * outline->x[outline->n - 1]) {
        point++;
    }
    return point_key(key, b, side, point);
}

/* Between the faces there must be steel: at every corner of either. */
static cq_status check_thickness(const cq_blade *b, const cq_polyline outline[CQ_SIDES], int side, cq_error *error) {
    const cq_polyline *here = &outline[side], *there = &outline[1 - side];
    size_t thinnest = 0;
    double least = INFINITY;
    for (size_t i = 0; i < here->n; i++) {
        const double x = fmin(here->x[i], there->x[there->n - 1]);
        const double thickness = here->v[i] + cq_polyline_eval(there, x, NAN);
        if (!(thickness >= least)) { /* a NaN is the thinnest */
            least = thickness;
            thinnest = i;
        }
    }
    char key[64];
    const double x = here->x[thinnest];
    return least > 0.0 ? CQ_OK
                       : cq_error_say(error, CQ_ERR_GEOMETRY, blame(key, b, side, here, x),
                                      "steel between the faces at every height", "",
                                      "thickness %.3g mm at height %.4g mm", 1e3 * least, 1e3 * x);
}

static cq_status check_lean(const cq_blade *b, const cq_polyline *outline, int side, cq_error *error) {
    for (size_t i = 1; i < outline->n; i++) {
        const double run = outline->x[i] - outline->x[i - 1], rise = outline->v[i] - outline->v[i - 1];
        if (!(run > 0.0 && fabs(rise) <= STEEPEST_FLANK * run)) {
            char key[64];
            return cq_error_say(error, CQ_ERR_GEOMETRY, blame(key, b, side, outline, outline->x[i]),
                                "flanks leaning 60 degrees or less", "take the rounded part as a wider flat",
                                "a flank leaning %.0f degrees at height %.3g mm", atan2(fabs(rise), run) * 57.29578,
                                1e3 * outline->x[i]);
        }
    }
    return CQ_OK;
}

cq_status cq_blade_check_outlines(const cq_blade *b, const cq_polyline outline[CQ_SIDES], cq_error *error) {
    cq_status status = CQ_OK;
    for (int side = 0; side < CQ_SIDES && status == CQ_OK; side++) {
        status = check_thickness(b, outline, side, error);
    }
    for (int side = 0; side < CQ_SIDES && status == CQ_OK; side++) {
        status = check_lean(b, &outline[side], side, error);
    }
    return status;
}
