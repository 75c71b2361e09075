/* lookup.c - names into profiles: where they lie, and what from: lays over what. */
#include "io/reader.h"

#include <stdio.h>
#include <string.h>
#include <unistd.h>

enum { PATH_SIZE = 1024, DEEPEST = 16 };

static bool is_name(const char *name) {
    const size_t n = strlen(name);
    return n > 0 && n < 64 && strpbrk(name, "/\\") == NULL && name[0] != '.';
}

static bool is_there(char path[PATH_SIZE], const char *folder, const char *kind, const char *name) {
    return snprintf(path, PATH_SIZE, "%s/%ss/%s.yaml", folder, kind, name) < PATH_SIZE && access(path, F_OK) == 0;
}

/* Beside the plan (where a plan and its blade may share a name, so the file must say its kind), then in the search
 * folders. */
static bool find_profile(const cq_reader *r, const char *kind, const char *name, char path[PATH_SIZE]) {
    if (r->folder != NULL) {
        char format[64], wanted[64];
        snprintf(wanted, sizeof wanted, "clayquench-%s ", kind);
        if (snprintf(path, PATH_SIZE, "%s/%s.yaml", r->folder, name) < PATH_SIZE) {
            cq_file_peek(path, "format", format, sizeof format);
            if (strncmp(format, wanted, strlen(wanted)) == 0) {
                return true;
            }
        }
        if (is_there(path, r->folder, kind, name)) {
            return true;
        }
    }
    for (size_t f = 0; r->search != NULL && f < r->search->n; f++) {
        if (is_there(path, r->search->folders[f], kind, name)) {
            return true;
        }
    }
    return false;
}

static void complain_of_name(cq_reader *r, const cq_node *at, const char *kind, const char *key, const char *name) {
    char expected[64], remedy[160];
    cq_profile_entry *entries = NULL;
    size_t n = 0, best = 4;
    snprintf(expected, sizeof expected, "the name of a known %s profile", kind);
    snprintf(remedy, sizeof remedy, "'clayquench list %s' shows them", kind);
    if (r->search != NULL && strlen(name) < 64) {
        cq_profile_list(r->search, &entries, &n, NULL);
    }
    for (size_t e = 0; e < n; e++) {
        const size_t distance = strcmp(entries[e].kind, kind) == 0 ? cq_word_distance(name, entries[e].name) : best;
        if (distance < best && distance < strlen(entries[e].name)) {
            best = distance;
            snprintf(remedy, sizeof remedy, "did you mean '%s'? 'clayquench list %s' shows all", entries[e].name, kind);
        }
    }
    cq_profile_list_free(entries);
    cq_reader_complain(r, at, key, expected, remedy, "no %s profile '%.60s'", kind, name);
}

static bool has_format(cq_reader *r, const cq_node *root, const char *kind) {
    char wanted[64], found[128];
    snprintf(wanted, sizeof wanted, "clayquench-%s 1", kind);
    const cq_node *format = cq_node_find(root, "format");
    if (format != NULL && format->kind == CQ_NODE_TEXT && strcmp(format->text, wanted) == 0) {
        return true;
    }
    cq_reader_complain(r, format == NULL ? root : format, "format", wanted,
                       format == NULL ? "add it as the first line" : "", "%s",
                       cq_node_words(format, found, sizeof found));
    return false;
}

/* Text of a profile that was given; NULL if it was not. */
static const char *given_text(const cq_reader *r, const char *kind, const char *name) {
    char wanted[128];
    snprintf(wanted, sizeof wanted, "%s-%s", kind, name);
    for (size_t n = 0; n < r->given->n; n++) {
        if (strcmp(r->given->names[n], wanted) == 0) {
            return r->given->texts[n];
        }
    }
    return NULL;
}

static cq_status load_text(cq_reader *r, cq_source *source, const char *name, const char *text) {
    char *own = cq_arena_text(r->arena, text, strlen(text)), *own_name = cq_arena_text(r->arena, name, strlen(name));
    if (own == NULL || own_name == NULL) {
        return CQ_ERR_MEMORY;
    }
    *source = (cq_source){own_name, own, strlen(own)};
    return CQ_OK;
}

/* Read the file of a profile into `p`; p->root stays NULL if it has faults. False when memory is short. */
static bool read_profile(cq_reader *r, cq_profile_read *p, const char *path) {
    cq_source *source = cq_reader_take(r, 1, sizeof *source);
    cq_node *root = NULL;
    if (source == NULL) {
        return false;
    }
    cq_status status = r->given != NULL ? load_text(r, source, p->name, given_text(r, p->kind, p->name))
                                        : cq_file_load(source, path, r->arena, r->error);
    p->source = status < 0 ? NULL : source;
    status = status < 0 ? status : cq_yaml_parse(&root, source, r->arena, r->error);
    if (status < 0) {
        r->status = status == CQ_ERR_MEMORY || r->status >= 0 ? status : r->status;
        r->faults++;
    } else if (has_format(r, root, p->kind)) {
        p->root = root;
    }
    return status != CQ_ERR_MEMORY;
}

