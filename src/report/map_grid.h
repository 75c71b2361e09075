/* map_grid.h - a map's runs as a grid with rising axes; what stands where. */
#ifndef CQ_REPORT_MAP_GRID_H
#define CQ_REPORT_MAP_GRID_H

#include "io/result.h"
#include "report/study_rows.h"

#include <clayquench/report_map.h>

enum { CQ_MAP_UNKNOWN = -1 }; /* verdict of a run that failed */

/* Node (i, j): x[i], y[j], index j * nx + i. Line NaN where there is none. */
typedef struct cq_map_grid {
    size_t nx, ny;
    double *x, *y;
    size_t *order_x, *order_y; /* which value of the axis x[i] is */
    double *line_m;
    int *verdict;
    double low_m, high_m; /* of the lines; NaN if there are none */
    double own_x, own_y;  /* the plan's own values; NaN if not on the map */
    size_t own_i, own_j;  /* the node nearest to them */
    bool piece;           /* plates or rounds: no edge, no back */
} cq_map_grid;

cq_status cq_map_grid_create(cq_map_grid **grid, const cq_map *map);
void cq_map_grid_free(cq_map_grid *grid);

static inline int cq_map_verdict(const cq_map_grid *g, size_t i, size_t j) {
    return g->verdict[j * g->nx + i];
}
static inline double cq_map_line(const cq_map_grid *g, size_t i, size_t j) {
    return g->line_m[j * g->nx + i];
}
bool cq_map_has_own(const cq_map_grid *g);
/* "failed" where the run has no verdict. */
const char *cq_map_verdict_words(const cq_map_grid *g, int verdict);
/* Index of the value of a rising axis that is nearest to v. */
size_t cq_map_nearest(const double *axis, size_t n, double v);
/* What an axis shows, short enough for its side: "soak temperature (heat.temperature), °C". */
void cq_map_axis_words(const cq_vary_axis *axis, char to[160]);

/* What this plan gives, and how far its verdict holds along either axis: a paragraph each, lines of `columns`. */
typedef struct cq_map_telling {
    int columns;
    const char *indent; /* of what holds */
    cq_unit_system units;
} cq_map_telling;
void cq_map_add_own(cq_text *text, const cq_map_grid *grid, const cq_map *map, const cq_map_telling *how);

#endif
