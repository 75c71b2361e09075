/* The program's curve against finite elements in generalised plane strain, in eight quenches: within 0.6 mm on 700 mm.
 * One is known to miss that.
 * The elements get temperature and structure of a run at the moments at which its beam was followed. With the argument
 * `write` the figures go to stdout as the table that stands beside this test. */
#include "../run/plans.h"
#include "plane_strain.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const double AGREES_MM =
    0.6; /* what plane sections of a solid do that a beam does not; less than anything known */
static const double APART_MM = 0.9;
static const double SAME_MM = 0.05; /* the elements on another machine: temperatures differ by rounding, steps may */

typedef struct quench {
    const char *name;
    double rim_m, wash_m, edge_m, spine_m, ridge_m, water_s, Mn;
    int bath; /* 0 water, 1 fast oil, 2 water then oil */
    bool inert, bare;
    bool apart; /* known to be further apart, at most APART_MM: shear between the rows beside the line */
} quench;

static const quench QUENCHES[] = {
    {"water", 9.5e-3, 0.0, 1.5e-3, 6e-3, 6.5e-3, 0, 0.43, 0, false, false, false},
    {"water, edge washed", 9.5e-3, 0.1e-3, 1.5e-3, 6e-3, 6.5e-3, 0, 0.43, 0, false, false, false},
    {"water, tall hard zone", 12e-3, 0.0, 1.5e-3, 6e-3, 6.5e-3, 0, 0.43, 0, false, false, true},
    {"water, then oil", 9.5e-3, 0.0, 1.5e-3, 6e-3, 6.5e-3, 4.0, 0.43, 2, false, false, false},
    {"fast oil", 9.5e-3, 0.0, 1.2e-3, 4.8e-3, 5e-3, 0, 0.75, 1, false, false, false},
    {"bare, fast oil", 0.0, 0.0, 1.2e-3, 4.8e-3, 5e-3, 0, 0.75, 1, false, true, false},
    {"stainless", 9.5e-3, 0.0, 1.5e-3, 6e-3, 6.5e-3, 0, 0, 0, true, false, false},
    {"thick spine", 9.5e-3, 0.0, 2.0e-3, 9.5e-3, 10e-3, 0, 0.43, 0, false, false, false}};
enum { QUENCHES_N = sizeof QUENCHES / sizeof QUENCHES[0], MOST_TIMES = 4000 };

static const double STAINLESS_K_AT[] = {300, 800, 1200}, STAINLESS_K[] = {15, 22.6, 28},
                    STAINLESS_C[] = {3.8e6, 4.6e6, 5.1e6};
static const double YIELD_AT[] = {273.15, 473.15, 673.15, 873.15, 973.15, 1073.15, 1173.15},
                    YIELD[] = {250e6, 190e6, 155e6, 130e6, 115e6, 90e6, 60e6};

static cq_bath oil_bath(void) { /* a table: the curve is not the point here */
    static const double at[] = {373, 573, 673, 773, 823, 923, 1123}, h[] = {200, 700, 2200, 4200, 4000, 2400, 900};
    cq_bath bath = {.name = "oil", .kind = CQ_BATH_TABLE, .at_K = 313.15, .at_min_K = 290, .at_max_K = 400};
    bath.heat_transfer_W_m2K = (cq_table){7, at, h, CQ_INTERPOLATE_LINEAR};
    return bath;
}

typedef struct laid {
    cq_plan plan;
    cq_step_plan steps[3];
    cq_coat_point coat[4];
    double times[MOST_TIMES];
} laid;

static void lay(laid *l, const quench *q) {
    start_plan(&l->plan, l->steps, 20.0);
    cq_plan *p = &l->plan;
    p->blade = (cq_blade){.family = CQ_FAMILY_RIDGED,
                          .height_m = 30e-3,
                          .edge_m = q->edge_m,
                          .spine_m = q->spine_m,
                          .ridge_at_m = 20e-3,
                          .ridge_thickness_m = q->ridge_m,
                          .length_m = 0.7};
    p->steel.composition_wt.C = 0.75;
    p->steel.composition_wt.Mn = q->Mn;
    if (q->inert) {
        p->steel = (cq_steel){.name = "stainless",
                              .kind = CQ_STEEL_INERT,
                              .conductivity_W_mK = {3, STAINLESS_K_AT, STAINLESS_K, CQ_INTERPOLATE_LINEAR},
                              .heat_capacity_J_m3K = {3, STAINLESS_K_AT, STAINLESS_C, CQ_INTERPOLATE_LINEAR},
                              .expansion_per_K = 18.5e-6,
                              .yield_Pa = {7, YIELD_AT, YIELD, CQ_INTERPOLATE_LINEAR},
                              .emissivity = 0.7};
        p->heat.start_K = 1123.15;
    }
    l->coat[0] = (cq_coat_point){q->wash_m > 0.0 ? 0.0 : q->rim_m - 1.5e-3, q->wash_m, q->wash_m};
    l->coat[1] = (cq_coat_point){q->rim_m - 1.4e-3, q->wash_m, q->wash_m};
    l->coat[2] = (cq_coat_point){q->rim_m + 1.5e-3, 2e-3, 2e-3};
    l->coat[3] = (cq_coat_point){30e-3, 2e-3, 2e-3};
    if (!q->bare) {
        p->coat = (cq_coat){4, l->coat, q->wash_m, 2e-3};
    }
    l->steps[1].until_K = 296.15;
    if (q->bath == 1) {
        l->steps[1].bath = oil_bath();
    } else if (q->bath == 2) {
        l->steps[1].until_K = 0.0;
        l->steps[1].for_s = q->water_s;
        l->steps[2] = (cq_step_plan){.bath = oil_bath(), .at_K = 293.15, .until_K = 296.15};
        p->steps_n = 3;
    }
    if (q->bath == 1) {
        l->steps[1].at_K = 293.15;
    }
    p->grid.along = 80;
    p->grid.across = 6;
}

