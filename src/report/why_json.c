/* why_json.c - causes by rank as one JSON object; keys and units as in README.md, "Why it came out so". */
#include "report/json_parts.h"
#include "report/spread_words.h"
#include "report/why_words.h"

#include <math.h>

static json_t *mm(double m) {
    return cq_json_number(1e3 * m);
}

static json_t *outcome(const cq_row *row) {
    const double *v = row->value;
    if (row->state != CQ_ROW_DONE) {
        return json_pack("{so}", "message", cq_json_words(row->message));
    }
    return json_pack(
        "{so so so so so so so so so so so}", "line_mm", mm(v[CQ_FIGURE_LINE]), "verdict",
        cq_json_words(cq_verdict_words((cq_verdict)(int)v[CQ_FIGURE_VERDICT])), "contrast_HV",
        cq_json_number(v[CQ_FIGURE_CONTRAST]), "edge_HV", cq_json_number(v[CQ_FIGURE_EDGE_HV]), "edge_face_HV",
        cq_json_number(v[CQ_FIGURE_EDGE_FACE_HV]), "spine_HV", cq_json_number(v[CQ_FIGURE_SPINE_HV]), "curve_rise_mm",
        mm(v[CQ_FIGURE_RISE]), "crack_class",
        isfinite(v[CQ_FIGURE_CRACK]) ? json_string(cq_crack_class_words((int)v[CQ_FIGURE_CRACK])) : json_null(),
        "crack_index_MPa", cq_json_number(v[CQ_FIGURE_CRACK_INDEX]), "crack_time_s",
        cq_json_number(v[CQ_FIGURE_CRACK_TIME]), "crack_since_s", cq_json_number(v[CQ_FIGURE_CRACK_SINCE]));
}

static json_t *changed(const cq_why_change *c) {
    char words[CQ_WHY_TEXT];
    const cq_shown s = c->has_input ? cq_spread_shown(c->input.kind, CQ_UNITS_METRIC) : (cq_shown){0};
    return json_pack("{so so so so so}", "words", cq_json_words(cq_why_change_words(c, CQ_UNITS_METRIC, words)), "off",
                     cq_json_number(c->z), "value", cq_json_number(c->has_input ? s.factor * c->value + s.offset : NAN),
                     "planned", cq_json_number(c->has_input ? s.factor * c->input.centre + s.offset : NAN), "unit",
                     c->has_input ? cq_json_words(s.unit[0] == '\0' ? "1" : s.unit) : json_null());
}

static json_t *causes(const cq_why *w) {
    json_t *all = json_array();
    for (size_t k = 0; k < w->causes_n; k++) {
        const cq_why_cause *c = &w->cause[k];
        all =
            cq_json_appended(all, json_pack("{ss ss so so so ss so ss}", "cause", cq_cause_key(c->cause), "name",
                                            cq_cause_words(c->cause), "change", changed(&w->changes[c->change]),
                                            "likelihood", cq_json_number(c->likelihood), "weight",
                                            cq_json_number(c->weight), "explains", cq_why_agreement(c->likelihood),
                                            "outcome", outcome(&w->rows[c->change]), "test", cq_cause_test(c->cause)));
    }
    return all;
}

static json_t *runs(const cq_why *w) {
    json_t *all = json_array();
    for (size_t k = 0; k < w->changes_n; k++) {
        all = cq_json_appended(all, json_pack("{ss so so}", "cause", cq_cause_key(w->changes[k].cause), "change",
                                              changed(&w->changes[k]), "outcome", outcome(&w->rows[k])));
    }
    return all;
}

cq_status cq_why_json(const cq_why_told *told, char **text) {
    const cq_why *w = told->why;
    char seen[CQ_WHY_TEXT];
    const bool line = w->seen.kind == CQ_SEEN_LINE;
    const cq_json_member members[] = {
        {"program", json_string("clayquench " CQ_VERSION)},
        {"title", cq_json_words(told->plan->title)},
        {"seen", json_pack("{so so so so}", "words", cq_json_words(cq_why_seen(&w->seen, CQ_UNITS_METRIC, seen)),
                           "line_mm", mm(line ? w->seen.line_m : NAN), "within_mm", mm(line ? w->seen.within_m : NAN),
                           "time_s", cq_json_number(w->seen.kind == CQ_SEEN_CRACKED ? w->seen.time_s : NAN))},
        {"as_planned", outcome(&w->rows[0])},
        {"explained", json_boolean(w->explained)},
        {"causes", causes(w)},
        {"runs", runs(w)},
        {"not_modelled", cq_json_words(cq_why_untold(&w->seen))},
        {"cautions", cq_json_appended(json_array(), cq_json_words(cq_caution_sentence(CQ_CAUTIONS - 1)))},
    };
    return cq_json_text(cq_json_object(members, sizeof members / sizeof members[0]), text);
}
