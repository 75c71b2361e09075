/* lost.c - a patch of clay that falls off during the quench: its cells leave the grid, with the heat they hold. */
#include "quench/run.h"

#include "base/memory.h"

#include <math.h>
#include <string.h>

static bool on_side(const cq_lost_plan *lost, int side) {
    return lost->face == CQ_FACE_MID || lost->face == (side == CQ_SIDE_LEFT ? CQ_FACE_LEFT : CQ_FACE_RIGHT);
}

static bool in_patch(const cq_run *run, const cq_lost_plan *lost, int row, int side) {
    const cq_grid *g = run->grid;
    const int at = row * g->across + (side == CQ_SIDE_LEFT ? g->steel_j0 : g->steel_j1 - 1);
    const bool steel = row >= g->steel_i0 && row < g->steel_i1; /* what lies on the flats stays */
    return steel && on_side(lost, side) && g->center_x_m[at] >= lost->from_m && g->center_x_m[at] <= lost->to_m;
}

/* Takes the patch out of the run's grid; returns the heat that goes with it, J per m of what the grid holds. */
static double take_off(cq_run *run, const cq_lost_plan *lost, size_t *cells) {
    cq_grid *g = run->grid;
    double heat = 0.0;
    for (int row = 0; row < g->along; row++) {
        for (int side = 0; side < CQ_SIDES; side++) {
            if (!in_patch(run, lost, row, side) || (side == CQ_SIDE_LEFT && g->symmetric)) {
                continue;
            }
            const int first = side == CQ_SIDE_LEFT ? 0 : g->steel_j1,
                      last = side == CQ_SIDE_LEFT ? g->steel_j0 : g->across;
            for (int j = first; j < last; j++) {
                if (g->kind[row * g->across + j] == CQ_CELL_CLAY) {
                    heat += run->heat->H[cq_heat_at(run->heat, row, j)] * g->area_m2[row * g->across + j];
                    g->kind[row * g->across + j] = CQ_CELL_NONE;
                    (*cells)++;
                }
            }
            double *film = side == CQ_SIDE_LEFT ? g->film_left_m : g->film_right_m;
            double *coat = side == CQ_SIDE_LEFT ? g->coat_left_m : g->coat_right_m;
            *cells += film[row] > 0.0;
            film[row] = coat[row] = 0.0;
        }
    }
    return heat;
}

/* The state of cells and faces that are still there. */
static void carry_over(const cq_heat *from, cq_heat *to) {
    const size_t bytes = from->size * sizeof(double);
    memcpy(to->T, from->T, bytes);
    memcpy(to->T_old, from->T_old, bytes);
    memcpy(to->H, from->H, bytes);
    memcpy(to->H_old, from->H_old, bytes);
    for (int e = 0; e < from->ends_n; e++) {
        const bool same = from->ends[e].cell == to->ends[e].cell;
        to->surface_K[e] = same || to->ends[e].cell < 0 ? from->surface_K[e] : to->T[to->ends[e].cell];
    }
    to->time_s = from->time_s;
    to->last_dt_s = from->last_dt_s;
    to->heat_out_J_m = from->heat_out_J_m;
    to->closures_failed = from->closures_failed;
    to->split_tolerance = from->split_tolerance;
    to->sweeps = from->sweeps;
}

cq_status cq_run_lose(cq_run *run, const cq_lost_plan *lost, cq_error *error) {
    size_t cells = 0;
    const double heat = take_off(run, lost, &cells);
    if (cells == 0) {
        cq_run_notice(run, "no-clay-there", 1, "a patch was to fall off from %.3g to %.3g mm, where there is no clay",
                      1e3 * lost->from_m, 1e3 * lost->to_m);
        return CQ_OK;
    }
    cq_heat *old = run->heat;
    cq_status status = cq_heat_create(&run->heat, run->grid, NULL, error);
    if (status != CQ_OK) {
        run->heat = old;
        return status;
    }
    memcpy(run->heat->film_heat, old->film_heat,
           old->size * sizeof(double)); /* what a lost film held stays: some J at most */
    carry_over(old, run->heat);
    run->heat->heat_out_J_m += heat;
    cq_heat_free(old);
    cq_run_list_clay(run);
    cq_run_coat_faces(run);
    cq_run_dress_faces(run, run->step);
    cq_heat_resume(run->heat, &run->client);
    cq_run_notice(run, "clay-lost", 1, "clay falls off from %.3g to %.3g mm at %.3g s", 1e3 * lost->from_m,
                  1e3 * lost->to_m, run->heat->time_s);
    return CQ_OK;
}

/* After the plan's steps: the clay of these stays on for good, in the air too. */
void cq_run_notice_not_lost(cq_run *run) {
    for (size_t n = run->lost_next; n < run->plan->lost_n; n++) {
        const cq_lost_plan *lost = &run->plan->lost[n];
        cq_run_notice(run, "clay-not-lost", 1,
                      "the patch from %.3g to %.3g mm was to fall off at %.4g s, after the steps' end at %.3g s: it "
                      "stays on",
                      1e3 * lost->from_m, 1e3 * lost->to_m, lost->after_s, run->result.end_time_s);
    }
}
