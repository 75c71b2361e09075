/* test_table.c - one quantity against another. */
#include "../../suite.h"

#include <clayquench/table.h>

#include <check.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_interp.h>
#include <math.h>
#include <stdlib.h>

#define ROUNDING 1e-13 /* a few operations on numbers of order one */

static const double x[] = {0.0, 1.0, 3.0, 4.0}, y[] = {0.0, 2.0, 2.0, 5.0};
static const cq_table straight = {4, x, y, CQ_INTERPOLATE_LINEAR}, smooth = {4, x, y, CQ_INTERPOLATE_MONOTONE};

START_TEST(passes_through_its_points) {
    for (size_t i = 0; i < 4; i++) {
        size_t outside = 0;
        ck_assert_double_eq_tol(cq_table_eval(&straight, x[i], &outside), y[i], ROUNDING);
        ck_assert_double_eq_tol(cq_table_eval(&smooth, x[i], &outside), y[i], ROUNDING);
        ck_assert_uint_eq(outside, 0);
    }
    ck_assert_double_eq_tol(cq_table_eval(&straight, 0.25, NULL), 0.5, ROUNDING);
    ck_assert_double_eq_tol(cq_table_slope(&straight, 3.5), 3.0, ROUNDING);
}
END_TEST

START_TEST(tells_extrapolation) {
    size_t outside = 0;
    ck_assert_double_eq_tol(cq_table_eval(&straight, -5.0, &outside), 0.0, ROUNDING);
    ck_assert_double_eq_tol(cq_table_eval(&smooth, 9.0, &outside), 5.0, ROUNDING);
    ck_assert_uint_eq(outside, 2);
    ck_assert_double_eq_tol(cq_table_slope(&straight, 9.0), 0.0, ROUNDING);
    const double one_x[] = {1.0}, one_y[] = {7.0};
    const cq_table constant = {1, one_x, one_y, CQ_INTERPOLATE_LINEAR};
    ck_assert_double_eq_tol(cq_table_eval(&constant, 500.0, &outside), 7.0, ROUNDING);
    ck_assert_uint_eq(outside, 2); /* a constant holds everywhere */
}
END_TEST

/* Steffen's curve neither overshoots a plateau nor leaves the range of its neighbours, and its slope is that of its
 * values. */
START_TEST(stays_monotone) {
    double before = -1.0;
    for (int i = 0; i <= 400; i++) {
        const double at = 0.01 * i, value = cq_table_eval(&smooth, at, NULL);
        ck_assert_double_ge(value, before - ROUNDING);
        before = value;
        if (i > 0 && i < 400 && i % 100 != 0) {
            const double h = 1e-6,
                         numeric =
                             (cq_table_eval(&smooth, at + h, NULL) - cq_table_eval(&smooth, at - h, NULL)) / (2.0 * h);
            ck_assert_double_eq_tol(cq_table_slope(&smooth, at), numeric, 1e-7); /* h^2 of a cubic, and 1e-16 / h */
        }
    }
    ck_assert_double_eq_tol(cq_table_eval(&smooth, 2.0, NULL), 2.0, ROUNDING);
}
END_TEST

/* The same curve by another's hand: GSL's, over points that rise, fall, turn and lie unevenly. Not in the first and
 * last piece: there GSL takes the secant for the end's slope, this table the paper's one-sided parabola. */
START_TEST(is_the_curve_of_the_gsl) {
    static const double at[] = {0.0, 0.3, 1.0, 1.1, 2.5, 4.0, 7.0}, value[] = {1.0, 5.0, 4.5, 4.4, -2.0, -2.0, 3.0};
    const cq_table table = {7, at, value, CQ_INTERPOLATE_MONOTONE};
    gsl_interp *gsl = gsl_interp_alloc(gsl_interp_steffen, 7);
    ck_assert_int_eq(gsl_interp_init(gsl, at, value, 7), GSL_SUCCESS);
    for (double s = at[1]; s < at[5]; s += 0.01) {
        const double scale = 50.0; /* of the slopes */
        ck_assert_double_eq_tol(cq_table_eval(&table, s, NULL), gsl_interp_eval(gsl, at, value, s, NULL),
                                ROUNDING * scale);
        ck_assert_double_eq_tol(cq_table_slope(&table, s), gsl_interp_eval_deriv(gsl, at, value, s, NULL),
                                ROUNDING * scale);
    }
    gsl_interp_free(gsl);
}
END_TEST

START_TEST(knows_what_is_none) {
    const double falls[] = {0.0, 2.0, 1.0, 3.0}, twice[] = {0.0, 1.0, 1.0, 2.0}, holed[] = {0.0, NAN, 2.0, 3.0};
    ck_assert(cq_table_is_valid(&straight));
    ck_assert(!cq_table_is_valid(&(cq_table){0, x, y, CQ_INTERPOLATE_LINEAR}));
    ck_assert(!cq_table_is_valid(&(cq_table){4, falls, y, CQ_INTERPOLATE_LINEAR}));
    ck_assert(!cq_table_is_valid(&(cq_table){4, twice, y, CQ_INTERPOLATE_LINEAR}));
    ck_assert(!cq_table_is_valid(&(cq_table){4, x, holed, CQ_INTERPOLATE_LINEAR}));
    ck_assert(!cq_table_is_valid(&(cq_table){4, holed, y, CQ_INTERPOLATE_LINEAR}));
}
END_TEST

int main(void) {
    Suite *suite = suite_create("table");
    TCase *tcase = tcase_create("table");
    tcase_add_test(tcase, passes_through_its_points);
    tcase_add_test(tcase, tells_extrapolation);
    tcase_add_test(tcase, stays_monotone);
    tcase_add_test(tcase, is_the_curve_of_the_gsl);
    tcase_add_test(tcase, knows_what_is_none);
    suite_add_tcase(suite, tcase);
    return run_suite(suite);
}
