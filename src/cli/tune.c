/* tune.c - the command that fits profiles to what a shop saw or logged. */
#include "cli/cli.h"

#include "base/units.h"

#include <clayquench/evidence.h>
#include <clayquench/report_tune.h>
#include <ctype.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

enum { BATH, NOISE, JSON, FOLDER, UNITS, QUIET };
static const cq_option options[] = {
    [BATH] = {"bath", 0, "NAME", "FILE is a thermocouple's log: name of the bath profile to make of it"},
    [NOISE] = {"noise", 0, "DIFFERENCE", "scatter of a logged reading, \"0.5 K\"; absent: taken from the log"},
    [JSON] = {"json", 0, NULL, "print one JSON object on stdout instead of the screen"},
    [FOLDER] = {"output", 'o', "DIR", "write the tuned profiles and tune.json into DIR"},
    [UNITS] = {"units", 0, "UNITS", "units of the screen: metric (default) or us"},
    [QUIET] = {"quiet", 'q', NULL, "no screen and no progress"},
    {0},
};

static bool is_profile_name(const char *name) {
    for (const char *p = name; *p != '\0'; p++) {
        if (!isalnum((unsigned char)*p) && *p != '-' && *p != '_') {
            return false;
        }
    }
    return name[0] != '\0' && name[0] != '-' && strlen(name) < 60;
}

/* A file as typed; else the demo's of that name, beside the shipped and own profiles; else as typed, so that reading it
 * complains. `path` holds 512 bytes. */
static const char *evidence_path(const char *word, char *path) {
    const cq_search *search = cq_search_default();
    if (strchr(word, '/') != NULL || access(word, F_OK) == 0) {
        return word;
    }
    for (size_t k = 0; k < search->n; k++) {
        if (snprintf(path, 512, "%s/evidence/%s", search->folders[k], word) < 512 && access(path, F_OK) == 0) {
            return path;
        }
    }
    return word;
}

/* What the options say; false after a message. */
static bool read_options(const cq_call *call, cq_unit_system *units, double *noise_K) {
    *noise_K = 0.0;
    if (!cq_units_wanted("tune", call->value[UNITS], units)) {
        return false;
    }
    const char *bath = call->value[BATH], *noise = call->value[NOISE];
    if (bath != NULL && !is_profile_name(bath)) {
        fprintf(stderr, "clayquench tune: error: --bath '%s'; expected a name of letters, digits and dashes\n", bath);
        return false;
    }
    char path[512];
    if (bath != NULL && cq_path_of(bath, "bath", path) != bath) {
        fprintf(stderr,
                "clayquench tune: error: --bath '%s': there is a bath of that name, and plans beside the new one would "
                "take this in its place; expected another name, for instance my-%s\n",
                bath, bath);
        return false;
    }
    if (noise != NULL && bath == NULL) {
        fputs("clayquench tune: error: --noise without --bath; it belongs to a thermocouple's log\n", stderr);
        return false;
    }
    if (noise != NULL) {
        cq_units *open = cq_units_open();
        const bool good = cq_units_parse(open, noise, CQ_DIM_DIFFERENCE, noise_K) == CQ_QUANTITY_OK && *noise_K > 0.0;
        cq_units_close(open);
        if (!good) {
            fprintf(stderr,
                    "clayquench tune: error: --noise '%s'; expected a temperature difference, for instance "
                    "0.5 K\n",
                    noise);
        }
        return good;
    }
    return true;
}

/* ---- a log ------------------------------------------------------------------------------------------------------- */

/* The one bath of the probe's plan: its temperature counts. */
static const cq_step_plan *bath_step(const cq_plan *plan, cq_error *error) {
    const cq_step_plan *found = NULL;
    for (size_t s = 0; s < plan->steps_n; s++) {
        if (plan->steps[s].bath.kind != CQ_BATH_GAS) {
            if (found != NULL) {
                cq_error_say(error, CQ_ERR_PLAN, "steps", "one bath: a log of two tells neither", "", "two baths");
                return NULL;
            }
            found = &plan->steps[s];
        }
    }
    if (found == NULL) {
        cq_error_say(error, CQ_ERR_PLAN, "steps", "a step in a bath: its temperature is needed",
                     "for instance {in: water, at: 40 °C, for: 30 s}", "air only");
    }
    return found;
}

