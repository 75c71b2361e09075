/* The colour scale: lightness carries the order, evenly, so grey print and colour-blind eyes keep it. */
#include "../../suite.h"
#include "report/colour.h"

#include <check.h>
#include <math.h>

/* CIELAB lightness of an sRGB colour [iec61966]. */
static double lightness(const double rgb[3]) {
    static const double weight[3] = {0.2126, 0.7152, 0.0722};
    double Y = 0.0;
    for (int n = 0; n < 3; n++) {
        Y += weight[n] * (rgb[n] <= 0.04045 ? rgb[n] / 12.92 : pow((rgb[n] + 0.055) / 1.055, 2.4));
    }
    return 116.0 * cbrt(Y) - 16.0;
}

START_TEST(lightness_rises_evenly) {
    double before = 0.0, first = 0.0;
    for (int n = 0; n <= 100; n++) {
        double rgb[3];
        cq_colour_of(n / 100.0, rgb);
        const double L = lightness(rgb);
        first = n == 0 ? L : first;
        if (n > 0) {
            /* 0.69 a step; a channel flattened at the rim of the gamut would show here. 0.1: the matrix's four digits
             */
            ck_assert_msg(fabs(L - before - 0.69) < 0.1, "step %d: %.3f", n, L - before);
        }
        for (int c = 0; c < 3; c++) {
            ck_assert(rgb[c] >= 0.0 && rgb[c] <= 1.0);
        }
        before = L;
    }
    ck_assert_double_eq_tol(first, 22.0, 0.5);
    ck_assert_double_eq_tol(before, 91.0, 0.5);
}
END_TEST

START_TEST(ends_hold_what_lies_beyond) {
    double low[3], high[3], rgb[3];
    cq_colour_of(0.0, low);
    cq_colour_of(1.0, high);
    cq_colour_of(NAN, rgb);
    ck_assert_mem_eq(rgb, low, sizeof rgb);
    cq_colour_of(-3.0, rgb);
    ck_assert_mem_eq(rgb, low, sizeof rgb);
    cq_colour_of(7.0, rgb);
    ck_assert_mem_eq(rgb, high, sizeof rgb);
}
END_TEST

START_TEST(shares_are_linear_or_logarithmic) {
    const cq_ramp linear = {200.0, 900.0, false}, decades = {10.0, 1000.0, true};
    ck_assert_double_eq_tol(cq_ramp_share(&linear, 550.0), 0.5, 1e-12);
    ck_assert_double_eq_tol(cq_ramp_share(&decades, 100.0), 0.5, 1e-12);
    ck_assert_double_gt(cq_ramp_share(&linear, 901.0), 1.0);
    ck_assert_double_lt(cq_ramp_share(&decades, 9.0), 0.0);
}
END_TEST

int main(void) {
    Suite *suite = suite_create("colour");
    TCase *all = tcase_create("colour");
    tcase_add_test(all, lightness_rises_evenly);
    tcase_add_test(all, ends_hold_what_lies_beyond);
    tcase_add_test(all, shares_are_linear_or_logarithmic);
    suite_add_tcase(suite, all);
    return run_suite(suite);
}
