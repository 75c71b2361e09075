/* why_words.c - see why_words.h. */
#include "report/why_words.h"

#include "hardness/hardness.h"
#include "report/lay_words.h"
#include "report/spread_words.h"

#include <math.h>
#include <stdio.h>

/* A height to a tenth of a millimetre or a thousandth of an inch. */
static const char *height(double m, cq_unit_system units, char to[CQ_LAY_LENGTH]) {
    const double round_m = units == CQ_UNITS_US ? 0.0254e-3 : 0.1e-3;
    return cq_lay_length(round_m * round(m / round_m), units, to);
}

char *cq_why_seen(const cq_seen *seen, cq_unit_system units, char to[CQ_WHY_TEXT]) {
    char a[CQ_LAY_LENGTH], b[CQ_LAY_LENGTH];
    switch (seen->kind) {
    case CQ_SEEN_LINE:
        snprintf(to, CQ_WHY_TEXT, "a line (hamon) at %s ± %s", cq_lay_length(seen->line_m, units, a),
                 cq_lay_length(seen->within_m, units, b));
        break;
    case CQ_SEEN_FAINT:
        snprintf(to, CQ_WHY_TEXT, "a faint line (hamon)");
        break;
    case CQ_SEEN_NONE:
        snprintf(to, CQ_WHY_TEXT, "no line (hamon)");
        break;
    case CQ_SEEN_TIP:
        snprintf(to, CQ_WHY_TEXT, "a line (hamon) that fades at the tip");
        break;
    case CQ_SEEN_CRACKED:
        if (isfinite(seen->time_s)) {
            snprintf(to, CQ_WHY_TEXT, "a crack, heard at %.3g s", seen->time_s);
        } else {
            snprintf(to, CQ_WHY_TEXT, "a crack");
        }
        break;
    case CQ_SEEN_SOFT:
        snprintf(to, CQ_WHY_TEXT, "a soft edge");
        break;
    default:
        snprintf(to, CQ_WHY_TEXT, "%s", cq_seen_words(seen->kind));
    }
    return to;
}

char *cq_why_change_words(const cq_why_change *c, cq_unit_system units, char to[CQ_WHY_TEXT]) {
    if (!c->has_input) {
        snprintf(to, CQ_WHY_TEXT, "%s", c->words);
        return to;
    }
    const cq_shown s = cq_spread_shown(c->input.kind, units);
    if (s.unit[0] == '\0') { /* a factor; its centre is what the profile has */
        snprintf(to, CQ_WHY_TEXT, "%s %.2g times", cq_uncertain_words(c->input.kind), c->value / c->input.centre);
        return to;
    }
    const bool shift = c->input.kind == CQ_UNCERTAIN_MARTENSITE_START;
    snprintf(to, CQ_WHY_TEXT, "%s %.3g %s in place of %.3g", cq_uncertain_words(c->input.kind),
             s.factor * c->value + s.offset, s.unit, s.factor * c->input.centre + s.offset);
    if (shift) {
        snprintf(to, CQ_WHY_TEXT, "%s %+.3g %s", cq_uncertain_words(c->input.kind),
                 s.factor * (c->value - c->input.centre), s.unit);
    }
    return to;
}

static void line_words(const cq_row *row, cq_unit_system units, char to[CQ_WHY_TEXT]) {
    const double line = row->value[CQ_FIGURE_LINE];
    const int verdict = (int)row->value[CQ_FIGURE_VERDICT];
    char words[CQ_LAY_LENGTH];
    if (!isfinite(line) && verdict == CQ_VERDICT_GOOD) {
        snprintf(to, CQ_WHY_TEXT, "no line to be seen, hard edge and soft back under the skin");
    } else if (!isfinite(line) || verdict == CQ_VERDICT_NO_EDGE) {
        snprintf(to, CQ_WHY_TEXT, "%s", cq_verdict_words((cq_verdict)verdict));
    } else {
        snprintf(to, CQ_WHY_TEXT, "line %s%s", height(line, units, words),
                 verdict == CQ_VERDICT_FAINT   ? ", faint"
                 : verdict == CQ_VERDICT_SPINE ? ", spine hard"
                                               : "");
    }
}

