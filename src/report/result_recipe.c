/* result_recipe.c - of a result's page: the plan as smiths write it down. */
#include "report/quantities.h"
#include "report/result_numbers.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { RECIPE_ROWS = 96, POINTS_TOLD = 24, PATCHES_TOLD = 8 };

/* Rows of two cells being gathered. */
typedef struct rows {
    const char *cell[2 * RECIPE_ROWS];
    size_t n;
} rows;

static void add_row(rows *to, cq_telling *t, const char *head, cq_text *text) {
    const char *kept = cq_telling_keep(t, text);
    if (to->n < RECIPE_ROWS) {
        to->cell[2 * to->n] = head;
        to->cell[2 * to->n + 1] = kept;
        to->n++;
    }
}

static const char *name_or(const char *name, const char *otherwise) {
    return name == NULL || name[0] == '\0' ? otherwise : name;
}

static void add_length(cq_text *text, const char *before, double metres) {
    char words[CQ_QUANTITY];
    cq_text_add(text, "%s%s", before, cq_length_both(metres, words));
}

/* "1095: C 0.95, Mn 0.4 % by weight". */
static void add_steel(cq_text *text, const cq_steel *steel) {
#define ELEMENT_NAME(e) #e,
    static const char *const names[] = {CQ_ELEMENT_LIST(ELEMENT_NAME)};
#undef ELEMENT_NAME
#define ELEMENT_VALUE(e) steel->composition_wt.e,
    const double values[] = {CQ_ELEMENT_LIST(ELEMENT_VALUE)};
#undef ELEMENT_VALUE
    cq_page_plain(text, name_or(steel->name, "own steel"), false);
    const char *before = ": ";
    for (size_t e = 0; e < sizeof values / sizeof values[0] && steel->kind == CQ_STEEL_TRANSFORMING; e++) {
        if (values[e] > 0.0) {
            cq_text_add(text, "%s%s %.3g", before, names[e], values[e]);
            before = ", ";
        }
    }
    cq_text_add(text, "%s",
                before[0] == ','                ? " % by weight"
                : steel->kind == CQ_STEEL_INERT ? ", does not transform"
                                                : "");
}

static void row_steel(rows *to, cq_telling *t) {
    const cq_zones *zones = &t->result->plan->zones;
    cq_text text = {NULL, 0, 0, false};
    if (zones->n == 0) {
        add_steel(&text, &t->result->plan->steel);
        add_row(to, t, "Steel and batch", &text);
        return;
    }
    cq_text_add(&text, "%s", cq_build_words(zones->build));
    if (zones->thickness_m > 0.0) {
        add_length(&text, ", ", zones->thickness_m);
        cq_text_add(&text, " thick");
    }
    if (zones->height_m > 0.0) {
        add_length(&text, ", height ", zones->height_m);
    }
    add_row(to, t, "Built as", &text);
    for (size_t z = 0; z < zones->n; z++) {
        const cq_zone *zone = &zones->zone[z];
        const cq_steel *steel = z == zones->edge ? &t->result->plan->steel : &zone->steel;
        if (zone->name != NULL) {
            cq_page_plain(&text, zone->name, false);
            cq_text_add(&text, ": ");
        }
        add_steel(&text, steel);
        add_row(to, t, "Steel and batch", &text);
    }
}

/* Welding and forging heats, and the skin they or the fire left. */
static void row_before(rows *to, cq_telling *t) {
    const cq_zones *zones = &t->result->plan->zones;
    const cq_skin *skin = &t->result->plan->skin;
    char words[CQ_QUANTITY];
    cq_text text = {NULL, 0, 0, false};
    for (size_t h = 0; h < zones->heats_n; h++) {
        const cq_weld_heat *heat = &zones->heats[h];
        cq_text_add(&text, "%s%s", h > 0 ? "; " : "", cq_celsius_both(heat->temperature_K, words));
        cq_text_add(&text, " for %s", cq_time_words(heat->for_s, words));
        if (heat->thickness_m > 0.0) {
            add_length(&text, ", bar then ", heat->thickness_m);
        }
    }
    if (zones->heats_n > 0) {
        add_row(to, t, "Welding heats", &text);
    }
    if (skin->for_s > 0.0) {
        cq_text_add(&text, "%s", cq_celsius_both(skin->temperature_K, words));
        cq_text_add(&text, " for %s in fire and air", cq_time_words(skin->for_s, words));
    } else if (skin->depth_m > 0.0) {
        add_length(&text, "poor in carbon to ", skin->depth_m);
    }
    if (skin->for_s > 0.0 || skin->depth_m > 0.0) {
        add_row(to, t, "Skin", &text);
    }
}

