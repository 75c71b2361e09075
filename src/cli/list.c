/* list.c - the command that lists shipped and own profiles. */
#include "cli/cli.h"

#include <stdio.h>
#include <string.h>

static const cq_option options[] = {{0}};

static int run(const cq_call *call) {
    const char *kind = NULL;
    if (call->operands_n > 0 && !cq_kind_wanted("list", call->operands[0], &kind)) {
        return CQ_EXIT_USAGE;
    }
    cq_error error = CQ_ERROR_INIT;
    cq_profile_entry *entries = NULL;
    size_t n = 0;
    cq_status status = cq_profile_list(cq_search_default(), &entries, &n, &error);
    for (size_t i = 0; status >= 0 && i < n; i++) {
        if (kind == NULL || strcmp(entries[i].kind, kind) == 0) {
            printf("%-6s %-20s %s\n", entries[i].kind, entries[i].name, entries[i].summary);
        }
    }
    cq_profile_list_free(entries);
    return cq_exit_complaining(status, &error);
}

const cq_command cq_command_list = {
    .name = "list",
    .operands = "[KIND]",
    .operands_min = 0,
    .operands_max = 1,
    .summary = "list shipped and own profiles",
    .description =
        "KIND is steel, clay, bath, blade or plan. Own profiles lie in $XDG_DATA_HOME/clayquench/profiles (or\n"
        "~/.local/share/clayquench/profiles), in folders steels, clays, baths, blades and plans.\n",
    .options = options,
    .run = run,
};
