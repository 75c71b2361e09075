/* evidence_item.c - see evidence_item.h: reading and its error, place, plan, and whether they fit together. */
#include "io/evidence_item.h"

#include "hardness/hardness.h"
#include "io/hardness_text.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { CHANGES_MOST = CQ_VARY_AXES, SPEC = 256 };

static bool is_length(cq_evidence_kind kind) {
    return kind != CQ_EVIDENCE_HARDNESS && kind != CQ_EVIDENCE_FILM;
}

static const char *text_at(cq_evidence_reading *v, const cq_node *at, const char *key, const char *expected) {
    char found[128];
    if (at != NULL && at->kind == CQ_NODE_TEXT) {
        return at->text;
    }
    if (at != NULL) {
        cq_reader_complain(&v->r, at, key, expected, "", "%s", cq_node_words(at, found, sizeof found));
    }
    return NULL;
}

static bool read_value(cq_evidence_reading *v, const cq_node *map, const char *path, cq_evidence_item *item) {
    char key[CQ_KEY_SIZE];
    const cq_node *at = cq_node_find(map, "value");
    cq_key_join(key, "%svalue", path);
    item->read_HRC = NAN;
    if (at == NULL) {
        return false; /* told: it is needed */
    }
    if (item->kind == CQ_EVIDENCE_HARDNESS) {
        return cq_read_hardness(&v->r, at, key, &item->value, &item->read_HRC);
    }
    const bool signed_ = item->kind == CQ_EVIDENCE_RISE;
    return is_length(item->kind)
               ? cq_reader_quantity(&v->r, at, key, CQ_DIM_LENGTH, signed_ ? -0.2 : 1e-5, 0.2, &item->value)
               : cq_reader_quantity(&v->r, at, key, CQ_DIM_TIME, 0.0, 600.0, &item->value);
}

/* Points of a scale about the reading, in HV. */
static double points_HV(const cq_evidence_item *item, double points) {
    return cq_hardness_of_points(cq_hardness_points(item->value) + 0.5 * points) -
           cq_hardness_of_points(cq_hardness_points(item->value) - 0.5 * points);
}

static bool read_stated_error(cq_evidence_reading *v, const cq_node *at, const char *key, cq_evidence_item *item) {
    double number, share;
    bool rockwell;
    const char *text = text_at(v, at, key, "an error");
    if (text == NULL) {
        return false;
    }
    if (text[0] != '\0' && text[strlen(text) - 1] == '%') {
        if (!cq_reader_quantity(&v->r, at, key, CQ_DIM_SHARE, 1e-3, 1.0, &share)) {
            return false;
        }
        item->error = share * fabs(item->value);
    } else if (item->kind == CQ_EVIDENCE_HARDNESS) {
        if (!cq_hardness_scale(text, &number, &rockwell)) {
            cq_reader_complain(&v->r, at, key, "an error, for instance 1 HRC, 15 HV or 2 %",
                               "write the scale behind the number", "'%.60s'", text);
            return false;
        }
        item->error = rockwell ? points_HV(item, number) : number;
    } else if (!cq_reader_quantity(&v->r, at, key, is_length(item->kind) ? CQ_DIM_LENGTH : CQ_DIM_TIME, 0.0, 0.0,
                                   &item->error)) {
        return false;
    }
    if (!(item->error > 0.0)) {
        cq_reader_complain(&v->r, at, key, "an error above 0: no reading is exact", "leave it out to take the method's",
                           "'%.60s'", text);
        return false;
    }
    return true;
}

static bool read_error(cq_evidence_reading *v, const cq_node *map, const char *path, cq_evidence_item *item) {
    char key[CQ_KEY_SIZE], expected[128] = "one of: ";
    const cq_node *at = cq_node_find(map, "error");
    if (at != NULL) {
        return read_stated_error(v, at, cq_key_join(key, "%serror", path), item);
    }
    item->error = cq_method_error(item->method, item->kind, item->value);
    item->error_by_method = true;
    if (item->error > 0.0) {
        return true;
    }
    for (int m = 0; m < CQ_METHODS; m++) {
        if (cq_method_error((cq_method)m, item->kind, item->value) > 0.0) {
            const size_t n = strlen(expected);
            snprintf(expected + n, sizeof expected - n, "%s%s", expected[n - 1] == ' ' ? "" : ", ",
                     cq_method_word((cq_method)m));
        }
    }
    cq_reader_complain(&v->r, cq_node_find(map, "method"), cq_key_join(key, "%smethod", path), expected,
                       "or state error:", "'%s' does not read this", cq_method_word(item->method));
    return false;
}

