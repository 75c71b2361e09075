/* paper.c - what the commands that write a page share: paper, kind of file, characters no font has. */
#include "cli/cli.h"

#include <stdio.h>
#include <string.h>

bool cq_ends_in(const char *name, const char *ending) {
    const size_t n = strlen(name), e = strlen(ending);
    return n > e && strcmp(name + n - e, ending) == 0;
}

static bool refuse(const char *command, const char *what, const char *word, const char *expected) {
    fprintf(stderr, "clayquench %s: error: %s '%s'; expected %s\n", command, what, word, expected);
    return false;
}

bool cq_paper_wanted(const char *command, const char *word, cq_paper *paper) {
    const bool letter = word != NULL && strcmp(word, "letter") == 0;
    *paper = letter ? CQ_PAPER_LETTER : CQ_PAPER_A4;
    return letter || word == NULL || strcmp(word, "a4") == 0 || refuse(command, "unknown paper", word, "a4 or letter");
}

bool cq_medium_wanted(const char *command, const char *name, cq_page_medium *medium) {
    *medium = cq_ends_in(name, ".pdf") ? CQ_PAGE_PDF : CQ_PAGE_HTML;
    return *medium == CQ_PAGE_PDF || cq_ends_in(name, ".html") ||
           refuse(command, "cannot tell what to write from", name, "a name that ends in .html or .pdf");
}

/* Characters that stand as boxes. */
static void tell_gaps(const cq_page_gaps *gaps) {
    if (gaps->characters > 0) {
        fprintf(stderr,
                "clayquench: note: %zu characters stand as boxes: no installed font has them; install one that does "
                "(for Japanese for instance fonts-noto-cjk), or take FILE.html\n",
                gaps->characters);
    }
}

cq_status cq_page_keep(cq_status status, const char *to, unsigned char *bytes, size_t length, const cq_page_gaps *gaps,
                       cq_error *error) {
    status = status < 0 ? status : cq_file_write(to, bytes, length, error);
    cq_text_free((char *)bytes);
    if (status >= 0) {
        tell_gaps(gaps);
        printf("Written to %s.\n", to);
    }
    return status;
}
