/* step.c - one trial step of the heat equation: BDF2, factorised into an across and an along solve.
 *
 * With w = dt / dt_old, a0 = (1+2w)/(1+w), a1 = 1+w, a2 = w^2/(1+w), the predicted T* = T + w (T - T_old) at which
 * properties and cross terms are taken, and a base point Tb between T and T*:
 *     (D - dt A_y) d1 = -V (a0 [H* + C (Tb - T*)] - a1 H + a2 H_old) + dt F(Tb)    across lines, ends nonlinear    (1)
 *     (a0 C V - dt A_x) d2 + dt [Q(Tb + d2) - Q(Tb)] = D d1                        along lines, ends nonlinear     (2)
 *     T_new = Tb + d2,    D = a0 C V + dt dQ/dT of the along ends
 * D carries the along-end flux Q through both solves: without it the thin rows at the edge are thrown far off in (1),
 * where their flank faces are evaluated. F holds every flux: along fluxes with their end fluxes and across fluxes at
 * Tb, cross terms explicit. Leaving the along-end flux out of (1) would drop the scheme to first order. The first step
 * after a jump is backward Euler (w = 0).
 */
#include "base/vector.h"
#include "conduction/closure.h"

#include <string.h>

#define TINY 1e-300

/* How far the base point of the factorised solve may be extrapolated, in steps of the last one. Modes that are stiff
 * both ways keep the base point's own recursion, whose roots are 1 and this number: at 1 (and above it whenever steps
 * grow) thin cells at the edge slowly run away. */
static const double BASE_STEP = 0.6;

/* The same for the cross terms of clay: with a slant of 45 degrees an explicit cross term of weight up to 0.7 of the
 * implicit part is stable only if extrapolated by less than a fifth of a step. Steel's slants are small and take all of
 * T*. */
static const double CROSS_STEP = 0.2;

/* The across faces are closed after the first solve of a sweep, before heat has moved along: where the flux drawn then
 * and the flux at the final temperature differ by more than the split tolerance, the factorisation is repeated. */
enum { MOST_SWEEPS = 4 };
static const double STILL_W_m = 1.0; /* outflow of a section that hardly cools any more */
static const double APART =
    0.01; /* share by which an end's own drawn and final outflow must differ before it is held */

/* ---- fluxes at the predicted temperatures ------------------------------------------------------------------------ */

/* Conductance of the faces of one row, and the temperature at its across-faces (for the cross terms). */
CQ_VECTOR_KERNEL static void conductances(int n, int stride, const double *restrict k, const double *restrict T,
                                          const double *restrict across_low, const double *restrict across_high,
                                          const double *restrict along_low, const double *restrict along_high,
                                          double *restrict across_g, double *restrict along_g,
                                          double *restrict face_T) {
    for (int j = 0; j < n; j++) {
        const double lo = k[j - 1] * across_low[j], hi = k[j] * across_high[j], sum = lo + hi + TINY;
        across_g[j] = lo * hi / sum;
        face_T[j] = (lo * T[j - 1] + hi * T[j]) / sum;
        const double below = k[j - stride] * along_low[j], above = k[j] * along_high[j];
        along_g[j] = below * above / (below + above + TINY);
    }
}

CQ_VECTOR_KERNEL static void vertices(int n, int stride, const double *restrict face_T, const double *restrict w0,
                                      const double *restrict w1, const double *restrict w2, const double *restrict w3,
                                      double *restrict vertex_T) {
    for (int j = 0; j < n; j++) {
        vertex_T[j] = w0[j] * face_T[j - 2 * stride] + w1[j] * face_T[j - stride] + w2[j] * face_T[j] +
                      w3[j] * face_T[j + stride];
    }
}

/* Flux along the height through the low faces of one row, W/m, positive upward. T: base point; vertex_T: predicted. */
CQ_VECTOR_KERNEL static void along_flux(int n, int stride, const double *restrict g, const double *restrict skew,
                                        const double *restrict T, const double *restrict vertex_T,
                                        double *restrict flux) {
    for (int j = 0; j < n; j++) {
        flux[j] = -g[j] * (T[j] - T[j - stride] - skew[j] * (vertex_T[j + 1] - vertex_T[j]));
    }
}

