/* lesson_telling.h - what the sections of the lesson share: the runs, their numbers, plans to try, questions.
 *
 * Numbers come from the JSON of the lesson's runs: {"knife": [run, ...], "plate": [...], ...}, each run as summary.json
 * has it, with "fall_s" beside it.
 */
#ifndef CQ_REPORT_LESSON_TELLING_H
#define CQ_REPORT_LESSON_TELLING_H

#include "report/lesson_figures.h"
#include "report/lesson_words.h"
#include "report/result_numbers.h"

typedef struct cq_teaching {
    cq_telling telling;
    const cq_lesson *lesson;
    const char *answers[CQ_LESSON_QUESTIONS];
    size_t answers_n;
    bool plan_told[CQ_LESSON_PARTS]; /* its text has stood */
} cq_teaching;

void cq_lesson_say(cq_page *page, const char *text);
const cq_result *cq_lesson_result(const cq_teaching *t, cq_lesson_part part, size_t n);
/* The plan as its file has it: what --vary added stands behind it as comments. */
const char *cq_lesson_plain_plan(cq_teaching *t, cq_lesson_part part);
/* What to type for a part, or `command` with its plan; the plan is told once. */
void cq_lesson_try(cq_page *page, cq_teaching *t, cq_lesson_part part, const char *command);
void cq_lesson_plan(cq_page *page, cq_teaching *t, cq_lesson_part part);
/* A question with its answer, which is kept for paper. Releases `answer`. */
void cq_lesson_ask(cq_page *page, cq_teaching *t, const char *question, cq_text *answer);
void cq_lesson_chart(cq_page *page, const cq_teaching *t, cq_page_draw *draw, const char *alt, const char *caption);
/* "64.8 HRC (826 HV)" of a place of a run; a number of the JSON. */
const char *cq_lesson_hardness(cq_teaching *t, const char *place);
const char *cq_lesson_number(cq_teaching *t, cq_shown_as how, const char *key);
/* "plate.1.fall_s" */
const char *cq_lesson_key(cq_teaching *t, cq_lesson_part part, size_t n, const char *key);

/* lesson_water.c: 1 to 4, clay and water. lesson_steel.c: 5 to 7, what the steel does. */
void cq_lesson_tell_water(cq_page *page, cq_teaching *t);
void cq_lesson_tell_steel(cq_page *page, cq_teaching *t);

#endif
