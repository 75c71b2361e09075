/* statistics.c - see statistics.h.
 *
 * Errors. Points of a low-discrepancy sequence are not independent, so the scatter of single samples would say nothing
 * right; whole groups, each with a random shift of its own, are. What G groups say by themselves gives the error: t is
 * the 95 % point of Student's t with G - 1 degrees of freedom, nine cases of ten lie within.
 *
 * Percentile p of m values: straight between the ordered ones, of which the k-th (from 0) stands at p = (k + 1/2)/m
 * (1). Its error is found on the side of probability, where groups of few samples speak plainly [woodruff1952]: with
 * p_g the share of group g below the percentile and s their standard deviation, the interval runs from percentile p - h
 * to p + h, h = t s / sqrt(G), and half a sample at least                                                          (2)
 * and the error is half its width.
 *
 * A chance has Wilson's interval [wilson1927], which holds for independent samples; those of an even sequence scatter
 * no more, so it errs on the safe side. It needs no group in which both cases were seen.
 *
 * Share of variance of one input by itself: var(E(y|x)) / var(y). In the order of x the samples are cut into pieces of
 * equally many; on each E(y|x) is a straight line, two functions f orthonormal over the samples. A coefficient's square
 * taken from all samples would hold their noise as well, how much of it depends on how even they are; products of what
 * two different groups say do not:
 *     S = sum_f mean over pairs g != h of c_fg c_fh / var(y),   c_fg = mean over group g of f (y - mean y)   (3)
 * Error of (3) and of slopes (the least-squares plane through all inputs): with one group left out in turn (jackknife
 * over groups [efron1982]),
 *     error = t sqrt((G - 1)/G sum_g (e_g - mean of e)^2)                                                    (4)
 */
#include "study/statistics.h"

#include "base/memory.h"

#include <gsl/gsl_cdf.h>
#include <math.h>
#include <stdlib.h>

enum { GROUPS = CQ_SPREAD_GROUPS, NONE = GROUPS };    /* NONE: no group left out */
enum { FEW_PIECES = 4, PIECES = 16, IN_PIECE = 125 }; /* fewer pieces, less noise: a piece has as many samples */
enum { SIZE = CQ_UNCERTAINS + 2 };                    /* one, the inputs, y */
static const double IN_TEN = 0.95;                    /* one-sided: nine cases of ten lie between both sides */

/* The estimate of all samples with the error that those without one group tell. */
static cq_estimate jackknife(double all, const double *without, const bool *there) {
    double mean = 0.0, sum = 0.0, n = 0.0;
    for (int g = 0; g < GROUPS; g++) {
        n += there[g];
        mean += there[g] ? without[g] : 0.0;
    }
    mean /= n;
    for (int g = 0; g < GROUPS; g++) {
        sum += there[g] ? (without[g] - mean) * (without[g] - mean) : 0.0;
    }
    const double variance = (n - 1.0) / n * sum; /* (4) */
    return (cq_estimate){all, n > 1.0 ? gsl_cdf_tdist_Pinv(IN_TEN, n - 1.0) * sqrt(variance) : NAN};
}

/* Groups that have samples. */
static void find_groups(const cq_sampled *s, bool there[GROUPS]) {
    for (int g = 0; g < GROUPS; g++) {
        there[g] = false;
    }
    for (size_t i = 0; i < s->n; i++) {
        there[s->group[i]] = true;
    }
}

/* ---- order ------------------------------------------------------------------------------------------------------- */

typedef struct ranked {
    double by, y;
    size_t index;
    unsigned char group;
} ranked;

static int compare(const void *a, const void *b) {
    const ranked *p = a, *q = b;
    return p->by < q->by ? -1 : p->by > q->by ? 1 : p->index < q->index ? -1 : p->index > q->index;
}

/* Samples in the order of an input, or of y for input < 0. */
static void rank(const cq_sampled *s, int input, double mean, double scale, ranked *to) {
    for (size_t i = 0; i < s->n; i++) {
        const double x = input < 0 ? s->y[i] : s->x[i * s->inputs_n + (size_t)input];
        to[i] = (ranked){(x - mean) / scale, s->y[i], i, s->group[i]};
    }
    qsort(to, s->n, sizeof *to, compare);
}

