/* fluids.h - properties of water, steam and air at 1 atm, and what they carry away without boiling.
 *
 * Temperatures in degC where the table is printed so. A bath is always inside the water table; steam and air beside
 * walls above 950 degC follow the last trend of theirs.
 */
#ifndef CQ_BOUNDARY_FLUIDS_H
#define CQ_BOUNDARY_FLUIDS_H

/* A fluid at one temperature. */
typedef struct cq_fluid {
    double conductivity_W_mK, density_kg_m3, heat_capacity_J_kgK, viscosity_Pa_s;
} cq_fluid;

/* Liquid water, 0..100 degC; held outside. Source: [kobasko2010] table 7; 0 degC [incropera2007] A.6, from memory. */
cq_fluid cq_fluid_water(double temp_C);
/* Steam at 1 atm, 380..800 K, by powers of T between and beyond. Source: [incropera2007] A.4, from memory. */
cq_fluid cq_fluid_steam(double temp_K);
/* Dry air at 1 atm, 250..1300 K. Sutherland's forms, within 2.5 % of [incropera2007] A.4 (from memory); Pr is taken as
 * 0.70. */
cq_fluid cq_fluid_air(double temp_K);

/* Effusivity sqrt(k rho c) of liquid water, J/m2/K/s^0.5. */
double cq_water_effusivity(double bath_C);

/* Mean coefficient, W/m2/K, of a stream of speed_m_s along a plate of length_m; the fluid at the mean of wall and
 * stream. Laminar to Re 5e5, mixed above. Source: [incropera2007] (7.30), (7.38), from memory. */
double cq_convection_forced(const cq_fluid *fluid, double speed_m_s, double length_m);
/* Mean coefficient, W/m2/K, of a gas at film temperature film_K rising along a vertical plate of any
 * height. Source: [incropera2007] (9.26), from memory. */
double cq_convection_rising_gas(const cq_fluid *fluid, double film_K, double difference_K, double height_m);
/* Still and stream together where the stream crosses the rise: (a^4 + b^4)^(1/4). Source: [incropera2007] (9.64), from
 * memory. */
double cq_convection_together(double still_W_m2K, double stream_W_m2K);

#endif
