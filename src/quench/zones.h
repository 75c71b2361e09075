/* zones.h - which steel lies where in a section of several. */
#ifndef CQ_QUENCH_ZONES_H
#define CQ_QUENCH_ZONES_H

#include <clayquench/zones.h>

/* What is found at a place that is not exactly one zone's. */
enum { CQ_ZONE_GAP = -1, CQ_ZONE_OVERLAP = -2 };
/* Number of the zone at height x, distance y; or one of the above, with *first and *second the zones that overlap. */
int cq_zone_at(const cq_zones *zones, const cq_section *section, double x_m, double y_m, int *first, int *second);
/* The same; a gap or overlap too thin for the check to find is given to the last zone, or the first of the two. */
int cq_zone_filled(const cq_zones *zones, const cq_section *section, double x_m, double y_m);
/* True if left and right mirror each other. */
bool cq_zones_are_symmetric(const cq_zones *zones);

#endif
