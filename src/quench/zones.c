/* zones.c - see zones.h. */
#include "quench/zones.h"

#include <math.h>

/* From y, inward from the nearer face. */
static double depth_below(const cq_section *section, double x_m, double y_m) {
    const double right = cq_section_half_thickness(section, CQ_SIDE_RIGHT, x_m) - y_m,
                 left = cq_section_half_thickness(section, CQ_SIDE_LEFT, x_m) + y_m;
    return fmin(left, right);
}

static double depth_on_side(const cq_section *section, int side, double x_m, double y_m) {
    return cq_section_half_thickness(section, side, x_m) + (side == CQ_SIDE_LEFT ? y_m : -y_m);
}

/* Half-open everywhere, so that pieces that adjoin neither overlap nor gape. */
static bool is_in_outline(const cq_zone *zone, double x_m, double y_m) {
    for (size_t i = 0; i + 1 < zone->n; i++) {
        const cq_zone_point *a = &zone->points[i], *b = a + 1;
        if (x_m >= a->at_m && x_m < b->at_m) {
            const double u = (x_m - a->at_m) / (b->at_m - a->at_m);
            return y_m >= a->from_m + u * (b->from_m - a->from_m) && y_m < a->to_m + u * (b->to_m - a->to_m);
        }
    }
    return false;
}

static int piece_at(const cq_zones *z, double x_m, double y_m, int *first, int *second) {
    int found = CQ_ZONE_GAP, rest = CQ_ZONE_GAP;
    for (size_t n = 0; n < z->n; n++) {
        if (z->zone[n].n == 0) {
            rest = (int)n;
        } else if (is_in_outline(&z->zone[n], x_m, y_m)) {
            if (found >= 0) {
                *first = found;
                *second = (int)n;
                return CQ_ZONE_OVERLAP;
            }
            found = (int)n;
        }
    }
    return found >= 0 ? found : rest;
}

int cq_zone_at(const cq_zones *z, const cq_section *section, double x_m, double y_m, int *first, int *second) {
    bool hard = true;
    switch (z->build) {
    case CQ_BUILD_CORE_WITH_JACKET:
        hard = fabs(y_m) < 0.5 * z->thickness_m;
        break;
    case CQ_BUILD_SKIN_ON_ONE_SIDE:
        hard = depth_on_side(section, z->side, x_m, y_m) < z->thickness_m;
        break;
    case CQ_BUILD_EDGE_INLAY:
        hard = x_m < z->height_m && fabs(y_m) < 0.5 * z->thickness_m;
        break;
    case CQ_BUILD_WRAPPED:
        hard = depth_below(section, x_m, y_m) > z->thickness_m && section->height_m - x_m > z->thickness_m;
        break;
    case CQ_BUILD_SOFT_CORE:
        hard = depth_below(section, x_m, y_m) < z->thickness_m || x_m < z->height_m;
        break;
    case CQ_BUILD_BACK_AND_EDGE:
        hard = x_m < z->height_m;
        break;
    case CQ_BUILD_PIECES:
        return piece_at(z, x_m, y_m, first, second);
    }
    return hard ? CQ_ZONE_HARD : CQ_ZONE_SOFT;
}

int cq_zone_filled(const cq_zones *z, const cq_section *section, double x_m, double y_m) {
    int first = 0, second = 0;
    const int found = cq_zone_at(z, section, x_m, y_m, &first, &second);
    return found == CQ_ZONE_OVERLAP ? first : found == CQ_ZONE_GAP ? (int)z->n - 1 : found;
}

bool cq_zones_are_symmetric(const cq_zones *z) {
    if (z->n > 0 && z->build == CQ_BUILD_SKIN_ON_ONE_SIDE) {
        return false;
    }
    for (size_t n = 0; n < z->n && z->build == CQ_BUILD_PIECES; n++) {
        for (size_t i = 0; i < z->zone[n].n; i++) {
            const cq_zone_point *p = &z->zone[n].points[i];
            if (fabs(p->from_m + p->to_m) > 1e-9) {
                return false;
            }
        }
    }
    return true;
}

const char *cq_build_words(cq_build build) {
    static const char *const words[] = {[CQ_BUILD_CORE_WITH_JACKET] = "a hard core in a soft jacket",
                                        [CQ_BUILD_SKIN_ON_ONE_SIDE] = "a hard skin on one side",
                                        [CQ_BUILD_EDGE_INLAY] = "a hard edge let into a soft back",
                                        [CQ_BUILD_WRAPPED] = "hard steel in a soft wrap",
                                        [CQ_BUILD_SOFT_CORE] = "a hard jacket round a soft core",
                                        [CQ_BUILD_BACK_AND_EDGE] = "a hard edge on a soft back",
                                        [CQ_BUILD_PIECES] = "pieces welded together"};
    return words[build];
}
