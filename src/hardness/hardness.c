/* hardness.c - Vickers hardness of each structure, of mixtures, and the Rockwell scale. */
#include "hardness/hardness.h"

#include <math.h>

static const double ZERO_C = 273.15;

#define COUNT(a) (sizeof(a) / sizeof((a)[0]))

static double table_at(const double *x, const double *y, size_t n, double at, cq_interpolation interpolation) {
    const cq_table table = {n, x, y, interpolation};
    return cq_table_eval(&table, at, NULL); /* the ends are held: laws are flat there by construction */
}

double cq_hardness_martensite_HV(double carbon_solution_wt) {
    /* Below 0.5 % C: A255 polynomial through E140 [asm-a255]; above: blend of [krauss2005] and [burns1938], from
     * memory; anchors seen: 1080 about 65 HRC, 1095 about 66 HRC as quenched [asm-heat-treater]. */
    static const double C[] = {0.0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1.0, 1.2};
    static const double HV[] = {270, 377, 436, 518, 615, 715, 790, 845, 885, 910, 930, 950};
    return table_at(C, HV, COUNT(C), carbon_solution_wt, CQ_INTERPOLATE_MONOTONE);
}

double cq_hardness_pearlite_HV(const cq_composition *c, double T_K) {
    /* HRC column of the isothermal diagram of 0.79C-0.76Mn steel [uss1951], through E140, from memory. Total carbon
     * counts: more cementite in the same lamellae. */
    static const double T[] = {400, 482, 538, 593, 650, 705, 725}, HV[] = {400, 395, 392, 372, 318, 215, 180};
    const double plain = table_at(T, HV, COUNT(T), T_K - ZERO_C, CQ_INTERPOLATE_LINEAR);
    return 120.0 + (plain - 120.0) * pow(fmin(c->C, 1.0) / 0.79, 0.65) + 30.0 * (c->Mn - 0.76) + 40.0 * (c->Si - 0.2) +
           12.0 * c->Cr;
}

double cq_hardness_bainite_HV(const cq_composition *c, double carbon_solution_wt, double T_K) {
    static const double T[] = {204, 260, 316, 371, 427, 482, 540},
                        HV[] = {640, 595, 513, 423, 402, 392, 385}; /* [uss1951] */
    const double plain = table_at(T, HV, COUNT(T), T_K - ZERO_C, CQ_INTERPOLATE_LINEAR);
    return 150.0 + (plain - 150.0) * pow(fmin(carbon_solution_wt, 0.79) / 0.79, 0.8) + 20.0 * (c->Mn - 0.76) +
           20.0 * c->Cr;
}

double cq_hardness_mixture_HV(const cq_steel *steel, const cq_matrix *x, const double fraction[CQ_PHASES],
                              double hard_HV) {
    const double austenite_HV = 250.0, carbide_HV = 250.0; /* per volume fraction; from memory */
    double martensite =
        cq_hardness_martensite_HV(x->carbon_solution_wt) + carbide_HV * x->carbide + steel->hardness_shift_HV;
    if (x->softening_HRC > 0.0) {
        martensite = fmin(martensite, cq_hardness_of_points(cq_hardness_points(martensite) - x->softening_HRC));
    }
    return hard_HV + fraction[CQ_FERRITE] * CQ_FERRITE_HV + fraction[CQ_MARTENSITE] * martensite +
           fraction[CQ_AUSTENITE] * austenite_HV;
}

/* ASTM E140 table 1, non-austenitic steels: HV at 20, 21, ... 68 HRC [astm-e140]; 40, 45, ... 65, 68 seen, others from
 * memory. */
static const double E140_HV[] = {238, 243, 248, 254, 260, 266, 272, 279, 286, 294, 302, 310, 318, 327, 336, 345, 354,
                                 363, 372, 382, 392, 402, 412, 423, 434, 446, 458, 471, 484, 498, 513, 528, 544, 560,
                                 577, 595, 613, 633, 653, 674, 697, 720, 746, 772, 800, 832, 865, 900, 940};

double cq_hardness_points(double HV) {
    const size_t last = COUNT(E140_HV) - 1;
    if (HV < E140_HV[0]) {
        return 20.0 - (E140_HV[0] - HV) / 5.5;
    }
    return HV > E140_HV[last] ? 68.0 + (HV - E140_HV[last]) / 40.0 : cq_hardness_HRC(HV); /* 40: the last points' own */
}

double cq_hardness_of_points(double points) {
    const size_t last = COUNT(E140_HV) - 1;
    if (points < 20.0) {
        return E140_HV[0] - 5.5 * (20.0 - points);
    }
    return points > 68.0 ? E140_HV[last] + 40.0 * (points - 68.0) : cq_hardness_HV(points);
}

double cq_hardness_HRC(double HV) {
    if (!(HV >= E140_HV[0])) {
        return NAN;
    }
    size_t i = 0;
    while (i + 2 < COUNT(E140_HV) && HV > E140_HV[i + 1]) {
        i++;
    }
    const double HRC = 20.0 + (double)i + (HV - E140_HV[i]) / (E140_HV[i + 1] - E140_HV[i]);
    return fmin(HRC, 68.0);
}

double cq_hardness_HV(double HRC) {
    if (!(HRC >= 20.0 && HRC <= 68.0)) {
        return NAN;
    }
    size_t i = (size_t)(HRC - 20.0);
    i = i + 2 > COUNT(E140_HV) ? COUNT(E140_HV) - 2 : i;
    return E140_HV[i] + (HRC - 20.0 - (double)i) * (E140_HV[i + 1] - E140_HV[i]);
}
