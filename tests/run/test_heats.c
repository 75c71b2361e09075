/* A blade hardened again: what the first quench leaves is what the second finds. */
#include "../place.h"
#include "../suite.h"
#include "shop.h"

#include <clayquench/io.h>
#include <stdlib.h>

#define PLAIN_WATER "steps: [{in: air, for: 1.5 s}, {in: water, at: 40 °C, until: 60 °C}]\n"
#define PLAIN_WATER_STEPS "steps: [{in: air, for: 1.5 s}, {in: water, at: 40 °C, until: 60 °C}]"
#define PLAIN_HEAT "heat: {temperature: 800 °C, hold: 5 min}\n"
#define AGAIN(heat) "  - {heat: " heat ", steps: [{in: air, for: 1.5 s}, {in: water, at: 40 °C, until: 60 °C}]}\n"

/* A finished run and its plan. */
typedef struct done {
    cq_plan *plan;
    cq_run *run;
    const cq_result *r;
} done;

/* The knife of this steel and coat; `rest` says heat, steps and what follows. */
static done make(const char *steel, const char *lost, const char *rest) {
    static const char *const folders[] = {SHOP_PROFILES};
    const cq_search search = {1, folders};
    char text[2400];
    done d = {.plan = malloc(sizeof *d.plan)};
    ck_assert_ptr_nonnull(d.plan);
    cq_plan_init(d.plan);
    const int n =
        snprintf(text, sizeof text,
                 "format: clayquench-plan 1\nblade: {section: flat, height: 28 mm, edge: 1.2 mm, spine: 3.2 mm, "
                 "length: 110 mm}\nsteel: %s\nclay: {mix: stone-charcoal-clay, edge: 0.05 mm, spine: 2 mm, coat: [{at: "
                 "0 mm, thickness: 0.05 mm}, {at: 8 mm, thickness: 0.05 mm}, {at: 11 mm, thickness: 2 mm}, {at: 28 mm, "
                 "thickness: 2 mm}]%s}\n%s",
                 steel, lost, rest);
    cq_error error = CQ_ERROR_INIT;
    const cq_status read = cq_plan_read_text(d.plan, text, (size_t)n, "knife", NULL, &search, &error);
    ck_assert_msg(read >= 0, "%s: %s", error.count > 0 ? error.items[0].key : "",
                  error.count > 0 ? error.items[0].found : "");
    ck_assert_int_ge(cq_run_create(&d.run, d.plan, NULL, NULL), 0);
    d.r = cq_run_result(d.run);
    return d;
}

static done quench(const char *steel, const char *lost, const char *rest) {
    const done d = make(steel, lost, rest);
    ck_assert_int_ge(cq_run_go(d.run, NULL, NULL), 0);
    return d;
}

static void release(done *d) {
    cq_run_free(d->run);
    cq_plan_clear(d->plan);
    free(d->plan);
}

/* With the same structure before both heats the second is the first over again, bent by what the first left: plastic
 * strain and turning under stress, not growth. */
START_TEST(the_bend_that_lasts_is_found_again) {
    done one = quench("1084", "", PLAIN_HEAT PLAIN_WATER),
         two = quench("1084", "",
                      PLAIN_HEAT PLAIN_WATER "heats:\n" AGAIN("{temperature: 800 °C, hold: 5 min, structure: "
                                                              "normalised}"));
    const cq_curve *a = &one.r->curve, *b = &two.r->curve;
    const double lasting = a->plastic_1_m + a->turned_1_m;
    ck_assert_double_gt(fabs(lasting), 1e-3);
    ck_assert_double_eq_tol(b->found_1_m, lasting, 1e-12);
    ck_assert_double_eq_tol(b->quenched.curvature_1_m, a->quenched.curvature_1_m + lasting, 1e-12);
    ck_assert_double_eq_tol(b->curvature_1_m[0], lasting, 1e-12); /* as it leaves the second fire */
    ck_assert_double_eq_tol(two.r->line_surface_m, one.r->line_surface_m, 1e-12);
    ck_assert_double_eq_tol(a->found_1_m, 0.0, 1e-300);
    /* the answers of each heat */
    ck_assert_uint_eq(one.r->heats_n, 1);
    ck_assert_uint_eq(two.r->heats_n, 2);
    const double per = 0.11 * 0.11 / 8.0;
    ck_assert_double_eq_tol(two.r->heats[0].kept_m, lasting * per, 1e-12);
    ck_assert_double_eq_tol(two.r->heats[0].rise_m, a->quenched.rise_m, 1e-12);
    ck_assert_double_eq_tol(two.r->heats[1].rise_m, b->quenched.rise_m, 1e-12);
    ck_assert_uint_eq(two.r->heats[0].step_ends_n, 2);
    ck_assert_double_eq_tol(two.r->heats[0].step_ends[1].time_s, one.r->step_ends[1].time_s, 1e-9);
    release(&one);
    release(&two);
}
END_TEST

