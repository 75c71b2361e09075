/* outline.c - one face of the steel over the height, per family of section. */
#include "base/memory.h"
#include "section/shape.h"

#include <math.h>

enum { ARC_SEGMENTS = 64 };

cq_status cq_polyline_create(cq_polyline *line, size_t capacity) {
    double *block = cq_memory_zero(2 * capacity, sizeof(double));
    *line = (cq_polyline){0, block, block == NULL ? NULL : block + capacity};
    return block == NULL ? CQ_ERR_MEMORY : CQ_OK;
}

void cq_polyline_free(cq_polyline *line) {
    cq_memory_free(line->x);
    *line = (cq_polyline){0, NULL, NULL};
}

void cq_polyline_push(cq_polyline *line, double x, double v) {
    line->x[line->n] = x;
    line->v[line->n++] = v;
}

double cq_polyline_eval(const cq_polyline *line, double x, double outside) {
    if (line->n == 0 || !(x >= line->x[0] && x <= line->x[line->n - 1])) {
        return outside;
    }
    size_t low = 0, high = line->n - 1; /* x[low] < x <= x[high], but for x on the first point */
    while (high - low > 1) {
        const size_t middle = (low + high) / 2;
        if (line->x[middle] < x) {
            low = middle;
        } else {
            high = middle;
        }
    }
    const double run = line->x[high] - line->x[low], rise = line->v[high] - line->v[low];
    const bool on_step = high + 1 < line->n && !(line->x[high + 1] > x);
    if (on_step) {
        return 0.5 * (line->v[high] + line->v[high + 1]);
    }
    return line->v[low] + (run > 0.0 ? (x - line->x[low]) / run : 0.5) * rise;
}

size_t cq_polyline_merge_x(double *x, const cq_polyline *a, const cq_polyline *b, double reach) {
    size_t ia = 0, ib = 0, n = 0;
    while (ia < a->n || ib < b->n) {
        const bool take_a = ib >= b->n || (ia < a->n && a->x[ia] <= b->x[ib]);
        const double next = take_a ? a->x[ia++] : b->x[ib++];
        if (n == 0 || next - x[n - 1] > reach) {
            x[n++] = next;
        }
    }
    return n;
}

/* ---- families ---------------------------------------------------------------------------------------------------- */

typedef struct end {
    double x, y;
} end;

/* Circle through `from`, `to` and the point `bulge` beyond the chord's middle, measured across the blade. In the
 * chord's frame, u along it from its middle, length c, leaning by angle a, the circle's middle lies q = (c^2/4 - b^2) /
 * (2 b cos a)                                                                              (1) behind the chord and the
 * arc stands above the chord by w = (c^2/4 - u^2) / (sqrt(q^2 + c^2/4 - u^2) + q), (2) which stays exact for flat arcs.
 * A negative bulge hollows. Both ends are pushed. */
static void push_arc(cq_polyline *line, end from, end to, double bulge) {
    const double height = to.x - from.x, rise = to.y - from.y;
    const double chord = hypot(height, rise), cos_a = height / chord, sin_a = rise / chord;
    const double b = fabs(bulge), quarter = 0.25 * chord * chord;
    const double q = (quarter - b * b) / (2.0 * b * cos_a); /* (1) */
    cq_polyline_push(line, from.x, from.y);
    for (int s = 1; s < ARC_SEGMENTS; s++) {
        const double along = chord * s / ARC_SEGMENTS, u = along - 0.5 * chord;
        const double rest = quarter - u * u;
        const double w = copysign(rest / (sqrt(q * q + rest) + q), bulge); /* (2) */
        cq_polyline_push(line, from.x + along * cos_a - w * sin_a, from.y + along * sin_a + w * cos_a);
    }
    cq_polyline_push(line, to.x, to.y);
}

/* Straight where the bulge is rounding. */
static void push_flank(cq_polyline *line, const cq_blade *b, double bulge) {
    const end edge = {0.0, 0.5 * b->edge_m}, spine = {b->height_m, 0.5 * b->spine_m};
    if (fabs(bulge) > 1e-9 * b->height_m) {
        push_arc(line, edge, spine, bulge);
    } else {
        cq_polyline_push(line, edge.x, edge.y);
        cq_polyline_push(line, spine.x, spine.y);
    }
}

