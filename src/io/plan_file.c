/* plan_file.c - plans and profiles as files: read, check. */
#include "io/reader.h"

#include <stdio.h>
#include <string.h>

static cq_status open_reader(cq_reader *r, const char *folder, const cq_search *search, cq_error *error) {
    memset(r, 0, sizeof *r);
    r->folder = folder;
    r->search = search;
    r->error = error;
    r->arena = cq_arena_create();
    r->units = r->arena == NULL ? NULL : cq_units_open();
    if (r->units != NULL) {
        return CQ_OK;
    }
    cq_arena_free(r->arena);
    return r->arena == NULL ? cq_error_say(error, CQ_ERR_MEMORY, "", "", "", "reader")
                            : cq_error_say(error, CQ_ERR_FILE, "", "UDUNITS-2's unit database", "install libudunits2-dev", "no unit database");
}

static const char *format_of(cq_reader *r, const cq_node *root) {
    const cq_node *format = root->kind == CQ_NODE_MAP ? cq_node_find(root, "format") : NULL;
    if (root->kind != CQ_NODE_MAP) {
        cq_reader_complain(r, CQ_ERR_PLAN, root, "format", "a mapping that begins with format: clayquench-plan 1", "",
                           root->text != NULL && root->text[0] == '\0' ? "an empty file" : "no mapping");
    } else if (format == NULL || format->kind != CQ_NODE_TEXT) {
        cq_reader_complain(r, CQ_ERR_PLAN, root, "format", "format: clayquench-plan 1", "add it as the first line", "no format");
    } else {
        return format->text;
    }
    return NULL;
}

/* Repeat complaints of the whole-plan check at the places of the keys they name. */
static void place_complaints(cq_reader *r, const cq_node *root, const cq_error *unplaced) {
    for (size_t c = 0; c < unplaced->count; c++) {
        const cq_complaint *from = &unplaced->items[c];
        char path[128];
        snprintf(path, sizeof path, "%s", from->key);
        const cq_node *at = root;
        for (char *word = strtok(path, "."); word != NULL && at != NULL; word = strtok(NULL, ".")) {
            const cq_node *next = cq_node_find(at, word);
            if (next == NULL) {
                break;
            }
            at = next;
        }
        cq_reader_complain(r, from->status, at, from->key, from->expected, from->remedy, "%s", from->found);
    }
}

static cq_status finish_plan(cq_reader *r, cq_plan *plan, const cq_source *source, const cq_node *root) {
    if (r->status >= 0) {
        cq_error unplaced = CQ_ERROR_INIT;
        cq_plan_check(plan, &unplaced);
        place_complaints(r, root, &unplaced);
        if (unplaced.lost > 0) {
            r->status = CQ_ERR_MEMORY;
        }
        cq_error_clear(&unplaced);
    }
    if (r->status < 0) {
        return r->status;
    }
    const char **names = cq_arena_take(r->arena, r->profiles_n + 1, sizeof *names);
    const char **texts = cq_arena_take(r->arena, r->profiles_n + 1, sizeof *texts);
    if (names == NULL || texts == NULL) {
        return CQ_ERR_MEMORY;
    }
    memcpy(names, r->profile_names, r->profiles_n * sizeof *names);
    memcpy(texts, r->profile_texts, r->profiles_n * sizeof *texts);
    plan->profiles_n = r->profiles_n;
    plan->profile_names = names;
    plan->profile_texts = texts;
    plan->file = source->name;
    plan->text = source->text;
    return CQ_OK;
}

/* Read `source`, whose memory is the reader's arena, into *plan; the arena becomes the plan's. */
static cq_status read_source(cq_reader *r, const cq_source *source, cq_plan *plan) {
    cq_node *root = NULL;
    cq_status status = cq_yaml_parse(&root, source, r->arena, r->error);
    if (status < 0) {
        return status;
    }
    const char *format = format_of(r, root);
    if (format == NULL) {
        return r->status;
    }
    if (strcmp(format, "clayquench-plan 1") != 0) {
        cq_reader_complain(r, CQ_ERR_PLAN, cq_node_find(root, "format"), "format", "clayquench-plan 1",
                           strncmp(format, "clayquench-plan ", 16) == 0 ? "a newer program reads this plan" : "", "'%.60s'", format);
        return r->status;
    }
    cq_plan read;
    cq_plan_init(&read);
    cq_read_plan(r, root, &read);
    status = finish_plan(r, &read, source, root);
    if (status >= 0) {
        *plan = read;
        plan->arena = r->arena;
    }
    return status;
}

