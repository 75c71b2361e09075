/* section_system.c - see section_system.h. With the notation of conduction/step.c everything stands at the temperature
 * itself: nothing is extrapolated, linearised or split. */
#include "section_system.h"

#include "../coated_section.h"
#include "conduction/closure.h"
#include "quench/run.h"

#include <stdlib.h>
#include <string.h>

enum { WEIGHTS = 4 };

/* scipy_rival.py reads the four structures below by the same fields. */

/* A face between two cells. Tangential difference: vertex[1] - vertex[0]. */
typedef struct face {
    int cell[2], vertex[2];
    double shape[2], skew;
    double half[2], g; /* conductances of its halves and of both, W/m/K */
} face;

/* Temperature of an across-face for the cross terms: weight[0] T[cell[0]] + weight[1] T[cell[1]]. */
typedef struct trace {
    int cell[2];
    int inner;    /* face whose halves weigh it; -1 at an end of a row */
    int next;     /* at an end: the face inward whose flux is continued; -1: the cell's own temperature */
    double shape; /* at an end: of the cell's half */
    double weight[2], temp;
} trace;

typedef struct vertex {
    int trace[WEIGHTS]; /* -1: none */
    double weight[WEIGHTS], temp;
} vertex;

typedef struct outer {
    int end, cell, vertex[2];
    double area, shape, film, skew;
    double Ts_K, out_W_m, response;
} outer;

struct section_system {
    cq_plan plan;
    cq_step_plan step;
    cq_run *run;
    int cells, faces_n, traces_n, vertices_n, outers_n;
    int *place; /* of each cell in the grid */
    double *volume, *k, *dk, *c, *dc, *gain;
    face *faces;
    trace *traces;
    vertex *vertices;
    outer *outers;
    /* Jacobian: its entries come in the same order each time; `slot` says where each is added */
    int *columns, *rows, *slot;
    size_t slots_n, slots_room;
    size_t at;
    bool recording;
    int (*recorded)[2]; /* column, row */
    double *values;
};

/* ---- layout ------------------------------------------------------------------------------------------------------ */

typedef struct layout {
    section_system *s;
    const cq_heat *h;
    int *cell, *face_across, *trace, *vertex; /* by padded element, -1: none */
} layout;

static void add_face(section_system *s, const layout *l, int low, int high, const double shape[2], double skew, int v0,
                     int v1) {
    s->faces[s->faces_n++] =
        (face){{l->cell[low], l->cell[high]}, {l->vertex[v0], l->vertex[v1]}, {shape[0], shape[1]}, skew, {0, 0}, 0};
}

static void number_cells(layout *l) {
    section_system *s = l->s;
    const cq_grid *g = s->run->grid;
    for (int i = 0; i < g->along; i++) {
        for (int j = 0; j < g->across; j++) {
            if (g->kind[i * g->across + j] != CQ_CELL_NONE) {
                const int at = cq_heat_at(l->h, i, j);
                l->cell[at] = s->cells;
                s->volume[s->cells] = l->h->volume[at];
                s->place[s->cells++] = i * g->across + j;
            }
        }
    }
}

/* Vertices carry the numbers of their traces once these are known. */
static void number_vertices(layout *l) {
    section_system *s = l->s;
    for (size_t at = 2 * (size_t)l->h->stride; at + (size_t)l->h->stride < l->h->size; at++) {
        double sum = 0.0;
        vertex v;
        for (int n = 0; n < WEIGHTS; n++) {
            v.weight[n] = l->h->vertex_weight[n][at];
            v.trace[n] = fabs(v.weight[n]) > 0.0 ? (int)at + (n - 2) * l->h->stride : -1;
            sum += fabs(v.weight[n]);
        }
        if (sum > 0.0) {
            l->vertex[at] = s->vertices_n;
            s->vertices[s->vertices_n++] = v;
        }
    }
}

