/* plan_steps.c - whether a plan's timeline makes sense: baths, ends, entries, patches that fall off. */
#include "quench/plan_faults.h"

#include "boundary/brine.h"
#include "boundary/oil.h"

#include <math.h>
#include <stdio.h>

static const double BLADE_M = 0.03; /* height of a blade, for convection past it; chosen here */

/* True if the water of a boiling bath is liquid at `at_K`; complains if not. */
static bool check_liquid(cq_plan_faults *c, const char *key, const cq_step_plan *s) {
    const double freezing_K = cq_brine_freezing_K(s->bath.salt), boiling_K = cq_brine_boiling_K(s->bath.salt);
    char expected[96], salt[48] = "";
    if (s->bath.salt > 0.0) {
        snprintf(salt, sizeof salt, " with %.3g %% of salt", 100.0 * s->bath.salt);
    }
    if (s->at_K >= boiling_K) {
        snprintf(expected, sizeof expected, "below %.4g °C, where water%s boils", boiling_K - ZERO_C, salt);
        cq_plan_fault(c, key, expected, "", "%.4g °C", s->at_K - ZERO_C);
        return false;
    }
    if (s->at_K <= freezing_K) {
        snprintf(expected, sizeof expected, "above %.4g °C, where water%s freezes", freezing_K - ZERO_C, salt);
        cq_plan_fault(c, key, expected, "", "%.4g °C", s->at_K - ZERO_C);
        return false;
    }
    return true;
}

static void check_bath(cq_plan_faults *c, size_t i) {
    const cq_step_plan *s = &c->plan->steps[i];
    const bool boiling = s->bath.kind == CQ_BATH_BOILING;
    const double most_K = boiling ? fmin(s->bath.at_max_K, 373.0) : s->bath.at_max_K; /* the law ends at 373.15 K */
    char key[64];
    snprintf(key, sizeof key, "steps.%zu.at", i);
    if ((!boiling || check_liquid(c, key, s)) && !cq_within(s->at_K, s->bath.at_min_K - 1e-6, most_K + 1e-6)) {
        char expected[96];
        snprintf(expected, sizeof expected, "from %.4g to %.4g °C, where this bath's description holds",
                 s->bath.at_min_K - ZERO_C, most_K - ZERO_C);
        cq_plan_fault(c, key, expected, "", "%.4g °C", s->at_K - ZERO_C);
    }
    cq_oil oil;
    if (s->bath.kind == CQ_BATH_OIL && !cq_oil_prepare(&oil, &s->bath, s->at_K, s->agitation_m_s, BLADE_M)) {
        snprintf(key, sizeof key, "steps.%zu.in", i);
        cq_plan_fault(c, key,
                      "an oil that boils above its bath, peaks above convection and whose blanket ends hotter still",
                      "look at boiling-from, peak-temperature, peak-transfer and rewetting-temperature",
                      "figures that make no curve");
    }
    if (s->bath.kind == CQ_BATH_TABLE && !cq_table_is_valid(&s->bath.heat_transfer_W_m2K)) {
        snprintf(key, sizeof key, "steps.%zu.in", i);
        cq_plan_fault(c, key, "a table of heat transfer", "", "none, or one out of order");
    }
    if (s->bath.kind == CQ_BATH_TABLE && s->agitation_m_s > 0.0) {
        snprintf(key, sizeof key, "steps.%zu.agitation", i);
        cq_plan_fault(c, key, "no agitation: a table holds that of the bath it was measured in",
                      "remove it, or give a table measured in a moving bath", "%.4g m/s in a bath that is a table",
                      s->agitation_m_s);
    }
}

static void check_end(cq_plan_faults *c, size_t i) {
    const cq_step_plan *s = &c->plan->steps[i];
    const double begin_K = c->plan->heat.start_K > 0.0 ? c->plan->heat.start_K : c->plan->heat.temperature_K;
    char key[64];
    if (!(s->for_s > 0.0) && !(s->until_K > 0.0)) {
        snprintf(key, sizeof key, "steps.%zu.for", i);
        cq_plan_fault(c, key, "for: or until:", "say when the step ends", "a step without an end");
    }
    snprintf(key, sizeof key, "steps.%zu.until", i);
    if (s->until_K > 0.0 && !(s->until_K > s->at_K + 0.5)) { /* closer than 0.5 K takes for ever */
        cq_plan_fault(c, key, "a temperature above the bath's", "raise until:, cool the bath, or say for:",
                      "until %.4g °C in a bath at %.4g °C, which cannot be reached", s->until_K - ZERO_C,
                      s->at_K - ZERO_C);
    }
    if (cq_has_parts(c, CQ_PART_HEAT) && s->until_K > 0.0 && !(s->until_K < begin_K)) {
        cq_plan_fault(c, key, "a temperature below that of the heat", "",
                      "%.4g °C, which the blade never leaves from above", s->until_K - ZERO_C);
    }
}

static void check_depth(cq_plan_faults *c, size_t i) {
    const cq_step_plan *s = &c->plan->steps[i];
    char key[64];
    snprintf(key, sizeof key, "steps.%zu.depth", i);
    if (!cq_within(s->depth_m, 0.0, 0.2)) {
        cq_plan_fault(c, key, "from 0 to 200 mm", "", "%.4g mm", s->depth_m * MM);
    } else if (s->depth_m > 0.0 && cq_has_parts(c, CQ_PART_BLADE) && !cq_is_shaped(c->plan->blade.family)) {
        cq_plan_fault(c, key, "a section with a height",
                      "remove depth:", "a plate or round, which is wetted all round");
    } else if (cq_has_parts(c, CQ_PART_BLADE) && s->depth_m > c->plan->blade.height_m * (1.0 + 1e-9) &&
               c->plan->blade.height_m > 0.0) {
        char expected[64];
        snprintf(expected, sizeof expected, "up to the height of the blade, %.4g mm", c->plan->blade.height_m * MM);
        cq_plan_fault(c, key, expected, "leave depth: out to immerse all of the blade",
                      "%.4g mm, deeper than the blade is high", s->depth_m * MM);
    }
}

