/* section.h - the blade's cross-section, its coat of clay, and the grid laid on both.
 *
 * Coordinates: x is the height above the edge flat (m, up to the spine), y the distance from an upright plane through
 * the middle of the edge flat (m, left negative, right positive; left and right as seen from the heel toward the point,
 * edge down). An outline with a left and a right list has the plane its distances were measured from.
 *
 * The mid-plane lies half-way between the faces at every height. Where they mirror each other it is y = 0; of a
 * one-sided section it leans. What is read "on the mid-plane" is read there, wherever it lies.
 */
#ifndef CLAYQUENCH_SECTION_H
#define CLAYQUENCH_SECTION_H

#include <clayquench/status.h>
#include <stdbool.h>
#include <stdint.h>

typedef enum cq_family {
    CQ_FAMILY_FLAT,         /* straight flanks from edge flat to spine flat */
    CQ_FAMILY_CONVEX,       /* circular-arc flanks, bulging by `bulge_m` at mid-height */
    CQ_FAMILY_RIDGED,       /* straight to the ridge, straight from ridge to spine */
    CQ_FAMILY_HOLLOW,       /* circular-arc flanks, hollowed by `hollow_m` at mid-height */
    CQ_FAMILY_ONE_SIDED,    /* one face an upright plane; the other carries the whole bevel, with a ridge or without */
    CQ_FAMILY_DOUBLE_EDGED, /* straight from edge to ridge, straight to the second edge, which stands for the spine */
    CQ_FAMILY_OUTLINE,      /* straight between points of the left and of the right face */
    CQ_FAMILY_PLATE,        /* one-dimensional: through `spine_m` (the thickness) */
    CQ_FAMILY_ROUND,        /* one-dimensional: radial, diameter `spine_m` */
    CQ_FAMILIES
} cq_family;

/* A point of an outline: height, and distance of the face from the plane y = 0, outward. */
typedef struct cq_outline_point {
    double at_m, out_m;
} cq_outline_point;

enum { CQ_SIDE_LEFT, CQ_SIDE_RIGHT, CQ_SIDES };

/* The blade as the smith measures it. Thicknesses are whole thicknesses. */
typedef struct cq_blade {
    const char *name;
    const char *summary;
    cq_family family;
    double height_m;          /* edge flat to spine flat, or to the second edge's flat; plates and rounds: ignored */
    double edge_m;            /* thickness across the edge flat */
    double spine_m;           /* thickness across the spine flat or second edge; plate thickness; round diameter */
    double length_m;          /* 0 = not stated */
    double bulge_m;           /* convex: how far the flank stands out of its straight line at mid-height */
    double hollow_m;          /* hollow: how far it stands back from it */
    double ridge_at_m;        /* height of the ridge: ridged, double-edged; one-sided: on the face with the bevel */
    double ridge_thickness_m; /* whole thickness at the ridge; one-sided: 0 = no ridge */
    int flat_side;            /* one-sided: the flat face, CQ_SIDE_LEFT unless stated */
    double groove_at_m;       /* any family with a height: middle of the groove */
    double groove_width_m;    /* rim to rim along the height; 0 = no groove */
    double groove_depth_m;    /* below the straight line between the rims, at their middle, on both faces */
    size_t left_n, right_n;   /* outline: points from the edge up, both faces to the same height (= height_m) */
    const cq_outline_point *left, *right;
    const char *surface; /* ground, polished, scratched-across; NULL = not stated */
} cq_blade;

/* One point of the coat on a face: foot point height and thickness along the normal, dry. */
typedef struct cq_coat_point {
    double at_m, left_m, right_m;
} cq_coat_point;

/* The coat. Points in rising order of at_m (equal heights make a step); outside them the face is bare. */
typedef struct cq_coat {
    size_t n;
    const cq_coat_point *points;
    double edge_m;  /* on the edge flat, 0 = bare */
    double spine_m; /* on the spine flat, 0 = bare */
} cq_coat;

/* Grid wishes of the plan. refine multiplies the cell counts and divides the step tolerance. */
typedef struct cq_grid_wish {
    int along;  /* cells along the height, default 100 */
    int across; /* steel cells from the mid-plane to one face, default 8 */
    int clay;   /* clay cells through a coat, default 6 */
    int refine; /* default 1 */
} cq_grid_wish;

/* A face of the section as straight pieces between nodes, with its coat: foot points on the steel, outer points on
 * the clay. Nodes run from the edge up; n >= 2; foot x strictly increasing. coat_m is measured along the normal. Where
 * the offset lines of a hollow would meet, the clay fills it: fill_m is what that adds to the thickness laid. */
typedef struct cq_flank {
    size_t n;
    double *foot_x_m, *foot_y_m;   /* y outward from y = 0 on either side (a face may lie beyond it, then below 0); the
                                      mirror is applied by the section's user */
    double *outer_x_m, *outer_y_m; /* = foot where bare */
    double *coat_m;
    double *fill_m; /* part of coat_m; 0 where the thickness is that laid */
} cq_flank;

/* The section: two flanks plus the flats. Immutable after create. */
typedef struct cq_section {
    cq_family family;
    double height_m;
    double length_m;
    double ridge_at_m; /* height of the ridge; 0 = none, or cut away by a groove */
    double edge_coat_m, spine_coat_m;
    bool symmetric; /* left and right coats and outlines are equal */
    cq_flank side[CQ_SIDES];
    int sloped_steps; /* vertical clay steps that were sloped to what wet clay holds */
} cq_section;

