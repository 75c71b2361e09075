/* spread_words.h - values, steps and scatter of uncertain inputs as people write them. */
#ifndef CQ_REPORT_SPREAD_WORDS_H
#define CQ_REPORT_SPREAD_WORDS_H

#include <clayquench/report_spread.h>

/* value_shown = factor * value + offset; a difference or slope has no offset. */
typedef struct cq_shown {
    double factor, offset;
    const char *unit;   /* "°C", "mm", "" for a plain factor */
    const char *suffix; /* "_C", "_mm": behind names in JSON and CSV */
} cq_shown;
cq_shown cq_spread_shown(cq_uncertain_kind kind, cq_unit_system units);

/* By how much an input is changed where its slope is told, in its own unit: 10 K, 0.1 mm (10 °F, 0.01 in), 1 s ... */
double cq_spread_step(const cq_uncertain *input, cq_unit_system units);

enum { CQ_SPREAD_WORDS = 64 };
/* "12 °C", "15 %": what an input is known to. */
char *cq_spread_scatter_words(const cq_uncertain *input, cq_unit_system units, char to[CQ_SPREAD_WORDS]);
/* "10 °C", "0.1 mm", "10 %": a change of an input. */
char *cq_spread_step_words(const cq_uncertain *input, double step, cq_unit_system units, char to[CQ_SPREAD_WORDS]);

/* Places of the inputs in `order`, by the share they have of the figure's variance, largest first; with noise_last
 * those whose share is not told from noise come behind all others. */
void cq_spread_order(const cq_spread *spread, const cq_influence *influence, size_t order[CQ_UNCERTAINS],
                     bool noise_last);
/* Is an input's share no larger than its error? */
bool cq_spread_is_noise(const cq_influence *influence, size_t input);

/* What a table or picture of influences is about: the line or, where few blades have one, what decides the verdict. */
typedef struct cq_spread_topic {
    const cq_influence *influence;
    const char *moves;   /* "What moves the line" */
    const char *picture; /* "What moves the hardening line (hamon)" */
    const char *axis;    /* "change of the line's height, mm" */
    bool length;         /* of the figure: metres; else as it is, `factor` times */
    double factor;
    const char *unit; /* "HV", "in 100"; of a length the caller's */
} cq_spread_topic;
/* False if there are too few samples for any. */
bool cq_spread_topic_of(const cq_spread *spread, cq_spread_topic *topic);

/* What the verdicts of this spread's blades are called: those of a plate or round have no edge and no back. */
const char *cq_spread_verdict_words(const cq_spread *spread, cq_verdict verdict);

/* Share of the samples done whose steel is hard at a height, taking it hard up to the line. */
double cq_spread_hard_at(const cq_spread *spread, double height_m);

/* Blades in a hundred: "97", "0.4", "99.8". */
char *cq_spread_hundred(double share, char to[CQ_SPREAD_WORDS]);

#endif
