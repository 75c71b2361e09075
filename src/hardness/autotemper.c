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
static const double TABLES_K_S = 200.0; /* cooling rate below Ms behind tables of as-quenched hardness */

cq_status cq_autotemper_create(cq_autotemper *s, size_t n) {
    memset(s, 0, sizeof *s);
    double *block = cq_memory_zero((CQ_COHORTS + 3) * (n + CQ_LANES), sizeof(double));
    if (block == NULL) {
        return CQ_ERR_MEMORY;
    }
    s->n = n;
    s->time_s = block;
    s->peak_K = block + (n + CQ_LANES);
    s->peak_s = block + 2 * (n + CQ_LANES);
    for (int k = 0; k < CQ_COHORTS; k++) {
        s->born_s[k] = block + (size_t)(3 + k) * (n + CQ_LANES);
    }
    return CQ_OK;
}

void cq_autotemper_free(cq_autotemper *s) {
    cq_memory_free(s->time_s);
    memset(s, 0, sizeof *s);
}

/* (1) over a step, from the two ends: the rate grows e times in 10 K, so the log-mean of the ends would be exact for an even
 * rate and their middle is 4 % less, which is nothing in a logarithm. */
CQ_VECTOR_KERNEL static void add_time(size_t n, const double *restrict T0, const double *restrict T1, const double *restrict M1,
                                      double dt, double *restrict time, double *restrict peak, double *restrict peak_time) {
    for (size_t c = 0; c < n; c++) {
        const double middle = 0.5 * (T0[c] + T1[c]);
        const double spent = M1[c] > 0.0 ? dt * cq_lane_exp(E_K * (1.0 / REFERENCE_K - 1.0 / middle)) : 0.0;
        time[c] += spent;
        const int hotter = (M1[c] > 0.0) & (T1[c] > T0[c]) & (T1[c] > peak[c]);
        peak[c] = hotter ? T1[c] : peak[c];
        peak_time[c] = hotter ? time[c] : peak_time[c];
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

void cq_autotemper_step(cq_autotemper *s, const double *T0_K, const double *T1_K, const double *M0, const double *M1, double dt_s) {
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
        add_time(n, T0_K + c, T1_K + c, M1 + c, dt_s, s->time_s + c, s->peak_K + c, s->peak_s + c);
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
        if (!(weight > 0.0) || level >= martensite || level >= f->most) {
            continue;
        }
        const double formed_K = f->Ms_K + log(1.0 - level / f->most) / f->alpha_per_K;
        const bool reheated = s->peak_s[cell] > s->born_s[k][cell] && s->peak_K[cell] > formed_K;
        const double P = parameter_of(s->time_s[cell] - s->born_s[k][cell], reheated ? s->peak_K[cell] : formed_K);
        const double P_tables = parameter_of(time_of_cooling(formed_K), formed_K);
        const double fresh = cq_temper_martensite_HRC(&steel->composition_wt, carbon_solution_wt, quenched_HRC, P_tables);
        const double now = cq_temper_martensite_HRC(&steel->composition_wt, carbon_solution_wt, quenched_HRC, fmax(P, P_tables));
        sum.loss_HRC += weight * (fresh - now);
        sum.parameter += weight * P;
        counted += weight;
    }
    return counted > 0.0 ? (cq_softening){sum.loss_HRC / counted, sum.parameter / counted} : sum;
}
