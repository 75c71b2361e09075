/* uncertain_kinds.c - see uncertain_kinds.h. Changes data of a plan only. */
#include "study/uncertain_kinds.h"

#include "base/memory.h"

#include <math.h>

/* A coat of the body is thicker than a wash: what smiths call a wash ends near 0.3 mm. Common practice, no source. */
static const double WASH_M = 0.3e-3;
static const double SHORTEST_S = 0.05; /* that a hand can time; chosen here */
static const double OWN_EDGE = 0.6;    /* share of the spine from which an edge is told by the blade's thickness */

/* ---- heat -------------------------------------------------------------------------------------------------------- */

static bool measure_soak(const cq_plan *p, cq_uncertain *u) {
    u->centre = p->heat.start_K > 0.0      ? p->heat.start_K
                : p->heat.fire.for_s > 0.0 ? p->heat.fire.temperature_K /* what is judged is the fire */
                                           : p->heat.temperature_K;
    u->low = 473.15; /* what a plan may have */
    u->high = 1523.15;
    return true;
}

static void change_soak(const cq_draft *d, const cq_uncertain *u, double value) {
    (void)u;
    cq_heat_plan *heat = &d->plan->heat;
    double *at = heat->start_K > 0.0      ? &heat->start_K
                 : heat->fire.for_s > 0.0 ? &heat->fire.temperature_K
                                          : &heat->temperature_K;
    *at = value;
}

/* ---- clay -------------------------------------------------------------------------------------------------------- */

static double thickest(const cq_coat_point *p) {
    return fmax(p->left_m, p->right_m);
}

/* The thickest of a coat or the thickest of a wash; 0: there is none. */
static double nominal_clay(const cq_plan *p, bool wash) {
    const cq_coat *c = &p->coat;
    double most = 0.0, flats[2] = {c->edge_m, c->spine_m};
    for (size_t i = 0; i < c->n; i++) {
        const double faces[2] = {c->points[i].left_m, c->points[i].right_m};
        for (int f = 0; f < 2; f++) {
            most = (faces[f] <= WASH_M) == wash ? fmax(most, faces[f]) : most;
        }
    }
    for (int f = 0; f < 2; f++) {
        most = (flats[f] <= WASH_M) == wash ? fmax(most, flats[f]) : most;
    }
    return most;
}

static bool measure_clay(const cq_plan *p, cq_uncertain *u) {
    u->centre = nominal_clay(p, u->kind == CQ_UNCERTAIN_EDGE_COAT);
    u->low = 1e-6;
    u->high = 10e-3;
    return u->centre > 0.0;
}

static void scale_clay(double *thickness_m, double nominal_m, bool wash, double factor) {
    if ((nominal_m <= WASH_M) == wash) {
        *thickness_m *= factor;
    }
}

static void change_clay(const cq_draft *d, const cq_uncertain *u, double value) {
    const bool wash = u->kind == CQ_UNCERTAIN_EDGE_COAT;
    const double factor = value / u->centre;
    const cq_coat *c = &d->from->coat;
    for (size_t i = 0; i < c->n; i++) {
        scale_clay(&d->points[i].left_m, c->points[i].left_m, wash, factor);
        scale_clay(&d->points[i].right_m, c->points[i].right_m, wash, factor);
    }
    scale_clay(&d->plan->coat.edge_m, c->edge_m, wash, factor);
    scale_clay(&d->plan->coat.spine_m, c->spine_m, wash, factor);
}

static bool measure_conductivity(const cq_plan *p, cq_uncertain *u) {
    static const double HOT_K = 773.15; /* where the line is decided: only names the value */
    if (!(nominal_clay(p, false) > 0.0) && !(nominal_clay(p, true) > 0.0)) {
        return false;
    }
    u->centre = cq_table_eval(&p->clay.conductivity_W_mK, HOT_K, NULL);
    u->low = 0.02;
    u->high = 50.0;
    return u->centre > 0.0;
}

static void change_conductivity(const cq_draft *d, const cq_uncertain *u, double value) {
    for (size_t i = 0; i < d->plan->clay.conductivity_W_mK.n; i++) {
        d->clay_k[i] *= value / u->centre;
    }
}

/* First point of the coat on the body; points_n if there is none, or if the coat begins at the edge. */
static size_t rim_of(const cq_plan *p) {
    size_t rim = 0;
    while (rim < p->coat.n && !(thickest(&p->coat.points[rim]) > WASH_M)) {
        rim++;
    }
    return rim == 0 && p->coat.n > 0 && !(p->coat.points[0].at_m > 0.0) ? p->coat.n : rim;
}

