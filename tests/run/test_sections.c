/* Whole runs of sections whose faces differ, of two edges and of grooves: against sections and pieces that are the same
 * thing said otherwise, against their own mirror image, and refined.
 */
#include "../suite.h"
#include "plans.h"
#include "whole.h"

#include <math.h>
#include <stdio.h>

static void start(cq_plan *plan, cq_step_plan steps[2], cq_blade blade) {
    start_plan(plan, steps, 40);
    plan->blade = blade;
    plan->coat = (cq_coat){3, BODY_2MM, 0.0, 2e-3};
}

/* The same points give the same grid and so the same answer; 1e-6 is what was asked. */
START_TEST(outline_of_a_flat_section_is_that_section) {
    const cq_outline_point points[] = {{0, 0.6e-3}, {28e-3, 1.6e-3}};
    const cq_blade outline = {
        .family = CQ_FAMILY_OUTLINE, .height_m = 28e-3, .left_n = 2, .right_n = 2, .left = points, .right = points};
    cq_plan plan, same;
    cq_step_plan steps[2], same_steps[2];
    cq_run *a, *b;
    start(&plan, steps, sloyd_blade());
    start(&same, same_steps, outline);
    const cq_result *x = go(&a, &plan), *y = go(&b, &same);
    ck_assert_uint_eq(x->steps, y->steps);
    ck_assert_double_eq_tol(x->line_surface_m, y->line_surface_m, 1e-6 * x->line_surface_m);
    ck_assert_double_eq_tol(x->edge.HV, y->edge.HV, 1e-6 * x->edge.HV);
    ck_assert_double_eq_tol(x->spine.HV, y->spine.HV, 1e-6 * x->spine.HV);
    cq_run_free(a);
    cq_run_free(b);
}
END_TEST

/* Parallel faces 3 mm apart, both on one side of y = 0 or about it: a full grid whose mid-plane is not y = 0 must say
 * what the half grid of a flat section says. Moving a section changes nothing but rounding, which the boiling curve's
 * fall makes larger, and that may cost a step: 0.2 K and 0.01 mm. */
static void compare_with_flat(double left_m) {
    const cq_outline_point left[] = {{0, left_m}, {28e-3, left_m}},
                           right[] = {{0, 3e-3 - left_m}, {28e-3, 3e-3 - left_m}};
    const cq_blade outline = {
        .family = CQ_FAMILY_OUTLINE, .height_m = 28e-3, .left_n = 2, .right_n = 2, .left = left, .right = right};
    const cq_blade flat = {.family = CQ_FAMILY_FLAT, .height_m = 28e-3, .edge_m = 3e-3, .spine_m = 3e-3};
    cq_plan plan, same;
    cq_step_plan steps[2], same_steps[2];
    cq_run *a, *b;
    start(&plan, steps, flat);
    start(&same, same_steps, outline);
    const cq_probe_plan probes[] = {{"mid", 14e-3, CQ_FACE_MID, 0.0, 0.0},
                                    {"l", 14e-3, CQ_FACE_LEFT, 0.0, 0.0},
                                    {"r", 14e-3, CQ_FACE_RIGHT, 0.0, 0.0}};
    plan.probes = same.probes = probes;
    plan.probes_n = same.probes_n = 3;
    plan.grind_m = same.grind_m = 0.2e-3;
    const cq_result *x = go(&a, &plan), *y = go(&b, &same);
    ck_assert(x->grid->symmetric && !y->grid->symmetric);
    ck_assert_double_eq_tol(x->line_left_m, y->line_left_m, 0.01e-3);
    ck_assert_double_eq_tol(x->line_right_m, y->line_right_m, 0.01e-3);
    ck_assert_double_eq_tol(x->line_ground_m, y->line_ground_m, 0.01e-3);
    ck_assert_double_eq_tol(x->line_mid_m, y->line_mid_m, 0.01e-3);
    for (size_t t = 0; t < x->traces_n; t++) {
        double worst = 0.0;
        size_t k = 0;
        for (size_t i = 0; i < x->traces[t].n; i++) { /* the runs' steps may differ */
            while (k + 2 < y->traces[t].n && y->traces[t].time_s[k + 1] < x->traces[t].time_s[i]) {
                k++;
            }
            const double run = y->traces[t].time_s[k + 1] - y->traces[t].time_s[k];
            const double u = (x->traces[t].time_s[i] - y->traces[t].time_s[k]) / run;
            const double T = y->traces[t].temp_K[k] + u * (y->traces[t].temp_K[k + 1] - y->traces[t].temp_K[k]);
            worst = fmax(worst, fabs(T - x->traces[t].temp_K[i]));
        }
        printf("left face at %.1f mm, %s: %.3g K in %zu and %zu steps\n", -1e3 * left_m, x->traces[t].name, worst,
               x->steps, y->steps);
        ck_assert_double_lt(worst, 0.2); /* two steps more or less, and both read straight between steps */
    }
    cq_run_free(a);
    cq_run_free(b);
}

