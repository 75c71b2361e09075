/* charts.c - cooling of edge, body and spine over the steel's transformation curves; hardness along the height. */
#include "kinetics/kinetics.h"
#include "hardness/hardness.h"
#include "report/pictures.h"

#include <math.h>
#include <stdio.h>

static const double ZERO_C = 273.15;

/* Line styles that differ in darkness and dash, not in hue alone. */
static void style(cq_canvas *c, int n) {
    static const double rgb[3][3] = {{0.80, 0.10, 0.10}, {0.10, 0.30, 0.65}, {0.35, 0.35, 0.35}};
    static const double dash[3][2] = {{1, 0}, {7, 3}, {2, 2.5}};
    cairo_set_source_rgb(c->cr, rgb[n][0], rgb[n][1], rgb[n][2]);
    cairo_set_dash(c->cr, dash[n], n == 0 ? 0 : 2, 0);
    cairo_set_line_width(c->cr, 1.8);
}

static void legend(cq_canvas *c, double x, double y, int n, const char *words) {
    style(c, n);
    cairo_move_to(c->cr, x, y);
    cairo_line_to(c->cr, x + 30, y);
    cairo_stroke(c->cr);
    cairo_set_dash(c->cr, NULL, 0, 0);
    cairo_set_source_rgb(c->cr, 0.1, 0.1, 0.1);
    cq_canvas_text(c, x + 36, y + 4, 11, CQ_ALIGN_LEFT, words);
}

static void heading(cq_canvas *c, const cq_result *r, const char *what) {
    char words[200];
    cairo_set_source_rgb(c->cr, 0.05, 0.05, 0.05);
    cq_canvas_text(c, 62, 26, 15, CQ_ALIGN_LEFT, what);
    snprintf(words, sizeof words, "%.120s    (steel %.40s)", r->plan->title == NULL ? "" : r->plan->title,
             r->plan->steel.name == NULL ? "own" : r->plan->steel.name);
    cq_canvas_text(c, 62, 44, 11, CQ_ALIGN_LEFT, words);
}

/* Time at constant T until `share` of the austenite has gone to pearlite and bainite together; bisection on log time. */
static double isothermal_s(const cq_half_times *half, double share) {
    double low = 1e-4, high = 1e7;
    for (int n = 0; n < 60; n++) {
        const double t = sqrt(low * high);
        const double Y = log(2.0) * (pow(t / half->pearlite_s, 4.0) + pow(t / half->bainite_s, 1.8));
        *(1.0 - exp(-Y) < share ? &low : &high) = t;
    }
    return sqrt(low * high);
}

