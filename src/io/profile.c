/* profile.c - blade, steel, clay and bath mappings into their descriptions. */
#include "io/reader.h"

#include "boundary/brine.h"

#include <stdio.h>
#include <string.h>

static const char *text_of(const cq_node *map, const char *key) {
    const cq_node *node = cq_node_find(map, key);
    return node != NULL && node->kind == CQ_NODE_TEXT ? node->text : NULL;
}

/* ---- blade ------------------------------------------------------------------------------------------------------- */

void cq_read_blade(cq_reader *r, const cq_node *map, const char *path, cq_blade *blade) {
    memset(blade, 0, sizeof *blade);
    blade->name = text_of(map, "name");
    blade->summary = text_of(map, "summary");
    const int family = cq_reader_choice(map, CQ_OWNER_BLADE, "section");
    cq_reader_fields(r, map, CQ_OWNER_BLADE, family, path, blade);
    const cq_node *ridge = cq_node_find(map, "ridge");
    char key[CQ_KEY_SIZE], found[128];
    if (ridge != NULL && family == CQ_FAMILY_RIDGED) {
        if (ridge->kind == CQ_NODE_MAP) {
            cq_reader_fields(r, ridge, CQ_OWNER_RIDGE, 0, cq_key_join(key, "%sridge.", path), blade);
        } else {
            cq_reader_complain(r, ridge, cq_key_join(key, "%sridge", path), "a mapping with at: and thickness:", "",
                               "%s", cq_node_words(ridge, found, sizeof found));
        }
    }
    if (family == CQ_FAMILY_CONVEX && cq_node_find(map, "bulge") == NULL) {
        /* an arc of this sagitta is parallel to the mid-plane at the spine (small slopes) */
        blade->bulge_m = blade->spine_m > blade->edge_m ? (blade->spine_m - blade->edge_m) / 8.0 : 0.0;
    }
}

/* ---- steel ------------------------------------------------------------------------------------------------------- */

/* Elements of a composition or a batch, which may stand under `value` with its source. */
static void read_elements(cq_reader *r, const cq_node *steel, const char *name, const char *path, cq_composition *c) {
    const cq_node *node = cq_node_find(steel, name);
    if (node == NULL) {
        return;
    }
    char key[CQ_KEY_SIZE], found[128];
    const cq_node *elements = cq_reader_value(node);
    if (elements != node) {
        cq_reader_fields(r, node, CQ_OWNER_VALUE, 0, cq_key_join(key, "%s%s.", path, name), NULL);
    }
    if (elements->kind != CQ_NODE_MAP) {
        cq_reader_complain(r, elements, cq_key_join(key, "%s%s", path, name),
                           "elements, for instance {C: 0.84 %, Mn: 0.75 %}", "", "%s",
                           cq_node_words(elements, found, sizeof found));
        return;
    }
    cq_reader_fields(r, elements, CQ_OWNER_ELEMENTS, 0, cq_key_join(key, "%s%s.", path, name), c);
}

void cq_read_steel(cq_reader *r, const cq_node *map, const char *path, cq_steel *steel) {
    memset(steel, 0, sizeof *steel);
    cq_fields_default(CQ_OWNER_STEEL, steel);
    steel->name = text_of(map, "name");
    steel->summary = text_of(map, "summary");
    const int kind =
        cq_node_find(map, "kind") == NULL ? CQ_STEEL_TRANSFORMING : cq_reader_choice(map, CQ_OWNER_STEEL, "kind");
    cq_reader_fields(r, map, CQ_OWNER_STEEL, kind, path, steel);
    if (kind != CQ_STEEL_TRANSFORMING) {
        return;
    }
    const size_t faults = r->faults;
    read_elements(r, map, "composition", path, &steel->composition_wt);
    read_elements(r, map, "batch", path, &steel->composition_wt);
    if (r->faults == faults && r->status >= 0 && !(steel->composition_wt.C > 0.0)) {
        char key[CQ_KEY_SIZE];
        cq_reader_complain(r, map, cq_key_join(key, "%scomposition", path), "a steel with carbon",
                           "add from:, composition: or batch:", "no carbon");
    }
}

/* ---- clay and bath ----------------------------------------------------------------------------------------------- */

