/* page_pdf_text.c - see page_pdf_text.h. */
#include "report/page_pdf_text.h"

#include "base/memory.h"

#include <string.h>

/* A text with marks as pango has it: bold where strong, a user's words kept apart from the direction around them. */
void cq_pdf_shown(cq_text *t, PangoAttrList *bold, const char *text) {
    size_t strong_from = 0;
    for (const char *at = text; *at != '\0';) {
        const size_t plain = strcspn(at, "\x01\x02\x03\x04\x05\x06\x07");
        cq_text_add(t, "%.*s", (int)plain, at);
        at += plain;
        if (*at == CQ_MARK_NUMBER[0]) {
            at += strcspn(at, CQ_MARK_SHOWN);
            for (; at[1] != CQ_MARK_END[0] && at[1] != '\0'; at++) { /* "4 21/64" stays together */
                cq_text_add(t, "%.*s", at[1] == ' ' ? 2 : 1, at[1] == ' ' ? "\u00a0" : at + 1);
            }
        } else if (*at == CQ_MARK_STRONG[0]) {
            strong_from = t->length;
        } else if (*at == CQ_MARK_WEAK[0]) {
            PangoAttribute *weight = pango_attr_weight_new(PANGO_WEIGHT_BOLD);
            weight->start_index = (guint)strong_from;
            weight->end_index = (guint)t->length;
            pango_attr_list_insert(bold, weight);
        } else if (*at == CQ_MARK_OWN[0]) {
            cq_text_add(t, "\u2068");
        } else if (*at == CQ_MARK_OWN_END[0]) {
            cq_text_add(t, "\u2069");
        }
        at += *at == '\0' ? 0 : 1;
    }
}

PangoLayout *cq_pdf_set(cairo_t *cr, const char *text, const cq_pdf_face *how, double width) {
    cq_text shown = {NULL, 0, 0, false};
    PangoAttrList *bold = pango_attr_list_new();
    cq_text_add(&shown, "%s", "");
    cq_pdf_shown(&shown, bold, text);
    PangoLayout *layout = NULL;
    if (!shown.failed) {
        layout = pango_cairo_create_layout(cr);
        pango_cairo_context_set_resolution(pango_layout_get_context(layout), 72.0);
        pango_context_set_round_glyph_positions(pango_layout_get_context(layout), FALSE);
        PangoFontDescription *font = pango_font_description_new();
        pango_font_description_set_family(font, how->family == NULL ? "sans-serif" : how->family);
        pango_font_description_set_absolute_size(font, how->size * PANGO_SCALE);
        pango_font_description_set_weight(font, how->bold ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL);
        pango_layout_set_font_description(layout, font);
        pango_font_description_free(font);
        pango_layout_set_wrap(layout, PANGO_WRAP_WORD_CHAR);
        if (width > 0.0) {
            pango_layout_set_width(layout, (int)(width * PANGO_SCALE));
        }
        pango_layout_set_alignment(layout, how->right ? PANGO_ALIGN_RIGHT : PANGO_ALIGN_LEFT);
        pango_layout_set_spacing(layout, (int)(0.22 * how->size * PANGO_SCALE));
        pango_layout_set_text(layout, shown.bytes, (int)shown.length);
        pango_attr_list_insert(bold, pango_attr_insert_hyphens_new(FALSE)); /* over all of it */
        pango_layout_set_attributes(layout, bold);
    }
    pango_attr_list_unref(bold);
    cq_memory_free(shown.bytes);
    return layout;
}

double cq_pdf_tall(PangoLayout *layout) {
    int width = 0, height = 0;
    if (layout != NULL) {
        pango_layout_get_size(layout, &width, &height);
    }
    return (double)height / PANGO_SCALE;
}
