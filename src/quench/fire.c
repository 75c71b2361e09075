/* fire.c - heating in a fire: how hot every height became, and when.
 *
 * The blade goes in at room temperature with its clay on. A face takes film (T fire - T face), radiation counted in the
 * film. The steel turns within BAND of Ac1 as far as its heat is concerned; what the soak makes of the same history
 * is soaks.c's affair. Histories are means across the thickness: a blade is so thin that across it differs by a degree
 * or two.
 */
#include "quench/fire.h"

#include "base/memory.h"
#include "base/units.h"
#include "kinetics/carbon.h"
#include "kinetics/laws.h"
#include "quench/built.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static const double COLD_K = 293.15, BAND_K = 40.0, TOLERANCE_K = 1.5, FIRST_S = 1e-3, SMALLEST_S = 1e-7;
static const double SETTLED_K = 1e-7;
enum { LEAST_STEPS = 60, FIRST_CAPACITY = 256, REPEATS = 20 };

typedef struct heater {
    const cq_run *run;
    cq_heat *heat;
    double *Ac1_K; /* per packed cell */
    cq_phase_thermal cold, hot;
} heater;

/* ---- properties ----------------------------------------------------------------------------------------------------
 */

typedef struct held {
    double k, c, H;
} held;

/* Pearlite below Ac1, austenite from BAND above it, and smoothly from one to the other. */
static held steel_at(const heater *h, double Ac1_K, double T) {
    const double u = fmin(fmax((T - Ac1_K) / BAND_K, 0.0), 1.0), A = u * u * (3.0 - 2.0 * u);
    const double Hc = cq_thermal_enthalpy(&h->cold, T), Hh = cq_thermal_enthalpy(&h->hot, T);
    return (held){(1.0 - A) * (h->cold.k0 + h->cold.k1 * T) + A * (h->hot.k0 + h->hot.k1 * T),
                  (1.0 - A) * (h->cold.c0 + h->cold.c1 * T) + A * (h->hot.c0 + h->hot.c1 * T) +
                      6.0 * u * (1.0 - u) / BAND_K * (Hh - Hc),
                  (1.0 - A) * Hc + A * Hh};
}

static void fill(void *context, const double *now, const double *T, double dt_s, double *k, double *c, double *H) {
    const heater *h = context;
    const cq_run *run = h->run;
    (void)now;
    (void)dt_s;
    for (int row = 0; row < run->steel_rows; row++) {
        const int at = cq_run_row_at(run, row);
        for (int j = 0; j < run->steel_across; j++) {
            const held p = steel_at(h, h->Ac1_K[row * run->steel_across + j], T[at + j]);
            k[at + j] = p.k;
            c[at + j] = p.c;
            H[at + j] = p.H;
        }
    }
    for (size_t n = 0; n < run->clay_n; n++) {
        const int at = run->clay_at[n];
        cq_sampled_at(&run->clay, T[at], &k[at], &c[at], &H[at]);
    }
}

static void settle(void *context, double *T, const double *H_linear, const double *c, double *H) {
    const heater *h = context;
    const cq_run *run = h->run;
    (void)c;
    for (int row = 0; row < run->steel_rows; row++) {
        const int at = cq_run_row_at(run, row);
        for (int j = at; j < at + run->steel_across; j++) {
            const double Ac1 = h->Ac1_K[row * run->steel_across + j - at];
            held p = steel_at(h, Ac1, T[j]);
            for (int n = 0; n < REPEATS && fabs(H_linear[j] - p.H) > SETTLED_K * p.c; n++) {
                T[j] += fmin(fmax((H_linear[j] - p.H) / p.c, -10.0), 10.0); /* no leap over the band */
                p = steel_at(h, Ac1, T[j]);
            }
            H[j] = p.H;
        }
    }
    for (size_t n = 0; n < run->clay_n; n++) {
        const int at = run->clay_at[n];
        double k, capacity;
        cq_sampled_at(&run->clay, T[at], &k, &capacity, &H[at]);
        T[at] += (H_linear[at] - H[at]) / capacity;
        cq_sampled_at(&run->clay, T[at], &k, &capacity, &H[at]);
    }
}

static double flux(const void *context, int end, double Ts_K, double *slope) {
    const cq_fire *fire = &((const heater *)context)->run->plan->heat.fire;
    (void)end;
    *slope = fire->film_W_m2K;
    return fire->film_W_m2K * (Ts_K - fire->temperature_K);
}

/* ---- the heating ---------------------------------------------------------------------------------------------------
 */

static cq_status keep(cq_run_fire *f, int rows, double time_s) {
    if (f->n == f->capacity) {
        const size_t more = f->capacity == 0 ? FIRST_CAPACITY : 2 * f->capacity;
        double *time = cq_memory_grow(f->time_s, more, sizeof *time);
        f->time_s = time == NULL ? f->time_s : time;
        double *temp = cq_memory_grow(f->row_K, more * (size_t)rows, sizeof *temp);
        f->row_K = temp == NULL ? f->row_K : temp;
        if (time == NULL || temp == NULL) {
            return CQ_ERR_MEMORY;
        }
        f->capacity = more;
    }
    f->time_s[f->n++] = time_s;
    return CQ_OK;
}

