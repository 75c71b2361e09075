/* cooling_parts.h - what charts of cooling over the transformation curves are made of: time on a logarithmic x from the
 * fall below Ae1 on, temperature in °C on y. */
#ifndef CQ_REPORT_COOLING_PARTS_H
#define CQ_REPORT_COOLING_PARTS_H

#include "kinetics/kinetics.h"
#include "report/canvas.h"

/* The clock of the plan's soak; NULL for inert steel. */
cq_status cq_cooling_clock(const cq_result *r, cq_clock **clock, cq_error *error);

/* Curves of 1, 50 and 99 % transformed, Ae1 and Ms. Brief: the middle curve goes without its name. */
void cq_cooling_curves(cq_canvas *canvas, const cq_axes *axes, const cq_clock *clock, bool brief);
/* One of them; its name goes beside its nose, left of it unless the share is near 1. */
void cq_cooling_share(cq_canvas *canvas, const cq_axes *axes, const cq_clock *clock, double share, double width,
                      const char *name);
/* Names of the regions on the right, where few histories come. */
void cq_cooling_regions(cq_canvas *canvas, const cq_axes *axes, const cq_clock *clock);

/* A history in the style set before, against the time since it fell below Ae1, where the transformation clock starts.
 */
void cq_cooling_history(cq_canvas *canvas, const cq_axes *axes, const cq_trace *trace, double Ae1_K);

#endif
