/* The beam against closed forms. */
#include "../../suite.h"
#include "strip.h"

#include "base/memory.h"

#include <math.h>
#include <stdio.h>

static const double STRONG[CQ_STRONGS] = {1e6, 1e6, 1e6}; /* never yields */
static strip s;                                           /* too large for the stack */

static double relative(double got, double due) {
    return fabs(got / due - 1.0);
}

/* The lower layer a of a strip h swells by eps, equal stiffness: kappa = 6 eps a (h - a) / h^3.
 * Source: [timoshenko1925]. */
START_TEST(a_bimetal_strip_bends_as_timoshenko_says) {
    const cq_strength even = even_strength(200, 0.0, STRONG);
    const double due[] = {0.3600, 0.4800, 0.3600};
    static double growth[STRIP_MOST];
    for (int n = 0; n < 3; n++) {
        strip_begin(&s, 120, 4, &even, 293.15);
        for (size_t c = 0; c < s.n; c++) {
            growth[c] = s.x[c] < 0.25 * (n + 1) * s.height_m ? 0.0096 : 0.0;
        }
        ck_assert_int_eq(cq_beam_relax(s.beam, growth, NULL), CQ_OK);
        /* the swollen bottom stands out: the top is shorter; cells' middles stand for cells (1/120^2) */
        ck_assert_double_lt(relative(-cq_beam_bend_now(s.beam).along_1_m, due[n]), 2e-4);
        ck_assert_double_lt(fabs(cq_beam_bend_now(s.beam).across_1_m), 1e-9);
        cq_beam_free(s.beam);
    }
}
END_TEST

/* The same across the thickness bends sideways, and nothing else. */
START_TEST(a_swollen_face_bends_sideways) {
    const cq_strength even = even_strength(200, 0.0, STRONG);
    static double growth[STRIP_MOST];
    strip_begin(&s, 40, 80, &even, 293.15);
    for (size_t c = 0; c < s.n; c++) {
        growth[c] = s.y[c] < 0.0 ? 0.001 : 0.0;
    }
    ck_assert_int_eq(cq_beam_relax(s.beam, growth, NULL), CQ_OK);
    const double due = 1.5 * 0.001 / s.width_m; /* 6 eps/4/h */
    ck_assert_double_lt(relative(-cq_beam_bend_now(s.beam).across_1_m, due), 1e-3);
    ck_assert_double_lt(fabs(cq_beam_bend_now(s.beam).along_1_m), 1e-9);
    cq_beam_free(s.beam);
}
END_TEST

/* Linear in height: curvature a dT/h and no stress. Square in height, no bend: E a dT (1/3 - (2x/h)^2). */
START_TEST(a_gradient_bends_and_a_parabola_strains) {
    const cq_strength even = even_strength(200, 23.1e-6, STRONG);
    strip_begin(&s, 240, 2, &even, 293.15);
    for (size_t c = 0; c < s.n; c++) {
        s.T[c] = 293.15 + 196.0 * s.x[c] / s.height_m;
    }
    strip_step(&s);
    ck_assert_double_lt(relative(cq_beam_bend_now(s.beam).along_1_m, 0.150920), 1e-6);
    for (size_t c = 0; c < s.n; c++) {
        ck_assert_double_lt(fabs(cq_beam_stress_Pa(s.beam)[c]), 1e3);
    }
    for (size_t c = 0; c < s.n; c++) {
        const double u = 2.0 * s.x[c] / s.height_m - 1.0;
        s.T[c] = 293.15 + 100.0 * u * u;
    }
    strip_step(&s);
    for (size_t c = 0; c < s.n; c++) {
        const double u = 2.0 * s.x[c] / s.height_m - 1.0;
        ck_assert_double_lt(fabs(cq_beam_stress_Pa(s.beam)[c] - 462e6 * (1.0 / 3.0 - u * u)), 462e6 * 0.001);
    }
    cq_beam_free(s.beam);
}
END_TEST

/* A middle share f heated by dT and cooled again, yield Y, no hardening: residual E (1 - f) a dT - Y in it while it
 * yields once. */
