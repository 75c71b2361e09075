/* grid.c - nodes and kinds of the cells: steel, coats on the faces, coats on the flats, corners. */
#include "base/memory.h"
#include "section/shape.h"

#include <math.h>

/* Everything needed while laying one grid. */
typedef struct layout {
    const cq_section *section;
    cq_grid *grid;
    const double *x; /* heights of the steel row interfaces */
    int steel_rows;
    int half;                                         /* steel cells from mid-plane to face */
    int clay;                                         /* clay cells through a coat */
    int base_clay;                                    /* the same before refinement: sets the grading */
    int clay_left, clay_right, clay_edge, clay_spine; /* 0 or clay */
} layout;

typedef struct point {
    double x, y;
} point;

static point mix(point a, point b, double u) {
    return (point){a.x + u * (b.x - a.x), a.y + u * (b.y - a.y)};
}

/* Foot and outer point of one side at height x (y outward); a coat thinner than a nanometre is rounding. */
static void flank_points(const cq_flank *f, double x, point *foot, point *outer) {
    size_t i = 0;
    while (i + 2 < f->n && x > f->foot_x_m[i + 1]) {
        i++;
    }
    const double u = (x - f->foot_x_m[i]) / (f->foot_x_m[i + 1] - f->foot_x_m[i]);
    *foot =
        (point){x, f->foot_y_m[i] + u * (f->foot_y_m[i + 1] - f->foot_y_m[i])}; /* x itself: the same on both sides */
    *outer = mix((point){f->outer_x_m[i], f->outer_y_m[i]}, (point){f->outer_x_m[i + 1], f->outer_y_m[i + 1]}, u);
    if (hypot(outer->x - foot->x, outer->y - foot->y) < 1e-9) {
        *outer = *foot;
    }
}

/* Thickness of a row's coat: that of its straight outer face half-way up, so that a film holds what cells would. */
static double row_coat(const cq_section *s, int side, const double *x) {
    return 0.5 * (cq_section_clay_thickness(s, side, x[0]) + cq_section_clay_thickness(s, side, x[1]));
}

static void set_node(const layout *l, int i, int j, point p) {
    const int at = i * (l->grid->across + 1) + j;
    l->grid->node_x_m[at] = p.x;
    l->grid->node_y_m[at] = p.y;
}

/* Node j' = 0..clay of a side's coat, counted outward from the steel; sign mirrors the left side. */
static void set_side_node(const layout *l, int i, int side, int outward, point p) {
    const cq_grid *g = l->grid;
    if (side == CQ_SIDE_RIGHT) {
        set_node(l, i, g->steel_j1 + outward, p);
    } else {
        set_node(l, i, g->steel_j0 - outward, (point){p.x, -p.y});
    }
}

static int clay_of(const layout *l, int side) {
    return side == CQ_SIDE_LEFT ? l->clay_left : l->clay_right;
}

/* Steel nodes are graded from the mid-plane, half-way between the faces, to each face. Both sides compute it alike, so
 * that a mirrored section has the mirrored bits; where the faces mirror each other it is 0. */
static void lay_steel_row_nodes(const layout *l, int row) {
    const cq_section *s = l->section;
    const cq_grid *g = l->grid;
    const int i = g->steel_i0 + row, middle = g->symmetric ? g->steel_j0 : g->steel_j0 + l->half;
    point foot[CQ_SIDES], outer[CQ_SIDES];
    for (int side = 0; side < CQ_SIDES; side++) {
        flank_points(&s->side[side], l->x[row], &foot[side], &outer[side]);
    }
    for (int side = g->symmetric ? CQ_SIDE_RIGHT : CQ_SIDE_LEFT; side < CQ_SIDES; side++) {
        const double face = foot[side].y, other = foot[1 - side].y;
        const double mid = 0.5 * (face - other), half = 0.5 * (face + other);
        for (int n = 0; n <= l->half; n++) {
            const point p = {foot[side].x, n == l->half ? face : mid + half * cq_grading_steel((double)n / l->half)};
            if (side == CQ_SIDE_RIGHT) {
                set_node(l, i, middle + n, p);
            } else {
                set_node(l, i, middle - n, (point){p.x, -p.y});
            }
        }
        const int clay = clay_of(l, side);
        for (int n = 1; n <= clay; n++) {
            set_side_node(l, i, side, n, mix(foot[side], outer[side], cq_grading_clay((double)n / clay, l->base_clay)));
        }
    }
}

