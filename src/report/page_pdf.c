/* page_pdf.c - a page as PDF: text set by pango, which knows every script and falls back to fonts that have it; pages,
 * their heads and feet and where they break are ours. It is set twice, because each page says how many there are.
 */
#include "report/page_pdf_text.h"

#include "base/memory.h"

#include <cairo-pdf.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

/* Points. */
static const double MARGIN = 45.0, HEAD = 54.0, FOOT = 56.0, GAP = 14.0, TEXT = 9.5, SMALL = 8.3, CELL_PAD = 3.2;
static const double INK[3] = {0.105, 0.133, 0.153}, SOFT[3] = {0.29, 0.333, 0.365}, DEEP[3] = {0.09, 0.247, 0.31},
                    RULE[3] = {0.725, 0.76, 0.784}, HEAT[3] = {0.56, 0.176, 0.059};

enum { WIDE = 600 }; /* points: a figure that takes the whole width */

typedef struct pdf_page {
    cq_page page;
    cq_canvas canvas;
    double width, height, y, column; /* of the paper; where the next thing goes; width of the text */
    int number, total;               /* total 0: not known yet */
    size_t unknown;
    const char *heading; /* of a section whose first part is still to come: they stay together */
    char *lead;          /* its first paragraph, if that is not the whole of the part; NULL */
    bool half_open;      /* a half figure waits for its neighbour */
    double half_y, half_tall;
} pdf_page;

static pdf_page *of(cq_page *page) {
    return (pdf_page *)page;
}

static void colour(pdf_page *p, const double rgb[3]) {
    cairo_set_source_rgb(p->canvas.cr, rgb[0], rgb[1], rgb[2]);
}

/* ---- text -------------------------------------------------------------------------------------------------------- */

typedef cq_pdf_face face;

static PangoLayout *set_text(pdf_page *p, const char *text, const face *how, double width) {
    PangoLayout *layout = cq_pdf_set(p->canvas.cr, text, how, width);
    p->page.failed = p->page.failed || layout == NULL;
    p->unknown += layout == NULL ? 0 : (size_t)pango_layout_get_unknown_glyphs_count(layout);
    return layout;
}

static void show(pdf_page *p, PangoLayout *layout, double x, double y) {
    if (layout != NULL) {
        cairo_move_to(p->canvas.cr, x, y);
        pango_cairo_show_layout(p->canvas.cr, layout);
        g_object_unref(layout);
    }
}

/* ---- pages ------------------------------------------------------------------------------------------------------- */

static double bottom(const pdf_page *p) {
    return p->height - FOOT;
}

static void furnish(pdf_page *p) {
    const size_t unknown = p->unknown; /* the title was counted where it stands */
    const face small = {.size = 7.6}, right = {.size = 7.6, .right = true};
    char words[64];
    if (p->number > 1) {
        colour(p, SOFT);
        PangoLayout *title = set_text(p, p->page.wish->title, &small, p->column);
        if (title != NULL) {
            pango_layout_set_height(title, -1); /* one line, with an ellipsis */
            pango_layout_set_ellipsize(title, PANGO_ELLIPSIZE_END);
        }
        show(p, title, MARGIN, 28.0);
        colour(p, RULE);
        cq_canvas_line(&p->canvas, MARGIN, 41.0, p->width - MARGIN, 41.0, 0.6, false);
    }
    colour(p, SOFT);
    show(p, set_text(p, p->page.wish->foot, &small, 0.82 * p->column), MARGIN, p->height - 42.0);
    snprintf(words, sizeof words, p->total > 0 ? "page %d of %d" : "page %d", p->number, p->total);
    show(p, set_text(p, words, &right, p->column), MARGIN, p->height - 42.0);
    p->unknown = unknown;
}

static void next_page(pdf_page *p) {
    furnish(p);
    cairo_show_page(p->canvas.cr);
    p->number++;
    p->y = HEAD;
}

static void need(pdf_page *p, double tall) {
    if (p->y + tall > bottom(p) && p->y > HEAD + 1.0) {
        next_page(p);
    }
}

static void end_half(pdf_page *p) {
    if (p->half_open) {
        p->y = p->half_y + p->half_tall;
        p->half_open = false;
    }
}

