/* coat.c - clay thickness over the height of one face, with steps sloped to what wet clay holds.
 *
 * A step is replaced by a ramp of slope CQ_CLAY_SLOPE centred on it. Both the step and its neighbours are handled at once
 * by averaging two envelopes of twice that slope: the lowest that stays above the coat and the highest that stays below.
 */
#include "base/memory.h"
#include "section/shape.h"

#include <math.h>

enum { SAMPLES = 4096 };

static double side_thickness(const cq_coat_point *p, int side) {
    return side == CQ_SIDE_LEFT ? p->left_m : p->right_m;
}

/* The coat as laid, closed with vertical ends where it stops in the middle of the face. */
static void lay(cq_polyline *line, const cq_coat *coat, int side, double height_m) {
    const double reach = 1e-9 * height_m;
    for (size_t i = 0; i < coat->n; i++) {
        const double x = fmin(fmax(coat->points[i].at_m, 0.0), height_m), t = side_thickness(&coat->points[i], side);
        if (i == 0 && x > reach && t > 0.0) {
            line->x[line->n] = x;
            line->v[line->n++] = 0.0;
        }
        line->x[line->n] = x;
        line->v[line->n++] = t;
        if (i + 1 == coat->n && x < height_m - reach && t > 0.0) {
            line->x[line->n] = x;
            line->v[line->n++] = 0.0;
        }
    }
}

static int count_steep(const cq_polyline *line) {
    int steep = 0;
    for (size_t i = 0; i + 1 < line->n; i++) {
        const double run = line->x[i + 1] - line->x[i], rise = fabs(line->v[i + 1] - line->v[i]);
        steep += rise > CQ_CLAY_SLOPE * run * (1.0 + 1e-9) && rise > 1e-9;
    }
    return steep;
}

static void lower_envelope(double *v, double fall) { /* v <- largest function below v that falls no faster */
    for (int i = 1; i < SAMPLES; i++) {
        v[i] = fmin(v[i], v[i - 1] + fall);
    }
    for (int i = SAMPLES - 2; i >= 0; i--) {
        v[i] = fmin(v[i], v[i + 1] + fall);
    }
}

static void upper_envelope(double *v, double fall) {
    for (int i = 1; i < SAMPLES; i++) {
        v[i] = fmax(v[i], v[i - 1] - fall);
    }
    for (int i = SAMPLES - 2; i >= 0; i--) {
        v[i] = fmax(v[i], v[i + 1] - fall);
    }
}

/* Keep only the samples where the slope changes. */
static void simplify(cq_polyline *line, const double *x, const double *v) {
    line->n = 0;
    for (int i = 0; i < SAMPLES; i++) {
        const bool corner = i == 0 || i == SAMPLES - 1 || fabs(v[i + 1] - 2.0 * v[i] + v[i - 1]) > 1e-4 * (x[1] - x[0]);
        if (corner) {
            line->x[line->n] = x[i];
            line->v[line->n++] = v[i] < 1e-9 ? 0.0 : v[i];
        }
    }
}

static cq_status slope(cq_polyline *line, double height_m) {
    double *work = cq_memory_zero(3 * SAMPLES, sizeof(double));
    cq_polyline sloped;
    if (work == NULL || cq_polyline_create(&sloped, SAMPLES) != CQ_OK) {
        cq_memory_free(work);
        return CQ_ERR_MEMORY;
    }
    double *x = work, *below = work + SAMPLES, *above = below + SAMPLES;
    const double run = height_m / (SAMPLES - 1);
    for (int i = 0; i < SAMPLES; i++) {
        x[i] = i == SAMPLES - 1 ? height_m : i * run;
        below[i] = above[i] = cq_polyline_eval(line, x[i], 0.0);
    }
    lower_envelope(below, 2.0 * CQ_CLAY_SLOPE * run);
    upper_envelope(above, 2.0 * CQ_CLAY_SLOPE * run);
    for (int i = 0; i < SAMPLES; i++) {
        above[i] = 0.5 * (below[i] + above[i]);
    }
    upper_envelope(above, CQ_CLAY_SLOPE * run); /* ramps between one and two times the slope */
    simplify(&sloped, x, above);
    cq_memory_free(work);
    cq_polyline_free(line);
    *line = sloped;
    return CQ_OK;
}

cq_status cq_coat_create(cq_polyline *thickness, const cq_coat *coat, int side, double height_m, int *sloped) {
    cq_status status = cq_polyline_create(thickness, coat == NULL ? 2 : coat->n + 2);
    if (status != CQ_OK || coat == NULL) {
        return status;
    }
    lay(thickness, coat, side, height_m);
    const int steep = count_steep(thickness);
    *sloped += steep;
    if (steep > 0) {
        status = slope(thickness, height_m);
        if (status != CQ_OK) {
            cq_polyline_free(thickness);
        }
    }
    return status;
}
