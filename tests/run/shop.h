/* shop.h - a blade of the shop as plan text, with shipped steels and baths, and what became of its curve. */
#ifndef TEST_RUN_SHOP_H
#define TEST_RUN_SHOP_H

#include <clayquench/clayquench.h>

#include <check.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

typedef struct shop {
    const char *blade;   /* NULL: LONG_BLADE */
    double edge_mm;      /* of the default blade; 0: 1.5 */
    const char *steel;   /* NULL: low-manganese 1075 */
    const char *coat;    /* NULL: 2 mm above `rim_mm`, below it wash_mm */
    double rim_mm;       /* 0: 9.5 */
    double wash_mm;      /* on the edge and below the rim; 0: bare */
    const char *steps;   /* after 1.5 s of air */
    double heat_C;       /* 0: 800 */
    const char *rest;    /* temper and so on */
    const char *surface; /* NULL: not stated */
    bool skip;           /* no mechanics */
} shop;

typedef struct outcome {
    double rise_mm, side_mm, low_mm, high_mm, tempered_mm; /* scaled to 700 mm */
    double index_MPa, time_s, since_s, edge_stress_MPa, face_stress_MPa, residual, seconds, core_s, precurve_mm,
        wear_mm;
    double line_mm, edge_martensite, curvature_1_m, first_dip_mm;
    int class_n;
    bool known, crack_known, direction_only;
    size_t dips, crests, updates;
    char reason[400], cause[40], since_cause[40];
} outcome;

static inline size_t shop_text(const shop *s, char *text, size_t size) {
    const double edge = s->edge_mm > 0.0 ? s->edge_mm : 1.5, rim = s->rim_mm > 0.0 ? s->rim_mm : 9.5, wash = s->wash_mm;
    char blade[300], coat[400] = "", surface[60] = "";
    if (s->surface != NULL) {
        snprintf(surface, sizeof surface, ", surface: %s", s->surface);
    }
    snprintf(blade, sizeof blade,
             "{section: ridged, height: 30 mm, edge: %g mm, spine: 6 mm, ridge: {at: 20 mm, thickness: 6.5 mm}, "
             "length: 700 mm%s}",
             edge, surface);
    if (s->coat == NULL) {
        if (wash > 0.0) {
            snprintf(coat, sizeof coat,
                     "{mix: stone-charcoal-clay, edge: %g mm, spine: 2 mm, coat: [{at: 0 mm, thickness: %g mm}, "
                     "{at: %g mm, thickness: %g mm}, {at: %g mm, thickness: 2 mm}, {at: 30 mm, thickness: 2 mm}]}",
                     wash, wash, rim - 1.5, wash, rim + 1.5);
        } else {
            snprintf(coat, sizeof coat,
                     "{mix: stone-charcoal-clay, spine: 2 mm, coat: [{at: %g mm, thickness: 0 mm}, {at: %g mm, "
                     "thickness: 2 mm}, {at: 30 mm, thickness: 2 mm}]}",
                     rim - 1.5, rim + 1.5);
        }
    }
    const char *clay = s->coat == NULL ? coat : s->coat;
    return (size_t)snprintf(text, size,
                            "format: clayquench-plan 1\nblade: %s\nsteel: %s\n%s%s%sheat: {temperature: %g °C, hold: 5 "
                            "min}\nsteps:\n  - {in: air, for: 1.5 s}\n%s%s",
                            s->blade == NULL ? blade : s->blade,
                            s->steel == NULL ? "{from: 1075, batch: {Mn: 0.43 %}}" : s->steel,
                            clay[0] != '\0' ? "clay: " : "", clay, clay[0] != '\0' ? "\n" : "",
                            s->heat_C > 0.0 ? s->heat_C : 800.0, s->steps, s->rest == NULL ? "" : s->rest);
}

static inline outcome outcome_of(const cq_result *r) {
    const cq_curve *c = &r->curve;
    const double scale = 1e3 * 0.7 * 0.7 / 8.0, L = r->plan->blade.length_m, by = 1e3 * 0.49 / (L * L);
    outcome o = {.known = c->known,
                 .crack_known = r->crack.known,
                 .direction_only = c->direction_only,
                 .curvature_1_m = c->quenched.curvature_1_m,
                 .rise_mm = scale * c->quenched.curvature_1_m,
                 .side_mm = scale * c->quenched.side_curvature_1_m,
                 .low_mm = by * c->quenched.low_m,
                 .high_mm = by * c->quenched.high_m,
                 .index_MPa = r->crack.index_MPa,
                 .time_s = r->crack.time_s,
                 .since_s = r->crack.since_s,
                 .class_n = r->crack.class_n,
                 .edge_stress_MPa = 1e-6 * c->edge_stress_Pa,
                 .face_stress_MPa = 1e-6 * c->edge_face_stress_Pa,
                 .residual = c->worst_residual,
                 .seconds = c->seconds,
                 .core_s = r->core_s,
                 .updates = c->updates,
                 .line_mm = 1e3 * r->line_surface_m,
                 .edge_martensite = r->edge.fraction[CQ_MARTENSITE],
                 .precurve_mm = by * cq_result_precurve_m(r, r->plan->wanted_curve_m),
                 .wear_mm = 1e3 * r->wear_m};
    o.tempered_mm = r->tempers_n > 0 ? scale * r->tempers[r->tempers_n - 1].bend.curvature_1_m : o.rise_mm;
    for (size_t n = 0; n < c->turns_n; n++) {
        o.first_dip_mm = o.dips == 0 && c->turns[n].dip ? scale * c->turns[n].curvature_1_m : o.first_dip_mm;
        o.dips += c->turns[n].dip;
        o.crests += !c->turns[n].dip;
    }
    snprintf(o.reason, sizeof o.reason, "%s", r->crack.reason);
    snprintf(o.cause, sizeof o.cause, "%s", r->crack.cause);
    snprintf(o.since_cause, sizeof o.since_cause, "%s", r->crack.since_cause);
    return o;
}

static inline outcome quench_of(const shop *s) {
    static const char *const folders[] = {SHOP_PROFILES};
    const cq_search search = {1, folders};
    char text[2000];
    cq_plan plan;
    cq_run *run = NULL;
    const size_t length = shop_text(s, text, sizeof text);
    cq_plan_init(&plan);
    ck_assert_msg(cq_plan_read_text(&plan, text, length, "shop", NULL, &search, NULL) >= 0, "%s", text);
    const cq_run_options options = {.skip_curve = s->skip};
    ck_assert_int_ge(cq_run_create(&run, &plan, &options, NULL), 0);
    ck_assert_int_ge(cq_run_go(run, NULL, NULL), 0);
    const outcome o = outcome_of(cq_run_result(run));
    cq_run_free(run);
    cq_plan_clear(&plan);
    return o;
}

/* What shops tell and the model does not: figures in the message. When it fails, the model has become better: make it
 * an ordinary test and tell DEVELOPERS.md. */
#define EXPECT_WRONG(is_as_told, ...)                                                                                  \
    do {                                                                                                               \
        printf("expected failure: " __VA_ARGS__);                                                                      \
        printf("\n");                                                                                                  \
        ck_assert_msg(!(is_as_told), "no longer wrong: " __VA_ARGS__);                                                 \
    } while (0)

#define WATER "  - {in: water, at: 30 °C, until: 50 °C}\n"
#define WARM_WATER "  - {in: water, at: 40 °C, until: 60 °C}\n"
#define FAST_OIL "  - {in: fast-oil, at: 40 °C, until: 60 °C}\n"

#endif
