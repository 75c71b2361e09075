/* zones.h - a section forge-welded of several steels, the heats it went through, and its decarburised skin.
 *
 * Distances across are measured from the upright plane through the middle of the edge flat, left negative; heights from
 * the edge flat up; both on the finished section. Only carbon moves between zones.
 */
#ifndef CLAYQUENCH_ZONES_H
#define CLAYQUENCH_ZONES_H

#include <clayquench/material.h>
#include <clayquench/section.h>

/* How it is put together. All but the last have two zones: the hard steel, then the soft one. */
typedef enum cq_build {
    CQ_BUILD_CORE_WITH_JACKET, /* hard core `thickness` thick in the middle, soft steel on both faces */
    CQ_BUILD_SKIN_ON_ONE_SIDE, /* hard steel `thickness` thick along one face, soft steel behind it */
    CQ_BUILD_EDGE_INLAY,       /* hard strip `thickness` thick, let into a soft back from the edge up to `height` */
    CQ_BUILD_WRAPPED,          /* soft jacket `thickness` thick on faces and spine, hard inside, open at the edge */
    CQ_BUILD_SOFT_CORE,        /* hard jacket `thickness` thick on the faces, all hard up to `height`, soft inside */
    CQ_BUILD_BACK_AND_EDGE,    /* hard up to `height`, soft above: two bars welded edge on */
    CQ_BUILD_PIECES            /* zones with outlines of their own */
} cq_build;

enum { CQ_ZONES_MOST = 16, CQ_ZONE_HARD = 0, CQ_ZONE_SOFT = 1 };

/* "a hard core in a soft jacket" */
const char *cq_build_words(cq_build build);

/* At a height the zone reaches from one distance to another, straight between points; heights rise. What lies beyond
 * the faces was ground away. */
typedef struct cq_zone_point {
    double at_m, from_m, to_m;
} cq_zone_point;

typedef struct cq_zone {
    const char *name;
    cq_steel steel;
    size_t n; /* pieces only; 0: all that no other zone takes */
    const cq_zone_point *points;
} cq_zone;

/* One welding or forging heat. The bar was `thicker` times the finished section then, in height and thickness alike. */
typedef struct cq_weld_heat {
    double temperature_K, for_s, thickness_m; /* thickness_m: at the spine, then; 0: as it is now */
} cq_weld_heat;

typedef struct cq_zones {
    size_t n; /* 0: one steel */
    const cq_zone *zone;
    size_t edge; /* the zone at the edge; its steel is taken from the plan's `steel`, which many runs vary */
    cq_build build;
    double thickness_m, height_m; /* as the construction has them; 0: not stated */
    int side;                     /* CQ_SIDE_LEFT or CQ_SIDE_RIGHT: face of a one-sided skin */
    size_t heats_n;
    const cq_weld_heat *heats; /* in order */
} cq_zones;

/* Carbon lost at the faces. Either a depth at which nine tenths of it are there again, or a heat from which that
 * follows. depth_m and for_s both 0: none. */
typedef struct cq_skin {
    double depth_m;
    double temperature_K, for_s;
    double face_wt; /* carbon at the face itself */
} cq_skin;

#endif
