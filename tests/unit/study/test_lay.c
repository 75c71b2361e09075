/* The search for a layout on a made-up blade whose line is a formula, the solver of rims, layouts as coats, reasons. */
#include "../../run/plans.h"
#include "../../suite.h"
#include "study/lay_judge.h"
#include "study/lay_rim.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* ---- a made-up blade --------------------------------------------------------------------------------------------- */

/* The line lies up the ramp and moves with a sample's number: the more, the thinner the body and the wider the ramp. */
typedef struct made_up {
    double least_m, most_m; /* lines; beyond: none (hard right through above `most_m`, no edge below `least_m`) */
    bool through, soft;     /* always */
    double edge_HV, spine_HV;
    size_t asked, unbuildable, hash;
    const cq_lay_wish *wish;
    const cq_lay_field *field;
} made_up;

static double number_of(size_t sample) {
    return sample == 0 ? 0.0 : 1.7 * ((double)(sample * 37 % 101) / 50.0 - 1.0);
}

static void make_up(const made_up *m, const cq_lay_trial *t, cq_row *row) {
    const cq_layout *l = &t->layout;
    const double off = number_of(t->sample) * (0.2e-3 + 1.2e-3 * (3e-3 - l->body_m) / 3e-3 + 0.2 * l->ramp_m);
    const double line = l->rim_m[0] + 0.6 * l->ramp_m - 4.0 * l->wash_m + off;
    for (int f = 0; f < CQ_FIGURES; f++) {
        row->value[f] = NAN;
    }
    row->state = CQ_ROW_DONE;
    const bool soft = m->soft || (!m->through && line < m->least_m), through = m->through || line > m->most_m;
    row->value[CQ_FIGURE_EDGE_MARTENSITE] = soft ? 0.1 : 0.9;
    row->value[CQ_FIGURE_EDGE_HV] = m->edge_HV;
    row->value[CQ_FIGURE_SPINE_HV] = m->spine_HV;
    row->value[CQ_FIGURE_VERDICT] = soft ? CQ_VERDICT_NO_EDGE : through ? CQ_VERDICT_THROUGH : CQ_VERDICT_GOOD;
    if (!soft && !through) {
        row->value[CQ_FIGURE_LINE] = line;
        row->value[CQ_FIGURE_LINE_LEFT] = line;
        row->value[CQ_FIGURE_LINE_RIGHT] = line + l->rim_m[1] - l->rim_m[0] - 0.5e-3; /* needs a higher rim there */
        row->value[CQ_FIGURE_BAND_90] = line - l->ramp_m;
        row->value[CQ_FIGURE_BAND_10] = line + l->ramp_m;
    }
}

static cq_status answer(void *context, const cq_lay_trial *trial, size_t n, cq_row *row, cq_error *error) {
    made_up *m = context;
    (void)error;
    for (size_t i = 0; i < n; i++) {
        m->unbuildable += !cq_layout_is_buildable(&trial[i].layout, m->wish, m->field);
        make_up(m, &trial[i], &row[i]);
        m->hash = m->hash * 31 + (size_t)lround(1e6 * trial[i].layout.rim_m[0]) + 7 * trial[i].sample;
    }
    m->asked += n;
    return CQ_OK;
}

static const cq_lay_wish WISH = {.line_m = 8e-3,
                                 .within_m = 0.5e-3,
                                 .step_m = 0.25e-3,
                                 .thinnest_m = 0.5e-3,
                                 .thickest_m = 3e-3,
                                 .samples = 50,
                                 .seed = 1};
static const cq_lay_field FIELD = {.height_m = 28e-3};

