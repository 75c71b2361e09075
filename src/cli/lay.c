/* lay.c - the command that finds the clay for a wanted line. */
#include "cli/lay_work.h"

#include "hardness/hardness.h"
#include "io/hardness_text.h"

#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { FOLDER, LINE, WITHIN, EDGE, SPINE, FREE, STEP, THINNEST, THICKEST, SAMPLES, SEED, THREADS, JSON, UNITS, QUIET };
static const cq_option options[] = {
    [FOLDER] = {"output", 'o', "DIR", "write the plan found, lay.json and pictures; keep the runs"},
    [LINE] = {"line", 0, "LENGTH", "height of the line above the edge flat: \"8 mm\", \"5/16 in\""},
    [WITHIN] = {"within", 0, "LENGTH", "by how much it may miss; absent: \"0.5 mm\""},
    [EDGE] = {"edge", 0, "HARDNESS", "at least: \"60 HRC\", \"700 HV at least\"; after the plan's tempers"},
    [SPINE] = {"spine", 0, "HARDNESS", "at most: \"400 HV\", \"42 HRC at most\"; after the plan's tempers"},
    [FREE] = {"free", 0, "LIST", "what may differ too: bath-temperature, pull-time, sides"},
    [STEP] = {"step", 0, "LENGTH", "what the hand can measure; absent: \"0.25 mm\", 1/64 in with us"},
    [THINNEST] = {"thinnest", 0, "LENGTH", "of the body's clay; absent: \"0.5 mm\""},
    [THICKEST] = {"thickest", 0, "LENGTH", "of the body's clay; absent: \"3 mm\""},
    [SAMPLES] = {"samples", 0, "N", "blades the chance is told by, 5 to 2000; absent: 100"},
    [SEED] = {"seed", 0, "N", "another sequence of samples; absent: 1"},
    [THREADS] = {"threads", 0, "N", "worker threads; absent: one per core"},
    [JSON] = {"json", 0, NULL, "print one JSON object on stdout instead of the screen"},
    [UNITS] = {"units", 0, "UNITS", "units of the screen: metric (default) or us"},
    [QUIET] = {"quiet", 'q', NULL, "no screen and no progress"},
    {0},
};

enum { SETTINGS = 2048 };
typedef struct work {
    cq_plan plan;
    cq_lay_wish wish;
    cq_unit_system units;
    cq_lay_changes changes;
    size_t changes_n; /* of them, those the search can use: plans and fields from 1 on */
    const char *words[CQ_LAY_CHANGES];
    const cq_plan *plans[1 + CQ_LAY_CHANGES];
    cq_lay_field fields[1 + CQ_LAY_CHANGES];
    double *z;
    char settings[SETTINGS];
    char path[512];
} work;

/* ---- what was typed ---------------------------------------------------------------------------------------------- */

/* "60 HRC" or "700 HV", as is or with "at least" or "at most" (`bound`) behind it, to HV. */
static bool read_hardness(const char *option, const char *bound, const char *word, double *HV) {
    char scale[32];
    double number = NAN;
    bool rockwell = false;
    size_t n = strlen(word);
    if (n > strlen(bound) && strcmp(word + n - strlen(bound), bound) == 0) {
        n -= strlen(bound);
    }
    while (n > 0 && word[n - 1] == ' ') {
        n--;
    }
    snprintf(scale, sizeof scale, "%.*s", (int)n, word);
    const bool read = n < sizeof scale && cq_hardness_scale(scale, &number, &rockwell);
    *HV = !read ? NAN : rockwell ? cq_hardness_HV(number) : number > 0.0 && number < 2000.0 ? number : NAN;
    if (!isfinite(*HV)) {
        fprintf(stderr,
                "clayquench lay: error: --%s '%s'; expected a hardness, for instance 60 HRC (20 to 68) or 700 HV, %s\n",
                option, word, bound);
    }
    return isfinite(*HV);
}

static bool read_count(const char *option, const char *word, unsigned long long least, unsigned long long *value) {
    char *end = NULL;
    errno = 0;
    const bool digit = word[0] >= '0' && word[0] <= '9';
    *value = digit ? strtoull(word, &end, 10) : 0;
    if (!digit || *end != '\0' || errno != 0 || *value < least || *value > (unsigned long long)INT64_MAX) {
        fprintf(stderr, "clayquench lay: error: --%s '%s'; expected a whole number%s\n", option, word,
                least > 0 ? " from 1 on" : "");
        return false;
    }
    return true;
}

