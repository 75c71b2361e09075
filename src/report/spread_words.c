/* spread_words.c - see spread_words.h. */
#include "report/spread_words.h"

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

void cq_spread_order(const cq_spread *s, const cq_influence *influence, size_t order[CQ_UNCERTAINS]) {
    for (size_t k = 0; k < s->inputs_n; k++) {
        size_t at = k;
        while (at > 0 && influence->share[k].value > influence->share[order[at - 1]].value) {
            order[at] = order[at - 1];
            at--;
        }
        order[at] = k;
    }
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
