/* inverse_pass.c - what both passes of the inverse do with their unknowns. */
#include "study/inverse_pass.h"

void cq_pass_adopt(cq_pass *s, const double *p) {
    for (size_t j = 0; j < s->law.n; j++) {
        s->y[j] = s->flux_scale * p[j];
    }
}

cq_status cq_pass_residuals(void *context, const double *p, double *r) {
    cq_pass *s = context;
    cq_inversion *v = s->v;
    cq_pass_adopt(s, p);
    const cq_inverse_trace trace = {v->trace.read_K, NULL, NULL};
    const cq_status status = cq_inverse_run_go(&v->run, &s->law, p[s->law.n], &v->bins, &trace);
    for (size_t i = 0; status >= 0 && i < v->bins.n; i++) {
        r[i] = v->weight[i] * (v->trace.read_K[i] - v->bins.temp_K[i]);
    }
    return status;
}
