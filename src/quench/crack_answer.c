/* crack_answer.c - the crack index of a run: the weight of every cell, a look at each balance and why the tension is
 * there, and the class with its reason. What the index is stands in mechanics/crack.h.
 */
#include "quench/distortion.h"
#include "quench/places.h"

#include "mechanics/strength.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* Why there is tension on cold martensite; the order is that of CAUSES. */
typedef enum crack_cause { BODY_SWELLS, HARDENS, REST_HARDENS, BODY_SHRINKS, LIFTED, AGAIN } crack_cause;
static const struct {
    const char *sentence, *words;
} CAUSES[] = {[BODY_SWELLS] = {"the body swells as it turns and pulls on it", "the body swells"},
              [HARDENS] = {"it forms under tension", "hardens under pull"},
              [REST_HARDENS] = {"the rest hardens after it, swells and pulls on it", "the rest hardens"},
              [BODY_SHRINKS] = {"the body, last to cool, bends it", "the body cools"},
              [LIFTED] = {"out of the bath the body swells and pulls on it", "lifted out, the body swells"},
              [AGAIN] = {"the blade goes back into the bath", "going back in"}};

static const double FRESH = 0.03;    /* martensite that has just formed where the tension is; chosen here */
static const double BACK_IN_S = 3.0; /* after going back in, what happens is due to that; chosen here */

const char *cq_crack_class_words(int class_n) {
    static const char *const words[] = {[CQ_CRACK_LOW] = "low", [CQ_CRACK_MEDIUM] = "medium", [CQ_CRACK_HIGH] = "high"};
    return words[class_n];
}

/* Whole thickness of the steel in a row. */
static double thickness_of_row(const cq_run *run, int row) {
    const cq_grid *g = run->grid;
    const int low = (g->steel_i0 + row) * (g->across + 1), high = low + g->across + 1;
    const double right = g->node_y_m[low + g->steel_j1] + g->node_y_m[high + g->steel_j1];
    const double left = g->node_y_m[low + g->steel_j0] + g->node_y_m[high + g->steel_j0];
    return g->symmetric ? right : 0.5 * (right - left);
}

/* Sums over the section: soft structure, martensite, m2; temperature, K m2. */
static void totals_of(const cq_run *run, cq_crack_totals *totals) {
    double *const *f = cq_distortion_structure(run);
    *totals = (cq_crack_totals){0.0, 0.0, 0.0};
    for (int row = 0; row < run->steel_rows; row++) {
        for (int j = 0; j < run->steel_across; j++) {
            const size_t c = (size_t)row * (size_t)run->steel_across + (size_t)j;
            const double a = run->grid->area_m2[cq_distortion_cell(run, row, j)];
            totals->soft += a * (f[CQ_FERRITE][c] + f[CQ_PEARLITE][c] + f[CQ_BAINITE][c]);
            totals->hard += a * f[CQ_MARTENSITE][c];
            totals->heat += a * run->distortion->T[c];
        }
    }
}

void cq_run_crack_begin(cq_run *run) {
    cq_distortion *d = run->distortion;
    const cq_finish finish = cq_finish_of(run->plan->blade.surface);
    for (int row = 0; run->transforming && row < run->steel_rows; row++) {
        const double thickness = thickness_of_row(run, row);
        for (int j = 0; j < run->steel_across; j++) {
            const size_t c = (size_t)row * (size_t)run->steel_across + (size_t)j;
            const cq_soak *soak = &cq_run_soak_at(run, c)->soak;
            d->severity[c] = cq_crack_severity(finish, thickness, soak->carbon_solution_wt, soak->grain_ASTM);
        }
    }
    memset(d->before, 0, run->steel_n * sizeof(double)); /* martensite */
    if (run->transforming) {
        totals_of(run, &d->totals);
    }
}

/* ---- a look ------------------------------------------------------------------------------------------------------ */

/* In a bath, entered just now out of the air, and in one before that air? */
static bool is_back_in(const cq_run *run, double time_s) {
    const cq_step_plan *steps = run->plan->steps;
    const size_t now = run->result.step_ends_n; /* steps that have ended */
    bool bathed = false;
    for (size_t s = 0; s + 1 < now && now < run->plan->steps_n; s++) {
        bathed = bathed || steps[s].bath.kind != CQ_BATH_GAS;
    }
    return bathed && steps[now - 1].bath.kind == CQ_BATH_GAS && steps[now].bath.kind != CQ_BATH_GAS &&
           time_s - run->result.step_ends[now - 1].time_s < BACK_IN_S;
}

/* Why the tension is there just now: where it does not form itself, what strained the section most since the last look,
 * soft structure or martensite that grew, or the loss of heat. */
static crack_cause cause_now(const cq_run *run, const cq_crack_totals *now, double time_s) {
    static const double CARBON_wt = 0.8, SHRINK_per_K = 12e-6; /* orders of size, as in strength.c */
    const cq_distortion *d = run->distortion;
    const size_t cell = d->crack.worst.cell;
    const double soft = cq_strength_soft_growth(CARBON_wt) * (now->soft - d->totals.soft),
                 hard = cq_strength_martensite_growth(CARBON_wt) * (now->hard - d->totals.hard),
                 cooled = SHRINK_per_K * (d->totals.heat - now->heat);
    if (is_back_in(run, time_s)) {
        return AGAIN;
    }
    if (cq_distortion_structure(run)[CQ_MARTENSITE][cell] - d->before[cell] > FRESH) {
        return HARDENS;
    }
    if (soft > cooled && soft >= hard) {
        return run->entered_bath && run->step->bath.kind == CQ_BATH_GAS ? LIFTED : BODY_SWELLS;
    }
    return hard > cooled ? REST_HARDENS : BODY_SHRINKS;
}