/* Right-hand side of (1) for one row, and a0 C V. */
CQ_VECTOR_KERNEL static void
row_balance(int n, int stride, double dt, double a0, double a1, double a2, const double *restrict g,
            const double *restrict skew, const double *restrict T, const double *restrict T_star,
            const double *restrict vertex_T, const double *restrict flux_low, const double *restrict flux_high,
            const double *restrict volume, const double *restrict film, const double *restrict c,
            const double *restrict H_star, const double *restrict H, const double *restrict H_old,
            const double *restrict T_now, const double *restrict T_old, const double *restrict here,
            double *restrict across, double *restrict capacity, double *restrict rhs) {
    for (int j = 0; j < n + 1; j++) {
        across[j] = -g[j] * (T[j] - T[j - 1] - skew[j] * (vertex_T[j + stride] - vertex_T[j]));
    }
    for (int j = 0; j < n; j++) {
        const double stored = volume[j] * (a0 * (H_star[j] + c[j] * (T[j] - T_star[j])) - a1 * H[j] + a2 * H_old[j]) +
                              film[j] * (a0 * T[j] - a1 * T_now[j] + a2 * T_old[j]);
        capacity[j] = a0 * (c[j] * volume[j] + film[j]) + (1.0 - here[j]);
        rhs[j] = dt * (across[j] - across[j + 1] + flux_low[j] - flux_high[j]) - stored;
    }
}

/* ---- line solves ------------------------------------------------------------------------------------------------- */

/* Scratch of CQ_LANES lines of n cells, element [cell][lane]: off-diagonal g of the low face (times dt), right-hand
 * side, forward multiplier l = g/d(previous), 1/d, forward solution y, 1/e and solution z of the backward elimination.
 */
typedef struct lines {
    int n, split; /* split: where elimination from both ends meets */
    double *restrict g, *restrict diagonal, *restrict r, *restrict l, *restrict inverse, *restrict y, *restrict back,
                                                                                                          *restrict z;
} lines;

static lines lines_in(double *scratch, int n, int split, size_t longest) {
    lines L = {.n = n, .split = split};
    double **parts[] = {(double **)&L.g,       (double **)&L.diagonal, (double **)&L.r,    (double **)&L.l,
                        (double **)&L.inverse, (double **)&L.y,        (double **)&L.back, (double **)&L.z};
    for (size_t p = 0; p < 8; p++) {
        *parts[p] = scratch + p * longest * CQ_LANES;
    }
    return L;
}

CQ_VECTOR_KERNEL static void eliminate_forward(int n, const double *restrict g, const double *restrict diagonal,
                                               double *restrict l, double *restrict inverse) {
    double previous[CQ_LANES];
    for (int m = 0; m < CQ_LANES; m++) {
        l[m] = 0.0;
        previous[m] = inverse[m] = 1.0 / diagonal[m];
    }
    for (int s = 1; s < n; s++) {
        const int o = s * CQ_LANES;
        for (int m = 0; m < CQ_LANES; m++) {
            const double ls = g[o + m] * previous[m];
            l[o + m] = ls;
            previous[m] = 1.0 / (diagonal[o + m] - g[o + m] * ls);
            inverse[o + m] = previous[m];
        }
    }
}

CQ_VECTOR_KERNEL static void substitute_forward(int n, const double *restrict l, const double *restrict r,
                                                double *restrict y) {
    for (int m = 0; m < CQ_LANES; m++) {
        y[m] = r[m];
    }
    for (int s = 1; s < n; s++) {
        const int o = s * CQ_LANES;
        for (int m = 0; m < CQ_LANES; m++) {
            y[o + m] = r[o + m] + l[o + m] * y[o - CQ_LANES + m];
        }
    }
}

/* Elimination from both ends with the right-hand side carried along: forward multipliers l, 1/d and y as above; 1/e and
 * z the same from the far end. The two chains of divisions run beside each other. */
