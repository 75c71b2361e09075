/* The screen: width, the sentence that answers, units, and what is said where a value does not apply. */
#include "../../suite.h"
#include "fixture.h"

#include "base/memory.h"

#include <stdio.h>

static fixture f;

static char *screen(cq_unit_system units) {
    char *text = NULL;
    ck_assert_int_eq(cq_report_screen(&f.result, units, &text), CQ_OK);
    return text;
}

static void expect(const char *text, const char *words) {
    ck_assert_msg(strstr(text, words) != NULL, "'%s' is not in\n%s", words, text);
}

static void expect_not(const char *text, const char *words) {
    ck_assert_msg(strstr(text, words) == NULL, "'%s' is in\n%s", words, text);
}

static void expect_narrow(const char *text) {
    size_t column = 0;
    for (const char *c = text; *c != '\0'; c++) {
        column = *c == '\n' ? 0 : column + (((unsigned char)*c & 0xc0) != 0x80);
        ck_assert_msg(column <= 80, "wider than 80 columns:\n%s", text);
    }
}

START_TEST(answers_in_one_sentence) {
    fixture_make(&f, true);
    char *text = screen(CQ_UNITS_METRIC);
    expect(text, "Hard edge, soft back: line (hamon) 11.0 mm above the edge flat, edge 64.9 HRC.\n");
    expect(text, "transition band (habuchi) 10.1 mm to 11.9 mm; mid-plane 10.9 mm\n");
    expect(text, "830 HV (64.9 HRC)  martensite 90 %, retained austenite 10 %\n");
    expect(text, "fine pearlite (troostite) 91 %, bainite 9 %");
    expect(text, "edge collapsed at 1.09 s, body lasted, spine (mune) none");
    expect(text, "Energy closes to 0.11 % in 243 steps");
    expect(text, "(2\n  times)");
    expect(text, "Curve (sori) +12.0 mm, toward the spine (+6.0 to +18.0).\n");
    expect(text, "Crack: medium from 6.5 s, an estimate, not a clearance: hardening under pull;\nmost at 7.25 s: the "
                 "swelling body pulls.\n"); /* two events, each with its second */
    expect(text, "Sharpening may take off 10.4 mm until the edge is softer than 55 HRC.\n");
    expect(text, "not a clearance");
    expect_not(text, "left face");
    expect_not(text, "nan");
    expect_narrow(text);
    cq_text_free(text);
    fixture_clear(&f);
}
END_TEST

START_TEST(below_the_scale_there_is_no_HRC) {
    fixture_make(&f, true);
    char *text = screen(CQ_UNITS_METRIC);
    expect(text, "spine  195 HV ");
    expect_not(text, "195 HV (");
    expect_not(text, "bainite 0 %"); /* 0.4 %: less than is told */
    cq_text_free(text);
    fixture_clear(&f);
}
END_TEST

START_TEST(inches_with_the_nearest_64th) {
    static const struct {
        double inch;
        const char *words;
    } cases[] = {{0.4375, "0.438 in (7/16)"}, {0.4331, "0.433 in (7/16)"},   {0.2031, "0.203 in (13/64)"},
                 {0.9999, "1.000 in (1)"},    {1.1094, "1.109 in (1 7/64)"}, {0.0078, "0.008 in (0)"}};
    for (size_t n = 0; n < sizeof cases / sizeof cases[0]; n++) {
        fixture_make(&f, true);
        f.result.line_surface_m = f.result.line_left_m = f.result.line_right_m = cases[n].inch * 0.0254;
        char *text = screen(CQ_UNITS_US);
        expect(text, cases[n].words);
        expect_narrow(text);
        cq_text_free(text);
        fixture_clear(&f);
    }
    fixture_make(&f, true);
    char *text = screen(CQ_UNITS_US);
    expect(text, "Below 932 °F");
    expect(text, "171 °F/s"); /* 95 K/s */
    expect(text, "401 °F (Ms)");
    expect_not(text, "°C");
    cq_text_free(text);
    fixture_clear(&f);
}
END_TEST

START_TEST(faces_that_differ_are_told_apart) {
    fixture_make(&f, false);
    f.result.line_right_m = 12.34e-3;
    char *text = screen(CQ_UNITS_METRIC);
    expect(text, "left face: 11.0 mm; right face: 12.3 mm");
    cq_text_free(text);
    f.result.line_right_m = NAN;
    text = screen(CQ_UNITS_METRIC);
    expect(text, "left face: 11.0 mm; right face: none");
    cq_text_free(text);
    fixture_clear(&f);
}
END_TEST

