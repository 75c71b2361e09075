/* map_grid.c - see map_grid.h. */
#include "report/map_grid.h"

#include "base/memory.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* Values rising, and where each came from. Insertion: there are few. */
static void sort(const cq_vary_axis *axis, double *v, size_t *order) {
    for (size_t n = 0; n < axis->n; n++) {
        size_t to = n;
        while (to > 0 && v[to - 1] > axis->number[n]) {
            v[to] = v[to - 1];
            order[to] = order[to - 1];
            to--;
        }
        v[to] = axis->number[n];
        order[to] = n;
    }
}

size_t cq_map_nearest(const double *axis, size_t n, double v) {
    size_t best = 0;
    for (size_t i = 1; i < n; i++) {
        best = fabs(axis[i] - v) < fabs(axis[best] - v) ? i : best;
    }
    return best;
}

static double on_axis(const double *axis, size_t n, double v) {
    const double slack = 1e-9 * (axis[n - 1] - axis[0]);
    return v >= axis[0] - slack && v <= axis[n - 1] + slack ? v : NAN;
}

static void fill(cq_map_grid *g, const cq_map *map) {
    g->low_m = g->high_m = NAN;
    for (size_t j = 0; j < g->ny; j++) {
        for (size_t i = 0; i < g->nx; i++) {
            const cq_row *row = &map->comparison->table->row[g->order_x[i] * g->ny + g->order_y[j]];
            cq_verdict verdict;
            const double line_m = row->state == CQ_ROW_DONE ? row->value[CQ_FIGURE_LINE] : NAN;
            g->verdict[j * g->nx + i] = cq_row_verdict(row, &verdict) ? (int)verdict : CQ_MAP_UNKNOWN;
            g->piece = g->piece || cq_row_is_piece(row);
            g->line_m[j * g->nx + i] = line_m;
            g->low_m = fmin(g->low_m, line_m); /* fmin passes a NaN by */
            g->high_m = fmax(g->high_m, line_m);
        }
    }
    g->own_x = on_axis(g->x, g->nx, map->x->own_number);
    g->own_y = on_axis(g->y, g->ny, map->y->own_number);
    if (cq_map_has_own(g)) {
        g->own_i = cq_map_nearest(g->x, g->nx, g->own_x);
        g->own_j = cq_map_nearest(g->y, g->ny, g->own_y);
    }
}

cq_status cq_map_grid_create(cq_map_grid **grid, const cq_map *map) {
    cq_map_grid *g = cq_memory_zero(1, sizeof *g);
    if (g == NULL) {
        return CQ_ERR_MEMORY;
    }
    g->nx = map->x->n;
    g->ny = map->y->n;
    g->x = cq_memory_zero(g->nx, sizeof *g->x);
    g->y = cq_memory_zero(g->ny, sizeof *g->y);
    g->order_x = cq_memory_zero(g->nx, sizeof *g->order_x);
    g->order_y = cq_memory_zero(g->ny, sizeof *g->order_y);
    g->line_m = cq_memory_zero(g->nx * g->ny, sizeof *g->line_m);
    g->verdict = cq_memory_zero(g->nx * g->ny, sizeof *g->verdict);
    if (g->x == NULL || g->y == NULL || g->order_x == NULL || g->order_y == NULL || g->line_m == NULL ||
        g->verdict == NULL) {
        cq_map_grid_free(g);
        return CQ_ERR_MEMORY;
    }
    sort(map->x, g->x, g->order_x);
    sort(map->y, g->y, g->order_y);
    fill(g, map);
    *grid = g;
    return CQ_OK;
}

void cq_map_grid_free(cq_map_grid *g) {
    if (g != NULL) {
        cq_memory_free(g->x);
        cq_memory_free(g->y);
        cq_memory_free(g->order_x);
        cq_memory_free(g->order_y);
        cq_memory_free(g->line_m);
        cq_memory_free(g->verdict);
        cq_memory_free(g);
    }
}

bool cq_map_has_own(const cq_map_grid *g) {
    return !isnan(g->own_x) && !isnan(g->own_y);
}

const char *cq_map_verdict_words(const cq_map_grid *g, int verdict) {
    return verdict < 0 ? "failed"
           : g->piece  ? cq_piece_verdict_words((cq_verdict)verdict)
                       : cq_verdict_words((cq_verdict)verdict);
}

void cq_map_axis_words(const cq_vary_axis *axis, char to[160]) {
    const size_t n = strcspn(axis->meaning, ",;:");
    snprintf(to, 160, "%.*s (%.60s)%s%.16s", (int)(n < 60 ? n : 60), axis->meaning, axis->key,
             axis->unit[0] != '\0' ? ", " : "", axis->unit);
}
