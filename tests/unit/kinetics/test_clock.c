/* test_clock.c - the tables of a clock, its critical rate, and what happens when memory is short. */
#include "steels.h"

#define OF_TABLES                                                                                                      \
    5e-4 /* straight between kelvins: the square of the steepest logarithmic slope, 0.06 per K, over 8                 \
          */

START_TEST(tables_follow_the_laws) {
    const struct {
        double C, Mn, Cr;
    } of[] = {{0.45, 0.75, 0.1}, {0.79, 0.76, 0.0}, {0.61, 0.94, 0.88}, {0.95, 0.40, 0.0}};
    for (int n = 0; n < 4; n++) {
        cq_steel steel = steel_of(of[n].C, of[n].Mn, 0.2, 7.0);
        steel.composition_wt.Cr = of[n].Cr;
        const cq_soak soak = whole_soak(&steel);
        cq_clock *k = clock_of(&steel, &soak);
        const cq_criticals c = cq_clock_criticals(k);
        cq_structure s[2];
        begin_pair(s, 1, &soak, 1300.0);
        for (double T_K = CQ_CLOCK_COLDEST_K + 2.5; T_K < c.Ae1_K - 90.0;
             T_K += 3.7) { /* between nodes as well as near them */
            const cq_half_times half = cq_clock_half_times(k, T_K);
            cq_structure_begin(&s[0], 0, 1, &soak, 1300.0);
            cq_kinetics_step(k, &s[0], &s[1], 0, 1, &T_K, 1e-6);
            if (T_K > 400 + ZERO_C) { /* colder, pearlite is switched off and bainite rules */
                ck_assert_double_eq_tol(s[1].ZP[0] * half.pearlite_s / 1e-6, 1.0, OF_TABLES);
            }
            if (T_K < c.Bs_K - 30.0) {
                ck_assert_double_eq_tol(s[1].ZB[0] * half.bainite_s / 1e-6, 1.0, OF_TABLES);
            }
        }
        free_pair(s);
        cq_clock_free(k);
    }
}
END_TEST

/* The equilibria shown are the steel's, not those of the carbon the soak happened to dissolve. */
START_TEST(criticals_are_the_steels) {
    const cq_steel rich = steel_of(0.95, 0.4, 0.2, 8.0), lean = steel_of(0.45, 0.75, 0.2, 8.0);
    const cq_soak a = soak_of(&rich, 780 + ZERO_C, 300.0), b = soak_of(&lean, 740 + ZERO_C, 300.0);
    cq_clock *k = clock_of(&rich, &a), *l = clock_of(&lean, &b);
    ck_assert_double_eq_tol(cq_clock_criticals(k).Acm_K, cq_acm_of(&rich.composition_wt) + ZERO_C, 1e-9);
    ck_assert_double_eq_tol(cq_clock_criticals(l).Ae3_K, cq_equilibria_of(&lean.composition_wt).Ae3_C + ZERO_C, 1e-9);
    ck_assert_double_eq_tol(cq_clock_criticals(l).Ms_K,
                            cq_martensite_start_C(&lean.composition_wt, b.carbon_solution_wt) + ZERO_C, 1e-9);
    cq_clock_free(k);
    cq_clock_free(l);
}
END_TEST

START_TEST(critical_rates_fall_with_the_share) {
    cq_soak soak;
    cq_clock *k = clock_1080(&soak);
    double before = 1e9;
    for (double share = 0.01; share < 0.999; share += 0.07) {
        const double rate = cq_clock_critical_rate(k, &soak, 1073.15, share);
        ck_assert_double_lt(rate, before);
        before = rate;
    }
    cq_clock_free(k);
}
END_TEST

/* Only times stand in the laws, so three times the time is a third of the rate, but for bainite, slowed by the root. */
START_TEST(slower_steel_hardens_deeper) {
    cq_steel steel = steel_of(0.79, 0.76, 0.2, 6.0);
    const cq_soak soak = whole_soak(&steel);
    cq_clock *plain = clock_of(&steel, &soak);
    steel.time_factor = 2.0;
    cq_clock *slow = clock_of(&steel, &soak);
    const double ratio =
        cq_clock_critical_rate(plain, &soak, 1073.15, 0.5) / cq_clock_critical_rate(slow, &soak, 1073.15, 0.5);
    ck_assert(ratio > 1.85 && ratio <= 2.0); /* bainite is a few per cent of what forms near the critical rate */
    cq_clock_free(plain);
    cq_clock_free(slow);
}
END_TEST

START_TEST(no_rate_is_not_a_number) {
    cq_soak soak;
    cq_clock *k = clock_1080(&soak);
    ck_assert_double_nan(cq_clock_critical_rate(k, &soak, 1073.15, 1.5)); /* no rate transforms more than all */
    cq_clock_free(k);
    const cq_steel steel = steel_of(0.79, 0.76, 0.2, 6.0);
    const cq_soak cold = soak_of(&steel, 950.0, 300.0);
    k = clock_of(&steel, &cold);
    ck_assert_double_nan(cq_clock_critical_rate(k, &cold, 950.0, 0.03));
    cq_clock_free(k);
}
END_TEST

START_TEST(memory_may_be_short) {
    const cq_steel steel = steel_of(0.79, 0.76, 0.2, 6.0);
    const cq_soak soak = whole_soak(&steel);
    for (long n = 0; n < 2; n++) {
        cq_clock *none = NULL;
        cq_memory_fail_after(n);
        ck_assert_int_eq(cq_clock_create(&none, &steel, &soak, NULL), CQ_ERR_MEMORY);
        cq_memory_fail_after(-1);
        ck_assert_ptr_null(none); /* outputs untouched */
    }
    cq_clock *k = clock_of(&steel, &soak);
    cq_memory_fail_after(0);
    ck_assert_double_gt(cq_clock_critical_rate(k, &soak, 1073.15, 0.5),
                        1.0); /* takes none: "no rate" means just that */
    cq_memory_fail_after(-1);
    cq_structure s;
    cq_memory_fail_after(0);
    ck_assert_int_eq(cq_structure_create(&s, 10), CQ_ERR_MEMORY);
    cq_memory_fail_after(-1);
    cq_structure_free(&s); /* what could not be made may be freed */
    cq_clock_free(k);
    cq_clock_free(NULL);
}
END_TEST

RUN_TESTS("clock", tables_follow_the_laws, criticals_are_the_steels, critical_rates_fall_with_the_share,
          slower_steel_hardens_deeper, no_rate_is_not_a_number, memory_may_be_short)
