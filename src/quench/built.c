/* built.c - what the cells of a section of several steels are made of, its skin without carbon, and what is told of
 * both.
 */
#include "quench/built.h"
#include "quench/zones.h"

#include "base/memory.h"
#include "hardness/hardness.h"
#include "kinetics/carbon.h"
#include "kinetics/laws.h"

#include <math.h>

static const double ROOM_C = 25.0; /* as runs end */
enum { FINER = 3, SAMPLES = 8 };   /* cells of the field in one of the run's; places in one of those, for the skin */
static const double NINE_TENTHS = 1.1630871536766743; /* erf of it is 0.9 */
static const double FILE_M = 0.02e-3;                 /* how deep a file feels; common practice, no source */

/* ---- the skin -----------------------------------------------------------------------------------------------------
 */

/* Depth at which nine tenths of the carbon are there again. */
static double skin_depth(const cq_plan *plan) {
    const cq_skin *s = &plan->skin;
    const cq_carbon_skin of = {plan->steel.composition_wt.C, s->face_wt, s->temperature_K, s->for_s};
    return s->depth_m > 0.0 ? s->depth_m : cq_carbon_skin_depth_m(&of, 0.9);
}

/* Share of its carbon, above the face's, that a place has kept. */
static double kept(double depth_m, double below_m) {
    return erf(NINE_TENTHS * fmax(0.0, below_m) / depth_m);
}

/* Below the nearest face or flat, square to it. */
static double below_all(const cq_section *s, double x_m, double y_m) {
    double least = fmin(x_m, s->height_m - x_m);
    for (int side = 0; side < CQ_SIDES; side++) {
        const double h = 1e-5, out = side == CQ_SIDE_LEFT ? -y_m : y_m;
        const double slope =
            (cq_section_half_thickness(s, side, x_m + h) - cq_section_half_thickness(s, side, x_m - h)) / (2.0 * h);
        least = fmin(least, (cq_section_half_thickness(s, side, x_m) - out) / sqrt(1.0 + slope * slope));
    }
    return least;
}

/* Mean share of what is kept over a cell of the field. */
static double kept_in(const cq_carbon_field *f, const cq_section *s, double depth_m, int i, int j) {
    const cq_grid *g = f->grid;
    const int a = i * (g->across + 1) + j, b = a + g->across + 1;
    double sum = 0.0;
    for (int n = 0; n < SAMPLES; n++) { /* across, where it changes */
        const double v = (n + 0.5) / SAMPLES;
        const double x = 0.25 * (g->node_x_m[a] + g->node_x_m[a + 1] + g->node_x_m[b] + g->node_x_m[b + 1]);
        const double low = 0.5 * (g->node_y_m[a] + g->node_y_m[b]),
                     high = 0.5 * (g->node_y_m[a + 1] + g->node_y_m[b + 1]);
        sum += kept(depth_m, below_all(s, x, low + v * (high - low)));
    }
    return sum / SAMPLES;
}

static void lay_skin(cq_carbon_field *f, const cq_plan *plan, const cq_section *s) {
    const double depth = skin_depth(plan), face = plan->skin.face_wt;
    for (int i = f->grid->steel_i0; i < f->grid->steel_i1; i++) {
        for (int j = f->grid->steel_j0; j < f->grid->steel_j1; j++) {
            double *w = &f->carbon_wt[i * f->grid->across + j];
            if (*w > face) { /* what is leaner than the face was held at keeps what it has */
                *w = face + (*w - face) * kept_in(f, s, depth, i, j);
            }
        }
    }
}

/* ---- onto the run's cells ------------------------------------------------------------------------------------------
 */

static void gather(cq_run *run, const cq_carbon_field *f, cq_run_built *b) {
    const cq_grid *g = f->grid;
    const size_t cells = (size_t)g->along * (size_t)g->across;
    const int zones = run->plan->zones.n > 0 ? (int)run->plan->zones.n : 1;
    for (int row = 0; row < run->steel_rows; row++) {
        for (int col = 0; col < run->steel_across; col++) {
            double carbon = 0.0, area = 0.0, share[CQ_ZONES_MOST] = {0.0};
            for (int n = 0; n < FINER * FINER; n++) {
                const int i = g->steel_i0 + row * FINER + n / FINER, j = g->steel_j0 + col * FINER + n % FINER;
                const size_t c = (size_t)i * (size_t)g->across + (size_t)j;
                area += g->area_m2[c];
                carbon += g->area_m2[c] * f->carbon_wt[c];
                for (int z = 0; z < zones; z++) {
                    share[z] += g->area_m2[c] * f->zone_share[(size_t)z * cells + c];
                }
            }
            const size_t packed = (size_t)row * (size_t)run->steel_across + (size_t)col;
            b->carbon_wt[packed] = carbon / area;
            for (int z = 0; z < zones; z++) {
                run->result.built.share[z] += share[z];
                b->zone[packed] = share[z] > share[b->zone[packed]] ? z : b->zone[packed];
            }
        }
    }
}

static void find_shares(cq_built *r) {
    double sum = 0.0;
    for (int z = 0; z < CQ_ZONES_MOST; z++) {
        sum += r->share[z];
    }
    for (int z = 0; z < CQ_ZONES_MOST; z++) {
        r->share[z] /= sum;
    }
}

static cq_status find_spread(const cq_plan *plan, cq_built *r) {
    double high = 0.0, low = HUGE_VAL;
    for (size_t z = 0; z < plan->zones.n; z++) {
        high = fmax(high, cq_steel_of_zone(plan, (int)z)->composition_wt.C);
        low = fmin(low, cq_steel_of_zone(plan, (int)z)->composition_wt.C);
    }
    return cq_weld_spread(plan, high, low, &r->spread_m);
}

