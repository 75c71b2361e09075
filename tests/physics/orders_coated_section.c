/* Observed orders of the whole scheme - factorised step, cross terms, clay ends - on the coated section with a constant
 * film: in time with a fixed step, in space with the grid divided. Three levels each; the differences' ratio gives the
 * order.
 */
#include "../coated_section.h"
#include "../suite.h"

#include <math.h>
#include <stdio.h>

static const double FILM_AT[1] = {293.15}, FILM_IS[1] = {1500.0};

/* Temperatures of all places at the end, 4 s. */
static void solve(int refine, double step_s, double T_K[PROBES]) {
    cq_plan plan;
    cq_step_plan step;
    coated_section_plan(&plan, &step, refine);
    step.bath.heat_transfer_W_m2K = (cq_table){1, FILM_AT, FILM_IS, CQ_INTERPOLATE_LINEAR};
    step.for_s = 4.0;
    plan.times_n = 0;
    const cq_run_options options = {.fixed_step_s = step_s};
    cq_error error = CQ_ERROR_INIT;
    cq_run *run = NULL;
    cq_status status = cq_run_create(&run, &plan, &options, &error);
    status = status < 0 ? status : cq_run_go(run, NULL, &error);
    ck_assert_int_ge(status, 0);
    const cq_result *r = cq_run_result(run);
    for (int p = 0; p < PROBES; p++) {
        const cq_trace *trace = &r->traces[CQ_TRACES_FIXED + p];
        T_K[p] = trace->temp_K[trace->n - 1];
        ck_assert(isfinite(T_K[p]));
    }
    cq_run_free(run);
    cq_error_clear(&error);
}

/* Root mean square over the places. */
static double distance(const double a[PROBES], const double b[PROBES]) {
    double sum = 0.0;
    for (int p = 0; p < PROBES; p++) {
        sum += (a[p] - b[p]) * (a[p] - b[p]);
    }
    return sqrt(sum / PROBES);
}

/* Clay's cross terms are taken a fifth of a step ahead, not a whole one (stability at slants): a first-order part, kept
 * small. */
START_TEST(small_first_order_in_time) {
    double T[4][PROBES], apart[3];
    for (int n = 0; n < 4; n++) {
        solve(1, 0.02 / (1 << n), T[n]);
    }
    for (int n = 0; n < 3; n++) {
        apart[n] = distance(T[n], T[n + 1]);
    }
    printf("in time, steps of 20 to 2.5 ms: differences %.2e %.2e %.2e K, orders %.2f %.2f\n", apart[0], apart[1],
           apart[2], log2(apart[0] / apart[1]), log2(apart[1] / apart[2]));
    ck_assert_double_ge(log2(apart[1] / apart[2]), 0.95);
    ck_assert_double_lt(apart[0],
                        0.01); /* at steps a tenth of those a run takes by then: a hundredth of its tolerance */
}
END_TEST

START_TEST(second_order_in_space) {
    double T[3][PROBES], apart[2];
    for (int n = 0; n < 3; n++) {
        solve(1 << n, 0.005, T[n]);
    }
    for (int n = 0; n < 2; n++) {
        apart[n] = distance(T[n], T[n + 1]);
    }
    printf("in space, refined 1, 2, 4: differences %.2e %.2e K, order %.2f\n", apart[0], apart[1],
           log2(apart[0] / apart[1]));
    ck_assert_double_ge(log2(apart[0] / apart[1]), 1.6); /* rim and clay cells are coarse at refine 1: not yet 2 */
    ck_assert_double_le(log2(apart[0] / apart[1]), 2.3);
}
END_TEST

int main(void) {
    TCase *tc = tcase_create("orders");
    tcase_set_timeout(tc, 300);
    tcase_add_test(tc, small_first_order_in_time);
    tcase_add_test(tc, second_order_in_space);
    return run_case(tc, "orders of a coated section");
}
