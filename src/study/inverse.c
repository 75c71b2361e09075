/* inverse.c - see inverse.h: is the log good for anything, then one pass after the other. */
#include "study/inverse_pass.h"

#include "base/memory.h"

#include <math.h>

/* Chosen here: fewer readings, or a smaller fall, say nothing about a quench. */
enum { READINGS_LEAST = 30 };
static const double FALL_K = 100.0, ABOVE_BATH_K = 100.0;
static const double NOISE_LEAST_K = 0.05; /* below it the steps of the forward run count as much */
static const double NOISE_MOST_K = 20.0;

static cq_status refuse(cq_error *error, const char *key, const char *expected, const char *remedy, const char *found) {
    return cq_error_say(error, CQ_ERR_PLAN, key, expected, remedy, "%s", found);
}

static cq_status check_piece(const cq_inverse_piece *p, cq_error *error) {
    if (p->family != CQ_FAMILY_PLATE && p->family != CQ_FAMILY_ROUND) {
        return refuse(error, "blade", "a plate or a round, whose heat flows one way",
                      "measure in a probe, not in a blade", "a test piece of another section");
    }
    if (p->steel->kind != CQ_STEEL_INERT) {
        return refuse(error, "steel", "an inert steel: its own heat of transformation would be taken for the bath's",
                      "use alloy-600, stainless or silver", "a steel that transforms");
    }
    if (!(p->depth_m >= 0.0 && p->depth_m <= 0.5 * p->size_m * (1.0 + 1e-9)) || !(p->lag_s >= 0.0)) {
        return refuse(error, "record.probes.0", "a bead between the face and the middle", "",
                      "a bead outside the test piece");
    }
    return CQ_OK;
}

static cq_status check_log(const cq_inverse_wish *w, cq_error *error) {
    const cq_log *log = w->log;
    if (log->n < READINGS_LEAST) {
        return cq_error_say(error, CQ_ERR_PLAN, "log", "30 readings or more, best 50 a second", "", "%zu readings",
                            log->n);
    }
    double high = -INFINITY, low = INFINITY;
    for (size_t i = 0; i < log->n; i++) {
        high = fmax(high, log->temp_K[i]);
        low = fmin(low, log->temp_K[i]);
    }
    if (!(high - low > FALL_K)) {
        return cq_error_say(error, CQ_ERR_PLAN, "log", "a fall of more than 100 K", "log on until the piece is cold",
                            "a log too short: it falls by %.0f K only", high - low);
    }
    if (!(log->temp_K[0] - w->bath_K > ABOVE_BATH_K)) {
        return cq_error_say(error, CQ_ERR_PLAN, "log", "a piece that begins 100 K or more above the bath",
                            "is the bath's temperature in the plan right?", "%.0f °C in a bath of %.0f °C",
                            log->temp_K[0] - 273.15, w->bath_K - 273.15);
    }
    return CQ_OK;
}

static cq_status find_noise(const cq_inverse_wish *w, cq_inverse *to, cq_error *error) {
    cq_status status = CQ_OK;
    to->noise_from_log = !(w->noise_K > 0.0);
    to->noise_K = to->noise_from_log ? cq_log_noise_K(w->log, &status) : w->noise_K;
    to->noise_K = fmax(to->noise_K, NOISE_LEAST_K);
    if (status >= 0 && !(to->noise_K < NOISE_MOST_K)) {
        return cq_error_say(error, CQ_ERR_PLAN, "log", "readings that scatter by less than 20 K",
                            "look at the log as a curve: is a wire loose?", "readings that scatter by %.0f K",
                            to->noise_K);
    }
    return status;
}

static cq_status prepare(cq_inversion *v, cq_error *error) {
    cq_status status = cq_inverse_run_create(&v->run, &v->wish->piece, error);
    status = status < 0 ? status : cq_bins_create(&v->bins, v->wish->log);
    if (status < 0) {
        return status;
    }
    v->trace.read_K = cq_memory_zero(4 * v->bins.n, sizeof(double));
    if (v->trace.read_K == NULL) {
        return CQ_ERR_MEMORY;
    }
    v->trace.face_K = v->trace.read_K + v->bins.n;
    v->trace.flux_W_m2 = v->trace.face_K + v->bins.n;
    v->weight = v->trace.flux_W_m2 + v->bins.n;
    for (size_t i = 0; i < v->bins.n; i++) {
        v->weight[i] = sqrt(v->bins.readings[i]) / v->to->noise_K;
    }
    return CQ_OK;
}

static void finish(cq_inversion *v) {
    v->to->runs = v->run.runs;
    cq_memory_free(v->trace.read_K);
    cq_bins_clear(&v->bins);
    cq_inverse_run_clear(&v->run);
}

cq_status cq_inverse_create(cq_inverse **inverse, const cq_inverse_wish *wish, cq_error *error) {
    cq_status status = check_piece(&wish->piece, error);
    status = status < 0 ? status : check_log(wish, error);
    if (status < 0) {
        return status;
    }
    cq_inverse *to = cq_memory_zero(1, sizeof *to);
    if (to == NULL) {
        return cq_error_say(error, CQ_ERR_MEMORY, "", "", "", "%s", cq_status_sentence(CQ_ERR_MEMORY));
    }
    cq_inversion v = {.wish = wish, .to = to};
    to->bath_K = wish->bath_K;
    to->readings = wish->log->n;
    to->time_s = wish->log->time_s[wish->log->n - 1] - wish->log->time_s[0];
    status = find_noise(wish, to, error);
    if (status >= 0) {
        status = prepare(&v, error);
        status = status < 0 ? status : cq_inverse_flux_pass(&v);
        status = status < 0 ? status : cq_inverse_transfer_pass(&v);
        finish(&v);
    }
    if (status >= 0) {
        *inverse = to;
        return CQ_OK;
    }
    cq_inverse_free(to);
    if (status == CQ_ERR_STEP) {
        cq_error_say(error, status, "log", "readings that a plate or round can have given", "",
                     "no flux of the bath explains the log");
    } else if (status == CQ_ERR_MEMORY) {
        cq_error_say(error, status, "", "", "", "%s", cq_status_sentence(status));
    }
    return status;
}

void cq_inverse_free(cq_inverse *inverse) {
    if (inverse != NULL) {
        cq_memory_free(inverse->time_at_s);
        cq_memory_free(inverse->transfer.face_K);
        cq_memory_free(inverse);
    }
}
