/* step.c - transformation of many cells over one time step.
 *
 * Isokinetic Avrami clocks: dZ = dt / t50(T), extended volumes
 *     Yp = ln2 Zp^4,   Yb = ln2 Zb^1.8,   Yf = ln2 Zf^2                                                            (1)
 * Ferrite first (it has a moving ceiling), then pearlite and bainite share one exponential of the austenite left,
 *     dX = U [1 - exp(-(dYp + dYb))], split as dYp : dYb                                                           (2)
 * and martensite last, by the athermal law below the lowest temperature so far:
 *     dM = U [1 - exp(-alpha (T_low - T))],  T_low = min(Ms, lowest T so far)                                      (3)
 * Exact for constant T; the sum of fractions stays 1 because austenite is what the others leave.
 */
#include "base/memory.h"
#include "base/vector.h"
#include "base/vector_math.h"
#include "kinetics/clock.h"

#include <math.h>
#include <string.h>

static const double LN2 = 0.69314718055994531, ZERO_C = 273.15;

cq_status cq_structure_create(cq_structure *s, size_t n) {
    memset(s, 0, sizeof *s);
    double *block = cq_memory_zero((CQ_PHASES + 6) * (n + 8), sizeof(double));
    if (block == NULL) {
        return CQ_ERR_MEMORY;
    }
    s->n = n;
    double **parts[] = {&s->fraction[0], &s->fraction[1], &s->fraction[2], &s->fraction[3], &s->fraction[4],
                        &s->ZP, &s->ZB, &s->ZF, &s->YB, &s->cool_K, &s->hard_HV};
    for (size_t p = 0; p < sizeof parts / sizeof parts[0]; p++) {
        *parts[p] = block + p * (n + 8);
    }
    return CQ_OK;
}

void cq_structure_free(cq_structure *s) {
    cq_memory_free(s->fraction[0]);
    memset(s, 0, sizeof *s);
}

void cq_structure_begin(cq_structure *s, const cq_soak *soak, double T_K) {
    const double ferrite_HV = 115.0, untransformed_HV = 200.0; /* spheroidised or ferritic rest; from memory */
    for (size_t c = 0; c < s->n; c++) {
        for (int p = 0; p < CQ_PHASES; p++) {
            s->fraction[p][c] = 0.0;
        }
        s->fraction[CQ_AUSTENITE][c] = soak->austenite;
        s->fraction[CQ_FERRITE][c] = 1.0 - soak->austenite;
        s->hard_HV[c] = (untransformed_HV - ferrite_HV) * (1.0 - soak->austenite);
        s->ZP[c] = s->ZB[c] = s->ZF[c] = s->YB[c] = 0.0;
        s->cool_K[c] = T_K;
    }
}

/* The arrays of a step, restrict-qualified copies of the structures' pointers so that the loops run in lanes. */
static inline double mix(double a, double b, double u) {
    return a + u * (b - a);
}

static inline double least(double a, double b) {
    return a < b ? a : b;
}

static inline double most(double a, double b) {
    return a > b ? a : b;
}

/* One block of cells; `rest` is the share the soak left untransformed. A cell outside the laws' range keeps its fractions
 * because every rate in the table is zero there; above Ae1 its clocks are set back (reheated austenite starts afresh). */
