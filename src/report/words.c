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

/* Bytes up to the next blank a line may break at: not between a number and its % or degree sign. */
static size_t unbroken(const char *word) {
    static const char *const clings[] = {"%", "°"};
    size_t bytes = strcspn(word, " ");
    for (bool more = true; more && word[bytes] == ' ';) {
        more = false;
        for (int n = 0; n < 2; n++) {
            if (strncmp(word + bytes + 1, clings[n], strlen(clings[n])) == 0) {
                bytes += 1 + strcspn(word + bytes + 1, " ");
                more = true;
                break;
            }
        }
    }
    return bytes;
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
        const size_t blanks = word == text ? 0 : strspn(word, " "), bytes = unbroken(word + blanks);
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

void cq_line_add(cq_text *t, size_t columns_most, const char *words) {
    size_t bytes = strlen(words);
    const bool cut = width_of(words, bytes) > columns_most;
    while (cut && (((unsigned char)words[bytes] & 0xc0) == 0x80 || width_of(words, bytes) + 3 > columns_most)) {
        bytes--; /* whole characters only */
    }
    cq_text_add(t, "%.*s%s\n", (int)bytes, words, cut ? "..." : "");
}

size_t cq_text_lines(const cq_text *t) {
    size_t lines = 0;
    for (size_t n = 0; n < t->length; n++) {
        lines += t->bytes[n] == '\n';
    }
    return lines;
}
