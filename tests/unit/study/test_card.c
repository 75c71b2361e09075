/* A steel's card: what must rise and fall, what must agree with the laws it stands on, and nothing undefined where a
 * value is promised. */
#include "../../suite.h"

#include "base/memory.h"
#include "study/card.h"

#include <clayquench/io.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

static cq_plan plan;
static cq_card_bath baths[2];

/* Shipped water and oil, and a shipped steel with its own elements where `batch` says so. */
static cq_card_wish read_wish(const char *steel) {
    static const char *const folders[] = {CQ_PROFILES};
    const cq_search search = {1, folders};
    char text[512];
    snprintf(text, sizeof text,
             "format: clayquench-plan 1\nblade: {section: plate, thickness: 4 mm}\nsteel: %s\n"
             "heat: {temperature: 800 °C, hold: 5 min}\nclay: {mix: stone-charcoal-clay, coat: [{at: 0 mm, thickness: "
             "2 mm}]}\n"
             "steps:\n  - {in: water, at: 20 °C, for: 1 s}\n  - {in: fast-oil, for: 1 s}\n",
             steel);
    cq_error error = CQ_ERROR_INIT;
    ck_assert_msg(cq_plan_read_text(&plan, text, strlen(text), "test", ".", &search, &error) >= 0, "%s",
                  error.count > 0 ? error.items[0].found : "");
    for (int b = 0; b < 2; b++) {
        baths[b] = (cq_card_bath){plan.steps[b].bath, plan.steps[b].at_K};
    }
    return (cq_card_wish){{plan.heat.temperature_K, plan.heat.hold_s, plan.heat.stock}, 2, baths, &plan.clay};
}

static cq_steel_card *card_of(const char *steel) {
    cq_error error = CQ_ERROR_INIT;
    cq_steel_card *card = NULL;
    const cq_card_wish wish = read_wish(steel);
    ck_assert_msg(cq_steel_card_create(&card, &plan.steel, &wish, &error) >= 0, "%s",
                  error.count > 0 ? error.items[0].found : "");
    return card;
}

static void release(cq_steel_card *card) {
    cq_steel_card_free(card);
    cq_plan_clear(&plan);
}

START_TEST(manganese_hardens_deeper) {
    static const char *const steels[] = {"{from: 1084, batch: {Mn: 0.20 %}}", "{from: 1084, batch: {Mn: 0.45 %}}",
                                         "{from: 1084, batch: {Mn: 0.80 %}}"};
    double full = INFINITY, half = INFINITY, none = INFINITY, round[2] = {0, 0}, plate[2] = {0, 0}, J4 = 0.0;
    for (size_t s = 0; s < sizeof steels / sizeof steels[0]; s++) {
        cq_steel_card *card = card_of(steels[s]);
        ck_assert_double_lt(card->full_rate_K_s, full);
        ck_assert_double_lt(card->half_rate_K_s, half);
        ck_assert_double_lt(card->none_rate_K_s, none);
        full = card->full_rate_K_s, half = card->half_rate_K_s, none = card->none_rate_K_s;
        for (int b = 0; b < 2; b++) {
            ck_assert_int_eq(card->sizes[b].round.state, CQ_SIZE_FOUND);
            ck_assert_double_gt(card->sizes[b].round.size_m, 1.1 * round[b]);
            ck_assert_double_gt(card->sizes[b].plate.size_m, 1.1 * plate[b]);
            round[b] = card->sizes[b].round.size_m, plate[b] = card->sizes[b].plate.size_m;
        }
        ck_assert_double_gt(card->end_quench[3].HV, J4);
        J4 = card->end_quench[3].HV;
        release(card);
    }
}
END_TEST