START_TEST(a_heated_core_keeps_a_residual_stress) {
    const double yield[CQ_STRONGS] = {150, 150, 150};
    const cq_strength even = even_strength(200, 23.1e-6, yield);
    strip_begin(&s, 120, 2, &even, 293.15);
    for (int half = 0; half < 2; half++) {
        for (size_t c = 0; c < s.n; c++) {
            const bool core = fabs(s.x[c] / s.height_m - 0.5) < 0.15;
            s.T[c] = 293.15 + (core && half == 0 ? 70.0 : 0.0);
        }
        strip_step(&s);
    }
    ck_assert_double_lt(relative(cq_beam_stress_Pa(s.beam)[s.n / 2], 76.38e6), 1e-4); /* the share is 36 rows of 120 */
    cq_beam_free(s.beam);
}
END_TEST

/* Lower half colder by dT, elastic: stress at height u = x/h from the middle is E a dT (+-1/2 - 3 u / 2): half of
 * E a dT at the joint, a quarter at the faces, of the other sign. */
START_TEST(a_step_of_temperature_strains_as_a_layered_strip) {
    const cq_strength even = even_strength(200, 23.1e-6, STRONG);
    strip_begin(&s, 400, 1, &even, 293.15);
    for (size_t c = 0; c < s.n; c++) {
        s.T[c] = 293.15 - (s.x[c] < 0.5 * s.height_m ? 100.0 : 0.0);
    }
    strip_step(&s);
    const double joint = 0.5 * 200e9 * 23.1e-6 * 100.0, *stress = cq_beam_stress_Pa(s.beam);
    ck_assert_double_lt(relative(stress[199], joint), 5e-3);
    ck_assert_double_lt(relative(stress[200], -joint), 5e-3);
    ck_assert_double_lt(relative(stress[0], -0.5 * joint), 1e-2);
    cq_beam_free(s.beam);
}
END_TEST

/* Bent by heat past yield: strip with a parabola of temperature, perfectly plastic beyond Y. With u = 2x/h the stress
 * is E a dT (m - u^2) cut at +-Y, m from zero force; found here by bisection on the closed integral. */
START_TEST(an_elastic_plastic_beam_under_a_shock) {
    const double Y = 100e6, G = 462e6;
    const double yield[CQ_STRONGS] = {100, 100, 100};
    const cq_strength even = even_strength(200, 23.1e-6, yield);
    strip_begin(&s, 1000, 1, &even, 293.15);
    for (size_t c = 0; c < s.n; c++) {
        const double u = 2.0 * s.x[c] / s.height_m - 1.0;
        s.T[c] = 293.15 + 100.0 * u * u;
    }
    strip_step(&s);
    double low = 0.0, high = 1.0;
    for (int n = 0; n < 60; n++) { /* force = integral over u in 0..1 of clamp(G (m - u^2), -Y, Y) */
        const double m = 0.5 * (low + high), a = m > Y / G ? sqrt(m - Y / G) : 0.0, b = fmin(1.0, sqrt(m + Y / G));
        const double force = Y * a + G * (m * (b - a) - (b * b * b - a * a * a) / 3.0) - Y * (1.0 - b);
        *(force > 0.0 ? &high : &low) = m;
    }
    ck_assert_double_lt(relative(cq_beam_bend_now(s.beam).strain, 23.1e-6 * 100.0 * low), 5e-3);
    ck_assert_double_lt(relative(cq_beam_stress_Pa(s.beam)[500], Y), 1e-3);
    ck_assert_double_lt(relative(cq_beam_stress_Pa(s.beam)[0], -Y), 1e-3);
    cq_beam_free(s.beam);
}
END_TEST

/* Freely from 800 to 20 degC, martensite by exp(-0.011 (Ms - T)), Ms 220: e0 = M growth - a dT (+ expansion of
 * martensite from 20, nothing), no bend, no stress. */
