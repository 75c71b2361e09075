/* places.c - see places.h: the final fields read between cells, and what is at a place. */
#include "quench/places.h"

#include "quench/built.h"

#include "hardness/tempering.h"

#include <math.h>

/* Final state, packed. */
const double *cq_run_martensite(const cq_run *run) {
    return run->structure[run->now].fraction[CQ_MARTENSITE];
}

/* What hardness needs to know of the austenite of a cell and, at a place in it, of the martensite's own tempering. */
static cq_matrix matrix_of(const cq_run *run, size_t cell, double softening_HRC, double parameter) {
    const cq_soak *soak = &cq_run_soak_at(run, cell)->soak;
    return (cq_matrix){soak->carbon_solution_wt, soak->carbide, softening_HRC, parameter};
}

/* Softening of the cells of a span by their own tempering. */
static void soften_span(cq_run *run, const cq_run_span *span) {
    const cq_structure *s = &run->structure[run->now];
    const double pure[CQ_PHASES] = {[CQ_MARTENSITE] = 1.0};
    const cq_run_soak *at = &run->soaks[span->soak];
    const cq_criticals critical = cq_clock_criticals(at->clock);
    const cq_matrix fresh = matrix_of(run, span->first, 0.0, 0.0);
    const double quenched = cq_hardness_points(cq_hardness_mixture_HV(&at->steel, &fresh, pure, 0.0));
    for (size_t cell = span->first; cell < span->last; cell++) {
        const double M = s->fraction[CQ_MARTENSITE][cell], A = s->fraction[CQ_AUSTENITE][cell];
        const cq_formation formation = {critical.Ms_K, critical.alpha_per_K, M + A};
        const cq_softening soft =
            cq_autotemper_of(&run->autotemper, cell, &at->steel, at->soak.carbon_solution_wt, quenched, M, &formation);
        run->softening_HRC[cell] = soft.loss_HRC;
        run->parameter[cell] = soft.parameter;
    }
}

void cq_run_soften(cq_run *run) {
    for (size_t n = 0; n < run->spans_n; n++) {
        soften_span(run, &run->spans[n]);
    }
}

double cq_run_cell_HV(const cq_run *run, size_t cell) {
    const cq_structure *s = &run->structure[run->now];
    const cq_matrix matrix = matrix_of(run, cell, run->softening_HRC[cell], run->parameter[cell]);
    double fraction[CQ_PHASES];
    for (int p = 0; p < CQ_PHASES; p++) {
        fraction[p] = s->fraction[p][cell];
    }
    return cq_hardness_mixture_HV(&cq_run_soak_at(run, cell)->steel, &matrix, fraction, s->hard_HV[cell]);
}

/* ---- between cells ----------------------------------------------------------------------------------------------- */

/* Distance of steel cell `across` of row `row` from y = 0, signed, m. */
static double offset_of(const cq_run *run, int row, int across) {
    const cq_grid *g = run->grid;
    return g->center_y_m[(g->steel_i0 + row) * g->across + g->steel_j0 + across];
}

/* Different steels lie in two cells of a row: nothing is carried from one to the other. */
static bool is_weld(const cq_run *run, int row, int a, int b) {
    const size_t first = (size_t)row * (size_t)run->steel_across;
    return run->built != NULL && run->built->zone[first + (size_t)a] != run->built->zone[first + (size_t)b];
}

/* Do cells of different soaks meet on the mid-plane of a full grid? */
static bool steels_meet(const cq_run *run, int row) {
    const size_t cell = (size_t)row * (size_t)run->steel_across + (size_t)run->steel_across / 2;
    return run->built != NULL && !run->grid->symmetric && run->soak_of[cell] != run->soak_of[cell - 1];
}

