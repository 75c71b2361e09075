/* result_figures.h - the drawings of a result's page: section, side of the blade, charts, frames of the quench. */
#ifndef CQ_REPORT_RESULT_FIGURES_H
#define CQ_REPORT_RESULT_FIGURES_H

#include "report/page.h"

enum { CQ_FIGURE_WIDTH = 440, CQ_FILM_FRAMES = 20, CQ_FILM_KEYS = 6 };

/* Heights of the figures; each is CQ_FIGURE_WIDTH wide and drawn from a cq_result. Curve and stress where they are
 * known. */
double cq_section_figure_tall(const cq_result *r);
double cq_side_figure_tall(const cq_result *r);
double cq_chart_figure_tall(void);
double cq_film_figure_tall(const cq_result *r);
cq_status cq_section_figure(cq_canvas *canvas, const void *result);
cq_status cq_side_figure(cq_canvas *canvas, const void *result);
cq_status cq_cooling_figure(cq_canvas *canvas, const void *result);
cq_status cq_along_figure(cq_canvas *canvas, const void *result);
cq_status cq_curve_figure(cq_canvas *canvas, const void *result);
cq_status cq_stress_figure(cq_canvas *canvas, const void *result); /* as tall as the section's */
cq_status cq_carbon_figure(cq_canvas *canvas, const void *result); /* so too */
double cq_build_figure_tall(const cq_result *r);
cq_status cq_build_figure(cq_canvas *canvas, const void *result);

/* A moment of the quench: frame `at` of the result. The film's context is a cq_film_reel. */
typedef struct cq_film_reel {
    const cq_result *result;
    size_t n, at[CQ_FILM_FRAMES];
    size_t first_key; /* the last one before the first liquid */
} cq_film_reel;
/* Frames from leaving the fire to the end of the steps, at most CQ_FILM_FRAMES with the final one. */
cq_film_reel cq_film_choose(const cq_result *r);
cq_status cq_film_figure(cq_canvas *canvas, const void *frame);

/* What stands at a place's face at a moment: "in air", "film", "wetted", "in oil", "in the bath". */
const char *cq_face_state(const cq_result *r, int trace, double time_s);
/* Temperature of a built-in place at a frame: from its history, which ends with the steps; then of the nearest cell. */
double cq_frame_place_K(const cq_result *r, const cq_frame *frame, int trace);

#endif
