/* result_read.c - a stored result back in memory: the plan from its text and the profiles' texts, section and grid laid
 * anew from it, everything a run computed from the data sets that result_h5.c wrote.
 */
#include "io/result.h"

#include "base/memory.h"
#include "io/h5_read.h"
#include "io/reader.h"
#include "io/result_read.h"
#include "quench/zones.h"

#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum { MOST_PROFILES = 1000, MOST_SAMPLES = CQ_RESULT_SAMPLES };
static const double SAME_PLACE_M = 1e-9; /* nodes of the stored and of the new grid */

struct cq_stored {
    cq_result result;
    cq_plan plan;
    cq_section *section;
    cq_grid *grid;
    char *summary;
    cq_arena *arena;
};

/* ---- the plan and what is laid from it --------------------------------------------------------------------------- */

static cq_given_profiles profiles_of(cq_h5_source *s) {
    H5G_info_t info = {0};
    hid_t from = H5Gopen2(s->file, "profiles", H5P_DEFAULT);
    s->failed = s->failed || from < 0 || H5Gget_info(from, &info) < 0 || info.nlinks > MOST_PROFILES;
    const size_t n = s->failed ? 0 : (size_t)info.nlinks;
    const char **names = cq_h5_take(s, n + 1, sizeof *names), **texts = cq_h5_take(s, n + 1, sizeof *texts);
    for (size_t i = 0; i < n && !s->failed; i++) {
        char name[256] = "", path[300];
        s->failed = H5Lget_name_by_idx(from, ".", H5_INDEX_NAME, H5_ITER_INC, i, name, sizeof name, H5P_DEFAULT) < 0;
        snprintf(path, sizeof path, "profiles/%s", name);
        texts[i] = cq_h5_text_of(s, path, true);
        char *kept = cq_h5_take(s, strlen(name) + 1, 1);
        names[i] = kept == NULL ? NULL : strcpy(kept, name);
    }
    if (from >= 0) {
        H5Gclose(from);
    }
    return (cq_given_profiles){s->failed ? 0 : n, names, texts};
}

static cq_status read_plan(cq_h5_source *s, cq_stored *to, cq_error *error) {
    const char *text = cq_h5_text_of(s, "plan", true), *name = cq_h5_text_of(s, "provenance/plan_file", true);
    const cq_given_profiles given = profiles_of(s);
    return s->failed ? CQ_OK : cq_plan_read_given(&to->plan, text, strlen(text), name, &given, error);
}

/* Of the cells that were there at the end; nodes must lie where they lay. */
static void check_grid(cq_h5_source *s, cq_stored *to) {
    cq_grid *g = to->grid;
    const double *x = cq_h5_field(s, "grid", "node_x_m", g->along + 1, g->across + 1);
    const double *y = cq_h5_field(s, "grid", "node_y_m", g->along + 1, g->across + 1);
    for (int n = 0; !s->failed && n < (g->along + 1) * (g->across + 1); n++) {
        s->failed = !(fabs(x[n] - g->node_x_m[n]) < SAME_PLACE_M && fabs(y[n] - g->node_y_m[n]) < SAME_PLACE_M);
    }
    hsize_t dims[3];
    cq_h5_fetch(s, cq_h5_open_set(s, "grid/kind", 2, dims), H5T_NATIVE_UINT8, g->kind);
    for (int side = 0; side < CQ_SIDES; side++) {
        size_t n = 0;
        const double *film = cq_h5_row(s, side == CQ_SIDE_LEFT ? "grid/film_left_m" : "grid/film_right_m", 1 << 20, &n);
        s->failed = s->failed || n != (size_t)g->along;
        if (!s->failed) {
            memcpy(side == CQ_SIDE_LEFT ? g->film_left_m : g->film_right_m, film, n * sizeof *film);
        }
    }
}

static cq_status lay(cq_h5_source *s, cq_stored *to, cq_error *error) {
    const cq_plan *plan = &to->plan;
    cq_status status = cq_section_create(&to->section, &plan->blade, &plan->coat, error);
    for (size_t n = 0; status >= 0 && n < plan->lost_n; n++) { /* as a run has it */
        to->section->symmetric = to->section->symmetric && plan->lost[n].face == CQ_FACE_MID;
    }
    if (status >= 0) {
        to->section->symmetric = to->section->symmetric && cq_zones_are_symmetric(&plan->zones);
    }
    status = status < 0 ? status : cq_grid_create(&to->grid, to->section, &plan->grid, error);
    if (status >= 0) {
        check_grid(s, to);
    }
    return status < 0 ? status : CQ_OK;
}

/* ---- what the run computed --------------------------------------------------------------------------------------- */

