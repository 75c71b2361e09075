/* The files of a result, written by real runs and read back: complete or absent, the same bytes again, told apart from
 * files of others.
 */
#include "../place.h"
#include "../suite.h"
#include "plans.h"

#include "base/memory.h"
#include "io/result.h"

#include <check.h>
#include <dirent.h>
#include <hdf5.h>
#include <math.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

static cq_plan plan;
static cq_step_plan steps[2];
static cq_run *run;
static const cq_result *result;

static const double RECORD_S[] = {0.5, 1.0, 2.0};

/* One coarse run for all tests: a clay-coated knife with a probe on one face. */
static void set_up(void) {
    static const cq_coat_point body[] = {{8e-3, 0, 0}, {11e-3, 2e-3, 2e-3}, {28e-3, 2e-3, 2e-3}};
    static const cq_probe_plan probes[] = {{"b5", 5e-3, CQ_FACE_LEFT, 0.0, 0.0}};
    cq_error error = CQ_ERROR_INIT;
    start_plan(&plan, steps, 40);
    plan.title = "Files";
    plan.text = "format: clayquench-plan 1\n";
    plan.blade = sloyd_blade();
    plan.coat = (cq_coat){3, body, 0.0, 0.0};
    plan.grid = (cq_grid_wish){40, 4, 3, 1};
    plan.probes = probes;
    plan.probes_n = 1;
    plan.times_s = RECORD_S;
    plan.times_n = 3;
    ck_assert_int_ge(cq_run_create(&run, &plan, &(cq_run_options){.keep_frames = true}, &error), 0);
    ck_assert_int_ge(cq_run_go(run, NULL, &error), 0);
    cq_error_clear(&error);
    result = cq_run_result(run);
    place_make();
}

static void tear_down(void) {
    cq_run_free(run);
    place_remove();
}

static char *contents(const char *path, size_t *length) {
    FILE *file = fopen(path, "rb");
    ck_assert_msg(file != NULL, "%s is not there", path);
    fseek(file, 0, SEEK_END);
    *length = (size_t)ftell(file);
    rewind(file);
    char *bytes = calloc(*length + 1, 1);
    ck_assert_uint_eq(fread(bytes, 1, *length, file), *length);
    fclose(file);
    return bytes;
}

static void write_to(const char *folder) {
    cq_error error = CQ_ERROR_INIT;
    ck_assert_msg(cq_result_write(result, NULL, folder, &error) >= 0, "%s",
                  error.count > 0 ? error.items[0].found : "");
    cq_error_clear(&error);
}

/* ---- what is in it ----------------------------------------------------------------------------------------------- */

static herr_t has_words(hid_t root, const char *name, const H5O_info_t *info, void *count) {
    static const char *const attributes[] = {"unit", "long_name", "axes"};
    if (info->type == H5O_TYPE_DATASET) {
        for (int n = 0; n < 3; n++) {
            ck_assert_msg(H5Aexists_by_name(root, name, attributes[n], H5P_DEFAULT) > 0, "%s has no %s", name,
                          attributes[n]);
        }
        (*(int *)count)++;
    }
    ck_assert_msg(info->ctime == 0, "%s has a time", name);
    return 0;
}

static double scalar(hid_t file, const char *name) {
    double value = 0.0;
    hid_t set = H5Dopen2(file, name, H5P_DEFAULT);
    ck_assert_msg(set >= 0, "no %s", name);
    ck_assert_int_ge(H5Dread(set, H5T_NATIVE_DOUBLE, H5S_ALL, H5S_ALL, H5P_DEFAULT, &value), 0);
    H5Dclose(set);
    return value;
}

