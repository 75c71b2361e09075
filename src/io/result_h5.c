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

#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

enum { RESULT_VERSION = 1 };
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

/* One number of the answer. */
typedef struct figure {
    const char *name;
    double value;
    const char *unit, *long_name;
} figure;

static void put_figures(cq_h5 *w, hid_t to, const figure *figures, size_t n) {
    for (size_t f = 0; f < n; f++) {
        cq_h5_put(w, to, figures[f].name, 0, NULL, &figures[f].value, figures[f].unit, figures[f].long_name, "");
    }
}

static void put_bend(cq_h5 *w, hid_t to, const char *name, const cq_bend *b, const char *long_name) {
    const figure figures[] = {{"curvature_1_m", b->curvature_1_m, "1/m", "curvature, toward the spine positive"},
                              {"side_curvature_1_m", b->side_curvature_1_m, "1/m", "toward the right positive"},
                              {"rise_m", b->rise_m, "m", "rise over the blade's length, toward the spine"},
                              {"low_m", b->low_m, "m", "least rise to expect"},
                              {"high_m", b->high_m, "m", "largest rise to expect"},
                              {"side_bend_m", b->side_bend_m, "m", "bend over the blade's length, toward the right"}};
    hid_t one = cq_h5_group(w, to, name);
    if (one >= 0) {
        cq_h5_attribute(w, one, "long_name", long_name);
        put_figures(w, one, figures, sizeof figures / sizeof figures[0]);
        H5Gclose(one);
    }
}

/* Turning points: [turn][time_s, curvature_1_m, 1 for a dip]. */
static void put_turns(cq_h5 *w, hid_t to, const cq_curve *c) {
    double values[sizeof c->turns / sizeof c->turns[0]][CQ_TURN_VALUES] = {{0.0}};
    const hsize_t dims[2] = {c->turns_n, CQ_TURN_VALUES};
    for (size_t n = 0; n < c->turns_n; n++) {
        values[n][0] = c->turns[n].time_s;
        values[n][1] = c->turns[n].curvature_1_m;
        values[n][2] = c->turns[n].dip ? 1.0 : 0.0;
    }
    cq_h5_put(w, to, "turns", 2, dims, values[0], "s, 1/m, 1", "turning points: time, curvature, 1 dip or 0 crest",
              "turn value");
}

/* Curvatures, + toward the spine and toward the right; the rise over a length L is curvature L^2 / 8. */
static void write_curve(cq_h5 *w, const cq_result *r) {
    const cq_curve *c = &r->curve;
    const hsize_t n = c->n;
    const figure figures[] = {
        {"direction_only", c->direction_only ? 1.0 : 0.0, "1", "1: the size is not to be trusted"},
        {"growth_1_m", c->free_1_m, "1/m", "part of the curvature: growth"},
        {"plastic_1_m", c->plastic_1_m, "1/m", "part of the curvature: plastic strain"},
        {"transformation_plastic_1_m", c->turned_1_m, "1/m", "part of the curvature: turning under stress"},
        {"edge_stress_Pa", c->edge_stress_Pa, "Pa", "along the blade as quenched, mean over the hard zone"},
        {"edge_face_stress_Pa", c->edge_face_stress_Pa, "Pa", "least at the hard zone's faces"},
        {"least_stress_Pa", c->least_stress_Pa, "Pa", "least over the section"},
        {"most_stress_Pa", c->most_stress_Pa, "Pa", "largest over the section"},
        {"residual", c->worst_residual, "1", "largest force or moment left over, of the yield force"},
        {"updates", (double)c->updates, "1", "updates of the stress"}};
    if (!c->known || r->temp_K == NULL) {
        return;
    }
    hid_t to = cq_h5_group(w, w->file, "curve");
    cq_h5_put(w, to, "time_s", 1, &n, c->time_s, "s", "time since the start of the first step", "time");
    cq_h5_put(w, to, "curvature_1_m", 1, &n, c->curvature_1_m, "1/m", "curvature, toward the spine positive", "time");
    cq_h5_put(w, to, "side_curvature_1_m", 1, &n, c->side_curvature_1_m, "1/m", "curvature, toward the right positive",
              "time");
    put_bend(w, to, "quenched", &c->quenched, "what comes out, at 20 degC");
    put_turns(w, to, c);
    put_figures(w, to, figures, sizeof figures / sizeof figures[0]);
    H5Gclose(to);
}

