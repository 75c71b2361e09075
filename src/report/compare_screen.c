/* compare_screen.c - runs side by side as one table of 80 columns. What does not fit beside the figures (long names,
 * many keys) stands on a line of its own above them. */
#include "report/study_rows.h"

#include "base/memory.h"
#include "report/words.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { COLUMNS = 80, SHORT_HEAD = 6, FEW_ROWS = 6, MOST_ROWS = 200, MOST_COLUMNS = 20, CELL = 48 };

/* A table of cells, and which of its columns tell apart what was varied. */
typedef struct cells {
    size_t rows, n;
    char head[MOST_COLUMNS][CELL], unit[MOST_COLUMNS][CELL]; /* one above the other */
    bool label[MOST_COLUMNS], right[MOST_COLUMNS];
    int width[MOST_COLUMNS];
    char (*text)[MOST_COLUMNS][CELL];
    bool marked;  /* some verdict differs from the first row's */
    bool changes; /* differences are told where there are any */
} cells;

/* Columns of a text: characters, not bytes. */
static int width_of(const char *text) {
    int columns = 0;
    for (const char *p = text; *p != '\0'; p++) {
        columns += ((unsigned char)*p & 0xc0) != 0x80;
    }
    return columns;
}

/* The text, cut with an ellipsis where it would be wider. */
static void copy_cut(char to[CELL], const char *from, int most) {
    const char *p = from;
    int columns = 0;
    const bool whole = width_of(from) <= most && strlen(from) < CELL;
    while (*p != '\0' && (whole || columns < most - 1) && p - from < CELL - 8) {
        p++;
        while (((unsigned char)*p & 0xc0) == 0x80) {
            p++;
        }
        columns++;
    }
    snprintf(to, CELL, "%.*s%s", (int)(p - from), from, *p == '\0' ? "" : "…");
}

/* ---- figures ----------------------------------------------------------------------------------------------------- */

static void length_cell(char to[CELL], double metres, cq_unit_system units, bool sign) {
    const double v = units == CQ_UNITS_US ? metres / 0.0254 : 1e3 * metres;
    const int digits = units == CQ_UNITS_US ? 3 : 1;
    if (isnan(metres)) {
        snprintf(to, CELL, "%s", sign ? "" : "-");
    } else if (sign && fabs(v) < (units == CQ_UNITS_US ? 0.0005 : 0.05)) {
        snprintf(to, CELL, "%.*f", digits, 0.0);
    } else if (sign) {
        snprintf(to, CELL, "%+.*f", digits, v);
    } else {
        snprintf(to, CELL, "%.*f", digits, v);
    }
}

static void band_cell(char to[CELL], const cq_row *row, cq_unit_system units) {
    char low[CELL], high[CELL];
    length_cell(low, row->value[CQ_FIGURE_BAND_90], units, false);
    length_cell(high, row->value[CQ_FIGURE_BAND_10], units, false);
    const bool open_low = isnan(row->value[CQ_FIGURE_BAND_90]), open_high = isnan(row->value[CQ_FIGURE_BAND_10]);
    snprintf(to, CELL, isnan(row->value[CQ_FIGURE_LINE]) ? "" : "%.20s-%.20s", open_low ? "edge" : low,
             open_high ? "top" : high);
}

static void rockwell_cell(char to[CELL], const cq_row *row) {
    const double quenched = row->value[CQ_FIGURE_EDGE_HRC], tempered = row->value[CQ_FIGURE_EDGE_TEMPER_HRC];
    char first[20], second[20] = "";
    snprintf(first, sizeof first, isnan(quenched) ? "<20" : "%.1f", quenched);
    if (!isnan(row->value[CQ_FIGURE_EDGE_TEMPER_HV])) {
        snprintf(second, sizeof second, isnan(tempered) ? "><20" : ">%.1f", tempered);
    }
    snprintf(to, CELL, "%s%s", isnan(row->value[CQ_FIGURE_EDGE_HV]) ? "-" : first, second);
}

