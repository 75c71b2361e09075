/* compare_picture.c - sections side by side, upright on their edges at one scale, hard zone filled up to the line. */
#include "report/canvas.h"
#include "report/study_pictures.h"
#include "report/study_rows.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum {
    MARGIN_LEFT = 62,
    MARGIN_RIGHT = 24,
    TOP = 92,
    ABREAST = 6,
    WIDEST = 190,
    NARROWEST = 138,
    LABELS = 4,
    PLAN_LINES = 3
};
static const double TALL = 230.0;       /* points of the tallest section */
static const double THIN_COAT = 1.6;    /* points: least width of a coat that is drawn */
static const double LEAST_THICK = 12.0; /* points: thinner sections are magnified across */
static const double LINE_STEP = 13.0;   /* points between lines of a caption */
static const double RIM = 1.5e-3;       /* m from the spine that a hard spine fills: it is read 1 mm below */

/* What all panels share. */
typedef struct sheet {
    cq_canvas *canvas;
    const cq_comparison *c;
    cq_section *section[CQ_COMPARE_PANELS];
    size_t n, abreast, first; /* panels, beside each other, the run others are told against */
    double pitch, per_m, height_m, labels;
    int magnified;
    double centre, foot; /* of the panel being drawn */
} sheet;

static double across(const sheet *s, double y_m) {
    return s->centre + s->magnified * s->per_m * y_m;
}

static double up(const sheet *s, double x_m) {
    return s->foot - s->per_m * x_m;
}

static double side_sign(int side) {
    return side == CQ_SIDE_RIGHT ? 1.0 : -1.0;
}

/* ---- the section ------------------------------------------------------------------------------------------------- */

static void steel_path(const sheet *s, const cq_section *section) {
    const cq_flank *left = &section->side[CQ_SIDE_LEFT], *right = &section->side[CQ_SIDE_RIGHT];
    cairo_new_path(s->canvas->cr);
    for (size_t i = 0; i < right->n; i++) {
        cairo_line_to(s->canvas->cr, across(s, right->foot_y_m[i]), up(s, right->foot_x_m[i]));
    }
    for (size_t i = left->n; i-- > 0;) {
        cairo_line_to(s->canvas->cr, across(s, -left->foot_y_m[i]), up(s, left->foot_x_m[i]));
    }
    cairo_close_path(s->canvas->cr);
}

static void coat_flank(const sheet *s, const cq_flank *f, double sign) {
    cairo_t *cr = s->canvas->cr;
    cairo_new_path(cr);
    for (size_t i = 0; i < f->n; i++) {
        cairo_line_to(cr, across(s, sign * f->foot_y_m[i]), up(s, f->foot_x_m[i]));
    }
    for (size_t i = f->n; i-- > 0;) {
        cairo_line_to(cr, across(s, sign * f->outer_y_m[i]), up(s, f->outer_x_m[i]));
    }
    cairo_close_path(cr);
    cairo_set_source_rgb(cr, 0.80, 0.72, 0.60);
    cairo_fill(cr);
    cairo_set_line_width(cr, THIN_COAT); /* a coat thinner than this still shows */
    cairo_set_source_rgb(cr, 0.62, 0.50, 0.36);
    for (size_t i = 0; i + 1 < f->n; i++) {
        if (f->coat_m[i] > 0.0 || f->coat_m[i + 1] > 0.0) {
            cairo_move_to(cr, across(s, sign * f->outer_y_m[i]) + sign * 0.5 * THIN_COAT, up(s, f->outer_x_m[i]));
            cairo_line_to(cr, across(s, sign * f->outer_y_m[i + 1]) + sign * 0.5 * THIN_COAT,
                          up(s, f->outer_x_m[i + 1]));
        }
    }
    cairo_stroke(cr);
}