static void list_faces(layout *l) {
    const cq_heat *h = l->h;
    const cq_grid *g = h->grid;
    for (int i = 0; i <= g->along; i++) {
        for (int j = 0; j <= g->across; j++) {
            const int at = cq_heat_at(h, i, j);
            if (h->across_low[at] > 0.0) {
                l->face_across[at] = l->s->faces_n;
                add_face(l->s, l, at - 1, at, (double[]){h->across_low[at], h->across_high[at]}, h->across_skew[at], at,
                         at + h->stride);
            }
            if (h->along_low[at] > 0.0) {
                add_face(l->s, l, at - h->stride, at, (double[]){h->along_low[at], h->along_high[at]},
                         h->along_skew[at], at, at + 1);
            }
        }
    }
}

static void list_traces(layout *l) {
    section_system *s = l->s;
    const cq_heat *h = l->h;
    const cq_grid *g = h->grid;
    for (int i = 0; i < g->along; i++) {
        const cq_heat_end *low = &h->ends[2 * i], *high = low + 1;
        for (int at = low->cell; low->cell >= 0 && at <= high->cell + 1; at++) {
            trace t = {.inner = l->face_across[at], .next = -1};
            const bool first = at == low->cell, last = at == high->cell + 1;
            t.cell[0] = l->cell[last ? at - 1 : first ? at : at - 1];
            t.cell[1] = l->cell[last                              ? (low->cell < high->cell ? at - 2 : at - 1)
                                : first && low->cell < high->cell ? at + 1
                                                                  : at];
            if ((first && low->exposed) || (last && high->exposed)) {
                t.next = low->cell < high->cell ? l->face_across[first ? at + 1 : at - 1] : -1;
                t.shape = first ? low->shape : high->shape;
            }
            l->trace[at] = s->traces_n;
            s->traces[s->traces_n++] = t;
        }
    }
    for (int v = 0; v < s->vertices_n; v++) {
        for (int n = 0; n < WEIGHTS; n++) {
            s->vertices[v].trace[n] = s->vertices[v].trace[n] >= 0 ? l->trace[s->vertices[v].trace[n]] : -1;
        }
    }
}

static void list_outers(layout *l) {
    const cq_heat *h = l->h;
    for (int e = 0; e < h->ends_n; e++) {
        const cq_heat_end *end = &h->ends[e];
        if (end->cell >= 0 && end->exposed) {
            l->s->outers[l->s->outers_n++] =
                (outer){.end = e,
                        .cell = l->cell[end->cell],
                        .vertex = {l->vertex[end->vertex_low], l->vertex[end->vertex_high]},
                        .area = end->area_m,
                        .shape = end->shape,
                        .film = end->film_mK_W,
                        .skew = end->skew};
        }
    }
}

static bool lay_out(section_system *s) {
    const cq_heat *h = s->run->heat;
    const size_t n = h->size;
    int *maps = malloc(4 * n * sizeof *maps);
    double *numbers = calloc(6 * n, sizeof *numbers);
    s->place = malloc(n * sizeof *s->place);
    s->faces = malloc(2 * n * sizeof *s->faces);
    s->traces = malloc(n * sizeof *s->traces);
    s->vertices = malloc(n * sizeof *s->vertices);
    s->outers = malloc((size_t)h->ends_n * sizeof *s->outers);
    s->volume = numbers;
    if (maps == NULL || numbers == NULL || !s->place || !s->faces || !s->traces || !s->vertices || !s->outers) {
        free(maps);
        return false;
    }
    double **parts[] = {&s->k, &s->dk, &s->c, &s->dc, &s->gain};
    for (int p = 0; p < 5; p++) {
        *parts[p] = numbers + (size_t)(p + 1) * n;
    }
    memset(maps, 0xff, 4 * n * sizeof *maps); /* -1 */
    layout l = {s, h, maps, maps + n, maps + 2 * n, maps + 3 * n};
    number_cells(&l);
    number_vertices(&l);
    list_faces(&l);
    list_traces(&l);
    list_outers(&l);
    free(maps);
    return true;
}

