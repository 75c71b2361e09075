/* map_text.c - a map as a screen of figures, and as JSON. */
#include "report/json_parts.h"
#include "report/map_grid.h"

#include "base/memory.h"
#include "report/words.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { COLUMNS = 80, MOST_ACROSS = 10, MOST_DOWN = 10, CELL = 7, WORDS = 200 };

/* ---- the screen -------------------------------------------------------------------------------------------------- */

/* One letter behind the line's height, or alone where there is none. */
static char letter_of(const cq_map_grid *g, int verdict) {
    static const char letters[] = {
        [CQ_VERDICT_NO_EDGE] = 'N', [CQ_VERDICT_THROUGH] = 'T', [CQ_VERDICT_BROKEN] = 'b', [CQ_VERDICT_SPINE] = 's',
        [CQ_VERDICT_FAINT] = 'f',   [CQ_VERDICT_GOOD] = ' ',    [CQ_VERDICT_INERT] = 'i'};
    return verdict < 0 ? 'x' : g->piece && verdict == CQ_VERDICT_GOOD ? 'F' : letters[verdict];
}

static void add_map_cell(cq_text *t, const cq_map_grid *g, size_t i, size_t j, cq_unit_system units) {
    const double line_m = cq_map_line(g, i, j);
    const char letter = letter_of(g, cq_map_verdict(g, i, j));
    const bool own = cq_map_has_own(g) && i == g->own_i && j == g->own_j;
    char text[16];
    const bool us = units == CQ_UNITS_US;
    if (isnan(line_m)) {
        snprintf(text, sizeof text, "%c", letter);
    } else {
        snprintf(text, sizeof text, "%.*f", us ? 2 : 1, us ? line_m / 0.0254 : 1e3 * line_m);
        const size_t n = strlen(text);
        text[n] = letter;
        text[n + (text[n] != ' ' ? 1 : 0)] = '\0';
    }
    cq_text_add(t, own ? "%*s[%s]" : "%*s %s ", CELL - 2 - (int)strlen(text) > 0 ? CELL - 2 - (int)strlen(text) : 0, "",
                text);
}

static size_t thinning(size_t n, size_t most) {
    return (n + most - 1) / most;
}

static void add_map(cq_text *t, const cq_map_grid *g, cq_unit_system units) {
    const size_t step_x = thinning(g->nx, MOST_ACROSS), step_y = thinning(g->ny, MOST_DOWN);
    const bool own = cq_map_has_own(g);
    const size_t first_x = own ? g->own_i % step_x : 0, first_y = own ? g->own_j % step_y : 0; /* this plan's stay */
    for (size_t down = (g->ny - 1 - first_y) / step_y + 1; down-- > 0;) {
        const size_t j = first_y + down * step_y;
        cq_text_add(t, "%8.6g |", g->y[j]);
        for (size_t i = first_x; i < g->nx; i += step_x) {
            add_map_cell(t, g, i, j, units);
        }
        cq_text_add(t, "\n");
    }
    cq_text_add(t, "%8s +", "");
    for (size_t i = first_x; i < g->nx; i += step_x) {
        cq_text_add(t, "-------");
    }
    cq_text_add(t, "\n%10s", "");
    for (size_t i = first_x; i < g->nx; i += step_x) {
        cq_text_add(t, i + step_x < g->nx ? "%6.4g " : "%6.4g\n", g->x[i]);
    }
    if (step_x > 1 || step_y > 1) {
        cq_paragraph_add(t, COLUMNS, "", "Only one %s in %zu is shown%s; --csv and --json have all.",
                         step_x > 1 ? "column" : "row", step_x > 1 ? step_x : step_y,
                         step_x > 1 && step_y > 1 ? ", and some rows" : "");
    }
}

static void add_legend(cq_text *t, const cq_map_grid *g, bool own) {
    char words[WORDS * 2] = "";
    size_t at = 0;
    for (int v = CQ_MAP_UNKNOWN; v <= CQ_VERDICT_INERT; v++) {
        bool there = false;
        for (size_t n = 0; n < g->nx * g->ny; n++) {
            there = there || g->verdict[n] == v;
        }
        if (there && (v != CQ_VERDICT_GOOD || g->piece) && at < sizeof words) {
            at += (size_t)snprintf(words + at, sizeof words - at, "%s%c %s", at > 0 ? ", " : "", letter_of(g, v),
                                   cq_map_verdict_words(g, v));
        }
    }
    cq_paragraph_add(t, COLUMNS, "", "%s%s%s%s", words, at > 0 ? ". " : "",
                     g->piece ? "" : "A bare number: hard edge, soft back. ", own ? "[ ]: nearest to this plan." : "");
}