/* Corner of the clay around an end of the steel: where the offset lines of face and flat, extended, meet. `level` is
 * the outer line of the flat's coat, `outward` -1 at the edge, +1 at the spine. Lines that meet short of the steel's
 * corner are kept outside it by a quarter of the face's coat, so that no cell folds. False if the face's coat, thick
 * and leaning, ends near the flat's level or beyond it: the corner would be a sliver whose slanted cells no scheme
 * likes. */
static bool corner_of(const cq_flank *f, double level, int outward, point *corner) {
    const double least_gap = 0.25; /* of the flat's coat */
    const size_t end = outward < 0 ? 0 : f->n - 1, next = outward < 0 ? 1 : f->n - 2;
    const point foot = {f->foot_x_m[end], f->foot_y_m[end]}, outer = {f->outer_x_m[end], f->outer_y_m[end]};
    const double slope = (foot.y - f->foot_y_m[next]) / (foot.x - f->foot_x_m[next]);
    *corner = (point){level, fmax(outer.y + slope * (level - outer.x), foot.y + 0.25 * (outer.y - foot.y))};
    return (level - outer.x) * outward >= least_gap * fabs(level - foot.x);
}

/* Rows of clay on a flat, with the corners where the face carries a coat too. */
static void lay_flat_nodes(const layout *l, int outward) {
    const cq_section *s = l->section;
    const cq_grid *g = l->grid;
    const int rows = outward < 0 ? l->clay_edge : l->clay_spine, across = g->across + 1;
    const double coat = outward < 0 ? s->edge_coat_m : s->spine_coat_m;
    const int steel_i = outward < 0 ? g->steel_i0 : g->steel_i1;
    const double base = outward < 0 ? 0.0 : s->height_m, level = base + outward * coat;
    for (int n = 1; n <= rows; n++) {
        const int i = steel_i + outward * n;
        const double b = cq_grading_clay((double)n / rows, l->base_clay);
        for (int j = g->steel_j0; j <= g->steel_j1; j++) {
            set_node(l, i, j, (point){base + b * (level - base), g->node_y_m[steel_i * across + j]});
        }
        for (int side = g->symmetric ? CQ_SIDE_RIGHT : CQ_SIDE_LEFT; side < CQ_SIDES; side++) {
            const cq_flank *f = &s->side[side];
            const size_t end = outward < 0 ? 0 : f->n - 1;
            const point steel = {f->foot_x_m[end], f->foot_y_m[end]}, face = {f->outer_x_m[end], f->outer_y_m[end]};
            const point flat = {level, steel.y};
            point meet;
            corner_of(f, level, outward, &meet); /* without a corner its nodes bound nothing */
            const int clay = clay_of(l, side);
            for (int m = 1; m <= clay; m++) {
                const double a = cq_grading_clay((double)m / clay, l->base_clay);
                set_side_node(l, i, side, m, mix(mix(steel, face, a), mix(flat, meet, a), b));
            }
        }
    }
}

static void set_kind(const layout *l, int i, int j, cq_cell_kind kind) {
    l->grid->kind[i * l->grid->across + j] = (uint8_t)kind;
}

static void set_side_kind(const layout *l, int i, int side, cq_cell_kind kind) {
    const cq_grid *g = l->grid;
    for (int n = 0; n < clay_of(l, side); n++) {
        set_kind(l, i, side == CQ_SIDE_RIGHT ? g->steel_j1 + n : g->steel_j0 - 1 - n, kind);
    }
}

/* A corner needs cells on both its sides, up to the corner, and lines that meet. `row` is the steel's last on the face.
 */
static bool corner_is_celled(const layout *l, int side, int outward, int row) {
    const cq_section *s = l->section;
    const double height = outward < 0 ? 0.0 : s->height_m, coat = outward < 0 ? s->edge_coat_m : s->spine_coat_m;
    const double *face = side == CQ_SIDE_LEFT ? l->grid->coat_left_m : l->grid->coat_right_m;
    point corner;
    return face[row] >= CQ_THIN_COAT && cq_section_clay_thickness(s, side, height) >= CQ_THIN_COAT &&
           corner_of(&s->side[side], height + outward * coat, outward, &corner);
}