/* Where the bead sits, from the plan's probe. */
static cq_status place_bead(const cq_plan *plan, cq_log_about *about, cq_error *error) {
    if (plan->probes_n != 1) {
        return cq_error_say(error, CQ_ERR_PLAN, "record.probes", "one probe: where the bead sits",
                            "for instance record: {probes: [{name: bead, depth: 1 mm, lag: 50 ms}]}", "%zu probes",
                            plan->probes_n);
    }
    const cq_probe_plan *bead = &plan->probes[0];
    about->depth_m = bead->depth_m > 0.0 ? bead->depth_m : bead->face == CQ_FACE_MID ? 0.5 * plan->blade.spine_m : 0.0;
    about->lag_s = bead->lag_s;
    if (plan->coat.n > 0) {
        return cq_error_say(error, CQ_ERR_PLAN, "clay", "a bare probe", "", "a probe under clay");
    }
    return CQ_OK;
}

/* Does the log begin about as hot as the plan says the piece was? A unit that was wrongly labelled, or a log cut too
 * late, does not. A second or two of air cools a probe by some 20 K; limits chosen here. */
static cq_status check_start(const cq_plan *plan, const cq_log *log, double bath_K, cq_error *error) {
    const double HOTTER_K = 50.0, COLDER_SHARE = 1.0 / 3.0;
    const double said_K = plan->heat.start_K > 0.0 ? plan->heat.start_K : plan->heat.temperature_K;
    const double off_K = log->temp_K[0] - said_K;
    if (!(said_K > 0.0) || (off_K < HOTTER_K && off_K > -COLDER_SHARE * (said_K - bath_K))) {
        return CQ_OK;
    }
    return cq_error_say(error, CQ_ERR_PLAN, "log",
                        off_K > 0.0 ? "about what the plan says the piece was heated to"
                                    : "a log that begins as the piece meets the bath",
                        "is the unit in the log's header right, °C or °F? else write start: into the plan as it was",
                        "a log that begins at %.0f °C, of a piece that the plan heats to %.0f °C",
                        log->temp_K[0] - 273.15, said_K - 273.15);
}

static cq_status tell_log(const cq_call *call, const cq_inverse *inverse, const cq_log_about *about,
                          cq_unit_system units, cq_error *error) {
    const char *folder = call->value[FOLDER];
    char *json = NULL, *screen = NULL, *profile = NULL;
    cq_status status = cq_report_log_json(inverse, about, &json);
    status = status < 0 ? status : cq_report_log_profile(inverse, about, &profile);
    if (status >= 0 && call->value[JSON] == NULL) {
        status = cq_report_log_screen(inverse, about, units, &screen);
    }
    if (status >= 0 && (screen == NULL || call->value[QUIET] == NULL)) {
        fputs(screen == NULL ? json : screen, stdout);
        fflush(stdout);
    }
    if (status >= 0 && folder != NULL) {
        status = cq_output_text(folder, about->bath, "yaml", profile, error);
        status = status < 0 ? status : cq_output_json(folder, "tune", json, error);
        if (status >= 0 && screen != NULL && call->value[QUIET] == NULL) {
            printf("Written to %s; a plan there says   in: %s\n", folder, about->bath);
        }
    } else if (status >= 0 && screen != NULL && call->value[QUIET] == NULL) {
        printf("-o DIR writes the bath; a plan there says   in: %s\n", about->bath);
    }
    cq_text_free(json);
    cq_text_free(screen);
    cq_text_free(profile);
    return status;
}

static cq_status tune_log(const cq_call *call, const char *seen, const cq_plan *plan, double noise_K,
                          cq_unit_system units, cq_error *error) {
    cq_log log = {0, NULL, NULL};
    cq_inverse *inverse = NULL;
    cq_log_about about = {.bath = call->value[BATH], .log = call->operands[1], .probe = plan};
    cq_status status = place_bead(plan, &about, error);
    const cq_step_plan *step = status < 0 ? NULL : bath_step(plan, error);
    status = status < 0 ? status : step == NULL ? CQ_ERR_PLAN : cq_log_read(&log, seen, error);
    status = status < 0 ? status : check_start(plan, &log, step->at_K, error);
    if (status >= 0) {
        const cq_inverse_wish wish = {
            {plan->blade.family, plan->blade.spine_m, &plan->steel, about.depth_m, about.lag_s},
            &log,
            step->at_K,
            noise_K};
        status = cq_inverse_create(&inverse, &wish, error);
    }
    status = status < 0 ? status : tell_log(call, inverse, &about, units, error);
    cq_inverse_free(inverse);
    cq_log_clear(&log);
    return status;
}

/* ---- evidence ---------------------------------------------------------------------------------------------------- */

typedef struct watched {
    bool visible;
} watched;

static bool go_on(void *context, size_t runs) {
    const watched *w = context;
    if (w->visible) {
        fprintf(stderr, "\r%zu runs", runs);
    }
    return !cq_interrupted();
}

