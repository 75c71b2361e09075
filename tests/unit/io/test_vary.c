/* test_vary.c - keys varied: where a value comes to stand, ranges, plans from several threads, and every complaint. */
#include "base/memory.h"
#include "reading.h"

#include <clayquench/vary.h>
#include <math.h>
#include <pthread.h>
#include <time.h>

static const char KNIFE[] = CQ_PROFILES "/plans/sloyd-knife.yaml";

static cq_vary *open_specs(const char *path, size_t n, const char *const *specs) {
    cq_vary *vary = NULL;
    forget();
    const cq_status status = cq_vary_open(&vary, path, &SHIPPED, specs, n, &told);
    ck_assert_msg(status == CQ_OK, "%s: %s", specs[0], told.count > 0 ? told.items[0].found : "");
    ck_assert_uint_eq(told.count, 0);
    return vary;
}

static cq_vary *open_one(const char *spec) {
    return open_specs(KNIFE, 1, &spec);
}

static void plan_of(cq_vary *vary, size_t run, cq_plan *plan) {
    forget();
    cq_plan_init(plan);
    const cq_status status = cq_vary_plan(vary, run, plan, &told);
    ck_assert_msg(status == CQ_OK, "run %zu: %s: %s", run, told.count > 0 ? told.items[0].key : "",
                  told.count > 0 ? told.items[0].found : "");
}

/* Refused, with one complaint that holds these words (found, expected, remedy; NULL: any). */
static void refused(const char *spec, const char *key, const char *found, const char *expected, const char *remedy) {
    cq_vary *vary = NULL;
    forget();
    ck_assert_int_eq(cq_vary_open(&vary, KNIFE, &SHIPPED, &spec, 1, &told), CQ_ERR_PLAN);
    ck_assert_ptr_null(vary);
    ck_assert_msg(told.count == 1, "%s: %zu complaints", spec, told.count);
    const cq_complaint *c = &told.items[0];
    ck_assert_str_eq(c->key, key);
    ck_assert_msg(strncmp(c->file, "--vary ", 7) == 0, "%s: told of '%s'", spec, c->file);
    ck_assert_msg(found == NULL || strstr(c->found, found) != NULL, "%s: found '%s'", spec, c->found);
    ck_assert_msg(expected == NULL || strstr(c->expected, expected) != NULL, "%s: expected '%s'", spec, c->expected);
    ck_assert_msg(remedy == NULL || strstr(c->remedy, remedy) != NULL, "%s: remedy '%s'", spec, c->remedy);
}

static void words_are(const char *spec, size_t n, const char *const *words) {
    const cq_vary_axis *axis;
    cq_vary *vary = open_one(spec);
    ck_assert_uint_eq(cq_vary_axes(vary, &axis), 1);
    for (size_t v = 0; v < n && v < axis->n; v++) {
        ck_assert_str_eq(axis->words[v], words[v]);
    }
    ck_assert_uint_eq(axis->n, n);
    cq_vary_close(vary);
}

/* ---- where a value comes to stand -------------------------------------------------------------------------------- */

