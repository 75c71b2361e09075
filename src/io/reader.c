/* reader.c - fields by descriptor, property values, and names looked up in profile folders. */
#include "io/reader.h"

#include <errno.h>
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

void cq_reader_complain(cq_reader *r, cq_status status, const cq_node *at, const char *key, const char *expected,
                        const char *remedy, const char *found_format, ...) {
    char found[192];
    va_list arguments;
    va_start(arguments, found_format);
    vsnprintf(found, sizeof found, found_format, arguments);
    va_end(arguments);
    cq_node_complain(r->error, status, at, key, expected, remedy, "%s", found);
    r->status = r->status < 0 ? r->status : status;
}

const cq_node *cq_reader_value(const cq_node *node) {
    const cq_node *value = node->kind == CQ_NODE_MAP ? cq_node_find(node, "value") : NULL;
    return value == NULL ? node : value;
}

bool cq_reader_quantity(cq_reader *r, const cq_node *at, const char *key, cq_dimension dimension, double least, double most,
                        double *si) {
    const char *expected = cq_dimension_words(dimension);
    if (at->kind != CQ_NODE_TEXT) {
        cq_reader_complain(r, CQ_ERR_PLAN, at, key, expected, "", "a %s", at->kind == CQ_NODE_MAP ? "mapping" : "list");
        return false;
    }
    double value;
    switch (cq_units_parse(r->units, at->text, dimension, &value)) {
    case CQ_QUANTITY_OK:
        break;
    case CQ_QUANTITY_NO_UNIT:
        cq_reader_complain(r, CQ_ERR_PLAN, at, key, expected, "write the unit behind the number", "'%.60s', a number without a unit", at->text);
        return false;
    case CQ_QUANTITY_UNKNOWN_UNIT:
        cq_reader_complain(r, CQ_ERR_PLAN, at, key, expected, "", "'%.60s', whose unit is not known", at->text);
        return false;
    case CQ_QUANTITY_WRONG_DIMENSION:
        cq_reader_complain(r, CQ_ERR_PLAN, at, key, expected, "", "'%.60s', a quantity of another kind", at->text);
        return false;
    default:
        cq_reader_complain(r, CQ_ERR_PLAN, at, key, expected, "", "'%.60s'", at->text);
        return false;
    }
    if (least < most && !(value >= least * (1.0 - 1e-12) - 1e-15 && value <= most * (1.0 + 1e-12))) {
        char range[96];
        const double scale = dimension == CQ_DIM_LENGTH ? 1e3 : 1.0, zero = dimension == CQ_DIM_TEMPERATURE ? 273.15 : 0.0;
        const char *unit = dimension == CQ_DIM_LENGTH ? "mm" : dimension == CQ_DIM_TEMPERATURE ? "°C" : dimension == CQ_DIM_TIME ? "s" : "in SI units";
        snprintf(range, sizeof range, "a value from %.4g to %.4g %s", least * scale - zero, most * scale - zero, unit);
        cq_reader_complain(r, CQ_ERR_PLAN, at, key, range, "", "'%.60s'", at->text);
        return false;
    }
    *si = value;
    return true;
}

static bool read_number(cq_reader *r, const cq_node *at, const char *key, double least, double most, double *value) {
    char *end;
    const double number = at->kind == CQ_NODE_TEXT ? strtod(at->text, &end) : NAN;
    if (!isfinite(number) || *end != '\0' || !(number >= least && number <= most)) {
        char range[96];
        snprintf(range, sizeof range, "a plain number from %g to %g", least, most);
        cq_reader_complain(r, CQ_ERR_PLAN, at, key, range, "", "'%.60s'", at->kind == CQ_NODE_TEXT ? at->text : "a mapping or list");
        return false;
    }
    *value = number;
    return true;
}

