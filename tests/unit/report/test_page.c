/* The page: what a user wrote is never markup, numbers carry their keys, failures of memory are told, and how sure a
 * study of the tolerances makes the line.
 */
#include "../../suite.h"
#include "fixture.h"
#include "short_memory.h"

#include "report/result_figures.h"

#include "base/memory.h"
#include "report/page.h"

#include <stdlib.h>

static fixture f;

static void set_up(void) {
    fixture_make(&f, true);
}

static void tear_down(void) {
    fixture_clear(&f);
}

static char *html_with(cq_report_wish wish) {
    cq_error error = CQ_ERROR_INIT;
    cq_page_gaps gaps;
    unsigned char *bytes = NULL;
    size_t length = 0;
    wish.medium = CQ_PAGE_HTML;
    ck_assert_msg(cq_report_page(&f.result, &wish, &bytes, &length, &gaps, &error) == CQ_OK, "%s",
                  error.count > 0 ? error.items[0].found : "");
    ck_assert_uint_eq(strlen((const char *)bytes), length);
    return (char *)bytes;
}

static char *html(void) {
    return html_with((cq_report_wish){.paper = CQ_PAPER_A4});
}

static void expect(const char *page, const char *words) {
    ck_assert_msg(strstr(page, words) != NULL, "the page does not hold '%s'", words);
}

static void expect_none(const char *page, const char *words) {
    ck_assert_msg(strstr(page, words) == NULL, "the page holds '%s'", words);
}

START_TEST(what_a_user_wrote_is_no_markup) {
    f.plan.title = "<script>alert(1)</script> \"&' \x01key|mm|1\x02 \x1b[31m";
    f.plan.steel.name = "<img src=x onerror=alert(2)>";
    f.plan.text = "</pre><script>alert(3)</script>";
    f.steps[1].bath.name = "water\" onmouseover=\"alert(4)";
    f.result.notices[0] = (cq_notice){"x", 1, "a <b>bold</b> notice"};
    f.result.cautions[0] = "<svg onload=alert(5)>";
    char *page = html();
    expect(page, "&lt;script&gt;alert(1)&lt;/script&gt; &quot;&amp;&#39;");
    expect_none(page, "<script>alert");
    expect_none(page, "<img src=x");
    expect_none(page, "onmouseover=\"");
    expect_none(page, "<b>");
    expect_none(page, "<svg onload");
    expect_none(page, "\x1b");
    expect_none(page, "\x01");
    expect_none(page, "data-key=\"key\"");
    cq_text_free(page);
}
END_TEST

START_TEST(words_of_every_script_are_kept) {
    f.plan.title = "\xe5\x88\x80 \xd7\xa9\xd7\x9c\xd7\x95\xd7\x9d \xff\xc0\xaf\xed\xa0\x80 \xe2\x80\xae"
                   "evil";
    char *page = html();
    expect(page, "<h1 dir=\"auto\">\xe5\x88\x80 \xd7\xa9\xd7\x9c\xd7\x95\xd7\x9d ");
    expect(page, "\xef\xbf\xbd"); /* for what is no UTF-8 */
    expect_none(page, "\xff");
    expect_none(page, "\xc0\xaf");
    expect_none(page, "\xed\xa0\x80");
    expect_none(page, "\xe2\x80\xae"); /* would turn around what stands behind it */
    cq_text_free(page);
}
END_TEST

START_TEST(plain_words_keep_lines_only_if_asked) {
    cq_text t = {NULL, 0, 0, false};
    cq_page_plain(&t,
                  "a\tb\r\nc\xc2\x85"
                  "d",
                  true);
    ck_assert_str_eq(t.bytes, CQ_MARK_OWN "a b\nc d" CQ_MARK_OWN_END);
    cq_memory_free(t.bytes);
    t = (cq_text){NULL, 0, 0, false};
    cq_page_plain(&t, "a\nb\xe5\x88", false);
    ck_assert_str_eq(t.bytes, CQ_MARK_OWN "a b\xef\xbf\xbd\xef\xbf\xbd" CQ_MARK_OWN_END);
    cq_memory_free(t.bytes);
}
END_TEST

START_TEST(numbers_carry_key_and_value) {
    char *page = html();
    expect(page, "<data value=\"11\" data-key=\"line.surface_mm\" data-as=\"mm\">11.0</data>");
    expect(page, "<data value=\"11\" data-key=\"line.surface_mm\" data-as=\"in64\">7/16</data>");
    expect(page, "<data value=\"64.9\" data-key=\"edge.HRC\" data-as=\"1\">64.9</data>");
    expect(page, "<data value=\"null\" data-key=\"edge_after_temper.HV\" data-as=\"0\">\xe2\x80\x93</data>");
    expect(page, "toward the spine by <data");
    expect(page, "@page{size:A4;");
    cq_text_free(page);
    page = html_with((cq_report_wish){.paper = CQ_PAPER_LETTER});
    expect(page, "@page{size:letter;");
    cq_text_free(page);
}
END_TEST

