/* why.c - changes of a plan, their runs, and the ranking of causes. */
#include "study/why_own.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

const char *cq_seen_words(cq_seen_kind kind) {
    static const char *const words[CQ_SEEN_KINDS] = {"a height, for instance 5 mm",
                                                     "faint",
                                                     "none",
                                                     "hard right through",
                                                     "soft edge",
                                                     "fades at the tip",
                                                     "cracked",
                                                     "curved to the edge",
                                                     "curved to the spine"};
    return words[kind];
}

/* ---- changes ----------------------------------------------------------------------------------------------------- */

static const cq_cause CAUSE_OF[CQ_UNCERTAINS] = {
    [CQ_UNCERTAIN_SOAK] = CQ_CAUSE_SOAK,
    [CQ_UNCERTAIN_COAT] = CQ_CAUSE_BODY,
    [CQ_UNCERTAIN_EDGE_COAT] = CQ_CAUSE_WASH,
    [CQ_UNCERTAIN_CONDUCTIVITY] = CQ_CAUSE_MIX,
    [CQ_UNCERTAIN_NOSE] = CQ_CAUSE_BATCH,
    [CQ_UNCERTAIN_RIM] = CQ_CAUSE_RIM,
    [CQ_UNCERTAIN_BATH_TEMPERATURE] = CQ_CAUSE_BATH_TEMPERATURE,
    [CQ_UNCERTAIN_BATH_STRENGTH] = CQ_CAUSE_BATH_STRENGTH,
    [CQ_UNCERTAIN_REWETTING] = CQ_CAUSE_BATH_STRENGTH,
    [CQ_UNCERTAIN_EDGE] = CQ_CAUSE_EDGE,
    [CQ_UNCERTAIN_THICKNESS] = CQ_CAUSE_THICKNESS,
    [CQ_UNCERTAIN_TRANSFER] = CQ_CAUSE_TRANSFER,
    [CQ_UNCERTAIN_PULL] = CQ_CAUSE_PULL,
    [CQ_UNCERTAIN_LATER] = CQ_CAUSE_LATER,
    [CQ_UNCERTAIN_CARBON] = CQ_CAUSE_CARBON,
    [CQ_UNCERTAIN_MANGANESE] = CQ_CAUSE_MANGANESE,
    [CQ_UNCERTAIN_MARTENSITE_START] = CQ_CAUSE_MARTENSITE,
};

typedef struct list {
    cq_why_change *change;
    size_t n;
} list;

static cq_why_change *add(list *l, cq_cause cause, double z) {
    if (l->n == CQ_WHY_MOST) {
        return NULL;
    }
    l->change[l->n] = (cq_why_change){.cause = cause, .z = z};
    return &l->change[l->n++];
}

static void add_input(list *l, cq_cause cause, const cq_uncertain *u, double z, double value) {
    const bool moved = value < u->centre || value > u->centre;
    cq_why_change *c = moved ? add(l, cause, z) : NULL;
    if (c != NULL) {
        c->has_input = true;
        c->input = *u;
        c->value = value;
    }
}

/* An input held at the end of its range stands no farther off than that end. */
static void add_inputs(list *l, const cq_uncertain *inputs, size_t n) {
    static const double off[] = {0.5, 1.0, 1.5, 2.0, 2.5, 3.0};
    for (size_t k = 0; k < n; k++) {
        if (inputs[k].kind == CQ_UNCERTAIN_MARTENSITE_HARDNESS) { /* moves no line, curve or crack */
            continue;
        }
        for (int sign = -1; sign <= 1; sign += 2) {
            bool held = false;
            for (size_t z = 0; z < sizeof off / sizeof off[0] && !held; z++) {
                const double value = cq_uncertain_value(&inputs[k], sign * off[z], &held);
                if (!held) {
                    add_input(l, CAUSE_OF[inputs[k].kind], &inputs[k], off[z], value);
                }
            }
        }
    }
}

static const cq_uncertain *input_of(const cq_uncertain *inputs, size_t n, cq_uncertain_kind kind) {
    for (size_t k = 0; k < n; k++) {
        if (inputs[k].kind == kind) {
            return &inputs[k];
        }
    }
    return NULL;
}

