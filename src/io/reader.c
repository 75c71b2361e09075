/* reader.c - a mapping's fields into a structure, by descriptor. */
#include "io/reader.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

char *cq_key_join(char to[CQ_KEY_SIZE], const char *format, ...) {
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(to, CQ_KEY_SIZE, format, arguments);
    va_end(arguments);
    return to;
}

void cq_reader_complain(cq_reader *r, const cq_node *at, const char *key, const char *expected, const char *remedy,
                        const char *found_format, ...) {
    char found[256];
    va_list arguments;
    va_start(arguments, found_format);
    vsnprintf(found, sizeof found, found_format, arguments);
    va_end(arguments);
    r->status = r->status < 0 ? r->status : CQ_ERR_PLAN;
    r->faults++;
    if (r->faults < CQ_FAULTS_TOLD) {
        cq_node_complain(r->error, CQ_ERR_PLAN, at, key, expected, remedy, "%s", found);
    } else if (r->faults == CQ_FAULTS_TOLD) {
        cq_node_complain(r->error, CQ_ERR_PLAN, at, "", "", "mend the first ones and check again",
                         "more faults than are worth telling");
    }
}

void *cq_reader_take(cq_reader *r, size_t n, size_t size) {
    void *block = cq_arena_take(r->arena, n > 0 ? n : 1, size);
    r->status = block == NULL ? CQ_ERR_MEMORY : r->status;
    return block;
}

const cq_node *cq_reader_value(const cq_node *node) {
    const cq_node *value = cq_node_find(node, "value");
    return value == NULL ? node : value;
}

/* ---- values ------------------------------------------------------------------------------------------------------ */

static void complain_of_quantity(cq_reader *r, const cq_node *at, const char *key, cq_dimension dimension,
                                 cq_quantity_fault fault) {
    const char *expected = cq_dimension_words(dimension), *hint = cq_units_hint(r->units, at->text, dimension);
    const char *kind = fault == CQ_QUANTITY_WRONG_DIMENSION ? cq_units_kind(r->units, at->text) : NULL;
    char found[128];
    cq_node_words(at, found, sizeof found);
    switch (fault) {
    case CQ_QUANTITY_NO_UNIT:
        cq_reader_complain(r, at, key, expected, "write the unit behind the number", "%s, a number without a unit",
                           found);
        break;
    case CQ_QUANTITY_UNKNOWN_UNIT:
        cq_reader_complain(r, at, key, expected, hint, "%s, whose unit is not known", found);
        break;
    case CQ_QUANTITY_WRONG_DIMENSION:
        cq_reader_complain(r, at, key, expected, hint, "%s, %s", found,
                           kind == NULL ? "a quantity of another kind" : kind);
        break;
    case CQ_QUANTITY_NOT_FINITE:
        cq_reader_complain(r, at, key, expected, "", "%s, which is beyond all bounds", found);
        break;
    case CQ_QUANTITY_NO_DATABASE:
        cq_reader_complain(r, at, key, "the unit database of UDUNITS-2", "install libudunits2-data",
                           "%s, whose unit cannot be looked up", found);
        break;
    default:
        cq_reader_complain(r, at, key, expected, "", "%s", found);
    }
}

bool cq_reader_quantity(cq_reader *r, const cq_node *at, const char *key, cq_dimension dimension, double least,
                        double most, double *si) {
    char found[128], low[48], high[48], range[128];
    double value;
    if (at->kind != CQ_NODE_TEXT) {
        cq_reader_complain(r, at, key, cq_dimension_words(dimension), "", "%s", cq_node_words(at, found, sizeof found));
        return false;
    }
    const cq_quantity_fault fault = cq_units_parse(r->units, at->text, dimension, &value);
    if (fault != CQ_QUANTITY_OK) {
        complain_of_quantity(r, at, key, dimension, fault);
        return false;
    }
    const double slack = 1e-12 * fmax(fabs(least), fabs(most)); /* 10 mm in metres need not be the table's 10e-3 */
    if (least < most && !(value >= least - slack && value <= most + slack)) {
        snprintf(range, sizeof range, "from %s to %s", cq_quantity_text(least, dimension, low, sizeof low),
                 cq_quantity_text(most, dimension, high, sizeof high));
        cq_reader_complain(r, at, key, range, "", "%s", cq_node_words(at, found, sizeof found));
        return false;
    }
    *si = value;
    return true;
}