START_TEST(sizes_make_sense) {
    cq_steel_card *card = card_of("1095");
    for (int b = 0; b < 2; b++) {
        const cq_card_sizes *s = &card->sizes[b];
        ck_assert_double_lt(s->plate.size_m, s->round.size_m); /* a round is cooled from all sides */
        ck_assert_double_gt(s->plate.size_m, 0.45 * s->round.size_m);
        ck_assert_double_lt(s->plate.low_m, s->plate.size_m);
        ck_assert_double_gt(s->plate.high_m, s->plate.size_m);
    }
    ck_assert_double_lt(card->sizes[1].round.size_m, card->sizes[0].round.size_m); /* oil under water */
    ck_assert(card->has_body);
    ck_assert(card->body.state == CQ_SIZE_NONE || card->body.size_m < card->sizes[0].plate.size_m);
    ck_assert_int_eq(card->outlook, CQ_LINE_CLEAR);
    release(card);
    card = card_of("O1"); /* hardens under clay too */
    ck_assert_int_ne(card->outlook, CQ_LINE_CLEAR);
    release(card);
    card = card_of("core-iron"); /* never hardens */
    ck_assert_int_eq(card->outlook, CQ_LINE_SOFT);
    ck_assert_int_eq(card->sizes[0].plate.state, CQ_SIZE_NONE);
    release(card);
}
END_TEST

START_TEST(isothermal_agrees_with_the_laws) {
    cq_steel_card *card = card_of("1095");
    const cq_isothermal *t = &card->isothermal;
    cq_soaked soaked;
    ck_assert_int_ge(cq_soaked_create(&soaked, card->steel, &card->soak, 1.0, NULL), 0);
    ck_assert_uint_gt(t->n, 80);
    for (size_t i = 0; i < t->n; i++) {
        const cq_half_times half = cq_clock_half_times(soaked.clock, t->temp_K[i]);
        const double want[] = {half.pearlite_s, half.bainite_s};
        ck_assert(i == 0 || t->temp_K[i] < t->temp_K[i - 1]);
        for (int p = 0; p < 2; p++) {
            const double *at[CQ_SHARES] = {&t->time_s[p][0][i], &t->time_s[p][1][i], &t->time_s[p][2][i]};
            if (isfinite(want[p])) {
                ck_assert_double_eq_tol(*at[CQ_SHARE_HALF] / want[p], 1.0, 1e-12);
                ck_assert(*at[CQ_SHARE_START] < *at[CQ_SHARE_HALF] && *at[CQ_SHARE_HALF] < *at[CQ_SHARE_END]);
            } else {
                ck_assert(isnan(*at[CQ_SHARE_HALF]));
            }
        }
        const double both = t->time_s[CQ_PRODUCT_BOTH][CQ_SHARE_HALF][i];
        if (isfinite(half.pearlite_s) || isfinite(half.bainite_s)) { /* sooner than either; by bisection to 1e-6 */
            ck_assert_double_le(both, fmin(half.pearlite_s, half.bainite_s) * (1.0 + 1e-6));
            const double Y = pow(both / half.pearlite_s, 4.0) + pow(both / half.bainite_s, 1.8);
            ck_assert_double_eq_tol(Y, 1.0, 1e-6);
        }
    }
    cq_soaked_free(&soaked);
    release(card);
}
END_TEST

static void expect_spot(const cq_spot *s) {
    double sum = 0.0;
    for (int p = 0; p < CQ_PHASES; p++) {
        ck_assert(s->fraction[p] >= 0.0 && s->fraction[p] <= 1.0);
        sum += s->fraction[p];
    }
    ck_assert_double_eq_tol(sum, 1.0, 1e-9);
    ck_assert(s->HV > 80.0 && s->HV < 1000.0);
}