static const char *short_verdict(cq_verdict verdict) {
    static const char *const words[] = {
        [CQ_VERDICT_NO_EDGE] = "no edge",   [CQ_VERDICT_THROUGH] = "through",  [CQ_VERDICT_BROKEN] = "broken line",
        [CQ_VERDICT_SPINE] = "hard spine",  [CQ_VERDICT_FAINT] = "faint line", [CQ_VERDICT_GOOD] = "good line",
        [CQ_VERDICT_INERT] = "not hardened"};
    return words[verdict];
}

/* ---- the table --------------------------------------------------------------------------------------------------- */

static void new_column(cells *t, const char *head, const char *unit, bool label, bool right) {
    copy_cut(t->head[t->n], head, 14);
    copy_cut(t->unit[t->n], unit, 14);
    t->label[t->n] = label;
    t->right[t->n] = right;
    t->n++;
}

/* Is there anything but blanks and dashes in the figures of a column? */
static bool says_something(const cells *t, size_t column) {
    for (size_t r = 0; r < t->rows; r++) {
        const char *text = t->text[r][column];
        if (text[0] != '\0' && strcmp(text, "-") != 0) {
            return true;
        }
    }
    return false;
}

static void drop_last_if_empty(cells *t) {
    if (!says_something(t, t->n - 1)) {
        for (size_t r = 0; r < t->rows; r++) {
            t->text[r][t->n - 1][0] = '\0';
        }
        t->n--;
    }
}

/* The first row that was carried out: what others are told against; rows if none was. */
static size_t first_done(const cq_comparison *c) {
    size_t run = 0;
    while (run < c->table->runs_n && c->table->row[run].state != CQ_ROW_DONE) {
        run++;
    }
    return run;
}

static bool is_in_words(const cq_comparison *c, const char *part) {
    for (size_t a = 0; a < c->about->axes_n; a++) {
        if (strncmp(c->about->axes[a].key, part, strlen(part)) == 0) {
            return true;
        }
    }
    return false;
}

static bool baths_differ(const cq_comparison *c) {
    const size_t first = first_done(c);
    for (size_t run = first + 1; run < c->table->runs_n; run++) {
        if (c->baths[run].n > 0 && !cq_baths_equal(&c->baths[run], &c->baths[first])) {
            return true;
        }
    }
    return false;
}

/* The unit that every value of an axis has behind its number: "°C" of "30 °C"; NULL if they differ or are words. */
static const char *common_unit(const cq_study_axis *axis) {
    const char *unit = NULL;
    for (size_t v = 0; v < axis->n; v++) {
        const char *blank = strchr(axis->words[v], ' ');
        if (blank == NULL || strspn(axis->words[v], "+-.0123456789") != (size_t)(blank - axis->words[v]) ||
            (unit != NULL && strcmp(unit, blank + 1) != 0)) {
            return NULL;
        }
        unit = blank + 1;
    }
    return unit;
}

/* short_words: units that all values share stand in the head. */
static void add_labels(cells *t, const cq_comparison *c, cq_unit_system units, bool short_words) {
    new_column(t, "", "#", false, true);
    for (size_t r = 0; r < t->rows; r++) {
        snprintf(t->text[r][0], CELL, "%zu", r);
    }
    for (size_t a = 0; a < c->about->axes_n; a++) {
        const char *unit = short_words ? common_unit(&c->about->axes[a]) : NULL;
        const char *head = cq_axis_head(c->about, a);
        char brief[CELL];
        copy_cut(brief, head, SHORT_HEAD);
        new_column(t, unit != NULL ? brief : "", unit != NULL ? unit : head, true, unit != NULL);
        for (size_t r = 0; r < t->rows; r++) {
            const char *word = cq_row_word(c, r, a);
            copy_cut(t->text[r][t->n - 1], word, CELL);
            if (unit != NULL) {
                t->text[r][t->n - 1][strcspn(word, " ")] = '\0';
            }
        }
    }
    if (baths_differ(c) && !is_in_words(c, "steps.")) {
        new_column(t, "", "bath", true, false);
        for (size_t r = 0; r < t->rows; r++) {
            char words[160];
            cq_baths_words(&c->baths[r], units, words, sizeof words);
            copy_cut(t->text[r][t->n - 1], words, CELL - 8);
        }
    }
}

