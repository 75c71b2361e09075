/* spread.c - samples of a plan's uncertain inputs as runs of a study, and what the rows of such a study come to. */
#include <clayquench/spread.h>

#include "base/memory.h"
#include "study/sampling.h"
#include "study/statistics.h"

#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

_Static_assert((int)CQ_UNCERTAINS <= (int)CQ_SAMPLING_DIMENSIONS, "every kind has a dimension of its own");

cq_status cq_spread_fill(cq_study_table *table, const cq_uncertain *inputs, size_t n, uint64_t seed) {
    const size_t samples = table->runs_n;
    double *u = cq_memory_zero(samples, CQ_SAMPLING_DIMENSIONS * sizeof *u);
    if (u == NULL || cq_sampling_uniform(samples, CQ_SPREAD_GROUPS, seed, u) != CQ_OK) {
        cq_memory_free(u);
        return CQ_ERR_MEMORY;
    }
    for (size_t k = 0; k < n; k++) {
        for (size_t i = 0; i < samples; i++) {
            const double z = cq_sampling_normal(u[i * CQ_SAMPLING_DIMENSIONS + (size_t)inputs[k].kind]);
            table->inputs[i * n + k] = cq_uncertain_value(&inputs[k], z, NULL);
        }
    }
    cq_memory_free(u);
    return CQ_OK;
}

/* ---- runs -------------------------------------------------------------------------------------------------------- */

static cq_status make_plan(void *context, size_t run, cq_plan *plan, cq_error *error) {
    const cq_spreading *s = context;
    cq_status status =
        cq_uncertain_apply(s->plan, s->inputs, s->inputs_n, s->table->inputs + run * s->inputs_n, plan, error);
    if (status >= 0) {
        status = cq_plan_check(plan, error); /* values that make no sense together are a failed sample */
        if (status < 0) {
            cq_plan_clear(plan);
        }
    }
    return status;
}

static void release_plan(void *context, size_t run, cq_plan *plan) {
    (void)context;
    (void)run;
    cq_plan_clear(plan);
}

cq_study_source cq_spread_source(cq_spreading *spreading) {
    return (cq_study_source){make_plan, release_plan, spreading};
}

/* ---- samples of a figure ----------------------------------------------------------------------------------------- */

/* Those among the first `samples` in which a figure has a value; memory of its own. */
typedef struct drawn {
    double *y, *x;
    unsigned char *group;
    cq_sampled sampled;
} drawn;

static void release_drawn(drawn *d) {
    cq_memory_free(d->y);
    cq_memory_free(d->x);
    cq_memory_free(d->group);
}

/* What is asked of a row: a figure or, with one, whether it is `least` at least (1) or not (0). */
typedef struct question {
    cq_figure figure;
    bool yes_or_no;
    double least;
} question;

/* NaN where the row has no answer. */
static double answer(const question *q, const cq_row *row) {
    const double value = row->value[q->figure];
    if (row->state != CQ_ROW_DONE) {
        return NAN;
    }
    return !q->yes_or_no ? value : value >= q->least ? 1.0 : 0.0; /* no line, NaN, is a no */
}

/* x is left out where only y is asked for. */
static cq_status draw(const cq_study_table *t, size_t samples, const question *q, bool with_x, drawn *d) {
    const size_t k = with_x ? t->inputs_n : 0;
    *d = (drawn){.y = cq_memory_zero(samples, sizeof(double)),
                 .x = cq_memory_zero(samples, k * sizeof(double)),
                 .group = cq_memory_zero(samples, 1)};
    if (d->y == NULL || d->x == NULL || d->group == NULL) {
        release_drawn(d);
        return CQ_ERR_MEMORY;
    }
    size_t n = 0;
    for (size_t i = 0; i < samples; i++) {
        const double y = answer(q, &t->row[i]);
        if (isfinite(y)) {
            d->y[n] = y;
            d->group[n] = (unsigned char)(i % CQ_SPREAD_GROUPS);
            memcpy(d->x + n * k, t->inputs + i * t->inputs_n, k * sizeof(double));
            n++;
        }
    }
    d->sampled = (cq_sampled){n, k, d->y, d->x, d->group};
    return CQ_OK;
}

static cq_status percentiles_of(const cq_study_table *t, size_t samples, cq_figure figure, cq_percentiles *to) {
    drawn d;
    cq_status status = draw(t, samples, &(question){.figure = figure}, false, &d);
    if (status >= 0) {
        status = cq_statistics_percentiles(&d.sampled, to);
        release_drawn(&d);
    }
    return status;
}

static cq_status influence_on(const cq_study_table *t, size_t samples, const question *q, cq_influence *to) {
    drawn d;
    cq_status status = draw(t, samples, q, true, &d);
    if (status >= 0) {
        status = cq_statistics_influence(&d.sampled, to);
        release_drawn(&d);
    }
    return status;
}

