/* heat.h - transient heat conduction on a grid of quadrilaterals, in energy form.
 *
 * Solves, per unit length of blade,
 *     d/dt integral(H) = sum of fluxes through the faces,      flux = -k grad T,                                  (1)
 * with the enthalpy H and the conductivity k supplied per cell, and at every outer face q(Ts) = what a flux law gives
 * for the face's own temperature Ts. It knows arrays, not steel: see cq_heat_client.
 *
 * Space: finite volumes on the body-fitted grid, second order, with the tangential (cross) part of each face's flux.
 * Time: variable-step BDF2, linearised about the extrapolated temperature and factorised into one solve across and one
 * along (each a set of tridiagonal lines). The nonlinear outer faces are closed exactly inside each line.
 *
 * Layout: arrays are padded; cell (i, j) of the grid is element cq_heat_at(heat, i, j). Outer faces are the ends of the
 * lines: end 2i / 2i+1 is the low / high end of row i, end 2(along+j) / +1 the low / high end of column j.
 */
#ifndef CQ_CONDUCTION_HEAT_H
#define CQ_CONDUCTION_HEAT_H

#include "conduction/lines.h"

#include <clayquench/section.h>
#include <clayquench/status.h>
#include <math.h>
#include <stdbool.h>

typedef struct cq_heat_client {
    void *context;
    /* For a step of dt_s ending near T_predicted: write the conductivity k (W/m/K), the heat capacity c = dH/dT and the
     * enthalpy H (J/m3) at T_predicted of every existing cell. T_now is the temperature at the step's start. */
    void (*fill)(void *context, const double *T_now, const double *T_predicted, double dt_s, double *k, double *c,
                 double *H);
    /* The solve gave T and conserves H_linear = H + c (T - T_predicted). Correct T so that the true enthalpy equals
     * H_linear as far as one Newton step goes, and write the true enthalpy at the corrected T. */
    void (*settle)(void *context, double *T, const double *H_linear, const double *c, double *H);
    /* Flux leaving outer face `end` at Ts, W/m2, and its slope. */
    double (*flux)(const void *context, int end, double Ts_K, double *slope);
} cq_heat_client;

/* One end of a line of cells. */
typedef struct cq_heat_end {
    int cell;         /* element of the end cell; -1: the line is empty */
    bool exposed;     /* false: no heat passes */
    double shape;     /* A/d of the end cell's half, times k gives its conductance */
    double area_m;    /* face length (per unit length of blade) */
    double film_mK_W; /* resistance between cell face and outer surface, over the area: R/A */
    double skew;      /* tangential offset of the cell centre, with the sign of an outward flux */
    int vertex_low, vertex_high;
} cq_heat_end;

typedef struct cq_heat {
    const cq_grid *grid;
    int stride, rows; /* padded shape */
    size_t size;      /* elements of a padded array */
    double *block;    /* all arrays of doubles below lie in it */
    int ends_n;
    cq_heat_end *ends;
    double *film_heat; /* J/m/K of thin coats and scale lumped into the end cells, per element */
    /* state */
    double time_s, last_dt_s;
    bool restart;                    /* next step is the first after a jump of the surroundings */
    double *T, *T_old, *H, *H_old;   /* accepted, and the one before */
    double *T_new, *H_new;           /* result of the trial step */
    double *surface_K, *outflow_W_m; /* ends_n: accepted */
    double *surface_new_K, *outflow_new_W_m;
    double split_tolerance; /* largest share by which drawn and final outflow may differ; default 1e-3 */
    double split_apart; /* that share in the last tried step: above the tolerance, the next step should be shorter */
    size_t sweeps;
    double heat_out_J_m;        /* time integral of the outflow over all ends, trapezoid over accepted steps */
    size_t closures_failed;     /* ends whose root was not found to tolerance in accepted steps; must stay 0 */
    size_t closures_failed_new; /* in the last tried step */
    /* work */
    double *T_star, *T_base, *T_cross, *clay, *k, *c, *H_star, *H_linear, *volume, *exists;
    double *across_low, *across_high, *across_skew, *along_low, *along_high, *along_skew;
    double *vertex_weight[4];
    double *across_g, *along_g, *face_T, *vertex_T, *flux_along[2], *rhs, *capacity, *delta;
    cq_line_cell *lines;                   /* of the longest line */
    double *row_flux;                      /* across fluxes of one row */
    double *drawn_W_m;                     /* outflow of each end as the last solve drew it */
    bool *held;                            /* ends whose outflow is given, not solved for, in the present sweep */
    double *end_star_W_m, *end_slope_W_mK; /* along-end outflow at T_star and its slope */
    size_t gaps_n;
    struct cq_heat_gap {
        size_t face;
        bool along;
        double area_m;
    } * gaps;             /* between clay and steel */
    double contact_m2K_W; /* of every gap; may be changed between steps */
} cq_heat;

static inline int cq_heat_ends(const cq_grid *grid) {
    return 2 * (grid->along + grid->across);
}
static inline int cq_heat_at(const cq_heat *heat, int i, int j) {
    return (i + 2) * heat->stride + j;
}

/* film_heat_J_m2K: cq_heat_ends of them, heat capacity of coats without cells per area; NULL = none. Their resistance
 * changes with the bath and is set in the ends themselves. */
cq_status cq_heat_create(cq_heat **heat, const cq_grid *grid, const double *film_heat_J_m2K, cq_error *error);
void cq_heat_free(cq_heat *heat);

/* Set every cell to the temperatures in T (padded layout) and the enthalpy H there. */
void cq_heat_begin(cq_heat *heat, const double *T, const double *H);

/* The surroundings changed: forget the history, find every outer face's temperature under the new law. */
void cq_heat_resume(cq_heat *heat, const cq_heat_client *client);

/* Try a step of dt_s; results in T_new, H_new, surface_new_K, outflow_new_W_m. Returns the largest |T_new - T_star|
 * over steel cells in K: the step's error measure (NaN if the step broke). */
double cq_heat_try(cq_heat *heat, const cq_heat_client *client, double dt_s);

/* How far the last tried step of dt_s is from closing, J/m: heat stored less, minus the outflow's trapezoid. Falls with
 * dt_s cubed where the outflow is smooth. */
double cq_heat_open(const cq_heat *heat, double dt_s);

/* Take the last tried step. */
void cq_heat_accept(cq_heat *heat, double dt_s);

/* Sum of H*V over all cells plus the heat of the films, J/m, for H in padded layout and T for the films. */
double cq_heat_content(const cq_heat *heat, const double *H, const double *T);

/* Sum of outflow over all ends now, W/m. */
double cq_heat_outflow(const cq_heat *heat);

#endif
