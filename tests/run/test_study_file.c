/* A study's file: read back, continued, joined, killed at any moment, refused where it is not ours. */
#include "../suite.h"

#include "../place.h"
#include "../studies.h"
#include "base/memory.h"

#include <fcntl.h>
#include <signal.h>
#include <stdio.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

static cq_status on_row(void *context, size_t run, const cq_row *row, cq_error *error) {
    return cq_study_file_keep(context, run, row, error);
}

/* Carry out what is open of the study in `path`. */
static cq_study_table *carry_out(const char *path, size_t part, size_t parts, int threads) {
    const cq_study_about about = study_about(part, parts);
    const cq_study_options options = {.threads = threads, .part = part, .parts = parts};
    cq_study_table *table = study_table();
    cq_study_file *file = NULL;
    cq_error error = CQ_ERROR_INIT;
    ck_assert_msg(cq_study_file_open(&file, path, &about, table, &error) >= 0, "%s",
                  error.count > 0 ? error.items[0].found : "");
    ck_assert_int_eq(cq_study_go(table, &study_source, &options, &(cq_study_sink){on_row, NULL, NULL, file}, &error),
                     CQ_OK);
    ck_assert_int_eq(cq_study_file_close(file, &error), CQ_OK);
    return table;
}

static char *bytes_of(const char *path, size_t *length) {
    FILE *file = fopen(path, "rb");
    ck_assert_ptr_nonnull(file);
    fseek(file, 0, SEEK_END);
    *length = (size_t)ftell(file);
    rewind(file);
    char *bytes = malloc(*length);
    ck_assert_uint_eq(fread(bytes, 1, *length, file), *length);
    fclose(file);
    return bytes;
}

static void same_bytes(const char *a, const char *b) {
    size_t n[2];
    char *bytes[2] = {bytes_of(a, &n[0]), bytes_of(b, &n[1])};
    ck_assert_uint_eq(n[0], n[1]);
    ck_assert_int_eq(memcmp(bytes[0], bytes[1], n[0]), 0);
    free(bytes[0]);
    free(bytes[1]);
}

START_TEST(reads_back_what_was_kept) {
    cq_study_table *table = carry_out(in_place("a.h5"), 1, 1, 2);
    cq_study_read *read = NULL;
    ck_assert_int_eq(cq_study_file_read(&read, in_place("a.h5"), NULL), CQ_OK);
    study_same_rows(table, read->table);
    ck_assert_mem_eq(table->inputs, read->table->inputs, 2 * STUDY_RUNS * sizeof(double));
    ck_assert_str_eq(read->about.kind, "compare");
    ck_assert_uint_eq(read->about.seed, 7);
    ck_assert_uint_eq(read->about.axes_n, 2);
    ck_assert_uint_eq(read->about.axes[0].n, 2);
    ck_assert_str_eq(read->about.axes[0].words[1], "thick");
    ck_assert_str_eq(read->about.axes[1].key, "steps.1.at");
    ck_assert_str_eq(read->about.profile_names[1], "steel-1084");
    ck_assert_str_eq(read->about.plan_texts[0], STUDY_PLAN_TEXT[0]);
    ck_assert_uint_eq(read->ended, 0);
    cq_study_read_free(read);
    cq_study_table_free(table);
}
END_TEST

START_TEST(threads_leave_the_same_bytes) {
    cq_study_table_free(carry_out(in_place("a.h5"), 1, 1, 1));
    cq_study_table_free(carry_out(in_place("b.h5"), 1, 1, 4));
    same_bytes(in_place("a.h5"), in_place("b.h5"));
}
END_TEST

static const char *joined_complaint(const char *const *paths, size_t n) {
    static char found[512];
    cq_error error = CQ_ERROR_INIT;
    ck_assert_int_eq(cq_study_files_merge(in_place("whole.h5"), paths, n, &error), CQ_ERR_FORMAT);
    ck_assert_int_ne(access(in_place("whole.h5"), F_OK), 0);
    snprintf(found, sizeof found, "%s", error.items[0].found);
    cq_error_clear(&error);
    return found;
}

