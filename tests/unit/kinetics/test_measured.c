/* test_measured.c - a measured isothermal diagram: its times come back, the laws take over beyond it, and what changes
 * heat or soak changes them as it changes the laws. The diagrams here are invented. */
#include "steels.h"

#include <string.h>

#define ROUNDING 1e-9 /* bisection to 2^-36 of a factor of a thousand, and a logarithm */
/* The clock's tables are straight between kelvins, the diagram has corners at its rows: a share of the half time. */
#define OF_TABLES 4e-3

static const cq_diagram_row INVENTED[] = {{690 + ZERO_C, 90, 260, 460},   {650 + ZERO_C, 9, 26, 60},
                                          {600 + ZERO_C, 2, 6, 14},       {540 + ZERO_C, 1, 4.5, 12},
                                          {450 + ZERO_C, 3, 9, 40},       {350 + ZERO_C, 20, 200, 700},
                                          {280 + ZERO_C, 100, 1000, 3000}};
enum { ROWS = sizeof INVENTED / sizeof INVENTED[0] };

static cq_steel plain_steel(void) {
    return steel_of(0.79, 0.76, 0.20, 8.0);
}

static cq_steel measured_steel(void) {
    cq_steel steel = plain_steel();
    steel.diagram =
        (cq_diagram){ROWS, INVENTED, "invented", steel.composition_wt, 900 + ZERO_C, 600.0, CQ_STOCK_NORMALISED, 6.0};
    return steel;
}

/* The soak the invented diagram was measured after. */
static cq_soak soak_of_the_diagram(const cq_steel *steel) {
    cq_soak soak = soak_of(steel, steel->diagram.soak_K, steel->diagram.hold_s);
    soak.grain_ASTM = steel->diagram.grain_ASTM;
    return soak;
}

static double both(const cq_clock *clock, double T_K, double share) {
    const cq_half_times half = cq_clock_half_times(clock, T_K);
    return cq_both_s(half.pearlite_s, half.bainite_s, share);
}

START_TEST(both_together_by_hand) {
    ck_assert_double_eq_tol(cq_both_s(10.0, INFINITY, 0.5), 10.0, ROUNDING * 10.0);
    ck_assert_double_eq_tol(cq_both_s(INFINITY, 40.0, 0.75), 40.0 * pow(2.0, 1.0 / 1.8), ROUNDING * 100.0);
    ck_assert_double_eq_tol(cq_both_s(10.0, INFINITY, 0.01), 10.0 * pow(log(1 / 0.99) / log(2.0), 0.25),
                            ROUNDING * 10.0);
    const double t = cq_both_s(10.0, 12.0, 0.3);
    ck_assert_double_eq_tol(1.0 - exp(-log(2.0) * (pow(t / 10.0, 4.0) + pow(t / 12.0, 1.8))), 0.3, ROUNDING);
    ck_assert_double_nan(cq_both_s(INFINITY, INFINITY, 0.5));
}
END_TEST

START_TEST(the_measured_times_come_back) {
    const cq_steel steel = measured_steel();
    const cq_soak soak = soak_of_the_diagram(&steel);
    cq_clock *k = clock_of(&steel, &soak);
    for (int n = 0; n < ROWS; n++) {
        ck_assert_double_eq_tol(both(k, INVENTED[n].temp_K, 0.5) / INVENTED[n].half_s, 1.0, ROUNDING);
    }
    cq_clock_free(k);
}
END_TEST

/* The cells see it too: held for the measured half time, half of what is left by cementite is pearlite or bainite, and
 * after twice that time the share is the one that Avrami's law makes of the two products. */
START_TEST(cells_follow_it) {
    const cq_steel steel = measured_steel();
    const cq_soak soak = soak_of_the_diagram(&steel);
    cq_clock *k = clock_of(&steel, &soak);
    for (int n = 0; n < ROWS; n++) {
        const double T_K = INVENTED[n].temp_K;
        const cq_half_times half = cq_clock_half_times(k, T_K);
        for (int twice = 1; twice <= 2; twice++) {
            const double t = twice * INVENTED[n].half_s;
            cq_structure s[2];
            double slope;
            begin_pair(s, 1, &soak, 1100.0);
            for (int step = 0; step < 400; step++) {
                step_pair(k, s, &T_K, &(double){700.0}, &slope, t / 400);
            }
            const double formed = s[0].fraction[CQ_PEARLITE][0] + s[0].fraction[CQ_BAINITE][0],
                         first = s[0].fraction[CQ_FERRITE][0];
            const double Y = log(2.0) * (pow(t / half.pearlite_s, 4.0) + pow(t / half.bainite_s, 1.8));
            ck_assert_double_eq_tol(formed / (1.0 - first), 1.0 - exp(-Y), OF_TABLES);
            ck_assert(twice == 2 || fabs(formed / (1.0 - first) - 0.5) < OF_TABLES);
            free_pair(s);
        }
    }
    cq_clock_free(k);
}
END_TEST

