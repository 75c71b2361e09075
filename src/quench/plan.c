/* plan.c - a plan's defaults, its release, and whether it makes sense as a whole.
 *
 * Ranges here are those a plan may have at all, however it was made; the io floor's field descriptors hold the same for
 * single keys of a file. Comparisons are written so that a NaN fails them.
 */
#include "quench/plan_check.h"

#include "boundary/brine.h"
#include "boundary/oil.h"

#include "base/memory.h"
#include "kinetics/laws.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#define MM 1e3        /* mm per m */
#define ZERO_C 273.15 /* K */

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
    plan->grid = (cq_grid_wish){100, 8, 6, 1};
}

void cq_plan_clear(cq_plan *plan) {
    if (plan != NULL) {
        cq_arena_free(plan->arena);
        cq_plan_init(plan);
    }
}

/* The faults found so far. */
typedef struct check {
    const cq_plan *plan;
    unsigned parts;
    cq_error *error;
    cq_status status;
} check;

static void fault(check *c, const char *key, const char *expected, const char *remedy, const char *found_format, ...)
    __attribute__((format(printf, 5, 6)));

static void fault(check *c, const char *key, const char *expected, const char *remedy, const char *found_format, ...) {
    char found[192];
    va_list arguments;
    va_start(arguments, found_format);
    vsnprintf(found, sizeof found, found_format, arguments);
    va_end(arguments);
    c->status = cq_error_say(c->error, CQ_ERR_PLAN, key, expected, remedy, "%s", found);
}

static bool within(double value, double least, double most) {
    return value >= least && value <= most;
}

static bool has(const check *c, unsigned parts) {
    return (c->parts & parts) == parts;
}

static bool is_shaped(cq_family family) {
    return family >= CQ_FAMILY_FLAT && family < CQ_FAMILY_PLATE;
}

/* ---- blade ------------------------------------------------------------------------------------------------------- */

static void length(check *c, const char *key, double value_m, double least_m, double most_m) {
    if (!within(value_m, least_m * (1.0 - 1e-9), most_m * (1.0 + 1e-9))) {
        char expected[64];
        snprintf(expected, sizeof expected, "from %g to %g mm", least_m * MM, most_m * MM);
        fault(c, key, expected, "", "%.4g mm", value_m * MM);
    }
}

static void check_ridge(check *c) {
    const cq_blade *b = &c->plan->blade;
    if (!within(b->ridge_at_m, 0.02 * b->height_m, 0.98 * b->height_m)) {
        fault(c, "blade.ridge.at", "a height between edge and spine", "", "%.4g mm on a section %.4g mm high",
              b->ridge_at_m * MM, b->height_m * MM);
    }
    const double thicker = fmax(b->edge_m, b->spine_m);
    if (!(b->ridge_thickness_m >= thicker * (1.0 - 1e-9))) {
        fault(c, "blade.ridge.thickness", "a ridge at least as thick as edge and spine", "", "%.4g mm beside %.4g mm",
              b->ridge_thickness_m * MM, thicker * MM);
    }
}

static void check_groove(check *c) {
    const cq_blade *b = &c->plan->blade;
    length(c, "blade.groove.width", b->groove_width_m, 0.5e-3, 0.1);
    length(c, "blade.groove.depth", b->groove_depth_m, 0.02e-3, 20e-3);
    if (!within(b->groove_at_m, 0.0, b->height_m)) {
        fault(c, "blade.groove.at", "a height on the blade", "", "%.4g mm on a section %.4g mm high",
              b->groove_at_m * MM, b->height_m * MM);
    }
}

