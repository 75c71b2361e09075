/* study_page.c - many runs on one page: plans side by side, a map, and what the tolerances do. Numbers are those of the
 * commands' own JSON.
 */
#include "report/map_grid.h"
#include "report/result_numbers.h"
#include "report/spread_words.h"
#include "report/study_pictures.h"
#include "report/study_rows.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { MOST_ROWS = 200, ROW_COLUMNS = 16, PICTURES = CQ_SPREAD_PICTURES };

typedef struct study_telling {
    cq_telling telling;
    const cq_comparison *comparison;
    const cq_map *map; /* of the comparison, or NULL; or */
    const cq_spread *spread;
    const cq_result *planned;
    cq_recorded picture[PICTURES];
} study_telling;

static const char *own_words(cq_telling *t, const char *words) {
    cq_text text = {NULL, 0, 0, false};
    cq_page_plain(&text, words, false);
    return cq_telling_keep(t, &text);
}

static void put_picture(cq_page *page, const study_telling *s, int n, const char *alt, const char *caption) {
    const cq_recorded *r = &s->picture[n];
    if (r->surface != NULL) {
        const cq_page_figure figure = {r->width, r->height, cq_recorded_draw, r, alt, caption, false};
        cq_page_put_figure(page, &figure);
    }
}

static void tell_cautions(cq_page *page, cq_telling *t) {
    const json_t *all = cq_telling_at(t, "cautions");
    const char *items[16];
    size_t n = 0;
    for (; n < json_array_size(all) && n < sizeof items / sizeof items[0]; n++) {
        items[n] = own_words(t, json_string_value(json_array_get(all, n)));
    }
    if (n > 0) {
        cq_page_section(page, "cautions", "Mind, the gravest first");
        cq_page_list(page, n, items, true);
    }
}

/* Plans as they were written, the first few. */
static void put_plans(cq_page *page, cq_telling *t, size_t n, const char *const *names, const char *const *texts) {
    enum { MOST = 8 };
    cq_page_section(page, "plans", n == 1 ? "The plan" : "The plans");
    cq_page_text(page, n == 1 ? "All runs come from this one." : "The runs come from these.");
    for (size_t p = 0; p < n && p < MOST; p++) {
        cq_text text = {NULL, 0, 0, false};
        cq_page_plain(&text, texts[p], true);
        cq_page_listing(page, own_words(t, names[p]), cq_telling_keep(t, &text));
    }
    if (n > MOST) {
        cq_page_text(page, cq_telling_say(t, "%zu more plans are not shown; study.h5 holds them.", n - MOST));
    }
}

/* ---- side by side ------------------------------------------------------------------------------------------------ */

static const char *number_of(cq_telling *t, cq_shown_as how, size_t run, const char *key) {
    cq_text text = {NULL, 0, 0, false};
    cq_number_add(&text, t, how, "rows.%zu.%s", run, key);
    return cq_telling_keep(t, &text);
}

static const char *length_of(cq_telling *t, size_t run, const char *key) {
    char path[64];
    cq_text text = {NULL, 0, 0, false};
    snprintf(path, sizeof path, "rows.%zu.%s", run, key);
    cq_length_add(&text, t, path);
    return cq_telling_keep(t, &text);
}

static const char *hardness_of(cq_telling *t, size_t run, const char *place) {
    return cq_telling_hardness(t, cq_telling_say(t, "rows.%zu.%s", run, place));
}

enum { FIGURES = 6 };
static const char *const FIGURE_HEADS[FIGURES] = {"line above the edge", "edge",  "spine",
                                                  "curve, mm",           "crack", "what it is"};