/* Means across of every row, now. */
static cq_status record(const heater *h, cq_run_fire *f) {
    const cq_run *run = h->run;
    const cq_status status = keep(f, run->steel_rows, h->heat->time_s);
    for (int row = 0; status >= 0 && row < run->steel_rows; row++) {
        const int at = cq_run_row_at(run, row);
        double sum = 0.0, area = 0.0;
        for (int j = 0; j < run->steel_across; j++) {
            sum += h->heat->volume[at + j] * h->heat->T[at + j];
            area += h->heat->volume[at + j];
        }
        f->row_K[(f->n - 1) * (size_t)run->steel_rows + (size_t)row] = sum / area;
    }
    return status;
}

static cq_status march(const heater *h, const cq_heat_client *client, cq_run_fire *f, cq_error *error) {
    const double end_s = h->run->plan->heat.fire.for_s, longest = end_s / LEAST_STEPS;
    double dt = FIRST_S;
    cq_status status = record(h, f);
    while (status >= 0 && h->heat->time_s < end_s * (1.0 - 1e-12)) {
        double step = fmin(fmin(dt, longest), end_s - h->heat->time_s), off = cq_heat_try(h->heat, client, step);
        while (!(off <= 2.0 * TOLERANCE_K)) {
            step *= isfinite(off) ? fmax(0.2, 0.8 * sqrt(TOLERANCE_K / off)) : 0.2;
            if (step < SMALLEST_S) {
                return cq_error_say(error, CQ_ERR_STEP, "heat.fire", "a step that converges", "grid.refine: 2",
                                    "heating does not converge at %.3g s", h->heat->time_s);
            }
            off = cq_heat_try(h->heat, client, step);
        }
        cq_heat_accept(h->heat, step);
        dt = step * fmin(2.0, fmax(0.5, 0.85 * sqrt(TOLERANCE_K / fmax(off, 1e-6 * TOLERANCE_K))));
        status = record(h, f);
    }
    return status;
}

static cq_status begin(heater *h, const cq_heat_client *client) {
    const cq_run *run = h->run;
    double *block = cq_memory_zero(4 * h->heat->size, sizeof *block);
    if (block == NULL) {
        return CQ_ERR_MEMORY;
    }
    double *T = block, *H = T + h->heat->size, *k = H + h->heat->size, *c = k + h->heat->size;
    for (size_t a = 0; a < h->heat->size; a++) {
        T[a] = COLD_K;
    }
    fill(h, T, T, 1.0, k, c, H);
    for (int e = 0; e < h->heat->ends_n; e++) {
        cq_heat_end *end = &h->heat->ends[e];
        if (end->cell >= 0 && end->exposed) {
            end->film_mK_W = run->film_m2K_W[e] / end->area_m;
        }
    }
    h->heat->contact_m2K_W = run->plan->contact_m2K_W;
    cq_heat_begin(h->heat, T, H);
    cq_heat_resume(h->heat, client);
    cq_memory_free(block);
    return CQ_OK;
}

static cq_status find_Ac1(heater *h) {
    const cq_run *run = h->run;
    h->Ac1_K = cq_memory_zero(run->steel_n, sizeof(double));
    if (h->Ac1_K == NULL) {
        return CQ_ERR_MEMORY;
    }
    for (size_t c = 0; c < run->steel_n; c++) {
        const cq_steel *steel = cq_steel_of_zone(run->plan, run->built == NULL ? 0 : run->built->zone[c]);
        h->Ac1_K[c] = cq_equilibria_of(&steel->composition_wt).Ae1_C + 273.15;
    }
    return CQ_OK;
}

static cq_status heat_up(cq_run *run, heater *h, double *film_heat, cq_error *error) {
    cq_run_film_heat(run, film_heat);
    cq_status status = cq_heat_create(&h->heat, run->grid, film_heat, error);
    status = status < 0 ? status : find_Ac1(h);
    const cq_heat_client client = {h, fill, settle, flux};
    status = status < 0 ? status : begin(h, &client);
    status = status < 0 ? status : march(h, &client, run->fire, error);
    if (status >= 0) {
        run->fire->T_K = cq_memory_zero(h->heat->size, sizeof(double));
        if (run->fire->T_K == NULL) {
            return CQ_ERR_MEMORY;
        }
        memcpy(run->fire->T_K, h->heat->T, h->heat->size * sizeof(double));
    }
    return status;
}

