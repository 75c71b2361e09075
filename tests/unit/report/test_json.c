/* The JSON object: every key of the contract, people's units, null where a value does not apply. */
#include "../../suite.h"
#include "fixture.h"

#include "base/memory.h"

#include <jansson.h>
#include <stdlib.h>

static fixture f;

static json_t *answer(void) {
    char *text = NULL;
    json_error_t error;
    ck_assert_int_eq(cq_report_json(&f.result, &text), CQ_OK);
    json_t *root = json_loads(text, JSON_REJECT_DUPLICATES, &error);
    ck_assert_msg(json_is_object(root), "line %d: %s", error.line, error.text);
    cq_text_free(text);
    return root;
}

/* "line.surface_mm" below root; fails if a key is absent. */
static json_t *at(json_t *root, const char *path) {
    char key[64];
    while (*path != '\0') {
        const size_t n = strcspn(path, ".");
        memcpy(key, path, n);
        key[n] = '\0';
        root = json_object_get(root, key);
        ck_assert_msg(root != NULL, "no %s", path);
        path += n + (path[n] == '.');
    }
    return root;
}

static void expect_number(json_t *root, const char *path, double value) {
    json_t *v = at(root, path);
    ck_assert_msg(json_is_number(v), "%s is no number", path);
    ck_assert_msg(fabs(json_number_value(v) - value) <= 1e-9 * fabs(value), "%s is %.15g", path,
                  json_number_value(v)); /* 12 digits */
}

static void expect_null(json_t *root, const char *path) {
    ck_assert_msg(json_is_null(at(root, path)), "%s is not null", path);
}

START_TEST(has_the_contract_s_keys) {
    fixture_make(&f, true);
    json_t *root = answer();
    expect_number(root, "line.surface_mm", 11.0);
    expect_number(root, "line.left_mm", 11.0);
    expect_number(root, "line.right_mm", 11.0);
    expect_number(root, "line.mid_mm", 10.9);
    expect_number(json_array_get(at(root, "line.band_mm"), 0), "", 10.1);
    expect_number(json_array_get(at(root, "line.band_mm"), 1), "", 11.9);
    expect_number(json_array_get(at(root, "line.crossings_mm"), 0), "", 11.0);
    expect_number(root, "line.contrast_HV", 450.0);
    ck_assert_str_eq(json_string_value(at(root, "line.verdict")), "hard edge, soft back");
    expect_number(root, "edge.HV", 830.0);
    expect_number(root, "edge.HRC", 64.9);
    expect_number(root, "edge.martensite", 0.9);
    expect_number(root, "edge.retained_austenite", 0.1);
    expect_number(root, "body.pearlite", 0.91);
    expect_number(root, "body.bainite", 0.09);
    expect_number(root, "body.ferrite_cementite", 0.0);
    expect_number(root, "critical_rate_K_s", 95.0);
    ck_assert_str_eq(json_string_value(at(root, "film.edge.state")), "collapsed");
    ck_assert_str_eq(json_string_value(at(root, "film.body.state")), "persisted");
    ck_assert_str_eq(json_string_value(at(root, "film.spine.state")), "none");
    expect_number(root, "film.edge.time_s", 1.09);
    expect_number(root, "curve.rise_mm", 12.0);
    expect_number(root, "curve.low_mm", 6.0);
    expect_number(root, "curve.high_mm", 18.0);
    expect_number(root, "curve.precurve_mm", -12.0);
    ck_assert_uint_eq(json_array_size(at(root, "curve.history.rise_mm")), FIXTURE_SAMPLES);
    expect_number(json_array_get(at(root, "curve.turns"), 0), "rise_mm", -6.0);
    expect_number(root, "stress.edge_MPa", -500.0);
    ck_assert_str_eq(json_string_value(at(root, "crack.class")), "medium");
    ck_assert_ptr_nonnull(strstr(json_string_value(at(root, "crack.reason")), "an estimate, not a clearance"));
    expect_number(root, "crack.since_s", 6.5);
    expect_number(root, "crack.time_s", 7.25);
    expect_number(root, "wear.HRC", 55.0);
    expect_number(root, "wear.mm", 10.4);
    ck_assert(json_is_false(at(root, "wear.throughout")));
    ck_assert_str_eq(json_string_value(at(root, "curve.direction")), "toward the spine");
    expect_number(root, "curve.side_low_mm", -3.0); /* no narrower on 700 mm */
    expect_number(root, "curve.side_high_mm", 3.0);
    expect_number(root, "energy.imbalance", 1.1e-3);
    expect_number(root, "solver.steps", 243);
    expect_number(root, "solver.rejected", 7);
    expect_number(root, "solver.cells", 1256);
    expect_number(root, "solver.core_s", 0.025);
    ck_assert_str_eq(json_string_value(at(root, "solver.precision")), "double");
    ck_assert_str_eq(json_string_value(at(json_array_get(at(root, "notices"), 0), "code")), "rim-sloped");
    expect_number(json_array_get(at(root, "notices"), 0), "count", 2);
    ck_assert(json_is_string(at(json_array_get(at(root, "notices"), 0), "sentence")));
    ck_assert_uint_eq(json_array_size(at(root, "cautions")), 1);
    json_decref(root);
    fixture_clear(&f);
}
END_TEST

