/* The triangular flux pulse on a slab with its thermocouple on the insulated face: the classical test of inverse heat
 * conduction [beck1985]; pulse and noise from memory of its dimensionless form (rise and fall of 0.6 each, noise
 * 0.0017). The readings are the closed form's [carslaw1959], not our own conduction's:
 *
 *     unit flux from t = 0 on:  T k / (q L) = F - 1/6 - 2/pi^2 sum (-1)^n / n^2 exp(-n^2 pi^2 F),   F = a t / L^2 (1)
 *     a ramp is its integral, a triangle three ramps.
 */
#include "../suite.h"

#include "base/memory.h"

#include <clayquench/inverse.h>
#include <math.h>
#include <stdio.h>

static const double K = 30.0, C = 4e6, HALF_M = 5e-3, PEAK_W_m2 = 2.5e6, START_K = 1173.15, BATH_K = 293.15;
static const double RISE = 0.6, BEGIN = 0.24, END = 2.0; /* Fourier numbers */
enum { READINGS = 160 };

/* Integral of (1) over F, times 1: the ramp. */
static double ramp(double F) {
    const double pi2 = 9.869604401089358;
    double sum = 0.0;
    if (!(F > 0.0)) {
        return 0.0;
    }
    for (int n = 1; n <= 400; n++) {
        const double n2 = (double)n * n, sign = n % 2 == 0 ? 1.0 : -1.0;
        sum += sign / n2 * -expm1(-n2 * pi2 * F) / (n2 * pi2);
    }
    return 0.5 * F * F - F / 6.0 - 2.0 / pi2 * sum;
}

static double triangle(double F) {
    const double x = F - BEGIN;
    return x <= 0.0 || x >= 2.0 * RISE ? 0.0 : x < RISE ? x / RISE : 2.0 - x / RISE;
}

static double insulated_face(double F) {
    const double x = F - BEGIN;
    return (ramp(x) - 2.0 * ramp(x - RISE) + ramp(x - 2.0 * RISE)) / RISE;
}

static double normal(unsigned long long *seed) {
    double u[2];
    for (int i = 0; i < 2; i++) {
        *seed = *seed * 6364136223846793005ULL + 1442695040888963407ULL;
        u[i] = ((double)(*seed >> 11) + 0.5) / 9007199254740992.0;
    }
    return sqrt(-2.0 * log(u[0])) * cos(6.283185307179586 * u[1]);
}

START_TEST(triangular_pulse) {
    static const double at_K[] = {293.15};
    const cq_steel steel = {.kind = CQ_STEEL_INERT,
                            .conductivity_W_mK = {1, at_K, &K, CQ_INTERPOLATE_LINEAR},
                            .heat_capacity_J_m3K = {1, at_K, &C, CQ_INTERPOLATE_LINEAR}};
    const double scale_K = PEAK_W_m2 * HALF_M / K, unit_s = HALF_M * HALF_M * C / K, noise_K = 0.0017 * scale_K;
    cq_log log = {READINGS, cq_memory_zero(READINGS, sizeof(double)), cq_memory_zero(READINGS, sizeof(double))};
    unsigned long long seed = 5;
    for (int i = 0; i < READINGS; i++) {
        const double F = END * i / (READINGS - 1);
        log.time_s[i] = unit_s * F;
        log.temp_K[i] = START_K - scale_K * insulated_face(F) + noise_K * normal(&seed);
    }
    const cq_inverse_wish wish = {{CQ_FAMILY_PLATE, 2.0 * HALF_M, &steel, HALF_M, 0.0}, &log, BATH_K, noise_K};
    cq_inverse *v = NULL;
    ck_assert_int_ge(cq_inverse_create(&v, &wish, NULL), 0);
    double square = 0.0, peak = 0.0, peak_F = 0.0;
    size_t n = 0;
    for (size_t j = 0; j < v->times_n; j++) {
        const double F = v->time_at_s[j] / unit_s, off = v->flux_W_m2[j] / PEAK_W_m2 - triangle(F);
        if (F < END - 0.3) { /* at the end nothing has reached the bead yet */
            square += off * off;
            n++;
        }
        peak_F = v->flux_W_m2[j] > peak ? F : peak_F;
        peak = fmax(peak, v->flux_W_m2[j]);
    }
    const double rms = sqrt(square / (double)n), heat = PEAK_W_m2 * RISE * unit_s;
    printf("triangle: peak %.3f at %.3f (1 at %.3f), rms %.3f, heat %.4f, misfit %.2f, width %.2f\n", peak / PEAK_W_m2,
           peak_F, BEGIN + RISE, rms, v->heat_J_m2.value / heat, v->flux_misfit, v->resolution_time_s / unit_s);
    ck_assert(fabs(peak / PEAK_W_m2 - 1.0) < 0.10); /* the corner is rounded by the width */
    ck_assert(fabs(peak_F - BEGIN - RISE) < 0.06);  /* one of the classical test's steps */
    ck_assert(rms < 0.025);                         /* the rounded corners; a conductivity 15 % off doubles it */
    ck_assert(fabs(v->heat_J_m2.value / heat - 1.0) < 0.02);
    ck_assert(!v->single ||
              v->transfer_misfit < 1.3); /* the face warms again after the pulse: no curve in Ts needs fit */
    cq_inverse_free(v);
    cq_log_clear(&log);
}
END_TEST

int main(void) {
    TCase *tc = tcase_create("analytic inverse");
    tcase_set_timeout(tc, 120);
    tcase_add_test(tc, triangular_pulse);
    return run_case(tc, "analytic inverse");
}
