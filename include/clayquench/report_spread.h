/* report_spread.h - what the tolerances do, in words, as JSON, as a table and in pictures. Draws into memory; files are
 * the io floor's.
 */
#ifndef CLAYQUENCH_REPORT_SPREAD_H
#define CLAYQUENCH_REPORT_SPREAD_H

#include <clayquench/report.h>
#include <clayquench/spread.h>

/* One screen: 24 lines of 80 columns. Released with cq_text_free (io.h), as the next two. */
cq_status cq_spread_screen(const cq_spread *spread, cq_unit_system units, char **text);

/* Exactly one JSON object, always metric; its keys stand in README.md, "What the tolerances do". */
cq_status cq_spread_json(const cq_spread *spread, char **text);

/* Every sample as a line of comma-separated values, always metric: inputs, figures, verdict, what went wrong. */
cq_status cq_spread_csv(const cq_spread *spread, char **text);

typedef enum cq_spread_picture {
    CQ_SPREAD_PICTURE_LINE,    /* how often the line comes to lie where, and the verdicts */
    CQ_SPREAD_PICTURE_TORNADO, /* what each input does to the line */
    CQ_SPREAD_PICTURE_SECTION, /* the section, how often it is hard where, the band of the line */
    CQ_SPREAD_PICTURES
} cq_spread_picture;

/* File stem: "spread-line", "spread-tornado", "spread-section". */
const char *cq_spread_picture_stem(cq_spread_picture picture);

/* Draw one picture. `as_planned` is the result of the plan as written, needed for the section alone. *bytes is released
 * with cq_text_free. CQ_ERR_ARGUMENT if there is nothing to show (no line, a plate, no result). The same spread gives
 * the same bytes. */
cq_status cq_spread_picture_draw(const cq_spread *spread, const cq_result *as_planned, cq_spread_picture picture,
                                 cq_picture_format format, unsigned char **bytes, size_t *length);

#endif
