/* colour.c - see colour.h. */
#include "report/colour.h"

#include "base/pi.h"

#include <math.h>

/* The helix: CIELAB lightness, chroma, hue in degrees. */
static const double DARK_L = 22.0, PALE_L = 91.0, CHROMA = 43.0, FIRST_HUE = 288.0, LAST_HUE = 453.0;

/* CIELAB under D65 to linear sRGB [iec61966]. */
static void lab_to_linear(double L, double a, double b, double linear[3]) {
    static const double white[3] = {0.9505, 1.0, 1.089};
    const double fy = (L + 16.0) / 116.0, f[3] = {fy + a / 500.0, fy, fy - b / 200.0};
    double xyz[3];
    for (int n = 0; n < 3; n++) {
        const double cube = f[n] * f[n] * f[n];
        xyz[n] = white[n] * (f[n] > 6.0 / 29.0 ? cube : 3.0 * 36.0 / 841.0 * (f[n] - 4.0 / 29.0));
    }
    linear[0] = 3.2406 * xyz[0] - 1.5372 * xyz[1] - 0.4986 * xyz[2];
    linear[1] = -0.9689 * xyz[0] + 1.8758 * xyz[1] + 0.0415 * xyz[2];
    linear[2] = 0.0557 * xyz[0] - 0.2040 * xyz[1] + 1.0570 * xyz[2];
}

void cq_colour_of(double u, double rgb[3]) {
    const double share = u > 0.0 ? fmin(u, 1.0) : 0.0; /* NaN too gets the low end */
    const double hue = (FIRST_HUE + (LAST_HUE - FIRST_HUE) * share) * CQ_PI / 180.0;
    double linear[3];
    lab_to_linear(DARK_L + (PALE_L - DARK_L) * share, CHROMA * cos(hue), CHROMA * sin(hue), linear);
    for (int n = 0; n < 3; n++) {
        const double v = fmin(1.0, fmax(0.0, linear[n]));
        rgb[n] = v <= 0.0031308 ? 12.92 * v : 1.055 * pow(v, 1.0 / 2.4) - 0.055;
    }
}

double cq_ramp_share(const cq_ramp *ramp, double v) {
    return ramp->log ? log(v / ramp->low) / log(ramp->high / ramp->low) : (v - ramp->low) / (ramp->high - ramp->low);
}
