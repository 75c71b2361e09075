/* tune_predict.c - see tune_predict.h.
 *
 * Coupons are plates: a wedge is as hard as the plate of its thickness there, a stepped coat as a plate under one coat.
 * Where hardening stops, half is martensite: at the face under clay, where it is etched or filed, and in the middle of
 * a bare wedge, which hardened in full as far as its middle did.
 */
#include "study/tune_predict.h"

#include <clayquench/study.h>

#include <math.h>

static const double TOLERANCE_K = 3.0;          /* of a run: coarse, coupons are read to some per cent */
static const double FILM_TOLERANCE_K = 0.4;     /* its time is that of a step's end */
static const cq_grid_wish PLATE = {8, 4, 5, 1}; /* 16 cells from the middle to the face */
enum { BLADE_ALONG = 60, BLADE_ACROSS = 5, BLADE_CLAY = 5, TRIES = 24 };
static const double HALF_LEAST = 1e-4; /* martensite held off 0 and 1, where its logit has no end */
static const double CLOSE = 0.004;     /* of a coupon's thickness */

static double logit(double share) {
    const double kept = fmin(fmax(share, HALF_LEAST), 1.0 - HALF_LEAST);
    return log(kept / (1.0 - kept));
}

static cq_status run_plan(cq_run **run, const cq_plan *plan, const cq_run_options *wish, size_t *runs,
                          cq_error *error) {
    cq_status status = cq_run_create(run, plan, wish, error);
    if (status < 0) {
        return status;
    }
    ++*runs;
    status = cq_run_go(*run, NULL, error);
    if (status < 0) {
        cq_run_free(*run);
    }
    return status;
}

/* ---- coupons ----------------------------------------------------------------------------------------------------- */

typedef struct coupon {
    const cq_evidence_item *item;
    const cq_plan *plan;
    size_t *runs;
    cq_error *error;
} coupon;

/* Logit of the martensite where the coupon is read, at ln of what is varied; falls. */
static cq_status hardened(const coupon *c, double ln_m, double *share) {
    cq_plan plan = *c->plan;
    const bool wedge = c->item->kind == CQ_EVIDENCE_WEDGE;
    const double varied = exp(ln_m);
    const cq_coat_point point = {0.0, varied, varied};
    plan.blade = (cq_blade){.family = CQ_FAMILY_PLATE, .spine_m = wedge ? varied : c->item->plate_m};
    plan.coat = wedge ? (cq_coat){0, NULL, 0.0, 0.0} : (cq_coat){1, &point, 0.0, 0.0};
    plan.lost_n = plan.temper_n = plan.probes_n = plan.times_n = 0;
    plan.every_s = plan.grind_m = 0.0;
    plan.grid = PLATE;
    const cq_run_options options = {.tolerance_K = TOLERANCE_K, .skip_curve = true};
    cq_run *run;
    const cq_status status = run_plan(&run, &plan, &options, c->runs, c->error);
    if (status >= 0) {
        const cq_result *r = cq_run_result(run);
        *share = logit((wedge ? &r->body : &r->edge)->fraction[CQ_MARTENSITE]);
        cq_run_free(run);
    }
    return status;
}

/* Regula falsi with the far end halved (Illinois), between ends of unlike sign. */
static cq_status close_in(const coupon *c, double low, double f_low, double high, double f_high, double *at) {
    cq_status status = CQ_OK;
    int side = 0;
    for (int n = 0; n < TRIES && status >= 0 && high - low > CLOSE; n++) {
        double x = low + (high - low) * f_low / (f_low - f_high), f;
        x = fmin(fmax(x, low + 0.02 * (high - low)), high - 0.02 * (high - low));
        status = hardened(c, x, &f);
        if (status < 0 || fabs(f) < 0.02) {
            *at = x;
            return status;
        }
        if (f > 0.0) {
            low = x;
            f_low = f;
            f_high *= side == 1 ? 0.5 : 1.0;
            side = 1;
        } else {
            high = x;
            f_high = f;
            f_low *= side == -1 ? 0.5 : 1.0;
            side = -1;
        }
    }
    *at = low + (high - low) * f_low / (f_low - f_high);
    return status;
}

