/* plan_zones.c - whether a plan's zones fill its section, whether their steels and heats, its skin and its fire make
 * sense.
 */
#include "quench/plan_faults.h"
#include "quench/zones.h"

#include "kinetics/carbon.h"

#include <math.h>
#include <stdio.h>

/* Places looked at: a gap or overlap thinner than 1/SAMPLES_UP of the height and 1/SAMPLES_ACROSS of the thickness may
 * pass. */
enum { SAMPLES_UP = 500, SAMPLES_ACROSS = 120 };

static void check_measure(cq_plan_faults *c, const char *key, double value_m, double most_m, const char *of) {
    if (!(value_m > 0.0) || !(value_m < most_m)) {
        char expected[96];
        snprintf(expected, sizeof expected, "more than 0 and less than the %s, %.4g mm", of, most_m * MM);
        cq_plan_fault(c, key, expected, "", "%.4g mm", value_m * MM);
    }
}

static double thickest(const cq_section *s) {
    double most = 0.0;
    for (int n = 0; n <= SAMPLES_UP; n++) {
        const double x = s->height_m * n / SAMPLES_UP;
        most =
            fmax(most, cq_section_half_thickness(s, CQ_SIDE_LEFT, x) + cq_section_half_thickness(s, CQ_SIDE_RIGHT, x));
    }
    return most;
}

static void check_construction(cq_plan_faults *c, const cq_section *s) {
    const cq_zones *z = &c->plan->zones;
    const bool across = z->build != CQ_BUILD_BACK_AND_EDGE && z->build != CQ_BUILD_PIECES;
    const bool up =
        z->build == CQ_BUILD_EDGE_INLAY || z->build == CQ_BUILD_SOFT_CORE || z->build == CQ_BUILD_BACK_AND_EDGE;
    const bool twice = z->build == CQ_BUILD_WRAPPED || z->build == CQ_BUILD_SOFT_CORE; /* on both faces */
    if (across) {
        check_measure(c, "zones.thickness", z->thickness_m, (twice ? 0.5 : 1.0) * thickest(s),
                      twice ? "half thickness of the section" : "thickness of the section");
    }
    if (up) {
        check_measure(c, "zones.height", z->height_m, s->height_m, "height of the section");
    }
}

static void say_piece(char key[64], size_t n, const char *rest) {
    snprintf(key, 64, "zones.pieces.%zu%s", n, rest);
}

static void check_points(cq_plan_faults *c, size_t n) {
    const cq_zone *zone = &c->plan->zones.zone[n];
    char key[64];
    say_piece(key, n, ".outline");
    if (zone->n == 1) {
        cq_plan_fault(c, key, "two points or more, from the edge up", "", "one point");
    }
    for (size_t i = 0; i < zone->n; i++) {
        const cq_zone_point *p = &zone->points[i];
        char point[96];
        snprintf(point, sizeof point, "%s.%zu", key, i);
        if (!(p->to_m >= p->from_m)) {
            cq_plan_fault(c, point, "[height, from, to] with from left of to", "swap the two: left is negative",
                          "from %.4g to %.4g mm", p->from_m * MM, p->to_m * MM);
        }
        if (i > 0 && !(p->at_m > zone->points[i - 1].at_m)) {
            cq_plan_fault(c, point, "heights that rise from point to point", "sort the points from the edge up",
                          "%.4g mm after %.4g mm", p->at_m * MM, zone->points[i - 1].at_m * MM);
        }
    }
}

