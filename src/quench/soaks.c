/* soaks.c - which cells share a law of transformation, and that law: what the soak left there and the clock that
 * follows from it. One for a section of one steel that is evenly hot; one per row of cells where the spine is cooler
 * than the edge; classes of nearly the same carbon and nearly the same heating in a section of several steels, with a
 * skin, or from a fire.
 */
#include "quench/built.h"
#include "quench/fire.h"
#include "quench/places.h"

#include "base/memory.h"
#include "base/units.h"

#include <math.h>
#include <stdio.h>

static const double CLASS_WT = 0.02, CLASS_K = 2.0; /* width of a class; a test halves them and sees no change */
static const double GRAIN_KNOWN_K = 1173.15;        /* to where the law of grain growth meets its guide */
static const double LEAST_WT = 1e-3;                /* carbon the laws are defined for */

double cq_run_soak_K(const cq_run *run, double height_m) {
    const cq_heat_plan *heat = &run->plan->heat;
    if (heat->start_K > 0.0) {
        return heat->start_K;
    }
    const double share = run->grid->one_dimensional ? 0.0 : height_m / run->section->height_m;
    return heat->temperature_K - heat->spine_below_K * (share < 0.0 ? 0.0 : (share > 1.0 ? 1.0 : share));
}

static double row_K(const cq_run *run, int row, bool even) {
    return run->fire != NULL ? cq_run_fire_last_K(run, row)
                             : cq_run_soak_K(run, even ? 0.0 : cq_run_height_of_row(run, row));
}

/* ---- which cells go together ---------------------------------------------------------------------------------------
 */

/* While classes are found. */
typedef struct sorting {
    cq_run *run;
    bool even;
    int groups_n, *group; /* of rows of one heating: per row; its middle row stands for it */
    int *group_row;       /* per group */
    int steels_n, *steel; /* of one zone and nearly one carbon: per cell */
    long *key;            /* per kind of steel */
    double *carbon_sum, *carbon_n;
    cq_soak *reference; /* per kind of steel */
    cq_steel *kind;
} sorting;

static void free_sorting(sorting *s) {
    void *parts[] = {s->group, s->group_row, s->steel, s->key, s->carbon_sum, s->reference, s->kind};
    for (size_t p = 0; p < sizeof parts / sizeof parts[0]; p++) {
        cq_memory_free(parts[p]);
    }
}

/* Rows that left the fire alike, having been hot alike long. */
static bool rows_are_alike(const sorting *s, int a, int b) {
    const cq_run *run = s->run;
    if (s->even) {
        return true;
    }
    if ((run->fire == NULL && run->built == NULL) || run->found.n > 0) {
        return false;
    }
    const double width_K = run->options.class_K > 0.0 ? run->options.class_K : CLASS_K;
    if (!(fabs(row_K(run, a, false) - row_K(run, b, false)) < width_K)) {
        return false;
    }
    const double turning_K = 1000.0; /* about Ac1 */
    const double since_a = run->fire == NULL ? 0.0 : cq_run_fire_since_s(run, a, turning_K),
                 since_b = run->fire == NULL ? 0.0 : cq_run_fire_since_s(run, b, turning_K);
    return fabs(since_a - since_b) <= 0.01 * (width_K / CLASS_K) * fmax(since_a, since_b);
}

static cq_status group_rows(sorting *s) {
    const int rows = s->run->steel_rows;
    s->group = cq_memory_zero((size_t)rows, sizeof(int));
    s->group_row = cq_memory_zero((size_t)rows, sizeof(int));
    if (s->group == NULL || s->group_row == NULL) {
        return CQ_ERR_MEMORY;
    }
    for (int first = 0; first < rows;) {
        int end = first + 1;
        while (end < rows && rows_are_alike(s, first, end)) {
            end++;
        }
        for (int row = first; row < end; row++) {
            s->group[row] = s->groups_n;
        }
        s->group_row[s->groups_n++] = s->even && s->run->fire == NULL ? 0 : (first + end - 1) / 2;
        first = end;
    }
    return CQ_OK;
}

