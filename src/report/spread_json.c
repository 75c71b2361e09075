/* spread_json.c - a spread as one JSON object, keys and units as in README.md, "What the tolerances do", and its
 * samples as comma-separated values. */
#include "report/json_parts.h"
#include "report/spread_words.h"

#include "base/memory.h"
#include "io/result.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

enum { NAME = 64 };

/* Figures in people's units: metres become millimetres, the rest is theirs already. */
static double figure_factor(cq_figure f) {
    return strcmp(cq_figure_unit(f), "m") == 0 ? 1e3 : 1.0;
}

static const char *figure_name(cq_figure f, char to[NAME]) {
    snprintf(to, NAME, "%s%s", cq_figure_name(f), strcmp(cq_figure_unit(f), "m") == 0 ? "m" : "");
    return to;
}

/* "soak_temperature_C". */
static const char *input_name(cq_uncertain_kind kind, char to[NAME]) {
    snprintf(to, NAME, "%s%s", cq_uncertain_key(kind), cq_spread_shown(kind, CQ_UNITS_METRIC).suffix);
    for (char *c = to; *c != '\0'; c++) {
        *c = *c == '-' ? '_' : *c;
    }
    return to;
}

/* ---- JSON -------------------------------------------------------------------------------------------------------- */

static json_t *percentiles(const cq_percentiles *p, double factor) {
    return json_pack("{sI so so so so so so}", "n", (json_int_t)p->n, "p5", cq_json_number(factor * p->p5.value + 0.0),
                     "p5_error", cq_json_number(factor * p->p5.error), "p50",
                     cq_json_number(factor * p->p50.value + 0.0), "p50_error", cq_json_number(factor * p->p50.error),
                     "p95", cq_json_number(factor * p->p95.value + 0.0), "p95_error",
                     cq_json_number(factor * p->p95.error));
}

static json_t *chance(const cq_chance *c) {
    return json_pack("{so so so}", "share", cq_json_number(c->share), "low", cq_json_number(c->low), "high",
                     cq_json_number(c->high));
}

static json_t *as_planned(const cq_spread *s) {
    const double *v = s->planned;
    if (!s->has_planned) {
        return json_null();
    }
    return json_pack("{so so so so so}", "line_mm", cq_json_number(1e3 * v[CQ_FIGURE_LINE]), "edge_HRC",
                     cq_json_number(v[CQ_FIGURE_EDGE_HRC]), "edge_temper_HRC",
                     cq_json_number(v[CQ_FIGURE_EDGE_TEMPER_HRC]), "contrast_HV", cq_json_number(v[CQ_FIGURE_CONTRAST]),
                     "verdict", cq_json_words(cq_verdict_words((cq_verdict)(int)v[CQ_FIGURE_VERDICT])));
}

static json_t *inputs(const cq_spread *s) {
    json_t *all = json_array();
    for (size_t k = 0; k < s->inputs_n; k++) {
        const cq_uncertain *u = &s->input[k];
        const cq_shown shown = cq_spread_shown(u->kind, CQ_UNITS_METRIC);
        char name[NAME];
        all = cq_json_appended(
            all,
            json_pack("{ss ss ss ss so so ss so sI}", "key", cq_uncertain_key(u->kind), "words",
                      cq_uncertain_words(u->kind), "column", input_name(u->kind, name), "distribution",
                      u->lognormal ? "log-normal" : "normal", "centre",
                      cq_json_number(shown.factor * u->centre + shown.offset), "sigma",
                      cq_json_number(u->lognormal ? expm1(u->sigma) : shown.factor * u->sigma), "from",
                      cq_uncertain_origin_words(u->origin), "source",
                      u->origin == CQ_ORIGIN_DEFAULT ? cq_json_words(cq_uncertain_usual_words(u->kind)) : json_null(),
                      "held", (json_int_t)s->held[k]));
    }
    return all;
}

static json_t *figures(const cq_spread *s) {
    json_t *all = json_object();
    for (int f = 0; f < CQ_FIGURES; f++) {
        char name[NAME];
        if (f != CQ_FIGURE_VERDICT && f != CQ_FIGURE_IMBALANCE &&
            json_object_set_new(all, figure_name((cq_figure)f, name),
                                percentiles(&s->figure[f], figure_factor((cq_figure)f))) != 0) {
            json_decref(all);
            return NULL;
        }
    }
    return all;
}

static json_t *verdicts(const cq_spread *s) {
    json_t *all = json_object();
    for (int v = 0; v <= CQ_VERDICT_INERT; v++) {
        if (json_object_set_new(all, cq_verdict_words((cq_verdict)v), chance(&s->verdict[v])) != 0) {
            json_decref(all);
            return NULL;
        }
    }
    return all;
}

/* factor: of the figure, to people's units. */
static json_t *influence(const cq_spread *s, const cq_influence *f, double factor) {
    json_t *all = json_array();
    size_t order[CQ_UNCERTAINS];
    cq_spread_order(s, f, order, false);
    for (size_t o = 0; o < s->inputs_n; o++) {
        const size_t k = order[o];
        const cq_uncertain *u = &s->input[k];
        const cq_shown shown = cq_spread_shown(u->kind, CQ_UNITS_METRIC);
        const double step = cq_spread_step(u, CQ_UNITS_METRIC);
        all = cq_json_appended(
            all, json_pack("{ss so so so ss so so}", "key", cq_uncertain_key(u->kind), "share",
                           cq_json_number(f->share[k].value), "share_error", cq_json_number(f->share[k].error), "per",
                           cq_json_number(shown.factor * step), "per_unit", shown.unit[0] == '\0' ? "1" : shown.unit,
                           "slope", cq_json_number(factor * step * f->slope[k].value + 0.0), "slope_error",
                           cq_json_number(factor * step * f->slope[k].error)));
    }
    return json_pack("{sI so so so so}", "n", (json_int_t)f->n, "inputs", all, "rest", cq_json_number(f->rest.value),
                     "rest_error", cq_json_number(f->rest.error), "straight", cq_json_number(f->straight));
}