static void check_entry(cq_plan_faults *c, size_t i) {
    const cq_step_plan *s = &c->plan->steps[i];
    const bool blade = cq_has_parts(c, CQ_PART_BLADE), long_enough = c->plan->blade.length_m > 0.0;
    char key[64];
    snprintf(key, sizeof key, "steps.%zu.entry", i);
    if (s->entry != CQ_ENTRY_LEVEL && blade && !cq_is_shaped(c->plan->blade.family)) {
        cq_plan_fault(c, key, "a section with a height",
                      "remove entry:", "a plate or round, which is wetted all round");
    } else if (s->entry == CQ_ENTRY_POINT_FIRST && blade && !long_enough) {
        cq_plan_fault(c, key, "a blade with a length", "add blade.length",
                      "a point-first entry of a blade without length");
    } else if (s->entry != CQ_ENTRY_LEVEL && s->bath.kind == CQ_BATH_GAS) {
        cq_plan_fault(c, key, "a liquid to go into", "remove entry:", "an entry into a gas");
    }
    if (s->entry != CQ_ENTRY_LEVEL && !cq_within(s->speed_m_s, 0.005, 10.0)) {
        snprintf(key, sizeof key, "steps.%zu.speed", i);
        cq_plan_fault(c, key, "from 0.005 to 10 m/s", "", "%.4g m/s", s->speed_m_s);
    }
}

static void check_volume(cq_plan_faults *c, size_t i) {
    const cq_step_plan *s = &c->plan->steps[i];
    char key[64];
    if (!(s->bath.volume_m3 > 0.0)) {
        return;
    }
    snprintf(key, sizeof key, "steps.%zu.volume", i);
    if (cq_has_parts(c, CQ_PART_BLADE) && !(c->plan->blade.length_m > 0.0)) {
        cq_plan_fault(c, key, "a blade with a length: heat goes by it", "add blade.length",
                      "a volume to warm by a blade without length");
    } else if (s->bath.kind == CQ_BATH_GAS) {
        cq_plan_fault(c, key, "a liquid that warms", "remove volume:", "the volume of a gas");
    } else if (s->bath.kind == CQ_BATH_TABLE && !(s->bath.heat_capacity_J_m3K > 0.0)) {
        cq_plan_fault(
            c, key, "a heat capacity to warm by",
            "add heat-capacity: to the bath (water 4.17 MJ/m^3/K, oils about 1.8 MJ/m^3/K), or remove volume:",
            "the volume of a bath that is a table");
    }
}

/* When the first liquid is entered; INFINITY if that cannot be told or there is none. */
static double first_liquid_s(const cq_plan *p) {
    double time_s = 0.0;
    for (size_t i = 0; i < p->steps_n; i++) {
        if (p->steps[i].bath.kind != CQ_BATH_GAS) {
            return time_s;
        }
        if (!(p->steps[i].for_s > 0.0)) {
            return 0.0; /* until a temperature: it may be any time */
        }
        time_s += p->steps[i].for_s;
    }
    return INFINITY;
}

static void check_lost(cq_plan_faults *c) {
    const cq_plan *p = c->plan;
    const double liquid_s = first_liquid_s(p);
    for (size_t i = 0; i < p->lost_n; i++) {
        const cq_lost_plan *l = &p->lost[i];
        char key[64];
        snprintf(key, sizeof key, "clay.lost.%zu.after", i);
        if (!cq_within(l->after_s, 0.0, 1e5)) {
            cq_plan_fault(c, key, "from 0 to 1e5 s", "", "%.4g s", l->after_s);
        } else if (l->after_s < liquid_s) {
            cq_plan_fault(c, key, "a time in or after the first bath", "leave that patch out of the coat instead",
                          isfinite(liquid_s) ? "%.4g s, before the bath is entered at %.4g s"
                                             : "%.4g s, and no bath is entered",
                          l->after_s, liquid_s);
        } else if (i > 0 && l->after_s < p->lost[i - 1].after_s) {
            cq_plan_fault(c, key, "patches in the order in which they fall", "", "%.4g s after one of %.4g s",
                          l->after_s, p->lost[i - 1].after_s);
        }
        snprintf(key, sizeof key, "clay.lost.%zu.to", i);
        if (!(l->to_m > l->from_m)) {
            cq_plan_fault(c, key, "a height above from:", "", "%.4g mm, not above %.4g mm", l->to_m * MM,
                          l->from_m * MM);
        } else if (cq_has_parts(c, CQ_PART_BLADE) && cq_is_shaped(p->blade.family) && l->from_m > p->blade.height_m) {
            cq_plan_fault(c, key, "a patch on the blade", "", "from %.4g mm on a blade of %.4g mm", l->from_m * MM,
                          p->blade.height_m * MM);
        }
    }
}

void cq_plan_check_steps(cq_plan_faults *c) {
    if (c->plan->steps_n == 0) {
        cq_plan_fault(c, "steps", "at least one step", "", "none");
    }
    for (size_t i = 0; i < c->plan->steps_n; i++) {
        check_bath(c, i);
        check_end(c, i);
        check_depth(c, i);
        check_entry(c, i);
        check_volume(c, i);
    }
    check_lost(c);
}
