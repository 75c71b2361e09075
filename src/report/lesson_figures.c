/* lesson_figures.c - see lesson_figures.h. */
#include "report/lesson_figures.h"

#include "report/chart_parts.h"
#include "report/cooling_parts.h"

#include <math.h>
#include <stdio.h>

static const double ZERO_C = 273.15, TEXT_SCALE = 1.2;

/* Frame of a chart: room for numbers on the left, for `rows` of legends above, for Rockwell on the right. */
static cq_chart_place place_of(int rows, bool rockwell) {
    const double top = 18.0 + 16.0 * rows;
    return (cq_chart_place){
        62.0, top, CQ_FIGURE_WIDTH - 62.0 - (rockwell ? 58.0 : 20.0), cq_chart_figure_tall() - top - 44.0, 14.0, true,
        0,    0.0};
}

static cq_axes axes_of(const cq_chart_place *p, double x0, double x1, double y0, double y1) {
    return (cq_axes){p->x, p->y, p->width, p->height, x0, x1, y0, y1, 0};
}

static void clip(cq_canvas *c, const cq_axes *a) {
    cairo_save(c->cr);
    cairo_rectangle(c->cr, a->x, a->y, a->width, a->height);
    cairo_clip(c->cr);
    cairo_new_path(c->cr);
}

static void dot(cq_canvas *c, double x, double y, double radius) {
    cairo_new_path(c->cr);
    cairo_arc(c->cr, x, y, radius, 0.0, 6.2831853);
    cairo_fill(c->cr);
}

/* ---- faces ------------------------------------------------------------------------------------------------------- */

double cq_lesson_wetted_s(const cq_result *r) {
    double since = 0.0;
    for (size_t s = 0; s < r->plan->steps_n && s < r->step_ends_n; s++) {
        if (r->plan->steps[s].bath.kind != CQ_BATH_GAS) {
            return since;
        }
        since = r->step_ends[s].time_s;
    }
    return since;
}

static double at(const cq_face_path *p, const double *values, double time_s) {
    for (size_t i = 1; i < p->n; i++) {
        if (p->time_s[i - 1] <= time_s && p->time_s[i] >= time_s) {
            const double u = (time_s - p->time_s[i - 1]) / (p->time_s[i] - p->time_s[i - 1]);
            return values[i - 1] + u * (values[i] - values[i - 1]);
        }
    }
    return NAN;
}

double cq_path_face_K(const cq_face_path *p, double time_s) {
    return at(p, p->face_K, time_s);
}

double cq_path_flux_W_m2(const cq_face_path *p, double time_s) {
    return at(p, p->flux_W_m2, time_s);
}

double cq_lesson_coat_m(const cq_lesson_run *one) {
    const cq_coat *coat = &one->result->plan->coat;
    return coat->n > 0 ? coat->points[0].right_m : 0.0;
}

double cq_lesson_critical_s(const cq_result *r) {
    return 250.0 / r->critical_rate_K_s;
}

static void coat_words(const cq_lesson_run *one, char *to, size_t room) {
    const double mm = 1e3 * cq_lesson_coat_m(one);
    snprintf(to, room, mm > 0.0 ? "%g mm clay" : "bare", mm);
}

/* Moments as dots with their seconds, each run's on its own side: all three come down the same slope on the left. */
static void mark_seconds(cq_canvas *c, const cq_axes *a, const cq_lesson_run *one, int n) {
    static const double seconds[3][8] = {{0.1, 1, 2, 3, 4, 6, 8, 10}, {0.1, 0.2, 0.5, 1, 2, 5}, {0.1, 1, 5, 20, 60}};
    static const double SLOPE_C = 200.0;
    const double begin = cq_lesson_wetted_s(one->result);
    double told = HUGE_VAL; /* where the last label of the upper branch stands */
    for (size_t s = 0; n < 3 && s < 8 && seconds[n][s] > 0.0; s++) {
        const double T = cq_path_face_K(&one->path, begin + seconds[n][s]) - ZERO_C,
                     q = 1e-6 * cq_path_flux_W_m2(&one->path, begin + seconds[n][s]);
        if (!(T > a->x0 && q > a->y0)) {
            continue;
        }
        const double x = cq_axes_x(a, T), y = cq_axes_y(a, q);
        char words[16];
        cq_chart_style(c, n);
        cairo_set_dash(c->cr, NULL, 0, 0);
        dot(c, x, y, 3.4);
        snprintf(words, sizeof words, "%g s", seconds[n][s]);
        cairo_set_source_rgb(c->cr, 0.1, 0.1, 0.1);
        if (T > SLOPE_C && told - x > 27.0) {
            told = x;
            cq_canvas_label(c, x, y - 8.0, 9.0, CQ_ALIGN_CENTRE, words);
        } else if (T <= SLOPE_C && n > 0) {
            cq_canvas_label(c, x + (n == 1 ? 7.0 : -7.0), y + 4.0, 9.0, n == 1 ? CQ_ALIGN_LEFT : CQ_ALIGN_RIGHT, words);
        }
    }
}

