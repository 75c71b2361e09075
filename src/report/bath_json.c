/* bath_json.c - a bath's card as one JSON object; keys and units are the contract of README.md, "What a bath does". */
#include "report/bath_words.h"
#include "report/json_parts.h"

#define OBJECT(members) cq_json_object(members, sizeof(members) / sizeof((members)[0]))

static json_t *mm(double metres) {
    return cq_json_number(1e3 * metres);
}

static json_t *curves(const cq_bath_card *card) {
    json_t *all = json_array();
    for (size_t n = 0; n < card->curves_n; n++) {
        const cq_card_curve *c = &card->curves[n];
        json_t *steel = json_array(), *face = json_array(), *flux = json_array(), *h = json_array();
        for (size_t i = 0; i < c->n; i++) {
            steel = cq_json_appended(steel, cq_json_celsius(c->steel_K[i]));
            face = cq_json_appended(face, cq_json_celsius(c->face_K[i]));
            flux = cq_json_appended(flux, cq_json_number(1e-6 * c->flux_W_m2[i]));
            h = cq_json_appended(h, cq_json_number(1e-3 * c->flux_W_m2[i] / (c->steel_K[i] - card->at_K)));
        }
        const cq_json_member members[] = {{"name", cq_json_words(c->name)},
                                          {"layer_mm", mm(c->layer_m)},
                                          {"film_until_C", cq_json_celsius(c->rewetting_K)},
                                          {"film_until_steel_C", cq_json_celsius(c->film_end_K)},
                                          {"steel_C", steel},
                                          {"face_C", face},
                                          {"flux_MW_m2", flux},
                                          {"h_kW_m2K", h}};
        all = cq_json_appended(all, OBJECT(members));
    }
    return all;
}

static json_t *probe(const cq_card_probe *p) {
    json_t *time = json_array(), *temp = json_array(), *rate = json_array();
    for (size_t i = 0; i < p->n; i++) {
        time = cq_json_appended(time, cq_json_number(p->time_s[i]));
        temp = cq_json_appended(temp, cq_json_celsius(p->temp_K[i]));
        rate = cq_json_appended(rate, cq_json_number(p->rate_K_s[i]));
    }
    const cq_json_member members[] = {{"t600_s", cq_json_number(p->t600_s)},
                                      {"t400_s", cq_json_number(p->t400_s)},
                                      {"t200_s", cq_json_number(p->t200_s)},
                                      {"peak_rate_K_s", cq_json_number(p->peak_rate_K_s)},
                                      {"peak_at_C", cq_json_celsius(p->peak_at_K)},
                                      {"rate_300_K_s", cq_json_number(p->rate_300_K_s)},
                                      {"time_s", time},
                                      {"temp_C", temp},
                                      {"rate_K_s", rate}};
    return OBJECT(members);
}

static json_t *severity(const cq_bath_card *card) {
    json_t *all = json_array();
    for (size_t r = 0; r < card->ranks_n; r++) {
        const cq_card_rank *rank = &card->ranks[r];
        const cq_json_member members[] = {
            {"name", cq_json_words(rank->name)},         {"at_C", cq_json_celsius(rank->at_K)},
            {"t400_s", cq_json_number(rank->t400_s)},    {"film_s", cq_json_number(rank->film_s)},
            {"film_at_705_C", json_boolean(rank->film)}, {"washed_s", cq_json_number(rank->washed_s)},
            {"self", json_boolean(rank->self)}};
        all = cq_json_appended(all, OBJECT(members));
    }
    return all;
}

static json_t *fastest(const cq_card_clay *c) {
    if (!c->has_best) {
        return json_null();
    }
    const cq_json_member members[] = {{"thickness_mm", mm(c->best_m)},
                                      {"resistance_m2K_W", cq_json_number(c->best_m / c->conductivity_W_mK)},
                                      {"seconds", cq_json_number(c->best_s)},
                                      {"gain", cq_json_number(c->bare_s / c->best_s)}};
    return OBJECT(members);
}

static json_t *clays(const cq_bath_card *card) {
    json_t *all = json_array();
    for (size_t n = 0; n < card->clays_n; n++) {
        const cq_card_clay *c = &card->clays[n];
        json_t *coat = json_array(), *seconds = json_array();
        for (size_t i = 0; i < c->n; i++) {
            coat = cq_json_appended(coat, mm(c->coat_m[i]));
            seconds = cq_json_appended(seconds, cq_json_number(c->seconds[i]));
        }
        const cq_json_member members[] = {{"name", cq_json_words(c->name)},
                                          {"conductivity_W_mK", cq_json_number(c->conductivity_W_mK)},
                                          {"bare_s", cq_json_number(c->bare_s)},
                                          {"fastest", fastest(c)},
                                          {"slower_from_mm", mm(c->even_m)},
                                          {"thickness_mm", coat},
                                          {"seconds", seconds}};
        all = cq_json_appended(all, OBJECT(members));
    }
    return all;
}

static json_t *cautions(const cq_bath_card *card) {
    json_t *all = json_array();
    for (size_t c = 0; c < card->cautions_n; c++) {
        all = cq_json_appended(all, cq_json_words(card->cautions[c]));
    }
    return all;
}

cq_status cq_report_bath_json(const cq_bath_card *card, char **text) {
    char sentence[CQ_BATH_SENTENCE];
    cq_bath_sentence(card, CQ_UNITS_METRIC, sentence);
    const cq_json_member members[] = {{"program", json_string("clayquench " CQ_VERSION)},
                                      {"bath", cq_json_words(card->name)},
                                      {"at_C", cq_json_celsius(card->at_K)},
                                      {"agitation_m_s", cq_json_number(card->agitation_m_s)},
                                      {"curves", curves(card)},
                                      {"probe", probe(&card->probe)},
                                      {"silver_probe", probe(&card->silver)},
                                      {"grossmann_H_in", cq_json_number(0.0254 * card->grossmann_per_m)},
                                      {"film_s", cq_json_number(card->film_s)},
                                      {"film_at_705_C", json_boolean(card->grossmann_film)},
                                      {"severity", severity(card)},
                                      {"clays", clays(card)},
                                      {"sentence", cq_json_words(sentence)},
                                      {"cautions", cautions(card)}};
    return cq_json_text(OBJECT(members), text);
}
