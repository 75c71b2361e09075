/* plans.h - plans made by hand for tests of whole runs: no file has a part in them. */
#ifndef TEST_RUN_PLANS_H
#define TEST_RUN_PLANS_H

#include "../baths.h"

#include <clayquench/clayquench.h>

static const double AT[1] = {293.15};
static const double MIX_K[1] = {0.45}, MIX_C[1] = {1.55e3 * 1.1e3};
static const double KAOLIN_K[1] = {0.30}, KAOLIN_C[1] = {1.4e3 * 1.1e3};

/* 1084 with residuals in `water_C` water after 1 s of air; blade and coat are the caller's. */
static inline void start_plan(cq_plan *plan, cq_step_plan steps[2], double water_C) {
    cq_plan_init(plan);
    plan->steel = (cq_steel){.name = "1084",
                             .kind = CQ_STEEL_TRANSFORMING,
                             .grain_ASTM = 8,
                             .time_factor = 1,
                             .emissivity = 0.8,
                             .composition_wt = {.C = 0.84, .Mn = 0.75, .Si = 0.22, .Cr = 0.08, .Ni = 0.06, .Mo = 0.01}};
    plan->clay = (cq_clay){.name = "mix",
                           .conductivity_W_mK = {1, AT, MIX_K, CQ_INTERPOLATE_LINEAR},
                           .heat_capacity_J_m3K = {1, AT, MIX_C, CQ_INTERPOLATE_LINEAR},
                           .emissivity = 0.9,
                           .drying_factor = 1};
    plan->heat.temperature_K = 1073.15;
    steps[0] = (cq_step_plan){.bath = air_bath(), .at_K = 293.15, .for_s = 1.0};
    steps[1] = (cq_step_plan){.bath = water_bath(), .at_K = water_C + 273.15, .until_K = water_C + 20 + 273.15};
    plan->steps = steps;
    plan->steps_n = 2;
}

static inline cq_blade sloyd_blade(void) {
    return (cq_blade){.family = CQ_FAMILY_FLAT, .height_m = 28e-3, .edge_m = 1.2e-3, .spine_m = 3.2e-3};
}

static inline cq_blade single_bevel_blade(void) {
    return (cq_blade){.family = CQ_FAMILY_ONE_SIDED,
                      .flat_side = CQ_SIDE_LEFT,
                      .height_m = 42e-3,
                      .edge_m = 0.8e-3,
                      .spine_m = 3.8e-3,
                      .ridge_at_m = 14e-3,
                      .ridge_thickness_m = 3.8e-3};
}

/* Bare to 8 mm of a sloyd blade, 2 mm of clay above 11 mm. */
static const cq_coat_point BODY_2MM[] = {{8e-3, 0, 0}, {11e-3, 2e-3, 2e-3}, {28e-3, 2e-3, 2e-3}};

#endif
