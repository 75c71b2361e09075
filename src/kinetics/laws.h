/* laws.h - the rate laws as functions of temperature: what the clock tabulates and tests call. degC, wt %, s. */
#ifndef CQ_KINETICS_LAWS_H
#define CQ_KINETICS_LAWS_H

#include "kinetics/kinetics.h"

typedef struct cq_equilibria {
    double Ae1_C, Ae3_C, Ae3_line_C; /* Ae3_C is clamped to Ae1_C; the line is not */
} cq_equilibria;
cq_equilibria cq_equilibria_of(const cq_composition *c);
/* Carbon in austenite in equilibrium with cementite, wt %, in a steel of Cr % chromium. */
double cq_acm_carbon(double T_C, double Ae1_C, double Cr);
/* Temperature above which all carbon dissolves, degC. */
double cq_acm_of(const cq_composition *c);

/* Martensite start with carbon in solution, degC, and the rate of the athermal law, 1/K. Source: [vanbohemen2012]. */
double cq_martensite_start_C(const cq_composition *c, double carbon_solution_wt);
double cq_martensite_rate_per_K(const cq_composition *c, double carbon_solution_wt);
/* Bainite start, degC. Source: [kirkaldy1984]. */
double cq_bainite_start_C(const cq_composition *c, double carbon_solution_wt);

/* ln of what a measured diagram multiplies the laws' times with, at its temperatures, falling; n 0: nothing. */
typedef struct cq_correction {
    size_t n;
    double T_C[CQ_DIAGRAM_MOST], ln_factor[CQ_DIAGRAM_MOST];
} cq_correction;
cq_correction cq_correction_of(const cq_steel *steel);
double cq_correction_at(const cq_correction *correction, double T_C);

/* What the half-time laws need of one composition and soak. */
typedef struct cq_law {
    cq_composition c; /* wt %, with C the carbon in solution */
    cq_equilibria
        e; /* of the austenite: between Ae1 and Ae3 it is richer than the steel, its Ae3 the soak temperature */
    double Bs_C, alloy, carbon;   /* alloy and carbon parts of ln t of pearlite */
    double grain_ASTM, ln_factor; /* ln of the time factor knob */
    double nuclei;                /* of the soak: off ln t of pearlite and of what comes before it */
    bool cementite;               /* what comes before pearlite is cementite, not ferrite */
    double first_C;               /* below this it forms: Acm or Ae3 of the austenite, degC */
    cq_correction measured;
} cq_law;
cq_law cq_law_of(const cq_steel *steel, const cq_soak *soak);
/* Isothermal 50 % times, s; INFINITY where the product does not form. */
double cq_law_pearlite_s(const cq_law *law, double T_C);
double cq_law_bainite_s(const cq_law *law, double T_C);
/* Pro-eutectoid ferrite or cementite: both count as CQ_FERRITE. Cementite keeps ferrite's time scale with the
 * undercooling counted from Acm; an estimate, and never more than some per cent. */
double cq_law_proeutectoid_s(const cq_law *law, double T_C);
/* Its carbon, wt %, and its largest share at T. */
double cq_law_proeutectoid_C(const cq_law *law);
double cq_law_proeutectoid_ceiling(const cq_law *law, double T_C);

#endif
