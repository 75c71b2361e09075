/* march.c - steps of time until a goal: their lengths from what they err by, which are tried again, where they land.
 *
 * A step errs in two ways. Temperature: the largest |T - T*| over the steel. Heat: what the step leaves open between
 * the heat stored and the heat given off, as a share of all the heat there is. The first does not see a coat, whose
 * outer face falls by hundreds of kelvin while the steel still stands; nor a film of water that is gone, which cuts the
 * outflow from one moment to the next; nor sweeps that did not meet.
 */
#include "quench/run.h"

#include "base/units.h"

#include <math.h>

static const double FIRST_DT_S = 1e-4, SMALLEST_DT_S = 1e-7, GROWTH = 2.0;
static const double DEFAULT_TOLERANCE_K =
    1.5;                                 /* on |T - T*| over the steel: lines move by 0.01 mm when it is refined */
static const double OPEN_SHARE = 3e-5;   /* of the section's heat that one step should leave open at most */
static const double OPEN_TOO_MUCH = 3.0; /* of that share: the step is tried again */
static const double SPLIT_SHRINK = 0.8;  /* while the sweeps do not bring drawn and final outflow together ... */
static const double SPLIT_MATTERS = 0.1; /* ... by this much of the same share */
static const double LARGEST_DT_S = 30.0; /* while anything happens: */
static const double REST_K = 0.05;       /* a step in which no steel changed by more is followed by a longer one */
static const double STILL_K_s = 1e-4;    /* slower than this, step after step, nothing more happens */
enum { STILL_STEPS = 5 };

/* What a step may err by. */
typedef struct allowance {
    double error_K, open_J_m;
} allowance;

/* A step that was tried. */
typedef struct attempt {
    double dt_s, error_K, open_J_m;
    double hottest_K; /* of the steel after it, where the goal asks */
} attempt;

double cq_run_hottest_K(const cq_run *run, const double *T) {
    double hottest = 0.0;
    for (int row = 0; row < run->steel_rows; row++) {
        const int at = cq_run_row_at(run, row);
        for (int j = 0; j < run->steel_across; j++) {
            hottest = T[at + j] > hottest ? T[at + j] : hottest;
        }
    }
    return hottest;
}

/* Largest change of the steel in the last accepted step. */
static double largest_change_K(const cq_run *run) {
    double largest = 0.0;
    for (int row = 0; row < run->steel_rows; row++) {
        const int at = cq_run_row_at(run, row);
        for (int j = at; j < at + run->steel_across; j++) {
            largest = fmax(largest, fabs(run->heat->T[j] - run->heat->T_old[j]));
        }
    }
    return largest;
}

/* Refining divides cells by n and the temperature's tolerance by n^2: the step is second order, so both errors fall
 * alike. What a step leaves open falls with its length cubed. */
static allowance allowance_of(const cq_run *run) {
    const double wish = run->options.tolerance_K > 0.0 ? run->options.tolerance_K : DEFAULT_TOLERANCE_K;
    const double error_K = wish / (run->plan->grid.refine * run->plan->grid.refine);
    return (allowance){error_K, OPEN_SHARE * run->heat_scale_J_m * pow(error_K / DEFAULT_TOLERANCE_K, 1.5)};
}

/* Step length that lands on the next thing to land on, without leaving a sliver behind. Times the plan names are met
 * exactly; the default frames take the first step past them, so that keeping frames does not change the answer. */
static double landing_dt(const cq_run *run, const cq_run_goal *to, double dt) {
    const bool asked_for = run->plan->times_n > 0 || run->plan->every_s > 0.0;
    const double event = fmin(to->end_s, to->records && asked_for ? cq_run_next_record_s(run) : INFINITY),
                 left = event - run->heat->time_s;
    if (dt >= left * (1.0 - 1e-9)) {
        return left;
    }
    return 2.0 * dt > left ? 0.5 * left : dt;
}

static cq_status fail_step(cq_run *run, double dt, cq_error *error) {
    const cq_grid *g = run->grid;
    double worst = -1.0;
    int at_i = g->steel_i0, at_j = g->steel_j0;
    for (int i = g->steel_i0; i < g->steel_i1; i++) {
        for (int j = g->steel_j0; j < g->steel_j1; j++) {
            const double d = fabs(run->heat->delta[cq_heat_at(run->heat, i, j)]);
            if (!(d <= worst)) {
                worst = d;
                at_i = i;
                at_j = j;
            }
        }
    }
    return cq_error_say(
        error, CQ_ERR_STEP, "grid", "a step that converges", "try a smaller clay.coat slope or grid.refine: 2",
        "step of %.3g s at %.4g s does not converge at height %.2f mm, %.2f mm from the mid-plane", dt,
        run->heat->time_s, 1e3 * g->center_x_m[at_i * g->across + at_j], 1e3 * g->center_y_m[at_i * g->across + at_j]);
}

static void try_once(cq_run *run, const cq_run_goal *to, attempt *a) {
    cq_run_wet(run, run->heat->time_s + a->dt_s);
    a->error_K = cq_heat_try(run->heat, &run->client, a->dt_s);
    a->open_J_m = fabs(cq_heat_open(run->heat, a->dt_s));
    a->hottest_K = to->until_K > 0.0 ? cq_run_hottest_K(run, run->heat->T_new) : 0.0;
}

