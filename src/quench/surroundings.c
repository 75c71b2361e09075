/* surroundings.c - the bath of one step and what each outer face shows it. */
#include "quench/run.h"

#include "base/memory.h"

#include <math.h>

/* Coats too thin for cells have the properties of the mix half way down from hardening heat to the bath; chosen here.
 */
static const double FILM_K = 700.0;

/* Clay over each end's face and the resistance of coats too thin for cells. */
cq_status cq_run_faces_create(cq_run *run) {
    const size_t n = (size_t)cq_heat_ends(run->grid);
    run->faces = cq_memory_zero(n, sizeof *run->faces);
    run->coat_m = cq_memory_zero(n, sizeof(double));
    run->film_m2K_W = cq_memory_zero(n, sizeof(double));
    run->end_law = cq_memory_zero(n, sizeof *run->end_law);
    if (run->faces == NULL || run->coat_m == NULL || run->film_m2K_W == NULL || run->end_law == NULL) {
        return CQ_ERR_MEMORY;
    }
    cq_run_coat_faces(run);
    return cq_run_wetting_create(run);
}

void cq_run_coat_faces(cq_run *run) {
    const cq_grid *g = run->grid;
    const cq_table *conductivity = &run->plan->clay.conductivity_W_mK;
    const double k =
        conductivity->n > 0 ? cq_table_eval(conductivity, FILM_K, NULL) : 1.0; /* all bare: no film to divide */
    for (int i = 0; i < g->along; i++) {
        for (int side = 0; side < CQ_SIDES; side++) {
            const int end = 2 * i + side;
            const double film = side == CQ_SIDE_LEFT ? g->film_left_m[i] : g->film_right_m[i];
            run->coat_m[end] = side == CQ_SIDE_LEFT ? g->coat_left_m[i] : g->coat_right_m[i];
            run->film_m2K_W[end] =
                film > 0.0 ? film / (k * cq_soaked_factor(run->plan->soaked, film)) + run->plan->contact_m2K_W : 0.0;
        }
    }
    for (int j = 0; j < g->across; j++) {
        const bool steel = j >= g->steel_j0 && j < g->steel_j1;
        for (int high = 0; high < 2; high++) {
            const int end = 2 * (g->along + j) + high;
            const double coat = high ? g->spine_coat_m : g->edge_coat_m, film = high ? g->film_spine_m : g->film_edge_m;
            const int row = high ? g->steel_i1 - 1 : g->steel_i0;
            const double face = j < g->steel_j0 ? g->coat_left_m[row] : g->coat_right_m[row];
            run->coat_m[end] = steel ? coat : face; /* the butt end of a coat shows as much clay as the coat is thick */
            run->film_m2K_W[end] =
                film > 0.0 ? film / (k * cq_soaked_factor(run->plan->soaked, film)) + run->plan->contact_m2K_W : 0.0;
        }
    }
}

/* Properties of the steel under a wet face, at the temperature where wetting is decided. */
static void steel_surface(const cq_run *run, cq_surface *s) {
    const double T = 1000.0; /* K, chosen here: effusivity changes by 5 % over 700-1100 K */
    if (run->transforming) {
        const cq_phase_thermal a = cq_thermal_of(CQ_AUSTENITE);
        s->steel_conductivity_W_mK = a.k0 + a.k1 * T;
        s->steel_heat_capacity_J_m3K = a.c0 + a.c1 * T;
    } else {
        s->steel_conductivity_W_mK = cq_table_eval(&run->plan->steel.conductivity_W_mK, T, NULL);
        s->steel_heat_capacity_J_m3K = cq_table_eval(&run->plan->steel.heat_capacity_J_m3K, T, NULL);
    }
    s->steel_emissivity = run->plan->steel.emissivity;
}

void cq_run_film_heat(const cq_run *run, double *heat_J_m2K) {
    const cq_grid *g = run->grid;
    const cq_table *capacity = &run->plan->clay.heat_capacity_J_m3K;
    const double c = capacity->n > 0 ? cq_table_eval(capacity, FILM_K, NULL) : 0.0;
    for (int i = 0; i < g->along; i++) {
        heat_J_m2K[2 * i + CQ_SIDE_LEFT] = c * g->film_left_m[i];
        heat_J_m2K[2 * i + CQ_SIDE_RIGHT] = c * g->film_right_m[i];
    }
    for (int j = 0; j < g->across; j++) {
        heat_J_m2K[2 * (g->along + j)] = c * g->film_edge_m;
        heat_J_m2K[2 * (g->along + j) + 1] = c * g->film_spine_m;
    }
}

