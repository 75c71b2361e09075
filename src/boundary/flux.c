/* flux.c - laws of heat flux against face temperature, prepared once per step of the plan.
 *
 * Boiling, in order of falling face temperature T (saturation Ts, bath Tb):
 *     film         q = h_film(T) (T - Ts) + 0.75 eps sigma (T^4 - Ts^4) + h_liq (Ts - Tb)              T >= Tmin    (1)
 *     transition   q = F q_peak + (1 - F) q_film,  F = 1 - u^m,  u = (T - T_peak)/(Tmin - T_peak)                   (2)
 *     nucleate     q = [q_convection^3 + q_Rohsenow^3]^(1/3), at most q_peak                           T <= T_peak (3)
 *     convection   q = h (T - Tb)                                                                      T <= Ts (4) (2)
 * weighs wetted and dry shares of the face; interpolating log q instead makes bare steel 2 to 4 times too slow at
 * 500-800 degC against probe and bar data. Its exponent is the least-sourced number of the model (see DEVELOPERS.md).
 * Agitation adds a stream along the face to h and h_liq; peak and Tmin keep their still-pool values.
 *
 * Brine: Tmin and q_peak as brine.h says, the rest as water. Oil: oil.c.
 *
 * Gas:    q = h (T - Tb) + eps sigma (T^4 - Tb^4),  h given or rising gas, and a stream (5) Table:  q = h(T) (T - Tb),
 * the table's own curve; it holds its own radiation and agitation                        (6)
 */
#include "boundary/flux.h"

#include "base/memory.h"
#include "base/root.h"
#include "boundary/boiling.h"
#include "boundary/brine.h"
#include "boundary/curve.h"
#include "boundary/oil.h"
#include "boundary/wetting.h"

#include <math.h>

/* Nucleate boiling ends some 35 K above saturation; film and gas are smooth, 1 K is far finer than they need. */
enum { NUCLEATE_NODES = 257, FILM_NODES = 2101, GAS_NODES = 2401 };

static const double ZERO_C = 273.15;
static const double SATURATION_K = 373.15;
static const double COLDEST_BATH_K = 253.15; /* brine; below, no water is liquid at 1 atm */
static const double GAS_BELOW_K = 200.0;     /* how far below the gas its curve begins; a node lies on the gas itself */
static const double LEAST_TRANSITION_K = 20.0; /* Tmin stands at least this far above the peak: hot baths, negative
                                                * shifts; chosen here */
static const double CONTACT_S = 5e-3; /* for gas and tables, where cover only fades the emissivity; chosen here */

struct cq_flux_law {
    cq_bath bath;
    double bath_K, bath_T4;
    double peak_K, peak_W_m2, convection_W_m2K, liquid_W_m2; /* liquid: h_liq (Ts - Tb) */
    double agitation_m_s, height_m;
    double metal_rewetting_K;
    cq_curve nucleate; /* (3), from saturation to the peak */
    cq_curve film;     /* h_film (T - Ts) of (1) */
    cq_curve gas;      /* h (T - Tb) of (5) */
    cq_pieces table;   /* h of (6) */
    cq_oil oil;
};

/* Heat drawn by a film's vapour, W/m2; context: the law. */
static double film_at(const void *context, double T_K) {
    const cq_flux_law *law = context;
    return law->bath.film_factor * cq_boiling_film_flat(T_K - ZERO_C) * (T_K - SATURATION_K);
}

static double nucleate_at(const void *context, double T_K) {
    const cq_flux_law *law = context;
    const cq_boiling_liquid water = cq_boiling_water();
    const double superheat = fmax(0.0, T_K - SATURATION_K), C_sf = 0.013; /* generic surface [rohsenow1952] */
    const double boiling = law->bath.nucleate_factor * cq_boiling_rohsenow(&water, superheat, C_sf);
    const double convection = law->convection_W_m2K * (T_K - law->bath_K);
    return cbrt(convection * convection * convection + boiling * boiling * boiling); /* (3) */
}

