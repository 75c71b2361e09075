/* card_charts.c - the charts of a steel's card: at constant temperature and while cooling, end-quench, temper. */
#include "hardness/hardness.h"
#include "kinetics/kinetics.h"
#include "report/card_chart_parts.h"
#include "report/card_words.h"
#include "report/chart_parts.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static const double ZERO_C = 273.15;
enum { FOOT = 48, RIGHT = CQ_CARD_RIGHT, RIGHT_HRC = 76 };

const char *cq_card_picture_stem(cq_card_picture picture) {
    static const char *const stems[CQ_CARD_PICTURES] = {"isothermal", "continuous", "end-quench", "temper", "soak"};
    return stems[picture];
}

void cq_card_heading(cq_canvas *c, const cq_steel_card *card, const char *what) {
    char soak[CQ_CARD_SENTENCE], composition[CQ_CARD_SENTENCE], words[3 * CQ_CARD_SENTENCE];
    cq_card_soak_words(card, CQ_UNITS_METRIC, soak);
    cq_card_composition_words(card, composition);
    snprintf(words, sizeof words, "%.60s   ·   soak %s   ·   %s   ·   estimate",
             card->steel->name == NULL ? "own steel" : card->steel->name, soak, composition);
    cairo_set_source_rgb(c->cr, 0.05, 0.05, 0.05);
    cq_canvas_text(c, CHART_LEFT, 26, 15, CQ_ALIGN_LEFT, what);
    cq_canvas_caption(c, CHART_LEFT, 44, 11, CHART_WIDTH - CHART_LEFT - RIGHT, words);
}

void cq_card_ink(cq_canvas *c, double grey) {
    cairo_set_source_rgb(c->cr, grey, grey, grey);
}

void cq_card_marker(cq_canvas *c, bool filled) {
    const double fill = filled ? 0.05 : 1.0;
    cairo_set_source_rgb(c->cr, fill, fill, fill);
    cairo_fill_preserve(c->cr);
    cairo_set_dash(c->cr, NULL, 0, 0);
    cq_card_ink(c, 0.05);
    cairo_set_line_width(c->cr, 1.2);
    cairo_stroke(c->cr);
}

void cq_card_curve(cq_canvas *c, const cq_axes *a, size_t n, const double *x, const double *y) {
    cairo_save(c->cr);
    cairo_rectangle(c->cr, a->x, a->y, a->width, a->height);
    cairo_clip(c->cr);
    cairo_new_path(c->cr);
    for (size_t i = 0; i < n; i++) {
        if (!isfinite(x[i]) || !isfinite(y[i]) || ((a->logs & CQ_LOG_X) != 0 && !(x[i] > 0.0))) {
            cairo_new_sub_path(c->cr);
        } else {
            cairo_line_to(c->cr, cq_axes_x(a, x[i]), cq_axes_y(a, y[i]));
        }
    }
    cq_chart_stroke(c);
    cairo_restore(c->cr);
}

/* ---- transformation ---------------------------------------------------------------------------------------------- */

/* A temperature of the steel: a line through the frame, its name above or below it, at the end where there is room. */
static void level(cq_canvas *c, const cq_axes *a, double T_K, const char *name, const char *meaning, bool below,
                  bool left) {
    char words[96];
    const double y = cq_axes_y(a, T_K - ZERO_C);
    if (!(y > a->y && y < a->y + a->height)) {
        return;
    }
    cq_card_ink(c, 0.55);
    cq_canvas_line(c, a->x, y, a->x + a->width, y, 0.9, false);
    snprintf(words, sizeof words, "%s %.0f °C%s", name, T_K - ZERO_C, meaning);
    cq_card_ink(c, 0.2);
    cq_canvas_label(c, left ? a->x + 6 : a->x + a->width - 6, y + (below ? 13 : -4), 10.5,
                    left ? CQ_ALIGN_LEFT : CQ_ALIGN_RIGHT, words);
}

