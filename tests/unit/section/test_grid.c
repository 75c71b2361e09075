/* test_grid.c - where the grid's rows and cells lie: areas, kinds, corners, spacing, refinement, mirror, validity. */
#include "sections.h"

#include <math.h>

static const double PI = 3.14159265358979323846;

/* Sums of some thousand areas, each correct to rounding. */
#define AREA_TOLERANCE 1e-12
#define ROUNDING_m 1e-15

static void assert_relative(double found, double expected, double tolerance) {
    ck_assert_double_eq_tol(found / expected, 1.0, tolerance);
}

static double row_height(const cq_grid *g, int row) {
    const int a = node_at(g, g->steel_i0 + row, g->steel_j0);
    return g->node_x_m[a + g->across + 1] - g->node_x_m[a];
}

/* Largest ratio of neighbouring rows, in the steel. */
static double worst_ratio(const cq_grid *g) {
    double worst = 1.0;
    for (int row = 1; row < g->steel_i1 - g->steel_i0; row++) {
        const double ratio = row_height(g, row) / row_height(g, row - 1);
        worst = fmax(worst, fmax(ratio, 1.0 / ratio));
    }
    return worst;
}

/* ---- areas ------------------------------------------------------------------------------------------------------- */

START_TEST(steel_areas_are_exact) {
    const cq_blade flat = flat_blade(28, 1.2, 3.2), ridged = ridged_blade(30, 1.5, 6, 20, 6.5);
    cq_grid *g = grid_on(section_of(&flat, NULL), 100, 8, 6, 1);
    assert_relative(area_of(g, CQ_CELL_STEEL, 0, g->along), 0.5 * 28 * 2.2 * MM * MM, AREA_TOLERANCE);
    ck_assert_uint_eq(cq_grid_cells(g), 800);
    cq_grid_free(g);
    g = grid_on(section_of(&ridged, NULL), 100, 8, 6, 1);
    assert_relative(area_of(g, CQ_CELL_STEEL, 0, g->along), 0.5 * (20 * 4 + 10 * 6.25) * MM * MM, AREA_TOLERANCE);
    cq_grid_free(g);
}
END_TEST

/* The rows cut the 64 pieces of the arc where they please: the area misses at most the sagittas, a 4096th of the bulge,
 * and as much again for each row's own chord. */
START_TEST(convex_area) {
    const cq_blade blade = convex_blade(30, 3, 3, 1);
    cq_grid *g = grid_on(section_of(&blade, NULL), 100, 8, 6, 1);
    const double radius = (15.0 * 15 + 1) / 2, angle = asin(15 / radius);
    const double expected = (1.5 * 30 + radius * radius * angle - 15 * (radius - 1)) * MM * MM;
    assert_relative(area_of(g, CQ_CELL_STEEL, 0, g->along), expected, 2.0 / 4096 * 20 / 65);
    cq_grid_free(g);
}
END_TEST

/* A bar of 4 x 20 mm with 1 mm of clay on the faces, 2 mm on the edge flat and 3 mm on the spine flat, right half. */
START_TEST(clay_areas_are_exact) {
    const cq_blade blade = flat_blade(20, 4, 4);
    const cq_coat_point points[] = {both(0, 1), both(20, 1)};
    const cq_coat coat = {2, points, 2 * MM, 3 * MM};
    cq_grid *g = grid_on(section_of(&blade, &coat), 60, 8, 6, 1);
    ck_assert(g->symmetric);
    ck_assert_int_eq(g->along, 6 + 60 + 6);
    ck_assert_int_eq(g->across, 8 + 6);
    assert_relative(area_of(g, CQ_CELL_STEEL, 0, g->along), 40 * MM * MM, AREA_TOLERANCE);
    assert_relative(area_of(g, CQ_CELL_CLAY, 0, g->steel_i0), (2 + 1) * 2 * MM * MM, AREA_TOLERANCE);
    assert_relative(area_of(g, CQ_CELL_CLAY, g->steel_i0, g->steel_i1), 20 * MM * MM, AREA_TOLERANCE);
    assert_relative(area_of(g, CQ_CELL_CLAY, g->steel_i1, g->along), (2 + 1) * 3 * MM * MM, AREA_TOLERANCE);
    cq_grid_free(g);
}
END_TEST

