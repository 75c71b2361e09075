/* tune_profiles.c - tuned profiles as YAML: what was tuned laid over the profile it was tuned from. */
#include "report/tune_words.h"

#include "base/memory.h"
#include "io/result.h"

#include <clayquench/io.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

static const cq_tuned *find(const cq_tuning *t, cq_tunable what) {
    for (size_t j = 0; j < t->tuned_n; j++) {
        if (t->tuned[j].what == what) {
            return &t->tuned[j];
        }
    }
    return NULL;
}

static double factor_of(const cq_tuned *t) {
    return t == NULL ? 1.0 : t->after / t->before;
}

/* In double quotes, as YAML has them. */
static void add_quoted(cq_text *t, const char *text) {
    cq_text_add(t, "\"");
    for (const char *p = text; *p != '\0'; p++) {
        cq_text_add(t, *p == '"' || *p == '\\' ? "\\%c" : (unsigned char)*p < ' ' ? " " : "%c", *p);
    }
    cq_text_add(t, "\"");
}

static void add_source(cq_text *t, const char *file, const char *title) {
    char text[400];
    const char *slash = strrchr(file, '/'); /* where it lay is nobody's business */
    file = slash == NULL ? file : slash + 1;
    snprintf(text, sizeof text, "tuned by clayquench " CQ_VERSION " to %.200s%s%.100s", file,
             title[0] != '\0' ? ": " : "", title);
    cq_text_add(t, "  source: ");
    add_quoted(t, text);
    cq_text_add(t, "\n");
}

static void begin(cq_text *t, const char *kind, const char *from, const cq_tuned_profile *p) {
    cq_text_add(t, "format: clayquench-%s 1\nname: %s\nsummary: %s, tuned to a shop's evidence\nfrom: %s\n", kind,
                p->name, from, from);
}

static void add_value(cq_text *t, const cq_tuning *tuning, const char *key, const char *value,
                      const char *uncertainty) {
    cq_text_add(t, "%s:\n  value: %s\n", key, value);
    add_source(t, tuning->evidence->file, tuning->evidence->title);
    cq_text_add(t, "  valid: the coupons and blades of that evidence\n  uncertainty: \"%s\"\n", uncertainty);
}

/* Nine in ten, as a factor on the value: "0.85 to 1.2 times, nine in ten". */
static const char *range_words(const cq_tuned *t, char to[64]) {
    const bool shift = t->what >= CQ_TUNABLE_MS;
    if (shift) {
        snprintf(to, 64, "%.0f to %.0f %s, nine in ten", t->low, t->high, cq_tunable_unit(t->what));
    } else {
        snprintf(to, 64, "%.3g to %.3g times, nine in ten", t->low / t->after, t->high / t->after);
    }
    return to;
}

static void add_table(cq_text *t, const cq_table *table, double factor, const char *unit) {
    if (table->n == 1) {
        cq_text_add(t, "%.4g %s", factor * table->y[0], unit);
        return;
    }
    cq_text_add(t, "[");
    for (size_t i = 0; i < table->n; i++) {
        cq_text_add(t, "%s[%.6g °C, %.4g %s]", i > 0 ? ", " : "", table->x[i] - 273.15, factor * table->y[i], unit);
    }
    cq_text_add(t, "]");
}

static void add_table_value(cq_text *t, const cq_tuning *tuning, const char *key, const cq_table *table,
                            const cq_tuned *tuned, const char *unit) {
    cq_text value = {NULL, 0, 0, false};
    char range[64];
    add_table(&value, table, factor_of(tuned), unit);
    if (!value.failed) {
        add_value(t, tuning, key, value.bytes, range_words(tuned, range));
    }
    if (table->interpolation == CQ_INTERPOLATE_MONOTONE && table->n > 1) {
        cq_text_add(t, "  interpolate: monotone\n");
    }
    t->failed = t->failed || value.failed;
    cq_memory_free(value.bytes);
}

static bool finish(cq_text *t, cq_tuned_profile *p) {
    if (t->failed) {
        cq_memory_free(t->bytes);
        return false;
    }
    p->text = t->bytes;
    return true;
}

static void name_it(cq_tuned_profile *p, const char *kind, const char *from) {
    memset(p, 0, sizeof *p);
    snprintf(p->kind, sizeof p->kind, "%s", kind);
    if (from != NULL) {
        snprintf(p->name, sizeof p->name, "%.60s-tuned", from);
    }
}

