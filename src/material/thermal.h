/* thermal.h - conductivity, heat capacity and enthalpy of steel phases and of tabulated materials.
 *
 * Per phase, straight lines in kelvin; the enthalpy is their integral, so that it is a state function: the latent heat of a
 * transformation at T is the difference of the phases' enthalpies there and cannot be counted twice.
 */
#ifndef CQ_MATERIAL_THERMAL_H
#define CQ_MATERIAL_THERMAL_H

#include <clayquench/material.h>
#include <clayquench/status.h>

/* k = k0 + k1 T (W/m/K), c = c0 + c1 T (J/m3/K), H = h0 + c0 T + c1 T^2 / 2 (J/m3), T in kelvin. */
typedef struct cq_phase_thermal {
    double k0, k1, c0, c1, h0;
} cq_phase_thermal;

/* Lines of one phase. Source: [simsir2008] for k and c (linear forms), latent heats [hagel1956] and see thermal.c. */
cq_phase_thermal cq_thermal_of(cq_phase phase);

static inline double cq_thermal_enthalpy(const cq_phase_thermal *p, double T_K) {
    return p->h0 + T_K * (p->c0 + 0.5 * p->c1 * T_K);
}

/* Enthalpy of a tabulated heat capacity, exact for straight pieces; nodes in kelvin. H(0) = 0 by holding the first value. */
typedef struct cq_enthalpy {
    const cq_table *capacity;
    double *at_node; /* H at each node */
} cq_enthalpy;
cq_status cq_enthalpy_create(cq_enthalpy *enthalpy, const cq_table *capacity);
void cq_enthalpy_free(cq_enthalpy *enthalpy);
double cq_enthalpy_eval(const cq_enthalpy *enthalpy, double T_K);

/* Heat capacity of dehydroxylated kaolin, J/kg/K, 40..1100 degC. Source: [michot2011]. */
double cq_kaolin_heat_capacity_J_kgK(double T_K);

/* Conductivity multiplier of a coat of thickness_m that conducts `soaked` times its dry value when thin and wet: whole
 * below 0.15 mm, none above 0.25 mm, straight between (a jump at 0.2 mm would be a false step in the clay). */
double cq_soaked_factor(double soaked, double thickness_m);

#endif
