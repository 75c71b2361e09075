/* test_metrics.c - the numbers the heat solver reads off the grid: centres, shape factors, skews. */
#include "sections.h"

#include <math.h>

static const double PI = 3.14159265358979323846;

/* Fluxes are differences of a few numbers of like size divided by lengths down to a micrometre of some centimetres. */
#define FLUX_TOLERANCE 1e-9

typedef struct field {
    double Tx, Ty; /* a temperature that rises evenly, K/m, up and to the right */
} field;

static double temperature(const field *f, double x, double y) {
    return f->Tx * x + f->Ty * y;
}

static double at_node(const cq_grid *g, const field *f, int node) {
    return temperature(f, g->node_x_m[node], g->node_y_m[node]);
}

static double at_centre(const cq_grid *g, const field *f, int cell) {
    return temperature(f, g->center_x_m[cell], g->center_y_m[cell]);
}

/* The solver's flux through a face at unit conductivity, toward rising index, between temperatures a (low) and b
 * (high): Q = -g [(Tb - Ta) - skew (Tv_high - Tv_low)]. A missing half is replaced by the temperature at the face's
 * middle. */
static double solver_flux(double low, double high, double Ta, double Tb, double skew, double dT_along_face) {
    const double resistance = (low > 0.0 ? 1.0 / low : 0.0) + (high > 0.0 ? 1.0 / high : 0.0);
    return -((Tb - Ta) - skew * dT_along_face) / resistance;
}

/* One face from node v0 to node v1; (nx, ny) times the length points toward the high cell. */
static void check_face(const cq_grid *g, const field *f, int v0, int v1, double nx, double ny, int low_cell,
                       int high_cell, double low, double high, double skew) {
    if (low_cell < 0 && high_cell < 0) {
        return;
    }
    const double length = hypot(nx, ny);
    if (!(length > 1e-9)) { /* a coat that starts at nothing */
        return;
    }
    const double middle = 0.5 * (at_node(g, f, v0) + at_node(g, f, v1));
    const double Ta = low_cell >= 0 ? at_centre(g, f, low_cell) : middle;
    const double Tb = high_cell >= 0 ? at_centre(g, f, high_cell) : middle;
    const double flux = solver_flux(low, high, Ta, Tb, skew, at_node(g, f, v1) - at_node(g, f, v0));
    const double exact = -(f->Tx * nx + f->Ty * ny);
    ck_assert_double_eq_tol(flux, exact, FLUX_TOLERANCE * (fabs(f->Tx) + fabs(f->Ty)) * length);
}

static int cell_or_none(const cq_grid *g, int i, int j) {
    return kind_of(g, i, j) == CQ_CELL_NONE ? -1 : cell_at(g, i, j);
}

static void check_all_faces(const cq_grid *g, const field *f) {
    for (int i = 0; i <= g->along; i++) {
        for (int j = 0; j <= g->across; j++) {
            const int v0 = node_at(g, i, j), up = v0 + g->across + 1, right = v0 + 1;
            if (i < g->along) { /* the normal of an upward face points right: (-dy, dx) */
                const double dx = g->node_x_m[up] - g->node_x_m[v0], dy = g->node_y_m[up] - g->node_y_m[v0];
                check_face(g, f, v0, up, -dy, dx, cell_or_none(g, i, j - 1), cell_or_none(g, i, j), g->across_low[v0],
                           g->across_high[v0], g->across_skew[v0]);
            }
            if (j < g->across) { /* the normal of a face to the right points up: (dy, -dx) */
                const int face = cell_at(g, i, j);
                const double dx = g->node_x_m[right] - g->node_x_m[v0], dy = g->node_y_m[right] - g->node_y_m[v0];
                check_face(g, f, v0, right, dy, -dx, cell_or_none(g, i - 1, j), cell_or_none(g, i, j),
                           g->along_low[face], g->along_high[face], g->along_skew[face]);
            }
        }
    }
}

/* On every face of skewed cells, inner or outer, an even gradient up, across or oblique gives its exact flux. */
START_TEST(even_gradient_gives_exact_flux) {
    const field fields[] = {{1e4, 0}, {0, 1e4}, {7e3, -4e3}};
    const cq_blade blades[] = {ridged_blade(28, 1.2, 3.2, 20, 8), convex_blade(30, 1, 6, 2), flat_blade(20, 1, 9)};
    const cq_coat_point points[] = {sides(0, 1, 0.5), sides(9, 0.3, 0.5), sides(9, 3, 0), sides(14, 0, 2)};
    const cq_coat coat = {4, points, 1 * MM, 2 * MM};
    for (size_t b = 0; b < COUNT(blades); b++) {
        cq_grid *g = grid_on(section_of(&blades[b], &coat), 50, 6, 5, 1);
        for (size_t n = 0; n < COUNT(fields); n++) {
            check_all_faces(g, &fields[n]);
        }
        cq_grid_free(g);
    }
}
END_TEST

