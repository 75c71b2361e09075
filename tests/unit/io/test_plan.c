/* test_plan.c - a plan's text into numbers in SI units. */
#include "reading.h"

#include <math.h>

#define EXACT 1e-12 /* relative; a conversion of units is a product or two */

static const char WHOLE[] =
    "format: clayquench-plan 1\n"
    "title: Sloyd knife, 1084, lukewarm water\n"
    "blade:\n"
    "  section: ridged\n"
    "  height: 28 mm\n"
    "  edge: 1/16 in\n"
    "  spine: 3.2 mm\n"
    "  length: 110 mm\n"
    "  ridge: {at: 20 mm, thickness: 6.5 mm}\n"
    "  surface: polished\n"
    "steel: {from: 1084, batch: {C: 0.85 %, Mn: 0.71 %}}\n"
    "clay:\n"
    "  mix: {conductivity: 0.6 W/m/K, heat-capacity: 1.4 MJ/m^3/K, density: 1550 kg/m^3, porosity: 40 %, emissivity: "
    "85 %}\n"
    "  wet: false\n"
    "  contact: 1e-5 m^2*K/W\n"
    "  soaked: 2\n"
    "  coat:\n"
    "    - {at: 0 mm, thickness: 0.05 mm}\n"
    "    - {at: 8 mm, left: 0.05 mm, right: 0.1 mm}\n"
    "    - {at: 11 mm, thickness: 2 mm}\n"
    "    - {at: 28 mm, thickness: 2 mm}\n"
    "  edge: 0.05 mm\n"
    "  spine: bare\n"
    "heat: {temperature: 1475 °F, hold: 5 min, error: 18 °F}\n"
    "steps:\n"
    "  - {in: air, for: 1.5 s}\n"
    "  - {in: water, at: 40 °C, for: 3 s, agitation: 0.5 m/s}\n"
    "  - {in: {kind: table, heat-transfer: [[30 °C, 600 W/m^2/K], [230 °C, 6000 W/m^2/K]]}, at: 30 °C, until: 60 °C}\n"
    "temper: [{temperature: 180 °C, for: 1 h}, {temperature: 200 °C, for: 2 h}]\n"
    "finish: {grind: 0.2 mm}\n"
    "tolerances: {coat: 15 %, bath-temperature: 3 K}\n"
    "record:\n"
    "  probes: [{name: e, at: 0.5 mm}, {name: b5, at: 5 mm, face: left}]\n"
    "  times: [0.25 s, 0.5 s, 1 s]\n"
    "  every: 50 ms\n"
    "grid: {along: 120, across: 9, clay: 7, refine: 2}\n";

static void near(double value, double expected) {
    ck_assert_msg(fabs(value - expected) <= EXACT * fabs(expected), "%.17g instead of %.17g", value, expected);
}

START_TEST(reads_every_part) {
    cq_plan p;
    read_good(&p, WHOLE);
    ck_assert_str_eq(p.title, "Sloyd knife, 1084, lukewarm water");
    ck_assert_str_eq(p.file, "test.yaml");
    ck_assert_str_eq(p.text, WHOLE);
    ck_assert_int_eq(p.blade.family, CQ_FAMILY_RIDGED);
    near(p.blade.height_m, 28e-3);
    near(p.blade.edge_m, 0.0254 / 16.0);
    near(p.blade.spine_m, 3.2e-3);
    near(p.blade.length_m, 0.11);
    near(p.blade.ridge_at_m, 20e-3);
    near(p.blade.ridge_thickness_m, 6.5e-3);
    ck_assert_str_eq(p.blade.surface, "polished");
    near(p.steel.composition_wt.C, 0.85);
    near(p.steel.composition_wt.Mn, 0.71);
    near(p.steel.composition_wt.Cr, 0.08); /* the profile's others stay */
    ck_assert_str_eq(p.steel.name, "1084");
    near(p.clay.conductivity_W_mK.y[0], 0.6);
    near(p.clay.heat_capacity_J_m3K.y[0], 1.4e6);
    near(p.clay.porosity, 0.4);
    near(p.clay.emissivity, 0.85);
    ck_assert(!p.coat_was_wet);
    near(p.contact_m2K_W, 1e-5);
    near(p.soaked, 2.0);
    ck_assert_uint_eq(p.coat.n, 4);
    near(p.coat.points[1].at_m, 8e-3);
    near(p.coat.points[1].left_m, 0.05e-3);
    near(p.coat.points[1].right_m, 0.1e-3);
    near(p.coat.points[3].right_m, 2e-3);
    near(p.coat.edge_m, 0.05e-3);
    near(p.coat.spine_m, 0.0);
    near(p.heat.temperature_K, (1475.0 + 459.67) / 1.8);
    near(p.heat.hold_s, 300.0);
    near(p.heat.error_K, 10.0); /* a difference: scaled, not offset */
    near(p.heat.start_K, 0.0);
    cq_plan_clear(&p);
    ck_assert_ptr_null(p.arena);
    ck_assert_uint_eq(p.steps_n, 0);
}
END_TEST

