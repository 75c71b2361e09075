/* result_figures.c - see result_figures.h. Drawn narrow with large text, so that they can be read on a phone and stand
 * in pairs on paper.
 */
#include "report/result_figures.h"

#include "report/pictures.h"
#include "report/section_drawing.h"

#include <math.h>
#include <stdio.h>

static const double EDGE_OF_PAGE = 18.0, TEXT_SCALE = 1.2;
static const double BOX = CQ_FIGURE_WIDTH - 2 * 18.0; /* width of what is drawn */

/* ---- the section ------------------------------------------------------------------------------------------------- */

enum { SECTION_TOP = 34, SECTION_BELOW = 112 };

static cq_drawing section_drawing(const cq_result *r, double top) {
    cq_drawing d = cq_drawing_fit(r->grid, EDGE_OF_PAGE, BOX);
    cq_drawing_true(&d);
    cq_drawing_move(&d, top);
    return d;
}

double cq_section_figure_tall(const cq_result *r) {
    const cq_drawing d = section_drawing(r, SECTION_TOP);
    return SECTION_TOP + d.tall + (r->section->symmetric ? 8.0 : 28.0) + SECTION_BELOW;
}

/* The section in the colours of a field, and the bar with its values times `written`. */
static cq_status field_figure(cq_canvas *c, const cq_result *r, const double *field, const cq_ramp *ramp,
                              double written, const char *words) {
    const cq_drawing d = section_drawing(r, SECTION_TOP);
    const double axis = SECTION_TOP + d.tall + (r->section->symmetric ? 8.0 : 28.0);
    const cq_ramp bar = {written * ramp->low, written * ramp->high, ramp->log};
    c->text_scale = TEXT_SCALE;
    const cq_status status = cq_drawing_steel(c, r->grid, &d, field, ramp);
    cq_drawing_line(c, r, &d);
    cq_drawing_axis(c, r, &d, axis);
    if (words != NULL) {
        cq_chart_colour_bar(c, EDGE_OF_PAGE + 40.0, axis + 56.0, BOX - 80.0, &bar, words);
    }
    c->text_scale = 0.0;
    return status;
}

cq_status cq_section_figure(cq_canvas *c, const void *result) {
    const cq_result *r = result;
    const cq_ramp ramp = r->transforming ? cq_ramp_hardness(r) : cq_ramp_temperature(r);
    return field_figure(c, r, r->transforming ? r->hardness_HV : r->temp_K, &ramp, 1.0,
                        r->transforming ? "Vickers hardness as quenched, HV" : NULL);
}

cq_status cq_stress_figure(cq_canvas *c, const void *result) {
    const cq_result *r = result;
    const cq_ramp ramp = cq_ramp_stress(r);
    return field_figure(c, r, r->axial_stress_Pa, &ramp, 1e-6, "MPa along the blade: below 0 pressed, above pulled");
}

cq_status cq_carbon_figure(cq_canvas *c, const void *result) {
    const cq_result *r = result;
    const cq_ramp ramp = cq_ramp_carbon(r);
    return field_figure(c, r, r->built.carbon_wt, &ramp, 1.0, "carbon, per cent of the weight");
}

enum { BUILD_TOP = 12 };

double cq_build_figure_tall(const cq_result *r) {
    return BUILD_TOP + section_drawing(r, BUILD_TOP).tall + 8.0 + cq_build_below(r);
}

cq_status cq_build_figure(cq_canvas *c, const void *result) {
    const cq_result *r = result;
    const cq_drawing d = section_drawing(r, BUILD_TOP);
    c->text_scale = TEXT_SCALE;
    const cq_status status = cq_chart_build(c, r, &d, BUILD_TOP + d.tall + 8.0);
    c->text_scale = 0.0;
    return status;
}

/* ---- the side of the blade --------------------------------------------------------------------------------------- */

enum { SIDE_TOP = 40, SIDE_BELOW = 62 };
static const double THINNEST_SIDE = 56.0; /* points: a longer blade's height is magnified */
static const double A_COAT_M = 0.3e-3;    /* thicker is a coat, thinner a wash (users of clay call them so) */

/* How the side lies on the canvas. */
typedef struct side_view {
    double length_m, per_m, up, x, foot,
        point; /* points per metre along; times magnified upward; where the edge lies */
    bool stated;
} side_view;

