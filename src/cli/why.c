/* why.c - the command that asks which single change explains what was seen. */
#include "cli/studying.h"

#include <clayquench/report_why.h>
#include <clayquench/vary.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

enum { FOLDER, SEEN, WITHIN, THREADS, JSON, UNITS, QUIET };
static const cq_option options[] = {
    [FOLDER] = {"output", 'o', "DIR", "keep the runs in DIR, with why.json"},
    [SEEN] = {"seen", 0, "WORDS",
              "what was seen: a line's height such as \"5 mm\"; faint; none; hard right through;\n"
              "                        soft edge; fades at the tip; cracked; cracked at 3 s; curved\n"
              "                        to the edge; curved to the spine"},
    [WITHIN] = {"within", 0, "LENGTH", "how well the height was read; absent: \"0.5 mm\""},
    [THREADS] = {"threads", 0, "N", "worker threads; absent: one per core"},
    [JSON] = {"json", 0, NULL, "print one JSON object on stdout instead of the screen"},
    [UNITS] = {"units", 0, "UNITS", "units of the screen: metric (default) or us"},
    [QUIET] = {"quiet", 'q', NULL, "no screen and no progress"},
    {0},
};

enum { OTHERS = 16 };
typedef struct work {
    cq_plan plan;
    cq_seen seen;
    cq_unit_system units;
    size_t others_n;
    cq_vary *vary[OTHERS];
    cq_plan other_plan[OTHERS];
    char other_words[OTHERS][CQ_WHY_WORDS];
    cq_why_other others[OTHERS];
    size_t changes_n;
    cq_why_change changes[CQ_WHY_MOST];
    cq_study_table *table;
    char path[512], settings[256];
} work;

/* ---- what was typed ---------------------------------------------------------------------------------------------- */

static int unknown_words(const char *word) {
    fprintf(stderr, "clayquench why: error: --seen '%s'; expected a height such as \"5 mm\"", word);
    for (int k = CQ_SEEN_LINE + 1; k < CQ_SEEN_KINDS; k++) {
        fprintf(stderr, ", %s%s", cq_seen_words((cq_seen_kind)k), k == CQ_SEEN_CRACKED ? " (or cracked at 3 s)" : "");
    }
    fputs("\n", stderr);
    return false;
}

static bool read_seen(const char *word, cq_seen *seen) {
    const char *cracked = cq_seen_words(CQ_SEEN_CRACKED);
    const size_t n = strlen(cracked);
    *seen = (cq_seen){.kind = CQ_SEEN_LINE, .within_m = CQ_WHY_WITHIN_M, .time_s = NAN};
    for (int k = CQ_SEEN_LINE + 1; k < CQ_SEEN_KINDS; k++) {
        if (strcmp(word, cq_seen_words((cq_seen_kind)k)) == 0) {
            seen->kind = (cq_seen_kind)k;
            return true;
        }
    }
    if (strncmp(word, cracked, n) == 0 && strncmp(word + n, " at ", 4) == 0) {
        seen->kind = CQ_SEEN_CRACKED;
        if (!cq_quantity_wanted("why", "seen", word + n + 4, CQ_DIM_TIME, &seen->time_s)) {
            return false;
        }
        if (!(seen->time_s >= 0.0)) {
            fprintf(stderr, "clayquench why: error: --seen '%s'; expected a time from 0 s on\n", word);
            return false;
        }
        return true;
    }
    if (word[0] != '-' && word[0] != '.' && !(word[0] >= '0' && word[0] <= '9')) {
        return unknown_words(word);
    }
    return cq_quantity_wanted("why", "seen", word, CQ_DIM_LENGTH, &seen->line_m);
}

static bool read_call(const cq_call *call, work *w, cq_studying *studying) {
    const char *const *value = call->value;
    *studying = (cq_studying){
        .command = "why", .folder = value[FOLDER], .threads = value[THREADS], .quiet = value[QUIET] != NULL};
    if (value[SEEN] == NULL) {
        fputs("clayquench why: error: --seen is missing: what was seen on the blade, for instance --seen \"5 mm\"\n",
              stderr);
        return false;
    }
    if (!cq_units_wanted("why", value[UNITS], &w->units) || !cq_studying_read(studying) ||
        !read_seen(value[SEEN], &w->seen) ||
        (value[WITHIN] != NULL &&
         !cq_quantity_wanted("why", "within", value[WITHIN], CQ_DIM_LENGTH, &w->seen.within_m))) {
        return false;
    }
    if (!(w->seen.within_m > 0.0)) {
        fprintf(stderr, "clayquench why: error: --within '%s'; expected a length above 0\n", value[WITHIN]);
        return false;
    }
    return true;
}