START_TEST(reads_steps_and_the_rest) {
    cq_plan p;
    read_good(&p, WHOLE);
    ck_assert_uint_eq(p.steps_n, 3);
    ck_assert_int_eq(p.steps[0].bath.kind, CQ_BATH_GAS);
    near(p.steps[0].at_K, 293.15); /* air without at: */
    near(p.steps[0].for_s, 1.5);
    near(p.steps[0].until_K, 0.0);
    ck_assert_int_eq(p.steps[1].bath.kind, CQ_BATH_BOILING);
    near(p.steps[1].bath.scale_m, 20e-6);
    near(p.steps[1].at_K, 313.15);
    near(p.steps[1].agitation_m_s, 0.5);
    ck_assert_int_eq(p.steps[2].bath.kind, CQ_BATH_TABLE);
    near(p.steps[2].bath.scale_m, 0.0);
    near(p.steps[2].until_K, 333.15);
    ck_assert_uint_eq(p.steps[2].bath.heat_transfer_W_m2K.n, 2);
    near(p.steps[2].bath.heat_transfer_W_m2K.x[1], 503.15);
    near(p.steps[2].bath.heat_transfer_W_m2K.y[1], 6000.0);
    ck_assert_uint_eq(p.temper_n, 2);
    near(p.temper[1].temperature_K, 473.15);
    near(p.temper[1].for_s, 7200.0);
    near(p.grind_m, 0.2e-3);
    ck_assert_uint_eq(p.tolerances_n, 2);
    ck_assert_str_eq(p.tolerances[0].key, "coat");
    ck_assert(p.tolerances[0].relative);
    near(p.tolerances[0].value, 0.15);
    ck_assert(!p.tolerances[1].relative);
    near(p.tolerances[1].value, 3.0);
    ck_assert_uint_eq(p.probes_n, 2);
    ck_assert_str_eq(p.probes[1].name, "b5");
    ck_assert_int_eq(p.probes[0].face, CQ_FACE_MID);
    ck_assert_int_eq(p.probes[1].face, CQ_FACE_LEFT);
    near(p.probes[1].at_m, 5e-3);
    ck_assert_uint_eq(p.times_n, 3);
    near(p.times_s[2], 1.0);
    near(p.every_s, 0.05);
    ck_assert_int_eq(p.grid.along, 120);
    ck_assert_int_eq(p.grid.across, 9);
    ck_assert_int_eq(p.grid.clay, 7);
    ck_assert_int_eq(p.grid.refine, 2);
    cq_plan_clear(&p);
}
END_TEST

