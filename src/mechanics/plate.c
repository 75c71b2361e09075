/* plate.c - see plate.h. */
#include "mechanics/plate.h"

#include "base/vector.h"

#include <math.h>

/* One Newton step towards 1/q(m) = (1 - 2 H m) / yield, nearly straight in m. */
#define YIELD_STEP                                                                                                     \
    {                                                                                                                  \
        const double P = 1.0 + a * m, R = 1.0 + 3.0 * b * m, per = 1.0 / (P * R), a1 = R * per, b1 = P * per;          \
        const double s2 = s02 * a1 * a1, d2 = d02 * b1 * b1, per_q = 1.0 / sqrt(s2 + d2 + 1e-30);                      \
        const double off = per_q - (1.0 - 2.0 * H * m) * per_Y;                                                        \
        m -= off / ((s2 * a * a1 + d2 * 3.0 * b * b1) * per_q * per_q * per_q + 2.0 * H * per_Y);                      \
    }

/* The trial of n cells as if none yielded; true if one does. */
CQ_VECTOR_KERNEL bool cq_plate_stretch(size_t n, const double *restrict z_strain, const double *restrict x_strain,
                                       const double *restrict A, const double *restrict B, const double *restrict z_off,
                                       const double *restrict x_off, const double *restrict yield, double *restrict z,
                                       double *restrict x, double *restrict multiplier, double *restrict zz,
                                       double *restrict xx, double *restrict zx) {
    double over[CQ_LANES] = {0.0};
    for (size_t c0 = 0; c0 < n; c0 += CQ_LANES) {
        for (size_t l = 0; l < CQ_LANES; l++) {
            const size_t c = c0 + l;
            const double a = A[c], b = B[c], ez = z_strain[c] - z_off[c], ex = x_strain[c] - x_off[c];
            const double s = a * (ez + ex), d = b * (ez - ex),
                         beyond = 0.25 * s * s + 0.75 * d * d - yield[c] * yield[c];
            z[c] = 0.5 * (s + d);
            x[c] = 0.5 * (s - d);
            multiplier[c] = 0.0;
            zz[c] = xx[c] = 0.5 * (a + b);
            zx[c] = 0.5 * (a - b);
            over[l] = beyond > over[l] ? beyond : over[l];
        }
    }
    bool yields = false;
    for (int l = 0; l < CQ_LANES; l++) {
        yields = yields || over[l] > 0.0;
    }
    return yields;
}

/* Stress of every cell of which some yield: with s and d the sum and difference of both stresses, the equivalent stress
 * is q = sqrt(s^2 / 4 + 3 d^2 / 4); plastic strain dp turns the trial into s / (1 + A m), d / (1 + 3 B m), m = dp / (2
 * q), and q (1 - 2 H m) = yield is solved for m. Source: [simo1998], chapter 3. */
CQ_VECTOR_KERNEL void cq_plate_yield(size_t n, const double *restrict z_strain, const double *restrict x_strain,
                                     const double *restrict A, const double *restrict B, const double *restrict z_off,
                                     const double *restrict x_off, const double *restrict yield,
                                     const double *restrict hardening, double *restrict z, double *restrict x,
                                     double *restrict multiplier, double *restrict zz, double *restrict xx,
                                     double *restrict zx) {
    for (size_t c = 0; c < n; c++) {
        const double a = A[c], b = B[c], Y = yield[c], H = hardening[c], per_Y = 1.0 / Y;
        const double ez = z_strain[c] - z_off[c], ex = x_strain[c] - x_off[c];
        const double s0 = a * (ez + ex), d0 = b * (ez - ex), s02 = 0.25 * s0 * s0, d02 = 0.75 * d0 * d0,
                     q0 = sqrt(s02 + d02);
        const double yields = q0 > Y ? 1.0 : 0.0, stiffer = a > 3.0 * b ? a : 3.0 * b;
        double m = fabs(q0 - Y) / (stiffer * Y + 2.0 * H * q0); /* not beyond the root */
        YIELD_STEP
        YIELD_STEP
        YIELD_STEP
        m = q0 > Y ? m : 0.0;
        const double a1 = 1.0 / (1.0 + a * m), b1 = 1.0 / (1.0 + 3.0 * b * m), am = a * a1, bm = b * b1;
        const double s = s0 * a1, d = d0 * b1;
        /* derivatives of s and d by the sum and difference of the strains */
        const double n1 = s * am, n2 = 3.0 * d * bm, qq = 0.25 * s * s + 0.75 * d * d;
        const double over = yields / (s * n1 + 3.0 * d * n2 + 8.0 * H * qq / (1.0 - 2.0 * H * m) + 1e-30);
        const double ss = am - n1 * n1 * over, sd = -n1 * n2 * over, dd = bm - n2 * n2 * over;
        z[c] = 0.5 * (s + d);
        x[c] = 0.5 * (s - d);
        multiplier[c] = m;
        zz[c] = 0.5 * (ss + 2.0 * sd + dd);
        xx[c] = 0.5 * (ss - 2.0 * sd + dd);
        zx[c] = 0.5 * (ss - dd);
    }
}

