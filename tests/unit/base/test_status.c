/* test_status.c - statuses and collected complaints. */
#include "../../suite.h"
#include "base/memory.h"

#include <clayquench/status.h>

#include <check.h>
#include <stdlib.h>
#include <string.h>

START_TEST(has_a_sentence_for_each) {
#define CHECK(name, value, sentence)                                                                                   \
    ck_assert_int_eq(name, value);                                                                                     \
    ck_assert_str_eq(cq_status_sentence(name), sentence);
    CQ_STATUS_LIST(CHECK)
#undef CHECK
    ck_assert_ptr_nonnull(cq_status_sentence((cq_status)-99));
}
END_TEST

START_TEST(collects_in_order) {
    cq_error error = CQ_ERROR_INIT;
    for (int i = 0; i < 50; i++) {
        ck_assert_int_eq(cq_error_say(&error, CQ_ERR_PLAN, "blade.edge", "more", NULL, "number %d", i), CQ_ERR_PLAN);
    }
    ck_assert_uint_eq(error.count, 50);
    ck_assert_str_eq(error.items[49].found, "number 49");
    ck_assert_str_eq(error.items[7].key, "blade.edge");
    ck_assert_str_eq(error.items[7].remedy, "");
    ck_assert_int_eq(error.items[7].line, 0);
    cq_error_clear(&error);
    ck_assert_uint_eq(error.count, 0);
    ck_assert_ptr_null(error.items);
    cq_error_clear(&error);
    cq_error_clear(NULL);
}
END_TEST

START_TEST(cuts_what_is_too_long) {
    char endless[1000];
    cq_error error = CQ_ERROR_INIT;
    memset(endless, 'x', sizeof endless - 1);
    endless[sizeof endless - 1] = '\0';
    cq_error_say(&error, CQ_ERR_STEP, endless, endless, endless, "%s", endless);
    ck_assert_uint_eq(strlen(error.items[0].found), sizeof error.items[0].found - 1);
    ck_assert_uint_eq(strlen(error.items[0].key), sizeof error.items[0].key - 1);
    cq_error_clear(&error);
}
END_TEST

START_TEST(counts_what_it_cannot_keep) {
    cq_error error = CQ_ERROR_INIT;
    cq_memory_fail_after(0);
    ck_assert_int_eq(cq_error_say(&error, CQ_ERR_PLAN, "", "", "", "lost"), CQ_ERR_PLAN);
    cq_memory_fail_after(-1);
    ck_assert_uint_eq(error.lost, 1);
    ck_assert_uint_eq(error.count, 0);
    ck_assert_int_eq(cq_error_say(NULL, CQ_ERR_FILE, "", "", "", "nobody listens"), CQ_ERR_FILE);
    cq_error_clear(&error);
}
END_TEST

int main(void) {
    Suite *suite = suite_create("status");
    TCase *tcase = tcase_create("status");
    tcase_add_test(tcase, has_a_sentence_for_each);
    tcase_add_test(tcase, collects_in_order);
    tcase_add_test(tcase, cuts_what_is_too_long);
    tcase_add_test(tcase, counts_what_it_cannot_keep);
    suite_add_tcase(suite, tcase);
    return run_suite(suite);
}
