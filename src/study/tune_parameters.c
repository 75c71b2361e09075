/* tune_parameters.c - see tune_parameters.h and tune.h: words, priors, and what a value does to a plan. */
#include "study/tune_parameters.h"

#include "hardness/hardness.h"

typedef struct name {
    const char *key, *unit, *words;
} name;
static const name names[CQ_TUNABLES] = {
#define CQ_TUNABLE_NAME(name, key, unit, words) {key, unit, words},
    CQ_TUNABLE_LIST(CQ_TUNABLE_NAME)
#undef CQ_TUNABLE_NAME
};

const char *cq_tunable_key(cq_tunable t) {
    return names[t].key;
}

const char *cq_tunable_unit(cq_tunable t) {
    return names[t].unit;
}

const char *cq_tunable_words(cq_tunable t) {
    return names[t].words;
}

const char *cq_tunable_coupon(cq_tunable t) {
    static const char *const coupons[CQ_TUNABLES] = {
        [CQ_TUNABLE_CLAY] = "a stepped-clay coupon",
        [CQ_TUNABLE_REWETTING] = "when the film collapses on a piece under a thin wash, in water of 80 °C",
        [CQ_TUNABLE_STRENGTH] = "when the film collapses on a bare piece, in water of 60 °C, or a probe's log",
        [CQ_TUNABLE_TIME] = "a bare wedge of the same bar, quenched in oil",
        [CQ_TUNABLE_MS] = "nothing a shop can read: a laboratory's Ms",
        [CQ_TUNABLE_HARDNESS] = "hardness of a thin bare piece that hardens through",
    };
    return coupons[t];
}

/* ---- evidence's words -------------------------------------------------------------------------------------------- */

const char *cq_evidence_word(cq_evidence_kind kind) {
    static const char *const words[CQ_EVIDENCES] = {
#define CQ_EVIDENCE_WORD(name, word, words) word,
        CQ_EVIDENCE_LIST(CQ_EVIDENCE_WORD)
#undef CQ_EVIDENCE_WORD
    };
    return words[kind];
}

const char *cq_evidence_words(cq_evidence_kind kind) {
    static const char *const words[CQ_EVIDENCES] = {
#define CQ_EVIDENCE_WORDS(name, word, words) words,
        CQ_EVIDENCE_LIST(CQ_EVIDENCE_WORDS)
#undef CQ_EVIDENCE_WORDS
    };
    return words[kind];
}

const char *cq_place_word(cq_place place) {
    static const char *const words[CQ_PLACES] = {"edge", "body", "spine"};
    return words[place];
}

typedef struct reading_error {
    const char *word;
    double length_m, coupon, points, time_s;
} reading_error;
static const reading_error methods[CQ_METHODS] = {
#define CQ_METHOD_ERROR(name, word, length, coupon, points, time) {word, length, coupon, points, time},
    CQ_METHOD_LIST(CQ_METHOD_ERROR)
#undef CQ_METHOD_ERROR
};

const char *cq_method_word(cq_method method) {
    return methods[method].word;
}

double cq_method_error(cq_method method, cq_evidence_kind kind, double value) {
    const reading_error *m = &methods[method];
    switch (kind) {
    case CQ_EVIDENCE_LINE:
    case CQ_EVIDENCE_RISE:
        return m->length_m;
    case CQ_EVIDENCE_STEPPED_CLAY:
    case CQ_EVIDENCE_WEDGE:
        return m->coupon * value;
    case CQ_EVIDENCE_HARDNESS:
        if (!(m->points > 0.0)) {
            return 0.0;
        }
        return cq_hardness_of_points(cq_hardness_points(value) + 0.5 * m->points) -
               cq_hardness_of_points(cq_hardness_points(value) - 0.5 * m->points);
    case CQ_EVIDENCE_FILM:
        return m->time_s;
    default:
        return 0.0;
    }
}

/* ---- priors ------------------------------------------------------------------------------------------------------ */

static cq_uncertain_kind kind_of(cq_tunable what) {
    static const cq_uncertain_kind kinds[CQ_TUNABLES] = {
        [CQ_TUNABLE_CLAY] = CQ_UNCERTAIN_CONDUCTIVITY,      [CQ_TUNABLE_REWETTING] = CQ_UNCERTAIN_REWETTING,
        [CQ_TUNABLE_STRENGTH] = CQ_UNCERTAIN_BATH_STRENGTH, [CQ_TUNABLE_TIME] = CQ_UNCERTAIN_NOSE,
        [CQ_TUNABLE_MS] = CQ_UNCERTAIN_MARTENSITE_START,    [CQ_TUNABLE_HARDNESS] = CQ_UNCERTAIN_MARTENSITE_HARDNESS,
    };
    return kinds[what];
}

/* The first plan on which it acts, the base plan first, says how much it scatters; a stepped coat stands for a coat
 * that the plan itself need not have. */
static bool find_input(const cq_plan *plan, const cq_evidence *e, cq_uncertain_kind kind, cq_uncertain *input) {
    cq_uncertain inputs[CQ_UNCERTAINS];
    for (size_t i = 0; i <= e->n; i++) {
        cq_plan coated = i == 0 ? *plan : *e->item[i - 1].plan;
        const cq_coat_point point = {0.0, 1e-3, 1e-3};
        if (i > 0 && e->item[i - 1].kind == CQ_EVIDENCE_STEPPED_CLAY) {
            coated.coat = (cq_coat){1, &point, 0.0, 0.0};
        }
        const size_t n = cq_uncertain_of(&coated, inputs);
        for (size_t k = 0; k < n; k++) {
            if (inputs[k].kind == kind) {
                *input = inputs[k];
                return true;
            }
        }
    }
    return false;
}

/* Does it act on anything that was seen? */
static bool acts(const cq_evidence *e, cq_tunable what) {
    for (size_t i = 0; i < e->n; i++) {
        const cq_evidence_item *item = &e->item[i];
        const cq_coat *c = &item->plan->coat;
        const bool coated = item->kind == CQ_EVIDENCE_STEPPED_CLAY ||
                            (item->kind != CQ_EVIDENCE_WEDGE && (c->n > 0 || c->edge_m > 0.0 || c->spine_m > 0.0));
        if (what != CQ_TUNABLE_CLAY || coated) {
            return true;
        }
    }
    return false;
}

size_t cq_tunables_of(const cq_plan *plan, const cq_evidence *evidence, cq_tuned tuned[CQ_TUNABLES]) {
    size_t n = 0;
    for (int k = 0; k < CQ_TUNABLES; k++) {
        cq_uncertain input;
        if (acts(evidence, (cq_tunable)k) && find_input(plan, evidence, kind_of((cq_tunable)k), &input)) {
            tuned[n++] = (cq_tuned){.what = (cq_tunable)k,
                                    .before = input.centre,
                                    .after = input.centre,
                                    .low = input.centre,
                                    .high = input.centre,
                                    .sigma = input.sigma,
                                    .left = 1.0,
                                    .input = input};
        }
    }
    return n;
}

double cq_tuned_value(const cq_tuned *t, double z, bool *held) {
    return cq_uncertain_value(&t->input, z, held);
}

cq_status cq_tuned_apply(const cq_plan *plan, const cq_tuned *tuned, const double *values, size_t n, cq_plan *changed,
                         cq_error *error) {
    cq_uncertain inputs[CQ_TUNABLES];
    for (size_t i = 0; i < n; i++) {
        inputs[i] = tuned[i].input;
    }
    return cq_uncertain_apply(plan, inputs, n, values, changed, error);
}
