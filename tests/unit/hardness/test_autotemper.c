/* test_autotemper.c - martensite's own tempering in steps by hand: holds, order of birth and reheating, what is counted
 * from. The law's size is judged in tests/physics. */
#include "../../suite.h"

#include "hardness/autotemper.h"
#include "hardness/tempering.h"

#include <math.h>

#define AT_ONCE 1e-9                          /* s: no tempering to speak of */
#define ROUNDING 1e-6                         /* what those instants leave in a parameter of order ten */
#define E_OF_PARAMETER_9 (log(10.0) * 9000.0) /* K; the program rounds it to 20700 */

static const cq_steel steel = {.composition_wt = {.C = 0.75, .Mn = 0.6, .Si = 0.2}, .time_factor = 1.0};
static const cq_formation formation = {480.0, 0.013, 1.0};
static const double carbon = 0.75, quenched_HRC = 65.0, COLD_K = 293.15;

static cq_autotemper state;
static double temp_K, martensite;

static void begin(void) {
    ck_assert_int_eq(cq_autotemper_create(&state, 1), CQ_OK);
    temp_K = 480.0;
    martensite = 0.0;
}

static void end(void) {
    cq_autotemper_free(&state);
}

/* From where it is to T_K and this much martensite in dt. */
static void go(double T_K, double M, double dt_s) {
    cq_autotemper_step(&state, &temp_K, &T_K, &martensite, &M, dt_s);
    temp_K = T_K;
    martensite = M;
}

static cq_softening softening(void) {
    return cq_autotemper_of(&state, 0, &steel, carbon, quenched_HRC, martensite, &formation);
}

static double parameter_of_hold(double T_K, double for_s) {
    return T_K * (20.0 + log10(for_s / 3600.0)) / 1000.0;
}

/* A hold of all martensite at the hottest it has seen has the parameter of a temper, and takes what a temper takes. */
START_TEST(a_hold_is_a_temper) {
    const double T_C[] = {180, 230, 300, 400};
    double before = 0.0;
    for (int n = 0; n < 4; n++) {
        const double T_K = T_C[n] + 273.15;
        begin();
        go(COLD_K, 1.0, AT_ONCE);
        go(T_K, 1.0, AT_ONCE);
        go(T_K, 1.0, 8.0);
        go(COLD_K, 1.0, AT_ONCE);
        const double P = parameter_of_hold(T_K, 8.0);
        const cq_softening soft = softening();
        ck_assert_double_eq_tol(soft.parameter, P,
                                (n == 0 ? 0.3 : ROUNDING)); /* cohorts born above 180 degC have seen that */
        const double left = cq_temper_martensite_HRC(&steel.composition_wt, carbon, quenched_HRC, P);
        ck_assert_double_gt(soft.loss_HRC, before);
        ck_assert_double_le(soft.loss_HRC, quenched_HRC - left + ROUNDING);
        ck_assert(n < 2 || soft.loss_HRC > quenched_HRC - left - 2.5); /* tables have lost the rest already */
        before = soft.loss_HRC;
        end();
    }
}
END_TEST

/* Half forms and is held, the other half forms after it, then all is reheated: the younger half has the last hold
 * alone. The older has both, added as times at one temperature. */
START_TEST(the_younger_has_not_seen_the_older_hold) {
    const double warm_K = 473.15, hot_K = 553.15;
    begin();
    go(warm_K, 0.5, AT_ONCE);
    go(warm_K, 0.5, 500.0);
    go(COLD_K, 1.0, AT_ONCE);
    go(hot_K, 1.0, AT_ONCE);
    go(hot_K, 1.0, 2.0);
    go(COLD_K, 1.0, AT_ONCE);
    const double both_s = 2.0 + 500.0 * exp(E_OF_PARAMETER_9 * (1.0 / hot_K - 1.0 / warm_K));
    ck_assert_double_gt(both_s, 2.5); /* the first hold counts */
    const double P = 0.5 * (parameter_of_hold(hot_K, 2.0) + parameter_of_hold(hot_K, both_s));
    ck_assert_double_eq_tol(softening().parameter, P, 1e-3); /* 20700 for 20723 K */
    end();
}
END_TEST

/* What forms after the reheating is as a quench leaves it. */
START_TEST(what_forms_later_is_fresh) {
    const double hot_K = 553.15;
    begin();
    go(400.0, 0.5, AT_ONCE);
    go(hot_K, 0.5, AT_ONCE);
    go(hot_K, 0.5, 20.0);
    go(400.0, 0.5, AT_ONCE);
    const cq_softening half = softening();
    ck_assert_double_eq_tol(half.parameter, parameter_of_hold(hot_K, 20.0), ROUNDING);
    go(COLD_K, 1.0, AT_ONCE);
    ck_assert_double_eq_tol(softening().loss_HRC, 0.5 * half.loss_HRC, ROUNDING); /* the other half lost nothing */
    end();
}
END_TEST

/* Nothing lost at the rate that tables stand for, nothing gained by a faster one, more by each slower one. */
START_TEST(counted_from_two_hundred_kelvin_a_second) {
    const double rate_K_s[] = {2000.0, 200.0, 20.0, 2.0, 0.2};
    double before = -1.0;
    for (int n = 0; n < 5; n++) {
        begin();
        for (double T = 479.0; T > COLD_K; T -= 1.0) {
            go(T, 1.0 - exp(-formation.alpha_per_K * (formation.Ms_K - T)), 1.0 / rate_K_s[n]);
        }
        const double lost = softening().loss_HRC;
        ck_assert(n > 1 || fabs(lost) < 0.02);
        ck_assert(n < 2 || lost > before + 0.1);
        before = lost;
        end();
    }
}
END_TEST

int main(void) {
    TCase *tc = tcase_create("self-tempering");
    tcase_add_test(tc, a_hold_is_a_temper);
    tcase_add_test(tc, the_younger_has_not_seen_the_older_hold);
    tcase_add_test(tc, what_forms_later_is_fresh);
    tcase_add_test(tc, counted_from_two_hundred_kelvin_a_second);
    return run_case(tc, "self-tempering");
}