static void levels(cq_canvas *c, const cq_axes *a, const cq_steel_card *card, bool left) {
    const bool near = !(card->upper_K - card->Ae1_K > 25.0); /* then their names would touch */
    level(c, a, card->upper_K, card->upper_is_Acm ? "Acm" : "Ac3", "", false, left);
    level(c, a, card->Ae1_K, "Ac1", "", near, left);
    level(c, a, card->state.Ms_K, "Ms", ": martensite begins", false, left);
    level(c, a, card->M50_K, "M50", ": half", false, left);
    level(c, a, card->M90_K, "M90", ": nine tenths", false, left);
}

/* Whole hundreds that hold what is shown. */
static cq_axes transformation_axes(const cq_steel_card *card, double x0, double x1, double tall) {
    const double hottest = fmax(card->upper_K, card->Ae1_K) - ZERO_C + 30.0;
    return (cq_axes){CHART_LEFT, CHART_TOP, CHART_WIDTH - CHART_LEFT - RIGHT, tall, x0,
                     x1,         0.0,       100.0 * ceil(hottest / 100.0),    true};
}

/* Where a curve is leftmost. */
static size_t nose_of(const double *x, size_t n) {
    size_t nose = n;
    for (size_t i = 0; i < n; i++) {
        if (isfinite(x[i]) && (nose == n || x[i] < x[nose])) {
            nose = i;
        }
    }
    return nose;
}

/* What was measured, as points: start and end hollow, half filled. */
static void measured_points(cq_canvas *c, const cq_axes *a, const cq_diagram *d) {
    for (size_t i = 0; i < d->n; i++) {
        const double time[CQ_SHARES] = {d->row[i].start_s, d->row[i].half_s, d->row[i].end_s};
        for (int share = 0; share < CQ_SHARES; share++) {
            if (time[share] > a->x0 && time[share] < a->x1) {
                cairo_new_path(c->cr);
                cairo_arc(c->cr, cq_axes_x(a, time[share]), cq_axes_y(a, d->row[i].temp_K - ZERO_C), 3.2, 0.0,
                          6.2831853);
                cq_card_marker(c, share == CQ_SHARE_HALF);
            }
        }
    }
}

static void nothing_transforms(cq_canvas *c, const cq_axes *a) {
    cq_card_ink(c, 0.2);
    cq_canvas_label(c, a->x + 0.5 * a->width, a->y + 0.5 * a->height, 13, CQ_ALIGN_CENTRE,
                    "no austenite at this soak: nothing transforms");
}

