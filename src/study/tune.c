/* tune.c - see tune.h: the fit.
 *
 * Unknowns z in standard deviations of the prior, residuals r in errors of the items:
 *     minimise |r(z)|^2 + |z|^2,    step (J'J + 1) d = -(J'r + z),    covariance (J'J + 1)^-1                      (1)
 * J by differences at the start; each step corrects it by what it found (Broyden's rule), and at the end it is made
 * anew: a run of the simulator is the dear thing here.
 */
#include "study/tune_predict.h"

#include "base/memory.h"
#include "study/normal.h"
#include "study/tune_parameters.h"

#include <math.h>
#include <string.h>

enum { STEPS = 12, SHORTENINGS = 4, ROUNDS = 3 };
static const double STRIDE = 0.3;   /* of z, for differences: past the roughness of coarse runs */
static const double SETTLED = 0.03; /* of z */
static const double FARTHEST = 1.5; /* one step of z */
static const double NINE_IN_TEN = 1.645;
static const double MOVES = 0.15; /* share of a prior's standard deviation that evidence must take off it to count */

typedef struct fit {
    cq_tuning *to;
    const cq_tune_watch *watch;
    cq_error *error;
    size_t n, m;                  /* unknowns, used items */
    size_t *index;                /* m: of the items used */
    double *near;                 /* items: where a coupon's place was found last */
    double *said, *r, *moved, *J; /* items; m, m, m*n */
    double z[CQ_TUNABLES];
} fit;

/* ---- residuals --------------------------------------------------------------------------------------------------- */

static cq_status predict_all(const cq_evidence *e, const cq_tuned *tuned, const double *values, size_t n, double *near,
                             double *said, size_t *runs, cq_error *error) {
    cq_status status = CQ_OK;
    for (size_t i = 0; i < e->n && status >= 0; i++) {
        cq_plan plan;
        if (near != NULL && isnan(near[i])) {
            continue; /* not used */
        }
        double nowhere = 0.0;
        status = cq_tuned_apply(e->item[i].plan, tuned, values, n, &plan, error);
        if (status >= 0) {
            status = cq_tune_predict(&e->item[i], &plan, near == NULL ? &nowhere : &near[i], &said[i], runs, error);
            cq_plan_clear(&plan);
        }
    }
    return status;
}

static cq_status say(fit *f, const double *z) {
    double values[CQ_TUNABLES];
    for (size_t j = 0; j < f->n; j++) {
        values[j] = cq_tuned_value(&f->to->tuned[j], z[j], NULL);
    }
    const cq_status status =
        predict_all(f->to->evidence, f->to->tuned, values, f->n, f->near, f->said, &f->to->runs, f->error);
    const bool stop =
        status >= 0 && f->watch != NULL && f->watch->go_on != NULL && !f->watch->go_on(f->watch->context, f->to->runs);
    return stop ? CQ_ERR_CANCELLED : status;
}

static double pull(const cq_evidence_item *item, double said) {
    return (said - item->value) / item->error;
}

static cq_status residuals(fit *f, const double *z, double *r) {
    const cq_status status = say(f, z);
    for (size_t k = 0; k < f->m && status >= 0; k++) {
        r[k] = pull(&f->to->evidence->item[f->index[k]], f->said[f->index[k]]);
    }
    return status;
}

static cq_status differentiate(fit *f) {
    for (size_t j = 0; j < f->n; j++) {
        double z[CQ_TUNABLES];
        memcpy(z, f->z, sizeof z);
        z[j] += z[j] > 0.0 ? -STRIDE : STRIDE; /* toward the prior's middle: away from the ends of ranges */
        const cq_status status = residuals(f, z, f->moved);
        if (status < 0) {
            return status;
        }
        for (size_t k = 0; k < f->m; k++) {
            f->J[k * f->n + j] = (f->moved[k] - f->r[k]) / (z[j] - f->z[j]);
        }
    }
    return CQ_OK;
}

/* ---- steps ------------------------------------------------------------------------------------------------------- */

/* Factor of J'J + 1. It always is positive definite. */
static bool normal_matrix(const fit *f, double *M) {
    for (size_t i = 0; i < f->n; i++) {
        for (size_t j = 0; j < f->n; j++) {
            M[i * f->n + j] = i == j ? 1.0 : 0.0;
            for (size_t k = 0; k < f->m; k++) {
                M[i * f->n + j] += f->J[k * f->n + i] * f->J[k * f->n + j];
            }
        }
    }
    return cq_normal_factor(f->n, M);
}

static double objective(const fit *f, const double *z, const double *r) {
    double sum = 0.0;
    for (size_t j = 0; j < f->n; j++) {
        sum += z[j] * z[j];
    }
    for (size_t k = 0; k < f->m; k++) {
        sum += r[k] * r[k];
    }
    return sum;
}

