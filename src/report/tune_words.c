/* tune_words.c - see tune_words.h. */
#include "report/tune_words.h"

#include "hardness/hardness.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>

char *cq_tune_value(const cq_evidence_item *item, double value, cq_unit_system units, char to[32]) {
    if (!isfinite(value)) {
        snprintf(to, 32, "-");
    } else if (item->kind == CQ_EVIDENCE_FILM) {
        snprintf(to, 32, "%.1f s", value);
    } else if (item->kind != CQ_EVIDENCE_HARDNESS) {
        snprintf(to, 32, units == CQ_UNITS_US ? "%.3f in" : "%.2f mm",
                 units == CQ_UNITS_US ? value / 0.0254 : 1e3 * value);
    } else if (isfinite(item->read_HRC) && isfinite(cq_hardness_HRC(value))) {
        snprintf(to, 32, "%.1f HRC", cq_hardness_HRC(value));
    } else {
        snprintf(to, 32, "%.0f HV", value);
    }
    return to;
}

typedef struct sentences {
    size_t n;
    char (*to)[CQ_TUNE_SENTENCE];
} sentences;

static char *next(sentences *s) {
    return s->to[s->n < CQ_TUNE_SENTENCES - 1 ? s->n++ : s->n];
}

/* Was the same thing read twice? */
static bool is_same(const cq_evidence_item *a, const cq_evidence_item *b) {
    return a->kind == b->kind && a->place == b->place && a->plan == b->plan && !(fabs(a->plate_m - b->plate_m) > 0.0);
}

/* Readings of one thing that are further apart than their errors allow, whatever the model says. */
static void tell_unlike(const cq_tuning *t, sentences *s) {
    const cq_evidence *e = t->evidence;
    for (size_t i = 0; i < e->n; i++) {
        for (size_t k = i + 1; k < e->n; k++) {
            const double apart = fabs(e->item[i].value - e->item[k].value) / hypot(e->item[i].error, e->item[k].error);
            if (is_same(&e->item[i], &e->item[k]) && apart > CQ_PULL_MOST) {
                snprintf(next(s), CQ_TUNE_SENTENCE,
                         "Lines %d and %d read the same thing (%s) and cannot both be so: %.0f of their errors apart. "
                         "Use nothing of this until one is put right or its change: is written.",
                         e->item[i].line, e->item[k].line, cq_evidence_word(e->item[i].kind), apart);
            }
        }
    }
}

static void tell_contradictions(const cq_tuning *t, sentences *s) {
    for (size_t i = 0; i < t->evidence->n; i++) {
        const cq_evidence_item *item = &t->evidence->item[i];
        if (t->item[i].used && fabs(t->item[i].pull_after) > CQ_PULL_MOST) {
            snprintf(next(s), CQ_TUNE_SENTENCE,
                     "Line %d (%s) contradicts the rest: %.1f of its errors off even after tuning. Read it again, or "
                     "was something else otherwise (heat, bath, bar)?",
                     item->line, cq_evidence_word(item->kind), fabs(t->item[i].pull_after));
        }
    }
}

static void tell_unused(const cq_tuning *t, sentences *s) {
    for (size_t i = 0; i < t->evidence->n; i++) {
        const cq_evidence_item *item = &t->evidence->item[i];
        if (!t->item[i].used) {
            snprintf(next(s), CQ_TUNE_SENTENCE, "Line %d (%s) was not used: %s.", item->line,
                     cq_evidence_word(item->kind),
                     item->kind == CQ_EVIDENCE_RISE   ? "this plan's run gives no curve"
                     : item->kind == CQ_EVIDENCE_FILM ? "the plan has no vapour film there"
                                                      : "the plan says nothing of it");
        }
    }
    if (t->used_n < t->tuned_n) {
        snprintf(next(s), CQ_TUNE_SENTENCE,
                 "%zu reading%s for %zu numbers: what they cannot tell stays where the profiles have it.", t->used_n,
                 t->used_n == 1 ? "" : "s", t->tuned_n);
    }
}

static void tell_alike(const cq_tuning *t, sentences *s) {
    for (size_t j = 0; j < t->tuned_n; j++) {
        for (size_t k = j + 1; k < t->tuned_n; k++) {
            if (fabs(t->correlation[j][k]) > CQ_ALIKE) {
                snprintf(next(s), CQ_TUNE_SENTENCE,
                         "%s and %s cannot be told apart (correlation %.2f). What would: %s.",
                         cq_tunable_words(t->tuned[j].what), cq_tunable_words(t->tuned[k].what), t->correlation[j][k],
                         cq_tunable_coupon(t->tuned[t->tuned[j].left > t->tuned[k].left ? j : k].what));
            }
        }
    }
}

static void tell_untold(const cq_tuning *t, sentences *s) {
    for (size_t j = 0; j < t->tuned_n; j++) {
        if (t->tuned[j].left > CQ_LEFT_MUCH) {
            snprintf(next(s), CQ_TUNE_SENTENCE, "%s is not told by this evidence. What would: %s.",
                     cq_tunable_words(t->tuned[j].what), cq_tunable_coupon(t->tuned[j].what));
        }
        if (t->tuned[j].held) {
            snprintf(next(s), CQ_TUNE_SENTENCE,
                     "%s stands at the end of what a profile may have: something else must be off.",
                     cq_tunable_words(t->tuned[j].what));
        }
    }
}

size_t cq_tune_sentences(const cq_tuning *tuning, char to[CQ_TUNE_SENTENCES][CQ_TUNE_SENTENCE]) {
    sentences s = {0, to};
    tell_unlike(tuning, &s);
    tell_contradictions(tuning, &s);
    tell_alike(tuning, &s);
    tell_unused(tuning, &s);
    tell_untold(tuning, &s);
    for (size_t n = 0; n < s.n; n++) {
        to[n][0] = (char)toupper((unsigned char)to[n][0]);
    }
    return s.n;
}

size_t cq_log_sentences(const cq_inverse *v, char to[CQ_TUNE_SENTENCES][CQ_TUNE_SENTENCE]) {
    static const double SLOW_S = 0.05; /* fewer than 20 readings a second */
    sentences s = {0, to};
    if (v->single) {
        snprintf(next(&s), CQ_TUNE_SENTENCE,
                 "One coefficient per face temperature explains the log: what is left over is %.2f of its scatter.",
                 v->transfer_misfit);
    } else {
        snprintf(next(&s), CQ_TUNE_SENTENCE,
                 "No single coefficient per face temperature explains the log (%.1f of its scatter left): the table is "
                 "a mean over the moments the face passed each temperature. Does the log begin before the piece met "
                 "the bath, or did the film go off patch by patch?",
                 v->transfer_misfit);
    }
    if (v->peak_resolution_K > 100.0) {
        snprintf(next(&s), CQ_TUNE_SENTENCE,
                 "About its peak the table is an average over %.0f K of face temperature: the bath's own peak can be "
                 "sharper and elsewhere. A bead nearer to the face would tell; the heat drawn holds all the same.",
                 v->peak_resolution_K);
    }
    if (v->time_s / (double)v->readings > SLOW_S) {
        snprintf(next(&s), CQ_TUNE_SENTENCE, "%.0f readings a second are few: 50 would show the peak better.",
                 (double)v->readings / v->time_s);
    }
    return s.n;
}
