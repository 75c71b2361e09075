/* Phases, tabulated materials and clay: figures of the sources, and enthalpies that are state functions. */
#include "../../suite.h"
#include "material/thermal.h"

#include "base/memory.h"

#include <check.h>
#include <math.h>

#define KELVIN(celsius) ((celsius) + 273.15)

static double conductivity(const cq_phase_thermal *p, double T) {
    return p->k0 + p->k1 * T;
}

static double capacity(const cq_phase_thermal *p, double T) {
    return p->c0 + p->c1 * T;
}

/* Heat set free when austenite becomes `product` at T. */
static double latent(cq_phase product, double T) {
    const cq_phase_thermal a = cq_thermal_of(CQ_AUSTENITE), p = cq_thermal_of(product);
    return cq_thermal_enthalpy(&a, T) - cq_thermal_enthalpy(&p, T);
}

/* Rows of the per-phase set for 0.6-0.8 % C steels, from memory [simsir2008]: degC, W/m/K, J/m3/K. The laws are
 * straight lines through rounded rows: k within 3 %, c within 1 %. */
START_TEST(phases_follow_their_tables) {
    const struct {
        cq_phase phase;
        double at_C, k, c;
    } row[] = {{CQ_AUSTENITE, 0, 15.0, 4.15e6},    {CQ_AUSTENITE, 300, 18.0, 4.40e6}, {CQ_AUSTENITE, 600, 21.7, 4.67e6},
               {CQ_AUSTENITE, 900, 25.1, 4.90e6},  {CQ_PEARLITE, 0, 49.0, 3.78e6},    {CQ_PEARLITE, 300, 41.7, 4.46e6},
               {CQ_FERRITE, 600, 34.3, 5.09e6},    {CQ_BAINITE, 900, 27.0, 5.74e6},   {CQ_MARTENSITE, 0, 43.1, 3.76e6},
               {CQ_MARTENSITE, 300, 36.7, 4.45e6}, {CQ_MARTENSITE, 600, 30.1, 5.07e6}};
    for (size_t n = 0; n < sizeof row / sizeof row[0]; n++) {
        const cq_phase_thermal p = cq_thermal_of(row[n].phase);
        ck_assert_double_eq_tol(conductivity(&p, KELVIN(row[n].at_C)), row[n].k, 0.03 * row[n].k);
        ck_assert_double_eq_tol(capacity(&p, KELVIN(row[n].at_C)), row[n].c, 0.01 * row[n].c);
    }
}
END_TEST

START_TEST(enthalpy_is_the_integral_of_capacity) {
    for (int phase = 0; phase < CQ_PHASES; phase++) {
        const cq_phase_thermal p = cq_thermal_of((cq_phase)phase);
        for (double T = 250.0; T < 1300.0; T += 50.0) {
            const double rise = cq_thermal_enthalpy(&p, T + 0.5) - cq_thermal_enthalpy(&p, T - 0.5);
            ck_assert_double_eq_tol(rise, capacity(&p, T), 1e-6 * rise); /* a parabola: rounding of 1e9 J/m3 */
            ck_assert_double_gt(conductivity(&p, T), 10.0);
        }
    }
}
END_TEST

/* The heats the kinetics' constants were fitted with, each where its product usually forms. */
START_TEST(latent_heats) {
    ck_assert_double_eq_tol(latent(CQ_PEARLITE, KELVIN(650)), 6.3e8, 1e3);
    ck_assert_double_eq_tol(latent(CQ_BAINITE, KELVIN(400)), 6.2e8, 1e3);
    ck_assert_double_eq_tol(latent(CQ_FERRITE, KELVIN(700)), 5.9e8, 1e3);
    ck_assert_double_eq_tol(latent(CQ_MARTENSITE, KELVIN(200)), 6.3e8, 1e3);
    for (int product = CQ_FERRITE; product <= CQ_MARTENSITE; product++) {
        for (double T = KELVIN(20); T < KELVIN(730); T += 10.0) {
            ck_assert_double_gt(latent((cq_phase)product, T), 3e8); /* every transformation on cooling warms */
        }
    }
}
END_TEST

/* C20, 0.8 % C, austenite to pearlite at 650 degC in a closed element: 82 kJ/kg [hagel1956], +-10 %; at a heat capacity
 * of 620 J/kg/K that is 132 K, +-10 %. Pearlite's own capacity in [simsir2008] is about 680 there: the true rise is 118
 * K. */
