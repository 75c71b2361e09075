/* flux.h - heat flux leaving a wet or dry face, against the face's temperature.
 *
 * A law is one bath at one temperature, prepared once per step of the plan; a face adds what depends on the surface
 * (clay or steel, how thick). cq_flux_eval is called for every outer face a few times a step: it must cost about 10 ns,
 * so the law carries shared tables of the face-independent parts at 1 K spacing (or finer), smooth enough that a
 * safeguarded Newton converges to 1e-10 relative.
 *
 * What a coat or scale does here is only its part in wetting: effusivity, rewetting temperature, emissivity. Its
 * thermal resistance is the solver's, as cells or in series; a law that folds it in must not be laid over clay.
 */
#ifndef CQ_BOUNDARY_FLUX_H
#define CQ_BOUNDARY_FLUX_H

#include <clayquench/bath.h>
#include <clayquench/material.h>
#include <clayquench/status.h>
#include <stdbool.h>

typedef struct cq_flux_law cq_flux_law; /* opaque; immutable after create */

typedef struct cq_flux_face {
    double rewetting_K; /* Tmin of this face in this bath; boiling only */
    double emissivity;
} cq_flux_face;

/* What lies at the surface: thickness of the outer layer on a steel half space, and the layer's and steel's thermal
 * properties (W/m/K, J/m3/K). thickness 0: bare steel (its scale is added by the law from the bath's description, under
 * the coat too, so that a vanishing coat is bare steel). */
typedef struct cq_surface {
    double coat_m;
    double coat_conductivity_W_mK, coat_heat_capacity_J_m3K, coat_emissivity;
    double steel_conductivity_W_mK, steel_heat_capacity_J_m3K, steel_emissivity;
} cq_surface;

/* Prepare a law: bath at at_K (boiling: -20..100 degC), stream of agitation_m_s (0: still) along a body of
 * body_height_m. A table holds its own agitation: agitation_m_s does not act on it. CQ_ERR_ARGUMENT for what is not
 * finite or outside these ranges, CQ_ERR_MEMORY; *law is untouched then. The bath is copied, a table's values too;
 * release with cq_flux_law_free. Sources: boiling.h, fluids.h. */
cq_status cq_flux_law_create(cq_flux_law **law, const cq_bath *bath, double at_K, double agitation_m_s,
                             double body_height_m, cq_error *error);
void cq_flux_law_free(cq_flux_law *law);
double cq_flux_law_bath_K(const cq_flux_law *law);

/* Face temperatures between which nothing is held or extrapolated: a table's first and last, else everything. For a
 * notice. */
typedef struct cq_flux_range {
    double low_K, high_K;
} cq_flux_range;
cq_flux_range cq_flux_law_range(const cq_flux_law *law);

/* Rewetting temperature and emissivity of a face. The rewetting temperature stands at least 20 K above the peak of the
 * curve (nearly boiling baths, large negative shifts) and never below bare metal's. Source: [dhir1978], [henry1974],
 * boiling.h. */
cq_flux_face cq_flux_face_of(const cq_flux_law *law, const cq_surface *surface);

/* Flux in W/m2 (positive: heat leaves) at face temperature Ts; *slope gets dq/dTs in W/m2/K. Continuous in Ts, and its
 * slope is the slope of the very curve (one-sided where the curve has a corner: peak, rewetting, knots of a table).
 * Defined for every finite Ts; a NaN gives a NaN. */
double cq_flux_eval(const cq_flux_law *law, const cq_flux_face *face, double Ts_K, double *slope);

/* Share of the face that liquid wets, F of the transition: 1 at and below the peak, 0 at and above rewetting_K and in
 * baths without a vapour blanket 1 everywhere; gas and table: 1. */
double cq_flux_wetted(const cq_flux_law *law, const cq_flux_face *face, double Ts_K);

#endif
