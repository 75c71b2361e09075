/* cvode_rival.h - the coated section integrated by SUNDIALS CVODE: BDF, Newton, KLU on the analytic sparse Jacobian. */
#ifndef TEST_BENCH_CVODE_RIVAL_H
#define TEST_BENCH_CVODE_RIVAL_H

#include "section_system.h"

#include <stdbool.h>

typedef struct cvode_cost {
    double cpu_s; /* of the calls that advance time; setting up is not counted */
    long steps, rates, jacobians, factorisations;
} cvode_cost;

/* Everything from start_K to the times at_s, relative tolerance `relative`, absolute the same number in kelvin. temp_K:
 * times_n rows of cells. False if the integrator gave up. */
bool cvode_solve(section_system *s, double start_K, const double *at_s, int times_n, double relative, double *temp_K,
                 cvode_cost *cost);

#endif
