/* regular.c - see regular.h.
 *
 *     minimise |r + J d|^2 + lambda (p + d)' R (p + d),   lambda such that |r + J d|^2 = m                         (1)
 */
#include "study/regular.h"

#include "base/memory.h"
#include "study/normal.h"

#include <math.h>
#include <string.h>

enum { STEPS = 40, HALVINGS = 50, SHORTENINGS = 10 };
static const double SETTLED = 2e-3;             /* of the largest step allowed: nothing moves any more */
static const double PART = 0.3;                 /* of the squares that one step may leave of them */
static const double CLOSE = 1.05;               /* to the least squares there are */
static const double BOTTOM = 1e-10, TOP = 1e10; /* of the smoothing that weighs as much as the readings */
static const double NOISY = 1.2;                /* times what noise leaves: squares may grow up to there */

typedef struct work {
    const cq_regular *q;
    double *r, *moved, *J, *A, *g, *M, *d;
    double lambda, scale; /* scale: lambda at which smoothing weighs as much as the readings */
} work;

static bool take(work *w, const cq_regular *q) {
    const size_t n = q->n, m = q->m;
    double *block = cq_memory_zero(2 * m + m * n + 2 * n * n + 2 * n, sizeof *block);
    w->q = q;
    w->r = block;
    if (block != NULL) {
        w->moved = w->r + m;
        w->J = w->moved + m;
        w->A = w->J + m * n;
        w->M = w->A + n * n;
        w->g = w->M + n * n;
        w->d = w->g + n;
    }
    return block != NULL;
}

static double square(size_t m, const double *r) {
    double sum = 0.0;
    for (size_t i = 0; i < m; i++) {
        sum += r[i] * r[i];
    }
    return sum;
}

/* J by differences, unknown by unknown (a row of w->J each), and A = J J', g = J r. */
static cq_status differentiate(work *w, double *p) {
    const cq_regular *q = w->q;
    double trace = 0.0, rough = 0.0;
    if (q->roughen != NULL) {
        q->roughen(q->context, p, q->rough);
    }
    for (size_t j = 0; j < q->n; j++) {
        const double kept = p[j];
        p[j] += q->stride[j];
        const cq_status status = q->residuals(q->context, p, w->moved);
        p[j] = kept;
        if (status < 0) {
            return status;
        }
        for (size_t i = 0; i < q->m; i++) {
            w->J[j * q->m + i] = (w->moved[i] - w->r[i]) / q->stride[j];
        }
    }
    for (size_t j = 0; j < q->n; j++) {
        const double *Jj = w->J + j * q->m;
        w->g[j] = 0.0;
        for (size_t i = 0; i < q->m; i++) {
            w->g[j] += Jj[i] * w->r[i];
        }
        for (size_t k = 0; k <= j; k++) {
            const double *Jk = w->J + k * q->m;
            double sum = 0.0;
            for (size_t i = 0; i < q->m; i++) {
                sum += Jj[i] * Jk[i];
            }
            w->A[j * q->n + k] = w->A[k * q->n + j] = sum;
        }
        trace += w->A[j * q->n + j];
        rough += q->rough[j * q->n + j];
    }
    w->scale = trace / rough;
    return CQ_OK;
}

/* Factor of A + lambda R; a hair on the diagonal keeps unknowns that nothing sees where they are. */
static bool factor(work *w, double lambda) {
    const size_t n = w->q->n;
    for (size_t e = 0; e < n * n; e++) {
        w->M[e] = w->A[e] + lambda * w->q->rough[e];
    }
    for (size_t j = 0; j < n; j++) {
        w->M[j * n + j] *= 1.0 + 1e-12;
        w->M[j * n + j] += 1e-14 * w->scale;
    }
    return cq_normal_factor(n, w->M);
}

