/* spread.c - the command that shows what the tolerances of a plan do to its answer. */
#include "cli/studying.h"

#include "base/units.h"

#include <clayquench/report_spread.h>
#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { FOLDER, SAMPLES, SEED, PRECISION, THREADS, PART, YES, JSON, CSV, UNITS, QUIET };
static const cq_option options[] = {
    [FOLDER] = {"output", 'o', "DIR", "keep the study in DIR, with spread.json, spread.csv and pictures"},
    [SAMPLES] = {"samples", 0, "N", "how many blades; without it until precise, 1000 at most"},
    [SEED] = {"seed", 0, "N", "another sequence of samples; absent: 1"},
    [PRECISION] = {"precision", 0, "LENGTH", "stop when the line is known to this; absent: \"0.2 mm\""},
    [THREADS] = {"threads", 0, "N", "worker threads; absent: one per core"},
    [PART] = {"part", 0, "I/N", "make only this share of the samples; join them with 'merge'"},
    [YES] = {"yes", 0, NULL, "more than a million samples are meant"},
    [JSON] = {"json", 0, NULL, "print one JSON object on stdout instead of the screen"},
    [CSV] = {"csv", 0, NULL, "print every sample as comma-separated values instead"},
    [UNITS] = {"units", 0, "UNITS", "units of the screen: metric (default) or us"},
    [QUIET] = {"quiet", 'q', NULL, "no screen and no progress, complaints only"},
    {0},
};

/* With --precision alone: where it ends even if it is not reached. */
enum { MOST_WITH_PRECISION = 20000, MANY_SAMPLES = 1000000 };

/* Everything a spread is told from. Made by this call, or read from a file. */
typedef struct work {
    cq_plan plan;
    bool has_plan;
    cq_uncertain inputs[CQ_UNCERTAINS];
    size_t inputs_n;
    cq_spread_wish wish;
    cq_unit_system units;
    cq_study_table *table; /* made here; a file's is in `read` */
    cq_study_read *read;
} work;

/* ---- what was typed ---------------------------------------------------------------------------------------------- */

static bool read_number(const char *option, const char *word, unsigned long long least, unsigned long long *value) {
    char *end = NULL;
    errno = 0;
    const bool digit = word[0] >= '0' && word[0] <= '9';
    *value = digit ? strtoull(word, &end, 10) : 0;
    if (!digit || *end != '\0' || errno != 0 || *value < least || *value > (unsigned long long)INT64_MAX) {
        fprintf(stderr, "clayquench spread: error: --%s '%s'; expected a whole number%s\n", option, word,
                least > 0 ? " from 1 on" : "");
        return false;
    }
    return true;
}

/* Samples, seed and precision. */
static bool read_wish(const cq_call *call, cq_spread_wish *wish) {
    unsigned long long samples = CQ_SPREAD_SAMPLES, seed = 1;
    const char *const *value = call->value;
    if ((value[SAMPLES] != NULL && !read_number("samples", value[SAMPLES], 1, &samples)) ||
        (value[SEED] != NULL && !read_number("seed", value[SEED], 0, &seed))) {
        return false;
    }
    *wish = (cq_spread_wish){(size_t)samples, seed, value[SAMPLES] == NULL ? CQ_SPREAD_PRECISION_M : 0.0};
    if (value[PRECISION] != NULL) {
        if (!cq_quantity_wanted("spread", "precision", value[PRECISION], CQ_DIM_LENGTH, &wish->precision_m)) {
            return false;
        }
        if (!(wish->precision_m > 0.0)) {
            fprintf(stderr, "clayquench spread: error: --precision '%s'; expected a length above 0\n",
                    value[PRECISION]);
            return false;
        }
        wish->samples = value[SAMPLES] == NULL ? MOST_WITH_PRECISION : wish->samples;
    }
    return true;
}

