/* run.c - a run from its beginning to its answer: the plan's steps one after the other, each with its bath. */
#include "quench/run.h"
#include "quench/built.h"
#include "quench/fire.h"
#include "quench/heats.h"
#include "quench/zones.h"

#include "base/memory.h"
#include "base/units.h"

#include <math.h>
#include <string.h>
#include <time.h>

static const double OPEN_BOOKS = 2e-3; /* what a default grid should close to */
static const double ROOM_K = 298.15;   /* structure and hardness are read at or below 25 degC */

/* ---- create and free --------------------------------------------------------------------------------------------- */

static cq_status create_heat(cq_run *run, cq_error *error) {
    double *film_heat = cq_memory_zero((size_t)cq_heat_ends(run->grid), sizeof(double));
    if (film_heat == NULL) {
        return CQ_ERR_MEMORY;
    }
    cq_run_film_heat(run, film_heat);
    cq_status status = cq_heat_create(&run->heat, run->grid, film_heat, error);
    cq_memory_free(film_heat);
    if (status == CQ_OK) {
        run->heat->split_tolerance /= run->plan->grid.refine * run->plan->grid.refine;
        status = cq_run_cells_create(run);
    }
    if (status == CQ_OK) {
        status = cq_run_faces_create(run);
    }
    if (status == CQ_OK) {
        status = cq_run_warming_create(run);
    }
    if (status == CQ_OK && run->clay_n == 0 && run->plan->coat.n > 0 && run->plan->clay.heat_capacity_J_m3K.n == 0) {
        return cq_error_say(error, CQ_ERR_ARGUMENT, "clay.mix", "a mix for the coat", "", "none");
    }
    return status;
}

/* What the cells are made of and what the heat has made of that. */
static cq_status create_heating(cq_run *run, cq_error *error) {
    cq_status status = cq_run_built_create(run, error);
    status = status < 0 ? status : cq_run_fire_create(run, error);
    return status < 0 ? status : cq_run_soaks_create(run, error);
}

cq_status cq_run_create(cq_run **run, const cq_plan *plan, const cq_run_options *options, cq_error *error) {
    cq_run *r = cq_memory_zero(1, sizeof *r);
    if (r == NULL) {
        return cq_error_say(error, CQ_ERR_MEMORY, "", "", "", "run");
    }
    r->whole = r->plan = plan;
    if (plan->earlier_n > 0) {
        r->view = cq_plan_up_to(plan, plan->earlier_n);
        r->plan = plan = &r->view;
    }
    r->options = options == NULL ? (cq_run_options){.keep_frames = false} : *options;
    r->transforming = plan->steel.kind == CQ_STEEL_TRANSFORMING;
    r->client = (cq_heat_client){r, cq_run_fill, cq_run_settle, cq_run_flux};
    cq_status status = cq_section_create(&r->section, &plan->blade, &plan->coat, error);
    for (size_t n = 0; status >= 0 && n < plan->lost_n; n++) {
        r->section->symmetric = r->section->symmetric && plan->lost[n].face == CQ_FACE_MID; /* one face will differ */
    }
    if (status >= 0) {
        r->section->symmetric = r->section->symmetric && cq_zones_are_symmetric(&plan->zones);
        status = cq_grid_create(&r->grid, r->section, &plan->grid, error);
    }
    if (status >= 0) {
        status = create_heat(r, error);
    }
    if (status >= 0) {
        status = create_heating(r, error);
    }
    if (status >= 0) {
        status = cq_run_record_create(r);
    }
    if (status >= 0) {
        status = cq_run_distortion_create(r);
    }
    if (status >= 0) {
        status = cq_run_heats_create(r);
    }
    if (status < 0) {
        if (error != NULL && error->count == 0) {
            cq_error_say(error, status, "", "", "use a smaller grid", "%s", cq_status_sentence(status));
        }
        cq_run_free(r);
        return status;
    }
    r->result.plan = plan;
    r->result.section = r->section;
    r->result.grid = r->grid;
    r->result.transforming = r->transforming;
    r->result.cells = cq_grid_cells(r->grid);
    r->result.film_edge.time_s = r->result.film_body.time_s = r->result.film_spine.time_s = NAN;
    *run = r;
    return CQ_OK;
}

void cq_run_free(cq_run *run) {
    if (run == NULL) {
        return;
    }
    cq_run_record_free(run);
    cq_run_distortion_free(run);
    cq_run_cells_free(run);
    cq_memory_free(run->faces);
    cq_memory_free(run->coat_m);
    cq_memory_free(run->film_m2K_W);
    cq_memory_free(run->end_law);
    cq_flux_law_free(run->law == run->air ? NULL : run->law);
    cq_flux_law_free(run->before == run->air ? NULL : run->before);
    cq_flux_law_free(run->air);
    cq_memory_free(run->wetting);
    cq_memory_free(run->baths);
    cq_run_soaks_free(run);
    cq_run_heats_free(run);
    cq_run_fire_free(run);
    cq_run_built_free(run);
    cq_heat_free(run->heat);
    cq_grid_free(run->grid);
    cq_section_free(run->section);
    cq_memory_free(run->result.along.height_m);
    cq_memory_free(run->result.hardness_HV);
    cq_memory_free(run);
}