/* What a tip may have of its own: a section told nowhere, another heat, another coat. How usual: chosen here. */
static void add_tip(list *l, const cq_uncertain *inputs, size_t n) {
    static const struct {
        cq_uncertain_kind kind;
        cq_cause cause;
        double z, factor, shift;
    } of_tips[] = {{CQ_UNCERTAIN_THICKNESS, CQ_CAUSE_TIP_SECTION, 0.5, 0.85, 0},
                   {CQ_UNCERTAIN_THICKNESS, CQ_CAUSE_TIP_SECTION, 0.5, 0.7, 0},
                   {CQ_UNCERTAIN_THICKNESS, CQ_CAUSE_TIP_SECTION, 1.0, 0.55, 0},
                   {CQ_UNCERTAIN_THICKNESS, CQ_CAUSE_TIP_SECTION, 1.5, 0.45, 0},
                   {CQ_UNCERTAIN_SOAK, CQ_CAUSE_TIP_HEAT, 1.0, 1, 20.0},
                   {CQ_UNCERTAIN_SOAK, CQ_CAUSE_TIP_HEAT, 1.5, 1, 40.0},
                   {CQ_UNCERTAIN_SOAK, CQ_CAUSE_TIP_HEAT, 2.0, 1, 70.0},
                   {CQ_UNCERTAIN_SOAK, CQ_CAUSE_TIP_HEAT, 1.0, 1, -20.0},
                   {CQ_UNCERTAIN_SOAK, CQ_CAUSE_TIP_HEAT, 1.5, 1, -40.0},
                   {CQ_UNCERTAIN_SOAK, CQ_CAUSE_TIP_HEAT, 2.0, 1, -60.0},
                   {CQ_UNCERTAIN_COAT, CQ_CAUSE_TIP_CLAY, 1.0, 0.7, 0},
                   {CQ_UNCERTAIN_COAT, CQ_CAUSE_TIP_CLAY, 1.5, 0.5, 0},
                   {CQ_UNCERTAIN_COAT, CQ_CAUSE_TIP_CLAY, 2.0, 0.3, 0},
                   {CQ_UNCERTAIN_COAT, CQ_CAUSE_TIP_CLAY, 1.0, 1.4, 0},
                   {CQ_UNCERTAIN_EDGE_COAT, CQ_CAUSE_TIP_CLAY, 1.0, 2.0, 0},
                   {CQ_UNCERTAIN_EDGE_COAT, CQ_CAUSE_TIP_CLAY, 1.5, 4.0, 0},
                   {CQ_UNCERTAIN_RIM, CQ_CAUSE_TIP_CLAY, 1.0, 1, -2e-3},
                   {CQ_UNCERTAIN_RIM, CQ_CAUSE_TIP_CLAY, 1.5, 1, -4e-3},
                   {CQ_UNCERTAIN_TRANSFER, CQ_CAUSE_TRANSFER, 1.0, 1, 0.5},
                   {CQ_UNCERTAIN_TRANSFER, CQ_CAUSE_TRANSFER, 2.0, 1, 1.0}};
    for (size_t k = 0; k < sizeof of_tips / sizeof of_tips[0]; k++) {
        const cq_uncertain *u = input_of(inputs, n, of_tips[k].kind);
        const double value = u == NULL ? NAN : u->centre * of_tips[k].factor + of_tips[k].shift;
        if (u != NULL && value >= u->low && value <= u->high) {
            add_input(l, of_tips[k].cause, u, of_tips[k].z, value);
        }
    }
}

/* A copy whose steps may be written. False when memory is short; the plan is empty then. */
static bool begin(cq_why_draft *d, const cq_plan *plan, cq_plan *changed) {
    cq_arena *arena = cq_arena_create();
    cq_step_plan *steps = arena == NULL ? NULL : cq_arena_take(arena, plan->steps_n, sizeof *steps);
    if (steps == NULL) {
        cq_arena_free(arena);
        return false;
    }
    memcpy(steps, plan->steps, plan->steps_n * sizeof *steps);
    *changed = *plan;
    changed->arena = arena;
    changed->steps = steps;
    *d = (cq_why_draft){changed, steps, 0};
    while (d->first < plan->steps_n && steps[d->first].bath.kind == CQ_BATH_GAS) {
        d->first++;
    }
    return true;
}

