/* lay_solve.c - see lay_search.h: trials asked for, and the rims of many candidates solved side by side. */
#include "base/memory.h"
#include "study/lay_rim.h"
#include "study/lay_search.h"

#include <math.h>

/* ---- asking ------------------------------------------------------------------------------------------------------ */

cq_status cq_lay_short_of_memory(cq_lay_search *s) {
    return cq_error_say(s->error, CQ_ERR_MEMORY, "", "", "", "%s", cq_status_sentence(CQ_ERR_MEMORY));
}

cq_status cq_lay_ask(cq_lay_search *s, const cq_lay_trial *trial, size_t n, cq_row *row) {
    const cq_status status = n == 0 ? CQ_OK : s->trier->rows(s->trier->context, trial, n, row, s->error);
    if (status < 0) {
        return status;
    }
    s->lay->runs += n;
    for (size_t i = 0; i < n; i++) {
        if (trial[i].plan == 0 && trial[i].sample == 0) {
            cq_lay_note(s->lay, &trial[i].layout, &row[i], s->fields[0].tempered);
        }
    }
    return CQ_OK;
}

/* ---- rims -------------------------------------------------------------------------------------------------------- */

/* Where each candidate's rims are looked for. */
typedef struct rims {
    cq_rim_search side[CQ_SIDES];
} rims;

int cq_lay_rim_most(const cq_lay_search *s, const cq_layout *l) {
    const cq_lay_field *f = &s->fields[0];
    const double most = f->double_edged ? 0.5 * f->height_m : f->height_m;
    return (int)floor((most - l->ramp_m - s->wish->step_m) / s->wish->step_m + 1e-6);
}

static void set_rims(const cq_lay_search *s, cq_layout *l, const rims *r) {
    for (int side = 0; side < CQ_SIDES; side++) {
        const cq_rim_search *at = &r->side[s->wish->free_sides ? side : 0];
        l->rim_m[side] = s->wish->step_m * (at->over && at->best >= 0 ? at->best : at->at);
    }
}

static bool are_over(const cq_lay_search *s, const rims *r) {
    return r->side[0].over && (!s->wish->free_sides || r->side[1].over);
}

static void learn(const cq_lay_search *s, cq_lay_candidate *c, rims *r, const cq_layout *tried, const cq_row *row) {
    const double miss = cq_lay_miss(row, s->wish);
    if (!c->known || fabs(miss) < fabs(c->miss_m)) {
        c->known = true;
        c->layout = *tried;
        c->row = *row;
        c->miss_m = miss;
    }
    const cq_figure figures[CQ_SIDES] = {s->wish->free_sides ? CQ_FIGURE_LINE_LEFT : CQ_FIGURE_LINE,
                                         CQ_FIGURE_LINE_RIGHT};
    for (int side = 0; side < (s->wish->free_sides ? CQ_SIDES : 1); side++) {
        if (!r->side[side].over) {
            cq_rim_learn(&r->side[side], cq_rim_miss(row, figures[side], s->wish->line_m), s->wish->step_m);
        }
    }
}

/* One round: the next rim of every candidate that still looks for one. */
static cq_status try_rims(cq_lay_search *s, cq_lay_candidate *c, rims *r, size_t n, size_t *asked) {
    cq_lay_trial *trial = cq_memory_zero(n, sizeof *trial);
    cq_row *row = cq_memory_zero(n, sizeof *row);
    size_t *of = cq_memory_zero(n, sizeof *of), m = 0;
    cq_status status = trial == NULL || row == NULL || of == NULL ? cq_lay_short_of_memory(s) : CQ_OK;
    for (size_t k = 0; k < n && status >= 0; k++) {
        if (!are_over(s, &r[k])) {
            trial[m] = (cq_lay_trial){.layout = c[k].layout, .plan = c[k].plan};
            set_rims(s, &trial[m].layout, &r[k]);
            of[m++] = k;
        }
    }
    status = status < 0 ? status : cq_lay_ask(s, trial, m, row);
    for (size_t i = 0; i < m && status >= 0; i++) {
        learn(s, &c[of[i]], &r[of[i]], &trial[i].layout, &row[i]);
    }
    *asked = m;
    cq_memory_free(trial);
    cq_memory_free(row);
    cq_memory_free(of);
    return status;
}

cq_status cq_lay_solve(cq_lay_search *s, cq_lay_candidate *c, size_t n) {
    rims *r = cq_memory_zero(n, sizeof *r);
    cq_status status = r == NULL ? cq_lay_short_of_memory(s) : CQ_OK;
    size_t asked = 1;
    for (size_t k = 0; k < n && status >= 0; k++) {
        for (int side = 0; side < CQ_SIDES; side++) {
            r[k].side[side] =
                cq_rim_begin((int)lround(c[k].layout.rim_m[side] / s->wish->step_m), cq_lay_rim_most(s, &c[k].layout));
        }
    }
    for (int t = 0; t < CQ_LAY_TRIES && asked > 0 && status >= 0; t++) {
        status = try_rims(s, c, r, n, &asked);
    }
    cq_memory_free(r);
    return status;
}