START_TEST(what_does_not_apply_is_not_a_number) {
    fixture_make(&f, true);
    cq_result *r = &f.result;
    r->line_band10_m = r->line_mid_m = r->critical_rate_K_s = r->traces[CQ_TRACE_SPINE].t500_s = NAN;
    char *text = screen(CQ_UNITS_METRIC);
    expect(text, "from 10.1 mm on; mid-plane none");
    expect(text, "spine never");
    expect_not(text, "nan");
    cq_text_free(text);
    r->line_surface_m = r->line_left_m = r->line_right_m = r->line_mid_m = r->line_band90_m = NAN;
    r->verdict = CQ_VERDICT_THROUGH;
    text = screen(CQ_UNITS_METRIC);
    expect(text, "Hard right through: no hardening line (hamon), edge 64.9 HRC.");
    expect_not(text, "nan");
    expect_not(text, "habuchi");
    cq_text_free(text);
    r->transforming = r->has_line = false;
    r->edge = r->body = r->spine = (cq_spot){NAN, NAN, {NAN, NAN, NAN, NAN, NAN}};
    r->Ms_K = r->carbon_in_solution_wt = NAN;
    r->verdict = CQ_VERDICT_INERT;
    text = screen(CQ_UNITS_METRIC);
    expect(text, "1084 does not harden");
    expect(text, "body 1.50 s"); /* a blade still, not a test piece */
    expect_not(text, "nan");
    expect_not(text, "martensite");
    cq_text_free(text);
    fixture_clear(&f);
}
END_TEST

START_TEST(test_pieces_have_face_and_centre) {
    fixture_make(&f, true);
    f.result.curve.known = f.result.crack.known = false;
    f.grid->one_dimensional = true;
    f.result.has_line = false;
    f.result.spine = (cq_spot){NAN, NAN, {NAN, NAN, NAN, NAN, NAN}};
    f.result.edge_temper_HV = 700.0;
    f.result.edge_temper_HRC = 60.1;
    char *text = screen(CQ_UNITS_METRIC);
    expect(text, "face 64.9 HRC, centre 41.3 HRC");
    expect(text, "After temper (yaki-modoshi): face 700 HV (60.1 HRC)\n");
    expect(text, "Vapour film: collapsed at 1.09 s.");
    expect_not(text, "spine");
    expect_not(text, "nan");
    cq_text_free(text);
    fixture_clear(&f);
}
END_TEST

START_TEST(long_words_wrap) {
    char title[400];
    fixture_make(&f, true);
    memset(title, 'x', sizeof title);
    for (size_t n = 9; n < sizeof title; n += 10) {
        title[n] = ' ';
    }
    title[sizeof title - 1] = '\0';
    f.plan.title = title;
    char *text = screen(CQ_UNITS_METRIC);
    expect_narrow(text);
    expect(text, "\n  "); /* the caution goes on indented */
    cq_text_free(text);
    f.plan.title = NULL;
    text = screen(CQ_UNITS_METRIC);
    expect(text, "Quench\n");
    cq_text_free(text);
    fixture_clear(&f);
}
END_TEST

static void add_notice(cq_result *r, const char *code, const char *sentence) {
    cq_notice *notice = &r->notices[r->notices_n++];
    notice->count = 1;
    snprintf(notice->code, sizeof notice->code, "%s", code);
    snprintf(notice->sentence, sizeof notice->sentence, "%s", sentence);
}

static size_t lines(const char *text) {
    size_t n = 0;
    for (const char *c = text; *c != '\0'; c++) {
        n += *c == '\n';
    }
    return n;
}

