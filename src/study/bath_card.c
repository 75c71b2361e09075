/* bath_card.c - see bath_card.h: boiling curves from the law, probes and plates by runs, baths in order. */
#include <clayquench/bath_card.h>

#include "base/memory.h"
#include "boundary/flux.h"
#include "material/thermal.h"
#include "study/piece.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static const double ZERO_C = 273.15;
static const double COAT_K = 700.0;               /* where a coat's properties are taken, as the runs do */
static const double GROSSMANN_K = 705.0 + 273.15; /* where H is read [grossmann-h] */
/* Across the nose of carbon steels; chosen here, as the plate is: a kitchen knife's body. */
static const double PLATE_M = 3e-3, PLATE_START_K = 1073.15, PLATE_FROM_K = 1023.15, PLATE_TO_K = 773.15;

/* A probe does not warm the bath, whatever volume its description states. */
static cq_step_plan step_in(const cq_bath *bath, double at_K, double agitation_m_s) {
    cq_step_plan step = {.bath = *bath, .at_K = at_K, .agitation_m_s = agitation_m_s};
    step.bath.volume_m3 = 0.0;
    return step;
}

static cq_step_plan step_of(const cq_bath_wish *wish) {
    return step_in(wish->bath, wish->at_K, wish->agitation_m_s);
}

/* ---- boiling curves ---------------------------------------------------------------------------------------------- */

/* Heat that a surface hands on through its layer, q R, beside what the bath draws. */
typedef struct through {
    const cq_flux_law *law;
    cq_flux_face face;
    double resistance_m2K_W;
} through;

static double too_hot(const through *t, double steel_K, double face_K, double *flux) {
    double slope;
    *flux = cq_flux_eval(t->law, &t->face, face_K, &slope);
    return *flux * t->resistance_m2K_W - (steel_K - face_K);
}

/* The hottest face at which the bath draws what the layer lets through. */
static double face_of(const through *t, double steel_K, double *flux) {
    const double coldest = cq_flux_law_bath_K(t->law), step_K = 2.0;
    double high = steel_K, low = steel_K;
    while (low > coldest && too_hot(t, steel_K, low, flux) > 0.0) {
        high = low;
        low = fmax(low - step_K, coldest);
    }
    for (int n = 0; n < 50; n++) {
        const double middle = 0.5 * (low + high);
        *(too_hot(t, steel_K, middle, flux) > 0.0 ? &high : &low) = middle;
    }
    too_hot(t, steel_K, low, flux);
    return low;
}

static cq_status fill_curve(cq_bath_card *card, cq_card_curve *curve, const cq_bath *bath, const cq_surface *surface,
                            double resistance_m2K_W, cq_error *error) {
    enum { STEP_K = 5, HOTTEST_C = 900 };
    const double section_m = 0.03; /* height of a blade; chosen here */
    cq_flux_law *law;
    const cq_status status = cq_flux_law_create(&law, bath, card->at_K, card->agitation_m_s, section_m, error);
    if (status < 0) {
        return status;
    }
    const int first = STEP_K * ((int)floor((card->at_K - ZERO_C) / STEP_K) + 1);
    const size_t n = (size_t)((HOTTEST_C - first) / STEP_K + 1);
    curve->steel_K = cq_arena_take(card->arena, 3 * n, sizeof(double));
    if (curve->steel_K != NULL) {
        curve->n = n;
        curve->face_K = curve->steel_K + n;
        curve->flux_W_m2 = curve->face_K + n;
        const through t = {law, cq_flux_face_of(law, surface), resistance_m2K_W};
        const bool film = cq_flux_wetted(law, &t.face, HOTTEST_C + ZERO_C) < 1e-9;
        double slope;
        curve->rewetting_K = film ? t.face.rewetting_K : NAN;
        curve->film_end_K =
            film ? curve->rewetting_K + resistance_m2K_W * cq_flux_eval(law, &t.face, curve->rewetting_K, &slope) : NAN;
        for (size_t i = 0; i < n; i++) {
            curve->steel_K[i] = first + STEP_K * (double)i + ZERO_C;
            curve->face_K[i] = face_of(&t, curve->steel_K[i], &curve->flux_W_m2[i]);
        }
    }
    cq_flux_law_free(law);
    return curve->n == 0 ? CQ_ERR_MEMORY : CQ_OK;
}