/* Curve and crack come from the summary, whoever computed them. */
START_TEST(curve_and_crack_are_told_when_the_summary_has_them) {
    static const char summary[] =
        "{\"verdict\": \"hard edge, soft back\", \"line\": {\"surface_mm\": 11.0}, \"edge\": {\"HV\": 830, \"HRC\": "
        "64.9},"
        " \"curve\": {\"rise_mm\": -2.34, \"low_mm\": -3.0, \"high_mm\": -1.5, \"side_bend_mm\": 0.25,"
        " \"direction\": \"toward the edge\", \"turns\": [{\"kind\": \"dip\", \"time_s\": 1.26, \"rise_mm\": -4}]},"
        " \"crack\": {\"class\": \"low\", \"reason\": \"no <tension>\", \"time_s\": 3.21}}";
    char *page = html_with((cq_report_wish){.summary = summary});
    expect(page, "data-key=\"curve.rise_mm\" data-as=\"mm-size\">2.3</data>");
    expect(page, "curves (sori) toward the edge by ");
    expect(page, "a dip at <data value=\"1.26\"");
    expect(page, "resists cracks"); /* the fixture knows its stress */
    expect(page, "data-key=\"crack.time_s\" data-as=\"2\">3.21</data>");
    expect(page, "no &lt;tension&gt;");
    expect(page, "<strong>low</strong>");
    cq_text_free(page);
    f.result.curve.known = false;
    f.result.axial_stress_Pa = NULL;
    page = html_with((cq_report_wish){.summary = "{\"curve\": {\"rise_mm\": null}, \"crack\": {\"class\": null}}"});
    expect(page, "is not computed for this piece");
    expect(page, "is not judged for this piece");
    expect_none(page, "resists cracks");
    cq_text_free(page);
    cq_error error = CQ_ERROR_INIT;
    cq_page_gaps gaps;
    unsigned char *bytes;
    size_t length;
    const cq_report_wish broken = {.summary = "{\"line\": "};
    ck_assert_int_eq(cq_report_page(&f.result, &broken, &bytes, &length, &gaps, &error), CQ_ERR_FORMAT);
    cq_error_clear(&error);
}
END_TEST

START_TEST(missing_characters_of_a_pdf_are_counted) {
    cq_page_gaps gaps;
    unsigned char *bytes;
    size_t length;
    const cq_report_wish wish = {.medium = CQ_PAGE_PDF};
    ck_assert_int_eq(cq_report_page(&f.result, &wish, &bytes, &length, &gaps, NULL), CQ_OK);
    ck_assert_uint_eq(gaps.characters, 0);
    cq_text_free((char *)bytes);
    f.plan.title = "\xf3\xb0\x80\x80\xf3\xb0\x80\x81"; /* private use: no font has them */
    ck_assert_int_eq(cq_report_page(&f.result, &wish, &bytes, &length, &gaps, NULL), CQ_OK);
    ck_assert_uint_eq(gaps.characters, 2);
    cq_text_free((char *)bytes);
}
END_TEST

static cq_status report(cq_page_medium medium, unsigned char **bytes, size_t *length) {
    const cq_report_wish wish = {.medium = medium};
    cq_page_gaps gaps;
    return cq_report_page(&f.result, &wish, bytes, length, &gaps, NULL);
}

START_TEST(short_memory_is_told) {
    page_tells_short_memory(report, (cq_page_medium)_i);
}
END_TEST

