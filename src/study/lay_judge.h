/* lay_judge.h - what rows say of a layout: does it meet the wish, how well do its samples, why is nothing found. */
#ifndef CQ_STUDY_LAY_JUDGE_H
#define CQ_STUDY_LAY_JUDGE_H

#include <clayquench/lay.h>

/* A layout under trial. */
typedef struct cq_lay_candidate {
    cq_layout layout;
    size_t plan;
    bool known; /* row is what the plan as written makes of it */
    cq_row row;
    double miss_m;           /* of the line, the worse face's; HUGE_VAL without a line */
    size_t samples, counted; /* seen so far: of the first `samples`, how many ended */
    double score;            /* sum of what each counts, see cq_lay_worth */
} cq_lay_candidate;

/* The worse face's miss of a row; HUGE_VAL where there is no line or the run failed. */
double cq_lay_miss(const cq_row *row, const cq_lay_wish *wish);

/* What a sample counts: 1 if it meets the wish well, one half at the edge of it, toward 0 beyond, so that a few samples
 * tell layouts apart that a plain count does not; 0 if it fails otherwise. What is told is a plain count. */
double cq_lay_worth(const cq_row *row, const cq_lay_wish *wish, bool tempered);

/* Take a row of the plan as written into what is known of all layouts. */
void cq_lay_note(cq_lay *lay, const cq_layout *layout, const cq_row *row, bool tempered);
/* Why nothing was found, from what is known. */
cq_lay_end cq_lay_reason(const cq_lay *lay);

/* Count a choice's samples. CQ_ERR_MEMORY. */
cq_status cq_lay_count(cq_lay_choice *choice, const cq_row *rows, size_t n, const cq_lay_wish *wish, bool tempered);

#endif
