/* laid.h - blades of several steels, with a skin or from a fire, for tests. Included once per program. */
#ifndef CQ_TESTS_LAID_H
#define CQ_TESTS_LAID_H

#include "../suite.h"
#include "plans.h"

#include "quench/plan_check.h"
#include <clayquench/quench.h>

#include <string.h>

static const double ZERO_C = 273.15;

typedef struct trial {
    cq_plan plan;
    cq_step_plan steps[2];
    cq_zone zone[3];
    cq_weld_heat heats[3];
    cq_zone_point points[4];
} trial;

static cq_steel steel_of(const char *name, double C, double Mn) {
    cq_steel s = {.name = name, .kind = CQ_STEEL_TRANSFORMING, .grain_ASTM = 8, .time_factor = 1, .emissivity = 0.8};
    s.composition_wt = (cq_composition){.C = C, .Mn = Mn, .Si = 0.2, .Cr = 0.08};
    return s;
}

/* A bare sloyd blade of a 0.7 % steel and soft iron, from 800 degC into water. */
static void start(trial *t, cq_build build) {
    memset(t, 0, sizeof *t);
    start_plan(&t->plan, t->steps, 30.0);
    t->plan.blade = sloyd_blade();
    t->zone[CQ_ZONE_HARD] = (cq_zone){.name = "hard", .steel = steel_of("hard", 0.70, 0.7)};
    t->zone[CQ_ZONE_SOFT] = (cq_zone){.name = "soft", .steel = steel_of("soft", 0.05, 0.2)};
    t->plan.steel = t->zone[CQ_ZONE_HARD].steel;
    t->plan.zones = (cq_zones){.n = 2, .zone = t->zone, .build = build, .heats = t->heats};
}

/* The same of the hard steel alone. */
static inline void start_of_one(trial *t) {
    start(t, CQ_BUILD_PIECES);
    t->plan.zones = (cq_zones){.n = 0};
}

static cq_run *go(const cq_plan *plan, const cq_run_options *options) {
    cq_error error = CQ_ERROR_INIT;
    cq_run *run = NULL;
    cq_status status = cq_plan_check_parts(plan, CQ_PART_BLADE | CQ_PART_STEEL | CQ_PART_HEAT, &error);
    status = status < 0 ? status : cq_run_create(&run, plan, options, &error);
    status = status < 0 ? status : cq_run_go(run, NULL, &error);
    ck_assert_msg(status >= 0, "%s: %s", error.count > 0 ? error.items[0].key : "",
                  error.count > 0 ? error.items[0].found : "");
    return run;
}

/* The first notice of a code; NULL: none. */
static const char *told(const cq_result *r, const char *code) {
    for (size_t n = 0; n < r->notices_n; n++) {
        if (strcmp(r->notices[n].code, code) == 0) {
            return r->notices[n].sentence;
        }
    }
    return NULL;
}

#endif