static cq_run *go(laid *l, bool frames) {
    cq_run *run = NULL;
    const cq_run_options options = {.keep_frames = frames};
    cq_error error = {0};
    if (cq_run_create(&run, &l->plan, &options, &error) < 0 || cq_run_go(run, NULL, &error) < 0) {
        fprintf(stderr, "run failed: %s\n", error.count > 0 ? error.items[0].found : "");
        exit(1);
    }
    return run;
}

/* Rise on 700 mm by the beam and by the elements, mm. */
static void both(const quench *q, double *beam_mm, double *solid_mm) {
    static laid l;
    memset(&l, 0, sizeof l);
    lay(&l, q);
    cq_run *run = go(&l, false);
    const cq_curve *c = &cq_run_result(run)->curve;
    size_t n = 0;
    double last = -1.0;
    for (size_t i = 0; i < c->n && n < MOST_TIMES; i++) {
        if (c->time_s[i] > last + 1e-6 && c->time_s[i] <= cq_run_result(run)->end_time_s) {
            last = l.times[n++] = c->time_s[i];
        }
    }
    cq_run_free(run);
    l.plan.times_n = n;
    l.plan.times_s = l.times;
    run = go(&l, true);
    const cq_result *r = cq_run_result(run);
    static moment moments[MOST_TIMES + 2];
    for (size_t f = 0; f < r->frames_n; f++) {
        moments[f] = (moment){r->frames[f].temp_K, r->frames[f].fraction};
    }
    static cq_strength strength;
    if (q->inert) {
        cq_strength_of_inert(&strength, l.plan.steel.expansion_per_K, &l.plan.steel.yield_Pa);
    } else {
        cq_strength_of_steel(&strength);
    }
    const slice s = {r->grid, &strength, q->inert ? -1.0 : r->carbon_in_solution_wt, r->frames_n, moments};
    *beam_mm = 1e3 * r->curve.quenched.rise_m;
    *solid_mm = -1e3 * 0.7 * 0.7 / 8.0 * plane_strain_curvature(&s);
    cq_run_free(run);
}

static double stored(FILE *table, const char *name) {
    char line[200];
    rewind(table);
    while (fgets(line, sizeof line, table) != NULL) {
        char *comma = strrchr(line, ';');
        if (comma != NULL && strncmp(line, name, strlen(name)) == 0 && line[strlen(name)] == ';') {
            return atof(comma + 1);
        }
    }
    return NAN;
}

int main(int argc, char **argv) {
    const bool writes = argc > 1 && strcmp(argv[1], "write") == 0;
    FILE *table = writes ? NULL : fopen(ORACLE, "r");
    int failed = 0;
    if (!writes && table == NULL) {
        fprintf(stderr, "no %s\n", ORACLE);
        return 1;
    }
    if (writes) {
        printf("# rise on 700 mm at 20 degC by plane_strain.c, mm; written by `oracle_curve write`\nquench;rise_mm\n");
    }
    for (int n = 0; n < QUENCHES_N; n++) {
        double beam, solid;
        both(&QUENCHES[n], &beam, &solid);
        if (writes) {
            printf("%s;%.3f\n", QUENCHES[n].name, solid);
            continue;
        }
        const double before = stored(table, QUENCHES[n].name);
        const double by = fabs(beam - solid);
        const bool apart = QUENCHES[n].apart, same_side = (beam > 0.0) == (solid > 0.0),
                   agrees = same_side && (apart ? by > AGREES_MM && by <= APART_MM : by <= AGREES_MM),
                   same = fabs(solid - before) <= SAME_MM;
        printf("%-24s beam %+7.2f  solid %+7.2f  stored %+7.2f mm  %s%s\n", QUENCHES[n].name, beam, solid, before,
               !agrees ? "NOT AS EXPECTED"
               : apart ? "apart, as known"
                       : "",
               same ? "" : " CHANGED");
        failed += !agrees || !same;
    }
    if (table != NULL) {
        fclose(table);
    }
    return failed != 0;
}