static long key_of(const sorting *s, size_t cell) {
    const cq_run_built *b = s->run->built;
    const double width = s->run->options.class_wt > 0.0 ? s->run->options.class_wt : CLASS_WT;
    return b == NULL ? 0 : 100000L * b->zone[cell] + lround(b->carbon_wt[cell] / width);
}

/* Every kind of steel has the mean carbon of its cells. */
static cq_status sort_steels(sorting *s) {
    const cq_run *run = s->run;
    s->steel = cq_memory_zero(run->steel_n, sizeof(int));
    s->key = cq_memory_zero(run->steel_n, sizeof(long));
    s->carbon_sum = cq_memory_zero(2 * run->steel_n, sizeof(double));
    if (s->steel == NULL || s->key == NULL || s->carbon_sum == NULL) {
        return CQ_ERR_MEMORY;
    }
    s->carbon_n = s->carbon_sum + run->steel_n;
    for (size_t c = 0; c < run->steel_n; c++) {
        const long key = key_of(s, c);
        int n = c > 0 ? s->steel[c - 1] : 0; /* mostly the neighbour's */
        if (!(n < s->steels_n && s->key[n] == key)) {
            n = 0;
            while (n < s->steels_n && s->key[n] != key) {
                n++;
            }
        }
        s->steels_n = n == s->steels_n ? n + 1 : s->steels_n;
        s->key[n] = key;
        s->steel[c] = n;
        s->carbon_n[n] += 1.0;
        s->carbon_sum[n] += run->built == NULL ? 0.0 : run->built->carbon_wt[c];
    }
    s->reference = cq_memory_zero((size_t)s->steels_n, sizeof *s->reference);
    s->kind = cq_memory_zero((size_t)s->steels_n, sizeof *s->kind);
    if (s->reference == NULL || s->kind == NULL) {
        return CQ_ERR_MEMORY;
    }
    for (int n = 0; n < s->steels_n; n++) {
        s->kind[n] = *cq_steel_of_zone(run->plan, (int)(s->key[n] / 100000L));
        if (run->built != NULL) {
            s->kind[n].composition_wt.C = fmax(LEAST_WT, s->carbon_sum[n] / s->carbon_n[n]);
        }
        s->reference[n] = cq_soak_reference(&s->kind[n]);
    }
    return CQ_OK;
}

/* ---- the laws ------------------------------------------------------------------------------------------------------
 */

/* What the heat leaves of one stock. */
static cq_status soak_of_stock(const sorting *s, int steel, int row, cq_stock stock, cq_soak *soak) {
    const cq_run *run = s->run;
    if (run->fire != NULL) {
        return cq_run_fire_soak(run, row, &s->kind[steel], stock, &s->reference[steel], soak);
    }
    const cq_soak_wish wish = {row_K(run, row, s->even), run->plan->heat.hold_s, stock};
    *soak = cq_soak_against(&s->kind[steel], &wish, &s->reference[steel]);
    return CQ_OK;
}

/* What it leaves of what the heat before left at a row's height: hard, fine pearlite, or never turned. */
static cq_status soak_of_mixture(const sorting *s, int steel, int row, cq_soak *soak) {
    const cq_run_stock before = cq_run_stock_before(s->run, cq_run_height_of_row(s->run, row));
    const double turned = 1.0 - before.untouched;
    cq_soak hardened, soft, old;
    cq_status status = soak_of_stock(s, steel, row, CQ_STOCK_QUENCHED, &hardened);
    status = status < 0 ? status : soak_of_stock(s, steel, row, CQ_STOCK_CYCLED, &soft);
    if (status >= 0) {
        *soak = cq_soak_mixed(&hardened, &soft, turned > 0.0 ? fmin(1.0, before.hardened / turned) : 0.0);
    }
    if (status >= 0 && before.untouched > 0.0) {
        status = soak_of_stock(s, steel, row, s->run->found.stock, &old);
        *soak = status < 0 ? *soak : cq_soak_mixed(soak, &old, turned);
    }
    return status;
}

