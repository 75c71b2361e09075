/* Blades of several steels: where the carbon goes and what that does to the quench. */
#include "laid.h"

#include "base/memory.h"
#include "kinetics/carbon.h"
#include "material/thermal.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static int cell_at(const cq_grid *g, double x_m, int j) {
    int i = g->steel_i0;
    while (i + 1 < g->steel_i1 && g->center_x_m[i * g->across + j] < x_m) {
        i++;
    }
    return i * g->across + j;
}

/* ---- hardness follows carbon --------------------------------------------------------------------------------------
 */

START_TEST(hard_core_soft_jacket) {
    trial t;
    start(&t, CQ_BUILD_CORE_WITH_JACKET);
    t.plan.zones.thickness_m = 1.4e-3;
    t.heats[0] = (cq_weld_heat){1150 + ZERO_C, 120.0, 8e-3};
    t.plan.zones.heats_n = 1;
    cq_run *run = go(&t.plan, NULL);
    const cq_result *r = cq_run_result(run);
    const cq_grid *g = r->grid;
    const int core = cell_at(g, 14e-3, g->steel_j0), jacket = cell_at(g, 14e-3, g->steel_j1 - 1);
    printf("core %.3f %% C %.0f HV, jacket %.3f %% C %.0f HV\n", r->built.carbon_wt[core], r->hardness_HV[core],
           r->built.carbon_wt[jacket], r->hardness_HV[jacket]);
    ck_assert_double_eq_tol(r->built.carbon_wt[core], 0.70, 0.01);
    ck_assert_double_gt(r->hardness_HV[core], 700.0);
    ck_assert_double_lt(r->built.carbon_wt[jacket], 0.10);
    ck_assert_double_lt(r->hardness_HV[jacket], 250.0);   /* soft iron does not harden, water or not */
    for (int j = g->steel_j0 + 1; j < g->steel_j1; j++) { /* from the middle out both only fall */
        const int a = cell_at(g, 14e-3, j - 1);
        ck_assert_double_le(r->built.carbon_wt[a + 1], r->built.carbon_wt[a] + 1e-9);
        ck_assert_double_le(r->hardness_HV[a + 1], r->hardness_HV[a] + 5.0);
    }
    ck_assert_double_gt(r->edge.HRC, 60.0);
    cq_run_free(run);
}
END_TEST

/* In still air the whole of it stays soft. */
START_TEST(slow_cooling_leaves_all_soft) {
    trial t;
    start(&t, CQ_BUILD_CORE_WITH_JACKET);
    t.plan.zones.thickness_m = 1.4e-3;
    t.plan.steps_n = 1;
    t.steps[0].for_s = 300.0;
    cq_run *run = go(&t.plan, NULL);
    const cq_result *r = cq_run_result(run);
    const int jacket = cell_at(r->grid, 14e-3, r->grid->steel_j1 - 1);
    printf("in air: edge %.0f HV, jacket %.0f HV, verdict %s\n", r->edge.HV, r->hardness_HV[jacket],
           cq_verdict_words(r->verdict));
    ck_assert_int_eq(r->verdict, CQ_VERDICT_NO_EDGE);
    ck_assert_double_lt(r->edge.HV, 350.0);
    ck_assert_double_lt(r->hardness_HV[jacket], 220.0);
    cq_run_free(run);
}
END_TEST

START_TEST(edge_on_a_back) {
    trial t;
    start(&t, CQ_BUILD_BACK_AND_EDGE);
    t.plan.zones.height_m = 10e-3;
    t.heats[0] = (cq_weld_heat){1100 + ZERO_C, 120.0, 0.0};
    t.plan.zones.heats_n = 1;
    cq_run *run = go(&t.plan, NULL);
    const cq_result *r = cq_run_result(run);
    printf("back and edge, weld at 10 mm: line %.2f mm, carbon spread %.2f mm\n", 1e3 * r->line_surface_m,
           1e3 * r->built.spread_m);
    ck_assert_int_eq(r->verdict, CQ_VERDICT_GOOD);
    ck_assert_double_eq_tol(r->line_surface_m, 10e-3, 0.5e-3); /* the weld, and a row of cells */
    cq_run_free(run);
}
END_TEST

