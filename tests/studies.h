/* studies.h - a study of quick runs for tests: bare plates of rising thickness in water. Run SOUR has no plan. */
#ifndef TEST_STUDIES_H
#define TEST_STUDIES_H

#include "run/plans.h"

#include <clayquench/study_file.h>
#include <stdlib.h>

enum { STUDY_RUNS = 24, SOUR = 5 };

typedef struct study_plan {
    cq_step_plan steps[2];
} study_plan;

static inline cq_status study_make(void *context, size_t run, cq_plan *plan, cq_error *error) {
    (void)context;
    if (run == SOUR) {
        return cq_error_say(error, CQ_ERR_PLAN, "blade.thickness", "a thickness", "", "none");
    }
    study_plan *own = malloc(sizeof *own); /* released with the plan */
    start_plan(plan, own->steps, 40);
    plan->blade = (cq_blade){.family = CQ_FAMILY_PLATE, .spine_m = 1e-3 + 2e-3 * (double)run};
    plan->grid = (cq_grid_wish){8, 2, 2, 1};
    return CQ_OK;
}

static inline void study_release(void *context, size_t run, cq_plan *plan) {
    (void)context, (void)run;
    free((void *)(plan->steps));
}

static const cq_study_source study_source = {study_make, study_release, NULL};

static const char *const STUDY_WORDS[] = {"thin", "thick"};
static const char *const STUDY_PLAN_NAME[] = {"plates"}, *const STUDY_PLAN_TEXT[] = {"format: clayquench-plan 1\n"};
static const char *const STUDY_PROFILE_NAME[] = {"bath-water", "steel-1084"}, *const STUDY_PROFILE_TEXT[] = {"a\n",
                                                                                                             "b\n"};
static const cq_study_axis STUDY_AXES[] = {{"blade.thickness", "m", "thickness", 2, STUDY_WORDS},
                                           {"steps.1.at", "K", "bath", 0, NULL}};

static inline cq_study_about study_about(size_t part, size_t parts) {
    return (cq_study_about){.kind = "compare",
                            .plans_n = 1,
                            .plan_names = STUDY_PLAN_NAME,
                            .plan_texts = STUDY_PLAN_TEXT,
                            .profiles_n = 2,
                            .profile_names = STUDY_PROFILE_NAME,
                            .profile_texts = STUDY_PROFILE_TEXT,
                            .axes_n = 2,
                            .axes = STUDY_AXES,
                            .runs_n = STUDY_RUNS,
                            .seed = 7,
                            .settings = "",
                            .part = part,
                            .parts = parts};
}

static inline cq_study_table *study_table(void) {
    cq_study_table *table = NULL;
    ck_assert_int_ge(cq_study_table_create(&table, STUDY_RUNS, 2, NULL), 0);
    for (size_t i = 0; i < 2 * STUDY_RUNS; i++) {
        table->inputs[i] = 0.25 * (double)i;
    }
    return table;
}

static inline void study_same_rows(const cq_study_table *a, const cq_study_table *b) {
    for (size_t run = 0; run < STUDY_RUNS; run++) {
        ck_assert_int_eq(a->row[run].state, b->row[run].state);
        ck_assert_str_eq(a->row[run].message, b->row[run].message);
        ck_assert_mem_eq(a->row[run].value, b->row[run].value, sizeof a->row[run].value);
    }
}

#endif
