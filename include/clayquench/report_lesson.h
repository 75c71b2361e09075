/* report_lesson.h - a lesson on clay as one page: charts of its own runs, questions, the plans to try. */
#ifndef CLAYQUENCH_REPORT_LESSON_H
#define CLAYQUENCH_REPORT_LESSON_H

#include <clayquench/lesson.h>
#include <clayquench/report_page.h>

/* A lesson in which every part has its runs. *bytes is released with cq_text_free. The same runs give the same bytes.
 */
cq_status cq_lesson_page(const cq_lesson *lesson, cq_page_medium medium, cq_paper paper, unsigned char **bytes,
                         size_t *length, cq_page_gaps *gaps, cq_error *error);

#endif
