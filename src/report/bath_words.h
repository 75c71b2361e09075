/* bath_words.h - what a bath's card comes to in one sentence. */
#ifndef CQ_REPORT_BATH_WORDS_H
#define CQ_REPORT_BATH_WORDS_H

#include <clayquench/report_bath.h>

enum { CQ_BATH_SENTENCE = 512 };

/* The clay whose best thickness gains most over bare steel; NULL if none gains. */
const cq_card_clay *cq_bath_best_clay(const cq_bath_card *card);

/* Does thin clay speed the quench here, by how much, why, and until where? */
void cq_bath_sentence(const cq_bath_card *card, cq_unit_system units, char to[CQ_BATH_SENTENCE]);

#endif
