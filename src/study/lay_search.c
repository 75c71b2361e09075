/* lay_search.c - the search for a layout.
 *
 * (1) On a coarse grid of wash, body and ramp the rim's height is solved for each (lay_rim.h): the line rises with it.
 * (2) Layouts that meet the wish as planned are quenched with a few common samples, the best third of them with twice
 * as many, the best of those with more. (3) From the best, single steps of rim, body and ramp are tried with the same
 * samples, the best taken, twice. (4) The best and the best of another wash or a clearly other body are told by samples
 * that had no part in choosing: a choice among many is otherwise told too well. If (1) finds nothing, what is known of
 * all layouts says why, and changes of the plan are tried with a few layouts.
 */
#include "study/lay_search.h"
#include "base/memory.h"

#include <math.h>
#include <string.h>

/* Chosen here. Washes: bare, a film, two brushed ones; common practice, no source. */
static const double WASHES_M[] = {0.0, 0.05e-3, 0.1e-3, 0.2e-3}, RAMPS[] = {1.0, 1.5, 2.5};
static const double BATH_STEPS_K[] = {-30.0, -20.0, -10.0, 10.0, 20.0, 30.0},
                    PULL_STEPS_S[] = {-1.0, -0.5, 0.5, 1.0, 2.0};
static const double NEAR = 0.6;       /* share of `within` the plan as written shall keep to: scatter comes on top */
static const double OTHER_BODY = 0.2; /* share of its thickness from which a body is another */
enum {
    WASHES = sizeof WASHES_M / sizeof WASHES_M[0],
    RAMPS_N = sizeof RAMPS / sizeof RAMPS[0],
    BATHS = sizeof BATH_STEPS_K / sizeof BATH_STEPS_K[0],
    PULLS = sizeof PULL_STEPS_S / sizeof PULL_STEPS_S[0],
    BODIES = 4,
    GRID = WASHES * BODIES * RAMPS_N,
    FREED = 3, /* layouts whose bath and pull are varied */
    SECOND = 16,
    THIRD = 6, /* layouts that get more samples, and still more */
    NEIGHBOURS = 10,
    ROUNDS = 2,
    WAY_LAYOUTS = 4,
    POOL = GRID + FREED * (BATHS + PULLS) + ROUNDS * NEIGHBOURS
};

static size_t few(const cq_lay_wish *w) {
    return w->samples / 5 > 5 ? w->samples / 5 : 5;
}

static size_t fewest(const cq_lay_wish *w) {
    return few(w) / 2;
}

static size_t more(const cq_lay_wish *w) {
    return 3 * w->samples / 5 > few(w) ? 3 * w->samples / 5 : few(w);
}

size_t cq_lay_samples(const cq_lay_wish *w) {
    return more(w) + w->samples;
}

size_t cq_lay_trials_most(const cq_lay_wish *w, size_t changes) {
    return POOL * (CQ_LAY_TRIES + fewest(w)) + SECOND * few(w) + (THIRD + ROUNDS * NEIGHBOURS) * more(w) +
           2 * w->samples + changes * WAY_LAYOUTS * CQ_LAY_TRIES;
}

/* ---- candidates -------------------------------------------------------------------------------------------------- */

static double to_step(const cq_lay_search *s, double m, bool up) {
    const double steps = m / s->wish->step_m;
    return s->wish->step_m * (up ? ceil(steps - 1e-6) : round(steps));
}

/* A layout of these lengths, its rim where the line would be if it lay four fifths up the ramp; the solver goes on. */
static bool make_layout(const cq_lay_search *s, double wash_m, double body_m, double ramp, cq_layout *l) {
    *l = (cq_layout){.wash_m = wash_m, .body_m = body_m};
    l->ramp_m = to_step(s, ramp * (body_m - wash_m) / CQ_CLAY_SLOPE, true);
    const int most = cq_lay_rim_most(s, l), at = (int)lround((s->wish->line_m - 0.8 * l->ramp_m) / s->wish->step_m);
    if (most < 0) {
        return false;
    }
    l->rim_m[0] = l->rim_m[1] = s->wish->step_m * (at < 0 ? 0 : at > most ? most : at);
    return cq_layout_is_buildable(l, s->wish, &s->fields[0]);
}

static bool same_layout(const cq_layout *a, const cq_layout *b) {
    const double rounding = 1e-9;
    return fabs(a->wash_m - b->wash_m) < rounding && fabs(a->rim_m[0] - b->rim_m[0]) < rounding &&
           fabs(a->rim_m[1] - b->rim_m[1]) < rounding && fabs(a->ramp_m - b->ramp_m) < rounding &&
           fabs(a->body_m - b->body_m) < rounding && fabs(a->bath_K - b->bath_K) < 1e-6 &&
           fabs(a->pull_s - b->pull_s) < 1e-6;
}

