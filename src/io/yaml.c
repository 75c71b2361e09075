/* yaml.c - see yaml.h. */
#include "io/yaml.h"

#include <libfyaml.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

typedef struct builder {
    const cq_source *source;
    cq_arena *arena;
    bool short_of_memory;
} builder;

static void place(cq_node *node, struct fy_token *token, const cq_node *fallback) {
    const struct fy_mark *mark = token == NULL ? NULL : fy_token_start_mark(token);
    node->line = mark != NULL ? mark->line + 1 : (fallback != NULL ? fallback->line : 1);
    node->column = mark != NULL ? mark->column + 1 : (fallback != NULL ? fallback->column : 1);
}

static cq_node *take_node(builder *b, cq_node_kind kind) {
    cq_node *node = cq_arena_take(b->arena, 1, sizeof *node);
    if (node == NULL) {
        b->short_of_memory = true;
        return NULL;
    }
    node->kind = kind;
    node->source = b->source;
    return node;
}

static char *scalar_text(builder *b, struct fy_node *from) {
    size_t length = 0;
    const char *text = fy_node_get_scalar(from, &length);
    char *copy = cq_arena_text(b->arena, text == NULL ? "" : text, text == NULL ? 0 : length);
    b->short_of_memory = b->short_of_memory || copy == NULL;
    return copy;
}

static cq_node *build(builder *b, struct fy_node *from, const cq_node *parent, int depth);

static cq_node *build_list(builder *b, struct fy_node *from, const cq_node *parent, int depth) {
    cq_node *node = take_node(b, CQ_NODE_LIST);
    if (node == NULL) {
        return NULL;
    }
    place(node, NULL, parent);
    const int count = fy_node_sequence_item_count(from);
    node->item = cq_arena_take(b->arena, (size_t)(count > 0 ? count : 1), sizeof *node->item);
    b->short_of_memory = b->short_of_memory || node->item == NULL;
    void *at = NULL;
    struct fy_node *child;
    while (!b->short_of_memory && (child = fy_node_sequence_iterate(from, &at)) != NULL) {
        node->item[node->n] = build(b, child, node, depth + 1);
        node->n++;
    }
    if (node->n > 0 && node->item[0] != NULL) { /* a list stands where its first item stands */
        node->line = node->item[0]->line;
        node->column = node->item[0]->column;
    }
    return node;
}

static cq_node *build_map(builder *b, struct fy_node *from, const cq_node *parent, int depth) {
    cq_node *node = take_node(b, CQ_NODE_MAP);
    if (node == NULL) {
        return NULL;
    }
    place(node, NULL, parent);
    const int count = fy_node_mapping_item_count(from);
    const size_t room = (size_t)(count > 0 ? count : 1);
    node->item = cq_arena_take(b->arena, room, sizeof *node->item);
    node->key = cq_arena_take(b->arena, room, sizeof *node->key);
    node->key_at = cq_arena_take(b->arena, room, sizeof *node->key_at);
    b->short_of_memory = b->short_of_memory || node->item == NULL || node->key == NULL || node->key_at == NULL;
    void *at = NULL;
    struct fy_node_pair *pair;
    while (!b->short_of_memory && (pair = fy_node_mapping_iterate(from, &at)) != NULL) {
        struct fy_node *key = fy_node_pair_key(pair);
        cq_node *here = &node->key_at[node->n];
        here->source = b->source;
        place(here, key != NULL && fy_node_is_scalar(key) ? fy_node_get_scalar_token(key) : NULL, node);
        node->key[node->n] = key != NULL && fy_node_is_scalar(key) ? scalar_text(b, key) : "?";
        node->item[node->n] = build(b, fy_node_pair_value(pair), here, depth + 1);
        if (node->n == 0) {
            node->line = here->line;
            node->column = here->column;
        }
        node->n++;
    }
    return node;
}

static cq_node *build(builder *b, struct fy_node *from, const cq_node *parent, int depth) {
    enum { DEEPEST = 32 };
    if (from != NULL && depth < DEEPEST && fy_node_is_sequence(from)) {
        return build_list(b, from, parent, depth);
    }
    if (from != NULL && depth < DEEPEST && fy_node_is_mapping(from)) {
        return build_map(b, from, parent, depth);
    }
    cq_node *node = take_node(b, CQ_NODE_TEXT);
    if (node != NULL) {
        place(node, from != NULL && fy_node_is_scalar(from) ? fy_node_get_scalar_token(from) : NULL, parent);
        node->text = from != NULL && fy_node_is_scalar(from) ? scalar_text(b, from) : "";
    }
    return node;
}

/* Text of line `line` of a source, without its newline. */
static void copy_line(const cq_source *source, int line, char *to, size_t size) {
    const char *p = source->text, *end = source->text + source->length;
    for (int n = 1; n < line && p < end; n++) {
        const char *newline = memchr(p, '\n', (size_t)(end - p));
        p = newline == NULL ? end : newline + 1;
    }
    size_t length = 0;
    while (p + length < end && p[length] != '\n' && p[length] != '\r' && length + 1 < size) {
        to[length] = p[length];
        length++;
    }
    to[length] = '\0';
}