/* ---- plan -------------------------------------------------------------------------------------------------------- */

/* "KEY=VALUE" of every change; how many, or -1 after a complaint. */
static int read_changes(cq_evidence_reading *v, const cq_node *node, const char *key, char spec[CHANGES_MOST][SPEC]) {
    char found[128];
    if (node == NULL) {
        return 0;
    }
    if (node->kind == CQ_NODE_TEXT && strchr(node->text, '=') != NULL) { /* a cell of a table */
        snprintf(spec[0], SPEC, "%.250s", node->text);
        return 1;
    }
    if (node->kind != CQ_NODE_MAP || node->n == 0 || node->n > CHANGES_MOST) {
        cq_reader_complain(
            &v->r, node, key, "one to eight keys of the plan, for instance {steps.1.at: 60 °C}", "", "%s",
            node->kind == CQ_NODE_MAP ? "a mapping of another length" : cq_node_words(node, found, sizeof found));
        return -1;
    }
    for (size_t e = 0; e < node->n; e++) {
        const char *text = text_at(v, node->item[e], key, "one value, written as in a plan");
        if (text == NULL) {
            return -1;
        }
        if (strchr(text, ',') != NULL || strstr(text, "..") != NULL) {
            cq_reader_complain(&v->r, node->item[e], key, "one value", "", "'%.60s'", text);
            return -1;
        }
        snprintf(spec[e], SPEC, "%.120s=%.120s", node->key[e], text);
    }
    return (int)node->n;
}

/* Complaints of a changed key come from nowhere in the file: they are told at the item's change. */
static void place_complaints(cq_error *error, size_t from, const cq_node *at) {
    for (size_t c = from; error != NULL && at != NULL && c < error->count; c++) {
        cq_complaint *one = &error->items[c];
        if (strncmp(one->file, "--vary ", 7) == 0) {
            snprintf(one->file, sizeof one->file, "%.255s", at->source->name);
            one->line = at->line;
            one->column = at->column;
            one->source_line[0] = '\0';
        }
    }
}

static bool load_plan(cq_evidence_reading *v, const char *path, const char spec[CHANGES_MOST][SPEC], int changes,
                      cq_item_plan *to) {
    const char *specs[CHANGES_MOST];
    cq_reader *r = &v->r;
    cq_status status;
    for (int c = 0; c < changes; c++) {
        specs[c] = spec[c];
    }
    if (changes == 0) {
        status = cq_plan_read(&to->plan, path, r->search, r->error);
    } else {
        status = cq_vary_open(&to->vary, path, r->search, specs, (size_t)changes, r->error);
        status = status < 0 ? status : cq_vary_plan(to->vary, 0, &to->plan, r->error);
    }
    if (status < 0) {
        cq_vary_close(to->vary);
        to->vary = NULL;
        r->status = status == CQ_ERR_MEMORY ? status : r->status < 0 ? r->status : CQ_ERR_PLAN;
        r->faults++;
    }
    return status >= 0;
}