static side_view side_of(const cq_result *r) {
    side_view v = {.length_m = r->section->length_m, .x = EDGE_OF_PAGE};
    const double height_m = r->section->height_m;
    v.stated = v.length_m > height_m;
    v.length_m = v.stated ? v.length_m : 4.0 * height_m;
    v.per_m = BOX / v.length_m;
    v.up = fmax(1.0, ceil(THINNEST_SIDE / (height_m * v.per_m)));
    v.foot = SIDE_TOP + height_m * v.per_m * v.up;
    v.point = fmin(1.4 * height_m, 0.4 * v.length_m);
    return v;
}

static double side_x(const side_view *v, double along_m) {
    return v->x + v->per_m * along_m;
}

static double side_y(const side_view *v, double height_m) {
    return v->foot - v->per_m * v->up * height_m;
}

double cq_side_figure_tall(const cq_result *r) {
    return side_of(r).foot + SIDE_BELOW;
}

/* Spine straight, edge rising to the point; the heel cut off. */
static void side_path(cq_canvas *c, const side_view *v, double height_m) {
    const double tip = side_x(v, v->length_m), top = side_y(v, height_m), foot = v->foot;
    const double bend = side_x(v, v->length_m - v->point);
    cairo_new_path(c->cr);
    cairo_move_to(c->cr, v->x, top);
    cairo_line_to(c->cr, tip, top);
    cairo_curve_to(c->cr, tip - 0.25 * (tip - bend), foot - 0.35 * (foot - top), bend + 0.35 * (tip - bend), foot, bend,
                   foot);
    cairo_line_to(c->cr, v->x, foot);
    cairo_close_path(c->cr);
}

/* Hard steel pale as a polished line shows it, soft steel darker. */
static void side_rows(cq_canvas *c, const cq_result *r, const side_view *v) {
    const cq_profile_along *a = &r->along;
    for (size_t i = 0; i < a->n && r->transforming; i++) {
        const double low = i == 0 ? 0.0 : 0.5 * (a->height_m[i - 1] + a->height_m[i]);
        const double high = i + 1 == a->n ? r->section->height_m : 0.5 * (a->height_m[i] + a->height_m[i + 1]);
        const double share = fmin(1.0, fmax(0.0, a->martensite_right[i]));
        cairo_set_source_rgb(c->cr, 0.58 + 0.36 * share, 0.63 + 0.32 * share, 0.67 + 0.29 * share);
        cairo_rectangle(c->cr, v->x, side_y(v, high), BOX, side_y(v, low) - side_y(v, high) + 0.6);
        cairo_fill(c->cr);
    }
}

/* Where the coat lies, hatched. */
static void side_clay(cq_canvas *c, const cq_result *r, const side_view *v) {
    const double height_m = r->section->height_m;
    const int steps = 200;
    cairo_new_path(c->cr);
    bool any = false;
    for (int n = 0; n < steps; n++) {
        const double at = height_m * (n + 0.5) / steps;
        if (cq_section_clay_thickness(r->section, CQ_SIDE_RIGHT, at) >= A_COAT_M) {
            const double high = side_y(v, height_m * (n + 1) / steps);
            cairo_rectangle(c->cr, v->x, high, BOX, side_y(v, height_m * n / steps) - high);
            any = true;
        }
    }
    if (!any) {
        cairo_new_path(c->cr);
        return;
    }
    cairo_save(c->cr);
    cairo_clip(c->cr);
    cairo_set_source_rgba(c->cr, 0.40, 0.30, 0.18, 0.55);
    cairo_set_line_width(c->cr, 0.7);
    const double tall = v->foot - SIDE_TOP;
    for (double x = v->x - tall; x < v->x + BOX; x += 7.0) {
        cairo_move_to(c->cr, x, v->foot);
        cairo_line_to(c->cr, x + tall, SIDE_TOP);
    }
    cairo_stroke(c->cr);
    cairo_restore(c->cr);
}

