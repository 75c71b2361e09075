/* coat.c - clay thickness over the height of one face, with steps sloped to what wet clay holds.
 *
 * Sloping works on the thickness f over the distance s along the steel face, straight between points. A piece steeper
 * than c = CQ_CLAY_SLOPE first becomes a vertical step where it keeps the amount of clay. With (L_k f)(s) = min over r
 * of f(r) + k |s - r|      the highest curve below f that is no steeper than k          (1) U_k f = -L_k (-f),    M_k =
 * (L_k + U_k) / 2                                                                   (2) the coat is M_c M_2c f. M_2c
 * turns a step into a ramp of slope c centred on it; M_c limits what stays steeper where steps stand closer than their
 * ramps are long. Both leave alone what is not too steep.
 */
#include "base/memory.h"
#include "section/shape.h"

#include <math.h>

static const double LEAST_STEP_m = 1e-9; /* smaller steps of thickness are rounding */

static double side_thickness(const cq_coat_point *p, int side) {
    return side == CQ_SIDE_LEFT ? p->left_m : p->right_m;
}

/* The coat as laid, bare outside its points: from the first point of `outline` to the last. A step at an end of the
 * face is a butt end: what lies beyond it is left out. */
static void lay(cq_polyline *line, const cq_coat *coat, int side, const cq_polyline *outline) {
    const double top = outline->x[outline->n - 1], reach = 1e-9 * top;
    if (coat->points[0].at_m > reach) {
        cq_polyline_push(line, 0.0, 0.0);
        cq_polyline_push(line, coat->points[0].at_m, 0.0);
    }
    for (size_t i = 0; i < coat->n; i++) {
        const double at = coat->points[i].at_m, x = at > top - reach ? top : at > reach ? at : 0.0;
        const bool at_edge_again = i + 1 < coat->n && !(coat->points[i + 1].at_m > reach);
        const bool at_spine_again = line->n > 0 && !(line->x[line->n - 1] < top);
        if (!at_edge_again && !at_spine_again) {
            cq_polyline_push(line, x, side_thickness(&coat->points[i], side));
        }
    }
    if (line->x[line->n - 1] < top) {
        cq_polyline_push(line, line->x[line->n - 1], 0.0);
        cq_polyline_push(line, top, 0.0);
    }
}

/* ---- distance along the face ------------------------------------------------------------------------------------- */

/* Distance along the face at each point of the outline: x = height, v = distance. */
static cq_status measure_along(cq_polyline *station, const cq_polyline *outline) {
    const cq_status status = cq_polyline_create(station, outline->n);
    if (status == CQ_OK) {
        cq_polyline_push(station, outline->x[0], 0.0);
        for (size_t i = 1; i < outline->n; i++) {
            const double dx = outline->x[i] - outline->x[i - 1], dy = outline->v[i] - outline->v[i - 1];
            cq_polyline_push(station, outline->x[i], station->v[i - 1] + hypot(dx, dy));
        }
    }
    return status;
}

/* `line` with a point at each of `at` that falls inside one of its pieces. */
static cq_status divide(cq_polyline *divided, const cq_polyline *line, const double *at, size_t n) {
    const cq_status status = cq_polyline_create(divided, line->n + n);
    size_t next = 0;
    for (size_t i = 0; status == CQ_OK && i < line->n; i++) {
        for (; next < n && at[next] < line->x[i]; next++) {
            if (i > 0 && at[next] > line->x[i - 1]) {
                const double u = (at[next] - line->x[i - 1]) / (line->x[i] - line->x[i - 1]);
                cq_polyline_push(divided, at[next], line->v[i - 1] + u * (line->v[i] - line->v[i - 1]));
            }
        }
        cq_polyline_push(divided, line->x[i], line->v[i]);
    }
    return status;
}

