/* plan_read.c - a plan's tree into a cq_plan: the parts that are more than fields. */
#include "hardness/hardness.h"
#include "io/hardness_text.h"
#include "io/reader.h"

#include "quench/plan_check.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static void complain_of_kind(cq_reader *r, const cq_node *at, const char *key, const char *expected) {
    char found[128];
    cq_reader_complain(r, at, key, expected, "", "%s",
                       at->kind == CQ_NODE_LIST ? "an empty list" : cq_node_words(at, found, sizeof found));
}

/* The list under `key`; NULL if there is none, or after a complaint. */
static const cq_node *list_of(cq_reader *r, const cq_node *map, const char *key, const char *path) {
    const cq_node *list = cq_node_find(map, key);
    if (list != NULL && (list->kind != CQ_NODE_LIST || list->n == 0)) {
        complain_of_kind(r, list, path, "a list with at least one entry");
        return NULL;
    }
    return list;
}

/* Item i of a list as a mapping; NULL after a complaint. */
static const cq_node *map_in(cq_reader *r, const cq_node *list, size_t i, const char *path, const char *expected) {
    const cq_node *item = list->item[i];
    if (item->kind != CQ_NODE_MAP) {
        char key[CQ_KEY_SIZE], found[128];
        cq_reader_complain(r, item, cq_key_join(key, "%s.%zu", path, i), expected, "", "%s",
                           cq_node_words(item, found, sizeof found));
        return NULL;
    }
    return item;
}

/* The mapping under `key`; NULL if there is none, or after a complaint. */
static const cq_node *map_of(cq_reader *r, const cq_node *root, const char *key, const char *expected) {
    const cq_node *map = cq_node_find(root, key);
    if (map != NULL && map->kind != CQ_NODE_MAP) {
        char found[128];
        cq_reader_complain(r, map, key, expected, "", "%s", cq_node_words(map, found, sizeof found));
        return NULL;
    }
    return map;
}

/* ---- clay -------------------------------------------------------------------------------------------------------- */

static void read_point(cq_reader *r, const cq_node *map, size_t i, cq_coat_point *point) {
    char path[CQ_KEY_SIZE], key[CQ_KEY_SIZE];
    const cq_node *both = cq_node_find(map, "thickness"), *left = cq_node_find(map, "left"),
                  *right = cq_node_find(map, "right");
    cq_key_join(path, "clay.coat.%zu.", i);
    cq_reader_fields(r, map, CQ_OWNER_COAT, 0, path, point);
    cq_key_join(key, "%sthickness", path);
    if (both != NULL && (left != NULL || right != NULL)) {
        cq_reader_complain(r, cq_node_key(map, left != NULL ? "left" : "right"), key,
                           "thickness: for both faces, or left: and right:", "remove one of them", "both ways at once");
    } else if (both == NULL && (left == NULL || right == NULL)) {
        cq_reader_complain(r, map, key, "thickness: for both faces, or left: and right:", "", "%s",
                           left == NULL && right == NULL ? "a point without thickness" : "one face only");
    } else if (both != NULL && cq_reader_quantity(r, both, key, CQ_DIM_LENGTH, 0.0, 10e-3, &point->left_m)) {
        point->right_m = point->left_m;
    }
}

static void read_coat(cq_reader *r, const cq_node *clay, cq_plan *plan) {
    const cq_node *list = list_of(r, clay, "coat", "clay.coat");
    cq_coat_point *points = list == NULL ? NULL : cq_reader_take(r, list->n, sizeof *points);
    for (size_t i = 0; points != NULL && i < list->n; i++) {
        points[i] = (cq_coat_point){NAN, NAN, NAN};
        const cq_node *map = map_in(r, list, i, "clay.coat", "a point, for instance {at: 8 mm, thickness: 2 mm}");
        if (map != NULL) {
            read_point(r, map, i, &points[i]);
        }
    }
    plan->coat.points = points;
    plan->coat.n = points == NULL ? 0 : list->n;
}

static void read_lost(cq_reader *r, const cq_node *clay, cq_plan *plan) {
    const cq_node *list = list_of(r, clay, "lost", "clay.lost");
    cq_lost_plan *lost = list == NULL ? NULL : cq_reader_take(r, list->n, sizeof *lost);
    for (size_t i = 0; lost != NULL && i < list->n; i++) {
        char path[CQ_KEY_SIZE];
        const cq_node *map =
            map_in(r, list, i, "clay.lost", "a patch, for instance {after: 4 s, from: 14 mm, to: 18 mm, face: left}");
        if (map != NULL) {
            cq_reader_fields(r, map, CQ_OWNER_LOST, 0, cq_key_join(path, "clay.lost.%zu.", i), &lost[i]);
        }
    }
    plan->lost = lost;
    plan->lost_n = lost == NULL ? 0 : list->n;
}

