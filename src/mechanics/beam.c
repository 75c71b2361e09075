/* beam.c - see beam.h. The balance is found by Newton's method on mean strain and curvatures with a search along each
 * step: the energy of an elastic-plastic slice is convex, so that it is found from anywhere; without the search coarse
 * steps run away.
 */
#include "mechanics/beam.h"

#include "base/memory.h"
#include "base/vector.h"
#include "mechanics/plate.h"

#include <math.h>
#include <string.h>

static const double BALANCED = 5e-10;              /* of the yield force: half of what is promised */
static const double DUE_K = 50.0, DUE_SHARE = 0.1; /* keeps the final rise within 0.1 mm on 700 mm */
static const double SEARCH_GAIN = 0.5;             /* what is left of the residual along a good step */
static const double POISSON = 0.3;                 /* of every phase at every temperature; from memory */
enum { NEWTON_STEPS = 80, SEARCH_STEPS = 30 };
enum { UNKNOWNS = 3, ROW_UNKNOWNS = 2 }; /* mean, along the height, across; of a row: stretch, bend across */

/* A row's part in the balance: what is left over in it and how it answers the unknowns of the whole. */
typedef struct row_answer {
    double r[ROW_UNKNOWNS];                /* force and moment along the height */
    double own[ROW_UNKNOWNS];              /* K^-1 r */
    double shared[ROW_UNKNOWNS][UNKNOWNS]; /* K^-1 K' */
} row_answer;

struct cq_beam {
    size_t n, rows, across, pitch, room; /* cells; rows are padded to whole vectors: room = rows x pitch */
    bool half;
    double x0_m, y0_m, half_height_m, half_width_m; /* middle of area, and what scales the curvatures */
    cq_strength strength;
    double *xi, *eta, *area; /* places from the middle over the half sizes; m2, 0 in the padding */
    /* as of the last step; z along the blade, x along the height */
    double *T, *f[CQ_PHASES], *z_stress, *x_stress;
    double *start, *grown, *first;           /* free strain and austenite at the start; growth since by other causes */
    double *soft_growth, *martensite_growth; /* on forming at 20 degC */
    double *z_plastic, *x_plastic, *z_turned, *x_turned, *remembered[CQ_STRONGS]; /* strains */
    /* of the step being tried */
    double *A, *B;         /* stiffness of the sum and of the difference of both strains, (3) in it */
    double *z_off, *x_off; /* strains without stress */
    double *yield, *hardening, *half_soft, *free_strain, *keeps;
    double *z_strain, *x_strain, *z_new, *x_new, *multiplier; /* strains tried and what they give: see respond */
    double *zz, *xx, *zx;                                     /* derivatives of stresses by strains */
    double u[UNKNOWNS];        /* strain at the middle, and at xi = 1 and eta = 1 on top of it */
    double (*v)[ROW_UNKNOWNS]; /* stretch of each row along the height, and at eta = 1 on top of it */
    double (*dv)[ROW_UNKNOWNS];
    row_answer *row;
    double residual;
    double *packed_stress;
    double *block;
};

/* ---- create ------------------------------------------------------------------------------------------------------ */

static size_t padded(const cq_beam *b, size_t packed) {
    return packed / b->across * b->pitch + packed % b->across;
}

static void place_cells(cq_beam *b, const cq_beam_shape *shape) {
    double area = 0.0, x = 0.0, y = 0.0;
    for (size_t c = 0; c < b->n; c++) {
        area += shape->area_m2[c];
        x += shape->area_m2[c] * shape->x_m[c];
        y += shape->area_m2[c] * shape->y_m[c];
    }
    b->x0_m = x / area;
    b->y0_m = b->half ? 0.0 : y / area;
    b->half_height_m = b->half_width_m = 1e-12;
    for (size_t c = 0; c < b->n; c++) {
        b->half_height_m = fmax(b->half_height_m, fabs(shape->x_m[c] - b->x0_m));
        b->half_width_m = fmax(b->half_width_m, fabs(shape->y_m[c] - b->y0_m));
    }
    b->half = b->half || b->half_width_m <= 1e-12; /* one column: nothing to bend sideways */
    for (size_t c = 0; c < b->n; c++) {
        const size_t k = padded(b, c);
        b->area[k] = shape->area_m2[c];
        b->xi[k] = (shape->x_m[c] - b->x0_m) / b->half_height_m;
        b->eta[k] = b->half ? 0.0 : (shape->y_m[c] - b->y0_m) / b->half_width_m;
    }
    for (size_t k = 0; k < b->room; k++) { /* padding: stiffness to divide by, no area */
        b->A[k] = b->B[k] = b->yield[k] = b->hardening[k] = 1.0;
    }
}

