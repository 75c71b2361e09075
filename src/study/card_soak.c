/* card_soak.c - the ladder of soaks, and what ten kelvin more or less do where the smith soaks. */
#include "study/card.h"

#include <math.h>

static const double ZERO_C = 273.15, ROOM_K = 293.15;
/* What carbide and uneven carbon do, as shares of the law: 0.4 +- 0.3 of ln t [clayquench-fit], an estimate. */
static const double STRENGTH_LOW = 0.25, STRENGTH_HIGH = 1.75;
static const double HARDLY = 0.02; /* of the thickness, per 10 K: less than a caliper and a chart can show */

double cq_card_above_zero_K(double temp_K) {
    return temp_K > 0.0 ? temp_K : NAN;
}

cq_card_state cq_card_state_of(const cq_soaked *s) {
    const cq_criticals k = cq_clock_criticals(s->clock);
    if (!(s->soak.austenite > CQ_AUSTENITE_SEEN)) {
        return (cq_card_state){s->from_K, s->soak.austenite, NAN, NAN, NAN, NAN, 0.0, NAN};
    }
    const double kept = exp(-k.alpha_per_K * fmax(0.0, k.Ms_K - ROOM_K));
    return (cq_card_state){.temperature_K = s->from_K,
                           .austenite = s->soak.austenite,
                           .carbon_solution_wt = s->soak.carbon_solution_wt,
                           .carbide = s->soak.carbide,
                           .grain_ASTM = s->soak.grain_ASTM,
                           .Ms_K = cq_card_above_zero_K(k.Ms_K),
                           .retained_austenite = s->soak.austenite * kept,
                           .half_rate_K_s = cq_clock_critical_rate(s->clock, &s->soak, s->from_K, 0.5)};
}

static cq_status state_at(cq_card_state *to, const cq_steel *steel, const cq_card_soak *soak, double strength,
                          cq_error *error) {
    cq_soaked s;
    const cq_status status = cq_soaked_create(&s, steel, soak, strength, error);
    if (status >= 0) {
        *to = cq_card_state_of(&s);
    }
    cq_soaked_free(&s);
    return status;
}

/* ln of the rate for half at a soak `more_K` beside the card's, from the given stock; NaN where part does not turn:
 * then half of the steel is not the same half. */
static cq_status log_rate(double *to, const cq_steel_card *card, cq_stock stock, double more_K, double strength,
                          cq_error *error) {
    cq_card_soak soak = card->soak;
    cq_card_state state = {.half_rate_K_s = NAN};
    soak.temperature_K += more_K;
    soak.stock = stock;
    const cq_status status = state_at(&state, card->steel, &soak, strength, error);
    *to = state.austenite < CQ_AUSTENITE_WHOLE ? NAN : log(state.half_rate_K_s);
    return status;
}

/* Share by which the thickness changes when ln of the rate does. */
static double thicker(double ln_rate_more) {
    return exp(-CQ_SIZE_OF_TIME * ln_rate_more) - 1.0;
}

static cq_status find_effect(cq_soak_effect *e, const cq_steel_card *card, cq_stock stock, cq_error *error) {
    const double strength[3] = {1.0, STRENGTH_LOW, STRENGTH_HIGH};
    double slope[3] = {NAN, NAN, NAN}, off[2] = {NAN, NAN};
    cq_status status = CQ_OK;
    for (int n = 0; n < 3 && status >= 0; n++) {
        double rate[3] = {NAN, NAN, NAN};
        for (int more = -1; more <= 1 && status >= 0; more++) {
            status = log_rate(&rate[1 + more], card, stock, 10.0 * more, strength[n], error);
        }
        slope[n] = isnan(rate[0]) ? thicker(rate[2] - rate[1]) : thicker(0.5 * (rate[2] - rate[0]));
        slope[n] = isnan(rate[1]) ? NAN : slope[n];
        if (n == 0) {
            off[0] = thicker(rate[0] - rate[1]);
            off[1] = thicker(rate[2] - rate[1]);
        }
    }
    if (status < 0) {
        return status;
    }
    *e = (cq_soak_effect){.per_10K = slope[0],
                          .low = fmin(slope[0], fmin(slope[1], slope[2])),
                          .high = fmax(slope[0], fmax(slope[1], slope[2])),
                          .off_by_low = fmin(off[0], off[1]),
                          .off_by_high = fmax(off[0], off[1])};
    e->hardly = fabs(e->low) < HARDLY && fabs(e->high) < HARDLY; /* false where one is NaN */
    return CQ_OK;
}

cq_status cq_card_ladder(cq_steel_card *card, cq_error *error) {
    const cq_stock usual[] = {CQ_STOCK_NORMALISED, CQ_STOCK_SPHEROIDISED_FINE};
    cq_status status = CQ_OK;
    card->ladder[0].stock = card->soak.stock;
    card->structures_n = 1;
    for (int n = 0; n < 2; n++) {
        if (usual[n] != card->soak.stock) {
            card->ladder[card->structures_n++].stock = usual[n];
        }
    }
    for (size_t k = 0; k < card->structures_n && status >= 0; k++) {
        for (int n = 0; n < CQ_CARD_LADDER && status >= 0; n++) {
            const cq_card_soak soak = {740.0 + 20.0 * n + ZERO_C, card->soak.hold_s, card->ladder[k].stock};
            status = state_at(&card->ladder[k].step[n], card->steel, &soak, 1.0, error);
        }
        status = status < 0 ? status : find_effect(&card->ladder[k].effect, card, card->ladder[k].stock, error);
    }
    card->effect = card->ladder[0].effect;
    return status;
}
