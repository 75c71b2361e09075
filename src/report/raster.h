/* raster.h - a field on the grid as a small image, smooth between cell centres. */
#ifndef CQ_REPORT_RASTER_H
#define CQ_REPORT_RASTER_H

#include "report/canvas.h"
#include "report/colour.h"

/* How the section lies on the canvas: points per metre along the height (to the right) and across (downward), and where
 * the middle of the edge flat comes to lie. */
typedef struct cq_placing {
    double x0, y0, per_x, per_y;
} cq_placing;

/* Paint `field` (along*across of g) over the cells of `kind` in the ramp's colours, clipped by what the caller set.
 * Both halves of a symmetric grid are painted. Cells whose value is NaN stay blank. */
cq_status cq_raster_paint(cq_canvas *canvas, const cq_grid *g, const double *field, cq_cell_kind kind,
                          const cq_ramp *ramp, const cq_placing *placing);

#endif
