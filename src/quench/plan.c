/* plan.c - a plan's defaults, its release, and what must make sense of it as a whole. */
#include "base/memory.h"

#include <clayquench/plan.h>
#include <math.h>
#include <string.h>

void cq_plan_init(cq_plan *plan) {
    memset(plan, 0, sizeof *plan);
    plan->title = plan->file = plan->text = "";
    plan->soaked = 1.0;
    plan->heat.hold_s = 300.0;
    plan->steel.time_factor = 1.0;
    plan->steel.grain_ASTM = 8.0;
    plan->steel.emissivity = 0.8;
    plan->clay.emissivity = 0.9;
    plan->clay.drying_factor = 1.0;
    plan->grid = (cq_grid_wish){100, 8, 6, 1};
}

void cq_plan_clear(cq_plan *plan) {
    if (plan != NULL) {
        cq_arena_free(plan->arena);
        cq_plan_init(plan);
    }
}

static bool shaped(cq_family family) {
    return family == CQ_FAMILY_FLAT || family == CQ_FAMILY_CONVEX || family == CQ_FAMILY_RIDGED;
}

static cq_status fault(cq_error *error, const char *key, const char *expected, const char *remedy, const char *found) {
    return cq_error_say(error, CQ_ERR_PLAN, key, expected, remedy, "%s", found);
}

static cq_status check_blade(const cq_plan *plan, cq_error *error) {
    const cq_blade *b = &plan->blade;
    cq_status status = CQ_OK;
    if (!shaped(b->family)) {
        return b->spine_m > 0.0 ? CQ_OK : fault(error, "blade", "a positive thickness or diameter", "", "none");
    }
    if (!(b->height_m > 0.0) || !(b->edge_m > 0.0) || !(b->spine_m > 0.0)) {
        return fault(error, "blade", "positive height, edge and spine", "", "a length of zero or less");
    }
    if (b->family != CQ_FAMILY_RIDGED && b->spine_m < b->edge_m) {
        status = cq_error_say(error, CQ_ERR_PLAN, "blade.spine", "a spine at least as thick as the edge", "swap edge and spine?",
                              "spine %.3g mm under edge %.3g mm", 1e3 * b->spine_m, 1e3 * b->edge_m);
    }
    if (b->family == CQ_FAMILY_RIDGED && !(b->ridge_at_m > 0.02 * b->height_m && b->ridge_at_m < 0.98 * b->height_m)) {
        status = cq_error_say(error, CQ_ERR_PLAN, "blade.ridge.at", "a height between edge and spine", "", "%.3g mm", 1e3 * b->ridge_at_m);
    }
    if (b->family == CQ_FAMILY_RIDGED && b->ridge_thickness_m < b->edge_m) {
        status = fault(error, "blade.ridge.thickness", "a ridge thicker than the edge", "", "a thinner one");
    }
    if (b->spine_m > 1.5 * b->height_m) {
        status = fault(error, "blade.spine", "a section taller than it is thick", "", "a spine thicker than the height");
    }
    return status;
}

static cq_status check_coat(const cq_plan *plan, cq_error *error) {
    cq_status status = CQ_OK;
    const double height = shaped(plan->blade.family) ? plan->blade.height_m : HUGE_VAL;
    for (size_t i = 0; i < plan->coat.n; i++) {
        const cq_coat_point *p = &plan->coat.points[i];
        if (!(p->left_m >= 0.0) || !(p->right_m >= 0.0) || p->left_m > 10e-3 || p->right_m > 10e-3) {
            status = fault(error, "clay.coat", "thicknesses from 0 to 10 mm", "", "another thickness");
        }
        if (p->at_m > height * (1.0 + 1e-9)) {
            status = cq_error_say(error, CQ_ERR_PLAN, "clay.coat", "points on the blade", "", "a point at %.3g mm on a blade %.3g mm high",
                                  1e3 * p->at_m, 1e3 * height);
        }
        if (!shaped(plan->blade.family) && (fabs(p->left_m - plan->coat.points[0].left_m) > 1e-12 || fabs(p->right_m - plan->coat.points[0].right_m) > 1e-12)) {
            status = fault(error, "clay.coat", "one thickness everywhere on a plate or round", "", "a thickness that changes");
        }
    }
    const bool coated = plan->coat.n > 0 || plan->coat.edge_m > 0.0 || plan->coat.spine_m > 0.0;
    if (coated && (plan->clay.conductivity_W_mK.n == 0 || plan->clay.heat_capacity_J_m3K.n == 0)) {
        status = fault(error, "clay.mix", "a mix for the coat", "", "none");
    }
    return status;
}

cq_status cq_plan_check(const cq_plan *plan, cq_error *error) {
    cq_status status = check_blade(plan, error);
    const cq_status coat = check_coat(plan, error);
    status = coat < 0 ? coat : status;
    if (plan->steel.kind == CQ_STEEL_TRANSFORMING && !(plan->steel.composition_wt.C > 0.0)) {
        status = fault(error, "steel", "a steel with carbon", "", "no carbon");
    }
    if (plan->steel.kind == CQ_STEEL_INERT && (plan->steel.conductivity_W_mK.n == 0 || plan->steel.heat_capacity_J_m3K.n == 0)) {
        status = fault(error, "steel", "conductivity and heat capacity of an inert steel", "", "one of them missing");
    }
    if (plan->steps_n == 0) {
        status = fault(error, "steps", "at least one step", "", "none");
    }
    const double begin_K = plan->heat.start_K > 0.0 ? plan->heat.start_K : plan->heat.temperature_K;
    for (size_t s = 0; s < plan->steps_n; s++) {
        if (plan->steps[s].until_K >= begin_K && plan->steps[s].until_K > 0.0 && s == 0) {
            status = fault(error, "steps.0.until", "a temperature below the heat's", "", "one the blade is below already");
        }
    }
    for (size_t p = 0; p < plan->probes_n; p++) {
        if (shaped(plan->blade.family) && plan->probes[p].at_m > plan->blade.height_m) {
            status = cq_error_say(error, CQ_ERR_PLAN, "record.probes", "a place on the blade", "", "'%s' at %.3g mm", plan->probes[p].name,
                                  1e3 * plan->probes[p].at_m);
        }
    }
    return status;
}
