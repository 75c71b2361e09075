/* offset.c - the clay's outer face: the steel's face offset by the coat, and what becomes of it in a narrow hollow. */
#include "section/shape.h"

#include <math.h>

typedef struct pair {
    double x, y;
} pair;

/* Outward normal of the piece from node i to node i + 1. */
static pair normal_of(const cq_flank *f, size_t i) {
    const double dx = f->foot_x_m[i + 1] - f->foot_x_m[i], dy = f->foot_y_m[i + 1] - f->foot_y_m[i];
    const double length = hypot(dx, dy);
    return (pair){-dy / length, dx / length};
}

/* Outer points: along the normal at the ends; between, where the offset lines of the two neighbours meet: with normals
 * n0, n1 at t (n0 + n1) / (1 + n0.n1) from the foot. */
void cq_flank_offset(cq_flank *f) {
    pair before = normal_of(f, 0);
    for (size_t i = 0; i < f->n; i++) {
        const pair after = i + 1 < f->n ? normal_of(f, i) : before;
        const double t = f->coat_m[i] / (1.0 + before.x * after.x + before.y * after.y);
        f->outer_x_m[i] = f->foot_x_m[i] + t * (before.x + after.x);
        f->outer_y_m[i] = f->foot_y_m[i] + t * (before.y + after.y);
        before = after;
    }
}

/* ---- a hollow too narrow for its clay ---------------------------------------------------------------------------- */

/* The outer face between two nodes is short, seen along the chord of their feet, or does not climb. */
static bool is_short(const cq_flank *f, size_t a, size_t b) {
    const double least_climb = 0.01; /* of the feet's: what rounding cannot undo */
    const double dx = f->foot_x_m[b] - f->foot_x_m[a], dy = f->foot_y_m[b] - f->foot_y_m[a];
    const double climb = f->outer_x_m[b] - f->outer_x_m[a], out = f->outer_y_m[b] - f->outer_y_m[a];
    return !(climb * dx + out * dy >= CQ_LEAST_OUTER * (dx * dx + dy * dy) && climb >= least_climb * dx);
}

bool cq_flank_converges(const cq_flank *f) {
    for (size_t i = 0; i + 1 < f->n; i++) {
        if (is_short(f, i, i + 1)) {
            return true;
        }
    }
    return false;
}

/* Widen nodes [*a, *b] by what is short next to them, then by one on either side, until the outer face between them is
 * long enough. False if the whole face is too short. */
static bool widen(const cq_flank *f, size_t *a, size_t *b) {
    for (;;) {
        const bool below = *a > 0 && is_short(f, *a - 1, *a), above = *b + 1 < f->n && is_short(f, *b, *b + 1);
        const bool whole = !below && !above;
        if (whole && !is_short(f, *a, *b)) {
            return true;
        }
        if (*a == 0 && *b + 1 == f->n) {
            return false;
        }
        *a -= *a > 0 && (below || whole);
        *b += *b + 1 < f->n && (above || whole);
    }
}

/* How far the outer point of node i stands off the line of the piece with normal n. */
static double off(const cq_flank *f, size_t i, pair n) {
    return (f->outer_x_m[i] - f->foot_x_m[i]) * n.x + (f->outer_y_m[i] - f->foot_y_m[i]) * n.y;
}

/* Outer points of the nodes between a and b on the straight line from a's to b's, spaced as their feet along the face.
 */
static void run_straight_across(cq_flank *f, size_t a, size_t b) {
    double whole = 0.0, along = 0.0;
    for (size_t i = a; i < b; i++) {
        whole += hypot(f->foot_x_m[i + 1] - f->foot_x_m[i], f->foot_y_m[i + 1] - f->foot_y_m[i]);
    }
    for (size_t i = a + 1; i < b; i++) {
        along += hypot(f->foot_x_m[i] - f->foot_x_m[i - 1], f->foot_y_m[i] - f->foot_y_m[i - 1]);
        const double u = along / whole;
        f->outer_x_m[i] = f->outer_x_m[a] + u * (f->outer_x_m[b] - f->outer_x_m[a]);
        f->outer_y_m[i] = f->outer_y_m[a] + u * (f->outer_y_m[b] - f->outer_y_m[a]);
    }
}

/* Thickness where the outer face no longer follows the steel's: the mean over the two neighbouring pieces. False where
 * less than half of what was laid would be left. */
static bool measure_fill(cq_flank *f, size_t a, size_t b) {
    const double least_share = 0.5;
    for (size_t i = a + 1; i < b; i++) {
        const double laid = f->coat_m[i] - f->fill_m[i];
        const double coat = 0.5 * (off(f, i, normal_of(f, i - 1)) + off(f, i, normal_of(f, i)));
        if (!(coat >= least_share * laid)) {
            return false;
        }
        f->fill_m[i] = coat - laid;
        f->coat_m[i] = coat;
    }
    return true;
}

bool cq_flank_fill(cq_flank *f) {
    size_t i = 0;
    while (i + 1 < f->n) {
        if (!is_short(f, i, i + 1)) {
            i++;
            continue;
        }
        size_t a = i, b = i + 1;
        if (!widen(f, &a, &b)) {
            return false;
        }
        run_straight_across(f, a, b);
        if (!measure_fill(f, a, b)) {
            return false;
        }
        i = b;
    }
    return true;
}
