/* flux.c - laws of heat flux against face temperature, prepared once per step of the plan.
 *
 * Boiling, in order of falling face temperature T (saturation Ts, bath Tb):
 *     film         q = (h_film(T) + 0) (T - Ts) + 0.75 eps sigma (T^4 - Ts^4) + h_liq (Ts - Tb)        T >= Tmin    (1)
 *     transition   q = F q_peak + (1 - F) q_film,  F = 1 - u^m,  u = (T - T_peak)/(Tmin - T_peak)                   (2)
 *     nucleate     q = [q_convection^3 + q_Rohsenow^3]^(1/3), at most q_peak                           T <= T_peak   (3)
 *     convection   q = h (T - Tb)                                                                      T <= Ts       (4)
 * (2) weighs wetted and dry shares of the face; interpolating log q instead makes bare steel 2 to 4 times too slow at
 * 500-800 degC against probe and bar data. Its exponent is the least-sourced number of the model (see DEVELOPERS.md).
 */
#include "boundary/flux.h"

#include "base/memory.h"
#include "boundary/boiling.h"

#include <math.h>

enum { NUCLEATE_NODES = 512, FILM_NODES = 512 };

/* A smooth curve on even nodes: cubic Hermite from values and slopes. */
typedef struct curve {
    double first, step;
    int n;
    double *v, *d;
} curve;

struct cq_flux_law {
    cq_bath bath;
    double bath_K, saturation_K, peak_K, peak_W_m2, convection_W_m2K, liquid_W_m2; /* h_liq (Ts - Tb) */
    double metal_rewetting_C, henry_metal_C;
    curve nucleate, film; /* film: h_film (T - Ts) */
    double steepest;
};

static const double ZERO_C = 273.15;

static double curve_eval(const curve *c, double x, double *slope) {
    const double at = (x - c->first) / c->step;
    const int i = at <= 0.0 ? 0 : (at >= c->n - 2 ? c->n - 2 : (int)at);
    const double u = at - i, h = c->step;
    const double v0 = c->v[i], v1 = c->v[i + 1], d0 = c->d[i] * h, d1 = c->d[i + 1] * h;
    const double a = 2.0 * (v0 - v1) + d0 + d1, b = -3.0 * (v0 - v1) - 2.0 * d0 - d1;
    *slope = (d0 + u * (2.0 * b + 3.0 * a * u)) / h;
    return v0 + u * (d0 + u * (b + a * u));
}

/* Slopes by central differences of the values: fourth-order inside is not needed at 1 K spacing. */
static void curve_slopes(curve *c) {
    for (int i = 0; i < c->n; i++) {
        const int a = i > 0 ? i - 1 : 0, b = i + 1 < c->n ? i + 1 : c->n - 1;
        c->d[i] = (c->v[b] - c->v[a]) / ((b - a) * c->step);
    }
}

static cq_status curve_create(curve *c, int n, double first, double last) {
    c->n = n;
    c->first = first;
    c->step = (last - first) / (n - 1);
    c->v = cq_memory_zero(2 * (size_t)n, sizeof(double));
    c->d = c->v == NULL ? NULL : c->v + n;
    return c->v == NULL ? CQ_ERR_MEMORY : CQ_OK;
}

static double nucleate_at(const cq_flux_law *law, double T_K) {
    const double superheat = fmax(0.0, T_K - law->saturation_K);
    const double boiling = law->bath.nucleate_factor * cq_boiling_rohsenow(superheat, 0.013, CQ_WATER_PR_L, CQ_WATER_MU_L,
                                                                           CQ_WATER_H_FG, CQ_WATER_RHO_L, CQ_WATER_RHO_V,
                                                                           CQ_WATER_SIGMA, CQ_WATER_CP_L);
    const double convection = law->convection_W_m2K * (T_K - law->bath_K);
    return cbrt(convection * convection * convection + boiling * boiling * boiling);
}

/* Liquid convection at agitation v: still and forced parts as cubes; 3.8 kW/m2/K at 0.5 m/s along 30 mm (laminar plate). */
static double with_agitation(double still, double v, double height_m) {
    const double forced = 3800.0 * sqrt(v / 0.5 * 0.03 / fmax(height_m, 1e-3));
    return cbrt(still * still * still + forced * forced * forced);
}

/* The face temperature at which nucleate boiling reaches the peak, by bisection. */
static double find_peak(const cq_flux_law *law) {
    double low = law->saturation_K, high = law->saturation_K + 200.0;
    for (int n = 0; n < 60; n++) {
        const double middle = 0.5 * (low + high);
        *(nucleate_at(law, middle) < law->peak_W_m2 ? &low : &high) = middle;
    }
    return 0.5 * (low + high);
}