cq_status cq_lesson_boiling(cq_canvas *c, const void *context) {
    const cq_lesson *l = context;
    cq_chart_place place = place_of(1, false);
    cq_axes a = axes_of(&place, 0.0, 850.0, 0.01, 20.0);
    a.logs = CQ_LOG_Y;
    c->text_scale = TEXT_SCALE;
    cq_axes_draw(c, &a, "temperature of the face that the water sees, °C", "heat drawn, MW/m²", true);
    for (size_t n = 0; n < l->n[CQ_LESSON_PLATE] && n < CHART_STYLES; n++) {
        const cq_lesson_run *one = &l->run[CQ_LESSON_PLATE][n];
        const double begin = cq_lesson_wetted_s(one->result), end = one->result->end_time_s;
        char words[48];
        clip(c, &a);
        for (size_t i = 0; i < one->path.n; i++) {
            if (one->path.time_s[i] > begin + 1e-6 && one->path.time_s[i] <= end && one->path.flux_W_m2[i] > 0.0) {
                cairo_line_to(c->cr, cq_axes_x(&a, one->path.face_K[i] - ZERO_C),
                              cq_axes_y(&a, 1e-6 * one->path.flux_W_m2[i]));
            }
        }
        cq_chart_style(c, (int)n);
        cq_chart_stroke(c);
        cairo_restore(c->cr);
        coat_words(one, words, sizeof words);
        cq_chart_legend_in(c, &place, (int)n, words);
    }
    for (size_t n = 0; n < l->n[CQ_LESSON_PLATE] && n < CHART_STYLES; n++) {
        mark_seconds(c, &a, &l->run[CQ_LESSON_PLATE][n], (int)n);
    }
    c->text_scale = 0.0;
    return CQ_OK;
}

/* ---- over the transformation curves ------------------------------------------------------------------------------ */

static cq_axes cooling_axes(const cq_chart_place *p) {
    cq_axes a = axes_of(p, 0.01, 1000.0, 0.0, 850.0);
    a.logs = CQ_LOG_X;
    return a;
}

cq_status cq_lesson_cooling(cq_canvas *c, const void *context) {
    const cq_lesson *l = context;
    cq_chart_place place = place_of(1, false);
    const cq_axes a = cooling_axes(&place);
    cq_clock *clock;
    const cq_status status = cq_cooling_clock(l->run[CQ_LESSON_PLATE][0].result, &clock, NULL);
    if (status < 0) {
        return status;
    }
    c->text_scale = TEXT_SCALE;
    cq_axes_draw(c, &a, "seconds since the plate's middle fell below Ae1", "temperature, °C", true);
    cq_cooling_curves(c, &a, clock, true);
    for (size_t n = 0; n < l->n[CQ_LESSON_PLATE] && n < CHART_STYLES; n++) {
        const cq_lesson_run *one = &l->run[CQ_LESSON_PLATE][n];
        char words[48];
        cq_chart_style(c, (int)n);
        cq_cooling_history(c, &a, &one->result->traces[CQ_TRACE_BODY], cq_clock_criticals(clock).Ae1_K);
        coat_words(one, words, sizeof words);
        cq_chart_legend_in(c, &place, (int)n, words);
    }
    cq_cooling_regions(c, &a, clock);
    cq_clock_free(clock);
    c->text_scale = 0.0;
    return CQ_OK;
}

/* Curves of half transformed for the poorest and the richest batch, and three places of the knife. */
cq_status cq_lesson_manganese(cq_canvas *c, const void *context) {
    const cq_lesson *l = context;
    cq_chart_place place = place_of(1, false);
    const cq_axes a = cooling_axes(&place);
    const size_t last = l->n[CQ_LESSON_MANGANESE] - 1;
    const cq_result *poor = l->run[CQ_LESSON_MANGANESE][0].result;
    static const char *const names[] = {"edge", "9 mm up", "body"};
    const size_t trace[] = {CQ_TRACE_EDGE, CQ_TRACES_FIXED, CQ_TRACE_BODY};
    cq_status status = CQ_OK;
    double Ae1_K = 1000.15;
    c->text_scale = TEXT_SCALE;
    cq_axes_draw(c, &a, "seconds since the place fell below Ae1", "temperature, °C", true);
    for (size_t n = 0; n < 2 && status >= 0; n++) {
        const cq_lesson_run *one = &l->run[CQ_LESSON_MANGANESE][n == 0 ? 0 : last];
        cq_clock *clock = NULL;
        char words[48];
        status = cq_cooling_clock(one->result, &clock, NULL);
        if (status >= 0) {
            snprintf(words, sizeof words, "Mn %.12s", one->value);
            cq_cooling_share(c, &a, clock, n == 0 ? 0.5 : 0.501, n == 0 ? 1.2 : 2.6, "");
            const cq_half_times half = cq_clock_half_times(clock, 823.15);
            const double x = cq_axes_x(&a, fmin(half.pearlite_s, half.bainite_s));
            cq_canvas_label(c, x + (n == 0 ? -6.0 : 8.0), cq_axes_y(&a, 550.0), 10,
                            n == 0 ? CQ_ALIGN_RIGHT : CQ_ALIGN_LEFT, words);
            Ae1_K = cq_clock_criticals(clock).Ae1_K;
            cq_clock_free(clock);
        }
    }
    for (int n = 0; n < 3 && status >= 0 && poor->traces_n > CQ_TRACES_FIXED; n++) {
        cq_chart_style(c, n);
        cq_cooling_history(c, &a, &poor->traces[trace[n]], Ae1_K);
        cq_chart_legend_in(c, &place, n, names[n]);
    }
    c->text_scale = 0.0;
    return status;
}

