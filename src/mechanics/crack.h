/* crack.h - how near fresh martensite comes to cracking: an index that ranks quenches, and a class. Never a clearance.
 *
 *   index = max over time and cells of  tension x martensite x flaw / strength                                  (1)
 *
 * while the cell is below 200 degC (cold martensite cannot give) and holds at least 0.3 of it (its border zone, where
 * it meets the softer back, included). flaw: stress at the root of a scratch as deep as the stated finish leaves, in a
 * section as thick as it is there, against one that is ground and 2 mm thick. strength: of martensite by its carbon and
 * grain, against 0.8 % and ASTM 8. In MPa; reads computed fields and the stated finish only.
 */
#ifndef CQ_MECHANICS_CRACK_H
#define CQ_MECHANICS_CRACK_H

#include <clayquench/status.h>
#include <stdbool.h>
#include <stddef.h>

typedef enum cq_finish { CQ_FINISH_GROUND, CQ_FINISH_POLISHED, CQ_FINISH_SCRATCHED } cq_finish;

/* The stated words (section.h); NULL counts as ground. */
cq_finish cq_finish_of(const char *surface);

/* What multiplies tension x martensite in (1): finish, thickness there, carbon in solution, grain. */
double cq_crack_severity(cq_finish finish, double thickness_m, double carbon_wt, double grain_ASTM);

/* The worst so far. cell is valid where index > 0. */
typedef struct cq_crack {
    double index_Pa, time_s, tension_Pa;
    size_t cell;
} cq_crack;

/* Fields of n cells at this time; true where they are worse than what was seen. */
typedef struct cq_crack_fields {
    size_t n;
    const double *T_K, *martensite, *stress_Pa, *severity;
} cq_crack_fields;
bool cq_crack_look(cq_crack *crack, const cq_crack_fields *fields, double time_s);

typedef enum cq_crack_class { CQ_CRACK_LOW, CQ_CRACK_MEDIUM, CQ_CRACK_HIGH } cq_crack_class;
cq_crack_class cq_crack_class_of(double index_Pa);

#endif
