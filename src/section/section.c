/* section.c - steel outline and coat joined into the flanks of a section. */
#include "base/memory.h"
#include "section/shape.h"

#include <math.h>
#include <string.h>

static bool one_dimensional(cq_family family) {
    return family == CQ_FAMILY_PLATE || family == CQ_FAMILY_ROUND;
}

static int by_value(double a, double b) {
    return a < b ? -1 : a > b;
}

/* Union of the x of two polylines, within 0..height, without near-duplicates. */
static size_t merge_heights(double *x, const cq_polyline *a, const cq_polyline *b, double height) {
    size_t ia = 0, ib = 0, n = 0;
    while (ia < a->n || ib < b->n) {
        const bool take_a = ib >= b->n || (ia < a->n && by_value(a->x[ia], b->x[ib]) <= 0);
        const double next = take_a ? a->x[ia++] : b->x[ib++];
        if (n == 0 || next - x[n - 1] > 1e-7 * height) {
            x[n++] = next;
        } else if (next >= height * (1.0 - 1e-7)) {
            x[n - 1] = height;
        }
    }
    return n;
}

/* Outer points: along the normal at the ends, along the mitre between. */
static void offset_nodes(cq_flank *f) {
    double n0x = 0.0, n0y = 0.0;
    for (size_t i = 0; i < f->n; i++) {
        double n1x = n0x, n1y = n0y;
        if (i + 1 < f->n) {
            const double dx = f->foot_x_m[i + 1] - f->foot_x_m[i], dy = f->foot_y_m[i + 1] - f->foot_y_m[i];
            const double length = hypot(dx, dy);
            n1x = -dy / length;
            n1y = dx / length;
        }
        if (i == 0) {
            n0x = n1x;
            n0y = n1y;
        }
        const double t = f->coat_m[i] / (1.0 + n0x * n1x + n0y * n1y);
        f->outer_x_m[i] = f->foot_x_m[i] + t * (n0x + n1x);
        f->outer_y_m[i] = f->foot_y_m[i] + t * (n0y + n1y);
        n0x = n1x;
        n0y = n1y;
    }
}

static cq_status build_flank(cq_flank *f, const cq_polyline *outline, const cq_polyline *coat, double height) {
    const size_t capacity = outline->n + coat->n + 2;
    double *block = cq_memory_zero(5 * capacity, sizeof(double));
    if (block == NULL) {
        return CQ_ERR_MEMORY;
    }
    f->foot_x_m = block;
    f->foot_y_m = block + capacity;
    f->outer_x_m = block + 2 * capacity;
    f->outer_y_m = block + 3 * capacity;
    f->coat_m = block + 4 * capacity;
    f->n = merge_heights(f->foot_x_m, outline, coat, height);
    for (size_t i = 0; i < f->n; i++) {
        f->foot_y_m[i] = cq_polyline_eval(outline, f->foot_x_m[i], 0.0);
        f->coat_m[i] = cq_polyline_eval(coat, f->foot_x_m[i], 0.0);
    }
    offset_nodes(f);
    return CQ_OK;
}

/* The outer outline must keep climbing, or the coat folds on itself. */
static cq_status check_flank(const cq_flank *f, cq_error *error) {
    for (size_t i = 0; i < f->n; i++) {
        if (!(f->foot_y_m[i] > 0.0)) {
            return cq_error_say(error, CQ_ERR_GEOMETRY, "blade", "a positive thickness at every height", "",
                                "thickness %.3g mm at height %.3g mm", 2e3 * f->foot_y_m[i], 1e3 * f->foot_x_m[i]);
        }
        if (i > 0 && !(f->outer_x_m[i] > f->outer_x_m[i - 1])) {
            return cq_error_say(error, CQ_ERR_GEOMETRY, "clay.coat", "a coat that does not fold on itself",
                                "make the coat thinner there or the hollow wider", "the outer face of the clay runs back at height %.3g mm",
                                1e3 * f->foot_x_m[i]);
        }
    }
    return CQ_OK;
}

static bool flanks_equal(const cq_flank *a, const cq_flank *b) {
    if (a->n != b->n) {
        return false;
    }
    for (size_t i = 0; i < a->n; i++) {
        if (fabs(a->foot_x_m[i] - b->foot_x_m[i]) > 1e-12 || fabs(a->foot_y_m[i] - b->foot_y_m[i]) > 1e-12 ||
            fabs(a->coat_m[i] - b->coat_m[i]) > 1e-12) {
            return false;
        }
    }
    return true;
}