START_TEST(parallel_faces_may_lie_anywhere) {
    compare_with_flat(0.0);
    compare_with_flat(-2e-3);
    compare_with_flat(0.7e-3);
}
END_TEST

/* A tall piece with one face flat, edge as thick as spine, is a plate where its ends are not felt: 20 mm away for 2 s,
 * in which heat gets 5 mm far. The plate's cells are four times finer: 3 K. */
START_TEST(plate_like_piece_is_a_plate) {
    const cq_outline_point left[] = {{0, 0}, {40e-3, 0}}, right[] = {{0, 3e-3}, {40e-3, 3e-3}};
    const cq_coat_point coat[] = {{0, 1e-3, 0.5e-3}, {40e-3, 1e-3, 0.5e-3}};
    cq_plan plan, tall;
    cq_step_plan steps[2], tall_steps[2];
    cq_run *a, *b;
    start(&plan, steps, (cq_blade){.family = CQ_FAMILY_PLATE, .spine_m = 3e-3});
    start(&tall, tall_steps,
          (cq_blade){
              .family = CQ_FAMILY_OUTLINE, .height_m = 40e-3, .left_n = 2, .right_n = 2, .left = left, .right = right});
    plan.coat = (cq_coat){1, coat, 0, 0};
    tall.coat = (cq_coat){2, coat, 0, 0};
    plan.grid.clay = tall.grid.clay = 12;
    for (int s = 0; s < 2; s++) {
        cq_step_plan *const quench = s == 0 ? steps : tall_steps;
        quench[0].for_s = 0.2;
        quench[1].for_s = 2.0;
        quench[1].until_K = 0.0;
    }
    const double times[] = {0.2, 0.5, 1.0, 2.0};
    plan.times_s = tall.times_s = times;
    plan.times_n = tall.times_n = 4;
    const cq_result *x = go(&a, &plan), *y = go(&b, &tall);
    const cq_trace *one = &x->traces[CQ_TRACE_BODY], *two = &y->traces[CQ_TRACE_BODY];
    double worst = 0.0;
    for (size_t n = 0; n < 4; n++) {
        double T[2];
        for (int k = 0; k < 2; k++) {
            const cq_trace *t = k == 0 ? one : two;
            size_t i = 0;
            while (i + 2 < t->n && t->time_s[i + 1] < times[n]) {
                i++;
            }
            T[k] = t->temp_K[i] +
                   (times[n] - t->time_s[i]) / (t->time_s[i + 1] - t->time_s[i]) * (t->temp_K[i + 1] - t->temp_K[i]);
        }
        printf("at %.1f s: plate %.2f K, tall piece %.2f K\n", times[n], T[0], T[1]);
        worst = fmax(worst, fabs(T[0] - T[1]));
    }
    ck_assert_double_lt(worst, 3.0);
    cq_run_free(a);
    cq_run_free(b);
}
END_TEST

static cq_blade single_bevel(int flat_side) {
    return (cq_blade){.family = CQ_FAMILY_ONE_SIDED,
                      .height_m = 28e-3,
                      .edge_m = 0.8e-3,
                      .spine_m = 3.6e-3,
                      .ridge_at_m = 14e-3,
                      .ridge_thickness_m = 3.8e-3,
                      .flat_side = flat_side};
}

/* Every operation has its mirror image: the mirrored blade gives the mirrored bits. */
START_TEST(mirrored_blade_mirrors_the_answer) {
    cq_plan plan, turned;
    cq_step_plan steps[2], turned_steps[2];
    cq_run *a, *b;
    start(&plan, steps, single_bevel(CQ_SIDE_LEFT));
    start(&turned, turned_steps, single_bevel(CQ_SIDE_RIGHT));
    const cq_result *x = go(&a, &plan), *y = go(&b, &turned);
    ck_assert_uint_eq(x->steps, y->steps);
    ck_assert_double_eq_tol(x->line_left_m, y->line_right_m, 1e-15);
    ck_assert_double_eq_tol(x->line_right_m, y->line_left_m, 1e-15);
    ck_assert_double_eq_tol(x->line_mid_m, y->line_mid_m, 1e-15);
    ck_assert_double_eq_tol(x->edge.HV, y->edge.HV, 1e-9);
    ck_assert_double_ne(x->line_left_m, x->line_right_m);
    cq_run_free(a);
    cq_run_free(b);
}
END_TEST

