/* vector_math.h - exp and log written so that a compiler can run them side by side in vector lanes.
 *
 * Both are branch-free, defined for the ranges named, and accurate to 1e-12 relative (tests/unit/base): enough for
 * rates and fractions, and the same on every run.
 */
#ifndef CQ_BASE_VECTOR_MATH_H
#define CQ_BASE_VECTOR_MATH_H

#include <stdint.h>
#include <string.h>

/* e^x for -700 <= x <= 700; outside, the value at the end. */
static inline double cq_lane_exp(double x) {
    const double held = x < -700.0 ? -700.0 : (x > 700.0 ? 700.0 : x);
    const double shift = 6755399441055744.0; /* 1.5 * 2^52: rounds to an integer in the low bits */
    const double n = held * 1.4426950408889634 + shift;
    const double k = n - shift;
    const double r =
        (held - k * 0.693147180369123816490) - k * 1.90821492927058770002e-10; /* Cody and Waite's two-part ln 2 */
    double p = 1.0 / 479001600.0;                                              /* Taylor to r^12, |r| <= 0.347 */
    p = p * r + 1.0 / 39916800.0;
    p = p * r + 1.0 / 3628800.0;
    p = p * r + 1.0 / 362880.0;
    p = p * r + 1.0 / 40320.0;
    p = p * r + 1.0 / 5040.0;
    p = p * r + 1.0 / 720.0;
    p = p * r + 1.0 / 120.0;
    p = p * r + 1.0 / 24.0;
    p = p * r + 1.0 / 6.0;
    p = p * r + 0.5;
    p = p * r + 1.0;
    p = p * r + 1.0;
    int64_t bits;
    memcpy(&bits, &n, sizeof bits);
    const int64_t power = (int64_t)((uint64_t)(bits + 1023) << 52);
    double scale;
    memcpy(&scale, &power, sizeof scale);
    return p * scale;
}

/* ln x for normal positive x. */
static inline double cq_lane_log(double x) {
    int64_t bits;
    memcpy(&bits, &x, sizeof bits);
    const int64_t from_half = bits - INT64_C(0x3fe6a09e667f3bcd); /* sqrt(1/2): mantissa in [0.707, 1.414) */
    const int64_t exponent = from_half >> 52;
    const int64_t mantissa = bits - exponent * (INT64_C(1) << 52);
    double m;
    memcpy(&m, &mantissa, sizeof m);
    const double s = (m - 1.0) / (m + 1.0), z = s * s; /* 2 atanh s, |s| <= 0.1716 */
    double p = 1.0 / 17.0;
    p = p * z + 1.0 / 15.0;
    p = p * z + 1.0 / 13.0;
    p = p * z + 1.0 / 11.0;
    p = p * z + 1.0 / 9.0;
    p = p * z + 1.0 / 7.0;
    p = p * z + 1.0 / 5.0;
    p = p * z + 1.0 / 3.0;
    return 2.0 * s * (1.0 + z * p) + (double)exponent * 0.69314718055994531;
}

/* 1 - e^-y for y >= 0 without cancellation for small y. */
static inline double cq_lane_share(double y) {
    const double is_small = y < 0.02 ? 1.0 : 0.0,
                 s = y < 0.02 ? y : 0.02; /* weights, not a branch: lanes run side by side */
    const double small = s * (1.0 - s * (0.5 - s * (1.0 / 6.0 - s * (1.0 / 24.0 - s * (1.0 / 120.0 - s / 720.0)))));
    return is_small * small + (1.0 - is_small) * (1.0 - cq_lane_exp(-y));
}

#endif
