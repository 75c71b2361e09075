/* build_picture.c - which steel lies where in a section of several: as a picture of its own and for a page. */
#include "report/pictures.h"
#include "report/section_drawing.h"

#include "quench/zones.h"

#include <math.h>
#include <stdio.h>

enum { WIDTH = 900, MARGIN = 40, TOP = 82, ROW = 18, BELOW_AXIS = 62, SWATCH = 26, SLICES = 200, SAMPLES = 400 };

/* Zones differ in lightness, so that they stay apart in grey; the hard one is light, as hard steel is elsewhere. */
static void colour_of(const cq_result *r, int zone, double rgb[3]) {
    const size_t n = r->plan->zones.n;
    cq_colour_of(n < 2 ? 0.5 : 0.9 - 0.65 * zone / (double)(n - 1), rgb);
}

/* A quadrilateral between two heights. */
static void strip(cairo_t *cr, const cq_drawing *d, const double x_m[2], const double low_m[2],
                  const double high_m[2]) {
    const double per_x = d->place.per_x, per_y = d->place.per_y;
    cairo_move_to(cr, d->place.x0 + per_x * x_m[0], d->place.y0 + per_y * low_m[0]);
    cairo_line_to(cr, d->place.x0 + per_x * x_m[1], d->place.y0 + per_y * low_m[1]);
    cairo_line_to(cr, d->place.x0 + per_x * x_m[1], d->place.y0 + per_y * high_m[1]);
    cairo_line_to(cr, d->place.x0 + per_x * x_m[0], d->place.y0 + per_y * high_m[0]);
    cairo_close_path(cr);
}

/* What a zone has of one slice of the height: its runs from face to face, at places looked at SAMPLES times across. */
static void slice_path(cq_canvas *c, const cq_result *r, const cq_drawing *d, int zone, int slice) {
    double x[2], left[2], right[2], low[2], high[2];
    for (int e = 0; e < 2; e++) {
        x[e] = fmin(r->section->height_m * (slice + e) / SLICES, r->section->height_m); /* not past it by rounding */
        left[e] = -cq_section_half_thickness(r->section, CQ_SIDE_LEFT, x[e]);
        right[e] = cq_section_half_thickness(r->section, CQ_SIDE_RIGHT, x[e]);
    }
    for (int n = 0, from = -1; n <= SAMPLES; n++) {
        const double y =
            0.5 * (left[0] + left[1]) + 0.5 * (right[0] + right[1] - left[0] - left[1]) * (n + 0.5) / SAMPLES;
        const bool in = n < SAMPLES && cq_zone_filled(&r->plan->zones, r->section, 0.5 * (x[0] + x[1]), y) == zone;
        if (in && from < 0) {
            from = n;
        } else if (!in && from >= 0) {
            for (int e = 0; e < 2; e++) {
                low[e] = left[e] + (right[e] - left[e]) * from / SAMPLES;
                high[e] = left[e] + (right[e] - left[e]) * n / SAMPLES;
            }
            strip(c->cr, d, x, low, high);
            from = -1;
        }
    }
}

/* One path for every zone: no seams between its slices. */
static void paint_zone(cq_canvas *c, const cq_result *r, const cq_drawing *d, int zone) {
    double rgb[3];
    colour_of(r, zone, rgb);
    cairo_new_path(c->cr);
    for (int slice = 0; slice < SLICES; slice++) {
        slice_path(c, r, d, zone, slice);
    }
    cairo_set_source_rgb(c->cr, rgb[0], rgb[1], rgb[2]);
    cairo_fill_preserve(c->cr);
    cairo_set_line_width(c->cr, 0.4);
    cairo_stroke(c->cr);
}

/* In the place's column, the row for this zone. */
static void name_zone(cq_canvas *c, const cq_result *r, int zone, double left, double width, double y) {
    const cq_zone *z = &r->plan->zones.zone[zone];
    double rgb[3];
    char words[256];
    colour_of(r, zone, rgb);
    cairo_rectangle(c->cr, left, y - 11, SWATCH, 13);
    cairo_set_source_rgb(c->cr, rgb[0], rgb[1], rgb[2]);
    cairo_fill_preserve(c->cr);
    cairo_set_source_rgb(c->cr, 0.05, 0.05, 0.05);
    cairo_set_line_width(c->cr, 0.8);
    cairo_stroke(c->cr);
    snprintf(words, sizeof words, "%.60s%s%.60s: %.2f %% C, %.0f %% of the section", z->name == NULL ? "" : z->name,
             z->name == NULL ? "" : ", ", z->steel.name == NULL ? "own steel" : z->steel.name,
             z->steel.composition_wt.C, 100.0 * r->built.share[zone]);
    cq_canvas_caption(c, left + SWATCH + 8, y, 12, width - SWATCH - 8, words);
}

double cq_build_below(const cq_result *r) {
    return BELOW_AXIS + ROW * (double)r->plan->zones.n;
}

cq_status cq_chart_build(cq_canvas *c, const cq_result *r, const cq_drawing *d, double axis) {
    const cq_ramp none = {0.0, 1.0, false};
    const cq_status status = cq_drawing_steel(c, r->grid, d, r->built.zone, &none); /* clay and outline */
    for (int z = 0; z < (int)r->plan->zones.n; z++) {
        paint_zone(c, r, d, z);
        name_zone(c, r, z, d->left, d->wide, axis + BELOW_AXIS + ROW * z);
    }
    cq_drawing_axis(c, r, d, axis);
    return status;
}

cq_status cq_picture_build(const cq_result *r, cq_picture_format format, unsigned char **bytes, size_t *length) {
    char words[160];
    cq_drawing d = cq_drawing_fit(r->grid, MARGIN, WIDTH - 2 * MARGIN);
    cq_drawing_move(&d, TOP);
    const double axis = TOP + d.tall + 10.0;
    cq_canvas c;
    if (cq_canvas_open(&c, format, WIDTH, axis + cq_build_below(r) + 10.0) != CQ_OK) {
        return CQ_ERR_MEMORY;
    }
    snprintf(words, sizeof words, "How it is built: %s", cq_build_words(r->plan->zones.build));
    cq_picture_heading(&c, r, MARGIN, WIDTH - 2 * MARGIN, words);
    const cq_status status = cq_chart_build(&c, r, &d, axis);
    c.failed = c.failed || status < 0;
    return cq_canvas_close(&c, bytes, length);
}
