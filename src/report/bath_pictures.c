/* bath_pictures.c - a bath's card drawn: boiling curves, probes, time against the thickness of clay. */
#include "report/bath_words.h"
#include "report/canvas.h"

#include <math.h>
#include <stdio.h>

enum { WIDTH = 780, LEFT = 64, TOP = 92, TALL = 380, FOOT = 48 };
static const double ZERO_C = 273.15;

const char *cq_bath_picture_stem(cq_bath_picture picture) {
    static const char *const stems[CQ_BATH_PICTURES] = {"bath-curve", "bath-probe", "bath-clay"};
    return stems[picture];
}

/* Line styles that differ in darkness and dash, not in hue alone. */
static void style(cq_canvas *c, size_t n) {
    static const double rgb[CQ_CARD_CURVES][3] = {
        {0.05, 0.05, 0.05}, {0.45, 0.45, 0.45}, {0.80, 0.10, 0.10}, {0.10, 0.30, 0.65}, {0.15, 0.50, 0.20}};
    static const double dash[CQ_CARD_CURVES][4] = {
        {1, 0, 1, 0}, {8, 3, 8, 3}, {2, 2, 2, 2}, {9, 3, 2, 3}, {5, 2, 5, 2}};
    cairo_set_source_rgb(c->cr, rgb[n][0], rgb[n][1], rgb[n][2]);
    cairo_set_dash(c->cr, dash[n], n == 0 ? 0 : 4, 0);
    cairo_set_line_width(c->cr, 2.0);
}

static void finish_curve(cq_canvas *c) {
    cairo_stroke(c->cr);
    cairo_set_dash(c->cr, NULL, 0, 0);
}

/* The n-th place of two rows of legends above the frame. */
static void legend(cq_canvas *c, size_t place, size_t n, const char *words) {
    const double x = LEFT + 235.0 * (double)(place % 3), y = 62.0 + 16.0 * (double)(place / 3);
    style(c, n);
    cairo_move_to(c->cr, x, y);
    cairo_line_to(c->cr, x + 34, y);
    finish_curve(c);
    cairo_set_source_rgb(c->cr, 0.1, 0.1, 0.1);
    cq_canvas_text(c, x + 40, y + 4, 11, CQ_ALIGN_LEFT, words);
}

static void heading(cq_canvas *c, const cq_bath_card *card, const char *what) {
    char words[320], stream[48] = "still";
    if (card->agitation_m_s > 0.0) {
        snprintf(stream, sizeof stream, "%.3g m/s past the steel", card->agitation_m_s);
    }
    snprintf(words, sizeof words, "%.40s at %.0f °C, %s   ·   %.160s", card->name, card->at_K - ZERO_C, stream,
             card->summary);
    cairo_set_source_rgb(c->cr, 0.05, 0.05, 0.05);
    cq_canvas_text(c, LEFT, 24, 15, CQ_ALIGN_LEFT, what);
    cq_canvas_caption(c, LEFT, 41, 11, WIDTH - LEFT - 30, words);
}

static void clip(cq_canvas *c, const cq_axes *a) {
    cairo_save(c->cr);
    cairo_rectangle(c->cr, a->x, a->y, a->width, a->height);
    cairo_clip(c->cr);
    cairo_new_path(c->cr);
}

/* A round number at or above v: 1, 1.5, 2, 3, 4, 5, 6, 8 times a power of ten. */
static double round_up(double v) {
    static const double lead[] = {1, 1.5, 2, 3, 4, 5, 6, 8, 10};
    const double power = pow(10.0, floor(log10(v)));
    for (size_t n = 0; n < sizeof lead / sizeof lead[0]; n++) {
        if (lead[n] * power >= v * (1.0 - 1e-9)) {
            return lead[n] * power;
        }
    }
    return 10.0 * power;
}

/* ---- boiling curves ---------------------------------------------------------------------------------------------- */