/* On a ridge of 3 in 4 (test_section.c) with 1 mm of clay: below the ridge a strip of mean length 5 + 1/6, above it of
 * 6
 * + 1/6; 5 mm and 6 mm are the faces, 1/3 the mitre's reach along each. */
START_TEST(clay_area_round_a_ridge) {
    const cq_blade blade = ridged_blade(10, 2, 8, 4, 8);
    const cq_coat_point points[] = {both(0, 1), both(10, 1)};
    const cq_coat coat = {2, points, 0, 0};
    cq_grid *g = grid_on(section_of(&blade, &coat), 60, 8, 6, 1);
    assert_relative(area_of(g, CQ_CELL_CLAY, 0, g->along), (5 + 6 + 2.0 / 6) * MM * MM, AREA_TOLERANCE);
    cq_grid_free(g);
}
END_TEST

/* The corner between a face leaning 3 in 4 and the edge flat: face line through (-0.6, 1.8), flat line x = -1; they
 * meet 0.4 below and 0.3 inward, at (-1, 1.5). Corner (0, 1), (-0.6, 1.8), (-1, 1.5), (-1, 1): area by hand 0.5 mm2. */
START_TEST(edge_corner) {
    const cq_blade blade = ridged_blade(10, 2, 8, 4, 8);
    const cq_coat_point points[] = {both(0, 1), both(10, 1)};
    const cq_coat coat = {2, points, 1 * MM, 0};
    cq_grid *g = grid_on(section_of(&blade, &coat), 60, 8, 6, 1);
    const int corner = node_at(g, 0, g->across);
    ck_assert_double_eq_tol(g->node_x_m[corner], -1 * MM, ROUNDING_m);
    ck_assert_double_eq_tol(g->node_y_m[corner], 1.5 * MM, ROUNDING_m);
    assert_relative(area_of(g, CQ_CELL_CLAY, 0, g->steel_i0), (1 + 0.5) * MM * MM, AREA_TOLERANCE);
    cq_grid_free(g);
}
END_TEST

/* A coat that thins away from the edge so fast that the first row is a film: no corner, though its very end is thick.
 */
START_TEST(no_corner_beside_a_film) {
    const cq_blade blade = flat_blade(20, 4, 4);
    const cq_coat_point points[] = {both(0, 0.071), both(0.08, 0), both(5, 0), both(7, 1), both(20, 1)};
    const cq_coat coat = {5, points, 1 * MM, 0};
    cq_grid *g = grid_on(section_of(&blade, &coat), 100, 8, 6, 1);
    ck_assert_int_eq(kind_of(g, g->steel_i0, g->steel_j1), CQ_CELL_NONE);
    ck_assert_int_eq(kind_of(g, g->steel_i0 - 1, g->steel_j1), CQ_CELL_NONE);
    cq_grid_free(g);
}
END_TEST

/* A thick coat on a leaning face ends beyond the thin one on the edge flat: no corner. A thick one on the flat beside a
 * thin one on the face would meet inside the steel: the corner is kept outside by a quarter of the face's coat, which
 * stands 0.08 mm off the steel's corner. */
START_TEST(corners_of_unlike_coats) {
    const cq_blade blade = ridged_blade(10, 2, 8, 4, 8);
    for (int n = 0; n < 2; n++) {
        const cq_coat_point points[] = {both(0, n == 0 ? 6 : 0.1), both(10, 1)};
        const cq_coat coat = {2, points, n == 0 ? 0.1 * MM : 6 * MM, 0};
        cq_grid *g = grid_on(section_of(&blade, &coat), 60, 8, 6, 1);
        ck_assert_int_eq(kind_of(g, 0, g->steel_j1 - 1), CQ_CELL_CLAY);
        for (int i = 0; i < g->steel_i0; i++) {
            ck_assert_int_eq(kind_of(g, i, g->steel_j1), (n == 0 ? CQ_CELL_NONE : CQ_CELL_CLAY));
        }
        if (n == 1) {
            ck_assert_double_eq_tol(g->node_y_m[node_at(g, 0, g->across)], 1.02 * MM, ROUNDING_m);
        }
        cq_grid_free(g);
    }
}
END_TEST

