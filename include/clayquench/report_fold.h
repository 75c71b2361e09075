/* report_fold.h - a folded bar in words and as JSON.
 */
#ifndef CLAYQUENCH_REPORT_FOLD_H
#define CLAYQUENCH_REPORT_FOLD_H

#include <clayquench/fold.h>
#include <clayquench/report.h>

/* One screen: 24 lines of 80 columns; long tables lose their middle, and say so. Released with cq_text_free (io.h), as
 * the next. */
cq_status cq_report_fold_screen(const cq_fold_card *card, cq_unit_system units, char **text);

/* Exactly one JSON object, always metric; its keys stand in README.md, "Folded bars". */
cq_status cq_report_fold_json(const cq_fold_card *card, char **text);

#endif