static void row_of_run(study_telling *s, const char **row, size_t run) {
    cq_telling *t = &s->telling;
    const cq_comparison *c = s->comparison;
    const cq_row *figures = &c->table->row[run];
    const size_t axes = c->about->axes_n < ROW_COLUMNS - FIGURES - 1 ? c->about->axes_n : ROW_COLUMNS - FIGURES - 1;
    cq_verdict verdict;
    *row++ = cq_telling_say(t, "%zu", run);
    for (size_t a = 0; a < axes; a++) {
        *row++ = own_words(t, cq_row_word(c, run, a));
    }
    const char *crack = cq_row_crack(figures);
    row[0] = length_of(t, run, "line.surface_mm");
    row[1] = hardness_of(t, run, "edge");
    row[2] = hardness_of(t, run, "spine");
    row[3] = number_of(t, CQ_AS_SIGNED_MM, run, "curve.rise_mm");
    row[4] = crack == NULL ? "–" : crack;
    row[5] = cq_row_verdict(figures, &verdict) ? cq_verdict_words(verdict)
             : figures->state == CQ_ROW_FAILED ? own_words(t, cq_row_message(figures))
                                               : "not carried out";
}

static void table_runs(cq_page *page, study_telling *s) {
    const cq_comparison *c = s->comparison;
    const size_t axes = c->about->axes_n < ROW_COLUMNS - FIGURES - 1 ? c->about->axes_n : ROW_COLUMNS - FIGURES - 1;
    const size_t columns = 1 + axes + FIGURES, rows = c->table->runs_n < MOST_ROWS ? c->table->runs_n : MOST_ROWS;
    const char *heads[ROW_COLUMNS];
    const char **cells = cq_arena_take(s->telling.arena, rows * columns + 1, sizeof *cells);
    if (cells == NULL) {
        s->telling.failed = true;
        return;
    }
    heads[0] = "run";
    for (size_t a = 0; a < axes; a++) {
        heads[1 + a] = own_words(&s->telling, cq_axis_head(c->about, a));
    }
    memcpy(heads + 1 + axes, FIGURE_HEADS, sizeof FIGURE_HEADS);
    for (size_t run = 0; run < rows; run++) {
        row_of_run(s, cells + run * columns, run);
    }
    const cq_page_table table = {
        .caption = rows < c->table->runs_n
                       ? cq_telling_say(&s->telling,
                                        "The first %zu of %zu runs; hardness as quenched; curve: + toward the spine",
                                        rows, c->table->runs_n)
                       : "Every run; hardness as quenched; curve: + toward the spine",
        .columns = columns,
        .rows = rows,
        .heads = heads,
        .cells = cells};
    cq_page_put_table(page, &table);
}

/* The run with the lowest and the one with the highest line; false if there are none. */
static bool ends_of(const cq_comparison *c, size_t *low, size_t *high) {
    bool any = false;
    for (size_t run = 0; run < c->table->runs_n; run++) {
        const double v = c->table->row[run].value[CQ_FIGURE_LINE];
        if (c->table->row[run].state == CQ_ROW_DONE && isfinite(v)) {
            *low = !any || v < c->table->row[*low].value[CQ_FIGURE_LINE] ? run : *low;
            *high = !any || v > c->table->row[*high].value[CQ_FIGURE_LINE] ? run : *high;
            any = true;
        }
    }
    return any;
}

static const char *lead_of_runs(study_telling *s) {
    const cq_comparison *c = s->comparison;
    cq_text text = {NULL, 0, 0, false};
    size_t low = 0, high = 0, failed = cq_study_table_count(c->table, c->table->runs_n, CQ_ROW_FAILED);
    char key[64];
    cq_text_add(&text, "%zu runs. ", c->table->runs_n);
    if (ends_of(c, &low, &high)) {
        cq_text_add(&text, "The hardening line (hamon) lies between ");
        snprintf(key, sizeof key, "rows.%zu.line.surface_mm", low);
        cq_length_add(&text, &s->telling, key);
        cq_text_add(&text, " (run %zu) and ", low);
        snprintf(key, sizeof key, "rows.%zu.line.surface_mm", high);
        cq_length_add(&text, &s->telling, key);
        cq_text_add(&text, " (run %zu) above the edge.", high);
    } else {
        cq_text_add(&text, "None of them has a hardening line (hamon).");
    }
    if (failed > 0) {
        cq_text_add(&text, " %zu failed.", failed);
    }
    return cq_telling_keep(&s->telling, &text);
}

