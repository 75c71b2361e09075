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
#include "kinetics/clock.h"

#include <math.h>
#include <string.h>

static const double LN2 = 0.69314718055994531, ZERO_C = 273.15;
static const double COLDEST_K = 333.15;  /* nothing diffusional below 60 degC */
static const double USED_UP = 1e-12;

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

static void copy_cell(const cq_structure *from, cq_structure *to, size_t c) {
    for (int p = 0; p < CQ_PHASES; p++) {
        to->fraction[p][c] = from->fraction[p][c];
    }
    to->ZP[c] = from->ZP[c];
    to->ZB[c] = from->ZB[c];
    to->ZF[c] = from->ZF[c];
    to->YB[c] = from->YB[c];
    to->hard_HV[c] = from->hard_HV[c];
    to->cool_K[c] = from->cool_K[c];
}

static double mix(double a, double b, double u) {
    return a + u * (b - a);
}

static void transform_cell(const cq_clock *k, const cq_structure *from, cq_structure *to, size_t c, double T_K, double dt) {
    const double at = T_K - CQ_CLOCK_FIRST_K;
    const int i = (int)at;
    const cq_clock_node *a = &k->node[i], *b = a + 1;
    const double u = at - i;
    double ferrite = from->fraction[CQ_FERRITE][c], left = from->fraction[CQ_AUSTENITE][c];
    const double rest = 1.0 - k->soak.austenite; /* untransformed: takes no part */

    const double ferrite_rate = mix(a->ferrite, b->ferrite, u);
    to->ZF[c] = from->ZF[c] + dt * ferrite_rate;
    const double ceiling = ferrite_rate > 0.0 ? mix(a->ceiling, b->ceiling, u) * (left + ferrite - rest) : 0.0;
    if (ceiling > ferrite - rest) {
        const double dY = LN2 * (to->ZF[c] * to->ZF[c] - from->ZF[c] * from->ZF[c]);
        const double formed = fmin(left, (ceiling - (ferrite - rest)) * -expm1(-dY));
        ferrite += formed;
        left -= formed;
    }
    const double P0 = from->ZP[c], P1 = P0 + dt * mix(a->pearlite, b->pearlite, u);
    const double B1 = from->ZB[c] + dt * mix(a->bainite, b->bainite, u);
    const double YB1 = B1 > 1e-9 ? LN2 * exp(1.8 * log(B1)) : 0.0;
    const double dYP = LN2 * (P1 * P1 * P1 * P1 - P0 * P0 * P0 * P0), dYB = fmax(0.0, YB1 - from->YB[c]), dY = dYP + dYB;
    to->ZP[c] = P1;
    to->ZB[c] = B1;
    to->YB[c] = YB1;
    double pearlite = from->fraction[CQ_PEARLITE][c], bainite = from->fraction[CQ_BAINITE][c], hard = from->hard_HV[c];
    if (dY > 0.0) {
        const double formed = left * -expm1(-dY), by_pearlite = formed * dYP / dY, by_bainite = formed - by_pearlite;
        const double upper = mix(a->upper_bainite, b->upper_bainite, u) * by_pearlite;
        pearlite += by_pearlite - upper;
        bainite += by_bainite + upper;
        hard += by_pearlite * mix(a->pearlite_HV, b->pearlite_HV, u) + by_bainite * mix(a->bainite_HV, b->bainite_HV, u);
    }
    to->fraction[CQ_FERRITE][c] = ferrite;
    to->fraction[CQ_PEARLITE][c] = pearlite;
    to->fraction[CQ_BAINITE][c] = bainite;
    to->fraction[CQ_MARTENSITE][c] = from->fraction[CQ_MARTENSITE][c];
    to->fraction[CQ_AUSTENITE][c] = fmax(0.0, 1.0 - ferrite - pearlite - bainite - from->fraction[CQ_MARTENSITE][c]);
    to->hard_HV[c] = hard;
    to->cool_K[c] = from->cool_K[c];
}

void cq_kinetics_step(const cq_clock *k, const cq_structure *from, cq_structure *to, size_t first, size_t last,
                      const double *T_mid_K, double dt_s) {
    const double reset_K = k->law.e.Ae1_C + ZERO_C, highest_K = CQ_CLOCK_FIRST_K + CQ_CLOCK_NODES - 2;
    for (size_t c = first; c < last; c++) {
        const double T = T_mid_K[c];
        if (from->fraction[CQ_AUSTENITE][c] <= USED_UP || !(T > COLDEST_K) || !(T < fmin(k->hottest_K, highest_K))) {
            copy_cell(from, to, c);
            if (T >= reset_K) { /* reheated above Ae1: the austenite left starts afresh */
                to->ZP[c] = to->ZB[c] = to->YB[c] = 0.0;
            }
            continue;
        }
        transform_cell(k, from, to, c, T, dt_s);
    }
}

/* Ferrite formed during cooling enriches the austenite: Ms falls (at most 0.15 % C counted). */
static double cell_Ms_K(const cq_clock *k, double ferrite) {
    const double rest = 1.0 - k->soak.austenite, formed = ferrite - rest;
    double Ms = k->Ms_C + ZERO_C;
    if (formed > 1e-3) {
        const double share = formed / (1.0 - rest), C = k->soak.carbon_solution_wt;
        const double enriched = fmin(C + 0.15, (C - 0.02 * share) / fmax(1e-3, 1.0 - share));
        Ms += 600.0 * (exp(-0.96 * enriched) - exp(-0.96 * C)); /* [vanbohemen2012], carbon term */
    }
    return Ms;
}

void cq_martensite_step(const cq_clock *k, const cq_structure *from, cq_structure *to, size_t first, size_t last,
                        const double *T_K, double *slope_per_K) {
    for (size_t c = first; c < last; c++) {
        const double T = T_K[c], cooled = from->cool_K[c], old = from->fraction[CQ_MARTENSITE][c];
        to->cool_K[c] = T < cooled ? T : cooled;
        slope_per_K[c] = 0.0;
        const double others = to->fraction[CQ_FERRITE][c] + to->fraction[CQ_PEARLITE][c] + to->fraction[CQ_BAINITE][c];
        const double left = fmax(0.0, 1.0 - others - old);
        double martensite = old;
        if (left > USED_UP) {
            const double low = fmin(cooled, cell_Ms_K(k, to->fraction[CQ_FERRITE][c]));
            if (T < low) {
                const double kept = exp(-k->alpha * (low - T));
                martensite = old + left * (1.0 - kept);
                slope_per_K[c] = left * k->alpha * kept;
            }
        }
        to->fraction[CQ_MARTENSITE][c] = martensite;
        to->fraction[CQ_AUSTENITE][c] = fmax(0.0, 1.0 - others - martensite);
    }
}
