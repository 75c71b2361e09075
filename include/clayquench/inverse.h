/* inverse.h - from a thermocouple's log to what the bath drew: inverse heat conduction.
 *
 * Two passes. The first finds the flux against time (second differences); nothing is supposed of the bath.
 * The second finds one heat transfer coefficient per face temperature, which is what a bath profile holds; a sharp
 * change is narrow in temperature and need not be narrow in time. Both smooth as much as the noise of the readings
 * allows and no more (discrepancy principle). Sources: [tikhonov1977], [morozov1966], [beck1985].
 *
 * Errors are half the width of the interval that holds the truth in nine cases of ten; of readings and smoothing, not
 * of the piece's own properties.
 */
#ifndef CLAYQUENCH_INVERSE_H
#define CLAYQUENCH_INVERSE_H

#include <clayquench/material.h>
#include <clayquench/section.h>
#include <clayquench/status.h>

/* Readings, times strictly rising. */
typedef struct cq_log {
    size_t n;
    double *time_s, *temp_K;
} cq_log;
void cq_log_clear(cq_log *log);

/* The piece the bead sits in. */
typedef struct cq_inverse_piece {
    cq_family family;      /* CQ_FAMILY_PLATE or CQ_FAMILY_ROUND */
    double size_m;         /* thickness or diameter */
    const cq_steel *steel; /* inert */
    double depth_m;        /* of the bead below the face, up to the middle */
    double lag_s;          /* time constant of the bead, 0: none */
} cq_inverse_piece;

typedef struct cq_inverse_wish {
    cq_inverse_piece piece;
    const cq_log *log; /* begins where the piece meets the bath */
    double bath_K;
    double noise_K; /* standard deviation of a reading; 0: taken from the log's own scatter */
} cq_inverse_wish;

typedef struct cq_measured {
    double value, error;
} cq_measured;

/* Heat transfer against face temperature, rising. */
typedef struct cq_transfer {
    size_t n;
    double *face_K, *transfer_W_m2K, *error_W_m2K;
    double *resolution_K; /* width over which the value is an average; INFINITY: this place is not seen at all */
} cq_transfer;

typedef struct cq_inverse {
    double bath_K, noise_K;
    bool noise_from_log;
    size_t readings; /* of the log */
    double time_s;   /* its length */
    double start_K;
    /* first pass: flux against time */
    size_t times_n;
    double *time_at_s, *flux_W_m2, *flux_error_W_m2, *face_K;
    double *width_s;          /* width over which each is an average */
    double flux_misfit;       /* root mean square of what is left over, in units of the noise */
    double resolution_time_s; /* width over which the largest flux is an average */
    /* second pass */
    cq_transfer transfer;
    double transfer_misfit;
    bool single; /* one coefficient per face temperature explains the log; if not, transfer is made of the first pass */
    cq_measured heat_J_m2, peak_flux_W_m2, peak_face_K;
    double peak_resolution_K;
    size_t runs;
} cq_inverse;

/* CQ_ERR_PLAN: the log or the piece does not do, told in `error`; CQ_ERR_STEP: nothing fits. */
cq_status cq_inverse_create(cq_inverse **inverse, const cq_inverse_wish *wish, cq_error *error);
void cq_inverse_free(cq_inverse *inverse);

#endif