static void row_section(rows *to, cq_telling *t) {
    static const char *const families[CQ_FAMILIES] = {
        [CQ_FAMILY_FLAT] = "flat",       [CQ_FAMILY_CONVEX] = "convex",       [CQ_FAMILY_RIDGED] = "ridged",
        [CQ_FAMILY_HOLLOW] = "hollow",   [CQ_FAMILY_ONE_SIDED] = "one-sided", [CQ_FAMILY_DOUBLE_EDGED] = "double-edged",
        [CQ_FAMILY_OUTLINE] = "outline", [CQ_FAMILY_PLATE] = "plate",         [CQ_FAMILY_ROUND] = "round"};
    const cq_blade *b = &t->result->plan->blade;
    const bool piece = b->family == CQ_FAMILY_PLATE || b->family == CQ_FAMILY_ROUND;
    cq_text text = {NULL, 0, 0, false};
    cq_text_add(&text, "%s", families[b->family]);
    if (piece) {
        add_length(&text, b->family == CQ_FAMILY_ROUND ? ", diameter " : ", thickness ", b->spine_m);
    } else {
        add_length(&text, ", height ", t->result->section->height_m);
        if (b->family != CQ_FAMILY_OUTLINE) {
            add_length(&text, ", edge ", b->edge_m);
            add_length(&text, b->family == CQ_FAMILY_DOUBLE_EDGED ? ", second edge " : ", spine ", b->spine_m);
        }
        if (b->ridge_thickness_m > 0.0) {
            add_length(&text, ", ridge (shinogi) ", b->ridge_thickness_m);
            add_length(&text, " thick at ", b->ridge_at_m);
        }
        if (b->groove_width_m > 0.0) {
            add_length(&text, ", groove (hi) at ", b->groove_at_m);
            add_length(&text, ", wide ", b->groove_width_m);
            add_length(&text, ", deep ", b->groove_depth_m);
        }
    }
    if (b->length_m > 0.0) {
        add_length(&text, ", length ", b->length_m);
    }
    if (b->surface != NULL) {
        cq_text_add(&text, ", %s", strcmp(b->surface, "scratched-across") == 0 ? "scratched across" : b->surface);
    }
    add_row(to, t, "Section", &text);
}

static void add_points(cq_text *text, const cq_coat *coat) {
    for (size_t n = 0; n < coat->n && n < POINTS_TOLD; n++) {
        const cq_coat_point *p = &coat->points[n];
        char at[CQ_QUANTITY], left[CQ_QUANTITY], right[CQ_QUANTITY];
        cq_length_both(p->left_m, left);
        cq_length_both(p->right_m, right);
        cq_text_add(text, "; at %s: %s%s", cq_length_both(p->at_m, at), strcmp(left, right) == 0 ? "" : "left ", left);
        if (strcmp(left, right) != 0) {
            cq_text_add(text, ", right %s", right);
        }
    }
    if (coat->n > POINTS_TOLD) {
        cq_text_add(text, "; and %zu more points", coat->n - POINTS_TOLD);
    }
}

static void add_flat(cq_text *text, const char *before, double coat_m) {
    if (coat_m > 0.0) {
        add_length(text, before, coat_m);
    } else {
        cq_text_add(text, "%sbare", before);
    }
}

