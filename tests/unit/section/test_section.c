/* test_section.c - the outline of the steel, the coat on it, and what is refused. */
#include "sections.h"

#include <math.h>
#include <string.h>

/* Positions are a few sums of numbers below 0.1 m: rounding stays far below a picometre. */
#define ROUNDING_m 1e-14
/* The sloped coat drops points within a nanometre of a straight line. */
#define SLOPING_m 2e-12

static void assert_node(const cq_flank *f, size_t i, double foot_x, double foot_y, double outer_x, double outer_y) {
    ck_assert_uint_lt(i, f->n);
    ck_assert_double_eq_tol(f->foot_x_m[i], foot_x * MM, ROUNDING_m);
    ck_assert_double_eq_tol(f->foot_y_m[i], foot_y * MM, ROUNDING_m);
    ck_assert_double_eq_tol(f->outer_x_m[i], outer_x * MM, ROUNDING_m);
    ck_assert_double_eq_tol(f->outer_y_m[i], outer_y * MM, ROUNDING_m);
}

START_TEST(flat_outline) {
    const cq_blade blade = flat_blade(28, 1.2, 3.2);
    cq_section *s = section_of(&blade, NULL);
    ck_assert(s->symmetric);
    ck_assert_uint_eq(s->side[CQ_SIDE_LEFT].n, 2);
    assert_node(&s->side[CQ_SIDE_RIGHT], 0, 0, 0.6, 0, 0.6);
    assert_node(&s->side[CQ_SIDE_RIGHT], 1, 28, 1.6, 28, 1.6);
    ck_assert_double_eq_tol(cq_section_half_thickness(s, CQ_SIDE_LEFT, 14 * MM), 1.1 * MM, ROUNDING_m);
    ck_assert_double_eq_tol(cq_section_clay_thickness(s, CQ_SIDE_LEFT, 14 * MM), 0.0, ROUNDING_m);
    cq_section_free(s);
}
END_TEST

/* The flank below the ridge rises 3 in 4, so its normal is (-0.6, 0.8); above it runs straight up, normal (0, 1). Two
 * coats of 1 mm meet at (-0.6, 1.8) / 1.8 from the ridge: (4 - 1/3, 4 + 1). */
START_TEST(ridge_mitre) {
    const cq_blade blade = ridged_blade(10, 2, 8, 4, 8);
    const cq_coat_point points[] = {both(0, 1), both(10, 1)};
    const cq_coat coat = {2, points, 0, 0};
    cq_section *s = section_of(&blade, &coat);
    const cq_flank *f = &s->side[CQ_SIDE_RIGHT];
    ck_assert_uint_eq(f->n, 3);
    assert_node(f, 0, 0, 1, -0.6, 1.8);
    assert_node(f, 1, 4, 4, 4 - 1.0 / 3, 5);
    assert_node(f, 2, 10, 4, 10, 5);
    cq_section_free(s);
}
END_TEST

/* The coat grows from 0.5 mm at the edge to 2 mm at the spine: 1.1 mm at the ridge, straight over the height. */
START_TEST(coat_at_ridge_is_interpolated) {
    const cq_blade blade = ridged_blade(10, 2, 8, 4, 8);
    const cq_coat_point points[] = {both(0, 0.5), both(10, 2)};
    const cq_coat coat = {2, points, 0, 0};
    cq_section *s = section_of(&blade, &coat);
    ck_assert_double_eq_tol(s->side[CQ_SIDE_LEFT].coat_m[1], 1.1 * MM, ROUNDING_m);
    assert_node(&s->side[CQ_SIDE_LEFT], 1, 4, 4, 4 - 1.1 / 3, 5.1);
    ck_assert_int_eq(s->sloped_steps, 0);
    cq_section_free(s);
}
END_TEST