/* Gas in closed pores of a solid, whose own conduction counts for nothing: k = ks 2 (1 - p) / (2 + p) [maxwell1873]. Flat cracks lower
 * it further. */
static void conduct_by_porosity(cq_reader *r, const cq_node *map, const char *path, cq_clay *clay) {
    char key[CQ_KEY_SIZE];
    if (!(clay->solid_conductivity_W_mK > 0.0)) {
        cq_reader_complain(r, map, cq_key_join(key, "%sconductivity", path), cq_dimension_words(CQ_DIM_CONDUCTIVITY),
                           "add conductivity:, or solid-conductivity: and porosity:", "no 'conductivity'");
        return;
    }
    double *at = cq_reader_take(r, 2, sizeof *at);
    if (at != NULL) {
        at[0] = 293.15;
        at[1] = clay->solid_conductivity_W_mK * 2.0 * (1.0 - clay->porosity) / (2.0 + clay->porosity);
        clay->conductivity_W_mK = (cq_table){1, at, at + 1, CQ_INTERPOLATE_LINEAR};
    }
}

void cq_read_clay(cq_reader *r, const cq_node *map, const char *path, cq_clay *clay) {
    memset(clay, 0, sizeof *clay);
    cq_fields_default(CQ_OWNER_CLAY, clay);
    clay->name = text_of(map, "name");
    clay->summary = text_of(map, "summary");
    clay->drying_factor = 1.0;
    cq_reader_fields(r, map, CQ_OWNER_CLAY, 0, path, clay);
    if (cq_node_find(map, "conductivity") == NULL) {
        conduct_by_porosity(r, map, path, clay);
    }
}

/* Bath temperatures for which the description holds, unless its range: says otherwise. */
static void default_range(cq_bath *bath, int kind) {
    bath->at_min_K = kind == CQ_BATH_BOILING ? cq_brine_freezing_K(bath->salt) : 243.15;
    bath->at_max_K = kind == CQ_BATH_BOILING ? 371.15 : 573.15;
}

static void read_range(cq_reader *r, const cq_node *map, const char *path, cq_bath *bath) {
    const cq_node *node = cq_node_find(map, "range");
    char key[CQ_KEY_SIZE], part[CQ_KEY_SIZE], found[128];
    if (node == NULL) {
        return;
    }
    const cq_node *list = cq_reader_value(node);
    if (list != node) {
        cq_reader_fields(r, node, CQ_OWNER_VALUE, 0, cq_key_join(key, "%srange.", path), NULL);
    }
    cq_key_join(key, "%srange", path);
    if (list->kind != CQ_NODE_LIST || list->n != 2) {
        cq_reader_complain(r, list, key, "[lowest, highest] temperature", "", "%s",
                           list->kind == CQ_NODE_LIST ? "a list of another length"
                                                      : cq_node_words(list, found, sizeof found));
        return;
    }
    const bool low = cq_reader_quantity(r, list->item[0], cq_key_join(part, "%s.0", key), CQ_DIM_TEMPERATURE, 73.15,
                                        1273.15, &bath->at_min_K);
    const bool high = cq_reader_quantity(r, list->item[1], cq_key_join(part, "%s.1", key), CQ_DIM_TEMPERATURE, 73.15,
                                         1273.15, &bath->at_max_K);
    if (low && high && !(bath->at_max_K > bath->at_min_K)) {
        cq_reader_complain(r, list, key, "[lowest, highest] temperature", "swap the two?", "'%.40s' above '%.40s'",
                           list->item[0]->text, list->item[1]->text);
    }
}

void cq_read_bath(cq_reader *r, const cq_node *map, const char *path, cq_bath *bath) {
    memset(bath, 0, sizeof *bath);
    cq_fields_default(CQ_OWNER_BATH, bath);
    bath->name = text_of(map, "name");
    bath->summary = text_of(map, "summary");
    const int kind = cq_reader_choice(map, CQ_OWNER_BATH, "kind");
    if (kind != CQ_BATH_BOILING && kind != CQ_BATH_OIL) {
        bath->scale_m = 0.0; /* a measured table has it folded in, and in a gas it does not count */
    }
    if (kind == CQ_BATH_GAS) {
        bath->at_K = 293.15;
    }
    cq_reader_fields(r, map, CQ_OWNER_BATH, kind, path, bath);
    default_range(bath, kind);
    read_range(r, map, path, bath);
}