const cq_result *cq_run_result(const cq_run *run) {
    return &run->result;
}

/* ---- beginning --------------------------------------------------------------------------------------------------- */

static cq_status begin(cq_run *run) {
    for (size_t n = 0; n < run->spans_n; n++) {
        const cq_run_span *span = &run->spans[n];
        const cq_run_soak *s = &run->soaks[span->soak];
        cq_structure_begin(&run->structure[run->now], span->first, span->last, &s->soak, s->temperature_K);
    }
    double *T = cq_memory_zero(run->heat->size, sizeof(double)), *H = cq_memory_zero(run->heat->size, sizeof(double));
    if (T == NULL || H == NULL) {
        cq_memory_free(T);
        cq_memory_free(H);
        return CQ_ERR_MEMORY;
    }
    for (size_t a = 0; a < run->heat->size; a++) {
        T[a] = cq_run_soak_K(run, 0.0);
    }
    for (int i = 0; i < run->grid->along; i++) {
        for (int j = 0; j < run->grid->across; j++) {
            T[cq_heat_at(run->heat, i, j)] = cq_run_soak_K(run, run->grid->center_x_m[i * run->grid->across + j]);
        }
    }
    if (run->fire != NULL) {
        memcpy(T, run->fire->T_K, run->heat->size * sizeof(double));
    }
    cq_run_enthalpy(run, T, H);
    cq_heat_begin(run->heat, T, H);
    run->content_start_J_m = cq_heat_content(run->heat, run->heat->H, run->heat->T);
    for (size_t a = 0; a < run->heat->size; a++) {
        T[a] = ROOM_K;
    }
    cq_run_enthalpy(run, T, H);
    run->heat_scale_J_m = fabs(run->content_start_J_m - cq_heat_content(run->heat, H, T));
    cq_memory_free(T);
    cq_memory_free(H);
    cq_run_distortion_begin(run);
    return CQ_OK;
}

static void notice_beginning(cq_run *run) {
    const cq_plan *plan = run->plan;
    if (run->section->sloped_steps > 0) {
        cq_run_notice(
            run, "rim-sloped", (size_t)run->section->sloped_steps,
            "a step in the clay was sloped to 45 degrees about its middle: wet clay does not hold a vertical rim");
    }
    if (plan->coat_was_wet) {
        cq_run_notice(run, "clay-dried", 1, "clay thicknesses were given wet; dry they are %.2f of that",
                      plan->clay.drying_factor);
    }
    cq_run_soak_notices(run);
    cq_run_fire_notices(run);
    cq_run_judged_notice(run);
    cq_run_built_notices(run);
}

/* ---- one step of the timeline ------------------------------------------------------------------------------------ */

/* March to the goal; clay falls off on the way at its times. */
static cq_status march_losing(cq_run *run, const cq_run_goal *to, const cq_observer *observer, cq_error *error) {
    const cq_plan *plan = run->plan;
    while (run->lost_next < plan->lost_n && plan->lost[run->lost_next].after_s < to->end_s) {
        const cq_run_goal until_then = {fmax(run->heat->time_s, plan->lost[run->lost_next].after_s), to->until_K,
                                        to->records};
        const cq_status status = cq_run_march(run, &until_then, observer, error);
        if (status < 0 || run->heat->time_s < until_then.end_s - 1e-9) {
            return status; /* cold enough before it fell */
        }
        const cq_status lost = cq_run_lose(run, &plan->lost[run->lost_next++], error);
        if (lost < 0) {
            return lost;
        }
    }
    return cq_run_march(run, to, observer, error);
}

/* Point first: the section goes on as it was until half the blade is in. */
static cq_status wait_for_the_point(cq_run *run, const cq_step_plan *step, const cq_observer *observer,
                                    cq_error *error) {
    if (step->entry != CQ_ENTRY_POINT_FIRST) {
        return CQ_OK;
    }
    if (run->step == NULL) {
        run->after = (cq_step_plan){.bath = cq_still_air(), .at_K = 293.15};
        const cq_status status = cq_run_enter(run, &run->after, error);
        if (status < 0) {
            return status;
        }
    }
    const cq_run_goal then = {run->heat->time_s + 0.5 * run->section->length_m / step->speed_m_s, 0.0, true};
    return march_losing(run, &then, observer, error);
}