static cq_status find_soak(const sorting *s, int steel, int row, cq_soak *soak) {
    const cq_heat_plan *heat = &s->run->plan->heat;
    if (heat->start_K > 0.0) {
        *soak = cq_soak_start(&s->kind[steel], heat->start_K);
        return CQ_OK;
    }
    return s->run->found.n > 0 ? soak_of_mixture(s, steel, row, soak)
                               : soak_of_stock(s, steel, row, heat->follows ? CQ_STOCK_QUENCHED : heat->stock, soak);
}

static cq_status set_soak(const sorting *s, int steel, int group, cq_run_soak *to, cq_error *error) {
    const int row = s->group_row[group];
    to->steel = s->kind[steel];
    to->temperature_K = row_K(s->run, row, s->even);
    const cq_status status = find_soak(s, steel, row, &to->soak);
    return status < 0 ? status : cq_clock_create(&to->clock, &to->steel, &to->soak, error);
}

cq_status cq_run_soak_with(cq_run *run, size_t cell, double carbon_wt, cq_steel *steel, cq_soak *soak) {
    *steel = cq_run_soak_at(run, cell)->steel;
    steel->composition_wt.C = fmax(LEAST_WT, carbon_wt);
    cq_soak reference = cq_soak_reference(steel);
    const sorting s = {.run = run, .kind = steel, .reference = &reference};
    return find_soak(&s, 0, (int)(cell / (size_t)run->steel_across), soak);
}

/* Number the pairs of kind and group that occur, in the order of the cells. */
static cq_status number_classes(const sorting *s, int *pairs) {
    cq_run *run = s->run;
    for (size_t c = 0; c < run->steel_n; c++) {
        const int row = (int)(c / (size_t)run->steel_across);
        int *pair = &pairs[s->steel[c] * s->groups_n + s->group[row]];
        if (*pair == 0) {
            *pair = ++run->soaks_n;
        }
        run->soak_of[c] = *pair - 1;
        run->spans_n += c == 0 || run->soak_of[c] != run->soak_of[c - 1];
    }
    run->spans = cq_memory_zero(run->spans_n, sizeof *run->spans);
    run->soaks = cq_memory_zero((size_t)run->soaks_n, sizeof *run->soaks);
    if (run->spans == NULL || run->soaks == NULL) {
        return CQ_ERR_MEMORY;
    }
    size_t span = 0;
    for (size_t c = 0; c < run->steel_n; c++) {
        if (c > 0 && run->soak_of[c] != run->soak_of[c - 1]) {
            span++;
        }
        if (run->spans[span].last == 0) {
            run->spans[span] = (cq_run_span){c, c, run->soak_of[c]};
        }
        run->spans[span].last = c + 1;
    }
    return CQ_OK;
}

static cq_status make_classes(const sorting *s, cq_error *error) {
    cq_run *run = s->run;
    int *pairs = cq_memory_zero((size_t)s->steels_n * (size_t)s->groups_n, sizeof *pairs);
    run->soak_of = cq_memory_zero(run->steel_n, sizeof *run->soak_of);
    cq_status status = pairs == NULL || run->soak_of == NULL ? CQ_ERR_MEMORY : number_classes(s, pairs);
    for (int steel = 0; status >= 0 && steel < s->steels_n; steel++) {
        for (int group = 0; status >= 0 && group < s->groups_n; group++) {
            const int n = pairs[steel * s->groups_n + group];
            status = n == 0 ? CQ_OK : set_soak(s, steel, group, &run->soaks[n - 1], error);
        }
    }
    cq_memory_free(pairs);
    return status;
}