static cq_profile_read *find_read(const cq_reader *r, const char *kind, const char *name) {
    cq_profile_read *p = r->profiles;
    while (p != NULL && (strcmp(p->kind, kind) != 0 || strcmp(p->name, name) != 0)) {
        p = p->before;
    }
    return p;
}

static size_t count_open(const cq_reader *r) {
    size_t open = 0;
    for (const cq_profile_read *p = r->profiles; p != NULL; p = p->before) {
        open += p->open ? 1 : 0;
    }
    return open;
}

static const cq_node *load_profile(cq_reader *r, const cq_node *at, const char *kind, const char *key,
                                   const char *name) {
    char path[PATH_SIZE];
    cq_profile_read *p = find_read(r, kind, name);
    if (p != NULL && p->open) {
        cq_reader_complain(r, at, key, "the name of another profile",
                           "break the circle of from:", "'%.60s', a profile that names itself", name);
        return NULL;
    }
    if (count_open(r) >= DEEPEST) {
        cq_reader_complain(r, at, key, "fewer profiles, each from another", "",
                           "'%.60s' at the end of a long chain of from:", name);
        return NULL;
    }
    if (p == NULL) {
        const bool there =
            r->given != NULL ? given_text(r, kind, name) != NULL : is_name(name) && find_profile(r, kind, name, path);
        if (!there) {
            complain_of_name(r, at, kind, key, name);
            return NULL;
        }
        p = cq_reader_take(r, 1, sizeof *p);
        char *kept = p == NULL ? NULL : cq_arena_text(r->arena, name, strlen(name));
        if (kept == NULL) {
            r->status = CQ_ERR_MEMORY;
            return NULL;
        }
        *p = (cq_profile_read){.kind = kind, .name = kept, .before = r->profiles};
        r->profiles = p;
        if (!read_profile(r, p, path)) {
            return NULL;
        }
    }
    if (p->root == NULL) {
        return NULL; /* told when it was read */
    }
    p->used = p->open = true;
    const cq_node *resolved = cq_reader_resolve(r, p->root, kind, key);
    p->open = false;
    return resolved;
}

/* A batch certificate replaces the elements it names, also those of a profile's own batch; but a whole new composition
 * leaves nothing of the profile's batch. */
static bool lay_batch(cq_reader *r, cq_node *laid, const cq_node *base, const cq_node *over) {
    const cq_node *under = cq_node_find(base, "batch"), *upper = cq_node_find(over, "batch");
    if (under == NULL || under->kind != CQ_NODE_MAP) {
        return true;
    }
    for (size_t e = 0; e < laid->n; e++) {
        if (strcmp(laid->key[e], "batch") != 0) {
            continue;
        }
        if (cq_node_find(over, "composition") == NULL && upper != NULL && upper->kind == CQ_NODE_MAP) {
            laid->item[e] = cq_node_overlay(under, upper, r->arena);
            return laid->item[e] != NULL;
        }
        if (cq_node_find(over, "composition") != NULL && upper == NULL) {
            laid->n--; /* forget it: the last entry takes its place */
            laid->key[e] = laid->key[laid->n];
            laid->item[e] = laid->item[laid->n];
            laid->key_at[e] = laid->key_at[laid->n];
        }
    }
    return true;
}

const cq_node *cq_reader_resolve(cq_reader *r, const cq_node *node, const char *kind, const char *key) {
    char found[128];
    if (node->kind == CQ_NODE_TEXT) {
        return load_profile(r, node, kind, key, node->text);
    }
    if (node->kind != CQ_NODE_MAP) {
        cq_reader_complain(r, node, key, "a profile's name or a mapping", "", "a list");
        return NULL;
    }
    const cq_node *from = cq_node_find(node, "from"),
                  *grade = strcmp(kind, "steel") == 0 ? cq_node_find(node, "grade") : NULL;
    if (from != NULL && grade != NULL) {
        cq_reader_complain(r, grade, key, "from: or grade:, not both", "remove one of the two", "two names of steels");
        return NULL;
    }
    from = from == NULL ? grade : from;
    if (from == NULL) {
        return node;
    }
    if (from->kind != CQ_NODE_TEXT) {
        cq_reader_complain(r, from, key, "the name of a profile", "", "%s", cq_node_words(from, found, sizeof found));
        return NULL;
    }
    const cq_node *base = load_profile(r, from, kind, key, from->text);
    if (base == NULL) {
        return NULL;
    }
    cq_node *laid = cq_node_overlay(base, node, r->arena);
    if (laid == NULL || !lay_batch(r, laid, base, node)) {
        r->status = CQ_ERR_MEMORY;
        return NULL;
    }
    return laid;
}
