/* vary_values.c - the values of a key to vary: a list, or a range with its step. */
#include "io/varying.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { VALUE_SIZE = 96 };

/* ---- pieces of text ---------------------------------------------------------------------------------------------- */

/* `n` bytes without the blanks around them, into `to`; false if they do not fit. */
static bool take(const char *from, size_t n, char to[VALUE_SIZE]) {
    while (n > 0 && (from[0] == ' ' || from[0] == '\t')) {
        from++;
        n--;
    }
    while (n > 0 && (from[n - 1] == ' ' || from[n - 1] == '\t')) {
        n--;
    }
    snprintf(to, VALUE_SIZE, "%.*s", (int)(n < VALUE_SIZE ? n : VALUE_SIZE - 1), from);
    return n < VALUE_SIZE;
}

/* "mm" of "1 1/2 mm": what stands behind the number. */
static const char *unit_of(const char *text) {
    const char *p = text + strspn(text, "+-.0123456789/ ");
    if ((*p == 'e' || *p == 'E') && strspn(p + 1, "+-0123456789") > 0) {
        p += 1 + strspn(p + 1, "+-0123456789 ");
    }
    return p;
}

/* The place of a value on the command line, as a complaint shows it: "--vary steps.1.at=30 kg". */
static cq_node *value_node(cq_reader *r, const cq_vary_key *key, const char *value) {
    char name[256];
    snprintf(name, sizeof name, "--vary %.120s=%.100s", key->text, value);
    cq_source *source = cq_reader_take(r, 1, sizeof *source);
    cq_node *node = cq_reader_take(r, 1, sizeof *node);
    char *kept = cq_arena_text(r->arena, value, strlen(value)), *place = cq_arena_text(r->arena, name, strlen(name));
    if (source == NULL || node == NULL || kept == NULL || place == NULL) {
        r->status = CQ_ERR_MEMORY;
        return NULL;
    }
    *source = (cq_source){place, kept, strlen(kept)};
    *node = (cq_node){.kind = CQ_NODE_TEXT, .source = source, .text = kept};
    return node;
}

/* ---- one value --------------------------------------------------------------------------------------------------- */

static bool plain_number(const char *text, double *value) {
    char *end = NULL;
    *value = strtod(text, &end);
    return text[0] != '\0' && strspn(text, "+-.0123456789eE") == strlen(text) && *end == '\0' && isfinite(*value);
}

/* What a unit means: SI = zero + per * number. */
typedef struct scale {
    double zero, per;
} scale;

static bool scale_of(const cq_units *units, const char *unit, cq_dimension dimension, scale *s) {
    char none[VALUE_SIZE + 4], one[VALUE_SIZE + 4];
    double per;
    snprintf(none, sizeof none, "0 %.90s", unit);
    snprintf(one, sizeof one, "1 %.90s", unit);
    if (cq_units_parse(units, none, dimension, &s->zero) != CQ_QUANTITY_OK ||
        cq_units_parse(units, one, dimension, &per) != CQ_QUANTITY_OK) {
        return false;
    }
    s->per = per - s->zero;
    return true;
}

double cq_vary_number(const cq_reader *r, const cq_vary_key *key, const char *unit, const char *text) {
    scale s;
    double value;
    if (key->kind == CQ_VARY_NUMBER || key->kind == CQ_VARY_WHOLE) {
        return plain_number(text, &value) ? value : NAN;
    }
    if (key->kind != CQ_VARY_QUANTITY || !scale_of(r->units, unit, cq_vary_dimension(key), &s)) {
        return NAN;
    }
    if (key->word != NULL && strcmp(text, key->word) == 0) {
        return 0.0;
    }
    return cq_units_parse(r->units, text, cq_vary_dimension(key), &value) == CQ_QUANTITY_OK ? (value - s.zero) / s.per
                                                                                            : NAN;
}

static bool check_choice(cq_reader *r, const cq_vary_key *key, const cq_node *at) {
    char expected[160];
    for (size_t c = 0; key->choices[c] != NULL; c++) {
        if (strcmp(key->choices[c], at->text) == 0) {
            return true;
        }
    }
    cq_reader_complain(r, at, key->text, cq_choice_list(key->choices, expected, sizeof expected), "", "'%.60s'",
                       at->text);
    return false;
}

static bool check_number(cq_reader *r, const cq_vary_key *key, const cq_node *at) {
    double value;
    char expected[96];
    const bool good = plain_number(at->text, &value) && value >= key->least && value <= key->most &&
                      (key->kind != CQ_VARY_WHOLE || !(fabs(value - nearbyint(value)) > 0.0));
    if (!good) {
        snprintf(expected, sizeof expected, "a %s number without unit, from %g to %g",
                 key->kind == CQ_VARY_WHOLE ? "whole" : "plain", key->least, key->most);
        cq_reader_complain(r, at, key->text, expected, "", "'%.60s'", at->text);
    }
    return good;
}