typedef void figure_cell(char to[CELL], const cq_comparison *c, size_t run, cq_unit_system units);

static void line_text(char to[CELL], const cq_comparison *c, size_t run, cq_unit_system units) {
    length_cell(to, c->table->row[run].value[CQ_FIGURE_LINE], units, false);
}

static void change_text(char to[CELL], const cq_comparison *c, size_t run, cq_unit_system units) {
    const size_t first = first_done(c);
    to[0] = '\0';
    if (run > first) {
        length_cell(to, c->table->row[run].value[CQ_FIGURE_LINE] - c->table->row[first].value[CQ_FIGURE_LINE], units,
                    true);
    }
}

static void band_text(char to[CELL], const cq_comparison *c, size_t run, cq_unit_system units) {
    band_cell(to, &c->table->row[run], units);
}

static void rockwell_text(char to[CELL], const cq_comparison *c, size_t run, cq_unit_system units) {
    (void)units;
    rockwell_cell(to, &c->table->row[run]);
}

static void spine_text(char to[CELL], const cq_comparison *c, size_t run, cq_unit_system units) {
    (void)units;
    const double v = c->table->row[run].value[CQ_FIGURE_SPINE_HV];
    snprintf(to, CELL, isnan(v) ? "-" : "%.0f", v);
}

static void curve_text(char to[CELL], const cq_comparison *c, size_t run, cq_unit_system units) {
    const double *v = c->table->row[run].value, rise = v[CQ_FIGURE_RISE], tempered = v[CQ_FIGURE_RISE_TEMPERED];
    char first[CELL], second[CELL];
    length_cell(first, rise, units, true);
    length_cell(second, tempered, units, true);
    if (v[CQ_FIGURE_OIL_ALONE] > 0.5 && !isnan(rise)) { /* of which no size is told */
        snprintf(to, CELL, "%s", fabs(rise) < 0.05e-3 ? "straight" : rise < 0.0 ? "to edge" : "to spine");
    } else {
        snprintf(to, CELL, isnan(tempered) ? "%.20s" : "%.20s>%.20s", first, second);
    }
}

static void crack_text(char to[CELL], const cq_comparison *c, size_t run, cq_unit_system units) {
    (void)units;
    const char *words = cq_row_crack(&c->table->row[run]);
    snprintf(to, CELL, "%s", words == NULL ? "" : words);
}

static void centre_text(char to[CELL], const cq_comparison *c, size_t run, cq_unit_system units) {
    (void)units;
    const double v = c->table->row[run].value[CQ_FIGURE_BODY_HV];
    snprintf(to, CELL, isnan(v) ? "-" : "%.0f", v);
}

/* Plates and rounds alone: they have faces and a centre. */
static bool only_pieces(const cq_comparison *c) {
    size_t done = 0, pieces = 0;
    for (size_t run = 0; run < c->table->runs_n; run++) {
        done += c->table->row[run].state == CQ_ROW_DONE;
        pieces += cq_row_is_piece(&c->table->row[run]);
    }
    return pieces > 0 && pieces == done;
}

