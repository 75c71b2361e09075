/* page_html.c - a page as one HTML file that needs nothing beside it: style sheet, pictures and script are in it. */
#include "report/page.h"

#include "base/memory.h"

#include <stdio.h>
#include <string.h>

enum { WIDE = 600 }; /* points */

typedef struct html_page {
    cq_page page;
    cq_text text;  /* the body of main so far */
    cq_text links; /* to its sections */
    size_t pictures, films;
    bool in_section, in_pair, on_paper; /* on_paper: of a section that only paper has */
} html_page;

static html_page *of(cq_page *page) {
    return (html_page *)page;
}

/* ---- text -------------------------------------------------------------------------------------------------------- */

/* `n` bytes, escaped for text and for attributes in double quotes. */
static void add_escaped(cq_text *t, const char *bytes, size_t n) {
    for (size_t at = 0; at < n;) {
        size_t plain = 0;
        while (at + plain < n && strchr("&<>\"'", bytes[at + plain]) == NULL) {
            plain++;
        }
        cq_text_add(t, "%.*s", (int)plain, bytes + at);
        at += plain;
        if (at < n) {
            const char c = bytes[at++];
            cq_text_add(t, "%s",
                        c == '&'   ? "&amp;"
                        : c == '<' ? "&lt;"
                        : c == '>' ? "&gt;"
                        : c == '"' ? "&quot;"
                                   : "&#39;");
        }
    }
}

/* "key|how|value" into attributes. */
static void add_number(cq_text *t, const char *mark, size_t n) {
    const char *how = memchr(mark, '|', n),
               *value = how == NULL ? NULL : memchr(how + 1, '|', n - (size_t)(how + 1 - mark));
    if (value == NULL) {
        return;
    }
    cq_text_add(t, "<data value=\"");
    add_escaped(t, value + 1, n - (size_t)(value + 1 - mark));
    cq_text_add(t, "\" data-key=\"");
    add_escaped(t, mark, (size_t)(how - mark));
    cq_text_add(t, "\" data-as=\"");
    add_escaped(t, how + 1, (size_t)(value - how - 1));
    cq_text_add(t, "\">");
}

/* A text with marks. */
static void add_rich(cq_text *t, const char *text) {
    for (const char *at = text; *at != '\0';) {
        const size_t plain = strcspn(at, "\x01\x03\x04\x05\x06\x07");
        add_escaped(t, at, plain);
        at += plain;
        if (*at == CQ_MARK_NUMBER[0]) {
            const size_t n = strcspn(at + 1, CQ_MARK_SHOWN);
            add_number(t, at + 1, n);
            at += 1 + n;
        } else if (*at != '\0') {
            cq_text_add(t, "%s",
                        *at == CQ_MARK_END[0]      ? "</data>"
                        : *at == CQ_MARK_STRONG[0] ? "<strong>"
                        : *at == CQ_MARK_WEAK[0]   ? "</strong>"
                        : *at == CQ_MARK_OWN[0]    ? "<bdi>"
                                                   : "</bdi>");
        }
        at += *at == '\0' ? 0 : 1;
    }
}

/* The same where no element may stand: in an attribute or in <title>. */
static void add_bare(cq_text *t, const char *text) {
    for (const char *at = text; *at != '\0';) {
        const size_t plain = strcspn(at, "\x01\x02\x03\x04\x05\x06\x07");
        add_escaped(t, at, plain);
        at += plain;
        at += *at == CQ_MARK_NUMBER[0] ? strcspn(at, CQ_MARK_SHOWN) : 0;
        at += *at == '\0' ? 0 : 1;
    }
}

/* ---- pictures ---------------------------------------------------------------------------------------------------- */