CQ_VECTOR_KERNEL static void transform(size_t n, const cq_clock_tables *tables, double rest, double reset_K, double dt,
                                       const double *restrict T_K, const cq_structure *from, const cq_structure *to) {
    const double *restrict A0 = from->fraction[CQ_AUSTENITE], *restrict F0 = from->fraction[CQ_FERRITE],
                 *restrict P0 = from->fraction[CQ_PEARLITE], *restrict B0 = from->fraction[CQ_BAINITE],
                 *restrict M0 = from->fraction[CQ_MARTENSITE], *restrict ZP0 = from->ZP, *restrict ZB0 = from->ZB,
                 *restrict ZF0 = from->ZF, *restrict YB0 = from->YB, *restrict hard0 = from->hard_HV, *restrict cool0 = from->cool_K;
    double *restrict A1 = to->fraction[CQ_AUSTENITE], *restrict F1 = to->fraction[CQ_FERRITE],
           *restrict P1 = to->fraction[CQ_PEARLITE], *restrict B1 = to->fraction[CQ_BAINITE], *restrict M1 = to->fraction[CQ_MARTENSITE],
           *restrict ZP1 = to->ZP, *restrict ZB1 = to->ZB, *restrict ZF1 = to->ZF, *restrict YB1 = to->YB,
           *restrict hard1 = to->hard_HV, *restrict cool1 = to->cool_K;
    const double *restrict rate_P = tables->pearlite, *restrict rate_B = tables->bainite, *restrict rate_F = tables->ferrite,
                 *restrict ceilings = tables->ceiling, *restrict HP = tables->pearlite_HV, *restrict HB = tables->bainite_HV,
                 *restrict upper = tables->upper_bainite;
    for (size_t c = 0; c < n; c++) {
        const double at = most(0.0, least(T_K[c] - CQ_CLOCK_FIRST_K, CQ_CLOCK_NODES - 2.0));
        const int i = (int)at;
        const double u = at - i, left0 = A0[c];
        const double reheated = T_K[c] >= reset_K ? 0.0 : 1.0;
        /* ferrite */
        const double rF = mix(rate_F[i], rate_F[i + 1], u), zF = ZF0[c] + dt * rF, formed_before = F0[c] - rest;
        const double ceiling = mix(ceilings[i], ceilings[i + 1], u) * (left0 + formed_before);
        const double room = most(0.0, ceiling - formed_before);
        const double dF = least(left0, room * (rF > 0.0 ? 1.0 : 0.0) * cq_lane_share(most(0.0, LN2 * (zF * zF - ZF0[c] * ZF0[c]))));
        const double left = left0 - dF;
        /* pearlite and bainite share one exponential */
        const double zP0 = ZP0[c] * reheated, zP = zP0 + dt * mix(rate_P[i], rate_P[i + 1], u);
        const double zB = ZB0[c] * reheated + dt * mix(rate_B[i], rate_B[i + 1], u), yB0 = YB0[c] * reheated;
        const double yB = LN2 * cq_lane_exp(1.8 * cq_lane_log(most(zB, 1e-30))); /* below 1e-53 when bainite has not begun */
        const double zP2 = zP * zP, zP02 = zP0 * zP0;
        /* contracted multiply-adds may leave a negative residue where nothing moved */
        const double dYP = most(0.0, LN2 * (zP2 * zP2 - zP02 * zP02)), dYB = most(0.0, yB - yB0), dY = dYP + dYB;
        const double formed = left * cq_lane_share(dY), of_P = formed * (dYP / most(dY, 1e-300)), of_B = formed - of_P;
        const double called_bainite = mix(upper[i], upper[i + 1], u) * of_P;
        ZF1[c] = zF;
        ZP1[c] = zP;
        ZB1[c] = zB;
        YB1[c] = yB;
        F1[c] = F0[c] + dF;
        P1[c] = P0[c] + of_P - called_bainite;
        B1[c] = B0[c] + of_B + called_bainite;
        M1[c] = M0[c];
        A1[c] = most(0.0, 1.0 - F1[c] - P1[c] - B1[c] - M0[c]);
        hard1[c] = hard0[c] + of_P * mix(HP[i], HP[i + 1], u) + of_B * mix(HB[i], HB[i + 1], u);
        cool1[c] = cool0[c];
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

enum { BLOCK = 64 };                   /* cells looked at together before work is skipped */
static const double USED_UP = 1e-10;   /* austenite: too little to be seen in any answer */
static const double COLDEST_K = 423.0; /* below 150 degC half times exceed days */

/* Nothing can happen to a block whose every cell is too hot, too cold or has no austenite left: its state is handed on. */
static bool idle(const cq_structure *s, const double *T_K, size_t n, double hottest_K) {
    int busy = 0;
    for (size_t c = 0; c < n; c++) {
        busy |= (T_K[c] < hottest_K) & (T_K[c] > COLDEST_K) & (s->fraction[CQ_AUSTENITE][c] > USED_UP);
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
    for (size_t c = first; c < last; c += BLOCK) {
        const size_t n = last - c < BLOCK ? last - c : BLOCK;
        const cq_structure a = from_cell(from, c), b = from_cell(to, c);
        if (idle(&a, T_mid_K + c, n, k->hottest_K) && !(T_mid_K[c] > k->law.e.Ae1_C + ZERO_C && a.ZP[0] > 0.0)) {
            hand_on(&a, &b, n);
        } else {
            transform(n, &k->tables, 1.0 - k->soak.austenite, k->law.e.Ae1_C + ZERO_C, dt_s, T_mid_K + c, &a, &b);
        }
    }
}

/* Martensite by (3). Ferrite formed during cooling enriches the austenite (at most 0.15 % C counted) and lowers Ms by the
 * carbon term of [vanbohemen2012], 600 (1 - exp(-0.96 C)), expanded to second order about the soak's carbon. */
CQ_VECTOR_KERNEL static void harden(size_t n, double Ms_K, double alpha, double carbon, double Ms_slope, double rest,
                                    const double *restrict T_K, const double *restrict M0, const double *restrict cool0,
                                    const double *restrict F, const double *restrict P, const double *restrict B, double *restrict M1,
                                    double *restrict A1, double *restrict cool1, double *restrict slope_per_K) {
    const double ferrite_C = 0.02, most_C = 0.15;
    for (size_t c = 0; c < n; c++) {
        const double T = T_K[c], old = M0[c], others = F[c] + P[c] + B[c];
        const double share = most(0.0, (F[c] - rest) / most(1e-9, 1.0 - rest));
        const double richer = least(most_C, share * (carbon - ferrite_C) / most(1e-3, 1.0 - share));
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
static bool keeps_martensite(const cq_structure *from, const cq_structure *to, size_t first, size_t n, const double *T_K, double Ms_K) {
    int busy = 0;
    for (size_t c = first; c < first + n; c++) {
        const double left = to->fraction[CQ_AUSTENITE][c] + to->fraction[CQ_MARTENSITE][c] - from->fraction[CQ_MARTENSITE][c];
        busy |= (T_K[c] < Ms_K) & (T_K[c] < from->cool_K[c]) & (left > USED_UP);
    }
    return busy == 0;
}

static void keep_martensite(const cq_structure *from, const cq_structure *to, size_t first, size_t n, const double *T_K, double *slope_per_K) {
    for (size_t c = first; c < first + n; c++) {
        const double others = to->fraction[CQ_FERRITE][c] + to->fraction[CQ_PEARLITE][c] + to->fraction[CQ_BAINITE][c];
        to->fraction[CQ_MARTENSITE][c] = from->fraction[CQ_MARTENSITE][c];
        to->fraction[CQ_AUSTENITE][c] = most(0.0, 1.0 - others - from->fraction[CQ_MARTENSITE][c]);
        to->cool_K[c] = least(T_K[c], from->cool_K[c]);
        slope_per_K[c] = 0.0;
    }
}

void cq_martensite_step(const cq_clock *k, const cq_structure *from, cq_structure *to, size_t first, size_t last,
                        const double *T_K, double *slope_per_K) {
    const double carbon = k->soak.carbon_solution_wt, Ms_slope = 600.0 * 0.96 * exp(-0.96 * carbon), Ms_K = k->Ms_C + ZERO_C;
    for (size_t c = first; c < last; c += BLOCK) {
        const size_t n = last - c < BLOCK ? last - c : BLOCK;
        if (keeps_martensite(from, to, c, n, T_K, Ms_K)) {
            keep_martensite(from, to, c, n, T_K, slope_per_K);
            continue;
        }
        const cq_structure a = from_cell(from, c), b = from_cell(to, c);
        harden(n, Ms_K, k->alpha, carbon, Ms_slope, 1.0 - k->soak.austenite, T_K + c, a.fraction[CQ_MARTENSITE], a.cool_K,
               b.fraction[CQ_FERRITE], b.fraction[CQ_PEARLITE], b.fraction[CQ_BAINITE], b.fraction[CQ_MARTENSITE],
               b.fraction[CQ_AUSTENITE], b.cool_K, slope_per_K + c);
    }
}