START_TEST(adiabatic_pearlite) {
    const double density = 7800.0, heat = latent(CQ_PEARLITE, KELVIN(650)) / density;
    ck_assert_double_eq_tol(heat, 82e3, 8.2e3);
    ck_assert_double_eq_tol(heat / 620.0, 132.0, 13.2);
    const cq_phase_thermal a = cq_thermal_of(CQ_AUSTENITE), p = cq_thermal_of(CQ_PEARLITE);
    const double H = cq_thermal_enthalpy(&a, KELVIN(650));
    double T = KELVIN(650);
    for (int n = 0; n < 20; n++) {
        T += (H - cq_thermal_enthalpy(&p, T)) / capacity(&p, T);
    }
    ck_assert_double_eq_tol(T - KELVIN(650), 118.0, 2.0);
}
END_TEST

/* Round a loop: warm austenite, transform high, cool, compare with cooling first and transforming low: nothing is
 * gained. */
START_TEST(no_heat_is_counted_twice) {
    const cq_phase_thermal a = cq_thermal_of(CQ_AUSTENITE), p = cq_thermal_of(CQ_PEARLITE);
    const double high = KELVIN(700), low = KELVIN(500);
    const double late = (cq_thermal_enthalpy(&a, high) - cq_thermal_enthalpy(&a, low)) + latent(CQ_PEARLITE, low);
    const double early = latent(CQ_PEARLITE, high) + (cq_thermal_enthalpy(&p, high) - cq_thermal_enthalpy(&p, low));
    ck_assert_double_eq_tol(late, early, 1.0); /* rounding of 1e9 J/m3 */
}
END_TEST

START_TEST(tables_are_sampled_with_their_exact_integral) {
    static const double T[] = {300, 700, 1200}, k[] = {50, 30, 27}, c[] = {3.5e6, 5.0e6, 4.5e6};
    const cq_table conductivity_of = {3, T, k, CQ_INTERPOLATE_LINEAR}, capacity_of = {3, T, c, CQ_INTERPOLATE_LINEAR};
    cq_sampled s;
    ck_assert_int_eq(cq_sampled_create(&s, &conductivity_of, &capacity_of), CQ_OK);
    double k1, c1, H1, k2, c2, H2;
    cq_sampled_at(&s, 500.25, &k1, &c1, &H1);
    ck_assert_double_eq_tol(k1, 50.0 - 20.0 * 200.25 / 400.0, 1e-9);
    ck_assert_double_eq_tol(c1, 3.5e6 + 1.5e6 * 200.25 / 400.0, 1e-3);
    cq_sampled_at(&s, 300.0, &k1, &c1, &H1);
    cq_sampled_at(&s, 1200.0, &k2, &c2, &H2);
    ck_assert_double_eq_tol(H2 - H1, 400.0 * 4.25e6 + 500.0 * 4.75e6, 1.0); /* two trapezia; knots lie on samples */
    for (double at = 90.0; at < 2200.0; at += 7.3) { /* outside the samples too: values held, enthalpy goes on */
        cq_sampled_at(&s, at, &k1, &c1, &H1);
        cq_sampled_at(&s, at + 1e-3, &k2, &c2, &H2);
        ck_assert_double_eq_tol((H2 - H1) / 1e-3, 0.5 * (c1 + c2), 2e3); /* rounding of 1e10 J/m3 over a millikelvin */
        ck_assert(isfinite(k1) && c1 > 0.0);
    }
    cq_sampled_free(&s);
    cq_memory_fail_after(0);
    ck_assert_int_eq(cq_sampled_create(&s, &conductivity_of, &capacity_of), CQ_ERR_MEMORY);
    cq_memory_fail_after(-1);
}
END_TEST

START_TEST(soaked_coats) {
    ck_assert_double_eq_tol(cq_soaked_factor(2.0, 0.05e-3), 2.0, 1e-12);
    ck_assert_double_eq_tol(cq_soaked_factor(2.0, 0.15e-3), 2.0, 1e-12);
    ck_assert_double_eq_tol(cq_soaked_factor(2.0, 0.25e-3), 1.0, 1e-12);
    ck_assert_double_eq_tol(cq_soaked_factor(2.0, 2e-3), 1.0, 1e-12);
    ck_assert_double_eq_tol(cq_soaked_factor(1.0, 0.2e-3), 1.0, 1e-12);
    double before = 0.0;
    for (double d = 1e-6; d < 1e-3; d += 1e-6) { /* more clay never insulates less */
        const double resistance = d / cq_soaked_factor(4.0, d);
        ck_assert_double_gt(resistance, before);
        before = resistance;
    }
}
END_TEST

int main(void) {
    Suite *suite = suite_create("material thermal");
    TCase *all = tcase_create("all");
    tcase_add_test(all, phases_follow_their_tables);
    tcase_add_test(all, enthalpy_is_the_integral_of_capacity);
    tcase_add_test(all, latent_heats);
    tcase_add_test(all, adiabatic_pearlite);
    tcase_add_test(all, no_heat_is_counted_twice);
    tcase_add_test(all, tables_are_sampled_with_their_exact_integral);
    tcase_add_test(all, soaked_coats);
    suite_add_tcase(suite, all);
    return run_suite(suite);
}
