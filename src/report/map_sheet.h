/* map_sheet.h - a map under way: where its axes lie, what is known of its runs, and the words that stand already. */
#ifndef CQ_REPORT_MAP_SHEET_H
#define CQ_REPORT_MAP_SHEET_H

#include "report/canvas.h"
#include "report/chart_parts.h"
#include "report/map_grid.h"

enum { CQ_MAP_LABELS = 96 };

typedef struct cq_map_box {
    double x0, y0, x1, y1;
} cq_map_box;

typedef struct cq_map_sheet {
    cq_canvas *canvas;
    const cq_map_grid *g;
    cq_axes axes;
    cq_ramp ramp; /* mm */
    size_t boxes_n;
    cq_map_box boxes[CQ_MAP_LABELS]; /* words that stand already */
} cq_map_sheet;

/* Words centred at (x, y), moved by `most` at most where they would stand out of the frame; false if they would lie on
 * something else. */
bool cq_map_put_label(cq_map_sheet *s, double x, double y, double size, double most, const char *words);

/* map_regions.c: hatching where there is no line, borders half-way between runs of unlike verdicts, their names. */
void cq_map_hatch(const cq_map_sheet *s);
void cq_map_borders(const cq_map_sheet *s);
cq_status cq_map_name_regions(cq_map_sheet *s);

/* map_contours.c: lines of equal height, or their heights in words. */
void cq_map_contours(cq_map_sheet *s, bool words_now);
double cq_map_level_step(double span); /* round, for some levels over a span */

#endif
