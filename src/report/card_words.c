/* card_words.c - see card_words.h. */
#include "report/card_words.h"

#include "kinetics/kinetics.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

const char *cq_stock_words(cq_stock stock) {
    static const char *const words[] = {[CQ_STOCK_NORMALISED] = "normalised",
                                        [CQ_STOCK_CYCLED] = "cycled",
                                        [CQ_STOCK_SPHEROIDISED_FINE] = "spheroidised-fine",
                                        [CQ_STOCK_SPHEROIDISED_COARSE] = "spheroidised-coarse",
                                        [CQ_STOCK_QUENCHED] = "quenched"};
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

/* "Bare, 17.7 mm hardens to its centre and thicker only outside" */
static void edge_words(const cq_steel_card *card, cq_unit_system units, char to[192]) {
    char edge[32];
    const bool whole = !(card->state.austenite < CQ_AUSTENITE_WHOLE);
    cq_card_length_words(card->sizes[0].plate.size_m, units, edge);
    if (card->sizes[0].plate.state == CQ_SIZE_ANY) {
        snprintf(to, 192, "Bare, any usual thickness %s", whole ? "hardens to its centre" : "becomes half martensite");
    } else {
        snprintf(to, 192, "Bare, %s %s, thicker only outside", edge,
                 whole ? "hardens to its centre" : "becomes half martensite to its centre");
    }
}

static void clear_words(const cq_steel_card *card, cq_unit_system units, const char *bath, const char *clay,
                        char to[CQ_CARD_SENTENCE]) {
    char edge[192], body[32];
    edge_words(card, units, edge);
    cq_card_length_words(card->body.size_m, units, body);
    const bool whole = !(card->state.austenite < CQ_AUSTENITE_WHOLE);
    const size_t used =
        (size_t)snprintf(to, CQ_CARD_SENTENCE, "yes%s, in %s. %s", whole ? "" : " but not in full", bath, edge);
    char *rest = to + used;
    const size_t room = CQ_CARD_SENTENCE - used;
    if (!card->has_body) {
        snprintf(rest, room, ".");
    } else if (card->body.state == CQ_SIZE_NONE) {
        snprintf(rest, room, "; under %s of clay all stays soft.", clay);
    } else {
        snprintf(rest, room, "; under %s of clay what is over %s stays soft.", clay, body);
    }
}

/* Why even a thin bare edge stays soft. */
static void soft_words(const cq_steel_card *card, const char *bath, char to[CQ_CARD_SENTENCE]) {
    const double austenite = card->state.austenite;
    if (!(austenite > CQ_AUSTENITE_SEEN)) {
        snprintf(to, CQ_CARD_SENTENCE, "no. Nothing turns to austenite at this soak: nothing hardens, in any bath.");
    } else if (austenite < 0.5) {
        snprintf(to, CQ_CARD_SENTENCE, "no. Only %.0f %% of the steel turns at this soak: too little, in any bath.",
                 100.0 * austenite);
    } else {
        snprintf(to, CQ_CARD_SENTENCE, "no. In %s not even a bare edge of 1 mm hardens.", bath);
    }
}

void cq_card_line_words(const cq_steel_card *card, cq_unit_system units, char to[CQ_CARD_SENTENCE]) {
    char bath[96], body[32] = "", clay[32];
    if (card->baths_n == 0) {
        snprintf(to, CQ_CARD_SENTENCE, "not asked, without a bath.");
        return;
    }
    bath_words(card, units, bath);
    cq_card_length_words(CQ_CARD_CLAY_M, units, clay);
    cq_card_length_words(card->body.size_m, units, body);
    switch (card->outlook) {
    case CQ_LINE_SOFT:
        soft_words(card, bath, to);
        break;
    case CQ_LINE_THROUGH:
        snprintf(to, CQ_CARD_SENTENCE, "no. In %s even a body of 8 mm under %s of clay hardens to its centre.", bath,
                 clay);
        break;
    case CQ_LINE_FAINT:
        snprintf(to, CQ_CARD_SENTENCE,
                 "faint or none. In %s under %s of clay up to %s hardens through; only a thicker body stays soft.",
                 bath, clay, body);
        break;
    case CQ_LINE_CLEAR:
        clear_words(card, units, bath, clay, to);
        break;
    }
}

/* "+4 % (+2 to +6)", of one starting structure. */
static void one_effect(const cq_soak_effect *e, char to[96]) {
    const int digits = e->hardly ? 1 : 0;
    if (isnan(e->per_10K)) {
        snprintf(to, 96, "part does not turn");
    } else {
        snprintf(to, 96, "%+.*f %% (%+.*f to %+.*f%s)", digits, 100.0 * e->per_10K, digits, 100.0 * e->low, digits,
                 100.0 * e->high, e->hardly ? ", hardly matters" : "");
    }
}

void cq_card_effect_words(const cq_steel_card *card, cq_unit_system units, char to[CQ_CARD_SENTENCE]) {
    const double at_K = card->soak.temperature_K;
    size_t told = 0;
    for (size_t k = 0; k < card->structures_n; k++) {
        told += !isnan(card->ladder[k].effect.per_10K);
    }
    if (told == 0) {
        snprintf(to, CQ_CARD_SENTENCE,
                 "What more soak does to the thickness cannot be told: it turns more of the "
                 "steel.");
        return;
    }
    size_t used = (size_t)snprintf(to, CQ_CARD_SENTENCE,
                                   "%s more than %.0f hardens thicker by:", units == CQ_UNITS_US ? "18 °F" : "10 °C",
                                   cq_card_degrees(at_K, units));
    for (size_t k = 0; k < card->structures_n; k++) {
        char words[96];
        one_effect(&card->ladder[k].effect, words);
        used += (size_t)snprintf(to + used, CQ_CARD_SENTENCE - used, "%s %s %s", k > 0 ? ";" : "",
                                 cq_stock_words(card->ladder[k].stock), words);
    }
    snprintf(to + used, CQ_CARD_SENTENCE - used, ".");
}
