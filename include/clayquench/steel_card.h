/* steel_card.h - what a steel will do, before any blade is drawn: its temperatures, charts, critical rates and sizes.
 *
 * Everything follows from the transformation laws and from runs of the simulator itself, and everything is an estimate.
 * SI units and kelvin; NaN where a value does not apply.
 */
#ifndef CLAYQUENCH_STEEL_CARD_H
#define CLAYQUENCH_STEEL_CARD_H

#include <clayquench/quench.h>

enum {
    CQ_CARD_TEMPS = 160,    /* temperatures of the isothermal chart */
    CQ_CARD_RATES = 40,     /* cooling rates of the continuous chart */
    CQ_CARD_POINTS = 96,    /* points of a cooling curve */
    CQ_CARD_TEMPERS = 23,   /* 100 to 650 degC by 25 */
    CQ_CARD_DISTANCES = 21, /* places along the end-quench bar */
    CQ_CARD_BATHS = 4,
    CQ_CARD_LADDER = 7, /* 740 to 860 degC by 20 */
    CQ_CARD_STRUCTURES = 3,
    CQ_CARD_NOTICES = 8
};
#define CQ_CARD_SMALLEST_M 0.5e-3 /* sizes asked: from here */
#define CQ_CARD_LARGEST_M 100e-3  /* to here */
#define CQ_CARD_CLAY_M 2e-3       /* coat under which a body is asked to stay soft: a usual one */
#define CQ_CARD_PLATE_M 4e-3      /* plate whose cooling curves lie over the chart: a usual body */

typedef struct cq_card_soak {
    double temperature_K, hold_s;
    cq_stock stock;
} cq_card_soak;

typedef struct cq_card_bath {
    cq_bath bath;
    double at_K;
} cq_card_bath;

/* The line is judged in the first bath. clay NULL: what happens under clay is not asked. */
typedef struct cq_card_wish {
    cq_card_soak soak; /* usual: 1073.15 K, 300 s, normalised */
    size_t baths_n;    /* at most CQ_CARD_BATHS */
    const cq_card_bath *baths;
    const cq_clay *clay;
} cq_card_wish;

/* What a soak leaves, and what that means for hardening. NaN where there is no austenite to have it, and a martensite
 * temperature that would lie below absolute zero. */
typedef struct cq_card_state {
    double temperature_K;
    double austenite, carbon_solution_wt, carbide, grain_ASTM; /* shares 0..1, wt %, volume share, ASTM E112 */
    double Ms_K, retained_austenite;                           /* at 20 degC, of a full quench; share of the whole */
    double half_rate_K_s; /* constant cooling rate that leaves half of the whole steel soft */
} cq_card_state;

/* Seconds at constant temperature until 1, 50 and 99 % have formed: of the austenite for pearlite alone, bainite alone
 * and both together, of its own equilibrium share for pro-eutectoid ferrite or cementite. */
enum { CQ_PRODUCT_PEARLITE, CQ_PRODUCT_BAINITE, CQ_PRODUCT_BOTH, CQ_PRODUCT_FIRST, CQ_PRODUCTS };
enum { CQ_SHARE_START, CQ_SHARE_HALF, CQ_SHARE_END, CQ_SHARES };
typedef struct cq_isothermal {
    size_t n;
    double temp_K[CQ_CARD_TEMPS]; /* falling */
    double time_s[CQ_PRODUCTS][CQ_SHARES][CQ_CARD_TEMPS];
} cq_isothermal;

/* Constant cooling from the soak to 20 degC. start: 1 % of the austenite gone by diffusion; finish: 99 % of what goes
 * that way gone. NaN where less than 1 % goes. */
typedef struct cq_cooled {
    double rate_K_s, start_K, finish_K;
    cq_spot spot;
} cq_cooled;

/* Centre of a bare plate of CQ_CARD_PLATE_M in a bath, the last one under clay in the first; time from leaving the
 * fire. */