/* Clay on the flat at height x_m, outward along `sign`. */
static void coat_flat(const sheet *s, const cq_section *section, double x_m, double coat_m, double sign) {
    const double left = across(s, -cq_section_half_thickness(section, CQ_SIDE_LEFT, x_m)),
                 right = across(s, cq_section_half_thickness(section, CQ_SIDE_RIGHT, x_m));
    const double thick = fmax(THIN_COAT, s->per_m * coat_m);
    if (coat_m > 0.0) {
        cairo_set_source_rgb(s->canvas->cr, 0.80, 0.72, 0.60);
        cairo_rectangle(s->canvas->cr, left, sign > 0.0 ? up(s, x_m) - thick : up(s, x_m), right - left, thick);
        cairo_fill(s->canvas->cr);
    }
}

/* A value, or the nearest of the others where it is not known. */
static double or_else(double v, double other, double last) {
    return !isnan(v) ? v : !isnan(other) ? other : last;
}

/* The line's heights on left face, mid-plane and right face; false where there is none. */
static bool line_of(const cq_row *row, double line_m[3]) {
    const double left = row->value[CQ_FIGURE_LINE_LEFT], mid = row->value[CQ_FIGURE_LINE_MID],
                 right = row->value[CQ_FIGURE_LINE_RIGHT];
    line_m[0] = or_else(left, right, mid);
    line_m[1] = or_else(mid, left, right);
    line_m[2] = or_else(right, left, mid);
    return !isnan(line_m[0]) && !isnan(row->value[CQ_FIGURE_LINE]);
}

static double face_at(const sheet *s, const cq_section *section, int side, double x_m) {
    return across(s, side_sign(side) * cq_section_half_thickness(section, side, x_m));
}

/* From the left face by the mid-plane to the right face: a parabola through the three. */
static void line_path(const sheet *s, const cq_section *section, const double line_m[3]) {
    const double x0 = face_at(s, section, CQ_SIDE_LEFT, line_m[0]), x2 = face_at(s, section, CQ_SIDE_RIGHT, line_m[2]);
    const double y0 = up(s, line_m[0]), y1 = up(s, line_m[1]), y2 = up(s, line_m[2]);
    const double cx = 0.5 * (x0 + x2), cy = 2.0 * y1 - 0.5 * (y0 + y2);
    cairo_line_to(s->canvas->cr, x0, y0);
    cairo_curve_to(s->canvas->cr, x0 + (cx - x0) * 2.0 / 3.0, y0 + (cy - y0) * 2.0 / 3.0, x2 + (cx - x2) * 2.0 / 3.0,
                   y2 + (cy - y2) * 2.0 / 3.0, x2, y2);
}

static void fill_hard(const sheet *s, const cq_section *section, const cq_row *row) {
    cairo_t *cr = s->canvas->cr;
    double line_m[3];
    cq_verdict verdict;
    const bool through = cq_row_verdict(row, &verdict) && verdict == CQ_VERDICT_THROUGH;
    const double left = s->centre - s->pitch, right = s->centre + s->pitch;
    cairo_save(cr);
    steel_path(s, section);
    cairo_set_source_rgb(cr, 0.85, 0.86, 0.88);
    cairo_fill_preserve(cr);
    cairo_clip(cr);
    cairo_set_source_rgb(cr, 0.24, 0.29, 0.47);
    if (through) {
        cairo_paint(cr);
    } else if (line_of(row, line_m)) {
        cairo_new_path(cr);
        cairo_move_to(cr, left, s->foot + 1.0);
        cairo_line_to(cr, left, up(s, line_m[0]));
        line_path(s, section, line_m);
        cairo_line_to(cr, right, up(s, line_m[2]));
        cairo_line_to(cr, right, s->foot + 1.0);
        cairo_fill(cr);
    }
    if (!through && row->value[CQ_FIGURE_SPINE_MARTENSITE] >= 0.5) {
        cairo_rectangle(cr, left, up(s, section->height_m), right - left, s->per_m * RIM);
        cairo_fill(cr);
    }
    cairo_restore(cr);
}

