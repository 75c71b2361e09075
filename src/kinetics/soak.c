/* soak.c - equilibrium temperatures and what a soak leaves: carbon in solution, carbide, grain, nuclei, untransformed
 * rest.
 *
 * Six states are followed along a rise of 1 K/s from Ae1 and the hold, d = T - Ae1, a(T) the slowness of carbon in
 * austenite: pearlite turns    t50 = 15 kP (28/d)^2 exp[(150000/R)(1/T - 1/1024)],  X = 1 - exp(-ln2 Z^3),  dZ = dt/t50
 * (1) ferrite shrinks   dfa = -X (fa - fa_eq) (1 - exp(-dt/tF)),  tF = 20 (dA/10)^2 (65/d) a                        (2)
 *     carbide dissolves dZc = X dt / [tC (1 + 4 Cr) (65/d)^2],  y = exp(-Zc^m),  C = Ceq - (Ceq - C0) y             (3)
 *     carbon evens out  dZh = X dt / (tH a),  h = exp(-Zh)                                                         (4)
 *     grain grows       dD = dt k(T) / (2 D) (1 - D/Dmax),  1/Dmax = 1/60 um + fu/(0.34 r)                          (5)
 *     nuclei            phi = 0.4 [1 - exp(-fu/0.01)] + 0.3 h                                                       (6)
 * (1) after [roberts1943], an isothermal diagram read from memory; (3) carbide control by Mn and Cr partition
 * [speich1969]; (5) pinning 0.17 r/f [manohar1998], rate on a ladder from memory [steel-grain]; (6) retained carbides
 * as nuclei [cree1995], size an estimate (0 to 0.8). Rate constants are from memory or engineering estimates, a factor
 * 2 to 3 wide; so everything is counted against the reference soak, for which the laws of transformation were fitted:
 * there it shifts nothing.
 *
 * A heat is not even: five carbon contents from 0.03 % below to 0.03 % above are averaged, so that nothing jumps where
 * the last carbide goes.
 */
#include "kinetics/laws.h"

#include <math.h>

static const double ZERO_C = 273.15;

cq_equilibria cq_equilibria_of(const cq_composition *c) {
    cq_equilibria e;
    /* [grange1961], in degF as printed; Ae3 is a straight line that falls below Ae1 above 0.77 % C */
    e.Ae1_C = (1333.0 - 25.0 * c->Mn + 40.0 * c->Si + 42.0 * c->Cr - 26.0 * c->Ni - 32.0) / 1.8;
    e.Ae3_line_C = (1570.0 - 323.0 * c->C - 25.0 * c->Mn + 80.0 * c->Si - 3.0 * c->Cr - 32.0 * c->Ni - 32.0) / 1.8;
    e.Ae3_C = fmax(e.Ae3_line_C, e.Ae1_C);
    return e;
}

/* What counts of chromium on the Acm line, %: linear in it, the line would turn over at 5 %. From here on it is held
 * (chosen here); far beyond what the laws were tested on, which is a notice. */
static double chromium_on_Acm(double Cr) {
    return fmin(Cr, 2.5);
}

double cq_acm_carbon(double T_C, double Ae1_C, double Cr) {
    /* quadratic through (0, 0.77), (198, 1.31), (421, 2.11), +-0.03 [asm-handbook3], and what chromium takes; from
     * memory */
    const double d = T_C - Ae1_C, counted = chromium_on_Acm(Cr);
    return 0.77 - 0.09 * counted + (1.0 - 0.2 * counted) * (2.322e-3 * d + 2.045e-6 * d * d);
}

double cq_acm_of(const cq_composition *c) {
    const double Ae1_C = cq_equilibria_of(c).Ae1_C, counted = chromium_on_Acm(c->Cr), share = 1.0 - 0.2 * counted;
    const double q = 2.045e-6, b = 2.322e-3, least = 0.77 - 0.09 * counted, lacking = (c->C - least) / share;
    return lacking > 0.0 ? Ae1_C + (-b + sqrt(b * b + 4.0 * q * lacking)) / (2.0 * q) : Ae1_C;
}

static const double R_GAS = 8.314, CEMENTITE_C = 6.67, FERRITE_C = 0.02;
static const double REFERENCE_K = 1073.15, REFERENCE_S = 300.0; /* with CQ_STOCK_NORMALISED */

