/* why_own.h - changes that are no number of the plan: what is done to it, and how usual that is. */
#ifndef CQ_STUDY_WHY_OWN_H
#define CQ_STUDY_WHY_OWN_H

#include "base/memory.h"

#include <clayquench/why.h>

/* A plan being changed: *plan is a copy whose steps may be written; the arena is its own. */
typedef struct cq_why_draft {
    cq_plan *plan;
    cq_step_plan *steps;
    size_t first; /* step in the first liquid; steps_n: none */
} cq_why_draft;

typedef struct cq_why_own {
    cq_cause cause;
    double z; /* chosen here: 1 happens in every shop, 2 seldom */
    const char *words;
    double amount;
    /* Does it say anything of this plan? */
    bool (*fits)(const cq_why_draft *draft, double amount);
    /* False when memory is short. */
    bool (*apply)(const cq_why_draft *draft, double amount);
} cq_why_own;

extern const cq_why_own CQ_WHY_OWN[];
extern const size_t CQ_WHY_OWN_N;

#endif