static bool make_clay(const cq_tuning *tuning, const cq_tuned *k, cq_tuned_profile *p) {
    const cq_clay *clay = &tuning->plan->clay;
    name_it(p, "clay", clay->name);
    if (clay->name == NULL) {
        snprintf(p->line, sizeof p->line, "  clay.mix.conductivity: %.3g times what it is", factor_of(k));
        return true;
    }
    snprintf(p->line, sizeof p->line, "  clay.mix: %s", p->name);
    cq_text t = {NULL, 0, 0, false};
    begin(&t, "clay", clay->name, p);
    add_table_value(&t, tuning, "conductivity", &clay->conductivity_W_mK, k, "W/m/K");
    return finish(&t, p);
}

static bool make_steel(const cq_tuning *tuning, cq_tuned_profile *p) {
    const cq_tuned *time = find(tuning, CQ_TUNABLE_TIME), *ms = find(tuning, CQ_TUNABLE_MS),
                   *hard = find(tuning, CQ_TUNABLE_HARDNESS);
    const cq_steel *steel = &tuning->plan->steel;
    char value[64], range[64];
    name_it(p, "steel", steel->name);
    if (steel->name == NULL) {
        snprintf(p->line, sizeof p->line, "  steel.time-factor: %.3g, ms-shift: %.0f K, hardness-shift: %.0f HV",
                 time == NULL ? steel->time_factor : time->after, ms == NULL ? steel->ms_shift_K : ms->after,
                 hard == NULL ? steel->hardness_shift_HV : hard->after);
        return true;
    }
    snprintf(p->line, sizeof p->line, "  steel: %s", p->name);
    cq_text t = {NULL, 0, 0, false};
    begin(&t, "steel", steel->name, p);
    if (time != NULL) {
        snprintf(value, sizeof value, "%.4g", time->after);
        add_value(&t, tuning, "time-factor", value, range_words(time, range));
        snprintf(value, sizeof value, "%.3g", time->sigma * time->left);
        add_value(&t, tuning, "time-factor-sigma", value, "as the evidence's errors are");
    }
    if (ms != NULL) {
        snprintf(value, sizeof value, "%.1f K", ms->after);
        add_value(&t, tuning, "ms-shift", value, range_words(ms, range));
    }
    if (hard != NULL) {
        snprintf(value, sizeof value, "%.1f HV", hard->after);
        add_value(&t, tuning, "hardness-shift", value, range_words(hard, range));
    }
    return finish(&t, p);
}

static void add_factor(cq_text *t, const cq_tuning *tuning, const char *key, double value, const cq_tuned *tuned) {
    char text[32], range[64];
    snprintf(text, sizeof text, "%.4g", value);
    add_value(t, tuning, key, text, range_words(tuned, range));
}

static void add_strength(cq_text *t, const cq_tuning *tuning, const cq_bath *bath, const cq_tuned *strength) {
    const double factor = factor_of(strength);
    if (bath->kind == CQ_BATH_TABLE) {
        add_table_value(t, tuning, "heat-transfer", &bath->heat_transfer_W_m2K, strength, "W/m^2/K");
        return;
    }
    add_factor(t, tuning, "film", factor * bath->film_factor, strength);
    add_factor(t, tuning, "peak", factor * bath->peak_factor, strength);
    add_factor(t, tuning, "nucleate", factor * bath->nucleate_factor, strength);
    add_factor(t, tuning, "convection", factor * bath->convection_factor, strength);
}

static bool make_bath(const cq_tuning *tuning, size_t step, cq_tuned_profile *p) {
    const cq_bath *bath = &tuning->plan->steps[step].bath;
    const cq_tuned *strength = find(tuning, CQ_TUNABLE_STRENGTH), *rewetting = find(tuning, CQ_TUNABLE_REWETTING);
    name_it(p, "bath", bath->name);
    if (bath->name == NULL) {
        snprintf(p->line, sizeof p->line, "  steps.%zu.in: its heat transfer %.3g times what it is", step,
                 factor_of(strength));
        return true;
    }
    snprintf(p->line, sizeof p->line, "  steps.%zu.in: %s", step, p->name);
    cq_text t = {NULL, 0, 0, false};
    begin(&t, "bath", bath->name, p);
    if (strength != NULL) {
        add_strength(&t, tuning, bath, strength);
    }
    if (rewetting != NULL && bath->kind == CQ_BATH_BOILING) {
        add_factor(&t, tuning, "rewetting", factor_of(rewetting) * bath->rewetting_factor, rewetting);
    }
    return finish(&t, p);
}

/* Another step in a bath of this name: the same profile, its own line. */
static bool is_made(const cq_tuned_profile *profiles, int n, const char *name) {
    for (int p = 0; p < n; p++) {
        if (name[0] != '\0' && strcmp(profiles[p].name, name) == 0) {
            return true;
        }
    }
    return false;
}

