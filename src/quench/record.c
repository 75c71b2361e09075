/* record.c - what is kept while a run goes on: histories at points, fields at times, cooling rates, the vapour film. */
#include "quench/run.h"

#include "base/memory.h"

#include <math.h>
#include <string.h>

enum { FIXED_FRAMES = 32, FIRST_CAPACITY = 512 };

static const double FIVE_HUNDRED_K = 773.15, WETTED = 0.5, AT_ONCE_S = 0.05;

/* Temperature on the mid-plane of row `row`: parabola across with zero slope there, through the two innermost cells
 * (half grid) or the means of the two innermost pairs (full grid). */
static double mid_of_row(const cq_run *run, const double *T, int row) {
    const cq_grid *g = run->grid;
    const int at = cq_run_row_at(run, row), cell = (g->steel_i0 + row) * g->across + g->steel_j0;
    const double *t = T + at, *y = g->center_y_m + cell;
    if (g->symmetric) {
        return t[0] - (t[1] - t[0]) * y[0] * y[0] / (y[1] * y[1] - y[0] * y[0]);
    }
    const int h = run->steel_across / 2;
    const double y0 = 0.5 * (y[h] - y[h - 1]), y1 = 0.5 * (y[h + 1] - y[h - 2]);
    const double t0 = 0.5 * (t[h - 1] + t[h]), t1 = 0.5 * (t[h - 2] + t[h + 1]);
    return t0 - (t1 - t0) * y0 * y0 / (y1 * y1 - y0 * y0);
}

/* Temperature of the steel's face in row `row`, straight through the two outermost cells. */
static double face_of_row(const cq_run *run, const double *T, int row, int face) {
    const cq_grid *g = run->grid;
    const bool left = face == CQ_FACE_LEFT && !g->symmetric;
    const int at = cq_run_row_at(run, row) + (left ? 0 : run->steel_across - 1);
    const int cell = (g->steel_i0 + row) * g->across + (left ? g->steel_j0 : g->steel_j1 - 1), inward = left ? 1 : -1;
    const int nodes = (g->steel_i0 + row) * (g->across + 1) + (left ? g->steel_j0 : g->steel_j1);
    const double face_y =
        g->one_dimensional ? g->node_y_m[nodes] : 0.5 * (g->node_y_m[nodes] + g->node_y_m[nodes + g->across + 1]);
    const double y0 = g->center_y_m[cell], y1 = g->center_y_m[cell + inward];
    return T[at] + (T[at] - T[at + inward]) * (face_y - y0) / (y0 - y1);
}

/* Plate and round: temperature at a depth below a face, straight between cells. */
static double at_depth(const cq_run *run, const double *T, double depth_m, int face) {
    const cq_grid *g = run->grid;
    const int n = run->steel_across, at = cq_run_row_at(run, 0);
    const bool left = face == CQ_FACE_LEFT && !g->symmetric;
    const double *y = g->center_y_m + g->steel_i0 * g->across + g->steel_j0;
    const double *nodes = g->node_y_m + g->steel_i0 * (g->across + 1) + g->steel_j0;
    const double to = left ? nodes[0] + depth_m : nodes[n] - depth_m;
    if (g->symmetric && to < y[0]) {
        const double bow = (T[at + 1] - T[at]) / (y[1] * y[1] - y[0] * y[0]);
        return T[at] + bow * (to * to - y[0] * y[0]);
    }
    int j = 0;
    while (j + 2 < n && y[j + 1] < to) {
        j++;
    }
    return T[at + j] + (T[at + j + 1] - T[at + j]) * (to - y[j]) / (y[j + 1] - y[j]);
}

static double at_height(const cq_run *run, const double *T, double at_m, int face) {
    const cq_grid *g = run->grid;
    if (g->one_dimensional) {
        return face == CQ_FACE_MID ? mid_of_row(run, T, 0) : face_of_row(run, T, 0, face);
    }
    const int middle = g->steel_j0 + (g->symmetric ? 0 : run->steel_across / 2);
    int row = 0;
    while (row + 2 < run->steel_rows && g->center_x_m[(g->steel_i0 + row + 1) * g->across + middle] < at_m) {
        row++;
    }
    const double x0 = g->center_x_m[(g->steel_i0 + row) * g->across + middle];
    const double x1 = g->center_x_m[(g->steel_i0 + row + 1) * g->across + middle];
    const double u = (at_m - x0) / (x1 - x0);
    const double T0 = face == CQ_FACE_MID ? mid_of_row(run, T, row) : face_of_row(run, T, row, face);
    const double T1 = face == CQ_FACE_MID ? mid_of_row(run, T, row + 1) : face_of_row(run, T, row + 1, face);
    return T0 + u * (T1 - T0);
}