/* What a plan does not say is what cq_plan_init says. */
/* The last heat is the plan's own, those before it in their order. */
START_TEST(reads_later_heats) {
    static const char TEXT[] =
        "format: clayquench-plan 1\nblade: {section: plate, thickness: 3 mm}\nsteel: 1084\n"
        "heat: {temperature: 810 °C, hold: 4 min}\nsteps: [{in: air, for: 1 s}, {in: water, at: 40 °C, until: 60 °C}]\n"
        "heats:\n"
        "  - {temper: [{temperature: 180 °C, for: 1 h, after: 90 min}], heat: {temperature: 800 °C, structure: "
        "cycled}, "
        "steps: [{in: water, at: 30 °C, until: 60 °C}]}\n"
        "  - {heat: {temperature: 790 °C}, steps: [{in: water, at: 20 °C, until: 60 °C}]}\n"
        "temper: [{temperature: 200 °C, for: 2 h, after: 3 h}, {temperature: 200 °C, for: 2 h, after: 9 h}]\n";
    cq_plan p;
    read_good(&p, TEXT);
    ck_assert_uint_eq(p.earlier_n, 2);
    near(p.earlier[0].heat.temperature_K, 1083.15);
    near(p.earlier[0].heat.hold_s, 240.0);
    ck_assert(!p.earlier[0].heat.follows && !p.earlier[1].heat.follows && p.heat.follows);
    ck_assert_uint_eq(p.earlier[0].steps_n, 2);
    ck_assert_uint_eq(p.earlier[0].temper_n, 1);
    near(p.earlier[0].temper_after_s, 5400.0);
    near(p.earlier[1].heat.temperature_K, 1073.15);
    near(p.earlier[1].heat.hold_s, 300.0); /* the default, not the first heat's */
    ck_assert_int_eq(p.earlier[1].heat.stock, CQ_STOCK_CYCLED);
    near(p.earlier[1].steps[0].at_K, 303.15);
    ck_assert_uint_eq(p.earlier[1].temper_n, 0);
    near(p.heat.temperature_K, 1063.15);
    near(p.steps[0].at_K, 293.15);
    ck_assert_uint_eq(p.temper_n, 2);
    near(p.temper_after_s, 10800.0); /* the first's alone */
    cq_plan_clear(&p);
}
END_TEST

START_TEST(leaves_defaults) {
    cq_plan p, fresh;
    cq_plan_init(&fresh);
    read_good(&p, PLATE);
    near(p.heat.hold_s, fresh.heat.hold_s);
    near(p.soaked, fresh.soaked);
    near(p.steel.emissivity, fresh.steel.emissivity);
    ck_assert_int_eq(p.grid.along, fresh.grid.along);
    ck_assert_int_eq(p.grid.across, fresh.grid.across);
    ck_assert_int_eq(p.grid.clay, fresh.grid.clay);
    ck_assert_int_eq(p.grid.refine, fresh.grid.refine);
    ck_assert_uint_eq(p.coat.n, 0);
    ck_assert_uint_eq(p.profiles_n, 0);
    near(p.heat.start_K, 1073.15);
    ck_assert_str_eq(p.title, "");
    cq_plan_clear(&p);
    char *bare = with(WHOLE, "steel: {from: 1084, batch: {C: 0.85 %, Mn: 0.71 %}}", "steel: {composition: {C: 0.8 %}}");
    read_good(&p, bare);
    near(p.steel.grain_ASTM, fresh.steel.grain_ASTM);
    near(p.steel.time_factor, fresh.steel.time_factor);
    near(p.steel.time_factor_ln_sigma, fresh.steel.time_factor_ln_sigma);
    cq_plan_clear(&p);
    free(bare);
}
END_TEST

START_TEST(dries_wet_clay) {
    cq_plan p;
    char *wet = with(WHOLE, "porosity: 40 %", "drying-factor: 0.8"), *wetter = with(wet, "wet: false", "wet: true");
    read_good(&p, wetter);
    ck_assert(p.coat_was_wet);
    near(p.coat.points[3].left_m, 1.6e-3);
    near(p.coat.points[1].right_m, 0.08e-3);
    near(p.coat.edge_m, 0.04e-3);
    cq_plan_clear(&p);
    free(wet);
    free(wetter);
}
END_TEST

