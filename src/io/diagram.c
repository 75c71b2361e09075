/* diagram.c - a steel's measured isothermal diagram, with what can be wrong in a table that was read off a chart. */
#include "io/reader.h"

#include "kinetics/laws.h"

#include <stdio.h>
#include <string.h>

static const double ZERO_C = 273.15;

/* ---- rows -------------------------------------------------------------------------------------------------------- */

/* One row, all of it read, so that every fault is told. */
static bool read_row(cq_reader *r, const cq_node *row, const char *key, cq_diagram_row *to) {
    double *const times[] = {&to->start_s, &to->half_s, &to->end_s};
    char part[CQ_KEY_SIZE], found[128];
    if (row->kind != CQ_NODE_LIST || row->n != 4) {
        cq_reader_complain(
            r, row, key, "[temperature, start, half, end], for instance [650 °C, 7 s, 20 s, 50 s]", "", "%s",
            row->kind == CQ_NODE_LIST ? "a list of another length" : cq_node_words(row, found, sizeof found));
        return false;
    }
    cq_key_join(part, "%s.0", key); /* below 150 degC nothing moves: kinetics/clock.h */
    bool good = cq_reader_quantity(r, row->item[0], part, CQ_DIM_TEMPERATURE, 423.15, 1073.15, &to->temp_K);
    for (int n = 0; n < 3; n++) {
        cq_key_join(part, "%s.%d", key, n + 1);
        good = cq_reader_quantity(r, row->item[1 + n], part, CQ_DIM_TIME, 1e-3, 1e8, times[n]) && good;
    }
    return good;
}

/* Curves that cross within a row, and rows out of order. */
static bool in_order(cq_reader *r, const cq_node *row, const char *key, const cq_diagram_row *now,
                     const cq_diagram_row *before, const cq_node *row_before) {
    if (!(now->start_s < now->half_s && now->half_s < now->end_s)) {
        const int at = now->start_s < now->half_s ? 3 : 2;
        cq_reader_complain(r, row->item[at], key, "start before half before end", "read the three curves again",
                           "%s '%.40s' not after %s '%.40s'", at == 3 ? "end" : "half", row->item[at]->text,
                           at == 3 ? "half" : "start", row->item[at - 1]->text);
        return false;
    }
    if (before != NULL && !(now->temp_K < before->temp_K)) {
        cq_reader_complain(r, row, key, "temperatures that fall from row to row", "sort the rows, hottest first",
                           "'%.40s' after '%.40s'", row->item[0]->text, row_before->item[0]->text);
        return false;
    }
    return true;
}

/* A row the laws have neither pearlite nor bainite for cannot be laid against them. */
static bool below_Ac1(cq_reader *r, const cq_node *row, const char *key, double temp_K, const cq_composition *heat) {
    const double Ac1_C = cq_equilibria_of(heat).Ae1_C;
    char expected[96];
    if (temp_K - ZERO_C < Ac1_C - 1.0) {
        return true;
    }
    snprintf(expected, sizeof expected, "a temperature below Ac1 of the measured heat, %.0f °C", Ac1_C);
    cq_reader_complain(r, row->item[0], key, expected, "leave the row out", "'%.40s'", row->item[0]->text);
    return false;
}

static void read_rows(cq_reader *r, const cq_node *list, const char *path, bool heat_known, cq_diagram *d) {
    char key[CQ_KEY_SIZE], found[128];
    cq_key_join(key, "%srows", path);
    if (list->kind != CQ_NODE_LIST || list->n < CQ_DIAGRAM_LEAST || list->n > CQ_DIAGRAM_MOST) {
        if (list->kind == CQ_NODE_LIST) {
            snprintf(found, sizeof found, "%zu row%s", list->n, list->n == 1 ? "" : "s");
        }
        cq_reader_complain(r, list, key, "3 to 40 rows of [temperature, start, half, end]", "", "%s",
                           list->kind == CQ_NODE_LIST ? found : cq_node_words(list, found, sizeof found));
        return;
    }
    cq_diagram_row *rows = cq_reader_take(r, list->n, sizeof *rows);
    bool good = rows != NULL, readable = false; /* readable: the row before */
    for (size_t i = 0; rows != NULL && i < list->n; i++) {
        char at[CQ_KEY_SIZE];
        cq_key_join(at, "%s.%zu", key, i);
        const cq_node *row = list->item[i];
        const bool read = read_row(r, row, at, &rows[i]);
        good = read &&
               in_order(r, row, at, &rows[i], readable ? &rows[i - 1] : NULL, readable ? list->item[i - 1] : NULL) &&
               (!heat_known || below_Ac1(r, row, at, rows[i].temp_K, &d->composition_wt)) && good;
        readable = read;
    }
    if (good) {
        d->row = rows;
        d->n = list->n;
    }
}

