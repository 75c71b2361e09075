/* boiling.c - see boiling.h. */
#include "boundary/boiling.h"

#include <math.h>

static const double SMALLEST_IMAGE = 1e-17; /* of a sum of order 1 */
enum { MOST_IMAGES = 20000 };               /* reached only where r exceeds 0.998: a metal under an aerogel */

cq_boiling_liquid cq_boiling_water(void) {
    return (cq_boiling_liquid){.prandtl = CQ_WATER_PR_L,
                               .viscosity_Pa_s = CQ_WATER_MU_L,
                               .latent_heat_J_kg = CQ_WATER_H_FG,
                               .density_kg_m3 = CQ_WATER_RHO_L,
                               .vapour_density_kg_m3 = CQ_WATER_RHO_V,
                               .surface_tension_N_m = CQ_WATER_SIGMA,
                               .heat_capacity_J_kgK = CQ_WATER_CP_L};
}

double cq_boiling_rohsenow(const cq_boiling_liquid *l, double superheat_K, double C_sf) {
    const double per_length = sqrt(CQ_GRAVITY * (l->density_kg_m3 - l->vapour_density_kg_m3) / l->surface_tension_N_m);
    const double group = l->heat_capacity_J_kgK * superheat_K / (C_sf * l->latent_heat_J_kg * l->prandtl);
    return l->viscosity_Pa_s * l->latent_heat_J_kg * per_length * group * group * group;
}

double cq_boiling_peak_saturated(double coefficient) {
    return coefficient * CQ_WATER_H_FG * sqrt(CQ_WATER_RHO_V) *
           pow(CQ_WATER_SIGMA * CQ_GRAVITY * (CQ_WATER_RHO_L - CQ_WATER_RHO_V), 0.25);
}

double cq_boiling_peak_subcooling(double bath_C) {
    const double subcooling = fmax(0.0, CQ_WATER_SATURATION_C - bath_C);
    return 1.0 + 0.1 * pow(CQ_WATER_RHO_L / CQ_WATER_RHO_V, 0.75) * CQ_WATER_CP_L * subcooling / CQ_WATER_H_FG;
}

double cq_boiling_rewetting_metal_C(double bath_C) {
    return 201.0 + 8.0 * fmax(0.0, CQ_WATER_SATURATION_C - bath_C);
}

double cq_boiling_rewetting_henry_C(double bath_C, double effusivity, double wall_cp_J_kgK) {
    const double above_saturation = 75.1,
                 T_B = CQ_WATER_SATURATION_C + above_saturation; /* [berenson1961], film properties */
    const double group = cq_water_effusivity(bath_C) / effusivity * CQ_WATER_H_FG / (wall_cp_J_kgK * above_saturation);
    return T_B + 0.42 * (T_B - bath_C) * pow(group, 0.6);
}

double cq_contact_temperature(double e_wall, double T_wall, double e_liquid, double T_liquid) {
    return (e_wall * T_wall + e_liquid * T_liquid) / (e_wall + e_liquid);
}

double cq_water_superheat_limit_C(void) {
    const double critical_K = 647.1, reduced = (CQ_WATER_SATURATION_C + 273.15) / critical_K;
    return critical_K * (0.905 + 0.095 * pow(reduced, 8.0)) - 273.15;
}

double cq_boiling_film_flat(double wall_C) {
    const double superheat = fmax(wall_C - CQ_WATER_SATURATION_C, 1.0);
    const cq_fluid v = cq_fluid_steam(0.5 * (wall_C + CQ_WATER_SATURATION_C) + 273.15);
    const double k = v.conductivity_W_mK, rho = v.density_kg_m3;
    const double lift = CQ_GRAVITY * (CQ_WATER_RHO_L - rho), laplace = sqrt(CQ_WATER_SIGMA / lift);
    const double h_fg = CQ_WATER_H_FG + 0.5 * v.heat_capacity_J_kgK * superheat;
    return 0.425 * pow(k * k * k * rho * lift * h_fg / (v.viscosity_Pa_s * superheat * laplace), 0.25);
}

double cq_boiling_film_cylinder(const cq_fluid *v, double diameter_m, double superheat_K) {
    const double sensible = 0.8; /* share of the vapour's superheat, [incropera2007] 10.9, from memory */
    const double k = v->conductivity_W_mK, lift = CQ_GRAVITY * (CQ_WATER_RHO_L - v->density_kg_m3);
    const double h_fg = CQ_WATER_H_FG + sensible * v->heat_capacity_J_kgK * superheat_K;
    return 0.62 *
           pow(k * k * k * v->density_kg_m3 * lift * h_fg / (v->viscosity_Pa_s * diameter_m * superheat_K), 0.25);
}

double cq_layer_cover(double r, double thickness_m, double diffusivity, double contact_s) {
    /* w = 1 - (1 - r) sum r^(n-1) E^(n^2), E = exp(-d^2/(a t_c)); E^(n^2) grows from its forerunner by E^(2n-1) */
    const double E = exp(-thickness_m * thickness_m / (diffusivity * contact_s)), E2 = E * E;
    double sum = 0.0, power = 1.0, square = E, odd = E;
    for (int n = 1; n < MOST_IMAGES; n++) {
        const double term = power * square;
        sum += term;
        if (fabs(term) < SMALLEST_IMAGE) {
            break;
        }
        power *= r;
        odd *= E2;
        square *= odd;
    }
    return 1.0 - (1.0 - r) * sum;
}

double cq_layered_effusivity(double e_layer, double diffusivity, double thickness_m, double e_half_space,
                             double contact_s) {
    if (!(thickness_m > 0.0)) {
        return e_half_space;
    }
    const double r = (e_half_space - e_layer) / (e_half_space + e_layer);
    return e_half_space + cq_layer_cover(r, thickness_m, diffusivity, contact_s) * (e_layer - e_half_space);
}
