/* fold_screen.c - a folded bar on one screen of 24 lines. */
#include "report/fold_words.h"

#include "base/memory.h"
#include "report/words.h"

#include <math.h>
#include <stdio.h>

enum { COLUMNS = 80, WORDS = 40, ROWS = 11 };
static const double EVEN = 0.1; /* of the stack's difference: what is left then is called even */

static double shown_temperature(double temp_K, cq_unit_system units) {
    return units == CQ_UNITS_US ? 1.8 * (temp_K - 273.15) + 32.0 : temp_K - 273.15;
}

/* "2.5 mm", "9.8 µm"; "0.098 in", "0.38 mil". */
static const char *thickness_words(double metres, cq_unit_system units, char to[WORDS]) {
    const bool us = units == CQ_UNITS_US;
    const double large = us ? metres / 0.0254 : 1e3 * metres;
    const bool small = large < (us ? 0.01 : 0.1);
    const double number = small ? 1e3 * large : large;
    const char *unit = us ? (small ? "mil" : "in") : small ? "µm" : "mm";
    if (metres < 1e-8) { /* a few dozen atoms: no layer any more */
        snprintf(to, WORDS, us ? "<0.0004 mil" : "<0.01 µm");
        return to;
    }
    snprintf(to, WORDS, number < 99.5 ? "%.3g %s" : "%.0f %s", number, unit);
    return to;
}

/* "3 s", "12 min", "5.4 h", "21 d". */
static const char *time_words(double seconds, char to[WORDS]) {
    static const struct {
        double s;
        const char *unit;
    } units[] = {{86400.0, "d"}, {3600.0, "h"}, {60.0, "min"}, {1.0, "s"}};
    if (isnan(seconds)) {
        snprintf(to, WORDS, "-");
        return to;
    }
    if (seconds < 0.1) {
        snprintf(to, WORDS, "under 0.1 s");
        return to;
    }
    int n = 0;
    while (n < 3 && seconds < 2.0 * units[n].s) {
        n++;
    }
    const double number = seconds / units[n].s;
    snprintf(to, WORDS, number < 9.95 ? "%.2g %s" : "%.0f %s", number, units[n].unit);
    return to;
}

/* Columns that text of two-byte characters takes in "%*s": so many bytes more. */
static int padded(const char *text, int columns) {
    int extra = 0;
    for (const char *p = text; *p != '\0'; p++) {
        extra += ((unsigned char)*p & 0xc0) == 0x80;
    }
    return columns + extra;
}

void cq_fold_sentence(const cq_fold_card *card, char to[CQ_FOLD_SENTENCE]) {
    const cq_fold_row *last = &card->rows[card->rows_n - 1];
    const double start = card->most_wt - card->least_wt, left = last->most_wt - last->least_wt;
    if (start < 1e-9) {
        snprintf(to, CQ_FOLD_SENTENCE, "All layers have the same carbon, %.2f %%: there is nothing to even out.",
                 card->mean_wt);
        return;
    }
    size_t n = 0;
    while (n < card->rows_n && card->rows[n].most_wt - card->rows[n].least_wt > EVEN * start) {
        n++;
    }
    if (n == card->rows_n) {
        snprintf(to, CQ_FOLD_SENTENCE,
                 "The layers still differ: carbon %.2f %% to %.2f %%, %.0f %% of the stack's difference.",
                 last->least_wt, last->most_wt, 100.0 * left / start);
        return;
    }
    char when[WORDS];
    snprintf(when, sizeof when,
             card->rows[n].soak ? "a soak after fold %zu"
             : n == 0           ? "the stack's weld"
                                : "fold %zu",
             card->rows[n].fold);
    snprintf(
        to, CQ_FOLD_SENTENCE,
        "Carbon is even from %s on: %.2f %% to %.2f %% at the end. A pattern that is still seen is of other elements.",
        when, last->least_wt, last->most_wt);
}

