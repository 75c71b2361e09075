/* sections.h - sections and grids the tests of this floor share. Lengths in millimetres here, metres in the library. */
#ifndef TEST_SECTIONS_H
#define TEST_SECTIONS_H

#include "../../suite.h"

#include <check.h>
#include <clayquench/section.h>
#include <stdint.h>

#define MM 1e-3
#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

static inline cq_blade flat_blade(double height, double edge, double spine) {
    return (cq_blade){.family = CQ_FAMILY_FLAT, .height_m = height * MM, .edge_m = edge * MM, .spine_m = spine * MM};
}

static inline cq_blade ridged_blade(double height, double edge, double spine, double at, double thickness) {
    cq_blade blade = flat_blade(height, edge, spine);
    blade.family = CQ_FAMILY_RIDGED;
    blade.ridge_at_m = at * MM;
    blade.ridge_thickness_m = thickness * MM;
    return blade;
}

static inline cq_blade convex_blade(double height, double edge, double spine, double bulge) {
    cq_blade blade = flat_blade(height, edge, spine);
    blade.family = CQ_FAMILY_CONVEX;
    blade.bulge_m = bulge * MM;
    return blade;
}

static inline cq_blade hollow_blade(double height, double edge, double spine, double hollow) {
    cq_blade blade = flat_blade(height, edge, spine);
    blade.family = CQ_FAMILY_HOLLOW;
    blade.hollow_m = hollow * MM;
    return blade;
}

static inline cq_blade one_sided_blade(double height, double edge, double spine, int flat_side) {
    cq_blade blade = flat_blade(height, edge, spine);
    blade.family = CQ_FAMILY_ONE_SIDED;
    blade.flat_side = flat_side;
    return blade;
}

static inline cq_blade double_edged_blade(double height, double edge, double at, double thickness) {
    cq_blade blade = ridged_blade(height, edge, edge, at, thickness);
    blade.family = CQ_FAMILY_DOUBLE_EDGED;
    return blade;
}

static inline cq_outline_point outline_point(double at, double out) {
    return (cq_outline_point){at * MM, out * MM};
}

static inline cq_blade outline_blade(const cq_outline_point *left, size_t left_n, const cq_outline_point *right,
                                     size_t right_n) {
    return (cq_blade){.family = CQ_FAMILY_OUTLINE,
                      .height_m = left[left_n - 1].at_m,
                      .left_n = left_n,
                      .left = left,
                      .right_n = right_n,
                      .right = right};
}

static inline cq_blade with_groove(cq_blade blade, double at, double width, double depth) {
    blade.groove_at_m = at * MM;
    blade.groove_width_m = width * MM;
    blade.groove_depth_m = depth * MM;
    return blade;
}

static inline cq_coat_point both(double at, double thickness) {
    return (cq_coat_point){at * MM, thickness * MM, thickness * MM};
}

static inline cq_coat_point sides(double at, double left, double right) {
    return (cq_coat_point){at * MM, left * MM, right * MM};
}

/* Grid that must build; frees the section. */
static inline cq_grid *grid_on(cq_section *section, int along, int across, int clay, int refine) {
    cq_grid *grid = NULL;
    const cq_grid_wish wish = {along, across, clay, refine};
    ck_assert_int_eq(cq_grid_create(&grid, section, &wish, NULL), CQ_OK);
    ck_assert(cq_grid_is_valid(grid));
    cq_section_free(section);
    return grid;
}

static inline int cell_at(const cq_grid *g, int i, int j) {
    return i * g->across + j;
}

static inline int node_at(const cq_grid *g, int i, int j) {
    return i * (g->across + 1) + j;
}

static inline int kind_of(const cq_grid *g, int i, int j) {
    return i < 0 || j < 0 || i >= g->along || j >= g->across ? CQ_CELL_NONE : g->kind[cell_at(g, i, j)];
}

/* Area of all cells of one kind in rows [i0, i1). */
static inline double area_of(const cq_grid *g, int kind, int i0, int i1) {
    double area = 0.0;
    for (int i = i0; i < i1; i++) {
        for (int j = 0; j < g->across; j++) {
            area += kind_of(g, i, j) == kind ? g->area_m2[cell_at(g, i, j)] : 0.0;
        }
    }
    return area;
}

/* A small generator, so that a layout is named by its seed on every machine. Source: xorshift64*, common practice. */
static inline double random_unit(uint64_t *state) {
    *state ^= *state >> 12;
    *state ^= *state << 25;
    *state ^= *state >> 27;
    return (double)((*state * UINT64_C(2685821657736338717)) >> 11) / 9007199254740992.0;
}

static inline double random_between(uint64_t *state, double low, double high) {
    return low + (high - low) * random_unit(state);
}

static inline int random_below(uint64_t *state, int n) {
    return (int)(n * random_unit(state));
}

/* Section that must build, sloped or not. */
static inline cq_section *section_of(const cq_blade *blade, const cq_coat *coat) {
    cq_section *section = NULL;
    cq_error error = CQ_ERROR_INIT;
    const cq_status status = cq_section_create(&section, blade, coat, &error);
    ck_assert_msg(status >= 0, "section refused: %s: %s", error.count > 0 ? error.items[0].key : "",
                  error.count > 0 ? error.items[0].found : "");
    ck_assert_uint_eq(error.count, 0);
    ck_assert(cq_section_is_valid(section));
    return section;
}

/* The blade seen from the other side. */
static inline cq_blade mirrored_blade(cq_blade blade) {
    const cq_blade as_it_was = blade;
    blade.flat_side = 1 - as_it_was.flat_side;
    blade.left = as_it_was.right;
    blade.left_n = as_it_was.right_n;
    blade.right = as_it_was.left;
    blade.right_n = as_it_was.left_n;
    return blade;
}

