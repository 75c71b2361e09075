/* plane_strain.c - see plane_strain.h. */
#include "plane_strain.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static const double POISSON = 0.3, TOLERANCE = 1e-9;
enum { POINTS = 4, NEWTON = 40, COMPONENTS = 4, COOLING = 6 }; /* components xx yy zz xy (engineering shear) */

typedef struct point {
    double B[COMPONENTS][8]; /* strains of the nodes' displacements, with the mean dilatation in them */
    double weight;
    double stress[COMPONENTS], plastic[COMPONENTS], turned[COMPONENTS]; /* strains: tensor shear */
    double remembered[CQ_STRONGS];
} point;

typedef struct element {
    int node[4], cell;
    double x_mean, area, T, f[CQ_PHASES], start, first;
    point at[POINTS];
} element;

typedef struct model {
    const slice *s;
    int rows, across, nodes, elements_n, band, unknowns;
    double x_mid, half_height;
    element *elements;
    double *u, *R, *K, *column[2], *work; /* K: lower band, row-major [unknown][band + 1] */
    double q[2], r[2], c[2][2];           /* stretch and curvature (times half height), their forces and stiffness */
    bool *held;
    double scale;
} model;

/* ---- geometry ---------------------------------------------------------------------------------------------------- */

static void shape_at(const double x[4], const double y[4], double a, double b, double dx[4], double dy[4],
                     double *det) {
    const double na[4] = {-(1 - b), 1 - b, 1 + b, -(1 + b)}, nb[4] = {-(1 - a), -(1 + a), 1 + a, 1 - a};
    double xa = 0, xb = 0, ya = 0, yb = 0;
    for (int n = 0; n < 4; n++) {
        xa += 0.25 * na[n] * x[n];
        xb += 0.25 * nb[n] * x[n];
        ya += 0.25 * na[n] * y[n];
        yb += 0.25 * nb[n] * y[n];
    }
    *det = xa * yb - xb * ya;
    for (int n = 0; n < 4; n++) {
        dx[n] = 0.25 * (na[n] * yb - nb[n] * ya) / *det;
        dy[n] = 0.25 * (nb[n] * xa - na[n] * xb) / *det;
    }
}

static void build_element(element *e, const double x[4], const double y[4]) {
    static const double g = 0.57735026918962576;
    const double a[4] = {-g, g, g, -g}, b[4] = {-g, -g, g, g};
    double mean[8] = {0.0}, volume = 0.0;
    e->x_mean = 0.0;
    for (int p = 0; p < POINTS; p++) {
        double dx[4], dy[4], det;
        shape_at(x, y, a[p], b[p], dx, dy, &det);
        e->at[p].weight = fabs(det);
        volume += fabs(det);
        for (int n = 0; n < 4; n++) {
            mean[2 * n] += fabs(det) * dx[n];
            mean[2 * n + 1] += fabs(det) * dy[n];
        }
    }
    for (int p = 0; p < POINTS; p++) {
        double dx[4], dy[4], det;
        shape_at(x, y, a[p], b[p], dx, dy, &det);
        for (int n = 0; n < 4; n++) {
            const double d[2] = {dx[n], dy[n]};
            for (int i = 0; i < 2; i++) {
                const int k = 2 * n + i;
                const double third = (mean[k] / volume - d[i]) / 3.0; /* the dilatation's mean in place of its own */
                double(*B)[8] = e->at[p].B;
                B[0][k] = (i == 0 ? d[0] : 0.0) + third;
                B[1][k] = (i == 1 ? d[1] : 0.0) + third;
                B[2][k] = third;
                B[3][k] = i == 0 ? dy[n] : dx[n];
            }
        }
    }
    for (int n = 0; n < 4; n++) {
        e->x_mean += 0.25 * x[n];
    }
    e->area = volume;
}

