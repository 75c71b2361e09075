/* arguments.c - sorts a command line into options and operands, by the command's own table of options. */
#include "cli/cli.h"

#include <stdio.h>
#include <string.h>

static int complain(const cq_command *command, const char *what, const char *word) {
    fprintf(stderr, "clayquench %s: error: %s '%s'; see 'clayquench %s --help'\n", command->name, what, word,
            command->name);
    return CQ_EXIT_USAGE;
}

/* Index of the option a word names, -1 if none; *value points behind "=" or behind a short option's letter. */
static int find_option(const cq_command *command, const char *word, const char **value) {
    *value = NULL;
    for (int i = 0; command->options[i].name != NULL; i++) {
        const cq_option *option = &command->options[i];
        size_t length = strlen(option->name);
        if (word[1] == '-' && strncmp(word + 2, option->name, length) == 0 &&
            (word[2 + length] == '\0' || word[2 + length] == '=')) {
            *value = word[2 + length] == '=' ? word + 3 + length : NULL;
            return i;
        }
        if (option->letter != '\0' && word[1] == option->letter) {
            *value = word[2] != '\0' ? word + 2 : NULL;
            return i;
        }
    }
    return -1;
}

/* Take the option at argv[*at]; moves *at over a value that stands as its own word. */
static int take_option(cq_call *call, int argc, char **argv, int *at) {
    const char *word = argv[*at], *value;
    int i = find_option(call->command, word, &value);
    if (i < 0) {
        return complain(call->command, "unknown option", word);
    }
    if (call->command->options[i].value == NULL) {
        if (value != NULL) {
            return complain(call->command, "this option takes no value:", word);
        }
        call->value[i] = "";
        return CQ_EXIT_DONE;
    }
    if (value == NULL && *at + 1 < argc) {
        value = argv[++*at];
    }
    if (value == NULL || value[0] == '\0') {
        return complain(call->command, "a value is missing behind", word);
    }
    call->value[i] = value;
    if (call->command->many != NULL && strcmp(call->command->options[i].name, call->command->many) == 0) {
        if (call->many_n == CQ_MANY_MAX) {
            return complain(call->command, "too often:", word);
        }
        call->many[call->many_n++] = value;
    }
    return CQ_EXIT_DONE;
}

int cq_call_read(cq_call *call, const cq_command *command, int argc, char **argv) {
    memset(call, 0, sizeof *call);
    call->command = command;
    call->operands = argv; /* operands move to the front: never past what was read */
    bool options = true;
    for (int at = 0; at < argc; at++) {
        char *word = argv[at];
        if (options && strcmp(word, "--") == 0) {
            options = false;
        } else if (options && (strcmp(word, "--help") == 0 || strcmp(word, "-h") == 0)) {
            call->help = true;
            return CQ_EXIT_DONE;
        } else if (options && word[0] == '-' && word[1] != '\0') {
            int code = take_option(call, argc, argv, &at);
            if (code != CQ_EXIT_DONE) {
                return code;
            }
        } else {
            call->operands[call->operands_n++] = word;
        }
    }
    if (call->operands_n < command->operands_min) {
        return complain(command, "an operand is missing:", command->operands);
    }
    if (call->operands_n > command->operands_max) {
        return complain(command, "one operand too many:", call->operands[command->operands_max]);
    }
    return CQ_EXIT_DONE;
}

void cq_command_print_help(const cq_command *command) {
    printf("Usage: clayquench %s [OPTION]... %s\n%s\n\n%s\nOptions:\n", command->name, command->operands,
           command->summary, command->description);
    for (const cq_option *option = command->options; option->name != NULL; option++) {
        char left[64];
        char letter[5] = "    ";
        if (option->letter != '\0') {
            snprintf(letter, sizeof letter, "-%c, ", option->letter);
        }
        snprintf(left, sizeof left, "%s--%s%s%s", letter, option->name, option->value != NULL ? " " : "",
                 option->value != NULL ? option->value : "");
        printf("  %-22s %s\n", left, option->help);
    }
    printf("  %-22s %s\n", "-h, --help", "this text");
}

bool cq_units_wanted(const char *command, const char *word, cq_unit_system *units) {
    *units = word != NULL && strcmp(word, "us") == 0 ? CQ_UNITS_US : CQ_UNITS_METRIC;
    if (word != NULL && *units == CQ_UNITS_METRIC && strcmp(word, "metric") != 0) {
        fprintf(stderr, "clayquench %s: error: unknown units '%s'; expected metric or us\n", command, word);
        return false;
    }
    return true;
}

bool cq_quantity_wanted(const char *command, const char *option, const char *text, cq_dimension dimension, double *si) {
    cq_units *units = cq_units_open();
    const cq_quantity_fault fault =
        units == NULL ? CQ_QUANTITY_UNKNOWN_UNIT : cq_units_parse(units, text, dimension, si);
    if (fault != CQ_QUANTITY_OK) {
        const char *hint = units == NULL ? NULL : cq_units_hint(units, text, dimension);
        fprintf(stderr, "clayquench %s: error: --%s '%s'; expected %s%s%s\n", command, option, text,
                cq_dimension_words(dimension), hint == NULL ? "" : "; ", hint == NULL ? "" : hint);
    }
    cq_units_close(units);
    return fault == CQ_QUANTITY_OK;
}