/* A constant, or a list of [temperature, value] pairs, or {interpolate: monotone, points: [...]}. */
static bool read_table(cq_reader *r, const cq_node *at, const char *key, const cq_field *f, cq_table *table) {
    cq_interpolation interpolation = CQ_INTERPOLATE_LINEAR;
    if (at->kind == CQ_NODE_MAP) {
        const cq_node *how = cq_node_find(at, "interpolate"), *points = cq_node_find(at, "points");
        if (points == NULL || (how != NULL && (how->kind != CQ_NODE_TEXT || (strcmp(how->text, "monotone") != 0 && strcmp(how->text, "linear") != 0)))) {
            cq_reader_complain(r, CQ_ERR_PLAN, at, key, "points: a list of pairs, and interpolate: linear or monotone", "", "a mapping without them");
            return false;
        }
        interpolation = how != NULL && strcmp(how->text, "monotone") == 0 ? CQ_INTERPOLATE_MONOTONE : CQ_INTERPOLATE_LINEAR;
        at = points;
    }
    const size_t n = at->kind == CQ_NODE_LIST ? at->n : 1;
    double *x = cq_arena_take(r->arena, 2 * (n > 0 ? n : 1), sizeof *x), *y = x == NULL ? NULL : x + n;
    if (x == NULL) {
        r->status = CQ_ERR_MEMORY;
        return false;
    }
    if (at->kind == CQ_NODE_TEXT) {
        x[0] = 293.15;
        if (!cq_reader_quantity(r, at, key, f->dimension, f->least, f->most, &y[0])) {
            return false;
        }
    }
    for (size_t i = 0; at->kind == CQ_NODE_LIST && i < n; i++) {
        const cq_node *pair = at->item[i];
        if (pair->kind != CQ_NODE_LIST || pair->n != 2) {
            cq_reader_complain(r, CQ_ERR_PLAN, pair, key, "a pair: [temperature, value]", "", "something else");
            return false;
        }
        if (!cq_reader_quantity(r, pair->item[0], key, CQ_DIM_TEMPERATURE, 0.0, 3000.0, &x[i]) ||
            !cq_reader_quantity(r, pair->item[1], key, f->dimension, f->least, f->most, &y[i])) {
            return false;
        }
        if (i > 0 && !(x[i] > x[i - 1])) {
            cq_reader_complain(r, CQ_ERR_PLAN, pair, key, "temperatures that rise from pair to pair", "sort the pairs", "'%.40s' after '%.40s'",
                               pair->item[0]->text, at->item[i - 1]->item[0]->text);
            return false;
        }
    }
    if (n == 0) {
        cq_reader_complain(r, CQ_ERR_PLAN, at, key, "at least one pair", "", "an empty list");
        return false;
    }
    *table = (cq_table){n, x, y, interpolation};
    return true;
}

static bool read_field(cq_reader *r, const cq_node *value, const char *key, const cq_field *f, void *target) {
    char *at = (char *)target + f->offset;
    double number;
    switch (f->kind) {
    case CQ_FIELD_QUANTITY:
        return cq_reader_quantity(r, value, key, f->dimension, f->least, f->most, (double *)at);
    case CQ_FIELD_NUMBER:
        return read_number(r, value, key, f->least, f->most, (double *)at);
    case CQ_FIELD_INTEGER:
        if (!read_number(r, value, key, f->least, f->most, &number)) {
            return false;
        }
        if (number > floor(number)) {
            cq_reader_complain(r, CQ_ERR_PLAN, value, key, "a whole number", "", "'%.60s'", value->text);
            return false;
        }
        *(int *)at = (int)number;
        return true;
    case CQ_FIELD_TABLE:
        return read_table(r, value, key, f, (cq_table *)at);
    case CQ_FIELD_TEXT:
        if (value->kind != CQ_NODE_TEXT) {
            cq_reader_complain(r, CQ_ERR_PLAN, value, key, "a text", "", "a mapping or list");
            return false;
        }
        *(const char **)at = value->text;
        return true;
    default:
        return true; /* read by the owner's own code */
    }
}