/* The line itself, its height beside it, and the transition band as a bar. */
static void draw_line(const sheet *s, const cq_section *section, const cq_row *row, double beside) {
    cairo_t *cr = s->canvas->cr;
    double line_m[3];
    char words[32];
    if (!line_of(row, line_m)) {
        return;
    }
    cairo_new_path(cr);
    line_path(s, section, line_m);
    cq_canvas_stroke_rimmed(s->canvas, 3.4, 1.5);
    const double x = s->centre + beside + 7.0, y = up(s, row->value[CQ_FIGURE_LINE]);
    const double low = row->value[CQ_FIGURE_BAND_90], high = row->value[CQ_FIGURE_BAND_10];
    cairo_set_source_rgb(cr, 0.45, 0.45, 0.45);
    cairo_rectangle(cr, x - 1.5, up(s, isnan(high) ? section->height_m : high), 3.0,
                    s->per_m * ((isnan(high) ? section->height_m : high) - (isnan(low) ? 0.0 : low)));
    cairo_fill(cr);
    snprintf(words, sizeof words, "%.1f", 1e3 * row->value[CQ_FIGURE_LINE]);
    cairo_set_source_rgb(cr, 0.70, 0.05, 0.05);
    const double first = up(s, s->c->table->row[s->first].value[CQ_FIGURE_LINE]); /* dashed through all panels */
    const bool struck = first > y - 15.0 && first < y - 1.0;
    cq_canvas_label(s->canvas, x + 5.0, struck ? y + 11.0 : y - 3.0, 11.0, CQ_ALIGN_LEFT, words);
}

/* How far the section with its clay reaches from the middle, in points. */
static double reach_of(const sheet *s, const cq_section *section) {
    double most_m = 0.0;
    for (int side = 0; side < CQ_SIDES; side++) {
        for (size_t i = 0; i < section->side[side].n; i++) {
            most_m = fmax(most_m, section->side[side].outer_y_m[i]);
        }
    }
    return s->magnified * s->per_m * most_m + THIN_COAT;
}

static void draw_section(const sheet *s, const cq_section *section, const cq_row *row) {
    for (int side = 0; side < CQ_SIDES; side++) {
        coat_flank(s, &section->side[side], side_sign(side));
    }
    coat_flat(s, section, 0.0, section->edge_coat_m, -1.0);
    coat_flat(s, section, section->height_m, section->spine_coat_m, 1.0);
    fill_hard(s, section, row);
    steel_path(s, section);
    cairo_set_source_rgb(s->canvas->cr, 0.05, 0.05, 0.05);
    cairo_set_line_width(s->canvas->cr, 1.0);
    cairo_stroke(s->canvas->cr);
    draw_line(s, section, row, reach_of(s, section));
}

/* ---- captions ---------------------------------------------------------------------------------------------------- */

static double put(const sheet *s, double y, double size, const char *words) {
    cq_canvas_caption(s->canvas, s->centre - 0.5 * s->pitch + 5.0, y, size, s->pitch - 6.0, words);
    return y + LINE_STEP;
}

/* Bytes of `words` that fit one line, broken at a blank; all of it where nothing fits. */
static size_t fitting(const sheet *s, double size, const char *words) {
    size_t fits = 0;
    cairo_set_font_size(s->canvas->cr, size);
    for (size_t n = strcspn(words, " ");; n += 1 + strcspn(words + n + 1, " ")) {
        char line[256];
        cairo_text_extents_t extents;
        snprintf(line, sizeof line, "%.*s", (int)(n < sizeof line ? n : sizeof line - 1), words);
        cairo_text_extents(s->canvas->cr, line, &extents);
        if (extents.x_advance > s->pitch - 12.0) {
            return fits > 0 ? fits : strlen(words);
        }
        fits = n;
        if (words[n] == '\0') {
            return n;
        }
    }
}