/* The rim and, where a wash runs up to it, the wash's last point move together, between their neighbours. */
static bool measure_rim(const cq_plan *p, cq_uncertain *u) {
    const cq_coat_point *points = p->coat.points;
    const size_t rim = rim_of(p), n = p->coat.n;
    if (rim >= n || p->blade.family >= CQ_FAMILY_PLATE) {
        return false;
    }
    const bool ramp = rim >= 2;
    const double below = rim == 0 ? points[0].at_m : points[rim].at_m - points[ramp ? rim - 2 : rim - 1].at_m;
    const double room_below = ramp ? points[rim - 1].at_m - points[rim - 2].at_m : below;
    const double above = rim + 1 < n ? points[rim + 1].at_m : p->blade.height_m;
    static const double NEAREST_M = 0.1e-3; /* points stay apart, chosen here */
    u->centre = points[rim].at_m;
    u->low = u->centre - fmax(0.0, room_below - NEAREST_M);
    u->high = u->centre + fmax(0.0, above - u->centre - NEAREST_M);
    return true;
}

static void change_rim(const cq_draft *d, const cq_uncertain *u, double value) {
    const size_t rim = rim_of(d->from);
    d->points[rim].at_m = value;
    if (rim >= 2) {
        d->points[rim - 1].at_m += value - u->centre;
    }
}

/* ---- steel ------------------------------------------------------------------------------------------------------- */

static bool transforms(const cq_plan *p) {
    return p->steel.kind == CQ_STEEL_TRANSFORMING;
}

static bool measure_nose(const cq_plan *p, cq_uncertain *u) {
    u->centre = p->steel.time_factor;
    u->low = 0.2;
    u->high = 5.0;
    return transforms(p) && u->centre > 0.0;
}

static void change_nose(const cq_draft *d, const cq_uncertain *u, double value) {
    (void)u;
    d->plan->steel.time_factor = value;
}

static bool measure_element(const cq_plan *p, cq_uncertain *u) {
    const bool carbon = u->kind == CQ_UNCERTAIN_CARBON;
    u->centre = carbon ? p->steel.composition_wt.C : p->steel.composition_wt.Mn;
    u->low = carbon ? 0.05 : 0.0;
    u->high = carbon ? 2.0 : 3.0;
    return transforms(p) && u->centre > 0.0;
}

static void change_element(const cq_draft *d, const cq_uncertain *u, double value) {
    cq_composition *c = &d->plan->steel.composition_wt;
    double *element = u->kind == CQ_UNCERTAIN_CARBON ? &c->C : &c->Mn;
    *element = value;
}

static bool measure_martensite(const cq_plan *p, cq_uncertain *u) {
    const bool start = u->kind == CQ_UNCERTAIN_MARTENSITE_START;
    u->centre = start ? p->steel.ms_shift_K : p->steel.hardness_shift_HV;
    u->high = start ? 60.0 : 80.0;
    u->low = -u->high;
    return transforms(p);
}

static void change_martensite(const cq_draft *d, const cq_uncertain *u, double value) {
    double *shift =
        u->kind == CQ_UNCERTAIN_MARTENSITE_START ? &d->plan->steel.ms_shift_K : &d->plan->steel.hardness_shift_HV;
    *shift = value;
}

/* ---- blade ------------------------------------------------------------------------------------------------------- */

/* An edge nearly as thick as the spine is measured with it, and so is that of an outline. */
static bool has_own_edge(const cq_blade *b) {
    return b->family < CQ_FAMILY_OUTLINE && b->edge_m < OWN_EDGE * fmax(b->spine_m, b->ridge_thickness_m);
}

static bool measure_blade(const cq_plan *p, cq_uncertain *u) {
    const bool edge = u->kind == CQ_UNCERTAIN_EDGE;
    u->centre = edge ? p->blade.edge_m : fmax(p->blade.spine_m, p->blade.ridge_thickness_m);
    u->low = edge ? 0.1e-3 : 0.2e-3;
    u->high = p->blade.family == CQ_FAMILY_ROUND ? 0.2 : p->blade.family == CQ_FAMILY_PLATE ? 0.1 : edge ? 0.03 : 0.06;
    return u->centre > 0.0 && (!edge || has_own_edge(&p->blade));
}

