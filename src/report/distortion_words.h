/* distortion_words.h - curve and crack class in the trade's words. */
#ifndef CQ_REPORT_DISTORTION_WORDS_H
#define CQ_REPORT_DISTORTION_WORDS_H

#include "report/words.h"

#include <clayquench/report.h>

/* "toward the spine", "toward the edge", "straight": of a curvature, + toward the spine. */
const char *cq_curve_direction(double curvature_1_m);

/* Why the class is what it is, always with the words that it is an estimate. */
enum { CQ_CRACK_WORDS = 320 };
void cq_crack_reason(const cq_crack_answer *answer, char to[CQ_CRACK_WORDS]);

/* The lines about curve and crack within the screen; none where nothing is known. brief: one line for both. */
void cq_distortion_add(cq_text *text, const cq_result *result, cq_unit_system units, bool brief);

#endif