/* ---- kinds ------------------------------------------------------------------------------------------------------- */

/* Just below CQ_THIN_COAT a coat is a film, just above it has cells. */
START_TEST(thin_coat_is_a_film) {
    const cq_blade blade = flat_blade(20, 4, 4);
    for (int thick = 0; thick < 2; thick++) {
        const double t = thick ? 0.0701 : 0.0699;
        const cq_coat_point points[] = {both(0, t), both(20, t)};
        const cq_coat coat = {2, points, t * MM, t * MM};
        cq_grid *g = grid_on(section_of(&blade, &coat), 60, 8, 6, 1);
        ck_assert_int_eq(g->across, thick ? 14 : 8);
        ck_assert_int_eq(g->along, thick ? 72 : 60);
        const double film = thick ? 0.0 : t * MM;
        ck_assert_double_eq_tol(g->film_left_m[g->steel_i0], film, ROUNDING_m);
        ck_assert_double_eq_tol(g->film_right_m[g->steel_i1 - 1], film, ROUNDING_m);
        ck_assert_double_eq_tol(g->coat_right_m[g->steel_i0], t * MM, ROUNDING_m);
        ck_assert_double_eq_tol(g->film_edge_m, film, ROUNDING_m);
        ck_assert_double_eq_tol(g->film_spine_m, film, ROUNDING_m);
        ck_assert_double_eq_tol(g->edge_coat_m, t * MM, ROUNDING_m);
        cq_grid_free(g);
    }
}
END_TEST

/* A patch on the right face from 8 to 12 mm: clay cells there and only there, the left face without a clay column. */
START_TEST(bare_rows_have_no_clay) {
    const cq_blade blade = flat_blade(20, 4, 4);
    const cq_coat_point points[] = {sides(8, 0, 0), sides(9, 0, 1), sides(11, 0, 1), sides(12, 0, 0)};
    const cq_coat coat = {4, points, 0, 0};
    cq_grid *g = grid_on(section_of(&blade, &coat), 100, 8, 6, 1);
    ck_assert(!g->symmetric);
    ck_assert_int_eq(g->steel_j0, 0);
    ck_assert_int_eq(g->steel_j1, 16);
    ck_assert_int_eq(g->across, 22);
    for (int i = 0; i < g->along; i++) {
        double t = 0.0; /* mean of the row's two ends */
        for (int end = 0; end < 2; end++) {
            const double x = g->node_x_m[node_at(g, i + end, 0)] / MM;
            t += 0.5 * fmax(0.0, fmin(1.0, fmin(x - 8, 12 - x)));
        }
        ck_assert_int_eq(kind_of(g, i, 16), t >= 0.07 ? CQ_CELL_CLAY : CQ_CELL_NONE);
        ck_assert_int_eq(kind_of(g, i, 16), kind_of(g, i, 21));
        ck_assert_double_eq_tol(g->coat_right_m[i], t * MM, ROUNDING_m);
        ck_assert_double_eq_tol(g->film_right_m[i], t >= 0.07 ? 0.0 : t * MM, ROUNDING_m);
    }
    cq_grid_free(g);
}
END_TEST

/* A corner has clay only when both its neighbours have: here the left face is bare. */
START_TEST(empty_corner) {
    const cq_blade blade = flat_blade(20, 4, 4);
    const cq_coat_point points[] = {sides(0, 0, 1), sides(10, 1, 1), sides(20, 1, 1)};
    const cq_coat coat = {3, points, 1 * MM, 0};
    cq_grid *g = grid_on(section_of(&blade, &coat), 100, 8, 6, 1);
    ck_assert_int_eq(g->steel_i0, 6);
    ck_assert_int_eq(g->steel_j0, 6);
    for (int i = 0; i < 6; i++) {
        ck_assert_int_eq(kind_of(g, i, 5), CQ_CELL_NONE);
        ck_assert_int_eq(kind_of(g, i, 6), CQ_CELL_CLAY);
        ck_assert_int_eq(kind_of(g, i, g->across - 1), CQ_CELL_CLAY);
    }
    cq_grid_free(g);
}
END_TEST

