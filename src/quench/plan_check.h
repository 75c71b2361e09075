/* plan_check.h - the check of a plan of which parts may be missing, for a reader that tells every fault at once. */
#ifndef CQ_QUENCH_PLAN_CHECK_H
#define CQ_QUENCH_PLAN_CHECK_H

#include <clayquench/plan.h>

enum {
    CQ_PART_BLADE = 1,
    CQ_PART_STEEL = 2,
    CQ_PART_CLAY = 4,
    CQ_PART_HEAT = 8,
    CQ_PART_STEPS = 16,
    CQ_PART_RECORD = 32,
    CQ_PART_REST = 64, /* temper, finish, grid */
    CQ_PARTS = 127
};

/* cq_plan_check of the given parts only; what needs two parts is checked when both are given. */
cq_status cq_plan_check_parts(const cq_plan *plan, unsigned parts, cq_error *error);

#endif