static cq_status make_curves(cq_bath_card *card, const cq_bath_wish *wish, cq_error *error) {
    const cq_phase_thermal steel = cq_thermal_of(CQ_AUSTENITE);
    const double T =
        1000.0; /* K, where wetting is decided, as in the runs; emissivity of oxidised steel as by default */
    cq_surface s = {.steel_conductivity_W_mK = steel.k0 + steel.k1 * T,
                    .steel_heat_capacity_J_m3K = steel.c0 + steel.c1 * T,
                    .steel_emissivity = 0.8};
    cq_bath clean = *wish->bath;
    clean.scale_m = 0.0;
    const double scale_m = wish->bath->scale_m,
                 scale = scale_m > 0.0 ? scale_m / wish->bath->scale_conductivity_W_mK : 0.0;
    cq_card_curve *curve = card->curves;
    *curve = (cq_card_curve){.name = "clean steel"};
    cq_status status = fill_curve(card, curve++, &clean, &s, 0.0, error);
    if (status >= 0 && scale > 0.0) {
        *curve = (cq_card_curve){.name = "scaled steel", .layer_m = scale_m};
        status = fill_curve(card, curve++, wish->bath, &s, scale, error);
    }
    for (size_t c = 0; c < wish->clays_n && status >= 0; c++) {
        const cq_clay *clay = &wish->clays[c];
        s.coat_m = wish->coat_m;
        s.coat_conductivity_W_mK = cq_table_eval(&clay->conductivity_W_mK, COAT_K, NULL);
        s.coat_heat_capacity_J_m3K = cq_table_eval(&clay->heat_capacity_J_m3K, COAT_K, NULL);
        s.coat_emissivity = clay->emissivity;
        const double below = wish->coat_m >= CQ_THIN_COAT ? 0.0 : scale; /* as the runs do */
        *curve = (cq_card_curve){.name = clay->name, .layer_m = wish->coat_m};
        status = fill_curve(card, curve++, wish->bath, &s, wish->coat_m / s.coat_conductivity_W_mK + below, error);
    }
    card->curves_n = (size_t)(curve - card->curves);
    return status;
}

/* ---- probes ------------------------------------------------------------------------------------------------------ */

/* [iso9950; astm-d6200], [jis-k2242]. */
static const double PROBE_HEIGHT_M = 0.06;
static const cq_piece ALLOY_PROBE = {
    .family = CQ_FAMILY_ROUND, .size_m = 12.5e-3, .start_K = 1123.15, .until_K = 423.15};
static const cq_piece SILVER_PROBE = {
    .family = CQ_FAMILY_ROUND, .size_m = 10e-3, .at_surface = true, .start_K = 1073.15, .until_K = 423.15};

/* Rate at sample i: the slope of the parabola through it and its neighbours. */
static double rate_at(const cq_trace *t, size_t i) {
    const size_t a = i > 0 ? i - 1 : 0, b = i + 1 < t->n ? i + 1 : i;
    const double before = t->time_s[i] - t->time_s[a], after = t->time_s[b] - t->time_s[i];
    const double fell = t->temp_K[a] - t->temp_K[i], falls = t->temp_K[i] - t->temp_K[b];
    if (!(before > 0.0 && after > 0.0)) {
        return before > 0.0 ? fell / before : after > 0.0 ? falls / after : 0.0;
    }
    return (fell / before * after + falls / after * before) / (before + after);
}

/* Rate when the history falls through temp_K, straight between samples. */
static double rate_through(const cq_card_probe *p, double temp_K) {
    for (size_t i = 0; i + 1 < p->n; i++) {
        if (p->temp_K[i] > temp_K && p->temp_K[i + 1] <= temp_K) {
            const double u = (p->temp_K[i] - temp_K) / (p->temp_K[i] - p->temp_K[i + 1]);
            return p->rate_K_s[i] + u * (p->rate_K_s[i + 1] - p->rate_K_s[i]);
        }
    }
    return NAN;
}