/* A temper between the heats turns stress into lasting strain. */
START_TEST(a_temper_between_counts) {
    done one = quench("1084", "", PLAIN_HEAT PLAIN_WATER "temper: [{temperature: 250 °C, for: 1 h}]\n"),
         two =
             quench("1084", "",
                    PLAIN_HEAT PLAIN_WATER
                    "heats:\n  - {temper: [{temperature: 250 °C, for: 1 h}], heat: {temperature: 800 °C}, steps: [{in: "
                    "fast-oil, at: 40 °C, until: 60 °C}]}\n");
    ck_assert_double_eq_tol(two.r->heats[0].kept_m, one.r->heats[0].kept_m, 1e-12);
    done bare = quench("1084", "", PLAIN_HEAT PLAIN_WATER);
    ck_assert_double_gt(fabs(bare.r->heats[0].kept_m - one.r->heats[0].kept_m), 1e-6);
    ck_assert_uint_eq(two.r->tempers_n, 0); /* the last quench was not tempered */
    release(&one);
    release(&two);
    release(&bare);
}
END_TEST

/* Each heat finds what the one before found and left. */
START_TEST(three_heats_add_up) {
    done three = quench(
        "1084", "", PLAIN_HEAT PLAIN_WATER "heats:\n" AGAIN("{temperature: 800 °C}") AGAIN("{temperature: 790 °C}"));
    const cq_curve *c = &three.r->curve;
    const double per = 0.11 * 0.11 / 8.0;
    ck_assert_uint_eq(three.r->heats_n, 3);
    ck_assert_double_eq_tol(c->found_1_m * per, three.r->heats[1].kept_m, 1e-12);
    ck_assert_double_eq_tol(three.r->heats[2].kept_m, (c->found_1_m + c->plastic_1_m + c->turned_1_m) * per, 1e-12);
    ck_assert_double_lt(three.r->energy_imbalance, 2e-3);
    release(&three);
}
END_TEST

/* Where the blade was hard, a second, short heat finds stock that was quenched, whatever it was made of at first; not
 * fine pearlite and not the coarse carbide of the beginning. Where a structure is stated, it counts. */
START_TEST(what_was_hard_dissolves_sooner) {
#define FIRST "heat: {temperature: 790 °C, hold: 5 min, structure: spheroidised-fine}\n" PLAIN_WATER
#define SECOND(structure) "{temperature: 775 °C, hold: 5 s" structure "}"
    done two = quench("1095", "", FIRST "heats:\n" AGAIN(SECOND(""))),
         stated = quench("1095", "", FIRST "heats:\n" AGAIN(SECOND(", structure: spheroidised-fine")));
    static const char *const stocks[] = {", structure: quenched", ", structure: cycled",
                                         ", structure: spheroidised-fine"};
    double carbon[3];
    for (int n = 0; n < 3; n++) {
        char rest[300];
        snprintf(rest, sizeof rest, "heat: " SECOND("%s") "\n" PLAIN_WATER, stocks[n]);
        done one = quench("1095", "", rest);
        carbon[n] = one.r->carbon_in_solution_wt;
        release(&one);
    }
    ck_assert_double_gt(carbon[0], carbon[1] + 1e-4);
    ck_assert_double_gt(carbon[0], carbon[2] + 0.02);
    ck_assert_double_eq_tol(two.r->carbon_in_solution_wt, carbon[0], 0.1 * (carbon[0] - carbon[1]));
    ck_assert_double_eq_tol(stated.r->carbon_in_solution_wt, carbon[2], 1e-12);
    release(&two);
    release(&stated);
}
END_TEST