/* Rows of (1)-(6) by stock: engineering estimates beside [roberts1943] and [speich1969]. */
typedef struct stock_law {
    double kP, tC_s, m, w0, carbide_um, grain_um, tH_s, ferrite_um, ferrite_share;
} stock_law;

static const stock_law STOCKS[] = {
    [CQ_STOCK_NORMALISED] = {1.0, 10.0, 1.0, 0.50, 0.15, 14.0, 60.0, 12.0, 1.0},
    [CQ_STOCK_CYCLED] = {0.5, 5.0, 1.0, 0.50, 0.10, 8.0, 20.0, 5.0, 0.5},
    [CQ_STOCK_SPHEROIDISED_FINE] = {2.5, 60.0, 0.7, 0.25, 0.25, 8.0, 30.0, 5.0, 1.0},
    [CQ_STOCK_SPHEROIDISED_COARSE] = {4.0, 300.0, 0.7, 0.25, 0.60, 12.0, 60.0, 8.0, 1.0},
    /* Chosen here: martensite sheds carbide finer than any pearlite's on the way up and lets ferrite lie as finely
     * between, and its many boundaries make austenite as fine as short cycles do [grange1966]: what the heat before
     * coarsened is gone. */
    [CQ_STOCK_QUENCHED] = {0.4, 4.0, 1.0, 0.50, 0.08, 8.0, 15.0, 2.0, 1.0},
};

/* One carbon content on its way through the soak. */
typedef struct state {
    const stock_law *from;
    double C, Cr, Ae1_C, Ae3_C; /* Ae3_C: the straight line, not clamped */
    double Z, ferrite, Zc, Zh, D_um;
    double solution_wt, carbide, phi; /* as of the last step */
} state;

static double carbon_beside_ferrite(const state *s, double T_C) {
    return fmax(s->C + (s->Ae3_C - T_C) / 179.4, FERRITE_C); /* slope of Ae3: 323/1.8 degC per % C */
}

static double equilibrium_ferrite(const state *s, double T_C) {
    const double beside = carbon_beside_ferrite(s, T_C);
    return beside > s->C ? (beside - s->C) / (beside - FERRITE_C) : 0.0;
}

/* Carbon of what is not ferrite. */
static double carbon_of_the_rest(const state *s, double ferrite) {
    return (s->C - FERRITE_C * ferrite) / (1.0 - ferrite);
}

static double equilibrium_carbon(const state *s, double T_C) {
    return fmin(carbon_of_the_rest(s, equilibrium_ferrite(s, T_C)),
                cq_acm_carbon(fmax(T_C, s->Ae1_C + 0.5), s->Ae1_C, s->Cr));
}

static double turned(const state *s) {
    return 1.0 - exp(-0.69314718055994531 * s->Z * s->Z * s->Z);
}

static state begin(const cq_steel *steel, double carbon_more, cq_stock stock) {
    cq_composition c = steel->composition_wt;
    const double least = FERRITE_C + 0.01; /* so that there is some pearlite to turn, whose carbon is defined */
    c.C = fmax(c.C + carbon_more, least);
    const cq_equilibria e = cq_equilibria_of(&c);
    state s = {.from = &STOCKS[stock],
               .C = c.C,
               .Cr = c.Cr,
               .Ae1_C = e.Ae1_C,
               .Ae3_C = e.Ae3_line_C,
               .D_um = STOCKS[stock].grain_um};
    const double eutectoid = c.C + (e.Ae3_line_C - e.Ae1_C) / 179.4; /* a normalised bar's pro-eutectoid share */
    s.ferrite = eutectoid > c.C ? s.from->ferrite_share * (eutectoid - c.C) / (eutectoid - FERRITE_C) : 0.0;
    return s;
}

