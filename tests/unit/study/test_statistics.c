/* Percentiles, chances, shares and slopes of functions whose answers are known, and whether the errors that are told
 * hold as often as they say. */
#include "../../suite.h"

#include "study/sampling.h"
#include "study/statistics.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

enum { D = CQ_SAMPLING_DIMENSIONS, MOST = 20000, INPUTS = 4 };
static const double PI = 3.14159265358979323846;
static double u[MOST * D], x[MOST * INPUTS], y[MOST];
static unsigned char group[MOST];

typedef double function(const double *x);

/* Samples of a function of numbers that `law` makes of uniform ones. */
static cq_sampled sample(size_t n, uint64_t seed, size_t inputs, double (*law)(double), function *f) {
    ck_assert_int_eq(cq_sampling_uniform(n, CQ_SPREAD_GROUPS, seed, u), CQ_OK);
    for (size_t i = 0; i < n; i++) {
        for (size_t k = 0; k < inputs; k++) {
            x[i * inputs + k] = law(u[i * D + k]);
        }
        y[i] = f(x + i * inputs);
        group[i] = (unsigned char)(i % CQ_SPREAD_GROUPS);
    }
    return (cq_sampled){n, inputs, y, x, group};
}

static double normal(double v) {
    return cq_sampling_normal(v);
}

static double angle(double v) {
    return PI * (2.0 * v - 1.0);
}

static double linear(const double *v) {
    return 3.0 + 2.0 * v[0] - 1.0 * v[1] + 0.5 * v[2];
}

/* Skewed, with inputs that act together. */
static double skewed(const double *v) {
    return exp(0.4 * v[0] + 0.3 * v[1]) * (1.0 + 0.1 * v[2]);
}

static double ishigami(const double *v) {
    return sin(v[0]) + 7.0 * sin(v[1]) * sin(v[1]) + 0.1 * pow(v[2], 4.0) * sin(v[0]);
}

/* One unusual value moves nothing: what is between ordered values is known by hand. */
START_TEST(percentiles_of_a_short_list) {
    static const double values[] = {30, 10, 20, 50, 40};
    static const unsigned char groups[] = {0, 1, 2, 3, 4};
    cq_percentiles p;
    ck_assert_int_eq(cq_statistics_percentiles(&(cq_sampled){5, 0, values, NULL, groups}, &p), CQ_OK);
    ck_assert_double_eq_tol(p.p50.value, 30.0, 1e-12);
    ck_assert_double_eq_tol(p.p5.value, 10.0, 1e-12);  /* below the first place, 0.1 */
    ck_assert_double_eq_tol(p.p95.value, 50.0, 1e-12); /* above the last, 0.9 */
    ck_assert(isnan(p.p50.error));                     /* too few */
    ck_assert_int_eq(cq_statistics_percentiles(&(cq_sampled){0, 0, NULL, NULL, NULL}, &p), CQ_OK);
    ck_assert(isnan(p.p50.value) && p.n == 0);
}
END_TEST

/* y is normal: mean 3, variance 4 + 1 + 1/4. Within three times the told error, which holds 1.645 sigma. */
START_TEST(percentiles_of_a_normal_distribution) {
    const cq_sampled s = sample(MOST, 1, 3, normal, linear);
    cq_percentiles p;
    ck_assert_int_eq(cq_statistics_percentiles(&s, &p), CQ_OK);
    const double sigma = sqrt(5.25), far = 1.6448536 * sigma;
    ck_assert_double_eq_tol(p.p5.value, 3.0 - far, 3.0 * p.p5.error);
    ck_assert_double_eq_tol(p.p50.value, 3.0, 3.0 * p.p50.error);
    ck_assert_double_eq_tol(p.p95.value, 3.0 + far, 3.0 * p.p95.error);
    /* independent samples would have 1.645 sqrt(0.05 0.95/n)/density = 0.057: an even sequence has no more */
    ck_assert_double_lt(p.p5.error, 0.057 * 1.2);
    ck_assert_double_gt(p.p5.error, 0.002);
}
END_TEST

static int compare_doubles(const void *a, const void *b) {
    const double p = *(const double *)a, q = *(const double *)b;
    return (p > q) - (p < q);
}

/* True percentiles of `skewed` from 4 million independent samples of a plain generator. */
static void know_skewed(double truth[3]) {
    enum { N = 4000000 };
    double *v = malloc(N * sizeof *v);
    uint64_t state = 88172645463325252u; /* xorshift, any start */
    for (size_t i = 0; i < N; i++) {
        double z[3];
        for (int k = 0; k < 3; k++) {
            state ^= state << 13;
            state ^= state >> 7;
            state ^= state << 17;
            z[k] = cq_sampling_normal(((double)(state >> 12) + 0.5) * 0x1p-52);
        }
        v[i] = skewed(z);
    }
    qsort(v, N, sizeof *v, compare_doubles);
    truth[0] = v[N / 20];
    truth[1] = v[N / 2];
    truth[2] = v[N - N / 20];
    free(v);
}

