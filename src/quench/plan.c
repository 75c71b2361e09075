/* plan.c - a plan's defaults, its release, and whether it makes sense as a whole; its steps: plan_steps.c.
 *
 * Ranges here are those a plan may have at all, however it was made; the io floor's field descriptors hold the same for
 * single keys of a file. Comparisons are written so that a NaN fails them.
 */
#include "quench/heats.h"
#include "quench/plan_faults.h"

#include "base/memory.h"
#include "kinetics/laws.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

void cq_plan_init(cq_plan *plan) {
    memset(plan, 0, sizeof *plan);
    plan->title = plan->file = plan->text = "";
    plan->soaked = 1.0;
    plan->heat.hold_s = 300.0;
    plan->steel.time_factor = 1.0;
    plan->steel.time_factor_ln_sigma = 0.35;
    plan->steel.grain_ASTM = 8.0;
    plan->steel.emissivity = 0.8;
    plan->clay.emissivity = 0.9;
    plan->clay.drying_factor = 1.0;
    plan->wear_HRC = CQ_WEAR_HRC;
    plan->grid = (cq_grid_wish){100, 8, 6, 1};
}

void cq_plan_clear(cq_plan *plan) {
    if (plan != NULL) {
        cq_arena_free(plan->arena);
        cq_plan_init(plan);
    }
}

void cq_plan_fault(cq_plan_faults *c, const char *key, const char *expected, const char *remedy,
                   const char *found_format, ...) {
    char found[192];
    va_list arguments;
    va_start(arguments, found_format);
    vsnprintf(found, sizeof found, found_format, arguments);
    va_end(arguments);
    c->status = cq_error_say(c->error, CQ_ERR_PLAN, key, expected, remedy, "%s", found);
}

/* ---- blade ------------------------------------------------------------------------------------------------------- */

static void length(cq_plan_faults *c, const char *key, double value_m, double least_m, double most_m) {
    if (!cq_within(value_m, least_m * (1.0 - 1e-9), most_m * (1.0 + 1e-9))) {
        char expected[64];
        snprintf(expected, sizeof expected, "from %g to %g mm", least_m * MM, most_m * MM);
        cq_plan_fault(c, key, expected, "", "%.4g mm", value_m * MM);
    }
}

static void check_ridge(cq_plan_faults *c) {
    const cq_blade *b = &c->plan->blade;
    if (!cq_within(b->ridge_at_m, 0.02 * b->height_m, 0.98 * b->height_m)) {
        cq_plan_fault(c, "blade.ridge.at", "a height between edge and spine", "", "%.4g mm on a section %.4g mm high",
                      b->ridge_at_m * MM, b->height_m * MM);
    }
    const double thicker = fmax(b->edge_m, b->spine_m);
    if (!(b->ridge_thickness_m >= thicker * (1.0 - 1e-9))) {
        cq_plan_fault(c, "blade.ridge.thickness", "a ridge at least as thick as edge and spine", "",
                      "%.4g mm beside %.4g mm", b->ridge_thickness_m * MM, thicker * MM);
    }
}

static void check_groove(cq_plan_faults *c) {
    const cq_blade *b = &c->plan->blade;
    length(c, "blade.groove.width", b->groove_width_m, 0.5e-3, 0.1);
    length(c, "blade.groove.depth", b->groove_depth_m, 0.02e-3, 20e-3);
    if (!cq_within(b->groove_at_m, 0.0, b->height_m)) {
        cq_plan_fault(c, "blade.groove.at", "a height on the blade", "", "%.4g mm on a section %.4g mm high",
                      b->groove_at_m * MM, b->height_m * MM);
    }
}

