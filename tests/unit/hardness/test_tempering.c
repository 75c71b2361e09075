/* test_tempering.c - the tempering law's shape and its bookkeeping; published hardness is judged in tests/physics. */
#include "../../suite.h"
#include "hardness/tempering.h"

#include <check.h>
#include <math.h>
#include <stdlib.h>

#define ROUNDING 1e-9 /* a power of ten and its logarithm, at P of order ten */

static const cq_steel steel = {.composition_wt = {.C = 0.84, .Mn = 0.75, .Si = 0.22}, .time_factor = 1.0};
static const double martensite[CQ_PHASES] = {[CQ_MARTENSITE] = 1.0};

static cq_temper temper(double T_C, double hours) {
    return (cq_temper){T_C + 273.15, 3600.0 * hours};
}

static double tempered_HV(const double fraction[CQ_PHASES], double hard_HV, double T_C, double hours) {
    const cq_temper t = temper(T_C, hours);
    return cq_temper_mixture_HV(&steel, &(cq_matrix){.carbon_solution_wt = 0.84, .carbide = 0.0}, fraction, hard_HV, &t,
                                1);
}

START_TEST(tempers_in_a_row_add_as_time) {
    const cq_temper twice[] = {temper(200, 1), temper(200, 1)}, once = temper(200, 2);
    ck_assert_double_eq_tol(cq_temper_parameter(0.0, twice, 2), cq_temper_parameter(0.0, &once, 1), ROUNDING);
    const cq_temper up[] = {temper(150, 1), temper(250, 1)}, down[] = {temper(250, 1), temper(150, 1)},
                    hot = temper(250, 1);
    const double P = cq_temper_parameter(0.0, &hot, 1);
    ck_assert_double_gt(cq_temper_parameter(0.0, up, 2), P);
    ck_assert_double_ge(cq_temper_parameter(0.0, down, 2), P); /* a cooler second temper never takes anything back */
    ck_assert_double_eq_tol(cq_temper_parameter(0.0, down, 2), P,
                            1e-3); /* 100 K cooler: equal time is thousands of hours */
    ck_assert_double_eq_tol(cq_temper_parameter(0.0, NULL, 0), 0.0, ROUNDING);
}
END_TEST

START_TEST(tempering_only_softens_martensite) {
    for (double as_quenched = 30.0; as_quenched <= 67.0; as_quenched += 1.0) {
        double before = as_quenched;
        for (double P = 6.0; P < 20.0; P += 0.1) {
            const double HRC = cq_temper_martensite_HRC(&steel.composition_wt, 0.84, as_quenched, P);
            ck_assert_double_le(HRC, before);
            before = HRC;
        }
    }
}
END_TEST

START_TEST(no_temper_is_as_quenched) {
    const double f[CQ_PHASES] = {0.1, 0.2, 0.1, 0.1, 0.5};
    ck_assert_double_eq_tol(
        cq_temper_mixture_HV(&steel, &(cq_matrix){.carbon_solution_wt = 0.8, .carbide = 0.01}, f, 83.0, NULL, 0),
        cq_hardness_mixture_HV(&steel, &(cq_matrix){.carbon_solution_wt = 0.8, .carbide = 0.01}, f, 83.0), ROUNDING);
}
END_TEST

START_TEST(hotter_is_softer) {
    const double f[CQ_PHASES] = {0.05, 0.0, 0.3, 0.1, 0.55};
    double pure = 1e9, mixed = 1e9;
    for (double T_C = 100.0; T_C <= 700.0; T_C += 10.0) {
        ck_assert_double_le(tempered_HV(martensite, 0.0, T_C, 1.0), pure);
        pure = tempered_HV(martensite, 0.0, T_C, 1.0);
        if (T_C >= 350.0) { /* below, retained austenite turning into a harder product may outweigh the rest */
            ck_assert_double_le(tempered_HV(f, 155.0, T_C, 1.0), mixed);
            mixed = tempered_HV(f, 155.0, T_C, 1.0);
        }
    }
}
END_TEST

