/* section_picture.c - pages that show the section: hardness, martensite, cooling rate, and temperature strip by strip.
 */
#include "report/chart_parts.h"
#include "report/pictures.h"
#include "report/section_drawing.h"

#include "hardness/hardness.h"

#include <math.h>
#include <stdio.h>

enum { WIDTH = 900, MARGIN = 40, TOP = 82, BAR_WIDTH = 420 };

/* ---- the colour bar ---------------------------------------------------------------------------------------------- */

static void bar(cq_canvas *c, double y, const cq_ramp *ramp, const char *words) {
    cq_chart_colour_bar(c, 0.5 * (WIDTH - BAR_WIDTH), y, BAR_WIDTH, ramp, words);
}

/* A tick with words on the upper side of the bar at value v. */
static void bar_mark(cq_canvas *c, double y, const cq_ramp *ramp, double v, const char *words) {
    const double u = cq_ramp_share(ramp, v), x = 0.5 * (WIDTH - BAR_WIDTH) + BAR_WIDTH * u;
    if (u >= 0.0 && u <= 1.0) {
        cairo_set_source_rgb(c->cr, 0.15, 0.15, 0.15);
        cq_canvas_line(c, x, y - 4, x, y, 0.8, false);
        cq_canvas_text(c, x, y - 7, 10, CQ_ALIGN_CENTRE, words);
    }
}

static void rockwell_marks(cq_canvas *c, double y, const cq_ramp *ramp) {
    char words[16];
    for (int HRC = 20; HRC <= 60; HRC += 10) {
        snprintf(words, sizeof words, "%d", HRC);
        bar_mark(c, y, ramp, cq_hardness_HV(HRC), words);
    }
    bar_mark(c, y, ramp, cq_hardness_HV(65), "65 HRC");
}

/* ---- one field --------------------------------------------------------------------------------------------------- */

/* Smallest and largest value in cells of the kinds asked for. */
static void range_of(const cq_grid *g, const double *field, bool clay_too, double *low, double *high) {
    for (int cell = 0; cell < g->along * g->across; cell++) {
        if (g->kind[cell] == CQ_CELL_STEEL || (clay_too && g->kind[cell] == CQ_CELL_CLAY)) {
            *low = fmin(*low, field[cell]); /* fmin and fmax pass a NaN by */
            *high = fmax(*high, field[cell]);
        }
    }
}

/* The scale's ends hold every value: the usual ones, moved out to the next round number where a field goes beyond. */
cq_ramp cq_ramp_hardness(const cq_result *r) {
    cq_ramp ramp = {200.0, 900.0, false};
    range_of(r->grid, r->hardness_HV, false, &ramp.low, &ramp.high);
    ramp.low = 50.0 * floor(ramp.low / 50.0);
    ramp.high = 50.0 * ceil(ramp.high / 50.0);
    return ramp;
}

/* The next of 1, 2, 5, 10 ... at or beyond v. */
static double round_number(double v, bool up) {
    const double power = pow(10.0, floor(log10(v))), lead = v / power;
    if (up) {
        return power * (lead <= 1.0 ? 1.0 : lead <= 2.0 ? 2.0 : lead <= 5.0 ? 5.0 : 10.0);
    }
    return power * (lead >= 5.0 ? 5.0 : lead >= 2.0 ? 2.0 : 1.0);
}

/* Rates differ by a hundred times between edge and body: logarithmic. The scale has to end somewhere below; *less says
 * that the field goes on. */
static cq_ramp rate_ramp(const cq_result *r, bool *less) {
    double low = 100.0, high = 200.0;
    range_of(r->grid, r->peak_rate_K_s, false, &low, &high);
    *less = low < 1.0;
    return (cq_ramp){round_number(fmax(1.0, low), false), round_number(high, true), true};
}

/* Even on both sides of no stress, in hundreds of MPa. */
cq_ramp cq_ramp_stress(const cq_result *r) {
    double low = -200e6, high = 200e6;
    range_of(r->grid, r->axial_stress_Pa, false, &low, &high);
    const double most = 1e8 * ceil(1e-8 * fmax(-low, high));
    return (cq_ramp){-most, most, false};
}