static void read_flat(cq_reader *r, const cq_node *clay, const char *which, double *thickness) {
    const cq_node *node = cq_node_find(clay, which);
    if (node != NULL && !(node->kind == CQ_NODE_TEXT && strcmp(node->text, "bare") == 0)) {
        char key[CQ_KEY_SIZE];
        cq_reader_quantity(r, node, cq_key_join(key, "clay.%s", which), CQ_DIM_LENGTH, 0.0, 10e-3, thickness);
    }
}

static void dry(cq_plan *plan) {
    cq_coat_point *points = (cq_coat_point *)plan->coat.points; /* the reader's own array, not yet shared */
    for (size_t i = 0; i < plan->coat.n; i++) {
        points[i].left_m *= plan->clay.drying_factor;
        points[i].right_m *= plan->clay.drying_factor;
    }
    plan->coat.edge_m *= plan->clay.drying_factor;
    plan->coat.spine_m *= plan->clay.drying_factor;
}

static void read_clay_layer(cq_reader *r, const cq_node *root, cq_plan *plan) {
    const cq_node *clay = map_of(r, root, "clay", "a mapping with mix: and coat:");
    if (clay == NULL) {
        return;
    }
    cq_reader_fields(r, clay, CQ_OWNER_CLAY_LAYER, 0, "clay.", plan);
    const cq_node *mix = cq_node_find(clay, "mix");
    const cq_node *map = mix == NULL ? NULL : cq_reader_resolve(r, mix, "clay", "clay.mix");
    if (map != NULL) {
        cq_read_clay(r, map, "clay.mix.", &plan->clay);
    }
    read_coat(r, clay, plan);
    read_lost(r, clay, plan);
    read_flat(r, clay, "edge", &plan->coat.edge_m);
    read_flat(r, clay, "spine", &plan->coat.spine_m);
    if (plan->coat_was_wet && map != NULL && cq_node_find(map, "drying-factor") == NULL) {
        cq_reader_complain(r, cq_node_key(clay, "wet"), "clay.wet", "a mix with a drying-factor",
                           "give dry thicknesses, or add drying-factor: to the mix",
                           "wet thicknesses of a mix that does not say how it dries");
    }
    if (plan->coat_was_wet) {
        dry(plan);
    }
}

/* ---- heat and steps ---------------------------------------------------------------------------------------------- */

static void read_heat(cq_reader *r, const cq_node *root, cq_plan *plan) {
    const cq_node *heat = map_of(r, root, "heat", "a mapping, for instance {temperature: 800 °C, hold: 5 min}");
    const bool said = cq_node_find(root, "heat") != NULL, start = cq_node_find(root, "start") != NULL;
    if (said && start) {
        cq_reader_complain(r, cq_node_key(root, "start"), "start", "heat: or start:, not both", "remove one of the two",
                           "start beside heat");
    }
    if (!said && !start) {
        cq_reader_complain(r, root, "heat", "heat: {temperature: 800 °C, hold: 5 min}, or start: 800 °C",
                           "add one of them", "no 'heat'");
    }
    if (heat != NULL) {
        cq_reader_fields(r, heat, CQ_OWNER_HEAT, 0, "heat.", plan);
        cq_read_fire(r, heat, "heat.", plan);
    }
}

/* `path`: up to and including the dot behind the step's number. */
static void read_step(cq_reader *r, const cq_node *map, const char *path, cq_step_plan *step) {
    char key[CQ_KEY_SIZE], deeper[CQ_KEY_SIZE];
    step->speed_m_s = 0.5;
    cq_key_join(key, "%sin", path);
    const cq_node *in = cq_node_find(map, "in");
    const cq_node *bath = in == NULL ? NULL : cq_reader_resolve(r, in, "bath", key);
    if (bath != NULL) {
        cq_read_bath(r, bath, cq_key_join(deeper, "%s.", key), &step->bath);
        step->bath.name = step->bath.name == NULL ? "own bath" : step->bath.name;
        step->at_K = step->bath.at_K;
    }
    cq_reader_fields(r, map, CQ_OWNER_STEP, 0, path, step);
    if (bath != NULL && cq_node_find(map, "at") == NULL && !(step->at_K > 0.0)) {
        cq_reader_complain(r, map, cq_key_join(key, "%sat", path), cq_dimension_words(CQ_DIM_TEMPERATURE),
                           "add at:", "no temperature of the bath");
    }
}