static cq_lay find(made_up *m, const cq_lay_wish *wish, const cq_lay_field *field) {
    cq_lay lay;
    m->wish = wish;
    m->field = field;
    ck_assert_int_ge(cq_lay_find(wish, field, 0, &(cq_lay_trier){answer, m}, &lay, NULL), 0);
    ck_assert_uint_eq(m->unbuildable, 0); /* never asks for what a hand cannot lay */
    ck_assert_uint_le(m->asked, cq_lay_trials_most(wish, 0));
    ck_assert_uint_eq(m->asked, lay.runs);
    return lay;
}

static const made_up BLADE = {.least_m = 1e-3, .most_m = 20e-3, .edge_HV = 800, .spine_HV = 380};

START_TEST(finds_the_surest) {
    made_up m = BLADE;
    const cq_lay lay = find(&m, &WISH, &FIELD);
    ck_assert_int_eq(lay.end, CQ_LAY_FOUND);
    const cq_lay_choice *best = &lay.choice[0];
    ck_assert_double_eq_tol(best->value[CQ_FIGURE_LINE], 8e-3, 0.3e-3 + 1e-9);
    /* least scatter: 0.2 mm + 0.2 ramp + what the body lacks of 3 mm; a ramp is no narrower than the body is thick */
    double least = HUGE_VAL;
    for (double body = 0.5e-3; body < 3.1e-3; body += 0.25e-3) {
        least = fmin(least, 1.2e-3 * (3e-3 - body) / 3e-3 + 0.2 * body);
    }
    const double scatter = 1.2e-3 * (3e-3 - best->layout.body_m) / 3e-3 + 0.2 * best->layout.ramp_m;
    ck_assert_double_le(scatter, least + 0.1e-3); /* of 0.6 to 1.3 mm: one step of body or ramp moves it by 0.05 */
    ck_assert_uint_eq(lay.choices_n, 2);
    ck_assert(fabs(lay.choice[1].layout.wash_m - best->layout.wash_m) > 1e-9 ||
              fabs(lay.choice[1].layout.body_m - best->layout.body_m) > 0.19 * best->layout.body_m);
    ck_assert_double_ge(best->chance.share + 0.1, lay.choice[1].chance.share); /* told by other samples: 50 of them */
}
END_TEST

START_TEST(tells_by_samples_that_had_no_part) {
    made_up m = BLADE;
    const cq_lay lay = find(&m, &WISH, &FIELD);
    size_t hits = 0;
    for (size_t k = 0; k < WISH.samples; k++) { /* behind those to choose by: 30 of them */
        cq_row row;
        make_up(&m, &(cq_lay_trial){.layout = lay.choice[0].layout, .sample = 30 + k + 1}, &row);
        hits += cq_lay_meets(&row, &WISH, WISH.within_m, false);
    }
    ck_assert_double_eq_tol(lay.choice[0].chance.share, (double)hits / (double)WISH.samples, 1e-12);
    ck_assert_uint_eq(lay.choice[0].chance.n, WISH.samples);
    const cq_lay_choice *c = &lay.choice[0];
    ck_assert_uint_eq(hits + c->low + c->high + c->no_line + c->too_hard + c->too_soft, WISH.samples);
}
END_TEST

START_TEST(asks_the_same_again) {
    made_up a = BLADE, b = BLADE;
    find(&a, &WISH, &FIELD);
    find(&b, &WISH, &FIELD);
    ck_assert_uint_eq(a.hash, b.hash);
    ck_assert_uint_eq(a.asked, b.asked);
}
END_TEST

START_TEST(frees_the_sides) {
    made_up m = BLADE;
    cq_lay_wish wish = WISH;
    wish.free_sides = true;
    const cq_lay lay = find(&m, &wish, &FIELD);
    ck_assert_int_eq(lay.end, CQ_LAY_FOUND);
    ck_assert_double_eq_tol(lay.choice[0].layout.rim_m[1] - lay.choice[0].layout.rim_m[0], 0.5e-3, 0.25e-3 + 1e-9);
}
END_TEST