static void row_clay(rows *to, cq_telling *t) {
    const cq_plan *plan = t->result->plan;
    const cq_coat *coat = &plan->coat;
    const bool any = coat->n > 0 || coat->edge_m > 0.0 || coat->spine_m > 0.0;
    cq_text text = {NULL, 0, 0, false};
    if (!any) {
        cq_text_add(&text, "none: all bare");
        add_row(to, t, "Clay (tsuchi-oki)", &text);
        return;
    }
    cq_page_plain(&text, name_or(plan->clay.name, "own mix"), false);
    cq_text_add(&text, ", thicknesses dry%s", plan->coat_was_wet ? " (given wet)" : "");
    add_points(&text, coat);
    add_flat(&text, "; edge flat ", coat->edge_m);
    add_flat(&text, ", spine flat ", coat->spine_m);
    for (size_t n = 0; n < plan->lost_n && n < PATCHES_TOLD; n++) {
        char from[CQ_QUANTITY], until[CQ_QUANTITY];
        cq_text_add(&text, "; falls off after %.3g s from %s to %s", plan->lost[n].after_s,
                    cq_length_both(plan->lost[n].from_m, from), cq_length_both(plan->lost[n].to_m, until));
    }
    add_row(to, t, "Clay (tsuchi-oki)", &text);
}

static void add_heat(cq_text *text, const cq_heat_plan *heat) {
    static const char *const stocks[] = {[CQ_STOCK_NORMALISED] = "normalised stock",
                                         [CQ_STOCK_CYCLED] = "stock cycled fine",
                                         [CQ_STOCK_SPHEROIDISED_FINE] = "finely spheroidised stock",
                                         [CQ_STOCK_SPHEROIDISED_COARSE] = "coarsely spheroidised stock",
                                         [CQ_STOCK_QUENCHED] = "stock hardened before"};
    char words[CQ_QUANTITY];
    if (heat->start_K > 0.0) {
        cq_text_add(text, "everything starts at %s", cq_celsius_both(heat->start_K, words));
        return;
    }
    cq_text_add(text, "%s", cq_celsius_both(heat->temperature_K, words));
    if (heat->fire.for_s > 0.0) {
        cq_text_add(text, " aimed at, from cold in a fire of %s", cq_celsius_both(heat->fire.temperature_K, words));
        cq_text_add(text, " for %s", cq_time_words(heat->fire.for_s, words));
    } else {
        cq_text_add(text, " for %s", cq_time_words(heat->hold_s, words));
    }
    cq_text_add(text, ", %s", heat->follows ? "of what the quench before left" : stocks[heat->stock]);
}

static void row_soak(rows *to, cq_telling *t) {
    const cq_result *r = t->result;
    const cq_heat_plan *heat = &r->plan->heat;
    cq_text text = {NULL, 0, 0, false};
    for (size_t h = 0; h + 1 < r->heats_n; h++) {
        add_heat(&text, &r->heats[h].heat);
        cq_text_add(&text, "; came out: %s", cq_verdict_words(r->heats[h].verdict));
        add_row(to, t, "Heated before", &text);
    }
    add_heat(&text, heat);
    if (heat->error_K > 0.0) {
        cq_text_add(&text, ", known to ± %.0f °C (%.0f °F)", heat->error_K, 1.8 * heat->error_K);
    }
    if (heat->spine_below_K > 0.0) {
        cq_text_add(&text, ", spine %.0f °C (%.0f °F) cooler", heat->spine_below_K, 1.8 * heat->spine_below_K);
    }
    add_row(to, t, r->heats_n > 1 ? "Soak, the last" : "Soak", &text);
}

static bool told_before(const cq_plan *plan, size_t s) {
    for (size_t n = 0; n < s; n++) {
        if (plan->steps[n].bath.name != NULL && plan->steps[s].bath.name != NULL &&
            strcmp(plan->steps[n].bath.name, plan->steps[s].bath.name) == 0 &&
            fabs(plan->steps[n].at_K - plan->steps[s].at_K) < 0.01) {
            return true;
        }
    }
    return false;
}

static void row_bath(rows *to, cq_telling *t) {
    const cq_plan *plan = t->result->plan;
    cq_text text = {NULL, 0, 0, false};
    char words[CQ_QUANTITY];
    cq_text_add(&text, "%s", "");
    for (size_t s = 0; s < plan->steps_n; s++) {
        const cq_step_plan *step = &plan->steps[s];
        if (step->bath.kind == CQ_BATH_GAS || told_before(plan, s)) {
            continue;
        }
        cq_text_add(&text, "%s", text.length > 0 ? "; " : "");
        cq_page_plain(&text, name_or(step->bath.name, "own bath"), false);
        cq_text_add(&text, " at %s", cq_celsius_both(step->at_K, words));
        if (step->bath.volume_m3 > 0.0) {
            cq_text_add(&text, ", %.3g litres", 1e3 * step->bath.volume_m3);
        }
    }
    if (text.length == 0) {
        cq_text_add(&text, "none: air alone");
    }
    add_row(to, t, "Bath (yaki-ire)", &text);
}