/* A surface jumps at the touch of the bath; what follows after `settled_s` is the body's rate. */
static cq_status keep_probe(cq_bath_card *card, cq_card_probe *p, const cq_trace *t, double settled_s) {
    p->time_s = cq_arena_take(card->arena, 3 * t->n, sizeof(double));
    if (p->time_s == NULL) {
        return CQ_ERR_MEMORY;
    }
    p->n = t->n;
    p->temp_K = p->time_s + t->n;
    p->rate_K_s = p->temp_K + t->n;
    for (size_t i = 0; i < t->n; i++) {
        p->time_s[i] = t->time_s[i];
        p->temp_K[i] = t->temp_K[i];
        p->rate_K_s[i] = p->time_s[i] >= settled_s ? rate_at(t, i) : NAN;
        if (p->rate_K_s[i] > p->peak_rate_K_s) {
            p->peak_rate_K_s = p->rate_K_s[i];
            p->peak_at_K = p->temp_K[i];
        }
    }
    p->t600_s = cq_trace_falls_s(t, 600.0 + ZERO_C);
    p->t400_s = cq_trace_falls_s(t, 400.0 + ZERO_C);
    p->t200_s = cq_trace_falls_s(t, 200.0 + ZERO_C);
    p->rate_300_K_s = rate_through(p, 300.0 + ZERO_C);
    return CQ_OK;
}

/* How long a vapour film stands on the probe, and whether its centre at 705 degC still cools as the film lets it: after
 * a sudden change of flux a round's centre is half way to its new rate at 0.1 R^2/a [carslaw1959]. The steel's surface
 * is a little hotter than the face of its scale. */
typedef struct film {
    double until_s; /* half of the face is wet; NaN: no film */
    bool at_705;
} film;

static cq_status film_of(film *f, const cq_run *run, const cq_steel *steel, const cq_step_plan *step, cq_error *error) {
    const cq_trace *surface = &cq_run_result(run)->traces[CQ_TRACE_EDGE];
    const double k = cq_table_eval(&steel->conductivity_W_mK, GROSSMANN_K, NULL),
                 c = cq_table_eval(&steel->heat_capacity_J_m3K, GROSSMANN_K, NULL), R = 0.5 * ALLOY_PROBE.size_m;
    const cq_surface s = {
        .steel_conductivity_W_mK = k, .steel_heat_capacity_J_m3K = c, .steel_emissivity = steel->emissivity};
    cq_flux_law *law;
    const cq_status status =
        cq_flux_law_create(&law, &step->bath, step->at_K, step->agitation_m_s, PROBE_HEIGHT_M, error);
    if (status < 0) {
        return status;
    }
    const cq_flux_face face = cq_flux_face_of(law, &s);
    const double at_once_s = 0.05; /* as the runs tell a film; chosen there */
    *f = (film){NAN, false};
    for (size_t i = 0; i < surface->n && cq_flux_wetted(law, &face, surface->temp_K[i]) < 0.5; i++) {
        f->until_s = surface->time_s[i] > at_once_s ? surface->time_s[i] : NAN;
    }
    cq_flux_law_free(law);
    const double centre_s = cq_trace_falls_s(&cq_run_result(run)->traces[CQ_TRACE_BODY], GROSSMANN_K);
    f->at_705 = f->until_s + 0.1 * R * R * c / k > centre_s;
    return CQ_OK;
}

static cq_status make_probe(cq_bath_card *card, cq_card_probe *probe, const cq_piece *piece, cq_step_plan step,
                            cq_error *error) {
    cq_plan plan;
    cq_run *run = NULL;
    const cq_trace *trace;
    cq_status status = cq_piece_quench(&run, &trace, &plan, piece, &step, error);
    if (status < 0) {
        return status;
    }
    const double radius_m = 0.5 * piece->size_m,
                 silver_m2_s = 1.6e-4; /* diffusivity, hot, [incropera2007] from memory */
    status = keep_probe(card, probe, trace, piece->at_surface ? 0.5 * radius_m * radius_m / silver_m2_s : 0.0);
    const cq_result *r = cq_run_result(run);
    for (size_t c = 0; c < r->cautions_n && card->cautions_n < CQ_CARD_CAUTIONS && !piece->at_surface; c++) {
        card->cautions[card->cautions_n++] = r->cautions[c];
    }
    if (status >= 0 && !piece->at_surface) {
        film f;
        status = film_of(&f, run, piece->steel, &step, error);
        card->film_s = status < 0 ? NAN : f.until_s;
        card->grossmann_film = status >= 0 && f.at_705;
    }
    cq_run_free(run);
    return status;
}