START_TEST(free_dilatation) {
    cq_strength steel;
    cq_strength_of_steel(&steel);
    strip_begin(&s, 30, 4, &steel, 1073.15);
    double M = 0.0;
    for (int n = 1; n <= 780; n++) {
        const double T_C = 800.0 - n;
        M = T_C < 220.0 ? 1.0 - exp(-0.011 * (220.0 - T_C)) : 0.0;
        for (size_t c = 0; c < s.n; c++) {
            s.T[c] = T_C + 273.15;
        }
        strip_turn(&s, 0, s.rows, CQ_MARTENSITE, M);
        strip_step(&s);
    }
    const double due = M * 0.01 / 3.0 * (4.64 - 0.53 * 0.8) - 23.1e-6 * 780.0;
    ck_assert_double_lt(relative(cq_beam_bend_now(s.beam).strain, due), 1e-9);
    ck_assert_double_lt(fabs(due + 0.005480), 5e-5); /* with the growth rounded to 1.41 % */
    ck_assert_double_lt(fabs(cq_beam_bend_now(s.beam).along_1_m), 1e-12);
    for (size_t c = 0; c < s.n; c++) {
        ck_assert_double_lt(fabs(cq_beam_stress_Pa(s.beam)[c]), 1.0);
    }
    cq_beam_free(s.beam);
}
END_TEST

/* Half of the area, in the middle, turns to pearlite at 20 degC against the rest. With u = stress: d(stress) = -E/2
 * [growth dX + K phi'(X) stress dX], whose solution for phi = X (2 - X) is found here by fine quadrature in closed
 * exponentials: stress = -E/2 growth exp(-q phi(1)) integral exp(q phi) dX, q = K E / 2. */
static double relaxed_stress(int steps, double E) {
    const double yield[CQ_STRONGS] = {1e6, 1e6, 1e6};
    const cq_strength even = even_strength(1e-9 * E, 0.0, yield);
    strip_begin(&s, 40, 1, &even, 293.15);
    for (int n = 1; n <= steps; n++) {
        strip_turn(&s, 10, 30, CQ_PEARLITE, (double)n / steps);
        strip_step(&s);
    }
    const double stress = cq_beam_stress_Pa(s.beam)[20];
    cq_beam_free(s.beam);
    return stress;
}

START_TEST(stress_relaxes_while_it_turns_to_second_order) {
    const double E = 200e9, K = cq_strength_softness(CQ_PEARLITE), growth = cq_strength_soft_growth(0.8),
                 q = 0.5 * K * E;
    double integral = 0.0;
    for (int n = 0; n < 100000; n++) { /* midpoints; error below 1e-8 */
        const double X = (n + 0.5) / 100000;
        integral += exp(q * (X * (2.0 - X) - 1.0)) / 100000;
    }
    const double due = -0.5 * E * growth * integral;
    ck_assert_double_lt(relative(relaxed_stress(200, E), due), 5e-3);
    const double coarse = relaxed_stress(20, E) - due, fine = relaxed_stress(40, E) - due,
                 order = log2(fabs(coarse / fine));
    ck_assert_msg(order > 1.85 && order < 2.5, "order %.2f", order);
}
END_TEST

/* Whatever the step: a whole quench in one, two, ... steps stays bounded and balanced. */
START_TEST(no_step_is_too_long) {
    cq_strength steel;
    cq_strength_of_steel(&steel);
    for (int steps = 1; steps <= 64; steps *= 2) {
        strip_begin(&s, 60, 8, &steel, 1073.15);
        for (int n = 1; n <= steps; n++) {
            for (size_t c = 0; c < s.n; c++) { /* the bottom leads, the right face too */
                const double lead = 1.0 - s.x[c] / s.height_m + 0.2 * s.y[c] / s.width_m;
                const double u = fmin(1.0, (double)n / steps * (1.0 + 2.0 * lead * (1.0 - (double)n / steps)));
                s.T[c] = 1073.15 - 780.0 * u;
                const cq_phase product = s.x[c] < 0.3 * s.height_m ? CQ_MARTENSITE : CQ_PEARLITE;
                const double X = fmin(1.0, fmax(0.0, product == CQ_MARTENSITE ? (u - 0.75) * 4.0 : (u - 0.3) * 3.0));
                s.f[product][c] = fmax(s.f[product][c], X);
                s.f[CQ_AUSTENITE][c] = 1.0 - s.f[product][c];
            }
            strip_step(&s);
        }
        ck_assert_double_lt(fabs(cq_beam_bend_now(s.beam).along_1_m), 2.0);
        for (size_t c = 0; c < s.n; c++) {
            ck_assert_double_lt(fabs(cq_beam_stress_Pa(s.beam)[c]), 2.5e9);
        }
        cq_beam_free(s.beam);
    }
}
END_TEST