/* ---- spacing ----------------------------------------------------------------------------------------------------- */

START_TEST(rows_are_graded) {
    const cq_coat_point wash[] = {both(0, 0.1), both(8, 0.1), both(8, 2), both(20, 2), both(20, 0), both(26, 0)};
    const cq_coat coats[] = {{0, wash, 0, 0}, {4, wash, 0, 0}, {6, wash, 1 * MM, 0}};
    const cq_blade blades[] = {flat_blade(28, 1.2, 3.2), ridged_blade(60, 1, 6, 40, 7), convex_blade(30, 1, 4, 0.7)};
    for (size_t b = 0; b < COUNT(blades); b++) {
        for (size_t c = 0; c < COUNT(coats); c++) {
            for (int along = 50; along <= 200; along *= 2) {
                cq_grid *g = grid_on(section_of(&blades[b], &coats[c]), along, 8, 6, 1);
                ck_assert_int_eq(g->steel_i1 - g->steel_i0, along);
                ck_assert_double_lt(worst_ratio(g), 1.3);                                 /* the bound of the grading */
                ck_assert_double_lt(row_height(g, 0), 0.25 * blades[b].height_m / along); /* fine at the edge */
                cq_grid_free(g);
            }
        }
    }
}
END_TEST

/* The rows at a rim of the coat are much finer than those in the middle of an even stretch. */
START_TEST(rows_are_fine_at_rims) {
    const cq_blade blade = flat_blade(40, 2, 4);
    const cq_coat_point points[] = {both(0, 0.1), both(20, 0.1), both(20, 1), both(40, 1)};
    const cq_coat coat = {4, points, 0, 0};
    cq_grid *g = grid_on(section_of(&blade, &coat), 100, 8, 6, 1);
    double at_rim = INFINITY, at_10_mm = 0.0;
    for (int row = 0; row < 100; row++) {
        const double x = g->node_x_m[node_at(g, row, 0)];
        at_rim = fabs(x - 19.5 * MM) < 0.3 * MM ? fmin(at_rim, row_height(g, row)) : at_rim;
        at_10_mm = fabs(x - 10 * MM) < 1 * MM ? fmax(at_10_mm, row_height(g, row)) : at_10_mm;
    }
    ck_assert_double_lt(at_rim, 0.3 * at_10_mm);
    cq_grid_free(g);
}
END_TEST

/* No row straddles the ridge, whatever the number of rows. */
START_TEST(ridge_lies_between_rows) {
    const cq_blade blade = ridged_blade(30, 1.5, 6, 19.37, 6.5);
    for (int along = 2; along < 120; along += 13) {
        cq_grid *g = grid_on(section_of(&blade, NULL), along, 4, 4, 1);
        double nearest = INFINITY;
        for (int i = 0; i <= g->along; i++) {
            nearest = fmin(nearest, fabs(g->node_x_m[node_at(g, i, 0)] - 19.37 * MM));
        }
        ck_assert_double_lt(nearest, ROUNDING_m);
        cq_grid_free(g);
    }
}
END_TEST

/* A coat that grows slowly from nothing gets its first cells at the same height, where it is CQ_THIN_COAT thick, on
 * every grid: 8.35 mm here. */
START_TEST(cells_begin_at_the_same_height) {
    const cq_blade blade = flat_blade(28, 2, 3);
    const cq_coat_point points[] = {both(8, 0), both(13, 1), both(28, 1)};
    const cq_coat coat = {3, points, 0, 0};
    for (int along = 40; along < 160; along += 17) {
        cq_grid *g = grid_on(section_of(&blade, &coat), along, 4, 4, 1);
        int i = 0;
        while (kind_of(g, i, g->across - 1) == CQ_CELL_NONE) {
            i++;
        }
        ck_assert_double_eq_tol(g->node_x_m[node_at(g, i, 0)], 8.35 * MM, 10 * ROUNDING_m);
        cq_grid_free(g);
    }
}
END_TEST

