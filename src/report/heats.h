/* heats.h - the heats of a plan with several, on the screen and as JSON. */
#ifndef CQ_REPORT_HEATS_H
#define CQ_REPORT_HEATS_H

#include "report/words.h"

#include <clayquench/report.h>
#include <jansson.h>

/* What the quench before the last came to and left; nothing for a single heat. */
void cq_heats_add(cq_text *text, const cq_result *result, cq_unit_system units);
json_t *cq_json_heats(const cq_result *result);

#endif
