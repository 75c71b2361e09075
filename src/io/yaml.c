/* yaml.c - see yaml.h. */
#include "io/yaml.h"

#include <libfyaml.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

/* ---- complaints -------------------------------------------------------------------------------------------------- */

/* Length of the UTF-8 character at p of at most n bytes; 0 if it is none. */
static size_t utf8_length(const char *p, size_t n) {
    const unsigned char c = (unsigned char)*p;
    const size_t length = c < 0x80                ? 1
                          : c >= 0xC2 && c < 0xE0 ? 2
                          : c >= 0xE0 && c < 0xF0 ? 3
                          : c >= 0xF0 && c < 0xF5 ? 4
                                                  : 0;
    if (length == 0 || length > n) {
        return 0;
    }
    for (size_t i = 1; i < length; i++) {
        if (((unsigned char)p[i] & 0xC0) != 0x80) {
            return 0;
        }
    }
    return length;
}

/* Copy whole characters that fit; what would disturb a terminal becomes '?'. */
static void copy_clean(char *to, size_t size, const char *from, size_t length) {
    size_t at = 0;
    for (size_t i = 0; i < length;) {
        const size_t n = utf8_length(from + i, length - i);
        const bool odd = n == 0 || ((unsigned char)from[i] < 0x20 && from[i] != '\t') || from[i] == 0x7F;
        if (at + (odd ? 1 : n) >= size) {
            break;
        }
        if (odd) {
            to[at++] = '?';
            i++;
        } else {
            memcpy(to + at, from + i, n);
            at += n;
            i += n;
        }
    }
    to[at] = '\0';
}

/* Text of line `line` of a source, without its newline. */
static void copy_line(const cq_source *source, int line, char *to, size_t size) {
    const char *p = source->text, *end = source->text + source->length;
    for (int n = 1; n < line && p < end; n++) {
        const char *newline = memchr(p, '\n', (size_t)(end - p));
        p = newline == NULL ? end : newline + 1;
    }
    const char *stop = memchr(p, '\n', (size_t)(end - p));
    size_t length = (size_t)((stop == NULL ? end : stop) - p);
    while (length > 0 && p[length - 1] == '\r') {
        length--;
    }
    copy_clean(to, size, p, length);
}

void cq_node_complain(cq_error *error, cq_status status, const cq_node *at, const char *key, const char *expected,
                      const char *remedy, const char *found_format, ...) {
    cq_complaint c;
    char found[256];
    memset(&c, 0, sizeof c);
    c.status = status;
    if (at != NULL && at->source != NULL) {
        c.line = at->line;
        c.column = at->column;
        snprintf(c.file, sizeof c.file, "%s", at->source->name);
        copy_line(at->source, at->line, c.source_line, sizeof c.source_line);
    }
    va_list arguments;
    va_start(arguments, found_format);
    vsnprintf(found, sizeof found, found_format, arguments);
    va_end(arguments);
    copy_clean(c.found, sizeof c.found, found, strlen(found));
    copy_clean(c.key, sizeof c.key, key == NULL ? "" : key, key == NULL ? 0 : strlen(key));
    snprintf(c.expected, sizeof c.expected, "%s", expected == NULL ? "" : expected);
    snprintf(c.remedy, sizeof c.remedy, "%s", remedy == NULL ? "" : remedy);
    cq_error_add(error, &c);
}

char *cq_node_words(const cq_node *node, char *to, size_t size) {
    if (node == NULL || (node->kind == CQ_NODE_TEXT && node->text[0] == '\0')) {
        snprintf(to, size, "nothing");
    } else if (node->kind == CQ_NODE_TEXT) {
        snprintf(to, size, "'%.60s'", node->text);
    } else {
        snprintf(to, size, "%s", node->kind == CQ_NODE_MAP ? "a mapping" : "a list");
    }
    return to;
}

/* ---- libfyaml's tree into ours ----------------------------------------------------------------------------------- */

enum { MOST_ENTRIES = 1000, MOST_ITEMS = 20000 }; /* beyond it is no plan, and keys are compared with one another */