static void add_row(cq_text *t, const cq_fold_row *row, cq_unit_system units) {
    char fold[WORDS], each[WORDS], even[WORDS], held[WORDS];
    if (row->soak) {
        snprintf(fold, sizeof fold, "soak");
    } else if (row->fold == 0) {
        snprintf(fold, sizeof fold, "stack");
    } else {
        snprintf(fold, sizeof fold, "%zu", row->fold);
    }
    thickness_words(row->layer_m, units, each);
    time_words(row->even_s, even);
    time_words(row->heat.time_s, held);
    cq_text_add(t, "%5s %9.0f  %*s  %*s   %5.0f %-7s %6.2f - %.2f %%%s\n", fold, row->layers, padded(each, 9), each, 12,
                even, shown_temperature(row->heat.temp_K, units), held, row->least_wt, row->most_wt,
                row->austenite ? "" : " *");
}

static void add_table(cq_text *t, const cq_fold_card *card, cq_unit_system units) {
    const char *degree = units == CQ_UNITS_US ? "°F" : "°C";
    cq_text_add(t, " fold    layers  each layer   evens out in   heat, %s         carbon after it\n", degree);
    for (size_t n = 0; n < card->rows_n; n++) {
        if (card->rows_n > ROWS && n == ROWS / 2) {
            n = card->rows_n - ROWS / 2;
            cq_text_add(t, "  ...\n");
        }
        add_row(t, &card->rows[n], units);
    }
}

/* How wide one weld becomes, whatever the bar. */
static void add_weld(cq_text *t, const cq_fold_card *card, cq_unit_system units) {
    char width[CQ_FOLD_WELDS][WORDS];
    if (isnan(card->weld_m[0])) {
        return;
    }
    for (int n = 0; n < CQ_FOLD_WELDS; n++) {
        thickness_words(card->weld_m[n], units, width[n]);
    }
    cq_paragraph_add(t, COLUMNS, "",
                     "One weld of thick bars at %.0f %s: carbon crosses %s in 1, %s in 5, %s in 15 min (nine tenths of "
                     "the step to one).",
                     shown_temperature(card->rows[0].heat.temp_K, units), units == CQ_UNITS_US ? "°F" : "°C", width[0],
                     width[1], width[2]);
}

cq_status cq_report_fold_screen(const cq_fold_card *card, cq_unit_system units, char **text) {
    cq_text t = {NULL, 0, 0, false};
    char bar[WORDS], each[WORDS], skin[WORDS], held[WORDS], carbon[WORDS], sentence[CQ_FOLD_SENTENCE];
    const cq_fold_row *last = &card->rows[card->rows_n - 1];
    bool mixed = false;
    for (size_t n = 0; n < card->rows_n; n++) {
        mixed = mixed || !card->rows[n].austenite;
    }
    snprintf(carbon, sizeof carbon, card->most_wt - card->least_wt < 1e-9 ? "%.2f %%" : "%.2f %% to %.2f %%",
             card->least_wt, card->most_wt);
    cq_paragraph_add(&t, COLUMNS, "", "Bar of %s, %zu layer%s of %s C, %zu fold%s: %.0f layer%s of %s.",
                     thickness_words(card->bar_m, units, bar), card->layers, card->layers == 1 ? "" : "s", carbon,
                     card->folds, card->folds == 1 ? "" : "s", last->layers, last->layers < 1.5 ? "" : "s",
                     thickness_words(last->layer_m, units, each));
    cq_fold_sentence(card, sentence);
    cq_paragraph_add(&t, COLUMNS, "", "%s", sentence);
    add_table(&t, card, units);
    cq_paragraph_add(&t, COLUMNS, "",
                     "Each layer: after drawing out; the weld finds it twice as thick. Evens out: to a tenth of the "
                     "stack's difference, at that heat.");
    add_weld(&t, card, units);
    if (mixed) {
        cq_paragraph_add(&t, COLUMNS, "", "* not all austenite at this heat: carbon evens out less than told.");
    }
    cq_paragraph_add(
        &t, COLUMNS, "",
        "Skin: if its faces are bare, the last heat (%s at %.0f %s) takes carbon from the outer %s; below, 90 %% of "
        "it is there: grind so much off. Scale is not counted.",
        time_words(last->heat.time_s, held), shown_temperature(last->heat.temp_K, units),
        units == CQ_UNITS_US ? "°F" : "°C", thickness_words(card->skin_m, units, skin));
    if (t.failed) {
        cq_memory_free(t.bytes);
        return CQ_ERR_MEMORY;
    }
    *text = t.bytes;
    return CQ_OK;
}
