/* json.c - the answer as one JSON object; keys and units are the contract of README.md, "What a run says". */
#include <clayquench/report.h>

#include "base/memory.h"

#include <jansson.h>
#include <math.h>
#include <string.h>

/* A number, or null where it does not apply. */
static json_t *number(double v) {
    return isfinite(v) ? json_real(v) : json_null();
}

static json_t *mm(double metres) {
    return number(1e3 * metres);
}

static json_t *phase_spot(const cq_spot *s) {
    if (isnan(s->HV)) {
        return json_null();
    }
    return json_pack("{so so so so so so so}", "HV", number(s->HV), "HRC", number(s->HRC), "martensite", number(s->fraction[CQ_MARTENSITE]),
                     "retained_austenite", number(s->fraction[CQ_AUSTENITE]), "bainite", number(s->fraction[CQ_BAINITE]), "pearlite",
                     number(s->fraction[CQ_PEARLITE]), "ferrite_cementite", number(s->fraction[CQ_FERRITE]));
}

static json_t *film(const cq_film *f) {
    static const char *const states[] = {"none", "collapsed", "persisted"};
    return json_pack("{ss so}", "state", states[f->state], "time_s", number(f->time_s));
}

static json_t *line(const cq_result *r) {
    if (!r->has_line) {
        return json_null();
    }
    json_t *crossings = json_array();
    for (size_t c = 0; c < r->crossings_n; c++) {
        json_array_append_new(crossings, mm(r->crossings_m[c]));
    }
    return json_pack("{so so so so so so so ss so}", "surface_mm", mm(r->line_surface_m), "left_mm", mm(r->line_left_m), "right_mm",
                     mm(r->line_right_m), "mid_mm", mm(r->line_mid_m), "band_mm",
                     json_pack("[oo]", mm(r->line_band90_m), mm(r->line_band10_m)), "crossings_mm", crossings, "ground_mm",
                     mm(r->line_ground_m), "verdict", cq_verdict_words(r->verdict), "contrast_HV", number(r->contrast_HV));
}

static json_t *probes(const cq_result *r) {
    json_t *all = json_object();
    for (size_t t = 0; t < r->traces_n; t++) {
        const cq_trace *trace = &r->traces[t];
        json_t *time = json_array(), *temp = json_array();
        for (size_t i = 0; i < trace->n; i++) {
            json_array_append_new(time, json_real(trace->time_s[i]));
            json_array_append_new(temp, json_real(trace->temp_K[i] - 273.15));
        }
        json_object_set_new(all, trace->name, json_pack("{so so so}", "time_s", time, "temp_C", temp, "t500_s", number(trace->t500_s)));
    }
    return all;
}

static json_t *notices(const cq_result *r) {
    json_t *all = json_array();
    for (size_t n = 0; n < r->notices_n; n++) {
        json_array_append_new(all, json_pack("{ss sI ss}", "code", r->notices[n].code, "count", (json_int_t)r->notices[n].count, "sentence",
                                             r->notices[n].sentence));
    }
    return all;
}

static json_t *temper(double HV, double HRC) {
    return isnan(HV) ? json_null() : json_pack("{so so}", "HV", number(HV), "HRC", number(HRC));
}

static json_t *whole(const cq_result *r) {
    json_t *root = json_object();
    json_object_set_new(root, "program", json_string("clayquench " CQ_VERSION));
    json_object_set_new(root, "title", json_string(r->plan->title == NULL ? "" : r->plan->title));
    json_object_set_new(root, "line", line(r));
    json_object_set_new(root, "verdict", json_string(cq_verdict_words(r->verdict)));
    json_object_set_new(root, "edge", phase_spot(&r->edge));
    json_object_set_new(root, "body", phase_spot(&r->body));
    json_object_set_new(root, "spine", phase_spot(&r->spine));
    json_object_set_new(root, "edge_after_temper", temper(r->edge_temper_HV, r->edge_temper_HRC));
    json_object_set_new(root, "spine_after_temper", temper(r->spine_temper_HV, r->spine_temper_HRC));
    json_object_set_new(root, "critical_rate_K_s", number(r->critical_rate_K_s));
    json_object_set_new(root, "soak", json_pack("{so so so so}", "Ae1_C", number(r->Ae1_K - 273.15), "Ms_C", number(r->Ms_K - 273.15),
                                                "carbon_in_solution_wt", number(r->carbon_in_solution_wt), "grain_ASTM", number(r->grain_ASTM)));
    json_object_set_new(root, "film", json_pack("{so so so}", "edge", film(&r->film_edge), "body", film(&r->film_body), "spine", film(&r->film_spine)));
    /* not computed in this version: present and null, so that readers need not change */
    json_object_set_new(root, "curve", json_pack("{sn sn sn sn}", "rise_mm", "low_mm", "high_mm", "side_bend_mm"));
    json_object_set_new(root, "crack", json_pack("{sn sn sn}", "class", "reason", "time_s"));
    json_object_set_new(root, "probes", probes(r));
    json_object_set_new(root, "energy", json_pack("{so so so}", "imbalance", number(r->energy_imbalance), "heat_out_J_m", number(r->heat_out_J_m),
                                                  "stored_change_J_m", number(r->heat_stored_change_J_m)));
    json_object_set_new(root, "solver", json_pack("{sI sI sI so so so ss}", "steps", (json_int_t)r->steps, "rejected", (json_int_t)r->rejected,
                                                  "cells", (json_int_t)r->cells, "core_s", number(r->core_s), "end_time_s", number(r->end_time_s),
                                                  "air_after_s", number(r->air_after_s), "precision", "double"));
    json_object_set_new(root, "notices", notices(r));
    json_t *cautions = json_array();
    for (size_t c = 0; c < r->cautions_n; c++) {
        json_array_append_new(cautions, json_string(r->cautions[c]));
    }
    json_object_set_new(root, "cautions", cautions);
    return root;
}

cq_status cq_report_json(const cq_result *result, char **text) {
    json_t *root = whole(result);
    char *dumped = json_dumps(root, JSON_INDENT(2) | JSON_REAL_PRECISION(12));
    json_decref(root);
    if (dumped == NULL) {
        return CQ_ERR_MEMORY;
    }
    const size_t n = strlen(dumped);
    char *copy = cq_memory_zero(n + 2, 1); /* released like every other text; ends with a newline */
    if (copy != NULL) {
        memcpy(copy, dumped, n);
        copy[n] = '\n';
    }
    void (*release)(void *);
    json_get_alloc_funcs(NULL, &release);
    release(dumped);
    *text = copy;
    return copy == NULL ? CQ_ERR_MEMORY : CQ_OK;
}