cq_bath cq_still_air(void) {
    return (cq_bath){.kind = CQ_BATH_GAS,
                     .name = "air",
                     .gas_convection_W_m2K = 14.0,
                     .convection_factor = 1.0}; /* profiles/baths/air.yaml */
}

/* Height of an outer face; ends stand in the order of cq_run_faces_create. */
static double end_height_m(const cq_run *run, int end) {
    const cq_grid *g = run->grid;
    if (end < 2 * g->along) {
        const int row = end / 2, j = end % 2 == CQ_SIDE_LEFT ? g->steel_j0 : g->steel_j1 - 1;
        return g->center_x_m[row * g->across + j];
    }
    return (end - 2 * g->along) % 2 == 0 ? 0.0 : run->section->height_m;
}

/* Dry faces of a step that wets only part of the height. */
static bool is_dry(const cq_run *run, const cq_step_plan *step, int end) {
    return step->depth_m > 0.0 && !run->grid->one_dimensional && end_height_m(run, end) > step->depth_m;
}

cq_status cq_run_law_of(const cq_run *run, const cq_step_plan *step, cq_flux_law **law, cq_error *error) {
    const double height =
        run->grid->one_dimensional ? 0.06 : run->section->height_m; /* probes are 60 mm long [iso9950] */
    return cq_flux_law_create(law, &step->bath, step->at_K, step->agitation_m_s, height, error);
}

void cq_run_dress_faces(cq_run *run, const cq_step_plan *step) {
    cq_surface s = {.coat_emissivity = run->plan->clay.emissivity};
    steel_surface(run, &s);
    if (run->plan->clay.conductivity_W_mK.n > 0) {
        s.coat_conductivity_W_mK = cq_table_eval(&run->plan->clay.conductivity_W_mK, FILM_K, NULL);
        s.coat_heat_capacity_J_m3K = cq_table_eval(&run->plan->clay.heat_capacity_J_m3K, FILM_K, NULL);
    }
    const double scale = step->bath.scale_m > 0.0 ? step->bath.scale_m / step->bath.scale_conductivity_W_mK : 0.0;
    run->heat->contact_m2K_W =
        run->plan->contact_m2K_W + scale; /* scale lies on the steel, under clay as on a bare face */
    for (int e = 0; e < run->heat->ends_n; e++) {
        cq_heat_end *end = &run->heat->ends[e];
        run->end_law[e] = run->law;
        if (end->cell < 0 || !end->exposed) {
            continue;
        }
        s.coat_m = run->coat_m[e];
        const bool dry = is_dry(run, step, e);
        run->end_law[e] = dry ? run->air : run->law;
        run->faces[e] = cq_flux_face_of(run->end_law[e], &s);
        const bool on_clay = run->coat_m[e] >= CQ_THIN_COAT;
        end->film_mK_W = (run->film_m2K_W[e] + (on_clay || dry ? 0.0 : scale)) / end->area_m;
    }
}

cq_status cq_run_enter(cq_run *run, const cq_step_plan *step, cq_error *error) {
    const bool gas = step->bath.kind == CQ_BATH_GAS,
               from_water = run->step != NULL && run->step->bath.kind == CQ_BATH_BOILING;
    const bool from_gas = run->step != NULL && run->step->bath.kind == CQ_BATH_GAS;
    cq_step_plan now = *step;
    now.at_K = cq_run_bath_found_K(run, step);
    cq_flux_law *law;
    cq_status status = cq_run_law_of(run, &now, &law, error);
    if (status == CQ_OK && run->air == NULL) {
        const cq_step_plan air = {.bath = cq_still_air(), .at_K = 293.15};
        status = cq_run_law_of(run, &air, &run->air, error);
        if (status < 0) {
            cq_flux_law_free(law);
        }
    }
    if (status < 0) {
        return status;
    }
    cq_flux_law_free(run->before);
    run->before = run->law;
    run->law = law;
    if (gas && from_water) {
        const double kg_m = cq_run_carry_out(run, run->before);
        if (kg_m > 1e-4 && !run->after_steps) {
            cq_run_notice(run, "wet-blade", 1, "%.1f g water per 100 mm clings to it and boils off first",
                          100.0 * kg_m);
        }
    } else if (!gas) {
        cq_run_wash(run);
    }
    run->step = step;
    cq_run_warming_begin(run, now.at_K);
    cq_run_dress_faces(run, step);
    cq_run_sweep(run, step, from_gas ? run->before : run->air);
    cq_heat_resume(run->heat, &run->client);
    return CQ_OK;
}
