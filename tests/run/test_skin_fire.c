/* A blade with a skin that lost its carbon, from a fire, or judged by its colour. */
#include "laid.h"

#include "kinetics/carbon.h"
#include "material/thermal.h"

#include <math.h>
#include <stdio.h>

/* ---- skin ---------------------------------------------------------------------------------------------------------
 */

START_TEST(skin_is_soft_until_ground_off) {
    trial t;
    double face_HV[2];
    for (int skin = 0; skin < 2; skin++) {
        start(&t, CQ_BUILD_PIECES);
        t.plan.zones = (cq_zones){.n = 0};
        t.plan.skin.depth_m = skin ? 0.15e-3 : 0.0;
        t.plan.grind_m = 0.3e-3;
        cq_run *run = go(&t.plan, NULL);
        const cq_result *r = cq_run_result(run);
        face_HV[skin] = r->along.hardness_right_HV[5];
        ck_assert_double_gt(r->edge.HRC, 55.0);
        if (skin) {
            const cq_built *b = &r->built;
            printf("skin 0.15 mm: face cell %.0f HV without %.0f; file %.0f HV at %.3f %% C, ground %.0f HV at %.3f\n",
                   face_HV[1], face_HV[0], b->file_HV, b->face_wt, b->ground_HV, b->ground_wt);
            ck_assert_double_lt(b->face_wt, 0.1);
            ck_assert_double_lt(b->file_HV, 400.0);
            ck_assert_double_gt(b->ground_wt, 0.98 * 0.70);
            ck_assert_double_gt(b->ground_HV, 750.0);
        }
        cq_run_free(run);
    }
    ck_assert_double_lt(face_HV[1], face_HV[0] - 50.0);
}
END_TEST

/* A skin deeper than the outer cells hides the line; ground off, it is where it would be without. */
START_TEST(skin_hides_the_line) {
    static const cq_coat_point coat[] = {{8e-3, 0, 0}, {11e-3, 2e-3, 2e-3}, {28e-3, 2e-3, 2e-3}};
    double surface[2], ground[2], mid[2];
    for (int skin = 0; skin < 2; skin++) {
        trial t;
        start(&t, CQ_BUILD_PIECES);
        t.plan.zones = (cq_zones){.n = 0};
        t.plan.steel = steel_of("1084", 0.84, 0.75);
        t.plan.coat = (cq_coat){3, coat, 0.0, 2e-3};
        t.plan.skin.depth_m = skin ? 0.3e-3 : 0.0;
        t.plan.grind_m = 0.35e-3;
        cq_run *run = go(&t.plan, NULL);
        surface[skin] = cq_run_result(run)->line_surface_m;
        ground[skin] = cq_run_result(run)->line_ground_m;
        mid[skin] = cq_run_result(run)->line_mid_m;
        cq_run_free(run);
    }
    printf("line without skin %.2f, ground %.2f mm; under a skin %.2f, ground %.2f mm\n", 1e3 * surface[0],
           1e3 * ground[0], 1e3 * surface[1], 1e3 * ground[1]);
    ck_assert(!(surface[1] > surface[0] - 0.5e-3)); /* none, or lower */
    ck_assert_double_eq_tol(ground[1], ground[0], 0.3e-3);
    ck_assert_double_eq_tol(mid[1], mid[0], 0.5e-3); /* the skin turns earlier and warms what is below */
}
END_TEST

/* The skin of a heat is that of its depth. */
START_TEST(skin_of_a_heat) {
    trial t;
    start_of_one(&t);
    t.plan.skin = (cq_skin){.temperature_K = 900 + ZERO_C, .for_s = 900.0};
    cq_run *run = go(&t.plan, NULL);
    const double D = cq_carbon_diffusivity(900 + ZERO_C, 0.35);
    printf("15 min at 900 degC: skin %.3f mm\n", 1e3 * cq_run_result(run)->built.skin_m);
    ck_assert_double_eq_tol(cq_run_result(run)->built.skin_m, 1.16309 * 2.0 * sqrt(D * 900.0), 1e-7);
    cq_run_free(run);
}
END_TEST

/* ---- fire ---------------------------------------------------------------------------------------------------------
 */