CQ_VECTOR_KERNEL static void eliminate_both(int n, const double *restrict g, const double *restrict diagonal,
                                            const double *restrict r, double *restrict l, double *restrict inverse,
                                            double *restrict y, double *restrict back, double *restrict z) {
    double up[CQ_LANES], down[CQ_LANES], rising[CQ_LANES], falling[CQ_LANES];
    const int last = (n - 1) * CQ_LANES;
    for (int m = 0; m < CQ_LANES; m++) {
        l[m] = 0.0;
        up[m] = inverse[m] = 1.0 / diagonal[m];
        rising[m] = y[m] = r[m];
        down[m] = back[last + m] = 1.0 / diagonal[last + m];
        falling[m] = z[last + m] = r[last + m];
    }
    for (int o = CQ_LANES, p = last - CQ_LANES; o <= last; o += CQ_LANES, p -= CQ_LANES) {
        for (int m = 0; m < CQ_LANES; m++) {
            const double lo = g[o + m] * up[m], hi = g[p + CQ_LANES + m] * down[m];
            rising[m] = r[o + m] + lo * rising[m];
            falling[m] = r[p + m] + hi * falling[m];
            up[m] = 1.0 / (diagonal[o + m] - g[o + m] * lo);
            down[m] = 1.0 / (diagonal[p + m] - g[p + CQ_LANES + m] * hi);
            l[o + m] = lo;
            inverse[o + m] = up[m];
            y[o + m] = rising[m];
            back[p + m] = down[m];
            z[p + m] = falling[m];
        }
    }
}

CQ_VECTOR_KERNEL static void substitute_back(int n, const double *restrict g, const double *restrict inverse,
                                             const double *restrict y, double *restrict x) {
    const int last = (n - 1) * CQ_LANES;
    for (int m = 0; m < CQ_LANES; m++) {
        x[last + m] = y[last + m] * inverse[last + m];
    }
    for (int s = n - 2; s >= 0; s--) {
        const int o = s * CQ_LANES, up = o + CQ_LANES;
        for (int m = 0; m < CQ_LANES; m++) {
            x[o + m] = (y[o + m] + g[up + m] * x[up + m]) * inverse[o + m];
        }
    }
}

/* Solve lines eliminated from both ends for a new right-hand side: inward to the split, across it, outward again. Every
 * operation has its mirror image, and the two halves do not wait for each other. y: scratch. */
CQ_VECTOR_KERNEL static void solve_from_ends(int n, int split, const double *restrict g, const double *restrict l,
                                             const double *restrict inverse, const double *restrict back,
                                             const double *restrict r, double *restrict y, double *restrict x) {
    const int last = (n - 1) * CQ_LANES, middle = split * CQ_LANES;
    for (int m = 0; m < CQ_LANES; m++) {
        y[m] = r[m];
        y[last + m] = r[last + m];
    }
    for (int o = CQ_LANES; o < middle; o += CQ_LANES) {
        for (int m = o; m < o + CQ_LANES; m++) {
            y[m] = r[m] + l[m] * y[m - CQ_LANES];
        }
    }
    for (int o = last - CQ_LANES; o >= middle; o -= CQ_LANES) {
        for (int m = o; m < o + CQ_LANES; m++) {
            y[m] = r[m] + g[m + CQ_LANES] * back[m + CQ_LANES] * y[m + CQ_LANES];
        }
    }
    for (int m = middle; m < middle + CQ_LANES; m++) {
        const double a = g[m] * inverse[m - CQ_LANES], b = g[m] * back[m], det = 1.0 - a * b;
        x[m - CQ_LANES] = (y[m - CQ_LANES] + b * y[m]) * (inverse[m - CQ_LANES] / det);
        x[m] = (y[m] + a * y[m - CQ_LANES]) * (back[m] / det);
    }
    for (int o = middle - 2 * CQ_LANES; o >= 0; o -= CQ_LANES) {
        for (int m = o; m < o + CQ_LANES; m++) {
            x[m] = (y[m] + g[m + CQ_LANES] * x[m + CQ_LANES]) * inverse[m];
        }
    }
    for (int o = middle + CQ_LANES; o <= last; o += CQ_LANES) {
        for (int m = o; m < o + CQ_LANES; m++) {
            x[m] = (y[m] + g[m] * x[m - CQ_LANES]) * back[m];
        }
    }
}

/* Response of one end to one watt per metre drawn from it over the step, film and half cell included. */
static double end_response(const cq_heat *h, const cq_heat_end *end, double dt, double inverse) {
    return dt * inverse + 1.0 / (h->k[end->cell] * end->shape) + end->film_mK_W;
}