void cq_run_crack_look(cq_run *run, double time_s, bool settling) {
    cq_distortion *d = run->distortion;
    if (!run->transforming) {
        return;
    }
    cq_crack_totals totals;
    totals_of(run, &totals);
    const cq_crack_fields fields = {run->steel_n, d->T, cq_distortion_structure(run)[CQ_MARTENSITE],
                                    cq_beam_stress_Pa(d->beam), d->severity};
    if (cq_crack_look(&d->crack, &fields, time_s)) {
        cq_crack_keep(&d->crack, settling ? BODY_SHRINKS : cause_now(run, &totals, time_s));
    }
    if (!settling) { /* then `before` holds temperatures */
        d->totals = totals;
        memcpy(d->before, fields.martensite, run->steel_n * sizeof(double));
    }
}

/* ---- the answer -------------------------------------------------------------------------------------------------- */

/* "; medium from 3.17 s on: it forms under tension": when each class began, and why where that is not told yet. */
static void began_words(const cq_crack *crack, cq_crack_class class_n, const cq_crack_moment *most, size_t room,
                        char *to) {
    size_t used = 0;
    to[0] = '\0';
    for (int c = CQ_CRACK_MEDIUM; c <= (int)class_n; c++) {
        const cq_crack_moment *began = &crack->since[c];
        const bool jumped = c < (int)class_n && !(began->time_s < crack->since[c + 1].time_s);
        if (!jumped && began->time_s < most->time_s && used < room) {
            used += (size_t)snprintf(to + used, room - used, "; %s from %.3g s on%s%s", cq_crack_class_words(c),
                                     began->time_s, began->cause == most->cause ? "" : ": ",
                                     began->cause == most->cause ? "" : CAUSES[began->cause].sentence);
        }
    }
}

/* Much carbon sets martensite late, so that the model finds little tension in it; practice knows such steels to crack
 * most in water. */
static void warn_of_carbon(cq_run *run) {
    static const double MUCH_wt = 0.9; /* chosen here: above it tensions fall off; that such steels crack in water is
                                          common practice, no source */
    const double carbon_wt = cq_run_soak_at(run, cq_run_edge_cell(run))->steel.composition_wt.C;
    bool water = false;
    for (size_t s = 0; s < run->plan->steps_n; s++) {
        water = water || run->plan->steps[s].bath.kind == CQ_BATH_BOILING;
    }
    if (water && carbon_wt >= MUCH_wt && run->result.crack.class_n < CQ_CRACK_HIGH &&
        run->result.edge.fraction[CQ_MARTENSITE] >= CQ_HARD) {
        cq_run_notice(run, "crack-carbon", 1, "in water steel of %.2f %% C cracks more than its class says", carbon_wt);
    }
}

void cq_run_crack_answer(cq_run *run) {
    const cq_distortion *d = run->distortion;
    cq_crack_answer *a = &run->result.crack;
    const double index_Pa = d->crack.worst.index_Pa;
    const cq_crack_class class_n = cq_crack_class_of(index_Pa);
    a->known = run->transforming;
    a->class_n = (int)class_n;
    a->index_MPa = 1e-6 * index_Pa;
    a->since_s = a->time_s = a->height_m = a->tension_Pa = NAN;
    a->since_cause[0] = '\0';
    if (a->known) {
        warn_of_carbon(run);
    }
    if (!(index_Pa > 0.0)) {
        static const char none[] = "no tension reaches cold martensite";
        memcpy(a->reason, none, sizeof none);
        memcpy(a->cause, none, sizeof none);
        return;
    }
    const cq_crack_moment *most = cq_crack_nearly_worst(&d->crack), *began = &d->crack.since[class_n];
    if (class_n != CQ_CRACK_LOW) {
        a->since_s = began->time_s;
        snprintf(a->since_cause, sizeof a->since_cause, "%s", CAUSES[began->cause].words);
    }
    a->time_s = most->time_s;
    a->tension_Pa = most->tension_Pa;
    a->height_m = run->grid->center_x_m[cq_distortion_cell(run, (int)(most->cell / (size_t)run->steel_across),
                                                           (int)(most->cell % (size_t)run->steel_across))];
    snprintf(a->cause, sizeof a->cause, "%s", CAUSES[most->cause].words);
    char place[40] = "at the edge", since[200];
    if (a->height_m > 0.5e-3) {
        snprintf(place, sizeof place, "%.1f mm above the edge", 1e3 * a->height_m);
    }
    began_words(&d->crack, class_n, most, sizeof since, since);
    snprintf(a->reason, sizeof a->reason, "%.0f MPa pull on martensite %s at %.3g s: %s%s%s", 1e-6 * a->tension_Pa,
             place, a->time_s, CAUSES[most->cause].sentence, since,
             cq_finish_of(run->plan->blade.surface) == CQ_FINISH_SCRATCHED ? "; scratches across raise it" : "");
}
