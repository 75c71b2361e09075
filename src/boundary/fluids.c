/* fluids.c - see fluids.h. */
#include "boundary/fluids.h"

#include "boundary/boiling.h"

#include <math.h>
#include <stddef.h>

static double prandtl(const cq_fluid *f) {
    return f->viscosity_Pa_s * f->heat_capacity_J_kgK / f->conductivity_W_mK;
}

static double straight(double a, double b, double u) {
    return a + u * (b - a);
}

static double geometric(double a, double b, double u) {
    return a * pow(b / a, u);
}

cq_fluid cq_fluid_water(double temp_C) {
    /* degC: k W/m/K, rho kg/m3, c J/kg/K, mu Pa s */
    static const double table[][5] = {{0, 0.561, 999.8, 4217, 1792e-6}, {20, 0.597, 998.2, 4183, 1004e-6},
                                      {40, 0.627, 992.2, 4174, 653e-6}, {60, 0.650, 983.1, 4179, 470e-6},
                                      {80, 0.669, 971.8, 4195, 355e-6}, {100, 0.684, 958.4, 4220, 282.5e-6}};
    const double T = fmin(fmax(temp_C, 0.0), 100.0);
    const size_t i = T >= 80.0 ? 4 : (size_t)(T / 20.0);
    const double *a = table[i], *b = table[i + 1], u = (T - a[0]) / 20.0;
    return (cq_fluid){.conductivity_W_mK = straight(a[1], b[1], u),
                      .density_kg_m3 = straight(a[2], b[2], u),
                      .heat_capacity_J_kgK = straight(a[3], b[3], u),
                      .viscosity_Pa_s = geometric(a[4], b[4], u)};
}

cq_fluid cq_fluid_steam(double temp_K) {
    /* K: k W/m/K, rho kg/m3, c J/kg/K, mu Pa s */
    static const double table[][5] = {{380, 24.6e-3, 0.5863, 2060, 127.1e-7}, {400, 26.1e-3, 0.5542, 2014, 134.4e-7},
                                      {500, 33.9e-3, 0.4405, 1985, 170.4e-7}, {600, 42.2e-3, 0.3652, 2026, 206.7e-7},
                                      {700, 50.5e-3, 0.3140, 2085, 242.6e-7}, {800, 59.2e-3, 0.2739, 2152, 278.6e-7}};
    const size_t last = sizeof table / sizeof table[0] - 2;
    size_t i = 0;
    while (i < last && temp_K > table[i + 1][0]) {
        i++;
    }
    /* Powers of T: beyond 800 K density goes on as a gas's (about 1/T) instead of falling through zero. */
    const double *a = table[i], *b = table[i + 1], u = log(temp_K / a[0]) / log(b[0] / a[0]);
    return (cq_fluid){.conductivity_W_mK = geometric(a[1], b[1], u),
                      .density_kg_m3 = geometric(a[2], b[2], u),
                      .heat_capacity_J_kgK = geometric(a[3], b[3], u),
                      .viscosity_Pa_s = geometric(a[4], b[4], u)};
}

cq_fluid cq_fluid_air(double temp_K) {
    const double T = temp_K, k = 2.646e-3 * pow(T, 1.5) / (T + 245.4 * pow(10.0, -12.0 / T)); /* Sutherland, k */
    const double mu = 1.458e-6 * pow(T, 1.5) / (T + 110.4);                                   /* Sutherland, mu */
    return (cq_fluid){.conductivity_W_mK = k,
                      .density_kg_m3 = 101325.0 / (287.05 * T), /* perfect gas */
                      .heat_capacity_J_kgK = 0.70 * k / mu,     /* from Pr 0.70 */
                      .viscosity_Pa_s = mu};
}

double cq_water_effusivity(double bath_C) {
    const cq_fluid w = cq_fluid_water(bath_C);
    return sqrt(w.conductivity_W_mK * w.density_kg_m3 * w.heat_capacity_J_kgK);
}

double cq_convection_forced(const cq_fluid *fluid, double speed_m_s, double length_m) {
    const double Re = speed_m_s * length_m * fluid->density_kg_m3 / fluid->viscosity_Pa_s;
    const double Nu = Re < 5e5 ? 0.664 * sqrt(Re) : 0.037 * pow(Re, 0.8) - 871.0; /* per Pr^(1/3): (7.30), (7.38) */
    return Nu * cbrt(prandtl(fluid)) * fluid->conductivity_W_mK / length_m;
}

double cq_convection_rising_gas(const cq_fluid *fluid, double film_K, double difference_K, double height_m) {
    const double Pr = prandtl(fluid), nu = fluid->viscosity_Pa_s / fluid->density_kg_m3;
    const double Ra = CQ_GRAVITY / film_K * fabs(difference_K) * height_m * height_m * height_m * Pr / (nu * nu);
    const double root = 0.825 + 0.387 * pow(Ra, 1.0 / 6.0) / pow(1.0 + pow(0.492 / Pr, 9.0 / 16.0), 8.0 / 27.0);
    return root * root * fluid->conductivity_W_mK / height_m; /* (9.26) */
}

double cq_convection_together(double still_W_m2K, double stream_W_m2K) {
    const double a = still_W_m2K * still_W_m2K, b = stream_W_m2K * stream_W_m2K;
    return sqrt(sqrt(a * a + b * b));
}
