/* test_families.c - hollow, one-sided, double-edged sections, outlines and grooves against closed forms; clay in a
 * hollow.
 */
#include "sections.h"

#include <math.h>
#include <string.h>

/* A few sums of lengths below 0.1 m. */
#define ROUNDING_m 1e-14
/* An arc is drawn by 64 chords: each is short by (angle/64)^2/24 and cuts off a segment of 1/64^2 of the
 * whole one if that is a parabola, a little more of a circle. */
#define CHORDS (1.1 / 4096)

static const double PI = 3.14159265358979323846;

/* Area between the faces, over the polygon of their nodes. */
static double area_between(const cq_section *s) {
    double area = 0.0;
    for (int side = 0; side < CQ_SIDES; side++) {
        const cq_flank *f = &s->side[side];
        for (size_t i = 1; i < f->n; i++) {
            area += 0.5 * (f->foot_y_m[i] + f->foot_y_m[i - 1]) * (f->foot_x_m[i] - f->foot_x_m[i - 1]);
        }
    }
    return area;
}

static double face_length(const cq_section *s, int side) {
    const cq_flank *f = &s->side[side];
    double length = 0.0;
    for (size_t i = 1; i < f->n; i++) {
        length += hypot(f->foot_x_m[i] - f->foot_x_m[i - 1], f->foot_y_m[i] - f->foot_y_m[i - 1]);
    }
    return length;
}

/* Segment of a circle on a chord with a height over its middle, square to it: area R^2/2 (t - sin t), length R t. */
typedef struct segment {
    double area, arc;
} segment;

static segment segment_of(double chord, double height) {
    const double radius = (0.25 * chord * chord + height * height) / (2.0 * height);
    double angle = 2.0 * asin(0.5 * chord / radius);
    angle = height > radius ? 2.0 * PI - angle : angle;
    return (segment){0.5 * radius * radius * (angle - sin(angle)), radius * angle};
}

/* ---- families ---------------------------------------------------------------------------------------------------- */

/* Edge and spine alike: the chord is upright and the hollow stands square to it. */
START_TEST(hollow_is_a_slab_without_two_segments) {
    const cq_blade blade = hollow_blade(30, 4, 4, 1.2);
    cq_section *s = section_of(&blade, NULL);
    const segment cut = segment_of(30 * MM, 1.2 * MM);
    ck_assert(s->symmetric);
    ck_assert_double_eq_tol(area_between(s), 30 * MM * 4 * MM - 2 * cut.area, 2 * cut.area * CHORDS);
    ck_assert_double_eq_tol(face_length(s, CQ_SIDE_LEFT), cut.arc, (cut.arc - 30 * MM) * CHORDS);
    ck_assert_double_eq_tol(cq_section_half_thickness(s, CQ_SIDE_RIGHT, 15 * MM), 0.8 * MM, ROUNDING_m);
    cq_section_free(s);
}
END_TEST

/* One face upright, the other from edge to spine: 28 x (1 + 4)/2. */
START_TEST(one_sided_is_a_half_wedge) {
    for (int flat = 0; flat < CQ_SIDES; flat++) {
        const cq_blade blade = one_sided_blade(28, 1, 4, flat);
        cq_section *s = section_of(&blade, NULL);
        ck_assert(!s->symmetric);
        ck_assert_double_eq_tol(area_between(s), 28 * MM * 2.5 * MM, 1e-17); /* rounding of 7e-5 m2 */
        ck_assert_double_eq_tol(face_length(s, flat), 28 * MM, ROUNDING_m);
        ck_assert_double_eq_tol(face_length(s, 1 - flat), hypot(28, 3) * MM, ROUNDING_m);
        for (double x = 0; x <= 28 * MM; x += 7 * MM) {
            ck_assert_double_eq_tol(cq_section_half_thickness(s, flat, x), 0.5 * MM, ROUNDING_m);
        }
        cq_section_free(s);
    }
}
END_TEST

/* Up to the ridge 12 x (1 + 4)/2, above it 16 x 4. */
START_TEST(one_sided_with_ridge) {
    cq_blade blade = one_sided_blade(28, 1, 4, CQ_SIDE_LEFT);
    blade.ridge_at_m = 12 * MM;
    blade.ridge_thickness_m = 4 * MM;
    cq_section *s = section_of(&blade, NULL);
    ck_assert_double_eq_tol(area_between(s), (12 * 2.5 + 16 * 4) * MM * MM, 1e-17);
    ck_assert_double_eq_tol(face_length(s, CQ_SIDE_RIGHT), (hypot(12, 3) + 16) * MM, ROUNDING_m);
    ck_assert_double_eq_tol(s->ridge_at_m, 12 * MM, ROUNDING_m);
    cq_section_free(s);
}
END_TEST

