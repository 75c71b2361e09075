/* A step that wets only part of the height: what is dry stays hot, what is all wet is as without depth, the books
 * close. */
#include "../suite.h"
#include "plans.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static cq_run *dipped(double depth_m, double for_s) {
    cq_plan plan;
    cq_step_plan steps[2];
    cq_run *run = NULL;
    start_plan(&plan, steps, 40);
    plan.blade = sloyd_blade();
    steps[1].depth_m = depth_m;
    steps[1].for_s = for_s;
    static cq_plan kept; /* a run borrows its plan; one run at a time reads it */
    static cq_step_plan kept_steps[2];
    kept = plan;
    kept_steps[0] = steps[0];
    kept_steps[1] = steps[1];
    kept.steps = kept_steps;
    ck_assert_int_ge(cq_run_create(&run, &kept, NULL, NULL), 0);
    ck_assert_int_ge(cq_run_go(run, NULL, NULL), 0);
    return run;
}

static double at_end(const cq_run *run, int trace) {
    const cq_trace *t = &cq_run_result(run)->traces[trace];
    return t->temp_K[t->n - 1];
}

START_TEST(the_dry_part_stays_hot) {
    cq_run *run = dipped(8e-3, 6.0);
    const cq_result *r = cq_run_result(run);
    ck_assert_double_lt(at_end(run, CQ_TRACE_EDGE), KELVIN(150));
    ck_assert_double_gt(at_end(run, CQ_TRACE_SPINE), KELVIN(550)); /* conduction along 20 mm takes tens of seconds */
    ck_assert(r->edge.fraction[CQ_MARTENSITE] > 0.7 && r->spine.fraction[CQ_MARTENSITE] < 0.1);
    ck_assert(r->line_surface_m > 4e-3 && r->line_surface_m < 9e-3); /* at the water's edge or a little under it */
    ck_assert_double_lt(r->energy_imbalance, 1e-2);
    cq_run_free(run);
}
END_TEST

/* As deep as the blade is high is all of it; deeper is a fault of the plan. */
START_TEST(deeper_than_the_blade_is_a_fault) {
    cq_run *whole = dipped(0.0, 2.0);
    const double edge = at_end(whole, CQ_TRACE_EDGE), spine = at_end(whole, CQ_TRACE_SPINE);
    const size_t steps = cq_run_result(whole)->steps;
    cq_run_free(whole);
    cq_run *deep = dipped(sloyd_blade().height_m, 2.0);
    ck_assert_uint_eq(cq_run_result(deep)->steps, steps);
    ck_assert(!(fabs(at_end(deep, CQ_TRACE_EDGE) - edge) > 0.0) && !(fabs(at_end(deep, CQ_TRACE_SPINE) - spine) > 0.0));
    cq_run_free(deep);
    cq_plan plan;
    cq_step_plan steps_of[2];
    cq_error error = CQ_ERROR_INIT;
    start_plan(&plan, steps_of, 40);
    plan.blade = sloyd_blade();
    steps_of[1].depth_m = plan.blade.height_m + 1e-3;
    ck_assert_int_lt(cq_plan_check(&plan, &error), 0);
    const cq_complaint *found = NULL; /* the trial's bath without ranges is complained of as well */
    for (size_t n = 0; n < error.count; n++) {
        printf("%s: %s\n", error.items[n].key, error.items[n].found);
        found = strcmp(error.items[n].key, "steps.1.depth") == 0 ? &error.items[n] : found;
    }
    ck_assert_ptr_nonnull(found);
    ck_assert_ptr_nonnull(strstr(found->remedy, "leave depth: out"));
    cq_error_clear(&error);
}
END_TEST

START_TEST(deeper_hardens_higher) {
    double before = 0.0;
    for (int n = 1; n <= 3; n++) {
        cq_run *run = dipped(5e-3 * n, 6.0);
        const double line = cq_run_result(run)->line_surface_m;
        ck_assert_double_gt(line, before + 2e-3);
        before = line;
        cq_run_free(run);
    }
}
END_TEST

int main(void) {
    TCase *tc = tcase_create("depth");
    tcase_add_test(tc, the_dry_part_stays_hot);
    tcase_add_test(tc, deeper_than_the_blade_is_a_fault);
    tcase_add_test(tc, deeper_hardens_higher);
    return run_case(tc, "depth");
}