static void add(cq_lay_search *s, const cq_layout *l) {
    bool there = s->pool_n == POOL;
    for (size_t k = 0; k < s->pool_n && !there; k++) {
        there = same_layout(&s->pool[k].layout, l);
    }
    if (!there) {
        s->pool[s->pool_n++] = (cq_lay_candidate){.layout = *l, .miss_m = HUGE_VAL};
    }
}

/* Bodies from the thinnest to the thickest, each half as thick again or more. */
static double body_of(const cq_lay_search *s, int b) {
    const cq_lay_wish *w = s->wish;
    const double least = to_step(s, w->thinnest_m, true), most = w->step_m * floor(w->thickest_m / w->step_m + 1e-6);
    return to_step(s, least * pow(fmax(most, least) / least, (double)b / (BODIES - 1)), false);
}

static void add_grid(cq_lay_search *s) {
    for (int w = 0; w < WASHES; w++) {
        for (int b = 0; b < BODIES; b++) {
            for (int r = 0; r < RAMPS_N; r++) {
                cq_layout l;
                if (make_layout(s, WASHES_M[w], body_of(s, b), RAMPS[r], &l)) {
                    add(s, &l);
                }
            }
        }
    }
}

/* The candidate with the smallest miss among the first n that was not taken yet; n: none. */
static size_t next_best(const cq_lay_search *s, size_t n, const bool *taken) {
    size_t best = n;
    for (size_t k = 0; k < n; k++) {
        if (!taken[k] && (best == n || fabs(s->pool[k].miss_m) < fabs(s->pool[best].miss_m))) {
            best = k;
        }
    }
    return best;
}

static void add_freed(cq_lay_search *s) {
    const cq_lay_field *f = &s->fields[0];
    const size_t n = s->pool_n;
    bool taken[POOL] = {false};
    for (int k = 0; k < FREED && next_best(s, n, taken) < n; k++) {
        const size_t of = next_best(s, n, taken);
        taken[of] = true;
        for (int b = 0; b < BATHS && s->wish->free_bath; b++) {
            cq_layout l = s->pool[of].layout;
            l.bath_K = f->bath_K + BATH_STEPS_K[b];
            if (l.bath_K >= f->bath_low_K && l.bath_K <= f->bath_high_K) {
                add(s, &l);
            }
        }
        for (int p = 0; p < PULLS && s->wish->free_pull; p++) {
            cq_layout l = s->pool[of].layout;
            l.pull_s = f->pull_s + PULL_STEPS_S[p];
            if (l.pull_s >= f->pull_low_s && l.pull_s <= f->pull_high_s) {
                add(s, &l);
            }
        }
    }
}

/* ---- samples ----------------------------------------------------------------------------------------------------- */

static bool is_met(const cq_lay_search *s, const cq_lay_candidate *c) {
    return c->known && cq_lay_meets(&c->row, s->wish, s->near_m, s->fields[0].tempered);
}

/* Bring each of n candidates to so many samples. */
static cq_status sample(cq_lay_search *s, cq_lay_candidate **c, size_t n, size_t samples) {
    cq_lay_trial *trial = cq_memory_zero(n * samples, sizeof *trial);
    cq_row *row = cq_memory_zero(n * samples, sizeof *row);
    cq_status status = trial == NULL || row == NULL ? cq_lay_short_of_memory(s) : CQ_OK;
    size_t m = 0;
    for (size_t k = 0; k < n && status >= 0; k++) {
        for (size_t i = c[k]->samples; i < samples; i++) {
            trial[m++] = (cq_lay_trial){.layout = c[k]->layout, .sample = i + 1};
        }
    }
    status = status < 0 ? status : cq_lay_ask(s, trial, m, row);
    for (size_t k = 0, at = 0; k < n && status >= 0; k++) {
        for (; c[k]->samples < samples; c[k]->samples++, at++) {
            c[k]->counted += row[at].state == CQ_ROW_DONE;
            c[k]->score += cq_lay_worth(&row[at], s->wish, s->fields[0].tempered);
        }
    }
    cq_memory_free(trial);
    cq_memory_free(row);
    return status;
}

static double mean_score(const cq_lay_candidate *c) {
    return c->samples > 0 ? c->score / (double)c->samples : -1.0;
}

static bool is_surer(const cq_lay_candidate *a, const cq_lay_candidate *b) {
    return mean_score(a) > mean_score(b);
}

static void sort(cq_lay_candidate **c, size_t n) {
    for (size_t k = 1; k < n; k++) {
        cq_lay_candidate *moving = c[k];
        size_t at = k;
        for (; at > 0 && is_surer(moving, c[at - 1]); at--) {
            c[at] = c[at - 1];
        }
        c[at] = moving;
    }
}

