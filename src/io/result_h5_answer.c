/* result_h5_answer.c - what a run answers, as HDF5: curve, summary, and what came before the quench. result_h5.c tells
 * the layout; result_read_answer.c reads it back. */
#include "io/result.h"

#include "io/h5.h"

#include "base/memory.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

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
        cq_h5_text(w, one, "cause", a->cause, "why then, in a few words");
        cq_h5_text(w, one, "since_cause", a->since_cause, "why the class began, in a few words");
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
        {"fire_spine_grain_ASTM", f->spine_grain_ASTM, "1", "grain number there"},
        {"even_grain_ASTM", f->even_grain_ASTM, "1", "of the edge's steel after five even minutes as aimed at"}};
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
        {"body_temper_HV", r->body_temper_HV, "HV", "body after temper"},
        {"body_temper_HRC", r->body_temper_HRC, "HRC", "body after temper"},
        {"spine_temper_HV", r->spine_temper_HV, "HV", "spine after temper"},
        {"spine_temper_HRC", r->spine_temper_HRC, "HRC", "spine after temper"},
        {"edge_softening_HRC", r->edge_softening_HRC, "HRC", "what the edge lost to returning heat"},
        {"wear_HRC", r->wear_HRC, "HRC", "hardness down to which sharpening may go"},
        {"wear_m", r->wear_m, "m", "what it may take off the edge until it meets softer steel"},
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

void cq_result_h5_answer(cq_h5 *w, const cq_result *r) {
    write_curve(w, r);
    write_summary(w, r);
    write_before(w, r);
}
