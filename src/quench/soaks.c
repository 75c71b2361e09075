/* soaks.c - what the soak left at each height and the clock that follows from it. One for the whole section where it is
 * evenly hot; one per row of cells where the spine is cooler than the edge.
 */
#include "quench/run.h"

#include "base/memory.h"

double cq_run_soak_K(const cq_run *run, double height_m) {
    const cq_heat_plan *heat = &run->plan->heat;
    if (heat->start_K > 0.0) {
        return heat->start_K;
    }
    const double share = run->grid->one_dimensional ? 0.0 : height_m / run->section->height_m;
    return heat->temperature_K - heat->spine_below_K * (share < 0.0 ? 0.0 : (share > 1.0 ? 1.0 : share));
}

static double row_height_m(const cq_run *run, int row) {
    const cq_grid *g = run->grid;
    const int node = (g->steel_i0 + row) * (g->across + 1) + g->steel_j0;
    return 0.5 * (g->node_x_m[node] + g->node_x_m[node + g->across + 1]);
}

cq_status cq_run_soaks_create(cq_run *run, cq_error *error) {
    const cq_plan *plan = run->plan;
    if (!run->transforming) {
        return CQ_OK;
    }
    const cq_grid *g = run->grid;
    const bool even = plan->heat.start_K > 0.0 || !(plan->heat.spine_below_K > 0.0) || g->one_dimensional;
    const int rows = g->steel_i1 - g->steel_i0;
    run->soaks_n = even ? 1 : rows;
    run->soaks = cq_memory_zero((size_t)run->soaks_n, sizeof *run->soaks);
    if (run->soaks == NULL) {
        return cq_error_say(error, CQ_ERR_MEMORY, "heat", "", "", "soak");
    }
    for (int n = 0; n < run->soaks_n; n++) {
        cq_run_soak *s = &run->soaks[n];
        s->temperature_K = cq_run_soak_K(run, even ? 0.0 : row_height_m(run, n));
        const cq_soak_wish wish = {s->temperature_K, plan->heat.hold_s, plan->heat.stock};
        s->soak = plan->heat.start_K > 0.0 ? cq_soak_start(&plan->steel, plan->heat.start_K) : cq_soak_of(&plan->steel, &wish);
        const cq_status status = cq_clock_create(&s->clock, &plan->steel, &s->soak, error);
        if (status < 0) {
            return status;
        }
    }
    return CQ_OK;
}

void cq_run_soaks_free(cq_run *run) {
    for (int n = 0; run->soaks != NULL && n < run->soaks_n; n++) {
        cq_clock_free(run->soaks[n].clock);
    }
    cq_memory_free(run->soaks);
}
