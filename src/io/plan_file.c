/* plan_file.c - plans and profiles as files: read, check. */
#include "io/reader.h"

#include "quench/plan_check.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ---- the reader -------------------------------------------------------------------------------------------------- */

cq_status cq_reader_open(cq_reader *r, const char *folder, const cq_search *search, cq_error *error) {
    memset(r, 0, sizeof *r);
    r->folder = folder;
    r->search = search;
    r->error = error;
    r->told_before = error == NULL ? 0 : error->count;
    r->arena = cq_arena_create();
    if (r->arena == NULL) {
        return cq_error_say(error, CQ_ERR_MEMORY, "", "", "", "%s", cq_status_sentence(CQ_ERR_MEMORY));
    }
    r->units = cq_units_open();
    return CQ_OK;
}

/* True if complaint b belongs before a: complaints of `file` first, each file's in the order of its lines. */
static bool is_before(const cq_complaint *b, const cq_complaint *a, const char *file) {
    const bool a_own = strcmp(a->file, file) == 0, b_own = strcmp(b->file, file) == 0;
    if (strcmp(a->file, b->file) == 0) {
        return b->line < a->line || (b->line == a->line && b->column < a->column);
    }
    return b_own && !a_own;
}

/* Tell complaints in the order of the file, not of reading. Insertion: they are few and nearly in order. */
static void sort_complaints(cq_error *error, size_t first, const char *name) {
    char file[sizeof error->items->file];
    snprintf(file, sizeof file, "%.255s", name);
    for (size_t i = first + 1; i < error->count; i++) {
        const cq_complaint moving = error->items[i];
        size_t to = i;
        while (to > first && is_before(&moving, &error->items[to - 1], file)) {
            error->items[to] = error->items[to - 1];
            to--;
        }
        error->items[to] = moving;
    }
}

cq_status cq_reader_end(cq_reader *r, cq_status status, const char *name) {
    if (status < 0) {
        cq_arena_free(r->arena);
        r->arena = NULL;
        if (r->error != NULL && (status == CQ_ERR_MEMORY || r->error->count == r->told_before)) {
            cq_error_say(r->error, status, "", "", "", "%s", cq_status_sentence(status));
        }
    }
    if (r->error != NULL) {
        sort_complaints(r->error, r->told_before, name);
    }
    return status;
}

cq_status cq_reader_close(cq_reader *r, cq_status status, const char *name) {
    cq_units_close(r->units);
    return cq_reader_end(r, status, name);
}

/* ---- a whole plan ------------------------------------------------------------------------------------------------ */

static const char *format_of(cq_reader *r, const cq_node *root) {
    const cq_node *format = cq_node_find(root, "format");
    char found[128];
    if (root->kind != CQ_NODE_MAP) {
        const bool empty = root->kind == CQ_NODE_TEXT && root->text[0] == '\0';
        cq_reader_complain(r, root, "format", "a mapping that begins with format: clayquench-plan 1", "", "%s",
                           empty ? "an empty file" : cq_node_words(root, found, sizeof found));
    } else if (format == NULL || format->kind != CQ_NODE_TEXT) {
        cq_reader_complain(r, format == NULL ? root : format, "format", "format: clayquench-plan 1",
                           "add it as the first line", "no format");
    } else {
        return format->text;
    }
    return NULL;
}

/* The node a key path leads to, as far as it leads. */
static const cq_node *follow(const cq_node *root, const char *path) {
    const cq_node *at = root;
    while (*path != '\0') {
        char word[128];
        const size_t n = strcspn(path, ".");
        snprintf(word, sizeof word, "%.*s", (int)(n < 127 ? n : 127), path);
        const cq_node *next = cq_node_find(at, word);
        if (next == NULL && at->kind == CQ_NODE_LIST) {
            const unsigned long i = strtoul(word, NULL, 10);
            next = i < at->n ? at->item[i] : NULL;
        }
        if (next == NULL) {
            break;
        }
        at = next;
        path += n + (path[n] == '.' ? 1 : 0);
    }
    return at;
}

/* Length of the part of a key path that names an entry: "steps.1" of "steps.1.for", "blade" of "blade". */
static size_t entry_length(const char *key) {
    size_t length = strlen(key);
    for (const char *p = key; *p != '\0'; p++) {
        if (p[0] == '.' && p[1] >= '0' && p[1] <= '9') {
            length = (size_t)(p - key) + 1 + strspn(p + 1, "0123456789");
        }
    }
    return length;
}

