/* The colour of hot bodies against published chromaticities and what observers saw. */
#include "material/observer.h"
#include "table.h"

#include <clayquench/glow.h>
#include <math.h>
#include <string.h>

/* Chromaticity of a black body; 0.0005 is the rounding of the tables and of the constants of their time. */
static void chromaticities(void) {
    static const struct {
        double temp_K, x, y;
        const char *source;
    } at[] = {{1000, 0.6528, 0.3444, "[wyszecki1982]"},
              {1500, 0.5857, 0.3931, "[wyszecki1982]"},
              {2856, 0.44757, 0.40745, "[iso11664-2]"},
              {6504, 0.3135, 0.3236, "[wyszecki1982]"}};
    for (int n = 0; n < 4; n++) {
        char name[64];
        const cq_glow glow = cq_glow_of(at[n].temp_K, 1.0, CQ_GLOW_DARK);
        snprintf(name, sizeof name, "black body of %.0f K, x", at[n].temp_K);
        row(name, at[n].source, at[n].x, glow.x, at[n].x - 5e-4, at[n].x + 5e-4, false);
        name[strlen(name) - 1] = 'y';
        row(name, at[n].source, at[n].y, glow.y, at[n].y - 5e-4, at[n].y + 5e-4, false);
    }
}

/* The old candela: a black body at the freezing point of platinum, 2042 K, had 60 cd/cm2; 1 % for the temperature's
 * history (2040 to 2045 K). Total radiance: sigma T4 / pi, as far as 360 to 830 nm hold it: by a finer sum, here 0.2 %.
 */
static void luminances(void) {
    row("black body at 2042 K, cd/m2", "[bipm-candela]", 6.0e5, cq_glow_of(2042.0, 1.0, CQ_GLOW_DARK).luminance_cd_m2,
        5.94e5, 6.06e5, false);
    double fine = 0.0, coarse = 0.0;
    for (int n = 0; n < 4700; n++) {
        fine += 1e-10 * cq_planck_radiance(360e-9 + (n + 0.5) * 1e-10, 1273.15);
    }
    for (int n = 0; n < CQ_OBSERVER_N; n++) {
        const double end = n == 0 || n == CQ_OBSERVER_N - 1 ? 0.5 : 1.0;
        coarse += end * 5e-9 * cq_planck_radiance(cq_observer_wavelength(n), 1273.15);
    }
    row("radiance in 360 to 830 nm, W/m2/sr", "finer sum", fine, coarse, 0.998 * fine, 1.002 * fine, false);
}

/* Where the first red is seen in the dark, degC: all bodies at 977 degF. Eyes and emissivities differ by 25 K. */
static void first_red(void) {
    double celsius = 400.0;
    while (cq_glow_of(celsius + 273.15, CQ_GLOW_SCALE, CQ_GLOW_DARK).visible <= 0.0 && celsius < 900.0) {
        celsius += 1.0;
    }
    row("first red in the dark, degC", "[draper1847]", 525, celsius, 500, 550, false);
}

int main(void) {
    chromaticities();
    luminances();
    first_red();
    return failures != 0;
}
