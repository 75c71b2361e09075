/* charts.c - cooling of edge, body and spine over the steel's transformation curves; hardness along the height. */
#include "hardness/hardness.h"
#include "report/chart_parts.h"
#include "report/cooling_parts.h"
#include "report/pictures.h"

#include <math.h>
#include <stdio.h>

static const double ZERO_C = 273.15;

/* ---- cooling ----------------------------------------------------------------------------------------------------- */

static const double CURVE_GREY = 0.42;

void cq_cooling_share(cq_canvas *c, const cq_axes *a, const cq_clock *clock, double share, double width,
                      const char *name) {
    const cq_criticals k = cq_clock_criticals(clock);
    double nose_s = HUGE_VAL, nose_K = 0.0;
    cairo_set_source_rgb(c->cr, CURVE_GREY, CURVE_GREY, CURVE_GREY);
    cairo_set_line_width(c->cr, width);
    cairo_new_path(c->cr);
    for (double T = k.Ae1_K - 6.0; T > k.Ms_K; T -= 4.0) {
        const cq_half_times half = cq_clock_half_times(clock, T);
        const double t = cq_both_s(half.pearlite_s, half.bainite_s, share);
        if (!(t > a->x0 && t < a->x1)) {
            cairo_new_sub_path(c->cr);
            continue;
        }
        cairo_line_to(c->cr, cq_axes_x(a, t), cq_axes_y(a, T - ZERO_C));
        if (t < nose_s) {
            nose_s = t;
            nose_K = T;
        }
    }
    cairo_stroke(c->cr);
    if (nose_K > 0.0) {
        const bool last = share > 0.9;
        cq_canvas_label(c, cq_axes_x(a, nose_s) + (last ? 5 : -5), cq_axes_y(a, nose_K - ZERO_C) + 4, 10,
                        last ? CQ_ALIGN_LEFT : CQ_ALIGN_RIGHT, name);
    }
}

static void level(cq_canvas *c, const cq_axes *a, double T_K) {
    const double y = cq_axes_y(a, T_K - ZERO_C);
    cairo_set_source_rgb(c->cr, CURVE_GREY, CURVE_GREY, CURVE_GREY);
    cq_canvas_line(c, a->x, y, a->x + a->width, y, 1.0, false);
}

void cq_cooling_curves(cq_canvas *c, const cq_axes *a, const cq_clock *clock, bool brief) {
    const cq_criticals k = cq_clock_criticals(clock);
    level(c, a, k.Ms_K);
    level(c, a, k.Ae1_K);
    cq_cooling_share(c, a, clock, 0.01, 1.1, "1 %");
    cq_cooling_share(c, a, clock, 0.50, 1.8, brief ? "" : "50 %");
    cq_cooling_share(c, a, clock, 0.99, 1.1, "99 %");
}

void cq_cooling_regions(cq_canvas *c, const cq_axes *a, const cq_clock *clock) {
    const cq_criticals k = cq_clock_criticals(clock);
    const double fine_K = k.Ae1_K - 110.0, bainite_K = k.Ms_K + 0.4 * (k.Ae1_K - k.Ms_K), right = a->x + a->width - 6;
    const cq_half_times half = cq_clock_half_times(clock, bainite_K);
    const double bainite_x =
        cq_axes_x(a, cq_both_s(half.pearlite_s, half.bainite_s, 0.99)) + 12.0; /* beside its 99 % */
    char words[80];
    cairo_set_source_rgb(c->cr, 0.25, 0.25, 0.25);
    snprintf(words, sizeof words, "Ae1 %.0f °C: austenite above", k.Ae1_K - ZERO_C);
    cq_canvas_label(c, right, cq_axes_y(a, k.Ae1_K - ZERO_C) - 5, 10.5, CQ_ALIGN_RIGHT, words);
    snprintf(words, sizeof words, "Ms %.0f °C: martensite below", k.Ms_K - ZERO_C);
    cq_canvas_label(c, right, cq_axes_y(a, k.Ms_K - ZERO_C) + 14, 10.5, CQ_ALIGN_RIGHT, words);
    cq_canvas_label(c, right, cq_axes_y(a, fine_K - ZERO_C) + 4, 11, CQ_ALIGN_RIGHT, "fine pearlite (troostite)");
    cq_canvas_label(c, fmin(bainite_x, right - 44.0), cq_axes_y(a, bainite_K - ZERO_C) - 4, 11, CQ_ALIGN_LEFT,
                    "bainite");
}

void cq_cooling_history(cq_canvas *c, const cq_axes *a, const cq_trace *t, double Ae1_K) {
    const double start = cq_trace_falls_s(t, Ae1_K);
    cairo_new_path(c->cr);
    for (size_t n = 1; n < t->n && !isnan(start); n++) {
        const double before = t->time_s[n - 1] - start, since = t->time_s[n] - start;
        if (!(since > a->x0)) {
            continue;
        }
        if (before <= a->x0) { /* enters through the left side of the frame */
            const double u = (a->x0 - before) / (since - before);
            const double T = t->temp_K[n - 1] + u * (t->temp_K[n] - t->temp_K[n - 1]);
            cairo_move_to(c->cr, a->x, cq_axes_y(a, T - ZERO_C));
        }
        cairo_line_to(c->cr, cq_axes_x(a, since), cq_axes_y(a, t->temp_K[n] - ZERO_C));
    }
    cq_chart_stroke(c);
}

