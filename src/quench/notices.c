/* notices.c - what a run has to tell besides its answer: notices it noticed, cautions that fit bath, clay and steps. */
#include "quench/heats.h"
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

/* One caution: its sentence, and the same in a few words for a screen that is full; "": grave, never shortened. */
typedef struct caution {
    const char *sentence, *brief;
} caution;

typedef struct caution_list {
    size_t n;
    const caution *item[16];
} caution_list;

static void add_caution(caution_list *list, const caution *c) {
    if (list->n < sizeof list->item / sizeof list->item[0]) {
        list->item[list->n++] = c;
    }
}

/* What a timeline holds that can hurt, each bath at the hottest it got, or as stated where there was no run. */
typedef struct hazards {
    bool water, oil;
    bool at_flash, near_flash; /* an oil at its flash point, or within 28 K of it */
    bool water_into_oil;       /* oil after water, whatever its temperature */
    bool water_into_hot;       /* a bath above 100 degC after water, or under clay that may hold some */
    bool again;                /* hardened before */
    bool late;                 /* more than an hour between a quench and its temper */
} hazards;

static const double LATE_S = 3600.0; /* common practice, no source */

static bool is_oil(const cq_bath *b) {
    return b->kind == CQ_BATH_OIL || b->flash_K > 0.0 ||
           (b->name != NULL && (strstr(b->name, "oil") != NULL || strstr(b->name, "canola") != NULL));
}

static hazards hazards_of(const cq_plan *plan, const cq_run *run) {
    const double near_K = 28.0, steam_K = 373.15; /* 28 K (50 degF): 29 CFR 1910.126 */
    const bool clay = plan->coat.n > 0 || plan->coat.edge_m > 0.0 || plan->coat.spine_m > 0.0;
    hazards h = {.again = plan->earlier_n > 0 || plan->heat.stock == CQ_STOCK_QUENCHED,
                 .late = plan->temper_n > 0 && plan->temper_after_s > LATE_S};
    for (size_t s = 0; s < plan->steps_n; s++) {
        const cq_bath *bath = &plan->steps[s].bath;
        const bool seen = run != NULL && run->baths[s].hottest_K > 0.0;
        const double hottest_K = seen ? run->baths[s].hottest_K : plan->steps[s].at_K;
        const bool oil = is_oil(bath);
        h.at_flash = h.at_flash || (bath->flash_K > 0.0 && hottest_K >= bath->flash_K);
        h.near_flash = h.near_flash || (bath->flash_K > 0.0 && hottest_K > bath->flash_K - near_K);
        h.water_into_hot = h.water_into_hot || (bath->kind != CQ_BATH_GAS && hottest_K > steam_K &&
                                                (h.water || (clay && !plan->coat_fired)));
        h.water_into_oil = h.water_into_oil || (oil && h.water);
        h.water = h.water || bath->kind == CQ_BATH_BOILING;
        h.oil = h.oil || oil;
    }
    return h;
}

/* Of all heats together; how warm a bath got is known of the last alone. */
static hazards hazards_of_all(const cq_plan *plan, const cq_run *run) {
    hazards all = hazards_of(plan, run);
    for (size_t e = 0; e < plan->earlier_n; e++) {
        const cq_plan before = cq_plan_up_to(plan, e);
        const hazards h = hazards_of(&before, NULL);
        all.water = all.water || h.water;
        all.oil = all.oil || h.oil;
        all.at_flash = all.at_flash || h.at_flash;
        all.near_flash = all.near_flash || h.near_flash;
        all.water_into_oil = all.water_into_oil || h.water_into_oil;
        all.water_into_hot = all.water_into_hot || h.water_into_hot;
        all.late = all.late || h.late;
    }
    return all;
}

#define AT_HAND "Submerge fast and whole; a lid and a class B extinguisher at hand, no water in or under it."
#define BURNS "Hot oil burns: keep the bath at least 28 °C (50 °F) below its flash point (29 CFR 1910.126). " AT_HAND
#define FLASHES                                                                                                        \
    "Water or damp clay carried into a bath above 100 °C (212 °F) flashes to steam and throws the bath: dry blade "  \
    "and "                                                                                                             \
    "clay through first."
#define FLASHES_AND_SINKS                                                                                              \
    "Water or damp clay carried into a bath above 100 °C (212 °F) flashes to steam and throws the bath; what sinks " \
    "erupts under the next hot blade: dry blade and clay first, look for water at the bottom."
#define SINKS                                                                                                          \
    "Water carried into oil sinks under it and erupts under the next hot blade: dry blade and clay before the oil, "   \
    "look for water at the bottom of the tank."

static const caution AT_FLASH = {
    "An oil bath is at or above its flash point: hot steel will set it alight. Do not quench: 29 CFR 1910.126 "
    "keeps a bath at least 28 °C (50 °F) below it. A lid and a class B extinguisher at hand, no water in or under it.",
    "oil at its flash point: do not quench"};
static const caution NEAR_FLASH = {
    "An oil bath comes within 28 °C (50 °F) of its flash point, where 29 CFR 1910.126 asks for an alarm: "
    "cool it or take more oil first. " AT_HAND,
    "oil near its flash point: cool it"};