START_TEST(parts_join_to_the_bytes_of_the_whole) {
    char path[3][128];
    const char *paths[3] = {path[0], path[1], path[2]};
    for (size_t part = 0; part < 3; part++) {
        snprintf(path[part], sizeof path[part], "%s/%zu.h5", place, part);
        cq_study_table_free(carry_out(paths[part], part + 1, 3, 2));
    }
    ck_assert_ptr_nonnull(strstr(joined_complaint(paths, 2), "part 3 of 3 is missing"));
    const char *twice[] = {paths[0], paths[1], paths[1]};
    ck_assert_ptr_nonnull(strstr(joined_complaint(twice, 3), "is part 2, as"));
    cq_study_table_free(carry_out(in_place("one.h5"), 1, 1, 2));
    const char *other[] = {paths[0], paths[1], in_place("one.h5")};
    ck_assert_ptr_nonnull(strstr(joined_complaint(other, 3), "not the same number of parts"));
    cq_error error = CQ_ERROR_INIT; /* nothing else is overwritten */
    ck_assert_int_eq(cq_study_files_merge(paths[1], paths, 3, &error), CQ_ERR_FORMAT);
    ck_assert_ptr_nonnull(strstr(error.items[0].found, "one of the parts"));
    cq_error_clear(&error);
    FILE *plan = fopen(in_place("plan.yaml"), "w");
    fputs("format: clayquench-plan 1\n", plan);
    fclose(plan);
    ck_assert_int_eq(cq_study_files_merge(in_place("plan.yaml"), paths, 3, &error), CQ_ERR_FORMAT);
    ck_assert_ptr_nonnull(strstr(error.items[0].found, "holds no study"));
    cq_error_clear(&error);
    const char *mixed[] = {paths[2], paths[0], paths[1]}; /* any order */
    ck_assert_int_eq(cq_study_files_merge(in_place("whole.h5"), mixed, 3, NULL), CQ_OK);
    same_bytes(in_place("whole.h5"), in_place("one.h5"));
}
END_TEST

START_TEST(an_unfinished_part_does_not_join) {
    const cq_study_about about = study_about(1, 2);
    cq_study_table *table = study_table();
    cq_study_file *file = NULL;
    ck_assert_int_ge(cq_study_file_open(&file, in_place("0.h5"), &about, table, NULL), 0);
    cq_study_file_close(file, NULL);
    cq_study_table_free(table);
    const char *paths[] = {in_place("0.h5")};
    ck_assert_ptr_nonnull(strstr(joined_complaint(paths, 1), "lacks 12 of its runs"));
}
END_TEST

static void refuses(const cq_study_about *about, const char *words) {
    cq_error error = CQ_ERROR_INIT;
    cq_study_table *table = study_table();
    cq_study_file *file = NULL;
    ck_assert_int_eq(cq_study_file_open(&file, in_place("a.h5"), about, table, &error), CQ_ERR_FORMAT);
    ck_assert_msg(strstr(error.items[0].found, words) != NULL, "'%s' has no '%s'", error.items[0].found, words);
    cq_error_clear(&error);
    cq_study_table_free(table);
}

START_TEST(another_study_is_refused) {
    static const char *const text[] = {"format: clayquench-plan 1\n# changed\n"}, *const profile[] = {"a\n", "c\n"};
    cq_study_table_free(carry_out(in_place("a.h5"), 1, 1, 2));
    size_t n[2];
    char *before = bytes_of(in_place("a.h5"), &n[0]);
    cq_study_about about = study_about(1, 1);
    about.plan_texts = text;
    refuses(&about, "not the same plan");
    about = study_about(1, 1);
    about.profile_texts = profile;
    refuses(&about, "not the same profiles");
    about = study_about(1, 1);
    about.seed = 8;
    refuses(&about, "not the same seed");
    about = study_about(1, 1);
    about.settings = "samples 12";
    refuses(&about, "not the same options");
    about = study_about(1, 2);
    refuses(&about, "not the same part");
    about = study_about(1, 1);
    about.axes_n = 1;
    refuses(&about, "not the same keys varied");
    char *after = bytes_of(in_place("a.h5"), &n[1]);
    ck_assert_uint_eq(n[0], n[1]);
    ck_assert_int_eq(memcmp(before, after, n[0]), 0);
    free(before);
    free(after);
}
END_TEST

