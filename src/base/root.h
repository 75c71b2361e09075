/* root.h - where a function of one variable is zero. For preparing and reading; time steps have their own closures. */
#ifndef CQ_BASE_ROOT_H
#define CQ_BASE_ROOT_H

typedef double cq_root_function(const void *context, double x);

/* Where to look, and how near is near enough (in x, above 0). */
typedef struct cq_root_bracket {
    double low, high, tolerance;
} cq_root_bracket;

/* The x in [low, high] at which a continuous function is zero, to the tolerance; NaN if the function has the same sign
 * at both ends or is not a number somewhere on the way. Takes no memory. Method: Brent's, of GSL. Source: [brent1973].
 */
double cq_root_between(cq_root_function *function, const void *context, const cq_root_bracket *bracket);

#endif