/* Steel that begins to melt is lost: there is no quench to tell of. */
static cq_status find_burnt(const cq_run *run, cq_error *error) {
    for (int row = 0; row < run->steel_rows; row++) {
        const int at = cq_run_row_at(run, row);
        for (int j = 0; j < run->steel_across; j++) {
            const size_t cell = (size_t)row * (size_t)run->steel_across + (size_t)j;
            const double carbon = run->built != NULL ? run->built->carbon_wt[cell] : run->plan->steel.composition_wt.C;
            const double melts_K = cq_carbon_solidus_K(carbon);
            if (!(run->fire->T_K[at + j] < melts_K)) {
                char key[40] = "heat.fire", hot[40], expected[128], melts[40];
                snprintf(expected, sizeof expected, "less than about %s, where steel of %.2f %% carbon begins to melt",
                         cq_temperature_text(melts_K, melts, sizeof melts), carbon);
                if (run->plan->earlier_n > 0) {
                    snprintf(key, sizeof key, "heats.%zu.heat.fire", run->plan->earlier_n - 1);
                }
                return cq_error_say(error, CQ_ERR_PLAN, key, expected, "a colder fire, or less time in it",
                                    "the blade comes to %s and burns",
                                    cq_temperature_text(run->fire->T_K[at + j], hot, sizeof hot));
            }
        }
    }
    return CQ_OK;
}

cq_status cq_run_fire_create(cq_run *run, cq_error *error) {
    run->result.fired = (cq_fired){NAN, NAN, NAN, NAN, NAN};
    if (!(run->plan->heat.fire.for_s > 0.0) || !run->transforming) {
        return CQ_OK;
    }
    run->fire = cq_memory_zero(1, sizeof *run->fire);
    double *film_heat = cq_memory_zero((size_t)cq_heat_ends(run->grid), sizeof(double));
    heater h = {.run = run, .cold = cq_thermal_of(CQ_PEARLITE), .hot = cq_thermal_of(CQ_AUSTENITE)};
    cq_status status = run->fire == NULL || film_heat == NULL ? CQ_ERR_MEMORY : heat_up(run, &h, film_heat, error);
    status = status < 0 ? status : find_burnt(run, error);
    cq_memory_free(film_heat);
    cq_memory_free(h.Ac1_K);
    cq_heat_free(h.heat);
    if (status >= 0) {
        run->result.fired.edge_K = cq_run_fire_last_K(run, 0);
        run->result.fired.spine_K = cq_run_fire_last_K(run, run->steel_rows - 1);
    }
    return status;
}

void cq_run_fire_free(cq_run *run) {
    if (run->fire != NULL) {
        cq_memory_free(run->fire->time_s);
        cq_memory_free(run->fire->row_K);
        cq_memory_free(run->fire->T_K);
        cq_memory_free(run->fire);
    }
}

double cq_run_fire_last_K(const cq_run *run, int row) {
    return run->fire->row_K[(run->fire->n - 1) * (size_t)run->steel_rows + (size_t)row];
}

double cq_run_fire_since_s(const cq_run *run, int row, double temp_K) {
    const cq_run_fire *f = run->fire;
    const size_t rows = (size_t)run->steel_rows;
    for (size_t n = 1; n < f->n; n++) {
        const double a = f->row_K[(n - 1) * rows + (size_t)row], b = f->row_K[n * rows + (size_t)row];
        if (a < temp_K && b >= temp_K) {
            const double t = f->time_s[n - 1] + (f->time_s[n] - f->time_s[n - 1]) * (temp_K - a) / (b - a);
            return f->time_s[f->n - 1] - t;
        }
    }
    return 0.0;
}

cq_status cq_run_fire_soak(const cq_run *run, int row, const cq_steel *steel, cq_stock stock, const cq_soak *reference,
                           cq_soak *soak) {
    const cq_run_fire *f = run->fire;
    double *temp = cq_memory_zero(f->n, sizeof *temp);
    if (temp == NULL) {
        return CQ_ERR_MEMORY;
    }
    for (size_t n = 0; n < f->n; n++) {
        temp[n] = f->row_K[n * (size_t)run->steel_rows + (size_t)row];
    }
    const cq_heating heating = {f->n, f->time_s, temp};
    *soak = cq_soak_along(steel, &heating, stock, reference);
    cq_memory_free(temp);
    return CQ_OK;
}

void cq_run_fire_notices(cq_run *run) {
    const double off_K = 10.0; /* what the eye tells apart */
    if (run->fire == NULL) {
        return;
    }
    const double aim_K = run->plan->heat.temperature_K, edge_K = run->result.fired.edge_K,
                 spine_K = run->result.fired.spine_K;
    char edge[40], spine[40], aim[40], off[40];
    cq_temperature_text(edge_K, edge, sizeof edge);
    cq_temperature_text(spine_K, spine, sizeof spine);
    cq_temperature_text(aim_K, aim, sizeof aim);
    if (edge_K > aim_K + off_K) {
        cq_run_notice(run, "fire-too-hot", 1, "in the fire the edge comes to %s, %s above the %s aimed at (spine %s)",
                      edge, cq_difference_text(edge_K - aim_K, off, sizeof off), aim, spine);
    } else if (edge_K < aim_K - off_K) {
        cq_run_notice(run, "fire-too-short", 1, "in the fire the edge comes to %s only, %s short of the %s aimed at",
                      edge, cq_difference_text(aim_K - edge_K, off, sizeof off), aim);
    }
    if (fabs(edge_K - spine_K) > off_K) {
        cq_run_notice(run, "fire-uneven", 1, "leaving the fire the edge is at %s and the spine at %s", edge, spine);
    }
}
