/* result_read_answer.c - the answer of a stored result: its figures, places, films, curve, crack class, tempers, step
 * ends, notices and cautions, as result_h5.c wrote them.
 */
#include "io/result.h"

#include "io/h5_read.h"
#include "io/result_read.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static void read_spot(cq_h5_source *s, const char *group, cq_spot *spot) {
    spot->HV = cq_h5_number(s, group, "HV");
    spot->HRC = cq_h5_number(s, group, "HRC");
    for (int p = 0; p < CQ_PHASES; p++) {
        spot->fraction[p] = cq_h5_number(s, group, cq_result_phases[p]);
    }
}

static void read_film(cq_h5_source *s, const char *group, cq_film *film) {
    static const char *const states[] = {
        [CQ_FILM_NONE] = "none", [CQ_FILM_COLLAPSED] = "collapsed", [CQ_FILM_PERSISTED] = "persisted"};
    char path[64];
    snprintf(path, sizeof path, "%s/state", group);
    const char *state = cq_h5_text_of(s, path, true);
    film->time_s = cq_h5_number(s, group, "time_s");
    for (int n = 0; state != NULL && n < 3; n++) {
        if (strcmp(state, states[n]) == 0) {
            film->state = (cq_film_state)n;
            return;
        }
    }
    s->failed = true;
}

static size_t count(cq_h5_source *s, const char *group, const char *name) {
    const double value = cq_h5_number(s, group, name);
    s->failed = s->failed || !(value >= 0.0 && value < 1e15);
    return s->failed ? 0 : (size_t)value;
}

/* Not yet written by 0.1's first results, which say nothing of wear then. */
static void read_wear(cq_h5_source *s, cq_result *r) {
    r->wear_HRC = CQ_WEAR_HRC;
    r->wear_m = NAN;
    if (!s->failed && H5Lexists(s->file, "summary/wear_m", H5P_DEFAULT) > 0) {
        r->wear_HRC = cq_h5_number(s, "summary", "wear_HRC");
        r->wear_m = cq_h5_number(s, "summary", "wear_m");
    }
}

static void read_figures(cq_h5_source *s, cq_result *r) {
    const struct {
        const char *name;
        double *to;
    } figures[] = {{"line_surface_m", &r->line_surface_m},
                   {"line_left_m", &r->line_left_m},
                   {"line_right_m", &r->line_right_m},
                   {"line_mid_m", &r->line_mid_m},
                   {"line_band90_m", &r->line_band90_m},
                   {"line_band10_m", &r->line_band10_m},
                   {"line_ground_m", &r->line_ground_m},
                   {"contrast_HV", &r->contrast_HV},
                   {"edge_temper_HV", &r->edge_temper_HV},
                   {"edge_temper_HRC", &r->edge_temper_HRC},
                   {"body_temper_HV", &r->body_temper_HV},
                   {"body_temper_HRC", &r->body_temper_HRC},
                   {"spine_temper_HV", &r->spine_temper_HV},
                   {"spine_temper_HRC", &r->spine_temper_HRC},
                   {"edge_softening_HRC", &r->edge_softening_HRC},
                   {"critical_rate_K_s", &r->critical_rate_K_s},
                   {"Ae1_K", &r->Ae1_K},
                   {"Ms_K", &r->Ms_K},
                   {"carbon_in_solution_wt", &r->carbon_in_solution_wt},
                   {"grain_ASTM", &r->grain_ASTM},
                   {"soak_austenite", &r->soak_austenite},
                   {"soak_spine_austenite", &r->soak_spine_austenite},
                   {"heat_out_J_m", &r->heat_out_J_m},
                   {"heat_stored_change_J_m", &r->heat_stored_change_J_m},
                   {"energy_imbalance", &r->energy_imbalance},
                   {"end_time_s", &r->end_time_s},
                   {"air_after_s", &r->air_after_s}};
    for (size_t f = 0; f < sizeof figures / sizeof figures[0]; f++) {
        *figures[f].to = cq_h5_number(s, "summary", figures[f].name);
    }
    read_wear(s, r);
    r->steps = count(s, "summary", "steps");
    r->rejected = count(s, "summary", "rejected");
    r->cells = count(s, "summary", "cells");
    r->core_s = cq_h5_number(s, "provenance", "core_s");
}

static void read_verdict(cq_h5_source *s, cq_result *r) {
    const char *words = cq_h5_text_of(s, "summary/verdict", true);
    for (int v = CQ_VERDICT_NO_EDGE; words != NULL && v <= CQ_VERDICT_INERT; v++) {
        if (strcmp(words, cq_verdict_words((cq_verdict)v)) == 0) {
            r->verdict = (cq_verdict)v;
            return;
        }
    }
    s->failed = true;
}

