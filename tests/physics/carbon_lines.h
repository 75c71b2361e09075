/* carbon_lines.h - lines of carbon for checks: two slabs, layers between mirrors, and the differences to closed forms.
 */
#ifndef TEST_PHYSICS_CARBON_LINES_H
#define TEST_PHYSICS_CARBON_LINES_H

#include "kinetics/carbon.h"

#include <math.h>

/* n equal cells over length_m; `low` in the first half, `high` in the other. */
static inline void two_slabs(cq_carbon_line *line, size_t n, double length_m, double low, double high) {
    cq_carbon_line_create(line, n);
    for (size_t i = 0; i < n; i++) {
        line->width_m[i] = length_m / (double)n;
        line->carbon_wt[i] = i < n / 2 ? low : high;
    }
}

/* Mean over [a, b] of erf(x/reach): integral x erf(x) + exp(-x2)/sqrt(pi). */
static inline double mean_erf(double a, double b, double reach) {
    const double u = a / reach, v = b / reach, root = 0.56418958354775629; /* 1/sqrt(pi) */
    return (v * erf(v) + root * exp(-v * v) - u * erf(u) - root * exp(-u * u)) / (v - u);
}

/* Mean over a cell of cos(k x). */
static inline double mean_cos(double a, double b, double k) {
    return (sin(k * b) - sin(k * a)) / (k * (b - a));
}

#endif
