/* report_compare.h - runs side by side in words, as JSON, as CSV and in one picture. Draws into memory.
 */
#ifndef CLAYQUENCH_REPORT_COMPARE_H
#define CLAYQUENCH_REPORT_COMPARE_H

#include <clayquench/report.h>
#include <clayquench/study.h>

/* Baths a run goes through in order, the same one once; more are left out. */
enum { CQ_COMPARE_BATHS = 3, CQ_COMPARE_PANELS = 24 };
typedef struct cq_compare_baths {
    size_t n;
    const char *name[CQ_COMPARE_BATHS];
    double at_K[CQ_COMPARE_BATHS];
} cq_compare_baths;

/* A finished study whose inputs are indices of its axes' words. An axis with the key "plan" names the plans. */
typedef struct cq_comparison {
    const char *title;
    const cq_study_about *about;
    const cq_study_table *table;
    const cq_compare_baths *baths;                /* per run; n 0 where no plan could be made */
    unsigned cautions;                            /* of all plans, as cq_plan_cautions has them */
    const cq_plan *panel_plan[CQ_COMPARE_PANELS]; /* of the first runs, for the picture; NULL where there is none */
} cq_comparison;

/* One table of at most 80 columns. Released with cq_text_free (io.h), as the next two. */
cq_status cq_compare_screen(const cq_comparison *comparison, cq_unit_system units, char **text);
/* Exactly one JSON object; rows have the keys of a single run's. Keys: README, "Side by side". */
cq_status cq_compare_json(const cq_comparison *comparison, char **text);
/* A header and one line per run, lengths in mm or inch. */
cq_status cq_compare_csv(const cq_comparison *comparison, cq_unit_system units, char **text);

/* The sections side by side at one scale, hard zone filled. *bytes is released with cq_text_free. CQ_ERR_ARGUMENT if no
 * run has a section to show. The same study gives the same bytes. */
cq_status cq_compare_picture_draw(const cq_comparison *comparison, cq_picture_format format, unsigned char **bytes,
                                  size_t *length);

#endif