static bool read_plan(cq_evidence_reading *v, const cq_node *map, const char *path, cq_evidence_item *item) {
    char key[CQ_KEY_SIZE], file[1200], spec[CHANGES_MOST][SPEC];
    const cq_node *named = cq_node_find(map, "plan"), *changed = cq_node_find(map, "change");
    const int changes = read_changes(v, changed, cq_key_join(key, "%schange", path), spec);
    const char *name = text_at(v, named, cq_key_join(key, "%splan", path), "the file of a plan");
    item->plan = v->base;
    if (changes < 0 || (named != NULL && name == NULL)) {
        return false;
    }
    if (name == NULL && changes == 0) {
        return true;
    }
    if (name != NULL && name[0] != '/') {
        snprintf(file, sizeof file, "%.600s/%.500s", v->r.folder, name);
    } else {
        snprintf(file, sizeof file, "%.1100s", name == NULL ? v->plan_path : name);
    }
    cq_item_plan *to = cq_reader_take(&v->r, 1, sizeof *to);
    if (to == NULL) {
        return false;
    }
    cq_plan_init(&to->plan);
    const size_t told = v->r.error == NULL ? 0 : v->r.error->count;
    const bool good = load_plan(v, file, (const char(*)[SPEC])spec, changes, to);
    place_complaints(v->r.error, told, changed);
    if (!good && named != NULL) { /* whatever is wrong in it: which item wanted it */
        cq_reader_complain(&v->r, named, cq_key_join(key, "%splan", path), "the file of a plan without faults", "",
                           "'%.60s'", name);
    }
    if (good) {
        to->before = v->plans;
        v->plans = to;
        item->plan = &to->plan;
    }
    return good;
}

/* ---- do they fit together ---------------------------------------------------------------------------------------- */

static bool fits(cq_evidence_reading *v, const cq_node *map, const char *path, cq_evidence_item *item) {
    char key[CQ_KEY_SIZE];
    const cq_plan *plan = item->plan;
    const bool plate = plan->blade.family >= CQ_FAMILY_PLATE;
    cq_key_join(key, "%swhat", path);
    if (item->kind != CQ_EVIDENCE_FILM && plan->steel.kind != CQ_STEEL_TRANSFORMING) {
        cq_reader_complain(&v->r, map, key, "a plan whose steel hardens", "", "'%s' of an inert steel",
                           cq_evidence_word(item->kind));
        return false;
    }
    if ((item->kind == CQ_EVIDENCE_LINE || item->kind == CQ_EVIDENCE_RISE) && plate) {
        cq_reader_complain(&v->r, map, key, "a plan whose section is a blade's", "", "'%s' on a plate or round",
                           cq_evidence_word(item->kind));
        return false;
    }
    if (item->kind == CQ_EVIDENCE_LINE && !(item->value <= plan->blade.height_m)) {
        cq_reader_complain(&v->r, cq_node_find(map, "value"), cq_key_join(key, "%svalue", path),
                           "a height on the blade", "", "a line %.4g mm high on a blade of %.4g mm", 1e3 * item->value,
                           1e3 * plan->blade.height_m);
        return false;
    }
    if (item->place == CQ_PLACE_SPINE && plate && item->kind != CQ_EVIDENCE_LINE) {
        cq_reader_complain(&v->r, map, cq_key_join(key, "%splace", path), "edge (the face) or body (the middle)", "",
                           "the spine of a plate or round");
        return false;
    }
    if (item->kind == CQ_EVIDENCE_STEPPED_CLAY) {
        item->plate_m = item->plate_m > 0.0 ? item->plate_m : plate ? plan->blade.spine_m : 0.0;
        if (!(item->plate_m > 0.0) || plan->clay.conductivity_W_mK.n == 0) {
            const bool thick = item->plate_m > 0.0;
            cq_reader_complain(&v->r, map, cq_key_join(key, "%s%s", path, thick ? "plan" : "thickness"),
                               thick ? "a plan with clay:" : "thickness of the coupon's plate, for instance 3 mm", "",
                               thick ? "a stepped-clay coupon without a mix" : "no 'thickness'");
            return false;
        }
    }
    return true;
}

bool cq_evidence_item_read(cq_evidence_reading *v, const cq_node *map, const char *path, cq_evidence_item *item) {
    const size_t faults = v->r.faults;
    *item = (cq_evidence_item){.note = "", .station = "", .line = map->line, .read_HRC = NAN};
    cq_reader_fields(&v->r, map, CQ_OWNER_ITEM, 0, path, item);
    if (v->r.faults != faults || v->r.status == CQ_ERR_MEMORY) {
        return false;
    }
    const bool value = read_value(v, map, path, item) && read_error(v, map, path, item);
    return read_plan(v, map, path, item) && value && fits(v, map, path, item);
}
