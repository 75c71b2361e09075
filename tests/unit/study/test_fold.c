/* A folded bar: layers, times that go with the square of the thickness, carbon kept, faults told, memory that runs out.
 */
#include "../../suite.h"
#include "base/memory.h"
#include "kinetics/carbon.h"

#include <clayquench/fold.h>
#include <math.h>
#include <string.h>

static const double PAIR[] = {0.9, 0.2};
static const cq_fold_heat WELD[] = {{1473.15, 300.0}};

static cq_fold_wish wish_of(size_t folds) {
    return (cq_fold_wish){
        .bar_m = 5e-3, .layers = 2, .carbon_n = 2, .carbon_wt = PAIR, .folds = folds, .heats_n = 1, .heats = WELD};
}

static cq_fold_card *card_of(const cq_fold_wish *wish) {
    cq_fold_card *card = NULL;
    cq_error error = CQ_ERROR_INIT;
    const cq_status status = cq_fold_card_create(&card, wish, &error);
    ck_assert_msg(status == CQ_OK, "%s", error.count > 0 ? error.items[0].found : "");
    return card;
}

START_TEST(layers_and_times) {
    const cq_fold_wish wish = wish_of(8);
    cq_fold_card *card = card_of(&wish);
    ck_assert_uint_eq(card->rows_n, 9);
    for (size_t n = 0; n < 9; n++) {
        const cq_fold_row *row = &card->rows[n];
        ck_assert_double_eq_tol(row->layers, 2.0 * pow(2.0, (double)n), 1e-9);
        ck_assert_double_eq_tol(row->layer_m * row->layers, 5e-3, 1e-12);
        ck_assert(row->least_wt >= 0.2 - 1e-6 && row->most_wt <= 0.9 + 1e-6);
        if (n > 0) {
            ck_assert_double_eq_tol(row->even_s, 0.25 * row[-1].even_s, 1e-9 * row->even_s);
            ck_assert_double_le(row->most_wt - row->least_wt, row[-1].most_wt - row[-1].least_wt + 1e-9);
        }
    }
    /* Even means even: the mean of the stack. */
    ck_assert_double_eq_tol(card->rows[8].least_wt, 0.55, 1e-4);
    ck_assert_double_eq_tol(card->rows[8].most_wt, 0.55, 1e-4);
    cq_fold_card_free(card);
}
END_TEST

/* Of almost equal carbons the slowest wave of two layers between mirrors decides; its middle falls as
 * (4/pi) exp(-D (pi/2d)2 t), a tenth at t = ln(40/pi) 4 d2/(pi2 D). 0.5 %: cells, and the share at cell middles. */
START_TEST(time_to_even_out) {
    static const double near[] = {0.5, 0.5001};
    cq_fold_wish wish = wish_of(0);
    wish.carbon_wt = near;
    cq_fold_card *card = card_of(&wish);
    const double d = 2.5e-3, pi = 3.14159265358979, D = cq_carbon_diffusivity(WELD[0].temp_K, 0.50005);
    const double exact = log(40.0 / pi) * 4.0 * d * d / (pi * pi * D);
    ck_assert_double_eq_tol(card->rows[0].even_s, exact, 5e-3 * exact);
    cq_fold_card_free(card);
}
END_TEST

/* Heats beyond the welds soak the finished bar; the first of them finds it drawn out. */
/* What crosses one weld grows as the square root of time, whatever the diffusivity; measured on the plan's own weld it
 * is 0.853 mm after 5 min between 0.70 and 0.05 % C. */
START_TEST(one_weld) {
    static const double soft[] = {0.70, 0.05};
    cq_fold_wish wish = wish_of(0);
    wish.carbon_wt = soft;
    cq_fold_card *card = card_of(&wish);
    ck_assert_double_eq_tol(card->weld_m[1], 0.853e-3, 2e-6);
    for (int n = 1; n < CQ_FOLD_WELDS; n++) {
        const double expected = card->weld_m[0] * sqrt(CQ_FOLD_WELD_S[n] / CQ_FOLD_WELD_S[0]);
        ck_assert_double_eq_tol(card->weld_m[n], expected, 1e-3 * expected);
    }
    cq_fold_card_free(card);
    static const double same[] = {0.7, 0.7};
    wish.carbon_wt = same;
    card = card_of(&wish);
    ck_assert(isnan(card->weld_m[0]));
    cq_fold_card_free(card);
}
END_TEST

