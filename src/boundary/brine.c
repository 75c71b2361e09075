/* brine.c - see brine.h. */
#include "boundary/brine.h"

#include <math.h>

static const double MOST = 0.20;

static double held(double salt) {
    return fmin(fmax(salt, 0.0), MOST);
}

double cq_brine_rewetting_shift_K(double salt) {
    return 15000.0 * held(salt);
}

double cq_brine_peak_factor(double salt) {
    const double at = 0.14, factor = 2.24;
    return 1.0 + (factor - 1.0) * fmin(held(salt) / at, 1.0);
}

/* Rows at 0, 5, 10, 15, 20 %. */
static double straight(const double row[5], double salt) {
    const double at = held(salt) / 0.05;
    const int i = at >= 3.0 ? 3 : (int)at;
    return row[i] + (at - i) * (row[i + 1] - row[i]);
}

double cq_brine_freezing_K(double salt) {
    static const double below_zero_K[5] = {0.0, 3.05, 6.56, 10.89, 16.46};
    return 273.15 - straight(below_zero_K, salt);
}

double cq_brine_boiling_K(double salt) {
    static const double above_water_K[5] = {0.0, 0.85, 1.8, 3.0, 4.4};
    return 373.15 + straight(above_water_K, salt);
}