/* Broyden: J so that it explains this step. */
static void correct(fit *f, const double *d) {
    double length = 0.0;
    for (size_t j = 0; j < f->n; j++) {
        length += d[j] * d[j];
    }
    for (size_t k = 0; k < f->m && length > 1e-12; k++) {
        double miss = f->moved[k] - f->r[k];
        for (size_t j = 0; j < f->n; j++) {
            miss -= f->J[k * f->n + j] * d[j];
        }
        for (size_t j = 0; j < f->n; j++) {
            f->J[k * f->n + j] += miss * d[j] / length;
        }
    }
}

static double find_step(const fit *f, double *d) {
    double M[CQ_TUNABLES * CQ_TUNABLES], longest = 0.0;
    for (size_t j = 0; j < f->n; j++) {
        d[j] = -f->z[j];
        for (size_t k = 0; k < f->m; k++) {
            d[j] -= f->J[k * f->n + j] * f->r[k];
        }
    }
    if (!normal_matrix(f, M)) {
        memset(d, 0, f->n * sizeof *d);
        return 0.0;
    }
    cq_normal_solve(f->n, M, d);
    for (size_t j = 0; j < f->n; j++) {
        longest = fmax(longest, fabs(d[j]));
    }
    for (size_t j = 0; j < f->n && longest > FARTHEST; j++) {
        d[j] *= FARTHEST / longest;
    }
    return fmin(longest, FARTHEST);
}

/* From f->z downhill with corrected J until steps are small. */
static cq_status descend(fit *f) {
    for (int n = 0; n < STEPS; n++) {
        double d[CQ_TUNABLES], z[CQ_TUNABLES] = {0};
        double length = find_step(f, d);
        const double before = objective(f, f->z, f->r);
        bool better = false;
        for (int s = 0; s < SHORTENINGS && length > SETTLED && !better; s++) {
            for (size_t j = 0; j < f->n; j++) {
                z[j] = f->z[j] + d[j];
            }
            const cq_status status = residuals(f, z, f->moved);
            if (status < 0) {
                return status;
            }
            correct(f, d);
            better = objective(f, z, f->moved) < before;
            if (!better) { /* the corrected J points elsewhere, or less far */
                for (size_t j = 0; j < f->n; j++) {
                    d[j] *= 0.4;
                }
                length *= 0.4;
            }
        }
        if (!better) {
            return CQ_OK;
        }
        memcpy(f->z, z, sizeof z);
        memcpy(f->r, f->moved, f->m * sizeof *f->r);
    }
    return CQ_OK;
}

static cq_status solve(fit *f) {
    cq_status status = CQ_OK;
    for (int round = 0; round < ROUNDS && status >= 0; round++) {
        double before[CQ_TUNABLES], farthest = 0.0;
        memcpy(before, f->z, sizeof before);
        status = descend(f);
        for (size_t j = 0; j < f->n; j++) {
            farthest = fmax(farthest, fabs(f->z[j] - before[j]));
        }
        if (status < 0 || !(farthest > SETTLED)) {
            break;
        }
        status = differentiate(f);
    }
    return status;
}

/* ---- what comes of it -------------------------------------------------------------------------------------------- */

/* Where an item contradicts the rest, errors are not what they were said to be: as many times more as what is off is
 * more than the readings account for. 1 else. */
static double understated(const fit *f) {
    bool contradicts = false;
    for (size_t k = 0; k < f->m; k++) {
        contradicts = contradicts || fabs(f->to->item[f->index[k]].pull_after) > CQ_PULL_MOST;
    }
    return contradicts ? sqrt(fmax(1.0, f->to->squares_after / (double)f->m)) : 1.0;
}

static void appraise(fit *f) {
    cq_tuning *to = f->to;
    const double more = understated(f);
    double M[CQ_TUNABLES * CQ_TUNABLES], covariance[CQ_TUNABLES * CQ_TUNABLES];
    if (!normal_matrix(f, M)) {
        return;
    }
    cq_normal_invert(f->n, M, covariance);
    for (size_t j = 0; j < f->n; j++) {
        cq_tuned *t = &to->tuned[j];
        t->left = fmin(1.0, more * sqrt(covariance[j * f->n + j])); /* no less is known than before the evidence */
        t->after = cq_tuned_value(t, f->z[j], &t->held);
        t->low = cq_tuned_value(t, f->z[j] - NINE_IN_TEN * t->left, NULL);
        t->high = cq_tuned_value(t, f->z[j] + NINE_IN_TEN * t->left, NULL);
        for (size_t k = 0; k < f->n; k++) {
            to->correlation[j][k] =
                covariance[j * f->n + k] / sqrt(covariance[j * f->n + j] * covariance[k * f->n + k]);
        }
    }
}

