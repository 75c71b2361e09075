/* rows.c - the heights of the row interfaces.
 *
 * The wished size of a row is that of the nearest feature plus GROWTH times the distance from it, so that neighbours
 * differ by that part; the sizes are then scaled to the number of rows asked for. Some heights are pinned to an
 * interface: the ridge, so that no row straddles it; where there is room, other corners of the steel (rims of a groove,
 * points of an outline), where a coat becomes thick enough for cells, so that they begin at the same height on every
 * grid, and rims of the coat. Refinement divides every row of the same curve.
 */
#include "base/memory.h"
#include "section/shape.h"

#include <math.h>

enum { SAMPLES = 2048, MOST_WIDENINGS = 40 };
static const double GROWTH = 0.12, LARGEST = 1.0 / 40.0; /* LARGEST: of the height */
static const double EDGE_ROW_m = 0.05e-3, SPINE_ROW_m = 0.10e-3, RIM_ROW_m = 0.15e-3;
static const double RIM_BEND = 0.1;    /* change of the coat's slope that makes a rim */
static const double CORNER_BEND = 0.1; /* change of the steel's slope that makes a corner; an arc's pieces bend less */
static const double ROW_TURN = 0.2;    /* change of slope along a row on an arc */
static const double MOST_SCALE = 1.8;  /* neighbours then differ by exp(GROWTH * 1.8), a quarter */
static const int LEAST_ROWS = 5;       /* between heights that should lie on an interface */
static const int LEAST_TO_CORNER = 3;  /* the same for corners of the steel */

typedef struct features {
    size_t n;
    double *x, *size;
} features;

static void add_feature(features *f, double x, double size) {
    f->x[f->n] = x;
    f->size[f->n++] = size;
}

static double slope_before(const double *x, const double *v, size_t i) {
    return (v[i] - v[i - 1]) / (x[i] - x[i - 1]);
}

/* Slope of the thickness laid, without what fills a hollow: that is smooth where the steel is. */
static double laid_slope_before(const cq_flank *k, size_t i) {
    return slope_before(k->foot_x_m, k->coat_m, i) - slope_before(k->foot_x_m, k->fill_m, i);
}

/* Change of the steel's slope at a node. */
static double bend_of(const cq_flank *k, size_t i) {
    return fabs(slope_before(k->foot_x_m, k->foot_y_m, i + 1) - slope_before(k->foot_x_m, k->foot_y_m, i));
}

/* Edge, spine and the rims of the coat. A ridge needs no fine rows: it only has to lie between two. */
static void find_features(features *f, const cq_section *s) {
    add_feature(f, 0.0, EDGE_ROW_m);
    add_feature(f, s->height_m, SPINE_ROW_m);
    for (int side = 0; side < CQ_SIDES; side++) {
        const cq_flank *k = &s->side[side];
        for (size_t i = 1; i + 1 < k->n; i++) {
            if (fabs(laid_slope_before(k, i + 1) - laid_slope_before(k, i)) > RIM_BEND) {
                add_feature(f, k->foot_x_m[i], RIM_ROW_m);
            }
        }
    }
}

/* Narrow arcs, a groove's: their rows must not turn too far. */
static void find_arcs(features *f, const cq_section *s) {
    for (int side = 0; side < CQ_SIDES; side++) {
        const cq_flank *k = &s->side[side];
        for (size_t i = 1; i + 1 < k->n; i++) {
            const double bend = bend_of(k, i), row = 0.5 * ROW_TURN / bend * (k->foot_x_m[i + 1] - k->foot_x_m[i - 1]);
            if (bend < CORNER_BEND && row < LARGEST * s->height_m) { /* no bend: no bound */
                add_feature(f, k->foot_x_m[i], row);
            }
        }
    }
}

static double size_at(const features *f, double widening, double x, double largest) {
    double size = largest;
    for (size_t n = 0; n < f->n; n++) {
        size = fmin(size, widening * f->size[n] + GROWTH * fabs(x - f->x[n]));
    }
    return size;
}

/* Running count of rows of the wished size up to each sample; returns the last. */
static double count_rows(double *counted, const features *f, double widening, double height) {
    const double step = height / SAMPLES, largest = fmax(1.0, 0.25 * widening) * LARGEST * height;
    for (int n = 0; n < SAMPLES; n++) {
        counted[n + 1] = counted[n] + step / size_at(f, widening, (n + 0.5) * step, largest);
    }
    return counted[SAMPLES];
}

/* Height below which there are `rows` rows. */
static double height_of(const double *counted, double height, double rows) {
    int low = 0, high = SAMPLES;
    while (high - low > 1) {
        const int middle = (low + high) / 2;
        if (counted[middle] <= rows) {
            low = middle;
        } else {
            high = middle;
        }
    }
    const double run = counted[high] - counted[low], u = run > 0.0 ? (rows - counted[low]) / run : 0.0;
    return height * (low + u) / SAMPLES;
}

/* Rows of the wished sizes below height x. */
static double rows_below(const double *counted, double height, double x) {
    const double at = SAMPLES * (x / height);
    const int sample = (int)fmin(fmax(floor(at), 0.0), SAMPLES - 1);
    return counted[sample] + (at - sample) * (counted[sample + 1] - counted[sample]);
}

/* ---- pins -------------------------------------------------------------------------------------------------------- */

/* Heights on an interface, from the edge up, and the number of rows below each before refinement. */
typedef struct pins {
    size_t n;
    double *x, *row;
} pins;

