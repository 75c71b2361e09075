/* vary_tree.c - a value set at a key of a plan's tree. What it does not touch is shared with the tree it came from. */
#include "io/varying.h"

#include <stdlib.h>
#include <string.h>

static cq_node *short_of_memory(cq_reader *r) {
    r->status = CQ_ERR_MEMORY;
    return NULL;
}

/* Kind of the profile that stands at the key's first `depth` parts; NULL: none does. */
static const char *profile_at(const cq_vary_key *key, size_t depth) {
    const char *const *part = key->part;
    const size_t above = strcmp(part[0], "heats") == 0 ? 2 : 0; /* heats.N. */
    if (above > 0 && depth <= above) {
        return NULL;
    }
    part += above;
    depth -= above;
    if (depth == 1 && above == 0) {
        return strcmp(part[0], "blade") == 0 ? "blade" : strcmp(part[0], "steel") == 0 ? "steel" : NULL;
    }
    if (depth == 2) {
        return strcmp(part[0], "clay") == 0 && strcmp(part[1], "mix") == 0 ? "clay" : NULL;
    }
    return depth == 3 && strcmp(part[0], "steps") == 0 && strcmp(part[2], "in") == 0 ? "bath" : NULL;
}

/* A mapping of one entry, standing where `at` stands. */
static cq_node *map_of_one(cq_reader *r, const cq_node *at, const char *word, cq_node *value) {
    cq_node *map = cq_reader_take(r, 1, sizeof *map);
    if (map == NULL) {
        return NULL;
    }
    *map = (cq_node){
        .kind = CQ_NODE_MAP, .source = at->source, .line = at->line, .column = at->column, .text = "", .n = 1};
    map->item = cq_reader_take(r, 1, sizeof *map->item);
    map->key = cq_reader_take(r, 1, sizeof *map->key);
    map->key_at = cq_reader_take(r, 1, sizeof *map->key_at);
    if (map->item == NULL || map->key == NULL || map->key_at == NULL) {
        return NULL;
    }
    map->item[0] = value;
    map->key[0] = word;
    map->key_at[0] = *value;
    map->key_at[0].kind = CQ_NODE_TEXT;
    return map;
}

static void drop(cq_node *map, const char *word) {
    for (size_t e = 0; e < map->n; e++) {
        if (strcmp(map->key[e], word) == 0) {
            map->n--;
            map->key[e] = map->key[map->n];
            map->item[e] = map->item[map->n];
            map->key_at[e] = map->key_at[map->n];
            return;
        }
    }
}

/* What would stand beside the new entry and contradict it gives way: heat: and start:, thickness: and left: or right:.
 */
static bool make_room(cq_reader *r, const cq_vary_key *key, size_t depth, cq_node **map) {
    const char *word = key->part[depth];
    if (depth == 0 && (strcmp(word, "heat") == 0 || strcmp(word, "start") == 0)) {
        drop(*map, word[0] == 'h' ? "start" : "heat");
    }
    if (key->field->owner == CQ_OWNER_COAT && depth + 1 == key->n) {
        cq_node *both = cq_node_find(*map, "thickness");
        const bool left = strcmp(word, "left") == 0, right = strcmp(word, "right") == 0;
        if (strcmp(word, "thickness") == 0) {
            drop(*map, "left");
            drop(*map, "right");
        } else if ((left || right) && both != NULL) { /* the other face keeps it */
            const cq_node *over = map_of_one(r, *map, left ? "right" : "left", both);
            drop(*map, "thickness");
            *map = over == NULL ? NULL : cq_node_overlay(*map, over, r->arena);
        }
    }
    return *map != NULL;
}

static cq_node *set(cq_reader *r, const cq_node *at, const cq_vary_key *key, size_t depth, cq_node *value);

static cq_node *set_in_list(cq_reader *r, const cq_node *at, const cq_vary_key *key, size_t depth, cq_node *value) {
    const bool all = key->part[depth][0] == '*';
    const size_t place = all ? 0 : strtoul(key->part[depth], NULL, 10);
    if (!all && place >= at->n) {
        return NULL; /* looked at when the key was read */
    }
    cq_node *list = cq_reader_take(r, 1, sizeof *list);
    cq_node **item = cq_reader_take(r, at->n, sizeof *item);
    if (list == NULL || item == NULL) {
        return NULL;
    }
    *list = *at;
    list->item = item;
    for (size_t i = 0; i < at->n; i++) {
        item[i] = all || i == place ? set(r, at->item[i], key, depth + 1, value) : at->item[i];
        if (item[i] == NULL) {
            return NULL;
        }
    }
    return list;
}

