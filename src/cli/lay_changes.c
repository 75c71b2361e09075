/* lay_changes.c - what else a smith could do when no clay reaches the line: other heat, temper, bath, time, steel. */
#include "cli/lay_work.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { SPECS = 6, SPEC = 96 };
typedef struct specs {
    size_t n;
    char text[SPECS][SPEC];
} specs;

static void try_change(cq_lay_changes *c, const char *path, const specs *s, const char *words) {
    const char *list[SPECS];
    cq_error ignored = CQ_ERROR_INIT;
    for (size_t k = 0; k < s->n; k++) {
        list[k] = s->text[k];
    }
    if (c->n == CQ_LAY_CHANGES) {
        return;
    }
    cq_vary *vary = NULL;
    cq_plan_init(&c->plan[c->n]);
    cq_status status = cq_vary_open(&vary, path, cq_search_default(), list, s->n, &ignored);
    status = status < 0 ? status : cq_vary_plan(vary, 0, &c->plan[c->n], &ignored);
    if (status >= 0) {
        c->vary[c->n] = vary;
        snprintf(c->words[c->n++], CQ_LAY_CHANGE_WORDS, "%s", words);
    } else {
        cq_vary_close(vary);
    }
    cq_error_clear(&ignored);
}

static size_t first_bath(const cq_plan *plan) {
    size_t first = 0;
    while (first < plan->steps_n && plan->steps[first].bath.kind == CQ_BATH_GAS) {
        first++;
    }
    return first;
}

static void try_heat(cq_lay_changes *c, const char *path, const cq_plan *plan) {
    static const double shifts_K[] = {-20.0, 20.0, 40.0};
    for (size_t k = 0; k < 3 && !(plan->heat.start_K > 0.0); k++) {
        const double at = plan->heat.temperature_K - 273.15 + shifts_K[k];
        specs s = {.n = 1};
        char words[CQ_LAY_CHANGE_WORDS];
        snprintf(s.text[0], SPEC, "heat.temperature=%.6g °C", at);
        snprintf(words, sizeof words, "soak %.4g °C", at);
        try_change(c, path, &s, words);
    }
}

static void try_bath_temperature(cq_lay_changes *c, const char *path, const cq_plan *plan, size_t step) {
    static const double shifts_K[] = {-20.0, 20.0};
    cq_lay_field field;
    cq_error ignored = CQ_ERROR_INIT;
    const bool known = cq_lay_field_of(plan, &field, &ignored) >= 0 && field.bath_K > 0.0;
    cq_error_clear(&ignored);
    for (size_t k = 0; k < 2 && known; k++) {
        const double at_K = plan->steps[step].at_K + shifts_K[k];
        specs s = {.n = 1};
        char words[CQ_LAY_CHANGE_WORDS];
        if (at_K >= field.bath_low_K && at_K <= field.bath_high_K) {
            snprintf(s.text[0], SPEC, "steps.%zu.at=%.6g °C", step, at_K - 273.15);
            snprintf(words, sizeof words, "bath at %.4g °C", at_K - 273.15);
            try_change(c, path, &s, words);
        }
    }
}

static void try_pull(cq_lay_changes *c, const char *path, const cq_plan *plan, size_t step) {
    static const double shifts_s[] = {-1.0, 1.0, 2.0};
    const double for_s = step + 1 < plan->steps_n ? plan->steps[step].for_s : 0.0;
    for (size_t k = 0; k < 3 && for_s > 0.0; k++) {
        specs s = {.n = 1};
        char words[CQ_LAY_CHANGE_WORDS];
        if (for_s + shifts_s[k] >= 0.5) {
            snprintf(s.text[0], SPEC, "steps.%zu.for=%.6g s", step, for_s + shifts_s[k]);
            snprintf(words, sizeof words, "pulled at %.3g s", for_s + shifts_s[k]);
            try_change(c, path, &s, words);
        }
    }
}

/* Baths at usual temperatures; common practice, no source. */
static void try_baths(cq_lay_changes *c, const char *path, const cq_plan *plan, size_t step) {
    static const struct {
        const char *name;
        double at_C;
    } baths[] = {{"water", 40.0}, {"water", 20.0}, {"brine-10", 20.0}, {"fast-oil", 40.0}, {"canola", 55.0}};
    const cq_step_plan *first = &plan->steps[step];
    for (size_t b = 0; b < sizeof baths / sizeof baths[0]; b++) {
        const bool own = first->bath.name != NULL && strcmp(first->bath.name, baths[b].name) == 0;
        if (own && fabs(first->at_K - 273.15 - baths[b].at_C) < 25.0) {
            continue; /* as it is, or as the bath temperature's change has it */
        }
        specs s = {.n = 2};
        char words[CQ_LAY_CHANGE_WORDS];
        snprintf(s.text[0], SPEC, "steps.%zu.in=%s", step, baths[b].name);
        snprintf(s.text[1], SPEC, "steps.%zu.at=%.6g °C", step, baths[b].at_C);
        if (first->until_K > 0.0) {
            snprintf(s.text[s.n++], SPEC, "steps.%zu.until=%.6g °C", step,
                     fmax(baths[b].at_C + 20.0, first->until_K - 273.15));
        }
        snprintf(words, sizeof words, "%s at %.0f °C", baths[b].name, baths[b].at_C);
        try_change(c, path, &s, words);
    }
}

static void try_steels(cq_lay_changes *c, const char *path, const cq_plan *plan) {
    static const char *const steels[] = {"1084", "1095", "1075", "W2", "W1", "1060", "5160", "O1"};
    for (size_t k = 0; k < sizeof steels / sizeof steels[0]; k++) {
        specs s = {.n = 1};
        char words[CQ_LAY_CHANGE_WORDS];
        if (plan->steel.name != NULL && strcmp(plan->steel.name, steels[k]) == 0) {
            continue;
        }
        snprintf(s.text[0], SPEC, "steel=%s", steels[k]);
        snprintf(words, sizeof words, "steel %s", steels[k]);
        try_change(c, path, &s, words);
    }
}

/* A cooler temper keeps more of the edge. */
static void try_temper(cq_lay_changes *c, const char *path, const cq_plan *plan) {
    static const double to_C[] = {160.0, 150.0};
    for (size_t k = 0; k < 2; k++) {
        specs s = {.n = 0};
        char words[CQ_LAY_CHANGE_WORDS];
        for (size_t n = 0; n < plan->temper_n && s.n < SPECS; n++) {
            if (plan->temper[n].temperature_K - 273.15 > to_C[k]) {
                snprintf(s.text[s.n++], SPEC, "temper.%zu.temperature=%.0f °C", n, to_C[k]);
            }
        }
        if (s.n > 0) {
            snprintf(words, sizeof words, "temper at %.0f °C", to_C[k]);
            try_change(c, path, &s, words);
        }
    }
}

void cq_lay_changes_of(cq_lay_changes *c, const char *path, const cq_plan *plan) {
    const size_t step = first_bath(plan);
    memset(c, 0, sizeof *c);
    try_heat(c, path, plan);
    try_temper(c, path, plan);
    if (step < plan->steps_n) {
        try_bath_temperature(c, path, plan, step);
        try_pull(c, path, plan, step);
        try_baths(c, path, plan, step);
    }
    try_steels(c, path, plan);
}

void cq_lay_changes_clear(cq_lay_changes *c) {
    for (size_t k = 0; k < c->n; k++) {
        cq_plan_clear(&c->plan[k]);
        cq_vary_close(c->vary[k]);
    }
    c->n = 0;
}