/* Every place of the section belongs to one zone, every zone has some place. */
static void check_cover(cq_plan_faults *c, const cq_section *s) {
    const cq_zones *z = &c->plan->zones;
    size_t places[CQ_ZONES_MOST] = {0};
    bool gap = false, overlap = false;
    char key[64];
    for (int i = 0; i < SAMPLES_UP; i++) {
        const double x = s->height_m * (i + 0.5) / SAMPLES_UP;
        const double left = -cq_section_half_thickness(s, CQ_SIDE_LEFT, x),
                     right = cq_section_half_thickness(s, CQ_SIDE_RIGHT, x);
        for (int j = 0; j < SAMPLES_ACROSS; j++) {
            const double y = left + (right - left) * (j + 0.5) / SAMPLES_ACROSS;
            int first = 0, second = 0;
            const int found = cq_zone_at(z, s, x, y, &first, &second);
            if (found >= 0) {
                places[found]++;
            } else if (found == CQ_ZONE_GAP && !gap) {
                gap = true;
                cq_plan_fault(c, "zones.pieces", "a zone for every place of the section",
                              "stretch a zone, or leave the outline of one out: it takes the rest",
                              "no zone at height %.4g mm, %.3g mm from the middle", x * MM, y * MM);
            } else if (found == CQ_ZONE_OVERLAP && !overlap) {
                overlap = true;
                say_piece(key, (size_t)second, ".outline");
                cq_plan_fault(c, key, "one zone for every place of the section", "let them meet on one line",
                              "it overlaps zone %d at height %.4g mm, %.3g mm from the middle", first, x * MM, y * MM);
            }
        }
    }
    for (size_t n = 0; n < z->n && !gap && !overlap; n++) {
        if (places[n] == 0) {
            const bool piece = z->build == CQ_BUILD_PIECES;
            say_piece(key, n, "");
            cq_plan_fault(c, piece ? key : "zones.build", "zones that lie within the section",
                          "heights from the edge flat, distances from the middle; left is negative",
                          "nothing of the section for the %s",
                          piece               ? "zone"
                          : n == CQ_ZONE_HARD ? "hard steel"
                                              : "soft steel");
        }
    }
}

static void check_shape(cq_plan_faults *c) {
    const cq_plan *p = c->plan;
    if (!cq_is_shaped(p->blade.family)) {
        cq_plan_fault(c, "zones", "a section with a height: zones are not for plates and rounds", "",
                      "zones in a plate or round");
        return;
    }
    cq_section *section = NULL;
    cq_error error = CQ_ERROR_INIT;
    const cq_status before = c->status;
    if (cq_section_create(&section, &p->blade, NULL, &error) >= 0) {
        check_construction(c, section);
        for (size_t n = 0; n < p->zones.n; n++) {
            check_points(c, n);
        }
        if (c->status == before) {
            check_cover(c, section);
        }
    }
    cq_section_free(section);
    cq_error_clear(&error);
}

/* ---- heats ------------------------------------------------------------------------------------------------------- */

static double richest(const cq_zones *z) {
    double most = 0.0;
    for (size_t n = 0; n < z->n; n++) {
        most = fmax(most, z->zone[n].steel.composition_wt.C);
    }
    return most;
}

static void check_heats(cq_plan_faults *c) {
    const cq_zones *z = &c->plan->zones;
    const double carbon = richest(z), melts_C = cq_carbon_solidus_K(fmin(carbon, 2.0)) - ZERO_C;
    for (size_t h = 0; h < z->heats_n; h++) {
        const cq_weld_heat *heat = &z->heats[h];
        char key[64], expected[128];
        snprintf(key, sizeof key, "zones.heats.%zu.temperature", h);
        if (!cq_within(heat->temperature_K, CQ_CARBON_COLDEST_K, 1800.0)) {
            cq_plan_fault(c, key, "from 727 to 1520 °C", "", "%.4g °C", heat->temperature_K - ZERO_C);
        } else if (!(heat->temperature_K - ZERO_C < melts_C)) {
            snprintf(expected, sizeof expected, "below %.0f °C, where steel of %.2f %% C begins to melt", melts_C,
                     carbon);
            cq_plan_fault(c, key, expected, "weld colder", "%.4g °C, where it burns", heat->temperature_K - ZERO_C);
        }
        snprintf(key, sizeof key, "zones.heats.%zu.for", h);
        if (!cq_within(heat->for_s, 1.0, 1e5)) {
            cq_plan_fault(c, key, "from 1 s to 1e5 s", "", "%g s", heat->for_s);
        }
        snprintf(key, sizeof key, "zones.heats.%zu.thickness-then", h);
        if (fabs(heat->thickness_m) > 0.0 && cq_has_parts(c, CQ_PART_BLADE) &&
            !(heat->thickness_m >= c->plan->blade.spine_m * (1.0 - 1e-9))) {
            cq_plan_fault(c, key, "at least what the spine is now", "leave it out: the bar was as thick as now",
                          "%.4g mm, and %.4g mm now", heat->thickness_m * MM, c->plan->blade.spine_m * MM);
        }
    }
}

