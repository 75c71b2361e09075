/* heat.c - creation and bookkeeping of the heat solver: arrays, line ends, history, energy. The step is in step.c. */
#include "conduction/heat.h"

#include "base/memory.h"
#include "base/vector.h"

#include <string.h>

enum { GUARD_ROWS = 2 };

static bool exists(const cq_grid *g, int i, int j) {
    return i >= 0 && i < g->along && j >= 0 && j < g->across && g->kind[i * g->across + j] != CQ_CELL_NONE;
}

void cq_heat_free(cq_heat *h) {
    if (h == NULL) {
        return;
    }
    cq_memory_free(h->block);
    cq_memory_free(h->held);
    cq_memory_free(h->ends);
    cq_memory_free(h->gaps);
    cq_memory_free(h);
}

static bool allocate(cq_heat *h) {
    double **padded[] = {&h->T,
                         &h->T_old,
                         &h->H,
                         &h->H_old,
                         &h->T_new,
                         &h->H_new,
                         &h->T_star,
                         &h->T_base,
                         &h->T_cross,
                         &h->clay,
                         &h->k,
                         &h->c,
                         &h->H_star,
                         &h->H_linear,
                         &h->volume,
                         &h->exists,
                         &h->across_low,
                         &h->across_high,
                         &h->across_skew,
                         &h->along_low,
                         &h->along_high,
                         &h->along_skew,
                         &h->across_g,
                         &h->along_g,
                         &h->face_T,
                         &h->vertex_T,
                         &h->rhs,
                         &h->capacity,
                         &h->delta,
                         &h->film_heat,
                         &h->flux_along[0],
                         &h->flux_along[1],
                         &h->vertex_weight[0],
                         &h->vertex_weight[1],
                         &h->vertex_weight[2],
                         &h->vertex_weight[3]};
    double **per_end[] = {&h->surface_K,    &h->outflow_W_m,    &h->surface_new_K, &h->outflow_new_W_m,
                          &h->end_star_W_m, &h->end_slope_W_mK, &h->drawn_W_m};
    const size_t padded_n = sizeof padded / sizeof padded[0], per_end_n = sizeof per_end / sizeof per_end[0];
    const size_t ends = ((size_t)h->ends_n + CQ_LANES - 1) / CQ_LANES * CQ_LANES; /* every array begins on a vector */
    const size_t longest = (size_t)(h->rows > h->stride ? h->rows : h->stride);
    const size_t line_n = longest * (sizeof(cq_line_cell) / sizeof(double));
    double *next = h->block =
        cq_memory_zero(padded_n * h->size + per_end_n * ends + line_n + (size_t)h->stride + CQ_LANES, sizeof(double));
    if (next == NULL) {
        return false;
    }
    for (size_t a = 0; a < padded_n; a++, next += h->size) {
        *padded[a] = next;
    }
    for (size_t a = 0; a < per_end_n; a++, next += ends) {
        *per_end[a] = next;
    }
    h->lines = (cq_line_cell *)next; /* doubles like all the rest */
    h->row_flux = next + line_n;
    h->ends = cq_memory_zero((size_t)h->ends_n, sizeof *h->ends);
    h->held = cq_memory_zero((size_t)h->ends_n, sizeof *h->held);
    return h->ends != NULL && h->held != NULL;
}

static void copy_metrics(cq_heat *h) {
    const cq_grid *g = h->grid;
    for (int i = 0; i < g->along; i++) {
        for (int j = 0; j < g->across; j++) {
            const int at = cq_heat_at(h, i, j), cell = i * g->across + j;
            h->exists[at] = exists(g, i, j) ? 1.0 : 0.0;
            h->clay[at] = g->kind[cell] == CQ_CELL_CLAY ? 1.0 : 0.0;
            h->volume[at] = exists(g, i, j) ? g->area_m2[cell] : 0.0;
        }
        for (int j = 0; j <= g->across; j++) {
            const int at = cq_heat_at(h, i, j), face = i * (g->across + 1) + j;
            const bool inner = exists(g, i, j - 1) && exists(g, i, j);
            h->across_low[at] = inner ? g->across_low[face] : 0.0;
            h->across_high[at] = inner ? g->across_high[face] : 0.0;
            h->across_skew[at] = inner ? g->across_skew[face] : 0.0;
        }
    }
    for (int i = 0; i <= g->along && !g->one_dimensional; i++) {
        for (int j = 0; j < g->across; j++) {
            const int at = cq_heat_at(h, i, j), face = i * g->across + j;
            const bool inner = exists(g, i - 1, j) && exists(g, i, j);
            h->along_low[at] = inner ? g->along_low[face] : 0.0;
            h->along_high[at] = inner ? g->along_high[face] : 0.0;
            h->along_skew[at] = inner ? g->along_skew[face] : 0.0;
        }
    }
}

