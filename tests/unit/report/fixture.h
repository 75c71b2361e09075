/* fixture.h - a made-up result on a real section and grid: nothing is computed, every number is known beforehand.
 *
 * A flat blade 28 mm high, 1.2 to 3.2 mm thick, clay from 8 mm up. Hardness, martensite and rates fall from edge to
 * spine about LINE_M; temperature falls with time. Ask for it symmetric or with a coat on the left face only.
 */
#ifndef TEST_REPORT_FIXTURE_H
#define TEST_REPORT_FIXTURE_H

#include <clayquench/clayquench.h>

#include <check.h>
#include <math.h>
#include <string.h>

enum { FIXTURE_CELLS = 8192, FIXTURE_FRAMES = 5, FIXTURE_SAMPLES = 60, FIXTURE_ROWS = 200 };
static const double LINE_M = 11.0e-3, EDGE_HV = 830.0, SPINE_HV = 380.0;

typedef struct fixture {
    cq_plan plan;
    cq_step_plan steps[2];
    cq_section *section;
    cq_grid *grid;
    cq_result result;
    cq_frame frames[FIXTURE_FRAMES];
    cq_trace traces[4];
    double field[3 + CQ_PHASES][FIXTURE_CELLS];
    double frame_field[FIXTURE_FRAMES][1 + CQ_PHASES][FIXTURE_CELLS];
    double time_s[4][FIXTURE_SAMPLES], temp_K[4][FIXTURE_SAMPLES];
    double along[8][FIXTURE_ROWS];
    double stress[2][FIXTURE_CELLS], curve[3][FIXTURE_SAMPLES];
    cq_zone zones[2];
    double built[2][FIXTURE_CELLS];
} fixture;

/* Hard steel up to LINE_M, soft above. */
static inline void fixture_build(fixture *f) {
    const cq_grid *g = f->grid;
    f->zones[CQ_ZONE_HARD] = (cq_zone){.name = "hard", .steel = f->plan.steel};
    f->zones[CQ_ZONE_SOFT] = (cq_zone){.name = "soft", .steel = f->plan.steel};
    f->zones[CQ_ZONE_SOFT].steel.name = "core-iron";
    f->plan.zones = (cq_zones){.n = 2, .zone = f->zones, .build = CQ_BUILD_BACK_AND_EDGE, .height_m = LINE_M};
    for (int c = 0; c < g->along * g->across; c++) {
        const bool steel = g->kind[c] == CQ_CELL_STEEL, hard = g->center_x_m[c] < LINE_M;
        f->built[0][c] = steel ? (hard ? 0.84 : 0.1) : NAN;
        f->built[1][c] = steel ? (hard ? 0.0 : 1.0) : NAN;
    }
    f->result.built = (cq_built){.several = true, .carbon_wt = f->built[0], .zone = f->built[1], .share = {0.3, 0.7}};
}

/* 1 at the edge, 0 at the spine, one half at LINE_M. */
static inline double fixture_share(double height_m) {
    return 1.0 / (1.0 + exp((height_m - LINE_M) / 0.4e-3));
}

static inline void fixture_plan(fixture *f) {
    cq_plan_init(&f->plan);
    f->plan.title = "Made-up knife";
    f->plan.text = "format: clayquench-plan 1\n";
    f->plan.file = "made-up.yaml";
    f->plan.blade =
        (cq_blade){.family = CQ_FAMILY_FLAT, .height_m = 28e-3, .edge_m = 1.2e-3, .spine_m = 3.2e-3, .length_m = 0.7};
    f->plan.steel = (cq_steel){.name = "1084",
                               .kind = CQ_STEEL_TRANSFORMING,
                               .grain_ASTM = 8,
                               .time_factor = 1,
                               .emissivity = 0.8,
                               .composition_wt = {.C = 0.84, .Mn = 0.75, .Si = 0.22, .Cr = 0.08, .Ni = 0.06}};
    f->plan.heat.temperature_K = 1073.15;
    f->plan.heat.hold_s = 300.0;
    f->steps[0] = (cq_step_plan){.bath = {.name = "air", .kind = CQ_BATH_GAS}, .at_K = 293.15, .for_s = 1.0};
    f->steps[1] = (cq_step_plan){.bath = {.name = "water", .kind = CQ_BATH_BOILING}, .at_K = 313.15, .until_K = 333.15};
    f->plan.steps = f->steps;
    f->plan.steps_n = 2;
}

