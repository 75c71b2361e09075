/* critical.c - constant cooling rates at which a given share transforms by diffusion. */
#include "kinetics/clock.h"

#include <math.h>

static double diffusional_share(const cq_clock *k, const cq_soak *soak, double T_start_K, double rate, cq_structure s[2]) {
    cq_structure_begin(&s[0], 0, 1, soak, T_start_K);
    const double step_K = 2.0, end_K = 380.0, rest = 1.0 - soak->austenite;
    int now = 0;
    for (double T = fmin(T_start_K, k->hottest_K); T > end_K; T -= step_K) {
        const double middle = T - 0.5 * step_K;
        cq_kinetics_step(k, &s[now], &s[1 - now], 0, 1, &middle, step_K / rate);
        double end = T - step_K, slope;
        cq_martensite_step(k, &s[now], &s[1 - now], 0, 1, &end, &slope);
        now = 1 - now;
    }
    return s[now].fraction[CQ_FERRITE][0] + s[now].fraction[CQ_PEARLITE][0] + s[now].fraction[CQ_BAINITE][0] - rest;
}

double cq_clock_critical_rate(const cq_clock *k, const cq_soak *soak, double T_start_K, double fraction) {
    cq_structure s[2];
    if (!(soak->austenite > 0.0)) {
        return NAN;
    }
    if (cq_structure_create(&s[0], 1) != CQ_OK) {
        return NAN;
    }
    if (cq_structure_create(&s[1], 1) != CQ_OK) {
        cq_structure_free(&s[0]);
        return NAN;
    }
    double low = log(1e-3), high = log(1e5);
    const bool reached = diffusional_share(k, soak, T_start_K, 1e-3, s) > fraction &&
                         diffusional_share(k, soak, T_start_K, 1e5, s) < fraction;
    for (int n = 0; n < 30 && reached; n++) {
        const double middle = 0.5 * (low + high);
        *(diffusional_share(k, soak, T_start_K, exp(middle), s) > fraction ? &low : &high) = middle;
    }
    cq_structure_free(&s[0]);
    cq_structure_free(&s[1]);
    return reached ? exp(0.5 * (low + high)) : NAN;
}