static cq_status close_reader(cq_reader *r, cq_status status, cq_error *error) {
    cq_units_close(r->units);
    if (status < 0) {
        cq_arena_free(r->arena);
        if (status == CQ_ERR_MEMORY || (error != NULL && error->count == 0)) {
            cq_error_say(error, status, "", "", "", "%s", cq_status_sentence(status));
        }
    }
    return status;
}

static const char *folder_of(const char *path, char folder[1024]) {
    const char *slash = strrchr(path, '/');
    if (slash == NULL) {
        return ".";
    }
    snprintf(folder, 1024, "%.*s", (int)(slash - path > 1000 ? 1000 : slash - path), path);
    return slash == path ? "/" : folder;
}

cq_status cq_plan_read(cq_plan *plan, const char *path, const cq_search *search, cq_error *error) {
    cq_reader r;
    char folder[1024];
    cq_status status = open_reader(&r, folder_of(path, folder), search, error);
    if (status < 0) {
        return status;
    }
    cq_source source;
    status = cq_file_load(&source, path, r.arena, error);
    status = status < 0 ? status : read_source(&r, &source, plan);
    return close_reader(&r, status, error);
}

cq_status cq_plan_read_text(cq_plan *plan, const char *text, size_t length, const char *name, const char *folder,
                            const cq_search *search, cq_error *error) {
    cq_reader r;
    cq_status status = open_reader(&r, folder, search, error);
    if (status < 0) {
        return status;
    }
    char *own = cq_arena_text(r.arena, text, length), *own_name = cq_arena_text(r.arena, name, strlen(name));
    const cq_source source = {own_name, own, length};
    status = own == NULL || own_name == NULL ? CQ_ERR_MEMORY : read_source(&r, &source, plan);
    return close_reader(&r, status, error);
}

/* A profile by itself: its from: chain resolved and its fields read. */
static void check_profile(cq_reader *r, const cq_node *root, const char *kind) {
    union {
        cq_blade blade;
        cq_steel steel;
        cq_clay clay;
        cq_bath bath;
    } into;
    const cq_node *map = cq_reader_resolve(r, root, kind, "from");
    if (map == NULL) {
        return;
    }
    if (strcmp(kind, "blade") == 0) {
        cq_read_blade(r, map, "", &into.blade);
    } else if (strcmp(kind, "steel") == 0) {
        cq_read_steel(r, map, "", &into.steel);
    } else if (strcmp(kind, "clay") == 0) {
        cq_read_clay(r, map, "", &into.clay);
    } else {
        cq_read_bath(r, map, "", &into.bath);
    }
}

cq_status cq_file_check(const char *path, const cq_search *search, cq_error *error) {
    static const char *const kinds[] = {"blade", "steel", "clay", "bath"};
    cq_reader r;
    char folder[1024];
    cq_status status = open_reader(&r, folder_of(path, folder), search, error);
    if (status < 0) {
        return status;
    }
    cq_source source;
    cq_node *root = NULL;
    status = cq_file_load(&source, path, r.arena, error);
    status = status < 0 ? status : cq_yaml_parse(&root, &source, r.arena, error);
    const char *format = status < 0 ? NULL : format_of(&r, root);
    for (size_t k = 0; format != NULL && k < sizeof kinds / sizeof kinds[0]; k++) {
        char wanted[64];
        snprintf(wanted, sizeof wanted, "clayquench-%s 1", kinds[k]);
        if (strcmp(format, wanted) == 0) {
            check_profile(&r, root, kinds[k]);
            status = close_reader(&r, r.status, error);
            if (status >= 0) {
                cq_arena_free(r.arena);
            }
            return status;
        }
    }
    status = status < 0 ? status : r.status;
    if (status < 0) {
        return close_reader(&r, status, error);
    }
    cq_plan plan;
    cq_plan_init(&plan);
    status = close_reader(&r, read_source(&r, &source, &plan), error);
    if (status >= 0) {
        cq_plan_clear(&plan);
    }
    return status;
}
