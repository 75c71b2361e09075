/* lay_words.h - sentences of a layout's answer that screen and JSON share. */
#ifndef CQ_REPORT_LAY_WORDS_H
#define CQ_REPORT_LAY_WORDS_H

#include <clayquench/report_lay.h>

enum { CQ_LAY_SENTENCE = 600 };

/* "5.25 mm", "13/64 in (0.203 in)": a length the smith measures. */
enum { CQ_LAY_LENGTH = 48 };
char *cq_lay_length(double m, cq_unit_system units, char to[CQ_LAY_LENGTH]);

/* "8.2 mm", "0.323 in": a height that was computed. */
char *cq_lay_place(double m, cq_unit_system units, char to[CQ_LAY_LENGTH]);
/* "697 HV (60.0 HRC)" */
const char *cq_lay_hardness(double HV, char to[48]);

/* A layout on one line: "wash 0.05 mm, rim 5.25 mm, ramp 2 mm wide, body 2 mm". */
char *cq_lay_layout(const cq_layout *layout, cq_unit_system units, char to[CQ_LAYOUT_WORDS]);

/* "through", ...: the end as a code, and why in a sentence. */
const char *cq_lay_end_code(cq_lay_end end);
char *cq_lay_reason_words(const cq_lay_told *told, cq_unit_system units, char to[CQ_LAY_SENTENCE]);

#endif
