/* trace.c - what is read off a history. */
#include <clayquench/quench.h>

#include <math.h>

double cq_trace_falls_s(const cq_trace *t, double temp_K) {
    for (size_t i = 0; i + 1 < t->n; i++) {
        if (t->temp_K[i] > temp_K && t->temp_K[i + 1] <= temp_K) {
            const double u = (t->temp_K[i] - temp_K) / (t->temp_K[i] - t->temp_K[i + 1]);
            return t->time_s[i] + u * (t->time_s[i + 1] - t->time_s[i]);
        }
    }
    return NAN;
}