START_TEST(nothing_is_undefined) {
    cq_steel_card *card = card_of("W1");
    const double values[] = {card->Ae1_K,
                             card->upper_K,
                             card->Bs_K,
                             card->M50_K,
                             card->M90_K,
                             card->full_rate_K_s,
                             card->half_rate_K_s,
                             card->none_rate_K_s,
                             card->effect.per_10K,
                             card->effect.low,
                             card->effect.high,
                             card->effect.off_by_low,
                             card->effect.off_by_high};
    for (size_t v = 0; v < sizeof values / sizeof values[0]; v++) {
        ck_assert(isfinite(values[v]));
    }
    expect_spot(&card->as_quenched);
    for (int n = 0; n < CQ_CARD_RATES; n++) {
        const cq_cooled *c = &card->continuous[n];
        expect_spot(&c->spot);
        ck_assert(n == 0 || c->rate_K_s < card->continuous[n - 1].rate_K_s);
        ck_assert(isnan(c->start_K) == isnan(c->finish_K));
        ck_assert(isnan(c->start_K) || c->finish_K <= c->start_K);
        ck_assert(n == 0 ||
                  c->spot.fraction[CQ_MARTENSITE] <= card->continuous[n - 1].spot.fraction[CQ_MARTENSITE] + 1e-9);
    }
    /* a temper softens, but for austenite of 250 HV that turns to 595 HV */
    const double turning = card->as_quenched.fraction[CQ_AUSTENITE] * (595.0 - 250.0);
    for (int n = 0; n < CQ_CARD_TEMPERS; n++) {
        const cq_tempered *t = &card->temper[n];
        ck_assert(t->twice_HV <= t->once_HV + turning && t->once_HV <= card->as_quenched.HV + 1.0);
        ck_assert(n == 0 || t->once_HV < card->temper[n - 1].once_HV + turning);
        ck_assert(n < 4 || t->once_HV < card->temper[n - 4].once_HV);
    }
    for (int n = 0; n < CQ_CARD_DISTANCES; n++) {
        const cq_end_quench *e = &card->end_quench[n];
        ck_assert(isfinite(e->HV) && isfinite(e->rate_K_s));
        ck_assert(n == 0 ||
                  (e->rate_K_s < card->end_quench[n - 1].rate_K_s && e->HV < card->end_quench[n - 1].HV + 0.5));
    }
    ck_assert_uint_eq(card->coolings_n, 3);
    for (size_t k = 0; k < card->coolings_n; k++) {
        ck_assert_uint_eq(card->cooling[k].n, CQ_CARD_POINTS);
        for (size_t i = 0; i < CQ_CARD_POINTS; i++) {
            ck_assert(isfinite(card->cooling[k].temp_K[i]));
        }
    }
    release(card);
}
END_TEST

START_TEST(the_ladder_rises) {
    cq_steel_card *card = card_of("W1");
    ck_assert_uint_eq(card->structures_n, 2);
    for (size_t k = 0; k < card->structures_n; k++) {
        for (int n = 1; n < CQ_CARD_LADDER; n++) {
            const cq_card_state *now = &card->ladder[k].step[n], *before = &card->ladder[k].step[n - 1];
            ck_assert_double_lt(now->half_rate_K_s, before->half_rate_K_s);
            ck_assert_double_ge(now->carbon_solution_wt, before->carbon_solution_wt);
            ck_assert_double_ge(now->retained_austenite, before->retained_austenite);
            ck_assert_double_le(now->grain_ASTM, before->grain_ASTM + 1e-9);
        }
    }
    /* spheroidised stock is shallower everywhere, and its soak matters */
    for (int n = 0; n < CQ_CARD_LADDER; n++) {
        ck_assert_double_gt(card->ladder[1].step[n].half_rate_K_s, card->ladder[0].step[n].half_rate_K_s);
    }
    ck_assert(card->effect.low <= card->effect.per_10K && card->effect.per_10K <= card->effect.high);
    ck_assert(card->effect.per_10K > 0.0 && !card->effect.hardly);
    release(card);
    card = card_of("1084"); /* normalised 1084 hardly minds, spheroidised does */
    ck_assert(card->effect.hardly && card->ladder[0].effect.hardly);
    ck_assert_int_eq(card->ladder[1].stock, CQ_STOCK_SPHEROIDISED_FINE);
    ck_assert(!card->ladder[1].effect.hardly && card->ladder[1].effect.per_10K > card->effect.per_10K);
    ck_assert(card->ladder[1].effect.low < card->ladder[1].effect.per_10K &&
              card->ladder[1].effect.per_10K < card->ladder[1].effect.high);
    /* the effect is the ladder's own slope, D ~ t^0.6 */
    const cq_card_state *step = card->ladder[1].step; /* 800 degC is rung 3 */
    const double by_rungs = pow(step[4].half_rate_K_s / step[2].half_rate_K_s, -0.6 / 4.0) - 1.0;
    ck_assert_double_eq_tol(card->ladder[1].effect.per_10K, by_rungs, 0.003);
    release(card);
}
END_TEST