static void add_figures(cells *t, const cq_comparison *c, cq_unit_system units, bool changes) {
    const bool us = units == CQ_UNITS_US, pieces = only_pieces(c);
    const struct {
        const char *head, *unit;
        figure_cell *cell;
    } figures[] = {{"line", us ? "in" : "mm", line_text},
                   {"", "+/-", change_text},
                   {"band", us ? "in" : "mm", band_text},
                   {pieces ? "face" : "edge", "HRC", rockwell_text},
                   {pieces ? "centre" : "spine", "HV", pieces ? centre_text : spine_text},
                   {"curve", us ? "in" : "mm", curve_text},
                   {"", "crack", crack_text}};
    for (size_t f = 0; f < sizeof figures / sizeof figures[0]; f++) {
        if (figures[f].cell == change_text && !changes) {
            continue;
        }
        new_column(t, figures[f].head, figures[f].unit, false, true);
        for (size_t r = 0; r < t->rows; r++) {
            if (c->table->row[r].state == CQ_ROW_DONE) {
                figures[f].cell(t->text[r][t->n - 1], c, r, units);
            }
        }
        drop_last_if_empty(t);
    }
}

/* Verdicts in the last column, a star before one that is not the first row's. */
static void add_verdicts(cells *t, const cq_comparison *c, bool brief) {
    const size_t first = first_done(c);
    cq_verdict verdict, reference = CQ_VERDICT_INERT;
    const bool there = first < c->table->runs_n && cq_row_verdict(&c->table->row[first], &reference);
    new_column(t, "", "verdict", false, false);
    for (size_t r = 0; r < t->rows; r++) {
        if (cq_row_verdict(&c->table->row[r], &verdict)) {
            const bool differs = there && verdict != reference;
            snprintf(t->text[r][t->n - 1], CELL, "%s%s", differs ? "*" : "",
                     brief && !cq_row_is_piece(&c->table->row[r]) ? short_verdict(verdict)
                                                                  : cq_row_verdict_words(&c->table->row[r], verdict));
            t->marked = t->marked || differs;
        }
    }
}

/* Widths of all columns; returns that of the whole table. */
static int measure(cells *t, bool labels) {
    int whole = 0;
    for (size_t n = 0; n < t->n; n++) {
        const int head = width_of(t->head[n]), unit = width_of(t->unit[n]);
        t->width[n] = t->label[n] && !labels ? 0 : head > unit ? head : unit;
        for (size_t r = 0; r < t->rows && (labels || !t->label[n]); r++) {
            const int width = width_of(t->text[r][n]);
            t->width[n] = width > t->width[n] ? width : t->width[n];
        }
        whole += t->width[n] > 0 ? t->width[n] + (n > 0 ? 2 : 0) : 0;
    }
    return whole;
}

static void add_cell(cq_text *s, const cells *t, size_t column, const char *text, bool last) {
    const int blanks = t->width[column] - width_of(text);
    cq_text_add(s, "%s%*s%s%*s", column > 0 ? "  " : "", t->right[column] ? blanks : 0, "", text,
                t->right[column] || last ? 0 : blanks, "");
}

/* A row without figures. Why it failed stands below the table, once for all that share the reason. */
static void add_failure(cq_text *s, const cells *t, const cq_row *row, size_t r, bool labels) {
    cq_text_add(s, "%*s", t->width[0], labels ? t->text[r][0] : "");
    for (size_t n = 1; n < t->n && labels; n++) {
        if (t->label[n]) {
            add_cell(s, t, n, t->text[r][n], false);
        }
    }
    cq_text_add(s, "  %s\n", row->state == CQ_ROW_FAILED ? "failed, see below" : "not carried out");
}

static void add_reasons(cq_text *s, const cq_comparison *c) {
    const size_t runs = c->table->runs_n;
    for (size_t r = 0, told = 0; r < runs && told < 5; r++) {
        const cq_row *row = &c->table->row[r];
        bool news = row->state == CQ_ROW_FAILED;
        for (size_t q = 0; q < r && news; q++) {
            news = c->table->row[q].state != CQ_ROW_FAILED || strcmp(c->table->row[q].message, row->message) != 0;
        }
        char numbers[96] = "";
        size_t at = 0, same = 0;
        for (size_t q = r; q < runs && news; q++) {
            if (c->table->row[q].state == CQ_ROW_FAILED && strcmp(c->table->row[q].message, row->message) == 0) {
                at += same < 8 ? (size_t)snprintf(numbers + at, sizeof numbers - at, "%s%zu", same > 0 ? ", " : "", q)
                               : 0;
                same++;
            }
        }
        if (news) {
            cq_paragraph_add(s, COLUMNS, "", "Failed (run %s%s): %s", numbers, same > 8 ? " ..." : "",
                             cq_row_message(row));
            told++;
        }
    }
}

