/* closure.c - roots of the outer-face balance, one end or two coupled ends.
 *
 *     f(Ts) = Ts + S A q(Ts) - B = 0                                                                              (1)
 *
 * Where q falls steeply with Ts (transition boiling under a poor conductor) f is not monotone and (1) can have three
 * roots. The physical one is the first met when leaving the last known face temperature in the direction f points to,
 * so the search marches that way until f changes sign, then closes the bracket with safeguarded Newton steps.
 */
#include "conduction/closure.h"

static const double TOLERANCE_K = 2e-11;  /* of f: a few roundings of 1000 K, so that a mirrored line mirrors */
static const double ROUNDING = 1e-14;     /* of the largest term: what doubles leave of it */
static const double MARCH_K = 30.0;       /* longest step before a bracket is known: features of q are 100 K wide */
enum { ITERATIONS = 120 };

static double residual(const cq_heat_client *client, const cq_closure *one, double Ts, double drive, double *slope) {
    double dq;
    const double q = client->flux(client->context, one->end, Ts, &dq);
    *slope = 1.0 + one->response * one->area_m * dq;
    return Ts + one->response * one->area_m * q - drive;
}

/* Root of (1) with B = drive, starting from Ts; sets one->Ts_K and out_W_m. */
static bool solve_with_drive(const cq_heat_client *client, cq_closure *one, double drive) {
    const bool physical = one->Ts_K > 100.0 && one->Ts_K < 3000.0; /* a sweep that went astray leaves no branch to follow */
    double Ts = physical ? one->Ts_K : 400.0, slope, f = residual(client, one, Ts, drive, &slope);
    double low = -HUGE_VAL, high = HUGE_VAL; /* f < 0 at low, f > 0 at high */
    bool found = false;
    for (int n = 0; n < ITERATIONS; n++) {
        if (fabs(f) <= TOLERANCE_K + ROUNDING * fabs(drive)) {
            found = true;
            break;
        }
        if (f < 0.0) {
            low = Ts;
        } else {
            high = Ts;
        }
        const bool bracketed = low > -HUGE_VAL && high < HUGE_VAL;
        double step = slope > 0.05 ? -f / slope : (f < 0.0 ? MARCH_K : -MARCH_K);
        if (!bracketed && fabs(step) > MARCH_K) {
            step = step > 0.0 ? MARCH_K : -MARCH_K;
        }
        double next = Ts + step;
        if (bracketed && !((next > low) == (next < high) && (next - low) * (next - high) < 0.0)) {
            next = 0.5 * (low + high);
        }
        if (bracketed && fabs(high - low) <= 1e-13 * fabs(Ts)) {
            found = fabs(f) <= 1e-6; /* the bracket is as narrow as doubles allow */
            break;
        }
        Ts = next;
        f = residual(client, one, Ts, drive, &slope);
    }
    one->Ts_K = Ts;
    one->out_W_m = (drive - Ts) / one->response;
    return found && isfinite(Ts);
}

bool cq_closure_solve(const cq_heat_client *client, cq_closure *one) {
    return solve_with_drive(client, one, one->drive_K);
}

/* Newton on both ends at once:
 *     Ts0 + S0 Q0 + c Q1 = B0,    Ts1 + S1 Q1 + c Q0 = B1,    Q = A q(Ts).                                        (2)
 * Where its matrix is not safely positive, each end is solved with the other's outflow held, which follows branches. */
bool cq_closure_solve_pair(const cq_heat_client *client, cq_closure *low, cq_closure *high, double coupling_K_mW) {
    const double c = coupling_K_mW;
    if (c <= 1e-14 * (low->response + high->response)) {
        const bool a = solve_with_drive(client, low, low->drive_K), b = solve_with_drive(client, high, high->drive_K);
        return a && b;
    }
    for (int n = 0; n < ITERATIONS; n++) {
        double d0, d1;
        const double q0 = low->area_m * client->flux(client->context, low->end, low->Ts_K, &d0);
        const double q1 = high->area_m * client->flux(client->context, high->end, high->Ts_K, &d1);
        d0 *= low->area_m;
        d1 *= high->area_m;
        const double f0 = low->Ts_K + low->response * q0 + c * q1 - low->drive_K;
        const double f1 = high->Ts_K + high->response * q1 + c * q0 - high->drive_K;
        low->out_W_m = q0;
        high->out_W_m = q1;
        const double accepted = TOLERANCE_K + ROUNDING * (fabs(low->drive_K) + fabs(high->drive_K));
        if (fabs(f0) <= accepted && fabs(f1) <= accepted) {
            return true;
        }
        const double m00 = 1.0 + low->response * d0, m11 = 1.0 + high->response * d1, m01 = c * d1, m10 = c * d0;
        const double det = m00 * m11 - m01 * m10;
        const double s0 = -(m11 * f0 - m01 * f1) / det, s1 = -(m00 * f1 - m10 * f0) / det;
        if (n % 8 != 7 && m00 > 0.05 && m11 > 0.05 && det > 0.02 && fabs(s0) <= MARCH_K && fabs(s1) <= MARCH_K) {
            low->Ts_K += s0;
            high->Ts_K += s1;
        } else { /* both from the same old outflows, so that a mirrored line gives the mirrored answer */
            solve_with_drive(client, low, low->drive_K - c * q1);
            solve_with_drive(client, high, high->drive_K - c * q0);
        }
    }
    return false;
}