static double skew_offset(const cq_heat *h, const cq_heat_end *end) {
    return end->skew * (h->vertex_T[end->vertex_high] - h->vertex_T[end->vertex_low]);
}

static cq_closure closure_of(const cq_heat *h, int index, double response, double drive) {
    return (cq_closure){.end = index,
                        .area_m = h->ends[index].area_m,
                        .response = response,
                        .drive_K = drive,
                        .Ts_K = h->surface_new_K[index]};
}

/* Rise of the low end for a unit on the right-hand side of the high end, which is the same the other way round. The
 * products run from both ends to the middle, so that a mirrored line gives the same bits. */
static double end_coupling(const lines *L, int lane, int low_s, int high_s) {
    const bool astride = low_s < L->split && high_s >= L->split;
    const int middle = astride ? L->split : high_s + 1;
    double below = 1.0, above = 1.0;
    for (int s = low_s + 1; s < middle; s++) {
        below *= L->l[s * CQ_LANES + lane];
    }
    for (int s = high_s; s > middle; s--) {
        above *= L->g[s * CQ_LANES + lane] * L->back[s * CQ_LANES + lane];
    }
    if (!astride) {
        return below * L->inverse[high_s * CQ_LANES + lane];
    }
    const int at = middle * CQ_LANES + lane;
    const double g = L->g[at], a = L->inverse[at - CQ_LANES], b = L->back[at];
    return below * above * (g * (a * b)) / (1.0 - (g * a) * (g * b));
}

/* Close both ends of one lane of an eliminated line; low_s and high_s are the end cells' places in the line. Each end's
 * drive is its temperature with nothing drawn. Subtracts what is drawn from r. */
static void close_line(cq_heat *h, const cq_heat_client *client, lines *L, int lane, int low_index, int low_s,
                       int high_s, double dt) {
    const cq_heat_end *low = &h->ends[low_index], *high = &h->ends[low_index + 1];
    const int at_low = low_s * CQ_LANES + lane, at_high = high_s * CQ_LANES + lane;
    const bool low_open = low->exposed && !h->held[low_index], high_open = high->exposed && !h->held[low_index + 1];
    const double coupling = low->exposed && high->exposed ? dt * end_coupling(L, lane, low_s, high_s) : 0.0;
    cq_closure a, b;
    if (low_open) {
        a = closure_of(h, low_index, end_response(h, low, dt, L->back[at_low]),
                       h->T_base[low->cell] + L->z[at_low] * L->back[at_low] + skew_offset(h, low));
        a.drive_K -= h->held[low_index + 1] ? coupling * h->drawn_W_m[low_index + 1] : 0.0;
    }
    if (high_open) {
        b = closure_of(h, low_index + 1, end_response(h, high, dt, L->inverse[at_high]),
                       h->T_base[high->cell] + L->y[at_high] * L->inverse[at_high] + skew_offset(h, high));
        b.drive_K -= h->held[low_index] ? coupling * h->drawn_W_m[low_index] : 0.0;
    }
    bool solved = true;
    if (low_open && high_open) {
        solved = cq_closure_solve_pair(client, &a, &b, coupling);
    } else if (low_open) {
        solved = cq_closure_solve(client, &a);
    } else if (high_open) {
        solved = cq_closure_solve(client, &b);
    }
    h->closures_failed += solved ? 0 : 1;
    if (low_open) {
        h->surface_new_K[low_index] = a.Ts_K;
        h->drawn_W_m[low_index] = a.out_W_m;
    }
    if (high_open) {
        h->surface_new_K[low_index + 1] = b.Ts_K;
        h->drawn_W_m[low_index + 1] = b.out_W_m;
    }
    L->r[at_low] -= low->exposed ? dt * h->drawn_W_m[low_index] : 0.0;
    L->r[at_high] -= high->exposed ? dt * h->drawn_W_m[low_index + 1] : 0.0;
}

/* Move CQ_LANES rows between the padded arrays and [cell][lane] scratch. */
CQ_VECTOR_KERNEL static void gather_rows(int n, int stride, const double *restrict from, double scale,
                                         double *restrict to) {
    for (int j = 0; j < n; j++) {
        for (int m = 0; m < CQ_LANES; m++) {
            to[j * CQ_LANES + m] = scale * from[m * stride + j];
        }
    }
}

