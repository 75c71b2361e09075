/* inverse_logs.h - logs that the program's own forward run makes, with seeded noise; for the tests of the inverse. */
#ifndef TEST_STUDY_INVERSE_LOGS_H
#define TEST_STUDY_INVERSE_LOGS_H

#include "base/memory.h"
#include "boundary/flux.h"

#include <clayquench/inverse.h>
#include <clayquench/io.h>

#include <math.h>
#include <stdio.h>
#include <string.h>

typedef struct made_log {
    cq_plan plan;
    cq_log log;
    double heat_J_m2, peak_W_m2, peak_K; /* of the run: what the inverse should find */
} made_log;

static const char *const profile_folders[] = {CQ_PROFILES};
static const cq_search profiles = {1, profile_folders};

static double normal(unsigned long long *seed) {
    double u[2];
    for (int i = 0; i < 2; i++) {
        *seed = *seed * 6364136223846793005ULL + 1442695040888963407ULL;
        u[i] = ((double)(*seed >> 11) + 0.5) / 9007199254740992.0;
    }
    return sqrt(-2.0 * log(u[0])) * cos(6.283185307179586 * u[1]);
}

static double at_time(const cq_trace *t, double time_s) {
    size_t i = 0;
    while (i + 2 < t->n && t->time_s[i + 1] < time_s) {
        i++;
    }
    const double u = (time_s - t->time_s[i]) / (t->time_s[i + 1] - t->time_s[i]);
    return t->temp_K[i] + u * (t->temp_K[i + 1] - t->temp_K[i]);
}

/* A bead's own d(read)/dt = (piece - read) / lag over one reading, by the midpoint rule in short steps; owes nothing to
 * the program's. */
static double lag_behind(double read_K, const cq_trace *piece, double from_s, double to_s, double lag_s) {
    enum { SHORT = 40 };
    const double dt = (to_s - from_s) / SHORT;
    for (int n = 0; n < SHORT; n++) {
        const double middle_K = at_time(piece, from_s + (n + 0.5) * dt);
        const double half = read_K + 0.5 * dt * (middle_K - read_K) / lag_s;
        read_K += dt * (middle_K - half) / lag_s;
    }
    return read_K;
}

/* `piece`: a blade; `step`: the one step; its law at the face's own temperatures is the flux that is to be found. */
static void make_log(made_log *m, const char *piece, const char *step, const char *probe, double noise_K,
                     double every_s, unsigned long long seed) {
    char text[2048];
    snprintf(text, sizeof text,
             "format: clayquench-plan 1\nblade: %s\nsteel: alloy-600\nstart: 850 °C\nsteps: [%s]\n"
             "record: {probes: [%s]}\ngrid: {across: 16, refine: 2}\n",
             piece, step, probe);
    cq_error error = CQ_ERROR_INIT;
    cq_plan_init(&m->plan);
    const cq_status read = cq_plan_read_text(&m->plan, text, strlen(text), "log", ".", &profiles, &error);
    ck_assert_msg(read >= 0, "%s: %s", error.count > 0 ? error.items[0].key : "",
                  error.count > 0 ? error.items[0].found : "");
    cq_run *run;
    const cq_run_options options = {.tolerance_K = 0.1};
    ck_assert_int_ge(cq_run_create(&run, &m->plan, &options, &error), 0);
    ck_assert_int_ge(cq_run_go(run, NULL, &error), 0);
    const cq_result *r = cq_run_result(run);
    const cq_trace *bead = &r->traces[CQ_TRACES_FIXED], *face = &r->traces[CQ_TRACE_EDGE];
    m->log.n = (size_t)(r->end_time_s / every_s);
    m->log.time_s = cq_memory_zero(m->log.n, sizeof(double));
    m->log.temp_K = cq_memory_zero(m->log.n, sizeof(double));
    const double lag = m->plan.probes[0].lag_s;
    double read_K = bead->temp_K[0];
    for (size_t i = 0; i < m->log.n; i++) {
        m->log.time_s[i] = every_s * (double)i;
        const double now = m->log.time_s[i];
        read_K = lag > 0.0 && i > 0 ? lag_behind(read_K, bead, m->log.time_s[i - 1], now, lag) : at_time(bead, now);
        m->log.temp_K[i] = read_K + noise_K * normal(&seed);
    }
    /* flux of the known law at the face's own temperatures */
    const cq_step_plan *s = &m->plan.steps[0];
    cq_flux_law *law;
    ck_assert_int_ge(cq_flux_law_create(&law, &s->bath, s->at_K, 0.0, 0.03, &error), 0);
    const cq_surface surface = {
        .steel_conductivity_W_mK = 28.0, .steel_heat_capacity_J_m3K = 5.0e6, .steel_emissivity = 0.8};
    const cq_flux_face on = cq_flux_face_of(law, &surface);
    double before = 0.0, slope;
    m->heat_J_m2 = m->peak_W_m2 = 0.0;
    for (size_t i = 0; i < face->n; i++) {
        const double q = cq_flux_eval(law, &on, face->temp_K[i], &slope);
        m->heat_J_m2 += i > 0 ? 0.5 * (q + before) * (face->time_s[i] - face->time_s[i - 1]) : 0.0;
        m->peak_K = q > m->peak_W_m2 ? face->temp_K[i] : m->peak_K;
        m->peak_W_m2 = fmax(m->peak_W_m2, q);
        before = q;
    }
    cq_flux_law_free(law);
    cq_run_free(run);
    cq_error_clear(&error);
}

static void drop_log(made_log *m) {
    cq_log_clear(&m->log);
    cq_plan_clear(&m->plan);
}

static cq_inverse *invert(const made_log *m, double noise_K) {
    const cq_probe_plan *bead = &m->plan.probes[0];
    const double half = 0.5 * m->plan.blade.spine_m;
    const cq_inverse_wish wish = {{m->plan.blade.family, m->plan.blade.spine_m, &m->plan.steel,
                                   bead->depth_m > 0.0 ? bead->depth_m : half, bead->lag_s},
                                  &m->log,
                                  m->plan.steps[0].at_K,
                                  noise_K};
    cq_error error = CQ_ERROR_INIT;
    cq_inverse *inverse = NULL;
    const cq_status status = cq_inverse_create(&inverse, &wish, &error);
    ck_assert_msg(status >= 0, "%s", error.count > 0 ? error.items[0].found : "inverse");
    cq_error_clear(&error);
    return inverse;
}

#endif