static cq_status prepare_boiling(cq_flux_law *law, double agitation_m_s, double height_m) {
    const cq_bath *b = &law->bath;
    const double bath_C = law->bath_K - ZERO_C;
    law->saturation_K = CQ_WATER_SATURATION_C + ZERO_C;
    law->convection_W_m2K = b->convection_factor * with_agitation(b->convection_W_m2K, agitation_m_s, height_m);
    law->liquid_W_m2 = b->convection_factor * with_agitation(b->film_convection_W_m2K, agitation_m_s, height_m) *
                       fmax(0.0, law->saturation_K - law->bath_K);
    law->peak_W_m2 = b->peak_factor * cq_boiling_peak_saturated(0.131) * cq_boiling_peak_subcooling(bath_C);
    law->peak_K = find_peak(law);
    law->metal_rewetting_C = cq_boiling_rewetting_metal_C(bath_C) + b->rewetting_shift_K;
    if (curve_create(&law->nucleate, NUCLEATE_NODES, law->saturation_K - 10.0, law->peak_K) != CQ_OK ||
        curve_create(&law->film, FILM_NODES, law->saturation_K, law->saturation_K + 1533.0) != CQ_OK) {
        return CQ_ERR_MEMORY;
    }
    for (int i = 0; i < NUCLEATE_NODES; i++) {
        law->nucleate.v[i] = nucleate_at(law, law->nucleate.first + i * law->nucleate.step);
    }
    for (int i = 0; i < FILM_NODES; i++) {
        const double T = law->film.first + i * law->film.step;
        law->film.v[i] = b->film_factor * cq_boiling_film_flat(T - ZERO_C) * (T - law->saturation_K);
    }
    curve_slopes(&law->nucleate);
    curve_slopes(&law->film);
    return CQ_OK;
}

static double film_eval(const cq_flux_law *law, double emissivity, double T, double *slope) {
    const double T2 = T * T, S2 = law->saturation_K * law->saturation_K;
    const double radiation = 0.75 * emissivity * CQ_STEFAN_BOLTZMANN; /* 0.75: [bromley1950] */
    const double q = curve_eval(&law->film, T, slope) + radiation * (T2 * T2 - S2 * S2) + law->liquid_W_m2;
    *slope += 4.0 * radiation * T2 * T;
    return q;
}

static double wetted_share(const cq_flux_law *law, const cq_flux_face *face, double T, double *slope) {
    const double span = face->rewetting_K - law->peak_K, u = (T - law->peak_K) / span, m = law->bath.transition_exponent;
    if (u <= 0.0) {
        *slope = 0.0;
        return 1.0;
    }
    if (u >= 1.0) {
        *slope = 0.0;
        return 0.0;
    }
    const double power = fabs(m - 2.0) < 1e-12 ? u * u : pow(u, m);
    *slope = -m * power / u / span;
    return 1.0 - power;
}

static double boiling_eval(const cq_flux_law *law, const cq_flux_face *face, double T, double *slope) {
    if (T <= law->nucleate.first) {
        *slope = law->convection_W_m2K;
        return law->convection_W_m2K * (T - law->bath_K);
    }
    if (T <= law->peak_K) {
        return curve_eval(&law->nucleate, T, slope);
    }
    double film_slope, share_slope;
    const double film = film_eval(law, face->emissivity, T, &film_slope);
    const double share = wetted_share(law, face, T, &share_slope);
    *slope = (1.0 - share) * film_slope + share_slope * (law->peak_W_m2 - film);
    return share * law->peak_W_m2 + (1.0 - share) * film;
}

static double gas_eval(const cq_flux_law *law, const cq_flux_face *face, double T, double *slope) {
    const double radiation = face->emissivity * CQ_STEFAN_BOLTZMANN, B2 = law->bath_K * law->bath_K, T2 = T * T;
    *slope = law->convection_W_m2K + 4.0 * radiation * T2 * T;
    return law->convection_W_m2K * (T - law->bath_K) + radiation * (T2 * T2 - B2 * B2);
}

static double table_eval(const cq_flux_law *law, double T, double *slope) {
    const double h = cq_table_eval(&law->bath.heat_transfer_W_m2K, T, NULL);
    *slope = h + cq_table_slope(&law->bath.heat_transfer_W_m2K, T) * (T - law->bath_K);
    return h * (T - law->bath_K);
}

double cq_flux_eval(const cq_flux_law *law, const cq_flux_face *face, double Ts_K, double *slope) {
    switch (law->bath.kind) {
    case CQ_BATH_BOILING:
        return boiling_eval(law, face, Ts_K, slope);
    case CQ_BATH_GAS:
        return gas_eval(law, face, Ts_K, slope);
    default:
        return table_eval(law, Ts_K, slope);
    }
}