static void side_line(cq_canvas *c, const cq_result *r, const side_view *v) {
    const double at_m = isnan(r->line_right_m) ? r->line_surface_m : r->line_right_m;
    char words[128];
    if (!r->transforming || isnan(at_m)) {
        snprintf(words, sizeof words, "no hardening line (hamon)%s%s", r->transforming ? ": " : "",
                 r->transforming ? cq_verdict_words(r->verdict) : "");
    } else {
        const double y = side_y(v, at_m);
        cairo_set_source_rgb(c->cr, 1, 1, 1);
        cq_canvas_line(c, v->x, y, v->x + BOX, y, 3.6, false);
        cairo_set_source_rgb(c->cr, 0.05, 0.05, 0.05);
        cq_canvas_line(c, v->x, y, v->x + BOX, y, 1.8, false);
        snprintf(words, sizeof words, "hardening line (hamon) %.1f mm above the edge", 1e3 * at_m);
    }
    cairo_reset_clip(c->cr);
    cairo_set_source_rgb(c->cr, 0.70, 0.05, 0.05);
    cq_canvas_text(c, v->x, SIDE_TOP - 12, 11, CQ_ALIGN_LEFT, words);
}

static void side_axis(cq_canvas *c, const cq_result *r, const side_view *v) {
    char words[160];
    if (!v->stated) {
        cairo_set_source_rgb(c->cr, 0.15, 0.15, 0.15);
        cq_canvas_text(c, v->x, v->foot + 22, 11, CQ_ALIGN_LEFT, "length not stated in the plan");
        return;
    }
    snprintf(words, sizeof words,
             v->up > 1.0 ? "mm along the blade, edge below (height drawn %.0f times)"
                         : "mm along the blade, edge below (drawn to scale)",
             v->up);
    const cq_axes axes = {v->x, v->foot + 10, BOX, 0, 0, 1e3 * r->section->length_m, 0, 1, false};
    cq_axes_draw(c, &axes, words, NULL, false);
}

cq_status cq_side_figure(cq_canvas *c, const void *result) {
    const cq_result *r = result;
    const side_view v = side_of(r);
    const double height_m = r->section->height_m, bend = side_x(&v, v.length_m - v.point);
    c->text_scale = TEXT_SCALE;
    cairo_save(c->cr);
    side_path(c, &v, height_m);
    cairo_clip(c->cr);
    cairo_set_source_rgb(c->cr, 0.75, 0.78, 0.80);
    cairo_paint(c->cr);
    side_rows(c, r, &v);
    side_clay(c, r, &v);
    cairo_set_source_rgba(c->cr, 1, 1, 1, 0.6); /* the point is not computed */
    cairo_rectangle(c->cr, bend, SIDE_TOP, CQ_FIGURE_WIDTH - bend, v.foot - SIDE_TOP);
    cairo_fill(c->cr);
    cairo_save(c->cr);
    side_line(c, r, &v);
    cairo_restore(c->cr);
    cairo_restore(c->cr);
    side_path(c, &v, height_m);
    cairo_set_source_rgb(c->cr, 0.05, 0.05, 0.05);
    cairo_set_line_width(c->cr, 1.1);
    cairo_stroke(c->cr);
    cq_canvas_line(c, bend, side_y(&v, height_m), bend, v.foot, 0.9, true);
    side_axis(c, r, &v);
    c->text_scale = 0.0;
    return CQ_OK;
}

/* ---- charts ------------------------------------------------------------------------------------------------------ */

enum { CHART_FIGURE_TALL = 330 };

double cq_chart_figure_tall(void) {
    return CHART_FIGURE_TALL;
}

cq_status cq_cooling_figure(cq_canvas *c, const void *result) {
    cq_chart_place place = {60, 34, CQ_FIGURE_WIDTH - 60 - 20, CHART_FIGURE_TALL - 34 - 44, 16, true, 0, 0.0};
    cq_error error = CQ_ERROR_INIT;
    c->text_scale = TEXT_SCALE;
    const cq_status status = cq_chart_cooling(c, result, &place, &error);
    cq_error_clear(&error);
    c->text_scale = 0.0;
    return status;
}

cq_status cq_along_figure(cq_canvas *c, const void *result) {
    const cq_result *r = result;
    const int rows = r->section->symmetric && r->plan->temper_n == 0 ? 1 : 2;
    cq_chart_place place = {
        60, 18 + 16 * rows, CQ_FIGURE_WIDTH - 60 - 58, CHART_FIGURE_TALL - (18 + 16 * rows) - 44, 14, true, 0, 0.0};
    c->text_scale = TEXT_SCALE;
    cq_chart_along(c, r, &place);
    c->text_scale = 0.0;
    return CQ_OK;
}

