/* plan_read.c - a plan's tree into a cq_plan: the parts that are more than fields. */
#include "io/reader.h"

#include <stdio.h>
#include <string.h>

static const cq_node *list_of(cq_reader *r, const cq_node *root, const char *key, const char *path, bool needed) {
    const cq_node *list = cq_node_find(root, key);
    if (list == NULL) {
        if (needed) {
            cq_reader_complain(r, CQ_ERR_PLAN, root, path, "a list", "add it", "nothing under '%s'", key);
        }
        return NULL;
    }
    if (list->kind != CQ_NODE_LIST || list->n == 0) {
        cq_reader_complain(r, CQ_ERR_PLAN, list, path, "a list with at least one entry", "", "something else");
        return NULL;
    }
    return list;
}

static void *take(cq_reader *r, size_t n, size_t size) {
    void *block = cq_arena_take(r->arena, n > 0 ? n : 1, size);
    r->status = block == NULL ? CQ_ERR_MEMORY : r->status;
    return block;
}

/* Item i of a list as a mapping; NULL after a complaint. */
static const cq_node *map_in(cq_reader *r, const cq_node *list, size_t i, const char *path) {
    if (list->item[i]->kind == CQ_NODE_MAP) {
        return list->item[i];
    }
    cq_reader_complain(r, CQ_ERR_PLAN, list->item[i], path, "a mapping", "", "something else");
    return NULL;
}

static void read_coat(cq_reader *r, const cq_node *clay, cq_plan *plan) {
    const cq_node *list = list_of(r, clay, "coat", "clay.coat", false);
    if (list == NULL) {
        return;
    }
    cq_coat_point *points = take(r, list->n, sizeof *points);
    for (size_t i = 0; points != NULL && i < list->n; i++) {
        char path[64], key[96];
        snprintf(path, sizeof path, "clay.coat.%zu.", i);
        const cq_node *point = map_in(r, list, i, path);
        if (point == NULL) {
            continue;
        }
        const cq_node *both = cq_node_find(point, "thickness"), *left = cq_node_find(point, "left"), *right = cq_node_find(point, "right");
        if (cq_node_find(point, "at") == NULL) {
            snprintf(key, sizeof key, "%sat", path);
            cq_reader_complain(r, CQ_ERR_PLAN, point, key, "the height of the point", "add at:", "no height");
        }
        if ((both == NULL) == (left == NULL && right == NULL) || (both == NULL && (left == NULL || right == NULL))) {
            snprintf(key, sizeof key, "%sthickness", path);
            cq_reader_complain(r, CQ_ERR_PLAN, point, key, "thickness: for both faces, or left: and right:", "", "neither or a mixture");
        }
        cq_reader_fields(r, point, CQ_OWNER_COAT, path, &points[i]);
        snprintf(key, sizeof key, "%sthickness", path);
        if (both != NULL && cq_reader_quantity(r, both, key, CQ_DIM_LENGTH, 0.0, 10e-3, &points[i].left_m)) {
            points[i].right_m = points[i].left_m;
        }
        if (i > 0 && points[i].at_m < points[i - 1].at_m) {
            snprintf(key, sizeof key, "%sat", path);
            cq_reader_complain(r, CQ_ERR_PLAN, point, key, "heights that do not fall from point to point", "sort the points from the edge up",
                               "%.4g mm after %.4g mm", 1e3 * points[i].at_m, 1e3 * points[i - 1].at_m);
        }
    }
    plan->coat.points = points;
    plan->coat.n = points == NULL ? 0 : list->n;
}