/* As the plan would have it, unit and range included; a profile's name is looked up. */
static bool check_value(cq_reader *r, const cq_vary_key *key, const cq_node *at) {
    double si;
    switch (key->kind) {
    case CQ_VARY_QUANTITY:
        return (key->word != NULL && strcmp(at->text, key->word) == 0) ||
               cq_reader_quantity(r, at, key->text, cq_vary_dimension(key), key->least, key->most, &si);
    case CQ_VARY_NUMBER:
    case CQ_VARY_WHOLE:
        return check_number(r, key, at);
    case CQ_VARY_CHOICE:
        return check_choice(r, key, at);
    case CQ_VARY_NAME:
        return cq_reader_resolve(r, at, key->profile, key->text) != NULL;
    }
    return false;
}

/* ---- lists and ranges -------------------------------------------------------------------------------------------- */

typedef struct value_list {
    size_t n;
    const char **words;
} value_list;

static bool refuse_number(cq_reader *r, const cq_vary_key *key) {
    cq_reader_complain(r, key->spec, key->text, "fewer values", "take a coarser step", "more than %d values",
                       CQ_VARY_VALUES);
    return false;
}

static bool add_value(cq_reader *r, const cq_vary_key *key, value_list *list, const char *text) {
    if (list->n == CQ_VARY_VALUES) {
        return refuse_number(r, key);
    }
    const cq_node *node = value_node(r, key, text);
    if (node == NULL || !check_value(r, key, node)) {
        return false;
    }
    for (size_t v = 0; v < list->n; v++) {
        if (strcmp(list->words[v], node->text) == 0) {
            cq_reader_complain(r, node, key->text, "each value once", "remove one of the two", "'%.60s' twice",
                               node->text);
            return false;
        }
    }
    list->words[list->n++] = node->text;
    return true;
}

static bool refuse_range(cq_reader *r, const cq_vary_key *key, const cq_node *at, const char *expected,
                         const char *remedy, const char *found) {
    cq_reader_complain(r, at, key->text, expected, remedy, "%s", found);
    return false;
}

/* Ends and step of a range; the low end and the step may leave out the unit of the high end. */
typedef struct range {
    char low[VALUE_SIZE], high[VALUE_SIZE], step[VALUE_SIZE];
    const char *unit;
} range;

static bool cut_range(cq_reader *r, const cq_vary_key *key, const cq_node *at, range *g) {
    const char *dots = strstr(at->text, ".."), *by = strstr(dots, " by ");
    char low[VALUE_SIZE];
    const bool counted = key->kind != CQ_VARY_QUANTITY;
    if (key->kind == CQ_VARY_CHOICE || key->kind == CQ_VARY_NAME) {
        return refuse_range(r, key, at, "words with commas between them", "", "a range of words");
    }
    if (by == NULL) {
        return refuse_range(r, key, at,
                            counted ? "LOW..HIGH by STEP, for instance 1..4 by 1"
                                    : "LOW..HIGH by STEP, for instance 1 mm..4 mm by 0.5 mm",
                            "write 'by' and the step behind the range", "a range without step");
    }
    if (!take(at->text, (size_t)(dots - at->text), low) || !take(dots + 2, (size_t)(by - dots - 2), g->high) ||
        !take(by + 4, strlen(by + 4), g->step)) {
        return refuse_range(r, key, at, "a shorter text", "", "a range that runs on");
    }
    g->unit = unit_of(g->high);
    if (low[0] == '\0' || g->high[0] == '\0' || g->step[0] == '\0') {
        return refuse_range(r, key, at, "LOW..HIGH by STEP", "", "a range with an empty end or step");
    }
    const bool lend_low = !counted && *unit_of(low) == '\0', lend_step = !counted && *unit_of(g->step) == '\0';
    snprintf(g->low, sizeof g->low, "%.60s%s%.30s", low, lend_low ? " " : "", lend_low ? g->unit : "");
    if (lend_step) {
        const size_t n = strlen(g->step);
        snprintf(g->step + n, sizeof g->step - n, " %.30s", g->unit);
    }
    return true;
}

