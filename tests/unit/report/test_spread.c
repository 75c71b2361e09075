/* A spread of made-up rows on the screen, as JSON, as a table and in pictures. */
#include "fixture.h"

#include "../../suite.h"
#include "base/memory.h"
#include "report/spread_words.h"

#include <jansson.h>
#include <stdio.h>
#include <stdlib.h>

enum { SAMPLES = 400, INPUTS = 7 };
static fixture f;
static cq_study_table *table;
static cq_uncertain inputs[INPUTS] = {
    {CQ_UNCERTAIN_SOAK, false, 1073.15, 12.0, 473.15, 1523.15, CQ_ORIGIN_HEAT_ERROR},
    {CQ_UNCERTAIN_COAT, true, 2e-3, 0.14, 1e-6, 10e-3, CQ_ORIGIN_TOLERANCE},
    {CQ_UNCERTAIN_EDGE_COAT, true, 0.05e-3, 0.26, 1e-6, 10e-3, CQ_ORIGIN_DEFAULT},
    {CQ_UNCERTAIN_NOSE, true, 1.0, 0.35, 0.2, 5.0, CQ_ORIGIN_PROFILE},
    {CQ_UNCERTAIN_BATH_TEMPERATURE, false, 313.15, 3.0, 278.15, 331.15, CQ_ORIGIN_TOLERANCE},
    {CQ_UNCERTAIN_PULL, false, 3.0, 0.3, 0.05, 1e6, CQ_ORIGIN_DEFAULT},
    {CQ_UNCERTAIN_MANGANESE, false, 0.75, 0.1, 0.0, 3.0, CQ_ORIGIN_PROFILE},
};
static const cq_spread_wish WISH = {SAMPLES, 11, 0.2e-3};

/* Line: 10 mm + 0.5 mm per 10 K of soak - 1 mm per mm of clay; every 20th blade has a soft edge, sample 9 failed. */
static cq_spread *spread_of(bool lines, bool with_plan) {
    cq_spread *s = NULL;
    fixture_make(&f, true);
    ck_assert_int_eq(cq_study_table_create(&table, SAMPLES, INPUTS, NULL), CQ_OK);
    ck_assert_int_eq(cq_spread_fill(table, inputs, INPUTS, WISH.seed), CQ_OK);
    for (size_t i = 0; i < SAMPLES; i++) {
        cq_row *row = &table->row[i];
        const double *x = table->inputs + i * INPUTS;
        row->state = i == 9 ? CQ_ROW_FAILED : CQ_ROW_DONE;
        if (i == 9) {
            snprintf(row->message, sizeof row->message, "plan.yaml:3: \"odd\"\nvalue");
            continue;
        }
        const bool soft = i % 20 == 3;
        row->value[CQ_FIGURE_VERDICT] = !lines || soft ? CQ_VERDICT_NO_EDGE : CQ_VERDICT_GOOD;
        row->value[CQ_FIGURE_LINE] = !lines || soft ? NAN : 10e-3 + 0.05e-3 * (x[0] - 1073.15) - 1.0 * (x[1] - 2e-3);
        row->value[CQ_FIGURE_EDGE_HV] = 820.0 + x[0] - 1073.15;
        row->value[CQ_FIGURE_EDGE_HRC] = 64.0 + 0.01 * (x[0] - 1073.15);
        row->value[CQ_FIGURE_EDGE_TEMPER_HRC] = 60.0;
        row->value[CQ_FIGURE_EDGE_MARTENSITE] = soft ? 0.3 : 0.9;
        row->value[CQ_FIGURE_BODY_MARTENSITE] = 0.0;
        row->value[CQ_FIGURE_SPINE_MARTENSITE] = 0.0;
    }
    const cq_spread_rows rows = {table, SAMPLES, inputs, INPUTS, with_plan ? &f.result : NULL, "Made-up knife"};
    ck_assert_int_eq(cq_spread_create(&s, &rows, &WISH), CQ_OK);
    return s;
}

static void release(cq_spread *s) {
    cq_spread_free(s);
    cq_study_table_free(table);
    fixture_clear(&f);
}

/* Columns: bytes that do not continue a character. */
static void check_size(const char *screen) {
    size_t lines = 0, columns = 0;
    for (const char *c = screen; *c != '\0'; c++) {
        columns = *c == '\n' ? 0 : columns + (((unsigned char)*c & 0xc0) != 0x80);
        lines += *c == '\n';
        ck_assert_msg(columns <= 80, "%s", screen);
    }
    ck_assert_msg(lines <= 23, "%s", screen); /* one more says what was written */
}

