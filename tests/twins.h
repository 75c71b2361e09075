/* twins.h - twins of a shop's evidence: known numbers drawn from the priors, what the program says of every item with
 * them, noise of each item's error on it; then the tuning must find the numbers again. */
#ifndef TEST_TWINS_H
#define TEST_TWINS_H

#include <clayquench/io.h>
#include <clayquench/tune.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { TWIN_ITEMS = 8 };

typedef struct twins {
    cq_plan base, plate, oil, water, thick;
    cq_evidence_item item[TWIN_ITEMS];
    cq_evidence evidence;
} twins;

static inline double twin_normal(unsigned long long *seed) {
    double u[2];
    for (int i = 0; i < 2; i++) {
        *seed = *seed * 6364136223846793005ULL + 1442695040888963407ULL;
        u[i] = ((double)(*seed >> 11) + 0.5) / 9007199254740992.0;
    }
    return sqrt(-2.0 * log(u[0])) * cos(6.283185307179586 * u[1]);
}

static inline bool twin_plan(cq_plan *plan, const char *folder, const char *blade, const char *clay, const char *bath) {
    char text[1024];
    const char *const folders[] = {folder};
    const cq_search search = {1, folders};
    cq_error error = CQ_ERROR_INIT;
    snprintf(text, sizeof text,
             "format: clayquench-plan 1\nblade: %s\nsteel: 1084\n%sheat: {temperature: 800 °C, hold: 5 min}\nsteps: "
             "[{in: air, for: 1.5 s}, %s]\n",
             blade, clay, bath);
    cq_plan_init(plan);
    const bool good = cq_plan_read_text(plan, text, strlen(text), "twin", ".", &search, &error) >= 0;
    if (!good) {
        printf("twin plan: %s\n", error.count > 0 ? error.items[0].found : "?");
    }
    cq_error_clear(&error);
    return good;
}

/* Coupons, hardness and the film; with_line: a knife's line too, whose runs are the dear ones. */
static inline bool twins_open(twins *t, const char *folder, bool with_line) {
    static const char *const clay =
        "clay: {mix: stone-charcoal-clay, coat: [{at: 0 mm, thickness: 0.05 mm}, {at: 8 mm, "
        "thickness: 0.05 mm}, {at: 11 mm, thickness: 2 mm}, {at: 28 mm, thickness: 2 mm}], "
        "edge: 0.05 mm, spine: 2 mm}\n";
    static const char *const water = "{in: water, at: 40 °C, until: 60 °C}", *const warm =
                                                                                 "{in: water, at: 60 °C, until: 80 °C}";
    static const char *const oil = "{in: fast-oil, at: 40 °C, until: 60 °C}";
    const bool good = twin_plan(&t->base, folder, "sloyd-knife", clay, water) &&
                      twin_plan(&t->plate, folder, "{section: plate, thickness: 1.5 mm}", "", water) &&
                      twin_plan(&t->oil, folder, "{section: plate, thickness: 5 mm}", "", oil) &&
                      twin_plan(&t->water, folder, "{section: plate, thickness: 8 mm}", "", water) &&
                      twin_plan(&t->thick, folder, "{section: plate, thickness: 6 mm}", "", warm);
    const cq_evidence_item all[TWIN_ITEMS] = {
        {.kind = CQ_EVIDENCE_STEPPED_CLAY,
         .method = CQ_METHOD_CALIPER,
         .value = 0.7e-3,
         .plate_m = 3e-3,
         .plan = &t->base},
        {.kind = CQ_EVIDENCE_STEPPED_CLAY, .method = CQ_METHOD_EYE, .value = 0.5e-3, .plate_m = 2e-3, .plan = &t->base},
        {.kind = CQ_EVIDENCE_WEDGE, .method = CQ_METHOD_CALIPER, .value = 4e-3, .plan = &t->oil},
        {.kind = CQ_EVIDENCE_WEDGE, .method = CQ_METHOD_CALIPER, .value = 7e-3, .plan = &t->water},
        {.kind = CQ_EVIDENCE_HARDNESS,
         .method = CQ_METHOD_VICKERS,
         .place = CQ_PLACE_EDGE,
         .value = 800.0,
         .plan = &t->plate},
        {.kind = CQ_EVIDENCE_HARDNESS,
         .method = CQ_METHOD_ROCKWELL,
         .place = CQ_PLACE_BODY,
         .value = 500.0,
         .plan = &t->water},
        {.kind = CQ_EVIDENCE_FILM, .method = CQ_METHOD_EAR, .place = CQ_PLACE_BODY, .value = 3.0, .plan = &t->thick},
        {.kind = CQ_EVIDENCE_LINE, .method = CQ_METHOD_CALIPER, .value = 9e-3, .plan = &t->base},
    };
    memcpy(t->item, all, sizeof all);
    t->evidence = (cq_evidence){"twin", "twin", with_line ? TWIN_ITEMS : TWIN_ITEMS - 1, t->item};
    for (size_t i = 0; i < t->evidence.n; i++) {
        t->item[i].read_HRC = NAN;
        t->item[i].note = "";
    }
    return good;
}

