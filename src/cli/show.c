/* show.c - the command that prints a profile as it was written. */
#include "base/memory.h"
#include "cli/cli.h"
#include "io/reader.h"

#include <stdio.h>

static const cq_option options[] = {{0}};

static int run(const cq_call *call) {
    char path[512];
    const char *file = cq_path_of(call->operands[0], NULL, path);
    cq_error error = CQ_ERROR_INIT;
    cq_source source;
    cq_arena *arena = cq_arena_create();
    cq_status status = arena == NULL ? CQ_ERR_MEMORY : cq_file_load(&source, file, arena, &error);
    if (status >= 0) {
        fwrite(source.text, 1, source.length, stdout);
    }
    cq_arena_free(arena);
    return cq_exit_complaining(status, &error);
}

const cq_command cq_command_show = {
    .name = "show",
    .operands = "NAME",
    .operands_min = 1,
    .operands_max = 1,
    .summary = "print a shipped or own profile",
    .description =
        "NAME is one that 'clayquench list' shows, or a file. The text is printed as it was written, with its\n"
        "sources, ranges and uncertainties.\n",
    .options = options,
    .run = run,
};
