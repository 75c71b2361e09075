/* fold.c - the command that follows carbon through a folded bar. */
#include "cli/cli.h"

#include "base/units.h"

#include <clayquench/report_fold.h>
#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { THICKNESS, CARBON, HEATS, FOLDS, LAYERS, JSON, UNITS };
static const cq_option options[] = {
    [THICKNESS] = {"thickness", 0, "LENGTH", "of the bar, drawn out after every fold: \"5 mm\""},
    [CARBON] = {"carbon", 0, "SHARES", "of the bars in the stack, from one face to the other: \"0.9 %, 0.2 %\""},
    [HEATS] = {"heats", 0, "HEATS", "of the stack's weld and of each fold: \"1200 °C for 5 min, ...\""},
    [FOLDS] = {"folds", 0, "NUMBER", "how often the bar is folded (0)"},
    [LAYERS] = {"layers", 0, "NUMBER", "bars in the stack; as many as shares if left out, else these repeat"},
    [JSON] = {"json", 0, NULL, "print one JSON object on stdout instead of the screen"},
    [UNITS] = {"units", 0, "UNITS", "units of the screen: metric (default) or us"},
    {0},
};

enum { PIECE = 96 };

static bool complain(int option, const char *found, const char *expected, const char *hint) {
    fprintf(stderr, "clayquench fold: error: --%s '%s'; expected %s%s%s\n", options[option].name, found, expected,
            hint == NULL ? "" : "; ", hint == NULL ? "" : hint);
    return false;
}

/* The text between two commas, without blanks around it; *from moves behind the comma, to NULL after the last. */
static void next_piece(const char **from, char piece[PIECE]) {
    const char *comma = strchr(*from, ','), *end = comma == NULL ? *from + strlen(*from) : comma;
    while (*from < end && **from == ' ') {
        ++*from;
    }
    while (end > *from && end[-1] == ' ') {
        end--;
    }
    snprintf(piece, PIECE, "%.*s", (int)(end - *from < PIECE ? end - *from : PIECE - 1), *from);
    *from = comma == NULL ? NULL : comma + 1;
}

static bool read_quantity(int option, const char *text, cq_dimension dimension, double *si) {
    return cq_quantity_wanted("fold", options[option].name, text, dimension, si);
}

static bool read_count(int option, const char *text, size_t *count) {
    char *end;
    errno = 0;
    const long number = strtol(text, &end, 10);
    if (end == text || *end != '\0' || errno != 0 || number < 0 || number > 1000) {
        return complain(option, text, "a whole number, for instance 8", NULL);
    }
    *count = (size_t)number;
    return true;
}

static bool read_carbon(const char *text, double carbon_wt[CQ_FOLD_LAYERS], size_t *n) {
    char piece[PIECE];
    for (*n = 0; text != NULL; ++*n) {
        next_piece(&text, piece);
        if (*n == CQ_FOLD_LAYERS) {
            return complain(CARBON, piece, "at most 40 shares", NULL);
        }
        if (!read_quantity(CARBON, piece, CQ_DIM_SHARE, &carbon_wt[*n])) {
            return false;
        }
        carbon_wt[*n] *= 100.0;
    }
    return true;
}

/* "1200 °C for 5 min" */
static bool read_heat(const char *piece, cq_fold_heat *heat) {
    char temperature[PIECE];
    const char *between = strstr(piece, " for ");
    if (between == NULL) {
        return complain(HEATS, piece, "temperature and time, for instance 1200 °C for 5 min", NULL);
    }
    snprintf(temperature, sizeof temperature, "%.*s", (int)(between - piece), piece);
    if (!read_quantity(HEATS, temperature, CQ_DIM_TEMPERATURE, &heat->temp_K) ||
        !read_quantity(HEATS, between + 5, CQ_DIM_TIME, &heat->time_s)) {
        return false;
    }
    return heat->time_s > 0.0 || complain(HEATS, piece, "a time above 0", NULL);
}

static bool read_heats(const char *text, cq_fold_heat heats[CQ_FOLD_HEATS], size_t *n) {
    char piece[PIECE];
    for (*n = 0; text != NULL; ++*n) {
        next_piece(&text, piece);
        if (*n == CQ_FOLD_HEATS) {
            return complain(HEATS, piece, "at most 64 heats", NULL);
        }
        if (!read_heat(piece, &heats[*n])) {
            return false;
        }
    }
    return true;
}

static bool read_wish(const cq_call *call, cq_fold_wish *wish, double carbon_wt[CQ_FOLD_LAYERS],
                      cq_fold_heat heats[CQ_FOLD_HEATS]) {
    for (int needed = THICKNESS; needed <= HEATS; needed++) {
        if (call->value[needed] == NULL) {
            fprintf(stderr, "clayquench fold: error: --%s is missing: %s; see 'clayquench fold --help'\n",
                    options[needed].name, options[needed].help);
            return false;
        }
    }
    *wish = (cq_fold_wish){.carbon_wt = carbon_wt, .heats = heats};
    if (!read_quantity(THICKNESS, call->value[THICKNESS], CQ_DIM_LENGTH, &wish->bar_m) ||
        !read_carbon(call->value[CARBON], carbon_wt, &wish->carbon_n) ||
        !read_heats(call->value[HEATS], heats, &wish->heats_n)) {
        return false;
    }
    wish->layers = wish->carbon_n;
    return (call->value[FOLDS] == NULL || read_count(FOLDS, call->value[FOLDS], &wish->folds)) &&
           (call->value[LAYERS] == NULL || read_count(LAYERS, call->value[LAYERS], &wish->layers));
}

static int run(const cq_call *call) {
    cq_unit_system units;
    cq_fold_wish wish;
    double carbon_wt[CQ_FOLD_LAYERS];
    cq_fold_heat heats[CQ_FOLD_HEATS];
    if (!cq_units_wanted("fold", call->value[UNITS], &units) || !read_wish(call, &wish, carbon_wt, heats)) {
        return CQ_EXIT_USAGE;
    }
    cq_error error = CQ_ERROR_INIT;
    cq_fold_card *card = NULL;
    char *text = NULL;
    cq_status status = cq_fold_card_create(&card, &wish, &error);
    if (status >= 0) {
        status =
            call->value[JSON] != NULL ? cq_report_fold_json(card, &text) : cq_report_fold_screen(card, units, &text);
    }
    if (status >= 0) {
        fputs(text, stdout);
    }
    cq_text_free(text);
    cq_fold_card_free(card);
    return cq_exit_complaining(status, &error);
}

const cq_command cq_command_fold = {
    .name = "fold",
    .operands = "",
    .operands_min = 0,
    .operands_max = 0,
    .summary = "a folded bar: layers, and how carbon evens out",
    .description =
        "Bars of different carbon are stacked, welded and folded. Shows how thin the layers get, in what time carbon\n"
        "evens out between them, and what is left of the difference after each heat. The first heat welds the stack,\n"
        "the next ones weld the folds; the last is repeated for folds that have none of their own, and what is left\n"
        "over soaks the finished bar. --thickness, --carbon and --heats must be there.\n",
    .options = options,
    .run = run,
};
