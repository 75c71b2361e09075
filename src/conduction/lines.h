/* lines.h - tridiagonal systems solved CQ_LANES side by side, by elimination from one end or from both.
 *
 *     -g[s] x[s-1] + diagonal[s] x[s] - g[s+1] x[s+1] = r[s],     0 <= s < n,                                     (1)
 * g[s] the coupling through the low face of cell s. Elimination from both ends meets before cell `split`, and every
 * operation has its mirror image: a mirrored line gives the mirrored bits. The right-hand side may change between
 * elimination and solution, which is where the outer faces are closed.
 */
#ifndef CQ_CONDUCTION_LINES_H
#define CQ_CONDUCTION_LINES_H

#include "base/vector.h"

/* One cell of CQ_LANES lines; all a lane needs of a cell lies together. */
typedef struct cq_line_cell {
    double g[CQ_LANES], diagonal[CQ_LANES], r[CQ_LANES]; /* of (1) */
    double l[CQ_LANES], inverse[CQ_LANES];               /* from the low end: g / d of the cell before, 1/d */
    double y[CQ_LANES];                                  /* from the low end: right-hand side carried along */
    double back[CQ_LANES];                               /* from the high end: 1/e */
    double z[CQ_LANES]; /* from the high end: right-hand side carried along; once solved, x of (1) */
} cq_line_cell;

typedef struct cq_lines {
    cq_line_cell *cell;
    int n, split;
} cq_lines;

/* What lines are made of, in a padded array of `stride` elements per row: g and capacity at the first cell of the first
 * line. (1) gets dt g, and capacity as its diagonal until cq_lines_couple adds g. */
typedef struct cq_line_source {
    const double *g, *capacity;
    double dt;
    int stride;
} cq_line_source;

/* CQ_LANES rows; the right-hand side is rhs. */
void cq_lines_from_rows(const cq_lines *lines, const cq_line_source *from, const double *rhs);
/* CQ_LANES columns; the right-hand side is capacity times delta. */
void cq_lines_from_columns(const cq_lines *lines, const cq_line_source *from, const double *delta);
/* Add the couplings to the diagonal. */
void cq_lines_couple(const cq_lines *lines);

/* Elimination from the low end alone, or from both; y (and z) give each cell's x as if nothing lay beyond it:
 * y * inverse, z * back. */
void cq_lines_eliminate(const cq_lines *lines);
void cq_lines_eliminate_both(const cq_lines *lines);
/* x of (1) for the r there is now, into z; after cq_lines_eliminate or cq_lines_eliminate_both. */
void cq_lines_solve(const cq_lines *lines);
void cq_lines_solve_both(const cq_lines *lines);

void cq_lines_to_rows(const cq_lines *lines, int stride, double *x);
void cq_lines_to_columns(const cq_lines *lines, int stride, double *x);

/* After cq_lines_eliminate_both: rise of cell `low` of a lane for a unit on the right-hand side of cell `high`, which
 * is the same the other way round. */
double cq_lines_coupling(const cq_lines *lines, int lane, int low, int high);

#endif