static void read_bend(cq_h5_source *s, const char *group, cq_bend *b) {
    b->curvature_1_m = cq_h5_number(s, group, "curvature_1_m");
    b->side_curvature_1_m = cq_h5_number(s, group, "side_curvature_1_m");
    b->rise_m = cq_h5_number(s, group, "rise_m");
    b->low_m = cq_h5_number(s, group, "low_m");
    b->high_m = cq_h5_number(s, group, "high_m");
    b->side_bend_m = cq_h5_number(s, group, "side_bend_m");
}

static void read_turns(cq_h5_source *s, cq_curve *c) {
    enum { MOST = sizeof c->turns / sizeof c->turns[0] };
    double values[MOST][CQ_TURN_VALUES] = {{0.0}};
    cq_h5_rows(s, "curve/turns", CQ_TURN_VALUES, MOST, values[0], &c->turns_n);
    for (size_t n = 0; n < c->turns_n; n++) {
        c->turns[n] = (cq_turn){values[n][0], values[n][1], values[n][2] > 0.5};
    }
}

static void read_curve(cq_h5_source *s, cq_curve *c) {
    const struct {
        const char *name;
        double *to;
    } figures[] = {{"growth_1_m", &c->free_1_m},
                   {"plastic_1_m", &c->plastic_1_m},
                   {"transformation_plastic_1_m", &c->turned_1_m},
                   {"edge_stress_Pa", &c->edge_stress_Pa},
                   {"edge_face_stress_Pa", &c->edge_face_stress_Pa},
                   {"least_stress_Pa", &c->least_stress_Pa},
                   {"most_stress_Pa", &c->most_stress_Pa},
                   {"residual", &c->worst_residual}};
    c->quenched = (cq_bend){NAN, NAN, NAN, NAN, NAN, NAN};
    c->seconds = cq_h5_number(s, "provenance", "curve_core_s");
    c->known = !s->failed && H5Lexists(s->file, "curve", H5P_DEFAULT) > 0;
    if (!c->known) {
        return;
    }
    size_t bend = 0, side = 0;
    c->time_s = cq_h5_row(s, "curve/time_s", CQ_RESULT_SAMPLES, &c->n);
    c->curvature_1_m = cq_h5_row(s, "curve/curvature_1_m", CQ_RESULT_SAMPLES, &bend);
    c->side_curvature_1_m = cq_h5_row(s, "curve/side_curvature_1_m", CQ_RESULT_SAMPLES, &side);
    s->failed = s->failed || bend != c->n || side != c->n || c->n == 0;
    read_bend(s, "curve/quenched", &c->quenched);
    read_turns(s, c);
    for (size_t f = 0; f < sizeof figures / sizeof figures[0]; f++) {
        *figures[f].to = cq_h5_number(s, "curve", figures[f].name);
    }
    c->direction_only = cq_h5_number(s, "curve", "direction_only") > 0.5;
    c->updates = count(s, "curve", "updates");
}

static void read_sentence(cq_h5_source *s, const char *path, char *to, size_t room) {
    const char *text = cq_h5_text_of(s, path, true);
    s->failed = s->failed || strlen(text) >= room;
    if (!s->failed) {
        strcpy(to, text);
    }
}

static void read_crack(cq_h5_source *s, cq_crack_answer *a) {
    a->known = !s->failed && H5Lexists(s->file, "summary/crack", H5P_DEFAULT) > 0;
    if (!a->known) {
        return;
    }
    const size_t class_n = count(s, "summary/crack", "class");
    s->failed = s->failed || class_n > 2;
    a->class_n = s->failed ? 0 : (int)class_n;
    a->index_MPa = cq_h5_number(s, "summary/crack", "index_MPa");
    a->since_s = H5Lexists(s->file, "summary/crack/since_s", H5P_DEFAULT) > 0
                     ? cq_h5_number(s, "summary/crack", "since_s")
                     : NAN; /* not yet written by 0.1's first results */
    a->time_s = cq_h5_number(s, "summary/crack", "time_s");
    a->height_m = cq_h5_number(s, "summary/crack", "height_m");
    a->tension_Pa = cq_h5_number(s, "summary/crack", "tension_Pa");
    read_sentence(s, "summary/crack/reason", a->reason, sizeof a->reason);
    read_sentence(s, "summary/crack/cause", a->cause, sizeof a->cause);
    if (!s->failed && H5Lexists(s->file, "summary/crack/since_cause", H5P_DEFAULT) > 0) { /* as since_s */
        read_sentence(s, "summary/crack/since_cause", a->since_cause, sizeof a->since_cause);
    }
}

