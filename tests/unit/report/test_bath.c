/* A bath's card: its curves stand in balance, memory may run out at any place, and what it is told in. */
#include "../../baths.h"

#include "../../suite.h"
#include "base/memory.h"

#include <clayquench/io.h>
#include <clayquench/report_bath.h>
#include <math.h>
#include <string.h>

static const double AT[1] = {293.15}, ALLOY_K[1] = {22.0}, ALLOY_C[1] = {4.4e6}, SILVER_K[1] = {380.0},
                    SILVER_C[1] = {2.6e6}, CLAY_K[1] = {0.3}, CLAY_C[1] = {1.5e6};
static cq_steel alloy, silver;
static cq_clay clay;
static cq_bath water, cold[1];
static cq_bath_wish wish;

static void set_up(void) {
    alloy = (cq_steel){.name = "alloy",
                       .kind = CQ_STEEL_INERT,
                       .emissivity = 0.8,
                       .conductivity_W_mK = {1, AT, ALLOY_K, 0},
                       .heat_capacity_J_m3K = {1, AT, ALLOY_C, 0}};
    silver = (cq_steel){.name = "silver",
                        .kind = CQ_STEEL_INERT,
                        .emissivity = 0.1,
                        .conductivity_W_mK = {1, AT, SILVER_K, 0},
                        .heat_capacity_J_m3K = {1, AT, SILVER_C, 0}};
    clay = (cq_clay){.name = "clay",
                     .conductivity_W_mK = {1, AT, CLAY_K, 0},
                     .heat_capacity_J_m3K = {1, AT, CLAY_C, 0},
                     .emissivity = 0.9,
                     .drying_factor = 1};
    water = water_bath();
    water.at_min_K = 274.0;
    water.at_max_K = 371.0;
    cold[0] = water;
    cold[0].name = "cold water";
    cold[0].at_K = KELVIN(20);
    wish = (cq_bath_wish){.bath = &water,
                          .at_K = KELVIN(40),
                          .probe_steel = &alloy,
                          .silver_steel = &silver,
                          .clays_n = 1,
                          .clays = &clay,
                          .coat_m = 0.05e-3,
                          .others_n = 1,
                          .others = cold};
}

static cq_bath_card *card_of(void) {
    cq_bath_card *card = NULL;
    cq_error error = CQ_ERROR_INIT;
    const cq_status status = cq_bath_card_create(&card, &wish, &error);
    ck_assert_msg(status == CQ_OK, "%s", error.count > 0 ? error.items[0].found : "");
    return card;
}

/* Through the layer goes what the bath draws; a coat's face is colder than its steel; no hotter state is left out. */
START_TEST(curves_balance) {
    cq_bath_card *card = card_of();
    ck_assert_uint_eq(card->curves_n, 3);
    const double resistance[3] = {0.0, 20e-6 / 3.0, 0.05e-3 / 0.3 + 20e-6 / 3.0};
    for (size_t c = 0; c < 3; c++) {
        const cq_card_curve *curve = &card->curves[c];
        for (size_t i = 0; i < curve->n; i++) {
            ck_assert(i == 0 || curve->steel_K[i] > curve->steel_K[i - 1]);
            ck_assert_double_eq_tol(curve->face_K[i] + curve->flux_W_m2[i] * resistance[c], curve->steel_K[i], 0.01);
        }
        ck_assert_double_eq_tol(curve->steel_K[curve->n - 1], KELVIN(900), 1e-9);
    }
    /* bare steel at 800 degC stands behind its film (some 0.3 MW/m2); clay does not */
    const size_t hot = card->curves[0].n - 21;
    ck_assert_double_eq_tol(card->curves[0].steel_K[hot], KELVIN(800), 1e-9);
    ck_assert_double_lt(card->curves[1].flux_W_m2[hot], 0.4e6);
    ck_assert_double_gt(card->curves[2].flux_W_m2[hot], 3e6);
    cq_bath_card_free(card);
}
END_TEST

START_TEST(probes_ranks_and_clay_agree_with_each_other) {
    cq_bath_card *card = card_of();
    const cq_card_probe *p = &card->probe;
    ck_assert(p->t600_s < p->t400_s && p->t400_s < p->t200_s);
    double area = 0.0; /* the rates, summed, are the fall */
    for (size_t i = 1; i < p->n; i++) {
        area += 0.5 * (p->rate_K_s[i] + p->rate_K_s[i - 1]) * (p->time_s[i] - p->time_s[i - 1]);
        ck_assert_double_le(p->rate_K_s[i], p->peak_rate_K_s);
    }
    ck_assert_double_eq_tol(area, p->temp_K[0] - p->temp_K[p->n - 1], 0.01 * area); /* trapezoids */
    ck_assert_uint_eq(card->ranks_n, 2);
    ck_assert_str_eq(card->ranks[0].name, "cold water");
    ck_assert(card->ranks[1].self && !card->ranks[0].self);
    ck_assert_double_eq_tol(card->ranks[1].t400_s, p->t400_s, 1e-12);
    const cq_card_clay *c = &card->clays[0];
    ck_assert(c->has_best && c->best_m > 0.0 && c->even_m > c->best_m);
    for (size_t i = 1; i < c->n; i++) {
        ck_assert_double_gt(c->coat_m[i], c->coat_m[i - 1]);
        ck_assert_double_ge(c->seconds[i], c->best_s);
    }
    ck_assert_uint_ge(card->cautions_n, 1);
    cq_bath_card_free(card);
}
END_TEST