static void draw_curve(cq_canvas *c, const cq_bath_card *card) {
    double most = 0.01;
    for (size_t n = 0; n < card->curves_n; n++) {
        for (size_t i = 0; i < card->curves[n].n; i++) {
            most = fmax(most, 1e-6 * card->curves[n].flux_W_m2[i]);
        }
    }
    const cq_axes a = {LEFT,  TOP, WIDTH - LEFT - 30, TALL, 100.0 * floor((card->at_K - ZERO_C) / 100.0),
                       900.0, 0.0, round_up(most),    false};
    heading(c, card, "Heat drawn from steel, bare and under clay");
    cq_axes_draw(c, &a, "temperature of the steel under its layer, °C", "heat flux, MW/m²", true);
    clip(c, &a);
    for (size_t n = 0; n < card->curves_n; n++) {
        const cq_card_curve *curve = &card->curves[n];
        style(c, n);
        for (size_t i = 0; i < curve->n; i++) {
            cairo_line_to(c->cr, cq_axes_x(&a, curve->steel_K[i] - ZERO_C), cq_axes_y(&a, 1e-6 * curve->flux_W_m2[i]));
        }
        finish_curve(c);
    }
    cairo_restore(c->cr);
    for (size_t n = 0; n < card->curves_n; n++) {
        char words[96];
        const double layer_mm = 1e3 * card->curves[n].layer_m;
        snprintf(words, sizeof words, layer_mm > 0.0 ? "%.24s %.3g mm" : "%.24s", card->curves[n].name, layer_mm);
        legend(c, n, n, words);
    }
}

/* ---- probes ------------------------------------------------------------------------------------------------------ */

static void probe_line(cq_canvas *c, const cq_axes *a, const cq_card_probe *p, const double *x, size_t n) {
    clip(c, a);
    style(c, n);
    for (size_t i = 0; i < p->n; i++) {
        if (isnan(x[i])) {
            continue;
        }
        cairo_line_to(c->cr, cq_axes_x(a, x[i]), cq_axes_y(a, p->temp_K[i] - ZERO_C));
    }
    finish_curve(c);
    cairo_restore(c->cr);
}

/* Temperature against time on the left, against its rate on the right: one scale of temperature. */
static void draw_probe(cq_canvas *c, const cq_bath_card *card) {
    const double gap = 60.0, half = 0.5 * (WIDTH - LEFT - 30 - gap);
    const double last = card->probe.t200_s > 0.0 ? card->probe.t200_s : card->probe.time_s[card->probe.n - 1];
    const double fastest = fmax(card->probe.peak_rate_K_s, 0.0);
    const cq_axes time = {LEFT, TOP, half, TALL, 0.0, round_up(1.1 * last), 100.0, 900.0, false};
    const cq_axes rate = {LEFT + half + gap, TOP, half, TALL, 0.0, round_up(fastest), 100.0, 900.0, false};
    heading(c, card, "Standard probes");
    cq_axes_draw(c, &time, "seconds in the bath", "temperature, °C", true);
    cq_axes_draw(c, &rate, "cooling rate, K/s", "temperature, °C", true);
    const double top = round_up(fmax(card->silver.peak_rate_K_s, 1e-6));
    char words[160];
    probe_line(c, &time, &card->probe, card->probe.time_s, 0);
    probe_line(c, &rate, &card->probe, card->probe.rate_K_s, 0);
    probe_line(c, &time, &card->silver, card->silver.time_s, 2);
    cq_axes silver = rate; /* silver cools an order faster: its own scale, told in the legend */
    const double times = fmax(1.0, ceil(top / rate.x1));
    silver.x1 = times * rate.x1;
    probe_line(c, &silver, &card->silver, card->silver.rate_K_s, 2);
    legend(c, 0, 0, "alloy 600, 12.5 x 60 mm, centre");
    if (times > 1.0) {
        snprintf(words, sizeof words, "silver, 10 x 30 mm, surface; its rate divided by %.0f", times);
    } else {
        snprintf(words, sizeof words, "silver, 10 x 30 mm, surface");
    }
    legend(c, 1, 2, words);
    cairo_set_source_rgb(c->cr, 0.1, 0.1, 0.1);
    snprintf(words, sizeof words, "fastest %.0f K/s at %.0f °C", card->probe.peak_rate_K_s,
             card->probe.peak_at_K - ZERO_C);
    cq_canvas_label(c, rate.x + rate.width - 6, rate.y + 16, 10.5, CQ_ALIGN_RIGHT, words);
}

