/* json.c - the answer as one JSON object; keys and units are the contract of README.md, "What a run says". */
#include <clayquench/report.h>

#include "base/memory.h"
#include "io/result.h"

#include <jansson.h>
#include <math.h>

enum { DIGITS = 12 }; /* significant: more than any field holds, and 0.1 stays 0.1 */

/* A number, or null where it does not apply. */
static json_t *number(double v) {
    return isfinite(v) ? json_real(v) : json_null();
}

static json_t *mm(double metres) {
    return number(1e3 * metres);
}

static json_t *celsius(double kelvin) {
    return number(kelvin - 273.15);
}

static json_t *count(size_t n) {
    return json_integer((json_int_t)n);
}

/* Text as JSON has it. In what is not UTF-8 (a plan made by hand may hold it) other than ASCII becomes '?'. */
static json_t *words(const char *text) {
    json_t *string = json_string(text == NULL ? "" : text);
    char plain[512];
    if (string != NULL || text == NULL) {
        return string;
    }
    size_t n = 0;
    for (; text[n] != '\0' && n + 1 < sizeof plain; n++) {
        plain[n] = (unsigned char)text[n] < 0x80 ? text[n] : '?';
    }
    plain[n] = '\0';
    return json_string(plain);
}

/* The array with one more element; NULL, and all released, when memory runs out. */
static json_t *appended(json_t *array, json_t *element) {
    if (json_array_append_new(array, element) == 0) {
        return array;
    }
    json_decref(array);
    return NULL;
}

/* ---- parts ------------------------------------------------------------------------------------------------------- */

static json_t *spot(const cq_spot *s) {
    if (isnan(s->HV)) {
        return json_null();
    }
    return json_pack("{so so so so so so so}", "HV", number(s->HV), "HRC", number(s->HRC), "martensite",
                     number(s->fraction[CQ_MARTENSITE]), "retained_austenite", number(s->fraction[CQ_AUSTENITE]),
                     "bainite", number(s->fraction[CQ_BAINITE]), "pearlite", number(s->fraction[CQ_PEARLITE]),
                     "ferrite_cementite", number(s->fraction[CQ_FERRITE]));
}

static json_t *tempered(double HV, double HRC) {
    return isnan(HV) ? json_null() : json_pack("{so so}", "HV", number(HV), "HRC", number(HRC));
}

static json_t *film(const cq_film *f) {
    static const char *const states[] = {
        [CQ_FILM_NONE] = "none", [CQ_FILM_COLLAPSED] = "collapsed", [CQ_FILM_PERSISTED] = "persisted"};
    return json_pack("{ss so}", "state", states[f->state], "time_s", number(f->time_s));
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
        crossings = appended(crossings, mm(r->crossings_m[c]));
    }
    return json_pack("{so so so so so so so ss so}", "surface_mm", mm(r->line_surface_m), "left_mm", mm(r->line_left_m),
                     "right_mm", mm(r->line_right_m), "mid_mm", mm(r->line_mid_m), "band_mm",
                     json_pack("[oo]", mm(r->line_band90_m), mm(r->line_band10_m)), "crossings_mm", crossings,
                     "ground_mm", mm(r->line_ground_m), "verdict", cq_verdict_words(r->verdict), "contrast_HV",
                     number(r->contrast_HV));
}

static json_t *soak(const cq_result *r) {
    return json_pack("{so so so so so so so}", "Ae1_C", celsius(r->Ae1_K), "Ms_C", celsius(r->Ms_K), "austenite",
                     number(r->soak_austenite), "spine_austenite", number(r->soak_spine_austenite), "carbon_in_solution_wt",
                     number(r->carbon_in_solution_wt), "grain_ASTM", number(r->grain_ASTM), "self_tempering_HRC",
                     number(r->edge_softening_HRC));
}

