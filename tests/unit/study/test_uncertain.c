/* What of a plan is uncertain, how much, and what a changed value does to the plan - and to nothing else of it. */
#include "../../suite.h"

#include "base/memory.h"

#include <clayquench/io.h>
#include <clayquench/spread.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

static cq_plan plan;
static cq_uncertain inputs[CQ_UNCERTAINS];
static size_t inputs_n;

/* The sloyd knife's plan with these lines in place of steps and tolerances. */
static void read_plan(const char *steel, const char *clay, const char *rest) {
    static const char *const folders[] = {CQ_PROFILES};
    const cq_search search = {1, folders};
    char text[2048];
    snprintf(text, sizeof text, "format: clayquench-plan 1\nblade: sloyd-knife\nsteel: %s\n%s%s", steel, clay, rest);
    cq_error error = CQ_ERROR_INIT;
    ck_assert_msg(cq_plan_read_text(&plan, text, strlen(text), "test", ".", &search, &error) >= 0, "%s %s",
                  error.count > 0 ? error.items[0].key : "", error.count > 0 ? error.items[0].found : "");
    inputs_n = cq_uncertain_of(&plan, inputs);
}

#define CLAY                                                                                                           \
    "clay:\n  mix: stone-charcoal-clay\n  coat: [{at: 0 mm, thickness: 0.05 mm}, {at: 8 mm, thickness: 0.05 mm},"      \
    " {at: 11 mm, left: 2 mm, right: 1 mm}, {at: 28 mm, thickness: 2 mm}]\n  edge: 0.05 mm\n  spine: 2 mm\n"
#define HEAT "heat: {temperature: 800 °C}\n"
#define STEPS                                                                                                          \
    "steps: [{in: air, for: 1.5 s}, {in: water, at: 40 °C, for: 3 s}, {in: air, for: 4 s}, {in: water, at: 45 °C, "  \
    "until: 60 °C}]\n"

static const cq_uncertain *find(cq_uncertain_kind kind) {
    for (size_t k = 0; k < inputs_n; k++) {
        if (inputs[k].kind == kind) {
            return &inputs[k];
        }
    }
    return NULL;
}

/* The plan with one input changed. */
static cq_plan changed(cq_uncertain_kind kind, double value) {
    cq_plan p;
    ck_assert_ptr_nonnull(find(kind));
    ck_assert_int_eq(cq_uncertain_apply(&plan, find(kind), 1, &value, &p, NULL), CQ_OK);
    return p;
}

START_TEST(what_is_stated_comes_from_the_plan) {
    read_plan("1084", CLAY,
              "heat: {temperature: 800 °C, error: 9 K}\n" STEPS
              "tolerances: {coat: 10 %, nose: 25 %, time: 0.5 s, rim-height: 1 mm, bath-temperature: 4 °F}\n");
    ck_assert_double_eq_tol(find(CQ_UNCERTAIN_COAT)->sigma, log(1.10), 1e-12);
    ck_assert(find(CQ_UNCERTAIN_COAT)->origin == CQ_ORIGIN_TOLERANCE && find(CQ_UNCERTAIN_COAT)->lognormal);
    ck_assert_double_eq_tol(find(CQ_UNCERTAIN_NOSE)->sigma, log(1.25), 1e-12);
    ck_assert_double_eq_tol(find(CQ_UNCERTAIN_SOAK)->sigma, 9.0, 1e-12);
    ck_assert_int_eq(find(CQ_UNCERTAIN_SOAK)->origin, CQ_ORIGIN_HEAT_ERROR);
    ck_assert_double_eq_tol(find(CQ_UNCERTAIN_BATH_TEMPERATURE)->sigma, 4.0 / 1.8, 1e-9);
    ck_assert_double_eq_tol(find(CQ_UNCERTAIN_RIM)->sigma, 1e-3, 1e-12);
    static const cq_uncertain_kind times[] = {CQ_UNCERTAIN_TRANSFER, CQ_UNCERTAIN_PULL, CQ_UNCERTAIN_LATER};
    static const double centres[] = {1.5, 3.0, 4.0};
    for (int k = 0; k < 3; k++) {
        ck_assert_double_eq_tol(find(times[k])->sigma, 0.5, 1e-12);
        ck_assert_double_eq_tol(find(times[k])->centre, centres[k], 1e-12);
    }
    /* not stated: the profile's, or the usual */
    ck_assert_double_eq_tol(find(CQ_UNCERTAIN_CARBON)->sigma, 0.04, 1e-12);
    ck_assert_double_eq_tol(find(CQ_UNCERTAIN_MANGANESE)->sigma, 0.10, 1e-12);
    ck_assert_int_eq(find(CQ_UNCERTAIN_MANGANESE)->origin, CQ_ORIGIN_PROFILE);
    ck_assert_double_eq_tol(find(CQ_UNCERTAIN_EDGE_COAT)->sigma, log(1.30), 1e-12);
    ck_assert_int_eq(find(CQ_UNCERTAIN_EDGE_COAT)->origin, CQ_ORIGIN_DEFAULT);
    ck_assert_uint_eq(inputs_n, CQ_UNCERTAINS); /* this plan has everything */
    cq_plan_clear(&plan);
}
END_TEST