/* Line by line, over as many pages as it takes. */
static void flow(pdf_page *p, PangoLayout *layout, double x, const double rgb[3]) {
    PangoLayoutIter *iter = layout == NULL ? NULL : pango_layout_get_iter(layout);
    double begun = 0.0;
    bool more = iter != NULL, first = true;
    while (more) {
        PangoRectangle logical;
        pango_layout_iter_get_line_extents(iter, NULL, &logical);
        const double tall = (double)logical.height / PANGO_SCALE, top = (double)logical.y / PANGO_SCALE;
        const double baseline = (double)pango_layout_iter_get_baseline(iter) / PANGO_SCALE;
        if (first || p->y + (top - begun) + tall > bottom(p)) {
            p->y += first ? 0.0 : top - begun;
            need(p, tall);
            begun = top;
            first = false;
        }
        colour(p, rgb);
        cairo_move_to(p->canvas.cr, x + (double)logical.x / PANGO_SCALE, p->y + baseline - begun);
        pango_cairo_show_layout_line(p->canvas.cr, pango_layout_iter_get_line_readonly(iter));
        more = pango_layout_iter_next_line(iter);
        if (!more) {
            p->y += top - begun + tall;
        }
    }
    if (iter != NULL) {
        pango_layout_iter_free(iter);
        g_object_unref(layout);
    }
}

static void outline(pdf_page *p, const char *heading) {
    char at[64];
    cq_text plain = {NULL, 0, 0, false};
    PangoAttrList *none = pango_attr_list_new();
    cq_pdf_shown(&plain, none, heading);
    snprintf(at, sizeof at, "page=%d pos=[%d %d]", p->number, (int)MARGIN, (int)p->y);
    p->page.failed = p->page.failed || plain.failed;
    if (plain.bytes != NULL && !plain.failed) {
        cairo_pdf_surface_add_outline(p->canvas.surface, CAIRO_PDF_OUTLINE_ROOT, plain.bytes, at,
                                      CAIRO_PDF_OUTLINE_FLAG_OPEN);
    }
    pango_attr_list_unref(none);
    cq_memory_free(plain.bytes);
}

/* ---- what a page is made of -------------------------------------------------------------------------------------- */

static void put_title(cq_page *page, const char *kicker, const char *title, const char *lead) {
    pdf_page *p = of(page);
    outline(p, title);
    flow(p, set_text(p, kicker, &(face){.size = SMALL}, p->column), MARGIN, SOFT);
    p->y += 3.0;
    flow(p, set_text(p, title, &(face){.size = 18.0, .bold = true}, p->column), MARGIN, INK);
    p->y += 5.0;
    flow(p, set_text(p, lead, &(face){.size = 11.5}, p->column), MARGIN, INK);
    p->y += 6.0;
    colour(p, DEEP);
    cq_canvas_line(&p->canvas, MARGIN, p->y, p->width - MARGIN, p->y, 2.4, false);
    p->y += 6.0;
}

static const double HEADING = 30.0, UNDER_TEXT = 5.0;

/* A part begins, of which `tall` must be on one page, with the heading and the first paragraph it belongs to if a page
 * has room for all of them. */
static void begin_part(pdf_page *p, double tall) {
    end_half(p);
    if (p->heading == NULL) {
        need(p, tall);
        return;
    }
    PangoLayout *lead = p->lead == NULL ? NULL : set_text(p, p->lead, &(face){.size = TEXT}, p->column);
    const double both = tall + (lead == NULL ? 0.0 : cq_pdf_tall(lead) + UNDER_TEXT);
    p->y += 10.0;
    need(p, HEADING + (HEADING + both < bottom(p) - HEAD ? both : 40.0));
    outline(p, p->heading);
    flow(p, set_text(p, p->heading, &(face){.size = 12.5, .bold = true}, p->column), MARGIN, DEEP);
    p->y += 2.0;
    colour(p, RULE);
    cq_canvas_line(&p->canvas, MARGIN, p->y, p->width - MARGIN, p->y, 0.7, false);
    p->y += 6.0;
    p->heading = NULL;
    if (lead != NULL) {
        flow(p, lead, MARGIN, INK);
        p->y += UNDER_TEXT;
    }
    cq_memory_free(p->lead);
    p->lead = NULL;
}

static void put_section(cq_page *page, const char *id, const char *heading) {
    pdf_page *p = of(page);
    (void)id;
    begin_part(p, 0.0); /* of a section that had no more than its first paragraph */
    p->heading = heading;
}