/* All nodes lie on the circle through edge, bulge and spine; its middle is found from the three points. */
static void check_arc(double edge, double spine, double bulge) {
    const cq_blade blade = bulge < 0.0 ? hollow_blade(30, edge, spine, -bulge) : convex_blade(30, edge, spine, bulge);
    cq_section *s = section_of(&blade, NULL);
    const cq_flank *f = &s->side[CQ_SIDE_RIGHT];
    ck_assert_uint_eq(f->n, 65);
    const double x2 = 15 * MM, y2 = (0.25 * (edge + spine) + bulge) * MM, x3 = 30 * MM, y3 = 0.5 * spine * MM;
    const double y1 = 0.5 * edge * MM, b = y2 - y1, d = y3 - y1; /* from the edge */
    const double twice = 2.0 * (x2 * d - x3 * b);
    const double cx = (d * (x2 * x2 + b * b) - b * (x3 * x3 + d * d)) / twice;
    const double cy = y1 + (x2 * (x3 * x3 + d * d) - x3 * (x2 * x2 + b * b)) / twice;
    const double radius = hypot(cx, cy - y1);
    for (size_t i = 0; i < f->n; i++) {
        /* the test's circle is that of three points: it loses about radius/bulge in digits */
        ck_assert_double_eq_tol(hypot(f->foot_x_m[i] - cx, f->foot_y_m[i] - cy), radius, 1e-12 * radius);
    }
    /* between its nodes the chain lies under the arc by at most bulge / 64^2 (sagitta of one of 64 pieces) */
    ck_assert_double_eq_tol(cq_section_half_thickness(s, CQ_SIDE_RIGHT, x2), y2, 1.1 * fabs(bulge) * MM / 4096);
    cq_section_free(s);
}

START_TEST(arc_outline) {
    check_arc(1.2, 4, 0.7);
    check_arc(0.5, 9, 3);
    check_arc(3, 3, 0.02);
    check_arc(3, 5, -0.4);
}
END_TEST

/* ---- sloping ----------------------------------------------------------------------------------------------------- */

static void assert_coat(const cq_section *s, double at, double thickness) {
    ck_assert_double_eq_tol(cq_section_clay_thickness(s, CQ_SIDE_RIGHT, at * MM), thickness * MM, SLOPING_m);
}

/* 0.2 to 2 mm at 10 mm: 1.8 mm rise, so the ramp runs from 9.1 to 10.9 mm. */
START_TEST(step_is_sloped_about_itself) {
    const cq_blade blade = flat_blade(20, 4, 4);
    const cq_coat_point points[] = {both(0, 0.2), both(10, 0.2), both(10, 2), both(20, 2)};
    const cq_coat coat = {4, points, 0, 0};
    cq_section *s;
    ck_assert_int_eq(cq_section_create(&s, &blade, &coat, NULL), CQ_NOTICED);
    ck_assert_int_eq(s->sloped_steps, 1);
    const cq_flank *f = &s->side[CQ_SIDE_RIGHT];
    ck_assert_uint_eq(f->n, 4);
    assert_node(f, 1, 9.1, 2, 9.1, 2.2);
    assert_node(f, 2, 10.9, 2, 10.9, 4);
    assert_coat(s, 10, 1.1);
    assert_coat(s, 9.5, 0.6);
    cq_section_free(s);
}
END_TEST

/* 2 mm within 0.5 mm of height is as much too steep: the ramp runs 2 mm about the middle, 10.25 mm. */
START_TEST(steep_ramp_is_sloped_about_its_middle) {
    const cq_blade blade = flat_blade(20, 4, 4);
    const cq_coat_point points[] = {both(0, 0), both(10, 0), both(10.5, 2), both(20, 2)};
    const cq_coat coat = {4, points, 0, 0};
    cq_section *s = section_of(&blade, &coat);
    ck_assert_int_eq(s->sloped_steps, 1);
    assert_coat(s, 9.25, 0);
    assert_coat(s, 10.25, 1);
    assert_coat(s, 11.25, 2);
    cq_section_free(s);
}
END_TEST

/* On a face leaning 3 in 4 a millimetre along the face is 0.8 mm of height. */
START_TEST(slope_is_measured_along_the_face) {
    const cq_blade blade = flat_blade(20, 4, 34);
    const cq_coat_point points[] = {both(0, 1), both(10, 1), both(10, 2), both(20, 2)};
    const cq_coat coat = {4, points, 0, 0};
    cq_section *s = section_of(&blade, &coat);
    assert_coat(s, 9.6, 1);
    assert_coat(s, 10, 1.5);
    assert_coat(s, 10.4, 2);
    cq_section_free(s);
}
END_TEST

/* A slope of exactly what clay holds along the face (1 mm over 0.8 mm of height) is kept. */
START_TEST(slope_clay_holds_is_kept) {
    const cq_blade blade = flat_blade(20, 4, 34);
    const cq_coat_point points[] = {both(0, 0), both(10, 0), both(10.8, 1), both(20, 1)};
    const cq_coat coat = {4, points, 0, 0};
    cq_section *s;
    ck_assert_int_eq(cq_section_create(&s, &blade, &coat, NULL), CQ_OK);
    ck_assert_int_eq(s->sloped_steps, 0);
    assert_coat(s, 10.4, 0.5);
    cq_section_free(s);
}
END_TEST

