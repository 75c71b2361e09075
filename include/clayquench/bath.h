/* bath.h - what takes the heat: water and brine, oil, air, a measured table. Plain descriptions in SI units.
 */
#ifndef CLAYQUENCH_BATH_H
#define CLAYQUENCH_BATH_H

#include <clayquench/table.h>

typedef enum cq_bath_kind {
    CQ_BATH_BOILING, /* water family: film, transition by wetted fraction, peak, nucleate, convection */
    CQ_BATH_GAS,     /* convection and radiation */
    CQ_BATH_TABLE,   /* heat transfer coefficient against face temperature */
    CQ_BATH_OIL,     /* film, transition by wetted fraction, peak, nucleate, convection, each as a figure of the oil */
    CQ_BATH_KINDS
} cq_bath_kind;

/* A bath. Multipliers are 1 by default: each part of the boiling curve can be tuned separately. */
typedef struct cq_bath {
    const char *name;
    const char *summary;
    cq_bath_kind kind;
    double at_K;                        /* default temperature; a step's `at` replaces it */
    double at_min_K, at_max_K;          /* range in which the description holds */
    cq_table heat_transfer_W_m2K;       /* table: against face kelvin */
    cq_table error_W_m2K, resolution_K; /* of a measured table, as it was tuned; n == 0: not stated */
    /* boiling and oil */
    double film_factor, rewetting_factor, peak_factor, nucleate_factor, convection_factor;
    double rewetting_shift_K;     /* added to the bare-metal rewetting temperature (brine: large) */
    double transition_exponent;   /* m of F = 1 - u^m, 1 to 3, default 2 */
    double contact_time_s;        /* t_c of the layered effusivity, default 5 ms */
    double film_convection_W_m2K; /* liquid-side convection of the subcooled film, default 2000 */
    double convection_W_m2K;      /* single phase, default 1000 (tune by convection_factor) */
    double scale_m;               /* scale on bare steel, default 20 um */
    double scale_conductivity_W_mK;
    double scale_heat_capacity_J_m3K;
    double salt; /* brine: mass fraction of NaCl, 0 to 0.2; 0 is plain water exactly */
    /* oil, in a still bath of 40 degC; convection_W_m2K, transition_exponent, the factors, rewetting_shift_K and scale
     * above are its own too */
    double oil_film_W_m2K;             /* coefficient of the vapour blanket, radiation included */
    double oil_rewetting_K;            /* face temperature at which the blanket ends; above every heat: no blanket */
    double oil_peak_K, oil_peak_W_m2K; /* face temperature of the peak, coefficient there */
    double oil_boiling_K;              /* face temperature from which the oil boils */
    double oil_viscosity_40_m2_s, oil_viscosity_100_m2_s; /* kinematic, at 40 and 100 degC */
    double flash_K;                                       /* flash point of what burns; 0 = not stated */
    /* gas */
    double gas_convection_W_m2K; /* still air: 14; 0 = natural convection law */
    double volume_m3;            /* 0 = large: the bath does not warm */
    double heat_capacity_J_m3K;  /* by which a stated volume warms; 0 = water's or an oil's, of a table none */
} cq_bath;

#endif