START_TEST(a_study_says_how_sure_the_line_is) {
    enum { RUNS = 101 };
    static cq_row rows[RUNS];
    static const char *texts[] = {"format: clayquench-plan 1\n"}, *names[] = {"p"};
    static double soaks[RUNS];
    const cq_uncertain soak = {CQ_UNCERTAIN_SOAK, false, 1073.15, 10.0, 873.15, 1273.15, CQ_ORIGIN_DEFAULT};
    char settings[CQ_SPREAD_SETTINGS];
    cq_study_table table = {RUNS, 1, rows, soaks};
    cq_study_read study = {
        .about = {.kind = "spread",
                  .plans_n = 1,
                  .plan_names = names,
                  .plan_texts = texts,
                  .runs_n = RUNS,
                  .settings = cq_spread_settings_write(&soak, 1, &(cq_spread_wish){RUNS, 1, 0.0}, settings),
                  .part = 1,
                  .parts = 1},
        .table = &table};
    for (int n = 0; n < RUNS; n++) { /* 10 to 12 mm, evenly, in some order */
        rows[n].state = CQ_ROW_DONE;
        soaks[n] = 1073.15 + (n % 7);
        rows[n].value[CQ_FIGURE_LINE] = 10e-3 + 2e-3 * ((37 * n) % RUNS) / (RUNS - 1);
    }
    cq_spread *beside = cq_report_beside(&study, &f.plan);
    ck_assert(cq_report_is_sure(beside));
    const cq_percentiles *line = &beside->figure[CQ_FIGURE_LINE];
    ck_assert_double_eq_tol(line->p95.value - line->p5.value, 1.818e-3, 2e-12); /* 0.9 of 101 steps of 0.02 mm */
    char *page = html_with((cq_report_wish){.beside = beside});
    expect(page, "sure to lie between 10.1 and 11.9\u00a0mm in nine cases of ten");
    expect(page, "How sure that is");
    expect(page, "101 blades");
    cq_text_free(page);
    cq_spread_free(beside);
    for (int n = 0; n < 15; n++) {
        rows[n].value[CQ_FIGURE_LINE] = NAN;
    }
    beside = cq_report_beside(&study, &f.plan);
    ck_assert(!cq_report_is_sure(beside)); /* too often no line at all */
    page = html_with((cq_report_wish){.beside = beside});
    expect_none(page, "sure to");
    cq_text_free(page);
    cq_spread_free(beside);
    for (int n = 0; n < RUNS; n++) {
        rows[n].value[CQ_FIGURE_LINE] = 11e-3;
        rows[n].state = n < 19 ? CQ_ROW_DONE : CQ_ROW_OPEN;
    }
    ck_assert_ptr_null(cq_report_beside(&study, &f.plan)); /* too few runs */
    rows[19].state = CQ_ROW_DONE;
    beside = cq_report_beside(&study, &f.plan);
    line = &beside->figure[CQ_FIGURE_LINE];
    ck_assert_double_eq(line->p95.value - line->p5.value, 0.0);
    cq_spread_free(beside);
    f.plan.text = "another plan";
    ck_assert_ptr_null(cq_report_beside(&study, &f.plan));
    page = html_with((cq_report_wish){.beside = NULL});
    expect_none(page, "sure to");
    expect_none(page, "How sure that is");
    cq_text_free(page);
}
END_TEST

START_TEST(a_film_of_even_frames_dwells_on_the_first_seconds) {
    enum { MANY = 400 };
    static cq_frame many[MANY];
    size_t early = 0;
    for (int n = 0; n < MANY; n++) {
        many[n] = f.frames[0];
        many[n].time_s = 0.5 * n;
    }
    f.result.frames = many;
    f.result.frames_n = MANY;
    f.result.end_time_s = many[MANY - 1].time_s;
    const cq_film_reel reel = cq_film_choose(&f.result);
    ck_assert_uint_eq(reel.n, CQ_FILM_FRAMES);
    ck_assert_uint_eq(reel.at[0], 0);
    ck_assert_uint_eq(reel.at[reel.n - 1], MANY - 1);
    for (size_t n = 1; n < reel.n; n++) {
        ck_assert_uint_gt(reel.at[n], reel.at[n - 1]);
        early += many[reel.at[n]].time_s <= 5.0;
    }
    ck_assert_uint_ge(early, 6);
    f.result.frames_n = CQ_FILM_FRAMES; /* few: all of them */
    f.result.end_time_s = many[CQ_FILM_FRAMES - 1].time_s;
    const cq_film_reel all = cq_film_choose(&f.result);
    ck_assert_uint_eq(all.n, CQ_FILM_FRAMES);
    ck_assert_uint_eq(all.at[7], 7);
}
END_TEST

int main(void) {
    TCase *tc = tcase_create("page");
    tcase_add_checked_fixture(tc, set_up, tear_down);
    tcase_set_timeout(tc, 120);
    tcase_add_test(tc, what_a_user_wrote_is_no_markup);
    tcase_add_test(tc, words_of_every_script_are_kept);
    tcase_add_test(tc, plain_words_keep_lines_only_if_asked);
    tcase_add_test(tc, numbers_carry_key_and_value);
    tcase_add_test(tc, curve_and_crack_are_told_when_the_summary_has_them);
    tcase_add_test(tc, missing_characters_of_a_pdf_are_counted);
    tcase_add_loop_test(tc, short_memory_is_told, CQ_PAGE_HTML, CQ_PAGE_PDF + 1);
    tcase_add_test(tc, a_study_says_how_sure_the_line_is);
    tcase_add_test(tc, a_film_of_even_frames_dwells_on_the_first_seconds);
    return run_case(tc, "page");
}