/* What a heat too cold left as it was is the stock it was, whether the next is a soak or a fire; what it hardened
 * dissolves sooner in a fire too. */
START_TEST(what_never_turned_is_what_it_was) {
#define COLD "heat: {temperature: 700 °C, hold: 2 min, structure: spheroidised-coarse}\n" PLAIN_WATER
#define WARM "heat: {temperature: 800 °C, hold: 5 min, structure: spheroidised-coarse}\n" PLAIN_WATER
    static const char *const heats[] = {"hold: 30 s", "fire: {temperature: 850 °C, for: 150 s}"};
    for (int n = 0; n < 2; n++) {
        char next[300], again[400];
        snprintf(next, sizeof next, "{temperature: 790 °C, %s", heats[n]);
        double carbon[4];
        for (int k = 0; k < 4; k++) {
            static const char *const structure[] = {"", "", ", structure: spheroidised-coarse",
                                                    ", structure: quenched"};
            snprintf(again, sizeof again,
                     k < 2 ? "%sheats:\n  - {heat: %s%s}, " PLAIN_WATER_STEPS "}\n" : "%sheat: %s%s}\n" PLAIN_WATER,
                     k == 0   ? COLD
                     : k == 1 ? WARM
                              : "",
                     next, structure[k]);
            done d = quench("1095", "", again);
            carbon[k] = d.r->carbon_in_solution_wt;
            release(&d);
        }
        printf("%s: after 700 degC %.4f, after 800 degC %.4f; stock coarse %.4f, quenched %.4f %% C\n", heats[n],
               carbon[0], carbon[1], carbon[2], carbon[3]);
        ck_assert_double_lt(carbon[2], carbon[3] - 0.02);
        /* Rows of a first heat from a fire within 2 K share a soak, those of a later one do not. */
        ck_assert_double_eq_tol(carbon[0], carbon[2], (n == 0 ? 1e-9 : 1e-3));
        ck_assert_double_eq_tol(carbon[1], carbon[3], 1e-3); /* the edge was hard */
    }
}
END_TEST

/* What the heat before coarsened does not stay. */
START_TEST(the_grain_is_made_anew) {
    done two =
        quench("1084", "",
               "heat: {temperature: 950 °C, hold: 30 min}\n" PLAIN_WATER "heats:\n" AGAIN("{temperature: 790 °C}"));
    ck_assert_double_lt(two.r->heats[0].grain_ASTM, 6.0);
    ck_assert_double_gt(two.r->heats[1].grain_ASTM, two.r->heats[0].grain_ASTM + 2.0);
    bool told = false;
    for (size_t n = 0; n < two.r->notices_n; n++) {
        told = told || (strcmp(two.r->notices[n].code, "grain-coarse") == 0 &&
                        strncmp(two.r->notices[n].sentence, "heat 1: ", 8) == 0);
    }
    ck_assert(told);
    release(&two);
}
END_TEST

/* The patch falls off in the first quench; the clay is laid anew. */
START_TEST(clay_falls_in_the_first_quench) {
    const char *lost = ", lost: [{after: 4 s, from: 14 mm, to: 18 mm}]";
    done one = quench("1084", lost, PLAIN_HEAT PLAIN_WATER),
         two = quench("1084", lost,
                      PLAIN_HEAT PLAIN_WATER
                      "heats:\n" AGAIN("{temperature: 800 °C, hold: 5 min, structure: normalised}")),
         whole = quench("1084", "", PLAIN_HEAT PLAIN_WATER);
    ck_assert_double_eq_tol(two.r->heats[0].rise_m, one.r->heats[0].rise_m, 1e-12);
    ck_assert_double_eq_tol(two.r->body.HV, whole.r->body.HV, 1e-9);
    ck_assert_double_gt(fabs(one.r->body.HV - whole.r->body.HV), 1.0);
    release(&one);
    release(&two);
    release(&whole);
}
END_TEST

