/* result_read.h - parts of reading a stored result. */
#ifndef CQ_IO_RESULT_READ_H
#define CQ_IO_RESULT_READ_H

#include "io/h5_read.h"

#include <clayquench/quench.h>

enum { CQ_RESULT_SAMPLES = 100 * 1000 * 1000 }; /* more in one history is no result of ours */

/* result_read_answer.c: what a result says beside its fields and temperature histories. */
void cq_result_read_answer(cq_h5_source *source, cq_result *result);

#endif
