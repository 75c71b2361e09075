/* shape.h - what the files of this floor share: a quantity over the height, the gradings, the measuring of a grid. */
#ifndef CQ_SECTION_SHAPE_H
#define CQ_SECTION_SHAPE_H

#include <clayquench/section.h>

/* A quantity over a distance, straight between points; x never falls (equal x: a step). `v` lies in the block of `x`.
 */
typedef struct cq_polyline {
    size_t n;
    double *x, *v;
} cq_polyline;

cq_status cq_polyline_create(cq_polyline *line, size_t capacity);
void cq_polyline_free(cq_polyline *line);
void cq_polyline_push(cq_polyline *line, double x, double v); /* within the capacity */
/* Value at x; `outside` before the first and after the last point; at a step the mean. */
double cq_polyline_eval(const cq_polyline *line, double x, double outside);
/* All x of a and b in rising order into x[a->n + b->n], nearer ones than `reach` once; returns how many. */
size_t cq_polyline_merge_x(double *x, const cq_polyline *a, const cq_polyline *b, double reach);

/* Distance of one face from y = 0 over the height, groove and all (outline.c). The blade has passed cq_blade_check. */
cq_status cq_outline_create(cq_polyline *outline, const cq_blade *blade, int side);

/* What the smith stated makes sense by itself (blade.c): CQ_ERR_GEOMETRY with one complaint otherwise. */
cq_status cq_blade_check(const cq_blade *blade, cq_error *error);
/* The two faces leave steel between them and lean no more than the grid can bear; same statuses. */
cq_status cq_blade_check_outlines(const cq_blade *blade, const cq_polyline outline[CQ_SIDES], cq_error *error);
static inline bool cq_family_is_flat_ended(cq_family family) { /* has a height, an edge and a spine */
    return family != CQ_FAMILY_PLATE && family != CQ_FAMILY_ROUND;
}

/* Outer points of a flank whose feet and laid thicknesses (coat_m) are set (offset.c). */
void cq_flank_offset(cq_flank *flank);
/* True if some piece of the outer face is shorter than CQ_LEAST_OUTER of its foot or runs back. */
bool cq_flank_converges(const cq_flank *flank);
/* Fill those places; sets fill_m, coat_m and outer points there. False if clay cannot fill them. */
bool cq_flank_fill(cq_flank *flank);

/* Dry thickness over the height on one side, steps sloped to CQ_CLAY_SLOPE and counted in *sloped (coat.c). `coat` may
 * be NULL or empty: no points. Its points must rise and lie on the outline. */
cq_status cq_coat_create(cq_polyline *thickness, const cq_coat *coat, int side, const cq_polyline *outline,
                         int *sloped);

/* Gradings (grading.c). Fractions run from 0 to 1 over n cells, n+1 values. */
double cq_grading_steel(double u);                /* u in 0..1 from mid-plane to face */
double cq_grading_clay(double u, int base_cells); /* u in 0..1 from steel to outer face */
/* Heights of along*refine + 1 row interfaces (rows.c); along 2 or more. */
cq_status cq_grading_rows(double *x, const cq_section *section, int along, int refine);

/* Centres, areas and shape factors of a grid whose nodes and kinds are set (metrics.c). */
void cq_grid_measure(cq_grid *grid);

#endif
