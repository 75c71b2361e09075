/* temper_answer.c - hardness after the plan's tempers, and how far it may be sharpened before it is gone. */
#include "quench/places.h"

#include "base/memory.h"

#include <math.h>

/* Edge and spine after each temper; they and the body after all of them. */
static void temper_in_turn(cq_run *run, const cq_place *edge, const cq_place *body, const cq_place *spine) {
    cq_result *r = &run->result;
    const size_t room = sizeof r->tempers / sizeof r->tempers[0], all = run->plan->temper_n;
    r->tempers_n = all < room ? all : room;
    for (size_t n = 0; n < r->tempers_n; n++) {
        cq_after_temper *t = &r->tempers[n];
        t->edge_HV = cq_run_tempered_HV(run, edge, n + 1);
        t->edge_HRC = cq_hardness_HRC(t->edge_HV);
        t->spine_HV = spine == NULL ? NAN : cq_run_tempered_HV(run, spine, n + 1);
        t->spine_HRC = cq_hardness_HRC(t->spine_HV);
    }
    if (all > 0) {
        r->edge_temper_HV = cq_run_tempered_HV(run, edge, all);
        r->edge_temper_HRC = cq_hardness_HRC(r->edge_temper_HV);
        r->body_temper_HV = cq_run_tempered_HV(run, body, all);
        r->body_temper_HRC = cq_hardness_HRC(r->body_temper_HV);
        r->spine_temper_HV = spine == NULL ? NAN : cq_run_tempered_HV(run, spine, all);
        r->spine_temper_HRC = cq_hardness_HRC(r->spine_temper_HV);
    }
}

/* Height to which the steel that is sharpened is as hard as `HV`; v by row. */
static double worn_down_to(const cq_result *r, const double *v, double HV) {
    if (!(v[cq_edge_row(r)] >= HV)) {
        return 0.0;
    }
    const double at = cq_falls_through(r, v, HV);
    return isnan(at) ? INFINITY : at;
}

cq_status cq_run_answer_tempers(cq_run *run, const cq_place *edge, const cq_place *body, const cq_place *spine) {
    cq_result *r = &run->result;
    temper_in_turn(run, edge, body, spine);
    if (!r->has_line) {
        return CQ_OK;
    }
    const size_t all = run->plan->temper_n;
    const int face = cq_run_edge_face(run);
    double *sharpened = cq_memory_zero(r->along.n, sizeof *sharpened);
    if (sharpened == NULL) {
        return CQ_ERR_MEMORY;
    }
    for (int row = 0; row < run->steel_rows; row++) {
        const double at_m = cq_run_height_of_row(run, row);
        const cq_place mid = cq_run_place(run, at_m, CQ_FACE_MID);
        r->along.tempered_mid_HV[row] = cq_run_tempered_HV(run, &mid, all);
        sharpened[row] = r->along.tempered_mid_HV[row];
        if (face != CQ_FACE_MID) {
            const cq_place p = cq_run_place(run, at_m, face);
            sharpened[row] = cq_run_tempered_HV(run, &p, all);
        }
    }
    r->wear_m = worn_down_to(r, sharpened, cq_hardness_HV(r->wear_HRC));
    cq_memory_free(sharpened);
    return CQ_OK;
}