/* ---- percentiles ------------------------------------------------------------------------------------------------- */

/* (1) */
static double percentile(const ranked *r, size_t m, double p) {
    const double k = fmin(fmax(p * (double)m - 0.5, 0.0), (double)(m - 1));
    const size_t low = (size_t)k, high = low + 1 < m ? low + 1 : low;
    return r[low].y + (k - (double)low) * (r[high].y - r[low].y);
}

/* (2) */
static double half_interval(const ranked *r, size_t n, double level) {
    double below[GROUPS] = {0.0}, count[GROUPS] = {0.0}, mean = 0.0, sum = 0.0, groups = 0.0;
    for (size_t i = 0; i < n; i++) {
        count[r[i].group] += 1.0;
        below[r[i].group] += r[i].y < level ? 1.0 : r[i].y > level ? 0.0 : 0.5;
    }
    for (int g = 0; g < GROUPS; g++) {
        groups += count[g] > 0.0;
        mean += count[g] > 0.0 ? below[g] / count[g] : 0.0;
    }
    mean /= groups;
    for (int g = 0; g < GROUPS; g++) {
        const double d = count[g] > 0.0 ? below[g] / count[g] - mean : 0.0;
        sum += d * d;
    }
    const double t = groups > 1.0 ? gsl_cdf_tdist_Pinv(IN_TEN, groups - 1.0) : NAN;
    return fmax(0.5 / (double)n, t * sqrt(sum / (groups - 1.0) / groups));
}

cq_status cq_statistics_percentiles(const cq_sampled *s, cq_percentiles *out) {
    static const double p[3] = {0.05, 0.50, 0.95};
    const cq_estimate unknown = {NAN, NAN};
    *out = (cq_percentiles){s->n, unknown, unknown, unknown};
    if (s->n == 0) {
        return CQ_OK;
    }
    ranked *r = cq_memory_zero(s->n, sizeof *r);
    if (r == NULL) {
        return CQ_ERR_MEMORY;
    }
    cq_estimate *to[3] = {&out->p5, &out->p50, &out->p95};
    rank(s, -1, 0.0, 1.0, r);
    for (int q = 0; q < 3; q++) {
        to[q]->value = percentile(r, s->n, p[q]);
        if (s->n >= CQ_STATISTICS_FEWEST) {
            const double half = half_interval(r, s->n, to[q]->value);
            to[q]->error = 0.5 * (percentile(r, s->n, p[q] + half) - percentile(r, s->n, p[q] - half));
        }
    }
    cq_memory_free(r);
    return CQ_OK;
}

cq_chance cq_statistics_chance(size_t hits, size_t n) {
    if (n == 0) {
        return (cq_chance){0, NAN, NAN, NAN};
    }
    const double z = gsl_cdf_ugaussian_Pinv(IN_TEN), m = (double)n, share = (double)hits / m, zz = z * z / m;
    const double centre = (share + 0.5 * zz) / (1.0 + zz);
    const double half = z / (1.0 + zz) * sqrt(share * (1.0 - share) / m + 0.25 * zz / m);
    return (cq_chance){n, share, hits == 0 ? 0.0 : centre - half, hits == n ? 1.0 : centre + half};
}

/* ---- shares of variance ------------------------------------------------------------------------------------------ */

/* What the groups say of the two functions of one piece. */
typedef struct piece {
    double sum[2][GROUPS];
} piece;

/* Samples r[first, end) in the order of x. */
static piece piece_of(const ranked *r, size_t first, size_t end, double mean_y) {
    const double n = (double)(end - first);
    double mean = 0.0, squares = 0.0;
    piece p = {{{0.0}}};
    for (size_t i = first; i < end; i++) {
        mean += r[i].by / n;
    }
    for (size_t i = first; i < end; i++) {
        squares += (r[i].by - mean) * (r[i].by - mean);
    }
    for (size_t i = first; i < end; i++) {
        p.sum[0][r[i].group] += (r[i].y - mean_y) / sqrt(n);
        p.sum[1][r[i].group] += squares > 0.0 ? (r[i].y - mean_y) * (r[i].by - mean) / sqrt(squares) : 0.0;
    }
    return p;
}

