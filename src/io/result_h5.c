/* result_h5.c - a run's fields, histories and answers as HDF5.
 *
 * Layout: /plan and /profiles (full texts), /grid (nodes, cell kinds, thin coats), /frames (time_s and one data set per
 * field, [frame][along][across]), /final, /along, /traces/NAME, /curve, /summary, /provenance, and in it what
 * summary.json says. Every data set carries unit, long_name and axes; NaN stands where a value does not apply. Outside
 * /provenance the same plan gives the same bytes: object times are off. result_read.c reads it back.
 */
#include "io/result.h"

#include "io/h5.h"
#include "io/reader.h"

#include "base/memory.h"

#include <stdio.h>
#include <string.h>
#include <time.h>

const char *const cq_result_phases[CQ_PHASES] = {"austenite", "ferrite_cementite", "pearlite", "bainite", "martensite"};

static void write_texts(cq_h5 *w, const cq_plan *plan) {
    cq_h5_text(w, w->file, "plan", plan->text, "the plan as it was read");
    hid_t profiles = cq_h5_group(w, w->file, "profiles");
    for (size_t p = 0; p < plan->profiles_n && profiles >= 0; p++) {
        cq_h5_text(w, profiles, plan->profile_names[p], plan->profile_texts[p],
                   "a profile the plan uses, as it was read");
    }
    H5Gclose(profiles);
}

static void write_grid(cq_h5 *w, const cq_grid *g) {
    hid_t to = cq_h5_group(w, w->file, "grid");
    const hsize_t nodes[2] = {(hsize_t)g->along + 1, (hsize_t)g->across + 1},
                  cells[2] = {(hsize_t)g->along, (hsize_t)g->across};
    cq_h5_put(w, to, "node_x_m", 2, nodes, g->node_x_m, "m", "height above the edge flat", "along across");
    cq_h5_put(w, to, "node_y_m", 2, nodes, g->node_y_m, "m", "distance from the plane y = 0, right positive",
              "along across");
    hid_t kind = cq_h5_set(w, to, "kind", H5T_NATIVE_UINT8, 2, cells, "1", "0 none, 1 steel, 2 clay", "along across");
    if (kind >= 0) {
        cq_h5_note(w, H5Dwrite(kind, H5T_NATIVE_UINT8, H5S_ALL, H5S_ALL, H5P_DEFAULT, g->kind));
        H5Dclose(kind);
    }
    const hsize_t rows = cells[0];
    cq_h5_put(w, to, "film_left_m", 1, &rows, g->film_left_m, "m", "coat too thin for cells, left face", "along");
    cq_h5_put(w, to, "film_right_m", 1, &rows, g->film_right_m, "m", "coat too thin for cells, right face", "along");
    H5Gclose(to);
}

/* One field of all frames, slab by slab. `field` < 0: temperature. */
static void write_frames_of(cq_h5 *w, hid_t to, const cq_result *r, int field, const char *name, const char *unit,
                            const char *long_name) {
    const hsize_t dims[3] = {r->frames_n, (hsize_t)r->grid->along, (hsize_t)r->grid->across};
    hid_t set = cq_h5_set(w, to, name, H5T_NATIVE_DOUBLE, 3, dims, unit, long_name, "frame along across");
    if (set < 0) {
        return;
    }
    hid_t file_space = H5Dget_space(set);
    const hsize_t count[3] = {1, dims[1], dims[2]};
    hid_t memory_space = H5Screate_simple(3, count, NULL);
    for (hsize_t f = 0; f < r->frames_n; f++) {
        const hsize_t start[3] = {f, 0, 0};
        H5Sselect_hyperslab(file_space, H5S_SELECT_SET, start, NULL, count, NULL);
        const double *values = field < 0 ? r->frames[f].temp_K : r->frames[f].fraction[field];
        cq_h5_note(w, H5Dwrite(set, H5T_NATIVE_DOUBLE, memory_space, file_space, H5P_DEFAULT, values));
    }
    H5Sclose(memory_space);
    H5Sclose(file_space);
    H5Dclose(set);
}

