/* heats.c - heats before the last: each is a run of its own; what it leaves is what the next one finds.
 *
 * What is found: the share of every height that was martensite or austenite, which the soak law takes for the stock
 * `quenched`; what never turned, which is the stock it was; the rest for `cycled` (fine pearlite; chosen here); and a
 * bend. Heated through to austenite the blade
 * loses its stress by flowing and the growth of its structures; a section that stays plane keeps what plastic strain
 * and turning under stress bent it by:
 *
 *   bend found = bend found before + bend of (plastic + turned) strain, at one stiffness                         (1)
 *
 * The last beam then starts straight and without stress, and (1) is added: bends are small. What the blade yields by on
 * the way up is not seen.
 */
#include "quench/heats.h"
#include "quench/run.h"

#include "base/memory.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

cq_plan cq_plan_up_to(const cq_plan *plan, size_t h) {
    cq_plan view = *plan;
    if (h < plan->earlier_n) {
        const cq_earlier_heat *e = &plan->earlier[h];
        view.heat = e->heat;
        view.steps = e->steps;
        view.steps_n = e->steps_n;
        view.temper = e->temper;
        view.temper_n = e->temper_n;
        view.temper_after_s = e->temper_after_s;
        view.earlier_n = h;
    }
    view.lost_n = h == 0 ? plan->lost_n : 0;
    return view;
}

cq_status cq_run_heats_create(cq_run *run) {
    run->result.heats = cq_memory_zero(run->plan->earlier_n + 1, sizeof *run->result.heats);
    return run->result.heats == NULL ? CQ_ERR_MEMORY : CQ_OK;
}

void cq_run_heats_free(cq_run *run) {
    cq_memory_free(run->result.heats);
    cq_memory_free(run->found.height_m);
}

void cq_run_heats_answer(cq_run *run) {
    cq_result *r = &run->result;
    cq_heat_answer *a = &r->heats[r->heats_n++];
    *a = (cq_heat_answer){.heat = run->plan->heat,
                          .verdict = r->verdict,
                          .has_line = r->has_line,
                          .line_surface_m = r->line_surface_m,
                          .edge_HV = r->edge.HV,
                          .edge_HRC = r->edge.HRC,
                          .spine_HV = r->spine.HV,
                          .spine_HRC = r->spine.HRC,
                          .grain_ASTM = r->grain_ASTM,
                          .carbon_in_solution_wt = r->carbon_in_solution_wt,
                          .crack_known = r->crack.known,
                          .crack_class = r->crack.class_n,
                          .crack_index_MPa = r->crack.index_MPa,
                          .crack_time_s = r->crack.time_s,
                          .rise_m = r->curve.known ? r->curve.quenched.rise_m : NAN,
                          .kept_m = NAN,
                          .tempers_n = run->plan->temper_n,
                          .step_ends_n = r->step_ends_n};
    const size_t room = sizeof a->step_ends / sizeof a->step_ends[0];
    a->step_ends_n = a->step_ends_n < room ? a->step_ends_n : room;
    memcpy(a->step_ends, r->step_ends, a->step_ends_n * sizeof a->step_ends[0]);
    double bend[2];
    const double L = run->plan->blade.length_m;
    if (cq_run_lasting_bend(run, bend) && L > 0.0) {
        a->kept_m = bend[0] * L * L / 8.0;
    }
}

/* By height, of each row: the share that was martensite or austenite, and the share that is still the first stock. What
 * did not turn in a heat is what it was before it. */