const char *cq_zone_steel_key(const cq_zones *z, size_t n, char key[64]) {
    if (z->build == CQ_BUILD_PIECES) {
        say_piece(key, n, ".steel");
    } else {
        snprintf(key, 64, "zones.%s", n == CQ_ZONE_HARD ? "hard" : "soft");
    }
    return key;
}

void cq_plan_check_zones(cq_plan_faults *c) {
    const cq_zones *z = &c->plan->zones;
    if (z->n == 0) {
        return;
    }
    for (size_t n = 0; n < z->n; n++) {
        char key[64];
        if (z->zone[n].steel.kind == CQ_STEEL_INERT) { /* its conductivity and heat capacity are tables of their own */
            cq_plan_fault(c, cq_zone_steel_key(z, n, key), "a steel that transforms", "for soft iron take core-iron",
                          "%s, an inert material", z->zone[n].steel.name == NULL ? "own steel" : z->zone[n].steel.name);
        }
    }
    if (cq_has_parts(c, CQ_PART_BLADE)) {
        check_shape(c);
    }
    check_heats(c);
}

/* ---- skin and fire ----------------------------------------------------------------------------------------------- */

void cq_plan_check_skin(cq_plan_faults *c) {
    const cq_skin *s = &c->plan->skin;
    const bool depth = s->depth_m > 0.0, heat = s->for_s > 0.0 || s->temperature_K > 0.0;
    if (!depth && !heat) {
        return;
    }
    if (depth && heat) {
        cq_plan_fault(c, "skin", "depth:, or temperature: and for:", "remove one of them", "both ways at once");
    } else if (heat && !(s->for_s > 0.0 && s->temperature_K > 0.0)) {
        cq_plan_fault(c, "skin", "temperature: and for:", "add the other",
                      s->for_s > 0.0 ? "a time without a temperature" : "a temperature without a time");
    } else if (heat && !(s->temperature_K < cq_carbon_solidus_K(c->plan->steel.composition_wt.C))) {
        cq_plan_fault(c, "skin.temperature", "a heat that does not melt the steel", "", "%.4g °C",
                      s->temperature_K - ZERO_C);
    }
    if (cq_has_parts(c, CQ_PART_STEEL) && c->plan->steel.kind == CQ_STEEL_INERT) {
        cq_plan_fault(c, "skin", "a steel that transforms", "", "a skin without carbon on an inert material");
    } else if (cq_has_parts(c, CQ_PART_STEEL) && !(s->face_wt < c->plan->steel.composition_wt.C)) {
        cq_plan_fault(c, "skin.face", "less carbon than the steel has", "", "%.3g %% on %.3g %%", s->face_wt,
                      c->plan->steel.composition_wt.C);
    }
}

void cq_plan_check_fire(cq_plan_faults *c) {
    const cq_fire *f = &c->plan->heat.fire;
    if (!(f->for_s > 0.0)) {
        return;
    }
    if (!cq_within(f->temperature_K - ZERO_C, 500.0, 1500.0)) {
        cq_plan_fault(c, "heat.fire.temperature", "from 500 to 1500 °C", "", "%.4g °C", f->temperature_K - ZERO_C);
    }
    if (!cq_within(f->film_W_m2K, 5.0, 5e3)) {
        cq_plan_fault(c, "heat.fire.film", "from 5 to 5000 W/m^2/K", "", "%.4g W/m^2/K", f->film_W_m2K);
    }
    if (c->plan->heat.spine_below_K > 0.0) {
        cq_plan_fault(c, "heat.spine-below", "no spine-below beside fire", "remove it: the fire says how uneven it is",
                      "both");
    }
    if (cq_has_parts(c, CQ_PART_STEEL) && c->plan->steel.kind == CQ_STEEL_INERT) {
        cq_plan_fault(c, "heat.fire", "a steel that transforms", "state temperature: alone",
                      "a fire for an inert material");
    }
}