CQ_VECTOR_KERNEL static void scatter_rows(int n, int stride, const double *restrict from, double *restrict to) {
    for (int m = 0; m < CQ_LANES; m++) {
        for (int j = 0; j < n; j++) {
            to[m * stride + j] = from[j * CQ_LANES + m];
        }
    }
}

/* diagonal = capacity + g(low face) + g(high face) */
CQ_VECTOR_KERNEL static void add_diagonal(int n, const double *restrict g, double *restrict diagonal) {
    for (int s = 0; s < n; s++) {
        for (int m = 0; m < CQ_LANES; m++) {
            const int o = s * CQ_LANES + m;
            diagonal[o] += g[o] + (s + 1 < n ? g[o + CQ_LANES] : 0.0); /* the sum first: it mirrors */
        }
    }
}

static size_t longest_line(const cq_heat *h) {
    return (size_t)(h->rows > h->stride ? h->rows : h->stride) + 2;
}

/* Equation (1): rhs -> delta. */
static void solve_across(cq_heat *h, const cq_heat_client *client, double dt) {
    const cq_grid *grid = h->grid;
    const int n = grid->across;
    lines L = lines_in(h->scratch, n, (grid->steel_j0 + grid->steel_j1) / 2, longest_line(h));
    const bool two_ended = !grid->symmetric;
    for (int i = 0; i < grid->along; i += CQ_LANES) {
        const int at = cq_heat_at(h, i, 0);
        gather_rows(n, h->stride, h->across_g + at, dt, L.g);
        gather_rows(n, h->stride, h->capacity + at, 1.0, L.diagonal);
        gather_rows(n, h->stride, h->rhs + at, 1.0, L.r);
        add_diagonal(n, L.g, L.diagonal);
        if (two_ended) {
            eliminate_both(n, L.g, L.diagonal, L.r, L.l, L.inverse, L.y, L.back, L.z);
        } else {
            eliminate_forward(n, L.g, L.diagonal, L.l, L.inverse);
            substitute_forward(n, L.l, L.r, L.y);
        }
        for (int m = 0; m < CQ_LANES && i + m < grid->along; m++) {
            const int row = i + m;
            if (h->ends[2 * row].cell >= 0) {
                const int base = cq_heat_at(h, row, 0);
                close_line(h, client, &L, m, 2 * row, h->ends[2 * row].cell - base, h->ends[2 * row + 1].cell - base,
                           dt);
            }
        }
        if (two_ended) {
            solve_from_ends(n, L.split, L.g, L.l, L.inverse, L.back, L.r, L.y, L.z);
        } else {
            substitute_forward(n, L.l, L.r, L.y);
            substitute_back(n, L.g, L.inverse, L.y, L.z);
        }
        scatter_rows(n, h->stride, L.z, h->delta + at);
    }
}

CQ_VECTOR_KERNEL static void gather_columns(int n, int stride, const double *restrict from, double scale,
                                            double *restrict to) {
    for (int i = 0; i < n; i++) {
        for (int m = 0; m < CQ_LANES; m++) {
            to[i * CQ_LANES + m] = scale * from[i * stride + m];
        }
    }
}

CQ_VECTOR_KERNEL static void gather_product(int n, int stride, const double *restrict a, const double *restrict b,
                                            double *restrict to) {
    for (int i = 0; i < n; i++) {
        for (int m = 0; m < CQ_LANES; m++) {
            to[i * CQ_LANES + m] = a[i * stride + m] * b[i * stride + m];
        }
    }
}

CQ_VECTOR_KERNEL static void scatter_columns(int n, int stride, const double *restrict from, double *restrict to) {
    for (int i = 0; i < n; i++) {
        for (int m = 0; m < CQ_LANES; m++) {
            to[i * stride + m] = from[i * CQ_LANES + m];
        }
    }
}