/* A cooling that goes on as it began costs few looks: each balance begins where the last movement leads. Without that
 * it takes 2.5 looks a step: as right, but dearer. */
START_TEST(steady_cooling_is_cheap) {
    enum { STEPS = 40 };
    cq_strength steel;
    cq_strength_of_steel(&steel);
    strip_begin(&s, 60, 8, &steel, 1073.15);
    for (int n = 1; n <= STEPS; n++) {
        for (size_t c = 0; c < s.n; c++) {
            s.T[c] = 1073.15 - 500.0 * n / STEPS * (1.2 - 0.8 * s.x[c] / s.height_m);
        }
        strip_step(&s);
    }
    printf("steady cooling: %.1f looks a step\n", (double)cq_beam_looks(s.beam) / STEPS);
    ck_assert_uint_lt(cq_beam_looks(s.beam), 2 * STEPS);
    cq_beam_free(s.beam);
}
END_TEST

/* At one temperature and stiffness the bend is the sum of the moments of its strains. */
START_TEST(the_parts_add_up_to_the_bend) {
    cq_strength steel;
    cq_strength_of_steel(&steel);
    strip_begin(&s, 60, 4, &steel, 1073.15);
    for (int n = 1; n <= 40; n++) {
        for (size_t c = 0; c < s.n; c++) {
            const double u = fmin(1.0, n / 20.0 * (1.2 - s.x[c] / s.height_m));
            s.T[c] = 1073.15 - 780.0 * fmax(0.0, n == 40 ? 1.0 : u);
        }
        strip_turn(&s, 0, 20, CQ_MARTENSITE, n / 40.0);
        strip_turn(&s, 20, 60, CQ_PEARLITE, n / 40.0);
        strip_step(&s);
    }
    const cq_beam_parts p = cq_beam_bend_parts(s.beam);
    const double bend = cq_beam_bend_now(s.beam).along_1_m;
    ck_assert_double_lt(fabs(p.free_1_m + p.plastic_1_m + p.turned_1_m - bend), 1e-6 * fabs(bend));
    ck_assert_double_gt(fabs(p.plastic_1_m) + fabs(p.turned_1_m), 0.1 * fabs(bend));
    cq_beam_free(s.beam);
}
END_TEST

START_TEST(a_step_takes_no_memory) {
    cq_strength steel;
    cq_strength_of_steel(&steel);
    strip_begin(&s, 60, 4, &steel, 1073.15);
    const unsigned long before = cq_memory_count();
    for (size_t c = 0; c < s.n; c++) {
        s.T[c] -= 500.0 * s.x[c] / s.height_m;
    }
    ck_assert(cq_beam_is_due(s.beam, s.T, s.fraction));
    strip_step(&s);
    ck_assert(!cq_beam_is_due(s.beam, s.T, s.fraction));
    ck_assert(cq_memory_count() == before);
    cq_beam_free(s.beam);
    for (long n = 0; n < 4; n++) { /* and says when there is none */
        cq_memory_fail_after(n);
        const cq_beam_shape shape = {(size_t)s.rows, (size_t)s.across, s.x, s.y, s.area, true};
        ck_assert_int_eq(cq_beam_create(&s.beam, &shape, &steel), CQ_ERR_MEMORY);
        cq_memory_fail_after(-1);
    }
}
END_TEST