START_TEST(one_screen) {
    cq_spread *s = spread_of(true, true);
    char *text = NULL;
    ck_assert_int_eq(cq_spread_screen(s, CQ_UNITS_METRIC, &text), CQ_OK);
    check_size(text);
    ck_assert_msg(strstr(text, "10.0 mm in the\nmiddle") != NULL || strstr(text, "10.0 mm in the middle") != NULL, "%s",
                  text);
    ck_assert_msg(strstr(text, "as planned 11.0 mm") != NULL, "%s", text);
    ck_assert_msg(strstr(text, "hard edge, soft back 95 (93 to 97); no hard edge 5 (3 to 7).") != NULL, "%s", text);
    ck_assert_msg(strstr(text, "+0.50 ± 0.00 mm per 10 °C    ± 12 °C\n") != NULL, "%s", text);
    ck_assert_msg(strstr(text, "-0.10 ± 0.00 mm per 0.1 mm   ± 15 %\n") != NULL, "%s", text);
    ck_assert_msg(strstr(text, "399 blades, 1 failed (first: sample 9), seed 11") != NULL, "%s", text);
    ck_assert_msg(strstr(text, "edge-coat 30 %") != NULL && strstr(text, "pull-time 0.3 s") != NULL, "%s", text);
    cq_text_free(text);
    ck_assert_int_eq(cq_spread_screen(s, CQ_UNITS_US, &text), CQ_OK);
    check_size(text);
    ck_assert_msg(strstr(text, "0.39 in in the middle") != NULL || strstr(text, "0.39 in in the\nmiddle") != NULL, "%s",
                  text);
    ck_assert_msg(strstr(text, "per 10 °F") != NULL && strstr(text, "per 0.01 in") != NULL, "%s", text);
    cq_text_free(text);
    release(s);
    s = spread_of(false, false);
    ck_assert_int_eq(cq_spread_screen(s, CQ_UNITS_METRIC, &text), CQ_OK);
    check_size(text);
    ck_assert_msg(strstr(text, "No hardening line (hamon) in any blade.") != NULL, "%s", text);
    ck_assert_msg(strstr(text, "What moves the edge:") != NULL, "%s", text);
    ck_assert_msg(strstr(text, "nan") == NULL, "%s", text);
    cq_text_free(text);
    release(s);
}
END_TEST

static double number_of(const json_t *root, const char *object, const char *key) {
    const json_t *value = json_object_get(json_object_get(root, object), key);
    ck_assert_msg(value != NULL, "no %s.%s", object, key);
    return json_is_number(value) ? json_number_value(value) : NAN;
}

/* The rows again, changed. */
static cq_spread *anew(cq_spread *s, size_t samples, const cq_result *planned) {
    cq_spread_free(s);
    const cq_spread_rows rows = {table, samples, inputs, INPUTS, planned, "Made-up knife"};
    ck_assert_int_eq(cq_spread_create(&s, &rows, &WISH), CQ_OK);
    return s;
}

/* Where the soak decides whether the edge gets hard at all, it stands first, however few have a line. */
START_TEST(what_decides) {
    cq_spread *s = spread_of(true, false);
    char *text = NULL;
    unsigned char *bytes = NULL;
    size_t length = 0;
    for (size_t i = 0; i < SAMPLES; i++) {
        cq_row *row = &table->row[i];
        if (row->state == CQ_ROW_DONE && table->inputs[i * INPUTS] < 1073.15 + 12.0) { /* five in six */
            row->value[CQ_FIGURE_LINE] = NAN;
            row->value[CQ_FIGURE_VERDICT] = CQ_VERDICT_NO_EDGE;
            row->value[CQ_FIGURE_EDGE_MARTENSITE] = 0.2;
        }
    }
    s = anew(s, SAMPLES, NULL);
    ck_assert_uint_lt(s->figure[CQ_FIGURE_LINE].n, 100);
    ck_assert_double_ge(s->on_decider.share[0].value, 0.5);
    ck_assert_int_eq(cq_spread_screen(s, CQ_UNITS_METRIC, &text), CQ_OK);
    check_size(text);
    const char *decides = strstr(text, "What decides whether "), *soak = strstr(text, "  soak temperature"),
               *noise = strstr(text, "\n~ ");
    ck_assert_msg(decides != NULL && soak != NULL && noise != NULL && decides < soak && soak < noise, "%s", text);
    ck_assert_msg(strstr(text, "in 100 per 10 °C") != NULL, "%s", text);
    ck_assert_msg(strstr(text, "; ~ not told from noise.") != NULL, "%s", text);
    ck_assert_msg(strstr(text, "Too few lines") != NULL && strstr(text, "of ten blades") == NULL, "%s", text);
    ck_assert_msg(strstr(text, "(wished: 0.2 mm, not reached)") != NULL, "%s", text);
    ck_assert_msg(strstr(text, "the 1 failed sample, of 400") != NULL, "%s", text);
    cq_text_free(text);
    ck_assert_int_eq(cq_spread_picture_draw(s, NULL, CQ_SPREAD_PICTURE_TORNADO, CQ_FORMAT_SVG, &bytes, &length), CQ_OK);
    cq_text_free((char *)bytes);
    release(s);
}
END_TEST