/* What a file meets, and what lies below it. */
static void soft_words(const double *v, char to[CQ_WHY_TEXT]) {
    const double HRC = cq_hardness_HRC(v[CQ_FIGURE_EDGE_FACE_HV]);
    char hard[32];
    snprintf(hard, sizeof hard, isfinite(HRC) ? "%.1f HRC" : "%.0f HV",
             isfinite(HRC) ? HRC : v[CQ_FIGURE_EDGE_FACE_HV]);
    snprintf(to, CQ_WHY_TEXT, "%s at the edge's face, %.0f %% martensite in it", hard,
             100.0 * v[CQ_FIGURE_EDGE_MARTENSITE]);
}

char *cq_why_outcome(const cq_row *row, const cq_seen *seen, cq_unit_system units, char to[CQ_WHY_TEXT]) {
    const double *v = row->value;
    char words[CQ_WHY_TEXT], rise[CQ_LAY_LENGTH];
    if (row->state != CQ_ROW_DONE) {
        snprintf(to, CQ_WHY_TEXT, "the run failed");
        return to;
    }
    line_words(row, units, words);
    switch (seen->kind) {
    case CQ_SEEN_CRACKED:
        if (isfinite(v[CQ_FIGURE_CRACK])) {
            char since[32] = "";
            if (v[CQ_FIGURE_CRACK_SINCE] < v[CQ_FIGURE_CRACK_TIME]) {
                snprintf(since, sizeof since, "%.3g to ", v[CQ_FIGURE_CRACK_SINCE]);
            }
            snprintf(to, CQ_WHY_TEXT, "crack %s (%.0f MPa, %s%.3g s)", cq_crack_class_words((int)v[CQ_FIGURE_CRACK]),
                     v[CQ_FIGURE_CRACK_INDEX], since, v[CQ_FIGURE_CRACK_TIME]);
        } else {
            snprintf(to, CQ_WHY_TEXT, "no crack class");
        }
        break;
    case CQ_SEEN_TO_EDGE:
    case CQ_SEEN_TO_SPINE:
        snprintf(to, CQ_WHY_TEXT, isfinite(v[CQ_FIGURE_RISE]) ? "curve %s%s" : "curve not known%.0s%.0s",
                 v[CQ_FIGURE_RISE] < 0.0 ? "" : "+", height(v[CQ_FIGURE_RISE], units, rise));
        break;
    case CQ_SEEN_FAINT:
    case CQ_SEEN_TIP:
        if (isfinite(v[CQ_FIGURE_LINE]) && (int)v[CQ_FIGURE_VERDICT] != CQ_VERDICT_NO_EDGE) {
            snprintf(to, CQ_WHY_TEXT, "%.60s, its band %s wide, edge %.0f HV above the spine", words,
                     height(v[CQ_FIGURE_BAND_10] - v[CQ_FIGURE_BAND_90], units, rise), v[CQ_FIGURE_CONTRAST]);
        } else {
            snprintf(to, CQ_WHY_TEXT, "%s", words);
        }
        break;
    case CQ_SEEN_SOFT:
        soft_words(v, to);
        break;
    default:
        snprintf(to, CQ_WHY_TEXT, "%s", words);
    }
    return to;
}

const char *cq_why_agreement(double likelihood) {
    return likelihood >= 0.5 ? "well" : likelihood >= CQ_WHY_EXPLAINS ? "in part" : "hardly";
}

const char *cq_why_untold(const cq_seen *seen) {
    switch (seen->kind) {
    case CQ_SEEN_TIP:
        return "heat that runs along the blade, the tip's own shape, a tip that went in first or last";
    case CQ_SEEN_CRACKED:
        return "flaws and inclusions, grinding burns, hours left untempered, a second quench";
    case CQ_SEEN_TO_EDGE:
    case CQ_SEEN_TO_SPINE:
        return "stress from forging, weight of the hot blade, taper and point, straightening";
    case CQ_SEEN_SOFT:
        return "an edge ground hot, heat uneven along the blade, two changes at once";
    default:
        return "etching and polish, steel that differs along the bar, heat uneven along the "
               "blade, two changes at once";
    }
}
