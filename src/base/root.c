/* root.c - see root.h. GSL's Brent is stepped by hand on a state of our own: gsl_root_fsolver_alloc would take memory
 * that no fault test reaches, and GSL's error handler, which is one for the whole process, must never be called from
 * here. So that it is not, the function that GSL sees is always finite. */
#include "base/root.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_roots.h>
#include <math.h>
#include <stdalign.h>
#include <stdbool.h>

enum {
    MOST_STEPS = 200,
    STATE_BYTES = 256
}; /* Brent never needs more steps than the square of bisection's; far fewer come */

typedef struct shielded {
    cq_root_function *function;
    const void *context;
    bool broken;
} shielded;

static double shielded_at(double x, void *parameters) {
    shielded *s = parameters;
    const double y = s->function(s->context, x);
    s->broken = s->broken || !isfinite(y);
    return isfinite(y) ? y : 1.0; /* any number: nobody uses it */
}

double cq_root_between(cq_root_function *function, const void *context, const cq_root_bracket *bracket) {
    const gsl_root_fsolver_type *brent = gsl_root_fsolver_brent;
    alignas(16) unsigned char state[STATE_BYTES];
    shielded s = {function, context, false};
    gsl_function f = {shielded_at, &s};
    double low = bracket->low, high = bracket->high, root;
    const double at_low = shielded_at(low, &s), at_high = shielded_at(high, &s);
    if (s.broken || !(low < high) || !(at_low * at_high <= 0.0) || brent->size > sizeof state) {
        return NAN;
    }
    brent->set(state, &f, &root, low, high);
    for (int n = 0; n < MOST_STEPS && high - low > bracket->tolerance && !s.broken; n++) {
        if (brent->iterate(state, &f, &root, &low, &high) != GSL_SUCCESS) {
            return NAN;
        }
    }
    return s.broken || high - low > bracket->tolerance ? NAN : root;
}