/* `before`: what stands before "steps" in key paths, dot included. */
static void read_steps(cq_reader *r, const cq_node *root, const char *before, cq_plan *plan) {
    char path[CQ_KEY_SIZE], entry[CQ_KEY_SIZE];
    const cq_node *list = list_of(r, root, "steps", cq_key_join(path, "%ssteps", before));
    cq_step_plan *steps = list == NULL ? NULL : cq_reader_take(r, list->n, sizeof *steps);
    for (size_t i = 0; steps != NULL && i < list->n; i++) {
        const cq_node *map = map_in(r, list, i, path, "a step, for instance {in: water, at: 40 °C, for: 3 s}");
        if (map != NULL) {
            read_step(r, map, cq_key_join(entry, "%s.%zu.", path, i), &steps[i]);
        }
    }
    plan->steps = steps;
    plan->steps_n = steps == NULL ? 0 : list->n;
}

/* ---- the rest ---------------------------------------------------------------------------------------------------- */

static void read_temper(cq_reader *r, const cq_node *root, const char *before, cq_plan *plan) {
    char path[CQ_KEY_SIZE], entry[CQ_KEY_SIZE];
    const cq_node *list = list_of(r, root, "temper", cq_key_join(path, "%stemper", before));
    cq_temper *temper = list == NULL ? NULL : cq_reader_take(r, list->n, sizeof *temper);
    for (size_t i = 0; temper != NULL && i < list->n; i++) {
        const cq_node *map = map_in(r, list, i, path, "a temper, for instance {temperature: 180 °C, for: 1 h}");
        if (map != NULL) {
            cq_reader_fields(r, map, CQ_OWNER_TEMPER, 0, cq_key_join(entry, "%s.%zu.", path, i), &temper[i]);
        }
        const cq_node *after = map == NULL || i > 0 ? NULL : cq_node_find(map, "after");
        if (after != NULL && after->kind == CQ_NODE_TEXT &&
            cq_units_parse(r->units, after->text, CQ_DIM_TIME, &plan->temper_after_s) != CQ_QUANTITY_OK) {
            plan->temper_after_s = 0.0; /* told above */
        }
    }
    plan->temper = temper;
    plan->temper_n = temper == NULL ? 0 : list->n;
}

/* One entry of heats:, into the heat, steps and tempers of *plan. */
static void read_one_heat(cq_reader *r, const cq_node *map, const char *path, cq_plan *plan) {
    char key[CQ_KEY_SIZE], deeper[CQ_KEY_SIZE];
    cq_reader_fields(r, map, CQ_OWNER_HEATS, 0, path, NULL);
    read_temper(r, map, path, plan);
    read_steps(r, map, path, plan);
    const cq_node *heat = cq_node_find(map, "heat");
    cq_key_join(key, "%sheat", path);
    if (heat != NULL && heat->kind != CQ_NODE_MAP) {
        complain_of_kind(r, heat, key, "a mapping, for instance {temperature: 800 °C, hold: 5 min}");
    } else if (heat != NULL) {
        cq_reader_fields(r, heat, CQ_OWNER_HEAT, 0, cq_key_join(deeper, "%s.", key), plan);
        cq_read_fire(r, heat, deeper, plan);
        plan->heat.follows = cq_node_find(heat, "structure") == NULL;
    }
}

/* Later heats. The last becomes the plan's own, those before it its earlier ones: what changes a plan changes the heat
 * the answers are of. */