START_TEST(nonsense_is_refused) {
    cq_bath_card *card = NULL;
    cq_error error = CQ_ERROR_INIT;
    wish.at_K = KELVIN(130);
    ck_assert_int_lt(cq_bath_card_create(&card, &wish, &error), 0);
    wish.at_K = KELVIN(40);
    wish.clays_n = CQ_CARD_CLAYS + 1;
    ck_assert_int_eq(cq_bath_card_create(&card, &wish, &error), CQ_ERR_ARGUMENT);
    wish.clays_n = 1;
    wish.probe_steel = NULL;
    ck_assert_int_eq(cq_bath_card_create(&card, &wish, &error), CQ_ERR_ARGUMENT);
    ck_assert_ptr_null(card);
    ck_assert_uint_eq(error.count, 3);
    cq_error_clear(&error);
}
END_TEST

/* The n-th allocation fails, for n in a series that grows: a card has some ten thousand. */
START_TEST(short_of_memory) {
    cq_status status = CQ_ERR_MEMORY;
    for (long n = 0; status != CQ_OK; n += 1 + n / 16) {
        cq_bath_card *card = NULL;
        cq_memory_fail_after(n);
        status = cq_bath_card_create(&card, &wish, NULL);
        cq_memory_fail_after(-1);
        ck_assert(status == CQ_OK || (status == CQ_ERR_MEMORY && card == NULL));
        cq_bath_card_free(card);
    }
    cq_bath_card *card = card_of();
    for (int what = 0; what < 3; what++) {
        status = CQ_ERR_MEMORY;
        for (long n = 0; status != CQ_OK; n++) {
            char *text = NULL;
            unsigned char *bytes = NULL;
            size_t length = 0;
            cq_memory_fail_after(n);
            status = what == 0   ? cq_report_bath_screen(card, CQ_UNITS_METRIC, &text)
                     : what == 1 ? cq_report_bath_json(card, &text)
                                 : cq_bath_picture_draw(card, CQ_BATH_PICTURE_CLAY, CQ_FORMAT_SVG, &bytes, &length);
            cq_memory_fail_after(-1);
            ck_assert(status == CQ_OK || (status == CQ_ERR_MEMORY && text == NULL && bytes == NULL));
            cq_text_free(text);
            cq_text_free((char *)bytes);
        }
    }
    cq_bath_card_free(card);
    cq_bath_card_free(NULL);
}
END_TEST

START_TEST(every_picture_in_every_format) {
    cq_bath_card *card = card_of();
    static const char *const begins[CQ_FORMATS] = {"<?xml", "\x89PNG", "%PDF"};
    for (int n = 0; n < CQ_BATH_PICTURES * CQ_FORMATS; n++) {
        unsigned char *bytes[2] = {NULL, NULL};
        size_t length[2];
        for (int twice = 0; twice < 2; twice++) {
            ck_assert_int_eq(cq_bath_picture_draw(card, (cq_bath_picture)(n / CQ_FORMATS),
                                                  (cq_picture_format)(n % CQ_FORMATS), &bytes[twice], &length[twice]),
                             CQ_OK);
        }
        ck_assert_int_eq(memcmp(bytes[0], begins[n % CQ_FORMATS], strlen(begins[n % CQ_FORMATS])), 0);
        ck_assert(length[0] == length[1] && memcmp(bytes[0], bytes[1], length[0]) == 0);
        cq_text_free((char *)bytes[0]);
        cq_text_free((char *)bytes[1]);
    }
    cq_bath_card_free(card);
}
END_TEST

int main(void) {
    TCase *tc = tcase_create("bath card");
    tcase_set_timeout(tc, 120);
    tcase_add_checked_fixture(tc, set_up, NULL);
    tcase_add_test(tc, curves_balance);
    tcase_add_test(tc, probes_ranks_and_clay_agree_with_each_other);
    tcase_add_test(tc, nonsense_is_refused);
    tcase_add_test(tc, short_of_memory);
    tcase_add_test(tc, every_picture_in_every_format);
    return run_case(tc, "bath card");
}