/* Equation (2): delta -> delta. The end fluxes already taken at T* are given back before the true ones are drawn. */
static void solve_along(cq_heat *h, const cq_heat_client *client, double dt) {
    const cq_grid *grid = h->grid;
    const int n = grid->along;
    lines L = lines_in(h->scratch, n, n / 2, longest_line(h));
    for (int j = 0; j < grid->across; j += CQ_LANES) {
        const int at = cq_heat_at(h, 0, j);
        gather_columns(n, h->stride, h->along_g + at, dt, L.g);
        gather_columns(n, h->stride, h->capacity + at, 1.0, L.diagonal);
        gather_product(n, h->stride, h->capacity + at, h->delta + at, L.r);
        for (int m = 0; m < CQ_LANES && j + m < grid->across; m++) {
            for (int high = 0; high < 2; high++) {
                const int index = 2 * (n + j + m) + high;
                const cq_heat_end *end = &h->ends[index];
                if (end->cell >= 0 && end->exposed) { /* D back to a0 C V: the closure brings the flux itself */
                    const int s = (end->cell - at - m) / h->stride * CQ_LANES + m;
                    L.r[s] += dt * h->end_star_W_m[index];
                    L.diagonal[s] -= dt * h->end_slope_W_mK[index];
                }
            }
        }
        add_diagonal(n, L.g, L.diagonal);
        eliminate_both(n, L.g, L.diagonal, L.r, L.l, L.inverse, L.y, L.back, L.z);
        for (int m = 0; m < CQ_LANES && j + m < grid->across; m++) {
            const int low = 2 * (n + j + m);
            if (h->ends[low].cell >= 0) {
                close_line(h, client, &L, m, low, (h->ends[low].cell - at - m) / h->stride,
                           (h->ends[low + 1].cell - at - m) / h->stride, dt);
            }
        }
        solve_from_ends(n, L.split, L.g, L.l, L.inverse, L.back, L.r, L.y, L.z);
        scatter_columns(n, h->stride, L.z, h->delta + at);
    }
}

/* ---- the step ---------------------------------------------------------------------------------------------------- */

/* Outflow of one end for a given cell temperature. */
static double end_outflow(cq_heat *h, const cq_heat_client *client, int index, const double *T) {
    const cq_heat_end *end = &h->ends[index];
    cq_closure one = closure_of(h, index, end_response(h, end, 0.0, 0.0), T[end->cell] + skew_offset(h, end));
    h->closures_failed += cq_closure_solve(client, &one) ? 0 : 1;
    h->surface_new_K[index] = one.Ts_K;
    return one.out_W_m;
}

/* dQ/dT of one end against its cell's temperature at T*; 0 where the flux falls with temperature. */
static double end_slope(const cq_heat *h, const cq_heat_client *client, int index) {
    const cq_heat_end *end = &h->ends[index];
    double slope;
    client->flux(client->context, index, h->surface_new_K[index], &slope);
    return slope > 0.0 ? 1.0 / (end_response(h, end, 0.0, 0.0) + 1.0 / (end->area_m * slope)) : 0.0;
}

/* Temperature at the outer across-faces by continuing the flux of the next face inward: needs no closure. */
static void extend_face_temperatures(cq_heat *h) {
    const cq_grid *grid = h->grid;
    for (int i = 0; i < grid->along; i++) {
        const cq_heat_end *low = &h->ends[2 * i], *high = low + 1;
        if (low->cell < 0) {
            continue;
        }
        const int a = low->cell, b = high->cell;
        const double *T = h->T_cross;
        h->face_T[a] = T[a];
        h->face_T[b + 1] = T[b];
        if (a < b) {
            h->face_T[a] += low->exposed ? h->across_g[a + 1] * (T[a] - T[a + 1]) / (h->k[a] * low->shape) : 0.0;
            h->face_T[b + 1] += high->exposed ? h->across_g[b] * (T[b] - T[b - 1]) / (h->k[b] * high->shape) : 0.0;
        }
    }
}

static void apply_gaps(cq_heat *h) {
    for (size_t n = 0; h->contact_m2K_W > 0.0 && n < h->gaps_n; n++) {
        double *g = (h->gaps[n].along ? h->along_g : h->across_g) + h->gaps[n].face;
        *g = *g / (1.0 + *g * h->contact_m2K_W / h->gaps[n].area_m);
    }
}

