/* inverse_flux.c - first pass: the flux against time, with nodes denser where readings change faster.
 *
 * Unknowns: flux at the nodes and the start temperature. Smoothed: second differences from node to node.
 */
#include "study/inverse_pass.h"

#include "base/memory.h"
#include "study/regular.h"

#include <math.h>
#include <string.h>

enum { NODES_MOST = 90, NODES_LEAST = 8, BINS_A_NODE = 3 };
static const double EVEN_SHARE = 0.4; /* of the nodes, spread evenly; the others follow the rate. Chosen here */

/* Nodes at equal steps of the sum of even time and of change. */
static void place_nodes(const cq_bins *b, size_t n, double *x) {
    double change = 0.0, done = 0.0;
    const double span = b->time_s[b->n - 1] - b->begin_s;
    for (size_t i = 1; i < b->n; i++) {
        change += fabs(cq_bins_rate(b, i)) * (b->time_s[i] - b->time_s[i - 1]);
    }
    x[0] = b->begin_s;
    size_t next = 1;
    for (size_t i = 1; i < b->n && next + 1 < n; i++) {
        const double dt = b->time_s[i] - b->time_s[i - 1];
        const double more = EVEN_SHARE * dt / span + (1.0 - EVEN_SHARE) * fabs(cq_bins_rate(b, i)) * dt / change;
        const double from = done;
        done += more;
        while (next + 1 < n && done >= (double)next / (double)(n - 1)) {
            x[next] = b->time_s[i - 1] + dt * ((double)next / (double)(n - 1) - from) / more;
            next++;
        }
    }
    x[n - 1] = b->time_s[b->n - 1];
    for (size_t j = 1; j + 1 < n; j++) { /* rounding, or a place where nothing passes */
        if (j >= next || !(x[j] > x[j - 1])) {
            x[j] = x[j - 1] + (x[n - 1] - x[j - 1]) / (double)(n - j);
        }
    }
}

/* p' rough p = sum of squares of second differences; the start temperature is free. */
static void second_differences(size_t nodes, size_t n, double *rough) {
    static const double part[3] = {1.0, -2.0, 1.0};
    memset(rough, 0, n * n * sizeof *rough);
    for (size_t j = 0; j + 2 < nodes; j++) {
        for (int a = 0; a < 3; a++) {
            for (int b = 0; b < 3; b++) {
                rough[(j + (size_t)a) * n + j + (size_t)b] += part[a] * part[b];
            }
        }
    }
}

double cq_resolution_width(const double *resolution, size_t n, size_t row, size_t nodes) {
    double sum = 0.0, whole = 0.0, most = 0.0;
    for (size_t j = 0; j < nodes; j++) {
        const double part = resolution[row * n + j];
        whole += part;
        sum += fabs(part);
        most = fmax(most, fabs(part));
    }
    return whole > 0.5 ? sum / most : INFINITY;
}

/* As if the piece were as warm as its bead throughout. */
static void guess(const cq_pass *s, const cq_bins *b, double *p) {
    const cq_inverse_piece *piece = &s->v->wish->piece;
    const double depth = piece->size_m * (piece->family == CQ_FAMILY_ROUND ? 0.25 : 0.5); /* volume over face */
    size_t i = 0;
    for (size_t j = 0; j < s->law.n; j++) {
        while (i + 1 < b->n && b->time_s[i] < s->law.x[j]) {
            i++;
        }
        double k, c, H;
        cq_sampled_at(&s->v->run.material, b->temp_K[i], &k, &c, &H);
        p[j] = -cq_bins_rate(b, i) * c * depth / s->flux_scale;
    }
    p[s->law.n] = b->temp_K[0];
    /* no more heat than the bead's fall accounts for: a flux goes on below any temperature */
    double heat = 0.0, k, c, first, last;
    cq_sampled_at(&s->v->run.material, b->temp_K[0], &k, &c, &first);
    cq_sampled_at(&s->v->run.material, b->temp_K[b->n - 1], &k, &c, &last);
    for (size_t j = 1; j < s->law.n; j++) {
        heat += 0.5 * s->flux_scale * (p[j] + p[j - 1]) * (s->law.x[j] - s->law.x[j - 1]);
    }
    const double share = heat > 0.0 ? fmin(1.0, (first - last) * depth / heat) : 0.0;
    for (size_t j = 0; j < s->law.n; j++) {
        p[j] *= share;
    }
}

