/* carbon.c - see carbon.h.
 *
 *   d(w)/dt = d/dx (D(T, w) dw/dx)                                                                       (1)
 *   D = 4.53e-7 (1 + y (1 - y) 8339.9/T) exp(-(1/T - 2.221e-4) (17767 - 26436 y)) m2/s                     (2)
 *
 * y is carbon's atoms per iron atom [agren1986], from memory. Cells exchange D at the mean of their shared face times
 * the difference over the distance of their middles. A step has two implicit stages with gamma = 1 - 1/sqrt(2)
 * [alexander1977]: it damps the jumps the line begins with, and its last stage is the result. Each stage repeats its
 * solve with the diffusivity of the last until that settles; every repeat is conservative by itself.
 */
#include "kinetics/carbon.h"

#include "base/memory.h"

#include <math.h>
#include <stdbool.h>
#include <string.h>

static const double CARBON_G = 12.011, IRON_G = 55.845; /* g/mol [iupac-weights] */
static const double SETTLED_WT = 1e-11;                 /* change of the last repeat, wt % */
enum { REPEATS = 200, WORK = 6 };

double cq_carbon_diffusivity(double temp_K, double carbon_wt) {
    const double y = carbon_wt / CARBON_G / ((100.0 - carbon_wt) / IRON_G);
    return 4.53e-7 * (1.0 + y * (1.0 - y) * 8339.9 / temp_K) *
           exp(-(1.0 / temp_K - 2.221e-4) * (17767.0 - 26436.0 * y)); /* (2) */
}

double cq_carbon_solidus_K(double carbon_wt) {
    static const double at_wt[] = {0.0, 0.09, 0.17, 2.11}, melts_K[] = {1811.0, 1768.0, 1768.0, 1421.0};
    int n = 0;
    while (n < 2 && carbon_wt > at_wt[n + 1]) {
        n++;
    }
    const double u = (carbon_wt - at_wt[n]) / (at_wt[n + 1] - at_wt[n]);
    return melts_K[n] + u * (melts_K[n + 1] - melts_K[n]);
}

/* ---- the line ---------------------------------------------------------------------------------------------------- */

cq_status cq_carbon_line_create(cq_carbon_line *line, size_t n) {
    if (n < 2) {
        return CQ_ERR_ARGUMENT;
    }
    double *all = cq_memory_zero((2 + WORK) * n + 1, sizeof *all);
    if (all == NULL) {
        return CQ_ERR_MEMORY;
    }
    *line = (cq_carbon_line){.n = n, .width_m = all, .carbon_wt = all + n, .work = all + 2 * n};
    return CQ_OK;
}

void cq_carbon_line_free(cq_carbon_line *line) {
    if (line != NULL) {
        cq_memory_free(line->width_m);
        memset(line, 0, sizeof *line);
    }
}

static bool line_is_valid(const cq_carbon_line *line) {
    for (size_t i = 0; i < line->n; i++) {
        const double slack = 1e-9; /* rounding of a step */
        if (!(line->width_m[i] > 0.0) || !(line->carbon_wt[i] >= -slack) ||
            !(line->carbon_wt[i] <= CQ_CARBON_MOST_WT + slack)) {
            return false;
        }
    }
    for (int e = 0; e < 2; e++) {
        if (line->end[e] == CQ_CARBON_HELD && !(line->end_wt[e] >= 0.0 && line->end_wt[e] <= CQ_CARBON_MOST_WT)) {
            return false;
        }
    }
    return true;
}

/* Exchange of the n + 1 faces, m/s: D over the distance, at the mean carbon of the face; 0 at closed ends. */
static void exchanges(const cq_carbon_line *line, double temp_K, const double *carbon, double *exchange) {
    const size_t n = line->n;
    for (size_t i = 1; i < n; i++) {
        const double a = line->width_m[i - 1], b = line->width_m[i];
        const double mean = (b * carbon[i - 1] + a * carbon[i]) / (a + b);
        exchange[i] = cq_carbon_diffusivity(temp_K, mean) / (0.5 * (a + b));
    }
    for (int e = 0; e < 2; e++) {
        const size_t cell = e == 0 ? 0 : n - 1, face = e == 0 ? 0 : n;
        exchange[face] =
            line->end[e] == CQ_CARBON_HELD
                ? cq_carbon_diffusivity(temp_K, 0.5 * (carbon[cell] + line->end_wt[e])) / (0.5 * line->width_m[cell])
                : 0.0;
    }
}