static void set_kinds(const layout *l) {
    const cq_section *s = l->section;
    cq_grid *g = l->grid;
    for (int row = 0; row < l->steel_rows; row++) {
        const int i = g->steel_i0 + row;
        for (int j = g->steel_j0; j < g->steel_j1; j++) {
            set_kind(l, i, j, CQ_CELL_STEEL);
        }
        for (int side = 0; side < CQ_SIDES; side++) {
            const double coat = row_coat(s, side, l->x + row);
            const bool celled = coat >= CQ_THIN_COAT;
            set_side_kind(l, i, side, celled ? CQ_CELL_CLAY : CQ_CELL_NONE);
            (side == CQ_SIDE_LEFT ? g->coat_left_m : g->coat_right_m)[i] = coat;
            (side == CQ_SIDE_LEFT ? g->film_left_m : g->film_right_m)[i] = celled ? 0.0 : coat;
        }
    }
    for (int n = 0; n < l->clay_edge + l->clay_spine; n++) {
        const bool edge = n < l->clay_edge;
        const int i = edge ? n : g->steel_i1 + n - l->clay_edge;
        const int neighbour = edge ? g->steel_i0 : g->steel_i1 - 1;
        const double coat = edge ? s->edge_coat_m : s->spine_coat_m;
        for (int j = g->steel_j0; j < g->steel_j1; j++) {
            set_kind(l, i, j, CQ_CELL_CLAY);
        }
        for (int side = 0; side < CQ_SIDES; side++) {
            const bool celled = corner_is_celled(l, side, edge ? -1 : 1, neighbour);
            set_side_kind(l, i, side, celled ? CQ_CELL_CLAY : CQ_CELL_NONE);
        }
        g->coat_left_m[i] = g->coat_right_m[i] = coat;
    }
}

static bool any_celled(const cq_section *s, int side, const double *x, int rows) {
    for (int row = 0; row < rows; row++) {
        if (row_coat(s, side, x + row) >= CQ_THIN_COAT) {
            return true;
        }
    }
    return false;
}

static bool allocate(cq_grid *g) {
    const size_t cells = (size_t)g->along * (size_t)g->across, nodes = (size_t)(g->along + 1) * (size_t)(g->across + 1);
    const size_t across_faces = (size_t)g->along * (size_t)(g->across + 1),
                 along_faces = (size_t)(g->along + 1) * (size_t)g->across;
    struct {
        double **array;
        size_t n;
    } parts[] = {{&g->node_x_m, nodes},
                 {&g->node_y_m, nodes},
                 {&g->center_x_m, cells},
                 {&g->center_y_m, cells},
                 {&g->area_m2, cells},
                 {&g->across_low, across_faces},
                 {&g->across_high, across_faces},
                 {&g->across_skew, across_faces},
                 {&g->across_area_m, across_faces},
                 {&g->along_low, along_faces},
                 {&g->along_high, along_faces},
                 {&g->along_skew, along_faces},
                 {&g->along_area_m, along_faces},
                 {&g->film_left_m, (size_t)g->along},
                 {&g->film_right_m, (size_t)g->along},
                 {&g->coat_left_m, (size_t)g->along},
                 {&g->coat_right_m, (size_t)g->along}};
    for (size_t p = 0; p < sizeof parts / sizeof parts[0]; p++) {
        if ((*parts[p].array = cq_memory_zero(parts[p].n, sizeof(double))) == NULL) {
            return false;
        }
    }
    return (g->kind = cq_memory_zero(cells, 1)) != NULL;
}