cq_status cq_beam_create(cq_beam **beam, const cq_beam_shape *shape, const cq_strength *strength) {
    cq_beam *b = cq_memory_zero(1, sizeof *b);
    if (b == NULL) {
        return CQ_ERR_MEMORY;
    }
    b->rows = shape->rows;
    b->across = shape->across;
    b->n = b->rows * b->across;
    b->pitch = (b->across + CQ_LANES - 1) / CQ_LANES * CQ_LANES;
    b->room = b->rows * b->pitch;
    b->half = shape->half;
    b->strength = *strength;
    double **arrays[] = {&b->xi,
                         &b->eta,
                         &b->area,
                         &b->T,
                         &b->z_stress,
                         &b->x_stress,
                         &b->start,
                         &b->grown,
                         &b->first,
                         &b->soft_growth,
                         &b->martensite_growth,
                         &b->z_plastic,
                         &b->x_plastic,
                         &b->z_turned,
                         &b->x_turned,
                         &b->remembered[0],
                         &b->remembered[1],
                         &b->remembered[2],
                         &b->A,
                         &b->B,
                         &b->z_off,
                         &b->x_off,
                         &b->yield,
                         &b->hardening,
                         &b->half_soft,
                         &b->free_strain,
                         &b->keeps,
                         &b->packed_stress,
                         &b->f[0],
                         &b->f[1],
                         &b->f[2],
                         &b->f[3],
                         &b->f[4],
                         &b->z_strain,
                         &b->x_strain,
                         &b->z_new,
                         &b->x_new,
                         &b->multiplier,
                         &b->zz,
                         &b->xx,
                         &b->zx};
    const size_t arrays_n = sizeof arrays / sizeof arrays[0];
    b->block = cq_memory_zero(arrays_n * b->room, sizeof(double));
    b->row = cq_memory_zero(b->rows, sizeof *b->row);
    b->v = cq_memory_zero(2 * b->rows, sizeof *b->v);
    if (b->block == NULL || b->row == NULL || b->v == NULL) {
        cq_beam_free(b);
        return CQ_ERR_MEMORY;
    }
    b->dv = b->v + b->rows;
    for (size_t a = 0; a < arrays_n; a++) {
        *arrays[a] = b->block + a * b->room;
    }
    place_cells(b, shape);
    *beam = b;
    return CQ_OK;
}

void cq_beam_free(cq_beam *beam) {
    if (beam != NULL) {
        cq_memory_free(beam->block);
        cq_memory_free(beam->row);
        cq_memory_free(beam->v);
        cq_memory_free(beam);
    }
}

/* ---- one cell's properties --------------------------------------------------------------------------------------- */

/* Structure of cell c; without pointers all of it is austenite. */
static void structure_of(double *const fraction[CQ_PHASES], size_t c, double f[CQ_PHASES]) {
    for (int p = 0; p < CQ_PHASES; p++) {
        f[p] = fraction[p] == NULL ? (p == CQ_AUSTENITE ? 1.0 : 0.0) : fraction[p][c];
    }
}

