/* test_faults.c - memory that runs short at any place: no crash, no leak (under the sanitizer), a plain status. */
#include "base/memory.h"
#include "base/units.h"
#include "reading.h"

enum { MOST_ALLOCATIONS = 2000 };
static cq_units *open_units;

static void set_up(void) {
    open_units = cq_units_open(); /* so that it is not loaded again for every failure */
}

static void tear_down(void) {
    cq_memory_fail_after(-1);
    cq_units_close(open_units);
    forget();
}

static char *load(const char *path) {
    char *text = calloc(1, 8192);
    FILE *file = fopen(path, "r");
    ck_assert_ptr_nonnull(file);
    ck_assert_uint_lt(fread(text, 1, 8191, file), 8191);
    fclose(file);
    return text;
}

static cq_status read_short(const char *text, cq_plan *plan) {
    cq_plan_init(plan);
    forget();
    return cq_plan_read_text(plan, text, strlen(text), "short.yaml", CQ_BROKEN, &SHIPPED, &told);
}

/* Let the n-th allocation fail, for every n there is, with all that follow and alone. Where all would be well the
 * status must say what was short; where there are faults to tell, losing a complaint about them is no other failure.
 * Returns how many there were. */
static long fail_each(const char *text, cq_status end) {
    cq_plan plan;
    const unsigned long before = cq_memory_count();
    ck_assert_int_eq(read_short(text, &plan), end);
    const long all = (long)(cq_memory_count() - before);
    cq_plan_clear(&plan);
    ck_assert_int_lt(all, MOST_ALLOCATIONS);
    for (long n = 0; n < 2 * all; n++) {
        const bool alone = n >= all;
        alone ? cq_memory_fail_once_after(n - all) : cq_memory_fail_after(n);
        const cq_status status = read_short(text, &plan);
        cq_memory_fail_after(-1);
        ck_assert_msg(status == CQ_ERR_MEMORY || (end == CQ_ERR_PLAN && status == CQ_ERR_PLAN),
                      "allocation %ld of %ld failed%s: %s", n % all, all, alone ? " alone" : "",
                      cq_status_sentence(status));
        ck_assert_ptr_null(plan.arena);
        ck_assert_uint_ge(told.count + told.lost, 1);
    }
    return all;
}

START_TEST(reading_a_plan) {
    static const char *const plans[] = {"sloyd-knife", "kitchen-slicer", "long-blade"};
    char path[256];
    snprintf(path, sizeof path, "%s/plans/%s.yaml", CQ_PROFILES, plans[_i]);
    char *text = load(path);
    ck_assert_int_ge(fail_each(text, CQ_OK), 500); /* every node of the plan and of its profiles */
    free(text);
}
END_TEST

START_TEST(reading_a_broken_plan) {
    static const char *const plans[] = {"several",          "duplicate-key",   "faults-in-a-profile",
                                        "names-each-other", "unknown-profile", "probes"};
    char path[256];
    snprintf(path, sizeof path, "%s/%s.yaml", CQ_BROKEN, plans[_i]);
    char *text = load(path);
    ck_assert_int_ge(fail_each(text, CQ_ERR_PLAN), 300);
    free(text);
}
END_TEST

START_TEST(listing_and_explaining) {
    for (long n = 0; n < MOST_ALLOCATIONS; n++) {
        cq_profile_entry *entries = NULL;
        size_t count = 0;
        cq_memory_fail_after(n);
        const cq_status status = cq_profile_list(&SHIPPED, &entries, &count, NULL);
        cq_memory_fail_after(-1);
        cq_profile_list_free(entries);
        if (status == CQ_OK) {
            ck_assert_int_ge(n, 1);
            break;
        }
        ck_assert_int_eq(status, CQ_ERR_MEMORY);
    }
    for (long n = 0; n < MOST_ALLOCATIONS; n++) {
        char *text = NULL, *table = NULL, nearest[64];
        cq_memory_fail_after(n);
        const cq_status status = cq_explain("coat", &text, nearest), tabled = cq_key_table_markdown(&table);
        cq_memory_fail_after(-1);
        ck_assert((status == CQ_OK) == (text != NULL));
        ck_assert((tabled == CQ_OK) == (table != NULL));
        cq_text_free(text);
        cq_text_free(table);
        if (status == CQ_OK && tabled == CQ_OK) {
            break;
        }
        ck_assert(status == CQ_ERR_MEMORY || tabled == CQ_ERR_MEMORY);
    }
}
END_TEST

int main(void) {
    TCase *tcase = tcase_create("faults");
    tcase_set_timeout(tcase, 60.0);
    tcase_add_checked_fixture(tcase, set_up, tear_down);
    tcase_add_loop_test(tcase, reading_a_plan, 0, 3);
    tcase_add_loop_test(tcase, reading_a_broken_plan, 0, 6);
    tcase_add_test(tcase, listing_and_explaining);
    return run_case(tcase, "faults");
}
