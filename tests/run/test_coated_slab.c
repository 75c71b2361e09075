/* A clay-coated slab against a solution computed with SciPy (tests/physics/data/make_coated_slab.py): within 1 K. */
#include "../suite.h"
#include "plans.h"

#include <math.h>
#include <stdio.h>

START_TEST(coated_slab) {
    static const double k[1] = {28.0}, c[1] = {4.774e6}, h[1] = {5000.0}, clay_c[1] = {1.705e6},
                        times[] = {0.5, 1, 2, 4, 8, 16};
    static const cq_coat_point one[1] = {{0.0, 1e-3, 1e-3}};
    static const cq_probe_plan probes[2] = {{"centre", 0.0, CQ_FACE_MID, 0.0, 0.0},
                                            {"face", 0.0, CQ_FACE_RIGHT, 0.0, 0.0}};
    cq_plan plan;
    cq_step_plan steps[2];
    start_plan(&plan, steps, 40);
    steps[1].bath = (cq_bath){.kind = CQ_BATH_TABLE, .heat_transfer_W_m2K = {1, AT, h, CQ_INTERPOLATE_LINEAR}};
    steps[1].until_K = 0.0;
    steps[1].for_s = 16.0;
    plan.steps = &steps[1];
    plan.steps_n = 1;
    plan.blade = (cq_blade){.family = CQ_FAMILY_PLATE, .spine_m = 3e-3};
    plan.steel = (cq_steel){.kind = CQ_STEEL_INERT,
                            .emissivity = 0.8,
                            .conductivity_W_mK = {1, AT, k, CQ_INTERPOLATE_LINEAR},
                            .heat_capacity_J_m3K = {1, AT, c, CQ_INTERPOLATE_LINEAR}};
    plan.clay.heat_capacity_J_m3K.y = clay_c;
    plan.coat = (cq_coat){1, one, 0.0, 0.0};
    plan.times_s = times;
    plan.times_n = 6;
    plan.probes = probes;
    plan.probes_n = 2;
    cq_error error = CQ_ERROR_INIT;
    cq_run *run = NULL;
    ck_assert_int_ge(cq_run_create(&run, &plan, NULL, &error), 0);
    ck_assert_int_ge(cq_run_go(run, NULL, &error), 0);
    const cq_result *r = cq_run_result(run);
    FILE *f = fopen(TEST_DATA "/coated_slab.csv", "r");
    ck_assert_ptr_nonnull(f);
    char line[128];
    double worst = 0.0;
    size_t n = 0;
    while (fgets(line, sizeof line, f) != NULL) {
        double t, centre, face;
        if (sscanf(line, "%lf,%lf,%lf", &t, &centre, &face) == 3) {
            ck_assert_double_eq_tol(r->traces[CQ_TRACES_FIXED].time_s[n], t, 1e-9);
            worst = fmax(worst, fabs(r->traces[CQ_TRACES_FIXED].temp_K[n] - 273.15 - centre));
            worst = fmax(worst, fabs(r->traces[CQ_TRACES_FIXED + 1].temp_K[n] - 273.15 - face));
            n++;
        }
    }
    fclose(f);
    printf("coated slab: worst difference %.3f K\n", worst);
    ck_assert_uint_eq(n, 6);
    ck_assert_double_lt(worst, 1.0); /* the bound asked for */
    cq_run_free(run);
}
END_TEST

int main(void) {
    TCase *tc = tcase_create("reference");
    tcase_add_test(tc, coated_slab);
    return run_case(tc, "coated slab");
}
