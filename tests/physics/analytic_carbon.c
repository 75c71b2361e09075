/* Carbon in a line against closed forms: a couple of two slabs, layers between mirrors, a held face; orders in space
 * and time; carbon is conserved. The carbon contents differ so little that the diffusivity is one number, as the closed
 * forms have it (its rest is below 1e-5 of it); where it varies, the finest of three grids is the measure. */
#include "../suite.h"
#include "carbon_lines.h"

#include <stdio.h>
#include <stdlib.h>

static const double T_K = 1473.15, LOW = 0.5, HIGH = 0.500001;
static const double PI = 3.14159265358979324;

static double diffusivity(void) {
    return cq_carbon_diffusivity(T_K, 0.5 * (LOW + HIGH));
}

/* Largest difference of a couple to its erf solution, relative to the step of carbon. */
static double couple_error(size_t n, double time_s) {
    cq_carbon_line line;
    const double length = 4e-3, reach = 2.0 * sqrt(diffusivity() * time_s);
    double worst = 0.0;
    two_slabs(&line, n, length, LOW, HIGH);
    ck_assert_int_eq(cq_carbon_soak(&line, &(cq_carbon_heat){T_K, time_s, 1.0}), CQ_OK);
    for (size_t i = 0; i < n; i++) {
        const double a = length * ((double)i / (double)n - 0.5), b = a + length / (double)n;
        const double exact = 0.5 + 0.5 * mean_erf(a, b, reach);
        worst = fmax(worst, fabs((line.carbon_wt[i] - LOW) / (HIGH - LOW) - exact));
    }
    cq_carbon_line_free(&line);
    return worst;
}

START_TEST(couple_meets_erf) {
    const double error = couple_error(400, 600.0);
    printf("couple: %.3g\n", error);
    ck_assert_msg(error < 1e-3, "couple of two slabs: %g of the step", error);
}
END_TEST

/* Cells of different widths, growing away from the joint by 3 % each. */
START_TEST(uneven_cells_meet_erf) {
    cq_carbon_line line;
    const size_t n = 160;
    const double time_s = 600.0, reach = 2.0 * sqrt(diffusivity() * time_s);
    cq_carbon_line_create(&line, n);
    double at = 0.0, worst = 0.0;
    for (size_t i = 0; i < n; i++) {
        const double from_joint = i < n / 2 ? (double)(n / 2 - 1 - i) : (double)(i - n / 2);
        line.width_m[i] = 1e-5 * pow(1.03, from_joint);
        line.carbon_wt[i] = i < n / 2 ? LOW : HIGH;
        at -= i < n / 2 ? line.width_m[i] : 0.0;
    }
    ck_assert_int_eq(cq_carbon_soak(&line, &(cq_carbon_heat){T_K, time_s, 1.0}), CQ_OK);
    for (size_t i = 0; i < n; i++) {
        const double exact = 0.5 + 0.5 * mean_erf(at, at + line.width_m[i], reach);
        worst = fmax(worst, fabs((line.carbon_wt[i] - LOW) / (HIGH - LOW) - exact));
        at += line.width_m[i];
    }
    printf("uneven cells: %.3g\n", worst);
    ck_assert_msg(worst < 1e-3, "uneven cells: %g of the step", worst);
    cq_carbon_line_free(&line);
}
END_TEST

/* One layer of `low`, one of `high`, each of width d between mirrors: 1/2 - sum 2/((2k+1) pi) (-1)^k cos(...) exp(...).
 */
static double series(double a, double b, double d, double time_s) {
    double share = 0.5;
    for (int k = 0; k < 400; k++) {
        const double wave = (2 * k + 1) * PI / (2.0 * d);
        share -= 2.0 / ((2 * k + 1) * PI) * (k % 2 == 0 ? 1.0 : -1.0) * mean_cos(a, b, wave) *
                 exp(-diffusivity() * wave * wave * time_s);
    }
    return share;
}

/* Heats are (time, thinning) pairs; the time of one width is what the series needs: t / thinning^2 each. */
static double layers_error(size_t n, const double (*heats)[2], int heats_n) {
    cq_carbon_line line;
    const double d = 2e-4;
    double thin = 1.0, equal_s = 0.0, worst = 0.0;
    two_slabs(&line, n, 2.0 * d, LOW, HIGH);
    for (int h = 0; h < heats_n; h++) {
        thin *= heats[h][1];
        equal_s += heats[h][0] / (thin * thin);
        ck_assert_int_eq(cq_carbon_soak(&line, &(cq_carbon_heat){T_K, heats[h][0], heats[h][1]}), CQ_OK);
    }
    for (size_t i = 0; i < n; i++) {
        const double h = 2.0 * d / (double)n;
        const double exact = series((double)i * h, (double)(i + 1) * h, d, equal_s);
        worst = fmax(worst, fabs((line.carbon_wt[i] - LOW) / (HIGH - LOW) - exact));
    }
    ck_assert_double_eq_tol(line.width_m[0], thin * 2.0 * d / (double)n, 1e-12 * d);
    cq_carbon_line_free(&line);
    return worst;
}

