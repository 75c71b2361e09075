/* evidence.c - a shop's evidence: a YAML file or a table into items with their plans. */
#include "io/evidence_item.h"
#include "io/sheet.h"

#include <stdio.h>
#include <string.h>

/* What the caller gets, and what it lives in. */
typedef struct kept {
    cq_evidence evidence; /* first: a pointer to it is one to this */
    cq_arena *arena;
    cq_item_plan *plans;
} kept;

static const char *folder_of(const char *path, char folder[1024]) {
    const char *slash = strrchr(path, '/');
    if (slash == NULL) {
        return ".";
    }
    snprintf(folder, 1024, "%.*s", (int)(slash - path > 1000 ? 1000 : slash - path), path);
    return slash == path ? "/" : folder;
}

/* ---- a table's lines as mappings --------------------------------------------------------------------------------- */

static cq_node *text_node(cq_arena *arena, const cq_sheet *s, size_t cell, const char *text) {
    cq_node *node = cq_arena_take(arena, 1, sizeof *node);
    if (node != NULL) {
        *node = (cq_node){
            .kind = CQ_NODE_TEXT, .source = s->source, .line = s->line, .column = s->column[cell], .text = text};
    }
    return node;
}

/* The line's cells under the header's words; empty cells say nothing. NULL when memory is short. */
static cq_node *map_of_line(cq_arena *arena, const cq_sheet *head, const cq_sheet *line) {
    cq_node *map = cq_arena_take(arena, 1, sizeof *map);
    cq_node **item = cq_arena_take(arena, CQ_SHEET_COLUMNS, sizeof *item);
    const char **key = cq_arena_take(arena, CQ_SHEET_COLUMNS, sizeof *key);
    cq_node *key_at = cq_arena_take(arena, CQ_SHEET_COLUMNS, sizeof *key_at);
    if (map == NULL || item == NULL || key == NULL || key_at == NULL) {
        return NULL;
    }
    *map = (cq_node){.kind = CQ_NODE_MAP,
                     .source = line->source,
                     .line = line->line,
                     .column = 1,
                     .item = item,
                     .key = key,
                     .key_at = key_at};
    for (size_t c = 0; c < line->n && c < head->n; c++) {
        if (line->cell[c][0] == '\0' || head->cell[c][0] == '\0') {
            continue;
        }
        item[map->n] = text_node(arena, line, c, line->cell[c]);
        if (item[map->n] == NULL) {
            return NULL;
        }
        key[map->n] = head->cell[c];
        key_at[map->n] = *item[map->n];
        map->n++;
    }
    return map;
}

/* All lines as one list. NULL when memory is short or after a complaint. */
static cq_node *list_of_lines(cq_evidence_reading *v, const cq_source *source) {
    enum { LINES_MOST = 1000 };
    cq_sheet head, line;
    cq_sheet_begin(&head, source);
    cq_sheet_next(&head, v->r.arena);
    line = head;
    cq_node *list = cq_reader_take(&v->r, 1, sizeof *list);
    cq_node **item = cq_reader_take(&v->r, LINES_MOST, sizeof *item);
    if (list == NULL || item == NULL) {
        return NULL;
    }
    *list = (cq_node){.kind = CQ_NODE_LIST, .source = source, .line = head.line, .column = 1, .item = item};
    while (list->n < LINES_MOST && cq_sheet_next(&line, v->r.arena)) {
        if (line.n > head.n) {
            cq_sheet_complain(&line, head.n, v->r.error, "items", "as many cells as the header has",
                              "is a comma meant as a decimal point?", "%zu cells under %zu heads", line.n, head.n);
            v->r.faults++;
            v->r.status = CQ_ERR_PLAN;
            continue;
        }
        item[list->n] = map_of_line(v->r.arena, &head, &line);
        if (item[list->n++] == NULL) {
            v->r.status = CQ_ERR_MEMORY;
            return NULL;
        }
    }
    return list;
}

/* ---- the file ---------------------------------------------------------------------------------------------------- */