/* Factor for the length of another attempt from hottest_K on; 1: take this one. */
static double shrink(cq_run *run, const cq_run_goal *to, const allowance *allowed, const attempt *a, double hottest_K) {
    if (!(a->error_K <= 2.0 * allowed->error_K)) {
        run->result.rejected++;
        return isfinite(a->error_K) ? fmax(0.2, 0.8 * sqrt(allowed->error_K / a->error_K)) : 0.2;
    }
    if (!(a->open_J_m <= OPEN_TOO_MUCH * allowed->open_J_m) && a->dt_s > FIRST_DT_S) {
        run->result.rejected++;
        return fmax(0.2, 0.9 * cbrt(allowed->open_J_m / a->open_J_m));
    }
    if (to->until_K > 0.0 && a->hottest_K < to->until_K - 0.1 && a->dt_s > 1e-4) { /* land on what was asked for */
        return fmin(0.95, fmax(0.1, (hottest_K - to->until_K) / (hottest_K - a->hottest_K)));
    }
    return 1.0;
}

/* Try steps of dt_s and less until one will do. */
static cq_status find_step(cq_run *run, const cq_run_goal *to, const allowance *allowed, double hottest_K, attempt *a,
                           cq_error *error) {
    const bool fixed = run->options.fixed_step_s > 0.0;
    try_once(run, to, a);
    for (double factor; !fixed && (factor = shrink(run, to, allowed, a, hottest_K)) < 1.0;) {
        a->dt_s *= factor;
        if (a->dt_s < SMALLEST_DT_S) {
            return fail_step(run, a->dt_s, error);
        }
        try_once(run, to, a);
    }
    return isfinite(a->error_K) ? CQ_OK : fail_step(run, a->dt_s, error);
}

/* Length of the step after an accepted one. */
static double next_dt(const cq_run *run, const allowance *allowed, const attempt *a) {
    if (run->options.fixed_step_s > 0.0) {
        return run->options.fixed_step_s;
    }
    const cq_heat *h = run->heat;
    const double split_J_m = h->split_apart * fabs(cq_heat_outflow(h)) * a->dt_s;
    const bool apart = h->split_apart > h->split_tolerance && split_J_m > SPLIT_MATTERS * allowed->open_J_m;
    const double by_error = 0.85 * sqrt(allowed->error_K / fmax(a->error_K, 1e-6 * allowed->error_K));
    const double by_open = 0.9 * cbrt(allowed->open_J_m / fmax(a->open_J_m, 1e-6 * allowed->open_J_m));
    const double dt = a->dt_s * fmin(apart ? SPLIT_SHRINK : GROWTH, fmax(0.5, fmin(by_error, by_open)));
    return dt <= LARGEST_DT_S || largest_change_K(run) <= REST_K ? dt : LARGEST_DT_S;
}

/* What follows an accepted step. */
static cq_status settle_step(cq_run *run, const cq_run_goal *to, double dt_s, const cq_observer *observer,
                             cq_error *error) {
    cq_run_autotemper(run, dt_s);
    cq_run_distortion_step(run);
    cq_run_record_step(run, dt_s);
    const cq_status status = cq_run_after_step(run, dt_s, error);
    if (status < 0) {
        return status;
    }
    if (to->records && cq_run_record_frames(run) != CQ_OK) {
        return cq_error_say(error, CQ_ERR_MEMORY, "record", "fewer times", "", "frames");
    }
    if (observer != NULL && observer->step != NULL) {
        cq_view view = {.time_s = run->heat->time_s,
                        .end_time_s = isfinite(to->end_s) ? to->end_s : 0.0,
                        .step = run->result.steps,
                        .grid = run->grid};
        cq_run_view_faces(run, &view);
        if (!observer->step(observer->context, &view)) {
            return cq_error_say(error, CQ_ERR_CANCELLED, "", "", "", "stopped at %.3g s", run->heat->time_s);
        }
    }
    return CQ_OK;
}

/* A bath that warmed past the goal, a table that draws nothing. */
static void notice_missed(cq_run *run, double hottest_K, double until_K) {
    char reached[40], wanted[40];
    cq_run_notice(run, "until-missed", 1, "the steel stays at %s and does not come down to %s: the step ends",
                  cq_temperature_text(hottest_K, reached, sizeof reached),
                  cq_temperature_text(until_K, wanted, sizeof wanted));
}

cq_status cq_run_march(cq_run *run, const cq_run_goal *to, const cq_observer *observer, cq_error *error) {
    cq_heat *h = run->heat;
    const allowance allowed = allowance_of(run);
    double dt = run->options.fixed_step_s > 0.0 ? run->options.fixed_step_s : FIRST_DT_S;
    int still = 0;
    while (h->time_s < to->end_s - 1e-12) {
        const double hottest = to->until_K > 0.0 ? cq_run_hottest_K(run, h->T) : 0.0;
        if (to->until_K > 0.0 && hottest <= to->until_K) {
            break;
        }
        if (still >= STILL_STEPS) {
            notice_missed(run, hottest, to->until_K);
            break;
        }
        attempt a = {.dt_s = landing_dt(run, to, dt)};
        cq_status status = find_step(run, to, &allowed, hottest, &a, error);
        if (status < 0) {
            return status;
        }
        cq_heat_accept(h, a.dt_s);
        run->now = run->transforming ? 1 - run->now : run->now;
        run->result.steps++;
        if (to->until_K > 0.0 && a.dt_s >= 1.0) {
            still = fabs(a.hottest_K - hottest) < STILL_K_s * a.dt_s ? still + 1 : 0;
        }
        dt = next_dt(run, &allowed, &a);
        status = settle_step(run, to, a.dt_s, observer, error);
        if (status < 0) {
            return status;
        }
    }
    return CQ_OK;
}
