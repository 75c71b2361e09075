/* lay_search.h - what the files of the search for a layout share: its state, asking for trials, solving rims. */
#ifndef CQ_STUDY_LAY_SEARCH_H
#define CQ_STUDY_LAY_SEARCH_H

#include "study/lay_judge.h"

enum { CQ_LAY_TRIES = 9 }; /* of a rim */

typedef struct cq_lay_search {
    const cq_lay_wish *wish;
    const cq_lay_field *fields;
    const cq_lay_trier *trier;
    cq_lay *lay;
    cq_error *error;
    cq_lay_candidate *pool;
    size_t pool_n;
    double near_m;
} cq_lay_search;

cq_status cq_lay_short_of_memory(cq_lay_search *s);
/* Trials answered and counted; those of the plan as written taken into what is known of all layouts. */
cq_status cq_lay_ask(cq_lay_search *s, const cq_lay_trial *trial, size_t n, cq_row *row);
/* Highest rim of a layout, in steps; below 0: none. */
int cq_lay_rim_most(const cq_lay_search *s, const cq_layout *l);
/* Solve the rims of n candidates, each from where its layout has it. */
cq_status cq_lay_solve(cq_lay_search *s, cq_lay_candidate *c, size_t n);

#endif
