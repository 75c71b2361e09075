/* What the soak and an interrupted quench do to whole blades. Figures named "second program" were computed apart from
 * this one, from the same equations in another code; they check the coupling, not nature.
 */
#include "../suite.h"
#include "plans.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static const cq_composition C1084 = {.C = 0.84, .Mn = 0.75, .Si = 0.22, .Cr = 0.08, .Ni = 0.06, .Mo = 0.01},
                            C1075 = {.C = 0.75, .Mn = 0.60, .Si = 0.22, .Cr = 0.08, .Ni = 0.06, .Mo = 0.01},
                            C1095 = {.C = 0.95, .Mn = 0.40, .Si = 0.20, .Cr = 0.08, .Ni = 0.06, .Mo = 0.01};

typedef struct answer {
    double line_mm, edge_HRC, spine_HV, body_HRC, softening_HRC, spine_ferrite, teeth_HV, edge_temper_HRC;
    cq_verdict verdict;
} answer;

typedef struct trial {
    cq_plan plan;
    cq_step_plan steps[4];
    cq_coat_point body[3];
} trial;

static void set(trial *t, const cq_composition *steel, double soak_C, double hold_s, cq_stock stock) {
    start_plan(&t->plan, t->steps, 30.0);
    t->plan.steel.composition_wt = *steel;
    t->plan.heat = (cq_heat_plan){.temperature_K = soak_C + 273.15, .hold_s = hold_s, .stock = stock};
}

/* Bare edge, ramp from 8 to 11 mm. */
static void lay(trial *t, cq_blade blade, double body_m) {
    t->plan.blade = blade;
    t->body[0] = (cq_coat_point){8e-3, 0, 0};
    t->body[1] = (cq_coat_point){11e-3, body_m, body_m};
    t->body[2] = (cq_coat_point){blade.height_m, body_m, body_m};
    t->plan.coat = (cq_coat){3, t->body, 0.0, body_m};
}

static cq_blade ridged_blade(void) {
    return (cq_blade){.family = CQ_FAMILY_RIDGED,
                      .height_m = 30e-3,
                      .edge_m = 1.5e-3,
                      .spine_m = 6e-3,
                      .ridge_at_m = 20e-3,
                      .ridge_thickness_m = 6.5e-3};
}

/* Largest fall of hardness that a rise follows within the hardened zone, HV. */
static double largest_tooth(const cq_result *r) {
    const cq_profile_along *a = &r->along;
    double tooth = 0.0;
    for (size_t i = 1; i + 1 < a->n && a->martensite_mid[i + 1] > 0.8; i++) {
        const double fell = a->hardness_mid_HV[i - 1] - a->hardness_mid_HV[i],
                     rose = a->hardness_mid_HV[i + 1] - a->hardness_mid_HV[i];
        tooth = fmax(tooth, fmin(fell, rose));
    }
    return tooth;
}

static answer ask(trial *t) {
    cq_error error = CQ_ERROR_INIT;
    cq_run *run = NULL;
    cq_status status = cq_run_create(&run, &t->plan, NULL, &error);
    status = status < 0 ? status : cq_run_go(run, NULL, &error);
    ck_assert_msg(status >= 0, "%s", error.count > 0 ? error.items[0].found : "");
    const cq_result *r = cq_run_result(run);
    const answer a = {
        1e3 * r->line_surface_m,       r->edge.HRC,      r->spine.HV,        r->body.HRC, r->edge_softening_HRC,
        r->spine.fraction[CQ_FERRITE], largest_tooth(r), r->edge_temper_HRC, r->verdict};
    cq_run_free(run);
    return a;
}

START_TEST(too_cold_does_not_harden) {
    trial t;
    const struct {
        double soak_C;
        cq_stock stock;
        bool hardens;
    } soaks[] = {{715, CQ_STOCK_NORMALISED, false},
                 {740, CQ_STOCK_SPHEROIDISED_COARSE, false},
                 {760, CQ_STOCK_NORMALISED, true}};
    for (int n = 0; n < 3; n++) {
        set(&t, &C1075, soaks[n].soak_C, 120, soaks[n].stock);
        lay(&t, ridged_blade(), 2e-3);
        const answer a = ask(&t);
        printf("ridged 1075, 2 min at %.0f degC: line %.2f mm, %s\n", soaks[n].soak_C, a.line_mm,
               cq_verdict_words(a.verdict));
        ck_assert_int_eq(a.verdict != CQ_VERDICT_NO_EDGE, soaks[n].hardens);
        ck_assert(!soaks[n].hardens ||
                  (a.line_mm > 9.0 && a.line_mm < 10.5)); /* second program, and what a step of clay moves */
    }
}
END_TEST

