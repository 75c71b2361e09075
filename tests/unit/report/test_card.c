/* A steel's card on the screen, as JSON and in pictures: narrow enough, nothing undefined shown, complete when memory
 * is short. */
#include "../../baths.h"
#include "../../suite.h"

#include "base/memory.h"

#include <clayquench/io.h>
#include <clayquench/report.h>
#include <jansson.h>
#include <math.h>
#include <string.h>

static const cq_steel STEELS[] = {
    {.name = "1084",
     .summary = "plain",
     .composition_wt = {.C = 0.84, .Mn = 0.75, .Si = 0.22, .Cr = 0.08, .Ni = 0.06, .Mo = 0.01},
     .grain_ASTM = 8,
     .time_factor = 1,
     .time_factor_ln_sigma = 0.35,
     .emissivity = 0.8},
    {.name = "soft iron",
     .composition_wt = {.C = 0.10, .Mn = 0.05},
     .grain_ASTM = 8,
     .time_factor = 1,
     .emissivity = 0.8},
    {.name = "deep",
     .composition_wt = {.C = 0.60, .Mn = 1.5, .Cr = 2.0, .Mo = 0.5},
     .grain_ASTM = 6,
     .time_factor = 2,
     .emissivity = 0.8},
};
enum { STEELS_N = sizeof STEELS / sizeof STEELS[0] };

static cq_steel_card *card_of(int steel, size_t baths_n, double soak_C) {
    static cq_card_bath bath;
    bath = (cq_card_bath){water_bath(), KELVIN(20)};
    const cq_card_wish wish = {{KELVIN(soak_C), 300.0, CQ_STOCK_CYCLED}, baths_n, &bath, NULL};
    cq_steel_card *card = NULL;
    ck_assert_int_ge(cq_steel_card_create(&card, &STEELS[steel], &wish, NULL), 0);
    return card;
}

static void expect_readable(const char *text) {
    size_t column = 0;
    for (const char *c = text; *c != '\0'; c++) {
        column = *c == '\n' ? 0 : column + (((unsigned char)*c & 0xc0) != 0x80);
        ck_assert_msg(column <= 80, "wider than 80 columns:\n%s", text);
    }
    ck_assert_msg(strstr(text, "nan") == NULL && strstr(text, "inf") == NULL && strstr(text, "(null)") == NULL,
                  "undefined:\n%s", text);
}

START_TEST(the_screen_is_readable) {
    for (int s = 0; s < STEELS_N; s++) {
        for (int n = 0; n < 3; n++) { /* with a bath, without, soaked too cold */
            cq_steel_card *card = card_of(s, n == 1 ? 0 : 1, n == 2 ? 650 : 800);
            for (int units = CQ_UNITS_METRIC; units <= CQ_UNITS_US; units++) {
                char *text = NULL;
                ck_assert_int_eq(cq_card_screen(card, (cq_unit_system)units, &text), CQ_OK);
                expect_readable(text);
                cq_text_free(text);
            }
            cq_steel_card_free(card);
        }
    }
}
END_TEST

START_TEST(json_has_every_key) {
    static const char *const keys[] = {"steel",       "soak",       "line",           "temperatures", "critical_rates",
                                       "as_quenched", "temper",     "critical_sizes", "end_quench",   "soak_ladder",
                                       "soak_effect", "isothermal", "continuous",     "cooling",      "notices"};
    for (int s = 0; s < STEELS_N; s++) {
        cq_steel_card *card = card_of(s, 1, 800);
        char *text = NULL;
        ck_assert_int_eq(cq_card_json(card, &text), CQ_OK);
        json_t *root = json_loads(text, JSON_REJECT_DUPLICATES, NULL);
        ck_assert_ptr_nonnull(root);
        for (size_t k = 0; k < sizeof keys / sizeof keys[0]; k++) {
            ck_assert_msg(json_object_get(root, keys[k]) != NULL, "%s", keys[k]);
        }
        const json_t *rates = json_object_get(root, "critical_rates"), *full = json_object_get(rates, "full_K_s");
        ck_assert(isnan(card->full_rate_K_s) ? json_is_null(full)
                                             : fabs(json_real_value(full) / card->full_rate_K_s - 1.0) < 1e-10);
        const json_t *bar = json_object_get(root, "end_quench"), *HV = json_object_get(bar, "HV");
        ck_assert_uint_eq(json_array_size(HV), CQ_CARD_DISTANCES);
        ck_assert_double_eq_tol(json_real_value(json_array_get(HV, 3)), card->end_quench[3].HV, 1e-6);
        json_decref(root);
        cq_text_free(text);
        cq_steel_card_free(card);
    }
}
END_TEST

START_TEST(every_picture_of_every_card) {
    for (int s = 0; s < STEELS_N; s++) {
        for (int n = 0; n < 2; n++) {
            cq_steel_card *card = card_of(s, 1, n == 1 ? 650 : 800);
            for (int p = 0; p < CQ_CARD_PICTURES; p++) {
                unsigned char *one = NULL, *two = NULL;
                size_t one_n = 0, two_n = 0;
                const cq_picture_format format = (cq_picture_format)((p + s) % CQ_FORMATS);
                ck_assert_int_eq(cq_card_picture_draw(card, (cq_card_picture)p, format, &one, &one_n), CQ_OK);
                ck_assert_int_eq(cq_card_picture_draw(card, (cq_card_picture)p, format, &two, &two_n), CQ_OK);
                ck_assert_uint_eq(one_n, two_n);
                ck_assert_mem_eq(one, two, one_n);
                ck_assert_uint_lt(one_n, 600000);
                cq_text_free((char *)one);
                cq_text_free((char *)two);
            }
            cq_steel_card_free(card);
        }
    }
    unsigned char *bytes = NULL;
    size_t length;
    cq_steel_card *card = card_of(0, 0, 800);
    ck_assert_int_eq(cq_card_picture_draw(card, CQ_CARD_PICTURES, CQ_FORMAT_SVG, &bytes, &length), CQ_ERR_ARGUMENT);
    cq_steel_card_free(card);
}
END_TEST

START_TEST(memory_runs_out_cleanly) {
    cq_steel_card *card = card_of(0, 1, 800);
    for (int what = 0; what < 2; what++) {
        cq_status status = CQ_ERR_MEMORY;
        for (long n = 0; status < 0 && n < 1000; n++) {
            char *text = NULL;
            cq_memory_fail_after(n);
            status = what == 0 ? cq_card_screen(card, CQ_UNITS_METRIC, &text) : cq_card_json(card, &text);
            cq_memory_fail_after(-1);
            ck_assert(status >= 0 || text == NULL);
            cq_text_free(text);
        }
        ck_assert_int_eq(status, CQ_OK);
    }
    cq_steel_card_free(card);
}
END_TEST

int main(void) {
    TCase *tc = tcase_create("card");
    tcase_set_timeout(tc, 100);
    tcase_add_test(tc, the_screen_is_readable);
    tcase_add_test(tc, json_has_every_key);
    tcase_add_test(tc, every_picture_of_every_card);
    tcase_add_test(tc, memory_runs_out_cleanly);
    return run_case(tc, "card");
}