START_TEST(layers_meet_series) {
    static const double one[][2] = {{60.0, 1.0}}, long_one[][2] = {{600.0, 1.0}},
                        forged[][2] = {{20.0, 1.0}, {10.0, 0.5}, {5.0, 0.5}};
    const double errors[] = {layers_error(120, one, 1), layers_error(120, long_one, 1), layers_error(120, forged, 3)};
    for (int n = 0; n < 3; n++) {
        printf("layers, case %d: %.3g\n", n, errors[n]);
        ck_assert_msg(errors[n] < 1e-3, "layers, case %d: %g of the step", n, errors[n]);
    }
}
END_TEST

static void expect_order(const char *what, double coarse, double fine) {
    const double order = log2(coarse / fine);
    printf("%s: order %.3f (%.3g, %.3g)\n", what, order, coarse, fine);
    ck_assert_msg(order > 1.85 && order < 2.5, "%s: order %g", what, order);
}

/* A cosine between mirrors, steps of one size; carbon_wt = mean + swing cos(pi x/L). */
static void cosine(cq_carbon_line *line, size_t n, double length_m, double mean, double swing) {
    cq_carbon_line_create(line, n);
    for (size_t i = 0; i < n; i++) {
        const double a = length_m * (double)i / (double)n, b = length_m * (double)(i + 1) / (double)n;
        line->width_m[i] = length_m / (double)n;
        line->carbon_wt[i] = mean + swing * mean_cos(a, b, PI / length_m);
    }
}

static double cosine_error(size_t n, int steps) {
    cq_carbon_line line;
    const double length = 4e-4, time_s = 120.0, wave = PI / length;
    double worst = 0.0;
    cosine(&line, n, length, LOW, HIGH - LOW);
    for (int s = 0; s < steps; s++) {
        ck_assert_int_eq(cq_carbon_step(&line, T_K, time_s / steps), CQ_OK);
    }
    for (size_t i = 0; i < n; i++) {
        const double a = length * (double)i / (double)n, b = length * (double)(i + 1) / (double)n;
        const double exact = mean_cos(a, b, wave) * exp(-cq_carbon_diffusivity(T_K, LOW) * wave * wave * time_s);
        worst = fmax(worst, fabs((line.carbon_wt[i] - LOW) / (HIGH - LOW) - exact));
    }
    cq_carbon_line_free(&line);
    return worst;
}

START_TEST(orders) {
    expect_order("in space", cosine_error(16, 2000), cosine_error(32, 2000));
    expect_order("in time", cosine_error(1000, 6), cosine_error(1000, 12));
}
END_TEST

/* With carbon that varies, from 0.2 to 1 %, the diffusivity does too, threefold: at the same place, three grids. */
START_TEST(order_with_varying_diffusivity) {
    double at[3];
    for (int g = 0; g < 3; g++) {
        cq_carbon_line line;
        const size_t n = (size_t)24 << g;
        cosine(&line, n, 4e-4, 0.6, 0.4);
        for (int s = 0; s < 20 << g; s++) {
            ck_assert_int_eq(cq_carbon_step(&line, T_K, 60.0 / (20 << g)), CQ_OK);
        }
        at[g] = 0.0; /* mean of the first sixth */
        for (size_t i = 0; i < n / 6; i++) {
            at[g] += line.carbon_wt[i] / (double)(n / 6);
        }
        cq_carbon_line_free(&line);
    }
    expect_order("with varying diffusivity", fabs(at[1] - at[0]), fabs(at[2] - at[1]));
}
END_TEST

