/* kinetics.h - what austenite becomes along a temperature history.
 *
 * Order of calls: cq_soak_of (what the soak left in solution), cq_clock_create (rates of one composition and soak,
 * tabulated against temperature), then cq_kinetics_step for every time step. Kernels take arrays over cells; arrays of
 * a cq_structure have n entries each. Nothing here knows the section or the heat equation.
 */
#ifndef CQ_KINETICS_KINETICS_H
#define CQ_KINETICS_KINETICS_H

#include <clayquench/material.h>
#include <clayquench/status.h>
#include <stdbool.h>

/* What the laws were fitted or checked on, wt %; V and W do not act on times [clayquench-fit]. */
typedef struct cq_element_range {
    const char *name;
    double value, least, most; /* value: of the composition asked about */
} cq_element_range;
enum { CQ_ELEMENT_RANGES = 8 };
void cq_composition_ranges(const cq_composition *c, cq_element_range ranges[CQ_ELEMENT_RANGES]);

/* Less austenite than this share: nothing has turned that could be seen or measured. */
#define CQ_AUSTENITE_SEEN 1e-3
/* Less than this: part of the steel has not turned and stays soft. */
#define CQ_AUSTENITE_WHOLE 0.995

/* State of the steel after the soak. */
typedef struct cq_soak {
    double carbon_solution_wt; /* carbon in austenite */
    double carbide;            /* undissolved carbide, volume fraction of what turned */
    double grain_ASTM;
    double austenite; /* share of austenite, 0..1; the rest is CQ_FERRITE and takes no part */
    double nuclei;    /* what carbide and uneven carbon take off ln of pearlite's and ferrite's times, above the
                       * reference soak; negative: slower than there */
} cq_soak;

/* A soak: how hot, how long, from what stock. */
typedef struct cq_soak_wish {
    double temperature_K, hold_s;
    cq_stock stock;
} cq_soak_wish;

/* What the soak of `steel` leaves, relative to the reference soak (normalised stock, 800 degC, 5 min), where grain and
 * nuclei are the profile's. Rises at 1 K/s from Ae1. Sources and equations: soak.c. */
cq_soak cq_soak_of(const cq_steel *steel, const cq_soak_wish *wish);

/* The same in two parts, for many soaks of one steel. */
cq_soak cq_soak_reference(const cq_steel *steel);
cq_soak cq_soak_against(const cq_steel *steel, const cq_soak_wish *wish, const cq_soak *reference);

/* What stock of two structures leaves: share_of_a of it as `a`, the rest as `b`. */
cq_soak cq_soak_mixed(const cq_soak *a, const cq_soak *b, double share_of_a);

/* A heating as it went: n temperatures at rising times, straight between them. */
typedef struct cq_heating {
    size_t n;
    const double *time_s, *temp_K;
} cq_heating;

/* What such a heating leaves, counted against the reference soak as above. The same laws: a rise of 1 K/s and a hold
 * give what cq_soak_against gives. */
cq_soak cq_soak_along(const cq_steel *steel, const cq_heating *heating, cq_stock stock, const cq_soak *reference);

/* The state of `start:` plans: fully austenitic at temperature_K, carbon limited by Acm there, grain ASTM 8. */
cq_soak cq_soak_start(const cq_steel *steel, double temperature_K);

/* Share of the stock that has turned to austenite-forming structure and its carbon, without grain: for checks. */
typedef struct cq_soak_progress {
    double turned_s;    /* time at heat until 99 % has turned, s; negative: on the way up; INFINITY if it has not */
    double dissolved_s; /* until the carbon in solution is within 0.01 % of equilibrium */
} cq_soak_progress;
cq_soak_progress cq_soak_times(const cq_steel *steel, const cq_soak_wish *wish, double ramp_K_s);

/* CQ_ERR_ARGUMENT if the steel has a diagram that is not valid. */
typedef struct cq_clock cq_clock; /* immutable after create */
cq_status cq_clock_create(cq_clock **clock, const cq_steel *steel, const cq_soak *soak, cq_error *error);
void cq_clock_free(cq_clock *clock);

/* Characteristic temperatures, kelvin. */
typedef struct cq_criticals {
    double Ae1_K, Ae3_K, Acm_K, Bs_K, Ms_K, alpha_per_K;
} cq_criticals;
cq_criticals cq_clock_criticals(const cq_clock *clock);

/* Isothermal times to 50 % (s) at T: pearlite, bainite, ferrite; INFINITY where the product does not form. */
typedef struct cq_half_times {
    double pearlite_s, bainite_s, ferrite_s;
} cq_half_times;
cq_half_times cq_clock_half_times(const cq_clock *clock, double T_K);

/* Exponents of time: share = 1 - exp(-ln2 (t/half)^n) at constant temperature. */
#define CQ_PEARLITE_N 4.0
#define CQ_BAINITE_N 1.8
#define CQ_FERRITE_N 2.0
/* Seconds at constant temperature until `share` is pearlite or bainite, both forming at once; NaN if neither does. */
double cq_both_s(double pearlite_half_s, double bainite_half_s, double share);

/* Rows a steel's diagram may have: few enough, finite, times positive and in order, temperatures falling. */
bool cq_diagram_is_valid(const cq_diagram *diagram);
/* Measured starts and ends as multiples of what the exponents make of the measured halves: least and most of the rows.
 */
typedef struct cq_diagram_fit {
    double start_low, start_high, end_low, end_high;
} cq_diagram_fit;
cq_diagram_fit cq_diagram_fit_of(const cq_steel *steel);

/* State of n cells. fraction[CQ_PHASES] sum to 1. ZP, ZB, ZF: isokinetic JMAK clocks (dimensionless). cool_K: lowest
 * temperature so far. hard_HV: sum of dX * HV(formation temperature) of pearlite and bainite so far. */
typedef struct cq_structure {
    size_t n;
    double *fraction[CQ_PHASES];
    double *ZP, *ZB, *ZF, *YB, *cool_K, *hard_HV; /* YB = ln2 ZB^1.8, kept to save a power */
} cq_structure;
cq_status cq_structure_create(cq_structure *structure, size_t n);
void cq_structure_free(cq_structure *structure);
/* Cells [first, last) as the soak left them at T_K. */
void cq_structure_begin(cq_structure *structure, size_t first, size_t last, const cq_soak *soak, double T_K);

/* Diffusional products over a step of dt_s at mid-step temperatures T_mid_K[n]: reads `from`, writes `to` (all arrays;
 * cells [first, last)). Martensite and cool_K are copied. */
void cq_kinetics_step(const cq_clock *clock, const cq_structure *from, cq_structure *to, size_t first, size_t last,
                      const double *T_mid_K, double dt_s);

/* Martensite at end temperatures T_K[n], given the diffusional fractions in `to` and `from`'s cool_K: writes
 * to->fraction[MARTENSITE], [AUSTENITE], to->cool_K; slope_per_K[n] gets -dM/dT (>= 0; 0 above Ms or while reheating).
 */
void cq_martensite_step(const cq_clock *clock, const cq_structure *from, cq_structure *to, size_t first, size_t last,
                        const double *T_K, double *slope_per_K);

/* Constant cooling rate (K/s) from T_start_K at which pearlite + bainite + ferrite reach `fraction` (0.03: critical
 * rate of full hardening) of the whole steel, what the soak left untransformed counted in. NaN if no rate in 1e-3..1e5
 * K/s does, or if the soak left as much. */
double cq_clock_critical_rate(const cq_clock *clock, const cq_soak *soak, double T_start_K, double fraction);

#endif
