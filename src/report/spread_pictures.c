/* spread_pictures.c - a spread drawn: where the line comes to lie, what moves it, and both on the section. */
#include "report/chart_parts.h"
#include "report/section_drawing.h"
#include "report/spread_words.h"
#include "report/study_pictures.h"

#include "base/memory.h"

#include <math.h>
#include <stdio.h>

enum { WIDTH = CHART_WIDTH, LEFT = CHART_LEFT, RIGHT = 30, PLAIN = WIDTH - LEFT - RIGHT };

const char *cq_spread_picture_stem(cq_spread_picture picture) {
    static const char *const stems[CQ_SPREAD_PICTURES] = {"spread-line", "spread-tornado", "spread-section"};
    return stems[picture];
}

/* "..., nine of ten of the 7 in 100 with one". */
static const char *lines_told(const cq_spread *s, const char *what, char to[200]) {
    const cq_percentiles *q = &s->figure[CQ_FIGURE_LINE];
    char share[CQ_SPREAD_WORDS], some[CQ_SPREAD_WORDS + 48] = "";
    if (q->n < s->done) {
        snprintf(some, sizeof some, " of the %s in 100 with one", cq_spread_hundred(s->line.share, share));
    }
    if (isnan(q->p50.error)) {
        snprintf(to, 200, "%s: too few (%zu of %zu) to say how sure", what, q->n, s->done);
    } else {
        snprintf(to, 200, "%s, nine of ten%s", what, some);
    }
    return to;
}

/* A label beside x; on its left where it would run off the right edge. */
static void label_beside(cq_canvas *c, double x, double y, double size, int align, const char *words) {
    cairo_text_extents_t extents;
    cairo_set_font_size(c->cr, size);
    cairo_text_extents(c->cr, words, &extents);
    const bool left = align == CQ_ALIGN_RIGHT ? x - extents.x_advance > 6.0 : x + extents.x_advance > WIDTH - 8.0;
    cq_canvas_label(c, x + (left ? -4.0 : 4.0), y, size, left ? CQ_ALIGN_RIGHT : CQ_ALIGN_LEFT, words);
}

static void dark(cq_canvas *c) {
    cairo_set_source_rgb(c->cr, 0.05, 0.05, 0.05);
}

static void heading(cq_canvas *c, const cq_spread *s, const char *what) {
    char words[400];
    snprintf(words, sizeof words, "%.200s%s%zu blades, seed %llu", s->title, s->title[0] == '\0' ? "" : "   ·   ",
             s->done, (unsigned long long)s->wish.seed);
    dark(c);
    cq_canvas_text(c, LEFT, 26, 15, CQ_ALIGN_LEFT, what);
    cq_canvas_caption(c, LEFT, 44, 11, PLAIN, words);
}

static void box(cq_canvas *c, double x, double y, double width, double height, double grey) {
    cairo_rectangle(c->cr, x, y, width, height);
    cairo_set_source_rgb(c->cr, 0.75 * grey, 0.85 * grey, grey);
    cairo_fill_preserve(c->cr);
    cairo_set_source_rgb(c->cr, 0.25, 0.25, 0.25);
    cairo_set_line_width(c->cr, 0.7);
    cairo_stroke(c->cr);
}

/* ---- where the line lies ----------------------------------------------------------------------------------------- */

enum { BINS = 40, TALL = 230, VERDICT_ROW = 20, ROOM_FOR_MARK = 80 };

typedef struct histogram {
    double low_mm, step_mm;
    int n;
    size_t count[BINS], most;
} histogram;

/* Steps of a round size, fewer than BINS and not too many for few samples. */
static histogram count_lines(const cq_spread *s) {
    static const double steps[] = {0.1, 0.2, 0.25, 0.5, 1.0, 2.0, 5.0, 10.0};
    double low = HUGE_VAL, high = -HUGE_VAL;
    histogram h = {.step_mm = 10.0};
    for (size_t i = 0; i < s->samples; i++) {
        const double line = 1e3 * cq_spread_row(s, i)->value[CQ_FIGURE_LINE];
        low = isfinite(line) ? fmin(low, line) : low;
        high = isfinite(line) ? fmax(high, line) : high;
    }
    const double most = fmin(BINS - 1.0, 8.0 + sqrt((double)s->figure[CQ_FIGURE_LINE].n));
    for (int k = (int)(sizeof steps / sizeof steps[0]); k-- > 0;) {
        const double from = steps[k] * floor(low / steps[k]);
        if ((high - from) / steps[k] < most) {
            h.step_mm = steps[k];
            h.low_mm = from;
            h.n = (int)((high - from) / steps[k]) + 1;
        }
    }
    for (size_t i = 0; i < s->samples; i++) {
        const double line = 1e3 * cq_spread_row(s, i)->value[CQ_FIGURE_LINE];
        if (isfinite(line)) {
            const int bin = (int)fmin(BINS - 1.0, fmax(0.0, (line - h.low_mm) / h.step_mm));
            h.count[bin]++;
            h.most = h.count[bin] > h.most ? h.count[bin] : h.most;
        }
    }
    return h;
}

