/* section_drawing.h - the section lying on its side, edge to the left: its shapes, the clay, the line, the height axis.
 */
#ifndef CQ_REPORT_SECTION_DRAWING_H
#define CQ_REPORT_SECTION_DRAWING_H

#include "report/raster.h"

/* Where a section lies in a box from `left`, `wide` across, how tall it comes out, and how far its top is above y = 0;
 * `magnified` times thicker than true to scale (1 unless it would be too thin to read). Its top is at y = 0 until
 * cq_drawing_move.
 */
typedef struct cq_drawing {
    cq_placing place;
    double left, wide, tall, above;
    int magnified;
} cq_drawing;

cq_drawing cq_drawing_fit(const cq_grid *g, double left, double width);
void cq_drawing_move(cq_drawing *drawing, double top);
/* Take back what was magnified: before anything is drawn or moved. */
void cq_drawing_true(cq_drawing *drawing);

/* Steel in the colours of `field`; clay hatched, thin coats as a brown line. */
cq_status cq_drawing_steel(cq_canvas *canvas, const cq_grid *g, const cq_drawing *d, const double *field,
                           const cq_ramp *ramp);
/* Steel and clay in the colours of `field`. */
cq_status cq_drawing_both(cq_canvas *canvas, const cq_grid *g, const cq_drawing *d, const double *field,
                          const cq_ramp *ramp);

/* The hardening line through the thickness, with leaders and heights above the drawing and, where the faces differ,
 * below; says so when there is none. */
void cq_drawing_line(cq_canvas *canvas, const cq_result *r, const cq_drawing *d);

/* Axis of the height above the edge flat at y. */
void cq_drawing_axis(cq_canvas *canvas, const cq_result *r, const cq_drawing *d, double y);

#endif
