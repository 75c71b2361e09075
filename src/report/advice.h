/* advice.h - which one change lowers the crack index most, as a paragraph of the screen and as JSON. */
#ifndef CQ_REPORT_ADVICE_H
#define CQ_REPORT_ADVICE_H

#include "base/units.h"
#include "report/words.h"

#include <clayquench/crack_advice.h>
#include <clayquench/report.h>
#include <jansson.h>

/* brief: on one line. */
void cq_advice_add(cq_text *text, const cq_result *result, const cq_crack_advice *advice, cq_unit_system units,
                   bool brief);
/* advice NULL: null. */
json_t *cq_json_advice(const cq_crack_advice *advice);

#endif