static bool read_number(cq_reader *r, const cq_node *at, const char *key, const cq_field *f, double *value) {
    const bool text =
        at->kind == CQ_NODE_TEXT && at->text[0] != '\0' && strspn(at->text, "+-.0123456789eE") == strlen(at->text);
    char *end = NULL;
    const double number = text ? strtod(at->text, &end) : NAN;
    const bool whole = f->kind != CQ_FIELD_INTEGER || !(fabs(number - nearbyint(number)) > 0.0);
    if (!text || *end != '\0' || !(number >= f->least && number <= f->most) || !whole) {
        char expected[96], found[128];
        snprintf(expected, sizeof expected, "a %s number without unit, from %g to %g",
                 f->kind == CQ_FIELD_INTEGER ? "whole" : "plain", f->least, f->most);
        cq_reader_complain(r, at, key, expected, "", "%s", cq_node_words(at, found, sizeof found));
        return false;
    }
    *value = number;
    return true;
}

/* One [temperature, value] pair; both are read, so that both faults are told. */
static bool read_pair(cq_reader *r, const cq_node *pair, const char *key, const cq_field *f, double *x, double *y) {
    char found[128], part[CQ_KEY_SIZE];
    if (pair->kind != CQ_NODE_LIST || pair->n != 2) {
        cq_reader_complain(r, pair, key, "a pair: [temperature, value]", "", "%s",
                           pair->kind == CQ_NODE_LIST ? "a list of another length"
                                                      : cq_node_words(pair, found, sizeof found));
        return false;
    }
    cq_key_join(part, "%s.0", key);
    const bool x_good = cq_reader_quantity(r, pair->item[0], part, CQ_DIM_TEMPERATURE, 0.0, 3500.0, x);
    cq_key_join(part, "%s.1", key);
    return cq_reader_quantity(r, pair->item[1], part, f->dimension, f->least, f->most, y) && x_good;
}

static bool read_points(cq_reader *r, const cq_node *list, const char *key, const cq_field *f, double *x, double *y) {
    bool good = true;
    for (size_t i = 0; i < list->n; i++) {
        char part[CQ_KEY_SIZE];
        cq_key_join(part, "%s.%zu", key, i);
        x[i] = y[i] = NAN;
        good = read_pair(r, list->item[i], part, f, &x[i], &y[i]) && good;
        if (i > 0 && x[i] <= x[i - 1]) { /* false when either was faulty */
            cq_reader_complain(r, list->item[i], part, "temperatures that rise from pair to pair", "sort the pairs",
                               "'%.40s' after '%.40s'", list->item[i]->item[0]->text, list->item[i - 1]->item[0]->text);
            good = false;
        }
    }
    if (list->n == 0) {
        cq_reader_complain(r, list, key, "at least one pair: [temperature, value]", "", "an empty list");
    }
    return good && list->n > 0;
}

/* One quantity for all temperatures, or a list of pairs. */
static bool read_table(cq_reader *r, const cq_node *at, const char *key, const cq_field *f, cq_interpolation how,
                       cq_table *table) {
    const size_t n = at->kind == CQ_NODE_LIST && at->n > 0 ? at->n : 1;
    double *x = cq_reader_take(r, 2 * n, sizeof *x), *y = x == NULL ? NULL : x + n;
    if (x == NULL) {
        return false;
    }
    x[0] = 293.15; /* K; a constant holds everywhere */
    const bool good = at->kind == CQ_NODE_LIST ? read_points(r, at, key, f, x, y)
                                               : cq_reader_quantity(r, at, key, f->dimension, f->least, f->most, &y[0]);
    if (good) {
        *table = (cq_table){n, x, y, how};
    }
    return good;
}

static bool is_one_of(const char *const *words, const char *text) {
    for (size_t w = 0; words != NULL && words[w] != NULL; w++) {
        if (strcmp(words[w], text) == 0) {
            return true;
        }
    }
    return false;
}

static bool check_choice(cq_reader *r, const cq_node *value, const char *key, const cq_field *f) {
    char expected[128], found[128];
    if (value->kind == CQ_NODE_TEXT && is_one_of(f->choices, value->text)) {
        return true;
    }
    const bool later = value->kind == CQ_NODE_TEXT && is_one_of(f->later, value->text);
    cq_reader_complain(r, value, key, cq_choice_list(f->choices, expected, sizeof expected),
                       later ? "this one is reserved for a later version" : "", "%s%s",
                       cq_node_words(value, found, sizeof found), later ? ", which this version does not know" : "");
    return false;
}