/* From none to the next tenth above the richest. */
cq_ramp cq_ramp_carbon(const cq_result *r) {
    double low = 0.0, high = 0.1;
    range_of(r->grid, r->built.carbon_wt, false, &low, &high);
    return (cq_ramp){0.0, 0.1 * ceil(10.0 * high - 1e-3), false};
}

typedef struct field_page {
    const double *field;
    cq_ramp ramp;
    const char *title, *words;
    double written; /* what the bar is written in, of the field's unit */
} field_page;

static field_page page_of(const cq_result *r, cq_picture picture) {
    bool less;
    cq_ramp rates;
    switch (picture) {
    case CQ_PICTURE_HARDNESS:
        return (field_page){r->hardness_HV, cq_ramp_hardness(r), "Hardness as quenched", "Vickers hardness, HV", 1.0};
    case CQ_PICTURE_MARTENSITE:
        return (field_page){r->fraction[CQ_MARTENSITE],
                            {0.0, 1.0, false},
                            "Martensite",
                            "share of martensite, the hard structure",
                            1.0};
    case CQ_PICTURE_STRESS:
        return (field_page){r->axial_stress_Pa, cq_ramp_stress(r), "Stress along the blade as quenched, at 20 °C",
                            "MPa along the blade: below 0 pressed together, above 0 pulled", 1e-6};
    case CQ_PICTURE_CARBON:
        return (field_page){r->built.carbon_wt, cq_ramp_carbon(r), "Carbon when the quench begins",
                            "carbon, per cent of the weight", 1.0};
    default:
        rates = rate_ramp(r, &less);
        return (field_page){r->peak_rate_K_s, rates, "Fastest cooling seen at each place",
                            less ? "largest cooling rate, °C per second    (left end: 1 and less)"
                                 : "largest cooling rate, °C per second",
                            1.0};
    }
}

cq_status cq_picture_field(const cq_result *r, cq_picture picture, cq_picture_format format, unsigned char **bytes,
                           size_t *length) {
    const field_page page = page_of(r, picture);
    cq_drawing d = cq_drawing_fit(r->grid, MARGIN, WIDTH - 2 * MARGIN);
    cq_drawing_move(&d, TOP);
    const double axis = TOP + d.tall + (r->section->symmetric ? 10.0 : 28.0), scale = axis + 66.0;
    cq_canvas c;
    if (cq_canvas_open(&c, format, WIDTH, scale + 62.0) != CQ_OK) {
        return CQ_ERR_MEMORY;
    }
    cq_picture_heading(&c, r, MARGIN, WIDTH - 2 * MARGIN, page.title);
    const cq_status status = cq_drawing_steel(&c, r->grid, &d, page.field, &page.ramp);
    cq_drawing_line(&c, r, &d);
    cq_drawing_axis(&c, r, &d, axis);
    const cq_ramp written = {page.written * page.ramp.low, page.written * page.ramp.high, page.ramp.log};
    bar(&c, scale, &written, page.words);
    if (picture == CQ_PICTURE_HARDNESS) {
        rockwell_marks(&c, scale, &page.ramp);
    } else if (picture == CQ_PICTURE_PEAK_RATE && !isnan(r->critical_rate_K_s)) {
        char words[64];
        snprintf(words, sizeof words, "critical rate %.0f", r->critical_rate_K_s);
        bar_mark(&c, scale, &page.ramp, r->critical_rate_K_s, words);
    }
    c.failed = c.failed || status < 0;
    return cq_canvas_close(&c, bytes, length);
}

/* ---- temperature ------------------------------------------------------------------------------------------------- */

enum { COLUMNS = 2, STRIPS = 8, GUTTER = 36 };

static double mean_steel_K(const cq_grid *g, const double *temp_K) {
    double sum = 0.0, area = 0.0;
    for (int cell = 0; cell < g->along * g->across; cell++) {
        if (g->kind[cell] == CQ_CELL_STEEL) {
            sum += g->area_m2[cell] * temp_K[cell];
            area += g->area_m2[cell];
        }
    }
    return sum / area;
}

/* Frames [first, end) during the plan's steps: at time 0 all glows evenly, and what air does afterwards is no quench.
 */
static size_t first_of_steps(const cq_result *r) {
    return r->frames[0].time_s > 0.0 ? 0 : 1;
}

static size_t last_of_steps(const cq_result *r) {
    size_t end = r->frames_n;
    while (end > 2 && r->frames[end - 1].time_s > r->end_time_s) {
        end--;
    }
    return end;
}

