/* card_words.h - what a steel's card says in sentences, for the screen, JSON and the headings of its pictures. */
#ifndef CQ_REPORT_CARD_WORDS_H
#define CQ_REPORT_CARD_WORDS_H

#include <clayquench/report.h>

enum { CQ_CARD_SENTENCE = 512 };

/* "normalised", as plans write it. */
const char *cq_stock_words(cq_stock stock);
/* "C 0.84  Si 0.22  Mn 0.75 %": what there is of each element. */
void cq_card_composition_words(const cq_steel_card *card, char to[CQ_CARD_SENTENCE]);
/* "800 °C, 5 min, normalised" */
void cq_card_soak_words(const cq_steel_card *card, cq_unit_system units, char to[CQ_CARD_SENTENCE]);
/* "yes", "faint or none", "no": first word of the answer. */
const char *cq_card_line_word(const cq_steel_card *card);
/* Will it show a line, and in what thickness? */
void cq_card_line_words(const cq_steel_card *card, cq_unit_system units, char to[CQ_CARD_SENTENCE]);
/* What ten degrees more or less of soak do. */
void cq_card_effect_words(const cq_steel_card *card, cq_unit_system units, char to[CQ_CARD_SENTENCE]);

/* Quantities in the reader's units. */
double cq_card_degrees(double kelvin, cq_unit_system units);
double cq_card_rate(double K_s, cq_unit_system units);
const char *cq_card_degree_sign(cq_unit_system units);
/* "17.7 mm", "0.697 in". */
void cq_card_length_words(double metres, cq_unit_system units, char to[32]);

#endif