static bool is_precise(const cq_percentiles *p, double precision_m) {
    return precision_m > 0.0 && p->p5.error <= precision_m && p->p50.error <= precision_m &&
           p->p95.error <= precision_m; /* NaN is not */
}

static bool line_is_precise(const cq_spreading *s, size_t samples) {
    cq_percentiles line;
    return percentiles_of(s->table, samples, CQ_FIGURE_LINE, &line) >= 0 && is_precise(&line, s->precision_m);
}

/* An error that is small by luck would end the study too early: it must have been small one block before, too. */
bool cq_spread_enough(void *spreading, size_t through) {
    return through > CQ_SPREAD_BLOCK && line_is_precise(spreading, through) &&
           line_is_precise(spreading, through - CQ_SPREAD_BLOCK);
}

/* ---- settings ---------------------------------------------------------------------------------------------------- */

static const char HEAD[] = "spread 1";

char *cq_spread_settings_write(const cq_uncertain *inputs, size_t n, const cq_spread_wish *wish,
                               char to[CQ_SPREAD_SETTINGS]) {
    int at =
        snprintf(to, CQ_SPREAD_SETTINGS, "%s samples %zu precision_m %.17g\n", HEAD, wish->samples, wish->precision_m);
    for (size_t k = 0; k < n; k++) {
        const cq_uncertain *u = &inputs[k];
        at += snprintf(to + at, (size_t)(CQ_SPREAD_SETTINGS - at), "%s %s %.17g %.17g %.17g %.17g %s\n",
                       cq_uncertain_key(u->kind), u->lognormal ? "log-normal" : "normal", u->centre, u->sigma, u->low,
                       u->high, cq_uncertain_origin_words(u->origin));
    }
    return to;
}

static bool find_kind(const char *key, cq_uncertain_kind *kind) {
    for (int k = 0; k < CQ_UNCERTAINS; k++) {
        if (strcmp(cq_uncertain_key((cq_uncertain_kind)k), key) == 0) {
            *kind = (cq_uncertain_kind)k;
            return true;
        }
    }
    return false;
}

static bool find_origin(const char *words, cq_uncertain_origin *origin) {
    for (int o = 0; o < CQ_ORIGINS; o++) {
        if (strcmp(cq_uncertain_origin_words((cq_uncertain_origin)o), words) == 0) {
            *origin = (cq_uncertain_origin)o;
            return true;
        }
    }
    return false;
}

static bool read_input(const char *line, cq_uncertain *u) {
    char key[32], law[16], origin[16];
    if (sscanf(line, "%31s %15s %lf %lf %lf %lf %15s", key, law, &u->centre, &u->sigma, &u->low, &u->high, origin) !=
            7 ||
        !(u->sigma > 0.0) || !(u->low <= u->centre && u->centre <= u->high)) {
        return false;
    }
    u->lognormal = strcmp(law, "log-normal") == 0;
    return find_kind(key, &u->kind) && find_origin(origin, &u->origin);
}

cq_status cq_spread_settings_read(const char *settings, cq_uncertain *inputs, size_t *n, cq_spread_wish *wish) {
    char head[sizeof HEAD];
    snprintf(head, sizeof head, "%s", settings);
    if (strcmp(head, HEAD) != 0 ||
        sscanf(settings + strlen(HEAD), " samples %zu precision_m %lf", &wish->samples, &wish->precision_m) != 2) {
        return CQ_ERR_FORMAT;
    }
    *n = 0;
    for (const char *line = strchr(settings, '\n'); line != NULL && line[1] != '\0'; line = strchr(line + 1, '\n')) {
        if (*n >= CQ_UNCERTAINS || !read_input(line + 1, &inputs[(*n)++])) {
            return CQ_ERR_FORMAT;
        }
    }
    return CQ_OK;
}

/* ---- the whole --------------------------------------------------------------------------------------------------- */

const cq_row *cq_spread_row(const cq_spread *spread, size_t i) {
    return &spread->table->row[i];
}

const double *cq_spread_inputs(const cq_spread *spread, size_t i) {
    return spread->table->inputs + i * spread->inputs_n;
}

static void count_rows(cq_spread *s) {
    for (size_t i = 0; i < s->samples; i++) {
        const cq_row *row = cq_spread_row(s, i);
        s->done += row->state == CQ_ROW_DONE;
        if (row->state == CQ_ROW_FAILED) {
            if (s->failed < CQ_SPREAD_FAILURES) {
                s->failure[s->failed] = i;
            }
            s->failed++;
        }
        for (size_t k = 0; k < s->inputs_n; k++) {
            const cq_uncertain *u = &s->input[k];
            const double value = cq_spread_inputs(s, i)[k];
            s->held[k] += !(value > u->low && value < u->high);
        }
    }
}

