/* Plans rewritten with a layout, in every way of writing; reasons in words; lengths as a smith measures them. */
#include "../../suite.h"
#include "report/lay_words.h"

#include <clayquench/clayquench.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#define HEAD "format: clayquench-plan 1\nblade: sloyd-knife\nsteel: 1084\n"
static const char *const TEXTS[] = {
    /* braces */
    HEAD
    "clay: {mix: stone-charcoal-clay, contact: 1e-5 m^2*K/W, coat: [{at: 0 mm, thickness: 1 mm}, {at: 28 mm, "
    "thickness: 1 mm}]}\n"
    "heat: {temperature: 800 °C}\n"
    "steps: [{in: air, for: 1 s}, {in: {from: water, name: \"my, tank\"}, at: 40 °C, for: 3 s}, {in: air, for: 2 s},\n"
    "  {in: water, until: 60 °C}]\n",
    /* lines, comments between, the list at the key's own indent */
    HEAD
    "clay: # mine\n  mix:\n    from: stone-charcoal-clay # dug here\n    emissivity: 80 %\n  wet: true\n  contact: "
    "1e-5 m^2*K/W\n"
    "  coat:\n  - {at: 0 mm, thickness: 1 mm}\n\n  # top\n  - at: 28 mm\n    thickness: 1 mm\n  edge: 0.1 mm\n"
    "# between\nheat:\n  temperature: 800 °C\nsteps:\n- in: air\n  for: 1 s\n# in\n- in: water\n  for: 3 s # counted\n"
    "  at: 40 °C\n- in: air\n  for: 2 s\n- in: water\n  until: 60 °C # cold\nfinish: {grind: 0.1 mm}\n",
    /* a step in braces in a list of lines */
    HEAD "clay:\n    mix: stone-charcoal-clay\n    contact: 1e-5 m^2*K/W\nheat: {temperature: 800 °C}\nsteps:\n"
         "  - {in: air, for: 1 s}\n  - {in: water, for: 3 s, at: 40 °C} # first\n  - {in: air, for: 2 s}\n"
         "  - {in: water, until: 60 °C}\n"};

static const cq_search *search(void) {
    static const char *const folders[] = {CQ_PROFILES};
    static const cq_search all = {1, folders};
    return &all;
}

static void read_plan(cq_plan *plan, const char *text) {
    cq_error error = CQ_ERROR_INIT;
    const cq_status status = cq_plan_read_text(plan, text, strlen(text), "plan", ".", search(), &error);
    ck_assert_msg(status >= 0, "%s: %s in\n%s", error.count > 0 ? error.items[0].key : "",
                  error.count > 0 ? error.items[0].found : "", text);
    cq_error_clear(&error);
}

static cq_lay found(void) {
    cq_lay lay = {.end = CQ_LAY_FOUND, .choices_n = 1};
    lay.wish =
        (cq_lay_wish){.line_m = 8e-3, .within_m = 0.5e-3, .step_m = 0.25e-3, .thinnest_m = 0.5e-3, .thickest_m = 3e-3};
    lay.choice[0].layout = (cq_layout){.wash_m = 0.05e-3,
                                       .rim_m = {5.25e-3, 5.25e-3},
                                       .ramp_m = 2e-3,
                                       .body_m = 2e-3,
                                       .bath_K = 303.15,
                                       .pull_s = 2.5};
    return lay;
}