/* Replace heights by distances along the face or back. */
static void translate(cq_polyline *line, const cq_polyline *from_to) {
    const double end = from_to->x[from_to->n - 1], end_value = from_to->v[from_to->n - 1];
    for (size_t i = 0; i < line->n; i++) {
        line->x[i] = line->x[i] < end ? cq_polyline_eval(from_to, line->x[i], 0.0) : end_value;
    }
}

/* ---- sloping ----------------------------------------------------------------------------------------------------- */

static bool too_steep(const cq_polyline *line, size_t i) {
    const double run = line->x[i + 1] - line->x[i], rise = fabs(line->v[i + 1] - line->v[i]);
    return rise > CQ_CLAY_SLOPE * run * (1.0 + 1e-9) && rise > LEAST_STEP_m;
}

static bool same_way(const cq_polyline *line, size_t i, size_t k) {
    return (line->v[i + 1] > line->v[i]) == (line->v[k + 1] > line->v[k]);
}

/* Each run of too steep pieces that rise (or fall) together becomes one vertical step, which keeps the area below:
 * v0 (s - s0) + v1 (s1 - s) = area. Returns the number of steps; `out` holds as many points as `line` at most. */
static int make_steps(cq_polyline *out, const cq_polyline *line) {
    int steps = 0;
    cq_polyline_push(out, line->x[0], line->v[0]);
    for (size_t i = 0; i + 1 < line->n;) {
        size_t k = i;
        double area = 0.0;
        while (k + 1 < line->n && too_steep(line, k) && same_way(line, i, k)) {
            area += 0.5 * (line->v[k] + line->v[k + 1]) * (line->x[k + 1] - line->x[k]);
            k++;
        }
        if (k == i) {
            i++;
            cq_polyline_push(out, line->x[i], line->v[i]);
            continue;
        }
        const double s0 = line->x[i], s1 = line->x[k], v0 = line->v[i], v1 = line->v[k];
        const double at = fmin(fmax(s0 + (v1 * (s1 - s0) - area) / (v1 - v0), s0), s1);
        cq_polyline_push(out, at, v0);
        cq_polyline_push(out, at, v1);
        cq_polyline_push(out, s1, v1);
        steps++;
        i = k;
    }
    return steps;
}

/* Highest curve below `f` that rises no faster than k; it may fall as it likes. At most two points per point of `f`. */
static void limit_rise(cq_polyline *out, const cq_polyline *f, double k) {
    double level = f->v[0];
    out->n = 0;
    cq_polyline_push(out, f->x[0], level);
    for (size_t i = 0; i + 1 < f->n; i++) {
        const double run = f->x[i + 1] - f->x[i];
        const double slope = run > 0.0 ? (f->v[i + 1] - f->v[i]) / run : INFINITY;
        const double meet =
            slope < k ? (f->v[i] - level) / (k - slope) : INFINITY; /* where the limit reaches f again */
        if (meet > 0.0 && meet < run) {
            cq_polyline_push(out, f->x[i] + meet, level + k * meet);
        }
        level = fmin(f->v[i + 1], level + k * run);
        cq_polyline_push(out, f->x[i + 1], level);
    }
}

static void turn_round(cq_polyline *line) {
    for (size_t i = 0, k = line->n - 1; i <= k && k < line->n; i++, k--) {
        const double x = line->x[i], v = line->v[i];
        line->x[i] = -line->x[k];
        line->v[i] = line->v[k];
        line->x[k] = -x;
        line->v[k] = v;
    }
}

static void negate(cq_polyline *line) {
    for (size_t i = 0; i < line->n; i++) {
        line->v[i] = -line->v[i];
    }
}

/* (1) into `out`, which holds four points per point of `f`; `work` holds two. */
static void lower_envelope(cq_polyline *out, cq_polyline *work, const cq_polyline *f, double k) {
    limit_rise(work, f, k);
    turn_round(work);
    limit_rise(out, work, k);
    turn_round(out);
}

