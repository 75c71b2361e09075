/* baths.h - baths and surfaces made by hand, for tests and benches: no profile has a part in them. */
#ifndef TEST_BATHS_H
#define TEST_BATHS_H

#include "boundary/flux.h"

#define KELVIN(celsius) ((celsius) + 273.15)

static inline cq_bath water_bath(void) {
    return (cq_bath){.name = "water",
                     .kind = CQ_BATH_BOILING,
                     .film_factor = 1,
                     .rewetting_factor = 1,
                     .peak_factor = 1,
                     .nucleate_factor = 1,
                     .convection_factor = 1,
                     .transition_exponent = 2,
                     .contact_time_s = 5e-3,
                     .film_convection_W_m2K = 2000,
                     .convection_W_m2K = 1000,
                     .scale_m = 20e-6,
                     .scale_conductivity_W_mK = 3,
                     .scale_heat_capacity_J_m3K = 4.4e6};
}

static inline cq_bath air_bath(void) {
    return (cq_bath){.name = "air", .kind = CQ_BATH_GAS, .convection_factor = 1, .gas_convection_W_m2K = 14};
}

/* A slow oil. */
static inline cq_bath slow_oil_bath(void) {
    return (cq_bath){.name = "oil",
                     .kind = CQ_BATH_OIL,
                     .film_factor = 1,
                     .peak_factor = 1,
                     .nucleate_factor = 1,
                     .convection_factor = 1,
                     .transition_exponent = 2,
                     .convection_W_m2K = 250,
                     .oil_film_W_m2K = 500,
                     .oil_rewetting_K = KELVIN(700),
                     .oil_peak_K = KELVIN(520),
                     .oil_peak_W_m2K = 3000,
                     .oil_boiling_K = KELVIN(260),
                     .oil_viscosity_40_m2_s = 20e-6,
                     .oil_viscosity_100_m2_s = 4.2e-6};
}

/* Hot steel (28 W/m/K, 7700 kg/m3, 620 J/kg/K) under a coat. */
static inline cq_surface coated(double coat_m, double k, double rho, double c) {
    return (cq_surface){.coat_m = coat_m,
                        .coat_conductivity_W_mK = k,
                        .coat_heat_capacity_J_m3K = rho * c,
                        .coat_emissivity = 0.9,
                        .steel_conductivity_W_mK = 28,
                        .steel_heat_capacity_J_m3K = 7700.0 * 620.0,
                        .steel_emissivity = 0.8};
}

static inline cq_surface bare(void) {
    return coated(0.0, 0.0, 0.0, 0.0);
}

static inline cq_surface kaolin(double coat_m) {
    return coated(coat_m, 0.30, 1400, 1100);
}

static inline cq_surface mix(double coat_m) {
    return coated(coat_m, 0.45, 1550, 1100);
}

static inline cq_surface mortar(double coat_m) {
    return coated(coat_m, 0.80, 1850, 1050);
}

#endif