/* How the line moves there along an axis, from its neighbours: "; line -0.3 mm per 0.1 mm". "" where it is not known.
 */
static void slope_words(const cq_map_grid *g, const cq_vary_axis *axis, bool along_x, cq_unit_system units,
                        char to[80]) {
    const size_t n = along_x ? g->nx : g->ny, at = along_x ? g->own_i : g->own_j;
    const double *v = along_x ? g->x : g->y;
    const size_t low = at > 0 ? at - 1 : at, high = at + 1 < n ? at + 1 : at;
    const double rise_m = along_x ? cq_map_line(g, high, g->own_j) - cq_map_line(g, low, g->own_j)
                                  : cq_map_line(g, g->own_i, high) - cq_map_line(g, g->own_i, low);
    const double step = pow(10.0, floor(log10(1.000001 * (v[n - 1] - v[0]) / (double)(n - 1))));
    const bool us = units == CQ_UNITS_US;
    to[0] = '\0';
    if (!isnan(rise_m)) {
        const double exact = rise_m / (us ? 0.0254 : 1e-3) * step / (v[high] - v[low]);
        const double moved = fabs(exact) < (us ? 0.5e-4 : 0.5e-2) ? 0.0 : exact; /* no "-0.00" */
        snprintf(to, 80, "; line %+.*f %s per %g%s%.16s", us ? 4 : 2, moved, us ? "in" : "mm", step,
                 axis->unit[0] != '\0' ? " " : "", axis->unit);
    }
}

/* How far the verdict of this plan holds along one axis, and what comes beyond. */
static void add_reach(cq_text *t, const cq_map_grid *g, const cq_vary_axis *axis, bool along_x,
                      const cq_map_telling *how) {
    const int own = cq_map_verdict(g, g->own_i, g->own_j);
    const size_t n = along_x ? g->nx : g->ny, at = along_x ? g->own_i : g->own_j;
    const double *v = along_x ? g->x : g->y;
    size_t low = at, high = at;
    while (low > 0 && (along_x ? cq_map_verdict(g, low - 1, g->own_j) : cq_map_verdict(g, g->own_i, low - 1)) == own) {
        low--;
    }
    while (high + 1 < n &&
           (along_x ? cq_map_verdict(g, high + 1, g->own_j) : cq_map_verdict(g, g->own_i, high + 1)) == own) {
        high++;
    }
    char below[64] = "", above[64] = "", slope[80];
    slope_words(g, axis, along_x, how->units, slope);
    if (low > 0) {
        snprintf(below, sizeof below, " (below: %s)",
                 cq_map_verdict_words(g, along_x ? cq_map_verdict(g, low - 1, g->own_j)
                                                 : cq_map_verdict(g, g->own_i, low - 1)));
    }
    if (high + 1 < n) {
        snprintf(above, sizeof above, " (above: %s)",
                 cq_map_verdict_words(g, along_x ? cq_map_verdict(g, high + 1, g->own_j)
                                                 : cq_map_verdict(g, g->own_i, high + 1)));
    }
    char range[96];
    if (low < high) {
        snprintf(range, sizeof range, "from %.5g%s to %.5g %.16s", v[low], below, v[high], axis->unit);
    } else {
        snprintf(range, sizeof range, "at %.5g %.16s alone%s", v[low], axis->unit, below);
    }
    cq_paragraph_add(t, how->columns, how->indent, "%.60s: holds %s%s%s", axis->key, range, above, slope);
}

/* ", line 9.1 mm", ", no line"; nothing of a plate. */
static const char *line_words(const cq_map_grid *g, double line_m, cq_unit_system units, char to[64]) {
    const bool us = units == CQ_UNITS_US;
    snprintf(to, 64, g->piece ? "" : ", no line");
    if (!isnan(line_m)) {
        snprintf(to, 64, us ? ", line %.3f in" : ", line %.1f mm", us ? line_m / 0.0254 : 1e3 * line_m);
    }
    return to;
}

