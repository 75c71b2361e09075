/* laws.c - half times of pearlite, bainite and ferrite; martensite.
 *
 * Two additive curves with constant time exponents (pearlite 4, bainite 1.8) and a small ferrite term, on a
 * Kirkaldy-Venugopalan type of temperature factor [kirkaldy1984]; alloying acts on pearlite through a power of
 * Grossmann's product [grossmann1942], carbon through the base factor of A255 [asm-a255]. Constants fitted, with latent
 * heat in the thermal model, on a 1080 diagram's anchors [callister2008], seven W-type heats [roberts1998] and
 * memory-class diagrams: see DEVELOPERS.md for what was fitted and what was blind. R = 1.987 cal/mol/K.
 */
#include "kinetics/laws.h"

#include <math.h>
#include <string.h>

static const double R_CAL = 1.987, ZERO_C = 273.15, LN2 = 0.69314718055994531;

double cq_martensite_start_C(const cq_composition *c, double carbon) {
    return 565.0 - 31.0 * c->Mn - 13.0 * c->Si - 10.0 * c->Cr - 18.0 * c->Ni - 12.0 * c->Mo -
           600.0 * (1.0 - exp(-0.96 * carbon));
}

double cq_martensite_rate_per_K(const cq_composition *c, double carbon) {
    return 1e-3 * (27.2 - 0.14 * c->Mn - 0.21 * c->Si - 0.11 * c->Cr - 0.08 * c->Ni - 0.05 * c->Mo -
                   19.8 * (1.0 - exp(-1.56 * carbon)));
}

double cq_bainite_start_C(const cq_composition *c, double carbon) {
    return 656.0 - 57.7 * carbon - 35.0 * c->Mn - 75.0 * c->Si - 15.3 * c->Ni - 34.0 * c->Cr - 41.2 * c->Mo;
}

/* Base hardenability of carbon at G 7, inch [asm-a255]: its pieces joined straight over 0.05 % so that it has no jumps.
 */
static double base_of_carbon(double C) {
    static const double x[] = {0.10, 0.20, 0.30, 0.40, 0.45, 0.50, 0.55, 0.60, 0.65,
                               0.70, 0.75, 0.80, 0.85, 0.90, 0.95, 1.00, 1.05};
    static const double f[] = {0.0540, 0.1080, 0.1620, 0.2138, 0.2251, 0.2378, 0.2517, 0.2621, 0.2731,
                               0.2830, 0.2930, 0.3028, 0.3121, 0.3208, 0.3287, 0.3360, 0.3426};
    const cq_table table = {sizeof x / sizeof x[0], x, f, CQ_INTERPOLATE_LINEAR};
    return cq_table_eval(&table, C, NULL);
}

cq_law cq_law_of(const cq_steel *steel, const cq_soak *soak) {
    cq_law l = {.c = steel->composition_wt,
                .grain_ASTM = soak->grain_ASTM,
                .ln_factor = log(steel->time_factor),
                .nuclei = soak->nuclei};
    l.c.C = soak->carbon_solution_wt;
    l.e = cq_equilibria_of(&l.c);
    l.Bs_C = cq_bainite_start_C(&l.c, l.c.C);
    const double floor_product = 1.6; /* lowest heat with data: time stays finite as Mn goes to 0 */
    const double chromium = 1.0 + 2.16 * l.c.Cr, nickel = 1.0 + 0.363 * l.c.Ni, reference = 4.027; /* 0.76Mn-0.20Si */
    double GPM = (1.0 + 3.333 * l.c.Mn) * (1.0 + 0.7 * l.c.Si);
    GPM = fmax(GPM, floor_product / (chromium * nickel));
    l.alloy =
        (GPM > reference ? 1.39 : 2.55) * log(GPM / reference) + 2.3 * log(chromium) + 2.0 * log(nickel) + 3.0 * l.c.Mo;
    l.carbon = 1.6 * log(base_of_carbon(l.c.C) / base_of_carbon(0.79));
    l.cementite = l.c.C > cq_acm_carbon(l.e.Ae1_C, l.e.Ae1_C, l.c.Cr);
    l.first_C = l.cementite ? cq_acm_of(&l.c) : l.e.Ae3_C;
    l.measured = cq_correction_of(steel);
    return l;
}

/* Switches the pearlite curve off below 400 degC. */
static double low_switch(double T_C) {
    return log1p(exp(fmin((405.0 - T_C) / 16.0, 600.0)));
}

