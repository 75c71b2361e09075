/* bath.h - what takes the heat: air, water, a measured table. Plain descriptions in SI units.
 */
#ifndef CLAYQUENCH_BATH_H
#define CLAYQUENCH_BATH_H

#include <clayquench/table.h>

typedef enum cq_bath_kind {
    CQ_BATH_BOILING, /* water family: film, transition by wetted fraction, peak, nucleate, convection */
    CQ_BATH_GAS,     /* convection and radiation */
    CQ_BATH_TABLE,   /* heat transfer coefficient against face temperature */
    CQ_BATH_KINDS
} cq_bath_kind;

/* A bath. Multipliers are 1 by default: each part of the boiling curve can be tuned separately. */
typedef struct cq_bath {
    const char *name;
    const char *summary;
    cq_bath_kind kind;
    double at_K;          /* default temperature; a step's `at` replaces it */
    double at_min_K, at_max_K; /* range in which the description holds */
    cq_table heat_transfer_W_m2K; /* table: against face kelvin */
    /* boiling */
    double film_factor, rewetting_factor, peak_factor, nucleate_factor, convection_factor;
    double rewetting_shift_K;   /* added to the bare-metal rewetting temperature (brine: large) */
    double transition_exponent; /* m of F = 1 - u^m, 1 to 3, default 2 */
    double contact_time_s;      /* t_c of the layered effusivity, default 5 ms */
    double film_convection_W_m2K; /* liquid-side convection of the subcooled film, default 2000 */
    double convection_W_m2K;    /* single phase, default 1000 (tune by convection_factor) */
    double scale_m;             /* scale on bare steel, default 20 um */
    double scale_conductivity_W_mK;
    double scale_heat_capacity_J_m3K;
    /* gas */
    double gas_convection_W_m2K; /* still air: 14; 0 = natural convection law */
    double volume_m3;           /* 0 = large: the bath does not warm */
} cq_bath;

#endif
