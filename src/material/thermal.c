/* thermal.c - see thermal.h. Values from memory of the per-phase set reused for 0.6-0.8 % C steels [simsir2008]. */
#include "material/thermal.h"

#include "base/memory.h"

#include <math.h>

static const double ZERO_C = 273.15; /* K */

/* Line given in degC: value at 0 degC and slope. */
static void set_line(double at_0C, double slope, double *v0, double *v1) {
    *v0 = at_0C - slope * ZERO_C;
    *v1 = slope;
}

/* k W/m/K and c J/m3/K against degC. Source: [simsir2008], linear forms, +-10 % (k), +-3 % (c); from memory. */
static cq_phase_thermal lines_of(cq_phase phase) {
    cq_phase_thermal p = {0, 0, 0, 0, 0};
    switch (phase) {
    case CQ_AUSTENITE:
        set_line(15.0, 0.0113, &p.k0, &p.k1);
        set_line(4.15e6, 830.0, &p.c0, &p.c1);
        break;
    case CQ_MARTENSITE:
        set_line(43.1, -0.0217, &p.k0, &p.k1);
        set_line(3.76e6, 2180.0, &p.c0, &p.c1);
        break;
    default:
        set_line(49.0, -0.0245, &p.k0, &p.k1);
        set_line(3.78e6, 2180.0, &p.c0, &p.c1);
        break;
    }
    return p;
}

cq_phase_thermal cq_thermal_of(cq_phase phase) {
    /* Latent heat in J/m3 released at the temperature (degC) where each product usually forms. Pearlite: 82 kJ/kg at
     * the eutectoid [hagel1956] is 6.4e8; the set 6.3 / 6.2 / 5.9 / 6.3e8 is the one the kinetics' constants were
     * fitted with. */
    static const struct {
        double heat, at_C;
    } latent[CQ_PHASES] = {[CQ_FERRITE] = {5.9e8, 700.0},
                           [CQ_PEARLITE] = {6.3e8, 650.0},
                           [CQ_BAINITE] = {6.2e8, 400.0},
                           [CQ_MARTENSITE] = {6.3e8, 200.0}};
    cq_phase_thermal p = lines_of(phase);
    if (phase != CQ_AUSTENITE) {
        const cq_phase_thermal austenite = lines_of(CQ_AUSTENITE);
        const double T = latent[phase].at_C + ZERO_C;
        p.h0 = cq_thermal_enthalpy(&austenite, T) - latent[phase].heat - cq_thermal_enthalpy(&p, T);
    }
    return p;
}

cq_status cq_sampled_create(cq_sampled *s, const cq_table *conductivity, const cq_table *capacity) {
    s->k = cq_memory_zero(3 * CQ_SAMPLED_NODES, sizeof(double));
    if (s->k == NULL) {
        return CQ_ERR_MEMORY;
    }
    s->c = s->k + CQ_SAMPLED_NODES;
    s->H = s->c + CQ_SAMPLED_NODES;
    for (int n = 0; n < CQ_SAMPLED_NODES; n++) {
        const double T = CQ_SAMPLED_FIRST_K + n;
        s->k[n] = cq_table_eval(conductivity, T, NULL);
        s->c[n] = cq_table_eval(capacity, T, NULL);
        s->H[n] = n == 0 ? T * s->c[0] : s->H[n - 1] + 0.5 * (s->c[n - 1] + s->c[n]);
    }
    return CQ_OK;
}

void cq_sampled_free(cq_sampled *s) {
    cq_memory_free(s->k);
    s->k = s->c = s->H = NULL;
}

double cq_soaked_factor(double soaked, double thickness_m) {
    const double whole = 0.15e-3, none = 0.25e-3;
    const double share = fmin(1.0, fmax(0.0, (none - thickness_m) / (none - whole)));
    return 1.0 + (soaked - 1.0) * share;
}
