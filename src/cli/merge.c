/* merge.c - the command that joins the parts of a study. */
#include "cli/cli.h"

#include <clayquench/study_file.h>
#include <stdio.h>

enum { FILE_NAME };
static const cq_option options[] = {
    [FILE_NAME] = {"output", 'o', "FILE", "the joined study's file, for instance whole/study.h5"},
    {0},
};

static int run(const cq_call *call) {
    cq_error error = CQ_ERROR_INIT;
    const char *to = call->value[FILE_NAME];
    if (to == NULL) {
        fputs("clayquench merge: error: no -o FILE; expected the joined study's file\n", stderr);
        return CQ_EXIT_USAGE;
    }
    const cq_status status =
        cq_study_files_merge(to, (const char *const *)call->operands, (size_t)call->operands_n, &error);
    const int code = cq_exit_complaining(status, &error);
    if (code == CQ_EXIT_DONE) {
        printf("%d part%s joined in %s.\n", call->operands_n, call->operands_n == 1 ? "" : "s", to);
    }
    return code;
}

const cq_command cq_command_merge = {
    .name = "merge",
    .operands = "FILE...",
    .operands_min = 1,
    .operands_max = 1000000,
    .summary = "join the parts of a study",
    .description =
        "Each FILE is the study.h5 of one part, made with --part I/N. The joined file is byte for byte that\n"
        "of the study made in one piece; 'spread', 'compare' and 'map' read it. Parts of different studies,\n"
        "parts that overlap, are missing or not finished are told, and nothing is written then. A file that is there\n"
        "already is only replaced if it holds a study and is none of the parts.\n",
    .options = options,
    .run = run,
};