/* The hard skin is where the edge will be ground, and the faces differ. */
START_TEST(skin_on_either_side) {
    double left[2], right[2];
    for (int side = 0; side < 2; side++) {
        trial t;
        start(&t, CQ_BUILD_SKIN_ON_ONE_SIDE);
        t.plan.zones.thickness_m = 0.8e-3;
        t.plan.zones.side = side;
        cq_run *run = go(&t.plan, NULL);
        const cq_result *r = cq_run_result(run);
        ck_assert(!r->grid->symmetric);
        ck_assert_double_gt(r->edge.HRC, 55.0);
        left[side] = r->along.hardness_left_HV[r->along.n / 2];
        right[side] = r->along.hardness_right_HV[r->along.n / 2];
        cq_run_free(run);
    }
    ck_assert_double_gt(left[CQ_SIDE_LEFT], right[CQ_SIDE_LEFT] + 300.0);
    ck_assert_double_eq_tol(left[CQ_SIDE_LEFT], right[CQ_SIDE_RIGHT], 1.0); /* its mirror image */
    ck_assert_double_eq_tol(right[CQ_SIDE_LEFT], left[CQ_SIDE_RIGHT], 1.0);
}
END_TEST

/* Where the weld lies beside the mid-plane, blades that mirror one another are told alike, tempers and all. */
START_TEST(mirrored_blades_read_alike) {
    static const cq_temper temper[] = {{200 + 273.15, 3600.0}};
    double body[2], spine[2], turned[2];
    for (int side = 0; side < 2; side++) {
        trial t;
        start(&t, CQ_BUILD_SKIN_ON_ONE_SIDE);
        t.plan.zones.thickness_m = 1.2e-3;
        t.plan.zones.side = side;
        t.heats[0] = (cq_weld_heat){1150 + ZERO_C, 90.0, 0.0};
        t.plan.zones.heats_n = 1;
        t.zone[CQ_ZONE_SOFT].steel.hardness_shift_HV = 30.0; /* the spine is of this steel */
        t.plan.temper = temper;
        t.plan.temper_n = 1;
        cq_run *run = go(&t.plan, NULL);
        const cq_result *r = cq_run_result(run);
        body[side] = r->body.HV;
        spine[side] = r->spine.HV;
        turned[side] = r->soak_spine_austenite;
        ck_assert_double_eq_tol(r->tempers[0].edge_HV, r->edge_temper_HV, 1e-9);
        ck_assert_double_eq_tol(r->tempers[0].spine_HV, r->spine_temper_HV, 1e-9); /* by its own steel */
        size_t row = 1; /* the body lies between it and the one below */
        while (row + 1 < r->along.n && r->along.height_m[row] < 0.5 * t.plan.blade.height_m) {
            row++;
        }
        const double below = r->along.hardness_mid_HV[row - 1], above = r->along.hardness_mid_HV[row];
        ck_assert(r->body.HV > fmin(below, above) - 5.0 && r->body.HV < fmax(below, above) + 5.0);
        cq_run_free(run);
    }
    printf("hard skin left, right: body %.1f, %.1f HV; spine %.1f, %.1f HV\n", body[0], body[1], spine[0], spine[1]);
    ck_assert_double_eq_tol(body[0], body[1], 1.0);
    ck_assert_double_eq_tol(spine[0], spine[1], 1.0);
    ck_assert_double_eq_tol(turned[0], turned[1], 1e-9);
}
END_TEST

static void look(cq_build build, double thickness_m, double heat_s, const char *is, const char *is_not) {
    trial t;
    start(&t, build);
    t.plan.zones.thickness_m = thickness_m;
    t.plan.zones.height_m = 8e-3;
    t.heats[0] = (cq_weld_heat){1100 + ZERO_C, heat_s, 0.0};
    t.plan.zones.heats_n = heat_s > 0.0 ? 1 : 0;
    if (strcmp(is, "zones-swapped") == 0) {
        const cq_steel hard = t.zone[CQ_ZONE_HARD].steel;
        t.zone[CQ_ZONE_HARD].steel = t.plan.steel = t.zone[CQ_ZONE_SOFT].steel;
        t.zone[CQ_ZONE_SOFT].steel = hard;
    } else if (strcmp(is_not, "weld-sharp") == 0) {
        t.zone[CQ_ZONE_SOFT].steel = t.zone[CQ_ZONE_HARD].steel;
    }
    cq_run *run = go(&t.plan, NULL);
    ck_assert_msg(is[0] == '\0' || told(cq_run_result(run), is) != NULL, "%s is not told", is);
    ck_assert_msg(is_not[0] == '\0' || told(cq_run_result(run), is_not) == NULL, "%s is told", is_not);
    cq_run_free(run);
}

