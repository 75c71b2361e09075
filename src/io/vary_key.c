/* vary_key.c - a key to vary: found in the list of fields, and held against the plan. */
#include "io/varying.h"

#include <ctype.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { PATH_SIZE = 128 };

static bool is_place(const char *part) {
    return strcmp(part, "*") == 0 || (part[0] != '\0' && strspn(part, "0123456789") == strlen(part));
}

/* "clay.coat.N.at" of clay.coat.2.at. */
static void generalise(const cq_vary_key *key, char to[PATH_SIZE]) {
    size_t at = 0;
    to[0] = '\0';
    for (size_t p = 0; p < key->n && at < PATH_SIZE; p++) {
        at += (size_t)snprintf(to + at, PATH_SIZE - at, "%s%s", p > 0 ? "." : "",
                               is_place(key->part[p]) ? "N" : key->part[p]);
    }
}

static void field_path(const cq_field *f, char to[PATH_SIZE]) {
    snprintf(to, PATH_SIZE, "%s%s", cq_owner_path(f->owner), f->key);
}

/* ---- what may be varied ------------------------------------------------------------------------------------------ */

/* Kind of the profile whose name stands at the field; NULL: none. */
static const char *profile_of(const cq_field *f) {
    static const struct {
        cq_owner owner;
        const char *key, *kind;
    } names[] = {{CQ_OWNER_PLAN, "blade", "blade"},  {CQ_OWNER_PLAN, "steel", "steel"},
                 {CQ_OWNER_ZONES, "hard", "steel"},  {CQ_OWNER_ZONES, "soft", "steel"},
                 {CQ_OWNER_PIECE, "steel", "steel"}, {CQ_OWNER_CLAY_LAYER, "mix", "clay"},
                 {CQ_OWNER_STEP, "in", "bath"}};
    for (size_t n = 0; n < sizeof names / sizeof names[0]; n++) {
        if (f->owner == names[n].owner && strcmp(f->key, names[n].key) == 0) {
            return names[n].kind;
        }
    }
    return NULL;
}

static bool is_thickness(const cq_field *f) {
    return (f->owner == CQ_OWNER_COAT && strcmp(f->key, "thickness") == 0) ||
           (f->owner == CQ_OWNER_CLAY_LAYER && (strcmp(f->key, "edge") == 0 || strcmp(f->key, "spine") == 0));
}

/* Why a field cannot be varied; NULL: it can. */
static const char *hindrance(const cq_field *f) {
    const bool told = f->owner == CQ_OWNER_RECORD || f->owner == CQ_OWNER_PROBE ||
                      (f->owner == CQ_OWNER_PLAN && (strcmp(f->key, "format") == 0 || strcmp(f->key, "title") == 0));
    if (told || f->kind == CQ_FIELD_TOLD) {
        return "which changes no answer";
    }
    if (f->owner == CQ_OWNER_TOLERANCES || strcmp(f->key, "error") == 0 || strcmp(f->key, "time-factor-sigma") == 0) {
        return "which a single run does not use";
    }
    if (f->kind == CQ_FIELD_RESERVED) {
        return "which is reserved for a later version";
    }
    if (f->kind == CQ_FIELD_TEXT && f->choices == NULL) {
        return "which changes no answer";
    }
    return f->kind == CQ_FIELD_OWN && profile_of(f) == NULL && !is_thickness(f) ? "which is no single value" : NULL;
}

/* Key of a field as the list of fields has it: heats.N.steps.N.at is steps.N.at. */
static const char *below_heats(const char *general) {
    static const char *const parts[] = {"heat.", "steps.", "temper."};
    const char *rest = strncmp(general, "heats.N.", 8) == 0 ? general + 8 : NULL;
    for (size_t p = 0; rest != NULL && p < sizeof parts / sizeof parts[0]; p++) {
        if (strncmp(rest, parts[p], strlen(parts[p])) == 0) {
            return rest;
        }
    }
    return general;
}

