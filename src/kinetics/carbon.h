/* carbon.h - carbon moving through austenite: diffusivity, solidus, one line of cells, a skin in closed form.
 *
 * Order of calls: cq_carbon_line_create, fill width_m and carbon_wt, then cq_carbon_soak for every heat (or
 * cq_carbon_step for single steps), cq_carbon_line_free. Carbon in weight per cent of the steel, whose density is taken
 * as one: 1 wt % m of the books is a metre of steel at 1 %. Other elements stand still and do not act on carbon
 * here (silicon and manganese move its balance by some tenths of a per cent; they are left out).
 *
 * A field in two dimensions can be made of lines: with step dt, all rows dt/2, all columns dt, all rows dt/2 is of
 * order 2 and conserves, because every line does; on cells of one size per line no more is needed. One line object
 * serves all rows of one length: copy widths and carbon in, step, copy out. Grids whose lines lean or whose faces
 * change in size along a line need face areas and cross terms, which this file has not.
 */
#ifndef CQ_KINETICS_CARBON_H
#define CQ_KINETICS_CARBON_H

#include <clayquench/status.h>
#include <stddef.h>

/* Where the laws below hold. */
#define CQ_CARBON_COLDEST_K 1000.0 /* no austenite below 727 degC */
#define CQ_CARBON_MOST_WT 2.0

/* Diffusivity of carbon in austenite, m2/s, at temp_K (1000 K to the solidus) and carbon_wt (0 to 2). Rises with both.
 * Source: [agren1986]. */
double cq_carbon_diffusivity(double temp_K, double carbon_wt);

/* Temperature at which iron with this much carbon (0 to 2.11 wt %) begins to melt, K: straight between the corners of
 * the iron-carbon diagram, good to about 20 K; other elements lower it. Falls with carbon. Source: [asm-handbook3]. */
double cq_carbon_solidus_K(double carbon_wt);

typedef enum cq_carbon_end {
    CQ_CARBON_CLOSED, /* no carbon passes: a plane of symmetry, or a face that scale and flux protect */
    CQ_CARBON_HELD    /* the face is held at end_wt */
} cq_carbon_end;

/* n cells in a row. The caller fills width_m (all above 0) and carbon_wt (0 to 2), n each, and the ends (first, last).
 * gained_wt_m: what came in through the held ends, wt % m; negative: lost. So
 * sum(width*carbon) - gained stays what it was, to rounding, unless the line is thinned: then both shrink alike. */
typedef struct cq_carbon_line {
    size_t n;
    double *width_m, *carbon_wt;
    cq_carbon_end end[2];
    double end_wt[2];
    double gained_wt_m;
    double *work; /* of the steps */
} cq_carbon_line;

/* n from 2 on; all zero, ends closed. CQ_ERR_MEMORY, CQ_ERR_ARGUMENT. */
cq_status cq_carbon_line_create(cq_carbon_line *line, size_t n);
void cq_carbon_line_free(cq_carbon_line *line);

/* One step of dt_s at temp_K: finite volumes, two implicit stages [alexander1977], order 2 in time and space. Carbon is
 * conserved to rounding (checked to 1e-10). Takes no memory. CQ_ERR_ARGUMENT: out of range, line untouched;
 * CQ_ERR_STEP: the diffusivity did not settle, line untouched. Steps that are long beside a jump of carbon can
 * overshoot it; those of cq_carbon_soak do not. */
cq_status cq_carbon_step(cq_carbon_line *line, double temp_K, double dt_s);

/* One heat. `thinning` acts before it: forging makes every width so many times what it was (above 0, 1: none); carbon
 * stays. */
typedef struct cq_carbon_heat {
    double temp_K, time_s, thinning;
} cq_carbon_heat;

/* Short steps first, then longer ones, so that jumps are followed from their start. Statuses as cq_carbon_step; on
 * failure the line holds what was reached. */
cq_status cq_carbon_soak(cq_carbon_line *line, const cq_carbon_heat *heat);

/* Two thick pieces of these carbons, welded and heated: the width from nine tenths of the step to one tenth, as
 * drawn out in the last heat. Heats: their number and, each, thinning before it. CQ_ERR_MEMORY; statuses as
 * cq_carbon_soak. */
typedef struct cq_carbon_weld {
    double high_wt, low_wt; /* high above low */
    size_t heats_n;         /* 1 or more */
    const cq_carbon_heat *heats;
} cq_carbon_weld;
cq_status cq_carbon_weld_spread(const cq_carbon_weld *weld, double *spread_m);

/* Sum of width times carbon, wt % m; least and largest carbon. */
double cq_carbon_total(const cq_carbon_line *line);
void cq_carbon_range(const cq_carbon_line *line, double *least_wt, double *most_wt);

/* A thick body whose face is held at face_wt: carbon at a depth after time_s, with one diffusivity (that at the mean of
 * face and core): face + (core - face) erf(depth / 2 sqrt(D t)). Source: [crank1975]. */
typedef struct cq_carbon_skin {
    double core_wt, face_wt, temp_K, time_s;
} cq_carbon_skin;
double cq_carbon_skin_wt(const cq_carbon_skin *skin, double depth_m);
/* Depth at which `share` of the difference between core and face is made up (0 to 1, both left out): 0.9 is where nine
 * tenths of it are there again. So much must be ground off to get there. */
double cq_carbon_skin_depth_m(const cq_carbon_skin *skin, double share);

#endif
