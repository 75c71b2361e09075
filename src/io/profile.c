/* profile.c - blade, steel, clay and bath mappings into their descriptions. */
#include "io/reader.h"

#include <stdio.h>
#include <string.h>

/* Index of `text` in a list of words; a complaint and -1 if it is none of them. */
static int choose(cq_reader *r, const cq_node *at, const char *key, const char *const *words, int n, const char *expected) {
    for (int w = 0; at->kind == CQ_NODE_TEXT && w < n; w++) {
        if (strcmp(at->text, words[w]) == 0) {
            return w;
        }
    }
    cq_reader_complain(r, CQ_ERR_PLAN, at, key, expected, "", "'%.60s'", at->kind == CQ_NODE_TEXT ? at->text : "a mapping or list");
    return -1;
}

static const char *text_of(const cq_node *map, const char *key) {
    const cq_node *node = cq_node_find(map, key);
    return node != NULL && node->kind == CQ_NODE_TEXT ? node->text : NULL;
}

static bool need(cq_reader *r, const cq_node *map, const char *path, const char *const *keys, size_t n) {
    bool all = true;
    for (size_t k = 0; k < n; k++) {
        if (cq_node_find(map, keys[k]) == NULL) {
            char key[128];
            snprintf(key, sizeof key, "%s%s", path, keys[k]);
            cq_reader_complain(r, CQ_ERR_PLAN, map, key, "this key", "add it", "nothing under '%s'", keys[k]);
            all = false;
        }
    }
    return all;
}

/* ---- blade ------------------------------------------------------------------------------------------------------- */

bool cq_read_blade(cq_reader *r, const cq_node *map, const char *path, cq_blade *blade) {
    static const char *const families[] = {"flat", "convex", "ridged", "plate", "round"};
    static const char *const later[] = {"hollow", "one-sided", "double-edged", "outline"};
    memset(blade, 0, sizeof *blade);
    blade->name = text_of(map, "name");
    blade->summary = text_of(map, "summary");
    char key[128];
    snprintf(key, sizeof key, "%ssection", path);
    const cq_node *section = cq_node_find(map, "section");
    if (section == NULL) {
        cq_reader_complain(r, CQ_ERR_PLAN, map, key, "flat, convex, ridged, plate or round", "add section:", "no section");
        return false;
    }
    for (size_t w = 0; section->kind == CQ_NODE_TEXT && w < sizeof later / sizeof later[0]; w++) {
        if (strcmp(section->text, later[w]) == 0) {
            cq_reader_complain(r, CQ_ERR_PLAN, section, key, "flat, convex, ridged, plate or round", "this family comes in a later version",
                               "'%s'", section->text);
            return false;
        }
    }
    const int family = choose(r, section, key, families, CQ_FAMILIES, "flat, convex, ridged, plate or round");
    size_t faults = cq_reader_fields(r, map, CQ_OWNER_BLADE, path, blade);
    const cq_node *ridge = cq_node_find(map, "ridge");
    if (ridge != NULL) {
        char deeper[128];
        snprintf(deeper, sizeof deeper, "%sridge.", path);
        if (ridge->kind == CQ_NODE_MAP) {
            faults += cq_reader_fields(r, ridge, CQ_OWNER_RIDGE, deeper, blade);
            faults += !need(r, ridge, deeper, (const char *const[]){"at", "thickness"}, 2);
        } else {
            cq_reader_complain(r, CQ_ERR_PLAN, ridge, deeper, "a mapping with at: and thickness:", "", "something else");
            faults++;
        }
    }
    if (family < 0) {
        return false;
    }
    blade->family = (cq_family)family;
    static const char *const shaped[] = {"height", "edge", "spine"}, *const ridged[] = {"height", "edge", "spine", "ridge"};
    static const char *const plate[] = {"thickness"}, *const round[] = {"diameter"};
    const bool whole = blade->family == CQ_FAMILY_PLATE   ? need(r, map, path, plate, 1)
                       : blade->family == CQ_FAMILY_ROUND ? need(r, map, path, round, 1)
                       : blade->family == CQ_FAMILY_RIDGED ? need(r, map, path, ridged, 4)
                                                           : need(r, map, path, shaped, 3);
    return whole && faults == 0;
}

