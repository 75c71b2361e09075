/* explain.c - the command that says what a key or a code means. */
#include "cli/cli.h"

#include <stdio.h>

static const cq_option options[] = {{0}};

/* Every key there is, as the table that stands in README.md. */
static int print_keys(void) {
    char *text = NULL;
    cq_status status = cq_key_table_markdown(&text);
    if (status >= 0) {
        puts(text);
    }
    cq_text_free(text);
    cq_error none = CQ_ERROR_INIT;
    return cq_exit_complaining(status, &none);
}

static int run(const cq_call *call) {
    if (call->operands_n == 0) {
        return print_keys();
    }
    char nearest[64] = "";
    char *text = NULL;
    cq_status status = cq_explain(call->operands[0], &text, nearest);
    if (status < 0) {
        fprintf(stderr, "clayquench explain: error: unknown word '%s'", call->operands[0]);
        if (nearest[0] != '\0') {
            fprintf(stderr, "; did you mean '%s'?", nearest);
        }
        fputc('\n', stderr);
        return status == CQ_ERR_ARGUMENT ? CQ_EXIT_USAGE : cq_exit_of(status);
    }
    puts(text);
    cq_text_free(text);
    return CQ_EXIT_DONE;
}

const cq_command cq_command_explain = {
    .name = "explain",
    .operands = "[WORD]",
    .operands_min = 0,
    .operands_max = 1,
    .summary = "what a key, a verdict or a notice means",
    .description = "WORD is a key of a plan or profile (coat, blade.height), a key of the result (line.surface_mm), a\n"
                   "verdict or the code of a notice. Without WORD: a table of every key of plans and profiles.\n",
    .options = options,
    .run = run,
};
