/* grading.c - where cells are fine and where they may be coarse, across the blade and through a coat. */
#include "section/shape.h"

#include <math.h>

/* Steel: the cell at the face is 0.65 of the mean, at the mid-plane 1.35. */
double cq_grading_steel(double u) {
    const double beta = 0.35;
    return (1.0 + beta) * u - beta * u * u;
}

/* Clay: cells grow outward by about 1.43 each. The steel side decides the line: it is where a coarse cell smears the
 * meeting of bare and clad steel. Coarse outer cells can leave the outer face three temperatures to choose from under a
 * bath with a vapour film; the closure follows the branch. Refinement keeps the same curve, so that grids nest. */
double cq_grading_clay(double u, int base_cells) {
    const double shrink = 0.7;
    return base_cells < 2 ? u : (1.0 - pow(shrink, -base_cells * u)) / (1.0 - pow(shrink, -base_cells));
}