/* What the plan gives and how far that holds, a line each. */
static void tell_own(cq_page *page, study_telling *s) {
    enum { ONE_LINE = 10000, LINES = 8, TEXT = 400 };
    cq_map_grid *grid = NULL;
    cq_text text = {NULL, 0, 0, false};
    const char *lines[LINES];
    size_t n = 0;
    if (cq_map_grid_create(&grid, s->map) < 0) {
        s->telling.failed = true;
        return;
    }
    cq_map_add_own(&text, grid, s->map, &(cq_map_telling){ONE_LINE, "", CQ_UNITS_METRIC});
    cq_map_grid_free(grid);
    for (const char *line = cq_telling_keep(&s->telling, &text); *line != '\0' && n < LINES;) {
        char one[TEXT];
        const size_t length = strcspn(line, "\n");
        snprintf(one, sizeof one, "%.*s", (int)length, line);
        lines[n++] = own_words(&s->telling, one);
        line += length + (line[length] == '\n' ? 1 : 0);
    }
    cq_page_section(page, "plan", "Where this plan stands");
    cq_page_list(page, n, lines, false);
}

static void write_runs(cq_page *page, void *context) {
    study_telling *s = context;
    cq_page_title(page,
                  s->map != NULL ? "A map of quenches, computed beforehand: estimates, not clearances"
                                 : "Quenches side by side, computed beforehand: estimates, not clearances",
                  own_words(&s->telling, s->comparison->title), lead_of_runs(s));
    if (s->map != NULL) {
        put_picture(
            page, s, 0,
            "Map: one varied key across, the other upward. Colours and contours show the height of the hardening "
            "line, named regions what kind of blade comes out, hatching where there is no line. The table below "
            "tells every run.",
            "Where the hardening line comes to lie over both keys; the circle with a cross: the plan itself.");
        tell_own(page, s);
    } else {
        put_picture(
            page, s, 0,
            "Sections of the runs side by side, upright on their edges at one scale with their clay; what is hard is "
            "filled up to the hardening line. The table below tells every height.",
            "Where the hardening line comes to lie; dashed: the first run's.");
    }
    cq_page_section(page, "runs", "Run by run");
    table_runs(page, s);
    tell_cautions(page, &s->telling);
    const cq_study_about *about = s->comparison->about;
    put_plans(page, &s->telling, about->plans_n, about->plan_names, about->plan_texts);
}

/* ---- tolerances -------------------------------------------------------------------------------------------------- */

static const char *lead_of_spread(study_telling *s) {
    cq_telling *t = &s->telling;
    cq_text text = {NULL, 0, 0, false};
    cq_text_add(&text, "%zu blades with every tolerance at work. ", s->spread->done);
    if (s->spread->figure[CQ_FIGURE_LINE].n == 0) {
        cq_text_add(&text, "None of them has a hardening line (hamon).");
        return cq_telling_keep(t, &text);
    }
    cq_text_add(&text, "In nine of ten that have one, the hardening line (hamon) lies between ");
    cq_length_add(&text, t, "line_mm.p5");
    cq_text_add(&text, " and ");
    cq_length_add(&text, t, "line_mm.p95");
    cq_text_add(&text, " above the edge, in the middle at ");
    cq_length_add(&text, t, "line_mm.p50");
    cq_text_add(&text, ". The edge is hard in ");
    cq_number_add(&text, t, CQ_AS_PERCENT, "hard_edge.share");
    cq_text_add(&text, " of 100.");
    return cq_telling_keep(t, &text);
}

static void table_verdicts(cq_page *page, study_telling *s) {
    static const char *const heads[] = {"what it is", "blades in 100", "at least", "at most"};
    static const char *const ends[] = {"share", "low", "high"};
    const char *cells[4 * (CQ_VERDICT_INERT + 1)];
    size_t rows = 0;
    for (int v = 0; v <= CQ_VERDICT_INERT; v++) {
        if (!(s->spread->verdict[v].share > 0.0)) {
            continue;
        }
        cells[4 * rows] = cq_verdict_words((cq_verdict)v);
        for (int e = 0; e < 3; e++) {
            cq_text text = {NULL, 0, 0, false};
            cq_number_add(&text, &s->telling, CQ_AS_PERCENT_1, "verdicts.%s.%s", cq_verdict_words((cq_verdict)v),
                          ends[e]);
            cells[4 * rows + 1 + (size_t)e] = cq_telling_keep(&s->telling, &text);
        }
        rows++;
    }
    const cq_page_table table = {.caption = "What becomes of the blades; the truth lies within in nine cases of ten",
                                 .columns = 4,
                                 .rows = rows,
                                 .heads = heads,
                                 .cells = cells,
                                 .numbers = true};
    cq_page_put_table(page, &table);
}