static void check_family(cq_plan_faults *c) {
    const cq_blade *b = &c->plan->blade;
    const bool free_spine = b->family == CQ_FAMILY_RIDGED || b->family == CQ_FAMILY_DOUBLE_EDGED ||
                            b->family == CQ_FAMILY_OUTLINE; /* may be thinner than the edge */
    if (!free_spine && b->spine_m > 0.0 && !(b->spine_m >= b->edge_m)) {
        cq_plan_fault(c, "blade.spine", "a spine at least as thick as the edge", "swap edge and spine?",
                      "spine %.4g mm under edge %.4g mm", b->spine_m * MM, b->edge_m * MM);
    }
    if (b->family != CQ_FAMILY_OUTLINE && b->height_m > 0.0 && b->spine_m > 1.5 * b->height_m) {
        cq_plan_fault(c, "blade.spine", "a section taller than it is thick", "", "spine %.4g mm on a height of %.4g mm",
                      b->spine_m * MM, b->height_m * MM);
    }
    if (b->family == CQ_FAMILY_CONVEX && !cq_within(b->bulge_m, 0.0, 0.125 * b->height_m)) {
        cq_plan_fault(c, "blade.bulge", "from 0 to an eighth of the height", "", "%.4g mm", b->bulge_m * MM);
    }
    if (b->family == CQ_FAMILY_HOLLOW && !cq_within(b->hollow_m, 0.0, 0.125 * b->height_m)) {
        cq_plan_fault(c, "blade.hollow", "from 0 to an eighth of the height", "", "%.4g mm", b->hollow_m * MM);
    }
    if (b->family == CQ_FAMILY_RIDGED || b->family == CQ_FAMILY_DOUBLE_EDGED ||
        (b->family == CQ_FAMILY_ONE_SIDED && fabs(b->ridge_thickness_m) > 0.0)) {
        check_ridge(c);
    }
    if (fabs(b->groove_width_m) > 0.0 || fabs(b->groove_depth_m) > 0.0) {
        check_groove(c);
    }
}

/* An outline says height, edge and spine by its first and last points. */
static void check_ends(cq_plan_faults *c) {
    const cq_blade *b = &c->plan->blade;
    const char *list = b->left == b->right ? "points" : "left";
    const struct {
        size_t point;
        double value_m, least_m, most_m;
        const char *what;
    } ends[] = {{0, b->edge_m, 0.1e-3, 30e-3, "thickness across the edge flat"},
                {b->left_n > 0 ? b->left_n - 1 : 0, b->spine_m, 0.1e-3, 60e-3, "thickness across the spine flat"},
                {b->left_n > 0 ? b->left_n - 1 : 0, b->height_m, 3e-3, 0.2, "height"}};
    for (size_t e = 0; e < sizeof ends / sizeof ends[0]; e++) {
        if (!cq_within(ends[e].value_m, ends[e].least_m * (1.0 - 1e-9), ends[e].most_m * (1.0 + 1e-9))) {
            char key[64], expected[96];
            snprintf(key, sizeof key, "blade.%s.%zu", list, ends[e].point);
            snprintf(expected, sizeof expected, "a %s from %g to %g mm", ends[e].what, ends[e].least_m * MM,
                     ends[e].most_m * MM);
            cq_plan_fault(c, key, expected, "", "%.4g mm", ends[e].value_m * MM);
        }
    }
}

/* Nowhere may a blade be thinner than an edge may be. */
static void check_thinnest(cq_plan_faults *c, const cq_section *section) {
    for (int side = 0; side < CQ_SIDES; side++) {
        const cq_flank *f = &section->side[side];
        for (size_t i = 0; i < f->n; i++) {
            const double thickness = f->foot_y_m[i] + cq_section_half_thickness(section, 1 - side, f->foot_x_m[i]);
            if (!(thickness >= 0.1e-3 * (1.0 - 1e-9))) {
                cq_plan_fault(c, "blade", "0.1 mm of steel or more at every height", "",
                              "thickness %.3g mm at height %.4g mm", thickness * MM, f->foot_x_m[i] * MM);
                return;
            }
        }
    }
}

/* Faces that cross, lean too much or have their points out of order show when the bare section is built. */
static void check_outline(cq_plan_faults *c) {
    cq_section *section = NULL;
    cq_error error = CQ_ERROR_INIT;
    const cq_status status = cq_section_create(&section, &c->plan->blade, NULL, &error);
    if (section != NULL) {
        check_thinnest(c, section);
    }
    cq_section_free(section);
    if (status == CQ_ERR_MEMORY || error.lost > 0) {
        c->status = CQ_ERR_MEMORY;
    }
    for (size_t i = 0; i < error.count && status == CQ_ERR_GEOMETRY; i++) {
        cq_plan_fault(c, error.items[i].key, error.items[i].expected, error.items[i].remedy, "%s",
                      error.items[i].found);
    }
    cq_error_clear(&error);
}

