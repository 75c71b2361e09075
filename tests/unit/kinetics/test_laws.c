/* test_laws.c - the rate laws as functions of temperature and composition: forms, limits and how each knob acts. */
#include "steels.h"

#define ROUNDING 1e-12 /* exponentials of sums of a dozen terms, relative */

static const double T_of_products[] = {700, 650, 600, 540, 500, 450, 400, 350, 300, 250};
enum { TEMPERATURES = 10 };

static cq_law law_of(const cq_steel *steel) {
    const cq_soak soak = whole_soak(steel);
    return cq_law_of(steel, &soak);
}

START_TEST(equilibria_by_hand) {
    const cq_composition c = {.C = 0.79, .Mn = 0.76, .Si = 0.20};
    const cq_equilibria e = cq_equilibria_of(&c);
    ck_assert_double_eq_tol(e.Ae1_C, 716.67, 0.01); /* (1333 - 19 + 8 - 32) / 1.8, written to 0.01 */
    ck_assert_double_eq_tol(e.Ae3_line_C, 711.02, 0.01);
    ck_assert_double_eq_tol(e.Ae3_C, e.Ae1_C, 1e-12); /* the line falls below Ae1: clamped */
    ck_assert_double_eq_tol(cq_bainite_start_C(&c, 0.79), 656.0 - 57.7 * 0.79 - 35.0 * 0.76 - 75.0 * 0.20, 1e-9);
}
END_TEST

START_TEST(acm_is_its_own_inverse) {
    for (double C = 0.80; C < 1.5; C += 0.05) {
        const cq_composition c = {.C = C, .Mn = 0.4, .Si = 0.2};
        const double T_C = cq_acm_of(&c), Ae1_C = cq_equilibria_of(&c).Ae1_C;
        ck_assert_double_eq_tol(cq_acm_carbon(T_C, Ae1_C, 0.0), C, 1e-12);
    }
    ck_assert_double_eq_tol(cq_acm_carbon(925, 727, 0.0), 1.31, 0.001); /* the points it was drawn through */
    ck_assert_double_eq_tol(cq_acm_carbon(1148, 727, 0.0), 2.11, 0.001);
}
END_TEST

/* Ms and retained austenite of plain Fe-C, computed apart from the same formulas and rounded to 1 K and 0.1 %. */
START_TEST(martensite_of_plain_carbon) {
    const struct {
        double C, Ms_C, alpha, retained;
    } row[] = {{0.1, 510, 0.02434, 0.0},   {0.4, 374, 0.01801, 0.002}, {0.6, 302, 0.01517, 0.014},
               {0.8, 243, 0.01308, 0.054}, {1.0, 195, 0.01156, 0.133}, {1.2, 155, 0.01045, 0.245},
               {1.4, 121, 0.00963, 0.376}};
    for (size_t n = 0; n < sizeof row / sizeof row[0]; n++) {
        const cq_composition c = {.C = row[n].C};
        const double Ms = cq_martensite_start_C(&c, c.C), alpha = cq_martensite_rate_per_K(&c, c.C);
        ck_assert_double_eq_tol(Ms, row[n].Ms_C, 0.5);
        ck_assert_double_eq_tol(alpha, row[n].alpha, 0.5e-5);
        ck_assert_double_eq_tol(exp(-alpha * (Ms - 20.0)), row[n].retained, 0.5e-3);
    }
    const cq_composition c = {.C = 0.4, .Mn = 1.0}, none = {.C = 0.4};
    ck_assert_double_eq_tol(cq_martensite_start_C(&none, 0.4) - cq_martensite_start_C(&c, 0.4), 31.0, 1e-9);
}
END_TEST