/* Keys of later heats are those of the first. */
START_TEST(later_heats_can_be_varied) {
    static const char TWICE[] = "twice.yaml";
    static const char TEXT[] =
        "format: clayquench-plan 1\nblade: {section: plate, thickness: 3 mm}\nsteel: 1084\nheat: {temperature: 800 "
        "°C}\nsteps: [{in: water, at: 40 °C, until: 60 °C}]\nheats:\n  - {temper: [{temperature: 180 °C, for: 1 h}], "
        "heat: {temperature: 790 °C}, steps: [{in: air, for: 1 s}, {in: water, at: 40 °C, until: 60 °C}]}\n";
    FILE *file = fopen(TWICE, "w");
    ck_assert(file != NULL && fputs(TEXT, file) >= 0 && fclose(file) == 0);
    const char *const specs[] = {"heats.0.heat.temperature=770 °C,780 °C", "heats.0.steps.1.at=20 °C,30 °C",
                                 "heats.0.steps.1.in.film=0.5,2", "heats.0.temper.0.for=2 h"};
    cq_vary *vary = open_specs(TWICE, 4, specs);
    cq_plan p;
    plan_of(vary, 1, &p);
    ck_assert_double_eq_tol(p.heat.temperature_K, 770 + 273.15, 1e-9);
    ck_assert_double_eq_tol(p.steps[1].at_K, 20 + 273.15, 1e-9);
    ck_assert_double_eq_tol(p.steps[1].bath.film_factor, 2.0, 1e-12);
    ck_assert_double_eq_tol(p.earlier[0].heat.temperature_K, 800 + 273.15, 1e-9);
    ck_assert_double_eq_tol(p.earlier[0].steps[0].at_K, 40 + 273.15, 1e-9);
    ck_assert_double_eq_tol(p.earlier[0].temper[0].for_s, 7200.0, 1e-9);
    cq_plan_clear(&p);
    cq_vary_close(vary);
    remove(TWICE);
    refused("heats.0.blade.edge=1 mm,2 mm", "heats.0.blade.edge", NULL, NULL, NULL);
    refused("heats.0.heat.temperature=770 °C", "heats.0.heat.temperature", "without heats", NULL, NULL);
}
END_TEST

START_TEST(quantities) {
    cq_plan plan;
    cq_vary *vary = open_one("steps.1.at=30 °C, 45 °C,122 °F");
    const cq_vary_axis *axis;
    ck_assert_uint_eq(cq_vary_axes(vary, &axis), 1);
    ck_assert_uint_eq(cq_vary_runs(vary), 3);
    ck_assert_str_eq(axis->own, "40 °C");
    ck_assert_double_eq_tol(axis->own_number, 40.0, 1e-9);
    ck_assert_str_eq(axis->unit, "°C");
    ck_assert_double_eq_tol(axis->number[2], 50.0, 1e-9);
    ck_assert_double_eq_tol(cq_vary_base(vary)->steps[1].at_K, 313.15, 1e-9);
    const double expected[] = {303.15, 318.15, 323.15};
    for (size_t run = 0; run < 3; run++) {
        plan_of(vary, run, &plan);
        ck_assert_double_eq_tol(plan.steps[1].at_K, expected[run], 1e-9);
        ck_assert_double_eq_tol(plan.steps[0].at_K, 293.15, 1e-9);
        ck_assert_ptr_nonnull(strstr(plan.text, "# --vary steps.1.at="));
        ck_assert_uint_eq(plan.profiles_n, cq_vary_base(vary)->profiles_n);
        cq_plan_clear(&plan);
    }
    cq_vary_close(vary);
}
END_TEST

/* A key set below a name takes the profile and replaces one value; keys the plan does not have are added. */
START_TEST(below_names) {
    cq_plan plan;
    cq_vary *vary = open_one("steel.batch.Mn=0.35 %");
    const cq_vary_axis *axis;
    cq_vary_axes(vary, &axis);
    ck_assert_str_eq(axis->own, "0.75 %");
    plan_of(vary, 0, &plan);
    ck_assert_double_eq_tol(plan.steel.composition_wt.Mn, 0.35, 1e-9);
    ck_assert_double_eq_tol(plan.steel.composition_wt.C, 0.84, 1e-9);
    cq_plan_clear(&plan);
    cq_vary_close(vary);

    vary = open_one("blade.edge=2 mm");
    plan_of(vary, 0, &plan);
    ck_assert_double_eq_tol(plan.blade.edge_m, 2e-3, 1e-12);
    ck_assert_double_eq_tol(plan.blade.spine_m, cq_vary_base(vary)->blade.spine_m, 1e-12);
    cq_plan_clear(&plan);
    cq_vary_close(vary);

    vary = open_one("steps.1.in.film=2");
    plan_of(vary, 0, &plan);
    ck_assert_double_eq_tol(plan.steps[1].bath.film_factor, 2.0, 1e-12);
    ck_assert_str_eq(plan.steps[1].bath.name, "water");
    cq_plan_clear(&plan);
    cq_vary_close(vary);

    vary = open_one("steps.1.agitation=0.3 m/s");
    plan_of(vary, 0, &plan);
    ck_assert_double_eq_tol(plan.steps[1].agitation_m_s, 0.3, 1e-12);
    cq_plan_clear(&plan);
    cq_vary_close(vary);
}
END_TEST