/* ---- rate -------------------------------------------------------------------------------------------------------- */

static void properties(section_system *s, const double *T) {
    const cq_grid *g = s->run->grid;
    for (int n = 0; n < s->cells; n++) {
        const cq_sampled *m = g->kind[s->place[n]] == CQ_CELL_STEEL ? &s->run->inert : &s->run->clay;
        double H;
        cq_sampled_at(m, T[n], &s->k[n], &s->c[n], &H);
        const int i = (int)fmin(fmax(T[n] - CQ_SAMPLED_FIRST_K, 0.0), CQ_SAMPLED_NODES - 2);
        s->dk[n] = m->k[i + 1] - m->k[i]; /* samples are a kelvin apart */
        s->dc[n] = m->c[i + 1] - m->c[i];
    }
}

static void conductances(section_system *s) {
    for (int f = 0; f < s->faces_n; f++) {
        face *a = &s->faces[f];
        a->half[0] = s->k[a->cell[0]] * a->shape[0];
        a->half[1] = s->k[a->cell[1]] * a->shape[1];
        a->g = a->half[0] * a->half[1] / (a->half[0] + a->half[1]);
    }
}

static void vertex_temperatures(section_system *s, const double *T) {
    for (int n = 0; n < s->traces_n; n++) {
        trace *t = &s->traces[n];
        if (t->inner >= 0) {
            const face *f = &s->faces[t->inner];
            t->weight[1] = f->half[1] / (f->half[0] + f->half[1]);
            t->weight[0] = 1.0 - t->weight[1];
        } else {
            const double share = t->next >= 0 ? s->faces[t->next].g / (s->k[t->cell[0]] * t->shape) : 0.0;
            t->weight[0] = 1.0 + share;
            t->weight[1] = -share;
        }
        t->temp = t->weight[0] * T[t->cell[0]] + t->weight[1] * T[t->cell[1]];
    }
    for (int n = 0; n < s->vertices_n; n++) {
        vertex *v = &s->vertices[n];
        v->temp = 0.0;
        for (int w = 0; w < WEIGHTS; w++) {
            v->temp += v->trace[w] >= 0 ? v->weight[w] * s->traces[v->trace[w]].temp : 0.0;
        }
    }
}

static double tangential(const section_system *s, const int pair[2]) {
    return s->vertices[pair[1]].temp - s->vertices[pair[0]].temp;
}

static double drop(const section_system *s, const face *f, const double *T) {
    return T[f->cell[1]] - T[f->cell[0]] - f->skew * tangential(s, f->vertex);
}

static void gains(section_system *s, const double *T) {
    memset(s->gain, 0, (size_t)s->cells * sizeof(double));
    for (int n = 0; n < s->faces_n; n++) {
        const face *f = &s->faces[n];
        const double flux = -f->g * drop(s, f, T);
        s->gain[f->cell[0]] -= flux;
        s->gain[f->cell[1]] += flux;
    }
    for (int n = 0; n < s->outers_n; n++) {
        outer *o = &s->outers[n];
        o->response = 1.0 / (s->k[o->cell] * o->shape) + o->film;
        cq_closure one = {.end = o->end,
                          .area_m = o->area,
                          .response = o->response,
                          .drive_K = T[o->cell] + o->skew * tangential(s, o->vertex),
                          .Ts_K = o->Ts_K};
        cq_closure_solve(&s->run->client, &one);
        o->Ts_K = one.Ts_K;
        o->out_W_m = one.out_W_m;
        s->gain[o->cell] -= one.out_W_m;
    }
}

static void evaluate(section_system *s, const double *T) {
    properties(s, T);
    conductances(s);
    vertex_temperatures(s, T);
    gains(s, T);
}

