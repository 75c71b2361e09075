/* plane_strain.h - the oracle of the beam: the section as a solid slice in generalised plane strain, by finite
 * elements.
 *
 * Bilinear quadrilaterals with mean dilatation, four points each, on the steel cells of a half grid; free faces;
 * stretch along the blade e0 + k (x - xm). Von Mises' yield with linear hardening, transformation plasticity isotropic
 * in the deviator, both brought back radially; Newton on all displacements and (e0, k) at once, banded and bordered.
 * Shares with the program the numbers of the phases (mechanics/strength.h), and no code of its method.
 */
#ifndef TEST_PLANE_STRAIN_H
#define TEST_PLANE_STRAIN_H

#include "mechanics/strength.h"

#include <clayquench/section.h>

/* One moment: arrays along*across of the whole grid, as frames have them. fraction[0] NULL: nothing turns. */
typedef struct moment {
    const double *temp_K;
    double *const *fraction;
} moment;

/* Carbon in solution, the same everywhere; < 0: nothing grows. */
typedef struct slice {
    const cq_grid *grid; /* half */
    const cq_strength *strength;
    double carbon_wt;
    size_t moments_n;
    const moment *moments;
} slice;

/* Curvature along the height (+: the top is longer) at 20 degC after all moments, 1/m; NaN if it was not found. */
double plane_strain_curvature(const slice *s);

#endif