/* What can be seen on this blade. */
static bool seen_fits(const work *w, const char *word) {
    const cq_seen *s = &w->seen;
    const double height_m = w->plan.blade.height_m;
    if (s->kind == CQ_SEEN_LINE && !(s->line_m > 0.0 && s->line_m < height_m)) {
        fprintf(stderr,
                "clayquench why: error: --seen '%s'; expected above 0 and below %.4g mm, the height of the blade\n",
                word, 1e3 * height_m);
        return false;
    }
    if ((s->kind == CQ_SEEN_TO_EDGE || s->kind == CQ_SEEN_TO_SPINE) && !(w->plan.blade.length_m > 0.0)) {
        fputs("clayquench why: error: a curve was seen, but the plan does not say blade.length; add it\n", stderr);
        return false;
    }
    return true;
}

/* ---- other plans ------------------------------------------------------------------------------------------------- */

static void try_other(work *w, cq_cause cause, double z, const char *spec, const char *words) {
    cq_error ignored = CQ_ERROR_INIT;
    const size_t n = w->others_n;
    if (n == OTHERS) {
        return;
    }
    cq_plan_init(&w->other_plan[n]);
    cq_status status = cq_vary_open(&w->vary[n], w->path, cq_search_default(), &spec, 1, &ignored);
    status = status < 0 ? status : cq_vary_plan(w->vary[n], 0, &w->other_plan[n], &ignored);
    if (status >= 0) {
        snprintf(w->other_words[n], CQ_WHY_WORDS, "%s", words);
        w->others[n] = (cq_why_other){cause, z, w->other_words[n], &w->other_plan[n]};
        w->others_n++;
    } else {
        cq_vary_close(w->vary[n]);
        w->vary[n] = NULL;
    }
    cq_error_clear(&ignored);
}

/* Bars get swapped and tins misread, seldom: 2 and 2.5 times what is usual, chosen here. */
static void list_others(work *w) {
    static const char *const steels[] = {"1060", "1075", "1080", "1084", "1095", "W1", "W2", "5160", "O1"};
    static const char *const oils[] = {"fast-oil", "medium-oil", "slow-oil", "canola"};
    char spec[96], words[CQ_WHY_WORDS];
    if (w->plan.steel.kind == CQ_STEEL_TRANSFORMING && w->seen.kind != CQ_SEEN_TIP) {
        for (size_t k = 0; k < sizeof steels / sizeof steels[0]; k++) {
            if (w->plan.steel.name == NULL || strcmp(w->plan.steel.name, steels[k]) != 0) {
                snprintf(spec, sizeof spec, "steel=%s", steels[k]);
                snprintf(words, sizeof words, "steel %s in place of %.40s", steels[k],
                         w->plan.steel.name != NULL ? w->plan.steel.name : "the plan's");
                try_other(w, CQ_CAUSE_STEEL, 2.5, spec, words);
            }
        }
    }
    size_t step = 0;
    while (step < w->plan.steps_n && w->plan.steps[step].bath.kind == CQ_BATH_GAS) {
        step++;
    }
    const cq_bath *bath = step < w->plan.steps_n ? &w->plan.steps[step].bath : NULL;
    for (size_t k = 0; bath != NULL && bath->kind == CQ_BATH_OIL && k < sizeof oils / sizeof oils[0]; k++) {
        if (w->seen.kind != CQ_SEEN_TIP && (bath->name == NULL || strcmp(bath->name, oils[k]) != 0)) {
            snprintf(spec, sizeof spec, "steps.%zu.in=%s", step, oils[k]);
            snprintf(words, sizeof words, "%s in place of %.40s", oils[k], bath->name != NULL ? bath->name : "the oil");
            try_other(w, CQ_CAUSE_BATH, 2.0, spec, words);
        }
    }
}

/* ---- telling ----------------------------------------------------------------------------------------------------- */