START_TEST(frees_the_bath) {
    made_up m = BLADE;
    cq_lay_wish wish = WISH;
    cq_lay_field field = FIELD;
    field.bath_K = 313.15;
    field.bath_low_K = 300.15;
    field.bath_high_K = 325.15;
    wish.free_bath = true;
    const cq_lay lay = find(&m, &wish, &field);
    ck_assert(lay.choice[0].layout.bath_K < 1.0 ||
              (lay.choice[0].layout.bath_K >= field.bath_low_K && lay.choice[0].layout.bath_K <= field.bath_high_K));
}
END_TEST

START_TEST(says_why_not) {
    const struct {
        made_up blade;
        double line_m, edge_HV, spine_HV;
        cq_lay_end end;
    } cases[] = {{{.through = true, .edge_HV = 800}, 8e-3, 0, 0, CQ_LAY_THROUGH},
                 {{.soft = true, .edge_HV = 300}, 8e-3, 0, 0, CQ_LAY_SOFT},
                 {{.least_m = 5e-3, .most_m = 20e-3, .edge_HV = 800}, 3e-3, 0, 0, CQ_LAY_GAP},
                 {{.least_m = 1e-3, .most_m = 10e-3, .edge_HV = 800}, 14e-3, 0, 0, CQ_LAY_GAP},
                 {{.least_m = 0, .most_m = HUGE_VAL, .edge_HV = 800}, 27.9e-3, 0, 0, CQ_LAY_TOO_HIGH},
                 {BLADE, 8e-3, 820, 0, CQ_LAY_EDGE},
                 {BLADE, 8e-3, 0, 350, CQ_LAY_SPINE}};
    for (size_t k = 0; k < sizeof cases / sizeof cases[0]; k++) {
        made_up m = cases[k].blade;
        cq_lay_wish wish = WISH;
        wish.line_m = cases[k].line_m;
        wish.within_m = 0.2e-3;
        wish.edge_HV = cases[k].edge_HV;
        wish.spine_HV = cases[k].spine_HV;
        const cq_lay lay = find(&m, &wish, &FIELD);
        ck_assert_msg(lay.end == cases[k].end, "case %zu ends with %d", k, (int)lay.end);
        ck_assert_uint_eq(lay.choices_n, 0);
    }
}
END_TEST

/* ---- rims -------------------------------------------------------------------------------------------------------- */

/* Tries until the rim is known; line = place + 3.3 steps above `low`, soft below it, through from `high` on. */
static int solve(int wanted, int low, int high, int begin, int most, int *best) {
    cq_rim_search r = cq_rim_begin(begin, most);
    int tries = 0;
    for (; !r.over && tries < 50; tries++) {
        const double miss = r.at < low ? -HUGE_VAL : r.at >= high ? HUGE_VAL : (double)(r.at - wanted) + 0.3;
        cq_rim_learn(&r, miss, 1.0);
    }
    *best = r.best;
    return tries;
}

START_TEST(solves_rims) {
    int best = -1;
    for (int wanted = 0; wanted < 100; wanted++) {
        const int tries = solve(wanted, 0, 1000, 40, 99, &best);
        ck_assert_int_eq(best, wanted);
        ck_assert_int_le(tries, 2); /* slope 1: one step of Newton's method */
    }
    ck_assert_int_le(solve(30, 25, 36, 90, 99, &best), 9); /* lines between 25 and 35 only: found by halving */
    ck_assert_int_eq(best, 30);
    ck_assert_int_le(solve(30, 0, 0, 90, 99, &best), 3); /* hard right through everywhere: the lowest place tells */
    ck_assert_int_eq(best, -1);
    ck_assert_int_le(solve(30, 1000, 2000, 10, 99, &best), 3); /* soft everywhere */
    ck_assert_int_eq(best, -1);
    solve(-5, 0, 1000, 40, 99, &best); /* wanted below all there is: the lowest is nearest */
    ck_assert_int_eq(best, 0);
    solve(5, 0, 1000, 40, -1, &best); /* no room for a rim */
    ck_assert_int_eq(best, -1);
}
END_TEST

