/* card_chart_parts.h - what the charts of a steel's card share. */
#ifndef CQ_REPORT_CARD_CHART_PARTS_H
#define CQ_REPORT_CARD_CHART_PARTS_H

#include "report/canvas.h"
#include "report/chart_parts.h"

#include <clayquench/report.h>

enum { CQ_CARD_RIGHT = 36, CQ_CARD_SOAK_TALL = CHART_TOP + 416 }; /* down to the axis of the soak's lower panel */

/* What is shown; below, whose: steel, soak, composition. */
void cq_card_heading(cq_canvas *c, const cq_steel_card *card, const char *what);
void cq_card_ink(cq_canvas *c, double grey);
/* The path filled, or white with a rim. */
void cq_card_marker(cq_canvas *c, bool filled);
/* A curve of n points, broken where one is NaN or lies outside the scales. */
void cq_card_curve(cq_canvas *c, const cq_axes *a, size_t n, const double *x, const double *y);

/* card_soak_chart.c */
void cq_card_soak_draw(cq_canvas *c, const cq_steel_card *card);

#endif
