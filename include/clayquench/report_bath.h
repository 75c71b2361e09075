/* report_bath.h - a bath's card in words, as JSON and in pictures. Draws into memory; files are the io floor's.
 */
#ifndef CLAYQUENCH_REPORT_BATH_H
#define CLAYQUENCH_REPORT_BATH_H

#include <clayquench/bath_card.h>
#include <clayquench/report.h>

/* One screen: 24 lines of 80 columns. Released with cq_text_free (io.h), as the next. */
cq_status cq_report_bath_screen(const cq_bath_card *card, cq_unit_system units, char **text);

/* Exactly one JSON object; its keys stand in README.md, "What a bath does". */
cq_status cq_report_bath_json(const cq_bath_card *card, char **text);

typedef enum cq_bath_picture {
    CQ_BATH_PICTURE_CURVE, /* flux against the steel's temperature, bare and under clay */
    CQ_BATH_PICTURE_PROBE, /* cooling curve and rate of both probes */
    CQ_BATH_PICTURE_CLAY,  /* seconds from 750 to 500 degC against the thickness of clay */
    CQ_BATH_PICTURES
} cq_bath_picture;

/* File stem: "bath-curve", "bath-probe", "bath-clay". */
const char *cq_bath_picture_stem(cq_bath_picture picture);

/* Draw one picture. *bytes is released with cq_text_free. The same card gives the same bytes. */
cq_status cq_bath_picture_draw(const cq_bath_card *card, cq_bath_picture picture, cq_picture_format format,
                               unsigned char **bytes, size_t *length);

#endif
