/* lesson.c - the command that writes a lesson on clay from runs of the shipped lesson plans. */
#include "cli/cli.h"

#include <clayquench/report_lesson.h>
#include <clayquench/vary.h>
#include <stdio.h>
#include <string.h>

enum { FILE_NAME, PAPER };
static const cq_option options[] = {
    [FILE_NAME] = {"output", 'o', "FILE", "where to: FILE.html or FILE.pdf; left out: lesson.html"},
    [PAPER] = {"paper", 0, "PAPER", "of print and PDF: a4 (default) or letter"},
    {0},
};

/* Plans of all runs and what they were read from; both must outlive the lesson. */
typedef struct script {
    cq_vary *vary[CQ_LESSON_PARTS];
    cq_plan plan[CQ_LESSON_PARTS][CQ_LESSON_RUNS];
    size_t n[CQ_LESSON_PARTS];
} script;

/* The plans as they are shipped: a user's own of the same name would not fit the words. */
static cq_status open_part(script *s, cq_lesson_part part, const cq_search *shipped, cq_error *error) {
    const cq_lesson_script *about = cq_lesson_script_of(part);
    char path[4096];
    size_t specs = 0;
    while (specs < CQ_LESSON_SPECS && about->vary[specs] != NULL) {
        specs++;
    }
    snprintf(path, sizeof path, "%.4000s/plans/%s.yaml", shipped->folders[0], about->plan);
    return cq_vary_open(&s->vary[part], path, shipped, about->vary, specs, error);
}

static cq_status run_part(script *s, cq_lesson *lesson, cq_lesson_part part, const cq_observer *observer,
                          cq_error *error) {
    const cq_vary_axis *axes;
    const size_t n = cq_vary_axes(s->vary[part], &axes), runs = cq_vary_runs(s->vary[part]);
    cq_status status = CQ_OK;
    for (size_t r = 0; r < runs && r < CQ_LESSON_RUNS && status >= 0; r++) {
        cq_plan *plan = &s->plan[part][r];
        cq_plan_init(plan);
        status = cq_vary_plan(s->vary[part], r, plan, error);
        if (status >= 0) {
            s->n[part]++;
            const char *value = n == 0 ? "" : axes[n - 1].words[cq_vary_value(s->vary[part], r, n - 1)];
            status = cq_lesson_add(lesson, part, plan, value, observer, error);
        }
    }
    return status;
}

static void close_script(script *s) {
    for (int part = 0; part < CQ_LESSON_PARTS; part++) {
        for (size_t r = 0; r < s->n[part]; r++) {
            cq_plan_clear(&s->plan[part][r]);
        }
        cq_vary_close(s->vary[part]);
    }
}

static cq_status make(script *s, cq_lesson *lesson, cq_error *error) {
    const cq_search *all = cq_search_default();
    if (all->n == 0) {
        return cq_error_say(error, CQ_ERR_FILE, "", "the shipped profiles", "install the program whole", "none");
    }
    const cq_search shipped = {1, &all->folders[all->n - 1]};
    cq_progress progress;
    const cq_observer observer = {cq_progress_step, &progress};
    cq_progress_begin(&progress, true);
    cq_status status = CQ_OK;
    for (int part = 0; part < CQ_LESSON_PARTS && status >= 0; part++) {
        status = open_part(s, (cq_lesson_part)part, &shipped, error);
        status = status < 0 ? status : run_part(s, lesson, (cq_lesson_part)part, &observer, error);
    }
    cq_progress_end(&progress);
    return status;
}

static cq_status write(const cq_lesson *lesson, cq_page_medium medium, cq_paper paper, const char *to,
                       cq_error *error) {
    cq_page_gaps gaps = {0};
    unsigned char *bytes = NULL;
    size_t length = 0;
    const cq_status status = cq_lesson_page(lesson, medium, paper, &bytes, &length, &gaps, error);
    return cq_page_keep(status, to, bytes, length, &gaps, error);
}

static int run(const cq_call *call) {
    const char *to = call->value[FILE_NAME] == NULL ? "lesson.html" : call->value[FILE_NAME];
    cq_paper paper;
    cq_page_medium medium;
    if (!cq_paper_wanted("lesson", call->value[PAPER], &paper) || !cq_medium_wanted("lesson", to, &medium)) {
        return CQ_EXIT_USAGE;
    }
    cq_interrupt_watch();
    static script s; /* large */
    cq_error error = CQ_ERROR_INIT;
    cq_lesson *lesson = NULL;
    memset(&s, 0, sizeof s);
    cq_status status = cq_lesson_create(&lesson, &error);
    status = status < 0 ? status : make(&s, lesson, &error);
    status = status < 0 ? status : write(lesson, medium, paper, to, &error);
    cq_lesson_free(lesson);
    close_script(&s);
    return cq_exit_complaining(status, &error);
}

const cq_command cq_command_lesson = {
    .name = "lesson",
    .operands = "",
    .operands_min = 0,
    .operands_max = 0,
    .summary = "a lesson on why thin clay hardens the edge, from own runs",
    .description =
        "Writes one page that teaches in a lesson of 45 minutes why a thin wash of clay hardens the edge and a thick\n"
        "coat keeps the back soft: charts from runs made now, the plans behind them to change and run again,\n"
        "questions with answers, a glossary. It needs no network and no script, and prints.\n",
    .options = options,
    .run = run,
};
