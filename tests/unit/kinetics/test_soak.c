/* test_soak.c - what a soak leaves: carbon balance, grain, the reference at which nothing shifts. */
#include "steels.h"

static const double reference_K = 1073.15, reference_s = 300.0;

START_TEST(the_reference_soak_shifts_nothing) {
    const double carbon[] = {0.60, 0.79, 0.84, 0.95};
    for (int n = 0; n < 4; n++) {
        const cq_steel steel = steel_of(carbon[n], 0.7, 0.2, 7.5);
        const cq_soak s = cq_soak_of(&steel, reference_K, reference_s, false);
        ck_assert_double_eq_tol(s.grain_ASTM, 7.5, 1e-300); /* exactly: the laws' constants belong to this soak */
        ck_assert_double_eq_tol(s.austenite, 1.0, 1e-300);
    }
}
END_TEST

/* Carbon is neither made nor lost: in austenite and ferrite, or in austenite and cementite. */
START_TEST(carbon_balances) {
    for (double C = 0.30; C < 1.3; C += 0.05) {
        const cq_steel steel = steel_of(C, 0.6, 0.2, 8.0);
        const double Ae1_K = cq_equilibria_of(&steel.composition_wt).Ae1_C + ZERO_C;
        for (double T_K = Ae1_K + 1.0; T_K < 1250.0; T_K += 7.0) {
            const cq_soak s = cq_soak_of(&steel, T_K, 300.0, false);
            const double total = s.austenite * ((1.0 - s.carbide) * s.carbon_solution_wt + 6.67 * s.carbide) +
                                 (1.0 - s.austenite) * 0.02;
            ck_assert_double_eq_tol(total, C, 1e-12);
            ck_assert(s.austenite > 0.0 && s.austenite <= 1.0 && s.carbide >= 0.0 && s.carbide < 0.2);
        }
    }
}
END_TEST

START_TEST(too_cold_leaves_no_austenite) {
    const double carbon[] = {0.45, 0.79, 1.0};
    for (int n = 0; n < 3; n++) {
        const cq_steel steel = steel_of(carbon[n], 0.6, 0.2, 8.0);
        const double Ae1_K = cq_equilibria_of(&steel.composition_wt).Ae1_C + ZERO_C;
        ck_assert_double_eq_tol(cq_soak_of(&steel, Ae1_K - 0.1, 3600.0, false).austenite, 0.0, 1e-300);
        ck_assert_double_gt(cq_soak_of(&steel, Ae1_K + 0.1, 3600.0, false).austenite, 0.5);
    }
}
END_TEST

START_TEST(hotter_dissolves_more) {
    const cq_steel rich = steel_of(0.95, 0.4, 0.2, 8.0), lean = steel_of(0.45, 0.75, 0.2, 8.0);
    const double Acm_K = cq_acm_of(&rich.composition_wt) + ZERO_C,
                 Ae3_K = cq_equilibria_of(&lean.composition_wt).Ae3_C + ZERO_C;
    double dissolved = 0.0, austenite = 0.0;
    for (double T_K = 1000.0; T_K < 1150.0; T_K += 2.0) {
        const cq_soak a = cq_soak_of(&rich, T_K, 300.0, false), b = cq_soak_of(&lean, T_K, 300.0, false);
        ck_assert_double_ge(a.carbon_solution_wt, dissolved);
        ck_assert_double_ge(b.austenite, austenite);
        dissolved = a.carbon_solution_wt, austenite = b.austenite;
    }
    ck_assert_double_eq_tol(cq_soak_of(&rich, Acm_K + 0.01, 300.0, false).carbide, 0.0, 1e-12);
    ck_assert_double_eq_tol(cq_soak_of(&rich, Acm_K - 0.01, 300.0, false).carbide, 0.0,
                            1e-5); /* no jump: 0.01 K is 3e-5 % C */
    ck_assert_double_eq_tol(cq_soak_of(&lean, Ae3_K + 0.01, 300.0, false).austenite, 1.0, 1e-12);
    ck_assert_double_eq_tol(cq_soak_of(&lean, Ae3_K - 0.01, 300.0, false).austenite, 1.0, 5e-4);
}
END_TEST

START_TEST(grain_coarsens_with_heat_and_time) {
    const cq_steel steel = steel_of(0.84, 0.75, 0.22, 8.0);
    double before = 20.0;
    for (double T_K = 1023.15; T_K < 1300.0; T_K += 25.0) {
        const double G = cq_soak_of(&steel, T_K, 900.0, false).grain_ASTM;
        ck_assert_double_lt(G, before);
        ck_assert_double_lt(cq_soak_of(&steel, T_K, 3600.0, false).grain_ASTM, G);
        before = G;
    }
    /* relative to 5 min at 800 degC, 30 min there coarsens by about 1.0 (from D^2 = 14^2 + 0.17 t in micrometres) */
    const double by_hand = -6.643856 * 0.5 * log10((196.0 + 0.17 * 1800.0) / (196.0 + 0.17 * 300.0));
    ck_assert_double_eq_tol((cq_soak_of(&steel, reference_K, 1800.0, false).grain_ASTM - 8.0), by_hand, 1e-12);
}
END_TEST

START_TEST(start_is_fully_austenitic) {
    const cq_steel lean = steel_of(0.45, 0.75, 0.2, 6.0), rich = steel_of(1.0, 0.3, 0.2, 6.0);
    const cq_soak a = cq_soak_of(&lean, 1000.0, 0.0, true), b = cq_soak_of(&rich, reference_K, 0.0, true);
    ck_assert_double_eq_tol(a.austenite, 1.0, 1e-300);
    ck_assert_double_eq_tol(a.carbon_solution_wt, 0.45, 1e-12);
    ck_assert_double_eq_tol(a.grain_ASTM, 8.0, 1e-300);
    const double Ae1_C = cq_equilibria_of(&rich.composition_wt).Ae1_C;
    ck_assert_double_eq_tol(b.carbon_solution_wt, cq_acm_carbon(800.0, Ae1_C), 1e-9);
    ck_assert_double_gt(b.carbide, 0.0);
}
END_TEST

RUN_TESTS("soak", the_reference_soak_shifts_nothing, carbon_balances, too_cold_leaves_no_austenite,
          hotter_dissolves_more, grain_coarsens_with_heat_and_time, start_is_fully_austenitic)