static double keep_pulls(const fit *f, bool after) {
    const cq_evidence *e = f->to->evidence;
    double squares = 0.0;
    for (size_t k = 0; k < f->m; k++) {
        const size_t i = f->index[k];
        cq_tuned_item *item = &f->to->item[i];
        const double p = pull(&e->item[i], f->said[i]);
        *(after ? &item->after : &item->before) = f->said[i];
        *(after ? &item->pull_after : &item->pull_before) = p;
        squares += p * p;
    }
    return squares;
}

/* Items that the plan says something of; the others are left out from here on. */
static cq_status choose_items(fit *f) {
    const cq_evidence *e = f->to->evidence;
    const cq_status status = say(f, f->z);
    f->m = 0;
    for (size_t i = 0; i < e->n && status >= 0; i++) {
        cq_tuned_item *item = &f->to->item[i];
        /* a film that the plan has not says nothing of when it goes */
        item->used = isfinite(f->said[i]) && !(e->item[i].kind == CQ_EVIDENCE_FILM && !(f->said[i] > 0.0));
        item->before = item->after = f->said[i];
        item->pull_before = item->pull_after = NAN;
        f->near[i] = item->used ? f->near[i] : NAN;
        if (item->used) {
            f->index[f->m++] = i;
            f->r[f->m - 1] = pull(&e->item[i], f->said[i]);
        }
    }
    f->to->used_n = f->m;
    return status;
}

/* Does any number lose enough of its uncertainty to speak of? */
static bool moves_something(const fit *f) {
    double M[CQ_TUNABLES * CQ_TUNABLES], covariance[CQ_TUNABLES * CQ_TUNABLES];
    if (f->m == 0 || !normal_matrix(f, M)) {
        return false;
    }
    cq_normal_invert(f->n, M, covariance);
    for (size_t j = 0; j < f->n; j++) {
        if (sqrt(covariance[j * f->n + j]) < 1.0 - MOVES) {
            return true;
        }
    }
    return false;
}

static cq_status go(fit *f) {
    cq_status status = choose_items(f);
    if (status < 0) {
        return status;
    }
    f->to->squares_before = keep_pulls(f, false);
    status = f->m > 0 ? differentiate(f) : CQ_OK;
    if (status >= 0 && !moves_something(f)) {
        return cq_error_say(
            f->error, CQ_ERR_PLAN, "items", "evidence that one of the numbers hangs on: coupons, line, hardness, film",
            "add a stepped-clay coupon, a bare wedge or a hardness reading, or read more closely",
            f->m == 0 ? "nothing the plan says anything of (no line, no film, no curve there): nothing was "
                        "fitted"
                      : "readings that narrow no number by more than a seventh: nothing was fitted");
    }
    status = status < 0 ? status : solve(f);
    status = status < 0 ? status : say(f, f->z);
    if (status >= 0) {
        f->to->squares_after = keep_pulls(f, true);
        appraise(f);
    }
    return status;
}

cq_status cq_tuning_create(cq_tuning **tuning, const cq_plan *plan, const cq_evidence *evidence,
                           const cq_tune_watch *watch, cq_error *error) {
    const size_t m = evidence->n > 0 ? evidence->n : 1;
    cq_tuning *to = cq_memory_zero(1, sizeof *to);
    double *block = cq_memory_zero(4 * m + m * CQ_TUNABLES, sizeof *block);
    size_t *index = cq_memory_zero(m, sizeof *index);
    cq_status status = CQ_ERR_MEMORY;
    if (to != NULL && block != NULL && index != NULL) {
        to->plan = plan;
        to->evidence = evidence;
        to->item = cq_memory_zero(m, sizeof *to->item);
        to->tuned_n = cq_tunables_of(plan, evidence, to->tuned);
        fit f = {.to = to,
                 .watch = watch,
                 .error = error,
                 .n = to->tuned_n,
                 .index = index,
                 .near = block,
                 .said = block + m,
                 .r = block + 2 * m,
                 .moved = block + 3 * m,
                 .J = block + 4 * m};
        status = to->item == NULL ? CQ_ERR_MEMORY : go(&f);
    }
    cq_memory_free(block);
    cq_memory_free(index);
    if (status < 0) {
        cq_tuning_free(to);
        return status;
    }
    *tuning = to;
    return CQ_OK;
}

void cq_tuning_free(cq_tuning *tuning) {
    if (tuning != NULL) {
        cq_memory_free(tuning->item);
        cq_memory_free(tuning);
    }
}

cq_status cq_evidence_predict(const cq_evidence *evidence, const cq_tuned *tuned, size_t n, double *said,
                              cq_error *error) {
    double values[CQ_TUNABLES];
    size_t runs = 0;
    for (size_t j = 0; j < n; j++) {
        values[j] = tuned[j].after;
    }
    return predict_all(evidence, tuned, values, n, NULL, said, &runs, error);
}