static void step(state *s, double T_C, double dt) {
    const stock_law *f = s->from;
    const double T = T_C + ZERO_C, d = fmax(T_C - s->Ae1_C, 0.5),
                 slow = exp(142000.0 / R_GAS * (1.0 / T - 1.0 / 1063.0));
    if (T_C >= s->Ae1_C) {
        s->Z +=
            dt / (15.0 * f->kP * (28.0 / d) * (28.0 / d) * exp(150000.0 / R_GAS * (1.0 / T - 1.0 / 1024.0))); /* (1) */
    }
    const double X = turned(s), thick = f->ferrite_um / 10.0;
    const double tF = 20.0 * thick * thick * (65.0 / d) * slow;
    s->ferrite -= X * (s->ferrite - equilibrium_ferrite(s, T_C)) * (1.0 - exp(-dt / tF)); /* (2) */
    s->Zc += X * dt / (f->tC_s * (1.0 + 4.0 * s->Cr) * (65.0 / d) * (65.0 / d));          /* (3) */
    /* what the turning pearlite takes along, frozen 30 K above Ae1: below, a hotter soak would start out leaner */
    const double along = carbon_beside_ferrite(s, fmin(T_C, s->Ae1_C + 30.0)), limit = equilibrium_carbon(s, T_C);
    const double C0 = along + f->w0 * (limit - along), whole = carbon_of_the_rest(s, s->ferrite);
    s->solution_wt = fmin(limit - (limit - C0) * exp(-pow(s->Zc, f->m)), whole);
    s->carbide = (whole - s->solution_wt) / (CEMENTITE_C - s->solution_wt);
    s->Zh += X * dt / (f->tH_s * slow); /* (4) */
    if (X > 0.9) {                      /* (5) */
        const double k = 0.17 * exp(200000.0 / R_GAS * (1.0 / 1073.0 - 1.0 / T));
        const double r = f->carbide_um * cbrt(CEMENTITE_C * s->carbide / s->C);
        const double stop = 1.0 / 60.0 + (r > 0.0 ? s->carbide / (0.34 * r) : 0.0);
        s->D_um += dt * k / (2.0 * s->D_um) * fmax(0.0, 1.0 - s->D_um * stop);
    }
    s->phi = 0.4 * (1.0 - exp(-s->carbide / 0.01)) + 0.3 * exp(-s->Zh); /* (6) */
}

/* Steps are short at first, where states move in seconds; later what still moves has long been moving. */
static double next_dt(double since_s, double left_s) {
    return fmin(left_s, fmin(fmax(2.0, 0.005 * since_s), 0.25 + 0.02 * since_s));
}

/* Rise at ramp_K_s from Ae1, then the hold; `times` may be NULL. */
static state soaked(state s, double T_C, double hold_s, double ramp_K_s, cq_soak_progress *times) {
    const double rise_s = fmax(0.0, T_C - s.Ae1_C) / ramp_K_s, end_s = rise_s + hold_s;
    for (double t = 0.0; t < end_s - 1e-9;) {
        const double dt = next_dt(t, (t < rise_s ? rise_s : end_s) - t);
        step(&s, t < rise_s ? s.Ae1_C + (t + 0.5 * dt) * ramp_K_s : T_C, dt);
        t += dt;
        if (times != NULL && !isfinite(times->turned_s) && turned(&s) >= 0.99) {
            times->turned_s = t - rise_s;
        }
        if (times != NULL && !isfinite(times->dissolved_s) && t >= rise_s && turned(&s) >= 0.99 &&
            s.solution_wt >= equilibrium_carbon(&s, T_C) - 0.01) {
            times->dissolved_s = t - rise_s;
        }
    }
    return s;
}

cq_soak_progress cq_soak_times(const cq_steel *steel, const cq_soak_wish *wish, double ramp_K_s) {
    cq_soak_progress times = {INFINITY, INFINITY};
    soaked(begin(steel, 0.0, wish->stock), wish->temperature_K - ZERO_C, wish->hold_s, ramp_K_s, &times);
    return times;
}

/* Along a heating; below Ae1 nothing moves. */
static state heated(state s, const cq_heating *h) {
    double since_s = 0.0; /* above Ae1 */
    for (size_t i = 0; i + 1 < h->n; i++) {
        const double span = h->time_s[i + 1] - h->time_s[i], rise = h->temp_K[i + 1] - h->temp_K[i];
        if (fmax(h->temp_K[i], h->temp_K[i + 1]) - ZERO_C <= s.Ae1_C) {
            continue;
        }
        for (double t = 0.0; t < span * (1.0 - 1e-12);) {
            const double dt = next_dt(since_s, span - t), T_C = h->temp_K[i] + rise * (t + 0.5 * dt) / span - ZERO_C;
            if (T_C > s.Ae1_C) {
                step(&s, T_C, dt);
                since_s += dt;
            }
            t += dt;
        }
    }
    return s;
}

