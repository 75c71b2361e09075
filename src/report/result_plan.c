/* result_plan.c - the plan as smiths write it down: steel and batch, section, clay, and of every heat its soak, bath,
 * steps and tempers.
 */
#include "report/quantities.h"
#include "report/result_numbers.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* Rows of two cells being gathered; room for all that a plan can make. */
typedef struct rows {
    const char **cell;
    size_t n, room;
} rows;

static void add_row(rows *to, cq_telling *t, const char *head, cq_text *text) {
    const char *kept = cq_telling_keep(t, text);
    if (to->n < to->room) {
        to->cell[2 * to->n] = head;
        to->cell[2 * to->n + 1] = kept;
        to->n++;
    }
}

static const char *name_or(const char *name, const char *otherwise) {
    return name == NULL || name[0] == '\0' ? otherwise : name;
}

/* "Soak"; of several heats "Heat 2: soak". */
static const char *head_of(cq_telling *t, size_t heat, const char *word, const char *later) {
    return t->result->plan->earlier_n == 0 ? word : cq_telling_say(t, "Heat %zu: %s", heat + 1, later);
}

static void add_length(cq_text *text, const char *before, double metres) {
    char words[CQ_QUANTITY];
    cq_text_add(text, "%s%s", before, cq_length_both(metres, words));
}

/* "1084: C 0.84, Mn 0.75 % by weight" */
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

/* What each zone is of, how they are put together, and the heats that welded them. */
static void row_zones(rows *to, cq_telling *t) {
    const cq_zones *z = &t->result->plan->zones;
    cq_text text = {NULL, 0, 0, false};
    char words[CQ_QUANTITY];
    for (size_t n = 0; n < z->n; n++) {
        cq_text_add(&text, "%s", n == 0 ? "" : "; ");
        cq_page_plain(&text, name_or(z->zone[n].name, "piece"), false);
        cq_text_add(&text, " ");
        add_steel(&text, &z->zone[n].steel);
    }
    add_row(to, t, "Steels and batches", &text);
    cq_text_add(&text, "%s", cq_build_words(z->build));
    if (z->build == CQ_BUILD_SKIN_ON_ONE_SIDE) {
        cq_text_add(&text, ", the %s one", z->side == CQ_SIDE_LEFT ? "left" : "right");
    }
    if (z->thickness_m > 0.0) {
        add_length(&text, ", thickness ", z->thickness_m);
    }
    if (z->height_m > 0.0) {
        add_length(&text, ", height ", z->height_m);
    }
    for (size_t n = 0; n < z->heats_n; n++) {
        const cq_weld_heat *heat = &z->heats[n];
        cq_text_add(&text, "%s%s", n == 0 ? "; welded and forged at " : ", ",
                    cq_celsius_both(heat->temperature_K, words));
        cq_text_add(&text, " for %s", cq_time_words(heat->for_s, words));
        if (heat->thickness_m > 0.0) {
            add_length(&text, " at a thickness of ", heat->thickness_m);
        }
    }
    add_row(to, t, "Build", &text);
}

