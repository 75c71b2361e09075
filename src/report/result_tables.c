/* result_tables.c - the tables of a result's page: what comes out, and what each second did; its sources. */
#include "report/result_figures.h"
#include "report/result_numbers.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

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

void cq_table_outcome(cq_page *page, cq_telling *t) {
    static const char *const heads[] = {"place", "as quenched", "after temper", "made of"};
    static const double widths[] = {1.3, 1.2, 1.2, 2.6};
    const cq_result *r = t->result;
    const bool piece = r->grid->one_dimensional, two = r->section->family == CQ_FAMILY_DOUBLE_EDGED;
    const char *cells[12] = {piece ? "face" : "edge, 1 mm up",
                             cq_telling_hardness(t, "edge"),
                             cq_telling_hardness(t, "edge_after_temper"),
                             structure(t, "edge"),
                             piece ? "centre" : "body, mid-height",
                             cq_telling_hardness(t, "body"),
                             cq_telling_hardness(t, "body_after_temper"),
                             structure(t, "body"),
                             two ? "second edge, 1 mm in" : "spine, 1 mm in",
                             cq_telling_hardness(t, "spine"),
                             cq_telling_hardness(t, "spine_after_temper"),
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

enum { SECOND_COLUMNS = 6 };

/* Every second at first, then ever fewer; the last one too. */
static bool is_told(size_t second, size_t last) {
    const size_t step = second <= 12     ? 1
                        : second <= 30   ? 3
                        : second <= 120  ? 15
                        : second <= 600  ? 60
                        : second <= 7200 ? 600
                                         : 3600;
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
        cq_page_plain(&text,
                      r->plan->steps[s].bath.name == NULL || r->plan->steps[s].bath.name[0] == '\0'
                          ? "own bath"
                          : r->plan->steps[s].bath.name,
                      false);
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
    const char **cells = cq_arena_take(t->arena, n * columns + 1, sizeof *cells);
    size_t rows_n = 0;
    t->failed = t->failed || cells == NULL;
    for (size_t s = 0; cells != NULL && s < n; s++) {
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

/* ---- sources ----------------------------------------------------------------------------------------------------- */

enum { KEYS_TOLD = 24, SOURCE_KEY = 48 };

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

/* Is the name among those of the plans before, or further up in its own? */
static bool is_listed(const cq_plan *const *plans, size_t plan, size_t profile) {
    const char *name = plans[plan]->profile_names[profile];
    for (size_t p = 0; p <= plan; p++) {
        const size_t n = p == plan ? profile : plans[p]->profiles_n;
        for (size_t i = 0; i < n; i++) {
            if (strcmp(plans[p]->profile_names[i], name) == 0) {
                return true;
            }
        }
    }
    return false;
}

void cq_list_sources(cq_page *page, cq_telling *t, const cq_plan *const *plans, size_t plans_n) {
    size_t n = 0, most = 1;
    for (size_t p = 0; p < plans_n; p++) {
        most += plans[p]->profiles_n;
    }
    const char **items = cq_arena_take(t->arena, most, sizeof *items);
    t->failed = t->failed || items == NULL;
    for (size_t p = 0; items != NULL && p < plans_n; p++) {
        for (size_t i = 0; i < plans[p]->profiles_n; i++) {
            if (!is_listed(plans, p, i)) {
                cq_text text = {NULL, 0, 0, false};
                cq_page_plain(&text, plans[p]->profile_names[i], false);
                add_keys(&text, plans[p]->profile_texts[i]);
                items[n++] = cq_telling_keep(t, &text);
            }
        }
    }
    if (n > 0) {
        cq_page_list(page, n, items, false);
    }
}