/* A colour is worth half of what an eye usually errs by, a stated error more than that. */
START_TEST(an_eye_errs_more) {
    read_plan("1084", CLAY, "heat: {temperature: 800 °C, judged: colour-in-daylight}\n" STEPS);
    ck_assert_double_eq_tol(find(CQ_UNCERTAIN_SOAK)->sigma, 25.0, 1e-9);
    cq_plan_clear(&plan);
    read_plan("1084", CLAY, "heat: {temperature: 800 °C, judged: colour-in-the-dark, error: 9 K}\n" STEPS);
    ck_assert_double_eq_tol(find(CQ_UNCERTAIN_SOAK)->sigma, 9.0, 1e-9);
    cq_plan_clear(&plan);
    read_plan("1084", CLAY, HEAT STEPS);
    ck_assert_double_eq_tol(find(CQ_UNCERTAIN_SOAK)->sigma, 12.0, 1e-9);
    cq_plan_clear(&plan);
}
END_TEST

START_TEST(what_acts_on_nothing_is_left_out) {
    char idle[128];
    read_plan("1084", "",
              HEAT "steps: [{in: fast-oil, until: 60 °C}]\n"
                   "tolerances: {coat: 10 %, time: 1 s, soak-temperature: 0 K, edge: 3 %}\n");
    ck_assert(find(CQ_UNCERTAIN_COAT) == NULL && find(CQ_UNCERTAIN_RIM) == NULL && find(CQ_UNCERTAIN_PULL) == NULL &&
              find(CQ_UNCERTAIN_CONDUCTIVITY) == NULL && find(CQ_UNCERTAIN_REWETTING) == NULL &&
              find(CQ_UNCERTAIN_SOAK) == NULL);
    ck_assert_ptr_nonnull(find(CQ_UNCERTAIN_BATH_STRENGTH));
    ck_assert_str_eq(cq_uncertain_idle(&plan, idle, sizeof idle), "coat, time");
    cq_plan_clear(&plan);
    read_plan("silver", "", "start: 800 °C\nsteps: [{in: water, at: 40 °C, until: 60 °C}]\n");
    ck_assert(find(CQ_UNCERTAIN_NOSE) == NULL && find(CQ_UNCERTAIN_CARBON) == NULL &&
              find(CQ_UNCERTAIN_MARTENSITE_HARDNESS) == NULL);
    ck_assert_double_eq_tol(find(CQ_UNCERTAIN_SOAK)->centre, 1073.15, 1e-9);
    cq_plan after = changed(CQ_UNCERTAIN_SOAK, 1080.0);
    ck_assert_double_eq(after.heat.start_K, 1080.0);
    cq_plan_clear(&after);
    cq_plan_clear(&plan);
}
END_TEST

/* A certificate narrows what it names, and nothing else. */
START_TEST(a_certificate_is_believed) {
    read_plan("{from: 1084, batch: {Mn: 0.60 %}}", "", HEAT STEPS);
    ck_assert_double_eq_tol(find(CQ_UNCERTAIN_MANGANESE)->sigma, 0.02, 1e-12);
    ck_assert_double_eq_tol(find(CQ_UNCERTAIN_MANGANESE)->centre, 0.60, 1e-12);
    ck_assert_double_eq_tol(find(CQ_UNCERTAIN_CARBON)->sigma, 0.04, 1e-12);
    cq_plan_clear(&plan);
}
END_TEST

