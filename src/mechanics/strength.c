/* strength.c - see strength.h. One set of numbers for every steel and every case.
 *
 * Yield, stiffness, hardening: from memory, of handbook curves of austenite, fine pearlite and martensite; results
 * hardly depend on those of pearlite and martensite. Transformation plasticity [greenwood1965] in the form of
 * [leblond1989]; the literature's 4 to 8e-5 (pearlite), 6 to 10e-5 (bainite), 5 to 7e-5 per MPa (martensite) are from
 * memory, of steels with less carbon. For martensite about half of them is taken: chosen here on the signs of curves
 * and on the compression found on hard edges, and on no figure of a single case.
 */
#include "mechanics/strength.h"

#include <math.h>

static const double ZERO_C_K = 273.15;
static const double KEEPS_COLD_C = 500.0, KEEPS_HOT_C = 750.0, KEEPS_LEAST = 0.05; /* chosen here: recovery when hot */

/* degC, MPa (stiffness: GPa); from memory. */
static const double STIFFNESS[][2] = {{-100, 212}, {20, 206},  {200, 195}, {400, 178},
                                      {600, 150},  {800, 115}, {1000, 95}};
static const double AUSTENITE[][2] = {{0, 240}, {200, 190}, {400, 140}, {600, 95}, {700, 75}, {800, 50}, {900, 32}};
static const double PEARLITE[][2] = {{0, 600}, {200, 520}, {400, 420}, {500, 330}, {600, 200}, {700, 80}, {800, 32}};
static const double MARTENSITE[][2] = {{0, 1800}, {200, 1500}, {300, 1300}, {450, 900}, {600, 400}, {800, 200}};
static const double HARDENING_Pa[CQ_STRONGS] = {2e9, 4e9, 20e9};           /* from memory */
static const double AUSTENITE_per_K = 23.1e-6, MARTENSITE_per_K = 12.0e-6; /* from memory: 21-24, 11.5-13 */

static double between(const double table[][2], int n, double T_C) {
    if (T_C <= table[0][0]) {
        return table[0][1];
    }
    for (int i = 1; i < n; i++) {
        if (T_C <= table[i][0]) {
            const double u = (T_C - table[i - 1][0]) / (table[i][0] - table[i - 1][0]);
            return table[i - 1][1] + u * (table[i][1] - table[i - 1][1]);
        }
    }
    return table[n - 1][1];
}

#define AT(table, T_C) between(table, (int)(sizeof(table) / sizeof(table)[0]), T_C)

/* Expansion of ferritic steel from 20 degC, without the arrest that the standard's curve has. Source: [en1993-1-2]. */
static double ferritic_strain(double T_C) {
    return T_C * (1.2e-5 + 0.4e-8 * T_C) - 2.416e-4;
}

static double node_C(int n) {
    return CQ_STRENGTH_FIRST_K - ZERO_C_K + CQ_STRENGTH_PITCH_K * n;
}

static double keeps_at(double T_C) {
    const double u = (T_C - KEEPS_COLD_C) / (KEEPS_HOT_C - KEEPS_COLD_C);
    return fmin(1.0, fmax(KEEPS_LEAST, 1.0 - u));
}

void cq_strength_of_steel(cq_strength *strength) {
    for (int n = 0; n < CQ_STRENGTH_NODES; n++) {
        const double T = node_C(n);
        strength->node[n] =
            (cq_strength_node){1e9 * AT(STIFFNESS, T),
                               {1e6 * AT(AUSTENITE, T), 1e6 * AT(PEARLITE, T), 1e6 * AT(MARTENSITE, T)},
                               {AUSTENITE_per_K * (T - 20.0), ferritic_strain(T), MARTENSITE_per_K * (T - 20.0)},
                               keeps_at(T)};
    }
    for (int p = 0; p < CQ_STRONGS; p++) {
        strength->hardening_Pa[p] = HARDENING_Pa[p];
    }
}

void cq_strength_of_inert(cq_strength *strength, double expansion_per_K, const cq_table *yield_Pa) {
    for (int n = 0; n < CQ_STRENGTH_NODES; n++) {
        const double T = node_C(n), yield = cq_table_eval(yield_Pa, T + ZERO_C_K, NULL),
                     strain = expansion_per_K * (T - 20.0);
        strength->node[n] =
            (cq_strength_node){1e9 * AT(STIFFNESS, T), {yield, yield, yield}, {strain, strain, strain}, keeps_at(T)};
    }
    for (int p = 0; p < CQ_STRONGS; p++) {
        strength->hardening_Pa[p] = HARDENING_Pa[CQ_STRONG_AUSTENITE];
    }
}

double cq_strength_soft_growth(double carbon_wt) {
    return 0.01 / 3.0 * (4.64 - 2.21 * carbon_wt);
}

double cq_strength_martensite_growth(double carbon_wt) {
    return 0.01 / 3.0 * (4.64 - 0.53 * carbon_wt);
}

double cq_strength_softness(cq_phase product) {
    static const double per_Pa[CQ_PHASES] = {
        [CQ_FERRITE] = 6e-11, [CQ_PEARLITE] = 6e-11, [CQ_BAINITE] = 8e-11, [CQ_MARTENSITE] = 3.5e-11};
    return per_Pa[product];
}