static void put_text(cq_page *page, const char *text) {
    pdf_page *p = of(page);
    if (p->heading != NULL && p->lead == NULL) {
        end_half(p);
        cq_text copy = {NULL, 0, 0, false};
        cq_text_add(&copy, "%s", text);
        page->failed = page->failed || copy.failed;
        p->lead = copy.bytes;
        return;
    }
    begin_part(p, 40.0);
    flow(p, set_text(p, text, &(face){.size = TEXT}, p->column), MARGIN, INK);
    p->y += UNDER_TEXT;
}

static void put_list(cq_page *page, size_t n, const char *const *items, bool warning) {
    pdf_page *p = of(page);
    begin_part(p, 40.0);
    for (size_t i = 0; i < n; i++) {
        char sign[32];
        PangoLayout *item = set_text(p, items[i], &(face){.size = TEXT}, p->column - 24.0);
        need(p, cq_pdf_tall(item) < 200.0 ? cq_pdf_tall(item) : 30.0);
        const int page_before = p->number;
        const double top = p->y;
        snprintf(sign, sizeof sign, warning ? "%zu" : "•", i + 1);
        colour(p, warning ? HEAT : SOFT);
        show(p, set_text(p, sign, &(face){.size = TEXT, .bold = true}, 0.0), MARGIN + 9.0, p->y);
        flow(p, item, MARGIN + 24.0, INK);
        if (warning && p->number == page_before) {
            colour(p, HEAT);
            cq_canvas_line(&p->canvas, MARGIN + 1.5, top, MARGIN + 1.5, p->y + 1.0, 3.0, false);
        }
        p->y += 4.0;
    }
}

enum { COLUMNS_MOST = 16 };

static double column_width(const pdf_page *p, const cq_page_table *t, size_t c) {
    double sum = 0.0;
    for (size_t n = 0; n < t->columns && t->widths != NULL; n++) {
        sum += t->widths[n];
    }
    return t->widths == NULL ? p->column / (double)t->columns : p->column * t->widths[c] / sum;
}

/* One row of cells (or of heads) from p->y down. */
static void put_row(pdf_page *p, const cq_page_table *t, const char *const *cells, bool head, bool may_break) {
    PangoLayout *cell[COLUMNS_MOST];
    double tall = t->blank && !head ? 24.0 : 0.0;
    for (size_t c = 0; c < t->columns; c++) {
        const face how = {.size = SMALL, .bold = head || c == 0, .right = t->numbers && c > 0};
        cell[c] = set_text(p, cells[c], &how, column_width(p, t, c) - 8.0);
        tall = fmax(tall, cq_pdf_tall(cell[c]) + 2.0 * CELL_PAD);
    }
    if (may_break && p->y + tall > bottom(p)) {
        next_page(p);
        put_row(p, t, t->heads, true, false);
    }
    double x = MARGIN;
    for (size_t c = 0; c < t->columns; c++) {
        const double width = column_width(p, t, c);
        if (t->blank && !head && c > 0) {
            colour(p, SOFT);
            cairo_set_line_width(p->canvas.cr, 0.6);
            cairo_rectangle(p->canvas.cr, x, p->y, width, tall);
            cairo_stroke(p->canvas.cr);
        }
        colour(p, INK);
        show(p, cell[c], x + (c > 0 ? 4.0 : 0.0), p->y + CELL_PAD);
        x += width;
    }
    p->y += tall;
    colour(p, head ? DEEP : RULE);
    if (!t->blank || head) {
        cq_canvas_line(&p->canvas, MARGIN, p->y, p->width - MARGIN, p->y, head ? 1.2 : 0.5, false);
    }
}

static void put_table(cq_page *page, const cq_page_table *t) {
    pdf_page *p = of(page);
    begin_part(p, 80.0);
    flow(p, set_text(p, t->caption, &(face){.size = SMALL, .bold = true}, p->column), MARGIN, SOFT);
    p->y += 2.0;
    put_row(p, t, t->heads, true, false);
    for (size_t r = 0; r < t->rows; r++) {
        put_row(p, t, t->cells + r * t->columns, false, true);
    }
    p->y += 9.0;
}