/* Low end, high end and step as numbers of the high end's unit; a step between temperatures is a difference. */
static bool range_numbers(cq_reader *r, const cq_vary_key *key, const cq_node *at, const range *g, double number[3]) {
    const cq_dimension dimension = cq_vary_dimension(key);
    const cq_dimension between = dimension == CQ_DIM_TEMPERATURE ? CQ_DIM_DIFFERENCE : dimension;
    const char *const text[3] = {g->low, g->high, g->step};
    scale s = {0.0, 1.0};
    for (int n = 0; n < 3; n++) {
        cq_node part = *at;
        part.text = text[n];
        if (key->kind != CQ_VARY_QUANTITY) {
            if (!plain_number(text[n], &number[n])) {
                return refuse_range(r, key, &part, "numbers without unit: LOW..HIGH by STEP", "", text[n]);
            }
        } else if (!cq_reader_quantity(r, &part, key->text, n == 2 ? between : dimension, n == 2 ? 0.0 : key->least,
                                       n == 2 ? 0.0 : key->most, &number[n])) {
            return false;
        }
    }
    if (key->kind == CQ_VARY_QUANTITY && scale_of(r->units, g->unit, dimension, &s)) {
        number[0] = (number[0] - s.zero) / s.per;
        number[1] = (number[1] - s.zero) / s.per;
        number[2] /= s.per;
    }
    return true;
}

/* Both ends, and what lies between in steps from the low one; an end within a thousandth of a step is reached. */
static bool add_range(cq_reader *r, const cq_vary_key *key, const cq_node *at, value_list *list) {
    range g;
    double number[3];
    if (!cut_range(r, key, at, &g) || !range_numbers(r, key, at, &g, number)) {
        return false;
    }
    const double span = number[1] - number[0], step = number[2];
    if (!(fabs(step) > 0.0)) {
        return refuse_range(r, key, at, "a step other than zero", "", "a step of zero");
    }
    if (span * step < 0.0) {
        return refuse_range(r, key, at,
                            span > 0.0 ? "a step above zero" : "a step below zero, or the ends the other way round", "",
                            "a step that leads away from the range's end");
    }
    const double count = floor(span / step + 1e-3);
    if (!(count < (double)(CQ_VARY_VALUES - list->n))) { /* before steps too small to tell two values apart */
        return refuse_number(r, key);
    }
    for (double n = 0.0; n <= count; n += 1.0) {
        char text[VALUE_SIZE];
        double value = number[0] + n * step;
        value = fabs(value) < 1e-9 * (fabs(number[0]) + fabs(step)) ? 0.0 : value;
        snprintf(text, sizeof text, "%.7g%s%.60s", value, g.unit[0] != '\0' ? " " : "", g.unit);
        if (!add_value(r, key, list, text)) {
            return false;
        }
    }
    return true;
}

/* "0,2 mm" was meant as a decimal: then the first piece is a bare number and the next begins with a digit. */
static bool is_comma_of_decimals(const cq_vary_key *key, const char *piece, const char *next) {
    return key->kind == CQ_VARY_QUANTITY && piece[0] != '\0' && strspn(piece, "0123456789") == strlen(piece) &&
           *next == ',' && next[1] >= '0' && next[1] <= '9';
}

static bool add_piece(cq_reader *r, const cq_vary_key *key, const char *piece, const char *next, value_list *list) {
    const cq_node *node = value_node(r, key, piece);
    if (node == NULL) {
        return false;
    }
    if (piece[0] == '\0') {
        cq_reader_complain(r, key->spec, key->text, "a value between the commas", "", "an empty value");
        return false;
    }
    if (is_comma_of_decimals(key, piece, next)) {
        cq_reader_complain(r, node, key->text, cq_dimension_words(cq_vary_dimension(key)),
                           "write a unit behind each number, and a point before decimals: the comma parts values",
                           "'%.60s', a number without a unit", piece);
        return false;
    }
    return strstr(piece, "..") != NULL ? add_range(r, key, node, list) : add_value(r, key, list, piece);
}

bool cq_vary_values_read(cq_reader *r, const cq_vary_key *key, const char *text, cq_vary_axis *axis) {
    value_list list = {0, cq_reader_take(r, CQ_VARY_VALUES, sizeof *list.words)};
    bool good = list.words != NULL;
    for (const char *at = text; good;) {
        char piece[VALUE_SIZE];
        const size_t length = strcspn(at, ",");
        if (!take(at, length, piece)) {
            cq_reader_complain(r, key->spec, key->text, "a shorter value", "", "a value that runs on");
            return false;
        }
        good = add_piece(r, key, piece, at + length, &list);
        if (at[length] == '\0') {
            break;
        }
        at += length + 1;
    }
    double *number = good ? cq_reader_take(r, list.n, sizeof *number) : NULL;
    if (number == NULL) {
        return false;
    }
    axis->unit = "";
    for (size_t v = 0; v < list.n && key->kind == CQ_VARY_QUANTITY && axis->unit[0] == '\0'; v++) {
        axis->unit = key->word != NULL && strcmp(list.words[v], key->word) == 0 ? "" : unit_of(list.words[v]);
    }
    for (size_t v = 0; v < list.n; v++) {
        number[v] = cq_vary_number(r, key, axis->unit, list.words[v]);
    }
    axis->n = list.n;
    axis->words = list.words;
    axis->number = number;
    return true;
}
