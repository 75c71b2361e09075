/* crack_advice.h - which one change of a plan lowers its crack index most, found by running the changed plans.
 *
 * Five things a smith can change at once are each made a little larger and a little smaller: the first time in the
 * bath, the bath's temperature, the edge's thickness, the height of the clay's rim, the soak temperature. Nothing is
 * known beforehand of what lowers it. All of it is an estimate, never a clearance.
 */
#ifndef CLAYQUENCH_CRACK_ADVICE_H
#define CLAYQUENCH_CRACK_ADVICE_H

#include <clayquench/spread.h>

enum { CQ_CRACK_CHANGES = 10 };

typedef struct cq_crack_change {
    cq_uncertain_kind kind; /* what is changed */
    double from, to;        /* in the kind's unit */
    bool run;               /* false: it failed, and nothing below is known */
    int class_n;
    double index_MPa, line_m; /* line NaN: there is none */
    cq_verdict verdict;
    bool loses_edge; /* the edge is hard as planned and is not any more */
    bool hides_line; /* as planned there is a line to be seen, and there is none any more, or a faint one */
} cq_crack_change;

typedef struct cq_crack_advice {
    size_t n;
    cq_crack_change
        change[CQ_CRACK_CHANGES]; /* best first: those that keep edge and line by their index, then others */
    bool lowers;                  /* change[0] lowers the index by more than the runs' own noise */
} cq_crack_advice;

/* Is there anything to ask: the class is medium or high. */
bool cq_crack_advice_wanted(const cq_result *result);

/* Run the changed plans. `result` is the answer to `plan`. Threads and sink as for cq_study_go; CQ_ERR_CANCELLED if the
 * sink said so. Changes that make no plan (a bath that would boil) are left out, runs that fail come last. */
cq_status cq_crack_advise(const cq_plan *plan, const cq_result *result, const cq_study_options *options,
                          const cq_study_sink *sink, cq_crack_advice *advice, cq_error *error);

#endif
