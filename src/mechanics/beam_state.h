/* beam_state.h - the slice between its rooms: what a cell is (beam_cells.c), how the slice finds its balance
 * (beam_balance.c), and what others see of it (beam.c).
 */
#ifndef CQ_MECHANICS_BEAM_STATE_H
#define CQ_MECHANICS_BEAM_STATE_H

#include "mechanics/beam.h"

#define CQ_BEAM_POISSON 0.3 /* of every phase at every temperature; from memory */
enum {
    CQ_BEAM_UNKNOWNS = 3,
    CQ_BEAM_ROW_UNKNOWNS = 2
}; /* mean, along the height, across; of a row: stretch, bend across */

/* A row's part in the balance: what is left over in it and how it answers the unknowns of the whole. */
typedef struct cq_beam_row {
    double r[CQ_BEAM_ROW_UNKNOWNS];                        /* force and moment along the height */
    double own[CQ_BEAM_ROW_UNKNOWNS];                      /* K^-1 r */
    double shared[CQ_BEAM_ROW_UNKNOWNS][CQ_BEAM_UNKNOWNS]; /* K^-1 K' */
} cq_beam_row;

struct cq_beam {
    size_t n, rows, across, pitch, room; /* cells; rows are padded to whole vectors: room = rows x pitch */
    bool half;
    double x0_m, y0_m, half_height_m, half_width_m; /* middle of area, and what scales the curvatures */
    cq_strength strength;
    double *xi, *eta, *area; /* places from the middle over the half sizes; m2, 0 in the padding */
    /* as of the last step; z along the blade, x along the height */
    double *T, *f[CQ_PHASES], *z_stress, *x_stress;
    double *start, *grown, *first;           /* free strain and austenite at the start; growth since by other causes */
    double *soft_growth, *martensite_growth; /* on forming at 20 degC */
    double *z_plastic, *x_plastic, *z_turned, *x_turned, *remembered[CQ_STRONGS]; /* strains */
    /* of the step being tried */
    double *A, *B;         /* stiffness of the sum and of the difference of both strains, (3) in it */
    double *z_off, *x_off; /* strains without stress */
    double *yield, *hardening, *half_soft, *free_strain, *keeps;
    double *z_strain, *x_strain, *z_new, *x_new, *multiplier; /* strains tried and what they give: see respond */
    double *zz, *xx, *zx;                                     /* derivatives of stresses by strains */
    double u[CQ_BEAM_UNKNOWNS];        /* strain at the middle, and at xi = 1 and eta = 1 on top of it */
    double (*v)[CQ_BEAM_ROW_UNKNOWNS]; /* stretch of each row along the height, and at eta = 1 on top of it */
    double (*dv)[CQ_BEAM_ROW_UNKNOWNS];
    cq_beam_row *row;
    double moved_u[CQ_BEAM_UNKNOWNS],
        (*moved_v)[CQ_BEAM_ROW_UNKNOWNS]; /* of both, by the last step: where the next one begins */
    double residual;
    size_t looks; /* at all cells since the beginning */
    double *packed_stress;
    double *block;
};

/* Rows are padded to whole vectors. */
static inline size_t cq_beam_padded(const cq_beam *b, size_t packed) {
    return packed / b->across * b->pitch + packed % b->across;
}

/* beam_cells.c. Structure of cell c; without pointers all of it is austenite. */
void cq_beam_structure(double *const fraction[CQ_PHASES], size_t c, double f[CQ_PHASES]);
cq_strength_node cq_beam_strength(const cq_strength *strength, double T_K);
void cq_beam_strong(const double f[CQ_PHASES], double strong[CQ_STRONGS]);
/* (2) of beam.h, without the start's value; c padded. */
double cq_beam_free_strain(const cq_beam *b, size_t c, const cq_strength_node *at, const double strong[CQ_STRONGS]);
/* What the step to T and f makes of cell c (padded) before its strain is known; moves the cell's structure on. */
void cq_beam_prepare(cq_beam *b, size_t c, double T_K, const double f[CQ_PHASES]);

/* beam_balance.c. Find the balance of the prepared cells and take it; CQ_NOTICED where it was not found. */
cq_status cq_beam_balance(cq_beam *b);

#endif
