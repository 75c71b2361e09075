/* glow_picture.c - the colours of hot steel drawn: strips over the temperature, swatches of the trade's words,
 * luminance.
 */
#include "report/canvas.h"
#include "report/glow_words.h"

#include <math.h>
#include <stdio.h>

enum { WIDTH = 780, HEIGHT = 656, LEFT = 64, RIGHT = 24 };
static const double STRIP_TALL = 54, DARK_Y = 78, DAY_Y = 170, CHART_Y = 248, CHART_TALL = 150;
static const double SWATCH_Y = 500, SWATCH_TALL = 44;
static const double ZERO_C = 273.15;

static const double SURROUND[CQ_GLOW_LIGHTS] = {0.04, 0.62}; /* grey the eye is meant to be used to */
static const char *const LIGHT_WORDS[CQ_GLOW_LIGHTS] = {"in the dark", "in daylight, 1000 lx"};

static double shown(double temp_K, cq_unit_system units) {
    return units == CQ_UNITS_US ? 1.8 * (temp_K - ZERO_C) + 32.0 : temp_K - ZERO_C;
}

static cq_axes axes_of(cq_unit_system units) {
    return (cq_axes){.x = LEFT,
                     .y = CHART_Y,
                     .width = WIDTH - LEFT - RIGHT,
                     .height = CHART_TALL,
                     .x0 = shown(CQ_GLOW_FIRST_K, units),
                     .x1 = shown(CQ_GLOW_LAST_K, units),
                     .y0 = -3.0,
                     .y1 = 5.0};
}

static void paint(cq_canvas *c, double temp_K, cq_glow_light light, const double box[4]) {
    const cq_glow glow = cq_glow_of(temp_K, CQ_GLOW_SCALE, light);
    cairo_set_source_rgb(c->cr, glow.srgb[0], glow.srgb[1], glow.srgb[2]);
    cairo_rectangle(c->cr, box[0], box[1], box[2], box[3]);
    cairo_fill(c->cr);
}

static void surround(cq_canvas *c, cq_glow_light light, const double box[4]) {
    const double grey = SURROUND[light];
    cairo_set_source_rgb(c->cr, grey, grey, grey);
    cairo_rectangle(c->cr, box[0], box[1], box[2], box[3]);
    cairo_fill(c->cr);
}

/* A strip whose columns overlap by half a point, so that no seam shows. */
static void draw_strip(cq_canvas *c, const cq_axes *a, cq_glow_light light, double y) {
    enum { PIECES = 200 };
    surround(c, light, (const double[4]){a->x - 6, y - 6, a->width + 12, STRIP_TALL + 12});
    for (int n = 0; n < PIECES; n++) {
        const double u = (n + 0.5) / PIECES, wide = a->width / PIECES;
        const double temp_K = CQ_GLOW_FIRST_K + u * (CQ_GLOW_LAST_K - CQ_GLOW_FIRST_K);
        paint(c, temp_K, light, (const double[4]){a->x + n * wide, y, wide + (n + 1 < PIECES ? 0.5 : 0.0), STRIP_TALL});
    }
    cairo_set_source_rgb(c->cr, 0.1, 0.1, 0.1);
    cq_canvas_text(c, a->x - 6, y - 11, 11, CQ_ALIGN_LEFT, LIGHT_WORDS[light]);
}

static void draw_luminance(cq_canvas *c, const cq_axes *a, cq_unit_system units) {
    cq_axes_draw(c, a, units == CQ_UNITS_US ? "temperature, °F" : "temperature, °C", "log10 of cd/m²", true);
    cq_canvas_label(c, a->x + 8, a->y + 16, 11, CQ_ALIGN_LEFT, "luminance");
    cairo_new_path(c->cr);
    cairo_set_source_rgb(c->cr, 0.80, 0.10, 0.10);
    cairo_set_line_width(c->cr, 2.0);
    for (double temp_K = CQ_GLOW_FIRST_K; temp_K < CQ_GLOW_LAST_K + 1.0; temp_K += 10.0) {
        const cq_glow glow = cq_glow_of(temp_K, CQ_GLOW_SCALE, CQ_GLOW_DARK);
        cairo_line_to(c->cr, cq_axes_x(a, shown(temp_K, units)), cq_axes_y(a, log10(glow.luminance_cd_m2)));
    }
    cairo_stroke(c->cr);
    const double limit = cq_axes_y(a, log10(0.005));
    cairo_set_source_rgb(c->cr, 0.35, 0.35, 0.35);
    cq_canvas_line(c, a->x, limit, a->x + a->width, limit, 1.0, true);
    cq_canvas_label(c, a->x + a->width - 6, limit - 5, 10, CQ_ALIGN_RIGHT, "below: no colour is seen even in the dark");
}