enum { OUTLINE_POINTS = 6 };

/* An outline of its own on either face; `points` has room for both. No face leans more than 40 degrees. */
static inline cq_blade random_outline(uint64_t *state, double height, cq_outline_point points[2 * OUTLINE_POINTS]) {
    const double bow = random_between(state, -1, 1); /* the whole section may bend to one side */
    for (int side = 0; side < 2; side++) {
        double out = random_between(state, 0.3, 1.5);
        for (int i = 0; i < OUTLINE_POINTS; i++) {
            const double u = i / (OUTLINE_POINTS - 1.0), step = height / (OUTLINE_POINTS - 1.0);
            out += i == 0 ? 0.0 : random_between(state, -0.25, 0.5) * step;
            out = out < 0.3 ? 0.3 : out;
            points[side * OUTLINE_POINTS + i] = outline_point(u * height, out + (side == 0 ? bow : -bow) * u * (1 - u));
        }
    }
    return outline_blade(points, OUTLINE_POINTS, points + OUTLINE_POINTS, OUTLINE_POINTS);
}

/* Depth of a groove that leaves a fifth of the thickness between its rims and does not lean much more than its face. */
static inline double deepest_groove(const cq_blade *bare, double middle, double width) {
    cq_section *s = section_of(bare, NULL);
    double thickness = 0.0;
    for (int rim = 0; rim < 4; rim++) {
        const double x = (middle + (rim < 2 ? -0.5 : 0.5) * width) * MM;
        thickness += 0.5 * cq_section_half_thickness(s, rim % 2, x) / MM;
    }
    cq_section_free(s);
    return 0.4 * thickness < 0.06 * width ? 0.4 * thickness : 0.06 * width;
}

/* A blade a smith could forge, of any family with a height; a quarter of them with a groove. `points` keeps an
 * outline's. */
static inline cq_blade random_blade(uint64_t *state, cq_outline_point points[2 * OUTLINE_POINTS]) {
    const double height = random_between(state, 10, 60), edge = random_between(state, 0.4, 3);
    const double spine = edge + random_between(state, 0, 7), share = random_between(state, 0, 0.8);
    const double at = random_between(state, 0.3, 0.9) * height, most = edge + 1.6 * at;
    const double thickness = spine + random_between(state, 0, 0.8) * (height - at);
    const double ridge = thickness < most ? thickness : most; /* neither flank leans more than 40 degrees */
    cq_blade blade;
    switch (random_below(state, 7)) {
    case 0:
        blade = flat_blade(height, edge, spine);
        break;
    case 1:
        blade = convex_blade(height, edge, spine, 0.15 * share * height);
        break;
    case 2: { /* parallel at the edge, and a little more */
        const double deepest = 0.125 * (spine - edge) + 0.4 * edge, shallow = 0.06 * height;
        blade = hollow_blade(height, edge, spine, share * (deepest < shallow ? deepest : shallow));
        break;
    }
    case 3:
        blade = one_sided_blade(height, edge, spine, random_below(state, 2));
        if (random_below(state, 2) == 0) {
            const double steepest = edge + 0.8 * at; /* one face carries it all */
            blade.ridge_at_m = at * MM;
            blade.ridge_thickness_m = (ridge < steepest ? ridge : steepest) * MM;
        }
        break;
    case 4:
        blade = double_edged_blade(height, edge, at, edge + random_between(state, 0.1, 0.8) * (height - at));
        break;
    case 5:
        blade = random_outline(state, height, points);
        break;
    default:
        blade = ridged_blade(height, edge, spine, at, ridge);
    }
    if (random_below(state, 4) == 0) {
        const double width = random_between(state, 0.1, 0.4) * height;
        const double middle = random_between(state, 0.5 * width + 0.02 * height, height - 0.5 * width - 0.02 * height);
        blade =
            with_groove(blade, middle, width, random_between(state, 0.1, 1) * deepest_groove(&blade, middle, width));
    }
    return blade;
}

enum { MOST_POINTS = 10 };

/* A coat of any kind: 0 to 6 mm, steep steps, one face bare, bare spots, thin washes, flats coated or not. */
static inline cq_coat random_coat(uint64_t *state, double height_m, cq_coat_point *points) {
    const int n = random_below(state, MOST_POINTS + 1), same = random_below(state, 3),
              one_face = random_below(state, 4);
    double at = random_below(state, 2) == 0 ? 0.0 : random_between(state, 0, 0.4) * height_m;
    for (int i = 0; i < n; i++) {
        double thickness[CQ_SIDES];
        for (int side = 0; side < CQ_SIDES; side++) {
            const int sort = random_below(state, 4);
            thickness[side] = sort == 0 ? 0.0 : random_between(state, 0, sort == 1 ? 0.15 * MM : 6 * MM);
        }
        thickness[CQ_SIDE_RIGHT] = same == 0 ? thickness[CQ_SIDE_LEFT] : thickness[CQ_SIDE_RIGHT];
        thickness[CQ_SIDE_LEFT] = one_face == 0 ? 0.0 : thickness[CQ_SIDE_LEFT];
        points[i] = (cq_coat_point){at, thickness[CQ_SIDE_LEFT], thickness[CQ_SIDE_RIGHT]};
        const int gap = random_below(state, 3); /* a step, a crowded point, or a wide stretch */
        at += gap == 0 ? 0.0 : random_between(state, 0, gap == 1 ? 0.5 * MM : 0.4 * height_m);
        at = at > height_m || i + 2 == n ? height_m : at;
    }
    const double flat[] = {0, random_between(state, 0, 0.1 * MM), random_between(state, 0, 4 * MM)};
    return (cq_coat){(size_t)n, points, flat[random_below(state, 3)], flat[random_below(state, 3)]};
}

#endif
