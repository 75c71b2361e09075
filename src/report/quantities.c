/* quantities.c - see quantities.h. */
#include "report/quantities.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

char *cq_inch_fraction(double metres, char to[CQ_QUANTITY]) {
    int over = (int)floor(64.0 * metres / 0.0254 + 0.5), under = 64;
    const int whole = over / under;
    over %= under;
    while (over > 0 && over % 2 == 0) {
        over /= 2;
        under /= 2;
    }
    if (over == 0) {
        snprintf(to, CQ_QUANTITY, "%d", whole);
    } else if (whole == 0) {
        snprintf(to, CQ_QUANTITY, "%d/%d", over, under);
    } else {
        snprintf(to, CQ_QUANTITY, "%d %d/%d", whole, over, under);
    }
    return to;
}

char *cq_length_both(double metres, char to[CQ_QUANTITY]) {
    char fraction[CQ_QUANTITY];
    const double mm = 1e3 * metres;
    const double shown = fabs(mm) >= 100.0 ? round(mm)
                         : fabs(mm) >= 1.0 ? round(10.0 * mm) / 10.0
                                           : round(1e3 * mm) / 1e3;
    if (metres > 0.0 && metres < 0.0254 / 64.0) {
        snprintf(to, CQ_QUANTITY, "%g\u00a0mm (%.3f\u00a0in)", shown, metres / 0.0254);
        return to;
    }
    const size_t whole = strcspn(cq_inch_fraction(metres, fraction), " "); /* "4 21/64" stays together */
    if (fraction[whole] == '\0') {
        snprintf(to, CQ_QUANTITY, "%g\u00a0mm (%.24s\u00a0in)", shown, fraction);
    } else {
        snprintf(to, CQ_QUANTITY, "%g\u00a0mm (%.*s\u00a0%.12s\u00a0in)", shown, (int)(whole < 12 ? whole : 12),
                 fraction, fraction + whole + 1);
    }
    return to;
}

char *cq_celsius_both(double kelvin, char to[CQ_QUANTITY]) {
    const double celsius = kelvin - 273.15;
    snprintf(to, CQ_QUANTITY, "%.0f\u00a0°C (%.0f\u00a0°F)", celsius, 1.8 * celsius + 32.0);
    return to;
}

char *cq_time_words(double seconds, char to[CQ_QUANTITY]) {
    const double whole = seconds >= 3600.0 ? 3600.0 : seconds >= 120.0 ? 60.0 : 1.0;
    snprintf(to, CQ_QUANTITY, "%g\u00a0%s", round(1e3 * seconds / whole) / 1e3,
             whole > 3000.0 ? "h"
             : whole > 30.0 ? "min"
                            : "s");
    return to;
}
