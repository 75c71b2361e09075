/* warming.c - a bath of a stated volume: how much the blade warms it, how warm it is found again, and when its
 * description no longer holds.
 *
 * What the wet faces give off over the blade's length warms the volume evenly; the law is made anew every half kelvin.
 * A bath loses nothing while the blade is out. Steps share a bath where everything is said of it in the same words:
 * name, temperature, volume and every figure.
 */
#include "quench/run.h"

#include "base/memory.h"
#include "base/units.h"
#include "boundary/brine.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static const double OIL_J_m3K = 1.8e6; /* 850 kg/m3, 2.1 kJ/kg/K; from memory */
static const double WARMER_K =
    0.5; /* at which the law is made anew: 0.1 % of a flux that grows 8 K of rewetting per K; chosen here */
static const double WATER_MOST_K = 372.65; /* half a kelvin short of where its law ends */
static const double TOLD_K = 1.0;          /* less warming than this is not worth a word; chosen here */

cq_status cq_run_warming_create(cq_run *run) {
    run->baths = cq_memory_zero(run->plan->steps_n + 1, sizeof *run->baths);
    return run->baths == NULL ? CQ_ERR_MEMORY : CQ_OK;
}

/* ---- which steps share a bath ------------------------------------------------------------------------------------ */

static bool alike(double a, double b) {
    return fabs(a - b) <= 1e-9 * fmax(fabs(a), fabs(b));
}

static bool same_table(const cq_table *a, const cq_table *b) {
    bool same = a->n == b->n && a->interpolation == b->interpolation;
    for (size_t i = 0; same && i < a->n; i++) {
        same = alike(a->x[i], b->x[i]) && alike(a->y[i], b->y[i]);
    }
    return same;
}

static bool same_bath(const cq_bath *a, const cq_bath *b) {
#define FIGURE(member)                                                                                                 \
    { a->member, b->member }
    const double figure[][2] = {
        FIGURE(volume_m3),
        FIGURE(heat_capacity_J_m3K),
        FIGURE(salt),
        FIGURE(flash_K),
        FIGURE(film_factor),
        FIGURE(rewetting_factor),
        FIGURE(peak_factor),
        FIGURE(nucleate_factor),
        FIGURE(convection_factor),
        FIGURE(rewetting_shift_K),
        FIGURE(transition_exponent),
        FIGURE(contact_time_s),
        FIGURE(film_convection_W_m2K),
        FIGURE(convection_W_m2K),
        FIGURE(scale_m),
        FIGURE(scale_conductivity_W_mK),
        FIGURE(scale_heat_capacity_J_m3K),
        FIGURE(oil_film_W_m2K),
        FIGURE(oil_rewetting_K),
        FIGURE(oil_peak_K),
        FIGURE(oil_peak_W_m2K),
        FIGURE(oil_boiling_K),
        FIGURE(oil_viscosity_40_m2_s),
        FIGURE(oil_viscosity_100_m2_s),
    };
#undef FIGURE
    const char *name_a = a->name == NULL ? "" : a->name, *name_b = b->name == NULL ? "" : b->name;
    bool same = a->kind == b->kind && strcmp(name_a, name_b) == 0;
    for (size_t f = 0; same && f < sizeof figure / sizeof figure[0]; f++) {
        same = alike(figure[f][0], figure[f][1]);
    }
    return same && same_table(&a->heat_transfer_W_m2K, &b->heat_transfer_W_m2K);
}

/* Steps of a plan in one and the same bath, whose warmth counts. */
static bool shares(const cq_step_plan *a, const cq_step_plan *b) {
    return a->bath.volume_m3 > 0.0 && b->bath.volume_m3 > 0.0 && alike(a->at_K, b->at_K) &&
           same_bath(&a->bath, &b->bath);
}

/* The present step's place in the plan; NULL in the air after its steps. */
static cq_run_bath *present(const cq_run *run) {
    for (size_t s = 0; s < run->plan->steps_n; s++) {
        if (run->step == &run->plan->steps[s]) {
            return &run->baths[s];
        }
    }
    return NULL;
}

double cq_run_bath_found_K(const cq_run *run, const cq_step_plan *step) {
    double found_K = step->at_K;
    for (size_t s = 0; s < run->plan->steps_n && step != &run->plan->steps[s]; s++) {
        if (run->baths[s].left_K > 0.0 && shares(&run->plan->steps[s], step)) {
            found_K = run->baths[s].left_K;
        }
    }
    return found_K;
}

/* ---- a step ------------------------------------------------------------------------------------------------------ */

void cq_run_warming_begin(cq_run *run, double at_K) {
    cq_run_bath *bath = present(run);
    run->bath_begin_K = at_K;
    run->bath_K = run->step->bath.kind == CQ_BATH_GAS ? run->bath_K : at_K;
    run->begin_heat_out_J_m = run->heat->heat_out_J_m;
    run->dry_heat_J_m = 0.0;
    if (bath != NULL) {
        *bath = (cq_run_bath){at_K, at_K, at_K, false};
    }
}

