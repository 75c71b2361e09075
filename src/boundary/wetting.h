/* wetting.h - the share of a face that liquid wets between the peak of its curve and the end of its vapour film. */
#ifndef CQ_BOUNDARY_WETTING_H
#define CQ_BOUNDARY_WETTING_H

#include <math.h>

/* Where a curve peaks, where its film begins, and the exponent m between (1 to 3). */
typedef struct cq_wetting {
    double peak_K, rewetting_K, exponent;
} cq_wetting;

/* F = 1 - u^m, u = (T - T_peak)/(Tmin - T_peak); 1 below the peak, 0 above Tmin. *slope gets dF/dT. */
static inline double cq_wetting_share(const cq_wetting *w, double T_K, double *slope) {
    const double per_span = 1.0 / (w->rewetting_K - w->peak_K), u = (T_K - w->peak_K) * per_span;
    *slope = 0.0;
    if (u <= 0.0) {
        return 1.0;
    }
    if (u >= 1.0) {
        return 0.0;
    }
    const double steep = fabs(w->exponent - 2.0) < 1e-12 ? u : pow(u, w->exponent - 1.0);
    *slope = -w->exponent * steep * per_span;
    return 1.0 - steep * u;
}

#endif