/* Of the edge's hardness where no blade has a line. */
static void table_inputs(cq_page *page, study_telling *s, bool line) {
    static const char *const of_edge[] = {
        "what is uncertain", "one standard deviation", "share of the edge's scatter, %", "edge moves, HV", "per",
        "stated by"};
    static const char *const of_line[] = {
        "what is uncertain", "one standard deviation", "share of the line's scatter, %", "line moves, mm", "per",
        "stated by"};
    const char *cells[6 * CQ_UNCERTAINS];
    size_t order[CQ_UNCERTAINS];
    const cq_spread *spread = s->spread;
    cq_telling *t = &s->telling;
    const char *of = line ? "on_line_mm" : "on_edge_HV";
    cq_spread_order(spread, line ? &spread->on_line : &spread->on_edge, order, false);
    for (size_t o = 0; o < spread->inputs_n; o++) {
        const cq_uncertain *u = &spread->input[order[o]];
        char words[CQ_SPREAD_WORDS];
        cq_text share = {NULL, 0, 0, false}, slope = {NULL, 0, 0, false};
        const char **row = cells + 6 * o;
        cq_number_add(&share, t, CQ_AS_SHARE, "%s.inputs.%zu.share", of, o);
        cq_text_add(&share, " ± ");
        cq_number_add(&share, t, CQ_AS_PERCENT, "%s.inputs.%zu.share_error", of, o);
        cq_number_add(&slope, t, CQ_AS_HUNDREDTH, "%s.inputs.%zu.slope", of, o);
        row[0] = cq_uncertain_words(u->kind);
        row[1] = cq_telling_say(t, "± %s", cq_spread_scatter_words(u, CQ_UNITS_METRIC, words));
        row[2] = cq_telling_keep(t, &share);
        row[3] = cq_telling_keep(t, &slope);
        row[4] = cq_telling_say(t, "%s",
                                cq_spread_step_words(u, cq_spread_step(u, CQ_UNITS_METRIC), CQ_UNITS_METRIC, words));
        row[5] = cq_uncertain_origin_words(u->origin);
    }
    const cq_page_table table = {.caption = line ? "What moves the hardening line, most first"
                                                 : "What moves the hardness of the edge, most first",
                                 .columns = 6,
                                 .rows = spread->inputs_n,
                                 .heads = line ? of_line : of_edge,
                                 .cells = cells,
                                 .numbers = true};
    cq_page_put_table(page, &table);
}

/* The cautions of the plan as written: its baths, clay and steps are those of every blade. */
static void tell_planned_cautions(cq_page *page, const study_telling *s) {
    if (s->planned != NULL && s->planned->cautions_n > 0) {
        cq_page_section(page, "cautions", "Mind, the gravest first");
        cq_page_list(page, s->planned->cautions_n, s->planned->cautions, true);
    }
}

static void write_spread(cq_page *page, void *context) {
    study_telling *s = context;
    cq_page_title(page, "What the tolerances do, computed beforehand: estimates, not clearances",
                  own_words(&s->telling, s->spread->title), lead_of_spread(s));
    put_picture(page, s, CQ_SPREAD_PICTURE_LINE,
                "Bars: how many blades of 100 have their hardening line at which height, and how many become what. The "
                "table below tells the latter.",
                "Where the line comes to lie, and what becomes of the blades.");
    cq_page_section(page, "verdicts", "What comes out, and how often");
    table_verdicts(page, s);
    put_picture(page, s, CQ_SPREAD_PICTURE_SECTION,
                "The section lying on its side, edge to the left, coloured by how many blades of 100 are hard there.",
                "How often the steel is hard where.");
    const bool line = s->spread->figure[CQ_FIGURE_LINE].n > 0;
    cq_page_section(page, "inputs", line ? "What moves the line" : "What moves the edge's hardness");
    put_picture(
        page, s, CQ_SPREAD_PICTURE_TORNADO,
        "Bars, longest first: how far each uncertain input moves the hardening line between its low and its high "
        "end. The table below tells the same.",
        "From each input's low end to its high end; one blade in twenty lies beyond either.");
    table_inputs(page, s, line);
    tell_planned_cautions(page, s);
    if (s->planned != NULL) {
        put_plans(page, &s->telling, 1, &s->spread->title, &s->planned->plan->text);
    }
}