void section_system_rate(section_system *s, const double *T, double *rate) {
    evaluate(s, T);
    for (int n = 0; n < s->cells; n++) {
        rate[n] = s->gain[n] / (s->c[n] * s->volume[n]);
    }
}

/* ---- Jacobian ---------------------------------------------------------------------------------------------------- */

/* d(gain of row)/dT of column, W/m/K. */
static void put(section_system *s, int row, int column, double value) {
    if (!s->recording) {
        s->values[s->slot[s->at++]] += value / (s->c[row] * s->volume[row]);
    } else if (s->slots_n < s->slots_room) {
        s->recorded[s->slots_n][0] = column;
        s->recorded[s->slots_n++][1] = row;
    }
}

/* Into each of `rows_n` rows, with its own factor: the derivative of the tangential difference. */
static void put_tangential(section_system *s, const int pair[2], const int *row, const double *factor, int rows_n) {
    for (int end = 0; end < 2; end++) {
        const vertex *v = &s->vertices[pair[end]];
        for (int w = 0; w < WEIGHTS; w++) {
            if (v->trace[w] < 0) {
                continue;
            }
            const trace *t = &s->traces[v->trace[w]];
            const double weight = end == 1 ? v->weight[w] : -v->weight[w];
            for (int r = 0; r < rows_n; r++) {
                put(s, row[r], t->cell[0], factor[r] * weight * t->weight[0]);
                put(s, row[r], t->cell[1], factor[r] * weight * t->weight[1]);
            }
        }
    }
}

static void put_face(section_system *s, const face *f, const double *T) {
    const double gap = drop(s, f, T), d[2] = {f->g, -f->g};
    for (int n = 0; n < 2; n++) { /* flux = -g gap */
        const double share = f->g / f->half[n], dg = share * share * f->shape[n] * s->dk[f->cell[n]];
        put(s, f->cell[0], f->cell[n], -(d[n] - dg * gap));
        put(s, f->cell[1], f->cell[n], d[n] - dg * gap);
    }
    if (fabs(f->skew) > 1e-12) {
        put_tangential(s, f->vertex, f->cell, (double[]){-f->g * f->skew, f->g * f->skew}, 2);
    }
}

/* Ts + S Q = B, Q = A q(Ts):  dQ/dB = p = A q' / (1 + S A q'),  dQ/dS = -p Q. */
static void put_outer(section_system *s, const outer *o) {
    double slope;
    s->run->client.flux(s->run->client.context, o->end, o->Ts_K, &slope);
    const double p = o->area * slope / (1.0 + o->response * o->area * slope), k = s->k[o->cell];
    put(s, o->cell, o->cell, -p * (1.0 + o->out_W_m * s->dk[o->cell] / (k * k * o->shape)));
    if (fabs(o->skew) > 1e-12) {
        put_tangential(s, o->vertex, &o->cell, (double[]){-p * o->skew}, 1);
    }
}

static void put_all(section_system *s, const double *T) {
    s->at = 0;
    for (int n = 0; n < s->cells; n++) {
        put(s, n, n, -s->gain[n] * s->dc[n] / s->c[n]);
    }
    for (int n = 0; n < s->faces_n; n++) {
        put_face(s, &s->faces[n], T);
    }
    for (int n = 0; n < s->outers_n; n++) {
        put_outer(s, &s->outers[n]);
    }
}

void section_system_jacobian(section_system *s, const double *T, double *values) {
    evaluate(s, T);
    memset(values, 0, (size_t)s->columns[s->cells] * sizeof(double));
    s->values = values;
    put_all(s, T);
}

static int by_column(const void *a, const void *b) {
    const int *x = a, *y = b;
    return x[0] != y[0] ? x[0] - y[0] : x[1] - y[1];
}

