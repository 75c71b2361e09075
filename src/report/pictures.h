/* pictures.h - the pictures behind cq_picture_draw. */
#ifndef CQ_REPORT_PICTURES_H
#define CQ_REPORT_PICTURES_H

#include "report/chart_parts.h"
#include "report/section_drawing.h"

cq_status cq_picture_field(const cq_result *r, cq_picture picture, cq_picture_format format, unsigned char **bytes,
                           size_t *length);
cq_status cq_picture_build(const cq_result *r, cq_picture_format format, unsigned char **bytes, size_t *length);
cq_status cq_picture_temperatures(const cq_result *r, cq_picture_format format, unsigned char **bytes, size_t *length);
cq_status cq_picture_cooling(const cq_result *r, cq_picture_format format, unsigned char **bytes, size_t *length,
                             cq_error *error);
cq_status cq_picture_along(const cq_result *r, cq_picture_format format, unsigned char **bytes, size_t *length);
cq_status cq_picture_curve(const cq_result *r, cq_picture_format format, unsigned char **bytes, size_t *length);

/* The charts without heading: cooling over the transformation curves; hardness along the height, of a brief one after
 * temper too; the curve against time. */
cq_status cq_chart_cooling(cq_canvas *canvas, const cq_result *r, cq_chart_place *place, cq_error *error);
void cq_chart_along(cq_canvas *canvas, const cq_result *r, cq_chart_place *place);
void cq_chart_curve(cq_canvas *canvas, const cq_result *r, cq_chart_place *place); /* where the curve is known */

/* Zones of several steels in a drawing, their names below the axis, which lies at `axis`; how much lies below it. */
cq_status cq_chart_build(cq_canvas *canvas, const cq_result *r, const cq_drawing *d, double axis);
double cq_build_below(const cq_result *r);

/* Scales that hold every value of a result: 200 to 900 HV and 0 to 800 °C (in kelvin), or more. */
cq_ramp cq_ramp_hardness(const cq_result *r);
cq_ramp cq_ramp_temperature(const cq_result *r);
/* Stress along the blade, Pa: even on both sides of none. */
cq_ramp cq_ramp_stress(const cq_result *r);
cq_ramp cq_ramp_carbon(const cq_result *r); /* per cent, from none; of a section whose carbon differs */

/* What every picture begins with: what is shown, and whose quench it is (title, steel, steps) in one line under it. */
void cq_picture_heading(cq_canvas *canvas, const cq_result *r, double left, double width, const char *what);

#endif