/* True if the entry a key names has been complained about while reading: what the check makes of it is no news. */
static bool is_told(const cq_reader *r, size_t told, const char *key) {
    const size_t length = entry_length(key);
    for (size_t c = r->told_before; r->error != NULL && c < told; c++) {
        const char *other = r->error->items[c].key;
        if (strncmp(other, key, length) == 0 && (other[length] == '\0' || other[length] == '.')) {
            return true;
        }
    }
    return false;
}

/* What only the whole shows, told at the places of the keys it names. `prefix` is what key paths of the plan have
 * before those of `root`. */
static void check_whole(cq_reader *r, const cq_node *root, const char *prefix, const cq_plan *plan, unsigned parts) {
    cq_error whole = CQ_ERROR_INIT;
    const cq_status status = cq_plan_check_parts(plan, parts, &whole);
    const size_t told = r->error == NULL ? 0 : r->error->count;
    for (size_t c = 0; c < whole.count; c++) {
        const cq_complaint *from = &whole.items[c];
        const char *key = strncmp(from->key, prefix, strlen(prefix)) == 0 ? from->key + strlen(prefix) : from->key;
        if (r->status >= 0 || !is_told(r, told, key)) {
            cq_reader_complain(r, follow(root, key), key, from->expected, from->remedy, "%s", from->found);
        }
    }
    r->status = whole.lost > 0 || status == CQ_ERR_MEMORY ? CQ_ERR_MEMORY : r->status;
    cq_error_clear(&whole);
}

/* Names ("steel-1084") and texts of the profiles used, in the order of reading. */
static cq_status keep_profiles(cq_reader *r, cq_plan *plan) {
    size_t n = 0;
    for (const cq_profile_read *p = r->profiles; p != NULL; p = p->before) {
        n += p->used ? 1 : 0;
    }
    const char **names = cq_reader_take(r, n, sizeof *names), **texts = cq_reader_take(r, n, sizeof *texts);
    size_t at = n;
    for (const cq_profile_read *p = r->profiles; p != NULL && names != NULL && texts != NULL; p = p->before) {
        char name[96];
        if (!p->used) {
            continue;
        }
        snprintf(name, sizeof name, "%s-%s", p->kind, p->name);
        texts[--at] = p->source->text;
        names[at] = cq_arena_text(r->arena, name, strlen(name));
        if (names[at] == NULL) {
            return CQ_ERR_MEMORY;
        }
    }
    plan->profiles_n = n;
    plan->profile_names = names;
    plan->profile_texts = texts;
    return names == NULL || texts == NULL ? CQ_ERR_MEMORY : CQ_OK;
}

const char *cq_plan_format(cq_reader *r, const cq_node *root) {
    const char *format = format_of(r, root);
    if (format != NULL && strcmp(format, "clayquench-plan 1") != 0) {
        const bool newer = strncmp(format, "clayquench-plan ", 16) == 0;
        cq_reader_complain(r, cq_node_find(root, "format"), "format", "clayquench-plan 1",
                           newer ? "a newer program reads this plan" : "", "'%.60s'", format);
        return NULL;
    }
    return format;
}

cq_status cq_read_tree(cq_reader *r, const cq_node *root, const cq_source *source, cq_plan *plan) {
    cq_plan read;
    cq_plan_init(&read);
    const unsigned parts = cq_read_plan(r, root, &read);
    if (r->status != CQ_ERR_MEMORY) {
        check_whole(r, root, "", &read, parts);
    }
    const cq_status status = r->status < 0 ? r->status : keep_profiles(r, &read);
    if (status >= 0) {
        *plan = read;
        plan->file = source->name;
        plan->text = source->text;
        plan->arena = r->arena;
    }
    return status;
}

/* Read `source`, whose memory is the reader's arena, into *plan; the arena becomes the plan's. */
static cq_status read_source(cq_reader *r, const cq_source *source, cq_plan *plan) {
    cq_node *root = NULL;
    r->status = cq_yaml_parse(&root, source, r->arena, r->error);
    const char *format = root == NULL || r->status == CQ_ERR_MEMORY ? NULL : cq_plan_format(r, root);
    return format == NULL ? r->status : cq_read_tree(r, root, source, plan);
}

const char *cq_folder_of(const char *path, char folder[1024]) {
    const char *slash = strrchr(path, '/');
    if (slash == NULL) {
        return ".";
    }
    snprintf(folder, 1024, "%.*s", (int)(slash - path > 1000 ? 1000 : slash - path), path);
    return slash == path ? "/" : folder;
}