/* Half length of row i along the height at across-face (i, j): weights of the vertex average. */
static double half_row(const cq_grid *g, int i, int j) {
    const int a = i * (g->across + 1) + j, b = a + g->across + 1;
    return 0.5 * hypot(g->node_x_m[b] - g->node_x_m[a], g->node_y_m[b] - g->node_y_m[a]);
}

static bool face_exists(const cq_grid *g, int i, int j) {
    return exists(g, i, j - 1) || exists(g, i, j);
}

/* A vertex takes its temperature from the across-faces below and above it; at the end of a run it is extrapolated from
 * the two nearest faces of the run, so that tangential slopes stay second order inside and first order at ends. A run
 * of steel ends at the corner of the steel, though coats meet there: their tiny corner cells hardly feel the steel and
 * are thrown about by the across solve; taken into the corner's temperature they swing against the steel below through
 * its cross flux, and only steps of milliseconds hold them. */
static void weigh_vertices(cq_heat *h) {
    const cq_grid *g = h->grid;
    if (g->one_dimensional) {
        return;
    }
    for (int i = 0; i <= g->along; i++) {
        for (int j = 0; j <= g->across; j++) {
            const int at = cq_heat_at(h, i, j);
            double w[4] = {0.0, 0.0, 0.0, 0.0}; /* of faces i-2, i-1, i, i+1 */
            const bool corner = j == g->steel_j1 || (j == g->steel_j0 && !g->symmetric);
            const bool below = face_exists(g, i - 1, j) && !(corner && i == g->steel_i0);
            const bool above = face_exists(g, i, j) && !(corner && i == g->steel_i1);
            if (below && above) {
                const double lb = half_row(g, i - 1, j), la = half_row(g, i, j);
                w[1] = la / (la + lb);
                w[2] = lb / (la + lb);
            } else if (above) {
                w[2] = 1.0;
                if (face_exists(g, i + 1, j)) {
                    const double near = half_row(g, i, j), far = half_row(g, i + 1, j);
                    w[3] = -near / (near + far);
                    w[2] -= w[3];
                }
            } else if (below) {
                w[1] = 1.0;
                if (face_exists(g, i - 2, j)) {
                    const double near = half_row(g, i - 1, j), far = half_row(g, i - 2, j);
                    w[0] = -near / (near + far);
                    w[1] -= w[0];
                }
            }
            for (int n = 0; n < 4; n++) {
                h->vertex_weight[n][at] = w[n];
            }
        }
    }
}

static void describe_row_ends(cq_heat *h) {
    const cq_grid *g = h->grid;
    for (int i = 0; i < g->along; i++) {
        int first = g->across, last = -1;
        for (int j = 0; j < g->across; j++) {
            if (exists(g, i, j)) {
                first = j < first ? j : first;
                last = j;
            }
        }
        for (int high = 0; high < 2; high++) {
            cq_heat_end *end = &h->ends[2 * i + high];
            end->cell = -1;
            if (last < 0) {
                continue;
            }
            const int face_j = high ? last + 1 : first, face = i * (g->across + 1) + face_j;
            end->cell = cq_heat_at(h, i, high ? last : first);
            end->area_m = g->across_area_m[face];
            end->shape = high ? g->across_low[face] : g->across_high[face];
            end->skew = high ? g->across_skew[face] : -g->across_skew[face];
            end->vertex_low = cq_heat_at(h, i, face_j);
            end->vertex_high = cq_heat_at(h, i + 1, face_j);
            end->exposed = !(g->symmetric && !high) && end->area_m > 0.0;
        }
    }
}

/* Columns: the outermost run touching the edge (or spine) side is exposed; a coat that tapers to nothing in the middle
 * of a face ends in a cell a few hundredths of a millimetre high, which is left adiabatic. */