/* Two trapezoids: 10 x (1 + 5)/2 and 14 x (5 + 1)/2. */
START_TEST(double_edged_is_two_wedges) {
    const cq_blade blade = double_edged_blade(24, 1, 10, 5);
    cq_section *s = section_of(&blade, NULL);
    ck_assert(s->symmetric);
    ck_assert_double_eq_tol(area_between(s), 24 * 3 * MM * MM, 1e-17);
    ck_assert_double_eq_tol(face_length(s, CQ_SIDE_RIGHT), (hypot(10, 2) + hypot(14, 2)) * MM, ROUNDING_m);
    cq_section_free(s);
}
END_TEST

/* An outline with the points of a flat section has its bits. */
START_TEST(outline_reproduces_flat) {
    const cq_outline_point points[] = {outline_point(0, 0.6), outline_point(28, 1.6)};
    const cq_blade outline = outline_blade(points, 2, points, 2), flat = flat_blade(28, 1.2, 3.2);
    const cq_coat_point clay[] = {both(8, 0), both(11, 2), both(28, 2)};
    const cq_coat coat = {3, clay, 0, 2 * MM};
    cq_section *a = section_of(&outline, &coat), *b = section_of(&flat, &coat);
    ck_assert(a->symmetric);
    ck_assert_uint_eq(a->side[0].n, b->side[0].n);
    for (size_t i = 0; i < a->side[0].n; i++) {
        ck_assert_double_eq_tol(a->side[0].foot_x_m[i], b->side[0].foot_x_m[i], ROUNDING_m);
        ck_assert_double_eq_tol(a->side[0].foot_y_m[i], b->side[0].foot_y_m[i], ROUNDING_m);
        ck_assert_double_eq_tol(a->side[0].outer_y_m[i], b->side[0].outer_y_m[i], ROUNDING_m);
    }
    cq_section_free(a);
    cq_section_free(b);
}
END_TEST

/* The left face lies beyond the plane in its middle: 20 x (2 + 3)/2 less a triangle of 20 x 0.5 / 2. */
START_TEST(outline_of_two_faces) {
    const cq_outline_point left[] = {outline_point(0, 0), outline_point(10, -0.5), outline_point(20, 0)};
    const cq_outline_point right[] = {outline_point(0, 2), outline_point(20, 3)};
    const cq_blade blade = outline_blade(left, 3, right, 2);
    cq_section *s = section_of(&blade, NULL);
    ck_assert(!s->symmetric);
    ck_assert_double_eq_tol(area_between(s), (20 * 2.5 - 5) * MM * MM, 1e-17);
    ck_assert_double_eq_tol(cq_section_half_thickness(s, CQ_SIDE_LEFT, 10 * MM), -0.5 * MM, ROUNDING_m);
    cq_section_free(s);
}
END_TEST

/* In parallel faces the groove takes a segment off each, whatever the family it is cut in. */
START_TEST(groove_takes_two_segments) {
    const cq_outline_point points[] = {outline_point(0, 2), outline_point(30, 2)};
    const cq_blade blades[] = {flat_blade(30, 4, 4),
                               convex_blade(30, 4, 4, 0),
                               hollow_blade(30, 4, 4, 0),
                               ridged_blade(30, 4, 4, 15, 4),
                               double_edged_blade(30, 4, 15, 4),
                               one_sided_blade(30, 4, 4, 0),
                               outline_blade(points, 2, points, 2)};
    const segment cut = segment_of(8 * MM, 1 * MM);
    for (size_t b = 0; b < COUNT(blades); b++) {
        const cq_blade blade = with_groove(blades[b], 16, 8, 1);
        cq_section *s = section_of(&blade, NULL);
        ck_assert_double_eq_tol(area_between(s), 30 * MM * 4 * MM - 2 * cut.area, 2 * cut.area * CHORDS);
        ck_assert_double_eq_tol(face_length(s, CQ_SIDE_LEFT), 22 * MM + cut.arc, (cut.arc - 8 * MM) * CHORDS);
        ck_assert_double_eq_tol(cq_section_half_thickness(s, CQ_SIDE_RIGHT, 16 * MM), 1 * MM, ROUNDING_m);
        cq_section_free(s);
    }
}
END_TEST

/* A groove over the ridge of two edges: its depth counts from the line between the rims, 2.5 mm from the middle. */
START_TEST(groove_cuts_a_ridge_away) {
    const cq_blade blade = with_groove(double_edged_blade(24, 2, 12, 6), 12, 6, 0.5);
    cq_section *s = section_of(&blade, NULL);
    ck_assert_double_eq_tol(cq_section_half_thickness(s, CQ_SIDE_LEFT, 12 * MM), 2 * MM, ROUNDING_m);
    ck_assert_double_eq_tol(s->ridge_at_m, 0.0, ROUNDING_m);
    cq_section_free(s);
}
END_TEST