/* A thin core strained to and fro hardens; once it has turned it is as soft as what never was strained. */
static double core_after_cycles(bool turns) {
    const double yield[CQ_STRONGS] = {150, 150, 150};
    cq_strength even = even_strength(200, 23.1e-6, yield);
    even.hardening_Pa[0] = even.hardening_Pa[1] = even.hardening_Pa[2] = 4e9;
    strip_begin(&s, 100, 2, &even, 293.15);
    cq_beam_begin(s.beam, s.T, s.fraction, NULL); /* it turns without growing */
    double most = 0.0;
    for (int n = 0; n < 80; n++) {
        if (turns && n == 78) {
            strip_turn(&s, 0, s.rows, CQ_PEARLITE, 1.0);
        }
        for (size_t c = 0; c < s.n; c++) {
            const bool core = fabs(s.x[c] / s.height_m - 0.5) < 0.02;
            s.T[c] = 293.15 + (core ? (n % 2 == 0 ? 150.0 : 0.0) : 0.0);
        }
        strip_step(&s);
        most = fabs(cq_beam_stress_Pa(s.beam)[s.n / 2]);
    }
    cq_beam_free(s.beam);
    return most;
}

START_TEST(what_turns_forgets) {
    const double kept = core_after_cycles(false), turned = core_after_cycles(true);
    ck_assert_double_gt(kept, 250e6);
    ck_assert_double_lt(turned, 180e6); /* 150 and the hardening of its own first strains */
}
END_TEST

/* A half of a slice that mirrors itself is the whole one. */
START_TEST(a_half_bends_as_the_whole) {
    cq_strength steel;
    cq_strength_of_steel(&steel);
    double bend[2];
    for (int half = 0; half < 2; half++) {
        strip_begin(&s, 50, half ? 4 : 8, &steel, 1073.15);
        if (half) {
            for (size_t c = 0; c < s.n; c++) {
                s.y[c] = s.width_m * 0.5 * ((double)(c % 4) + 0.5) / 4;
                s.area[c] *= 0.5;
            }
            cq_beam_free(s.beam);
            const cq_beam_shape shape = {(size_t)s.rows, (size_t)s.across, s.x, s.y, s.area, true};
            ck_assert_int_eq(cq_beam_create(&s.beam, &shape, &steel), CQ_OK);
            cq_beam_begin(s.beam, s.T, s.fraction, s.carbon);
        }
        for (int n = 1; n <= 10; n++) {
            for (size_t c = 0; c < s.n; c++) {
                const double in = 1.0 - fabs(s.y[c]) / s.width_m;
                s.T[c] = 1073.15 - 78.0 * n * (n == 10 ? 1.0 : (1.0 - 0.5 * in * s.x[c] / s.height_m));
            }
            strip_step(&s);
        }
        bend[half] = cq_beam_bend_now(s.beam).along_1_m;
        cq_beam_free(s.beam);
    }
    ck_assert_double_gt(fabs(bend[0]), 1e-3);
    ck_assert_double_lt(relative(bend[1], bend[0]), 1e-9);
}
END_TEST

int main(void) {
    TCase *tc = tcase_create("beam");
    tcase_add_test(tc, a_bimetal_strip_bends_as_timoshenko_says);
    tcase_add_test(tc, a_swollen_face_bends_sideways);
    tcase_add_test(tc, a_gradient_bends_and_a_parabola_strains);
    tcase_add_test(tc, a_heated_core_keeps_a_residual_stress);
    tcase_add_test(tc, a_step_of_temperature_strains_as_a_layered_strip);
    tcase_add_test(tc, an_elastic_plastic_beam_under_a_shock);
    tcase_add_test(tc, free_dilatation);
    tcase_add_test(tc, stress_relaxes_while_it_turns_to_second_order);
    tcase_add_test(tc, no_step_is_too_long);
    tcase_add_test(tc, steady_cooling_is_cheap);
    tcase_add_test(tc, the_parts_add_up_to_the_bend);
    tcase_add_test(tc, a_step_takes_no_memory);
    tcase_add_test(tc, what_turns_forgets);
    tcase_add_test(tc, a_half_bends_as_the_whole);
    return run_case(tc, "beam");
}
