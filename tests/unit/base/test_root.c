/* test_root.c - roots of one variable: the root itself, no root, a function that breaks, and no memory. */
#include "../../suite.h"
#include "base/memory.h"
#include "base/root.h"

#include <check.h>
#include <math.h>
#include <stdlib.h>

static int calls;

static double cube(const void *context, double x) {
    calls++;
    return x * x * x - *(const double *)context;
}

static double broken(const void *context, double x) {
    (void)context;
    return fabs(x) < 0.9 ? NAN : x;
}

static double step(const void *context, double x) {
    (void)context;
    return x < 0.25 ? -1.0 : 1.0;
}

START_TEST(finds_the_root) {
    for (double root = -7.5; root < 8.0; root += 0.5) { /* 0 among them: a triple root, where Brent can only bisect */
        const double cubed = root * root * root;
        calls = 0;
        ck_assert_double_eq_tol(cq_root_between(cube, &cubed, &(cq_root_bracket){-10.0, 11.0, 1e-9}), root, 1e-9);
        ck_assert_int_lt(calls, fabs(root) > 0.1 ? 25 : 100); /* bisection needs 34 */
    }
    const double eight = 8.0;
    ck_assert_double_eq_tol(cq_root_between(cube, &eight, &(cq_root_bracket){2.0, 5.0, 1e-9}), 2.0,
                            1e-9); /* at an end */
    ck_assert_double_eq_tol(cq_root_between(cube, &eight, &(cq_root_bracket){0.0, 2.0, 1e-9}), 2.0, 1e-9);
    ck_assert_double_eq_tol(cq_root_between(step, NULL, &(cq_root_bracket){-3.0, 1.0, 1e-9}), 0.25, 1e-9);
}
END_TEST

START_TEST(no_root_is_not_a_number) {
    const double eight = 8.0;
    ck_assert_double_nan(cq_root_between(cube, &eight, &(cq_root_bracket){3.0, 5.0, 1e-9}));
    ck_assert_double_nan(cq_root_between(cube, &eight, &(cq_root_bracket){5.0, 1.0, 1e-9}));
    ck_assert_double_nan(cq_root_between(cube, &eight, &(cq_root_bracket){NAN, 5.0, 1e-9}));
    ck_assert_double_nan(cq_root_between(broken, NULL, &(cq_root_bracket){-1.0, 1.0, 1e-9})); /* on the way */
    ck_assert_double_nan(cq_root_between(broken, NULL, &(cq_root_bracket){-0.5, 1.0, 1e-9})); /* at an end */
}
END_TEST

START_TEST(takes_no_memory) {
    const double eight = 8.0;
    const unsigned long before = cq_memory_count();
    cq_memory_fail_after(0);
    ck_assert_double_eq_tol(cq_root_between(cube, &eight, &(cq_root_bracket){0.0, 5.0, 1e-9}), 2.0, 1e-9);
    cq_memory_fail_after(-1);
    ck_assert_uint_eq(cq_memory_count(), before);
}
END_TEST

int main(void) {
    Suite *suite = suite_create("root");
    TCase *tcase = tcase_create("root");
    tcase_add_test(tcase, finds_the_root);
    tcase_add_test(tcase, no_root_is_not_a_number);
    tcase_add_test(tcase, takes_no_memory);
    suite_add_tcase(suite, tcase);
    return run_suite(suite);
}
