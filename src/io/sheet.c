/* sheet.c - see sheet.h. */
#include "io/sheet.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

void cq_sheet_begin(cq_sheet *s, const cq_source *source) {
    const char *text = source->text;
    if (strncmp(text, "\xef\xbb\xbf", 3) == 0) { /* a mark some programs put first */
        text += 3;
    }
    *s = (cq_sheet){.source = source, .at = text, .separator = ','};
    const char *line = text;
    while (*line == '#' || *line == '\n' || *line == '\r') {
        line += strcspn(line, "\n");
        line += *line == '\n';
    }
    const size_t length = strcspn(line, "\n");
    for (const char *c = "\t;,"; *c != '\0'; c++) {
        if (memchr(line, *c, length) != NULL) {
            s->separator = *c;
            return;
        }
    }
}

static bool is_blank(char c) {
    return c == ' ' || c == '\r' || c == '\t';
}

/* Characters, not bytes. */
static int characters(const char *from, const char *to) {
    int n = 0;
    for (; from < to; from++) {
        n += ((unsigned char)*from & 0xc0) != 0x80;
    }
    return n;
}

static bool take_cells(cq_sheet *s, const char *line, const char *end, cq_arena *arena) {
    s->n = 0;
    for (const char *from = line; from <= end && s->n < CQ_SHEET_COLUMNS;) {
        const char *to = from;
        bool quoted = false;
        for (; to < end && (quoted || *to != s->separator); to++) {
            quoted = *to == '"' ? !quoted : quoted;
        }
        const char *first = from, *last = to;
        while (first < last && is_blank(*first)) {
            first++;
        }
        while (last > first && is_blank(last[-1])) {
            last--;
        }
        s->column[s->n] = 1 + characters(line, first);
        if (last - first >= 2 && *first == '"' && last[-1] == '"') {
            first++;
            last--;
        }
        s->cell[s->n] = cq_arena_text(arena, first, (size_t)(last - first));
        if (s->cell[s->n++] == NULL) {
            return false;
        }
        from = to + 1;
    }
    return true;
}

bool cq_sheet_next(cq_sheet *s, cq_arena *arena) {
    while (*s->at != '\0') {
        const char *line = s->at, *end = line + strcspn(line, "\n");
        s->at = *end == '\n' ? end + 1 : end;
        s->line++;
        const char *first = line;
        while (first < end && (is_blank(*first) || *first == s->separator)) {
            first++;
        }
        if (first < end && *line != '#') {
            return take_cells(s, line, end, arena);
        }
    }
    s->n = 0;
    return false;
}

void cq_sheet_complain(const cq_sheet *s, size_t cell, cq_error *error, const char *key, const char *expected,
                       const char *remedy, const char *found_format, ...) {
    char found[192];
    va_list arguments;
    va_start(arguments, found_format);
    vsnprintf(found, sizeof found, found_format, arguments);
    va_end(arguments);
    const cq_node at = {.kind = CQ_NODE_TEXT,
                        .source = s->source,
                        .line = s->line,
                        .text = "",
                        .column = cell < s->n ? s->column[cell] : 1};
    cq_node_complain(error, CQ_ERR_PLAN, &at, key, expected, remedy, "%s", found);
}
