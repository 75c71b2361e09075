/* varying.c - see varying.h. */
#include "cli/varying.h"

#include "base/memory.h"

#include <stdint.h>
#include <stdio.h>
#include <string.h>

enum { VARY, JSON, CSV, FOLDER, UNITS, THREADS, PART, YES, QUIET };
const cq_option cq_varying_options[] = {
    [VARY] = {"vary", 0, "KEY=A,B,C", "values or a range for a key of the plan; several times"},
    [JSON] = {"json", 0, NULL, "print one JSON object on stdout instead of the screen"},
    [CSV] = {"csv", 0, NULL, "print one line per run as CSV"},
    [FOLDER] = {"output", 'o', "DIR", "keep study.h5, the answer as JSON and CSV, and the picture in DIR"},
    [UNITS] = {"units", 0, "UNITS", "units of screen and CSV: metric (default) or us"},
    [THREADS] = {"threads", 0, "N", "runs at the same time; absent: one per core"},
    [PART] = {"part", 0, "I/N", "carry out this share of the runs only; needs -o"},
    [YES] = {"yes", 0, NULL, "more than a million runs are meant"},
    [QUIET] = {"quiet", 'q', NULL, "no screen and no progress, complaints only"},
    {0},
};

/* ---- plans for the runner ---------------------------------------------------------------------------------------- */

static cq_status make_plan(void *context, size_t run, cq_plan *plan, cq_error *error) {
    cq_varying *v = context;
    return cq_vary_plan(v->vary[run / v->each], run % v->each, plan, error);
}

static void release_plan(void *context, size_t run, cq_plan *plan) {
    (void)context;
    (void)run;
    cq_plan_clear(plan);
}

/* ---- what the study is about ------------------------------------------------------------------------------------- */

static const char *title_of(const cq_vary *vary) {
    const cq_plan *plan = cq_vary_base(vary);
    return plan->title != NULL && plan->title[0] != '\0' ? plan->title : plan->file;
}

/* A name on one line. */
static const char *on_one_line(cq_varying *v, const char *name) {
    char *kept = cq_arena_text(v->arena, name, strlen(name));
    for (char *p = kept; p != NULL && *p != '\0'; p++) {
        *p = (unsigned char)*p < 0x20 ? ' ' : *p;
    }
    return kept;
}

/* Titles, or file names where two plans have the same title. False when memory is short. */
static bool name_plans(cq_varying *v, const char **names, const char **texts) {
    bool apart = true;
    for (size_t p = 0; p < v->plans_n; p++) {
        for (size_t q = 0; q < p; q++) {
            apart = apart && strcmp(title_of(v->vary[p]), title_of(v->vary[q])) != 0;
        }
    }
    for (size_t p = 0; p < v->plans_n; p++) {
        names[p] = on_one_line(v, apart ? title_of(v->vary[p]) : cq_vary_base(v->vary[p])->file);
        texts[p] = cq_vary_base(v->vary[p])->text;
        if (names[p] == NULL) {
            return false;
        }
    }
    return true;
}

/* Among the others by name, as a study's file gives them back; the name is told apart where another profile has it. */
static bool insert_profile(cq_varying *v, const char **names, const char **texts, size_t n, const char *name,
                           const char *text) {
    size_t to = n, same = 0;
    char own[128];
    for (size_t i = 0; i < n; i++) {
        same += strncmp(names[i], name, strlen(name)) == 0 &&
                (names[i][strlen(name)] == '\0' || names[i][strlen(name)] == ' ');
    }
    snprintf(own, sizeof own, same > 0 ? "%.96s (%zu)" : "%.96s", name, same + 1);
    char *kept = cq_arena_text(v->arena, own, strlen(own));
    while (kept != NULL && to > 0 && strcmp(names[to - 1], kept) > 0) {
        names[to] = names[to - 1];
        texts[to] = texts[to - 1];
        to--;
    }
    names[to] = kept;
    texts[to] = text;
    return kept != NULL;
}