/* H = h/(2 k), h from the centre's rate as if the probe were one temperature: rho c (R/2) dT/dt = h (T - Tb); k of hot
 * steel. Source: [grossmann-h]. */
static double grossmann_of(const cq_bath_card *card, const cq_steel *alloy) {
    const double at_K = GROSSMANN_K, k = 30.0; /* W/m/K, hot steel, [grossmann-h] */
    const double flux = cq_table_eval(&alloy->heat_capacity_J_m3K, at_K, NULL) * 0.25 * ALLOY_PROBE.size_m *
                        rate_through(&card->probe, at_K);
    return flux / (at_K - card->at_K) / (2.0 * k);
}

static cq_status make_probes(cq_bath_card *card, const cq_bath_wish *wish, cq_error *error) {
    cq_piece alloy = ALLOY_PROBE, silver = SILVER_PROBE;
    cq_step_plan step = step_of(wish);
    alloy.steel = wish->probe_steel;
    silver.steel = wish->silver_steel;
    cq_status status = make_probe(card, &card->probe, &alloy, step, error);
    step.bath.scale_m = 0.0; /* silver does not scale */
    status = status < 0 ? status : make_probe(card, &card->silver, &silver, step, error);
    if (status >= 0) {
        card->grossmann_per_m = grossmann_of(card, wish->probe_steel);
    }
    return status;
}

/* ---- thickness of clay ------------------------------------------------------------------------------------------- */

/* A plate that stays austenite: what a blade is until it transforms. */
typedef struct plate {
    cq_step_plan step;
    const cq_clay *clay;
    cq_steel steel;
    double x[2], k[2], c[2];
    cq_status status;
    cq_error *error;
} plate;

static void init_plate(plate *p, const cq_step_plan *step, cq_error *error) {
    const cq_phase_thermal a = cq_thermal_of(CQ_AUSTENITE);
    *p = (plate){.step = *step, .x = {250.0, 1300.0}, .status = CQ_OK, .error = error};
    for (int n = 0; n < 2; n++) {
        p->k[n] = a.k0 + a.k1 * p->x[n];
        p->c[n] = a.c0 + a.c1 * p->x[n];
    }
    p->steel = (cq_steel){.name = "austenite", .kind = CQ_STEEL_INERT, .emissivity = 0.8};
    p->steel.conductivity_W_mK = (cq_table){2, p->x, p->k, CQ_INTERPOLATE_LINEAR};
    p->steel.heat_capacity_J_m3K = (cq_table){2, p->x, p->c, CQ_INTERPOLATE_LINEAR};
}

/* Seconds from 750 to 500 degC under coat_m; NaN, and p->status, when a run fails. */
static double seconds_under(plate *p, double coat_m) {
    const cq_piece piece = {.family = CQ_FAMILY_PLATE,
                            .size_m = PLATE_M,
                            .steel = &p->steel,
                            .clay = p->clay,
                            .coat_m = coat_m,
                            .start_K = PLATE_START_K,
                            .until_K = PLATE_TO_K - 5.0};
    cq_step_plan step = p->step;
    cq_plan plan;
    cq_run *run = NULL;
    const cq_trace *trace;
    const cq_status status = cq_piece_quench(&run, &trace, &plan, &piece, &step, p->error);
    if (status < 0) {
        p->status = status;
        return NAN;
    }
    const double seconds = cq_trace_falls_s(trace, PLATE_TO_K) - cq_trace_falls_s(trace, PLATE_FROM_K);
    cq_run_free(run);
    return seconds;
}

/* The fastest thickness between the neighbours of entry i: golden section. */
static double fastest_between(plate *p, double low, double high, double *seconds) {
    const double golden = 0.5 * (sqrt(5.0) - 1.0);
    double a = high - golden * (high - low), b = low + golden * (high - low);
    double ta = seconds_under(p, a), tb = seconds_under(p, b);
    for (int n = 0; n < 6; n++) {
        if (ta < tb) {
            high = b;
            b = a;
            tb = ta;
            a = high - golden * (high - low);
            ta = seconds_under(p, a);
        } else {
            low = a;
            a = b;
            ta = tb;
            b = low + golden * (high - low);
            tb = seconds_under(p, b);
        }
    }
    *seconds = fmin(ta, tb);
    return ta < tb ? a : b;
}