/* A patch of 2 mm on a bare face: both its ends are sloped; the clay's amount stays. */
START_TEST(patch_ends_are_sloped) {
    const cq_blade blade = flat_blade(30, 4, 4);
    const cq_coat_point points[] = {sides(10, 0, 2), sides(20, 0, 2)};
    const cq_coat coat = {2, points, 0, 0};
    cq_section *s = section_of(&blade, &coat);
    ck_assert(!s->symmetric);
    ck_assert_int_eq(s->sloped_steps, 2);
    assert_coat(s, 9, 0);
    assert_coat(s, 10, 1);
    assert_coat(s, 11, 2);
    assert_coat(s, 19, 2);
    assert_coat(s, 21, 0);
    ck_assert_double_eq_tol(cq_section_clay_thickness(s, CQ_SIDE_LEFT, 15 * MM), 0.0, ROUNDING_m);
    cq_section_free(s);
}
END_TEST

/* A bare gap of 0.5 mm between coats of 2 mm: the ramps through (10, 1) and (10.5, 1) meet at 0.75 mm. */
START_TEST(crowded_steps_meet) {
    const cq_blade blade = flat_blade(20, 4, 4);
    const cq_coat_point points[] = {both(0, 2), both(10, 2), both(10, 0), both(10.5, 0), both(10.5, 2), both(20, 2)};
    const cq_coat coat = {6, points, 0, 0};
    cq_section *s = section_of(&blade, &coat);
    ck_assert_int_eq(s->sloped_steps, 2);
    assert_coat(s, 10.25, 0.75);
    assert_coat(s, 10, 1);
    assert_coat(s, 9, 2);
    cq_section_free(s);
}
END_TEST

/* At edge and spine the clay may end bluntly. */
START_TEST(ends_of_the_face_are_not_sloped) {
    const cq_blade blade = flat_blade(20, 4, 4);
    const cq_coat_point points[] = {both(0, 0), both(0, 2), both(20, 2), both(20, 0)};
    const cq_coat coat = {4, points, 0, 0};
    cq_section *s;
    ck_assert_int_eq(cq_section_create(&s, &blade, &coat, NULL), CQ_OK);
    assert_coat(s, 0, 2);
    assert_coat(s, 20, 2);
    cq_section_free(s);
}
END_TEST

/* Whatever is laid: the outcome is no steeper than CQ_CLAY_SLOPE, stays within the laid thicknesses and is never
 * negative. */
START_TEST(no_coat_is_too_steep) {
    uint64_t state = 77;
    for (int n = 0; n < 500; n++) {
        cq_coat_point points[MOST_POINTS];
        cq_outline_point outline[2 * OUTLINE_POINTS];
        const cq_blade blade = random_blade(&state, outline);
        const cq_coat coat = random_coat(&state, blade.height_m, points);
        cq_section *s = section_of(&blade, &coat);
        double most = 0.0;
        for (size_t i = 0; i < coat.n; i++) {
            most = fmax(most, fmax(points[i].left_m, points[i].right_m));
        }
        for (int side = 0; side < CQ_SIDES; side++) {
            const cq_flank *f = &s->side[side];
            for (size_t i = 1; i < f->n; i++) {
                const double run = hypot(f->foot_x_m[i] - f->foot_x_m[i - 1], f->foot_y_m[i] - f->foot_y_m[i - 1]);
                /* two nanometres: nodes nearer than 1e-7 of the height are one */
                const double laid = f->coat_m[i] - f->fill_m[i], before = f->coat_m[i - 1] - f->fill_m[i - 1];
                ck_assert_double_le(fabs(laid - before), CQ_CLAY_SLOPE * run * (1 + 1e-9) + 2e-9);
                ck_assert_double_le(laid, most + SLOPING_m);
                ck_assert_double_ge(laid, -SLOPING_m); /* a difference of two sums */
            }
        }
        cq_section_free(s);
    }
}
END_TEST

/* ---- plates and rounds ------------------------------------------------------------------------------------------- */

START_TEST(plate_takes_one_thickness_a_face) {
    const cq_blade blade = {.family = CQ_FAMILY_PLATE, .spine_m = 3 * MM};
    const cq_coat_point points[] = {sides(0, 0.5, 1), sides(28, 0.5, 1)};
    const cq_coat coat = {2, points, 1 * MM, 1 * MM};
    cq_section *s = section_of(&blade, &coat);
    ck_assert(!s->symmetric);
    ck_assert_double_eq_tol(cq_section_half_thickness(s, CQ_SIDE_RIGHT, 0.3), 1.5 * MM, ROUNDING_m);
    ck_assert_double_eq_tol(cq_section_clay_thickness(s, CQ_SIDE_LEFT, 0.3), 0.5 * MM, ROUNDING_m);
    ck_assert_double_eq_tol(cq_section_clay_thickness(s, CQ_SIDE_RIGHT, 0.3), 1 * MM, ROUNDING_m);
    ck_assert_double_eq_tol(s->edge_coat_m + s->spine_coat_m, 0.0, ROUNDING_m);
    cq_section_free(s);
}
END_TEST

