/* test_martensite.c - the athermal law as the heat solver calls it: many trial temperatures from one state. */
#include "steels.h"

#define ROUNDING 1e-11 /* exponentials good to 1e-12, a few in a row */

/* 1080 cooled to T_K in n even steps, too fast for anything else to form. */
static double martensite_after(const cq_clock *k, const cq_soak *soak, double T_K, int n) {
    cq_structure s[2];
    double slope;
    begin_pair(s, 1, soak, 1073.15);
    for (int step = 1; step <= n; step++) {
        const double at = 1073.15 + (T_K - 1073.15) * step / n;
        step_pair(k, s, &at, &at, &slope, 1e-9);
    }
    const double M = s[0].fraction[CQ_MARTENSITE][0];
    free_pair(s);
    return M;
}

START_TEST(follows_the_law_in_any_steps) {
    cq_soak soak;
    cq_clock *k = clock_1080(&soak);
    const cq_criticals c = cq_clock_criticals(k);
    for (double T_K = c.Ms_K - 5.0; T_K > 250.0; T_K -= 15.0) {
        const double law = 1.0 - exp(-c.alpha_per_K * (c.Ms_K - T_K));
        ck_assert_double_eq_tol(martensite_after(k, &soak, T_K, 1), law, ROUNDING);
        ck_assert_double_eq_tol(martensite_after(k, &soak, T_K, 137), law, ROUNDING);
    }
    ck_assert_double_eq_tol(martensite_after(k, &soak, c.Ms_K + 0.1, 10), 0.0, 1e-300);
    cq_clock_free(k);
}
END_TEST

/* From the same state the same temperature gives the same answer, whatever was tried in between. */
START_TEST(is_a_function_of_its_arguments) {
    cq_soak soak;
    cq_clock *k = clock_1080(&soak);
    cq_structure s[2];
    const double mid_K[] = {800.0, 600.0, 450.0};
    double slope[3], first[3], first_slope[3];
    begin_pair(s, 3, &soak, 1073.15);
    cq_kinetics_step(k, &s[0], &s[1], 0, 3, mid_K, 0.8);
    const double tried_K[][3] = {{700, 480, 400}, {300, 300, 300}, {900, 400, 470}, {700, 480, 400}};
    for (int n = 0; n < 4; n++) {
        cq_martensite_step(k, &s[0], &s[1], 0, 3, tried_K[n], slope);
        for (int c = 0; c < 3; c++) {
            ck_assert_double_eq_tol(sum_of(&s[1], (size_t)c), 1.0, 4e-16);
            if (n == 0) {
                first[c] = s[1].fraction[CQ_MARTENSITE][c], first_slope[c] = slope[c];
            }
        }
    }
    for (int c = 0; c < 3; c++) {
        ck_assert_double_eq_tol(s[1].fraction[CQ_MARTENSITE][c], first[c], 1e-300);
        ck_assert_double_eq_tol(slope[c], first_slope[c], 1e-300);
    }
    free_pair(s);
    cq_clock_free(k);
}
END_TEST

START_TEST(goes_one_way) {
    cq_soak soak;
    cq_clock *k = clock_1080(&soak);
    cq_structure s[2];
    double slope;
    const double Ms_K = cq_clock_criticals(k).Ms_K;
    const double T_K[] = {Ms_K - 60.0, Ms_K + 40.0, Ms_K - 30.0, Ms_K - 59.0,
                          Ms_K - 61.0}; /* down, up, and back down */
    double M[5];
    begin_pair(s, 1, &soak, 1073.15);
    for (int n = 0; n < 5; n++) {
        step_pair(k, s, &T_K[n], &T_K[n], &slope, 1e-9);
        M[n] = s[0].fraction[CQ_MARTENSITE][0];
        if (n >= 1 && n <= 3) {
            ck_assert_double_eq_tol(slope, 0.0, 1e-300); /* nothing forms until it is colder than ever */
            ck_assert_double_eq_tol(M[n], M[0], 1e-300);
        }
        ck_assert_double_eq_tol(s[0].cool_K[0], (n == 4 ? T_K[4] : T_K[0]), 1e-300);
    }
    /* as if it had never been reheated */
    ck_assert_double_eq_tol(M[4], 1.0 - exp(-cq_clock_criticals(k).alpha_per_K * 61.0), ROUNDING);
    free_pair(s);
    cq_clock_free(k);
}
END_TEST

