/* why_screen.c - causes by rank with the test of each, on one screen. */
#include "report/why_words.h"
#include "report/words.h"

#include "base/memory.h"

#include <math.h>
#include <stdio.h>

enum { COLUMNS = CQ_SCREEN_COLUMNS, MOST = 7, FEWEST = 3 };
static const double LEAST_WEIGHT = 0.002, BETTER = 1.1, EXPLAINS_WELL = 0.5; /* what is less stands in JSON alone */

/* A cause that agrees no better than the plan as written says nothing, unless nothing does. */
static bool is_told(const cq_why *w, size_t k, size_t told_n) {
    const cq_why_cause *c = &w->cause[k];
    if (c->cause == CQ_CAUSE_AS_PLANNED) {
        return false; /* stands in the head */
    }
    if (!w->explained) {
        return told_n < FEWEST;
    }
    if (!(c->likelihood >= CQ_WHY_EXPLAINS)) {
        return false;
    }
    return c->likelihood > BETTER * w->planned && (told_n < FEWEST || c->weight >= LEAST_WEIGHT);
}

static void add_head(cq_text *t, const cq_why_told *told, cq_unit_system units) {
    const cq_why *w = told->why;
    char seen[CQ_WHY_TEXT], outcome[CQ_WHY_TEXT];
    cq_paragraph_add(t, COLUMNS, "", "%.40s: seen %s", told->plan->title[0] == '\0' ? "The plan" : told->plan->title,
                     cq_why_seen(&w->seen, units, seen));
    cq_paragraph_add(
        t, COLUMNS, "", "As the plan has it: %s. %s", cq_why_outcome(&w->rows[0], &w->seen, units, outcome),
        w->planned >= EXPLAINS_WELL     ? "That explains it well by itself: nothing need have been otherwise. "
                                          "What would make it more so:"
        : w->planned >= CQ_WHY_EXPLAINS ? "That explains it in part. Single changes that do it better, the "
                                          "likeliest first:"
        : w->explained                  ? "Single changes, the likeliest first:"
                                        : "No single change tried explains it; the nearest first:");
}

/* A cause's weight among those that say something, of 100; "" where none explains it. */
static const char *weight_words(const cq_why *w, size_t k, char to[16]) {
    double sum = 0.0;
    for (size_t other = 0; other < w->causes_n; other++) {
        sum += is_told(w, other, 0) ? w->cause[other].weight : 0.0;
    }
    to[0] = '\0';
    if (w->explained && sum > 0.0) {
        snprintf(to, 16, " [%.0f]", 100.0 * w->cause[k].weight / sum);
    }
    return to;
}

static void add_cause(cq_text *t, const cq_why_told *told, size_t k, size_t rank, cq_unit_system units) {
    const cq_why_cause *c = &told->why->cause[k];
    const cq_why_change *change = &told->why->changes[c->change];
    char words[CQ_WHY_TEXT], outcome[CQ_WHY_TEXT], first[16], off[48] = "", weight[16];
    snprintf(first, sizeof first, "%zu ", rank);
    if (change->has_input && told->why->seen.kind != CQ_SEEN_TIP) {
        snprintf(off, sizeof off, " (%.2g x its usual scatter)", change->z);
    } else if (change->z > 0.0) {
        snprintf(off, sizeof off, " (%s)",
                 change->z <= 1.0   ? "often so"
                 : change->z <= 1.5 ? "at times so"
                                    : "seldom so");
    }
    cq_paragraph_add(t, COLUMNS, first, "%s%s: %s; explains it %s%s", cq_why_change_words(change, units, words), off,
                     cq_why_outcome(&told->why->rows[c->change], &told->why->seen, units, outcome),
                     cq_why_agreement(c->likelihood), weight_words(told->why, k, weight));
    cq_paragraph_add(t, COLUMNS, "  Test: ", "%s.", cq_cause_test(c->cause));
}

static void add_end(cq_text *t, const cq_why_told *told) {
    cq_paragraph_add(t, COLUMNS, "", "Not modelled, so not ruled out: %s.", cq_why_untold(&told->why->seen));
    cq_paragraph_add(t, COLUMNS, "", "%zu changes run, one at a time.%s", told->why->changes_n - 1,
                     told->why->explained ? " In [ ]: weight of 100 among these, to rank, no chance." : "");
    cq_paragraph_add(t, COLUMNS, "! ", "%s", cq_caution_sentence(CQ_CAUTIONS - 1));
}

cq_status cq_why_screen(const cq_why_told *told, cq_unit_system units, char **text) {
    cq_text t = {NULL, 0, 0, false};
    const cq_why *w = told->why;
    for (size_t rows = MOST;; rows--) {
        cq_memory_free(t.bytes);
        t = (cq_text){NULL, 0, 0, t.failed};
        add_head(&t, told, units);
        for (size_t k = 0, told_n = 0; k < w->causes_n && told_n < rows; k++) {
            if (is_told(w, k, told_n)) {
                add_cause(&t, told, k, ++told_n, units);
            }
        }
        add_end(&t, told);
        if (rows <= FEWEST || cq_text_lines(&t) < CQ_SCREEN_LINES) {
            break;
        }
    }
    if (t.failed) {
        cq_memory_free(t.bytes);
        return CQ_ERR_MEMORY;
    }
    *text = t.bytes;
    return CQ_OK;
}
