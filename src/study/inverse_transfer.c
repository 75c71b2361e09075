/* inverse_transfer.c - second pass: one heat transfer coefficient per face temperature.
 *
 * Unknowns: the flux at even face temperatures and the start temperature. Smoothed: second differences c of the flux,
 * each weighed by
 *     w = e / sqrt(e^2 + c^2),   e a tenth of their root mean square,                                             (1)
 * so that bends cost no more than in proportion: curves of baths are smooth but for few corners (peak, rewetting, where
 * boiling begins), and plain squares round those off and swing beside them.
 */
#include "study/inverse_pass.h"

#include "base/memory.h"
#include "study/normal.h"
#include "study/regular.h"

#include <math.h>
#include <string.h>

enum { NODES_MOST = 110, NODES_LEAST = 6, DRAWS = 300 };
static const double NODE_K = 8.0;              /* between nodes; chosen here, the peak of water is 20 K wide */
static const double NEAR_BATH_K = 5.0;         /* nearer, a coefficient means nothing; chosen here */
static const double FLUX_SCALE = 1e6;          /* W/m2: unknowns are of order 1 */
static const double LEAST_W_m2K = 20.0;        /* start of the search where the first pass drew nothing */
static const double CORNER = 0.1, TINY = 1e-6; /* e of (1), of the root mean square, and at least */
static const double EXPLAINED = 1.3;           /* a misfit up to here is noise; chosen here */

static double bend(const double *p, size_t j) {
    return p[j] - 2.0 * p[j + 1] + p[j + 2];
}

static void roughen(void *context, const double *p, double *rough) {
    static const double part[3] = {1.0, -2.0, 1.0};
    const cq_pass *s = context;
    const size_t n = s->law.n, unknowns = n + 1;
    double square = 0.0;
    for (size_t j = 0; j + 2 < n; j++) {
        square += bend(p, j) * bend(p, j);
    }
    const double e2 = CORNER * CORNER * square / (double)(n - 2) + TINY * TINY;
    memset(rough, 0, unknowns * unknowns * sizeof *rough);
    for (size_t j = 0; j + 2 < n; j++) {
        const double weight = sqrt(e2 / (e2 + bend(p, j) * bend(p, j))); /* (1) */
        for (size_t e = 0; e < 9; e++) {
            rough[(j + e / 3) * unknowns + j + e % 3] += weight * part[e / 3] * part[e % 3];
        }
    }
}

/* Mean of the first pass's coefficients about each node, triangle-weighted, with their spread; nodes it did not see
 * take their neighbour's. */
static void from_first_pass(const cq_inversion *v, size_t n, const double *x, double *h, double *error) {
    const cq_bins *b = &v->bins;
    const double width = x[1] - x[0];
    for (size_t j = 0; j < n; j++) {
        double heat = 0.0, rise = 0.0, square = 0.0, weights = 0.0;
        for (size_t i = 1; i < b->n; i++) {
            const double weight =
                fmax(0.0, 1.0 - fabs(v->trace.face_K[i] - x[j]) / width) * (b->time_s[i] - b->time_s[i - 1]);
            const double above = v->trace.face_K[i] - v->wish->bath_K, one = v->trace.flux_W_m2[i] / above;
            heat += weight * v->trace.flux_W_m2[i];
            rise += weight * above;
            square += weight * one * one;
            weights += weight;
        }
        h[j] = rise > 0.0 ? fmax(heat / rise, LEAST_W_m2K) : NAN;
        error[j] = rise > 0.0 ? CQ_NINE_IN_TEN * sqrt(fmax(0.0, square / weights - h[j] * h[j])) : INFINITY;
    }
    for (size_t j = 1; j < n; j++) {
        h[j] = isnan(h[j]) ? h[j - 1] : h[j];
    }
    for (size_t j = n - 1; j-- > 0;) {
        h[j] = isnan(h[j]) ? h[j + 1] : h[j];
    }
}

static size_t largest(size_t n, const double *value) {
    size_t at = 0;
    for (size_t j = 1; j < n; j++) {
        at = value[j] > value[at] ? j : at;
    }
    return at;
}

