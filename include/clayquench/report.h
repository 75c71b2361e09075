/* report.h - a result in words, as JSON and in pictures. Draws into memory; files are the io floor's.
 */
#ifndef CLAYQUENCH_REPORT_H
#define CLAYQUENCH_REPORT_H

#include <clayquench/crack_advice.h>
#include <clayquench/steel_card.h>

/* Units of what people read. */
typedef enum cq_unit_system { CQ_UNITS_METRIC, CQ_UNITS_US } cq_unit_system;

/* One screen for a person. Released with cq_text_free (io.h). */
cq_status cq_report_screen(const cq_result *result, cq_unit_system units, char **text);

/* The same with the change that lowers the crack index most (NULL: not asked for). */
cq_status cq_report_screen_advised(const cq_result *result, const cq_crack_advice *advice, cq_unit_system units,
                                   char **text);

/* Exactly one JSON object with the keys of the contract (README, "What a run says"). Released with cq_text_free. */
cq_status cq_report_json(const cq_result *result, char **text);
cq_status cq_report_json_advised(const cq_result *result, const cq_crack_advice *advice, char **text);

/* Pictures of a result. */
typedef enum cq_picture {
    CQ_PICTURE_HARDNESS,    /* section: hardness, clay drawn on, line marked */
    CQ_PICTURE_MARTENSITE,  /* section: martensite fraction */
    CQ_PICTURE_PEAK_RATE,   /* section: largest cooling rate */
    CQ_PICTURE_TEMPERATURE, /* section: temperature at the frames, one strip each */
    CQ_PICTURE_COOLING,     /* chart: edge, body, spine over the steel's transformation curves */
    CQ_PICTURE_ALONG,       /* chart: hardness along the height */
    CQ_PICTURE_STRESS,      /* section: stress along the blade as quenched */
    CQ_PICTURE_CURVE,       /* chart: curve against time */
    CQ_PICTURE_BUILD,       /* section: which steel lies where; of several steels only */
    CQ_PICTURE_CARBON,      /* section: carbon when the quench begins; of several steels or with a skin */
    CQ_PICTURES
} cq_picture;

typedef enum cq_picture_format { CQ_FORMAT_SVG, CQ_FORMAT_PNG, CQ_FORMAT_PDF, CQ_FORMATS } cq_picture_format;

/* File stem of a picture ("hardness", "martensite", ...) and extension of a format ("svg"). */
const char *cq_picture_stem(cq_picture picture);
const char *cq_format_extension(cq_picture_format format);

/* Draw one picture. *bytes is released with cq_text_free. CQ_ERR_ARGUMENT if the result has nothing to show there
 * (for instance no frames). The same result gives the same bytes. */
cq_status cq_picture_draw(const cq_result *result, cq_picture picture, cq_picture_format format, unsigned char **bytes,
                          size_t *length, cq_error *error);

/* ---- a steel's card ---- */

/* One screen, at most 80 columns. Released with cq_text_free. */
cq_status cq_card_screen(const cq_steel_card *card, cq_unit_system units, char **text);

/* Exactly one JSON object, always metric; keys: README, "A steel by itself". Released with cq_text_free. */
cq_status cq_card_json(const cq_steel_card *card, char **text);

typedef enum cq_card_picture {
    CQ_CARD_PICTURE_ISOTHERMAL, /* chart: transformation at constant temperature */
    CQ_CARD_PICTURE_CONTINUOUS, /* chart: transformation while cooling, cooling curves over it; what becomes of it */
    CQ_CARD_PICTURE_END_QUENCH, /* chart: hardness along the end-quench bar */
    CQ_CARD_PICTURE_TEMPER,     /* chart: hardness against temper temperature */
    CQ_CARD_PICTURE_SOAK,       /* chart: rate for half and retained austenite against soak temperature */
    CQ_CARD_PICTURES
} cq_card_picture;

/* File stem of a picture ("isothermal", "continuous", ...). */
const char *cq_card_picture_stem(cq_card_picture picture);

/* Draw one picture. *bytes is released with cq_text_free. The same card gives the same bytes. */
cq_status cq_card_picture_draw(const cq_steel_card *card, cq_card_picture picture, cq_picture_format format,
                               unsigned char **bytes, size_t *length);

#endif
