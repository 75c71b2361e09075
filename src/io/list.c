/* list.c - what the profile folders hold. */
#include "io/reader.h"

#include <dirent.h>
#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char *const KINDS[] = {"blade", "steel", "clay", "bath", "plan"};

typedef struct listing {
    cq_profile_entry *entries;
    size_t n, room;
} listing;

static bool has(const listing *l, const cq_profile_entry *entry) {
    for (size_t e = 0; e < l->n; e++) {
        if (strcmp(l->entries[e].kind, entry->kind) == 0 && strcmp(l->entries[e].name, entry->name) == 0) {
            return true;
        }
    }
    return false;
}

static bool add(listing *l, const cq_profile_entry *entry) {
    if (l->n == l->room) {
        const size_t room = l->room > 0 ? 2 * l->room : 64;
        cq_profile_entry *grown = cq_memory_grow(l->entries, room, sizeof *grown);
        if (grown == NULL) {
            return false;
        }
        l->entries = grown;
        l->room = room;
    }
    l->entries[l->n++] = *entry;
    return true;
}

static int in_order(const void *a, const void *b) {
    const cq_profile_entry *x = a, *y = b;
    const int kind = strcmp(x->kind, y->kind);
    return kind != 0 ? kind : strcmp(x->name, y->name);
}

/* What a file name NAME.yaml in `folder` stands for; false if it is no profile's. */
static bool describe(cq_profile_entry *entry, const char *folder, const char *kind, const char *file) {
    const char *dot = strrchr(file, '.');
    if (dot == NULL || strcmp(dot, ".yaml") != 0 || file[0] == '.' || (size_t)(dot - file) >= sizeof entry->name) {
        return false;
    }
    memset(entry, 0, sizeof *entry);
    snprintf(entry->kind, sizeof entry->kind, "%s", kind);
    memcpy(entry->name, file, (size_t)(dot - file));
    if (snprintf(entry->path, sizeof entry->path, "%s/%s", folder, file) >= (int)sizeof entry->path) {
        return false;
    }
    cq_file_peek(entry->path, strcmp(kind, "plan") == 0 ? "title" : "summary", entry->summary, sizeof entry->summary);
    return true;
}

static cq_status list_folder(listing *l, const char *folder, const char *kind, cq_error *error) {
    char path[448]; /* leaves room for a name in an entry's path */
    if (snprintf(path, sizeof path, "%s/%ss", folder, kind) >= (int)sizeof path) {
        return cq_error_say(error, CQ_ERR_FILE, "", "a shorter path of the profile folder", "", "%s", folder);
    }
    DIR *directory = opendir(path);
    if (directory == NULL) {
        return CQ_OK; /* a folder need not hold every kind, nor exist */
    }
    cq_status status = CQ_OK;
    const struct dirent *file;
    while (status == CQ_OK && (file = readdir(directory)) != NULL) {
        cq_profile_entry entry;
        if (describe(&entry, path, kind, file->d_name) && !has(l, &entry) && !add(l, &entry)) {
            status = cq_error_say(error, CQ_ERR_MEMORY, "", "", "", "list of profiles");
        }
    }
    closedir(directory);
    return status;
}

cq_status cq_profile_list(const cq_search *search, cq_profile_entry **entries, size_t *n, cq_error *error) {
    listing l = {NULL, 0, 0};
    cq_status status = CQ_OK;
    for (size_t f = 0; f < search->n && status == CQ_OK; f++) {
        for (size_t k = 0; k < sizeof KINDS / sizeof KINDS[0] && status == CQ_OK; k++) {
            status = list_folder(&l, search->folders[f], KINDS[k], error);
        }
    }
    if (status < 0) {
        cq_memory_free(l.entries);
        return status;
    }
    if (l.n > 0) {
        qsort(l.entries, l.n, sizeof *l.entries, in_order);
    }
    *entries = l.entries;
    *n = l.n;
    return CQ_OK;
}

void cq_profile_list_free(cq_profile_entry *entries) {
    cq_memory_free(entries);
}