int cq_report_tune_profiles(const cq_tuning *tuning, cq_tuned_profile profiles[CQ_TUNED_PROFILES]) {
    const cq_plan *plan = tuning->plan;
    const cq_tuned *clay = find(tuning, CQ_TUNABLE_CLAY);
    const bool bath = find(tuning, CQ_TUNABLE_STRENGTH) != NULL || find(tuning, CQ_TUNABLE_REWETTING) != NULL;
    int n = 0;
    bool good = true;
    if (clay != NULL) {
        good = make_clay(tuning, clay, &profiles[n++]);
    }
    for (size_t s = 0; bath && good && s < plan->steps_n && n < CQ_TUNED_PROFILES - 1; s++) {
        if (plan->steps[s].bath.kind == CQ_BATH_GAS) {
            continue;
        }
        good = make_bath(tuning, s, &profiles[n]);
        if (good && is_made(profiles, n, profiles[n].name)) {
            cq_text_free(profiles[n].text);
            profiles[n].text = NULL;
        }
        n++;
    }
    if (good && plan->steel.kind == CQ_STEEL_TRANSFORMING) {
        good = make_steel(tuning, &profiles[n++]);
    }
    if (!good) {
        cq_tuned_profiles_free(profiles, n);
        return -1;
    }
    return n;
}

void cq_tuned_profiles_free(cq_tuned_profile *profiles, int n) {
    for (int p = 0; p < n; p++) {
        cq_text_free(profiles[p].text);
    }
}

/* ---- a bath from a log ------------------------------------------------------------------------------------------- */

/* [[face, value], ...] from cold to hot; what is not known (infinite) is left out. */
static void add_pairs(cq_text *t, const cq_transfer *of, const double *value, const char *unit) {
    bool first = true;
    cq_text_add(t, "[");
    for (size_t j = 0; j < of->n; j++) {
        if (isfinite(value[j])) {
            cq_text_add(t, "%s[%.2f °C, %.4g %s]", first ? "" : ",\n    ", of->face_K[j] - 273.15, value[j], unit);
            first = false;
        }
    }
    cq_text_add(t, "]\n");
}

static bool knows_any(const cq_transfer *of, const double *value) {
    for (size_t j = 0; j < of->n; j++) {
        if (isfinite(value[j])) {
            return true;
        }
    }
    return false;
}

static void add_transfer(cq_text *t, const cq_inverse *v, const cq_log_about *about) {
    char source[400];
    const cq_transfer *of = &v->transfer;
    snprintf(source, sizeof source, "found by clayquench " CQ_VERSION " from %.200s, %zu readings, scatter %.2f K%s",
             strrchr(about->log, '/') == NULL ? about->log : strrchr(about->log, '/') + 1, v->readings, v->noise_K,
             v->single ? "" : "; a mean, no single curve explains the log");
    cq_text_add(t, "heat-transfer:\n  value: ");
    add_pairs(t, of, of->transfer_W_m2K, "W/m^2/K");
    cq_text_add(t, "  source: ");
    add_quoted(t, source);
    cq_text_add(t, "\n  valid: [%.0f °C, %.0f °C]\n  uncertainty: \"see heat-transfer-error; heat drawn %.3g %%\"\n",
                of->face_K[0] - 273.15, of->face_K[of->n - 1] - 273.15,
                100.0 * v->heat_J_m2.error / v->heat_J_m2.value);
    if (knows_any(of, of->error_W_m2K)) {
        cq_text_add(t, "heat-transfer-error:\n  value: ");
        add_pairs(t, of, of->error_W_m2K, "W/m^2/K");
        cq_text_add(t, "  source: ");
        add_quoted(t, source);
        cq_text_add(t, "\n  valid: where the table holds\n  uncertainty: \"of readings and smoothing only\"\n");
    }
    if (knows_any(of, of->resolution_K)) {
        cq_text_add(t, "resolution:\n  value: ");
        add_pairs(t, of, of->resolution_K, "K");
        cq_text_add(t, "  source: ");
        add_quoted(t, source);
        cq_text_add(t, "\n  valid: where the table holds\n  uncertainty: \"about a third\"\n");
    }
}

cq_status cq_report_log_profile(const cq_inverse *v, const cq_log_about *about, char **text) {
    cq_text t = {NULL, 0, 0, false};
    cq_text_add(&t, "format: clayquench-bath 1\nname: %s\nsummary: Measured in a probe, at %.0f °C\nkind: table\n",
                about->bath, v->bath_K - 273.15);
    cq_text_add(
        &t,
        "note: \"Measured on the bare face of the probe: scale and film are in it. Not to be laid over clay.\"\n"
        "at:\n  value: %.2f °C\n  source: \"the probe's plan\"\n  valid: this temperature only\n  uncertainty: as "
        "it was read\n",
        v->bath_K - 273.15);
    add_transfer(&t, v, about);
    if (t.failed) {
        cq_memory_free(t.bytes);
        return CQ_ERR_MEMORY;
    }
    *text = t.bytes;
    return CQ_OK;
}