static bool read_free(const char *list, cq_lay_wish *w) {
    while (*list != '\0') {
        list += strspn(list, ", ");
        const size_t n = strcspn(list, ", ");
        bool *const flags[] = {&w->free_bath, &w->free_pull, &w->free_sides};
        static const char *const words[] = {"bath-temperature", "pull-time", "sides"};
        bool known = n == 0;
        for (int k = 0; k < 3; k++) {
            if (n == strlen(words[k]) && strncmp(list, words[k], n) == 0) {
                *flags[k] = known = true;
            }
        }
        if (!known) {
            fprintf(stderr,
                    "clayquench lay: error: --free '%.*s'; expected bath-temperature, pull-time, sides, with commas\n",
                    (int)n, list);
            return false;
        }
        list += n;
    }
    return true;
}

static bool read_lengths(const cq_call *call, work *w) {
    const char *const *value = call->value;
    const struct {
        int option;
        double *to, absent_m;
    } lengths[] = {{LINE, &w->wish.line_m, NAN},
                   {WITHIN, &w->wish.within_m, CQ_LAY_WITHIN_M},
                   {STEP, &w->wish.step_m, w->units == CQ_UNITS_US ? 0.0254 / 64.0 : CQ_LAY_STEP_M},
                   {THINNEST, &w->wish.thinnest_m, CQ_LAY_THINNEST_M},
                   {THICKEST, &w->wish.thickest_m, CQ_LAY_THICKEST_M}};
    for (size_t k = 0; k < sizeof lengths / sizeof lengths[0]; k++) {
        const int o = lengths[k].option;
        *lengths[k].to = lengths[k].absent_m;
        if (o == LINE && strstr(value[o], " at ") != NULL) {
            fprintf(stderr,
                    "clayquench lay: error: --line '%s'; expected one height, for instance \"8 mm\": a plan is one "
                    "section. For the tip ask again with a plan of the tip's section\n",
                    value[o]);
            return false;
        }
        if (value[o] != NULL && !cq_quantity_wanted("lay", options[o].name, value[o], CQ_DIM_LENGTH, lengths[k].to)) {
            return false;
        }
    }
    return true;
}

static bool read_call(const cq_call *call, work *w, cq_studying *studying) {
    const char *const *value = call->value;
    unsigned long long samples = CQ_LAY_SAMPLES, seed = 1;
    *studying = (cq_studying){
        .command = "lay", .folder = value[FOLDER], .threads = value[THREADS], .quiet = value[QUIET] != NULL};
    if (value[LINE] == NULL) {
        fputs("clayquench lay: error: --line is missing: where the line is wanted, for instance --line \"8 mm\"\n",
              stderr);
        return false;
    }
    if (!cq_units_wanted("lay", value[UNITS], &w->units) || !cq_studying_read(studying) || !read_lengths(call, w) ||
        (value[EDGE] != NULL && !read_hardness("edge", "at least", value[EDGE], &w->wish.edge_HV)) ||
        (value[SPINE] != NULL && !read_hardness("spine", "at most", value[SPINE], &w->wish.spine_HV)) ||
        (value[FREE] != NULL && !read_free(value[FREE], &w->wish)) ||
        (value[SAMPLES] != NULL && !read_count("samples", value[SAMPLES], 1, &samples)) ||
        (value[SEED] != NULL && !read_count("seed", value[SEED], 0, &seed))) {
        return false;
    }
    w->wish.samples = (size_t)samples;
    w->wish.seed = seed;
    return true;
}

/* ---- preparing --------------------------------------------------------------------------------------------------- */

static bool wish_fits(work *w) {
    cq_error error = CQ_ERROR_INIT;
    const bool fits = cq_lay_wish_check(&w->wish, &w->fields[0], &error) >= 0;
    for (size_t k = 0; k < error.count; k++) {
        fprintf(stderr, "clayquench lay: error: --%s: %s; expected %s\n", error.items[k].key, error.items[k].found,
                error.items[k].expected);
    }
    cq_error_clear(&error);
    return fits;
}

/* Plans and fields of the search; a change without a line to look for is none. */
static void list_changes(work *w) {
    cq_lay_changes *c = &w->changes;
    cq_lay_changes_of(c, w->path, &w->plan);
    w->plans[0] = &w->plan;
    for (size_t k = 0; k < c->n; k++) {
        cq_error ignored = CQ_ERROR_INIT;
        if (cq_lay_field_of(&c->plan[k], &w->fields[1 + w->changes_n], &ignored) >= 0) {
            w->plans[1 + w->changes_n] = &c->plan[k];
            w->words[w->changes_n++] = c->words[k];
        }
        cq_error_clear(&ignored);
    }
}

