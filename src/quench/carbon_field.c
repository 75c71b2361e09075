/* carbon_field.c - carbon between the zones of a section through its welding and forging heats.
 *
 *   dw/dt = div(D(T, w) grad w),   no carbon through the faces                                                     (1)
 * is solved by the heat solver on the section's own grid, finer than the quench's and so that every cell of that is
 * made of whole cells of this: w takes the place of the temperature and D that of the conductivity. A bar that was s
 * times thicker and taller in a heat is the finished section with D/s^2. Scale, and what it takes of the faces, are
 * the skin's affair.
 */
#include "quench/built.h"
#include "quench/zones.h"

#include "base/memory.h"
#include "conduction/heat.h"
#include "kinetics/carbon.h"

#include <math.h>
#include <string.h>

static const double PER_WT = 1e9;   /* makes D a number like a conductivity: the solver's smallest numbers are those of
                                       heat */
static const double ABOVE = 1000.0; /* the solver's unknown is w + ABOVE: it keeps its own above 150 */
static const double NO_CARBON = 1e-20; /* conductivity of clay */
static const double FIRST_S = 1e-3, TOLERANCE_WT = 3e-3, SMALLEST_S = 1e-6;
enum { SAMPLES = 4 }; /* along and across in a cell, to find its zones */

double cq_weld_thicker(const cq_plan *plan, const cq_weld_heat *heat) {
    return heat->thickness_m > 0.0 ? heat->thickness_m / plan->blade.spine_m : 1.0;
}

/* ---- the grid and what was laid together --------------------------------------------------------------------------
 */

/* A place in a cell, u along and v across from 0 to 1. */
static void place_in(const cq_grid *g, int i, int j, double u, double v, double *x_m, double *y_m) {
    const int a = i * (g->across + 1) + j, b = a + g->across + 1;
    *x_m = (1 - u) * ((1 - v) * g->node_x_m[a] + v * g->node_x_m[a + 1]) +
           u * ((1 - v) * g->node_x_m[b] + v * g->node_x_m[b + 1]);
    *y_m = (1 - u) * ((1 - v) * g->node_y_m[a] + v * g->node_y_m[a + 1]) +
           u * ((1 - v) * g->node_y_m[b] + v * g->node_y_m[b + 1]);
}

static void lay_cell(cq_carbon_field *f, const cq_plan *plan, const cq_section *section, int i, int j) {
    const cq_grid *g = f->grid;
    const size_t cells = (size_t)g->along * (size_t)g->across, cell = (size_t)i * (size_t)g->across + (size_t)j;
    const double part = 1.0 / (SAMPLES * SAMPLES);
    for (int n = 0; n < SAMPLES * SAMPLES; n++) {
        double x, y;
        place_in(g, i, j, (n / SAMPLES + 0.5) / SAMPLES, (n % SAMPLES + 0.5) / SAMPLES, &x, &y);
        const int zone = plan->zones.n > 0 ? cq_zone_filled(&plan->zones, section, x, y) : 0;
        f->zone_share[(size_t)zone * cells + cell] += part;
        f->carbon_wt[cell] += part * cq_steel_of_zone(plan, zone)->composition_wt.C;
    }
}

static double mean_of(const cq_carbon_field *f) {
    double sum = 0.0, area = 0.0;
    for (int c = 0; c < f->grid->along * f->grid->across; c++) {
        if (f->grid->kind[c] == CQ_CELL_STEEL) {
            sum += f->grid->area_m2[c] * f->carbon_wt[c];
            area += f->grid->area_m2[c];
        }
    }
    return sum / area;
}

cq_status cq_carbon_field_create(cq_carbon_field *f, const cq_plan *plan, const cq_section *section, int finer,
                                 cq_error *error) {
    memset(f, 0, sizeof *f);
    cq_grid_wish wish = plan->grid;
    wish.refine *= finer;
    const cq_status status = cq_grid_create(&f->grid, section, &wish, error);
    if (status < 0) {
        return status;
    }
    const size_t cells = (size_t)f->grid->along * (size_t)f->grid->across,
                 zones = plan->zones.n > 0 ? plan->zones.n : 1;
    f->carbon_wt = cq_memory_zero((1 + zones) * cells, sizeof(double));
    if (f->carbon_wt == NULL) {
        return CQ_ERR_MEMORY;
    }
    f->zone_share = f->carbon_wt + cells;
    for (int i = f->grid->steel_i0; i < f->grid->steel_i1; i++) {
        for (int j = f->grid->steel_j0; j < f->grid->steel_j1; j++) {
            lay_cell(f, plan, section, i, j);
        }
    }
    f->mean_before_wt = f->mean_wt = mean_of(f);
    return CQ_OK;
}

void cq_carbon_field_free(cq_carbon_field *f) {
    cq_grid_free(f->grid);
    cq_memory_free(f->carbon_wt);
    memset(f, 0, sizeof *f);
}

/* ---- through the heats --------------------------------------------------------------------------------------------
 */

typedef struct mover {
    cq_heat *heat;
    double temp_K, per_area; /* of D: 1/s^2 */
} mover;