/* Build the section. Returns CQ_NOTICED when a clay step was sloped (sloped_steps > 0), CQ_ERR_GEOMETRY with one
 * complaint when outline or coat cannot be built (thickness <= 0, a flank leaning more than 60 degrees, points out of
 * order or off the face, a groove that leaves the face or cuts through, a coat folding on itself; plate and round:
 * unlike points). `coat` may be NULL.
 * A groove replaces both faces between its rims by the arc of a circle; whatever stood there, a ridge too, is cut away.
 * The steepest slope kept is CQ_CLAY_SLOPE (rise of thickness over run along the face): a steeper piece, or a coat that
 * begins or ends abruptly on a face, becomes a ramp of that slope about its middle, less where steps crowd. At edge and
 * spine a coat may end bluntly. Offset points at a corner lie where the neighbouring offset lines meet. In a hollow
 * that is narrow for its clay, where the outer face would shrink to less than CQ_LEAST_OUTER of the face below or run
 * back, the clay fills the hollow: its outer face runs straight across. Where it would have to do so from edge to spine
 * and still runs back, or would be thinner than half of what was laid, the coat is refused. */
#define CQ_LEAST_OUTER 0.25
#define CQ_CLAY_SLOPE 1.0
cq_status cq_section_create(cq_section **section, const cq_blade *blade, const cq_coat *coat, cq_error *error);
void cq_section_free(cq_section *section);
bool cq_section_is_valid(const cq_section *section);

/* Distance of the steel's face from y = 0, outward (half the thickness where the faces mirror each other), and clay
 * thickness (along the normal) at height x on one side; 0 clay where bare. */
double cq_section_half_thickness(const cq_section *section, int side, double x_m);
double cq_section_clay_thickness(const cq_section *section, int side, double x_m);

/* "spine", or "second edge" of a double-edged section: what lies at the top. */
const char *cq_section_top_words(const cq_section *section);

/* What a cell is made of. */
typedef enum cq_cell_kind { CQ_CELL_NONE, CQ_CELL_STEEL, CQ_CELL_CLAY } cq_cell_kind;

/* The grid: a logically rectangular array of quadrilateral cells, rows i along the height, cells j across.
 * Index of a cell: i*across + j. Nodes: (along+1) x (across+1), index i*(across+1) + j.
 * Across, j runs from left to right: left clay, steel, right clay; in a symmetric grid from the mid-plane to the right.
 * In a full grid the middle column of steel nodes lies on the mid-plane, half-way between the faces.
 * Along, i runs from the edge up: edge-flat clay rows (if any), steel rows, spine-flat clay rows (if any).
 * Cells that do not exist (bare zones, empty corners) have kind CQ_CELL_NONE. In each row i the existing cells are
 * contiguous; in each column j they form one or more runs.
 * A row whose coat is thinner than CQ_THIN_COAT has no clay cells there; film_..._m holds its thickness instead.
 * Round: nodes are radii in y, x spans a unit length; geometry factors are per radian-complete ring.
 */
#define CQ_THIN_COAT 0.07e-3
typedef struct cq_grid {
    int along, across;      /* cells incl. clay, array shape */
    int steel_i0, steel_i1; /* steel rows [i0, i1) */
    int steel_j0, steel_j1; /* steel cells [j0, j1) of every steel row */
    bool symmetric;         /* half grid: j = steel_j0 lies on the mid-plane */
    bool one_dimensional;   /* plate or round: a single row, no fluxes along the height */
    bool round;
    double *node_x_m, *node_y_m;     /* (along+1)*(across+1) */
    uint8_t *kind;                   /* along*across, cq_cell_kind */
    double *center_x_m, *center_y_m; /* along*across */
    double *area_m2;                 /* along*across: volume per unit length (round: full ring) */
    /* faces across: between (i,j-1) and (i,j), index i*(across+1)+j, j = 0..across */
    double *across_low, *across_high; /* shape factor A/d of the half cells below (j-1) and above (j) the face;
                                         0 = no cell */
    double *across_skew;              /* (d . s)/|face|: tangential offset of the two centres over the face length */
    double *across_area_m;            /* face length (round: circumference) */
    /* faces along: between (i-1,j) and (i,j), index i*across+j, i = 0..along */
    double *along_low, *along_high, *along_skew, *along_area_m;
    double *film_left_m, *film_right_m; /* along: thin coat without cells on that face of row i, 0 = bare or celled */
    double film_edge_m, film_spine_m;   /* the same on the flats */
    double *coat_left_m, *coat_right_m; /* along: whole coat thickness, mean of the row's two ends (0 = bare), for
                                           surface laws; in rows of the flats' clay the flat's */
    double edge_coat_m, spine_coat_m;
} cq_grid;

/* Lay the grid. Graded toward the edge, the rims of the clay and, in the coat, toward the steel. The ridge lies on a
 * row interface, and so do, where there is room, the heights at which cells of clay begin, corners and rims. refine
 * divides every cell of the same curves. The corner between face and flat has clay where both have cells and their
 * offset lines meet clear of them; it stays empty where a thick coat on a leaning face ends near or beyond the flat's
 * outer level. Plate and round: 4*across cells from the middle to the face. CQ_ERR_ARGUMENT for an impossible wish,
 * CQ_ERR_GEOMETRY if a cell would fold. */
cq_status cq_grid_create(cq_grid **grid, const cq_section *section, const cq_grid_wish *wish, cq_error *error);
void cq_grid_free(cq_grid *grid);
bool cq_grid_is_valid(const cq_grid *grid);

/* Count of steel and clay cells. */
size_t cq_grid_cells(const cq_grid *grid);

#endif
