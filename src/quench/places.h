/* places.h - the answer's rooms between them: final fields read between cells (places.c), where the line is (line.c),
 * what tempers and sharpening leave of the hardness (temper_answer.c).
 */
#ifndef CQ_QUENCH_PLACES_H
#define CQ_QUENCH_PLACES_H

#include "quench/run.h"

#include "hardness/hardness.h"

#define CQ_HARD 0.5     /* martensite at the line */
#define CQ_INSET_M 1e-3 /* edge and spine are read so far inside */

static inline double cq_clamped(double v, double low, double high) {
    return v < low ? low : (v > high ? high : v);
}

/* Martensite in the end, packed. */
const double *cq_run_martensite(const cq_run *run);
/* Hardness of a packed cell as quenched; after its own tempering was told. */
double cq_run_cell_HV(const cq_run *run, size_t cell);
/* What every cell's martensite lost to its own tempering. */
void cq_run_soften(cq_run *run);

/* A packed field at depth below one face of a row: straight between cell centres, carried on to the face itself. */
double cq_run_below_face(const cq_run *run, const double *field, int row, int side, double depth_m);
double cq_run_on_mid_plane(const cq_run *run, const double *field, int row);
double cq_run_height_of_row(const cq_run *run, int row);

/* One steel at a place: its structure, and what it takes to harden and temper it. */
typedef struct cq_place_part {
    double fraction[CQ_PHASES], hard_HV;
    cq_matrix matrix;
    const cq_steel *steel;
} cq_place_part;

/* A place between cells. Two parts where cells of different soaks meet on the mid-plane: its hardness is their mean. */
typedef struct cq_place {
    cq_spot spot;
    int n;
    cq_place_part part[2];
} cq_place;

cq_place cq_run_place(const cq_run *run, double at_m, int face);
/* The face (CQ_FACE_...) on which the edge is read: that of a hard skin on one side, a plate's own, else the mid-plane.
 */
int cq_run_edge_face(const cq_run *run);
/* Its hardness after the first n tempers of the plan; as quenched for none. */
double cq_run_tempered_HV(const cq_run *run, const cq_place *place, size_t n);
/* What its martensite lost to its own tempering. */
double cq_place_softening_HRC(const cq_place *place);

/* Of heights along the blade. Row that stands for the edge: with a skin, which lies on the edge flat too, where the
 * edge is read. */
size_t cq_edge_row(const cq_result *r);
/* First height where v falls through `level` going up from the edge; NaN if it starts below or never falls. */
double cq_falls_through(const cq_result *r, const double *v, double level);
size_t cq_count_crossings(const cq_result *r, const double *v);
cq_status cq_run_find_line(cq_run *run);

/* Hardness after each of the plan's tempers, along the mid-plane after all of them, and what sharpening leaves. Of a
 * plate spine is NULL. */
cq_status cq_run_answer_tempers(cq_run *run, const cq_place *edge, const cq_place *body, const cq_place *spine);

#endif