/* ---- the whole --------------------------------------------------------------------------------------------------- */

static cq_status make(study_telling *s, char *json, void (*write)(cq_page *, void *), const cq_report_wish *how,
                      unsigned char **bytes, size_t *length, cq_page_gaps *gaps) {
    const char *title = s->comparison != NULL ? s->comparison->title : s->spread->title;
    s->telling.root = json_loads(json, 0, NULL);
    s->telling.wish = how;
    s->telling.arena = cq_arena_create();
    cq_status status = s->telling.root == NULL || s->telling.arena == NULL ? CQ_ERR_MEMORY : CQ_OK;
    if (status >= 0) {
        cq_text text = {NULL, 0, 0, false};
        cq_page_plain(&text, title, false);
        cq_text_add(&text, " · clayquench report");
        const cq_page_wish wish = {.medium = how->medium,
                                   .paper = how->paper,
                                   .title = cq_telling_keep(&s->telling, &text),
                                   .description = "Many quenches of clay-coated blades on one page",
                                   .foot = CQ_PAGE_FOOT};
        status = cq_page_make(&wish, write, s, bytes, length, gaps);
        if (status >= 0 && s->telling.failed) {
            cq_memory_free(*bytes);
            *bytes = NULL;
            status = CQ_ERR_MEMORY;
        }
    }
    json_decref((json_t *)s->telling.root);
    cq_arena_free(s->telling.arena);
    return status;
}

/* Nothing to show is no failure. */
static cq_status recorded(cq_status status) {
    return status == CQ_ERR_ARGUMENT ? CQ_OK : status;
}

static cq_status end(study_telling *s, char *json, cq_status status, cq_error *error) {
    cq_memory_free(json);
    for (int n = 0; n < PICTURES; n++) {
        cq_recorded_free(&s->picture[n]);
    }
    return status < 0 ? cq_error_say(error, status, "", "", "", "%s", cq_status_sentence(status)) : CQ_OK;
}

cq_status cq_compare_page(const cq_comparison *comparison, const cq_report_wish *wish, unsigned char **bytes,
                          size_t *length, cq_page_gaps *gaps, cq_error *error) {
    study_telling s = {.comparison = comparison};
    char *json = NULL;
    cq_status status = cq_compare_json(comparison, &json);
    status = status < 0 ? status : recorded(cq_compare_picture_record(comparison, &s.picture[0]));
    status = status < 0 ? status : make(&s, json, write_runs, wish, bytes, length, gaps);
    return end(&s, json, status, error);
}

cq_status cq_map_page(const cq_map *map, const cq_report_wish *wish, unsigned char **bytes, size_t *length,
                      cq_page_gaps *gaps, cq_error *error) {
    study_telling s = {.comparison = map->comparison, .map = map};
    char *json = NULL;
    cq_status status = cq_map_json(map, &json);
    status = status < 0 ? status : recorded(cq_map_picture_record(map, &s.picture[0]));
    status = status < 0 ? status : make(&s, json, write_runs, wish, bytes, length, gaps);
    return end(&s, json, status, error);
}

cq_status cq_spread_page(const cq_spread *spread, const cq_result *as_planned, const cq_report_wish *wish,
                         unsigned char **bytes, size_t *length, cq_page_gaps *gaps, cq_error *error) {
    study_telling s = {.spread = spread, .planned = as_planned};
    char *json = NULL;
    cq_status status = cq_spread_json(spread, &json);
    for (int n = 0; n < CQ_SPREAD_PICTURES && status >= 0; n++) {
        status = recorded(cq_spread_picture_record(spread, as_planned, (cq_spread_picture)n, &s.picture[n]));
    }
    status = status < 0 ? status : make(&s, json, write_spread, wish, bytes, length, gaps);
    return end(&s, json, status, error);
}
