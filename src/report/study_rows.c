/* study_rows.c - see study_rows.h. */
#include "report/study_rows.h"

#include "report/json_parts.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* ---- words ------------------------------------------------------------------------------------------------------- */

const char *cq_row_word(const cq_comparison *c, size_t run, size_t axis) {
    const cq_study_axis *a = &c->about->axes[axis];
    const double index = c->table->inputs[run * c->table->inputs_n + axis];
    return index >= 0.0 && index < (double)a->n ? a->words[(size_t)index] : "";
}

const char *cq_axis_head(const cq_study_about *about, size_t axis) {
    const char *key = about->axes[axis].key, *head = key + strlen(key);
    for (bool apart = false; !apart && head > key;) {
        head--; /* over the dot, then to the one before */
        while (head > key && head[-1] != '.') {
            head--;
        }
        apart = true;
        for (size_t a = 0; a < about->axes_n; a++) {
            const char *other = about->axes[a].key;
            const size_t n = strlen(head), m = strlen(other);
            apart = apart && (a == axis || m < n || strcmp(other + m - n, head) != 0);
        }
    }
    return head;
}

void cq_baths_words(const cq_compare_baths *baths, cq_unit_system units, char *to, size_t size) {
    size_t at = 0;
    to[0] = '\0';
    for (size_t b = 0; b < baths->n && at < size; b++) {
        const double celsius = baths->at_K[b] - 273.15;
        at +=
            (size_t)snprintf(to + at, size - at, "%s%.24s %.0f %s", b > 0 ? ", " : "", baths->name[b],
                             units == CQ_UNITS_US ? 1.8 * celsius + 32.0 : celsius, units == CQ_UNITS_US ? "°F" : "°C");
    }
}

bool cq_baths_equal(const cq_compare_baths *a, const cq_compare_baths *b) {
    bool equal = a->n == b->n;
    for (size_t n = 0; n < a->n && equal; n++) {
        equal = strcmp(a->name[n], b->name[n]) == 0 && !(fabs(a->at_K[n] - b->at_K[n]) > 1e-6);
    }
    return equal;
}

bool cq_row_verdict(const cq_row *row, cq_verdict *verdict) {
    const double v = row->value[CQ_FIGURE_VERDICT];
    if (row->state != CQ_ROW_DONE || !(v >= 0.0 && v <= CQ_VERDICT_INERT)) {
        return false;
    }
    *verdict = (cq_verdict)v;
    return true;
}

const char *cq_piece_verdict_words(cq_verdict verdict) {
    switch (verdict) {
    case CQ_VERDICT_NO_EDGE:
        return "not hard";
    case CQ_VERDICT_GOOD:
        return "hard face, soft centre";
    case CQ_VERDICT_THROUGH:
        return "hard to the centre";
    default:
        return cq_verdict_words(verdict);
    }
}

bool cq_row_is_piece(const cq_row *row) {
    return row->state == CQ_ROW_DONE && isnan(row->value[CQ_FIGURE_SPINE_HV]);
}

const char *cq_row_verdict_words(const cq_row *row, cq_verdict verdict) {
    return cq_row_is_piece(row) ? cq_piece_verdict_words(verdict) : cq_verdict_words(verdict);
}

const char *cq_row_crack(const cq_row *row) {
    static const char *const classes[] = {"low", "medium", "high"};
    const double v = row->value[CQ_FIGURE_CRACK];
    return v >= 0.0 && v <= 2.0 ? classes[(int)v] : NULL;
}

const char *cq_row_message(const cq_row *row) {
    const size_t place = strcspn(row->message, ": ");
    const char *name = row->message;
    for (const char *p = row->message; row->message[place] == ':' && p < row->message + place; p++) {
        name = *p == '/' ? p + 1 : name;
    }
    return name;
}

/* ---- JSON -------------------------------------------------------------------------------------------------------- */

static json_t *number(const cq_row *row, cq_figure figure) {
    return cq_json_number(row->value[figure] + 0.0); /* no negative zero */
}

static json_t *mm(const cq_row *row, cq_figure figure) {
    return cq_json_number(1e3 * row->value[figure] + 0.0);
}

static json_t *line(const cq_row *row, const char *verdict) {
    if (isnan(row->value[CQ_FIGURE_SPINE_HV])) { /* no section that could have one */
        return json_null();
    }
    return json_pack("{so so so so so so so so}", "surface_mm", mm(row, CQ_FIGURE_LINE), "left_mm",
                     mm(row, CQ_FIGURE_LINE_LEFT), "right_mm", mm(row, CQ_FIGURE_LINE_RIGHT), "mid_mm",
                     mm(row, CQ_FIGURE_LINE_MID), "band_mm",
                     json_pack("[oo]", mm(row, CQ_FIGURE_BAND_90), mm(row, CQ_FIGURE_BAND_10)), "ground_mm",
                     mm(row, CQ_FIGURE_LINE_GROUND), "verdict", cq_json_words(verdict), "contrast_HV",
                     number(row, CQ_FIGURE_CONTRAST));
}