static bool build(model *m) {
    const cq_grid *g = m->s->grid;
    m->rows = g->steel_i1 - g->steel_i0;
    m->across = g->steel_j1 - g->steel_j0;
    m->nodes = (m->rows + 1) * (m->across + 1);
    m->elements_n = m->rows * m->across;
    m->unknowns = 2 * m->nodes;
    m->band = 2 * (m->across + 2) + 1;
    m->elements = calloc((size_t)m->elements_n, sizeof *m->elements);
    m->u = calloc((size_t)m->unknowns * 5, sizeof(double));
    m->K = calloc((size_t)m->unknowns * (size_t)(m->band + 1), sizeof(double));
    m->held = calloc((size_t)m->unknowns, sizeof(bool));
    if (m->elements == NULL || m->u == NULL || m->K == NULL || m->held == NULL) {
        return false;
    }
    m->R = m->u + m->unknowns;
    m->column[0] = m->R + m->unknowns;
    m->column[1] = m->column[0] + m->unknowns;
    m->work = m->column[1] + m->unknowns;
    double area = 0.0, lever = 0.0;
    for (int i = 0; i < m->rows; i++) {
        for (int j = 0; j < m->across; j++) {
            element *e = &m->elements[i * m->across + j];
            double x[4], y[4];
            for (int n = 0; n < 4; n++) {
                const int ii = i + (n == 1 || n == 2), jj = j + (n >= 2);
                const int node = (g->steel_i0 + ii) * (g->across + 1) + g->steel_j0 + jj;
                x[n] = g->node_x_m[node];
                y[n] = g->node_y_m[node];
                e->node[n] = ii * (m->across + 1) + jj;
            }
            e->cell = (g->steel_i0 + i) * g->across + g->steel_j0 + j;
            build_element(e, x, y);
            area += e->area;
            lever += e->area * e->x_mean;
        }
    }
    m->x_mid = lever / area;
    m->half_height = 0.5 * (g->node_x_m[g->steel_i1 * (g->across + 1) + g->steel_j0] -
                            g->node_x_m[g->steel_i0 * (g->across + 1) + g->steel_j0]);
    for (int i = 0; i <= m->rows; i++) {
        m->held[2 * i * (m->across + 1) + 1] = true; /* no way across the mid-plane */
    }
    m->held[0] = true;
    return true;
}

/* ---- material ---------------------------------------------------------------------------------------------------- */

typedef struct state { /* of an element at the new moment */
    double G, bulk, free_strain, yield, hardening, keeps, softness, dilute[CQ_STRONGS];
} state;

static double lerp(const double *first, double u) { /* two nodes apart by sizeof(cq_strength_node) */
    const double *second = (const double *)((const char *)first + sizeof(cq_strength_node));
    return (1.0 - u) * *first + u * *second;
}

static double free_strain(const slice *s, double T, const double strong[CQ_STRONGS]) {
    const double at = (T - CQ_STRENGTH_FIRST_K) / CQ_STRENGTH_PITCH_K;
    const int n = (int)at;
    const double growth[CQ_STRONGS] = {0.0, s->carbon_wt < 0 ? 0.0 : (0.0464 - 0.0221 * s->carbon_wt) / 3.0,
                                       s->carbon_wt < 0 ? 0.0 : (0.0464 - 0.0053 * s->carbon_wt) / 3.0};
    double sum = 0.0;
    for (int p = 0; p < CQ_STRONGS; p++) {
        sum += strong[p] * (growth[p] + lerp(&s->strength->node[n].strain[p], at - n));
    }
    return sum;
}

static void sums(const double f[CQ_PHASES], double strong[CQ_STRONGS]) {
    strong[0] = f[CQ_AUSTENITE];
    strong[1] = f[CQ_FERRITE] + f[CQ_PEARLITE] + f[CQ_BAINITE];
    strong[2] = f[CQ_MARTENSITE];
}

static state state_at(const slice *s, const element *e, double T, const double f[CQ_PHASES]) {
    const double at = (T - CQ_STRENGTH_FIRST_K) / CQ_STRENGTH_PITCH_K;
    const int n = (int)at;
    const cq_strength_node *node = &s->strength->node[n];
    const double u = at - n, E = lerp(&node->stiffness_Pa, u), first = e->first;
    double before[CQ_STRONGS], strong[CQ_STRONGS];
    sums(e->f, before);
    sums(f, strong);
    state t = {
        .G = E / (2.0 * (1.0 + POISSON)), .bulk = E / (3.0 * (1.0 - 2.0 * POISSON)), .keeps = lerp(&node->keeps, u)};
    t.free_strain = free_strain(s, T, strong) - e->start;
    const double X0 = first > 0.0 ? 1.0 - e->f[0] / first : 0.0, X1 = first > 0.0 ? 1.0 - f[0] / first : 0.0;
    for (int p = 1; p < CQ_PHASES; p++) {
        t.softness += cq_strength_softness((cq_phase)p) * fmax(0.0, f[p] - e->f[p]) * (2.0 - X0 - X1);
    }
    for (int p = 0; p < CQ_STRONGS; p++) {
        t.dilute[p] = strong[p] > before[p] ? before[p] / strong[p] : 1.0;
        t.yield += strong[p] * lerp(&node->yield_Pa[p], u);
        t.hardening += strong[p] * s->strength->hardening_Pa[p];
    }
    return t;
}

