/* kit.c - the command that writes how to make coupons, gauges and logs, and the evidence file to fill in. */
#include "cli/cli.h"

#include <clayquench/report_kit.h>
#include <stdio.h>
#include <string.h>

enum { FILE_NAME, PAPER };
static const cq_option options[] = {
    [FILE_NAME] = {"output", 'o', "FILE",
                   "FILE.html, FILE.pdf, or FILE.yaml for the evidence file alone; absent: kit.html"},
    [PAPER] = {"paper", 0, "PAPER", "of print and PDF: a4 (default) or letter"},
    {0},
};

static cq_status make_page(const char *to, cq_page_medium medium, cq_paper paper, cq_error *error) {
    cq_page_gaps gaps = {0};
    unsigned char *bytes = NULL;
    size_t length = 0;
    const cq_status status = cq_kit_page(medium, paper, &bytes, &length, &gaps, error);
    return cq_page_keep(status, to, bytes, length, &gaps, error);
}

static cq_status make_evidence(const char *to, cq_error *error) {
    char *text = NULL;
    cq_status status = cq_kit_evidence(&text);
    if (status < 0) {
        return cq_error_say(error, status, "", "", "", "%s", cq_status_sentence(status));
    }
    status = cq_file_write(to, text, strlen(text), error);
    cq_text_free(text);
    if (status >= 0) {
        printf("Written to %s.\n", to);
    }
    return status;
}

static int run(const cq_call *call) {
    const char *to = call->value[FILE_NAME] == NULL ? "kit.html" : call->value[FILE_NAME];
    cq_paper paper;
    cq_page_medium medium;
    cq_error error = CQ_ERROR_INIT;
    const bool evidence = cq_ends_in(to, ".yaml");
    if (!cq_paper_wanted("kit", call->value[PAPER], &paper) || (!evidence && !cq_medium_wanted("kit", to, &medium))) {
        return CQ_EXIT_USAGE;
    }
    const cq_status status = evidence ? make_evidence(to, &error) : make_page(to, medium, paper, &error);
    return cq_exit_complaining(status, &error);
}

const cq_command cq_command_kit = {
    .name = "kit",
    .operands = "",
    .operands_min = 0,
    .operands_max = 0,
    .summary = "how to make and read coupons, gauges and logs",
    .description =
        "Writes one page on how a shop makes what tune reads: stepped-clay coupon, bare wedge, shrinkage bar, a comb\n"
        "for wet clay drawn to true size, stations of an etched line, a thermocouple's log; with drawings, cautions "
        "and\n"
        "the evidence file to fill in. A name that ends in .yaml gets that file alone.\n",
    .options = options,
    .run = run,
};
