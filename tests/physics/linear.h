/* linear.h - a heat client with constant properties and convection, for checks against closed forms. */
#ifndef TEST_PHYSICS_LINEAR_H
#define TEST_PHYSICS_LINEAR_H

#include "conduction/heat.h"

#include <stdlib.h>

typedef struct linear {
    const cq_heat *heat;
    double k, c;          /* W/m/K, J/m3/K */
    double h, bath_K;     /* every outer face */
    const double *face_h; /* or per end: ends values; NULL = h everywhere */
    const double *face_K; /* bath per end; NULL = bath_K everywhere */
} linear;

static void linear_fill(void *context, const double *now, const double *predicted, double dt, double *k, double *c,
                        double *H) {
    const linear *l = context;
    (void)now;
    (void)dt;
    for (size_t a = 0; a < l->heat->size; a++) {
        k[a] = l->k;
        c[a] = l->c;
        H[a] = l->c * predicted[a];
    }
}

static void linear_settle(void *context, double *T, const double *H_linear, const double *c, double *H) {
    const linear *l = context;
    (void)c;
    for (size_t a = 0; a < l->heat->size; a++) {
        T[a] = H_linear[a] / l->c;
        H[a] = H_linear[a];
    }
}

static double linear_flux(const void *context, int end, double Ts, double *slope) {
    const linear *l = context;
    const double h = l->face_h == NULL ? l->h : l->face_h[end];
    *slope = h;
    return h * (Ts - (l->face_K == NULL ? l->bath_K : l->face_K[end]));
}

static cq_heat_client linear_client(linear *l) {
    return (cq_heat_client){l, linear_fill, linear_settle, linear_flux};
}

/* Everything at start_K. */
static inline void linear_begin(cq_heat *heat, const linear *l, double start_K) {
    double *T = malloc(heat->size * sizeof *T), *H = malloc(heat->size * sizeof *H);
    for (size_t a = 0; a < heat->size; a++) {
        T[a] = start_K;
        H[a] = l->c * start_K;
    }
    cq_heat_begin(heat, T, H);
    free(T);
    free(H);
}

/* Steps of exactly dt up to end_s; the first is backward Euler, whose single error is of second order too. */
static inline void linear_march(cq_heat *heat, const cq_heat_client *client, double dt, double end_s) {
    cq_heat_resume(heat, client);
    const int n = (int)(end_s / dt + 0.5);
    for (int s = 0; s < n; s++) {
        cq_heat_try(heat, client, dt);
        cq_heat_accept(heat, dt);
    }
}

#endif
