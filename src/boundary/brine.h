/* brine.h - what common salt (NaCl) changes in water: wetting, peak flux, freezing and boiling points. Salt is a mass
 * fraction, 0 to 0.2 and held outside; 0 is plain water exactly. */
#ifndef CQ_BOUNDARY_BRINE_H
#define CQ_BOUNDARY_BRINE_H

/* Added to the rewetting temperature, K: 150 K per per cent, so that no film forms at any hardening heat from 5 % on.
 * Source: [zordao2019] that salts suppress the film and keep the flux high; the slope is an estimate. */
double cq_brine_rewetting_shift_K(double salt);

/* Factor on the peak flux: 2.24 at 14 % (13 against 5.8 MW/m2), straight to it and held above. Source: [kobasko2010],
 * from memory. */
double cq_brine_peak_factor(double salt);

/* Freezing and boiling points at 1 atm, K. Source: handbook tables of aqueous solutions, from memory; 0.5 K. */
double cq_brine_freezing_K(double salt);
double cq_brine_boiling_K(double salt);

#endif
