/* uncertain.c - what of a plan is uncertain, how much, and the plan with other values. */
#include "study/uncertain_kinds.h"

#include "base/memory.h"

#include <clayquench/glow.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

typedef struct name {
    const char *key, *unit, *words;
} name;
static const name names[CQ_UNCERTAINS] = {
#define CQ_UNCERTAIN_NAME(enumerator, key, unit, words) {key, unit, words},
    CQ_UNCERTAIN_LIST(CQ_UNCERTAIN_NAME)
#undef CQ_UNCERTAIN_NAME
};

const char *cq_uncertain_key(cq_uncertain_kind k) {
    return names[k].key;
}

const char *cq_uncertain_unit(cq_uncertain_kind k) {
    return names[k].unit;
}

const char *cq_uncertain_words(cq_uncertain_kind k) {
    return names[k].words;
}

const char *cq_uncertain_usual_words(cq_uncertain_kind k) {
    return CQ_UNCERTAIN_LAWS[k].usual_words;
}

const char *cq_uncertain_origin_words(cq_uncertain_origin origin) {
    static const char *const words[CQ_ORIGINS] = {"plan", "heat.error", "profile", "default"};
    return words[origin];
}

static const cq_tolerance_plan *find_tolerance(const cq_plan *plan, const char *key) {
    for (size_t t = 0; t < plan->tolerances_n; t++) {
        if (strcmp(plan->tolerances[t].key, key) == 0) {
            return &plan->tolerances[t];
        }
    }
    return NULL;
}

/* `time` stands for all three times. */
static const cq_tolerance_plan *tolerance_of(const cq_plan *plan, cq_uncertain_kind k) {
    const bool time = k == CQ_UNCERTAIN_TRANSFER || k == CQ_UNCERTAIN_PULL || k == CQ_UNCERTAIN_LATER;
    return find_tolerance(plan, time ? "time" : names[k].key);
}

/* Fills sigma and origin. */
static void scatter_of(const cq_plan *plan, cq_uncertain *u) {
    const cq_uncertain_law *k = &CQ_UNCERTAIN_LAWS[u->kind];
    const cq_tolerance_plan *t = tolerance_of(plan, u->kind);
    const cq_steel *steel = &plan->steel;
    u->origin = CQ_ORIGIN_PROFILE;
    if (t != NULL) {
        u->origin = CQ_ORIGIN_TOLERANCE;
        u->sigma = k->lognormal ? log1p(t->value) : t->value;
    } else if (u->kind == CQ_UNCERTAIN_SOAK && plan->heat.error_K > 0.0) {
        u->origin = CQ_ORIGIN_HEAT_ERROR;
        u->sigma = plan->heat.error_K;
    } else if (u->kind == CQ_UNCERTAIN_SOAK && plan->heat.judged != CQ_JUDGED_THERMOMETER) {
        u->origin = CQ_ORIGIN_DEFAULT; /* "heat judged by eye", as an eye usually does */
        u->sigma = 0.5 * CQ_GLOW_EYE_USUAL_K;
    } else if (u->kind == CQ_UNCERTAIN_NOSE) {
        u->sigma = steel->time_factor_ln_sigma;
    } else if (u->kind == CQ_UNCERTAIN_CARBON) {
        u->sigma = steel->scatter_wt.C;
    } else if (u->kind == CQ_UNCERTAIN_MANGANESE) {
        u->sigma = steel->scatter_wt.Mn;
    } else {
        u->origin = CQ_ORIGIN_DEFAULT;
        u->sigma = k->lognormal ? log1p(k->usual) : k->usual;
    }
}

size_t cq_uncertain_of(const cq_plan *plan, cq_uncertain inputs[CQ_UNCERTAINS]) {
    size_t n = 0;
    for (int k = 0; k < CQ_UNCERTAINS; k++) {
        cq_uncertain u = {.kind = (cq_uncertain_kind)k, .lognormal = CQ_UNCERTAIN_LAWS[k].lognormal};
        if (CQ_UNCERTAIN_LAWS[k].measure(plan, &u)) {
            scatter_of(plan, &u);
            inputs[n] = u;
            n += u.sigma > 0.0;
        }
    }
    return n;
}