static void add_own(list *l, const cq_plan *plan) {
    cq_plan changed;
    cq_why_draft d;
    if (!begin(&d, plan, &changed)) {
        return;
    }
    for (size_t k = 0; k < CQ_WHY_OWN_N; k++) {
        const cq_why_own *own = &CQ_WHY_OWN[k];
        cq_why_change *c = own->fits(&d, own->amount) ? add(l, own->cause, own->z) : NULL;
        if (c != NULL) {
            c->own = (int)k;
            snprintf(c->words, sizeof c->words, "%s", own->words);
        }
    }
    cq_plan_clear(&changed);
}

size_t cq_why_changes(const cq_plan *plan, const cq_seen *seen, const cq_why_other *others, size_t others_n,
                      cq_why_change changes[CQ_WHY_MOST]) {
    list l = {changes, 0};
    cq_uncertain inputs[CQ_UNCERTAINS];
    const size_t n = cq_uncertain_of(plan, inputs);
    cq_why_change *as_planned = add(&l, CQ_CAUSE_AS_PLANNED, 0.0);
    as_planned->own = -1;
    snprintf(as_planned->words, sizeof as_planned->words, "as the plan has it");
    if (seen->kind == CQ_SEEN_TIP) {
        add_tip(&l, inputs, n);
        return l.n;
    }
    add_inputs(&l, inputs, n);
    add_own(&l, plan);
    for (size_t k = 0; k < others_n; k++) {
        cq_why_change *c = add(&l, others[k].cause, others[k].z);
        if (c != NULL) {
            c->own = CQ_WHY_OTHERS + (int)k;
            snprintf(c->words, sizeof c->words, "%s", others[k].words);
        }
    }
    return l.n;
}

/* ---- runs -------------------------------------------------------------------------------------------------------- */

static cq_status make_plan(void *context, size_t run, cq_plan *plan, cq_error *error) {
    const cq_why_runs *r = context;
    const cq_why_change *c = &r->changes[run];
    const cq_plan *from = !c->has_input && c->own >= CQ_WHY_OTHERS ? r->others[c->own - CQ_WHY_OTHERS].plan : r->plan;
    cq_status status = CQ_OK;
    cq_plan made;
    cq_why_draft d;
    if (c->has_input) {
        status = cq_uncertain_apply(from, &c->input, 1, &c->value, &made, error);
    } else if (!begin(&d, from, &made) ||
               (c->own >= 0 && c->own < CQ_WHY_OTHERS && !CQ_WHY_OWN[c->own].apply(&d, CQ_WHY_OWN[c->own].amount))) {
        status = cq_error_say(error, CQ_ERR_MEMORY, "", "", "", "%s", cq_status_sentence(CQ_ERR_MEMORY));
    }
    if (status >= 0) {
        status = cq_plan_check(&made, error);
        if (status < 0) {
            cq_plan_clear(&made);
        } else {
            *plan = made;
        }
    }
    return status;
}

static void release_plan(void *context, size_t run, cq_plan *plan) {
    (void)context, (void)run;
    cq_plan_clear(plan);
}

cq_study_source cq_why_source(cq_why_runs *runs) {
    return (cq_study_source){make_plan, release_plan, runs};
}

/* ---- agreement --------------------------------------------------------------------------------------------------- */

/* 1 far above `middle`, 0 far below, one half there; `width` is how sharply. */
static double rises(double x, double middle, double width) {
    return isfinite(x) ? 1.0 / (1.0 + exp(-(x - middle) / width)) : 0.0;
}

static int verdict_of(const cq_row *row) {
    return (int)row->value[CQ_FIGURE_VERDICT];
}

/* Contrast below about 150 HV etches weakly (the verdict's limit is 120), and so does a band wider than some 4 mm;
 * chosen here. */
