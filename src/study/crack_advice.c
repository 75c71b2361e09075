/* crack_advice.c - see crack_advice.h. Changes plans, runs them, sorts what came out. */
#include "study/uncertain_kinds.h"

#include <clayquench/crack_advice.h>
#include <math.h>
#include <stdlib.h>

/* How far each thing is moved: what a smith does without a new plan of work. Chosen here. */
static const struct {
    cq_uncertain_kind kind;
    double by;
} MOVES[] = {{CQ_UNCERTAIN_PULL, 1.0},
             {CQ_UNCERTAIN_PULL, -1.0},
             {CQ_UNCERTAIN_BATH_TEMPERATURE, 20.0},
             {CQ_UNCERTAIN_BATH_TEMPERATURE, -20.0},
             {CQ_UNCERTAIN_EDGE, 0.4e-3},
             {CQ_UNCERTAIN_EDGE, -0.4e-3},
             {CQ_UNCERTAIN_RIM, 2e-3},
             {CQ_UNCERTAIN_RIM, -2e-3},
             {CQ_UNCERTAIN_SOAK, 20.0},
             {CQ_UNCERTAIN_SOAK, -20.0}};
enum { MOVES_N = sizeof MOVES / sizeof MOVES[0] };
_Static_assert((int)MOVES_N == (int)CQ_CRACK_CHANGES, "a place for every move");

static const double LEAST_SHARE = 0.25; /* of a move that its range must leave, or it is not worth a run; chosen here */
static const double NOISE = 0.05;       /* share of the index that grid and steps may make; chosen here */

/* The study: run n changes `input[n]` to `value[n]`. */
typedef struct advising {
    const cq_plan *plan;
    size_t n;
    cq_uncertain input[MOVES_N];
    double value[MOVES_N];
} advising;

static bool makes_sense(const cq_plan *plan, const cq_uncertain *input, double value) {
    cq_plan changed;
    cq_plan_init(&changed);
    const bool sense =
        cq_uncertain_apply(plan, input, 1, &value, &changed, NULL) >= 0 && cq_plan_check(&changed, NULL) >= 0;
    cq_plan_clear(&changed);
    return sense;
}

static void list_changes(advising *a, const cq_plan *plan) {
    a->plan = plan;
    for (int m = 0; m < MOVES_N; m++) {
        cq_uncertain u = {.kind = MOVES[m].kind};
        if (!CQ_UNCERTAIN_LAWS[u.kind].measure(plan, &u)) {
            continue;
        }
        const double value = fmin(fmax(u.centre + MOVES[m].by, u.low), u.high);
        if (fabs(value - u.centre) >= LEAST_SHARE * fabs(MOVES[m].by) && makes_sense(plan, &u, value)) {
            a->input[a->n] = u;
            a->value[a->n++] = value;
        }
    }
}

static cq_status make_plan(void *context, size_t run, cq_plan *plan, cq_error *error) {
    const advising *a = context;
    return cq_uncertain_apply(a->plan, &a->input[run], 1, &a->value[run], plan, error);
}

static void release_plan(void *context, size_t run, cq_plan *plan) {
    (void)context;
    (void)run;
    cq_plan_clear(plan);
}

/* Is there a line that a polisher would bring out? */
static bool shows_line(double line_m, cq_verdict verdict) {
    return !isnan(line_m) && verdict != CQ_VERDICT_NO_EDGE && verdict != CQ_VERDICT_THROUGH &&
           verdict != CQ_VERDICT_SPINE && verdict != CQ_VERDICT_FAINT;
}

static cq_crack_change change_of(const advising *a, size_t n, const cq_row *row, const cq_result *planned) {
    cq_crack_change c = {.kind = a->input[n].kind, .from = a->input[n].centre, .to = a->value[n]};
    c.run = row->state == CQ_ROW_DONE && !isnan(row->value[CQ_FIGURE_CRACK]);
    c.index_MPa = row->value[CQ_FIGURE_CRACK_INDEX];
    c.line_m = row->value[CQ_FIGURE_LINE];
    if (c.run) {
        c.class_n = (int)row->value[CQ_FIGURE_CRACK];
        c.verdict = (cq_verdict)(int)row->value[CQ_FIGURE_VERDICT];
        c.loses_edge = c.verdict == CQ_VERDICT_NO_EDGE && planned->verdict != CQ_VERDICT_NO_EDGE;
        c.hides_line = !shows_line(c.line_m, c.verdict) && shows_line(planned->line_surface_m, planned->verdict);
    }
    return c;
}

static int badness(const cq_crack_change *c) {
    return !c->run ? 2 : c->loses_edge || c->hides_line ? 1 : 0;
}

static int by_rank(const void *one, const void *other) {
    const cq_crack_change *a = one, *b = other;
    if (badness(a) != badness(b)) {
        return badness(a) - badness(b);
    }
    if (a->run && (a->index_MPa < b->index_MPa || a->index_MPa > b->index_MPa)) {
        return a->index_MPa < b->index_MPa ? -1 : 1;
    }
    return a->kind != b->kind ? (int)a->kind - (int)b->kind : (a->to > b->to) - (a->to < b->to);
}

bool cq_crack_advice_wanted(const cq_result *r) {
    return r->crack.known && r->crack.class_n > 0;
}

cq_status cq_crack_advise(const cq_plan *plan, const cq_result *result, const cq_study_options *options,
                          const cq_study_sink *sink, cq_crack_advice *advice, cq_error *error) {
    advising a = {0};
    list_changes(&a, plan);
    *advice = (cq_crack_advice){.n = a.n};
    if (a.n == 0) {
        return CQ_OK;
    }
    cq_study_table *table = NULL;
    cq_status status = cq_study_table_create(&table, a.n, 1, error);
    if (status >= 0) {
        const cq_study_source source = {make_plan, release_plan, &a};
        status = cq_study_go(table, &source, options, sink, error);
    }
    for (size_t n = 0; status >= 0 && n < a.n; n++) {
        advice->change[n] = change_of(&a, n, &table->row[n], result);
    }
    cq_study_table_free(table);
    if (status >= 0) {
        qsort(advice->change, a.n, sizeof advice->change[0], by_rank);
        const cq_crack_change *best = &advice->change[0];
        advice->lowers = best->run && best->index_MPa < (1.0 - NOISE) * result->crack.index_MPa;
    }
    return status;
}