static bool is_about_the_profile(const char *key) {
    static const char *const words[] = {"format", "name", "summary", "source", "valid", "uncertainty", "note", "from"};
    for (size_t w = 0; w < sizeof words / sizeof words[0]; w++) {
        if (strcmp(key, words[w]) == 0) {
            return true;
        }
    }
    return false;
}

size_t cq_reader_fields(cq_reader *r, const cq_node *map, cq_owner owner, const char *path, void *target) {
    size_t faults = 0;
    for (size_t e = 0; e < map->n; e++) {
        char key[128];
        snprintf(key, sizeof key, "%s%s", path, map->key[e]);
        const cq_field *f = cq_field_find(owner, map->key[e]);
        const bool profiled = owner == CQ_OWNER_BLADE || owner == CQ_OWNER_STEEL || owner == CQ_OWNER_CLAY || owner == CQ_OWNER_BATH;
        if (f == NULL && profiled && is_about_the_profile(map->key[e])) {
            continue;
        }
        if (f == NULL) {
            const char *nearest = cq_field_nearest(owner, map->key[e]);
            char remedy[128] = "see 'clayquench explain' for the keys";
            if (nearest != NULL) {
                snprintf(remedy, sizeof remedy, "did you mean '%s'?", nearest);
            }
            cq_reader_complain(r, CQ_ERR_PLAN, &map->key_at[e], key, "a key this mapping knows", remedy, "unknown key '%.60s'", map->key[e]);
            faults++;
        } else if (f->kind == CQ_FIELD_RESERVED) {
            cq_reader_complain(r, CQ_ERR_PLAN, &map->key_at[e], key, "a key of this version", "remove it: it is reserved for a later version",
                               "'%s' (%s)", map->key[e], f->words);
            faults++;
        } else if (f->kind != CQ_FIELD_OWN && !read_field(r, cq_reader_value(map->item[e]), key, f, target)) {
            faults++;
        }
    }
    return faults;
}

/* ---- names ------------------------------------------------------------------------------------------------------- */

static bool good_name(const char *name) {
    const size_t n = strlen(name);
    return n > 0 && n < 64 && strpbrk(name, "/\\") == NULL && name[0] != '.';
}

/* True when the file says it is a profile of this kind: a plan and its blade may share a name and a folder. */
static bool is_of_kind(const char *path, const char *kind) {
    char line[256], wanted[64];
    snprintf(wanted, sizeof wanted, "clayquench-%s", kind);
    FILE *file = fopen(path, "r");
    bool found = false;
    while (file != NULL && !found && fgets(line, sizeof line, file) != NULL) {
        found = strncmp(line, "format:", 7) == 0 && strstr(line, wanted) != NULL;
    }
    if (file != NULL) {
        fclose(file);
    }
    return found;
}

/* Path of profile `name` of `kind`: beside the plan (plain or in the kind's folder), then in the search folders. */
static bool find_profile(const cq_reader *r, const char *kind, const char *name, char path[1024]) {
    const char *patterns[] = {"%s/%s.yaml", "%s/%ss/%s.yaml"};
    if (r->folder != NULL) {
        snprintf(path, 1024, patterns[0], r->folder, name);
        if (is_of_kind(path, kind)) {
            return true;
        }
        snprintf(path, 1024, patterns[1], r->folder, kind, name);
        if (access(path, R_OK) == 0) {
            return true;
        }
    }
    for (size_t f = 0; r->search != NULL && f < r->search->n; f++) {
        snprintf(path, 1024, patterns[1], r->search->folders[f], kind, name);
        if (access(path, R_OK) == 0) {
            return true;
        }
    }
    return false;
}

