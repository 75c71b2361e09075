/* why_own.c - see why_own.h. */
#include "study/why_own.h"

#include <math.h>

/* ---- heat -------------------------------------------------------------------------------------------------------- */

static bool has_soak(const cq_why_draft *d, double amount) {
    (void)amount;
    return !(d->plan->heat.start_K > 0.0);
}

static bool scale_hold(const cq_why_draft *d, double factor) {
    d->plan->heat.hold_s = fmin(fmax(d->plan->heat.hold_s * factor, 1.0), 3.6e4);
    return true;
}

static bool other_stock(const cq_why_draft *d, double stock) {
    return has_soak(d, 0.0) && (int)d->plan->heat.stock != (int)stock;
}

static bool set_stock(const cq_why_draft *d, double stock) {
    d->plan->heat.stock = (cq_stock)(int)stock;
    return true;
}

static bool add_spine_below(const cq_why_draft *d, double by_K) {
    d->plan->heat.spine_below_K = fmin(d->plan->heat.spine_below_K + by_K, 150.0);
    return true;
}

/* ---- clay -------------------------------------------------------------------------------------------------------- */

static const double WASH_M = 0.3e-3; /* see uncertain_kinds.c */

static double thickest(const cq_coat_point *p) {
    return fmax(p->left_m, p->right_m);
}

/* Where the body's coat begins, 0 if there is none. */
static double body_from(const cq_coat *c) {
    for (size_t k = 0; k < c->n; k++) {
        if (thickest(&c->points[k]) > WASH_M) {
            return c->points[k].at_m;
        }
    }
    return -1.0;
}

static bool has_body(const cq_why_draft *d, double amount) {
    (void)amount;
    return body_from(&d->plan->coat) >= 0.0 && d->first < d->plan->steps_n && d->plan->lost_n == 0;
}

static double bath_begins_s(const cq_why_draft *d) {
    double at = 0.0;
    for (size_t s = 0; s < d->first; s++) {
        at += d->plan->steps[s].for_s;
    }
    return at;
}

/* The lower third of the body's coat, both faces, so many seconds into the bath. */
static bool lose_patch(const cq_why_draft *d, double after_s) {
    cq_lost_plan *lost = cq_arena_take(d->plan->arena, 1, sizeof *lost);
    if (lost == NULL) {
        return false;
    }
    const double from = body_from(&d->plan->coat);
    const double to = from + (d->plan->blade.height_m - from) / 3.0;
    *lost = (cq_lost_plan){bath_begins_s(d) + after_s, from, to, CQ_FACE_MID};
    d->plan->lost = lost;
    d->plan->lost_n = 1;
    return true;
}

/* All of the body's coat. */
static bool lose_all(const cq_why_draft *d, double after_s) {
    if (!lose_patch(d, after_s)) {
        return false;
    }
    cq_lost_plan *lost = cq_arena_take(d->plan->arena, 1, sizeof *lost);
    if (lost == NULL) {
        return false;
    }
    *lost = d->plan->lost[0];
    lost->to_m = d->plan->blade.height_m;
    d->plan->lost = lost;
    return true;
}

static bool has_coat(const cq_why_draft *d, double amount) {
    (void)amount;
    return d->plan->coat.n > 0;
}

static bool lift(const cq_why_draft *d, double m2K_W) {
    d->plan->contact_m2K_W += m2K_W;
    return true;
}

static bool has_dry_wash(const cq_why_draft *d, double factor) {
    bool wash = d->plan->coat.edge_m > 0.0 && d->plan->coat.edge_m < 0.2e-3;
    for (size_t k = 0; k < d->plan->coat.n; k++) {
        const double m = thickest(&d->plan->coat.points[k]);
        wash = wash || (m > 0.0 && m < 0.2e-3);
    }
    return wash && d->plan->soaked < factor;
}

static bool set_soaked(const cq_why_draft *d, double factor) {
    d->plan->soaked = factor;
    return true;
}

/* ---- baths ------------------------------------------------------------------------------------------------------- */

static bool is_liquid(const cq_step_plan *s) {
    return s->bath.kind != CQ_BATH_GAS;
}

static bool is_still(const cq_why_draft *d, double amount) {
    (void)amount;
    const cq_step_plan *s = d->first < d->plan->steps_n ? &d->steps[d->first] : NULL;
    return s != NULL && s->bath.kind != CQ_BATH_TABLE && !(s->agitation_m_s > 0.0);
}

static bool move_bath(const cq_why_draft *d, double m_s) {
    for (size_t s = 0; s < d->plan->steps_n; s++) {
        if (is_liquid(&d->steps[s]) && d->steps[s].bath.kind != CQ_BATH_TABLE) {
            d->steps[s].agitation_m_s += m_s;
        }
    }
    return true;
}

static bool is_fresh_water(const cq_why_draft *d, double amount) {
    (void)amount;
    return d->first < d->plan->steps_n && d->steps[d->first].bath.kind == CQ_BATH_BOILING &&
           !(d->steps[d->first].bath.salt > 0.0);
}

static bool is_brine(const cq_why_draft *d, double amount) {
    (void)amount;
    return d->first < d->plan->steps_n && d->steps[d->first].bath.salt > 0.0;
}

static bool set_salt(const cq_why_draft *d, double salt) {
    for (size_t s = 0; s < d->plan->steps_n; s++) {
        if (d->steps[s].bath.kind == CQ_BATH_BOILING) {
            d->steps[s].bath.salt = salt;
        }
    }
    return true;
}

static bool has_scale(const cq_why_draft *d, double amount) {
    (void)amount;
    const cq_bath *b = d->first < d->plan->steps_n ? &d->steps[d->first].bath : NULL;
    return b != NULL && (b->kind == CQ_BATH_BOILING || b->kind == CQ_BATH_OIL);
}