/* What is odd of a build is told, and only then. */
START_TEST(odd_builds_are_told) {
    look(CQ_BUILD_CORE_WITH_JACKET, 1.4e-3, 60.0, "line-of-weld", "zones-edge-soft");
    look(CQ_BUILD_CORE_WITH_JACKET, 1.4e-3, 60.0, "zones-swapped", "zones-edge-soft");
    look(CQ_BUILD_CORE_WITH_JACKET, 1.4e-3, 0.0, "weld-sharp", "zones-swapped");
    look(CQ_BUILD_CORE_WITH_JACKET, 1.4e-3, 60.0, "", "weld-sharp"); /* one steel twice: nothing to spread */
    look(CQ_BUILD_WRAPPED, 0.5e-3, 60.0, "no-line", "zones-edge-soft");
    look(CQ_BUILD_WRAPPED, 0.7e-3, 60.0, "zones-edge-soft", "no-line");
    look(CQ_BUILD_SOFT_CORE, 0.8e-3, 60.0, "no-line", "line-of-weld");
}
END_TEST

/* Two zones of one steel are that steel, but for a step that rounding may add. */
START_TEST(one_steel_twice) {
    trial t;
    double line[2], edge[2];
    for (int zones = 0; zones < 2; zones++) {
        start(&t, CQ_BUILD_CORE_WITH_JACKET);
        t.zone[CQ_ZONE_SOFT].steel = t.zone[CQ_ZONE_HARD].steel;
        t.plan.zones.thickness_m = 1.0e-3;
        t.plan.zones.n = zones == 0 ? 0 : 2;
        t.heats[0] = (cq_weld_heat){1100 + ZERO_C, 300.0, 0.0};
        t.plan.zones.heats_n = zones;
        cq_run *run = go(&t.plan, NULL);
        line[zones] = cq_run_result(run)->line_mid_m;
        edge[zones] = cq_run_result(run)->edge.HV;
        cq_run_free(run);
    }
    ck_assert_double_eq_tol(edge[0], edge[1], 0.1);
    ck_assert(isnan(line[0]) ? isnan(line[1]) : fabs(line[0] - line[1]) < 2e-6);
}
END_TEST

/* Pieces that say what a construction says. */
START_TEST(pieces_as_a_construction) {
    trial t;
    double carbon[2];
    for (int n = 0; n < 2; n++) {
        start(&t, n == 0 ? CQ_BUILD_EDGE_INLAY : CQ_BUILD_PIECES);
        t.plan.zones.thickness_m = 0.9e-3;
        t.plan.zones.height_m = 12e-3;
        t.points[0] = (cq_zone_point){0.0, -0.45e-3, 0.45e-3};
        t.points[1] = (cq_zone_point){12e-3, -0.45e-3, 0.45e-3};
        t.zone[CQ_ZONE_HARD].points = n == 0 ? NULL : t.points;
        t.zone[CQ_ZONE_HARD].n = n == 0 ? 0 : 2;
        cq_run *run = go(&t.plan, NULL);
        const cq_result *r = cq_run_result(run);
        carbon[n] = r->built.mean_wt;
        /* of the strip's area and the section's: 12 x 0.9 of 28 x 2.2 mm2, as the cells have it */
        ck_assert_double_eq_tol(r->built.share[CQ_ZONE_HARD], 12.0 * 0.9 / (28.0 * 2.2), 0.01);
        cq_run_free(run);
    }
    ck_assert_double_eq_tol(carbon[0], carbon[1], 1e-9);
}
END_TEST

/* ---- carbon on the move -------------------------------------------------------------------------------------------
 */

START_TEST(carbon_is_conserved) {
    static const cq_build builds[] = {CQ_BUILD_CORE_WITH_JACKET, CQ_BUILD_SKIN_ON_ONE_SIDE, CQ_BUILD_EDGE_INLAY,
                                      CQ_BUILD_WRAPPED,          CQ_BUILD_SOFT_CORE,        CQ_BUILD_BACK_AND_EDGE};
    for (size_t b = 0; b < sizeof builds / sizeof builds[0]; b++) {
        trial t;
        start(&t, builds[b]);
        t.plan.zones.thickness_m = 0.5e-3;
        t.plan.zones.height_m = 9e-3;
        t.heats[0] = (cq_weld_heat){1200 + ZERO_C, 300.0, 9e-3};
        t.heats[1] = (cq_weld_heat){1050 + ZERO_C, 600.0, 0.0};
        t.plan.zones.heats_n = 2;
        cq_run *run = NULL;
        cq_error error = CQ_ERROR_INIT;
        ck_assert_int_ge(cq_plan_check_parts(&t.plan, CQ_PART_BLADE | CQ_PART_STEEL, &error), 0);
        ck_assert_int_ge(cq_run_create(&run, &t.plan, NULL, &error), 0);
        const cq_built *built = &cq_run_result(run)->built;
        printf("build %d: mean carbon %.6f %%, off by %.1e of it; spread %.2f mm\n", (int)builds[b],
               built->mean_before_wt, built->mean_wt / built->mean_before_wt - 1.0, 1e3 * built->spread_m);
        ck_assert_double_eq_tol(built->mean_wt / built->mean_before_wt, 1.0, 1e-10);
        ck_assert(built->spread_m > 0.1e-3);
        cq_run_free(run);
    }
}
END_TEST