START_TEST(clay_and_wash_are_changed_apart) {
    read_plan("1084", CLAY, HEAT STEPS);
    cq_plan p = changed(CQ_UNCERTAIN_COAT, 1e-3); /* from 2 mm: half */
    ck_assert_double_eq_tol(p.coat.points[2].left_m, 1e-3, 1e-15);
    ck_assert_double_eq_tol(p.coat.points[2].right_m, 0.5e-3, 1e-15);
    ck_assert_double_eq_tol(p.coat.spine_m, 1e-3, 1e-15);
    ck_assert_double_eq(p.coat.points[1].left_m, 0.05e-3);
    ck_assert_double_eq(p.coat.edge_m, 0.05e-3);
    cq_plan_clear(&p);
    p = changed(CQ_UNCERTAIN_EDGE_COAT, 0.1e-3);
    ck_assert_double_eq_tol(p.coat.points[1].right_m, 0.1e-3, 1e-15);
    ck_assert_double_eq_tol(p.coat.edge_m, 0.1e-3, 1e-15);
    ck_assert_double_eq(p.coat.points[2].left_m, 2e-3);
    cq_plan_clear(&p);
    p = changed(CQ_UNCERTAIN_CONDUCTIVITY, 2.0 * find(CQ_UNCERTAIN_CONDUCTIVITY)->centre);
    ck_assert_double_eq_tol(p.clay.conductivity_W_mK.y[0], 0.9, 1e-12);
    cq_plan_clear(&p);
    p = changed(CQ_UNCERTAIN_RIM, 12e-3); /* the ramp moves as it is */
    ck_assert_double_eq_tol(p.coat.points[1].at_m, 9e-3, 1e-12);
    ck_assert_double_eq_tol(p.coat.points[2].at_m, 12e-3, 1e-12);
    ck_assert_double_eq(p.coat.points[0].at_m, 0.0);
    ck_assert_double_eq(p.coat.points[3].at_m, 28e-3);
    cq_plan_clear(&p);
    ck_assert_double_eq(plan.coat.points[2].at_m, 11e-3); /* the plan as written is untouched */
    ck_assert_double_eq(plan.coat.points[2].left_m, 2e-3);
    cq_plan_clear(&plan);
}
END_TEST

START_TEST(baths_and_times) {
    read_plan("1084", CLAY, HEAT STEPS);
    cq_plan p = changed(CQ_UNCERTAIN_BATH_TEMPERATURE, 313.15 + 5.0);
    ck_assert_double_eq_tol(p.steps[1].at_K, 318.15, 1e-9);
    ck_assert_double_eq_tol(p.steps[3].at_K, 323.15, 1e-9);
    ck_assert_double_eq(p.steps[0].at_K, plan.steps[0].at_K); /* air stays */
    cq_plan_clear(&p);
    p = changed(CQ_UNCERTAIN_BATH_STRENGTH, 1.2);
    ck_assert_double_eq_tol(p.steps[1].bath.peak_factor, 1.2 * plan.steps[1].bath.peak_factor, 1e-12);
    ck_assert_double_eq_tol(p.steps[1].bath.film_factor, 1.2 * plan.steps[1].bath.film_factor, 1e-12);
    ck_assert_double_eq(p.steps[1].bath.rewetting_factor, plan.steps[1].bath.rewetting_factor);
    cq_plan_clear(&p);
    p = changed(CQ_UNCERTAIN_REWETTING, 0.7);
    ck_assert_double_eq_tol(p.steps[3].bath.rewetting_factor, 0.7 * plan.steps[3].bath.rewetting_factor, 1e-12);
    cq_plan_clear(&p);
    p = changed(CQ_UNCERTAIN_PULL, 2.0);
    ck_assert(p.steps[0].for_s == 1.5 && p.steps[1].for_s == 2.0 && p.steps[2].for_s == 4.0);
    cq_plan_clear(&p);
    p = changed(CQ_UNCERTAIN_TRANSFER, 2.5);
    ck_assert(p.steps[0].for_s == 2.5 && p.steps[1].for_s == 3.0 && p.steps[2].for_s == 4.0);
    cq_plan_clear(&p);
    p = changed(CQ_UNCERTAIN_LATER, 5.0);
    ck_assert(p.steps[0].for_s == 1.5 && p.steps[1].for_s == 3.0 && p.steps[2].for_s == 5.0);
    cq_plan_clear(&p);
    cq_plan_clear(&plan);
    read_plan("1084", "",
              HEAT "steps: [{in: {kind: table, heat-transfer: [[100 °C, 500 W/m^2/K], [800 °C, 1000 "
                   "W/m^2/K]]}, at: 40 °C, for: 9 s}]\n");
    p = changed(CQ_UNCERTAIN_BATH_STRENGTH, 2.0);
    ck_assert_double_eq_tol(p.steps[0].bath.heat_transfer_W_m2K.y[1], 2000.0, 1e-9);
    ck_assert_double_eq_tol(plan.steps[0].bath.heat_transfer_W_m2K.y[1], 1000.0, 1e-9);
    cq_plan_clear(&p);
    cq_plan_clear(&plan);
}
END_TEST

