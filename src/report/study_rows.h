/* study_rows.h - what the reports of many runs share: words for a row's figures, rows as JSON and CSV. */
#ifndef CQ_REPORT_STUDY_ROWS_H
#define CQ_REPORT_STUDY_ROWS_H

#include <clayquench/report_compare.h>
#include <jansson.h>

enum { CQ_ROW_WORDS = 64 };

/* The word that run has on an axis. */
const char *cq_row_word(const cq_comparison *c, size_t run, size_t axis);
/* Last part of an axis' key, with as many before it as keep it apart from the others: "at", "0.thickness". */
const char *cq_axis_head(const cq_study_about *about, size_t axis);
/* "water 40 °C, fast-oil 60 °C"; "" if not known. */
void cq_baths_words(const cq_compare_baths *baths, cq_unit_system units, char *to, size_t size);
bool cq_baths_equal(const cq_compare_baths *a, const cq_compare_baths *b);
/* True if a verdict stands in the row; false of a failed or open one. */
bool cq_row_verdict(const cq_row *row, cq_verdict *verdict);
/* What a verdict is called on a plate or round: "hard face, soft centre". */
const char *cq_piece_verdict_words(cq_verdict verdict);
/* Is the row of a plate or round? Only such a one has been carried out and has no spine. */
bool cq_row_is_piece(const cq_row *row);
/* A row's verdict as its piece has it; the verdict must be there. */
const char *cq_row_verdict_words(const cq_row *row, cq_verdict verdict);
/* "low", "medium", "high"; NULL if not known. */
const char *cq_row_crack(const cq_row *row);

/* Why a run failed, without the folders of the file that begins the message. */
const char *cq_row_message(const cq_row *row);

/* The keys of a single run's JSON that a row has figures for; NULL when memory is short. */
json_t *cq_rows_json(const cq_comparison *c);
json_t *cq_axes_json(const cq_comparison *c);
json_t *cq_cautions_json(const cq_comparison *c);

#endif
