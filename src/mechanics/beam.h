/* beam.h - the section as a slice of a long beam: axial stress and strain of every cell, and how the beam bends.
 *
 * A slice far from the ends stays plane: strain along the blade z = mean + bend x height + side bend x distance across.
 * The section is a thin plate stood on edge: no stress through the thickness (y), and at every height the stress along
 * the height (x) has no force and, of a whole slice, no moment, because the faces are free; each row of cells stretches
 * and bends by itself. What a solid does besides, shear between rows, a plane strain oracle in the tests measures.
 * Force and both moments along the blade vanish.
 *
 *   stress = elasticity(E(T), 0.3) of [strain - free - plastic - turned], two-dimensional                       (1)
 *   free   = A aA (T - 20) + S [gS + ef(T)] + M [gM + aM (T - 20)], less its value at the start                  (2)
 *   d(turned) = sum over products of 3/2 K phi'(X) deviator dX, phi = X (2 - X), X of what was austenite         (3)
 *   equivalent stress <= sum over phases f [yield(T) + H p]                                                     (4)
 *
 * p is the plastic strain a phase remembers: what forms anew remembers nothing, and hot steel forgets. The law is total
 * in E, so that a change of stiffness leaves no residue. (3) goes half implicit, half explicit in stress (second order,
 * stable at any step).
 */
#ifndef CQ_MECHANICS_BEAM_H
#define CQ_MECHANICS_BEAM_H

#include "mechanics/strength.h"

#include <clayquench/status.h>

typedef struct cq_beam cq_beam;

/* The slice: arrays of rows x across, row by row, copied. half: of a slice that mirrors itself in y = 0; there is no
 * side bend. */
typedef struct cq_beam_shape {
    size_t rows, across;
    const double *x_m, *y_m, *area_m2;
    bool half;
} cq_beam_shape;

cq_status cq_beam_create(cq_beam **beam, const cq_beam_shape *shape, const cq_strength *strength);
void cq_beam_free(cq_beam *beam);

/* Straight and without stress at temperatures T_K[n] with these fractions (NULL pointers: all austenite). carbon_wt[n]:
 * in solution, rules the growth (NULL: none grows). */
void cq_beam_begin(cq_beam *beam, const double *T_K, double *const fraction[CQ_PHASES], const double *carbon_wt);

/* Has any cell changed by more than 50 K or 0.1 of its structure since the last step? */
bool cq_beam_is_due(const cq_beam *beam, const double *T_K, double *const fraction[CQ_PHASES]);

/* To these temperatures and fractions. CQ_NOTICED when the balance was not found to 1e-9 of the yield force; the state
 * then holds the nearest found. No allocation. */
cq_status cq_beam_step(cq_beam *beam, const double *T_K, double *const fraction[CQ_PHASES]);

/* Stretch every cell evenly by a strain of its own (NULL: none) and let the share relaxed[n] of its stress turn into
 * plastic strain (NULL: none), at the present temperature; then find the balance anew. */
cq_status cq_beam_relax(cq_beam *beam, const double *growth, const double *relaxed);

/* Strain at the middle of area, curvatures along height and across, 1/m. + curvature_x: the top is longer. */
typedef struct cq_beam_bend {
    double strain, along_1_m, across_1_m;
} cq_beam_bend;
cq_beam_bend cq_beam_bend_now(const cq_beam *beam);

/* Along the blade; rows x across. */
const double *cq_beam_stress_Pa(const cq_beam *beam);
/* Largest of force and moments left over, over the yield force (and it times the half height, half width). */
double cq_beam_residual(const cq_beam *beam);
/* How often all cells were asked since the beginning: what the balances cost. */
size_t cq_beam_looks(const cq_beam *beam);

/* What the bend is made of at one stiffness, 1/m along the height: free strain, plastic strain, turning under stress.
 * Their sum is the curvature where all cells have the same temperature. lasting_across_1_m: of the bend across, what
 * is plastic strain or turning. */
typedef struct cq_beam_parts {
    double free_1_m, plastic_1_m, turned_1_m, lasting_across_1_m;
} cq_beam_parts;
cq_beam_parts cq_beam_bend_parts(const cq_beam *beam);

#endif
