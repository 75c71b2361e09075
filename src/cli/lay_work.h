/* lay_work.h - what the command that finds a layout works on: the plan, changes of it, and runs that are kept. */
#ifndef CQ_CLI_LAY_WORK_H
#define CQ_CLI_LAY_WORK_H

#include "cli/studying.h"

#include <clayquench/report_lay.h>
#include <clayquench/vary.h>

enum { CQ_LAY_CHANGES = 24, CQ_LAY_CHANGE_WORDS = 48 };

/* What else could be done: plans that differ in one thing, in the order of how much that asks of a smith. */
typedef struct cq_lay_changes {
    size_t n;
    cq_vary *vary[CQ_LAY_CHANGES]; /* owns what the plans stand on */
    cq_plan plan[CQ_LAY_CHANGES];
    char words[CQ_LAY_CHANGES][CQ_LAY_CHANGE_WORDS];
} cq_lay_changes;

/* lay_changes.c: those that make sound plans; others are left out. */
void cq_lay_changes_of(cq_lay_changes *changes, const char *path, const cq_plan *plan);
void cq_lay_changes_clear(cq_lay_changes *changes);

/* Runs of a search: made in batches, kept in DIR/study.h5 as they end, found there when the search asks again. */
typedef struct cq_lay_making {
    const cq_studying *studying;
    cq_lay_runs runs; /* plans, fields and numbers; trials are a batch's */
    cq_study_table *kept;
    cq_study_file *file; /* NULL: nothing is kept */
    size_t at;           /* runs asked for so far */
    double begun_s;
    bool visible;
} cq_lay_making;

/* lay_runs.c */
cq_status cq_lay_making_open(cq_lay_making *making, const cq_studying *studying, const cq_study_about *about,
                             cq_error *error);
/* For cq_lay_trier.rows, with a cq_lay_making. */
cq_status cq_lay_making_rows(void *making, const cq_lay_trial *trial, size_t n, cq_row *row, cq_error *error);
cq_status cq_lay_making_close(cq_lay_making *making, bool ended, cq_error *error);

#endif
