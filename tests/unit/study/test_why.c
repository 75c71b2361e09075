/* Causes ranked on made-up rows, what agrees with what was seen, changes of a plan and their plans. */
#include "../../run/plans.h"
#include "../../suite.h"

#include <clayquench/why.h>
#include <math.h>
#include <string.h>

static cq_row row_of(double line_m, cq_verdict verdict, double contrast_HV) {
    cq_row row = {.state = CQ_ROW_DONE};
    for (int f = 0; f < CQ_FIGURES; f++) {
        row.value[f] = NAN;
    }
    row.value[CQ_FIGURE_LINE] = line_m;
    row.value[CQ_FIGURE_VERDICT] = verdict;
    row.value[CQ_FIGURE_CONTRAST] = contrast_HV;
    row.value[CQ_FIGURE_EDGE_MARTENSITE] = verdict == CQ_VERDICT_NO_EDGE ? 0.2 : 0.9;
    row.value[CQ_FIGURE_SPINE_MARTENSITE] = verdict == CQ_VERDICT_THROUGH ? 0.9 : 0.05;
    row.value[CQ_FIGURE_BAND_90] = line_m - 1e-3;
    row.value[CQ_FIGURE_BAND_10] = line_m + 1e-3;
    return row;
}

static double agreement(cq_seen_kind kind, const cq_row *row) {
    const cq_seen seen = {.kind = kind, .line_m = 8e-3, .within_m = 0.5e-3, .time_s = NAN};
    return cq_why_likelihood(row, &seen, 28e-3, 0.11);
}

START_TEST(agrees_with_what_was_seen) {
    const cq_row good = row_of(11e-3, CQ_VERDICT_GOOD, 440), near = row_of(8.5e-3, CQ_VERDICT_GOOD, 440),
                 through = row_of(NAN, CQ_VERDICT_THROUGH, 20), soft = row_of(NAN, CQ_VERDICT_NO_EDGE, 0),
                 faint = row_of(8e-3, CQ_VERDICT_FAINT, 90);
    ck_assert_double_eq_tol(agreement(CQ_SEEN_LINE, &near), exp(-0.5), 1e-9); /* off by what it was read to */
    ck_assert_double_lt(agreement(CQ_SEEN_LINE, &good), 1e-6);
    ck_assert_double_lt(agreement(CQ_SEEN_LINE, &soft), 1e-12);
    ck_assert_double_gt(agreement(CQ_SEEN_FAINT, &faint), 0.99);
    ck_assert_double_lt(agreement(CQ_SEEN_FAINT, &good), 0.1);
    ck_assert_double_gt(agreement(CQ_SEEN_NONE, &through), 0.99);
    ck_assert_double_gt(agreement(CQ_SEEN_NONE, &soft), 0.99);
    ck_assert_double_lt(agreement(CQ_SEEN_NONE, &good), 0.05);
    ck_assert_double_gt(agreement(CQ_SEEN_THROUGH, &through), 0.99);
    ck_assert_double_lt(agreement(CQ_SEEN_THROUGH, &soft), 1e-12);
    ck_assert_double_gt(agreement(CQ_SEEN_SOFT, &soft), 0.9);
    ck_assert_double_lt(agreement(CQ_SEEN_SOFT, &good), 0.05);
    cq_row skinned = good, hidden = row_of(NAN, CQ_VERDICT_GOOD, 440);
    skinned.value[CQ_FIGURE_EDGE_FACE_HV] = 400.0; /* a file meets the skin */
    ck_assert_double_gt(agreement(CQ_SEEN_SOFT, &skinned), 0.9);
    skinned.value[CQ_FIGURE_EDGE_FACE_HV] = 820.0;
    ck_assert_double_lt(agreement(CQ_SEEN_SOFT, &skinned), 0.05);
    ck_assert_double_gt(agreement(CQ_SEEN_NONE, &hidden), 0.99);
    ck_assert_double_gt(agreement(CQ_SEEN_FAINT, &hidden), 0.5);
    const cq_row below = row_of(4e-3, CQ_VERDICT_SPINE, 10); /* a line there is, below a hard spine */
    ck_assert_double_lt(agreement(CQ_SEEN_NONE, &below), 0.5);
    cq_row failed = good;
    failed.state = CQ_ROW_FAILED;
    ck_assert_double_lt(agreement(CQ_SEEN_NONE, &failed), 1e-12);
}
END_TEST