static void describe_column_ends(cq_heat *h) {
    const cq_grid *g = h->grid;
    for (int j = 0; j < g->across; j++) {
        int first = g->along, last = -1;
        for (int i = 0; i < g->along; i++) {
            if (exists(g, i, j)) {
                first = i < first ? i : first;
                last = i;
            }
        }
        for (int high = 0; high < 2; high++) {
            const int index = 2 * (g->along + j) + high;
            cq_heat_end *end = &h->ends[index];
            end->cell = -1;
            if (last < 0 || g->one_dimensional) {
                continue;
            }
            const int face_i = high ? last + 1 : first, face = face_i * g->across + j;
            end->cell = cq_heat_at(h, high ? last : first, j);
            end->area_m = g->along_area_m[face];
            end->shape = high ? g->along_low[face] : g->along_high[face];
            end->skew = high ? g->along_skew[face] : -g->along_skew[face];
            end->vertex_low = cq_heat_at(h, face_i, j);
            end->vertex_high = cq_heat_at(h, face_i, j + 1);
            end->exposed = (high ? last >= g->steel_i1 - 1 : first <= g->steel_i0) && end->area_m > 0.0;
        }
    }
}

static void lump_film_heat(cq_heat *h, const double *film_heat_J_m2K) {
    if (film_heat_J_m2K == NULL) {
        return;
    }
    for (int e = 0; e < h->ends_n; e++) {
        if (h->ends[e].cell >= 0 && h->ends[e].exposed) {
            h->film_heat[h->ends[e].cell] += film_heat_J_m2K[e] * h->ends[e].area_m;
        }
    }
}

/* Faces between clay and steel. */
static cq_status list_gaps(cq_heat *h) {
    const cq_grid *g = h->grid;
    h->gaps = cq_memory_zero(2 * (size_t)(g->along + g->across) + 4, sizeof *h->gaps);
    if (h->gaps == NULL) {
        return CQ_ERR_MEMORY;
    }
    for (int i = 0; i < g->along; i++) {
        for (int j = 0; j < g->across; j++) {
            if (!exists(g, i, j)) {
                continue;
            }
            const int kind = g->kind[i * g->across + j];
            const size_t at = (size_t)cq_heat_at(h, i, j);
            if (j > 0 && exists(g, i, j - 1) && g->kind[i * g->across + j - 1] != kind) {
                h->gaps[h->gaps_n++] = (struct cq_heat_gap){at, false, g->across_area_m[i * (g->across + 1) + j]};
            }
            if (i > 0 && exists(g, i - 1, j) && g->kind[(i - 1) * g->across + j] != kind) {
                h->gaps[h->gaps_n++] = (struct cq_heat_gap){at, true, g->along_area_m[i * g->across + j]};
            }
        }
    }
    return CQ_OK;
}

cq_status cq_heat_create(cq_heat **heat, const cq_grid *grid, const double *film_heat_J_m2K, cq_error *error) {
    cq_heat *h = cq_memory_zero(1, sizeof *h);
    if (h == NULL) {
        return cq_error_say(error, CQ_ERR_MEMORY, "", "", "", "heat solver");
    }
    h->grid = grid;
    h->stride = (grid->across + 1 + CQ_LANES - 1) / CQ_LANES * CQ_LANES;
    h->rows = (grid->along + CQ_LANES) / CQ_LANES * CQ_LANES + 2 * GUARD_ROWS;
    h->size = (size_t)h->rows * (size_t)h->stride;
    h->ends_n = cq_heat_ends(grid);
    h->split_tolerance = 1e-3;
    if (!allocate(h)) {
        cq_heat_free(h);
        return cq_error_say(error, CQ_ERR_MEMORY, "grid", "a grid that fits in memory", "use fewer cells",
                            "%d x %d cells", grid->along, grid->across);
    }
    copy_metrics(h);
    weigh_vertices(h);
    describe_row_ends(h);
    describe_column_ends(h);
    lump_film_heat(h, film_heat_J_m2K);
    const cq_status status = list_gaps(h);
    if (status != CQ_OK) {
        cq_heat_free(h);
        return cq_error_say(error, status, "clay.contact", "", "", "contact faces");
    }
    for (size_t a = 0; a < h->size; a++) { /* padding must be finite: it is multiplied by zero */
        h->k[a] = h->c[a] = h->capacity[a] = 1.0;
        h->T[a] = h->T_old[a] = h->T_new[a] = h->T_star[a] = h->T_base[a] = h->T_cross[a] = 300.0;
    }
    *heat = h;
    return CQ_OK;
}

