/* validity.c - what must hold of every grid. */
#include <clayquench/section.h>
#include <math.h>

static int kind_at(const cq_grid *g, int i, int j) {
    return i < 0 || j < 0 || i >= g->along || j >= g->across ? CQ_CELL_NONE : g->kind[i * g->across + j];
}

static bool row_is_contiguous(const cq_grid *g, int i) {
    int runs = 0;
    for (int j = 0; j < g->across; j++) {
        runs += kind_at(g, i, j) != CQ_CELL_NONE && kind_at(g, i, j - 1) == CQ_CELL_NONE;
    }
    return runs == 1;
}

/* Positive half-cell factors wherever a cell meets a face of some length. */
static bool faces_are_positive(const cq_grid *g) {
    for (int i = 0; i < g->along; i++) {
        for (int j = 0; j <= g->across; j++) {
            const int face = i * (g->across + 1) + j;
            if (!(g->across_area_m[face] > 0.0)) {
                continue;
            }
            if ((kind_at(g, i, j - 1) != CQ_CELL_NONE && !(g->across_low[face] > 0.0)) ||
                (kind_at(g, i, j) != CQ_CELL_NONE && !(g->across_high[face] > 0.0)) || !isfinite(g->across_skew[face])) {
                return false;
            }
        }
    }
    for (int i = 0; i <= g->along && !g->one_dimensional; i++) {
        for (int j = 0; j < g->across; j++) {
            const int face = i * g->across + j;
            if (!(g->along_area_m[face] > 0.0)) {
                continue;
            }
            if ((kind_at(g, i - 1, j) != CQ_CELL_NONE && !(g->along_low[face] > 0.0)) ||
                (kind_at(g, i, j) != CQ_CELL_NONE && !(g->along_high[face] > 0.0)) || !isfinite(g->along_skew[face])) {
                return false;
            }
        }
    }
    return true;
}

bool cq_grid_is_valid(const cq_grid *g) {
    if (g == NULL || g->along < 1 || g->across < 1 || g->steel_i0 < 0 || g->steel_i1 > g->along || g->steel_j0 < 0 ||
        g->steel_j1 > g->across || g->steel_i0 >= g->steel_i1 || g->steel_j0 >= g->steel_j1) {
        return false;
    }
    for (int i = 0; i < g->along; i++) {
        if (!row_is_contiguous(g, i)) {
            return false;
        }
        for (int j = 0; j < g->across; j++) {
            const bool steel = i >= g->steel_i0 && i < g->steel_i1 && j >= g->steel_j0 && j < g->steel_j1;
            const int kind = kind_at(g, i, j);
            if ((kind == CQ_CELL_STEEL) != steel || (kind != CQ_CELL_NONE && !(g->area_m2[i * g->across + j] > 0.0))) {
                return false;
            }
        }
    }
    return faces_are_positive(g);
}
