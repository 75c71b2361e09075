/* outline.c - the steel's half thickness over the height, per family of section. */
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

/* Circle through the edge (0, h0), the spine (H, h1) and the point `b` beyond the chord's middle, measured across the
 * blade. In the chord's frame, u along it from its middle, length c, leaning by angle a, the circle's middle lies
 *     q = (c^2/4 - b^2) / (2 b cos a)                                                                              (1)
 * behind the chord and the arc stands above the chord by
 *     w = (c^2/4 - u^2) / (sqrt(q^2 + c^2/4 - u^2) + q),                                                           (2)
 * which stays exact for flat arcs. A negative b hollows the flank. */
static void push_arc(cq_polyline *line, const cq_blade *blade) {
    const double h0 = 0.5 * blade->edge_m, h1 = 0.5 * blade->spine_m, height = blade->height_m;
    const double chord = hypot(height, h1 - h0), cos_a = height / chord, sin_a = (h1 - h0) / chord;
    const double b = fabs(blade->bulge_m), quarter = 0.25 * chord * chord;
    const double q = (quarter - b * b) / (2.0 * b * cos_a); /* (1) */
    cq_polyline_push(line, 0.0, h0);
    for (int s = 1; s < ARC_SEGMENTS; s++) {
        const double along = chord * s / ARC_SEGMENTS, u = along - 0.5 * chord;
        const double rest = quarter - u * u;
        const double w = copysign(rest / (sqrt(q * q + rest) + q), blade->bulge_m); /* (2) */
        cq_polyline_push(line, along * cos_a - w * sin_a, h0 + along * sin_a + w * cos_a);
    }
    cq_polyline_push(line, height, h1);
}

cq_status cq_outline_create(cq_polyline *outline, const cq_blade *b) {
    const cq_status status = cq_polyline_create(outline, ARC_SEGMENTS + 1);
    if (status != CQ_OK) {
        return status;
    }
    if (b->family == CQ_FAMILY_PLATE || b->family == CQ_FAMILY_ROUND) { /* the same over a unit of height */
        cq_polyline_push(outline, 0.0, 0.5 * b->spine_m);
        cq_polyline_push(outline, 1.0, 0.5 * b->spine_m);
    } else if (b->family == CQ_FAMILY_CONVEX && fabs(b->bulge_m) > 1e-9 * b->height_m) {
        push_arc(outline, b);
    } else {
        cq_polyline_push(outline, 0.0, 0.5 * b->edge_m);
        if (b->family == CQ_FAMILY_RIDGED) {
            cq_polyline_push(outline, b->ridge_at_m, 0.5 * b->ridge_thickness_m);
        }
        cq_polyline_push(outline, b->height_m, 0.5 * b->spine_m);
    }
    return CQ_OK;
}
