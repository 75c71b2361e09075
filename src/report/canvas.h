/* canvas.h - a cairo surface that ends as SVG, PNG or PDF bytes; text, lines and axes on it. Units: points. */
#ifndef CQ_REPORT_CANVAS_H
#define CQ_REPORT_CANVAS_H

#include <cairo.h>
#include <clayquench/report.h>

typedef struct cq_canvas {
    cairo_t *cr;
    cairo_surface_t *surface;
    double text_scale; /* sizes of text are multiplied by it; 0 stands for 1 */
    cq_picture_format format;
    unsigned char *bytes;
    size_t length, room;
    bool failed;
} cq_canvas;

cq_status cq_canvas_open(cq_canvas *canvas, cq_picture_format format, double width, double height);
/* Finish and hand over the bytes; releases the canvas whatever happens. */
cq_status cq_canvas_close(cq_canvas *canvas, unsigned char **bytes, size_t *length);

/* Where a picture goes: into a file's bytes, or, where `recorded` is not NULL, kept as it was drawn, to be set into a
 * page. */
typedef struct cq_recorded {
    cairo_surface_t *surface; /* released with cq_recorded_free */
    double width, height;
} cq_recorded;
typedef struct cq_easel {
    cq_picture_format format;
    unsigned char **bytes;
    size_t *length;
    cq_recorded *recorded;
} cq_easel;
cq_status cq_easel_open(cq_canvas *canvas, const cq_easel *easel, double width, double height);
cq_status cq_easel_close(cq_canvas *canvas, const cq_easel *easel);
/* A cq_page_draw: sets a recorded picture at (0, 0). */
cq_status cq_recorded_draw(cq_canvas *canvas, const void *recorded);
void cq_recorded_free(cq_recorded *recorded);

/* Strokes the path in black on a white rim: a line that may lie over any colour. */
void cq_canvas_stroke_rimmed(cq_canvas *canvas, double rim, double width);

enum { CQ_ALIGN_LEFT, CQ_ALIGN_CENTRE, CQ_ALIGN_RIGHT };
void cq_canvas_text(cq_canvas *canvas, double x, double y, double size, int align, const char *text);
/* The same on a white rim, for text that may lie over curves. */
void cq_canvas_label(cq_canvas *canvas, double x, double y, double size, int align, const char *text);
/* From the left; cut with an ellipsis where it would be wider than `width`. */
void cq_canvas_caption(cq_canvas *canvas, double x, double y, double size, double width, const char *text);
void cq_canvas_text_up(cq_canvas *canvas, double x, double y, double size, const char *text);
void cq_canvas_line(cq_canvas *canvas, double x0, double y0, double x1, double y1, double width, bool dashed);

/* A rectangle with a scale each way, linear or logarithmic. */
enum { CQ_LOG_X = 1, CQ_LOG_Y = 2 };
typedef struct cq_axes {
    double x, y, width, height; /* on the canvas, y down */
    double x0, x1, y0, y1;      /* scales, y up */
    int logs;                   /* which are logarithmic: 0, CQ_LOG_X (as true), CQ_LOG_Y, both */
} cq_axes;
/* Ticks, numbers and words; y_words NULL: a scale along x alone. */
void cq_axes_draw(cq_canvas *canvas, const cq_axes *axes, const char *x_words, const char *y_words, bool grid);
double cq_axes_x(const cq_axes *axes, double v);
double cq_axes_y(const cq_axes *axes, double v);
#endif
