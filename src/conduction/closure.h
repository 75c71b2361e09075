/* closure.h - the temperature of an outer face whose flux is a nonlinear function of it. */
#ifndef CQ_CONDUCTION_CLOSURE_H
#define CQ_CONDUCTION_CLOSURE_H

#include "conduction/heat.h"

/* One end of a line, everything linear eliminated:  Ts + S A q(Ts) = B. */
typedef struct cq_closure {
    int end;
    double area_m;   /* A */
    double response; /* S, K per W/m: fall of the face for each W/m drawn from it */
    double drive_K;  /* B: the face's temperature if nothing were drawn */
    double Ts_K;     /* in: where to start (the branch to follow); out: the root */
    double out_W_m;  /* out: A q(Ts) */
} cq_closure;

/* Solve one end. Returns false if no root was found to tolerance (the best point is kept). */
bool cq_closure_solve(const cq_heat_client *client, cq_closure *one);

/* Solve both ends of a line that feel each other: coupling_K_mW is the fall of one end per W/m drawn at the other. */
bool cq_closure_solve_pair(const cq_heat_client *client, cq_closure *low, cq_closure *high, double coupling_K_mW);

#endif