static inline void twins_close(twins *t) {
    cq_plan *plans[] = {&t->base, &t->plate, &t->oil, &t->water, &t->thick};
    for (size_t p = 0; p < sizeof plans / sizeof plans[0]; p++) {
        cq_plan_clear(plans[p]);
    }
}

typedef struct twin_count {
    size_t twins, runs, within[CQ_TUNABLES], drawn[CQ_TUNABLES];
    double left[CQ_TUNABLES], squares, error2[CQ_TUNABLES];
} twin_count;

/* One twin: truth of a seed, noise of the same; counts where the 90 % interval holds the truth. */
static inline bool twin_tune(twins *t, unsigned long long seed, twin_count *count) {
    cq_tuned truth[CQ_TUNABLES];
    double said[TWIN_ITEMS];
    cq_error error = CQ_ERROR_INIT;
    const size_t n = cq_tunables_of(&t->base, &t->evidence, truth);
    for (size_t j = 0; j < n; j++) {
        const double z = twin_normal(&seed);
        const bool factor = truth[j].what < CQ_TUNABLE_MS;
        truth[j].after = factor ? truth[j].before * exp(truth[j].sigma * z) : truth[j].before + truth[j].sigma * z;
    }
    bool good = cq_evidence_predict(&t->evidence, truth, n, said, &error) >= 0;
    for (size_t i = 0; i < t->evidence.n && good; i++) {
        cq_evidence_item *item = &t->item[i];
        item->error = cq_method_error(item->method, item->kind, said[i]);
        item->error = item->error > 0.0 ? item->error : 0.4;
        item->value = said[i] + item->error * twin_normal(&seed);
        if (item->kind != CQ_EVIDENCE_HARDNESS) {
            item->value = fmax(item->value, 1e-5);
        }
    }
    cq_tuning *tuning = NULL;
    good = good && cq_tuning_create(&tuning, &t->base, &t->evidence, NULL, &error) >= 0;
    for (size_t j = 0; good && j < n; j++) {
        const cq_tuned *found = &tuning->tuned[j];
        count->within[found->what] += truth[j].after >= found->low && truth[j].after <= found->high;
        count->drawn[found->what]++;
        count->left[found->what] += found->left;
    }
    if (good) {
        count->twins++;
        count->runs += tuning->runs;
        count->squares += tuning->squares_after;
    } else {
        printf("twin: %s\n", error.count > 0 ? error.items[0].found : "?");
    }
    cq_tuning_free(tuning);
    cq_error_clear(&error);
    return good;
}

static inline void twins_print(const twin_count *c) {
    printf("%zu twins, %.0f runs each, mean sum of squares %.1f\n", c->twins, (double)c->runs / (double)c->twins,
           c->squares / (double)c->twins);
    for (int k = 0; k < CQ_TUNABLES; k++) {
        if (c->drawn[k] > 0) {
            printf("  %-18s interval holds the truth in %.1f %%, %.0f %% of the prior left\n",
                   cq_tunable_key((cq_tunable)k), 100.0 * (double)c->within[k] / (double)c->drawn[k],
                   100.0 * c->left[k] / (double)c->drawn[k]);
        }
    }
}

#endif
