/* card_soak_chart.c - what a steel's soak does: two panels over its temperature, a curve for every structure before it.
 */
#include "kinetics/kinetics.h"
#include "report/card_chart_parts.h"
#include "report/card_words.h"
#include "report/chart_parts.h"

#include <math.h>
#include <string.h>

static const double ZERO_C = 273.15;

/* A ceiling of one or two leading digits above v. */
static double ceiling_of(double v) {
    const double power = pow(10.0, floor(log10(v)));
    const double lead = v / power;
    return power * (lead <= 1.5   ? 1.5
                    : lead <= 2.0 ? 2.0
                    : lead <= 3.0 ? 3.0
                    : lead <= 4.0 ? 4.0
                    : lead <= 6.0 ? 6.0
                    : lead <= 8.0 ? 8.0
                                  : 10.0);
}

static void ladder_panel(cq_canvas *c, const cq_steel_card *card, const cq_axes *a, bool rate, const char *x_words,
                         const char *y_words) {
    cq_axes_draw(c, a, x_words, y_words, true);
    for (size_t k = card->structures_n; k-- > 0;) {
        double x[CQ_CARD_LADDER], y[CQ_CARD_LADDER];
        for (int n = 0; n < CQ_CARD_LADDER; n++) {
            const cq_card_state *s = &card->ladder[k].step[n];
            x[n] = s->temperature_K - ZERO_C;
            y[n] = rate ? s->half_rate_K_s : s->austenite > CQ_AUSTENITE_SEEN ? 100.0 * s->retained_austenite : NAN;
        }
        cq_chart_style(c, (int)k);
        cq_card_curve(c, a, CQ_CARD_LADDER, x, y);
        for (int n = 0; n < CQ_CARD_LADDER; n++) {
            if (isfinite(y[n])) {
                cairo_new_path(c->cr);
                cairo_arc(c->cr, cq_axes_x(a, x[n]), cq_axes_y(a, y[n]), 3.0, 0.0, 6.2831853);
                cq_card_marker(c, !(card->ladder[k].step[n].austenite < CQ_AUSTENITE_WHOLE));
            }
        }
    }
    const double x = card->soak.temperature_K - ZERO_C;
    if (x > a->x0 && x < a->x1) {
        cq_card_ink(c, 0.5);
        cq_canvas_line(c, cq_axes_x(a, x), a->y, cq_axes_x(a, x), a->y + a->height, 1.0, true);
    }
}

enum { SOAK_TALL = 250, SOAK_SECOND_TALL = 110, SOAK_SECOND = CQ_CARD_SOAK_TALL - SOAK_SECOND_TALL };

static bool any_part(const cq_steel_card *card) {
    bool any = false;
    for (size_t k = 0; k < card->structures_n; k++) {
        for (int n = 0; n < CQ_CARD_LADDER; n++) {
            const cq_card_state *s = &card->ladder[k].step[n];
            any = any || (isfinite(s->half_rate_K_s) && s->austenite < CQ_AUSTENITE_WHOLE);
        }
    }
    return any;
}

void cq_card_soak_draw(cq_canvas *c, const cq_steel_card *card) {
    double fastest = 1.0, most = 10.0;
    char words[CQ_CARD_SENTENCE];
    for (size_t k = 0; k < card->structures_n; k++) {
        for (int n = 0; n < CQ_CARD_LADDER; n++) {
            fastest = fmax(fastest, card->ladder[k].step[n].half_rate_K_s); /* fmax passes over NaN */
            most = fmax(most, 100.0 * card->ladder[k].step[n].retained_austenite);
        }
    }
    const cq_axes a = {
        CHART_LEFT,          CHART_TOP, CHART_WIDTH - CHART_LEFT - CQ_CARD_RIGHT, SOAK_TALL, 735.0, 865.0, 0.0,
        ceiling_of(fastest), false};
    const cq_axes b = {CHART_LEFT,
                       SOAK_SECOND,
                       CHART_WIDTH - CHART_LEFT - CQ_CARD_RIGHT,
                       SOAK_SECOND_TALL,
                       735.0,
                       865.0,
                       0.0,
                       10.0 * ceil((most + 1.0) / 10.0),
                       false};
    cq_card_heading(c, card, "What the soak does");
    ladder_panel(c, card, &a, true, "soak temperature, °C", "rate for half, °C/s");
    ladder_panel(c, card, &b, false, "soak temperature, °C", "austenite kept, %");
    for (size_t k = 0; k < card->structures_n; k++) {
        cq_chart_legend(c, (int)k, (int)k, cq_stock_words(card->ladder[k].stock));
    }
    cq_card_ink(c, 0.2);
    cq_canvas_label(c, a.x + 8, a.y + a.height - 8, 10.5, CQ_ALIGN_LEFT, "lower: hardens deeper");
    if (any_part(card)) {
        cq_canvas_label(c, a.x + a.width - 8, a.y + a.height - 8, 10.5, CQ_ALIGN_RIGHT,
                        "hollow: part of the steel has not turned");
    }
    cq_card_effect_words(card, CQ_UNITS_METRIC, words);
    char *second = strstr(words, "; ");
    if (second != NULL) {
        second[1] = '\0';
        cq_canvas_caption(c, CHART_LEFT, SOAK_SECOND + SOAK_SECOND_TALL + 68, 10.5, CHART_WIDTH - CHART_LEFT - 8,
                          second + 2);
    }
    cq_canvas_caption(c, CHART_LEFT, SOAK_SECOND + SOAK_SECOND_TALL + 54, 10.5, CHART_WIDTH - CHART_LEFT - 8, words);
}
