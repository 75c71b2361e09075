/* fluxes.c - see fluxes.h. Arrays do not overlap: rows are worked on CQ_LANES at a time. */
#include "conduction/fluxes.h"

#include "base/vector.h"

#define TINY 1e-300

/* Conductance of the faces of one row, and the temperature at its across-faces. */
static inline void conductances_of_row(const cq_heat *h, int n, int at) {
    const double *k = h->k + at, *T = h->T_cross + at;
    const double *across_low = h->across_low + at, *across_high = h->across_high + at;
    const double *along_low = h->along_low + at, *along_high = h->along_high + at;
    double *across_g = h->across_g + at, *along_g = h->along_g + at, *face_T = h->face_T + at;
    const int stride = h->stride;
    CQ_INDEPENDENT
    for (int j = 0; j < n; j++) {
        const double lo = k[j - 1] * across_low[j], hi = k[j] * across_high[j], sum = lo + hi + TINY;
        across_g[j] = lo * hi / sum;
        face_T[j] = (lo * T[j - 1] + hi * T[j]) / sum;
        const double below = k[j - stride] * along_low[j], above = k[j] * along_high[j];
        along_g[j] = below * above / (below + above + TINY);
    }
}

static inline void vertices_of_row(const cq_heat *h, int n, int at) {
    const double *face_T = h->face_T + at;
    const double *w0 = h->vertex_weight[0] + at, *w1 = h->vertex_weight[1] + at;
    const double *w2 = h->vertex_weight[2] + at, *w3 = h->vertex_weight[3] + at;
    double *vertex_T = h->vertex_T + at;
    const int stride = h->stride;
    CQ_INDEPENDENT
    for (int j = 0; j < n; j++) {
        vertex_T[j] = w0[j] * face_T[j - 2 * stride] + w1[j] * face_T[j - stride] + w2[j] * face_T[j] +
                      w3[j] * face_T[j + stride];
    }
}

/* Flux along the height through the low faces of one row, W/m, positive upward. */
static inline void along_flux(const cq_heat *h, int n, int at, double *flux) {
    const double *g = h->along_g + at, *skew = h->along_skew + at;
    const double *T = h->T_base + at, *vertex_T = h->vertex_T + at;
    const int stride = h->stride;
    CQ_INDEPENDENT
    for (int j = 0; j < n; j++) {
        flux[j] = -g[j] * (T[j] - T[j - stride] - skew[j] * (vertex_T[j + 1] - vertex_T[j]));
    }
}

/* The same through the across faces of one row. */
static inline void across_flux(const cq_heat *h, int n, int at, double *flux) {
    const double *g = h->across_g + at, *skew = h->across_skew + at;
    const double *T = h->T_base + at, *vertex_T = h->vertex_T + at;
    const int stride = h->stride;
    CQ_INDEPENDENT
    for (int j = 0; j < n; j++) {
        flux[j] = -g[j] * (T[j] - T[j - 1] - skew[j] * (vertex_T[j + stride] - vertex_T[j]));
    }
}

static inline void balance(const cq_heat *h, const cq_bdf *step, int n, int at, const double *across, const double *low,
                           const double *high) {
    const double *T_base = h->T_base + at, *T_star = h->T_star + at;
    const double *T = h->T + at, *T_old = h->T_old + at;
    const double *H_star = h->H_star + at, *H = h->H + at, *H_old = h->H_old + at;
    const double *c = h->c + at, *volume = h->volume + at, *film = h->film_heat + at;
    const double *here = h->exists + at;
    double *capacity = h->capacity + at, *rhs = h->rhs + at;
    const double dt = step->dt_s, a0 = step->a0, a1 = step->a1, a2 = step->a2;
    CQ_INDEPENDENT
    for (int j = 0; j < n; j++) {
        const double stored =
            volume[j] * (a0 * (H_star[j] + c[j] * (T_base[j] - T_star[j])) - a1 * H[j] + a2 * H_old[j]) +
            film[j] * (a0 * T_base[j] - a1 * T[j] + a2 * T_old[j]);
        capacity[j] = a0 * (c[j] * volume[j] + film[j]) + (1.0 - here[j]);
        rhs[j] = dt * (across[j] - across[j + 1] + low[j] - high[j]) - stored;
    }
}

/* Temperature at the outer across-faces by continuing the flux of the next face inward: needs no closure. */
static void extend_face_temperatures(cq_heat *h) {
    const cq_grid *grid = h->grid;
    for (int i = 0; i < grid->along; i++) {
        const cq_heat_end *low = &h->ends[2 * i], *high = low + 1;
        if (low->cell < 0) {
            continue;
        }
        const int a = low->cell, b = high->cell;
        const double *T = h->T_cross;
        h->face_T[a] = T[a];
        h->face_T[b + 1] = T[b];
        if (a < b) {
            h->face_T[a] += low->exposed ? h->across_g[a + 1] * (T[a] - T[a + 1]) / (h->k[a] * low->shape) : 0.0;
            h->face_T[b + 1] += high->exposed ? h->across_g[b] * (T[b] - T[b - 1]) / (h->k[b] * high->shape) : 0.0;
        }
    }
}

static void apply_gaps(cq_heat *h) {
    for (size_t n = 0; h->contact_m2K_W > 0.0 && n < h->gaps_n; n++) {
        double *g = (h->gaps[n].along ? h->along_g : h->across_g) + h->gaps[n].face;
        *g = *g / (1.0 + *g * h->contact_m2K_W / h->gaps[n].area_m);
    }
}

CQ_VECTOR_KERNEL static void conductances(const cq_heat *h) {
    for (int i = 0; i <= h->grid->along; i++) {
        conductances_of_row(h, h->grid->across + 1, cq_heat_at(h, i, 0));
    }
}

CQ_VECTOR_KERNEL static void vertices(const cq_heat *h) {
    for (int i = 0; i <= h->grid->along; i++) {
        vertices_of_row(h, h->grid->across + 1, cq_heat_at(h, i, 0));
    }
}

void cq_fluxes_prepare(cq_heat *h) {
    conductances(h);
    apply_gaps(h);
    if (!h->grid->one_dimensional) {
        extend_face_temperatures(h);
        vertices(h);
    }
}

CQ_VECTOR_KERNEL static void assemble(const cq_heat *h, const cq_bdf *step) {
    const int n = h->grid->across;
    double *low = h->flux_along[0], *high = h->flux_along[1];
    along_flux(h, n, cq_heat_at(h, 0, 0), low);
    for (int i = 0; i < h->grid->along; i++) {
        const int at = cq_heat_at(h, i, 0);
        along_flux(h, n, at + h->stride, high);
        across_flux(h, n + 1, at, h->row_flux);
        balance(h, step, n, at, h->row_flux, low, high);
        double *swap = low;
        low = high;
        high = swap;
    }
}

void cq_fluxes_assemble(cq_heat *h, const cq_bdf *step) {
    assemble(h, step);
}
