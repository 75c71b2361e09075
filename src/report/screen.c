/* screen.c - the answer on one screen, in the trade's words. */
#include <clayquench/report.h>

#include "base/memory.h"
#include "io/result.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* 11.2 mm, or 0.441 in (28/64). */
static void length_words(double metres, cq_units units, char to[48]) {
    if (units == CQ_UNITS_US) {
        const double inch = metres / 0.0254;
        const int sixty_fourths = (int)floor(64.0 * inch + 0.5);
        snprintf(to, 48, "%.3f in (%d/64)", inch, sixty_fourths);
    } else {
        snprintf(to, 48, "%.1f mm", 1e3 * metres);
    }
}

static void hardness_words(double HV, double HRC, char to[48]) {
    if (isnan(HV)) {
        snprintf(to, 48, "-");
    } else if (isnan(HRC)) {
        snprintf(to, 48, "%.0f HV", HV);
    } else {
        snprintf(to, 48, "%.0f HV (%.1f HRC)", HV, HRC);
    }
}

/* "martensite 90 %, retained austenite 10 %": what there is at least 1 % of. */
static void structure_words(const cq_spot *s, char to[160]) {
    static const struct {
        cq_phase phase;
        const char *words;
    } order[] = {{CQ_MARTENSITE, "martensite"}, {CQ_PEARLITE, "fine pearlite (troostite)"}, {CQ_BAINITE, "bainite"},
                 {CQ_FERRITE, "ferrite"}, {CQ_AUSTENITE, "retained austenite"}};
    to[0] = '\0';
    for (size_t n = 0; n < sizeof order / sizeof order[0]; n++) {
        const double share = s->fraction[order[n].phase];
        if (share >= 0.01) {
            const size_t used = strlen(to);
            snprintf(to + used, 160 - used, "%s%s %.0f %%", used > 0 ? ", " : "", order[n].words, 100.0 * share);
        }
    }
}

static void film_words(const cq_film *f, char to[64]) {
    if (f->state == CQ_FILM_COLLAPSED) {
        snprintf(to, 64, "collapsed at %.2f s", f->time_s);
    } else {
        snprintf(to, 64, "%s", f->state == CQ_FILM_NONE ? "none" : "lasted");
    }
}

static void add_spot(cq_text *t, const char *place, const cq_spot *s) {
    char hardness[48], structure[160];
    hardness_words(s->HV, s->HRC, hardness);
    structure_words(s, structure);
    cq_text_add(t, "  %-7s %-20s %s\n", place, hardness, structure);
}

static void add_line(cq_text *t, const cq_result *r, cq_units units) {
    char surface[48], low[48], high[48], mid[48];
    if (isnan(r->line_surface_m)) {
        cq_text_add(t, "Hardening line (hamon): none. Verdict: %s.\n", cq_verdict_words(r->verdict));
        return;
    }
    length_words(r->line_surface_m, units, surface);
    length_words(r->line_mid_m, units, mid);
    cq_text_add(t, "Hardening line (hamon) %s above the edge flat. Verdict: %s.\n", surface, cq_verdict_words(r->verdict));
    if (!isnan(r->line_band90_m) && !isnan(r->line_band10_m)) {
        length_words(r->line_band90_m, units, low);
        length_words(r->line_band10_m, units, high);
        cq_text_add(t, "  transition band (habuchi) from %s to %s; on the mid-plane the line is at %s\n", low, high, mid);
    }
    if (fabs(r->line_left_m - r->line_right_m) > 5e-5 || isnan(r->line_left_m) != isnan(r->line_right_m)) {
        char left[48] = "none", right[48] = "none";
        if (!isnan(r->line_left_m)) {
            length_words(r->line_left_m, units, left);
        }
        if (!isnan(r->line_right_m)) {
            length_words(r->line_right_m, units, right);
        }
        cq_text_add(t, "  left face %s, right face %s\n", left, right);
    }
    if (!isnan(r->line_ground_m)) {
        length_words(r->line_ground_m, units, surface);
        cq_text_add(t, "  after grinding it shows at %s\n", surface);
    }
}