static void check_blade(cq_plan_faults *c) {
    const cq_blade *b = &c->plan->blade;
    if (b->family == CQ_FAMILY_PLATE || b->family == CQ_FAMILY_ROUND) {
        length(c, b->family == CQ_FAMILY_PLATE ? "blade.thickness" : "blade.diameter", b->spine_m, 0.1e-3, 0.2);
        return;
    }
    if (!cq_is_shaped(b->family)) {
        cq_plan_fault(c, "blade.section", "a family of this version", "", "an unknown family of sections");
        return;
    }
    if (b->family == CQ_FAMILY_OUTLINE) {
        check_ends(c);
    } else {
        length(c, "blade.height", b->height_m, 3e-3, 0.2);
        length(c, "blade.edge", b->edge_m, 0.1e-3, 30e-3);
        length(c, "blade.spine", b->spine_m, 0.1e-3, 60e-3);
    }
    check_family(c);
    if (c->status == CQ_OK) { /* the blade is the first part */
        check_outline(c);
    }
}

/* ---- steel and heat ---------------------------------------------------------------------------------------------- */

static void check_steel_of(cq_plan_faults *c, const cq_steel *s, const char *key) {
    if (s->kind == CQ_STEEL_INERT) {
        if (!cq_table_is_valid(&s->conductivity_W_mK) || !cq_table_is_valid(&s->heat_capacity_J_m3K)) {
            cq_plan_fault(c, key, "conductivity and heat capacity of an inert steel", "",
                          "one of them missing or out of order");
        }
        if (s->expansion_per_K > 0.0 && s->yield_Pa.n > 0 && !cq_table_is_valid(&s->yield_Pa)) {
            cq_plan_fault(c, "steel.yield", "a table in order", "", "one that is not");
        }
        return;
    }
    double sum = 0.0;
#define ADD(e) sum += s->composition_wt.e;
    CQ_ELEMENT_LIST(ADD)
#undef ADD
    if (!cq_within(s->composition_wt.C, 1e-3, 2.0)) {
        cq_plan_fault(c, key, "from 0.001 to 2 % C",
                      s->composition_wt.C > 0.0 ? "" : "name a steel or state its composition", "%g %% C",
                      s->composition_wt.C);
    }
    if (!cq_within(sum, 0.0, 50.0)) {
        cq_plan_fault(c, key, "a steel: alloying elements under 50 % together", "", "elements that sum to %g %%", sum);
    }
    if (!cq_within(s->grain_ASTM, 0.0, 14.0) || !cq_within(s->time_factor, 0.2, 5.0)) {
        cq_plan_fault(c, key, "a grain number from 0 to 14 and a time factor from 0.2 to 5", "", "%g and %g",
                      s->grain_ASTM, s->time_factor);
    }
}

static void check_steel(cq_plan_faults *c) {
    if (c->plan->zones.n == 0) {
        check_steel_of(c, &c->plan->steel, "steel");
    }
    for (size_t n = 0; n < c->plan->zones.n; n++) {
        char key[64];
        check_steel_of(c, &c->plan->zones.zone[n].steel, cq_zone_steel_key(&c->plan->zones, n, key));
    }
    cq_plan_check_zones(c);
    cq_plan_check_skin(c);
}

static void temperature(cq_plan_faults *c, const char *key, double value_K, double least_C, double most_C) {
    if (!cq_within(value_K - ZERO_C, least_C - 1e-6, most_C + 1e-6)) {
        char expected[64];
        snprintf(expected, sizeof expected, "from %g to %g °C", least_C, most_C);
        cq_plan_fault(c, key, expected, "", "%.4g °C", value_K - ZERO_C);
    }
}

static void check_heat(cq_plan_faults *c) {
    const cq_heat_plan *h = &c->plan->heat;
    if (h->start_K > 0.0) {
        const bool transforms = cq_has_parts(c, CQ_PART_STEEL) && c->plan->steel.kind == CQ_STEEL_TRANSFORMING;
        temperature(c, "start", h->start_K, transforms ? 200.0 : 0.0, 1250.0); /* austenite does not wait colder */
        return;
    }
    temperature(c, "heat.temperature", h->temperature_K, 200.0, 1250.0);
    if (!cq_within(h->hold_s, 1.0, 36000.0)) {
        cq_plan_fault(c, "heat.hold", "from 1 s to 10 h", "", "%g s", h->hold_s);
    }
    cq_plan_check_fire(c);
}

/* ---- clay -------------------------------------------------------------------------------------------------------- */