/* Faces of the present step under a law for the bath as it is now. */
static cq_status renew_law(cq_run *run, cq_error *error) {
    cq_flux_law *law;
    cq_step_plan now = *run->step;
    now.at_K = run->bath_K;
    const cq_status status = cq_run_law_of(run, &now, &law, NULL);
    if (status < 0) {
        char key[48], warm[40];
        snprintf(key, sizeof key, "steps.%zu.volume", (size_t)(run->step - run->plan->steps));
        return cq_error_say(error, status, key, "a bath that stays where its description makes a curve",
                            "state a larger volume:, or a colder bath", "%.40s warmed to %s at %.3g s",
                            now.bath.name == NULL ? "the bath" : now.bath.name,
                            cq_temperature_text(run->bath_K, warm, sizeof warm), run->heat->time_s);
    }
    for (int e = 0; e < run->heat->ends_n; e++) {
        if (run->end_law[e] == run->law) {
            run->end_law[e] = law;
        }
    }
    cq_flux_law_free(run->law);
    run->law = law;
    cq_run_dress_faces(run, &now);
    return CQ_OK;
}

static double heat_capacity(const cq_bath *bath) {
    return bath->heat_capacity_J_m3K > 0.0 ? bath->heat_capacity_J_m3K
           : bath->kind == CQ_BATH_BOILING ? cq_brine_heat_capacity_J_m3K(bath->salt)
           : bath->kind == CQ_BATH_OIL     ? OIL_J_m3K
                                           : 0.0;
}

/* What faces out of the bath gave to the air during the step just accepted, W/m times s. */
static double dry_heat(const cq_run *run, double dt_s) {
    double sum = 0.0, slope;
    for (int e = 0; run->step->depth_m > 0.0 && e < run->heat->ends_n; e++) {
        const cq_heat_end *end = &run->heat->ends[e];
        if (end->cell >= 0 && end->exposed && run->end_law[e] == run->air) {
            sum += cq_flux_eval(run->air, &run->faces[e], run->heat->surface_K[e], &slope) * end->area_m * dt_s;
        }
    }
    return sum;
}

cq_status cq_run_warm(cq_run *run, double dt_s, cq_error *error) {
    cq_run_bath *place = run->step == NULL ? NULL : present(run);
    const cq_bath *bath = place == NULL ? NULL : &run->step->bath;
    if (bath == NULL || bath->kind == CQ_BATH_GAS || !(bath->volume_m3 > 0.0)) {
        return CQ_OK;
    }
    const double capacity = heat_capacity(bath);
    if (!(capacity > 0.0)) {
        return cq_error_say(error, CQ_ERR_ARGUMENT, "heat-capacity", "a heat capacity of the bath", "", "none");
    }
    run->dry_heat_J_m += dry_heat(run, dt_s);
    const double halves = run->grid->symmetric && !run->grid->one_dimensional ? 2.0 : 1.0;
    const double given_J_m = run->heat->heat_out_J_m - run->begin_heat_out_J_m - run->dry_heat_J_m;
    run->bath_K = run->bath_begin_K + halves * given_J_m * run->section->length_m / (capacity * bath->volume_m3);
    if (bath->kind == CQ_BATH_BOILING && run->bath_K > WATER_MOST_K) {
        run->bath_K = WATER_MOST_K;
        place->boiled = true;
    }
    place->left_K = run->bath_K;
    place->hottest_K = fmax(place->hottest_K, run->bath_K);
    return fabs(run->bath_K - cq_flux_law_bath_K(run->law)) > WARMER_K ? renew_law(run, error) : CQ_OK;
}

/* ---- what is told of it ------------------------------------------------------------------------------------------ */

/* The last step in the same bath as step s, and over all of them how hot it was. */
static size_t last_of(const cq_run *run, size_t s, cq_run_bath *all) {
    const cq_plan *plan = run->plan;
    size_t last = s;
    *all = run->baths[s];
    for (size_t n = s + 1; n < plan->steps_n; n++) {
        const cq_run_bath *b = &run->baths[n];
        if (b->left_K > 0.0 && shares(&plan->steps[s], &plan->steps[n])) {
            last = b->hottest_K > all->hottest_K ? n : last;
            all->hottest_K = fmax(all->hottest_K, b->hottest_K);
            all->boiled = all->boiled || b->boiled;
        }
    }
    return last;
}

static bool is_first(const cq_run *run, size_t s) {
    for (size_t n = 0; n < s; n++) {
        if (shares(&run->plan->steps[n], &run->plan->steps[s])) {
            return false;
        }
    }
    return run->baths[s].left_K > 0.0 && run->plan->steps[s].bath.volume_m3 > 0.0;
}

/* One bath, told once, whatever the number of its steps. */
static void notice_bath(cq_run *run, size_t first) {
    cq_run_bath all;
    const size_t last = last_of(run, first, &all);
    const cq_bath *bath = &run->plan->steps[first].bath;
    const char *name = bath->name == NULL ? "the bath" : bath->name;
    char from[40], to[40], most[40];
    cq_temperature_text(all.found_K, from, sizeof from);
    cq_temperature_text(all.hottest_K, to, sizeof to);
    if (all.hottest_K > all.found_K + TOLD_K) {
        cq_run_notice(run, "bath-warmed", 1, "steps.%zu: %.40s warms from %s to %s", last, name, from, to);
    }
    if (all.boiled) {
        cq_run_notice(run, "bath-boils", 1, "steps.%zu: %.40s comes to the boil and stays there: more heat makes steam",
                      last, name);
    } else if (bath->at_max_K > 0.0 && all.hottest_K > bath->at_max_K + 0.05) {
        cq_run_notice(run, "bath-range", 1, "steps.%zu: %.40s at %s is beyond %s, to where its description holds", last,
                      name, to, cq_temperature_text(bath->at_max_K, most, sizeof most));
    }
}

void cq_run_notice_warmth(cq_run *run) {
    for (size_t s = 0; s < run->plan->steps_n; s++) {
        if (is_first(run, s)) {
            notice_bath(run, s);
        }
    }
}
