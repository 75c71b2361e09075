/* card.h - the parts of a steel's card, one file each. */
#ifndef CQ_STUDY_CARD_H
#define CQ_STUDY_CARD_H

#include "kinetics/kinetics.h"

#include <clayquench/steel_card.h>

/* Critical size against time of transformation: D ~ t^0.6, 0.58 to 0.79 computed on bars [clayquench-fit]. */
#define CQ_SIZE_OF_TIME 0.6

/* What one soak gives to compute with. `strength` multiplies what carbide and uneven carbon do to the times: 1 is the
 * law as it stands. */
typedef struct cq_soaked {
    cq_soak soak;
    cq_clock *clock;
    double from_K;
} cq_soaked;
cq_status cq_soaked_create(cq_soaked *soaked, const cq_steel *steel, const cq_card_soak *wish, double strength,
                           cq_error *error);
void cq_soaked_free(cq_soaked *soaked);

/* card_curves.c: at constant temperature, at constant rate, after temper. */
void cq_card_isothermal(cq_steel_card *card, const cq_soaked *soaked);
cq_status cq_card_continuous(cq_steel_card *card, const cq_soaked *soaked);
cq_status cq_card_quenched(cq_steel_card *card, const cq_soaked *soaked);

/* card_soak.c: the ladder of soaks and what ten kelvin do. */
double cq_card_above_zero_K(double temp_K); /* NaN below absolute zero */
cq_card_state cq_card_state_of(const cq_soaked *soaked);
cq_status cq_card_ladder(cq_steel_card *card, cq_error *error);

/* critical_size.c: runs of plates and rounds. */
typedef struct cq_size_wish {
    const cq_steel *steel;
    cq_card_soak soak;
    const cq_card_bath *bath;
    const cq_clay *clay; /* with clay_m on all faces; NULL: bare */
    double clay_m;
    cq_family family; /* CQ_FAMILY_PLATE or CQ_FAMILY_ROUND */
} cq_size_wish;
cq_status cq_critical_size_find(cq_critical_size *found, const cq_size_wish *wish, double guess_m, cq_error *error);
/* One size: the finished run, to read and free. */
cq_status cq_size_run(cq_run **run, cq_plan *plan, cq_step_plan *step, cq_coat_point coat[1], const cq_size_wish *wish,
                      double size_m, cq_error *error);
cq_status cq_card_coolings(cq_steel_card *card, const cq_card_wish *wish, cq_error *error);

/* end_quench.c */
cq_status cq_end_quench_run(cq_end_quench bar[CQ_CARD_DISTANCES], const cq_steel *steel, const cq_card_soak *soak,
                            cq_error *error);

#endif
