/* lay_rim.h - how high the rim must be for a wanted line, other lengths given: one unknown a face, on a lattice.
 *
 * The line rises with the rim, so every answer leaves the wanted rim above or below what was tried. The next try is
 * one step of Newton's method of slope 1 (the line rises with the rim, nearly as far), held within what is left; where
 * there is no line to measure (hard right through, no hard edge) the end on that side is tried first, then what is left
 * is halved.
 * No derivative is needed.
 */
#ifndef CQ_STUDY_LAY_RIM_H
#define CQ_STUDY_LAY_RIM_H

#include <clayquench/lay.h>

/* The search of one face: places are multiples of the step. */
typedef struct cq_rim_search {
    int at;           /* to try now */
    int most;         /* the last place */
    int below, above; /* highest place known to be too low, lowest known to be too high */
    bool over;
    int best; /* place of the smallest miss so far; -1: none */
    double best_miss_m;
} cq_rim_search;

/* Places 0 to `most`, beginning at `at`. */
cq_rim_search cq_rim_begin(int at, int most);
/* Take in what came of trying `at`: line above (+) or below (-) the wanted one, HUGE_VAL: hard all the way up,
 * -HUGE_VAL: no hard edge, NaN: the run failed, which ends it. Sets the next place, or `over`. */
void cq_rim_learn(cq_rim_search *rim, double miss_m, double step_m);

/* By how much a row's line misses the wanted one on a face, in the same terms. */
double cq_rim_miss(const cq_row *row, cq_figure line, double wanted_m);

#endif