static bool is_of_plans(const cq_field *f) {
    return f->owner != CQ_OWNER_PROFILE && f->owner != CQ_OWNER_VALUE && f->owner != CQ_OWNER_EVIDENCE &&
           f->owner != CQ_OWNER_ITEM;
}

/* ---- unknown keys ------------------------------------------------------------------------------------------------ */

/* A field's path with the places the key names; 0 where it names none. */
static void restore(const cq_vary_key *key, const char *path, char *to, size_t size) {
    size_t at = 0, p = 0;
    for (const char *word = path; *word != '\0' && at + 1 < size; p++) {
        const size_t length = strcspn(word, ".");
        const bool place = length == 1 && word[0] == 'N';
        const char *own = p < key->n && is_place(key->part[p]) ? key->part[p] : "0";
        at += (size_t)snprintf(to + at, size - at, "%s%.*s", p > 0 ? "." : "", place ? 20 : (int)length,
                               place ? own : word);
        word += length + (word[length] == '.' ? 1 : 0);
    }
}

/* "did you mean clay.coat.0.thickness or blade.thickness?"; "" if nothing is near. */
static void suggest(const cq_vary_key *key, const char *general, char remedy[256]) {
    const bool single = strchr(general, '.') == NULL;
    size_t best = strlen(general) / 2 + 1, n = 0, at = 0;
    remedy[0] = '\0';
    for (int pass = 0; pass < 2; pass++) { /* how near the nearest is, then all of them */
        for (size_t f = 0; f < CQ_FIELDS_N; f++) {
            char path[PATH_SIZE], words[PATH_SIZE];
            const cq_field *field = &CQ_FIELDS[f];
            if (!is_of_plans(field) || hindrance(field) != NULL) {
                continue;
            }
            field_path(field, path);
            size_t distance = cq_word_distance(general, path);
            const size_t own = single ? cq_word_distance(general, field->key) : distance;
            if (own <= strlen(general) / 4) { /* of a key further down the word must be nearly right */
                distance = own < distance ? own : distance;
            }
            if (pass == 0) {
                best = distance < best ? distance : best;
            } else if (distance == best && best < strlen(general) / 2 + 1 && n < 3) {
                restore(key, path, words, sizeof words);
                at += (size_t)snprintf(remedy + at, 256 - at, "%s%s", n == 0 ? "did you mean " : " or ", words);
                n++;
            }
        }
    }
    if (n > 0) {
        snprintf(remedy + at, 256 - at, "?");
    }
}

static bool complain_of_unknown(cq_reader *r, const cq_vary_key *key, const char *general) {
    char remedy[256];
    suggest(key, general, remedy);
    cq_reader_complain(r, key->spec, key->text, "a key of the plan, for instance steps.1.at or heat.temperature",
                       remedy[0] != '\0' ? remedy : "'clayquench explain' lists every key; lists count from 0",
                       "no such key");
    return false;
}

/* ---- reading ----------------------------------------------------------------------------------------------------- */

/* Cut the text at its dots. False: too many parts, or an empty one. */
static bool cut(cq_reader *r, const char *text, cq_vary_key *key) {
    for (const char *word = text; key->n < CQ_VARY_DEPTH; word++) {
        const size_t length = strcspn(word, ".");
        char *part = length > 0 ? cq_arena_text(r->arena, word, length) : NULL;
        if (part == NULL) {
            r->status = length > 0 ? CQ_ERR_MEMORY : r->status;
            return false;
        }
        key->part[key->n++] = part;
        word += length;
        if (*word == '\0') {
            return true;
        }
    }
    return false;
}