/* Stress of a point at total strain; D may be NULL. commit: keep what came of it. */
static void respond(const slice *s, const state *t, const double strong[CQ_STRONGS], point *pt, const double strain[4],
                    double stress[4], double D[4][4], bool commit) {
    const double half = 0.5 * t->softness, G = t->G / (1.0 + 3.0 * t->G * half);
    const double mean0 = (pt->stress[0] + pt->stress[1] + pt->stress[2]) / 3.0;
    const double volume = strain[0] + strain[1] + strain[2];
    double dev[4], q = 0.0;
    for (int i = 0; i < 4; i++) {
        const double s0 = pt->stress[i] - (i < 3 ? mean0 : 0.0),
                     total = i < 3 ? strain[i] - volume / 3.0 : 0.5 * strain[3];
        dev[i] = 2.0 * G * (total - pt->plastic[i] - pt->turned[i] - 1.5 * half * s0);
        q += (i < 3 ? 1.5 : 3.0) * dev[i] * dev[i];
    }
    q = sqrt(q);
    double yield = t->yield;
    for (int p = 0; p < CQ_STRONGS; p++) {
        yield += strong[p] * s->strength->hardening_Pa[p] * t->dilute[p] * pt->remembered[p];
    }
    const double H = t->hardening * t->keeps, over = q > yield ? (q - yield) / (3.0 * G + H) : 0.0;
    const double theta = q > 0.0 ? 1.0 - 3.0 * G * over / q : 1.0, pressure = t->bulk * (volume - 3.0 * t->free_strain);
    for (int i = 0; i < 4; i++) {
        stress[i] = theta * dev[i] + (i < 3 ? pressure : 0.0);
    }
    if (D != NULL) {
        const double bar = over > 0.0 ? 1.0 / (1.0 + H / (3.0 * G)) - (1.0 - theta) : 0.0, size2 = q * q / 1.5;
        for (int i = 0; i < 4; i++) {
            for (int j = 0; j < 4; j++) {
                const double unit = i == j ? (i < 3 ? 1.0 : 0.5) : 0.0, both = i < 3 && j < 3 ? 1.0 : 0.0;
                D[i][j] = t->bulk * both + 2.0 * G * theta * (unit - both / 3.0) -
                          (size2 > 0.0 ? 2.0 * G * bar * dev[i] * dev[j] / size2 : 0.0);
            }
        }
    }
    if (commit) {
        for (int i = 0; i < 4; i++) {
            const double s0 = pt->stress[i] - (i < 3 ? mean0 : 0.0), s1 = theta * dev[i];
            pt->plastic[i] += q > 0.0 ? 1.5 * over * dev[i] / q : 0.0;
            pt->turned[i] += 1.5 * half * (s0 + s1);
            pt->stress[i] = stress[i];
        }
        for (int p = 0; p < CQ_STRONGS; p++) {
            pt->remembered[p] = t->dilute[p] * pt->remembered[p] + t->keeps * over;
        }
    }
}

/* ---- balance ----------------------------------------------------------------------------------------------------- */

static void strain_of(const model *m, const element *e, const point *pt, double strain[4]) {
    for (int i = 0; i < 4; i++) {
        strain[i] = 0.0;
        for (int k = 0; k < 8; k++) {
            strain[i] += pt->B[i][k] * m->u[2 * e->node[k / 2] + k % 2];
        }
    }
    strain[2] += m->q[0] + m->q[1] * (e->x_mean - m->x_mid) / m->half_height;
}