/* The chance that is most open, and what it hangs on, in blades of a hundred. */
static json_t *decider(const cq_spread *s) {
    static const char *const of[] = {[CQ_DECIDER_LINE] = "has_line",
                                     [CQ_DECIDER_EDGE] = "hard_edge",
                                     [CQ_DECIDER_BODY] = "hard_body",
                                     [CQ_DECIDER_SPINE] = "hard_spine"};
    json_t *all = influence(s, &s->on_decider, 100.0);
    if (json_object_set_new(all, "of", json_string(of[s->decider])) != 0) {
        json_decref(all);
        return NULL;
    }
    return all;
}

static json_t *failures(const cq_spread *s) {
    json_t *all = json_array();
    for (size_t f = 0; f < s->failed && f < CQ_SPREAD_FAILURES; f++) {
        all = cq_json_appended(all, json_pack("{sI so}", "sample", (json_int_t)s->failure[f], "message",
                                              cq_json_words(cq_spread_row(s, s->failure[f])->message)));
    }
    return all;
}

cq_status cq_spread_json(const cq_spread *s, char **text) {
    const cq_percentiles *line = &s->figure[CQ_FIGURE_LINE];
    json_t *samples =
        json_pack("{sI sI sI sI sb}", "most", (json_int_t)s->wish.samples, "counted", (json_int_t)(s->done + s->failed),
                  "done", (json_int_t)s->done, "failed", (json_int_t)s->failed, "precise", (int)s->precise);
    const cq_json_member members[] = {
        {"program", cq_json_words("clayquench " CQ_VERSION)},
        {"title", cq_json_words(s->title)},
        {"seed", json_integer((json_int_t)s->wish.seed)},
        {"samples", samples},
        {"precision_mm", s->wish.precision_m > 0.0 ? cq_json_number(1e3 * s->wish.precision_m) : json_null()},
        {"as_planned", as_planned(s)},
        {"inputs", inputs(s)},
        {"line_mm", percentiles(line, 1e3)},
        {"edge_HRC", percentiles(&s->figure[CQ_FIGURE_EDGE_HRC], 1.0)},
        {"has_line", chance(&s->line)},
        {"hard_edge", chance(&s->hard_edge)},
        {"hard_body", chance(&s->hard_body)},
        {"hard_spine", chance(&s->hard_spine)},
        {"verdicts", verdicts(s)},
        {"on_line_mm", influence(s, &s->on_line, 1e3)},
        {"on_edge_HV", influence(s, &s->on_edge, 1.0)},
        {"on_open_chance", decider(s)},
        {"figures", figures(s)},
        {"failures", failures(s)},
    };
    return cq_json_text(cq_json_object(members, sizeof members / sizeof members[0]), text);
}

/* ---- comma-separated values -------------------------------------------------------------------------------------- */

/* Quoted, quotes doubled; line ends become blanks. */
static void add_quoted(cq_text *t, const char *words) {
    cq_text_add(t, "\"");
    for (const char *c = words; *c != '\0'; c++) {
        cq_text_add(t, "%s%c", *c == '"' ? "\"" : "", iscntrl((unsigned char)*c) ? ' ' : *c);
    }
    cq_text_add(t, "\"");
}

static void add_value(cq_text *t, double v) {
    if (isfinite(v)) {
        cq_text_add(t, ",%.9g", v + 0.0); /* no negative zero */
    } else {
        cq_text_add(t, ",");
    }
}

static void add_head(cq_text *t, const cq_spread *s) {
    char name[NAME];
    cq_text_add(t, "sample");
    for (size_t k = 0; k < s->inputs_n; k++) {
        cq_text_add(t, ",%s", input_name(s->input[k].kind, name));
    }
    for (int f = 0; f < CQ_FIGURES; f++) {
        cq_text_add(t, ",%s", figure_name((cq_figure)f, name));
    }
    cq_text_add(t, ",message\n");
}

static void add_sample(cq_text *t, const cq_spread *s, size_t i) {
    const cq_row *row = cq_spread_row(s, i);
    cq_text_add(t, "%zu", i);
    for (size_t k = 0; k < s->inputs_n; k++) {
        const cq_shown shown = cq_spread_shown(s->input[k].kind, CQ_UNITS_METRIC);
        add_value(t, shown.factor * cq_spread_inputs(s, i)[k] + shown.offset);
    }
    for (int f = 0; f < CQ_FIGURES; f++) {
        if (f == CQ_FIGURE_VERDICT) {
            cq_text_add(t, ",");
            add_quoted(t, row->state == CQ_ROW_DONE ? cq_verdict_words((cq_verdict)(int)row->value[f]) : "");
        } else {
            add_value(t, figure_factor((cq_figure)f) * row->value[f]);
        }
    }
    cq_text_add(t, ",");
    add_quoted(t, row->state == CQ_ROW_OPEN ? "not computed yet" : row->message);
    cq_text_add(t, "\n");
}

cq_status cq_spread_csv(const cq_spread *s, char **text) {
    cq_text t = {NULL, 0, 0, false};
    add_head(&t, s);
    for (size_t i = 0; i < s->samples; i++) {
        add_sample(&t, s, i);
    }
    if (t.failed) {
        cq_memory_free(t.bytes);
        return CQ_ERR_MEMORY;
    }
    *text = t.bytes;
    return CQ_OK;
}
