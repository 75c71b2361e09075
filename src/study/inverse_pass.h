/* inverse_pass.h - the two passes of the inverse; inverse.c calls them in order. */
#ifndef CQ_STUDY_INVERSE_PASS_H
#define CQ_STUDY_INVERSE_PASS_H

#include "study/inverse_bins.h"

#define CQ_NINE_IN_TEN 1.645 /* standard deviations on either side that hold nine of ten of a normal */

typedef struct cq_inversion {
    const cq_inverse_wish *wish;
    cq_inverse *to;
    cq_inverse_run run;
    cq_bins bins;
    cq_inverse_trace trace;     /* of the run at the answer, n of the bins */
    double *weight;             /* 1 / noise of a bin */
    double lowest_K, highest_K; /* of the face, in the first pass */
} cq_inversion;

/* A pass's law while it is searched: its nodes' flux is flux_scale times the unknowns, so that they are of order 1; the
 * last unknown is the start temperature. */
typedef struct cq_pass {
    cq_inversion *v;
    cq_inverse_law law;
    double flux_scale;
    double *y; /* what law.y points to */
} cq_pass;
void cq_pass_adopt(cq_pass *pass, const double *p);
/* What the bead would read less what it read, in units of noise; for cq_regular. */
cq_status cq_pass_residuals(void *pass, const double *p, double *r);

cq_status cq_inverse_flux_pass(cq_inversion *v);
cq_status cq_inverse_transfer_pass(cq_inversion *v);

/* Width of what row i of a resolution matrix mixes, in nodes; INFINITY where it sees less than half. */
double cq_resolution_width(const double *resolution, size_t n, size_t row, size_t nodes);

#endif