/* Where hardening stops: outward from where it was, then between. The ends of the range stand for beyond. */
static cq_status find_stop(const coupon *c, double *near, double *said) {
    const bool wedge = c->item->kind == CQ_EVIDENCE_WEDGE;
    const double least = log(wedge ? 0.3e-3 : 0.02e-3), most = log(wedge ? 60e-3 : 8e-3);
    double x = log(*near > 0.0 ? *near : c->item->value), f, stride = *near > 0.0 ? 0.05 : 0.2;
    x = fmin(fmax(x, least), most);
    cq_status status = hardened(c, x, &f);
    double other = x, f_other = f;
    while (status >= 0 && f * f_other > 0.0) {
        if (f > 0.0 ? x >= most : x <= least) {
            *said = exp(x);
            return CQ_OK;
        }
        other = x;
        f_other = f;
        x = f > 0.0 ? fmin(x + stride, most) : fmax(x - stride, least);
        stride *= 2.0;
        status = hardened(c, x, &f);
    }
    if (status >= 0) {
        status = x < other ? close_in(c, x, f, other, f_other, &x) : close_in(c, other, f_other, x, f, &x);
        *said = *near = exp(x);
    }
    return status;
}

/* ---- blades and plates ------------------------------------------------------------------------------------------- */

static int fewer(int a, int b) {
    return a < b ? a : b;
}

/* The line's height; where there is none, the end it would have left by. */
static double line_of(const cq_result *r) {
    return isfinite(r->line_surface_m)               ? r->line_surface_m
           : r->verdict == CQ_VERDICT_NO_EDGE        ? 0.0
           : r->has_line && isfinite(r->contrast_HV) ? r->section->height_m
                                                     : NAN;
}

static double film_of(const cq_result *r, cq_place place, double entered_s) {
    const cq_film *film = place == CQ_PLACE_EDGE   ? &r->film_edge
                          : place == CQ_PLACE_BODY ? &r->film_body
                                                   : &r->film_spine;
    return film->state == CQ_FILM_NONE        ? 0.0
           : film->state == CQ_FILM_COLLAPSED ? film->time_s - entered_s
                                              : r->end_time_s - entered_s;
}

/* When the blade meets its first bath. */
static double entry_of(const cq_plan *plan) {
    double time = 0.0;
    for (size_t s = 0; s < plan->steps_n && plan->steps[s].bath.kind == CQ_BATH_GAS; s++) {
        time += plan->steps[s].for_s;
    }
    return time;
}

static cq_status read_run(const cq_evidence_item *item, const cq_plan *tuned, double *said, size_t *runs,
                          cq_error *error) {
    const cq_run_options options = {.tolerance_K = item->kind == CQ_EVIDENCE_FILM ? FILM_TOLERANCE_K : TOLERANCE_K,
                                    .skip_curve = item->kind != CQ_EVIDENCE_RISE};
    cq_plan plan = *tuned;
    cq_run *run;
    plan.grid.along = fewer(plan.grid.along, BLADE_ALONG);
    plan.grid.across = fewer(plan.grid.across, BLADE_ACROSS);
    plan.grid.clay = fewer(plan.grid.clay, BLADE_CLAY);
    const cq_status status = run_plan(&run, &plan, &options, runs, error);
    if (status < 0) {
        return status;
    }
    const cq_result *r = cq_run_result(run);
    const cq_spot *spot = item->place == CQ_PLACE_EDGE ? &r->edge : item->place == CQ_PLACE_BODY ? &r->body : &r->spine;
    double figures[CQ_FIGURES];
    switch (item->kind) {
    case CQ_EVIDENCE_LINE:
        *said = line_of(r);
        break;
    case CQ_EVIDENCE_HARDNESS:
        *said = spot->HV;
        break;
    case CQ_EVIDENCE_FILM:
        *said = film_of(r, item->place, entry_of(&plan));
        break;
    default:
        cq_figures_of(r, figures);
        *said = figures[CQ_FIGURE_RISE];
    }
    cq_run_free(run);
    return status;
}

cq_status cq_tune_predict(const cq_evidence_item *item, const cq_plan *plan, double *near, double *said, size_t *runs,
                          cq_error *error) {
    *said = NAN;
    if (item->kind == CQ_EVIDENCE_STEPPED_CLAY || item->kind == CQ_EVIDENCE_WEDGE) {
        const coupon c = {item, plan, runs, error};
        return find_stop(&c, near, said);
    }
    return read_run(item, plan, said, runs, error);
}