static void add_label_line(cq_text *s, const cells *t, const cq_comparison *c, size_t r) {
    char first[2 * CELL], words[512];
    size_t at = 0;
    snprintf(first, sizeof first, "%*s%s  ", t->width[0] - width_of(t->text[r][0]), "", t->text[r][0]);
    words[0] = '\0';
    for (size_t n = 1, a = 0; n < t->n && t->label[n] && at < sizeof words; n++, a++) {
        const bool axis = a < c->about->axes_n;
        at += (size_t)snprintf(words + at, sizeof words - at, "%s%.160s", at > 0 ? "; " : "",
                               axis ? cq_row_word(c, r, a) : t->text[r][n]);
    }
    cq_paragraph_add(s, COLUMNS, first, "%s", words);
}

static void add_table(cq_text *s, cells *t, const cq_comparison *c, bool labels) {
    for (int line = 0; line < 2; line++) {
        size_t n_end = t->n;
        while (n_end > 0 && line == 0 && t->head[n_end - 1][0] == '\0') {
            n_end--;
        }
        if (n_end == 0) {
            continue; /* nothing was carried out: no figures, no upper line of heads */
        }
        for (size_t n = 0; n < n_end; n++) {
            if (t->width[n] > 0) {
                add_cell(s, t, n, line == 0 ? t->head[n] : t->unit[n], n + 1 == n_end);
            }
        }
        cq_text_add(s, "\n");
    }
    for (size_t r = 0; r < t->rows; r++) {
        const cq_row *row = &c->table->row[r];
        if (!labels) {
            add_label_line(s, t, c, r);
        }
        if (row->state != CQ_ROW_DONE) {
            add_failure(s, t, row, r, labels);
            continue;
        }
        for (size_t n = 0; n < t->n; n++) {
            if (t->width[n] > 0) {
                add_cell(s, t, n, n == 0 && !labels ? "" : t->text[r][n], n + 1 == t->n);
            }
        }
        cq_text_add(s, "\n");
    }
}

/* ---- around the table -------------------------------------------------------------------------------------------- */

static void add_heading(cq_text *s, const cells *t, const cq_comparison *c, cq_unit_system units, bool labels) {
    char words[512] = "", bath[200] = "", from[64] = "";
    size_t at = 0, keys = 0;
    cq_paragraph_add(s, COLUMNS, "", "%.200s", c->title);
    for (size_t a = 0; a < c->about->axes_n && at < sizeof words; a++) {
        if (strcmp(c->about->axes[a].key, "plan") != 0) {
            at += (size_t)snprintf(words + at, sizeof words - at, "%s%.80s", keys > 0 ? labels ? ", " : "; " : "",
                                   c->about->axes[a].key);
            keys++;
        }
    }
    const size_t first = first_done(c);
    if (!baths_differ(c) && first < c->table->runs_n) {
        cq_baths_words(&c->baths[first], units, bath, sizeof bath);
    }
    if (t->changes) {
        snprintf(from, sizeof from, "Differences are from run %zu.", first < c->table->runs_n ? first : 0);
    }
    if (keys > 0 || bath[0] != '\0' || t->changes) {
        cq_paragraph_add(s, COLUMNS, "", "%s%s%s%s%s%s%s", keys > 0 ? "Varied: " : "", words, keys > 0 ? ". " : "",
                         bath[0] != '\0' ? "Bath: " : "", bath, bath[0] != '\0' ? ". " : "", from);
    }
    cq_text_add(s, "\n");
}

