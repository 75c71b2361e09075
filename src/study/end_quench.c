/* end_quench.c - the end-quench bar [asm-a255; iso642], run through the simulator as a section of which a bath wets
 * only the edge flat.
 *
 * The bar is 25.4 mm round and 101.6 mm long; the section is a slab 12.7 mm thick, which has the same side face for its
 * volume, so that it loses as much heat sideways: 4/D = 2/t. The jet is a constant heat transfer on the end. Sides and
 * upper end are in still air. Bars measured centre against side differ by up to 50 K; so does this, which has no
 * corner.
 */
#include "study/card.h"

#include <math.h>

static const double LONG_M = 101.6e-3, THICK_M = 12.7e-3, SIXTEENTH_M = 25.4e-3 / 16.0;
/* Jet on the end: between the 12 and 20 kW/m2/K that bracket the standard's rates next to the end, from memory. Beyond
 * J4 the steel's own conduction decides, not this. Not fitted to any hardness. */
static const double JET_W_M2K[1] = {16e3}, JET_AT_K[1] = {293.15};
static const double QUENCH_S = 600.0, RATE_AT_K = 973.15, BESIDE_K = 10.0; /* rate at 700 degC, over 20 K */

static const double PLACES[CQ_CARD_DISTANCES] = {1, 1.5, 2,  2.5, 3,  3.5, 4,  5,  6,  7, 8,
                                                 9, 10,  12, 14,  16, 18,  20, 24, 28, 32};

static double falls_below_s(const cq_trace *t, double T_K) {
    for (size_t i = 1; i < t->n; i++) {
        if (t->temp_K[i - 1] > T_K && t->temp_K[i] <= T_K) {
            const double u = (t->temp_K[i - 1] - T_K) / (t->temp_K[i - 1] - t->temp_K[i]);
            return t->time_s[i - 1] + u * (t->time_s[i] - t->time_s[i - 1]);
        }
    }
    return NAN;
}

static double hardness_at(const cq_profile_along *a, double height_m) {
    size_t i = 0;
    while (i + 2 < a->n && a->height_m[i + 1] < height_m) {
        i++;
    }
    const double u = (height_m - a->height_m[i]) / (a->height_m[i + 1] - a->height_m[i]);
    return a->hardness_right_HV[i] + u * (a->hardness_right_HV[i + 1] - a->hardness_right_HV[i]);
}

cq_status cq_end_quench_run(cq_end_quench bar[CQ_CARD_DISTANCES], const cq_steel *steel, const cq_card_soak *soak,
                            cq_error *error) {
    cq_probe_plan probes[CQ_CARD_DISTANCES];
    for (int n = 0; n < CQ_CARD_DISTANCES; n++) {
        probes[n] = (cq_probe_plan){.name = "J", .at_m = PLACES[n] * SIXTEENTH_M, .face = CQ_FACE_RIGHT};
    }
    const cq_bath jet = {
        .name = "jet", .kind = CQ_BATH_TABLE, .heat_transfer_W_m2K = {1, JET_AT_K, JET_W_M2K, CQ_INTERPOLATE_LINEAR}};
    const cq_step_plan step = {.bath = jet, .at_K = JET_AT_K[0], .for_s = QUENCH_S, .depth_m = 1e-5};
    cq_plan plan;
    cq_plan_init(&plan);
    plan.blade = (cq_blade){.family = CQ_FAMILY_FLAT, .height_m = LONG_M, .edge_m = THICK_M, .spine_m = THICK_M};
    plan.steel = *steel;
    plan.heat.temperature_K = soak->temperature_K;
    plan.heat.hold_s = soak->hold_s;
    plan.heat.stock = soak->stock;
    plan.steps = &step;
    plan.steps_n = 1;
    plan.probes = probes;
    plan.probes_n = CQ_CARD_DISTANCES;
    plan.grid = (cq_grid_wish){96, 2, 2, 1};
    cq_run *run;
    cq_status status = cq_run_create(&run, &plan, NULL, error);
    if (status < 0) {
        return status;
    }
    status = cq_run_go(run, NULL, error);
    const cq_result *r = cq_run_result(run);
    for (int n = 0; n < CQ_CARD_DISTANCES && status >= 0; n++) {
        const cq_trace *t = &r->traces[CQ_TRACES_FIXED + n];
        const double above = falls_below_s(t, RATE_AT_K + BESIDE_K), below = falls_below_s(t, RATE_AT_K - BESIDE_K);
        bar[n] =
            (cq_end_quench){probes[n].at_m, hardness_at(&r->along, probes[n].at_m), 2.0 * BESIDE_K / (below - above)};
    }
    cq_run_free(run);
    return status;
}
