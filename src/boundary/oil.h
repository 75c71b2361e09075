/* oil.h - heat flux of a quench oil against face temperature, from the figures that describe the oil. */
#ifndef CQ_BOUNDARY_OIL_H
#define CQ_BOUNDARY_OIL_H

#include <clayquench/bath.h>
#include <stdbool.h>

/* An oil at one bath temperature and stream, ready to be evaluated. */
typedef struct cq_oil {
    double bath_K, boiling_K, peak_K, rewetting_K, exponent;
    double film_W_m2K, film_stream_W_m2; /* blanket; what a stream draws from its liquid side */
    double peak_W_m2, peak_boiling_W_m2; /* the peak; its part above convection */
    double convection_W_m2K, nucleate;
} cq_oil;

/* False if the figures make no curve: out of order, or a peak that does not stand above convection. */
bool cq_oil_prepare(cq_oil *oil, const cq_bath *bath, double at_K, double agitation_m_s, double body_height_m);

/* Flux W/m2 at face temperature T_K and its slope; continuous, one peak, and above it one valley if there is a film. */
double cq_oil_eval(const cq_oil *oil, double T_K, double *slope);

/* Kinematic viscosity, m2/s, from its values at 40 and 100 degC: log log (nu + 0.7 mm2/s) is straight in log T.
 * Source: [astm-d341], from memory. */
double cq_oil_viscosity(double at_40_m2_s, double at_100_m2_s, double temp_K);

#endif
