/* lesson_words.h - the glossary of the lesson. */
#ifndef CQ_REPORT_LESSON_WORDS_H
#define CQ_REPORT_LESSON_WORDS_H

#include <stddef.h>

enum { CQ_LESSON_QUESTIONS = 16 }; /* room for questions on the page */

/* Trade word, with the Japanese one once beside it, and what it means. */
extern const char *const cq_lesson_terms[][2];
extern const size_t cq_lesson_terms_n;

#endif