/* A part of a profile's blade keeps its other keys: the ridge stays where it was. */
START_TEST(inside_profiles) {
    cq_plan plan;
    const char *spec = "blade.ridge.thickness=7 mm";
    cq_vary *vary = open_specs(CQ_PROFILES "/plans/long-blade.yaml", 1, &spec);
    plan_of(vary, 0, &plan);
    ck_assert_double_eq_tol(plan.blade.ridge_thickness_m, 7e-3, 1e-12);
    ck_assert_double_eq_tol(plan.blade.ridge_at_m, cq_vary_base(vary)->blade.ridge_at_m, 1e-12);
    cq_plan_clear(&plan);
    cq_vary_close(vary);
}
END_TEST

START_TEST(names_and_choices) {
    cq_plan plan;
    cq_vary *vary = open_one("steps.1.in=water,brine-10,canola");
    const cq_vary_axis *axis;
    cq_vary_axes(vary, &axis);
    ck_assert_str_eq(axis->own, "water");
    ck_assert(isnan(axis->number[0]));
    plan_of(vary, 2, &plan);
    ck_assert_str_eq(plan.steps[1].bath.name, "canola");
    ck_assert_double_eq_tol(plan.steps[1].at_K, 313.15, 1e-9); /* the step's own stays */
    bool canola = false;
    for (size_t p = 0; p < plan.profiles_n; p++) {
        canola = canola || strcmp(plan.profile_names[p], "bath-canola") == 0;
        ck_assert_str_ne(plan.profile_names[p], "bath-water"); /* read, but not used here */
    }
    ck_assert(canola);
    cq_plan_clear(&plan);
    cq_vary_close(vary);

    vary = open_one("heat.structure=normalised,spheroidised-fine");
    plan_of(vary, 1, &plan);
    ck_assert_int_eq(plan.heat.stock, 2);
    cq_plan_clear(&plan);
    cq_vary_close(vary);

    vary = open_one("steel=1084,W1");
    plan_of(vary, 1, &plan);
    ck_assert_str_eq(plan.steel.name, "W1");
    cq_plan_clear(&plan);
    cq_vary_close(vary);
}
END_TEST

/* Every point of the coat; one face; what contradicts the new value gives way. */
START_TEST(coats) {
    cq_plan plan;
    cq_vary *vary = open_one("clay.coat.*.thickness=1.5 mm");
    const cq_vary_axis *axis;
    cq_vary_axes(vary, &axis);
    ck_assert_ptr_null(axis->own);
    plan_of(vary, 0, &plan);
    for (size_t p = 0; p < plan.coat.n; p++) {
        ck_assert_double_eq_tol(plan.coat.points[p].left_m, 1.5e-3, 1e-12);
        ck_assert_double_eq_tol(plan.coat.points[p].right_m, 1.5e-3, 1e-12);
    }
    cq_plan_clear(&plan);
    cq_vary_close(vary);

    vary = open_one("clay.coat.3.left=1 mm");
    plan_of(vary, 0, &plan);
    ck_assert_double_eq_tol(plan.coat.points[3].left_m, 1e-3, 1e-12);
    ck_assert_double_eq_tol(plan.coat.points[3].right_m, 2e-3, 1e-12);
    cq_plan_clear(&plan);
    cq_vary_close(vary);

    vary = open_one("clay.edge=bare,0.1 mm");
    cq_vary_axes(vary, &axis);
    ck_assert_double_eq_tol(axis->number[0], 0.0, 1e-12);
    plan_of(vary, 0, &plan);
    ck_assert_double_eq_tol(plan.coat.edge_m, 0.0, 1e-12);
    cq_plan_clear(&plan);
    cq_vary_close(vary);

    vary = open_one("start=820 °C"); /* in place of heat */
    plan_of(vary, 0, &plan);
    ck_assert_double_eq_tol(plan.heat.start_K, 1093.15, 1e-9);
    cq_plan_clear(&plan);
    cq_vary_close(vary);
}
END_TEST