START_TEST(soaks_follow) {
    static const cq_fold_heat heats[] = {{1473.15, 60.0}, {1473.15, 60.0}, {1273.15, 3600.0}};
    cq_fold_wish wish = wish_of(1);
    wish.heats_n = 3;
    wish.heats = heats;
    cq_fold_card *card = card_of(&wish);
    ck_assert_uint_eq(card->rows_n, 3);
    ck_assert(!card->rows[1].soak && card->rows[2].soak);
    ck_assert_uint_eq(card->rows[2].fold, 1);
    ck_assert_double_eq_tol(card->rows[2].layer_m, 1.25e-3, 1e-12);
    cq_carbon_line line; /* the same by hand */
    double least, most;
    cq_carbon_line_create(&line, 48);
    for (int i = 0; i < 48; i++) {
        line.width_m[i] = 2.5e-3 / 24;
        line.carbon_wt[i] = PAIR[i / 24];
    }
    for (int h = 0; h < 3; h++) {
        ck_assert_int_eq(cq_carbon_soak(&line, &(cq_carbon_heat){heats[h].temp_K, heats[h].time_s, h == 2 ? 0.5 : 1.0}),
                         CQ_OK);
    }
    cq_carbon_range(&line, &least, &most);
    ck_assert_double_eq_tol(card->rows[2].least_wt, least, 1e-12);
    ck_assert_double_eq_tol(card->rows[2].most_wt, most, 1e-12);
    cq_carbon_line_free(&line);
    cq_fold_card_free(card);
}
END_TEST

static void expect_fault(const cq_fold_wish *wish, const char *key, const char *words) {
    cq_error error = CQ_ERROR_INIT;
    cq_fold_card *card = NULL;
    ck_assert_int_eq(cq_fold_card_create(&card, wish, &error), CQ_ERR_PLAN);
    ck_assert_ptr_null(card);
    ck_assert_uint_ge(error.count, 1);
    ck_assert_msg(strstr(error.items[0].key, key) != NULL && strstr(error.items[0].expected, words) != NULL,
                  "%s: %s; expected %s", error.items[0].key, error.items[0].found, error.items[0].expected);
    cq_error_clear(&error);
}

START_TEST(faults) {
    cq_fold_heat heat = {1600.0, 60.0};
    static const double rich[] = {1.5, 0.2}, iron[] = {3.0, 0.2};
    cq_fold_wish wish = wish_of(2);
    wish.heats = &heat;
    wish.carbon_wt = rich;
    expect_fault(&wish, "heats.0", "begins to melt");
    wish.carbon_wt = iron;
    expect_fault(&wish, "carbon", "0 % to 2 %");
    wish.carbon_wt = PAIR;
    heat.temp_K = 900.0;
    expect_fault(&wish, "heats.0", "727");
    heat = (cq_fold_heat){1400.0, -1.0};
    expect_fault(&wish, "heats.0", "above 0 s");
    heat.time_s = NAN;
    expect_fault(&wish, "heats.0", "above 0 s");
    heat.time_s = 60.0;
    wish.bar_m = -1.0;
    expect_fault(&wish, "thickness", "0.1 mm");
    wish.bar_m = 5e-3;
    wish.folds = 21;
    expect_fault(&wish, "folds", "0 to 20");
    wish.folds = 1;
    wish.layers = 1;
    expect_fault(&wish, "carbon", "no more than");
}
END_TEST

/* What would melt at first may be heated so once its carbon has evened out. */
START_TEST(melts_later_when_even) {
    static const double rich[] = {1.5, 0.1};
    static const cq_fold_heat heats[] = {{1473.15, 3600.0}, {1473.15, 36000.0}, {1473.15, 36000.0}, {1560.0, 60.0}};
    cq_fold_wish wish = wish_of(2);
    wish.bar_m = 1e-3;
    wish.carbon_wt = rich;
    wish.heats = heats;
    wish.heats_n = 4;
    ck_assert_double_lt(cq_carbon_solidus_K(1.5), 1560.0);
    cq_fold_card_free(card_of(&wish));
}
END_TEST

START_TEST(memory_runs_out) {
    const cq_fold_wish wish = wish_of(2);
    for (long n = 0;; n++) {
        cq_error error = CQ_ERROR_INIT;
        cq_fold_card *card = NULL;
        cq_memory_fail_after(n);
        const cq_status status = cq_fold_card_create(&card, &wish, &error);
        cq_memory_fail_after(-1);
        cq_error_clear(&error);
        if (status == CQ_OK) {
            ck_assert_int_gt(n, 2);
            cq_fold_card_free(card);
            return;
        }
        ck_assert_int_eq(status, CQ_ERR_MEMORY);
        ck_assert_ptr_null(card);
    }
}
END_TEST

int main(void) {
    TCase *tc = tcase_create("fold");
    tcase_set_timeout(tc, 60);
    tcase_add_test(tc, layers_and_times);
    tcase_add_test(tc, time_to_even_out);
    tcase_add_test(tc, one_weld);
    tcase_add_test(tc, soaks_follow);
    tcase_add_test(tc, faults);
    tcase_add_test(tc, melts_later_when_even);
    tcase_add_test(tc, memory_runs_out);
    return run_case(tc, "fold");
}
