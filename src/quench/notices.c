/* notices.c - what a run has to tell besides its answer: notices it noticed, cautions that fit bath, clay and steps. */
#include "quench/run.h"

#include "base/units.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

void cq_run_notice(cq_run *run, const char *code, size_t count, const char *format, ...) {
    cq_result *r = &run->result;
    cq_notice notice = {.count = count};
    snprintf(notice.code, sizeof notice.code, "%s", code);
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(notice.sentence, sizeof notice.sentence, format, arguments);
    va_end(arguments);
    for (size_t n = 0; n < r->notices_n; n++) {
        if (strcmp(r->notices[n].code, code) == 0 && strcmp(r->notices[n].sentence, notice.sentence) == 0) {
            r->notices[n].count += count;
            return;
        }
    }
    const size_t room = sizeof r->notices / sizeof r->notices[0];
    if (r->notices_n == room) { /* the last place counts what found none */
        cq_notice *last = &r->notices[room - 1];
        if (strcmp(last->code, "more-notices") != 0) {
            *last = (cq_notice){"more-notices", 1, "further notices found no place in the list"};
        }
        last->count += count;
        return;
    }
    r->notices[r->notices_n++] = notice;
}

void cq_run_notice_outside(cq_run *run, size_t plan_step) {
    if (run->outside.times == 0) {
        return;
    }
    const cq_flux_range range = cq_flux_law_range(run->law);
    const char *name = run->plan->steps[plan_step].bath.name;
    const bool below = run->outside.low_K<range.low_K, above = run->outside.high_K> range.high_K;
    char least[40], most[40], low[40], high[40];
    cq_run_notice(
        run, "table-range", run->outside.times,
        "steps.%zu: faces at %s%s%s are outside the table of %.40s, %s to %s; its end value was held", plan_step,
        below ? cq_temperature_text(run->outside.low_K, low, sizeof low) : "", below && above ? " and " : "",
        above ? cq_temperature_text(run->outside.high_K, high, sizeof high) : "", name == NULL ? "the bath" : name,
        cq_temperature_text(range.low_K, least, sizeof least), cq_temperature_text(range.high_K, most, sizeof most));
    run->outside.times = 0;
}

static void caution(cq_run *run, const char *sentence) {
    cq_result *r = &run->result;
    if (r->cautions_n < sizeof r->cautions / sizeof r->cautions[0]) {
        r->cautions[r->cautions_n++] = sentence;
    }
}

/* What a plan's timeline holds that can hurt. */
typedef struct hazards {
    bool water, oil;
    bool at_flash, near_flash; /* an oil at its flash point, or within 28 K of it */
    bool water_into_oil;       /* oil after water, whatever its temperature */
    bool water_into_hot;       /* a bath above 100 degC after water, or under clay that may hold some */
} hazards;

static bool is_oil(const cq_bath *b) {
    return b->kind == CQ_BATH_OIL || b->flash_K > 0.0 ||
           (b->name != NULL && (strstr(b->name, "oil") != NULL || strstr(b->name, "canola") != NULL));
}

static hazards hazards_of(const cq_plan *plan) {
    const double near_K = 28.0, steam_K = 373.15; /* 28 K (50 degF): 29 CFR 1910.126 */
    const bool clay = plan->coat.n > 0 || plan->coat.edge_m > 0.0 || plan->coat.spine_m > 0.0;
    hazards h = {false};
    for (size_t s = 0; s < plan->steps_n; s++) {
        const cq_step_plan *step = &plan->steps[s];
        const bool oil = is_oil(&step->bath);
        h.at_flash = h.at_flash || (step->bath.flash_K > 0.0 && step->at_K >= step->bath.flash_K);
        h.near_flash = h.near_flash || (step->bath.flash_K > 0.0 && step->at_K > step->bath.flash_K - near_K);
        h.water_into_hot = h.water_into_hot || (step->bath.kind != CQ_BATH_GAS && step->at_K > steam_K &&
                                                (h.water || (clay && !plan->coat_fired)));
        h.water_into_oil = h.water_into_oil || (oil && h.water);
        h.water = h.water || step->bath.kind == CQ_BATH_BOILING;
        h.oil = h.oil || oil;
    }
    return h;
}

static void caution_oil(cq_run *run, const hazards *h) {
    if (h->at_flash) {
        caution(run, "An oil of this plan is at or above its flash point: hot steel will set it alight. Do not quench. "
                     "29 CFR 1910.126 "
                     "keeps a bath at least 28 °C (50 °F) below it.");
    } else if (h->near_flash) {
        caution(run, "An oil of this plan is within 28 °C (50 °F) of its flash point, where 29 CFR 1910.126 asks for "
                     "an alarm: cool the "
                     "bath before hot steel goes in.");
    }
    if (h->water_into_hot) {
        caution(run, "Water or damp clay carried into a bath above 100 °C (212 °F) flashes to steam and throws the "
                     "bath: dry the clay "
                     "through, and never go from water into hot oil wet.");
    }
    if (h->water_into_oil) {
        caution(run, "Water carried into oil sinks under it and erupts under the next hot blade: dry blade and clay "
                     "before the oil, and "
                     "look for water at the bottom of the tank.");
    }
    if (h->oil) {
        caution(run, "Hot oil burns: submerge the blade fast and whole, keep the bath at least 28 °C (50 °F) below its "
                     "flash point "
                     "(29 CFR 1910.126), no water in or under it, a lid and a class B extinguisher at hand.");
    }
}

/* Sources: 29 CFR 1910.126, 1910.1053, 1910.133; HSE EH40; ANSI Z87.1; the rest common practice, no source. Gravest
 * first. */
void cq_run_cautions(cq_run *run) {
    const cq_plan *plan = run->plan;
    const hazards h = hazards_of(plan);
    caution_oil(run, &h);
    if (h.water) {
        caution(run, "Steam and spitting water scald: gloves, apron and face shield (29 CFR 1910.133, ANSI Z87.1), "
                     "nobody beside the bath.");
    }
    if (run->transforming && run->soaks[0].soak.austenite > 1e-3) {
        caution(run, "Brittle as quenched, steel can fly apart: eye protection on, temper at once.");
    }
    if (plan->coat.n > 0 || plan->coat.edge_m > 0.0 || plan->coat.spine_m > 0.0) {
        caution(run, "Mixing and scraping clay frees crystalline silica dust: wet methods or a respirator (29 CFR "
                     "1910.1053, HSE EH40).");
    }
    caution(run, "This is an estimate, not a clearance: cracks and warps are not foreseen here. Local codes and "
                 "licensed practice come first.");
}
