/* glow.c - see glow.h.
 *
 * The light: L(T) = emissivity * Planck, summed with the observer's functions. Numbers (1) to (5) stand at their lines.
 *
 * The eye, one model for both kinds of light:
 *   cones     l, m, s of the light, Hunt-Pointer-Estevez, equal for daylight D65                          (1)
 *   response  r = v / (v + sigma) of each cone by itself [naka1966]: what is far above sigma turns white      (2)
 *   daylight  sigma is the luminance of white paper in that light, E / pi
 *   dark      sigma is 50 cd/m2; below, the eye opens with the square root of the light [rose1948]:
 *             sigma = sqrt(50 L)                                                                          (3)
 *   visible   w rises with log L from 0 at the threshold to 1                                                (4)
 *             dark: 0.005 to 5 cd/m2, where cones begin to see and where they see alone [cie191]
 *             daylight: 2 % to 20 % of what scale reflects, (1 - emissivity) E / pi: the veil over the glow
 *   picture   w r, back from cones to linear sRGB [iec61966]; a colour outside the screen's range is mixed with grey of
 *             its own luminance until nothing is negative, and dimmed until nothing is above 1                (5)
 *
 * Chosen here: 50 cd/m2, 1000 lx and 2 and 20 %. 50 cd/m2 was chosen with the trade's words in view (orange near 900,
 * white near 1200 degC), so those words are no check of it. The veil's own grey is left out: daylight shows the glow
 * alone. Rods see a colourless grey below 0.005 cd/m2 (from about 400 degC, after long in the dark): black here.
 */
#include "material/observer.h"

#include "base/pi.h"

#include <clayquench/glow.h>
#include <math.h>

static const double DARK_HALF = 50.0;                           /* cd/m2, chosen here */
static const double DARK_FIRST = 0.005, DARK_FULL = 5.0;        /* cd/m2 [cie191], from memory */
static const double DAY_LUX = 1000.0;                           /* chosen here */
static const double CONTRAST_FIRST = 0.02, CONTRAST_FULL = 0.2; /* shares of the veil, chosen here */

/* Cones from XYZ, normalised to D65 [fairchild2013], from memory; its inverse is computed. */
static const double CONES[3][3] = {{0.4002, 0.7076, -0.0808}, {-0.2263, 1.1653, 0.0457}, {0.0, 0.0, 0.9182}};
/* Linear sRGB from XYZ and back [iec61966]. */
static const double SCREEN[3][3] = {{3.2406, -1.5372, -0.4986}, {-0.9689, 1.8758, 0.0415}, {0.0557, -0.2040, 1.0570}};
static const double LIGHT[3][3] = {{0.4124, 0.3576, 0.1805}, {0.2126, 0.7152, 0.0722}, {0.0193, 0.1192, 0.9505}};

static void times(const double m[3][3], const double v[3], double to[3]) {
    for (int i = 0; i < 3; i++) {
        to[i] = m[i][0] * v[0] + m[i][1] * v[1] + m[i][2] * v[2];
    }
}

/* XYZ of cone responses: the last row of CONES holds z alone, the rest is two equations. */
static void xyz_of_cones(const double r[3], double xyz[3]) {
    const double z = r[2] / CONES[2][2], l = r[0] - CONES[0][2] * z, m = r[1] - CONES[1][2] * z;
    const double det = CONES[0][0] * CONES[1][1] - CONES[0][1] * CONES[1][0];
    xyz[0] = (l * CONES[1][1] - m * CONES[0][1]) / det;
    xyz[1] = (m * CONES[0][0] - l * CONES[1][0]) / det;
    xyz[2] = z;
}

typedef struct viewing {
    double sigma, first, full; /* cd/m2: half response; threshold; full colour */
} viewing;

static viewing viewing_of(double luminance, double emissivity, cq_glow_light light) {
    if (light == CQ_GLOW_DAYLIGHT) {
        const double white = DAY_LUX / CQ_PI, veil = fmax(1.0 - emissivity, 0.05) * white;
        return (viewing){white, CONTRAST_FIRST * veil, CONTRAST_FULL * veil};
    }
    const double sigma = luminance < DARK_HALF ? sqrt(DARK_HALF * luminance) : DARK_HALF; /* (3) */
    return (viewing){sigma, DARK_FIRST, DARK_FULL};
}

/* (5), in place. */
static void fit_screen(double rgb[3], double luminance) {
    const double least = fmin(rgb[0], fmin(rgb[1], rgb[2]));
    if (least < 0.0) {
        const double share = luminance / (luminance - least);
        for (int i = 0; i < 3; i++) {
            rgb[i] = luminance + share * (rgb[i] - luminance);
        }
    }
    const double most = fmax(rgb[0], fmax(rgb[1], rgb[2]));
    for (int i = 0; i < 3; i++) {
        const double v = fmax(0.0, most > 1.0 ? rgb[i] / most : rgb[i]);
        rgb[i] = v <= 0.0031308 ? 12.92 * v : 1.055 * pow(v, 1.0 / 2.4) - 0.055;
    }
}

