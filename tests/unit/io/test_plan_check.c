/* test_plan_check.c - the sense of a plan made by hand, without a file. */
#include "reading.h"

#include <math.h>

static double steel_x[] = {293.15}, steel_k[] = {30.0}, steel_c[] = {4.5e6}, clay_k[] = {0.3}, clay_c[] = {1.4e6};
static cq_step_plan step;
static cq_coat_point points[3];
static cq_probe_plan probe;
static double times[2];

/* A plan with nothing wrong. */
static cq_plan sound(void) {
    cq_plan p;
    cq_plan_init(&p);
    p.blade = (cq_blade){.family = CQ_FAMILY_RIDGED,
                         .height_m = 30e-3,
                         .edge_m = 1.5e-3,
                         .spine_m = 6e-3,
                         .ridge_at_m = 20e-3,
                         .ridge_thickness_m = 6.5e-3};
    p.steel.composition_wt.C = 0.8;
    p.heat.temperature_K = 1073.15;
    step = (cq_step_plan){.at_K = 293.15, .for_s = 3.0};
    step.bath = (cq_bath){.kind = CQ_BATH_GAS, .at_min_K = 250.0, .at_max_K = 350.0};
    p.steps = &step;
    p.steps_n = 1;
    points[0] = (cq_coat_point){8e-3, 0.0, 0.0};
    points[1] = (cq_coat_point){11e-3, 2e-3, 2e-3};
    points[2] = (cq_coat_point){30e-3, 2e-3, 1e-3};
    p.coat.points = points;
    p.coat.n = 3;
    p.clay.conductivity_W_mK = (cq_table){1, steel_x, clay_k, CQ_INTERPOLATE_LINEAR};
    p.clay.heat_capacity_J_m3K = (cq_table){1, steel_x, clay_c, CQ_INTERPOLATE_LINEAR};
    probe = (cq_probe_plan){"e", 1e-3, CQ_FACE_MID, 0.0, 0.0};
    p.probes = &probe;
    p.probes_n = 1;
    times[0] = 0.5;
    times[1] = 1.0;
    p.times_s = times;
    p.times_n = 2;
    return p;
}

static void expect_faults(const cq_plan *plan, size_t n, const char *key) {
    forget();
    ck_assert_int_eq(cq_plan_check(plan, &told), n == 0 ? CQ_OK : CQ_ERR_PLAN);
    ck_assert_msg(told.count == n, "%zu faults, the first '%s' %s", told.count, told.count > 0 ? told.items[0].key : "",
                  told.count > 0 ? told.items[0].found : "");
    if (n > 0) {
        ck_assert_str_eq(told.items[0].key, key);
    }
    ck_assert_int_eq(cq_plan_check(plan, NULL), n == 0 ? CQ_OK : CQ_ERR_PLAN);
}

START_TEST(passes_what_is_sound) {
    cq_plan p = sound();
    expect_faults(&p, 0, "");
    p.steel = (cq_steel){.kind = CQ_STEEL_INERT,
                         .conductivity_W_mK = {1, steel_x, steel_k, CQ_INTERPOLATE_LINEAR},
                         .heat_capacity_J_m3K = {1, steel_x, steel_c, CQ_INTERPOLATE_LINEAR}};
    p.heat.start_K = 373.15;
    p.blade = (cq_blade){.family = CQ_FAMILY_ROUND, .spine_m = 12.5e-3};
    p.coat.n = 0;
    expect_faults(&p, 0, "");
}
END_TEST

/* Every number of the plan, made NaN, must be noticed: a NaN passes no check. */
START_TEST(lets_no_nan_pass) {
    cq_plan p = sound();
    double *const number[] = {&p.blade.height_m,
                              &p.blade.edge_m,
                              &p.blade.spine_m,
                              &p.blade.ridge_at_m,
                              &p.blade.ridge_thickness_m,
                              &p.steel.composition_wt.C,
                              &p.steel.composition_wt.Mn,
                              &p.steel.grain_ASTM,
                              &p.steel.time_factor,
                              &p.heat.temperature_K,
                              &p.heat.hold_s,
                              &step.at_K,
                              &step.for_s,
                              &points[1].at_m,
                              &points[1].left_m,
                              &points[2].right_m,
                              &p.coat.edge_m,
                              &p.coat.spine_m,
                              &p.contact_m2K_W,
                              &p.soaked,
                              &probe.at_m,
                              &times[1],
                              &p.every_s,
                              &p.grind_m};
    for (size_t i = 0; i < sizeof number / sizeof number[0]; i++) {
        const double before = *number[i];
        *number[i] = NAN;
        forget();
        ck_assert_msg(cq_plan_check(&p, &told) == CQ_ERR_PLAN, "NaN number %zu passed", i);
        ck_assert_uint_ge(told.count, 1);
        *number[i] = before;
    }
    expect_faults(&p, 0, "");
}
END_TEST