START_TEST(agrees_with_cracks_and_curves) {
    cq_row row = row_of(11e-3, CQ_VERDICT_GOOD, 440);
    row.value[CQ_FIGURE_CRACK_INDEX] = 600.0;
    row.value[CQ_FIGURE_CRACK_TIME] = 3.2;
    row.value[CQ_FIGURE_CRACK_SINCE] = 2.9;
    cq_seen seen = {.kind = CQ_SEEN_CRACKED, .time_s = 3.0};
    const double on_time = cq_why_likelihood(&row, &seen, 28e-3, 0.11);
    ck_assert_double_gt(on_time, 0.8);
    seen.time_s = 60.0;
    ck_assert_double_lt(cq_why_likelihood(&row, &seen, 28e-3, 0.11), 0.1);
    row.value[CQ_FIGURE_CRACK_TIME] = 120.0; /* high from 2.9 s on: any moment between will do */
    ck_assert_double_gt(cq_why_likelihood(&row, &seen, 28e-3, 0.11), 0.8);
    seen.time_s = 3.0;
    ck_assert_double_gt(cq_why_likelihood(&row, &seen, 28e-3, 0.11), 0.8);
    seen.time_s = 1.0;
    ck_assert_double_lt(cq_why_likelihood(&row, &seen, 28e-3, 0.11), 0.3);
    row.value[CQ_FIGURE_CRACK_INDEX] = 30.0;
    row.value[CQ_FIGURE_CRACK_SINCE] = NAN;
    seen.time_s = NAN;
    ck_assert_double_lt(cq_why_likelihood(&row, &seen, 28e-3, 0.11), 0.05);
    row.value[CQ_FIGURE_RISE] = -2e-3;
    seen.kind = CQ_SEEN_TO_EDGE;
    ck_assert_double_gt(cq_why_likelihood(&row, &seen, 28e-3, 0.11), 0.9);
    seen.kind = CQ_SEEN_TO_SPINE;
    ck_assert_double_lt(cq_why_likelihood(&row, &seen, 28e-3, 0.11), 0.1);
}
END_TEST

/* Three causes reach the height: the nearest to the plan comes first; one that reaches it better but is far off loses;
 * of a cause its best change is told. */
START_TEST(ranks_by_agreement_and_plausibility) {
    const cq_why_change changes[] = {{.cause = CQ_CAUSE_AS_PLANNED, .own = -1}, {.cause = CQ_CAUSE_SOAK, .z = 1.0},
                                     {.cause = CQ_CAUSE_SOAK, .z = 2.0},        {.cause = CQ_CAUSE_BODY, .z = 1.0},
                                     {.cause = CQ_CAUSE_STEEL, .z = 3.0},       {.cause = CQ_CAUSE_WASH, .z = 0.5}};
    const cq_row rows[] = {row_of(11e-3, CQ_VERDICT_GOOD, 440),  row_of(9.5e-3, CQ_VERDICT_GOOD, 440),
                           row_of(8e-3, CQ_VERDICT_GOOD, 440),   row_of(8.1e-3, CQ_VERDICT_GOOD, 440),
                           row_of(8.0e-3, CQ_VERDICT_GOOD, 440), row_of(10.9e-3, CQ_VERDICT_GOOD, 440)};
    const cq_seen seen = {.kind = CQ_SEEN_LINE, .line_m = 8e-3, .within_m = 0.5e-3};
    cq_why why;
    cq_why_rank(&why, &seen, changes, rows, 6, 28e-3, 0.11);
    ck_assert_uint_eq(why.causes_n, 5);
    ck_assert_int_eq(why.cause[0].cause, CQ_CAUSE_BODY);
    ck_assert_int_eq(why.cause[1].cause, CQ_CAUSE_SOAK);
    ck_assert_uint_eq(why.cause[1].change, 2); /* not the one that falls short */
    ck_assert_int_eq(why.cause[2].cause, CQ_CAUSE_STEEL);
    ck_assert(why.explained);
    double sum = 0.0;
    for (size_t k = 0; k < why.causes_n; k++) {
        sum += why.cause[k].weight;
    }
    ck_assert_double_eq_tol(sum, 1.0, 1e-12);
    ck_assert_double_eq_tol(why.cause[1].weight / why.cause[0].weight, exp(-2.0) / exp(-0.5 - 0.5 * 0.04), 1e-9);
    const cq_seen far = {.kind = CQ_SEEN_LINE, .line_m = 3e-3, .within_m = 0.5e-3};
    cq_why_rank(&why, &far, changes, rows, 6, 28e-3, 0.11);
    ck_assert(!why.explained);
    ck_assert_int_eq(why.cause[0].cause, CQ_CAUSE_SOAK); /* the nearest to 3 mm, and not the likeliest */
    const cq_seen farther = {.kind = CQ_SEEN_LINE, .line_m = 3e-3, .within_m = 0.05e-3}; /* exp() is 0 of all */
    cq_why_rank(&why, &farther, changes, rows, 6, 28e-3, 0.11);
    ck_assert_int_eq(why.cause[0].cause, CQ_CAUSE_SOAK);
    ck_assert_int_eq(why.cause[why.causes_n - 1].cause, CQ_CAUSE_AS_PLANNED);
}
END_TEST

static size_t count(const cq_why_change *changes, size_t n, cq_cause cause) {
    size_t found = 0;
    for (size_t k = 0; k < n; k++) {
        found += changes[k].cause == cause;
    }
    return found;
}

static void washed_plan(cq_plan *plan, cq_step_plan steps[2], cq_coat_point points[4]) {
    start_plan(plan, steps, 40);
    for (int s = 0; s < 2; s++) { /* baths made by hand state no range */
        steps[s].bath.at_min_K = 273.15;
        steps[s].bath.at_max_K = 363.15;
    }
    plan->blade = sloyd_blade();
    const cq_coat_point laid[4] = {
        {0, 0.05e-3, 0.05e-3}, {8e-3, 0.05e-3, 0.05e-3}, {11e-3, 2e-3, 2e-3}, {28e-3, 2e-3, 2e-3}};
    memcpy(points, laid, sizeof laid);
    plan->coat = (cq_coat){4, points, 0.05e-3, 2e-3};
}