static void isothermal(cq_canvas *c, const cq_steel_card *card) {
    const cq_isothermal *t = &card->isothermal;
    const char *const names[CQ_SHARES] = {"1 %", "50 %", "99 %"};
    const double width[CQ_SHARES] = {1.2, 2.2, 1.2};
    double T_C[CQ_CARD_TEMPS];
    for (size_t i = 0; i < t->n; i++) {
        T_C[i] = t->temp_K[i] - ZERO_C;
    }
    const double *start = t->time_s[CQ_PRODUCT_BOTH][CQ_SHARE_START];
    const size_t nose = nose_of(start, t->n);
    const double first = nose < t->n ? fmin(0.1, pow(10.0, floor(log10(0.7 * start[nose])))) : 0.1;
    const cq_axes a = transformation_axes(card, first, 1e5, CHART_TALL);
    cq_card_heading(c, card, "Transformation at constant temperature");
    cq_axes_draw(c, &a, "seconds at that temperature", "temperature, °C", true);
    levels(c, &a, card, true);
    const double beside = card->steel->diagram.n > 0 ? 22 : 4; /* where a measured point may lie on the nose */
    for (int share = 0; share < CQ_SHARES; share++) {
        const double *time = t->time_s[CQ_PRODUCT_BOTH][share];
        const size_t at = nose_of(time, t->n);
        cq_chart_style(c, 0);
        cairo_set_line_width(c->cr, width[share]);
        cq_card_curve(c, &a, t->n, time, T_C);
        if (at < t->n) {
            const bool last = share == CQ_SHARE_END;
            cq_card_ink(c, 0.1);
            cq_canvas_label(c, cq_axes_x(&a, time[at]) + (last ? 5 + 0.5 * beside : -4),
                            cq_axes_y(&a, T_C[at]) + beside, 10.5, last ? CQ_ALIGN_LEFT : CQ_ALIGN_RIGHT, names[share]);
        }
    }
    if (t->n == 0) {
        nothing_transforms(c, &a);
        return;
    }
    measured_points(c, &a, &card->steel->diagram);
    cq_chart_legend(c, 0, 0, "pearlite and bainite");
    static const int parts[2] = {CQ_PRODUCT_PEARLITE, CQ_PRODUCT_BAINITE};
    for (int p = 0; p < 2; p++) { /* each alone where the other hides it */
        cq_chart_style(c, 1 + p);
        cairo_set_line_width(c->cr, 1.3);
        cq_card_curve(c, &a, t->n, t->time_s[parts[p]][CQ_SHARE_HALF], T_C);
    }
    cq_chart_legend(c, 1, 1, "pearlite alone, 50 %");
    cq_chart_legend(c, 2, 2, "bainite alone, 50 %");
    double before[CQ_CARD_TEMPS]; /* only where it is the first */
    for (size_t i = 0; i < t->n; i++) {
        const double first_s = t->time_s[CQ_PRODUCT_FIRST][CQ_SHARE_START][i];
        before[i] = first_s > start[i] ? NAN : first_s;
    }
    if (nose_of(before, t->n) < t->n && card->upper_K > card->Ae1_K + 1.0) {
        cq_chart_style(c, 3);
        cairo_set_line_width(c->cr, 1.6);
        cq_card_curve(c, &a, t->n, before, T_C);
        cq_chart_legend(c, 3, 3, card->upper_is_Acm ? "cementite begins" : "ferrite begins");
    }
    if (card->steel->diagram.n > 0) {
        char words[200];
        snprintf(words, sizeof words, "points: the steel's own diagram, %.150s", card->steel->diagram.source);
        cq_canvas_caption(c, CHART_LEFT, CHART_TOP + CHART_TALL + FOOT - 2, 10.5, CHART_WIDTH - CHART_LEFT - 8, words);
    }
}

/* ---- continuous cooling ------------------------------------------------------------------------------------------ */

static const double FOOT_C = 90.0; /* constant cooling is drawn down to here, its words stand below */

/* Constant cooling since Ae1. */
static void constant_rate(cq_canvas *c, const cq_axes *a, const cq_steel_card *card, double rate) {
    enum { N = 60 };
    double x[N], y[N];
    const double top_C = card->Ae1_K - ZERO_C;
    for (int n = 0; n < N; n++) {
        y[n] = top_C - (top_C - FOOT_C) * pow((n + 1.0) / N, 3.0); /* dense where log time is slow */
        x[n] = (top_C - y[n]) / rate;
    }
    cq_card_ink(c, 0.6);
    cairo_set_line_width(c->cr, 1.0);
    cq_card_curve(c, a, N, x, y);
}

/* Its rate and the hardness that comes of it, at its foot; `shift` aside, where two would touch. */
static void rate_label(cq_canvas *c, const cq_axes *a, const cq_steel_card *card, double rate, double shift) {
    const cq_cooled *nearest = &card->continuous[0];
    const double at_s = (card->Ae1_K - ZERO_C - FOOT_C) / rate;
    char words[64];
    if (!(at_s > a->x0 && at_s < a->x1)) {
        return;
    }
    for (int n = 0; n < CQ_CARD_RATES; n++) {
        const cq_cooled *at = &card->continuous[n];
        nearest = fabs(log(at->rate_K_s / rate)) < fabs(log(nearest->rate_K_s / rate)) ? at : nearest;
    }
    const double x = cq_axes_x(a, at_s) + shift, y = cq_axes_y(a, FOOT_C);
    const cq_spot *s = &nearest->spot;
    cq_card_ink(c, 0.15);
    snprintf(words, sizeof words, rate < 9.95 ? "%.1f °C/s" : "%.0f °C/s", rate);
    cq_canvas_label(c, x, y + 12, 10, CQ_ALIGN_CENTRE, words);
    snprintf(words, sizeof words, isnan(s->HRC) ? "%.0f HV" : "%.0f HRC", isnan(s->HRC) ? s->HV : s->HRC);
    cq_canvas_label(c, x, y + 24, 10, CQ_ALIGN_CENTRE, words);
}

