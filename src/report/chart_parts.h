/* chart_parts.h - measures, line styles, legends and the Rockwell axis that all charts share. */
#ifndef CQ_REPORT_CHART_PARTS_H
#define CQ_REPORT_CHART_PARTS_H

#include "report/canvas.h"
#include "report/colour.h"

enum { CHART_WIDTH = 780, CHART_LEFT = 64, CHART_TOP = 84, CHART_TALL = 380, LEGEND_Y = 68, CHART_STYLES = 5 };

/* Line styles 0 to 4 that differ in darkness and dash, not in hue alone. */
void cq_chart_style(cq_canvas *canvas, int n);
/* Stroke the path and forget its dashes. */
void cq_chart_stroke(cq_canvas *canvas);
/* Style n with its words in the row of legends above the frame: at x, or at the given of four places. */
void cq_chart_legend_at(cq_canvas *canvas, double x, int n, const char *words);
void cq_chart_legend(cq_canvas *canvas, int place, int n, const char *words);
/* A chart's frame on the canvas, and how it is told: brief charts of a page have short words, and their legends run in
 * rows from legend_y on, as many to a row as there is room for; others have four places in one row. */
typedef struct cq_chart_place {
    double x, y, width, height, legend_y;
    bool brief;
    int legends;     /* how many were put */
    double legend_x; /* where the next one of a brief chart begins */
} cq_chart_place;
void cq_chart_legend_in(cq_canvas *canvas, cq_chart_place *place, int n, const char *words);
/* HRC ticks on the right of axes whose y is HV. */
void cq_chart_rockwell(cq_canvas *canvas, const cq_axes *axes);
/* The scale of colours with what its ends stand for, numbers and words below it. */
void cq_chart_colour_bar(cq_canvas *canvas, double x, double y, double width, const cq_ramp *ramp, const char *words);

#endif