static void mark(cq_canvas *c, const cq_axes *a, double mm, double y, const char *name, int align) {
    char words[64];
    cairo_set_source_rgb(c->cr, 0.70, 0.05, 0.05);
    cq_canvas_line(c, cq_axes_x(a, mm), a->y + a->height, cq_axes_x(a, mm), y, 1.4, true);
    snprintf(words, sizeof words, "%s %.1f mm", name, mm);
    label_beside(c, cq_axes_x(a, mm), y + 9, 11, align, words);
}

static void draw_histogram(cq_canvas *c, const cq_spread *s) {
    const histogram h = count_lines(s);
    const cq_percentiles *q = &s->figure[CQ_FIGURE_LINE];
    const double all = (double)s->done, planned = s->has_planned ? 1e3 * s->planned[CQ_FIGURE_LINE] : NAN;
    const double left_mm = fmax(0.0, h.low_mm - h.step_mm * fmax(1.0, floor(0.1 * h.n)));
    const double width_mm = h.low_mm - left_mm + h.step_mm * fmax(8.0, h.n + 1.0);
    cq_axes a = {LEFT, 96, PLAIN, TALL, left_mm, left_mm + width_mm, 0.0, 125.0 * (double)h.most / all, false};
    cq_axes_draw(c, &a, "height of the hardening line (hamon) above the edge flat, mm", "blades in 100", true);
    for (int k = 0; k < h.n; k++) {
        const double x = cq_axes_x(&a, h.low_mm + k * h.step_mm), y = cq_axes_y(&a, 100.0 * (double)h.count[k] / all);
        box(c, x, y, cq_axes_x(&a, h.low_mm + (k + 1) * h.step_mm) - x, a.y + a.height - y, 0.85);
    }
    const bool room = cq_axes_x(&a, 1e3 * q->p5.value) - a.x > ROOM_FOR_MARK;
    mark(c, &a, 1e3 * q->p5.value, a.y + (room ? 26 : 46), "from", room ? CQ_ALIGN_RIGHT : CQ_ALIGN_LEFT);
    mark(c, &a, 1e3 * q->p95.value, a.y + 26, "to", CQ_ALIGN_LEFT);
    mark(c, &a, 1e3 * q->p50.value, a.y + 6, "middle", CQ_ALIGN_LEFT);
    if (planned >= a.x0 && planned <= a.x1) {
        dark(c);
        cairo_move_to(c->cr, cq_axes_x(&a, planned), a.y);
        cairo_line_to(c->cr, cq_axes_x(&a, planned) - 6, a.y - 10);
        cairo_line_to(c->cr, cq_axes_x(&a, planned) + 6, a.y - 10);
        cairo_fill(c->cr);
        char words[64];
        snprintf(words, sizeof words, "as planned %.1f mm", planned);
        label_beside(c, cq_axes_x(&a, planned) + 6, a.y - 3, 11, CQ_ALIGN_LEFT, words);
    }
}

/* A bar per verdict that was seen, its interval as a line over its end. */
static void draw_verdicts(cq_canvas *c, const cq_spread *s, double y) {
    const cq_axes a = {LEFT + 150, y, PLAIN - 340, 0, 0, 100, 0, 1, false};
    for (int v = 0; v <= CQ_VERDICT_INERT; v++) {
        const cq_chance *k = &s->verdict[v];
        char share[CQ_SPREAD_WORDS], low[CQ_SPREAD_WORDS], high[CQ_SPREAD_WORDS], words[3 * CQ_SPREAD_WORDS + 16];
        if (!(k->share > 0.0)) {
            continue;
        }
        box(c, a.x, y, cq_axes_x(&a, 100.0 * k->share) - a.x, VERDICT_ROW - 6, 0.85);
        dark(c);
        cq_canvas_line(c, cq_axes_x(&a, 100.0 * k->low), y + 7, cq_axes_x(&a, 100.0 * k->high), y + 7, 2.0, false);
        cq_canvas_text(c, a.x - 8, y + 11, 11, CQ_ALIGN_RIGHT, cq_spread_verdict_words(s, (cq_verdict)v));
        snprintf(words, sizeof words, "%s in 100 (%s to %s)", cq_spread_hundred(k->share, share),
                 cq_spread_hundred(k->low, low), cq_spread_hundred(k->high, high));
        cq_canvas_text(c, cq_axes_x(&a, 100.0 * k->high) + 8, y + 11, 11, CQ_ALIGN_LEFT, words);
        y += VERDICT_ROW;
    }
}