/* Profiles of all plans, one of a name and text once. */
static cq_status gather_profiles(cq_varying *v) {
    size_t room = 0, n = 0;
    const char *const *names, *const *texts;
    for (size_t p = 0; p < v->plans_n; p++) {
        room += cq_vary_profiles(v->vary[p], &names, &texts);
    }
    const char **all_names = cq_arena_take(v->arena, room + 1, sizeof *all_names);
    const char **all_texts = cq_arena_take(v->arena, room + 1, sizeof *all_texts);
    if (all_names == NULL || all_texts == NULL) {
        return CQ_ERR_MEMORY;
    }
    for (size_t p = 0; p < v->plans_n; p++) {
        const size_t these = cq_vary_profiles(v->vary[p], &names, &texts);
        for (size_t i = 0; i < these; i++) {
            bool there = false;
            for (size_t j = 0; j < n; j++) {
                there = there ||
                        (strncmp(all_names[j], names[i], strlen(names[i])) == 0 && strcmp(all_texts[j], texts[i]) == 0);
            }
            if (!there && !insert_profile(v, all_names, all_texts, n++, names[i], texts[i])) {
                return CQ_ERR_MEMORY;
            }
        }
    }
    v->about.profiles_n = n;
    v->about.profile_names = all_names;
    v->about.profile_texts = all_texts;
    return CQ_OK;
}

/* The plan itself is the first axis where there are several. */
static cq_status describe(cq_varying *v, const char *kind, const cq_studying *studying) {
    const cq_vary_axis *vary_axes;
    const size_t varied = cq_vary_axes(v->vary[0], &vary_axes), first = v->plans_n > 1 ? 1 : 0;
    cq_study_axis *axes = cq_arena_take(v->arena, varied + 1, sizeof *axes);
    const char **names = cq_arena_take(v->arena, v->plans_n, sizeof *names);
    const char **texts = cq_arena_take(v->arena, v->plans_n, sizeof *texts);
    if (axes == NULL || names == NULL || texts == NULL || !name_plans(v, names, texts)) {
        return CQ_ERR_MEMORY;
    }
    axes[0] = (cq_study_axis){"plan", "", "the plan", v->plans_n, names};
    for (size_t a = 0; a < varied; a++) {
        axes[first + a] = (cq_study_axis){vary_axes[a].key, vary_axes[a].unit, vary_axes[a].meaning, vary_axes[a].n,
                                          vary_axes[a].words};
    }
    v->about = (cq_study_about){.kind = kind,
                                .plans_n = v->plans_n,
                                .plan_names = names,
                                .plan_texts = texts,
                                .axes_n = first + varied,
                                .axes = axes,
                                .runs_n = v->each * v->plans_n,
                                .settings = "",
                                .part = studying->options.parts > 1 ? studying->options.part : 1,
                                .parts = studying->options.parts > 1 ? studying->options.parts : 1};
    return gather_profiles(v);
}

static void fill_inputs(cq_varying *v) {
    const size_t n = v->table->inputs_n, first = v->plans_n > 1 ? 1 : 0;
    for (size_t run = 0; run < v->table->runs_n; run++) {
        double *input = &v->table->inputs[run * n];
        if (first > 0) {
            input[0] = (double)(run / v->each);
        }
        for (size_t a = first; a < n; a++) {
            input[a] = (double)cq_vary_value(v->vary[0], run % v->each, a - first);
        }
    }
}

static cq_status open_plans(cq_varying *v, const cq_call *call, cq_error *error) {
    const size_t n = (size_t)call->operands_n;
    v->vary = cq_arena_take(v->arena, n, sizeof(cq_vary *));
    cq_status status = v->vary == NULL ? CQ_ERR_MEMORY : CQ_OK;
    for (size_t p = 0; p < n && status >= 0; p++) {
        char path[512];
        status = cq_vary_open(&v->vary[p], cq_path_of(call->operands[p], "plan", path), cq_search_default(), call->many,
                              call->many_n, error);
        v->plans_n += status >= 0 ? 1 : 0;
    }
    return status;
}

static cq_status open_study(cq_varying *v, const cq_call *call, const char *kind, const cq_studying *studying,
                            cq_error *error) {
    cq_status status = open_plans(v, call, error);
    if (status < 0) {
        return status;
    }
    v->each = cq_vary_runs(v->vary[0]);
    if (v->each > SIZE_MAX / v->plans_n) {
        return cq_error_say(error, CQ_ERR_ARGUMENT, "", "fewer values", "", "more runs than can be counted");
    }
    status = describe(v, kind, studying);
    status = status < 0 ? status : cq_study_table_create(&v->table, v->about.runs_n, v->about.axes_n, error);
    if (status >= 0) {
        fill_inputs(v);
        v->source = (cq_study_source){make_plan, release_plan, v};
    }
    return status;
}