/* ---- layouts ----------------------------------------------------------------------------------------------------- */

START_TEST(lays_coats) {
    cq_coat_point p[CQ_LAYOUT_POINTS];
    cq_coat coat;
    const cq_layout wash = {.wash_m = 0.05e-3, .rim_m = {5e-3, 5e-3}, .ramp_m = 2e-3, .body_m = 2e-3};
    cq_layout_coat(&wash, &FIELD, p, &coat);
    ck_assert_uint_eq(coat.n, 4);
    ck_assert_double_eq_tol(p[1].at_m, 5e-3, 1e-12);
    ck_assert_double_eq_tol(p[2].left_m, 2e-3, 1e-12);
    ck_assert_double_eq_tol(coat.edge_m, 0.05e-3, 1e-12);
    ck_assert_double_eq_tol(coat.spine_m, 2e-3, 1e-12);
    cq_layout bare = wash;
    bare.wash_m = 0.0;
    cq_layout_coat(&bare, &FIELD, p, &coat);
    ck_assert_uint_eq(coat.n, 3); /* bare below the rim: no points there */
    ck_assert_double_eq_tol(p[0].at_m, 5e-3, 1e-12);
    cq_layout uneven = wash;
    uneven.rim_m[1] = 6e-3;
    cq_layout_coat(&uneven, &FIELD, p, &coat);
    ck_assert_uint_eq(coat.n, 6);
    ck_assert_double_eq_tol(p[2].left_m - p[2].right_m, 0.5 * (2e-3 - 0.05e-3),
                            1e-12); /* at 6 mm, half-way up on the left */
    cq_lay_field two = FIELD;
    two.double_edged = true;
    cq_layout_coat(&wash, &two, p, &coat);
    ck_assert_uint_eq(coat.n, 6);
    ck_assert_double_eq_tol(coat.spine_m, 0.05e-3, 1e-12);
    ck_assert_double_eq_tol(p[4].at_m, 23e-3, 1e-12);
    ck_assert_double_eq_tol(p[3].left_m, 2e-3, 1e-12);
}
END_TEST

START_TEST(knows_what_a_hand_can_lay) {
    const cq_layout good = {.wash_m = 0.05e-3, .rim_m = {5e-3, 5e-3}, .ramp_m = 2e-3, .body_m = 2e-3};
    ck_assert(cq_layout_is_buildable(&good, &WISH, &FIELD));
    cq_layout l = good;
    l.ramp_m = 1.75e-3; /* steeper than 45 degrees */
    ck_assert(!cq_layout_is_buildable(&l, &WISH, &FIELD));
    l = good;
    l.body_m = 1.9e-3; /* cannot be measured */
    ck_assert(!cq_layout_is_buildable(&l, &WISH, &FIELD));
    l = good;
    l.body_m = l.ramp_m = 3.25e-3; /* too thick */
    ck_assert(!cq_layout_is_buildable(&l, &WISH, &FIELD));
    l = good;
    l.rim_m[0] = l.rim_m[1] = 26e-3; /* no body left */
    ck_assert(!cq_layout_is_buildable(&l, &WISH, &FIELD));
    l = good;
    l.rim_m[1] = 6e-3; /* faces differ unasked */
    ck_assert(!cq_layout_is_buildable(&l, &WISH, &FIELD));
}
END_TEST

