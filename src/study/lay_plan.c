/* lay_plan.c - where layouts of a plan may lie, what a hand can lay, and the plan with a layout in it. */
#include "base/memory.h"

#include <clayquench/lay.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#define MM 1e3                                /* mm per m */
static const double STEAM_K = 373.15;         /* damp clay in a hotter bath flashes to steam */
static const double BELOW_FLASH_K = 28.0;     /* [osha-1910-126] */
static const double BELOW_UNTIL_K = 2.0;      /* nearer, a step takes for ever; chosen here */
static const double SHORTEST_PULL_S = 0.5;    /* that a hand can time; chosen here */
static const double LONGEST_PULL_S = 30.0;    /* later, a blade is cold; chosen here */
static const double THICKEST_WASH_M = 0.3e-3; /* what smiths call a wash; common practice, no source */
static const double ROUNDING = 1e-9;          /* of lengths that are multiples of a step, m */

/* ---- the field --------------------------------------------------------------------------------------------------- */

static bool is_liquid(const cq_step_plan *s) {
    return s->bath.kind != CQ_BATH_GAS;
}

static size_t first_bath(const cq_plan *plan) {
    size_t first = 0;
    while (first < plan->steps_n && !is_liquid(&plan->steps[first])) {
        first++;
    }
    return first;
}

/* The nearest of the ends so far and its reason. */
static void lower_end(double *high_K, const char **why, double candidate_K, const char *words) {
    if (candidate_K < *high_K) {
        *high_K = candidate_K;
        *why = words;
    }
}

static void find_bath(const cq_plan *plan, cq_lay_field *f) {
    const size_t first = first_bath(plan);
    double low = -HUGE_VAL, high = HUGE_VAL; /* shifts, K */
    f->bath_why = "";
    for (size_t s = first; s < plan->steps_n; s++) {
        const cq_step_plan *step = &plan->steps[s];
        if (!is_liquid(step)) {
            continue;
        }
        const double at = step->at_K;
        low = fmax(low, step->bath.at_min_K - at);
        lower_end(&high, &f->bath_why, step->bath.at_max_K - at, "the range the bath is described for");
        if (step->until_K > 0.0) {
            lower_end(&high, &f->bath_why, step->until_K - BELOW_UNTIL_K - at, "the step's until");
        }
        if (step->bath.flash_K > 0.0) {
            lower_end(&high, &f->bath_why, step->bath.flash_K - BELOW_FLASH_K - at, "28 K below the flash point");
        }
        if (step->bath.kind != CQ_BATH_BOILING && !plan->coat_fired) {
            lower_end(&high, &f->bath_why, STEAM_K - at, "clay that may be damp");
        }
    }
    if (first < plan->steps_n && high >= low) {
        f->bath_K = plan->steps[first].at_K;
        f->bath_low_K = f->bath_K + low;
        f->bath_high_K = f->bath_K + high;
    }
}

cq_status cq_lay_field_of(const cq_plan *plan, cq_lay_field *field, cq_error *error) {
    cq_lay_field f = {.height_m = plan->blade.height_m,
                      .double_edged = plan->blade.family == CQ_FAMILY_DOUBLE_EDGED,
                      .bare_spine = plan->coat.n > 0 && !(plan->coat.spine_m > 0.0),
                      .grind_m = plan->grind_m,
                      .tempered = plan->temper_n > 0};
    if (plan->blade.family >= CQ_FAMILY_PLATE) {
        return cq_error_say(error, CQ_ERR_PLAN, "blade.section", "a section with edge and spine", "",
                            "a plate or a round: there is no line to lay clay for");
    }
    if (plan->steel.kind != CQ_STEEL_TRANSFORMING) {
        return cq_error_say(error, CQ_ERR_PLAN, "steel", "a steel that hardens", "", "a steel that does not transform");
    }
    if (plan->clay.conductivity_W_mK.n == 0) {
        return cq_error_say(error, CQ_ERR_PLAN, "clay", "the clay to lay",
                            "add clay: {mix: NAME}; 'clayquench list clay' shows the shipped ones", "no clay");
    }
    find_bath(plan, &f);
    const size_t first = first_bath(plan);
    if (first + 1 < plan->steps_n && plan->steps[first].for_s > 0.0) {
        f.pull_s = plan->steps[first].for_s;
        f.pull_low_s = SHORTEST_PULL_S;
        f.pull_high_s = LONGEST_PULL_S;
    }
    *field = f;
    return CQ_OK;
}