/* "code (count): sentence" a line. */
static void read_notices(cq_h5_source *s, cq_result *r) {
    char *line = cq_h5_text_of(s, "summary/notices", true);
    while (line != NULL && *line != '\0' && !s->failed) {
        char *end = strchr(line, '\n'), *count = strstr(line, " ("), *sentence = strstr(line, "): ");
        const size_t most = sizeof r->notices / sizeof r->notices[0];
        s->failed = end == NULL || count == NULL || sentence == NULL || count > sentence || sentence > end ||
                    r->notices_n == most;
        if (!s->failed) {
            cq_notice *notice = &r->notices[r->notices_n++];
            *end = '\0';
            snprintf(notice->code, sizeof notice->code, "%.*s", (int)(count - line), line);
            snprintf(notice->sentence, sizeof notice->sentence, "%s", sentence + 3);
            notice->count = strtoul(count + 2, NULL, 10);
            line = end + 1;
        }
    }
}

/* Lines of a text, at most `most`; an empty one is NULL. Returns how many there are. */
static size_t lines_of(char *text, const char **lines, size_t most) {
    size_t n = 0;
    while (text != NULL && *text != '\0' && n < most) {
        char *end = strchr(text, '\n');
        lines[n++] = end == text ? NULL : text;
        if (end == NULL) {
            break;
        }
        *end = '\0';
        text = end + 1;
    }
    return n;
}

static void read_cautions(cq_h5_source *s, cq_result *r) {
    enum { MOST = sizeof r->cautions / sizeof r->cautions[0] };
    r->cautions_n = lines_of(cq_h5_text_of(s, "summary/cautions", true), r->cautions, MOST);
    s->failed = lines_of(cq_h5_text_of(s, "summary/cautions_brief", true), r->cautions_brief, MOST) != r->cautions_n ||
                s->failed;
}

/* Several steels, a skin, a fire. */
static void read_before(cq_h5_source *s, cq_result *r) {
    cq_built *b = &r->built;
    cq_fired *f = &r->fired;
    *f = (cq_fired){NAN, NAN, NAN, NAN, NAN};
    if (s->failed || H5Lexists(s->file, "before", H5P_DEFAULT) <= 0) {
        return;
    }
    const struct {
        const char *name;
        double *to;
    } figures[] = {{"mean_carbon_before_wt", &b->mean_before_wt},
                   {"mean_carbon_wt", &b->mean_wt},
                   {"spread_m", &b->spread_m},
                   {"skin_m", &b->skin_m},
                   {"face_carbon_wt", &b->face_wt},
                   {"ground_carbon_wt", &b->ground_wt},
                   {"file_HV", &b->file_HV},
                   {"file_ground_HV", &b->ground_HV},
                   {"fire_edge_K", &f->edge_K},
                   {"fire_spine_K", &f->spine_K},
                   {"fire_edge_grain_ASTM", &f->edge_grain_ASTM},
                   {"fire_spine_grain_ASTM", &f->spine_grain_ASTM},
                   {"even_grain_ASTM", &f->even_grain_ASTM}};
    for (size_t n = 0; n < sizeof figures / sizeof figures[0]; n++) {
        *figures[n].to = cq_h5_number(s, "before", figures[n].name);
    }
    b->several = cq_h5_number(s, "before", "several") > 0.5;
    b->skinned = cq_h5_number(s, "before", "skinned") > 0.5;
    b->classes = count(s, "before", "classes");
    size_t zones = 0;
    const double *share = cq_h5_row(s, "before/share", CQ_ZONES_MOST, &zones);
    s->failed = s->failed || zones != CQ_ZONES_MOST;
    if (!s->failed) {
        memcpy(b->share, share, sizeof b->share);
    }
}

/* A heat's answer is the numbers of its row, in this order. */
static void heat_numbers(cq_heat_answer *a, double *to[CQ_HEAT_VALUES]) {
    double *const numbers[CQ_HEAT_VALUES] = {&a->heat.temperature_K,
                                             &a->heat.hold_s,
                                             &a->heat.start_K,
                                             NULL,
                                             NULL,
                                             &a->line_surface_m,
                                             &a->edge_HV,
                                             &a->edge_HRC,
                                             &a->spine_HV,
                                             &a->spine_HRC,
                                             &a->grain_ASTM,
                                             &a->carbon_in_solution_wt,
                                             NULL,
                                             NULL,
                                             &a->crack_index_MPa,
                                             &a->crack_time_s,
                                             &a->rise_m,
                                             &a->kept_m,
                                             NULL,
                                             NULL};
    memcpy(to, numbers, sizeof numbers);
}

enum { VERDICT_AT = 3, LINE_AT = 4, CRACK_AT = 12, CLASS_AT = 13, TEMPERS_AT = 18, STEPS_AT = 19 };

