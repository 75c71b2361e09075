/* main.c - finds the command that was asked for and runs it. */
#include "cli/cli.h"

#include <signal.h>
#include <stdio.h>
#include <string.h>

static const cq_command *const commands[] = {
    &cq_command_quench,  &cq_command_steel, &cq_command_bath,   &cq_command_check,  &cq_command_explain,
    &cq_command_list,    &cq_command_show,  &cq_command_merge,  &cq_command_glow,   &cq_command_fold,
    &cq_command_compare, &cq_command_map,   &cq_command_spread, &cq_command_report, &cq_command_tune,
    &cq_command_lesson,  &cq_command_lay,   &cq_command_why,    &cq_command_kit};
enum { COMMANDS = sizeof commands / sizeof commands[0] };

static void print_overview(FILE *out) {
    fputs("Usage: clayquench COMMAND [OPTION]... [OPERAND]...\n"
          "Tells where the hard edge of a clay-coated blade will end, and how hard it will be.\n\nCommands:\n",
          out);
    for (size_t i = 0; i < COMMANDS; i++) {
        fprintf(out, "  %-8s %-14s %s\n", commands[i]->name, commands[i]->operands, commands[i]->summary);
    }
    fputs("\n  --help     this text; after a command: that command's text\n"
          "  --version  name and version\n\n"
          "Exits: 0 done, 1 computation failed, 2 command line, 3 plan or profile, 4 file trouble, 130 interrupted.\n",
          out);
}

static const cq_command *find_command(const char *name) {
    for (size_t i = 0; i < COMMANDS; i++) {
        if (strcmp(commands[i]->name, name) == 0) {
            return commands[i];
        }
    }
    return NULL;
}

static int run_command(const cq_command *command, int argc, char **argv) {
    cq_call call;
    int code = cq_call_read(&call, command, argc, argv);
    if (code != CQ_EXIT_DONE) {
        return code;
    }
    if (call.help) {
        cq_command_print_help(command);
        return CQ_EXIT_DONE;
    }
    return command->run(&call);
}

static int dispatch(int argc, char **argv) {
    if (argc < 2) {
        print_overview(stderr);
        return CQ_EXIT_USAGE;
    }
    const char *word = argv[1];
    if (strcmp(word, "--help") == 0 || strcmp(word, "-h") == 0) {
        print_overview(stdout);
        return CQ_EXIT_DONE;
    }
    if (strcmp(word, "--version") == 0) {
        puts("clayquench " CQ_VERSION);
        return CQ_EXIT_DONE;
    }
    const cq_command *command = find_command(word);
    if (command == NULL) {
        fprintf(stderr, "clayquench: error: unknown command '%s'; expected one of:", word);
        for (size_t i = 0; i < COMMANDS; i++) {
            fprintf(stderr, " %s", commands[i]->name);
        }
        fputs("; see 'clayquench --help'\n", stderr);
        return CQ_EXIT_USAGE;
    }
    return run_command(command, argc - 2, argv + 2);
}

int main(int argc, char **argv) {
    signal(SIGXFSZ, SIG_IGN); /* a limit on the size of files is a full disk: told, not died of */
    int code = dispatch(argc, argv);
    /* A full disk behind a redirected stdout shows up here at the latest. */
    if ((fflush(stdout) != 0 || ferror(stdout)) && code == CQ_EXIT_DONE) {
        perror("clayquench: error: standard output could not be written");
        code = CQ_EXIT_FILE;
    }
    return code;
}
