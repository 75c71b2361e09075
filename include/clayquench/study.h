/* study.h - many runs: what is kept of each, and worker threads that make them.
 *
 * A study is a list of runs, numbered from 0. A source makes the plan of each; the runner carries them out on worker
 * threads and puts one row per run into a table. What a row holds does not depend on the number of threads or on the
 * order in which runs end. Runs know nothing of each other.
 */
#ifndef CLAYQUENCH_STUDY_H
#define CLAYQUENCH_STUDY_H

#include <clayquench/quench.h>
#include <stdint.h>

/* Figures kept of every run: enumerator, name, unit, words. SI; NaN where a value does not apply. One list gives enum,
 * columns of files and heads of tables. New figures go to the end. */
#define CQ_FIGURE_LIST(X)                                                                                              \
    X(LINE, "line_surface_m", "m", "line above the edge flat, the lower face's")                                       \
    X(LINE_LEFT, "line_left_m", "m", "line on the left face")                                                          \
    X(LINE_RIGHT, "line_right_m", "m", "line on the right face")                                                       \
    X(LINE_MID, "line_mid_m", "m", "line on the mid-plane")                                                            \
    X(LINE_GROUND, "line_ground_m", "m", "line after grinding")                                                        \
    X(BAND_90, "line_band90_m", "m", "foot of the transition band: 90 % of the edge's martensite")                     \
    X(BAND_10, "line_band10_m", "m", "top of the transition band: 10 % of the edge's martensite")                      \
    X(VERDICT, "verdict", "1", "a cq_verdict")                                                                         \
    X(CONTRAST, "contrast_HV", "HV", "edge minus spine")                                                               \
    X(EDGE_HV, "edge_HV", "HV", "edge as quenched")                                                                    \
    X(EDGE_HRC, "edge_HRC", "HRC", "edge as quenched")                                                                 \
    X(BODY_HV, "body_HV", "HV", "body as quenched")                                                                    \
    X(SPINE_HV, "spine_HV", "HV", "spine as quenched")                                                                 \
    X(EDGE_TEMPER_HV, "edge_temper_HV", "HV", "edge after temper")                                                     \
    X(EDGE_TEMPER_HRC, "edge_temper_HRC", "HRC", "edge after temper")                                                  \
    X(SPINE_TEMPER_HV, "spine_temper_HV", "HV", "spine after temper")                                                  \
    X(EDGE_MARTENSITE, "edge_martensite", "1", "martensite at the edge")                                               \
    X(EDGE_AUSTENITE, "edge_retained_austenite", "1", "retained austenite at the edge")                                \
    X(BODY_MARTENSITE, "body_martensite", "1", "martensite at mid-height")                                             \
    X(SPINE_MARTENSITE, "spine_martensite", "1", "martensite at the spine")                                            \
    X(EDGE_T500, "edge_t500_s", "s", "edge below 500 degC")                                                            \
    X(BODY_T500, "body_t500_s", "s", "body below 500 degC")                                                            \
    X(SPINE_T500, "spine_t500_s", "s", "spine below 500 degC")                                                         \
    X(FILM_EDGE, "film_edge_s", "s", "collapse of the vapour film at the edge")                                        \
    X(FILM_BODY, "film_body_s", "s", "collapse of the vapour film at the body")                                        \
    X(GRAIN, "grain_ASTM", "1", "grain number after the soak, edge")                                                   \
    X(CARBON, "carbon_in_solution_wt", "wt %", "carbon in solution after the soak, edge")                              \
    X(IMBALANCE, "energy_imbalance", "1", "how far the energy is from closing")                                        \
    X(RISE, "curve_rise_m", "m", "rise of the blade's curve, toward the spine")                                        \
    X(SIDE_BEND, "side_bend_m", "m", "bend toward the right")                                                          \
    X(CRACK, "crack_class", "1", "0 low, 1 medium, 2 high")                                                            \
    X(CRACK_INDEX, "crack_index_MPa", "MPa", "crack index, which ranks quenches")                                      \
    X(CRACK_TIME, "crack_time_s", "s", "when it was within a twentieth of that")                                       \
    X(CRACK_SINCE, "crack_since_s", "s", "when its class began, if not low")                                           \
    X(EDGE_FACE_HV, "edge_face_HV", "HV", "what a file meets at the edge's face as quenched")                          \
    X(RISE_TEMPERED, "curve_tempered_m", "m", "curve after the plan's tempers")                                        \
    X(OIL_ALONE, "direction_only", "1", "1: of the curve the direction alone is to be trusted")

