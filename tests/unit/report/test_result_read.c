/* A result read back from result.h5 is the one that was written: its JSON, its fields, its page; and what is refused.
 */
#include "../../place.h"
#include "../../suite.h"

#include "base/memory.h"

#include <clayquench/clayquench.h>
#include <clayquench/report_page.h>

#include <hdf5.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static char file[96];
static cq_plan plan;
static cq_run *run;
static char *summary;

static const char BLADE[] =
    "format: clayquench-plan 1\ntitle: Read back\n"
    "blade: {section: flat, height: 24 mm, edge: 1.2 mm, spine: 3.2 mm, length: 100 mm}\n"
    "steel: {from: 1084, batch: {Mn: 0.71 %}}\n"
    "clay:\n  mix: stone-charcoal-clay\n"
    "  coat: [{at: 0 mm, left: 0.05 mm, right: 0.05 mm}, {at: 8 mm, left: 0.05 mm, right: 0.05 mm},\n"
    "    {at: 10 mm, left: 2 mm, right: 1 mm}, {at: 24 mm, left: 2 mm, right: 1 mm}]\n"
    "  lost: [{after: 2 s, from: 14 mm, to: 18 mm, face: left}, {after: 3 s, from: 1 mm, to: 4 mm}]\n"
    "heat: {temperature: 800 °C, hold: 5 min}\n"
    "steps:\n  - {in: air, for: 1 s}\n  - {in: water, at: 40 °C, for: 4 s}\n"
    "temper: [{temperature: 200 °C, for: 1 h}]\nfinish: {grind: 0.2 mm}\n"
    "record: {probes: [{name: b1, at: 1.5 mm}, {name: b5, at: 5 mm, face: left}]}\n"
    "grid: {along: 40, across: 4, clay: 3}\n";
static const char PLATE[] = "format: clayquench-plan 1\ntitle: Plate\nblade: {section: plate, thickness: 4 mm}\n"
                            "steel: silver\nstart: 800 °C\nsteps: [{in: fast-oil, for: 2 s}]\n";

static void make(const char *text) {
    static const char *const folders[] = {CQ_PROFILES};
    static const cq_search search = {1, folders};
    cq_error error = CQ_ERROR_INIT;
    cq_plan_init(&plan);
    ck_assert_msg(cq_plan_read_text(&plan, text, strlen(text), "some/plan.yaml", NULL, &search, &error) >= 0, "%s",
                  error.count > 0 ? error.items[0].found : "");
    ck_assert_int_ge(cq_run_create(&run, &plan, &(cq_run_options){.keep_frames = true}, &error), 0);
    ck_assert_int_ge(cq_run_go(run, NULL, &error), 0);
    ck_assert_int_eq(cq_report_json(cq_run_result(run), &summary), CQ_OK);
    place_make();
    ck_assert_int_eq(cq_result_write(cq_run_result(run), summary, place, &error), CQ_OK);
    snprintf(file, sizeof file, "%s/result.h5", place);
    cq_error_clear(&error);
}

static void clear(void) {
    place_remove();
    cq_text_free(summary);
    cq_run_free(run);
    cq_plan_clear(&plan);
}

static void expect_same(const double *a, const double *b, size_t n, const char *what) {
    for (size_t i = 0; i < n; i++) {
        ck_assert_msg(memcmp(&a[i], &b[i], sizeof *a) == 0 || (isnan(a[i]) && isnan(b[i])), "%s differs at %zu: %g, %g",
                      what, i, a[i], b[i]);
    }
}

static void expect_same_fields(const cq_result *a, const cq_result *b) {
    const size_t cells = (size_t)a->grid->along * (size_t)a->grid->across;
    ck_assert_mem_eq(a->grid->kind, b->grid->kind, cells);
    expect_same(a->grid->film_left_m, b->grid->film_left_m, (size_t)a->grid->along, "thin coat");
    expect_same(a->temp_K, b->temp_K, cells, "final temperature");
    ck_assert_uint_eq(a->frames_n, b->frames_n);
    for (size_t f = 0; f < a->frames_n; f++) {
        ck_assert_double_eq(a->frames[f].time_s, b->frames[f].time_s);
        expect_same(a->frames[f].temp_K, b->frames[f].temp_K, cells, "frame");
        if (a->transforming) {
            expect_same(a->frames[f].fraction[CQ_MARTENSITE], b->frames[f].fraction[CQ_MARTENSITE], cells,
                        "martensite");
        }
    }
    ck_assert_int_eq(a->axial_stress_Pa != NULL, b->axial_stress_Pa != NULL);
    if (a->axial_stress_Pa != NULL) {
        expect_same(a->axial_stress_Pa, b->axial_stress_Pa, cells, "stress");
        expect_same(a->tempered_stress_Pa, b->tempered_stress_Pa, cells, "stress after temper");
    }
    ck_assert_uint_eq(a->along.n, b->along.n);
    if (a->along.n > 0) {
        expect_same(a->along.tempered_mid_HV, b->along.tempered_mid_HV, a->along.n, "hardness after temper");
    }
    for (size_t t = 0; t < a->traces_n; t++) {
        ck_assert_uint_eq(a->traces[t].n, b->traces[t].n);
        ck_assert_int_eq(a->traces[t].face, b->traces[t].face);
        expect_same(a->traces[t].temp_K, b->traces[t].temp_K, a->traces[t].n, "history");
    }
}