static cq_status go_step(cq_run *run, size_t s, const cq_observer *observer, cq_error *error) {
    const cq_step_plan *step = &run->plan->steps[s];
    const double end_s = step->for_s > 0.0 ? run->heat->time_s + step->for_s : INFINITY;
    cq_status status = wait_for_the_point(run, step, observer, error);
    status = status < 0 ? status : cq_run_enter(run, step, error);
    if (status < 0) {
        return status;
    }
    if (step->bath.kind != CQ_BATH_GAS && !run->entered_bath) {
        run->entered_bath = true;
        run->entered_s = run->heat->time_s;
    }
    if (s == 0) {
        cq_run_record_step(run, 0.0);
        status = cq_run_record_frames(run);
    }
    const cq_run_goal to = {end_s, step->until_K, true};
    status = status < 0 ? status : march_losing(run, &to, observer, error);
    cq_run_notice_outside(run, s);
    if (status >= 0) {
        cq_run_record_step_end(run, s);
    }
    return status;
}

static cq_status go_steps(cq_run *run, const cq_observer *observer, cq_error *error) {
    cq_status status = CQ_OK;
    for (size_t s = 0; s < run->plan->steps_n && status >= 0; s++) {
        status = go_step(run, s, observer, error);
    }
    run->result.end_time_s = run->heat->time_s;
    return status;
}

/* Structure and hardness are read at room temperature: a transforming steel is followed in still air. */
static cq_status cool_in_air(cq_run *run, const cq_observer *observer, cq_error *error) {
    if (!run->transforming || cq_run_hottest_K(run, run->heat->T) <= ROOM_K) {
        return CQ_OK;
    }
    run->after = (cq_step_plan){.bath = cq_still_air(), .at_K = 293.15};
    const bool had_entered = run->entered_bath;
    run->after_steps = true;
    run->entered_bath = false; /* histories of the film end with the plan's steps */
    cq_status status = cq_run_enter(run, &run->after, error);
    const cq_run_goal to = {INFINITY, ROOM_K, false};
    status = status < 0 ? status : cq_run_march(run, &to, observer, error);
    run->entered_bath = had_entered;
    run->result.air_after_s = run->heat->time_s - run->result.end_time_s;
    cq_run_notice(run, "cooled-in-air", 1, "after the last step, %.0f s in still air to 25 °C (77 °F)",
                  run->result.air_after_s);
    return status;
}

static double thread_seconds(void) {
    struct timespec t;
    clock_gettime(CLOCK_THREAD_CPUTIME_ID, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

cq_status cq_run_go(cq_run *run, const cq_observer *observer, cq_error *error) {
    cq_result *r = &run->result;
    const cq_status before = cq_run_heats_go(run, observer, error);
    if (before < 0) {
        return before;
    }
    if (begin(run) != CQ_OK) {
        return cq_error_say(error, CQ_ERR_MEMORY, "", "", "", "start of the run");
    }
    notice_beginning(run);
    const double started = thread_seconds();
    cq_status status = go_steps(run, observer, error);
    if (status >= 0) {
        status = cool_in_air(run, observer, error);
    }
    r->core_s = thread_seconds() - started;
    const double whole = run->grid->symmetric && !run->grid->round ? 2.0 : 1.0; /* half a section was computed */
    r->heat_out_J_m = whole * run->heat->heat_out_J_m;
    r->heat_stored_change_J_m =
        whole * (run->content_start_J_m - cq_heat_content(run->heat, run->heat->H, run->heat->T));
    r->energy_imbalance = fabs(r->heat_stored_change_J_m - r->heat_out_J_m) / fabs(r->heat_out_J_m);
    if (r->energy_imbalance > OPEN_BOOKS) {
        cq_run_notice(run, "energy-open", 1,
                      "heat stored and heat given off differ by %.2g %%: refine the grid before trusting details",
                      100.0 * r->energy_imbalance);
    }
    for (size_t n = 0; n < run->plan->times_n; n++) {
        if (run->plan->times_s[n] > r->end_time_s + 1e-9) {
            cq_run_notice(run, "times-after-end", 1, "times to record after the last step's end at %.4g s are not met",
                          r->end_time_s);
        }
    }
    cq_run_notice_warmth(run);
    cq_run_notice_not_lost(run);
    if (run->heat->closures_failed > 0) {
        cq_run_notice(run, "face-balance", run->heat->closures_failed,
                      "at a few moments a face's temperature was found only roughly: what it misplaced is in the "
                      "energy imbalance, "
                      "and below 0.2 %% it moves no answer; above, run with grid: {refine: 2}");
    }
    if (status >= 0) {
        if (run->options.keep_frames) {
            status = cq_run_keep_frame(run);
        }
        status = status < 0 ? status : cq_run_answer(run);
        status = status < 0 ? status : cq_run_distortion_answer(run);
        if (status < 0) {
            return cq_error_say(error, status, "", "", "", "answer");
        }
        cq_run_built_notices_after(run);
        cq_run_heats_answer(run);
        cq_run_cautions(run);
    }
    return status < 0 ? status : (r->notices_n > 0 ? CQ_NOTICED : CQ_OK);
}
