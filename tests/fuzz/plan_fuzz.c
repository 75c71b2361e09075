/* plan_fuzz.c - any bytes as a plan: whatever they are, reading keeps its promises. Aborts where it does not. */
#include "base/units.h"

#include <clayquench/io.h>

#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

int LLVMFuzzerInitialize(int *argc, char ***argv);
int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

/* The unit database stays open, so that it is not loaded for every text. */
int LLVMFuzzerInitialize(int *argc, char ***argv) {
    static cq_units *units;
    (void)argc;
    (void)argv;
    units = cq_units_open();
    return units == NULL;
}

static void insist(int promise, const char *what) {
    if (!promise) {
        fprintf(stderr, "broken promise: %s\n", what);
        abort();
    }
}

static void check_complaint(const cq_complaint *c) {
    insist(c->status < 0, "a complaint says what kind it is");
    insist(c->found[0] != '\0', "a complaint says what was found");
    insist((c->line == 0) == (c->file[0] == '\0') || c->status == CQ_ERR_FILE, "a place has a file and a line");
    insist(c->line == 0 || c->column >= 1, "columns count from 1");
    for (const char *p = c->source_line; *p != '\0'; p++) {
        insist((unsigned char)*p >= 0x20 || *p == '\t', "no control characters reach a terminal");
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    static const char *const folders[] = {CQ_PROFILES};
    static const cq_search shipped = {1, folders};
    cq_error error = CQ_ERROR_INIT, again = CQ_ERROR_INIT;
    cq_plan plan;
    cq_plan_init(&plan);
    const cq_status status = cq_plan_read_text(&plan, (const char *)data, size, "fuzz.yaml", NULL, &shipped, &error);
    insist(error.lost == 0, "memory suffices");
    if (status >= 0) {
        insist(error.count == 0, "a good plan has no complaints");
        insist(cq_plan_check(&plan, &again) == CQ_OK, "a plan that was read makes sense");
        insist(plan.steps_n > 0 && plan.arena != NULL, "a plan that was read is there");
        insist(strlen(plan.text) == size && memcmp(plan.text, data, size) == 0, "the plan's text is kept");
    } else {
        insist(error.count > 0, "a failure says why");
        insist(plan.arena == NULL && plan.steps_n == 0, "a failed read leaves the plan alone");
        for (size_t c = 0; c < error.count; c++) {
            check_complaint(&error.items[c]);
            insist(c == 0 || strcmp(error.items[c].file, error.items[c - 1].file) != 0 ||
                       error.items[c].line >= error.items[c - 1].line,
                   "complaints come in the order of the file");
        }
    }
    cq_plan_clear(&plan);
    cq_error_clear(&error);
    cq_error_clear(&again);
    return 0;
}