START_TEST(the_factor_multiplies_times) {
    cq_steel steel = steel_of(0.60, 0.8, 0.2, 7.0);
    const cq_law plain = law_of(&steel);
    steel.time_factor = 1.7;
    const cq_law slow = law_of(&steel);
    for (int n = 0; n < TEMPERATURES; n++) {
        const double T = T_of_products[n];
        ck_assert_double_eq_tol(cq_law_pearlite_s(&slow, T) / cq_law_pearlite_s(&plain, T), 1.7, 1.7 * ROUNDING);
        ck_assert_double_eq_tol(cq_law_proeutectoid_s(&slow, T) / cq_law_proeutectoid_s(&plain, T), 1.7,
                                1.7 * ROUNDING);
        if (T < plain.Bs_C) {
            ck_assert_double_eq_tol(cq_law_bainite_s(&slow, T) / cq_law_bainite_s(&plain, T), sqrt(1.7),
                                    2.0 * ROUNDING);
        }
    }
}
END_TEST

START_TEST(a_finer_grain_is_faster) {
    const cq_steel coarse = steel_of(0.79, 0.76, 0.2, 4.0), fine = steel_of(0.79, 0.76, 0.2, 8.0);
    const cq_law a = law_of(&coarse), b = law_of(&fine);
    ck_assert_double_eq_tol(cq_law_pearlite_s(&a, 600) / cq_law_pearlite_s(&b, 600), pow(2.0, 0.25 * 4.0), 1e-11);
    ck_assert_double_eq_tol(cq_law_bainite_s(&a, 350) / cq_law_bainite_s(&b, 350), pow(2.0, 0.15 * 4.0), 1e-11);
}
END_TEST

START_TEST(nothing_forms_outside_its_range) {
    const cq_steel steel = steel_of(0.45, 0.75, 0.2, 7.0);
    const cq_law l = law_of(&steel);
    ck_assert_double_infinite(cq_law_pearlite_s(&l, l.e.Ae1_C));
    ck_assert_double_infinite(cq_law_bainite_s(&l, l.Bs_C));
    ck_assert_double_infinite(cq_law_proeutectoid_s(&l, l.e.Ae3_C));
    ck_assert_double_infinite(cq_law_pearlite_s(&l, 59.0));
    ck_assert(isfinite(cq_law_proeutectoid_s(&l, l.e.Ae1_C + 5.0))); /* ferrite begins above Ae1 */
    ck_assert(isfinite(cq_law_pearlite_s(&l, l.e.Ae1_C - 0.1)));
}
END_TEST

/* No manganese: times stay finite and follow the lowest heat with data. */
START_TEST(clean_steel_has_finite_times) {
    const cq_steel clean = steel_of(0.60, 0.0, 0.0, 8.0), floor_heat = steel_of(0.60, 0.6 / 3.333, 0.0, 8.0);
    const cq_law a = law_of(&clean), b = law_of(&floor_heat); /* 1 + 3.333 Mn = 1.6: the floor itself */
    for (int n = 0; n < TEMPERATURES; n++) {
        const double P = cq_law_pearlite_s(&a, T_of_products[n]), F = cq_law_proeutectoid_s(&a, T_of_products[n]);
        ck_assert(isfinite(P) && P > 0.0 && isfinite(F) && F > 0.0);
        ck_assert(cq_law_bainite_s(&a, T_of_products[n]) > 0.0);
    }
    ck_assert_double_eq_tol(a.alloy, b.alloy, 1e-12);
}
END_TEST