static cq_status fill(cq_grid *g, const cq_section *s, const cq_grid_wish *wish, double *x) {
    layout l = {.section = s, .grid = g, .x = x, .base_clay = wish->clay, .clay = wish->clay * wish->refine};
    g->one_dimensional = s->family == CQ_FAMILY_PLATE || s->family == CQ_FAMILY_ROUND;
    g->round = s->family == CQ_FAMILY_ROUND;
    g->symmetric = s->symmetric;
    l.steel_rows = g->one_dimensional ? 1 : wish->along * wish->refine;
    l.half = wish->across * wish->refine * (g->one_dimensional ? 4 : 1);
    if (g->one_dimensional) {
        x[0] = 0.0;
        x[1] = 1.0;
    } else if (cq_grading_rows(x, s, wish->along, wish->refine) != CQ_OK) {
        return CQ_ERR_MEMORY;
    }
    l.clay_left = !s->symmetric && any_celled(s, CQ_SIDE_LEFT, x, l.steel_rows) ? l.clay : 0;
    l.clay_right = any_celled(s, CQ_SIDE_RIGHT, x, l.steel_rows) ? l.clay : 0;
    l.clay_edge = s->edge_coat_m >= CQ_THIN_COAT ? l.clay : 0;
    l.clay_spine = s->spine_coat_m >= CQ_THIN_COAT ? l.clay : 0;
    g->steel_i0 = l.clay_edge;
    g->steel_i1 = g->steel_i0 + l.steel_rows;
    g->along = g->steel_i1 + l.clay_spine;
    g->steel_j0 = l.clay_left;
    g->steel_j1 = g->steel_j0 + (s->symmetric ? l.half : 2 * l.half);
    g->across = g->steel_j1 + l.clay_right;
    g->edge_coat_m = s->edge_coat_m;
    g->spine_coat_m = s->spine_coat_m;
    g->film_edge_m = l.clay_edge > 0 ? 0.0 : s->edge_coat_m;
    g->film_spine_m = l.clay_spine > 0 ? 0.0 : s->spine_coat_m;
    if (!allocate(g)) {
        return CQ_ERR_MEMORY;
    }
    for (int row = 0; row <= l.steel_rows; row++) {
        lay_steel_row_nodes(&l, row);
    }
    lay_flat_nodes(&l, -1);
    lay_flat_nodes(&l, +1);
    set_kinds(&l);
    cq_grid_measure(g);
    return CQ_OK;
}

/* Indices are ints: the largest grid, coats included, stays within them. */
static bool wish_is_possible(const cq_grid_wish *w) {
    const double largest = 1e9;
    if (w->along < 2 || w->across < 1 || w->clay < 1 || w->refine < 1) {
        return false;
    }
    const double rows = ((double)w->along + 2.0 * w->clay) * w->refine;
    const double columns = (8.0 * w->across + 2.0 * w->clay) * w->refine;
    return (rows + 1.0) * (columns + 1.0) < largest;
}

cq_status cq_grid_create(cq_grid **grid, const cq_section *section, const cq_grid_wish *wish, cq_error *error) {
    if (!wish_is_possible(wish)) {
        return cq_error_say(error, CQ_ERR_ARGUMENT, "grid",
                            "along 2 or more, across, clay and refine 1 or more, fewer than a thousand million cells",
                            "", "along %d, across %d, clay %d, refine %d", wish->along, wish->across, wish->clay,
                            wish->refine);
    }
    cq_grid *g = cq_memory_zero(1, sizeof *g);
    double *x = cq_memory_zero((size_t)(wish->along * wish->refine) + 2, sizeof(double));
    const cq_status status = g == NULL || x == NULL ? CQ_ERR_MEMORY : fill(g, section, wish, x);
    cq_memory_free(x);
    if (status != CQ_OK) {
        cq_grid_free(g);
        return cq_error_say(error, status, "grid", "a grid that fits in memory", "use fewer cells", "%d x %d cells",
                            wish->along * wish->refine, wish->across * wish->refine);
    }
    if (!cq_grid_is_valid(g)) {
        cq_grid_free(g);
        return cq_error_say(error, CQ_ERR_GEOMETRY, "clay", "a coat whose cells do not fold",
                            "make the coat thinner at sharp corners", "a folded cell");
    }
    *grid = g;
    return CQ_OK;
}

void cq_grid_free(cq_grid *g) {
    if (g == NULL) {
        return;
    }
    double *arrays[] = {g->node_x_m,    g->node_y_m,    g->center_x_m,   g->center_y_m,    g->area_m2,
                        g->across_low,  g->across_high, g->across_skew,  g->across_area_m, g->along_low,
                        g->along_high,  g->along_skew,  g->along_area_m, g->film_left_m,   g->film_right_m,
                        g->coat_left_m, g->coat_right_m};
    for (size_t a = 0; a < sizeof arrays / sizeof arrays[0]; a++) {
        cq_memory_free(arrays[a]);
    }
    cq_memory_free(g->kind);
    cq_memory_free(g);
}

size_t cq_grid_cells(const cq_grid *grid) {
    size_t n = 0;
    for (int c = 0; c < grid->along * grid->across; c++) {
        n += grid->kind[c] != CQ_CELL_NONE;
    }
    return n;
}