START_TEST(hdf5_holds_the_answer_with_units_and_axes) {
    write_to(place);
    hid_t file = H5Fopen(in_place("result.h5"), H5F_ACC_RDONLY, H5P_DEFAULT);
    ck_assert_int_ge(file, 0);
    int sets = 0;
    ck_assert_int_ge(H5Ovisit(file, H5_INDEX_NAME, H5_ITER_INC, has_words, &sets), 0);
    ck_assert_int_gt(sets, 60);
    ck_assert(scalar(file, "/summary/line_surface_m") ==
              result->line_surface_m); /* bits, not a tolerance: it is stored */
    ck_assert(scalar(file, "/summary/edge/HV") == result->edge.HV);
    ck_assert(isnan(scalar(file, "/summary/line_ground_m")));
    ck_assert(scalar(file, "/traces/b5/at_m") == 5e-3);
    const size_t cells = (size_t)result->grid->along * (size_t)result->grid->across;
    double *temp = calloc(result->frames_n * cells, sizeof *temp);
    hid_t set = H5Dopen2(file, "/frames/temp_K", H5P_DEFAULT), space = H5Dget_space(set);
    ck_assert_uint_eq((size_t)H5Sget_simple_extent_npoints(space), result->frames_n * cells);
    ck_assert_int_ge(H5Dread(set, H5T_NATIVE_DOUBLE, H5S_ALL, H5S_ALL, H5P_DEFAULT, temp), 0);
    for (size_t f = 0; f < result->frames_n; f++) {
        ck_assert_mem_eq(temp + f * cells, result->frames[f].temp_K, cells * sizeof *temp);
    }
    free(temp);
    H5Sclose(space);
    H5Dclose(set);
    H5Fclose(file);
}
END_TEST

START_TEST(csv_has_one_line_per_place_and_time) {
    size_t length, lines = 0, samples = 0;
    write_to(place);
    char *csv = contents(in_place("probes.csv"), &length);
    ck_assert(strncmp(csv, "place,height_mm,face,time_s,temp_C\n", 35) == 0);
    for (size_t n = 0; n < length; n++) {
        lines += csv[n] == '\n';
    }
    for (size_t t = 0; t < result->traces_n; t++) {
        samples += result->traces[t].n;
    }
    ck_assert_uint_eq(lines, samples + 1);
    ck_assert_ptr_nonnull(strstr(csv, "\nb5,5,left,"));
    ck_assert_ptr_nonnull(strstr(csv, "\nedge,1,mid,0,800."));
    free(csv);
}
END_TEST

/* ---- the same again ---------------------------------------------------------------------------------------------- */

START_TEST(same_result_same_bytes) {
    static const char *const names[] = {"result.h5", "result.xdmf", "probes.csv"};
    time_t second;
    do { /* provenance holds the second of writing: both within one */
        second = time(NULL);
        write_to(in_place("one"));
        write_to(in_place("two"));
    } while (time(NULL) != second);
    for (int n = 0; n < 3; n++) {
        char one[64], two[64];
        size_t a_length, b_length;
        snprintf(one, sizeof one, "one/%s", names[n]);
        snprintf(two, sizeof two, "two/%s", names[n]);
        char *a = contents(in_place(one), &a_length), *b = contents(in_place(two), &b_length);
        ck_assert_uint_eq(a_length, b_length);
        ck_assert_msg(memcmp(a, b, a_length) == 0, "%s differs", names[n]);
        free(a);
        free(b);
    }
}
END_TEST

static herr_t our_handler(hid_t stack, void *context) {
    (void)stack;
    (void)context;
    return 0;
}

START_TEST(leaves_hdf5_as_it_was) {
    H5E_auto2_t handler;
    void *context;
    H5Eset_auto2(H5E_DEFAULT, our_handler, &plan);
    write_to(place);
    ck_assert_int_lt(cq_result_check_file("/nowhere/result.h5", NULL), 0);
    ck_assert_int_eq(cq_result_check_file(in_place("result.h5"), NULL), CQ_OK);
    ck_assert_int_eq(cq_result_check_file(in_place("probes.csv"), NULL), CQ_ERR_FORMAT);
    H5Eget_auto2(H5E_DEFAULT, &handler, &context);
    ck_assert(handler == our_handler && context == &plan);
    ck_assert_int_eq(H5Fget_obj_count((hid_t)H5F_OBJ_ALL, H5F_OBJ_ALL), 0); /* nothing left open */
}
END_TEST