static void put_spot(cq_h5 *w, hid_t to, const char *place, const cq_spot *s, const char *long_name) {
    const figure figures[] = {{"HV", s->HV, "HV", "Vickers hardness as quenched"},
                              {"HRC", s->HRC, "HRC", "Rockwell hardness as quenched"}};
    hid_t one = cq_h5_group(w, to, place);
    if (one < 0) {
        return;
    }
    cq_h5_attribute(w, one, "long_name", long_name);
    put_figures(w, one, figures, sizeof figures / sizeof figures[0]);
    for (int p = 0; p < CQ_PHASES; p++) {
        cq_h5_put(w, one, cq_result_phases[p], 0, NULL, &s->fraction[p], "1", "volume fraction", "");
    }
    H5Gclose(one);
}

static void put_film(cq_h5 *w, hid_t to, const char *place, const cq_film *f) {
    static const char *const states[] = {
        [CQ_FILM_NONE] = "none", [CQ_FILM_COLLAPSED] = "collapsed", [CQ_FILM_PERSISTED] = "persisted"};
    hid_t one = cq_h5_group(w, to, place);
    if (one >= 0) {
        cq_h5_text(w, one, "state", states[f->state], "what became of the vapour film");
        cq_h5_put(w, one, "time_s", 0, NULL, &f->time_s, "s", "when it collapsed", "");
        H5Gclose(one);
    }
}

static void put_notices(cq_h5 *w, hid_t to, const cq_result *r) {
    cq_text t = {NULL, 0, 0, false};
    cq_text_add(&t, "%s", "");
    for (size_t n = 0; n < r->notices_n; n++) {
        cq_text_add(&t, "%s (%zu): %s\n", r->notices[n].code, r->notices[n].count, r->notices[n].sentence);
    }
    w->failed = w->failed || t.failed;
    cq_h5_text(w, to, "notices", t.bytes, "what the run noticed: code (count): sentence");
    cq_memory_free(t.bytes);
}

static void put_lines(cq_h5 *w, hid_t to, const char *name, size_t n, const char *const *lines, const char *long_name) {
    cq_text t = {NULL, 0, 0, false};
    cq_text_add(&t, "%s", "");
    for (size_t l = 0; l < n; l++) {
        cq_text_add(&t, "%s\n", lines[l] == NULL ? "" : lines[l]);
    }
    w->failed = w->failed || t.failed;
    cq_h5_text(w, to, name, t.bytes, long_name);
    cq_memory_free(t.bytes);
}

static void put_crack(cq_h5 *w, hid_t to, const cq_crack_answer *a) {
    const figure figures[] = {{"class", (double)a->class_n, "1", "0 low, 1 medium, 2 high: an estimate, no clearance"},
                              {"index_MPa", a->index_MPa, "MPa", "crack index, ranks only"},
                              {"since_s", a->since_s, "s", "when the class began; NaN: low"},
                              {"time_s", a->time_s, "s", "when it was within a twentieth of that"},
                              {"height_m", a->height_m, "m", "where, above the edge flat"},
                              {"tension_Pa", a->tension_Pa, "Pa", "tension there and then"}};
    hid_t one = a->known ? cq_h5_group(w, to, "crack") : -1;
    if (one >= 0) {
        put_figures(w, one, figures, sizeof figures / sizeof figures[0]);
        cq_h5_text(w, one, "reason", a->reason, "why, as a sentence");
        cq_h5_text(w, one, "cause", a->cause, "the same in a few words");
        H5Gclose(one);
    }
}

/* After each temper of the plan: [temper][the values of cq_after_temper in their order]. */
static void put_tempers(cq_h5 *w, hid_t to, const cq_result *r) {
    const hsize_t dims[2] = {r->tempers_n, CQ_TEMPER_VALUES};
    cq_h5_put(w, to, "tempers", 2, dims, &r->tempers[0].edge_HV, "HV, HRC, HV, HRC, 1/m, 1/m, m, m, m, m, Pa",
              "after each temper: hardness of edge and spine; curvature, sideways, rise, least, largest, side bend; "
              "stress at the edge",
              "temper value");
}

/* State at the end of each step of the plan: [step][time_s, edge_K, body_K, spine_K, bath_K]. */
static void put_step_ends(cq_h5 *w, hid_t to, const cq_result *r) {
    const hsize_t dims[2] = {r->step_ends_n, CQ_STEP_END_VALUES};
    cq_h5_put(w, to, "step_ends", 2, dims, &r->step_ends[0].time_s, "s, K",
              "end of each step: time, temperature of edge, body, spine, bath", "step value");
}