/* Mean of five carbon contents; `heating` NULL: the wish's rise and hold. grain_ASTM: of the grain itself, not yet
 * counted from the reference. */
static cq_soak averaged(const cq_steel *steel, const cq_soak_wish *wish, const cq_heating *heating) {
    static const double more[] = {-0.03, -0.015, 0.0, 0.015, 0.03},
                        weight[] = {1.0 / 9, 2.0 / 9, 3.0 / 9, 2.0 / 9, 1.0 / 9};
    cq_soak sum = {0.0, 0.0, 0.0, 0.0, 0.0};
    double austenite_C = 0.0;
    for (int n = 0; n < 5; n++) {
        const state first = begin(steel, more[n], wish->stock);
        const state s = heating != NULL ? heated(first, heating)
                                        : soaked(first, wish->temperature_K - ZERO_C, wish->hold_s, 1.0, NULL);
        const double A = turned(&s) * (1.0 - s.ferrite);
        sum.austenite += weight[n] * A;
        austenite_C += weight[n] * A * s.solution_wt;
        sum.carbide += weight[n] * A * s.carbide;
        sum.grain_ASTM += weight[n] * (-3.288 - 6.643856 * log10(s.D_um / 1000.0)); /* [astm-e112] */
        sum.nuclei += weight[n] * s.phi;
    }
    const bool any = sum.austenite > 0.0;
    sum.carbon_solution_wt = any ? austenite_C / sum.austenite : fmin(steel->composition_wt.C, 0.77);
    sum.carbide = any ? sum.carbide / sum.austenite : 0.0;
    return sum;
}

cq_soak cq_soak_reference(const cq_steel *steel) {
    const cq_soak_wish reference = {REFERENCE_K, REFERENCE_S, CQ_STOCK_NORMALISED};
    return averaged(steel, &reference, NULL);
}

static cq_soak counted_from(const cq_soak *reference, const cq_steel *steel, cq_soak s) {
    s.grain_ASTM = steel->grain_ASTM + (s.grain_ASTM - reference->grain_ASTM);
    s.nuclei -= reference->nuclei;
    return s;
}

cq_soak cq_soak_mixed(const cq_soak *a, const cq_soak *b, double share_of_a) {
    const double u = share_of_a, A = u * a->austenite, B = (1.0 - u) * b->austenite, sum = A + B;
    const double of_a = sum > 0.0 ? A / sum : u, of_b = 1.0 - of_a; /* what only austenite has goes by austenite */
    return (cq_soak){.carbon_solution_wt = of_a * a->carbon_solution_wt + of_b * b->carbon_solution_wt,
                     .carbide = of_a * a->carbide + of_b * b->carbide,
                     .grain_ASTM = of_a * a->grain_ASTM + of_b * b->grain_ASTM,
                     .austenite = sum,
                     .nuclei = of_a * a->nuclei + of_b * b->nuclei};
}

cq_soak cq_soak_against(const cq_steel *steel, const cq_soak_wish *wish, const cq_soak *reference) {
    return counted_from(reference, steel, averaged(steel, wish, NULL));
}

cq_soak cq_soak_along(const cq_steel *steel, const cq_heating *heating, cq_stock stock, const cq_soak *reference) {
    const cq_soak_wish wish = {.stock = stock};
    return counted_from(reference, steel, averaged(steel, &wish, heating));
}

cq_soak cq_soak_of(const cq_steel *steel, const cq_soak_wish *wish) {
    const cq_soak reference = cq_soak_reference(steel);
    return cq_soak_against(steel, wish, &reference);
}

cq_soak cq_soak_start(const cq_steel *steel, double temperature_K) {
    const cq_composition *c = &steel->composition_wt;
    const double Ae1_C = cq_equilibria_of(c).Ae1_C, T_C = fmax(temperature_K - ZERO_C, Ae1_C);
    cq_soak s = {fmin(c->C, cq_acm_carbon(T_C, Ae1_C, c->Cr)), 0.0, 8.0, 1.0, 0.0};
    s.carbide = (c->C - s.carbon_solution_wt) / (CEMENTITE_C - s.carbon_solution_wt);
    return s;
}