/* From where on, beyond its best, a coat is slower than bare steel. */
static double even_of(const cq_card_clay *c, size_t best) {
    for (size_t i = best; i + 1 < c->n; i++) {
        if (c->seconds[i] < c->bare_s && c->seconds[i + 1] >= c->bare_s) {
            const double u = (c->bare_s - c->seconds[i]) / (c->seconds[i + 1] - c->seconds[i]);
            return c->coat_m[i] + u * (c->coat_m[i + 1] - c->coat_m[i]);
        }
    }
    return NAN;
}

static cq_status make_clay(cq_bath_card *card, cq_card_clay *c, plate *p) {
    static const double mm[] = {0,    0.002, 0.003, 0.004, 0.005, 0.007, 0.01, 0.015, 0.02, 0.025,
                                0.03, 0.04,  0.05,  0.065, 0.08,  0.1,   0.13, 0.16,  0.2,  0.25,
                                0.3,  0.4,   0.5,   0.6,   0.7,   0.8,   1.0,  1.4,   2.0};
    enum { N = sizeof mm / sizeof mm[0] };
    const double gain = 0.01; /* runs differ by as much; chosen here. In a gas a coat gains by its emissivity alone,
                               * which is no optimum of the clay */
    *c = (cq_card_clay){.name = p->clay->name, .even_m = NAN, .best_m = NAN, .best_s = NAN};
    c->conductivity_W_mK = cq_table_eval(&p->clay->conductivity_W_mK, COAT_K, NULL);
    c->coat_m = cq_arena_take(card->arena, 2 * (N + 1), sizeof(double));
    if (c->coat_m == NULL) {
        return CQ_ERR_MEMORY;
    }
    c->seconds = c->coat_m + N + 1;
    size_t best = 0;
    for (size_t i = 0; i < N && p->status >= 0; i++) {
        c->coat_m[i] = 1e-3 * mm[i];
        c->seconds[i] = seconds_under(p, c->coat_m[i]);
        best = c->seconds[i] < c->seconds[best] ? i : best;
    }
    c->n = N;
    c->bare_s = c->seconds[0];
    if (p->status >= 0 && card->kind != CQ_BATH_GAS && best > 0 && best + 1 < N &&
        c->seconds[best] < (1.0 - gain) * c->bare_s) {
        c->has_best = true;
        c->best_m = fastest_between(p, c->coat_m[best - 1], c->coat_m[best + 1], &c->best_s);
        best += c->best_m > c->coat_m[best];
        memmove(c->coat_m + best + 1, c->coat_m + best, (N - best) * sizeof(double));
        memmove(c->seconds + best + 1, c->seconds + best, (N - best) * sizeof(double));
        c->coat_m[best] = c->best_m;
        c->seconds[best] = c->best_s;
        c->n = N + 1;
        c->even_m = even_of(c, best);
    }
    return p->status;
}

static cq_status make_clays(cq_bath_card *card, const cq_bath_wish *wish, cq_error *error) {
    const cq_step_plan step = step_of(wish);
    plate p;
    init_plate(&p, &step, error);
    for (size_t c = 0; c < wish->clays_n && p.status >= 0; c++) {
        p.clay = &wish->clays[c];
        p.status = make_clay(card, &card->clays[card->clays_n++], &p);
    }
    return p.status;
}

/* ---- order of severity ------------------------------------------------------------------------------------------- */

static int more_severe(const void *a, const void *b) {
    const cq_card_rank *x = a, *y = b;
    const double tx = isnan(x->t400_s) ? HUGE_VAL : x->t400_s, ty = isnan(y->t400_s) ? HUGE_VAL : y->t400_s;
    return tx < ty ? -1 : tx > ty ? 1 : strcmp(x->name, y->name);
}

/* By the bare probe. */
static cq_status rank_bare(cq_card_rank *rank, const cq_bath_wish *wish, cq_step_plan step, cq_error *error) {
    cq_plan plan;
    cq_run *run = NULL;
    const cq_trace *trace;
    cq_piece piece = ALLOY_PROBE;
    piece.steel = wish->probe_steel;
    piece.until_K = 660.0; /* below 400 degC */
    cq_status status = cq_piece_quench(&run, &trace, &plan, &piece, &step, error);
    if (status >= 0) {
        rank->t400_s = cq_trace_falls_s(trace, 400.0 + ZERO_C);
        film f;
        status = film_of(&f, run, wish->probe_steel, &step, error);
        rank->film_s = status < 0 ? NAN : f.until_s;
        rank->film = status >= 0 && f.at_705;
        cq_run_free(run);
    }
    return status;
}

