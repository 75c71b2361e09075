/* soaks.c - what the soak left at each height and the clock that follows from it. One for the whole section where it is
 * evenly hot; one per row of cells where the spine is cooler than the edge.
 */
#include "quench/run.h"

#include "base/memory.h"
#include "base/units.h"

#include <math.h>
#include <stdio.h>

double cq_run_soak_K(const cq_run *run, double height_m) {
    const cq_heat_plan *heat = &run->plan->heat;
    if (heat->start_K > 0.0) {
        return heat->start_K;
    }
    const double share = run->grid->one_dimensional ? 0.0 : height_m / run->section->height_m;
    return heat->temperature_K - heat->spine_below_K * (share < 0.0 ? 0.0 : (share > 1.0 ? 1.0 : share));
}

static double row_height_m(const cq_run *run, int row) {
    const cq_grid *g = run->grid;
    const int node = (g->steel_i0 + row) * (g->across + 1) + g->steel_j0;
    return 0.5 * (g->node_x_m[node] + g->node_x_m[node + g->across + 1]);
}

/* What the heat leaves at a height: of the plan's stock, or of what the quench before left there. */
typedef struct soak_source {
    cq_soak reference, hardened, soft;
    double hardened_K; /* temperature they are of; 0: none yet */
} soak_source;

static cq_soak soak_at(const cq_run *run, soak_source *from, double temperature_K, double height_m) {
    const cq_plan *plan = run->plan;
    const cq_heat_plan *heat = &plan->heat;
    if (heat->start_K > 0.0) {
        return cq_soak_start(&plan->steel, heat->start_K);
    }
    cq_soak_wish wish = {temperature_K, heat->hold_s, heat->follows ? CQ_STOCK_QUENCHED : heat->stock};
    if (run->found.n == 0) {
        return cq_soak_against(&plan->steel, &wish, &from->reference);
    }
    if (fabs(temperature_K - from->hardened_K) > 0.0) {
        from->hardened = cq_soak_against(&plan->steel, &wish, &from->reference);
        wish.stock = CQ_STOCK_CYCLED;
        from->soft = cq_soak_against(&plan->steel, &wish, &from->reference);
        from->hardened_K = temperature_K;
    }
    return cq_soak_mixed(&from->hardened, &from->soft, cq_run_hardened_before(run, height_m));
}

cq_status cq_run_soaks_create(cq_run *run, cq_error *error) {
    const cq_plan *plan = run->plan;
    if (!run->transforming) {
        return CQ_OK;
    }
    const cq_grid *g = run->grid;
    const bool even =
        plan->heat.start_K > 0.0 || g->one_dimensional || (!(plan->heat.spine_below_K > 0.0) && run->found.n == 0);
    const int rows = g->steel_i1 - g->steel_i0;
    run->soaks_n = even ? 1 : rows;
    run->soaks = cq_memory_zero((size_t)run->soaks_n, sizeof *run->soaks);
    if (run->soaks == NULL) {
        return cq_error_say(error, CQ_ERR_MEMORY, "heat", "", "", "soak");
    }
    soak_source from = {.reference = cq_soak_reference(&plan->steel)};
    for (int n = 0; n < run->soaks_n; n++) {
        cq_run_soak *s = &run->soaks[n];
        const double height_m = even ? 0.0 : row_height_m(run, n);
        s->temperature_K = cq_run_soak_K(run, height_m);
        s->soak = soak_at(run, &from, s->temperature_K, height_m);
        const cq_status status = cq_clock_create(&s->clock, &plan->steel, &s->soak, error);
        if (status < 0) {
            return status;
        }
    }
    return CQ_OK;
}

void cq_run_soaks_free(cq_run *run) {
    for (int n = 0; run->soaks != NULL && n < run->soaks_n; n++) {
        cq_clock_free(run->soaks[n].clock);
    }
    cq_memory_free(run->soaks);
    run->soaks = NULL;
}

/* ---- notices ----------------------------------------------------------------------------------------------------- */