static void read_items(cq_evidence_reading *v, const cq_node *list, cq_evidence *to) {
    cq_evidence_item *items = cq_reader_take(&v->r, list->n, sizeof *items);
    char path[CQ_KEY_SIZE], found[128];
    if (items == NULL) {
        return;
    }
    for (size_t i = 0; i < list->n && v->r.status != CQ_ERR_MEMORY; i++) {
        cq_key_join(path, "items.%zu", i);
        if (list->item[i]->kind != CQ_NODE_MAP) {
            cq_reader_complain(&v->r, list->item[i], path,
                               "a mapping, for instance {what: line, value: 9 mm, method: eye}", "", "%s",
                               cq_node_words(list->item[i], found, sizeof found));
            continue;
        }
        cq_key_join(path, "items.%zu.", i);
        to->n += cq_evidence_item_read(v, list->item[i], path, &items[to->n]);
    }
    to->item = items;
    if (list->n == 0) {
        cq_reader_complain(&v->r, list, "items", "one item or more", "", "evidence of nothing");
    }
}

static void read_yaml(cq_evidence_reading *v, const cq_source *source, cq_evidence *to) {
    cq_node *root = NULL;
    char found[128];
    const cq_status status = cq_yaml_parse(&root, source, v->r.arena, v->r.error);
    v->r.status = v->r.status < 0 ? v->r.status : status;
    v->r.faults += status < 0;
    if (root == NULL || status == CQ_ERR_MEMORY) {
        return;
    }
    const cq_node *format = cq_node_find(root, "format"), *items = cq_node_find(root, "items");
    if (root->kind != CQ_NODE_MAP || format == NULL || format->kind != CQ_NODE_TEXT ||
        strcmp(format->text, "clayquench-evidence 1") != 0) {
        cq_reader_complain(&v->r, format == NULL ? root : format, "format",
                           "clayquench-evidence 1, or a table whose header begins what,value", "", "%s",
                           root->kind != CQ_NODE_MAP ? "no mapping" : cq_node_words(format, found, sizeof found));
        return;
    }
    cq_reader_fields(&v->r, root, CQ_OWNER_EVIDENCE, 0, "", to);
    if (items != NULL && items->kind != CQ_NODE_LIST) {
        cq_reader_complain(&v->r, items, "items", "a list of items", "", "%s",
                           cq_node_words(items, found, sizeof found));
    } else if (items != NULL) {
        read_items(v, items, to);
    }
}

/* A table if its first line has a cell `what`. */
static bool is_table(const cq_source *source, cq_arena *arena) {
    cq_sheet sheet;
    cq_sheet_begin(&sheet, source);
    cq_sheet_next(&sheet, arena);
    for (size_t c = 0; sheet.n > 1 && c < sheet.n; c++) {
        if (strcmp(sheet.cell[c], "what") == 0) {
            return true;
        }
    }
    return false;
}

static cq_status read_file(cq_evidence_reading *v, const char *path, cq_evidence *to) {
    cq_source *source = cq_reader_take(&v->r, 1, sizeof *source);
    cq_status status = source == NULL ? CQ_ERR_MEMORY : cq_file_load(source, path, v->r.arena, v->r.error);
    if (status < 0) {
        return status;
    }
    to->title = "";
    to->file = source->name;
    if (is_table(source, v->r.arena)) {
        const cq_node *list = list_of_lines(v, source);
        if (list != NULL) {
            read_items(v, list, to);
        }
    } else {
        read_yaml(v, source, to);
    }
    return v->r.status;
}

static void drop(kept *k) {
    for (cq_item_plan *p = k->plans; p != NULL; p = p->before) {
        cq_plan_clear(&p->plan);
        cq_vary_close(p->vary);
    }
    cq_arena_free(k->arena);
}

cq_status cq_evidence_read(cq_evidence **evidence, const char *path, const char *plan, const cq_plan *base,
                           const cq_search *search, cq_error *error) {
    char folder[1024];
    cq_evidence_reading v = {
        .r = {.folder = folder_of(path, folder), .search = search, .error = error}, .plan_path = plan, .base = base};
    v.r.arena = cq_arena_create();
    kept *k = v.r.arena == NULL ? NULL : cq_arena_take(v.r.arena, 1, sizeof *k);
    if (k == NULL) {
        cq_arena_free(v.r.arena);
        return cq_error_say(error, CQ_ERR_MEMORY, "", "", "", "%s", cq_status_sentence(CQ_ERR_MEMORY));
    }
    v.r.units = cq_units_open();
    cq_status status = read_file(&v, path, &k->evidence);
    cq_units_close(v.r.units);
    k->arena = v.r.arena;
    k->plans = v.plans;
    if (status < 0) {
        drop(k);
        return status;
    }
    *evidence = &k->evidence;
    return CQ_OK;
}

void cq_evidence_free(cq_evidence *evidence) {
    if (evidence != NULL) {
        kept copy = *(const kept *)(const void *)evidence; /* it lies in the arena that goes */
        drop(&copy);
    }
}