START_TEST(knows_the_field) {
    cq_plan plan;
    cq_step_plan steps[2];
    cq_lay_field f;
    start_plan(&plan, steps, 40);
    plan.blade = sloyd_blade();
    ck_assert_int_ge(cq_lay_field_of(&plan, &f, NULL), 0);
    ck_assert_double_le(f.bath_high_K, steps[1].until_K - 1.0); /* a bath hotter than until: never ends */
    ck_assert_double_eq_tol(f.pull_s, 0.0, 1e-12);              /* one bath, until cold */
    steps[1].bath.kind = CQ_BATH_OIL;
    steps[1].bath.flash_K = 450.0;
    steps[1].bath.at_max_K = 430.0;
    steps[1].until_K = 445.0;
    ck_assert_int_ge(cq_lay_field_of(&plan, &f, NULL), 0);
    ck_assert_double_eq_tol(f.bath_high_K, 373.15, 1e-9); /* damp clay */
    plan.coat_fired = true;
    ck_assert_int_ge(cq_lay_field_of(&plan, &f, NULL), 0);
    ck_assert_double_eq_tol(f.bath_high_K, 450.0 - 28.0, 1e-9); /* the flash point */
    plan.blade.family = CQ_FAMILY_PLATE;
    ck_assert_int_eq(cq_lay_field_of(&plan, &f, NULL), CQ_ERR_PLAN);
    plan.blade = sloyd_blade();
    plan.clay = (cq_clay){.name = NULL};
    ck_assert_int_eq(cq_lay_field_of(&plan, &f, NULL), CQ_ERR_PLAN);
}
END_TEST

/* Samples of two layouts differ from their plans by the same chance: the same factor on the clay's conductivity. */
START_TEST(samples_are_common) {
    cq_plan plan, laid[4];
    cq_step_plan steps[2];
    cq_lay_field f;
    double *z = NULL;
    start_plan(&plan, steps, 40);
    for (int s = 0; s < 2; s++) { /* baths made by hand state no range */
        steps[s].bath.at_min_K = 273.15;
        steps[s].bath.at_max_K = 363.15;
    }
    plan.blade = sloyd_blade();
    ck_assert_int_ge(cq_lay_field_of(&plan, &f, NULL), 0);
    ck_assert_int_ge(cq_lay_numbers(&WISH, &z), 0);
    const cq_layout a = {.wash_m = 0.05e-3, .rim_m = {5e-3, 5e-3}, .ramp_m = 2e-3, .body_m = 2e-3};
    cq_layout b = a;
    b.wash_m = 0.0;
    b.rim_m[0] = b.rim_m[1] = 7e-3;
    const cq_lay_trial trials[4] = {{a, 0, 0}, {a, 3, 0}, {b, 3, 0}, {a, 4, 0}};
    const cq_plan *const plans[1] = {&plan};
    cq_lay_runs runs = {plans, &f, trials, z, laid};
    const cq_study_source source = cq_lay_source(&runs);
    double k[4];
    for (size_t i = 0; i < 4; i++) {
        cq_plan made;
        cq_plan_init(&made);
        ck_assert_int_ge(source.plan(source.context, i, &made, NULL), 0);
        k[i] = made.clay.conductivity_W_mK.y[0];
        source.release(source.context, i, &made);
    }
    ck_assert_double_eq_tol(k[0], MIX_K[0], 1e-12);
    ck_assert_double_eq_tol(k[1], k[2], 1e-12);
    ck_assert(fabs(k[1] - k[0]) > 1e-6 && fabs(k[1] - k[3]) > 1e-6);
    cq_lay_numbers_free(z);
}
END_TEST

int main(void) {
    TCase *tc = tcase_create("lay");
    tcase_add_test(tc, finds_the_surest);
    tcase_add_test(tc, tells_by_samples_that_had_no_part);
    tcase_add_test(tc, asks_the_same_again);
    tcase_add_test(tc, frees_the_sides);
    tcase_add_test(tc, frees_the_bath);
    tcase_add_test(tc, says_why_not);
    tcase_add_test(tc, solves_rims);
    tcase_add_test(tc, lays_coats);
    tcase_add_test(tc, knows_what_a_hand_can_lay);
    tcase_add_test(tc, knows_the_field);
    tcase_add_test(tc, samples_are_common);
    return run_case(tc, "lay");
}