/* h (T - Tb) of a gas, still and stream. */
static double gas_at(const void *context, double T_K) {
    const cq_flux_law *law = context;
    const double film_K = 0.5 * (T_K + law->bath_K), difference = T_K - law->bath_K;
    const cq_fluid air = cq_fluid_air(film_K);
    const double given = law->bath.gas_convection_W_m2K;
    const double still = given > 0.0 ? given : cq_convection_rising_gas(&air, film_K, difference, law->height_m);
    const double stream =
        law->agitation_m_s > 0.0 ? cq_convection_forced(&air, law->agitation_m_s, law->height_m) : 0.0;
    return law->bath.convection_factor * cq_convection_together(still, stream) * difference;
}

static double short_of_peak(const void *context, double T_K) {
    const cq_flux_law *law = context;
    return nucleate_at(law, T_K) - law->peak_W_m2;
}

/* The face temperature at which nucleate boiling reaches the peak; NaN if it never does. */
static double find_peak(const cq_flux_law *law) {
    return cq_root_between(short_of_peak, law, &(cq_root_bracket){SATURATION_K, SATURATION_K + 400.0, 1e-9});
}

static cq_status prepare_boiling(cq_flux_law *law, cq_error *error) {
    const cq_bath *b = &law->bath;
    const double bath_C = law->bath_K - ZERO_C;
    const cq_fluid beside = cq_fluid_water(0.5 * (bath_C + CQ_WATER_SATURATION_C)); /* wall or vapour at saturation */
    const double stream =
        law->agitation_m_s > 0.0 ? cq_convection_forced(&beside, law->agitation_m_s, law->height_m) : 0.0;
    law->convection_W_m2K = b->convection_factor * cq_convection_together(b->convection_W_m2K, stream);
    law->liquid_W_m2 =
        b->convection_factor * cq_convection_together(b->film_convection_W_m2K, stream) * (SATURATION_K - law->bath_K);
    law->peak_W_m2 = b->peak_factor * cq_brine_peak_factor(b->salt) * cq_boiling_peak_saturated(0.131) *
                     cq_boiling_peak_subcooling(bath_C);
    law->peak_K = find_peak(law);
    if (!isfinite(law->peak_K)) {
        return cq_error_say(error, CQ_ERR_ARGUMENT, "steps",
                            "nucleate boiling that reaches the peak within 400 K of saturation",
                            "bring the bath's factors nearer to 1", "peak %g W/m2", law->peak_W_m2);
    }
    const double shift = b->rewetting_shift_K + cq_brine_rewetting_shift_K(b->salt);
    law->metal_rewetting_K =
        fmax(cq_boiling_rewetting_metal_C(bath_C) + shift + ZERO_C, law->peak_K + LEAST_TRANSITION_K);
    if (cq_curve_create(&law->nucleate, nucleate_at, law, SATURATION_K, law->peak_K, NUCLEATE_NODES) != CQ_OK ||
        cq_curve_create(&law->film, film_at, law, SATURATION_K, SATURATION_K + FILM_NODES - 1, FILM_NODES) != CQ_OK) {
        return cq_error_say(error, CQ_ERR_MEMORY, "steps", "", "", "flux law");
    }
    law->peak_W_m2 = law->nucleate.node[2 * (NUCLEATE_NODES - 1)]; /* the root is not exact: no seam at the peak */
    return CQ_OK;
}

/* (1) */
static inline double film_eval(const cq_flux_law *law, double emissivity, double T, double *slope) {
    const double T3 = T * T * T, S4 = SATURATION_K * SATURATION_K * SATURATION_K * SATURATION_K;
    const double radiation = 0.75 * emissivity * CQ_STEFAN_BOLTZMANN; /* 0.75: [bromley1950] */
    const double q = cq_curve_eval(&law->film, T, slope) + radiation * (T3 * T - S4) + law->liquid_W_m2;
    *slope += 4.0 * radiation * T3;
    return q;
}

