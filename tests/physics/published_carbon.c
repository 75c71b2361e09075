/* Carbon in austenite against what others published. */
#include "kinetics/carbon.h"
#include "table.h"

#include <math.h>

static const double ZERO_C = 273.15;

/* The law of another paper: 0.47 exp(-1.6 C) exp(-(37000 - 6600 C)/(R T)) cm2/s, R in cal/mol/K. */
static double tibbetts(double temp_K, double carbon_wt) {
    return 0.47e-4 * exp(-1.6 * carbon_wt) * exp(-(37000.0 - 6600.0 * carbon_wt) / (1.987 * temp_K));
}

/* Two laws drawn from different measurements; a fifth is how far such laws lie apart. */
static void diffusivities(void) {
    for (int celsius = 900; celsius <= 1100; celsius += 100) {
        for (double carbon = 0.0; carbon < 1.3; carbon += 0.4) {
            char name[64];
            const double temp_K = celsius + ZERO_C, other = tibbetts(temp_K, carbon);
            snprintf(name, sizeof name, "diffusivity, %d degC, %.1f %% C, m2/s", celsius, carbon);
            row(name, "[tibbetts1980]", other, cq_carbon_diffusivity(temp_K, carbon), 0.8 * other, 1.2 * other, false);
        }
    }
    /* A textbook's table, for little carbon; 15 % because of its two digits and its age. */
    row("diffusivity, 900 degC, m2/s", "[callister2008]", 5.9e-12, cq_carbon_diffusivity(900 + ZERO_C, 0.0), 5.0e-12,
        6.8e-12, false);
    row("diffusivity, 1100 degC, m2/s", "[callister2008]", 5.3e-11, cq_carbon_diffusivity(1100 + ZERO_C, 0.0), 4.5e-11,
        6.1e-11, false);
}

/* The textbook's worked case: 0.25 % steel held at 1.20 %, 0.80 % at 0.5 mm, D 1.6e-11: 7.1 h. The closed form in
 * the textbook's diffusivity; a rounded z and table make 1 %. */
static void worked_case(void) {
    const cq_carbon_skin skin = {0.25, 1.20, 950 + ZERO_C, 3600.0};
    const double D = cq_carbon_diffusivity(skin.temp_K, 0.5 * (skin.core_wt + skin.face_wt));
    const double depth = cq_carbon_skin_depth_m(&skin, (1.20 - 0.80) / (1.20 - 0.25));
    row("time to 0.80 % at 0.5 mm, h", "[callister2008]", 7.1, pow(5e-4 / depth, 2.0) * D / 1.6e-11, 7.03, 7.17, false);
}

/* Total case depth after four hours in a saturated atmosphere, 31.6 sqrt(t) 10^(-6700/T) inch (h, degR). Saturation
 * from the Acm line [asm-handbook3]. The case ends where 0.1 % more than the core is left (chosen here: what a
 * microscope shows); a fifth, because another choice (0.05 %) makes 10 % and the rule is rounded. */
static void case_depths(void) {
    static const struct { double fahrenheit, saturated_wt; } at[] = {{1600, 1.10}, {1700, 1.25}, {1800, 1.42}};
    enum { CELLS = 400 };
    for (int n = 0; n < 3; n++) {
        cq_carbon_line line;
        char name[64];
        const double temp_K = (at[n].fahrenheit - 32.0) / 1.8 + ZERO_C, width = 1e-5;
        const double rule_mm = 25.4 * 31.6 * 2.0 * pow(10.0, -6700.0 / (at[n].fahrenheit + 460.0));
        double depth_mm = 0.0;
        if (cq_carbon_line_create(&line, CELLS) < 0) {
            failures++;
            return;
        }
        for (int i = 0; i < CELLS; i++) {
            line.width_m[i] = width;
            line.carbon_wt[i] = 0.2;
        }
        line.end[0] = CQ_CARBON_HELD;
        line.end_wt[0] = at[n].saturated_wt;
        failures += cq_carbon_soak(&line, &(cq_carbon_heat){temp_K, 4.0 * 3600.0, 1.0}) < 0;
        for (int i = 0; i < CELLS && line.carbon_wt[i] > 0.3; i++) {
            depth_mm = 1e3 * width * (i + 1);
        }
        snprintf(name, sizeof name, "case depth, 4 h at %.0f degF, mm", at[n].fahrenheit);
        row(name, "[harris1943]", rule_mm, depth_mm, 0.8 * rule_mm, 1.2 * rule_mm, false);
        cq_carbon_line_free(&line);
    }
}

/* Points of the diagram between the corners the line is drawn through; 20 K as the header promises. */
static void solidus(void) {
    row("solidus, 0.5 % C, degC", "[asm-handbook3]", 1430, cq_carbon_solidus_K(0.5) - ZERO_C, 1410, 1450, false);
    row("solidus, 1.0 % C, degC", "[asm-handbook3]", 1345, cq_carbon_solidus_K(1.0) - ZERO_C, 1325, 1365, false);
    row("solidus, 1.5 % C, degC", "[asm-handbook3]", 1250, cq_carbon_solidus_K(1.5) - ZERO_C, 1230, 1270, false);
}

int main(void) {
    diffusivities();
    worked_case();
    case_depths();
    solidus();
    return failures != 0;
}
