/* canvas.c - see canvas.h. */
#include "report/canvas.h"

#include "base/memory.h"

#include <cairo-pdf.h>
#include <cairo-svg.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

static const double PNG_SCALE = 1.6; /* pixels per point */

static cairo_status_t collect(void *closure, const unsigned char *data, unsigned int length) {
    cq_canvas *c = closure;
    if (c->length + length > c->room) {
        const size_t room = 2 * (c->room + length + 4096);
        unsigned char *grown = cq_memory_grow(c->bytes, room, 1);
        if (grown == NULL) {
            c->failed = true;
            return CAIRO_STATUS_WRITE_ERROR;
        }
        c->bytes = grown;
        c->room = room;
    }
    memcpy(c->bytes + c->length, data, length);
    c->length += length;
    return CAIRO_STATUS_SUCCESS;
}

cq_status cq_canvas_open(cq_canvas *c, cq_picture_format format, double width, double height) {
    memset(c, 0, sizeof *c);
    c->format = format;
    if (format == CQ_FORMAT_SVG) {
        c->surface = cairo_svg_surface_create_for_stream(collect, c, width, height);
    } else if (format == CQ_FORMAT_PDF) {
        c->surface = cairo_pdf_surface_create_for_stream(collect, c, width, height);
        cairo_pdf_surface_set_metadata(c->surface, CAIRO_PDF_METADATA_CREATE_DATE, "2000-01-01T00:00:00Z"); /* same bytes every run */
    } else {
        c->surface = cairo_image_surface_create(CAIRO_FORMAT_RGB24, (int)(PNG_SCALE * width), (int)(PNG_SCALE * height));
    }
    c->cr = cairo_create(c->surface);
    if (cairo_status(c->cr) != CAIRO_STATUS_SUCCESS) {
        cairo_destroy(c->cr);
        cairo_surface_destroy(c->surface);
        return CQ_ERR_MEMORY;
    }
    if (format == CQ_FORMAT_PNG) {
        cairo_scale(c->cr, PNG_SCALE, PNG_SCALE);
    }
    cairo_set_source_rgb(c->cr, 1, 1, 1);
    cairo_paint(c->cr);
    cairo_select_font_face(c->cr, "sans-serif", CAIRO_FONT_SLANT_NORMAL, CAIRO_FONT_WEIGHT_NORMAL);
    return CQ_OK;
}

cq_status cq_canvas_close(cq_canvas *c, unsigned char **bytes, size_t *length) {
    if (c->format == CQ_FORMAT_PNG) {
        cairo_surface_flush(c->surface);
        c->failed = c->failed || cairo_surface_write_to_png_stream(c->surface, collect, c) != CAIRO_STATUS_SUCCESS;
    }
    c->failed = c->failed || cairo_status(c->cr) != CAIRO_STATUS_SUCCESS;
    cairo_destroy(c->cr);
    cairo_surface_finish(c->surface);
    c->failed = c->failed || cairo_surface_status(c->surface) != CAIRO_STATUS_SUCCESS;
    cairo_surface_destroy(c->surface);
    if (c->failed) {
        cq_memory_free(c->bytes);
        return CQ_ERR_MEMORY;
    }
    *bytes = c->bytes;
    *length = c->length;
    return CQ_OK;
}

void cq_canvas_text(cq_canvas *c, double x, double y, double size, int align, const char *text) {
    cairo_text_extents_t extents;
    cairo_set_font_size(c->cr, size);
    cairo_text_extents(c->cr, text, &extents);
    cairo_move_to(c->cr, x - (align == CQ_ALIGN_CENTRE ? 0.5 : align == CQ_ALIGN_RIGHT ? 1.0 : 0.0) * extents.x_advance, y);
    cairo_show_text(c->cr, text);
}

void cq_canvas_text_up(cq_canvas *c, double x, double y, double size, const char *text) {
    cairo_save(c->cr);
    cairo_translate(c->cr, x, y);
    cairo_rotate(c->cr, -1.5707963267948966);
    cq_canvas_text(c, 0, 0, size, CQ_ALIGN_CENTRE, text);
    cairo_restore(c->cr);
}

void cq_canvas_line(cq_canvas *c, double x0, double y0, double x1, double y1, double width, bool dashed) {
    const double dash[2] = {4.0, 3.0};
    cairo_set_dash(c->cr, dash, dashed ? 2 : 0, 0);
    cairo_set_line_width(c->cr, width);
    cairo_move_to(c->cr, x0, y0);
    cairo_line_to(c->cr, x1, y1);
    cairo_stroke(c->cr);
    cairo_set_dash(c->cr, dash, 0, 0);
}

/* CIELAB (D65) to sRGB [iec61966]. */
static void lab_to_rgb(double L, double a, double b, double rgb[3]) {
    const double fy = (L + 16.0) / 116.0, f[3] = {fy + a / 500.0, fy, fy - b / 200.0}, white[3] = {0.9505, 1.0, 1.089};
    double xyz[3];
    for (int n = 0; n < 3; n++) {
        xyz[n] = white[n] * (f[n] > 6.0 / 29.0 ? f[n] * f[n] * f[n] : 3.0 * 36.0 / 841.0 * (f[n] - 4.0 / 29.0));
    }
    const double linear[3] = {3.2406 * xyz[0] - 1.5372 * xyz[1] - 0.4986 * xyz[2], -0.9689 * xyz[0] + 1.8758 * xyz[1] + 0.0415 * xyz[2],
                              0.0557 * xyz[0] - 0.2040 * xyz[1] + 1.0570 * xyz[2]};
    for (int n = 0; n < 3; n++) {
        const double v = fmin(1.0, fmax(0.0, linear[n]));
        rgb[n] = v <= 0.0031308 ? 12.92 * v : 1.055 * pow(v, 1.0 / 2.4) - 0.055;
    }
}

