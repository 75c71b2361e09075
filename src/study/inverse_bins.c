/* inverse_bins.c - see inverse_bins.h. */
#include "study/inverse_bins.h"

#include "base/memory.h"

#include <math.h>
#include <stdlib.h>

/* A bin is so short that readings run straight in it; long logs may have longer ones. Chosen here. */
static const double BIN_K = 3.0, BIN_S = 0.1;
enum { BINS_MOST = 1200 };

void cq_log_clear(cq_log *log) {
    cq_memory_free(log->time_s);
    cq_memory_free(log->temp_K);
    *log = (cq_log){0, NULL, NULL};
}

static int by_size(const void *a, const void *b) {
    const double x = *(const double *)a, y = *(const double *)b;
    return x < y ? -1 : x > y;
}

double cq_log_noise_K(const cq_log *log, cq_status *status) {
    static const double MEDIAN_OF_NORMAL = 0.6745; /* of |z|, z standard normal */
    double *off = log->n > 2 ? cq_memory_zero(log->n - 2, sizeof *off) : NULL;
    *status = off == NULL ? CQ_ERR_MEMORY : CQ_OK;
    if (off == NULL) {
        return NAN;
    }
    const double *t = log->time_s, *T = log->temp_K;
    for (size_t i = 1; i + 1 < log->n; i++) {
        const double u = (t[i] - t[i - 1]) / (t[i + 1] - t[i - 1]);
        off[i - 1] = fabs(T[i] - (1.0 - u) * T[i - 1] - u * T[i + 1]) / sqrt(1.0 + u * u + (1.0 - u) * (1.0 - u));
    }
    qsort(off, log->n - 2, sizeof *off, by_size);
    const double noise = off[(log->n - 2) / 2] / MEDIAN_OF_NORMAL;
    cq_memory_free(off);
    return noise;
}

cq_status cq_bins_create(cq_bins *bins, const cq_log *log) {
    double *block = cq_memory_zero(3 * log->n, sizeof *block);
    *bins = (cq_bins){0, block, block + log->n, block + 2 * log->n, log->time_s[0]};
    if (block == NULL) {
        return CQ_ERR_MEMORY;
    }
    const double longest = fmax(BIN_S, (log->time_s[log->n - 1] - log->time_s[0]) / BINS_MOST);
    for (size_t first = 0, next; first < log->n; first = next) {
        double time = 0.0, temp = 0.0;
        for (next = first; next < log->n; next++) {
            if (next > first && (log->time_s[next] - log->time_s[first] > longest ||
                                 fabs(log->temp_K[next] - log->temp_K[first]) > BIN_K)) {
                break;
            }
            time += log->time_s[next];
            temp += log->temp_K[next];
        }
        const double n = (double)(next - first);
        bins->time_s[bins->n] = time / n;
        bins->temp_K[bins->n] = temp / n;
        bins->readings[bins->n++] = n;
    }
    return CQ_OK;
}

void cq_bins_clear(cq_bins *bins) {
    cq_memory_free(bins->time_s);
    *bins = (cq_bins){0, NULL, NULL, NULL, 0.0};
}

double cq_bins_rate(const cq_bins *b, size_t i) {
    const size_t low = i < 3 ? 0 : i - 3, high = i + 3 < b->n ? i + 3 : b->n - 1;
    return (b->temp_K[high] - b->temp_K[low]) / (b->time_s[high] - b->time_s[low]);
}
