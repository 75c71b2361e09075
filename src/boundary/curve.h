/* curve.h - tabulated curves whose value and slope belong together: even nodes for a law, pieces for a table. */
#ifndef CQ_BOUNDARY_CURVE_H
#define CQ_BOUNDARY_CURVE_H

#include <clayquench/status.h>
#include <clayquench/table.h>

/* A law on even nodes: cubic Hermite between them, straight on with the end's slope outside. */
typedef struct cq_curve {
    double first, per_step; /* x of node 0; 1/step */
    int n;
    double *node; /* 2n: value, slope times step */
} cq_curve;

typedef double cq_curve_law(const void *context, double x);

/* n >= 2 nodes on [first, last]; slopes by differences an eighth of a step wide. Owner: the caller, cq_curve_clear. */
cq_status cq_curve_create(cq_curve *curve, cq_curve_law *law, const void *context, double first, double last, int n);
void cq_curve_clear(cq_curve *curve);

static inline double cq_curve_eval(const cq_curve *curve, double x, double *slope) {
    const double at = (x - curve->first) * curve->per_step;
    const int last = curve->n - 1;
    if (!(at > 0.0 && at < last)) { /* outside; a NaN goes through to the value */
        const int end = at > 0.0 ? last : 0;
        const double *p = curve->node + 2 * end;
        *slope = p[1] * curve->per_step;
        return p[0] + (at - end) * p[1];
    }
    const int i = (int)at;
    const double u = at - i, *p = curve->node + 2 * i;
    const double rise = p[2] - p[0], a = p[1] + p[3] - 2.0 * rise, b = 3.0 * rise - 2.0 * p[1] - p[3];
    *slope = (p[1] + u * (2.0 * b + 3.0 * a * u)) * curve->per_step;
    return p[0] + u * (p[1] + u * (b + u * a));
}

/* A table as cubic pieces, so that no search for Steffen's slopes is made per call. Outside, the end value is held. */
typedef struct cq_pieces {
    size_t n;                 /* knots */
    double *knot;             /* n */
    double (*coefficient)[4]; /* n: cubics in (x - knot)/(length of the piece); the last is the held end */
} cq_pieces;

cq_status cq_pieces_create(cq_pieces *pieces, const cq_table *table);
void cq_pieces_clear(cq_pieces *pieces);
/* Slope: 0 outside, right-hand at a knot. */
double cq_pieces_eval(const cq_pieces *pieces, double x, double *slope);

#endif