void cq_colour_of(double u, double rgb[3]) {
    const double v = fmin(1.0, fmax(0.0, u));
    const double L = 24.0 + 68.0 * v;
    const double a = 14.0 + 26.0 * 4.0 * v * (1.0 - v) * (1.0 - v) - 22.0 * v, b = -48.0 + 62.0 * v + 42.0 * v * v;
    lab_to_rgb(L, a, b, rgb);
}

void cq_canvas_colour(cq_canvas *c, double u) {
    double rgb[3];
    cq_colour_of(u, rgb);
    cairo_set_source_rgb(c->cr, rgb[0], rgb[1], rgb[2]);
}

double cq_axes_x(const cq_axes *a, double v) {
    const double u = a->log_x ? log(v / a->x0) / log(a->x1 / a->x0) : (v - a->x0) / (a->x1 - a->x0);
    return a->x + a->width * u;
}

double cq_axes_y(const cq_axes *a, double v) {
    return a->y + a->height * (1.0 - (v - a->y0) / (a->y1 - a->y0));
}

/* 1, 2 or 5 times a power of ten, about a sixth of the span. */
static double tick_step(double span) {
    const double raw = span / 7.0, power = pow(10.0, floor(log10(raw))), lead = raw / power;
    return power * (lead < 1.5 ? 1.0 : lead < 3.5 ? 2.0 : lead < 7.5 ? 5.0 : 10.0);
}

static void tick_x(cq_canvas *c, const cq_axes *a, double v, bool grid) {
    char words[32];
    snprintf(words, sizeof words, "%g", fabs(v) < 1e-12 ? 0.0 : v);
    const double x = cq_axes_x(a, v);
    if (grid) {
        cairo_set_source_rgb(c->cr, 0.87, 0.87, 0.87);
        cq_canvas_line(c, x, a->y, x, a->y + a->height, 0.6, false);
    }
    cairo_set_source_rgb(c->cr, 0.15, 0.15, 0.15);
    cq_canvas_line(c, x, a->y + a->height, x, a->y + a->height + 4, 0.8, false);
    cq_canvas_text(c, x, a->y + a->height + 15, 10, CQ_ALIGN_CENTRE, words);
}

void cq_axes_draw(cq_canvas *c, const cq_axes *a, const char *x_words, const char *y_words, bool grid) {
    if (a->log_x) {
        for (double v = pow(10.0, ceil(log10(a->x0) - 1e-9)); v <= a->x1 * 1.0001; v *= 10.0) {
            tick_x(c, a, v, grid);
        }
    } else {
        const double step = tick_step(a->x1 - a->x0);
        for (double v = ceil(a->x0 / step - 1e-9) * step; v <= a->x1 + 1e-9 * step; v += step) {
            tick_x(c, a, v, grid);
        }
    }
    const double step = tick_step(a->y1 - a->y0);
    for (double v = ceil(a->y0 / step - 1e-9) * step; y_words != NULL && v <= a->y1 + 1e-9 * step; v += step) {
        char words[32];
        snprintf(words, sizeof words, "%g", fabs(v) < 1e-12 ? 0.0 : v);
        const double y = cq_axes_y(a, v);
        if (grid) {
            cairo_set_source_rgb(c->cr, 0.87, 0.87, 0.87);
            cq_canvas_line(c, a->x, y, a->x + a->width, y, 0.6, false);
        }
        cairo_set_source_rgb(c->cr, 0.15, 0.15, 0.15);
        cq_canvas_line(c, a->x - 4, y, a->x, y, 0.8, false);
        cq_canvas_text(c, a->x - 7, y + 3.5, 10, CQ_ALIGN_RIGHT, words);
    }
    cairo_set_source_rgb(c->cr, 0.15, 0.15, 0.15);
    cq_canvas_text(c, a->x + 0.5 * a->width, a->y + a->height + 32, 11, CQ_ALIGN_CENTRE, x_words);
    if (y_words != NULL) {
        cq_canvas_text_up(c, a->x - 38, a->y + 0.5 * a->height, 11, y_words);
        cairo_set_line_width(c->cr, 1.0);
        cairo_rectangle(c->cr, a->x, a->y, a->width, a->height);
        cairo_stroke(c->cr);
    } else {
        cq_canvas_line(c, a->x, a->y + a->height, a->x + a->width, a->y + a->height, 1.0, false);
    }
}

void cq_canvas_scale(cq_canvas *c, double x, double y, double width, double low, double high, const char *words) {
    enum { STEPS = 100 };
    cairo_save(c->cr);
    cairo_set_antialias(c->cr, CAIRO_ANTIALIAS_NONE);
    for (int n = 0; n < STEPS; n++) {
        cq_canvas_colour(c, (n + 0.5) / STEPS);
        cairo_rectangle(c->cr, x + width * n / STEPS, y, width / STEPS + 0.7, 12);
        cairo_fill(c->cr);
    }
    cairo_restore(c->cr);
    const cq_axes axes = {x, y, width, 12, low, high, 0, 1, false};
    cq_axes_draw(c, &axes, words, NULL, false);
}