/* ---- when it cannot be written ----------------------------------------------------------------------------------- */

/* Nothing but whole files under the folder's names. */
static size_t whole_files(const char *folder) {
    size_t n = 0;
    DIR *open = opendir(folder);
    for (struct dirent *entry = open == NULL ? NULL : readdir(open); entry != NULL; entry = readdir(open)) {
        if (entry->d_name[0] != '.') {
            ck_assert_msg(strstr(entry->d_name, ".part") == NULL, "%s was left", entry->d_name);
            n++;
        }
    }
    if (open != NULL) {
        closedir(open);
    }
    return n;
}

static void expect_refused(const char *folder) {
    cq_error error = CQ_ERROR_INIT;
    ck_assert_int_eq(cq_result_write(result, NULL, folder, &error), CQ_ERR_FILE);
    ck_assert_uint_eq(error.count, 1);
    ck_assert_msg(strstr(error.items[0].file, place) != NULL, "the complaint has no path: '%s'", error.items[0].file);
    ck_assert_uint_gt(strlen(error.items[0].found), 0);
    cq_error_clear(&error);
}

START_TEST(a_folder_that_cannot_be_is_told) {
    FILE *file = fopen(in_place("occupied"), "w");
    fclose(file);
    expect_refused(in_place("occupied"));
    expect_refused(in_place("not/there"));
}
END_TEST

/* A limit on the size of files stands for a full disk: writing fails in the middle. */
START_TEST(a_full_disk_leaves_nothing_half_written) {
    struct rlimit before, limit;
    size_t length;
    signal(SIGXFSZ, SIG_IGN);
    getrlimit(RLIMIT_FSIZE, &before);
    write_to(in_place("whole"));
    free(contents(in_place("whole/result.h5"), &length));
    const rlim_t sizes[] = {0, 1, 4096, length / 2, length - 1};
    for (size_t n = 0; n < sizeof sizes / sizeof sizes[0]; n++) {
        limit = before;
        limit.rlim_cur = sizes[n];
        setrlimit(RLIMIT_FSIZE, &limit);
        expect_refused(in_place("full"));
        setrlimit(RLIMIT_FSIZE, &before);
        ck_assert_uint_eq(whole_files(in_place("full")), 0);
        setrlimit(RLIMIT_FSIZE, &limit);
        expect_refused(in_place("whole")); /* what stood there before stays whole */
        setrlimit(RLIMIT_FSIZE, &before);
        ck_assert_int_eq(cq_result_check_file(in_place("whole/result.h5"), NULL), CQ_OK);
        ck_assert_uint_eq(whole_files(in_place("whole")), 3);
    }
}
END_TEST

START_TEST(short_memory_is_told) {
    cq_status status = CQ_ERR_MEMORY;
    long n = 0;
    for (; status == CQ_ERR_MEMORY && n < 500; n++) {
        cq_memory_fail_after(n);
        status = cq_result_write(result, NULL, in_place("short"), NULL);
        cq_memory_fail_after(-1);
        ck_assert(status == CQ_ERR_MEMORY || status == CQ_OK);
        whole_files(in_place("short"));
    }
    ck_assert_int_eq(status, CQ_OK);
    ck_assert_int_gt(n, 4);
    ck_assert_uint_eq(whole_files(in_place("short")), 3);
}
END_TEST

/* ---- files of others --------------------------------------------------------------------------------------------- */

static void expect_no_result(const char *path, cq_status expected, const char *words) {
    cq_error error = CQ_ERROR_INIT;
    ck_assert_msg(cq_result_check_file(path, &error) == expected, "%s", path);
    ck_assert_uint_eq(error.count, 1);
    ck_assert_msg(strstr(error.items[0].found, words) != NULL, "'%s'", error.items[0].found);
    cq_error_clear(&error);
}

