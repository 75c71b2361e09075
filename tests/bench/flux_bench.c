/* flux_bench.c - nanoseconds per evaluation of the boundary laws: water, air, a table. CPU time of one thread. */
#include "../baths.h"

#include <math.h>
#include <stdio.h>
#include <time.h>

static double cpu_ns(void) {
    struct timespec t;
    clock_gettime(CLOCK_THREAD_CPUTIME_ID, &t);
    return 1e9 * (double)t.tv_sec + (double)t.tv_nsec;
}

enum { EVALUATIONS = 4000000 };

/* One cooling face (its branches are foreseeable) or temperatures in no order (the worst case). */
static double per_evaluation(const cq_flux_law *law, const cq_flux_face *face, bool in_order) {
    unsigned seed = 1;
    double sum = 0.0;
    const double start = cpu_ns();
    for (int n = 0; n < EVALUATIONS; n++) {
        seed = seed * 1664525u + 1013904223u;
        const double share = in_order ? 1.0 - (double)n / EVALUATIONS : (seed >> 8) / 16777216.0;
        double slope;
        sum += cq_flux_eval(law, face, 300.0 + 800.0 * share, &slope) + slope;
    }
    const double spent = cpu_ns() - start;
    return isfinite(sum) ? spent / EVALUATIONS : NAN; /* the sum must be used, or nothing is computed */
}

static void bench(const char *name, const cq_bath *bath) {
    cq_flux_law *law;
    if (cq_flux_law_create(&law, bath, 313.15, 0.0, 0.03, NULL) < 0) {
        printf("%s: no law\n", name);
        return;
    }
    const cq_surface bare = {
        .steel_conductivity_W_mK = 23.0, .steel_heat_capacity_J_m3K = 4.75e6, .steel_emissivity = 0.8};
    const cq_flux_face face = cq_flux_face_of(law, &bare);
    printf("%-24s %6.1f ns a cooling face, %6.1f ns in no order\n", name, per_evaluation(law, &face, true),
           per_evaluation(law, &face, false));
    cq_flux_law_free(law);
}

int main(void) {
    static const double T[] = {373.15, 473.15, 573.15, 623.15, 673.15,  723.15,
                               773.15, 823.15, 873.15, 923.15, 1023.15, 1123.15};
    static const double h[] = {200, 400, 700, 1100, 2200, 3600, 4200, 4000, 3200, 2400, 1300, 900};
    cq_bath water = water_bath();
    const cq_bath air = air_bath();
    cq_bath oil = {.kind = CQ_BATH_TABLE, .heat_transfer_W_m2K = {12, T, h, CQ_INTERPOLATE_LINEAR}};
    bench("water", &water);
    water.transition_exponent = 1.5;
    bench("water, exponent 1.5", &water);
    bench("air", &air);
    bench("oil table", &oil);
    oil.heat_transfer_W_m2K.interpolation = CQ_INTERPOLATE_MONOTONE;
    bench("oil table, monotone", &oil);
    return 0;
}
