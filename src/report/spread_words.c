/* spread_words.c - see spread_words.h. */
#include "report/spread_words.h"

#include "report/study_rows.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

cq_shown cq_spread_shown(cq_uncertain_kind kind, cq_unit_system units) {
    const bool us = units == CQ_UNITS_US;
    const char *unit = cq_uncertain_unit(kind);
    if (kind == CQ_UNCERTAIN_SOAK || kind == CQ_UNCERTAIN_BATH_TEMPERATURE) {
        return us ? (cq_shown){1.8, -459.67, "°F", "_F"} : (cq_shown){1.0, -273.15, "°C", "_C"};
    }
    if (strcmp(unit, "K") == 0) { /* a shift */
        return us ? (cq_shown){1.8, 0.0, "°F", "_F"} : (cq_shown){1.0, 0.0, "°C", "_K"};
    }
    if (strcmp(unit, "m") == 0) {
        return us ? (cq_shown){1.0 / 0.0254, 0.0, "in", "_in"} : (cq_shown){1e3, 0.0, "mm", "_mm"};
    }
    if (strcmp(unit, "1") == 0) {
        return (cq_shown){1.0, 0.0, "", "_factor"};
    }
    return (cq_shown){1.0, 0.0, strcmp(unit, "wt %") == 0 ? "%" : unit,
                      strcmp(unit, "s") == 0       ? "_s"
                      : strcmp(unit, "wt %") == 0  ? "_wt"
                      : strcmp(unit, "W/m/K") == 0 ? "_W_mK"
                                                   : "_HV"};
}

double cq_spread_step(const cq_uncertain *u, cq_unit_system units) {
    const bool us = units == CQ_UNITS_US;
    switch (u->kind) {
    case CQ_UNCERTAIN_SOAK:
    case CQ_UNCERTAIN_BATH_TEMPERATURE:
    case CQ_UNCERTAIN_MARTENSITE_START:
        return us ? 10.0 / 1.8 : 10.0;
    case CQ_UNCERTAIN_MARTENSITE_HARDNESS:
        return 10.0;
    case CQ_UNCERTAIN_COAT:
    case CQ_UNCERTAIN_EDGE_COAT:
    case CQ_UNCERTAIN_EDGE:
    case CQ_UNCERTAIN_THICKNESS:
        return us ? 0.254e-3 : 0.1e-3;
    case CQ_UNCERTAIN_RIM:
        return us ? 2.54e-3 : 1e-3;
    case CQ_UNCERTAIN_TRANSFER:
    case CQ_UNCERTAIN_PULL:
    case CQ_UNCERTAIN_LATER:
        return 1.0;
    case CQ_UNCERTAIN_CARBON:
        return 0.01;
    case CQ_UNCERTAIN_MANGANESE:
        return 0.1;
    default:
        return 0.1 * u->centre; /* 10 % */
    }
}

char *cq_spread_scatter_words(const cq_uncertain *u, cq_unit_system units, char to[CQ_SPREAD_WORDS]) {
    const cq_shown shown = cq_spread_shown(u->kind, units);
    if (u->lognormal) {
        const double share = 100.0 * expm1(u->sigma);
        snprintf(to, CQ_SPREAD_WORDS, share < 9.95 ? "%.2g %%" : "%.0f %%", share);
    } else {
        snprintf(to, CQ_SPREAD_WORDS, "%.2g %s", shown.factor * u->sigma, shown.unit);
    }
    return to;
}

char *cq_spread_step_words(const cq_uncertain *u, double step, cq_unit_system units, char to[CQ_SPREAD_WORDS]) {
    const cq_shown shown = cq_spread_shown(u->kind, units);
    if (shown.unit[0] == '\0' || u->kind == CQ_UNCERTAIN_CONDUCTIVITY) {
        snprintf(to, CQ_SPREAD_WORDS, "%.3g %%", 100.0 * step / u->centre);
    } else {
        snprintf(to, CQ_SPREAD_WORDS, "%.2g %s", shown.factor * step, shown.unit);
    }
    return to;
}

bool cq_spread_is_noise(const cq_influence *influence, size_t input) {
    return !(influence->share[input].value > influence->share[input].error);
}

