/* inverse_bins.h - a log made ready: its noise, and readings gathered in bins. */
#ifndef CQ_STUDY_INVERSE_BINS_H
#define CQ_STUDY_INVERSE_BINS_H

#include "study/inverse_piece.h"

/* Standard deviation of one reading, from how far readings lie off the line between their neighbours. */
double cq_log_noise_K(const cq_log *log, cq_status *status);

cq_status cq_bins_create(cq_bins *bins, const cq_log *log);
void cq_bins_clear(cq_bins *bins);

/* How fast the readings change in bin i, K/s. */
double cq_bins_rate(const cq_bins *bins, size_t i);

#endif