START_TEST(rewrites_plans) {
    const char *text = TEXTS[_i];
    cq_plan plan, again, laid;
    cq_lay_field field;
    cq_lay lay = found();
    char *out = NULL;
    read_plan(&plan, text);
    ck_assert_int_ge(cq_lay_field_of(&plan, &field, NULL), 0);
    const cq_lay_told told = {&lay, &plan, &field, NULL, NULL};
    ck_assert_int_ge(cq_lay_plan_text(&told, &out, NULL), 0);
    read_plan(&again, out);
    ck_assert_int_ge(cq_layout_plan(&lay.choice[0].layout, &field, &plan, &laid, NULL), 0);
    ck_assert_uint_eq(again.coat.n, laid.coat.n);
    for (size_t k = 0; k < laid.coat.n; k++) {
        ck_assert_double_eq_tol(again.coat.points[k].at_m, laid.coat.points[k].at_m, 1e-9);
        ck_assert_double_eq_tol(again.coat.points[k].left_m, laid.coat.points[k].left_m, 1e-9);
    }
    ck_assert_double_eq_tol(again.coat.edge_m, 0.05e-3, 1e-9);
    ck_assert_double_eq_tol(again.contact_m2K_W, 1e-5, 1e-12); /* what is not the coat's stays */
    ck_assert_double_eq_tol(again.steps[1].at_K, 303.15, 1e-6);
    ck_assert_double_eq_tol(again.steps[1].for_s, 2.5, 1e-9);
    ck_assert_double_eq_tol(again.steps[3].at_K, plan.steps[3].at_K - 10.0, 1e-6); /* had no at: of its own */
    ck_assert_double_eq_tol(again.steps[0].for_s, 1.0, 1e-12);
    ck_assert_double_eq_tol(again.steps[2].for_s, 2.0, 1e-12);
    ck_assert(!again.coat_was_wet); /* the layout is dry */
    if (_i == 1) {
        static const char *const kept[] = {"# dug here", "# between\n", "# in\n",
                                           "# counted",  "# cold",      "emissivity: 80 %"};
        for (size_t k = 0; k < sizeof kept / sizeof kept[0]; k++) {
            ck_assert_msg(strstr(out, kept[k]) != NULL, "'%s' is lost in\n%s", kept[k], out);
        }
    }
    cq_text_free(out);
    cq_plan_clear(&laid);
    cq_plan_clear(&again);
    cq_plan_clear(&plan);
}
END_TEST

START_TEST(says_every_reason) {
    cq_plan plan;
    cq_lay_field field = {.height_m = 28e-3};
    cq_plan_init(&plan);
    plan.steel.name = "1084";
    for (int end = 0; end <= CQ_LAY_FAILED; end++) {
        cq_lay lay = found();
        char words[CQ_LAY_SENTENCE], *screen = NULL, *json = NULL;
        lay.end = (cq_lay_end)end;
        lay.choices_n = end == CQ_LAY_FOUND;
        lay.lowest_m = 4e-3;
        lay.highest_m = 20e-3;
        lay.best_edge_HV = lay.best_spine_HV = 500.0;
        lay.choice[0].chance = (cq_chance){100, 0.5, 0.4, 0.6};
        const cq_lay_told told = {&lay, &plan, &field, NULL, NULL};
        for (int units = 0; units < 2; units++) {
            ck_assert_uint_gt(strlen(cq_lay_reason_words(&told, (cq_unit_system)units, words)), 4);
            ck_assert_int_ge(cq_lay_screen(&told, (cq_unit_system)units, &screen), 0);
            ck_assert_ptr_null(strstr(screen, "nan"));
            cq_text_free(screen);
        }
        ck_assert_int_ge(cq_lay_json(&told, &json), 0);
        ck_assert_ptr_nonnull(strstr(json, cq_lay_end_code((cq_lay_end)end)));
        cq_text_free(json);
    }
}
END_TEST

START_TEST(tells_lengths) {
    char to[CQ_LAY_LENGTH];
    ck_assert_str_eq(cq_lay_length(5.25e-3, CQ_UNITS_METRIC, to), "5.25 mm");
    ck_assert_str_eq(cq_lay_length(13 * 0.0254 / 64, CQ_UNITS_US, to), "13/64 in");
    ck_assert_str_eq(cq_lay_length(16 * 0.0254 / 64, CQ_UNITS_US, to), "1/4 in");
    ck_assert_str_eq(cq_lay_length(0.0254, CQ_UNITS_US, to), "1 in");
    ck_assert_str_eq(cq_lay_length(1.5 * 0.0254, CQ_UNITS_US, to), "1 1/2 in");
    ck_assert_str_eq(cq_lay_length(0.05e-3, CQ_UNITS_US, to), "0.002 in");
}
END_TEST

int main(void) {
    TCase *tc = tcase_create("lay");
    tcase_add_loop_test(tc, rewrites_plans, 0, (int)(sizeof TEXTS / sizeof TEXTS[0]));
    tcase_add_test(tc, says_every_reason);
    tcase_add_test(tc, tells_lengths);
    return run_case(tc, "report lay");
}
