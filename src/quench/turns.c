/* turns.c - dips and crests of the curve's history: where it turns by more than noise. */
#include "quench/run.h"

#include <math.h>

static void note_turn(cq_curve *h, size_t at, bool dip) {
    if (h->turns_n < sizeof h->turns / sizeof h->turns[0]) {
        h->turns[h->turns_n++] = (cq_turn){h->time_s[at], h->curvature_1_m[at], dip};
    }
}

/* Turning points that stand out by more than a twentieth of the whole movement, in time. */
void cq_run_find_turns(cq_curve *h) {
    double low = 0.0, high = 0.0;
    for (size_t i = 0; i < h->n; i++) {
        low = fmin(low, h->curvature_1_m[i]);
        high = fmax(high, h->curvature_1_m[i]);
    }
    const double stands_out = 0.05 * (high - low);
    size_t best = 0;
    int going = 0; /* +1 up, -1 down, 0 not yet known; the blade begins straight */
    double least = 0.0, most = 0.0;
    size_t least_at = 0, most_at = 0;
    for (size_t i = 0; i < h->n; i++) {
        const double k = h->curvature_1_m[i];
        if (going == 0) {
            if (k < least) {
                least = k;
                least_at = i;
            }
            if (k > most) {
                most = k;
                most_at = i;
            }
            if (most - least > stands_out) {
                going = most_at > least_at ? 1 : -1;
                best = i;
                if (going > 0 && least < 0.0 && -least > 0.5 * stands_out) {
                    note_turn(h, least_at, true);
                } else if (going < 0 && most > 0.5 * stands_out) {
                    note_turn(h, most_at, false);
                }
            }
        } else if (going * (k - h->curvature_1_m[best]) > 0.0) {
            best = i;
        } else if (going * (h->curvature_1_m[best] - k) > stands_out) {
            note_turn(h, best, going < 0);
            going = -going;
            best = i;
        }
    }
}