/* CIELAB under D65 of an sRGB colour [iso11664-1; iec61966]. */
static void lab_of(const double srgb[3], double lab[3]) {
    static const double white[3] = {0.9505, 1.0, 1.089};
    double linear[3], xyz[3], f[3];
    for (int i = 0; i < 3; i++) {
        linear[i] = srgb[i] <= 0.04045 ? srgb[i] / 12.92 : pow((srgb[i] + 0.055) / 1.055, 2.4);
    }
    times(LIGHT, linear, xyz);
    for (int i = 0; i < 3; i++) {
        const double t = xyz[i] / white[i];
        f[i] = t > 216.0 / 24389.0 ? cbrt(t) : (24389.0 / 27.0 * t + 16.0) / 116.0;
    }
    lab[0] = 116.0 * f[1] - 16.0;
    lab[1] = 500.0 * (f[0] - f[1]);
    lab[2] = 200.0 * (f[1] - f[2]);
}

/* Words for lightness, hue and chroma; the bounds are chosen here. */
static const char *word_of(const double srgb[3]) {
    double lab[3];
    lab_of(srgb, lab);
    const double hue = atan2(lab[2], lab[1]) * 180.0 / CQ_PI, chroma = hypot(lab[1], lab[2]);
    if (lab[0] < 0.5) {
        return "black";
    }
    if (chroma < 30.0 && lab[0] > 90.0) {
        return "white";
    }
    if (hue > 80.0) {
        return chroma < 60.0 ? "pale yellow" : "yellow";
    }
    if (lab[0] < 12.0) {
        return "very dark red";
    }
    if (lab[0] < 32.0) {
        return "dark red";
    }
    return hue < 52.0 ? "red" : hue < 60.0 ? "orange red" : "orange";
}

cq_glow cq_glow_of(double temp_K, double emissivity, cq_glow_light light) {
    double radiance[CQ_OBSERVER_N], xyz[3], cones[3], seen[3];
    for (int n = 0; n < CQ_OBSERVER_N; n++) {
        radiance[n] = emissivity * cq_planck_radiance(cq_observer_wavelength(n), temp_K);
    }
    cq_observer_xyz(radiance, xyz);
    const double sum = xyz[0] + xyz[1] + xyz[2];
    const viewing v = viewing_of(xyz[1], emissivity, light);
    cq_glow glow = {.luminance_cd_m2 = xyz[1], .x = xyz[0] / sum, .y = xyz[1] / sum};
    glow.visible = fmin(1.0, fmax(0.0, log(xyz[1] / v.first) / log(v.full / v.first))); /* (4) */
    times(CONES, xyz, cones);                                                           /* (1) */
    for (int i = 0; i < 3; i++) {
        const double cone = fmax(0.0, cones[i]);
        cones[i] = glow.visible * cone / (cone + v.sigma); /* (2) */
    }
    xyz_of_cones(cones, seen);
    times(SCREEN, seen, glow.srgb);
    fit_screen(glow.srgb, seen[1]);
    glow.word = word_of(glow.srgb);
    return glow;
}

double cq_glow_alike(double temp_K, cq_glow_light here, cq_glow_light there) {
    const cq_glow wanted = cq_glow_of(temp_K, CQ_GLOW_SCALE, here);
    double lab[3], best_K = 700.0, least = INFINITY;
    lab_of(wanted.srgb, lab);
    for (double T = 700.0; T <= 1700.0; T += 1.0) {
        double other[3];
        const cq_glow glow = cq_glow_of(T, CQ_GLOW_SCALE, there);
        lab_of(glow.srgb, other);
        const double apart = hypot(hypot(lab[0] - other[0], lab[1] - other[1]), lab[2] - other[2]);
        if (apart < least) {
            least = apart;
            best_K = T;
        }
    }
    return best_K;
}

#define FAHRENHEIT(t) (((t)-32.0) / 1.8 + 273.15)
const cq_glow_band cq_glow_bands[CQ_GLOW_BANDS] = {
    {"black red", FAHRENHEIT(990)},      {"blood red", FAHRENHEIT(1050)},    {"dark cherry", FAHRENHEIT(1175)},
    {"medium cherry", FAHRENHEIT(1250)}, {"full cherry", FAHRENHEIT(1375)},  {"light cherry", FAHRENHEIT(1550)},
    {"orange", FAHRENHEIT(1650)},        {"light orange", FAHRENHEIT(1725)}, {"yellow", FAHRENHEIT(1825)},
    {"light yellow", FAHRENHEIT(1975)},  {"white", FAHRENHEIT(2200)},
};

const char *cq_glow_trade_word(double temp_K) {
    const cq_glow_band *b = cq_glow_bands;
    const char *word = "black";
    for (int n = 0; n < CQ_GLOW_BANDS; n++) {
        const double from_K =
            n == 0 ? b[0].temp_K - 0.5 * (b[1].temp_K - b[0].temp_K) : 0.5 * (b[n - 1].temp_K + b[n].temp_K);
        word = temp_K >= from_K ? b[n].word : word;
    }
    return word;
}
