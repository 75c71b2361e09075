/* steel_card.c - puts a steel's card together. */
#include "base/memory.h"
#include "quench/plan_check.h"
#include "quench/run.h"
#include "study/card.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>

static const double LN2 = 0.69314718055994531, LN10 = 2.302585092994046;

static void notice(cq_steel_card *card, const char *code, const char *format, ...)
    __attribute__((format(printf, 3, 4)));
static void notice(cq_steel_card *card, const char *code, const char *format, ...) {
    if (card->notices_n == CQ_CARD_NOTICES) {
        return;
    }
    cq_notice *n = &card->notices[card->notices_n++];
    n->count = 1;
    snprintf(n->code, sizeof n->code, "%s", code);
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(n->sentence, sizeof n->sentence, format, arguments);
    va_end(arguments);
}

static void notice_range(cq_steel_card *card) {
    cq_element_range ranges[CQ_ELEMENT_RANGES];
    cq_composition_ranges(&card->steel->composition_wt, ranges);
    char words[160];
    size_t used = 0;
    for (int n = 0; n < CQ_ELEMENT_RANGES && used < sizeof words; n++) {
        if (!(ranges[n].value >= ranges[n].least && ranges[n].value <= ranges[n].most)) {
            used += (size_t)snprintf(words + used, sizeof words - used, "%s%s %.2f (%g to %g %%)", used > 0 ? ", " : "",
                                     ranges[n].name, ranges[n].value, ranges[n].least, ranges[n].most);
        }
    }
    if (used > 0) {
        notice(card, "composition-range", "outside what was fitted: %s", words);
    }
}

static void notice_soak(cq_steel_card *card) {
    const cq_card_state *s = &card->state;
    if (!(s->austenite > CQ_AUSTENITE_SEEN)) {
        notice(card, "soak-too-cold", "Ac1 is %.0f °C (%.0f °F): nothing turns to austenite, nothing will harden",
               card->Ae1_K - 273.15, 1.8 * (card->Ae1_K - 273.15) + 32.0);
    } else if (s->austenite < CQ_AUSTENITE_WHOLE) {
        notice(card, "soak-partial", "%.0f %% of the steel does not turn at this soak and stays soft",
               100.0 * (1.0 - s->austenite));
    } else if (isnan(s->Ms_K) || s->Ms_K < 298.15) {
        notice(card, "stays-austenite", "no martensite forms above room temperature: the steel stays austenite");
    }
    if (s->carbide > 1e-3) {
        notice(card, "carbide-left", "%.1f %% carbide stays undissolved: %.2f %% C in solution", 100.0 * s->carbide,
               s->carbon_solution_wt);
    }
    if (card->soak.temperature_K > 870.0 + 273.15) {
        notice(card, "soak-hot", "above 870 °C (1598 °F) the grain coarsens: deeper, but brittle");
    }
    notice_range(card);
    char words[CQ_DIAGRAM_WORDS];
    if (cq_diagram_misfit_words(card->steel, words)) {
        notice(card, "isothermal-shape", "%s", words);
    }
}

static void set_temperatures(cq_steel_card *card, const cq_soaked *soaked) {
    const cq_criticals k = cq_clock_criticals(soaked->clock);
    card->Ae1_K = k.Ae1_K;
    card->upper_is_Acm = k.Acm_K > k.Ae1_K + 0.5;
    card->upper_K = card->upper_is_Acm ? k.Acm_K : k.Ae3_K;
    card->Bs_K = k.Bs_K;
    card->state = cq_card_state_of(soaked);
    card->half_rate_K_s = card->state.half_rate_K_s;
    card->full_rate_K_s = cq_clock_critical_rate(soaked->clock, &soaked->soak, soaked->from_K, 0.03);
    card->none_rate_K_s = cq_clock_critical_rate(soaked->clock, &soaked->soak, soaked->from_K, 0.97);
    const double Ms_K = card->state.Ms_K;                           /* NaN without austenite */
    card->M50_K = cq_card_above_zero_K(Ms_K - LN2 / k.alpha_per_K); /* athermal law of kinetics/step.c, (3) */
    card->M90_K = cq_card_above_zero_K(Ms_K - LN10 / k.alpha_per_K);
}

