/* cells.c - what each cell conducts and holds: steel by its phases, clay and inert steel by their tables. */
#include "quench/run.h"

#include "base/memory.h"
#include "base/vector.h"

#include <math.h>
#include <string.h>

cq_status cq_run_cells_create(cq_run *run) {
    const cq_grid *g = run->grid;
    const cq_plan *plan = run->plan;
    run->steel_rows = g->steel_i1 - g->steel_i0;
    run->steel_across = g->steel_j1 - g->steel_j0;
    run->steel_n = (size_t)run->steel_rows * (size_t)run->steel_across;
    double **packed[] = {&run->pack_T,     &run->pack_mid, &run->pack_k,    &run->pack_c,        &run->pack_H,
                         &run->pack_slope, &run->pack_T0,  &run->peak_rate, &run->softening_HRC, &run->parameter};
    for (size_t p = 0; p < sizeof packed / sizeof packed[0]; p++) {
        if ((*packed[p] = cq_memory_zero(run->steel_n + CQ_LANES, sizeof(double))) == NULL) {
            return CQ_ERR_MEMORY;
        }
    }
    if (run->transforming && (cq_structure_create(&run->structure[0], run->steel_n) != CQ_OK ||
                              cq_structure_create(&run->structure[1], run->steel_n) != CQ_OK ||
                              cq_autotemper_create(&run->autotemper, run->steel_n) != CQ_OK)) {
        return CQ_ERR_MEMORY;
    }
    if (!run->transforming &&
        cq_sampled_create(&run->inert, &plan->steel.conductivity_W_mK, &plan->steel.heat_capacity_J_m3K) != CQ_OK) {
        return CQ_ERR_MEMORY;
    }
    const size_t cells = (size_t)g->along * (size_t)g->across;
    run->clay_at = cq_memory_zero(cells, sizeof(int));
    run->clay_factor = cq_memory_zero(cells, sizeof(double));
    if (run->clay_at == NULL || run->clay_factor == NULL) {
        return CQ_ERR_MEMORY;
    }
    cq_run_list_clay(run);
    if (run->clay_n > 0 &&
        cq_sampled_create(&run->clay, &plan->clay.conductivity_W_mK, &plan->clay.heat_capacity_J_m3K) != CQ_OK) {
        return CQ_ERR_MEMORY;
    }
    return CQ_OK;
}

void cq_run_list_clay(cq_run *run) {
    const cq_grid *g = run->grid;
    run->clay_n = 0;
    for (int i = 0; i < g->along; i++) {
        for (int j = 0; j < g->across; j++) {
            if (g->kind[i * g->across + j] == CQ_CELL_CLAY) {
                const double coat = j < g->steel_j0 ? g->coat_left_m[i] : g->coat_right_m[i];
                run->clay_at[run->clay_n] = cq_heat_at(run->heat, i, j);
                run->clay_factor[run->clay_n++] = cq_soaked_factor(run->plan->soaked, coat);
            }
        }
    }
}

void cq_run_cells_free(cq_run *run) {
    double *packed[] = {run->pack_T,     run->pack_mid, run->pack_k,    run->pack_c,        run->pack_H,
                        run->pack_slope, run->pack_T0,  run->peak_rate, run->softening_HRC, run->parameter};
    for (size_t p = 0; p < sizeof packed / sizeof packed[0]; p++) {
        cq_memory_free(packed[p]);
    }
    cq_structure_free(&run->structure[0]);
    cq_structure_free(&run->structure[1]);
    cq_autotemper_free(&run->autotemper);
    cq_sampled_free(&run->inert);
    cq_sampled_free(&run->clay);
    cq_memory_free(run->clay_at);
    cq_memory_free(run->clay_factor);
}

static void pack(const cq_run *run, const double *from, double *to) {
    for (int row = 0; row < run->steel_rows; row++) {
        memcpy(to + (size_t)row * (size_t)run->steel_across, from + cq_run_row_at(run, row),
               (size_t)run->steel_across * sizeof(double));
    }
}

static void unpack(const cq_run *run, const double *from, double *to) {
    for (int row = 0; row < run->steel_rows; row++) {
        memcpy(to + cq_run_row_at(run, row), from + (size_t)row * (size_t)run->steel_across,
               (size_t)run->steel_across * sizeof(double));
    }
}