double cq_run_below_face(const cq_run *run, const double *field, int row, int side, double depth_m) {
    const cq_grid *g = run->grid;
    const int n = run->steel_across;
    const bool left = side == CQ_SIDE_LEFT && !g->symmetric;
    const int node = (g->steel_i0 + row) * (g->across + 1) + (left ? g->steel_j0 : g->steel_j1);
    const double out = left ? -1.0 : 1.0; /* distances grow outward; a face may lie on either side of y = 0 */
    const int above = g->one_dimensional ? node : node + g->across + 1;
    const double face = out * 0.5 * (g->node_y_m[node] + g->node_y_m[above]);
    const double *f = field + (size_t)row * (size_t)n;
    int outer = left ? 0 : n - 1;
    const int inward = left ? 1 : -1;
    const double target = face - depth_m;
    while (outer + 2 * inward >= 0 && outer + 2 * inward < n && out * offset_of(run, row, outer + inward) > target) {
        outer += inward;
    }
    if (is_weld(run, row, outer, outer + inward)) {
        return f[outer];
    }
    const double y0 = out * offset_of(run, row, outer), y1 = out * offset_of(run, row, outer + inward);
    return f[outer] + (f[outer + inward] - f[outer]) * (target - y0) / (y1 - y0);
}

/* A parabola across with zero slope on the mid-plane; of a full grid through the means of the two innermost pairs. */
double cq_run_on_mid_plane(const cq_run *run, const double *field, int row) {
    const double *f = field + (size_t)row * (size_t)run->steel_across;
    if (run->grid->symmetric) {
        if (is_weld(run, row, 0, 1)) {
            return f[0];
        }
        const double y0 = offset_of(run, row, 0), y1 = offset_of(run, row, 1);
        return f[0] - (f[1] - f[0]) * y0 * y0 / (y1 * y1 - y0 * y0);
    }
    const int h = run->steel_across / 2; /* blades that mirror one another read the same */
    if (steels_meet(run, row) || is_weld(run, row, h, h + 1) || is_weld(run, row, h - 2, h - 1)) {
        return 0.5 * (f[h - 1] + f[h]);
    }
    const double y0 = 0.5 * (offset_of(run, row, h) - offset_of(run, row, h - 1));
    const double y1 = 0.5 * (offset_of(run, row, h + 1) - offset_of(run, row, h - 2));
    const double f0 = 0.5 * (f[h - 1] + f[h]), f1 = 0.5 * (f[h - 2] + f[h + 1]);
    return f0 - (f1 - f0) * y0 * y0 / (y1 * y1 - y0 * y0);
}

double cq_run_height_of_row(const cq_run *run, int row) {
    const cq_grid *g = run->grid;
    const int node = (g->steel_i0 + row) * (g->across + 1) + g->steel_j0;
    return 0.5 * (g->node_x_m[node] + g->node_x_m[node + g->across + 1]);
}

/* ---- places ------------------------------------------------------------------------------------------------------ */

/* A height between two rows. */
typedef struct between {
    int row;
    double u;
} between;

/* A packed field at a height; on the mid-plane or a face, or of column `across` where that is not negative. */
static double read_at(const cq_run *run, const double *field, const between *at, int face, int across) {
    const int side = face == CQ_FACE_LEFT ? CQ_SIDE_LEFT : CQ_SIDE_RIGHT;
    double v[2] = {0.0, 0.0};
    for (int n = 0; n < (run->steel_rows == 1 ? 1 : 2); n++) {
        const int row = at->row + n;
        v[n] = across >= 0           ? field[row * run->steel_across + across]
               : face == CQ_FACE_MID ? cq_run_on_mid_plane(run, field, row)
                                     : cq_run_below_face(run, field, row, side, 0.0);
    }
    return v[0] + at->u * (v[1] - v[0]);
}