static cq_status line_picture(const cq_spread *s, const cq_easel *easel) {
    const bool lines = s->figure[CQ_FIGURE_LINE].n > 0;
    const double top = lines ? 96 + TALL + 62 : 66;
    int seen = 0;
    for (int v = 0; v <= CQ_VERDICT_INERT; v++) {
        seen += s->verdict[v].share > 0.0;
    }
    cq_canvas c;
    if (cq_easel_open(&c, easel, WIDTH, top + VERDICT_ROW * seen + 14.0) != CQ_OK) {
        return CQ_ERR_MEMORY;
    }
    char title[200];
    heading(&c, s,
            lines ? lines_told(s, "Where the hardening line (hamon) comes to lie", title)
                  : "What becomes of the blades");
    if (lines) {
        draw_histogram(&c, s);
    }
    draw_verdicts(&c, s, top);
    return cq_easel_close(&c, easel);
}

/* ---- what moves it ----------------------------------------------------------------------------------------------- */

enum { BARS = 10, BAR_ROW = 30, BARS_TOP = 92, BARS_LEFT = 210 };

/* How far an input moves the figure from its own middle to its fifth and ninety-fifth percentile, mm of a line. */
static void swing(const cq_spread *s, const cq_spread_topic *topic, size_t k, double by[2]) {
    static const double Z = 1.6449; /* 95 % of a normal distribution */
    const cq_uncertain *u = &s->input[k];
    for (int end = 0; end < 2; end++) {
        by[end] = (topic->length ? 1e3 : topic->factor) * topic->influence->slope[k].value *
                  (cq_uncertain_value(u, end == 0 ? -Z : Z, NULL) - u->centre);
    }
}

static void draw_bar(cq_canvas *c, const cq_spread *s, const cq_spread_topic *topic, const cq_axes *a, size_t k,
                     double y) {
    const cq_uncertain *u = &s->input[k];
    const cq_estimate *share = &topic->influence->share[k];
    char words[2 * CQ_SPREAD_WORDS], part[CQ_SPREAD_WORDS];
    double by[2];
    swing(s, topic, k, by);
    for (int end = 0; end < 2; end++) {
        const double x = cq_axes_x(a, fmin(0.0, by[end]));
        box(c, x, y + 4, cq_axes_x(a, fmax(0.0, by[end])) - x, BAR_ROW - 12, end == 0 ? 1.0 : 0.6);
    }
    dark(c);
    cq_canvas_text(c, BARS_LEFT - 10, y + 13, 11, CQ_ALIGN_RIGHT, cq_uncertain_words(u->kind));
    snprintf(words, sizeof words, "± %s", cq_spread_scatter_words(u, CQ_UNITS_METRIC, part));
    cairo_set_source_rgb(c->cr, 0.35, 0.35, 0.35);
    cq_canvas_text(c, BARS_LEFT - 10, y + 25, 9.5, CQ_ALIGN_RIGHT, words);
    snprintf(words, sizeof words, "%.0f ± %.0f %%", 100.0 * fmax(0.0, share->value), 100.0 * share->error);
    const double grey = cq_spread_is_noise(topic->influence, k) ? 0.55 : 0.05;
    cairo_set_source_rgb(c->cr, grey, grey, grey);
    cq_canvas_text(c, WIDTH - RIGHT, y + 18, 11, CQ_ALIGN_RIGHT, words);
}

static double widest(const cq_spread *s, const cq_spread_topic *topic, const size_t *order, size_t n) {
    double most = 0.1;
    for (size_t o = 0; o < n; o++) {
        double by[2];
        swing(s, topic, order[o], by);
        most = fmax(most, fmax(fabs(by[0]), fabs(by[1])));
    }
    return most;
}

