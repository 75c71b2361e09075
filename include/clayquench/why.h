/* why.h - which single change of a plan explains what was seen on the blade.
 *
 * Each change stands for something that may have been otherwise than the plan has it. It is judged by two numbers: how
 * well what it makes agrees with what was seen (likelihood, 0 to 1), and how far it lies from the plan in standard
 * deviations of what is usual (z). A change's weight is likelihood times exp(-z^2/2); a cause is as good as its best
 * change. Weights rank causes; they are no probabilities, since only single changes are tried.
 */
#ifndef CLAYQUENCH_WHY_H
#define CLAYQUENCH_WHY_H

#include <clayquench/spread.h>

typedef enum cq_seen_kind {
    CQ_SEEN_LINE,     /* a line at a height */
    CQ_SEEN_FAINT,    /* a line that hardly shows */
    CQ_SEEN_NONE,     /* no line */
    CQ_SEEN_THROUGH,  /* hard right through: a file skates from edge to spine */
    CQ_SEEN_SOFT,     /* a soft edge: a file bites it */
    CQ_SEEN_TIP,      /* a line that fades at the tip */
    CQ_SEEN_CRACKED,  /* with the second it was heard, or NaN */
    CQ_SEEN_TO_EDGE,  /* curved toward the edge */
    CQ_SEEN_TO_SPINE, /* curved toward the spine */
    CQ_SEEN_KINDS
} cq_seen_kind;

typedef struct cq_seen {
    cq_seen_kind kind;
    double line_m, within_m; /* of a line: how well it was measured */
    double time_s;           /* of a crack; NaN: not known */
} cq_seen;
#define CQ_WHY_WITHIN_M 0.5e-3 /* a line's edge is about so sharp; chosen here */

/* Words for --seen; of a line the words are its height, of a crack a time may follow. */
const char *cq_seen_words(cq_seen_kind kind);

/* Causes: enumerator, key, words. The shop test of each is in why.c. */
#define CQ_CAUSE_LIST(X)                                                                                               \
    X(AS_PLANNED, "as-planned", "nothing: as the plan has it")                                                         \
    X(SOAK, "soak-temperature", "heat")                                                                                \
    X(HOLD, "hold", "time at heat")                                                                                    \
    X(STRUCTURE, "structure", "structure before the heat")                                                             \
    X(SPINE_COOLER, "spine-below", "spine cooler than the edge")                                                       \
    X(WASH, "edge-coat", "wash on the edge")                                                                           \
    X(BODY, "coat", "clay on the body")                                                                                \
    X(MIX, "clay-conductivity", "clay mix")                                                                            \
    X(RIM, "rim-height", "height of the clay's rim")                                                                   \
    X(LOST, "lost", "a patch of clay fell off")                                                                        \
    X(LIFTED, "contact", "clay lifted off the steel")                                                                  \
    X(SOAKED, "soaked", "damp wash")                                                                                   \
    X(BATH_TEMPERATURE, "bath-temperature", "bath temperature")                                                        \
    X(BATH_STRENGTH, "bath-strength", "what the bath draws")                                                           \
    X(AGITATION, "agitation", "blade or bath moved")                                                                   \
    X(SALT, "salt", "salt in the water")                                                                               \
    X(SCALE, "scale", "scale on the blade")                                                                            \
    X(SKIN, "skin", "a skin that lost its carbon")                                                                     \
    X(BATH, "bath", "another bath")                                                                                    \
    X(TRANSFER, "transfer-time", "time from fire to bath")                                                             \
    X(PULL, "pull-time", "time until pulled")                                                                          \
    X(LATER, "later-time", "times of later steps")                                                                     \
    X(CARBON, "carbon", "carbon of this batch")                                                                        \
    X(MANGANESE, "manganese", "manganese of this batch")                                                               \
    X(BATCH, "nose", "how fast this batch turns")                                                                      \
    X(STEEL, "steel", "another steel")                                                                                 \
    X(THICKNESS, "thickness", "thickness of the blade")                                                                \
    X(EDGE, "edge", "thickness of the edge")                                                                           \
    X(TIP_SECTION, "tip-section", "the tip is thinner")                                                                \
    X(TIP_HEAT, "tip-heat", "heat of the tip")                                                                         \
    X(TIP_CLAY, "tip-clay", "clay at the tip")                                                                         \
    X(MARTENSITE, "martensite-start", "start of martensite")

typedef enum cq_cause {
#define CQ_CAUSE_ENUM(name, key, words) CQ_CAUSE_##name,
    CQ_CAUSE_LIST(CQ_CAUSE_ENUM)
#undef CQ_CAUSE_ENUM
        CQ_CAUSES
} cq_cause;
const char *cq_cause_key(cq_cause cause);
const char *cq_cause_words(cq_cause cause);
/* The test of the shop that would show it; common practice, no source. */
const char *cq_cause_test(cq_cause cause);

/* A change: of an uncertain input to a value, or one that has words of its own. */
enum { CQ_WHY_WORDS = 96 };
typedef struct cq_why_change {
    cq_cause cause;
    double z; /* from the plan, in what is usual */
    bool has_input;
    cq_uncertain input;       /* with its centre */
    double value;             /* of the input */
    int own;                  /* else: number of the own change, or of another plan from CQ_WHY_OTHERS on */
    char words[CQ_WHY_WORDS]; /* else: "salt 3 % in the water" */
} cq_why_change;

enum { CQ_WHY_MOST = 400, CQ_WHY_OTHERS = 1000 };
/* Another plan as a whole: another steel or bath, read by whoever may open files. */
typedef struct cq_why_other {
    cq_cause cause;
    double z;
    const char *words;
    const cq_plan *plan;
} cq_why_other;

/* Changes of a plan that bear on what was seen; the first is the plan as written. Room for CQ_WHY_MOST; how many. */
size_t cq_why_changes(const cq_plan *plan, const cq_seen *seen, const cq_why_other *others, size_t others_n,
                      cq_why_change changes[CQ_WHY_MOST]);

/* Runs for cq_study_go: run i is change i. */
typedef struct cq_why_runs {
    const cq_plan *plan;
    const cq_why_change *changes;
    const cq_why_other *others;
} cq_why_runs;
cq_study_source cq_why_source(cq_why_runs *runs);

/* How well a row agrees with what was seen: 0 to 1. length_m: of the blade, 0 if not stated. */
double cq_why_likelihood(const cq_row *row, const cq_seen *seen, double height_m, double length_m);

typedef struct cq_why_cause {
    cq_cause cause;
    size_t change;     /* its best */
    double likelihood; /* of that */
    double weight;     /* share among all causes */
} cq_why_cause;

#define CQ_WHY_EXPLAINS 0.1 /* chosen here: a line off by twice what it was read to */
typedef struct cq_why {
    cq_seen seen;
    const cq_why_change *changes;
    const cq_row *rows; /* one per change */
    size_t changes_n, causes_n;
    cq_why_cause cause[CQ_CAUSES]; /* by weight; where none explains it, by how near each comes to what was seen */
    bool explained;                /* some cause agrees by CQ_WHY_EXPLAINS or more */
    double planned;                /* likelihood of the plan as written */
} cq_why;

/* Rank them. `changes` and `rows` must outlive it. */
void cq_why_rank(cq_why *why, const cq_seen *seen, const cq_why_change *changes, const cq_row *rows, size_t n,
                 double height_m, double length_m);

#endif