/* Forces, and stiffness when asked for; commits when asked for. */
static void assemble(model *m, const double *T, double (*f)[CQ_PHASES], bool stiffness, bool commit) {
    const int width = m->band + 1;
    memset(m->R, 0, (size_t)m->unknowns * 3 * sizeof(double)); /* the columns follow */
    if (stiffness) {
        memset(m->K, 0, (size_t)m->unknowns * (size_t)width * sizeof(double));
    }
    memset(m->r, 0, sizeof m->r);
    memset(m->c, 0, sizeof m->c);
    m->scale = 0.0;
    for (int n = 0; n < m->elements_n; n++) {
        element *e = &m->elements[n];
        double strong[CQ_STRONGS];
        sums(f[n], strong);
        const state t = state_at(m->s, e, T[n], f[n]);
        const double lever[2] = {1.0, (e->x_mean - m->x_mid) / m->half_height};
        for (int p = 0; p < POINTS; p++) {
            point *pt = &e->at[p];
            double strain[4], stress[4], D[4][4];
            strain_of(m, e, pt, strain);
            respond(m->s, &t, strong, pt, strain, stress, stiffness ? D : NULL, commit);
            m->scale += pt->weight * t.yield;
            for (int k = 0; k < 2; k++) {
                m->r[k] += pt->weight * lever[k] * stress[2];
                for (int l = 0; l < 2 && stiffness; l++) {
                    m->c[k][l] += pt->weight * lever[k] * lever[l] * D[2][2];
                }
            }
            for (int a = 0; a < 8; a++) {
                const int ra = 2 * e->node[a / 2] + a % 2;
                double DB[4] = {0.0};
                for (int i = 0; i < 4; i++) {
                    m->R[ra] += pt->weight * pt->B[i][a] * stress[i];
                    for (int j = 0; j < 4 && stiffness; j++) {
                        DB[i] += D[i][j] * pt->B[j][a];
                    }
                }
                for (int k = 0; k < 2 && stiffness; k++) {
                    m->column[k][ra] += pt->weight * lever[k] * DB[2];
                }
                for (int b = 0; b < 8 && stiffness; b++) {
                    const int rb = 2 * e->node[b / 2] + b % 2;
                    if (rb <= ra) {
                        double sum = 0.0;
                        for (int i = 0; i < 4; i++) {
                            sum += pt->B[i][b] * DB[i];
                        }
                        m->K[ra * width + m->band - (ra - rb)] += pt->weight * sum;
                    }
                }
            }
        }
        if (commit) {
            e->T = T[n];
            memcpy(e->f, f[n], sizeof e->f);
        }
    }
    for (int a = 0; a < m->unknowns; a++) {
        if (m->held[a]) {
            m->R[a] = m->column[0][a] = m->column[1][a] = 0.0;
            for (int d = 0; d <= m->band && stiffness; d++) {
                m->K[a * width + m->band - d] = d == 0 ? 1.0 : 0.0;
                if (d > 0 && a + d < m->unknowns) {
                    m->K[(a + d) * width + m->band - d] = 0.0;
                }
            }
        }
    }
}

static void factorise(model *m) { /* L D L^T in the band */
    const int w = m->band + 1;
    for (int i = 0; i < m->unknowns; i++) {
        double *row = m->K + i * w;
        const int first = i - m->band > 0 ? i - m->band : 0;
        for (int j = first; j < i; j++) {
            const double *other = m->K + j * w;
            const int from = j - m->band > first ? j - m->band : first;
            double sum = row[m->band - (i - j)];
            for (int k = from; k < j; k++) {
                sum -= row[m->band - (i - k)] * other[m->band - (j - k)];
            }
            row[m->band - (i - j)] = sum; /* times d_j for now */
        }
        for (int j = first; j < i; j++) {
            const double l = row[m->band - (i - j)] / m->K[j * w + m->band];
            row[m->band] -= l * row[m->band - (i - j)];
            row[m->band - (i - j)] = l;
        }
    }
}

static void solve(const model *m, double *b) {
    const int w = m->band + 1;
    for (int i = 0; i < m->unknowns; i++) {
        for (int j = i - m->band > 0 ? i - m->band : 0; j < i; j++) {
            b[i] -= m->K[i * w + m->band - (i - j)] * b[j];
        }
    }
    for (int i = 0; i < m->unknowns; i++) {
        b[i] /= m->K[i * w + m->band];
    }
    for (int i = m->unknowns - 1; i >= 0; i--) {
        for (int j = i - m->band > 0 ? i - m->band : 0; j < i; j++) {
            b[j] -= m->K[i * w + m->band - (i - j)] * b[i];
        }
    }
}

static double worst_force(const model *m) {
    double worst = fmax(fabs(m->r[0]), fabs(m->r[1]));
    for (int a = 0; a < m->unknowns; a++) {
        worst = fmax(worst, fabs(m->R[a]) * 2.0 * m->half_height); /* a force per thickness: on the height's lever */
    }
    return worst / m->scale;
}