START_TEST(bulges_a_convex_section) {
    cq_plan p;
    char *convex =
        with(PLATE, "{section: plate, thickness: 4 mm}", "{section: convex, height: 30 mm, edge: 1 mm, spine: 5 mm}");
    read_good(&p, convex);
    near(p.blade.bulge_m, 0.5e-3); /* an eighth of 4 mm */
    cq_plan_clear(&p);
    char *stated = with(convex, "spine: 5 mm", "spine: 5 mm, bulge: 0 mm");
    read_good(&p, stated);
    ck_assert_double_eq(p.blade.bulge_m, 0.0);
    cq_plan_clear(&p);
    free(convex);
    free(stated);
}
END_TEST

/* A coat on a plate or round is one thickness everywhere; its heights mean nothing. */
START_TEST(coats_a_round) {
    cq_plan p;
    char *round = with(PLATE, "{section: plate, thickness: 4 mm}",
                       "{section: round, diameter: 12.5 mm, length: 60 mm, height: 60 mm}\n"
                       "clay: {mix: kaolin, coat: [{at: 0 mm, thickness: 1 mm}, {at: 100 mm, thickness: 1 mm}]}");
    read_good(&p, round);
    ck_assert_int_eq(p.blade.family, CQ_FAMILY_ROUND);
    near(p.blade.spine_m, 12.5e-3);
    ck_assert_uint_eq(p.coat.n, 2);
    cq_plan_clear(&p);
    char *uneven = with(round, "thickness: 1 mm}]", "left: 1 mm, right: 2 mm}]");
    cq_plan_init(&p);
    ck_assert_int_eq(read_text(&p, uneven), CQ_ERR_PLAN);
    free(round);
    free(uneven);
}
END_TEST

START_TEST(reads_tables_with_their_sources) {
    cq_plan p;
    char *sourced = with(PLATE, "conductivity: 30 W/m/K",
                         "conductivity: {value: [[20 °C, 53 W/m/K], [400 °C, 40 W/m/K], [800 °C, 27 W/m/K]], "
                         "interpolate: monotone, source: mine, "
                         "valid: [20 °C, 800 °C], uncertainty: 5 %}");
    read_good(&p, sourced);
    ck_assert_uint_eq(p.steel.conductivity_W_mK.n, 3);
    ck_assert_int_eq(p.steel.conductivity_W_mK.interpolation, CQ_INTERPOLATE_MONOTONE);
    near(p.steel.conductivity_W_mK.y[2], 27.0);
    cq_plan_clear(&p);
    char *points = with(sourced, "value:", "points:"), *linear = with(points, "monotone", "linear");
    read_good(&p, linear);
    ck_assert_int_eq(p.steel.conductivity_W_mK.interpolation, CQ_INTERPOLATE_LINEAR);
    cq_plan_clear(&p);
    char *odd = with(points, "monotone", "spline");
    read_bad(odd, "steel.conductivity.interpolate");
    free(sourced);
    free(points);
    free(linear);
    free(odd);
}
END_TEST

/* Line ends of other systems, a byte order mark, quotes and comments change nothing. */
START_TEST(reads_yaml_of_all_kinds) {
    cq_plan p;
    char *crlf = calloc(1, 2 * sizeof PLATE), *to = crlf;
    for (const char *from = PLATE; *from != '\0'; from++) {
        if (*from == '\n') {
            *to++ = '\r';
        }
        *to++ = *from;
    }
    read_good(&p, crlf);
    near(p.blade.spine_m, 4e-3);
    cq_plan_clear(&p);
    char marked[sizeof PLATE + 8];
    snprintf(marked, sizeof marked, "\xEF\xBB\xBF%s", PLATE);
    read_good(&p, marked);
    cq_plan_clear(&p);
    char *quoted = with(PLATE, "thickness: 4 mm", "\"thickness\": '4 mm'"),
         *commented = with(quoted, "start:", "# as hot as this\nstart:");
    read_good(&p, commented);
    near(p.blade.spine_m, 4e-3);
    cq_plan_clear(&p);
    free(crlf);
    free(quoted);
    free(commented);
}
END_TEST

