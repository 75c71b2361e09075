/* sampling.h - normal numbers of a randomised low-discrepancy sequence. */
#ifndef CQ_STUDY_SAMPLING_H
#define CQ_STUDY_SAMPLING_H

#include <clayquench/status.h>
#include <stdint.h>

enum { CQ_SAMPLING_DIMENSIONS = 24 };

/* Uniform numbers in (0, 1), u[sample * CQ_SAMPLING_DIMENSIONS + dimension]. Sample i is point i / groups of the
 * sequence of group i % groups; the groups are independent of each other. It depends on seed, i and groups alone. */
cq_status cq_sampling_uniform(size_t samples, size_t groups, uint64_t seed, double *u);

/* The standard normal number of which a share u lies below. */
double cq_sampling_normal(double u);

#endif
