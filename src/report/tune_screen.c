/* tune_screen.c - what evidence tells of clay, bath and steel, on one screen. */
#include "report/tune_words.h"

#include "base/memory.h"
#include "hardness/hardness.h"
#include "report/words.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { CELL = 48 };

/* Without the sign of a nought. */
static void put(char to[16], const char *format, double value) {
    snprintf(to, 16, format, value);
    if (strcmp(to, "-0") == 0) {
        snprintf(to, 16, "0");
    }
}

static void add_numbers(cq_text *t, const cq_tuning *tuning) {
    cq_text_add(t, "%-41s %7s %7s  %-15s%6s\n", "number", "before", "now", "nine in ten", "learnt");
    for (size_t j = 0; j < tuning->tuned_n; j++) {
        const cq_tuned *n = &tuning->tuned[j];
        char name[CELL], range[40];
        const char *unit = cq_tunable_unit(n->what);
        const bool plain = strcmp(unit, "1") == 0;
        snprintf(name, sizeof name, "%.36s%s%s", cq_tunable_words(n->what), plain ? "" : ", ", plain ? "" : unit);
        const char *format = n->what < CQ_TUNABLE_MS ? "%.3g" : "%.0f";
        char before[16], now[16], low[16], high[16];
        put(before, format, n->before);
        put(now, format, n->after);
        put(low, format, n->low);
        put(high, format, n->high);
        snprintf(range, sizeof range, "%s to %s", low, high);
        cq_text_add(t, "%-41.41s %7s %7s  %-15s%4.0f %%\n", name, before, now, range, 100.0 * (1.0 - n->left));
    }
}

/* In the unit the reading stands in. */
static void put_error(const cq_evidence_item *item, cq_unit_system units, char to[32]) {
    const double up = cq_hardness_HRC(item->value + 0.5 * item->error),
                 down = cq_hardness_HRC(item->value - 0.5 * item->error);
    if (item->kind == CQ_EVIDENCE_HARDNESS) {
        const bool rockwell = isfinite(item->read_HRC) && isfinite(up) && isfinite(down);
        snprintf(to, 32, rockwell ? "%.1f" : "%.0f", rockwell ? up - down : item->error);
    } else if (item->kind == CQ_EVIDENCE_FILM) {
        snprintf(to, 32, "%.1f", item->error);
    } else {
        snprintf(to, 32, "%.2g", units == CQ_UNITS_US ? item->error / 0.0254 : 1e3 * item->error);
    }
}

static void add_item(cq_text *t, const cq_tuning *tuning, size_t i, cq_unit_system units) {
    const cq_evidence_item *item = &tuning->evidence->item[i];
    const cq_tuned_item *said = &tuning->item[i];
    char what[CELL], seen[32], error[32], before[32], after[32], pulls[32] = "not used";
    const bool placed = item->kind == CQ_EVIDENCE_HARDNESS || item->kind == CQ_EVIDENCE_FILM;
    const char *where = placed ? cq_place_word(item->place) : item->station;
    snprintf(what, sizeof what, "%d %s%s%.10s, %s", item->line, cq_evidence_word(item->kind),
             where[0] != '\0' ? " " : "", where, cq_method_word(item->method));
    put_error(item, units, error);
    if (said->used) {
        const char *mark = fabs(said->pull_after) > CQ_PULL_MOST ? "!" : "";
        const bool far = fabs(said->pull_before) > 99.0 || fabs(said->pull_after) > 99.0;
        snprintf(pulls, sizeof pulls, far ? "%+5.0f -> %+.0f%s" : "%+5.1f -> %+.1f%s", said->pull_before,
                 said->pull_after, mark);
    }
    cq_text_add(t, "%-26.26s%9s+/-%-7s%9s%9s  %s\n", what, cq_tune_value(item, item->value, units, seen), error,
                cq_tune_value(item, said->before, units, before), cq_tune_value(item, said->after, units, after),
                pulls);
}

static void add_items(cq_text *t, const cq_tuning *tuning, cq_unit_system units, size_t rows) {
    const size_t n = tuning->evidence->n, shown = n > rows ? rows - 1 : n;
    cq_text_add(t, "%-26s%9s   %-7s%9s%9s  %s\n", "of line, what was seen", "seen", "error", "plan said", "now says",
                "off by, errors");
    for (size_t i = 0; i < shown; i++) {
        add_item(t, tuning, i, units);
    }
    if (shown < n) {
        cq_text_add(t, "... and %zu more: --json has them all\n", n - shown);
    }
}

/* Sentences, then lines to change; cut where the screen ends, and said so. */
static void add_rest(cq_text *t, const cq_tuning *tuning, size_t lines_most) {
    char sentence[CQ_TUNE_SENTENCES][CQ_TUNE_SENTENCE];
    cq_tuned_profile profiles[CQ_TUNED_PROFILES];
    const size_t n = cq_tune_sentences(tuning, sentence);
    const int made = cq_report_tune_profiles(tuning, profiles);
    const size_t keep = 1 + (made > 0 ? (size_t)made : 0);
    cq_text all = {NULL, 0, 0, made < 0};
    size_t told = 0;
    for (; told < n; told++) {
        cq_text one = {NULL, 0, 0, false};
        cq_paragraph_add(&one, CQ_SCREEN_COLUMNS, "", "%s", sentence[told]);
        const bool room =
            !one.failed && cq_text_lines(&all) + cq_text_lines(&one) + keep + (told + 1 < n) <= lines_most;
        if (room) {
            cq_text_add(&all, "%s", one.bytes);
        }
        all.failed = all.failed || one.failed;
        cq_memory_free(one.bytes);
        if (!room) {
            break;
        }
    }
    if (told < n) {
        cq_text_add(&all, "... and %zu more: --json has them all\n", n - told);
    }
    cq_text_add(&all, "To change in the plan%s:\n",
                made > 0 && profiles[0].text != NULL ? " (-o DIR writes the profiles)" : "");
    for (int p = 0; p < made; p++) {
        cq_line_add(&all, CQ_SCREEN_COLUMNS, profiles[p].line);
    }
    cq_tuned_profiles_free(profiles, made);
    if (all.failed) {
        t->failed = true;
    } else {
        cq_text_add(t, "%s", all.bytes);
    }
    cq_memory_free(all.bytes);
}

cq_status cq_report_tune_screen(const cq_tuning *tuning, cq_unit_system units, char **text) {
    cq_text t = {NULL, 0, 0, false};
    const size_t lines = CQ_SCREEN_LINES - 1; /* one is what cli says of the folder */
    const size_t rest = 7, items = lines - 2 - (1 + tuning->tuned_n) - 1 - rest;
    char title[CQ_TUNE_SENTENCE];
    snprintf(title, sizeof title, "%.60s%sfitted to %zu of %zu items; squares of what is off: %.1f, now %.1f.",
             tuning->evidence->title, tuning->evidence->title[0] != '\0' ? ": " : "", tuning->used_n,
             tuning->evidence->n, tuning->squares_before, tuning->squares_after);
    cq_paragraph_add(&t, CQ_SCREEN_COLUMNS, "", "%s", title);
    add_numbers(&t, tuning);
    add_items(&t, tuning, units, items);
    add_rest(&t, tuning, lines - cq_text_lines(&t));
    if (t.failed) {
        cq_memory_free(t.bytes);
        return CQ_ERR_MEMORY;
    }
    *text = t.bytes;
    return CQ_OK;
}