/* Coefficients hoisted out of the loops; ferrite, pearlite and bainite share their lines but for the enthalpy's
 * constant. */
typedef struct mixture {
    cq_phase_thermal a, f, p, b, m;
} mixture;

static mixture mixture_of_phases(void) {
    return (mixture){cq_thermal_of(CQ_AUSTENITE), cq_thermal_of(CQ_FERRITE), cq_thermal_of(CQ_PEARLITE),
                     cq_thermal_of(CQ_BAINITE), cq_thermal_of(CQ_MARTENSITE)};
}

CQ_VECTOR_KERNEL static void steel_properties(size_t n, const mixture *x, const double *restrict T,
                                              const double *restrict A, const double *restrict F,
                                              const double *restrict P, const double *restrict B,
                                              const double *restrict M, const double *restrict slope,
                                              double *restrict k, double *restrict c, double *restrict H) {
    const mixture m = *x;
    for (size_t s = 0; s < n; s++) {
        const double t = T[s], soft = F[s] + P[s] + B[s];
        k[s] = A[s] * (m.a.k0 + m.a.k1 * t) + soft * (m.p.k0 + m.p.k1 * t) + M[s] * (m.m.k0 + m.m.k1 * t);
        c[s] = A[s] * (m.a.c0 + m.a.c1 * t) + soft * (m.p.c0 + m.p.c1 * t) + M[s] * (m.m.c0 + m.m.c1 * t);
        const double Ha = m.a.h0 + t * (m.a.c0 + 0.5 * m.a.c1 * t), Hm = m.m.h0 + t * (m.m.c0 + 0.5 * m.m.c1 * t);
        H[s] = A[s] * Ha + M[s] * Hm + soft * t * (m.p.c0 + 0.5 * m.p.c1 * t) + F[s] * m.f.h0 + P[s] * m.p.h0 +
               B[s] * m.b.h0;
        c[s] += slope[s] * (Ha - Hm); /* martensite's heat follows the temperature: it belongs in dH/dT */
    }
}

static void evaluate_steel(cq_run *run, const cq_structure *s) {
    const mixture m = mixture_of_phases();
    steel_properties(run->steel_n, &m, run->pack_T, s->fraction[CQ_AUSTENITE], s->fraction[CQ_FERRITE],
                     s->fraction[CQ_PEARLITE], s->fraction[CQ_BAINITE], s->fraction[CQ_MARTENSITE], run->pack_slope,
                     run->pack_k, run->pack_c, run->pack_H);
}

static void fill_inert(cq_run *run, const double *T, double *k, double *c, double *H) {
    for (int row = 0; row < run->steel_rows; row++) {
        const int at = cq_run_row_at(run, row);
        for (int j = 0; j < run->steel_across; j++) {
            cq_sampled_at(&run->inert, T[at + j], &k[at + j], &c[at + j], &H[at + j]);
        }
    }
}

static void fill_clay(const cq_run *run, const double *T, double *k, double *c, double *H) {
    for (size_t n = 0; n < run->clay_n; n++) {
        const int at = run->clay_at[n];
        cq_sampled_at(&run->clay, T[at], &k[at], &c[at], &H[at]);
        k[at] *= run->clay_factor[n];
    }
}

CQ_VECTOR_KERNEL static void average_into(size_t n, const double *restrict a, double *restrict mean) {
    for (size_t s = 0; s < n; s++) {
        mean[s] = 0.5 * (a[s] + mean[s]);
    }
}

/* Martensite at pack_T. */
static void harden(cq_run *run, const cq_structure *from, cq_structure *to) {
    for (size_t n = 0; n < run->spans_n; n++) {
        const cq_run_span *s = &run->spans[n];
        cq_martensite_step(run->soaks[s->soak].clock, from, to, s->first, s->last, run->pack_T, run->pack_slope);
    }
}