static void notice_composition(cq_run *run) {
    cq_element_range e[CQ_ELEMENT_RANGES];
    cq_composition_ranges(&run->plan->steel.composition_wt, e);
    for (int n = 0; n < CQ_ELEMENT_RANGES; n++) {
        if (!(e[n].value >= e[n].least && e[n].value <= e[n].most)) {
            cq_run_notice(run, "composition-range", 1,
                          "%.3g %% %s is outside what the laws were tested on, %g to %g %%", e[n].value, e[n].name,
                          e[n].least, e[n].most);
        }
    }
}

bool cq_diagram_misfit_words(const cq_steel *steel, char to[CQ_DIAGRAM_WORDS]) {
    if (steel->diagram.n == 0) {
        return false;
    }
    const double far = 2.0; /* what a chart on a logarithmic scale is read to, and more */
    const cq_diagram_fit f = cq_diagram_fit_of(steel);
    snprintf(to, CQ_DIAGRAM_WORDS,
             "measured halves hold; starts are %.2g to %.2g times and ends %.2g to %.2g times what the laws' "
             "exponents make of them",
             f.start_low, f.start_high, f.end_low, f.end_high);
    return f.start_low < 1.0 / far || f.start_high > far || f.end_low < 1.0 / far || f.end_high > far;
}

static void notice_temperature(cq_run *run, const cq_run_soak *at, const char *place) {
    const double above_Ac1_K = at->temperature_K - cq_clock_criticals(at->clock).Ae1_K;
    char Ac1[40];
    cq_temperature_text(cq_clock_criticals(at->clock).Ae1_K, Ac1, sizeof Ac1);
    if (!(at->soak.austenite > CQ_AUSTENITE_SEEN)) {
        cq_run_notice(run, "soak-too-cold", 1, "the %s does not turn to austenite and will not harden: Ac1 is %s",
                      place, Ac1);
    } else if (at->soak.austenite < CQ_AUSTENITE_WHOLE) {
        cq_run_notice(run, "soak-partial", 1,
                      "%.0f %% of the %s does not turn at this heat and stays soft: hard means half martensite or more "
                      "there, not all; soak hotter or longer",
                      100.0 * (1.0 - at->soak.austenite), place);
    } else if (above_Ac1_K < 25.0) {
        cq_run_notice(run, "soak-near-ac1", 1,
                      "the %s is soaked close to Ac1 (%s): what the eye or the pyrometer errs by decides", place, Ac1);
    }
}

void cq_run_soak_notices(cq_run *run) {
    const cq_heat_plan *heat = &run->plan->heat;
    if (!run->transforming) {
        return;
    }
    const cq_run_soak *edge = &run->soaks[0], *spine = &run->soaks[run->soaks_n - 1];
    notice_composition(run);
    char words[CQ_DIAGRAM_WORDS];
    if (cq_diagram_misfit_words(&run->plan->steel, words)) {
        cq_run_notice(run, "isothermal-shape", 1, "%s", words);
    }
    if (heat->start_K > 0.0) {
        cq_run_notice(run, "start-austenitic", 1,
                      "'start' takes the steel as fully austenitic with %.2f %% C in solution, ASTM grain 8",
                      edge->soak.carbon_solution_wt);
        return;
    }
    notice_temperature(run, edge, run->soaks_n > 1 ? "edge" : "steel");
    if (run->soaks_n > 1) {
        notice_temperature(run, spine, "spine");
    }
    if (edge->soak.carbide > 1e-3 && edge->soak.austenite > CQ_AUSTENITE_SEEN) {
        cq_run_notice(run, "carbide-left", 1, "%.1f %% carbide stays undissolved: %.2f %% C in solution",
                      100.0 * edge->soak.carbide, edge->soak.carbon_solution_wt);
    }
    if (edge->soak.grain_ASTM < run->plan->steel.grain_ASTM - 1.5) {
        cq_run_notice(run, "grain-coarse", 1,
                      "the grain grows to ASTM %.1f at this heat: brittle, and it hardens deeper",
                      edge->soak.grain_ASTM);
    }
    const bool spheroidised = heat->stock == CQ_STOCK_SPHEROIDISED_FINE || heat->stock == CQ_STOCK_SPHEROIDISED_COARSE;
    if (spheroidised && heat->hold_s < 600.0) {
        cq_run_notice(run, "soak-short", 1,
                      "spheroidised stock dissolves slowly: hold 10 minutes, or normalise it first");
    }
}
