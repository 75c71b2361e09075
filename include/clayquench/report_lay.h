/* report_lay.h - the clay found for a line, in words, as JSON and as a plan. Draws into memory; files are the io
 * floor's. */
#ifndef CLAYQUENCH_REPORT_LAY_H
#define CLAYQUENCH_REPORT_LAY_H

#include <clayquench/lay.h>
#include <clayquench/report.h>

/* What the answer is told from. `best` is a run of the first choice, mechanics with it; NULL where nothing was found.
 * `changes` are the words of what was tried instead, in the order cq_lay_way.change counts them. */
typedef struct cq_lay_told {
    const cq_lay *lay;
    const cq_plan *plan;
    const cq_lay_field *field;
    const cq_result *best;
    const char *const *changes;
} cq_lay_told;

/* One screen: 24 lines of 80 columns. Released with cq_text_free (io.h), as the next two. */
cq_status cq_lay_screen(const cq_lay_told *told, cq_unit_system units, char **text);
/* Exactly one JSON object, always metric; its keys stand in README.md, "The clay for a line". */
cq_status cq_lay_json(const cq_lay_told *told, char **text);
/* The plan's text with the layout of the first choice in place of its coat; what else it says, comments with it, stays.
 * CQ_ERR_FORMAT with a complaint where the text is written in a way that cannot be changed. */
cq_status cq_lay_plan_text(const cq_lay_told *told, char **text, cq_error *error);

#endif
