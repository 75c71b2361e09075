/* tune_json.c - tunings as one JSON object; keys and units are the contract of README.md, "Tuning". */
#include "report/json_parts.h"
#include "report/tune_words.h"

#include <clayquench/io.h>
#include <math.h>

static json_t *sentences_of(size_t n, char sentence[CQ_TUNE_SENTENCES][CQ_TUNE_SENTENCE]) {
    json_t *all = json_array();
    for (size_t s = 0; s < n; s++) {
        all = cq_json_appended(all, cq_json_words(sentence[s]));
    }
    return all;
}

static json_t *numbers(const cq_tuning *t) {
    json_t *all = json_array();
    for (size_t j = 0; j < t->tuned_n; j++) {
        const cq_tuned *n = &t->tuned[j];
        const cq_json_member members[] = {{"key", cq_json_words(cq_tunable_key(n->what))},
                                          {"unit", cq_json_words(cq_tunable_unit(n->what))},
                                          {"before", cq_json_number(n->before)},
                                          {"after", cq_json_number(n->after)},
                                          {"low", cq_json_number(n->low)},
                                          {"high", cq_json_number(n->high)},
                                          {"prior_sigma", cq_json_number(n->sigma)},
                                          {"left", cq_json_number(n->left)},
                                          {"told", json_boolean(n->left <= CQ_LEFT_MUCH)},
                                          {"held", json_boolean(n->held)},
                                          {"coupon", cq_json_words(cq_tunable_coupon(n->what))}};
        all = cq_json_appended(all, cq_json_object(members, sizeof members / sizeof members[0]));
    }
    return all;
}

static json_t *correlations(const cq_tuning *t) {
    json_t *all = json_array();
    for (size_t j = 0; j < t->tuned_n; j++) {
        json_t *row = json_array();
        for (size_t k = 0; k < t->tuned_n; k++) {
            row = cq_json_appended(row, cq_json_number(t->correlation[j][k]));
        }
        all = cq_json_appended(all, row);
    }
    return all;
}

/* Lengths in mm, times in s, hardness in HV. */
static const char *unit_of(const cq_evidence_item *item) {
    return item->kind == CQ_EVIDENCE_FILM ? "s" : item->kind == CQ_EVIDENCE_HARDNESS ? "HV" : "mm";
}

static json_t *items(const cq_tuning *t) {
    json_t *all = json_array();
    for (size_t i = 0; i < t->evidence->n; i++) {
        const cq_evidence_item *item = &t->evidence->item[i];
        const cq_tuned_item *said = &t->item[i];
        const bool length = item->kind != CQ_EVIDENCE_FILM && item->kind != CQ_EVIDENCE_HARDNESS;
        const double scale = length ? 1e3 : 1.0;
        const bool contradicts = said->used && fabs(said->pull_after) > CQ_PULL_MOST;
        const cq_json_member members[] = {{"line", json_integer(item->line)},
                                          {"what", cq_json_words(cq_evidence_word(item->kind))},
                                          {"method", cq_json_words(cq_method_word(item->method))},
                                          {"place", cq_json_words(cq_place_word(item->place))},
                                          {"station", cq_json_words(item->station)},
                                          {"unit", cq_json_words(unit_of(item))},
                                          {"value", cq_json_number(scale * item->value)},
                                          {"error", cq_json_number(scale * item->error)},
                                          {"error_by_method", json_boolean(item->error_by_method)},
                                          {"used", json_boolean(said->used)},
                                          {"before", cq_json_number(scale * said->before)},
                                          {"after", cq_json_number(scale * said->after)},
                                          {"pull_before", cq_json_number(said->pull_before)},
                                          {"pull_after", cq_json_number(said->pull_after)},
                                          {"contradicts", json_boolean(contradicts)}};
        all = cq_json_appended(all, cq_json_object(members, sizeof members / sizeof members[0]));
    }
    return all;
}

static json_t *changes(const cq_tuning *t) {
    cq_tuned_profile profiles[CQ_TUNED_PROFILES];
    const int n = cq_report_tune_profiles(t, profiles);
    json_t *all = n < 0 ? NULL : json_array();
    for (int p = 0; p < n; p++) {
        const char *line = profiles[p].line;
        while (*line == ' ') {
            line++;
        }
        all = cq_json_appended(all, cq_json_words(line));
    }
    cq_tuned_profiles_free(profiles, n);
    return all;
}

