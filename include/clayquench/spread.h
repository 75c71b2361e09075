/* spread.h - what the tolerances of a plan do to its answer: uncertain inputs, samples of them, and what the answers
 * come to.
 *
 * Run i of the study is sample i. A sample depends on seed and index alone, so more samples, other parts or other
 * threads continue the same sequence.
 *
 * Error of an estimate: half the width of the interval that holds the truth in nine cases of ten, NaN where there are
 * too few samples to tell.
 */
#ifndef CLAYQUENCH_SPREAD_H
#define CLAYQUENCH_SPREAD_H

#include <clayquench/study.h>

/* Enumerator, key (of tolerances, where there is one), unit of the values, words. The order is that of the sequence's
 * dimensions: new inputs go to the end, so that samples of the others stay as they are. */
#define CQ_UNCERTAIN_LIST(X)                                                                                           \
    X(SOAK, "soak-temperature", "K", "soak temperature")                                                               \
    X(COAT, "coat", "m", "clay on the body")                                                                           \
    X(EDGE_COAT, "edge-coat", "m", "wash on the edge")                                                                 \
    X(CONDUCTIVITY, "clay-conductivity", "W/m/K", "conductivity of the clay")                                          \
    X(NOSE, "nose", "1", "times of transformation")                                                                    \
    X(RIM, "rim-height", "m", "height of the clay's rim")                                                              \
    X(BATH_TEMPERATURE, "bath-temperature", "K", "bath temperature")                                                   \
    X(BATH_STRENGTH, "bath-strength", "1", "heat the bath draws")                                                      \
    X(REWETTING, "rewetting", "1", "wetting of clay and scale")                                                        \
    X(EDGE, "edge", "m", "thickness of the edge")                                                                      \
    X(THICKNESS, "thickness", "m", "thickness of the blade")                                                           \
    X(TRANSFER, "transfer-time", "s", "time from fire to bath")                                                        \
    X(PULL, "pull-time", "s", "first time in the bath")                                                                \
    X(LATER, "later-time", "s", "times of later steps")                                                                \
    X(CARBON, "carbon", "wt %", "carbon of the steel")                                                                 \
    X(MANGANESE, "manganese", "wt %", "manganese of the steel")                                                        \
    X(MARTENSITE_START, "martensite-start", "K", "start of martensite (Ms)")                                           \
    X(MARTENSITE_HARDNESS, "martensite-hardness", "HV", "hardness of martensite")

typedef enum cq_uncertain_kind {
#define CQ_UNCERTAIN_ENUM(name, key, unit, words) CQ_UNCERTAIN_##name,
    CQ_UNCERTAIN_LIST(CQ_UNCERTAIN_ENUM)
#undef CQ_UNCERTAIN_ENUM
        CQ_UNCERTAINS
} cq_uncertain_kind;

/* Where the scatter of an input is stated. */
typedef enum cq_uncertain_origin {
    CQ_ORIGIN_TOLERANCE,  /* tolerances: of the plan */
    CQ_ORIGIN_HEAT_ERROR, /* heat.error */
    CQ_ORIGIN_PROFILE,    /* the steel's profile or mapping */
    CQ_ORIGIN_DEFAULT,    /* nowhere: what is usual */
    CQ_ORIGINS
} cq_uncertain_origin;

/* An uncertain input. Its value is centre + sigma z, or centre exp(sigma z) if log-normal, with z normal, held within
 * [low, high]. A tolerance is one standard deviation: two blades in three keep within it; of a share s, sigma is
 * ln(1 + s). */
typedef struct cq_uncertain {
    cq_uncertain_kind kind;
    bool lognormal;
    double centre, sigma, low, high; /* in the kind's unit; sigma of a log-normal is a number */
    cq_uncertain_origin origin;
} cq_uncertain;

const char *cq_uncertain_key(cq_uncertain_kind kind);
const char *cq_uncertain_unit(cq_uncertain_kind kind);
const char *cq_uncertain_words(cq_uncertain_kind kind);
/* "plan", "heat.error", "profile", "default" */
const char *cq_uncertain_origin_words(cq_uncertain_origin origin);
/* Where a kind's usual scatter comes from: a source's key or "common practice, no source". */
const char *cq_uncertain_usual_words(cq_uncertain_kind kind);

/* What of a plan is uncertain, in the order of the kinds; room for CQ_UNCERTAINS. Left out: what acts on nothing in
 * this plan (no clay, one long step ...), and what is stated to be certain. Returns how many. */
size_t cq_uncertain_of(const cq_plan *plan, cq_uncertain inputs[CQ_UNCERTAINS]);
/* Keys of tolerances that the plan states and that act on nothing in it, as one text; "" if none. Returns `to`. */
char *cq_uncertain_idle(const cq_plan *plan, char *to, size_t size);

/* Value of an input; *held tells whether it had to be held within its range (NULL: not asked). */
double cq_uncertain_value(const cq_uncertain *input, double z, bool *held);

/* The plan with other values of its inputs (value[n]). *changed has an arena of its own, released with cq_plan_clear;
 * what was not changed is the plan's, which must outlive it. */
cq_status cq_uncertain_apply(const cq_plan *plan, const cq_uncertain *inputs, size_t n, const double *value,
                             cq_plan *changed, cq_error *error);

