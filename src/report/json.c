/* json.c - the answer as one JSON object; keys and units are the contract of README.md, "What a run says". */
#include <clayquench/report.h>

#include "hardness/hardness.h"
#include "io/result.h"
#include "report/distortion_json.h"
#include "report/heats.h"
#include "report/json_parts.h"

#include <math.h>

static json_t *mm(double metres) {
    return cq_json_number(1e3 * metres);
}

static json_t *count(size_t n) {
    return json_integer((json_int_t)n);
}

/* ---- parts ------------------------------------------------------------------------------------------------------- */

static json_t *spot(const cq_spot *s) {
    if (isnan(s->HV)) {
        return json_null();
    }
    return json_pack("{so so so so so so so}", "HV", cq_json_number(s->HV), "HRC", cq_json_number(s->HRC), "martensite",
                     cq_json_number(s->fraction[CQ_MARTENSITE]), "retained_austenite",
                     cq_json_number(s->fraction[CQ_AUSTENITE]), "bainite", cq_json_number(s->fraction[CQ_BAINITE]),
                     "pearlite", cq_json_number(s->fraction[CQ_PEARLITE]), "ferrite_cementite",
                     cq_json_number(s->fraction[CQ_FERRITE]));
}

static json_t *tempered(double HV, double HRC) {
    return isnan(HV) ? json_null() : json_pack("{so so}", "HV", cq_json_number(HV), "HRC", cq_json_number(HRC));
}

static json_t *film(const cq_film *f) {
    static const char *const states[] = {
        [CQ_FILM_NONE] = "none", [CQ_FILM_COLLAPSED] = "collapsed", [CQ_FILM_PERSISTED] = "persisted"};
    return json_pack("{ss so}", "state", states[f->state], "time_s", cq_json_number(f->time_s));
}

static json_t *films(const cq_result *r) {
    return json_pack("{so so so}", "edge", film(&r->film_edge), "body", film(&r->film_body), "spine",
                     film(&r->film_spine));
}

static json_t *line(const cq_result *r) {
    if (!r->has_line) {
        return json_null();
    }
    json_t *crossings = json_array();
    for (size_t c = 0; c < r->crossings_n; c++) {
        crossings = cq_json_appended(crossings, mm(r->crossings_m[c]));
    }
    return json_pack("{so so so so so so so ss so}", "surface_mm", mm(r->line_surface_m), "left_mm", mm(r->line_left_m),
                     "right_mm", mm(r->line_right_m), "mid_mm", mm(r->line_mid_m), "band_mm",
                     json_pack("[oo]", mm(r->line_band90_m), mm(r->line_band10_m)), "crossings_mm", crossings,
                     "ground_mm", mm(r->line_ground_m), "verdict", cq_verdict_words(r->verdict), "contrast_HV",
                     cq_json_number(r->contrast_HV));
}

static json_t *soak(const cq_result *r) {
    return json_pack("{so so so so so so so}", "Ae1_C", cq_json_celsius(r->Ae1_K), "Ms_C", cq_json_celsius(r->Ms_K),
                     "austenite", cq_json_number(r->soak_austenite), "spine_austenite",
                     cq_json_number(r->soak_spine_austenite), "carbon_in_solution_wt",
                     cq_json_number(r->carbon_in_solution_wt), "grain_ASTM", cq_json_number(r->grain_ASTM),
                     "self_tempering_HRC", cq_json_number(r->edge_softening_HRC));
}

/* ---- before the quench ------------------------------------------------------------------------------------------- */

static json_t *zones(const cq_result *r) {
    json_t *all = json_array();
    for (size_t n = 0; n < r->plan->zones.n; n++) {
        const cq_zone *z = &r->plan->zones.zone[n];
        all = cq_json_appended(all, json_pack("{so so so so}", "name", cq_json_words(z->name), "steel",
                                              cq_json_words(z->steel.name), "carbon_wt",
                                              cq_json_number(z->steel.composition_wt.C), "share",
                                              cq_json_number(r->built.share[n])));
    }
    return all;
}