static bool read_call(const cq_call *call, work *w, cq_studying *studying) {
    const char *const *value = call->value;
    *studying = (cq_studying){.command = "spread",
                              .folder = value[FOLDER],
                              .threads = value[THREADS],
                              .part = value[PART],
                              .yes = value[YES],
                              .quiet = value[QUIET] != NULL};
    if (!cq_units_wanted("spread", value[UNITS], &w->units) || !cq_studying_read(studying) ||
        !read_wish(call, &w->wish)) {
        return false;
    }
    if (value[JSON] != NULL && value[CSV] != NULL) {
        fputs("clayquench spread: error: --json and --csv; expected one of them\n", stderr);
        return false;
    }
    if (value[PART] != NULL && (value[SAMPLES] == NULL || value[PRECISION] != NULL)) {
        fputs("clayquench spread: error: --part needs --samples, and no --precision: no part knows when the others are "
              "enough\n",
              stderr);
        return false;
    }
    studying->options.skip_curve = true; /* a third of a run, and nothing of it is told */
    studying->options.block = w->wish.precision_m > 0.0 ? CQ_SPREAD_BLOCK : 0;
    return true;
}

/* ---- telling ----------------------------------------------------------------------------------------------------- */

/* What the pictures are drawn from. */
typedef struct shown {
    const cq_spread *spread;
    const cq_result *planned;
    int *drawn; /* pictures there are, in all formats */
} shown;

static const char *stem_of(int picture) {
    return cq_spread_picture_stem((cq_spread_picture)picture);
}

static cq_status draw(const void *of, int picture, cq_picture_format format, unsigned char **bytes, size_t *length,
                      cq_error *error) {
    const shown *s = of;
    (void)error;
    const cq_status status =
        cq_spread_picture_draw(s->spread, s->planned, (cq_spread_picture)picture, format, bytes, length);
    *s->drawn += status >= 0 ? 1 : 0;
    return status;
}

static cq_status write_folder(const shown *s, const char *json, const char *csv, const char *folder, cq_error *error) {
    char path[4096];
    cq_status status = cq_folder_make(folder, error);
    status = status < 0 ? status : cq_output_json(folder, "spread", json, error); /* tells a path that is too long */
    snprintf(path, sizeof path, "%.4000s/spread.csv", folder);
    status = status < 0 ? status : cq_file_write(path, csv, strlen(csv), error);
    return status < 0 ? status : cq_output_pictures(folder, &(cq_gallery){CQ_SPREAD_PICTURES, stem_of, draw, s}, error);
}

static cq_status tell(const cq_call *call, const work *w, const cq_spread *spread, const cq_result *planned,
                      cq_error *error) {
    const char *folder = call->value[FOLDER];
    const bool text = call->value[JSON] == NULL && call->value[CSV] == NULL;
    const bool quiet = text && call->value[QUIET] != NULL;
    char *json = NULL, *csv = NULL, *screen = NULL;
    int drawn = 0;
    cq_status status = cq_spread_json(spread, &json);
    status = status < 0 ? status : cq_spread_csv(spread, &csv);
    status = status < 0 ? status : cq_spread_screen(spread, w->units, &screen);
    if (status >= 0 && !quiet) {
        fputs(call->value[JSON] != NULL ? json : call->value[CSV] != NULL ? csv : screen, stdout);
        fflush(stdout);
    }
    if (folder != NULL && status >= 0) {
        status = write_folder(&(shown){spread, planned, &drawn}, json, csv, folder, error);
    }
    if (folder != NULL && status >= 0 && text && !quiet) {
        printf(drawn > 0 ? "Written to %s: study.h5, spread.json, spread.csv and pictures.\n"
                         : "Written to %s: study.h5, spread.json and spread.csv; nothing to draw.\n",
               folder);
    }
    cq_text_free(json);
    cq_text_free(csv);
    cq_text_free(screen);
    return status;
}

/* The plan as written is run once more beside its samples: for its answer and for the section. */
static int conclude(const cq_call *call, const work *w, const cq_study_table *table, size_t samples) {
    cq_error error = CQ_ERROR_INIT;
    cq_run *run = NULL;
    cq_spread *spread = NULL;
    const bool ran = w->has_plan && cq_run_create(&run, &w->plan, &(cq_run_options){0}, &error) >= 0 &&
                     cq_run_go(run, NULL, &error) >= 0;
    const cq_result *planned = ran ? cq_run_result(run) : NULL;
    cq_complaints_print(&error); /* a plan that fails as written may do with other values */
    cq_error_clear(&error);
    const cq_spread_rows rows = {table,       samples, w->inputs,
                                 w->inputs_n, planned, w->read != NULL ? w->read->about.plan_names[0] : w->plan.title};
    cq_status status = cq_spread_create(&spread, &rows, &w->wish);
    status = status < 0 ? status : tell(call, w, spread, planned, &error);
    cq_spread_free(spread);
    cq_run_free(run);
    return cq_exit_complaining(status, &error);
}

