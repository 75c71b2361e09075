/* thermal.h - conductivity, heat capacity and enthalpy of steel phases and of tabulated materials.
 *
 * Per phase, straight lines in kelvin; the enthalpy is their integral, so that it is a state function: the latent heat
 * of a transformation at T is the difference of the phases' enthalpies there and cannot be counted twice.
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

/* Conductivity, heat capacity and enthalpy of a material given by tables, sampled every kelvin so that a time step
 * looks them up without searching. The capacity is straight between samples and the enthalpy its exact integral. */
enum { CQ_SAMPLED_FIRST_K = 100, CQ_SAMPLED_NODES = 1800 };
typedef struct cq_sampled {
    double *k, *c, *H; /* W/m/K, J/m3/K, J/m3 at CQ_SAMPLED_FIRST_K + n */
} cq_sampled;
cq_status cq_sampled_create(cq_sampled *sampled, const cq_table *conductivity, const cq_table *capacity);
void cq_sampled_free(cq_sampled *sampled);

static inline void cq_sampled_at(const cq_sampled *s, double T_K, double *k, double *c, double *H) {
    const double at = T_K - CQ_SAMPLED_FIRST_K, last = CQ_SAMPLED_NODES - 2;
    const double held = at > 0.0 ? (at < last ? at : last) : 0.0; /* NaN falls to the first sample */
    const int i = (int)held;
    const double u = at - i, dc = s->c[i + 1] - s->c[i];
    *k = s->k[i] + (held - i) * (s->k[i + 1] - s->k[i]);
    *c = s->c[i] + u * dc;
    *H = s->H[i] + u * (s->c[i] + 0.5 * u * dc);
}

/* Conductivity multiplier of a coat of thickness_m that conducts `soaked` times its dry value when thin and wet: whole
 * below 0.15 mm, none above 0.25 mm, straight between (a jump at 0.2 mm would be a false step in the clay). */
double cq_soaked_factor(double soaked, double thickness_m);

#endif
