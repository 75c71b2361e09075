/* plan_faults.h - the faults of a plan as its checks find them, shared by the files that check. */
#ifndef CQ_QUENCH_PLAN_FAULTS_H
#define CQ_QUENCH_PLAN_FAULTS_H

#include "quench/plan_check.h"

#include <stdbool.h>

#define MM 1e3        /* mm per m */
#define ZERO_C 273.15 /* K */

/* The faults found so far. */
typedef struct cq_plan_faults {
    const cq_plan *plan;
    unsigned parts;
    cq_error *error;
    cq_status status;
} cq_plan_faults;

void cq_plan_fault(cq_plan_faults *c, const char *key, const char *expected, const char *remedy,
                   const char *found_format, ...) __attribute__((format(printf, 5, 6)));

/* False for a NaN. */
static inline bool cq_within(double value, double least, double most) {
    return value >= least && value <= most;
}

static inline bool cq_has_parts(const cq_plan_faults *c, unsigned parts) {
    return (c->parts & parts) == parts;
}

static inline bool cq_is_shaped(cq_family family) {
    return family >= CQ_FAMILY_FLAT && family < CQ_FAMILY_PLATE;
}

/* plan_steps.c */
void cq_plan_check_steps(cq_plan_faults *c);
/* plan_zones.c */
void cq_plan_check_zones(cq_plan_faults *c);
/* "zones.hard", "zones.pieces.1.steel": where the steel of zone n stands. Returns `key`. */
const char *cq_zone_steel_key(const cq_zones *zones, size_t n, char key[64]);
void cq_plan_check_skin(cq_plan_faults *c);
void cq_plan_check_fire(cq_plan_faults *c);

#endif