/* Few blades are counted, not told in a hundred; a double-edged one has no spine. */
START_TEST(few_blades) {
    cq_spread *s = spread_of(true, true);
    char *text = NULL;
    s = anew(s, 12, &f.result);
    s->double_edged = true;
    ck_assert_int_eq(cq_spread_screen(s, CQ_UNITS_METRIC, &text), CQ_OK);
    check_size(text);
    ck_assert_msg(strstr(text, "Of 11 blades:  hard edge, soft back 10; no hard edge 1.") != NULL, "%s", text);
    ck_assert_msg(strstr(text, "Hard of 11:    edge 10, mid-height 0, second edge 0.") != NULL, "%s", text);
    ck_assert_msg(strstr(text, "nine of ten") == NULL && strstr(text, "spine") == NULL, "%s", text);
    cq_text_free(text);
    table->row[10].state = CQ_ROW_OPEN; /* not made yet: not counted */
    s = anew(s, 12, NULL);
    ck_assert_int_eq(cq_spread_json(s, &text), CQ_OK);
    json_t *root = json_loads(text, 0, NULL);
    ck_assert_double_eq_tol(number_of(root, "samples", "counted"), 11.0, 1e-12);
    ck_assert_double_eq_tol(number_of(root, "samples", "done"), 10.0, 1e-12);
    json_decref(root);
    cq_text_free(text);
    release(s);
}
END_TEST

START_TEST(one_object) {
    cq_spread *s = spread_of(true, true);
    char *text = NULL;
    ck_assert_int_eq(cq_spread_json(s, &text), CQ_OK);
    json_t *root = json_loads(text, 0, NULL);
    ck_assert_ptr_nonnull(root);
    ck_assert_double_eq_tol(number_of(root, "line_mm", "p50"), 1e3 * s->figure[CQ_FIGURE_LINE].p50.value, 1e-9);
    ck_assert_double_eq_tol(number_of(root, "as_planned", "line_mm"), 11.0, 1e-9);
    ck_assert_double_eq_tol(number_of(root, "has_line", "share"), 379.0 / 399.0, 1e-9);
    ck_assert_double_eq_tol(number_of(root, "samples", "failed"), 1.0, 1e-12);
    ck_assert_double_eq_tol(json_number_value(json_object_get(root, "precision_mm")), 0.2, 1e-12);
    const json_t *first = json_array_get(json_object_get(root, "inputs"), 0);
    ck_assert_double_eq_tol(json_number_value(json_object_get(first, "centre")), 800.0, 1e-9);
    ck_assert_str_eq(json_string_value(json_object_get(first, "column")), "soak_temperature_C");
    const json_t *moved = json_object_get(json_object_get(root, "on_line_mm"), "inputs");
    ck_assert_uint_eq(json_array_size(moved), INPUTS);
    ck_assert_str_eq(json_string_value(json_object_get(json_array_get(moved, 0), "key")), "soak-temperature");
    ck_assert_double_eq_tol(json_number_value(json_object_get(json_array_get(moved, 0), "slope")), 0.5, 1e-9);
    ck_assert_double_eq_tol(json_number_value(json_object_get(json_array_get(moved, 0), "per")), 10.0, 1e-9);
    ck_assert_uint_eq(json_array_size(json_object_get(root, "failures")), 1);
    json_decref(root);
    cq_text_free(text);
    release(s);
}
END_TEST

START_TEST(every_sample_is_a_line) {
    cq_spread *s = spread_of(true, true);
    char *text = NULL;
    size_t lines = 0;
    ck_assert_int_eq(cq_spread_csv(s, &text), CQ_OK);
    for (const char *c = text; *c != '\0'; c++) {
        lines += *c == '\n';
    }
    ck_assert_uint_eq(lines, SAMPLES + 1);
    ck_assert_ptr_nonnull(strstr(text, "sample,soak_temperature_C,coat_mm,edge_coat_mm,nose_factor,"));
    ck_assert_ptr_nonnull(strstr(text, "\"no hard edge\""));
    ck_assert_ptr_nonnull(strstr(text, "\"plan.yaml:3: \"\"odd\"\" value\"\n"));
    cq_text_free(text);
    release(s);
}
END_TEST