/* The frame from `from` on whose steel is nearest to `sought_K` on the mean; [from, end) is not empty. */
static size_t nearest_frame(const cq_result *r, size_t from, size_t end, double sought_K) {
    size_t best = from;
    double least = HUGE_VAL;
    for (size_t f = from; f < end; f++) {
        const double off = fabs(mean_steel_K(r->grid, r->frames[f].temp_K) - sought_K);
        if (off < least) {
            least = off;
            best = f;
        }
    }
    return best;
}

/* Times the plan asks for, evenly thinned; else frames between which the steel cools by about the same. Rising. */
static size_t choose(const cq_result *r, size_t chosen[STRIPS]) {
    const size_t begin = first_of_steps(r), end = last_of_steps(r), there = end - begin;
    const bool asked = r->plan->times_n > 0;
    const size_t most = asked ? STRIPS : 6, n = there < most ? there : most;
    const double first = mean_steel_K(r->grid, r->frames[begin].temp_K);
    const double span = mean_steel_K(r->grid, r->frames[end - 1].temp_K) - first;
    for (size_t s = 0; s < n; s++) {
        if (asked) {
            chosen[s] = n == 1 ? begin : begin + s * (there - 1) / (n - 1);
        } else { /* leave enough frames for the rest */
            const size_t from = s == 0 ? begin : chosen[s - 1] + 1;
            chosen[s] = nearest_frame(r, from, end - (n - 1 - s), first + span * (double)(s + 1) / (double)n);
        }
    }
    return n;
}

cq_ramp cq_ramp_temperature(const cq_result *r) {
    cq_ramp ramp = {273.15, 1073.15, false}; /* 0 to 800 °C, or more */
    for (size_t f = 0; f < r->frames_n; f++) {
        range_of(r->grid, r->frames[f].temp_K, true, &ramp.low, &ramp.high);
    }
    ramp.low = 50.0 * floor((ramp.low - 273.15) / 50.0 + 1e-6) + 273.15;
    ramp.high = 50.0 * ceil((ramp.high - 273.15) / 50.0 - 1e-6) + 273.15;
    return ramp;
}

cq_status cq_picture_temperatures(const cq_result *r, cq_picture_format format, unsigned char **bytes, size_t *length) {
    const double strip = (WIDTH - 2.0 * MARGIN - GUTTER) / COLUMNS;
    const cq_ramp ramp = cq_ramp_temperature(r), celsius = {ramp.low - 273.15, ramp.high - 273.15, false};
    size_t chosen[STRIPS];
    const size_t n = choose(r, chosen), rows = (n + COLUMNS - 1) / COLUMNS;
    const double pitch = cq_drawing_fit(r->grid, 0.0, strip).tall + 30.0;
    const double axis = TOP + pitch * (double)rows - 14.0, scale = axis + 58.0;
    cq_canvas c;
    if (cq_canvas_open(&c, format, WIDTH, scale + 50.0) != CQ_OK) {
        return CQ_ERR_MEMORY;
    }
    cq_status status = CQ_OK;
    cq_picture_heading(&c, r, MARGIN, WIDTH - 2 * MARGIN, "Temperature of steel and clay through the quench");
    for (size_t s = 0; s < n && status >= 0; s++) { /* down the first column, then down the second */
        char words[64];
        const double left = MARGIN + (strip + GUTTER) * (double)(s / rows), top = TOP + pitch * (double)(s % rows);
        cq_drawing d = cq_drawing_fit(r->grid, left, strip);
        cq_drawing_move(&d, top);
        status = cq_drawing_both(&c, r->grid, &d, r->frames[chosen[s]].temp_K, &ramp);
        snprintf(words, sizeof words, "%.2f s", r->frames[chosen[s]].time_s);
        cairo_set_source_rgb(c.cr, 0.05, 0.05, 0.05);
        cq_canvas_text(&c, left, top - 2, 12, CQ_ALIGN_LEFT, words);
        if (s % rows == rows - 1 || s == n - 1) {
            cq_drawing_axis(&c, r, &d, axis);
        }
    }
    bar(&c, scale, &celsius, "temperature, °C");
    c.failed = c.failed || status < 0;
    return cq_canvas_close(&c, bytes, length);
}