static bool has_room(const pins *p, double row, double least) {
    for (size_t n = 0; n < p->n; n++) {
        if (fabs(p->row[n] - row) < least) {
            return false;
        }
    }
    return true;
}

static void insert_pin(pins *p, double x, double row) {
    size_t at = p->n++;
    for (; at > 0 && p->x[at - 1] > x; at--) {
        p->x[at] = p->x[at - 1];
        p->row[at] = p->row[at - 1];
    }
    p->x[at] = x;
    p->row[at] = row;
}

/* Heights at which the coat of a face becomes or ceases to be thick enough for cells, added to `f`. */
static void add_crossings(features *f, const cq_flank *k) {
    for (size_t i = 1; i < k->n; i++) {
        const double a = k->coat_m[i - 1] - CQ_THIN_COAT, b = k->coat_m[i] - CQ_THIN_COAT;
        if ((a < 0.0) != (b < 0.0)) {
            add_feature(f, k->foot_x_m[i - 1] + a / (a - b) * (k->foot_x_m[i] - k->foot_x_m[i - 1]), 0.0);
        }
    }
}

/* Heights at which the steel of a face has a corner, added to `f`. */
static void add_corners(features *f, const cq_flank *k) {
    for (size_t i = 1; i + 1 < k->n; i++) {
        if (bend_of(k, i) > CORNER_BEND) {
            add_feature(f, k->foot_x_m[i], 0.0);
        }
    }
}

/* Pin those of `heights` that leave `least` rows to other pins, lower ones first. Left and right faces give the same
 * pins in whichever order they come. */
static void pin_where_there_is_room(pins *p, features *heights, const double *counted, double height, int along,
                                    int least) {
    for (size_t n = 0; n < heights->n; n++) { /* sort by insertion: there are few */
        const double x = heights->x[n];
        size_t at = n;
        for (; at > 0 && heights->x[at - 1] > x; at--) {
            heights->x[at] = heights->x[at - 1];
        }
        heights->x[at] = x;
    }
    for (size_t n = 0; n < heights->n; n++) {
        const double row = round(along * rows_below(counted, height, heights->x[n]) / counted[SAMPLES]);
        if (has_room(p, row, least)) {
            insert_pin(p, heights->x[n], row);
        }
    }
}

/* `rims` is used up; `work` has room for as many heights. */
static void place_pins(pins *p, features *rims, features *work, const cq_section *s, const double *counted, int along) {
    insert_pin(p, 0.0, 0.0);
    insert_pin(p, s->height_m, along);
    if (s->ridge_at_m > 0.0) {
        const double row = round(along * rows_below(counted, s->height_m, s->ridge_at_m) / counted[SAMPLES]);
        insert_pin(p, s->ridge_at_m, fmin(fmax(row, 1.0), along - 1.0));
    }
    add_corners(work, &s->side[CQ_SIDE_LEFT]);
    add_corners(work, &s->side[CQ_SIDE_RIGHT]);
    pin_where_there_is_room(p, work, counted, s->height_m, along, LEAST_TO_CORNER);
    work->n = 0;
    add_crossings(work, &s->side[CQ_SIDE_LEFT]);
    add_crossings(work, &s->side[CQ_SIDE_RIGHT]);
    pin_where_there_is_room(p, work, counted, s->height_m, along, LEAST_ROWS);
    pin_where_there_is_room(p, rims, counted, s->height_m, along, LEAST_ROWS);
}

/* Between two pins the rows follow the wished sizes, scaled to the whole number of rows there. */
static void place_rows(double *x, const pins *p, const double *counted, double height, int refine) {
    for (size_t n = 0; n + 1 < p->n; n++) {
        const int from = (int)p->row[n] * refine, to = (int)p->row[n + 1] * refine;
        const double low = rows_below(counted, height, p->x[n]), high = rows_below(counted, height, p->x[n + 1]);
        x[from] = p->x[n];
        for (int i = from + 1; i < to; i++) {
            x[i] = height_of(counted, height, low + (high - low) * (i - from) / (to - from));
        }
        x[to] = p->x[n + 1];
    }
}

cq_status cq_grading_rows(double *x, const cq_section *s, int along, int refine) {
    const size_t most = 3 * (s->side[CQ_SIDE_LEFT].n + s->side[CQ_SIDE_RIGHT].n) + 4; /* corners, crossings, rims */
    double *block = cq_memory_zero(SAMPLES + 1 + 6 * most, sizeof(double));
    if (block == NULL) {
        return CQ_ERR_MEMORY;
    }
    double *counted = block + 6 * most;
    features rims = {0, block, block + most}, work = {0, block + 2 * most, block + 3 * most};
    pins p = {0, block + 4 * most, block + 5 * most};
    find_features(&rims, s);
    const size_t rims_n = rims.n;
    find_arcs(&rims, s);
    /* too few rows for the wished sizes: wider rows at the features rather than a steeper growth */
    double widening = 1.0;
    for (int n = 0; n < MOST_WIDENINGS && count_rows(counted, &rims, widening, s->height_m) > MOST_SCALE * along; n++) {
        widening *= 1.25;
    }
    rims.n = rims_n; /* arcs are no heights to pin */
    place_pins(&p, &rims, &work, s, counted, along);
    place_rows(x, &p, counted, s->height_m, refine);
    cq_memory_free(block);
    return CQ_OK;
}