START_TEST(alloying_slows) {
    cq_steel steel = steel_of(0.60, 0.8, 0.2, 7.0);
    const cq_law plain = law_of(&steel);
    const double P = cq_law_pearlite_s(&plain, 600), B = cq_law_bainite_s(&plain, 400);
    double *const element[] = {&steel.composition_wt.Mn, &steel.composition_wt.Cr, &steel.composition_wt.Mo,
                               &steel.composition_wt.Ni};
    for (int n = 0; n < 4; n++) {
        *element[n] += 0.1;
        const cq_law l = law_of(&steel);
        ck_assert_double_gt(cq_law_pearlite_s(&l, 600), P);
        ck_assert_double_gt(cq_law_bainite_s(&l, 400), B);
        *element[n] -= 0.1;
    }
    /* molybdenum (and chromium) drags the front the more the colder it is, which opens a bay: 3 Mo counts as 0.9 Cr */
    steel.composition_wt.Mo = 0.3;
    const cq_law bay = law_of(&steel);
    const double at_500 = cq_law_pearlite_s(&bay, 500) / cq_law_pearlite_s(&plain, 500);
    const double at_650 = cq_law_pearlite_s(&bay, 650) / cq_law_pearlite_s(&plain, 650);
    const double drag_500 = 0.43 * 0.9 * exp(17600 / 1.987 * (1 / 773.15 - 1 / 873.15));
    const double drag_650 = 0.43 * 0.9 * exp(17600 / 1.987 * (1 / 923.15 - 1 / 873.15));
    ck_assert_double_eq_tol(at_500 / at_650, (1.0 + drag_500) / (1.0 + drag_650), 1e-9);
}
END_TEST

/* The ceiling is the lever rule of the steel between Ae3 and Ae1, and continuous through Ae1. */
START_TEST(ferrite_ceiling_is_the_lever_rule) {
    const cq_steel steel = steel_of(0.45, 0.75, 0.22, 7.0), rich = steel_of(0.95, 0.4, 0.2, 8.0);
    const cq_law l = law_of(&steel), r = law_of(&rich);
    ck_assert_double_eq_tol(cq_law_proeutectoid_ceiling(&l, l.e.Ae3_C), 0.0, 1e-12);
    const double T = 0.5 * (l.e.Ae1_C + l.e.Ae3_C), austenite_C = 0.45 + (l.e.Ae3_C - T) * 1.8 / 323.0;
    ck_assert_double_eq_tol(cq_law_proeutectoid_ceiling(&l, T), (austenite_C - 0.45) / (austenite_C - 0.02),
                            1e-4); /* 179.4 for 323/1.8 */
    /* Acm is 0.77 % at Ae1 and the Ae3 line passes there at 0.764 %: continuous to a few parts in a thousand */
    ck_assert_double_eq_tol(cq_law_proeutectoid_ceiling(&l, l.e.Ae1_C - 0.01),
                            cq_law_proeutectoid_ceiling(&l, l.e.Ae1_C + 0.01), 5e-3);
    /* a steel richer than the eutectoid sheds cementite instead, by its own lever */
    ck_assert(r.cementite && !l.cementite);
    for (double at = r.e.Ae1_C + 1.0; at < r.first_C; at += 10) {
        const double beside = cq_acm_carbon(at, r.e.Ae1_C, 0.0);
        ck_assert_double_eq_tol(cq_law_proeutectoid_ceiling(&r, at), (0.95 - beside) / (6.67 - beside), 1e-12);
    }
    ck_assert_double_eq_tol(cq_law_proeutectoid_ceiling(&r, 600.0), (0.95 - 0.77) / (6.67 - 0.77), 1e-12);
    /* no jump where ferrite hands over to cementite */
    const cq_steel below = steel_of(0.7699, 0.4, 0.2, 8.0), above = steel_of(0.7701, 0.4, 0.2, 8.0);
    const cq_law b = law_of(&below), a = law_of(&above);
    for (double at = 500; at < 760; at += 20) {
        ck_assert_double_eq_tol(cq_law_proeutectoid_ceiling(&b, at), cq_law_proeutectoid_ceiling(&a, at), 0.01);
        if (at < b.e.Ae1_C) {
            ck_assert_double_eq_tol(cq_law_pearlite_s(&b, at) / cq_law_pearlite_s(&a, at), 1.0, 1e-3);
        }
    }
}
END_TEST