/* A point that is NaN fails where it stands and nowhere else: comparisons with its neighbours let it pass. */
static void check_point(cq_plan_faults *c, size_t i, bool tall) {
    const cq_coat_point *points = c->plan->coat.points, *p = &points[i];
    const bool shaped = cq_is_shaped(c->plan->blade.family);
    char key[64];
    snprintf(key, sizeof key, "clay.coat.%zu.thickness", i);
    if (!cq_within(p->left_m, 0.0, 10e-3 * (1.0 + 1e-9)) || !cq_within(p->right_m, 0.0, 10e-3 * (1.0 + 1e-9))) {
        cq_plan_fault(c, key, "from 0 to 10 mm of clay", "", "%.4g and %.4g mm", p->left_m * MM, p->right_m * MM);
    }
    if (tall && !shaped && (fabs(p->left_m - points[0].left_m) > 1e-9 || fabs(p->right_m - points[0].right_m) > 1e-9)) {
        cq_plan_fault(c, key, "one thickness everywhere on a plate or round", "give every point the same thickness",
                      "%.4g mm after %.4g mm", p->left_m * MM, points[0].left_m * MM);
    }
    if (tall && c->plan->blade.family == CQ_FAMILY_ROUND && fabs(p->left_m - p->right_m) > 1e-9) {
        cq_plan_fault(c, key, "one thickness all around a round", "", "%.4g mm left and %.4g mm right", p->left_m * MM,
                      p->right_m * MM);
    }
    snprintf(key, sizeof key, "clay.coat.%zu.at", i);
    if (!(p->at_m >= 0.0) || (tall && shaped && !(p->at_m <= c->plan->blade.height_m * (1.0 + 1e-9)))) {
        cq_plan_fault(c, key, "a height on the blade", "", "%.4g mm on a section %.4g mm high", p->at_m * MM,
                      c->plan->blade.height_m * MM);
    }
    if (i > 0 && p->at_m < points[i - 1].at_m) {
        cq_plan_fault(c, key, "heights that do not fall from point to point", "sort the points from the edge up",
                      "%.4g mm after %.4g mm", p->at_m * MM, points[i - 1].at_m * MM);
    }
    if (i > 1 && p->at_m <= points[i - 2].at_m && p->at_m >= points[i - 1].at_m) {
        cq_plan_fault(c, key, "at most two points at one height: a step", "remove those between",
                      "a third point at %.4g mm", p->at_m * MM);
    }
}

static void check_clay(cq_plan_faults *c) {
    const cq_coat *coat = &c->plan->coat;
    const cq_clay *mix = &c->plan->clay;
    const bool tall = cq_has_parts(c, CQ_PART_BLADE);
    for (size_t i = 0; i < coat->n; i++) {
        check_point(c, i, tall);
    }
    const double flat[] = {coat->edge_m, coat->spine_m};
    static const char *const key[] = {"clay.edge", "clay.spine"};
    for (size_t f = 0; f < 2; f++) {
        length(c, key[f], flat[f], 0.0, 10e-3);
        if (tall && flat[f] > 0.0 && !cq_is_shaped(c->plan->blade.family)) {
            cq_plan_fault(c, key[f], "no flats on a plate or round", "remove it", "a coat of %.4g mm on one",
                          flat[f] * MM);
        }
    }
    const bool coated = coat->n > 0 || coat->edge_m > 0.0 || coat->spine_m > 0.0;
    if (coated && (!cq_table_is_valid(&mix->conductivity_W_mK) || !cq_table_is_valid(&mix->heat_capacity_J_m3K))) {
        cq_plan_fault(c, "clay.mix", "a mix with conductivity and heat capacity", "",
                      "one of them missing or out of order");
    }
    if (!cq_within(c->plan->contact_m2K_W, 0.0, 0.1) || !cq_within(c->plan->soaked, 1.0, 4.0)) {
        cq_plan_fault(c, "clay", "a contact resistance from 0 to 0.1 m^2*K/W and soaked from 1 to 4", "", "%g and %g",
                      c->plan->contact_m2K_W, c->plan->soaked);
    }
}

/* ---- record and the rest ----------------------------------------------------------------------------------------- */

/* Names become keys of JSON, columns of CSV and data sets of HDF5. */
static bool is_name(const char *name) {
    const size_t n = name == NULL ? 0 : strlen(name);
    for (size_t i = 0; i < n; i++) {
        const unsigned char character = (unsigned char)name[i];
        if (character < 0x20 || character == 0x7F || strchr("/,;\"'\\", character) != NULL) {
            return false;
        }
    }
    return n > 0 && n < 64 && name[0] != '.';
}

