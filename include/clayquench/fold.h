/* fold.h - a bar folded upon itself: layers, how thin they get, how far carbon evens out between them.
 *
 * Bars of several carbon contents are stacked to the bar's thickness and welded. Every fold doubles the layers; the bar
 * is drawn out to its old thickness after the weld. A fold's weld is a mirror, so one stack between two closed planes
 * stands for all of the bar; the bar's own skin is told apart. Only carbon moves (src/kinetics/carbon.h). SI and
 * kelvin.
 */
#ifndef CLAYQUENCH_FOLD_H
#define CLAYQUENCH_FOLD_H

#include <clayquench/status.h>
#include <stdbool.h>
#include <stddef.h>

enum { CQ_FOLD_LAYERS = 40, CQ_FOLD_FOLDS = 20, CQ_FOLD_HEATS = 64, CQ_FOLD_WELDS = 3 };

typedef struct cq_fold_heat {
    double temp_K, time_s;
} cq_fold_heat;

typedef struct cq_fold_wish {
    double bar_m;            /* thickness of the stack and of the bar after every drawing out, 0.1 mm to 200 mm */
    size_t layers;           /* of the stack, 1 to CQ_FOLD_LAYERS */
    size_t carbon_n;         /* 1 to layers; repeated through the stack */
    const double *carbon_wt; /* 0 to 2 */
    size_t folds;            /* 0 to CQ_FOLD_FOLDS */
    size_t heats_n;          /* 1 to CQ_FOLD_HEATS */
    const cq_fold_heat
        *heats; /* weld of the stack, weld of each fold; the last is repeated for the folds that have none;
                 * what is left over soaks the finished bar. 1000 K to the solidus of the richest layer */
} cq_fold_wish;

/* One heat. */
typedef struct cq_fold_row {
    size_t fold;    /* 0: the stack's weld; the number of folds so far */
    bool soak;      /* a heat after the last weld */
    double layers;  /* of the whole bar */
    double layer_m; /* thickness of one, drawn out; the weld itself finds layers twice as thick (fold 0, soaks: as
                       thick) */
    double
        even_s; /* time at this heat in which layers of layer_m come to a tenth of the stack's difference; NaN: none */
    cq_fold_heat heat;
    double least_wt, most_wt; /* carbon after it */
    bool austenite;           /* all of the bar was austenite; if not, it evens out less than told */
} cq_fold_row;

typedef struct cq_fold_card {
    double bar_m, least_wt, most_wt, mean_wt; /* of the stack */
    size_t layers, folds;
    size_t rows_n;
    cq_fold_row *rows;
    /* If the last heat found the bar's faces bare: depth at which 90 % of the carbon is there again. */
    double skin_m;
    /* Between thick bars of the richest and the leanest, welded at the first heat's temperature: width from nine tenths
     * of the step to one tenth after each of CQ_FOLD_WELD_S, s; NaN without difference. */
    double weld_m[CQ_FOLD_WELDS];
} cq_fold_card;
extern const double CQ_FOLD_WELD_S[CQ_FOLD_WELDS];

/* Make a card; released with cq_fold_card_free. CQ_ERR_PLAN with complaints: out of range, too hot, too cold. */
cq_status cq_fold_card_create(cq_fold_card **card, const cq_fold_wish *wish, cq_error *error);
void cq_fold_card_free(cq_fold_card *card);

#endif
