/* answer.c - from the final fields to what the smith asked: where the line is, how hard edge, body and spine are. */
#include "quench/built.h"
#include "quench/run.h"

#include "base/memory.h"
#include "hardness/tempering.h"

#include <math.h>
#include <string.h>

static const double HARD = 0.5;       /* martensite at the line */
static const double FAINT_HV = 120.0; /* least contrast of edge against spine that etches as a line */
static const double INSET_M = 1e-3;   /* edge and spine are read 1 mm inside */

const char *cq_verdict_words(cq_verdict verdict) {
    static const char *const words[] = {
        [CQ_VERDICT_NO_EDGE] = "no hard edge",       [CQ_VERDICT_THROUGH] = "hard right through",
        [CQ_VERDICT_BROKEN] = "broken line",         [CQ_VERDICT_SPINE] = "hard spine",
        [CQ_VERDICT_FAINT] = "faint line",           [CQ_VERDICT_GOOD] = "hard edge, soft back",
        [CQ_VERDICT_INERT] = "steel does not harden"};
    return words[verdict];
}

/* Final state, packed. */
static const double *martensite_of(const cq_run *run) {
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

static double cell_HV(const cq_run *run, size_t cell) {
    const cq_structure *s = &run->structure[run->now];
    const cq_matrix matrix = matrix_of(run, cell, run->softening_HRC[cell], run->parameter[cell]);
    double fraction[CQ_PHASES];
    for (int p = 0; p < CQ_PHASES; p++) {
        fraction[p] = s->fraction[p][cell];
    }
    return cq_hardness_mixture_HV(&cq_run_soak_at(run, cell)->steel, &matrix, fraction, s->hard_HV[cell]);
}

static double clamped(double v, double low, double high) {
    return v < low ? low : (v > high ? high : v);
}

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

/* A packed field at depth below one face: straight between cell centres, carried on to the face itself. */
static double below_face(const cq_run *run, const double *field, int row, int side, double depth_m) {
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
static double on_mid_plane(const cq_run *run, const double *field, int row) {
    const double *f = field + (size_t)row * (size_t)run->steel_across;
    if (run->grid->symmetric) {
        if (is_weld(run, row, 0, 1)) {
            return f[0];
        }
        const double y0 = offset_of(run, row, 0), y1 = offset_of(run, row, 1);
        return f[0] - (f[1] - f[0]) * y0 * y0 / (y1 * y1 - y0 * y0);
    }
    const int h = run->steel_across / 2;
    if (is_weld(run, row, h - 1, h)) {
        return f[h];
    }
    if (is_weld(run, row, h, h + 1) || is_weld(run, row, h - 2, h - 1)) {
        return 0.5 * (f[h - 1] + f[h]);
    }
    const double y0 = 0.5 * (offset_of(run, row, h) - offset_of(run, row, h - 1));
    const double y1 = 0.5 * (offset_of(run, row, h + 1) - offset_of(run, row, h - 2));
    const double f0 = 0.5 * (f[h - 1] + f[h]), f1 = 0.5 * (f[h - 2] + f[h + 1]);
    return f0 - (f1 - f0) * y0 * y0 / (y1 * y1 - y0 * y0);
}

static double height_of_row(const cq_run *run, int row) {
    const cq_grid *g = run->grid;
    const int node = (g->steel_i0 + row) * (g->across + 1) + g->steel_j0;
    return 0.5 * (g->node_x_m[node] + g->node_x_m[node + g->across + 1]);
}

/* ---- along the height -------------------------------------------------------------------------------------------- */

static cq_status tabulate(cq_run *run, const double *hardness) {
    cq_profile_along *a = &run->result.along;
    const size_t n = (size_t)run->steel_rows;
    double *block = cq_memory_zero(8 * n, sizeof(double));
    if (block == NULL) {
        return CQ_ERR_MEMORY;
    }
    *a = (cq_profile_along){
        n, block, block + n, block + 2 * n, block + 3 * n, block + 4 * n, block + 5 * n, block + 6 * n, block + 7 * n};
    const double *M = martensite_of(run);
    for (int row = 0; row < run->steel_rows; row++) {
        a->height_m[row] = height_of_row(run, row);
        a->martensite_left[row] = clamped(below_face(run, M, row, CQ_SIDE_LEFT, 0.0), 0.0, 1.0);
        a->martensite_right[row] = clamped(below_face(run, M, row, CQ_SIDE_RIGHT, 0.0), 0.0, 1.0);
        a->martensite_mid[row] = clamped(on_mid_plane(run, M, row), 0.0, 1.0);
        a->hardness_left_HV[row] = below_face(run, hardness, row, CQ_SIDE_LEFT, 0.0);
        a->hardness_right_HV[row] = below_face(run, hardness, row, CQ_SIDE_RIGHT, 0.0);
        a->hardness_mid_HV[row] = on_mid_plane(run, hardness, row);
        a->tempered_mid_HV[row] = a->hardness_mid_HV[row]; /* until tempered */
    }
    return CQ_OK;
}

/* Row that stands for the edge: with a skin, which lies on the edge flat too, where the edge is read. */
static size_t edge_row(const cq_result *r) {
    const cq_profile_along *a = &r->along;
    size_t i = 0;
    while (r->built.skinned && i + 1 < a->n && a->height_m[i] < INSET_M) {
        i++;
    }
    return i;
}

/* First height where v falls through `level` going up; NaN if it starts below or never falls. */
static double falls_through(const cq_result *r, const double *v, double level) {
    const cq_profile_along *a = &r->along;
    const size_t first = edge_row(r);
    if (!(v[first] >= level)) {
        return NAN;
    }
    for (size_t i = first; i + 1 < a->n; i++) {
        if (v[i] >= level && v[i + 1] < level) {
            return a->height_m[i] + (a->height_m[i + 1] - a->height_m[i]) * (v[i] - level) / (v[i] - v[i + 1]);
        }
    }
    return NAN;
}

static size_t count_crossings(const cq_result *r, const double *v) {
    size_t crossings = 0;
    for (size_t i = edge_row(r); i + 1 < r->along.n; i++) {
        crossings += (v[i] >= HARD) != (v[i + 1] >= HARD);
    }
    return crossings;
}

static void add_crossings(cq_result *r, const double *v) {
    const cq_profile_along *a = &r->along;
    for (size_t i = edge_row(r); i + 1 < a->n && r->crossings_n < sizeof r->crossings_m / sizeof r->crossings_m[0];
         i++) {
        if ((v[i] >= HARD) != (v[i + 1] >= HARD)) {
            r->crossings_m[r->crossings_n++] =
                a->height_m[i] + (a->height_m[i + 1] - a->height_m[i]) * (v[i] - HARD) / (v[i] - v[i + 1]);
        }
    }
}

/* Of both faces where they differ, going up. */
static void list_crossings(cq_result *r) {
    add_crossings(r, r->along.martensite_left);
    if (!r->section->symmetric) {
        add_crossings(r, r->along.martensite_right);
    }
    for (size_t i = 1; i < r->crossings_n; i++) {
        for (size_t j = i; j > 0 && r->crossings_m[j] < r->crossings_m[j - 1]; j--) {
            const double swap = r->crossings_m[j];
            r->crossings_m[j] = r->crossings_m[j - 1];
            r->crossings_m[j - 1] = swap;
        }
    }
}

static double lower_of(double a, double b) {
    return isnan(a) ? b : (isnan(b) ? a : fmin(a, b));
}

/* Where the line is seen once the faces are ground. */
static cq_status find_ground_line(cq_run *run) {
    cq_result *r = &run->result;
    const double depth = run->plan->grind_m;
    if (!(depth > 0.0)) {
        return CQ_OK;
    }
    double *left = cq_memory_zero(2 * r->along.n, sizeof(double));
    if (left == NULL) {
        return CQ_ERR_MEMORY;
    }
    double *right = left + r->along.n;
    for (int row = 0; row < run->steel_rows; row++) {
        left[row] = clamped(below_face(run, martensite_of(run), row, CQ_SIDE_LEFT, depth), 0.0, 1.0);
        right[row] = clamped(below_face(run, martensite_of(run), row, CQ_SIDE_RIGHT, depth), 0.0, 1.0);
    }
    r->line_ground_m = lower_of(falls_through(r, left, HARD), falls_through(r, right, HARD));
    cq_memory_free(left);
    return CQ_OK;
}

static cq_status find_line(cq_run *run) {
    cq_result *r = &run->result;
    const cq_profile_along *a = &r->along;
    r->line_left_m = falls_through(r, a->martensite_left, HARD);
    r->line_right_m = falls_through(r, a->martensite_right, HARD);
    r->line_surface_m = lower_of(r->line_left_m, r->line_right_m);
    r->line_mid_m = falls_through(r, a->martensite_mid, HARD);
    const bool left = isnan(r->line_right_m) || r->line_left_m <= r->line_right_m;
    const double *lower = left ? a->martensite_left : a->martensite_right;
    r->line_band90_m = falls_through(
        r, lower, 0.9 * lower[edge_row(r)]); /* shares of the edge's own martensite: austenite is left too */
    r->line_band10_m = falls_through(r, lower, 0.1 * lower[edge_row(r)]);
    list_crossings(r);
    return find_ground_line(run);
}

/* ---- spots ------------------------------------------------------------------------------------------------------- */

/* A place between cells: the structure there, and what it takes to temper it. */
typedef struct place {
    cq_spot spot;
    double hard_HV;
    cq_matrix matrix;
    const cq_steel *steel;
} place;

/* A packed field at a height, between rows; on the mid-plane or a face. */
static double read_at(const cq_run *run, const double *field, int row, double u, int face) {
    const int side = face == CQ_FACE_LEFT ? CQ_SIDE_LEFT : CQ_SIDE_RIGHT;
    double v[2] = {0.0, 0.0};
    for (int n = 0; n < (run->steel_rows == 1 ? 1 : 2); n++) {
        v[n] = face == CQ_FACE_MID ? on_mid_plane(run, field, row + n) : below_face(run, field, row + n, side, 0.0);
    }
    return v[0] + u * (v[1] - v[0]);
}

/* The cell whose steel is that of the place. */
static size_t cell_of(const cq_run *run, int row, double u, int face) {
    const size_t across = (size_t)run->steel_across;
    const size_t j = face == CQ_FACE_LEFT    ? 0
                     : face == CQ_FACE_RIGHT ? across - 1
                     : run->grid->symmetric  ? 0
                                             : across / 2;
    return (size_t)(run->built != NULL && u > 0.5 ? row + 1 : row) * across + j;
}

static place place_at(const cq_run *run, double at_m, int face) {
    const cq_structure *s = &run->structure[run->now];
    int row = 0;
    while (row + 2 < run->steel_rows && height_of_row(run, row + 1) < at_m) {
        row++;
    }
    const double u = run->steel_rows == 1
                         ? 0.0
                         : (at_m - height_of_row(run, row)) / (height_of_row(run, row + 1) - height_of_row(run, row));
    place p;
    double sum = 0.0; /* reading between cells keeps the sum at 1 but for what clamping takes */
    for (int f = 0; f < CQ_PHASES; f++) {
        p.spot.fraction[f] = clamped(read_at(run, s->fraction[f], row, u, face), 0.0, 1.0);
        sum += p.spot.fraction[f];
    }
    for (int f = 0; f < CQ_PHASES; f++) {
        p.spot.fraction[f] /= sum;
    }
    p.hard_HV = fmax(0.0, read_at(run, s->hard_HV, row, u, face)) / sum;
    const size_t cell = cell_of(run, row, u, face);
    p.steel = &cq_run_soak_at(run, cell)->steel;
    p.matrix = matrix_of(run, cell, fmax(0.0, read_at(run, run->softening_HRC, row, u, face)),
                         fmax(0.0, read_at(run, run->parameter, row, u, face)));
    p.spot.HV = cq_hardness_mixture_HV(p.steel, &p.matrix, p.spot.fraction, p.hard_HV);
    p.spot.HRC = cq_hardness_HRC(p.spot.HV);
    return p;
}

static cq_spot no_spot(void) {
    cq_spot spot = {NAN, NAN, {NAN, NAN, NAN, NAN, NAN}};
    return spot;
}

/* Hardness of a place after the plan's tempers. */
static void temper_place(const cq_run *run, const place *p, double *HV, double *HRC) {
    const size_t n = run->plan->temper_n;
    *HV = *HRC = NAN;
    if (n == 0) {
        return;
    }
    *HV = cq_temper_mixture_HV(p->steel, &p->matrix, p->spot.fraction, p->hard_HV, run->plan->temper, n);
    *HRC = cq_hardness_HRC(*HV);
}

/* What is meant to stay soft: the spine; between two edges the body. */
static const cq_spot *back_of(const cq_run *run) {
    return run->section->family == CQ_FAMILY_DOUBLE_EDGED ? &run->result.body : &run->result.spine;
}

/* Hardness after each of the plan's tempers, and along the mid-plane after all of them. */
static void temper_in_turn(cq_run *run, const place *edge, const place *spine) {
    cq_result *r = &run->result;
    const cq_steel *steel = &run->plan->steel;
    const cq_temper *temper = run->plan->temper;
    const size_t room = sizeof r->tempers / sizeof r->tempers[0], all = run->plan->temper_n;
    r->tempers_n = all < room ? all : room;
    for (size_t n = 0; n < r->tempers_n; n++) {
        cq_after_temper *t = &r->tempers[n];
        t->edge_HV = cq_temper_mixture_HV(steel, &edge->matrix, edge->spot.fraction, edge->hard_HV, temper, n + 1);
        t->edge_HRC = cq_hardness_HRC(t->edge_HV);
        t->spine_HV = t->spine_HRC = NAN;
        if (spine != NULL) {
            t->spine_HV =
                cq_temper_mixture_HV(steel, &spine->matrix, spine->spot.fraction, spine->hard_HV, temper, n + 1);
            t->spine_HRC = cq_hardness_HRC(t->spine_HV);
        }
    }
    for (int row = 0; row < run->steel_rows && r->has_line; row++) {
        const place p = place_at(run, height_of_row(run, row), false);
        r->along.tempered_mid_HV[row] =
            all > 0 ? cq_temper_mixture_HV(steel, &p.matrix, p.spot.fraction, p.hard_HV, temper, all) : p.spot.HV;
    }
}

double cq_result_wear_m(const cq_result *r, double HRC) {
    const cq_profile_along *a = &r->along;
    const double HV = cq_hardness_HV(HRC);
    if (!r->has_line || isnan(HV)) {
        return NAN;
    }
    if (!(a->tempered_mid_HV[0] >= HV)) {
        return 0.0;
    }
    const double at = falls_through(r, a->tempered_mid_HV, HV);
    return isnan(at) ? INFINITY : at;
}

static cq_verdict judge(const cq_run *run) {
    const cq_result *r = &run->result;
    const cq_profile_along *a = &r->along;
    bool everywhere = true;
    for (size_t i = 0; i < a->n; i++) {
        everywhere = everywhere && a->martensite_left[i] >= HARD && a->martensite_right[i] >= HARD &&
                     a->martensite_mid[i] >= HARD;
    }
    if (!(r->edge.fraction[CQ_MARTENSITE] >= HARD)) {
        return CQ_VERDICT_NO_EDGE;
    }
    if (everywhere) {
        return CQ_VERDICT_THROUGH;
    }
    if (count_crossings(r, a->martensite_left) > 2 || count_crossings(r, a->martensite_right) > 2) {
        return CQ_VERDICT_BROKEN;
    }
    if (back_of(run)->fraction[CQ_MARTENSITE] >= HARD) {
        return CQ_VERDICT_SPINE;
    }
    return r->contrast_HV < FAINT_HV ? CQ_VERDICT_FAINT : CQ_VERDICT_GOOD;
}

/* ---- fields ------------------------------------------------------------------------------------------------------ */

static cq_status lay_out_fields(cq_run *run) {
    cq_result *r = &run->result;
    const cq_grid *g = run->grid;
    const size_t cells = (size_t)g->along * (size_t)g->across;
    double *block = cq_memory_zero((3 + CQ_PHASES) * cells, sizeof(double));
    if (block == NULL) {
        return CQ_ERR_MEMORY;
    }
    r->hardness_HV = block;
    r->peak_rate_K_s = block + cells;
    r->temp_K = block + 2 * cells;
    for (int p = 0; p < CQ_PHASES; p++) {
        r->fraction[p] = block + (size_t)(3 + p) * cells;
    }
    for (size_t c = 0; c < cells; c++) {
        r->hardness_HV[c] = r->peak_rate_K_s[c] = NAN;
    }
    for (int i = 0; i < g->along; i++) {
        memcpy(r->temp_K + (size_t)i * (size_t)g->across, run->heat->T + cq_heat_at(run->heat, i, 0),
               (size_t)g->across * sizeof(double));
    }
    for (int row = 0; row < run->steel_rows; row++) {
        for (int j = 0; j < run->steel_across; j++) {
            const size_t packed = (size_t)row * (size_t)run->steel_across + (size_t)j;
            const size_t cell = (size_t)(g->steel_i0 + row) * (size_t)g->across + (size_t)(g->steel_j0 + j);
            r->peak_rate_K_s[cell] = run->peak_rate[packed];
            if (run->transforming) {
                r->hardness_HV[cell] = cell_HV(run, packed);
                for (int p = 0; p < CQ_PHASES; p++) {
                    r->fraction[p][cell] = run->structure[run->now].fraction[p][packed];
                }
            }
        }
    }
    return CQ_OK;
}

static void no_answer(cq_result *r) {
    r->line_left_m = r->line_right_m = r->line_surface_m = r->line_mid_m = r->line_band90_m = r->line_band10_m =
        r->line_ground_m = NAN;
    r->edge = r->body = r->spine = no_spot();
    r->edge_softening_HRC = r->edge_temper_HV = r->edge_temper_HRC = r->spine_temper_HV = r->spine_temper_HRC = NAN;
    r->soak_austenite = r->soak_spine_austenite = NAN;
    r->contrast_HV = r->critical_rate_K_s = r->Ae1_K = r->Ms_K = r->carbon_in_solution_wt = r->grain_ASTM = NAN;
    r->verdict = CQ_VERDICT_INERT;
}

/* The edge is read on the mid-plane; a plate's on its face, and so that of a hard skin on one side: it is ground there.
 */
static int edge_face(const cq_run *run) {
    const cq_zones *z = &run->plan->zones;
    if (run->built != NULL && z->n > 0 && z->build == CQ_BUILD_SKIN_ON_ONE_SIDE) {
        return z->side == CQ_SIDE_LEFT ? CQ_FACE_LEFT : CQ_FACE_RIGHT;
    }
    return run->grid->one_dimensional ? CQ_FACE_RIGHT : CQ_FACE_MID;
}

cq_status cq_run_answer(cq_run *run) {
    cq_result *r = &run->result;
    no_answer(r);
    if (run->transforming) {
        for (size_t n = 0; n < run->spans_n; n++) {
            soften_span(run, &run->spans[n]);
        }
    }
    cq_status status = lay_out_fields(run);
    status = status < 0 ? status : cq_run_built_answer(run);
    if (status != CQ_OK || !run->transforming) {
        return status;
    }
    double *hardness = cq_memory_zero(run->steel_n, sizeof(double));
    if (hardness == NULL) {
        return CQ_ERR_MEMORY;
    }
    for (size_t c = 0; c < run->steel_n; c++) {
        hardness[c] = cell_HV(run, c);
    }
    status = tabulate(run, hardness);
    cq_memory_free(hardness);
    if (status != CQ_OK) {
        return status;
    }
    const cq_run_soak *at_edge = cq_run_soak_at(run, cq_run_edge_cell(run)),
                      *at_spine = cq_run_soak_at(run, cq_run_spine_cell(run));
    const cq_criticals critical = cq_clock_criticals(at_edge->clock);
    const double height = run->section->height_m;
    r->Ae1_K = critical.Ae1_K;
    if (at_edge->soak.austenite > CQ_AUSTENITE_SEEN) { /* else there is none that could have them */
        r->Ms_K = critical.Ms_K;
        r->carbon_in_solution_wt = at_edge->soak.carbon_solution_wt;
        r->grain_ASTM = at_edge->soak.grain_ASTM;
    }
    r->soak_austenite = at_edge->soak.austenite;
    r->soak_spine_austenite = at_spine->soak.austenite;
    if (run->fire != NULL) {
        r->fired.edge_grain_ASTM = at_edge->soak.grain_ASTM;
        r->fired.spine_grain_ASTM = at_spine->soak.grain_ASTM;
    }
    r->critical_rate_K_s = cq_clock_critical_rate(at_edge->clock, &at_edge->soak, at_edge->temperature_K, 0.03);
    r->has_line = !run->grid->one_dimensional;
    const place edge = place_at(run, r->has_line ? INSET_M : 0.0, edge_face(run));
    const place body = place_at(run, r->has_line ? 0.5 * height : 0.0, CQ_FACE_MID);
    r->edge = edge.spot;
    r->body = body.spot;
    r->edge_softening_HRC = edge.matrix.softening_HRC;
    temper_place(run, &edge, &r->edge_temper_HV, &r->edge_temper_HRC);
    if (r->has_line) {
        const place spine = place_at(run, height - INSET_M, CQ_FACE_MID);
        r->spine = spine.spot;
        temper_place(run, &spine, &r->spine_temper_HV, &r->spine_temper_HRC);
        temper_in_turn(run, &edge, &spine);
        r->contrast_HV = r->edge.HV - back_of(run)->HV;
        status = find_line(run);
        r->verdict = judge(run);
    } else {
        temper_in_turn(run, &edge, NULL);
        r->verdict = r->body.fraction[CQ_MARTENSITE] >= HARD && r->edge.fraction[CQ_MARTENSITE] >= HARD
                         ? CQ_VERDICT_THROUGH
                     : r->edge.fraction[CQ_MARTENSITE] >= HARD ? CQ_VERDICT_GOOD
                                                               : CQ_VERDICT_NO_EDGE;
    }
    return status;
}