static int conclude(const cq_call *call, const work *w) {
    cq_error error = CQ_ERROR_INIT;
    cq_why why;
    char *json = NULL, *screen = NULL;
    const char *folder = call->value[FOLDER];
    const bool quiet = call->value[JSON] == NULL && call->value[QUIET] != NULL;
    const cq_why_told told = {&why, &w->plan};
    cq_why_rank(&why, &w->seen, w->changes, w->table->row, w->changes_n, w->plan.blade.height_m,
                w->plan.blade.length_m);
    cq_status status = cq_why_json(&told, &json);
    status = status < 0 ? status : cq_why_screen(&told, w->units, &screen);
    if (status >= 0 && !quiet) {
        fputs(call->value[JSON] != NULL ? json : screen, stdout);
        fflush(stdout);
    }
    status = status < 0 || folder == NULL ? status : cq_output_json(folder, "why", json, &error);
    cq_text_free(json);
    cq_text_free(screen);
    return cq_exit_complaining(status, &error);
}

static int search(const cq_call *call, work *w, cq_studying *studying) {
    cq_error error = CQ_ERROR_INIT;
    const cq_study_axis axes[] = {{"cause", "1", "number of the cause", 0, NULL},
                                  {"off", "1", "times its usual scatter from the plan", 0, NULL}};
    list_others(w);
    w->changes_n = cq_why_changes(&w->plan, &w->seen, w->others, w->others_n, w->changes);
    const cq_status status = cq_study_table_create(&w->table, w->changes_n, 2, &error);
    if (status < 0) {
        return cq_exit_complaining(status, &error);
    }
    for (size_t k = 0; k < w->changes_n; k++) {
        w->table->inputs[2 * k] = (double)w->changes[k].cause;
        w->table->inputs[2 * k + 1] = w->changes[k].z;
    }
    /* what is kept answers later questions too, of cracks and curves as well */
    const bool bent = w->seen.kind >= CQ_SEEN_CRACKED || studying->folder != NULL;
    snprintf(w->settings, sizeof w->settings, "why 2%s%s", bent ? ", with mechanics" : "",
             w->seen.kind == CQ_SEEN_TIP ? ", of a tip" : ""); /* other heights ask the same runs */
    cq_study_about about = cq_studying_about("why", &w->plan);
    about.axes_n = 2;
    about.axes = axes;
    about.runs_n = w->changes_n;
    about.settings = w->settings;
    cq_why_runs runs = {&w->plan, w->changes, w->others};
    const cq_study_source source = cq_why_source(&runs);
    size_t ended = 0;
    studying->options.skip_curve = !bent;
    const int code = cq_studying_go(studying, &about, w->table, &source, NULL, NULL, &ended);
    return code == CQ_EXIT_DONE ? conclude(call, w) : code;
}

static int make(const cq_call *call, work *w, cq_studying *studying) {
    cq_error error = CQ_ERROR_INIT;
    cq_status status = cq_studying_plan(call->operands[0], w->path, &w->plan, &error);
    if (status >= 0 && w->plan.blade.family >= CQ_FAMILY_PLATE) {
        status = cq_error_say(&error, CQ_ERR_PLAN, "blade.section", "a section with edge and spine", "",
                              "a plate or a round: nothing of the kind can be seen on it");
    } else if (status >= 0 && w->plan.steel.kind != CQ_STEEL_TRANSFORMING) {
        status =
            cq_error_say(&error, CQ_ERR_PLAN, "steel", "a steel that hardens", "", "a steel that does not transform");
    }
    if (status < 0) {
        return cq_exit_complaining(status, &error);
    }
    cq_error_clear(&error);
    return seen_fits(w, call->value[SEEN]) ? search(call, w, studying) : CQ_EXIT_USAGE;
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
    cq_study_table_free(w.table);
    for (size_t k = 0; k < w.others_n; k++) {
        cq_plan_clear(&w.other_plan[k]);
        cq_vary_close(w.vary[k]);
    }
    cq_plan_clear(&w.plan);
    return code;
}

const cq_command cq_command_why = {
    .name = "why",
    .operands = "PLAN",
    .operands_min = 1,
    .operands_max = 1,
    .summary = "which single change explains what was seen",
    .description = "Runs the plan with one thing changed at a time, by as much as may well have been so (heat, stock, "
                   "clay, bath, times,\n"
                   "steel), and ranks causes by how well each agrees with what was seen and how far off it would have "
                   "to be. Each has\n"
                   "the test of the shop that would show it.",
    .options = options,
    .run = run,
};
