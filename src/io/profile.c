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

/* The mapping under `name` of a blade, field by field. */
static void read_part(cq_reader *r, const cq_node *map, const char *name, cq_owner owner, int family, const char *path,
                      cq_blade *blade) {
    const cq_node *part = cq_node_find(map, name);
    char key[CQ_KEY_SIZE], keys[128], found[128];
    if (part == NULL) {
        return;
    }
    if (part->kind == CQ_NODE_MAP) {
        cq_reader_fields(r, part, owner, family, cq_key_join(key, "%s%s.", path, name), blade);
    } else {
        char expected[160];
        snprintf(expected, sizeof expected, "a mapping with %s", cq_field_list(owner, keys, sizeof keys));
        cq_reader_complain(r, part, cq_key_join(key, "%s%s", path, name), expected, "", "%s",
                           cq_node_words(part, found, sizeof found));
    }
}

/* One [height, distance] of an outline; both are read, so that both faults are told. */
static void read_outline_point(cq_reader *r, const cq_node *pair, const char *key, double least_m,
                               cq_outline_point *point) {
    char part[CQ_KEY_SIZE], found[128];
    if (pair->kind != CQ_NODE_LIST || pair->n != 2) {
        cq_reader_complain(r, pair, key, "a pair, for instance [8 mm, 1.2 mm]", "", "%s",
                           pair->kind == CQ_NODE_LIST ? "a list of another length"
                                                      : cq_node_words(pair, found, sizeof found));
        return;
    }
    cq_reader_quantity(r, pair->item[0], cq_key_join(part, "%s.0", key), CQ_DIM_LENGTH, 0.0, 0.2, &point->at_m);
    cq_reader_quantity(r, pair->item[1], cq_key_join(part, "%s.1", key), CQ_DIM_LENGTH, least_m, 30e-3, &point->out_m);
}

/* The list under `name`; NULL after a complaint. */
static const cq_outline_point *read_outline(cq_reader *r, const cq_node *map, const char *name, const char *path,
                                            double least_m, size_t *n) {
    const cq_node *node = cq_node_find(map, name), *list = cq_reader_value(node);
    char key[CQ_KEY_SIZE], found[128];
    if (list != node) { /* under `value`, with its source */
        cq_reader_fields(r, node, CQ_OWNER_VALUE, 0, cq_key_join(key, "%s%s.", path, name), NULL);
    }
    cq_key_join(key, "%s%s", path, name);
    if (list->kind != CQ_NODE_LIST || list->n < 2) {
        cq_reader_complain(r, list, key, "two points or more, for instance [[0 mm, 0.6 mm], [28 mm, 1.6 mm]]", "", "%s",
                           list->kind == CQ_NODE_LIST ? "a shorter list" : cq_node_words(list, found, sizeof found));
        return NULL;
    }
    cq_outline_point *points = cq_reader_take(r, list->n, sizeof *points);
    for (size_t i = 0; points != NULL && i < list->n; i++) {
        char item[CQ_KEY_SIZE];
        read_outline_point(r, list->item[i], cq_key_join(item, "%s.%zu", key, i), least_m, &points[i]);
    }
    *n = list->n;
    return points;
}

/* points: for both faces, or left: and right:. Height, edge and spine follow from their ends. */
static void read_outlines(cq_reader *r, const cq_node *map, const char *path, cq_blade *b) {
    const bool points = cq_node_find(map, "points") != NULL, left = cq_node_find(map, "left") != NULL,
               right = cq_node_find(map, "right") != NULL;
    char key[CQ_KEY_SIZE];
    if (points ? left || right : !left || !right) {
        const char *at = points ? (left ? "left" : "right") : left ? "left" : "right";
        cq_reader_complain(r, cq_node_key(map, at), cq_key_join(key, "%spoints", path),
                           "points: for both faces, or left: and right:", points ? "remove one of them" : "", "%s",
                           points          ? "both ways at once"
                           : left || right ? "one face only"
                                           : "an outline without points");
        return;
    }
    if (points) {
        const double least_m = 0.05e-3; /* half of what an edge may be */
        b->left = b->right = read_outline(r, map, "points", path, least_m, &b->left_n);
        b->right_n = b->left_n;
    } else {
        b->left = read_outline(r, map, "left", path, -30e-3, &b->left_n);
        b->right = read_outline(r, map, "right", path, -30e-3, &b->right_n);
    }
    if (b->left != NULL && b->right != NULL) {
        b->height_m = b->left[b->left_n - 1].at_m;
        b->edge_m = b->left[0].out_m + b->right[0].out_m;
        b->spine_m = b->left[b->left_n - 1].out_m + b->right[b->right_n - 1].out_m;
    }
}

