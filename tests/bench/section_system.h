/* section_system.h - the coated section's heat equation in space only, for general-purpose integrators: dT/dt and its
 * analytic Jacobian on the grid, with the fluxes, cross terms, enthalpies and outer-face balances of the heat solver.
 * Plain functions on arrays, so that Python can call them too. */
#ifndef TEST_BENCH_SECTION_SYSTEM_H
#define TEST_BENCH_SECTION_SYSTEM_H

typedef struct section_system section_system;

section_system *section_system_create(int refine); /* NULL: no memory */
void section_system_free(section_system *s);

int section_system_cells(const section_system *s);
int section_system_nonzeros(const section_system *s);
const int *section_system_columns(const section_system *s); /* cells + 1: start of each column in rows and values */
const int *section_system_rows(const section_system *s);    /* nonzeros, rising within a column */
int section_system_is_steel(const section_system *s, int cell);
int section_system_place(const section_system *s, int cell); /* index in the grid's own arrays */

/* The parts of the equations as section_system.c lays them out, for a rate written elsewhere: 0 faces, 1 traces, 2
 * vertices, 3 outers, 4 cell areas. *n gets how many. */
const void *section_system_part(const section_system *s, int part, int *n);

/* Back to the start: every outer face as hot as the cells. */
void section_system_begin(section_system *s);
/* dT/dt, K/s, at T_K. An outer face with several possible temperatures follows the branch of the call before. */
void section_system_rate(section_system *s, const double *T_K, double *rate_K_s);
/* Its derivative, values by columns. The slope of conductivity is left out of cross terms only. */
void section_system_jacobian(section_system *s, const double *T_K, double *values);

#endif