static double *slab(cq_h5_source *s, hid_t set, hsize_t at, int along, int across) {
    double *values = cq_h5_take(s, (size_t)along * (size_t)across, sizeof *values);
    const hsize_t start[3] = {at, 0, 0}, count[3] = {1, (hsize_t)along, (hsize_t)across};
    hid_t space = H5Dget_space(set), memory = H5Screate_simple(3, count, NULL);
    s->failed = s->failed || H5Sselect_hyperslab(space, H5S_SELECT_SET, start, NULL, count, NULL) < 0 ||
                H5Dread(set, H5T_NATIVE_DOUBLE, memory, space, H5P_DEFAULT, values) < 0;
    H5Sclose(memory);
    H5Sclose(space);
    return values;
}

/* One field of the kept frames; `phase` < 0: temperature. `there`: frames in the file. */
static void read_frames_of(cq_h5_source *s, cq_stored *to, const char *path, int phase, size_t there) {
    cq_result *r = &to->result;
    const int along = r->grid->along, across = r->grid->across;
    hsize_t dims[3] = {0};
    hid_t set = cq_h5_open_set(s, path, 3, dims);
    s->failed = s->failed || dims[0] != there || dims[1] != (hsize_t)along || dims[2] != (hsize_t)across;
    for (size_t f = 0; f < r->frames_n && !s->failed; f++) {
        const size_t at = r->frames_n < 2 ? 0 : f * (there - 1) / (r->frames_n - 1);
        double *values = slab(s, set, at, along, across);
        *(phase < 0 ? &r->frames[f].temp_K : &r->frames[f].fraction[phase]) = values;
    }
    if (set >= 0) {
        H5Dclose(set);
    }
}

static void read_frames(cq_h5_source *s, cq_stored *to) {
    cq_result *r = &to->result;
    size_t there = 0;
    if (s->failed || H5Lexists(s->file, "frames", H5P_DEFAULT) <= 0) {
        return;
    }
    const double *time_s = cq_h5_row(s, "frames/time_s", MOST_SAMPLES, &there);
    r->frames_n = there < CQ_STORED_FRAMES ? there : CQ_STORED_FRAMES;
    r->frames = cq_h5_take(s, r->frames_n + 1, sizeof *r->frames);
    for (size_t f = 0; f < r->frames_n && !s->failed; f++) {
        r->frames[f].time_s = time_s[r->frames_n < 2 ? 0 : f * (there - 1) / (r->frames_n - 1)];
    }
    read_frames_of(s, to, "frames/temp_K", -1, there);
    for (int p = 0; p < CQ_PHASES; p++) {
        char path[64];
        snprintf(path, sizeof path, "frames/%s", cq_result_phases[p]);
        if (r->transforming) {
            read_frames_of(s, to, path, p, there);
        }
    }
}

static void read_final(cq_h5_source *s, cq_stored *to) {
    cq_result *r = &to->result;
    const int along = r->grid->along, across = r->grid->across;
    r->temp_K = cq_h5_field(s, "final", "temp_K", along, across);
    r->peak_rate_K_s = cq_h5_field(s, "final", "peak_rate_K_s", along, across);
    if (r->transforming) {
        r->hardness_HV = cq_h5_field(s, "final", "hardness_HV", along, across);
    }
    for (int p = 0; p < CQ_PHASES; p++) {
        r->fraction[p] = r->transforming ? cq_h5_field(s, "final", cq_result_phases[p], along, across)
                                         : cq_h5_take(s, (size_t)along * (size_t)across, sizeof(double));
    }
    if (!s->failed && H5Lexists(s->file, "final/axial_stress_Pa", H5P_DEFAULT) > 0) {
        r->axial_stress_Pa = cq_h5_field(s, "final", "axial_stress_Pa", along, across);
        r->tempered_stress_Pa = cq_h5_field(s, "final", "tempered_stress_Pa", along, across);
    }
    if (!s->failed && H5Lexists(s->file, "final/carbon_wt", H5P_DEFAULT) > 0) {
        r->built.carbon_wt = cq_h5_field(s, "final", "carbon_wt", along, across);
        r->built.zone = cq_h5_field(s, "final", "zone", along, across);
    }
    cq_profile_along *a = &r->along;
    if (s->failed || H5Lexists(s->file, "along", H5P_DEFAULT) <= 0) {
        return;
    }
    a->height_m = cq_h5_row(s, "along/height_m", MOST_SAMPLES, &a->n);
    const struct {
        const char *path;
        double **to;
    } curves[] = {{"along/martensite_left", &a->martensite_left},     {"along/martensite_right", &a->martensite_right},
                  {"along/martensite_mid", &a->martensite_mid},       {"along/hardness_left_HV", &a->hardness_left_HV},
                  {"along/hardness_right_HV", &a->hardness_right_HV}, {"along/hardness_mid_HV", &a->hardness_mid_HV},
                  {"along/tempered_mid_HV", &a->tempered_mid_HV}};
    for (size_t c = 0; c < sizeof curves / sizeof curves[0]; c++) {
        size_t n = 0;
        *curves[c].to = cq_h5_row(s, curves[c].path, MOST_SAMPLES, &n);
        s->failed = s->failed || n != a->n;
    }
}