/* On so many lines at most, the last one cut. */
static double put_lines(const sheet *s, double y, double size, int most, const char *words) {
    for (int line = 1; *words != '\0'; line++) {
        const size_t n = line < most ? fitting(s, size, words) : strlen(words);
        char text[256];
        snprintf(text, sizeof text, "%.*s", (int)(n < sizeof text ? n : sizeof text - 1), words);
        y = put(s, y, size, text);
        words += n + strspn(words + n, " ");
    }
    return y;
}

static void caption(const sheet *s, size_t run) {
    const cq_row *row = &s->c->table->row[run];
    const cq_study_about *about = s->c->about;
    char words[256], change[32] = "";
    cq_verdict verdict, reference = CQ_VERDICT_INERT;
    double y = s->foot + 24.0;
    cairo_set_source_rgb(s->canvas->cr, 0.05, 0.05, 0.05);
    for (size_t a = 0; a < about->axes_n && a < LABELS; a++) {
        char number[24] = "";
        if (a == 0) {
            snprintf(number, sizeof number, "%zu  ", run);
        }
        const bool plan = strcmp(about->axes[a].key, "plan") == 0;
        snprintf(words, sizeof words, "%s%s%s%s", number, plan ? "" : cq_axis_head(about, a), plan ? "" : ": ",
                 cq_row_word(s->c, run, a));
        y = put_lines(s, y, 11.0, plan ? PLAN_LINES : 1, words);
    }
    y = s->foot + 24.0 + s->labels;
    if (row->state != CQ_ROW_DONE) {
        cairo_set_source_rgb(s->canvas->cr, 0.70, 0.05, 0.05);
        y = put(s, y, 10.0, row->state == CQ_ROW_FAILED ? "failed" : "not carried out");
        put_lines(s, y, 8.5, 4, cq_row_message(row));
        return;
    }
    cairo_set_source_rgb(s->canvas->cr, 0.25, 0.25, 0.25);
    const double v = row->value[CQ_FIGURE_LINE], v0 = s->c->table->row[s->first].value[CQ_FIGURE_LINE];
    if (run != s->first && fabs(v - v0) >= 0.05e-3) {
        snprintf(change, sizeof change, " (%+.1f)", 1e3 * (v - v0));
    }
    snprintf(words, sizeof words, isnan(v) ? "no line" : "line %.1f mm%s", 1e3 * v, change);
    y = put(s, y, 10.0, words);
    const double HRC = row->value[CQ_FIGURE_EDGE_HRC];
    snprintf(words, sizeof words, isnan(HRC) ? "edge %.0f HV" : "edge %.1f HRC",
             isnan(HRC) ? row->value[CQ_FIGURE_EDGE_HV] : HRC);
    y = put(s, y, 10.0, words);
    if (cq_row_verdict(row, &verdict)) {
        const bool differs = cq_row_verdict(&s->c->table->row[s->first], &reference) && verdict != reference;
        if (differs) {
            cairo_set_source_rgb(s->canvas->cr, 0.70, 0.05, 0.05);
        }
        put(s, y, 10.0, cq_row_verdict_words(row, verdict));
    }
}

/* ---- the sheet --------------------------------------------------------------------------------------------------- */

/* Heights that all panels of a row share, and the first run's line through all of them. */
static void heights(const sheet *s, double left, double right) {
    const double span = 1e3 * s->height_m, step = span > 60.0 ? 20.0 : span > 30.0 ? 10.0 : 5.0;
    for (double h = 0.0; h <= span + 1e-6; h += step) {
        char words[16];
        snprintf(words, sizeof words, "%.0f", h);
        cairo_set_source_rgb(s->canvas->cr, 0.88, 0.88, 0.88);
        cq_canvas_line(s->canvas, left, up(s, 1e-3 * h), right, up(s, 1e-3 * h), 0.6, false);
        cairo_set_source_rgb(s->canvas->cr, 0.15, 0.15, 0.15);
        cq_canvas_text(s->canvas, left - 5.0, up(s, 1e-3 * h) + 3.5, 10, CQ_ALIGN_RIGHT, words);
    }
    cq_canvas_text_up(s->canvas, left - 34.0, s->foot - 0.5 * s->per_m * s->height_m, 11,
                      "height above the edge flat, mm");
    const double line_m = s->c->table->row[s->first].value[CQ_FIGURE_LINE];
    if (s->n > 1 && !isnan(line_m)) {
        cairo_set_source_rgb(s->canvas->cr, 0.70, 0.05, 0.05);
        cq_canvas_line(s->canvas, left, up(s, line_m), right, up(s, line_m), 0.7, true);
    }
}