static const caution OIL = {BURNS, "hot oil burns: lid, class B extinguisher"};
/* Water with oil or heat; [in hot][into oil], alone beside an oil that is near its flash point. */
static const caution WATER[2][2] = {{{NULL, NULL}, {SINKS, ""}}, {{FLASHES, ""}, {FLASHES_AND_SINKS, ""}}};
/* The same together with the oil's own caution. */
static const caution WET_OIL[2][2] = {
    {{NULL, NULL}, {SINKS " " BURNS, "hot oil burns, and erupts with water in it"}},
    {{FLASHES " " BURNS, "hot oil burns, and erupts with water in it"},
     {FLASHES " What sinks erupts later: look for water at the bottom of the tank. " BURNS,
      "hot oil burns, and erupts with water in it"}}};
static const caution STEAM = {"Steam and spitting water scald: gloves, apron and face shield (29 CFR 1910.133, ANSI "
                              "Z87.1), nobody beside the bath.",
                              "steam scalds: gloves, face shield"};
static const caution BRITTLE = {"Brittle as quenched, steel can fly apart: eye protection on, temper at once.",
                                "eye protection, temper at once"};
static const caution LATE = {"Hardened steel left for more than an hour before its temper can crack as it lies: temper "
                             "at once.",
                             "left long before the temper: it can crack"};
static const caution AGAIN = {
    "Hardening a blade again cracks it more easily than the first time: normalise it first, or "
    "temper it and heat it slowly.",
    "hardened again: cracks more easily"};
static const caution SILICA = {"Clay dust is silica: wet methods or a respirator (29 CFR 1910.1053, HSE EH40).",
                               "silica dust: respirator"};
static const caution ESTIMATE = {"All of this is an estimate, not a clearance: local codes and licensed practice come "
                                 "first.",
                                 "this is an estimate, not a clearance"};

/* Fire first; water that gets into a bath is told together with the oil where that is not about to burn. */
static void caution_oil(caution_list *list, const hazards *h) {
    const bool wet = h->water_into_hot || h->water_into_oil;
    if (h->at_flash || h->near_flash) {
        add_caution(list, h->at_flash ? &AT_FLASH : &NEAR_FLASH);
    } else if (h->oil) {
        add_caution(list, wet ? &WET_OIL[h->water_into_hot][h->water_into_oil] : &OIL);
        return;
    }
    if (wet) {
        add_caution(list, &WATER[h->water_into_hot][h->water_into_oil]);
    }
}

/* Sources: 29 CFR 1910.126, 1910.1053, 1910.133; HSE EH40; ANSI Z87.1; the rest common practice, no source. Gravest
 * first. */
static caution_list list_cautions(const cq_plan *plan, const cq_run *run, bool hardens, bool hard) {
    const hazards h = hazards_of_all(plan, run);
    caution_list list = {0};
    caution_oil(&list, &h);
    if (h.water) {
        add_caution(&list, &STEAM);
    }
    if (hardens) {
        add_caution(&list, &BRITTLE);
    }
    if (hardens && h.again) {
        add_caution(&list, &AGAIN);
    }
    if (hard && h.late) {
        add_caution(&list, &LATE);
    }
    if (plan->coat.n > 0 || plan->coat.edge_m > 0.0 || plan->coat.spine_m > 0.0) {
        add_caution(&list, &SILICA);
    }
    add_caution(&list, &ESTIMATE);
    return list;
}

/* Hard enough to crack as it lies: as a knife's edge, somewhere; chosen here. After the answer. */
static bool is_hard(const cq_run *run) {
    const cq_result *r = &run->result;
    const double HARD_HV = 600.0;
    return run->transforming && (r->edge.HV > HARD_HV || r->body.HV > HARD_HV || r->spine.HV > HARD_HV);
}

void cq_run_cautions(cq_run *run) {
    cq_result *r = &run->result;
    const caution_list list = list_cautions(
        run->plan, run, run->transforming && cq_run_soak_at(run, cq_run_edge_cell(run))->soak.austenite > 1e-3,
        is_hard(run));
    for (size_t c = 0; c < list.n && r->cautions_n < sizeof r->cautions / sizeof r->cautions[0]; c++) {
        r->cautions_brief[r->cautions_n] = list.item[c]->brief;
        r->cautions[r->cautions_n++] = list.item[c]->sentence;
    }
}

/* ---- of plans not run -------------------------------------------------------------------------------------------- */

enum { WET_FIRST = 2, WET_LAST = 4, OIL_ALONE = 8 };
static const caution *const ALL[CQ_CAUTIONS] = {
    &AT_FLASH, &NEAR_FLASH, &WET_OIL[1][1], &WET_OIL[1][0], &WET_OIL[0][1], &WATER[1][1], &WATER[1][0], &WATER[0][1],
    &OIL,      &STEAM,      &BRITTLE,       &AGAIN,         &LATE,          &SILICA,      &ESTIMATE};

unsigned cq_plan_cautions(const cq_plan *plan) {
    const caution_list list =
        list_cautions(plan, NULL, plan->steel.kind == CQ_STEEL_TRANSFORMING, plan->steel.kind == CQ_STEEL_TRANSFORMING);
    unsigned set = 0;
    for (size_t n = 0; n < list.n; n++) {
        for (int c = 0; c < CQ_CAUTIONS; c++) {
            set |= ALL[c] == list.item[n] ? 1u << c : 0u;
        }
    }
    return set;
}

unsigned cq_cautions_join(unsigned a, unsigned b) {
    const unsigned set = a | b, wet = set & ((2u << WET_LAST) - (1u << WET_FIRST));
    return wet != 0 ? set & ~(1u << OIL_ALONE) : set; /* it is said there already */
}

const char *cq_caution_sentence(int number) {
    return ALL[number]->sentence;
}
