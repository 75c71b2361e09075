/* bath.c - the command that shows what a bath does. */
#include "cli/cli.h"

#include <clayquench/report_bath.h>
#include <stdio.h>
#include <string.h>

enum { AT, AGITATION, JSON, FOLDER, UNITS };
static const cq_option options[] = {
    [AT] = {"at", 0, "TEMPERATURE", "temperature of the bath, for instance \"40 °C\"; absent: the profile's"},
    [AGITATION] = {"agitation", 0, "SPEED",
                   "speed of the bath past the steel, for instance \"0.3 m/s\"; absent: still"},
    [JSON] = {"json", 0, NULL, "print one JSON object on stdout instead of the screen"},
    [FOLDER] = {"output", 'o', "DIR", "write bath.json and the pictures into DIR"},
    [UNITS] = {"units", 0, "UNITS", "units of the screen: metric (default) or us"},
    {0},
};

enum { OTHERS = 9, PLANS = 4 + OTHERS };
static const char *const others[OTHERS] = {"brine-10",   "brine-5",  "water",  "fast-oil",
                                           "medium-oil", "slow-oil", "canola", "air"};
static const double COAT_M = 0.05e-3; /* a wash: where clay is faster than bare steel */

/* Plans that only carry profiles: the reader finds, reads and checks them as it does a smith's plan. */
typedef struct shelf {
    cq_plan plans[PLANS];
    size_t n;
} shelf;

/* The text is ours, not the user's: a complaint loses its place in it and names what was typed. */
static void retell(cq_complaint *c) {
    static const char *const typed[][2] = {
        {"steps.0.agitation", "--agitation"}, {"steps.0.at", "--at"}, {"steps.0.in", "NAME"}};
    c->line = c->column = 0;
    c->source_line[0] = '\0';
    for (size_t n = 0; n < sizeof typed / sizeof typed[0]; n++) {
        if (strcmp(c->key, typed[n][0]) == 0) {
            snprintf(c->key, sizeof c->key, "%s", typed[n][1]);
        }
    }
}

/* NULL after a complaint in *status. */
static const cq_plan *fetch(shelf *s, const char *steel, const char *clay, const char *step, cq_status *status,
                            cq_error *error) {
    char text[1024];
    snprintf(text, sizeof text,
             "format: clayquench-plan 1\nblade: {section: round, diameter: 12.5 mm}\nsteel: %s\nclay: {mix: %s, coat: "
             "[{at: 0 mm, thickness: 1 mm}]}\nstart: 850 °C\nsteps: [%s]\n",
             steel, clay, step);
    cq_plan *plan = &s->plans[s->n];
    cq_plan_init(plan);
    const size_t before = error->count;
    *status = cq_plan_read_text(plan, text, strlen(text), "", ".", cq_search_default(), error);
    for (size_t c = before; c < error->count; c++) {
        if (error->items[c].file[0] == '\0') {
            retell(&error->items[c]);
        }
    }
    if (*status < 0) {
        return NULL;
    }
    s->n++;
    return plan;
}

/* The bath's step as a plan has it, in single quotes where a name or path might mean something to YAML. */
static bool write_step(const cq_call *call, char step[512]) {
    double at_K = 0.0, speed = 0.0;
    size_t n = (size_t)snprintf(step, 512, "{in: '");
    for (const char *p = call->operands[0]; *p != '\0' && n + 260 < 512; p++) {
        step[n++] = *p;
        if (*p == '\'') {
            step[n++] = '\'';
        }
    }
    n += (size_t)snprintf(step + n, 512 - n, "', for: 1 s");
    if (call->value[AT] != NULL) {
        if (!cq_quantity_wanted("bath", "at", call->value[AT], CQ_DIM_TEMPERATURE, &at_K)) {
            return false;
        }
        n += (size_t)snprintf(step + n, 512 - n, ", at: '%.100s'", call->value[AT]);
    }
    if (call->value[AGITATION] != NULL) {
        if (!cq_quantity_wanted("bath", "agitation", call->value[AGITATION], CQ_DIM_SPEED, &speed)) {
            return false;
        }
        n += (size_t)snprintf(step + n, 512 - n, ", agitation: '%.100s'", call->value[AGITATION]);
    }
    snprintf(step + n, 512 - n, "}");
    return true;
}