/* A drawing in a frame of this width at (x, y); how tall it came out. */
static double place_drawing(pdf_page *p, cq_page_draw *draw, const void *context, const double size[2],
                            const double at[2], double width) {
    const double scale = width / size[0];
    cairo_t *cr = p->canvas.cr;
    cairo_save(cr);
    cairo_translate(cr, at[0], at[1]);
    cairo_scale(cr, scale, scale);
    cairo_rectangle(cr, 0, 0, size[0], size[1]);
    cairo_clip(cr);
    p->page.failed = draw(&p->canvas, context) < 0 || p->page.failed;
    cairo_restore(cr);
    cairo_new_path(cr);
    return size[1] * scale;
}

static double place_figure(pdf_page *p, const cq_page_figure *f, double x, double y, double width) {
    const double tall = place_drawing(p, f->draw, f->context, (double[]){f->width, f->height}, (double[]){x, y}, width);
    PangoLayout *caption = set_text(p, f->caption, &(face){.size = SMALL}, width);
    const double words = cq_pdf_tall(caption);
    colour(p, SOFT);
    show(p, caption, x, y + tall + 2.0);
    return tall + words + 10.0;
}

/* Points for a caption; how small a figure gets before it goes to the next page. */
static const double BELOW_FIGURE = 48.0, LEAST_FIGURE = 0.78;

static void put_figure(cq_page *page, const cq_page_figure *f) {
    pdf_page *p = of(page);
    const double width = f->half ? 0.5 * (p->column - GAP) : f->width > WIDE ? p->column : 0.66 * p->column;
    if (f->half && p->half_open) {
        p->half_tall = fmax(p->half_tall, place_figure(p, f, MARGIN + width + GAP, p->half_y, width));
        end_half(p);
        return;
    }
    const double full = f->height * width / f->width + BELOW_FIGURE;
    begin_part(p, f->half ? full : LEAST_FIGURE * full);
    const double room = bottom(p) - p->y - BELOW_FIGURE;
    const double fits = f->half ? width : fmin(width, fmax(LEAST_FIGURE * width, room * f->width / f->height));
    const double tall = place_figure(p, f, MARGIN, p->y, fits);
    if (f->half) {
        p->half_open = true;
        p->half_y = p->y;
        p->half_tall = tall;
    } else {
        p->y += tall;
    }
}

static void put_gauge(cq_page *page, const cq_page_figure *f) {
    pdf_page *p = of(page);
    begin_part(p, f->height + 48.0);
    p->y += place_figure(p, f, MARGIN, p->y, f->width);
}

static void put_film(cq_page *page, const cq_page_film *film) {
    enum { ACROSS = 2 };
    pdf_page *p = of(page);
    const double width = (p->column - (ACROSS - 1) * GAP) / ACROSS;
    double row = 0.0;
    int at = 0;
    begin_part(p, film->height * width / film->width + 40.0);
    for (size_t n = 0; n < film->n; n++) {
        if (!film->key[n]) {
            continue;
        }
        if (at == 0) {
            need(p, film->height * width / film->width + 40.0);
            row = 0.0;
        }
        const cq_page_frame frame = {film->context, n};
        const cq_page_figure one = {.width = film->width,
                                    .height = film->height,
                                    .draw = film->draw,
                                    .context = &frame,
                                    .alt = film->alt[n],
                                    .caption = film->caption[n]};
        row = fmax(row, place_figure(p, &one, MARGIN + at * (width + GAP), p->y, width));
        at = (at + 1) % ACROSS;
        p->y += at == 0 ? row : 0.0;
    }
    p->y += at != 0 ? row : 0.0;
}

static void put_terms(cq_page *page, size_t n, const char *const (*terms)[2]) {
    pdf_page *p = of(page);
    begin_part(p, 40.0);
    for (size_t i = 0; i < n; i++) {
        cq_text both = {NULL, 0, 0, false};
        cq_text_add(&both, "%s%s%s  %s", CQ_MARK_STRONG, terms[i][0], CQ_MARK_WEAK, terms[i][1]);
        page->failed = page->failed || both.failed;
        if (!both.failed) {
            flow(p, set_text(p, both.bytes, &(face){.size = SMALL}, p->column), MARGIN, INK);
        }
        p->y += 2.5;
        cq_memory_free(both.bytes);
    }
}