static void scale_outline(cq_outline_point *points, size_t n, double factor) {
    for (size_t i = 0; points != NULL && i < n; i++) {
        points[i].out_m *= factor;
    }
}

static void change_blade(const cq_draft *d, const cq_uncertain *u, double value) {
    cq_blade *b = &d->plan->blade;
    const double factor = value / u->centre;
    if (u->kind == CQ_UNCERTAIN_EDGE) {
        b->edge_m = value;
        return;
    }
    if (!has_own_edge(&d->from->blade)) {
        b->edge_m *= factor;
    }
    b->spine_m *= factor;
    b->ridge_thickness_m *= factor;
    scale_outline(d->left, b->left_n, factor);
    if (d->right != d->left) {
        scale_outline(d->right, b->right_n, factor);
    }
}

/* ---- baths ------------------------------------------------------------------------------------------------------- */

static bool is_liquid(const cq_step_plan *s) {
    return s->bath.kind != CQ_BATH_GAS;
}

/* Index of the first step in a liquid; steps_n if there is none. */
static size_t first_bath(const cq_plan *p) {
    size_t first = 0;
    while (first < p->steps_n && !is_liquid(&p->steps[first])) {
        first++;
    }
    return first;
}

/* The first bath's; the others are off by as much. Held where a description ends and where `until` could not be met. */
static bool measure_bath_temperature(const cq_plan *p, cq_uncertain *u) {
    static const double BELOW_UNTIL_K = 2.0; /* nearer, a step takes for ever; chosen here */
    const size_t first = first_bath(p);
    double low = -HUGE_VAL, high = HUGE_VAL;
    for (size_t s = first; s < p->steps_n; s++) {
        const cq_step_plan *step = &p->steps[s];
        if (is_liquid(step)) {
            low = fmax(low, step->bath.at_min_K - step->at_K);
            high = fmin(high, step->bath.at_max_K - step->at_K);
            high = step->until_K > 0.0 ? fmin(high, step->until_K - BELOW_UNTIL_K - step->at_K) : high;
        }
    }
    if (first >= p->steps_n) {
        return false;
    }
    u->centre = p->steps[first].at_K;
    u->low = u->centre + fmin(low, 0.0);
    u->high = u->centre + fmax(high, 0.0);
    return true;
}

static void change_bath_temperature(const cq_draft *d, const cq_uncertain *u, double value) {
    for (size_t s = 0; s < d->plan->steps_n; s++) {
        if (is_liquid(&d->steps[s])) {
            d->steps[s].at_K += value - u->centre;
        }
    }
}

static void be_factor(cq_uncertain *u) {
    u->centre = 1.0;
    u->low = 0.1;
    u->high = 5.0;
}

static bool measure_strength(const cq_plan *p, cq_uncertain *u) {
    be_factor(u);
    return first_bath(p) < p->steps_n;
}

/* Only water's law has such a part. */
static bool measure_rewetting(const cq_plan *p, cq_uncertain *u) {
    be_factor(u);
    for (size_t s = 0; s < p->steps_n; s++) {
        if (p->steps[s].bath.kind == CQ_BATH_BOILING) {
            return true;
        }
    }
    return false;
}

/* Film, peak, boiling and convection together; a table as a whole. */
static void change_strength(const cq_draft *d, const cq_uncertain *u, double value) {
    (void)u;
    for (size_t s = 0; s < d->plan->steps_n; s++) {
        cq_bath *b = &d->steps[s].bath;
        if (b->kind == CQ_BATH_GAS) {
            continue;
        }
        b->film_factor *= value;
        b->peak_factor *= value;
        b->nucleate_factor *= value;
        b->convection_factor *= value;
        const size_t n = b->kind == CQ_BATH_TABLE ? b->heat_transfer_W_m2K.n : 0;
        double *y = n > 0 ? cq_arena_take(d->plan->arena, n, sizeof *y) : NULL;
        for (size_t i = 0; y != NULL && i < n; i++) {
            y[i] = value * b->heat_transfer_W_m2K.y[i];
        }
        if (n > 0) {
            b->heat_transfer_W_m2K.y = y; /* NULL: memory ran out, told by whoever called */
        }
    }
}

static void change_rewetting(const cq_draft *d, const cq_uncertain *u, double value) {
    (void)u;
    for (size_t s = 0; s < d->plan->steps_n; s++) {
        d->steps[s].bath.rewetting_factor *= d->steps[s].bath.kind == CQ_BATH_BOILING ? value : 1.0;
    }
}

