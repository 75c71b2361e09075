/* screen_notes.h - notices and cautions below an answer, in as many words as a screen has room for. */
#ifndef CQ_REPORT_SCREEN_NOTES_H
#define CQ_REPORT_SCREEN_NOTES_H

#include "report/words.h"

#include <clayquench/quench.h>

/* How much is left out; everything stands in JSON all the same. */
typedef struct cq_notes_wish {
    bool fold_routine;     /* notices of what happens in most runs share a line */
    size_t cautions_whole; /* of the gravest; the others get a few words each */
    size_t told;           /* of the other notices, how many in full; the rest join the folded */
} cq_notes_wish;

/* Notices that are not routine. */
size_t cq_notes_news(const cq_result *r);

void cq_notes_add(cq_text *t, const cq_result *r, const cq_notes_wish *wish);

#endif
