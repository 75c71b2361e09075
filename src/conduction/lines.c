/* lines.c - see lines.h. */
#include "conduction/lines.h"

#include <stdbool.h>

/* ---- between padded arrays and lines ----------------------------------------------------------------------------- */

CQ_VECTOR_KERNEL static void gather_rows(int n, const cq_line_source *from, const double *restrict rhs,
                                         cq_line_cell *restrict cell) {
    const double *restrict g = from->g, *restrict capacity = from->capacity, dt = from->dt;
    const int stride = from->stride;
    for (int j = 0; j < n; j++) {
        for (int m = 0; m < CQ_LANES; m++) {
            cell[j].g[m] = dt * g[m * stride + j];
            cell[j].diagonal[m] = capacity[m * stride + j];
            cell[j].r[m] = rhs[m * stride + j];
        }
    }
}

CQ_VECTOR_KERNEL static void gather_columns(int n, const cq_line_source *from, const double *restrict delta,
                                            cq_line_cell *restrict cell) {
    const double *restrict g = from->g, *restrict capacity = from->capacity, dt = from->dt;
    const int stride = from->stride;
    for (int i = 0; i < n; i++) {
        for (int m = 0; m < CQ_LANES; m++) {
            cell[i].g[m] = dt * g[i * stride + m];
            cell[i].diagonal[m] = capacity[i * stride + m];
            cell[i].r[m] = capacity[i * stride + m] * delta[i * stride + m];
        }
    }
}

void cq_lines_from_rows(const cq_lines *lines, const cq_line_source *from, const double *rhs) {
    gather_rows(lines->n, from, rhs, lines->cell);
}

void cq_lines_from_columns(const cq_lines *lines, const cq_line_source *from, const double *delta) {
    gather_columns(lines->n, from, delta, lines->cell);
}

CQ_VECTOR_KERNEL static void scatter_rows(int n, int stride, const cq_line_cell *restrict cell, double *restrict x) {
    for (int m = 0; m < CQ_LANES; m++) {
        for (int j = 0; j < n; j++) {
            x[m * stride + j] = cell[j].z[m];
        }
    }
}

CQ_VECTOR_KERNEL static void scatter_columns(int n, int stride, const cq_line_cell *restrict cell, double *restrict x) {
    for (int i = 0; i < n; i++) {
        for (int m = 0; m < CQ_LANES; m++) {
            x[i * stride + m] = cell[i].z[m];
        }
    }
}

void cq_lines_to_rows(const cq_lines *lines, int stride, double *x) {
    scatter_rows(lines->n, stride, lines->cell, x);
}

void cq_lines_to_columns(const cq_lines *lines, int stride, double *x) {
    scatter_columns(lines->n, stride, lines->cell, x);
}

CQ_VECTOR_KERNEL static void couple(int n, cq_line_cell *restrict cell) {
    for (int s = 0; s < n; s++) {
        for (int m = 0; m < CQ_LANES; m++) {
            cell[s].diagonal[m] += cell[s].g[m] + (s + 1 < n ? cell[s + 1].g[m] : 0.0); /* the sum first: it mirrors */
        }
    }
}

void cq_lines_couple(const cq_lines *lines) {
    couple(lines->n, lines->cell);
}

/* ---- from the low end -------------------------------------------------------------------------------------------- */

CQ_VECTOR_KERNEL static void substitute_forward(int n, cq_line_cell *restrict cell) {
    for (int m = 0; m < CQ_LANES; m++) {
        cell[0].y[m] = cell[0].r[m];
    }
    for (int s = 1; s < n; s++) {
        for (int m = 0; m < CQ_LANES; m++) {
            cell[s].y[m] = cell[s].r[m] + cell[s].l[m] * cell[s - 1].y[m];
        }
    }
}

CQ_VECTOR_KERNEL static void eliminate_forward(int n, cq_line_cell *restrict cell) {
    double up[CQ_LANES], rising[CQ_LANES];
    for (int m = 0; m < CQ_LANES; m++) {
        cell[0].l[m] = 0.0;
        up[m] = cell[0].inverse[m] = 1.0 / cell[0].diagonal[m];
        rising[m] = cell[0].y[m] = cell[0].r[m];
    }
    for (int s = 1; s < n; s++) {
        for (int m = 0; m < CQ_LANES; m++) {
            const double l = cell[s].g[m] * up[m];
            rising[m] = cell[s].r[m] + l * rising[m];
            up[m] = 1.0 / (cell[s].diagonal[m] - cell[s].g[m] * l);
            cell[s].l[m] = l;
            cell[s].inverse[m] = up[m];
            cell[s].y[m] = rising[m];
        }
    }
}

CQ_VECTOR_KERNEL static void substitute_back(int n, cq_line_cell *restrict cell) {
    for (int m = 0; m < CQ_LANES; m++) {
        cell[n - 1].z[m] = cell[n - 1].y[m] * cell[n - 1].inverse[m];
    }
    for (int s = n - 2; s >= 0; s--) {
        for (int m = 0; m < CQ_LANES; m++) {
            cell[s].z[m] = (cell[s].y[m] + cell[s + 1].g[m] * cell[s + 1].z[m]) * cell[s].inverse[m];
        }
    }
}

