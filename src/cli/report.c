/* report.c - the command that puts a result on one page: HTML or PDF. */
#define _XOPEN_SOURCE 700
#include "cli/varying.h"

#include <clayquench/report_page.h>
#include <math.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

enum { FILE_NAME, PAPER };
static const cq_option options[] = {
    [FILE_NAME] = {"output", 'o', "FILE", "where to: FILE.html or FILE.pdf; left out: report.html beside the result"},
    [PAPER] = {"paper", 0, "PAPER", "of print and PDF: a4 (default) or letter"},
    {0},
};

enum { PATH = 4096 };

static bool is_folder(const char *path) {
    struct stat info;
    return stat(path, &info) == 0 && S_ISDIR(info.st_mode);
}

/* A study's file, or a folder that has one and no result. */
static bool is_study(const char *path) {
    char name[PATH];
    const char *slash = strrchr(path, '/');
    if (!is_folder(path)) {
        return strcmp(slash == NULL ? path : slash + 1, "study.h5") == 0;
    }
    snprintf(name, sizeof name, "%.4000s/result.h5", path);
    const bool result = access(name, F_OK) == 0;
    snprintf(name, sizeof name, "%.4000s/study.h5", path);
    return !result && access(name, F_OK) == 0;
}

/* Where the page goes when nobody said. */
static const char *place_of(const cq_call *call, const char *operand, char path[PATH]) {
    const char *slash = strrchr(operand, '/');
    if (call->value[FILE_NAME] != NULL) {
        return call->value[FILE_NAME];
    }
    if (is_folder(operand)) {
        snprintf(path, PATH, "%.4000s/report.html", operand);
    } else if (cq_ends_in(operand, ".h5") && slash != NULL) {
        snprintf(path, PATH, "%.*s/report.html", (int)(slash - operand), operand);
    } else {
        snprintf(path, PATH, "report.html");
    }
    return path;
}

static int write_page(const cq_result *result, const char *summary, cq_report_wish wish, const char *to) {
    cq_error error = CQ_ERROR_INIT;
    cq_page_gaps gaps = {0};
    unsigned char *bytes = NULL;
    size_t length = 0;
    wish.summary = summary;
    const cq_status status = cq_report_page(result, &wish, &bytes, &length, &gaps, &error);
    return cq_exit_complaining(cq_page_keep(status, to, bytes, length, &gaps, &error), &error);
}

/* What a spread study stored beside the result says of it; NULL: nothing. *study must outlive it. */
static cq_spread *spread_beside(cq_study_read **study, const char *path, const cq_plan *plan) {
    const char *slash = strrchr(path, '/');
    char beside[PATH];
    snprintf(beside, sizeof beside, "%.*sstudy.h5", slash == NULL ? 0 : (int)(slash + 1 - path), path);
    return cq_study_file_read(study, beside, NULL) < 0 ? NULL : cq_report_beside(*study, plan);
}

static int report_stored(const char *path, cq_report_wish wish, const char *to) {
    cq_error error = CQ_ERROR_INIT;
    cq_stored *stored = NULL;
    const cq_status status = cq_result_read(&stored, path, &error);
    if (status < 0) {
        return cq_exit_complaining(status, &error);
    }
    cq_study_read *study = NULL;
    cq_spread *beside = spread_beside(&study, path, cq_stored_result(stored)->plan);
    wish.beside = beside;
    const int code = write_page(cq_stored_result(stored), cq_stored_summary(stored), wish, to);
    cq_spread_free(beside);
    cq_study_read_free(study);
    cq_stored_free(stored);
    return code;
}

/* ---- studies ----------------------------------------------------------------------------------------------------- */

static int report_runs(const cq_study_read *read, const cq_report_wish *wish, const char *to) {
    cq_error error = CQ_ERROR_INIT;
    cq_page_gaps gaps = {0};
    cq_varying varying;
    unsigned char *bytes = NULL;
    size_t length = 0;
    cq_status status = cq_varying_recall(&varying, read, &error);
    const cq_vary_axis *axes = NULL;
    if (status >= 0 && strcmp(read->about.kind, "map") == 0 && varying.plans_n == 1 &&
        cq_vary_axes(varying.vary[0], &axes) == 2) {
        const cq_map map = {&varying.comparison, &axes[0], &axes[1], NULL};
        status = cq_map_page(&map, wish, &bytes, &length, &gaps, &error);
    } else if (status >= 0) {
        status = cq_compare_page(&varying.comparison, wish, &bytes, &length, &gaps, &error);
    }
    const int code = cq_exit_complaining(cq_page_keep(status, to, bytes, length, &gaps, &error), &error);
    cq_varying_close(&varying);
    return code;
}

/* The answer to the plan as written, from the file's own texts; NULL where it has none any more. */
static const cq_result *planned_of(const cq_study_about *about, cq_plan *plan, cq_run **run) {
    const cq_given_profiles given = {about->profiles_n, about->profile_names, about->profile_texts};
    const char *text = about->plan_texts[0];
    const bool ran = cq_plan_read_given(plan, text, strlen(text), about->plan_names[0], &given, NULL) >= 0 &&
                     cq_run_create(run, plan, &(cq_run_options){.skip_curve = true}, NULL) >= 0 &&
                     cq_run_go(*run, NULL, NULL) >= 0;
    if (!ran) {
        fputs("clayquench report: note: the stored plan cannot be run any more: no section\n", stderr);
    }
    return ran ? cq_run_result(*run) : NULL;
}