cq_status cq_curve_figure(cq_canvas *c, const void *result) {
    const cq_result *r = result;
    const int top = r->grid->symmetric ? 34 : 52; /* the side bend has a row of the legend to itself */
    cq_chart_place place = {66, top, CQ_FIGURE_WIDTH - 66 - 84, CHART_FIGURE_TALL - top - 44, 16, true, 0, 0.0};
    c->text_scale = TEXT_SCALE;
    cq_chart_curve(c, r, &place);
    c->text_scale = 0.0;
    return CQ_OK;
}

/* ---- the quench in time ------------------------------------------------------------------------------------------ */

enum { FILM_TOP = 20, FILM_GAP = 26, FILM_BELOW = 96 };

double cq_frame_place_K(const cq_result *r, const cq_frame *f, int trace) {
    const cq_trace *t = &r->traces[trace];
    const cq_grid *g = r->grid;
    for (size_t i = 1; i < t->n && f->time_s <= r->end_time_s + 1e-9; i++) {
        if (t->time_s[i] >= f->time_s - 1e-9) {
            const double u = fmin(1.0, fmax(0.0, (f->time_s - t->time_s[i - 1]) / (t->time_s[i] - t->time_s[i - 1])));
            return t->temp_K[i - 1] + u * (t->temp_K[i] - t->temp_K[i - 1]);
        }
    }
    const int middle = g->symmetric ? g->steel_j0 : (g->steel_j0 + g->steel_j1) / 2;
    int nearest = g->steel_i0;
    for (int i = g->steel_i0; i < g->steel_i1; i++) {
        if (fabs(g->center_x_m[i * g->across + middle] - t->at_m) <
            fabs(g->center_x_m[nearest * g->across + middle] - t->at_m)) {
            nearest = i;
        }
    }
    return f->temp_K[nearest * g->across + middle];
}

const char *cq_face_state(const cq_result *r, int trace, double time_s) {
    size_t s = 0;
    while (s < r->step_ends_n && time_s >= r->step_ends[s].time_s - 1e-9) {
        s++;
    }
    if (s >= r->step_ends_n || s >= r->plan->steps_n) {
        return "in air";
    }
    const cq_step_plan *step = &r->plan->steps[s];
    const cq_film *film = trace == CQ_TRACE_EDGE   ? &r->film_edge
                          : trace == CQ_TRACE_BODY ? &r->film_body
                                                   : &r->film_spine;
    if (step->bath.kind == CQ_BATH_GAS || (step->depth_m > 0.0 && r->traces[trace].at_m > step->depth_m)) {
        return "in air";
    }
    if (step->bath.kind != CQ_BATH_BOILING) {
        return step->bath.kind == CQ_BATH_OIL ? "in oil" : "in the bath";
    }
    const bool film_now =
        film->state == CQ_FILM_PERSISTED || (film->state == CQ_FILM_COLLAPSED && time_s < film->time_s);
    return film_now ? "film" : "wetted";
}

/* Frames that are to be shown: all, or so many that each is about as much later, in proportion, than the one before: a
 * quench decides in its first seconds and ends in minutes. */
static size_t choose_frames(const cq_result *r, size_t there, size_t most, size_t *at) {
    static const double EARLY_S = 0.5; /* before it even steps in time; chosen here */
    if (there <= most) {
        for (size_t n = 0; n < there; n++) {
            at[n] = n;
        }
        return there;
    }
    const double whole = log1p(r->frames[there - 1].time_s / EARLY_S);
    for (size_t n = 0, next = 0; n < most; n++, next++) {
        const double wanted_s = EARLY_S * expm1(whole * (double)n / (double)(most - 1));
        const size_t last = there - (most - n); /* the rest needs a frame each */
        while (next < last && r->frames[next].time_s < wanted_s) {
            next++;
        }
        at[n] = n + 1 == most ? there - 1 : next;
    }
    return most;
}