static double weight_of(const cq_influence *influence, size_t input, bool noise_last) {
    const double noise = noise_last && cq_spread_is_noise(influence, input) ? 100.0 : 0.0; /* shares are about 1 */
    return influence->share[input].value - noise;
}

void cq_spread_order(const cq_spread *s, const cq_influence *influence, size_t order[CQ_UNCERTAINS], bool noise_last) {
    for (size_t k = 0; k < s->inputs_n; k++) {
        size_t at = k;
        while (at > 0 && weight_of(influence, k, noise_last) > weight_of(influence, order[at - 1], noise_last)) {
            order[at] = order[at - 1];
            at--;
        }
        order[at] = k;
    }
}

enum { FEWEST_EITHER_WAY = 25 }; /* blades: fewer tell nothing of what decides */

static bool is_open(const cq_spread *s) {
    static const double MOST = 0.75; /* have a line: then where it lies is the question */
    const cq_chance *const of[] = {[CQ_DECIDER_LINE] = &s->line,
                                   [CQ_DECIDER_EDGE] = &s->hard_edge,
                                   [CQ_DECIDER_BODY] = &s->hard_body,
                                   [CQ_DECIDER_SPINE] = &s->hard_spine};
    const cq_chance *c = of[s->decider];
    const double fewer = fmin(c->share, 1.0 - c->share) * (double)c->n;
    return s->line.share < MOST && isfinite(s->on_decider.straight) && fewer > FEWEST_EITHER_WAY;
}

bool cq_spread_topic_of(const cq_spread *s, cq_spread_topic *to) {
    const bool piece = s->hard_spine.n == 0, two = s->double_edged;
    const char *const decides[] = {[CQ_DECIDER_LINE] = "What decides whether there is a line",
                                   [CQ_DECIDER_EDGE] = piece ? "What decides whether the face is hard"
                                                             : "What decides whether the edge is hard",
                                   [CQ_DECIDER_BODY] = piece ? "What decides whether the centre is hard"
                                                             : "What decides whether mid-height is hard",
                                   [CQ_DECIDER_SPINE] = two ? "What decides whether the second edge is hard"
                                                            : "What decides whether the spine is hard"};
    if (is_open(s)) {
        *to = (cq_spread_topic){
            &s->on_decider, decides[s->decider], decides[s->decider], "blades in 100, more or fewer", false, 100.0,
            "in 100"};
    } else if (isfinite(s->on_line.straight)) {
        *to = (cq_spread_topic){&s->on_line,
                                "What moves the line",
                                "What moves the hardening line (hamon)",
                                "change of the line's height, mm",
                                true,
                                1.0,
                                ""};
    } else if (isfinite(s->on_edge.straight)) {
        *to = (cq_spread_topic){&s->on_edge,
                                piece ? "What moves the face" : "What moves the edge",
                                piece ? "What moves the hardness of the face" : "What moves the hardness of the edge",
                                "change of hardness, HV",
                                false,
                                1.0,
                                "HV"};
    } else {
        return false;
    }
    return true;
}

const char *cq_spread_verdict_words(const cq_spread *s, cq_verdict verdict) {
    return s->hard_spine.n == 0 ? cq_piece_verdict_words(verdict) : cq_verdict_words(verdict);
}

double cq_spread_hard_at(const cq_spread *s, double height_m) {
    size_t hard = 0;
    for (size_t i = 0; i < s->samples; i++) {
        const cq_row *row = cq_spread_row(s, i);
        const double line = row->value[CQ_FIGURE_LINE];
        hard += row->state == CQ_ROW_DONE &&
                (isfinite(line) ? line > height_m : row->value[CQ_FIGURE_VERDICT] == CQ_VERDICT_THROUGH);
    }
    return s->done > 0 ? (double)hard / (double)s->done : 0.0;
}

char *cq_spread_hundred(double share, char to[CQ_SPREAD_WORDS]) {
    const double hundred = 100.0 * share;
    if (hundred > 0.0 && hundred < 0.95) {
        snprintf(to, CQ_SPREAD_WORDS, "%.1f", fmax(0.1, hundred));
    } else if (hundred < 100.0 && hundred > 99.05) {
        snprintf(to, CQ_SPREAD_WORDS, "%.1f", fmin(99.9, hundred));
    } else {
        snprintf(to, CQ_SPREAD_WORDS, "%.0f", hundred);
    }
    return to;
}