static double swatch(cq_canvas *c, double x, const double rgb[3], const char *words) {
    cairo_text_extents_t extents;
    cairo_set_source_rgb(c->cr, rgb[0], rgb[1], rgb[2]);
    cairo_rectangle(c->cr, x, 61, 12, 10);
    cairo_fill(c->cr);
    cairo_set_source_rgb(c->cr, 0.1, 0.1, 0.1);
    cq_canvas_text(c, x + 17, 70, 10, CQ_ALIGN_LEFT, words);
    cairo_text_extents(c->cr, words, &extents);
    return x + 17 + extents.x_advance + 18;
}

static void heading(const sheet *s, double width) {
    static const double hard[3] = {0.24, 0.29, 0.47}, soft[3] = {0.85, 0.86, 0.88}, clay[3] = {0.80, 0.72, 0.60},
                        band[3] = {0.45, 0.45, 0.45};
    char words[400], scale[48] = "one scale", cut[64] = "";
    if (s->magnified > 1) {
        snprintf(scale, sizeof scale, "one scale, thickness drawn %d times", s->magnified);
    }
    if (s->c->table->runs_n > s->n) {
        snprintf(cut, sizeof cut, "; the first %zu of %zu runs", s->n, s->c->table->runs_n);
    }
    cairo_set_source_rgb(s->canvas->cr, 0.05, 0.05, 0.05);
    cq_canvas_text(s->canvas, MARGIN_LEFT, 26, 15, CQ_ALIGN_LEFT, "Where the hardening line (hamon) comes to lie");
    snprintf(words, sizeof words, "%.200s   ·   edge down, %s%s", s->c->title, scale, cut);
    cq_canvas_caption(s->canvas, MARGIN_LEFT, 44, 11, width - MARGIN_LEFT - MARGIN_RIGHT, words);
    double x = swatch(s->canvas, MARGIN_LEFT, hard, "hard");
    x = swatch(s->canvas, x, soft, "soft");
    x = swatch(s->canvas, x, clay, "clay");
    x = swatch(s->canvas, x, band, "transition band");
    cairo_set_source_rgb(s->canvas->cr, 0.70, 0.05, 0.05);
    cq_canvas_line(s->canvas, x, 66, x + 18, 66, 0.9, true);
    snprintf(words, sizeof words, "line of run %zu", s->first);
    cq_canvas_text(s->canvas, x + 23, 70, 10, CQ_ALIGN_LEFT, words);
}

/* Sections of the panels' plans; pieces without a height have none. CQ_ERR_ARGUMENT if no panel has one. */
static cq_status make_sections(sheet *s) {
    cq_status status = CQ_ERR_ARGUMENT;
    for (size_t n = 0; n < s->n; n++) {
        const cq_plan *plan = s->c->panel_plan[n];
        if (plan == NULL || plan->blade.family >= CQ_FAMILY_PLATE) {
            continue;
        }
        const cq_status made = cq_section_create(&s->section[n], &plan->blade, &plan->coat, NULL);
        if (made < 0) {
            return made;
        }
        s->height_m = fmax(s->height_m, s->section[n]->height_m);
        status = CQ_OK;
    }
    return status;
}

