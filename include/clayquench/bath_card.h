/* bath_card.h - what one bath does: its boiling curve on steel and clay, two standard probes, its place among others,
 * and how fast a plate cools under clay of any thickness. Many small runs of the simulator; SI units and kelvin.
 */
#ifndef CLAYQUENCH_BATH_CARD_H
#define CLAYQUENCH_BATH_CARD_H

#include <clayquench/quench.h>

enum { CQ_CARD_CLAYS = 3, CQ_CARD_CURVES = 2 + CQ_CARD_CLAYS, CQ_CARD_CAUTIONS = 8 };

/* What to look at. Everything pointed to must outlive the card. */
typedef struct cq_bath_wish {
    const cq_bath *bath;
    double at_K, agitation_m_s;
    const cq_steel *probe_steel, *silver_steel; /* inert: alloy 600 and silver */
    size_t clays_n;                             /* up to CQ_CARD_CLAYS */
    const cq_clay *clays;
    double coat_m; /* thickness of the clays in the boiling curves */
    size_t others_n;
    const cq_bath *others; /* ranked beside it, each still and at its own temperature */
} cq_bath_wish;

/* Heat drawn from a surface in a steady state, against the temperature of the steel under its layer. Where a layer lets
 * two states stand, the hotter one, as a cooling blade meets it. */
typedef struct cq_card_curve {
    const char *name;   /* "clean steel", "scaled steel", a clay's name */
    double layer_m;     /* 0: none */
    double rewetting_K; /* end of the vapour film at the outer face; NaN where there is none */
    double film_end_K;  /* the same, of the steel under its layer */
    size_t n;
    double *steel_K, *face_K, *flux_W_m2; /* n each, rising steel_K; coefficient = flux/(steel - bath) */
} cq_card_curve;

/* A probe's thermocouple. Times from immersion; NaN for what was not reached. */
typedef struct cq_card_probe {
    size_t n;
    double *time_s, *temp_K, *rate_K_s; /* n each; NaN where a surface still jumps at the touch of the bath */
    double t600_s, t400_s, t200_s;
    double peak_rate_K_s, peak_at_K, rate_300_K_s;
} cq_card_probe;

/* Seconds a plate's centre takes from 750 to 500 degC under a clay, against its thickness (thickness 0: bare). */
typedef struct cq_card_clay {
    const char *name;
    double conductivity_W_mK; /* at 700 K */
    size_t n;
    double *coat_m, *seconds; /* n each, rising coat_m, the fastest among them */
    bool has_best;            /* a coat between none and the thickest is faster than both by more than a hundredth,
                               * which is the runs' precision; in a gas never told */
    double best_m, best_s, bare_s;
    double even_m; /* from here on slower than bare; NaN if there is no best */
} cq_card_clay;

typedef struct cq_card_rank {
    const char *name;
    double at_K;
    double t400_s;   /* of the standard probe */
    double film_s;   /* how long a vapour film stands on it; NaN: none */
    bool film;       /* at 705 degC its centre still cools as the film lets it */
    double washed_s; /* a plate under the wish's coat of clay, 750 to 500 degC; NaN without clay */
    bool self;
} cq_card_rank;

typedef struct cq_bath_card {
    const char *name, *summary;
    cq_bath_kind kind;
    double at_K, agitation_m_s;
    double plate_m;
    const char *wash; /* clay of the ranks' second figure; NULL: none */
    double wash_m;
    cq_card_curve curves[CQ_CARD_CURVES];
    size_t curves_n;
    cq_card_probe probe, silver;
    double grossmann_per_m; /* H = h/(2 k), h from the standard probe's rate at 705 degC, k 30 W/m/K */
    double film_s;          /* how long a vapour film stands on that probe; NaN: none */
    bool grossmann_film;    /* its centre still cooled as the film let it: H is the film's, not the wetted bath's */
    cq_card_clay clays[CQ_CARD_CLAYS];
    size_t clays_n;
    size_t ranks_n;
    cq_card_rank *ranks; /* by the standard probe, most severe first */
    size_t cautions_n;
    const char *cautions[CQ_CARD_CAUTIONS];
    struct cq_arena *arena; /* owns every array above */
} cq_bath_card;

/* Make a card: about a second of computing at the most. Standard probe: alloy 600, 12.5 x 60 mm, centre, from 850 degC
 * [iso9950; astm-d6200]; silver probe: 10 x 30 mm, surface, from 800 degC, without scale,
 * its first 0.08 s left out of the peak rate [jis-k2242]. Released with
 * cq_bath_card_free. */
cq_status cq_bath_card_create(cq_bath_card **card, const cq_bath_wish *wish, cq_error *error);
void cq_bath_card_free(cq_bath_card *card);

#endif