/* Steel cells shrink evenly toward the face, clay cells toward the steel (the header says so). */
START_TEST(cells_across_are_graded) {
    const cq_blade blade = flat_blade(20, 4, 4);
    const cq_coat_point points[] = {both(0, 2), both(20, 2)};
    const cq_coat coat = {2, points, 0, 0};
    cq_grid *g = grid_on(section_of(&blade, &coat), 50, 8, 6, 1);
    double last = INFINITY;
    for (int j = 0; j < g->across; j++) {
        const int node = node_at(g, 20, j);
        const double width = g->node_y_m[node + 1] - g->node_y_m[node];
        if (j < g->steel_j1) {
            ck_assert_double_lt(width, last);
        } else if (j > g->steel_j1) {
            ck_assert_double_gt(width, last);
            ck_assert_double_lt(width, 2.2 * last);
        }
        last = width;
    }
    cq_grid_free(g);
}
END_TEST

/* Every node of a grid is a node of the refined grid: refinement halves each cell on the same curves. */
START_TEST(refined_grids_nest) {
    const cq_blade blade = ridged_blade(30, 1.5, 6, 20, 6.5);
    const cq_coat_point points[] = {sides(0, 1, 0.5), sides(10, 1, 0.5), sides(10, 1, 2), sides(30, 1, 2)};
    const cq_coat coat = {4, points, 1 * MM, 0.5 * MM};
    cq_grid *coarse = grid_on(section_of(&blade, &coat), 40, 4, 3, 1);
    for (int refine = 2; refine <= 4; refine++) {
        cq_grid *fine = grid_on(section_of(&blade, &coat), 40, 4, 3, refine);
        ck_assert_int_eq(fine->along, refine * coarse->along);
        ck_assert_int_eq(fine->across, refine * coarse->across);
        for (int i = 0; i <= coarse->along; i++) {
            for (int j = 0; j <= coarse->across; j++) {
                const int a = node_at(coarse, i, j), b = node_at(fine, refine * i, refine * j);
                ck_assert_double_eq_tol(coarse->node_x_m[a], fine->node_x_m[b], 10 * ROUNDING_m);
                ck_assert_double_eq_tol(coarse->node_y_m[a], fine->node_y_m[b], 10 * ROUNDING_m);
            }
        }
        cq_grid_free(fine);
    }
    cq_grid_free(coarse);
}
END_TEST

/* ---- plates and rounds ------------------------------------------------------------------------------------------- */

START_TEST(plate) {
    const cq_blade blade = {.family = CQ_FAMILY_PLATE, .spine_m = 3 * MM};
    const cq_coat_point points[] = {both(0, 0.5)};
    const cq_coat coat = {1, points, 0, 0};
    cq_grid *g = grid_on(section_of(&blade, &coat), 100, 8, 6, 1);
    ck_assert(g->one_dimensional && g->symmetric && !g->round);
    ck_assert_int_eq(g->along, 1);
    ck_assert_int_eq(g->across, 32 + 6);
    assert_relative(area_of(g, CQ_CELL_STEEL, 0, 1), 1.5 * MM, AREA_TOLERANCE);
    assert_relative(area_of(g, CQ_CELL_CLAY, 0, 1), 0.5 * MM, AREA_TOLERANCE);
    cq_grid_free(g);
}
END_TEST

START_TEST(plate_with_unlike_faces) {
    const cq_blade blade = {.family = CQ_FAMILY_PLATE, .spine_m = 3 * MM};
    const cq_coat_point points[] = {sides(0, 0.03, 0.5)};
    const cq_coat coat = {1, points, 0, 0};
    cq_grid *g = grid_on(section_of(&blade, &coat), 100, 8, 6, 1);
    ck_assert(g->one_dimensional && !g->symmetric);
    ck_assert_int_eq(g->across, 64 + 6);
    ck_assert_int_eq(g->steel_j0, 0);
    ck_assert_double_eq_tol(g->film_left_m[0], 0.03 * MM, ROUNDING_m);
    assert_relative(area_of(g, CQ_CELL_STEEL, 0, 1), 3 * MM, AREA_TOLERANCE);
    cq_grid_free(g);
}
END_TEST

