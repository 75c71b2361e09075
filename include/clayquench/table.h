/* table.h - one quantity against another, as a list of pairs.
 *
 * Order: x strictly increasing, n >= 1. One pair is a constant. Between points the curve is straight, or monotone
 * cubic (Steffen 1990) when asked. Outside [x[0], x[n-1]] the end value is held and the caller is told, so that an
 * extrapolation is never silent. Owner: whoever built it (usually a plan's arena); the pairs are immutable.
 */
#ifndef CLAYQUENCH_TABLE_H
#define CLAYQUENCH_TABLE_H

#include <stdbool.h>
#include <stddef.h>

typedef enum cq_interpolation { CQ_INTERPOLATE_LINEAR, CQ_INTERPOLATE_MONOTONE } cq_interpolation;

typedef struct cq_table {
    size_t n;
    const double *x, *y; /* n values each; n == 0: absent */
    cq_interpolation interpolation;
} cq_table;

/* True when n >= 1, every value is finite and x increases strictly. */
bool cq_table_is_valid(const cq_table *table);

/* Value at x. If `outside` is not NULL it is incremented when x lies outside a table of two or more points.
 * Source of the monotone curve: [steffen1990]. */
double cq_table_eval(const cq_table *table, double x, size_t *outside);

/* Slope dy/dx at x (0 outside, the right-hand slope at a kink). */
double cq_table_slope(const cq_table *table, double x);

#endif
