/* lay.h - the clay for a wanted line: layouts that a hand can lay, the search among them, how sure the best are.
 *
 * A layout is three straight pieces on either face: a wash from the edge to the rim, a ramp, the body. It is a point of
 * a lattice of steps that the smith can measure. A trial is one quench of a layout: of the plan as written, or of one
 * of its samples (spread.h). Samples are common: sample k of two layouts differs from the plan by the same chance.
 *
 * The search asks for trials and never makes a run itself. What it asks for depends on the answers alone, so a study
 * that kept them goes on where it was stopped.
 */
#ifndef CLAYQUENCH_LAY_H
#define CLAYQUENCH_LAY_H

#include <clayquench/section.h>
#include <clayquench/spread.h>

typedef struct cq_layout {
    double wash_m;          /* from the edge to the rim and on the edge flat; 0: bare */
    double rim_m[CQ_SIDES]; /* height at which the wash ends and the ramp begins */
    double ramp_m;          /* height the ramp takes to reach the body's thickness */
    double body_m;
    double bath_K; /* of the first bath, the others off by as much; 0: as the plan says */
    double pull_s; /* first time in a bath; 0: as the plan says */
} cq_layout;

/* What is wanted. */
typedef struct cq_lay_wish {
    double line_m, within_m;
    double edge_HV;                /* at least, after the plan's tempers if it has any; 0: not asked */
    double spine_HV;               /* at most, likewise; 0: not asked */
    double step_m;                 /* all lengths but the wash are multiples of it */
    double thinnest_m, thickest_m; /* of the body */
    bool free_bath, free_pull;     /* bath temperature and pull time may differ from the plan's */
    bool free_sides;               /* the rims may differ from face to face; the line is then wanted on both */
    size_t samples;                /* per layout told; those to choose by are fewer and others */
    uint64_t seed;
} cq_lay_wish;

#define CQ_LAY_WITHIN_M 0.5e-3
#define CQ_LAY_STEP_M 0.25e-3
#define CQ_LAY_THINNEST_M 0.5e-3
#define CQ_LAY_THICKEST_M 3e-3
enum { CQ_LAY_SAMPLES = 100, CQ_LAY_SAMPLES_MOST = 2000 };

/* Where layouts of a plan may lie. */
typedef struct cq_lay_field {
    double height_m;
    bool double_edged;
    bool bare_spine; /* the plan leaves the spine flat bare */
    double grind_m;  /* finish.grind: only told */
    bool tempered;
    double bath_K, bath_low_K, bath_high_K; /* bath_K 0: no bath whose temperature may be changed */
    double pull_s, pull_low_s, pull_high_s; /* pull_s 0: the plan states none */
    const char *bath_why;                   /* what holds the bath's range: words, "" */
} cq_lay_field;

/* Of a plan with a section that has a line; CQ_ERR_PLAN with a complaint if it has none, if its steel does not
 * transform, or if it names no clay. */
cq_status cq_lay_field_of(const cq_plan *plan, cq_lay_field *field, cq_error *error);
/* The wish fits the field; every fault is a complaint with the option's name as key. */
cq_status cq_lay_wish_check(const cq_lay_wish *wish, const cq_lay_field *field, cq_error *error);

/* Can a hand lay it: on the lattice, ramp no steeper than wet clay holds, body within its limits, at least one step of
 * body below the spine. */
bool cq_layout_is_buildable(const cq_layout *layout, const cq_lay_wish *wish, const cq_lay_field *field);

/* The coat of a layout. Points rise; room for CQ_LAYOUT_POINTS. */
enum { CQ_LAYOUT_POINTS = 16 };
void cq_layout_coat(const cq_layout *layout, const cq_lay_field *field, cq_coat_point points[CQ_LAYOUT_POINTS],
                    cq_coat *coat);
/* The plan with the layout in place of its coat. *laid has an arena of its own; the rest is the plan's, which must
 * outlive it. */
cq_status cq_layout_plan(const cq_layout *layout, const cq_lay_field *field, const cq_plan *plan, cq_plan *laid,
                         cq_error *error);
/* "wash 0.05 mm, rim 5.25 mm, ramp 2 mm, body 2 mm": a layout as text. */
enum { CQ_LAYOUT_WORDS = 160 };
char *cq_layout_words(const cq_layout *layout, char to[CQ_LAYOUT_WORDS]);

/* ---- trials ---- */

