/* hardness_text.h - a hardness as people write it: with its scale, Rockwell C or Vickers. */
#ifndef CQ_IO_HARDNESS_TEXT_H
#define CQ_IO_HARDNESS_TEXT_H

#include "io/reader.h"

/* "62 HRC" or "780 HV": the number; false if it is neither. */
bool cq_hardness_scale(const char *text, double *number, bool *rockwell);

/* HV, and HRC as it was written (NaN where Vickers was). False after a complaint: no hardness, or none of 20 to 68 HRC
 * or 80 to 1200 HV. */
bool cq_read_hardness(cq_reader *r, const cq_node *at, const char *key, double *HV, double *HRC);

#endif
