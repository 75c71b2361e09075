/* canvas.c - see canvas.h. */
#include "report/canvas.h"

#include "base/memory.h"
#include "report/svg.h"

#include <cairo-pdf.h>
#include <cairo-svg.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

static const double PNG_SCALE = 1.6; /* pixels per point */

static cairo_status_t collect(void *closure, const unsigned char *data, unsigned int length) {
    cq_canvas *c = closure;
    if (c->failed) {
        return CAIRO_STATUS_SUCCESS;
    }
    if (c->length + length > c->room) {
        const size_t room = 2 * (c->room + length + 4096);
        unsigned char *grown = cq_memory_grow(c->bytes, room, 1);
        if (grown == NULL) {
            c->failed = true; /* told at the end: cairo's PDF does not survive a failed write in all its parts */
            return CAIRO_STATUS_SUCCESS;
        }
        c->bytes = grown;
        c->room = room;
    }
    memcpy(c->bytes + c->length, data, length);
    c->length += length;
    return CAIRO_STATUS_SUCCESS;
}

/* What is left to do when the surface is there. */
static cq_status begin(cq_canvas *c, double scale) {
    c->cr = cairo_create(c->surface);
    if (cairo_status(c->cr) != CAIRO_STATUS_SUCCESS) {
        cairo_destroy(c->cr);
        cairo_surface_destroy(c->surface);
        return CQ_ERR_MEMORY;
    }
    cairo_scale(c->cr, scale, scale);
    cairo_set_source_rgb(c->cr, 1, 1, 1);
    cairo_paint(c->cr);
    cairo_select_font_face(c->cr, "sans-serif", CAIRO_FONT_SLANT_NORMAL, CAIRO_FONT_WEIGHT_NORMAL);
    return CQ_OK;
}

cq_status cq_canvas_open(cq_canvas *c, cq_picture_format format, double width, double height) {
    memset(c, 0, sizeof *c);
    c->format = format;
    if (format == CQ_FORMAT_SVG) {
        c->surface = cairo_svg_surface_create_for_stream(collect, c, width, height);
    } else if (format == CQ_FORMAT_PDF) {
        c->surface = cairo_pdf_surface_create_for_stream(collect, c, width, height);
        cairo_pdf_surface_set_metadata(c->surface, CAIRO_PDF_METADATA_CREATE_DATE,
                                       "2000-01-01T00:00:00Z"); /* same bytes every run */
    } else {
        c->surface =
            cairo_image_surface_create(CAIRO_FORMAT_RGB24, (int)(PNG_SCALE * width), (int)(PNG_SCALE * height));
    }
    return begin(c, format == CQ_FORMAT_PNG ? PNG_SCALE : 1.0);
}

cq_status cq_canvas_close(cq_canvas *c, unsigned char **bytes, size_t *length) {
    if (c->format == CQ_FORMAT_PNG) {
        cairo_surface_flush(c->surface);
        const cairo_status_t written = cairo_surface_write_to_png_stream(c->surface, collect, c);
        c->failed = c->failed || written != CAIRO_STATUS_SUCCESS;
    }
    c->failed = c->failed || cairo_status(c->cr) != CAIRO_STATUS_SUCCESS;
    cairo_destroy(c->cr);
    cairo_surface_finish(c->surface);
    c->failed = c->failed || cairo_surface_status(c->surface) != CAIRO_STATUS_SUCCESS;
    cairo_surface_destroy(c->surface);
    if (c->format == CQ_FORMAT_SVG && !c->failed) {
        c->failed = cq_svg_renumber(&c->bytes, &c->length) < 0;
    }
    if (c->failed) {
        cq_memory_free(c->bytes);
        return CQ_ERR_MEMORY;
    }
    *bytes = c->bytes;
    *length = c->length;
    return CQ_OK;
}

cq_status cq_easel_open(cq_canvas *c, const cq_easel *easel, double width, double height) {
    if (easel->recorded == NULL) {
        return cq_canvas_open(c, easel->format, width, height);
    }
    memset(c, 0, sizeof *c);
    c->surface = cairo_recording_surface_create(CAIRO_CONTENT_COLOR_ALPHA, &(cairo_rectangle_t){0, 0, width, height});
    *easel->recorded = (cq_recorded){NULL, width, height};
    return begin(c, 1.0);
}

