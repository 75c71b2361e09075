/* regular.h - nonlinear least squares that are smoothed as much as the noise allows: Gauss-Newton steps, each with the
 * strength of smoothing at which the linearised misfit equals what noise alone would leave. Source: [tikhonov1977],
 * [morozov1966]. */
#ifndef CQ_STUDY_REGULAR_H
#define CQ_STUDY_REGULAR_H

#include <clayquench/status.h>
#include <stddef.h>

typedef struct cq_regular {
    size_t n, m; /* unknowns, residuals */
    /* What is left over, each in units of its noise. */
    cq_status (*residuals)(void *context, const double *p, double *r);
    void *context;
    const double *stride; /* n: change of each unknown for a difference */
    const double *most;   /* n: largest change of each in one step */
    double *rough;        /* n*n: p' rough p is what smoothing keeps small */
    /* Before each step, unless NULL: `rough` for where p is now. */
    void (*roughen)(void *context, const double *p, double *rough);
} cq_regular;

/* All arrays are the caller's. */
typedef struct cq_regular_answer {
    double *covariance; /* n*n, of noise and of what smoothing leaves open */
    double *resolution; /* n*n: row i says what mixture of the true unknowns the found p[i] is */
    double misfit;      /* root mean square of the residuals */
    int steps;
} cq_regular_answer;

/* From p to the answer in p. CQ_ERR_STEP if the residuals cannot be had; CQ_ERR_MEMORY. */
cq_status cq_regular_solve(const cq_regular *problem, double *p, cq_regular_answer *answer);

#endif