typedef struct cq_cooling {
    char name[64];
    size_t n;
    double time_s[CQ_CARD_POINTS], temp_K[CQ_CARD_POINTS];
} cq_cooling;

typedef struct cq_tempered {
    double temp_K, once_HV, twice_HV; /* one hour, and two times one hour */
} cq_tempered;

/* End-quench bar [asm-a255; iso642]. rate_K_s: at 700 degC. */
typedef struct cq_end_quench {
    double distance_m, HV, rate_K_s;
} cq_end_quench;

/* Largest size that hardens to half martensite at its centre. Beyond the sizes asked it is NaN. */
typedef enum cq_size_state { CQ_SIZE_FOUND, CQ_SIZE_NONE, CQ_SIZE_ANY } cq_size_state;
typedef struct cq_critical_size {
    cq_size_state state; /* NONE: not even the smallest asked; ANY: the largest too */
    double size_m;
    double low_m, high_m; /* two heats in three: the profile's spread of the times of transformation */
} cq_critical_size;

typedef struct cq_card_sizes {
    const char *bath; /* name */
    double at_K;
    cq_critical_size round, plate;
} cq_card_sizes;

/* What 10 K more of soak does to the critical thickness, as a share of it; low and high over the band in which the
 * effect of carbide and uneven carbon is known. off_by: what a thermometer wrong by 10 K either way does. NaN where the
 * soak leaves part of the steel untransformed: then more heat hardens more of it, which is no thickness. */
typedef struct cq_soak_effect {
    double per_10K, low, high, off_by_low, off_by_high;
    bool hardly; /* less than a fiftieth all over the band */
} cq_soak_effect;

typedef struct cq_ladder {
    cq_stock stock;
    cq_card_state step[CQ_CARD_LADDER];
    cq_soak_effect effect; /* at the card's own temperature */
} cq_ladder;

/* Will it show a line? NONE: even a thin edge stays soft; THROUGH: the body hardens under clay too. */
typedef enum cq_line_outlook { CQ_LINE_CLEAR, CQ_LINE_FAINT, CQ_LINE_THROUGH, CQ_LINE_SOFT } cq_line_outlook;

typedef struct cq_steel_card {
    const cq_steel *steel; /* the caller's */
    cq_card_soak soak;
    double Ae1_K, upper_K, Bs_K; /* equilibrium values; upper: Ae3, or Acm of a steel with more carbon than pearlite */
    bool upper_is_Acm;
    cq_card_state state;
    double M50_K, M90_K;
    double full_rate_K_s, half_rate_K_s, none_rate_K_s; /* 3, 50, 97 % of the whole steel ends soft */
    cq_spot as_quenched;
    cq_tempered temper[CQ_CARD_TEMPERS];
    cq_isothermal isothermal;
    cq_cooled continuous[CQ_CARD_RATES]; /* rates falling */
    size_t coolings_n;
    cq_cooling cooling[CQ_CARD_BATHS + 1];
    cq_end_quench end_quench[CQ_CARD_DISTANCES];
    size_t baths_n;
    cq_card_sizes sizes[CQ_CARD_BATHS];
    cq_critical_size body; /* plate under CQ_CARD_CLAY_M of clay in the first bath */
    bool has_body;
    size_t structures_n;
    cq_ladder ladder[CQ_CARD_STRUCTURES]; /* the wished structure first */
    cq_soak_effect effect;                /* of the wished structure */
    cq_line_outlook outlook;
    size_t notices_n;
    cq_notice notices[CQ_CARD_NOTICES];
} cq_steel_card;

/* Make the card of a transforming steel; steel and baths must outlive it. CQ_ERR_ARGUMENT with one complaint for an
 * inert steel; CQ_ERR_PLAN for a steel or soak outside what a plan may have; failures of a run are handed on.
 * CQ_NOTICED when there are notices. Release with cq_steel_card_free. */
cq_status cq_steel_card_create(cq_steel_card **card, const cq_steel *steel, const cq_card_wish *wish, cq_error *error);
void cq_steel_card_free(cq_steel_card *card);

#endif