START_TEST(a_cold_soak_is_a_notice) {
    cq_steel_card *card = NULL;
    cq_card_wish wish = read_wish("1084");
    wish.soak.temperature_K = 690.0 + 273.15;
    ck_assert_int_eq(cq_steel_card_create(&card, &plan.steel, &wish, NULL), CQ_NOTICED);
    ck_assert_str_eq(card->notices[0].code, "soak-too-cold");
    ck_assert_int_eq(card->outlook, CQ_LINE_SOFT);
    ck_assert(isnan(card->full_rate_K_s));
    /* no austenite: nothing that could have carbon, grain, a martensite start or a diagram */
    ck_assert(isnan(card->state.carbon_solution_wt) && isnan(card->state.Ms_K) && isnan(card->state.grain_ASTM));
    ck_assert(isnan(card->M50_K) && isnan(card->M90_K) && card->isothermal.n == 0);
    expect_spot(&card->as_quenched);
    release(card);
}
END_TEST

/* Between Ac1 and Ac3 part of the steel stays soft: told, never as full hardness, and no thickness is made of it. */
START_TEST(a_partial_soak_is_told) {
    cq_steel_card *card = NULL;
    cq_card_wish wish = read_wish("1045");
    wish.soak.temperature_K = 745.0 + 273.15;
    ck_assert_int_eq(cq_steel_card_create(&card, &plan.steel, &wish, NULL), CQ_NOTICED);
    ck_assert_str_eq(card->notices[0].code, "soak-partial");
    ck_assert(card->state.austenite > 0.6 && card->state.austenite < 0.8);
    ck_assert(isnan(card->full_rate_K_s) && isfinite(card->half_rate_K_s) && isfinite(card->none_rate_K_s));
    ck_assert(isnan(card->effect.per_10K) && !card->effect.hardly);
    ck_assert_double_lt(card->as_quenched.fraction[CQ_MARTENSITE], card->state.austenite);
    release(card);
    card = NULL;
    wish = read_wish("1045");
    wish.soak.temperature_K = 780.0 + 273.15; /* 10 K below, part does not turn: only what more heat does is told */
    ck_assert_int_ge(cq_steel_card_create(&card, &plan.steel, &wish, NULL), 0);
    ck_assert(isfinite(card->effect.per_10K) && isnan(card->effect.off_by_low) == isnan(card->effect.off_by_high));
    release(card);
}
END_TEST

/* Chromium and nickel far beyond what was fitted: finite, or not there, with the notice and its range. */
START_TEST(far_compositions_are_finite) {
    static const char *const steels[] = {"{from: W1, batch: {Cr: 5 %}}", "{from: W1, batch: {Cr: 6 %}}",
                                         "{from: W1, batch: {C: 2 %, Mn: 3 %, Ni: 15 %}}"};
    for (int s = 0; s < 3; s++) {
        cq_card_wish wish = read_wish(steels[s]);
        wish.soak.temperature_K = 950.0 + 273.15;
        cq_steel_card *card = NULL;
        ck_assert_int_eq(cq_steel_card_create(&card, &plan.steel, &wish, NULL), CQ_NOTICED);
        ck_assert(isfinite(card->upper_K) && card->upper_K > card->Ae1_K && card->upper_K < 1800.0);
        ck_assert(isnan(card->M90_K) || card->M90_K > 0.0);
        ck_assert(isnan(card->state.Ms_K) == (s == 2)); /* would lie below absolute zero */
        bool told = false, austenitic = false;
        for (size_t n = 0; n < card->notices_n; n++) {
            told = told || (strcmp(card->notices[n].code, "composition-range") == 0 &&
                            strstr(card->notices[n].sentence, s == 2 ? "Ni 15.00 (0 to 1 %)" : "(0 to 1.6 %)") != NULL);
            austenitic = austenitic || strcmp(card->notices[n].code, "stays-austenite") == 0;
        }
        ck_assert(told && austenitic == (s == 2));
        expect_spot(&card->as_quenched);
        release(card);
    }
}
END_TEST