static void push_ridged(cq_polyline *line, const cq_blade *b) {
    cq_polyline_push(line, 0.0, 0.5 * b->edge_m);
    cq_polyline_push(line, b->ridge_at_m, 0.5 * b->ridge_thickness_m);
    cq_polyline_push(line, b->height_m, 0.5 * b->spine_m);
}

/* The flat face stands half the edge off the middle of the edge; what is thicker elsewhere lies on the other side. */
static void push_one_sided(cq_polyline *line, const cq_blade *b, int side) {
    const double flat = 0.5 * b->edge_m;
    const bool bevel = side != b->flat_side;
    cq_polyline_push(line, 0.0, flat);
    if (bevel && b->ridge_thickness_m > 0.0) {
        cq_polyline_push(line, b->ridge_at_m, b->ridge_thickness_m - flat);
    }
    cq_polyline_push(line, b->height_m, bevel ? b->spine_m - flat : flat);
}

static void push_points(cq_polyline *line, const cq_outline_point *points, size_t n, double height) {
    for (size_t i = 0; i < n; i++) {
        cq_polyline_push(line, i + 1 == n ? height : points[i].at_m, points[i].out_m);
    }
}

static void push_family(cq_polyline *line, const cq_blade *b, int side) {
    const bool left = side == CQ_SIDE_LEFT;
    switch (b->family) {
    case CQ_FAMILY_PLATE:
    case CQ_FAMILY_ROUND: /* the same over a unit of height */
        cq_polyline_push(line, 0.0, 0.5 * b->spine_m);
        cq_polyline_push(line, 1.0, 0.5 * b->spine_m);
        break;
    case CQ_FAMILY_RIDGED:
    case CQ_FAMILY_DOUBLE_EDGED:
        push_ridged(line, b);
        break;
    case CQ_FAMILY_ONE_SIDED:
        push_one_sided(line, b, side);
        break;
    case CQ_FAMILY_OUTLINE:
        push_points(line, left ? b->left : b->right, left ? b->left_n : b->right_n, b->height_m);
        break;
    default:
        push_flank(line, b,
                   b->family == CQ_FAMILY_CONVEX   ? b->bulge_m
                   : b->family == CQ_FAMILY_HOLLOW ? -b->hollow_m
                                                   : 0.0);
    }
}

/* ---- groove ------------------------------------------------------------------------------------------------------ */

/* Replace the face between the rims by an arc below their chord. */
static cq_status cut_groove(cq_polyline *outline, const cq_blade *b) {
    const double low = b->groove_at_m - 0.5 * b->groove_width_m, high = b->groove_at_m + 0.5 * b->groove_width_m;
    const double reach = 1e-7 * b->height_m; /* a corner this near a rim is the rim */
    const end from = {low, cq_polyline_eval(outline, low, 0.0)}, to = {high, cq_polyline_eval(outline, high, 0.0)};
    cq_polyline cut;
    const cq_status status = cq_polyline_create(&cut, outline->n + ARC_SEGMENTS + 1);
    if (status != CQ_OK) {
        return status;
    }
    size_t i = 0;
    for (; i < outline->n && outline->x[i] < low - reach; i++) {
        cq_polyline_push(&cut, outline->x[i], outline->v[i]);
    }
    push_arc(&cut, from, to, -b->groove_depth_m);
    for (; i < outline->n; i++) {
        if (outline->x[i] > high + reach) {
            cq_polyline_push(&cut, outline->x[i], outline->v[i]);
        }
    }
    cq_polyline_free(outline);
    *outline = cut;
    return CQ_OK;
}

cq_status cq_outline_create(cq_polyline *outline, const cq_blade *b, int side) {
    const size_t points = b->family == CQ_FAMILY_OUTLINE ? (side == CQ_SIDE_LEFT ? b->left_n : b->right_n) : 0;
    cq_status status = cq_polyline_create(outline, ARC_SEGMENTS + 1 + points);
    if (status != CQ_OK) {
        return status;
    }
    push_family(outline, b, side);
    if (cq_family_is_flat_ended(b->family) && b->groove_width_m > 0.0 && (status = cut_groove(outline, b)) != CQ_OK) {
        cq_polyline_free(outline);
    }
    return status;
}