/* ---- steel ------------------------------------------------------------------------------------------------------- */

static bool read_composition(cq_reader *r, const cq_node *map, const char *path, cq_composition *c) {
    static const struct {
        const char *symbol;
        size_t offset;
        double most_wt;
    } elements[] = {{"C", offsetof(cq_composition, C), 2.0},    {"Si", offsetof(cq_composition, Si), 3.0},
                    {"Mn", offsetof(cq_composition, Mn), 3.0},  {"Cr", offsetof(cq_composition, Cr), 20.0},
                    {"Ni", offsetof(cq_composition, Ni), 15.0}, {"Mo", offsetof(cq_composition, Mo), 6.0},
                    {"V", offsetof(cq_composition, V), 5.0},    {"W", offsetof(cq_composition, W), 10.0},
                    {"Cu", offsetof(cq_composition, Cu), 3.0},  {"Al", offsetof(cq_composition, Al), 2.0},
                    {"P", offsetof(cq_composition, P), 0.5},    {"S", offsetof(cq_composition, S), 0.5}};
    const size_t n = sizeof elements / sizeof elements[0];
    bool good = map->kind == CQ_NODE_MAP;
    if (!good) {
        cq_reader_complain(r, CQ_ERR_PLAN, map, path, "a mapping of elements, for instance {C: 0.84 %, Mn: 0.75 %}", "", "something else");
    }
    double sum = 0.0;
    for (size_t e = 0; good && e < map->n; e++) {
        char key[160];
        snprintf(key, sizeof key, "%s.%s", path, map->key[e]);
        size_t i = 0;
        while (i < n && strcmp(elements[i].symbol, map->key[e]) != 0) {
            i++;
        }
        double share;
        if (i == n) {
            cq_reader_complain(r, CQ_ERR_PLAN, &map->key_at[e], key, "C, Si, Mn, Cr, Ni, Mo, V, W, Cu, Al, P or S", "", "unknown element '%.40s'", map->key[e]);
            good = false;
        } else if (cq_reader_quantity(r, cq_reader_value(map->item[e]), key, CQ_DIM_SHARE, 0.0, 1.0, &share)) {
            if (100.0 * share > elements[i].most_wt) {
                char expected[96];
                snprintf(expected, sizeof expected, "at most %g %% %s", elements[i].most_wt, elements[i].symbol);
                cq_reader_complain(r, CQ_ERR_PLAN, map->item[e], key, expected, "", "'%.40s'", cq_reader_value(map->item[e])->text);
                good = false;
            } else {
                *(double *)((char *)c + elements[i].offset) = 100.0 * share;
                sum += 100.0 * share;
            }
        } else {
            good = false;
        }
    }
    if (good && sum > 100.0) {
        cq_reader_complain(r, CQ_ERR_PLAN, map, path, "elements that sum to less than 100 %", "", "a sum of %.1f %%", sum);
        good = false;
    }
    return good;
}

bool cq_read_steel(cq_reader *r, const cq_node *map, const char *path, cq_steel *steel) {
    static const char *const kinds[] = {"transforming", "inert"};
    memset(steel, 0, sizeof *steel);
    steel->name = text_of(map, "name");
    steel->summary = text_of(map, "summary");
    steel->grain_ASTM = 8.0;
    steel->time_factor = 1.0;
    steel->time_factor_ln_sigma = 0.35;
    steel->emissivity = 0.8;
    bool good = cq_reader_fields(r, map, CQ_OWNER_STEEL, path, steel) == 0;
    char key[128];
    const cq_node *kind = cq_node_find(map, "kind");
    if (kind != NULL) {
        snprintf(key, sizeof key, "%skind", path);
        const int k = choose(r, kind, key, kinds, 2, "transforming or inert");
        steel->kind = k == 1 ? CQ_STEEL_INERT : CQ_STEEL_TRANSFORMING;
        good = good && k >= 0;
    }
    if (steel->kind == CQ_STEEL_INERT) {
        return need(r, map, path, (const char *const[]){"conductivity", "heat-capacity"}, 2) && good;
    }
    const cq_node *composition = cq_node_find(map, "composition"), *batch = cq_node_find(map, "batch");
    snprintf(key, sizeof key, "%scomposition", path);
    if (composition != NULL) {
        good = read_composition(r, cq_reader_value(composition), key, &steel->composition_wt) && good;
    }
    snprintf(key, sizeof key, "%sbatch", path);
    if (batch != NULL) {
        good = read_composition(r, batch, key, &steel->composition_wt) && good;
    }
    if (good && !(steel->composition_wt.C > 0.0)) {
        cq_reader_complain(r, CQ_ERR_PLAN, map, key, "a steel with carbon: from:, composition: or batch:", "", "no carbon");
        return false;
    }
    return good;
}