/* Names in an SVG are its own; several in one page would be one another's. Each gets the number of its picture. */
static void add_svg(html_page *h, const cq_page_figure *f, const char *svg, size_t length) {
    static const char *const before[] = {" id=\"", "href=\"#", "url(#"};
    cq_text *t = &h->text;
    const char *at = memchr(svg, '\n', length); /* behind <?xml ...?> */
    const char *tag = at == NULL ? NULL : strstr(at, "<svg");
    const char *box = tag == NULL ? NULL : strstr(tag, "viewBox=");
    if (box == NULL) {
        h->page.failed = true;
        return;
    }
    cq_text_add(t,
                "<svg xmlns=\"http://www.w3.org/2000/svg\" xmlns:xlink=\"http://www.w3.org/1999/xlink\" role=\"img\" "
                "aria-labelledby=\"p%zu-alt\" %.*s>\n<title id=\"p%zu-alt\">",
                h->pictures, (int)strcspn(box, ">"), box, h->pictures);
    add_bare(t, f->alt);
    cq_text_add(t, "</title>");
    at = strchr(box, '>') + 1;
    const char *next[3] = {at, at, at}; /* where each of `before` stands next; behind it: look again */
    size_t keep[3];
    for (size_t n = 0; n < 3; n++) {
        keep[n] = strlen(before[n]);
        next[n] = strstr(at, before[n]);
    }
    for (;;) {
        size_t first = 0;
        for (size_t n = 1; n < 3; n++) {
            first = next[n] != NULL && (next[first] == NULL || next[n] < next[first]) ? n : first;
        }
        if (next[first] == NULL) {
            break;
        }
        const char *stop = next[first] + keep[first];
        cq_text_add(t, "%.*sp%zu-", (int)(stop - at), at, h->pictures);
        at = stop;
        next[first] = strstr(at, before[first]);
    }
    cq_text_add(t, "%s", at);
}

