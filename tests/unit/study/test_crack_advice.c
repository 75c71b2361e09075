/* Which one change lowers the crack index: that what is told is what the changed plan gives, and how it is ranked. */
#include "../../suite.h"

#include <clayquench/crack_advice.h>
#include <clayquench/io.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

static cq_plan plan;
static cq_run *run;

#define KNIFE                                                                                                          \
    "blade: sloyd-knife\nsteel: 1084\nclay: {mix: stone-charcoal-clay, edge: 0.05 mm, spine: 2 mm, coat: [{at: 0 mm, " \
    "thickness: 0.05 mm}, {at: 8 mm, thickness: 0.05 mm}, {at: 11 mm, thickness: 2 mm}, {at: 28 mm, thickness: 2 "     \
    "mm}]}\n"
#define COARSE "grid: {along: 40, across: 3, clay: 3}\n"
#define STRAIGHT "steps: [{in: air, for: 1.5 s}, {in: water, at: 40 °C, until: 60 °C}]\n"
#define PULLED                                                                                                         \
    "steps: [{in: air, for: 1.5 s}, {in: water, at: 40 °C, for: 3 s}, {in: air, for: 4 s}, {in: water, at: 40 °C, "  \
    "until: 60 °C}]\n"

static const cq_result *quench(const char *rest) {
    static const char *const folders[] = {CQ_PROFILES};
    const cq_search search = {1, folders};
    char text[2048];
    snprintf(text, sizeof text, "format: clayquench-plan 1\n%s", rest);
    cq_error error = CQ_ERROR_INIT;
    cq_plan_init(&plan);
    ck_assert_msg(cq_plan_read_text(&plan, text, strlen(text), "test", ".", &search, &error) >= 0, "%s %s",
                  error.count > 0 ? error.items[0].key : "", error.count > 0 ? error.items[0].found : "");
    ck_assert_int_ge(cq_run_create(&run, &plan, NULL, NULL), 0);
    ck_assert_int_ge(cq_run_go(run, NULL, NULL), 0);
    return cq_run_result(run);
}

static cq_crack_advice advise(const cq_result *r, int threads) {
    cq_crack_advice a;
    ck_assert_int_eq(cq_crack_advise(&plan, r, &(cq_study_options){.threads = threads}, NULL, &a, NULL), CQ_OK);
    return a;
}

static void release(void) {
    cq_run_free(run);
    cq_plan_clear(&plan);
}

static double index_of(const char *rest) {
    const double index = quench(rest)->crack.index_MPa;
    release();
    return index;
}

static const cq_crack_change *find(const cq_crack_advice *a, cq_uncertain_kind kind, bool more) {
    for (size_t n = 0; n < a->n; n++) {
        if (a->change[n].kind == kind && (a->change[n].to > a->change[n].from) == more) {
            return &a->change[n];
        }
    }
    return NULL;
}

/* As if the plan had been written so. */
START_TEST(what_is_told_is_what_the_plan_gives) {
    const cq_result *r = quench(KNIFE "heat: {temperature: 800 °C}\n" COARSE PULLED);
    ck_assert(cq_crack_advice_wanted(r));
    const cq_crack_advice a = advise(r, 0);
    ck_assert_uint_eq(a.n, CQ_CRACK_CHANGES);
    release();
    const cq_crack_change *soak = find(&a, CQ_UNCERTAIN_SOAK, false), *pull = find(&a, CQ_UNCERTAIN_PULL, true),
                          *bath = find(&a, CQ_UNCERTAIN_BATH_TEMPERATURE, false);
    ck_assert(soak != NULL && pull != NULL && bath != NULL);
    ck_assert_double_eq_tol(soak->index_MPa, index_of(KNIFE "heat: {temperature: 780 °C}\n" COARSE PULLED), 1e-9);
    ck_assert_double_eq_tol(pull->index_MPa,
                            index_of(KNIFE "heat: {temperature: 800 °C}\n" COARSE
                                           "steps: [{in: air, for: 1.5 s}, {in: water, at: 40 °C, "
                                           "for: 4 s}, {in: air, for: 4 s}, {in: water, at: 40 °C, until: 60 °C}]\n"),
                            1e-9);
    ck_assert_double_eq_tol(bath->index_MPa,
                            index_of(KNIFE "heat: {temperature: 800 °C}\n" COARSE
                                           "steps: [{in: air, for: 1.5 s}, {in: water, at: 20 °C, "
                                           "for: 3 s}, {in: air, for: 4 s}, {in: water, at: 20 °C, until: 60 °C}]\n"),
                            1e-9);
}
END_TEST