/* Each of the plan's heats: [heat][value], and the ends of all their steps one below the other. */
static void put_heats(cq_h5 *w, hid_t to, const cq_result *r) {
    hsize_t rows[2] = {r->heats_n, CQ_HEAT_VALUES}, ends[2] = {0, CQ_STEP_END_VALUES};
    for (size_t n = 0; n < r->heats_n; n++) {
        ends[0] += r->heats[n].step_ends_n;
    }
    double *row = cq_memory_zero(r->heats_n, CQ_HEAT_VALUES * sizeof *row);
    cq_step_end *end = cq_memory_zero((size_t)ends[0], sizeof *end);
    w->failed = w->failed || row == NULL || end == NULL;
    size_t at = 0;
    for (size_t n = 0; n < r->heats_n && !w->failed; n++) {
        cq_result_heat_write(&r->heats[n], row + n * CQ_HEAT_VALUES);
        memcpy(end + at, r->heats[n].step_ends, r->heats[n].step_ends_n * sizeof *end);
        at += r->heats[n].step_ends_n;
    }
    if (!w->failed) {
        cq_h5_put(w, to, "heats", 2, rows, row, "",
                  "each heat: temperature, hold and start (K, s, K), verdict, has a line, line m, edge HV, HRC, spine "
                  "HV, HRC, grain, carbon, crack known, class, index MPa, time s, rise m, kept m, tempers, steps",
                  "heat value");
        cq_h5_put(w, to, "heat_steps", 2, ends, &end[0].time_s, "s, K", "ends of the heats' steps, heat after heat",
                  "step value");
    }
    cq_memory_free(row);
    cq_memory_free(end);
}

/* What came before the quench: several steels, a skin, a fire; NaN where there was none. */
static void write_before(cq_h5 *w, const cq_result *r) {
    const cq_built *b = &r->built;
    const cq_fired *f = &r->fired;
    const hsize_t zones = CQ_ZONES_MOST;
    const figure figures[] = {
        {"several", b->several ? 1.0 : 0.0, "1", "1: of several steels"},
        {"skinned", b->skinned ? 1.0 : 0.0, "1", "1: with a skin that lost carbon"},
        {"mean_carbon_before_wt", b->mean_before_wt, "%", "carbon of the section before the welding heats"},
        {"mean_carbon_wt", b->mean_wt, "%", "and after them"},
        {"spread_m", b->spread_m, "m", "across a weld, from nine tenths of the step to one tenth"},
        {"skin_m", b->skin_m, "m", "depth at which nine tenths of the carbon are there again"},
        {"face_carbon_wt", b->face_wt, "%", "carbon at the edge's face"},
        {"ground_carbon_wt", b->ground_wt, "%", "and after grinding"},
        {"file_HV", b->file_HV, "HV", "what a file meets at the edge's face"},
        {"file_ground_HV", b->ground_HV, "HV", "and after grinding"},
        {"classes", (double)b->classes, "1", "laws of transformation in use"},
        {"fire_edge_K", f->edge_K, "K", "edge on leaving the fire"},
        {"fire_spine_K", f->spine_K, "K", "spine on leaving the fire"},
        {"fire_edge_grain_ASTM", f->edge_grain_ASTM, "1", "grain number there"},
        {"fire_spine_grain_ASTM", f->spine_grain_ASTM, "1", "grain number there"}};
    if (b->carbon_wt == NULL && !(f->edge_K > 0.0)) {
        return;
    }
    hid_t to = cq_h5_group(w, w->file, "before");
    if (to >= 0) {
        put_figures(w, to, figures, sizeof figures / sizeof figures[0]);
        cq_h5_put(w, to, "share", 1, &zones, b->share, "1", "share of the section, by zone", "zone");
        H5Gclose(to);
    }
}