static void draw_key(cq_canvas *c, double x, double grey, const char *words) {
    box(c, x, 60, 22, 12, grey);
    dark(c);
    cq_canvas_text(c, x + 28, 70, 11, CQ_ALIGN_LEFT, words);
}

static cq_status tornado_picture(const cq_spread *s, const cq_easel *easel) {
    size_t order[CQ_UNCERTAINS];
    const size_t n = s->inputs_n < BARS ? s->inputs_n : BARS;
    cq_spread_topic topic;
    char axis[96];
    if (!cq_spread_topic_of(s, &topic)) {
        return CQ_ERR_ARGUMENT;
    }
    cq_spread_order(s, topic.influence, order, true);
    const double tall = BAR_ROW * (double)n, most = 1.08 * widest(s, &topic, order, n);
    const cq_axes a = {BARS_LEFT, BARS_TOP, WIDTH - BARS_LEFT - RIGHT - 80, tall, -most, most, 0, 1, false};
    cq_canvas c;
    if (cq_easel_open(&c, easel, WIDTH, BARS_TOP + tall + 66) != CQ_OK) {
        return CQ_ERR_MEMORY;
    }
    heading(&c, s, topic.picture);
    draw_key(&c, BARS_LEFT, 1.0, "the input at its low end");
    draw_key(&c, BARS_LEFT + 180, 0.6, "at its high end (5 % of blades lie beyond)");
    cq_canvas_text(&c, WIDTH - RIGHT, 70, 11, CQ_ALIGN_RIGHT, "share of scatter");
    cairo_set_source_rgb(c.cr, 0.55, 0.55, 0.55);
    cq_canvas_text(&c, WIDTH - RIGHT, 84, 9.5, CQ_ALIGN_RIGHT, "grey: not told from noise");
    for (size_t o = 0; o < n; o++) {
        draw_bar(&c, s, &topic, &a, order[o], BARS_TOP + BAR_ROW * (double)o);
    }
    dark(&c);
    cq_canvas_line(&c, cq_axes_x(&a, 0.0), BARS_TOP, cq_axes_x(&a, 0.0), BARS_TOP + tall, 1.0, false);
    const cq_axes scale = {a.x, BARS_TOP + tall + 6, a.width, 0, a.x0, a.x1, 0, 1, false};
    snprintf(axis, sizeof axis, "%s (straight fit)", topic.axis);
    cq_axes_draw(&c, &scale, axis, NULL, false);
    return cq_easel_close(&c, easel);
}

/* ---- on the section ---------------------------------------------------------------------------------------------- */

enum { SECTION_TOP = 92, LEADER = 28 };

static void draw_height(cq_canvas *c, const cq_drawing *d, double m, int row, const char *name, int align) {
    char words[64];
    const double x = d->place.x0 + d->place.per_x * m, top = d->place.y0 - d->above, up = top - 10.0 - 14.0 * row;
    cairo_set_source_rgb(c->cr, 1, 1, 1);
    cq_canvas_line(c, x, top, x, top + d->tall, 3.6, false);
    cairo_set_source_rgb(c->cr, 0.70, 0.05, 0.05);
    cq_canvas_line(c, x, up, x, top + d->tall + 4, 1.6, row == 0);
    snprintf(words, sizeof words, "%s %.1f mm", name, 1e3 * m);
    label_beside(c, x, up + 4, 11.5, align, words);
}

/* Colours from 0 to 100 blades, at y. */
static void draw_scale(cq_canvas *c, double x, double y, double width, bool two) {
    enum { STEPS = 100 };
    for (int k = 0; k < STEPS; k++) {
        double rgb[3];
        cq_colour_of((k + 0.5) / STEPS, rgb);
        cairo_set_source_rgb(c->cr, rgb[0], rgb[1], rgb[2]);
        cairo_rectangle(c->cr, x + width * k / STEPS, y, width / STEPS + 0.5, 14);
        cairo_fill(c->cr);
    }
    const cq_axes a = {x, y + 14, width, 0, 0, 100, 0, 1, false};
    cq_axes_draw(c, &a,
                 two ? "blades in 100 that are hard there, up to the first edge's line"
                     : "blades in 100 that are hard there, up to their line",
                 NULL, false);
}

