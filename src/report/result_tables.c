/* result_tables.c - the tables of a result's page: the plan as smiths write it down, what comes out, what each second
 * did, and lines for what really came out.
 */
#include "report/quantities.h"
#include "report/result_figures.h"
#include "report/result_numbers.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* ---- the plan ---------------------------------------------------------------------------------------------------- */

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

static void row_steel(rows *to, cq_telling *t) {
    const cq_steel *steel = &t->result->plan->steel;
#define ELEMENT_NAME(e) #e,
    static const char *const names[] = {CQ_ELEMENT_LIST(ELEMENT_NAME)};
#undef ELEMENT_NAME
#define ELEMENT_VALUE(e) steel->composition_wt.e,
    const double values[] = {CQ_ELEMENT_LIST(ELEMENT_VALUE)};
#undef ELEMENT_VALUE
    cq_text text = {NULL, 0, 0, false};
    cq_page_plain(&text, name_or(steel->name, "own steel"), false);
    const char *before = ": ";
    for (size_t e = 0; e < sizeof values / sizeof values[0] && steel->kind == CQ_STEEL_TRANSFORMING; e++) {
        if (values[e] > 0.0) {
            cq_text_add(&text, "%s%s %.3g", before, names[e], values[e]);
            before = ", ";
        }
    }
    cq_text_add(&text, "%s",
                before[0] == ','                ? " % by weight"
                : steel->kind == CQ_STEEL_INERT ? ", does not transform"
                                                : "");
    add_row(to, t, "Steel and batch", &text);
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

static void row_soak(rows *to, cq_telling *t) {
    static const char *const stocks[] = {[CQ_STOCK_NORMALISED] = "normalised stock",
                                         [CQ_STOCK_CYCLED] = "stock cycled fine",
                                         [CQ_STOCK_SPHEROIDISED_FINE] = "finely spheroidised stock",
                                         [CQ_STOCK_SPHEROIDISED_COARSE] = "coarsely spheroidised stock"};
    const cq_heat_plan *heat = &t->result->plan->heat;
    cq_text text = {NULL, 0, 0, false};
    char words[CQ_QUANTITY];
    if (heat->start_K > 0.0) {
        cq_text_add(&text, "everything starts at %s", cq_celsius_both(heat->start_K, words));
    } else {
        cq_text_add(&text, "%s", cq_celsius_both(heat->temperature_K, words));
        cq_text_add(&text, " for %s, %s", cq_time_words(heat->hold_s, words), stocks[heat->stock]);
    }
    if (heat->error_K > 0.0) {
        cq_text_add(&text, ", known to ± %.0f °C (%.0f °F)", heat->error_K, 1.8 * heat->error_K);
    }
    if (heat->spine_below_K > 0.0) {
        cq_text_add(&text, ", spine %.0f °C (%.0f °F) cooler", heat->spine_below_K, 1.8 * heat->spine_below_K);
    }
    add_row(to, t, "Soak", &text);
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
    row_section(&all, t);
    row_clay(&all, t);
    row_soak(&all, t);
    row_bath(&all, t);
    for (size_t s = 0; s < t->result->plan->steps_n && s + 8 < RECIPE_ROWS; s++) {
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

/* ---- what comes out ---------------------------------------------------------------------------------------------- */

static const char *structure(cq_telling *t, const char *place) {
    static const struct {
        const char *key, *words;
    } parts[] = {{"martensite", "martensite"},
                 {"retained_austenite", "retained austenite"},
                 {"bainite", "bainite"},
                 {"pearlite", "fine pearlite (troostite)"},
                 {"ferrite_cementite", "ferrite or cementite"}};
    cq_text text = {NULL, 0, 0, false};
    cq_text_add(&text, "%s", "");
    for (size_t n = 0; n < sizeof parts / sizeof parts[0]; n++) {
        char key[64];
        snprintf(key, sizeof key, "%s.%s", place, parts[n].key);
        if (cq_telling_number(t, key) >= 0.01) {
            cq_text_add(&text, "%s%s ", text.length > 0 ? ", " : "", parts[n].words);
            cq_number_add(&text, t, CQ_AS_PERCENT, "%s", key);
            cq_text_add(&text, " %%");
        }
    }
    return cq_telling_keep(t, &text);
}

static const char *hardness(cq_telling *t, const char *place) {
    cq_text text = {NULL, 0, 0, false};
    cq_hardness_add(&text, t, place);
    return cq_telling_keep(t, &text);
}

void cq_table_outcome(cq_page *page, cq_telling *t) {
    static const char *const heads[] = {"place", "as quenched", "after temper", "made of"};
    static const double widths[] = {1.3, 1.2, 1.2, 2.6};
    const cq_result *r = t->result;
    const bool piece = r->grid->one_dimensional, two = r->section->family == CQ_FAMILY_DOUBLE_EDGED;
    const char *cells[12] = {piece ? "face" : "edge, 1 mm up",
                             hardness(t, "edge"),
                             hardness(t, "edge_after_temper"),
                             structure(t, "edge"),
                             piece ? "centre" : "body, mid-height",
                             hardness(t, "body"),
                             "",
                             structure(t, "body"),
                             two ? "second edge, 1 mm in" : "spine, 1 mm in",
                             hardness(t, "spine"),
                             hardness(t, "spine_after_temper"),
                             structure(t, "spine")};
    const cq_page_table table = {.caption = "Hardness and structure",
                                 .columns = 4,
                                 .rows = piece ? 2 : 3,
                                 .heads = heads,
                                 .cells = cells,
                                 .widths = widths};
    cq_page_put_table(page, &table);
}

/* ---- second by second -------------------------------------------------------------------------------------------- */

enum { SECOND_ROWS = 36, SECOND_COLUMNS = 6 };

/* Every second at first, then ever fewer; the last one too. */
static bool is_told(size_t second, size_t last) {
    const size_t step = second <= 12 ? 1 : second <= 30 ? 3 : second <= 120 ? 15 : 60;
    return second == last || second % step == 0;
}

static const char *at_second(cq_telling *t, const char *place, size_t second) {
    char key[64];
    cq_text text = {NULL, 0, 0, false};
    snprintf(key, sizeof key, "seconds.%s.%zu", place, second);
    cq_temperature_add(&text, t, key);
    return cq_telling_keep(t, &text);
}

static const char *where(cq_telling *t, double time_s) {
    const cq_result *r = t->result;
    size_t s = 0;
    while (s < r->step_ends_n && time_s >= r->step_ends[s].time_s - 1e-9) {
        s++;
    }
    cq_text text = {NULL, 0, 0, false};
    if (s >= r->step_ends_n || s >= r->plan->steps_n) {
        cq_text_add(&text, "done");
    } else {
        cq_page_plain(&text, name_or(r->plan->steps[s].bath.name, "own bath"), false);
    }
    return cq_telling_keep(t, &text);
}

void cq_table_seconds(cq_page *page, cq_telling *t) {
    static const char *const blade[] = {"second", "in", "edge", "edge's face", "spine", "spine's face"};
    static const char *const piece[] = {"second", "in", "face", "its state", "centre"};
    static const double widths[] = {0.7, 1.0, 1.3, 1.2, 1.3, 1.2};
    const cq_result *r = t->result;
    const bool flat = r->grid->one_dimensional;
    const size_t n = json_array_size(cq_telling_at(t, "seconds.time_s"));
    const size_t columns = flat ? SECOND_COLUMNS - 1 : SECOND_COLUMNS;
    const char *cells[SECOND_ROWS * SECOND_COLUMNS];
    size_t rows_n = 0;
    for (size_t s = 0; s < n && rows_n < SECOND_ROWS; s++) {
        if (!is_told(s, n - 1)) {
            continue;
        }
        const char **row = cells + rows_n++ * columns;
        cq_text text = {NULL, 0, 0, false};
        cq_number_add(&text, t, CQ_AS_WHOLE, "seconds.time_s.%zu", s);
        row[0] = cq_telling_keep(t, &text);
        row[1] = where(t, (double)s);
        row[2] = at_second(t, "edge_C", s);
        row[3] = cq_face_state(r, CQ_TRACE_EDGE, (double)s);
        row[4] = at_second(t, flat ? "body_C" : "spine_C", s);
        if (!flat) {
            row[5] = cq_face_state(r, CQ_TRACE_SPINE, (double)s);
        }
    }
    const cq_page_table table = {.caption = "What each second did (film: a vapour film still stands on the face)",
                                 .columns = columns,
                                 .rows = rows_n,
                                 .heads = flat ? piece : blade,
                                 .cells = cells,
                                 .widths = widths,
                                 .numbers = true};
    if (rows_n > 0) {
        cq_page_put_table(page, &table);
    }
}

/* ---- what really came out ---------------------------------------------------------------------------------------- */

void cq_table_really(cq_page *page, cq_telling *t) {
    static const char *const heads[] = {"what",          "line at heel",   "line at middle", "line near point",
                                        "edge hardness", "spine hardness", "rise",           "cracked, when"};
    static const double widths[] = {1.0, 1.0, 1.0, 1.0, 1.1, 1.1, 0.8, 1.2};
    const char *cells[16];
    cq_text line = {NULL, 0, 0, false};
    cq_length_add(&line, t, "line.surface_mm");
    const char *forecast = cq_telling_keep(t, &line);
    cq_text rise = {NULL, 0, 0, false};
    cq_number_add(&rise, t, CQ_AS_MM, "curve.rise_mm");
    const bool tempered = !isnan(cq_telling_number(t, "edge_after_temper.HV"));
    cells[0] = "foreseen";
    cells[1] = cells[2] = cells[3] = forecast;
    cells[4] = hardness(t, tempered ? "edge_after_temper" : "edge");
    cells[5] = hardness(t, tempered ? "spine_after_temper" : "spine");
    cells[6] = cq_telling_keep(t, &rise);
    const char *class = cq_telling_words(t, "crack.class");
    cells[7] = class == NULL ? "–" : cq_telling_say(t, "risk %s", class);
    cells[8] = "came out";
    for (int n = 9; n < 16; n++) {
        cells[n] = "";
    }
    const cq_page_table table = {.caption =
                                     "Fill in by hand: etched line above the edge at three stations, hardness, rise "
                                     "toward the spine, when a crack was heard",
                                 .columns = 8,
                                 .rows = 2,
                                 .heads = heads,
                                 .cells = cells,
                                 .widths = widths,
                                 .blank = true};
    cq_page_put_table(page, &table);
}

/* ---- sources ----------------------------------------------------------------------------------------------------- */

enum { KEYS_TOLD = 24, SOURCE_KEY = 48, SOURCES_TOLD = 32 };

/* Keys in brackets on lines of `source:`, each once. */
static void add_keys(cq_text *text, const char *yaml) {
    char seen[KEYS_TOLD][SOURCE_KEY];
    size_t n = 0;
    for (const char *line = yaml; line != NULL && *line != '\0';) {
        const char *end = line + strcspn(line, "\n"), *at = strstr(line, "source:");
        while (at != NULL && at < end && (at = memchr(at, '[', (size_t)(end - at))) != NULL && n < KEYS_TOLD) {
            char key[SOURCE_KEY];
            const size_t length = strspn(at + 1, "abcdefghijklmnopqrstuvwxyz0123456789-");
            bool fresh = length >= 4 && length < SOURCE_KEY && (at[1 + length] == ']' || at[1 + length] == ';');
            snprintf(key, sizeof key, "%.*s", (int)(length < SOURCE_KEY ? length : SOURCE_KEY - 1), at + 1);
            for (size_t s = 0; s < n && fresh; s++) {
                fresh = strcmp(seen[s], key) != 0;
            }
            if (fresh) {
                cq_text_add(text, "%s%s", n == 0 ? ": " : ", ", key);
                snprintf(seen[n++], SOURCE_KEY, "%s", key);
            }
            at += 1 + length;
        }
        line = *end == '\0' ? end : end + 1;
    }
}

void cq_list_sources(cq_page *page, cq_telling *t) {
    const cq_plan *plan = t->result->plan;
    const char *items[SOURCES_TOLD];
    size_t n = 0;
    for (; n < plan->profiles_n && n < SOURCES_TOLD; n++) {
        cq_text text = {NULL, 0, 0, false};
        cq_page_plain(&text, plan->profile_names[n], false);
        add_keys(&text, plan->profile_texts[n]);
        items[n] = cq_telling_keep(t, &text);
    }
    if (n > 0) {
        cq_page_list(page, n, items, false);
    }
}