static int open_varying(cq_varying *v, const cq_call *call, const char *kind, const cq_studying *studying) {
    cq_error error = CQ_ERROR_INIT;
    memset(v, 0, sizeof *v);
    v->arena = cq_arena_create();
    const cq_status status = v->arena == NULL ? CQ_ERR_MEMORY : open_study(v, call, kind, studying, &error);
    return cq_exit_complaining(status, &error);
}

void cq_varying_close(cq_varying *v) {
    for (size_t n = 0; n < CQ_COMPARE_PANELS; n++) {
        cq_plan_clear((cq_plan *)v->comparison.panel_plan[n]); /* in the arena, ours to clear */
    }
    for (size_t p = 0; p < v->plans_n; p++) {
        cq_vary_close(v->vary[p]);
    }
    cq_study_table_free(v->borrowed ? NULL : v->table);
    cq_arena_free(v->arena);
}

/* ---- what became of it ------------------------------------------------------------------------------------------- */

static bool is_listed(const cq_compare_baths *baths, const char *name, double at_K) {
    for (size_t b = 0; b < baths->n; b++) {
        if (strcmp(baths->name[b], name) == 0 && !(baths->at_K[b] > at_K) && !(baths->at_K[b] < at_K)) {
            return true;
        }
    }
    return false;
}

/* Liquids in order, or the gas where there is nothing else. */
static bool list_baths(cq_varying *v, const cq_plan *plan, cq_compare_baths *baths) {
    for (int pass = 0; pass < 2 && baths->n == 0; pass++) {
        for (size_t s = 0; s < plan->steps_n && baths->n < CQ_COMPARE_BATHS; s++) {
            const cq_step_plan *step = &plan->steps[s];
            const char *name = step->bath.name == NULL ? "own bath" : step->bath.name;
            if ((pass == 0 && step->bath.kind == CQ_BATH_GAS) || is_listed(baths, name, step->at_K)) {
                continue;
            }
            char *kept = cq_arena_text(v->arena, name, strlen(name));
            if (kept == NULL) {
                return false;
            }
            baths->name[baths->n] = kept;
            baths->at_K[baths->n++] = step->at_K;
        }
    }
    return true;
}

static cq_status gather_run(cq_varying *v, size_t run, cq_compare_baths *baths) {
    cq_plan own, *plan = &own;
    if (v->table->row[run].state != CQ_ROW_DONE) {
        return CQ_OK; /* no such plan, or one without an answer */
    }
    if (run < CQ_COMPARE_PANELS) {
        plan = cq_arena_take(v->arena, 1, sizeof *plan);
        if (plan == NULL) {
            return CQ_ERR_MEMORY;
        }
    }
    cq_plan_init(plan);
    cq_status status = make_plan(v, run, plan, NULL);
    if (status < 0) {
        return status;
    }
    v->comparison.cautions = cq_cautions_join(v->comparison.cautions, cq_plan_cautions(plan));
    status = list_baths(v, plan, baths) ? CQ_OK : CQ_ERR_MEMORY;
    if (run < CQ_COMPARE_PANELS) {
        v->comparison.panel_plan[run] = plan;
    } else {
        cq_plan_clear(plan);
    }
    return status;
}

static cq_status gather(cq_varying *v, cq_error *error) {
    cq_compare_baths *baths = cq_arena_take(v->arena, v->table->runs_n, sizeof *baths);
    char several[64];
    snprintf(several, sizeof several, "%zu plans side by side", v->plans_n);
    const char *title = v->plans_n > 1 ? cq_arena_text(v->arena, several, strlen(several)) : v->about.plan_names[0];
    cq_status status = baths == NULL || title == NULL ? CQ_ERR_MEMORY : CQ_OK;
    v->comparison.title = title;
    v->comparison.about = &v->about;
    v->comparison.table = v->table;
    v->comparison.baths = baths;
    for (size_t run = 0; run < v->table->runs_n && status >= 0; run++) {
        status = gather_run(v, run, &baths[run]);
    }
    return status < 0 ? cq_error_say(error, status, "", "", "", "%s", cq_status_sentence(status)) : CQ_OK;
}

static bool told_part(const cq_studying *studying, const cq_varying *v) {
    if (cq_study_table_count(v->table, v->table->runs_n, CQ_ROW_OPEN) == 0) {
        return false;
    }
    fprintf(stderr, "clayquench %s: part %zu of %zu is in %s/study.h5; 'clayquench merge' joins the parts\n",
            studying->command, studying->options.part, studying->options.parts, studying->folder);
    return true;
}