static void remember(cq_reader *r, const char *name, const cq_source *source) {
    for (size_t p = 0; p < r->profiles_n; p++) {
        if (strcmp(r->profile_names[p], name) == 0) {
            return;
        }
    }
    if (r->profiles_n < sizeof r->profile_names / sizeof r->profile_names[0]) {
        r->profile_names[r->profiles_n] = name;
        r->profile_texts[r->profiles_n++] = source->text;
    }
}

static const cq_node *load_profile(cq_reader *r, const cq_node *at, const char *kind, const char *key, const char *name) {
    char path[1024];
    for (int d = 0; d < r->depth; d++) {
        if (strcmp(r->chain[d], name) == 0) {
            cq_reader_complain(r, CQ_ERR_PLAN, at, key, "another profile", "remove the circle of from:", "'%.60s', which names itself", name);
            return NULL;
        }
    }
    if (!good_name(name) || !find_profile(r, kind, name, path)) {
        char remedy[96];
        snprintf(remedy, sizeof remedy, "see 'clayquench list %s'", kind);
        cq_reader_complain(r, CQ_ERR_PLAN, at, key, "the name of a known profile", remedy, "no %s profile '%.60s'", kind, name);
        return NULL;
    }
    cq_source *source = cq_arena_take(r->arena, 1, sizeof *source);
    char *kept = cq_arena_text(r->arena, name, strlen(name));
    if (source == NULL || kept == NULL || r->depth + 1 >= (int)(sizeof r->chain / sizeof r->chain[0])) {
        r->status = CQ_ERR_MEMORY;
        return NULL;
    }
    cq_status status = cq_file_load(source, path, r->arena, r->error);
    cq_node *root = NULL;
    status = status < 0 ? status : cq_yaml_parse(&root, source, r->arena, r->error);
    if (status < 0) {
        r->status = r->status < 0 ? r->status : status;
        return NULL;
    }
    char wanted[64];
    snprintf(wanted, sizeof wanted, "clayquench-%s 1", kind);
    const cq_node *format = root->kind == CQ_NODE_MAP ? cq_node_find(root, "format") : NULL;
    if (format == NULL || format->kind != CQ_NODE_TEXT || strcmp(format->text, wanted) != 0) {
        cq_reader_complain(r, CQ_ERR_PLAN, format == NULL ? root : format, "format", wanted, "", "'%.60s'",
                           format == NULL || format->kind != CQ_NODE_TEXT ? "no format line" : format->text);
        return NULL;
    }
    char tagged[96];
    snprintf(tagged, sizeof tagged, "%s-%s", kind, kept);
    char *tag = cq_arena_text(r->arena, tagged, strlen(tagged));
    if (tag != NULL) {
        remember(r, tag, source);
    }
    r->chain[r->depth++] = kept;
    const cq_node *resolved = cq_reader_resolve(r, root, kind, key);
    r->depth--;
    return resolved;
}

const cq_node *cq_reader_resolve(cq_reader *r, const cq_node *node, const char *kind, const char *key) {
    if (node->kind == CQ_NODE_TEXT) {
        return load_profile(r, node, kind, key, node->text);
    }
    if (node->kind != CQ_NODE_MAP) {
        cq_reader_complain(r, CQ_ERR_PLAN, node, key, "a profile's name or a mapping", "", "a list");
        return NULL;
    }
    const cq_node *from = cq_node_find(node, "from");
    from = from == NULL && strcmp(kind, "steel") == 0 ? cq_node_find(node, "grade") : from;
    if (from == NULL) {
        return node;
    }
    if (from->kind != CQ_NODE_TEXT) {
        cq_reader_complain(r, CQ_ERR_PLAN, from, key, "the name of a profile", "", "a mapping or list");
        return NULL;
    }
    const cq_node *base = load_profile(r, from, kind, key, from->text);
    if (base == NULL) {
        return NULL;
    }
    const cq_node *laid = cq_node_overlay(base, node, r->arena);
    r->status = laid == NULL ? CQ_ERR_MEMORY : r->status;
    return laid;
}