/* result.h5 with its version or format replaced by an attribute of this type and extent. */
static void replace_mark(const char *name, hid_t type, hid_t space, const void *value) {
    hid_t file = H5Fopen(in_place("result.h5"), H5F_ACC_RDWR, H5P_DEFAULT);
    H5Adelete(file, name);
    hid_t mark = H5Acreate2(file, name, type, space, H5P_DEFAULT, H5P_DEFAULT);
    ck_assert_int_ge(H5Awrite(mark, type, value), 0);
    H5Aclose(mark);
    H5Fclose(file);
}

START_TEST(files_that_are_not_results_are_refused) {
    size_t length;
    write_to(place);
    const char *path = in_place("result.h5");
    ck_assert_int_eq(cq_result_check_file(path, NULL), CQ_OK);
    expect_no_result(in_place("absent.h5"), CQ_ERR_FILE, "cannot be read");
    expect_no_result(in_place("probes.csv"), CQ_ERR_FORMAT, "is not one");
    char *bytes = contents(path, &length);
    FILE *cut = fopen(in_place("cut.h5"), "wb");
    fwrite(bytes, 1, length / 2, cut);
    fclose(cut);
    free(bytes);
    expect_no_result(in_place("cut.h5"), CQ_ERR_FORMAT, "is not one");
    H5Fclose(H5Fcreate(in_place("other.h5"), H5F_ACC_TRUNC, H5P_DEFAULT, H5P_DEFAULT));
    expect_no_result(in_place("other.h5"), CQ_ERR_FORMAT, "is not one");
}
END_TEST

START_TEST(odd_and_newer_versions_are_refused) {
    const int two = 2, zero = 0, many[] = {1, 1, 1, 1, 1, 1, 1, 1};
    const hsize_t eight = 8;
    const char *text = "clayquench-result";
    hid_t one = H5Screate(H5S_SCALAR), row = H5Screate_simple(1, &eight, NULL), endless = H5Tcopy(H5T_C_S1);
    H5Tset_size(endless, H5T_VARIABLE);
    write_to(place);
    replace_mark("version", H5T_NATIVE_INT, one, &two);
    expect_no_result(in_place("result.h5"), CQ_ERR_FORMAT, "has version 2");
    replace_mark("version", H5T_NATIVE_INT, one, &zero);
    expect_no_result(in_place("result.h5"), CQ_ERR_FORMAT, "is not one");
    replace_mark("version", H5T_NATIVE_INT, row, many); /* must not be read into one int */
    expect_no_result(in_place("result.h5"), CQ_ERR_FORMAT, "is not one");
    write_to(place);
    replace_mark("format", endless, one, &text); /* must not be read as characters */
    expect_no_result(in_place("result.h5"), CQ_ERR_FORMAT, "is not one");
    H5Tclose(endless);
    H5Sclose(row);
    H5Sclose(one);
}
END_TEST

int main(void) {
    Suite *suite = suite_create("result files");
    TCase *all = tcase_create("result files");
    tcase_set_timeout(all, 120);
    tcase_add_checked_fixture(all, set_up, tear_down);
    tcase_add_test(all, hdf5_holds_the_answer_with_units_and_axes);
    tcase_add_test(all, csv_has_one_line_per_place_and_time);
    tcase_add_test(all, same_result_same_bytes);
    tcase_add_test(all, leaves_hdf5_as_it_was);
    tcase_add_test(all, a_folder_that_cannot_be_is_told);
    tcase_add_test(all, a_full_disk_leaves_nothing_half_written);
    tcase_add_test(all, short_memory_is_told);
    tcase_add_test(all, files_that_are_not_results_are_refused);
    tcase_add_test(all, odd_and_newer_versions_are_refused);
    suite_add_tcase(suite, all);
    return run_suite(suite);
}