static bool scale_scale(const cq_why_draft *d, double factor) {
    for (size_t s = 0; s < d->plan->steps_n; s++) {
        d->steps[s].bath.scale_m = fmin(d->steps[s].bath.scale_m * factor, 1e-3);
    }
    return true;
}

/* ---- the skin ---------------------------------------------------------------------------------------------------- */

static bool has_no_skin(const cq_why_draft *d, double amount) {
    const cq_plan *p = d->plan;
    (void)amount;
    return p->steel.kind == CQ_STEEL_TRANSFORMING && p->zones.n == 0 && !(p->skin.depth_m > 0.0 || p->skin.for_s > 0.0);
}

static bool set_skin(const cq_why_draft *d, double depth_m) {
    d->plan->skin.depth_m = depth_m;
    return true;
}

/* ---- the list ---------------------------------------------------------------------------------------------------- */

/* A lift: resistance of so much air at some 600 degC, 0.06 W/m/K (from memory); radiation across it left out. */
const cq_why_own CQ_WHY_OWN[] = {
    {CQ_CAUSE_HOLD, 1.0, "held half as long", 0.5, has_soak, scale_hold},
    {CQ_CAUSE_HOLD, 2.0, "held a fifth as long", 0.2, has_soak, scale_hold},
    {CQ_CAUSE_HOLD, 1.0, "held twice as long", 2.0, has_soak, scale_hold},
    {CQ_CAUSE_HOLD, 2.0, "held five times as long", 5.0, has_soak, scale_hold},
    {CQ_CAUSE_STRUCTURE, 1.0, "normalised before", CQ_STOCK_NORMALISED, other_stock, set_stock},
    {CQ_CAUSE_STRUCTURE, 1.0, "cycled before (fine grain)", CQ_STOCK_CYCLED, other_stock, set_stock},
    {CQ_CAUSE_STRUCTURE, 1.0, "fine spheroidised before", CQ_STOCK_SPHEROIDISED_FINE, other_stock, set_stock},
    {CQ_CAUSE_STRUCTURE, 1.0, "coarse spheroidised, as the mill sells it", CQ_STOCK_SPHEROIDISED_COARSE, other_stock,
     set_stock},
    {CQ_CAUSE_SPINE_COOLER, 1.0, "spine 20 °C (36 °F) cooler", 20.0, has_soak, add_spine_below},
    {CQ_CAUSE_SPINE_COOLER, 2.0, "spine 40 °C (72 °F) cooler", 40.0, has_soak, add_spine_below},
    {CQ_CAUSE_LOST, 1.5, "lower third of the body's clay off 0.5 s into the bath", 0.5, has_body, lose_patch},
    {CQ_CAUSE_LOST, 1.5, "lower third of the body's clay off 2 s into the bath", 2.0, has_body, lose_patch},
    {CQ_CAUSE_LOST, 1.5, "lower third of the body's clay off 5 s into the bath", 5.0, has_body, lose_patch},
    {CQ_CAUSE_LOST, 2.0, "all of the body's clay off 0.5 s into the bath", 0.5, has_body, lose_all},
    {CQ_CAUSE_LOST, 2.0, "all of the body's clay off 2 s into the bath", 2.0, has_body, lose_all},
    {CQ_CAUSE_LIFTED, 1.0, "clay lifted by 0.006 mm (0.0002 in) of still air", 1e-4, has_coat, lift},
    {CQ_CAUSE_LIFTED, 2.0, "clay lifted by 0.03 mm (0.001 in) of still air", 5e-4, has_coat, lift},
    {CQ_CAUSE_SOAKED, 1.0, "wash damp, conducts twice its dry value", 2.0, has_dry_wash, set_soaked},
    {CQ_CAUSE_SOAKED, 2.0, "wash wet, conducts four times its dry value", 4.0, has_dry_wash, set_soaked},
    {CQ_CAUSE_AGITATION, 1.0, "blade or bath moved by 0.2 m/s (8 in/s)", 0.2, is_still, move_bath},
    {CQ_CAUSE_AGITATION, 2.0, "blade or bath moved by 0.6 m/s (24 in/s)", 0.6, is_still, move_bath},
    {CQ_CAUSE_SALT, 1.5, "3 % salt in the water", 0.03, is_fresh_water, set_salt},
    {CQ_CAUSE_SALT, 2.0, "10 % salt in the water", 0.10, is_fresh_water, set_salt},
    {CQ_CAUSE_SALT, 2.0, "no salt in the water", 0.0, is_brine, set_salt},
    {CQ_CAUSE_SCALE, 1.0, "twice the scale", 2.0, has_scale, scale_scale},
    {CQ_CAUSE_SCALE, 2.0, "four times the scale", 4.0, has_scale, scale_scale},
    {CQ_CAUSE_SCALE, 1.5, "hardly any scale", 0.2, has_scale, scale_scale},
    {CQ_CAUSE_SKIN, 1.0, "a skin 0.05 mm (0.002 in) deep without its carbon", 0.05e-3, has_no_skin, set_skin},
    {CQ_CAUSE_SKIN, 1.0, "a skin 0.1 mm (0.004 in) deep without its carbon", 0.1e-3, has_no_skin, set_skin},
    {CQ_CAUSE_SKIN, 1.5, "a skin 0.2 mm (0.008 in) deep without its carbon", 0.2e-3, has_no_skin, set_skin},
    {CQ_CAUSE_SKIN, 2.0, "a skin 0.4 mm (0.016 in) deep without its carbon", 0.4e-3, has_no_skin, set_skin},
};
const size_t CQ_WHY_OWN_N = sizeof CQ_WHY_OWN / sizeof CQ_WHY_OWN[0];