/* Nine times in ten: 600 seeds scatter by sqrt(0.9 0.1/600) = 1.2 %; three of that, and as much again for percentiles
 * not being normally distributed at a few hundred samples. */
START_TEST(told_errors_hold_nine_times_in_ten) {
    enum { SEEDS = 600 };
    static const size_t sizes[] = {200, 1000};
    double truth[3];
    know_skewed(truth);
    for (int k = 0; k < 2; k++) {
        int held[3] = {0};
        for (uint64_t seed = 1; seed <= SEEDS; seed++) {
            const cq_sampled s = sample(sizes[k], seed, 3, normal, skewed);
            cq_percentiles p;
            ck_assert_int_eq(cq_statistics_percentiles(&s, &p), CQ_OK);
            held[0] += fabs(p.p5.value - truth[0]) <= p.p5.error;
            held[1] += fabs(p.p50.value - truth[1]) <= p.p50.error;
            held[2] += fabs(p.p95.value - truth[2]) <= p.p95.error;
        }
        for (int q = 0; q < 3; q++) {
            const double share = (double)held[q] / SEEDS;
            printf("percentile %d of %zu samples: told error holds in %.1f %%\n", q, sizes[k], 100.0 * share);
            ck_assert_double_gt(share, 0.90 - 0.072);
            ck_assert_double_lt(share, 0.90 + 0.072);
        }
    }
}
END_TEST

/* Wilson's interval of 3 in 10 at 90 %, worked by hand: z = 1.6449, centre (0.3 + z^2/20)/(1 + z^2/10), ... */
START_TEST(chances) {
    const cq_chance c = cq_statistics_chance(3, 10);
    ck_assert_double_eq_tol(c.share, 0.3, 1e-12);
    ck_assert_double_eq_tol(c.low, 0.1269, 1e-4);
    ck_assert_double_eq_tol(c.high, 0.5583, 1e-4);
    const cq_chance none = cq_statistics_chance(0, 1000), all = cq_statistics_chance(1000, 1000);
    ck_assert(none.low <= 0.0 && all.high >= 1.0);
    ck_assert_double_eq_tol(none.high, 0.0027, 1e-4); /* z^2/(n + z^2) */
    ck_assert(isnan(cq_statistics_chance(0, 0).share));
}
END_TEST

START_TEST(intervals_of_chances_hold) {
    enum { SEEDS = 400, N = 500 };
    const double truth = 0.7602499; /* P(z > -0.7071): linear > 3 - 0.7071 sqrt(5.25) */
    int held = 0;
    for (uint64_t seed = 1; seed <= SEEDS; seed++) {
        const cq_sampled s = sample(N, seed, 3, normal, linear);
        size_t hits = 0;
        for (size_t i = 0; i < N; i++) {
            hits += s.y[i] > 3.0 - 0.70710678 * sqrt(5.25);
        }
        const cq_chance c = cq_statistics_chance(hits, N);
        held += c.low <= truth && truth <= c.high;
    }
    printf("a chance's interval holds in %.1f %%\n", 100.0 * held / SEEDS);
    ck_assert_double_gt((double)held / SEEDS, 0.90);
}
END_TEST

/* Slopes are the coefficients, shares their squares over the sum; nothing is left. Straight pieces hold a straight line
 * exactly, so what is off is chance: within three times the told error and 0.001. */
START_TEST(a_linear_function) {
    static const double slope[] = {2.0, -1.0, 0.5, 0.0};
    const cq_sampled s = sample(1000, 5, INPUTS, normal, linear);
    cq_influence f;
    ck_assert_int_eq(cq_statistics_influence(&s, &f), CQ_OK);
    for (int k = 0; k < INPUTS; k++) {
        ck_assert_double_eq_tol(f.slope[k].value, slope[k], 1e-9);
        ck_assert_double_lt(f.slope[k].error, 1e-9);
        ck_assert_double_eq_tol(f.share[k].value, slope[k] * slope[k] / 5.25, 3.0 * f.share[k].error + 1e-3);
    }
    ck_assert_double_eq_tol(f.straight, 1.0, 1e-9);
    ck_assert_double_eq_tol(f.rest.value, 0.0, 3.0 * f.rest.error + 1e-3);
    ck_assert_double_lt(f.rest.error, 0.1);
}
END_TEST

/* [ishigami1990; saltelli2008]: S1 = 0.3139, S2 = 0.4424, S3 = 0, interactions 0.2437. Sixteen straight pieces leave
 * D^4/720 mean f''^2 = 0.003 of the variance of 13.8 (D = pi/8, f = 7 sin^2 x): 0.0002, nothing beside chance. At
 * 20,000 samples 0.006 is some three times the largest told error; at 1000 three times the told error is asked, which
 * must be small enough to rank inputs. */
