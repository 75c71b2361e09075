/* brine.c - see brine.h. */
#include "boundary/brine.h"

#include <math.h>

/* Fractions are of mass; sources stand in brine.h. */
static const double MOST = 0.20; /* where the tables below end */

static double held(double salt) {
    return fmin(fmax(salt, 0.0), MOST);
}

double cq_brine_rewetting_shift_K(double salt) {
    const double per_share_K = 15000.0; /* chosen here */
    return per_share_K * held(salt);
}

double cq_brine_peak_factor(double salt) {
    const double at = 0.14, factor = 2.24; /* [kobasko2010], from memory */
    return 1.0 + (factor - 1.0) * fmin(held(salt) / at, 1.0);
}

/* Rows at 0, 5, 10, 15, 20 %. */
static double straight(const double row[5], double salt) {
    const double at = held(salt) / 0.05;
    const int i = at >= 3.0 ? 3 : (int)at;
    return row[i] + (at - i) * (row[i + 1] - row[i]);
}

double cq_brine_freezing_K(double salt) {
    static const double below_zero_K[5] = {0.0, 3.05, 6.56, 10.89, 16.46}; /* from memory */
    return 273.15 - straight(below_zero_K, salt);
}

double cq_brine_boiling_K(double salt) {
    static const double above_water_K[5] = {0.0, 0.85, 1.8, 3.0, 4.4}; /* from memory */
    return 373.15 + straight(above_water_K, salt);
}

double cq_brine_heat_capacity_J_m3K(double salt) {
    const double water = 4.17e6, per_share = 0.36; /* [incropera2007], and brine of 10 %, both from memory */
    return water * (1.0 - per_share * held(salt));
}