/* M_k of (2) into `mean`, without points that lie on the straight between their neighbours. */
static void push_mean(cq_polyline *mean, const double *x, size_t n, const cq_polyline *low, const cq_polyline *high) {
    for (size_t i = 0; i < n; i++) {
        const double v = 0.5 * (cq_polyline_eval(low, x[i], 0.0) + cq_polyline_eval(high, x[i], 0.0));
        while (mean->n >= 2) {
            const size_t a = mean->n - 2, b = mean->n - 1;
            const double u = (mean->x[b] - mean->x[a]) / (x[i] - mean->x[a]);
            if (!(fabs(mean->v[a] + u * (v - mean->v[a]) - mean->v[b]) < 1e-3 * LEAST_STEP_m)) {
                break;
            }
            mean->n--;
        }
        cq_polyline_push(mean, x[i], v < LEAST_STEP_m ? 0.0 : v);
    }
}

/* Replace `f` by M_k f. */
static cq_status take_mean_envelope(cq_polyline *f, double k) {
    cq_polyline work = {0}, low = {0}, high = {0}, mean = {0};
    double *x = cq_memory_zero(8 * f->n, sizeof(double));
    cq_status status = x == NULL ? CQ_ERR_MEMORY : CQ_OK;
    if (status == CQ_OK && (status = cq_polyline_create(&work, 2 * f->n)) == CQ_OK &&
        (status = cq_polyline_create(&low, 4 * f->n)) == CQ_OK &&
        (status = cq_polyline_create(&high, 4 * f->n)) == CQ_OK &&
        (status = cq_polyline_create(&mean, 8 * f->n)) == CQ_OK) {
        lower_envelope(&low, &work, f, k);
        negate(f);
        lower_envelope(&high, &work, f, k);
        negate(&high);
        /* both envelopes end where f does; points nearer than a nanometre are one */
        const size_t n = cq_polyline_merge_x(x, &low, &high, LEAST_STEP_m);
        x[n - 1] = f->x[f->n - 1];
        push_mean(&mean, x, n, &low, &high);
        cq_polyline_free(f);
        *f = mean;
        mean = (cq_polyline){0};
    }
    cq_polyline_free(&work);
    cq_polyline_free(&low);
    cq_polyline_free(&high);
    cq_polyline_free(&mean);
    cq_memory_free(x);
    return status;
}

/* Slope the steps of `line`, given and returned over the height. */
static cq_status slope_steps(cq_polyline *line, const cq_polyline *outline, int *sloped) {
    cq_polyline station = {0}, divided = {0}, stepped = {0}, result = {0};
    cq_status status = measure_along(&station, outline);
    if (status == CQ_OK && (status = divide(&divided, line, station.x, station.n)) == CQ_OK &&
        (status = cq_polyline_create(&stepped, 3 * divided.n)) == CQ_OK) {
        translate(&divided, &station);
        const int steps = make_steps(&stepped, &divided);
        *sloped += steps;
        if (steps > 0 && (status = take_mean_envelope(&stepped, 2.0 * CQ_CLAY_SLOPE)) == CQ_OK &&
            (status = take_mean_envelope(&stepped, CQ_CLAY_SLOPE)) == CQ_OK &&
            (status = divide(&result, &stepped, station.v, station.n)) == CQ_OK) {
            const cq_polyline height = {station.n, station.v, station.x};
            translate(&result, &height);
            cq_polyline_free(line);
            *line = result;
            result = (cq_polyline){0};
        }
    }
    cq_polyline_free(&station);
    cq_polyline_free(&divided);
    cq_polyline_free(&stepped);
    cq_polyline_free(&result);
    return status;
}

cq_status cq_coat_create(cq_polyline *thickness, const cq_coat *coat, int side, const cq_polyline *outline,
                         int *sloped) {
    const size_t n = coat == NULL ? 0 : coat->n;
    cq_status status = cq_polyline_create(thickness, n + 4);
    if (status != CQ_OK || n == 0) {
        return status;
    }
    lay(thickness, coat, side, outline);
    status = slope_steps(thickness, outline, sloped);
    if (status != CQ_OK) {
        cq_polyline_free(thickness);
    }
    return status;
}
