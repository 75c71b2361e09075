/* tune_log_screen.c - what a thermocouple's log tells of a bath, on one screen. */
#include "report/tune_words.h"

#include "base/memory.h"
#include "report/words.h"

#include <math.h>
#include <stdio.h>

enum { ROWS = 10 };

static double shown(double temp_K, cq_unit_system units) {
    return units == CQ_UNITS_US ? 1.8 * (temp_K - 273.15) + 32.0 : temp_K - 273.15;
}

static double shown_difference(double difference_K, cq_unit_system units) {
    return units == CQ_UNITS_US ? 1.8 * difference_K : difference_K;
}

static void add_row(cq_text *t, const cq_inverse *v, size_t j, const char *mark, cq_unit_system units) {
    const double width = v->transfer.resolution_K[j], error = v->transfer.error_W_m2K[j];
    char wide[32], wrong[32];
    snprintf(wide, sizeof wide, isfinite(width) ? "%.0f" : "not seen", shown_difference(width, units));
    snprintf(wrong, sizeof wrong, isfinite(error) ? "%.0f" : "-", error);
    cq_text_add(t, "%9.0f %18.0f %8s %14.2f %18s%s\n", shown(v->transfer.face_K[j], units),
                v->transfer.transfer_W_m2K[j], wrong,
                1e-6 * v->transfer.transfer_W_m2K[j] * (v->transfer.face_K[j] - v->bath_K), wide, mark);
}

/* Even places from hot to cold, with that of the largest flux among them. */
static void add_table(cq_text *t, const cq_inverse *v, cq_unit_system units) {
    const char *degree = units == CQ_UNITS_US ? "°F" : "°C";
    cq_text_add(t, " face, %s  transfer, W/m^2/K      +/-   flux, MW/m^2    smeared over, %s\n", degree,
                units == CQ_UNITS_US ? "°F" : "K");
    const size_t n = v->transfer.n;
    size_t peak = 0, last = n;
    for (size_t j = 1; j < n; j++) {
        peak =
            fabs(v->transfer.face_K[j] - v->peak_face_K.value) < fabs(v->transfer.face_K[peak] - v->peak_face_K.value)
                ? j
                : peak;
    }
    const size_t rows = n < ROWS ? n : ROWS;
    for (size_t i = 0; i < rows; i++) {
        const size_t j = n - 1 - i * (n - 1) / (rows > 1 ? rows - 1 : 1);
        if (peak < last && peak > j) {
            add_row(t, v, peak, "  <- peak", units);
        }
        add_row(t, v, j, j == peak ? "  <- peak" : "", units);
        last = j;
    }
}

static void add_figures(cq_text *t, const cq_inverse *v, cq_unit_system units) {
    const char *degree = units == CQ_UNITS_US ? "°F" : "°C";
    cq_text_add(t, "Heat drawn      %6.2f MJ/m^2 +/- %.2f\n", 1e-6 * v->heat_J_m2.value, 1e-6 * v->heat_J_m2.error);
    cq_text_add(t, "Largest flux    %6.2f MW/m^2 +/- %.2f, at a face of %.0f %s +/- %.0f\n",
                1e-6 * v->peak_flux_W_m2.value, 1e-6 * v->peak_flux_W_m2.error, shown(v->peak_face_K.value, units),
                degree, shown_difference(v->peak_face_K.error, units));
    if (isfinite(v->peak_resolution_K)) {
        cq_text_add(t, "Smeared there   over %.0f %s of face temperature, %.2f s\n",
                    shown_difference(v->peak_resolution_K, units), units == CQ_UNITS_US ? "°F" : "K",
                    v->resolution_time_s);
    }
}

cq_status cq_report_log_screen(const cq_inverse *v, const cq_log_about *about, cq_unit_system units, char **text) {
    cq_text t = {NULL, 0, 0, false};
    char sentence[CQ_TUNE_SENTENCES][CQ_TUNE_SENTENCE];
    const bool us = units == CQ_UNITS_US;
    const double length = us ? 1.0 / 0.0254 : 1e3;
    cq_paragraph_add(&t, CQ_SCREEN_COLUMNS, "",
                     "%.40s: from %zu readings in %.1f s of a bead %.3g %s deep in a %s of %.3g %s; bath %.0f %s.",
                     about->bath, v->readings, v->time_s, about->depth_m * length, us ? "in" : "mm",
                     about->probe->blade.family == CQ_FAMILY_ROUND ? "round" : "plate",
                     about->probe->blade.spine_m * length, us ? "in" : "mm", shown(v->bath_K, units), us ? "°F" : "°C");
    cq_paragraph_add(&t, CQ_SCREEN_COLUMNS, "",
                     "Scatter of a reading: %.2f %s, %s. Errors hold the truth nine times in ten.",
                     shown_difference(v->noise_K, units), us ? "°F" : "K",
                     v->noise_from_log ? "taken from the log itself" : "as stated");
    add_figures(&t, v, units);
    add_table(&t, v, units);
    const size_t n = cq_log_sentences(v, sentence);
    for (size_t s = 0; s < n; s++) {
        cq_text one = {NULL, 0, 0, false};
        cq_paragraph_add(&one, CQ_SCREEN_COLUMNS, "", "%s", sentence[s]);
        t.failed = t.failed || one.failed;
        if (!one.failed && cq_text_lines(&t) + cq_text_lines(&one) < CQ_SCREEN_LINES) { /* one line is cli's */
            cq_text_add(&t, "%s", one.bytes);
        }
        cq_memory_free(one.bytes);
    }
    if (t.failed) {
        cq_memory_free(t.bytes);
        return CQ_ERR_MEMORY;
    }
    *text = t.bytes;
    return CQ_OK;
}
