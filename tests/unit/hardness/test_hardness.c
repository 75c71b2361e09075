/* test_hardness.c - hardness of each structure, of mixtures, and the Rockwell scale. */
#include "../../suite.h"
#include "hardness/hardness.h"

#include <check.h>
#include <math.h>
#include <stdlib.h>

#define ROUNDING 1e-9 /* sums of a few hundred HV in double */

static const cq_composition plain = {.C = 0.79, .Mn = 0.76, .Si = 0.20}; /* the steel the tables were read for */

/* Martensite of carbon C by the A255 polynomial, HRC: a second route to the table, 0.10 to 0.60 % C [asm-a255], from
 * memory. */
static double polynomial_HRC(double C) {
    return 35.395 + C * (6.990 + C * (312.330 + C * (-821.744 + C * (1015.479 - C * 538.346))));
}

START_TEST(martensite_agrees_with_the_polynomial) {
    ck_assert_double_eq_tol(polynomial_HRC(0.45), 58.6, 0.1); /* printed to a tenth */
    ck_assert_double_eq_tol(polynomial_HRC(0.60), 64.3, 0.1);
    for (double C = 0.10; C < 0.601; C += 0.02) {
        /* 0.5 HRC: monotone curve between points 0.1 % apart; at 0.6 % the high-carbon curve, 20 HV lower, takes over
         */
        const double allowed = C < 0.5 ? 0.5 : 1.0;
        ck_assert_double_eq_tol(cq_hardness_HRC(cq_hardness_martensite_HV(C)), polynomial_HRC(C), allowed);
    }
}
END_TEST

START_TEST(martensite_rises_with_carbon) {
    double before = 0.0;
    for (double C = 0.0; C <= 1.2; C += 0.01) {
        const double HV = cq_hardness_martensite_HV(C);
        ck_assert_double_gt(HV, before);
        before = HV;
    }
    ck_assert_double_eq_tol(cq_hardness_martensite_HV(1.5), cq_hardness_martensite_HV(1.2), ROUNDING);
}
END_TEST

START_TEST(coarser_products_are_softer) {
    const double at_C[] = {482, 538, 593, 650, 705},
                 HV[] = {395, 392, 372, 318, 215}; /* the isothermal diagram's column */
    for (int n = 0; n < 5; n++) {
        ck_assert_double_eq_tol(cq_hardness_pearlite_HV(&plain, at_C[n] + 273.15), HV[n], ROUNDING);
    }
    for (double T_K = 480.0; T_K < 1000.0; T_K += 1.0) {
        ck_assert_double_le(cq_hardness_pearlite_HV(&plain, T_K + 1.0), cq_hardness_pearlite_HV(&plain, T_K));
        ck_assert_double_le(cq_hardness_bainite_HV(&plain, 0.79, T_K + 1.0), cq_hardness_bainite_HV(&plain, 0.79, T_K));
    }
    ck_assert_double_eq_tol(cq_hardness_bainite_HV(&plain, 0.79, 316 + 273.15), 513.0, ROUNDING);
}
END_TEST

START_TEST(composition_counts) {
    cq_composition other = plain;
    other.Mn += 0.1, other.Si += 0.1, other.Cr += 0.1;
    const double T_K = 873.15;
    ck_assert_double_eq_tol(cq_hardness_pearlite_HV(&other, T_K) - cq_hardness_pearlite_HV(&plain, T_K),
                            3.0 + 4.0 + 1.2, ROUNDING);
    ck_assert_double_eq_tol(cq_hardness_bainite_HV(&other, 0.79, T_K) - cq_hardness_bainite_HV(&plain, 0.79, T_K),
                            2.0 + 2.0, ROUNDING);
    other = plain;
    other.C = 0.45;
    ck_assert_double_lt(cq_hardness_pearlite_HV(&other, T_K), cq_hardness_pearlite_HV(&plain, T_K));
    other.C = 1.0; /* total carbon counts up to 1 % and no further */
    const double at_one = cq_hardness_pearlite_HV(&other, T_K);
    ck_assert_double_gt(at_one, cq_hardness_pearlite_HV(&plain, T_K));
    other.C = 1.3;
    ck_assert_double_eq_tol(cq_hardness_pearlite_HV(&other, T_K), at_one, ROUNDING);
}
END_TEST

START_TEST(mixture_is_a_sum_in_vickers) {
    cq_steel steel = {.composition_wt = plain, .hardness_shift_HV = 0.0};
    const double f[CQ_PHASES] = {0.1, 0.2, 0.1, 0.1, 0.5}, formed = 0.1 * 380.0 + 0.1 * 450.0;
    const double martensite = cq_hardness_martensite_HV(0.79);
    const double sum =
        cq_hardness_mixture_HV(&steel, &(cq_matrix){.carbon_solution_wt = 0.79, .carbide = 0.0}, f, formed);
    ck_assert_double_eq_tol(sum, formed + 0.1 * 250.0 + 0.2 * CQ_FERRITE_HV + 0.5 * martensite, ROUNDING);
    ck_assert_double_eq_tol(
        cq_hardness_mixture_HV(&steel, &(cq_matrix){.carbon_solution_wt = 0.79, .carbide = 0.02}, f, formed) - sum,
        0.5 * 250.0 * 0.02, ROUNDING);
    steel.hardness_shift_HV = 20.0; /* acts on martensite only */
    ck_assert_double_eq_tol(
        cq_hardness_mixture_HV(&steel, &(cq_matrix){.carbon_solution_wt = 0.79, .carbide = 0.0}, f, formed) - sum,
        0.5 * 20.0, ROUNDING);
}
END_TEST

START_TEST(rockwell_goes_both_ways) {
    double before = 0.0;
    for (double HRC = 20.0; HRC <= 68.0; HRC += 0.125) {
        const double HV = cq_hardness_HV(HRC);
        ck_assert_double_gt(HV, before);
        ck_assert_double_eq_tol(cq_hardness_HRC(HV), HRC, ROUNDING);
        before = HV;
    }
}
END_TEST

START_TEST(rockwell_knows_its_ends) {
    ck_assert_double_nan(cq_hardness_HRC(237.9));
    ck_assert_double_nan(cq_hardness_HRC(NAN));
    ck_assert_double_eq_tol(cq_hardness_HRC(238.0), 20.0, ROUNDING);
    ck_assert_double_eq_tol(cq_hardness_HRC(1100.0), 68.0, ROUNDING);
    ck_assert_double_nan(cq_hardness_HV(19.9));
    ck_assert_double_nan(cq_hardness_HV(68.1));
    ck_assert_double_nan(cq_hardness_HV(NAN));
}
END_TEST

int main(void) {
    Suite *suite = suite_create("hardness");
    TCase *all = tcase_create("all");
    tcase_add_test(all, martensite_agrees_with_the_polynomial);
    tcase_add_test(all, martensite_rises_with_carbon);
    tcase_add_test(all, coarser_products_are_softer);
    tcase_add_test(all, composition_counts);
    tcase_add_test(all, mixture_is_a_sum_in_vickers);
    tcase_add_test(all, rockwell_goes_both_ways);
    tcase_add_test(all, rockwell_knows_its_ends);
    suite_add_tcase(suite, all);
    return run_suite(suite);
}
