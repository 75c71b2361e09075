/* Steel against published figures, as a table: check, source, expected, got, tolerance. A check that fails with the shipped
 * laws is marked as a known miss; the test fails when a known miss starts to pass, so that the mark is taken off.
 */
#include "boundary/boiling.h"
#include "hardness/tempering.h"
#include "kinetics/clock.h"
#include "material/thermal.h"

#include <math.h>
#include <stdio.h>

static int failures;

static void row(const char *check, const char *source, double expected, double got, double low, double high, bool known_miss) {
    const bool passed = got >= low && got <= high;
    const bool good = passed != known_miss;
    failures += !good;
    printf("%-44s %-22s %9.4g %9.4g   %.4g..%.4g %s\n", check, source, expected, got, low, high,
           good ? (known_miss ? "known miss" : "ok") : passed ? "PASSES NOW: take the mark off" : "FAILED");
}
static void within(const char *check, const char *source, double expected, double got, double tolerance) {
    row(check, source, expected, got, expected - tolerance, expected + tolerance, false);
}
static void factor(const char *check, const char *source, double expected, double got, double f) {
    row(check, source, expected, got, expected / f, expected * f, false);
}

static cq_steel steel_of(double C, double Mn, double Si, double Cr, double grain) {
    return (cq_steel){.composition_wt = {.C = C, .Mn = Mn, .Si = Si, .Cr = Cr}, .grain_ASTM = grain, .time_factor = 1.0};
}

/* Time at T until `share` of the austenite is gone. */
static double isothermal(const cq_clock *k, double T_C, double share) {
    const cq_half_times half = cq_clock_half_times(k, T_C + 273.15);
    double low = 1e-4, high = 1e7;
    for (int n = 0; n < 80; n++) {
        const double t = sqrt(low * high), Y = log(2.0) * (pow(t / half.pearlite_s, 4.0) + pow(t / half.bainite_s, 1.8));
        *(1.0 - exp(-Y) < share ? &low : &high) = t;
    }
    return low;
}

static void isothermal_and_continuous(void) {
    const cq_steel steel = steel_of(0.79, 0.76, 0.20, 0.0, 6.0);
    const cq_soak soak = {0.79, 0.0, 6.0, 1.0};
    cq_clock *k;
    if (cq_clock_create(&k, &steel, &soak, NULL) != CQ_OK) {
        failures++;
        return;
    }
    /* K01, K02: regressions on the constants, 1 % (second program that shares no code) */
    within("1080 540 C 50 % s", "second program", 3.20, isothermal(k, 540, 0.5), 0.032);
    within("1080 650 C 50 % s", "second program", 18.7, isothermal(k, 650, 0.5), 0.19);
    within("1080 350 C 99 % s", "second program", 388, isothermal(k, 350, 0.99), 4);
    within("1080 rate for 50 %, K/s", "second program", 55.6, cq_clock_critical_rate(k, &soak, 1073.15, 0.5), 0.6);
    within("1080 rate for 99 %, K/s", "second program", 34.5, cq_clock_critical_rate(k, &soak, 1073.15, 0.99), 0.4);
    /* C05, C06, C09: textbook diagram, factor as the reading of a log plot allows */
    factor("1080 540 C half, s", "[callister2008] p. 416", 3.0, isothermal(k, 540, 0.5), 1.5);
    factor("1080 650 C start, s", "[callister2008]", 7.0, isothermal(k, 650, 0.01), 2.0);
    factor("1080 650 C half, s", "[callister2008]", 20.0, isothermal(k, 650, 0.5), 2.0);
    factor("1080 350 C start, s", "[callister2008]", 10.0, isothermal(k, 350, 0.01), 2.0);
    factor("1080 350 C end, s", "[callister2008]", 500.0, isothermal(k, 350, 0.99), 2.0);
    factor("1080 250 C start, s", "[callister2008]", 150.0, isothermal(k, 250, 0.01), 2.0);
    within("1080 rate for 3 % pearlite, K/s", "[callister2008] 11.28", 140.0, cq_clock_critical_rate(k, &soak, 1073.15, 0.03), 42.0);
    within("1080 rate for 3 % martensite, K/s", "[callister2008] 11.28", 35.0, cq_clock_critical_rate(k, &soak, 1073.15, 0.97), 10.5);
    within("1080 Ms, C", "[callister2008]", 215.0, cq_clock_criticals(k).Ms_K - 273.15, 12.0);
    cq_clock_free(k);
    const cq_steel clean = steel_of(0.60, 0.0, 0.0, 0.0, 8.0);
    const cq_soak clean_soak = {0.60, 0.0, 8.0, 1.0};
    if (cq_clock_create(&k, &clean, &clean_soak, NULL) == CQ_OK) {
        within("no Mn, no Si: rate for 50 %, K/s", "second program", 1188, cq_clock_critical_rate(k, &clean_soak, 1073.15, 0.5), 12);
        cq_clock_free(k);
    }
}