/* Standard normals from a fixed seed, so that the same log gives the same bytes (sum of twelve evens). */
static double draw(unsigned long long *seed) {
    double sum = -6.0;
    for (int n = 0; n < 12; n++) {
        *seed = *seed * 6364136223846793005ULL + 1442695040888963407ULL;
        sum += (double)(*seed >> 11) / 9007199254740992.0; /* 2^53 */
    }
    return sum;
}

/* Peak, and its errors: the spread among curves that fit as well, and how far the two passes are apart, which lean to
 * either side. */
static void appraise_peak(const cq_pass *s, const double *p, const double *covariance, double *L, double *other) {
    cq_inverse *to = s->v->to;
    const size_t n = s->law.n, unknowns = n + 1, at = largest(n, p);
    const size_t first = largest(to->times_n, to->flux_W_m2);
    const double flux = FLUX_SCALE * p[at], face = s->law.x[at];
    unsigned long long seed = 1;
    double flux2 = 0.0, face2 = 0.0;
    memcpy(L, covariance, unknowns * unknowns * sizeof *L);
    const bool spread = cq_normal_factor(unknowns, L);
    for (int d = 0; spread && d < DRAWS; d++) {
        double z[NODES_MOST + 1];
        for (size_t i = 0; i < n; i++) {
            z[i] = draw(&seed);
            other[i] = p[i];
            for (size_t k = 0; k <= i; k++) {
                other[i] += L[i * unknowns + k] * z[k];
            }
        }
        const size_t there = largest(n, other);
        flux2 += (FLUX_SCALE * other[there] - flux) * (FLUX_SCALE * other[there] - flux);
        face2 += (s->law.x[there] - face) * (s->law.x[there] - face);
    }
    const double step = s->law.x[1] - s->law.x[0];
    to->peak_flux_W_m2 = (cq_measured){flux, hypot(CQ_NINE_IN_TEN * sqrt(flux2 / DRAWS), flux - to->flux_W_m2[first])};
    to->peak_face_K =
        (cq_measured){face, hypot(hypot(CQ_NINE_IN_TEN * sqrt(face2 / DRAWS), face - to->face_K[first]), 0.5 * step)};
}

/* Width in kelvin of what the first pass, which supposes nothing of the bath, mixes when the face is at this
 * temperature. */
static double width_in_time(const cq_inverse *to, double face_K) {
    double widest = 0.0;
    for (size_t j = 1; j + 1 < to->times_n; j++) {
        const double a = to->face_K[j - 1], b = to->face_K[j + 1];
        if ((a - face_K) * (b - face_K) <= 0.0) {
            const double rate = fabs(b - a) / (to->time_at_s[j + 1] - to->time_at_s[j - 1]);
            widest = fmax(widest, rate * to->width_s[j]);
        }
    }
    return widest;
}

static void keep(const cq_pass *s, const double *p, const cq_regular_answer *a) {
    cq_inverse *to = s->v->to;
    const size_t n = s->law.n, unknowns = n + 1;
    const double width = s->law.x[1] - s->law.x[0];
    for (size_t j = 0; j < n; j++) {
        const double above = s->law.x[j] - s->law.bath_K;
        to->transfer.transfer_W_m2K[j] = fmax(0.0, FLUX_SCALE * p[j] / above);
        to->transfer.error_W_m2K[j] = CQ_NINE_IN_TEN * FLUX_SCALE * sqrt(a->covariance[j * unknowns + j]) / above;
        to->transfer.resolution_K[j] =
            fmax(width * cq_resolution_width(a->resolution, unknowns, j, n), width_in_time(to, s->law.x[j]));
    }
}

/* Error of the first pass's flux when the face is at this temperature. */
static double error_in_time(const cq_inverse *to, double face_K) {
    double most = 0.0;
    for (size_t j = 1; j < to->times_n; j++) {
        if ((to->face_K[j - 1] - face_K) * (to->face_K[j] - face_K) <= 0.0) {
            most = fmax(most, fmax(to->flux_error_W_m2[j - 1], to->flux_error_W_m2[j]));
        }
    }
    return most;
}