void cq_heat_begin(cq_heat *h, const double *T, const double *H) {
    memcpy(h->T, T, h->size * sizeof(double));
    memcpy(h->T_old, T, h->size * sizeof(double));
    memcpy(h->T_new, T, h->size * sizeof(double));
    memcpy(h->H, H, h->size * sizeof(double));
    memcpy(h->H_old, H, h->size * sizeof(double));
    h->time_s = 0.0;
    h->heat_out_J_m = 0.0;
    h->last_dt_s = 0.0;
    h->restart = true;
    for (int e = 0; e < h->ends_n; e++) {
        h->surface_K[e] = h->ends[e].cell >= 0 ? T[h->ends[e].cell] : 0.0;
        h->outflow_W_m[e] = 0.0;
    }
}

/* ---- heat balance: sums meet their mirror image first, so that a mirrored section gives the same bits -------------
 */

/* H V of every column of cells and what its films hold, J/m. */
CQ_VECTOR_KERNEL static void sum_columns(const cq_heat *h, const double *H, const double *T, double *restrict sum) {
    const int n = h->stride;
    memset(sum, 0, (size_t)n * sizeof(double));
    for (int i = 0; i < h->grid->along; i++) {
        const int at = cq_heat_at(h, i, 0);
        const double *volume = h->volume + at, *film = h->film_heat + at, *Hi = H + at, *Ti = T + at;
        CQ_INDEPENDENT
        for (int j = 0; j < n; j++) {
            sum[j] += Hi[j] * volume[j] + film[j] * Ti[j];
        }
    }
}

/* The same of what the last tried step lost: the difference cell by cell, or its digits would go. */
CQ_VECTOR_KERNEL static void sum_losses(const cq_heat *h, double *restrict sum) {
    const int n = h->stride;
    memset(sum, 0, (size_t)n * sizeof(double));
    for (int i = 0; i < h->grid->along; i++) {
        const int at = cq_heat_at(h, i, 0);
        const double *T = h->T + at, *T_new = h->T_new + at, *H = h->H + at, *H_new = h->H_new + at;
        const double *volume = h->volume + at, *film = h->film_heat + at;
        CQ_INDEPENDENT
        for (int j = 0; j < n; j++) {
            sum[j] += (H[j] - H_new[j]) * volume[j] + film[j] * (T[j] - T_new[j]);
        }
    }
}

static double fold_columns(const cq_heat *h, const double *column) {
    double sum = 0.0;
    for (int j = 0, k = h->grid->across - 1; j <= k; j++, k--) {
        sum += j < k ? column[j] + column[k] : column[j];
    }
    return sum;
}

static double of_both_ends(const double *end_W_m, int line) {
    return end_W_m[2 * line] + end_W_m[2 * line + 1];
}

static double fold_ends(const cq_heat *h, const double *end_W_m) {
    const int along = h->grid->along;
    double sum = 0.0;
    for (int i = 0; i < along; i++) {
        sum += of_both_ends(end_W_m, i);
    }
    for (int j = 0, k = h->grid->across - 1; j <= k; j++, k--) {
        const double low = of_both_ends(end_W_m, along + j), high = of_both_ends(end_W_m, along + k);
        sum += j < k ? low + high : low;
    }
    return sum;
}

double cq_heat_content(const cq_heat *h, const double *H, const double *T) {
    sum_columns(h, H, T, h->row_flux);
    return fold_columns(h, h->row_flux);
}

double cq_heat_outflow(const cq_heat *h) {
    return fold_ends(h, h->outflow_W_m);
}

double cq_heat_open(const cq_heat *h, double dt_s) {
    sum_losses(h, h->row_flux);
    return fold_columns(h, h->row_flux) -
           0.5 * dt_s * (fold_ends(h, h->outflow_W_m) + fold_ends(h, h->outflow_new_W_m));
}

void cq_heat_accept(cq_heat *h, double dt_s) {
    double *spare = h->T_old;
    h->T_old = h->T;
    h->T = h->T_new;
    h->T_new = spare;
    spare = h->H_old;
    h->H_old = h->H;
    h->H = h->H_new;
    h->H_new = spare;
    const double before = cq_heat_outflow(h);
    spare = h->surface_K;
    h->surface_K = h->surface_new_K;
    h->surface_new_K = spare;
    spare = h->outflow_W_m;
    h->outflow_W_m = h->outflow_new_W_m;
    h->outflow_new_W_m = spare;
    h->heat_out_J_m += 0.5 * dt_s * (before + cq_heat_outflow(h));
    h->time_s += dt_s;
    h->last_dt_s = dt_s;
    h->closures_failed += h->closures_failed_new;
    h->restart = false;
}