static void cooling_curves(cq_canvas *c, const cq_axes *a, const cq_steel_card *card) {
    for (size_t k = 0; k < card->coolings_n; k++) {
        const cq_cooling *from = &card->cooling[k];
        double x[CQ_CARD_POINTS], y[CQ_CARD_POINTS], start = NAN;
        for (size_t i = 1; i < from->n && isnan(start); i++) {
            if (from->temp_K[i - 1] > card->Ae1_K && from->temp_K[i] <= card->Ae1_K) {
                const double u = (from->temp_K[i - 1] - card->Ae1_K) / (from->temp_K[i - 1] - from->temp_K[i]);
                start = from->time_s[i - 1] + u * (from->time_s[i] - from->time_s[i - 1]);
            }
        }
        for (size_t i = 0; i < from->n; i++) {
            x[i] = from->time_s[i] - start;
            x[i] = x[i] > 0.0 ? x[i] : NAN;
            y[i] = from->temp_K[i] - ZERO_C;
        }
        cq_chart_style(c, (int)k + 1);
        cairo_set_line_width(c->cr, 1.6);
        cq_card_curve(c, a, from->n, x, y);
    }
}

/* What becomes of the austenite against cooling rate, under the same chart. */
static void shares_panel(cq_canvas *c, const cq_steel_card *card, double top) {
    static const struct {
        cq_phase phase;
        int style;
        const char *name;
    } shown[] = {{CQ_MARTENSITE, 0, "martensite"}, {CQ_PEARLITE, 1, "fine pearlite"}, {CQ_BAINITE, 2, "bainite"}};
    double x[CQ_CARD_RATES], y[CQ_CARD_RATES];
    const double high = card->continuous[0].rate_K_s, low = card->continuous[CQ_CARD_RATES - 1].rate_K_s;
    const cq_axes a = {CHART_LEFT,
                       top,
                       CHART_WIDTH - CHART_LEFT - RIGHT,
                       120,
                       pow(10.0, floor(log10(low))),
                       pow(10.0, ceil(log10(high))),
                       0.0,
                       100.0,
                       true};
    cq_axes_draw(c, &a, "cooling rate, °C/s, from the soak to room temperature", "share, %", true);
    for (size_t s = 0; s < sizeof shown / sizeof shown[0]; s++) {
        size_t most = 0;
        for (size_t n = 0; n < CQ_CARD_RATES; n++) {
            x[n] = card->continuous[n].rate_K_s;
            y[n] = 100.0 * card->continuous[n].spot.fraction[shown[s].phase];
            most = y[n] > y[most] ? n : most;
        }
        cq_chart_style(c, shown[s].style);
        cq_card_curve(c, &a, CQ_CARD_RATES, x, y);
        if (y[most] > 3.0) {
            const bool left = most == CQ_CARD_RATES - 1, right = most == 0; /* rates fall */
            cq_card_ink(c, 0.1);
            cq_canvas_label(c,
                            cq_axes_x(&a, x[most]) + (left    ? 4
                                                      : right ? -4
                                                              : -24),
                            cq_axes_y(&a, y[most]) + (y[most] > 40.0 ? 14 : 4), 10.5,
                            left ? CQ_ALIGN_LEFT : CQ_ALIGN_RIGHT, shown[s].name);
        }
    }
}

enum { CONTINUOUS_TALL = 350, CONTINUOUS_PANEL = CHART_TOP + CONTINUOUS_TALL + 56 };

