/* report_glow.h - the colour of hot steel in words, as JSON and in a picture. Draws into memory; files are the io
 * floor's.
 */
#ifndef CLAYQUENCH_REPORT_GLOW_H
#define CLAYQUENCH_REPORT_GLOW_H

#include <clayquench/glow.h>
#include <clayquench/report.h>

typedef enum cq_ink {
    CQ_INK_PLAIN,   /* text only */
    CQ_INK_COLOURED /* patches of colour by the sequences of ISO 8613-6, for a terminal */
} cq_ink;

/* One screen: 24 lines of 80 columns. Released with cq_text_free (io.h), as the next. */
cq_status cq_report_glow_screen(cq_unit_system units, cq_ink ink, char **text);

/* Exactly one JSON object, always metric; its keys stand in README.md, "The colour of hot steel". */
cq_status cq_report_glow_json(char **text);

/* Two strips of colour over the temperature, swatches of the trade's words, luminance. *bytes is released with
 * cq_text_free. The same bytes every time. */
cq_status cq_glow_picture_draw(cq_unit_system units, cq_picture_format format, unsigned char **bytes, size_t *length);

#endif