void cq_read_blade(cq_reader *r, const cq_node *map, const char *path, cq_blade *blade) {
    memset(blade, 0, sizeof *blade);
    blade->name = text_of(map, "name");
    blade->summary = text_of(map, "summary");
    const int family = cq_reader_choice(map, CQ_OWNER_BLADE, "section");
    cq_reader_fields(r, map, CQ_OWNER_BLADE, family, path, blade);
    const bool ridged = family == CQ_FAMILY_RIDGED || family == CQ_FAMILY_ONE_SIDED || family == CQ_FAMILY_DOUBLE_EDGED;
    if (ridged) {
        read_part(r, map, "ridge", CQ_OWNER_RIDGE, family, path, blade);
    }
    if (family >= 0 && family < CQ_FAMILY_PLATE) {
        read_part(r, map, "groove", CQ_OWNER_GROOVE, 0, path, blade);
    }
    const double eighth = blade->spine_m > blade->edge_m ? (blade->spine_m - blade->edge_m) / 8.0 : 0.0;
    if (family == CQ_FAMILY_CONVEX && cq_node_find(map, "bulge") == NULL) {
        blade->bulge_m = eighth; /* an arc of this sagitta is parallel to the mid-plane at the spine (small slopes) */
    } else if (family == CQ_FAMILY_HOLLOW && cq_node_find(map, "hollow") == NULL) {
        blade->hollow_m = eighth; /* the same at the edge */
    } else if (family == CQ_FAMILY_DOUBLE_EDGED) {
        blade->spine_m = cq_node_find(map, "spine") == NULL ? blade->edge_m : blade->spine_m;
        const cq_node *ridge = cq_node_find(map, "ridge");
        blade->ridge_at_m = cq_node_find(ridge, "at") == NULL ? 0.5 * blade->height_m : blade->ridge_at_m;
    } else if (family == CQ_FAMILY_OUTLINE) {
        read_outlines(r, map, path, blade);
    }
}

/* ---- steel ------------------------------------------------------------------------------------------------------- */

/* Elements of a composition or a batch, which may stand under `value` with its source. */
void cq_read_elements(cq_reader *r, const cq_node *steel, const char *name, const char *path, cq_composition *c) {
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

/* What a certificate names is known: to about 0.02 % (common practice, no source). */
static void narrow_by_batch(cq_composition *scatter, const cq_node *batch) {
    static const double CERTIFIED_WT = 0.02;
    const cq_node *elements = batch == NULL ? NULL : cq_reader_value(batch);
#define NARROW(element)                                                                                                \
    if (cq_node_find(elements, #element) != NULL && scatter->element > CERTIFIED_WT) {                                 \
        scatter->element = CERTIFIED_WT;                                                                               \
    }
    CQ_ELEMENT_LIST(NARROW)
#undef NARROW
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
    cq_read_elements(r, map, "composition", path, &steel->composition_wt);
    cq_read_diagram(r, map, path, steel);
    cq_read_elements(r, map, "batch", path, &steel->composition_wt);
    cq_read_elements(r, map, "scatter", path, &steel->scatter_wt);
    narrow_by_batch(&steel->scatter_wt, cq_node_find(map, "batch"));
    if (r->faults == faults && r->status >= 0 && !(steel->composition_wt.C > 0.0)) {
        char key[CQ_KEY_SIZE];
        const cq_node *batch = cq_node_find(map, "batch");
        const bool emptied = batch != NULL && cq_node_find(batch, "C") != NULL;
        cq_reader_complain(r, emptied ? batch : map, cq_key_join(key, emptied ? "%sbatch.C" : "%scomposition", path),
                           "a steel with carbon",
                           emptied ? "a carbon content above zero; the grade's holds where the batch is silent"
                                   : "add from:, composition: or batch:",
                           emptied ? "a batch without carbon" : "no carbon");
    }
}

/* ---- clay and bath ----------------------------------------------------------------------------------------------- */

/* Gas in closed pores of a solid, whose own conduction counts for nothing: k = ks 2 (1 - p) / (2 + p) [maxwell1873].
 * Flat cracks lower it further. */
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