static json_t *build(const cq_result *r) {
    const cq_built *b = &r->built;
    if (!b->several) {
        return json_null();
    }
    return json_pack("{so so so so so so}", "construction", cq_json_words(cq_build_words(r->plan->zones.build)),
                     "zones", zones(r), "mean_carbon_before_wt", cq_json_number(b->mean_before_wt), "mean_carbon_wt",
                     cq_json_number(b->mean_wt), "spread_mm", cq_json_number(1e3 * b->spread_m), "classes",
                     json_integer((json_int_t)b->classes));
}

static json_t *skin(const cq_result *r) {
    const cq_built *b = &r->built;
    if (!b->skinned) {
        return json_null();
    }
    return json_pack("{so so so so so}", "depth_mm", cq_json_number(1e3 * b->skin_m), "face_carbon_wt",
                     cq_json_number(b->face_wt), "ground_carbon_wt", cq_json_number(b->ground_wt), "file",
                     tempered(b->file_HV, cq_hardness_HRC(b->file_HV)), "file_ground",
                     tempered(b->ground_HV, cq_hardness_HRC(b->ground_HV)));
}

static json_t *fire(const cq_result *r) {
    const cq_fired *f = &r->fired;
    if (!(f->edge_K > 0.0)) { /* NaN: no fire */
        return json_null();
    }
    return json_pack("{so so so so so}", "edge_C", cq_json_celsius(f->edge_K), "spine_C", cq_json_celsius(f->spine_K),
                     "edge_grain_ASTM", cq_json_number(f->edge_grain_ASTM), "spine_grain_ASTM",
                     cq_json_number(f->spine_grain_ASTM), "even_grain_ASTM", cq_json_number(f->even_grain_ASTM));
}

/* {time_s, temp_C, t500_s}; arrays of equal length whatever stands in them. */
static json_t *history(const cq_trace *trace) {
    json_t *time = json_array(), *temp = json_array();
    for (size_t i = 0; i < trace->n; i++) {
        time = cq_json_appended(time, cq_json_number(trace->time_s[i]));
        temp = cq_json_appended(temp, cq_json_celsius(trace->temp_K[i]));
    }
    return json_pack("{so so so}", "time_s", time, "temp_C", temp, "t500_s", cq_json_number(trace->t500_s));
}

static json_t *probes(const cq_result *r) {
    json_t *all = json_object();
    for (size_t t = 0; t < r->traces_n; t++) {
        char name[CQ_TRACE_NAME];
        if (json_object_set_new(all, cq_result_trace_name(r, t, name), history(&r->traces[t])) != 0) {
            json_decref(all);
            return NULL;
        }
    }
    return all;
}

/* A history between its steps. */
static double at_time(const cq_trace *t, double time_s) {
    for (size_t i = 1; i < t->n; i++) {
        if (t->time_s[i] >= time_s) {
            const double u = (time_s - t->time_s[i - 1]) / (t->time_s[i] - t->time_s[i - 1]);
            return t->temp_K[i - 1] + u * (t->temp_K[i] - t->temp_K[i - 1]);
        }
    }
    return t->n > 0 ? t->temp_K[t->n - 1] : NAN;
}

/* Edge, body and spine at every full second of the plan's steps, at most ten minutes. */
static json_t *seconds(const cq_result *r) {
    enum { MOST = 600 };
    static const char *const names[CQ_TRACES_FIXED] = {"edge_C", "body_C", "spine_C"};
    json_t *all = json_object(), *time = json_array();
    for (int s = 0; s <= MOST && s <= r->end_time_s + 1e-9; s++) {
        time = cq_json_appended(time, json_integer(s));
    }
    bool whole = json_object_set_new(all, "time_s", time) == 0;
    for (int t = 0; t < CQ_TRACES_FIXED; t++) {
        json_t *temp = json_array();
        for (int s = 0; s <= MOST && s <= r->end_time_s + 1e-9; s++) {
            temp = cq_json_appended(temp, cq_json_celsius(at_time(&r->traces[t], s)));
        }
        whole = json_object_set_new(all, names[t], temp) == 0 && whole;
    }
    if (!whole) {
        json_decref(all);
        return NULL;
    }
    return all;
}