/* Everything a card needs; the shelf holds it. */
static cq_status gather(shelf *s, const char *step, cq_bath_wish *wish, cq_clay clays[CQ_CARD_CLAYS],
                        cq_bath baths[OTHERS], cq_error *error) {
    static const char *const mixes[CQ_CARD_CLAYS] = {"kaolin", "stone-charcoal-clay", "mortar"};
    cq_status status;
    const cq_plan *own = fetch(s, "alloy-600", mixes[0], step, &status, error);
    if (own == NULL) {
        return status;
    }
    const cq_step_plan *first = &own->steps[0];
    *wish = (cq_bath_wish){.bath = &first->bath,
                           .at_K = first->at_K,
                           .agitation_m_s = first->agitation_m_s,
                           .probe_steel = &own->steel,
                           .clays = clays,
                           .coat_m = COAT_M,
                           .others = baths};
    for (size_t c = 0; c < CQ_CARD_CLAYS; c++) {
        const cq_plan *plan = fetch(s, "silver", mixes[c], "{in: air, for: 1 s}", &status, error);
        if (plan == NULL) {
            return status;
        }
        clays[wish->clays_n++] = plan->clay;
        wish->silver_steel = &plan->steel;
    }
    for (size_t b = 0; b < OTHERS && others[b] != NULL; b++) {
        char text[96];
        snprintf(text, sizeof text, "{in: %s, for: 1 s}", others[b]);
        const cq_plan *plan = fetch(s, "alloy-600", mixes[0], text, &status, error);
        if (plan == NULL) {
            return status;
        }
        baths[wish->others_n++] = plan->steps[0].bath;
    }
    return CQ_OK;
}

static const char *stem_of(int picture) {
    return cq_bath_picture_stem((cq_bath_picture)picture);
}

static cq_status draw(const void *card, int picture, cq_picture_format format, unsigned char **bytes, size_t *length,
                      cq_error *error) {
    (void)error;
    return cq_bath_picture_draw(card, (cq_bath_picture)picture, format, bytes, length);
}

static cq_status write_folder(const cq_bath_card *card, const char *json, const char *folder, cq_error *error) {
    cq_status status = cq_folder_make(folder, error);
    status = status < 0 ? status : cq_output_json(folder, "bath", json, error);
    return status < 0 ? status
                      : cq_output_pictures(folder, &(cq_gallery){CQ_BATH_PICTURES, stem_of, draw, card}, error);
}

static cq_status tell(const cq_call *call, const cq_bath_card *card, cq_unit_system units, cq_error *error) {
    char *json = NULL, *screen = NULL;
    const char *folder = call->value[FOLDER];
    cq_status status = cq_report_bath_json(card, &json);
    if (status >= 0 && call->value[JSON] == NULL) {
        status = cq_report_bath_screen(card, units, &screen);
    }
    if (status >= 0) {
        fputs(screen == NULL ? json : screen, stdout);
        fflush(stdout);
        status = folder == NULL ? CQ_OK : write_folder(card, json, folder, error);
    }
    if (status >= 0 && folder != NULL && screen != NULL) {
        printf("Written to %s: bath.json and the pictures.\n", folder);
    }
    cq_text_free(json);
    cq_text_free(screen);
    return status;
}

static int run(const cq_call *call) {
    cq_unit_system units;
    char step[512];
    if (!cq_units_wanted("bath", call->value[UNITS], &units)) {
        return CQ_EXIT_USAGE;
    }
    if (!write_step(call, step)) {
        return CQ_EXIT_USAGE;
    }
    cq_interrupt_watch();
    cq_error error = CQ_ERROR_INIT;
    shelf s = {.n = 0};
    cq_bath_wish wish;
    cq_clay clays[CQ_CARD_CLAYS];
    cq_bath baths[OTHERS];
    cq_bath_card *card = NULL;
    cq_status status = gather(&s, step, &wish, clays, baths, &error);
    status = status < 0 ? status : cq_bath_card_create(&card, &wish, &error);
    status = status < 0 ? status : tell(call, card, units, &error);
    cq_bath_card_free(card);
    for (size_t n = 0; n < s.n; n++) {
        cq_plan_clear(&s.plans[n]);
    }
    return cq_exit_complaining(status, &error);
}

const cq_command cq_command_bath = {
    .name = "bath",
    .operands = "NAME",
    .operands_min = 1,
    .operands_max = 1,
    .summary = "what a bath does: boiling curve, probes, thin clay",
    .description =
        "NAME is a bath that 'clayquench list bath' shows. Shows the heat it draws from bare and coated\n"
        "steel, the standard and the silver probe, its place among the shipped baths, and how fast a plate\n"
        "cools under clay of any thickness. With -o, DIR gets bath.json and three pictures as SVG, PNG and PDF.\n",
    .options = options,
    .run = run,
};