/* ---- the wish ---------------------------------------------------------------------------------------------------- */

static cq_status check_lengths(const cq_lay_wish *w, const cq_lay_field *f, cq_error *error) {
    cq_status status = CQ_OK;
    const double most = f->double_edged ? 0.5 * f->height_m : f->height_m;
    char expected[96];
    if (!(w->line_m > 0.0 && w->line_m < most)) {
        snprintf(expected, sizeof expected, "above 0 and below %.4g mm, the %s", MM * most,
                 f->double_edged ? "middle between the edges" : "height of the blade");
        status = cq_error_say(error, CQ_ERR_ARGUMENT, "line", expected, "", "%.4g mm", MM * w->line_m);
    }
    if (!(w->within_m > 0.0 && w->within_m < most)) {
        status = cq_error_say(error, CQ_ERR_ARGUMENT, "within", "a length above 0, below the blade's height", "",
                              "%.4g mm", MM * w->within_m);
    }
    if (!(w->step_m >= 0.05e-3 && w->step_m <= 2e-3)) {
        status = cq_error_say(error, CQ_ERR_ARGUMENT, "step", "0.05 mm to 2 mm", "", "%.4g mm", MM * w->step_m);
    }
    if (!(w->thinnest_m > THICKEST_WASH_M && w->thinnest_m <= w->thickest_m && w->thickest_m <= 10e-3)) {
        status = cq_error_say(error, CQ_ERR_ARGUMENT, "thinnest, thickest",
                              "more than a wash of 0.3 mm, at most 10 mm, the thinnest first", "", "%.4g mm to %.4g mm",
                              MM * w->thinnest_m, MM * w->thickest_m);
    }
    return status;
}

cq_status cq_lay_wish_check(const cq_lay_wish *w, const cq_lay_field *f, cq_error *error) {
    cq_status status = check_lengths(w, f, error);
    if (w->samples < 5 || w->samples > CQ_LAY_SAMPLES_MOST) {
        status = cq_error_say(error, CQ_ERR_ARGUMENT, "samples", "5 to 2000", "", "%zu", w->samples);
    }
    if (w->free_bath && !(f->bath_K > 0.0 && f->bath_high_K > f->bath_low_K)) {
        status = cq_error_say(error, CQ_ERR_ARGUMENT, "free", "a plan with a bath whose temperature may be changed", "",
                              "bath-temperature");
    }
    if (w->free_pull && !(f->pull_s > 0.0)) {
        status = cq_error_say(error, CQ_ERR_ARGUMENT, "free", "a plan whose first bath has for: and a step behind it",
                              "", "pull-time");
    }
    return status;
}

static bool on_lattice(double m, double step_m) {
    return fabs(m - step_m * round(m / step_m)) < ROUNDING;
}

bool cq_layout_is_buildable(const cq_layout *l, const cq_lay_wish *w, const cq_lay_field *f) {
    const double most = f->double_edged ? 0.5 * f->height_m : f->height_m;
    bool fits = l->wash_m >= 0.0 && l->wash_m <= THICKEST_WASH_M && l->body_m >= w->thinnest_m - ROUNDING &&
                l->body_m <= w->thickest_m + ROUNDING && on_lattice(l->body_m, w->step_m) &&
                on_lattice(l->ramp_m, w->step_m) && CQ_CLAY_SLOPE * l->ramp_m >= l->body_m - l->wash_m - ROUNDING;
    for (int s = 0; s < CQ_SIDES; s++) {
        fits = fits && l->rim_m[s] >= 0.0 && on_lattice(l->rim_m[s], w->step_m) &&
               l->rim_m[s] + l->ramp_m + w->step_m <= most + ROUNDING;
    }
    return fits && (w->free_sides || fabs(l->rim_m[0] - l->rim_m[1]) < ROUNDING);
}

/* ---- the coat ---------------------------------------------------------------------------------------------------- */

/* Thickness on a side at a height: wash, ramp, body, and the same again from a second edge down. */
static double thickness(const cq_layout *l, const cq_lay_field *f, int side, double at_m) {
    const double up = f->double_edged ? fmin(at_m, f->height_m - at_m) : at_m;
    const double share = fmin(fmax((up - l->rim_m[side]) / l->ramp_m, 0.0), 1.0);
    return l->wash_m + share * (l->body_m - l->wash_m);
}

