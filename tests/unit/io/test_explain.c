/* test_explain.c - every key can be explained, and the field descriptors make sense. */
#include "io/fields.h"
#include "reading.h"

#include <clayquench/plan.h>
#include <math.h>

static char *explained(const char *word) {
    char nearest[64], *text = NULL;
    ck_assert_msg(cq_explain(word, &text, nearest) == CQ_OK, "'%s'", word);
    ck_assert_ptr_nonnull(text);
    return text;
}

START_TEST(explains_every_key) {
    for (size_t f = 0; f < CQ_FIELDS_N; f++) {
        char path[160];
        snprintf(path, sizeof path, "%s%s", cq_owner_path(CQ_FIELDS[f].owner), CQ_FIELDS[f].key);
        char *text = explained(path);
        ck_assert_ptr_nonnull(strstr(text, CQ_FIELDS[f].words));
        cq_text_free(text);
        text = explained(CQ_FIELDS[f].key);
        ck_assert_ptr_nonnull(strstr(text, path));
        cq_text_free(text);
    }
}
END_TEST

START_TEST(explains_numbered_keys_and_results) {
    static const char *const words[] = {"steps.1.for",
                                        "clay.coat.12.at",
                                        "record.probes.0.face",
                                        "line.surface_mm",
                                        "surface_mm",
                                        "hard spine",
                                        "hard edge, soft back",
                                        "cooled-in-air",
                                        "critical_rate_K_s",
                                        "energy.imbalance",
                                        "imbalance",
                                        "t500_s",
                                        "retained_austenite",
                                        "HRC",
                                        "hamon",
                                        "edge_after_temper",
                                        "notices",
                                        "cautions",
                                        "film",
                                        "clay"};
    for (size_t w = 0; w < sizeof words / sizeof words[0]; w++) {
        char *text = explained(words[w]);
        ck_assert_uint_gt(strlen(text), 10);
        ck_assert_int_ne(text[strlen(text) - 1], '\n');
        cq_text_free(text);
    }
    char *text = explained("clay");
    ck_assert_ptr_nonnull(strstr(text, "keys: mix, wet, contact, soaked, fired, coat, edge, spine"));
    cq_text_free(text);
    text = explained("heat.hold");
    ck_assert_ptr_nonnull(strstr(text, "default: 300 s"));
    ck_assert_ptr_nonnull(strstr(text, "from 1 s to 3.6e+04 s"));
    cq_text_free(text);
}
END_TEST

START_TEST(offers_the_nearest) {
    char nearest[64], *text = (char *)"untouched";
    ck_assert_int_eq(cq_explain("hieght", &text, nearest), CQ_ERR_ARGUMENT);
    ck_assert_ptr_null(text);
    ck_assert_str_eq(nearest, "blade.height");
    ck_assert_int_eq(cq_explain("line.surfce_mm", &text, nearest), CQ_ERR_ARGUMENT);
    ck_assert_str_eq(nearest, "line.surface_mm");
    ck_assert_int_eq(cq_explain("", &text, nearest), CQ_ERR_ARGUMENT);
    char endless[4000];
    memset(endless, '9', sizeof endless - 1);
    endless[sizeof endless - 1] = '\0';
    ck_assert_int_eq(cq_explain(endless, &text, nearest), CQ_ERR_ARGUMENT);
}
END_TEST

START_TEST(tabulates_every_key) {
    char *table = NULL;
    ck_assert_int_eq(cq_key_table_markdown(&table), CQ_OK);
    size_t lines = 0;
    for (const char *p = table; *p != '\0'; p++) {
        lines += *p == '\n';
    }
    ck_assert_uint_eq(lines + 1, CQ_FIELDS_N + 2);
    ck_assert_ptr_nonnull(strstr(table, "| `steps.N.until` | a temperature, for instance 800 °C or 1475 °F |"));
    cq_text_free(table);
}
END_TEST

/* A range holds its default, keys are unique, and what is needed is allowed. */
START_TEST(fields_make_sense) {
    for (size_t f = 0; f < CQ_FIELDS_N; f++) {
        const cq_field *field = &CQ_FIELDS[f];
        ck_assert_msg(cq_field_find(field->owner, field->key) == field, "%s twice", field->key);
        ck_assert_msg((field->needed & ~field->allowed) == 0, "%s", field->key);
        ck_assert_msg(field->words[0] != '\0' && field->words[strlen(field->words) - 1] != '.', "%s", field->key);
        if (!isnan(field->fallback) && field->least < field->most) {
            ck_assert_msg(field->fallback >= field->least && field->fallback <= field->most, "%s", field->key);
        }
        const bool measured = field->kind == CQ_FIELD_QUANTITY || field->kind == CQ_FIELD_TABLE ||
                              field->kind == CQ_FIELD_PERCENT || field->kind == CQ_FIELD_INTEGER ||
                              field->kind == CQ_FIELD_NUMBER;
        ck_assert_msg(!measured || field->least < field->most, "%s has no range", field->key);
        ck_assert_msg(field->kind != CQ_FIELD_CHOICE || field->choices != NULL, "%s", field->key);
    }
}
END_TEST

/* The defaults of the descriptors are those of a fresh plan. */
START_TEST(defaults_agree) {
    cq_plan fresh, filled;
    cq_plan_init(&fresh);
    cq_plan_init(&filled);
    cq_fields_default(CQ_OWNER_HEAT, &filled);
    cq_fields_default(CQ_OWNER_CLAY_LAYER, &filled);
    cq_fields_default(CQ_OWNER_FINISH, &filled);
    cq_fields_default(CQ_OWNER_GRID, &filled);
    cq_fields_default(CQ_OWNER_STEEL, &filled.steel);
    cq_fields_default(CQ_OWNER_CLAY, &filled.clay);
    ck_assert_mem_eq(&fresh, &filled, sizeof fresh);
}
END_TEST

START_TEST(measures_words) {
    ck_assert_uint_eq(cq_word_distance("height", "height"), 0);
    ck_assert_uint_eq(cq_word_distance("hieght", "height"), 1); /* neighbours swapped */
    ck_assert_uint_eq(cq_word_distance("heigt", "height"), 1);
    ck_assert_uint_eq(cq_word_distance("heightt", "height"), 1);
    ck_assert_uint_eq(cq_word_distance("hold", "holt"), 1);
    ck_assert_uint_eq(cq_word_distance("", "edge"), 4);
    ck_assert_uint_eq(cq_word_distance("edge", ""), 4);
    ck_assert_uint_eq(cq_word_distance("1804", "1084"), 1);
    ck_assert_str_eq(cq_field_nearest(CQ_OWNER_BLADE, "spnie"), "spine");
    ck_assert_str_eq(cq_field_nearest(CQ_OWNER_STEEL, "summery"), "summary");
    ck_assert_ptr_null(cq_field_nearest(CQ_OWNER_BLADE, "zzzzzzzz"));
}
END_TEST

int main(void) {
    TCase *tcase = tcase_create("explain");
    tcase_add_test(tcase, explains_every_key);
    tcase_add_test(tcase, explains_numbered_keys_and_results);
    tcase_add_test(tcase, offers_the_nearest);
    tcase_add_test(tcase, tabulates_every_key);
    tcase_add_test(tcase, fields_make_sense);
    tcase_add_test(tcase, defaults_agree);
    tcase_add_test(tcase, measures_words);
    return run_case(tcase, "explain");
}
