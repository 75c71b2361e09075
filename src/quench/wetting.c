/* wetting.c - how a bath takes hold of the faces and lets go: entry at a speed, water the clay carries out.
 *
 * Entry. A face is wetted as the bath's surface passes from its lower to its upper end: its flux is shared between what
 * it saw before and the bath, in proportion. That is the only width a wetting front has along the height; how far
 * liquid runs ahead of it on a hot face is not modelled.
 *
 * Water carried out. A face that liquid wets takes a film of it along, and a coat holds water in its pores wherever it
 * is colder than boiling; the hotter part is dry, and under a vapour blanket nothing clings. In air that water boils
 * off first: the face gives off what keeps it at boiling (plus what the law of the air takes) until the water is spent.
 * These are assumptions: no measurement on clay was found. While the body is hot the coat's outer face boils, so its
 * pores hold next to nothing.
 */
#include "quench/run.h"

#include "base/memory.h"

#include <math.h>

static const double BOILING_K = 373.15;
static const double STEAM_W_m2K = 1e4; /* of a drying face above boiling: holds it within some kelvin of it; chosen
                                        * here, only large against what clay conducts */
static const double ON_CLAY_M = 0.1e-3,
                    ON_STEEL_M = 0.02e-3; /* film that clings: drag-out of plating shops is 0.05 to 0.2
                                           * l/m2 on rough and shaped parts, from memory; smooth steel sheds it */
static const double WATER_kg_m3 = 960.0, EVAPORATION_J_kg = 2.257e6; /* at 100 degC [incropera2007], from memory */

cq_status cq_run_wetting_create(cq_run *run) {
    run->wetting = cq_memory_zero((size_t)cq_heat_ends(run->grid), sizeof *run->wetting);
    for (int e = 0; run->wetting != NULL && e < cq_heat_ends(run->grid); e++) {
        run->wetting[e].share = 1.0;
    }
    return run->wetting == NULL ? CQ_ERR_MEMORY : CQ_OK;
}

/* ---- entry ------------------------------------------------------------------------------------------------------- */

/* Heights between which an end's face lies; a flat has one height. */
static void height_of_end(const cq_run *run, int end, double *low, double *high) {
    const cq_grid *g = run->grid;
    if (end < 2 * g->along) {
        const int row = end / 2, j = end % 2 == CQ_SIDE_LEFT ? g->steel_j0 : g->steel_j1;
        *low = g->node_x_m[row * (g->across + 1) + j];
        *high = g->node_x_m[(row + 1) * (g->across + 1) + j];
    } else {
        *low = *high = (end - 2 * g->along) % 2 == 0 ? 0.0 : run->section->height_m;
    }
}

void cq_run_sweep(cq_run *run, const cq_step_plan *step, const cq_flux_law *before) {
    const bool sweeps = step->entry == CQ_ENTRY_EDGE_FIRST || step->entry == CQ_ENTRY_SPINE_FIRST;
    run->swept_until_s = run->heat->time_s;
    run->sweeping = sweeps;
    for (int e = 0; e < run->heat->ends_n; e++) {
        cq_run_wetting *w = &run->wetting[e];
        w->share = 1.0;
        w->dry_law = NULL;
        if (!sweeps || run->grid->one_dimensional || run->end_law[e] != run->law || !run->heat->ends[e].exposed) {
            continue;
        }
        double low, high;
        height_of_end(run, e, &low, &high);
        if (step->entry == CQ_ENTRY_SPINE_FIRST) {
            const double top = run->section->height_m, upper = high;
            high = top - low;
            low = top - upper;
        }
        w->dry_law = before;
        w->dry_face = (cq_flux_face){0.0, run->faces[e].emissivity};
        w->from_s = run->heat->time_s + fmax(0.0, low) / step->speed_m_s;
        w->to_s = run->heat->time_s + fmax(0.0, high) / step->speed_m_s;
        run->swept_until_s = fmax(run->swept_until_s, w->to_s);
    }
    cq_run_wet(run, run->heat->time_s);
}

