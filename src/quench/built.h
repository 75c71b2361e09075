/* built.h - a section of several steels, or with a skin: what every cell is made of. */
#ifndef CQ_QUENCH_BUILT_H
#define CQ_QUENCH_BUILT_H

#include "quench/run.h"

/* Steel cells, packed as the run's; nothing allocated when the plan has one steel and no skin. */
struct cq_run_built {
    int *zone;         /* most of the cell is this one's */
    double *carbon_wt; /* when the quench begins */
};

cq_status cq_run_built_create(cq_run *run, cq_error *error);
void cq_run_built_free(cq_run *run);
double cq_run_skin_depth_m(const cq_plan *plan); /* at which nine tenths of the carbon are there again */
/* built_notices.c: before the quench, and once it is answered. */
void cq_run_built_notices(cq_run *run);
void cq_run_built_notices_after(cq_run *run);
/* Fields and shares of the result. */
cq_status cq_run_built_answer(cq_run *run);
/* Does the plan need it? */
static inline bool cq_plan_is_built(const cq_plan *plan) {
    return plan->zones.n > 0 || plan->skin.depth_m > 0.0 || plan->skin.for_s > 0.0;
}
static inline bool cq_skin_is_there(const cq_skin *skin) {
    return skin->depth_m > 0.0 || skin->for_s > 0.0;
}
/* The steel of zone n; of the plan where there are no zones. */
static inline const cq_steel *cq_steel_of_zone(const cq_plan *plan, int n) {
    return plan->zones.n > 0 && (size_t)n != plan->zones.edge ? &plan->zones.zone[n].steel : &plan->steel;
}

/* carbon_field.c: carbon of a section on a grid of its own. */
typedef struct cq_carbon_field {
    cq_grid *grid;
    double *carbon_wt, *zone_share; /* along*across of the grid; zone_share: zones_n of them per cell, zone by zone */
    double mean_before_wt, mean_wt;
    size_t steps;
} cq_carbon_field;
/* Every cell of the run's steel is `finer` by `finer` cells of the field. */
cq_status cq_carbon_field_create(cq_carbon_field *field, const cq_plan *plan, const cq_section *section, int finer,
                                 cq_error *error);
void cq_carbon_field_free(cq_carbon_field *field);
/* All heats of the plan, one after the other. */
cq_status cq_carbon_field_soak(cq_carbon_field *field, const cq_plan *plan, cq_error *error);
/* Width across a weld between two carbons from nine tenths of the step to one tenth after the plan's heats, measured on
 * the finished section; NaN without heats. */
cq_status cq_weld_spread(const cq_plan *plan, double high_wt, double low_wt, double *spread_m);
/* How many times thicker than now the bar was in a heat. */
double cq_weld_thicker(const cq_plan *plan, const cq_weld_heat *heat);

#endif
