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

typedef enum cq_crack_class { CQ_CRACK_LOW, CQ_CRACK_MEDIUM, CQ_CRACK_HIGH, CQ_CRACK_CLASSES } cq_crack_class;
cq_crack_class cq_crack_class_of(double index_Pa);

/* A moment: where the index stood highest then, and why (the caller's word). */
typedef struct cq_crack_moment {
    double index_Pa, time_s, tension_Pa;
    size_t cell;
    int cause;
} cq_crack_moment;

/* The worst so far and how it came: rung r is the first moment at which the index had climbed to CQ_CRACK_FOOT_Pa x
 * CQ_CRACK_RUNG^r, `since` that at which a class began. Begins as zeros. Rungs make the answer sure: the largest value
 * is often met on a plateau, where rounding would choose the second. */
enum { CQ_CRACK_RUNGS = 480 };
#define CQ_CRACK_FOOT_Pa 1e6
#define CQ_CRACK_RUNG 1.02
typedef struct cq_crack {
    cq_crack_moment worst;
    size_t climbed; /* rungs that hold */
    cq_crack_moment rung[CQ_CRACK_RUNGS], since[CQ_CRACK_CLASSES];
} cq_crack;

/* Fields of n cells at this time; true where they are worse than what was seen: then `worst` is this moment but for its
 * cause, which cq_crack_keep takes with the moment. */
typedef struct cq_crack_fields {
    size_t n;
    const double *T_K, *martensite, *stress_Pa, *severity;
} cq_crack_fields;
bool cq_crack_look(cq_crack *crack, const cq_crack_fields *fields, double time_s);
void cq_crack_keep(cq_crack *crack, int cause);

/* The first moment at which the index was within a twentieth of its largest value; that value's own where it stayed
 * below the first rung. */
const cq_crack_moment *cq_crack_nearly_worst(const cq_crack *crack);

#endif