/* What a trace reads. */
static double reading(const cq_run *run, const double *T, const cq_trace *t) {
    const bool deep = run->grid->one_dimensional && t->depth_m > 0.0;
    return deep ? at_depth(run, T, t->depth_m, t->face) : at_height(run, T, t->at_m, t->face);
}

static void set_trace(cq_trace *t, const char *name, double at_m, int face) {
    t->name = name;
    t->at_m = at_m;
    t->face = face;
    t->t500_s = NAN;
}

cq_status cq_run_record_create(cq_run *run) {
    const cq_plan *plan = run->plan;
    cq_result *r = &run->result;
    r->traces_n = CQ_TRACES_FIXED + plan->probes_n;
    r->traces = cq_memory_zero(r->traces_n, sizeof *r->traces);
    if (r->traces == NULL) {
        return CQ_ERR_MEMORY;
    }
    const double height = run->section->height_m, inset = 1e-3;
    if (run->grid->one_dimensional) { /* body is the centre, edge the surface; there is no spine */
        set_trace(&r->traces[CQ_TRACE_EDGE], "edge", 0.0, CQ_FACE_RIGHT);
        set_trace(&r->traces[CQ_TRACE_BODY], "body", 0.0, CQ_FACE_MID);
        set_trace(&r->traces[CQ_TRACE_SPINE], "spine", 0.0, CQ_FACE_MID);
    } else {
        set_trace(&r->traces[CQ_TRACE_EDGE], "edge", inset, CQ_FACE_MID);
        set_trace(&r->traces[CQ_TRACE_BODY], "body", 0.5 * height, CQ_FACE_MID);
        set_trace(&r->traces[CQ_TRACE_SPINE], "spine", height - inset, CQ_FACE_MID);
    }
    for (size_t p = 0; p < plan->probes_n; p++) {
        set_trace(&r->traces[CQ_TRACES_FIXED + p], plan->probes[p].name, plan->probes[p].at_m, plan->probes[p].face);
        r->traces[CQ_TRACES_FIXED + p].depth_m = plan->probes[p].depth_m;
    }
    for (size_t t = 0; t < r->traces_n; t++) {
        r->traces[t].capacity = FIRST_CAPACITY;
        r->traces[t].time_s = cq_memory_grow(NULL, FIRST_CAPACITY, sizeof(double));
        r->traces[t].temp_K = cq_memory_grow(NULL, FIRST_CAPACITY, sizeof(double));
        if (r->traces[t].time_s == NULL || r->traces[t].temp_K == NULL) {
            return CQ_ERR_MEMORY;
        }
    }
    if (run->options.keep_frames) {
        const size_t most = plan->times_n > 0 ? plan->times_n + 2 : (plan->every_s > 0.0 ? 4096 : FIXED_FRAMES + 2);
        r->frames = cq_memory_zero(most, sizeof *r->frames);
        if (r->frames == NULL) {
            return CQ_ERR_MEMORY;
        }
    }
    return CQ_OK;
}

void cq_run_record_free(cq_run *run) {
    cq_result *r = &run->result;
    for (size_t t = 0; r->traces != NULL && t < r->traces_n; t++) {
        cq_memory_free(r->traces[t].time_s);
        cq_memory_free(r->traces[t].temp_K);
    }
    for (size_t f = 0; f < r->frames_n; f++) {
        cq_memory_free(r->frames[f].temp_K);
    }
    cq_memory_free(r->traces);
    cq_memory_free(r->frames);
}

/* Histories double their room now and then: the only memory a long run still takes. */
static bool append(cq_trace *t, double time_s, double temp_K) {
    if (t->n == t->capacity) {
        double *time = cq_memory_grow(t->time_s, 2 * t->capacity, sizeof(double));
        t->time_s = time == NULL ? t->time_s : time;
        double *temp = time == NULL ? NULL : cq_memory_grow(t->temp_K, 2 * t->capacity, sizeof(double));
        t->temp_K = temp == NULL ? t->temp_K : temp;
        if (temp == NULL) {
            return false;
        }
        t->capacity *= 2;
    }
    t->time_s[t->n] = time_s;
    t->temp_K[t->n++] = temp_K;
    return true;
}

