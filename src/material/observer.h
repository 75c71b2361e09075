/* observer.h - from a spectrum to what the standard eye makes of it: Planck's law, CIE 1931 2-degree observer. */
#ifndef CQ_MATERIAL_OBSERVER_H
#define CQ_MATERIAL_OBSERVER_H

enum { CQ_OBSERVER_N = 95 }; /* wavelengths of the table */

/* Wavelength n of the table, m, 0 <= n < CQ_OBSERVER_N. */
double cq_observer_wavelength(int n);

/* Spectral radiance of a black body, W/m2/sr per m of wavelength; temp_K above 0. Source: [planck1901]. */
double cq_planck_radiance(double wavelength_m, double temp_K);

/* Tristimulus values of a spectral radiance (W/m2/sr per m, at the wavelengths of the table); xyz[1] is the luminance
 * in cd/m2. The sum at 5 nm gives chromaticities of black bodies from 500 K on to 2e-5. Source: [iso11664-1]. */
void cq_observer_xyz(const double radiance[CQ_OBSERVER_N], double xyz[3]);

#endif
