/* beam_cells.c - what temperature and structure make of a cell: stiffness, yield, free strain, turning under stress.
 * The numbers in brackets are those of beam.h.
 */
#include "mechanics/beam_state.h"

#include <math.h>

void cq_beam_structure(double *const fraction[CQ_PHASES], size_t c, double f[CQ_PHASES]) {
    for (int p = 0; p < CQ_PHASES; p++) {
        f[p] = fraction[p] == NULL ? (p == CQ_AUSTENITE ? 1.0 : 0.0) : fraction[p][c];
    }
}

cq_strength_node cq_beam_strength(const cq_strength *s, double T_K) {
    const double at = (T_K - CQ_STRENGTH_FIRST_K) / CQ_STRENGTH_PITCH_K, last = CQ_STRENGTH_NODES - 2;
    const double held = at > 0.0 ? (at < last ? at : last) : 0.0;
    const int i = (int)held;
    const double u = held - i, v = 1.0 - u;
    const cq_strength_node *a = &s->node[i], *z = a + 1;
    return (cq_strength_node){
        v * a->stiffness_Pa + u * z->stiffness_Pa,
        {v * a->yield_Pa[0] + u * z->yield_Pa[0], v * a->yield_Pa[1] + u * z->yield_Pa[1],
         v * a->yield_Pa[2] + u * z->yield_Pa[2]},
        {v * a->strain[0] + u * z->strain[0], v * a->strain[1] + u * z->strain[1], v * a->strain[2] + u * z->strain[2]},
        v * a->keeps + u * z->keeps};
}

void cq_beam_strong(const double f[CQ_PHASES], double strong[CQ_STRONGS]) {
    strong[CQ_STRONG_AUSTENITE] = f[CQ_AUSTENITE];
    strong[CQ_STRONG_SOFT] = f[CQ_FERRITE] + f[CQ_PEARLITE] + f[CQ_BAINITE];
    strong[CQ_STRONG_MARTENSITE] = f[CQ_MARTENSITE];
}

double cq_beam_free_strain(const cq_beam *b, size_t c, const cq_strength_node *at, const double strong[CQ_STRONGS]) {
    return strong[CQ_STRONG_AUSTENITE] * at->strain[CQ_STRONG_AUSTENITE] +
           strong[CQ_STRONG_SOFT] * (b->soft_growth[c] + at->strain[CQ_STRONG_SOFT]) +
           strong[CQ_STRONG_MARTENSITE] * (b->martensite_growth[c] + at->strain[CQ_STRONG_MARTENSITE]);
}

/* Half of (3)'s strain per uniaxial stress while the structure goes from f0 to f1: K [phi(X1) - phi(X0)] / 2, where
 * phi's difference is dX (2 - X0 - X1). */
static double half_softness(const double f0[CQ_PHASES], const double f1[CQ_PHASES], double first) {
    double sum = 0.0;
    for (int p = CQ_AUSTENITE + 1; p < CQ_PHASES; p++) {
        sum += cq_strength_softness((cq_phase)p) * fmax(0.0, f1[p] - f0[p]); /* rounding takes nothing back */
    }
    return first > 0.0 ? 0.5 * sum * (f0[CQ_AUSTENITE] + f1[CQ_AUSTENITE]) / first : 0.0;
}

void cq_beam_prepare(cq_beam *b, size_t c, double T_K, const double f[CQ_PHASES]) {
    const cq_strength_node at = cq_beam_strength(&b->strength, T_K);
    double f0[CQ_PHASES], before[CQ_STRONGS], strong[CQ_STRONGS];
    for (int p = 0; p < CQ_PHASES; p++) {
        f0[p] = b->f[p][c];
    }
    cq_beam_strong(f0, before);
    cq_beam_strong(f, strong);
    const double half = half_softness(f0, f, b->first[c]), E = at.stiffness_Pa;
    const double bulk = E / (3.0 * (1.0 - 2.0 * CQ_BEAM_POISSON)), G0 = E / (2.0 * (1.0 + CQ_BEAM_POISSON)),
                 G = G0 / (1.0 + 3.0 * G0 * half);
    b->half_soft[c] = half;
    b->A[c] = 18.0 * bulk * G / (3.0 * bulk + 4.0 * G); /* E / (1 - nu) of these two */
    b->B[c] = 2.0 * G;                                  /* E / (1 + nu) */
    b->free_strain[c] = cq_beam_free_strain(b, c, &at, strong) - b->start[c] + b->grown[c];
    const double third =
        (b->z_stress[c] + b->x_stress[c]) / 3.0; /* deviators of the old stress, explicit half of (3) */
    b->z_off[c] = b->free_strain[c] + b->z_plastic[c] + b->z_turned[c] + 1.5 * half * (b->z_stress[c] - third);
    b->x_off[c] = b->free_strain[c] + b->x_plastic[c] + b->x_turned[c] + 1.5 * half * (b->x_stress[c] - third);
    b->yield[c] = b->hardening[c] = 0.0;
    for (int p = 0; p < CQ_STRONGS; p++) {
        if (strong[p] > before[p]) { /* new material remembers nothing */
            b->remembered[p][c] *= before[p] / strong[p];
        }
        b->yield[c] += strong[p] * (at.yield_Pa[p] + b->strength.hardening_Pa[p] * b->remembered[p][c]);
        b->hardening[c] += strong[p] * b->strength.hardening_Pa[p] * at.keeps;
    }
    b->keeps[c] = at.keeps;
    b->T[c] = T_K;
    for (int p = 0; p < CQ_PHASES; p++) {
        b->f[p][c] = f[p];
    }
}
