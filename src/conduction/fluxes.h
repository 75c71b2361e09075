/* fluxes.h - conductances and fluxes between cells, and the balance of every cell at the base point of a step. */
#ifndef CQ_CONDUCTION_FLUXES_H
#define CQ_CONDUCTION_FLUXES_H

#include "conduction/heat.h"

/* A step of dt_s: dH/dt is (a0 H_new - a1 H + a2 H_old) / dt. */
typedef struct cq_bdf {
    double dt_s, a0, a1, a2;
} cq_bdf;

/* Conductances and, for the cross terms, vertex temperatures at the predicted temperatures: once a step. */
void cq_fluxes_prepare(cq_heat *heat);

/* rhs = dt F(Tb) - V (a0 [H* + C (Tb - T*)] - a1 H + a2 H_old) and capacity = a0 C V, without what passes the along
 * ends. */
void cq_fluxes_assemble(cq_heat *heat, const cq_bdf *step);

#endif
