/* compare_text.c - runs side by side as JSON and as CSV. */
#include "report/json_parts.h"
#include "report/study_rows.h"

#include "base/memory.h"
#include "io/result.h"

#include <math.h>
#include <string.h>

cq_status cq_compare_json(const cq_comparison *c, char **text) {
    const cq_json_member members[] = {
        {"program", json_string("clayquench " CQ_VERSION)},
        {"title", cq_json_words(c->title)},
        {"varied", cq_axes_json(c)},
        {"rows", cq_rows_json(c)},
        {"cautions", cq_cautions_json(c)},
    };
    return cq_json_text(cq_json_object(members, sizeof members / sizeof members[0]), text);
}

/* ---- CSV --------------------------------------------------------------------------------------------------------- */

/* Quoted where a comma, a quote or a line end would be taken for more (RFC 4180). */
static void add_field(cq_text *t, const char *words) {
    if (strpbrk(words, ",\"\n\r") == NULL) {
        cq_text_add(t, "%s", words);
        return;
    }
    cq_text_add(t, "\"");
    for (const char *p = words; *p != '\0'; p++) {
        cq_text_add(t, "%s%c", *p == '"' ? "\"" : "", *p);
    }
    cq_text_add(t, "\"");
}

/* Columns of figures: what they are called, `%s` for the unit of a length. */
static const struct {
    const char *head;
    cq_figure figure;
    bool length;
} COLUMNS[] = {{"line", CQ_FIGURE_LINE, true},
               {"line_left", CQ_FIGURE_LINE_LEFT, true},
               {"line_right", CQ_FIGURE_LINE_RIGHT, true},
               {"line_mid", CQ_FIGURE_LINE_MID, true},
               {"line_ground", CQ_FIGURE_LINE_GROUND, true},
               {"band_foot", CQ_FIGURE_BAND_90, true},
               {"band_top", CQ_FIGURE_BAND_10, true},
               {"edge_HRC", CQ_FIGURE_EDGE_HRC, false},
               {"edge_HV", CQ_FIGURE_EDGE_HV, false},
               {"edge_after_temper_HRC", CQ_FIGURE_EDGE_TEMPER_HRC, false},
               {"edge_after_temper_HV", CQ_FIGURE_EDGE_TEMPER_HV, false},
               {"body_HV", CQ_FIGURE_BODY_HV, false},
               {"spine_HV", CQ_FIGURE_SPINE_HV, false},
               {"contrast_HV", CQ_FIGURE_CONTRAST, false},
               {"edge_martensite", CQ_FIGURE_EDGE_MARTENSITE, false},
               {"edge_t500_s", CQ_FIGURE_EDGE_T500, false},
               {"film_edge_s", CQ_FIGURE_FILM_EDGE, false},
               {"curve_rise", CQ_FIGURE_RISE, true},
               {"side_bend", CQ_FIGURE_SIDE_BEND, true}};
enum { COLUMNS_N = sizeof COLUMNS / sizeof COLUMNS[0] };

static void add_header(cq_text *t, const cq_comparison *c, cq_unit_system units) {
    cq_text_add(t, "run");
    for (size_t a = 0; a < c->about->axes_n; a++) {
        cq_text_add(t, ",");
        add_field(t, c->about->axes[a].key);
    }
    cq_text_add(t, ",bath,verdict");
    for (size_t n = 0; n < COLUMNS_N; n++) {
        cq_text_add(t, ",%s%s", COLUMNS[n].head, !COLUMNS[n].length ? "" : units == CQ_UNITS_US ? "_in" : "_mm");
    }
    cq_text_add(t, ",crack,message\n");
}

static void add_row(cq_text *t, const cq_comparison *c, size_t run, cq_unit_system units) {
    const cq_row *row = &c->table->row[run];
    char baths[160];
    cq_verdict verdict;
    cq_text_add(t, "%zu", run);
    for (size_t a = 0; a < c->about->axes_n; a++) {
        cq_text_add(t, ",");
        add_field(t, cq_row_word(c, run, a));
    }
    cq_baths_words(&c->baths[run], units, baths, sizeof baths);
    cq_text_add(t, ",");
    add_field(t, baths);
    cq_text_add(t, ",");
    add_field(t, cq_row_verdict(row, &verdict) ? cq_verdict_words(verdict)
                 : row->state == CQ_ROW_FAILED ? "failed"
                                               : "");
    for (size_t n = 0; n < COLUMNS_N; n++) {
        const double v = row->value[COLUMNS[n].figure] + 0.0; /* no negative zero */
        if (isnan(v)) {
            cq_text_add(t, ",");
        } else {
            cq_text_add(t, ",%.6g", !COLUMNS[n].length ? v : units == CQ_UNITS_US ? v / 0.0254 : 1e3 * v);
        }
    }
    const char *crack = cq_row_crack(row);
    cq_text_add(t, ",%s,", crack == NULL ? "" : crack);
    add_field(t, row->message);
    cq_text_add(t, "\n");
}

cq_status cq_compare_csv(const cq_comparison *c, cq_unit_system units, char **text) {
    cq_text t = {NULL, 0, 0, false};
    add_header(&t, c, units);
    for (size_t run = 0; run < c->table->runs_n; run++) {
        add_row(&t, c, run, units);
    }
    if (t.failed) {
        cq_memory_free(t.bytes);
        return CQ_ERR_MEMORY;
    }
    *text = t.bytes;
    return CQ_OK;
}