static double pale(const cq_row *row) {
    const double *v = row->value, band = v[CQ_FIGURE_BAND_10] - v[CQ_FIGURE_BAND_90];
    return fmax(1.0 - rises(v[CQ_FIGURE_CONTRAST], 150.0, 40.0), rises(band, 4e-3, 0.7e-3));
}

/* Hard edge and soft back, but a skin without carbon lies over the border. */
static bool is_hidden(const cq_row *row) {
    return verdict_of(row) == CQ_VERDICT_GOOD && !isfinite(row->value[CQ_FIGURE_LINE]);
}

static double no_line(const cq_row *row, double faint) {
    const int verdict = verdict_of(row);
    return is_hidden(row)                                                   ? 1.0
           : verdict == CQ_VERDICT_NO_EDGE || verdict == CQ_VERDICT_THROUGH ? 1.0
           : verdict == CQ_VERDICT_FAINT                                    ? faint
           : verdict == CQ_VERDICT_SPINE                                    ? 0.3 /* there is one, below a hard spine */
                                                                            : 0.5 * faint * pale(row);
}

static double through(const cq_row *row, double height_m) {
    if (verdict_of(row) == CQ_VERDICT_THROUGH) {
        return 1.0;
    }
    if (verdict_of(row) == CQ_VERDICT_NO_EDGE) {
        return 0.0;
    }
    const double line = row->value[CQ_FIGURE_LINE]; /* the higher, the more of the blade a file finds hard */
    return fmax(0.5 * rises(row->value[CQ_FIGURE_SPINE_MARTENSITE], 0.5, 0.1),
                isfinite(line) ? 0.5 * rises(line / height_m, 0.9, 0.05) : 0.0);
}

/* The class's thresholds are 100 and 400 MPa; half of what lies between is said to crack; chosen here. It may crack
 * from the moment at which its class begins to that at which the tension is nearly worst. */
static double cracked(const cq_row *row, double time_s) {
    const double index = row->value[CQ_FIGURE_CRACK_INDEX], most = row->value[CQ_FIGURE_CRACK_TIME];
    const double since = row->value[CQ_FIGURE_CRACK_SINCE], begins = isfinite(since) ? fmin(since, most) : most;
    const double likely = index > 0.0 ? rises(log(index / 200.0), 0.0, 0.5) : 0.01;
    if (!isfinite(time_s) || !isfinite(most)) {
        return likely;
    }
    const double off = fmax(0.0, fmax(begins - time_s, time_s - most)) / fmax(1.0, 0.3 * time_s);
    return likely * fmax(exp(-0.5 * off * off), 0.02);
}

/* The curve's own band: half of it, at least 3 mm on 700 mm; see the result's curve.low_mm. An eye along the blade sees
 * one of a five hundredth of the length; chosen here. */
static double curved(const cq_row *row, double sign, double length_m) {
    const double rise = sign * row->value[CQ_FIGURE_RISE];
    const double sure = fmax(0.5 * fabs(rise), 3e-3 * length_m * length_m / (0.7 * 0.7));
    return isfinite(rise) ? 0.5 * erfc((length_m / 500.0 - rise) / (sure * sqrt(2.0))) : 0.0;
}

/* A file skates from about 58 HRC on (common practice, no source); it meets the face. */
static double soft(const cq_row *row) {
    const double face = row->value[CQ_FIGURE_EDGE_FACE_HV];
    const double bitten = isfinite(face) ? 1.0 - rises(face, 650.0, 25.0) : 0.0;
    return fmax(bitten, 1.0 - rises(row->value[CQ_FIGURE_EDGE_MARTENSITE], 0.5, 0.1));
}

static double at_height(const cq_row *row, const cq_seen *seen) {
    const double off = (row->value[CQ_FIGURE_LINE] - seen->line_m) / seen->within_m;
    return isfinite(off) && verdict_of(row) != CQ_VERDICT_NO_EDGE ? exp(-0.5 * off * off) : 0.0;
}