/* Retained austenite at 20 C of carbon C all dissolved. */
static double retained(double C) {
    const cq_composition c = {.C = C};
    return exp(-cq_martensite_rate_per_K(&c, C) * fmax(0.0, cq_martensite_start_C(&c, C) - 20.0));
}

static void formulas(void) {
    const cq_composition c1080 = {.C = 0.79, .Mn = 0.76, .Si = 0.20};
    within("Ae1 of 1080, C", "[grange1961]", 716.67, cq_equilibria_of(&c1080).Ae1_C, 0.1);
    within("Ae3 line of 1080, C", "[grange1961]", 711.02, cq_equilibria_of(&c1080).Ae3_line_C, 0.1);
    row("retained austenite at 1.4 % C", "measured 28-45 %", 0.37, retained(1.4), 0.28, 0.45, false);
    row("retained austenite at 0.5 % C", "below 3 %", 0.01, retained(0.5), 0.0, 0.03, false);
    const double HRC[] = {68, 65, 60, 55, 50, 45, 40}, HV[] = {940, 832, 697, 595, 513, 446, 392};
    for (int n = 0; n < 7; n++) {
        within("HRC to HV", "[astm-e140]", HV[n], cq_hardness_HV(HRC[n]), 1.0);
        within("and back", "[astm-e140]", HRC[n], cq_hardness_HRC(HV[n]), 0.01);
    }
    const cq_temper hour = {473.15, 3600.0}, short_one = {542.45, 10.0}, day = {442.65, 86400.0};
    within("1 h 200 C = 10 s 269.3 C", "[hollomon1945]", cq_temper_parameter(&hour, 1), cq_temper_parameter(&short_one, 1), 0.004);
    within("1 h 200 C = 24 h 169.5 C", "[hollomon1945]", cq_temper_parameter(&hour, 1), cq_temper_parameter(&day, 1), 0.004);
    const cq_phase_thermal a = cq_thermal_of(CQ_AUSTENITE), p = cq_thermal_of(CQ_PEARLITE);
    const double L = cq_thermal_enthalpy(&a, 923.15) - cq_thermal_enthalpy(&p, 923.15);
    within("heat of pearlite at 650 C, kJ/kg", "[hagel1956]", 82.0, L / 7800.0 / 1e3, 8.2);
}

static void hardness_and_temper(void) {
    const struct {
        const char *name;
        cq_steel steel;
        double soak_C, HRC;
    } quenched[] = {{"1080 as quenched, HRC", steel_of(0.79, 0.76, 0.2, 0, 8), 800, 65}, {"1095 as quenched, HRC", steel_of(0.95, 0.4, 0.2, 0, 8), 800, 66}};
    for (int n = 0; n < 2; n++) {
        const cq_soak s = cq_soak_of(&quenched[n].steel, quenched[n].soak_C + 273.15, 300, false);
        const double RA = exp(-cq_martensite_rate_per_K(&quenched[n].steel.composition_wt, s.carbon_solution_wt) *
                              (cq_martensite_start_C(&quenched[n].steel.composition_wt, s.carbon_solution_wt) - 20.0));
        const double fraction[CQ_PHASES] = {[CQ_AUSTENITE] = RA, [CQ_MARTENSITE] = 1.0 - RA};
        within(quenched[n].name, "[asm-heat-treater]", quenched[n].HRC,
               cq_hardness_HRC(cq_hardness_mixture_HV(&quenched[n].steel, s.carbon_solution_wt, s.carbide, fraction, 0.0)), 1.5);
    }
    const cq_composition c1095 = {.C = 0.95, .Mn = 0.4, .Si = 0.2}, c1080 = {.C = 0.79, .Mn = 0.76, .Si = 0.2};
    const struct {
        const char *name;
        const cq_composition *c;
        double aq, T_C, HRC;
    } tempers[] = {{"1095 1 h 204 C, HRC", &c1095, 66, 204, 62.5}, {"1095 1 h 260 C, HRC", &c1095, 66, 260, 59.5},
                   {"1095 1 h 316 C, HRC", &c1095, 66, 316, 55.5}, {"1080 1 h 204 C, HRC", &c1080, 65, 204, 60.5},
                   {"1080 1 h 260 C, HRC", &c1080, 65, 260, 55.5}};
    for (int n = 0; n < 5; n++) {
        const cq_temper t = {tempers[n].T_C + 273.15, 3600.0};
        const double got = cq_temper_martensite_HRC(tempers[n].c, tempers[n].c->C, tempers[n].aq, cq_temper_parameter(&t, 1));
        within(tempers[n].name, "[asm-heat-treater]", tempers[n].HRC, got, 2.5); /* two tables differ by 2-4 HRC */
    }
}