void cq_run_fill(void *context, const double *T_now, const double *T_predicted, double dt_s, double *k, double *c,
                 double *H) {
    cq_run *run = context;
    if (run->transforming) {
        const cq_structure *from = &run->structure[run->now];
        cq_structure *to = &run->structure[1 - run->now];
        pack(run, T_now, run->pack_mid);
        pack(run, T_predicted, run->pack_T);
        average_into(run->steel_n, run->pack_T, run->pack_mid);
        for (size_t n = 0; n < run->spans_n; n++) {
            const cq_run_span *s = &run->spans[n];
            cq_kinetics_step(run->soaks[s->soak].clock, from, to, s->first, s->last, run->pack_mid, dt_s);
        }
        harden(run, from, to);
        evaluate_steel(run, to);
        unpack(run, run->pack_k, k);
        unpack(run, run->pack_c, c);
        unpack(run, run->pack_H, H);
    } else {
        fill_inert(run, T_predicted, k, c, H);
    }
    fill_clay(run, T_predicted, k, c, H);
}

static const double SETTLED_K = 1e-6; /* a hundred thousandth of what a step may err by */

/* Correct packed T so that H(T) meets H_linear (in pack_mid), by one Newton step with the capacity at T itself; false:
 * every cell already did. */
CQ_VECTOR_KERNEL static bool newton(size_t n, const double *restrict H_linear, const double *restrict H,
                                    const double *restrict c, double *restrict T) {
    int moved = 0;
    for (size_t s = 0; s < n; s++) {
        const double step = (H_linear[s] - H[s]) / c[s];
        moved |= !(fabs(step) <= SETTLED_K);
        T[s] += step;
    }
    return moved != 0;
}

void cq_run_settle(void *context, double *T, const double *H_linear, const double *c, double *H) {
    cq_run *run = context;
    (void)c;
    double k, capacity;
    if (run->transforming) {
        const cq_structure *from = &run->structure[run->now];
        cq_structure *to = &run->structure[1 - run->now];
        pack(run, T, run->pack_T);
        pack(run, H_linear, run->pack_mid);
        bool moved = true;
        for (int pass = 0; pass < 3 && moved;
             pass++) { /* cells that cross Ms within the step need the second correction */
            harden(run, from, to);
            evaluate_steel(run, to);
            moved = pass < 2 && newton(run->steel_n, run->pack_mid, run->pack_H, run->pack_c, run->pack_T);
        }
        unpack(run, run->pack_T, T);
        unpack(run, run->pack_H, H);
    } else {
        for (int row = 0; row < run->steel_rows; row++) {
            const int at = cq_run_row_at(run, row);
            for (int j = at; j < at + run->steel_across; j++) {
                cq_sampled_at(&run->inert, T[j], &k, &capacity, &H[j]);
                T[j] += (H_linear[j] - H[j]) / capacity;
                cq_sampled_at(&run->inert, T[j], &k, &capacity, &H[j]);
            }
        }
    }
    for (size_t n = 0; n < run->clay_n; n++) {
        const int at = run->clay_at[n];
        cq_sampled_at(&run->clay, T[at], &k, &capacity, &H[at]);
        T[at] += (H_linear[at] - H[at]) / capacity;
        cq_sampled_at(&run->clay, T[at], &k, &capacity, &H[at]);
    }
}

void cq_run_autotemper(cq_run *run, double dt_s) {
    if (!run->transforming) {
        return;
    }
    pack(run, run->heat->T_old, run->pack_T0);
    pack(run, run->heat->T, run->pack_T);
    cq_autotemper_step(&run->autotemper, run->pack_T0, run->pack_T,
                       run->structure[1 - run->now].fraction[CQ_MARTENSITE],
                       run->structure[run->now].fraction[CQ_MARTENSITE], dt_s);
}

void cq_run_enthalpy(cq_run *run, const double *T, double *H) {
    double k, c;
    if (run->transforming) {
        pack(run, T, run->pack_T);
        memset(run->pack_slope, 0, run->steel_n * sizeof(double));
        evaluate_steel(run, &run->structure[run->now]);
        unpack(run, run->pack_H, H);
    } else {
        for (int row = 0; row < run->steel_rows; row++) {
            const int at = cq_run_row_at(run, row);
            for (int j = at; j < at + run->steel_across; j++) {
                cq_sampled_at(&run->inert, T[j], &k, &c, &H[j]);
            }
        }
    }
    for (size_t n = 0; n < run->clay_n; n++) {
        cq_sampled_at(&run->clay, T[run->clay_at[n]], &k, &c, &H[run->clay_at[n]]);
    }
}