cq_status cq_report_tune_json(const cq_tuning *t, char **text) {
    char sentence[CQ_TUNE_SENTENCES][CQ_TUNE_SENTENCE];
    const size_t n = cq_tune_sentences(t, sentence);
    const cq_json_member members[] = {{"program", cq_json_words("clayquench " CQ_VERSION)},
                                      {"title", cq_json_words(t->evidence->title)},
                                      {"evidence", cq_json_words(t->evidence->file)},
                                      {"numbers", numbers(t)},
                                      {"correlation", correlations(t)},
                                      {"items", items(t)},
                                      {"used", json_integer((json_int_t)t->used_n)},
                                      {"squares_before", cq_json_number(t->squares_before)},
                                      {"squares_after", cq_json_number(t->squares_after)},
                                      {"runs", json_integer((json_int_t)t->runs)},
                                      {"change", changes(t)},
                                      {"sentences", sentences_of(n, sentence)}};
    return cq_json_text(cq_json_object(members, sizeof members / sizeof members[0]), text);
}

/* ---- a log ------------------------------------------------------------------------------------------------------- */

static json_t *measured(cq_measured m, double scale, double zero) {
    const cq_json_member members[] = {{"value", cq_json_number(scale * (m.value - zero))},
                                      {"error", cq_json_number(scale * m.error)}};
    return cq_json_object(members, sizeof members / sizeof members[0]);
}

static json_t *array(const double *value, size_t n, double scale, double zero) {
    json_t *all = json_array();
    for (size_t i = 0; i < n; i++) {
        all = cq_json_appended(all, cq_json_number(scale * (value[i] - zero)));
    }
    return all;
}

static json_t *transfer(const cq_transfer *t) {
    const cq_json_member members[] = {{"face_C", array(t->face_K, t->n, 1.0, 273.15)},
                                      {"heat_transfer_W_m2K", array(t->transfer_W_m2K, t->n, 1.0, 0.0)},
                                      {"error_W_m2K", array(t->error_W_m2K, t->n, 1.0, 0.0)},
                                      {"resolution_K", array(t->resolution_K, t->n, 1.0, 0.0)}};
    return cq_json_object(members, sizeof members / sizeof members[0]);
}

static json_t *flux(const cq_inverse *v) {
    const cq_json_member members[] = {{"time_s", array(v->time_at_s, v->times_n, 1.0, 0.0)},
                                      {"flux_MW_m2", array(v->flux_W_m2, v->times_n, 1e-6, 0.0)},
                                      {"error_MW_m2", array(v->flux_error_W_m2, v->times_n, 1e-6, 0.0)},
                                      {"resolution_s", array(v->width_s, v->times_n, 1.0, 0.0)},
                                      {"face_C", array(v->face_K, v->times_n, 1.0, 273.15)}};
    return cq_json_object(members, sizeof members / sizeof members[0]);
}

cq_status cq_report_log_json(const cq_inverse *v, const cq_log_about *about, char **text) {
    char sentence[CQ_TUNE_SENTENCES][CQ_TUNE_SENTENCE];
    const size_t n = cq_log_sentences(v, sentence);
    const cq_json_member members[] = {{"program", cq_json_words("clayquench " CQ_VERSION)},
                                      {"bath", cq_json_words(about->bath)},
                                      {"log", cq_json_words(about->log)},
                                      {"readings", json_integer((json_int_t)v->readings)},
                                      {"length_s", cq_json_number(v->time_s)},
                                      {"bath_C", cq_json_celsius(v->bath_K)},
                                      {"start_C", cq_json_celsius(v->start_K)},
                                      {"depth_mm", cq_json_number(1e3 * about->depth_m)},
                                      {"lag_s", cq_json_number(about->lag_s)},
                                      {"noise_K", cq_json_number(v->noise_K)},
                                      {"noise_from_log", json_boolean(v->noise_from_log)},
                                      {"heat_MJ_m2", measured(v->heat_J_m2, 1e-6, 0.0)},
                                      {"peak_flux_MW_m2", measured(v->peak_flux_W_m2, 1e-6, 0.0)},
                                      {"peak_face_C", measured(v->peak_face_K, 1.0, 273.15)},
                                      {"peak_resolution_K", cq_json_number(v->peak_resolution_K)},
                                      {"peak_resolution_s", cq_json_number(v->resolution_time_s)},
                                      {"single", json_boolean(v->single)},
                                      {"misfit", cq_json_number(v->single ? v->transfer_misfit : v->flux_misfit)},
                                      {"transfer", transfer(&v->transfer)},
                                      {"flux", flux(v)},
                                      {"sentences", sentences_of(n, sentence)}};
    return cq_json_text(cq_json_object(members, sizeof members / sizeof members[0]), text);
}