START_TEST(products) {
    static const char *const specs[] = {"steps.1.at=30 °C,45 °C", "clay.coat.0.thickness=0 mm,0.1 mm,0.2 mm",
                                        "clay.coat.1.thickness=0.1 mm"};
    cq_plan plan;
    cq_vary *vary = open_specs(KNIFE, 3, specs);
    ck_assert_uint_eq(cq_vary_runs(vary), 6);
    ck_assert_uint_eq(cq_vary_value(vary, 4, 0), 1);
    ck_assert_uint_eq(cq_vary_value(vary, 4, 1), 1);
    plan_of(vary, 4, &plan);
    ck_assert_double_eq_tol(plan.steps[1].at_K, 318.15, 1e-9);
    ck_assert_double_eq_tol(plan.coat.points[0].left_m, 0.1e-3, 1e-12);
    cq_plan_clear(&plan);
    cq_vary_close(vary);
}
END_TEST

/* ---- ranges ------------------------------------------------------------------------------------------------------ */

START_TEST(ranges) {
    words_are("clay.coat.2.thickness=1..4 mm by 0.5 mm", 7,
              (const char *const[]){"1 mm", "1.5 mm", "2 mm", "2.5 mm", "3 mm", "3.5 mm", "4 mm"});
    words_are("clay.coat.2.thickness=0.1 mm..0.7 mm by 0.1", 7,
              (const char *const[]){"0.1 mm", "0.2 mm", "0.3 mm", "0.4 mm", "0.5 mm", "0.6 mm", "0.7 mm"});
    words_are("steps.1.at=20 °C..80 °C by 20 K", 4, (const char *const[]){"20 °C", "40 °C", "60 °C", "80 °C"});
    words_are("steps.1.at=70..150 °F by 40 °F", 3, (const char *const[]){"70 °F", "110 °F", "150 °F"});
    words_are("steps.1.at=20..100 °F by 20 K", 3, (const char *const[]){"20 °F", "56 °F", "92 °F"});
    words_are("clay.coat.2.thickness=3 mm..1 mm by -1 mm", 3, (const char *const[]){"3 mm", "2 mm", "1 mm"});
    words_are("clay.coat.2.thickness=1/16 in..3/16 in by 1/16 in", 3,
              (const char *const[]){"0.0625 in", "0.125 in", "0.1875 in"});
    words_are("steel.batch.Mn=0.35..0.75 % by 0.2 %", 3, (const char *const[]){"0.35 %", "0.55 %", "0.75 %"});
    words_are("steps.1.in.film=0.5..1.5 by 0.5", 3, (const char *const[]){"0.5", "1", "1.5"});
    words_are("heat.temperature=780 °C,790..810 °C by 10 K,840 °C", 5,
              (const char *const[]){"780 °C", "790 °C", "800 °C", "810 °C", "840 °C"});
    words_are("steps.1.in.at=0..10 °C by 10 K", 2, (const char *const[]){"0 °C", "10 °C"});
    words_are("clay.coat.2.thickness=1..1.9 mm by 0.5 mm", 2, (const char *const[]){"1 mm", "1.5 mm"});
}
END_TEST

/* ---- complaints -------------------------------------------------------------------------------------------------- */