START_TEST(mirrored_blades_mirror) {
    uint64_t state = 99;
    for (int n = 0; n < 200; n++) {
        cq_outline_point outline[2 * OUTLINE_POINTS];
        const cq_blade blade = random_blade(&state, outline), turned = mirrored_blade(blade);
        cq_section *a = section_of(&blade, NULL), *b = section_of(&turned, NULL);
        ck_assert_int_eq(a->symmetric, b->symmetric);
        for (int side = 0; side < CQ_SIDES; side++) {
            const cq_flank *f = &a->side[side], *g = &b->side[1 - side];
            ck_assert_uint_eq(f->n, g->n);
            for (size_t i = 0; i < f->n; i++) {
                ck_assert(!(fabs(f->foot_x_m[i] - g->foot_x_m[i]) > 0.0) &&
                          !(fabs(f->foot_y_m[i] - g->foot_y_m[i]) > 0.0));
            }
        }
        cq_section_free(a);
        cq_section_free(b);
    }
}
END_TEST

/* ---- the grid ---------------------------------------------------------------------------------------------------- */

/* Half-way between the faces, at every height. */
START_TEST(middle_column_lies_on_the_mid_plane) {
    const cq_blade blade = one_sided_blade(28, 1, 4, CQ_SIDE_LEFT);
    const cq_coat_point clay[] = {both(8, 0), both(11, 2), both(28, 2)};
    const cq_coat coat = {3, clay, 0, 2 * MM};
    cq_grid *g = grid_on(section_of(&blade, &coat), 60, 4, 4, 1);
    const int middle = (g->steel_j0 + g->steel_j1) / 2;
    for (int i = g->steel_i0; i <= g->steel_i1; i++) {
        const double half = 0.5 * (1 + 3 * g->node_x_m[node_at(g, i, middle)] / (28 * MM)) * MM;
        ck_assert_double_eq_tol(g->node_y_m[node_at(g, i, middle)], half - 0.5 * MM, ROUNDING_m);
        ck_assert_double_eq_tol(g->node_y_m[node_at(g, i, g->steel_j0)], -0.5 * MM, ROUNDING_m);
        ck_assert_double_eq_tol(g->node_y_m[node_at(g, i, g->steel_j1)], 2 * half - 0.5 * MM, ROUNDING_m);
    }
    ck_assert_double_eq_tol(area_of(g, CQ_CELL_STEEL, g->steel_i0, g->steel_i1), 28 * 2.5 * MM * MM, 1e-16);
    cq_grid_free(g);
}
END_TEST

/* Rims of a groove lie on row interfaces of the default grid. */
START_TEST(rims_of_a_groove_are_interfaces) {
    const cq_blade blade = with_groove(ridged_blade(30, 1.5, 6, 17, 6.5), 23.5, 8, 1);
    cq_grid *g = grid_on(section_of(&blade, NULL), 100, 8, 6, 1);
    const double wanted[] = {17 * MM, 19.5 * MM, 27.5 * MM};
    for (size_t w = 0; w < COUNT(wanted); w++) {
        double nearest = INFINITY;
        for (int i = g->steel_i0; i <= g->steel_i1; i++) {
            nearest = fmin(nearest, fabs(g->node_x_m[node_at(g, i, g->steel_j0)] - wanted[w]));
        }
        ck_assert_double_le(nearest, ROUNDING_m);
    }
    cq_grid_free(g);
}
END_TEST

/* ---- clay in a hollow -------------------------------------------------------------------------------------------- */

/* A groove 5 mm wide and 1.2 mm deep is an arc of 3.2 mm: 3.5 mm of clay would fold. The clay runs level with what lies
 * on the flat faces beside it, 5.5 mm from the middle, and is 4.7 mm thick at the bottom. */
START_TEST(thick_clay_fills_a_groove) {
    const cq_blade blade = with_groove(flat_blade(32, 4, 4), 16, 5, 1.2);
    const cq_coat_point clay[] = {both(0, 3.5), both(32, 3.5)};
    const cq_coat coat = {2, clay, 0, 0};
    cq_section *s = section_of(&blade, &coat);
    const cq_flank *f = &s->side[CQ_SIDE_LEFT];
    for (size_t i = 0; i < f->n; i++) {
        ck_assert_double_eq_tol(f->outer_y_m[i], 5.5 * MM, ROUNDING_m);
    }
    ck_assert_double_eq_tol(cq_section_clay_thickness(s, CQ_SIDE_LEFT, 16 * MM), 4.7 * MM,
                            1e-2 * MM); /* mean of two leans */
    ck_assert_double_eq_tol(cq_section_clay_thickness(s, CQ_SIDE_LEFT, 8 * MM), 3.5 * MM, ROUNDING_m);
    cq_grid_free(grid_on(s, 100, 8, 6, 1));
}
END_TEST