/* The two-dimensional field of a parallel blade, row by row a line of carbon.c, whose cells are a hundred times as
 * many. */
START_TEST(field_against_a_line) {
    enum { FINE = 400 };
    trial t;
    start(&t, CQ_BUILD_CORE_WITH_JACKET);
    t.plan.blade.edge_m = t.plan.blade.spine_m = 3.2e-3;
    t.plan.zones.thickness_m = 1.2e-3;
    t.heats[0] = (cq_weld_heat){1050 + ZERO_C, 300.0, 0.0};
    t.heats[1] = (cq_weld_heat){1150 + ZERO_C, 900.0, 6.4e-3};
    t.plan.zones.heats_n = 2;
    cq_run *run = go(&t.plan, NULL);
    const cq_result *r = cq_run_result(run);
    const cq_grid *g = r->grid;
    cq_carbon_line line;
    ck_assert_int_eq(cq_carbon_line_create(&line, FINE), CQ_OK);
    for (int i = 0; i < FINE; i++) {
        line.width_m[i] = 1.6e-3 / FINE;
        line.carbon_wt[i] = i < FINE * 3 / 8 ? 0.70 : 0.05;
    }
    ck_assert_int_eq(cq_carbon_soak(&line, &(cq_carbon_heat){1050 + ZERO_C, 300.0, 1.0}), CQ_OK);
    ck_assert_int_eq(cq_carbon_soak(&line, &(cq_carbon_heat){1150 + ZERO_C, 900.0, 2.0}), CQ_OK);
    double worst = 0.0;
    for (int j = g->steel_j0; j < g->steel_j1; j++) { /* mean of the line over each cell */
        const int cell = cell_at(g, 14e-3, j), node = cell / g->across * (g->across + 1) + j;
        const double low = g->node_y_m[node], high = g->node_y_m[node + 1], h = 1.6e-3 / FINE;
        double sum = 0.0;
        for (int i = 0; i < FINE; i++) {
            const double part = fmin(high, (i + 1) * h) - fmax(low, i * h);
            sum += part > 0.0 ? part * line.carbon_wt[i] : 0.0;
        }
        worst = fmax(worst, fabs(r->built.carbon_wt[cell] - sum / (high - low)));
    }
    printf("field against line: cells differ by %.4f %% C at most\n", worst);
    ck_assert_double_lt(worst, 0.004);
    cq_carbon_line_free(&line);
    cq_run_free(run);
}
END_TEST

START_TEST(spread_at_welding_heat) {
    static const double minutes[] = {1.0, 5.0, 15.0};
    double spread[4];
    for (int n = 0; n < 4; n++) {
        trial t;
        start(&t, CQ_BUILD_BACK_AND_EDGE);
        t.plan.zones.height_m = 10e-3;
        t.heats[0] = (cq_weld_heat){1200 + ZERO_C, 60.0 * minutes[n < 3 ? n : 2], n < 3 ? 0.0 : 4.0 * 3.2e-3};
        t.plan.zones.heats_n = 1;
        cq_run *run = NULL;
        cq_error error = CQ_ERROR_INIT;
        ck_assert_int_ge(cq_run_create(&run, &t.plan, NULL, &error), 0);
        spread[n] = cq_run_result(run)->built.spread_m;
        cq_run_free(run);
        printf("0.70 against 0.05 %% C, %g min at 1200 degC%s: spread over %.3f mm\n", minutes[n < 3 ? n : 2],
               n < 3 ? "" : ", four times as thick then", 1e3 * spread[n]);
    }
    ck_assert_double_eq_tol(spread[1] / spread[0], sqrt(5.0), 0.02);
    ck_assert_double_eq_tol(spread[2] / spread[0], sqrt(15.0), 0.03);
    ck_assert_double_eq_tol(spread[3], 0.25 * spread[2], 0.005 * spread[2]);
    /* constant D at the mean carbon: 3.625 sqrt(D t) between nine tenths and one tenth; D differs by 1.6 times over the
     * step */
    const double D = cq_carbon_diffusivity(1200 + ZERO_C, 0.375);
    ck_assert_double_eq_tol(spread[1], 3.625 * sqrt(D * 300.0), 0.05 * spread[1]);
}
END_TEST