double cq_flux_wetted(const cq_flux_law *law, const cq_flux_face *face, double Ts_K) {
    double slope;
    return law->bath.kind == CQ_BATH_BOILING ? wetted_share(law, face, Ts_K, &slope) : 1.0;
}

/* The steepest fall over faces rewetting anywhere from barely above the peak's metal value upward. */
static double steepest_of(const cq_flux_law *law) {
    const cq_flux_face face = {law->metal_rewetting_C + ZERO_C, 0.9};
    double worst = 0.0;
    for (double T = 200.0; T < 1500.0; T += 2.0) {
        double slope;
        cq_flux_eval(law, &face, T, &slope);
        worst = fmax(worst, -slope);
    }
    return worst;
}

cq_status cq_flux_law_create(cq_flux_law **law, const cq_bath *bath, double at_K, double agitation_m_s, double body_height_m,
                             cq_error *error) {
    cq_flux_law *l = cq_memory_zero(1, sizeof *l);
    if (l == NULL) {
        return cq_error_say(error, CQ_ERR_MEMORY, "steps", "", "", "flux law");
    }
    l->bath = *bath;
    l->bath_K = at_K;
    l->convection_W_m2K = bath->gas_convection_W_m2K * bath->convection_factor;
    if (bath->kind == CQ_BATH_BOILING && prepare_boiling(l, agitation_m_s, body_height_m) != CQ_OK) {
        cq_flux_law_free(l);
        return cq_error_say(error, CQ_ERR_MEMORY, "steps", "", "", "flux law");
    }
    l->steepest = steepest_of(l);
    *law = l;
    return CQ_OK;
}

void cq_flux_law_free(cq_flux_law *law) {
    if (law != NULL) {
        cq_memory_free(law->nucleate.v);
        cq_memory_free(law->film.v);
        cq_memory_free(law);
    }
}

double cq_flux_law_bath_K(const cq_flux_law *law) {
    return law->bath_K;
}

double cq_flux_steepest(const cq_flux_law *law) {
    return law->steepest;
}

/* What a layer adds to the surface below it: effusivity, heat capacity per mass and the weight with which it covers. */
static double cover(double e_below, double k, double c, double thickness_m, double contact_s, double *e) {
    *e = e_below;
    if (!(thickness_m > 0.0 && k > 0.0 && c > 0.0)) {
        return 0.0;
    }
    const double e_layer = sqrt(k * c);
    *e = cq_layered_effusivity(e_layer, k / c, thickness_m, e_below, contact_s);
    return fabs(e_layer - e_below) > 1e-9 * e_below ? (*e - e_below) / (e_layer - e_below) : 0.0;
}

/* Rewetting: the metal's own value plus what the surface's effusivity adds by Henry's form. Scale lies on the steel, clay on
 * the scale; heat capacity per mass and emissivity fade with the same weight as the effusivity, so that a vanishing coat
 * gives the bare face exactly. */
cq_flux_face cq_flux_face_of(const cq_flux_law *law, const cq_surface *s) {
    const cq_bath *b = &law->bath;
    const double contact = b->contact_time_s > 0.0 ? b->contact_time_s : 5e-3;
    const double e_steel = sqrt(s->steel_conductivity_W_mK * s->steel_heat_capacity_J_m3K);
    double e_scaled, e;
    const double scale = cover(e_steel, b->scale_conductivity_W_mK, b->scale_heat_capacity_J_m3K, b->scale_m, contact, &e_scaled);
    const double coat = cover(e_scaled, s->coat_conductivity_W_mK, s->coat_heat_capacity_J_m3K, s->coat_m, contact, &e);
    cq_flux_face face = {.rewetting_K = 0.0, .emissivity = s->steel_emissivity};
    if (s->coat_m > 0.0) {
        face.emissivity += coat * (s->coat_emissivity - s->steel_emissivity);
    }
    if (b->kind == CQ_BATH_BOILING) {
        const double bath_C = law->bath_K - ZERO_C;
        const double cp_steel = 620.0, cp_scale = 800.0, cp_clay = 975.0; /* J/kg/K hot: [incropera2007], [michot2011] */
        const double cp_below = cp_steel + scale * (cp_scale - cp_steel), cp = cp_below + coat * (cp_clay - cp_below);
        const double shift = cq_boiling_rewetting_henry_C(bath_C, e, cp) - cq_boiling_rewetting_henry_C(bath_C, e_steel, cp_steel);
        face.rewetting_K = law->metal_rewetting_C + b->rewetting_factor * fmax(0.0, shift) + ZERO_C;
        face.rewetting_K = fmax(face.rewetting_K, law->peak_K + 20.0); /* hot baths: the film outlives all but the last 20 K */
    }
    return face;
}
