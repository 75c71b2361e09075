/* laws.h - the rate laws as functions of temperature: what the clock tabulates and tests call. degC, wt %, s. */
#ifndef CQ_KINETICS_LAWS_H
#define CQ_KINETICS_LAWS_H

#include "kinetics/kinetics.h"

typedef struct cq_equilibria {
    double Ae1_C, Ae3_C, Ae3_line_C; /* Ae3_C is clamped to Ae1_C; the line is not */
} cq_equilibria;
cq_equilibria cq_equilibria_of(const cq_composition *c);
/* Carbon in austenite in equilibrium with cementite, wt %. */
double cq_acm_carbon(double T_C, double Ae1_C);
/* Temperature above which all carbon dissolves, degC. */
double cq_acm_of(const cq_composition *c);

/* Martensite start with carbon in solution, degC, and the rate of the athermal law, 1/K. Source: [vanbohemen2012]. */
double cq_martensite_start_C(const cq_composition *c, double carbon_solution_wt);
double cq_martensite_rate_per_K(const cq_composition *c, double carbon_solution_wt);
/* Bainite start, degC. Source: [kirkaldy1984]. */
double cq_bainite_start_C(const cq_composition *c, double carbon_solution_wt);

/* What the half-time laws need of one composition and soak. */
typedef struct cq_law {
    cq_composition c;      /* wt %, with C the carbon in solution */
    cq_equilibria e;       /* of the austenite: between Ae1 and Ae3 it is richer than the steel, its Ae3 the soak temperature */
    double Bs_C, alloy, carbon; /* alloy and carbon parts of ln t of pearlite */
    double grain_ASTM, ln_factor; /* ln of the time factor knob */
} cq_law;
cq_law cq_law_of(const cq_steel *steel, const cq_soak *soak);
/* Isothermal 50 % times, s; INFINITY where the product does not form. */
double cq_law_pearlite_s(const cq_law *law, double T_C);
double cq_law_bainite_s(const cq_law *law, double T_C);
double cq_law_ferrite_s(const cq_law *law, double T_C);
/* Largest share of ferrite at T. */
double cq_law_ferrite_ceiling(const cq_law *law, double T_C);

#endif