void cq_node_complain(cq_error *error, cq_status status, const cq_node *at, const char *key, const char *expected,
                      const char *remedy, const char *found_format, ...) {
    cq_complaint c;
    memset(&c, 0, sizeof c);
    c.status = status;
    if (at != NULL && at->source != NULL) {
        c.line = at->line;
        c.column = at->column;
        snprintf(c.file, sizeof c.file, "%s", at->source->name);
        copy_line(at->source, at->line, c.source_line, sizeof c.source_line);
    }
    snprintf(c.key, sizeof c.key, "%s", key == NULL ? "" : key);
    snprintf(c.expected, sizeof c.expected, "%s", expected == NULL ? "" : expected);
    snprintf(c.remedy, sizeof c.remedy, "%s", remedy == NULL ? "" : remedy);
    va_list arguments;
    va_start(arguments, found_format);
    vsnprintf(c.found, sizeof c.found, found_format, arguments);
    va_end(arguments);
    cq_error_add(error, &c);
}

static void report_faults(struct fy_diag *diag, const cq_source *source, cq_error *error) {
    void *at = NULL;
    const struct fy_diag_error *fault;
    int told = 0;
    while ((fault = fy_diag_errors_iterate(diag, &at)) != NULL) {
        const cq_node here = {.source = source, .line = fault->line > 0 ? fault->line : 1, .column = fault->column > 0 ? fault->column : 1};
        const bool duplicate = strstr(fault->msg, "duplicate") != NULL;
        char line[96];
        copy_line(source, here.line, line, sizeof line);
        const int key = (int)strcspn(here.column <= (int)strlen(line) ? line + here.column - 1 : line, ":");
        if (duplicate) {
            cq_node_complain(error, CQ_ERR_PLAN, &here, "", "each key once", "remove one of the two", "duplicate key '%.*s'", key < 60 ? key : 60,
                             here.column <= (int)strlen(line) ? line + here.column - 1 : line);
        } else {
            cq_node_complain(error, CQ_ERR_PLAN, &here, "", "a YAML file", "check indentation, colons and brackets here", "%s", fault->msg);
        }
        told++;
    }
    if (told == 0) {
        const cq_node here = {.source = source, .line = 1, .column = 1};
        cq_node_complain(error, CQ_ERR_PLAN, &here, "", "a YAML file", "see the plan format in README.md", "text that is not YAML");
    }
}

cq_status cq_yaml_parse(cq_node **root, const cq_source *source, cq_arena *arena, cq_error *error) {
    if (memchr(source->text, '\0', source->length) != NULL) {
        const cq_node here = {.source = source, .line = 1, .column = 1};
        cq_node_complain(error, CQ_ERR_PLAN, &here, "", "a text file", "", "a binary file");
        return CQ_ERR_PLAN;
    }
    struct fy_diag_cfg diag_cfg;
    fy_diag_cfg_default(&diag_cfg);
    diag_cfg.fp = NULL;
    struct fy_diag *diag = fy_diag_create(&diag_cfg);
    if (diag == NULL) {
        return CQ_ERR_MEMORY;
    }
    fy_diag_set_collect_errors(diag, true);
    const struct fy_parse_cfg cfg = {.search_path = "", .flags = FYPCF_QUIET | FYPCF_COLLECT_DIAG | FYPCF_JSON_NONE | FYPCF_RESOLVE_DOCUMENT, .diag = diag};
    struct fy_document *document = fy_document_build_from_string(&cfg, source->text, source->length);
    cq_status status = CQ_OK;
    const bool said_nothing = document != NULL && fy_document_root(document) == NULL;
    if (said_nothing) {
        const cq_node here = {.source = source, .line = 1, .column = 1};
        cq_node_complain(error, CQ_ERR_PLAN, &here, "", "a mapping that begins with format: clayquench-plan 1", "see the plan format in README.md",
                         "an empty file");
        status = CQ_ERR_PLAN;
    } else if (document == NULL) {
        report_faults(diag, source, error);
        status = CQ_ERR_PLAN;
    } else {
        builder b = {source, arena, false};
        cq_node *tree = build(&b, fy_document_root(document), NULL, 0);
        status = b.short_of_memory ? CQ_ERR_MEMORY : CQ_OK;
        *root = tree;
    }
    fy_document_destroy(document);
    fy_diag_destroy(diag);
    return status;
}

cq_node *cq_node_find(const cq_node *map, const char *key) {
    for (size_t e = 0; map != NULL && map->kind == CQ_NODE_MAP && e < map->n; e++) {
        if (strcmp(map->key[e], key) == 0) {
            return map->item[e];
        }
    }
    return NULL;
}

cq_node *cq_node_overlay(const cq_node *base, const cq_node *over, cq_arena *arena) {
    const size_t room = base->n + over->n + 1;
    cq_node *node = cq_arena_take(arena, 1, sizeof *node);
    if (node == NULL) {
        return NULL;
    }
    *node = *over;
    node->n = 0;
    node->item = cq_arena_take(arena, room, sizeof *node->item);
    node->key = cq_arena_take(arena, room, sizeof *node->key);
    node->key_at = cq_arena_take(arena, room, sizeof *node->key_at);
    if (node->item == NULL || node->key == NULL || node->key_at == NULL) {
        return NULL;
    }
    const cq_node *layer[] = {base, over};
    for (size_t l = 0; l < 2; l++) {
        for (size_t e = 0; e < layer[l]->n; e++) {
            if (l == 0 && cq_node_find(over, base->key[e]) != NULL) {
                continue;
            }
            node->item[node->n] = layer[l]->item[e];
            node->key[node->n] = layer[l]->key[e];
            node->key_at[node->n++] = layer[l]->key_at[e];
        }
    }
    return node;
}