static void check_probe(cq_plan_faults *c, size_t i) {
    const cq_probe_plan *p = &c->plan->probes[i];
    char key[64];
    snprintf(key, sizeof key, "record.probes.%zu.name", i);
    if (!is_name(p->name)) {
        cq_plan_fault(c, key, "a name of 1 to 63 characters without / , ; or quotes", "", "'%.60s'",
                      p->name == NULL ? "" : p->name);
        return;
    }
    static const char *const taken[] = {"edge", "body", "spine"}; /* always recorded under these names */
    for (size_t t = 0; t < sizeof taken / sizeof taken[0]; t++) {
        if (strcmp(p->name, taken[t]) == 0) {
            cq_plan_fault(c, key, "a name other than edge, body and spine, which every result has", "rename it",
                          "'%.60s'", p->name);
        }
    }
    for (size_t q = 0; q < i; q++) {
        if (c->plan->probes[q].name != NULL && strcmp(c->plan->probes[q].name, p->name) == 0) {
            cq_plan_fault(c, key, "a name of its own for every probe", "rename one", "'%.60s' a second time", p->name);
        }
    }
    snprintf(key, sizeof key, "record.probes.%zu.at", i);
    if (cq_has_parts(c, CQ_PART_BLADE) && cq_is_shaped(c->plan->blade.family) &&
        !cq_within(p->at_m, 0.0, c->plan->blade.height_m * (1.0 + 1e-9))) {
        cq_plan_fault(c, key, "a height on the blade", "", "%.4g mm on a section %.4g mm high", p->at_m * MM,
                      c->plan->blade.height_m * MM);
    }
    snprintf(key, sizeof key, "record.probes.%zu.depth", i);
    if (cq_has_parts(c, CQ_PART_BLADE) && p->depth_m > 0.0) {
        const bool thick = !cq_is_shaped(c->plan->blade.family);
        if (!thick || !(p->depth_m <= 0.5 * c->plan->blade.spine_m * (1.0 + 1e-9))) {
            cq_plan_fault(c, key, thick ? "a depth up to the middle" : "at: and face: on a blade", "",
                          "%.4g mm deep %s", p->depth_m * MM,
                          thick ? "in a thinner piece" : "in a section that is no plate or round");
        }
    }
}

static void check_record(cq_plan_faults *c) {
    for (size_t i = 0; i < c->plan->probes_n; i++) {
        check_probe(c, i);
    }
    for (size_t i = 0; i < c->plan->times_n; i++) {
        const double before = i == 0 ? -1.0 : c->plan->times_s[i - 1], now = c->plan->times_s[i];
        char key[64];
        snprintf(key, sizeof key, "record.times.%zu", i);
        if (!(now >= 0.0) || now <= before) {
            cq_plan_fault(c, key, "times that rise, from 0 s on", "sort them", "%g s", now);
        }
    }
    if (!(c->plan->every_s >= 0.0)) {
        cq_plan_fault(c, "record.every", "a positive time", "", "%g s", c->plan->every_s);
    }
}

/* A temper turns nothing to austenite. Steels rich in nickel or manganese do so below the range of any temper. */
static void check_below_Ac1(cq_plan_faults *c, const char *key, double temper_C) {
    if (!cq_has_parts(c, CQ_PART_STEEL) || c->plan->steel.kind != CQ_STEEL_TRANSFORMING) {
        return;
    }
    const double Ac1_C = cq_equilibria_of(&c->plan->steel.composition_wt).Ae1_C;
    if (temper_C <= 700.0 && !(temper_C < Ac1_C)) {
        char expected[80];
        snprintf(expected, sizeof expected, "a temper below Ac1 of this steel, %.0f °C", Ac1_C);
        cq_plan_fault(c, key, expected, "", "%.4g °C, where it turns to austenite again", temper_C);
    }
}

/* `before`: what stands before "temper" in the keys. */
static void check_tempers(cq_plan_faults *c, const char *before, const cq_temper *temper, size_t n) {
    for (size_t t = 0; t < n; t++) {
        char key[64];
        snprintf(key, sizeof key, "%stemper.%zu.temperature", before, t);
        temperature(c, key, temper[t].temperature_K, 50.0, 700.0);
        check_below_Ac1(c, key, temper[t].temperature_K - ZERO_C);
        snprintf(key, sizeof key, "%stemper.%zu.for", before, t);
        if (!cq_within(temper[t].for_s, 10.0, 1e6)) {
            cq_plan_fault(c, key, "from 10 s to 1e6 s", "", "%g s", temper[t].for_s);
        }
    }
}