static cq_strength_node strength_at(const cq_strength *s, double T_K) {
    const double at = (T_K - CQ_STRENGTH_FIRST_K) / CQ_STRENGTH_PITCH_K, last = CQ_STRENGTH_NODES - 2;
    const double held = at > 0.0 ? (at < last ? at : last) : 0.0;
    const int i = (int)held;
    const double u = held - i, v = 1.0 - u;
    const cq_strength_node *a = &s->node[i], *z = a + 1;
    return (cq_strength_node){
        v * a->stiffness_Pa + u * z->stiffness_Pa,
        {v * a->yield_Pa[0] + u * z->yield_Pa[0], v * a->yield_Pa[1] + u * z->yield_Pa[1],
         v * a->yield_Pa[2] + u * z->yield_Pa[2]},
        {v * a->strain[0] + u * z->strain[0], v * a->strain[1] + u * z->strain[1], v * a->strain[2] + u * z->strain[2]},
        v * a->keeps + u * z->keeps};
}

static void strong_of(const double f[CQ_PHASES], double strong[CQ_STRONGS]) {
    strong[CQ_STRONG_AUSTENITE] = f[CQ_AUSTENITE];
    strong[CQ_STRONG_SOFT] = f[CQ_FERRITE] + f[CQ_PEARLITE] + f[CQ_BAINITE];
    strong[CQ_STRONG_MARTENSITE] = f[CQ_MARTENSITE];
}

/* (2), without the start's value. */
static double free_of(const cq_beam *b, size_t c, const cq_strength_node *at, const double strong[CQ_STRONGS]) {
    return strong[CQ_STRONG_AUSTENITE] * at->strain[CQ_STRONG_AUSTENITE] +
           strong[CQ_STRONG_SOFT] * (b->soft_growth[c] + at->strain[CQ_STRONG_SOFT]) +
           strong[CQ_STRONG_MARTENSITE] * (b->martensite_growth[c] + at->strain[CQ_STRONG_MARTENSITE]);
}

void cq_beam_begin(cq_beam *b, const double *T_K, double *const fraction[CQ_PHASES], const double *carbon_wt) {
    for (size_t c = 0; c < b->n; c++) {
        const size_t k = padded(b, c);
        double f[CQ_PHASES], strong[CQ_STRONGS];
        structure_of(fraction, c, f);
        strong_of(f, strong);
        b->soft_growth[k] = carbon_wt == NULL ? 0.0 : cq_strength_soft_growth(carbon_wt[c]);
        b->martensite_growth[k] = carbon_wt == NULL ? 0.0 : cq_strength_martensite_growth(carbon_wt[c]);
        const cq_strength_node at = strength_at(&b->strength, T_K[c]);
        b->start[k] = free_of(b, k, &at, strong);
        b->first[k] = f[CQ_AUSTENITE];
        b->T[k] = T_K[c];
        for (int p = 0; p < CQ_PHASES; p++) {
            b->f[p][k] = f[p];
        }
        b->z_stress[k] = b->x_stress[k] = b->grown[k] = b->free_strain[k] = 0.0;
        b->z_plastic[k] = b->x_plastic[k] = b->z_turned[k] = b->x_turned[k] = 0.0;
        b->remembered[0][k] = b->remembered[1][k] = b->remembered[2][k] = 0.0;
        b->packed_stress[c] = 0.0;
    }
    memset(b->u, 0, sizeof b->u);
    memset(b->v, 0, b->rows * sizeof *b->v);
    b->residual = 0.0;
}

static int any_beyond(size_t n, const double *restrict a, const double *restrict b, double limit) {
    int beyond = 0;
    for (size_t c = 0; c < n; c++) {
        beyond |= fabs(a[c] - b[c]) > limit;
    }
    return beyond;
}

/* Every product comes out of the austenite: its share tells all changes. */
bool cq_beam_is_due(const cq_beam *b, const double *T_K, double *const fraction[CQ_PHASES]) {
    int due = 0;
    for (size_t row = 0; row < b->rows && due == 0; row++) {
        const size_t c = row * b->across, k = row * b->pitch;
        due = any_beyond(b->across, T_K + c, b->T + k, DUE_K);
        if (fraction[CQ_AUSTENITE] != NULL) {
            due |= any_beyond(b->across, fraction[CQ_AUSTENITE] + c, b->f[CQ_AUSTENITE] + k, DUE_SHARE);
        }
    }
    return due != 0;
}

