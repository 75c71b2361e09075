/* coated_section.h - the case of physics/coated_section_reference.py as a plan: a small knife under clay, heat only. */
#ifndef TEST_COATED_SECTION_H
#define TEST_COATED_SECTION_H

#include "baths.h"

#include <clayquench/clayquench.h>

enum { TIMES = 8, PROBES = 10, FILM = 12 };

/* Straight lines from 100 to 1900 K. */
static const double LINE_K[2] = {100.0, 1900.0};
static const double STEEL_K[2] = {15.0 + 0.0113 * (100.0 - 273.15), 15.0 + 0.0113 * (1900.0 - 273.15)};
static const double STEEL_C[2] = {4.15e6 + 830.0 * (100.0 - 273.15), 4.15e6 + 830.0 * (1900.0 - 273.15)};
static const double CLAY_K[2] = {0.40 + 2e-4 * (100.0 - 273.15), 0.40 + 2e-4 * (1900.0 - 273.15)};
static const double CLAY_C[2] = {1.5e6 + 400.0 * (100.0 - 273.15), 1.5e6 + 400.0 * (1900.0 - 273.15)};

static const double FILM_K[FILM] = {KELVIN(100.0), KELVIN(200.0), KELVIN(300.0), KELVIN(350.0),
                                    KELVIN(400.0), KELVIN(450.0), KELVIN(500.0), KELVIN(550.0),
                                    KELVIN(600.0), KELVIN(650.0), KELVIN(750.0), KELVIN(850.0)};
static const double FILM_H[FILM] = {200, 400, 700, 1100, 2200, 3600, 4200, 4000, 3200, 2400, 1300, 900};

static const cq_coat_point COAT[] = {
    {0.0, 0.25e-3, 0.25e-3}, {8e-3, 0.25e-3, 0.25e-3}, {12e-3, 3e-3, 3e-3}, {22e-3, 3e-3, 3e-3}};
static const double AT_S[TIMES] = {0.5, 1, 2, 4, 8, 15, 30, 60};
static const cq_probe_plan PLACES[PROBES] = {
    {"mid 0.5", 0.5e-3, CQ_FACE_MID, 0.0, 0.0}, {"mid 2", 2e-3, CQ_FACE_MID, 0.0, 0.0},
    {"mid 5", 5e-3, CQ_FACE_MID, 0.0, 0.0},     {"mid 8", 8e-3, CQ_FACE_MID, 0.0, 0.0},
    {"mid 11", 11e-3, CQ_FACE_MID, 0.0, 0.0},   {"mid 15", 15e-3, CQ_FACE_MID, 0.0, 0.0},
    {"mid 21", 21e-3, CQ_FACE_MID, 0.0, 0.0},   {"face 2", 2e-3, CQ_FACE_RIGHT, 0.0, 0.0},
    {"face 8", 8e-3, CQ_FACE_RIGHT, 0.0, 0.0},  {"face 15", 15e-3, CQ_FACE_RIGHT, 0.0, 0.0}};

/* `refine` cells for every one of the default grid. */
static inline void coated_section_plan(cq_plan *plan, cq_step_plan *step, int refine) {
    cq_plan_init(plan);
    plan->blade = (cq_blade){.family = CQ_FAMILY_FLAT, .height_m = 22e-3, .edge_m = 0.5e-3, .spine_m = 3e-3};
    plan->steel = (cq_steel){.kind = CQ_STEEL_INERT,
                             .emissivity = 0.8,
                             .conductivity_W_mK = {2, LINE_K, STEEL_K, CQ_INTERPOLATE_LINEAR},
                             .heat_capacity_J_m3K = {2, LINE_K, STEEL_C, CQ_INTERPOLATE_LINEAR}};
    plan->clay = (cq_clay){.emissivity = 0.9,
                           .drying_factor = 1.0,
                           .conductivity_W_mK = {2, LINE_K, CLAY_K, CQ_INTERPOLATE_LINEAR},
                           .heat_capacity_J_m3K = {2, LINE_K, CLAY_C, CQ_INTERPOLATE_LINEAR}};
    plan->coat = (cq_coat){4, COAT, 0.25e-3, 3e-3};
    plan->heat.start_K = KELVIN(800.0);
    *step = (cq_step_plan){
        .bath = {.kind = CQ_BATH_TABLE, .heat_transfer_W_m2K = {FILM, FILM_K, FILM_H, CQ_INTERPOLATE_LINEAR}},
        .at_K = KELVIN(40.0),
        .for_s = AT_S[TIMES - 1]};
    plan->steps = step;
    plan->steps_n = 1;
    plan->grid.refine = refine;
    plan->times_s = AT_S;
    plan->times_n = TIMES;
    plan->probes = PLACES;
    plan->probes_n = PROBES;
}

#endif
