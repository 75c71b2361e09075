/* card_json.c - a steel's card as one JSON object: degC, mm, s, K/s, HV, HRC; shares 0 to 1. */
#include "hardness/hardness.h"
#include "report/card_words.h"
#include "report/json_parts.h"

#include <math.h>

static json_t *mm(double metres) {
    return cq_json_number(1e3 * metres);
}

/* Doubles of n structs, one number each, as an array. */
typedef enum as { AS_IS, AS_CELSIUS, AS_MM, AS_HRC } as;
static json_t *column(const void *first, size_t stride, size_t n, as kind) {
    json_t *array = json_array();
    for (size_t i = 0; i < n; i++) {
        const double v = *(const double *)((const char *)first + i * stride);
        array = cq_json_appended(array, kind == AS_CELSIUS ? cq_json_celsius(v)
                                        : kind == AS_MM    ? mm(v)
                                        : kind == AS_HRC   ? cq_json_number(cq_hardness_HRC(v))
                                                           : cq_json_number(v));
    }
    return array;
}

static json_t *steel(const cq_steel_card *c) {
    const cq_composition *w = &c->steel->composition_wt;
    json_t *elements = json_object();
#define SET(e)                                                                                                         \
    if (json_object_set_new(elements, #e, cq_json_number(w->e)) != 0) {                                                \
        json_decref(elements);                                                                                         \
        elements = NULL;                                                                                               \
    }
    CQ_ELEMENT_LIST(SET)
#undef SET
    return json_pack("{so so so so}", "name", cq_json_words(c->steel->name), "summary",
                     cq_json_words(c->steel->summary), "composition_wt", elements, "time_factor_sigma",
                     cq_json_number(c->steel->time_factor_ln_sigma));
}

static json_t *soak(const cq_steel_card *c) {
    const cq_card_state *s = &c->state;
    return json_pack("{so so ss so so so so so}", "temperature_C", cq_json_celsius(c->soak.temperature_K), "hold_s",
                     cq_json_number(c->soak.hold_s), "structure", cq_stock_words(c->soak.stock), "austenite",
                     cq_json_number(s->austenite), "carbon_in_solution_wt", cq_json_number(s->carbon_solution_wt),
                     "carbide", cq_json_number(s->carbide), "grain_ASTM", cq_json_number(s->grain_ASTM),
                     "retained_austenite", cq_json_number(s->retained_austenite));
}

static json_t *temperatures(const cq_steel_card *c) {
    return json_pack("{so so so so so so so}", "Ac1_C", cq_json_celsius(c->Ae1_K), "Ac3_C",
                     c->upper_is_Acm ? json_null() : cq_json_celsius(c->upper_K), "Acm_C",
                     c->upper_is_Acm ? cq_json_celsius(c->upper_K) : json_null(), "Bs_C", cq_json_celsius(c->Bs_K),
                     "Ms_C", cq_json_celsius(c->state.Ms_K), "M50_C", cq_json_celsius(c->M50_K), "M90_C",
                     cq_json_celsius(c->M90_K));
}

static json_t *rates(const cq_steel_card *c) {
    return json_pack("{so so so}", "full_K_s", cq_json_number(c->full_rate_K_s), "half_K_s",
                     cq_json_number(c->half_rate_K_s), "none_K_s", cq_json_number(c->none_rate_K_s));
}

static json_t *quenched(const cq_spot *s) {
    return json_pack("{so so so so}", "HV", cq_json_number(s->HV), "HRC", cq_json_number(s->HRC), "martensite",
                     cq_json_number(s->fraction[CQ_MARTENSITE]), "retained_austenite",
                     cq_json_number(s->fraction[CQ_AUSTENITE]));
}

static json_t *temper(const cq_steel_card *c) {
    const cq_tempered *t = c->temper;
    const size_t n = CQ_CARD_TEMPERS, s = sizeof *t;
    return json_pack("{so so so so so}", "temper_C", column(&t->temp_K, s, n, AS_CELSIUS), "once_HV",
                     column(&t->once_HV, s, n, AS_IS), "once_HRC", column(&t->once_HV, s, n, AS_HRC), "twice_HV",
                     column(&t->twice_HV, s, n, AS_IS), "twice_HRC", column(&t->twice_HV, s, n, AS_HRC));
}

static json_t *product(const cq_isothermal *c, int which) {
    return json_pack("{so so so}", "start", column(c->time_s[which][CQ_SHARE_START], sizeof(double), c->n, AS_IS),
                     "half", column(c->time_s[which][CQ_SHARE_HALF], sizeof(double), c->n, AS_IS), "end",
                     column(c->time_s[which][CQ_SHARE_END], sizeof(double), c->n, AS_IS));
}

/* The steel's own diagram; null if it has none. */
static json_t *measured(const cq_diagram *d) {
    const size_t s = sizeof *d->row;
    return d->n == 0
               ? json_null()
               : json_pack("{so so so so so}", "source", cq_json_words(d->source), "temp_C",
                           column(&d->row->temp_K, s, d->n, AS_CELSIUS), "start_s",
                           column(&d->row->start_s, s, d->n, AS_IS), "half_s", column(&d->row->half_s, s, d->n, AS_IS),
                           "end_s", column(&d->row->end_s, s, d->n, AS_IS));
}

static json_t *isothermal(const cq_steel_card *card) {
    const cq_isothermal *c = &card->isothermal;
    return json_pack("{so so so so so so}", "temp_C", column(c->temp_K, sizeof(double), c->n, AS_CELSIUS), "pearlite_s",
                     product(c, CQ_PRODUCT_PEARLITE), "bainite_s", product(c, CQ_PRODUCT_BAINITE), "both_s",
                     product(c, CQ_PRODUCT_BOTH), "first_s", product(c, CQ_PRODUCT_FIRST), "measured",
                     measured(&card->steel->diagram));
}

static json_t *continuous(const cq_steel_card *card) {
    const cq_cooled *c = card->continuous;
    const size_t n = CQ_CARD_RATES, s = sizeof *c;
    const double *fraction = c->spot.fraction;
    return json_pack(
        "{so so so so so so so so so so}", "rate_K_s", column(&c->rate_K_s, s, n, AS_IS), "start_C",
        column(&c->start_K, s, n, AS_CELSIUS), "finish_C", column(&c->finish_K, s, n, AS_CELSIUS), "HV",
        column(&c->spot.HV, s, n, AS_IS), "HRC", column(&c->spot.HRC, s, n, AS_IS), "martensite",
        column(&fraction[CQ_MARTENSITE], s, n, AS_IS), "retained_austenite",
        column(&fraction[CQ_AUSTENITE], s, n, AS_IS), "bainite", column(&fraction[CQ_BAINITE], s, n, AS_IS), "pearlite",
        column(&fraction[CQ_PEARLITE], s, n, AS_IS), "ferrite_cementite", column(&fraction[CQ_FERRITE], s, n, AS_IS));
}

static json_t *coolings(const cq_steel_card *card) {
    json_t *all = json_array();
    for (size_t i = 0; i < card->coolings_n; i++) {
        const cq_cooling *c = &card->cooling[i];
        all = cq_json_appended(all,
                               json_pack("{so so so so}", "bath", cq_json_words(c->name), "plate_mm",
                                         mm(CQ_CARD_PLATE_M), "time_s", column(c->time_s, sizeof(double), c->n, AS_IS),
                                         "temp_C", column(c->temp_K, sizeof(double), c->n, AS_CELSIUS)));
    }
    return all;
}

static json_t *end_quench(const cq_steel_card *card) {
    const cq_end_quench *e = card->end_quench;
    const size_t n = CQ_CARD_DISTANCES, s = sizeof *e;
    json_t *sixteenths = json_array();
    for (size_t i = 0; i < n; i++) {
        sixteenths = cq_json_appended(sixteenths, cq_json_number(e[i].distance_m / (25.4e-3 / 16.0)));
    }
    return json_pack("{so so so so so}", "sixteenths", sixteenths, "distance_mm", column(&e->distance_m, s, n, AS_MM),
                     "HV", column(&e->HV, s, n, AS_IS), "HRC", column(&e->HV, s, n, AS_HRC), "rate_700_K_s",
                     column(&e->rate_K_s, s, n, AS_IS));
}

static json_t *size(const cq_critical_size *s) {
    static const char *const states[] = {[CQ_SIZE_FOUND] = "found", [CQ_SIZE_NONE] = "none", [CQ_SIZE_ANY] = "any"};
    return json_pack("{ss so so}", "state", states[s->state], "mm", mm(s->size_m), "band_mm",
                     json_pack("[oo]", mm(s->low_m), mm(s->high_m)));
}

static json_t *sizes(const cq_steel_card *card) {
    json_t *all = json_array();
    for (size_t b = 0; b < card->baths_n; b++) {
        const cq_card_sizes *s = &card->sizes[b];
        all = cq_json_appended(all,
                               json_pack("{so so so so}", "bath", cq_json_words(s->bath), "at_C",
                                         cq_json_celsius(s->at_K), "round", size(&s->round), "plate", size(&s->plate)));
    }
    return all;
}

/* Numbers of one starting structure. */
static json_t *effect(const cq_soak_effect *e) {
    return json_pack("{so so so so}", "per_10K", cq_json_number(e->per_10K), "band",
                     json_pack("[oo]", cq_json_number(e->low), cq_json_number(e->high)), "off_by_10K",
                     json_pack("[oo]", cq_json_number(e->off_by_low), cq_json_number(e->off_by_high)), "hardly",
                     json_boolean(e->hardly));
}

static json_t *soak_effect(const cq_steel_card *card) {
    char words[CQ_CARD_SENTENCE];
    cq_card_effect_words(card, CQ_UNITS_METRIC, words);
    json_t *all = effect(&card->effect);
    if (json_object_set_new(all, "sentence", cq_json_words(words)) != 0) {
        json_decref(all);
        all = NULL;
    }
    return all;
}

static json_t *ladder(const cq_steel_card *card) {
    json_t *all = json_array();
    for (size_t k = 0; k < card->structures_n; k++) {
        const cq_card_state *s = card->ladder[k].step;
        const size_t n = CQ_CARD_LADDER, w = sizeof *s;
        all = cq_json_appended(
            all,
            json_pack("{ss so so so so so so so so so}", "structure", cq_stock_words(card->ladder[k].stock), "temp_C",
                      column(&s->temperature_K, w, n, AS_CELSIUS), "austenite", column(&s->austenite, w, n, AS_IS),
                      "carbon_in_solution_wt", column(&s->carbon_solution_wt, w, n, AS_IS), "carbide",
                      column(&s->carbide, w, n, AS_IS), "grain_ASTM", column(&s->grain_ASTM, w, n, AS_IS), "Ms_C",
                      column(&s->Ms_K, w, n, AS_CELSIUS), "retained_austenite",
                      column(&s->retained_austenite, w, n, AS_IS), "half_rate_K_s",
                      column(&s->half_rate_K_s, w, n, AS_IS), "effect", effect(&card->ladder[k].effect)));
    }
    return all;
}

static json_t *line(const cq_steel_card *card) {
    char words[CQ_CARD_SENTENCE];
    cq_card_line_words(card, CQ_UNITS_METRIC, words);
    return json_pack("{ss so so so so}", "answer", cq_card_line_word(card), "edge_under",
                     card->baths_n > 0 ? size(&card->sizes[0].plate) : json_null(), "body_over",
                     card->has_body ? size(&card->body) : json_null(), "clay_mm", mm(CQ_CARD_CLAY_M), "sentence",
                     cq_json_words(words));
}

static json_t *notices(const cq_steel_card *card) {
    json_t *all = json_array();
    for (size_t n = 0; n < card->notices_n; n++) {
        const cq_notice *notice = &card->notices[n];
        all = cq_json_appended(all, json_pack("{so so so}", "code", cq_json_words(notice->code), "count",
                                              json_integer((json_int_t)notice->count), "sentence",
                                              cq_json_words(notice->sentence)));
    }
    return all;
}

cq_status cq_card_json(const cq_steel_card *c, char **text) {
    const cq_json_member members[] = {
        {"program", json_string("clayquench " CQ_VERSION)},
        {"steel", steel(c)},
        {"soak", soak(c)},
        {"line", line(c)},
        {"temperatures", temperatures(c)},
        {"critical_rates", rates(c)},
        {"as_quenched", quenched(&c->as_quenched)},
        {"temper", temper(c)},
        {"critical_sizes", sizes(c)},
        {"end_quench", end_quench(c)},
        {"soak_ladder", ladder(c)},
        {"soak_effect", soak_effect(c)},
        {"isothermal", isothermal(c)},
        {"continuous", continuous(c)},
        {"cooling", coolings(c)},
        {"notices", notices(c)},
    };
    return cq_json_text(cq_json_object(members, sizeof members / sizeof members[0]), text);
}