void cq_lines_eliminate(const cq_lines *lines) {
    eliminate_forward(lines->n, lines->cell);
}

void cq_lines_solve(const cq_lines *lines) {
    substitute_forward(lines->n, lines->cell);
    substitute_back(lines->n, lines->cell);
}

/* ---- from both ends ---------------------------------------------------------------------------------------------- */

/* The two chains of divisions run beside each other. */
CQ_VECTOR_KERNEL static void eliminate_both(int n, cq_line_cell *restrict cell) {
    double up[CQ_LANES], down[CQ_LANES], rising[CQ_LANES], falling[CQ_LANES];
    const int last = n - 1;
    for (int m = 0; m < CQ_LANES; m++) {
        cell[0].l[m] = 0.0;
        up[m] = cell[0].inverse[m] = 1.0 / cell[0].diagonal[m];
        rising[m] = cell[0].y[m] = cell[0].r[m];
        down[m] = cell[last].back[m] = 1.0 / cell[last].diagonal[m];
        falling[m] = cell[last].z[m] = cell[last].r[m];
    }
    for (int o = 1, p = last - 1; o <= last; o++, p--) {
        for (int m = 0; m < CQ_LANES; m++) {
            const double lo = cell[o].g[m] * up[m], hi = cell[p + 1].g[m] * down[m];
            rising[m] = cell[o].r[m] + lo * rising[m];
            falling[m] = cell[p].r[m] + hi * falling[m];
            up[m] = 1.0 / (cell[o].diagonal[m] - cell[o].g[m] * lo);
            down[m] = 1.0 / (cell[p].diagonal[m] - cell[p + 1].g[m] * hi);
            cell[o].l[m] = lo;
            cell[o].inverse[m] = up[m];
            cell[o].y[m] = rising[m];
            cell[p].back[m] = down[m];
            cell[p].z[m] = falling[m];
        }
    }
}

void cq_lines_eliminate_both(const cq_lines *lines) {
    eliminate_both(lines->n, lines->cell);
}

/* Inward to the split, across it, outward again; the two halves do not wait for each other. */
CQ_VECTOR_KERNEL static void solve_from_ends(int n, int middle, cq_line_cell *restrict cell) {
    const int last = n - 1;
    for (int m = 0; m < CQ_LANES; m++) {
        cell[0].y[m] = cell[0].r[m];
        cell[last].y[m] = cell[last].r[m];
    }
    for (int s = 1; s < middle; s++) {
        for (int m = 0; m < CQ_LANES; m++) {
            cell[s].y[m] = cell[s].r[m] + cell[s].l[m] * cell[s - 1].y[m];
        }
    }
    for (int s = last - 1; s >= middle; s--) {
        for (int m = 0; m < CQ_LANES; m++) {
            cell[s].y[m] = cell[s].r[m] + cell[s + 1].g[m] * cell[s + 1].back[m] * cell[s + 1].y[m];
        }
    }
    for (int m = 0; m < CQ_LANES; m++) {
        cq_line_cell *below = &cell[middle - 1], *above = &cell[middle];
        const double a = above->g[m] * below->inverse[m], b = above->g[m] * above->back[m], det = 1.0 - a * b;
        below->z[m] = (below->y[m] + b * above->y[m]) * (below->inverse[m] / det);
        above->z[m] = (above->y[m] + a * below->y[m]) * (above->back[m] / det);
    }
    for (int s = middle - 2; s >= 0; s--) {
        for (int m = 0; m < CQ_LANES; m++) {
            cell[s].z[m] = (cell[s].y[m] + cell[s + 1].g[m] * cell[s + 1].z[m]) * cell[s].inverse[m];
        }
    }
    for (int s = middle + 1; s <= last; s++) {
        for (int m = 0; m < CQ_LANES; m++) {
            cell[s].z[m] = (cell[s].y[m] + cell[s].g[m] * cell[s - 1].z[m]) * cell[s].back[m];
        }
    }
}

void cq_lines_solve_both(const cq_lines *lines) {
    solve_from_ends(lines->n, lines->split, lines->cell);
}

/* The products run from both ends to the middle, so that a mirrored line gives the same bits. */
double cq_lines_coupling(const cq_lines *lines, int lane, int low, int high) {
    const cq_line_cell *cell = lines->cell;
    const bool astride = low < lines->split && high >= lines->split;
    const int middle = astride ? lines->split : high + 1;
    double below = 1.0, above = 1.0;
    for (int s = low + 1; s < middle; s++) {
        below *= cell[s].l[lane];
    }
    for (int s = high; s > middle; s--) {
        above *= cell[s].g[lane] * cell[s].back[lane];
    }
    if (!astride) {
        return below * cell[high].inverse[lane];
    }
    const double g = cell[middle].g[lane], a = cell[middle - 1].inverse[lane], b = cell[middle].back[lane];
    return below * above * (g * (a * b)) / (1.0 - (g * a) * (g * b));
}