static cq_status find_sizes(cq_steel_card *card, const cq_card_wish *wish, cq_error *error) {
    cq_status status = CQ_OK;
    double guess_m = 10e-3;
    for (size_t b = 0; b < wish->baths_n && status >= 0; b++) {
        cq_card_sizes *to = &card->sizes[b];
        cq_size_wish w = {.steel = card->steel, .soak = card->soak, .bath = &wish->baths[b], .family = CQ_FAMILY_ROUND};
        to->bath = wish->baths[b].bath.name;
        to->at_K = wish->baths[b].at_K;
        status = cq_critical_size_find(&to->round, &w, guess_m, error);
        guess_m = to->round.state == CQ_SIZE_FOUND ? to->round.size_m : guess_m;
        w.family = CQ_FAMILY_PLATE;
        status =
            status < 0 ? status : cq_critical_size_find(&to->plate, &w, 0.66 * guess_m, error); /* plates: 0.6 to 0.7 */
        card->baths_n++;
    }
    if (status >= 0 && wish->baths_n > 0 && wish->clay != NULL) {
        const cq_size_wish w = {.steel = card->steel,
                                .soak = card->soak,
                                .bath = &wish->baths[0],
                                .clay = wish->clay,
                                .clay_m = CQ_CARD_CLAY_M,
                                .family = CQ_FAMILY_PLATE};
        card->has_body = true;
        status = cq_critical_size_find(&card->body, &w, 3e-3, error);
    }
    return status;
}

/* Thickness of a critical size, with what lies beyond the sizes asked. */
static double thickness_m(const cq_critical_size *s) {
    return s->state == CQ_SIZE_FOUND ? s->size_m : s->state == CQ_SIZE_ANY ? INFINITY : 0.0;
}

/* A line needs an edge that hardens and a body that does not. Edges are ground to 1 mm or so before the quench, bodies
 * are 2 to 8 mm thick: common practice, no source. */
static cq_line_outlook judge(const cq_steel_card *card) {
    const double edge_m = card->baths_n > 0 ? thickness_m(&card->sizes[0].plate) : 0.0;
    const double body_m = card->has_body ? thickness_m(&card->body) : 0.0;
    if (!(edge_m > 1e-3)) {
        return CQ_LINE_SOFT;
    }
    return body_m > 8e-3 ? CQ_LINE_THROUGH : body_m > 2e-3 ? CQ_LINE_FAINT : CQ_LINE_CLEAR;
}

static cq_status fill(cq_steel_card *card, const cq_card_wish *wish, cq_error *error) {
    cq_soaked soaked;
    cq_status status = cq_soaked_create(&soaked, card->steel, &card->soak, 1.0, error);
    if (status < 0) {
        return status;
    }
    set_temperatures(card, &soaked);
    cq_card_isothermal(card, &soaked);
    status = cq_card_continuous(card, &soaked);
    status = status < 0 ? status : cq_card_quenched(card, &soaked);
    cq_soaked_free(&soaked);
    status = status < 0 ? status : cq_end_quench_run(card->end_quench, card->steel, &card->soak, error);
    status = status < 0 ? status : find_sizes(card, wish, error);
    status = status < 0 ? status : cq_card_coolings(card, wish, error);
    status = status < 0 ? status : cq_card_ladder(card, error);
    if (status >= 0) {
        card->outlook = judge(card);
        notice_soak(card);
    }
    return status < 0 ? status : card->notices_n > 0 ? CQ_NOTICED : CQ_OK;
}

/* Steel and soak within the ranges a plan may have. */
static cq_status check(const cq_steel_card *card, cq_error *error) {
    cq_plan plan;
    cq_plan_init(&plan);
    plan.steel = *card->steel;
    plan.heat.temperature_K = card->soak.temperature_K;
    plan.heat.hold_s = card->soak.hold_s;
    return cq_plan_check_parts(&plan, CQ_PART_STEEL | CQ_PART_HEAT, error);
}

cq_status cq_steel_card_create(cq_steel_card **card, const cq_steel *steel, const cq_card_wish *wish, cq_error *error) {
    if (steel->kind != CQ_STEEL_TRANSFORMING || wish->baths_n > CQ_CARD_BATHS) {
        return cq_error_say(error, CQ_ERR_ARGUMENT, "steel", "a steel that hardens, with a composition", "", "%s",
                            steel->kind != CQ_STEEL_TRANSFORMING
                                ? "an inert material, which has no transformation to show"
                                : "too many baths");
    }
    cq_steel_card *c = cq_memory_zero(1, sizeof *c);
    if (c == NULL) {
        return cq_error_say(error, CQ_ERR_MEMORY, "", "", "", "card");
    }
    c->steel = steel;
    c->soak = wish->soak;
    cq_status status = check(c, error);
    status = status < 0 ? status : fill(c, wish, error);
    if (status < 0) {
        if (error != NULL && error->count == 0) {
            cq_error_say(error, status, "", "", "", "%s", cq_status_sentence(status));
        }
        cq_steel_card_free(c);
        return status;
    }
    *card = c;
    return status;
}

void cq_steel_card_free(cq_steel_card *card) {
    cq_memory_free(card);
}