static cq_status find_stock(cq_run *run, const cq_run *first) {
    const size_t n = (size_t)first->steel_rows;
    double *block = cq_memory_zero(3 * n, sizeof(double));
    if (block == NULL) {
        return CQ_ERR_MEMORY;
    }
    run->found.n = n;
    run->found.height_m = block;
    run->found.hardened = block + n;
    run->found.untouched = block + 2 * n;
    run->found.stock = first->found.n > 0 ? first->found.stock : first->plan->heat.stock;
    double *const *f = first->structure[first->now].fraction;
    const cq_grid *g = first->grid;
    for (size_t row = 0; row < n; row++) {
        double hard = 0.0, unturned = 0.0, area = 0.0;
        for (int j = 0; j < first->steel_across; j++) {
            const size_t c = row * (size_t)first->steel_across + (size_t)j;
            const double a = g->area_m2[(g->steel_i0 + (int)row) * g->across + g->steel_j0 + j];
            hard += a * (f[CQ_MARTENSITE][c] + f[CQ_AUSTENITE][c]);
            unturned += a * (1.0 - cq_run_soak_at(first, c)->soak.austenite);
            area += a;
        }
        const double height_m = first->result.along.height_m[row];
        const cq_run_stock before =
            first->found.n > 0 ? cq_run_stock_before(first, height_m) : (cq_run_stock){.untouched = 1.0};
        run->found.height_m[row] = height_m;
        run->found.untouched[row] = unturned / area * before.untouched;
        run->found.hardened[row] = fmin(1.0 - run->found.untouched[row], (hard + unturned * before.hardened) / area);
    }
    return CQ_OK;
}

/* What the earlier heats noticed, each told with its number. */
static void carry_notices(cq_run *run, const cq_run *first) {
    const cq_result *r = &first->result;
    for (size_t n = 0; n < r->notices_n; n++) {
        const cq_notice *notice = &r->notices[n];
        if (strncmp(notice->sentence, "heat ", 5) == 0) {
            cq_run_notice(run, notice->code, notice->count, "%s", notice->sentence);
        } else {
            cq_run_notice(run, notice->code, notice->count, "heat %zu: %s", first->plan->earlier_n + 1,
                          notice->sentence);
        }
    }
}

static cq_status take_over(cq_run *run, const cq_run *first, cq_error *error) {
    cq_result *r = &run->result;
    memcpy(r->heats, first->result.heats, first->result.heats_n * sizeof *r->heats);
    r->heats_n = first->result.heats_n;
    double bend[2];
    if (cq_run_lasting_bend(first, bend)) {
        run->found.curvature_1_m = bend[0];
        run->found.side_curvature_1_m = bend[1];
    }
    carry_notices(run, first);
    if (!run->transforming || !run->plan->heat.follows) {
        return CQ_OK;
    }
    cq_status status = find_stock(run, first);
    if (status < 0) {
        return cq_error_say(error, status, "heats", "", "", "structure before the last heat");
    }
    cq_run_soaks_free(run);
    return cq_run_soaks_create(run, error);
}

cq_run_stock cq_run_stock_before(const cq_run *run, double height_m) {
    const double *x = run->found.height_m, *hard = run->found.hardened, *old = run->found.untouched;
    const size_t n = run->found.n;
    size_t i = 0;
    while (i + 2 < n && x[i + 1] < height_m) {
        i++;
    }
    if (n < 2) {
        return (cq_run_stock){hard[0], old[0]};
    }
    const double u = fmin(1.0, fmax(0.0, (height_m - x[i]) / (x[i + 1] - x[i])));
    return (cq_run_stock){hard[i] + u * (hard[i + 1] - hard[i]), old[i] + u * (old[i + 1] - old[i])};
}

cq_status cq_run_heats_go(cq_run *run, const cq_observer *observer, cq_error *error) {
    if (run->plan->earlier_n == 0) {
        return CQ_OK;
    }
    cq_plan part = cq_plan_up_to(run->whole, run->plan->earlier_n - 1);
    part.probes_n = part.times_n = 0; /* places and times are recorded of the last heat */
    part.every_s = 0.0;
    cq_run_options options = run->options;
    options.keep_frames = false;
    cq_run *first = NULL;
    cq_status status = cq_run_create(&first, &part, &options, error);
    status = status < 0 ? status : cq_run_go(first, observer, error);
    status = status < 0 ? status : take_over(run, first, error);
    cq_run_free(first);
    return status;
}