/* ---- a study that was made -----------------------------------------------------------------------------------------
 */

/* "KEY=A,B,C" of every axis but the plan. */
static cq_status specs_of(cq_varying *v, const cq_study_about *about, const char **specs, size_t *n) {
    for (size_t a = 0; a < about->axes_n; a++) {
        const cq_study_axis *axis = &about->axes[a];
        size_t room = strlen(axis->key) + 2;
        if (strcmp(axis->key, "plan") == 0) {
            continue;
        }
        for (size_t w = 0; w < axis->n; w++) {
            room += strlen(axis->words[w]) + 1;
        }
        char *spec = cq_arena_take(v->arena, room, 1);
        if (spec == NULL) {
            return CQ_ERR_MEMORY;
        }
        size_t at = (size_t)snprintf(spec, room, "%s=", axis->key);
        for (size_t w = 0; w < axis->n; w++) {
            at += (size_t)snprintf(spec + at, room - at, "%s%s", w > 0 ? "," : "", axis->words[w]);
        }
        specs[(*n)++] = spec;
    }
    return CQ_OK;
}

static cq_status recall_plans(cq_varying *v, const cq_study_about *about, cq_error *error) {
    const cq_given_profiles given = {about->profiles_n, about->profile_names, about->profile_texts};
    cq_given_profiles *kept = cq_arena_take(v->arena, 1, sizeof *kept);
    const char **specs = cq_arena_take(v->arena, about->axes_n + 1, sizeof *specs);
    size_t specs_n = 0;
    v->vary = cq_arena_take(v->arena, about->plans_n, sizeof(cq_vary *));
    if (kept == NULL || specs == NULL || v->vary == NULL || specs_of(v, about, specs, &specs_n) < 0) {
        return CQ_ERR_MEMORY;
    }
    *kept = given;
    cq_status status = CQ_OK;
    for (size_t p = 0; p < about->plans_n && status >= 0; p++) {
        status =
            cq_vary_open_given(&v->vary[p], about->plan_texts[p], about->plan_names[p], kept, specs, specs_n, error);
        v->plans_n += status >= 0 ? 1 : 0;
    }
    if (status >= 0) {
        v->each = cq_vary_runs(v->vary[0]);
        status = v->each * v->plans_n == about->runs_n ? gather(v, error) : CQ_ERR_FORMAT;
    }
    return status;
}

cq_status cq_varying_recall(cq_varying *v, const cq_study_read *read, cq_error *error) {
    cq_error ignored = CQ_ERROR_INIT;
    memset(v, 0, sizeof *v);
    v->arena = cq_arena_create();
    v->about = read->about;
    v->table = read->table;
    v->borrowed = true;
    cq_compare_baths *none = v->arena == NULL ? NULL : cq_arena_take(v->arena, v->table->runs_n, sizeof *none);
    if (none == NULL) {
        return cq_error_say(error, CQ_ERR_MEMORY, "", "", "", "%s", cq_status_sentence(CQ_ERR_MEMORY));
    }
    if (recall_plans(v, &read->about, &ignored) < 0) {
        fputs("clayquench report: note: the stored plans cannot be read any more: no picture\n", stderr);
        v->comparison =
            (cq_comparison){.title = read->about.plan_names[0], .about = &v->about, .table = v->table, .baths = none};
    }
    cq_error_clear(&ignored);
    return CQ_OK;
}

/* ---- telling ----------------------------------------------------------------------------------------------------- */

/* What draws the one picture of a command. */
typedef struct frame {
    const cq_varying_kind *kind;
    const cq_varying *varying;
    bool *drawn; /* set once a picture was */
} frame;

static cq_status draw(const void *of, int picture, cq_picture_format format, unsigned char **bytes, size_t *length,
                      cq_error *error) {
    const frame *f = of;
    (void)picture;
    (void)error;
    const cq_status status = f->kind->draw(f->varying, format, bytes, length);
    *f->drawn = *f->drawn || status >= 0;
    return status;
}

static const char *compare_stem(int picture) {
    (void)picture;
    return "compare";
}

static const char *map_stem(int picture) {
    (void)picture;
    return "map";
}

