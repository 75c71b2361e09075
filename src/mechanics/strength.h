/* strength.h - what a phase does mechanically against temperature: stiffness, yield, hardening, free strain.
 *
 * Tables are sampled every 10 K from 0 degC, where all of them have their corners, so that a step looks them up without
 * searching.
 */
#ifndef CQ_MECHANICS_STRENGTH_H
#define CQ_MECHANICS_STRENGTH_H

#include <clayquench/material.h>

/* Phases as mechanics sees them: ferrite, cementite, pearlite and bainite are one. */
typedef enum cq_strong { CQ_STRONG_AUSTENITE, CQ_STRONG_SOFT, CQ_STRONG_MARTENSITE, CQ_STRONGS } cq_strong;

/* At one temperature. */
typedef struct cq_strength_node {
    double stiffness_Pa;         /* Young's modulus, the same for every phase */
    double yield_Pa[CQ_STRONGS]; /* of fresh material */
    double strain[CQ_STRONGS];   /* thermal, from 20 degC, without the transformation's part */
    double keeps;                /* share of the plastic strain that hardens: 1 cold, hardly any hot */
} cq_strength_node;

enum { CQ_STRENGTH_NODES = 134 };
typedef struct cq_strength {
    cq_strength_node node[CQ_STRENGTH_NODES];
    double hardening_Pa[CQ_STRONGS];
} cq_strength;

#define CQ_STRENGTH_FIRST_K 173.15
#define CQ_STRENGTH_PITCH_K 10.0
#define CQ_STRENGTH_ROOM_K 293.15 /* strains count from here */

/* Carbon and low-alloy steel. */
void cq_strength_of_steel(cq_strength *strength);
/* A steel that does not transform: expansion (1/K) and yield (Pa against K) as its profile states them. */
void cq_strength_of_inert(cq_strength *strength, double expansion_per_K, const cq_table *yield_Pa);

/* Linear growth on forming at 20 degC from austenite with this carbon in solution (wt %). Source: steel volumes,
 * [thelning1984]. */
double cq_strength_soft_growth(double carbon_wt);
double cq_strength_martensite_growth(double carbon_wt);

/* Plasticity of transformation, 1/Pa: strain = K phi'(X) stress dX with phi = X (2 - X). */
double cq_strength_softness(cq_phase product);

#endif