/* Mean over pairs of different groups of the products of what they say: of sums over a group's samples, weight[g]
 * times.
 */
static double mean_of_pairs(const double *of_group, const double *weight) {
    double sum = 0.0, squares = 0.0, n = 0.0;
    for (int g = 0; g < GROUPS; g++) {
        const double c = of_group[g] * weight[g];
        n += weight[g] > 0.0;
        sum += c;
        squares += c * c;
    }
    return (sum * sum - squares) / (n * (n - 1.0));
}

/* (3) of n samples in the order of x. */
static double share_of(const ranked *r, size_t n) {
    const size_t many = n / IN_PIECE, cut = many < FEW_PIECES ? FEW_PIECES : many < PIECES ? many : PIECES;
    double weight[GROUPS] = {0.0}, mean = 0.0, variance = 0.0, share = 0.0;
    for (size_t i = 0; i < n; i++) {
        weight[r[i].group] += 1.0;
        mean += r[i].y / (double)n;
    }
    for (size_t i = 0; i < n; i++) {
        variance += (r[i].y - mean) * (r[i].y - mean) / (double)n;
    }
    for (int g = 0; g < GROUPS; g++) { /* functions are orthonormal on the mean, not on the sum */
        weight[g] = weight[g] > 0.0 ? sqrt((double)n) / weight[g] : 0.0;
    }
    for (size_t k = 0; k < cut; k++) {
        const piece p = piece_of(r, k * n / cut, (k + 1) * n / cut, mean);
        share += mean_of_pairs(p.sum[0], weight) + mean_of_pairs(p.sum[1], weight);
    }
    return share / variance;
}

/* ---- the straight fit -------------------------------------------------------------------------------------------- */

/* Sums of products of one, the scaled inputs and y, of each group and of all. */
typedef struct moments {
    double sum[GROUPS + 1][SIZE][SIZE];
} moments;

static void take_moments(const cq_sampled *s, const double *mean, const double *scale, double mean_y, moments *m) {
    const size_t size = s->inputs_n + 2;
    double v[SIZE] = {1.0};
    for (size_t i = 0; i < s->n; i++) {
        for (size_t k = 0; k < s->inputs_n; k++) {
            v[1 + k] = (s->x[i * s->inputs_n + k] - mean[k]) / scale[k];
        }
        v[size - 1] = s->y[i] - mean_y;
        for (size_t a = 0; a < size; a++) {
            for (size_t b = 0; b <= a; b++) {
                m->sum[s->group[i]][a][b] += v[a] * v[b];
                m->sum[NONE][a][b] += v[a] * v[b];
            }
        }
    }
}

/* Slopes against the scaled inputs without one group; NaN for an input that does not vary. Returns the share of the
 * squares that the plane explains. Elimination in place of the lower triangle of sums (sweeping one input after the
 * other). */
static double slopes_without(const moments *m, size_t inputs_n, int without, double *slope) {
    const size_t size = inputs_n + 2, y = size - 1;
    double a[SIZE][SIZE];
    bool used[SIZE] = {false};
    for (size_t i = 0; i < size; i++) {
        for (size_t j = 0; j <= i; j++) {
            a[i][j] = a[j][i] = m->sum[NONE][i][j] - (without == NONE ? 0.0 : m->sum[without][i][j]);
        }
    }
    double about_mean = NAN;
    for (size_t k = 0; k < y; k++) {
        used[k] = a[k][k] > 1e-9 * m->sum[NONE][k][k];
        for (size_t i = 0; used[k] && i < size; i++) {
            const double f = i == k ? 0.0 : a[i][k] / a[k][k];
            for (size_t j = 0; j < size && i != k; j++) {
                a[i][j] -= f * a[k][j];
            }
        }
        about_mean = k == 0 ? a[y][y] : about_mean;
    }
    for (size_t k = 0; k < inputs_n; k++) {
        slope[k] = used[1 + k] ? a[1 + k][y] / a[1 + k][1 + k] : NAN;
    }
    return 1.0 - a[y][y] / about_mean;
}