static void expect_same_text(const char *a, const char *b) {
    size_t n = 0;
    while (a[n] != '\0' && a[n] == b[n]) {
        n++;
    }
    const size_t from = n < 40 ? 0 : n - 40;
    ck_assert_msg(a[n] == b[n], "'%.80s' instead of '%.80s'", a + from, b + from);
}

static void expect_same_screen(const cq_result *a, const cq_result *b) {
    char *fresh = NULL, *read = NULL;
    ck_assert_int_eq(cq_report_screen(a, CQ_UNITS_METRIC, &fresh), CQ_OK);
    ck_assert_int_eq(cq_report_screen(b, CQ_UNITS_METRIC, &read), CQ_OK);
    expect_same_text(read, fresh);
    cq_text_free(fresh);
    cq_text_free(read);
}

/* Every figure of the answer stands in its JSON: equal texts mean that nothing was lost on the way. */
static void expect_read_back(const char *text) {
    cq_error error = CQ_ERROR_INIT;
    cq_stored *stored = NULL;
    char *again = NULL;
    make(text);
    const cq_status status = cq_result_read(&stored, file, &error);
    ck_assert_msg(status == CQ_OK, "%s", error.count > 0 ? error.items[0].found : "no word");
    ck_assert_int_eq(cq_report_json(cq_stored_result(stored), &again), CQ_OK);
    expect_same_text(again, summary);
    expect_same_screen(cq_run_result(run), cq_stored_result(stored));
    expect_same_text(cq_stored_summary(stored), summary);
    expect_same_fields(cq_run_result(run), cq_stored_result(stored));
    cq_text_free(again);
    cq_stored_free(stored);
    clear();
}

START_TEST(a_blade_is_read_back) {
    expect_read_back(BLADE);
}
END_TEST

START_TEST(an_inert_plate_is_read_back) {
    expect_read_back(PLATE);
}
END_TEST

static void page_of(const cq_result *result, const char *with, cq_page_medium medium, unsigned char **bytes,
                    size_t *length) {
    const cq_report_wish wish = {.medium = medium, .summary = with};
    cq_error error = CQ_ERROR_INIT;
    cq_page_gaps gaps;
    ck_assert_int_eq(cq_report_page(result, &wish, bytes, length, &gaps, &error), CQ_OK);
}

START_TEST(the_page_is_that_of_the_run) {
    make(BLADE);
    for (int medium = CQ_PAGE_HTML; medium <= CQ_PAGE_PDF; medium++) {
        cq_stored *stored = NULL;
        unsigned char *fresh, *read;
        size_t fresh_n, read_n;
        ck_assert_int_eq(cq_result_read(&stored, file, NULL), CQ_OK);
        page_of(cq_run_result(run), NULL, (cq_page_medium)medium, &fresh, &fresh_n);
        page_of(cq_stored_result(stored), cq_stored_summary(stored), (cq_page_medium)medium, &read, &read_n);
        ck_assert_uint_eq(fresh_n, read_n);
        ck_assert_mem_eq(fresh, read, fresh_n);
        cq_text_free((char *)fresh);
        cq_text_free((char *)read);
        cq_stored_free(stored);
    }
    clear();
}
END_TEST

static void expect_refused(cq_status expected, const char *found) {
    cq_error error = CQ_ERROR_INIT;
    cq_stored *stored = NULL;
    ck_assert_int_eq(cq_result_read(&stored, file, &error), expected);
    ck_assert_ptr_null(stored);
    ck_assert_uint_eq(error.count, 1);
    ck_assert_msg(strstr(error.items[0].found, found) != NULL, "'%s' says nothing of '%s'", error.items[0].found,
                  found);
    cq_error_clear(&error);
}