static void draw_transformation(cq_canvas *c, const cq_axes *a, const cq_clock *clock) {
    static const double shares[3] = {0.01, 0.5, 0.99};
    static const char *const words[3] = {"1 %", "50 %", "99 %"};
    const cq_criticals k = cq_clock_criticals(clock);
    for (int s = 0; s < 3; s++) {
        bool drawing = false;
        double label_x = 0.0, label_y = 0.0, nearest = HUGE_VAL;
        cairo_set_source_rgb(c->cr, 0.45, 0.45, 0.45);
        cairo_set_line_width(c->cr, s == 1 ? 1.6 : 1.0);
        for (double T = k.Ae1_K - 6.0; T > k.Ms_K; T -= 4.0) {
            const cq_half_times half = cq_clock_half_times(clock, T);
            const double t = isothermal_s(&half, shares[s]);
            const bool inside = t > a->x0 && t < a->x1;
            if (inside) {
                const double x = cq_axes_x(a, t), y = cq_axes_y(a, T - ZERO_C);
                if (drawing) {
                    cairo_line_to(c->cr, x, y);
                } else {
                    cairo_move_to(c->cr, x, y);
                }
                if (t < nearest) {
                    nearest = t;
                    label_x = x;
                    label_y = y;
                }
            }
            drawing = inside;
        }
        cairo_stroke(c->cr);
        cq_canvas_text(c, label_x + 3, label_y - 3 + 12 * (s - 1), 9, CQ_ALIGN_LEFT, words[s]);
    }
    cairo_set_source_rgb(c->cr, 0.45, 0.45, 0.45);
    cq_canvas_line(c, a->x, cq_axes_y(a, k.Ms_K - ZERO_C), a->x + a->width, cq_axes_y(a, k.Ms_K - ZERO_C), 1.0, false);
    cq_canvas_line(c, a->x, cq_axes_y(a, k.Ae1_K - ZERO_C), a->x + a->width, cq_axes_y(a, k.Ae1_K - ZERO_C), 1.0, false);
    cq_canvas_text(c, a->x + a->width - 4, cq_axes_y(a, k.Ms_K - ZERO_C) - 4, 10, CQ_ALIGN_RIGHT, "Ms: martensite begins below");
    cq_canvas_text(c, a->x + a->width - 4, cq_axes_y(a, k.Ae1_K - ZERO_C) - 4, 10, CQ_ALIGN_RIGHT, "Ae1: steel is austenite above");
    cq_canvas_text(c, cq_axes_x(a, 60.0), cq_axes_y(a, 610.0), 11, CQ_ALIGN_LEFT, "fine pearlite (troostite)");
    cq_canvas_text(c, cq_axes_x(a, 60.0), cq_axes_y(a, 400.0), 11, CQ_ALIGN_LEFT, "bainite");
}

/* A history against the time since it fell below Ae1, where the transformation clock starts. */
static void draw_trace(cq_canvas *c, const cq_axes *a, const cq_trace *t, double Ae1_K) {
    size_t i = 0;
    while (i + 1 < t->n && t->temp_K[i + 1] > Ae1_K) {
        i++;
    }
    if (i + 1 >= t->n) {
        return;
    }
    const double start = t->time_s[i] + (t->time_s[i + 1] - t->time_s[i]) * (t->temp_K[i] - Ae1_K) / (t->temp_K[i] - t->temp_K[i + 1]);
    bool begun = false;
    for (size_t n = i + 1; n < t->n; n++) {
        const double since = t->time_s[n] - start;
        if (since < a->x0 || since > a->x1 || t->temp_K[n] - ZERO_C > a->y1) {
            continue;
        }
        if (begun) {
            cairo_line_to(c->cr, cq_axes_x(a, since), cq_axes_y(a, t->temp_K[n] - ZERO_C));
        } else {
            cairo_move_to(c->cr, cq_axes_x(a, since), cq_axes_y(a, t->temp_K[n] - ZERO_C));
        }
        begun = true;
    }
    cairo_stroke(c->cr);
    cairo_set_dash(c->cr, NULL, 0, 0);
}

cq_status cq_picture_cooling(const cq_result *r, cq_picture_format format, unsigned char **bytes, size_t *length, cq_error *error) {
    static const char *const names[3] = {"edge, 1 mm in", "body, mid-height", "spine (mune), 1 mm in"};
    static const char *const piece[3] = {"face", "centre", ""};
    const cq_plan *plan = r->plan;
    cq_clock *clock = NULL;
    double Ae1_K = 1000.0;
    cq_canvas c;
    if (r->transforming) {
        const bool start = plan->heat.start_K > 0.0;
        const cq_soak soak = cq_soak_of(&plan->steel, start ? plan->heat.start_K : plan->heat.temperature_K, plan->heat.hold_s, start);
        const cq_status status = cq_clock_create(&clock, &plan->steel, &soak, error);
        if (status < 0) {
            return status;
        }
        Ae1_K = cq_clock_criticals(clock).Ae1_K;
    }
    if (cq_canvas_open(&c, format, 760, 520) != CQ_OK) {
        cq_clock_free(clock);
        return CQ_ERR_MEMORY;
    }
    const cq_axes a = {62, 60, 660, 390, 0.01, 1000.0, 0.0, 850.0, true};
    heading(&c, r, "Cooling over the transformation curves");
    cq_axes_draw(&c, &a, r->transforming ? "seconds since the place fell below Ae1    (grey: share transformed at constant temperature)" : "seconds since 727 °C",
                 "temperature, °C", true);
    if (clock != NULL) {
        draw_transformation(&c, &a, clock);
    }
    const int places = r->grid->one_dimensional ? 2 : 3;
    for (int n = 0; n < places; n++) {
        style(&c, n);
        draw_trace(&c, &a, &r->traces[CQ_TRACE_EDGE + n], Ae1_K);
        legend(&c, a.x + 12, a.y + a.height - 52 + 17 * n, n, places == 2 ? piece[n] : names[n]);
    }
    cq_clock_free(clock);
    return cq_canvas_close(&c, bytes, length);
}