/* ---- thickness --------------------------------------------------------------------------------------------------- */

static void draw_clay(cq_canvas *c, const cq_bath_card *card) {
    const cq_card_clay *best = cq_bath_best_clay(card);
    const double bare_s = card->clays_n > 0 ? card->clays[0].bare_s : 1.0;
    const double highest = round_up(fmax(1.4 * bare_s, best == NULL ? 4.0 * bare_s : 6.0 * best->best_s));
    const double thinnest_mm = 0.002, thickest_mm = 2.0;
    const cq_axes a = {LEFT, TOP, WIDTH - LEFT - 30, TALL, thinnest_mm, thickest_mm, 0.0, highest, true};
    char words[200];
    snprintf(words, sizeof words, "Seconds a %.3g mm steel plate takes from 750 to 500 °C", 1e3 * card->plate_m);
    heading(c, card, words);
    cq_axes_draw(c, &a, "thickness of the clay, mm", "seconds from 750 to 500 °C", true);
    clip(c, &a);
    for (size_t n = 0; n < card->clays_n; n++) {
        const cq_card_clay *clay = &card->clays[n];
        style(c, n + 2);
        for (size_t i = 1; i < clay->n; i++) {
            cairo_line_to(c->cr, cq_axes_x(&a, 1e3 * clay->coat_m[i]), cq_axes_y(&a, clay->seconds[i]));
        }
        finish_curve(c);
    }
    style(c, 1);
    cq_canvas_line(c, a.x, cq_axes_y(&a, bare_s), a.x + a.width, cq_axes_y(&a, bare_s), 1.6, true);
    cairo_restore(c->cr);
    snprintf(words, sizeof words, "bare steel: %.2f s", bare_s);
    cairo_set_source_rgb(c->cr, 0.25, 0.25, 0.25);
    cq_canvas_label(c, a.x + 8, cq_axes_y(&a, bare_s) + (best == NULL ? 16 : -5), 11, CQ_ALIGN_LEFT, words);
    for (size_t n = 0; n < card->clays_n; n++) {
        const cq_card_clay *clay = &card->clays[n];
        legend(c, n, n + 2, clay->name);
        if (clay->has_best) {
            style(c, n + 2);
            cairo_set_dash(c->cr, NULL, 0, 0);
            cairo_arc(c->cr, cq_axes_x(&a, 1e3 * clay->best_m), cq_axes_y(&a, clay->best_s), 4.0, 0.0, 6.2832);
            cairo_fill(c->cr);
        }
    }
    if (best != NULL) {
        const double x = cq_axes_x(&a, 1e3 * best->best_m), y = cq_axes_y(&a, best->best_s);
        snprintf(words, sizeof words, "fastest: %.2g mm of %.24s, %.2f s, %.1f times faster than bare",
                 1e3 * best->best_m, best->name, best->best_s, best->bare_s / best->best_s);
        cairo_set_source_rgb(c->cr, 0.1, 0.1, 0.1);
        cq_canvas_label(c, fmin(fmax(x, a.x + 150.0), a.x + a.width - 150.0), fmin(y + 20.0, a.y + a.height - 8.0), 11,
                        CQ_ALIGN_CENTRE, words);
    }
}

cq_status cq_bath_picture_draw(const cq_bath_card *card, cq_bath_picture picture, cq_picture_format format,
                               unsigned char **bytes, size_t *length) {
    void (*const draw[CQ_BATH_PICTURES])(cq_canvas *, const cq_bath_card *) = {draw_curve, draw_probe, draw_clay};
    if (picture < 0 || picture >= CQ_BATH_PICTURES || format < 0 || format >= CQ_FORMATS) {
        return CQ_ERR_ARGUMENT;
    }
    cq_canvas c;
    if (cq_canvas_open(&c, format, WIDTH, TOP + TALL + FOOT) != CQ_OK) {
        return CQ_ERR_MEMORY;
    }
    draw[picture](&c, card);
    return cq_canvas_close(&c, bytes, length);
}
