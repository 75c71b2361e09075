/* steel.c - the command that shows what a steel does by itself: temperatures, charts, critical rates and sizes. */
#include "cli/cli.h"

#include <clayquench/report.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

enum { BATCH, SOAK, HOLD, STRUCTURE, JSON, FOLDER, UNITS };
static const cq_option options[] = {
    [BATCH] = {"batch", 0, "ELEMENTS", "elements of a batch certificate: \"C: 0.80 %, Mn: 0.35 %\""},
    [SOAK] = {"soak", 0, "TEMPERATURE", "soak temperature (800 °C)"},
    [HOLD] = {"hold", 0, "TIME", "time at it (5 min)"},
    [STRUCTURE] = {"structure", 0, "WORD", "structure before the heat (normalised)"},
    [JSON] = {"json", 0, NULL, "print one JSON object on stdout instead of the screen"},
    [FOLDER] = {"output", 'o', "DIR", "write pictures and card.json into DIR"},
    [UNITS] = {"units", 0, "UNITS", "units of the screen: metric (default) or us"},
    {0},
};

enum { TEXT_SIZE = 4096, FOLDER_SIZE = 512 };

/* ---- the wish, as a plan ----------------------------------------------------------------------------------------- */

/* Baths the sizes are asked in, as steps; a cold bath is the strongest of its kind. Left out where there is no profile
 * of that name. */
static const struct {
    const char *name, *step;
} BATHS[] = {
    {"water", "  - {in: water, at: 20 °C, for: 1 s}\n"},
    {"brine-10", "  - {in: brine-10, at: 20 °C, for: 1 s}\n"},
    {"fast-oil", "  - {in: fast-oil, for: 1 s}\n"},
};
static const char *const CLAY = "stone-charcoal-clay"; /* the mix of the shipped plans */

static bool is_there(const cq_profile_entry *entries, size_t n, const char *kind, const char *name) {
    for (size_t e = 0; e < n; e++) {
        if (strcmp(entries[e].kind, kind) == 0 && strcmp(entries[e].name, name) == 0) {
            return true;
        }
    }
    return false;
}

/* What was typed must stay in its place in the text. */
static bool is_plain(const char *words) {
    return words == NULL || (strpbrk(words, "{}[]\"\n\r\t") == NULL && strlen(words) < 512);
}

/* "dir/own.yaml" into the folder to look in first and the name there; a name without folder stands as it is. */
static void split_path(const char *operand, char folder[FOLDER_SIZE], char name[FOLDER_SIZE]) {
    const char *slash = strrchr(operand, '/'), *last = slash == NULL ? operand : slash + 1;
    snprintf(folder, FOLDER_SIZE, "%.*s", slash == NULL ? 1 : (int)(slash - operand + 1),
             slash == NULL ? "." : operand);
    snprintf(name, FOLDER_SIZE, "%s", last);
    char *end = strstr(name, ".yaml");
    if (end != NULL && strcmp(end, ".yaml") == 0) {
        *end = '\0';
    }
}

/* A path names that file: none of the same name elsewhere will do. */
static cq_status check_path(const char *operand, cq_error *error) {
    char file[FOLDER_SIZE + 8];
    snprintf(file, sizeof file, "%s.yaml", operand);
    if (strchr(operand, '/') == NULL || access(operand, F_OK) == 0 || access(file, F_OK) == 0) {
        return CQ_OK;
    }
    return cq_error_say(error, CQ_ERR_PLAN, "steel", "a file there", "a name without a folder is looked up everywhere",
                        "no steel profile '%.160s'", operand);
}

/* The wish as a plan's text, so that names, quantities and their faults are read as everywhere. */
static void write_plan(const cq_call *call, const char *name, char text[TEXT_SIZE]) {
    const char *batch = call->value[BATCH], *structure = call->value[STRUCTURE];
    cq_profile_entry *entries = NULL;
    size_t entries_n = 0, n;
    n = (size_t)snprintf(
        text, TEXT_SIZE,
        "format: clayquench-plan 1\nblade: {section: plate, thickness: 4 mm}\nsteel: {from: \"%s\"%s%s%s}\n", name,
        batch == NULL ? "" : ", batch: {", batch == NULL ? "" : batch, batch == NULL ? "" : "}");
    n += (size_t)snprintf(text + n, TEXT_SIZE - n, "heat: {temperature: %s, hold: %s%s%s}\n",
                          call->value[SOAK] == NULL ? "800 °C" : call->value[SOAK],
                          call->value[HOLD] == NULL ? "5 min" : call->value[HOLD],
                          structure == NULL ? "" : ", structure: ", structure == NULL ? "" : structure);
    cq_profile_list(cq_search_default(), &entries, &entries_n, NULL);
    if (is_there(entries, entries_n, "clay", CLAY)) {
        n += (size_t)snprintf(text + n, TEXT_SIZE - n, "clay: {mix: %s, coat: [{at: 0 mm, thickness: 2 mm}]}\n", CLAY);
    }
    n += (size_t)snprintf(text + n, TEXT_SIZE - n, "steps:\n");
    for (size_t b = 0; b < sizeof BATHS / sizeof BATHS[0]; b++) {
        if (is_there(entries, entries_n, "bath", BATHS[b].name)) {
            n += (size_t)snprintf(text + n, TEXT_SIZE - n, "%s", BATHS[b].step);
        }
    }
    cq_profile_list_free(entries);
}