/* 1 mm of clay follows the same groove: nothing is filled. */
START_TEST(thin_clay_follows_a_groove) {
    const cq_blade blade = with_groove(flat_blade(32, 4, 4), 16, 5, 1.2);
    const cq_coat_point clay[] = {both(0, 1), both(32, 1)};
    const cq_coat coat = {2, clay, 0, 0};
    cq_section *s = section_of(&blade, &coat);
    const cq_flank *f = &s->side[CQ_SIDE_LEFT];
    for (size_t i = 0; i < f->n; i++) {
        ck_assert_double_eq_tol(f->fill_m[i], 0.0, ROUNDING_m);
        ck_assert_double_eq_tol(f->coat_m[i], 1 * MM, ROUNDING_m);
    }
    cq_section_free(s);
}
END_TEST

/* ---- what is refused --------------------------------------------------------------------------------------------- */

START_TEST(impossible_outlines_are_refused) {
    const struct {
        double left[6], right[4]; /* height, distance */
        const char *key;
    } cases[] = {{{0, 1, 10, 2, 8, 2}, {0, 1, 8, 2}, "blade.left.2"},   /* out of order */
                 {{0, 1, 10, 2, 10, 2}, {0, 1, 10, 2}, "blade.left.2"}, /* twice */
                 {{1, 1, 10, 2, 20, 2}, {0, 1, 20, 2}, "blade.left.0"}, /* does not begin at 0 */
                 {{0, 1, 10, NAN, 20, 2}, {0, 1, 20, 2}, "blade.left.1"},
                 {{0, 1, 10, 2, 20, 2}, {0, 1, 19, 2}, "blade.right.1"}, /* ends lower */
                 {{0, 1, 10, -3, 20, 1}, {0, 1, 20, 2}, "blade.left.1"}, /* beyond the other face */
                 {{0, 1, 10, 1, 11, 4}, {0, 1, 11, 2}, "blade.left.2"}}; /* leans 72 degrees */
    for (size_t n = 0; n < COUNT(cases); n++) {
        const double *l = cases[n].left, *r = cases[n].right;
        const cq_outline_point left[] = {outline_point(l[0], l[1]), outline_point(l[2], l[3]),
                                         outline_point(l[4], l[5])};
        const cq_outline_point right[] = {outline_point(r[0], r[1]), outline_point(r[2], r[3])};
        const cq_blade blade = outline_blade(left, 3, right, 2);
        cq_section *untouched = NULL;
        cq_error error = CQ_ERROR_INIT;
        ck_assert_int_eq(cq_section_create(&untouched, &blade, NULL, &error), CQ_ERR_GEOMETRY);
        ck_assert_ptr_null(untouched);
        ck_assert_str_eq(error.items[0].key, cases[n].key);
        ck_assert_int_gt((int)strlen(error.items[0].expected), 0);
        cq_error_clear(&error);
    }
    const cq_blade none = {.family = CQ_FAMILY_OUTLINE, .height_m = 20 * MM};
    cq_section *untouched = NULL;
    ck_assert_int_eq(cq_section_create(&untouched, &none, NULL, NULL), CQ_ERR_GEOMETRY);
}
END_TEST

int main(void) {
    Suite *suite = suite_create("families");
    TCase *families = tcase_create("families");
    tcase_add_test(families, hollow_is_a_slab_without_two_segments);
    tcase_add_test(families, one_sided_is_a_half_wedge);
    tcase_add_test(families, one_sided_with_ridge);
    tcase_add_test(families, double_edged_is_two_wedges);
    tcase_add_test(families, outline_reproduces_flat);
    tcase_add_test(families, outline_of_two_faces);
    tcase_add_test(families, groove_takes_two_segments);
    tcase_add_test(families, groove_cuts_a_ridge_away);
    tcase_add_test(families, mirrored_blades_mirror);
    TCase *grid = tcase_create("grid");
    tcase_add_test(grid, middle_column_lies_on_the_mid_plane);
    tcase_add_test(grid, rims_of_a_groove_are_interfaces);
    TCase *hollow = tcase_create("clay in a hollow");
    tcase_add_test(hollow, thick_clay_fills_a_groove);
    tcase_add_test(hollow, thin_clay_follows_a_groove);
    TCase *refusal = tcase_create("refusal");
    tcase_add_test(refusal, impossible_outlines_are_refused);
    suite_add_tcase(suite, families);
    suite_add_tcase(suite, grid);
    suite_add_tcase(suite, hollow);
    suite_add_tcase(suite, refusal);
    return run_suite(suite);
}
