/* page_pdf_text.h - texts of a page as pango sets them: marks become weight and direction, every script finds a font.
 */
#ifndef CQ_REPORT_PAGE_PDF_TEXT_H
#define CQ_REPORT_PAGE_PDF_TEXT_H

#include "report/page.h"

#include <pango/pangocairo.h>

typedef struct cq_pdf_face {
    const char *family; /* NULL: sans-serif */
    double size;        /* points */
    bool bold, right;
} cq_pdf_face;

/* A text with marks as it is shown, appended; strong parts become bold in `bold`. */
void cq_pdf_shown(cq_text *to, PangoAttrList *bold, const char *text);
/* Set a text to a width, points (0: on one line). Released with g_object_unref; NULL when memory is short. */
PangoLayout *cq_pdf_set(cairo_t *cr, const char *text, const cq_pdf_face *how, double width);
/* Height, points; 0 of NULL. */
double cq_pdf_tall(PangoLayout *layout);

#endif