static bool cautioned(const cq_result *r, const char *words) {
    for (size_t c = 0; c < r->cautions_n; c++) {
        if (strstr(r->cautions[c], words) != NULL) {
            return true;
        }
    }
    return false;
}

START_TEST(cautions_of_waiting_and_hardening_again) {
    static const struct {
        const char *rest;
        bool late, again;
    } cases[] = {
        {PLAIN_HEAT PLAIN_WATER "temper: [{temperature: 180 °C, for: 1 h, after: 2 h}]\n", true, false},
        {PLAIN_HEAT PLAIN_WATER "temper: [{temperature: 180 °C, for: 1 h, after: 30 min}]\n", false, false},
        {PLAIN_HEAT PLAIN_WATER
         "temper: [{temperature: 180 °C, for: 1 h}, {temperature: 180 °C, for: 1 h, after: 5 h}]\n",
         false, false}, /* between two tempers nothing is brittle */
        {PLAIN_HEAT "steps: [{in: air, until: 60 °C}]\ntemper: [{temperature: 180 °C, for: 1 h, after: 2 h}]\n", false,
         false}, /* nothing hard */
        {PLAIN_HEAT PLAIN_WATER "heats:\n" AGAIN("{temperature: 800 °C}"), false, true},
        {"heat: {temperature: 800 °C, structure: quenched}\n" PLAIN_WATER, false, true},
        {PLAIN_HEAT PLAIN_WATER "heats:\n  - {temper: [{temperature: 180 °C, for: 1 h, after: 1 d}], heat: "
                                "{temperature: 800 °C}, steps: [{in: "
                                "fast-oil, at: 40 °C, until: 60 °C}]}\n",
         true, true},
    };
    for (size_t n = 0; n < sizeof cases / sizeof cases[0]; n++) {
        done d = quench("1084", "", cases[n].rest);
        ck_assert_msg(cautioned(d.r, "more than an hour") == cases[n].late, "case %zu", n);
        ck_assert_msg(cautioned(d.r, "Hardening a blade again") == cases[n].again, "case %zu", n);
        release(&d);
    }
}
END_TEST

static bool never(void *context, const cq_view *view) {
    (void)context;
    (void)view;
    return false;
}

/* Stopped while an earlier heat runs: what is there can be written. */
START_TEST(a_stop_in_an_earlier_heat) {
    done d = make("1084", "", PLAIN_HEAT PLAIN_WATER "heats:\n" AGAIN("{temperature: 800 °C}"));
    cq_error error = CQ_ERROR_INIT;
    ck_assert_int_eq(cq_run_go(d.run, &(cq_observer){never, NULL}, &error), CQ_ERR_CANCELLED);
    place_make();
    ck_assert_int_ge(cq_result_write(d.r, "{}", place, &error), 0);
    place_remove();
    cq_error_clear(&error);
    release(&d);
}
END_TEST

int main(void) {
    TCase *tc = tcase_create("heats");
    tcase_set_timeout(tc, 120);
    tcase_add_test(tc, the_bend_that_lasts_is_found_again);
    tcase_add_test(tc, a_temper_between_counts);
    tcase_add_test(tc, three_heats_add_up);
    tcase_add_test(tc, what_was_hard_dissolves_sooner);
    tcase_add_test(tc, what_never_turned_is_what_it_was);
    tcase_add_test(tc, the_grain_is_made_anew);
    tcase_add_test(tc, clay_falls_in_the_first_quench);
    tcase_add_test(tc, cautions_of_waiting_and_hardening_again);
    tcase_add_test(tc, a_stop_in_an_earlier_heat);
    return run_case(tc, "heats");
}