START_TEST(pearlite_softens_only_when_martensite_would_be_softer) {
    const double pearlite[CQ_PHASES] = {[CQ_PEARLITE] = 1.0};
    ck_assert_double_eq_tol(tempered_HV(pearlite, 380.0, 300, 2), 380.0, ROUNDING);
    ck_assert_double_lt(tempered_HV(pearlite, 380.0, 650, 4), 330.0);
    ck_assert_double_lt(tempered_HV(martensite, 0.0, 700, 1e4), 170.0);
    ck_assert_double_eq_tol(tempered_HV(pearlite, 380.0, 700, 1e4), 180.0, ROUNDING); /* not below spheroidised */
}
END_TEST

START_TEST(retained_austenite_turns_into_something_harder) {
    const double austenite[CQ_PHASES] = {[CQ_AUSTENITE] = 1.0};
    ck_assert_double_eq_tol(tempered_HV(austenite, 0.0, 100, 1), 250.0, 1.0); /* 5 decades slower than at 235 degC */
    const double half_turned =
        tempered_HV(austenite, 0.0, 234.99999, 1); /* half in an hour at 235 degC, by construction */
    const double product = fmin(595.0, tempered_HV(martensite, 0.0, 235, 1));
    ck_assert_double_eq_tol(half_turned, 0.5 * (250.0 + product), 0.5);
    const cq_temper two[] = {temper(235, 1), temper(235, 1)};
    ck_assert_double_gt(
        cq_temper_mixture_HV(&steel, &(cq_matrix){.carbon_solution_wt = 0.84, .carbide = 0.0}, austenite, 0.0, two, 2),
        half_turned);
}
END_TEST

/* What the soak left untransformed keeps its 200 HV, however little pearlite lies beside it. */
START_TEST(untransformed_rest_keeps_its_hardness) {
    const double rest = 0.3, excess = rest * (CQ_UNTRANSFORMED_HV - CQ_FERRITE_HV);
    for (double B = 0.0; B < 0.06; B += 0.01) {
        const double f[CQ_PHASES] = {[CQ_FERRITE] = rest, [CQ_BAINITE] = B, [CQ_MARTENSITE] = 0.7 - B};
        const double expected =
            (0.7 - B) * tempered_HV(martensite, 0.0, 200, 1) + rest * CQ_UNTRANSFORMED_HV + 400.0 * B;
        ck_assert_double_eq_tol(tempered_HV(f, excess + 400.0 * B, 200, 1), expected, ROUNDING * 1e3);
    }
}
END_TEST

/* Martensite of soft iron lies below the Rockwell scale once the smith's shift is taken off; it still tempers. */
START_TEST(martensite_below_the_scale_tempers) {
    const cq_steel iron = {.composition_wt = {.C = 0.0}, .hardness_shift_HV = -40.0};
    const cq_temper hot = temper(650, 4);
    const double quenched =
        cq_hardness_mixture_HV(&iron, &(cq_matrix){.carbon_solution_wt = 0.0, .carbide = 0.0}, martensite, 0.0);
    ck_assert_double_nan(cq_hardness_HRC(quenched));
    ck_assert_double_lt(
        cq_temper_mixture_HV(&iron, &(cq_matrix){.carbon_solution_wt = 0.0, .carbide = 0.0}, martensite, 0.0, &hot, 1),
        quenched - 50.0);
}
END_TEST

int main(void) {
    Suite *suite = suite_create("tempering");
    TCase *all = tcase_create("all");
    tcase_add_test(all, tempers_in_a_row_add_as_time);
    tcase_add_test(all, tempering_only_softens_martensite);
    tcase_add_test(all, no_temper_is_as_quenched);
    tcase_add_test(all, hotter_is_softer);
    tcase_add_test(all, pearlite_softens_only_when_martensite_would_be_softer);
    tcase_add_test(all, retained_austenite_turns_into_something_harder);
    tcase_add_test(all, untransformed_rest_keeps_its_hardness);
    tcase_add_test(all, martensite_below_the_scale_tempers);
    suite_add_tcase(suite, all);
    return run_suite(suite);
}
