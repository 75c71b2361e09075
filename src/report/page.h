/* page.h - the skeleton of a report: one page written once, as self-contained HTML or as PDF.
 *
 * Whoever has something to tell writes headings, paragraphs, tables, figures, films and terms in reading order; the
 * page gives them one look in both media. Figures are drawn by one function into either. Text is plain UTF-8 and never
 * read as markup; what a number is and where user's words stand is said with the marks below. Failures (memory) are
 * kept by the page and told at the end, so that writers need not look.
 */
#ifndef CQ_REPORT_PAGE_H
#define CQ_REPORT_PAGE_H

#include "io/result.h"
#include "report/canvas.h"

#include <clayquench/report_page.h>

typedef struct cq_page cq_page;

/* Marks within a text. They are control characters, which cq_page_plain takes out of words that come from a user. */
#define CQ_MARK_NUMBER "\x01" /* key | how | value, then CQ_MARK_SHOWN, the words, CQ_MARK_END */
#define CQ_MARK_SHOWN "\x02"
#define CQ_MARK_END "\x03"
#define CQ_MARK_STRONG "\x04"
#define CQ_MARK_WEAK "\x05"
#define CQ_MARK_OWN "\x06" /* words of the user's own, in whatever script and direction */
#define CQ_MARK_OWN_END "\x07"

/* A user's words between CQ_MARK_OWN and its end: control characters become blanks, what is no UTF-8 becomes U+FFFD,
 * line ends stay if `lines`. */
void cq_page_plain(cq_text *to, const char *words, bool lines);

/* A figure: `draw` fills a box of width x height points from (0, 0). `alt` says in words what it shows. */
typedef cq_status cq_page_draw(cq_canvas *canvas, const void *context);
typedef struct cq_page_figure {
    double width, height;
    cq_page_draw *draw;
    const void *context;
    const char *alt, *caption;
    bool half; /* may stand beside the next one */
} cq_page_figure;

/* A film: frames of one size. `draw` gets the frame's number through cq_page_frame. Key frames stand in print and where
 * no scripts run. */
typedef struct cq_page_frame {
    const void *context;
    size_t number;
} cq_page_frame;
typedef struct cq_page_film {
    double width, height;
    cq_page_draw *draw; /* its context is a cq_page_frame */
    const void *context;
    size_t n;
    const char *const *alt, *const *caption; /* one per frame */
    const bool *key;
    const char *name; /* what the film is of, for its controls */
} cq_page_film;

/* A table: `cells` row by row. The first column heads its row. blank: cells are lines to write on. */
typedef struct cq_page_table {
    const char *caption;
    size_t columns, rows;
    const char *const *heads;
    const char *const *cells;
    const double *widths; /* shares of the columns, NULL: equal */
    bool numbers;         /* all but the first column are set to the right */
    bool blank;
} cq_page_table;

/* A plan to try: its name, what to type, and its text to unfold and to save; text NULL: it stands further up. */
typedef struct cq_page_plan {
    const char *name, *command, *text;
} cq_page_plan;

void cq_page_title(cq_page *page, const char *kicker, const char *title, const char *lead);
void cq_page_section(cq_page *page, const char *id, const char *heading); /* ends the one before */
void cq_page_text(cq_page *page, const char *text);
void cq_page_list(cq_page *page, size_t n, const char *const *items, bool warning);
void cq_page_put_table(cq_page *page, const cq_page_table *table);
void cq_page_put_figure(cq_page *page, const cq_page_figure *figure);
/* A figure whose points are points on paper, to measure by. */
void cq_page_put_gauge(cq_page *page, const cq_page_figure *figure);
void cq_page_put_film(cq_page *page, const cq_page_film *film);
void cq_page_terms(cq_page *page, size_t n, const char *const (*terms)[2]);
void cq_page_listing(cq_page *page, const char *summary, const char *text); /* as it was written, every blank kept */
/* A file to save: its name and text, open on screen and on paper. */
void cq_page_put_file(cq_page *page, const char *name, const char *text);
void cq_page_put_plan(cq_page *page, const cq_page_plan *plan);
/* A question, its answer folded away. On paper the answer stands where the writer puts it again: */
void cq_page_question(cq_page *page, const char *question, const char *answer);
/* A section that only paper has; lists and listings in it are whole. */
void cq_page_paper(cq_page *page, const char *id, const char *heading);

/* At the foot of a page of more than one quench. */
#define CQ_PAGE_FOOT "Estimates, not clearances. Local codes and licensed practice come first. clayquench " CQ_VERSION

/* What a page is. */
typedef struct cq_page_wish {
    cq_page_medium medium;
    cq_paper paper;
    const char *title, *description; /* plain, of the file */
    const char *foot;                /* at the foot of every page */
} cq_page_wish;

/* Make a page of what `write` writes; it may be called twice and must write the same. *bytes: cq_text_free. */
cq_status cq_page_make(const cq_page_wish *wish, void (*write)(cq_page *page, void *context), void *context,
                       unsigned char **bytes, size_t *length, cq_page_gaps *gaps);

/* ---- inside: what a medium does ---- */

typedef struct cq_page_maker {
    void (*title)(cq_page *, const char *, const char *, const char *);
    void (*section)(cq_page *, const char *, const char *);
    void (*text)(cq_page *, const char *);
    void (*list)(cq_page *, size_t, const char *const *, bool);
    void (*table)(cq_page *, const cq_page_table *);
    void (*figure)(cq_page *, const cq_page_figure *);
    void (*gauge)(cq_page *, const cq_page_figure *);
    void (*film)(cq_page *, const cq_page_film *);
    void (*terms)(cq_page *, size_t, const char *const (*)[2]);
    void (*listing)(cq_page *, const char *, const char *);
    void (*plan)(cq_page *, const cq_page_plan *);
    void (*file)(cq_page *, const char *, const char *);
    void (*question)(cq_page *, const char *, const char *);
    void (*paper)(cq_page *, const char *, const char *);
} cq_page_maker;

/* The first member of what a medium keeps of its page. */
struct cq_page {
    const cq_page_maker *maker;
    const cq_page_wish *wish;
    bool failed;
};

cq_status cq_page_make_html(const cq_page_wish *wish, void (*write)(cq_page *, void *), void *context,
                            unsigned char **bytes, size_t *length);
cq_status cq_page_make_pdf(const cq_page_wish *wish, void (*write)(cq_page *, void *), void *context,
                           unsigned char **bytes, size_t *length, cq_page_gaps *gaps);
/* page_style.c: the style sheet (with the paper of `wish` for print) and the script of films. */
void cq_page_style(cq_text *to, const cq_page_wish *wish);
void cq_page_script(cq_text *to);

#endif
