/* autotemper.c - see autotemper.h.
 *
 *     t200 = integral exp[-E (1/T - 1/473 K)] dt,     E = ln10 * 1000 P = 20700 K for P = 9                        (1)
 *     P = T_hot [20 + log10(t200 exp[E (1/T_hot - 1/473 K)] / 3600 s)] / 1000                                      (2)
 *     cooling at the rate r from T:  t200 = T^2 / (r E) exp[-E (1/T - 1/473 K)]                                    (3)
 * (1) is the parameter of [hollomon1945] near P = 9, the one of a quench; (2) makes it exact for a hold at T_hot.
 */
#include "hardness/autotemper.h"

#include "base/memory.h"
#include "base/vector.h"
#include "base/vector_math.h"
#include "hardness/tempering.h"

#include <math.h>
#include <string.h>

static const double E_K = 20700.0, REFERENCE_K = 473.15;
static const double COLDEST_K = 250.0;
static const double TABLES_K_S = 200.0; /* cooling rate below Ms behind tables of as-quenched hardness: thin
                                         * pieces in water; an estimate */

cq_status cq_autotemper_create(cq_autotemper *s, size_t n) {
    memset(s, 0, sizeof *s);
    double **parts[] = {&s->time_s, &s->peak_K, &s->old_s, &s->old_M, &s->again_s, &s->last_s, &s->last_M};
    const size_t parts_n = sizeof parts / sizeof parts[0], room = n + CQ_LANES;
    double *block = cq_memory_zero((parts_n + CQ_COHORTS) * room, sizeof(double));
    if (block == NULL) {
        return CQ_ERR_MEMORY;
    }
    s->n = n;
    for (size_t p = 0; p < parts_n; p++) {
        *parts[p] = block + p * room;
    }
    for (int k = 0; k < CQ_COHORTS; k++) {
        s->born_s[k] = block + (parts_n + (size_t)k) * room;
        for (size_t c = 0; c < n; c++) {
            s->born_s[k][c] = INFINITY;
        }
    }
    for (size_t c = 0; c < n; c++) {
        s->again_s[c] = INFINITY;
    }
    return CQ_OK;
}

void cq_autotemper_free(cq_autotemper *s) {
    cq_memory_free(s->time_s);
    memset(s, 0, sizeof *s);
}

/* (1) over a step, at the middle of its ends: the rate grows e times in 10 K, so a step of that much errs by 4 %, which
 * is nothing in a logarithm. */
CQ_VECTOR_KERNEL static void add_time(size_t n, const double *restrict T0, const double *restrict T1,
                                      const double *restrict M1, double dt, double *restrict time) {
    for (size_t c = 0; c < n; c++) {
        const double middle = 0.5 * (T0[c] + T1[c]);
        time[c] += M1[c] > 0.0 ? dt * cq_lane_exp(E_K * (1.0 / REFERENCE_K - 1.0 / middle)) : 0.0;
    }
}

/* A reheating hotter than any before: what there is of martensite then is older than it, what comes later younger. */
static void mark_reheating(cq_autotemper *s, size_t first, size_t last, const double *T0, const double *T1,
                           const double *M0, const double *M1) {
    for (size_t c = first; c < last; c++) {
        if (T1[c] > T0[c] && T1[c] > s->peak_K[c] && M1[c] > 0.0) {
            s->peak_K[c] = T1[c];
            s->old_s[c] = s->last_s[c];
            s->old_M[c] = s->last_M[c];
            s->again_s[c] = INFINITY;
        }
        if (M1[c] > M0[c] && !isfinite(s->again_s[c]) && s->peak_K[c] > 0.0) {
            s->again_s[c] = s->time_s[c];
        }
        if (T1[c] <= T0[c]) {
            s->last_s[c] = s->time_s[c];
            s->last_M[c] = M1[c];
        }
    }
}

CQ_VECTOR_KERNEL static int grown(size_t n, const double *restrict M0, const double *restrict M1) {
    int any = 0;
    for (size_t c = 0; c < n; c++) {
        any |= M1[c] > M0[c];
    }
    return any;
}