/* ---- thickness and soak ------------------------------------------------------------------------------------------ */

/* Words above the level on the left, or below it on the right. */
static void level(cq_canvas *c, const cq_axes *a, double y_value, bool above, const char *words) {
    const double y = cq_axes_y(a, y_value);
    cairo_set_source_rgb(c->cr, 0.25, 0.25, 0.25);
    cq_canvas_line(c, a->x, y, a->x + a->width, y, 1.4, true);
    if (above) {
        cq_canvas_label(c, a->x + 6.0, y - 5.0, 10.5, CQ_ALIGN_LEFT, words);
    } else {
        cq_canvas_label(c, a->x + a->width - 6.0, y + 15.0, 10.5, CQ_ALIGN_RIGHT, words);
    }
}

cq_status cq_lesson_thickness(cq_canvas *c, const void *context) {
    const cq_lesson *l = context;
    cq_chart_place place = place_of(0, false);
    cq_axes a = axes_of(&place, 0.01, 2.0, 0.2, 50.0);
    a.logs = CQ_LOG_X | CQ_LOG_Y;
    char words[80];
    c->text_scale = TEXT_SCALE;
    cq_axes_draw(c, &a, "thickness of the clay, mm", "seconds from 750 to 500 °C", true);
    snprintf(words, sizeof words, "bare: %.1f s", l->run[CQ_LESSON_THICKNESS][0].fall_s);
    level(c, &a, l->run[CQ_LESSON_THICKNESS][0].fall_s, true, words);
    const double critical_s = cq_lesson_critical_s(l->run[CQ_LESSON_THICKNESS][0].result);
    snprintf(words, sizeof words, "%.2f s: hard in full", critical_s);
    level(c, &a, critical_s, false, words);
    cq_chart_style(c, 0);
    cairo_new_path(c->cr);
    for (size_t n = 1; n < l->n[CQ_LESSON_THICKNESS]; n++) {
        const cq_lesson_run *one = &l->run[CQ_LESSON_THICKNESS][n];
        cairo_line_to(c->cr, cq_axes_x(&a, 1e3 * cq_lesson_coat_m(one)), cq_axes_y(&a, one->fall_s));
    }
    cq_chart_stroke(c);
    for (size_t n = 1; n < l->n[CQ_LESSON_THICKNESS]; n++) {
        const cq_lesson_run *one = &l->run[CQ_LESSON_THICKNESS][n];
        dot(c, cq_axes_x(&a, 1e3 * cq_lesson_coat_m(one)), cq_axes_y(&a, one->fall_s), 3.4);
    }
    c->text_scale = 0.0;
    return CQ_OK;
}

cq_status cq_lesson_soak(cq_canvas *c, const void *context) {
    const cq_lesson *l = context;
    cq_chart_place place = place_of(0, true);
    const cq_axes a = axes_of(&place, 710.0, 910.0, 100.0, 900.0);
    c->text_scale = TEXT_SCALE;
    cq_axes_draw(c, &a, "soak temperature, °C", "hardness of the edge, HV", true);
    cq_chart_rockwell(c, &a);
    cairo_new_path(c->cr);
    for (size_t n = 0; n < l->n[CQ_LESSON_SOAK]; n++) {
        const cq_result *r = l->run[CQ_LESSON_SOAK][n].result;
        cairo_line_to(c->cr, cq_axes_x(&a, r->plan->heat.temperature_K - ZERO_C), cq_axes_y(&a, r->edge.HV));
    }
    cq_chart_style(c, 0);
    cq_chart_stroke(c);
    for (size_t n = 0; n < l->n[CQ_LESSON_SOAK]; n++) {
        const cq_result *r = l->run[CQ_LESSON_SOAK][n].result;
        dot(c, cq_axes_x(&a, r->plan->heat.temperature_K - ZERO_C), cq_axes_y(&a, r->edge.HV), 3.4);
    }
    const double x = cq_axes_x(&a, l->run[CQ_LESSON_SOAK][0].result->Ae1_K - ZERO_C);
    cairo_set_source_rgb(c->cr, 0.25, 0.25, 0.25);
    cq_canvas_line(c, x, a.y, x, a.y + a.height, 1.2, true);
    cq_canvas_label(c, x + 6.0, a.y + a.height - 10.0, 10.5, CQ_ALIGN_LEFT, "Ae1: austenite begins");
    c->text_scale = 0.0;
    return CQ_OK;
}
