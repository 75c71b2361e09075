/* fold_card.c - a folded bar followed from heat to heat. See fold.h. */
#include "base/memory.h"
#include "base/units.h"
#include "kinetics/carbon.h"
#include "kinetics/laws.h"

#include <clayquench/fold.h>
#include <math.h>
#include <stdio.h>

enum { CELLS = 24 }; /* of a layer: time to even out within 0.03 % of four times as many */
static const double ZERO_C = 273.15, EVEN = 0.1;
static const double UNIT_M = 1e-4; /* layer in which times to even out are found; they go with its square */

const double CQ_FOLD_WELD_S[CQ_FOLD_WELDS] = {60.0, 300.0, 900.0};

static double carbon_of(const cq_fold_wish *w, size_t layer) {
    return w->carbon_wt[layer % w->carbon_n];
}

static void extremes(const cq_fold_wish *w, cq_fold_card *card) {
    card->least_wt = card->most_wt = w->carbon_wt[0];
    card->mean_wt = 0.0;
    for (size_t n = 0; n < w->layers; n++) {
        const double carbon = carbon_of(w, n);
        card->least_wt = fmin(card->least_wt, carbon);
        card->most_wt = fmax(card->most_wt, carbon);
        card->mean_wt += carbon / (double)w->layers;
    }
}

/* Temperature from which iron with this carbon is all austenite: the carbon term of [andrews1965] below 0.76 %, Acm
 * above it. */
static double austenite_from_K(double carbon_wt) {
    const cq_composition c = {.C = carbon_wt};
    return ZERO_C + (carbon_wt < 0.76 ? 912.0 - 203.0 * sqrt(carbon_wt) : cq_acm_of(&c));
}

/* ---- faults ------------------------------------------------------------------------------------------------------ */

static cq_status check_number(cq_error *error, const char *key, bool good, const char *expected, double found) {
    return good ? CQ_OK : cq_error_say(error, CQ_ERR_PLAN, key, expected, NULL, "%.6g", found);
}

static cq_status check_heat(const cq_fold_wish *w, size_t n, cq_error *error) {
    char key[32], expected[96], text[48];
    const cq_fold_heat *h = &w->heats[n];
    snprintf(key, sizeof key, "heats.%zu", n);
    if (!(h->time_s > 0.0 && h->time_s <= 3.6e6)) {
        return cq_error_say(error, CQ_ERR_PLAN, key, "a time above 0 s, at most 1000 h", NULL, "%.6g s", h->time_s);
    }
    if (!(h->temp_K >= CQ_CARBON_COLDEST_K)) {
        snprintf(expected, sizeof expected, "%s or more", cq_temperature_text(CQ_CARBON_COLDEST_K, text, sizeof text));
        return cq_error_say(error, CQ_ERR_PLAN, key, expected, "below, no austenite forms and carbon hardly moves",
                            "%.0f °C", h->temp_K - ZERO_C);
    }
    return CQ_OK;
}

static cq_status check(const cq_fold_wish *w, cq_error *error) {
    cq_status worst = CQ_OK, one;
    one = check_number(error, "thickness, mm", w->bar_m >= 0.0999e-3 && w->bar_m <= 0.2001, "0.1 mm to 200 mm",
                       1e3 * w->bar_m);
    worst = one < 0 ? one : worst;
    one = check_number(error, "layers", w->layers >= 1 && w->layers <= CQ_FOLD_LAYERS, "1 to 40 bars in the stack",
                       (double)w->layers);
    worst = one < 0 ? one : worst;
    one = check_number(error, "folds", w->folds <= CQ_FOLD_FOLDS, "0 to 20", (double)w->folds);
    worst = one < 0 ? one : worst;
    one = check_number(error, "carbon", w->carbon_n >= 1 && w->carbon_n <= w->layers,
                       "one content or more, and no more than there are layers", (double)w->carbon_n);
    worst = one < 0 ? one : worst;
    one = check_number(error, "heats", w->heats_n >= 1 && w->heats_n <= CQ_FOLD_HEATS, "1 to 64", (double)w->heats_n);
    worst = one < 0 ? one : worst;
    for (size_t n = 0; n < w->carbon_n; n++) {
        one = check_number(error, "carbon, %", w->carbon_wt[n] >= 0.0 && w->carbon_wt[n] <= CQ_CARBON_MOST_WT,
                           "0 % to 2 %: more is cast iron", w->carbon_wt[n]);
        worst = one < 0 ? one : worst;
    }
    for (size_t n = 0; n < w->heats_n && worst == CQ_OK; n++) {
        worst = check_heat(w, n, error);
    }
    return worst;
}