cq_status cq_run_soaks_create(cq_run *run, cq_error *error) {
    const cq_plan *plan = run->plan;
    if (!run->transforming) {
        return CQ_OK;
    }
    sorting s = {.run = run};
    s.even = run->fire == NULL && (plan->heat.start_K > 0.0 || run->grid->one_dimensional ||
                                   (!(plan->heat.spine_below_K > 0.0) && run->found.n == 0));
    cq_status status = group_rows(&s);
    status = status < 0 ? status : sort_steels(&s);
    status = status < 0 ? status : make_classes(&s, error);
    free_sorting(&s);
    return status == CQ_ERR_MEMORY ? cq_error_say(error, CQ_ERR_MEMORY, "heat", "", "", "soak") : status;
}

void cq_run_soaks_free(cq_run *run) {
    for (int n = 0; run->soaks != NULL && n < run->soaks_n; n++) {
        cq_clock_free(run->soaks[n].clock);
    }
    cq_memory_free(run->soaks);
    cq_memory_free(run->soak_of);
    cq_memory_free(run->spans);
    run->soaks = NULL;
    run->soak_of = NULL;
    run->spans = NULL;
    run->soaks_n = 0;
    run->spans_n = 0;
}

/* Row whose middle is nearest to a height. */
static size_t row_near(const cq_run *run, double height_m) {
    int row = 0;
    while (row + 1 < run->steel_rows && cq_run_height_of_row(run, row + 1) <= height_m) {
        row++;
    }
    return (size_t)row;
}

/* On the mid-plane of a row; of two cells that meet there the richer: blades that mirror one another read the same. */
static size_t middle_of(const cq_run *run, size_t row) {
    const size_t across = (size_t)run->steel_across, cell = row * across + (run->grid->symmetric ? 0 : across / 2);
    const double *carbon = run->built == NULL || run->grid->symmetric ? NULL : run->built->carbon_wt;
    return carbon != NULL && carbon[cell - 1] > carbon[cell] ? cell - 1 : cell;
}

size_t cq_run_edge_cell(const cq_run *run) {
    const cq_zones *z = &run->plan->zones;
    const size_t across = (size_t)run->steel_across, row = run->built == NULL ? 0 : row_near(run, CQ_INSET_M);
    if (z->n > 0 && z->build == CQ_BUILD_SKIN_ON_ONE_SIDE) {
        return row * across + (z->side == CQ_SIDE_LEFT ? 0 : across - 1);
    }
    return middle_of(run, row);
}

size_t cq_run_spine_cell(const cq_run *run) {
    const size_t last = (size_t)run->steel_rows - 1;
    return middle_of(run, run->built == NULL ? last : row_near(run, run->section->height_m - CQ_INSET_M));
}

/* ---- notices ----------------------------------------------------------------------------------------------------- */

static void notice_composition(cq_run *run, const cq_steel *steel) {
    const bool several = run->plan->zones.n > 0;
    cq_element_range e[CQ_ELEMENT_RANGES];
    cq_composition_ranges(&steel->composition_wt, e);
    for (int n = 0; n < CQ_ELEMENT_RANGES; n++) {
        if (!(e[n].value >= e[n].least && e[n].value <= e[n].most)) {
            cq_run_notice(run, "composition-range", 1,
                          "%.40s%s%.3g %% %s is outside what the laws were tested on, %g to %g %%",
                          !several              ? ""
                          : steel->name == NULL ? "own steel"
                                                : steel->name,
                          several ? ": " : "", e[n].value, e[n].name, e[n].least, e[n].most);
        }
    }
}

bool cq_diagram_misfit_words(const cq_steel *steel, char to[CQ_DIAGRAM_WORDS]) {
    if (steel->diagram.n == 0) {
        return false;
    }
    const double far = 2.0; /* what a chart on a logarithmic scale is read to, and more */
    const cq_diagram_fit f = cq_diagram_fit_of(steel);
    snprintf(to, CQ_DIAGRAM_WORDS,
             "measured halves hold; starts are %.2g to %.2g times and ends %.2g to %.2g times what the laws' "
             "exponents make of them",
             f.start_low, f.start_high, f.end_low, f.end_high);
    return f.start_low < 1.0 / far || f.start_high > far || f.end_low < 1.0 / far || f.end_high > far;
}