/* ---- clay and bath ----------------------------------------------------------------------------------------------- */

bool cq_read_clay(cq_reader *r, const cq_node *map, const char *path, cq_clay *clay) {
    memset(clay, 0, sizeof *clay);
    clay->name = text_of(map, "name");
    clay->summary = text_of(map, "summary");
    clay->emissivity = 0.9;
    clay->drying_factor = 1.0;
    const bool good = cq_reader_fields(r, map, CQ_OWNER_CLAY, path, clay) == 0;
    return need(r, map, path, (const char *const[]){"conductivity", "heat-capacity"}, 2) && good;
}

static void bath_defaults(cq_bath *b) {
    memset(b, 0, sizeof *b);
    b->film_factor = b->rewetting_factor = b->peak_factor = b->nucleate_factor = b->convection_factor = 1.0;
    b->transition_exponent = 2.0;
    b->contact_time_s = 5e-3;
    b->film_convection_W_m2K = 2000.0;
    b->convection_W_m2K = 1000.0;
    b->gas_convection_W_m2K = 14.0;
    b->scale_conductivity_W_mK = 3.0;
    b->scale_heat_capacity_J_m3K = 4.4e6;
    b->at_K = 293.15;
    b->at_min_K = 243.15;
    b->at_max_K = 573.15;
}

bool cq_read_bath(cq_reader *r, const cq_node *map, const char *path, cq_bath *bath) {
    static const char *const kinds[] = {"boiling", "gas", "table"};
    bath_defaults(bath);
    bath->name = text_of(map, "name");
    bath->summary = text_of(map, "summary");
    char key[128];
    snprintf(key, sizeof key, "%skind", path);
    const cq_node *kind = cq_node_find(map, "kind");
    if (kind == NULL) {
        cq_reader_complain(r, CQ_ERR_PLAN, map, key, "boiling, gas or table", "add kind:", "no kind");
        return false;
    }
    const int k = choose(r, kind, key, kinds, CQ_BATH_KINDS, "boiling, gas or table");
    bath->kind = k < 0 ? CQ_BATH_GAS : (cq_bath_kind)k;
    if (bath->kind == CQ_BATH_BOILING) {
        bath->scale_m = 20e-6; /* what hot bare steel carries; a measured table has it folded in */
        bath->at_min_K = 273.15;
        bath->at_max_K = 371.15;
    }
    bool good = k >= 0 && cq_reader_fields(r, map, CQ_OWNER_BATH, path, bath) == 0;
    const cq_node *range = cq_node_find(map, "range");
    if (range != NULL) {
        range = cq_reader_value(range);
        snprintf(key, sizeof key, "%srange", path);
        if (range->kind != CQ_NODE_LIST || range->n != 2) {
            cq_reader_complain(r, CQ_ERR_PLAN, range, key, "[lowest, highest] temperature", "", "something else");
            return false;
        }
        good = cq_reader_quantity(r, range->item[0], key, CQ_DIM_TEMPERATURE, 0, 0, &bath->at_min_K) &&
               cq_reader_quantity(r, range->item[1], key, CQ_DIM_TEMPERATURE, 0, 0, &bath->at_max_K) && good;
    }
    return bath->kind == CQ_BATH_TABLE ? need(r, map, path, (const char *const[]){"heat-transfer"}, 1) && good : good;
}