static void put_listing(cq_page *page, const char *summary, const char *text) {
    pdf_page *p = of(page);
    begin_part(p, 60.0);
    p->y += 4.0;
    flow(p, set_text(p, summary, &(face){.size = TEXT, .bold = true}, p->column), MARGIN, INK);
    p->y += 3.0;
    flow(p, set_text(p, text, &(face){.family = "monospace", .size = 7.2}, p->column), MARGIN, INK);
    p->y += 5.0;
}

static void put_plan(cq_page *page, const cq_page_plan *plan) {
    pdf_page *p = of(page);
    cq_text words = {NULL, 0, 0, false};
    begin_part(p, 40.0);
    cq_text_add(&words, "Run it again (the plan %s stands at the end):", plan->name);
    page->failed = page->failed || words.failed;
    if (!words.failed) {
        flow(p, set_text(p, words.bytes, &(face){.size = SMALL}, p->column), MARGIN, SOFT);
    }
    cq_memory_free(words.bytes);
    p->y += 1.0;
    flow(p, set_text(p, plan->command, &(face){.family = "monospace", .size = 7.4}, p->column), MARGIN, INK);
    p->y += 6.0;
}

static void put_question(cq_page *page, const char *question, const char *answer) {
    pdf_page *p = of(page);
    (void)answer;
    begin_part(p, 40.0);
    const double top = p->y;
    const int page_before = p->number;
    flow(p, set_text(p, question, &(face){.size = TEXT}, p->column - 12.0), MARGIN + 12.0, INK);
    if (p->number == page_before) {
        colour(p, DEEP);
        cq_canvas_line(&p->canvas, MARGIN + 2.0, top, MARGIN + 2.0, p->y + 1.0, 3.0, false);
    }
    p->y += 6.0;
}

/* ---- the file ---------------------------------------------------------------------------------------------------- */

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
                                    .file = put_listing,
                                    .question = put_question,
                                    .paper = put_section};

/* Set it once; `total` pages are written on each (0: none), *pages says how many there were. */
static cq_status set_pages(const cq_page_wish *wish, void (*write)(cq_page *, void *), void *context, int total,
                           int *pages, size_t *unknown, unsigned char **bytes, size_t *length) {
    const bool letter = wish->paper == CQ_PAPER_LETTER;
    pdf_page p = {.page = {&maker, wish, false},
                  .width = letter ? 612.0 : 595.276,
                  .height = letter ? 792.0 : 841.89,
                  .y = HEAD - 14.0,
                  .number = 1,
                  .total = total};
    p.column = p.width - 2.0 * MARGIN;
    if (cq_canvas_open(&p.canvas, CQ_FORMAT_PDF, p.width, p.height) != CQ_OK) {
        return CQ_ERR_MEMORY;
    }
    cq_text title = {NULL, 0, 0, false};
    PangoAttrList *none = pango_attr_list_new();
    cq_pdf_shown(&title, none, wish->title);
    pango_attr_list_unref(none);
    p.page.failed = title.failed;
    if (title.bytes != NULL && !title.failed) {
        cairo_pdf_surface_set_metadata(p.canvas.surface, CAIRO_PDF_METADATA_TITLE, title.bytes);
    }
    cq_memory_free(title.bytes);
    cairo_pdf_surface_set_metadata(p.canvas.surface, CAIRO_PDF_METADATA_SUBJECT, wish->description);
    cairo_pdf_surface_set_metadata(p.canvas.surface, CAIRO_PDF_METADATA_CREATOR, "clayquench " CQ_VERSION);
    write(&p.page, context);
    begin_part(&p, 0.0);
    cq_memory_free(p.lead);
    furnish(&p);
    p.canvas.failed = p.canvas.failed || p.page.failed;
    *pages = p.number;
    *unknown = p.unknown;
    return cq_canvas_close(&p.canvas, bytes, length);
}

cq_status cq_page_make_pdf(const cq_page_wish *wish, void (*write)(cq_page *, void *), void *context,
                           unsigned char **bytes, size_t *length, cq_page_gaps *gaps) {
    int pages = 0;
    unsigned char *first = NULL;
    size_t first_length = 0;
    const cq_status status = set_pages(wish, write, context, 0, &pages, &gaps->characters, &first, &first_length);
    cq_memory_free(first);
    return status < 0 ? status : set_pages(wish, write, context, pages, &pages, &gaps->characters, bytes, length);
}
