/* hardness.h - hardness of a structure, the Rockwell scale, tempering. */
#ifndef CQ_HARDNESS_HARDNESS_H
#define CQ_HARDNESS_HARDNESS_H

#include <clayquench/material.h>

/* Martensite hardness at carbon in solution (wt %), without retained austenite. Source: [krauss2005]. */
double cq_hardness_martensite_HV(double carbon_solution_wt);
/* Pearlite (fine pearlite included) and bainite formed at T: used by the kinetics' sum. */
double cq_hardness_pearlite_HV(const cq_composition *c, double T_K);
double cq_hardness_bainite_HV(const cq_composition *c, double carbon_solution_wt, double T_K);

/* Ferrite, pro-eutectoid cementite, and what the soak left untransformed (spheroidised or ferritic); from memory. All
 * stand as CQ_FERRITE: hard_HV holds what the others have above ferrite. */
#define CQ_FERRITE_HV 115.0
#define CQ_CEMENTITE_HV 1000.0
#define CQ_UNTRANSFORMED_HV 200.0

/* The austenite that martensite was made of, and what cooling did to it since (see autotemper.h; 0: nothing). */
typedef struct cq_matrix {
    double carbon_solution_wt, carbide;
    double softening_HRC, parameter;
} cq_matrix;

/* As-quenched hardness of a mixture: hard_HV is the formation-weighted sum of pearlite and bainite. */
double cq_hardness_mixture_HV(const cq_steel *steel, const cq_matrix *matrix, const double fraction[CQ_PHASES],
                              double hard_HV);

/* Rockwell C carried below its scale at 5.5 HV a point, and not held at its end: only so that softening can be counted.
 */
double cq_hardness_points(double HV);
double cq_hardness_of_points(double points);

/* Rockwell C from Vickers by ASTM E140; NaN below 20 HRC, held at 68 above. And back (NaN outside 20..68). */
double cq_hardness_HRC(double HV);
double cq_hardness_HV(double HRC);

#endif
