/* The sequence of samples: the same whatever is asked beside it, evenly filled in every dimension, and its groups
 * different from each other. */
#include "../../suite.h"

#include "study/sampling.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { D = CQ_SAMPLING_DIMENSIONS, MOST = 5120, GROUPS = 10 };
static double u[MOST * D], more[MOST * D];

static void make(size_t n, uint64_t seed, double *to) {
    ck_assert_int_eq(cq_sampling_uniform(n, GROUPS, seed, to), CQ_OK);
}

START_TEST(a_sample_stays_what_it_is) {
    make(137, 42, u);
    make(MOST, 42, more);
    ck_assert_mem_eq(u, more, 137 * D * sizeof *u);
    make(137, 43, more);
    for (size_t i = 0; i < 137 * D; i++) {
        ck_assert_double_ne(u[i], more[i]);
    }
}
END_TEST

/* 512 points of one group: exactly two in each of 256 equal intervals, of every dimension. Independent points would
 * leave one interval in seven empty. */
START_TEST(every_dimension_is_filled_evenly) {
    enum { CELLS = 256 };
    make(MOST, 7, u);
    for (size_t d = 0; d < D; d++) {
        int count[CELLS] = {0};
        for (size_t i = 3; i < MOST; i += GROUPS) {
            const double v = u[i * D + d];
            ck_assert(v > 0.0 && v < 1.0);
            count[(int)(v * CELLS)]++;
        }
        for (int c = 0; c < CELLS; c++) {
            ck_assert_int_eq(count[c], 2);
        }
    }
}
END_TEST

/* Dimensions and groups do not go together: over all pairs their correlations are less than those of independent
 * points, 1/sqrt(512). Single pairs of Sobol's sequence may go together more than others; 0.38 was seen, 0.5 is
 * allowed. */
START_TEST(dimensions_and_groups_do_not_go_together) {
    double squares[2] = {0.0, 0.0};
    make(MOST, 1, u);
    for (size_t a = 0; a < D; a++) {
        for (size_t b = 0; b < D; b++) {
            double dimensions = 0.0, groups = 0.0;
            for (size_t i = 0; i < MOST; i += GROUPS) {
                dimensions += (u[i * D + a] - 0.5) * (u[i * D + b] - 0.5) * 12.0 / (MOST / GROUPS);
                groups += (u[i * D + a] - 0.5) * (u[(i + 1) * D + b] - 0.5) * 12.0 / (MOST / GROUPS);
            }
            ck_assert(a == b ? fabs(dimensions - 1.0) < 0.02 : fabs(dimensions) < 0.5);
            ck_assert(a == b || fabs(groups) < 0.5); /* point for point a dimension has the same digits before they are
                                                        flipped: it goes with itself or against, by chance */
            squares[0] += a == b ? 0.0 : dimensions * dimensions;
            squares[1] += a == b ? 0.0 : groups * groups;
        }
    }
    ck_assert_double_lt(squares[0] / (D * (D - 1)), (double)GROUPS / MOST);
    ck_assert_double_lt(squares[1] / (D * (D - 1)), (double)GROUPS / MOST);
}
END_TEST

/* Over many seeds one point alone lies anywhere, and anywhere beside the same point of another group: 400 seeds scatter
 * by 10 about 200, five times that is allowed. */
START_TEST(every_point_is_uniform_by_itself) {
    enum { SEEDS = 400 };
    for (size_t i = 0; i < 3 * GROUPS; i += GROUPS) {
        int low = 0, quarter = 0, together = 0;
        for (uint64_t seed = 1; seed <= SEEDS; seed++) {
            make(3 * GROUPS, seed, u);
            low += u[i * D + 4] < 0.5;
            quarter += u[i * D + 4] >= 0.25 && u[i * D + 4] < 0.75;
            together += (u[i * D + 4] < 0.5) == (u[(i + 1) * D + 4] < 0.5);
        }
        ck_assert_int_lt(abs(low - SEEDS / 2), 50);
        ck_assert_int_lt(abs(quarter - SEEDS / 2), 50);
        ck_assert_int_lt(abs(together - SEEDS / 2), 50);
    }
}
END_TEST

START_TEST(normal_numbers_are_normal) {
    ck_assert_double_eq_tol(cq_sampling_normal(0.5), 0.0, 1e-12);
    ck_assert_double_eq_tol(cq_sampling_normal(0.975), 1.959963985, 1e-8);
    ck_assert(isfinite(cq_sampling_normal(0x1p-53)) && isfinite(cq_sampling_normal(1.0 - 0x1p-53)));
}
END_TEST

int main(void) {
    TCase *tc = tcase_create("sampling");
    tcase_add_test(tc, a_sample_stays_what_it_is);
    tcase_add_test(tc, every_dimension_is_filled_evenly);
    tcase_add_test(tc, dimensions_and_groups_do_not_go_together);
    tcase_add_test(tc, every_point_is_uniform_by_itself);
    tcase_add_test(tc, normal_numbers_are_normal);
    return run_case(tc, "sampling");
}