/* ---- making the samples ------------------------------------------------------------------------------------------ */

static cq_status prepare(const cq_call *call, work *w, cq_error *error) {
    char path[512], idle[256];
    cq_status status = cq_plan_read(&w->plan, cq_path_of(call->operands[0], "plan", path), cq_search_default(), error);
    if (status < 0) {
        return status;
    }
    w->has_plan = true;
    w->inputs_n = cq_uncertain_of(&w->plan, w->inputs);
    if (w->inputs_n == 0) {
        return cq_error_say(error, CQ_ERR_PLAN, "tolerances", "one uncertain input or more",
                            "take the zeros out; 'quench' answers a plan that is certain", "nothing that is uncertain");
    }
    if (cq_uncertain_idle(&w->plan, idle, sizeof idle)[0] != '\0') {
        fprintf(stderr, "clayquench spread: note: tolerances that act on nothing in this plan: %s\n", idle);
    }
    return CQ_OK;
}

static int make(const cq_call *call, work *w, const cq_studying *studying) {
    cq_error error = CQ_ERROR_INIT;
    cq_status status = prepare(call, w, &error);
    if (status >= 0 && w->wish.samples > MANY_SAMPLES && studying->yes == NULL) { /* before memory is taken */
        fprintf(stderr, "clayquench spread: error: %zu samples, more than a million; --yes if that is meant\n",
                w->wish.samples);
        return CQ_EXIT_USAGE;
    }
    status = status < 0 ? status : cq_study_table_create(&w->table, w->wish.samples, w->inputs_n, &error);
    status = status < 0 ? status : cq_spread_fill(w->table, w->inputs, w->inputs_n, w->wish.seed);
    if (status < 0) {
        return cq_exit_complaining(status, &error);
    }
    char settings[CQ_SPREAD_SETTINGS];
    cq_study_axis axes[CQ_UNCERTAINS];
    for (size_t k = 0; k < w->inputs_n; k++) {
        const cq_uncertain_kind kind = w->inputs[k].kind;
        axes[k] = (cq_study_axis){cq_uncertain_key(kind), cq_uncertain_unit(kind), cq_uncertain_words(kind), 0, NULL};
    }
    const cq_plan *plan = &w->plan;
    cq_study_about about = cq_studying_about("spread", plan);
    about.axes_n = w->inputs_n;
    about.axes = axes;
    about.runs_n = w->wish.samples;
    about.seed = w->wish.seed;
    about.settings = cq_spread_settings_write(w->inputs, w->inputs_n, &w->wish, settings);
    if (studying->options.parts > 1) {
        about.part = studying->options.part;
        about.parts = studying->options.parts;
    }
    cq_spreading spreading = {plan, w->inputs, w->inputs_n, w->table, w->wish.precision_m};
    const cq_study_source source = cq_spread_source(&spreading);
    size_t samples = 0;
    const int code = cq_studying_go(studying, &about, w->table, &source,
                                    w->wish.precision_m > 0.0 ? cq_spread_enough : NULL, &spreading, &samples);
    if (code != CQ_EXIT_DONE) {
        return code;
    }
    if (about.parts > 1) {
        printf("Part %zu of %zu is in %s/study.h5; 'clayquench merge' joins the parts.\n", about.part, about.parts,
               studying->folder);
        return CQ_EXIT_DONE;
    }
    return conclude(call, w, w->table, samples);
}

/* ---- reading a study --------------------------------------------------------------------------------------------- */

static bool is_unchanged(const cq_plan *plan, const char *profile, const char *text) {
    for (size_t p = 0; p < plan->profiles_n; p++) {
        if (strcmp(plan->profile_names[p], profile) == 0) {
            return strcmp(plan->profile_texts[p], text) == 0;
        }
    }
    return false;
}

