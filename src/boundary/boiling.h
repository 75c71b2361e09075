/* boiling.h - the textbook equations of boiling water at 1 atm, each with its source. Temperatures in degC here, as the
 * sources print them; fluxes in W/m2.
 */
#ifndef CQ_BOUNDARY_BOILING_H
#define CQ_BOUNDARY_BOILING_H

#include "boundary/fluids.h"

/* Saturated water at 100 degC. Source: [incropera2007] table A.6, from memory; agrees with [kobasko2010] table 7. */
#define CQ_WATER_SATURATION_C 100.0
#define CQ_WATER_RHO_L 957.9  /* kg/m3 */
#define CQ_WATER_RHO_V 0.5956 /* kg/m3 */
#define CQ_WATER_H_FG 2.257e6 /* J/kg */
#define CQ_WATER_SIGMA 0.0589 /* N/m */
#define CQ_WATER_CP_L 4217.0  /* J/kg/K */
#define CQ_WATER_MU_L 279e-6  /* Pa s */
#define CQ_WATER_PR_L 1.76
#define CQ_GRAVITY 9.81                 /* m/s2 */
#define CQ_STEFAN_BOLTZMANN 5.670374e-8 /* W/m2/K4 */

/* A liquid at saturation, with its vapour. */
typedef struct cq_boiling_liquid {
    double prandtl;
    double viscosity_Pa_s;
    double latent_heat_J_kg;
    double density_kg_m3, vapour_density_kg_m3;
    double surface_tension_N_m;
    double heat_capacity_J_kgK;
} cq_boiling_liquid;

/* Water, the figures above. */
cq_boiling_liquid cq_boiling_water(void);

/* Nucleate boiling flux of a liquid at a superheat, on a surface of coefficient C_sf. For water C_sf is 0.013 and Pr
 * stands to the first power; scatter about a factor 2. Source: [rohsenow1952]. */
double cq_boiling_rohsenow(const cq_boiling_liquid *liquid, double superheat_K, double C_sf);

/* Peak flux of a saturated pool; coefficient 0.131 [zuber1959] or 0.149 [lienhard1973]. */
double cq_boiling_peak_saturated(double coefficient);
/* Factor by which subcooling raises the peak. Source: [ivey1962]. */
double cq_boiling_peak_subcooling(double bath_C);

/* Rewetting temperature of metal in still subcooled water, degC. Source: [dhir1978], formula from memory. */
double cq_boiling_rewetting_metal_C(double bath_C);
/* Rewetting temperature that accounts for the wall's effusivity and heat capacity, degC. Source: [henry1974], from
 * memory. */
double cq_boiling_rewetting_henry_C(double bath_C, double effusivity, double wall_cp_J_kgK);
/* Temperature at which two half spaces touch. Source: [carslaw1959]. */
double cq_contact_temperature(double e_wall, double T_wall, double e_liquid, double T_liquid);
/* Limit of liquid's superheat at 1 atm, degC. Source: [lienhard1976]. */
double cq_water_superheat_limit_C(void);

/* Film boiling on a flat face, conduction part, W/m2/K. Source: [berenson1961]. */
double cq_boiling_film_flat(double wall_C);
/* Film boiling of water on a horizontal cylinder, conduction part, W/m2/K, for a film of `vapour`. Source:
 * [bromley1950]. */
double cq_boiling_film_cylinder(const cq_fluid *vapour, double diameter_m, double superheat_K);

/* Weight 0..1 with which a layer (diffusivity a, thickness d) covers the half space under it, for a contact of t_c:
 * w = 1 - (1 - r) sum r^(n-1) exp(-n^2 d^2/(a t_c)), r = (e_s - e_c)/(e_s + e_c). 0 for no layer, 1 for a thick one;
 * the closed form below written so that it also holds where layer and half space have equal effusivity. */
double cq_layer_cover(double r, double thickness_m, double diffusivity, double contact_s);

/* Effusivity felt at the surface of a layer (e_c) on a half space (e_s) after the contact: e_s + w (e_c - e_s), which
 * is e_c [1 + 2 sum r^n exp(-n^2 d^2/(a t_c))]. Source: [carslaw1959] 12.8, images. */
double cq_layered_effusivity(double e_layer, double diffusivity, double thickness_m, double e_half_space,
                             double contact_s);

#endif