static void add_closing(cq_text *s, const cells *t, const cq_comparison *c, bool brief) {
    const bool pieces = only_pieces(c);
    brief = brief && !pieces;
    const size_t rows = c->table->runs_n;
    cq_text_add(s, "\n");
    if (rows > t->rows) {
        cq_paragraph_add(s, COLUMNS, "", "The first %zu of %zu runs; --csv and --json have all.", t->rows, rows);
    }
    for (size_t r = 0; r < t->rows; r++) {
        if (!isnan(c->table->row[r].value[CQ_FIGURE_EDGE_TEMPER_HV])) {
            cq_paragraph_add(s, COLUMNS, "", "%s: as quenched > after temper%s",
                             pieces                                                   ? "face"
                             : isnan(c->table->row[r].value[CQ_FIGURE_RISE_TEMPERED]) ? "edge"
                                                                                      : "edge, curve",
                             brief ? "; good line: hard edge, soft back." : ".");
            brief = false;
            break;
        }
    }
    if (brief) {
        cq_paragraph_add(s, COLUMNS, "", "good line: hard edge, soft back.");
    }
    if (t->marked) {
        cq_paragraph_add(s, COLUMNS, "", "* another verdict than that of run %zu.", first_done(c));
    }
    add_reasons(s, c);
    for (int n = 0; n < CQ_CAUTIONS_OF_BATHS; n++) { /* of the baths; the rest a single run says */
        if ((c->cautions & (1u << n)) != 0) {
            cq_paragraph_add(s, COLUMNS, "! ", "%s", cq_caution_sentence(n));
        }
    }
    cq_paragraph_add(s, COLUMNS, "! ", "%s", cq_caution_sentence(CQ_CAUTIONS - 1));
}

/* How a table is made to fit, each with what comes before it. */
typedef enum crowding { ROOMY, BRIEF_VERDICTS, SHORT_LABELS, NO_CHANGES } crowding;

static void fill(cells *t, const cq_comparison *c, cq_unit_system units, crowding how) {
    t->n = 0;
    t->marked = false;
    t->changes = how < NO_CHANGES;
    memset(t->text, 0, t->rows * sizeof *t->text);
    add_labels(t, c, units, how >= SHORT_LABELS);
    add_figures(t, c, units, t->changes);
    add_verdicts(t, c, how >= BRIEF_VERDICTS);
}

cq_status cq_compare_screen(const cq_comparison *c, cq_unit_system units, char **text) {
    cells t = {.rows = c->table->runs_n < MOST_ROWS ? c->table->runs_n : MOST_ROWS};
    cq_text s = {NULL, 0, 0, false};
    t.text = cq_memory_zero(t.rows, sizeof *t.text);
    if (t.text == NULL) {
        return CQ_ERR_MEMORY;
    }
    crowding how = ROOMY;
    bool labels = false;
    /* Few rows may well take two lines: they keep their differences. */
    const crowding last = t.rows <= FEW_ROWS ? SHORT_LABELS : NO_CHANGES;
    for (int most = ROOMY; most <= (int)last && !labels; most++) {
        how = (crowding)most;
        fill(&t, c, units, how);
        labels = measure(&t, true) <= COLUMNS;
    }
    if (!labels) { /* names above the figures: then there may be room for the verdict in full */
        how = ROOMY;
        fill(&t, c, units, how);
        if (measure(&t, labels) > COLUMNS) {
            how = BRIEF_VERDICTS;
            fill(&t, c, units, how);
        }
        measure(&t, labels);
    }
    add_heading(&s, &t, c, units, labels);
    add_table(&s, &t, c, labels);
    add_closing(&s, &t, c, how >= BRIEF_VERDICTS);
    cq_memory_free(t.text);
    if (s.failed) {
        cq_memory_free(s.bytes);
        return CQ_ERR_MEMORY;
    }
    *text = s.bytes;
    return CQ_OK;
}
