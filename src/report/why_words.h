/* why_words.h - what was seen and what was changed, in words that screen and JSON share. */
#ifndef CQ_REPORT_WHY_WORDS_H
#define CQ_REPORT_WHY_WORDS_H

#include <clayquench/report_why.h>

enum { CQ_WHY_TEXT = 160 };

/* "a line at 5 mm", "a crack at 3 s", "a line that fades at the tip". */
char *cq_why_seen(const cq_seen *seen, cq_unit_system units, char to[CQ_WHY_TEXT]);
/* "824 °C in place of 800 °C"; of an own change its words. */
char *cq_why_change_words(const cq_why_change *change, cq_unit_system units, char to[CQ_WHY_TEXT]);
/* What came of it, as far as it bears on what was seen: "line 9.4 mm", "no hard edge", "crack high at 3 s". */
char *cq_why_outcome(const cq_row *row, const cq_seen *seen, cq_unit_system units, char to[CQ_WHY_TEXT]);
/* "well", "in part", "hardly". */
const char *cq_why_agreement(double likelihood);
/* What no run of this kind can tell of what was seen. */
const char *cq_why_untold(const cq_seen *seen);

#endif
