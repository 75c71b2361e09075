/* test_files.c - files are read whole and written complete or not at all. */
#define _XOPEN_SOURCE 700
#include "../../place.h"
#include "reading.h"

#include <dirent.h>
#include <signal.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <unistd.h>

static void tear_down(void) {
    forget();
    place_remove();
}

static size_t count_files(void) {
    size_t n = 0;
    DIR *folder = opendir(place);
    const struct dirent *entry;
    while ((entry = readdir(folder)) != NULL) {
        n += entry->d_name[0] != '.';
    }
    closedir(folder);
    return n;
}

static void expect_content(const char *path, const char *text) {
    char got[256] = "";
    FILE *file = fopen(path, "rb");
    ck_assert_ptr_nonnull(file);
    const size_t n = fread(got, 1, sizeof got - 1, file);
    fclose(file);
    ck_assert_uint_eq(n, strlen(text));
    ck_assert_str_eq(got, text);
}

START_TEST(writes_and_replaces) {
    const char *path = in_place("a.txt");
    ck_assert_int_eq(cq_file_write(path, "first", 5, &told), CQ_OK);
    expect_content(path, "first");
    ck_assert_int_eq(cq_file_write(path, "2nd", 3, &told), CQ_OK);
    expect_content(path, "2nd");
    ck_assert_int_eq(cq_file_write(path, "", 0, &told), CQ_OK);
    expect_content(path, "");
    ck_assert_uint_eq(count_files(), 1);
    ck_assert_uint_eq(told.count, 0);
}
END_TEST

static void expect_failure(const char *path) {
    forget();
    ck_assert_int_eq(cq_file_write(path, "text", 4, &told), CQ_ERR_FILE);
    ck_assert_uint_eq(told.count, 1);
    ck_assert_str_eq(told.items[0].file, path);
    ck_assert_ptr_nonnull(strstr(told.items[0].found, "cannot be written: "));
    ck_assert_int_eq(cq_file_write(path, "text", 4, NULL), CQ_ERR_FILE);
}

START_TEST(leaves_nothing_half_written) {
    char long_name[5000];
    const char *folder = in_place("folder");
    mkdir(folder, 0700);
    expect_failure(folder); /* there is a folder of that name */
    expect_failure(in_place("nowhere/a.txt"));
    expect_failure("/proc/clayquench/a.txt");
    memset(long_name, 'x', sizeof long_name - 1);
    long_name[sizeof long_name - 1] = '\0';
    ck_assert_int_eq(cq_file_write(long_name, "text", 4, NULL), CQ_ERR_FILE);
    ck_assert_uint_eq(count_files(), 1);
}
END_TEST

/* A limit on the size of files stands for a disk that fills up: for every size the old file stays and no other. */
START_TEST(survives_a_full_disk) {
    enum { SIZE = 64 * 1024 };
    const char *path = in_place("a.txt");
    char *large = calloc(1, SIZE);
    ck_assert_int_eq(cq_file_write(path, "old", 3, &told), CQ_OK);
    signal(SIGXFSZ, SIG_IGN);
    for (rlim_t limit = 0; limit < SIZE; limit += SIZE / 8) {
        const struct rlimit full = {limit, RLIM_INFINITY}, free_again = {RLIM_INFINITY, RLIM_INFINITY};
        ck_assert_int_eq(setrlimit(RLIMIT_FSIZE, &full), 0);
        const cq_status status = cq_file_write(path, large, SIZE, &told);
        setrlimit(RLIMIT_FSIZE, &free_again);
        ck_assert_int_eq(status, CQ_ERR_FILE);
        expect_content(path, "old");
        ck_assert_uint_eq(count_files(), 1);
    }
    free(large);
}
END_TEST

static cq_status read_plan(const char *path) {
    cq_plan plan;
    cq_plan_init(&plan);
    forget();
    const cq_status status = cq_plan_read(&plan, path, &SHIPPED, &told);
    cq_plan_clear(&plan);
    return status;
}

START_TEST(reads_what_can_be_read) {
    const char *path = in_place("plate.yaml");
    ck_assert_int_eq(cq_file_write(path, PLATE, strlen(PLATE), &told), CQ_OK);
    ck_assert_int_eq(read_plan(path), CQ_OK);
    ck_assert_int_eq(read_plan(place), CQ_ERR_FILE); /* a folder */
    ck_assert_uint_eq(told.count, 1);
    ck_assert_str_eq(told.items[0].file, place);
    ck_assert_int_eq(read_plan(in_place("absent.yaml")), CQ_ERR_FILE);
    ck_assert_int_eq(read_plan("/dev/zero"), CQ_ERR_FILE); /* endless */
    ck_assert_int_eq(cq_file_check(in_place("absent.yaml"), &SHIPPED, NULL), CQ_ERR_FILE);
    if (geteuid() != 0) { /* root may read anything */
        chmod(path, 0);
        ck_assert_int_eq(read_plan(path), CQ_ERR_FILE);
    }
}
END_TEST

START_TEST(reads_a_pipe) {
    const char *path = in_place("pipe");
    ck_assert_int_eq(mkfifo(path, 0600), 0);
    const pid_t child = fork();
    if (child == 0) {
        FILE *pipe = fopen(path, "w");
        fputs(PLATE, pipe);
        fclose(pipe);
        _exit(0);
    }
    ck_assert_int_eq(read_plan(path), CQ_OK);
}
END_TEST

START_TEST(refuses_a_huge_file) {
    const char *path = in_place("huge.yaml");
    FILE *file = fopen(path, "w");
    fputs(PLATE, file);
    ck_assert_int_eq(ftruncate(fileno(file), 100L * 1024 * 1024), 0); /* a hole, no disk space */
    fclose(file);
    ck_assert_int_eq(read_plan(path), CQ_ERR_FILE);
}
END_TEST

int main(void) {
    TCase *tcase = tcase_create("files");
    tcase_add_checked_fixture(tcase, place_make, tear_down);
    tcase_add_test(tcase, writes_and_replaces);
    tcase_add_test(tcase, leaves_nothing_half_written);
    tcase_add_test(tcase, survives_a_full_disk);
    tcase_add_test(tcase, reads_what_can_be_read);
    tcase_add_test(tcase, reads_a_pipe);
    tcase_add_test(tcase, refuses_a_huge_file);
    return run_case(tcase, "files");
}
