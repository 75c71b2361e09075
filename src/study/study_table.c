/* study_table.c - the figures kept of a run and the table of a study's rows. */
#include "base/memory.h"

#include <clayquench/study.h>
#include <math.h>

const char *cq_figure_name(cq_figure figure) {
#define COLUMN(name, column, unit, words) column,
    static const char *const all[CQ_FIGURES] = {CQ_FIGURE_LIST(COLUMN)};
#undef COLUMN
    return all[figure];
}

const char *cq_figure_unit(cq_figure figure) {
#define UNIT(name, column, unit, words) unit,
    static const char *const all[CQ_FIGURES] = {CQ_FIGURE_LIST(UNIT)};
#undef UNIT
    return all[figure];
}

const char *cq_figure_words(cq_figure figure) {
#define WORDS(name, column, unit, words) words,
    static const char *const all[CQ_FIGURES] = {CQ_FIGURE_LIST(WORDS)};
#undef WORDS
    return all[figure];
}

void cq_figures_of(const cq_result *r, double value[CQ_FIGURES]) {
    for (int f = 0; f < CQ_FIGURES; f++) {
        value[f] = NAN;
    }
    value[CQ_FIGURE_VERDICT] = r->verdict;
    value[CQ_FIGURE_BODY_HV] = r->body.HV;
    value[CQ_FIGURE_BODY_MARTENSITE] = r->body.fraction[CQ_MARTENSITE];
    value[CQ_FIGURE_EDGE_HV] = r->edge.HV;
    value[CQ_FIGURE_EDGE_HRC] = r->edge.HRC;
    value[CQ_FIGURE_EDGE_MARTENSITE] = r->edge.fraction[CQ_MARTENSITE];
    value[CQ_FIGURE_EDGE_AUSTENITE] = r->edge.fraction[CQ_AUSTENITE];
    value[CQ_FIGURE_EDGE_TEMPER_HV] = r->edge_temper_HV;
    value[CQ_FIGURE_EDGE_TEMPER_HRC] = r->edge_temper_HRC;
    value[CQ_FIGURE_EDGE_FACE_HV] = r->built.skinned ? r->built.file_HV : r->edge.HV;
    if (r->has_line) {
        value[CQ_FIGURE_LINE] = r->line_surface_m;
        value[CQ_FIGURE_LINE_LEFT] = r->line_left_m;
        value[CQ_FIGURE_LINE_RIGHT] = r->line_right_m;
        value[CQ_FIGURE_LINE_MID] = r->line_mid_m;
        value[CQ_FIGURE_LINE_GROUND] = r->line_ground_m;
        value[CQ_FIGURE_BAND_90] = r->line_band90_m;
        value[CQ_FIGURE_BAND_10] = r->line_band10_m;
        value[CQ_FIGURE_CONTRAST] = r->contrast_HV;
        value[CQ_FIGURE_SPINE_HV] = r->spine.HV;
        value[CQ_FIGURE_SPINE_TEMPER_HV] = r->spine_temper_HV;
        value[CQ_FIGURE_SPINE_MARTENSITE] = r->spine.fraction[CQ_MARTENSITE];
    }
    value[CQ_FIGURE_EDGE_T500] = r->traces[CQ_TRACE_EDGE].t500_s;
    value[CQ_FIGURE_BODY_T500] = r->traces[CQ_TRACE_BODY].t500_s;
    value[CQ_FIGURE_SPINE_T500] = r->traces[CQ_TRACE_SPINE].t500_s;
    value[CQ_FIGURE_FILM_EDGE] = r->film_edge.time_s;
    value[CQ_FIGURE_FILM_BODY] = r->film_body.time_s;
    value[CQ_FIGURE_IMBALANCE] = r->energy_imbalance;
    if (r->curve.known) {
        value[CQ_FIGURE_RISE] = r->curve.quenched.rise_m;
        value[CQ_FIGURE_SIDE_BEND] = r->curve.quenched.side_bend_m;
        value[CQ_FIGURE_OIL_ALONE] = r->curve.direction_only ? 1.0 : 0.0;
        if (r->tempers_n > 0) {
            value[CQ_FIGURE_RISE_TEMPERED] = r->tempers[r->tempers_n - 1].bend.rise_m;
        }
    }
    if (r->crack.known) {
        value[CQ_FIGURE_CRACK] = r->crack.class_n;
        value[CQ_FIGURE_CRACK_INDEX] = r->crack.index_MPa;
        value[CQ_FIGURE_CRACK_TIME] = r->crack.time_s;
        value[CQ_FIGURE_CRACK_SINCE] = r->crack.since_s;
    }
    if (r->transforming) {
        value[CQ_FIGURE_GRAIN] = r->grain_ASTM;
        value[CQ_FIGURE_CARBON] = r->carbon_in_solution_wt;
    }
}

cq_status cq_study_table_create(cq_study_table **table, size_t runs_n, size_t inputs_n, cq_error *error) {
    cq_study_table *t = cq_memory_zero(1, sizeof *t);
    if (t != NULL) {
        t->runs_n = runs_n;
        t->inputs_n = inputs_n;
        t->row = cq_memory_zero(runs_n, sizeof *t->row);
        /* one run and many inputs, or many runs: a product that overflows is found by the allocator */
        t->inputs = cq_memory_zero(runs_n, inputs_n * sizeof *t->inputs);
    }
    if (t == NULL || t->row == NULL || t->inputs == NULL) {
        cq_study_table_free(t);
        return cq_error_say(error, CQ_ERR_MEMORY, "", "", "make fewer runs, or share them out with --part",
                            "no memory for the rows of %zu runs", runs_n);
    }
    for (size_t run = 0; run < runs_n; run++) {
        for (int f = 0; f < CQ_FIGURES; f++) {
            t->row[run].value[f] = NAN;
        }
    }
    *table = t;
    return CQ_OK;
}

void cq_study_table_free(cq_study_table *table) {
    if (table != NULL) {
        cq_memory_free(table->row);
        cq_memory_free(table->inputs);
        cq_memory_free(table);
    }
}

size_t cq_study_table_count(const cq_study_table *table, size_t n, cq_row_state state) {
    size_t found = 0;
    for (size_t run = 0; run < n && run < table->runs_n; run++) {
        found += table->row[run].state == state;
    }
    return found;
}