static void write_settings(work *w) {
    const cq_lay_wish *s = &w->wish;
    size_t n = (size_t)snprintf(w->settings, SETTINGS,
                                "lay 1\nline %.9g within %.9g edge %.6g spine %.6g step %.9g from %.9g to %.9g free "
                                "%d%d%d samples %zu\n",
                                s->line_m, s->within_m, s->edge_HV, s->spine_HV, s->step_m, s->thinnest_m,
                                s->thickest_m, s->free_bath, s->free_pull, s->free_sides, s->samples);
    for (size_t k = 0; k < w->changes_n && n < SETTINGS; k++) {
        n += (size_t)snprintf(w->settings + n, SETTINGS - n, "change %s\n", w->words[k]);
    }
}

/* ---- telling ----------------------------------------------------------------------------------------------------- */

static const char *picture_stem(int picture) {
    return picture == 0 ? "lay-hardness" : "lay-along";
}

static cq_status draw(const void *of, int picture, cq_picture_format format, unsigned char **bytes, size_t *length,
                      cq_error *error) {
    return cq_picture_draw(of, picture == 0 ? CQ_PICTURE_HARDNESS : CQ_PICTURE_ALONG, format, bytes, length, error);
}

/* What was written is read again: it must be the plan that was found, from where it lies now. Profiles that lie beside
 * the first plan only are put beside the new one. */
static cq_status write_plan(const char *folder, const cq_lay_told *told, const cq_plan *laid, cq_error *error) {
    char *text = NULL;
    cq_plan again;
    cq_plan_init(&again);
    cq_error faults = CQ_ERROR_INIT;
    cq_status status = cq_lay_plan_text(told, &text, error);
    if (status < 0) {
        return status;
    }
    cq_status read = cq_plan_read_text(&again, text, strlen(text), "plan.yaml", folder, cq_search_default(), &faults);
    for (size_t p = 0; p < told->plan->profiles_n && read < 0 && status >= 0; p++) {
        char path[4096];
        const char *name = strchr(told->plan->profile_names[p], '-');
        const char *bytes = told->plan->profile_texts[p];
        snprintf(path, sizeof path, "%.3900s/%.100s.yaml", folder, name == NULL ? "" : name + 1);
        status = name == NULL ? CQ_OK : cq_file_write(path, bytes, strlen(bytes), error);
    }
    if (read < 0 && status >= 0) {
        cq_error_clear(&faults);
        read = cq_plan_read_text(&again, text, strlen(text), "plan.yaml", folder, cq_search_default(), &faults);
    }
    bool same = read >= 0 && again.coat.n == laid->coat.n && again.steps_n == laid->steps_n &&
                fabs(again.coat.edge_m - laid->coat.edge_m) < 1e-9 &&
                fabs(again.coat.spine_m - laid->coat.spine_m) < 1e-9;
    for (size_t k = 0; same && k < laid->coat.n; k++) {
        const cq_coat_point *a = &again.coat.points[k], *b = &laid->coat.points[k];
        same = fabs(a->at_m - b->at_m) < 1e-9 && fabs(a->left_m - b->left_m) < 1e-9 &&
               fabs(a->right_m - b->right_m) < 1e-9;
    }
    for (size_t s = 0; same && s < laid->steps_n; s++) {
        same = fabs(again.steps[s].at_K - laid->steps[s].at_K) < 1e-3 &&
               fabs(again.steps[s].for_s - laid->steps[s].for_s) < 1e-6;
    }
    if (status >= 0 && !same) {
        status = cq_error_say(error, CQ_ERR_FORMAT, "clay", "clay and steps written as README.md has them",
                              "lay it into the plan by hand: the layout stands on the screen",
                              "a plan whose text could not be changed");
    }
    status = status < 0 ? status : cq_output_text(folder, "plan", "yaml", text, error);
    cq_error_clear(&faults);
    cq_plan_clear(&again);
    cq_text_free(text);
    return status;
}

static cq_status write_folder(const char *folder, const cq_lay_told *told, const cq_plan *laid, const char *json,
                              cq_error *error) {
    cq_status status = cq_output_json(folder, "lay", json, error);
    if (told->best == NULL) {
        return status;
    }
    status = status < 0 ? status : write_plan(folder, told, laid, error);
    return status < 0 ? status : cq_output_pictures(folder, &(cq_gallery){2, picture_stem, draw, told->best}, error);
}

static cq_status tell(const cq_call *call, const work *w, const cq_lay_told *told, const cq_plan *laid,
                      cq_error *error) {
    const char *folder = call->value[FOLDER];
    const bool text = call->value[JSON] == NULL, quiet = text && call->value[QUIET] != NULL;
    char *json = NULL, *screen = NULL;
    cq_status status = cq_lay_json(told, &json);
    status = status < 0 ? status : cq_lay_screen(told, w->units, &screen);
    if (status >= 0 && !quiet) {
        fputs(call->value[JSON] != NULL ? json : screen, stdout);
        fflush(stdout);
    }
    status = status < 0 || folder == NULL ? status : write_folder(folder, told, laid, json, error);
    if (status >= 0 && folder != NULL && text && !quiet) {
        printf(told->best != NULL ? "Written to %s: plan.yaml for 'quench', lay.json, pictures, study.h5.\n"
                                  : "Written to %s: lay.json, study.h5.\n",
               folder);
    }
    cq_text_free(json);
    cq_text_free(screen);
    return status;
}