static void write_frames(cq_h5 *w, const cq_result *r) {
    if (r->frames_n == 0) {
        return;
    }
    hid_t to = cq_h5_group(w, w->file, "frames");
    double *times = cq_memory_zero(r->frames_n, sizeof *times);
    w->failed = w->failed || times == NULL;
    if (times != NULL) {
        for (size_t f = 0; f < r->frames_n; f++) {
            times[f] = r->frames[f].time_s;
        }
        const hsize_t n = r->frames_n;
        cq_h5_put(w, to, "time_s", 1, &n, times, "s", "time since the start of the first step", "frame");
        write_frames_of(w, to, r, -1, "temp_K", "K", "temperature of the cells, steel and clay");
        for (int p = 0; p < CQ_PHASES && r->transforming; p++) {
            write_frames_of(w, to, r, p, cq_result_phases[p], "1", "volume fraction");
        }
    }
    cq_memory_free(times);
    H5Gclose(to);
}

static void write_final(cq_h5 *w, const cq_result *r) {
    if (r->temp_K == NULL) {
        return; /* interrupted before the answer */
    }
    hid_t to = cq_h5_group(w, w->file, "final");
    const hsize_t cells[2] = {(hsize_t)r->grid->along, (hsize_t)r->grid->across};
    cq_h5_put(w, to, "temp_K", 2, cells, r->temp_K, "K", "temperature at the end", "along across");
    cq_h5_put(w, to, "peak_rate_K_s", 2, cells, r->peak_rate_K_s, "K/s", "largest cooling rate", "along across");
    if (r->transforming) {
        cq_h5_put(w, to, "hardness_HV", 2, cells, r->hardness_HV, "HV", "Vickers hardness as quenched", "along across");
        for (int p = 0; p < CQ_PHASES; p++) {
            cq_h5_put(w, to, cq_result_phases[p], 2, cells, r->fraction[p], "1", "volume fraction", "along across");
        }
    }
    if (r->built.carbon_wt != NULL) {
        cq_h5_put(w, to, "carbon_wt", 2, cells, r->built.carbon_wt, "%", "carbon when the quench begins, by weight",
                  "along across");
        cq_h5_put(w, to, "zone", 2, cells, r->built.zone, "1", "number of the zone in the plan, from 0",
                  "along across");
    }
    if (r->axial_stress_Pa != NULL) {
        cq_h5_put(w, to, "axial_stress_Pa", 2, cells, r->axial_stress_Pa, "Pa",
                  "stress along the blade as quenched at 20 degC, tension positive", "along across");
        cq_h5_put(w, to, "tempered_stress_Pa", 2, cells, r->tempered_stress_Pa, "Pa",
                  "the same after the plan's tempers", "along across");
    }
    H5Gclose(to);
    if (r->along.n > 0) {
        const cq_profile_along *a = &r->along;
        const hsize_t n = a->n;
        to = cq_h5_group(w, w->file, "along");
        cq_h5_put(w, to, "height_m", 1, &n, a->height_m, "m", "height above the edge flat", "along");
        cq_h5_put(w, to, "martensite_left", 1, &n, a->martensite_left, "1", "martensite at the left face", "along");
        cq_h5_put(w, to, "martensite_right", 1, &n, a->martensite_right, "1", "martensite at the right face", "along");
        cq_h5_put(w, to, "martensite_mid", 1, &n, a->martensite_mid, "1", "martensite on the mid-plane", "along");
        cq_h5_put(w, to, "hardness_left_HV", 1, &n, a->hardness_left_HV, "HV", "hardness at the left face", "along");
        cq_h5_put(w, to, "hardness_right_HV", 1, &n, a->hardness_right_HV, "HV", "hardness at the right face", "along");
        cq_h5_put(w, to, "hardness_mid_HV", 1, &n, a->hardness_mid_HV, "HV", "hardness on the mid-plane", "along");
        cq_h5_put(w, to, "tempered_mid_HV", 1, &n, a->tempered_mid_HV, "HV", "the same after the plan's tempers",
                  "along");
        H5Gclose(to);
    }
}

