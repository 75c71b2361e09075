/* distortion_words.h - curve and crack class in the trade's words. */
#ifndef CQ_REPORT_DISTORTION_WORDS_H
#define CQ_REPORT_DISTORTION_WORDS_H

#include "report/words.h"

#include <clayquench/report.h>

/* "toward the spine", "toward the edge", "straight" (less than 0.05 mm, or than 0.1 mm on 700 mm): as quenched. */
const char *cq_curve_direction(const cq_result *result);

/* Why the class is what it is, always with the words that it is an estimate. */
enum { CQ_CRACK_WORDS = 448 };
void cq_crack_reason(const cq_crack_answer *answer, char to[CQ_CRACK_WORDS]);

/* How much of curve, crack, tempers and wear is told; a size never without its range. */
typedef enum cq_telling_size {
    CQ_TELL_ALL,
    CQ_TELL_SNUG,   /* of the crack when and why its class began, not when it was worst */
    CQ_TELL_ENOUGH, /* and wear only where the plan asks for it */
    CQ_TELL_BRIEF,  /* curve and crack in one paragraph */
    CQ_TELL_SHORT,  /* without the tempers; of the crack when and why its class began */
    CQ_TELL_LEAST   /* in one line */
} cq_telling_size;
/* The lines about them within the screen; none where nothing is known. */
void cq_distortion_add(cq_text *text, const cq_result *result, cq_unit_system units, cq_telling_size size);

#endif
