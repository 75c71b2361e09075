/* boiling.c - see boiling.h. */
#include "boundary/boiling.h"

#include <math.h>
#include <stddef.h>

double cq_boiling_rohsenow(double superheat_K, double C_sf, double Pr, double mu, double h_fg, double rho_l, double rho_v,
                           double sigma, double cp) {
    const double length = sqrt(CQ_GRAVITY * (rho_l - rho_v) / sigma);
    return mu * h_fg * length * pow(cp * superheat_K / (C_sf * h_fg * Pr), 3.0);
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

double cq_water_effusivity(double bath_C) {
    /* k W/m/K, rho kg/m3, c J/kg/K of liquid water. Source: [kobasko2010] table 7 (0 degC: [incropera2007]). */
    static const double table[][4] = {{0, 0.561, 999.8, 4217},   {20, 0.597, 998.2, 4183}, {40, 0.627, 992.2, 4174},
                                      {60, 0.650, 983.1, 4179},  {80, 0.669, 971.8, 4195}, {100, 0.680, 958.4, 4220}};
    const double T = fmin(fmax(bath_C, 0.0), 100.0);
    const int i = T >= 80.0 ? 4 : (int)(T / 20.0);
    const double u = (T - table[i][0]) / 20.0;
    const double k = table[i][1] + u * (table[i + 1][1] - table[i][1]);
    const double rho = table[i][2] + u * (table[i + 1][2] - table[i][2]);
    const double c = table[i][3] + u * (table[i + 1][3] - table[i][3]);
    return sqrt(k * rho * c);
}

double cq_boiling_rewetting_henry_C(double bath_C, double effusivity, double wall_cp_J_kgK) {
    const double above_saturation = 75.1, T_B = CQ_WATER_SATURATION_C + above_saturation; /* [berenson1961], film properties */
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

/* Steam at 1 atm: rho kg/m3, cp J/kg/K, mu Pa s, k W/m/K. Source: [incropera2007] table A.4, from memory. */
static void steam_at(double T_K, double *rho, double *cp, double *mu, double *k) {
    static const double table[][5] = {{380, 0.5863, 2060, 127.1e-7, 24.6e-3}, {400, 0.5542, 2014, 134.4e-7, 26.1e-3},
                                      {500, 0.4405, 1985, 170.4e-7, 33.9e-3}, {600, 0.3652, 2026, 206.7e-7, 42.2e-3},
                                      {700, 0.3140, 2085, 242.6e-7, 50.5e-3}, {800, 0.2739, 2152, 278.6e-7, 59.2e-3}};
    const size_t last = sizeof table / sizeof table[0] - 2;
    size_t i = 0;
    while (i < last && T_K > table[i + 1][0]) {
        i++;
    }
    const double u = (T_K - table[i][0]) / (table[i + 1][0] - table[i][0]); /* straight on past 800 K */
    double *out[] = {rho, cp, mu, k};
    for (size_t n = 0; n < 4; n++) {
        *out[n] = table[i][n + 1] + u * (table[i + 1][n + 1] - table[i][n + 1]);
    }
}

double cq_boiling_film_flat(double wall_C) {
    const double superheat = fmax(wall_C - CQ_WATER_SATURATION_C, 1.0);
    double rho, cp, mu, k;
    steam_at(0.5 * (wall_C + CQ_WATER_SATURATION_C) + 273.15, &rho, &cp, &mu, &k);
    const double lift = CQ_GRAVITY * (CQ_WATER_RHO_L - rho), laplace = sqrt(CQ_WATER_SIGMA / lift);
    const double h_fg = CQ_WATER_H_FG + 0.5 * cp * superheat;
    return 0.425 * pow(k * k * k * rho * lift * h_fg / (mu * superheat * laplace), 0.25);
}

double cq_boiling_film_cylinder(double diameter_m, double superheat_K, double k_v, double rho_v, double mu_v, double cp_v,
                                double rho_l, double h_fg, double sensible_share) {
    const double h_prime = h_fg + sensible_share * cp_v * superheat_K;
    return 0.62 * pow(k_v * k_v * k_v * rho_v * (rho_l - rho_v) * CQ_GRAVITY * h_prime / (mu_v * diameter_m * superheat_K), 0.25);
}

double cq_layered_effusivity(double e_layer, double diffusivity, double thickness_m, double e_half_space, double contact_s) {
    const double r = (e_half_space - e_layer) / (e_half_space + e_layer);
    const double decay = thickness_m * thickness_m / (diffusivity * contact_s);
    double sum = 0.0, power = 1.0;
    for (int n = 1; n < 2000; n++) {
        power *= r;
        const double term = power * exp(-(double)n * n * decay);
        sum += term;
        if (fabs(term) < 1e-12) {
            break;
        }
    }
    return e_layer * (1.0 + 2.0 * sum);
}