/* Centroid of a quadrilateral by its moments, as two triangles. */
START_TEST(centres_are_centroids) {
    const cq_blade blade = ridged_blade(28, 1.2, 3.2, 20, 8);
    const cq_coat_point points[] = {sides(0, 1, 0), sides(14, 3, 2), sides(28, 0, 2)};
    const cq_coat coat = {3, points, 1 * MM, 2 * MM};
    cq_grid *g = grid_on(section_of(&blade, &coat), 40, 4, 4, 1);
    for (int i = 0; i < g->along; i++) {
        for (int j = 0; j < g->across; j++) {
            const int cell = cell_at(g, i, j), corner[] = {node_at(g, i, j), node_at(g, i, j + 1),
                                                           node_at(g, i + 1, j + 1), node_at(g, i + 1, j)};
            double area = 0.0, mx = 0.0, my = 0.0;
            for (int n = 1; n < 3 && g->kind[cell] != CQ_CELL_NONE; n++) {
                const double x[] = {g->node_x_m[corner[0]], g->node_x_m[corner[n]], g->node_x_m[corner[n + 1]]};
                const double y[] = {g->node_y_m[corner[0]], g->node_y_m[corner[n]], g->node_y_m[corner[n + 1]]};
                const double part = 0.5 * ((y[1] - y[0]) * (x[2] - x[0]) - (x[1] - x[0]) * (y[2] - y[0]));
                area += part;
                mx += part * (x[0] + x[1] + x[2]) / 3;
                my += part * (y[0] + y[1] + y[2]) / 3;
            }
            if (g->kind[cell] != CQ_CELL_NONE) {
                ck_assert_double_eq_tol(g->area_m2[cell] / area, 1.0, 1e-10); /* thin cells far from the origin */
                ck_assert_double_eq_tol(g->center_x_m[cell], mx / area, 1e-12);
                ck_assert_double_eq_tol(g->center_y_m[cell], my / area, 1e-12);
            }
        }
    }
    cq_grid_free(g);
}
END_TEST

/* Steady heat through the ring of clay: the half cells in series give ln(r1/r0)/(2 pi) exactly. */
START_TEST(ring_resistance) {
    const cq_blade blade = {.family = CQ_FAMILY_ROUND, .spine_m = 10 * MM};
    const cq_coat_point points[] = {both(0, 2)};
    const cq_coat coat = {1, points, 0, 0};
    cq_grid *g = grid_on(section_of(&blade, &coat), 100, 8, 6, 1);
    double resistance = 0.0;
    for (int j = g->steel_j1; j < g->across; j++) {
        resistance += 1.0 / g->across_high[j] + 1.0 / g->across_low[j + 1];
    }
    ck_assert_double_eq_tol(resistance, log(7.0 / 5.0) / (2 * PI), 1e-14);
    cq_grid_free(g);
}
END_TEST

/* A rod heated evenly inside, T = -r^2/4 at unit source and conductivity: the mean of each ring is that at its centre
 * radius, r^2 = (r0^2 + r1^2)/2, and the flux between rings misses the heat made within by a second-order part. */
static double worst_ring_flux(int refine) {
    const cq_blade blade = {.family = CQ_FAMILY_ROUND, .spine_m = 2.0};
    cq_grid *g = grid_on(section_of(&blade, NULL), 100, 2, 1, refine);
    double worst = 0.0, inside = 0.0;
    for (int j = 1; j < g->across; j++) {
        inside += g->area_m2[j - 1];
        const double mean = 0.5 * (pow(g->node_y_m[j - 1], 2) + pow(g->node_y_m[j], 2));
        ck_assert_double_eq_tol(pow(g->center_y_m[j - 1], 2), mean, 1e-14);
        const double Ta = -0.25 * pow(g->center_y_m[j - 1], 2), Tb = -0.25 * pow(g->center_y_m[j], 2);
        worst = fmax(worst, fabs(solver_flux(g->across_low[j], g->across_high[j], Ta, Tb, 0, 0) - inside) / PI);
    }
    cq_grid_free(g);
    return worst;
}

START_TEST(rings_are_second_order) {
    const double coarse = worst_ring_flux(2), fine = worst_ring_flux(4), finest = worst_ring_flux(8);
    ck_assert_double_gt(log2(coarse / fine), 1.85); /* the band an order of 2 is held to */
    ck_assert_double_gt(log2(fine / finest), 1.85);
    ck_assert_double_lt(finest, 1e-3);
}
END_TEST

/* A plate's half cells in series are its thickness. */
START_TEST(plate_resistance) {
    const cq_blade blade = {.family = CQ_FAMILY_PLATE, .spine_m = 3 * MM};
    cq_grid *g = grid_on(section_of(&blade, NULL), 100, 8, 6, 1);
    double resistance = 0.0;
    for (int j = 0; j < g->across; j++) {
        resistance += 1.0 / g->across_high[j] + 1.0 / g->across_low[j + 1];
    }
    ck_assert_double_eq_tol(resistance, 1.5 * MM, 1e-15);
    ck_assert_double_eq_tol(g->across_low[0], 0.0, 1e-300); /* nothing beyond the mid-plane */
    cq_grid_free(g);
}
END_TEST

int main(void) {
    Suite *suite = suite_create("metrics");
    TCase *faces = tcase_create("faces");
    tcase_add_test(faces, even_gradient_gives_exact_flux);
    tcase_add_test(faces, centres_are_centroids);
    tcase_add_test(faces, plate_resistance);
    TCase *rings = tcase_create("rings");
    tcase_add_test(rings, ring_resistance);
    tcase_add_test(rings, rings_are_second_order);
    suite_add_tcase(suite, faces);
    suite_add_tcase(suite, rings);
    return run_suite(suite);
}
