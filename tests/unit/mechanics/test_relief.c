/* Tempers relieve more when hotter, longer or repeated; martensite shrinks. */
#include "../../suite.h"
#include "mechanics/relief.h"

#include <math.h>

static const double HOUR = 3600.0;

START_TEST(relief_grows_with_heat_time_and_repetition) {
    double before = 0.0;
    for (double T = 373.15; T < 873.0; T += 25.0) {
        const cq_temper once = {T, HOUR}, twice[] = {{T, HOUR}, {T, HOUR}}, longer = {T, 2.0 * HOUR};
        const double relief = cq_relief_of_martensite(&once, 1);
        ck_assert(relief >= before && relief < 1.0);
        ck_assert_double_ge(cq_relief_of_martensite(twice, 2), relief);
        ck_assert_double_lt(fabs(cq_relief_of_martensite(twice, 2) - cq_relief_of_martensite(&longer, 1)), 1e-9);
        ck_assert_double_le(cq_relief_of_soft(&once, 1), relief + 1e-12);
        before = relief;
    }
    const cq_temper usual = {473.15, HOUR}; /* a quarter at 200 degC; from memory */
    ck_assert_double_lt(fabs(cq_relief_of_martensite(&usual, 1) - 0.25), 0.01);
    ck_assert(!(cq_relief_of_martensite(&usual, 0) > 0.0));
}
END_TEST

START_TEST(martensite_shrinks_and_austenite_grows) {
    const cq_temper usual = {473.15, HOUR}, hot = {573.15, HOUR};
    ck_assert_double_lt(fabs(cq_relief_growth(1.0, 0.0, 0.8, &usual, 1) + 0.0012), 2e-5);
    ck_assert_double_lt(cq_relief_growth(1.0, 0.0, 0.8, &hot, 1), cq_relief_growth(1.0, 0.0, 0.8, &usual, 1));
    ck_assert_double_gt(cq_relief_growth(0.0, 1.0, 0.8, &hot, 1), 0.008); /* all of it has turned */
    ck_assert_double_lt(cq_relief_growth(0.0, 1.0, 0.8, &usual, 1), 0.003);
}
END_TEST

int main(void) {
    TCase *tc = tcase_create("relief");
    tcase_add_test(tc, relief_grows_with_heat_time_and_repetition);
    tcase_add_test(tc, martensite_shrinks_and_austenite_grows);
    return run_case(tc, "relief");
}