static inline void fixture_fields(fixture *f) {
    const cq_grid *g = f->grid;
    for (int c = 0; c < g->along * g->across; c++) {
        const bool steel = g->kind[c] == CQ_CELL_STEEL;
        const double share = fixture_share(g->center_x_m[c]);
        f->field[0][c] = steel ? SPINE_HV + (EDGE_HV - SPINE_HV) * share : NAN;
        f->field[1][c] = steel ? 20.0 + 980.0 * share : NAN;
        f->field[2][c] = 298.15;
        f->field[3 + CQ_MARTENSITE][c] = steel ? share : 0.0;
        f->field[3 + CQ_PEARLITE][c] = steel ? 1.0 - share : 0.0;
        for (int n = 0; n < FIXTURE_FRAMES; n++) {
            f->frame_field[n][0][c] = 1073.15 - 150.0 * n - (steel ? 0.0 : 30.0 * n);
        }
    }
    f->result.hardness_HV = f->field[0];
    f->result.peak_rate_K_s = f->field[1];
    f->result.temp_K = f->field[2];
    for (int p = 0; p < CQ_PHASES; p++) {
        f->result.fraction[p] = f->field[3 + p];
    }
    for (int n = 0; n < FIXTURE_FRAMES; n++) {
        f->frames[n].time_s = 0.5 * n;
        f->frames[n].temp_K = f->frame_field[n][0];
        for (int p = 0; p < CQ_PHASES; p++) {
            f->frames[n].fraction[p] = f->frame_field[n][1 + p];
        }
    }
    f->result.frames = f->frames;
    f->result.frames_n = FIXTURE_FRAMES;
}

static inline void fixture_histories(fixture *f) {
    static const char *const names[4] = {"edge", "body", "spine", "b5"};
    for (int t = 0; t < 4; t++) {
        for (int i = 0; i < FIXTURE_SAMPLES; i++) {
            f->time_s[t][i] = 0.05 * i * (1.0 + t);
            f->temp_K[t][i] = 313.15 + 760.0 * exp(-f->time_s[t][i] / (1.0 + t));
        }
        f->traces[t] = (cq_trace){.name = names[t],
                                  .at_m = 1e-3 + 9e-3 * t,
                                  .face = CQ_FACE_MID,
                                  .n = FIXTURE_SAMPLES,
                                  .time_s = f->time_s[t],
                                  .temp_K = f->temp_K[t],
                                  .t500_s = 0.5 + t};
    }
    f->traces[3].face = CQ_FACE_LEFT;
    f->traces[3].t500_s = NAN;
    f->result.traces = f->traces;
    f->result.traces_n = 4;
}

static inline void fixture_along(fixture *f) {
    cq_profile_along *a = &f->result.along;
    *a = (cq_profile_along){FIXTURE_ROWS, f->along[0], f->along[1], f->along[2], f->along[3],
                            f->along[4],  f->along[5], f->along[6], f->along[7]};
    for (size_t i = 0; i < a->n; i++) {
        a->height_m[i] = 28e-3 * ((double)i + 0.5) / FIXTURE_ROWS;
        a->martensite_left[i] = a->martensite_right[i] = a->martensite_mid[i] = fixture_share(a->height_m[i]);
        a->hardness_left_HV[i] = a->hardness_right_HV[i] = a->hardness_mid_HV[i] = a->tempered_mid_HV[i] =
            SPINE_HV + (EDGE_HV - SPINE_HV) * a->martensite_mid[i];
    }
}

/* Down, up and down again on the way to +12 mm on 700 mm; pressed together at the edge. */
static inline void fixture_curve(fixture *f) {
    cq_curve *c = &f->result.curve;
    const double per_mm = 8e-3 / (0.7 * 0.7);
    *c = (cq_curve){.known = true,
                    .quenched = {12.0 * per_mm, 0.0, 12e-3, 6e-3, 18e-3, 0.0},
                    .n = FIXTURE_SAMPLES,
                    .time_s = f->curve[0],
                    .curvature_1_m = f->curve[1],
                    .side_curvature_1_m = f->curve[2],
                    .turns_n = 1,
                    .turns = {{2.0, -6.0 * per_mm, true}},
                    .edge_stress_Pa = -500e6,
                    .edge_face_stress_Pa = -700e6,
                    .least_stress_Pa = -700e6,
                    .most_stress_Pa = 450e6};
    for (int i = 0; i < FIXTURE_SAMPLES; i++) {
        c->time_s[i] = 0.2 * i;
        c->curvature_1_m[i] = per_mm * (i < 10 ? -0.6 * i : -6.0 + 18.0 * (i - 10) / (FIXTURE_SAMPLES - 11.0));
        c->side_curvature_1_m[i] = 0.0;
    }
    f->result.crack = (cq_crack_answer){true,
                                        1,
                                        150.0,
                                        6.5,
                                        7.25,
                                        0.5e-3,
                                        180e6,
                                        "180 MPa pull on martensite at the edge at 7.25 s",
                                        "the swelling body pulls",
                                        "hardening under pull"};
    for (int n = 0; n < f->grid->along * f->grid->across; n++) {
        const bool steel = f->grid->kind[n] == CQ_CELL_STEEL;
        f->stress[0][n] = steel ? 450e6 - 1150e6 * fixture_share(f->grid->center_x_m[n]) : NAN;
        f->stress[1][n] = 0.75 * f->stress[0][n];
    }
    f->result.axial_stress_Pa = f->stress[0];
    f->result.tempered_stress_Pa = f->stress[1];
}