typedef struct builder {
    const cq_source *source;
    cq_arena *arena;
    cq_error *error;
    cq_status status;
    bool incomplete; /* something was left out that the rest cannot be judged without */
} builder;

static bool is_short(builder *b, const void *block) {
    b->status = block == NULL ? CQ_ERR_MEMORY : b->status;
    return block == NULL;
}

static void refuse(builder *b, const cq_node *at, const char *expected, const char *remedy, const char *found) {
    cq_node_complain(b->error, CQ_ERR_PLAN, at, "", expected, remedy, "%s", found);
    b->status = b->status == CQ_ERR_MEMORY ? b->status : CQ_ERR_PLAN;
}

static void place(cq_node *node, struct fy_token *token, const cq_node *fallback) {
    const struct fy_mark *mark = token == NULL ? NULL : fy_token_start_mark(token);
    node->line = mark != NULL ? mark->line + 1 : (fallback != NULL ? fallback->line : 1);
    node->column = mark != NULL ? mark->column + 1 : (fallback != NULL ? fallback->column : 1);
}

static cq_node *take_node(builder *b, cq_node_kind kind, struct fy_token *token, const cq_node *fallback) {
    cq_node *node = cq_arena_take(b->arena, 1, sizeof *node);
    if (!is_short(b, node)) {
        node->kind = kind;
        node->source = b->source;
        node->text = "";
        place(node, token, fallback);
    }
    return node;
}

static char *scalar_text(builder *b, struct fy_node *from) {
    size_t length = 0;
    const char *text = fy_node_get_scalar(from, &length);
    char *copy = cq_arena_text(b->arena, text == NULL ? "" : text, text == NULL ? 0 : length);
    is_short(b, copy);
    return copy;
}

static cq_node *build(builder *b, struct fy_node *from, const cq_node *parent, int depth);

/* An empty text in place of what is too large to be meant. */
static cq_node *refuse_size(builder *b, const cq_node *parent, const char *expected) {
    cq_node *node = take_node(b, CQ_NODE_TEXT, NULL, parent);
    if (node != NULL) {
        refuse(b, node, expected, "", "more entries than a plan can mean");
        b->incomplete = true;
    }
    return node;
}

/* An item of a list stands where its own first entry stands. */
static void place_at_first(cq_node *node, const cq_node *parent, const cq_node *first) {
    if (parent == NULL || parent->kind == CQ_NODE_LIST) {
        node->line = first->line;
        node->column = first->column;
    }
}

static cq_node *build_list(builder *b, struct fy_node *from, const cq_node *parent, int depth) {
    const int count = fy_node_sequence_item_count(from);
    if (count > MOST_ITEMS) {
        return refuse_size(b, parent, "a shorter list");
    }
    cq_node *node = take_node(b, CQ_NODE_LIST, NULL, parent);
    if (node == NULL ||
        is_short(b, node->item = cq_arena_take(b->arena, (size_t)(count > 0 ? count : 1), sizeof *node->item))) {
        return NULL;
    }
    void *at = NULL;
    struct fy_node *child;
    while ((child = fy_node_sequence_iterate(from, &at)) != NULL) {
        cq_node *item = build(b, child, node, depth + 1);
        if (item == NULL) {
            return NULL;
        }
        node->item[node->n++] = item;
    }
    if (node->n > 0) {
        place_at_first(node, parent, node->item[0]);
    }
    return node;
}

/* One pair into the map; false when memory is short. A key met before is complained about and left out. */
static bool build_pair(builder *b, cq_node *map, struct fy_node_pair *pair, int depth) {
    struct fy_node *key = fy_node_pair_key(pair);
    const bool plain = key != NULL && fy_node_is_scalar(key);
    cq_node *here = &map->key_at[map->n];
    *here = (cq_node){.kind = CQ_NODE_TEXT, .source = b->source, .text = ""};
    place(here, plain ? fy_node_get_scalar_token(key) : NULL, map);
    const char *text = plain ? scalar_text(b, key) : "";
    if (text == NULL) {
        return false;
    }
    if (text[0] == '\0') {
        refuse(b, here, "a word before the colon", "write the key as plain text", "a key that is no word");
        return true;
    }
    for (size_t e = 0; e < map->n; e++) {
        if (strcmp(map->key[e], text) == 0) {
            char found[160];
            snprintf(found, sizeof found, "duplicate key '%.60s'; the first is on line %d", text, map->key_at[e].line);
            refuse(b, here, "each key once", "remove one of the two", found);
            return true;
        }
    }
    cq_node *value = build(b, fy_node_pair_value(pair), here, depth + 1);
    if (value == NULL) {
        return false;
    }
    map->key[map->n] = text;
    map->item[map->n++] = value;
    return true;
}