/* Everything there is to say at once, in two faces that differ, with a temper, a broken line and long notices. */
static void crowd(cq_result *r, size_t news) {
    static const char *const routine[] = {"rim-sloped", "clay-dried", "start-austenitic", "wet-blade", "cooled-in-air"};
    static const char *const grave =
        "The gravest of all: it needs more than one line to say what can happen, what rule "
        "speaks of it and what to do, and no word of it may be left out, not the last.";
    r->verdict = CQ_VERDICT_BROKEN;
    r->line_right_m = 12.34e-3;
    r->line_ground_m = 10.8e-3;
    r->crossings_n = 16;
    for (int c = 0; c < 16; c++) {
        r->crossings_m[c] = 11e-3 + 1e-3 * c;
    }
    r->edge_softening_HRC = 3.2;
    r->edge_temper_HV = 700.0, r->edge_temper_HRC = 60.1, r->spine_temper_HV = 380.0, r->spine_temper_HRC = 38.8;
    r->edge = r->body = r->spine = (cq_spot){600.0, 55.0, {0.12, 0.13, 0.25, 0.24, 0.26}};
    r->film_edge = r->film_body = r->film_spine = (cq_film){CQ_FILM_COLLAPSED, 12.34};
    r->notices_n = r->cautions_n = 0;
    for (size_t n = 0; n < 5; n++) {
        add_notice(r, routine[n],
                   "what happens in most runs, told in a sentence that is longer than one line of a screen");
    }
    for (size_t n = 0; n < news; n++) {
        char code[32];
        snprintf(code, sizeof code, "news-%zu", n);
        add_notice(r, code,
                   "what does not happen in most runs, told in a sentence that is longer than one line of a screen");
    }
    for (int c = 0; c < 6; c++) {
        r->cautions[c] =
            c == 0 ? grave : "Another caution that is longer than one line of a screen, as most of them are.";
        r->cautions_brief[c] = c == 5 ? "this is an estimate, not a clearance" : "mind this as well, in a few words";
        r->cautions_n++;
    }
}

START_TEST(whatever_there_is_fits_a_screen) {
    char title[400];
    memset(title, 'x', sizeof title);
    title[sizeof title - 1] = '\0';
    for (size_t news = 0; news <= 20; news += 4) {
        for (int units = 0; units < 2; units++) {
            fixture_make(&f, false);
            f.plan.title = title;
            crowd(&f.result, news);
            char *text = screen((cq_unit_system)units);
            ck_assert_msg(lines(text) <= 24, "%zu lines:\n%s", lines(text), text);
            expect_narrow(text);
            expect(text, "! The gravest of all: it needs more");
            expect(text, "last.\n"); /* whole */
            expect(text, "not a clearance");
            expect(text, "cooled-in-air");
            cq_text_free(text);
            fixture_clear(&f);
        }
    }
}
END_TEST

/* Where there is room nothing is shortened, and what is left out is so from the least grave on. */
START_TEST(no_more_is_left_out_than_must_be) {
    fixture_make(&f, true);
    crowd(&f.result, 0);
    const cq_result crowded = f.result;
    fixture_answer(&f.result); /* few lines, and two notes */
    memcpy(f.result.notices, crowded.notices, sizeof crowded.notices);
    memcpy(f.result.cautions, crowded.cautions, sizeof crowded.cautions);
    memcpy(f.result.cautions_brief, crowded.cautions_brief, sizeof crowded.cautions_brief);
    f.result.notices_n = 1, f.result.cautions_n = 2;
    char *text = screen(CQ_UNITS_METRIC);
    expect(text, "* rim-sloped: what happens");
    expect(text, "Another caution that is longer");
    expect_not(text, "Also:");
    cq_text_free(text);
    f.result.notices_n = 5; /* five times two lines */
    text = screen(CQ_UNITS_METRIC);
    expect(text, "* rim-sloped, clay-dried, start-austenitic, wet-blade, cooled-in-air");
    expect(text, "Another caution that is longer");
    cq_text_free(text);
    fixture_clear(&f);
}
END_TEST

START_TEST(short_memory_is_told) {
    fixture_make(&f, true);
    cq_status status = CQ_ERR_MEMORY;
    for (long n = 0; status == CQ_ERR_MEMORY; n++) {
        char *text = NULL;
        cq_memory_fail_after(n);
        status = cq_report_screen(&f.result, CQ_UNITS_METRIC, &text);
        cq_memory_fail_after(-1);
        ck_assert((status == CQ_OK) == (text != NULL));
        ck_assert_int_lt(n, 1000);
        ck_assert(n > 0 || status == CQ_ERR_MEMORY);
        cq_text_free(text);
    }
    ck_assert_int_eq(status, CQ_OK);
    fixture_clear(&f);
}
END_TEST

int main(void) {
    TCase *all = tcase_create("screen");
    tcase_add_test(all, answers_in_one_sentence);
    tcase_add_test(all, below_the_scale_there_is_no_HRC);
    tcase_add_test(all, inches_with_the_nearest_64th);
    tcase_add_test(all, faces_that_differ_are_told_apart);
    tcase_add_test(all, what_does_not_apply_is_not_a_number);
    tcase_add_test(all, test_pieces_have_face_and_centre);
    tcase_add_test(all, long_words_wrap);
    tcase_add_test(all, whatever_there_is_fits_a_screen);
    tcase_add_test(all, no_more_is_left_out_than_must_be);
    tcase_add_test(all, short_memory_is_told);
    return run_case(all, "screen");
}