char *cq_uncertain_idle(const cq_plan *plan, char *to, size_t size) {
    cq_uncertain inputs[CQ_UNCERTAINS];
    const size_t n = cq_uncertain_of(plan, inputs);
    size_t length = 0;
    to[0] = '\0';
    for (size_t t = 0; t < plan->tolerances_n && length < size; t++) {
        bool acts = !(plan->tolerances[t].value > 0.0); /* "certain" is heard */
        for (size_t i = 0; i < n; i++) {
            acts = acts || tolerance_of(plan, inputs[i].kind) == &plan->tolerances[t];
        }
        if (!acts) {
            length +=
                (size_t)snprintf(to + length, size - length, "%s%s", length > 0 ? ", " : "", plan->tolerances[t].key);
        }
    }
    return to;
}

double cq_uncertain_value(const cq_uncertain *u, double z, bool *held) {
    const double free = u->lognormal ? u->centre * exp(u->sigma * z) : u->centre + u->sigma * z;
    const double value = fmin(fmax(free, u->low), u->high);
    if (held != NULL) {
        *held = value < free || value > free;
    }
    return value;
}

/* ---- the changed plan -------------------------------------------------------------------------------------------- */

/* A copy in the arena; NULL for none, and *failed when memory is short. */
static void *copy(cq_arena *arena, const void *from, size_t n, size_t size, bool *failed) {
    if (from == NULL || n == 0) {
        return NULL;
    }
    void *to = cq_arena_take(arena, n, size);
    *failed = *failed || to == NULL;
    return to == NULL ? NULL : memcpy(to, from, n * size);
}

static bool begin_draft(cq_draft *d, const cq_plan *plan, cq_plan *changed) {
    bool failed = false;
    cq_arena *arena = cq_arena_create();
    if (arena == NULL) {
        return false;
    }
    *changed = *plan;
    changed->arena = arena;
    const cq_table *k = &plan->clay.conductivity_W_mK;
    const cq_blade *b = &plan->blade;
    d->from = plan;
    d->plan = changed;
    changed->coat.points = d->points = copy(arena, plan->coat.points, plan->coat.n, sizeof *d->points, &failed);
    changed->steps = d->steps = copy(arena, plan->steps, plan->steps_n, sizeof *d->steps, &failed);
    changed->clay.conductivity_W_mK.y = d->clay_k = copy(arena, k->y, k->n, sizeof *d->clay_k, &failed);
    changed->blade.left = d->left = copy(arena, b->left, b->left_n, sizeof *d->left, &failed);
    d->right = b->right == b->left ? d->left : copy(arena, b->right, b->right_n, sizeof *d->right, &failed);
    changed->blade.right = d->right;
    return !failed;
}

cq_status cq_uncertain_apply(const cq_plan *plan, const cq_uncertain *inputs, size_t n, const double *value,
                             cq_plan *changed, cq_error *error) {
    cq_plan made;
    cq_draft d;
    cq_plan_init(&made);
    bool complete = begin_draft(&d, plan, &made);
    for (size_t i = 0; complete && i < n; i++) {
        CQ_UNCERTAIN_LAWS[inputs[i].kind].change(&d, &inputs[i], value[i]);
    }
    for (size_t s = 0; complete && s < made.steps_n; s++) {
        const cq_table *h = &d.steps[s].bath.heat_transfer_W_m2K;
        complete = h->n == 0 || h->y != NULL;
    }
    if (!complete) {
        cq_plan_clear(&made);
        return cq_error_say(error, CQ_ERR_MEMORY, "", "", "", "not enough memory for a sample's plan");
    }
    *changed = made;
    return CQ_OK;
}
