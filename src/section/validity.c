/* validity.c - what must hold of every grid. */
#include <clayquench/section.h>

#include "base/pi.h"

#include <math.h>

/* Sums of a whole grid against integrals along its boundary: rounding of some ten thousand terms. */
static const double AREA_TOLERANCE = 1e-12;
/* One number against the same number computed in another order. */
static const double ROUNDING = 1e-9;

static int kind_at(const cq_grid *g, int i, int j) {
    return i < 0 || j < 0 || i >= g->along || j >= g->across ? CQ_CELL_NONE : g->kind[i * g->across + j];
}

static bool is_cell(const cq_grid *g, int i, int j) {
    return kind_at(g, i, j) != CQ_CELL_NONE;
}

static bool shape_is_valid(const cq_grid *g) {
    return g->along >= 1 && g->across >= 1 && 0 <= g->steel_i0 && g->steel_i0 < g->steel_i1 &&
           g->steel_i1 <= g->along && 0 <= g->steel_j0 && g->steel_j0 < g->steel_j1 && g->steel_j1 <= g->across &&
           (!g->symmetric || g->steel_j0 == 0) && (!g->one_dimensional || g->along == 1) &&
           (!g->round || g->one_dimensional);
}

/* Steel where the header says, nothing but clay around it, one run of cells in every row. */
static bool kinds_are_valid(const cq_grid *g) {
    for (int i = 0; i < g->along; i++) {
        int runs = 0;
        for (int j = 0; j < g->across; j++) {
            const bool steel = i >= g->steel_i0 && i < g->steel_i1 && j >= g->steel_j0 && j < g->steel_j1;
            if ((kind_at(g, i, j) == CQ_CELL_STEEL) != steel || kind_at(g, i, j) > CQ_CELL_CLAY) {
                return false;
            }
            runs += is_cell(g, i, j) && !is_cell(g, i, j - 1);
        }
        if (runs != 1) {
            return false;
        }
    }
    return true;
}

static bool nodes_are_finite(const cq_grid *g) {
    for (int n = 0; n < (g->along + 1) * (g->across + 1); n++) {
        if (!isfinite(g->node_x_m[n]) || !isfinite(g->node_y_m[n])) {
            return false;
        }
    }
    return true;
}

static bool cells_are_valid(const cq_grid *g) {
    for (int c = 0; c < g->along * g->across; c++) {
        if (g->kind[c] != CQ_CELL_NONE && !(g->area_m2[c] > 0.0 && isfinite(g->area_m2[c]) &&
                                            isfinite(g->center_x_m[c]) && isfinite(g->center_y_m[c]))) {
            return false;
        }
    }
    return true;
}

/* ---- areas ------------------------------------------------------------------------------------------------------- */

/* Area to the right of the edge from node a to node b down to y = 0 (x up, y right). */
static double area_under(const cq_grid *g, int a, int b) {
    return 0.5 * (g->node_y_m[a] + g->node_y_m[b]) * (g->node_x_m[b] - g->node_x_m[a]);
}

static bool counts(const cq_grid *g, int i, int j, bool steel_only) {
    return steel_only ? kind_at(g, i, j) == CQ_CELL_STEEL : is_cell(g, i, j);
}

/* Area enclosed by the boundary of the steel or of all cells: the integral of y dx along the faces with a cell on one
 * side. */
static double enclosed_area(const cq_grid *g, bool steel_only) {
    const int row = g->across + 1;
    double area = 0.0;
    for (int i = 0; i <= g->along; i++) {
        for (int j = 0; j <= g->across; j++) {
            const int node = i * row + j;
            if (i < g->along) { /* low side j-1 is left of the face: its right boundary */
                area +=
                    (counts(g, i, j - 1, steel_only) - counts(g, i, j, steel_only)) * area_under(g, node, node + row);
            }
            if (j < g->across) {
                area += (counts(g, i, j, steel_only) - counts(g, i - 1, j, steel_only)) * area_under(g, node, node + 1);
            }
        }
    }
    return area;
}

static double ring_area(const cq_grid *g, bool steel_only) {
    const double r = g->node_y_m[steel_only ? g->steel_j1 : g->across];
    return CQ_PI * r * r;
}