/* A frame of whole decades and hundreds that holds every history. */
static cq_axes cooling_axes(const cq_result *r, const cq_chart_place *place) {
    double longest = 1000.0, hottest = 850.0, coldest = 0.0;
    for (size_t n = 0; n < CQ_TRACES_FIXED; n++) {
        const cq_trace *t = &r->traces[n];
        longest = t->n > 0 ? fmax(longest, t->time_s[t->n - 1]) : longest;
        for (size_t i = 0; i < t->n; i++) {
            hottest = fmax(hottest, t->temp_K[i] - ZERO_C);
            coldest = fmin(coldest, t->temp_K[i] - ZERO_C);
        }
    }
    return (cq_axes){place->x,
                     place->y,
                     place->width,
                     place->height,
                     0.01,
                     pow(10.0, ceil(log10(longest) - 1e-9)),
                     50.0 * floor(coldest / 50.0),
                     50.0 * ceil(hottest / 50.0 - 1e-9),
                     true};
}

cq_status cq_cooling_clock(const cq_result *r, cq_clock **clock, cq_error *error) {
    const cq_heat_plan *heat = &r->plan->heat;
    const bool start = heat->start_K > 0.0;
    *clock = NULL;
    if (!r->transforming) {
        return CQ_OK;
    }
    const bool fired = r->fired.edge_K > 0.0; /* from a fire: a soak as hot as the edge became */
    const cq_soak_wish wish = {fired ? r->fired.edge_K : heat->temperature_K, heat->hold_s, heat->stock};
    const cq_soak soak = start ? cq_soak_start(&r->plan->steel, heat->start_K) : cq_soak_of(&r->plan->steel, &wish);
    return cq_clock_create(clock, &r->plan->steel, &soak, error);
}

static const char *cooling_words(bool clock, bool brief) {
    if (brief) {
        return clock ? "seconds since the place fell below Ae1" : "seconds since the place fell below 727 °C";
    }
    return clock ? "seconds since the place fell below Ae1    (grey: share transformed if held at that temperature)"
                 : "seconds since the place fell below 727 °C";
}

cq_status cq_chart_cooling(cq_canvas *c, const cq_result *r, cq_chart_place *place, cq_error *error) {
    static const char *const places[2][3] = {{"edge, 1 mm in", "body, mid-height", "spine (mune), 1 mm in"},
                                             {"edge", "body", "spine (mune)"}};
    static const char *const second[2] = {"second edge, 1 mm in", "second edge"}, *const of_piece[2] = {"face",
                                                                                                        "centre"};
    const double inert_from_K = 1000.15; /* 727 °C, where plain steel's clock would start: keeps the frames alike */
    cq_clock *clock;
    const cq_status status = cq_cooling_clock(r, &clock, error);
    if (status < 0) {
        return status;
    }
    const cq_axes a = cooling_axes(r, place);
    cq_axes_draw(c, &a, cooling_words(clock != NULL, place->brief), "temperature, °C", true);
    if (clock != NULL) {
        cq_cooling_curves(c, &a, clock, place->brief);
    }
    const bool piece = r->grid->one_dimensional, two = r->section->family == CQ_FAMILY_DOUBLE_EDGED;
    for (int n = 0; n < (piece ? 2 : 3); n++) {
        cq_chart_style(c, n);
        cq_cooling_history(c, &a, &r->traces[CQ_TRACE_EDGE + n],
                           clock != NULL ? cq_clock_criticals(clock).Ae1_K : inert_from_K);
        cq_chart_legend_in(c, place, n,
                           piece           ? of_piece[n]
                           : n == 2 && two ? second[place->brief]
                                           : places[place->brief][n]);
    }
    if (clock != NULL) {
        cq_cooling_regions(c, &a, clock);
    }
    cq_clock_free(clock);
    return CQ_OK;
}

cq_status cq_picture_cooling(const cq_result *r, cq_picture_format format, unsigned char **bytes, size_t *length,
                             cq_error *error) {
    cq_chart_place place = {CHART_LEFT, CHART_TOP, CHART_WIDTH - CHART_LEFT - 36, CHART_TALL, LEGEND_Y, false, 0, 0.0};
    cq_canvas c;
    if (cq_canvas_open(&c, format, CHART_WIDTH, CHART_TOP + CHART_TALL + 48) != CQ_OK) {
        return CQ_ERR_MEMORY;
    }
    cq_picture_heading(&c, r, CHART_LEFT, CHART_WIDTH - CHART_LEFT - 36,
                       r->transforming ? "Cooling over the transformation curves" : "Cooling");
    const cq_status status = cq_chart_cooling(&c, r, &place, error);
    c.failed = c.failed || status < 0;
    const cq_status closed = cq_canvas_close(&c, bytes, length);
    return status < 0 ? status : closed;
}