/* The cell whose steel is that of the place. */
static size_t cell_of(const cq_run *run, const between *at, int face) {
    const size_t across = (size_t)run->steel_across;
    const size_t j = face == CQ_FACE_LEFT    ? 0
                     : face == CQ_FACE_RIGHT ? across - 1
                     : run->grid->symmetric  ? 0
                                             : across / 2;
    return (size_t)(run->built != NULL && at->u > 0.5 ? at->row + 1 : at->row) * across + j;
}

/* Of a cell's steel; `across` as in read_at. */
static cq_place_part part_at(const cq_run *run, const between *at, int face, size_t cell, int across) {
    const cq_structure *s = &run->structure[run->now];
    cq_place_part p;
    double sum = 0.0; /* reading between cells keeps the sum at 1 but for what clamping takes */
    for (int f = 0; f < CQ_PHASES; f++) {
        p.fraction[f] = cq_clamped(read_at(run, s->fraction[f], at, face, across), 0.0, 1.0);
        sum += p.fraction[f];
    }
    for (int f = 0; f < CQ_PHASES; f++) {
        p.fraction[f] /= sum;
    }
    p.hard_HV = fmax(0.0, read_at(run, s->hard_HV, at, face, across)) / sum;
    p.steel = &cq_run_soak_at(run, cell)->steel;
    p.matrix = matrix_of(run, cell, fmax(0.0, read_at(run, run->softening_HRC, at, face, across)),
                         fmax(0.0, read_at(run, run->parameter, at, face, across)));
    return p;
}

cq_place cq_run_place(const cq_run *run, double at_m, int face) {
    between at = {0, 0.0};
    while (at.row + 2 < run->steel_rows && cq_run_height_of_row(run, at.row + 1) < at_m) {
        at.row++;
    }
    if (run->steel_rows > 1) {
        const double low_m = cq_run_height_of_row(run, at.row);
        at.u = (at_m - low_m) / (cq_run_height_of_row(run, at.row + 1) - low_m);
    }
    cq_place p = {.n = 1};
    const size_t cell = cell_of(run, &at, face);
    const bool meet = face == CQ_FACE_MID && steels_meet(run, (int)(cell / (size_t)run->steel_across));
    const int middle = run->steel_across / 2;
    p.part[0] = part_at(run, &at, face, cell, meet ? middle : -1);
    if (meet) {
        p.n = 2;
        p.part[1] = part_at(run, &at, face, cell - 1, middle - 1);
    }
    for (int n = 0; n < p.n; n++) {
        for (int f = 0; f < CQ_PHASES; f++) {
            p.spot.fraction[f] += p.part[n].fraction[f] / p.n;
        }
    }
    p.spot.HV = cq_run_tempered_HV(run, &p, 0);
    p.spot.HRC = cq_hardness_HRC(p.spot.HV);
    return p;
}

/* A hard skin on one side is ground there. */
int cq_run_edge_face(const cq_run *run) {
    const cq_zones *z = &run->plan->zones;
    if (run->built != NULL && z->n > 0 && z->build == CQ_BUILD_SKIN_ON_ONE_SIDE) {
        return z->side == CQ_SIDE_LEFT ? CQ_FACE_LEFT : CQ_FACE_RIGHT;
    }
    return run->grid->one_dimensional ? CQ_FACE_RIGHT : CQ_FACE_MID;
}

double cq_run_tempered_HV(const cq_run *run, const cq_place *p, size_t n) {
    double HV = 0.0;
    for (int part = 0; part < p->n; part++) {
        const cq_place_part *of = &p->part[part];
        HV += n == 0 ? cq_hardness_mixture_HV(of->steel, &of->matrix, of->fraction, of->hard_HV)
                     : cq_temper_mixture_HV(of->steel, &of->matrix, of->fraction, of->hard_HV, run->plan->temper, n);
    }
    return HV / p->n;
}

double cq_place_softening_HRC(const cq_place *p) {
    return p->n == 1 ? p->part[0].matrix.softening_HRC
                     : 0.5 * (p->part[0].matrix.softening_HRC + p->part[1].matrix.softening_HRC);
}