/* d of (1) for a lambda; returns the linearised misfit. */
static double step_for(work *w, const double *p, double lambda) {
    const size_t n = w->q->n;
    double misfit = square(w->q->m, w->r);
    if (!factor(w, lambda)) {
        return INFINITY;
    }
    for (size_t j = 0; j < n; j++) {
        w->d[j] = -w->g[j];
        for (size_t k = 0; k < n; k++) {
            w->d[j] -= lambda * w->q->rough[j * n + k] * p[k];
        }
    }
    cq_normal_solve(n, w->M, w->d);
    for (size_t j = 0; j < n; j++) {
        misfit += 2.0 * w->g[j] * w->d[j];
        for (size_t k = 0; k < n; k++) {
            misfit += w->d[j] * w->A[j * n + k] * w->d[k];
        }
    }
    return misfit;
}

/* The strongest smoothing with which the linearised squares come down to what noise leaves, or, far from it, a good
 * part of the way: a curve that is smoothed less than it has to be strays where nothing is seen. And its step. */
static void choose(work *w, const double *p) {
    const double noise = (double)w->q->m, before = square(w->q->m, w->r);
    double low = log(BOTTOM * w->scale), high = log(TOP * w->scale);
    const double target = fmax(fmax(noise, PART * before), CLOSE * step_for(w, p, exp(low)));
    for (int n = 0; n < HALVINGS; n++) {
        const double middle = 0.5 * (low + high);
        *(step_for(w, p, exp(middle)) < target ? &low : &high) = middle;
    }
    w->lambda = exp(low);
    step_for(w, p, w->lambda);
}

/* Take the step, shortened as far as no unknown moves too much, the residuals can be had and do not grow beyond all
 * measure. *moved_most: the largest move in units of what is allowed. */
static cq_status move(work *w, double *p, double *moved_most) {
    const cq_regular *q = w->q;
    const double before = square(q->m, w->r);
    double most = 0.0;
    for (size_t j = 0; j < q->n; j++) {
        most = fmax(most, fabs(w->d[j]) / q->most[j]);
    }
    double share = most > 1.0 ? 1.0 / most : 1.0, taken = 0.0;
    for (int n = 0; n < SHORTENINGS; n++) {
        for (size_t j = 0; j < q->n; j++) {
            p[j] += (share - taken) * w->d[j];
        }
        taken = share;
        const cq_status status = q->residuals(q->context, p, w->moved);
        if (status == CQ_ERR_MEMORY) {
            return status;
        }
        if (status >= 0 && square(q->m, w->moved) <= fmax(before, NOISY * (double)q->m)) {
            memcpy(w->r, w->moved, q->m * sizeof *w->r);
            *moved_most = share * most;
            return CQ_OK;
        }
        share *= 0.5;
    }
    for (size_t j = 0; j < q->n; j++) { /* no way on from here */
        p[j] -= taken * w->d[j];
    }
    *moved_most = 0.0;
    return isfinite(before) ? CQ_OK : CQ_ERR_STEP;
}

/* Covariance (A + lambda R)^-1 and resolution (A + lambda R)^-1 A. */
static bool appraise(work *w, cq_regular_answer *answer) {
    const size_t n = w->q->n;
    if (!factor(w, w->lambda)) {
        return false;
    }
    cq_normal_invert(n, w->M, answer->covariance);
    for (size_t i = 0; i < n; i++) {
        for (size_t j = 0; j < n; j++) {
            double sum = 0.0;
            for (size_t k = 0; k < n; k++) {
                sum += answer->covariance[i * n + k] * w->A[k * n + j];
            }
            answer->resolution[i * n + j] = sum;
        }
    }
    return true;
}

cq_status cq_regular_solve(const cq_regular *q, double *p, cq_regular_answer *answer) {
    work w = {.lambda = 0.0};
    if (!take(&w, q)) {
        return CQ_ERR_MEMORY;
    }
    cq_status status = q->residuals(q->context, p, w.r);
    double moved = 1.0;
    for (answer->steps = 0; status >= 0 && answer->steps < STEPS && moved > SETTLED; answer->steps++) {
        status = differentiate(&w, p);
        if (status >= 0) {
            choose(&w, p);
            status = move(&w, p, &moved);
        }
    }
    if (status >= 0) {
        status = differentiate(&w, p);
        answer->misfit = sqrt(square(q->m, w.r) / (double)q->m);
        status = status < 0 ? status : appraise(&w, answer) ? CQ_OK : CQ_ERR_STEP;
    }
    cq_memory_free(w.r);
    return status;
}