START_TEST(complaints_of_keys) {
    refused("steps.1.temperature=40 °C", "steps.1.temperature", "no such key", "a key of the plan", NULL);
    refused("steps.1.fro=3 s", "steps.1.fro", "no such key", NULL, "did you mean steps.1.for?");
    refused("heat.temprature=800 °C", "heat.temprature", NULL, NULL, "heat.temperature?");
    refused("foo=1", "foo", "no such key", NULL, "'clayquench explain' lists every key");
    refused("thickness=1 mm", "thickness", NULL, NULL, "clay.coat.0.thickness");
    refused("clay..mix=kaolin", "clay..mix", "no such key", NULL, NULL);
    refused("title=a", "title", "changes no answer", "can be varied", NULL);
    refused("format=a", "format", "changes no answer", NULL, NULL);
    refused("record.every=1 s", "record.every", "changes no answer", NULL, NULL);
    refused("heat.error=1 K", "heat.error", "a single run does not use", NULL, NULL);
    refused("tolerances.coat=1 %", "tolerances.coat", "a single run does not use", NULL, NULL);
    refused("stations=1", "stations", "reserved", NULL, NULL);
    refused("zones=1", "zones", "no single value", NULL, NULL);
    refused("clay.coat=1 mm", "clay.coat", "no single value", NULL, "clay.coat.0.");
    refused("steel.batch=1 %", "steel.batch", "no single value", NULL, "C, Si, Mn");
    refused("steps.7.at=40 °C", "steps.7.at", "steps.7, past the end", "steps.0 to steps.1", NULL);
    refused("clay.lost.0.after=1 s", "clay.lost.0.after", "without clay.lost", NULL, NULL);
    refused("steps.*.at=40 °C", "steps.*.at", "'*'", "number of a step", NULL);
}
END_TEST

START_TEST(complaints_of_values) {
    refused("steps.1.at", "", "a key without values", "KEY=VALUE", NULL);
    refused("=3", "", "values without a key", NULL, NULL);
    refused("steps.1.at=", "", "no values", NULL, NULL);
    refused("steps.1.at=30 °C,,45 °C", "steps.1.at", "empty value", NULL, NULL);
    refused("steps.1.at=30 °C,", "steps.1.at", "empty value", NULL, NULL);
    refused("steps.1.at=30", "steps.1.at", "'30', a number without a unit", "a temperature", NULL);
    refused("steps.1.at=30 °C,45 kg", "steps.1.at", "'45 kg'", "a temperature", NULL);
    ck_assert_str_eq(told.items[0].file, "--vary steps.1.at=45 kg");
    refused("steps.1.at=30 °C,4500 °C", "steps.1.at", "'4500 °C'", "from -30 °C to 300 °C", NULL);
    refused("steps.1.at=30 °C,30 °C", "steps.1.at", "twice", NULL, NULL);
    refused("clay.coat.2.thickness=0,2 mm", "clay.coat.2.thickness", "'0'", NULL, "a point before decimals");
    refused("steps.1.in=water,watre", "steps.1.in", "no bath profile 'watre'", NULL, "did you mean 'water'");
    refused("heat.structure=soft", "heat.structure", "'soft'", "normalised, cycled", NULL);
    refused("clay.wet=yes", "clay.wet", "'yes'", "true or false", NULL);
    refused("steps.1.in.film=2 mm", "steps.1.in.film", "'2 mm'", "number without unit", NULL);
    refused("grid.refine=1.5", "grid.refine", "'1.5'", "whole number", NULL);
}
END_TEST

START_TEST(complaints_of_ranges) {
    refused("clay.coat.2.thickness=1..4 mm", "clay.coat.2.thickness", "without step", "LOW..HIGH by STEP", NULL);
    refused("clay.coat.2.thickness=1..4 mm by 0 mm", "clay.coat.2.thickness", "step of zero", NULL, NULL);
    refused("clay.coat.2.thickness=1..4 mm by -1 mm", "clay.coat.2.thickness", "leads away", "above zero", NULL);
    refused("clay.coat.2.thickness=4..1 mm by 1 mm", "clay.coat.2.thickness", "leads away", "below zero", NULL);
    refused("clay.coat.2.thickness=1..4 mm by 1 s", "clay.coat.2.thickness", "'1 s'", "a length", NULL);
    refused("clay.coat.2.thickness=1..4 mm by 1e-300 mm", "clay.coat.2.thickness", "more than 1000", "fewer", NULL);
    refused("clay.coat.2.thickness=1..4 mm by 0.001 mm", "clay.coat.2.thickness", "more than 1000", "fewer", NULL);
    refused("clay.coat.2.thickness=1..40 mm by 1 mm", "clay.coat.2.thickness", "'40 mm'", "to 10 mm", NULL);
    refused("clay.coat.2.thickness=..4 mm by 1 mm", "clay.coat.2.thickness", "empty end", NULL, NULL);
    refused("steps.1.in=water..canola by 1", "steps.1.in", "range of words", NULL, NULL);
    refused("steps.1.at=20 °C..80 °C by 20 mm", "steps.1.at", "'20 mm'", "difference", NULL);
}
END_TEST

