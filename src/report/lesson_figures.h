/* lesson_figures.h - charts of the lesson; each is CQ_FIGURE_WIDTH wide, cq_chart_figure_tall() tall, and drawn from a
 * cq_lesson. */
#ifndef CQ_REPORT_LESSON_FIGURES_H
#define CQ_REPORT_LESSON_FIGURES_H

#include "report/result_figures.h"

#include <clayquench/lesson.h>

cq_status cq_lesson_boiling(cq_canvas *canvas, const void *lesson);   /* paths of the plate's faces */
cq_status cq_lesson_cooling(cq_canvas *canvas, const void *lesson);   /* the plates over the transformation curves */
cq_status cq_lesson_thickness(cq_canvas *canvas, const void *lesson); /* 750 to 500 degC against clay */
cq_status cq_lesson_manganese(cq_canvas *canvas, const void *lesson); /* noses of two batches, the knife over them */
cq_status cq_lesson_soak(cq_canvas *canvas, const void *lesson);      /* edge hardness against soak temperature */

/* When the first liquid of a run is entered. */
double cq_lesson_wetted_s(const cq_result *result);
/* A path's face temperature and flux at a time, straight between its steps; NaN outside. */
double cq_path_face_K(const cq_face_path *path, double time_s);
double cq_path_flux_W_m2(const cq_face_path *path, double time_s);
/* Time from 750 to 500 degC in which the steel's critical rate passes. */
double cq_lesson_critical_s(const cq_result *result);
/* Clay of a run of the plate on its faces, m. */
double cq_lesson_coat_m(const cq_lesson_run *one);

#endif