static void fit_plane(const cq_sampled *s, const moments *m, const double *scale, const bool *there,
                      cq_influence *out) {
    double found[GROUPS + 1][CQ_UNCERTAINS] = {{0.0}}, without[GROUPS] = {0.0};
    for (int g = 0; g <= GROUPS; g++) {
        if (g == NONE || there[g]) {
            out->straight = slopes_without(m, s->inputs_n, g, found[g]); /* the last one is of all */
        }
    }
    for (size_t k = 0; k < s->inputs_n; k++) {
        for (int g = 0; g < GROUPS; g++) {
            without[g] = found[g][k] / scale[k];
        }
        out->slope[k] = jackknife(found[NONE][k] / scale[k], without, there);
    }
}

/* Samples without a group, in their order. */
static size_t keep_without(const ranked *r, size_t n, int without, ranked *kept) {
    size_t m = 0;
    for (size_t i = 0; i < n; i++) {
        if (r[i].group != without) {
            kept[m++] = r[i];
        }
    }
    return m;
}

/* r and kept: room for all samples. */
static void find_shares(const cq_sampled *s, const double *mean, const double *scale, const bool *there, ranked *r,
                        ranked *kept, cq_influence *out) {
    double rest[GROUPS + 1], found[GROUPS + 1];
    for (int g = 0; g <= GROUPS; g++) {
        rest[g] = 1.0;
    }
    for (size_t k = 0; k < s->inputs_n; k++) {
        rank(s, (int)k, mean[k], scale[k], r);
        for (int g = 0; g <= GROUPS; g++) {
            found[g] = g == NONE || there[g] ? share_of(kept, keep_without(r, s->n, g, kept)) : 0.0;
            rest[g] -= found[g];
        }
        out->share[k] = jackknife(found[NONE], found, there);
    }
    out->rest = jackknife(rest[NONE], rest, there);
}

/* Mean and standard deviation of every input, and the mean of y; a scale of 0 becomes 1. */
static double find_scales(const cq_sampled *s, double *mean, double *scale) {
    double mean_y = 0.0;
    for (size_t k = 0; k < s->inputs_n; k++) {
        double sum = 0.0, squares = 0.0;
        for (size_t i = 0; i < s->n; i++) {
            sum += s->x[i * s->inputs_n + k];
        }
        mean[k] = sum / (double)s->n;
        for (size_t i = 0; i < s->n; i++) {
            const double d = s->x[i * s->inputs_n + k] - mean[k];
            squares += d * d;
        }
        scale[k] = squares > 0.0 ? sqrt(squares / (double)s->n) : 1.0;
    }
    for (size_t i = 0; i < s->n; i++) {
        mean_y += s->y[i] / (double)s->n;
    }
    return mean_y;
}

static bool varies(const cq_sampled *s) {
    for (size_t i = 1; i < s->n; i++) {
        if (s->y[i] < s->y[0] || s->y[i] > s->y[0]) {
            return true;
        }
    }
    return false;
}

cq_status cq_statistics_influence(const cq_sampled *s, cq_influence *out) {
    const cq_estimate unknown = {NAN, NAN};
    *out = (cq_influence){.n = s->n, .rest = unknown, .straight = NAN};
    for (size_t k = 0; k < CQ_UNCERTAINS; k++) {
        out->share[k] = out->slope[k] = unknown;
    }
    if (s->n < CQ_STATISTICS_FEWEST || !varies(s)) {
        return CQ_OK;
    }
    ranked *r = cq_memory_zero(s->n, sizeof *r), *kept = cq_memory_zero(s->n, sizeof *kept);
    moments *m = cq_memory_zero(1, sizeof *m);
    if (r == NULL || kept == NULL || m == NULL) {
        cq_memory_free(r);
        cq_memory_free(kept);
        cq_memory_free(m);
        return CQ_ERR_MEMORY;
    }
    double mean[CQ_UNCERTAINS], scale[CQ_UNCERTAINS];
    bool there[GROUPS];
    find_groups(s, there);
    const double mean_y = find_scales(s, mean, scale);
    take_moments(s, mean, scale, mean_y, m);
    fit_plane(s, m, scale, there, out);
    find_shares(s, mean, scale, there, r, kept, out);
    cq_memory_free(r);
    cq_memory_free(kept);
    cq_memory_free(m);
    return CQ_OK;
}