START_TEST(steel_and_blade) {
    read_plan("1084", CLAY, HEAT STEPS);
    cq_plan p = changed(CQ_UNCERTAIN_NOSE, 1.5);
    ck_assert_double_eq(p.steel.time_factor, 1.5);
    cq_plan_clear(&p);
    p = changed(CQ_UNCERTAIN_MANGANESE, 0.5);
    ck_assert(p.steel.composition_wt.Mn == 0.5 && p.steel.composition_wt.C == plan.steel.composition_wt.C);
    cq_plan_clear(&p);
    p = changed(CQ_UNCERTAIN_MARTENSITE_START, -6.0);
    ck_assert(p.steel.ms_shift_K == -6.0 && p.steel.hardness_shift_HV == 0.0);
    cq_plan_clear(&p);
    p = changed(CQ_UNCERTAIN_EDGE, 1.0e-3);
    ck_assert(p.blade.edge_m == 1.0e-3 && p.blade.spine_m == plan.blade.spine_m);
    cq_plan_clear(&p);
    p = changed(CQ_UNCERTAIN_THICKNESS, 1.1 * plan.blade.spine_m);
    ck_assert(p.blade.edge_m == plan.blade.edge_m);
    ck_assert_double_eq_tol(p.blade.spine_m, 1.1 * plan.blade.spine_m, 1e-12);
    cq_plan_clear(&p);
    cq_plan_clear(&plan);
}
END_TEST

/* Held within what a plan may have, and told; `until` stays reachable. */
START_TEST(values_are_held_and_told) {
    bool held;
    read_plan("1084", CLAY, HEAT STEPS "tolerances: {bath-temperature: 30 K, time: 2 s, rim-height: 30 mm}\n");
    const cq_uncertain *bath = find(CQ_UNCERTAIN_BATH_TEMPERATURE);
    ck_assert_double_eq_tol(cq_uncertain_value(bath, 3.0, &held), 313.15 + 13.0, 1e-9); /* second bath: 58 of 60 °C */
    ck_assert(held);
    ck_assert_double_eq_tol(cq_uncertain_value(bath, 0.1, &held), 316.15, 1e-9);
    ck_assert(!held);
    ck_assert_double_eq_tol(cq_uncertain_value(find(CQ_UNCERTAIN_PULL), -3.0, &held), 0.05, 1e-9);
    ck_assert(held);
    ck_assert_double_eq_tol(cq_uncertain_value(find(CQ_UNCERTAIN_RIM), -3.0, &held), 3.1e-3, 1e-9);
    ck_assert_double_eq_tol(cq_uncertain_value(find(CQ_UNCERTAIN_RIM), 3.0, &held), 27.9e-3, 1e-9);
    cq_plan_clear(&plan);
}
END_TEST

/* However far the inputs lie, the plan stays one that can be run. */
START_TEST(extremes_are_plans) {
    static const char *const blades[] = {"1084", "W2", "{from: 5160, batch: {C: 0.6 %}}"};
    for (int b = 0; b < 3; b++) {
        read_plan(blades[b], CLAY, HEAT STEPS);
        for (size_t k = 0; k < inputs_n; k++) {
            for (int end = -1; end <= 1; end += 2) {
                const double value = cq_uncertain_value(&inputs[k], 4.0 * end, NULL);
                cq_plan p = changed(inputs[k].kind, value);
                cq_error error = CQ_ERROR_INIT;
                ck_assert_msg(cq_plan_check(&p, &error) >= 0, "%s: %s", cq_uncertain_key(inputs[k].kind),
                              error.count > 0 ? error.items[0].found : "");
                cq_error_clear(&error);
                cq_plan_clear(&p);
            }
        }
        cq_plan_clear(&plan);
    }
}
END_TEST

START_TEST(memory_may_run_out) {
    double value[CQ_UNCERTAINS];
    read_plan("1084", CLAY, HEAT STEPS);
    for (size_t k = 0; k < inputs_n; k++) {
        value[k] = inputs[k].centre;
    }
    cq_status status = CQ_ERR_MEMORY;
    long n = 0;
    for (; status == CQ_ERR_MEMORY && n < 100; n++) {
        cq_plan p;
        cq_plan_init(&p);
        cq_memory_fail_after(n);
        status = cq_uncertain_apply(&plan, inputs, inputs_n, value, &p, NULL);
        cq_memory_fail_after(-1);
        cq_plan_clear(&p);
    }
    ck_assert_int_eq(status, CQ_OK);
    ck_assert_int_gt(n, 3);
    cq_plan_clear(&plan);
}
END_TEST

int main(void) {
    TCase *tc = tcase_create("uncertain");
    tcase_add_test(tc, what_is_stated_comes_from_the_plan);
    tcase_add_test(tc, what_acts_on_nothing_is_left_out);
    tcase_add_test(tc, an_eye_errs_more);
    tcase_add_test(tc, a_certificate_is_believed);
    tcase_add_test(tc, clay_and_wash_are_changed_apart);
    tcase_add_test(tc, baths_and_times);
    tcase_add_test(tc, steel_and_blade);
    tcase_add_test(tc, values_are_held_and_told);
    tcase_add_test(tc, extremes_are_plans);
    tcase_add_test(tc, memory_may_run_out);
    return run_case(tc, "uncertain");
}