/* ---- source ------------------------------------------------------------------------------------------------------ */

/* Is `key` an entry of a references.bib beside the profiles? True too where there is none to ask. */
static bool is_known(cq_reader *r, const char *key) {
    bool asked = false;
    for (size_t f = 0; r->search != NULL && f < r->search->n; f++) {
        char path[1024], entry[80];
        cq_source bib;
        snprintf(path, sizeof path, "%.900s/references.bib", r->search->folders[f]);
        snprintf(entry, sizeof entry, "{%.64s,", key);
        const cq_status status = cq_file_load(&bib, path, r->arena, NULL);
        if (status == CQ_ERR_MEMORY) {
            r->status = status;
            return true;
        }
        asked = asked || status == CQ_OK;
        if (status == CQ_OK && strstr(bib.text, entry) != NULL) {
            return true;
        }
    }
    return !asked;
}

/* A diagram without a source is a guess: it must name one, and a key in brackets must be known. */
static void check_source(cq_reader *r, const cq_node *source, const char *path) {
    char key[CQ_KEY_SIZE], found[128];
    cq_key_join(key, "%ssource", path);
    const bool text = source->kind == CQ_NODE_TEXT;
    if (!text || strlen(source->text) < 3 || strcmp(source->text, "unknown") == 0) {
        cq_reader_complain(r, source, key, "where the diagram was measured or printed",
                           "without a source leave the diagram out", "%s", cq_node_words(source, found, sizeof found));
        return;
    }
    for (const char *open = strchr(source->text, '['); open != NULL; open = strchr(open + 1, '[')) {
        const size_t n = strcspn(open + 1, "];, ");
        char name[64];
        snprintf(name, sizeof name, "%.*s", (int)(n < sizeof name ? n : sizeof name - 1), open + 1);
        if (!is_known(r, name)) {
            cq_reader_complain(r, source, key, "a key that references.bib has",
                               "write the source out, without brackets", "unknown source [%s]", name);
        }
    }
}

/* ---- the door ---------------------------------------------------------------------------------------------------- */

void cq_read_diagram(cq_reader *r, const cq_node *steel, const char *path, cq_steel *to) {
    const cq_node *map = cq_node_find(steel, "isothermal");
    char key[CQ_KEY_SIZE], inside[CQ_KEY_SIZE], keys[160], found[128];
    if (map == NULL) {
        return;
    }
    if (map->kind != CQ_NODE_MAP) {
        char expected[224];
        snprintf(expected, sizeof expected, "a mapping with %s", cq_field_list(CQ_OWNER_DIAGRAM, keys, sizeof keys));
        cq_reader_complain(r, map, cq_key_join(key, "%sisothermal", path), expected, "", "%s",
                           cq_node_words(map, found, sizeof found));
        return;
    }
    cq_diagram *d = &to->diagram;
    const size_t faults = r->faults;
    cq_key_join(inside, "%sisothermal.", path);
    cq_reader_fields(r, map, CQ_OWNER_DIAGRAM, 0, inside, d);
    d->composition_wt = to->composition_wt;
    cq_read_elements(r, map, "composition", inside, &d->composition_wt);
    const bool heat_known = r->faults == faults && d->composition_wt.C > 0.0;
    const cq_node *source = cq_node_find(map, "source"), *rows = cq_node_find(map, "rows");
    if (source != NULL) {
        d->source = source->text;
        check_source(r, source, inside);
    }
    if (rows != NULL) {
        read_rows(r, rows, inside, heat_known, d);
    }
}