cq_status cq_plan_read(cq_plan *plan, const char *path, const cq_search *search, cq_error *error) {
    cq_reader r;
    cq_source source;
    char folder[1024];
    cq_status status = cq_reader_open(&r, cq_folder_of(path, folder), search, error);
    if (status < 0) {
        return status;
    }
    status = cq_file_load(&source, path, r.arena, error);
    status = status < 0 ? status : read_source(&r, &source, plan);
    return cq_reader_close(&r, status, path);
}

cq_status cq_plan_read_text(cq_plan *plan, const char *text, size_t length, const char *name, const char *folder,
                            const cq_search *search, cq_error *error) {
    cq_reader r;
    cq_status status = cq_reader_open(&r, folder, search, error);
    if (status < 0) {
        return status;
    }
    char *own = cq_arena_text(r.arena, text, length), *own_name = cq_arena_text(r.arena, name, strlen(name));
    const cq_source source = {own_name, own, length};
    status = own == NULL || own_name == NULL ? CQ_ERR_MEMORY : read_source(&r, &source, plan);
    return cq_reader_close(&r, status, name);
}

cq_status cq_plan_read_given(cq_plan *plan, const char *text, size_t length, const char *name,
                             const cq_given_profiles *given, cq_error *error) {
    cq_reader r;
    cq_status status = cq_reader_open(&r, NULL, NULL, error);
    if (status < 0) {
        return status;
    }
    r.given = given;
    char *own = cq_arena_text(r.arena, text, length), *own_name = cq_arena_text(r.arena, name, strlen(name));
    const cq_source source = {own_name, own, length};
    status = own == NULL || own_name == NULL ? CQ_ERR_MEMORY : read_source(&r, &source, plan);
    return cq_reader_close(&r, status, name);
}

/* ---- check ------------------------------------------------------------------------------------------------------- */

/* A profile by itself: its from: chain resolved, its fields read, and what sense they make together. */
static void check_profile(cq_reader *r, const cq_node *root, const char *kind) {
    cq_plan part;
    cq_bath bath;
    const cq_node *map = cq_reader_resolve(r, root, kind, "from");
    if (map == NULL) {
        return;
    }
    cq_plan_init(&part);
    if (strcmp(kind, "blade") == 0) {
        cq_read_blade(r, map, "", &part.blade);
    } else if (strcmp(kind, "steel") == 0) {
        cq_read_steel(r, map, "", &part.steel);
    } else if (strcmp(kind, "clay") == 0) {
        cq_read_clay(r, map, "", &part.clay);
    } else {
        cq_read_bath(r, map, "", &bath);
    }
    if (r->status >= 0 && strcmp(kind, "blade") == 0) {
        check_whole(r, map, "blade.", &part, CQ_PART_BLADE);
    } else if (r->status >= 0 && strcmp(kind, "steel") == 0) {
        check_whole(r, map, "steel.", &part, CQ_PART_STEEL);
    }
}

static const char *profile_kind(const char *format) {
    static const char *const kinds[] = {"blade", "steel", "clay", "bath"};
    for (size_t k = 0; format != NULL && k < sizeof kinds / sizeof kinds[0]; k++) {
        char wanted[64];
        snprintf(wanted, sizeof wanted, "clayquench-%s 1", kinds[k]);
        if (strcmp(format, wanted) == 0) {
            return kinds[k];
        }
    }
    return NULL;
}

static cq_status check_source(cq_reader *r, const cq_source *source) {
    cq_node *root = NULL;
    r->status = cq_yaml_parse(&root, source, r->arena, NULL); /* quietly: only to see what it is */
    const cq_node *format = root == NULL ? NULL : cq_node_find(root, "format");
    const char *kind = format != NULL && format->kind == CQ_NODE_TEXT ? profile_kind(format->text) : NULL;
    if (r->status == CQ_ERR_MEMORY) {
        return r->status;
    }
    if (kind == NULL) {
        cq_plan plan;
        cq_plan_init(&plan);
        return read_source(r, source, &plan); /* a plan, or nothing known; the arena stays the reader's */
    }
    r->status = cq_yaml_parse(&root, source, r->arena, r->error);
    if (root != NULL && r->status != CQ_ERR_MEMORY) {
        check_profile(r, root, kind);
    }
    return r->status;
}

cq_status cq_file_check(const char *path, const cq_search *search, cq_error *error) {
    cq_reader r;
    cq_source source;
    char folder[1024];
    cq_status status = cq_reader_open(&r, cq_folder_of(path, folder), search, error);
    if (status < 0) {
        return status;
    }
    status = cq_file_load(&source, path, r.arena, error);
    status = status < 0 ? status : check_source(&r, &source);
    status = cq_reader_close(&r, status, path);
    if (status >= 0) {
        cq_arena_free(r.arena);
    }
    return status;
}
