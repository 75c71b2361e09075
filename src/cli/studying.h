/* studying.h - what the commands of many runs share: their options, the study's file, progress, Ctrl-C. */
#ifndef CQ_CLI_STUDYING_H
#define CQ_CLI_STUDYING_H

#include "cli/cli.h"

#include <clayquench/study_file.h>

/* What the shared options say. Every such command has --threads N, --part I/N, --yes and -o DIR among its own. */
typedef struct cq_studying {
    const char *command;
    const char *folder;               /* -o: study.h5 is kept there; NULL: nothing is kept */
    const char *threads, *part, *yes; /* as typed, NULL: not given */
    bool quiet;
    /* from here on set by cq_studying_read */
    cq_study_options options;
} cq_studying;

/* Read the plan that was typed, a file or a name; its path goes to path, which holds 512 bytes. */
cq_status cq_studying_plan(const char *word, char *path, cq_plan *plan, cq_error *error);
/* What a study of this one plan says of itself; points into the plan, which must outlive it. */
cq_study_about cq_studying_about(const char *kind, const cq_plan *plan);

/* Read the words; false, and said on stderr, if one is faulty ("--part 4/3", "--threads many"). */
bool cq_studying_read(cq_studying *studying);

/* Carry the study out: asks for --yes above a million runs, opens or continues DIR/study.h5, runs with a bar and time
 * left on a terminal's stderr, stops cleanly on Ctrl-C with what is done kept, says how many runs failed and the first
 * messages (stderr). `enough` may be NULL; it gets `context`. Returns an exit: CQ_EXIT_DONE when all rows of this part
 * are there; *ended is the number of runs the answer rests on (about->runs_n unless `enough` said so). */
int cq_studying_go(const cq_studying *studying, const cq_study_about *about, cq_study_table *table,
                   const cq_study_source *source, bool (*enough)(void *context, size_t through), void *context,
                   size_t *ended);

#endif
