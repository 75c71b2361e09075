/* step.c - transformation of many cells over one time step.
 *
 * Isokinetic Avrami clocks: dZ = dt / t50(T), extended volumes
 *     Yp = ln2 Zp^4,   Yb = ln2 Zb^1.8,   Yf = ln2 Zf^2                                                            (1)
 * Ferrite or cementite first (it has a moving ceiling), then pearlite and bainite share one exponential of the
 * austenite left, dX = U [1 - exp(-(dYp + dYb))], split as dYp : dYb (2) and martensite last, by the athermal law below
 * the lowest temperature so far: dM = U [1 - exp(-alpha (T_low - T))],  T_low = min(Ms, lowest T so far) (3) Exact for
 * constant T; the sum of fractions stays 1 because austenite is what the others leave.
 */
#include "base/memory.h"
#include "base/vector.h"
#include "base/vector_math.h"
#include "hardness/hardness.h"
#include "kinetics/clock.h"

#include <math.h>
#include <string.h>

static const double LN2 = 0.69314718055994531, ZERO_C = 273.15;

void cq_structure_lay(cq_structure *s, size_t n, double *room) {
    s->n = n;
    double **parts[] = {&s->fraction[0], &s->fraction[1], &s->fraction[2], &s->fraction[3], &s->fraction[4], &s->ZP,
                        &s->ZB,          &s->ZF,          &s->YB,          &s->cool_K,      &s->hard_HV};
    for (size_t p = 0; p < sizeof parts / sizeof parts[0]; p++) {
        *parts[p] = room + p * (n + 8);
    }
}

cq_status cq_structure_create(cq_structure *s, size_t n) {
    memset(s, 0, sizeof *s);
    double *room = cq_memory_zero(CQ_STRUCTURE_ROOM(n), sizeof(double));
    if (room == NULL) {
        return CQ_ERR_MEMORY;
    }
    cq_structure_lay(s, n, room);
    return CQ_OK;
}

void cq_structure_free(cq_structure *s) {
    cq_memory_free(s->fraction[0]);
    memset(s, 0, sizeof *s);
}

void cq_structure_begin(cq_structure *s, size_t first, size_t last, const cq_soak *soak, double T_K) {
    for (size_t c = first; c < last; c++) {
        for (int p = 0; p < CQ_PHASES; p++) {
            s->fraction[p][c] = 0.0;
        }
        s->fraction[CQ_AUSTENITE][c] = soak->austenite;
        s->fraction[CQ_FERRITE][c] = 1.0 - soak->austenite;
        s->hard_HV[c] = (CQ_UNTRANSFORMED_HV - CQ_FERRITE_HV) * (1.0 - soak->austenite);
        s->ZP[c] = s->ZB[c] = s->ZF[c] = s->YB[c] = 0.0;
        s->cool_K[c] = T_K;
    }
}

enum { BLOCK = 64 };                 /* cells looked at together before work is skipped */
static const double USED_UP = 1e-10; /* austenite: too little to be seen in any answer */

static inline double mix(double a, double b, double u) {
    return a + u * (b - a);
}

static inline double least(double a, double b) {
    return a < b ? a : b;
}

static inline double most(double a, double b) {
    return a > b ? a : b;
}

/* The tables at the block's temperatures, and 0 where reheating has set the clocks back, else 1. */
typedef struct rates {
    double pearlite[BLOCK], bainite[BLOCK], ferrite[BLOCK], ceiling[BLOCK], pearlite_HV[BLOCK], bainite_HV[BLOCK],
        upper_bainite[BLOCK], kept[BLOCK];
} rates;

static void look_up(size_t n, const cq_clock_tables *t, double reset_K, const double *T_K, rates *r) {
    for (size_t c = 0; c < n; c++) {
        const double at = most(0.0, least(T_K[c] - CQ_CLOCK_FIRST_K, CQ_CLOCK_NODES - 2.0));
        const int i = (int)at;
        const double u = at - i;
        r->pearlite[c] = mix(t->pearlite[i], t->pearlite[i + 1], u);
        r->bainite[c] = mix(t->bainite[i], t->bainite[i + 1], u);
        r->ferrite[c] = mix(t->ferrite[i], t->ferrite[i + 1], u);
        r->ceiling[c] = mix(t->ceiling[i], t->ceiling[i + 1], u);
        r->pearlite_HV[c] = mix(t->pearlite_HV[i], t->pearlite_HV[i + 1], u);
        r->bainite_HV[c] = mix(t->bainite_HV[i], t->bainite_HV[i + 1], u);
        r->upper_bainite[c] = mix(t->upper_bainite[i], t->upper_bainite[i + 1], u);
        r->kept[c] = T_K[c] >= reset_K ? 0.0 : 1.0;
    }
}

