/* quench.c - the command that runs a plan. */
#include "cli/cli.h"

#include <clayquench/report.h>
#include <stdio.h>

enum { JSON, FOLDER, UNITS, QUIET, ADVISE };
static const cq_option options[] = {
    [JSON] = {"json", 0, NULL, "print one JSON object on stdout instead of the screen"},
    [FOLDER] = {"output", 'o', "DIR", "write results, pictures and summary.json into DIR"},
    [UNITS] = {"units", 0, "UNITS", "units of the screen: metric (default) or us"},
    [QUIET] = {"quiet", 'q', NULL, "no screen and no progress, complaints only"},
    [ADVISE] = {"advise", 0, NULL, "where a crack is not unlikely, run single changes: which lowers it most"},
    {0},
};

static const char *stem_of(int picture) {
    return cq_picture_stem((cq_picture)picture);
}

static cq_status draw(const void *result, int picture, cq_picture_format format, unsigned char **bytes, size_t *length,
                      cq_error *error) {
    return cq_picture_draw(result, (cq_picture)picture, format, bytes, length, error);
}

static cq_status write_folder(const cq_result *result, const char *json, const char *folder, cq_error *error) {
    cq_status status = cq_result_write(result, json, folder, error);
    status = status < 0 ? status : cq_output_json(folder, "summary", json, error);
    return status < 0 ? status : cq_output_pictures(folder, &(cq_gallery){CQ_PICTURES, stem_of, draw, result}, error);
}

/* The answer of a finished run: on stdout, and in the folder if one was named. */
static int tell(const cq_call *call, const cq_result *result, const cq_crack_advice *advice, cq_unit_system units) {
    const char *folder = call->value[FOLDER];
    cq_error error = CQ_ERROR_INIT;
    char *json = NULL, *screen = NULL;
    cq_status status = cq_report_json_advised(result, advice, &json);
    if (status >= 0 && call->value[JSON] == NULL && call->value[QUIET] == NULL) {
        status = cq_report_screen_advised(result, advice, units, &screen);
    }
    if (status >= 0) {
        if (call->value[JSON] != NULL) {
            fputs(json, stdout);
        } else if (screen != NULL) {
            fputs(screen, stdout);
        }
        fflush(stdout);
        if (folder != NULL) {
            status = write_folder(result, json, folder, &error);
        }
        if (status >= 0 && folder != NULL && screen != NULL) {
            printf("\nWritten to %s: result.h5, result.xdmf, probes.csv, summary.json and the pictures.\n", folder);
        }
    }
    cq_text_free(json);
    cq_text_free(screen);
    return cq_exit_complaining(status, &error);
}

/* Ctrl-C: what the run reached is kept if a folder was named. */
static int keep(const cq_call *call, const cq_result *result) {
    cq_error error = CQ_ERROR_INIT;
    fputs("clayquench: interrupted", stderr);
    if (call->value[FOLDER] != NULL && cq_result_write(result, NULL, call->value[FOLDER], &error) >= 0) {
        fprintf(stderr, "; what was reached is in %s", call->value[FOLDER]);
    }
    fputs("\n", stderr);
    cq_complaints_print(&error);
    cq_error_clear(&error);
    return CQ_EXIT_INTERRUPTED;
}

static bool goes_on(void *context, size_t done, size_t planned) {
    (void)context;
    (void)done;
    (void)planned;
    return !cq_interrupted();
}

/* Advice where it is asked for and there is something to ask; *told is NULL else. */
static cq_status advise(const cq_call *call, const cq_plan *plan, const cq_result *result, cq_crack_advice *advice,
                        const cq_crack_advice **told, cq_error *error) {
    *told = NULL;
    if (call->value[ADVISE] == NULL || !cq_crack_advice_wanted(result)) {
        return CQ_OK;
    }
    const cq_study_sink sink = {.go_on = goes_on};
    *told = advice;
    return cq_crack_advise(plan, result, &(cq_study_options){0}, &sink, advice, error);
}

static int run_plan(const cq_call *call, const cq_plan *plan, cq_unit_system units) {
    cq_error error = CQ_ERROR_INIT;
    cq_run_options run_options = {.keep_frames = call->value[FOLDER] != NULL};
    cq_run *run = NULL;
    cq_status status = cq_run_create(&run, plan, &run_options, &error);
    if (status < 0) {
        return cq_exit_complaining(status, &error);
    }
    if (call->value[FOLDER] != NULL && cq_folder_make(call->value[FOLDER], &error) < 0) {
        cq_run_free(run);
        return cq_exit_complaining(CQ_ERR_FILE, &error);
    }
    cq_progress progress;
    cq_progress_begin(&progress, call->value[QUIET] == NULL);
    status = cq_run_go(run, &(cq_observer){cq_progress_step, &progress}, &error);
    cq_progress_end(&progress);
    cq_crack_advice advice;
    const cq_crack_advice *told = NULL;
    status = status < 0 ? status : advise(call, plan, cq_run_result(run), &advice, &told, &error);
    int code;
    if (status == CQ_ERR_CANCELLED) {
        code = keep(call, cq_run_result(run));
    } else if (status < 0) {
        code = cq_exit_complaining(status, &error);
    } else {
        code = tell(call, cq_run_result(run), told, units);
    }
    cq_error_clear(&error);
    cq_run_free(run);
    return code;
}

static int run(const cq_call *call) {
    cq_unit_system units;
    if (!cq_units_wanted("quench", call->value[UNITS], &units)) {
        return CQ_EXIT_USAGE;
    }
    cq_interrupt_watch();
    char path[512];
    cq_error error = CQ_ERROR_INIT;
    cq_plan plan;
    cq_plan_init(&plan);
    cq_status status = cq_plan_read(&plan, cq_path_of(call->operands[0], "plan", path), cq_search_default(), &error);
    int code = cq_exit_complaining(status, &error); /* notes of a good plan are shown too */
    if (status >= 0) {
        code = run_plan(call, &plan, units);
    }
    cq_plan_clear(&plan);
    return code;
}

const cq_command cq_command_quench = {
    .name = "quench",
    .operands = "PLAN",
    .operands_min = 1,
    .operands_max = 1,
    .summary = "run a plan: the hard line, hardness and structure",
    .description =
        "PLAN is a file, or the name of a shipped plan (see 'clayquench list plan').\n"
        "With -o, DIR is made if missing and gets result.h5, result.xdmf, probes.csv, summary.json and the\n"
        "pictures as SVG, PNG and PDF. Each file is complete or absent. Ctrl-C stops the run; what it reached\n"
        "by then is kept in DIR.\n",
    .options = options,
    .run = run,
};