START_TEST(the_slope_is_the_derivative) {
    cq_soak soak;
    cq_clock *k = clock_1080(&soak);
    cq_structure s[2];
    const double mid_K = 813.15, h = 1e-3;
    double slope, unused;
    begin_pair(s, 1, &soak, 1073.15);
    cq_kinetics_step(k, &s[0], &s[1], 0, 1, &mid_K, 2.0); /* some pearlite first */
    ck_assert_double_gt(s[1].fraction[CQ_PEARLITE][0], 0.05);
    for (double T_K = cq_clock_criticals(k).Ms_K - 1.0; T_K > 260.0; T_K -= 20.0) {
        const double up = T_K + h, down = T_K - h;
        cq_martensite_step(k, &s[0], &s[1], 0, 1, &up, &unused);
        const double less = s[1].fraction[CQ_MARTENSITE][0];
        cq_martensite_step(k, &s[0], &s[1], 0, 1, &down, &unused);
        const double more = s[1].fraction[CQ_MARTENSITE][0];
        cq_martensite_step(k, &s[0], &s[1], 0, 1, &T_K, &slope);
        ck_assert_double_eq_tol(slope, (more - less) / (2.0 * h), 1e-8); /* rounding 1e-12 over 2 h, h^2 is smaller */
    }
    free_pair(s);
    cq_clock_free(k);
}
END_TEST

START_TEST(the_shift_moves_only_the_start) {
    cq_steel steel = steel_of(0.79, 0.76, 0.2, 6.0);
    const cq_soak soak = whole_soak(&steel);
    cq_clock *plain = clock_of(&steel, &soak);
    steel.ms_shift_K = -15.0;
    cq_clock *shifted = clock_of(&steel, &soak);
    const cq_criticals a = cq_clock_criticals(plain), b = cq_clock_criticals(shifted);
    ck_assert_double_eq_tol(a.Ms_K - b.Ms_K, 15.0, 1e-9);
    ck_assert_double_eq_tol(a.alpha_per_K, b.alpha_per_K, 1e-300);
    ck_assert_double_eq_tol(martensite_after(shifted, &soak, 385.0, 3), martensite_after(plain, &soak, 400.0, 3),
                            ROUNDING);
    cq_clock_free(plain);
    cq_clock_free(shifted);
}
END_TEST

/* Ferrite that forms on the way leaves its carbon to the austenite and lowers Ms, by at most what 0.15 % C does;
 * ferrite the soak left does not count again. */
START_TEST(ferrite_lowers_the_start) {
    const cq_steel steel = steel_of(0.45, 0.75, 0.2, 7.0);
    const cq_soak soak = whole_soak(&steel);
    cq_clock *k = clock_of(&steel, &soak);
    const cq_criticals c = cq_clock_criticals(k);
    cq_structure s[2];
    double slope;
    begin_pair(s, 1, &soak, 1100.0);
    const double ferrite[] = {0.0, 0.05, 0.10, 0.20, 0.60};
    for (int n = 0; n < 5; n++) {
        const double F = ferrite[n], richer = fmin(0.15, F * (0.45 - 0.02) / (1.0 - F));
        s[1].fraction[CQ_FERRITE][0] = F, s[1].fraction[CQ_AUSTENITE][0] = 1.0 - F;
        const double Ms_K = cq_martensite_start_C(&steel.composition_wt, 0.45 + richer) + ZERO_C;
        const double T_K = c.Ms_K - 120.0, law = (1.0 - F) * (1.0 - exp(-c.alpha_per_K * (Ms_K - T_K)));
        cq_martensite_step(k, &s[0], &s[1], 0, 1, &T_K, &slope);
        ck_assert_double_eq_tol(s[1].fraction[CQ_MARTENSITE][0], law, 1e-3); /* second order in carbon: 0.3 K of 50 */
    }
    cq_clock_free(k);
    const cq_soak part = soak_of(&steel, 740 + ZERO_C, 300.0);
    k = clock_of(&steel, &part);
    const cq_criticals p = cq_clock_criticals(k);
    for (int n = 0; n < 2; n++) {
        cq_structure_begin(&s[n], 0, 1, &part, 740 + ZERO_C);
    }
    const double T_K = p.Ms_K - 50.0;
    cq_martensite_step(k, &s[0], &s[1], 0, 1, &T_K, &slope);
    ck_assert_double_eq_tol(s[1].fraction[CQ_MARTENSITE][0], part.austenite * (1.0 - exp(-p.alpha_per_K * 50.0)),
                            ROUNDING);
    free_pair(s);
    cq_clock_free(k);
}
END_TEST

RUN_TESTS("martensite", follows_the_law_in_any_steps, is_a_function_of_its_arguments, goes_one_way,
          the_slope_is_the_derivative, the_shift_moves_only_the_start, ferrite_lowers_the_start)