static void row_steel(rows *to, cq_telling *t) {
    const cq_plan *plan = t->result->plan;
    cq_text text = {NULL, 0, 0, false};
    char words[CQ_QUANTITY];
    if (plan->zones.n > 0) {
        row_zones(to, t);
    } else {
        add_steel(&text, &plan->steel);
        add_row(to, t, "Steel and batch", &text);
    }
    if (plan->skin.depth_m > 0.0) {
        add_length(&text, "carbon lost to ", plan->skin.depth_m);
        cq_text_add(&text, " under the face, where nine tenths are there again");
        add_row(to, t, "Skin", &text);
    } else if (plan->skin.for_s > 0.0) {
        cq_text_add(&text, "carbon lost in air at %s", cq_celsius_both(plan->skin.temperature_K, words));
        cq_text_add(&text, " for %s", cq_time_words(plan->skin.for_s, words));
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
        if (b->bulge_m > 0.0) {
            add_length(&text, ", bulge ", b->bulge_m);
        }
        if (b->hollow_m > 0.0) {
            add_length(&text, ", hollow ", b->hollow_m);
        }
        if (b->family == CQ_FAMILY_ONE_SIDED) {
            cq_text_add(&text, ", %s face flat", b->flat_side == CQ_SIDE_LEFT ? "left" : "right");
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
    for (size_t n = 0; n < coat->n; n++) {
        const cq_coat_point *p = &coat->points[n];
        char at[CQ_QUANTITY], left[CQ_QUANTITY], right[CQ_QUANTITY];
        cq_length_both(p->left_m, left);
        cq_length_both(p->right_m, right);
        cq_text_add(text, "; at %s: %s%s", cq_length_both(p->at_m, at), strcmp(left, right) == 0 ? "" : "left ", left);
        if (strcmp(left, right) != 0) {
            cq_text_add(text, ", right %s", right);
        }
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
    if (plan->contact_m2K_W > 0.0) {
        cq_text_add(&text, "; gap to the steel %.3g m²K/W", plan->contact_m2K_W);
    }
    if (plan->soaked > 1.0) {
        cq_text_add(&text, "; the wash is damp and conducts %.3g times as well", plan->soaked);
    }
    cq_text_add(&text, "%s", plan->coat_fired ? "; fired dry" : "");
    for (size_t n = 0; n < plan->lost_n; n++) {
        static const char *const faces[] = {
            [CQ_FACE_MID] = "both faces", [CQ_FACE_LEFT] = "the left face", [CQ_FACE_RIGHT] = "the right face"};
        const cq_lost_plan *lost = &plan->lost[n];
        char from[CQ_QUANTITY], until[CQ_QUANTITY];
        cq_text_add(&text, "; off %s it falls after %.3g s%s, from %s to %s", faces[lost->face], lost->after_s,
                    plan->earlier_n == 0 ? "" : " of the first quench", cq_length_both(lost->from_m, from),
                    cq_length_both(lost->to_m, until));
    }
    add_row(to, t, "Clay (tsuchi-oki)", &text);
}

static const char *stock_words(const cq_heat_plan *heat) {
    switch (heat->stock) {
    case CQ_STOCK_CYCLED:
        return "stock cycled fine";
    case CQ_STOCK_SPHEROIDISED_FINE:
        return "finely spheroidised stock";
    case CQ_STOCK_SPHEROIDISED_COARSE:
        return "coarsely spheroidised stock";
    case CQ_STOCK_QUENCHED:
        return "stock hardened before";
    case CQ_STOCK_NORMALISED:
        break;
    }
    return "normalised stock";
}

/* A heat of the plan: the last, or one before it. */
typedef struct heat_told {
    size_t number;
    bool last;
    const cq_heat_plan *heat;
    size_t steps_n;
    const cq_step_plan *steps;
    size_t temper_n;
    const cq_temper *temper;
    double after_s;
} heat_told;

static void row_soak(rows *to, cq_telling *t, const heat_told *h) {
    const cq_heat_plan *heat = h->heat;
    cq_text text = {NULL, 0, 0, false};
    char words[CQ_QUANTITY];
    if (heat->start_K > 0.0) {
        cq_text_add(&text, "everything starts at %s", cq_celsius_both(heat->start_K, words));
    } else if (heat->fire.for_s > 0.0) {
        cq_text_add(&text, "heated from cold in a fire of %s", cq_celsius_both(heat->fire.temperature_K, words));
        cq_text_add(&text, " for %s", cq_time_words(heat->fire.for_s, words));
        cq_text_add(&text, ", aimed at %s", cq_celsius_both(heat->temperature_K, words));
        if (!isnan(cq_telling_number(t, "fire.edge_C")) && h->last) {
            cq_text_add(&text, "; it leaves the fire with the edge at ");
            cq_temperature_add(&text, t, "fire.edge_C");
            cq_text_add(&text, ", the spine at ");
            cq_temperature_add(&text, t, "fire.spine_C");
        }
    } else {
        cq_text_add(&text, "%s", cq_celsius_both(heat->temperature_K, words));
        cq_text_add(&text, " for %s", cq_time_words(heat->hold_s, words));
    }
    if (!(heat->start_K > 0.0)) {
        cq_text_add(&text, ", %s", heat->follows ? "steel as the quench before left it" : stock_words(heat));
    }
    if (heat->error_K > 0.0) {
        cq_text_add(&text, ", known to ± %.0f °C (%.0f °F)", heat->error_K, 1.8 * heat->error_K);
    }
    if (heat->spine_below_K > 0.0) {
        cq_text_add(&text, ", spine %.0f °C (%.0f °F) cooler", heat->spine_below_K, 1.8 * heat->spine_below_K);
    }
    add_row(to, t, head_of(t, h->number, "Soak", "soak"), &text);
}

static bool told_before(const heat_told *h, size_t s) {
    for (size_t n = 0; n < s; n++) {
        if (h->steps[n].bath.name != NULL && h->steps[s].bath.name != NULL &&
            strcmp(h->steps[n].bath.name, h->steps[s].bath.name) == 0 &&
            fabs(h->steps[n].at_K - h->steps[s].at_K) < 0.01) {
            return true;
        }
    }
    return false;
}

static void row_bath(rows *to, cq_telling *t, const heat_told *h) {
    cq_text text = {NULL, 0, 0, false};
    char words[CQ_QUANTITY];
    cq_text_add(&text, "%s", "");
    for (size_t s = 0; s < h->steps_n; s++) {
        const cq_step_plan *step = &h->steps[s];
        if (step->bath.kind == CQ_BATH_GAS || told_before(h, s)) {
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
    add_row(to, t, head_of(t, h->number, "Bath (yaki-ire)", "bath (yaki-ire)"), &text);
}

/* One step: where, how long, and what the blade was at its end. */
static void row_step(rows *to, cq_telling *t, const heat_told *h, size_t s) {
    static const char *const entries[] = {[CQ_ENTRY_EDGE_FIRST] = "edge first",
                                          [CQ_ENTRY_SPINE_FIRST] = "spine first",
                                          [CQ_ENTRY_POINT_FIRST] = "point first"};
    const cq_step_plan *step = &h->steps[s];
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
    if (h->last && !isnan(cq_telling_number(t, key))) {
        cq_text_add(&text, "; ends at ");
        cq_number_add(&text, t, CQ_AS_HUNDREDTH, "%s", key);
        cq_text_add(&text, " s with the edge at ");
        snprintf(key, sizeof key, "steps.%zu.edge_C", s);
        cq_temperature_add(&text, t, key);
        cq_text_add(&text, ", the %s at ", t->result->grid->one_dimensional ? "centre" : "spine");
        snprintf(key, sizeof key, "steps.%zu.%s", s, t->result->grid->one_dimensional ? "body_C" : "spine_C");
        cq_temperature_add(&text, t, key);
    }
    add_row(to, t, head_of(t, h->number, cq_telling_say(t, "Step %zu", s + 1), cq_telling_say(t, "step %zu", s + 1)),
            &text);
}

static void row_temper(rows *to, cq_telling *t, const heat_told *h) {
    cq_text text = {NULL, 0, 0, false};
    char words[CQ_QUANTITY];
    cq_text_add(&text, "%s", h->temper_n > 0 ? "" : h->last ? "none planned" : "none before the next heat");
    for (size_t n = 0; n < h->temper_n; n++) {
        cq_text_add(&text, "%s%s", n == 0 ? "" : "; ", cq_celsius_both(h->temper[n].temperature_K, words));
        cq_text_add(&text, " for %s", cq_time_words(h->temper[n].for_s, words));
        if (n == 0 && h->after_s > 0.0) {
            cq_text_add(&text, ", %s after the quench", cq_time_words(h->after_s, words));
        }
    }
    add_row(to, t, head_of(t, h->number, "Temper (yaki-modoshi)", "temper (yaki-modoshi)"), &text);
}

static void row_heat(rows *to, cq_telling *t, const heat_told *h) {
    row_soak(to, t, h);
    row_bath(to, t, h);
    for (size_t s = 0; s < h->steps_n; s++) {
        row_step(to, t, h, s);
    }
    row_temper(to, t, h);
}

static void row_finish(rows *to, cq_telling *t) {
    const cq_plan *plan = t->result->plan;
    cq_text text = {NULL, 0, 0, false};
    if (plan->grind_m > 0.0) {
        add_length(&text, "", plan->grind_m);
        cq_text_add(&text, " off each face");
        add_row(to, t, "Grinding", &text);
    }
}

static heat_told heat_before(const cq_plan *plan, size_t n) {
    const cq_earlier_heat *e = &plan->earlier[n];
    return (heat_told){.number = n,
                       .heat = &e->heat,
                       .steps_n = e->steps_n,
                       .steps = e->steps,
                       .temper_n = e->temper_n,
                       .temper = e->temper,
                       .after_s = e->temper_after_s};
}

/* Rows of one heat beside its steps: soak, bath, temper. Rows of the rest: steel or steels and build, skin, section,
 * clay, grinding. */
enum { ROWS_OF_HEAT = 3, ROWS_OF_REST = 6 };

void cq_table_recipe(cq_page *page, cq_telling *t) {
    static const char *const heads[] = {"what", "as planned"};
    static const double widths[] = {1.0, 4.2};
    const cq_plan *plan = t->result->plan;
    rows all = {.room = ROWS_OF_REST + ROWS_OF_HEAT + plan->steps_n};
    for (size_t n = 0; n < plan->earlier_n; n++) {
        all.room += ROWS_OF_HEAT + plan->earlier[n].steps_n;
    }
    all.cell = cq_arena_take(t->arena, 2 * all.room, sizeof *all.cell);
    if (all.cell == NULL) {
        t->failed = true;
        return;
    }
    row_steel(&all, t);
    row_section(&all, t);
    row_clay(&all, t);
    for (size_t n = 0; n < plan->earlier_n; n++) {
        const heat_told before = heat_before(plan, n);
        row_heat(&all, t, &before);
    }
    const heat_told last = {plan->earlier_n, true,           &plan->heat,  plan->steps_n,
                            plan->steps,     plan->temper_n, plan->temper, plan->temper_after_s};
    row_heat(&all, t, &last);
    row_finish(&all, t);
    const cq_page_table table = {.caption = "From the steel to the temper; lengths in mm and inch to the nearest 1/64",
                                 .columns = 2,
                                 .rows = all.n,
                                 .heads = heads,
                                 .cells = all.cell,
                                 .widths = widths};
    cq_page_put_table(page, &table);
}