START_TEST(what_does_not_apply_is_null) {
    fixture_make(&f, true);
    f.result.curve.known = f.result.crack.known = false;
    json_t *root = answer();
    static const char *const nulls[] = {
        "line.ground_mm",     "spine.HRC",         "edge_after_temper", "body_after_temper", "spine_after_temper",
        "film.body.time_s",   "film.spine.time_s", "curve.rise_mm",     "curve.low_mm",      "curve.high_mm",
        "curve.side_bend_mm", "crack.class",       "crack.reason",      "crack.time_s",      "probes.b5.t500_s"};
    for (size_t n = 0; n < sizeof nulls / sizeof nulls[0]; n++) {
        expect_null(root, nulls[n]);
    }
    json_decref(root);
    f.result.has_line = false; /* a plate */
    f.result.spine = (cq_spot){NAN, NAN, {NAN, NAN, NAN, NAN, NAN}};
    f.result.edge_temper_HV = 700.0;
    f.result.edge_temper_HRC = NAN;
    f.traces[0].temp_K[3] = NAN;
    root = answer();
    expect_null(root, "line");
    expect_null(root, "spine");
    expect_number(root, "edge_after_temper.HV", 700.0);
    expect_null(root, "edge_after_temper.HRC");
    ck_assert_uint_eq(json_array_size(at(root, "probes.edge.temp_C")), FIXTURE_SAMPLES);
    ck_assert(json_is_null(json_array_get(at(root, "probes.edge.temp_C"), 3)));
    json_decref(root);
    fixture_clear(&f);
}
END_TEST

START_TEST(probes_are_celsius_arrays_of_equal_length) {
    fixture_make(&f, true);
    json_t *root = answer();
    static const char *const names[] = {"edge", "body", "spine", "b5"};
    for (int t = 0; t < 4; t++) {
        json_t *probe = at(at(root, "probes"), names[t]);
        ck_assert_uint_eq(json_array_size(at(probe, "time_s")), FIXTURE_SAMPLES);
        ck_assert_uint_eq(json_array_size(at(probe, "temp_C")), FIXTURE_SAMPLES);
        expect_number(json_array_get(at(probe, "temp_C"), 0), "", 800.0); /* 313.15 + 760 K */
    }
    json_decref(root);
    fixture_clear(&f);
}
END_TEST

START_TEST(no_probe_takes_a_built_in_place) {
    fixture_make(&f, true);
    f.traces[3].name = "edge";
    json_t *root = answer();
    expect_number(root, "probes.edge.t500_s", 0.5);
    expect_null(root, "probes.edge-probe.t500_s");
    json_decref(root);
    fixture_clear(&f);
}
END_TEST

START_TEST(a_title_that_is_not_utf8_leaves_no_hole) {
    fixture_make(&f, true);
    f.plan.title = "knife \xff\xfe";
    json_t *root = answer();
    ck_assert_str_eq(json_string_value(at(root, "title")), "knife ??");
    json_decref(root);
    fixture_clear(&f);
}
END_TEST

START_TEST(same_result_same_bytes) {
    fixture_make(&f, true);
    char *one = NULL, *two = NULL;
    ck_assert_int_eq(cq_report_json(&f.result, &one), CQ_OK);
    ck_assert_int_eq(cq_report_json(&f.result, &two), CQ_OK);
    ck_assert_str_eq(one, two);
    ck_assert(one[0] == '{' && strcmp(one + strlen(one) - 2, "}\n") == 0);
    cq_text_free(one);
    cq_text_free(two);
    fixture_clear(&f);
}
END_TEST

static long until_failure; /* allocations of jansson's that pass before one fails; then they pass again */

static void *faulty(size_t size) {
    return until_failure-- == 0 ? NULL : malloc(size);
}

/* Whatever allocation of jansson's fails: a complete object or a status, never an object with a hole. */
START_TEST(short_memory_is_told) {
    fixture_make(&f, true);
    for (int t = 0; t < 4; t++) {
        f.traces[t].n = 12; /* few enough to fail at each allocation, enough to make the arrays grow */
    }
    char *whole = NULL;
    ck_assert_int_eq(cq_report_json(&f.result, &whole), CQ_OK);
    json_set_alloc_funcs(faulty, free);
    long n = 0, failures = 0;
    for (bool reached = true; reached && n < 100000; n++) {
        char *text = NULL;
        until_failure = n;
        const cq_status status = cq_report_json(&f.result, &text);
        reached = until_failure < 0;
        failures += status != CQ_OK;
        if (status == CQ_OK) { /* jansson may get over a failure */
            ck_assert_msg(strcmp(text, whole) == 0, "a hole after failure %ld", n);
        } else {
            ck_assert_int_eq(status, CQ_ERR_MEMORY);
            ck_assert_ptr_null(text);
        }
        cq_text_free(text);
    }
    ck_assert_int_gt(failures, 100);
    json_set_alloc_funcs(malloc, free);
    for (n = 0; n < 3; n++) { /* our own text grows more often than this */
        char *text = NULL;
        cq_memory_fail_after(n);
        ck_assert_int_eq(cq_report_json(&f.result, &text), CQ_ERR_MEMORY);
        cq_memory_fail_after(-1);
        ck_assert_ptr_null(text);
    }
    cq_text_free(whole);
    fixture_clear(&f);
}
END_TEST

int main(void) {
    Suite *suite = suite_create("json");
    TCase *all = tcase_create("json");
    tcase_add_test(all, has_the_contract_s_keys);
    tcase_add_test(all, what_does_not_apply_is_null);
    tcase_add_test(all, probes_are_celsius_arrays_of_equal_length);
    tcase_add_test(all, no_probe_takes_a_built_in_place);
    tcase_add_test(all, a_title_that_is_not_utf8_leaves_no_hole);
    tcase_add_test(all, same_result_same_bytes);
    tcase_add_test(all, short_memory_is_told);
    suite_add_tcase(suite, all);
    return run_suite(suite);
}