/* One block of cells; `rest` is the share the soak left untransformed. */
CQ_VECTOR_KERNEL static void transform(size_t n, const rates *r, double rest, double first_HV, double dt,
                                       const double *restrict A0, const double *restrict F0, const double *restrict P0,
                                       const double *restrict B0, const double *restrict M0, const double *restrict ZP0,
                                       const double *restrict ZB0, const double *restrict ZF0,
                                       const double *restrict YB0, const double *restrict hard0, double *restrict A1,
                                       double *restrict F1, double *restrict P1, double *restrict B1,
                                       double *restrict M1, double *restrict ZP1, double *restrict ZB1,
                                       double *restrict ZF1, double *restrict YB1, double *restrict hard1) {
    for (size_t c = 0; c < n; c++) {
        /* ferrite or cementite */
        const double zF = ZF0[c] + dt * r->ferrite[c], formed_before = F0[c] - rest;
        const double room = most(0.0, r->ceiling[c] * (A0[c] + formed_before) - formed_before);
        const double dF = least(A0[c], room * cq_lane_share(most(0.0, LN2 * (zF * zF - ZF0[c] * ZF0[c]))));
        const double left = A0[c] - dF;
        /* pearlite and bainite share one exponential */
        const double zP0 = ZP0[c] * r->kept[c], zP = zP0 + dt * r->pearlite[c];
        const double zB = ZB0[c] * r->kept[c] + dt * r->bainite[c], yB0 = YB0[c] * r->kept[c];
        const double yB =
            LN2 * cq_lane_exp(1.8 * cq_lane_log(most(zB, 1e-30))); /* below 1e-53 when bainite has not begun */
        const double zP2 = zP * zP, zP02 = zP0 * zP0;
        /* contracted multiply-adds may leave a negative residue where nothing moved */
        const double dYP = most(0.0, LN2 * (zP2 * zP2 - zP02 * zP02)), dYB = most(0.0, yB - yB0), dY = dYP + dYB;
        const double formed = left * cq_lane_share(dY), of_P = formed * (dYP / most(dY, 1e-300)), of_B = formed - of_P;
        const double called_bainite = r->upper_bainite[c] * of_P;
        ZF1[c] = zF;
        ZP1[c] = zP;
        ZB1[c] = zB;
        YB1[c] = yB;
        F1[c] = F0[c] + dF;
        P1[c] = P0[c] + of_P - called_bainite;
        B1[c] = B0[c] + of_B + called_bainite;
        M1[c] = M0[c];
        A1[c] = most(0.0, 1.0 - F1[c] - P1[c] - B1[c] - M0[c]);
        hard1[c] = hard0[c] + dF * first_HV + of_P * r->pearlite_HV[c] + of_B * r->bainite_HV[c];
    }
}

/* The same structure seen from cell `first` on. */
static cq_structure from_cell(const cq_structure *s, size_t first) {
    cq_structure part = *s;
    for (int p = 0; p < CQ_PHASES; p++) {
        part.fraction[p] += first;
    }
    part.ZP += first;
    part.ZB += first;
    part.ZF += first;
    part.YB += first;
    part.cool_K += first;
    part.hard_HV += first;
    return part;
}

/* Nothing can happen to a block whose every cell is too hot, too cold or has no austenite left, and in which no clock
 * waits to be set back: its state is handed on. */
CQ_VECTOR_KERNEL static bool idle(const cq_structure *s, const double *T_K, size_t n, double hottest_K,
                                  double reset_K) {
    int busy = 0;
    for (size_t c = 0; c < n; c++) {
        busy |= (T_K[c] < hottest_K) & (T_K[c] > CQ_CLOCK_COLDEST_K) & (s->fraction[CQ_AUSTENITE][c] > USED_UP);
        busy |= (T_K[c] >= reset_K) & ((s->ZP[c] > 0.0) | (s->ZB[c] > 0.0));
    }
    return busy == 0;
}

static void hand_on(const cq_structure *from, const cq_structure *to, size_t n) {
    const size_t bytes = n * sizeof(double);
    for (int p = 0; p < CQ_PHASES; p++) {
        memcpy(to->fraction[p], from->fraction[p], bytes);
    }
    memcpy(to->ZP, from->ZP, bytes);
    memcpy(to->ZB, from->ZB, bytes);
    memcpy(to->ZF, from->ZF, bytes);
    memcpy(to->YB, from->YB, bytes);
    memcpy(to->cool_K, from->cool_K, bytes);
    memcpy(to->hard_HV, from->hard_HV, bytes);
}

void cq_kinetics_step(const cq_clock *k, const cq_structure *from, cq_structure *to, size_t first, size_t last,
                      const double *T_mid_K, double dt_s) {
    const double reset_K = k->law.e.Ae1_C + ZERO_C;
    for (size_t c = first; c < last; c += BLOCK) {
        const size_t n = last - c < BLOCK ? last - c : BLOCK;
        const cq_structure a = from_cell(from, c), b = from_cell(to, c);
        if (idle(&a, T_mid_K + c, n, k->hottest_K, reset_K)) {
            hand_on(&a, &b, n);
        } else {
            rates r;
            look_up(n, &k->tables, reset_K, T_mid_K + c, &r);
            transform(n, &r, 1.0 - k->soak.austenite, k->proeutectoid_HV, dt_s, a.fraction[CQ_AUSTENITE],
                      a.fraction[CQ_FERRITE], a.fraction[CQ_PEARLITE], a.fraction[CQ_BAINITE],
                      a.fraction[CQ_MARTENSITE], a.ZP, a.ZB, a.ZF, a.YB, a.hard_HV, b.fraction[CQ_AUSTENITE],
                      b.fraction[CQ_FERRITE], b.fraction[CQ_PEARLITE], b.fraction[CQ_BAINITE],
                      b.fraction[CQ_MARTENSITE], b.ZP, b.ZB, b.ZF, b.YB, b.hard_HV);
            memcpy(b.cool_K, a.cool_K, n * sizeof(double));
        }
    }
}

