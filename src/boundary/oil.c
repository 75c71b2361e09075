/* oil.c - see oil.h.
 *
 * Oils are mixtures that boil over a range and have no correlations of their own: each part of the curve is a figure of
 * the oil, given for a still bath of 40 degC. In order of falling face temperature T (bath Tb):
 *     film         q = h_film (T - Tb) + h_stream (T_boil - Tb)                                        T >= T_rew   (1)
 *     transition   q = F q_peak + (1 - F) q_film, F of wetting.h                                                    (2)
 *     peak         q_peak = h_peak (T_peak - Tb)                                                                    (3)
 *     nucleate     q = q_conv + (q_peak - q_conv(T_peak)) n B/(1 + (n - 1) B), B = s^2 (3 - 2 s),
 *                  s = (T - T_boil)/(T_peak - T_boil)                                      T_boil <= T <= T_peak    (4)
 *     convection   q_conv = h_conv (T - Tb)                                                            T <= T_boil  (5)
 * (4) is spread because light fractions boil first, its shape B chosen here for its quiet ends; n is the factor of
 * nucleate boiling, 1 by default. (2) is flux.c's; (1), (3) and (5) only say what the figures mean.
 *
 * A bath of another temperature: peak and film fall with the subcooling through (T - Tb); the blanket ends colder by
 * 0.14 K per K, Henry's form with an oil's properties; still convection goes with viscosity to the power -1/4, that of
 * laminar natural convection at a high Prandtl number [incropera2007] (9.27), from memory. A stream along the face adds
 * to convection and to the liquid side of the blanket; peak and T_rew keep their still values. What the surface is made
 * of does not move T_rew: no data say how an oil wets clay.
 */
#include "boundary/oil.h"

#include "boundary/fluids.h"
#include "boundary/wetting.h"

#include <math.h>

static const double REFERENCE_K = 313.15;   /* at which oils are tested [astm-d6200], from memory */
static const double REWETTING_PER_K = 0.14; /* 0.42 [(e_oil/e_steel) h_fg/(c_w 100 K)]^0.6 [henry1974], from memory */
static const double LEAST_SPAN_K = 10.0;    /* between the parts of a curve; chosen here, only against steps */

double cq_oil_viscosity(double at_40_m2_s, double at_100_m2_s, double temp_K) {
    const double mm2 = 1e6, T_40 = 313.15, T_100 = 373.15;
    const double w_40 = log10(log10(mm2 * at_40_m2_s + 0.7)), w_100 = log10(log10(mm2 * at_100_m2_s + 0.7));
    const double w = w_40 + (w_100 - w_40) * log(temp_K / T_40) / log(T_100 / T_40);
    return (pow(10.0, pow(10.0, w)) - 0.7) / mm2;
}

bool cq_oil_prepare(cq_oil *oil, const cq_bath *b, double at_K, double agitation_m_s, double body_height_m) {
    const double viscosity = cq_oil_viscosity(b->oil_viscosity_40_m2_s, b->oil_viscosity_100_m2_s, at_K);
    const cq_fluid liquid = {.conductivity_W_mK = 0.13, /* mineral oils, from memory */
                             .density_kg_m3 = 850.0,
                             .heat_capacity_J_kgK = 2200.0,
                             .viscosity_Pa_s = 850.0 * viscosity};
    const double still = b->convection_W_m2K * pow(b->oil_viscosity_40_m2_s / viscosity, 0.25);
    const double stream = agitation_m_s > 0.0 ? cq_convection_forced(&liquid, agitation_m_s, body_height_m) : 0.0;
    *oil = (cq_oil){.bath_K = at_K,
                    .boiling_K = b->oil_boiling_K,
                    .peak_K = b->oil_peak_K,
                    .rewetting_K = b->oil_rewetting_K + b->rewetting_shift_K + REWETTING_PER_K * (REFERENCE_K - at_K),
                    .exponent = b->transition_exponent,
                    .film_W_m2K = b->film_factor * b->oil_film_W_m2K,
                    .film_stream_W_m2 = b->convection_factor * stream * (b->oil_boiling_K - at_K),
                    .peak_W_m2 = b->peak_factor * b->oil_peak_W_m2K * (b->oil_peak_K - at_K), /* (3) */
                    .convection_W_m2K = b->convection_factor * cq_convection_together(still, stream),
                    .nucleate = b->nucleate_factor};
    oil->peak_boiling_W_m2 = oil->peak_W_m2 - oil->convection_W_m2K * (oil->peak_K - at_K);
    return oil->peak_boiling_W_m2 > 0.0 && oil->boiling_K > at_K && oil->peak_K > oil->boiling_K + LEAST_SPAN_K &&
           oil->rewetting_K > oil->peak_K + LEAST_SPAN_K && isfinite(oil->convection_W_m2K);
}

double cq_oil_eval(const cq_oil *o, double T, double *slope) {
    const double convection = o->convection_W_m2K * (T - o->bath_K); /* (5) */
    *slope = o->convection_W_m2K;
    if (!(T > o->boiling_K)) { /* a NaN goes through */
        return convection;
    }
    if (T <= o->peak_K) {
        const double per_span = 1.0 / (o->peak_K - o->boiling_K), s = (T - o->boiling_K) * per_span;
        const double B = s * s * (3.0 - 2.0 * s), below = 1.0 + (o->nucleate - 1.0) * B;
        *slope += o->peak_boiling_W_m2 * o->nucleate / (below * below) * 6.0 * s * (1.0 - s) * per_span;
        return convection + o->peak_boiling_W_m2 * o->nucleate * B / below; /* (4) */
    }
    double share_slope;
    const cq_wetting wetting = {o->peak_K, o->rewetting_K, o->exponent};
    const double share = cq_wetting_share(&wetting, T, &share_slope);
    const double film = o->film_W_m2K * (T - o->bath_K) + o->film_stream_W_m2; /* (1) */
    *slope = (1.0 - share) * o->film_W_m2K + share_slope * (o->peak_W_m2 - film);
    return share * o->peak_W_m2 + (1.0 - share) * film; /* (2) */
}
