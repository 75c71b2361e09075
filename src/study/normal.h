/* normal.h - small dense symmetric systems, for fits. Matrices are row by row, n*n. */
#ifndef CQ_STUDY_NORMAL_H
#define CQ_STUDY_NORMAL_H

#include <stdbool.h>
#include <stddef.h>

/* A = L L': the lower triangle of A becomes L. False if A is not positive definite. */
bool cq_normal_factor(size_t n, double *A);
/* x of L L' x = b, in place of b. */
void cq_normal_solve(size_t n, const double *L, double *b);
/* Inverse of L L' into `inverse`. */
void cq_normal_invert(size_t n, const double *L, double *inverse);

#endif