/* A profile gives a value with where it comes from: {value: ..., source: ...}. Gives the value and how it is
 * interpolated; NULL after a complaint. */
static const cq_node *unwrap(cq_reader *r, const cq_node *node, const char *key, const cq_field *f,
                             cq_interpolation *how) {
    *how = CQ_INTERPOLATE_LINEAR;
    if (node->kind != CQ_NODE_MAP) {
        return node;
    }
    char path[CQ_KEY_SIZE], found[128];
    cq_key_join(path, "%s.", key);
    const cq_node *value = cq_node_find(node, "value"), *points = cq_node_find(node, "points"),
                  *word = cq_node_find(node, "interpolate");
    value = value == NULL ? points : value;
    if (value == NULL) {
        cq_reader_complain(r, node, key,
                           f->kind == CQ_FIELD_TABLE ? "one quantity, or a list of [temperature, value] pairs"
                                                     : cq_dimension_words(f->dimension),
                           "", "a mapping without value:");
        return NULL;
    }
    cq_reader_fields(r, node, CQ_OWNER_VALUE, 0, path, NULL);
    if (word != NULL) {
        const bool monotone = word->kind == CQ_NODE_TEXT && strcmp(word->text, "monotone") == 0;
        if (f->kind != CQ_FIELD_TABLE ||
            (!monotone && (word->kind != CQ_NODE_TEXT || strcmp(word->text, "linear") != 0))) {
            cq_key_join(path, "%s.interpolate", key);
            cq_reader_complain(r, word, path,
                               f->kind == CQ_FIELD_TABLE ? "linear or monotone" : "no interpolate: this is no table",
                               "", "%s", cq_node_words(word, found, sizeof found));
            return NULL;
        }
        *how = monotone ? CQ_INTERPOLATE_MONOTONE : CQ_INTERPOLATE_LINEAR;
    }
    return value;
}

static void read_flag(cq_reader *r, const cq_node *value, const char *key, bool *flag) {
    char found[128];
    const char *text = value->kind == CQ_NODE_TEXT ? value->text : "";
    if (strcmp(text, "true") == 0 || strcmp(text, "false") == 0) {
        *flag = text[0] == 't';
    } else {
        cq_reader_complain(r, value, key, "true or false", "", "%s", cq_node_words(value, found, sizeof found));
    }
}

static void read_field(cq_reader *r, const cq_node *node, const char *key, const cq_field *f, void *target) {
    cq_interpolation how;
    char found[128];
    const cq_node *value = unwrap(r, node, key, f, &how);
    if (value == NULL) {
        return;
    }
    char *at = (char *)target + f->offset;
    double number;
    switch (f->kind) {
    case CQ_FIELD_QUANTITY:
        cq_reader_quantity(r, value, key, f->dimension, f->least, f->most, (double *)at);
        break;
    case CQ_FIELD_PERCENT:
        if (cq_reader_quantity(r, value, key, f->dimension, f->least, f->most, &number)) {
            *(double *)at = 100.0 * number;
        }
        break;
    case CQ_FIELD_TOLD:
        cq_reader_quantity(r, value, key, f->dimension, f->least, f->most, &number);
        break;
    case CQ_FIELD_NUMBER:
        read_number(r, value, key, f, (double *)at);
        break;
    case CQ_FIELD_INTEGER:
        if (read_number(r, value, key, f, &number)) {
            *(int *)at = (int)number;
        }
        break;
    case CQ_FIELD_TABLE:
        read_table(r, value, key, f, how, (cq_table *)at);
        break;
    case CQ_FIELD_FLAG:
        read_flag(r, value, key, (bool *)at);
        break;
    case CQ_FIELD_CHOICE:
        if (check_choice(r, value, key, f)) {
            for (int c = 0; f->choices[c] != NULL; c++) {
                *(int *)at = strcmp(f->choices[c], value->text) == 0 ? c : *(int *)at;
            }
        }
        break;
    case CQ_FIELD_TEXT:
        if (f->choices != NULL ? check_choice(r, value, key, f) : value->kind == CQ_NODE_TEXT) {
            *(const char **)at = value->text;
        } else if (f->choices == NULL) {
            cq_reader_complain(r, value, key, "a text", "", "%s", cq_node_words(value, found, sizeof found));
        }
        break;
    case CQ_FIELD_OWN:
    case CQ_FIELD_RESERVED:
        break; /* never come here */
    }
}

/* ---- mappings ---------------------------------------------------------------------------------------------------- */