/* Mill-annealed 1095 wants a conditioning heat (common practice, no source). */
START_TEST(spheroidised_stock_hardens_less) {
    static const double oil_T[] = {373.15, 473.15, 573.15, 623.15, 673.15,  723.15,
                                   773.15, 823.15, 873.15, 923.15, 1023.15, 1123.15};
    static const double oil_h[] = {200, 400, 700, 1100, 2200, 3600, 4200, 4000, 3200, 2400, 1300, 900};
    double HRC[2];
    for (int n = 0; n < 2; n++) {
        trial t;
        set(&t, &C1095, 802, 300, n == 0 ? CQ_STOCK_NORMALISED : CQ_STOCK_SPHEROIDISED_FINE);
        t.plan.blade = (cq_blade){.family = CQ_FAMILY_PLATE, .spine_m = 3.2e-3};
        t.steps[1].bath =
            (cq_bath){.kind = CQ_BATH_TABLE, .heat_transfer_W_m2K = {12, oil_T, oil_h, CQ_INTERPOLATE_LINEAR}};
        t.steps[1].at_K = 35 + 273.15;
        HRC[n] = ask(&t).edge_HRC;
    }
    printf("1095, 3.2 mm plate in fast oil from 802 degC: normalised %.1f, spheroidised %.1f HRC\n", HRC[0], HRC[1]);
    ck_assert_double_ge(HRC[0], 60.0);
    /* the second program says 56 at most: a known miss by 3, on a cliff where 14 K of soak are worth 11 points */
    ck_assert_double_lt(HRC[1], HRC[0] - 1.5);
    ck_assert_double_gt(HRC[1], 56.0); /* when this fails, the miss is gone: take it out of DEVELOPERS.md */
}
END_TEST

START_TEST(hotter_never_lowers_the_line) {
    const double soak_C[] = {740, 760, 780, 800, 820, 840, 860};
    const cq_composition *steels[] = {&C1084, &C1095};
    for (int s = 0; s < 2; s++) {
        for (int stock = 0; stock < 3; stock += 2) { /* normalised, spheroidised fine */
            double before = 0.0;
            printf("%s, %s, 5 min at 740 to 860 degC: line", s == 0 ? "1084" : "1095",
                   stock == 0 ? "normalised" : "spheroidised");
            for (int n = 0; n < 7; n++) {
                trial t;
                set(&t, steels[s], soak_C[n], 300, (cq_stock)stock);
                lay(&t, sloyd_blade(), 2e-3);
                const answer a = ask(&t);
                printf(" %.2f", a.line_mm);
                ck_assert_double_ge(a.line_mm, before - 0.05); /* half of what a smith could see */
                before = fmax(before, a.line_mm);
            }
            printf(" mm\n");
        }
    }
}
END_TEST

START_TEST(overheating_takes_the_line_into_the_body) {
    const double soak_C[] = {740, 788, 860, 950}, line_mm[] = {13.5, 15.4, 17.6, INFINITY}; /* second program */
    for (int n = 0; n < 4; n++) {
        trial t;
        set(&t, &C1084, soak_C[n], 900, CQ_STOCK_NORMALISED);
        lay(&t, sloyd_blade(), 1e-3);
        const answer a = ask(&t);
        printf("sloyd 1084, 15 min at %.0f degC, 1 mm: line %.2f mm, spine %.0f HV, %s\n", soak_C[n], a.line_mm,
               a.spine_HV, cq_verdict_words(a.verdict));
        if (isfinite(line_mm[n])) {
            ck_assert_double_eq_tol(a.line_mm, line_mm[n], 0.8);
        } else {
            ck_assert(a.verdict == CQ_VERDICT_THROUGH || a.verdict == CQ_VERDICT_SPINE);
        }
    }
}
END_TEST

/* A short heat that leaves the spine 60 K cooler: the back does not turn, the line stays. */
START_TEST(cool_spine_stays_soft) {
    trial t;
    set(&t, &C1084, 760, 120, CQ_STOCK_NORMALISED);
    lay(&t, sloyd_blade(), 2e-3);
    const answer even = ask(&t);
    t.plan.heat.spine_below_K = 60.0;
    const answer uneven = ask(&t);
    printf("sloyd 1084, 2 min at 760 degC: spine %.0f HV, 60 K cooler %.0f HV; line %.2f and %.2f mm\n", even.spine_HV,
           uneven.spine_HV, even.line_mm, uneven.line_mm);
    ck_assert_double_gt(even.spine_HV, 300.0);
    ck_assert_double_eq_tol(uneven.spine_HV, 200.0, 5.0); /* below Ac1 all along: as it was before the heat */
    ck_assert_double_gt(uneven.spine_ferrite, 0.99);
    ck_assert_double_lt(uneven.line_mm, even.line_mm);
}
END_TEST

