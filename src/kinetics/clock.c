/* clock.c - the laws of one composition and soak, tabulated against temperature for the time loop. */
#include "kinetics/clock.h"

#include "base/memory.h"
#include "hardness/hardness.h"

#include <math.h>

static const double ZERO_C = 273.15;

cq_status cq_clock_create(cq_clock **clock, const cq_steel *steel, const cq_soak *soak, cq_error *error) {
    if (!cq_diagram_is_valid(&steel->diagram)) {
        return cq_error_say(error, CQ_ERR_ARGUMENT, "steel.isothermal", "rows in order", "", "a diagram out of order");
    }
    cq_clock *k = cq_memory_zero(1, sizeof *k);
    double *block = k == NULL ? NULL : cq_memory_zero(CQ_CLOCK_TABLES * CQ_CLOCK_NODES, sizeof(double));
    if (block == NULL) {
        cq_memory_free(k);
        return cq_error_say(error, CQ_ERR_MEMORY, "steel", "", "", "transformation rates");
    }
    cq_clock_tables *t = &k->tables;
    double **parts[] = {&t->pearlite,    &t->bainite,    &t->ferrite,      &t->ceiling,
                        &t->pearlite_HV, &t->bainite_HV, &t->upper_bainite};
    for (size_t p = 0; p < sizeof parts / sizeof parts[0]; p++) {
        *parts[p] = block + p * CQ_CLOCK_NODES;
    }
    k->law = cq_law_of(steel, soak);
    k->soak = *soak;
    k->Ms_C = cq_martensite_start_C(&k->law.c, soak->carbon_solution_wt) + steel->ms_shift_K;
    k->alpha = cq_martensite_rate_per_K(&k->law.c, soak->carbon_solution_wt);
    k->hottest_K = fmax(k->law.first_C, k->law.e.Ae1_C) + ZERO_C;
    k->proeutectoid_HV = (k->law.cementite ? CQ_CEMENTITE_HV : CQ_FERRITE_HV) - CQ_FERRITE_HV;
    const cq_equilibria e = cq_equilibria_of(&steel->composition_wt);
    k->criticals = (cq_criticals){e.Ae1_C + ZERO_C,     e.Ae3_C + ZERO_C, cq_acm_of(&steel->composition_wt) + ZERO_C,
                                  k->law.Bs_C + ZERO_C, k->Ms_C + ZERO_C, k->alpha};
    for (int n = 0; n < CQ_CLOCK_NODES; n++) {
        const double T_K = CQ_CLOCK_FIRST_K + n, T_C = T_K - ZERO_C, moves = T_K > CQ_CLOCK_COLDEST_K ? 1.0 : 0.0;
        t->pearlite[n] = moves / cq_law_pearlite_s(&k->law, T_C);
        t->bainite[n] = moves / cq_law_bainite_s(&k->law, T_C);
        t->ferrite[n] = moves / cq_law_proeutectoid_s(&k->law, T_C);
        t->ceiling[n] = cq_law_proeutectoid_ceiling(&k->law, T_C);
        t->pearlite_HV[n] = cq_hardness_pearlite_HV(&steel->composition_wt, T_K);
        t->bainite_HV[n] = cq_hardness_bainite_HV(&steel->composition_wt, soak->carbon_solution_wt, T_K);
        t->upper_bainite[n] = 1.0 / (1.0 + exp((T_C - 480.0) / 8.0)); /* label only: one curve in plain steels */
    }
    *clock = k;
    return CQ_OK;
}

void cq_clock_free(cq_clock *clock) {
    if (clock != NULL) {
        cq_memory_free(clock->tables.pearlite);
        cq_memory_free(clock);
    }
}

cq_criticals cq_clock_criticals(const cq_clock *k) {
    return k->criticals;
}

cq_half_times cq_clock_half_times(const cq_clock *k, double T_K) {
    const double T_C = T_K - ZERO_C;
    return (cq_half_times){cq_law_pearlite_s(&k->law, T_C), cq_law_bainite_s(&k->law, T_C),
                           cq_law_proeutectoid_s(&k->law, T_C)};
}