/* A diagram of the steel's own: the chart's halves are the measured ones after the soak it was measured at. Invented.
 */
START_TEST(a_measured_diagram_is_on_the_card) {
    cq_card_wish wish = read_wish("{from: 1084, isothermal: {source: invented, composition: {C: 0.84 %}, soak: 800 °C, "
                                  "hold: 5 min, rows: [[660 °C, "
                                  "40 s, 110 s, 190 s], [560 °C, 2.5 s, 8 s, 20 s], [400 °C, 20 s, 90 s, 250 s], [300 "
                                  "°C, 100 s, 900 s, 3000 s]]}}");
    cq_steel_card *own = NULL, *law = NULL;
    ck_assert_int_ge(cq_steel_card_create(&own, &plan.steel, &wish, NULL), 0);
    const cq_isothermal *t = &own->isothermal;
    for (size_t i = 1; i < t->n; i++) {
        const double *half = t->time_s[CQ_PRODUCT_BOTH][CQ_SHARE_HALF];
        for (size_t r = 0; r < plan.steel.diagram.n; r++) {
            const cq_diagram_row *row = &plan.steel.diagram.row[r];
            if (t->temp_K[i - 1] > row->temp_K && t->temp_K[i] <= row->temp_K) { /* 5 K apart, straight in ln t */
                const double u = (t->temp_K[i - 1] - row->temp_K) / (t->temp_K[i - 1] - t->temp_K[i]);
                ck_assert_double_eq_tol((1.0 - u) * log(half[i - 1]) + u * log(half[i]), log(row->half_s), 0.02);
            }
        }
    }
    cq_steel plain = plan.steel;
    plain.diagram.n = 0;
    ck_assert_int_ge(cq_steel_card_create(&law, &plain, &wish, NULL), 0);
    ck_assert_double_lt(own->half_rate_K_s, 0.7 * law->half_rate_K_s); /* twice as slow at the nose */
    cq_steel_card_free(law);
    release(own);
}
END_TEST

START_TEST(refuses_what_does_not_transform) {
    cq_steel_card *card = NULL;
    cq_error error = CQ_ERROR_INIT;
    const cq_card_wish wish = read_wish("silver");
    ck_assert_int_eq(cq_steel_card_create(&card, &plan.steel, &wish, &error), CQ_ERR_ARGUMENT);
    ck_assert_ptr_null(card);
    ck_assert_uint_eq(error.count, 1);
    cq_error_clear(&error);
    cq_plan_clear(&plan);
}
END_TEST

/* Whichever allocation fails, the call says so and leaves nothing behind. Every one would take minutes: each of the
 * first, then ever sparser ones. */
START_TEST(memory_runs_out_cleanly) {
    const cq_card_wish wish = read_wish("1084");
    cq_steel_card *card = NULL;
    cq_status status = CQ_ERR_MEMORY;
    for (long n = 0; status < 0 && n < 200000; n += 1 + n / 6) {
        cq_error error = CQ_ERROR_INIT;
        cq_memory_fail_after(n);
        status = cq_steel_card_create(&card, &plan.steel, &wish, &error);
        cq_memory_fail_after(-1);
        ck_assert(status >= 0 || card == NULL);
        cq_error_clear(&error);
    }
    ck_assert_int_ge(status, 0);
    release(card);
}
END_TEST

int main(void) {
    TCase *tc = tcase_create("card");
    tcase_set_timeout(tc, 100);
    tcase_add_test(tc, manganese_hardens_deeper);
    tcase_add_test(tc, sizes_make_sense);
    tcase_add_test(tc, isothermal_agrees_with_the_laws);
    tcase_add_test(tc, nothing_is_undefined);
    tcase_add_test(tc, the_ladder_rises);
    tcase_add_test(tc, a_cold_soak_is_a_notice);
    tcase_add_test(tc, a_partial_soak_is_told);
    tcase_add_test(tc, far_compositions_are_finite);
    tcase_add_test(tc, a_measured_diagram_is_on_the_card);
    tcase_add_test(tc, refuses_what_does_not_transform);
    tcase_add_test(tc, memory_runs_out_cleanly);
    return run_case(tc, "steel card");
}