CQ_VECTOR_KERNEL static void mark_births(size_t n, double level, const double *restrict M0, const double *restrict M1,
                                         const double *restrict time, double *restrict born) {
    for (size_t c = 0; c < n; c++) {
        born[c] = (M0[c] < level) & (M1[c] >= level) ? time[c] : born[c];
    }
}

void cq_autotemper_step(cq_autotemper *s, const double *T0_K, const double *T1_K, const double *M0, const double *M1,
                        double dt_s) {
    enum { BLOCK = 64 };
    for (size_t c = 0; c < s->n; c += BLOCK) {
        const size_t n = s->n - c < BLOCK ? s->n - c : BLOCK;
        size_t any = 0;
        for (size_t m = c; m < c + n; m++) {
            any += M1[m] > 0.0;
        }
        if (any == 0) {
            continue;
        }
        if (grown(n, M0 + c, M1 + c)) { /* born at the step's beginning: tempered by all of it */
            for (int k = 0; k < CQ_COHORTS; k++) {
                mark_births(n, (k + 0.5) / CQ_COHORTS, M0 + c, M1 + c, s->time_s + c, s->born_s[k] + c);
            }
        }
        add_time(n, T0_K + c, T1_K + c, M1 + c, dt_s, s->time_s + c);
        mark_reheating(s, c, c + n, T0_K, T1_K, M0, M1);
    }
}

/* (2) */
static double parameter_of(double time_s, double hottest_K) {
    const double hours = fmax(time_s, 1e-12) * exp(E_K * (1.0 / hottest_K - 1.0 / REFERENCE_K)) / 3600.0;
    return fmax(0.0, hottest_K * (20.0 + log10(hours)) / 1000.0);
}

/* (3) */
static double time_of_cooling(double from_K) {
    return from_K * from_K / (TABLES_K_S * E_K) * exp(E_K * (1.0 / REFERENCE_K - 1.0 / from_K));
}

cq_softening cq_autotemper_of(const cq_autotemper *s, size_t cell, const cq_steel *steel, double carbon_solution_wt,
                              double quenched_HRC, double martensite, const cq_formation *f) {
    cq_softening sum = {0.0, 0.0};
    double counted = 0.0;
    for (int k = 0; k < CQ_COHORTS; k++) {
        const double level = (k + 0.5) / CQ_COHORTS, weight = fmin(1.0, CQ_COHORTS * martensite - k);
        if (!(weight > 0.0) || !(level < f->most)) {
            continue;
        }
        /* the last cohort's middle may lie beyond what formed at all: it is as cold as anything gets */
        const double formed_K = fmax(COLDEST_K, f->Ms_K + log(1.0 - level / f->most) / f->alpha_per_K),
                     end_s = s->time_s[cell];
        const double tables = parameter_of(time_of_cooling(formed_K), formed_K);
        const double fresh = cq_temper_martensite_HRC(&steel->composition_wt, carbon_solution_wt, quenched_HRC, tables);
        /* the part of the cohort older than the hottest reheating and the part younger: shares, so that nothing jumps
         * where a neighbour had a little more of it */
        const double old = s->peak_K[cell] > formed_K ? fmax(0.0, fmin(weight, CQ_COHORTS * s->old_M[cell] - k)) : 0.0;
        const double born = s->born_s[k][cell];
        const double since[2] = {end_s - fmin(born, s->old_s[cell]),
                                 end_s - (old > 0.0 ? fmax(born, fmin(end_s, s->again_s[cell])) : fmin(born, end_s))};
        const double share[2] = {old, weight - old}, hottest[2] = {s->peak_K[cell], formed_K};
        for (int n = 0; n < 2; n++) {
            if (share[n] > 0.0) {
                const double P = fmax(parameter_of(fmax(0.0, since[n]), hottest[n]), tables);
                sum.loss_HRC += share[n] * (fresh - cq_temper_martensite_HRC(&steel->composition_wt, carbon_solution_wt,
                                                                             quenched_HRC, P));
                sum.parameter += share[n] * P;
                counted += share[n];
            }
        }
    }
    return counted > 0.0 ? (cq_softening){sum.loss_HRC / counted, sum.parameter / counted} : sum;
}
