/* zones_read.c - zones:, skin: and heat.fire: of a plan. */
#include "io/reader.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static bool is_map(cq_reader *r, const cq_node *node, const char *key, const char *expected) {
    char found[128];
    if (node->kind == CQ_NODE_MAP) {
        return true;
    }
    cq_reader_complain(r, node, key, expected, "", "%s", cq_node_words(node, found, sizeof found));
    return false;
}

/* A list of 1 to `most` entries; NULL if there is none, or after a complaint. */
static const cq_node *list_under(cq_reader *r, const cq_node *map, const char *name, const char *key, size_t most) {
    const cq_node *list = cq_node_find(map, name);
    char found[128], expected[64];
    if (list == NULL) {
        return NULL;
    }
    if (list->kind != CQ_NODE_LIST || list->n == 0 || list->n > most) {
        snprintf(expected, sizeof expected, "a list of 1 to %zu entries", most);
        cq_reader_complain(r, list, key, expected, "", "%s",
                           list->kind != CQ_NODE_LIST ? cq_node_words(list, found, sizeof found)
                           : list->n == 0             ? "an empty list"
                                                      : "a longer list");
        return NULL;
    }
    return list;
}

static void read_steel_of(cq_reader *r, const cq_node *map, const char *name, const char *key, cq_steel *steel) {
    const cq_node *node = cq_node_find(map, name);
    const cq_node *found = node == NULL ? NULL : cq_reader_resolve(r, node, "steel", key);
    char path[CQ_KEY_SIZE];
    if (found != NULL) {
        cq_read_steel(r, found, cq_key_join(path, "%s.", key), steel);
    }
}

/* ---- pieces ------------------------------------------------------------------------------------------------------ */

static void read_point(cq_reader *r, const cq_node *triple, const char *key, cq_zone_point *point) {
    char part[CQ_KEY_SIZE], found[128];
    double *const values[] = {&point->at_m, &point->from_m, &point->to_m};
    if (triple->kind != CQ_NODE_LIST || triple->n != 3) {
        cq_reader_complain(r, triple, key, "[height, from, to], for instance [8 mm, -0.5 mm, 0.5 mm]", "", "%s",
                           triple->kind == CQ_NODE_LIST ? "a list of another length"
                                                        : cq_node_words(triple, found, sizeof found));
        return;
    }
    for (size_t n = 0; n < 3; n++) {
        cq_reader_quantity(r, triple->item[n], cq_key_join(part, "%s.%zu", key, n), CQ_DIM_LENGTH, n == 0 ? 0.0 : -0.1,
                           0.2, values[n]);
    }
}

static void read_outline(cq_reader *r, const cq_node *piece, const char *path, cq_zone *zone) {
    char key[CQ_KEY_SIZE], item[CQ_KEY_SIZE];
    cq_key_join(key, "%soutline", path);
    const cq_node *list = list_under(r, piece, "outline", key, 200);
    cq_zone_point *points = list == NULL ? NULL : cq_reader_take(r, list->n, sizeof *points);
    for (size_t i = 0; points != NULL && i < list->n; i++) {
        points[i] = (cq_zone_point){NAN, NAN, NAN};
        read_point(r, list->item[i], cq_key_join(item, "%s.%zu", key, i), &points[i]);
    }
    zone->points = points;
    zone->n = points == NULL ? 0 : list->n;
}

static void read_pieces(cq_reader *r, const cq_node *map, cq_zones *z) {
    const cq_node *list = list_under(r, map, "pieces", "zones.pieces", CQ_ZONES_MOST);
    cq_zone *zone = list == NULL ? NULL : cq_reader_take(r, list->n, sizeof *zone);
    size_t rests = 0;
    for (size_t n = 0; zone != NULL && n < list->n; n++) {
        char path[CQ_KEY_SIZE], key[CQ_KEY_SIZE];
        cq_key_join(key, "zones.pieces.%zu", n);
        cq_key_join(path, "%s.", key);
        if (!is_map(r, list->item[n], key, "a mapping with steel: and outline:")) {
            continue;
        }
        cq_reader_fields(r, list->item[n], CQ_OWNER_PIECE, 0, path, &zone[n]);
        read_steel_of(r, list->item[n], "steel", cq_key_join(key, "%ssteel", path), &zone[n].steel);
        read_outline(r, list->item[n], path, &zone[n]);
        rests += cq_node_find(list->item[n], "outline") == NULL ? 1 : 0;
        if (rests > 1) {
            cq_reader_complain(r, list->item[n], cq_key_join(key, "%soutline", path),
                               "an outline: one zone only takes the rest", "add outline:", "a second zone without one");
            rests = 1;
        }
    }
    z->zone = zone;
    z->n = zone == NULL ? 0 : list->n;
}

