/* fold_words.h - what a folded bar's screen and JSON both say. */
#ifndef CQ_REPORT_FOLD_WORDS_H
#define CQ_REPORT_FOLD_WORDS_H

#include <clayquench/report_fold.h>

enum { CQ_FOLD_SENTENCE = 400 };

/* Is the bar even now, and since which weld? */
void cq_fold_sentence(const cq_fold_card *card, char to[CQ_FOLD_SENTENCE]);

#endif