/* ---- samples ---- */

enum { CQ_SPREAD_GROUPS = 20 }; /* independent sequences: sample i is of sequence i % CQ_SPREAD_GROUPS */
enum { CQ_SPREAD_BLOCK = 100, CQ_SPREAD_SAMPLES = 1000 };
#define CQ_SPREAD_PRECISION_M 0.2e-3

/* How a spread is to be made. precision_m 0: all samples are made. */
typedef struct cq_spread_wish {
    size_t samples;
    uint64_t seed;
    double precision_m;
} cq_spread_wish;

/* Fill the table's inputs: as many samples as it has runs, n inputs. CQ_ERR_MEMORY. */
cq_status cq_spread_fill(cq_study_table *table, const cq_uncertain *inputs, size_t n, uint64_t seed);

/* Source of the runs, for cq_study_go. `spreading` and what it points to must outlive the study. */
typedef struct cq_spreading {
    const cq_plan *plan;
    const cq_uncertain *inputs;
    size_t inputs_n;
    const cq_study_table *table;
    double precision_m;
} cq_spreading;
cq_study_source cq_spread_source(cq_spreading *spreading);
/* Is the line known to the precision after the first `through` runs? For cq_study_sink.enough. */
bool cq_spread_enough(void *spreading, size_t through);

/* Everything that decides a spread besides plan and seed, as text for cq_study_about.settings, and back. Inputs: room
 * for CQ_UNCERTAINS. CQ_ERR_FORMAT if the text is not of a spread. The text of `write` is in `to`, and as long as
 * CQ_SPREAD_SETTINGS at most. */
enum { CQ_SPREAD_SETTINGS = 4096 };
char *cq_spread_settings_write(const cq_uncertain *inputs, size_t n, const cq_spread_wish *wish,
                               char to[CQ_SPREAD_SETTINGS]);
cq_status cq_spread_settings_read(const char *settings, cq_uncertain *inputs, size_t *n, cq_spread_wish *wish);

/* ---- what the answers come to ---- */

typedef struct cq_estimate {
    double value, error;
} cq_estimate;

/* Percentiles among the n samples in which the figure has a value. */
typedef struct cq_percentiles {
    size_t n;
    cq_estimate p5, p50, p95;
} cq_percentiles;

/* Share of the samples done, and the interval that holds the truth in nine cases of ten. */
typedef struct cq_chance {
    size_t n;
    double share, low, high;
} cq_chance;

/* What each input does to a figure, among the samples in which it has a value. share: of the figure's variance, each
 * input by itself; rest: what is left, inputs acting together. slope: change per unit of the input, of the straight
 * fit through all inputs; straight: share of the variance that fit explains. NaN where there are too few samples. */
typedef struct cq_influence {
    size_t n;
    cq_estimate share[CQ_UNCERTAINS], slope[CQ_UNCERTAINS]; /* of input i */
    cq_estimate rest;
    double straight;
} cq_influence;

/* Of the yes-or-no questions that make a verdict, the one that is most open: nearest to half of the blades. */
typedef enum cq_spread_decider {
    CQ_DECIDER_LINE,
    CQ_DECIDER_EDGE,
    CQ_DECIDER_BODY,
    CQ_DECIDER_SPINE
} cq_spread_decider;

enum { CQ_SPREAD_FAILURES = 5 };
typedef struct cq_spread {
    const char *title;
    cq_spread_wish wish;
    size_t inputs_n;
    cq_uncertain input[CQ_UNCERTAINS];
    size_t held[CQ_UNCERTAINS]; /* samples whose value had to be held within the range */
    const cq_study_table *table;
    bool has_planned; /* figures of the plan as written are known */
    double planned[CQ_FIGURES];
    size_t samples;                     /* counted: up to where it was enough */
    size_t done, failed;                /* of them */
    size_t failure[CQ_SPREAD_FAILURES]; /* samples: the first that failed */
    bool precise;                       /* the line is known to wish.precision_m */
    cq_percentiles figure[CQ_FIGURES];
    cq_chance verdict[CQ_VERDICT_INERT + 1];
    cq_chance hard_edge, hard_body, hard_spine, line;
    cq_influence on_line, on_edge; /* on_edge: on the edge's hardness, HV */
    cq_spread_decider decider;
    cq_influence on_decider; /* on its share of blades, 0 to 1 */
    bool double_edged;       /* as far as the plan as written is known */
} cq_spread;

/* Row and input values of sample i. */
const cq_row *cq_spread_row(const cq_spread *spread, size_t i);
const double *cq_spread_inputs(const cq_spread *spread, size_t i);

/* Work out the first `samples` runs of a table. planned: the answer to the plan as written, NULL: not known. Table and
 * title must outlive the spread. CQ_ERR_MEMORY. */
typedef struct cq_spread_rows {
    const cq_study_table *table;
    size_t samples;
    const cq_uncertain *inputs;
    size_t inputs_n;
    const cq_result *planned;
    const char *title;
} cq_spread_rows;
cq_status cq_spread_create(cq_spread **spread, const cq_spread_rows *rows, const cq_spread_wish *wish);
void cq_spread_free(cq_spread *spread);

#endif