START_TEST(pictures) {
    cq_spread *s = spread_of(true, true);
    for (int p = 0; p < CQ_SPREAD_PICTURES; p++) {
        for (int format = 0; format < CQ_FORMATS; format++) {
            unsigned char *bytes = NULL, *again = NULL;
            size_t length = 0, length_again = 0;
            ck_assert_int_eq(
                cq_spread_picture_draw(s, &f.result, (cq_spread_picture)p, (cq_picture_format)format, &bytes, &length),
                CQ_OK);
            ck_assert_int_eq(cq_spread_picture_draw(s, &f.result, (cq_spread_picture)p, (cq_picture_format)format,
                                                    &again, &length_again),
                             CQ_OK);
            ck_assert(length > 2000 && length == length_again && memcmp(bytes, again, length) == 0);
            cq_text_free((char *)bytes);
            cq_text_free((char *)again);
        }
    }
    unsigned char *bytes = NULL;
    size_t length = 0;
    ck_assert_int_eq(cq_spread_picture_draw(s, NULL, CQ_SPREAD_PICTURE_SECTION, CQ_FORMAT_SVG, &bytes, &length),
                     CQ_ERR_ARGUMENT);
    ck_assert_double_eq_tol(cq_spread_hard_at(s, 0.0), 379.0 / 399.0, 1e-12);
    ck_assert_double_eq_tol(cq_spread_hard_at(s, s->figure[CQ_FIGURE_LINE].p50.value), 189.5 / 399.0, 1.0 / 399.0);
    release(s);
    s = spread_of(false, true);
    ck_assert_int_eq(cq_spread_picture_draw(s, &f.result, CQ_SPREAD_PICTURE_SECTION, CQ_FORMAT_SVG, &bytes, &length),
                     CQ_ERR_ARGUMENT);
    ck_assert_int_eq(cq_spread_picture_draw(s, NULL, CQ_SPREAD_PICTURE_TORNADO, CQ_FORMAT_SVG, &bytes, &length), CQ_OK);
    cq_text_free((char *)bytes); /* as the screen: of the edge's hardness */
    ck_assert_int_eq(cq_spread_picture_draw(s, NULL, CQ_SPREAD_PICTURE_LINE, CQ_FORMAT_SVG, &bytes, &length), CQ_OK);
    cq_text_free((char *)bytes);
    release(s);
}
END_TEST

/* Wherever memory runs out there is an error and no text. */
START_TEST(memory_may_run_out) {
    cq_spread *s = spread_of(true, true);
    for (int what = 0; what < 4; what++) {
        cq_status status = CQ_ERR_MEMORY;
        for (long n = 0; status != CQ_OK; n += 1 + n / 16) {
            char *text = NULL;
            unsigned char *bytes = NULL;
            size_t length = 0;
            cq_memory_fail_after(n);
            status = what == 0   ? cq_spread_screen(s, CQ_UNITS_METRIC, &text)
                     : what == 1 ? cq_spread_json(s, &text)
                     : what == 2 ? cq_spread_csv(s, &text)
                                 : cq_spread_picture_draw(s, &f.result, CQ_SPREAD_PICTURE_SECTION, CQ_FORMAT_SVG,
                                                          &bytes, &length);
            cq_memory_fail_after(-1);
            ck_assert(status == CQ_OK || (status == CQ_ERR_MEMORY && text == NULL && bytes == NULL));
            cq_text_free(text);
            cq_text_free((char *)bytes);
        }
    }
    release(s);
}
END_TEST

START_TEST(one_page) {
    cq_spread *s = spread_of(true, true);
    unsigned char *bytes = NULL;
    size_t length = 0;
    cq_page_gaps gaps;
    cq_status status = CQ_ERR_MEMORY;
    for (int medium = CQ_PAGE_HTML; medium <= CQ_PAGE_PDF; medium++) {
        const cq_report_wish wish = {.medium = (cq_page_medium)medium};
        status = CQ_ERR_MEMORY;
        for (long n = 0; status != CQ_OK; n += 1 + n / 4) {
            bytes = NULL;
            cq_memory_fail_after(n);
            status = cq_spread_page(s, &f.result, &wish, &bytes, &length, &gaps, NULL);
            cq_memory_fail_after(-1);
            ck_assert(status == CQ_OK || (status == CQ_ERR_MEMORY && bytes == NULL));
            if (status == CQ_OK && medium == CQ_PAGE_HTML) {
                ck_assert_ptr_nonnull(strstr((const char *)bytes, "data-key=\"line_mm.p95\""));
                ck_assert_ptr_nonnull(strstr((const char *)bytes, "What moves the hardening line"));
            }
            cq_text_free((char *)bytes);
        }
    }
    release(s);
}
END_TEST

int main(void) {
    TCase *tc = tcase_create("spread");
    tcase_set_timeout(tc, 60);
    tcase_add_test(tc, one_screen);
    tcase_add_test(tc, what_decides);
    tcase_add_test(tc, few_blades);
    tcase_add_test(tc, one_object);
    tcase_add_test(tc, every_sample_is_a_line);
    tcase_add_test(tc, pictures);
    tcase_add_test(tc, memory_may_run_out);
    tcase_add_test(tc, one_page);
    return run_case(tc, "spread");
}