/* A soak between Ae1 and Ae3 leaves austenite whose own Ae3 is the soak temperature: no ferrite is due at once. */
START_TEST(ceiling_after_an_intercritical_soak) {
    const cq_steel steel = steel_of(0.45, 0.75, 0.22, 7.0);
    for (double T_C = 725; T_C < 770; T_C += 5) {
        const cq_soak soak = soak_of(&steel, T_C + ZERO_C, 36000.0);
        const cq_law l = cq_law_of(&steel, &soak);
        /* ten hours reach equilibrium; carbon is the mean of three contents, whose shares of austenite differ */
        ck_assert_double_eq_tol(l.e.Ae3_C, T_C, 2.0);
        ck_assert_double_eq_tol(cq_law_proeutectoid_ceiling(&l, T_C), 0.0, 1e-2);
    }
}
END_TEST

/* Every corner of what a plan may state: far outside what was fitted, but never undefined. */
START_TEST(far_compositions_stay_finite) {
    static const double C[] = {0.05, 0.8, 2.0}, Cr[] = {0.0, 1.6, 4.9, 5.0, 5.1, 9.0, 20.0}, Mn[] = {0.0, 3.0},
                        Ni[] = {0.0, 15.0}, Mo[] = {0.0, 6.0}, Si[] = {0.0, 3.0};
    for (int n = 0; n < 3 * 7 * 16; n++) {
        const int bits = n % 16, m = n / 16;
        cq_steel steel = steel_of(C[m % 3], Mn[bits & 1], Si[bits >> 1 & 1], 8.0);
        steel.composition_wt.Cr = Cr[m / 3], steel.composition_wt.Ni = Ni[bits >> 2 & 1];
        steel.composition_wt.Mo = Mo[bits >> 3];
        const cq_composition *c = &steel.composition_wt;
        const double Ae1_C = cq_equilibria_of(c).Ae1_C;
        ck_assert(isfinite(cq_acm_of(c)) && cq_acm_of(c) >= Ae1_C);
        double before = -1.0;
        for (double T_C = Ae1_C; T_C < 1250.0; T_C += 120.0) { /* hotter dissolves more, whatever the chromium */
            const double acm = cq_acm_carbon(T_C, Ae1_C, c->Cr);
            ck_assert(acm > 0.5 && acm > before);
            before = acm;
            const cq_soak soak = soak_of(&steel, T_C + ZERO_C, 300.0);
            ck_assert(isfinite(soak.carbon_solution_wt) && isfinite(soak.grain_ASTM) && isfinite(soak.nuclei));
            ck_assert(soak.austenite >= 0.0 && soak.austenite <= 1.0 && soak.carbide >= -1e-12 && soak.carbide < 1.0);
        }
        const cq_soak soak = soak_of(&steel, fmin(Ae1_C + 80.0, 1250.0) + ZERO_C, 300.0);
        const cq_law law = cq_law_of(&steel, &soak);
        ck_assert(isfinite(cq_martensite_start_C(c, soak.carbon_solution_wt)));
        ck_assert_double_gt(cq_martensite_rate_per_K(c, soak.carbon_solution_wt), 0.0);
        for (double T_C = 150.0; T_C < 1200.0; T_C += 25.0) {
            const double times[] = {cq_law_pearlite_s(&law, T_C), cq_law_bainite_s(&law, T_C),
                                    cq_law_proeutectoid_s(&law, T_C)};
            for (int p = 0; p < 3; p++) {
                ck_assert(times[p] > 0.0); /* infinite where it does not form; a NaN is not above 0 */
            }
            const double ceiling = cq_law_proeutectoid_ceiling(&law, T_C);
            ck_assert(ceiling >= 0.0 && ceiling < 1.0);
        }
    }
}
END_TEST

RUN_TESTS("laws", far_compositions_stay_finite, equilibria_by_hand, acm_is_its_own_inverse, martensite_of_plain_carbon,
          the_factor_multiplies_times, a_finer_grain_is_faster, nothing_forms_outside_its_range,
          clean_steel_has_finite_times, alloying_slows, ferrite_ceiling_is_the_lever_rule,
          ceiling_after_an_intercritical_soak)
