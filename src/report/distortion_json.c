/* distortion_json.c - see distortion_json.h. */
#include "report/distortion_json.h"

#include "report/advice.h"
#include "report/distortion_words.h"
#include "report/json_parts.h"

#include <math.h>

static json_t *mm(double metres) {
    return cq_json_number(1e3 * metres);
}

static json_t *MPa(double Pa) {
    return cq_json_number(1e-6 * Pa);
}

/* Radius of the arc, NaN where the blade is straight. */
static json_t *radius(double curvature_1_m) {
    return mm(fabs(curvature_1_m) > 1e-9 ? fabs(1.0 / curvature_1_m) : NAN);
}

static double per_curvature(const cq_result *r) {
    const double L = r->plan->blade.length_m;
    return L > 0.0 ? L * L / 8.0 : NAN;
}

/* One array of the history, each entry times `scale`. */
static json_t *array_of(size_t n, const double *v, double scale) {
    json_t *all = json_array();
    for (size_t i = 0; i < n; i++) {
        all = cq_json_appended(all, cq_json_number(scale * v[i]));
    }
    return all;
}

static json_t *turns(const cq_result *r) {
    json_t *all = json_array();
    for (size_t n = 0; n < r->curve.turns_n; n++) {
        const cq_turn *t = &r->curve.turns[n];
        all = cq_json_appended(all, json_pack("{ss so so}", "kind", t->dip ? "dip" : "crest", "time_s",
                                              cq_json_number(t->time_s), "rise_mm",
                                              mm(t->curvature_1_m * per_curvature(r))));
    }
    return all;
}

static json_t *history(const cq_result *r) {
    const cq_curve *c = &r->curve;
    const double rise = 1e3 * per_curvature(r);
    return json_pack("{so so so so}", "time_s", array_of(c->n, c->time_s, 1.0), "curvature_1_m",
                     array_of(c->n, c->curvature_1_m, 1.0), "rise_mm", array_of(c->n, c->curvature_1_m, rise),
                     "side_bend_mm", array_of(c->n, c->side_curvature_1_m, rise));
}

json_t *cq_json_curve(const cq_result *r) {
    const cq_curve *c = &r->curve;
    if (!c->known) {
        return json_pack("{sn sn sn sn}", "rise_mm", "low_mm", "high_mm", "side_bend_mm");
    }
    double side_low_m, side_high_m;
    const cq_bend *q = &c->quenched, *t = r->tempers_n > 0 ? &r->tempers[r->tempers_n - 1].bend : q;
    cq_result_band_m(r, q->side_bend_m, &side_low_m, &side_high_m);
    const cq_json_member members[] = {
        {"rise_mm", mm(q->rise_m)},
        {"low_mm", mm(q->low_m)},
        {"high_mm", mm(q->high_m)},
        {"side_bend_mm", mm(q->side_bend_m)},
        {"side_low_mm", mm(side_low_m)},
        {"side_high_mm", mm(side_high_m)},
        {"length_mm", mm(r->plan->blade.length_m > 0.0 ? r->plan->blade.length_m : NAN)},
        {"curvature_1_m", cq_json_number(q->curvature_1_m)},
        {"radius_mm", radius(q->curvature_1_m)},
        {"direction", json_string(cq_curve_direction(r))},
        {"direction_only", json_boolean(c->direction_only)},
        {"tempered_mm", mm(t->rise_m)},
        {"tempered_low_mm", mm(t->low_m)},
        {"tempered_high_mm", mm(t->high_m)},
        {"tempered_side_bend_mm", mm(t->side_bend_m)},
        {"wanted_mm", mm(r->plan->wanted_curve_m)},
        {"precurve_mm", mm(cq_result_precurve_m(r, r->plan->wanted_curve_m))},
        {"found_mm", mm(c->found_1_m * per_curvature(r))},
        {"growth_1_m", cq_json_number(c->free_1_m)},
        {"plastic_1_m", cq_json_number(c->plastic_1_m)},
        {"transformation_plastic_1_m", cq_json_number(c->turned_1_m)},
        {"turns", turns(r)},
        {"history", history(r)},
        {"updates", json_integer((json_int_t)c->updates)},
        {"residual", cq_json_number(c->worst_residual)},
        {"core_s", cq_json_number(c->seconds)},
    };
    return cq_json_object(members, sizeof members / sizeof members[0]);
}

json_t *cq_json_stress(const cq_result *r) {
    const cq_curve *c = &r->curve;
    if (!c->known) {
        return json_null();
    }
    return json_pack("{so so so so so}", "edge_MPa", MPa(c->edge_stress_Pa), "edge_face_MPa",
                     MPa(c->edge_face_stress_Pa), "least_MPa", MPa(c->least_stress_Pa), "most_MPa",
                     MPa(c->most_stress_Pa), "edge_tempered_MPa",
                     MPa(r->tempers_n > 0 ? r->tempers[r->tempers_n - 1].edge_stress_Pa : c->edge_stress_Pa));
}

json_t *cq_json_crack(const cq_result *r, const cq_crack_advice *advice) {
    const cq_crack_answer *a = &r->crack;
    if (!a->known) {
        return json_pack("{sn sn sn sn sn}", "class", "reason", "since_s", "time_s", "advice");
    }
    char reason[CQ_CRACK_WORDS];
    cq_crack_reason(a, reason);
    return json_pack("{ss so so so so so so ss so}", "class", cq_crack_class_words(a->class_n), "reason",
                     cq_json_words(reason), "since_s", cq_json_number(a->since_s), "time_s", cq_json_number(a->time_s),
                     "index_MPa", cq_json_number(a->index_MPa), "tension_MPa", MPa(a->tension_Pa), "height_mm",
                     mm(a->height_m), "surface", r->plan->blade.surface == NULL ? "ground" : r->plan->blade.surface,
                     "advice", cq_json_advice(advice));
}

json_t *cq_json_tempers(const cq_result *r) {
    json_t *all = json_array();
    for (size_t n = 0; n < r->tempers_n; n++) {
        const cq_after_temper *t = &r->tempers[n];
        const cq_temper *plan = &r->plan->temper[n];
        all = cq_json_appended(
            all, json_pack("{so so so so so so so so so}", "temperature_C", cq_json_celsius(plan->temperature_K),
                           "for_s", cq_json_number(plan->for_s), "edge_HV", cq_json_number(t->edge_HV), "edge_HRC",
                           cq_json_number(t->edge_HRC), "spine_HV", cq_json_number(t->spine_HV), "spine_HRC",
                           cq_json_number(t->spine_HRC), "rise_mm", mm(t->bend.rise_m), "side_bend_mm",
                           mm(t->bend.side_bend_m), "edge_stress_MPa", MPa(t->edge_stress_Pa)));
    }
    return all;
}

json_t *cq_json_wear(const cq_result *r) {
    return json_pack("{so so sb}", "HRC", cq_json_number(r->wear_HRC), "mm", mm(r->wear_m), "throughout",
                     isinf(r->wear_m));
}