static bool has_notice(const cq_result *r, const char *code, const char *words) {
    for (size_t n = 0; n < r->notices_n; n++) {
        if (strcmp(r->notices[n].code, code) == 0 && strstr(r->notices[n].sentence, words) != NULL) {
            return true;
        }
    }
    return false;
}

/* Half martensite everywhere is the verdict "hard right through" although a quarter of the steel stayed soft: the
 * notice says what that means, and the critical rate of full hardening is none. */
START_TEST(a_part_that_does_not_turn_is_told) {
    const cq_composition C1045 = {.C = 0.45, .Mn = 0.75, .Si = 0.22, .Cr = 0.08, .Ni = 0.06, .Mo = 0.01};
    const double soak_C[] = {700, 745, 800};
    for (int n = 0; n < 3; n++) {
        trial t;
        set(&t, &C1045, soak_C[n], 300, CQ_STOCK_NORMALISED);
        t.plan.blade = (cq_blade){.family = CQ_FAMILY_PLATE, .spine_m = 2e-3};
        t.steps[1].at_K = 20 + 273.15;
        cq_run *run = NULL;
        ck_assert_int_ge(cq_run_create(&run, &t.plan, NULL, NULL), 0);
        ck_assert_int_ge(cq_run_go(run, NULL, NULL), 0);
        const cq_result *r = cq_run_result(run);
        printf("1045 plate 2 mm from %.0f degC: %s, %.1f HRC, martensite %.2f\n", soak_C[n],
               cq_verdict_words(r->verdict), r->body.HRC, r->body.fraction[CQ_MARTENSITE]);
        ck_assert_int_eq(r->verdict, n == 0 ? CQ_VERDICT_NO_EDGE : CQ_VERDICT_THROUGH);
        ck_assert_int_eq(has_notice(r, "soak-partial", "half martensite or more there, not all"), n == 1);
        ck_assert_int_eq(has_notice(r, "soak-too-cold", "Ac1"), n == 0);
        ck_assert_int_eq(isnan(r->critical_rate_K_s), n < 2);
        ck_assert_int_eq(isnan(r->carbon_in_solution_wt) && isnan(r->Ms_K), n == 0);
        cq_run_free(run);
    }
}
END_TEST

/* Normalised stock hardens deepest. Coarse carbide leaves less carbon in solution than fine, but fine stock starts from
 * a finer grain and keeps more austenite, so that below 800 degC the two come within 0.15 mm of one
 * another, either way (DEVELOPERS.md). */
START_TEST(coarser_carbide_hardens_less) {
    const double soak_C[] = {760, 800, 830};
    const cq_composition *steels[] = {&C1084, &C1075, &C1095};
    for (int s = 0; s < 3; s++) {
        for (int n = 0; n < 3; n++) {
            static const cq_stock stocks[] = {CQ_STOCK_NORMALISED, CQ_STOCK_SPHEROIDISED_FINE,
                                              CQ_STOCK_SPHEROIDISED_COARSE};
            double line[3];
            for (int k = 0; k < 3; k++) {
                trial t;
                set(&t, steels[s], soak_C[n], 300, stocks[k]);
                lay(&t, sloyd_blade(), 2e-3);
                line[k] = ask(&t).line_mm;
            }
            printf("%s at %.0f degC: normalised %.2f, fine %.2f, coarse %.2f mm\n",
                   s == 0   ? "1084"
                   : s == 1 ? "1075"
                            : "1095",
                   soak_C[n], line[0], line[1], line[2]);
            ck_assert_double_gt(line[0], line[1] + 0.1);
            ck_assert_double_gt(line[1], line[2] + (n == 0 ? -0.17 : 0.0));
        }
    }
}
END_TEST