START_TEST(changes_fit_the_plan) {
    static cq_why_change changes[CQ_WHY_MOST];
    cq_plan plan;
    cq_step_plan steps[2];
    cq_coat_point points[4];
    const cq_seen seen = {.kind = CQ_SEEN_LINE, .line_m = 8e-3, .within_m = 0.5e-3}, tip = {.kind = CQ_SEEN_TIP};
    washed_plan(&plan, steps, points);
    size_t n = cq_why_changes(&plan, &seen, NULL, 0, changes);
    ck_assert_int_eq(changes[0].cause, CQ_CAUSE_AS_PLANNED);
    ck_assert_uint_eq(count(changes, n, CQ_CAUSE_AS_PLANNED), 1);
    ck_assert_uint_eq(count(changes, n, CQ_CAUSE_SOAK), 12); /* half a scatter to three, either way */
    ck_assert_uint_eq(count(changes, n, CQ_CAUSE_STRUCTURE), 3);
    ck_assert_uint_ge(count(changes, n, CQ_CAUSE_LOST), 3);
    ck_assert_uint_eq(count(changes, n, CQ_CAUSE_SOAKED), 2);
    ck_assert_uint_eq(count(changes, n, CQ_CAUSE_PULL), 0); /* one bath, until cold */
    ck_assert_uint_eq(count(changes, n, CQ_CAUSE_TIP_SECTION), 0);
    const cq_why_other other = {CQ_CAUSE_STEEL, 2.5, "steel W2", &plan};
    ck_assert_uint_eq(cq_why_changes(&plan, &seen, &other, 1, changes), n + 1);
    n = cq_why_changes(&plan, &tip, NULL, 0, changes);
    ck_assert_uint_eq(count(changes, n, CQ_CAUSE_TIP_SECTION), 4);
    ck_assert_uint_eq(count(changes, n, CQ_CAUSE_STEEL), 0);
    plan.coat = (cq_coat){0}; /* bare: nothing to lose, lift or soak */
    plan.heat.start_K = 1073.15;
    n = cq_why_changes(&plan, &seen, NULL, 0, changes);
    ck_assert_uint_eq(count(changes, n, CQ_CAUSE_LOST) + count(changes, n, CQ_CAUSE_LIFTED) +
                          count(changes, n, CQ_CAUSE_SOAKED) + count(changes, n, CQ_CAUSE_WASH) +
                          count(changes, n, CQ_CAUSE_STRUCTURE),
                      0);
}
END_TEST

/* Each change's plan differs from the plan in its one thing and is sound. */
START_TEST(plans_differ_in_one_thing) {
    static cq_why_change changes[CQ_WHY_MOST];
    cq_plan plan;
    cq_step_plan steps[2];
    cq_coat_point points[4];
    const cq_seen seen = {.kind = CQ_SEEN_LINE, .line_m = 8e-3, .within_m = 0.5e-3};
    washed_plan(&plan, steps, points);
    const size_t n = cq_why_changes(&plan, &seen, NULL, 0, changes);
    cq_why_runs runs = {&plan, changes, NULL};
    const cq_study_source source = cq_why_source(&runs);
    for (size_t k = 0; k < n; k++) {
        cq_plan made;
        cq_error error = CQ_ERROR_INIT;
        cq_plan_init(&made);
        ck_assert_msg(source.plan(source.context, k, &made, &error) >= 0, "%s: %s", cq_cause_key(changes[k].cause),
                      error.count > 0 ? error.items[0].found : "");
        const bool soak = changes[k].cause == CQ_CAUSE_SOAK, salt = changes[k].cause == CQ_CAUSE_SALT;
        ck_assert_int_eq(fabs(made.heat.temperature_K - plan.heat.temperature_K) > 1.0, soak);
        ck_assert_int_eq(made.steps[1].bath.salt > 0.0, salt);
        ck_assert_int_eq(made.lost_n > 0, changes[k].cause == CQ_CAUSE_LOST);
        ck_assert_int_eq(made.heat.stock != plan.heat.stock, changes[k].cause == CQ_CAUSE_STRUCTURE);
        source.release(source.context, k, &made);
    }
    for (int cause = 0; cause < CQ_CAUSES; cause++) {
        ck_assert_ptr_nonnull(cq_cause_test((cq_cause)cause));
    }
}
END_TEST

int main(void) {
    TCase *tc = tcase_create("why");
    tcase_add_test(tc, agrees_with_what_was_seen);
    tcase_add_test(tc, agrees_with_cracks_and_curves);
    tcase_add_test(tc, ranks_by_agreement_and_plausibility);
    tcase_add_test(tc, changes_fit_the_plan);
    tcase_add_test(tc, plans_differ_in_one_thing);
    return run_case(tc, "why");
}
