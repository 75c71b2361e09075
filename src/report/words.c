/* words.c - see words.h. */
#include "report/words.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

/* Columns of a text: characters, not bytes. */
static size_t width_of(const char *text, size_t bytes) {
    size_t columns = 0;
    for (size_t n = 0; n < bytes; n++) {
        columns += ((unsigned char)text[n] & 0xc0) != 0x80;
    }
    return columns;
}

void cq_paragraph_add(cq_text *t, size_t columns_most, const char *first, const char *format, ...) {
    char text[1024];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(text, sizeof text, format, arguments);
    va_end(arguments);
    const int indent = (int)width_of(first, strlen(first));
    size_t column = (size_t)indent;
    cq_text_add(t, "%s", first);
    for (const char *word = text; *word != '\0';) {
        const size_t blanks = word == text ? 0 : strspn(word, " "), bytes = strcspn(word + blanks, " ");
        const size_t columns = width_of(word + blanks, bytes);
        if (bytes == 0) {
            break;
        }
        if (column + blanks + columns > columns_most && column > (size_t)indent) {
            cq_text_add(t, "\n%*s%.*s", indent, "", (int)bytes, word + blanks);
            column = (size_t)indent + columns;
        } else {
            cq_text_add(t, "%.*s", (int)(blanks + bytes), word);
            column += blanks + columns;
        }
        word += blanks + bytes;
    }
    cq_text_add(t, "\n");
}