/* Conductances and vertex temperatures: at the predicted temperatures, once a step. */
static void prepare(cq_heat *h) {
    const cq_grid *grid = h->grid;
    const int n = grid->across, stride = h->stride;
    for (int i = 0; i <= grid->along; i++) {
        const int at = cq_heat_at(h, i, 0);
        conductances(n + 1, stride, h->k + at, h->T_cross + at, h->across_low + at, h->across_high + at,
                     h->along_low + at, h->along_high + at, h->across_g + at, h->along_g + at, h->face_T + at);
    }
    apply_gaps(h);
    if (!grid->one_dimensional) {
        extend_face_temperatures(h);
        for (int i = 0; i <= grid->along; i++) {
            const int at = cq_heat_at(h, i, 0);
            vertices(n + 1, stride, h->face_T + at, h->vertex_weight[0] + at, h->vertex_weight[1] + at,
                     h->vertex_weight[2] + at, h->vertex_weight[3] + at, h->vertex_T + at);
        }
    }
}

/* Right-hand side of (1) about the base point, and D. */
static void assemble(cq_heat *h, const cq_heat_client *client, double dt, double a0, double a1, double a2) {
    const cq_grid *grid = h->grid;
    const int n = grid->across, stride = h->stride;
    double *low = h->flux_along[0], *high = h->flux_along[1], *across = h->scratch;
    along_flux(n, stride, h->along_g + cq_heat_at(h, 0, 0), h->along_skew + cq_heat_at(h, 0, 0),
               h->T_base + cq_heat_at(h, 0, 0), h->vertex_T + cq_heat_at(h, 0, 0), low);
    for (int i = 0; i < grid->along; i++) {
        const int at = cq_heat_at(h, i, 0), up = at + stride;
        along_flux(n, stride, h->along_g + up, h->along_skew + up, h->T_base + up, h->vertex_T + up, high);
        row_balance(n, stride, dt, a0, a1, a2, h->across_g + at, h->across_skew + at, h->T_base + at, h->T_star + at,
                    h->vertex_T + at, low, high, h->volume + at, h->film_heat + at, h->c + at, h->H_star + at,
                    h->H + at, h->H_old + at, h->T + at, h->T_old + at, h->exists + at, across, h->capacity + at,
                    h->rhs + at);
        double *swap = low;
        low = high;
        high = swap;
    }
    for (int e = 2 * grid->along; e < h->ends_n; e++) {
        if (h->ends[e].cell >= 0 && h->ends[e].exposed) {
            h->end_star_W_m[e] = end_outflow(h, client, e, h->T_base);
            h->rhs[h->ends[e].cell] -= dt * h->end_star_W_m[e];
            h->end_slope_W_mK[e] = end_slope(h, client, e);
            h->capacity[h->ends[e].cell] += dt * h->end_slope_W_mK[e];
        }
    }
}

CQ_VECTOR_KERNEL static void predict(size_t n, double w, double base, double slanted, const double *restrict T,
                                     const double *restrict T_old, const double *restrict clay, double *restrict T_star,
                                     double *restrict T_base, double *restrict T_cross) {
    const double coldest = 150.0; /* only keeps property polynomials positive when a step is about to be rejected */
    for (size_t a = 0; a < n; a++) {
        const double change = w * (T[a] - T_old[a]), extended = T[a] + change;
        T_star[a] = extended > coldest ? extended : coldest;
        T_base[a] = T[a] + base * change;
        T_cross[a] = clay[a] > 0.0 ? T[a] + slanted * change : T_star[a];
    }
}

CQ_VECTOR_KERNEL static void correct(size_t n, const double *restrict T_star, const double *restrict T_base,
                                     const double *restrict H_star, const double *restrict c, double *restrict delta,
                                     double *restrict T_new, double *restrict H_linear) {
    for (size_t a = 0; a < n; a++) {
        T_new[a] = T_base[a] + delta[a];
        delta[a] = T_new[a] - T_star[a];
        H_linear[a] = H_star[a] + c[a] * delta[a];
    }
}

/* Largest correction over steel cells. */
static double step_error(const cq_heat *h) {
    const cq_grid *g = h->grid;
    double worst = 0.0;
    for (int i = g->steel_i0; i < g->steel_i1; i++) {
        for (int j = g->steel_j0; j < g->steel_j1; j++) {
            const double error = fabs(h->delta[cq_heat_at(h, i, j)]);
            if (isnan(error)) {
                return error;
            }
            worst = error > worst ? error : worst;
        }
    }
    return worst;
}