cq_status cq_picture_along(const cq_result *r, cq_picture_format format, unsigned char **bytes, size_t *length) {
    const cq_profile_along *p = &r->along;
    const double *curves[3] = {p->hardness_right_HV, p->hardness_mid_HV, p->hardness_left_HV};
    static const char *const names[3] = {"right face", "mid-plane", "left face"};
    cq_canvas c;
    if (cq_canvas_open(&c, format, 760, 480) != CQ_OK) {
        return CQ_ERR_MEMORY;
    }
    const cq_axes a = {62, 60, 620, 350, 0.0, 1e3 * r->section->height_m, 100.0, 950.0, false};
    heading(&c, r, "Hardness along the height, as quenched");
    cq_axes_draw(&c, &a, "height above the edge flat, mm", "Vickers hardness, HV", true);
    cairo_set_source_rgb(c.cr, 0.15, 0.15, 0.15);
    for (int HRC = 20; HRC <= 65; HRC += HRC < 60 ? 10 : 5) { /* the Rockwell scale is not even in HV */
        char words[16];
        const double y = cq_axes_y(&a, cq_hardness_HV(HRC));
        snprintf(words, sizeof words, "%d", HRC);
        cq_canvas_line(&c, a.x + a.width, y, a.x + a.width + 4, y, 0.8, false);
        cq_canvas_text(&c, a.x + a.width + 7, y + 3.5, 10, CQ_ALIGN_LEFT, words);
    }
    cq_canvas_text_up(&c, a.x + a.width + 44, a.y + 0.5 * a.height, 11, "Rockwell, HRC");
    if (!isnan(r->line_surface_m)) {
        char words[80];
        const double x = cq_axes_x(&a, 1e3 * r->line_surface_m);
        cairo_set_source_rgb(c.cr, 0.75, 0.05, 0.05);
        cq_canvas_line(&c, x, a.y, x, a.y + a.height, 1.2, true);
        snprintf(words, sizeof words, "hardening line (hamon) %.1f mm", 1e3 * r->line_surface_m);
        cq_canvas_text(&c, x + 4, a.y + 14, 11, CQ_ALIGN_LEFT, words);
    }
    const bool mirrored = r->section->symmetric;
    for (int n = mirrored ? 1 : 2; n >= 0; n--) {
        style(&c, n);
        for (size_t i = 0; i < p->n; i++) {
            const double x = cq_axes_x(&a, 1e3 * p->height_m[i]), y = cq_axes_y(&a, curves[n][i]);
            if (i == 0) {
                cairo_move_to(c.cr, x, y);
            } else {
                cairo_line_to(c.cr, x, y);
            }
        }
        cairo_stroke(c.cr);
        cairo_set_dash(c.cr, NULL, 0, 0);
        legend(&c, a.x + a.width - 130, a.y + 40 + 17 * n, n, mirrored && n == 0 ? "both faces" : names[n]);
    }
    return cq_canvas_close(&c, bytes, length);
}
