/* page.c - what both media of a page share: whose turn it is, and a user's words made harmless. */
#include "report/page.h"

#include <string.h>

/* ---- words of a user --------------------------------------------------------------------------------------------- */

/* Length of the UTF-8 character at `at`; 0 if it is none (overlong, a surrogate, beyond U+10FFFF, cut short). */
static size_t character_at(const unsigned char *at) {
    if (at[0] < 0x80) {
        return 1;
    }
    const size_t n = at[0] >= 0xf0 && at[0] < 0xf5   ? 4
                     : at[0] >= 0xe0 && at[0] < 0xf0 ? 3
                     : at[0] >= 0xc2 && at[0] < 0xe0 ? 2
                                                     : 0;
    for (size_t i = 1; i < n; i++) {
        if ((at[i] & 0xc0) != 0x80) {
            return 0;
        }
    }
    if ((at[0] == 0xe0 && at[1] < 0xa0) || (at[0] == 0xed && at[1] > 0x9f) || (at[0] == 0xf0 && at[1] < 0x90) ||
        (at[0] == 0xf4 && at[1] > 0x8f)) {
        return 0;
    }
    return n;
}

/* Controls, and those characters that HTML may not hold or that reorder what stands around them. */
static bool is_control(const unsigned char *at, size_t n) {
    const bool c1 = n == 2 && at[0] == 0xc2 && at[1] < 0xa0;
    const bool reorders =
        n == 3 && at[0] == 0xe2 &&
        ((at[1] == 0x80 && at[2] >= 0xaa && at[2] <= 0xae) || (at[1] == 0x81 && at[2] >= 0xa6 && at[2] <= 0xa9));
    const bool no_character = n == 3 && at[0] == 0xef && at[1] == 0xbf && at[2] >= 0xbe;
    return at[0] < 0x20 || at[0] == 0x7f || c1 || reorders || no_character;
}

void cq_page_plain(cq_text *to, const char *words, bool lines) {
    const unsigned char *at = (const unsigned char *)(words == NULL ? "" : words);
    cq_text_add(to, "%s", CQ_MARK_OWN);
    while (*at != '\0') {
        const size_t n = character_at(at);
        if (n == 0) {
            cq_text_add(to, "\xef\xbf\xbd");
        } else if (is_control(at, n)) {
            cq_text_add(to, "%s", lines && *at == '\n' ? "\n" : lines && *at == '\r' ? "" : " ");
        } else {
            cq_text_add(to, "%.*s", (int)n, (const char *)at);
        }
        at += n == 0 ? 1 : n;
    }
    cq_text_add(to, "%s", CQ_MARK_OWN_END);
}

/* ---- whose turn it is -------------------------------------------------------------------------------------------- */

void cq_page_title(cq_page *page, const char *kicker, const char *title, const char *lead) {
    page->maker->title(page, kicker, title, lead);
}

void cq_page_section(cq_page *page, const char *id, const char *heading) {
    page->maker->section(page, id, heading);
}

void cq_page_text(cq_page *page, const char *text) {
    page->maker->text(page, text);
}

void cq_page_list(cq_page *page, size_t n, const char *const *items, bool warning) {
    page->maker->list(page, n, items, warning);
}

void cq_page_put_table(cq_page *page, const cq_page_table *table) {
    page->maker->table(page, table);
}

void cq_page_put_figure(cq_page *page, const cq_page_figure *figure) {
    page->maker->figure(page, figure);
}

void cq_page_put_gauge(cq_page *page, const cq_page_figure *figure) {
    page->maker->gauge(page, figure);
}

void cq_page_put_film(cq_page *page, const cq_page_film *film) {
    page->maker->film(page, film);
}

void cq_page_terms(cq_page *page, size_t n, const char *const (*terms)[2]) {
    page->maker->terms(page, n, terms);
}

void cq_page_listing(cq_page *page, const char *summary, const char *text) {
    page->maker->listing(page, summary, text);
}

void cq_page_put_plan(cq_page *page, const cq_page_plan *plan) {
    page->maker->plan(page, plan);
}

void cq_page_put_file(cq_page *page, const char *name, const char *text) {
    page->maker->file(page, name, text);
}

void cq_page_question(cq_page *page, const char *question, const char *answer) {
    page->maker->question(page, question, answer);
}

void cq_page_paper(cq_page *page, const char *id, const char *heading) {
    page->maker->paper(page, id, heading);
}

cq_status cq_page_make(const cq_page_wish *wish, void (*write)(cq_page *page, void *context), void *context,
                       unsigned char **bytes, size_t *length, cq_page_gaps *gaps) {
    gaps->characters = 0;
    return wish->medium == CQ_PAGE_HTML ? cq_page_make_html(wish, write, context, bytes, length)
                                        : cq_page_make_pdf(wish, write, context, bytes, length, gaps);
}
