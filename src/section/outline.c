/* outline.c - the steel's half thickness over the height, per family of section. */
#include "base/memory.h"
#include "section/shape.h"

#include <math.h>

enum { ARC_SEGMENTS = 64 };

cq_status cq_polyline_create(cq_polyline *line, size_t capacity) {
    line->n = 0;
    line->x = cq_memory_zero(2 * capacity, sizeof(double));
    line->v = line->x == NULL ? NULL : line->x + capacity;
    return line->x == NULL ? CQ_ERR_MEMORY : CQ_OK;
}

void cq_polyline_free(cq_polyline *line) {
    cq_memory_free(line->x);
    *line = (cq_polyline){0, NULL, NULL};
}

double cq_polyline_eval(const cq_polyline *line, double x, double outside) {
    if (line->n == 0 || x < line->x[0] || x > line->x[line->n - 1]) {
        return outside;
    }
    for (size_t i = 0; i + 1 < line->n; i++) {
        if (x <= line->x[i + 1]) {
            const double run = line->x[i + 1] - line->x[i];
            const double u = run > 0.0 ? (x - line->x[i]) / run : 0.5;
            return line->v[i] + u * (line->v[i + 1] - line->v[i]);
        }
    }
    return line->v[line->n - 1];
}

static void push(cq_polyline *line, double x, double v) {
    line->x[line->n] = x;
    line->v[line->n++] = v;
}

/* Circle through edge, spine and the point `bulge` beyond the chord's middle (measured across the blade). */
static void push_arc(cq_polyline *line, const cq_blade *b) {
    const double h0 = 0.5 * b->edge_m, h1 = 0.5 * b->spine_m, height = b->height_m;
    for (int s = 0; s <= ARC_SEGMENTS; s++) {
        const double u = (double)s / ARC_SEGMENTS;
        const double chord = h0 + (h1 - h0) * u;
        double rise = 0.0;
        if (b->bulge_m > 0.0) { /* sagitta of a circle over a chord of length `height` */
            const double half = 0.5 * height, radius = (half * half + b->bulge_m * b->bulge_m) / (2.0 * b->bulge_m);
            const double from_middle = (u - 0.5) * height;
            rise = sqrt(fmax(0.0, radius * radius - from_middle * from_middle)) - (radius - b->bulge_m);
        }
        push(line, u * height, chord + rise);
    }
}

cq_status cq_outline_create(cq_polyline *outline, const cq_blade *b) {
    const cq_status status = cq_polyline_create(outline, ARC_SEGMENTS + 1);
    if (status != CQ_OK) {
        return status;
    }
    switch (b->family) {
    case CQ_FAMILY_CONVEX:
        push_arc(outline, b);
        break;
    case CQ_FAMILY_RIDGED:
        push(outline, 0.0, 0.5 * b->edge_m);
        push(outline, b->ridge_at_m, 0.5 * b->ridge_thickness_m);
        push(outline, b->height_m, 0.5 * b->spine_m);
        break;
    case CQ_FAMILY_FLAT:
        push(outline, 0.0, 0.5 * b->edge_m);
        push(outline, b->height_m, 0.5 * b->spine_m);
        break;
    default: /* plate and round: the same everywhere */
        push(outline, 0.0, 0.5 * b->spine_m);
        push(outline, 1.0, 0.5 * b->spine_m);
        break;
    }
    return CQ_OK;
}
