/* table.c - straight or monotone curves through pairs. Monotone: Steffen's method [steffen1990]. */
#include <clayquench/table.h>
#include <math.h>

bool cq_table_is_valid(const cq_table *table) {
    if (table == NULL || table->n == 0 || table->x == NULL || table->y == NULL) {
        return false;
    }
    for (size_t i = 0; i < table->n; i++) {
        if (!isfinite(table->x[i]) || !isfinite(table->y[i]) || (i > 0 && !(table->x[i] > table->x[i - 1]))) {
            return false;
        }
    }
    return true;
}

/* Largest i <= n-2 with x[i] <= x. */
static size_t interval_of(const cq_table *t, double x) {
    size_t low = 0, high = t->n - 1;
    while (high - low > 1) {
        size_t middle = (low + high) / 2;
        if (t->x[middle] <= x) {
            low = middle;
        } else {
            high = middle;
        }
    }
    return low;
}

static double secant(const cq_table *t, size_t i) {
    return (t->y[i + 1] - t->y[i]) / (t->x[i + 1] - t->x[i]);
}

static double sign_of(double v) {
    return v > 0.0 ? 1.0 : (v < 0.0 ? -1.0 : 0.0);
}

/* Steffen's slope at node i: eq. (11) inside, one-sided parabola limited to twice the secant at the ends. */
static double node_slope(const cq_table *t, size_t i) {
    if (t->n == 2) {
        return secant(t, 0);
    }
    if (i == 0 || i == t->n - 1) {
        const size_t a = i == 0 ? 0 : t->n - 2, b = i == 0 ? 1 : t->n - 3;
        const double ha = t->x[a + 1] - t->x[a], hb = t->x[b + 1] - t->x[b], sa = secant(t, a), sb = secant(t, b);
        const double p = sa * (1.0 + ha / (ha + hb)) - sb * ha / (ha + hb);
        if (p * sa <= 0.0) {
            return 0.0;
        }
        return fabs(p) > 2.0 * fabs(sa) ? 2.0 * sa : p;
    }
    const double h0 = t->x[i] - t->x[i - 1], h1 = t->x[i + 1] - t->x[i], s0 = secant(t, i - 1), s1 = secant(t, i);
    const double p = (s0 * h1 + s1 * h0) / (h0 + h1);
    return (sign_of(s0) + sign_of(s1)) * fmin(fmin(fabs(s0), fabs(s1)), 0.5 * fabs(p));
}

static void monotone_piece(const cq_table *t, size_t i, double coefficient[3]) {
    const double h = t->x[i + 1] - t->x[i], s = secant(t, i), d0 = node_slope(t, i), d1 = node_slope(t, i + 1);
    coefficient[0] = d0;
    coefficient[1] = (3.0 * s - 2.0 * d0 - d1) / h;
    coefficient[2] = (d0 + d1 - 2.0 * s) / (h * h);
}

double cq_table_eval(const cq_table *table, double x, size_t *outside) {
    const size_t n = table->n;
    if (n == 1) {
        return table->y[0];
    }
    if (!(x >= table->x[0]) || x > table->x[n - 1]) {
        if (outside != NULL) {
            ++*outside;
        }
        return x > table->x[n - 1] ? table->y[n - 1] : table->y[0];
    }
    const size_t i = interval_of(table, x);
    const double u = x - table->x[i];
    if (table->interpolation == CQ_INTERPOLATE_LINEAR) {
        return table->y[i] + secant(table, i) * u;
    }
    double c[3];
    monotone_piece(table, i, c);
    return table->y[i] + u * (c[0] + u * (c[1] + u * c[2]));
}

double cq_table_slope(const cq_table *table, double x) {
    const size_t n = table->n;
    if (n < 2 || !(x >= table->x[0]) || !(x < table->x[n - 1])) {
        return 0.0;
    }
    const size_t i = interval_of(table, x);
    if (table->interpolation == CQ_INTERPOLATE_LINEAR) {
        return secant(table, i);
    }
    const double u = x - table->x[i];
    double c[3];
    monotone_piece(table, i, c);
    return c[0] + u * (2.0 * c[1] + u * 3.0 * c[2]);
}