START_TEST(cut_short_anywhere_is_refused) {
    struct stat info;
    make(BLADE);
    ck_assert_int_eq(stat(file, &info), 0);
    const off_t whole = info.st_size;
    for (int n = 20; n >= 0; n--) { /* ever shorter */
        ck_assert_int_eq(truncate(file, whole * n / 21), 0);
        expect_refused(CQ_ERR_FORMAT, "is not one");
    }
    remove(file);
    expect_refused(CQ_ERR_FILE, "cannot be read");
    clear();
}
END_TEST

/* With one object less. */
static void without(const char *path) {
    hid_t open = H5Fopen(file, H5F_ACC_RDWR, H5P_DEFAULT);
    ck_assert_int_ge(H5Ldelete(open, path, H5P_DEFAULT), 0);
    H5Fclose(open);
}

START_TEST(anything_missing_is_refused) {
    static const char *const needed[] = {"plan",
                                         "profiles/steel-1084",
                                         "grid/kind",
                                         "frames/temp_K",
                                         "along",
                                         "traces/b5/temp_K",
                                         "summary/edge/HV",
                                         "summary/step_ends",
                                         "final/bainite",
                                         "summary/verdict",
                                         "summary/crossings_m",
                                         "summary/cautions",
                                         "curve/turns",
                                         "curve/quenched/rise_m",
                                         "curve/side_curvature_1_m",
                                         "summary/tempers",
                                         "summary/crack/reason",
                                         "summary/cautions_brief",
                                         "final/tempered_stress_Pa"};
    for (size_t n = 0; n < sizeof needed / sizeof needed[0]; n++) {
        cq_stored *stored = NULL;
        cq_error error = CQ_ERROR_INIT;
        make(BLADE);
        without(needed[n]);
        const cq_status status = cq_result_read(&stored, file, &error);
        if (strcmp(needed[n], "along") == 0) { /* pieces have none: read, but without it */
            ck_assert_int_eq(status, CQ_OK);
            ck_assert_uint_eq(cq_stored_result(stored)->along.n, 0);
        } else {
            ck_assert_msg(status < 0 && error.count > 0, "%s is not missed", needed[n]);
        }
        cq_stored_free(stored);
        cq_error_clear(&error);
        clear();
    }
}
END_TEST

START_TEST(an_interrupted_run_and_another_grid_are_refused) {
    make(BLADE);
    hid_t open = H5Fopen(file, H5F_ACC_RDWR, H5P_DEFAULT), set = H5Dopen2(open, "grid/node_x_m", H5P_DEFAULT);
    double *x = calloc(10000, sizeof *x);
    H5Dread(set, H5T_NATIVE_DOUBLE, H5S_ALL, H5S_ALL, H5P_DEFAULT, x);
    x[77] += 1e-6;
    H5Dwrite(set, H5T_NATIVE_DOUBLE, H5S_ALL, H5S_ALL, H5P_DEFAULT, x);
    free(x);
    H5Dclose(set);
    H5Fclose(open);
    expect_refused(CQ_ERR_FORMAT, "another grid");
    without("final");
    expect_refused(CQ_ERR_FORMAT, "interrupted");
    clear();
}
END_TEST

START_TEST(short_memory_is_told_and_nothing_is_lost) {
    make(PLATE);
    for (long n = 0; n < 3000; n++) {
        cq_stored *stored = NULL;
        cq_memory_fail_once_after(n);
        const cq_status status = cq_result_read(&stored, file, NULL);
        cq_memory_fail_after(-1);
        if (status == CQ_OK) {
            cq_stored_free(stored);
            break;
        }
        ck_assert_int_eq(status, CQ_ERR_MEMORY);
        ck_assert_ptr_null(stored);
        ck_assert_int_lt(n, 2999);
    }
    clear();
}
END_TEST

int main(void) {
    TCase *tc = tcase_create("result read");
    tcase_set_timeout(tc, 120);
    tcase_add_test(tc, a_blade_is_read_back);
    tcase_add_test(tc, an_inert_plate_is_read_back);
    tcase_add_test(tc, the_page_is_that_of_the_run);
    tcase_add_test(tc, cut_short_anywhere_is_refused);
    tcase_add_test(tc, anything_missing_is_refused);
    tcase_add_test(tc, an_interrupted_run_and_another_grid_are_refused);
    tcase_add_test(tc, short_memory_is_told_and_nothing_is_lost);
    return run_case(tc, "result read");
}