/* F of (2) and its slope. */
static inline double wetted_share(const cq_flux_law *law, const cq_flux_face *face, double T, double *slope) {
    const cq_wetting wetting = {law->peak_K, face->rewetting_K, law->bath.transition_exponent};
    return cq_wetting_share(&wetting, T, slope);
}

static inline double boiling_eval(const cq_flux_law *law, const cq_flux_face *face, double T, double *slope) {
    if (T <= SATURATION_K) {
        *slope = law->convection_W_m2K;
        return law->convection_W_m2K * (T - law->bath_K); /* (4) */
    }
    if (T <= law->peak_K) {
        return cq_curve_eval(&law->nucleate, T, slope); /* (3) */
    }
    double film_slope, share_slope;
    const double film = film_eval(law, face->emissivity, T, &film_slope);
    const double share = wetted_share(law, face, T, &share_slope);
    *slope = (1.0 - share) * film_slope + share_slope * (law->peak_W_m2 - film);
    return share * law->peak_W_m2 + (1.0 - share) * film; /* (2), (1) */
}

/* (5) */
static inline double gas_eval(const cq_flux_law *law, const cq_flux_face *face, double T, double *slope) {
    const double radiation = face->emissivity * CQ_STEFAN_BOLTZMANN, T3 = T * T * T;
    const double q = cq_curve_eval(&law->gas, T, slope) + radiation * (T3 * T - law->bath_T4);
    *slope += 4.0 * radiation * T3;
    return q;
}

/* (6) */
static inline double table_eval(const cq_flux_law *law, double T, double *slope) {
    double bend;
    const double h = cq_pieces_eval(&law->table, T, &bend);
    *slope = h + bend * (T - law->bath_K);
    return h * (T - law->bath_K);
}

double cq_flux_eval(const cq_flux_law *law, const cq_flux_face *face, double Ts_K, double *slope) {
    switch (law->bath.kind) {
    case CQ_BATH_BOILING:
        return boiling_eval(law, face, Ts_K, slope);
    case CQ_BATH_GAS:
        return gas_eval(law, face, Ts_K, slope);
    case CQ_BATH_OIL:
        return cq_oil_eval(&law->oil, Ts_K, slope);
    default:
        return table_eval(law, Ts_K, slope);
    }
}

double cq_flux_wetted(const cq_flux_law *law, const cq_flux_face *face, double Ts_K) {
    double slope;
    const bool boils = law->bath.kind == CQ_BATH_BOILING || law->bath.kind == CQ_BATH_OIL;
    return boils ? wetted_share(law, face, Ts_K, &slope) : 1.0;
}

cq_flux_range cq_flux_law_range(const cq_flux_law *law) {
    const cq_pieces *t = &law->table;
    if (law->bath.kind == CQ_BATH_TABLE && t->n > 1) {
        return (cq_flux_range){t->knot[0], t->knot[t->n - 1]};
    }
    return (cq_flux_range){0.0, HUGE_VAL};
}

/* True for a finite x in [low, high]; a NaN is outside. */
static bool within(double x, double low, double high) {
    return isfinite(x) && x >= low && x <= high;
}

static bool boiling_is_valid(const cq_bath *b) {
    const double factor[] = {b->film_factor, b->peak_factor, b->nucleate_factor, b->convection_factor};
    for (int n = 0; n < 4; n++) {
        if (!within(factor[n], 1e-3, 1e3)) {
            return false;
        }
    }
    const bool bare = b->scale_m <= 0.0 || (b->scale_conductivity_W_mK > 0.0 && b->scale_heat_capacity_J_m3K > 0.0);
    return within(b->rewetting_factor, 0.0, 1e3) && within(b->rewetting_shift_K, -1e4, 1e4) &&
           within(b->scale_m, 0.0, 1e-2) && bare && within(b->salt, 0.0, 0.2 + 1e-9) &&
           within(b->transition_exponent, 1.0, 3.0) && within(b->contact_time_s, 1e-6, 10.0) &&
           within(b->film_convection_W_m2K, 0.0, 1e7) && within(b->convection_W_m2K, 1e-3, 1e7);
}