/* Lowest first among those that keep edge and line; the same on any number of threads. */
START_TEST(the_best_stands_first) {
    const cq_result *r = quench(KNIFE "heat: {temperature: 800 °C}\n" COARSE STRAIGHT);
    const cq_crack_advice a = advise(r, 1), b = advise(r, 4);
    ck_assert_uint_eq(a.n, CQ_CRACK_CHANGES - 2); /* no time to pull at */
    ck_assert(a.lowers && a.change[0].run && a.change[0].index_MPa < 0.95 * r->crack.index_MPa);
    for (size_t n = 0; n < a.n; n++) {
        ck_assert_int_eq(a.change[n].kind, b.change[n].kind);
        ck_assert_double_le(fabs(a.change[n].index_MPa - b.change[n].index_MPa), 0.0);
        const bool worse = a.change[n].loses_edge || a.change[n].hides_line;
        if (n > 0 && !worse) {
            ck_assert_double_ge(a.change[n].index_MPa, a.change[n - 1].index_MPa);
            ck_assert(!a.change[n - 1].loses_edge && !a.change[n - 1].hides_line);
        }
    }
    release();
}
END_TEST

/* A soft edge does not crack, but that is no advice: it stands behind all that keep the edge. */
START_TEST(a_lost_edge_ranks_below) {
    const cq_result *r = quench(KNIFE "heat: {temperature: 738 °C, hold: 15 min}\n" COARSE STRAIGHT);
    ck_assert_int_ne(r->verdict, CQ_VERDICT_NO_EDGE);
    const cq_crack_advice a = advise(r, 0);
    const cq_crack_change *cold = find(&a, CQ_UNCERTAIN_SOAK, false);
    ck_assert_ptr_nonnull(cold);
    ck_assert(cold->run && cold->loses_edge && cold->hides_line);
    ck_assert_int_eq(cold->verdict, CQ_VERDICT_NO_EDGE);
    for (size_t n = 0; n < a.n && &a.change[n] != cold; n++) {
        ck_assert_double_ge(a.change[n].index_MPa, cold->index_MPa); /* lower, and below */
    }
    ck_assert(cold != &a.change[0] && !a.change[0].loses_edge);
    release();
}
END_TEST

/* A bath that would boil or that no description reaches is not tried at all, nor is one of a whole plate. */
START_TEST(what_makes_no_plan_is_left_out) {
    const cq_result *r = quench(KNIFE "heat: {temperature: 800 °C}\n" COARSE
                                      "steps: [{in: air, for: 1.5 s}, {in: water, at: 40 °C, until: 42.5 °C}]\n");
    const cq_crack_advice a = advise(r, 0);
    ck_assert_ptr_null(find(&a, CQ_UNCERTAIN_BATH_TEMPERATURE, true)); /* `until` would not be reached */
    ck_assert_ptr_nonnull(find(&a, CQ_UNCERTAIN_BATH_TEMPERATURE, false));
    release();
    r = quench(KNIFE "heat: {temperature: 800 °C}\n" COARSE
                     "steps: [{in: air, until: 785 °C}, {in: water, at: 40 °C, until: 60 °C}]\n");
    const cq_crack_advice b = advise(r, 0);
    ck_assert_ptr_null(find(&b, CQ_UNCERTAIN_SOAK, false)); /* 780 °C is never left for 785 */
    ck_assert_ptr_nonnull(find(&b, CQ_UNCERTAIN_SOAK, true));
    release();
    r = quench("blade: {section: plate, thickness: 3 mm}\nsteel: 1084\nheat: {temperature: 800 °C}\n" STRAIGHT);
    ck_assert(!cq_crack_advice_wanted(r));
    release();
}
END_TEST

static bool no_more(void *context, size_t done, size_t planned) {
    (void)context;
    (void)done;
    (void)planned;
    return false;
}

START_TEST(it_can_be_stopped) {
    const cq_result *r = quench(KNIFE "heat: {temperature: 800 °C}\n" STRAIGHT);
    cq_crack_advice a;
    ck_assert_int_eq(
        cq_crack_advise(&plan, r, &(cq_study_options){.threads = 1}, &(cq_study_sink){.go_on = no_more}, &a, NULL),
        CQ_ERR_CANCELLED);
    release();
}
END_TEST

int main(void) {
    TCase *tc = tcase_create("crack advice");
    tcase_set_timeout(tc, 120);
    tcase_add_test(tc, what_is_told_is_what_the_plan_gives);
    tcase_add_test(tc, the_best_stands_first);
    tcase_add_test(tc, a_lost_edge_ranks_below);
    tcase_add_test(tc, what_makes_no_plan_is_left_out);
    tcase_add_test(tc, it_can_be_stopped);
    return run_case(tc, "crack advice");
}
