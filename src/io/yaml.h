/* yaml.h - a YAML file as a tree that remembers where everything stood. Wraps libfyaml; nodes live in an arena. */
#ifndef CQ_IO_YAML_H
#define CQ_IO_YAML_H

#include "base/memory.h"

#include <clayquench/status.h>
#include <stdbool.h>

typedef struct cq_source { /* one file's name and text */
    const char *name, *text;
    size_t length;
} cq_source;

typedef enum cq_node_kind { CQ_NODE_TEXT, CQ_NODE_MAP, CQ_NODE_LIST } cq_node_kind;

/* Texts stand where they begin; a mapping or list stands at the key it belongs to, or at its first entry if it is an
 * item of a list. An empty value is an empty text. */
typedef struct cq_node {
    cq_node_kind kind;
    const cq_source *source;
    int line, column; /* from 1, columns in characters */
    const char *text; /* scalars */
    size_t n;         /* entries of a map, items of a list */
    struct cq_node **item;
    const char **key;       /* maps */
    struct cq_node *key_at; /* maps: n nodes that carry the keys' places only */
} cq_node;

/* Parse `source` (kept by reference): one document in UTF-8, each key once, no aliases. Every fault becomes a complaint
 * with its place and CQ_ERR_PLAN is returned; *root is then still set if a tree could be made of the rest, else NULL.
 */
cq_status cq_yaml_parse(cq_node **root, const cq_source *source, cq_arena *arena, cq_error *error);

/* Entry of a map by key; NULL if there is none (or `map` is NULL or no map). */
cq_node *cq_node_find(const cq_node *map, const char *key);

/* Place of a map's key, for complaints about the key itself; the map if it has no such key. */
const cq_node *cq_node_key(const cq_node *map, const char *key);

/* `base` with the entries of `over` laid on it (replacing or adding), a new map in the arena; NULL when memory is
 * short. */
cq_node *cq_node_overlay(const cq_node *base, const cq_node *over, cq_arena *arena);

/* What stands at a node, for a complaint: "'8 s'", "nothing", "a mapping", "a list". Returns `to`. */
char *cq_node_words(const cq_node *node, char *to, size_t size);

/* A complaint at the place of a node. Control characters and broken UTF-8 in texts are shown as '?'. */
void cq_node_complain(cq_error *error, cq_status status, const cq_node *at, const char *key, const char *expected,
                      const char *remedy, const char *found_format, ...) __attribute__((format(printf, 7, 8)));

#endif