/* Nodes, their errors, the heat's error and the width at the largest flux. */
static void keep(cq_pass *s, const double *p, const cq_regular_answer *a) {
    cq_inverse *to = s->v->to;
    const size_t n = s->law.n, unknowns = n + 1;
    size_t largest = 0;
    double variance = 0.0;
    cq_pass_adopt(s, p);
    for (size_t j = 0; j < n; j++) {
        to->time_at_s[j] = s->law.x[j];
        to->flux_W_m2[j] = s->y[j];
        to->flux_error_W_m2[j] = CQ_NINE_IN_TEN * s->flux_scale * sqrt(a->covariance[j * unknowns + j]);
        largest = s->y[j] > s->y[largest] ? j : largest;
    }
    const double *x = s->law.x;
    for (size_t j = 0; j < n; j++) {
        const double wj = 0.5 * (x[j + 1 < n ? j + 1 : j] - x[j > 0 ? j - 1 : j]);
        to->heat_J_m2.value += wj * s->y[j];
        for (size_t k = 0; k < n; k++) {
            const double wk = 0.5 * (x[k + 1 < n ? k + 1 : k] - x[k > 0 ? k - 1 : k]);
            variance += wj * wk * a->covariance[j * unknowns + k];
        }
    }
    to->heat_J_m2.error = CQ_NINE_IN_TEN * s->flux_scale * sqrt(fmax(0.0, variance));
    to->flux_misfit = a->misfit;
    for (size_t j = 0; j < n; j++) {
        const size_t before = j > 0 ? j - 1 : 0, after = j + 1 < n ? j + 1 : j;
        to->width_s[j] =
            cq_resolution_width(a->resolution, unknowns, j, n) * (x[after] - x[before]) / (double)(after - before);
    }
    to->resolution_time_s = to->width_s[largest];
}

static cq_status solve(cq_pass *s, double *block) {
    cq_inversion *v = s->v;
    const size_t n = s->law.n, unknowns = n + 1;
    double *p = block, *stride = p + unknowns, *most = stride + unknowns, *rough = most + unknowns;
    cq_regular_answer answer = {.covariance = rough + unknowns * unknowns};
    answer.resolution = answer.covariance + unknowns * unknowns;
    for (size_t j = 0; j < n; j++) {
        stride[j] = 1e-3;
        most[j] = 2.0;
    }
    stride[n] = 0.01;
    most[n] = 50.0;
    second_differences(n, unknowns, rough);
    guess(s, &v->bins, p);
    const cq_regular problem = {unknowns, v->bins.n, cq_pass_residuals, s, stride, most, rough, NULL};
    cq_status status = cq_regular_solve(&problem, p, &answer);
    if (status < 0) {
        return status;
    }
    cq_pass_adopt(s, p);
    v->to->start_K = p[n];
    status = cq_inverse_run_go(&v->run, &s->law, p[n], &v->bins, &v->trace);
    keep(s, p, &answer);
    return status;
}

cq_status cq_inverse_flux_pass(cq_inversion *v) {
    cq_inverse *to = v->to;
    size_t n = v->bins.n / BINS_A_NODE;
    n = n > NODES_MOST ? NODES_MOST : n < NODES_LEAST ? NODES_LEAST : n;
    double *block = cq_memory_zero(2 * n + 3 * (n + 1) + 3 * (n + 1) * (n + 1), sizeof *block);
    double *kept = cq_memory_zero(5 * n, sizeof *kept);
    if (block == NULL || kept == NULL) {
        cq_memory_free(block);
        cq_memory_free(kept);
        return CQ_ERR_MEMORY;
    }
    to->times_n = n;
    to->time_at_s = kept;
    to->flux_W_m2 = kept + n;
    to->flux_error_W_m2 = kept + 2 * n;
    to->face_K = kept + 3 * n;
    to->width_s = kept + 4 * n;
    place_nodes(&v->bins, n, block);
    cq_pass s = {v, {true, n, block, block + n, 0.0}, 1e6, block + n};
    const cq_status status = solve(&s, block + 2 * n);
    v->lowest_K = INFINITY;
    v->highest_K = -INFINITY;
    for (size_t j = 0, i = 0; status >= 0 && j < n; j++) {
        while (i + 1 < v->bins.n && v->bins.time_s[i] < to->time_at_s[j]) {
            i++;
        }
        to->face_K[j] = v->trace.face_K[i];
        v->lowest_K = fmin(v->lowest_K, to->face_K[j]);
        v->highest_K = fmax(v->highest_K, to->face_K[j]);
    }
    cq_memory_free(block);
    return status;
}