START_TEST(what_is_no_study_is_refused) {
    cq_study_table_free(carry_out(in_place("a.h5"), 1, 1, 2));
    size_t length;
    char *bytes = bytes_of(in_place("a.h5"), &length);
    for (size_t cut = 0; cut < length; cut += 1 + length / 40) { /* cut short anywhere */
        FILE *file = fopen(in_place("cut.h5"), "wb");
        fwrite(bytes, 1, cut, file);
        fclose(file);
        cq_study_read *read = NULL;
        cq_error error = CQ_ERROR_INIT;
        ck_assert_int_eq(cq_study_file_read(&read, in_place("cut.h5"), &error), CQ_ERR_FORMAT);
        ck_assert_uint_ge(error.count, 1);
        cq_error_clear(&error);
    }
    free(bytes);
    cq_study_read *read = NULL;
    ck_assert_int_eq(cq_study_file_read(&read, in_place("none.h5"), NULL), CQ_ERR_FILE);
}
END_TEST

START_TEST(two_programs_do_not_share_it) {
    const cq_study_about about = study_about(1, 1);
    cq_study_table *table = study_table();
    cq_study_file *first = NULL, *second = NULL;
    cq_error error = CQ_ERROR_INIT;
    ck_assert_int_ge(cq_study_file_open(&first, in_place("a.h5"), &about, table, NULL), 0);
    ck_assert_int_eq(cq_study_file_open(&second, in_place("a.h5"), &about, table, &error), CQ_ERR_FILE);
    ck_assert_ptr_nonnull(strstr(error.items[0].found, "another program"));
    cq_error_clear(&error);
    cq_study_file_close(first, NULL);
    cq_study_table_free(table);
}
END_TEST

/* A full disk: the limit on the size of files stands for it. */
START_TEST(a_full_disk_loses_nothing) {
    const cq_study_about about = study_about(1, 1);
    cq_study_table *table = study_table();
    cq_study_file *file = NULL;
    cq_error error = CQ_ERROR_INIT;
    struct stat info;
    ck_assert_int_ge(cq_study_file_open(&file, in_place("a.h5"), &about, table, NULL), 0);
    cq_row row = {.state = CQ_ROW_DONE};
    ck_assert_int_eq(cq_study_file_keep(file, 0, &row, &error), CQ_OK);
    ck_assert_int_eq(stat(in_place("a.h5"), &info), 0);
    struct rlimit old, small;
    signal(SIGXFSZ, SIG_IGN);
    getrlimit(RLIMIT_FSIZE, &old);
    small = (struct rlimit){(rlim_t)info.st_size / 2, old.rlim_max};
    setrlimit(RLIMIT_FSIZE, &small);
    size_t run = 1;
    cq_status status = CQ_OK;
    while (run < STUDY_RUNS && status >= 0) {
        status = cq_study_file_keep(file, run++, &row, &error);
    }
    setrlimit(RLIMIT_FSIZE, &old);
    ck_assert_int_eq(status, CQ_ERR_FILE);
    ck_assert_ptr_nonnull(strstr(error.items[0].found, "rows before this one are safe"));
    cq_study_file_close(file, NULL);
    cq_study_read *read = NULL;
    ck_assert_int_eq(cq_study_file_read(&read, in_place("a.h5"), NULL), CQ_OK);
    ck_assert_uint_eq(cq_study_table_count(read->table, STUDY_RUNS, CQ_ROW_DONE), run - 1);
    cq_study_read_free(read);
    cq_error_clear(&error);
    cq_study_table_free(table);
}
END_TEST