/* Sums over one row of the present responses, in the order of `condense`. */
CQ_VECTOR_KERNEL void cq_plate_sums(size_t pitch, const double *restrict xi, const double *restrict eta,
                                    const double *restrict area, const double *restrict z, const double *restrict x,
                                    const double *restrict zz, const double *restrict xx, const double *restrict zx,
                                    double sums[CQ_PLATE_SUMS]) {
    double lane[CQ_PLATE_SUMS][CQ_LANES] = {{0.0}};
    for (size_t c0 = 0; c0 < pitch; c0 += CQ_LANES) {
        for (size_t l = 0; l < CQ_LANES; l++) {
            const size_t c = c0 + l;
            const double h = xi[c], w = eta[c], a = area[c];
            const double sz = a * z[c], sx = a * x[c], tz = a * zz[c], tx = a * xx[c], t = a * zx[c];
            lane[0][l] += sz;
            lane[1][l] += sz * h;
            lane[2][l] += sz * w;
            lane[3][l] += sx;
            lane[4][l] += sx * w;
            lane[5][l] += tz;
            lane[6][l] += tz * h;
            lane[7][l] += tz * w;
            lane[8][l] += tz * h * h;
            lane[9][l] += tz * h * w;
            lane[10][l] += tz * w * w;
            lane[11][l] += t;
            lane[12][l] += t * h;
            lane[13][l] += t * w;
            lane[14][l] += t * w;
            lane[15][l] += t * h * w;
            lane[16][l] += t * w * w;
            lane[17][l] += tx;
            lane[18][l] += tx * w;
            lane[19][l] += tx * w * w;
        }
    }
    for (int k = 0; k < CQ_PLATE_SUMS; k++) {
        sums[k] = 0.0;
        for (int l = 0; l < CQ_LANES; l++) {
            sums[k] += lane[k][l];
        }
    }
}

/* The same of a half slice, whose sums across are not asked for. */
CQ_VECTOR_KERNEL void cq_plate_half_sums(size_t pitch, const double *restrict xi, const double *restrict area,
                                         const double *restrict z, const double *restrict x, const double *restrict zz,
                                         const double *restrict xx, const double *restrict zx,
                                         double sums[CQ_PLATE_SUMS]) {
    static const int place[] = {0, 1, 3, 5, 6, 8, 11, 12, 17};
    enum { HALF_SUMS = sizeof place / sizeof place[0] };
    double lane[HALF_SUMS][CQ_LANES] = {{0.0}};
    for (size_t c0 = 0; c0 < pitch; c0 += CQ_LANES) {
        for (size_t l = 0; l < CQ_LANES; l++) {
            const size_t c = c0 + l;
            const double h = xi[c], a = area[c], sz = a * z[c], tz = a * zz[c], t = a * zx[c];
            lane[0][l] += sz;
            lane[1][l] += sz * h;
            lane[2][l] += a * x[c];
            lane[3][l] += tz;
            lane[4][l] += tz * h;
            lane[5][l] += tz * h * h;
            lane[6][l] += t;
            lane[7][l] += t * h;
            lane[8][l] += a * xx[c];
        }
    }
    for (int k = 0; k < HALF_SUMS; k++) {
        double sum = 0.0;
        for (int l = 0; l < CQ_LANES; l++) {
            sum += lane[k][l];
        }
        sums[place[k]] = sum;
    }
}
