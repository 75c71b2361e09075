/* suite.h - run one suite, or one test case, as the whole of a test program. */
#ifndef TEST_SUITE_H
#define TEST_SUITE_H

#include <check.h>

/* Runs and releases the suite; what main returns. */
static inline int run_suite(Suite *suite) {
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    const int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed != 0;
}

static inline int run_case(TCase *tc, const char *name) {
    Suite *suite = suite_create(name);
    suite_add_tcase(suite, tc);
    return run_suite(suite);
}

#endif