static int report_spread(const cq_study_read *read, const cq_report_wish *wish, const char *to) {
    cq_error error = CQ_ERROR_INIT;
    cq_page_gaps gaps = {0};
    cq_uncertain inputs[CQ_UNCERTAINS];
    cq_spread_wish made;
    cq_spread *spread = NULL;
    cq_plan plan;
    cq_run *run = NULL;
    unsigned char *bytes = NULL;
    size_t length = 0, n = 0;
    cq_plan_init(&plan);
    cq_status status = cq_spread_settings_read(read->about.settings, inputs, &n, &made);
    if (status < 0 || n != read->table->inputs_n || read->about.plans_n != 1) {
        status = cq_error_say(&error, CQ_ERR_FORMAT, "", "a study made by 'clayquench spread'", "", "another one");
    } else {
        made.seed = read->about.seed;
        const cq_result *planned = planned_of(&read->about, &plan, &run);
        const size_t samples = read->ended > 0 ? read->ended : read->table->runs_n;
        const cq_spread_rows rows = {read->table, samples, inputs, n, planned, read->about.plan_names[0]};
        status = cq_spread_create(&spread, &rows, &made);
        status = status < 0 ? status : cq_spread_page(spread, planned, wish, &bytes, &length, &gaps, &error);
    }
    const int code = cq_exit_complaining(cq_page_keep(status, to, bytes, length, &gaps, &error), &error);
    cq_spread_free(spread);
    cq_run_free(run);
    cq_plan_clear(&plan);
    return code;
}

static int report_study(const char *path, const cq_report_wish *wish, const char *to) {
    cq_error error = CQ_ERROR_INIT;
    cq_study_read *read = NULL;
    cq_status status = cq_study_file_read(&read, path, &error);
    if (status >= 0 && read->about.parts > 1) {
        status = cq_error_say(&error, CQ_ERR_FORMAT, "", "a whole study", "join the parts with 'clayquench merge'",
                              "'%.100s', part %zu of %zu", path, read->about.part, read->about.parts);
    }
    if (status < 0) {
        cq_study_read_free(read);
        return cq_exit_complaining(status, &error);
    }
    const size_t runs = read->ended > 0 ? read->ended : read->table->runs_n;
    const size_t open = cq_study_table_count(read->table, runs, CQ_ROW_OPEN);
    if (open > 0) {
        fprintf(stderr, "clayquench report: note: %zu of %zu runs are not made yet; the command that began goes on\n",
                open, runs);
    }
    const int code =
        strcmp(read->about.kind, "spread") == 0 ? report_spread(read, wish, to) : report_runs(read, wish, to);
    cq_study_read_free(read);
    return code;
}

static int report_plan(const cq_plan *plan, const cq_report_wish *wish, const char *to) {
    cq_error error = CQ_ERROR_INIT;
    cq_run *run = NULL;
    cq_status status = cq_run_create(&run, plan, &(cq_run_options){.keep_frames = true}, &error);
    if (status >= 0) {
        cq_progress progress;
        cq_progress_begin(&progress, true);
        status = cq_run_go(run, &(cq_observer){cq_progress_step, &progress}, &error);
        cq_progress_end(&progress);
    }
    const int code = status < 0 ? cq_exit_complaining(status, &error) : write_page(cq_run_result(run), NULL, *wish, to);
    cq_error_clear(&error);
    cq_run_free(run);
    return code;
}

static int run(const cq_call *call) {
    const char *operand = call->operands[0];
    cq_report_wish wish = {.paper = CQ_PAPER_A4};
    char place[PATH], path[PATH], found[512];
    const char *to = place_of(call, operand, place);
    if (!cq_paper_wanted("report", call->value[PAPER], &wish.paper) || !cq_medium_wanted("report", to, &wish.medium)) {
        return CQ_EXIT_USAGE;
    }
    cq_interrupt_watch();
    if (is_folder(operand) || cq_ends_in(operand, ".h5")) {
        const char *name = is_study(operand) ? "study.h5" : "result.h5";
        snprintf(path, sizeof path, is_folder(operand) ? "%.4000s/%s" : "%.4000s", operand, name);
        return is_study(path) ? report_study(path, &wish, to) : report_stored(path, wish, to);
    }
    cq_error error = CQ_ERROR_INIT;
    cq_plan plan;
    cq_plan_init(&plan);
    const cq_status status = cq_plan_read(&plan, cq_path_of(operand, "plan", found), cq_search_default(), &error);
    int code = cq_exit_complaining(status, &error);
    if (status >= 0) {
        code = report_plan(&plan, &wish, to);
    }
    cq_plan_clear(&plan);
    return code;
}

const cq_command cq_command_report = {
    .name = "report",
    .operands = "RESULT",
    .operands_min = 1,
    .operands_max = 1,
    .summary = "a result or study on one page: HTML or PDF",
    .description =
        "RESULT is a folder that 'clayquench quench PLAN -o DIR' made, its result.h5, or a plan, which is then run;\n"
        "or the study.h5 that compare, map or spread left, or the folder with it.\n"
        "The page holds everything it shows: no network, and no script is needed to read it. Every number on it is\n"
        "the one of summary.json.\n",
    .options = options,
    .run = run,
};