/* ---- along the height -------------------------------------------------------------------------------------------- */

static cq_axes along_axes(const cq_result *r, const cq_chart_place *place) {
    const cq_profile_along *p = &r->along;
    double low = 150.0, high = 900.0;
    for (size_t i = 0; i < p->n; i++) {
        low = fmin(low, fmin(p->hardness_mid_HV[i], fmin(p->hardness_left_HV[i], p->hardness_right_HV[i])));
        high = fmax(high, fmax(p->hardness_mid_HV[i], fmax(p->hardness_left_HV[i], p->hardness_right_HV[i])));
    }
    return (cq_axes){place->x,
                     place->y,
                     place->width,
                     place->height,
                     0.0,
                     1e3 * r->section->height_m,
                     50.0 * floor(low / 50.0),
                     50.0 * ceil(high / 50.0),
                     false};
}

static void line_mark(cq_canvas *c, const cq_axes *a, const cq_result *r, bool brief) {
    char words[96];
    if (isnan(r->line_surface_m)) {
        snprintf(words, sizeof words, brief ? "no line: %s" : "no hardening line (hamon): %s",
                 cq_verdict_words(r->verdict));
        cairo_set_source_rgb(c->cr, 0.70, 0.05, 0.05);
        cq_canvas_label(c, a->x + 0.5 * a->width, a->y + 16, 11, CQ_ALIGN_CENTRE, words);
        return;
    }
    const double x = cq_axes_x(a, 1e3 * r->line_surface_m);
    const bool near_right = x > a->x + 0.6 * a->width;
    cairo_set_source_rgb(c->cr, 0.70, 0.05, 0.05);
    cq_canvas_line(c, x, a->y, x, a->y + a->height, 1.4, true);
    snprintf(words, sizeof words, "%s %.1f mm", brief ? "line (hamon)" : "hardening line (hamon)",
             1e3 * r->line_surface_m);
    cq_canvas_label(c, x + (near_right ? -5 : 5), a->y + 16, 11, near_right ? CQ_ALIGN_RIGHT : CQ_ALIGN_LEFT, words);
}

static void along_curve(cq_canvas *c, const cq_axes *a, const cq_profile_along *p, const double *HV) {
    cairo_new_path(c->cr);
    for (size_t i = 0; i < p->n; i++) {
        if (isnan(HV[i])) {
            cairo_new_sub_path(c->cr);
        } else {
            cairo_line_to(c->cr, cq_axes_x(a, 1e3 * p->height_m[i]), cq_axes_y(a, HV[i]));
        }
    }
    cq_chart_stroke(c);
}

static const char *along_words(const cq_result *r, bool brief) {
    if (brief) {
        return "height above the edge flat, mm";
    }
    return r->section->family == CQ_FAMILY_DOUBLE_EDGED
               ? "height above the edge flat, mm    (edge left, second edge right)"
               : "height above the edge flat, mm    (edge left, spine (mune) right)";
}

void cq_chart_along(cq_canvas *c, const cq_result *r, cq_chart_place *place) {
    const cq_profile_along *p = &r->along;
    const bool alike = r->section->symmetric;
    const double *curves[3] = {p->hardness_right_HV, p->hardness_mid_HV, p->hardness_left_HV};
    const char *const names[3] = {alike ? "both faces" : "right face", "mid-plane", "left face"};
    const cq_axes a = along_axes(r, place);
    cq_axes_draw(c, &a, along_words(r, place->brief), "Vickers hardness, HV", true);
    cq_chart_rockwell(c, &a);
    for (int n = alike ? 1 : 2; n >= 0; n--) { /* the first one on top */
        cq_chart_style(c, n);
        along_curve(c, &a, p, curves[n]);
    }
    for (int n = 0; n < (alike ? 2 : 3); n++) {
        cq_chart_legend_in(c, place, n, names[n]);
    }
    if (place->brief && r->plan->temper_n > 0) {
        cq_chart_style(c, 3);
        along_curve(c, &a, p, p->tempered_mid_HV);
        cq_chart_legend_in(c, place, 3, "mid-plane after temper");
    }
    line_mark(c, &a, r, place->brief);
}

cq_status cq_picture_along(const cq_result *r, cq_picture_format format, unsigned char **bytes, size_t *length) {
    cq_chart_place place = {CHART_LEFT, CHART_TOP, CHART_WIDTH - CHART_LEFT - 76, CHART_TALL, LEGEND_Y, false, 0, 0.0};
    cq_canvas c;
    if (cq_canvas_open(&c, format, CHART_WIDTH, CHART_TOP + CHART_TALL + 48) != CQ_OK) {
        return CQ_ERR_MEMORY;
    }
    cq_picture_heading(&c, r, CHART_LEFT, CHART_WIDTH - CHART_LEFT - 36, "Hardness along the height, as quenched");
    cq_chart_along(&c, r, &place);
    return cq_canvas_close(&c, bytes, length);
}