START_TEST(ishigamis_function) {
    static const double truth[] = {0.3139, 0.4424, 0.0};
    static const size_t sizes[] = {20000, 1000};
    for (int n = 0; n < 2; n++) {
        const cq_sampled s = sample(sizes[n], 3, 3, angle, ishigami);
        cq_influence f;
        ck_assert_int_eq(cq_statistics_influence(&s, &f), CQ_OK);
        for (int k = 0; k < 3; k++) {
            printf("%zu samples: share %d is %.4f +- %.4f, should be %.4f\n", sizes[n], k + 1, f.share[k].value,
                   f.share[k].error, truth[k]);
            ck_assert_double_eq_tol(f.share[k].value, truth[k], n == 0 ? 0.006 : 3.0 * f.share[k].error);
            ck_assert_double_lt(f.share[k].error, n == 0 ? 0.004 : 0.08);
        }
        printf("%zu samples: together %.4f +- %.4f, should be 0.2437\n", sizes[n], f.rest.value, f.rest.error);
        ck_assert_double_eq_tol(f.rest.value, 0.2437, n == 0 ? 0.006 : 3.0 * f.rest.error);
    }
}
END_TEST

/* As for percentiles: 300 seeds scatter by 1.7 %, three times that and 2 % for estimates not being normal. Products of
 * pairs have skewed errors where a share is small, on the safe side. */
START_TEST(told_errors_of_shares_and_slopes_hold) {
    enum { SEEDS = 300, N = 1000 };
    static const double truth[] = {0.3139, 0.4424, 0.0};
    int held[3] = {0}, slopes = 0;
    for (uint64_t seed = 1; seed <= SEEDS; seed++) {
        cq_influence f;
        cq_sampled s = sample(N, seed, 3, angle, ishigami);
        ck_assert_int_eq(cq_statistics_influence(&s, &f), CQ_OK);
        for (int k = 0; k < 3; k++) {
            held[k] += fabs(f.share[k].value - truth[k]) <= f.share[k].error;
        }
        /* E(x y)/E(x x) of the first: 3/pi^2 of (1 + 0.1 E(x3^4)) E(x1 sin x1) = 1 */
        slopes += fabs(f.slope[0].value - 3.0 / (PI * PI) * (1.0 + 0.1 * pow(PI, 4.0) / 5.0)) <= f.slope[0].error;
    }
    for (int k = 0; k < 4; k++) {
        const double share = (double)(k < 3 ? held[k] : slopes) / SEEDS;
        printf("%s %d: told error holds in %.1f %%\n", k < 3 ? "share" : "slope", k < 3 ? k + 1 : 1, 100.0 * share);
        ck_assert_double_gt(share, 0.90 - 0.07);
    }
}
END_TEST

/* What does not vary is no input, and a figure that does not vary has no shares. */
START_TEST(nothing_varies) {
    cq_sampled s = sample(200, 1, 2, normal, linear);
    cq_influence f;
    for (size_t i = 0; i < 200; i++) {
        x[2 * i + 1] = 7.0;
        y[i] = 4.0 * x[2 * i];
    }
    ck_assert_int_eq(cq_statistics_influence(&s, &f), CQ_OK);
    ck_assert_double_eq_tol(f.slope[0].value, 4.0, 1e-9);
    ck_assert(isnan(f.slope[1].value));
    ck_assert_double_eq_tol(f.share[0].value, 1.0, 3.0 * f.share[0].error);
    ck_assert_double_eq_tol(f.share[1].value, 0.0, 3.0 * f.share[1].error + 0.02);
    for (size_t i = 0; i < 200; i++) {
        y[i] = 5.0;
    }
    ck_assert_int_eq(cq_statistics_influence(&s, &f), CQ_OK);
    ck_assert(isnan(f.share[0].value) && isnan(f.slope[0].value) && isnan(f.straight));
    s.n = 99;
    ck_assert_int_eq(cq_statistics_influence(&s, &f), CQ_OK);
    ck_assert(isnan(f.share[0].value));
}
END_TEST

int main(void) {
    setvbuf(stdout, NULL, _IOLBF, 0); /* a failing test's figures are printed too */
    TCase *tc = tcase_create("statistics");
    tcase_set_timeout(tc, 120);
    tcase_add_test(tc, percentiles_of_a_short_list);
    tcase_add_test(tc, percentiles_of_a_normal_distribution);
    tcase_add_test(tc, told_errors_hold_nine_times_in_ten);
    tcase_add_test(tc, chances);
    tcase_add_test(tc, intervals_of_chances_hold);
    tcase_add_test(tc, a_linear_function);
    tcase_add_test(tc, ishigamis_function);
    tcase_add_test(tc, told_errors_of_shares_and_slopes_hold);
    tcase_add_test(tc, nothing_varies);
    return run_case(tc, "statistics");
}
