/* pictures.h - the pictures behind cq_picture_draw. */
#ifndef CQ_REPORT_PICTURES_H
#define CQ_REPORT_PICTURES_H

#include "report/canvas.h"

cq_status cq_picture_field(const cq_result *r, cq_picture picture, cq_picture_format format, unsigned char **bytes,
                           size_t *length);
cq_status cq_picture_temperatures(const cq_result *r, cq_picture_format format, unsigned char **bytes, size_t *length);
cq_status cq_picture_cooling(const cq_result *r, cq_picture_format format, unsigned char **bytes, size_t *length,
                             cq_error *error);
cq_status cq_picture_along(const cq_result *r, cq_picture_format format, unsigned char **bytes, size_t *length);
cq_status cq_picture_curve(const cq_result *r, cq_picture_format format, unsigned char **bytes, size_t *length);

/* What every picture begins with: what is shown, and whose quench it is (title, steel, steps) in one line under it. */
void cq_picture_heading(cq_canvas *canvas, const cq_result *r, double left, double width, const char *what);

#endif
