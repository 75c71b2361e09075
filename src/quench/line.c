/* line.c - where hard turns soft going up a face: the line, its band, all crossings, and the line once it is ground. */
#include "quench/places.h"

#include "base/memory.h"

#include <math.h>

size_t cq_edge_row(const cq_result *r) {
    const cq_profile_along *a = &r->along;
    size_t i = 0;
    while (r->built.skinned && i + 1 < a->n && a->height_m[i] < CQ_INSET_M) {
        i++;
    }
    return i;
}

double cq_falls_through(const cq_result *r, const double *v, double level) {
    const cq_profile_along *a = &r->along;
    const size_t first = cq_edge_row(r);
    if (!(v[first] >= level)) {
        return NAN;
    }
    for (size_t i = first; i + 1 < a->n; i++) {
        if (v[i] >= level && v[i + 1] < level) {
            return a->height_m[i] + (a->height_m[i + 1] - a->height_m[i]) * (v[i] - level) / (v[i] - v[i + 1]);
        }
    }
    return NAN;
}

size_t cq_count_crossings(const cq_result *r, const double *v) {
    size_t crossings = 0;
    for (size_t i = cq_edge_row(r); i + 1 < r->along.n; i++) {
        crossings += (v[i] >= CQ_HARD) != (v[i + 1] >= CQ_HARD);
    }
    return crossings;
}

static void add_crossings(cq_result *r, const double *v) {
    const cq_profile_along *a = &r->along;
    for (size_t i = cq_edge_row(r); i + 1 < a->n && r->crossings_n < sizeof r->crossings_m / sizeof r->crossings_m[0];
         i++) {
        if ((v[i] >= CQ_HARD) != (v[i + 1] >= CQ_HARD)) {
            r->crossings_m[r->crossings_n++] =
                a->height_m[i] + (a->height_m[i + 1] - a->height_m[i]) * (v[i] - CQ_HARD) / (v[i] - v[i + 1]);
        }
    }
}

/* Of both faces where they differ, going up. */
static void list_crossings(cq_result *r) {
    add_crossings(r, r->along.martensite_left);
    if (!r->section->symmetric) {
        add_crossings(r, r->along.martensite_right);
    }
    for (size_t i = 1; i < r->crossings_n; i++) {
        for (size_t j = i; j > 0 && r->crossings_m[j] < r->crossings_m[j - 1]; j--) {
            const double swap = r->crossings_m[j];
            r->crossings_m[j] = r->crossings_m[j - 1];
            r->crossings_m[j - 1] = swap;
        }
    }
}

static double lower_of(double a, double b) {
    return isnan(a) ? b : (isnan(b) ? a : fmin(a, b));
}

/* Where the line is seen once the faces are ground. */
static cq_status find_ground_line(cq_run *run) {
    cq_result *r = &run->result;
    const double depth = run->plan->grind_m;
    if (!(depth > 0.0)) {
        return CQ_OK;
    }
    double *left = cq_memory_zero(2 * r->along.n, sizeof(double));
    if (left == NULL) {
        return CQ_ERR_MEMORY;
    }
    double *right = left + r->along.n;
    for (int row = 0; row < run->steel_rows; row++) {
        left[row] = cq_clamped(cq_run_below_face(run, cq_run_martensite(run), row, CQ_SIDE_LEFT, depth), 0.0, 1.0);
        right[row] = cq_clamped(cq_run_below_face(run, cq_run_martensite(run), row, CQ_SIDE_RIGHT, depth), 0.0, 1.0);
    }
    r->line_ground_m = lower_of(cq_falls_through(r, left, CQ_HARD), cq_falls_through(r, right, CQ_HARD));
    cq_memory_free(left);
    return CQ_OK;
}

cq_status cq_run_find_line(cq_run *run) {
    cq_result *r = &run->result;
    const cq_profile_along *a = &r->along;
    r->line_left_m = cq_falls_through(r, a->martensite_left, CQ_HARD);
    r->line_right_m = cq_falls_through(r, a->martensite_right, CQ_HARD);
    r->line_surface_m = lower_of(r->line_left_m, r->line_right_m);
    r->line_mid_m = cq_falls_through(r, a->martensite_mid, CQ_HARD);
    const bool left = isnan(r->line_right_m) || r->line_left_m <= r->line_right_m;
    const double *lower = left ? a->martensite_left : a->martensite_right;
    r->line_band90_m = cq_falls_through(
        r, lower, 0.9 * lower[cq_edge_row(r)]); /* shares of the edge's own martensite: austenite is left too */
    r->line_band10_m = cq_falls_through(r, lower, 0.1 * lower[cq_edge_row(r)]);
    list_crossings(r);
    return find_ground_line(run);
}
