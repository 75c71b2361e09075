/* The pictures: every one in every format, the same bytes again, the right colour at the right place, and no picture
 * where there is nothing to show. */
#include "../../suite.h"
#include "fixture.h"

#include "base/memory.h"
#include "report/colour.h"

#include <cairo.h>

static fixture f;

typedef struct drawn {
    unsigned char *bytes;
    size_t length, at;
} drawn;

static drawn draw(cq_picture picture, cq_picture_format format) {
    drawn d = {NULL, 0, 0};
    cq_error error = CQ_ERROR_INIT;
    ck_assert_msg(cq_picture_draw(&f.result, picture, format, &d.bytes, &d.length, &error) == CQ_OK, "%s as %s",
                  cq_picture_stem(picture), cq_format_extension(format));
    cq_error_clear(&error);
    return d;
}

static void release(drawn *d) {
    cq_text_free((char *)d->bytes);
}

static bool begins(const drawn *d, const char *mark) {
    return d->length > strlen(mark) && memcmp(d->bytes, mark, strlen(mark)) == 0;
}

START_TEST(every_picture_in_every_format) {
    for (int symmetric = 0; symmetric < 2; symmetric++) {
        fixture_make(&f, symmetric == 1);
        fixture_build(&f);
        for (int p = 0; p < CQ_PICTURES; p++) {
            for (int format = 0; format < CQ_FORMATS; format++) {
                drawn one = draw((cq_picture)p, (cq_picture_format)format);
                drawn two = draw((cq_picture)p, (cq_picture_format)format);
                ck_assert(begins(&one, format == CQ_FORMAT_SVG   ? "<?xml"
                                       : format == CQ_FORMAT_PDF ? "%PDF"
                                                                 : "\x89PNG"));
                ck_assert_uint_eq(one.length, two.length);
                ck_assert_mem_eq(one.bytes, two.bytes, one.length);
                ck_assert_uint_lt(one.length, 600000); /* a page that mails well; measured 20 to 350 kB */
                release(&one);
                release(&two);
            }
        }
        fixture_clear(&f);
    }
}
END_TEST

static cairo_status_t read_on(void *closure, unsigned char *to, unsigned int length) {
    drawn *d = closure;
    if (d->at + length > d->length) {
        return CAIRO_STATUS_READ_ERROR;
    }
    memcpy(to, d->bytes + d->at, length);
    d->at += length;
    return CAIRO_STATUS_SUCCESS;
}

static void pixel_of(cairo_surface_t *image, int x, int y, double rgb[3]) {
    const unsigned char *row =
        cairo_image_surface_get_data(image) + (size_t)y * (size_t)cairo_image_surface_get_stride(image);
    uint32_t pixel;
    memcpy(&pixel, row + 4 * (size_t)x, sizeof pixel);
    for (int c = 0; c < 3; c++) {
        rgb[c] = (pixel >> (16 - 8 * c) & 0xff) / 255.0;
    }
}

/* Rows of the picture from top to bottom, along the column at a height: does this colour of the scale occur there? */
static bool shows(cairo_surface_t *image, double height_m, double share) {
    double wanted[3], rgb[3];
    cq_colour_of(share, wanted);
    const double per_point = 1.6, left = 40.0; /* page margin; the section with its spine's bare flat fills the width */
    /* the thin coat on the edge flat has no cells, so height 0 is the left margin and 28 mm the right one */
    const int x = (int)(per_point * (left + 820.0 * height_m / 28e-3));
    for (int y = (int)(per_point * 60.0); y < cairo_image_surface_get_height(image) * 6 / 10; y++) {
        pixel_of(image, x, y, rgb);
        if (fabs(rgb[0] - wanted[0]) + fabs(rgb[1] - wanted[1]) + fabs(rgb[2] - wanted[2]) <
            0.03) { /* three levels of 255 each */
            return true;
        }
    }
    return false;
}

START_TEST(colours_say_what_the_field_says) {
    fixture_make(&f, true);
    drawn d = draw(CQ_PICTURE_MARTENSITE, CQ_FORMAT_PNG);
    cairo_surface_t *image = cairo_image_surface_create_from_png_stream(read_on, &d);
    ck_assert_int_eq(cairo_surface_status(image), CAIRO_STATUS_SUCCESS);
    ck_assert(shows(image, 5e-3, 1.0));
    ck_assert(!shows(image, 5e-3, 0.0));
    ck_assert(shows(image, 20e-3, 0.0));
    ck_assert(!shows(image, 20e-3, 1.0));
    /* half a millimetre above the line: fixture_share gives 0.22; the image smears half a cell (0.25 mm), 0.12 .. 0.36
     */
    bool between = false;
    for (double share = 0.12; share < 0.36; share += 0.01) {
        between = between || shows(image, LINE_M + 0.5e-3, share);
    }
    ck_assert(between);
    cairo_surface_destroy(image);
    release(&d);
    fixture_clear(&f);
}
END_TEST