/* Finite and of a possible size; what the figures make together is seen when the law is prepared. */
static bool oil_is_valid(const cq_bath *b) {
    const double factor[] = {b->film_factor, b->peak_factor, b->nucleate_factor, b->convection_factor};
    for (int n = 0; n < 4; n++) {
        if (!within(factor[n], 1e-3, 1e3)) {
            return false;
        }
    }
    return within(b->oil_film_W_m2K, 1.0, 1e6) && within(b->oil_rewetting_K, 300.0, 1e4) &&
           within(b->oil_peak_K, 300.0, 1e4) && within(b->oil_peak_W_m2K, 1.0, 1e6) &&
           within(b->oil_boiling_K, 300.0, 1e4) && within(b->rewetting_shift_K, -1e4, 1e4) &&
           within(b->transition_exponent, 1.0, 3.0) && within(b->convection_W_m2K, 1e-3, 1e7) &&
           within(b->oil_viscosity_100_m2_s, 1e-6, 1.0) &&
           within(b->oil_viscosity_40_m2_s, b->oil_viscosity_100_m2_s, 1.0);
}

static bool is_valid(const cq_bath *b) {
    switch (b->kind) {
    case CQ_BATH_BOILING:
        return boiling_is_valid(b);
    case CQ_BATH_GAS:
        return within(b->gas_convection_W_m2K, 0.0, 1e7) && within(b->convection_factor, 0.0, 1e3);
    case CQ_BATH_OIL:
        return oil_is_valid(b);
    default:
        return cq_table_is_valid(&b->heat_transfer_W_m2K);
    }
}

static cq_status check(const cq_bath *bath, double at_K, double agitation_m_s, double body_height_m, cq_error *error) {
    const bool boiling = bath->kind == CQ_BATH_BOILING;
    if (!within(at_K, boiling ? COLDEST_BATH_K : 1.0, boiling ? SATURATION_K : 3000.0)) {
        return cq_error_say(error, CQ_ERR_ARGUMENT, "at",
                            boiling ? "liquid water: -20 to 100 degC" : "a temperature above 1 K", "", "%g K", at_K);
    }
    if (!within(agitation_m_s, 0.0, 1e3) || !within(body_height_m, 1e-6, 1e3)) {
        return cq_error_say(error, CQ_ERR_ARGUMENT, "agitation", "a speed of 0 or more along a body with a height", "",
                            "%g m/s, %g m", agitation_m_s, body_height_m);
    }
    if (!is_valid(bath)) {
        return cq_error_say(error, CQ_ERR_ARGUMENT, "in", "a bath whose factors and properties are positive and finite",
                            "", "%s", bath->name != NULL ? bath->name : "a bath");
    }
    return CQ_OK;
}

static cq_status prepare_oil(cq_flux_law *law, cq_error *error) {
    if (!cq_oil_prepare(&law->oil, &law->bath, law->bath_K, law->agitation_m_s, law->height_m)) {
        return cq_error_say(
            error, CQ_ERR_ARGUMENT, "steps",
            "an oil that begins to boil above the bath, peaks above convection and whose blanket ends hotter still",
            "look at boiling-from, peak-temperature, peak-transfer and rewetting-temperature",
            "figures that make no curve");
    }
    law->peak_K = law->oil.peak_K;
    law->metal_rewetting_K = law->oil.rewetting_K;
    return CQ_OK;
}

static cq_status prepare(cq_flux_law *law, cq_error *error) {
    switch (law->bath.kind) {
    case CQ_BATH_BOILING:
        return prepare_boiling(law, error);
    case CQ_BATH_OIL:
        return prepare_oil(law, error);
    case CQ_BATH_GAS:
        if (cq_curve_create(&law->gas, gas_at, law, law->bath_K - GAS_BELOW_K,
                            law->bath_K - GAS_BELOW_K + GAS_NODES - 1, GAS_NODES) == CQ_OK) {
            return CQ_OK;
        }
        break;
    default:
        if (cq_pieces_create(&law->table, &law->bath.heat_transfer_W_m2K) == CQ_OK) {
            return CQ_OK;
        }
    }
    return cq_error_say(error, CQ_ERR_MEMORY, "steps", "", "", "flux law");
}