static void continuous(cq_canvas *c, const cq_steel_card *card) {
    double start_x[CQ_CARD_RATES], start_y[CQ_CARD_RATES], finish_x[CQ_CARD_RATES], finish_y[CQ_CARD_RATES];
    for (int n = 0; n < CQ_CARD_RATES; n++) {
        const cq_cooled *at = &card->continuous[n];
        start_x[n] = (card->Ae1_K - at->start_K) / at->rate_K_s;
        start_y[n] = at->start_K - ZERO_C;
        finish_x[n] = (card->Ae1_K - at->finish_K) / at->rate_K_s;
        finish_y[n] = at->finish_K - ZERO_C;
    }
    const double full = isnan(card->full_rate_K_s) ? 100.0 : card->full_rate_K_s;
    const double first = fmin(0.1, pow(10.0, floor(log10(150.0 / full))));
    const cq_axes a = transformation_axes(card, first, first * 1e5 < 1e4 ? 1e4 : first * 1e5, CONTINUOUS_TALL);
    cq_card_heading(c, card, "Transformation while cooling");
    cq_axes_draw(c, &a,
                 "seconds since Ac1    (thin: constant rate, with the hardness it gives; coloured: centre of a plate 4 "
                 "mm thick)",
                 "temperature, °C", true);
    levels(c, &a, card, false);
    if (card->isothermal.n == 0) {
        nothing_transforms(c, &a);
        return;
    }
    const double rates[4] = {card->full_rate_K_s, card->half_rate_K_s, card->none_rate_K_s / 2.0,
                             card->none_rate_K_s / 15.0};
    for (int n = 0; n < 4; n++) {
        constant_rate(c, &a, card, rates[n]);
    }
    cooling_curves(c, &a, card);
    cq_chart_style(c, 0);
    cq_card_curve(c, &a, CQ_CARD_RATES, start_x, start_y);
    cq_chart_style(c, 0);
    cairo_set_line_width(c->cr, 1.1);
    cq_card_curve(c, &a, CQ_CARD_RATES, finish_x, finish_y);
    for (int n = 0; n < 4; n++) {
        rate_label(c, &a, card, rates[n], n == 0 ? -14.0 : n == 1 ? 6.0 : 0.0);
    }
    const double second = CHART_LEFT + 152.0, pitch = 133.0;
    cq_chart_legend_at(c, CHART_LEFT, 0, "begins, ends (thin)");
    for (size_t k = 0; k < card->coolings_n && k < 4; k++) {
        cq_chart_legend_at(c, second + pitch * (double)k, (int)k + 1, card->cooling[k].name);
    }
    shares_panel(c, card, CONTINUOUS_PANEL);
}

/* ---- end-quench, temper ------------------------------------------------------------------------------------------ */

static void end_quench(cq_canvas *c, const cq_steel_card *card) {
    double x[CQ_CARD_DISTANCES], y[CQ_CARD_DISTANCES];
    const cq_axes a = {
        CHART_LEFT, CHART_TOP + 26, CHART_WIDTH - CHART_LEFT - RIGHT_HRC, CHART_TALL - 26, 0.0, 52.0, 150.0,
        900.0,      false};
    for (int n = 0; n < CQ_CARD_DISTANCES; n++) {
        x[n] = 1e3 * card->end_quench[n].distance_m;
        y[n] = card->end_quench[n].HV;
    }
    cq_card_heading(c, card, "End-quench bar");
    cq_axes_draw(c, &a, "distance from the quenched end, mm", "Vickers hardness, HV", true);
    cq_chart_rockwell(c, &a);
    cq_chart_style(c, 0);
    cq_card_curve(c, &a, CQ_CARD_DISTANCES, x, y);
    for (int n = 0; n < CQ_CARD_DISTANCES; n++) { /* sixteenths and rates above the frame */
        const double sixteenths = card->end_quench[n].distance_m / (25.4e-3 / 16.0),
                     rate = card->end_quench[n].rate_K_s;
        const double at = cq_axes_x(&a, x[n]);
        char words[32];
        cairo_set_source_rgb(c->cr, 0.80, 0.10, 0.10);
        cairo_arc(c->cr, at, cq_axes_y(&a, y[n]), 2.6, 0.0, 6.2831853);
        cairo_fill(c->cr);
        cq_card_ink(c, 0.2);
        if (n == 0 || (n >= 2 && fabs(remainder(sixteenths, 4.0)) < 1e-6)) {
            cq_canvas_line(c, at, a.y - 4, at, a.y, 0.8, false);
            snprintf(words, sizeof words, "%.0f", sixteenths);
            cq_canvas_text(c, at, a.y - 7, 10, CQ_ALIGN_CENTRE, words);
            snprintf(words, sizeof words, rate < 9.95 ? "%.1f" : "%.0f", rate);
            cq_canvas_text(c, at, a.y - 21, 10, CQ_ALIGN_CENTRE, words);
        }
    }
    cq_canvas_text(c, a.x + a.width + 8, a.y - 7, 10, CQ_ALIGN_LEFT, "1/16 in");
    cq_canvas_text(c, a.x + a.width + 8, a.y - 21, 10, CQ_ALIGN_LEFT, "°C/s, 700 °C");
}

