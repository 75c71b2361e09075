/* tempering.c - see tempering.h. */
#include "hardness/tempering.h"

#include <math.h>

double cq_temper_parameter(double before, const cq_temper *temper, size_t n) {
    const double C = 20.0; /* log hours; [hollomon1945] 19.5-20 for medium carbon, used for all so that one law holds */
    double P = before;
    for (size_t i = 0; i < n; i++) {
        const double T = temper[i].temperature_K, hours = temper[i].for_s / 3600.0;
        const double already = P > 0.0 ? pow(10.0, 1000.0 * P / T - C) : 0.0; /* hours at T that give the same P */
        P = T * (C + log10(already + hours)) / 1000.0;
    }
    return P;
}

double cq_temper_martensite_HRC(const cq_composition *c, double carbon_solution_wt, double as_quenched_HRC, double P) {
    const double H = 61.0 + 25.7 * log10(fmax(carbon_solution_wt, 0.1) / 0.85) - 3.0 * (P - 9.543) -
                     2.5 * fmax(0.0, P - 16.5) + 2.8 * (c->Cr + c->W) + 1.0 * (c->Mn - 0.5) + 3.0 * (c->Si - 0.2);
    const double width = 1.5; /* soft minimum, HRC: tempering never hardens martensite */
    return -width * log(exp(-as_quenched_HRC / width) + exp(-H / width));
}

/* Share of retained austenite left: rate ln2/3600 per s at 235 degC, 115 kJ/mol; from memory. */
double cq_temper_austenite_left(const cq_temper *temper, size_t n) {
    double exponent = 0.0;
    for (size_t i = 0; i < n; i++) {
        exponent += log(2.0) / 3600.0 * exp(-115000.0 / 8.314 * (1.0 / temper[i].temperature_K - 1.0 / 508.15)) *
                    temper[i].for_s;
    }
    return exp(-exponent);
}

double cq_temper_mixture_HV(const cq_steel *steel, const cq_matrix *x, const double fraction[CQ_PHASES], double hard_HV,
                            const cq_temper *temper, size_t n) {
    if (n == 0) {
        return cq_hardness_mixture_HV(steel, x, fraction, hard_HV);
    }
    const double pure[CQ_PHASES] = {[CQ_MARTENSITE] = 1.0};
    const cq_matrix fresh = {x->carbon_solution_wt, x->carbide, 0.0, 0.0};
    const double quenched = cq_hardness_mixture_HV(steel, x, pure, 0.0),
                 unsoftened = cq_hardness_mixture_HV(steel, &fresh, pure, 0.0);
    const double P = cq_temper_parameter(x->parameter, temper, n);
    const double points =
        cq_temper_martensite_HRC(&steel->composition_wt, x->carbon_solution_wt, cq_hardness_points(unsoftened), P);
    const double tempered = fmin(quenched, cq_hardness_of_points(points));
    const double diffusional = fraction[CQ_PEARLITE] + fraction[CQ_BAINITE];
    /* the part of hard_HV that stands for cementite or the untransformed rest is not known apart; it never softens, so
     * the bound allows for all of it */
    const double hardest = x->carbon_solution_wt > 0.77 ? CQ_CEMENTITE_HV : CQ_UNTRANSFORMED_HV;
    const double rest = fraction[CQ_FERRITE] * (hardest - CQ_FERRITE_HV);
    const double softened = fmin(hard_HV, diffusional * fmax(tempered, 180.0) + rest);
    const double left = cq_temper_austenite_left(temper, n);
    const double austenite_HV = left * 250.0 + (1.0 - left) * fmin(595.0, tempered);
    return fraction[CQ_MARTENSITE] * tempered + softened + fraction[CQ_FERRITE] * CQ_FERRITE_HV +
           fraction[CQ_AUSTENITE] * austenite_HV;
}