START_TEST(values_beyond_the_usual_move_the_scale) {
    fixture_make(&f, true);
    drawn usual = draw(CQ_PICTURE_HARDNESS, CQ_FORMAT_PNG);
    for (int c = 0; c < f.grid->along * f.grid->across; c++) {
        f.field[0][c] += f.grid->kind[c] == CQ_CELL_STEEL ? 300.0 : 0.0; /* 1130 HV: past the usual end */
    }
    drawn moved = draw(CQ_PICTURE_HARDNESS, CQ_FORMAT_PNG);
    cairo_surface_t *image = cairo_image_surface_create_from_png_stream(read_on, &moved);
    ck_assert(shows(image, 3e-3, (1130.0 - 200.0) / (1150.0 - 200.0)));
    ck_assert(!shows(image, 3e-3, 1.0));
    cairo_surface_destroy(image);
    release(&usual);
    release(&moved);
    fixture_clear(&f);
}
END_TEST

START_TEST(odd_answers_are_drawn) {
    fixture_make(&f, true);
    fixture_build(&f);
    cq_result *r = &f.result;
    char title[600];
    memset(title, 'W', sizeof title);
    title[sizeof title - 1] = '\0';
    f.plan.title = title;
    r->line_surface_m = r->line_left_m = r->line_right_m = r->line_mid_m = r->critical_rate_K_s = NAN;
    r->verdict = CQ_VERDICT_THROUGH;
    f.field[1][f.grid->steel_i0 * f.grid->across + f.grid->steel_j0] = 0.0; /* never cooled */
    f.traces[CQ_TRACE_SPINE].n = 0;
    f.frames[0].time_s = 0.25;
    for (int p = 0; p < CQ_PICTURES; p++) {
        drawn d = draw((cq_picture)p, CQ_FORMAT_SVG);
        ck_assert_uint_gt(d.length, 1000);
        release(&d);
    }
    f.plan.title = NULL;
    f.plan.steel.name = NULL;
    r->transforming = r->has_line = false;
    drawn d = draw(CQ_PICTURE_COOLING, CQ_FORMAT_PDF);
    release(&d);
    fixture_clear(&f);
}
END_TEST

static void expect_none(cq_picture picture) {
    unsigned char *bytes = NULL;
    size_t length = 0;
    ck_assert_int_eq(cq_picture_draw(&f.result, picture, CQ_FORMAT_PNG, &bytes, &length, NULL), CQ_ERR_ARGUMENT);
    ck_assert_ptr_null(bytes);
}

START_TEST(nothing_to_show_is_an_argument_error) {
    fixture_make(&f, true);
    expect_none(CQ_PICTURE_BUILD); /* of one steel */
    expect_none(CQ_PICTURE_CARBON);
    f.result.frames_n = 1;
    expect_none(CQ_PICTURE_TEMPERATURE);
    f.result.frames_n = FIXTURE_FRAMES;
    f.result.along.n = 0;
    expect_none(CQ_PICTURE_ALONG);
    f.result.transforming = false;
    expect_none(CQ_PICTURE_HARDNESS);
    expect_none(CQ_PICTURE_MARTENSITE);
    f.result.curve.known = false;
    f.result.axial_stress_Pa = NULL;
    expect_none(CQ_PICTURE_CURVE);
    expect_none(CQ_PICTURE_STRESS);
    f.grid->one_dimensional = true;
    expect_none(CQ_PICTURE_PEAK_RATE);
    expect_none(CQ_PICTURE_TEMPERATURE);
    expect_none(CQ_PICTURES);
    f.grid->one_dimensional = false;
    f.result.transforming = true;
    f.result.temp_K = NULL; /* stopped before the answer */
    for (int p = 0; p < CQ_PICTURES; p++) {
        expect_none((cq_picture)p);
    }
    fixture_clear(&f);
}
END_TEST

START_TEST(short_memory_is_told) {
    fixture_make(&f, true);
    fixture_build(&f);
    for (int p = 0; p < CQ_PICTURES; p++) {
        cq_status status = CQ_ERR_MEMORY;
        long n = 0;
        for (; status == CQ_ERR_MEMORY && n < 500; n++) {
            unsigned char *bytes = NULL;
            size_t length = 0;
            cq_memory_fail_after(n);
            status = cq_picture_draw(&f.result, (cq_picture)p, CQ_FORMAT_PNG, &bytes, &length, NULL);
            cq_memory_fail_after(-1);
            ck_assert((status == CQ_OK) == (bytes != NULL));
            cq_text_free((char *)bytes);
        }
        ck_assert_int_eq(status, CQ_OK);
        ck_assert_int_gt(n, 1);
    }
    fixture_clear(&f);
}
END_TEST

int main(void) {
    Suite *suite = suite_create("pictures");
    TCase *all = tcase_create("pictures");
    tcase_set_timeout(all, 120); /* sanitizers are slow */
    tcase_add_test(all, every_picture_in_every_format);
    tcase_add_test(all, colours_say_what_the_field_says);
    tcase_add_test(all, values_beyond_the_usual_move_the_scale);
    tcase_add_test(all, odd_answers_are_drawn);
    tcase_add_test(all, nothing_to_show_is_an_argument_error);
    tcase_add_test(all, short_memory_is_told);
    suite_add_tcase(suite, all);
    return run_suite(suite);
}
