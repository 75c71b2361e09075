/* tune.h - what a shop saw, and the few numbers of clay, bath and steel it can settle.
 *
 * The most probable values: weighted least squares of what was seen, each item in units of its error, with the
 * profiles' own uncertainty as one more item per number (prior). Errors are standard deviations; low and high hold the
 * truth in nine cases of ten.
 */
#ifndef CLAYQUENCH_TUNE_H
#define CLAYQUENCH_TUNE_H

#include <clayquench/spread.h>

/* Enumerator, key, unit, words. Each is an uncertain input of spread.h, whose scatter (tolerance of the plan,
 * profile's, or what is usual) is its prior; factors multiply what the profiles say. */
#define CQ_TUNABLE_LIST(X)                                                                                             \
    X(CLAY, "clay-conductivity", "W/m/K", "conductivity of the clay")                                                  \
    X(REWETTING, "rewetting", "1", "wetting of clay and scale")                                                        \
    X(STRENGTH, "bath-strength", "1", "heat the bath draws")                                                           \
    X(TIME, "time-factor", "1", "times of transformation")                                                             \
    X(MS, "ms-shift", "K", "shift of the martensite start (Ms)")                                                       \
    X(HARDNESS, "hardness-shift", "HV", "shift of the martensite's hardness")

typedef enum cq_tunable {
#define CQ_TUNABLE_ENUM(name, key, unit, words) CQ_TUNABLE_##name,
    CQ_TUNABLE_LIST(CQ_TUNABLE_ENUM)
#undef CQ_TUNABLE_ENUM
        CQ_TUNABLES
} cq_tunable;

const char *cq_tunable_key(cq_tunable t);
const char *cq_tunable_unit(cq_tunable t);
const char *cq_tunable_words(cq_tunable t);
/* The coupon that would tell it, in trade words. */
const char *cq_tunable_coupon(cq_tunable t);

/* What was seen: enumerator, word of evidence files, what a shop calls it. */
#define CQ_EVIDENCE_LIST(X)                                                                                            \
    X(LINE, "line", "etched line, height above the edge flat")                                                         \
    X(STEPPED_CLAY, "stepped-clay", "stepped-clay coupon, clay at which hardening stops")                              \
    X(WEDGE, "wedge", "bare wedge, thickness at which full hardening stops")                                           \
    X(HARDNESS, "hardness", "hardness reading")                                                                        \
    X(FILM, "film", "collapse of the vapour film, from entering the bath")                                             \
    X(RISE, "rise", "rise of the blade's curve")

typedef enum cq_evidence_kind {
#define CQ_EVIDENCE_ENUM(name, word, words) CQ_EVIDENCE_##name,
    CQ_EVIDENCE_LIST(CQ_EVIDENCE_ENUM)
#undef CQ_EVIDENCE_ENUM
        CQ_EVIDENCES
} cq_evidence_kind;
const char *cq_evidence_word(cq_evidence_kind kind);
const char *cq_evidence_words(cq_evidence_kind kind);

typedef enum cq_place { CQ_PLACE_EDGE, CQ_PLACE_BODY, CQ_PLACE_SPINE, CQ_PLACES } cq_place;
const char *cq_place_word(cq_place place);

/* How it was read: enumerator, word, default error of a length (m), share of a coupon's thickness, of a hardness (HRC
 * points; HV below), of a time (s). 0: this method does not read such a thing. All of them common practice, no source.
 */
#define CQ_METHOD_LIST(X)                                                                                              \
    X(EYE, "eye", 1.0e-3, 0.15, 0.0, 0.0)                                                                              \
    X(CALIPER, "caliper", 0.3e-3, 0.07, 0.0, 0.0)                                                                      \
    X(MICROSCOPE, "microscope", 0.1e-3, 0.05, 0.0, 0.0)                                                                \
    X(FILE, "file", 0.0, 0.20, 3.0, 0.0)                                                                               \
    X(ROCKWELL, "rockwell", 0.0, 0.10, 1.0, 0.0)                                                                       \
    X(VICKERS, "vickers", 0.0, 0.07, 0.7, 0.0)                                                                         \
    X(EAR, "ear", 0.0, 0.0, 0.0, 0.4)                                                                                  \
    X(STOPWATCH, "stopwatch", 0.0, 0.0, 0.0, 0.4)                                                                      \
    X(VIDEO, "video", 0.0, 0.0, 0.0, 0.1)