/* Every list the key goes through has that entry in the plan, and `*` stands where all entries are of a kind. */
static bool is_in_plan(cq_reader *r, const cq_node *root, const cq_vary_key *key) {
    const cq_node *at = root;
    char path[CQ_KEY_SIZE] = "", found[128], expected[128];
    for (size_t p = 0; p < key->n; p++) {
        const cq_node *next = at == NULL ? NULL : cq_node_find(at, key->part[p]);
        if (is_place(key->part[p])) {
            const size_t n = at != NULL && at->kind == CQ_NODE_LIST ? at->n : 0;
            const bool all = key->part[p][0] == '*';
            const size_t place = all ? 0 : strtoul(key->part[p], NULL, 10);
            if (all && (strcmp(path, "steps") == 0 || strncmp(path, "heats", 5) == 0)) {
                cq_reader_complain(r, key->spec, key->text, "the number of a step, from 0", "vary the step in the bath",
                                   "'*' for steps that are not of a kind");
                return false;
            }
            if (place >= n) {
                snprintf(found, sizeof found, n == 0 ? "a plan without %s" : "%s.%s, past the end of the list", path,
                         key->part[p]);
                snprintf(expected, sizeof expected, "%s.0 to %s.%zu", path, path, n > 0 ? n - 1 : 0);
                cq_reader_complain(r, key->spec, key->text, n == 0 ? "an entry of a list that is there" : expected, "",
                                   "%s", found);
                return false;
            }
            next = at->item[place];
        }
        const size_t used = strlen(path);
        snprintf(path + used, sizeof path - used, "%s%s", p > 0 ? "." : "", key->part[p]);
        at = next;
    }
    return true;
}

static void describe(cq_vary_key *key) {
    static const char *const flags[] = {"true", "false", NULL};
    const cq_field *f = key->field;
    key->profile = profile_of(f);
    key->choices = f->kind == CQ_FIELD_FLAG ? flags : f->choices;
    key->least = f->least;
    key->most = f->most;
    key->kind = key->profile != NULL          ? CQ_VARY_NAME
                : key->choices != NULL        ? CQ_VARY_CHOICE
                : f->kind == CQ_FIELD_NUMBER  ? CQ_VARY_NUMBER
                : f->kind == CQ_FIELD_INTEGER ? CQ_VARY_WHOLE
                                              : CQ_VARY_QUANTITY;
    if (is_thickness(f)) {
        key->least = 0.0;
        key->most = 10e-3; /* as plan_read.c has it */
        key->word = f->owner == CQ_OWNER_CLAY_LAYER ? "bare" : NULL;
    }
}

/* A thickness of the coat is a length though its field is read by code of its own; so are all others' dimensions. */
cq_dimension cq_vary_dimension(const cq_vary_key *key) {
    return is_thickness(key->field) ? CQ_DIM_LENGTH : key->field->dimension;
}

bool cq_vary_key_read(cq_reader *r, const cq_node *root, const char *text, const cq_node *spec, cq_vary_key *key) {
    char general[PATH_SIZE], path[PATH_SIZE];
    *key = (cq_vary_key){.text = text, .spec = spec};
    const bool whole = cut(r, text, key);
    if (r->status == CQ_ERR_MEMORY) {
        return false;
    }
    generalise(key, general);
    for (size_t f = 0; f < CQ_FIELDS_N && whole; f++) {
        field_path(&CQ_FIELDS[f], path);
        if (is_of_plans(&CQ_FIELDS[f]) && strcmp(path, below_heats(general)) == 0) {
            key->field = &CQ_FIELDS[f];
        }
    }
    if (key->field == NULL) {
        return complain_of_unknown(r, key, general);
    }
    const char *why = hindrance(key->field);
    if (why != NULL) {
        char keys[120], remedy[256] = "";
        for (int owner = 0; owner < CQ_OWNERS; owner++) {
            const char *under = cq_owner_path((cq_owner)owner);
            const size_t n = strlen(general);
            if (strncmp(under, general, n) == 0 && (strcmp(under + n, ".") == 0 || strcmp(under + n, ".N.") == 0)) {
                snprintf(remedy, sizeof remedy, "vary what stands below it: %.60s%s%.120s", general,
                         strcmp(under + n, ".") == 0 ? "." : ".0. and one of ",
                         cq_field_list((cq_owner)owner, keys, sizeof keys));
            }
        }
        cq_reader_complain(r, spec, text, "a key whose value can be varied", remedy, "'%.60s', %s", text, why);
        return false;
    }
    describe(key);
    return is_in_plan(r, root, key);
}