/* What a stage still lacks at x, wt % m: width (from - x) + tau (flux in - flux out). Every face's flux is formed once,
 * so that the sum over the line holds no more than rounding. */
static void lacking(const cq_carbon_line *line, const double *exchange, double tau_s, const double *from,
                    const double *x, double *lack) {
    const size_t n = line->n;
    double in = tau_s * exchange[0] * (line->end_wt[0] - x[0]);
    for (size_t i = 0; i < n; i++) {
        const double out = tau_s * exchange[i + 1] * (x[i] - (i + 1 < n ? x[i + 1] : line->end_wt[1]));
        lack[i] = line->width_m[i] * (from[i] - x[i]) + in - out;
        in = out;
    }
}

/* The change of x that supplies it, in place of `lack`. */
static void supply(const cq_carbon_line *line, const double *exchange, double tau_s, double *lack, double *upper) {
    const size_t n = line->n;
    for (size_t i = 0; i < n; i++) {
        const double left = tau_s * exchange[i], right = tau_s * exchange[i + 1];
        const double diagonal = line->width_m[i] + left * (i == 0 ? 1.0 : 1.0 - upper[i - 1]) + right;
        lack[i] = (lack[i] + (i == 0 ? 0.0 : left * lack[i - 1])) / diagonal;
        upper[i] = right / diagonal;
    }
    for (size_t i = n - 1; i-- > 0;) {
        lack[i] += upper[i] * lack[i + 1];
    }
}

/* The stage with its own diffusivity; *gained: what the ends gave per second, wt % m/s. Solved for the change of x, not
 * for x: in long steps on thin cells rounding would shift the whole line. */
static cq_status settle_stage(const cq_carbon_line *line, double temp_K, double tau_s, const double *from, double *x,
                              double *gained) {
    const size_t n = line->n;
    double *change = line->work + 3 * n, *upper = line->work + 4 * n, *exchange = line->work + 5 * n;
    for (int repeat = 0; repeat < REPEATS; repeat++) {
        double largest = 0.0;
        exchanges(line, temp_K, x, exchange);
        lacking(line, exchange, tau_s, from, x, change);
        supply(line, exchange, tau_s, change, upper);
        for (size_t i = 0; i < n; i++) {
            x[i] += change[i];
            largest = fmax(largest, fabs(change[i]));
        }
        if (largest <= SETTLED_WT) {
            *gained = exchange[0] * (line->end_wt[0] - x[0]) + exchange[n] * (line->end_wt[1] - x[n - 1]);
            return CQ_OK;
        }
    }
    return CQ_ERR_STEP;
}

cq_status cq_carbon_step(cq_carbon_line *line, double temp_K, double dt_s) {
    if (!(temp_K >= CQ_CARBON_COLDEST_K && temp_K < 1850.0) || !(dt_s > 0.0 && dt_s < INFINITY) ||
        !line_is_valid(line)) {
        return CQ_ERR_ARGUMENT;
    }
    const size_t n = line->n;
    const double gamma = 1.0 - sqrt(0.5);
    double *first = line->work, *from = first + n, *second = from + n, gained[2];
    memcpy(first, line->carbon_wt, n * sizeof *first);
    cq_status status = settle_stage(line, temp_K, gamma * dt_s, line->carbon_wt, first, &gained[0]);
    if (status < 0) {
        return status;
    }
    for (size_t i = 0; i < n; i++) {
        from[i] = line->carbon_wt[i] + (1.0 - gamma) / gamma * (first[i] - line->carbon_wt[i]);
    }
    memcpy(second, first, n * sizeof *second);
    status = settle_stage(line, temp_K, gamma * dt_s, from, second, &gained[1]);
    if (status < 0) {
        return status;
    }
    memcpy(line->carbon_wt, second, n * sizeof *second);
    line->gained_wt_m += dt_s * ((1.0 - gamma) * gained[0] + gamma * gained[1]);
    return CQ_OK;
}