cq_status cq_easel_close(cq_canvas *c, const cq_easel *easel) {
    if (easel->recorded == NULL) {
        return cq_canvas_close(c, easel->bytes, easel->length);
    }
    c->failed = c->failed || cairo_status(c->cr) != CAIRO_STATUS_SUCCESS;
    cairo_destroy(c->cr);
    if (c->failed) {
        cairo_surface_destroy(c->surface);
        return CQ_ERR_MEMORY;
    }
    easel->recorded->surface = c->surface;
    return CQ_OK;
}

cq_status cq_recorded_draw(cq_canvas *c, const void *recorded) {
    const cq_recorded *r = recorded;
    cairo_set_source_surface(c->cr, r->surface, 0.0, 0.0);
    cairo_paint(c->cr);
    return CQ_OK;
}

void cq_recorded_free(cq_recorded *r) {
    if (r->surface != NULL) {
        cairo_surface_destroy(r->surface);
        r->surface = NULL;
    }
}

static void set_size(cq_canvas *c, double size) {
    cairo_set_font_size(c->cr, c->text_scale > 0.0 ? c->text_scale * size : size);
}

void cq_canvas_text(cq_canvas *c, double x, double y, double size, int align, const char *text) {
    cairo_text_extents_t extents;
    set_size(c, size);
    cairo_text_extents(c->cr, text, &extents);
    cairo_move_to(c->cr,
                  x - (align == CQ_ALIGN_CENTRE  ? 0.5
                       : align == CQ_ALIGN_RIGHT ? 1.0
                                                 : 0.0) *
                          extents.x_advance,
                  y);
    cairo_show_text(c->cr, text);
}

void cq_canvas_label(cq_canvas *c, double x, double y, double size, int align, const char *text) {
    cairo_text_extents_t extents;
    set_size(c, size);
    cairo_text_extents(c->cr, text, &extents);
    const double share = align == CQ_ALIGN_CENTRE ? 0.5 : align == CQ_ALIGN_RIGHT ? 1.0 : 0.0;
    cairo_save(c->cr);
    cairo_set_source_rgb(c->cr, 1, 1, 1);
    cairo_set_line_width(c->cr, 3.0);
    cairo_set_line_join(c->cr, CAIRO_LINE_JOIN_ROUND);
    cairo_move_to(c->cr, x - share * extents.x_advance, y);
    cairo_text_path(c->cr, text);
    cairo_stroke(c->cr);
    cairo_restore(c->cr);
    cq_canvas_text(c, x, y, size, align, text);
}

void cq_canvas_stroke_rimmed(cq_canvas *c, double rim, double width) {
    cairo_set_source_rgb(c->cr, 1, 1, 1);
    cairo_set_line_width(c->cr, rim);
    cairo_stroke_preserve(c->cr);
    cairo_set_source_rgb(c->cr, 0.05, 0.05, 0.05);
    cairo_set_line_width(c->cr, width);
    cairo_stroke(c->cr);
}