/* Half of (3)'s strain per uniaxial stress while the structure goes from f0 to f1: K [phi(X1) - phi(X0)] / 2, where
 * phi's difference is dX (2 - X0 - X1). */
static double half_softness(const double f0[CQ_PHASES], const double f1[CQ_PHASES], double first) {
    double sum = 0.0;
    for (int p = CQ_AUSTENITE + 1; p < CQ_PHASES; p++) {
        sum += cq_strength_softness((cq_phase)p) * fmax(0.0, f1[p] - f0[p]); /* rounding takes nothing back */
    }
    return first > 0.0 ? 0.5 * sum * (f0[CQ_AUSTENITE] + f1[CQ_AUSTENITE]) / first : 0.0;
}

/* What the step to T and f makes of cell c before its strain is known; moves the cell's structure on. */
static void prepare_cell(cq_beam *b, size_t c, double T_K, const double f[CQ_PHASES]) {
    const cq_strength_node at = strength_at(&b->strength, T_K);
    double f0[CQ_PHASES], before[CQ_STRONGS], strong[CQ_STRONGS];
    for (int p = 0; p < CQ_PHASES; p++) {
        f0[p] = b->f[p][c];
    }
    strong_of(f0, before);
    strong_of(f, strong);
    const double half = half_softness(f0, f, b->first[c]), E = at.stiffness_Pa;
    const double bulk = E / (3.0 * (1.0 - 2.0 * POISSON)), G0 = E / (2.0 * (1.0 + POISSON)),
                 G = G0 / (1.0 + 3.0 * G0 * half);
    b->half_soft[c] = half;
    b->A[c] = 18.0 * bulk * G / (3.0 * bulk + 4.0 * G); /* E / (1 - nu) of these two */
    b->B[c] = 2.0 * G;                                  /* E / (1 + nu) */
    b->free_strain[c] = free_of(b, c, &at, strong) - b->start[c] + b->grown[c];
    const double third =
        (b->z_stress[c] + b->x_stress[c]) / 3.0; /* deviators of the old stress, explicit half of (3) */
    b->z_off[c] = b->free_strain[c] + b->z_plastic[c] + b->z_turned[c] + 1.5 * half * (b->z_stress[c] - third);
    b->x_off[c] = b->free_strain[c] + b->x_plastic[c] + b->x_turned[c] + 1.5 * half * (b->x_stress[c] - third);
    b->yield[c] = b->hardening[c] = 0.0;
    for (int p = 0; p < CQ_STRONGS; p++) {
        if (strong[p] > before[p]) { /* new material remembers nothing */
            b->remembered[p][c] *= before[p] / strong[p];
        }
        b->yield[c] += strong[p] * (at.yield_Pa[p] + b->strength.hardening_Pa[p] * b->remembered[p][c]);
        b->hardening[c] += strong[p] * b->strength.hardening_Pa[p] * at.keeps;
    }
    b->keeps[c] = at.keeps;
    b->T[c] = T_K;
    for (int p = 0; p < CQ_PHASES; p++) {
        b->f[p][c] = f[p];
    }
}

/* ---- balance ----------------------------------------------------------------------------------------------------- */

/* Force and moments over the half sizes, and their derivatives by the unknowns, the rows' own taken out. */
typedef struct balance {
    double r[UNKNOWNS], K[UNKNOWNS][UNKNOWNS];
    double plain[UNKNOWNS]; /* force and moments themselves */
    double rows;            /* largest force or moment left in a row */
} balance;