/* One step: where, how long, and what the blade was at its end. */
static void row_step(rows *to, cq_telling *t, size_t s) {
    static const char *const entries[] = {[CQ_ENTRY_EDGE_FIRST] = "edge first",
                                          [CQ_ENTRY_SPINE_FIRST] = "spine first",
                                          [CQ_ENTRY_POINT_FIRST] = "point first"};
    const cq_step_plan *step = &t->result->plan->steps[s];
    cq_text text = {NULL, 0, 0, false};
    char words[CQ_QUANTITY], key[64];
    cq_text_add(&text, "in ");
    cq_page_plain(&text, name_or(step->bath.name, "own bath"), false);
    if (step->for_s > 0.0) {
        cq_text_add(&text, " for %s", cq_time_words(step->for_s, words));
    }
    if (step->until_K > 0.0) {
        cq_text_add(&text, "%s until %s", step->for_s > 0.0 ? ", or" : "", cq_celsius_both(step->until_K, words));
    }
    if (step->entry != CQ_ENTRY_LEVEL) {
        cq_text_add(&text, ", %s at %.3g m/s", entries[step->entry], step->speed_m_s);
    }
    if (step->agitation_m_s > 0.0) {
        cq_text_add(&text, ", stirred %.3g m/s", step->agitation_m_s);
    }
    if (step->depth_m > 0.0) {
        add_length(&text, ", only the first ", step->depth_m);
    }
    snprintf(key, sizeof key, "steps.%zu.time_s", s);
    if (!isnan(cq_telling_number(t, key))) {
        cq_text_add(&text, "; ends at ");
        cq_number_add(&text, t, CQ_AS_HUNDREDTH, "%s", key);
        cq_text_add(&text, " s with the edge at ");
        snprintf(key, sizeof key, "steps.%zu.edge_C", s);
        cq_temperature_add(&text, t, key);
        cq_text_add(&text, ", the %s at ", t->result->grid->one_dimensional ? "centre" : "spine");
        snprintf(key, sizeof key, "steps.%zu.%s", s, t->result->grid->one_dimensional ? "body_C" : "spine_C");
        cq_temperature_add(&text, t, key);
    }
    add_row(to, t, cq_telling_say(t, "Step %zu", s + 1), &text);
}

static void row_temper(rows *to, cq_telling *t) {
    const cq_plan *plan = t->result->plan;
    cq_text text = {NULL, 0, 0, false};
    char words[CQ_QUANTITY];
    cq_text_add(&text, "%s", plan->temper_n == 0 ? "none planned: brittle as it is" : "");
    for (size_t n = 0; n < plan->temper_n; n++) {
        cq_text_add(&text, "%s%s", n == 0 ? "" : "; ", cq_celsius_both(plan->temper[n].temperature_K, words));
        cq_text_add(&text, " for %s", cq_time_words(plan->temper[n].for_s, words));
    }
    add_row(to, t, "Temper (yaki-modoshi)", &text);
    if (plan->grind_m > 0.0) {
        add_length(&text, "", plan->grind_m);
        cq_text_add(&text, " off each face");
        add_row(to, t, "Grinding", &text);
    }
}

void cq_table_recipe(cq_page *page, cq_telling *t) {
    static const char *const heads[] = {"what", "as planned"};
    static const double widths[] = {1.0, 4.2};
    rows all = {.n = 0};
    row_steel(&all, t);
    row_before(&all, t);
    row_section(&all, t);
    row_clay(&all, t);
    row_soak(&all, t);
    row_bath(&all, t);
    for (size_t s = 0; s < t->result->plan->steps_n && all.n + 4 < RECIPE_ROWS; s++) {
        row_step(&all, t, s);
    }
    row_temper(&all, t);
    const cq_page_table table = {.caption = "From the steel to the temper; lengths in mm and inch to the nearest 1/64",
                                 .columns = 2,
                                 .rows = all.n,
                                 .heads = heads,
                                 .cells = all.cell,
                                 .widths = widths};
    cq_page_put_table(page, &table);
}
