/* hardness.h - hardness of a structure, the Rockwell scale, tempering. */
#ifndef CQ_HARDNESS_HARDNESS_H
#define CQ_HARDNESS_HARDNESS_H

#include <clayquench/material.h>

/* Martensite hardness at carbon in solution (wt %), without retained austenite. Source: [krauss2005]. */
double cq_hardness_martensite_HV(double carbon_solution_wt);
/* Pearlite (fine pearlite included) and bainite formed at T: used by the kinetics' sum. */
double cq_hardness_pearlite_HV(const cq_composition *c, double T_K);
double cq_hardness_bainite_HV(const cq_composition *c, double carbon_solution_wt, double T_K);

/* Ferrite, and what the soak left untransformed (spheroidised or ferritic); from memory. Both stand as CQ_FERRITE: a sum
 * that counts the second starts with the difference in hard_HV. */
#define CQ_FERRITE_HV 115.0
#define CQ_UNTRANSFORMED_HV 200.0

/* As-quenched hardness of a mixture: hard_HV is the formation-weighted sum of pearlite and bainite. */
double cq_hardness_mixture_HV(const cq_steel *steel, double carbon_solution_wt, double carbide,
                              const double fraction[CQ_PHASES], double hard_HV);

/* Rockwell C from Vickers by ASTM E140; NaN below 20 HRC, held at 68 above. And back (NaN outside 20..68). */
double cq_hardness_HRC(double HV);
double cq_hardness_HV(double HRC);

#endif
