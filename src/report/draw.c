/* draw.c - names of the pictures, their common heading, and which of them a result has something to show for. */
#include "report/pictures.h"

#include <stdio.h>
#include <string.h>

const char *cq_picture_stem(cq_picture picture) {
    static const char *const stems[CQ_PICTURES] = {"hardness", "martensite", "peak-rate", "temperature", "cooling",
                                                   "along",    "stress",     "curve",     "build",       "carbon"};
    return stems[picture];
}

const char *cq_format_extension(cq_picture_format format) {
    static const char *const extensions[CQ_FORMATS] = {"svg", "png", "pdf"};
    return extensions[format];
}

void cq_picture_heading(cq_canvas *canvas, const cq_result *r, double left, double width, const char *what) {
    const cq_plan *plan = r->plan;
    char words[600];
    const cq_zones *z = &plan->zones;
    const char *more = z->n > 1 ? " and " : "", *soft = z->n == 2 ? z->zone[1].steel.name : z->n > 2 ? "others" : "";
    size_t n = (size_t)snprintf(words, sizeof words, "%.200s%s%.60s%s%.60s", plan->title == NULL ? "" : plan->title,
                                plan->title == NULL || plan->title[0] == '\0' ? "" : "   ·   ",
                                plan->steel.name == NULL ? "own steel" : plan->steel.name, more,
                                soft == NULL ? "own steel" : soft);
    for (size_t s = 0; s < plan->steps_n && n + 80 < sizeof words; s++) {
        const cq_step_plan *step = &plan->steps[s];
        n += (size_t)snprintf(words + n, sizeof words - n, "%s%.40s %.0f °C", s == 0 ? "   ·   " : ", ",
                              step->bath.name == NULL ? "own bath" : step->bath.name, step->at_K - 273.15);
    }
    cairo_set_source_rgb(canvas->cr, 0.05, 0.05, 0.05);
    cq_canvas_text(canvas, left, 26, 15, CQ_ALIGN_LEFT, what);
    cq_canvas_caption(canvas, left, 44, 11, width, words);
}

cq_status cq_picture_draw(const cq_result *result, cq_picture picture, cq_picture_format format, unsigned char **bytes,
                          size_t *length, cq_error *error) {
    const bool flat = result->grid->one_dimensional;                    /* plates and rounds have no section to draw */
    if (result->temp_K == NULL || format < 0 || format >= CQ_FORMATS) { /* NULL: the run was stopped before its end */
        return CQ_ERR_ARGUMENT;
    }
    switch (picture) {
    case CQ_PICTURE_HARDNESS:
    case CQ_PICTURE_MARTENSITE:
        return flat || !result->transforming ? CQ_ERR_ARGUMENT
                                             : cq_picture_field(result, picture, format, bytes, length);
    case CQ_PICTURE_PEAK_RATE:
        return flat ? CQ_ERR_ARGUMENT : cq_picture_field(result, picture, format, bytes, length);
    case CQ_PICTURE_TEMPERATURE:
        return flat || result->frames_n < 2 ? CQ_ERR_ARGUMENT : cq_picture_temperatures(result, format, bytes, length);
    case CQ_PICTURE_BUILD:
        return result->built.zone == NULL || !result->built.several ? CQ_ERR_ARGUMENT
                                                                    : cq_picture_build(result, format, bytes, length);
    case CQ_PICTURE_CARBON:
        return result->built.carbon_wt == NULL || flat ? CQ_ERR_ARGUMENT
                                                       : cq_picture_field(result, picture, format, bytes, length);
    case CQ_PICTURE_COOLING:
        return cq_picture_cooling(result, format, bytes, length, error);
    case CQ_PICTURE_ALONG:
        return flat || result->along.n == 0 ? CQ_ERR_ARGUMENT : cq_picture_along(result, format, bytes, length);
    case CQ_PICTURE_STRESS:
        return flat || result->axial_stress_Pa == NULL ? CQ_ERR_ARGUMENT
                                                       : cq_picture_field(result, picture, format, bytes, length);
    case CQ_PICTURE_CURVE:
        return !result->curve.known || result->curve.n < 2 ? CQ_ERR_ARGUMENT
                                                           : cq_picture_curve(result, format, bytes, length);
    default:
        return CQ_ERR_ARGUMENT;
    }
}