/* Take the row's own stretch and bend out of the balance. */
static void condense(const double sums[CQ_PLATE_SUMS], bool half, row_answer *row, balance *k) {
    const double *left = sums + 11; /* derivatives of force and moments by stretch, then by bend of the row */
    row->r[0] = sums[3];
    row->r[1] = half ? 0.0 : sums[4];
    const double K00 = sums[17], K01 = half ? 0.0 : sums[18], K11 = half ? 1.0 : sums[19];
    const double det = K00 * K11 - K01 * K01, I00 = K11 / det, I01 = -K01 / det, I11 = K00 / det;
    row->own[0] = I00 * row->r[0] + I01 * row->r[1];
    row->own[1] = I01 * row->r[0] + I11 * row->r[1];
    for (int i = 0; i < UNKNOWNS; i++) {
        const double l0 = left[i], l1 = half ? 0.0 : left[3 + i];
        row->shared[0][i] = I00 * l0 + I01 * l1;
        row->shared[1][i] = I01 * l0 + I11 * l1;
    }
    static const int place[UNKNOWNS][UNKNOWNS] = {{5, 6, 7}, {6, 8, 9}, {7, 9, 10}};
    for (int i = 0; i < UNKNOWNS; i++) {
        const double l0 = left[i], l1 = half ? 0.0 : left[3 + i];
        k->plain[i] += sums[i];
        k->r[i] += sums[i] - l0 * row->own[0] - l1 * row->own[1];
        for (int j = 0; j < UNKNOWNS; j++) {
            k->K[i][j] += sums[place[i][j]] - l0 * row->shared[0][j] - l1 * row->shared[1][j];
        }
    }
    k->rows = fmax(k->rows, fmax(fabs(row->r[0]), fabs(row->r[1])));
}

/* Responses at these unknowns, the rows' own moved on by a share of their step. */
static void respond_at(cq_beam *b, const double u[UNKNOWNS], double share) {
    for (size_t row = 0; row < b->rows; row++) {
        const double v0 = b->v[row][0] + share * b->dv[row][0], v1 = b->v[row][1] + share * b->dv[row][1];
        for (size_t c = row * b->pitch; c < (row + 1) * b->pitch; c++) {
            b->z_strain[c] = u[0] + u[1] * b->xi[c] + u[2] * b->eta[c];
            b->x_strain[c] = v0 + v1 * b->eta[c];
        }
        const size_t c = row * b->pitch;
        if (cq_plate_stretch(b->pitch, b->z_strain + c, b->x_strain + c, b->A + c, b->B + c, b->z_off + c, b->x_off + c,
                             b->yield + c, b->z_new + c, b->x_new + c, b->multiplier + c, b->zz + c, b->xx + c,
                             b->zx + c)) {
            cq_plate_yield(b->pitch, b->z_strain + c, b->x_strain + c, b->A + c, b->B + c, b->z_off + c, b->x_off + c,
                           b->yield + c, b->hardening + c, b->z_new + c, b->x_new + c, b->multiplier + c, b->zz + c,
                           b->xx + c, b->zx + c);
        }
    }
}

static balance balance_at(cq_beam *b, const double u[UNKNOWNS], double share) {
    balance k = {{0.0}, {{0.0}}, {0.0}, 0.0};
    respond_at(b, u, share);
    for (size_t row = 0; row < b->rows; row++) {
        const size_t c = row * b->pitch;
        double sums[CQ_PLATE_SUMS] = {0.0};
        if (b->half) {
            cq_plate_half_sums(b->pitch, b->xi + c, b->area + c, b->z_new + c, b->x_new + c, b->zz + c, b->xx + c,
                               b->zx + c, sums);
        } else {
            cq_plate_sums(b->pitch, b->xi + c, b->eta + c, b->area + c, b->z_new + c, b->x_new + c, b->zz + c,
                          b->xx + c, b->zx + c, sums);
        }
        condense(sums, b->half, &b->row[row], &k);
    }
    return k;
}