/* By a plate under a wash, which water wets at once however long its film stands on the bare probe. */
static cq_status rank_washed(cq_card_rank *rank, const cq_bath_wish *wish, const cq_step_plan *step, cq_error *error) {
    plate p;
    rank->washed_s = NAN;
    if (wish->clays_n == 0) {
        return CQ_OK;
    }
    init_plate(&p, step, error);
    p.clay = &wish->clays[wish->clays_n / 2];
    rank->washed_s = seconds_under(&p, wish->coat_m);
    return p.status;
}

static cq_status make_ranks(cq_bath_card *card, const cq_bath_wish *wish, cq_error *error) {
    card->ranks = cq_arena_take(card->arena, wish->others_n + 1, sizeof *card->ranks);
    if (card->ranks == NULL) {
        return CQ_ERR_MEMORY;
    }
    card->wash = wish->clays_n > 0 ? wish->clays[wish->clays_n / 2].name : NULL;
    card->wash_m = wish->coat_m;
    const cq_step_plan own = step_of(wish);
    card->ranks[card->ranks_n++] = (cq_card_rank){.name = card->name,
                                                  .at_K = card->at_K,
                                                  .t400_s = card->probe.t400_s,
                                                  .film_s = card->film_s,
                                                  .film = card->grossmann_film,
                                                  .self = true};
    cq_status status = rank_washed(&card->ranks[0], wish, &own, error);
    for (size_t o = 0; o < wish->others_n && status >= 0; o++) {
        const cq_bath *b = &wish->others[o];
        if (strcmp(b->name, card->name) == 0 && fabs(b->at_K - card->at_K) < 0.01 && !(card->agitation_m_s > 0.0)) {
            continue;
        }
        const cq_step_plan still = step_in(b, b->at_K, 0.0);
        cq_card_rank *rank = &card->ranks[card->ranks_n++];
        *rank = (cq_card_rank){.name = b->name, .at_K = b->at_K};
        status = rank_bare(rank, wish, still, error);
        status = status < 0 ? status : rank_washed(rank, wish, &still, error);
    }
    qsort(card->ranks, card->ranks_n, sizeof *card->ranks, more_severe);
    return status;
}

/* ---- the whole --------------------------------------------------------------------------------------------------- */

cq_status cq_bath_card_create(cq_bath_card **card, const cq_bath_wish *wish, cq_error *error) {
    if (wish->bath == NULL || wish->probe_steel == NULL || wish->silver_steel == NULL ||
        wish->clays_n > CQ_CARD_CLAYS || !(wish->coat_m >= 0.0)) {
        return cq_error_say(error, CQ_ERR_ARGUMENT, "", "a bath, two probe steels and up to three clays", "",
                            "a wish without");
    }
    cq_arena *arena = cq_arena_create();
    cq_bath_card *c = arena == NULL ? NULL : cq_arena_take(arena, 1, sizeof *c);
    if (c == NULL) {
        cq_arena_free(arena);
        return cq_error_say(error, CQ_ERR_MEMORY, "", "", "", "bath card");
    }
    *c = (cq_bath_card){.name = wish->bath->name == NULL ? "own bath" : wish->bath->name,
                        .summary = wish->bath->summary == NULL ? "" : wish->bath->summary,
                        .kind = wish->bath->kind,
                        .at_K = wish->at_K,
                        .agitation_m_s = wish->agitation_m_s,
                        .plate_m = PLATE_M,
                        .arena = arena};
    cq_status (*const parts[])(cq_bath_card *, const cq_bath_wish *, cq_error *) = {make_probes, make_curves,
                                                                                    make_ranks, make_clays};
    cq_status status = CQ_OK;
    for (size_t n = 0; n < sizeof parts / sizeof parts[0] && status >= 0; n++) {
        status = parts[n](c, wish, error);
    }
    if (status < 0) {
        cq_bath_card_free(c);
        return status;
    }
    *card = c;
    return CQ_OK;
}

void cq_bath_card_free(cq_bath_card *card) {
    if (card != NULL) {
        cq_arena_free(card->arena);
    }
}