static void read_flat(cq_reader *r, const cq_node *clay, const char *which, double *thickness) {
    const cq_node *node = cq_node_find(clay, which);
    if (node != NULL && !(node->kind == CQ_NODE_TEXT && strcmp(node->text, "bare") == 0)) {
        char key[32];
        snprintf(key, sizeof key, "clay.%s", which);
        cq_reader_quantity(r, node, key, CQ_DIM_LENGTH, 0.0, 10e-3, thickness);
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
    plan->coat_was_wet = true;
}

static void read_clay_layer(cq_reader *r, const cq_node *root, cq_plan *plan) {
    const cq_node *clay = cq_node_find(root, "clay");
    if (clay == NULL) {
        return;
    }
    if (clay->kind != CQ_NODE_MAP) {
        cq_reader_complain(r, CQ_ERR_PLAN, clay, "clay", "a mapping with mix: and coat:", "", "something else");
        return;
    }
    cq_reader_fields(r, clay, CQ_OWNER_CLAY_LAYER, "clay.", plan);
    const cq_node *mix = cq_node_find(clay, "mix");
    if (mix == NULL) {
        cq_reader_complain(r, CQ_ERR_PLAN, clay, "clay.mix", "a clay profile's name or a mapping", "add mix:", "no mix");
    } else {
        const cq_node *map = cq_reader_resolve(r, mix, "clay", "clay.mix");
        if (map != NULL) {
            cq_read_clay(r, map, "clay.mix.", &plan->clay);
        }
    }
    read_coat(r, clay, plan);
    read_flat(r, clay, "edge", &plan->coat.edge_m);
    read_flat(r, clay, "spine", &plan->coat.spine_m);
    const cq_node *wet = cq_node_find(clay, "wet");
    if (wet != NULL) {
        if (wet->kind == CQ_NODE_TEXT && strcmp(wet->text, "true") == 0) {
            dry(plan);
        } else if (wet->kind != CQ_NODE_TEXT || strcmp(wet->text, "false") != 0) {
            cq_reader_complain(r, CQ_ERR_PLAN, wet, "clay.wet", "true or false", "", "'%.40s'", wet->kind == CQ_NODE_TEXT ? wet->text : "a mapping or list");
        }
    }
}

static void read_heat(cq_reader *r, const cq_node *root, cq_plan *plan) {
    const cq_node *heat = cq_node_find(root, "heat"), *start = cq_node_find(root, "start");
    if (heat != NULL && start != NULL) {
        cq_reader_complain(r, CQ_ERR_PLAN, start, "start", "heat: or start:, not both", "remove one of the two", "both");
        return;
    }
    if (heat == NULL && start == NULL) {
        cq_reader_complain(r, CQ_ERR_PLAN, root, "heat", "heat: {temperature:, hold:} or start:", "add one", "neither");
        return;
    }
    if (heat != NULL && heat->kind != CQ_NODE_MAP) {
        cq_reader_complain(r, CQ_ERR_PLAN, heat, "heat", "a mapping with temperature: and hold:", "", "something else");
    } else if (heat != NULL) {
        cq_reader_fields(r, heat, CQ_OWNER_HEAT, "heat.", plan);
        if (cq_node_find(heat, "temperature") == NULL) {
            cq_reader_complain(r, CQ_ERR_PLAN, heat, "heat.temperature", "the soak temperature", "add temperature:", "no temperature");
        }
    }
}

static void check_step(cq_reader *r, const cq_node *map, const char *path, const cq_step_plan *s) {
    char key[96];
    if (!(s->for_s > 0.0) && !(s->until_K > 0.0)) {
        snprintf(key, sizeof key, "%sfor", path);
        cq_reader_complain(r, CQ_ERR_PLAN, map, key, "for: or until:", "say when the step ends", "a step without an end");
    }
    if (s->until_K > 0.0 && s->until_K <= s->at_K + 0.5) {
        snprintf(key, sizeof key, "%suntil", path);
        cq_reader_complain(r, CQ_ERR_PLAN, cq_node_find(map, "until"), key, "a temperature above the bath's", "raise until: or cool the bath",
                           "until %.0f °C in a bath at %.0f °C: the blade never gets there", s->until_K - 273.15, s->at_K - 273.15);
    }
    if (s->at_K < s->bath.at_min_K - 1e-6 || s->at_K > s->bath.at_max_K + 1e-6) {
        const cq_node *at = cq_node_find(map, "at");
        char expected[96];
        snprintf(expected, sizeof expected, "%.0f to %.0f °C, where this bath's description holds", s->bath.at_min_K - 273.15, s->bath.at_max_K - 273.15);
        snprintf(key, sizeof key, "%sat", path);
        cq_reader_complain(r, CQ_ERR_PLAN, at == NULL ? map : at, key, expected, "", "%.0f °C", s->at_K - 273.15);
    }
}

static void read_steps(cq_reader *r, const cq_node *root, cq_plan *plan) {
    const cq_node *list = list_of(r, root, "steps", "steps", true);
    cq_step_plan *steps = list == NULL ? NULL : take(r, list->n, sizeof *steps);
    for (size_t i = 0; steps != NULL && i < list->n; i++) {
        char path[64], key[96];
        snprintf(path, sizeof path, "steps.%zu.", i);
        snprintf(key, sizeof key, "%sin", path);
        const cq_node *map = map_in(r, list, i, path);
        const cq_node *in = map == NULL ? NULL : cq_node_find(map, "in");
        if (in == NULL) {
            if (map != NULL) {
                cq_reader_complain(r, CQ_ERR_PLAN, map, key, "the bath", "add in:", "no bath");
            }
            continue;
        }
        const cq_node *bath = cq_reader_resolve(r, in, "bath", key);
        char deeper[112];
        snprintf(deeper, sizeof deeper, "%s.", key);
        const bool known = bath != NULL && cq_read_bath(r, bath, deeper, &steps[i].bath);
        steps[i].at_K = known ? steps[i].bath.at_K : 293.15;
        if (known && steps[i].bath.name == NULL && in->kind == CQ_NODE_MAP) {
            steps[i].bath.name = "own bath";
        }
        if (cq_reader_fields(r, map, CQ_OWNER_STEP, path, &steps[i]) == 0 && known) {
            check_step(r, map, path, &steps[i]);
        }
    }
    plan->steps = steps;
    plan->steps_n = steps == NULL ? 0 : list->n;
}

static void read_temper(cq_reader *r, const cq_node *root, cq_plan *plan) {
    const cq_node *list = list_of(r, root, "temper", "temper", false);
    cq_temper_plan *temper = list == NULL ? NULL : take(r, list->n, sizeof *temper);
    for (size_t i = 0; temper != NULL && i < list->n; i++) {
        char path[64];
        snprintf(path, sizeof path, "temper.%zu.", i);
        const cq_node *map = map_in(r, list, i, path);
        if (map != NULL && cq_reader_fields(r, map, CQ_OWNER_TEMPER, path, &temper[i]) == 0 &&
            (cq_node_find(map, "temperature") == NULL || cq_node_find(map, "for") == NULL)) {
            cq_reader_complain(r, CQ_ERR_PLAN, map, path, "temperature: and for:", "", "one of them is missing");
        }
    }
    plan->temper = temper;
    plan->temper_n = temper == NULL ? 0 : list->n;
}

/* Tolerances are kept for the many-run commands: relative in %, or a difference in its own unit. */
static void read_tolerances(cq_reader *r, const cq_node *root, cq_plan *plan) {
    static const struct {
        const char *key;
        cq_dimension dimension;
    } absolute[] = {{"bath-temperature", CQ_DIM_DIFFERENCE}, {"soak-temperature", CQ_DIM_DIFFERENCE}, {"rim-height", CQ_DIM_LENGTH},
                    {"time", CQ_DIM_TIME}};
    static const char *const relative[] = {"coat", "edge-coat", "clay-conductivity", "nose", "edge", "thickness", "rewetting"};
    const cq_node *map = cq_node_find(root, "tolerances");
    if (map == NULL) {
        return;
    }
    if (map->kind != CQ_NODE_MAP) {
        cq_reader_complain(r, CQ_ERR_PLAN, map, "tolerances", "a mapping, for instance {coat: 15 %}", "", "something else");
        return;
    }
    cq_tolerance_plan *list = take(r, map->n, sizeof *list);
    for (size_t e = 0; list != NULL && e < map->n; e++) {
        char key[128];
        snprintf(key, sizeof key, "tolerances.%s", map->key[e]);
        bool known = false;
        list[e].key = map->key[e];
        for (size_t k = 0; k < sizeof absolute / sizeof absolute[0]; k++) {
            if (strcmp(map->key[e], absolute[k].key) == 0) {
                known = true;
                cq_reader_quantity(r, map->item[e], key, absolute[k].dimension, 0, 0, &list[e].value);
            }
        }
        for (size_t k = 0; k < sizeof relative / sizeof relative[0]; k++) {
            if (strcmp(map->key[e], relative[k]) == 0) {
                known = list[e].relative = true;
                cq_reader_quantity(r, map->item[e], key, CQ_DIM_SHARE, 0.0, 2.0, &list[e].value);
            }
        }
        if (!known) {
            cq_reader_complain(r, CQ_ERR_PLAN, &map->key_at[e], key,
                               "coat, edge-coat, clay-conductivity, nose, edge, thickness, rewetting, bath-temperature, soak-temperature, rim-height or time", "",
                               "unknown tolerance '%.40s'", map->key[e]);
        }
    }
    plan->tolerances = list;
    plan->tolerances_n = list == NULL ? 0 : map->n;
}

static void read_probes(cq_reader *r, const cq_node *record, cq_plan *plan) {
    const cq_node *list = list_of(r, record, "probes", "record.probes", false);
    cq_probe_plan *probes = list == NULL ? NULL : take(r, list->n, sizeof *probes);
    for (size_t i = 0; probes != NULL && i < list->n; i++) {
        char path[64], key[96];
        snprintf(path, sizeof path, "record.probes.%zu.", i);
        const cq_node *map = map_in(r, list, i, path);
        if (map == NULL) {
            continue;
        }
        cq_reader_fields(r, map, CQ_OWNER_PROBE, path, &probes[i]);
        if (probes[i].name == NULL) {
            cq_reader_complain(r, CQ_ERR_PLAN, map, path, "name: and at:", "name the probe", "a probe without a name");
            probes[i].name = "?";
        }
        for (size_t p = 0; p < i; p++) {
            if (strcmp(probes[p].name, probes[i].name) == 0) {
                cq_reader_complain(r, CQ_ERR_PLAN, map, path, "a name of its own", "rename the probe", "two probes named '%.40s'", probes[i].name);
            }
        }
        const cq_node *face = cq_node_find(map, "face");
        snprintf(key, sizeof key, "%sface", path);
        if (face != NULL) {
            const char *word = face->kind == CQ_NODE_TEXT ? face->text : "";
            probes[i].face = strcmp(word, "left") == 0 ? CQ_FACE_LEFT : strcmp(word, "right") == 0 ? CQ_FACE_RIGHT : CQ_FACE_MID;
            if (probes[i].face == CQ_FACE_MID && strcmp(word, "mid") != 0) {
                cq_reader_complain(r, CQ_ERR_PLAN, face, key, "mid, left or right", "", "'%.40s'", word);
            }
        }
    }
    plan->probes = probes;
    plan->probes_n = probes == NULL ? 0 : list->n;
}

static void read_record(cq_reader *r, const cq_node *root, cq_plan *plan) {
    const cq_node *record = cq_node_find(root, "record");
    if (record == NULL) {
        return;
    }
    if (record->kind != CQ_NODE_MAP) {
        cq_reader_complain(r, CQ_ERR_PLAN, record, "record", "a mapping", "", "something else");
        return;
    }
    cq_reader_fields(r, record, CQ_OWNER_RECORD, "record.", plan);
    read_probes(r, record, plan);
    const cq_node *list = list_of(r, record, "times", "record.times", false);
    double *times = list == NULL ? NULL : take(r, list->n, sizeof *times);
    for (size_t i = 0; times != NULL && i < list->n; i++) {
        char key[64];
        snprintf(key, sizeof key, "record.times.%zu", i);
        cq_reader_quantity(r, list->item[i], key, CQ_DIM_TIME, 0.0, 1e6, &times[i]);
        if (i > 0 && !(times[i] > times[i - 1])) {
            cq_reader_complain(r, CQ_ERR_PLAN, list->item[i], key, "times that rise", "sort them", "'%.40s'", list->item[i]->kind == CQ_NODE_TEXT ? list->item[i]->text : "");
        }
    }
    plan->times_s = times;
    plan->times_n = times == NULL ? 0 : list->n;
}

static void read_map(cq_reader *r, const cq_node *root, const char *key, cq_owner owner, const char *path, cq_plan *plan) {
    const cq_node *map = cq_node_find(root, key);
    if (map != NULL && map->kind == CQ_NODE_MAP) {
        cq_reader_fields(r, map, owner, path, plan);
    } else if (map != NULL) {
        cq_reader_complain(r, CQ_ERR_PLAN, map, key, "a mapping", "", "something else");
    }
}

void cq_read_plan(cq_reader *r, const cq_node *root, cq_plan *plan) {
    cq_reader_fields(r, root, CQ_OWNER_PLAN, "", plan);
    const cq_node *blade = cq_node_find(root, "blade"), *steel = cq_node_find(root, "steel");
    if (blade == NULL) {
        cq_reader_complain(r, CQ_ERR_PLAN, root, "blade", "a mapping or the name of a blade profile", "add blade:", "no blade");
    } else if ((blade = cq_reader_resolve(r, blade, "blade", "blade")) != NULL) {
        cq_read_blade(r, blade, "blade.", &plan->blade);
    }
    if (steel == NULL) {
        cq_reader_complain(r, CQ_ERR_PLAN, root, "steel", "the name of a steel profile or a mapping", "add steel:", "no steel");
    } else if ((steel = cq_reader_resolve(r, steel, "steel", "steel")) != NULL) {
        cq_read_steel(r, steel, "steel.", &plan->steel);
    }
    read_clay_layer(r, root, plan);
    read_heat(r, root, plan);
    read_steps(r, root, plan);
    read_temper(r, root, plan);
    read_map(r, root, "finish", CQ_OWNER_FINISH, "finish.", plan);
    read_tolerances(r, root, plan);
    read_record(r, root, plan);
    read_map(r, root, "grid", CQ_OWNER_GRID, "grid.", plan);
}
