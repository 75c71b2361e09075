/* tempering.h - what is left of the hardness after one or several tempers. */
#ifndef CQ_HARDNESS_TEMPERING_H
#define CQ_HARDNESS_TEMPERING_H

#include "hardness/hardness.h"

/* Hollomon-Jaffe parameter P = T (20 + log10 hours) / 1000 of n tempers in a row after `before` (0: fresh), each
 * converted to the time at the next one's temperature that gives the same P. `before` if n is 0. Source:
 * [hollomon1945]. */
double cq_temper_parameter(double before, const cq_temper *temper, size_t n);

/* Rockwell C of martensite of `as_quenched_HRC` after parameter P. Fit to published tempering tables of 1080, 1095, O1
 * [asm-heat-treater], rms 1-2.5 HRC between tables that differ by up to 4 themselves. */
double cq_temper_martensite_HRC(const cq_composition *c, double carbon_solution_wt, double as_quenched_HRC, double P);

/* Vickers hardness of the whole structure after n tempers: martensite by the law above, pearlite and bainite unchanged
 * until P would take martensite below them, retained austenite decaying to a 595 HV product. */
double cq_temper_mixture_HV(const cq_steel *steel, const cq_matrix *matrix, const double fraction[CQ_PHASES],
                            double hard_HV, const cq_temper *temper, size_t n);

/* Share of retained austenite that n tempers leave. */
double cq_temper_austenite_left(const cq_temper *temper, size_t n);

#endif
