/* advice.c - see advice.h. */
#include "report/advice.h"

#include "report/json_parts.h"
#include "report/screen_notes.h"

#include <math.h>
#include <stdio.h>

enum { WORDS = 96 };

/* How a value of the change's kind is told: its words, and unit, factor and offset from SI. */
typedef struct told {
    const char *words, *unit, *format;
    double factor, offset;
} told;

static told told_of(cq_uncertain_kind kind, cq_unit_system units) {
    const bool us = units == CQ_UNITS_US;
    const char *words = kind == CQ_UNCERTAIN_PULL               ? "first bath"
                        : kind == CQ_UNCERTAIN_BATH_TEMPERATURE ? "bath"
                        : kind == CQ_UNCERTAIN_EDGE             ? "edge"
                        : kind == CQ_UNCERTAIN_RIM              ? "clay rim at"
                                                                : "soak";
    if (kind == CQ_UNCERTAIN_PULL) {
        return (told){words, "s", "%.3g", 1.0, 0.0};
    }
    if (kind == CQ_UNCERTAIN_EDGE || kind == CQ_UNCERTAIN_RIM) {
        return us ? (told){words, "in", "%.3f", 1.0 / 0.0254, 0.0} : (told){words, "mm", "%.3g", 1e3, 0.0};
    }
    return us ? (told){words, "°F", "%.0f", 1.8, -459.67} : (told){words, "°C", "%.3g", 1.0, -273.15};
}

/* "bath 60 °C instead of 40". */
static void change_words(const cq_crack_change *c, cq_unit_system units, char to[WORDS]) {
    const told t = told_of(c->kind, units);
    char a[24], b[24];
    snprintf(a, sizeof a, t.format, t.factor * c->to + t.offset);
    snprintf(b, sizeof b, t.format, t.factor * c->from + t.offset);
    snprintf(to, WORDS, "%s %s %s instead of %s", t.words, a, t.unit, b);
}

static const char *lost_words(const cq_crack_change *c) {
    return c->loses_edge ? "loses the hard edge" : c->hides_line ? "loses the line" : NULL;
}

void cq_advice_add(cq_text *text, const cq_result *r, const cq_crack_advice *advice, cq_unit_system units, bool brief) {
    if (!advice->lowers) {
        cq_paragraph_add(text, CQ_SCREEN_COLUMNS, "  ", "none of %zu changes run one by one lowers it (an estimate)%s",
                         advice->n, brief ? "" : ": pull, bath, edge, rim, soak");
        return;
    }
    const cq_crack_change *c = &advice->change[0];
    char change[WORDS], line[32] = "no line";
    change_words(c, units, change);
    if (!isnan(c->line_m)) {
        snprintf(line, sizeof line, units == CQ_UNITS_US ? "line %.3f in" : "line %.1f mm",
                 c->line_m * (units == CQ_UNITS_US ? 1.0 / 0.0254 : 1e3));
    }
    const char *lost = lost_words(c), *class = cq_crack_class_words(c->class_n);
    if (brief) { /* the line before it says that these are estimates */
        cq_paragraph_add(text, CQ_SCREEN_COLUMNS, "  ", "lowered most by %s: %s%s, %s", change,
                         c->class_n == r->crack.class_n ? "still " : "", class, lost == NULL ? line : lost);
        return;
    }
    cq_paragraph_add(text, CQ_SCREEN_COLUMNS, "  ",
                     "lowers it most, of %zu changes run: %s: %s%s, %.0f MPa for %.0f, %s%s%s (an estimate)", advice->n,
                     change, c->class_n == r->crack.class_n ? "still " : "", class, c->index_MPa, r->crack.index_MPa,
                     line, lost == NULL ? "" : "; but it ", lost == NULL ? "" : lost);
}

/* ---- JSON -------------------------------------------------------------------------------------------------------- */

static json_t *change(const cq_crack_change *c) {
    const told t = told_of(c->kind, CQ_UNITS_METRIC);
    const cq_json_member members[] = {
        {"change", json_string(cq_uncertain_key(c->kind))},
        {"from", cq_json_number(t.factor * c->from + t.offset)},
        {"to", cq_json_number(t.factor * c->to + t.offset)},
        {"unit", json_string(t.unit)},
        {"class", c->run ? json_string(cq_crack_class_words(c->class_n)) : json_null()},
        {"index_MPa", cq_json_number(c->run ? c->index_MPa : NAN)},
        {"line_mm", cq_json_number(c->run ? 1e3 * c->line_m : NAN)},
        {"verdict", c->run ? json_string(cq_verdict_words(c->verdict)) : json_null()},
        {"loses_edge", json_boolean(c->loses_edge)},
        {"hides_line", json_boolean(c->hides_line)},
    };
    return cq_json_object(members, sizeof members / sizeof members[0]);
}

json_t *cq_json_advice(const cq_crack_advice *advice) {
    if (advice == NULL) {
        return json_null();
    }
    static const cq_crack_change none = {.index_MPa = NAN};
    json_t *tried = json_array(), *best = change(advice->lowers ? &advice->change[0] : &none);
    for (size_t n = 0; n < advice->n; n++) {
        tried = cq_json_appended(tried, change(&advice->change[n]));
    }
    static const char *const unknown[] = {"change", "from", "to", "unit"};
    for (size_t k = 0; best != NULL && !advice->lowers && k < sizeof unknown / sizeof unknown[0]; k++) {
        if (json_object_set_new(best, unknown[k], json_null()) != 0) {
            json_decref(best);
            best = NULL;
        }
    }
    if (best == NULL || tried == NULL || json_object_set_new(best, "tried", tried) != 0) {
        json_decref(best);
        return NULL;
    }
    return best;
}