static bool areas_add_up(const cq_grid *g, bool steel_only) {
    double sum = 0.0;
    for (int c = 0; c < g->along * g->across; c++) {
        sum += counts(g, c / g->across, c % g->across, steel_only) ? g->area_m2[c] : 0.0;
    }
    const double expected = g->round ? ring_area(g, steel_only) : enclosed_area(g, steel_only);
    return fabs(sum - expected) <= AREA_TOLERANCE * sum;
}

/* ---- faces ------------------------------------------------------------------------------------------------------- */

/* A half cell has a positive factor if the cell exists and the face has a length, else none. */
static bool half_is_valid(double factor, bool cell, double length) {
    return cell && length > 0.0 ? factor > 0.0 && isfinite(factor) : fabs(factor) <= 0.0;
}

static double distance(const cq_grid *g, int a, int b) {
    return hypot(g->node_x_m[b] - g->node_x_m[a], g->node_y_m[b] - g->node_y_m[a]);
}

static bool across_face_is_valid(const cq_grid *g, int i, int j) {
    const int face = i * (g->across + 1) + j;
    const bool low = is_cell(g, i, j - 1), high = is_cell(g, i, j);
    const double length = g->across_area_m[face];
    const double expected = g->round ? 2.0 * CQ_PI * g->node_y_m[j] : distance(g, face, face + g->across + 1);
    return ((!low && !high) || fabs(length - expected) <= ROUNDING * expected) && isfinite(g->across_skew[face]) &&
           half_is_valid(g->across_low[face], low, length) && half_is_valid(g->across_high[face], high, length);
}

static bool along_face_is_valid(const cq_grid *g, int i, int j) {
    const int face = i * g->across + j, node = i * (g->across + 1) + j;
    const bool low = is_cell(g, i - 1, j), high = is_cell(g, i, j);
    const double length = g->along_area_m[face], expected = distance(g, node, node + 1);
    return ((!low && !high) || fabs(length - expected) <= ROUNDING * expected) && isfinite(g->along_skew[face]) &&
           half_is_valid(g->along_low[face], low, length) && half_is_valid(g->along_high[face], high, length);
}

static bool faces_are_valid(const cq_grid *g) {
    for (int i = 0; i <= g->along; i++) {
        for (int j = 0; j <= g->across; j++) {
            if ((i < g->along && !across_face_is_valid(g, i, j)) ||
                (j < g->across && !g->one_dimensional && !along_face_is_valid(g, i, j))) {
                return false;
            }
        }
    }
    return true;
}

/* ---- coats ------------------------------------------------------------------------------------------------------- */

/* A coat is either cells or a film thinner than CQ_THIN_COAT, never both. */
static bool coat_is_valid(double coat, double film, bool celled) {
    return coat >= 0.0 && isfinite(coat) &&
           (celled ? coat >= CQ_THIN_COAT && fabs(film) <= 0.0
                   : film >= 0.0 && film < CQ_THIN_COAT && fabs(film - coat) <= 0.0);
}

static bool coats_are_valid(const cq_grid *g) {
    for (int i = g->steel_i0; i < g->steel_i1; i++) {
        const bool right = is_cell(g, i, g->steel_j1), left = g->symmetric ? right : is_cell(g, i, g->steel_j0 - 1);
        if (!coat_is_valid(g->coat_left_m[i], g->film_left_m[i], left) ||
            !coat_is_valid(g->coat_right_m[i], g->film_right_m[i], right)) {
            return false;
        }
    }
    return coat_is_valid(g->edge_coat_m, g->film_edge_m, g->steel_i0 > 0) &&
           coat_is_valid(g->spine_coat_m, g->film_spine_m, g->steel_i1 < g->along);
}

bool cq_grid_is_valid(const cq_grid *g) {
    return g != NULL && shape_is_valid(g) && kinds_are_valid(g) && nodes_are_finite(g) && cells_are_valid(g) &&
           areas_add_up(g, true) && areas_add_up(g, false) && faces_are_valid(g) && coats_are_valid(g);
}