static cq_status write_folder(const cq_varying_kind *kind, const cq_varying *v, const char *folder, const char *json,
                              const char *csv, bool *drawn, cq_error *error) {
    const frame f = {kind, v, drawn};
    const cq_gallery gallery = {1, strcmp(kind->name, "map") == 0 ? map_stem : compare_stem, draw, &f};
    cq_status status = cq_output_json(folder, kind->name, json, error);
    status = status < 0 ? status : cq_output_text(folder, kind->name, "csv", csv, error);
    return status < 0 ? status : cq_output_pictures(folder, &gallery, error);
}

static cq_status tell(const cq_call *call, const cq_varying_kind *kind, const cq_varying *v, cq_unit_system units,
                      cq_error *error) {
    const char *folder = call->value[FOLDER];
    char *json = NULL, *csv = NULL, *screen = NULL;
    bool drawn = false;
    const bool text = call->value[JSON] == NULL && call->value[CSV] == NULL;
    const bool quiet = text && call->value[QUIET] != NULL;
    cq_status status = kind->json(v, &json);
    status = status < 0 ? status : cq_compare_csv(&v->comparison, units, &csv);
    status = status < 0 ? status : kind->screen(v, units, &screen);
    if (status >= 0 && !quiet) {
        fputs(call->value[JSON] != NULL ? json : call->value[CSV] != NULL ? csv : screen, stdout);
        fflush(stdout);
    }
    status = status < 0 || folder == NULL ? status : write_folder(kind, v, folder, json, csv, &drawn, error);
    if (status >= 0 && folder != NULL && text && !quiet) {
        printf(drawn ? "\nWritten to %s: study.h5, %s.json, %s.csv and the picture.\n"
                     : "\nWritten to %s: study.h5, %s.json and %s.csv; no section to draw.\n",
               folder, kind->name, kind->name);
    }
    cq_text_free(json);
    cq_text_free(csv);
    cq_text_free(screen);
    return status;
}

/* An exit: if every run failed for want of a sound plan that is a fault of the command; if some did, an answer. */
static int go(const cq_call *call, const cq_varying_kind *kind, const cq_studying *studying, cq_varying *v,
              cq_unit_system units) {
    cq_error error = CQ_ERROR_INIT;
    size_t ended = 0;
    const int code = cq_studying_go(studying, &v->about, v->table, &v->source, NULL, NULL, &ended);
    if (code != CQ_EXIT_DONE || told_part(studying, v)) {
        return code;
    }
    cq_status status = gather(v, &error);
    status = status < 0 ? status : tell(call, kind, v, units, &error);
    const int told = cq_exit_complaining(status, &error);
    const size_t failed = cq_study_table_count(v->table, v->table->runs_n, CQ_ROW_FAILED);
    return told == CQ_EXIT_DONE && failed == v->table->runs_n ? CQ_EXIT_PLAN : told;
}

bool cq_varying_is_study(const char *word) {
    const char *ending = strrchr(word, '.');
    return ending != NULL && strcmp(ending, ".h5") == 0;
}

int cq_varying_run(const cq_call *call, const cq_varying_kind *kind) {
    cq_unit_system units;
    cq_studying studying = {.command = kind->name,
                            .folder = call->value[FOLDER],
                            .threads = call->value[THREADS],
                            .part = call->value[PART],
                            .yes = call->value[YES],
                            .quiet = call->value[QUIET] != NULL};
    if (!cq_units_wanted(kind->name, call->value[UNITS], &units) || !cq_studying_read(&studying)) {
        return CQ_EXIT_USAGE;
    }
    if (call->value[JSON] != NULL && call->value[CSV] != NULL) {
        fprintf(stderr, "clayquench %s: error: --json and --csv; expected one of the two\n", kind->name);
        return CQ_EXIT_USAGE;
    }
    for (int n = 0; n < call->operands_n; n++) {
        if (cq_varying_is_study(call->operands[n])) {
            fprintf(stderr,
                    "clayquench %s: error: '%s' is a study, not a plan; the command that made it tells it again, with\n"
                    "         the same PLAN, --vary and -o, and runs nothing that was run\n",
                    kind->name, call->operands[n]);
            return CQ_EXIT_USAGE;
        }
    }
    studying.options.skip_curve = kind->skip_curve;
    cq_varying v;
    int code = open_varying(&v, call, kind->name, &studying);
    if (code == CQ_EXIT_DONE) {
        code = kind->fits(&v) ? go(call, kind, &studying, &v, units) : CQ_EXIT_USAGE;
    }
    cq_varying_close(&v);
    return code;
}