/* A failed read leaves the caller's plan as it was, and works without anybody to complain to. */
START_TEST(leaves_the_plan_untouched) {
    cq_plan p;
    read_good(&p, PLATE);
    const cq_plan before = p;
    char *bad = with(PLATE, "4 mm", "4 s");
    ck_assert_int_eq(cq_plan_read_text(&p, bad, strlen(bad), "bad.yaml", NULL, NULL, NULL), CQ_ERR_PLAN);
    ck_assert(memcmp(&p, &before, sizeof p) == 0);
    ck_assert_int_eq(cq_plan_read(&p, "/nowhere/plan.yaml", NULL, NULL), CQ_ERR_FILE);
    ck_assert(memcmp(&p, &before, sizeof p) == 0);
    cq_plan_clear(&p);
    cq_plan_clear(NULL);
    free(bad);
}
END_TEST

/* Complaints are added behind those of the caller's earlier files. */
START_TEST(adds_to_earlier_complaints) {
    cq_plan p;
    char *bad = with(PLATE, "4 mm", "4 s");
    forget();
    cq_plan_init(&p);
    cq_plan_read_text(&p, bad, strlen(bad), "first.yaml", NULL, NULL, &told);
    cq_plan_read_text(&p, bad, strlen(bad), "second.yaml", NULL, NULL, &told);
    ck_assert_uint_eq(told.count, 2);
    ck_assert_str_eq(told.items[0].file, "first.yaml");
    ck_assert_str_eq(told.items[1].file, "second.yaml");
    ck_assert_str_eq(told.items[1].source_line, "blade: {section: plate, thickness: 4 s}");
    free(bad);
}
END_TEST

/* Thousands of faults are not all told, but the first ones and that there are more. */
START_TEST(stops_telling) {
    enum { STEPS = 3000 };
    char *many = calloc(STEPS + 10, 40);
    strcpy(many, "format: clayquench-plan 1\nblade: {section: plate, thickness: 4 mm}\nsteel: {composition: {C: 0.8 "
                 "%}}\nstart: 800 °C\nsteps:\n");
    char *end = many + strlen(many);
    for (int s = 0; s < STEPS; s++) {
        end += sprintf(end, "  - {im: x%d}\n", s);
    }
    cq_plan p;
    ck_assert_int_eq(read_text(&p, many), CQ_ERR_PLAN);
    ck_assert_uint_le(told.count, 500);
    ck_assert_uint_ge(told.count, 400);
    free(many);
}
END_TEST

/* An invented diagram: in SI units, of the heat it names laid on the profile's, not of the batch that is quenched. */
START_TEST(reads_a_measured_diagram) {
    static const char text[] =
        "format: clayquench-plan 1\n"
        "blade: {section: plate, thickness: 4 mm}\n"
        "steel:\n"
        "  from: 1084\n"
        "  batch: {Mn: 0.40 %}\n"
        "  isothermal:\n"
        "    source: \"invented, beside [callister2008]\"\n"
        "    composition: {C: 0.79 %, Cr: 0 %}\n"
        "    soak: 1652 °F\n"
        "    hold: 10 min\n"
        "    structure: cycled\n"
        "    grain: 6\n"
        "    rows: [[650 °C, 7 s, 20 s, 1 min], [540 °C, 800 ms, 3 s, 6.5 s], [350 °C, 10 s, 130 s, 500 s]]\n"
        "heat: {temperature: 800 °C}\n"
        "steps: [{in: water, at: 40 °C, for: 1 s}]\n";
    cq_plan p;
    read_good(&p, text);
    const cq_diagram *d = &p.steel.diagram;
    ck_assert_uint_eq(d->n, 3);
    ck_assert_str_eq(d->source, "invented, beside [callister2008]");
    near(d->row[0].temp_K, 650 + 273.15);
    near(d->row[0].end_s, 60.0);
    near(d->row[1].start_s, 0.8);
    near(d->row[2].half_s, 130.0);
    near(d->soak_K, 900 + 273.15);
    near(d->hold_s, 600.0);
    near(d->grain_ASTM, 6.0);
    ck_assert_int_eq(d->stock, CQ_STOCK_CYCLED);
    near(d->composition_wt.C, 0.79);
    near(d->composition_wt.Mn, 0.75);
    near(d->composition_wt.Ni, 0.06);
    ck_assert_double_eq_tol(d->composition_wt.Cr, 0.0, 1e-300);
    near(p.steel.composition_wt.C, 0.84);
    near(p.steel.composition_wt.Mn, 0.40);
    cq_plan_clear(&p);
}
END_TEST