/* The layout found is quenched once more, curve and crack with it. */
static int conclude(const cq_call *call, work *w, const cq_lay *lay) {
    cq_error error = CQ_ERROR_INIT;
    cq_plan laid;
    cq_run *run = NULL;
    cq_plan_init(&laid);
    cq_status status = CQ_OK;
    if (lay->end == CQ_LAY_FOUND) {
        status = cq_layout_plan(&lay->choice[0].layout, &w->fields[0], &w->plan, &laid, &error);
        status = status < 0 ? status : cq_run_create(&run, &laid, &(cq_run_options){0}, &error);
        status = status < 0 ? status : cq_run_go(run, NULL, &error);
    }
    const cq_lay_told told = {lay, &w->plan, &w->fields[0], run == NULL ? NULL : cq_run_result(run), w->words};
    status = status < 0 ? status : tell(call, w, &told, &laid, &error);
    cq_run_free(run);
    cq_plan_clear(&laid);
    const int code = cq_exit_complaining(status, &error);
    return code == CQ_EXIT_DONE && lay->end != CQ_LAY_FOUND ? CQ_EXIT_FAILED : code;
}

static int tell_interrupted(const cq_studying *studying, size_t runs) {
    fprintf(stderr, "clayquench: interrupted after %zu runs", runs);
    if (studying->folder != NULL) {
        fprintf(stderr, "; they are in %s/study.h5, the same command goes on from there", studying->folder);
    }
    fputs("\n", stderr);
    return CQ_EXIT_INTERRUPTED;
}

static int search(const cq_call *call, work *w, const cq_studying *studying) {
    cq_error error = CQ_ERROR_INIT;
    cq_lay lay;
    write_settings(w);
    cq_study_about about = cq_studying_about("lay", &w->plan);
    about.runs_n = cq_lay_trials_most(&w->wish, w->changes_n);
    about.seed = w->wish.seed;
    about.settings = w->settings;
    cq_lay_making making = {.runs = {.plans = w->plans, .fields = w->fields}};
    cq_status status = cq_lay_numbers(&w->wish, &w->z);
    making.runs.z = w->z;
    status = status < 0 ? status : cq_lay_making_open(&making, studying, &about, &error);
    status = status < 0 ? status
                        : cq_lay_find(&w->wish, w->fields, w->changes_n, &(cq_lay_trier){cq_lay_making_rows, &making},
                                      &lay, &error);
    const size_t runs = making.at;
    const cq_status closed = cq_lay_making_close(&making, status >= 0, &error);
    status = status < 0 ? status : closed;
    if (status == CQ_ERR_CANCELLED) {
        cq_error_clear(&error);
        return tell_interrupted(studying, runs);
    }
    return status < 0 ? cq_exit_complaining(status, &error) : conclude(call, w, &lay);
}

static int make(const cq_call *call, work *w, const cq_studying *studying) {
    cq_error error = CQ_ERROR_INIT;
    cq_status status = cq_studying_plan(call->operands[0], w->path, &w->plan, &error);
    status = status < 0 ? status : cq_lay_field_of(&w->plan, &w->fields[0], &error);
    if (status < 0) {
        return cq_exit_complaining(status, &error);
    }
    cq_error_clear(&error);
    if (!wish_fits(w)) {
        return CQ_EXIT_USAGE;
    }
    list_changes(w);
    return search(call, w, studying);
}

static int run(const cq_call *call) {
    static work w; /* large */
    cq_studying studying;
    memset(&w, 0, sizeof w);
    cq_plan_init(&w.plan);
    if (!read_call(call, &w, &studying)) {
        return CQ_EXIT_USAGE;
    }
    const int code = make(call, &w, &studying);
    cq_lay_numbers_free(w.z);
    cq_lay_changes_clear(&w.changes);
    cq_plan_clear(&w.plan);
    return code;
}

const cq_command cq_command_lay = {
    .name = "lay",
    .operands = "PLAN",
    .operands_min = 1,
    .operands_max = 1,
    .summary = "find the clay for a wanted line",
    .description =
        "Finds a layout that a hand can lay (wash, ramp, body; lengths in steps that can be measured; no rim steeper "
        "than\n"
        "wet clay holds) for a line at the wanted height, and of those that do the one that comes out so most often\n"
        "under the plan's tolerances. Where none does it says why, and what would have to change. Exits with 1 then.\n"
        "With -o the same command goes on where it was interrupted.",
    .options = options,
    .run = run,
};