cq_status cq_section_create(cq_section **section, const cq_blade *blade, const cq_coat *coat, cq_error *error) {
    cq_section *s = cq_memory_zero(1, sizeof *s);
    if (s == NULL) {
        return cq_error_say(error, CQ_ERR_MEMORY, "blade", "", "", "section");
    }
    s->family = blade->family;
    s->height_m = one_dimensional(blade->family) ? 1.0 : blade->height_m;
    s->length_m = blade->length_m;
    s->edge_coat_m = coat == NULL || one_dimensional(blade->family) ? 0.0 : coat->edge_m;
    s->spine_coat_m = coat == NULL || one_dimensional(blade->family) ? 0.0 : coat->spine_m;
    const cq_coat_point uniform[2] = {
        {0.0, coat != NULL && coat->n > 0 ? coat->points[0].left_m : 0.0,
         coat != NULL && coat->n > 0 ? coat->points[0].right_m : 0.0},
        {1.0, coat != NULL && coat->n > 0 ? coat->points[0].left_m : 0.0,
         coat != NULL && coat->n > 0 ? coat->points[0].right_m : 0.0}};
    const cq_coat everywhere = {2, uniform, 0.0, 0.0};
    if (one_dimensional(blade->family) && coat != NULL && coat->n > 0) {
        coat = &everywhere;
    }
    cq_polyline outline = {0, NULL, NULL}, thickness = {0, NULL, NULL};
    cq_status status = cq_outline_create(&outline, blade);
    int sloped[CQ_SIDES] = {0, 0};
    for (int side = 0; side < CQ_SIDES && status >= 0; side++) {
        status = cq_coat_create(&thickness, coat, side, s->height_m, &sloped[side]);
        if (status >= 0) {
            status = build_flank(&s->side[side], &outline, &thickness, s->height_m);
        }
        if (status >= 0 && !one_dimensional(blade->family)) {
            status = check_flank(&s->side[side], error);
        } else if (status < 0) {
            cq_error_say(error, status, "clay.coat", "", "", "section");
        }
        cq_polyline_free(&thickness);
    }
    cq_polyline_free(&outline);
    if (status < 0) {
        cq_section_free(s);
        return status;
    }
    s->symmetric = flanks_equal(&s->side[CQ_SIDE_LEFT], &s->side[CQ_SIDE_RIGHT]);
    s->sloped_steps = s->symmetric ? sloped[0] : sloped[0] + sloped[1];
    *section = s;
    return s->sloped_steps > 0 ? CQ_NOTICED : CQ_OK;
}

void cq_section_free(cq_section *section) {
    if (section != NULL) {
        cq_memory_free(section->side[CQ_SIDE_LEFT].foot_x_m);
        cq_memory_free(section->side[CQ_SIDE_RIGHT].foot_x_m);
        cq_memory_free(section);
    }
}

static double along_flank(const cq_flank *f, const double *v, double x) {
    const cq_polyline line = {f->n, f->foot_x_m, (double *)v};
    return cq_polyline_eval(&line, x, 0.0);
}

double cq_section_half_thickness(const cq_section *section, int side, double x_m) {
    return along_flank(&section->side[side], section->side[side].foot_y_m, x_m);
}

double cq_section_clay_thickness(const cq_section *section, int side, double x_m) {
    return along_flank(&section->side[side], section->side[side].coat_m, x_m);
}

bool cq_section_is_valid(const cq_section *section) {
    if (section == NULL || !(section->height_m > 0.0) || !(section->edge_coat_m >= 0.0) || !(section->spine_coat_m >= 0.0)) {
        return false;
    }
    for (int side = 0; side < CQ_SIDES; side++) {
        const cq_flank *f = &section->side[side];
        if (f->n < 2 || fabs(f->foot_x_m[0]) > 1e-12 || fabs(f->foot_x_m[f->n - 1] - section->height_m) > 1e-9) {
            return false;
        }
        for (size_t i = 0; i < f->n; i++) {
            const double thickness = hypot(f->outer_x_m[i] - f->foot_x_m[i], f->outer_y_m[i] - f->foot_y_m[i]);
            if (!(f->foot_y_m[i] > 0.0) || !(f->coat_m[i] >= 0.0) || !(thickness >= f->coat_m[i] * (1.0 - 1e-9)) ||
                (i > 0 && !(f->foot_x_m[i] > f->foot_x_m[i - 1]))) {
                return false;
            }
        }
    }
    return true;
}
