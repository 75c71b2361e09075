/* sheet.h - tables as text: lines of cells, with the place of each. */
#ifndef CQ_IO_SHEET_H
#define CQ_IO_SHEET_H

#include "io/reader.h"

enum { CQ_SHEET_COLUMNS = 32 };

typedef struct cq_sheet {
    const cq_source *source;
    const char *at; /* where the next line begins */
    int line;
    char separator;
    size_t n;
    const char *cell[CQ_SHEET_COLUMNS]; /* without blanks and quotes around them, in the arena */
    int column[CQ_SHEET_COLUMNS];       /* where each begins, in characters from 1 */
} cq_sheet;

/* The first line that is no remark gives the separator: the one of tab, semicolon, comma that it has. */
void cq_sheet_begin(cq_sheet *sheet, const cq_source *source);
/* Next line that is neither empty nor a remark; false at the end or when memory is short. */
bool cq_sheet_next(cq_sheet *sheet, cq_arena *arena);
/* A complaint at a cell; past the last: at the line. */
void cq_sheet_complain(const cq_sheet *sheet, size_t cell, cq_error *error, const char *key, const char *expected,
                       const char *remedy, const char *found_format, ...) __attribute__((format(printf, 7, 8)));

#endif