static cq_status write_profiles(const cq_tuning *tuning, const char *json, const char *folder, bool said,
                                cq_error *error) {
    cq_tuned_profile profiles[CQ_TUNED_PROFILES];
    const int n = cq_report_tune_profiles(tuning, profiles);
    cq_status status = n < 0 ? CQ_ERR_MEMORY : cq_output_json(folder, "tune", json, error);
    size_t written = 0;
    for (int p = 0; p < n && status >= 0; p++) {
        if (profiles[p].text != NULL) {
            status = cq_output_text(folder, profiles[p].name, "yaml", profiles[p].text, error);
            written++;
        }
    }
    if (status >= 0 && said) {
        printf("Written to %s: tune.json and %zu profile%s.\n", folder, written, written == 1 ? "" : "s");
    }
    cq_tuned_profiles_free(profiles, n);
    return status;
}

static cq_status tell_tuning(const cq_call *call, const cq_tuning *tuning, cq_unit_system units, cq_error *error) {
    const char *folder = call->value[FOLDER];
    char *json = NULL, *screen = NULL;
    cq_status status = cq_report_tune_json(tuning, &json);
    if (status >= 0 && call->value[JSON] == NULL) {
        status = cq_report_tune_screen(tuning, units, &screen);
    }
    if (status >= 0 && (screen == NULL || call->value[QUIET] == NULL)) {
        fputs(screen == NULL ? json : screen, stdout);
        fflush(stdout);
    }
    if (status >= 0 && folder != NULL) {
        status = write_profiles(tuning, json, folder, screen != NULL && call->value[QUIET] == NULL, error);
    }
    cq_text_free(json);
    cq_text_free(screen);
    return status;
}

static cq_status tune_evidence(const cq_call *call, const char *seen, const char *path, const cq_plan *plan,
                               cq_unit_system units, cq_error *error) {
    cq_evidence *evidence = NULL;
    cq_tuning *tuning = NULL;
    watched w = {isatty(STDERR_FILENO) && call->value[QUIET] == NULL};
    cq_status status = cq_evidence_read(&evidence, seen, path, plan, cq_search_default(), error);
    if (status >= 0) {
        const cq_tune_watch watch = {go_on, &w};
        status = cq_tuning_create(&tuning, plan, evidence, &watch, error);
        if (w.visible) {
            fputs("\r                    \r", stderr);
        }
    }
    status = status < 0 ? status : tell_tuning(call, tuning, units, error);
    cq_tuning_free(tuning);
    cq_evidence_free(evidence);
    return status;
}

static int run(const cq_call *call) {
    cq_unit_system units;
    double noise_K;
    char path[512], demo[2][512];
    const char *seen = evidence_path(call->operands[1], demo[0]);
    if (!read_options(call, &units, &noise_K)) {
        return CQ_EXIT_USAGE;
    }
    if (call->value[BATH] == NULL && cq_log_is_one(seen)) {
        fprintf(stderr,
                "clayquench tune: error: '%s' is a log of time and temperature; add --bath NAME, the name of the "
                "bath profile to make of it\n",
                call->operands[1]);
        return CQ_EXIT_USAGE;
    }
    cq_interrupt_watch();
    cq_error error = CQ_ERROR_INIT;
    cq_plan plan;
    cq_plan_init(&plan);
    const char *file = cq_path_of(evidence_path(call->operands[0], demo[1]), "plan", path);
    cq_status status = cq_plan_read(&plan, file, cq_search_default(), &error);
    if (status >= 0 && call->value[FOLDER] != NULL) {
        status = cq_folder_make(call->value[FOLDER], &error);
    }
    if (status >= 0) {
        status = call->value[BATH] != NULL ? tune_log(call, seen, &plan, noise_K, units, &error)
                                           : tune_evidence(call, seen, file, &plan, units, &error);
    }
    cq_plan_clear(&plan);
    return cq_exit_complaining(status, &error);
}

const cq_command cq_command_tune = {
    .name = "tune",
    .operands = "PLAN FILE",
    .operands_min = 2,
    .operands_max = 2,
    .summary = "fit clay, bath and steel to what a shop saw",
    .description =
        "FILE is evidence: YAML that begins with format: clayquench-evidence 1, or a table whose header names the\n"
        "keys of its items (what, value, method, error, place, station, thickness, plan, change, note). Shows what\n"
        "of clay, bath and steel it tells, with errors, what it cannot tell and which coupon would, and what\n"
        "contradicts.\n"
        "With --bath NAME, FILE is a thermocouple's log, time (s),temperature (°C), taken in the test piece of PLAN\n"
        "(a plate or round of inert steel whose record: says where the bead sits): heat transfer against face\n"
        "temperature, as a bath that plans can name. With -o, DIR gets the new profiles.\n",
    .options = options,
    .run = run,
};
