/* report.c - the command that puts a result on one page: HTML or PDF. */
#define _XOPEN_SOURCE 700
#include "cli/cli.h"

#include <clayquench/report_page.h>
#include <math.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>

enum { FILE_NAME, PAPER };
static const cq_option options[] = {
    [FILE_NAME] = {"output", 'o', "FILE", "where to: FILE.html or FILE.pdf; left out: report.html beside the result"},
    [PAPER] = {"paper", 0, "PAPER", "of print and PDF: a4 (default) or letter"},
    {0},
};

enum { PATH = 4096 };

static bool ends_in(const char *name, const char *ending) {
    const size_t n = strlen(name), e = strlen(ending);
    return n > e && strcmp(name + n - e, ending) == 0;
}

static int refuse(const char *what, const char *word, const char *expected) {
    fprintf(stderr, "clayquench report: error: %s '%s'; expected %s\n", what, word, expected);
    return CQ_EXIT_USAGE;
}

static bool is_folder(const char *path) {
    struct stat info;
    return stat(path, &info) == 0 && S_ISDIR(info.st_mode);
}

/* Where the page goes when nobody said. */
static const char *place_of(const cq_call *call, const char *operand, char path[PATH]) {
    const char *slash = strrchr(operand, '/');
    if (call->value[FILE_NAME] != NULL) {
        return call->value[FILE_NAME];
    }
    if (is_folder(operand)) {
        snprintf(path, PATH, "%.4000s/report.html", operand);
    } else if (ends_in(operand, ".h5") && slash != NULL) {
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
    wish.medium = ends_in(to, ".pdf") ? CQ_PAGE_PDF : CQ_PAGE_HTML;
    cq_status status = cq_report_page(result, &wish, &bytes, &length, &gaps, &error);
    status = status < 0 ? status : cq_file_write(to, bytes, length, &error);
    cq_text_free((char *)bytes);
    if (status >= 0) {
        if (gaps.characters > 0) {
            fprintf(
                stderr,
                "clayquench: note: %zu characters stand as boxes: no installed font has them; install one that does "
                "(for Japanese for instance fonts-noto-cjk), or take FILE.html\n",
                gaps.characters);
        }
        printf("Written to %s.\n", to);
    }
    return cq_exit_complaining(status, &error);
}

/* What a spread study stored beside the result says of it; NaN: nothing. */
static double sure_beside(const char *path, const cq_plan *plan) {
    const char *slash = strrchr(path, '/');
    char beside[PATH];
    cq_study_read *study = NULL;
    snprintf(beside, sizeof beside, "%.*sstudy.h5", slash == NULL ? 0 : (int)(slash + 1 - path), path);
    if (cq_study_file_read(&study, beside, NULL) < 0) {
        return NAN;
    }
    const double sure_mm = cq_report_sure_mm(study, plan);
    cq_study_read_free(study);
    return sure_mm;
}

static int report_stored(const char *path, cq_report_wish wish, const char *to) {
    cq_error error = CQ_ERROR_INIT;
    cq_stored *stored = NULL;
    const cq_status status = cq_result_read(&stored, path, &error);
    if (status < 0) {
        return cq_exit_complaining(status, &error);
    }
    wish.sure_mm = sure_beside(path, cq_stored_result(stored)->plan);
    const int code = write_page(cq_stored_result(stored), cq_stored_summary(stored), wish, to);
    cq_stored_free(stored);
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
    const char *operand = call->operands[0], *paper = call->value[PAPER];
    cq_report_wish wish = {.paper = CQ_PAPER_A4};
    char place[PATH], path[PATH], found[512];
    if (paper != NULL && strcmp(paper, "letter") == 0) {
        wish.paper = CQ_PAPER_LETTER;
    } else if (paper != NULL && strcmp(paper, "a4") != 0) {
        return refuse("unknown paper", paper, "a4 or letter");
    }
    const char *to = place_of(call, operand, place);
    if (!ends_in(to, ".html") && !ends_in(to, ".pdf")) {
        return refuse("cannot tell what to write from", to, "a name that ends in .html or .pdf");
    }
    cq_interrupt_watch();
    if (is_folder(operand) || ends_in(operand, ".h5")) {
        snprintf(path, sizeof path, is_folder(operand) ? "%.4000s/result.h5" : "%.4000s", operand);
        return report_stored(path, wish, to);
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
    .summary = "a result on one page: HTML or PDF",
    .description =
        "RESULT is a folder that 'clayquench quench PLAN -o DIR' made, its result.h5, or a plan, which is then run.\n"
        "The page holds everything it shows: no network, and no script is needed to read it. Every number on it is\n"
        "the one of summary.json.\n",
    .options = options,
    .run = run,
};
