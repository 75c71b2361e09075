/* brine.h - what common salt (NaCl) changes in water: wetting, peak flux, freezing and boiling points. Salt is a mass
 * fraction, 0 to 0.2 and held outside; 0 is plain water exactly. */
#ifndef CQ_BOUNDARY_BRINE_H
#define CQ_BOUNDARY_BRINE_H

/* Added to the rewetting temperature, K: 150 K per per cent, so that no film forms at any hardening heat from 5 % on.
 * Source: [zordao2019] that salts suppress the film and keep the flux high, abstract; the slope is chosen here. */
double cq_brine_rewetting_shift_K(double salt);

/* Factor on the peak flux: 2.24 at 14 % (13 against 5.8 MW/m2 at 20 degC). Source: [kobasko2010], from memory. Straight
 * to it and held above: chosen here. */
double cq_brine_peak_factor(double salt);

/* Freezing and boiling points at 1 atm, K; straight between rows of 5 %. Source: handbook tables of aqueous solutions,
 * from memory; 0.5 K. */
double cq_brine_freezing_K(double salt);
double cq_brine_boiling_K(double salt);

/* Heat capacity per volume, J/m3/K: water's 4.17e6, mean of 20 to 90 degC [incropera2007], from memory; 0.36 % less per
 * per cent: 1071 kg/m3 and 3.75 kJ/kg/K at 10 %, from memory. */
double cq_brine_heat_capacity_J_m3K(double salt);

#endif
