/* beam_balance.c - the balance of force and moments, found by Newton's method on mean strain and curvatures with a
 * search along each step: the energy of an elastic-plastic slice is convex, so that it is found from anywhere; without
 * the search coarse steps run away. It begins where the slice would be if it moved on as in the step before, which
 * takes two thirds of the work or less.
 */
#include "mechanics/beam_state.h"

#include "mechanics/plate.h"

#include <math.h>
#include <string.h>

static const double BALANCED = 5e-10;  /* of the yield force: half of what is promised */
static const double SEARCH_GAIN = 0.5; /* what is left of the residual along a good step */
enum { NEWTON_STEPS = 80, SEARCH_STEPS = 30 };

/* Force and moments over the half sizes, and their derivatives by the unknowns, the rows' own taken out. */
typedef struct balance {
    double r[CQ_BEAM_UNKNOWNS], K[CQ_BEAM_UNKNOWNS][CQ_BEAM_UNKNOWNS];
    double plain[CQ_BEAM_UNKNOWNS]; /* force and moments themselves */
    double rows;                    /* largest force or moment left in a row */
} balance;

/* Take the row's own stretch and bend out of the balance. */
static void condense(const double sums[CQ_PLATE_SUMS], bool half, cq_beam_row *row, balance *k) {
    const double *left = sums + 11; /* derivatives of force and moments by stretch, then by bend of the row */
    row->r[0] = sums[3];
    row->r[1] = half ? 0.0 : sums[4];
    const double K00 = sums[17], K01 = half ? 0.0 : sums[18], K11 = half ? 1.0 : sums[19];
    const double det = K00 * K11 - K01 * K01, I00 = K11 / det, I01 = -K01 / det, I11 = K00 / det;
    row->own[0] = I00 * row->r[0] + I01 * row->r[1];
    row->own[1] = I01 * row->r[0] + I11 * row->r[1];
    for (int i = 0; i < CQ_BEAM_UNKNOWNS; i++) {
        const double l0 = left[i], l1 = half ? 0.0 : left[3 + i];
        row->shared[0][i] = I00 * l0 + I01 * l1;
        row->shared[1][i] = I01 * l0 + I11 * l1;
    }
    static const int place[CQ_BEAM_UNKNOWNS][CQ_BEAM_UNKNOWNS] = {{5, 6, 7}, {6, 8, 9}, {7, 9, 10}};
    for (int i = 0; i < CQ_BEAM_UNKNOWNS; i++) {
        const double l0 = left[i], l1 = half ? 0.0 : left[3 + i];
        k->plain[i] += sums[i];
        k->r[i] += sums[i] - l0 * row->own[0] - l1 * row->own[1];
        for (int j = 0; j < CQ_BEAM_UNKNOWNS; j++) {
            k->K[i][j] += sums[place[i][j]] - l0 * row->shared[0][j] - l1 * row->shared[1][j];
        }
    }
    k->rows = fmax(k->rows, fmax(fabs(row->r[0]), fabs(row->r[1])));
}

/* Responses at these unknowns, the rows' own moved on by a share of their step. */
static void respond_at(cq_beam *b, const double u[CQ_BEAM_UNKNOWNS], double share) {
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

static balance balance_at(cq_beam *b, const double u[CQ_BEAM_UNKNOWNS], double share) {
    balance k = {{0.0}, {{0.0}}, {0.0}, 0.0};
    b->looks++;
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
static void newton_step(cq_beam *b, const balance *k, double du[CQ_BEAM_UNKNOWNS]) {
    const double(*K)[CQ_BEAM_UNKNOWNS] = k->K;
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
        const cq_beam_row *a = &b->row[row];
        for (int i = 0; i < CQ_BEAM_ROW_UNKNOWNS; i++) {
            b->dv[row][i] = -a->own[i] - a->shared[i][0] * du[0] - a->shared[i][1] * du[1] - a->shared[i][2] * du[2];
        }
    }
}

static double residual_of(const cq_beam *b, const balance *k, double scale) {
    const double side = b->half ? 0.0 : fabs(k->plain[2]);
    return fmax(fmax(fabs(k->plain[0]), fabs(k->plain[1])), fmax(side, k->rows)) / scale;
}

/* Residual along the step: work of what is left over. */
static double along(const cq_beam *b, const balance *k, const double du[CQ_BEAM_UNKNOWNS]) {
    double sum = k->plain[0] * du[0] + k->plain[1] * du[1] + (b->half ? 0.0 : k->plain[2] * du[2]);
    for (size_t row = 0; row < b->rows; row++) {
        sum += b->row[row].r[0] * b->dv[row][0] + b->row[row].r[1] * b->dv[row][1];
    }
    return sum;
}

/* Newton's step, shortened by secants while the residual along it is not halved: along a line the residual grows
 * steadily from its negative start, so that its zero is bracketed. */
static balance search(cq_beam *b, const balance *from, const double du[CQ_BEAM_UNKNOWNS]) {
    const double g0 = along(b, from, du);
    double low = 0.0, g_low = g0, high = 0.0, g_high = 0.0, share = 1.0, at = 1.0, u[CQ_BEAM_UNKNOWNS];
    balance k = *from;
    for (int n = 0; n < SEARCH_STEPS; n++) {
        at = share;
        for (int i = 0; i < CQ_BEAM_UNKNOWNS; i++) {
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
        const size_t c = cq_beam_padded(b, packed);
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

/* Move on by as much as the last step did; keep where it was. */
static void begin_ahead(cq_beam *b) {
    for (int i = 0; i < CQ_BEAM_UNKNOWNS; i++) {
        const double was = b->u[i];
        b->u[i] += b->moved_u[i];
        b->moved_u[i] = was;
    }
    for (size_t row = 0; row < b->rows; row++) {
        for (int i = 0; i < CQ_BEAM_ROW_UNKNOWNS; i++) {
            const double was = b->v[row][i];
            b->v[row][i] += b->moved_v[row][i];
            b->moved_v[row][i] = was;
        }
    }
}

/* How far it came from where it was. */
static void note_movement(cq_beam *b) {
    for (int i = 0; i < CQ_BEAM_UNKNOWNS; i++) {
        b->moved_u[i] = b->u[i] - b->moved_u[i];
    }
    for (size_t row = 0; row < b->rows; row++) {
        for (int i = 0; i < CQ_BEAM_ROW_UNKNOWNS; i++) {
            b->moved_v[row][i] = b->v[row][i] - b->moved_v[row][i];
        }
    }
}

cq_status cq_beam_balance(cq_beam *b) {
    double scale = 0.0;
    for (size_t c = 0; c < b->room; c++) {
        scale += b->area[c] * b->yield[c];
    }
    begin_ahead(b);
    balance k = balance_at(b, b->u, 0.0);
    for (int n = 0; n < NEWTON_STEPS && residual_of(b, &k, scale) > BALANCED; n++) {
        double du[CQ_BEAM_UNKNOWNS];
        newton_step(b, &k, du);
        k = search(b, &k, du);
    }
    note_movement(b);
    b->residual = residual_of(b, &k, scale);
    commit(b);
    return b->residual <= 1e-9 ? CQ_OK : CQ_NOTICED; /* NaN too */
}
