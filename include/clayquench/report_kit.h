/* report_kit.h - the kit: how a shop makes coupons, gauges and logs that tune can read, as one page, and the evidence
 * file to fill in.
 */
#ifndef CLAYQUENCH_REPORT_KIT_H
#define CLAYQUENCH_REPORT_KIT_H

#include <clayquench/report_page.h>
#include <clayquench/tune.h>

/* The page. Its combs and scale bars are drawn to true size. *bytes is released with cq_text_free. The same wish gives
 * the same bytes. */
cq_status cq_kit_page(cq_page_medium medium, cq_paper paper, unsigned char **bytes, size_t *length, cq_page_gaps *gaps,
                      cq_error *error);

/* The evidence file to fill in: its items are remarks until their blanks are filled and the sign before them is taken
 * away. Its words are those that tune reads. Released with cq_text_free. */
cq_status cq_kit_evidence(char **text);

#endif