static const char BUILT[] =
    "format: clayquench-plan 1\n"
    "blade: {section: flat, height: 28 mm, edge: 1.2 mm, spine: 3.2 mm}\n"
    "zones:\n"
    "  build: pieces\n"
    "  pieces:\n"
    "    - {name: back, steel: core-iron}\n"
    "    - {name: edge, steel: {from: 1084, batch: {C: 0.80 %}}, outline: [[0 mm, -2 mm, 2 mm], [9 mm, -1 mm, 1 mm]]}\n"
    "  heats:\n"
    "    - {temperature: 1150 °C, for: 2 min, thickness-then: 8 mm}\n"
    "    - {temperature: 1000 °C, for: 5 min}\n"
    "skin: {temperature: 900 °C, for: 10 min, face: 0.05 %}\n"
    "heat: {temperature: 800 °C, fire: {temperature: 950 °C, for: 3 min}}\n"
    "steps:\n"
    "  - {in: water, at: 40 °C, until: 60 °C}\n";

START_TEST(reads_what_comes_before_the_quench) {
    cq_plan p;
    read_good(&p, BUILT);
    const cq_zones *z = &p.zones;
    ck_assert_uint_eq(z->n, 2);
    ck_assert_int_eq(z->build, CQ_BUILD_PIECES);
    ck_assert_uint_eq(z->zone[0].n, 0);
    ck_assert_uint_eq(z->zone[1].n, 2);
    ck_assert_str_eq(z->zone[1].name, "edge");
    near(z->zone[1].points[1].at_m, 9e-3);
    near(z->zone[1].points[1].from_m, -1e-3);
    near(z->zone[1].points[1].to_m, 1e-3);
    ck_assert_uint_eq(z->edge, 1);
    near(p.steel.composition_wt.C, 0.80); /* the plan's steel is the edge's */
    near(z->zone[0].steel.composition_wt.C, 0.10);
    ck_assert_uint_eq(z->heats_n, 2);
    near(z->heats[0].temperature_K, 1423.15);
    near(z->heats[0].thickness_m, 8e-3);
    near(z->heats[1].for_s, 300.0);
    ck_assert(!(z->heats[1].thickness_m > 0.0));
    near(p.skin.temperature_K, 1173.15);
    near(p.skin.for_s, 600.0);
    near(p.skin.face_wt, 0.05);
    near(p.heat.fire.temperature_K, 1223.15);
    near(p.heat.fire.for_s, 180.0);
    near(p.heat.fire.film_W_m2K, 200.0);
    near(p.heat.temperature_K, 1073.15);
    cq_plan_clear(&p);
}
END_TEST

int main(void) {
    TCase *tcase = tcase_create("plan");
    tcase_add_checked_fixture(tcase, NULL, forget);
    tcase_add_test(tcase, reads_every_part);
    tcase_add_test(tcase, reads_steps_and_the_rest);
    tcase_add_test(tcase, leaves_defaults);
    tcase_add_test(tcase, dries_wet_clay);
    tcase_add_test(tcase, bulges_a_convex_section);
    tcase_add_test(tcase, coats_a_round);
    tcase_add_test(tcase, reads_tables_with_their_sources);
    tcase_add_test(tcase, reads_yaml_of_all_kinds);
    tcase_add_test(tcase, reads_a_measured_diagram);
    tcase_add_test(tcase, reads_what_comes_before_the_quench);
    tcase_add_test(tcase, leaves_the_plan_untouched);
    tcase_add_test(tcase, adds_to_earlier_complaints);
    tcase_add_test(tcase, stops_telling);
    tcase_add_test(tcase, reads_later_heats);
    return run_case(tcase, "plan");
}
