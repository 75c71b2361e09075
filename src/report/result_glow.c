/* result_glow.c - what the soak looks like to the eye that judges it: its colour in the dark and in daylight, with the
 * colours as far off as the plan says the heat may be.
 */
#include "report/colour.h"
#include "report/result_numbers.h"

#include <clayquench/glow.h>
#include <math.h>
#include <stdio.h>

static const double WIDTH = 440.0, HEIGHT = 140.0, LEFT = 96.0, PATCH_WIDTH = 104.0, PATCH_TALL = 34.0, TOP = 34.0;

enum { PATCHES = 3 };

static double heat_K(const cq_result *r) {
    const cq_heat_plan *heat = &r->plan->heat;
    return heat->start_K > 0.0 ? heat->start_K : heat->temperature_K;
}

/* What the eye is off by: as the plan states it, or at best. */
static double error_K(const cq_result *r) {
    return r->plan->heat.error_K > 0.0 ? r->plan->heat.error_K : CQ_GLOW_EYE_BEST_K;
}

static cq_status draw(cq_canvas *c, const void *context) {
    static const char *const lights[CQ_GLOW_LIGHTS] = {"in the dark", "in daylight"};
    const cq_result *r = context;
    for (int light = 0; light < CQ_GLOW_LIGHTS; light++) {
        const double y = TOP + light * (PATCH_TALL + 16.0);
        cairo_set_source_rgb(c->cr, 0.1, 0.1, 0.1);
        cq_canvas_label(c, LEFT - 8.0, y + 0.5 * PATCH_TALL + 4.0, 12, CQ_ALIGN_RIGHT, lights[light]);
        for (int n = 0; n < PATCHES; n++) {
            const double T = heat_K(r) + (n - 1) * error_K(r), x = LEFT + n * (PATCH_WIDTH + 8.0);
            const cq_glow glow = cq_glow_of(T, CQ_GLOW_SCALE, (cq_glow_light)light);
            char words[32];
            cairo_set_source_rgb(c->cr, glow.srgb[0], glow.srgb[1], glow.srgb[2]);
            cairo_rectangle(c->cr, x, y, PATCH_WIDTH, PATCH_TALL);
            cairo_fill(c->cr);
            cairo_set_source_rgb(c->cr, 0.1, 0.1, 0.1);
            cq_canvas_label(c, x + 0.5 * PATCH_WIDTH, y + PATCH_TALL + 12.0, 10.5, CQ_ALIGN_CENTRE, glow.word);
            if (light == 0) {
                snprintf(words, sizeof words, "%.0f °C", T - 273.15);
                cq_canvas_label(c, x + 0.5 * PATCH_WIDTH, y - 8.0, 12, CQ_ALIGN_CENTRE, words);
            }
        }
    }
    return CQ_OK;
}

void cq_tell_glow(cq_page *page, cq_telling *t) {
    const cq_result *r = t->result;
    const double T = heat_K(r);
    const cq_glow dark = cq_glow_of(T, CQ_GLOW_SCALE, CQ_GLOW_DARK),
                  day = cq_glow_of(T, CQ_GLOW_SCALE, CQ_GLOW_DAYLIGHT);
    const cq_page_figure figure = {
        .width = WIDTH,
        .height = HEIGHT,
        .draw = draw,
        .context = r,
        .alt = cq_telling_say(t,
                              "Patches of colour: steel under scale at the soak looks %s in the dark and %s in "
                              "daylight; beside it the colours %.0f °C colder and hotter.",
                              dark.word, day.word, error_K(r)),
        .caption = cq_telling_say(t,
                                  "How the heat looks under scale; the trade calls it %s. %s Light deceives more than "
                                  "the eye.",
                                  cq_glow_trade_word(T),
                                  r->plan->heat.error_K > 0.0 ? "Left and right: as far off as the plan allows."
                                                              : "Left and right: as near as a practised eye comes."),
        .half = false};
    cq_page_put_figure(page, &figure);
}