typedef enum cq_method {
#define CQ_METHOD_ENUM(name, word, length, coupon, points, time) CQ_METHOD_##name,
    CQ_METHOD_LIST(CQ_METHOD_ENUM)
#undef CQ_METHOD_ENUM
        CQ_METHODS
} cq_method;
const char *cq_method_word(cq_method method);
/* Standard deviation of a reading of this kind and value by this method; 0: it does not read such a thing. */
double cq_method_error(cq_method method, cq_evidence_kind kind, double value);

/* One item. Its plan is what was quenched; coupons take from it all but section and clay thickness. */
typedef struct cq_evidence_item {
    cq_evidence_kind kind;
    cq_method method;
    cq_place place;
    double value, error;  /* SI; a hardness in HV */
    double read_HRC;      /* as it was read, NaN if in HV */
    bool error_by_method; /* nothing was stated */
    double plate_m;       /* stepped-clay: thickness of the coupon's plate */
    const cq_plan *plan;
    int line;            /* of the evidence's file, 0: none */
    const char *note;    /* "" if none */
    const char *station; /* where along the blade, for the reader; "" if not said */
} cq_evidence_item;

typedef struct cq_evidence {
    const char *title, *file;
    size_t n;
    const cq_evidence_item *item;
} cq_evidence;

/* ---- the fit ----------------------------------------------------------------------------------------------------- */

typedef struct cq_tuned {
    cq_tunable what;
    double before, after, low, high; /* in the tunable's unit; factors on the profile where it is 1 */
    double sigma;                    /* of the prior, of the logarithm for factors */
    double left;                     /* standard deviation left, as a share of the prior's: 1: nothing was learnt */
    cq_uncertain input;              /* what it is to a plan */
    bool held;                       /* the fit wanted to leave the range a profile may have */
} cq_tuned;

typedef struct cq_tuned_item {
    bool used;
    double before, after;           /* what the plan says of it; NaN: it says nothing */
    double pull_before, pull_after; /* (said - seen) / error */
} cq_tuned_item;

typedef struct cq_tuning {
    const cq_plan *plan;
    const cq_evidence *evidence;
    size_t tuned_n;
    cq_tuned tuned[CQ_TUNABLES];
    double correlation[CQ_TUNABLES][CQ_TUNABLES];
    cq_tuned_item *item; /* as many as the evidence has */
    size_t used_n, runs;
    double squares_before, squares_after; /* sums of the pulls' squares */
} cq_tuning;

#define CQ_PULL_MOST 3.0 /* beyond: the item contradicts the others */
#define CQ_LEFT_MUCH 0.8 /* more of the prior left than this: the evidence does not tell */
#define CQ_ALIKE 0.9     /* correlation beyond which two cannot be told apart */

/* observer: hears once per run, may stop it (CQ_ERR_CANCELLED); may be NULL. Plan and evidence must outlive the tuning.
 * CQ_ERR_PLAN: nothing can be fitted. */
typedef struct cq_tune_watch {
    bool (*go_on)(void *context, size_t runs);
    void *context;
} cq_tune_watch;
cq_status cq_tuning_create(cq_tuning **tuning, const cq_plan *plan, const cq_evidence *evidence,
                           const cq_tune_watch *watch, cq_error *error);
void cq_tuning_free(cq_tuning *tuning);

/* What a plan with other values says of every item of the evidence; for twins. value[n] in units of tuned[].after.
 * NaN: it says nothing. */
cq_status cq_evidence_predict(const cq_evidence *evidence, const cq_tuned *tuned, size_t n, double *said,
                              cq_error *error);
/* The numbers that act on this evidence, with their priors. Returns how many. */
size_t cq_tunables_of(const cq_plan *plan, const cq_evidence *evidence, cq_tuned tuned[CQ_TUNABLES]);

#endif
