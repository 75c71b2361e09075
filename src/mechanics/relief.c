/* relief.c - see relief.h. Every figure is from memory or chosen here: a quarter of the stress of martensite is gone
 * after an hour at 200 degC, and carbide of the first stage takes 0.12 % of the length of martensite of 0.8 % carbon.
 */
#include "mechanics/relief.h"

#include "hardness/tempering.h"
#include "mechanics/strength.h"

#include <math.h>

/* Pairs of tempering parameter (an hour at 100, 150, 200, 300, 400, 500, 600
 * degC: 7.46, 8.46, 9.46, 11.46, 13.46, 15.46, 17.46) and share. */
static const double MARTENSITE_P[] = {7.0, 8.46, 9.46, 11.46, 13.46, 15.46, 17.46};
static const double MARTENSITE_GONE[] = {0.0, 0.12, 0.25, 0.50, 0.72, 0.90, 0.97};
static const double SOFT_P[] = {8.0, 9.46, 11.46, 13.46, 15.46, 17.46};
static const double SOFT_GONE[] = {0.0, 0.05, 0.12, 0.30, 0.65, 0.92};
static const double FIRST_P[] = {7.0, 8.46, 9.46}, FIRST_DONE[] = {0.0, 0.6, 1.0}; /* carbide of the first stage */
static const double THIRD_P[] = {10.0, 13.0}, THIRD_DONE[] = {0.0, 1.0};           /* cementite */
static const double FIRST_SHRINK_per_wt = 0.12e-2 / 0.55, FIRST_LEAVES_wt = 0.25; /* carbon above 0.25 % leaves first */

static double share_at(const double *P, const double *share, size_t n, const cq_temper *temper, size_t tempers) {
    const cq_table table = {n, P, share, CQ_INTERPOLATE_LINEAR};
    return tempers == 0 ? 0.0 : cq_table_eval(&table, cq_temper_parameter(0.0, temper, tempers), NULL);
}
#define SHARE(table, shares) share_at(table, shares, sizeof(table) / sizeof(table)[0], temper, n)

double cq_relief_of_martensite(const cq_temper *temper, size_t n) {
    return SHARE(MARTENSITE_P, MARTENSITE_GONE);
}

double cq_relief_of_soft(const cq_temper *temper, size_t n) {
    return SHARE(SOFT_P, SOFT_GONE);
}

double cq_relief_growth(double martensite, double austenite, double carbon_wt, const cq_temper *temper, size_t n) {
    const double all = cq_strength_martensite_growth(carbon_wt) - cq_strength_soft_growth(carbon_wt);
    const double first = FIRST_SHRINK_per_wt * fmax(0.0, carbon_wt - FIRST_LEAVES_wt);
    const double shrunk = first * SHARE(FIRST_P, FIRST_DONE) + (all - first) * SHARE(THIRD_P, THIRD_DONE);
    const double turned = 1.0 - cq_temper_austenite_left(temper, n);
    return -martensite * shrunk + austenite * turned * cq_strength_soft_growth(carbon_wt);
}