/* The richest layer must not melt. */
static cq_status check_solidus(const cq_fold_heat *h, size_t heat, double most_wt, cq_error *error) {
    char key[32], expected[128], found[48], text[48];
    const double melts_K = cq_carbon_solidus_K(most_wt);
    if (h->temp_K < melts_K) {
        return CQ_OK;
    }
    snprintf(key, sizeof key, "heats.%zu", heat);
    snprintf(expected, sizeof expected, "less than about %s, where steel of %.2f %% carbon begins to melt",
             cq_temperature_text(melts_K, text, sizeof text), most_wt);
    return cq_error_say(error, CQ_ERR_PLAN, key, expected,
                        "weld colder, or heat the richest layer less: it burns (estimate from the iron-carbon diagram, "
                        "good to 20 K; alloyed steel melts earlier)",
                        "%s", cq_temperature_text(h->temp_K, found, sizeof found));
}

/* ---- the bar ----------------------------------------------------------------------------------------------------- */

static cq_status fill_stack(cq_carbon_line *line, const cq_fold_wish *w, double layer_m) {
    const cq_status status = cq_carbon_line_create(line, w->layers * CELLS);
    for (size_t i = 0; status >= 0 && i < line->n; i++) {
        line->width_m[i] = layer_m / CELLS;
        line->carbon_wt[i] = carbon_of(w, i / CELLS);
    }
    return status;
}

/* Time in which the stack's difference falls to a tenth, times 1/UNIT_M^2 of its layers, s/m2; NaN without difference.
 */
static cq_status find_even(const cq_fold_wish *w, const cq_fold_card *card, double temp_K, double *per_m2) {
    cq_carbon_line line;
    double least = card->least_wt, most = card->most_wt, time_s = 0.0, before_s = 0.0, before = 1.0, share = 1.0;
    *per_m2 = NAN;
    if (most - least < 1e-9) {
        return CQ_OK;
    }
    cq_status status = fill_stack(&line, w, UNIT_M);
    if (status < 0) {
        return status;
    }
    double dt = 1e-3 * UNIT_M * UNIT_M / cq_carbon_diffusivity(temp_K, card->mean_wt);
    while (status >= 0 && share > EVEN) {
        before_s = time_s;
        before = share;
        status = cq_carbon_step(&line, temp_K, dt);
        time_s += dt;
        dt = fmax(dt, 0.02 * time_s);
        cq_carbon_range(&line, &least, &most);
        share = (most - least) / (card->most_wt - card->least_wt);
    }
    cq_carbon_line_free(&line);
    const double u = log(before / EVEN) / log(before / share); /* the difference falls exponentially there */
    *per_m2 = (before_s + u * (time_s - before_s)) / (UNIT_M * UNIT_M);
    return status;
}