/* A coefficient's error: how far moments at its temperature are apart, and how well each of them is known. */
static void keep_first_pass(const cq_pass *s, const double *h, const double *error) {
    cq_inverse *to = s->v->to;
    const size_t at = largest(to->times_n, to->flux_W_m2);
    for (size_t j = 0; j < s->law.n; j++) {
        to->transfer.transfer_W_m2K[j] = h[j];
        to->transfer.error_W_m2K[j] = hypot(error[j], error_in_time(to, s->law.x[j]) / (s->law.x[j] - s->law.bath_K));
        to->transfer.resolution_K[j] = width_in_time(to, s->law.x[j]);
    }
    to->peak_flux_W_m2 = (cq_measured){to->flux_W_m2[at], to->flux_error_W_m2[at]};
    to->peak_face_K = (cq_measured){to->face_K[at], 0.5 * width_in_time(to, to->face_K[at])};
}

/* Heat of the second pass's own run. */
static void sum_heat(cq_inversion *v) {
    const cq_bins *b = &v->bins;
    const double *q = v->trace.flux_W_m2;
    double heat = q[0] * (b->time_s[0] - b->begin_s);
    for (size_t i = 1; i < b->n; i++) {
        heat += 0.5 * (q[i] + q[i - 1]) * (b->time_s[i] - b->time_s[i - 1]);
    }
    v->to->heat_J_m2.value = heat;
}

static cq_status solve(cq_pass *s, double *block) {
    cq_inversion *v = s->v;
    const size_t n = s->law.n, unknowns = n + 1;
    double *p = block, *h = p + unknowns, *error = h + n, *stride = error + n, *most = stride + unknowns,
           *rough = most + unknowns, *covariance = rough + unknowns * unknowns,
           *resolution = covariance + unknowns * unknowns, *work = resolution + unknowns * unknowns;
    cq_regular_answer answer = {.covariance = covariance, .resolution = resolution, .misfit = INFINITY};
    from_first_pass(v, n, s->law.x, h, error);
    for (size_t j = 0; j < n; j++) {
        p[j] = h[j] * (s->law.x[j] - s->law.bath_K) / FLUX_SCALE;
        stride[j] = 1e-3;
        most[j] = 0.7;
    }
    p[n] = v->to->start_K;
    stride[n] = 0.01;
    most[n] = 20.0;
    const cq_regular problem = {unknowns, v->bins.n, cq_pass_residuals, s, stride, most, rough, roughen};
    cq_status status = cq_regular_solve(&problem, p, &answer);
    if (status == CQ_ERR_MEMORY) {
        return status;
    }
    v->to->transfer_misfit = answer.misfit;
    v->to->single = status >= 0 && answer.misfit <= EXPLAINED * fmax(1.0, v->to->flux_misfit);
    if (!v->to->single) {
        keep_first_pass(s, h, error);
        return CQ_OK;
    }
    keep(s, p, &answer);
    appraise_peak(s, p, covariance, work, h);
    cq_pass_adopt(s, p);
    status = cq_inverse_run_go(&v->run, &s->law, p[n], &v->bins, &v->trace);
    v->to->start_K = p[n];
    sum_heat(v);
    return status;
}

cq_status cq_inverse_transfer_pass(cq_inversion *v) {
    cq_transfer *t = &v->to->transfer;
    const double low = fmax(v->lowest_K, v->wish->bath_K + NEAR_BATH_K), high = fmax(v->highest_K, low + 1.0);
    size_t n = (size_t)ceil((high - low) / NODE_K) + 1;
    n = n > NODES_MOST ? NODES_MOST : n < NODES_LEAST ? NODES_LEAST : n;
    const size_t u = n + 1;
    double *block = cq_memory_zero(3 * u + 3 * n + 4 * u * u, sizeof *block);
    t->face_K = cq_memory_zero(4 * n, sizeof(double));
    if (block == NULL || t->face_K == NULL) {
        cq_memory_free(block);
        return CQ_ERR_MEMORY;
    }
    t->n = n;
    t->transfer_W_m2K = t->face_K + n;
    t->error_W_m2K = t->face_K + 2 * n;
    t->resolution_K = t->face_K + 3 * n;
    for (size_t j = 0; j < n; j++) {
        t->face_K[j] = low + (high - low) * (double)j / (double)(n - 1);
    }
    cq_pass s = {v, {false, n, t->face_K, block, v->wish->bath_K}, FLUX_SCALE, block};
    const cq_status status = solve(&s, block + n);
    size_t at = 0;
    while (at + 1 < n && t->face_K[at] < v->to->peak_face_K.value) {
        at++;
    }
    v->to->peak_resolution_K = t->resolution_K[at];
    cq_memory_free(block);
    return status;
}