static inline void fixture_answer(cq_result *r) {
    r->wear_HRC = CQ_WEAR_HRC;
    r->wear_m = 10.4e-3;
    r->transforming = r->has_line = true;
    r->line_left_m = r->line_right_m = r->line_surface_m = LINE_M;
    r->line_mid_m = 10.9e-3;
    r->line_band90_m = 10.1e-3;
    r->line_band10_m = 11.9e-3;
    r->line_ground_m = NAN;
    r->crossings_n = 1;
    r->crossings_m[0] = LINE_M;
    r->verdict = CQ_VERDICT_GOOD;
    r->contrast_HV = 450.0;
    r->edge = (cq_spot){EDGE_HV, 64.9, {[CQ_MARTENSITE] = 0.9, [CQ_AUSTENITE] = 0.1}};
    r->body = (cq_spot){405.0, 41.3, {[CQ_PEARLITE] = 0.91, [CQ_BAINITE] = 0.09}};
    r->spine = (cq_spot){195.0, NAN, {[CQ_PEARLITE] = 0.996, [CQ_BAINITE] = 0.004}};
    r->edge_temper_HV = r->edge_temper_HRC = r->spine_temper_HV = r->spine_temper_HRC = NAN;
    r->body_temper_HV = r->body_temper_HRC = NAN;
    r->critical_rate_K_s = 95.0;
    r->Ae1_K = 991.15;
    r->Ms_K = 478.15;
    r->carbon_in_solution_wt = 0.84;
    r->grain_ASTM = 8.0;
    r->film_edge = (cq_film){CQ_FILM_COLLAPSED, 1.09};
    r->film_body = (cq_film){CQ_FILM_PERSISTED, NAN};
    r->film_spine = (cq_film){CQ_FILM_NONE, NAN};
    r->heat_out_J_m = 1.5e5;
    r->heat_stored_change_J_m = 1.499e5;
    r->energy_imbalance = 1.1e-3;
    r->steps = 243;
    r->rejected = 7;
    r->cells = 1256;
    r->core_s = 0.025;
    r->end_time_s = 2.0;
    r->notices_n = 1;
    r->notices[0] = (cq_notice){"rim-sloped", 2, "a step in the clay was sloped to 45 degrees about its middle"};
    r->cautions_n = 1;
    r->cautions[0] = "This is an estimate, not a clearance: what it does not know it cannot foresee, and words run on "
                     "long enough to need a second line.";
}

/* fixture is large: keep it static in the test. */
static inline void fixture_make(fixture *f, bool symmetric) {
    const double left_m = 2e-3, right_m = symmetric ? 2e-3 : 0.0;
    const cq_coat_point points[] = {{8e-3, 0, 0}, {11e-3, left_m, right_m}, {28e-3, left_m, right_m}};
    const cq_coat coat = {3, points, 0.03e-3, 0.0};
    memset(f, 0, sizeof *f);
    fixture_plan(f);
    ck_assert_int_ge(cq_section_create(&f->section, &f->plan.blade, &coat, NULL), 0);
    ck_assert_int_ge(cq_grid_create(&f->grid, f->section, &(cq_grid_wish){60, 6, 4, 1}, NULL), 0);
    ck_assert_int_lt(f->grid->along * f->grid->across, FIXTURE_CELLS);
    f->result.plan = &f->plan;
    f->result.section = f->section;
    f->result.grid = f->grid;
    fixture_answer(&f->result);
    fixture_fields(f);
    fixture_histories(f);
    fixture_along(f);
    fixture_curve(f);
}

static inline void fixture_clear(fixture *f) {
    cq_grid_free(f->grid);
    cq_section_free(f->section);
}

#endif
