/* Steel against published figures, as a table: check, source, expected, got, tolerance. A check that fails with the
 * shipped laws is marked as a known miss; the test fails when a known miss starts to pass, so that the mark is taken
 * off.
 */
#include "hardness/autotemper.h"
#include "hardness/tempering.h"
#include "kinetics/clock.h"
#include "material/thermal.h"
#include "table.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static void within(const char *check, const char *source, double expected, double got, double tolerance) {
    row(check, source, expected, got, expected - tolerance, expected + tolerance, false);
}
static void factor(const char *check, const char *source, double expected, double got, double f) {
    row(check, source, expected, got, expected / f, expected * f, false);
}

static void missed(const char *check, const char *source, double expected, double got, double low, double high) {
    row(check, source, expected, got, low, high, true);
}

static cq_steel steel_of(double C, double Mn, double Si, double Cr, double grain) {
    return (cq_steel){
        .composition_wt = {.C = C, .Mn = Mn, .Si = Si, .Cr = Cr}, .grain_ASTM = grain, .time_factor = 1.0};
}

static cq_soak soaked(const cq_steel *steel, double temperature_K, double hold_s) {
    const cq_soak_wish wish = {temperature_K, hold_s, CQ_STOCK_NORMALISED};
    return cq_soak_of(steel, &wish);
}

/* Time at T until `share` of the austenite is gone. */
static double isothermal(const cq_clock *k, double T_C, double share) {
    const cq_half_times half = cq_clock_half_times(k, T_C + 273.15);
    double low = 1e-4, high = 1e7;
    for (int n = 0; n < 80; n++) {
        const double t = sqrt(low * high),
                     Y = log(2.0) * (pow(t / half.pearlite_s, 4.0) + pow(t / half.bainite_s, 1.8));
        *(1.0 - exp(-Y) < share ? &low : &high) = t;
    }
    return low;
}

