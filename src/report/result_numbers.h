/* result_numbers.h - what the files of a result's page share: the result, its summary, texts that live as long as the
 * page is written, and numbers that say which number of summary.json they are.
 */
#ifndef CQ_REPORT_RESULT_NUMBERS_H
#define CQ_REPORT_RESULT_NUMBERS_H

#include "base/memory.h"
#include "report/page.h"

#include <jansson.h>

typedef struct cq_telling {
    const cq_result *result;
    const json_t *root; /* summary.json */
    const cq_report_wish *wish;
    cq_arena *arena;
    bool failed; /* memory ran short */
} cq_telling;

/* How a number of the summary is shown. Each is told to the page under the name in quotes. */
typedef enum cq_shown_as {
    CQ_AS_MM,         /* "mm": 11.0 */
    CQ_AS_SIGNED_MM,  /* "+mm": +3.1, what rounds to nothing without sign */
    CQ_AS_SIZE_MM,    /* "mm-size": 3.1, whatever its sign */
    CQ_AS_INCH_64,    /* "in64": 7/16 */
    CQ_AS_CELSIUS,    /* "C": 205 */
    CQ_AS_FAHRENHEIT, /* "F": 401 */
    CQ_AS_WHOLE,      /* "0": 826 */
    CQ_AS_TENTH,      /* "1": 64.8 */
    CQ_AS_HUNDREDTH,  /* "2": 1.69 */
    CQ_AS_PERCENT,    /* "%": 90 */
    CQ_AS_PERCENT_2,  /* "%2": two digits, 0.097 */
    CQ_AS_PERCENT_1,  /* "%1": 99.5 */
    CQ_AS_SHARE       /* "share": a percentage that an estimate may put below 0, which is 0 then */
} cq_shown_as;

/* The value at a key path ("line.surface_mm", "steps.1.edge_C"); NULL if it is not there. */
const json_t *cq_telling_at(const cq_telling *t, const char *key);
/* Its number; NaN if it is null or none. */
double cq_telling_number(const cq_telling *t, const char *key);
/* Its text; NULL if it is null or none. */
const char *cq_telling_words(const cq_telling *t, const char *key);

/* A number with its marks; a dash where it is null. */
void cq_number_add(cq_text *text, const cq_telling *t, cq_shown_as how, const char *key_format, ...)
    __attribute__((format(printf, 4, 5)));
/* "11.0 mm (7/16 in)", "205 °C (401 °F)", "64.8 HRC (826 HV)" of a place that has both ("edge"). */
void cq_length_add(cq_text *text, const cq_telling *t, const char *key);
void cq_temperature_add(cq_text *text, const cq_telling *t, const char *key);
void cq_hardness_add(cq_text *text, const cq_telling *t, const char *place);

/* The text, kept until the page is written; releases `text`. Never NULL. */
const char *cq_telling_keep(cq_telling *t, cq_text *text);
/* What cq_hardness_add says, kept. */
const char *cq_telling_hardness(cq_telling *t, const char *place);
/* printf into a kept text. */
const char *cq_telling_say(cq_telling *t, const char *format, ...) __attribute__((format(printf, 2, 3)));

/* result_tables.c: the tables and lists of a result. */
void cq_table_outcome(cq_page *page, cq_telling *t); /* hardness and structure of the places */
void cq_table_seconds(cq_page *page, cq_telling *t); /* what each second did */
void cq_list_sources(cq_page *page, cq_telling *t, const cq_plan *const *plans, size_t plans_n); /* each once */

/* result_built.c: several steels, a skin, a fire; nothing where there was none. */
void cq_tell_built(cq_page *page, cq_telling *t);

/* result_plan.c: the plan as smiths write it down. */
void cq_table_recipe(cq_page *page, cq_telling *t);

/* result_really.c: the section of what really came out, to be filled in; none of what does not harden. */
void cq_tell_really(cq_page *page, cq_telling *t);

/* result_glow.c: what the heat looks like. */
void cq_tell_glow(cq_page *page, cq_telling *t);

/* result_sure.c: what the tolerances do to the answer, where a study of them lies beside it. */
void cq_tell_sure(cq_page *page, cq_telling *t);

/* result_distortion.c: curve, stress and crack class, of a result that may have them. */
void cq_tell_distortion(cq_page *page, cq_telling *t);

#endif