static void add_base64(cq_text *t, const unsigned char *bytes, size_t n) {
    static const char digits[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    char line[77];
    size_t at = 0;
    for (size_t i = 0; i < n; i += 3) {
        const unsigned a = bytes[i], b = i + 1 < n ? bytes[i + 1] : 0, c = i + 2 < n ? bytes[i + 2] : 0;
        const unsigned long group = (unsigned long)a << 16 | b << 8 | c;
        line[at++] = digits[group >> 18 & 63];
        line[at++] = digits[group >> 12 & 63];
        line[at++] = i + 1 < n ? digits[group >> 6 & 63] : '=';
        line[at++] = i + 2 < n ? digits[group & 63] : '=';
        if (at == 76 || i + 3 >= n) {
            line[at] = '\0';
            cq_text_add(t, "%s", line);
            at = 0;
        }
    }
}

static bool draw(html_page *h, cq_page_draw *draw_it, const void *context, double width, double height,
                 cq_picture_format format, unsigned char **bytes, size_t *length) {
    cq_canvas canvas;
    if (cq_canvas_open(&canvas, format, width, height) != CQ_OK) {
        h->page.failed = true;
        return false;
    }
    const bool drawn = draw_it(&canvas, context) >= 0;
    canvas.failed = canvas.failed || !drawn;
    const bool done = cq_canvas_close(&canvas, bytes, length) == CQ_OK;
    h->page.failed = h->page.failed || !done;
    return done;
}

/* Halves stand in pairs. */
static void end_pair(html_page *h) {
    if (h->in_pair) {
        cq_text_add(&h->text, "</div>\n");
        h->in_pair = false;
    }
}

/* The figure as SVG, ended as a text; NULL when memory is short. */
static char *draw_svg(html_page *h, const cq_page_figure *f, size_t *length) {
    unsigned char *bytes = NULL;
    if (!draw(h, f->draw, f->context, f->width, f->height, CQ_FORMAT_SVG, &bytes, length)) {
        return NULL;
    }
    unsigned char *ended = cq_memory_grow(bytes, *length + 1, 1);
    if (ended == NULL) {
        cq_memory_free(bytes);
        h->page.failed = true;
        return NULL;
    }
    ended[*length] = '\0';
    h->pictures++;
    return (char *)ended;
}

/* In a box that scrolls on a phone, where its words or measures would be too small otherwise. `attributes`: of the box.
 */
static void add_scrolling(html_page *h, const cq_page_figure *f, const char *svg, size_t length, const char *name,
                          const char *attributes) {
    cq_text_add(&h->text, "<figure class=\"%s\">\n<div class=\"table\" role=\"region\" tabindex=\"0\"%s aria-label=\"",
                name, attributes);
    add_bare(&h->text, f->caption);
    cq_text_add(&h->text, "\">\n");
    add_svg(h, f, svg, length);
    cq_text_add(&h->text, "</div>\n");
}

static void put_figure(cq_page *page, const cq_page_figure *f) {
    html_page *h = of(page);
    size_t length = 0;
    if (!f->half) {
        end_pair(h);
    } else if (!h->in_pair) {
        cq_text_add(&h->text, "<div class=\"pair\">\n");
        h->in_pair = true;
    }
    char *svg = draw_svg(h, f, &length);
    if (svg == NULL) {
        return;
    }
    if (f->width > WIDE) {
        add_scrolling(h, f, svg, length, "wide", "");
    } else {
        cq_text_add(&h->text, "<figure>\n");
        add_svg(h, f, svg, length);
    }
    cq_text_add(&h->text, "<figcaption>");
    add_rich(&h->text, f->caption);
    cq_text_add(&h->text, "</figcaption>\n</figure>\n");
    cq_memory_free(svg);
}

static void put_gauge(cq_page *page, const cq_page_figure *f) {
    html_page *h = of(page);
    size_t length = 0;
    char wide[48];
    end_pair(h);
    char *svg = draw_svg(h, f, &length);
    if (svg == NULL) {
        return;
    }
    snprintf(wide, sizeof wide, " style=\"--wide:%.6gin\"", f->width / 72.0);
    add_scrolling(h, f, svg, length, "gauge", wide);
    cq_text_add(&h->text, "<figcaption>");
    add_rich(&h->text, f->caption);
    cq_text_add(&h->text, "</figcaption>\n</figure>\n");
    cq_memory_free(svg);
}

static void put_film(cq_page *page, const cq_page_film *film) {
    html_page *h = of(page);
    end_pair(h);
    h->films++;
    cq_text_add(&h->text, "<div class=\"film\" role=\"group\" aria-label=\"");
    add_bare(&h->text, film->name);
    cq_text_add(&h->text, "\">\n<ol class=\"frames\">\n");
    for (size_t n = 0; n < film->n && !page->failed; n++) {
        const cq_page_frame frame = {film->context, n};
        unsigned char *bytes = NULL;
        size_t length = 0;
        if (!draw(h, film->draw, &frame, film->width, film->height, CQ_FORMAT_PNG, &bytes, &length)) {
            return;
        }
        cq_text_add(&h->text, "<li%s><figure><img width=\"%.0f\" height=\"%.0f\" alt=\"",
                    film->key[n] ? " class=\"key\"" : "", film->width, film->height);
        add_bare(&h->text, film->alt[n]);
        cq_text_add(&h->text, "\" src=\"data:image/png;base64,");
        add_base64(&h->text, bytes, length);
        cq_text_add(&h->text, "\"><figcaption>");
        add_rich(&h->text, film->caption[n]);
        cq_text_add(&h->text, "</figcaption></figure></li>\n");
        cq_memory_free(bytes);
    }
    cq_text_add(&h->text, "</ol>\n</div>\n");
}

/* ---- the rest ---------------------------------------------------------------------------------------------------- */

static void put_title(cq_page *page, const char *kicker, const char *title, const char *lead) {
    html_page *h = of(page);
    cq_text_add(&h->text, "<header class=\"top\">\n<p class=\"kicker\">");
    add_rich(&h->text, kicker);
    cq_text_add(&h->text, "</p>\n<h1 dir=\"auto\">");
    add_bare(&h->text, title); /* <bdi> would hide its direction from the heading's */
    cq_text_add(&h->text, "</h1>\n<p class=\"lead\">");
    add_rich(&h->text, lead);
    cq_text_add(&h->text, "</p>\n</header>\n");
}

static void end_section(html_page *h) {
    end_pair(h);
    if (h->in_section) {
        cq_text_add(&h->text, "</section>\n");
    }
}

static void begin_section(html_page *h, const char *id, const char *heading, bool on_paper) {
    end_section(h);
    h->in_section = true;
    h->on_paper = on_paper;
    cq_text_add(&h->text, "<section id=\"%s\"%s aria-labelledby=\"%s-head\">\n<h2 id=\"%s-head\">", id,
                on_paper ? " class=\"paper\"" : "", id, id);
    add_rich(&h->text, heading);
    cq_text_add(&h->text, "</h2>\n");
}

static void put_section(cq_page *page, const char *id, const char *heading) {
    html_page *h = of(page);
    begin_section(h, id, heading, false);
    cq_text_add(&h->links, "<li><a href=\"#%s\">", id);
    add_bare(&h->links, heading);
    cq_text_add(&h->links, "</a></li>\n");
}

static void put_text(cq_page *page, const char *text) {
    html_page *h = of(page);
    end_pair(h);
    cq_text_add(&h->text, "<p>");
    add_rich(&h->text, text);
    cq_text_add(&h->text, "</p>\n");
}

static void put_list(cq_page *page, size_t n, const char *const *items, bool warning) {
    html_page *h = of(page);
    end_pair(h);
    cq_text_add(&h->text, warning ? "<ol class=\"warn\">\n" : "<ul>\n");
    for (size_t i = 0; i < n; i++) {
        cq_text_add(&h->text, "<li>");
        add_rich(&h->text, items[i]);
        cq_text_add(&h->text, "</li>\n");
    }
    cq_text_add(&h->text, warning ? "</ol>\n" : "</ul>\n");
}

/* The box scrolls where a phone is narrower than the table; then the keyboard must reach it. */
static void put_table(cq_page *page, const cq_page_table *table) {
    html_page *h = of(page);
    cq_text *t = &h->text;
    end_pair(h);
    cq_text_add(t, "<div class=\"table\" role=\"region\" tabindex=\"0\" aria-label=\"");
    add_bare(t, table->caption);
    cq_text_add(t, "\">\n<table%s>\n<caption>",
                table->blank     ? " class=\"blank\""
                : table->numbers ? " class=\"num\""
                                 : "");
    add_rich(t, table->caption);
    cq_text_add(t, "</caption>\n<thead><tr>");
    for (size_t c = 0; c < table->columns; c++) {
        cq_text_add(t, "<th scope=\"col\">");
        add_rich(t, table->heads[c]);
        cq_text_add(t, "</th>");
    }
    cq_text_add(t, "</tr></thead>\n<tbody>\n");
    for (size_t r = 0; r < table->rows; r++) {
        cq_text_add(t, "<tr>");
        for (size_t c = 0; c < table->columns; c++) {
            cq_text_add(t, c == 0 ? "<th scope=\"row\">" : "<td>");
            add_rich(t, table->cells[r * table->columns + c]);
            cq_text_add(t, c == 0 ? "</th>" : "</td>");
        }
        cq_text_add(t, "</tr>\n");
    }
    cq_text_add(t, "</tbody>\n</table>\n</div>\n");
}

static void put_terms(cq_page *page, size_t n, const char *const (*terms)[2]) {
    html_page *h = of(page);
    end_pair(h);
    cq_text_add(&h->text, "<dl>\n");
    for (size_t i = 0; i < n; i++) {
        cq_text_add(&h->text, "<div><dt>");
        add_rich(&h->text, terms[i][0]);
        cq_text_add(&h->text, "</dt><dd>");
        add_rich(&h->text, terms[i][1]);
        cq_text_add(&h->text, "</dd></div>\n");
    }
    cq_text_add(&h->text, "</dl>\n");
}

static void put_paper(cq_page *page, const char *id, const char *heading) {
    begin_section(of(page), id, heading, true);
}

static void put_listing(cq_page *page, const char *summary, const char *text) {
    html_page *h = of(page);
    end_pair(h);
    if (h->on_paper) {
        cq_text_add(&h->text, "<h3>");
        add_rich(&h->text, summary);
        cq_text_add(&h->text, "</h3>\n<pre>");
        add_bare(&h->text, text);
        cq_text_add(&h->text, "</pre>\n");
        return;
    }
    cq_text_add(&h->text, "<details>\n<summary>");
    add_rich(&h->text, summary);
    cq_text_add(&h->text, "</summary>\n<pre tabindex=\"0\">");
    add_bare(&h->text, text);
    cq_text_add(&h->text, "</pre>\n</details>\n");
}

/* Every byte but letters, digits and a few signs as %XX. */
static void add_encoded(cq_text *t, const char *bytes) {
    for (const char *at = bytes; *at != '\0'; at++) {
        const unsigned char c = (unsigned char)*at;
        const bool plain = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '-' ||
                           c == '.' || c == '_';
        cq_text_add(t, plain ? "%c" : "%%%02X", c);
    }
}

static void put_plan(cq_page *page, const cq_page_plan *plan) {
    html_page *h = of(page);
    cq_text *t = &h->text;
    end_pair(h);
    cq_text_add(t, "<div class=\"try\">\n<p>Run it again:</p>\n<pre tabindex=\"0\">");
    add_bare(t, plan->command);
    cq_text_add(t, "</pre>\n");
    if (plan->text == NULL) {
        cq_text_add(t, "<p>The plan is <a href=\"#plan-%s\">%s</a>, as above.</p>\n</div>\n", plan->name, plan->name);
        return;
    }
    cq_text_add(
        t, "<details id=\"plan-%s\">\n<summary>The plan %s: open it, change it, run it</summary>\n<pre tabindex=\"0\">",
        plan->name, plan->name);
    add_bare(t, plan->text);
    cq_text_add(t, "</pre>\n<p><a download=\"my-%s.yaml\" href=\"data:text/yaml;charset=utf-8,", plan->name);
    add_encoded(t, plan->text);
    cq_text_add(t,
                "\">Save it as my-%s.yaml</a>, change a line, and put my-%s.yaml where the command says %s.</p>\n"
                "</details>\n</div>\n",
                plan->name, plan->name, plan->name);
}

/* Its name without the ending, with "my-" before it: what is there already is not overwritten. */
static void put_file(cq_page *page, const char *name, const char *text) {
    html_page *h = of(page);
    cq_text *t = &h->text;
    end_pair(h);
    cq_text_add(t, "<div class=\"try\">\n<h3>%s</h3>\n<pre tabindex=\"0\">", name);
    add_bare(t, text);
    cq_text_add(t, "</pre>\n<p><a download=\"my-%s\" href=\"data:text/plain;charset=utf-8,", name);
    add_encoded(t, text);
    cq_text_add(t, "\">Save it as my-%s</a></p>\n</div>\n", name);
}

static void put_question(cq_page *page, const char *question, const char *answer) {
    html_page *h = of(page);
    cq_text *t = &h->text;
    end_pair(h);
    cq_text_add(t, "<div class=\"ask\">\n<p>");
    add_rich(t, question);
    cq_text_add(t, "</p>\n<details>\n<summary>Answer</summary>\n<p>");
    add_rich(t, answer);
    cq_text_add(t, "</p>\n</details>\n</div>\n");
}

/* ---- the file ---------------------------------------------------------------------------------------------------- */

static void put_whole(cq_text *out, const html_page *h, const cq_page_wish *wish) {
    cq_text_add(out, "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
                     "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"
                     /* nothing is loaded, whatever the page holds */
                     "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; img-src data:; "
                     "style-src 'unsafe-inline'; script-src 'unsafe-inline'\">\n"
                     "<link rel=\"icon\" href=\"data:,\">\n"
                     "<meta name=\"generator\" content=\"clayquench " CQ_VERSION "\">\n<title>");
    add_bare(out, wish->title);
    cq_text_add(out, "</title>\n<meta name=\"description\" content=\"");
    add_bare(out, wish->description);
    cq_text_add(out, "\">\n<style>\n");
    cq_page_style(out, wish);
    cq_text_add(out,
                "</style>\n</head>\n<body>\n<a class=\"skip\" href=\"#content\">To the content</a>\n"
                "<main id=\"content\" tabindex=\"-1\">\n%s%s</main>\n"
                "<nav aria-label=\"Parts of this page\">\n<ul>\n%s</ul>\n</nav>\n<footer><p>",
                h->text.bytes == NULL ? "" : h->text.bytes, h->in_section ? "</section>\n" : "",
                h->links.bytes == NULL ? "" : h->links.bytes);
    add_rich(out, wish->foot);
    cq_text_add(out, "</p></footer>\n");
    if (h->films > 0) {
        cq_text_add(out, "<script>\n");
        cq_page_script(out);
        cq_text_add(out, "</script>\n");
    }
    cq_text_add(out, "</body>\n</html>\n");
}

cq_status cq_page_make_html(const cq_page_wish *wish, void (*write)(cq_page *, void *), void *context,
                            unsigned char **bytes, size_t *length) {
    static const cq_page_maker maker = {.title = put_title,
                                        .section = put_section,
                                        .text = put_text,
                                        .list = put_list,
                                        .table = put_table,
                                        .figure = put_figure,
                                        .gauge = put_gauge,
                                        .film = put_film,
                                        .terms = put_terms,
                                        .listing = put_listing,
                                        .plan = put_plan,
                                        .file = put_file,
                                        .question = put_question,
                                        .paper = put_paper};
    html_page h = {.page = {&maker, wish, false}};
    cq_text out = {NULL, 0, 0, false};
    write(&h.page, context);
    end_pair(&h);
    put_whole(&out, &h, wish);
    const bool failed = h.page.failed || h.text.failed || h.links.failed || out.failed;
    cq_memory_free(h.text.bytes);
    cq_memory_free(h.links.bytes);
    if (failed) {
        cq_memory_free(out.bytes);
        return CQ_ERR_MEMORY;
    }
    *bytes = (unsigned char *)out.bytes;
    *length = out.length;
    return CQ_OK;
}
