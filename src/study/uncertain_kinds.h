/* uncertain_kinds.h - how each kind of uncertain input is found in a plan and put into one. */
#ifndef CQ_STUDY_UNCERTAIN_KINDS_H
#define CQ_STUDY_UNCERTAIN_KINDS_H

#include <clayquench/spread.h>

/* A plan under change: the plan as written, by which inputs are told, the changed one, and its own arrays. */
typedef struct cq_draft {
    const cq_plan *from;
    cq_plan *plan;
    cq_coat_point *points;
    cq_step_plan *steps;
    double *clay_k;
    cq_outline_point *left, *right;
} cq_draft;

/* How one kind of input is found in a plan and put into one. `measure` fills centre, low and high, and returns false
 * where there is nothing to act on. */
typedef struct cq_uncertain_law {
    bool lognormal;
    double usual; /* scatter where none is stated: a share (log-normal) or in the kind's unit */
    const char *usual_words;
    bool (*measure)(const cq_plan *plan, cq_uncertain *input);
    void (*change)(const cq_draft *draft, const cq_uncertain *input, double value);
} cq_uncertain_law;

extern const cq_uncertain_law CQ_UNCERTAIN_LAWS[CQ_UNCERTAINS];

#endif