static void boiling(void) {
    within("Zuber peak, MW/m2 (B1)", "[zuber1959]", 1.107, 1e-6 * cq_boiling_peak_saturated(0.131), 0.011);
    within("0.149 form, MW/m2 (B1)", "[lienhard1973]", 1.259, 1e-6 * cq_boiling_peak_saturated(0.149), 0.013);
    within("Rohsenow 18 K, kW/m2 (B2)", "[incropera2007] 10.1", 836.6,
           1e-3 * cq_boiling_rohsenow(18, 0.0128, 1.76, 279e-6, 2.257e6, 957.9, 0.5956, 0.0589, 4217), 8.4);
    within("Rohsenow, Kreith 10.1, kW/m2 (B3)", "book 29.669", 29.669,
           1e-3 * cq_boiling_rohsenow(6, 0.0132, 1.75, 2.77e-4, 2.25e6, 962, 0.60, 0.0588, 4211), 1.5);
    within("Bromley cylinder h_c, W/m2/K (B5)", "[incropera2007] 10.2", 238.0,
           cq_boiling_film_cylinder(6e-3, 155, 0.0299, 0.4902, 15.25e-6, 1980, 957.9, 2.257e6, 0.8), 3.6);
    const double bath[] = {100, 80, 60, 40, 20}, ivey[] = {1.0, 1.949, 2.898, 3.847, 4.796}, dhir[] = {201, 361, 521, 681, 841};
    for (int n = 0; n < 5; n++) {
        within("subcooling factor of the peak (B8)", "[ivey1962]", ivey[n], cq_boiling_peak_subcooling(bath[n]), 0.005 * ivey[n]);
        within("rewetting of metal, C (B9)", "[dhir1978]", dhir[n], cq_boiling_rewetting_metal_C(bath[n]), 1e-9);
    }
    within("superheat limit, C (B10)", "[lienhard1976]", 313.2, cq_water_superheat_limit_C(), 1.0);
    within("Henry, clay k 0.3, bath 40 C (B10)", "[henry1974]", 927, cq_boiling_rewetting_henry_C(40, 671, 975), 5);
    within("Henry, hot steel, bath 40 C (B10)", "[henry1974]", 352, cq_boiling_rewetting_henry_C(40, 11549, 620), 5);
    within("contact, clay at 850 C on 40 C water (C4)", "[carslaw1959]", 277, cq_contact_temperature(671, 850, cq_water_effusivity(40), 40), 2);
    within("contact, steel (C4)", "[carslaw1959]", 750, cq_contact_temperature(11549, 850, cq_water_effusivity(40), 40), 2);
    within("kaolin heat capacity 400 C (C2)", "[michot2011]", 1117, cq_kaolin_heat_capacity_J_kgK(673.15), 11);
    within("kaolin heat capacity 800 C (C2)", "[michot2011]", 1206, cq_kaolin_heat_capacity_J_kgK(1073.15), 12);
}

int main(void) {
    printf("%-44s %-22s %9s %9s   %s\n", "check", "source", "expected", "got", "accepted");
    formulas();
    isothermal_and_continuous();
    hardness_and_temper();
    boiling();
    return failures != 0;
}
