/* list.c - what the profile folders hold. */
#include "io/reader.h"

#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char *const KINDS[] = {"blade", "steel", "clay", "bath", "plan"};

/* Value of a top-level `key:` line, without parsing the file: enough for a list. */
static void peek(const char *path, const char *key, char *to, size_t size) {
    char line[512];
    to[0] = '\0';
    FILE *file = fopen(path, "r");
    const size_t n = strlen(key);
    while (file != NULL && fgets(line, sizeof line, file) != NULL) {
        if (strncmp(line, key, n) == 0 && line[n] == ':') {
            const char *value = line + n + 1 + strspn(line + n + 1, " \"");
            snprintf(to, size, "%s", value);
            to[strcspn(to, "\"\r\n")] = '\0';
            break;
        }
    }
    if (file != NULL) {
        fclose(file);
    }
}

static bool listed(const cq_profile_entry *entries, size_t n, const char *kind, const char *name) {
    for (size_t e = 0; e < n; e++) {
        if (strcmp(entries[e].kind, kind) == 0 && strcmp(entries[e].name, name) == 0) {
            return true;
        }
    }
    return false;
}

static int in_order(const void *a, const void *b) {
    const cq_profile_entry *x = a, *y = b;
    const int kind = strcmp(x->kind, y->kind);
    return kind != 0 ? kind : strcmp(x->name, y->name);
}

static cq_status list_folder(cq_profile_entry **entries, size_t *n, const char *folder, const char *kind) {
    char path[400];
    snprintf(path, sizeof path, "%s/%ss", folder, kind);
    DIR *directory = opendir(path);
    const struct dirent *file;
    cq_status status = CQ_OK;
    while (directory != NULL && status == CQ_OK && (file = readdir(directory)) != NULL) {
        const char *dot = strrchr(file->d_name, '.');
        if (dot == NULL || strcmp(dot, ".yaml") != 0 || dot == file->d_name || dot - file->d_name >= 64) {
            continue;
        }
        cq_profile_entry entry;
        memset(&entry, 0, sizeof entry);
        snprintf(entry.kind, sizeof entry.kind, "%s", kind);
        snprintf(entry.name, sizeof entry.name, "%.*s", (int)(dot - file->d_name), file->d_name);
        snprintf(entry.path, sizeof entry.path, "%.240s/%.250s", path, file->d_name);
        if (listed(*entries, *n, entry.kind, entry.name)) {
            continue;
        }
        peek(entry.path, strcmp(kind, "plan") == 0 ? "title" : "summary", entry.summary, sizeof entry.summary);
        cq_profile_entry *grown = cq_memory_grow(*entries, *n + 1, sizeof *grown);
        if (grown == NULL) {
            status = CQ_ERR_MEMORY;
        } else {
            *entries = grown;
            grown[(*n)++] = entry;
        }
    }
    if (directory != NULL) {
        closedir(directory);
    }
    return status;
}

cq_status cq_profile_list(const cq_search *search, cq_profile_entry **entries, size_t *n, cq_error *error) {
    cq_profile_entry *found = NULL;
    size_t count = 0;
    for (size_t f = 0; f < search->n; f++) {
        for (size_t k = 0; k < sizeof KINDS / sizeof KINDS[0]; k++) {
            if (list_folder(&found, &count, search->folders[f], KINDS[k]) != CQ_OK) {
                cq_memory_free(found);
                return cq_error_say(error, CQ_ERR_MEMORY, "", "", "", "list of profiles");
            }
        }
    }
    if (count > 0) {
        qsort(found, count, sizeof *found, in_order);
    }
    *entries = found;
    *n = count;
    return CQ_OK;
}

void cq_profile_list_free(cq_profile_entry *entries) {
    cq_memory_free(entries);
}
