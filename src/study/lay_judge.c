/* lay_judge.c - see lay_judge.h. */
#include "study/lay_judge.h"

#include "base/memory.h"
#include "study/statistics.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

double cq_lay_miss(const cq_row *row, const cq_lay_wish *wish) {
    const cq_figure figures[3] = {CQ_FIGURE_LINE, CQ_FIGURE_LINE_LEFT, CQ_FIGURE_LINE_RIGHT};
    double worst = 0.0;
    for (int f = wish->free_sides ? 1 : 0; f < (wish->free_sides ? 3 : 1); f++) {
        const double line = row->state == CQ_ROW_DONE ? row->value[figures[f]] : NAN;
        const double miss = isfinite(line) ? line - wish->line_m : HUGE_VAL;
        worst = fabs(miss) > fabs(worst) ? miss : worst;
    }
    return worst;
}

static double edge_HV(const cq_row *row, bool tempered) {
    return row->value[tempered ? CQ_FIGURE_EDGE_TEMPER_HV : CQ_FIGURE_EDGE_HV];
}

static double spine_HV(const cq_row *row, bool tempered) {
    return row->value[tempered ? CQ_FIGURE_SPINE_TEMPER_HV : CQ_FIGURE_SPINE_HV];
}

static bool edge_fits(const cq_row *row, const cq_lay_wish *w, bool tempered) {
    return !(w->edge_HV > 0.0) || edge_HV(row, tempered) >= w->edge_HV;
}

static bool spine_fits(const cq_row *row, const cq_lay_wish *w, bool tempered) {
    return !(w->spine_HV > 0.0) || spine_HV(row, tempered) <= w->spine_HV;
}

static bool is_good(const cq_row *row) {
    return row->state == CQ_ROW_DONE && (int)row->value[CQ_FIGURE_VERDICT] == CQ_VERDICT_GOOD;
}

bool cq_lay_meets(const cq_row *row, const cq_lay_wish *wish, double within_m, bool tempered) {
    return is_good(row) && fabs(cq_lay_miss(row, wish)) <= within_m && edge_fits(row, wish, tempered) &&
           spine_fits(row, wish, tempered);
}

double cq_lay_worth(const cq_row *row, const cq_lay_wish *wish, bool tempered) {
    if (!is_good(row) || !edge_fits(row, wish, tempered) || !spine_fits(row, wish, tempered)) {
        return 0.0;
    }
    const double off = cq_lay_miss(row, wish) / wish->within_m;
    return isfinite(off) ? 1.0 / (1.0 + off * off * off * off) : 0.0;
}

/* ---- all layouts ------------------------------------------------------------------------------------------------- */

static void note_line(cq_lay *lay, const cq_layout *layout, const cq_row *row, bool tempered) {
    const double line = row->value[CQ_FIGURE_LINE], miss = cq_lay_miss(row, &lay->wish);
    lay->with_line++;
    if (!(line >= lay->lowest_m)) {
        lay->lowest_m = line;
        lay->lowest = *layout;
        for (int f = 0; f < CQ_FIGURES; f++) {
            lay->lowest_value[f] = row->value[f];
        }
    }
    if (!(line <= lay->highest_m)) {
        lay->highest_m = line;
        lay->highest = *layout;
    }
    const double before = lay->has_nearest ? fabs(lay->nearest_value[CQ_FIGURE_LINE] - lay->wish.line_m) : HUGE_VAL;
    if (fabs(line - lay->wish.line_m) < before) {
        lay->has_nearest = true;
        lay->nearest = *layout;
        for (int f = 0; f < CQ_FIGURES; f++) {
            lay->nearest_value[f] = row->value[f];
        }
    }
    if (fabs(miss) <= lay->wish.within_m) {
        lay->best_edge_HV = fmax(edge_HV(row, tempered), lay->best_edge_HV); /* of a NaN, the other */
        lay->best_spine_HV = fmin(spine_HV(row, tempered), lay->best_spine_HV);
    }
}

void cq_lay_note(cq_lay *lay, const cq_layout *layout, const cq_row *row, bool tempered) {
    lay->layouts++;
    if (row->state != CQ_ROW_DONE) {
        if (lay->message[0] == '\0') {
            snprintf(lay->message, sizeof lay->message, "%s", row->message);
        }
        return;
    }
    const bool hard = row->value[CQ_FIGURE_EDGE_MARTENSITE] >= 0.5;
    if (!hard) {
        lay->no_edge++;
    } else if (isfinite(row->value[CQ_FIGURE_LINE])) {
        note_line(lay, layout, row, tempered);
    } else {
        lay->hard_through++;
    }
}

cq_lay_end cq_lay_reason(const cq_lay *lay) {
    const cq_lay_wish *w = &lay->wish;
    if (lay->with_line + lay->hard_through + lay->no_edge == 0) {
        return CQ_LAY_FAILED;
    }
    if (lay->with_line + lay->hard_through == 0) {
        return CQ_LAY_SOFT;
    }
    if (lay->with_line == 0) {
        return lay->no_edge > 0 ? CQ_LAY_GAP : CQ_LAY_THROUGH;
    }
    if (isfinite(lay->best_edge_HV) || isfinite(lay->best_spine_HV)) { /* some meet the line */
        return w->edge_HV > 0.0 && !(lay->best_edge_HV >= w->edge_HV)      ? CQ_LAY_EDGE
               : w->spine_HV > 0.0 && !(lay->best_spine_HV <= w->spine_HV) ? CQ_LAY_SPINE
                                                                           : CQ_LAY_PALE;
    }
    if (lay->lowest_m > w->line_m) {
        return lay->no_edge > 0 ? CQ_LAY_GAP : CQ_LAY_TOO_LOW;
    }
    if (lay->highest_m < w->line_m) {
        return lay->hard_through > 0 ? CQ_LAY_GAP : CQ_LAY_TOO_HIGH;
    }
    return CQ_LAY_GAP;
}

/* ---- samples ----------------------------------------------------------------------------------------------------- */

static int ascending(const void *a, const void *b) {
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

cq_status cq_lay_count(cq_lay_choice *c, const cq_row *rows, size_t n, const cq_lay_wish *w, bool tempered) {
    double *lines = cq_memory_zero(n, sizeof *lines);
    size_t hits = 0, done = 0, lines_n = 0;
    if (lines == NULL) {
        return CQ_ERR_MEMORY;
    }
    for (size_t i = 0; i < n; i++) {
        const cq_row *row = &rows[i];
        if (row->state != CQ_ROW_DONE) {
            continue;
        }
        const double miss = cq_lay_miss(row, w);
        done++;
        if (isfinite(row->value[CQ_FIGURE_LINE])) {
            lines[lines_n++] = row->value[CQ_FIGURE_LINE];
        }
        if (cq_lay_meets(row, w, w->within_m, tempered)) {
            hits++;
        } else if (!is_good(row) || !isfinite(miss)) {
            c->no_line++;
        } else if (fabs(miss) > w->within_m) {
            c->low += miss < 0.0;
            c->high += miss > 0.0;
        } else if (!spine_fits(row, w, tempered)) {
            c->too_hard++;
        } else {
            c->too_soft++;
        }
    }
    qsort(lines, lines_n, sizeof *lines, ascending);
    c->chance = cq_statistics_chance(hits, done);
    c->line_low_m = lines_n > 0 ? lines[(size_t)(0.05 * (double)(lines_n - 1) + 0.5)] : NAN;
    c->line_high_m = lines_n > 0 ? lines[(size_t)(0.95 * (double)(lines_n - 1) + 0.5)] : NAN;
    cq_memory_free(lines);
    return CQ_OK;
}
