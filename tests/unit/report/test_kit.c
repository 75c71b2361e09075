/* The kit: gauges keep their size in both media, teeth of the combs stand back as their numbers say, and the words of
 * the evidence file are those that evidence has.
 */
#include "../../suite.h"
#include "short_memory.h"

#include "base/memory.h"
#include "report/kit.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static const double POINT_M = 0.0254 / 72.0;

/* ---- size -------------------------------------------------------------------------------------------------------- */

static double scale_seen;

static cq_status see_scale(cq_canvas *canvas, const void *nothing) {
    double dx = 100.0, dy = 0.0;
    (void)nothing;
    cairo_user_to_device_distance(canvas->cr, &dx, &dy);
    scale_seen = dx / 100.0;
    return CQ_OK;
}

static void write_gauge(cq_page *page, void *context) {
    const cq_page_figure figure = {
        .width = 440, .height = 100, .draw = see_scale, .alt = "a bar", .caption = "a bar", .half = false};
    cq_page_title(page, "k", "t", "l");
    cq_page_section(page, "s", "h");
    if (context != NULL) {
        cq_page_put_gauge(page, &figure);
    } else {
        cq_page_put_figure(page, &figure);
    }
}

static char *make(cq_page_medium medium, cq_paper paper, void *gauge) {
    const cq_page_wish wish = {medium, paper, "t", "d", "f"};
    cq_page_gaps gaps;
    unsigned char *bytes = NULL;
    size_t length;
    ck_assert_int_eq(cq_page_make(&wish, write_gauge, gauge, &bytes, &length, &gaps), CQ_OK);
    return (char *)bytes;
}

START_TEST(a_gauge_is_not_scaled_on_paper) {
    int gauge;
    for (int paper = CQ_PAPER_A4; paper <= CQ_PAPER_LETTER; paper++) {
        cq_text_free(make(CQ_PAGE_PDF, (cq_paper)paper, &gauge));
        ck_assert(fabs(scale_seen - 1.0) < 1e-9);
        cq_text_free(make(CQ_PAGE_PDF, (cq_paper)paper, NULL));
        ck_assert(fabs(scale_seen - 1.0) > 0.1); /* a picture is: the test would see it */
    }
    char *html = make(CQ_PAGE_HTML, CQ_PAPER_A4, &gauge);
    ck_assert(strstr(html, "style=\"--wide:6.11111in\"") != NULL); /* 440 / 72 */
    ck_assert(strstr(html, ".gauge svg{width:var(--wide);max-width:none") != NULL);
    ck_assert(strstr(html, "viewBox=\"0 0 440 100\"") != NULL);
    cq_text_free(html);
}
END_TEST

/* ---- teeth ------------------------------------------------------------------------------------------------------- */

enum { FINE = 20 }; /* pixels to a point */

typedef struct picture {
    cairo_surface_t *surface;
    const unsigned char *data;
    int stride, wide, tall;
} picture;

static bool is_inside(const picture *p, double x_pt, int row) { /* grey of the plate or its outline */
    const unsigned char *at = p->data + row * p->stride + 4 * (int)(x_pt * FINE);
    return at[1] < 250;
}

/* Where the plate ends below and above at this place, points. */
static void ends(const picture *p, double x_pt, double *top, double *low) {
    int first = 0, last = p->tall - 1;
    while (first < last && !is_inside(p, x_pt, first)) {
        first++;
    }
    while (last > first && !is_inside(p, x_pt, last)) {
        last--;
    }
    *top = (double)first / FINE;
    *low = (double)last / FINE;
}

START_TEST(teeth_stand_back_as_they_are_numbered) {
    const cq_kit_comb *const combs[] = {&CQ_KIT_COMB_MM, &CQ_KIT_COMB_INCH};
    const double step_pt[] = {0.25e-3 / POINT_M, 72.0 / 64.0}, mm = 1e-3 / POINT_M;
    for (int k = 0; k < 2; k++) {
        cq_canvas canvas = {.failed = false};
        picture p = {.wide = CQ_KIT_WIDTH * FINE, .tall = CQ_KIT_COMB_TALL * FINE};
        p.surface = cairo_image_surface_create(CAIRO_FORMAT_RGB24, p.wide, p.tall);
        canvas.surface = p.surface;
        canvas.cr = cairo_create(p.surface);
        cairo_scale(canvas.cr, FINE, FINE);
        cairo_set_source_rgb(canvas.cr, 1, 1, 1);
        cairo_paint(canvas.cr);
        ck_assert_int_eq(cq_kit_comb_draw(&canvas, combs[k]), CQ_OK);
        cairo_destroy(canvas.cr);
        cairo_surface_flush(p.surface);
        p.data = cairo_image_surface_get_data(p.surface);
        p.stride = cairo_image_surface_get_stride(p.surface);
        double top, low, tooth_top, tooth_low;
        ends(&p, 16.0 + 3.0 * mm, &top, &low); /* a foot */
        ck_assert(fabs(low - top - 42.0 * mm) < 1.0);
        for (int t = 0; t < CQ_KIT_TEETH; t++) {
            const double x = 16.0 + (6.0 + 2.5 + 2.75 + t * 8.0) * mm;
            ends(&p, x, &tooth_top, &tooth_low);
            /* a twentieth of a point is a pixel */
            ck_assert_msg(fabs(low - tooth_low - (t + 1) * step_pt[k]) < 0.15, "lower tooth %d: %g points", t,
                          low - tooth_low);
            ck_assert_msg(fabs(tooth_top - top - (2 * CQ_KIT_TEETH - t) * step_pt[k]) < 0.15, "upper tooth %d: %g", t,
                          tooth_top - top);
        }
        cairo_surface_destroy(p.surface);
    }
}
END_TEST

/* ---- words ------------------------------------------------------------------------------------------------------- */

START_TEST(every_kind_of_evidence_has_a_line_to_fill_in) {
    char *text = NULL;
    ck_assert_int_eq(cq_kit_evidence(&text), CQ_OK);
    for (int k = 0; k < CQ_EVIDENCES; k++) {
        char words[64];
        snprintf(words, sizeof words, "{what: %s, value: ___", cq_evidence_word((cq_evidence_kind)k));
        ck_assert_msg(strstr(text, words) != NULL, "no line for %s", cq_evidence_word((cq_evidence_kind)k));
    }
    for (int m = 0; m < CQ_METHODS; m++) {
        ck_assert(strstr(text, cq_method_word((cq_method)m)) != NULL);
    }
    cq_text_free(text);
}
END_TEST

static cq_status kit(cq_page_medium medium, unsigned char **bytes, size_t *length) {
    cq_page_gaps gaps;
    return cq_kit_page(medium, CQ_PAPER_A4, bytes, length, &gaps, NULL);
}

START_TEST(short_memory_is_told) {
    page_tells_short_memory(kit, (cq_page_medium)_i);
}
END_TEST

int main(void) {
    TCase *tc = tcase_create("kit");
    tcase_set_timeout(tc, 120);
    tcase_add_test(tc, a_gauge_is_not_scaled_on_paper);
    tcase_add_test(tc, teeth_stand_back_as_they_are_numbered);
    tcase_add_test(tc, every_kind_of_evidence_has_a_line_to_fill_in);
    tcase_add_loop_test(tc, short_memory_is_told, CQ_PAGE_HTML, CQ_PAGE_PDF + 1);
    return run_case(tc, "kit");
}