/* A thick body with a held face: closed form of the skin, and the books of what came in. */
START_TEST(held_face) {
    cq_carbon_line line;
    const size_t n = 300;
    const cq_carbon_skin skin = {LOW, HIGH, T_K, 300.0};
    cq_carbon_line_create(&line, n);
    for (size_t i = 0; i < n; i++) {
        line.width_m[i] = 6e-6;
        line.carbon_wt[i] = LOW;
    }
    line.end[0] = CQ_CARBON_HELD;
    line.end_wt[0] = HIGH;
    const double before = cq_carbon_total(&line);
    ck_assert_int_eq(cq_carbon_soak(&line, &(cq_carbon_heat){T_K, skin.time_s, 1.0}), CQ_OK);
    for (size_t i = 0; i < n; i++) {
        const double exact = cq_carbon_skin_wt(&skin, ((double)i + 0.5) * 6e-6);
        ck_assert_double_eq_tol((line.carbon_wt[i] - LOW) / (HIGH - LOW), (exact - LOW) / (HIGH - LOW), 1e-3);
    }
    ck_assert_double_eq_tol(cq_carbon_total(&line), before + line.gained_wt_m, 1e-10 * before);
    const double gained = 2.0 * (HIGH - LOW) * sqrt(diffusivity() * skin.time_s / PI);
    ck_assert_double_eq_tol(line.gained_wt_m, gained, 1e-3 * gained);
    const double depth = cq_carbon_skin_depth_m(&skin, 0.9);
    ck_assert_double_eq_tol((cq_carbon_skin_wt(&skin, depth) - HIGH) / (LOW - HIGH), 0.9, 1e-9);
    cq_carbon_line_free(&line);
}
END_TEST

/* Whatever the heats, cells and steps: carbon stays to 1e-10, and nothing leaves the range it began in. */
START_TEST(conserved_and_bounded) {
    srand(7);
    for (int run = 0; run < 200; run++) {
        cq_carbon_line line;
        const size_t n = 2 + (size_t)(rand() % 120);
        cq_carbon_line_create(&line, n);
        const double scale = pow(10.0, -8.0 + 6.0 * rand() / RAND_MAX);
        for (size_t i = 0; i < n; i++) {
            line.width_m[i] = scale * (1.0 + 0.5 * rand() / RAND_MAX);
            line.carbon_wt[i] = rand() % 2 ? 0.1 : 1.3;
        }
        double total = cq_carbon_total(&line), least, most;
        for (int h = 0; h < 4; h++) {
            const cq_carbon_heat heat = {1050.0 + 100.0 * h, pow(10.0, 4.0 * rand() / RAND_MAX),
                                         h % 2 ? 0.5 + 0.5 * rand() / RAND_MAX : 1.0};
            ck_assert_int_eq(cq_carbon_soak(&line, &heat), CQ_OK);
            total *= heat.thinning;
            ck_assert_msg(fabs(cq_carbon_total(&line) / total - 1.0) < 1e-10, "run %d, heat %d: carbon changes by %g",
                          run, h, cq_carbon_total(&line) / total - 1.0);
            cq_carbon_range(&line, &least, &most);
            ck_assert_msg(least > 0.1 - 1e-6 && most < 1.3 + 1e-6, "run %d: carbon leaves its range by %g, %g", run,
                          0.1 - least, most - 1.3);
        }
        cq_carbon_line_free(&line);
    }
}
END_TEST

START_TEST(out_of_range_is_refused) {
    cq_carbon_line line;
    two_slabs(&line, 4, 1e-3, 0.2, 0.9);
    ck_assert_int_eq(cq_carbon_step(&line, 900.0, 1.0), CQ_ERR_ARGUMENT);
    ck_assert_int_eq(cq_carbon_step(&line, NAN, 1.0), CQ_ERR_ARGUMENT);
    ck_assert_int_eq(cq_carbon_step(&line, T_K, -1.0), CQ_ERR_ARGUMENT);
    ck_assert_int_eq(cq_carbon_soak(&line, &(cq_carbon_heat){T_K, 1.0, 0.0}), CQ_ERR_ARGUMENT);
    ck_assert_int_eq(cq_carbon_soak(&line, &(cq_carbon_heat){T_K, NAN, 1.0}), CQ_ERR_ARGUMENT);
    line.carbon_wt[2] = 3.0;
    ck_assert_int_eq(cq_carbon_step(&line, T_K, 1.0), CQ_ERR_ARGUMENT);
    cq_carbon_line none;
    ck_assert_int_eq(cq_carbon_line_create(&none, 1), CQ_ERR_ARGUMENT);
    cq_carbon_line_free(&line);
}
END_TEST

int main(void) {
    TCase *tc = tcase_create("carbon");
    tcase_set_timeout(tc, 120);
    tcase_add_test(tc, couple_meets_erf);
    tcase_add_test(tc, uneven_cells_meet_erf);
    tcase_add_test(tc, layers_meet_series);
    tcase_add_test(tc, orders);
    tcase_add_test(tc, order_with_varying_diffusivity);
    tcase_add_test(tc, held_face);
    tcase_add_test(tc, conserved_and_bounded);
    tcase_add_test(tc, out_of_range_is_refused);
    return run_case(tc, "carbon");
}