START_TEST(too_many_and_twice) {
    static const char *const twice[] = {"steps.1.at=30 °C", "steps.1.at=40 °C"};
    const char *nine[9];
    cq_vary *vary = NULL;
    forget();
    ck_assert_int_eq(cq_vary_open(&vary, KNIFE, &SHIPPED, twice, 2, &told), CQ_ERR_PLAN);
    ck_assert_ptr_nonnull(strstr(told.items[0].found, "twice"));
    for (size_t n = 0; n < 9; n++) {
        nine[n] = "steps.1.at=30 °C";
    }
    forget();
    ck_assert_int_eq(cq_vary_open(&vary, KNIFE, &SHIPPED, nine, 9, &told), CQ_ERR_PLAN);
    ck_assert_ptr_nonnull(strstr(told.items[0].expected, "at most 8"));
    forget();
    ck_assert_int_eq(cq_vary_open(&vary, CQ_PROFILES "/plans/absent.yaml", &SHIPPED, twice, 1, &told), CQ_ERR_FILE);
    ck_assert_uint_eq(told.count, 1);
    ck_assert_ptr_null(vary);
}
END_TEST

/* What only the whole plan shows is told of the run, at the value that did it. */
START_TEST(faulty_runs) {
    cq_plan plan;
    cq_vary *vary = open_one("steps.1.at=40 °C,120 °C");
    cq_plan_init(&plan);
    forget();
    ck_assert_int_eq(cq_vary_plan(vary, 1, &plan, &told), CQ_ERR_PLAN);
    ck_assert_ptr_null(plan.arena);
    ck_assert_str_eq(told.items[0].file, "--vary steps.1.at=120 °C");
    ck_assert_str_eq(told.items[0].key, "steps.1.at");
    plan_of(vary, 0, &plan); /* the next is none the worse */
    cq_plan_clear(&plan);
    cq_vary_close(vary);
}
END_TEST

/* ---- memory, threads, speed -------------------------------------------------------------------------------------- */

START_TEST(short_memory) {
    static const char *const specs[] = {"steel.batch.Mn=0.35 %", "steps.1.in=brine-10",
                                        "clay.coat.3.left=1..2 mm by 1 mm"};
    cq_plan plan;
    cq_vary *vary = NULL;
    unsigned long before = cq_memory_count();
    vary = open_specs(KNIFE, 3, specs);
    const long opening = (long)(cq_memory_count() - before);
    before = cq_memory_count();
    plan_of(vary, 1, &plan);
    const long planning = (long)(cq_memory_count() - before);
    cq_plan_clear(&plan);
    for (long n = 0; n < 2 * planning; n++) {
        forget();
        n < planning ? cq_memory_fail_after(n) : cq_memory_fail_once_after(n - planning);
        const cq_status status = cq_vary_plan(vary, 1, &plan, &told);
        cq_memory_fail_after(-1);
        ck_assert_msg(status == CQ_ERR_MEMORY, "allocation %ld of a plan: %s", n, cq_status_sentence(status));
    }
    plan_of(vary, 1, &plan); /* a circle of from: is not seen where there is none */
    cq_plan_clear(&plan);
    for (long n = 0; n < opening; n += 7) { /* reading itself is held to this in test_faults */
        cq_vary *other = NULL;
        forget();
        cq_memory_fail_after(n);
        const cq_status status = cq_vary_open(&other, KNIFE, &SHIPPED, specs, 3, &told);
        cq_memory_fail_after(-1);
        ck_assert_msg(status < 0 && other == NULL, "allocation %ld of %ld", n, opening);
    }
    cq_vary_close(vary);
}
END_TEST

enum { THREADS = 4, ROUNDS = 500 };
typedef struct share {
    cq_vary *vary;
    size_t first, faults;
} share;