cq_film_reel cq_film_choose(const cq_result *r) {
    cq_film_reel reel = {.result = r};
    size_t there = 0;
    while (there < r->frames_n && r->frames[there].time_s <= r->end_time_s + 1e-9) {
        there++;
    }
    const bool cooled_on = there < r->frames_n; /* then the last frame is the end of that */
    const size_t most = CQ_FILM_FRAMES - (cooled_on ? 1 : 0);
    reel.n = choose_frames(r, there, most, reel.at);
    for (size_t n = 0; n < reel.n; n++) {
        const bool dry = r->step_ends_n > 0 && r->plan->steps_n > 0 && r->plan->steps[0].bath.kind == CQ_BATH_GAS &&
                         r->frames[reel.at[n]].time_s <= r->step_ends[0].time_s;
        reel.first_key = dry ? n : reel.first_key;
    }
    if (cooled_on) {
        reel.at[reel.n++] = r->frames_n - 1;
    }
    return reel;
}

double cq_film_figure_tall(const cq_result *r) {
    return FILM_TOP + 2.0 * section_drawing(r, 0.0).tall + FILM_GAP + FILM_BELOW;
}

/* What stands at edge, body and spine: a full dot where the face is wetted, a ring where a film stands. */
static void film_marks(cq_canvas *c, const cq_result *r, const cq_drawing *d, double y, double time_s) {
    for (int t = CQ_TRACE_EDGE; t < CQ_TRACES_FIXED; t++) {
        static const int aligns[CQ_TRACES_FIXED] = {CQ_ALIGN_LEFT, CQ_ALIGN_CENTRE, CQ_ALIGN_RIGHT};
        static const char *const names[CQ_TRACES_FIXED] = {"edge", "body", "spine"};
        char words[64];
        const char *state = cq_face_state(r, t, time_s);
        const double x = d->place.x0 + d->place.per_x * r->traces[t].at_m;
        const double out = t == CQ_TRACE_BODY ? 0.0 : t == CQ_TRACE_EDGE ? 8.0 : -8.0;
        snprintf(words, sizeof words, "%s: %s", names[t], state);
        cairo_set_source_rgb(c->cr, 0.10, 0.30, 0.65);
        cairo_new_path(c->cr);
        cairo_arc(c->cr, x, y, 4.0, 0.0, 6.2831853);
        cairo_set_line_width(c->cr, 1.4);
        (*state == 'f' || state[3] == 'a' ? cairo_stroke : cairo_fill)(c->cr); /* "film", "in air" */
        cairo_set_source_rgb(c->cr, 0.1, 0.1, 0.1);
        cq_canvas_text(c, t == CQ_TRACE_BODY ? x : x + out, t == CQ_TRACE_BODY ? y + 17 : y + 4.5, 10.5, aligns[t],
                       words);
    }
}

cq_status cq_film_figure(cq_canvas *c, const void *context) {
    static const cq_ramp share = {0.0, 1.0, false};
    const cq_page_frame *frame = context;
    const cq_film_reel *reel = frame->context;
    const cq_result *r = reel->result;
    const cq_frame *f = &r->frames[reel->at[frame->number]];
    const cq_ramp kelvin = cq_ramp_temperature(r), celsius = {kelvin.low - 273.15, kelvin.high - 273.15, false};
    const cq_drawing hot = section_drawing(r, FILM_TOP), hard = section_drawing(r, FILM_TOP + hot.tall + FILM_GAP);
    const double marks = FILM_TOP + 2.0 * hot.tall + FILM_GAP + 14.0;
    c->text_scale = 1.1;
    cairo_set_source_rgb(c->cr, 0.1, 0.1, 0.1);
    cq_canvas_text(c, EDGE_OF_PAGE, FILM_TOP - 6, 11, CQ_ALIGN_LEFT, "temperature of steel and clay");
    cq_status status = cq_drawing_both(c, r->grid, &hot, f->temp_K, &kelvin);
    if (r->transforming) {
        cairo_set_source_rgb(c->cr, 0.1, 0.1, 0.1);
        cq_canvas_text(c, EDGE_OF_PAGE, FILM_TOP + hot.tall + FILM_GAP - 6, 11, CQ_ALIGN_LEFT,
                       "martensite (pale: hard; dark: none yet)");
        status = status < 0 ? status : cq_drawing_steel(c, r->grid, &hard, f->fraction[CQ_MARTENSITE], &share);
    }
    film_marks(c, r, &hot, marks, f->time_s);
    cq_chart_colour_bar(c, EDGE_OF_PAGE + 40, marks + 26, BOX - 80, &celsius, "temperature, °C");
    c->text_scale = 0.0;
    return status;
}
