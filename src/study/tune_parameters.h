/* tune_parameters.h - the numbers a tuning may change, and a plan with other values of them. */
#ifndef CQ_STUDY_TUNE_PARAMETERS_H
#define CQ_STUDY_TUNE_PARAMETERS_H

#include <clayquench/tune.h>

/* Value at z standard deviations of the prior from where it was, held within what a profile may have. */
double cq_tuned_value(const cq_tuned *tuned, double z, bool *held);

/* `plan` with values[n] of `tuned`, as cq_uncertain_apply makes it. */
cq_status cq_tuned_apply(const cq_plan *plan, const cq_tuned *tuned, const double *values, size_t n, cq_plan *changed,
                         cq_error *error);

#endif