static json_t *spot(const cq_row *row, cq_figure HV, cq_figure HRC, cq_figure martensite, cq_figure austenite) {
    if (isnan(row->value[HV])) {
        return json_null();
    }
    const bool edge = HRC != CQ_FIGURES, rest = austenite != CQ_FIGURES, share = martensite != CQ_FIGURES;
    return json_pack("{so so* so* so*}", "HV", number(row, HV), "HRC", edge ? number(row, HRC) : NULL, "martensite",
                     share ? number(row, martensite) : NULL, "retained_austenite",
                     rest ? number(row, austenite) : NULL);
}

static json_t *row_json(const cq_comparison *c, size_t run) {
    static const char *const states[] = {[CQ_ROW_OPEN] = "open", [CQ_ROW_DONE] = "done", [CQ_ROW_FAILED] = "failed"};
    const cq_row *r = &c->table->row[run];
    cq_verdict verdict;
    const bool known = cq_row_verdict(r, &verdict);
    const char *words = known ? cq_verdict_words(verdict) : NULL, *crack = cq_row_crack(r);
    json_t *values = json_object(), *baths = json_array();
    for (size_t a = 0; a < c->about->axes_n; a++) {
        if (json_object_set_new(values, c->about->axes[a].key, cq_json_words(cq_row_word(c, run, a))) != 0) {
            json_decref(values);
            values = NULL;
        }
    }
    for (size_t b = 0; b < c->baths[run].n; b++) {
        baths = cq_json_appended(baths, json_pack("{so so}", "name", cq_json_words(c->baths[run].name[b]), "at_C",
                                                  cq_json_celsius(c->baths[run].at_K[b])));
    }
    const cq_json_member members[] = {
        {"run", json_integer((json_int_t)run)},
        {"values", values},
        {"baths", baths},
        {"state", json_string(states[r->state])},
        {"message", r->message[0] == '\0' ? json_null() : cq_json_words(r->message)},
        {"line", line(r, words)},
        {"verdict", known ? cq_json_words(words) : json_null()},
        {"edge", spot(r, CQ_FIGURE_EDGE_HV, CQ_FIGURE_EDGE_HRC, CQ_FIGURE_EDGE_MARTENSITE, CQ_FIGURE_EDGE_AUSTENITE)},
        {"body", spot(r, CQ_FIGURE_BODY_HV, CQ_FIGURES, CQ_FIGURE_BODY_MARTENSITE, CQ_FIGURES)},
        {"spine", spot(r, CQ_FIGURE_SPINE_HV, CQ_FIGURES, CQ_FIGURE_SPINE_MARTENSITE, CQ_FIGURES)},
        {"edge_after_temper", spot(r, CQ_FIGURE_EDGE_TEMPER_HV, CQ_FIGURE_EDGE_TEMPER_HRC, CQ_FIGURES, CQ_FIGURES)},
        {"spine_after_temper", spot(r, CQ_FIGURE_SPINE_TEMPER_HV, CQ_FIGURES, CQ_FIGURES, CQ_FIGURES)},
        {"t500_s", json_pack("{so so so}", "edge", number(r, CQ_FIGURE_EDGE_T500), "body",
                             number(r, CQ_FIGURE_BODY_T500), "spine", number(r, CQ_FIGURE_SPINE_T500))},
        {"film", json_pack("{s{so} s{so}}", "edge", "time_s", number(r, CQ_FIGURE_FILM_EDGE), "body", "time_s",
                           number(r, CQ_FIGURE_FILM_BODY))},
        {"soak", json_pack("{so so}", "grain_ASTM", number(r, CQ_FIGURE_GRAIN), "carbon_in_solution_wt",
                           number(r, CQ_FIGURE_CARBON))},
        {"curve", json_pack("{so so so so}", "rise_mm", mm(r, CQ_FIGURE_RISE), "side_bend_mm",
                            mm(r, CQ_FIGURE_SIDE_BEND), "tempered_mm", mm(r, CQ_FIGURE_RISE_TEMPERED), "direction_only",
                            json_boolean(r->value[CQ_FIGURE_OIL_ALONE] > 0.5))},
        {"crack", json_pack("{so}", "class", crack == NULL ? json_null() : json_string(crack))},
        {"energy", json_pack("{so}", "imbalance", number(r, CQ_FIGURE_IMBALANCE))},
    };
    return cq_json_object(members, sizeof members / sizeof members[0]);
}

json_t *cq_rows_json(const cq_comparison *c) {
    json_t *all = json_array();
    for (size_t run = 0; run < c->table->runs_n && all != NULL; run++) {
        all = cq_json_appended(all, row_json(c, run));
    }
    return all;
}

json_t *cq_axes_json(const cq_comparison *c) {
    json_t *all = json_array();
    for (size_t a = 0; a < c->about->axes_n; a++) {
        const cq_study_axis *axis = &c->about->axes[a];
        json_t *words = json_array();
        for (size_t v = 0; v < axis->n; v++) {
            words = cq_json_appended(words, cq_json_words(axis->words[v]));
        }
        all = cq_json_appended(all, json_pack("{so so so}", "key", cq_json_words(axis->key), "meaning",
                                              cq_json_words(axis->meaning), "values", words));
    }
    return all;
}

json_t *cq_cautions_json(const cq_comparison *c) {
    json_t *all = json_array();
    for (int n = 0; n < CQ_CAUTIONS; n++) {
        if ((c->cautions & (1u << n)) != 0) {
            all = cq_json_appended(all, cq_json_words(cq_caution_sentence(n)));
        }
    }
    return all;
}