START_TEST(the_laws_take_over_without_a_jump) {
    const cq_steel steel = measured_steel(), plain = plain_steel();
    const cq_soak soak = soak_of_the_diagram(&steel);
    cq_clock *k = clock_of(&steel, &soak), *law = clock_of(&plain, &soak);
    double before = NAN;
    for (double T_K = 430.0; T_K < 985.0; T_K += 0.25) {
        const double now = log(both(k, T_K, 0.5) / both(law, T_K, 0.5));
        /* no step larger than the largest slope of the invented rows and of the way back makes: 1 in 40 K */
        ck_assert(isnan(before) || fabs(now - before) < 0.25 / 40.0);
        before = now;
        ck_assert(T_K > INVENTED[ROWS - 1].temp_K - 50.0 || fabs(now) < ROUNDING);
    }
    ck_assert_double_gt(fabs(log(both(k, INVENTED[0].temp_K, 0.5) / both(law, INVENTED[0].temp_K, 0.5))), 0.2);
    cq_clock_free(k);
    cq_clock_free(law);
}
END_TEST

/* Another batch, another soak, the knob: the measured times move as the laws do. */
START_TEST(what_changes_the_laws_changes_it_alike) {
    for (int what = 0; what < 3; what++) {
        cq_steel steel = measured_steel(), plain = plain_steel();
        cq_soak soak = soak_of_the_diagram(&steel);
        cq_clock *was = clock_of(&steel, &soak), *law_was = clock_of(&plain, &soak);
        if (what == 0) {
            steel.composition_wt.Mn = plain.composition_wt.Mn = 0.40;
        } else if (what == 1) {
            soak.grain_ASTM = 9.0;
            soak.nuclei += 0.2;
        } else {
            steel.time_factor = plain.time_factor = 1.6;
        }
        cq_clock *now = clock_of(&steel, &soak), *law_now = clock_of(&plain, &soak);
        for (int n = 0; n < ROWS; n++) {
            const cq_half_times a = cq_clock_half_times(was, INVENTED[n].temp_K),
                                b = cq_clock_half_times(now, INVENTED[n].temp_K),
                                c = cq_clock_half_times(law_was, INVENTED[n].temp_K),
                                d = cq_clock_half_times(law_now, INVENTED[n].temp_K);
            ck_assert_double_eq_tol(b.pearlite_s / a.pearlite_s, d.pearlite_s / c.pearlite_s, ROUNDING * 10.0);
            ck_assert(fabs(b.pearlite_s / a.pearlite_s - 1.0) > 0.1);
            ck_assert(!isfinite(a.bainite_s) ||
                      fabs(b.bainite_s / a.bainite_s - d.bainite_s / c.bainite_s) < ROUNDING * 10.0);
        }
        cq_clock_free(was);
        cq_clock_free(law_was);
        cq_clock_free(now);
        cq_clock_free(law_now);
    }
}
END_TEST

/* Rows made from the laws themselves fit their exponents to the last digit; rows whose start is late do not. */
START_TEST(starts_and_ends_are_compared) {
    cq_steel steel = measured_steel(), plain = plain_steel();
    const cq_soak soak = soak_of_the_diagram(&steel);
    cq_clock *law = clock_of(&plain, &soak);
    cq_diagram_row own[ROWS];
    for (int n = 0; n < ROWS; n++) {
        const double T_K = INVENTED[n].temp_K;
        own[n] = (cq_diagram_row){T_K, both(law, T_K, 0.01), both(law, T_K, 0.5), both(law, T_K, 0.99)};
    }
    steel.diagram.row = own;
    cq_diagram_fit fit = cq_diagram_fit_of(&steel);
    ck_assert(fabs(fit.start_low - 1.0) < ROUNDING && fabs(fit.start_high - 1.0) < ROUNDING);
    ck_assert(fabs(fit.end_low - 1.0) < ROUNDING && fabs(fit.end_high - 1.0) < ROUNDING);
    own[2].start_s *= 2.5;
    own[4].end_s *= 1.5;
    fit = cq_diagram_fit_of(&steel);
    ck_assert_double_eq_tol(fit.start_high, 2.5, ROUNDING * 10.0);
    ck_assert_double_eq_tol(fit.end_high, 1.5, ROUNDING * 10.0);
    ck_assert_double_eq_tol(fit.start_low, 1.0, ROUNDING);
    cq_clock_free(law);
}
END_TEST

START_TEST(refuses_rows_out_of_order) {
    cq_steel steel = measured_steel();
    const cq_soak soak = soak_of_the_diagram(&steel);
    for (int what = 0; what < 5; what++) {
        cq_diagram_row row[ROWS];
        memcpy(row, INVENTED, sizeof row);
        steel.diagram.n = ROWS;
        steel.diagram.row = row;
        ck_assert(cq_diagram_is_valid(&steel.diagram));
        if (what == 0) {
            row[1].start_s = row[1].half_s;
        } else if (what == 1) {
            row[1].end_s = row[1].half_s - 1.0;
        } else if (what == 2) {
            row[1].start_s = 0.0;
        } else if (what == 3) {
            row[1].temp_K = row[0].temp_K;
        } else {
            steel.diagram.n = 2;
        }
        cq_clock *clock = NULL;
        ck_assert_int_eq(cq_clock_create(&clock, &steel, &soak, NULL), CQ_ERR_ARGUMENT);
        ck_assert_ptr_null(clock);
    }
}
END_TEST

RUN_TESTS("measured diagrams", both_together_by_hand, the_measured_times_come_back, cells_follow_it,
          the_laws_take_over_without_a_jump, what_changes_the_laws_changes_it_alike, starts_and_ends_are_compared,
          refuses_rows_out_of_order)