static void isothermal_and_continuous(void) {
    const cq_steel steel = steel_of(0.79, 0.76, 0.20, 0.0, 6.0);
    const cq_soak soak = {0.79, 0.0, 6.0, 1.0, 0.0};
    cq_clock *k;
    if (cq_clock_create(&k, &steel, &soak, NULL) != CQ_OK) {
        failures++;
        return;
    }
    /* K01, K02: regressions on the constants, 1 % (second program that shares no code) */
    within("1080 540 C 50 % s", "second program", 3.20, isothermal(k, 540, 0.5), 0.032);
    within("1080 650 C 50 % s", "second program", 18.7, isothermal(k, 650, 0.5), 0.19);
    within("1080 650 C 1 % s", "second program", 6.49, isothermal(k, 650, 0.01), 0.065);
    within("1080 350 C 1 % s", "second program", 12.9, isothermal(k, 350, 0.01), 0.13);
    within("1080 350 C 50 % s", "second program", 135, isothermal(k, 350, 0.5), 1.35);
    within("1080 rate for 1 %, K/s", "second program", 165, cq_clock_critical_rate(k, &soak, 1073.15, 0.01), 1.7);
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
    within("1080 rate for 3 % pearlite, K/s", "[callister2008] 11.28", 140.0,
           cq_clock_critical_rate(k, &soak, 1073.15, 0.03), 42.0);
    within("1080 rate for 3 % martensite, K/s", "[callister2008] 11.28", 35.0,
           cq_clock_critical_rate(k, &soak, 1073.15, 0.97), 10.5);
    within("1080 Ms, C", "[callister2008]", 215.0, cq_clock_criticals(k).Ms_K - 273.15, 12.0);
    cq_clock_free(k);
    const cq_steel clean = steel_of(0.60, 0.0, 0.0, 0.0, 8.0);
    const cq_soak clean_soak = {0.60, 0.0, 8.0, 1.0, 0.0};
    if (cq_clock_create(&k, &clean, &clean_soak, NULL) == CQ_OK) {
        within("no Mn, no Si: rate for 50 %, K/s", "second program", 1188,
               cq_clock_critical_rate(k, &clean_soak, 1073.15, 0.5), 12);
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
    within("1 h 200 C = 10 s 269.3 C", "[hollomon1945]", cq_temper_parameter(0.0, &hour, 1),
           cq_temper_parameter(0.0, &short_one, 1), 0.004);
    within("1 h 200 C = 24 h 169.5 C", "[hollomon1945]", cq_temper_parameter(0.0, &hour, 1),
           cq_temper_parameter(0.0, &day, 1), 0.004);
    const cq_phase_thermal a = cq_thermal_of(CQ_AUSTENITE), p = cq_thermal_of(CQ_PEARLITE);
    const double L = cq_thermal_enthalpy(&a, 923.15) - cq_thermal_enthalpy(&p, 923.15);
    within("heat of pearlite at 650 C, kJ/kg", "[hagel1956]", 82.0, L / 7800.0 / 1e3, 8.2);
}

static void hardness_and_temper(void) {
    const struct {
        const char *name;
        cq_steel steel;
        double soak_C, HRC;
    } quenched[] = {{"1080 as quenched, HRC", steel_of(0.79, 0.76, 0.2, 0, 8), 800, 65},
                    {"1095 as quenched, HRC", steel_of(0.95, 0.4, 0.2, 0, 8), 800, 66}};
    for (int n = 0; n < 2; n++) {
        const cq_soak s = soaked(&quenched[n].steel, quenched[n].soak_C + 273.15, 300);
        const double RA = exp(-cq_martensite_rate_per_K(&quenched[n].steel.composition_wt, s.carbon_solution_wt) *
                              (cq_martensite_start_C(&quenched[n].steel.composition_wt, s.carbon_solution_wt) - 20.0));
        const double fraction[CQ_PHASES] = {[CQ_AUSTENITE] = RA, [CQ_MARTENSITE] = 1.0 - RA};
        within(quenched[n].name, "[asm-heat-treater]", quenched[n].HRC,
               cq_hardness_HRC(cq_hardness_mixture_HV(
                   &quenched[n].steel, &(cq_matrix){.carbon_solution_wt = s.carbon_solution_wt, .carbide = s.carbide},
                   fraction, 0.0)),
               1.5);
    }
    const cq_composition c1095 = {.C = 0.95, .Mn = 0.4, .Si = 0.2}, c1080 = {.C = 0.79, .Mn = 0.76, .Si = 0.2};
    const struct {
        const char *name;
        const cq_composition *c;
        double aq, T_C, HRC;
    } tempers[] = {{"1095 1 h 204 C, HRC", &c1095, 66, 204, 62.5},
                   {"1095 1 h 260 C, HRC", &c1095, 66, 260, 59.5},
                   {"1095 1 h 316 C, HRC", &c1095, 66, 316, 55.5},
                   {"1080 1 h 204 C, HRC", &c1080, 65, 204, 60.5},
                   {"1080 1 h 260 C, HRC", &c1080, 65, 260, 55.5}};
    for (int n = 0; n < 5; n++) {
        const cq_temper t = {tempers[n].T_C + 273.15, 3600.0};
        const double got =
            cq_temper_martensite_HRC(tempers[n].c, tempers[n].c->C, tempers[n].aq, cq_temper_parameter(0.0, &t, 1));
        within(tempers[n].name, "[asm-heat-treater]", tempers[n].HRC, got, 2.5); /* two tables differ by 2-4 HRC */
    }
}

/* A history of one small piece: it jumps to each temperature and stays, or falls evenly; then it is quenched to 20
 * degC. */
typedef struct piece {
    const cq_steel *steel;
    cq_soak soak;
    cq_clock *clock;
    cq_structure now, next;
} piece;

static bool piece_begin(piece *p, const cq_steel *steel, cq_soak soak) {
    *p = (piece){.steel = steel, .soak = soak};
    if (cq_clock_create(&p->clock, steel, &soak, NULL) != CQ_OK || cq_structure_create(&p->now, 1) != CQ_OK ||
        cq_structure_create(&p->next, 1) != CQ_OK) {
        failures++;
        return false;
    }
    cq_structure_begin(&p->now, 0, 1, &p->soak, 1073.15);
    return true;
}
static void piece_end(piece *p) {
    cq_structure_free(&p->now);
    cq_structure_free(&p->next);
    cq_clock_free(p->clock);
}
static void piece_step(piece *p, double middle_K, double end_K, double dt_s) {
    double slope;
    cq_kinetics_step(p->clock, &p->now, &p->next, 0, 1, &middle_K, dt_s);
    cq_martensite_step(p->clock, &p->now, &p->next, 0, 1, &end_K, &slope);
    const cq_structure swap = p->now;
    p->now = p->next;
    p->next = swap;
}
static void piece_cool(piece *p, double from_K, double to_K, double rate_K_s) {
    for (double T = from_K; T > to_K; T -= 1.0) { /* K03: steps of 1 K are exact to 1e-4 */
        piece_step(p, T - 0.5, T - 1.0, 1.0 / rate_K_s);
    }
}
static double piece_share(const piece *p, cq_phase phase) {
    return p->now.fraction[phase][0];
}
static double piece_HV(const piece *p) {
    double fraction[CQ_PHASES];
    for (int n = 0; n < CQ_PHASES; n++) {
        fraction[n] = p->now.fraction[n][0];
    }
    return cq_hardness_mixture_HV(
        p->steel, &(cq_matrix){.carbon_solution_wt = p->soak.carbon_solution_wt, .carbide = p->soak.carbide}, fraction,
        p->now.hard_HV[0]);
}

static const cq_steel steel_1080 = {
    .composition_wt = {.C = 0.79, .Mn = 0.76, .Si = 0.20}, .grain_ASTM = 6.0, .time_factor = 1.0};
static const cq_soak soak_1080 = {0.79, 0.0, 6.0, 1.0, 0.0};

static double bainite_after(double hold_C, double for_s) {
    piece p;
    if (!piece_begin(&p, &steel_1080, soak_1080)) {
        return NAN;
    }
    piece_step(&p, hold_C + 273.15, hold_C + 273.15, for_s);
    piece_step(&p, 293.15, 293.15, 1.0);
    const double share = piece_share(&p, CQ_BAINITE);
    piece_end(&p);
    return share;
}

static void holds_and_quenches(void) {
    /* K05: the middle one from memory (40 % bainite), the others follow from the printed start and end at 350 degC */
    row("1080 400 C 20 s, quenched: bainite", "[uss1951], memory", 0.40, bainite_after(400, 20), 0.25, 0.50, false);
    row("1080 400 C 2 s, quenched: bainite", "[uss1951], memory", 0.0, bainite_after(400, 2), 0.0, 0.03, false);
    row("1080 400 C 200 s, quenched: bainite", "[uss1951], memory", 1.0, bainite_after(400, 200), 0.97, 1.0, false);
    /* C08: a worked example says none and all; 3 % is what a microscope would miss */
    row("1080 250 C 100 s, quenched: bainite", "[callister2008]", 0.0, bainite_after(250, 100), 0.0, 0.03, false);
    row("1080 350 C 1e4 s, quenched: bainite", "[callister2008]", 1.0, bainite_after(350, 1e4), 0.97, 1.0, false);
    /* every row of the isothermal table, as far as it can be trusted itself */
    FILE *file = data_open("isothermal_1080.csv");
    piece p;
    if (file == NULL || !piece_begin(&p, &steel_1080, soak_1080)) {
        return;
    }
    double T_C, half_s, f;
    int rows = 0;
    while (fscanf(file, "%lf,%lf,%lf", &T_C, &half_s, &f) == 3) {
        char name[64];
        snprintf(name, sizeof name, "1080 %.0f C half, s", T_C);
        const double got = isothermal(p.clock, T_C, 0.5);
        /* 700 degC is three times slow: it matters for annealing only */
        row(name, f < 2.0 ? "[callister2008]" : "[uss1951], memory", half_s, got, half_s / f, half_s * f, T_C > 690.0);
        rows++;
    }
    rows_expected("isothermal_1080.csv", 11, rows);
    fclose(file);
    piece_end(&p);
}

/* K10: pearlite finer and harder the faster it is cooled; HRC estimated apart from the isothermal column, 3 points as
 * two of its readings may be wrong by. */
static void continuous_pearlite(void) {
    const double rate[] = {20, 5, 1}, HRC[] = {39, 36, 32};
    double before = 1e9;
    for (int n = 0; n < 3; n++) {
        piece p;
        char name[64];
        if (!piece_begin(&p, &steel_1080, soak_1080)) {
            return;
        }
        piece_cool(&p, 1073.15, 293.15, rate[n]);
        snprintf(name, sizeof name, "1080 cooled at %.0f K/s, HRC", rate[n]);
        const double HV = piece_HV(&p);
        within(name, "[uss1951], memory", HRC[n], cq_hardness_HRC(HV), 3.0);
        if (n > 0) {
            row("  and softer than the faster one, HV", "order", before, HV, 100.0, fmin(before, n == 2 ? 340.0 : 1e9),
                false);
        }
        before = HV;
        piece_end(&p);
    }
}

static double rate_for_half(cq_steel steel) {
    const cq_soak soak = {steel.composition_wt.C, 0.0, steel.grain_ASTM, 1.0, 0.0};
    cq_clock *k;
    if (cq_clock_create(&k, &steel, &soak, NULL) != CQ_OK) {
        failures++;
        return NAN;
    }
    const double rate = cq_clock_critical_rate(k, &soak, 1123.15, 0.5);
    cq_clock_free(k);
    return rate;
}

static void hardenability(void) {
    /* K07: grain by 2^(4/4), band between Grossmann's 0.19 and 0.32 of a later law; residuals from what end-quench bars
     * need */
    const double grain =
        rate_for_half(steel_of(0.79, 0.76, 0.2, 0, 8)) / rate_for_half(steel_of(0.79, 0.76, 0.2, 0, 4));
    row("1080 grain 4 to 8: rate for 50 %, ratio", "[grossmann1942], memory", 2.0, grain, 1.6, 2.8, false);
    const cq_steel pure = steel_of(0.45, 0.75, 0.22, 0, 7);
    cq_steel usual = pure;
    usual.composition_wt.Cr = 0.08, usual.composition_wt.Ni = 0.06, usual.composition_wt.Mo = 0.01;
    row("1045 without / with residuals, ratio", "[clayquench-fit]", 1.7, rate_for_half(pure) / rate_for_half(usual),
        1.3, 2.2, false);
    /* C11: heats against their common mean; 1.5 in rate is 1.3 in diameter, what two heats of one name may differ by */
    FILE *file = data_open("w_steel_brine.csv");
    if (file == NULL) {
        return;
    }
    enum { MOST = 16 };
    double ratio[MOST], got[MOST], seen[MOST], mean = 0.0, diameter;
    int heat[MOST], n = 0;
    cq_steel s = steel_of(0, 0, 0, 0, 8);
    cq_composition *c = &s.composition_wt;
    while (n < MOST && fscanf(file, "%d,%lf,%lf,%lf,%lf,%lf,%lf,%lf,%lf", &heat[n], &c->C, &c->Mn, &c->Si, &c->Cr,
                              &c->Ni, &c->Mo, &diameter, &seen[n]) == 9) {
        const cq_soak soak = soaked(&s, 1063.15, 1200.0);
        cq_clock *k;
        if (cq_clock_create(&k, &s, &soak, NULL) != CQ_OK) {
            failures++;
            break;
        }
        got[n] = cq_clock_critical_rate(k, &soak, 1063.15, 0.5);
        cq_clock_free(k);
        ratio[n] = got[n] / seen[n];
        mean += log(ratio[n]);
        n++;
    }
    fclose(file);
    rows_expected("w_steel_brine.csv", 7, n);
    mean = exp(mean / n);
    for (int i = 0; i < n; i++) {
        char name[64];
        snprintf(name, sizeof name, "W heat %d: rate for 50 %%, over the mean", heat[i]);
        factor(name, "[roberts1998], fitted", seen[i], got[i] / mean, 1.5);
        if (i > 0 && seen[i] < seen[i - 1]) {
            row("  and below the heat before", "order", got[i - 1], got[i], 0.0, got[i - 1], false);
        }
    }
}

/* Hardness and retained austenite of martensite alone, quenched to 20 degC. */
static double quenched_HRC(const cq_steel *steel, double carbon, double carbide, double *RA) {
    *RA = exp(-cq_martensite_rate_per_K(&steel->composition_wt, carbon) *
              (cq_martensite_start_C(&steel->composition_wt, carbon) - 20.0));
    const double fraction[CQ_PHASES] = {[CQ_AUSTENITE] = *RA, [CQ_MARTENSITE] = 1.0 - *RA};
    return cq_hardness_HRC(
        cq_hardness_mixture_HV(steel, &(cq_matrix){.carbon_solution_wt = carbon, .carbide = carbide}, fraction, 0.0));
}

static void carbon_in_solution(void) {
    /* K08: carbon in solution against depth, not hardness; austenite from the law above on another route, 3 points as
     * measured values of one steel scatter by */
    const cq_steel s95 = steel_of(0.95, 0.40, 0.20, 0, 8);
    const double carbon[] = {0.77, 0.92, 0.95}, RA_seen[] = {0.06, 0.12, 0.13};
    double low = 1e9, high = 0.0, RA;
    for (int n = 0; n < 3; n++) {
        const double HRC = quenched_HRC(&s95, carbon[n], (0.95 - carbon[n]) / (6.67 - carbon[n]), &RA);
        within("1095, 0.77/0.92/0.95 % dissolved: austenite", "[vanbohemen2012], memory", RA_seen[n], RA, 0.03);
        row("  HRC", "[asm-heat-treater]", 65.0, HRC, 64.0, 66.5, false);
        low = fmin(low, HRC), high = fmax(high, HRC);
    }
    row("  HRC, largest less least", "[asm-heat-treater]", 0.0, high - low, 0.0, 1.0, false);
    /* C16: ranges of trade sheets, 1.5 beside them for tester and heat */
    cq_steel s52100 = steel_of(1.00, 0.35, 0.25, 1.45, 9), sO1 = steel_of(0.92, 1.2, 0.3, 0.5, 9);
    sO1.composition_wt.W = 0.5;
    const cq_soak b = soaked(&s52100, 845 + 273.15, 1800.0), o = soaked(&sO1, 1073.15, 900.0);
    row("52100 from 845 C, HRC", "society's page", 65.5, quenched_HRC(&s52100, b.carbon_solution_wt, b.carbide, &RA),
        62.5, 68.5, false);
    row("O1 from 800 C, HRC", "supplier's sheets", 64.5, quenched_HRC(&sO1, o.carbon_solution_wt, o.carbide, &RA), 62.5,
        66.5, false);
    /* Chromium's carbide dissolves slowly and less of it; the soak's equilibrium is that of plain carbon steel. From
     * memory. */
    missed("52100 from 845 C, carbon dissolved, %", "practice, memory", 0.62, b.carbon_solution_wt, 0.55, 0.70);
}

/* C15: 100 % martensite by the A255 polynomial (58.6 and 64.3), 0.5 and 1 point as the table is joined there; half
 * martensite and half fine pearlite formed at 540 degC against the 50 % column (44.7 and 50.7): hardness mixes in HV
 * only roughly, 4. */
static void martensite_by_carbon(void) {
    const double carbon[] = {0.45, 0.60}, whole[] = {58.6, 64.3}, half[] = {44.7, 50.7}, allowed[] = {0.5, 1.0};
    for (int n = 0; n < 2; n++) {
        const cq_steel s = steel_of(carbon[n], 0.75, 0.2, 0, 7);
        const double f[CQ_PHASES] = {[CQ_PEARLITE] = 0.5, [CQ_MARTENSITE] = 0.5};
        const double formed = 0.5 * cq_hardness_pearlite_HV(&s.composition_wt, 540 + 273.15);
        within("all martensite at 0.45, 0.60 % C, HRC", "[asm-a255]", whole[n],
               cq_hardness_HRC(cq_hardness_martensite_HV(carbon[n])), allowed[n]);
        within("half martensite, HRC", "[asm-a255]", half[n],
               cq_hardness_HRC(
                   cq_hardness_mixture_HV(&s, &(cq_matrix){.carbon_solution_wt = carbon[n], .carbide = 0}, f, formed)),
               4.0);
    }
}

/* Every row of the tempering tables. 2.5: the two tables of 1095 differ by 2 to 4 themselves, so the second misses. O1
 * misses at 649 degC, where its table does not say whether the temper took one hour, as taken here, or two. */
static void tempering_tables(void) {
    FILE *file = data_open("tempering_hardness.csv");
    if (file == NULL) {
        return;
    }
    char steel[16];
    double aq, T_C, hours, HRC, sum = 0.0, worst = 0.0;
    int rows = 0, second = 0;
    while (fscanf(file, "%15[^,],%lf,%lf,%lf,%lf ", steel, &aq, &T_C, &hours, &HRC) == 5) {
        const cq_composition c = strcmp(steel, "1080") == 0 ? (cq_composition){.C = 0.79, .Mn = 0.76, .Si = 0.2}
                                 : strcmp(steel, "O1") == 0
                                     ? (cq_composition){.C = 0.90, .Mn = 1.2, .Si = 0.3, .Cr = 0.5, .W = 0.5}
                                     : (cq_composition){.C = 0.95, .Mn = 0.4, .Si = 0.2};
        const cq_temper t = {T_C + 273.15, 3600.0 * hours};
        const double got = cq_temper_martensite_HRC(&c, c.C, aq, cq_temper_parameter(0.0, &t, 1));
        char name[64];
        snprintf(name, sizeof name, "%s tempered at %.0f C, HRC", steel, T_C);
        if (strcmp(steel, "1095b") == 0) {
            sum += (got - HRC) * (got - HRC), worst = fmax(worst, fabs(got - HRC));
            second++;
        } else {
            const bool is_O1 = strcmp(steel, "O1") == 0;
            row(name, is_O1 ? "supplier's table" : "[asm-heat-treater]", HRC, got, HRC - 2.5, HRC + 2.5,
                is_O1 && T_C > 640.0);
        }
        rows++;
    }
    rows_expected("tempering_hardness.csv", 33, rows);
    fclose(file);
    missed("1095, second table: rms, HRC", "kiln maker's table", 0.0, sqrt(sum / second), 0.0, 2.5);
    missed("1095, second table: worst, HRC", "kiln maker's table", 0.0, worst, 0.0, 2.5);
    const cq_composition c40 = {.C = 0.40, .Mn = 0.75, .Si = 0.2}; /* K12 */
    const cq_temper hot = {538 + 273.15, 3600.0};
    within("0.4 % C tempered at 538 C, HRC", "memory", 31.5,
           cq_temper_martensite_HRC(&c40, 0.4, 56.0, cq_temper_parameter(0.0, &hot, 1)), 2.5);
}

/* Rate for 50 % of a steel with usual residuals after a soak. */
static double rate_after(cq_steel steel, double soak_C, double hold_s, cq_stock stock) {
    steel.composition_wt.Cr += 0.08, steel.composition_wt.Ni += 0.06, steel.composition_wt.Mo += 0.01;
    const cq_soak_wish wish = {soak_C + 273.15, hold_s, stock};
    const cq_soak soak = cq_soak_of(&steel, &wish);
    cq_clock *k;
    if (cq_clock_create(&k, &steel, &soak, NULL) != CQ_OK) {
        failures++;
        return NAN;
    }
    const double rate = cq_clock_critical_rate(k, &soak, wish.temperature_K, 0.5);
    cq_clock_free(k);
    return rate;
}

/* S3, S4, and the ladder of spheroidised against normalised stock. The second program counts one carbon content where
 * this one means five: 10 % where the last carbide goes. */
static void soaks(void) {
    const cq_steel s95 = steel_of(0.95, 0.40, 0.20, 0.0, 7.0), W1 = steel_of(1.00, 0.25, 0.20, 0.0, 8.5);
    const double T_C[] = {760, 790, 815}, rate[] = {197, 153, 114};
    const double at_760 = rate_after(s95, 760, 900, CQ_STOCK_NORMALISED);
    for (int n = 1; n < 3; n++) {
        row("1095 15 min 790, 815 C: rate over that of 760", "second program", rate[n] / rate[0],
            rate_after(s95, T_C[n], 900, CQ_STOCK_NORMALISED) / at_760, 0.9 * rate[n] / rate[0],
            1.1 * rate[n] / rate[0], false);
    }
    /* Shepherd penetration of W1 from 788 and 871 degC, 1.4 to 1.7 in depth, from memory; through diameter = t^0.6 */
    row("W1 15 min, rate at 790 over 870 C", "[roberts1998], memory", 1.9,
        rate_after(W1, 790, 900, CQ_STOCK_NORMALISED) / rate_after(W1, 870, 900, CQ_STOCK_NORMALISED), 1.5, 2.5, false);
    const cq_steel shallow =
        steel_of(1.26, 0.13, 0.20, 0.0, 8.5); /* penetration 5/64 in at 790, 5 to 6/64 at 870 degC */
    row("1.26C-0.13Mn: diameter at 870 over 790 C", "[roberts1998] T7-4", 1.09,
        pow(rate_after(shallow, 790, 900, CQ_STOCK_SPHEROIDISED_FINE) /
                rate_after(shallow, 870, 900, CQ_STOCK_SPHEROIDISED_FINE),
            0.6),
        1.0, 1.25, false);
    within("1095 5 min 800 C: spheroidised over normalised", "second program", 184.0 / 126.0,
           rate_after(s95, 800, 300, CQ_STOCK_SPHEROIDISED_FINE) / rate_after(s95, 800, 300, CQ_STOCK_NORMALISED),
           0.15);
    within("W1 5 min 740 C: spheroidised, K/s", "second program", 529,
           rate_after(W1, 740, 300, CQ_STOCK_SPHEROIDISED_FINE), 53);
    const cq_soak_wish lean = {760 + 273.15, 900.0, CQ_STOCK_NORMALISED};
    const cq_steel s45 = steel_of(0.45, 0.75, 0.20, 0.08, 8.0);
    const cq_soak part = cq_soak_of(&s45, &lean);
    within("0.45C 15 min at 760 C: austenite", "second program", 0.87, part.austenite, 0.03);
    within("  and its carbon, %", "second program", 0.52, part.carbon_solution_wt, 0.02);
}

/* What martensite of carbon C loses between cooling at 200 and at `rate` K/s from its start to 20 degC. */
static double self_tempering(double C, double rate_K_s) {
    const cq_steel steel = steel_of(C, 0.75, 0.2, 0.0, 8.0);
    const double Ms_K = cq_martensite_start_C(&steel.composition_wt, C) + 273.15,
                 alpha = cq_martensite_rate_per_K(&steel.composition_wt, C);
    cq_autotemper state;
    if (cq_autotemper_create(&state, 1) != CQ_OK) {
        failures++;
        return NAN;
    }
    double M = 0.0;
    for (double T = Ms_K; T > 293.15; T -= 1.0) {
        const double next = T - 1.0, M_next = 1.0 - exp(-alpha * (Ms_K - next));
        cq_autotemper_step(&state, &T, &next, &M, &M_next, 1.0 / rate_K_s);
        M = M_next;
    }
    const cq_formation formation = {Ms_K, alpha, 1.0};
    const double loss =
        cq_autotemper_of(&state, 0, &steel, C, cq_hardness_HRC(cq_hardness_martensite_HV(C)), M, &formation).loss_HRC;
    cq_autotemper_free(&state);
    return loss;
}

/* K11: an estimate made apart, with the parameter of [hollomon1945] itself and eight cohorts, half to one and a half of
 * it. */
static void self_tempering_by_carbon(void) {
    const double carbon[] = {0.4, 0.6, 0.8, 0.92}, loss[] = {3.5, 2.3, 0.9, 0.3};
    double before = 100.0;
    for (int n = 0; n < 4; n++) {
        const double got = self_tempering(carbon[n], 1.0);
        row("self-tempering at 1 K/s, HRC lost", "second program", loss[n], got, 0.5 * loss[n], 1.5 * loss[n], false);
        row("  less in the richer steel", "order", before, got, 0.0, before, false);
        before = got;
    }
    within("self-tempering at 200 K/s, HRC lost", "by definition", 0.0, self_tempering(0.6, 200.0), 0.02);
}

int main(void) {
    printf("%-44s %-22s %9s %9s   %s\n", "check", "source", "expected", "got", "accepted");
    formulas();
    isothermal_and_continuous();
    holds_and_quenches();
    continuous_pearlite();
    hardenability();
    hardness_and_temper();
    carbon_in_solution();
    martensite_by_carbon();
    tempering_tables();
    self_tempering_by_carbon();
    soaks();
    return failures != 0;
}