static void add_temperature(cq_text *t, const char *name, const cq_trace *trace) {
    if (isnan(trace->t500_s)) {
        cq_text_add(t, "%s never", name);
    } else {
        cq_text_add(t, "%s %.2f s", name, trace->t500_s);
    }
}

static void add_hardness(cq_text *t, const cq_result *r) {
    char edge[48], spine[48];
    cq_text_add(t, "\nAs quenched\n");
    add_spot(t, r->has_line ? "edge" : "face", &r->edge);
    add_spot(t, r->has_line ? "body" : "centre", &r->body);
    if (r->has_line) {
        add_spot(t, "spine", &r->spine);
    }
    if (!isnan(r->edge_temper_HV)) {
        hardness_words(r->edge_temper_HV, r->edge_temper_HRC, edge);
        hardness_words(r->spine_temper_HV, r->spine_temper_HRC, spine);
        cq_text_add(t, "After temper (yaki-modoshi): edge %s%s%s\n", edge, r->has_line ? ", spine " : "", r->has_line ? spine : "");
    }
}

cq_status cq_report_screen(const cq_result *r, cq_units units, char **text) {
    cq_text t = {NULL, 0, 0, false};
    const cq_plan *plan = r->plan;
    cq_text_add(&t, "%s\n\n", plan->title == NULL || plan->title[0] == '\0' ? "Quench" : plan->title);
    if (r->transforming) {
        if (r->has_line) {
            add_line(&t, r, units);
        } else {
            cq_text_add(&t, "A test piece: no hardening line to speak of. Verdict: %s.\n", cq_verdict_words(r->verdict));
        }
        add_hardness(&t, r);
    } else {
        cq_text_add(&t, "%s does not harden: temperatures only.\n", plan->steel.name == NULL ? "This material" : plan->steel.name);
    }
    char edge[64], body[64], spine[64];
    film_words(&r->film_edge, edge);
    film_words(&r->film_body, body);
    film_words(&r->film_spine, spine);
    cq_text_add(&t, "\nVapour film: edge %s, body %s, spine %s.\nBelow 500 °C:", edge, body, spine);
    add_temperature(&t, r->has_line ? " edge" : " face", &r->traces[CQ_TRACE_EDGE]);
    add_temperature(&t, r->has_line ? ", body" : ", centre", &r->traces[CQ_TRACE_BODY]);
    if (r->has_line) {
        add_temperature(&t, ", spine", &r->traces[CQ_TRACE_SPINE]);
    }
    cq_text_add(&t, ".\n");
    if (!isnan(r->critical_rate_K_s)) {
        const double per_s = units == CQ_UNITS_US ? 1.8 : 1.0;
        cq_text_add(&t, "Critical cooling rate %.0f %s/s; %.2f %% C in solution; Ms %.0f %s.\n", per_s * r->critical_rate_K_s,
                    units == CQ_UNITS_US ? "°F" : "K", r->carbon_in_solution_wt,
                    units == CQ_UNITS_US ? 1.8 * (r->Ms_K - 273.15) + 32.0 : r->Ms_K - 273.15, units == CQ_UNITS_US ? "°F" : "°C");
    }
    cq_text_add(&t, "Energy closes to %.1e in %zu steps on %zu cells (%.0f ms).\n", r->energy_imbalance, r->steps, r->cells, 1e3 * r->core_s);
    for (size_t n = 0; n < r->notices_n; n++) {
        cq_text_add(&t, "%s%s: %s\n", n == 0 ? "\n" : "", r->notices[n].code, r->notices[n].sentence);
    }
    cq_text_add(&t, "\n");
    for (size_t c = 0; c < r->cautions_n; c++) {
        cq_text_add(&t, "! %s\n", r->cautions[c]);
    }
    if (t.failed) {
        cq_memory_free(t.bytes);
        return CQ_ERR_MEMORY;
    }
    *text = t.bytes;
    return CQ_OK;
}
