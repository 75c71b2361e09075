/* distortion.h - the run's beam and crack index, shared by the two rooms that read them: curve and stress
 * (distortion.c), the crack's class and its reason (crack_answer.c).
 */
#ifndef CQ_QUENCH_DISTORTION_H
#define CQ_QUENCH_DISTORTION_H

#include "quench/run.h"

#include "mechanics/beam.h"
#include "mechanics/crack.h"

/* Of the whole section: soft structure and martensite, m2; temperature, K m2. */
typedef struct cq_crack_totals {
    double soft, hard, heat;
} cq_crack_totals;

typedef struct cq_distortion {
    cq_beam *beam;
    double *T, *before, *severity; /* packed; before: martensite at the last update, in turn other things */
    double *no_fraction[CQ_PHASES];
    cq_crack crack;
    cq_crack_totals totals; /* at the last update */
    size_t updates, unbalanced;
    double worst, seconds;
} cq_distortion;

/* Structure now, packed; NULL pointers for a steel that does not transform. */
static inline double *const *cq_distortion_structure(const cq_run *run) {
    return run->transforming ? run->structure[run->now].fraction : run->distortion->no_fraction;
}
static inline int cq_distortion_cell(const cq_run *run, int row, int across) {
    return (run->grid->steel_i0 + row) * run->grid->across + run->grid->steel_j0 + across;
}

/* crack_answer.c. Weights of every cell; before the run. */
void cq_run_crack_begin(cq_run *run);
/* Look at the balance just found, in the bath or after it (settling: cooled as a whole). */
void cq_run_crack_look(cq_run *run, double time_s, bool settling);
void cq_run_crack_answer(cq_run *run);

#endif