/* What leaves at T, from the faces' own temperatures, and how far that is from what the solve drew, as a share. */
static double evaluate_outflow(cq_heat *h, const cq_heat_client *client, const double *T) {
    double apart = 0.0, all = 0.0;
    for (int e = 0; e < h->ends_n; e++) {
        if (h->ends[e].cell >= 0 && h->ends[e].exposed) {
            h->outflow_new_W_m[e] = end_outflow(h, client, e, T);
            apart += fabs(h->outflow_new_W_m[e] - h->drawn_W_m[e]);
            all += fabs(h->outflow_new_W_m[e]);
        } else {
            h->outflow_new_W_m[e] = 0.0;
        }
    }
    const double still =
        h->grid->symmetric ? 0.5 * STILL_W_m : STILL_W_m; /* half a section, half of it: the same steps */
    return apart / (all + still); /* near the bath's temperature a share alone would be one of rounding */
}

/* Where the flux falls with temperature a line alone can have other roots than the section has, and sweeps would swing
 * between them. From the second sweep on such an end draws what left it at the end of the last one. */
static void hold_falling_ends(cq_heat *h, const cq_heat_client *client) {
    for (int e = 0; e < h->ends_n; e++) {
        if (h->ends[e].cell >= 0 && h->ends[e].exposed) {
            const double out = h->outflow_new_W_m[e];
            double slope = 0.0;
            if (!h->held[e] && fabs(out - h->drawn_W_m[e]) > APART * fabs(out)) {
                client->flux(client->context, e, h->surface_new_K[e], &slope);
            }
            h->held[e] = h->held[e] || slope < 0.0;
            h->drawn_W_m[e] = out;
        }
    }
}

double cq_heat_try(cq_heat *h, const cq_heat_client *client, double dt_s) {
    const double w = h->restart ? 0.0 : dt_s / h->last_dt_s;
    const double a0 = (1.0 + 2.0 * w) / (1.0 + w), a1 = 1.0 + w, a2 = w * w / (1.0 + w);
    predict(h->size, w, fmin(1.0, BASE_STEP / w), fmin(1.0, CROSS_STEP / w), h->T, h->T_old, h->clay, h->T_star,
            h->T_base, h->T_cross);
    client->fill(client->context, h->T, h->T_star, dt_s, h->k, h->c, h->H_star);
    memcpy(h->surface_new_K, h->surface_K, (size_t)h->ends_n * sizeof(double));
    memset(h->held, 0, (size_t)h->ends_n * sizeof(bool));
    prepare(h);
    for (int sweep = 0; sweep < MOST_SWEEPS; sweep++) {
        assemble(h, client, dt_s, a0, a1, a2);
        solve_across(h, client, dt_s);
        if (!h->grid->one_dimensional) {
            solve_along(h, client, dt_s);
        }
        correct(h->size, h->T_star, h->T_base, h->H_star, h->c, h->delta, h->T_new, h->H_linear);
        h->sweeps++;
        h->split_apart = h->grid->one_dimensional ? 0.0 : evaluate_outflow(h, client, h->T_new);
        if (!(h->split_apart > h->split_tolerance)) {
            break;
        }
        hold_falling_ends(h, client);
        memcpy(h->T_base, h->T_new, h->size * sizeof(double)); /* factorise again about a better base point */
    }
    const double error = step_error(h);
    client->settle(client->context, h->T_new, h->H_linear, h->c, h->H_new);
    evaluate_outflow(h, client, h->T_new);
    return error;
}

void cq_heat_resume(cq_heat *h, const cq_heat_client *client) {
    h->restart = true;
    memcpy(h->surface_new_K, h->surface_K, (size_t)h->ends_n * sizeof(double));
    for (int e = 0; e < h->ends_n; e++) {
        if (h->ends[e].cell >= 0 && h->ends[e].exposed) {
            h->outflow_W_m[e] = end_outflow(h, client, e, h->T);
            h->surface_K[e] = h->surface_new_K[e];
        }
    }
}
