/* fire.h - a blade heated in a fire before the quench. */
#ifndef CQ_QUENCH_FIRE_H
#define CQ_QUENCH_FIRE_H

#include "quench/run.h"

struct cq_run_fire {
    size_t n, capacity; /* moments */
    double *time_s;
    double *row_K; /* n times steel_rows: mean across every row */
    double *T_K;   /* at the end, padded as the run's heat */
};

/* Nothing where the plan has no fire. After the faces and the section's build. */
cq_status cq_run_fire_create(cq_run *run, cq_error *error);
void cq_run_fire_free(cq_run *run);
void cq_run_fire_notices(cq_run *run);
/* Leaving the fire; and for how long before that a row was hotter than this. */
double cq_run_fire_last_K(const cq_run *run, int row);
double cq_run_fire_since_s(const cq_run *run, int row, double temp_K);
cq_status cq_run_fire_soak(const cq_run *run, int row, const cq_steel *steel, cq_stock stock, const cq_soak *reference,
                           cq_soak *soak);

#endif