cq_status cq_flux_law_create(cq_flux_law **law, const cq_bath *bath, double at_K, double agitation_m_s,
                             double body_height_m, cq_error *error) {
    cq_status status = check(bath, at_K, agitation_m_s, body_height_m, error);
    if (status != CQ_OK) {
        return status;
    }
    cq_flux_law *l = cq_memory_zero(1, sizeof *l);
    if (l == NULL) {
        return cq_error_say(error, CQ_ERR_MEMORY, "steps", "", "", "flux law");
    }
    l->bath = *bath;
    l->bath_K = at_K;
    l->bath_T4 = at_K * at_K * at_K * at_K;
    l->agitation_m_s = agitation_m_s;
    l->height_m = body_height_m;
    if ((status = prepare(l, error)) != CQ_OK) {
        cq_flux_law_free(l);
        return status;
    }
    *law = l;
    return CQ_OK;
}

void cq_flux_law_free(cq_flux_law *law) {
    if (law != NULL) {
        cq_curve_clear(&law->nucleate);
        cq_curve_clear(&law->film);
        cq_curve_clear(&law->gas);
        cq_pieces_clear(&law->table);
        cq_memory_free(law);
    }
}

double cq_flux_law_bath_K(const cq_flux_law *law) {
    return law->bath_K;
}

/* A layer over the surface below: changes its effusivity and returns the weight with which it covers. */
static double cover(double k, double c, double thickness_m, double contact_s, double *effusivity) {
    if (!(thickness_m > 0.0 && k > 0.0 && c > 0.0)) {
        return 0.0;
    }
    const double e_layer = sqrt(k * c), r = (*effusivity - e_layer) / (*effusivity + e_layer);
    const double weight = cq_layer_cover(r, thickness_m, k / c, contact_s);
    *effusivity += weight * (e_layer - *effusivity);
    return weight;
}

/* Rewetting: the metal's own value plus what the surface's effusivity adds by Henry's form. Scale lies on the steel,
 * clay on the scale; heat capacity per mass and emissivity fade with the same weight as the effusivity, so that a
 * vanishing coat gives the bare face exactly. */
cq_flux_face cq_flux_face_of(const cq_flux_law *law, const cq_surface *s) {
    const cq_bath *b = &law->bath;
    const bool boiling = b->kind == CQ_BATH_BOILING;
    const double contact = boiling ? b->contact_time_s : CONTACT_S;
    const double e_steel = sqrt(s->steel_conductivity_W_mK * s->steel_heat_capacity_J_m3K);
    double e = e_steel;
    const double scale = cover(b->scale_conductivity_W_mK, b->scale_heat_capacity_J_m3K, b->scale_m, contact, &e);
    const double coat = cover(s->coat_conductivity_W_mK, s->coat_heat_capacity_J_m3K, s->coat_m, contact, &e);
    cq_flux_face face = {.rewetting_K = law->metal_rewetting_K, .emissivity = s->steel_emissivity};
    if (coat > 0.0) {
        face.emissivity += coat * (s->coat_emissivity - s->steel_emissivity);
    }
    if (boiling) {
        const double bath_C = law->bath_K - ZERO_C;
        const double c_steel = 620.0, c_scale = 800.0, c_clay = 975.0; /* J/kg/K hot: [incropera2007], [michot2011] */
        const double c_below = c_steel + scale * (c_scale - c_steel), c = c_below + coat * (c_clay - c_below);
        const double shift =
            cq_boiling_rewetting_henry_C(bath_C, e, c) - cq_boiling_rewetting_henry_C(bath_C, e_steel, c_steel);
        face.rewetting_K = law->metal_rewetting_K + b->rewetting_factor * fmax(0.0, shift);
    }
    return face;
}