/* Row n: heat n (or the last that was given) acts, before the drawing out that ends the fold. */
static cq_status run_row(const cq_fold_wish *w, cq_fold_card *card, size_t n, cq_carbon_line *line, cq_error *error) {
    cq_fold_row *row = &card->rows[n];
    const size_t given = n < w->heats_n ? n : w->heats_n - 1;
    double least, most;
    row->heat = w->heats[given];
    row->soak = n > w->folds;
    row->fold = row->soak ? w->folds : n;
    row->layers = ldexp((double)w->layers, (int)row->fold);
    row->layer_m = w->bar_m / row->layers;
    cq_carbon_range(line, &least, &most);
    row->austenite = row->heat.temp_K >= fmax(austenite_from_K(least), austenite_from_K(most));
    cq_status status = check_solidus(&row->heat, given, most, error);
    if (status < 0) {
        return status;
    }
    /* What was drawn out after the weld before; the stack's weld and the first fold's find the stack. */
    const double thinning = n >= 2 && n <= w->folds + 1 ? 0.5 : 1.0;
    if (most - least > 1e-9) { /* else nothing is left to move */
        status = cq_carbon_soak(line, &(cq_carbon_heat){row->heat.temp_K, row->heat.time_s, thinning});
    }
    cq_carbon_range(line, &row->least_wt, &row->most_wt);
    if (status >= 0 && (n == 0 || fabs(row->heat.temp_K - card->rows[n - 1].heat.temp_K) > 1e-9)) {
        status = find_even(w, card, row->heat.temp_K, &row->even_s);
        row->even_s *= row->layer_m * row->layer_m;
    } else if (status >= 0) {
        const double ratio = row->layer_m / card->rows[n - 1].layer_m;
        row->even_s = card->rows[n - 1].even_s * ratio * ratio;
    }
    return status;
}

static cq_status find_welds(const cq_fold_wish *w, cq_fold_card *card) {
    cq_status status = CQ_OK;
    for (int n = 0; n < CQ_FOLD_WELDS && status >= 0; n++) {
        const cq_carbon_heat heat = {w->heats[0].temp_K, CQ_FOLD_WELD_S[n], 1.0};
        card->weld_m[n] = NAN;
        if (card->most_wt - card->least_wt > 1e-9) {
            status =
                cq_carbon_weld_spread(&(cq_carbon_weld){card->most_wt, card->least_wt, 1, &heat}, &card->weld_m[n]);
        }
    }
    return status;
}

static cq_status run_bar(const cq_fold_wish *w, cq_fold_card *card, cq_error *error) {
    cq_carbon_line line;
    cq_status status = fill_stack(&line, w, w->bar_m / (double)w->layers);
    if (status < 0) {
        return status;
    }
    for (size_t n = 0; n < card->rows_n && status >= 0; n++) {
        status = run_row(w, card, n, &line, error);
    }
    cq_carbon_line_free(&line);
    if (status >= 0) {
        const cq_fold_heat *last = &card->rows[card->rows_n - 1].heat;
        const cq_carbon_skin skin = {card->mean_wt, 0.0, last->temp_K, last->time_s};
        card->skin_m = cq_carbon_skin_depth_m(&skin, 1.0 - EVEN);
    }
    return status;
}

cq_status cq_fold_card_create(cq_fold_card **card, const cq_fold_wish *wish, cq_error *error) {
    cq_status status = check(wish, error);
    if (status < 0) {
        return status;
    }
    const size_t welds = wish->folds + 1, rows_n = wish->heats_n > welds ? wish->heats_n : welds;
    cq_fold_card *made = cq_memory_zero(1, sizeof *made);
    cq_fold_row *rows = cq_memory_zero(rows_n, sizeof *rows);
    if (made == NULL || rows == NULL) {
        cq_memory_free(made);
        cq_memory_free(rows);
        return CQ_ERR_MEMORY;
    }
    *made = (cq_fold_card){
        .bar_m = wish->bar_m, .layers = wish->layers, .folds = wish->folds, .rows_n = rows_n, .rows = rows};
    extremes(wish, made);
    status = run_bar(wish, made, error);
    status = status < 0 ? status : find_welds(wish, made);
    if (status < 0) {
        cq_fold_card_free(made);
        return status;
    }
    *card = made;
    return CQ_OK;
}

void cq_fold_card_free(cq_fold_card *card) {
    if (card != NULL) {
        cq_memory_free(card->rows);
        cq_memory_free(card);
    }
}