static void write_traces(cq_h5 *w, const cq_result *r) {
    static const char *const faces[] = {[CQ_FACE_MID] = "mid", [CQ_FACE_LEFT] = "left", [CQ_FACE_RIGHT] = "right"};
    hid_t to = cq_h5_group(w, w->file, "traces");
    for (size_t t = 0; t < r->traces_n; t++) {
        const cq_trace *trace = &r->traces[t];
        const hsize_t n = trace->n;
        char name[CQ_TRACE_NAME];
        hid_t one = cq_h5_group(w, to, cq_result_trace_name(r, t, name));
        if (one < 0) {
            continue;
        }
        cq_h5_put(w, one, "time_s", 1, &n, trace->time_s, "s", "time since the start of the first step", "time");
        cq_h5_put(w, one, "temp_K", 1, &n, trace->temp_K, "K", "temperature", "time");
        cq_h5_put(w, one, "at_m", 0, NULL, &trace->at_m, "m", "height above the edge flat", "");
        cq_h5_put(w, one, "t500_s", 0, NULL, &trace->t500_s, "s", "first fall through 500 degC", "");
        cq_h5_text(w, one, "face", faces[trace->face], "mid-plane or which face");
        H5Gclose(one);
    }
    H5Gclose(to);
}

/* All that differs between two runs of the same plan, or between two machines. */
static void write_provenance(cq_h5 *w, const cq_result *r, const char *summary) {
    hid_t to = cq_h5_group(w, w->file, "provenance");
    char when[64], hdf5[64];
    unsigned major, minor, release;
    const time_t now = time(NULL);
    struct tm utc;
    gmtime_r(&now, &utc);
    strftime(when, sizeof when, "%Y-%m-%dT%H:%M:%SZ", &utc);
    H5get_libversion(&major, &minor, &release);
    snprintf(hdf5, sizeof hdf5, "HDF5 %u.%u.%u", major, minor, release);
    cq_h5_text(w, to, "program", "clayquench " CQ_VERSION, "program and version");
    cq_h5_text(w, to, "library", hdf5, "library that wrote this file");
    cq_h5_text(w, to, "written", when, "when, UTC");
    cq_h5_text(w, to, "plan_file", r->plan->file, "where the plan was read from");
    cq_h5_put(w, to, "core_s", 0, NULL, &r->core_s, "s", "processor time of the time loop", "");
    cq_h5_put(w, to, "curve_core_s", 0, NULL, &r->curve.seconds, "s", "processor time of curve and stress in it", "");
    if (summary != NULL) { /* here and not at the root: it tells the processor time too */
        cq_h5_text(w, to, "summary_json", summary, "the answer as one JSON object");
    }
    H5Gclose(to);
}

const char *cq_result_trace_name(const cq_result *result, size_t t, char to[CQ_TRACE_NAME]) {
    bool taken = false;
    for (size_t n = 0; n < CQ_TRACES_FIXED && t >= CQ_TRACES_FIXED; n++) {
        taken = taken || strcmp(result->traces[n].name, result->traces[t].name) == 0;
    }
    snprintf(to, CQ_TRACE_NAME, "%.80s%s", result->traces[t].name, taken ? "-probe" : "");
    return to;
}

static void write_all(cq_h5 *w, const cq_result *result, const char *summary) {
    cq_h5_attribute(w, w->file, "format", "clayquench-result");
    cq_h5_attribute_number(w, w->file, "version", CQ_RESULT_VERSION);
    write_texts(w, result->plan);
    write_grid(w, result->grid);
    write_frames(w, result);
    write_final(w, result);
    write_traces(w, result);
    cq_result_h5_answer(w, result);
    write_provenance(w, result, summary);
}

cq_status cq_result_write_h5(const cq_result *result, const char *summary, const char *folder, cq_error *error) {
    char path[4096];
    snprintf(path, sizeof path, "%.4000s/result.h5", folder);
    cq_h5 w;
    size_t length = 0;
    cq_h5_begin(&w);
    if (!w.failed) {
        write_all(&w, result, summary);
    }
    char *image = cq_h5_image(&w, &length);
    cq_h5_end(&w);
    const cq_status status = image == NULL ? cq_error_say(error, CQ_ERR_MEMORY, "", "", "", "result.h5")
                                           : cq_file_write(path, image, length, error);
    cq_memory_free(image);
    return status;
}
