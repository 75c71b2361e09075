/* glow_screen.c - the colours of hot steel on one screen of 24 lines. */
#include "report/glow_words.h"

#include "base/memory.h"
#include "report/words.h"

#include <math.h>
#include <stdio.h>

enum { COLUMNS = 80 };

const char *cq_glow_hex(const double srgb[3], char to[CQ_HEX]) {
    unsigned code = 0;
    for (int i = 0; i < 3; i++) {
        code = code << 8 | (unsigned)lrint(255.0 * fmin(1.0, fmax(0.0, srgb[i])));
    }
    snprintf(to, CQ_HEX, "#%06x", code);
    return to;
}

double cq_glow_brighter_per_K(double temp_K) {
    const double up = cq_glow_of(temp_K + 1.0, CQ_GLOW_SCALE, CQ_GLOW_DARK).luminance_cd_m2,
                 down = cq_glow_of(temp_K - 1.0, CQ_GLOW_SCALE, CQ_GLOW_DARK).luminance_cd_m2;
    return 0.5 * log(up / down);
}

double cq_glow_bare_colder_K(double temp_K) {
    return log(CQ_GLOW_SCALE / CQ_GLOW_METAL) / cq_glow_brighter_per_K(temp_K);
}

/* "very dark red #290300", with a patch of the colour before it where there is ink. */
static void add_colour(cq_text *t, const cq_glow *glow, cq_ink ink) {
    char hex[CQ_HEX];
    if (ink == CQ_INK_COLOURED) {
        unsigned part[3];
        for (int i = 0; i < 3; i++) {
            part[i] = (unsigned)lrint(255.0 * fmin(1.0, fmax(0.0, glow->srgb[i])));
        }
        cq_text_add(t, "\033[48;2;%u;%u;%um  \033[0m", part[0], part[1], part[2]);
    } else {
        cq_text_add(t, "  ");
    }
    cq_text_add(t, " %-13s %s  ", glow->word, cq_glow_hex(glow->srgb, hex));
}

static void add_row(cq_text *t, double shown, double temp_K, cq_ink ink) {
    const cq_glow dark = cq_glow_of(temp_K, CQ_GLOW_SCALE, CQ_GLOW_DARK),
                  day = cq_glow_of(temp_K, CQ_GLOW_SCALE, CQ_GLOW_DAYLIGHT);
    cq_text_add(t, "%5.0f  %-14s", shown, cq_glow_trade_word(temp_K));
    add_colour(t, &dark, ink);
    add_colour(t, &day, ink);
    cq_text_add(t, "%6.*f\n",
                dark.luminance_cd_m2 < 0.0995 ? 3
                : dark.luminance_cd_m2 < 9.95 ? 1
                                              : 0,
                dark.luminance_cd_m2);
}

static void add_sentences(cq_text *t, cq_unit_system units) {
    const bool us = units == CQ_UNITS_US;
    const double at_K = us ? (1450.0 - 32.0) / 1.8 + 273.15 : 1073.15, per = us ? 1.8 : 1.0;
    const char *degree = us ? "°F" : "°C";
    const double at = us ? 1450.0 : 800.0;
    const double day_K = cq_glow_alike(at_K, CQ_GLOW_DARK, CQ_GLOW_DAYLIGHT);
    cq_paragraph_add(
        t, COLUMNS, "",
        "Light deceives most: what %.0f %s looks like in the dark, steel by an open door (1000 lx) looks at "
        "%.0f.",
        at, degree, 10.0 * round(0.1 * (at + per * (day_K - at_K))));
    cq_paragraph_add(
        t, COLUMNS, "",
        "By eye: ±%.0f %s at best (one person, one dim light), ±%.0f usually (common practice, no source). "
        "10 %s make it %.0f %% brighter; bare metal beside scale looks %.0f %s colder.",
        per * CQ_GLOW_EYE_BEST_K, degree, per * CQ_GLOW_EYE_USUAL_K, degree,
        100.0 * expm1(10.0 / per * cq_glow_brighter_per_K(at_K)), per * cq_glow_bare_colder_K(at_K), degree);
}

cq_status cq_report_glow_screen(cq_unit_system units, cq_ink ink, char **text) {
    cq_text t = {NULL, 0, 0, false};
    const bool us = units == CQ_UNITS_US;
    cq_text_add(&t, "Hot steel under scale, emissivity %.2f; words: White, Taylor 1900, from memory\n", CQ_GLOW_SCALE);
    cq_text_add(&t, "   %s  %-14s   %-23s   %-23s cd/m²\n", us ? "°F" : "°C", "trade word", "in the dark",
                "in daylight");
    const double first = us ? 950.0 : 500.0, last = us ? 2350.0 : 1300.0, step = us ? 100.0 : 50.0;
    for (double shown = first; shown < last + 1.0; shown += step) {
        add_row(&t, shown, us ? (shown - 32.0) / 1.8 + 273.15 : shown + 273.15, ink);
    }
    add_sentences(&t, units);
    if (t.failed) {
        cq_memory_free(t.bytes);
        return CQ_ERR_MEMORY;
    }
    *text = t.bytes;
    return CQ_OK;
}
