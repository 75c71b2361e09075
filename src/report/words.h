/* words.h - paragraphs of a screen. */
#ifndef CQ_REPORT_WORDS_H
#define CQ_REPORT_WORDS_H

#include "io/result.h"

enum { CQ_SCREEN_COLUMNS = 80, CQ_SCREEN_LINES = 24 };

/* Lines of a text. */
size_t cq_text_lines(const cq_text *text);

/* A paragraph broken between words at `columns_most`; `first` stands before its first line, as many blanks before the
 * others. */
void cq_paragraph_add(cq_text *text, size_t columns_most, const char *first, const char *format, ...)
    __attribute__((format(printf, 4, 5)));

/* One line, cut with "..." where it is longer than `columns_most`. */
void cq_line_add(cq_text *text, size_t columns_most, const char *words);

#endif