static void read_heats(cq_reader *r, const cq_node *root, cq_plan *plan) {
    const cq_node *list = list_of(r, root, "heats", "heats");
    if (list != NULL && list->n > CQ_EARLIER_HEATS) {
        char expected[64];
        snprintf(expected, sizeof expected, "at most %d heats after the first", CQ_EARLIER_HEATS);
        cq_reader_complain(r, list, "heats", expected, "", "%zu", list->n);
        list = NULL;
    }
    cq_earlier_heat *earlier = list == NULL ? NULL : cq_reader_take(r, list->n, sizeof *earlier);
    for (size_t i = 0; earlier != NULL && i < list->n; i++) {
        char path[CQ_KEY_SIZE];
        cq_plan one;
        cq_plan_init(&one);
        const cq_node *map = map_in(r, list, i, "heats",
                                    "a heat, for instance {heat: {temperature: 790 °C}, steps: [{in: fast-oil, for: 60 "
                                    "s}]}");
        if (map != NULL) {
            read_one_heat(r, map, cq_key_join(path, "heats.%zu.", i), &one);
        }
        earlier[i] =
            (cq_earlier_heat){plan->heat, plan->steps_n, plan->steps, one.temper_n, one.temper, one.temper_after_s};
        plan->heat = one.heat;
        plan->steps = one.steps;
        plan->steps_n = one.steps_n;
    }
    plan->earlier = earlier;
    plan->earlier_n = earlier == NULL ? 0 : list->n;
}

/* Tolerances are kept for the many-run commands: relative in %, or a difference in its own unit. */
static void read_tolerances(cq_reader *r, const cq_node *root, cq_plan *plan) {
    const cq_node *map = map_of(r, root, "tolerances", "a mapping, for instance {coat: 15 %, bath-temperature: 3 K}");
    cq_tolerance_plan *list = map == NULL ? NULL : cq_reader_take(r, map->n, sizeof *list);
    if (list == NULL) {
        return;
    }
    cq_reader_fields(r, map, CQ_OWNER_TOLERANCES, 0, "tolerances.", NULL);
    for (size_t e = 0; e < map->n; e++) {
        const cq_field *f = cq_field_find(CQ_OWNER_TOLERANCES, map->key[e]);
        char key[CQ_KEY_SIZE];
        list[e].key = map->key[e];
        if (f != NULL) {
            list[e].relative = f->dimension == CQ_DIM_SHARE;
            cq_reader_quantity(r, map->item[e], cq_key_join(key, "tolerances.%s", map->key[e]), f->dimension, f->least,
                               f->most, &list[e].value);
        }
    }
    plan->tolerances = list;
    plan->tolerances_n = map->n;
}

static void read_probes(cq_reader *r, const cq_node *record, bool tall, cq_plan *plan) {
    const cq_node *list = list_of(r, record, "probes", "record.probes");
    cq_probe_plan *probes = list == NULL ? NULL : cq_reader_take(r, list->n, sizeof *probes);
    for (size_t i = 0; probes != NULL && i < list->n; i++) {
        char path[CQ_KEY_SIZE], key[CQ_KEY_SIZE];
        const cq_node *map = map_in(r, list, i, "record.probes", "a probe, for instance {name: e, at: 0.5 mm}");
        if (map == NULL) {
            continue;
        }
        cq_key_join(path, "record.probes.%zu.", i);
        cq_reader_fields(r, map, CQ_OWNER_PROBE, 0, path, &probes[i]);
        if (tall && cq_node_find(map, "at") == NULL) {
            cq_reader_complain(r, map, cq_key_join(key, "%sat", path), cq_dimension_words(CQ_DIM_LENGTH),
                               "add at:", "no height");
        }
    }
    plan->probes = probes;
    plan->probes_n = probes == NULL ? 0 : list->n;
}

static void read_times(cq_reader *r, const cq_node *record, cq_plan *plan) {
    const cq_node *list = list_of(r, record, "times", "record.times");
    double *times = list == NULL ? NULL : cq_reader_take(r, list->n, sizeof *times);
    for (size_t i = 0; times != NULL && i < list->n; i++) {
        char key[CQ_KEY_SIZE];
        times[i] = NAN;
        cq_reader_quantity(r, list->item[i], cq_key_join(key, "record.times.%zu", i), CQ_DIM_TIME, 0.0, 1e6, &times[i]);
    }
    plan->times_s = times;
    plan->times_n = times == NULL ? 0 : list->n;
}

static void read_record(cq_reader *r, const cq_node *root, bool tall, cq_plan *plan) {
    const cq_node *record = map_of(r, root, "record", "a mapping with probes:, times: or every:");
    if (record != NULL) {
        cq_reader_fields(r, record, CQ_OWNER_RECORD, 0, "record.", plan);
        read_probes(r, record, tall, plan);
        read_times(r, record, plan);
    }
}

static void read_map(cq_reader *r, const cq_node *root, const char *key, cq_owner owner, const char *path,
                     cq_plan *plan) {
    const cq_node *map = map_of(r, root, key, "a mapping");
    if (map != NULL) {
        cq_reader_fields(r, map, owner, 0, path, plan);
    }
}

