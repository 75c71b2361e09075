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
#include "conduction/fluxes.h"
#include "conduction/lines.h"

#include <string.h>

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

/* ---- line solves, each with its outer faces closed -------------------------------------------------------------- */

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

/* Close both ends of one lane of an eliminated line; low_s and high_s are the end cells' places in the line. Each end's
 * drive is its temperature with nothing drawn. Subtracts what is drawn from r. */
static void close_line(cq_heat *h, const cq_heat_client *client, const cq_lines *L, int lane, int low_index, int low_s,
                       int high_s, double dt) {
    const cq_heat_end *low = &h->ends[low_index], *high = &h->ends[low_index + 1];
    cq_line_cell *at_low = &L->cell[low_s], *at_high = &L->cell[high_s];
    const bool low_open = low->exposed && !h->held[low_index], high_open = high->exposed && !h->held[low_index + 1];
    const double coupling = low->exposed && high->exposed ? dt * cq_lines_coupling(L, lane, low_s, high_s) : 0.0;
    cq_closure a, b;
    if (low_open) {
        a = closure_of(h, low_index, end_response(h, low, dt, at_low->back[lane]),
                       h->T_base[low->cell] + at_low->z[lane] * at_low->back[lane] + skew_offset(h, low));
        a.drive_K -= h->held[low_index + 1] ? coupling * h->drawn_W_m[low_index + 1] : 0.0;
    }
    if (high_open) {
        b = closure_of(h, low_index + 1, end_response(h, high, dt, at_high->inverse[lane]),
                       h->T_base[high->cell] + at_high->y[lane] * at_high->inverse[lane] + skew_offset(h, high));
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
    h->closures_failed_new += solved ? 0 : 1;
    if (low_open) {
        h->surface_new_K[low_index] = a.Ts_K;
        h->drawn_W_m[low_index] = a.out_W_m;
    }
    if (high_open) {
        h->surface_new_K[low_index + 1] = b.Ts_K;
        h->drawn_W_m[low_index + 1] = b.out_W_m;
    }
    at_low->r[lane] -= low->exposed ? dt * h->drawn_W_m[low_index] : 0.0;
    at_high->r[lane] -= high->exposed ? dt * h->drawn_W_m[low_index + 1] : 0.0;
}

/* Equation (1): rhs -> delta. */
static void solve_across(cq_heat *h, const cq_heat_client *client, double dt) {
    const cq_grid *grid = h->grid;
    const cq_lines L = {h->lines, grid->across, (grid->steel_j0 + grid->steel_j1) / 2};
    const bool two_ended = !grid->symmetric;
    for (int i = 0; i < grid->along; i += CQ_LANES) {
        const int at = cq_heat_at(h, i, 0);
        cq_lines_from_rows(&L, &(cq_line_source){h->across_g + at, h->capacity + at, dt, h->stride}, h->rhs + at);
        cq_lines_couple(&L);
        (two_ended ? cq_lines_eliminate_both : cq_lines_eliminate)(&L);
        for (int m = 0; m < CQ_LANES && i + m < grid->along; m++) {
            const int row = i + m;
            if (h->ends[2 * row].cell >= 0) {
                const int base = cq_heat_at(h, row, 0);
                close_line(h, client, &L, m, 2 * row, h->ends[2 * row].cell - base, h->ends[2 * row + 1].cell - base,
                           dt);
            }
        }
        (two_ended ? cq_lines_solve_both : cq_lines_solve)(&L);
        cq_lines_to_rows(&L, h->stride, h->delta + at);
    }
}

/* From D back to a0 C V in the columns from j on, and the end fluxes already taken at the base point given back: the
 * closures bring the true ones. */
static void take_back(const cq_heat *h, const cq_lines *L, int j, double dt) {
    const int at = cq_heat_at(h, 0, j), columns = h->grid->across - j < CQ_LANES ? h->grid->across - j : CQ_LANES;
    for (int index = 2 * (h->grid->along + j); index < 2 * (h->grid->along + j + columns); index++) {
        const cq_heat_end *end = &h->ends[index];
        if (end->cell >= 0 && end->exposed) {
            const int lane = (end->cell - at) % h->stride;
            L->cell[(end->cell - at) / h->stride].r[lane] += dt * h->end_star_W_m[index];
            L->cell[(end->cell - at) / h->stride].diagonal[lane] -= dt * h->end_slope_W_mK[index];
        }
    }
}

/* Equation (2): delta -> delta. */
static void solve_along(cq_heat *h, const cq_heat_client *client, double dt) {
    const cq_grid *grid = h->grid;
    const int n = grid->along;
    const cq_lines L = {h->lines, n, n / 2};
    for (int j = 0; j < grid->across; j += CQ_LANES) {
        const int at = cq_heat_at(h, 0, j);
        cq_lines_from_columns(&L, &(cq_line_source){h->along_g + at, h->capacity + at, dt, h->stride}, h->delta + at);
        take_back(h, &L, j, dt);
        cq_lines_couple(&L);
        cq_lines_eliminate_both(&L);
        for (int m = 0; m < CQ_LANES && j + m < grid->across; m++) {
            const int low = 2 * (n + j + m);
            if (h->ends[low].cell >= 0) {
                close_line(h, client, &L, m, low, (h->ends[low].cell - at - m) / h->stride,
                           (h->ends[low + 1].cell - at - m) / h->stride, dt);
            }
        }
        cq_lines_solve_both(&L);
        cq_lines_to_columns(&L, h->stride, h->delta + at);
    }
}

/* ---- the step ---------------------------------------------------------------------------------------------------- */

/* Outflow of one end for a given cell temperature. */
static double end_outflow(cq_heat *h, const cq_heat_client *client, int index, const double *T) {
    const cq_heat_end *end = &h->ends[index];
    cq_closure one = closure_of(h, index, end_response(h, end, 0.0, 0.0), T[end->cell] + skew_offset(h, end));
    h->closures_failed_new += cq_closure_solve(client, &one) ? 0 : 1;
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

/* What the row-by-row balance does not see: the along ends' fluxes at the base point in the right-hand side of (1), and
 * what makes a0 C V into D. */
static void add_along_ends(cq_heat *h, const cq_heat_client *client, double dt) {
    for (int e = 2 * h->grid->along; e < h->ends_n; e++) {
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
    const cq_bdf step = {dt_s, (1.0 + 2.0 * w) / (1.0 + w), 1.0 + w, w * w / (1.0 + w)};
    predict(h->size, w, fmin(1.0, BASE_STEP / w), fmin(1.0, CROSS_STEP / w), h->T, h->T_old, h->clay, h->T_star,
            h->T_base, h->T_cross);
    client->fill(client->context, h->T, h->T_star, dt_s, h->k, h->c, h->H_star);
    memcpy(h->surface_new_K, h->surface_K, (size_t)h->ends_n * sizeof(double));
    memset(h->held, 0, (size_t)h->ends_n * sizeof(bool));
    cq_fluxes_prepare(h);
    for (int sweep = 0; sweep < MOST_SWEEPS; sweep++) {
        h->closures_failed_new = 0; /* a sweep's roots stand for those of the sweep before */
        cq_fluxes_assemble(h, &step);
        add_along_ends(h, client, dt_s);
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
    h->closures_failed_new = 0;
    memcpy(h->surface_new_K, h->surface_K, (size_t)h->ends_n * sizeof(double));
    for (int e = 0; e < h->ends_n; e++) {
        if (h->ends[e].cell >= 0 && h->ends[e].exposed) {
            h->outflow_W_m[e] = end_outflow(h, client, e, h->T);
            h->surface_K[e] = h->surface_new_K[e];
        }
    }
    h->closures_failed += h->closures_failed_new;
}