static void temper(cq_canvas *c, const cq_steel_card *card) {
    double x[CQ_CARD_TEMPERS], once[CQ_CARD_TEMPERS], twice[CQ_CARD_TEMPERS], high = 900.0;
    const cq_axes a = {CHART_LEFT, CHART_TOP, CHART_WIDTH - CHART_LEFT - RIGHT_HRC, CHART_TALL, 100.0, 650.0, 150.0,
                       high,       false};
    char words[96];
    for (int n = 0; n < CQ_CARD_TEMPERS; n++) {
        x[n] = card->temper[n].temp_K - ZERO_C;
        once[n] = card->temper[n].once_HV;
        twice[n] = card->temper[n].twice_HV;
    }
    cq_card_heading(c, card, "Hardness after temper");
    cq_axes_draw(c, &a, "temper temperature, °C", "Vickers hardness, HV", true);
    cq_chart_rockwell(c, &a);
    const double y = cq_axes_y(&a, card->as_quenched.HV);
    cq_card_ink(c, 0.45);
    cq_canvas_line(c, a.x, y, a.x + a.width, y, 1.0, true);
    snprintf(words, sizeof words, "as quenched, %.0f %% retained austenite",
             100.0 * card->as_quenched.fraction[CQ_AUSTENITE]);
    cq_card_ink(c, 0.2);
    cq_canvas_label(c, a.x + a.width - 6, y - 5, 10.5, CQ_ALIGN_RIGHT, words);
    cq_chart_style(c, 0);
    cq_card_curve(c, &a, CQ_CARD_TEMPERS, x, once);
    cq_chart_style(c, 1);
    cq_card_curve(c, &a, CQ_CARD_TEMPERS, x, twice);
    cq_chart_legend(c, 0, 0, "one hour");
    cq_chart_legend(c, 1, 1, "two times one hour");
}

/* ---- the door ---------------------------------------------------------------------------------------------------- */

cq_status cq_card_picture_draw(const cq_steel_card *card, cq_card_picture picture, cq_picture_format format,
                               unsigned char **bytes, size_t *length) {
    static const struct {
        double height;
        void (*draw)(cq_canvas *c, const cq_steel_card *card);
    } pictures[CQ_CARD_PICTURES] = {[CQ_CARD_PICTURE_ISOTHERMAL] = {CHART_TOP + CHART_TALL + FOOT + 10, isothermal},
                                    [CQ_CARD_PICTURE_CONTINUOUS] = {CONTINUOUS_PANEL + 120 + FOOT, continuous},
                                    [CQ_CARD_PICTURE_END_QUENCH] = {CHART_TOP + CHART_TALL + FOOT, end_quench},
                                    [CQ_CARD_PICTURE_TEMPER] = {CHART_TOP + CHART_TALL + FOOT, temper},
                                    [CQ_CARD_PICTURE_SOAK] = {CQ_CARD_SOAK_TALL + FOOT + 30, cq_card_soak_draw}};
    if (picture < 0 || picture >= CQ_CARD_PICTURES || format < 0 || format >= CQ_FORMATS) {
        return CQ_ERR_ARGUMENT;
    }
    cq_canvas c;
    if (cq_canvas_open(&c, format, CHART_WIDTH, pictures[picture].height) != CQ_OK) {
        return CQ_ERR_MEMORY;
    }
    pictures[picture].draw(&c, card);
    return cq_canvas_close(&c, bytes, length);
}
