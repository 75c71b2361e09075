/* cli.h - what the commands share: exits, the table of a command's options, one call of a command.
 *
 * This is the only floor that prints, reads arguments or the environment, and ends the process.
 */
#ifndef CQ_CLI_CLI_H
#define CQ_CLI_CLI_H

#include "base/units.h"

#include <clayquench/io.h>
#include <clayquench/report.h>
#include <clayquench/report_page.h>
#include <stdbool.h>

enum {
    CQ_EXIT_DONE = 0,
    CQ_EXIT_FAILED = 1, /* the computation failed */
    CQ_EXIT_USAGE = 2,  /* the command line has a fault */
    CQ_EXIT_PLAN = 3,   /* a plan or profile has faults */
    CQ_EXIT_FILE = 4,   /* a file could not be read or written */
    CQ_EXIT_INTERRUPTED = 130
};

/* One option of a command. `value` is the word for its value in the help, NULL for a switch. */
typedef struct cq_option {
    const char *name; /* without the two dashes */
    char letter;      /* 0: no short form */
    const char *value;
    const char *help;
} cq_option;

enum { CQ_OPTIONS_MAX = 16, CQ_MANY_MAX = 16 };

typedef struct cq_call cq_call;

/* A command. `options` ends with an entry whose name is NULL. */
typedef struct cq_command {
    const char *name;
    const char *operands; /* as the help shows them: "PLAN" */
    int operands_min, operands_max;
    const char *summary;     /* one line for the list of commands */
    const char *description; /* what --help says below the usage */
    const char *many;        /* name of the option that may stand several times; NULL: none */
    const cq_option *options;
    int (*run)(const cq_call *call); /* returns one of the exits */
} cq_command;

/* One call: the value of option i of the command is value[i]; NULL: not given; "": a switch that was given. */
struct cq_call {
    const cq_command *command;
    bool help;
    const char *value[CQ_OPTIONS_MAX];
    size_t many_n;
    const char *many[CQ_MANY_MAX]; /* every value of the command's `many`, in order */
    int operands_n;
    char **operands;
};

extern const cq_command cq_command_quench, cq_command_check, cq_command_explain, cq_command_list, cq_command_show,
    cq_command_steel, cq_command_bath, cq_command_merge, cq_command_glow, cq_command_fold, cq_command_compare,
    cq_command_map, cq_command_spread, cq_command_report, cq_command_tune, cq_command_lesson, cq_command_lay,
    cq_command_why, cq_command_kit;

/* arguments.c: what --units says (NULL: metric); false, and said on stderr, for an unknown word. */
bool cq_units_wanted(const char *command, const char *word, cq_unit_system *units);
/* arguments.c: a quantity given to an option, to SI; false, and said on stderr, if it is none of the dimension. */
bool cq_quantity_wanted(const char *command, const char *option, const char *text, cq_dimension dimension, double *si);

/* arguments.c: sort argv (behind the command's name) into options and operands; prints what is wrong with it and
 * returns CQ_EXIT_USAGE, or returns CQ_EXIT_DONE. argv is reordered. */
int cq_call_read(cq_call *call, const cq_command *command, int argc, char **argv);
void cq_command_print_help(const cq_command *command);

/* complaint.c: print every complaint to stderr, with the source line and a caret; the exit that fits a status. */
void cq_complaints_print(const cq_error *error);
int cq_exit_of(cq_status status);
/* Both at once for a call that failed: prints the complaints (or the status's sentence if there are none) and clears.
 */
int cq_exit_complaining(cq_status status, cq_error *error);

/* folders.c: where profiles are looked up: the user's folder, then the installed one. Fixed storage. */
const cq_search *cq_search_default(void);
/* The kind of profile a word names, in the singular or the plural; false, and said on stderr, if none. */
bool cq_kind_wanted(const char *command, const char *word, const char **kind);
/* A path for what was typed: itself if such a file exists or it has a slash; else the shipped or own profile of that
 * name (of `kind`; if NULL of any, a plan before its parts); else itself, so that reading it complains. `path` holds
 * 512 bytes. */
const char *cq_path_of(const char *word, const char *kind, char *path);

/* output.c: into a folder that is there. Each file is complete or absent. */
cq_status cq_output_text(const char *folder, const char *stem, const char *extension, const char *text,
                         cq_error *error);
cq_status cq_output_json(const char *folder, const char *stem, const char *json, cq_error *error);
/* Pictures of one kind. `draw` returns CQ_ERR_ARGUMENT where there is nothing to show: the picture is left out, and one
 * left there by an earlier run is taken away. */
typedef struct cq_gallery {
    int n;
    const char *(*stem)(int picture);
    cq_status (*draw)(const void *of, int picture, cq_picture_format format, unsigned char **bytes, size_t *length,
                      cq_error *error);
    const void *of;
} cq_gallery;
cq_status cq_output_pictures(const char *folder, const cq_gallery *gallery, cq_error *error); /* Ctrl-C stops it */

/* paper.c: of commands that write a page. What --paper says (NULL: a4) and what kind of page a file's name asks for;
 * false, and said on stderr, if it is none. */
bool cq_paper_wanted(const char *command, const char *word, cq_paper *paper);
bool cq_medium_wanted(const char *command, const char *name, cq_page_medium *medium);
/* Write the page that was made, if it was (`status`), and say so; takes `bytes`. */
cq_status cq_page_keep(cq_status status, const char *to, unsigned char *bytes, size_t length, const cq_page_gaps *gaps,
                       cq_error *error);
bool cq_ends_in(const char *name, const char *ending);

/* progress.c: a bar on a terminal's stderr, and a clean stop on Ctrl-C. */
void cq_interrupt_watch(void);
bool cq_interrupted(void);
typedef struct cq_progress {
    bool visible;
    double begun_s, drawn_s; /* monotonic clock */
} cq_progress;
void cq_progress_begin(cq_progress *progress, bool wanted);
bool cq_progress_step(void *progress, const cq_view *view); /* an observer */
void cq_progress_end(cq_progress *progress);

#endif