static size_t list_met(cq_lay_search *s, cq_lay_candidate *list[POOL]) {
    size_t n = 0;
    for (size_t k = 0; k < s->pool_n; k++) {
        if (is_met(s, &s->pool[k])) {
            list[n++] = &s->pool[k];
        }
    }
    return n;
}

/* ---- the neighbourhood ------------------------------------------------------------------------------------------- */

/* Rim one step up and down as it is; body and ramp one step with the rim solved again. */
static cq_status try_neighbours(cq_lay_search *s, const cq_lay_candidate *from) {
    const double step = s->wish->step_m;
    const size_t first = s->pool_n;
    for (int n = 0; n < 4; n++) {
        cq_layout l = from->layout;
        double *length = n < 2 ? &l.body_m : &l.ramp_m;
        *length += n % 2 == 0 ? step : -step;
        if (cq_layout_is_buildable(&l, s->wish, &s->fields[0])) {
            add(s, &l);
        }
    }
    cq_status status = cq_lay_solve(s, s->pool + first, s->pool_n - first);
    cq_lay_trial trial[2];
    cq_row row[2];
    size_t n = 0;
    for (int up = -1; up <= 1 && status >= 0; up += 2) {
        cq_layout l = from->layout;
        l.rim_m[0] += up * step;
        l.rim_m[1] += up * step;
        if (cq_layout_is_buildable(&l, s->wish, &s->fields[0])) {
            trial[n++] = (cq_lay_trial){.layout = l};
        }
    }
    status = status < 0 ? status : cq_lay_ask(s, trial, n, row);
    for (size_t i = 0; i < n && status >= 0; i++) {
        const size_t before = s->pool_n;
        add(s, &trial[i].layout);
        if (s->pool_n > before) {
            cq_lay_candidate *c = &s->pool[before];
            c->known = true;
            c->row = row[i];
            c->miss_m = cq_lay_miss(&row[i], s->wish);
        }
    }
    return status;
}

static cq_lay_candidate *surest(cq_lay_search *s) {
    cq_lay_candidate *best = NULL;
    for (size_t k = 0; k < s->pool_n; k++) {
        cq_lay_candidate *c = &s->pool[k];
        if (is_met(s, c) && c->samples >= more(s->wish) && (best == NULL || is_surer(c, best))) {
            best = c;
        }
    }
    return best;
}

static cq_status refine(cq_lay_search *s) {
    cq_status status = CQ_OK;
    for (int round = 0; round < ROUNDS && status >= 0; round++) {
        cq_lay_candidate *best = surest(s), *fresh[POOL];
        const size_t first = s->pool_n;
        size_t n = 0;
        if (best == NULL || s->pool_n + NEIGHBOURS > POOL) {
            break;
        }
        status = try_neighbours(s, best);
        for (size_t k = first; k < s->pool_n && status >= 0; k++) {
            if (is_met(s, &s->pool[k])) {
                fresh[n++] = &s->pool[k];
            }
        }
        status = status < 0 ? status : sample(s, fresh, n, more(s->wish));
        if (status >= 0 && surest(s) == best) {
            break;
        }
    }
    return status;
}

/* ---- telling ----------------------------------------------------------------------------------------------------- */

static bool is_other_layout(const cq_layout *a, const cq_layout *b) {
    return fabs(a->wash_m - b->wash_m) > 1e-9 || fabs(a->body_m - b->body_m) > OTHER_BODY * b->body_m ||
           fabs(a->bath_K - b->bath_K) > 1e-6 || fabs(a->pull_s - b->pull_s) > 1e-6;
}

static cq_status tell(cq_lay_search *s, const cq_lay_candidate *c, cq_lay_choice *choice) {
    const size_t n = s->wish->samples, first = more(s->wish);
    cq_lay_trial *trial = cq_memory_zero(n, sizeof *trial);
    cq_row *row = cq_memory_zero(n, sizeof *row);
    cq_status status = trial == NULL || row == NULL ? cq_lay_short_of_memory(s) : CQ_OK;
    for (size_t i = 0; i < n && status >= 0; i++) {
        trial[i] = (cq_lay_trial){.layout = c->layout, .sample = first + i + 1};
    }
    status = status < 0 ? status : cq_lay_ask(s, trial, n, row);
    if (status >= 0) {
        *choice = (cq_lay_choice){.layout = c->layout};
        memcpy(choice->value, c->row.value, sizeof choice->value);
        status = cq_lay_count(choice, row, n, s->wish, s->fields[0].tempered);
    }
    cq_memory_free(trial);
    cq_memory_free(row);
    return status;
}