static void check_rest(cq_plan_faults *c) {
    const cq_plan *p = c->plan;
    const struct {
        const char *key;
        int count, least, most;
    } grid[] = {{"grid.along", p->grid.along, 8, 2000},
                {"grid.across", p->grid.across, 2, 200},
                {"grid.clay", p->grid.clay, 2, 100},
                {"grid.refine", p->grid.refine, 1, 8}};
    for (size_t g = 0; g < sizeof grid / sizeof grid[0]; g++) {
        if (grid[g].count < grid[g].least || grid[g].count > grid[g].most) {
            char expected[64];
            snprintf(expected, sizeof expected, "from %d to %d", grid[g].least, grid[g].most);
            cq_plan_fault(c, grid[g].key, expected, "", "%d", grid[g].count);
        }
    }
    check_tempers(c, "", p->temper, p->temper_n);
    for (size_t h = 0; h < p->earlier_n; h++) { /* those behind quench h stand in entry h of the heats after it */
        char before[32];
        snprintf(before, sizeof before, "heats.%zu.", h);
        check_tempers(c, before, p->earlier[h].temper, p->earlier[h].temper_n);
    }
    if (!cq_within(p->wear_HRC, 20.0, 68.0)) {
        cq_plan_fault(c, "finish.wear-to", "from 20 to 68 HRC", "", "%.4g HRC", p->wear_HRC);
    }
    if (!cq_within(p->wanted_curve_m, -0.2, 0.2)) {
        cq_plan_fault(c, "finish.curve", "from -200 to 200 mm", "", "%.4g mm", p->wanted_curve_m * MM);
    }
    if (!cq_within(p->grind_m, 0.0, 5e-3)) {
        cq_plan_fault(c, "finish.grind", "from 0 to 5 mm", "", "%.4g mm", p->grind_m * MM);
    }
}

/* `check` for every heat of the plan in turn, as if it were the only one; later ones stand below heats.N. */
static void check_each_heat(cq_plan_faults *c, void (*check)(cq_plan_faults *c)) {
    for (size_t h = 0; h <= c->plan->earlier_n; h++) {
        cq_error found = CQ_ERROR_INIT;
        const cq_plan view = cq_plan_up_to(c->plan, h);
        cq_plan_faults one = {&view, c->parts, &found, CQ_OK};
        check(&one);
        for (size_t i = 0; i < found.count; i++) {
            const cq_complaint *f = &found.items[i];
            char key[sizeof f->key + 32];
            if (h == 0) {
                snprintf(key, sizeof key, "%s", f->key);
            } else {
                snprintf(key, sizeof key, "heats.%zu.%s", h - 1, f->key);
            }
            cq_plan_fault(c, key, f->expected, f->remedy, "%s", f->found);
        }
        c->status = one.status < 0 ? one.status : c->status;
        cq_error_clear(&found);
    }
}

static void check_heats(cq_plan_faults *c) {
    if (c->plan->earlier_n > CQ_EARLIER_HEATS) {
        cq_plan_fault(c, "heats", "at most 7 heats after the first", "", "%zu", c->plan->earlier_n);
        return;
    }
    check_each_heat(c, check_heat);
}

static void check_steps(cq_plan_faults *c) {
    check_each_heat(c, cq_plan_check_steps);
}

cq_status cq_plan_check_parts(const cq_plan *plan, unsigned parts, cq_error *error) {
    static const struct {
        unsigned part;
        void (*check)(cq_plan_faults *c);
    } list[] = {{CQ_PART_BLADE, check_blade}, {CQ_PART_STEEL, check_steel}, {CQ_PART_CLAY, check_clay},
                {CQ_PART_HEAT, check_heats},  {CQ_PART_STEPS, check_steps}, {CQ_PART_RECORD, check_record},
                {CQ_PART_REST, check_rest}};
    cq_plan_faults c = {plan, parts, error, CQ_OK};
    for (size_t l = 0; l < sizeof list / sizeof list[0]; l++) {
        if (cq_has_parts(&c, list[l].part)) {
            list[l].check(&c);
        }
    }
    return c.status;
}

cq_status cq_plan_check(const cq_plan *plan, cq_error *error) {
    return cq_plan_check_parts(plan, CQ_PARTS, error);
}
