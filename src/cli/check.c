/* check.c - the command that says what is wrong with plans and profiles. */
#include "cli/cli.h"

#include <limits.h>
#include <stdio.h>

static const cq_option options[] = {{0}};

static int check_one(const char *word) {
    char path[512];
    const char *file = cq_path_of(word, NULL, path);
    cq_error error = CQ_ERROR_INIT;
    cq_status status = cq_file_check(file, cq_search_default(), &error);
    if (status >= 0) {
        printf("%s: no faults\n", file);
    } else if (error.count > 1) {
        printf("%s: %zu faults\n", file, error.count + error.lost);
    }
    fflush(stdout);
    return cq_exit_complaining(status, &error);
}

static int run(const cq_call *call) {
    int worst = CQ_EXIT_DONE;
    for (int i = 0; i < call->operands_n; i++) {
        int code = check_one(call->operands[i]);
        if (code > worst) {
            worst = code;
        }
    }
    return worst;
}

const cq_command cq_command_check = {
    .name = "check",
    .operands = "FILE...",
    .operands_min = 1,
    .operands_max = INT_MAX,
    .summary = "say what is wrong with a plan or profile",
    .description =
        "Every complaint of a file is shown at once: its place, what was found, what was expected, what to do.\n"
        "FILE is a plan or profile file, or the name of a shipped one.\n",
    .options = options,
    .run = run,
};