/* Below Ac1 a thin plate follows c dT/dt = 2 h (Tf - T) / thickness with the table's own c. */
START_TEST(plate_in_a_fire) {
    trial t;
    start_of_one(&t);
    t.plan.blade = (cq_blade){.family = CQ_FAMILY_PLATE, .spine_m = 2e-3};
    t.plan.heat.fire = (cq_fire){900 + ZERO_C, 150.0, 40.0};
    cq_run *run = NULL;
    cq_error error = CQ_ERROR_INIT;
    ck_assert_int_ge(cq_run_create(&run, &t.plan, NULL, &error), 0);
    const cq_phase_thermal p = cq_thermal_of(CQ_PEARLITE);
    double T = 293.15;
    for (int n = 0; n < 400000; n++) {
        T += 1e-4 * 2.0 * 150.0 * (900 + ZERO_C - T) / (2e-3 * (p.c0 + p.c1 * T));
    }
    printf("plate after 40 s in the fire: %.2f degC, by hand %.2f\n", cq_run_result(run)->fired.edge_K - ZERO_C,
           T - ZERO_C);
    ck_assert_double_lt(T, 700 + ZERO_C);
    ck_assert_double_eq_tol(cq_run_result(run)->fired.edge_K, T,
                            1.5); /* half a degree from face to middle and the steps */
    cq_run_free(run);
}
END_TEST

typedef struct fired {
    double edge_C, spine_C, grain, spine_grain, line_mm;
    bool hot, turned;
} fired;

static fired clayed_in_fire(double fire_C, double for_s) {
    static const cq_coat_point coat[] = {{8e-3, 0, 0}, {11e-3, 2e-3, 2e-3}, {28e-3, 2e-3, 2e-3}};
    trial t;
    start_of_one(&t);
    t.plan.steel = steel_of("1084", 0.84, 0.75);
    t.plan.coat = (cq_coat){3, coat, 0.0, 2e-3};
    t.plan.heat.fire = (cq_fire){fire_C + ZERO_C, 200.0, for_s};
    if (!(for_s > 0.0)) {
        t.plan.heat.fire.for_s = 0.0;
    }
    cq_run *run = go(&t.plan, NULL);
    const cq_result *r = cq_run_result(run);
    fired f = {r->fired.edge_K - ZERO_C,
               r->fired.spine_K - ZERO_C,
               for_s > 0.0 ? r->fired.edge_grain_ASTM : r->grain_ASTM,
               r->fired.spine_grain_ASTM,
               1e3 * r->line_surface_m,
               false,
               r->soak_spine_austenite > 0.995};
    for (size_t n = 0; n < r->notices_n; n++) {
        f.hot = f.hot || strcmp(r->notices[n].code, "fire-too-hot") == 0;
    }
    cq_run_free(run);
    return f;
}

START_TEST(thin_edge_overheats) {
    const fired even = clayed_in_fire(0.0, 0.0), brief = clayed_in_fire(950.0, 80.0),
                two = clayed_in_fire(950.0, 120.0), long_ = clayed_in_fire(950.0, 600.0);
    printf("even soak: line %.2f mm, grain %.2f\n", even.line_mm, even.grain);
    const fired *list[] = {&brief, &two, &long_};
    for (int n = 0; n < 3; n++) {
        printf("fire of 950 degC: edge %.0f degC, spine %.0f degC, edge grain %.2f, spine grain %.2f, line %.2f mm\n",
               list[n]->edge_C, list[n]->spine_C, list[n]->grain, list[n]->spine_grain, list[n]->line_mm);
    }
    ck_assert_double_gt(two.edge_C, two.spine_C + 40.0); /* the clay lags */
    ck_assert(!brief.turned && two.hot && long_.hot);
    ck_assert_double_lt(long_.grain, two.grain - 1.0); /* lower numbers are coarser */
    ck_assert_double_lt(long_.grain, even.grain - 1.0);
    ck_assert_double_gt(long_.line_mm, two.line_mm + 0.2); /* coarse grain hardens deeper */
}
END_TEST

/* Steel that melts in the fire has no quench; the message says where and how hot. */
START_TEST(burnt_in_the_fire) {
    trial t;
    start_of_one(&t);
    t.plan.heat.fire = (cq_fire){1480 + ZERO_C, 200.0, 600.0};
    cq_run *run = NULL;
    cq_error error = CQ_ERROR_INIT;
    ck_assert_int_eq(cq_run_create(&run, &t.plan, NULL, &error), CQ_ERR_PLAN);
    ck_assert_str_eq(error.items[0].key, "heat.fire");
    ck_assert_ptr_nonnull(strstr(error.items[0].found, "1480"));
    cq_error_clear(&error);
    t.plan.heat.fire.for_s = 60.0; /* as hot a fire, and out of it in time */
    ck_assert_int_ge(cq_run_create(&run, &t.plan, NULL, &error), 0);
    cq_run_free(run);
}
END_TEST