void cq_run_wet(cq_run *run, double time_s) {
    if (!run->sweeping) {
        return;
    }
    for (int e = 0; e < run->heat->ends_n; e++) {
        cq_run_wetting *w = &run->wetting[e];
        if (w->dry_law != NULL) {
            w->share =
                time_s >= w->to_s ? 1.0 : (time_s <= w->from_s ? 0.0 : (time_s - w->from_s) / (w->to_s - w->from_s));
        }
    }
}

double cq_run_flux(const void *context, int end, double Ts_K, double *slope) {
    const cq_run *run = context;
    const cq_run_wetting *w = &run->wetting[end];
    double q = cq_flux_eval(run->end_law[end], &run->faces[end], Ts_K, slope);
    if (w->share < 1.0) {
        double dry_slope;
        const double dry = cq_flux_eval(w->dry_law, &w->dry_face, Ts_K, &dry_slope);
        q = w->share * q + (1.0 - w->share) * dry;
        *slope = w->share * *slope + (1.0 - w->share) * dry_slope;
    }
    if (w->water_J_m > 0.0 && Ts_K > BOILING_K) {
        q += STEAM_W_m2K * (Ts_K - BOILING_K);
        *slope += STEAM_W_m2K;
    }
    return q;
}

/* ---- water carried out ------------------------------------------------------------------------------------------- */

/* Pore volume of one row's coat that is colder than boiling, m3 per m of blade. */
static double cold_pores(const cq_run *run, int row, int side) {
    const cq_grid *g = run->grid;
    const cq_heat *h = run->heat;
    const int end = 2 * row + side, inward = side == CQ_SIDE_LEFT ? 1 : -1;
    const double film = side == CQ_SIDE_LEFT ? g->film_left_m[row] : g->film_right_m[row];
    if (film > 0.0 && h->surface_K[end] < BOILING_K) {
        return film * h->ends[end].area_m;
    }
    double cold = 0.0;
    int j = h->ends[end].cell - cq_heat_at(h, row, 0); /* from the outer face inward */
    while (j >= 0 && j < g->across && g->kind[row * g->across + j] == CQ_CELL_CLAY &&
           h->T[cq_heat_at(h, row, j)] < BOILING_K) {
        cold += g->area_m2[row * g->across + j];
        j += inward;
    }
    return cold;
}

double cq_run_carry_out(cq_run *run, const cq_flux_law *from) {
    double sum = 0.0;
    for (int end = 0; end < run->heat->ends_n; end++) {
        const cq_heat_end *e = &run->heat->ends[end];
        if (e->cell < 0 || !e->exposed || run->end_law[end] != from) {
            continue;
        }
        const double film_m = run->coat_m[end] > 0.0 ? ON_CLAY_M : ON_STEEL_M;
        double kg_m =
            WATER_kg_m3 * film_m * e->area_m * cq_flux_wetted(from, &run->faces[end], run->heat->surface_K[end]);
        if (end < 2 * run->grid->along) {
            kg_m += WATER_kg_m3 * run->plan->clay.porosity * cold_pores(run, end / 2, end % 2);
        }
        run->wetting[end].water_J_m = kg_m * EVAPORATION_J_kg;
        sum += kg_m;
    }
    run->drying = sum > 0.0;
    return run->grid->symmetric && !run->grid->one_dimensional ? 2.0 * sum : sum;
}

void cq_run_wash(cq_run *run) {
    for (int e = 0; e < run->heat->ends_n; e++) {
        run->wetting[e].water_J_m = 0.0;
    }
    run->drying = false;
}

/* After an accepted step. */
static void dry(cq_run *run, double dt_s) {
    bool left = false;
    for (int e = 0; e < run->heat->ends_n; e++) {
        cq_run_wetting *w = &run->wetting[e];
        if (w->water_J_m > 0.0) {
            const double above_K = fmax(0.0, run->heat->surface_K[e] - BOILING_K);
            w->water_J_m = fmax(0.0, w->water_J_m - STEAM_W_m2K * above_K * run->heat->ends[e].area_m * dt_s);
            left = left || w->water_J_m > 0.0;
        }
    }
    run->drying = left;
}

cq_status cq_run_after_step(cq_run *run, double dt_s, cq_error *error) {
    if (run->drying) {
        dry(run, dt_s);
    }
    run->sweeping = run->sweeping && run->heat->time_s < run->swept_until_s;
    return cq_run_warm(run, dt_s, error);
}
