/* folders.c - where the program looks for profiles: found from the environment and from where the program lies. */
#define _XOPEN_SOURCE 700
#include "cli/cli.h"

#include <limits.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

/* The user's folder after the XDG base directory specification: a relative XDG_DATA_HOME is to be ignored. */
static bool find_user_folder(char *folder, size_t size) {
    const char *data = getenv("XDG_DATA_HOME"), *home = getenv("HOME");
    int length;
    if (data != NULL && data[0] == '/') {
        length = snprintf(folder, size, "%s/clayquench/profiles", data);
    } else if (home != NULL && home[0] != '\0') {
        length = snprintf(folder, size, "%s/.local/share/clayquench/profiles", home);
    } else {
        return false;
    }
    return length > 0 && (size_t)length < size;
}

/* The installed folder lies at a fixed place relative to the program, whatever the prefix. The build tree has a link at
 * the same place, so an uninstalled program finds its profiles by the same rule. */
static bool find_installed_folder(char *folder, size_t size) {
    char program[PATH_MAX];
    ssize_t length = readlink("/proc/self/exe", program, sizeof program - 1);
    if (length <= 0) {
        return false;
    }
    program[length] = '\0';
    char *slash = strrchr(program, '/');
    if (slash == NULL) {
        return false;
    }
    *slash = '\0';
    int written = snprintf(folder, size, "%s/" CQ_PROFILES_FROM_PROGRAM, program);
    if (written <= 0 || (size_t)written >= size) {
        return false;
    }
    char plain[PATH_MAX]; /* shorter in messages: no "bin/../" */
    if (realpath(folder, plain) != NULL && strlen(plain) < size) {
        strcpy(folder, plain);
    }
    return true;
}

const cq_search *cq_search_default(void) {
    static char user[PATH_MAX], installed[PATH_MAX];
    static const char *folders[2];
    static cq_search search = {0, folders};
    if (search.n == 0) {
        if (find_user_folder(user, sizeof user)) {
            folders[search.n++] = user;
        }
        if (find_installed_folder(installed, sizeof installed)) {
            folders[search.n++] = installed;
        }
    }
    return &search;
}

bool cq_kind_wanted(const char *command, const char *word, const char **kind) {
    static const char *const kinds[] = {"steel", "clay", "bath", "blade", "plan"};
    for (size_t i = 0; i < sizeof kinds / sizeof kinds[0]; i++) {
        const size_t length = strlen(kinds[i]);
        if (strncmp(word, kinds[i], length) == 0 && (word[length] == '\0' || strcmp(word + length, "s") == 0)) {
            *kind = kinds[i];
            return true;
        }
    }
    fprintf(stderr, "clayquench %s: error: unknown kind '%s'; expected steel, clay, bath, blade or plan\n", command,
            word);
    return false;
}

const char *cq_path_of(const char *word, const char *kind, char *path) {
    if (strchr(word, '/') != NULL || access(word, F_OK) == 0) {
        return word;
    }
    cq_profile_entry *entries = NULL;
    size_t n = 0;
    if (cq_profile_list(cq_search_default(), &entries, &n, NULL) < 0) {
        return word;
    }
    const cq_profile_entry *found = NULL;
    for (size_t i = 0; i < n; i++) {
        const cq_profile_entry *e = &entries[i];
        const bool wanted = strcmp(e->name, word) == 0 && (kind == NULL || strcmp(e->kind, kind) == 0);
        if (wanted && (found == NULL || (strcmp(e->kind, "plan") == 0 && strcmp(found->kind, "plan") != 0))) {
            found = e;
        }
    }
    const char *to = found == NULL ? word : strcpy(path, found->path);
    cq_profile_list_free(entries);
    return to;
}
