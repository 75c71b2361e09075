/* complaint.c - prints complaints for a person, and gives the exit that fits a status. */
#include "cli/cli.h"

#include <stdio.h>

/* Under `line`, a caret below `column` (from 1, counted in characters); tabs are kept so that it stays aligned. */
static void print_caret(const char *line, int column) {
    int at = 1;
    for (const char *c = line; *c != '\0' && at < column; c++) {
        if (((unsigned char)*c & 0xC0) == 0x80) { /* inside a UTF-8 character */
            continue;
        }
        fputc(*c == '\t' ? '\t' : ' ', stderr);
        at++;
    }
    fputs("^\n", stderr);
}

static void print_one(const cq_complaint *one) {
    if (one->file[0] == '\0') {
        fputs("clayquench: ", stderr);
    } else if (one->line <= 0) {
        fprintf(stderr, "%s: ", one->file);
    } else {
        fprintf(stderr, "%s:%d:%d: ", one->file, one->line, one->column);
    }
    fputs(one->status < 0 ? "error: " : "note: ", stderr);
    if (one->key[0] != '\0') {
        fprintf(stderr, "%s: ", one->key);
    }
    fputs(one->found[0] != '\0' ? one->found : cq_status_sentence(one->status), stderr);
    if (one->expected[0] != '\0') {
        fprintf(stderr, "; expected %s", one->expected);
    }
    fputc('\n', stderr);
    if (one->line > 0) {
        fprintf(stderr, "%6d | %s\n       | ", one->line, one->source_line);
        print_caret(one->source_line, one->column);
    }
    if (one->remedy[0] != '\0') {
        fprintf(stderr, "         %s\n", one->remedy);
    }
}

void cq_complaints_print(const cq_error *error) {
    for (size_t i = 0; i < error->count; i++) {
        print_one(&error->items[i]);
    }
    if (error->lost > 0) {
        fprintf(stderr, "clayquench: error: %zu more complaints were lost: not enough memory\n", error->lost);
    }
}

int cq_exit_of(cq_status status) {
    switch (status) {
    case CQ_OK:
    case CQ_NOTICED:
        return CQ_EXIT_DONE;
    case CQ_ERR_PLAN:
    case CQ_ERR_GEOMETRY:
    case CQ_ERR_UNREACHABLE:
        return CQ_EXIT_PLAN;
    case CQ_ERR_FILE:
    case CQ_ERR_FORMAT:
        return CQ_EXIT_FILE;
    case CQ_ERR_CANCELLED:
        return CQ_EXIT_INTERRUPTED;
    case CQ_ERR_MEMORY:
    case CQ_ERR_ARGUMENT:
    case CQ_ERR_STEP:
        return CQ_EXIT_FAILED;
    }
    return CQ_EXIT_FAILED;
}

int cq_exit_complaining(cq_status status, cq_error *error) {
    if (error->count == 0 && status < 0) {
        fprintf(stderr, "clayquench: error: %s\n", cq_status_sentence(status));
    }
    cq_complaints_print(error);
    cq_error_clear(error);
    return cq_exit_of(status);
}