/* ---- what is refused --------------------------------------------------------------------------------------------- */

static void assert_refused(const cq_blade *blade, const cq_coat *coat, const char *key) {
    cq_section *untouched = NULL;
    cq_error error = CQ_ERROR_INIT;
    ck_assert_int_eq(cq_section_create(&untouched, blade, coat, &error), CQ_ERR_GEOMETRY);
    ck_assert_ptr_null(untouched);
    ck_assert_uint_eq(error.count, 1);
    ck_assert_str_eq(error.items[0].key, key);
    ck_assert_int_gt((int)strlen(error.items[0].found), 0);
    ck_assert_int_gt((int)strlen(error.items[0].expected), 0);
    cq_error_clear(&error);
}

START_TEST(impossible_blades_are_refused) {
    const struct {
        cq_blade blade;
        const char *key;
    } cases[] = {{flat_blade(28, 0, 3), "blade.edge"},
                 {flat_blade(28, -1, 3), "blade.edge"},
                 {flat_blade(28, 1, NAN), "blade.spine"},
                 {flat_blade(NAN, 1, 3), "blade.height"},
                 {flat_blade(0, 1, 3), "blade.height"},
                 {flat_blade(5, 1, 40), "blade"},
                 {ridged_blade(28, 1, 3, 28, 6), "blade.ridge.at"},
                 {ridged_blade(28, 1, 3, NAN, 6), "blade.ridge.at"},
                 {ridged_blade(28, 1, 3, 20, 0), "blade.ridge.thickness"},
                 {convex_blade(28, 1, 3, NAN), "blade.bulge"},
                 {convex_blade(28, 1, 3, -2), "blade.bulge"},
                 {hollow_blade(28, 1, 3, -0.1), "blade.hollow"},
                 {hollow_blade(28, 1, 3, NAN), "blade.hollow"},
                 {hollow_blade(28, 1, 3, 1.1), "blade.hollow"}, /* the thickness at mid-height is 2 mm */
                 {one_sided_blade(28, 1, 3, 2), "blade.flat-face"},
                 {one_sided_blade(5, 1, 12, 0), "blade"},
                 {double_edged_blade(28, 1, NAN, 5), "blade.ridge.at"},
                 {double_edged_blade(28, 1, 14, 0), "blade.ridge.thickness"},
                 {with_groove(flat_blade(28, 2, 4), 14, -1, 1), "blade.groove.width"},
                 {with_groove(flat_blade(28, 2, 4), 14, NAN, 1), "blade.groove.width"},
                 {with_groove(flat_blade(28, 2, 4), 14, 6, 0), "blade.groove.depth"},
                 {with_groove(flat_blade(28, 2, 4), 14, 6, 1.6), "blade.groove.depth"}, /* 3 mm thick there */
                 {with_groove(flat_blade(28, 4, 6), 14, 3, 1.5), "blade.groove.depth"}, /* a half circle */
                 {with_groove(flat_blade(28, 2, 4), 2, 6, 0.5), "blade.groove.at"},
                 {with_groove(flat_blade(28, 2, 4), NAN, 6, 0.5), "blade.groove.at"},
                 {with_groove(flat_blade(28, 2, 4), 26, 6, 0.5), "blade.groove.at"},
                 {convex_blade(28, 1, 3, 30), "blade"},
                 {{.family = CQ_FAMILY_ROUND, .spine_m = 0}, "blade.spine"}};
    for (size_t n = 0; n < COUNT(cases); n++) {
        assert_refused(&cases[n].blade, NULL, cases[n].key);
    }
}
END_TEST

