/* distortion.c - the run's curve, residual stress and crack class: hands temperatures and structure to the beam now and
 * then, keeps the history, cools to room temperature, tempers, and turns curvature into what a smith measures.
 */
#include "quench/distortion.h"

#include "base/memory.h"
#include "base/vector.h"
#include "mechanics/relief.h"

#include <math.h>
#include <stdio.h>
#include <string.h>
#include <time.h>

enum { HISTORY = 2048, COOLING_STEPS = 8 };
static const double ROOM_K = 293.15;
/* What is not known: half of the curve, and never less than 3 mm on 700 mm. Oil's size may be five times too small:
 * what bainite does there is not settled. From a study of many draws; wider than its mechanics alone. */
static const double BAND = 0.5, LEAST_M = 3e-3, LEAST_ON_M = 0.7, OIL_SHORT = 5.0;

static double thread_seconds(void) {
    struct timespec t;
    clock_gettime(CLOCK_THREAD_CPUTIME_ID, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static void take_temperatures(const cq_run *run, double *T) {
    for (int row = 0; row < run->steel_rows; row++) {
        memcpy(T + (size_t)row * (size_t)run->steel_across, run->heat->T + cq_run_row_at(run, row),
               (size_t)run->steel_across * sizeof(double));
    }
}

/* ---- create ------------------------------------------------------------------------------------------------------ */

static bool is_wanted(const cq_run *run) {
    const cq_steel *steel = &run->plan->steel;
    const bool strong = run->transforming || (steel->expansion_per_K > 0.0 && steel->yield_Pa.n > 0);
    return !run->options.skip_curve && !run->grid->one_dimensional && strong;
}

static cq_status create_beam(cq_run *run) {
    const size_t n = run->steel_n;
    double *place = cq_memory_zero(3 * n, sizeof(double));
    cq_strength *strength = cq_memory_zero(1, sizeof *strength);
    cq_status status = place == NULL || strength == NULL ? CQ_ERR_MEMORY : CQ_OK;
    if (status == CQ_OK) {
        for (int row = 0; row < run->steel_rows; row++) {
            for (int j = 0; j < run->steel_across; j++) {
                const size_t c = (size_t)row * (size_t)run->steel_across + (size_t)j;
                const int cell = cq_distortion_cell(run, row, j);
                place[c] = run->grid->center_x_m[cell];
                place[n + c] = run->grid->center_y_m[cell];
                place[2 * n + c] = run->grid->area_m2[cell];
            }
        }
        if (run->transforming) {
            cq_strength_of_steel(strength);
        } else {
            cq_strength_of_inert(strength, run->plan->steel.expansion_per_K, &run->plan->steel.yield_Pa);
        }
        const cq_beam_shape shape = {(size_t)run->steel_rows, (size_t)run->steel_across, place, place + n,
                                     place + 2 * n,           run->grid->symmetric};
        status = cq_beam_create(&run->distortion->beam, &shape, strength);
    }
    cq_memory_free(place);
    cq_memory_free(strength);
    return status;
}

cq_status cq_run_distortion_create(cq_run *run) {
    if (!is_wanted(run)) {
        return CQ_OK;
    }
    cq_distortion *d = run->distortion = cq_memory_zero(1, sizeof *d);
    double *history = run->result.curve.time_s = cq_memory_zero(3 * (size_t)HISTORY, sizeof(double));
    if (d == NULL || history == NULL) {
        return CQ_ERR_MEMORY;
    }
    run->result.curve.curvature_1_m = history + HISTORY;
    run->result.curve.side_curvature_1_m = history + 2 * HISTORY;
    d->T = cq_memory_zero(3 * (run->steel_n + CQ_LANES), sizeof(double));
    if (d->T == NULL) {
        return CQ_ERR_MEMORY;
    }
    d->before = d->T + run->steel_n + CQ_LANES;
    d->severity = d->before + run->steel_n + CQ_LANES;
    return create_beam(run);
}

void cq_run_distortion_free(cq_run *run) {
    cq_memory_free(run->result.curve.time_s);
    cq_memory_free(run->result.axial_stress_Pa);
    if (run->distortion != NULL) {
        cq_beam_free(run->distortion->beam);
        cq_memory_free(run->distortion->T);
        cq_memory_free(run->distortion);
    }
}

/* ---- the run ----------------------------------------------------------------------------------------------------- */

/* Every second entry goes when the room is full: a long run loses detail, no memory. */
static void keep_history(cq_run *run, double time_s) {
    cq_curve *h = &run->result.curve;
    if (h->n == HISTORY) {
        for (size_t i = 0; i < HISTORY / 2; i++) {
            h->time_s[i] = h->time_s[2 * i];
            h->curvature_1_m[i] = h->curvature_1_m[2 * i];
            h->side_curvature_1_m[i] = h->side_curvature_1_m[2 * i];
        }
        h->n = HISTORY / 2;
    }
    const cq_beam_bend bend = cq_beam_bend_now(run->distortion->beam);
    h->time_s[h->n] = time_s;
    /* a longer top stands out convex: the ends go toward the edge */
    h->curvature_1_m[h->n] = run->found.curvature_1_m - bend.along_1_m;
    h->side_curvature_1_m[h->n++] = run->found.side_curvature_1_m - bend.across_1_m;
}

void cq_run_distortion_begin(cq_run *run) {
    cq_distortion *d = run->distortion;
    if (d == NULL) {
        return;
    }
    take_temperatures(run, d->T);
    double *carbon = d->before; /* only until the run begins */
    for (size_t c = 0; run->transforming && c < run->steel_n; c++) {
        carbon[c] = cq_run_soak_at(run, c)->soak.carbon_solution_wt;
    }
    cq_beam_begin(d->beam, d->T, cq_distortion_structure(run), run->transforming ? carbon : NULL);
    cq_run_crack_begin(run);
    keep_history(run, 0.0);
}

static void update(cq_run *run, double time_s) {
    cq_distortion *d = run->distortion;
    d->unbalanced += cq_beam_step(d->beam, d->T, cq_distortion_structure(run)) != CQ_OK;
    d->worst = fmax(d->worst, cq_beam_residual(d->beam));
    d->updates++;
    keep_history(run, time_s);
    cq_run_crack_look(run, time_s, false);
}

void cq_run_distortion_step(cq_run *run) {
    cq_distortion *d = run->distortion;
    if (d == NULL) {
        return;
    }
    take_temperatures(run, d->T);
    if (cq_beam_is_due(d->beam, d->T, cq_distortion_structure(run))) {
        const double started = thread_seconds();
        update(run, run->heat->time_s);
        d->seconds += thread_seconds() - started;
    }
}

/* ---- what the smith measures ------------------------------------------------------------------------------------- */

static bool oil_alone(const cq_plan *plan) {
    bool oil = false, water = false;
    for (size_t s = 0; s < plan->steps_n; s++) {
        oil = oil || plan->steps[s].bath.kind == CQ_BATH_OIL;
        water = water || plan->steps[s].bath.kind == CQ_BATH_BOILING;
    }
    return oil && !water;
}

void cq_result_band_m(const cq_result *r, double rise_m, double *low_m, double *high_m) {
    const double L = r->plan->blade.length_m;
    *low_m = *high_m = NAN;
    if (L > 0.0) {
        const double half = fmax(BAND * fabs(rise_m), LEAST_M * (L / LEAST_ON_M) * (L / LEAST_ON_M)),
                     beyond = r->curve.direction_only ? (OIL_SHORT - 1.0) * rise_m : 0.0;
        *low_m = fmin(rise_m - half, rise_m + beyond);
        *high_m = fmax(rise_m + half, rise_m + beyond);
    }
}

static cq_bend bend_of(const cq_run *run) {
    const cq_beam_bend now = cq_beam_bend_now(run->distortion->beam);
    const double L = run->plan->blade.length_m;
    cq_bend b = {.curvature_1_m = run->found.curvature_1_m - now.along_1_m,
                 .side_curvature_1_m = run->found.side_curvature_1_m - now.across_1_m,
                 .rise_m = NAN,
                 .low_m = NAN,
                 .high_m = NAN,
                 .side_bend_m = NAN};
    if (L > 0.0) {
        b.rise_m = b.curvature_1_m * L * L / 8.0;
        b.side_bend_m = b.side_curvature_1_m * L * L / 8.0;
        cq_result_band_m(&run->result, b.rise_m, &b.low_m, &b.high_m);
    }
    return b;
}

/* Straight down to 20 degC with the structure as it is: the last degrees, or what is left where steps end warm. */
static void cool_to_room(cq_run *run) {
    cq_distortion *d = run->distortion;
    take_temperatures(run, d->before);
    for (int step = 0; step <= COOLING_STEPS; step++) {
        const double u = (double)step / COOLING_STEPS;
        for (size_t c = 0; c < run->steel_n; c++) {
            d->T[c] = d->before[c] + u * (ROOM_K - d->before[c]);
        }
        d->unbalanced += cq_beam_step(d->beam, d->T, cq_distortion_structure(run)) != CQ_OK;
        d->worst = fmax(d->worst, cq_beam_residual(d->beam));
    }
    d->updates += COOLING_STEPS + 1;
    keep_history(run, run->heat->time_s);
    cq_run_crack_look(run, run->heat->time_s, true);
}

static void spread_out(const cq_run *run, double *to) {
    const cq_grid *g = run->grid;
    for (size_t c = 0; c < (size_t)g->along * (size_t)g->across; c++) {
        to[c] = NAN;
    }
    for (int row = 0; row < run->steel_rows; row++) {
        memcpy(to + cq_distortion_cell(run, row, 0),
               cq_beam_stress_Pa(run->distortion->beam) + (size_t)row * (size_t)run->steel_across,
               (size_t)run->steel_across * sizeof(double));
    }
}

/* Mean over the hard zone; NaN without one. */
static double edge_stress(const cq_run *run) {
    double sum = 0.0, area = 0.0;
    for (int row = 0; run->transforming && row < run->steel_rows; row++) {
        for (int j = 0; j < run->steel_across; j++) {
            const size_t c = (size_t)row * (size_t)run->steel_across + (size_t)j;
            if (cq_distortion_structure(run)[CQ_MARTENSITE][c] > 0.5) {
                const double a = run->grid->area_m2[cq_distortion_cell(run, row, j)];
                sum += a * cq_beam_stress_Pa(run->distortion->beam)[c];
                area += a;
            }
        }
    }
    return area > 0.0 ? sum / area : NAN;
}

static void tell_stress(cq_run *run) {
    cq_curve *h = &run->result.curve;
    const double *stress = cq_beam_stress_Pa(run->distortion->beam);
    h->edge_stress_Pa = edge_stress(run);
    h->edge_face_stress_Pa = NAN;
    h->least_stress_Pa = h->most_stress_Pa = stress[0];
    for (int row = 0; row < run->steel_rows; row++) {
        for (int j = 0; j < run->steel_across; j++) {
            const size_t c = (size_t)row * (size_t)run->steel_across + (size_t)j;
            h->least_stress_Pa = fmin(h->least_stress_Pa, stress[c]);
            h->most_stress_Pa = fmax(h->most_stress_Pa, stress[c]);
            const bool face = j == run->steel_across - 1 || (j == 0 && !run->grid->symmetric);
            if (face && run->transforming && cq_distortion_structure(run)[CQ_MARTENSITE][c] > 0.5) {
                h->edge_face_stress_Pa =
                    fmin(stress[c], isnan(h->edge_face_stress_Pa) ? stress[c] : h->edge_face_stress_Pa);
            }
        }
    }
}

/* ---- tempers ----------------------------------------------------------------------------------------------------- */

/* Temper n on top of those before it: growth and relief of what is left. */
static void temper(cq_run *run, size_t n) {
    cq_distortion *d = run->distortion;
    const cq_temper *t = run->plan->temper;
    double *growth = d->before, *relaxed = d->T; /* temperatures are done with: all is at 20 degC */
    const double hard = 1.0 - (1.0 - cq_relief_of_martensite(t, n + 1)) / (1.0 - cq_relief_of_martensite(t, n)),
                 soft = 1.0 - (1.0 - cq_relief_of_soft(t, n + 1)) / (1.0 - cq_relief_of_soft(t, n));
    for (int row = 0; row < run->steel_rows; row++) {
        for (int j = 0; j < run->steel_across; j++) {
            const size_t c = (size_t)row * (size_t)run->steel_across + (size_t)j;
            const double M = cq_distortion_structure(run)[CQ_MARTENSITE][c],
                         A = cq_distortion_structure(run)[CQ_AUSTENITE][c];
            const double carbon = cq_run_soak_at(run, c)->soak.carbon_solution_wt;
            growth[c] = cq_relief_growth(M, A, carbon, t, n + 1) - cq_relief_growth(M, A, carbon, t, n);
            relaxed[c] = M * hard + (1.0 - M) * soft;
        }
    }
    d->unbalanced += cq_beam_relax(d->beam, growth, relaxed) != CQ_OK;
}

static void temper_all(cq_run *run) {
    for (size_t n = 0; n < run->plan->temper_n && run->transforming; n++) {
        temper(run, n);
        if (n < run->result.tempers_n) {
            run->result.tempers[n].bend = bend_of(run);
            run->result.tempers[n].edge_stress_Pa = edge_stress(run);
        }
    }
}

/* ---- the answer -------------------------------------------------------------------------------------------------- */

double cq_result_precurve_m(const cq_result *r, double wanted_m) {
    const cq_bend *last = r->tempers_n > 0 ? &r->tempers[r->tempers_n - 1].bend : &r->curve.quenched;
    return r->curve.known ? wanted_m - last->rise_m : NAN;
}

static void no_bend(cq_bend *b) {
    *b = (cq_bend){NAN, NAN, NAN, NAN, NAN, NAN};
}

cq_status cq_run_distortion_answer(cq_run *run) {
    cq_distortion *d = run->distortion;
    cq_result *r = &run->result;
    no_bend(&r->curve.quenched);
    for (size_t n = 0; n < r->tempers_n; n++) {
        no_bend(&r->tempers[n].bend);
        r->tempers[n].edge_stress_Pa = NAN;
    }
    if (d == NULL) {
        return CQ_OK;
    }
    const size_t cells = (size_t)run->grid->along * (size_t)run->grid->across;
    r->axial_stress_Pa = cq_memory_zero(2 * cells, sizeof(double));
    if (r->axial_stress_Pa == NULL) {
        return CQ_ERR_MEMORY;
    }
    r->tempered_stress_Pa = r->axial_stress_Pa + cells;
    const double started = thread_seconds();
    r->curve.known = true;
    r->curve.direction_only = oil_alone(run->plan);
    cool_to_room(run);
    r->curve.quenched = bend_of(run);
    const cq_beam_parts parts = cq_beam_bend_parts(d->beam);
    r->curve.found_1_m = run->found.curvature_1_m;
    r->curve.free_1_m = -parts.free_1_m;
    r->curve.plastic_1_m = -parts.plastic_1_m;
    r->curve.turned_1_m = -parts.turned_1_m;
    cq_run_find_turns(&r->curve);
    tell_stress(run);
    cq_run_crack_answer(run);
    spread_out(run, r->axial_stress_Pa);
    temper_all(run);
    spread_out(run, r->tempered_stress_Pa);
    r->curve.updates = d->updates;
    r->curve.worst_residual = d->worst;
    r->curve.seconds = d->seconds + (thread_seconds() - started);
    if (d->unbalanced > 0) {
        cq_run_notice(run, "force-balance", d->unbalanced,
                      "force and moments along the blade were not brought to balance; do not trust the curve");
    }
    return CQ_OK;
}

bool cq_run_lasting_bend(const cq_run *run, double bend_1_m[2]) {
    if (run->distortion == NULL || !run->result.curve.known) {
        return false;
    }
    const cq_beam_parts parts = cq_beam_bend_parts(run->distortion->beam);
    bend_1_m[0] = run->found.curvature_1_m - parts.plastic_1_m - parts.turned_1_m;
    bend_1_m[1] = run->found.side_curvature_1_m - parts.lasting_across_1_m;
    return true;
}
