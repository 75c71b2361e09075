/* measured.c - a measured isothermal diagram in place of the laws' times.
 *
 * A diagram tells when pearlite and bainite together begin (1 %), are half done and end (99 %); the laws have a half
 * time for each. Both are multiplied by the one factor that makes their common half time the measured one, for the heat
 * and the soak that were measured:
 *     ln f(T_i) = ln(half_i) - ln(t50 of both by the laws, measured heat, measured soak, T_i)                       (1)
 * straight between the rows; beyond the first and the last row it goes back to 0 within 50 K (chosen here), so that the
 * laws take over without a jump. What the laws make of another batch, soak or grain stays as they have it, and so do
 * the share of each product and the exponents: starts and ends are compared, not used. What forms before pearlite keeps
 * its proportion to it.
 */
#include "kinetics/laws.h"

#include <math.h>

static const double ZERO_C = 273.15, LN2 = 0.69314718055994531;
static const double HAND_OVER_K = 50.0;

/* Sum of the extended volumes is -ln(1 - share); bisection below the faster of the two. */
double cq_both_s(double P_s, double B_s, double share) {
    const double goal = -log1p(-share) / LN2;
    const double P = isfinite(P_s) ? P_s : INFINITY, B = isfinite(B_s) ? B_s : INFINITY;
    double high = fmin(P * pow(goal, 1.0 / CQ_PEARLITE_N), B * pow(goal, 1.0 / CQ_BAINITE_N)), low = 1e-3 * high;
    if (!isfinite(high)) {
        return NAN;
    }
    for (int n = 0; n < 36; n++) {
        const double t = sqrt(low * high);
        *(pow(t / P, CQ_PEARLITE_N) + pow(t / B, CQ_BAINITE_N) < goal ? &low : &high) = t;
    }
    return sqrt(low * high);
}

bool cq_diagram_is_valid(const cq_diagram *d) {
    bool good = d->n == 0 || (d->n >= CQ_DIAGRAM_LEAST && d->n <= CQ_DIAGRAM_MOST && d->row != NULL);
    for (size_t i = 0; i < d->n && good; i++) {
        const cq_diagram_row *r = &d->row[i];
        good = r->start_s > 0.0 && r->start_s < r->half_s && r->half_s < r->end_s && isfinite(r->end_s) &&
               r->temp_K > 0.0 && (i == 0 || r->temp_K < d->row[i - 1].temp_K);
    }
    return good;
}

/* The laws of the heat that was measured, after the soak it was measured after. */
static cq_law law_of_the_heat(const cq_steel *steel) {
    const cq_diagram *d = &steel->diagram;
    cq_steel heat = *steel;
    heat.composition_wt = d->composition_wt;
    heat.time_factor = 1.0; /* the knob turns measured times too */
    heat.diagram.n = 0;
    const cq_soak_wish wish = {d->soak_K, d->hold_s, d->stock};
    cq_soak soak = cq_soak_of(&heat, &wish);
    soak.grain_ASTM = d->grain_ASTM > 0.0 ? d->grain_ASTM : soak.grain_ASTM;
    return cq_law_of(&heat, &soak);
}

static double both_of(const cq_law *law, double T_C, double share) {
    return cq_both_s(cq_law_pearlite_s(law, T_C), cq_law_bainite_s(law, T_C), share);
}

cq_correction cq_correction_of(const cq_steel *steel) {
    cq_correction c = {.n = 0};
    if (steel->diagram.n == 0) {
        return c;
    }
    const cq_law law = law_of_the_heat(steel);
    for (size_t i = 0; i < steel->diagram.n; i++) {
        const double T_C = steel->diagram.row[i].temp_K - ZERO_C, half_s = both_of(&law, T_C, 0.5);
        if (isfinite(half_s)) { /* the laws have neither product above Ae1 and Bs */
            c.T_C[c.n] = T_C;
            c.ln_factor[c.n++] = log(steel->diagram.row[i].half_s / half_s); /* (1) */
        }
    }
    return c;
}

double cq_correction_at(const cq_correction *c, double T_C) {
    if (c->n == 0) {
        return 0.0;
    }
    const size_t last = c->n - 1;
    if (T_C >= c->T_C[0]) {
        return c->ln_factor[0] * fmax(0.0, 1.0 - (T_C - c->T_C[0]) / HAND_OVER_K);
    }
    if (T_C <= c->T_C[last]) {
        return c->ln_factor[last] * fmax(0.0, 1.0 - (c->T_C[last] - T_C) / HAND_OVER_K);
    }
    size_t i = 0;
    while (c->T_C[i + 1] > T_C) {
        i++;
    }
    const double u = (c->T_C[i] - T_C) / (c->T_C[i] - c->T_C[i + 1]);
    return c->ln_factor[i] + u * (c->ln_factor[i + 1] - c->ln_factor[i]);
}

cq_diagram_fit cq_diagram_fit_of(const cq_steel *steel) {
    const cq_law law = law_of_the_heat(steel);
    cq_diagram_fit fit = {INFINITY, 0.0, INFINITY, 0.0};
    for (size_t i = 0; i < steel->diagram.n; i++) {
        const cq_diagram_row *r = &steel->diagram.row[i];
        const double T_C = r->temp_K - ZERO_C, per_half = r->half_s / both_of(&law, T_C, 0.5);
        const double start = r->start_s / (per_half * both_of(&law, T_C, 0.01)),
                     end = r->end_s / (per_half * both_of(&law, T_C, 0.99));
        fit.start_low = fmin(fit.start_low, start); /* fmin passes over NaN */
        fit.start_high = fmax(fit.start_high, start);
        fit.end_low = fmin(fit.end_low, end);
        fit.end_high = fmax(fit.end_high, end);
    }
    return fit;
}
