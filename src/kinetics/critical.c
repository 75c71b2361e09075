/* critical.c - constant cooling rates at which a given share of the whole steel ends soft: what transforms by diffusion
 * and what the soak left untransformed, so that a soak that turns more never looks the worse for it. */
#include "base/root.h"
#include "kinetics/clock.h"

#include <math.h>
#include <string.h>

typedef struct cooling {
    const cq_clock *clock;
    const cq_soak *soak;
    double T_start_K, fraction;
} cooling;

static double soft_share(const cooling *c, double rate_K_s) {
    double room[2][CQ_STRUCTURE_ROOM(1)];
    cq_structure s[2];
    memset(room, 0, sizeof room);
    cq_structure_lay(&s[0], 1, room[0]);
    cq_structure_lay(&s[1], 1, room[1]);
    cq_structure_begin(&s[0], 0, 1, c->soak, c->T_start_K);
    const double step_K = 2.0, end_K = 380.0;
    int now = 0;
    for (double T = fmin(c->T_start_K, c->clock->hottest_K); T > end_K; T -= step_K) {
        const double middle = T - 0.5 * step_K;
        cq_kinetics_step(c->clock, &s[now], &s[1 - now], 0, 1, &middle, step_K / rate_K_s);
        double end = T - step_K, slope;
        cq_martensite_step(c->clock, &s[now], &s[1 - now], 0, 1, &end, &slope);
        now = 1 - now;
    }
    return s[now].fraction[CQ_FERRITE][0] + s[now].fraction[CQ_PEARLITE][0] + s[now].fraction[CQ_BAINITE][0];
}

/* More than the share wanted soft at a rate of exp(log_rate) K/s. */
static double excess(const void *context, double log_rate) {
    const cooling *c = context;
    return soft_share(c, exp(log_rate)) - c->fraction;
}

double cq_clock_critical_rate(const cq_clock *clock, const cq_soak *soak, double T_start_K, double fraction) {
    const cooling c = {clock, soak, T_start_K, fraction};
    const cq_root_bracket rates = {log(1e-3), log(1e5), 1e-7};
    return 1.0 - soak->austenite < fraction ? exp(cq_root_between(excess, &c, &rates)) : NAN;
}
