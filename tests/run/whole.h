/* whole.h - a plan run to its end, or the test fails. */
#ifndef TEST_RUN_WHOLE_H
#define TEST_RUN_WHOLE_H

#include <check.h>
#include <clayquench/clayquench.h>

/* The result lives as long as the run, which the caller frees. */
static inline const cq_result *go(cq_run **run, const cq_plan *plan) {
    cq_error error = CQ_ERROR_INIT;
    cq_status status = cq_run_create(run, plan, NULL, &error);
    status = status < 0 ? status : cq_run_go(*run, NULL, &error);
    ck_assert_msg(status >= 0, "%s", error.count > 0 ? error.items[0].found : "");
    return cq_run_result(*run);
}

#endif
