/* built_notices.c - what is told of a section of several steels, or with a skin. */
#include "quench/built.h"
#include "quench/places.h"

#include "base/units.h"

#include <math.h>
#include <stdio.h>

static const double FILE_BITES_HRC = 60.0; /* a file skates on harder steel; common practice, no source */

/* ---- before the quench ------------------------------------------------------------------------------------------- */

static double thickest_cell(const cq_run *run) {
    const cq_grid *g = run->grid;
    double thickest = 0.0;
    for (int row = 0; row < run->steel_rows; row++) {
        for (int j = g->steel_j0; j < g->steel_j1; j++) {
            const int n = (g->steel_i0 + row) * (g->across + 1) + j;
            thickest = fmax(thickest, g->node_y_m[n + 1] - g->node_y_m[n]);
        }
    }
    return thickest;
}

static const char *name_of(const cq_steel *steel) {
    return steel->name == NULL ? "own steel" : steel->name;
}

/* Hard and soft of a named construction: each where it belongs? */
static void notice_places(cq_run *run) {
    const cq_zones *z = &run->plan->zones;
    const cq_steel *hard = cq_steel_of_zone(run->plan, CQ_ZONE_HARD), *soft = cq_steel_of_zone(run->plan, CQ_ZONE_SOFT);
    if (z->build == CQ_BUILD_PIECES) {
        return;
    }
    if (hard->composition_wt.C < soft->composition_wt.C) {
        cq_run_notice(run, "zones-swapped", 1,
                      "hard: %.40s has less carbon (%.2f %%) than soft: %.40s (%.2f %%): are the two swapped?",
                      name_of(hard), hard->composition_wt.C, name_of(soft), soft->composition_wt.C);
    } else if (run->built->zone[cq_run_edge_cell(run)] != CQ_ZONE_HARD) {
        cq_run_notice(run, "zones-edge-soft", 1,
                      "no hard steel comes to the edge of the finished section: see the picture of the build");
    }
}

/* Half the steel where the edge is read. */
static double half_edge_m(const cq_run *run) {
    return 0.5 * (cq_section_half_thickness(run->section, CQ_SIDE_LEFT, CQ_INSET_M) +
                  cq_section_half_thickness(run->section, CQ_SIDE_RIGHT, CQ_INSET_M));
}

void cq_run_built_notices(cq_run *run) {
    const cq_built *r = &run->result.built;
    char length[48];
    if (run->built == NULL) {
        return;
    }
    if (r->several) {
        notice_places(run);
    }
    if (r->several && run->plan->zones.heats_n == 0) {
        cq_run_notice(run, "weld-sharp", 1,
                      "no welding heats are stated: the steels meet within one cell, %s, as no weld does; add "
                      "zones.heats",
                      cq_length_text(thickest_cell(run), length, sizeof length));
    } else if (r->several && !isnan(r->spread_m)) {
        cq_run_notice(
            run, "carbon-spread", 1,
            "welding and forging heats spread the carbon over %s across a weld (nine tenths to one tenth of the step)",
            cq_length_text(r->spread_m, length, sizeof length));
    }
    if (r->skinned && !(cq_run_skin_depth_m(run->plan) < half_edge_m(run))) {
        cq_run_notice(run, "skin-through", 1,
                      "the skin is %s deep, half the edge or more: there is less carbon there than told (the law is of "
                      "a thick piece)",
                      cq_length_text(cq_run_skin_depth_m(run->plan), length, sizeof length));
    }
}

/* ---- after it ---------------------------------------------------------------------------------------------------- */

/* What grinding leaves of the skin, told by what a file and the eye find of it. */
static void notice_skin(cq_run *run) {
    const cq_result *r = &run->result;
    const cq_plan *plan = run->plan;
    char depth[48], ground[48], found[160];
    if (!(r->built.skin_m > plan->grind_m)) {
        return;
    }
    const bool soft = r->built.ground_HV < cq_hardness_HV(FILE_BITES_HRC),
               hidden = isnan(r->line_ground_m) && !isnan(r->line_mid_m);
    snprintf(found, sizeof found, "a file %s it (it bites below %.0f HRC: common practice, no source)%s",
             soft ? "bites" : "skates on", FILE_BITES_HRC, hidden ? ", and the line does not show" : "");
    cq_run_notice(
        run, "skin-left", 1, "the skin without its carbon is %s deep (nine tenths back), %s are ground off: %s",
        cq_length_text(r->built.skin_m, depth, sizeof depth), cq_length_text(plan->grind_m, ground, sizeof ground),
        isnan(r->built.ground_HV) ? "the edge did not harden below it either" : found);
}

typedef struct faces {
    bool hard, soft; /* from edge to spine, both of them */
} faces;

static faces faces_of(const cq_profile_along *a) {
    faces f = {true, true};
    for (size_t n = 0; n < a->n; n++) {
        const double left = a->martensite_left[n], right = a->martensite_right[n];
        f.hard = f.hard && left >= CQ_HARD && right >= CQ_HARD;
        f.soft = f.soft && left < CQ_HARD && right < CQ_HARD;
    }
    return f;
}

/* Has a face less carbon at a height than the edge, because a leaner steel begins there? */
static bool is_weld_at(const cq_run *run, int side, double at_m) {
    const cq_profile_along *a = &run->result.along;
    const size_t across = (size_t)run->steel_across, j = side == CQ_SIDE_LEFT && !run->grid->symmetric ? 0 : across - 1;
    const double LEANER = 0.9; /* of the edge's carbon; chosen here */
    size_t row = 0;
    while (row + 1 < a->n && a->height_m[row] < at_m) {
        row++;
    }
    return run->built->carbon_wt[row * across + j] < LEANER * run->built->carbon_wt[cq_run_edge_cell(run)];
}

/* A line of a laid blade is seldom the quench's: why it is where it is, or is not. */
static void notice_line(cq_run *run) {
    const cq_result *r = &run->result;
    char length[48];
    if (isnan(r->line_surface_m)) {
        const faces f = faces_of(&r->along);
        if (f.hard != f.soft && !f.hard == (r->edge.fraction[CQ_MARTENSITE] >= CQ_HARD)) {
            cq_run_notice(run, "no-line", 1, "no line: the faces are soft from edge to spine, over the hard steel");
        } else if (f.hard && r->body.fraction[CQ_MARTENSITE] < CQ_HARD) {
            cq_run_notice(run, "no-line", 1, "no line: the faces are hard from edge to spine, over the soft steel");
        }
        return;
    }
    const int side = r->line_left_m <= r->line_right_m || isnan(r->line_right_m) ? CQ_SIDE_LEFT : CQ_SIDE_RIGHT;
    if (is_weld_at(run, side, r->line_surface_m)) {
        cq_run_notice(run, "line-of-weld", 1, "the line at %s is where the weld comes to the face, not the quench's",
                      cq_length_text(r->line_surface_m, length, sizeof length));
    }
}

void cq_run_built_notices_after(cq_run *run) {
    if (run->built == NULL || !run->result.has_line) {
        return;
    }
    if (run->result.built.skinned) {
        notice_skin(run);
    }
    if (run->result.built.several) {
        notice_line(run);
    }
}