static void fill(void *context, const double *now, const double *predicted, double dt_s, double *k, double *c,
                 double *H) {
    const mover *m = context;
    (void)now;
    (void)dt_s;
    for (size_t a = 0; a < m->heat->size; a++) {
        if (m->heat->exists[a] > 0.0) {
            const double w = fmin(fmax(predicted[a] - ABOVE, 0.0), CQ_CARBON_MOST_WT); /* of the law only */
            k[a] = m->heat->clay[a] > 0.0 ? NO_CARBON : PER_WT * m->per_area * cq_carbon_diffusivity(m->temp_K, w);
            c[a] = PER_WT;
            H[a] = PER_WT * predicted[a];
        }
    }
}

static void settle(void *context, double *w, const double *H_linear, const double *c, double *H) {
    const mover *m = context;
    (void)c;
    for (size_t a = 0; a < m->heat->size; a++) {
        if (m->heat->exists[a] > 0.0) { /* the books are linear in w: nothing is left over */
            w[a] = H_linear[a] / PER_WT;
            H[a] = H_linear[a];
        }
    }
}

static double closed(const void *context, int end, double w, double *slope) {
    (void)context;
    (void)end;
    (void)w;
    *slope = 0.0;
    return 0.0;
}

static cq_status march(cq_heat *heat, const cq_heat_client *client, double for_s, size_t *steps, cq_error *error) {
    double dt = FIRST_S;
    const double end_s = heat->time_s + for_s;
    while (heat->time_s < end_s - 1e-9) {
        double step = fmin(dt, end_s - heat->time_s), off = cq_heat_try(heat, client, step);
        while (!(off <= 2.0 * TOLERANCE_WT)) {
            step *= isfinite(off) ? fmax(0.2, 0.8 * sqrt(TOLERANCE_WT / off)) : 0.2;
            if (step < SMALLEST_S) {
                return cq_error_say(error, CQ_ERR_STEP, "zones.heats", "a step that converges", "grid.refine: 2",
                                    "carbon does not settle at %.3g s", heat->time_s);
            }
            off = cq_heat_try(heat, client, step);
        }
        cq_heat_accept(heat, step);
        ++*steps;
        dt = step * fmin(2.0, fmax(0.5, 0.85 * sqrt(TOLERANCE_WT / fmax(off, 1e-6 * TOLERANCE_WT))));
    }
    return CQ_OK;
}

static cq_status begin(cq_heat *heat, const cq_carbon_field *f) {
    double *w = cq_memory_zero(2 * heat->size, sizeof *w);
    if (w == NULL) {
        return CQ_ERR_MEMORY;
    }
    for (int i = 0; i < f->grid->along; i++) {
        for (int j = 0; j < f->grid->across; j++) {
            const int at = cq_heat_at(heat, i, j);
            w[at] = ABOVE + f->carbon_wt[i * f->grid->across + j];
            w[heat->size + (size_t)at] = PER_WT * w[at];
        }
    }
    cq_heat_begin(heat, w, w + heat->size);
    cq_memory_free(w);
    return CQ_OK;
}

cq_status cq_carbon_field_soak(cq_carbon_field *f, const cq_plan *plan, cq_error *error) {
    cq_heat *heat = NULL;
    cq_status status = plan->zones.heats_n == 0 ? CQ_OK : cq_heat_create(&heat, f->grid, NULL, error);
    status = status < 0 || heat == NULL ? status : begin(heat, f);
    for (size_t h = 0; h < plan->zones.heats_n && status >= 0; h++) {
        const cq_weld_heat *of = &plan->zones.heats[h];
        const double s = cq_weld_thicker(plan, of);
        mover m = {heat, of->temperature_K, 1.0 / (s * s)};
        const cq_heat_client client = {&m, fill, settle, closed};
        cq_heat_resume(heat, &client);
        status = march(heat, &client, of->for_s, &f->steps, error);
    }
    for (int i = 0; heat != NULL && status >= 0 && i < f->grid->along; i++) {
        for (int j = 0; j < f->grid->across; j++) {
            f->carbon_wt[i * f->grid->across + j] = heat->T[cq_heat_at(heat, i, j)] - ABOVE;
        }
    }
    cq_heat_free(heat);
    f->mean_wt = mean_of(f);
    return status;
}

/* ---- how far it gets ----------------------------------------------------------------------------------------------
 */

cq_status cq_weld_spread(const cq_plan *plan, double high_wt, double low_wt, double *spread_m) {
    *spread_m = NAN;
    if (plan->zones.heats_n == 0 || !(high_wt > low_wt)) {
        return CQ_OK;
    }
    cq_carbon_heat *heats = cq_memory_zero(plan->zones.heats_n, sizeof *heats);
    if (heats == NULL) {
        return CQ_ERR_MEMORY;
    }
    double thicker = 1.0;
    for (size_t h = 0; h < plan->zones.heats_n; h++) {
        const cq_weld_heat *of = &plan->zones.heats[h];
        const double s = cq_weld_thicker(plan, of);
        heats[h] = (cq_carbon_heat){of->temperature_K, of->for_s, s / thicker};
        thicker = s;
    }
    double spread;
    const cq_status status =
        cq_carbon_weld_spread(&(cq_carbon_weld){high_wt, low_wt, plan->zones.heats_n, heats}, &spread);
    *spread_m = status < 0 ? NAN : spread / thicker; /* on the finished section */
    cq_memory_free(heats);
    return status;
}
