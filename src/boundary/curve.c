/* curve.c - see curve.h. */
#include "boundary/curve.h"

#include "base/memory.h"

cq_status cq_curve_create(cq_curve *curve, cq_curve_law *law, const void *context, double first, double last, int n) {
    double *node = cq_memory_zero(2 * (size_t)n, sizeof(double));
    if (node == NULL) {
        return CQ_ERR_MEMORY;
    }
    const double step = (last - first) / (n - 1), reach = step / 16.0;
    for (int i = 0; i < n; i++) {
        const double x = first + i * step;
        node[2 * i] = law(context, x);
        node[2 * i + 1] = (law(context, x + reach) - law(context, x - reach)) / (2.0 * reach) * step;
    }
    *curve = (cq_curve){first, 1.0 / step, n, node};
    return CQ_OK;
}

void cq_curve_clear(cq_curve *curve) {
    cq_memory_free(curve->node);
    *curve = (cq_curve){0.0, 0.0, 0, NULL};
}

/* The cubic through a piece's values at 0, 1/3, 2/3 and 1 of its length: a straight or cubic piece is met exactly. */
static void set_piece(double c[4], const cq_table *table, size_t i) {
    const double x0 = table->x[i], h = table->x[i + 1] - x0, y0 = table->y[i], y3 = table->y[i + 1];
    c[0] = y0;
    if (table->interpolation == CQ_INTERPOLATE_LINEAR) {
        c[1] = y3 - y0;
        c[2] = c[3] = 0.0;
        return;
    }
    const double y1 = cq_table_eval(table, x0 + h / 3.0, NULL), y2 = cq_table_eval(table, x0 + 2.0 * h / 3.0, NULL);
    c[1] = -5.5 * y0 + 9.0 * y1 - 4.5 * y2 + y3;
    c[2] = 9.0 * y0 - 22.5 * y1 + 18.0 * y2 - 4.5 * y3;
    c[3] = -4.5 * y0 + 13.5 * y1 - 13.5 * y2 + 4.5 * y3;
}

cq_status cq_pieces_create(cq_pieces *pieces, const cq_table *table) {
    double *knot = cq_memory_zero(5 * table->n, sizeof(double));
    if (knot == NULL) {
        return CQ_ERR_MEMORY;
    }
    double(*coefficient)[4] = (double(*)[4])(knot + table->n);
    for (size_t i = 0; i < table->n; i++) {
        knot[i] = table->x[i];
        if (i + 1 < table->n) {
            set_piece(coefficient[i], table, i);
        } else {
            coefficient[i][0] = table->y[i];
        }
    }
    *pieces = (cq_pieces){table->n, knot, coefficient};
    return CQ_OK;
}

void cq_pieces_clear(cq_pieces *pieces) {
    cq_memory_free(pieces->knot);
    *pieces = (cq_pieces){0, NULL, NULL};
}

double cq_pieces_eval(const cq_pieces *pieces, double x, double *slope) {
    size_t low = 0, high = pieces->n - 1;
    if (!(x >= pieces->knot[0] && x < pieces->knot[high])) {
        *slope = 0.0;
        return pieces->coefficient[x >= pieces->knot[0] ? high : 0][0];
    }
    while (high - low > 1) {
        const size_t middle = (low + high) / 2;
        *(pieces->knot[middle] <= x ? &low : &high) = middle;
    }
    const double per_length = 1.0 / (pieces->knot[low + 1] - pieces->knot[low]),
                 u = (x - pieces->knot[low]) * per_length;
    const double *c = pieces->coefficient[low];
    *slope = (c[1] + u * (2.0 * c[2] + u * 3.0 * c[3])) * per_length;
    return c[0] + u * (c[1] + u * (c[2] + u * c[3]));
}
