/* report_page.h - a result on one page: self-contained HTML or PDF, for reading, printing and keeping.
 */
#ifndef CLAYQUENCH_REPORT_PAGE_H
#define CLAYQUENCH_REPORT_PAGE_H

#include <clayquench/report_compare.h>
#include <clayquench/report_map.h>
#include <clayquench/spread.h>
#include <clayquench/study_file.h>

typedef enum cq_page_medium { CQ_PAGE_HTML, CQ_PAGE_PDF } cq_page_medium;
typedef enum cq_paper { CQ_PAPER_A4, CQ_PAPER_LETTER } cq_paper;

/* What a PDF could not show: characters that no installed font has (each stands as a box). HTML leaves that to the
 * reader's own fonts. */
typedef struct cq_page_gaps {
    size_t characters;
} cq_page_gaps;

/* How a report is made. beside: a study of the same plan's tolerances; NULL: none. summary: text of summary.json; NULL:
 * made from the result. */
typedef struct cq_report_wish {
    cq_page_medium medium;
    cq_paper paper;
    const cq_spread *beside;
    const char *summary;
} cq_report_wish;

/* What a spread study of this plan found, for a report of the plan's result; NULL if the study is of something else,
 * not whole, too short (20 runs), or memory is short. cq_spread_free; the study must outlive it. */
cq_spread *cq_report_beside(const cq_study_read *study, const cq_plan *plan);
/* Did the study see the line often enough (nine runs in ten) to say between which heights it lies? */
bool cq_report_is_sure(const cq_spread *beside);

/* The report of a result. *bytes is released with cq_text_free. The same result gives the same bytes. */
cq_status cq_report_page(const cq_result *result, const cq_report_wish *wish, unsigned char **bytes, size_t *length,
                         cq_page_gaps *gaps, cq_error *error);

/* Runs side by side, a map, and what the tolerances do, in the same manner. as_planned: the answer to the plan as
 * written, NULL: not known. */
cq_status cq_compare_page(const cq_comparison *comparison, const cq_report_wish *wish, unsigned char **bytes,
                          size_t *length, cq_page_gaps *gaps, cq_error *error);
cq_status cq_map_page(const cq_map *map, const cq_report_wish *wish, unsigned char **bytes, size_t *length,
                      cq_page_gaps *gaps, cq_error *error);
cq_status cq_spread_page(const cq_spread *spread, const cq_result *as_planned, const cq_report_wish *wish,
                         unsigned char **bytes, size_t *length, cq_page_gaps *gaps, cq_error *error);

#endif