static cq_status make_card(cq_steel_card **card, const cq_plan *plan, cq_error *error) {
    cq_card_bath baths[CQ_CARD_BATHS];
    size_t n = 0;
    if (plan->steel.kind != CQ_STEEL_TRANSFORMING) {
        return cq_error_say(error, CQ_ERR_PLAN, "steel", "a steel that hardens",
                            "'clayquench show NAME' prints its properties",
                            "%.60s does not transform: there is nothing to show",
                            plan->steel.name == NULL ? "this material" : plan->steel.name);
    }
    for (size_t s = 0; s < plan->steps_n && n < CQ_CARD_BATHS; s++) {
        baths[n++] = (cq_card_bath){plan->steps[s].bath, plan->steps[s].at_K};
    }
    const cq_card_wish wish = {{plan->heat.temperature_K, plan->heat.hold_s, plan->heat.stock},
                               n,
                               baths,
                               plan->coat.n > 0 ? &plan->clay : NULL};
    return cq_steel_card_create(card, &plan->steel, &wish, error);
}

/* ---- telling ----------------------------------------------------------------------------------------------------- */

static const char *stem_of(int picture) {
    return cq_card_picture_stem((cq_card_picture)picture);
}

static cq_status draw(const void *card, int picture, cq_picture_format format, unsigned char **bytes, size_t *length,
                      cq_error *error) {
    (void)error;
    return cq_card_picture_draw(card, (cq_card_picture)picture, format, bytes, length);
}

static cq_status write_folder(const cq_steel_card *card, const char *json, const char *folder, cq_error *error) {
    cq_status status = cq_folder_make(folder, error);
    status = status < 0 ? status : cq_output_json(folder, "card", json, error);
    return status < 0 ? status
                      : cq_output_pictures(folder, &(cq_gallery){CQ_CARD_PICTURES, stem_of, draw, card}, error);
}

static cq_status tell(const cq_call *call, const cq_steel_card *card, cq_unit_system units, cq_error *error) {
    const char *folder = call->value[FOLDER];
    const bool as_json = call->value[JSON] != NULL;
    char *json = NULL, *screen = NULL;
    cq_status status = cq_card_json(card, &json);
    status = status < 0 ? status : cq_card_screen(card, units, &screen);
    if (status >= 0) {
        fputs(as_json ? json : screen, stdout);
        fflush(stdout);
    }
    if (status >= 0 && folder != NULL) {
        status = write_folder(card, json, folder, error);
    }
    if (status >= 0 && folder != NULL && !as_json) {
        printf("\nWritten to %s: card.json and the pictures.\n", folder);
    }
    cq_text_free(json);
    cq_text_free(screen);
    return status;
}

static int run(const cq_call *call) {
    cq_unit_system units;
    if (!cq_units_wanted("steel", call->value[UNITS], &units)) {
        return CQ_EXIT_USAGE;
    }
    for (int o = BATCH; o <= STRUCTURE; o++) {
        if (!is_plain(call->value[o])) {
            fprintf(stderr, "clayquench steel: error: brackets, quotes or a line end in --%s\n", options[o].name);
            return CQ_EXIT_USAGE;
        }
    }
    char folder[FOLDER_SIZE], name[FOLDER_SIZE], text[TEXT_SIZE];
    split_path(call->operands[0], folder, name);
    if (!is_plain(name)) {
        fputs("clayquench steel: error: brackets, quotes or a line end in NAME\n", stderr);
        return CQ_EXIT_USAGE;
    }
    cq_interrupt_watch();
    write_plan(call, name, text);
    cq_error error = CQ_ERROR_INIT;
    cq_plan plan;
    cq_steel_card *card = NULL;
    cq_plan_init(&plan);
    cq_status status = check_path(call->operands[0], &error);
    status = status < 0
                 ? status
                 : cq_plan_read_text(&plan, text, strlen(text), "command line", folder, cq_search_default(), &error);
    status = status < 0 ? status : make_card(&card, &plan, &error);
    status = status < 0 ? status : tell(call, card, units, &error);
    const int code = cq_exit_complaining(status, &error);
    cq_steel_card_free(card);
    cq_plan_clear(&plan);
    return code;
}

const cq_command cq_command_steel = {
    .name = "steel",
    .operands = "NAME",
    .operands_min = 1,
    .operands_max = 1,
    .summary = "what a steel does: charts, critical rates and sizes",
    .description =
        "NAME is one that 'clayquench list steel' shows, or the file of an own profile. The screen says whether the\n"
        "steel will show a line and in what thickness, its temperatures, how fast it must cool, how hard it becomes\n"
        "and stays, and what the soak does. With -o, DIR is made if missing and gets card.json and the charts\n"
        "isothermal, continuous, end-quench, temper and soak as SVG, PNG and PDF.\n",
    .options = options,
    .run = run,
};