/* {time_s, temp_C, t500_s}; arrays of equal length whatever stands in them. */
static json_t *history(const cq_trace *trace) {
    json_t *time = json_array(), *temp = json_array();
    for (size_t i = 0; i < trace->n; i++) {
        time = appended(time, number(trace->time_s[i]));
        temp = appended(temp, celsius(trace->temp_K[i]));
    }
    return json_pack("{so so so}", "time_s", time, "temp_C", temp, "t500_s", number(trace->t500_s));
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

static json_t *energy(const cq_result *r) {
    return json_pack("{so so so}", "imbalance", number(r->energy_imbalance), "heat_out_J_m", number(r->heat_out_J_m),
                     "stored_change_J_m", number(r->heat_stored_change_J_m));
}

static json_t *solver(const cq_result *r) {
    return json_pack("{so so so so so so ss}", "steps", count(r->steps), "rejected", count(r->rejected), "cells",
                     count(r->cells), "core_s", number(r->core_s), "end_time_s", number(r->end_time_s), "air_after_s",
                     number(r->air_after_s), "precision", "double");
}

static json_t *notices(const cq_result *r) {
    json_t *all = json_array();
    for (size_t n = 0; n < r->notices_n; n++) {
        const cq_notice *notice = &r->notices[n];
        all = appended(all, json_pack("{so so so}", "code", words(notice->code), "count", count(notice->count),
                                      "sentence", words(notice->sentence)));
    }
    return all;
}

static json_t *cautions(const cq_result *r) {
    json_t *all = json_array();
    for (size_t c = 0; c < r->cautions_n; c++) {
        all = appended(all, words(r->cautions[c]));
    }
    return all;
}

/* ---- the whole --------------------------------------------------------------------------------------------------- */

/* NULL when memory ran out anywhere: a missing part makes json_pack and the setters fail in turn. */
static json_t *whole(const cq_result *r) {
    json_t *root = json_object();
    const struct {
        const char *key;
        json_t *value;
    } members[] = {
        {"program", json_string("clayquench " CQ_VERSION)},
        {"title", words(r->plan->title)},
        {"line", line(r)},
        {"verdict", json_string(cq_verdict_words(r->verdict))},
        {"edge", spot(&r->edge)},
        {"body", spot(&r->body)},
        {"spine", spot(&r->spine)},
        {"edge_after_temper", tempered(r->edge_temper_HV, r->edge_temper_HRC)},
        {"spine_after_temper", tempered(r->spine_temper_HV, r->spine_temper_HRC)},
        {"critical_rate_K_s", number(r->critical_rate_K_s)},
        {"soak", soak(r)},
        {"film", films(r)},
        /* not computed in this version: present and null, so that readers need not change */
        {"curve", json_pack("{sn sn sn sn}", "rise_mm", "low_mm", "high_mm", "side_bend_mm")},
        {"crack", json_pack("{sn sn sn}", "class", "reason", "time_s")},
        {"probes", probes(r)},
        {"energy", energy(r)},
        {"solver", solver(r)},
        {"notices", notices(r)},
        {"cautions", cautions(r)},
    };
    bool complete = root != NULL;
    for (size_t m = 0; m < sizeof members / sizeof members[0]; m++) {
        complete = json_object_set_new(root, members[m].key, members[m].value) == 0 && complete;
    }
    if (!complete) {
        json_decref(root);
        return NULL;
    }
    return root;
}

/* Into our own text, which remembers that memory ran out: the library's own dump overlooks it when a key is cut. */
static int collect(const char *bytes, size_t n, void *text) {
    cq_text_add(text, "%.*s", (int)n, bytes);
    return ((cq_text *)text)->failed ? -1 : 0;
}

cq_status cq_report_json(const cq_result *result, char **text) {
    json_t *root = whole(result);
    cq_text t = {NULL, 0, 0, false};
    const size_t flags = JSON_INDENT(2) | JSON_REAL_PRECISION(DIGITS);
    if (root == NULL || json_dump_callback(root, collect, &t, flags) != 0) {
        t.failed = true;
    }
    json_decref(root);
    cq_text_add(&t, "\n");
    if (t.failed) {
        cq_memory_free(t.bytes);
        return CQ_ERR_MEMORY;
    }
    *text = t.bytes;
    return CQ_OK;
}
