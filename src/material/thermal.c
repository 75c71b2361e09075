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
    /* Latent heat in J/m3 released at the temperature (degC) where each product usually forms. Pearlite: 82 kJ/kg at the
     * eutectoid [hagel1956] is 6.4e8; the set 6.3 / 6.2 / 5.9 / 6.3e8 is the one the kinetics' constants were fitted with. */
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

cq_status cq_enthalpy_create(cq_enthalpy *enthalpy, const cq_table *capacity) {
    enthalpy->capacity = capacity;
    enthalpy->at_node = cq_memory_zero(capacity->n, sizeof(double));
    if (enthalpy->at_node == NULL) {
        return CQ_ERR_MEMORY;
    }
    enthalpy->at_node[0] = capacity->x[0] * capacity->y[0];
    for (size_t i = 1; i < capacity->n; i++) { /* straight between nodes whatever the table's interpolation: midpoint too */
        const double a = capacity->x[i - 1], b = capacity->x[i];
        const double middle = cq_table_eval(capacity, 0.5 * (a + b), NULL);
        enthalpy->at_node[i] = enthalpy->at_node[i - 1] + (b - a) / 6.0 * (capacity->y[i - 1] + 4.0 * middle + capacity->y[i]);
    }
    return CQ_OK;
}

void cq_enthalpy_free(cq_enthalpy *enthalpy) {
    cq_memory_free(enthalpy->at_node);
    enthalpy->at_node = NULL;
}

double cq_enthalpy_eval(const cq_enthalpy *enthalpy, double T_K) {
    const cq_table *t = enthalpy->capacity;
    if (t->n == 1 || T_K <= t->x[0]) {
        return T_K * t->y[0];
    }
    size_t i = t->n - 1;
    while (i > 0 && t->x[i] > T_K) {
        i--;
    }
    const double run = T_K - t->x[i];
    const double middle = cq_table_eval(t, t->x[i] + 0.5 * run, NULL), end = cq_table_eval(t, T_K, NULL);
    return enthalpy->at_node[i] + run / 6.0 * (t->y[i] + 4.0 * middle + end);
}

double cq_kaolin_heat_capacity_J_kgK(double T_K) {
    return 1128.0 + 0.102 * T_K - 36e6 / (T_K * T_K); /* [michot2011] */
}

double cq_soaked_factor(double soaked, double thickness_m) {
    const double whole = 0.15e-3, none = 0.25e-3;
    const double share = fmin(1.0, fmax(0.0, (none - thickness_m) / (none - whole)));
    return 1.0 + (soaked - 1.0) * share;
}