static void check_family(check *c) {
    const cq_blade *b = &c->plan->blade;
    const bool free_spine = b->family == CQ_FAMILY_RIDGED || b->family == CQ_FAMILY_DOUBLE_EDGED ||
                            b->family == CQ_FAMILY_OUTLINE; /* may be thinner than the edge */
    if (!free_spine && b->spine_m > 0.0 && !(b->spine_m >= b->edge_m)) {
        fault(c, "blade.spine", "a spine at least as thick as the edge", "swap edge and spine?",
              "spine %.4g mm under edge %.4g mm", b->spine_m * MM, b->edge_m * MM);
    }
    if (b->family != CQ_FAMILY_OUTLINE && b->height_m > 0.0 && b->spine_m > 1.5 * b->height_m) {
        fault(c, "blade.spine", "a section taller than it is thick", "", "spine %.4g mm on a height of %.4g mm",
              b->spine_m * MM, b->height_m * MM);
    }
    if (b->family == CQ_FAMILY_CONVEX && !within(b->bulge_m, 0.0, 0.125 * b->height_m)) {
        fault(c, "blade.bulge", "from 0 to an eighth of the height", "", "%.4g mm", b->bulge_m * MM);
    }
    if (b->family == CQ_FAMILY_HOLLOW && !within(b->hollow_m, 0.0, 0.125 * b->height_m)) {
        fault(c, "blade.hollow", "from 0 to an eighth of the height", "", "%.4g mm", b->hollow_m * MM);
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
static void check_ends(check *c) {
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
        if (!within(ends[e].value_m, ends[e].least_m * (1.0 - 1e-9), ends[e].most_m * (1.0 + 1e-9))) {
            char key[64], expected[96];
            snprintf(key, sizeof key, "blade.%s.%zu", list, ends[e].point);
            snprintf(expected, sizeof expected, "a %s from %g to %g mm", ends[e].what, ends[e].least_m * MM,
                     ends[e].most_m * MM);
            fault(c, key, expected, "", "%.4g mm", ends[e].value_m * MM);
        }
    }
}

/* Nowhere may a blade be thinner than an edge may be. */
static void check_thinnest(check *c, const cq_section *section) {
    for (int side = 0; side < CQ_SIDES; side++) {
        const cq_flank *f = &section->side[side];
        for (size_t i = 0; i < f->n; i++) {
            const double thickness = f->foot_y_m[i] + cq_section_half_thickness(section, 1 - side, f->foot_x_m[i]);
            if (!(thickness >= 0.1e-3 * (1.0 - 1e-9))) {
                fault(c, "blade", "0.1 mm of steel or more at every height", "", "thickness %.3g mm at height %.4g mm",
                      thickness * MM, f->foot_x_m[i] * MM);
                return;
            }
        }
    }
}

/* Faces that cross, lean too much or have their points out of order show when the bare section is built. */
static void check_outline(check *c) {
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
        fault(c, error.items[i].key, error.items[i].expected, error.items[i].remedy, "%s", error.items[i].found);
    }
    cq_error_clear(&error);
}

