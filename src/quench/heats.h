/* heats.h - a plan of several heats, one at a time. */
#ifndef CQ_QUENCH_HEATS_H
#define CQ_QUENCH_HEATS_H

#include <clayquench/plan.h>

/* The plan of the first h + 1 heats, whose last is heat h: 0 the first, plan->earlier_n all of them. Clay falls off in
 * the first quench only. A view: what it points to is the plan's. */
cq_plan cq_plan_up_to(const cq_plan *plan, size_t h);

#endif