void cq_canvas_caption(cq_canvas *c, double x, double y, double size, double width, const char *text) {
    char cut[512];
    cairo_text_extents_t extents;
    set_size(c, size);
    cairo_text_extents(c->cr, text, &extents);
    size_t n = strlen(text);
    snprintf(cut, sizeof cut, "%s", text);
    while (n > 0 && (n >= sizeof cut - 4 || extents.x_advance > width)) {
        do {
            n--;
        } while (n > 0 && ((unsigned char)text[n] & 0xc0) == 0x80); /* never inside a character */
        snprintf(cut, sizeof cut, "%.*s…", (int)(n < sizeof cut - 4 ? n : 0), text);
        cairo_text_extents(c->cr, cut, &extents);
    }
    cq_canvas_text(c, x, y, size, CQ_ALIGN_LEFT, cut);
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

double cq_axes_x(const cq_axes *a, double v) {
    const double u = (a->logs & CQ_LOG_X) != 0 ? log(v / a->x0) / log(a->x1 / a->x0) : (v - a->x0) / (a->x1 - a->x0);
    return a->x + a->width * u;
}

double cq_axes_y(const cq_axes *a, double v) {
    const double u = (a->logs & CQ_LOG_Y) != 0 ? log(v / a->y0) / log(a->y1 / a->y0) : (v - a->y0) / (a->y1 - a->y0);
    return a->y + a->height * (1.0 - u);
}

/* 1, 2 or 5 times a power of ten, about a seventh of the span. */
static double tick_step(double span) {
    const double raw = span / 7.0, power = pow(10.0, floor(log10(raw))), lead = raw / power;
    return power * (lead < 1.5 ? 1.0 : lead < 3.5 ? 2.0 : lead < 7.5 ? 5.0 : 10.0);
}

/* The same, or the next such step whose numbers have room beside one another along x. */
static double roomy_step(cq_canvas *c, const cq_axes *a) {
    double step = tick_step(a->x1 - a->x0);
    set_size(c, 10);
    for (int tries = 0; tries < 3; tries++) {
        double widest = 0.0;
        for (double v = ceil(a->x0 / step - 1e-9) * step; v <= a->x1 + 1e-9 * step; v += step) {
            char words[32];
            cairo_text_extents_t extents;
            snprintf(words, sizeof words, "%g", fabs(v) < 1e-12 ? 0.0 : v);
            cairo_text_extents(c->cr, words, &extents);
            widest = fmax(widest, extents.x_advance);
        }
        if (a->width * step / (a->x1 - a->x0) > widest + 5.0) {
            break;
        }
        step = tick_step(7.0 * 2.0 * step);
    }
    return step;
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

static void tick_y(cq_canvas *c, const cq_axes *a, double v, bool grid) {
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

static void ticks_y(cq_canvas *c, const cq_axes *a, bool grid) {
    if ((a->logs & CQ_LOG_Y) == 0) {
        const double step = tick_step(a->y1 - a->y0);
        for (double v = ceil(a->y0 / step - 1e-9) * step; v <= a->y1 + 1e-9 * step; v += step) {
            tick_y(c, a, v, grid);
        }
        return;
    }
    const bool few = log10(a->y1 / a->y0) <= 3.2; /* then 2 and 5 are named too */
    for (double power = pow(10.0, floor(log10(a->y0) + 1e-9)); power <= a->y1 * (1.0 + 1e-9); power *= 10.0) {
        static const double leads[] = {1.0, 2.0, 5.0};
        for (int n = 0; n < (few ? 3 : 1); n++) {
            const double v = leads[n] * power;
            if (v >= a->y0 * (1.0 - 1e-9) && v <= a->y1 * (1.0 + 1e-9)) {
                tick_y(c, a, v, grid);
            }
        }
    }
}

void cq_axes_draw(cq_canvas *c, const cq_axes *a, const char *x_words, const char *y_words, bool grid) {
    if ((a->logs & CQ_LOG_X) != 0) {
        const bool few = log10(a->x1 / a->x0) <= 3.2; /* then 2 and 5 are named too */
        for (double power = pow(10.0, floor(log10(a->x0))); power <= a->x1; power *= 10.0) {
            for (int lead = 1; lead < 10; lead++) {
                const double v = lead * power;
                if (v < a->x0 * (1.0 - 1e-9) || v > a->x1 * (1.0 + 1e-9)) {
                    continue;
                }
                if (lead == 1 || (few && (lead == 2 || lead == 5))) {
                    tick_x(c, a, v, grid);
                } else {
                    const double x = cq_axes_x(a, v), foot = a->y + a->height;
                    cairo_set_source_rgb(c->cr, 0.15, 0.15, 0.15);
                    cq_canvas_line(c, x, foot, x, foot + 2, 0.6, false);
                }
            }
        }
    } else {
        const double step = roomy_step(c, a);
        for (double v = ceil(a->x0 / step - 1e-9) * step; v <= a->x1 + 1e-9 * step; v += step) {
            tick_x(c, a, v, grid);
        }
    }
    if (y_words != NULL) {
        ticks_y(c, a, grid);
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