static void check_blade(check *c) {
    const cq_blade *b = &c->plan->blade;
    if (b->family == CQ_FAMILY_PLATE || b->family == CQ_FAMILY_ROUND) {
        length(c, b->family == CQ_FAMILY_PLATE ? "blade.thickness" : "blade.diameter", b->spine_m, 0.1e-3, 0.2);
        return;
    }
    if (!is_shaped(b->family)) {
        fault(c, "blade.section", "a family of this version", "", "an unknown family of sections");
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

static void check_steel(check *c) {
    const cq_steel *s = &c->plan->steel;
    if (s->kind == CQ_STEEL_INERT) {
        if (!cq_table_is_valid(&s->conductivity_W_mK) || !cq_table_is_valid(&s->heat_capacity_J_m3K)) {
            fault(c, "steel", "conductivity and heat capacity of an inert steel", "",
                  "one of them missing or out of order");
        }
        return;
    }
    double sum = 0.0;
#define ADD(e) sum += s->composition_wt.e;
    CQ_ELEMENT_LIST(ADD)
#undef ADD
    if (!within(s->composition_wt.C, 1e-3, 2.0)) {
        fault(c, "steel", "from 0.001 to 2 % C",
              s->composition_wt.C > 0.0 ? "" : "name a steel or state its composition", "%g %% C", s->composition_wt.C);
    }
    if (!within(sum, 0.0, 50.0)) {
        fault(c, "steel", "a steel: alloying elements under 50 % together", "", "elements that sum to %g %%", sum);
    }
    if (!within(s->grain_ASTM, 0.0, 14.0) || !within(s->time_factor, 0.2, 5.0)) {
        fault(c, "steel", "a grain number from 0 to 14 and a time factor from 0.2 to 5", "", "%g and %g", s->grain_ASTM,
              s->time_factor);
    }
}

static void temperature(check *c, const char *key, double value_K, double least_C, double most_C) {
    if (!within(value_K - ZERO_C, least_C - 1e-6, most_C + 1e-6)) {
        char expected[64];
        snprintf(expected, sizeof expected, "from %g to %g °C", least_C, most_C);
        fault(c, key, expected, "", "%.4g °C", value_K - ZERO_C);
    }
}

static void check_heat(check *c) {
    const cq_heat_plan *h = &c->plan->heat;
    if (h->start_K > 0.0) {
        const bool transforms = has(c, CQ_PART_STEEL) && c->plan->steel.kind == CQ_STEEL_TRANSFORMING;
        temperature(c, "start", h->start_K, transforms ? 200.0 : 0.0, 1250.0); /* austenite does not wait colder */
        return;
    }
    temperature(c, "heat.temperature", h->temperature_K, 200.0, 1250.0);
    if (!within(h->hold_s, 1.0, 36000.0)) {
        fault(c, "heat.hold", "from 1 s to 10 h", "", "%g s", h->hold_s);
    }
}

/* ---- clay -------------------------------------------------------------------------------------------------------- */

/* A point that is NaN fails where it stands and nowhere else: comparisons with its neighbours let it pass. */
static void check_point(check *c, size_t i, bool tall) {
    const cq_coat_point *points = c->plan->coat.points, *p = &points[i];
    const bool shaped = is_shaped(c->plan->blade.family);
    char key[64];
    snprintf(key, sizeof key, "clay.coat.%zu.thickness", i);
    if (!within(p->left_m, 0.0, 10e-3 * (1.0 + 1e-9)) || !within(p->right_m, 0.0, 10e-3 * (1.0 + 1e-9))) {
        fault(c, key, "from 0 to 10 mm of clay", "", "%.4g and %.4g mm", p->left_m * MM, p->right_m * MM);
    }
    if (tall && !shaped && (fabs(p->left_m - points[0].left_m) > 1e-9 || fabs(p->right_m - points[0].right_m) > 1e-9)) {
        fault(c, key, "one thickness everywhere on a plate or round", "give every point the same thickness",
              "%.4g mm after %.4g mm", p->left_m * MM, points[0].left_m * MM);
    }
    if (tall && c->plan->blade.family == CQ_FAMILY_ROUND && fabs(p->left_m - p->right_m) > 1e-9) {
        fault(c, key, "one thickness all around a round", "", "%.4g mm left and %.4g mm right", p->left_m * MM,
              p->right_m * MM);
    }
    snprintf(key, sizeof key, "clay.coat.%zu.at", i);
    if (!(p->at_m >= 0.0) || (tall && shaped && !(p->at_m <= c->plan->blade.height_m * (1.0 + 1e-9)))) {
        fault(c, key, "a height on the blade", "", "%.4g mm on a section %.4g mm high", p->at_m * MM,
              c->plan->blade.height_m * MM);
    }
    if (i > 0 && p->at_m < points[i - 1].at_m) {
        fault(c, key, "heights that do not fall from point to point", "sort the points from the edge up",
              "%.4g mm after %.4g mm", p->at_m * MM, points[i - 1].at_m * MM);
    }
    if (i > 1 && p->at_m <= points[i - 2].at_m && p->at_m >= points[i - 1].at_m) {
        fault(c, key, "at most two points at one height: a step", "remove those between", "a third point at %.4g mm",
              p->at_m * MM);
    }
}

static void check_clay(check *c) {
    const cq_coat *coat = &c->plan->coat;
    const cq_clay *mix = &c->plan->clay;
    const bool tall = has(c, CQ_PART_BLADE);
    for (size_t i = 0; i < coat->n; i++) {
        check_point(c, i, tall);
    }
    const double flat[] = {coat->edge_m, coat->spine_m};
    static const char *const key[] = {"clay.edge", "clay.spine"};
    for (size_t f = 0; f < 2; f++) {
        length(c, key[f], flat[f], 0.0, 10e-3);
        if (tall && flat[f] > 0.0 && !is_shaped(c->plan->blade.family)) {
            fault(c, key[f], "no flats on a plate or round", "remove it", "a coat of %.4g mm on one", flat[f] * MM);
        }
    }
    const bool coated = coat->n > 0 || coat->edge_m > 0.0 || coat->spine_m > 0.0;
    if (coated && (!cq_table_is_valid(&mix->conductivity_W_mK) || !cq_table_is_valid(&mix->heat_capacity_J_m3K))) {
        fault(c, "clay.mix", "a mix with conductivity and heat capacity", "", "one of them missing or out of order");
    }
    if (!within(c->plan->contact_m2K_W, 0.0, 0.1) || !within(c->plan->soaked, 1.0, 4.0)) {
        fault(c, "clay", "a contact resistance from 0 to 0.1 m^2*K/W and soaked from 1 to 4", "", "%g and %g",
              c->plan->contact_m2K_W, c->plan->soaked);
    }
}

/* ---- steps ------------------------------------------------------------------------------------------------------- */

/* True if the water of a boiling bath is liquid at `at_K`; complains if not. */
static bool check_liquid(check *c, const char *key, const cq_step_plan *s) {
    const double freezing_K = cq_brine_freezing_K(s->bath.salt), boiling_K = cq_brine_boiling_K(s->bath.salt);
    char expected[96], salt[48] = "";
    if (s->bath.salt > 0.0) {
        snprintf(salt, sizeof salt, " with %.3g %% of salt", 100.0 * s->bath.salt);
    }
    if (s->at_K >= boiling_K) {
        snprintf(expected, sizeof expected, "below %.4g °C, where water%s boils", boiling_K - ZERO_C, salt);
        fault(c, key, expected, "", "%.4g °C", s->at_K - ZERO_C);
        return false;
    }
    if (s->at_K <= freezing_K) {
        snprintf(expected, sizeof expected, "above %.4g °C, where water%s freezes", freezing_K - ZERO_C, salt);
        fault(c, key, expected, "", "%.4g °C", s->at_K - ZERO_C);
        return false;
    }
    return true;
}

static void check_bath(check *c, size_t i) {
    const cq_step_plan *s = &c->plan->steps[i];
    const bool boiling = s->bath.kind == CQ_BATH_BOILING;
    const double most_K = boiling ? fmin(s->bath.at_max_K, 373.0) : s->bath.at_max_K; /* the law ends at 373.15 K */
    char key[64];
    snprintf(key, sizeof key, "steps.%zu.at", i);
    if ((!boiling || check_liquid(c, key, s)) && !within(s->at_K, s->bath.at_min_K - 1e-6, most_K + 1e-6)) {
        char expected[96];
        snprintf(expected, sizeof expected, "from %.4g to %.4g °C, where this bath's description holds",
                 s->bath.at_min_K - ZERO_C, most_K - ZERO_C);
        fault(c, key, expected, "", "%.4g °C", s->at_K - ZERO_C);
    }
    cq_oil oil;
    if (s->bath.kind == CQ_BATH_OIL && !cq_oil_prepare(&oil, &s->bath, s->at_K, s->agitation_m_s, 0.03)) {
        snprintf(key, sizeof key, "steps.%zu.in", i);
        fault(c, key, "an oil that boils above its bath, peaks above convection and whose blanket ends hotter still",
              "look at boiling-from, peak-temperature, peak-transfer and rewetting-temperature",
              "figures that make no curve");
    }
    if (s->bath.kind == CQ_BATH_TABLE && !cq_table_is_valid(&s->bath.heat_transfer_W_m2K)) {
        snprintf(key, sizeof key, "steps.%zu.in", i);
        fault(c, key, "a table of heat transfer", "", "none, or one out of order");
    }
    if (s->bath.kind == CQ_BATH_TABLE && s->agitation_m_s > 0.0) {
        snprintf(key, sizeof key, "steps.%zu.agitation", i);
        fault(c, key, "no agitation: a table holds that of the bath it was measured in",
              "remove it, or give a table measured in a moving bath", "%.4g m/s in a bath that is a table",
              s->agitation_m_s);
    }
}

static void check_end(check *c, size_t i) {
    const cq_step_plan *s = &c->plan->steps[i];
    const double begin_K = c->plan->heat.start_K > 0.0 ? c->plan->heat.start_K : c->plan->heat.temperature_K;
    char key[64];
    if (!(s->for_s > 0.0) && !(s->until_K > 0.0)) {
        snprintf(key, sizeof key, "steps.%zu.for", i);
        fault(c, key, "for: or until:", "say when the step ends", "a step without an end");
    }
    snprintf(key, sizeof key, "steps.%zu.until", i);
    if (s->until_K > 0.0 && !(s->until_K > s->at_K + 0.5)) { /* closer than 0.5 K takes for ever */
        fault(c, key, "a temperature above the bath's",
              "raise until:, cool the bath, or say for:", "until %.4g °C in a bath at %.4g °C, which cannot be reached",
              s->until_K - ZERO_C, s->at_K - ZERO_C);
    }
    if (has(c, CQ_PART_HEAT) && s->until_K > 0.0 && !(s->until_K < begin_K)) {
        fault(c, key, "a temperature below that of the heat", "", "%.4g °C, which the blade never leaves from above",
              s->until_K - ZERO_C);
    }
}

static void check_depth(check *c, size_t i) {
    const cq_step_plan *s = &c->plan->steps[i];
    char key[64];
    snprintf(key, sizeof key, "steps.%zu.depth", i);
    if (!within(s->depth_m, 0.0, 0.2)) {
        fault(c, key, "from 0 to 200 mm", "", "%.4g mm", s->depth_m * MM);
    } else if (s->depth_m > 0.0 && has(c, CQ_PART_BLADE) && !is_shaped(c->plan->blade.family)) {
        fault(c, key, "a section with a height", "remove depth:", "a plate or round, which is wetted all round");
    }
}

static void check_entry(check *c, size_t i) {
    const cq_step_plan *s = &c->plan->steps[i];
    const bool blade = has(c, CQ_PART_BLADE), long_enough = c->plan->blade.length_m > 0.0;
    char key[64];
    snprintf(key, sizeof key, "steps.%zu.entry", i);
    if (s->entry != CQ_ENTRY_LEVEL && blade && !is_shaped(c->plan->blade.family)) {
        fault(c, key, "a section with a height", "remove entry:", "a plate or round, which is wetted all round");
    } else if (s->entry == CQ_ENTRY_POINT_FIRST && blade && !long_enough) {
        fault(c, key, "a blade with a length", "add blade.length", "a point-first entry of a blade without length");
    } else if (s->entry != CQ_ENTRY_LEVEL && s->bath.kind == CQ_BATH_GAS) {
        fault(c, key, "a liquid to go into", "remove entry:", "an entry into a gas");
    }
    if (s->entry != CQ_ENTRY_LEVEL && !within(s->speed_m_s, 0.005, 10.0)) {
        snprintf(key, sizeof key, "steps.%zu.speed", i);
        fault(c, key, "from 0.005 to 10 m/s", "", "%.4g m/s", s->speed_m_s);
    }
    snprintf(key, sizeof key, "steps.%zu.volume", i);
    if (s->bath.volume_m3 > 0.0 && blade && !long_enough) {
        fault(c, key, "a blade with a length: heat goes by it", "add blade.length",
              "a volume to warm by a blade without length");
    } else if (s->bath.volume_m3 > 0.0 && s->bath.kind == CQ_BATH_GAS) {
        fault(c, key, "a liquid that warms", "remove volume:", "the volume of a gas");
    }
}

/* When the first liquid is entered; INFINITY if that cannot be told or there is none. */
static double first_liquid_s(const cq_plan *p) {
    double time_s = 0.0;
    for (size_t i = 0; i < p->steps_n; i++) {
        if (p->steps[i].bath.kind != CQ_BATH_GAS) {
            return time_s;
        }
        if (!(p->steps[i].for_s > 0.0)) {
            return 0.0; /* until a temperature: it may be any time */
        }
        time_s += p->steps[i].for_s;
    }
    return INFINITY;
}

static void check_lost(check *c) {
    const cq_plan *p = c->plan;
    const double liquid_s = first_liquid_s(p);
    for (size_t i = 0; i < p->lost_n; i++) {
        const cq_lost_plan *l = &p->lost[i];
        char key[64];
        snprintf(key, sizeof key, "clay.lost.%zu.after", i);
        if (!within(l->after_s, 0.0, 1e5)) {
            fault(c, key, "from 0 to 1e5 s", "", "%.4g s", l->after_s);
        } else if (l->after_s < liquid_s) {
            fault(c, key, "a time in or after the first bath", "leave that patch out of the coat instead",
                  isfinite(liquid_s) ? "%.4g s, before the bath is entered at %.4g s"
                                     : "%.4g s, and no bath is entered",
                  l->after_s, liquid_s);
        } else if (i > 0 && l->after_s < p->lost[i - 1].after_s) {
            fault(c, key, "patches in the order in which they fall", "", "%.4g s after one of %.4g s", l->after_s,
                  p->lost[i - 1].after_s);
        }
        snprintf(key, sizeof key, "clay.lost.%zu.to", i);
        if (!(l->to_m > l->from_m)) {
            fault(c, key, "a height above from:", "", "%.4g mm, not above %.4g mm", l->to_m * MM, l->from_m * MM);
        } else if (has(c, CQ_PART_BLADE) && is_shaped(p->blade.family) && l->from_m > p->blade.height_m) {
            fault(c, key, "a patch on the blade", "", "from %.4g mm on a blade of %.4g mm", l->from_m * MM,
                  p->blade.height_m * MM);
        }
    }
}

static void check_steps(check *c) {
    if (c->plan->steps_n == 0) {
        fault(c, "steps", "at least one step", "", "none");
    }
    for (size_t i = 0; i < c->plan->steps_n; i++) {
        check_bath(c, i);
        check_end(c, i);
        check_depth(c, i);
        check_entry(c, i);
    }
    check_lost(c);
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

static void check_probe(check *c, size_t i) {
    const cq_probe_plan *p = &c->plan->probes[i];
    char key[64];
    snprintf(key, sizeof key, "record.probes.%zu.name", i);
    if (!is_name(p->name)) {
        fault(c, key, "a name of 1 to 63 characters without / , ; or quotes", "", "'%.60s'",
              p->name == NULL ? "" : p->name);
        return;
    }
    static const char *const taken[] = {"edge", "body", "spine"}; /* always recorded under these names */
    for (size_t t = 0; t < sizeof taken / sizeof taken[0]; t++) {
        if (strcmp(p->name, taken[t]) == 0) {
            fault(c, key, "a name other than edge, body and spine, which every result has", "rename it", "'%.60s'",
                  p->name);
        }
    }
    for (size_t q = 0; q < i; q++) {
        if (c->plan->probes[q].name != NULL && strcmp(c->plan->probes[q].name, p->name) == 0) {
            fault(c, key, "a name of its own for every probe", "rename one", "'%.60s' a second time", p->name);
        }
    }
    snprintf(key, sizeof key, "record.probes.%zu.at", i);
    if (has(c, CQ_PART_BLADE) && is_shaped(c->plan->blade.family) &&
        !within(p->at_m, 0.0, c->plan->blade.height_m * (1.0 + 1e-9))) {
        fault(c, key, "a height on the blade", "", "%.4g mm on a section %.4g mm high", p->at_m * MM,
              c->plan->blade.height_m * MM);
    }
}

static void check_record(check *c) {
    for (size_t i = 0; i < c->plan->probes_n; i++) {
        check_probe(c, i);
    }
    for (size_t i = 0; i < c->plan->times_n; i++) {
        const double before = i == 0 ? -1.0 : c->plan->times_s[i - 1], now = c->plan->times_s[i];
        char key[64];
        snprintf(key, sizeof key, "record.times.%zu", i);
        if (!(now >= 0.0) || now <= before) {
            fault(c, key, "times that rise, from 0 s on", "sort them", "%g s", now);
        }
    }
    if (!(c->plan->every_s >= 0.0)) {
        fault(c, "record.every", "a positive time", "", "%g s", c->plan->every_s);
    }
}

/* A temper turns nothing to austenite. Steels rich in nickel or manganese do so below the range of any temper. */
static void check_below_Ac1(check *c, const char *key, double temper_C) {
    if (!has(c, CQ_PART_STEEL) || c->plan->steel.kind != CQ_STEEL_TRANSFORMING) {
        return;
    }
    const double Ac1_C = cq_equilibria_of(&c->plan->steel.composition_wt).Ae1_C;
    if (temper_C <= 700.0 && !(temper_C < Ac1_C)) {
        char expected[80];
        snprintf(expected, sizeof expected, "a temper below Ac1 of this steel, %.0f °C", Ac1_C);
        fault(c, key, expected, "", "%.4g °C, where it turns to austenite again", temper_C);
    }
}

static void check_rest(check *c) {
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
            fault(c, grid[g].key, expected, "", "%d", grid[g].count);
        }
    }
    for (size_t t = 0; t < p->temper_n; t++) {
        char key[64];
        snprintf(key, sizeof key, "temper.%zu.temperature", t);
        temperature(c, key, p->temper[t].temperature_K, 50.0, 700.0);
        check_below_Ac1(c, key, p->temper[t].temperature_K - ZERO_C);
        snprintf(key, sizeof key, "temper.%zu.for", t);
        if (!within(p->temper[t].for_s, 10.0, 1e6)) {
            fault(c, key, "from 10 s to 1e6 s", "", "%g s", p->temper[t].for_s);
        }
    }
    if (!within(p->grind_m, 0.0, 5e-3)) {
        fault(c, "finish.grind", "from 0 to 5 mm", "", "%.4g mm", p->grind_m * MM);
    }
}

cq_status cq_plan_check_parts(const cq_plan *plan, unsigned parts, cq_error *error) {
    static const struct {
        unsigned part;
        void (*check)(check *c);
    } list[] = {{CQ_PART_BLADE, check_blade}, {CQ_PART_STEEL, check_steel}, {CQ_PART_CLAY, check_clay},
                {CQ_PART_HEAT, check_heat},   {CQ_PART_STEPS, check_steps}, {CQ_PART_RECORD, check_record},
                {CQ_PART_REST, check_rest}};
    check c = {plan, parts, error, CQ_OK};
    for (size_t l = 0; l < sizeof list / sizeof list[0]; l++) {
        if (has(&c, list[l].part)) {
            list[l].check(&c);
        }
    }
    return c.status;
}

cq_status cq_plan_check(const cq_plan *plan, cq_error *error) {
    return cq_plan_check_parts(plan, CQ_PARTS, error);
}