static bool take_entries(cq_arena *arena, cq_node *map, size_t room) {
    map->item = cq_arena_take(arena, room, sizeof *map->item);
    map->key = cq_arena_take(arena, room, sizeof *map->key);
    map->key_at = cq_arena_take(arena, room, sizeof *map->key_at);
    return map->item != NULL && map->key != NULL && map->key_at != NULL;
}

static cq_node *build_map(builder *b, struct fy_node *from, const cq_node *parent, int depth) {
    const int count = fy_node_mapping_item_count(from);
    if (count > MOST_ENTRIES) {
        return refuse_size(b, parent, "a mapping with fewer keys");
    }
    cq_node *node = take_node(b, CQ_NODE_MAP, NULL, parent);
    if (node == NULL || !take_entries(b->arena, node, (size_t)(count > 0 ? count : 1))) {
        b->status = CQ_ERR_MEMORY;
        return NULL;
    }
    void *at = NULL;
    struct fy_node_pair *pair;
    while ((pair = fy_node_mapping_iterate(from, &at)) != NULL) {
        if (!build_pair(b, node, pair, depth)) {
            return NULL;
        }
    }
    if (node->n > 0) {
        place_at_first(node, parent, &node->key_at[0]);
    }
    return node;
}

/* NULL only when memory is short. */
static cq_node *build(builder *b, struct fy_node *from, const cq_node *parent, int depth) {
    enum { DEEPEST = 100 }; /* libfyaml stops before */
    const bool scalar = from != NULL && fy_node_is_scalar(from), deep = depth > DEEPEST;
    if (from != NULL && !scalar && !deep) {
        return fy_node_is_sequence(from) ? build_list(b, from, parent, depth) : build_map(b, from, parent, depth);
    }
    cq_node *node = take_node(b, CQ_NODE_TEXT, scalar ? fy_node_get_scalar_token(from) : NULL, parent);
    if (node == NULL) {
        return NULL;
    }
    if (deep) {
        refuse(b, node, "a plan or profile", "", "mappings and lists nested beyond reason");
        b->incomplete = true;
    } else if (scalar && fy_node_is_alias(from)) { /* a few aliases of aliases can unfold to gigabytes */
        refuse(b, node, "the text itself", "write it out: aliases are not followed", "an alias (*)");
        b->incomplete = true;
    } else if (scalar && is_short(b, node->text = scalar_text(b, from))) {
        return NULL;
    }
    return node;
}

/* ---- parsing ----------------------------------------------------------------------------------------------------- */

static cq_status fault_at(const cq_source *source, int line, int column, const char *expected, const char *remedy,
                          const char *found, cq_error *error) {
    const cq_node here = {.source = source, .line = line > 0 ? line : 1, .column = column > 0 ? column : 1};
    cq_node_complain(error, CQ_ERR_PLAN, &here, "", expected, remedy, "%s", found);
    return CQ_ERR_PLAN;
}

/* libfyaml takes broken UTF-8 for the end of a text, so it is looked for first. */
static cq_status check_bytes(const cq_source *source, cq_error *error) {
    int line = 1, column = 1;
    for (size_t i = 0; i < source->length;) {
        const size_t n = utf8_length(source->text + i, source->length - i);
        if (source->text[i] == '\0') {
            return fault_at(source, line, column, "a text file", "", "a binary file", error);
        }
        if (n == 0) {
            return fault_at(source, line, column, "text in UTF-8", "save the file as UTF-8", "a byte that is not UTF-8",
                            error);
        }
        column = source->text[i] == '\n' ? 1 : column + 1;
        line += source->text[i] == '\n' ? 1 : 0;
        i += n;
    }
    return CQ_OK;
}