/* -K^-1 r by elimination (K is positive definite; without a side bend its last row is left out), and the rows' own. */
static void newton_step(cq_beam *b, const balance *k, double du[UNKNOWNS]) {
    const double(*K)[UNKNOWNS] = k->K;
    const double l10 = K[0][1] / K[0][0], d1 = K[1][1] - l10 * K[0][1], y1 = -k->r[1] + l10 * k->r[0];
    const double m12 = b->half ? 0.0 : K[1][2] - l10 * K[0][2];
    du[2] = 0.0;
    if (!b->half) {
        const double l20 = K[0][2] / K[0][0], l21 = m12 / d1, d2 = K[2][2] - l20 * K[0][2] - l21 * m12;
        du[2] = (-k->r[2] + l20 * k->r[0] - l21 * y1) / d2;
    }
    du[1] = (y1 - m12 * du[2]) / d1;
    du[0] = (-k->r[0] - K[0][1] * du[1] - (b->half ? 0.0 : K[0][2] * du[2])) / K[0][0];
    for (size_t row = 0; row < b->rows; row++) {
        const row_answer *a = &b->row[row];
        for (int i = 0; i < ROW_UNKNOWNS; i++) {
            b->dv[row][i] = -a->own[i] - a->shared[i][0] * du[0] - a->shared[i][1] * du[1] - a->shared[i][2] * du[2];
        }
    }
}

static double residual_of(const cq_beam *b, const balance *k, double scale) {
    const double side = b->half ? 0.0 : fabs(k->plain[2]);
    return fmax(fmax(fabs(k->plain[0]), fabs(k->plain[1])), fmax(side, k->rows)) / scale;
}

/* Residual along the step: work of what is left over. */
static double along(const cq_beam *b, const balance *k, const double du[UNKNOWNS]) {
    double sum = k->plain[0] * du[0] + k->plain[1] * du[1] + (b->half ? 0.0 : k->plain[2] * du[2]);
    for (size_t row = 0; row < b->rows; row++) {
        sum += b->row[row].r[0] * b->dv[row][0] + b->row[row].r[1] * b->dv[row][1];
    }
    return sum;
}

/* Newton's step, shortened by secants while the residual along it is not halved: along a line the residual grows
 * steadily from its negative start, so that its zero is bracketed. */
static balance search(cq_beam *b, const balance *from, const double du[UNKNOWNS]) {
    const double g0 = along(b, from, du);
    double low = 0.0, g_low = g0, high = 0.0, g_high = 0.0, share = 1.0, at = 1.0, u[UNKNOWNS];
    balance k = *from;
    for (int n = 0; n < SEARCH_STEPS; n++) {
        at = share;
        for (int i = 0; i < UNKNOWNS; i++) {
            u[i] = b->u[i] + share * du[i];
        }
        k = balance_at(b, u, share);
        const double g = along(b, &k, du);
        if (fabs(g) <= SEARCH_GAIN * fabs(g0)) {
            break;
        }
        if (g < 0.0) {
            low = share;
            g_low = g;
        } else {
            high = share;
            g_high = g;
        }
        if (!(high > 0.0)) {
            share *= 2.0;
        } else {
            const double secant = low - g_low * (high - low) / (g_high - g_low), margin = 0.05 * (high - low);
            share = fmin(high - margin, fmax(low + margin, secant));
        }
    }
    memcpy(b->u, u, sizeof u);
    for (size_t row = 0; row < b->rows; row++) {
        b->v[row][0] += at * b->dv[row][0];
        b->v[row][1] += at * b->dv[row][1];
    }
    return k;
}

/* Stresses and plastic strains of the last response. */
static void commit(cq_beam *b) {
    for (size_t packed = 0; packed < b->n; packed++) {
        const size_t c = padded(b, packed);
        const double z = b->z_new[c], x = b->x_new[c], m = b->multiplier[c];
        const double slack = 2.0 * m * sqrt(z * z + x * x - z * x);
        b->z_plastic[c] += m * (2.0 * z - x);
        b->x_plastic[c] += m * (2.0 * x - z);
        for (int p = 0; p < CQ_STRONGS; p++) {
            b->remembered[p][c] += b->keeps[c] * slack;
        }
        const double third = (z + x + b->z_stress[c] + b->x_stress[c]) / 3.0;
        b->z_turned[c] += 1.5 * b->half_soft[c] * (b->z_stress[c] + z - third);
        b->x_turned[c] += 1.5 * b->half_soft[c] * (b->x_stress[c] + x - third);
        b->z_stress[c] = b->packed_stress[packed] = z;
        b->x_stress[c] = x;
    }
}