/* The profiles of that run and no other: what is marked while another thread reads would show here. */
static bool has_profiles(const cq_plan *plan, const char *steel, const char *bath) {
    size_t found = 0;
    for (size_t p = 0; p < plan->profiles_n; p++) {
        found += strcmp(plan->profile_names[p], steel) == 0 || strcmp(plan->profile_names[p], bath) == 0;
    }
    return found == 2 && plan->profiles_n == 5; /* blade, steel, clay, air, bath */
}

static void *make_plans(void *argument) {
    share *s = argument;
    for (size_t n = 0; n < ROUNDS; n++) {
        const size_t run = (s->first + n) % 12;
        cq_plan plan;
        cq_plan_init(&plan);
        const bool water = run / 3 % 2 == 0;
        const bool good =
            cq_vary_plan(s->vary, run, &plan, NULL) == CQ_OK &&
            strcmp(plan.steps[1].bath.name, water ? "water" : "canola") == 0 &&
            fabs(plan.coat.points[0].left_m - 1e-4 * (double)(run % 3)) < 1e-12 &&
            has_profiles(&plan, run < 6 ? "steel-1084" : "steel-W1", water ? "bath-water" : "bath-canola");
        s->faults += good ? 0 : 1;
        cq_plan_clear(&plan);
    }
    return NULL;
}

START_TEST(from_several_threads) {
    static const char *const specs[] = {"steel=1084,W1", "steps.1.in=water,canola",
                                        "clay.coat.0.thickness=0 mm,0.1 mm,0.2 mm"};
    share shares[THREADS];
    pthread_t threads[THREADS];
    cq_vary *vary = open_specs(KNIFE, 3, specs);
    for (size_t t = 0; t < THREADS; t++) {
        shares[t] = (share){vary, 3 * t, 0};
        ck_assert_int_eq(pthread_create(&threads[t], NULL, make_plans, &shares[t]), 0);
    }
    for (size_t t = 0; t < THREADS; t++) {
        pthread_join(threads[t], NULL);
        ck_assert_uint_eq(shares[t].faults, 0);
    }
    cq_vary_close(vary);
}
END_TEST

/* Printed, not judged: a plan from overrides against reading the file anew. */
START_TEST(time_of_a_plan) {
    enum { TIMES = 200 };
    cq_plan plan;
    cq_vary *vary = open_one("steel.batch.Mn=0.35 %");
    const clock_t begun = clock();
    for (int n = 0; n < TIMES; n++) {
        plan_of(vary, 0, &plan);
        cq_plan_clear(&plan);
    }
    const clock_t half = clock();
    for (int n = 0; n < TIMES; n++) {
        forget();
        ck_assert_int_eq(cq_plan_read(&plan, KNIFE, &SHIPPED, &told), CQ_OK);
        cq_plan_clear(&plan);
    }
    printf("a plan from overrides: %.3f ms; read anew: %.3f ms\n",
           1e3 * (double)(half - begun) / CLOCKS_PER_SEC / TIMES,
           1e3 * (double)(clock() - half) / CLOCKS_PER_SEC / TIMES);
    cq_vary_close(vary);
}
END_TEST

int main(void) {
    TCase *tcase = tcase_create("vary");
    tcase_set_timeout(tcase, 120);
    tcase_add_checked_fixture(tcase, NULL, forget);
    tcase_add_test(tcase, quantities);
    tcase_add_test(tcase, below_names);
    tcase_add_test(tcase, inside_profiles);
    tcase_add_test(tcase, names_and_choices);
    tcase_add_test(tcase, coats);
    tcase_add_test(tcase, products);
    tcase_add_test(tcase, ranges);
    tcase_add_test(tcase, complaints_of_keys);
    tcase_add_test(tcase, complaints_of_values);
    tcase_add_test(tcase, complaints_of_ranges);
    tcase_add_test(tcase, too_many_and_twice);
    tcase_add_test(tcase, faulty_runs);
    tcase_add_test(tcase, short_memory);
    tcase_add_test(tcase, from_several_threads);
    tcase_add_test(tcase, later_heats_can_be_varied);
    tcase_add_test(tcase, time_of_a_plan);
    return run_case(tcase, "vary");
}
