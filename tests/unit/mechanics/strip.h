/* strip.h - rectangular strips for tests of the beam: rows along the height, columns across; stiffness and yield set by
 * the test. */
#ifndef TEST_MECHANICS_STRIP_H
#define TEST_MECHANICS_STRIP_H

#include "mechanics/beam.h"

#include <string.h>

enum { STRIP_MOST = 4096 };
typedef struct strip {
    cq_beam *beam;
    int rows, across;
    size_t n;
    double height_m, width_m;
    double x[STRIP_MOST], y[STRIP_MOST], area[STRIP_MOST], T[STRIP_MOST];
    double f[CQ_PHASES][STRIP_MOST];
    double *fraction[CQ_PHASES];
    double carbon[STRIP_MOST];
} strip;

/* Steel of one stiffness and expansion at every temperature; yields as given (MPa, austenite, soft, martensite). */
static inline cq_strength even_strength(double E_GPa, double expansion, const double yield_MPa[CQ_STRONGS]) {
    cq_strength s;
    for (int n = 0; n < CQ_STRENGTH_NODES; n++) {
        const double T = CQ_STRENGTH_FIRST_K + CQ_STRENGTH_PITCH_K * n, e = expansion * (T - CQ_STRENGTH_ROOM_K);
        s.node[n] = (cq_strength_node){
            1e9 * E_GPa, {1e6 * yield_MPa[0], 1e6 * yield_MPa[1], 1e6 * yield_MPa[2]}, {e, e, e}, 1.0};
    }
    s.hardening_Pa[0] = s.hardening_Pa[1] = s.hardening_Pa[2] = 1e3; /* next to nothing */
    return s;
}

static inline void strip_begin(strip *s, int rows, int across, const cq_strength *strength, double T_K) {
    s->rows = rows;
    s->across = across;
    s->n = (size_t)rows * (size_t)across;
    s->height_m = 30e-3;
    s->width_m = 6e-3;
    for (int i = 0; i < rows; i++) {
        for (int j = 0; j < across; j++) {
            const int c = i * across + j;
            s->x[c] = s->height_m * (i + 0.5) / rows;
            s->y[c] = s->width_m * ((j + 0.5) / across - 0.5);
            s->area[c] = s->height_m * s->width_m / (rows * across);
            s->T[c] = T_K;
            s->carbon[c] = 0.8;
        }
    }
    memset(s->f, 0, sizeof s->f);
    for (size_t c = 0; c < s->n; c++) {
        s->f[CQ_AUSTENITE][c] = 1.0;
    }
    for (int p = 0; p < CQ_PHASES; p++) {
        s->fraction[p] = s->f[p];
    }
    const cq_beam_shape shape = {(size_t)rows, (size_t)across, s->x, s->y, s->area, false};
    ck_assert_int_eq(cq_beam_create(&s->beam, &shape, strength), CQ_OK);
    cq_beam_begin(s->beam, s->T, s->fraction, s->carbon);
}

static inline void strip_step(strip *s) {
    ck_assert_int_eq(cq_beam_step(s->beam, s->T, s->fraction), CQ_OK);
    ck_assert_double_lt(cq_beam_residual(s->beam), 1e-9);
}

/* Turn the share X of rows [from, to) into a product. */
static inline void strip_turn(strip *s, int from, int to, cq_phase product, double X) {
    for (int c = from * s->across; c < to * s->across; c++) {
        s->f[product][c] = X;
        s->f[CQ_AUSTENITE][c] = 1.0 - X;
    }
}

#endif
