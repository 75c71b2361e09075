/* The lesson's runs: what a face went through is what the bath drew, and short memory leaves a lesson whole. */
#include "../suite.h"

#include "base/memory.h"

#include <clayquench/io.h>
#include <clayquench/lesson.h>
#include <clayquench/report_lesson.h>

#include <math.h>
#include <stdio.h>
#include <string.h>

static const double BATH_K = 293.15, START_K = 1073.15, h_W_m2K = 2000.0, c_J_m3K = 4.5e6, HALF_M = 2e-3;

static cq_plan plan;
static cq_lesson *lesson;

static void read(const char *text) {
    static const char *const folders[] = {CQ_PROFILES};
    static const cq_search search = {1, folders};
    cq_error error = CQ_ERROR_INIT;
    cq_plan_init(&plan);
    ck_assert_msg(cq_plan_read_text(&plan, text, strlen(text), "plan.yaml", NULL, &search, &error) >= 0, "%s",
                  error.count > 0 ? error.items[0].found : "");
    ck_assert_int_eq(cq_lesson_create(&lesson, &error), CQ_OK);
}

static void clear(void) {
    cq_lesson_free(lesson);
    cq_plan_clear(&plan);
}

static const char INERT[] = "format: clayquench-plan 1\ntitle: Inert plate\nblade: {section: plate, thickness: 4 mm}\n"
                            "steel: {kind: inert, conductivity: 30 W/m/K, heat-capacity: 4.5 MJ/m^3/K}\n"
                            "start: 800 °C\nsteps:\n"
                            "  - {in: {kind: table, heat-transfer: 2000 W/m^2/K}, at: 20 °C, for: 3 s}\n";

/* Newton's law at the face at every step, and all of it is what the plate lost. */
START_TEST(a_path_is_what_the_bath_drew) {
    read(INERT);
    ck_assert_int_ge(cq_lesson_add(lesson, CQ_LESSON_PLATE, &plan, "", NULL, NULL), 0);
    const cq_lesson_run *one = &lesson->run[CQ_LESSON_PLATE][0];
    const cq_face_path *p = &one->path;
    double drawn = 0.0, before_s = 0.0, before = h_W_m2K * (START_K - BATH_K);
    ck_assert_uint_gt(p->n, 20);
    for (size_t i = 0; i < p->n && p->time_s[i] <= one->result->end_time_s; i++) {
        ck_assert_double_eq_tol(p->flux_W_m2[i], h_W_m2K * (p->face_K[i] - BATH_K), 1e-6 * p->flux_W_m2[i]);
        drawn += 0.5 * (p->time_s[i] - before_s) * (p->flux_W_m2[i] + before);
        before_s = p->time_s[i];
        before = p->flux_W_m2[i];
    }
    /* Mean over the thickness from the middle and the face of a parabola: 0.5 % covers what is no parabola. */
    const cq_trace *face = &one->result->traces[CQ_TRACE_EDGE], *middle = &one->result->traces[CQ_TRACE_BODY];
    const double mean_K = (2.0 * middle->temp_K[middle->n - 1] + face->temp_K[face->n - 1]) / 3.0;
    ck_assert_double_eq_tol(drawn, c_J_m3K * HALF_M * (START_K - mean_K), 0.005 * drawn);
    clear();
}
END_TEST

/* Under clay the path is the clay's outer face, not the steel's. */
START_TEST(a_path_is_of_the_outermost_face) {
    char text[1024];
    snprintf(text, sizeof text, "%s", INERT);
    strcat(text, "clay: {mix: stone-charcoal-clay, coat: [{at: 0 mm, thickness: 2 mm}]}\n");
    read(text);
    ck_assert_int_ge(cq_lesson_add(lesson, CQ_LESSON_PLATE, &plan, "", NULL, NULL), 0);
    const cq_lesson_run *one = &lesson->run[CQ_LESSON_PLATE][0];
    const cq_trace *steel = &one->result->traces[CQ_TRACE_EDGE];
    const size_t last = one->path.n - 1;
    ck_assert_double_lt(one->path.face_K[last], steel->temp_K[steel->n - 1] - 100.0);
    ck_assert_double_eq_tol(one->path.flux_W_m2[last], h_W_m2K * (one->path.face_K[last] - BATH_K),
                            1e-6 * one->path.flux_W_m2[last]);
    clear();
}
END_TEST

START_TEST(short_memory_leaves_the_lesson_as_it_was) {
    read(INERT);
    for (long n = 0;; n++) {
        cq_memory_fail_once_after(n);
        const cq_status status = cq_lesson_add(lesson, CQ_LESSON_PLATE, &plan, "", NULL, NULL);
        cq_memory_fail_after(-1);
        if (status >= 0) {
            ck_assert_int_gt(n, 20);
            break;
        }
        ck_assert_int_eq(status, CQ_ERR_MEMORY);
        ck_assert_uint_eq(lesson->n[CQ_LESSON_PLATE], 0);
    }
    ck_assert_uint_eq(lesson->n[CQ_LESSON_PLATE], 1);
    clear();
}
END_TEST

START_TEST(a_lesson_without_its_runs_is_no_page) {
    cq_error error = CQ_ERROR_INIT;
    cq_page_gaps gaps;
    unsigned char *bytes = NULL;
    size_t length = 0;
    read(INERT);
    ck_assert_int_ge(cq_lesson_add(lesson, CQ_LESSON_PLATE, &plan, "", NULL, NULL), 0);
    ck_assert_int_eq(cq_lesson_page(lesson, CQ_PAGE_HTML, CQ_PAPER_A4, &bytes, &length, &gaps, &error),
                     CQ_ERR_ARGUMENT);
    ck_assert_ptr_null(bytes);
    cq_error_clear(&error);
    clear();
}
END_TEST

int main(void) {
    TCase *tc = tcase_create("lesson");
    tcase_set_timeout(tc, 60);
    tcase_add_test(tc, a_path_is_what_the_bath_drew);
    tcase_add_test(tc, a_path_is_of_the_outermost_face);
    tcase_add_test(tc, short_memory_leaves_the_lesson_as_it_was);
    tcase_add_test(tc, a_lesson_without_its_runs_is_no_page);
    return run_case(tc, "lesson");
}