START_TEST(impossible_coats_are_refused) {
    const cq_blade blade = flat_blade(28, 1.2, 3.2);
    const struct {
        cq_coat_point points[2];
        double edge, spine;
        const char *key;
    } cases[] = {{{both(9, 1), both(8, 1)}, 0, 0, "clay.coat.1.at"},
                 {{both(0, 1), both(30, 1)}, 0, 0, "clay.coat.1.at"},
                 {{both(-1, 1), both(20, 1)}, 0, 0, "clay.coat.0.at"},
                 {{both(NAN, 1), both(20, 1)}, 0, 0, "clay.coat.0.at"},
                 {{both(0, 1), both(20, -1)}, 0, 0, "clay.coat.1.thickness"},
                 {{sides(0, 1, NAN), both(20, 1)}, 0, 0, "clay.coat.0.thickness"},
                 {{both(0, 1), both(20, 1)}, -1, 0, "clay.edge"},
                 {{both(0, 1), both(20, 1)}, 0, NAN, "clay.spine"}};
    for (size_t n = 0; n < COUNT(cases); n++) {
        const cq_coat coat = {2, cases[n].points, cases[n].edge * MM, cases[n].spine * MM};
        assert_refused(&blade, &coat, cases[n].key);
    }
    const cq_blade round = {.family = CQ_FAMILY_ROUND, .spine_m = 10 * MM};
    const cq_coat_point uneven[] = {both(0, 1), both(20, 1.5)}, one_side[] = {sides(0, 1, 0)};
    const cq_coat first = {2, uneven, 0, 0}, second = {1, one_side, 0, 0};
    assert_refused(&round, &first, "clay.coat.1.thickness");
    assert_refused(&round, &second, "clay.coat.0.left");
}
END_TEST

/* A concave corner with more clay than it has room for: 6 mm in a narrow hollow 8 mm wide. */
START_TEST(folding_coat_is_refused) {
    const cq_blade blade = hollow_blade(8, 8, 8, 2);
    const cq_coat_point points[] = {both(0, 6), both(8, 6)};
    const cq_coat coat = {2, points, 0, 0};
    assert_refused(&blade, &coat, "clay.coat");
}
END_TEST

/* ---- validity ---------------------------------------------------------------------------------------------------- */

START_TEST(spoiled_sections_are_found) {
    const cq_blade blade = ridged_blade(28, 1, 4, 20, 6);
    const cq_coat_point points[] = {both(0, 1), both(28, 1)};
    const cq_coat coat = {2, points, 0, 0};
    cq_section *s = section_of(&blade, &coat);
    cq_flank *f = &s->side[CQ_SIDE_LEFT];
    double *const spots[] = {&s->height_m,    &s->edge_coat_m,  &f->foot_x_m[0],  &f->foot_x_m[1],
                             &f->foot_y_m[1], &f->outer_x_m[1], &f->outer_y_m[2], &f->coat_m[1]};
    for (size_t n = 0; n < COUNT(spots); n++) {
        const double kept = *spots[n];
        *spots[n] = NAN;
        ck_assert_msg(!cq_section_is_valid(s), "spot %zu", n);
        *spots[n] = -1.0;
        ck_assert_msg(!cq_section_is_valid(s), "spot %zu", n);
        *spots[n] = kept;
        ck_assert(cq_section_is_valid(s));
    }
    f->foot_y_m[1] = -4 * MM; /* beyond the other face */
    ck_assert(!cq_section_is_valid(s));
    f->foot_y_m[1] = 3 * MM;
    s->symmetric = false;
    ck_assert(!cq_section_is_valid(s));
    ck_assert(!cq_section_is_valid(NULL));
    cq_section_free(s);
}
END_TEST

int main(void) {
    Suite *suite = suite_create("section");
    TCase *outline = tcase_create("outline");
    tcase_add_test(outline, flat_outline);
    tcase_add_test(outline, ridge_mitre);
    tcase_add_test(outline, coat_at_ridge_is_interpolated);
    tcase_add_test(outline, arc_outline);
    tcase_add_test(outline, plate_takes_one_thickness_a_face);
    TCase *sloping = tcase_create("sloping");
    tcase_add_test(sloping, step_is_sloped_about_itself);
    tcase_add_test(sloping, steep_ramp_is_sloped_about_its_middle);
    tcase_add_test(sloping, slope_is_measured_along_the_face);
    tcase_add_test(sloping, slope_clay_holds_is_kept);
    tcase_add_test(sloping, patch_ends_are_sloped);
    tcase_add_test(sloping, crowded_steps_meet);
    tcase_add_test(sloping, ends_of_the_face_are_not_sloped);
    tcase_add_test(sloping, no_coat_is_too_steep);
    TCase *refusal = tcase_create("refusal");
    tcase_add_test(refusal, impossible_blades_are_refused);
    tcase_add_test(refusal, impossible_coats_are_refused);
    tcase_add_test(refusal, folding_coat_is_refused);
    tcase_add_test(refusal, spoiled_sections_are_found);
    suite_add_tcase(suite, outline);
    suite_add_tcase(suite, sloping);
    suite_add_tcase(suite, refusal);
    return run_suite(suite);
}