/* The answer does not hang on how finely cells are sorted into classes. Slow oil and a long weld heat: the line lies in
 * a gradient of carbon and of heating, where both decide. */
START_TEST(classes_do_not_matter) {
    static const double oil_T[] = {373.15, 573.15, 673.15, 773.15, 873.15, 1123.15},
                        oil_h[] = {200, 500, 1000, 1600, 1200, 500};
    double line[2], body[2];
    size_t classes[2];
    for (int fine = 0; fine < 2; fine++) {
        trial t;
        start(&t, CQ_BUILD_BACK_AND_EDGE);
        t.plan.zones.height_m = 10e-3;
        t.zone[CQ_ZONE_SOFT].steel = steel_of("soft", 0.20, 0.7);
        t.heats[0] = (cq_weld_heat){1250 + ZERO_C, 10800.0, 0.0};
        t.plan.zones.heats_n = 1;
        t.plan.heat.fire = (cq_fire){900 + ZERO_C, 200.0, 100.0};
        t.steps[1].bath =
            (cq_bath){.kind = CQ_BATH_TABLE, .heat_transfer_W_m2K = {6, oil_T, oil_h, CQ_INTERPOLATE_LINEAR}};
        const cq_run_options options = {.class_wt = fine ? 0.005 : 0.0, .class_K = fine ? 0.5 : 0.0};
        cq_run *run = go(&t.plan, &options);
        const cq_result *r = cq_run_result(run);
        line[fine] = r->line_surface_m;
        body[fine] = r->body.HV;
        classes[fine] = r->built.classes;
        cq_run_free(run);
    }
    printf("classes %zu and %zu: line %.4f and %.4f mm, body %.1f and %.1f HV\n", classes[0], classes[1], 1e3 * line[0],
           1e3 * line[1], body[0], body[1]);
    ck_assert_uint_gt(classes[1], 2 * classes[0]);
    ck_assert_double_eq_tol(line[0], line[1], 0.02e-3);
    ck_assert_double_eq_tol(body[0], body[1], 2.0);
}
END_TEST

/* Wherever memory runs short, it is told and nothing is left behind. */
START_TEST(short_memory_is_told) {
    trial t;
    start(&t, CQ_BUILD_CORE_WITH_JACKET);
    t.plan.grid.along = 20;
    t.plan.grid.across = 4;
    t.plan.zones.thickness_m = 1.4e-3;
    t.heats[0] = (cq_weld_heat){1000 + ZERO_C, 20.0, 0.0};
    t.plan.zones.heats_n = 1;
    t.plan.skin.depth_m = 0.1e-3;
    t.plan.heat.fire = (cq_fire){900 + ZERO_C, 200.0, 90.0};
    cq_status status = CQ_ERR_MEMORY;
    long n = 0;
    for (; status == CQ_ERR_MEMORY && n < 2000; n++) {
        cq_run *run = NULL;
        cq_error error = CQ_ERROR_INIT;
        cq_memory_fail_after(n);
        status = cq_run_create(&run, &t.plan, NULL, &error);
        cq_memory_fail_after(-1);
        ck_assert((status >= 0) == (run != NULL));
        cq_error_clear(&error);
        cq_run_free(run);
    }
    ck_assert_int_ge(status, 0);
    ck_assert_int_gt(n, 50);
}
END_TEST

int main(void) {
    TCase *tc = tcase_create("built");
    tcase_set_timeout(tc, 120);
    tcase_add_test(tc, hard_core_soft_jacket);
    tcase_add_test(tc, slow_cooling_leaves_all_soft);
    tcase_add_test(tc, edge_on_a_back);
    tcase_add_test(tc, skin_on_either_side);
    tcase_add_test(tc, mirrored_blades_read_alike);
    tcase_add_test(tc, odd_builds_are_told);
    tcase_add_test(tc, one_steel_twice);
    tcase_add_test(tc, pieces_as_a_construction);
    tcase_add_test(tc, carbon_is_conserved);
    tcase_add_test(tc, field_against_a_line);
    tcase_add_test(tc, spread_at_welding_heat);
    tcase_add_test(tc, classes_do_not_matter);
    tcase_add_test(tc, short_memory_is_told);
    return run_case(tc, "built");
}