void cq_map_add_own(cq_text *t, const cq_map_grid *g, const cq_map *map, const cq_map_telling *how) {
    if (!cq_map_has_own(g)) {
        cq_paragraph_add(t, how->columns, "", "The plan's own values lie beside this map.");
        return;
    }
    const int nearest = cq_map_verdict(g, g->own_i, g->own_j);
    char line[64], near[320];
    cq_verdict alone = CQ_VERDICT_INERT;
    const bool ran = map->own != NULL && cq_row_verdict(map->own, &alone);
    const bool at_node = !(fabs(g->x[g->own_i] - g->own_x) > 1e-9 * fabs(g->own_x)) &&
                         !(fabs(g->y[g->own_j] - g->own_y) > 1e-9 * fabs(g->own_y));
    const bool known = at_node || ran; /* a run of the map may be this plan */
    const int own = ran ? (int)alone : nearest;
    const double own_m = ran ? map->own->value[CQ_FIGURE_LINE] : cq_map_line(g, g->own_i, g->own_j);
    if (known) {
        cq_paragraph_add(t, how->columns, "", "This plan: %s%s.", cq_map_verdict_words(g, own),
                         line_words(g, own_m, how->units, line));
    }
    if (!known || (!at_node && own != nearest)) {
        snprintf(near, sizeof near, "Nearest run (%.5g %.16s, %.5g %.16s): %s%s.%s", g->x[g->own_i], map->x->unit,
                 g->y[g->own_j], map->y->unit, cq_map_verdict_words(g, nearest),
                 line_words(g, cq_map_line(g, g->own_i, g->own_j), how->units, line),
                 known ? " From it:" : " The plan itself was not run.");
        cq_paragraph_add(t, how->columns, "", "%s", near);
    }
    add_reach(t, g, map->x, true, how);
    add_reach(t, g, map->y, false, how);
}

cq_status cq_map_screen(const cq_map *map, cq_unit_system units, char **text) {
    cq_map_grid *g = NULL;
    char across[160], upward[160];
    cq_status status = cq_map_grid_create(&g, map);
    if (status < 0) {
        return status;
    }
    cq_text t = {NULL, 0, 0, false};
    cq_map_axis_words(map->x, across);
    cq_map_axis_words(map->y, upward);
    cq_paragraph_add(&t, COLUMNS, "", "%.160s", map->comparison->title);
    if (!g->piece) {
        cq_paragraph_add(&t, COLUMNS, "", "Height of the line in %s.", units == CQ_UNITS_US ? "inches" : "mm");
    }
    cq_paragraph_add(&t, COLUMNS, "Up:     ", "%s", upward);
    cq_paragraph_add(&t, COLUMNS, "Across: ", "%s", across);
    add_map(&t, g, units);
    add_legend(&t, g, cq_map_has_own(g));
    cq_map_add_own(&t, g, map, &(cq_map_telling){COLUMNS, "  ", units});
    cq_paragraph_add(&t, COLUMNS, "! ", "%s", cq_caution_sentence(CQ_CAUTIONS - 1)); /* the one that always holds */
    cq_map_grid_free(g);
    if (t.failed) {
        cq_memory_free(t.bytes);
        return CQ_ERR_MEMORY;
    }
    *text = t.bytes;
    return CQ_OK;
}

/* ---- JSON -------------------------------------------------------------------------------------------------------- */

static json_t *axis_json(const cq_vary_axis *axis, const double *v, size_t n) {
    json_t *values = json_array();
    for (size_t i = 0; i < n; i++) {
        values = cq_json_appended(values, cq_json_number(v[i]));
    }
    return json_pack("{so so so so so}", "key", cq_json_words(axis->key), "meaning", cq_json_words(axis->meaning),
                     "unit", cq_json_words(axis->unit), "values", values, "own", cq_json_number(axis->own_number));
}

/* One list per y, from the lowest up. */
static json_t *field_json(const cq_map_grid *g, bool lines) {
    json_t *all = json_array();
    for (size_t j = 0; j < g->ny; j++) {
        json_t *row = json_array();
        for (size_t i = 0; i < g->nx; i++) {
            const int verdict = cq_map_verdict(g, i, j);
            row = cq_json_appended(row, lines         ? cq_json_number(1e3 * cq_map_line(g, i, j))
                                        : verdict < 0 ? json_null()
                                                      : cq_json_words(cq_map_verdict_words(g, verdict)));
        }
        all = cq_json_appended(all, row);
    }
    return all;
}

cq_status cq_map_json(const cq_map *map, char **text) {
    cq_map_grid *g = NULL;
    const cq_status status = cq_map_grid_create(&g, map);
    if (status < 0) {
        return status;
    }
    const cq_json_member members[] = {
        {"program", json_string("clayquench " CQ_VERSION)},
        {"title", cq_json_words(map->comparison->title)},
        {"x", axis_json(map->x, g->x, g->nx)},
        {"y", axis_json(map->y, g->y, g->ny)},
        {"line_mm", field_json(g, true)},
        {"verdict", field_json(g, false)},
        {"rows", cq_rows_json(map->comparison)},
        {"cautions", cq_cautions_json(map->comparison)},
    };
    cq_map_grid_free(g);
    return cq_json_text(cq_json_object(members, sizeof members / sizeof members[0]), text);
}