static void notice_temperature(cq_run *run, const cq_run_soak *at, const char *place) {
    const double above_Ac1_K = at->temperature_K - cq_clock_criticals(at->clock).Ae1_K;
    char Ac1[40];
    cq_temperature_text(cq_clock_criticals(at->clock).Ae1_K, Ac1, sizeof Ac1);
    if (!(at->soak.austenite > CQ_AUSTENITE_SEEN)) {
        cq_run_notice(run, "soak-too-cold", 1, "the %s does not turn to austenite and will not harden: Ac1 is %s",
                      place, Ac1);
    } else if (at->soak.austenite < CQ_AUSTENITE_WHOLE) {
        cq_run_notice(run, "soak-partial", 1,
                      "%.0f %% of the %s does not turn at this heat and stays soft: hard means half martensite or more "
                      "there, not all; soak hotter or longer",
                      100.0 * (1.0 - at->soak.austenite), place);
    } else if (above_Ac1_K < 25.0) {
        cq_run_notice(run, "soak-near-ac1", 1,
                      "the %s is soaked close to Ac1 (%s): what the eye or the pyrometer errs by decides", place, Ac1);
    }
}

void cq_run_soak_notices(cq_run *run) {
    const cq_heat_plan *heat = &run->plan->heat;
    if (!run->transforming) {
        return;
    }
    const cq_run_soak *edge = cq_run_soak_at(run, cq_run_edge_cell(run)),
                      *spine = cq_run_soak_at(run, cq_run_spine_cell(run));
    const bool apart = run->soaks_n > 1 && edge != spine;
    for (size_t z = 0; z < (run->plan->zones.n > 0 ? run->plan->zones.n : 1); z++) {
        notice_composition(run, cq_steel_of_zone(run->plan, (int)z));
    }
    char words[CQ_DIAGRAM_WORDS];
    if (cq_diagram_misfit_words(&run->plan->steel, words)) {
        cq_run_notice(run, "isothermal-shape", 1, "%s", words);
    }
    if (heat->start_K > 0.0) {
        cq_run_notice(run, "start-austenitic", 1,
                      "'start' takes the steel as fully austenitic with %.2f %% C in solution, ASTM grain 8",
                      edge->soak.carbon_solution_wt);
        return;
    }
    notice_temperature(run, edge, apart ? "edge" : "steel");
    if (apart) {
        notice_temperature(run, spine, "spine");
    }
    if (edge->soak.carbide > 1e-3 && edge->soak.austenite > CQ_AUSTENITE_SEEN) {
        cq_run_notice(run, "carbide-left", 1, "%.1f %% carbide stays undissolved: %.2f %% C in solution",
                      100.0 * edge->soak.carbide, edge->soak.carbon_solution_wt);
    }
    if (edge->soak.grain_ASTM < run->plan->steel.grain_ASTM - 1.5) {
        cq_run_notice(
            run, "grain-coarse", 1, "the grain grows to ASTM %.1f at this heat%s: brittle, and it hardens deeper",
            edge->soak.grain_ASTM,
            edge->temperature_K > GRAIN_KNOWN_K ? ", coarser still than told (the law is slow above 900 °C)" : "");
    }
    const bool spheroidised = heat->stock == CQ_STOCK_SPHEROIDISED_FINE || heat->stock == CQ_STOCK_SPHEROIDISED_COARSE;
    if (spheroidised && heat->hold_s < 600.0 && run->fire == NULL) {
        cq_run_notice(run, "soak-short", 1,
                      "spheroidised stock dissolves slowly: hold 10 minutes, or normalise it first");
    }
}