static cq_status report_faults(struct fy_diag *diag, const cq_source *source, cq_error *error) {
    void *at = NULL;
    const struct fy_diag_error *fault;
    size_t told = 0;
    while ((fault = fy_diag_errors_iterate(diag, &at)) != NULL) {
        fault_at(source, fault->line, fault->column, "a YAML file",
                 "check indentation, colons, quotes and brackets here", fault->msg, error);
        told++;
    }
    if (told == 0) {
        fault_at(source, 1, 1, "a YAML file", "", "text that is not YAML", error);
    }
    return CQ_ERR_PLAN;
}

/* The one document of the text; NULL if there is none. CQ_ERR_PLAN with complaints if the text is broken or goes on. */
static cq_status load_document(struct fy_parser *parser, struct fy_diag *diag, const cq_source *source,
                               struct fy_document **document, cq_error *error) {
    *document = fy_parse_load_document(parser);
    struct fy_document *second = *document == NULL ? NULL : fy_parse_load_document(parser);
    const bool more = second != NULL;
    fy_parse_document_destroy(parser, second);
    if (fy_parser_get_stream_error(parser)) {
        return report_faults(diag, source, error);
    }
    if (more) {
        return fault_at(source, 1, 1, "one document", "remove what follows the line ---", "a file of several documents",
                        error);
    }
    return CQ_OK;
}

cq_status cq_yaml_parse(cq_node **root, const cq_source *source, cq_arena *arena, cq_error *error) {
    *root = NULL;
    const cq_status bytes = check_bytes(source, error);
    if (bytes < 0) {
        return bytes;
    }
    struct fy_diag_cfg diag_cfg;
    fy_diag_cfg_default(&diag_cfg);
    diag_cfg.fp = NULL; /* the library never prints */
    struct fy_diag *diag = fy_diag_create(&diag_cfg);
    if (diag == NULL) {
        return CQ_ERR_MEMORY;
    }
    fy_diag_set_collect_errors(diag, true);
    const struct fy_parse_cfg cfg = {.search_path = "",
                                     .flags = FYPCF_QUIET | FYPCF_COLLECT_DIAG | FYPCF_JSON_NONE |
                                              FYPCF_ALLOW_DUPLICATE_KEYS,
                                     .diag = diag};
    struct fy_parser *parser = fy_parser_create(&cfg);
    builder b = {source, arena, error, CQ_ERR_MEMORY, false};
    if (parser != NULL && fy_parser_set_string(parser, source->text, source->length) == 0) {
        struct fy_document *document;
        b.status = load_document(parser, diag, source, &document, error);
        if (b.status == CQ_OK) {
            cq_node *tree = build(&b, document == NULL ? NULL : fy_document_root(document), NULL, 0);
            *root = b.incomplete ? NULL : tree;
        }
        fy_parse_document_destroy(parser, document);
    }
    fy_parser_destroy(parser);
    fy_diag_destroy(diag);
    return b.status;
}

/* ---- maps -------------------------------------------------------------------------------------------------------- */

static size_t index_of(const cq_node *map, const char *key) {
    size_t e = 0;
    while (e < map->n && strcmp(map->key[e], key) != 0) {
        e++;
    }
    return e;
}

cq_node *cq_node_find(const cq_node *map, const char *key) {
    const size_t e = map != NULL && map->kind == CQ_NODE_MAP ? index_of(map, key) : 0;
    return map != NULL && map->kind == CQ_NODE_MAP && e < map->n ? map->item[e] : NULL;
}

const cq_node *cq_node_key(const cq_node *map, const char *key) {
    const size_t e = map->kind == CQ_NODE_MAP ? index_of(map, key) : map->n;
    return e < map->n ? &map->key_at[e] : map;
}

cq_node *cq_node_overlay(const cq_node *base, const cq_node *over, cq_arena *arena) {
    cq_node *node = cq_arena_take(arena, 1, sizeof *node);
    if (node == NULL) {
        return NULL;
    }
    *node = *over;
    node->n = 0;
    if (!take_entries(arena, node, base->n + over->n + 1)) {
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
