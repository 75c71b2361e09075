/* A clay-coated blade section against a solution by spectral finite elements and SciPy's BDF: within 1 degC at the
 * default grid, closer when refined. coated_section_reference.py states the case and made the table beside it. */
#include "../coated_section.h"
#include "../suite.h"

#include <math.h>
#include <stdio.h>

static void read_reference(double temp_C[TIMES][PROBES]) {
    FILE *f = fopen(REFERENCE, "r");
    ck_assert_ptr_nonnull(f);
    char line[256];
    ck_assert_ptr_nonnull(fgets(line, sizeof line, f)); /* names */
    for (int n = 0; n < TIMES; n++) {
        double time_s;
        ck_assert_int_eq(fscanf(f, "%lf", &time_s), 1);
        ck_assert_double_eq_tol(time_s, AT_S[n], 1e-9);
        for (int p = 0; p < PROBES; p++) {
            ck_assert_int_eq(fscanf(f, ",%lf", &temp_C[n][p]), 1);
        }
    }
    fclose(f);
}

/* Largest difference over all places and times, K; NaN if one is. */
static double worst_difference(int refine) {
    double reference_C[TIMES][PROBES];
    read_reference(reference_C);
    cq_plan plan;
    cq_step_plan step;
    coated_section_plan(&plan, &step, refine);
    cq_error error = CQ_ERROR_INIT;
    cq_run *run = NULL;
    ck_assert_int_ge(cq_run_create(&run, &plan, NULL, &error), 0);
    ck_assert_int_ge(cq_run_go(run, NULL, &error), 0);
    const cq_result *r = cq_run_result(run);
    double worst = 0.0, at_s = 0.0;
    int place = 0;
    for (int p = 0; p < PROBES; p++) {
        const cq_trace *trace = &r->traces[CQ_TRACES_FIXED + p];
        ck_assert_uint_eq(trace->n, TIMES);
        for (int n = 0; n < TIMES; n++) {
            ck_assert_double_eq_tol(trace->time_s[n], AT_S[n], 1e-9);
            const double difference = trace->temp_K[n] - KELVIN(reference_C[n][p]);
            ck_assert(isfinite(difference));
            if (fabs(difference) > fabs(worst)) {
                worst = difference;
                place = p;
                at_s = AT_S[n];
            }
        }
    }
    printf("coated section, refine %d, %zu cells, %zu steps: worst difference %+.3f K, at %s mm after %g s\n", refine,
           r->cells, r->steps, worst, PLACES[place].name, at_s);
    cq_run_free(run);
    cq_error_clear(&error);
    return fabs(worst);
}

START_TEST(default_grid) {
    ck_assert_double_lt(worst_difference(1), 1.0); /* the bound asked of the default grid */
}
END_TEST

START_TEST(refined_grid) {
    ck_assert_double_lt(worst_difference(2),
                        0.5); /* a quarter of the bound if all were second order; the ends are less */
}
END_TEST

int main(void) {
    TCase *tc = tcase_create("reference");
    tcase_set_timeout(tc, 120);
    tcase_add_test(tc, default_grid);
    tcase_add_test(tc, refined_grid);
    return run_case(tc, "coated section");
}