cq_status cq_run_built_create(cq_run *run, cq_error *error) {
    const cq_plan *plan = run->plan;
    cq_built *r = &run->result.built;
    r->spread_m = r->skin_m = r->face_wt = r->ground_wt = r->file_HV = r->ground_HV = NAN;
    r->several = plan->zones.n > 0;
    r->skinned = cq_skin_is_there(&plan->skin);
    if (!cq_plan_is_built(plan) || !run->transforming) {
        return CQ_OK;
    }
    run->built = cq_memory_zero(1, sizeof *run->built);
    if (run->built == NULL) {
        return CQ_ERR_MEMORY;
    }
    run->built->zone = cq_memory_zero(run->steel_n, sizeof *run->built->zone);
    run->built->carbon_wt = cq_memory_zero(run->steel_n, sizeof *run->built->carbon_wt);
    if (run->built->zone == NULL || run->built->carbon_wt == NULL) {
        return CQ_ERR_MEMORY;
    }
    cq_carbon_field field;
    cq_status status = cq_carbon_field_create(&field, plan, run->section, FINER, error);
    status = status < 0 ? status : cq_carbon_field_soak(&field, plan, error);
    if (status >= 0) {
        if (r->skinned) {
            lay_skin(&field, plan, run->section);
        }
        gather(run, &field, run->built);
        find_shares(r);
        r->mean_before_wt = field.mean_before_wt;
        r->mean_wt = field.mean_wt;
        status = find_spread(plan, r);
    }
    cq_carbon_field_free(&field);
    return status;
}

void cq_run_built_free(cq_run *run) {
    if (run->built != NULL) {
        cq_memory_free(run->built->zone);
        cq_memory_free(run->built->carbon_wt);
        cq_memory_free(run->built);
    }
    cq_memory_free(run->result.built.carbon_wt);
}

/* ---- told ----------------------------------------------------------------------------------------------------------
 */

/* What a file meets where there is this much carbon, as cold as a room: of what turned at heat martensite and the
 * austenite it leaves, tempered by itself as the edge was; the rest stayed soft. NaN where the edge did not harden. */
static cq_status file_HV(cq_run *run, double carbon_wt, double *HV) {
    const size_t edge = cq_run_edge_cell(run);
    const cq_structure *now = &run->structure[run->now];
    const double hard = now->fraction[CQ_MARTENSITE][edge] + now->fraction[CQ_AUSTENITE][edge];
    cq_steel steel;
    cq_soak soak;
    *HV = NAN;
    if (!(hard >= 0.5 * cq_run_soak_at(run, edge)->soak.austenite) || !(hard > 0.0)) {
        return CQ_OK;
    }
    const cq_status status = cq_run_soak_with(run, edge, carbon_wt, &steel, &soak);
    if (status < 0) {
        return status;
    }
    const double Ms_C = cq_martensite_start_C(&steel.composition_wt, soak.carbon_solution_wt) + steel.ms_shift_K,
                 alpha = cq_martensite_rate_per_K(&steel.composition_wt, soak.carbon_solution_wt);
    const double kept = exp(-alpha * fmax(0.0, Ms_C - ROOM_C)), soft = 1.0 - soak.austenite;
    const double fraction[CQ_PHASES] = {
        [CQ_MARTENSITE] = soak.austenite * (1.0 - kept), [CQ_AUSTENITE] = soak.austenite * kept, [CQ_FERRITE] = soft};
    const cq_matrix matrix = {soak.carbon_solution_wt, soak.carbide, run->softening_HRC[edge], run->parameter[edge]};
    *HV = cq_hardness_mixture_HV(&steel, &matrix, fraction, soft * (CQ_UNTRANSFORMED_HV - CQ_FERRITE_HV));
    return CQ_OK;
}

static cq_status tell_skin(cq_run *run) {
    const cq_plan *plan = run->plan;
    cq_built *r = &run->result.built;
    const double core = plan->steel.composition_wt.C, face = plan->skin.face_wt, depth = skin_depth(plan);
    r->skin_m = depth;
    r->face_wt = face + (core - face) * kept(depth, 0.5 * FILE_M);
    r->ground_wt = face + (core - face) * kept(depth, plan->grind_m + 0.5 * FILE_M);
    const cq_status status = file_HV(run, r->face_wt, &r->file_HV);
    return status < 0 ? status : file_HV(run, r->ground_wt, &r->ground_HV);
}

cq_status cq_run_built_answer(cq_run *run) {
    cq_built *r = &run->result.built;
    const cq_grid *g = run->grid;
    r->classes = (size_t)run->soaks_n;
    if (run->built == NULL) {
        return CQ_OK;
    }
    const size_t cells = (size_t)g->along * (size_t)g->across;
    r->carbon_wt = cq_memory_zero(2 * cells, sizeof(double));
    if (r->carbon_wt == NULL) {
        return CQ_ERR_MEMORY;
    }
    r->zone = r->carbon_wt + cells;
    for (size_t c = 0; c < 2 * cells; c++) {
        r->carbon_wt[c] = NAN;
    }
    for (int row = 0; row < run->steel_rows; row++) {
        for (int j = 0; j < run->steel_across; j++) {
            const size_t packed = (size_t)row * (size_t)run->steel_across + (size_t)j;
            const size_t cell = (size_t)(g->steel_i0 + row) * (size_t)g->across + (size_t)(g->steel_j0 + j);
            r->carbon_wt[cell] = run->built->carbon_wt[packed];
            r->zone[cell] = run->built->zone[packed];
        }
    }
    return r->skinned ? tell_skin(run) : CQ_OK;
}

double cq_run_skin_depth_m(const cq_plan *plan) {
    return skin_depth(plan);
}
