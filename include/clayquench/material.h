/* material.h - what a steel, a clay and a composition are.
 *
 * Plain descriptions in SI units and kelvin, as the plan and its profiles gave them; the floors above turn them into
 * properties per cell. Everything pointed to lives in the plan's arena and is immutable.
 */
#ifndef CLAYQUENCH_MATERIAL_H
#define CLAYQUENCH_MATERIAL_H

#include <clayquench/table.h>

/* Chemical elements the laws know, weight per cent. The order is used by arrays over elements. */
#define CQ_ELEMENT_LIST(X) X(C) X(Si) X(Mn) X(Cr) X(Ni) X(Mo) X(V) X(W) X(Cu) X(Al) X(P) X(S)

typedef struct cq_composition {
#define CQ_ELEMENT_FIELD(e) double e;
    CQ_ELEMENT_LIST(CQ_ELEMENT_FIELD)
#undef CQ_ELEMENT_FIELD
} cq_composition; /* weight per cent, 0 = none */

/* Phases, in the one order every array over phases uses. Fractions are volume fractions 0..1 and sum to 1. */
typedef enum cq_phase {
    CQ_AUSTENITE,  /* not (yet) transformed; at room temperature: retained austenite */
    CQ_FERRITE,    /* pro-eutectoid ferrite or cementite, and structure the soak left untransformed */
    CQ_PEARLITE,   /* pearlite, fine pearlite (troostite) included */
    CQ_BAINITE,    /* upper and lower bainite */
    CQ_MARTENSITE, /* auto-tempered martensite included */
    CQ_PHASES
} cq_phase;

/* What the steel was made of before the heat: how its carbide lies decides how fast a soak dissolves it. */
typedef enum cq_stock {
    CQ_STOCK_NORMALISED,
    CQ_STOCK_CYCLED,              /* three or more short normalising cycles: fine pearlite, fine grain */
    CQ_STOCK_SPHEROIDISED_FINE,   /* carbide below 0.5 um */
    CQ_STOCK_SPHEROIDISED_COARSE, /* as annealed at the mill, 1-2 um */
    CQ_STOCK_QUENCHED             /* hardened before: martensite, tempered on the way up to this heat at the latest */
} cq_stock;

typedef enum cq_steel_kind {
    CQ_STEEL_TRANSFORMING, /* follows the kinetics; thermal properties per phase come from the phase tables */
    CQ_STEEL_INERT         /* silver, alloy 600, stainless, test materials: only conductivity and heat capacity */
} cq_steel_kind;

/* A measured isothermal diagram: seconds until 1, 50 and 99 % of the austenite are pearlite or bainite, by falling
 * temperature, and what it was measured on. Where there is one it takes the place of the laws' times. */
enum { CQ_DIAGRAM_LEAST = 3, CQ_DIAGRAM_MOST = 40 }; /* rows */
typedef struct cq_diagram_row {
    double temp_K, start_s, half_s, end_s;
} cq_diagram_row;
typedef struct cq_diagram {
    size_t n; /* 0: none was measured */
    const cq_diagram_row *row;
    const char *source;
    cq_composition composition_wt; /* of the heat */
    double soak_K, hold_s;
    cq_stock stock;
    double grain_ASTM; /* 0: not stated, as the law of the soak has it */
} cq_diagram;

/* A steel. `time_factor`, `ms_shift_K`, `hardness_shift_HV` are the three knobs shop evidence can set (defaults 1, 0,
 * 0). `grain_ASTM` is the ASTM E112 number at the reference soak (normalised, 800 degC, 5 min). */
typedef struct cq_steel {
    const char *name;
    const char *summary;
    cq_steel_kind kind;
    cq_composition composition_wt;
    cq_composition scatter_wt; /* standard deviation of each from batch to batch, for the many-run commands */
    double grain_ASTM;
    double time_factor;
    double ms_shift_K;
    double hardness_shift_HV;
    double time_factor_ln_sigma;  /* standard deviation of ln(time factor), for the many-run commands */
    cq_table conductivity_W_mK;   /* inert only, against kelvin */
    cq_table heat_capacity_J_m3K; /* inert only, volumetric, against kelvin */
    double expansion_per_K;       /* inert only; 0 = not stated: no curve */
    cq_table yield_Pa;            /* inert only, against kelvin; n == 0: not stated */
    double emissivity;            /* of the bare (oxidised) face, 0..1 */
    cq_diagram diagram;
} cq_steel;

/* One temper. */
typedef struct cq_temper {
    double temperature_K, for_s;
} cq_temper;

/* A clay mix once dry. */
typedef struct cq_clay {
    const char *name;
    const char *summary;
    cq_table conductivity_W_mK;     /* against kelvin */
    cq_table heat_capacity_J_m3K;   /* volumetric, against kelvin */
    double solid_conductivity_W_mK; /* without pores; 0 = not stated */
    double emissivity;              /* 0..1 */
    double porosity;                /* 0..1; informative in this version */
    double drying_factor;           /* dry thickness / wet thickness, 0..1 */
} cq_clay;

#endif