static void fit(sheet *s) {
    double thick_m = 1e-6, reach_m = 1e-6;
    s->abreast = s->n < ABREAST ? s->n : ABREAST;
    s->pitch = fmin(WIDEST, fmax(NARROWEST, 828.0 / (double)s->abreast));
    s->per_m = TALL / s->height_m;
    s->magnified = 1;
    for (size_t n = 0; n < s->n; n++) {
        const cq_section *section = s->section[n];
        for (size_t i = 0; section != NULL && i < section->side[0].n; i++) {
            thick_m = fmax(thick_m, 2.0 * fabs(section->side[0].foot_y_m[i]));
        }
        if (section != NULL) {
            reach_m = fmax(reach_m, reach_of(s, section) / s->per_m);
        }
    }
    const double room = 0.5 * s->pitch - 42.0; /* beside it stand band and height */
    s->per_m = fmin(s->per_m, room / reach_m);
    while (s->magnified < 4 && s->magnified * s->per_m * thick_m < LEAST_THICK &&
           (s->magnified + 1) * s->per_m * reach_m < room) {
        s->magnified++;
    }
    const size_t labels = s->c->about->axes_n < LABELS ? s->c->about->axes_n : LABELS;
    const bool plans = s->c->about->axes_n > 0 && strcmp(s->c->about->axes[0].key, "plan") == 0;
    s->labels = LINE_STEP * (double)(labels + (plans ? PLAN_LINES - 1 : 0));
}

static cq_status draw_sheet(sheet *s, const cq_easel *easel) {
    cq_canvas canvas;
    const size_t rows = (s->n + s->abreast - 1) / s->abreast;
    const double tall = s->per_m * s->height_m, down = tall + s->labels + 4.0 * LINE_STEP + 50.0;
    const double width = fmax(560.0, MARGIN_LEFT + (double)s->abreast * s->pitch + MARGIN_RIGHT);
    if (cq_easel_open(&canvas, easel, width, TOP + (double)rows * down) != CQ_OK) {
        return CQ_ERR_MEMORY;
    }
    s->canvas = &canvas;
    heading(s, width);
    for (size_t n = 0; n < s->n; n++) {
        const size_t column = n % s->abreast,
                     in_row = s->n - (n - column) < s->abreast ? s->n - (n - column) : s->abreast;
        s->foot = TOP + (double)(n / s->abreast) * down + tall + 14.0;
        s->centre = MARGIN_LEFT + ((double)column + 0.5) * s->pitch;
        if (column == 0) {
            heights(s, MARGIN_LEFT, MARGIN_LEFT + (double)in_row * s->pitch);
        }
        s->centre -= 14.0; /* the height is written on the right */
        if (s->section[n] != NULL && s->c->table->row[n].state == CQ_ROW_DONE) {
            draw_section(s, s->section[n], &s->c->table->row[n]);
        }
        s->centre += 14.0;
        caption(s, n);
    }
    return cq_easel_close(&canvas, easel);
}

static cq_status draw_on(const cq_comparison *c, const cq_easel *easel) {
    sheet s = {.c = c, .n = c->table->runs_n < CQ_COMPARE_PANELS ? c->table->runs_n : CQ_COMPARE_PANELS};
    while (s.first + 1 < c->table->runs_n && c->table->row[s.first].state != CQ_ROW_DONE) {
        s.first++;
    }
    cq_status status = make_sections(&s);
    if (status >= 0) {
        fit(&s);
        status = draw_sheet(&s, easel);
    }
    for (size_t n = 0; n < s.n; n++) {
        cq_section_free(s.section[n]);
    }
    return status;
}

cq_status cq_compare_picture_draw(const cq_comparison *c, cq_picture_format format, unsigned char **bytes,
                                  size_t *length) {
    const cq_easel easel = {format, bytes, length, NULL};
    return format >= 0 && format < CQ_FORMATS ? draw_on(c, &easel) : CQ_ERR_ARGUMENT;
}

cq_status cq_compare_picture_record(const cq_comparison *c, cq_recorded *recorded) {
    return draw_on(c, &(cq_easel){.recorded = recorded});
}
