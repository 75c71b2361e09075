/* lay_runs.c - the plans of trials: a layout in the plan or in a changed plan, as written or as one of its samples. */
#include "base/memory.h"
#include "study/sampling.h"

#include <clayquench/lay.h>
#include <math.h>
#include <string.h>

cq_status cq_lay_numbers(const cq_lay_wish *wish, double **z) {
    const size_t samples = cq_lay_samples(wish), n = samples * CQ_SAMPLING_DIMENSIONS;
    double *u = cq_memory_zero(n, sizeof *u);
    const cq_status status = u == NULL ? CQ_ERR_MEMORY : cq_sampling_uniform(samples, CQ_SPREAD_GROUPS, wish->seed, u);
    if (status < 0) {
        cq_memory_free(u);
        return status;
    }
    for (size_t i = 0; i < n; i++) {
        u[i] = cq_sampling_normal(u[i]);
    }
    *z = u;
    return CQ_OK;
}

void cq_lay_numbers_free(double *z) {
    cq_memory_free(z);
}

/* The sample's number for an input is that of its kind, so that it is the same for every layout. */
static cq_status take_sample(const cq_lay_runs *r, size_t sample, const cq_plan *laid, cq_plan *plan, cq_error *error) {
    cq_uncertain inputs[CQ_UNCERTAINS];
    double value[CQ_UNCERTAINS];
    const size_t n = cq_uncertain_of(laid, inputs);
    for (size_t k = 0; k < n; k++) {
        value[k] = cq_uncertain_value(&inputs[k], r->z[sample * CQ_SAMPLING_DIMENSIONS + inputs[k].kind], NULL);
    }
    return cq_uncertain_apply(laid, inputs, n, value, plan, error);
}

/* A sample's plan refers to the laid plan, which stays until it is released. */
static cq_status make_plan(void *context, size_t run, cq_plan *plan, cq_error *error) {
    const cq_lay_runs *r = context;
    const cq_lay_trial *t = &r->trial[run];
    cq_plan *laid = &r->laid[run];
    cq_plan_init(laid);
    cq_status status = cq_layout_plan(&t->layout, &r->fields[t->plan], r->plans[t->plan], laid, error);
    status = status < 0 ? status : cq_plan_check(laid, error);
    if (status >= 0 && t->sample == 0) {
        *plan = *laid;
        laid->arena = NULL; /* handed on */
    } else if (status >= 0) {
        status = take_sample(r, t->sample - 1, laid, plan, error);
    }
    if (status < 0) {
        cq_plan_clear(laid);
    }
    return status;
}

static void release_plan(void *context, size_t run, cq_plan *plan) {
    const cq_lay_runs *r = context;
    cq_plan_clear(plan);
    cq_plan_clear(&r->laid[run]);
}

cq_study_source cq_lay_source(cq_lay_runs *runs) {
    return (cq_study_source){make_plan, release_plan, runs};
}