static cq_status tell_choices(cq_lay_search *s) {
    const cq_lay_candidate *best = surest(s), *next = NULL;
    for (size_t k = 0; k < s->pool_n; k++) {
        const cq_lay_candidate *c = &s->pool[k];
        if (is_met(s, c) && c->samples >= more(s->wish) && is_other_layout(&c->layout, &best->layout) &&
            (next == NULL || is_surer(c, next))) {
            next = c;
        }
    }
    cq_status status = tell(s, best, &s->lay->choice[0]);
    status = status < 0 || next == NULL ? status : tell(s, next, &s->lay->choice[1]);
    s->lay->choices_n = next == NULL ? 1 : 2;
    return status;
}

static cq_status choose(cq_lay_search *s) {
    cq_lay_candidate *list[POOL];
    size_t n = list_met(s, list);
    const struct {
        size_t layouts, samples;
    } rounds[] = {{POOL, fewest(s->wish)}, {SECOND, few(s->wish)}, {THIRD, more(s->wish)}};
    cq_status status = CQ_OK;
    for (size_t r = 0; r < sizeof rounds / sizeof rounds[0] && status >= 0; r++) {
        n = n < rounds[r].layouts ? n : rounds[r].layouts;
        status = sample(s, list, n, rounds[r].samples);
        sort(list, n);
    }
    status = status < 0 ? status : refine(s);
    return status < 0 ? status : tell_choices(s);
}

/* ---- what would have to change ----------------------------------------------------------------------------------- */

static cq_status look_for_ways(cq_lay_search *s, size_t changes) {
    const struct {
        int wash, body;
    } tried[WAY_LAYOUTS] = {{1, BODIES - 2}, {0, BODIES - 1}, {1, BODIES - 1}, {2, BODIES - 1}};
    cq_lay_candidate *c = cq_memory_zero(changes * WAY_LAYOUTS, sizeof *c);
    size_t n = 0;
    cq_status status = c == NULL ? cq_lay_short_of_memory(s) : CQ_OK;
    for (size_t k = 0; k < changes * WAY_LAYOUTS && status >= 0; k++) {
        cq_layout l;
        if (make_layout(s, WASHES_M[tried[k % WAY_LAYOUTS].wash], body_of(s, tried[k % WAY_LAYOUTS].body), 1.0, &l)) {
            c[n++] = (cq_lay_candidate){.layout = l, .plan = k / WAY_LAYOUTS + 1, .miss_m = HUGE_VAL};
        }
    }
    status = status < 0 ? status : cq_lay_solve(s, c, n);
    for (size_t k = 0; k < n && status >= 0; k++) {
        cq_lay *lay = s->lay;
        const size_t change = c[k].plan - 1;
        const bool told = lay->ways_n > 0 && lay->way[lay->ways_n - 1].change == change;
        const bool met =
            c[k].known && cq_lay_meets(&c[k].row, s->wish, s->wish->within_m, s->fields[c[k].plan].tempered);
        if (met && !told && lay->ways_n < CQ_LAY_WAYS) {
            cq_lay_way *way = &lay->way[lay->ways_n++];
            *way = (cq_lay_way){.change = change, .layout = c[k].layout};
            memcpy(way->value, c[k].row.value, sizeof way->value);
        }
    }
    cq_memory_free(c);
    return status;
}

/* ---- the whole --------------------------------------------------------------------------------------------------- */

static cq_status find(cq_lay_search *s, size_t changes) {
    add_grid(s);
    cq_status status = cq_lay_solve(s, s->pool, s->pool_n);
    if (status >= 0 && (s->wish->free_bath || s->wish->free_pull)) {
        const size_t first = s->pool_n;
        add_freed(s);
        status = cq_lay_solve(s, s->pool + first, s->pool_n - first);
    }
    if (status < 0) {
        return status;
    }
    cq_lay_candidate *list[POOL];
    s->near_m = NEAR * s->wish->within_m;
    if (list_met(s, list) == 0) {
        s->near_m = s->wish->within_m;
    }
    if (list_met(s, list) > 0) {
        s->lay->end = CQ_LAY_FOUND;
        return choose(s);
    }
    s->lay->end = cq_lay_reason(s->lay);
    return look_for_ways(s, changes);
}

cq_status cq_lay_find(const cq_lay_wish *wish, const cq_lay_field *fields, size_t changes, const cq_lay_trier *trier,
                      cq_lay *lay, cq_error *error) {
    memset(lay, 0, sizeof *lay);
    lay->wish = *wish;
    lay->lowest_m = lay->highest_m = lay->best_edge_HV = lay->best_spine_HV = NAN;
    cq_lay_search s = {.wish = wish, .fields = fields, .trier = trier, .lay = lay, .error = error};
    s.pool = cq_memory_zero(POOL, sizeof *s.pool);
    const cq_status status = s.pool == NULL ? cq_lay_short_of_memory(&s) : find(&s, changes);
    cq_memory_free(s.pool);
    return status;
}