/* Under hardly any skin a file meets the edge's own hardness; where hardly any carbon is left, steel that did not turn.
 */
START_TEST(a_file_meets_the_edge) {
    static const struct {
        double depth_m, grind_m;
        const char *word;
    } cases[] = {{0.005e-3, 0.1e-3, NULL}, {0.3e-3, 0.1e-3, "bites"}, {0.18e-3, 0.12e-3, "skates"}};
    for (int n = 0; n < 3; n++) {
        trial t;
        start(&t, CQ_BUILD_PIECES);
        t.plan.zones = (cq_zones){.n = 0};
        t.plan.steel = steel_of("1084", 0.84, 0.75);
        t.plan.skin.depth_m = cases[n].depth_m;
        t.plan.grind_m = cases[n].grind_m;
        cq_run *run = go(&t.plan, NULL);
        const cq_result *r = cq_run_result(run);
        const char *left = told(r, "skin-left");
        printf("skin %.3f mm, ground %.2f mm: edge %.1f HV, a file meets %.1f, %.1f HV; %s\n", 1e3 * cases[n].depth_m,
               1e3 * cases[n].grind_m, r->edge.HV, r->built.file_HV, r->built.ground_HV, left == NULL ? "" : left);
        if (cases[n].word == NULL) {
            ck_assert_ptr_null(left);
            ck_assert_double_eq_tol(r->built.file_HV, r->edge.HV, 2.0); /* 0.001 % C and the edge's own place */
            ck_assert_double_eq_tol(r->built.ground_HV, r->edge.HV, 2.0);
        } else {
            ck_assert_ptr_nonnull(left);
            ck_assert_ptr_nonnull(strstr(left, cases[n].word));
            ck_assert_ptr_nonnull(strstr(left, "no source"));
        }
        if (n == 1) {
            ck_assert_double_lt(r->built.file_HV, 260.0); /* at 0.04 % C */
            ck_assert_ptr_null(told(r, "skin-through"));
        }
        cq_run_free(run);
    }
}
END_TEST

START_TEST(too_deep_for_its_law) {
    trial t;
    start_of_one(&t);
    t.plan.skin.depth_m = 0.8e-3; /* of an edge of 1.2 mm */
    cq_run *run = go(&t.plan, NULL);
    ck_assert_ptr_nonnull(told(cq_run_result(run), "skin-through"));
    cq_run_free(run);
}
END_TEST

/* The words are those of `glow` at that temperature, in that light. */
START_TEST(judged_by_its_colour) {
    static const char *const words[] = {NULL, "orange red in the dark (in the trade light cherry)",
                                        "dark red in daylight (in the trade light cherry)"};
    for (int judged = CQ_JUDGED_THERMOMETER; judged <= CQ_JUDGED_COLOUR_DAYLIGHT; judged++) {
        trial t;
        start(&t, CQ_BUILD_PIECES);
        t.plan.zones = (cq_zones){.n = 0};
        t.plan.heat.judged = (cq_judged)judged;
        cq_run *run = NULL;
        ck_assert_int_ge(cq_run_create(&run, &t.plan, NULL, NULL), 0);
        ck_assert_int_ge(cq_run_go(run, NULL, NULL), 0);
        const char *sentence = told(cq_run_result(run), "judged-by-colour");
        ck_assert_int_eq(sentence != NULL, words[judged] != NULL);
        ck_assert(sentence == NULL || (strstr(sentence, words[judged]) != NULL && strstr(sentence, "938 °C") != NULL));
        cq_run_free(run);
    }
}
END_TEST

int main(void) {
    TCase *tc = tcase_create("skin and fire");
    tcase_set_timeout(tc, 120);
    tcase_add_test(tc, skin_is_soft_until_ground_off);
    tcase_add_test(tc, skin_hides_the_line);
    tcase_add_test(tc, skin_of_a_heat);
    tcase_add_test(tc, a_file_meets_the_edge);
    tcase_add_test(tc, too_deep_for_its_law);
    tcase_add_test(tc, plate_in_a_fire);
    tcase_add_test(tc, thin_edge_overheats);
    tcase_add_test(tc, burnt_in_the_fire);
    tcase_add_test(tc, judged_by_its_colour);
    return run_case(tc, "skin and fire");
}