static void read_trace(cq_h5_source *s, cq_stored *to, size_t t) {
    cq_trace *trace = &to->result.traces[t];
    char name[CQ_TRACE_NAME], group[CQ_TRACE_NAME + 16], path[CQ_TRACE_NAME + 32];
    size_t n = 0;
    snprintf(group, sizeof group, "traces/%s", cq_result_trace_name(&to->result, t, name));
    snprintf(path, sizeof path, "%s/time_s", group);
    trace->time_s = cq_h5_row(s, path, MOST_SAMPLES, &trace->n);
    snprintf(path, sizeof path, "%s/temp_K", group);
    trace->temp_K = cq_h5_row(s, path, MOST_SAMPLES, &n);
    s->failed = s->failed || n != trace->n;
    trace->capacity = trace->n;
    trace->at_m = cq_h5_number(s, group, "at_m");
    trace->t500_s = cq_h5_number(s, group, "t500_s");
    snprintf(path, sizeof path, "%s/face", group);
    const char *face = cq_h5_text_of(s, path, true);
    trace->face = face == NULL || strcmp(face, "mid") == 0 ? CQ_FACE_MID
                  : strcmp(face, "left") == 0              ? CQ_FACE_LEFT
                                                           : CQ_FACE_RIGHT;
}

/* The built-in places, then the plan's, in its order; the file has them by name. */
static void read_traces(cq_h5_source *s, cq_stored *to) {
    static const char *const fixed[CQ_TRACES_FIXED] = {"edge", "body", "spine"};
    cq_result *r = &to->result;
    r->traces_n = CQ_TRACES_FIXED + to->plan.probes_n;
    r->traces = cq_h5_take(s, r->traces_n, sizeof *r->traces);
    for (size_t t = 0; t < r->traces_n && !s->failed; t++) {
        r->traces[t].name = t < CQ_TRACES_FIXED ? fixed[t] : to->plan.probes[t - CQ_TRACES_FIXED].name;
    }
    for (size_t t = 0; t < r->traces_n && !s->failed; t++) {
        read_trace(s, to, t);
    }
}

/* ---- the whole --------------------------------------------------------------------------------------------------- */

static cq_status read_open(cq_h5_source *s, cq_stored *to, const char *path, cq_error *error) {
    if (H5Lexists(s->file, "final", H5P_DEFAULT) <= 0) {
        return cq_error_say(error, CQ_ERR_FORMAT, "", "a result with its answer", "run the plan again to its end",
                            "%.120s holds a run that was interrupted", path);
    }
    cq_status status = read_plan(s, to, error);
    status = status < 0 || s->failed ? status : lay(s, to, error);
    if (status < 0 || s->failed) {
        return status;
    }
    to->result.plan = &to->plan;
    to->result.section = to->section;
    to->result.grid = to->grid;
    to->result.transforming = to->plan.steel.kind == CQ_STEEL_TRANSFORMING;
    to->result.has_line = to->result.transforming && !to->grid->one_dimensional;
    read_frames(s, to);
    read_final(s, to);
    read_traces(s, to);
    cq_result_read_answer(s, &to->result);
    to->summary = cq_h5_text_of(s, "provenance/summary_json", false);
    return CQ_OK;
}

cq_status cq_result_read(cq_stored **stored, const char *path, cq_error *error) {
    cq_status status = cq_result_check_file(path, error);
    if (status < 0) {
        return status;
    }
    cq_stored *to = cq_memory_zero(1, sizeof *to);
    if (to == NULL || (to->arena = cq_arena_create()) == NULL) {
        cq_stored_free(to);
        return cq_error_say(error, CQ_ERR_MEMORY, "", "", "", "%s", cq_status_sentence(CQ_ERR_MEMORY));
    }
    cq_h5_source s = {.arena = to->arena};
    cq_h5_silence silence;
    cq_h5_silence_begin(&silence);
    s.file = cq_h5_open(path);
    s.failed = s.file < 0;
    status = s.failed ? CQ_OK : read_open(&s, to, path, error);
    if (s.file >= 0) {
        H5Fclose(s.file);
    }
    cq_h5_silence_end(&silence);
    if (status >= 0 && s.short_of_memory) {
        status = cq_error_say(error, CQ_ERR_MEMORY, "", "", "", "%s", cq_status_sentence(CQ_ERR_MEMORY));
    } else if (status >= 0 && s.failed) {
        status = cq_error_say(error, CQ_ERR_FORMAT, "", "a result that this version wrote", "run its plan again",
                              "%.120s lacks something or was laid on another grid", path);
    }
    if (status < 0) {
        cq_stored_free(to);
        return status;
    }
    *stored = to;
    return CQ_OK;
}

const cq_result *cq_stored_result(const cq_stored *stored) {
    return &stored->result;
}

const char *cq_stored_summary(const cq_stored *stored) {
    return stored->summary;
}

void cq_stored_free(cq_stored *stored) {
    if (stored != NULL) {
        cq_plan_clear(&stored->plan);
        cq_grid_free(stored->grid);
        cq_section_free(stored->section);
        cq_arena_free(stored->arena);
        cq_memory_free(stored);
    }
}
