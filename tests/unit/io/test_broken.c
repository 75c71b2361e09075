/* test_broken.c - every file of tests/broken gets the complaints its last lines announce: all of them, in this order,
 * each at its place, and no others.
 *
 *     # expect [FILE:]LINE:COLUMN KEY | FOUND | REMEDY      KEY "-": none; FOUND "*": whatever the YAML library says
 */
#define _POSIX_C_SOURCE 200809L
#include "reading.h"

#include <dirent.h>

enum { MOST_FILES = 200 };
static char *name[MOST_FILES];
static int names_n;

static int by_name(const void *a, const void *b) {
    return strcmp(*(char *const *)a, *(char *const *)b);
}

static void list_files(void) {
    DIR *folder = opendir(CQ_BROKEN);
    const struct dirent *entry;
    while (folder != NULL && (entry = readdir(folder)) != NULL && names_n < MOST_FILES) {
        const size_t n = strlen(entry->d_name);
        if (n > 5 && strcmp(entry->d_name + n - 5, ".yaml") == 0) {
            name[names_n++] = strdup(entry->d_name);
        }
    }
    if (folder != NULL) {
        closedir(folder);
    }
    qsort(name, (size_t)names_n, sizeof name[0], by_name);
}

/* Line `line` of a file, without its end. */
static void line_of(const char *path, int line, char *to, size_t size) {
    FILE *file = fopen(path, "r");
    ck_assert_ptr_nonnull(file);
    for (int n = 0; n < line; n++) {
        ck_assert_ptr_nonnull(fgets(to, (int)size, file));
    }
    fclose(file);
    to[strcspn(to, "\r\n")] = '\0';
}

static void compare(const char *file, const char *announced, const cq_complaint *c) {
    char where[256], got[1024], path[512], line[300];
    const size_t folder = strlen(CQ_BROKEN "/");
    ck_assert_int_eq(strncmp(c->file, CQ_BROKEN "/", folder), 0);
    snprintf(where, sizeof where, "%s%s%d:%d", strcmp(c->file + folder, file) == 0 ? "" : c->file + folder,
             strcmp(c->file + folder, file) == 0 ? "" : ":", c->line, c->column);
    const bool any = strstr(announced, "| * |") != NULL;
    snprintf(got, sizeof got, "# expect %s %s | %s | %s", where, c->key[0] == '\0' ? "-" : c->key, any ? "*" : c->found,
             c->remedy);
    ck_assert_str_eq(got, announced);
    ck_assert_int_eq(c->status, CQ_ERR_PLAN);
    ck_assert_msg(c->expected[0] != '\0', "%s does not say what was expected", announced);
    snprintf(path, sizeof path, "%s", c->file);
    line_of(path, c->line, line, sizeof line);
    if (strstr(file, "utf-8") == NULL) { /* the broken byte itself is shown as '?' */
        ck_assert_str_eq(c->source_line, line);
    }
}

START_TEST(complains_as_announced) {
    char path[512], line[1024];
    cq_plan plan;
    cq_plan_init(&plan);
    forget();
    snprintf(path, sizeof path, "%s/%s", CQ_BROKEN, name[_i]);
    ck_assert_int_eq(cq_plan_read(&plan, path, &SHIPPED, &told), CQ_ERR_PLAN);
    FILE *file = fopen(path, "r");
    size_t announced = 0;
    while (fgets(line, sizeof line, file) != NULL) {
        if (strncmp(line, "# expect ", 9) == 0) {
            line[strcspn(line, "\n")] = '\0';
            ck_assert_msg(announced < told.count, "%s: no complaint for: %s", name[_i], line);
            compare(name[_i], line, &told.items[announced++]);
        }
    }
    fclose(file);
    ck_assert_msg(announced == told.count, "%s: a complaint nobody announced: %s %s", name[_i],
                  told.items[announced].key, told.items[announced].found);
    ck_assert_uint_ge(announced, 1);
}
END_TEST

/* cq_file_check says the same as cq_plan_read. */
START_TEST(check_says_the_same) {
    char path[512];
    cq_plan plan;
    cq_error checked = CQ_ERROR_INIT;
    cq_plan_init(&plan);
    forget();
    snprintf(path, sizeof path, "%s/%s", CQ_BROKEN, name[_i]);
    cq_plan_read(&plan, path, &SHIPPED, &told);
    ck_assert_int_eq(cq_file_check(path, &SHIPPED, &checked), CQ_ERR_PLAN);
    ck_assert_uint_eq(checked.count, told.count);
    for (size_t c = 0; c < told.count; c++) {
        ck_assert_mem_eq(&checked.items[c], &told.items[c], sizeof told.items[c]);
    }
    cq_error_clear(&checked);
}
END_TEST

START_TEST(empty_and_binary) {
    cq_plan plan;
    static const char binary[] = "format: clayquench-plan 1\n\0\x7f";
    ck_assert_int_eq(read_text(&plan, ""), CQ_ERR_PLAN);
    ck_assert_uint_eq(told.count, 1);
    ck_assert_str_eq(told.items[0].found, "an empty file");
    ck_assert_int_eq(told.items[0].line, 1);
    ck_assert_int_eq(read_text(&plan, "# only a remark\n"), CQ_ERR_PLAN);
    ck_assert_str_eq(told.items[0].found, "an empty file");
    forget();
    ck_assert_int_eq(cq_plan_read_text(&plan, binary, sizeof binary, "binary", NULL, NULL, &told), CQ_ERR_PLAN);
    ck_assert_uint_eq(told.count, 1);
    ck_assert_str_eq(told.items[0].found, "a binary file");
    ck_assert_int_eq(told.items[0].line, 2);
}
END_TEST

/* A terminal must not be led astray by what stands in a file. */
START_TEST(shows_no_control_characters) {
    cq_plan plan;
    ck_assert_int_eq(read_text(&plan, "format: clayquench-plan 1\n\"\\e[31m\": 1\ntitle: \"\x1b[2J\"\n"), CQ_ERR_PLAN);
    for (size_t c = 0; c < told.count; c++) {
        ck_assert_ptr_null(strchr(told.items[c].found, '\x1b'));
        ck_assert_ptr_null(strchr(told.items[c].key, '\x1b'));
        ck_assert_ptr_null(strchr(told.items[c].source_line, '\x1b'));
    }
}
END_TEST

int main(void) {
    TCase *tcase = tcase_create("broken");
    list_files();
    if (names_n < 60) {
        fprintf(stderr, "only %d files in %s\n", names_n, CQ_BROKEN);
        return EXIT_FAILURE;
    }
    tcase_add_checked_fixture(tcase, NULL, forget);
    tcase_add_loop_test(tcase, complains_as_announced, 0, names_n);
    tcase_add_loop_test(tcase, check_says_the_same, 0, names_n);
    tcase_add_test(tcase, empty_and_binary);
    tcase_add_test(tcase, shows_no_control_characters);
    const int failed = run_case(tcase, "broken");
    for (int n = 0; n < names_n; n++) {
        free(name[n]);
    }
    return failed;
}
