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

typedef struct cq_node {
    cq_node_kind kind;
    const cq_source *source;
    int line, column;        /* from 1 */
    const char *text;        /* scalars */
    size_t n;                /* entries of a map, items of a list */
    struct cq_node **item;
    const char **key;        /* maps */
    struct cq_node *key_at;  /* maps: n nodes that carry the keys' places only */
} cq_node;

/* Parse `source` (kept by reference). On a syntax fault adds complaints with their places and returns CQ_ERR_PLAN. */
cq_status cq_yaml_parse(cq_node **root, const cq_source *source, cq_arena *arena, cq_error *error);

/* Entry of a map by key; NULL if there is none. */
cq_node *cq_node_find(const cq_node *map, const char *key);

/* `base` with the entries of `over` laid on it (replacing or adding), a new map in the arena; NULL when memory is short. */
cq_node *cq_node_overlay(const cq_node *base, const cq_node *over, cq_arena *arena);

/* A complaint at the place of a node. */
void cq_node_complain(cq_error *error, cq_status status, const cq_node *at, const char *key, const char *expected,
                      const char *remedy, const char *found_format, ...) __attribute__((format(printf, 7, 8)));

#endif