/* Pulled after 3 s, 5 s out, in again: returning heat tempers the edge, a thick blade's far more than a thin one's. */
START_TEST(returning_heat_tempers_the_edge) {
    double lost[2];
    for (int n = 0; n < 2; n++) {
        trial t;
        set(&t, n == 0 ? &C1084 : &C1075, 800, 300, CQ_STOCK_NORMALISED);
        lay(&t, n == 0 ? sloyd_blade() : ridged_blade(), 2e-3);
        const answer straight = ask(&t);
        const cq_step_plan air = t.steps[0], water = t.steps[1];
        t.steps[1].for_s = 3.0, t.steps[1].until_K = 0.0;
        t.steps[2] = air, t.steps[2].for_s = 5.0;
        t.steps[3] = water;
        t.plan.steps_n = 4;
        /* a temper as strong as what the ridged edge has given itself goes on from there, not from fresh martensite */
        const cq_temper again = {473.15, 3600.0};
        t.plan.temper = &again;
        t.plan.temper_n = 1;
        const answer pulled = ask(&t);
        printf("after 1 h at 200 degC: %.2f of %.2f HRC\n", pulled.edge_temper_HRC, pulled.edge_HRC);
        ck_assert_double_lt(pulled.edge_temper_HRC, pulled.edge_HRC - 0.5); /* from fresh: 0.4 */
        ck_assert_double_lt(pulled.teeth_HV, 3.0); /* softening is smooth along the height, cohorts or not */
        printf("%s: edge %.1f HRC straight (%.1f lost), %.1f pulled after 3 s (%.1f lost); line %.2f and %.2f mm\n",
               n == 0 ? "sloyd 1084" : "ridged 1075", straight.edge_HRC, straight.softening_HRC, pulled.edge_HRC,
               pulled.softening_HRC, straight.line_mm, pulled.line_mm);
        ck_assert_double_lt(straight.softening_HRC, 0.5); /* a straight quench of a rich steel: nothing to speak of */
        ck_assert_double_lt(pulled.edge_HRC, straight.edge_HRC - 0.5);
        ck_assert_double_lt(pulled.line_mm, straight.line_mm);
        lost[n] = pulled.softening_HRC;
    }
    ck_assert_double_gt(lost[1], lost[0] + 2.0);
    ck_assert(lost[0] > 1.0 && lost[0] < 6.0 && lost[1] > 5.0 && lost[1] < 16.0); /* second program: 3 and 11 */
}
END_TEST

/* C23: blades of bloomery steel, no clay or hardly any, water: hard zones 4 to 10 mm wide, edges 700 to 850, bodies of
 * pearlite 200 to 350 HV (neutron images and hardness traverses of museum blades, from memory). */
START_TEST(a_clean_wedge_hardens_only_where_it_is_thin) {
    const cq_composition clean = {.C = 0.65, .Mn = 0.05, .Si = 0.03};
    trial t;
    set(&t, &clean, 800, 300, CQ_STOCK_NORMALISED);
    t.plan.blade = (cq_blade){.family = CQ_FAMILY_FLAT, .height_m = 30e-3, .edge_m = 0.3e-3, .spine_m = 7e-3};
    t.plan.coat.n = 0;
    t.steps[1].at_K = 20 + 273.15, t.steps[1].until_K = 40 + 273.15;
    t.steps[1].bath.film_convection_W_m2K = 6000.0; /* moved fast: no lasting blanket on bare steel */
    const answer a = ask(&t);
    printf("clean 0.65C-0.05Mn wedge, bare, moved water: line %.2f mm, edge %.1f HRC, spine %.0f HV\n", a.line_mm,
           a.edge_HRC, a.spine_HV);
    ck_assert(a.line_mm > 4.0 && a.line_mm < 10.0);
    ck_assert(a.edge_HRC > 59.0 && a.edge_HRC < 66.0);
    ck_assert(a.spine_HV > 180.0 && a.spine_HV < 350.0);
}
END_TEST

int main(void) {
    TCase *tc = tcase_create("runs");
    tcase_set_timeout(tc, 300);
    tcase_add_test(tc, too_cold_does_not_harden);
    tcase_add_test(tc, spheroidised_stock_hardens_less);
    tcase_add_test(tc, hotter_never_lowers_the_line);
    tcase_add_test(tc, overheating_takes_the_line_into_the_body);
    tcase_add_test(tc, cool_spine_stays_soft);
    tcase_add_test(tc, a_part_that_does_not_turn_is_told);
    tcase_add_test(tc, coarser_carbide_hardens_less);
    tcase_add_test(tc, returning_heat_tempers_the_edge);
    tcase_add_test(tc, a_clean_wedge_hardens_only_where_it_is_thin);
    return run_case(tc, "soaks and pulls");
}