typedef enum cq_figure {
#define CQ_FIGURE_ENUM(name, column, unit, words) CQ_FIGURE_##name,
    CQ_FIGURE_LIST(CQ_FIGURE_ENUM)
#undef CQ_FIGURE_ENUM
        CQ_FIGURES
} cq_figure;

const char *cq_figure_name(cq_figure figure); /* "line_surface_m" */
const char *cq_figure_unit(cq_figure figure);
const char *cq_figure_words(cq_figure figure);
/* The figures of a finished run. */
void cq_figures_of(const cq_result *result, double value[CQ_FIGURES]);

/* A run's row. FAILED: the message says why, figures are NaN. */
typedef enum cq_row_state { CQ_ROW_OPEN, CQ_ROW_DONE, CQ_ROW_FAILED } cq_row_state;
enum { CQ_ROW_MESSAGE = 192 };
typedef struct cq_row {
    cq_row_state state;
    double value[CQ_FIGURES];
    char message[CQ_ROW_MESSAGE]; /* failed: place, what was found, what was expected; done: "", in a file of lay the
                                     layout that was run */
} cq_row;

/* One row per run; `inputs` are what was varied, inputs_n numbers a run (run's index * inputs_n + input). Rows of runs
 * that are not this part's stay open. */
typedef struct cq_study_table {
    size_t runs_n, inputs_n;
    cq_row *row;
    double *inputs;
} cq_study_table;

cq_status cq_study_table_create(cq_study_table **table, size_t runs_n, size_t inputs_n, cq_error *error);
void cq_study_table_free(cq_study_table *table);
/* Rows of the first `n` runs in a state. */
size_t cq_study_table_count(const cq_study_table *table, size_t n, cq_row_state state);

/* Makes plans. `plan` is called by several threads at once, for a run once: it fills *plan, valid until `release` with
 * the same index, and may add complaints, which make the row's message if it fails. */
typedef struct cq_study_source {
    cq_status (*plan)(void *context, size_t run, cq_plan *plan, cq_error *error);
    void (*release)(void *context, size_t run, cq_plan *plan);
    void *context;
} cq_study_source;

/* Hears of what is done. `keep` is called for each row that was filled, one call at a time, in whatever order runs end;
 * a failure of it ends the study. `go_on` is called on the calling thread some ten times a second and after each
 * block; false ends the study, runs under way are given up. `enough` is called when every run before `through` has its
 * row (of all parts: only for a study in one part), true ends the study there. Any of them may be NULL. */
typedef struct cq_study_sink {
    cq_status (*keep)(void *context, size_t run, const cq_row *row, cq_error *error);
    bool (*go_on)(void *context, size_t done, size_t planned);
    bool (*enough)(void *context, size_t through);
    void *context;
} cq_study_sink;

typedef struct cq_study_options {
    int threads;        /* 0: one per core */
    size_t part, parts; /* this share of the runs: run % parts == part - 1; parts 0 or 1: all */
    size_t block;       /* `enough` is asked after every so many runs; 0: never */
    bool skip_curve;    /* no mechanics: curve and crack figures stay NaN, and cost nothing */
} cq_study_options;

/* Carry out every open run of the table (those with a row already are taken as they are). CQ_ERR_CANCELLED if go_on
 * said so; failed runs are rows and no failure of the study. */
cq_status cq_study_go(cq_study_table *table, const cq_study_source *source, const cq_study_options *options,
                      const cq_study_sink *sink, cq_error *error);

/* ---- what a study is about: enough to know that two files belong together ---- */

/* A thing that was varied. Words: the values as written (compare, map), one per value; none for a spread, whose inputs
 * are numbers. */
typedef struct cq_study_axis {
    const char *key, *unit, *meaning;
    size_t n;
    const char *const *words;
} cq_study_axis;

typedef struct cq_study_about {
    const char *kind; /* "compare", "spread", "map" */
    size_t plans_n;
    const char *const *plan_names, *const *plan_texts; /* title or file name; text as read */
    size_t profiles_n;
    const char *const *profile_names, *const *profile_texts;
    size_t axes_n; /* as many as the table has inputs */
    const cq_study_axis *axes;
    size_t runs_n;
    uint64_t seed;
    const char *settings; /* everything else that decides the answers, as one text; "" if nothing */
    size_t part, parts;   /* 1 of 1: whole */
} cq_study_about;

#endif
