/* inverse_piece.c - see inverse_piece.h. The project's own conduction on the one row of a plate or round. */
#include "study/inverse_piece.h"

#include "base/memory.h"

#include <math.h>

static const cq_grid_wish WISH = {8, 6, 2, 1};                          /* 24 cells from the middle to the face */
static const double SHORTEST_S = 0.004, LONGEST_S = 0.03, GROWTH = 1.3; /* of steps; chosen here */
static const double COLDEST_K = 150.0;
enum { FACE = 1 }; /* the exposed end of the one row */

double cq_inverse_law_flux(const cq_inverse_law *law, double time_s, double face_K, double *slope) {
    const double at = law->against_time ? time_s : face_K;
    size_t i = 0, last = law->n - 1;
    if (at > law->x[0] && at < law->x[last]) {
        size_t high = last;
        while (high - i > 1) {
            const size_t middle = (i + high) / 2;
            *(law->x[middle] <= at ? &i : &high) = middle;
        }
    } else if (!(at < law->x[last])) {
        i = last;
    }
    const bool inside = at > law->x[0] && at < law->x[last];
    const double rate = inside ? (law->y[i + 1] - law->y[i]) / (law->x[i + 1] - law->x[i]) : 0.0;
    const double y = law->y[i] + (inside ? rate * (at - law->x[i]) : 0.0);
    if (law->against_time) {
        *slope = 0.0;
        return y;
    }
    if (inside) {
        *slope = rate;
        return y;
    }
    *slope = y / (law->x[i] - law->bath_K);
    return *slope * (face_K - law->bath_K);
}

static void fill(void *context, const double *now, const double *predicted, double dt, double *k, double *c,
                 double *H) {
    const cq_inverse_run *run = context;
    (void)now;
    (void)dt;
    for (int j = 0; j < run->grid->across; j++) {
        const int at = cq_heat_at(run->heat, 0, j);
        cq_sampled_at(&run->material, predicted[at], &k[at], &c[at], &H[at]);
    }
}

static void settle(void *context, double *T, const double *H_linear, const double *c, double *H) {
    const cq_inverse_run *run = context;
    double k, capacity;
    (void)c;
    for (int j = 0; j < run->grid->across; j++) {
        const int at = cq_heat_at(run->heat, 0, j);
        cq_sampled_at(&run->material, T[at], &k, &capacity, &H[at]);
        T[at] += (H_linear[at] - H[at]) / capacity;
        cq_sampled_at(&run->material, T[at], &k, &capacity, &H[at]);
    }
}

static double flux(const void *context, int end, double Ts, double *slope) {
    const cq_inverse_run *run = context;
    (void)end;
    return cq_inverse_law_flux(run->law, run->now_s, Ts, slope);
}

/* Straight between cell centres; in the innermost half cell level, as the slope is there; out to the face straight on.
 */
static void place_bead(cq_inverse_run *run, double from_middle_m) {
    const cq_grid *g = run->grid;
    int j = 0;
    while (j + 2 < g->across && g->center_y_m[j + 1] < from_middle_m) {
        j++;
    }
    const double y0 = g->center_y_m[j], y1 = g->center_y_m[j + 1];
    run->low = j;
    run->weight = (y1 - from_middle_m) / (y1 - y0);
    if (from_middle_m < y0) { /* parabola with zero slope in the middle */
        run->weight = (y1 * y1 - from_middle_m * from_middle_m) / (y1 * y1 - y0 * y0);
    }
}

cq_status cq_inverse_run_create(cq_inverse_run *run, const cq_inverse_piece *piece, cq_error *error) {
    *run = (cq_inverse_run){.lag_s = piece->lag_s, .longest_s = LONGEST_S};
    const cq_blade blade = {.family = piece->family, .spine_m = piece->size_m};
    cq_status status = cq_section_create(&run->section, &blade, NULL, error);
    status = status < 0 ? status : cq_grid_create(&run->grid, run->section, &WISH, error);
    status = status < 0 ? status : cq_heat_create(&run->heat, run->grid, NULL, error);
    status = status < 0 ? status
                        : cq_sampled_create(&run->material, &piece->steel->conductivity_W_mK,
                                            &piece->steel->heat_capacity_J_m3K);
    if (status >= 0) {
        run->T = cq_memory_zero(run->heat->size, sizeof(double));
        run->H = cq_memory_zero(run->heat->size, sizeof(double));
        status = run->T == NULL || run->H == NULL ? CQ_ERR_MEMORY : CQ_OK;
    }
    if (status < 0) {
        cq_inverse_run_clear(run);
        return status;
    }
    place_bead(run, fmax(0.0, 0.5 * piece->size_m - piece->depth_m));
    return CQ_OK;
}