static void complain_of_unknown(cq_reader *r, const cq_node *map, size_t e, cq_owner owner, const char *key) {
    char expected[256] = "one of: ", remedy[96] = "";
    cq_field_list(owner, expected + strlen(expected), sizeof expected - strlen(expected));
    const char *nearest = cq_field_nearest(owner, map->key[e]);
    if (nearest != NULL) {
        snprintf(remedy, sizeof remedy, "did you mean '%s'?", nearest);
    }
    cq_reader_complain(r, &map->key_at[e], key, expected, remedy, "unknown key '%.60s'", map->key[e]);
}

/* A field may be allowed for other variants only: a flat section has no diameter. */
static void complain_of_misplaced(cq_reader *r, const cq_node *at, const cq_field *f, int variant, const char *key) {
    char expected[192] = "nothing here";
    const int variants = cq_owner_variants(f->owner);
    for (int v = 0, n = 0; v < variants; v++) {
        if ((f->allowed & (1u << v)) != 0 && f->allowed != ~0u) {
            const size_t end = n > 0 ? strlen(expected) : 0;
            snprintf(expected + end, sizeof expected - end, "%s%s", n > 0 ? " or " : "this key only for ",
                     cq_owner_variant(f->owner, v));
            n++;
        }
    }
    cq_reader_complain(r, at, key, expected, "remove it", "'%s' for %s", f->key, cq_owner_variant(f->owner, variant));
}

/* True if a key of the map looks like `key` misspelt: then it is not missing too. */
static bool is_misspelt(const cq_node *map, cq_owner owner, const char *key) {
    for (size_t e = 0; e < map->n; e++) {
        const char *nearest = cq_field_find(owner, map->key[e]) == NULL ? cq_field_nearest(owner, map->key[e]) : NULL;
        if (nearest != NULL && strcmp(nearest, key) == 0) {
            return true;
        }
    }
    return false;
}

static void complain_of_missing(cq_reader *r, const cq_node *map, cq_owner owner, int variant, const char *path) {
    const unsigned bit = variant < 0 ? ~0u : 1u << variant;
    for (size_t f = 0; f < CQ_FIELDS_N; f++) {
        const cq_field *field = &CQ_FIELDS[f];
        if (field->owner != owner || (field->needed & bit) != bit || cq_node_find(map, field->key) != NULL ||
            is_misspelt(map, owner, field->key)) {
            continue;
        }
        char key[CQ_KEY_SIZE], remedy[96], choices[128] = "";
        cq_key_join(key, "%s%s", path, field->key);
        snprintf(remedy, sizeof remedy, "add %s:", field->key);
        const bool quantity = field->kind == CQ_FIELD_QUANTITY || field->kind == CQ_FIELD_TABLE;
        const char *expected = field->choices != NULL ? cq_choice_list(field->choices, choices, sizeof choices)
                               : quantity             ? cq_dimension_words(field->dimension)
                                                      : field->words;
        cq_reader_complain(r, map, key, expected, remedy, "no '%s'", field->key);
    }
}

int cq_reader_choice(const cq_node *map, cq_owner owner, const char *key) {
    const cq_field *f = cq_field_find(owner, key);
    const cq_node *node = cq_node_find(map, key);
    const cq_node *value = node == NULL ? NULL : cq_reader_value(node);
    for (int c = 0; value != NULL && value->kind == CQ_NODE_TEXT && f->choices[c] != NULL; c++) {
        if (strcmp(f->choices[c], value->text) == 0) {
            return c;
        }
    }
    return -1;
}

void cq_reader_fields(cq_reader *r, const cq_node *map, cq_owner owner, int variant, const char *path, void *target) {
    for (size_t e = 0; e < map->n; e++) {
        char key[CQ_KEY_SIZE];
        cq_key_join(key, "%s%s", path, map->key[e]);
        const cq_field *f = cq_field_find(owner, map->key[e]);
        if (f == NULL) {
            complain_of_unknown(r, map, e, owner, key);
        } else if (f->kind == CQ_FIELD_RESERVED) {
            cq_reader_complain(r, &map->key_at[e], key, "a key of this version",
                               "remove it: it is reserved for a later version", "'%s' (%s)", map->key[e], f->words);
        } else if (variant >= 0 && (f->allowed & (1u << variant)) == 0) {
            complain_of_misplaced(r, &map->key_at[e], f, variant, key);
        } else if (f->kind != CQ_FIELD_OWN) {
            read_field(r, map->item[e], key, f, target);
        }
    }
    complain_of_missing(r, map, owner, variant, path);
}