double cq_law_pearlite_s(const cq_law *l, double T_C) {
    if (T_C >= l->e.Ae1_C || T_C < 60.0) {
        return INFINITY;
    }
    const double TK = T_C + ZERO_C, undercooling = fmax(l->e.Ae1_C - T_C, 1.0);
    const double drag = 0.43 * (l->c.Cr + 3.0 * l->c.Mo) * exp(17600.0 / R_CAL * (1.0 / TK - 1.0 / 873.15));
    const double from_dip = (T_C - l->e.Ae1_C + 105.0) / 28.0;
    return exp(log(3.20) + l->alloy + l->carbon - 0.25 * LN2 * (l->grain_ASTM - 6.0) +
               26800.0 / R_CAL * (1.0 / TK - 1.0 / 813.15) - 3.87 * log(undercooling / 176.7) + log1p(drag) +
               low_switch(T_C) - 0.22 * exp(-from_dip * from_dip) - l->nuclei + l->ln_factor +
               cq_correction_at(&l->measured, T_C));
}

double cq_law_bainite_s(const cq_law *l, double T_C) {
    if (T_C >= l->Bs_C || T_C < 60.0) {
        return INFINITY;
    }
    const double TK = T_C + ZERO_C, undercooling = fmax(l->Bs_C - T_C, 1.0);
    return exp(log(135.0) + 4.7 * (fmin(l->c.C, 0.85) - 0.79) + 1.2 * (l->c.Mn - 0.76) + 1.65 * l->c.Cr +
               2.5 * l->c.Mo + 0.5 * l->c.Ni + 0.3 * (l->c.Si - 0.2) - 0.15 * LN2 * (l->grain_ASTM - 6.0) +
               20000.0 / R_CAL * (1.0 / TK - 1.0 / 623.15) - 1.45 * log(undercooling / 219.0) + 0.5 * l->ln_factor +
               cq_correction_at(&l->measured, T_C));
}

double cq_law_proeutectoid_s(const cq_law *l, double T_C) {
    if (T_C >= l->first_C || T_C < 60.0) {
        return INFINITY;
    }
    const double TK = T_C + ZERO_C, undercooling = fmax(l->first_C - T_C, 1.0);
    return exp(log(13.5) + l->alloy - 0.25 * LN2 * (l->grain_ASTM - 6.0) + 26800.0 / R_CAL * (1.0 / TK - 1.0 / 923.15) -
               3.0 * log(undercooling / 100.0) + low_switch(T_C) - l->nuclei + l->ln_factor +
               cq_correction_at(&l->measured, T_C));
}

double cq_law_proeutectoid_C(const cq_law *l) {
    return l->cementite ? 6.67 : 0.02;
}

double cq_law_proeutectoid_ceiling(const cq_law *l, double T_C) {
    const double Ae1_C = l->e.Ae1_C, frozen = 180.0; /* K below Ae1 */
    if (l->cementite) {
        const double beside = cq_acm_carbon(fmax(T_C, Ae1_C), Ae1_C, l->c.Cr);
        return fmax(0.0, (l->c.C - beside) / (cq_law_proeutectoid_C(l) - beside));
    }
    const double along_Ae3 = l->c.C + (l->e.Ae3_C - T_C) / 179.4;
    const double beside =
        T_C >= Ae1_C ? along_Ae3 : fmin(along_Ae3, cq_acm_carbon(fmax(T_C, Ae1_C - frozen), Ae1_C, l->c.Cr));
    return beside > l->c.C ? (beside - l->c.C) / (beside - cq_law_proeutectoid_C(l)) : 0.0; /* none above Ae3 */
}

void cq_composition_ranges(const cq_composition *c, cq_element_range ranges[CQ_ELEMENT_RANGES]) {
    const cq_element_range all[CQ_ELEMENT_RANGES] = {
        {"C", c->C, 0.45, 1.3},  {"Mn", c->Mn, 0.0, 1.0}, {"Si", c->Si, 0.0, 0.6}, {"Cr", c->Cr, 0.0, 1.6},
        {"Ni", c->Ni, 0.0, 1.0}, {"Mo", c->Mo, 0.0, 0.3}, {"V", c->V, 0.0, 0.3},   {"W", c->W, 0.0, 0.6}};
    memcpy(ranges, all, sizeof all);
}