static void draw_swatches(cq_canvas *c, cq_unit_system units) {
    const double wide = (double)(WIDTH - LEFT - RIGHT) / CQ_GLOW_BANDS;
    for (int light = 0; light < CQ_GLOW_LIGHTS; light++) {
        const double y = SWATCH_Y + light * SWATCH_TALL;
        surround(c, (cq_glow_light)light, (const double[4]){LEFT - 6, y - 3, WIDTH - LEFT - RIGHT + 12, SWATCH_TALL});
    }
    for (int n = 0; n < CQ_GLOW_BANDS; n++) {
        char number[24];
        const cq_glow_band *band = &cq_glow_bands[n];
        const double x = LEFT + n * wide, temp_K = band->temp_K;
        for (int light = 0; light < CQ_GLOW_LIGHTS; light++) {
            paint(c, temp_K, (cq_glow_light)light,
                  (const double[4]){x + 4, SWATCH_Y + light * SWATCH_TALL + 3, wide - 8, SWATCH_TALL - 12});
        }
        snprintf(number, sizeof number, "%.0f %s", shown(temp_K, units), units == CQ_UNITS_US ? "°F" : "°C");
        cairo_set_source_rgb(c->cr, 0.1, 0.1, 0.1);
        cq_canvas_text(c, x + 0.5 * wide, SWATCH_Y - 10, 10, CQ_ALIGN_CENTRE, number);
        cq_canvas_text(c, x + 0.5 * wide, SWATCH_Y + 2 * SWATCH_TALL + 13, 8.5, CQ_ALIGN_CENTRE, band->word);
    }
    cq_canvas_text(c, LEFT - 10, SWATCH_Y + 24, 10, CQ_ALIGN_RIGHT, "dark");
    cq_canvas_text(c, LEFT - 10, SWATCH_Y + SWATCH_TALL + 24, 10, CQ_ALIGN_RIGHT, "daylight");
}

cq_status cq_glow_picture_draw(cq_unit_system units, cq_picture_format format, unsigned char **bytes, size_t *length) {
    cq_canvas c;
    char words[160];
    const cq_axes a = axes_of(units);
    const bool us = units == CQ_UNITS_US;
    cq_status status = cq_canvas_open(&c, format, WIDTH, HEIGHT);
    if (status < 0) {
        return status;
    }
    cairo_set_source_rgb(c.cr, 0.05, 0.05, 0.05);
    cq_canvas_text(&c, LEFT, 26, 15, CQ_ALIGN_LEFT, "Colour of hot steel");
    snprintf(words, sizeof words, "under scale, emissivity %.2f; what a screen in ordinary light can show of it",
             CQ_GLOW_SCALE);
    cq_canvas_caption(&c, LEFT, 44, 11, WIDTH - LEFT - RIGHT, words);
    draw_strip(&c, &a, CQ_GLOW_DARK, DARK_Y);
    draw_strip(&c, &a, CQ_GLOW_DAYLIGHT, DAY_Y);
    draw_luminance(&c, &a, units);
    cairo_set_source_rgb(c.cr, 0.05, 0.05, 0.05);
    cq_canvas_text(&c, LEFT, SWATCH_Y - 32, 12, CQ_ALIGN_LEFT,
                   "The trade's words at their temperatures (White and Taylor 1900, from memory)");
    draw_swatches(&c, units);
    snprintf(words, sizeof words,
             "A practised eye: ±%.0f %s at best, in one dim light; ±%.0f %s usually (common practice, no source).",
             CQ_GLOW_EYE_BEST_K * (us ? 1.8 : 1.0), us ? "°F" : "°C", CQ_GLOW_EYE_USUAL_K * (us ? 1.8 : 1.0),
             us ? "°F" : "°C");
    cq_canvas_caption(&c, LEFT, HEIGHT - 22, 11, WIDTH - LEFT - RIGHT, words);
    return cq_canvas_close(&c, bytes, length);
}
