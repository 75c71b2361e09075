/* steels.h - compositions, clocks and structures that the tests of this floor start from. */
#ifndef TEST_KINETICS_STEELS_H
#define TEST_KINETICS_STEELS_H

#include "../../suite.h"

#include "base/memory.h"
#include "kinetics/clock.h"

#include <math.h>
#include <stdlib.h>

#define ZERO_C 273.15

static inline cq_steel steel_of(double C, double Mn, double Si, double grain_ASTM) {
    return (cq_steel){.composition_wt = {.C = C, .Mn = Mn, .Si = Si}, .grain_ASTM = grain_ASTM, .time_factor = 1.0};
}

/* Soak of normalised stock. */
static inline cq_soak soak_of(const cq_steel *steel, double temperature_K, double hold_s) {
    const cq_soak_wish wish = {temperature_K, hold_s, CQ_STOCK_NORMALISED};
    return cq_soak_of(steel, &wish);
}

/* All carbon dissolved, fully austenitic. */
static inline cq_soak whole_soak(const cq_steel *steel) {
    return (cq_soak){steel->composition_wt.C, 0.0, steel->grain_ASTM, 1.0, 0.0};
}

static inline cq_clock *clock_of(const cq_steel *steel, const cq_soak *soak) {
    cq_clock *clock = NULL;
    ck_assert_int_eq(cq_clock_create(&clock, steel, soak, NULL), CQ_OK);
    return clock;
}

/* The steel of the textbook diagram: 0.79C-0.76Mn, grain 6. */
static inline cq_clock *clock_1080(cq_soak *soak) {
    const cq_steel steel = steel_of(0.79, 0.76, 0.20, 6.0);
    *soak = whole_soak(&steel);
    return clock_of(&steel, soak);
}

/* Two structures of n cells just after the soak. */
static inline void begin_pair(cq_structure s[2], size_t n, const cq_soak *soak, double T_K) {
    for (int k = 0; k < 2; k++) {
        ck_assert_int_eq(cq_structure_create(&s[k], n), CQ_OK);
        cq_structure_begin(&s[k], 0, n, soak, T_K);
    }
}

static inline void free_pair(cq_structure s[2]) {
    cq_structure_free(&s[0]);
    cq_structure_free(&s[1]);
}

/* One whole step of every cell from s[0], whose result is then s[0] again. */
static inline void step_pair(const cq_clock *clock, cq_structure s[2], const double *T_mid_K, const double *T_end_K,
                             double *slope_per_K, double dt_s) {
    cq_kinetics_step(clock, &s[0], &s[1], 0, s[0].n, T_mid_K, dt_s);
    cq_martensite_step(clock, &s[0], &s[1], 0, s[0].n, T_end_K, slope_per_K);
    const cq_structure swap = s[0];
    s[0] = s[1];
    s[1] = swap;
}

static inline double sum_of(const cq_structure *s, size_t c) {
    double sum = 0.0;
    for (int p = 0; p < CQ_PHASES; p++) {
        sum += s->fraction[p][c];
    }
    return sum;
}

static inline int run_tests(const char *name, const TTest *const *tests, size_t n) {
    TCase *all = tcase_create("all");
    tcase_set_timeout(all, 100);
    for (size_t t = 0; t < n; t++) {
        tcase_add_test(all, tests[t]);
    }
    return run_case(all, name);
}

#define RUN_TESTS(name, ...)                                                                                           \
    int main(void) {                                                                                                   \
        const TTest *const tests[] = {__VA_ARGS__};                                                                    \
        return run_tests(name, tests, sizeof tests / sizeof tests[0]);                                                 \
    }

#endif
