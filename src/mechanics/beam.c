/* beam.c - see beam.h: the slice laid out, its steps, and what is read of it. */
#include "mechanics/beam_state.h"

#include "base/memory.h"
#include "base/vector.h"

#include <math.h>
#include <string.h>

static const double DUE_K = 50.0, DUE_SHARE = 0.1; /* keeps the final rise within 0.1 mm on 700 mm */

/* ---- create ------------------------------------------------------------------------------------------------------ */

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
        const size_t k = cq_beam_padded(b, c);
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
    b->v = cq_memory_zero(3 * b->rows, sizeof *b->v);
    if (b->block == NULL || b->row == NULL || b->v == NULL) {
        cq_beam_free(b);
        return CQ_ERR_MEMORY;
    }
    b->dv = b->v + b->rows;
    b->moved_v = b->dv + b->rows;
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

/* ---- steps ------------------------------------------------------------------------------------------------------- */

void cq_beam_begin(cq_beam *b, const double *T_K, double *const fraction[CQ_PHASES], const double *carbon_wt) {
    for (size_t c = 0; c < b->n; c++) {
        const size_t k = cq_beam_padded(b, c);
        double f[CQ_PHASES], strong[CQ_STRONGS];
        cq_beam_structure(fraction, c, f);
        cq_beam_strong(f, strong);
        b->soft_growth[k] = carbon_wt == NULL ? 0.0 : cq_strength_soft_growth(carbon_wt[c]);
        b->martensite_growth[k] = carbon_wt == NULL ? 0.0 : cq_strength_martensite_growth(carbon_wt[c]);
        const cq_strength_node at = cq_beam_strength(&b->strength, T_K[c]);
        b->start[k] = cq_beam_free_strain(b, k, &at, strong);
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
    memset(b->moved_u, 0, sizeof b->moved_u);
    memset(b->v, 0, 3 * b->rows * sizeof *b->v);
    b->residual = 0.0;
    b->looks = 0;
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

cq_status cq_beam_step(cq_beam *b, const double *T_K, double *const fraction[CQ_PHASES]) {
    for (size_t c = 0; c < b->n; c++) {
        double f[CQ_PHASES];
        cq_beam_structure(fraction, c, f);
        cq_beam_prepare(b, cq_beam_padded(b, c), T_K[c], f);
    }
    return cq_beam_balance(b);
}

cq_status cq_beam_relax(cq_beam *b, const double *growth, const double *relaxed) {
    for (size_t packed = 0; packed < b->n; packed++) {
        const size_t c = cq_beam_padded(b, packed);
        double f[CQ_PHASES];
        for (int p = 0; p < CQ_PHASES; p++) {
            f[p] = b->f[p][c];
        }
        if (relaxed != NULL) {
            const double E = cq_beam_strength(&b->strength, b->T[c]).stiffness_Pa, z = b->z_stress[c],
                         x = b->x_stress[c];
            b->z_plastic[c] += relaxed[packed] * (z - CQ_BEAM_POISSON * x) / E;
            b->x_plastic[c] += relaxed[packed] * (x - CQ_BEAM_POISSON * z) / E;
        }
        b->grown[c] += growth == NULL ? 0.0 : growth[packed];
        cq_beam_prepare(b, c, b->T[c], f);
    }
    return cq_beam_balance(b);
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

size_t cq_beam_looks(const cq_beam *b) {
    return b->looks;
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
