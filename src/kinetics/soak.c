/* soak.c - equilibrium temperatures and what a soak leaves: carbon in solution, carbide, grain, untransformed rest.
 *
 * Equilibrium version: dissolution is complete in the time given. The grain follows from time and temperature and is
 * counted relative to the reference soak (normalised, 800 degC, 5 min), at which the shift is exactly zero.
 */
#include "kinetics/laws.h"

#include <math.h>

static const double ZERO_C = 273.15;

cq_equilibria cq_equilibria_of(const cq_composition *c) {
    cq_equilibria e;
    /* [grange1961], in degF as printed; Ae3 is a straight line that falls below Ae1 above 0.77 % C */
    e.Ae1_C = (1333.0 - 25.0 * c->Mn + 40.0 * c->Si + 42.0 * c->Cr - 26.0 * c->Ni - 32.0) / 1.8;
    e.Ae3_line_C = (1570.0 - 323.0 * c->C - 25.0 * c->Mn + 80.0 * c->Si - 3.0 * c->Cr - 32.0 * c->Ni - 32.0) / 1.8;
    e.Ae3_C = fmax(e.Ae3_line_C, e.Ae1_C);
    return e;
}

double cq_acm_carbon(double T_C, double Ae1_C) {
    const double d = T_C - Ae1_C; /* quadratic through (0, 0.77), (198, 1.31), (421, 2.11), from memory, +-0.03 [asm-handbook3] */
    return 0.77 + 2.322e-3 * d + 2.045e-6 * d * d;
}

/* Temperature at which all of carbon C dissolves, degC. */
static double acm_temperature_C(double C, double Ae1_C) {
    const double a = 2.045e-6, b = 2.322e-3, c = 0.77 - C;
    return C <= 0.77 ? Ae1_C : Ae1_C + (-b + sqrt(b * b - 4.0 * a * c)) / (2.0 * a);
}

double cq_acm_of(const cq_composition *c) {
    return acm_temperature_C(c->C, cq_equilibria_of(c).Ae1_C);
}

/* ASTM number after a hold less that after the reference soak. Mean intercept D^2 = D0^2 + k t, D0 14 um, k 0.17 um2/s at
 * 800 degC, 200 kJ/mol; fitted to a memory-class ladder: 30 min gives G 8 at 800, 7.2 at 850 degC. G = -3.288 - 6.643856
 * log10(D/mm) [astm-e112], of which the difference is one logarithm, exactly 0 at the reference. */
static double grain_shift_ASTM(double T_K, double hold_s) {
    const double reference_K = 1073.15, reference_s = 300.0, start_um = 14.0, reference_rate = 0.17;
    const double rate = reference_rate * exp(200000.0 / 8.314 * (1.0 / reference_K - 1.0 / T_K));
    const double grown = start_um * start_um + rate * hold_s, reference = start_um * start_um + reference_rate * reference_s;
    return -0.5 * 6.643856 * log10(grown / reference);
}

cq_soak cq_soak_of(const cq_steel *steel, double temperature_K, double hold_s, bool start) {
    const cq_composition *c = &steel->composition_wt;
    const cq_equilibria e = cq_equilibria_of(c);
    const double T_C = temperature_K - ZERO_C, cementite_C = 6.67, ferrite_C = 0.02;
    cq_soak s = {c->C, 0.0, steel->grain_ASTM, 1.0};
    if (!start && T_C < e.Ae1_C) {
        s.austenite = 0.0;
        s.carbon_solution_wt = fmin(c->C, 0.77);
        return s;
    }
    s.carbon_solution_wt = fmin(c->C, cq_acm_carbon(fmax(T_C, e.Ae1_C), e.Ae1_C));
    s.carbide = (c->C - s.carbon_solution_wt) / (cementite_C - s.carbon_solution_wt);
    if (start) {
        s.grain_ASTM = 8.0;
        return s;
    }
    if (T_C < e.Ae3_line_C) { /* two-phase: ferrite by the lever rule, the austenite richer in carbon */
        const double austenite_C = c->C + (e.Ae3_line_C - T_C) / 179.4; /* slope of Ae3: 323/1.8 degC per % C */
        s.austenite = 1.0 - (austenite_C - c->C) / (austenite_C - ferrite_C);
        s.carbon_solution_wt = austenite_C;
    }
    s.grain_ASTM += grain_shift_ASTM(temperature_K, hold_s);
    return s;
}
