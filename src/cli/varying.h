/* varying.h - what the commands that vary keys share: options, plans and their axes as a study, and its answer. */
#ifndef CQ_CLI_VARYING_H
#define CQ_CLI_VARYING_H

#include "cli/studying.h"

#include <clayquench/report_compare.h>
#include <clayquench/vary.h>

typedef struct cq_varying {
    size_t plans_n;
    cq_vary **vary; /* one per plan, each with all axes */
    size_t each;    /* runs per plan */
    cq_study_about about;
    cq_study_table *table;
    bool borrowed; /* the table is somebody else's */
    cq_study_source source;
    cq_comparison comparison; /* once the runs are there */
    struct cq_arena *arena;
} cq_varying;

/* How a command shows the study. */
typedef struct cq_varying_kind {
    const char *name; /* the command's, the study's, and the stem of its files */
    bool skip_curve;  /* it shows neither curve nor crack class */
    /* False, and said, if the plans or axes are not what the command can show. */
    bool (*fits)(const cq_varying *varying);
    cq_status (*json)(const cq_varying *varying, char **text);
    cq_status (*screen)(const cq_varying *varying, cq_unit_system units, char **text);
    cq_status (*draw)(const cq_varying *varying, cq_picture_format format, unsigned char **bytes, size_t *length);
} cq_varying_kind;

extern const cq_option cq_varying_options[]; /* of either command; "vary" is the one that may stand several times */

/* Is the word the name of a study's file rather than a plan's? */
bool cq_varying_is_study(const char *word);

/* Carry a call out, from reading its words to the last file; an exit. */
int cq_varying_run(const cq_call *call, const cq_varying_kind *kind);

/* A stored comparison or map made ready to be told; the plans come from the file too. Where they do not make sense any
 * more the rows are told without pictures, and that is said. `read` must outlive it. */
cq_status cq_varying_recall(cq_varying *varying, const cq_study_read *read, cq_error *error);
void cq_varying_close(cq_varying *varying);

#endif
