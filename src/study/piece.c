/* piece.c - see piece.h. */
#include "study/piece.h"

#include <math.h>

static const double TOLERANCE_K = 0.3; /* a fifth of the default: rates are differences of neighbouring temperatures */
static const double LONGEST_S = 7200.0;

cq_status cq_piece_quench(cq_run **run, const cq_trace **trace, cq_plan *plan, const cq_piece *piece,
                          cq_step_plan *step, cq_error *error) {
    static const cq_coat_point nothing = {0};
    cq_coat_point point = nothing;
    const cq_run_options options = {.tolerance_K = TOLERANCE_K};
    cq_plan_init(plan);
    plan->blade = (cq_blade){.family = piece->family, .spine_m = piece->size_m};
    plan->steel = *piece->steel;
    plan->heat.start_K = piece->start_K;
    if (piece->clay != NULL && piece->coat_m > 0.0) {
        point.left_m = point.right_m = piece->coat_m;
        plan->clay = *piece->clay;
        plan->coat.points = &point;
        plan->coat.n = 1;
    }
    step->for_s = LONGEST_S;
    step->until_K = fmax(piece->until_K, step->at_K + 10.0);
    plan->steps = step;
    plan->steps_n = 1;
    cq_status status = cq_plan_check(plan, error);
    status = status < 0 ? status : cq_run_create(run, plan, &options, error);
    if (status >= 0 && (status = cq_run_go(*run, NULL, error)) < 0) {
        cq_run_free(*run);
        *run = NULL;
    }
    plan->coat.points = NULL; /* it was this call's own; section and grid have what they need */
    plan->coat.n = 0;
    if (status >= 0) {
        *trace = &cq_run_result(*run)->traces[piece->at_surface ? CQ_TRACE_EDGE : CQ_TRACE_BODY];
    }
    return status;
}
