/* metrics.c - centres, areas and shape factors of the cells and faces.
 *
 * For a face with end points a, b, length s, unit tangent t (toward rising index) and the vector d from a cell's centre
 * to the face's middle, the half cell's shape factor is (S.S)/(S.d) = s / (d . n), and the tangential offset of the two
 * centres over the face's length is (d_total . t)/s. With these the flux through the face,
 *     Q = -g [(Tb - Ta) - skew (Tv_high - Tv_low)],                                                                (1)
 * is exact for a linear temperature field whatever the cell's shape.
 */
#include "section/shape.h"

#include "base/pi.h"

#include <math.h>

typedef struct vec {
    double x, y;
} vec;

static vec node(const cq_grid *g, int i, int j) {
    const int at = i * (g->across + 1) + j;
    return (vec){g->node_x_m[at], g->node_y_m[at]};
}

static bool exists(const cq_grid *g, int i, int j) {
    return i >= 0 && i < g->along && j >= 0 && j < g->across && g->kind[i * g->across + j] != CQ_CELL_NONE;
}

/* Area and centroid of a quadrilateral. With m the mean of its corners and e where its diagonals cross, the centroid is
 * m - (e - m)/3. Every step is the same from either side, so that a mirrored cell has exactly mirrored numbers. */
static void measure_cell(cq_grid *g, int i, int j) {
    const vec p00 = node(g, i, j), p01 = node(g, i, j + 1), p11 = node(g, i + 1, j + 1), p10 = node(g, i + 1, j);
    const vec m = {0.25 * ((p00.x + p01.x) + (p10.x + p11.x)), 0.25 * ((p00.y + p01.y) + (p10.y + p11.y))};
    const vec rising = {p11.x - p00.x, p11.y - p00.y}, falling = {p10.x - p01.x, p10.y - p01.y}; /* the diagonals */
    const double twice = falling.x * rising.y - falling.y * rising.x; /* positive: x is up, y is right */
    const vec side = {p01.x - p00.x, p01.y - p00.y};
    const double u = (falling.x * side.y - falling.y * side.x) / twice; /* e = p00 + u rising */
    const double v = (rising.x * side.y - rising.y * side.x) / twice;   /* e = p01 + v falling */
    const vec e = {0.5 * ((p00.x + u * rising.x) + (p01.x + v * falling.x)),
                   0.5 * ((p00.y + u * rising.y) + (p01.y + v * falling.y))};
    const int cell = i * g->across + j;
    g->area_m2[cell] = 0.5 * twice;
    g->center_x_m[cell] = m.x - (e.x - m.x) / 3.0;
    g->center_y_m[cell] = m.y - (e.y - m.y) / 3.0;
}

/* Shape factors of the half cells on both sides of the face a-b whose normal points toward the high cell. */
static void measure_face(const cq_grid *g, vec a, vec b, vec normal, int low_cell, int high_cell, double *low,
                         double *high, double *skew, double *length) {
    const double s = hypot(b.x - a.x, b.y - a.y);
    *length = s;
    *low = *high = *skew = 0.0;
    if (!(s > 0.0)) {
        return;
    }
    const vec t = {(b.x - a.x) / s, (b.y - a.y) / s}, middle = {0.5 * (a.x + b.x), 0.5 * (a.y + b.y)};
    double offset = 0.0;
    if (low_cell >= 0) {
        const vec d = {middle.x - g->center_x_m[low_cell], middle.y - g->center_y_m[low_cell]};
        *low = s / (d.x * normal.x + d.y * normal.y);
        offset += d.x * t.x + d.y * t.y;
    }
    if (high_cell >= 0) {
        const vec d = {g->center_x_m[high_cell] - middle.x, g->center_y_m[high_cell] - middle.y};
        *high = s / (d.x * normal.x + d.y * normal.y);
        offset += d.x * t.x + d.y * t.y;
    }
    *skew = offset / s;
}

static void measure_across_face(cq_grid *g, int i, int j) {
    const vec a = node(g, i, j), b = node(g, i + 1, j);
    const double s = hypot(b.x - a.x, b.y - a.y);
    const vec normal = s > 0.0 ? (vec){-(b.y - a.y) / s, (b.x - a.x) / s} : (vec){0.0, 1.0};
    const int face = i * (g->across + 1) + j, cell = i * g->across + j;
    measure_face(g, a, b, normal, exists(g, i, j - 1) ? cell - 1 : -1, exists(g, i, j) ? cell : -1,
                 &g->across_low[face], &g->across_high[face], &g->across_skew[face], &g->across_area_m[face]);
}

static void measure_along_face(cq_grid *g, int i, int j) {
    const vec a = node(g, i, j), b = node(g, i, j + 1);
    const double s = hypot(b.x - a.x, b.y - a.y);
    const vec normal = s > 0.0 ? (vec){(b.y - a.y) / s, -(b.x - a.x) / s} : (vec){1.0, 0.0};
    const int face = i * g->across + j;
    measure_face(g, a, b, normal, exists(g, i - 1, j) ? face - g->across : -1, exists(g, i, j) ? face : -1,
                 &g->along_low[face], &g->along_high[face], &g->along_skew[face], &g->along_area_m[face]);
}

/* Rings: the mean of a profile parabolic in r lies where r^2 is the mean of the squares; resistances are logarithmic.
 */
static void measure_ring(cq_grid *g) {
    for (int j = 0; j < g->across; j++) {
        const double r0 = g->node_y_m[j], r1 = g->node_y_m[j + 1];
        g->area_m2[j] = CQ_PI * (r1 * r1 - r0 * r0);
        g->center_y_m[j] = sqrt(0.5 * (r0 * r0 + r1 * r1));
        g->center_x_m[j] = 0.5;
    }
    for (int j = 0; j <= g->across; j++) {
        const double r = g->node_y_m[j];
        g->across_area_m[j] = 2.0 * CQ_PI * r;
        g->across_low[j] = j > 0 ? 2.0 * CQ_PI / log(r / g->center_y_m[j - 1]) : 0.0;
        g->across_high[j] = j < g->across && r > 0.0 ? 2.0 * CQ_PI / log(g->center_y_m[j] / r) : 0.0;
    }
}

void cq_grid_measure(cq_grid *g) {
    if (g->round) {
        measure_ring(g);
        return;
    }
    for (int i = 0; i < g->along; i++) {
        for (int j = 0; j < g->across; j++) {
            if (exists(g, i, j)) {
                measure_cell(g, i, j);
            }
        }
    }
    for (int i = 0; i < g->along; i++) {
        for (int j = 0; j <= g->across; j++) {
            if (exists(g, i, j - 1) || exists(g, i, j)) {
                measure_across_face(g, i, j);
            }
        }
    }
    for (int i = 0; i <= g->along && !g->one_dimensional; i++) {
        for (int j = 0; j < g->across; j++) {
            if (exists(g, i - 1, j) || exists(g, i, j)) {
                measure_along_face(g, i, j);
            }
        }
    }
}