cq_status cq_carbon_soak(cq_carbon_line *line, const cq_carbon_heat *heat) {
    if (!(heat->thinning > 0.0 && heat->thinning < INFINITY) || !(heat->time_s > 0.0 && heat->time_s < INFINITY) ||
        !line_is_valid(line)) {
        return CQ_ERR_ARGUMENT;
    }
    double thinnest = INFINITY, least, most;
    for (size_t i = 0; i < line->n; i++) {
        line->width_m[i] *= heat->thinning;
        thinnest = fmin(thinnest, line->width_m[i]);
    }
    line->gained_wt_m *= heat->thinning;
    cq_carbon_range(line, &least, &most);
    /* Steps grow as their number: their ends are T (k/N)^2. N follows how far carbon gets in cells, sqrt(D T)/h. */
    const double reach = sqrt(cq_carbon_diffusivity(heat->temp_K, most) * heat->time_s) / thinnest;
    const int N = (int)fmin(4000.0, 60.0 + 4.0 * reach);
    for (int k = 0; k < N; k++) {
        const cq_status status = cq_carbon_step(line, heat->temp_K, heat->time_s * (2.0 * k + 1.0) / ((double)N * N));
        if (status < 0) {
            return status;
        }
    }
    return CQ_OK;
}

double cq_carbon_total(const cq_carbon_line *line) {
    double total = 0.0;
    for (size_t i = 0; i < line->n; i++) {
        total += line->width_m[i] * line->carbon_wt[i];
    }
    return total;
}

void cq_carbon_range(const cq_carbon_line *line, double *least_wt, double *most_wt) {
    *least_wt = *most_wt = line->carbon_wt[0];
    for (size_t i = 1; i < line->n; i++) {
        *least_wt = fmin(*least_wt, line->carbon_wt[i]);
        *most_wt = fmax(*most_wt, line->carbon_wt[i]);
    }
}

/* ---- one weld ----------------------------------------------------------------------------------------------------
 */

/* Distance at which the line falls through `level`. */
static double falls_at(const cq_carbon_line *line, double level) {
    double x = 0.0;
    for (size_t i = 0; i + 1 < line->n; i++) {
        const double a = line->carbon_wt[i], b = line->carbon_wt[i + 1];
        const double step = 0.5 * (line->width_m[i] + line->width_m[i + 1]);
        if (a >= level && b < level) {
            return x + step * (a - level) / (a - b);
        }
        x += step;
    }
    return NAN;
}

cq_status cq_carbon_weld_spread(const cq_carbon_weld *weld, double *spread_m) {
    enum { N = 200 };
    const double high = weld->high_wt, low = weld->low_wt, step = high - low;
    cq_carbon_line line = {.n = 0};
    double reach2 = 0.0, thin = 1.0; /* reach: in widths of the line as it begins */
    for (size_t h = 0; h < weld->heats_n; h++) {
        thin *= weld->heats[h].thinning;
        reach2 += cq_carbon_diffusivity(weld->heats[h].temp_K, high) * weld->heats[h].time_s / (thin * thin);
    }
    if (!(step > 0.0) || !(reach2 > 0.0)) {
        return CQ_ERR_ARGUMENT;
    }
    cq_status status = cq_carbon_line_create(&line, N);
    for (size_t i = 0; status >= 0 && i < N; i++) {
        line.width_m[i] = 10.0 * sqrt(reach2) / N; /* five times the reach to either side: as if endless */
        line.carbon_wt[i] = i < N / 2 ? high : low;
    }
    for (size_t h = 0; status >= 0 && h < weld->heats_n; h++) {
        status = cq_carbon_soak(&line, &weld->heats[h]);
    }
    if (status >= 0) {
        *spread_m = falls_at(&line, low + 0.1 * step) - falls_at(&line, low + 0.9 * step);
    }
    cq_carbon_line_free(&line);
    return status;
}

/* ---- the skin ---------------------------------------------------------------------------------------------------- */

static double skin_reach_m(const cq_carbon_skin *s) {
    return 2.0 * sqrt(cq_carbon_diffusivity(s->temp_K, 0.5 * (s->core_wt + s->face_wt)) * s->time_s);
}

double cq_carbon_skin_wt(const cq_carbon_skin *s, double depth_m) {
    return s->face_wt + (s->core_wt - s->face_wt) * erf(depth_m / skin_reach_m(s));
}

double cq_carbon_skin_depth_m(const cq_carbon_skin *s, double share) {
    double low = 0.0, high = 6.0; /* erf(6) is 1 to the last bit */
    for (int n = 0; n < 60; n++) {
        const double middle = 0.5 * (low + high);
        *(erf(middle) < share ? &low : &high) = middle;
    }
    return skin_reach_m(s) * 0.5 * (low + high);
}