/* Newton's direction in work and dq. */
static void direction(model *m, double dq[2]) {
    double R[1][2], y[2][2] = {{0.0}};
    factorise(m);
    memcpy(m->work, m->R, (size_t)m->unknowns * sizeof(double));
    double *copy[2] = {malloc((size_t)m->unknowns * sizeof(double)), malloc((size_t)m->unknowns * sizeof(double))};
    for (int k = 0; k < 2; k++) {
        memcpy(copy[k], m->column[k], (size_t)m->unknowns * sizeof(double));
        solve(m, copy[k]);
    }
    solve(m, m->work);
    for (int k = 0; k < 2; k++) {
        R[0][k] = -m->r[k];
        for (int a = 0; a < m->unknowns; a++) {
            R[0][k] += m->column[k][a] * m->work[a];
        }
        for (int l = 0; l < 2; l++) {
            y[k][l] = m->c[k][l];
            for (int a = 0; a < m->unknowns; a++) {
                y[k][l] -= m->column[k][a] * copy[l][a];
            }
        }
    }
    const double det = y[0][0] * y[1][1] - y[0][1] * y[1][0];
    dq[0] = (R[0][0] * y[1][1] - y[0][1] * R[0][1]) / det;
    dq[1] = (y[0][0] * R[0][1] - y[1][0] * R[0][0]) / det;
    for (int a = 0; a < m->unknowns; a++) {
        m->work[a] = -m->work[a] - copy[0][a] * dq[0] - copy[1][a] * dq[1];
    }
    free(copy[0]);
    free(copy[1]);
}

static double slope(const model *m, const double dq[2]) {
    double sum = m->r[0] * dq[0] + m->r[1] * dq[1];
    for (int a = 0; a < m->unknowns; a++) {
        sum += m->R[a] * m->work[a];
    }
    return sum;
}

static void go(model *m, const double dq[2], double share) {
    for (int a = 0; a < m->unknowns; a++) {
        m->u[a] += share * m->work[a];
    }
    m->q[0] += share * dq[0];
    m->q[1] += share * dq[1];
}

static bool advance(model *m, const double *T, double (*f)[CQ_PHASES]) {
    assemble(m, T, f, true, false);
    for (int n = 0; n < NEWTON && worst_force(m) > TOLERANCE; n++) {
        double dq[2], share = 1.0;
        direction(m, dq);
        const double start = slope(m, dq);
        go(m, dq, 1.0);
        assemble(m, T, f, false, false);
        for (int half = 0; half < 12 && slope(m, dq) > 0.5 * fabs(start); half++) { /* too far along a convex line */
            go(m, dq, -0.5 * share);
            share *= 0.5;
            assemble(m, T, f, false, false);
        }
        assemble(m, T, f, true, false);
    }
    const bool found = worst_force(m) <= 1e-7;
    assemble(m, T, f, false, true);
    return found;
}

static void take(const model *m, const moment *at, double *T, double (*f)[CQ_PHASES]) {
    for (int n = 0; n < m->elements_n; n++) {
        const int cell = m->elements[n].cell;
        T[n] = at->temp_K[cell];
        for (int p = 0; p < CQ_PHASES; p++) {
            f[n][p] = m->s->carbon_wt < 0 ? (p == CQ_AUSTENITE ? 1.0 : 0.0) : at->fraction[p][cell];
        }
    }
}

static bool follow(model *m, double *T, double (*f)[CQ_PHASES]) {
    const slice *s = m->s;
    take(m, &s->moments[0], T, f);
    for (int n = 0; n < m->elements_n; n++) {
        element *e = &m->elements[n];
        double strong[CQ_STRONGS];
        memcpy(e->f, f[n], sizeof e->f);
        sums(e->f, strong);
        e->first = e->f[CQ_AUSTENITE];
        e->start = free_strain(s, T[n], strong);
    }
    bool found = true;
    for (size_t k = 1; k < s->moments_n; k++) {
        take(m, &s->moments[k], T, f);
        found = advance(m, T, f) && found;
    }
    for (int step = 1; step <= COOLING; step++) {
        for (int n = 0; n < m->elements_n; n++) {
            T[n] += (293.15 - T[n]) / (COOLING + 1 - step);
        }
        found = advance(m, T, f) && found;
    }
    return found;
}

double plane_strain_curvature(const slice *s) {
    model m = {.s = s};
    double answer = NAN;
    if (build(&m)) {
        double *T = malloc((size_t)m.elements_n * sizeof *T);
        double(*f)[CQ_PHASES] = malloc((size_t)m.elements_n * sizeof *f);
        if (T != NULL && f != NULL && follow(&m, T, f)) {
            answer = m.q[1] / m.half_height;
        }
        free(T);
        free(f);
    }
    free(m.elements);
    free(m.u);
    free(m.K);
    free(m.held);
    return answer;
}