static void write_summary(cq_h5 *w, const cq_result *r) {
    const figure figures[] = {
        {"line_surface_m", r->line_surface_m, "m",
         "height of the hardening line at the surface, the lower of both faces"},
        {"line_left_m", r->line_left_m, "m", "height of the hardening line on the left face"},
        {"line_right_m", r->line_right_m, "m", "height of the hardening line on the right face"},
        {"line_mid_m", r->line_mid_m, "m", "height of the hardening line on the mid-plane"},
        {"line_band90_m", r->line_band90_m, "m", "lower end of the transition band"},
        {"line_band10_m", r->line_band10_m, "m", "upper end of the transition band"},
        {"line_ground_m", r->line_ground_m, "m", "height of the hardening line after grinding"},
        {"contrast_HV", r->contrast_HV, "HV", "edge minus spine"},
        {"edge_temper_HV", r->edge_temper_HV, "HV", "edge after temper"},
        {"edge_temper_HRC", r->edge_temper_HRC, "HRC", "edge after temper"},
        {"spine_temper_HV", r->spine_temper_HV, "HV", "spine after temper"},
        {"spine_temper_HRC", r->spine_temper_HRC, "HRC", "spine after temper"},
        {"edge_softening_HRC", r->edge_softening_HRC, "HRC", "what the edge lost to returning heat"},
        {"critical_rate_K_s", r->critical_rate_K_s, "K/s", "constant cooling rate of full hardening"},
        {"Ae1_K", r->Ae1_K, "K", "austenite begins"},
        {"Ms_K", r->Ms_K, "K", "martensite begins"},
        {"carbon_in_solution_wt", r->carbon_in_solution_wt, "%", "carbon in austenite after the soak, by weight"},
        {"grain_ASTM", r->grain_ASTM, "1", "ASTM grain size number after the soak"},
        {"soak_austenite", r->soak_austenite, "1", "share that turned at heat, edge"},
        {"soak_spine_austenite", r->soak_spine_austenite, "1", "share that turned at heat, spine"},
        {"heat_out_J_m", r->heat_out_J_m, "J/m", "heat through the outer faces, per metre of blade"},
        {"heat_stored_change_J_m", r->heat_stored_change_J_m, "J/m", "change of stored heat, per metre of blade"},
        {"energy_imbalance", r->energy_imbalance, "1", "stored change against heat out"},
        {"end_time_s", r->end_time_s, "s", "end of the plan's steps"},
        {"air_after_s", r->air_after_s, "s", "followed in still air after the steps"},
        {"steps", (double)r->steps, "1", "time steps accepted"},
        {"rejected", (double)r->rejected, "1", "time steps rejected"},
        {"cells", (double)r->cells, "1", "cells of steel and clay"}};
    hid_t to = cq_h5_group(w, w->file, "summary");
    if (r->temp_K != NULL) { /* NULL: interrupted before the answer */
        const hsize_t crossings = r->crossings_n;
        put_figures(w, to, figures, sizeof figures / sizeof figures[0]);
        cq_h5_put(w, to, "crossings_m", 1, &crossings, r->crossings_m, "m",
                  "heights at which martensite crosses one half", "crossing");
        cq_h5_text(w, to, "verdict", cq_verdict_words(r->verdict), "what kind of blade came out");
        put_spot(w, to, "edge", &r->edge, "1 mm above the edge flat on the mid-plane; face of a plate or round");
        put_spot(w, to, "body", &r->body, "mid-height on the mid-plane; middle of a plate or round");
        put_spot(w, to, "spine", &r->spine, "1 mm below the spine flat on the mid-plane");
        hid_t film = cq_h5_group(w, to, "film");
        put_film(w, film, "edge", &r->film_edge);
        put_film(w, film, "body", &r->film_body);
        put_film(w, film, "spine", &r->film_spine);
        H5Gclose(film);
        put_step_ends(w, to, r);
        put_tempers(w, to, r);
        put_heats(w, to, r);
        put_crack(w, to, &r->crack);
        put_lines(w, to, "cautions", r->cautions_n, r->cautions, "what to mind, gravest first, one a line");
        put_lines(w, to, "cautions_brief", r->cautions_n, r->cautions_brief, "the same in a few words each");
    }
    put_notices(w, to, r);
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
    cq_h5_attribute_number(w, w->file, "version", RESULT_VERSION);
    write_texts(w, result->plan);
    write_grid(w, result->grid);
    write_frames(w, result);
    write_final(w, result);
    write_traces(w, result);
    write_curve(w, result);
    write_summary(w, result);
    write_before(w, result);
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

cq_status cq_result_check_file(const char *path, cq_error *error) {
    cq_h5_silence silence;
    char format[64] = "";
    int version = 0;
    if (access(path, R_OK) != 0) {
        return cq_file_fault(error, path, "cannot be read", errno);
    }
    cq_h5_silence_begin(&silence);
    hid_t file = cq_h5_open(path);
    if (file >= 0) {
        cq_h5_read_marks(file, format, &version);
        H5Fclose(file);
    }
    cq_h5_silence_end(&silence);
    if (strcmp(format, "clayquench-result") != 0 || version < 1) {
        return cq_error_say(error, CQ_ERR_FORMAT, "", "a complete result.h5 of clayquench",
                            "a file that was cut short is made again by 'clayquench quench PLAN -o DIR'",
                            "%.150s is not one", path);
    }
    if (version > RESULT_VERSION) {
        return cq_error_say(error, CQ_ERR_FORMAT, "", "version 1", "a newer program reads it", "%.120s has version %d",
                            path, version);
    }
    return CQ_OK;
}

cq_status cq_result_write(const cq_result *result, const char *summary, const char *folder, cq_error *error) {
    cq_status status = cq_folder_make(folder, error);
    status = status < 0 ? status : cq_result_write_h5(result, summary, folder, error);
    status = status < 0 ? status : cq_result_write_xdmf(result, folder, error);
    return status < 0 ? status : cq_result_write_csv(result, folder, error);
}