static void record_traces(cq_run *run, double dt_s) {
    cq_result *r = &run->result;
    const cq_heat *h = run->heat;
    size_t lost = 0;
    for (size_t t = 0; t < r->traces_n; t++) {
        cq_trace *trace = &r->traces[t];
        const double now = reading(run, h->T, trace);
        if (dt_s > 0.0 && !run->after_steps && isnan(trace->t500_s)) {
            const double before = reading(run, h->T_old, trace);
            if (before > FIVE_HUNDRED_K && now <= FIVE_HUNDRED_K) {
                trace->t500_s = h->time_s - dt_s * (FIVE_HUNDRED_K - now) / (before - now);
            }
        }
        const bool due = t < CQ_TRACES_FIXED ? !run->after_steps : cq_run_record_due(run); /* charts need every step */
        lost += due && !append(trace, h->time_s, now);
    }
    if (lost > 0) {
        cq_run_notice(run, "history-cut", lost, "memory ran short: temperature histories are incomplete");
    }
}

/* Where pearlite is decided: at a face just wetted the rate has no bound, and says nothing. */
static const double RATE_FROM_K = 1023.15, RATE_TO_K = 773.15;

static void record_rates(cq_run *run, double dt_s) {
    for (int row = 0; row < run->steel_rows; row++) {
        const int at = cq_run_row_at(run, row);
        double *rate = run->peak_rate + (size_t)row * (size_t)run->steel_across;
        for (int j = 0; j < run->steel_across; j++) {
            const double now = (run->heat->T_old[at + j] - run->heat->T[at + j]) / dt_s;
            const bool counts = run->heat->T[at + j] <= RATE_FROM_K && run->heat->T[at + j] >= RATE_TO_K;
            rate[j] = counts && now > rate[j] ? now : rate[j];
        }
    }
}

/* The steel row in which a height lies. */
static int row_of_height(const cq_run *run, double at_m) {
    const cq_grid *g = run->grid;
    int row = 0;
    while (!g->one_dimensional && row + 1 < run->steel_rows &&
           g->node_x_m[(g->steel_i0 + row + 1) * (g->across + 1) + g->steel_j0] < at_m) {
        row++;
    }
    return row;
}

void cq_run_view_faces(const cq_run *run, cq_view *view) {
    for (int t = 0; t < CQ_TRACES_FIXED; t++) {
        const int end = 2 * (run->grid->steel_i0 + row_of_height(run, run->result.traces[t].at_m)) + CQ_SIDE_RIGHT;
        view->face_K[t] = run->heat->surface_K[end];
        view->face_flux_W_m2[t] = run->heat->outflow_W_m[end] / run->heat->ends[end].area_m;
    }
}

/* Height of each place whose film is told: the later of its two faces counts. */
static void record_film(cq_run *run, cq_film *film, double at_m) {
    if (run->step->bath.kind != CQ_BATH_BOILING && run->step->bath.kind != CQ_BATH_OIL) {
        return; /* out of the liquid a film neither stands nor collapses */
    }
    const cq_grid *g = run->grid;
    const int row = row_of_height(run, at_m);
    double share = 1.0;
    for (int side = 0; side < CQ_SIDES; side++) {
        const int end = 2 * (g->steel_i0 + row) + side;
        if (run->heat->ends[end].exposed) {
            share = fmin(share, cq_flux_wetted(run->end_law[end], &run->faces[end], run->heat->surface_K[end]));
        }
    }
    const double since = run->heat->time_s - run->entered_s;
    if (share < WETTED && since > AT_ONCE_S && film->state == CQ_FILM_NONE && isnan(film->time_s)) {
        film->state = CQ_FILM_PERSISTED;
    } else if (share >= WETTED && film->state == CQ_FILM_PERSISTED) {
        film->state = CQ_FILM_COLLAPSED;
        film->time_s = run->heat->time_s;
    }
}

/* Faces outside what the bath's table holds: the law goes on with its end value there. */
static void record_outside(cq_run *run) {
    const cq_flux_range range = cq_flux_law_range(run->law);
    double low = range.low_K, high = range.high_K;
    for (int e = 0; e < run->heat->ends_n; e++) {
        const cq_heat_end *end = &run->heat->ends[e];
        if (end->cell >= 0 && end->exposed) {
            low = fmin(low, run->heat->surface_K[e]);
            high = fmax(high, run->heat->surface_K[e]);
        }
    }
    if (low < range.low_K || high > range.high_K) {
        const bool first = run->outside.times++ == 0;
        run->outside.low_K = first ? low : fmin(low, run->outside.low_K);
        run->outside.high_K = first ? high : fmax(high, run->outside.high_K);
    }
}

