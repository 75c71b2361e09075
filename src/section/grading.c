/* grading.c - where cells are fine and where they may be coarse, in each direction. */
#include "base/memory.h"
#include "section/shape.h"

#include <math.h>

/* Steel: the cell at the face is 0.65 of the mean, at the mid-plane 1.35. */
double cq_grading_steel(double u) {
    const double beta = 0.35;
    return (1.0 + beta) * u - beta * u * u;
}

/* Clay: cells grow outward by about 1.43 each. The steel side decides the line: it is where a coarse cell smears the meeting
 * of bare and clad steel. Coarse outer cells can leave the outer face three temperatures to choose from under a bath with a
 * vapour film; the closure follows the branch. Refinement keeps the same curve, so that grids nest. */
double cq_grading_clay(double u, int base_cells) {
    const double shrink = 0.7;
    return base_cells < 2 ? u : (1.0 - pow(shrink, -base_cells * u)) / (1.0 - pow(shrink, -base_cells));
}

/* ---- rows -------------------------------------------------------------------------------------------------------- */

enum { SAMPLES = 2048, FEATURES = 32 };

typedef struct features {
    int n;
    double x[FEATURES], size[FEATURES];
} features;

static void add_feature(features *f, double x, double size) {
    if (f->n < FEATURES) {
        f->x[f->n] = x;
        f->size[f->n++] = size;
    }
}

/* Edge, spine, and every foot point at which the slope of the coat's thickness changes by more than a tenth. */
static features features_of(const cq_section *s) {
    features f = {0, {0}, {0}};
    add_feature(&f, 0.0, 0.05e-3);
    add_feature(&f, s->height_m, 0.10e-3);
    for (int side = 0; side < CQ_SIDES; side++) {
        const cq_flank *k = &s->side[side];
        for (size_t i = 1; i + 1 < k->n; i++) {
            const double before = (k->coat_m[i] - k->coat_m[i - 1]) / (k->foot_x_m[i] - k->foot_x_m[i - 1]);
            const double after = (k->coat_m[i + 1] - k->coat_m[i]) / (k->foot_x_m[i + 1] - k->foot_x_m[i]);
            if (fabs(after - before) > 0.1) {
                add_feature(&f, k->foot_x_m[i], 0.15e-3);
            }
        }
    }
    return f;
}

static double size_at(const features *f, double x, double largest) {
    const double growth = 0.12; /* size per distance: neighbours differ by about 12 % */
    double size = largest;
    for (int n = 0; n < f->n; n++) {
        size = fmin(size, f->size[n] + growth * fabs(x - f->x[n]));
    }
    return size;
}

/* Cells below height x, counted[] being the running count at the samples. */
static double height_of(const double *counted, double height, double cells) {
    int low = 0, high = SAMPLES;
    while (high - low > 1) {
        const int middle = (low + high) / 2;
        *(counted[middle] <= cells ? &low : &high) = middle;
    }
    const double run = counted[high] - counted[low], u = run > 0.0 ? (cells - counted[low]) / run : 0.0;
    return height * (low + u) / SAMPLES;
}

cq_status cq_grading_rows(double *x, const cq_section *s, int along, int refine) {
    double *counted = cq_memory_zero(SAMPLES + 1, sizeof(double));
    if (counted == NULL) {
        return CQ_ERR_MEMORY;
    }
    const features f = features_of(s);
    const double step = s->height_m / SAMPLES;
    for (int n = 0; n < SAMPLES; n++) {
        counted[n + 1] = counted[n] + step / size_at(&f, (n + 0.5) * step, s->height_m / 40.0);
    }
    const int rows = along * refine;
    /* a ridge must lie on an interface: the rows are shared out below and above it */
    double ridge = 0.0;
    int rows_below = 0;
    if (s->family == CQ_FAMILY_RIDGED) {
        const cq_flank *k = &s->side[CQ_SIDE_RIGHT];
        double sharpest = 0.0;
        for (size_t i = 1; i + 1 < k->n; i++) {
            const double before = (k->foot_y_m[i] - k->foot_y_m[i - 1]) / (k->foot_x_m[i] - k->foot_x_m[i - 1]);
            const double after = (k->foot_y_m[i + 1] - k->foot_y_m[i]) / (k->foot_x_m[i + 1] - k->foot_x_m[i]);
            if (fabs(after - before) > sharpest) {
                sharpest = fabs(after - before);
                ridge = k->foot_x_m[i];
            }
        }
    }
    const double at = ridge / step;
    const int cell = (int)fmin(fmax(floor(at), 0.0), SAMPLES - 1);
    const double below = counted[cell] + (at - cell) * (counted[cell + 1] - counted[cell]), all = counted[SAMPLES];
    if (ridge > 0.0) {
        rows_below = (int)fmin(fmax(round(along * below / all), 1.0), along - 1.0) * refine;
    }
    for (int i = 0; i <= rows; i++) {
        const double cells = i < rows_below ? below * i / rows_below
                                            : below + (all - below) * (i - rows_below) / (rows - rows_below);
        x[i] = i == rows ? s->height_m : (ridge > 0.0 && i == rows_below ? ridge : height_of(counted, s->height_m, cells));
    }
    cq_memory_free(counted);
    return CQ_OK;
}