START_TEST(finds_each_fault) {
    cq_plan p = sound();
    struct {
        double *number, value;
        const char *key;
    } list[] = {
        {&p.blade.edge_m, 0.0, "blade.edge"},
        {&p.blade.height_m, 0.3, "blade.height"},
        {&p.blade.ridge_at_m, 29.9e-3, "blade.ridge.at"},
        {&p.blade.ridge_thickness_m, 5e-3, "blade.ridge.thickness"},
        {&p.steel.composition_wt.C, 9.0, "steel"},
        {&p.steel.composition_wt.C, 0.0, "steel"},
        {&p.steel.composition_wt.Cr, 60.0, "steel"},
        {&p.heat.temperature_K, 1773.15, "heat.temperature"},
        {&p.heat.hold_s, 0.0, "heat.hold"},
        {&points[1].left_m, 80e-3, "clay.coat.1.thickness"},
        {&points[2].at_m, 9e-3, "clay.coat.2.at"},
        {&points[2].at_m, 31e-3, "clay.coat.2.at"},
        {&p.coat.spine_m, -1e-3, "clay.spine"},
        {&step.for_s, 0.0, "steps.0.for"},
        {&step.until_K, 293.0, "steps.0.until"},
        {&step.until_K, 1100.0, "steps.0.until"},
        {&step.at_K, 400.0, "steps.0.at"},
        {&probe.at_m, 31e-3, "record.probes.0.at"},
        {&times[1], 0.5, "record.times.1"},
        {&p.grind_m, 10e-3, "finish.grind"},
    };
    for (size_t i = 0; i < sizeof list / sizeof list[0]; i++) {
        const double before = *list[i].number;
        *list[i].number = list[i].value;
        expect_faults(&p, 1, list[i].key);
        *list[i].number = before;
    }
    expect_faults(&p, 0, "");
}
END_TEST

START_TEST(finds_what_is_no_number) {
    cq_plan p = sound();
    p.steps_n = 0;
    expect_faults(&p, 1, "steps");
    p = sound();
    p.grid.along = 7;
    expect_faults(&p, 1, "grid.along");
    p = sound();
    p.clay.conductivity_W_mK.n = 0;
    expect_faults(&p, 1, "clay.mix");
    p = sound();
    probe.name = "a/b";
    expect_faults(&p, 1, "record.probes.0.name");
    p = sound();
    probe.name = NULL;
    expect_faults(&p, 1, "record.probes.0.name");
    p = sound();
    step.bath.kind = CQ_BATH_TABLE;
    expect_faults(&p, 1, "steps.0.in");
    p = sound();
    p.steel.kind = CQ_STEEL_INERT;
    expect_faults(&p, 1, "steel");
    p = sound();
    step.bath.kind = CQ_BATH_BOILING; /* whatever the description says, water boils */
    step.bath.at_max_K = 500.0;
    step.at_K = 375.0;
    expect_faults(&p, 1, "steps.0.at");
}
END_TEST

/* A spine thinner than the edge is a fault where flanks are straight or convex, not of a ridged section. */
START_TEST(minds_the_family) {
    cq_plan p = sound();
    p.blade.spine_m = 1.2e-3;
    expect_faults(&p, 0, "");
    p.blade.family = CQ_FAMILY_FLAT;
    expect_faults(&p, 1, "blade.spine");
    p.blade.family = CQ_FAMILY_PLATE;
    expect_faults(&p, 2, "clay.coat.1.thickness"); /* it and the last point differ from the first */
    p.coat.n = 0;
    p.blade.spine_m = 4e-3;
    expect_faults(&p, 0, "");
    p.coat.edge_m = 1e-3;
    expect_faults(&p, 1, "clay.edge");
}
END_TEST

int main(void) {
    TCase *tcase = tcase_create("plan check");
    tcase_add_checked_fixture(tcase, NULL, forget);
    tcase_add_test(tcase, passes_what_is_sound);
    tcase_add_test(tcase, lets_no_nan_pass);
    tcase_add_test(tcase, finds_each_fault);
    tcase_add_test(tcase, finds_what_is_no_number);
    tcase_add_test(tcase, minds_the_family);
    return run_case(tcase, "plan check");
}