void cq_result_heat_write(const cq_heat_answer *heat, double row[CQ_HEAT_VALUES]) {
    cq_heat_answer a = *heat;
    double *at[CQ_HEAT_VALUES];
    heat_numbers(&a, at);
    for (int v = 0; v < CQ_HEAT_VALUES; v++) {
        row[v] = at[v] != NULL ? *at[v] : 0.0;
    }
    row[VERDICT_AT] = a.verdict;
    row[LINE_AT] = a.has_line;
    row[CRACK_AT] = a.crack_known;
    row[CLASS_AT] = a.crack_class;
    row[TEMPERS_AT] = (double)a.tempers_n;
    row[STEPS_AT] = (double)a.step_ends_n;
}

void cq_result_heat_read(cq_heat_answer *heat, const double row[CQ_HEAT_VALUES]) {
    double *at[CQ_HEAT_VALUES];
    heat_numbers(heat, at);
    for (int v = 0; v < CQ_HEAT_VALUES; v++) {
        if (at[v] != NULL) {
            *at[v] = row[v];
        }
    }
    heat->verdict = (cq_verdict)row[VERDICT_AT];
    heat->has_line = row[LINE_AT] > 0.5;
    heat->crack_known = row[CRACK_AT] > 0.5;
    heat->crack_class = (int)row[CLASS_AT];
    heat->tempers_n = (size_t)row[TEMPERS_AT];
    heat->step_ends_n = (size_t)row[STEPS_AT];
}

/* Counts and classes are looked at before they are believed. */
static bool heat_is_sound(const double row[CQ_HEAT_VALUES]) {
    return row[VERDICT_AT] >= 0.0 && row[VERDICT_AT] <= CQ_VERDICT_INERT && row[CLASS_AT] >= 0.0 &&
           row[CLASS_AT] <= 2.0 && row[TEMPERS_AT] >= 0.0 && row[TEMPERS_AT] <= 1e6 && row[STEPS_AT] >= 0.0 &&
           row[STEPS_AT] <= (double)(sizeof((cq_heat_answer *)0)->step_ends / sizeof(cq_step_end));
}

static void read_heats(cq_h5_source *s, cq_result *r) {
    enum { STEPS_READ = CQ_HEATS_READ * 64 };
    double(*rows)[CQ_HEAT_VALUES] = cq_h5_take(s, CQ_HEATS_READ, sizeof *rows);
    cq_step_end *ends = cq_h5_take(s, STEPS_READ, sizeof *ends);
    size_t n = 0, ends_n = 0, used = 0;
    s->failed = s->failed || rows == NULL || ends == NULL;
    if (s->failed) {
        return;
    }
    cq_h5_rows(s, "summary/heats", CQ_HEAT_VALUES, CQ_HEATS_READ, rows[0], &n);
    cq_h5_rows(s, "summary/heat_steps", CQ_STEP_END_VALUES, STEPS_READ, &ends[0].time_s, &ends_n);
    r->heats = cq_h5_take(s, n, sizeof *r->heats);
    s->failed = s->failed || r->heats == NULL;
    for (size_t h = 0; h < n && !s->failed; h++) {
        s->failed = !heat_is_sound(rows[h]) || used + (size_t)rows[h][STEPS_AT] > ends_n;
        if (!s->failed) {
            cq_result_heat_read(&r->heats[h], rows[h]);
            memcpy(r->heats[h].step_ends, ends + used, r->heats[h].step_ends_n * sizeof *ends);
            used += r->heats[h].step_ends_n;
        }
    }
    r->heats_n = s->failed ? 0 : n;
}

void cq_result_read_answer(cq_h5_source *s, cq_result *r) {
    size_t n = 0;
    read_before(s, r);
    read_figures(s, r);
    read_verdict(s, r);
    const double *crossings = cq_h5_row(s, "summary/crossings_m", sizeof r->crossings_m / sizeof r->crossings_m[0], &n);
    r->crossings_n = n;
    if (!s->failed) {
        memcpy(r->crossings_m, crossings, n * sizeof *crossings);
    }
    read_spot(s, "summary/edge", &r->edge);
    read_spot(s, "summary/body", &r->body);
    read_spot(s, "summary/spine", &r->spine);
    read_film(s, "summary/film/edge", &r->film_edge);
    read_film(s, "summary/film/body", &r->film_body);
    read_film(s, "summary/film/spine", &r->film_spine);
    cq_h5_rows(s, "summary/step_ends", CQ_STEP_END_VALUES, sizeof r->step_ends / sizeof r->step_ends[0],
               &r->step_ends[0].time_s, &r->step_ends_n);
    cq_h5_rows(s, "summary/tempers", CQ_TEMPER_VALUES, sizeof r->tempers / sizeof r->tempers[0], &r->tempers[0].edge_HV,
               &r->tempers_n);
    read_heats(s, r);
    read_curve(s, &r->curve);
    read_crack(s, &r->crack);
    read_notices(s, r);
    read_cautions(s, r);
}
