/* lay_rim.c - see lay_rim.h. */
#include "study/lay_rim.h"

#include <math.h>

cq_rim_search cq_rim_begin(int at, int most) {
    const int held = at < 0 ? 0 : at > most ? most : at;
    return (cq_rim_search){.at = held, .below = -1, .above = most + 1, .most = most, .over = most < 0, .best = -1};
}

void cq_rim_learn(cq_rim_search *r, double miss_m, double step_m) {
    if (isnan(miss_m)) {
        r->over = true;
        return;
    }
    if (isfinite(miss_m) && (r->best < 0 || fabs(miss_m) < fabs(r->best_miss_m))) {
        r->best = r->at;
        r->best_miss_m = miss_m;
    }
    r->below = miss_m <= 0.0 && r->at > r->below ? r->at : r->below;
    r->above = miss_m >= 0.0 && r->at < r->above ? r->at : r->above;
    const bool near = isfinite(miss_m) && fabs(miss_m) <= 0.5 * step_m;
    r->over = near || r->above - r->below < 2;
    if (r->over) {
        return;
    }
    if (!isfinite(miss_m) && (miss_m > 0.0 ? r->below < 0 : r->above > r->most)) { /* that end was not tried yet */
        r->at = miss_m > 0.0 ? 0 : r->most;
        return;
    }
    const int steps = isfinite(miss_m) ? (int)fmin(fmax(round(-miss_m / step_m), -1e6), 1e6) : 0;
    const int next = r->at + steps;
    r->at = steps != 0 && next > r->below && next < r->above ? next
            : steps > 0 && next >= r->above                  ? r->above - 1
            : steps < 0 && next <= r->below                  ? r->below + 1
                                                             : r->below + (r->above - r->below) / 2;
}

double cq_rim_miss(const cq_row *row, cq_figure line, double wanted_m) {
    if (row->state != CQ_ROW_DONE) {
        return NAN;
    }
    const double at = row->value[line];
    return isfinite(at) ? at - wanted_m : row->value[CQ_FIGURE_EDGE_MARTENSITE] >= 0.5 ? HUGE_VAL : -HUGE_VAL;
}
