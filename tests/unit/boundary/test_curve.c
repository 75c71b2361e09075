/* Tabulated curves: exact where they must be, value and slope of one and the same curve, quiet ends. */
#include "../../suite.h"
#include "boundary/curve.h"

#include "base/memory.h"

#include <math.h>

static double cubic(const void *context, double x) {
    (void)context;
    return 2.0 + x * (-3.0 + x * (0.5 + 0.25 * x));
}

static double cubic_slope(double x) {
    return -3.0 + x * (1.0 + 0.75 * x);
}

START_TEST(even_nodes_meet_a_cubic) {
    cq_curve c;
    ck_assert_int_eq(cq_curve_create(&c, cubic, NULL, -2.0, 3.0, 11), CQ_OK);
    for (double x = -2.0; x <= 3.0; x += 0.037) {
        double slope;
        /* slopes at nodes are central differences of half width 1/32: off by 0.25/32^2 for this cubic */
        ck_assert_double_eq_tol(cq_curve_eval(&c, x, &slope), cubic(NULL, x), 3e-4 * 0.25);
        ck_assert_double_eq_tol(slope, cubic_slope(x), 3e-4);
    }
    cq_curve_clear(&c);
}
END_TEST

START_TEST(outside_it_goes_straight_on) {
    cq_curve c;
    double slope, at_end;
    ck_assert_int_eq(cq_curve_create(&c, cubic, NULL, -2.0, 3.0, 11), CQ_OK);
    const double end = cq_curve_eval(&c, 3.0, &at_end);
    ck_assert_double_eq_tol(cq_curve_eval(&c, 7.0, &slope), end + 4.0 * at_end, 1e-12);
    ck_assert_double_eq_tol(slope, at_end, 1e-12);
    const double start = cq_curve_eval(&c, -2.0, &at_end);
    ck_assert_double_eq_tol(cq_curve_eval(&c, -10.0, &slope), start - 8.0 * at_end, 1e-12);
    ck_assert(isnan(cq_curve_eval(&c, NAN, &slope)));
    cq_curve_clear(&c);
}
END_TEST

static const double X[] = {300, 400, 450, 700, 900}, Y[] = {500, 6000, 5500, 5500, 1000};

START_TEST(pieces_are_the_table) {
    const cq_interpolation ways[] = {CQ_INTERPOLATE_LINEAR, CQ_INTERPOLATE_MONOTONE};
    for (int way = 0; way < 2; way++) {
        const cq_table table = {5, X, Y, ways[way]};
        cq_pieces p;
        ck_assert_int_eq(cq_pieces_create(&p, &table), CQ_OK);
        for (double x = 250.5; x < 1000.0; x += 1.0) { /* half degrees: never on a knot */
            double slope;
            ck_assert_double_eq_tol(cq_pieces_eval(&p, x, &slope), cq_table_eval(&table, x, NULL), 1e-9); /* rounding */
            ck_assert_double_eq_tol(slope, cq_table_slope(&table, x), 1e-9);
        }
        for (int i = 0; i < 5; i++) {
            double slope;
            ck_assert_double_eq_tol(cq_pieces_eval(&p, X[i], &slope), Y[i], 1e-9);
        }
        cq_pieces_clear(&p);
    }
}
END_TEST

START_TEST(one_value_is_a_constant) {
    const cq_table table = {1, X, Y, CQ_INTERPOLATE_MONOTONE};
    cq_pieces p;
    double slope;
    ck_assert_int_eq(cq_pieces_create(&p, &table), CQ_OK);
    ck_assert_double_eq_tol(cq_pieces_eval(&p, 100.0, &slope), 500.0, 1e-12);
    ck_assert_double_eq_tol(cq_pieces_eval(&p, 300.0, &slope), 500.0, 1e-12);
    ck_assert_double_eq_tol(cq_pieces_eval(&p, 2000.0, &slope), 500.0, 1e-12);
    ck_assert_double_eq_tol(slope, 0.0, 1e-12);
    cq_pieces_clear(&p);
}
END_TEST

START_TEST(short_of_memory) {
    const cq_table table = {5, X, Y, CQ_INTERPOLATE_LINEAR};
    cq_curve c;
    cq_pieces p;
    cq_memory_fail_after(0);
    ck_assert_int_eq(cq_curve_create(&c, cubic, NULL, 0.0, 1.0, 3), CQ_ERR_MEMORY);
    ck_assert_int_eq(cq_pieces_create(&p, &table), CQ_ERR_MEMORY);
    cq_memory_fail_after(-1);
}
END_TEST

int main(void) {
    TCase *all = tcase_create("all");
    tcase_add_test(all, even_nodes_meet_a_cubic);
    tcase_add_test(all, outside_it_goes_straight_on);
    tcase_add_test(all, pieces_are_the_table);
    tcase_add_test(all, one_value_is_a_constant);
    tcase_add_test(all, short_of_memory);
    return run_case(all, "boundary curve");
}
