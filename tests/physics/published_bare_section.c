/* A bare wedge-and-ridge section cooled with h 2000 W/m2K: temperatures on the mid-plane against two independent
 * solvers (method of lines on CVODE, Richardson-extrapolated; FreeFEM P2), which agree within 0.02 degC. */
#include "../suite.h"
#include "linear.h"

#include <stdio.h>
#include <string.h>

static const double HEIGHTS_MM[6] = {0.5, 5, 10, 15, 20, 28};

/* Mid-plane temperature at height x: parabola across from the innermost two cells, straight along the height. */
static double mid_plane(const cq_heat *heat, double x) {
    const cq_grid *g = heat->grid;
    const int j = g->steel_j0;
    for (int i = g->steel_i0; i + 1 < g->steel_i1; i++) {
        const int a = i * g->across + j, b = a + g->across;
        if (x <= g->center_x_m[b] || i + 2 == g->steel_i1) {
            double T[2];
            for (int n = 0; n < 2; n++) {
                const int cell = (i + n) * g->across + j;
                const double y0 = g->center_y_m[cell], y1 = g->center_y_m[cell + 1];
                const double T0 = heat->T[cq_heat_at(heat, i + n, j)], T1 = heat->T[cq_heat_at(heat, i + n, j + 1)];
                T[n] = T0 - (T1 - T0) * y0 * y0 / (y1 * y1 - y0 * y0);
            }
            const double u = (x - g->center_x_m[a]) / (g->center_x_m[b] - g->center_x_m[a]);
            return T[0] + u * (T[1] - T[0]);
        }
    }
    return NAN;
}

static double worst_difference(int refine, double tolerance_K) {
    const cq_blade blade = {.family = CQ_FAMILY_RIDGED,
                            .height_m = 30e-3,
                            .edge_m = 1.5e-3,
                            .spine_m = 6e-3,
                            .ridge_at_m = 20e-3,
                            .ridge_thickness_m = 6.5e-3};
    const cq_grid_wish wish = {100, 8, 6, refine};
    cq_section *section;
    cq_grid *grid;
    cq_heat *heat;
    ck_assert_int_eq(cq_section_create(&section, &blade, NULL, NULL), CQ_OK);
    ck_assert_int_eq(cq_grid_create(&grid, section, &wish, NULL), CQ_OK);
    ck_assert_int_eq(cq_heat_create(&heat, grid, NULL, NULL), CQ_OK);
    linear l = {.heat = heat, .k = 35, .c = 7850.0 * 600.0, .h = 2000, .bath_K = 303.15};
    const cq_heat_client client = linear_client(&l);
    linear_begin(heat, &l, 1073.15);
    cq_heat_resume(heat, &client);
    FILE *f = fopen(TEST_DATA "/bare_section_reference.csv", "r");
    ck_assert_ptr_nonnull(f);
    char line[256];
    double worst = 0.0, dt = 1e-4;
    int rows = 0, steps = 0;
    while (fgets(line, sizeof line, f) != NULL) {
        double t, T[6];
        if (sscanf(line, "%lf,%lf,%lf,%lf,%lf,%lf,%lf", &t, &T[0], &T[1], &T[2], &T[3], &T[4], &T[5]) != 7) {
            continue;
        }
        while (heat->time_s < t - 1e-9) { /* adaptive, as a run does it, landing on the tabulated times */
            const double step = fmin(dt, t - heat->time_s), error = cq_heat_try(heat, &client, step);
            if (error > 2.0 * tolerance_K) {
                dt = 0.5 * step;
                continue;
            }
            cq_heat_accept(heat, step);
            steps++;
            dt = fmin(2.0, fmax(0.5, 0.8 * sqrt(tolerance_K / fmax(error, 1e-6)))) * step;
        }
        for (int n = 0; n < 6; n++) {
            const double difference = fabs(mid_plane(heat, 1e-3 * HEIGHTS_MM[n]) - 273.15 - T[n]);
            worst = fmax(worst, difference);
            if (difference > 0.02)
                printf("  t %g x %g: %+.3f\n", t, HEIGHTS_MM[n], mid_plane(heat, 1e-3 * HEIGHTS_MM[n]) - 273.15 - T[n]);
        }
        rows++;
    }
    fclose(f);
    ck_assert_int_eq(rows, 8);
    printf("bare section, refine %d, %d steps: worst difference %.3f degC\n", refine, steps, worst);
    cq_heat_free(heat);
    cq_grid_free(grid);
    cq_section_free(section);
    return worst;
}

START_TEST(default_grid) {
    ck_assert_double_lt(worst_difference(1, 1.0), 0.3); /* the bound asked of the default grid */
}
END_TEST

START_TEST(refined_grid) {
    ck_assert_double_lt(worst_difference(4, 0.25), 0.05); /* reference uncertain by 0.02 */
}
END_TEST

int main(void) {
    TCase *tc = tcase_create("reference");
    tcase_set_timeout(tc, 60);
    tcase_add_test(tc, default_grid);
    tcase_add_test(tc, refined_grid);
    return run_case(tc, "bare section");
}