static cq_status find_balance(cq_beam *b) {
    double scale = 0.0;
    for (size_t c = 0; c < b->room; c++) {
        scale += b->area[c] * b->yield[c];
    }
    balance k = balance_at(b, b->u, 0.0);
    for (int n = 0; n < NEWTON_STEPS && residual_of(b, &k, scale) > BALANCED; n++) {
        double du[UNKNOWNS];
        newton_step(b, &k, du);
        k = search(b, &k, du);
    }
    b->residual = residual_of(b, &k, scale);
    commit(b);
    return b->residual <= 1e-9 ? CQ_OK : CQ_NOTICED; /* NaN too */
}

cq_status cq_beam_step(cq_beam *b, const double *T_K, double *const fraction[CQ_PHASES]) {
    for (size_t c = 0; c < b->n; c++) {
        double f[CQ_PHASES];
        structure_of(fraction, c, f);
        prepare_cell(b, padded(b, c), T_K[c], f);
    }
    return find_balance(b);
}

cq_status cq_beam_relax(cq_beam *b, const double *growth, const double *relaxed) {
    for (size_t packed = 0; packed < b->n; packed++) {
        const size_t c = padded(b, packed);
        double f[CQ_PHASES];
        for (int p = 0; p < CQ_PHASES; p++) {
            f[p] = b->f[p][c];
        }
        if (relaxed != NULL) {
            const double E = strength_at(&b->strength, b->T[c]).stiffness_Pa, z = b->z_stress[c], x = b->x_stress[c];
            b->z_plastic[c] += relaxed[packed] * (z - POISSON * x) / E;
            b->x_plastic[c] += relaxed[packed] * (x - POISSON * z) / E;
        }
        b->grown[c] += growth == NULL ? 0.0 : growth[packed];
        prepare_cell(b, c, b->T[c], f);
    }
    return find_balance(b);
}

/* ---- answers ----------------------------------------------------------------------------------------------------- */

cq_beam_bend cq_beam_bend_now(const cq_beam *b) {
    return (cq_beam_bend){b->u[0], b->u[1] / b->half_height_m, b->half ? 0.0 : b->u[2] / b->half_width_m};
}

const double *cq_beam_stress_Pa(const cq_beam *b) {
    return b->packed_stress;
}

double cq_beam_residual(const cq_beam *b) {
    return b->residual;
}

cq_beam_parts cq_beam_bend_parts(const cq_beam *b) {
    /* moments of each strain against the tensor of inertia; the height's part of its inverse */
    double Ixx = 0.0, Ixy = 0.0, Iyy = 0.0, mx[3] = {0.0}, my[3] = {0.0};
    for (size_t c = 0; c < b->room; c++) { /* the padding has no area */
        const double part[3] = {b->free_strain[c], b->z_plastic[c], b->z_turned[c]}, a = b->area[c];
        Ixx += a * b->xi[c] * b->xi[c];
        Ixy += a * b->xi[c] * b->eta[c];
        Iyy += a * b->eta[c] * b->eta[c];
        for (int p = 0; p < 3; p++) {
            mx[p] += a * b->xi[c] * part[p];
            my[p] += a * b->eta[c] * part[p];
        }
    }
    double k[3];
    for (int p = 0; p < 3; p++) {
        const double det = b->half ? Ixx : Ixx * Iyy - Ixy * Ixy;
        k[p] = (b->half ? mx[p] : mx[p] * Iyy - my[p] * Ixy) / det / b->half_height_m;
    }
    const double lasting =
        b->half ? 0.0 : (Ixx * (my[1] + my[2]) - Ixy * (mx[1] + mx[2])) / (Ixx * Iyy - Ixy * Ixy) / b->half_width_m;
    return (cq_beam_parts){k[0], k[1], k[2], lasting};
}
