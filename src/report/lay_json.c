/* lay_json.c - the clay for a line as one JSON object; keys and units as in README.md, "The clay for a line". */
#include "report/json_parts.h"
#include "report/lay_words.h"

#include <math.h>

static json_t *mm(double m) {
    return cq_json_number(1e3 * m);
}

static json_t *wished(double value) {
    return cq_json_number(value > 0.0 ? value : NAN);
}

static json_t *layout(const cq_layout *l, const cq_lay_field *f) {
    return json_pack("{so so so so so so so}", "wash_mm", mm(l->wash_m), "rim_left_mm", mm(l->rim_m[0]), "rim_right_mm",
                     mm(l->rim_m[1]), "ramp_mm", mm(l->ramp_m), "body_mm", mm(l->body_m), "bath_C",
                     cq_json_celsius(l->bath_K > 0.0   ? l->bath_K
                                     : f->bath_K > 0.0 ? f->bath_K
                                                       : NAN),
                     "pull_s", wished(l->pull_s > 0.0 ? l->pull_s : f->pull_s));
}

static json_t *answer(const double *v) {
    return json_pack("{so so so so so so so so so}", "line_mm", mm(v[CQ_FIGURE_LINE]), "line_left_mm",
                     mm(v[CQ_FIGURE_LINE_LEFT]), "line_right_mm", mm(v[CQ_FIGURE_LINE_RIGHT]), "edge_HV",
                     cq_json_number(v[CQ_FIGURE_EDGE_HV]), "edge_HRC", cq_json_number(v[CQ_FIGURE_EDGE_HRC]),
                     "edge_after_temper_HRC", cq_json_number(v[CQ_FIGURE_EDGE_TEMPER_HRC]), "spine_HV",
                     cq_json_number(v[CQ_FIGURE_SPINE_HV]), "contrast_HV", cq_json_number(v[CQ_FIGURE_CONTRAST]),
                     "verdict", cq_json_words(cq_verdict_words((cq_verdict)(int)v[CQ_FIGURE_VERDICT])));
}

static json_t *choices(const cq_lay_told *t) {
    json_t *all = json_array();
    for (size_t n = 0; n < t->lay->choices_n; n++) {
        const cq_lay_choice *c = &t->lay->choice[n];
        all = cq_json_appended(
            all, json_pack("{so so s{so so so sI} s{sI sI sI sI sI} s{so so}}", "layout", layout(&c->layout, t->field),
                           "as_planned", answer(c->value), "chance", "share", cq_json_number(c->chance.share), "low",
                           cq_json_number(c->chance.low), "high", cq_json_number(c->chance.high), "n",
                           (json_int_t)c->chance.n, "missed", "line_low", (json_int_t)c->low, "line_high",
                           (json_int_t)c->high, "no_line", (json_int_t)c->no_line, "edge_soft", (json_int_t)c->too_soft,
                           "spine_hard", (json_int_t)c->too_hard, "line_mm", "p5", mm(c->line_low_m), "p95",
                           mm(c->line_high_m)));
    }
    return all;
}

static json_t *ways(const cq_lay_told *t) {
    json_t *all = json_array();
    for (size_t n = 0; n < t->lay->ways_n; n++) {
        const cq_lay_way *w = &t->lay->way[n];
        all = cq_json_appended(all, json_pack("{so so so}", "change", cq_json_words(t->changes[w->change]), "layout",
                                              layout(&w->layout, t->field), "as_planned", answer(w->value)));
    }
    return all;
}

static json_t *cautions(const cq_lay_told *t) {
    json_t *all = json_array();
    const unsigned set = t->best == NULL ? cq_plan_cautions(t->plan) : 0;
    for (size_t c = 0; t->best != NULL && c < t->best->cautions_n; c++) {
        all = cq_json_appended(all, cq_json_words(t->best->cautions[c]));
    }
    for (int c = 0; c < CQ_CAUTIONS; c++) {
        if ((set >> c & 1u) != 0) {
            all = cq_json_appended(all, cq_json_words(cq_caution_sentence(c)));
        }
    }
    return all;
}

cq_status cq_lay_json(const cq_lay_told *t, char **text) {
    const cq_lay *lay = t->lay;
    const cq_lay_wish *w = &lay->wish;
    char reason[CQ_LAY_SENTENCE];
    const bool found = lay->end == CQ_LAY_FOUND;
    const bool bent = t->best != NULL && t->best->curve.known, cracks = t->best != NULL && t->best->crack.known;
    const cq_json_member members[] = {
        {"program", json_string("clayquench " CQ_VERSION)},
        {"title", cq_json_words(t->plan->title)},
        {"wanted", json_pack("{so so so so so so so}", "line_mm", mm(w->line_m), "within_mm", mm(w->within_m),
                             "edge_least_HV", wished(w->edge_HV), "spine_most_HV", wished(w->spine_HV), "step_mm",
                             mm(w->step_m), "thinnest_mm", mm(w->thinnest_m), "thickest_mm", mm(w->thickest_m))},
        {"found", json_boolean(found)},
        {"reason", cq_json_words(cq_lay_end_code(lay->end))},
        {"sentence", found ? json_null() : cq_json_words(cq_lay_reason_words(t, CQ_UNITS_METRIC, reason))},
        {"layouts", choices(t)},
        {"curve_rise_mm", mm(bent ? t->best->curve.quenched.rise_m : NAN)},
        {"crack_class", cracks ? json_string(cq_crack_class_words(t->best->crack.class_n)) : json_null()},
        {"nearest", lay->has_nearest && !found ? json_pack("{so so}", "layout", layout(&lay->nearest, t->field),
                                                           "as_planned", answer(lay->nearest_value))
                                               : json_null()},
        {"tried", json_pack("{sI sI sI sI sI so so}", "layouts", (json_int_t)lay->layouts, "runs",
                            (json_int_t)lay->runs, "hard_through", (json_int_t)lay->hard_through, "no_hard_edge",
                            (json_int_t)lay->no_edge, "with_line", (json_int_t)lay->with_line, "lowest_line_mm",
                            mm(lay->lowest_m), "highest_line_mm", mm(lay->highest_m))},
        {"changes", ways(t)},
        {"cautions", cautions(t)},
    };
    return cq_json_text(cq_json_object(members, sizeof members / sizeof members[0]), text);
}