/* The plan out of the file, if its profiles are still those it was made with. */
static void recall_plan(work *w) {
    const cq_study_about *about = &w->read->about;
    cq_error ignored = CQ_ERROR_INIT;
    const char *text = about->plan_texts[0];
    const cq_status status = cq_plan_read_text(&w->plan, text, strlen(text), "", ".", cq_search_default(), &ignored);
    cq_error_clear(&ignored);
    w->has_plan = status >= 0 && w->plan.profiles_n == about->profiles_n;
    for (size_t p = 0; w->has_plan && p < about->profiles_n; p++) {
        w->has_plan = is_unchanged(&w->plan, about->profile_names[p], about->profile_texts[p]);
    }
    if (!w->has_plan) {
        fputs("clayquench spread: note: the plan's profiles are not here as they were: no answer as planned and no "
              "section\n",
              stderr);
    }
}

static int recall(const cq_call *call, work *w) {
    cq_error error = CQ_ERROR_INIT;
    const char *path = call->operands[0];
    if (call->value[SAMPLES] != NULL || call->value[SEED] != NULL || call->value[PRECISION] != NULL ||
        call->value[PART] != NULL) {
        fprintf(stderr, "clayquench spread: error: '%s' is a study that was made; its samples are as they are\n", path);
        return CQ_EXIT_USAGE;
    }
    cq_status status = cq_study_file_read(&w->read, path, &error);
    if (status >= 0 && (strcmp(w->read->about.kind, "spread") != 0 || w->read->about.plans_n != 1 ||
                        cq_spread_settings_read(w->read->about.settings, w->inputs, &w->inputs_n, &w->wish) < 0 ||
                        w->inputs_n != w->read->table->inputs_n)) {
        status = cq_error_say(&error, CQ_ERR_FORMAT, "", "a study made by 'clayquench spread'", "", "'%.100s', a %.20s",
                              path, w->read->about.kind);
    } else if (status >= 0 && w->read->about.parts > 1) {
        status = cq_error_say(&error, CQ_ERR_FORMAT, "", "a whole study", "join the parts with 'clayquench merge'",
                              "'%.100s', part %zu of %zu", path, w->read->about.part, w->read->about.parts);
    }
    if (status < 0) {
        return cq_exit_complaining(status, &error);
    }
    cq_study_table *table = w->read->table;
    const size_t samples = w->read->ended > 0 ? w->read->ended : table->runs_n;
    const size_t open = cq_study_table_count(table, samples, CQ_ROW_OPEN);
    w->wish.seed = w->read->about.seed;
    if (open > 0) {
        fprintf(stderr,
                "clayquench spread: note: %zu of %zu samples are not made yet; the command that began goes on\n", open,
                samples);
    }
    recall_plan(w);
    return conclude(call, w, table, samples);
}

static bool is_study(const char *word) {
    const size_t n = strlen(word);
    return n > 3 && strcmp(word + n - 3, ".h5") == 0;
}

static int run(const cq_call *call) {
    work w = {.inputs_n = 0};
    cq_studying studying;
    if (!read_call(call, &w, &studying)) {
        return CQ_EXIT_USAGE;
    }
    cq_plan_init(&w.plan);
    cq_interrupt_watch();
    const int code = is_study(call->operands[0]) ? recall(call, &w) : make(call, &w, &studying);
    cq_study_table_free(w.table);
    cq_study_read_free(w.read);
    cq_plan_clear(&w.plan);
    return code;
}

const cq_command cq_command_spread = {
    .name = "spread",
    .operands = "PLAN",
    .operands_min = 1,
    .operands_max = 1,
    .summary = "what the tolerances do to the answer",
    .description =
        "Makes many blades whose clay, heat, bath, steel and section differ from PLAN as its tolerances: say\n"
        "(what it does not state differs as is usual), and tells where the line comes to lie in nine of ten,\n"
        "how often the edge is hard, and what matters most. The same command with the same DIR goes on where\n"
        "it was interrupted. In place of PLAN a study.h5 made by 'spread' or 'merge' is read and told.\n",
    .options = options,
    .run = run,
};
