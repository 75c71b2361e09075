/* heats.c - see heats.h. */
#include "report/heats.h"

#include "report/json_parts.h"
#include "report/screen_notes.h"

#include <math.h>
#include <stdio.h>

static void length_words(double metres, cq_unit_system units, const char *metric, const char *us, char to[32]) {
    snprintf(to, 32, units == CQ_UNITS_US ? us : metric, metres * (units == CQ_UNITS_US ? 1.0 / 0.0254 : 1e3));
}

void cq_heats_add(cq_text *text, const cq_result *r, cq_unit_system units) {
    if (r->heats_n < 2) {
        return;
    }
    const cq_heat_answer *before = &r->heats[r->heats_n - 2];
    char line[32], kept[32], where[48] = "", left[64] = "";
    if (!isnan(before->line_surface_m)) {
        length_words(before->line_surface_m, units, "%.1f mm", "%.3f in", line);
        snprintf(where, sizeof where, ", line %s", line);
    }
    if (!isnan(before->kept_m)) {
        length_words(before->kept_m, units, "%+.1f mm", "%+.3f in", kept);
        snprintf(left, sizeof left, "; curve kept %s", kept);
    }
    cq_paragraph_add(text, CQ_SCREEN_COLUMNS, "  ", "heat %zu of %zu; before: %s%s%s", r->heats_n, r->heats_n,
                     cq_verdict_words(before->verdict), where, left);
}

static json_t *mm(double metres) {
    return cq_json_number(1e3 * metres);
}

static json_t *steps_of(const cq_heat_answer *a) {
    json_t *all = json_array();
    for (size_t n = 0; n < a->step_ends_n; n++) {
        all = cq_json_appended(all, cq_json_step(&a->step_ends[n]));
    }
    return all;
}

static json_t *heat(const cq_heat_answer *a) {
    const cq_json_member members[] = {
        {"temperature_C", cq_json_celsius(a->heat.start_K > 0.0 ? a->heat.start_K : a->heat.temperature_K)},
        {"hold_s", cq_json_number(a->heat.start_K > 0.0 ? NAN : a->heat.hold_s)},
        {"steps", steps_of(a)},
        {"verdict", json_string(cq_verdict_words(a->verdict))},
        {"line_mm", mm(a->has_line ? a->line_surface_m : NAN)},
        {"edge_HV", cq_json_number(a->edge_HV)},
        {"edge_HRC", cq_json_number(a->edge_HRC)},
        {"spine_HV", cq_json_number(a->spine_HV)},
        {"grain_ASTM", cq_json_number(a->grain_ASTM)},
        {"carbon_in_solution_wt", cq_json_number(a->carbon_in_solution_wt)},
        {"crack_class", a->crack_known ? json_string(cq_crack_class_words(a->crack_class)) : json_null()},
        {"crack_index_MPa", cq_json_number(a->crack_known ? a->crack_index_MPa : NAN)},
        {"rise_mm", mm(a->rise_m)},
        {"kept_mm", mm(a->kept_m)},
        {"tempers", json_integer((json_int_t)a->tempers_n)},
    };
    return cq_json_object(members, sizeof members / sizeof members[0]);
}

json_t *cq_json_heats(const cq_result *r) {
    json_t *all = json_array();
    for (size_t n = 0; n < r->heats_n; n++) {
        all = cq_json_appended(all, heat(&r->heats[n]));
    }
    return all;
}
