/* statistics.h - percentiles, chances and influences of samples drawn in independent groups, with their errors. */
#ifndef CQ_STUDY_STATISTICS_H
#define CQ_STUDY_STATISTICS_H

#include <clayquench/spread.h>

enum { CQ_STATISTICS_FEWEST = 100 }; /* samples below which no error is told: a group has five then */

/* Samples of a figure. x: inputs_n numbers each, x[i * inputs_n + input]; group[i] < CQ_SPREAD_GROUPS. */
typedef struct cq_sampled {
    size_t n, inputs_n;
    const double *y, *x;
    const unsigned char *group;
} cq_sampled;

/* Percentiles 5, 50 and 95. NaN without samples. */
cq_status cq_statistics_percentiles(const cq_sampled *s, cq_percentiles *percentiles);
/* hits of n. NaN without samples. */
cq_chance cq_statistics_chance(size_t hits, size_t n);
cq_status cq_statistics_influence(const cq_sampled *s, cq_influence *influence);

#endif