/* ---- times ------------------------------------------------------------------------------------------------------- */

/* The kind of time a step's `for` is: a last step's does not matter. */
static cq_uncertain_kind time_kind(const cq_plan *p, size_t s) {
    const size_t first = first_bath(p);
    if (!(p->steps[s].for_s > 0.0) || s + 1 >= p->steps_n) {
        return CQ_UNCERTAINS;
    }
    return s == first ? CQ_UNCERTAIN_PULL : s < first ? CQ_UNCERTAIN_TRANSFER : CQ_UNCERTAIN_LATER;
}

/* Centre: the first such step's; several are off by as much. */
static bool measure_time(const cq_plan *p, cq_uncertain *u) {
    double shortest = HUGE_VAL;
    u->centre = 0.0;
    for (size_t s = p->steps_n; s-- > 0;) {
        if (time_kind(p, s) == u->kind) {
            u->centre = p->steps[s].for_s;
            shortest = fmin(shortest, u->centre);
        }
    }
    u->low = u->centre - fmax(0.0, shortest - SHORTEST_S);
    u->high = 1e6;
    return u->centre > 0.0;
}

static void change_time(const cq_draft *d, const cq_uncertain *u, double value) {
    for (size_t s = 0; s < d->plan->steps_n; s++) {
        if (time_kind(d->from, s) == u->kind) {
            d->steps[s].for_s += value - u->centre;
        }
    }
}

/* ---- the list ---------------------------------------------------------------------------------------------------- */

#define PRACTICE "common practice, no source"
#define NORMAL(usual_, words, subject)                                                                                 \
    { false, usual_, words, measure_##subject, change_##subject }
#define LOGNORMAL(usual_, words, subject)                                                                              \
    { true, usual_, words, measure_##subject, change_##subject }
/* Usual scatter, where neither plan nor profile states one: a share, or in the kind's unit. */
const cq_uncertain_law CQ_UNCERTAIN_LAWS[CQ_UNCERTAINS] = {
    [CQ_UNCERTAIN_SOAK] = NORMAL(12.0, "heat judged by eye; " PRACTICE, soak),
    [CQ_UNCERTAIN_COAT] = LOGNORMAL(0.15, "laid by hand; " PRACTICE, clay),
    [CQ_UNCERTAIN_EDGE_COAT] = LOGNORMAL(0.30, "brushed on; " PRACTICE, clay),
    [CQ_UNCERTAIN_CONDUCTIVITY] = LOGNORMAL(0.30, "mixes of one recipe; " PRACTICE, conductivity),
    [CQ_UNCERTAIN_NOSE] = LOGNORMAL(0.0, "time-factor-sigma of the steel", nose),
    [CQ_UNCERTAIN_RIM] = NORMAL(0.5e-3, "laid by hand; " PRACTICE, rim),
    [CQ_UNCERTAIN_BATH_TEMPERATURE] = NORMAL(3.0, "thermometer in the bath; " PRACTICE, bath_temperature),
    [CQ_UNCERTAIN_BATH_STRENGTH] = LOGNORMAL(0.20, "parts of a curve are known to some 30 %; chosen here", strength),
    [CQ_UNCERTAIN_REWETTING] = LOGNORMAL(0.20, "chosen here", rewetting),
    [CQ_UNCERTAIN_EDGE] = LOGNORMAL(0.05, "filed by hand; " PRACTICE, blade),
    [CQ_UNCERTAIN_THICKNESS] = LOGNORMAL(0.05, "filed by hand; " PRACTICE, blade),
    [CQ_UNCERTAIN_TRANSFER] = NORMAL(0.3, "counted; " PRACTICE, time),
    [CQ_UNCERTAIN_PULL] = NORMAL(0.3, "counted; " PRACTICE, time),
    [CQ_UNCERTAIN_LATER] = NORMAL(0.3, "counted; " PRACTICE, time),
    [CQ_UNCERTAIN_CARBON] = NORMAL(0.0, "scatter of the steel", element),
    [CQ_UNCERTAIN_MANGANESE] = NORMAL(0.0, "scatter of the steel", element),
    [CQ_UNCERTAIN_MARTENSITE_START] = NORMAL(12.0, "how well formulas hit it; from memory", martensite),
    [CQ_UNCERTAIN_MARTENSITE_HARDNESS] = NORMAL(15.0, "how well formulas hit it; from memory", martensite),
};
