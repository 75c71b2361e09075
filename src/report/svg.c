/* svg.c - see svg.h. */
#include "report/svg.h"

#include "base/memory.h"

#include <stdbool.h>
#include <stdio.h>
#include <string.h>

enum { MOST = 64, DIGITS = 4 }; /* distinct names; characters a new number may need */

/* Numbers of one kind of name, in order of appearance. */
typedef struct numbers {
    const char *word;
    long seen[MOST];
    size_t n;
} numbers;

/* Place of `number` among those seen, entering it if new; MOST if there are too many. */
static size_t place_of(numbers *kind, long number) {
    size_t at = 0;
    while (at < kind->n && kind->seen[at] != number) {
        at++;
    }
    if (at == kind->n && kind->n < MOST) {
        kind->seen[kind->n++] = number;
    }
    return at;
}

/* Length of a name `"image12"` or `#image12"` at `from`, its number in *number; 0 if there is none. */
static size_t name_at(const unsigned char *from, size_t left, const char *word, long *number) {
    const size_t n = strlen(word);
    if (left < n + 3 || (from[0] != '"' && from[0] != '#') || memcmp(from + 1, word, n) != 0) {
        return 0;
    }
    size_t at = n + 1;
    for (*number = 0; at < left && from[at] >= '0' && from[at] <= '9' && at < n + 10; at++) {
        *number = 10 * *number + (from[at] - '0');
    }
    return at > n + 1 && at < left && (from[at] == '"' || from[at] == ')') ? at : 0;
}

cq_status cq_svg_renumber(unsigned char **bytes, size_t *length) {
    numbers kinds[] = {{.word = "image"}, {.word = "surface"}};
    const unsigned char *from = *bytes;
    size_t names = 0;
    for (size_t n = 0; n < *length; n++) {
        names += from[n] == '#' || from[n] == '"';
    }
    unsigned char *to = cq_memory_grow(NULL, *length + DIGITS * names + 1, 1);
    if (to == NULL) {
        return CQ_ERR_MEMORY;
    }
    size_t out = 0;
    for (size_t n = 0; n < *length;) {
        size_t taken = 0;
        for (size_t k = 0; k < sizeof kinds / sizeof kinds[0] && taken == 0; k++) {
            long number;
            taken = name_at(from + n, *length - n, kinds[k].word, &number);
            if (taken > 0) {
                out +=
                    (size_t)sprintf((char *)to + out, "%c%s%zu", from[n], kinds[k].word, place_of(&kinds[k], number));
            }
        }
        n += taken;
        if (taken == 0) {
            to[out++] = from[n++];
        }
    }
    cq_memory_free(*bytes);
    *bytes = to;
    *length = out;
    return CQ_OK;
}
