/* card_words.c - see card_words.h. */
#include "report/card_words.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

const char *cq_stock_words(cq_stock stock) {
    static const char *const words[] = {[CQ_STOCK_NORMALISED] = "normalised",
                                        [CQ_STOCK_CYCLED] = "cycled",
                                        [CQ_STOCK_SPHEROIDISED_FINE] = "spheroidised-fine",
                                        [CQ_STOCK_SPHEROIDISED_COARSE] = "spheroidised-coarse"};
    return words[stock];
}

double cq_card_degrees(double kelvin, cq_unit_system units) {
    const double celsius = kelvin - 273.15;
    return units == CQ_UNITS_US ? 1.8 * celsius + 32.0 : celsius;
}

double cq_card_rate(double K_s, cq_unit_system units) {
    return units == CQ_UNITS_US ? 1.8 * K_s : K_s;
}

const char *cq_card_degree_sign(cq_unit_system units) {
    return units == CQ_UNITS_US ? "°F" : "°C";
}

void cq_card_length_words(double metres, cq_unit_system units, char to[32]) {
    if (units == CQ_UNITS_US) {
        snprintf(to, 32, "%.3f in", metres / 0.0254);
    } else {
        snprintf(to, 32, "%.1f mm", 1e3 * metres);
    }
}

void cq_card_composition_words(const cq_steel_card *card, char to[CQ_CARD_SENTENCE]) {
    const cq_composition *c = &card->steel->composition_wt;
    size_t used = 0;
    to[0] = '\0';
#define ADD(e)                                                                                                         \
    if (c->e > 0.0) {                                                                                                  \
        used += (size_t)snprintf(to + used, CQ_CARD_SENTENCE - used, "%s" #e " %.2f", used > 0 ? "  " : "", c->e);     \
    }
    CQ_ELEMENT_LIST(ADD)
#undef ADD
    snprintf(to + used, CQ_CARD_SENTENCE - used, " %%");
}

void cq_card_soak_words(const cq_steel_card *card, cq_unit_system units, char to[CQ_CARD_SENTENCE]) {
    const double s = card->soak.hold_s;
    char hold[32];
    snprintf(hold, sizeof hold, s < 90.0 ? "%.0f s" : "%.3g min", s < 90.0 ? s : s / 60.0);
    snprintf(to, CQ_CARD_SENTENCE, "%.0f %s, %s, %s", cq_card_degrees(card->soak.temperature_K, units),
             cq_card_degree_sign(units), hold, cq_stock_words(card->soak.stock));
}

const char *cq_card_line_word(const cq_steel_card *card) {
    static const char *const words[] = {
        [CQ_LINE_CLEAR] = "yes", [CQ_LINE_FAINT] = "faint or none", [CQ_LINE_THROUGH] = "no", [CQ_LINE_SOFT] = "no"};
    return card->baths_n == 0 ? "not asked" : words[card->outlook];
}

static void bath_words(const cq_steel_card *card, cq_unit_system units, char to[96]) {
    const cq_card_sizes *s = &card->sizes[0];
    snprintf(to, 96, "%.60s at %.0f %s", s->bath == NULL ? "own bath" : s->bath, cq_card_degrees(s->at_K, units),
             cq_card_degree_sign(units));
}

void cq_card_line_words(const cq_steel_card *card, cq_unit_system units, char to[CQ_CARD_SENTENCE]) {
    char bath[96], edge[32] = "", body[32] = "", clay[32];
    if (card->baths_n == 0) {
        snprintf(to, CQ_CARD_SENTENCE, "not asked, without a bath.");
        return;
    }
    bath_words(card, units, bath);
    cq_card_length_words(CQ_CARD_CLAY_M, units, clay);
    cq_card_length_words(card->sizes[0].plate.size_m, units, edge);
    cq_card_length_words(card->body.size_m, units, body);
    const bool any_edge = card->sizes[0].plate.state == CQ_SIZE_ANY;
    switch (card->outlook) {
    case CQ_LINE_SOFT:
        snprintf(to, CQ_CARD_SENTENCE,
                 card->state.austenite > 0.005 ? "no. In %s not even a bare edge of 1 mm hardens."
                                               : "no. The soak is below Ac1: nothing hardens, in %s or elsewhere.",
                 bath);
        return;
    case CQ_LINE_THROUGH:
        snprintf(to, CQ_CARD_SENTENCE, "no. In %s even a body of 8 mm under %s of clay hardens right through.", bath,
                 clay);
        return;
    case CQ_LINE_FAINT:
        snprintf(to, CQ_CARD_SENTENCE,
                 "faint or none. In %s a body thinner than %s hardens right through even under %s of clay; only a "
                 "thicker one keeps "
                 "a soft back.",
                 bath, body, clay);
        return;
    case CQ_LINE_CLEAR:
        break;
    }
    const size_t used = (size_t)snprintf(
        to, CQ_CARD_SENTENCE, "yes. In %s a bare section up to %s hardens right through, a thicker one never; ", bath,
        any_edge ? "any usual thickness" : edge);
    char *rest = to + used;
    const size_t room = CQ_CARD_SENTENCE - used;
    if (!card->has_body) {
        snprintf(rest, room, "what clay does was not asked.");
    } else if (card->body.state == CQ_SIZE_NONE) {
        snprintf(
            rest, room,
            "under %s of clay a body of any thickness stays soft. Keep the edge thinner than that, bare or washed.",
            clay);
    } else {
        snprintf(rest, room,
                 "under %s of clay a body over %s stays soft. Keep the edge thinner than the first, bare or washed.",
                 clay, body);
    }
}

void cq_card_effect_words(const cq_steel_card *card, cq_unit_system units, char to[CQ_CARD_SENTENCE]) {
    const cq_soak_effect *e = &card->effect;
    const char *step = units == CQ_UNITS_US ? "18 °F" : "10 °C";
    if (isnan(e->per_10K)) {
        snprintf(to, CQ_CARD_SENTENCE, "What %s of soak do cannot be told here: too little hardens at all.", step);
    } else if (e->hardly) {
        snprintf(to, CQ_CARD_SENTENCE,
                 "Soak hardly matters here: %s more hardens %+.1f %% thicker (%+.1f to %+.1f %%).", step,
                 100.0 * e->per_10K, 100.0 * e->low, 100.0 * e->high);
    } else {
        snprintf(
            to, CQ_CARD_SENTENCE,
            "Soak matters: %s more hardens %+.0f %% thicker (%+.0f to %+.0f %%: what carbide does is poorly known); a "
            "thermometer %s off means %+.0f to %+.0f %%.",
            step, 100.0 * e->per_10K, 100.0 * e->low, 100.0 * e->high, step, 100.0 * e->off_by_low,
            100.0 * e->off_by_high);
    }
}