typedef struct cq_lay_trial {
    cq_layout layout;
    size_t sample; /* 0: as planned; k: sample k - 1 */
    size_t plan;   /* 0: the plan; c: change c - 1 */
} cq_lay_trial;

/* Answers trials: row[i] of trial[i]. Failed runs are rows; a status below 0 ends the search. */
typedef struct cq_lay_trier {
    cq_status (*rows)(void *context, const cq_lay_trial *trial, size_t n, cq_row *row, cq_error *error);
    void *context;
} cq_lay_trier;

/* Trials that a search asks for at most; `changes`: as many other plans. */
size_t cq_lay_trials_most(const cq_lay_wish *wish, size_t changes);

/* Runs for cq_study_go: row i of the study is trial i. plans[0] is the plan, plans[c] change c's (with field[c]). `z`
 * are the standard normal numbers of the samples, made by cq_lay_numbers and released with cq_lay_numbers_free. */
typedef struct cq_lay_runs {
    const cq_plan *const *plans;
    const cq_lay_field *fields;
    const cq_lay_trial *trial;
    const double *z;
    cq_plan *laid; /* room for one a trial, the source's own */
} cq_lay_runs;
/* Samples that a search draws on: to choose by, and others to tell by. */
size_t cq_lay_samples(const cq_lay_wish *wish);
cq_study_source cq_lay_source(cq_lay_runs *runs);
cq_status cq_lay_numbers(const cq_lay_wish *wish, double **z);
void cq_lay_numbers_free(double *z);

/* ---- the search ---- */

typedef enum cq_lay_end {
    CQ_LAY_FOUND,
    CQ_LAY_SOFT,     /* the edge does not harden under any layout */
    CQ_LAY_THROUGH,  /* hard right through under any clay */
    CQ_LAY_TOO_LOW,  /* wanted below the lowest line there is */
    CQ_LAY_TOO_HIGH, /* wanted above the highest */
    CQ_LAY_GAP,      /* lines lie above and below, none near: it jumps */
    CQ_LAY_EDGE,     /* the line is met, the edge is too soft */
    CQ_LAY_SPINE,    /* the line is met, the spine is too hard */
    CQ_LAY_PALE,     /* the line is met, and is faint, broken, or the spine is hard too */
    CQ_LAY_FAILED    /* no run ended */
} cq_lay_end;

/* A layout with what the plan as written makes of it and what the samples do. */
typedef struct cq_lay_choice {
    cq_layout layout;
    double value[CQ_FIGURES];
    cq_chance chance;                              /* of meeting the whole wish */
    size_t low, high, no_line, too_hard, too_soft; /* samples that miss, by the first that is so: line below, above,
                                           none or of no use, spine too hard, edge too soft */
    double line_low_m, line_high_m;                /* of the samples that have a line: nine in ten lie between */
} cq_lay_choice;

/* A change of the plan that makes the wish reachable. */
typedef struct cq_lay_way {
    size_t change; /* from 0 */
    cq_layout layout;
    double value[CQ_FIGURES];
} cq_lay_way;

enum { CQ_LAY_WAYS = 16 };
typedef struct cq_lay {
    cq_lay_wish wish;
    cq_lay_end end;
    size_t choices_n; /* 0 unless found; the best first, then the runner-up if there is one */
    cq_lay_choice choice[2];
    /* of all layouts tried with the plan as written; NaN: none */
    double lowest_m, highest_m; /* lines */
    size_t hard_through, no_edge, with_line;
    bool has_nearest; /* of those with a line, or hard and soft side of a jump */
    cq_layout nearest, lowest, highest;
    double nearest_value[CQ_FIGURES], lowest_value[CQ_FIGURES];
    double best_edge_HV, best_spine_HV; /* hardest edge and softest spine among layouts that meet the line; NaN: none */
    size_t layouts, runs;               /* tried, trials asked for */
    size_t ways_n;
    cq_lay_way way[CQ_LAY_WAYS];  /* changes that reach it, in the order given */
    char message[CQ_ROW_MESSAGE]; /* of the first failed run */
} cq_lay;

/* Find it. fields[0] of the plan, fields[c] of change c; changes are tried only where the wish is not reached. */
cq_status cq_lay_find(const cq_lay_wish *wish, const cq_lay_field *fields, size_t changes, const cq_lay_trier *trier,
                      cq_lay *lay, cq_error *error);

/* Does a row meet the wish, its line within `within_m`? */
bool cq_lay_meets(const cq_row *row, const cq_lay_wish *wish, double within_m, bool tempered);

#endif
