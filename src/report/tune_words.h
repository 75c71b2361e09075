/* tune_words.h - what a tuning's screen and JSON both say. */
#ifndef CQ_REPORT_TUNE_WORDS_H
#define CQ_REPORT_TUNE_WORDS_H

#include <clayquench/report_tune.h>

enum { CQ_TUNE_SENTENCE = 320, CQ_TUNE_SENTENCES = 24 };

/* Sentences, gravest first: contradictions, what cannot be told, what was left out, what was held. Returns how many. */
size_t cq_tune_sentences(const cq_tuning *tuning, char to[CQ_TUNE_SENTENCES][CQ_TUNE_SENTENCE]);

/* A value of an item in the reader's units: "0.9 mm", "62 HRC", "3.1 s". Returns `to`. */
char *cq_tune_value(const cq_evidence_item *item, double value, cq_unit_system units, char to[32]);

/* What the log's answer has to be told about it. Returns how many. */
size_t cq_log_sentences(const cq_inverse *inverse, char to[CQ_TUNE_SENTENCES][CQ_TUNE_SENTENCE]);

#endif