void cq_inverse_run_clear(cq_inverse_run *run) {
    cq_memory_free(run->T);
    cq_memory_free(run->H);
    cq_sampled_free(&run->material);
    cq_heat_free(run->heat);
    cq_grid_free(run->grid);
    cq_section_free(run->section);
    *run = (cq_inverse_run){.low = 0};
}

static double bead(const cq_inverse_run *run) {
    const double *T = run->heat->T + cq_heat_at(run->heat, 0, run->low);
    return run->weight * T[0] + (1.0 - run->weight) * T[1];
}

/* Bead behind by a time constant, exactly for a piece that changes evenly within the step. */
static double follow(double read, double before, double now, double dt, double lag) {
    if (!(lag > 0.0)) {
        return now;
    }
    const double rate = (now - before) / dt, gone = exp(-dt / lag);
    return now - rate * lag + (read - before + rate * lag) * gone;
}

/* State at the ends of a step. */
typedef struct moment {
    double time_s, bead_K, read_K, face_K;
} moment;

static moment step_on(cq_inverse_run *run, const cq_heat_client *client, const moment *from, double dt) {
    moment to = {.time_s = from->time_s + dt};
    run->now_s = to.time_s;
    cq_heat_try(run->heat, client, dt);
    cq_heat_accept(run->heat, dt);
    to.bead_K = bead(run);
    to.read_K = follow(from->read_K, from->bead_K, to.bead_K, dt, run->lag_s);
    to.face_K = run->heat->surface_K[FACE];
    return to;
}

/* Steps grow from a short one to the longest whatever the bins are: their ends are between steps. */
cq_status cq_inverse_run_go(cq_inverse_run *run, const cq_inverse_law *law, double start_K, const cq_bins *bins,
                            const cq_inverse_trace *trace) {
    const cq_heat_client client = {run, fill, settle, flux};
    double k, c, dt = SHORTEST_S;
    run->law = law;
    run->now_s = bins->begin_s;
    run->runs++;
    for (size_t a = 0; a < run->heat->size; a++) { /* the margin too: what starts level there stays so */
        run->T[a] = start_K;
    }
    for (int j = 0; j < run->grid->across; j++) {
        const int at = cq_heat_at(run->heat, 0, j);
        cq_sampled_at(&run->material, start_K, &k, &c, &run->H[at]);
    }
    cq_heat_begin(run->heat, run->T, run->H);
    cq_heat_resume(run->heat, &client);
    moment last = {bins->begin_s, start_K, start_K, run->heat->surface_K[FACE]}, now = last;
    for (size_t i = 0; i < bins->n; i++) {
        while (now.time_s < bins->time_s[i]) {
            last = now;
            now = step_on(run, &client, &last, dt);
            dt = fmin(GROWTH * dt, run->longest_s);
        }
        const double u = now.time_s > last.time_s ? (bins->time_s[i] - last.time_s) / (now.time_s - last.time_s) : 0.0;
        trace->read_K[i] = last.read_K + u * (now.read_K - last.read_K);
        if (!(last.face_K > COLDEST_K)) { /* a flux against time cools beyond any bath */
            return CQ_ERR_STEP;
        }
        if (trace->face_K != NULL) {
            double slope;
            trace->face_K[i] = last.face_K + u * (now.face_K - last.face_K);
            trace->flux_W_m2[i] = cq_inverse_law_flux(law, bins->time_s[i], trace->face_K[i], &slope);
        }
    }
    return CQ_OK;
}