double cq_why_likelihood(const cq_row *row, const cq_seen *seen, double height_m, double length_m) {
    if (row->state != CQ_ROW_DONE) {
        return 0.0;
    }
    switch (seen->kind) {
    case CQ_SEEN_LINE:
        return at_height(row, seen);
    case CQ_SEEN_FAINT:
        return verdict_of(row) == CQ_VERDICT_FAINT                                              ? 1.0
               : is_hidden(row)                                                                 ? 0.7
               : verdict_of(row) == CQ_VERDICT_NO_EDGE || verdict_of(row) == CQ_VERDICT_THROUGH ? 0.3
                                                                                                : pale(row);
    case CQ_SEEN_NONE:
        return no_line(row, 0.7);
    case CQ_SEEN_TIP:
        return no_line(row, 1.0);
    case CQ_SEEN_THROUGH:
        return through(row, height_m);
    case CQ_SEEN_SOFT:
        return soft(row);
    case CQ_SEEN_CRACKED:
        return cracked(row, seen->time_s);
    case CQ_SEEN_TO_EDGE:
        return curved(row, -1.0, length_m);
    case CQ_SEEN_TO_SPINE:
        return curved(row, 1.0, length_m);
    default:
        return 0.0;
    }
}

/* ---- ranking ----------------------------------------------------------------------------------------------------- */

/* How near a row comes to what was seen, for ranking where nothing agrees; more is nearer. */
static double nearness(const cq_row *row, const cq_seen *seen, double likelihood) {
    const double line = row->value[CQ_FIGURE_LINE];
    if (seen->kind != CQ_SEEN_LINE) {
        return likelihood;
    }
    return row->state == CQ_ROW_DONE && isfinite(line) && verdict_of(row) != CQ_VERDICT_NO_EDGE
               ? -fabs(line - seen->line_m)
               : -HUGE_VAL;
}

static void insert(cq_why *why, const cq_why_cause *one, double rank, double ranks[CQ_CAUSES]) {
    size_t at = why->causes_n++;
    for (; at > 0 && rank > ranks[at - 1]; at--) {
        why->cause[at] = why->cause[at - 1];
        ranks[at] = ranks[at - 1];
    }
    why->cause[at] = *one;
    ranks[at] = rank;
}

/* Each cause by its best change, by weight or by nearness. */
static void rank(cq_why *why, bool by_weight, double height_m, double length_m) {
    double ranks[CQ_CAUSES], sum = 0.0;
    why->causes_n = 0;
    for (int cause = 0; cause < CQ_CAUSES; cause++) {
        cq_why_cause best = {.cause = (cq_cause)cause};
        double most = -HUGE_VAL;
        bool any = false;
        for (size_t c = 0; c < why->changes_n; c++) {
            if ((int)why->changes[c].cause != cause) {
                continue;
            }
            const double z = why->changes[c].z;
            const double likelihood = cq_why_likelihood(&why->rows[c], &why->seen, height_m, length_m);
            const double weight = likelihood * exp(-0.5 * z * z);
            const double value = by_weight ? weight : nearness(&why->rows[c], &why->seen, likelihood);
            if (!any || value > most) {
                best = (cq_why_cause){(cq_cause)cause, c, likelihood, weight};
                most = value;
                any = true;
            }
        }
        if (any) {
            insert(why, &best, most, ranks);
            sum += best.weight;
            why->explained = why->explained || best.likelihood >= CQ_WHY_EXPLAINS;
        }
    }
    for (size_t k = 0; k < why->causes_n; k++) {
        why->cause[k].weight = sum > 0.0 ? why->cause[k].weight / sum : 0.0;
    }
}

void cq_why_rank(cq_why *why, const cq_seen *seen, const cq_why_change *changes, const cq_row *rows, size_t n,
                 double height_m, double length_m) {
    *why = (cq_why){.seen = *seen, .changes = changes, .rows = rows, .changes_n = n};
    why->planned = n > 0 ? cq_why_likelihood(&rows[0], seen, height_m, length_m) : 0.0;
    rank(why, true, height_m, length_m);
    if (!why->explained) {
        rank(why, false, height_m, length_m);
    }
}
