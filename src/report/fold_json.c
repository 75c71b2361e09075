/* fold_json.c - a folded bar as one JSON object; keys and units are the contract of README.md, "Folded bars". */
#include "report/fold_words.h"
#include "report/json_parts.h"

static json_t *heats(const cq_fold_card *card) {
    json_t *all = json_array();
    for (size_t n = 0; n < card->rows_n; n++) {
        const cq_fold_row *row = &card->rows[n];
        const cq_json_member members[] = {
            {"fold", json_integer((json_int_t)row->fold)},     {"soak", json_boolean(row->soak)},
            {"layers", json_integer((json_int_t)row->layers)}, {"layer_mm", cq_json_number(1e3 * row->layer_m)},
            {"even_s", cq_json_number(row->even_s)},           {"temp_C", cq_json_celsius(row->heat.temp_K)},
            {"time_s", cq_json_number(row->heat.time_s)},      {"carbon_least", cq_json_number(row->least_wt)},
            {"carbon_most", cq_json_number(row->most_wt)},     {"austenite", json_boolean(row->austenite)}};
        all = cq_json_appended(all, cq_json_object(members, sizeof members / sizeof members[0]));
    }
    return all;
}

static json_t *weld(const cq_fold_card *card) {
    json_t *all = json_array();
    for (int n = 0; n < CQ_FOLD_WELDS; n++) {
        const cq_json_member members[] = {{"time_s", cq_json_number(CQ_FOLD_WELD_S[n])},
                                          {"spread_mm", cq_json_number(1e3 * card->weld_m[n])}};
        all = cq_json_appended(all, cq_json_object(members, sizeof members / sizeof members[0]));
    }
    return all;
}

cq_status cq_report_fold_json(const cq_fold_card *card, char **text) {
    char sentence[CQ_FOLD_SENTENCE];
    cq_fold_sentence(card, sentence);
    const cq_json_member members[] = {{"program", cq_json_words("clayquench " CQ_VERSION)},
                                      {"thickness_mm", cq_json_number(1e3 * card->bar_m)},
                                      {"stack_layers", json_integer((json_int_t)card->layers)},
                                      {"folds", json_integer((json_int_t)card->folds)},
                                      {"carbon_least", cq_json_number(card->least_wt)},
                                      {"carbon_most", cq_json_number(card->most_wt)},
                                      {"carbon_mean", cq_json_number(card->mean_wt)},
                                      {"heats", heats(card)},
                                      {"weld", weld(card)},
                                      {"skin_mm", cq_json_number(1e3 * card->skin_m)},
                                      {"sentence", cq_json_words(sentence)}};
    return cq_json_text(cq_json_object(members, sizeof members / sizeof members[0]), text);
}