START_TEST(round_bar) {
    const cq_blade blade = {.family = CQ_FAMILY_ROUND, .spine_m = 12.5 * MM};
    const cq_coat_point points[] = {both(0, 0.5)};
    const cq_coat coat = {1, points, 0, 0};
    cq_grid *g = grid_on(section_of(&blade, &coat), 100, 8, 6, 1);
    ck_assert(g->one_dimensional && g->symmetric && g->round);
    ck_assert_int_eq(g->across, 32 + 6);
    assert_relative(area_of(g, CQ_CELL_STEEL, 0, 1), PI * 6.25 * 6.25 * MM * MM, AREA_TOLERANCE);
    assert_relative(area_of(g, CQ_CELL_CLAY, 0, 1), PI * (6.75 * 6.75 - 6.25 * 6.25) * MM * MM, AREA_TOLERANCE);
    assert_relative(g->across_area_m[g->across], 2 * PI * 6.75 * MM, AREA_TOLERANCE);
    cq_grid_free(g);
}
END_TEST

/* ---- mirror ------------------------------------------------------------------------------------------------------ */

/* Checked by hand: a ck_assert for each of some hundred thousand numbers is slow. */
#define assert_same(a, b, at_a, at_b, sign)                                                                            \
    do {                                                                                                               \
        const double here_ = (a)[at_a], there_ = (sign) * (b)[at_b];                                                   \
        if (!(here_ >= there_ && here_ <= there_)) {                                                                   \
            ck_abort_msg(#a " %.17g against %.17g", here_, there_);                                                    \
        }                                                                                                              \
    } while (0)

/* Left and right swapped: every number the same to the last bit, distances across and skews with the other sign. */
static void assert_mirrored(const cq_grid *a, const cq_grid *b) {
    ck_assert_int_eq(a->along, b->along);
    ck_assert_int_eq(a->across, b->across);
    ck_assert_int_eq(a->steel_j0, b->across - b->steel_j1);
    const int n = a->across;
    for (int i = 0; i <= a->along; i++) {
        for (int j = 0; j <= n; j++) {
            const int here = node_at(a, i, j), there = node_at(b, i, n - j);
            assert_same(a->node_x_m, b->node_x_m, here, there, 1);
            assert_same(a->node_y_m, b->node_y_m, here, there, -1);
            if (i < a->along) { /* the same index counts the faces across */
                assert_same(a->across_low, b->across_high, here, there, 1);
                assert_same(a->across_high, b->across_low, here, there, 1);
                assert_same(a->across_skew, b->across_skew, here, there, -1);
                assert_same(a->across_area_m, b->across_area_m, here, there, 1);
            }
        }
        for (int j = 0; j < n; j++) {
            const int here = cell_at(a, i, j), there = cell_at(b, i, n - 1 - j);
            assert_same(a->along_low, b->along_low, here, there, 1);
            assert_same(a->along_high, b->along_high, here, there, 1);
            assert_same(a->along_skew, b->along_skew, here, there, -1);
            assert_same(a->along_area_m, b->along_area_m, here, there, 1);
            if (i < a->along) {
                ck_assert_int_eq(a->kind[here], b->kind[there]);
                assert_same(a->area_m2, b->area_m2, here, there, 1);
                assert_same(a->center_x_m, b->center_x_m, here, there, 1);
                assert_same(a->center_y_m, b->center_y_m, here, there, -1);
            }
        }
    }
    for (int i = 0; i < a->along; i++) {
        assert_same(a->film_left_m, b->film_right_m, i, i, 1);
        assert_same(a->coat_left_m, b->coat_right_m, i, i, 1);
        assert_same(a->film_right_m, b->film_left_m, i, i, 1);
        assert_same(a->coat_right_m, b->coat_left_m, i, i, 1);
    }
}

START_TEST(swapped_sides_mirror_exactly) {
    uint64_t state = 4242;
    for (int n = 0; n < 100; n++) {
        cq_coat_point points[MOST_POINTS], swapped[MOST_POINTS];
        cq_outline_point outline[2 * OUTLINE_POINTS];
        const cq_blade blade = random_blade(&state, outline), turned = mirrored_blade(blade);
        const cq_coat coat = random_coat(&state, blade.height_m, points);
        for (size_t i = 0; i < coat.n; i++) {
            swapped[i] = (cq_coat_point){points[i].at_m, points[i].right_m, points[i].left_m};
        }
        const cq_coat mirrored = {coat.n, swapped, coat.edge_m, coat.spine_m};
        cq_section *s = section_of(&blade, &coat);
        const bool symmetric = s->symmetric;
        cq_grid *a = grid_on(s, 50, 4, 4, 1), *b = grid_on(section_of(&turned, &mirrored), 50, 4, 4, 1);
        if (!symmetric) {
            assert_mirrored(a, b);
        }
        cq_grid_free(a);
        cq_grid_free(b);
    }
}
END_TEST

/* ---- refusal and validity ---------------------------------------------------------------------------------------- */

START_TEST(impossible_wishes_are_refused) {
    const cq_grid_wish wishes[] = {
        {1, 8, 6, 1},   {100, 0, 6, 1},  {100, 8, 0, 1},           {100, 8, 6, 0},
        {-5, 8, 6, -1}, {100, -8, 6, 1}, {100000, 100000, 6, 100}, {2000000000, 8, 6, 2000000000}};
    const cq_blade blade = flat_blade(28, 1.2, 3.2);
    cq_section *s = section_of(&blade, NULL);
    for (size_t n = 0; n < COUNT(wishes); n++) {
        cq_grid *untouched = NULL;
        cq_error error = CQ_ERROR_INIT;
        ck_assert_int_eq(cq_grid_create(&untouched, s, &wishes[n], &error), CQ_ERR_ARGUMENT);
        ck_assert_ptr_null(untouched);
        ck_assert_uint_eq(error.count, 1);
        cq_error_clear(&error);
    }
    cq_section_free(s);
}
END_TEST

START_TEST(smallest_grid) {
    const cq_blade blade = ridged_blade(28, 1.2, 3.2, 20, 4);
    const cq_coat_point points[] = {both(0, 1), both(28, 1)};
    const cq_coat coat = {2, points, 1 * MM, 1 * MM};
    cq_grid *g = grid_on(section_of(&blade, &coat), 2, 1, 1, 1);
    ck_assert_uint_eq(cq_grid_cells(g), 2 * 4);
    cq_grid_free(g);
}
END_TEST

static void assert_spoiling_is_found(const cq_grid *g, double *spot, double value, const char *what) {
    const double kept = *spot;
    *spot = value;
    ck_assert_msg(!cq_grid_is_valid(g), "%s", what);
    *spot = kept;
    ck_assert(cq_grid_is_valid(g));
}

START_TEST(spoiled_grids_are_found) {
    const cq_blade blade = ridged_blade(28, 1.2, 3.2, 20, 4);
    const cq_coat_point points[] = {sides(0, 0.05, 1), sides(10, 0.05, 1), sides(14, 1, 1), sides(28, 1, 1)};
    const cq_coat coat = {4, points, 1 * MM, 0.05 * MM};
    cq_grid *g = grid_on(section_of(&blade, &coat), 40, 4, 4, 1);
    const int cell = cell_at(g, 20, g->steel_j0 + 2), node = node_at(g, 20, g->steel_j0 + 2);
    assert_spoiling_is_found(g, &g->node_x_m[node], NAN, "node x");
    assert_spoiling_is_found(g, &g->node_y_m[node], g->node_y_m[node] + 1e-6, "node moved");
    assert_spoiling_is_found(g, &g->center_x_m[cell], NAN, "centre");
    assert_spoiling_is_found(g, &g->area_m2[cell], NAN, "area");
    assert_spoiling_is_found(g, &g->area_m2[cell], 0.0, "empty cell");
    assert_spoiling_is_found(g, &g->area_m2[cell], g->area_m2[cell] * (1 + 1e-7), "steel area");
    assert_spoiling_is_found(g, &g->area_m2[cell_at(g, 20, g->across - 1)], 1e-6, "clay area");
    assert_spoiling_is_found(g, &g->across_low[node], -1.0, "half cell");
    assert_spoiling_is_found(g, &g->across_high[node], 0.0, "half cell");
    assert_spoiling_is_found(g, &g->across_skew[node], NAN, "skew");
    assert_spoiling_is_found(g, &g->across_area_m[node], 1e-3, "face length");
    assert_spoiling_is_found(g, &g->along_low[cell], NAN, "half cell");
    assert_spoiling_is_found(g, &g->along_high[cell], INFINITY, "half cell");
    assert_spoiling_is_found(g, &g->along_skew[cell], INFINITY, "skew");
    assert_spoiling_is_found(g, &g->along_area_m[cell], 0.0, "face length");
    assert_spoiling_is_found(g, &g->film_left_m[g->steel_i0], 0.2 * MM, "film too thick");
    assert_spoiling_is_found(g, &g->film_left_m[g->steel_i0], NAN, "film");
    assert_spoiling_is_found(g, &g->film_right_m[g->steel_i0], 0.05 * MM, "film beside cells");
    assert_spoiling_is_found(g, &g->coat_right_m[g->steel_i0], -1.0, "coat");
    assert_spoiling_is_found(g, &g->film_edge_m, 0.05 * MM, "film on cells");
    assert_spoiling_is_found(g, &g->film_spine_m, 0.0, "film lost");
    g->kind[cell] = CQ_CELL_CLAY;
    ck_assert(!cq_grid_is_valid(g));
    g->kind[cell] = CQ_CELL_STEEL;
    g->steel_j1 += 1;
    ck_assert(!cq_grid_is_valid(g));
    ck_assert(!cq_grid_is_valid(NULL));
    g->steel_j1 -= 1;
    cq_grid_free(g);
}
END_TEST

int main(void) {
    Suite *suite = suite_create("grid");
    TCase *areas = tcase_create("areas");
    tcase_add_test(areas, steel_areas_are_exact);
    tcase_add_test(areas, convex_area);
    tcase_add_test(areas, clay_areas_are_exact);
    tcase_add_test(areas, clay_area_round_a_ridge);
    tcase_add_test(areas, edge_corner);
    tcase_add_test(areas, no_corner_beside_a_film);
    tcase_add_test(areas, corners_of_unlike_coats);
    TCase *kinds = tcase_create("kinds");
    tcase_add_test(kinds, thin_coat_is_a_film);
    tcase_add_test(kinds, bare_rows_have_no_clay);
    tcase_add_test(kinds, empty_corner);
    TCase *spacing = tcase_create("spacing");
    tcase_add_test(spacing, rows_are_graded);
    tcase_add_test(spacing, rows_are_fine_at_rims);
    tcase_add_test(spacing, ridge_lies_between_rows);
    tcase_add_test(spacing, cells_begin_at_the_same_height);
    tcase_add_test(spacing, cells_across_are_graded);
    tcase_add_test(spacing, refined_grids_nest);
    TCase *one = tcase_create("one-dimensional");
    tcase_add_test(one, plate);
    tcase_add_test(one, plate_with_unlike_faces);
    tcase_add_test(one, round_bar);
    TCase *validity = tcase_create("validity");
    tcase_add_test(validity, swapped_sides_mirror_exactly);
    tcase_add_test(validity, impossible_wishes_are_refused);
    tcase_add_test(validity, smallest_grid);
    tcase_add_test(validity, spoiled_grids_are_found);
    suite_add_tcase(suite, areas);
    suite_add_tcase(suite, kinds);
    suite_add_tcase(suite, spacing);
    suite_add_tcase(suite, one);
    suite_add_tcase(suite, validity);
    return run_suite(suite);
}