/* ---- the whole --------------------------------------------------------------------------------------------------- */

static void read_two(cq_reader *r, const cq_node *map, cq_zones *z) {
    cq_zone *zone = cq_reader_take(r, 2, sizeof *zone);
    if (zone != NULL) {
        zone[CQ_ZONE_HARD].name = "hard";
        zone[CQ_ZONE_SOFT].name = "soft";
        read_steel_of(r, map, "hard", "zones.hard", &zone[CQ_ZONE_HARD].steel);
        read_steel_of(r, map, "soft", "zones.soft", &zone[CQ_ZONE_SOFT].steel);
        z->zone = zone;
        z->n = 2;
    }
}

static void read_heats(cq_reader *r, const cq_node *map, cq_zones *z) {
    const cq_node *list = list_under(r, map, "heats", "zones.heats", 200);
    cq_weld_heat *heats = list == NULL ? NULL : cq_reader_take(r, list->n, sizeof *heats);
    for (size_t n = 0; heats != NULL && n < list->n; n++) {
        char path[CQ_KEY_SIZE], key[CQ_KEY_SIZE];
        cq_key_join(key, "zones.heats.%zu", n);
        if (is_map(r, list->item[n], key, "a heat, for instance {temperature: 1150 °C, for: 2 min}")) {
            cq_reader_fields(r, list->item[n], CQ_OWNER_WELD, 0, cq_key_join(path, "%s.", key), &heats[n]);
        }
    }
    z->heats = heats;
    z->heats_n = heats == NULL ? 0 : list->n;
}

/* The zone in the middle of the edge. */
static size_t edge_zone(const cq_zones *z) {
    size_t rest = 0;
    for (size_t n = 0; n < z->n && z->build == CQ_BUILD_PIECES; n++) {
        const cq_zone *zone = &z->zone[n];
        if (zone->n > 0 && !(zone->points[0].at_m > 0.0) && zone->points[0].from_m <= 0.0 &&
            zone->points[0].to_m > 0.0) {
            return n;
        }
        rest = zone->n == 0 ? n : rest;
    }
    return rest;
}

void cq_read_zones(cq_reader *r, const cq_node *root, cq_plan *plan) {
    const cq_node *map = cq_node_find(root, "zones");
    cq_zones *z = &plan->zones;
    if (!is_map(r, map, "zones", "a mapping with build: and steels")) {
        return;
    }
    const int build = cq_reader_choice(map, CQ_OWNER_ZONES, "build");
    cq_reader_fields(r, map, CQ_OWNER_ZONES, build, "zones.", z);
    if (build < 0) {
        return;
    }
    if (build == CQ_BUILD_PIECES) {
        read_pieces(r, map, z);
    } else {
        read_two(r, map, z);
    }
    read_heats(r, map, z);
    if (z->n > 0) {
        z->edge = edge_zone(z);
        plan->steel = z->zone[z->edge].steel;
    }
}

void cq_read_skin(cq_reader *r, const cq_node *root, cq_plan *plan) {
    const cq_node *map = cq_node_find(root, "skin");
    if (map != NULL && is_map(r, map, "skin", "a mapping: {depth: 0.1 mm}, or {temperature: 900 °C, for: 10 min}")) {
        cq_reader_fields(r, map, CQ_OWNER_SKIN, 0, "skin.", &plan->skin);
        if (cq_node_find(map, "depth") == NULL && cq_node_find(map, "temperature") == NULL &&
            cq_node_find(map, "for") == NULL) {
            cq_reader_complain(r, map, "skin", "depth:, or temperature: and for:", "", "a skin of no depth");
        }
    }
}

void cq_read_fire(cq_reader *r, const cq_node *heat, const char *path, cq_plan *plan) {
    const cq_node *map = cq_node_find(heat, "fire");
    char key[CQ_KEY_SIZE], deeper[CQ_KEY_SIZE];
    if (map == NULL || !is_map(r, map, cq_key_join(key, "%sfire", path),
                               "a mapping, for instance {temperature: 950 °C, film: 200 W/m^2/K, for: 4 min}")) {
        return;
    }
    cq_fields_default(CQ_OWNER_FIRE, &plan->heat.fire);
    cq_reader_fields(r, map, CQ_OWNER_FIRE, 0, cq_key_join(deeper, "%s.", key), &plan->heat.fire);
    if (cq_node_find(heat, "hold") != NULL) {
        cq_reader_complain(r, cq_node_key(heat, "hold"), cq_key_join(deeper, "%shold", path),
                           "no hold beside fire: fire.for says how long", "remove it", "both");
    }
}