/* ---- killed ------------------------------------------------------------------------------------------------------ */

typedef struct teller {
    cq_study_file *file;
    int pipe;
} teller;

static cq_status keep_and_tell(void *context, size_t run, const cq_row *row, cq_error *error) {
    const teller *t = context;
    const cq_status status = cq_study_file_keep(t->file, run, row, error);
    const unsigned char number = (unsigned char)run;
    return status < 0 || write(t->pipe, &number, 1) != 1 ? CQ_ERR_FILE : CQ_OK;
}

static void run_as_child(const char *path, int out) {
    const cq_study_about about = study_about(1, 1);
    const cq_study_options options = {.threads = 2};
    cq_study_table *table = study_table();
    teller t = {.pipe = out};
    if (cq_study_file_open(&t.file, path, &about, table, NULL) >= 0) {
        cq_study_go(table, &study_source, &options, &(cq_study_sink){keep_and_tell, NULL, NULL, &t}, NULL);
        cq_study_file_close(t.file, NULL);
    }
    _exit(0);
}

/* One life: killed after a while; what it told must be in the file. False once the study is finished. */
static bool live_and_die(const char *path, long after_us) {
    int ends[2];
    unsigned char told[STUDY_RUNS + 1];
    ck_assert_int_eq(pipe(ends), 0);
    const pid_t child = fork();
    ck_assert_int_ge(child, 0);
    if (child == 0) {
        run_as_child(path, ends[1]);
    }
    close(ends[1]);
    nanosleep(&(struct timespec){0, 1000 * after_us}, NULL);
    kill(child, SIGKILL);
    ck_assert_int_eq(waitpid(child, NULL, 0), child);
    const ssize_t n = read(ends[0], told, sizeof told);
    close(ends[0]);
    if (access(path, F_OK) != 0) {
        ck_assert_int_eq(n, 0);
        return true; /* killed before there was a file */
    }
    cq_study_read *file = NULL;
    ck_assert_int_eq(cq_study_file_read(&file, path, NULL), CQ_OK);
    for (ssize_t i = 0; i < n; i++) {
        ck_assert_int_ne(file->table->row[told[i]].state, CQ_ROW_OPEN);
    }
    const bool open = cq_study_table_count(file->table, STUDY_RUNS, CQ_ROW_OPEN) > 0;
    cq_study_read_free(file);
    return open;
}

START_TEST(killed_at_any_moment) {
    cq_study_table_free(carry_out(in_place("whole.h5"), 1, 1, 2));
    int lives = 0;
    for (int round = 0; lives < 50; round++) {
        char path[128];
        snprintf(path, sizeof path, "%s/%d.h5", place, round);
        bool open = true;
        for (int life = 0; open && life < 25; life++, lives++) {
            open = live_and_die(path, 500 + 1700 * ((lives * 7) % 12));
        }
        cq_study_table_free(carry_out(path, 1, 1, 2));
        same_bytes(path, in_place("whole.h5"));
    }
}
END_TEST

int main(void) {
    TCase *tc = tcase_create("study file");
    tcase_set_timeout(tc, 240);
    tcase_add_checked_fixture(tc, place_make, place_remove);
    tcase_add_test(tc, reads_back_what_was_kept);
    tcase_add_test(tc, threads_leave_the_same_bytes);
    tcase_add_test(tc, parts_join_to_the_bytes_of_the_whole);
    tcase_add_test(tc, an_unfinished_part_does_not_join);
    tcase_add_test(tc, another_study_is_refused);
    tcase_add_test(tc, what_is_no_study_is_refused);
    tcase_add_test(tc, two_programs_do_not_share_it);
    tcase_add_test(tc, a_full_disk_loses_nothing);
    tcase_add_test(tc, killed_at_any_moment);
    return run_case(tc, "study file");
}