/* `value` with `at` (NULL: nothing there) under the parts of the key from `depth` on. */
static cq_node *set(cq_reader *r, const cq_node *at, const cq_vary_key *key, size_t depth, cq_node *value) {
    if (depth == key->n) {
        return value;
    }
    if (at != NULL && at->kind == CQ_NODE_LIST) {
        return set_in_list(r, at, key, depth, value);
    }
    const char *kind = depth > 0 ? profile_at(key, depth) : NULL, *word = key->part[depth];
    cq_node *below = at == NULL ? NULL : cq_node_find(at, word);
    if (kind != NULL && at != NULL && below == NULL &&
        depth + 1 < key->n) { /* a part of a profile keeps its other keys */
        const cq_node *resolved = cq_reader_resolve(r, at, kind, key->text);
        below = resolved == NULL ? NULL : cq_node_find(resolved, word);
        below = below == NULL ? NULL : (cq_node *)cq_reader_value(below);
    }
    cq_node *child = set(r, below, key, depth + 1, value);
    cq_node *over = child == NULL ? NULL : map_of_one(r, at == NULL ? value : at, word, child);
    if (over == NULL || at == NULL) {
        return over;
    }
    const cq_node *base = at;
    if (at->kind == CQ_NODE_TEXT) {
        base = kind == NULL ? over : map_of_one(r, at, "from", (cq_node *)at);
    }
    cq_node *laid = base == NULL ? NULL : cq_node_overlay(base, over, r->arena);
    if (laid == NULL) {
        return short_of_memory(r);
    }
    return make_room(r, key, depth, &laid) ? laid : short_of_memory(r);
}

cq_node *cq_vary_set(cq_reader *r, const cq_node *root, const cq_vary_key *key, cq_node *value) {
    return set(r, root, key, 0, value);
}

static const char *text_of(const cq_node *node) {
    const cq_node *value = node == NULL ? NULL : cq_reader_value(node);
    return value != NULL && value->kind == CQ_NODE_TEXT ? value->text : NULL;
}

/* The text at the key's parts from `depth` on. */
static const char *get(cq_reader *r, const cq_node *at, const cq_vary_key *key, size_t depth) {
    if (at == NULL || depth == key->n) {
        return text_of(at);
    }
    if (at->kind == CQ_NODE_LIST) {
        const bool all = key->part[depth][0] == '*';
        const size_t first = all ? 0 : strtoul(key->part[depth], NULL, 10);
        const char *text = first < at->n ? get(r, at->item[first], key, depth + 1) : NULL;
        for (size_t i = 1; all && text != NULL && i < at->n; i++) {
            const char *other = get(r, at->item[i], key, depth + 1);
            text = other != NULL && strcmp(other, text) == 0 ? text : NULL;
        }
        return text;
    }
    const char *kind = depth > 0 ? profile_at(key, depth) : NULL;
    const cq_node *map = kind == NULL ? at : cq_reader_resolve(r, at, kind, key->text);
    const cq_node *below = map == NULL ? NULL : cq_node_find(map, key->part[depth]);
    if (map != NULL && strcmp(key->part[depth], "batch") == 0 && depth + 1 < key->n &&
        cq_node_find(below == NULL ? NULL : cq_reader_value(below), key->part[depth + 1]) == NULL) {
        below = cq_node_find(map, "composition"); /* the steel's own share of the element */
    }
    below = below == NULL ? NULL : below->kind == CQ_NODE_MAP ? cq_reader_value(below) : below;
    if (below == NULL && key->field->owner == CQ_OWNER_STEP && depth + 1 == key->n &&
        strcmp(key->part[depth], "at") == 0) {
        const cq_node *in = cq_node_find(map, "in"); /* then the bath's own temperature */
        const cq_node *bath = in == NULL ? NULL : cq_reader_resolve(r, in, "bath", key->text);
        below = bath == NULL ? NULL : cq_node_find(bath, "at");
    }
    return get(r, below, key, depth + 1);
}

const char *cq_vary_get(cq_reader *r, const cq_node *root, const cq_vary_key *key) {
    return get(r, root, key, 0);
}