void cq_run_record_step(cq_run *run, double dt_s) {
    cq_result *r = &run->result;
    record_traces(run, dt_s);
    record_outside(run);
    if (dt_s > 0.0) {
        record_rates(run, dt_s);
    }
    if (run->entered_bath) {
        const double height = run->section->height_m, inset = fmin(1e-3, 0.5 * height);
        record_film(run, &r->film_edge, inset);
        record_film(run, &r->film_body, 0.5 * height);
        record_film(run, &r->film_spine, height - inset);
    }
}

cq_status cq_run_keep_frame(cq_run *run) {
    cq_result *r = &run->result;
    const cq_grid *g = run->grid;
    const size_t cells = (size_t)g->along * (size_t)g->across;
    cq_frame *f = &r->frames[r->frames_n];
    f->temp_K = cq_memory_zero(cells * (1 + CQ_PHASES), sizeof(double));
    if (f->temp_K == NULL) {
        return CQ_ERR_MEMORY;
    }
    f->time_s = run->heat->time_s;
    for (int p = 0; p < CQ_PHASES; p++) {
        f->fraction[p] = f->temp_K + cells * (size_t)(1 + p);
    }
    for (int i = 0; i < g->along; i++) {
        memcpy(f->temp_K + (size_t)i * (size_t)g->across, run->heat->T + cq_heat_at(run->heat, i, 0),
               (size_t)g->across * sizeof(double));
    }
    for (int row = 0; run->transforming && row < run->steel_rows; row++) {
        const size_t to = (size_t)(g->steel_i0 + row) * (size_t)g->across + (size_t)g->steel_j0;
        for (int p = 0; p < CQ_PHASES; p++) {
            memcpy(f->fraction[p] + to, run->structure[run->now].fraction[p] + (size_t)row * (size_t)run->steel_across,
                   (size_t)run->steel_across * sizeof(double));
        }
    }
    r->frames_n++;
    return CQ_OK;
}

void cq_run_record_step_end(cq_run *run, size_t plan_step) {
    cq_result *r = &run->result;
    if (plan_step >= sizeof r->step_ends / sizeof r->step_ends[0]) {
        return;
    }
    const cq_trace *t = r->traces;
    double at_K[CQ_TRACES_FIXED];
    for (int n = 0; n < CQ_TRACES_FIXED; n++) {
        at_K[n] = reading(run, run->heat->T, &t[n]);
    }
    const bool gas = run->step->bath.kind == CQ_BATH_GAS;
    r->step_ends[plan_step] = (cq_step_end){run->heat->time_s, at_K[CQ_TRACE_EDGE], at_K[CQ_TRACE_BODY],
                                            at_K[CQ_TRACE_SPINE], gas ? run->step->at_K : run->bath_K};
    r->step_ends_n = plan_step + 1;
}

/* ---- times wanted ------------------------------------------------------------------------------------------------ */

/* Frames without a wish: the first after 0.05 s, each gap 1.3 times the one before, the last after 9 minutes; a quench
 * of a minute has two dozen. Chosen here. */
static double default_frame_s(size_t n) {
    return 0.05 * (pow(1.3, (double)n) - 1.0) / (1.3 - 1.0);
}

double cq_run_next_record_s(const cq_run *run) {
    const cq_plan *plan = run->plan;
    if (plan->times_n > 0) {
        return run->record_next < plan->times_n ? plan->times_s[run->record_next] : INFINITY;
    }
    if (plan->every_s > 0.0) {
        return plan->every_s * (double)run->record_next;
    }
    return run->options.keep_frames && run->record_next < FIXED_FRAMES ? default_frame_s(run->record_next) : INFINITY;
}

bool cq_run_record_due(const cq_run *run) {
    const bool wishes = run->plan->times_n > 0 || run->plan->every_s > 0.0;
    return !run->after_steps && (!wishes || run->heat->time_s >= cq_run_next_record_s(run) - 1e-9);
}

cq_status cq_run_record_frames(cq_run *run) {
    cq_result *r = &run->result;
    cq_status status = CQ_OK;
    while (status == CQ_OK && run->heat->time_s >= cq_run_next_record_s(run) - 1e-9) {
        const bool room = run->plan->every_s > 0.0 ? r->frames_n < 4000 : true;
        const bool new = r->frames_n == 0 || run->heat->time_s > r->frames[r->frames_n - 1].time_s;
        if (run->options.keep_frames && room && new) { /* a long step passes two times */
            status = cq_run_keep_frame(run);
        }
        if (run->options.keep_frames && !room) {
            cq_run_notice(run, "frames-cut", 1, "fields are kept for the first 4000 times only");
        }
        run->record_next++;
    }
    return status;
}
