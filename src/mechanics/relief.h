/* relief.h - what tempers do to stress and to size: shares against the tempering parameter of hardness/tempering.h. */
#ifndef CQ_MECHANICS_RELIEF_H
#define CQ_MECHANICS_RELIEF_H

#include <clayquench/material.h>

/* Share of the as-quenched stress that n tempers in a row have turned into plastic strain: martensite, and the softer
 * structures. */
double cq_relief_of_martensite(const cq_temper *temper, size_t n);
double cq_relief_of_soft(const cq_temper *temper, size_t n);

/* Linear growth after n tempers, of a cell with this much martensite and retained austenite and carbon in solution
 * (wt %): martensite shrinks as its carbon leaves, austenite grows as it turns. */
double cq_relief_growth(double martensite, double austenite, double carbon_wt, const cq_temper *temper, size_t n);

#endif
