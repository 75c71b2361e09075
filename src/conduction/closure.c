/* closure.c - roots of the outer-face balance, one end or two coupled ends.
 *
 *     f(Ts) = Ts + S A q(Ts) - B = 0                                                                              (1)
 *
 * Where q falls steeply with Ts (transition boiling under a poor conductor) f is not monotone and (1) can have three
 * roots. The physical one is the first met when leaving the last known face temperature in the direction f points to,
 * so the search marches that way until f changes sign, then closes the bracket with safeguarded Newton steps.
 */
#include "conduction/closure.h"

/* Of f, before one more Newton step that costs no evaluation: f'' is below 0.1 / K even where a thick coat wets, so
 * that step leaves at most its square, 1e-11 K. */
static const double LAST_STEP_K = 1e-5;
static const double FLAT = 0.05;    /* below this slope of f a Newton step is not to be trusted */
static const double MET_K = 1e-9;   /* of f: a root without one more step, whatever the slope */
static const double MARCH_K = 30.0; /* longest step before a bracket is known: features of q are 100 K wide */
enum { ITERATIONS = 120 };
enum { TOGETHER = 24 }; /* Newton on two ends at once swings for ever about a bend of q; each by itself does not */

static double residual(const cq_heat_client *client, const cq_closure *one, double Ts, double drive, double *slope) {
    double dq;
    const double q = client->flux(client->context, one->end, Ts, &dq);
    *slope = 1.0 + one->response * one->area_m * dq;
    return Ts + one->response * one->area_m * q - drive;
}

/* Root of (1) with B = drive, starting from Ts; sets one->Ts_K and out_W_m. */
static bool solve_with_drive(const cq_heat_client *client, cq_closure *one, double drive) {
    const bool physical =
        one->Ts_K > 100.0 && one->Ts_K < 3000.0; /* a sweep that went astray leaves no branch to follow */
    double Ts = physical ? one->Ts_K : 400.0, slope, f = residual(client, one, Ts, drive, &slope);
    double low = -HUGE_VAL, high = HUGE_VAL; /* f < 0 at low, f > 0 at high */
    bool found = false;
    for (int n = 0; n < ITERATIONS; n++) {
        double step = slope > FLAT ? -f / slope : (f < 0.0 ? MARCH_K : -MARCH_K);
        if (fabs(f) <= LAST_STEP_K && slope > FLAT) {
            Ts += step;
            found = true;
            break;
        }
        if (f < 0.0) {
            low = Ts;
        } else {
            high = Ts;
        }
        const bool bracketed = low > -HUGE_VAL && high < HUGE_VAL;
        if (bracketed && fabs(high - low) <= 1e-13 * fabs(Ts)) {
            found = fabs(f) <= LAST_STEP_K; /* the bracket is as narrow as doubles allow */
            break;
        }
        if (!bracketed) {
            step = fmax(-MARCH_K, fmin(MARCH_K, step));
        } else if (!((Ts + step - low) * (Ts + step - high) < 0.0)) {
            step = 0.5 * (low + high) - Ts;
        }
        Ts += step;
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
        const double m00 = 1.0 + low->response * d0, m11 = 1.0 + high->response * d1, m01 = c * d1, m10 = c * d0;
        const double det = m00 * m11 - m01 * m10;
        const double s0 = -(m11 * f0 - m01 * f1) / det, s1 = -(m00 * f1 - m10 * f0) / det;
        const bool safe = m00 > FLAT && m11 > FLAT && det > FLAT * FLAT;
        if (safe && fabs(f0) <= LAST_STEP_K && fabs(f1) <= LAST_STEP_K) {
            low->Ts_K += s0;
            high->Ts_K += s1;
            low->out_W_m = q0 + d0 * s0;
            high->out_W_m = q1 + d1 * s1;
            return true;
        }
        if (fabs(f0) <= MET_K && fabs(f1) <= MET_K) { /* close to where a branch ends both solves below meet it */
            low->out_W_m = q0;
            high->out_W_m = q1;
            return true;
        }
        if (n < TOGETHER && n % 8 != 7 && safe && fabs(s0) <= MARCH_K && fabs(s1) <= MARCH_K) {
            low->Ts_K += s0;
            high->Ts_K += s1;
        } else { /* both from the same old outflows, so that a mirrored line gives the mirrored answer */
            solve_with_drive(client, low, low->drive_K - c * q1);
            solve_with_drive(client, high, high->drive_K - c * q0);
        }
    }
    return false;
}
