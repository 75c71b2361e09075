/* inverse_piece.h - what a bead reads while a plate or round gives off heat: the forward run of the inverse. */
#ifndef CQ_STUDY_INVERSE_PIECE_H
#define CQ_STUDY_INVERSE_PIECE_H

#include "conduction/heat.h"
#include "material/thermal.h"

#include <clayquench/inverse.h>

/* Flux that leaves the face, W/m2, straight between nodes: against time, ends held; or against the face's temperature,
 * beyond the nodes with the end's coefficient toward bath_K. */
typedef struct cq_inverse_law {
    bool against_time;
    size_t n;
    const double *x, *y;
    double bath_K;
} cq_inverse_law;

/* Readings in bins: mean time, mean temperature, how many; what a run is compared with. */
typedef struct cq_bins {
    size_t n;
    double *time_s, *temp_K, *readings;
    double begin_s;
} cq_bins;

typedef struct cq_inverse_run {
    cq_section *section;
    cq_grid *grid;
    cq_heat *heat;
    cq_sampled material;
    double *T, *H; /* start, padded */
    int low;       /* the bead's temperature: weight of cell `low`, the rest of its outer neighbour's */
    double weight;
    double lag_s, longest_s;
    const cq_inverse_law *law;
    double now_s; /* end of the step that is tried */
    size_t runs;
} cq_inverse_run;

cq_status cq_inverse_run_create(cq_inverse_run *run, const cq_inverse_piece *piece, cq_error *error);
void cq_inverse_run_clear(cq_inverse_run *run);

/* Flux out of the face at a time or face temperature, W/m2. */
double cq_inverse_law_flux(const cq_inverse_law *law, double time_s, double face_K, double *slope);

/* Run from an even start_K; what the bead reads at the bins' times goes to read_K[n], and unless NULL the face's
 * temperature and flux. CQ_ERR_STEP if it breaks. */
typedef struct cq_inverse_trace {
    double *read_K, *face_K, *flux_W_m2;
} cq_inverse_trace;
cq_status cq_inverse_run_go(cq_inverse_run *run, const cq_inverse_law *law, double start_K, const cq_bins *bins,
                            const cq_inverse_trace *trace);

#endif