static size_t add_height(double *heights, size_t n, double at_m) {
    size_t k = n;
    while (k > 0 && heights[k - 1] > at_m) {
        k--;
    }
    if (k > 0 && at_m - heights[k - 1] < ROUNDING) {
        return n;
    }
    memmove(heights + k + 1, heights + k, (n - k) * sizeof *heights);
    heights[k] = at_m;
    return n + 1;
}

void cq_layout_coat(const cq_layout *l, const cq_lay_field *f, cq_coat_point points[CQ_LAYOUT_POINTS], cq_coat *coat) {
    double heights[CQ_LAYOUT_POINTS + 2];
    size_t n = add_height(heights, 0, 0.0);
    n = add_height(heights, n, f->height_m);
    for (int s = 0; s < CQ_SIDES; s++) {
        const double corners[2] = {l->rim_m[s], l->rim_m[s] + l->ramp_m};
        for (int c = 0; c < 2; c++) {
            n = add_height(heights, n, corners[c]);
            n = f->double_edged ? add_height(heights, n, f->height_m - corners[c]) : n;
        }
    }
    size_t first = 0; /* bare from the edge on: the list begins at the rim */
    while (first + 1 < n && !(thickness(l, f, 0, heights[first + 1]) > 0.0) &&
           !(thickness(l, f, 1, heights[first + 1]) > 0.0)) {
        first++;
    }
    size_t last = n; /* the same below a second edge */
    while (last > first + 2 && !(thickness(l, f, 0, heights[last - 2]) > 0.0) &&
           !(thickness(l, f, 1, heights[last - 2]) > 0.0)) {
        last--;
    }
    for (size_t k = first; k < last; k++) {
        points[k - first] = (cq_coat_point){heights[k], thickness(l, f, 0, heights[k]), thickness(l, f, 1, heights[k])};
    }
    *coat = (cq_coat){.n = last - first,
                      .points = points,
                      .edge_m = l->wash_m,
                      .spine_m = f->double_edged ? l->wash_m
                                 : f->bare_spine ? 0.0
                                                 : l->body_m};
}

cq_status cq_layout_plan(const cq_layout *l, const cq_lay_field *f, const cq_plan *plan, cq_plan *laid,
                         cq_error *error) {
    cq_arena *arena = cq_arena_create();
    cq_coat_point *points = arena == NULL ? NULL : cq_arena_take(arena, CQ_LAYOUT_POINTS, sizeof *points);
    cq_step_plan *steps = arena == NULL ? NULL : cq_arena_take(arena, plan->steps_n, sizeof *steps);
    if (points == NULL || steps == NULL) {
        cq_arena_free(arena);
        return cq_error_say(error, CQ_ERR_MEMORY, "", "", "", "not enough memory for a layout's plan");
    }
    const size_t first = first_bath(plan);
    memcpy(steps, plan->steps, plan->steps_n * sizeof *steps);
    for (size_t s = 0; s < plan->steps_n; s++) {
        steps[s].at_K += l->bath_K > 0.0 && is_liquid(&steps[s]) ? l->bath_K - f->bath_K : 0.0;
    }
    if (l->pull_s > 0.0 && first < plan->steps_n) {
        steps[first].for_s = l->pull_s;
    }
    *laid = *plan;
    laid->arena = arena;
    laid->steps = steps;
    laid->coat_was_wet = false;
    cq_layout_coat(l, f, points, &laid->coat);
    return CQ_OK;
}

char *cq_layout_words(const cq_layout *l, char to[CQ_LAYOUT_WORDS]) {
    int n = snprintf(to, CQ_LAYOUT_WORDS, "wash %.4g mm, rim %.5g mm", MM * l->wash_m, MM * l->rim_m[0]);
    if (fabs(l->rim_m[1] - l->rim_m[0]) > ROUNDING) {
        n += snprintf(to + n, CQ_LAYOUT_WORDS - (size_t)n, " left, %.5g mm right", MM * l->rim_m[1]);
    }
    n += snprintf(to + n, CQ_LAYOUT_WORDS - (size_t)n, ", ramp %.5g mm, body %.5g mm", MM * l->ramp_m, MM * l->body_m);
    if (l->bath_K > 0.0) {
        n += snprintf(to + n, CQ_LAYOUT_WORDS - (size_t)n, ", bath %.4g °C", l->bath_K - 273.15);
    }
    if (l->pull_s > 0.0) {
        snprintf(to + n, CQ_LAYOUT_WORDS - (size_t)n, ", pull %.4g s", l->pull_s);
    }
    return to;
}