/* Record the order of entries once, then find each one's place among the sorted ones. */
static bool find_pattern(section_system *s, const double *T) {
    s->slots_room = (size_t)s->cells * 200;
    s->recorded = malloc(s->slots_room * sizeof *s->recorded);
    int(*sorted)[2] = malloc(s->slots_room * sizeof *sorted);
    s->slot = malloc(s->slots_room * sizeof *s->slot);
    s->rows = malloc(s->slots_room * sizeof *s->rows);
    s->columns = calloc((size_t)s->cells + 1, sizeof *s->columns);
    bool done = s->recorded && sorted && s->slot && s->rows && s->columns;
    if (done) {
        evaluate(s, T);
        s->recording = true;
        put_all(s, T);
        s->recording = false;
        done = s->slots_n < s->slots_room;
        memcpy(sorted, s->recorded, s->slots_n * sizeof *sorted);
        qsort(sorted, s->slots_n, sizeof *sorted, by_column);
        size_t n = 0;
        for (size_t e = 0; e < s->slots_n; e++) {
            if (e == 0 || by_column(sorted[e], sorted[n - 1]) != 0) {
                memmove(sorted[n], sorted[e], sizeof *sorted);
                s->rows[n] = sorted[n][1];
                s->columns[sorted[n][0] + 1]++;
                n++;
            }
        }
        for (int c = 0; c < s->cells; c++) {
            s->columns[c + 1] += s->columns[c];
        }
        for (size_t e = 0; e < s->slots_n; e++) {
            s->slot[e] = (int)((int(*)[2])bsearch(s->recorded[e], sorted, n, sizeof *sorted, by_column) - sorted);
        }
    }
    free(sorted);
    free(s->recorded);
    s->recorded = NULL;
    return done;
}

/* ---- door -------------------------------------------------------------------------------------------------------- */

const void *section_system_part(const section_system *s, int part, int *n) {
    const void *const parts[] = {s->faces, s->traces, s->vertices, s->outers, s->volume};
    const int counts[] = {s->faces_n, s->traces_n, s->vertices_n, s->outers_n, s->cells};
    *n = counts[part];
    return parts[part];
}

void section_system_begin(section_system *s) {
    for (int n = 0; n < s->outers_n; n++) {
        s->outers[n].Ts_K = s->plan.heat.start_K;
    }
}

section_system *section_system_create(int refine) {
    section_system *s = calloc(1, sizeof *s);
    if (s == NULL) {
        return NULL;
    }
    coated_section_plan(&s->plan, &s->step, refine);
    double *T = NULL;
    bool done = cq_run_create(&s->run, &s->plan, NULL, NULL) >= 0 && cq_run_enter(s->run, &s->step, NULL) >= 0 &&
                lay_out(s) && (T = malloc((size_t)s->cells * sizeof *T)) != NULL;
    if (done) {
        section_system_begin(s);
        for (int n = 0; n < s->cells; n++) {
            T[n] = s->plan.heat.start_K;
        }
        done = find_pattern(s, T);
        section_system_begin(s);
    }
    free(T);
    if (!done) {
        section_system_free(s);
        return NULL;
    }
    return s;
}

void section_system_free(section_system *s) {
    if (s == NULL) {
        return;
    }
    cq_run_free(s->run);
    void *blocks[] = {s->place, s->volume, s->faces, s->traces, s->vertices, s->outers, s->columns, s->rows, s->slot};
    for (size_t n = 0; n < sizeof blocks / sizeof blocks[0]; n++) {
        free(blocks[n]);
    }
    free(s);
}

int section_system_cells(const section_system *s) {
    return s->cells;
}

int section_system_nonzeros(const section_system *s) {
    return s->columns[s->cells];
}

const int *section_system_columns(const section_system *s) {
    return s->columns;
}

const int *section_system_rows(const section_system *s) {
    return s->rows;
}

int section_system_is_steel(const section_system *s, int cell) {
    return s->run->grid->kind[s->place[cell]] == CQ_CELL_STEEL;
}

int section_system_place(const section_system *s, int cell) {
    return s->place[cell];
}
