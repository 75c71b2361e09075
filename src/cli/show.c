/* show.c - the command that prints a profile as it was written. */
#include "base/memory.h"
#include "cli/cli.h"
#include "io/reader.h"

#include <stdio.h>
#include <string.h>

static const cq_option options[] = {{0}};

/* What else bears the name: who wanted the blade need not guess why the plan came. */
static void tell_others(const char *name, const char *shown) {
    cq_profile_entry *entries = NULL;
    size_t n = 0;
    if (cq_profile_list(cq_search_default(), &entries, &n, NULL) < 0) {
        return;
    }
    for (size_t i = 0; i < n; i++) {
        if (strcmp(entries[i].name, name) == 0 && strcmp(entries[i].path, shown) != 0) {
            fprintf(stderr, "clayquench: there is a %s of that name too: clayquench show %s %s\n", entries[i].kind,
                    entries[i].kind, name);
        }
    }
    cq_profile_list_free(entries);
}

static int run(const cq_call *call) {
    const char *name = call->operands[call->operands_n - 1], *kind = NULL;
    if (call->operands_n > 1 && !cq_kind_wanted("show", call->operands[0], &kind)) {
        return CQ_EXIT_USAGE;
    }
    char path[512];
    const char *file = cq_path_of(name, kind, path);
    cq_error error = CQ_ERROR_INIT;
    cq_source source;
    cq_arena *arena = cq_arena_create();
    cq_status status = arena == NULL ? CQ_ERR_MEMORY : cq_file_load(&source, file, arena, &error);
    if (status >= 0) {
        fwrite(source.text, 1, source.length, stdout);
        if (kind == NULL && file == path) {
            fflush(stdout);
            tell_others(name, file);
        }
    }
    cq_arena_free(arena);
    return cq_exit_complaining(status, &error);
}

const cq_command cq_command_show = {
    .name = "show",
    .operands = "[KIND] NAME",
    .operands_min = 1,
    .operands_max = 2,
    .summary = "print a shipped or own profile",
    .description =
        "NAME is one that 'clayquench list' shows, or a file. KIND (steel, clay, bath, blade or plan) is needed\n"
        "only where two profiles share a name; without it the plan is shown. The text is printed as it was\n"
        "written, with its sources, ranges and uncertainties.\n",
    .options = options,
    .run = run,
};