/* The bounds asked of the demo plans: 0.05 mm of line, 5e-3 of energy at the default grid. */
static void refine(const char *name, cq_blade blade) {
    cq_plan plan;
    cq_step_plan steps[2];
    cq_run *run;
    start(&plan, steps, blade);
    const cq_result *r = go(&run, &plan);
    const double line = r->line_surface_m, mid = r->line_mid_m, imbalance = r->energy_imbalance;
    cq_run_free(run);
    plan.grid.refine = 3;
    r = go(&run, &plan);
    printf("%s: line %.3f, refined %.3f mm; mid-plane %.3f, %.3f; imbalance %.1e, %.1e\n", name, 1e3 * line,
           1e3 * r->line_surface_m, 1e3 * mid, 1e3 * r->line_mid_m, imbalance, r->energy_imbalance);
    ck_assert_double_eq_tol(line, r->line_surface_m, 0.05e-3);
    ck_assert_double_eq_tol(mid, r->line_mid_m, 0.05e-3);
    ck_assert_double_lt(imbalance, 5e-3);
    ck_assert_double_lt(r->energy_imbalance, 1e-3); /* nine times less, and a margin of two */
    cq_run_free(run);
}

START_TEST(lines_stay_when_refined) {
    const cq_blade base = {.height_m = 28e-3, .edge_m = 1.2e-3, .spine_m = 3.6e-3};
    cq_blade hollow = base, grooved = base;
    hollow.family = CQ_FAMILY_HOLLOW;
    hollow.hollow_m = 0.3e-3;
    grooved.family = CQ_FAMILY_FLAT;
    grooved.groove_at_m = 20e-3;
    grooved.groove_width_m = 4e-3; /* an arc of 2.9 mm under 2 mm of clay */
    grooved.groove_depth_m = 0.8e-3;
    refine("one-sided", single_bevel(CQ_SIDE_LEFT));
    refine("hollow", hollow);
    refine("grooved", grooved);
}
END_TEST

/* Two edges alike under clay alike. Rows are laid from the edge up, so the two halves are not the same bits: 0.5 HV,
 * and 0.05 mm of line as above. The back of a double-edged section is its body. */
START_TEST(two_edges_are_alike) {
    const cq_coat_point coat[] = {{6e-3, 0, 0}, {9e-3, 3e-3, 3e-3}, {21e-3, 3e-3, 3e-3}, {24e-3, 0, 0}};
    cq_plan plan;
    cq_step_plan steps[2];
    cq_run *run;
    start(&plan, steps,
          (cq_blade){.family = CQ_FAMILY_DOUBLE_EDGED,
                     .height_m = 30e-3,
                     .edge_m = 1e-3,
                     .spine_m = 1e-3,
                     .ridge_at_m = 15e-3,
                     .ridge_thickness_m = 6e-3});
    plan.coat = (cq_coat){4, coat, 0, 0};
    const cq_result *r = go(&run, &plan);
    printf("two edges: %.1f, %.1f, %.1f HV; lines %.3f, %.3f mm\n", r->edge.HV, r->body.HV, r->spine.HV,
           1e3 * r->crossings_m[0], 1e3 * r->crossings_m[1]);
    ck_assert_uint_eq(r->crossings_n, 2);
    ck_assert_double_eq_tol(r->edge.HV, r->spine.HV, 0.5);
    ck_assert_double_eq_tol(r->crossings_m[0] + r->crossings_m[1], 30e-3, 0.05e-3);
    ck_assert_int_eq(r->verdict, CQ_VERDICT_GOOD);
    ck_assert_double_eq_tol(r->contrast_HV, r->edge.HV - r->body.HV, 1e-9);
    cq_run_free(run);
}
END_TEST

int main(void) {
    TCase *tc = tcase_create("sections");
    tcase_set_timeout(tc, 120);
    tcase_add_test(tc, outline_of_a_flat_section_is_that_section);
    tcase_add_test(tc, parallel_faces_may_lie_anywhere);
    tcase_add_test(tc, plate_like_piece_is_a_plate);
    tcase_add_test(tc, mirrored_blade_mirrors_the_answer);
    tcase_add_test(tc, lines_stay_when_refined);
    tcase_add_test(tc, two_edges_are_alike);
    return run_case(tc, "sections");
}