/* Steel from a height up without colour: there is nothing to say of it. */
static void draw_plain(cq_canvas *c, const cq_result *r, const cq_drawing *d, double from_m) {
    enum { STEPS = 60 };
    cairo_new_path(c->cr);
    for (int k = 0; k < 2 * (STEPS + 1); k++) { /* up the left face, down the right one */
        const bool left = k <= STEPS;
        const double x_m = from_m + (r->section->height_m - from_m) * (left ? k : 2 * STEPS + 1 - k) / STEPS;
        const double out_m = cq_section_half_thickness(r->section, left ? CQ_SIDE_LEFT : CQ_SIDE_RIGHT, x_m);
        cairo_line_to(c->cr, d->place.x0 + d->place.per_x * x_m,
                      d->place.y0 + d->place.per_y * (left ? -out_m : out_m));
    }
    cairo_close_path(c->cr);
    cairo_set_source_rgb(c->cr, 0.88, 0.88, 0.88);
    cairo_fill_preserve(c->cr);
    cairo_set_source_rgb(c->cr, 0.05, 0.05, 0.05);
    cairo_set_line_width(c->cr, 1.1);
    cairo_stroke(c->cr);
}

static cq_status section_picture(const cq_spread *s, const cq_result *r, const cq_easel *easel) {
    const cq_percentiles *q = &s->figure[CQ_FIGURE_LINE];
    if (r == NULL || r->grid == NULL || r->grid->one_dimensional || q->n == 0) {
        return CQ_ERR_ARGUMENT;
    }
    const cq_grid *g = r->grid;
    double *field = cq_memory_zero((size_t)g->along * (size_t)g->across, sizeof *field);
    if (field == NULL) {
        return CQ_ERR_MEMORY;
    }
    const bool two = r->section->family == CQ_FAMILY_DOUBLE_EDGED; /* of the second edge's line nothing is kept */
    for (int i = 0; i < g->along; i++) {
        const double height_m = g->center_x_m[i * g->across + g->steel_j0];
        const double hard = cq_spread_hard_at(s, height_m);
        for (int j = 0; j < g->across; j++) {
            field[i * g->across + j] = hard;
        }
    }
    cq_drawing d = cq_drawing_fit(g, LEFT, PLAIN);
    cq_drawing_move(&d, SECTION_TOP + LEADER);
    const double axis = SECTION_TOP + LEADER + d.tall + 14, scale = axis + 54;
    const cq_ramp ramp = {0.0, 1.0, false};
    cq_canvas c;
    cq_status status = cq_easel_open(&c, easel, WIDTH, scale + 64);
    if (status < 0) {
        cq_memory_free(field);
        return status;
    }
    char title[200];
    heading(&c, s, lines_told(s, "The band of the hardening line (hamon)", title));
    status = cq_drawing_steel(&c, g, &d, field, &ramp);
    cq_memory_free(field);
    if (two) {
        draw_plain(&c, r, &d, 0.5 * r->section->height_m);
    }
    draw_height(&c, &d, q->p5.value, 0, "from", CQ_ALIGN_RIGHT);
    draw_height(&c, &d, q->p95.value, 0, "to", CQ_ALIGN_LEFT);
    draw_height(&c, &d, q->p50.value, 1, "middle", CQ_ALIGN_LEFT);
    cq_drawing_axis(&c, r, &d, axis);
    draw_scale(&c, LEFT, scale, PLAIN, two);
    c.failed = c.failed || status < 0;
    return cq_easel_close(&c, easel);
}

static cq_status draw_on(const cq_spread *s, const cq_result *as_planned, cq_spread_picture picture,
                         const cq_easel *easel) {
    if (s->done == 0) {
        return CQ_ERR_ARGUMENT;
    }
    switch (picture) {
    case CQ_SPREAD_PICTURE_LINE:
        return line_picture(s, easel);
    case CQ_SPREAD_PICTURE_TORNADO:
        return tornado_picture(s, easel);
    case CQ_SPREAD_PICTURE_SECTION:
        return section_picture(s, as_planned, easel);
    default:
        return CQ_ERR_ARGUMENT;
    }
}

cq_status cq_spread_picture_draw(const cq_spread *s, const cq_result *as_planned, cq_spread_picture picture,
                                 cq_picture_format format, unsigned char **bytes, size_t *length) {
    const cq_easel easel = {format, bytes, length, NULL};
    return format >= 0 && format < CQ_FORMATS ? draw_on(s, as_planned, picture, &easel) : CQ_ERR_ARGUMENT;
}

cq_status cq_spread_picture_record(const cq_spread *s, const cq_result *as_planned, cq_spread_picture picture,
                                   cq_recorded *recorded) {
    return draw_on(s, as_planned, picture, &(cq_easel){.recorded = recorded});
}