/* State at the end of each of the plan's steps. */
static json_t *steps(const cq_result *r) {
    json_t *all = json_array();
    for (size_t n = 0; n < r->step_ends_n; n++) {
        all = cq_json_appended(all, cq_json_step(&r->step_ends[n]));
    }
    return all;
}

static json_t *energy(const cq_result *r) {
    return json_pack("{so so so}", "imbalance", cq_json_number(r->energy_imbalance), "heat_out_J_m",
                     cq_json_number(r->heat_out_J_m), "stored_change_J_m", cq_json_number(r->heat_stored_change_J_m));
}

static json_t *solver(const cq_result *r) {
    return json_pack("{so so so so so so ss}", "steps", count(r->steps), "rejected", count(r->rejected), "cells",
                     count(r->cells), "core_s", cq_json_number(r->core_s), "end_time_s", cq_json_number(r->end_time_s),
                     "air_after_s", cq_json_number(r->air_after_s), "precision", "double");
}

static json_t *notices(const cq_result *r) {
    json_t *all = json_array();
    for (size_t n = 0; n < r->notices_n; n++) {
        const cq_notice *notice = &r->notices[n];
        all = cq_json_appended(all, json_pack("{so so so}", "code", cq_json_words(notice->code), "count",
                                              count(notice->count), "sentence", cq_json_words(notice->sentence)));
    }
    return all;
}

static json_t *cautions(const cq_result *r) {
    json_t *all = json_array();
    for (size_t c = 0; c < r->cautions_n; c++) {
        all = cq_json_appended(all, cq_json_words(r->cautions[c]));
    }
    return all;
}

/* ---- the whole --------------------------------------------------------------------------------------------------- */

/* NULL when memory ran out anywhere: a missing part makes json_pack and the setters fail in turn. */
static json_t *whole(const cq_result *r, const cq_crack_advice *advice) {
    const cq_json_member members[] = {
        {"program", json_string("clayquench " CQ_VERSION)},
        {"title", cq_json_words(r->plan->title)},
        {"line", line(r)},
        {"verdict", json_string(cq_verdict_words(r->verdict))},
        {"edge", spot(&r->edge)},
        {"body", spot(&r->body)},
        {"spine", spot(&r->spine)},
        {"edge_after_temper", tempered(r->edge_temper_HV, r->edge_temper_HRC)},
        {"body_after_temper", tempered(r->body_temper_HV, r->body_temper_HRC)},
        {"spine_after_temper", tempered(r->spine_temper_HV, r->spine_temper_HRC)},
        {"critical_rate_K_s", cq_json_number(r->critical_rate_K_s)},
        {"soak", soak(r)},
        {"build", build(r)},
        {"skin", skin(r)},
        {"fire", fire(r)},
        {"steps", steps(r)},
        {"seconds", seconds(r)},
        {"film", films(r)},
        {"curve", cq_json_curve(r)},
        {"stress", cq_json_stress(r)},
        {"crack", cq_json_crack(r, advice)},
        {"heats", cq_json_heats(r)},
        {"tempers", cq_json_tempers(r)},
        {"wear", cq_json_wear(r)},
        {"probes", probes(r)},
        {"energy", energy(r)},
        {"solver", solver(r)},
        {"notices", notices(r)},
        {"cautions", cautions(r)},
    };
    return cq_json_object(members, sizeof members / sizeof members[0]);
}

cq_status cq_report_json(const cq_result *result, char **text) {
    return cq_json_text(whole(result, NULL), text);
}

cq_status cq_report_json_advised(const cq_result *result, const cq_crack_advice *advice, char **text) {
    return cq_json_text(whole(result, advice), text);
}