static void read_finish(cq_reader *r, const cq_node *root, cq_plan *plan) {
    const cq_node *map = cq_node_find(root, "finish");
    double HV, HRC;
    read_map(r, root, "finish", CQ_OWNER_FINISH, "finish.", plan);
    if (map != NULL && map->kind == CQ_NODE_MAP &&
        cq_read_hardness(r, cq_node_find(map, "wear-to"), "finish.wear-to", &HV, &HRC)) {
        plan->wear_HRC = isnan(HRC) ? cq_hardness_HRC(HV) : HRC;
        if (!(plan->wear_HRC >= 20.0) || HV > cq_hardness_HV(68.0)) { /* else it would be held at 68 */
            cq_reader_complain(r, cq_node_find(map, "wear-to"), "finish.wear-to", "a hardness of 20 to 68 HRC", "",
                               "%.4g HV", HV);
            plan->wear_HRC = CQ_WEAR_HRC; /* told */
        }
    }
}

static void read_blade(cq_reader *r, const cq_node *root, cq_plan *plan) {
    const cq_node *node = cq_node_find(root, "blade");
    const cq_node *map = node == NULL ? NULL : cq_reader_resolve(r, node, "blade", "blade");
    if (map != NULL) {
        cq_read_blade(r, map, "blade.", &plan->blade);
    }
}

/* One steel, or zones of several. */
static void read_steel(cq_reader *r, const cq_node *root, cq_plan *plan) {
    const cq_node *node = cq_node_find(root, "steel");
    const bool zones = cq_node_find(root, "zones") != NULL;
    if (zones && node != NULL) {
        cq_reader_complain(r, cq_node_key(root, "zones"), "zones", "steel: or zones:, not both",
                           "remove one of the two", "zones beside steel");
    } else if (!zones && node == NULL) {
        cq_reader_complain(r, root, "steel",
                           "the name of a steel profile, or a mapping with from: and batch:; or zones: of several",
                           "add steel:", "no 'steel'");
    } else if (zones) {
        cq_read_zones(r, root, plan);
    }
    const cq_node *map = node == NULL ? NULL : cq_reader_resolve(r, node, "steel", "steel");
    if (map != NULL) {
        cq_read_steel(r, map, "steel.", &plan->steel);
    }
    cq_read_skin(r, root, plan);
}

/* The part if it is there and made no fault since `before`, which moves on. */
static unsigned part(const cq_reader *r, size_t *before, unsigned which, bool there) {
    const bool good = there && r->faults == *before;
    *before = r->faults;
    return good ? which : 0;
}

unsigned cq_read_plan(cq_reader *r, const cq_node *root, cq_plan *plan) {
    unsigned parts = CQ_PART_CLAY | CQ_PART_STEPS | CQ_PART_RECORD; /* their faults are told entry by entry */
    const bool start_good = cq_node_find(root, "start") == NULL;
    size_t before = r->faults;
    cq_reader_fields(r, root, CQ_OWNER_PLAN, 0, "", plan);
    const bool heat_there = start_good ? cq_node_find(root, "heat") != NULL : plan->heat.start_K > 0.0;
    before = r->faults;
    read_blade(r, root, plan);
    parts |= part(r, &before, CQ_PART_BLADE, cq_node_find(root, "blade") != NULL);
    read_steel(r, root, plan);
    parts |= part(r, &before, CQ_PART_STEEL, cq_node_find(root, "steel") != NULL || plan->zones.n > 0);
    read_clay_layer(r, root, plan);
    before = r->faults;
    read_heat(r, root, plan);
    parts |= part(r, &before, CQ_PART_HEAT, heat_there);
    read_steps(r, root, "", plan);
    before = r->faults;
    read_heats(r, root, plan);
    parts &= r->faults == before ? parts : ~(unsigned)CQ_PART_HEAT;
    read_record(r, root, (parts & CQ_PART_BLADE) != 0 && plan->blade.family < CQ_FAMILY_PLATE, plan);
    before = r->faults;
    read_temper(r, root, "", plan);
    read_finish(r, root, plan);
    read_tolerances(r, root, plan);
    read_map(r, root, "grid", CQ_OWNER_GRID, "grid.", plan);
    parts |= part(r, &before, CQ_PART_REST, true);
    return parts;
}