/* Martensite by (3). Ferrite formed during cooling enriches the austenite (at most 0.15 % C counted) and lowers Ms,
 * cementite the other way round, by the carbon term of [vanbohemen2012], 600 (1 - exp(-0.96 C)), expanded to second
 * order about the soak's carbon. */
CQ_VECTOR_KERNEL static void harden(size_t n, double Ms_K, double alpha, double carbon, double first_C, double Ms_slope,
                                    double rest, const double *restrict T_K, const double *restrict M0,
                                    const double *restrict cool0, const double *restrict F, const double *restrict P,
                                    const double *restrict B, double *restrict M1, double *restrict A1,
                                    double *restrict cool1, double *restrict slope_per_K) {
    const double most_C = 0.15;
    for (size_t c = 0; c < n; c++) {
        const double T = T_K[c], old = M0[c], others = F[c] + P[c] + B[c];
        const double share = most(0.0, (F[c] - rest) / most(1e-9, 1.0 - rest));
        const double richer = least(most_C, share * (carbon - first_C) / most(1e-3, 1.0 - share));
        const double Ms = Ms_K - Ms_slope * richer * (1.0 - 0.48 * richer);
        const double left = most(0.0, 1.0 - others - old), low = least(cool0[c], Ms);
        const double below = most(0.0, low - T), kept = cq_lane_exp(-alpha * below);
        M1[c] = old + left * (1.0 - kept);
        A1[c] = most(0.0, 1.0 - others - M1[c]);
        cool1[c] = least(T, cool0[c]);
        slope_per_K[c] = below > 0.0 ? left * alpha * kept : 0.0;
    }
}

/* A block above Ms, or without austenite, keeps its martensite. */
CQ_VECTOR_KERNEL static bool keeps_martensite(size_t n, double Ms_K, const double *restrict T_K,
                                              const double *restrict M0, const double *restrict cool0,
                                              const double *restrict A, const double *restrict M) {
    int busy = 0;
    for (size_t c = 0; c < n; c++) {
        busy |= (T_K[c] < Ms_K) & (T_K[c] < cool0[c]) & (A[c] + M[c] - M0[c] > USED_UP);
    }
    return busy == 0;
}

CQ_VECTOR_KERNEL static void keep_martensite(size_t n, const double *restrict T_K, const double *restrict M0,
                                             const double *restrict cool0, const double *restrict F,
                                             const double *restrict P, const double *restrict B, double *restrict M1,
                                             double *restrict A1, double *restrict cool1,
                                             double *restrict slope_per_K) {
    for (size_t c = 0; c < n; c++) {
        M1[c] = M0[c];
        A1[c] = most(0.0, 1.0 - (F[c] + P[c] + B[c]) - M0[c]);
        cool1[c] = least(T_K[c], cool0[c]);
        slope_per_K[c] = 0.0;
    }
}

void cq_martensite_step(const cq_clock *k, const cq_structure *from, cq_structure *to, size_t first, size_t last,
                        const double *T_K, double *slope_per_K) {
    const double carbon = k->soak.carbon_solution_wt, Ms_slope = 600.0 * 0.96 * exp(-0.96 * carbon),
                 Ms_K = k->Ms_C + ZERO_C;
    for (size_t c = first; c < last; c += BLOCK) {
        const size_t n = last - c < BLOCK ? last - c : BLOCK;
        const cq_structure a = from_cell(from, c), b = from_cell(to, c);
        const double *M0 = a.fraction[CQ_MARTENSITE], *F = b.fraction[CQ_FERRITE], *P = b.fraction[CQ_PEARLITE],
                     *B = b.fraction[CQ_BAINITE];
        double *M1 = b.fraction[CQ_MARTENSITE], *A1 = b.fraction[CQ_AUSTENITE];
        if (keeps_martensite(n, Ms_K, T_K + c, M0, a.cool_K, A1, M1)) {
            keep_martensite(n, T_K + c, M0, a.cool_K, F, P, B, M1, A1, b.cool_K, slope_per_K + c);
        } else {
            harden(n, Ms_K, k->alpha, carbon, cq_law_proeutectoid_C(&k->law), Ms_slope, 1.0 - k->soak.austenite,
                   T_K + c, M0, a.cool_K, F, P, B, M1, A1, b.cool_K, slope_per_K + c);
        }
    }
}
