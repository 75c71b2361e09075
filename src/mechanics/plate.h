/* plate.h - the inner loops of the beam: stress of cells in plane stress, and what a row of them adds to the balance.
 *
 * Arrays of n cells, n a multiple of CQ_LANES. z is along the blade, x along the height. A and B are the stiffness of
 * sum and difference of both strains, off the strains without stress. What is written: stresses z and x, the plastic
 * multiplier, and the derivatives zz, xx and zx of the stresses by the strains.
 */
#ifndef CQ_MECHANICS_PLATE_H
#define CQ_MECHANICS_PLATE_H

#include <stdbool.h>
#include <stddef.h>

/* As if none yielded; true if one does. */
bool cq_plate_stretch(size_t n, const double *restrict z_strain, const double *restrict x_strain,
                      const double *restrict A, const double *restrict B, const double *restrict z_off,
                      const double *restrict x_off, const double *restrict yield, double *restrict z,
                      double *restrict x, double *restrict multiplier, double *restrict zz, double *restrict xx,
                      double *restrict zx);

/* With yield and linear hardening. */
void cq_plate_yield(size_t n, const double *restrict z_strain, const double *restrict x_strain,
                    const double *restrict A, const double *restrict B, const double *restrict z_off,
                    const double *restrict x_off, const double *restrict yield, const double *restrict hardening,
                    double *restrict z, double *restrict x, double *restrict multiplier, double *restrict zz,
                    double *restrict xx, double *restrict zx);

/* Sums over a row, weighted by area, h and w being the places xi and eta: z, zh, zw, x, xw; zz, zzh, zzw, zzhh, zzhw,
 * zzww; zx, zxh, zxw and the same times w; xx, xxw, xxww. The half ones leave those with w alone. */
enum { CQ_PLATE_SUMS = 20 };
void cq_plate_sums(size_t n, const double *restrict xi, const double *restrict eta, const double *restrict area,
                   const double *restrict z, const double *restrict x, const double *restrict zz,
                   const double *restrict xx, const double *restrict zx, double sums[CQ_PLATE_SUMS]);
void cq_plate_half_sums(size_t n, const double *restrict xi, const double *restrict area, const double *restrict z,
                        const double *restrict x, const double *restrict zz, const double *restrict xx,
                        const double *restrict zx, double sums[CQ_PLATE_SUMS]);

#endif
