/* report_why.h - which single change explains what was seen, in words and as JSON. */
#ifndef CLAYQUENCH_REPORT_WHY_H
#define CLAYQUENCH_REPORT_WHY_H

#include <clayquench/report.h>
#include <clayquench/why.h>

/* What the answer is told from. */
typedef struct cq_why_told {
    const cq_why *why;
    const cq_plan *plan;
} cq_why_told;

/* One screen: 24 lines of 80 columns. Released with cq_text_free (io.h), as the next. */
cq_status cq_why_screen(const cq_why_told *told, cq_unit_system units, char **text);
/* Exactly one JSON object, always metric; its keys stand in README.md, "Why it came out so". */
cq_status cq_why_json(const cq_why_told *told, char **text);

#endif