static const double HARD = 0.5; /* of martensite at least, as the verdict has it */

static cq_chance chance_of(const cq_spread *s, cq_figure figure, double least) {
    size_t hits = 0, n = 0;
    for (size_t i = 0; i < s->samples; i++) {
        const double value = cq_spread_row(s, i)->value[figure];
        n += isfinite(value);
        hits += value >= least;
    }
    return cq_statistics_chance(hits, n);
}

static void find_chances(cq_spread *s) {
    size_t verdicts[CQ_VERDICT_INERT + 1] = {0}, lines = 0;
    for (size_t i = 0; i < s->samples; i++) {
        const cq_row *row = cq_spread_row(s, i);
        if (row->state == CQ_ROW_DONE) {
            const int verdict = (int)row->value[CQ_FIGURE_VERDICT];
            if (verdict >= 0 && verdict <= CQ_VERDICT_INERT) {
                verdicts[verdict]++;
            }
            lines += isfinite(row->value[CQ_FIGURE_LINE]);
        }
    }
    for (int v = 0; v <= CQ_VERDICT_INERT; v++) {
        s->verdict[v] = cq_statistics_chance(verdicts[v], s->done);
    }
    s->line = cq_statistics_chance(lines, s->done);
    s->hard_edge = chance_of(s, CQ_FIGURE_EDGE_MARTENSITE, HARD);
    s->hard_body = chance_of(s, CQ_FIGURE_BODY_MARTENSITE, HARD);
    s->hard_spine = chance_of(s, CQ_FIGURE_SPINE_MARTENSITE, HARD);
}

/* What decides the verdict, most of all. */
static question find_decider(cq_spread *s) {
    const struct {
        const cq_chance *chance;
        question question;
    } open[] = {[CQ_DECIDER_LINE] = {&s->line, {CQ_FIGURE_LINE, true, -HUGE_VAL}},
                [CQ_DECIDER_EDGE] = {&s->hard_edge, {CQ_FIGURE_EDGE_MARTENSITE, true, HARD}},
                [CQ_DECIDER_BODY] = {&s->hard_body, {CQ_FIGURE_BODY_MARTENSITE, true, HARD}},
                [CQ_DECIDER_SPINE] = {&s->hard_spine, {CQ_FIGURE_SPINE_MARTENSITE, true, HARD}}};
    for (int d = CQ_DECIDER_LINE; d <= CQ_DECIDER_SPINE; d++) {
        const double share = open[d].chance->share; /* NaN, not asked, is no nearer */
        if (fabs(share - 0.5) < fabs(open[s->decider].chance->share - 0.5)) {
            s->decider = (cq_spread_decider)d;
        }
    }
    return open[s->decider].question;
}

cq_status cq_spread_create(cq_spread **spread, const cq_spread_rows *rows, const cq_spread_wish *wish) {
    cq_spread *s = cq_memory_zero(1, sizeof *s);
    if (s == NULL) {
        return CQ_ERR_MEMORY;
    }
    s->title = rows->title;
    s->wish = *wish;
    s->inputs_n = rows->inputs_n;
    for (size_t k = 0; k < rows->inputs_n; k++) {
        s->input[k] = rows->inputs[k];
    }
    s->table = rows->table;
    s->samples = rows->samples;
    s->has_planned = rows->planned != NULL;
    if (s->has_planned) {
        cq_figures_of(rows->planned, s->planned);
        s->double_edged = rows->planned->section != NULL && rows->planned->section->family == CQ_FAMILY_DOUBLE_EDGED;
    }
    count_rows(s);
    find_chances(s);
    cq_status status = CQ_OK;
    for (int f = 0; f < CQ_FIGURES && status >= 0; f++) {
        status = percentiles_of(s->table, s->samples, (cq_figure)f, &s->figure[f]);
    }
    status =
        status < 0 ? status : influence_on(s->table, s->samples, &(question){.figure = CQ_FIGURE_LINE}, &s->on_line);
    status =
        status < 0 ? status : influence_on(s->table, s->samples, &(question){.figure = CQ_FIGURE_EDGE_HV}, &s->on_edge);
    const question decider = find_decider(s);
    status = status < 0 ? status : influence_on(s->table, s->samples, &decider, &s->on_decider);
    s->precise = is_precise(&s->figure[CQ_FIGURE_LINE], wish->precision_m);
    if (status < 0) {
        cq_memory_free(s);
        return status;
    }
    *spread = s;
    return CQ_OK;
}

void cq_spread_free(cq_spread *spread) {
    cq_memory_free(spread);
}
