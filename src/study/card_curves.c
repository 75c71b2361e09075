/* card_curves.c - what the transformation laws say at constant temperature, at constant cooling rate and after temper.
 */
#include "hardness/autotemper.h"
#include "hardness/tempering.h"
#include "study/card.h"

#include <math.h>

static const double ZERO_C = 273.15, ROOM_K = 293.15, LN2 = 0.69314718055994531;
static const double COLDEST_K = 423.15; /* below, nothing is seen to move: kinetics/clock.h */

cq_status cq_soaked_create(cq_soaked *s, const cq_steel *steel, const cq_card_soak *wish, double strength,
                           cq_error *error) {
    const cq_soak_wish soak = {wish->temperature_K, wish->hold_s, wish->stock};
    s->soak = cq_soak_of(steel, &soak);
    s->soak.nuclei *= strength;
    s->from_K = wish->temperature_K;
    s->clock = NULL;
    return cq_clock_create(&s->clock, steel, &s->soak, error);
}

void cq_soaked_free(cq_soaked *s) {
    cq_clock_free(s->clock);
    s->clock = NULL;
}

/* ---- constant temperature ---------------------------------------------------------------------------------------- */

static const double SHARES[CQ_SHARES] = {0.01, 0.50, 0.99};
/* 1 - exp(-ln2 (t/half)^n) = share. */
static double alone_s(double half_s, double n, double share) {
    return isfinite(half_s) ? half_s * pow(-log1p(-share) / LN2, 1.0 / n) : NAN;
}

void cq_card_isothermal(cq_steel_card *card, const cq_soaked *s) {
    cq_isothermal *c = &card->isothermal;
    const double step_K = 5.0, top_K = fmax(card->Ae1_K, fmin(card->upper_K, s->from_K)) - 1.0;
    const double end_K = fmax(cq_clock_criticals(s->clock).Ms_K, COLDEST_K);
    c->n = 0;
    if (!(s->soak.austenite > CQ_AUSTENITE_SEEN)) {
        return; /* nothing to transform */
    }
    for (double T = top_K; T > end_K - step_K && c->n < CQ_CARD_TEMPS; T -= step_K) {
        const size_t i = c->n++;
        const double at_K = fmax(T, end_K);
        const cq_half_times half = cq_clock_half_times(s->clock, at_K);
        c->temp_K[i] = at_K;
        for (int share = 0; share < CQ_SHARES; share++) {
            const double P = alone_s(half.pearlite_s, CQ_PEARLITE_N, SHARES[share]);
            const double B = alone_s(half.bainite_s, CQ_BAINITE_N, SHARES[share]);
            c->time_s[CQ_PRODUCT_PEARLITE][share][i] = P;
            c->time_s[CQ_PRODUCT_BAINITE][share][i] = B;
            c->time_s[CQ_PRODUCT_BOTH][share][i] = cq_both_s(half.pearlite_s, half.bainite_s, SHARES[share]);
            c->time_s[CQ_PRODUCT_FIRST][share][i] = alone_s(half.ferrite_s, CQ_FERRITE_N, SHARES[share]);
        }
    }
}

/* ---- constant rate ----------------------------------------------------------------------------------------------- */

typedef struct piece { /* one cell and its martensite's own tempering */
    cq_structure s[2];
    cq_autotemper self;
    int now;
} piece;

static void piece_free(piece *p) {
    cq_structure_free(&p->s[0]);
    cq_structure_free(&p->s[1]);
    cq_autotemper_free(&p->self);
}

static cq_status piece_create(piece *p, const cq_soaked *soaked) {
    *p = (piece){.now = 0};
    if (cq_structure_create(&p->s[0], 1) != CQ_OK || cq_structure_create(&p->s[1], 1) != CQ_OK ||
        cq_autotemper_create(&p->self, 1) != CQ_OK) {
        piece_free(p);
        return CQ_ERR_MEMORY;
    }
    cq_structure_begin(&p->s[0], 0, 1, &soaked->soak, soaked->from_K);
    return CQ_OK;
}

static double share_of(const piece *p, cq_phase phase) {
    return p->s[p->now].fraction[phase][0];
}

static void piece_step(piece *p, const cq_soaked *soaked, double T0_K, double T1_K, double dt_s) {
    const double middle = 0.5 * (T0_K + T1_K), M0 = share_of(p, CQ_MARTENSITE);
    double slope;
    cq_kinetics_step(soaked->clock, &p->s[p->now], &p->s[1 - p->now], 0, 1, &middle, dt_s);
    cq_martensite_step(soaked->clock, &p->s[p->now], &p->s[1 - p->now], 0, 1, &T1_K, &slope);
    p->now = 1 - p->now;
    const double M1 = share_of(p, CQ_MARTENSITE);
    cq_autotemper_step(&p->self, &T0_K, &T1_K, &M0, &M1, dt_s);
}

/* Structure and hardness as they are now. */
static cq_spot spot_of(const piece *p, const cq_steel *steel, const cq_soaked *soaked) {
    const cq_criticals critical = cq_clock_criticals(soaked->clock);
    const double pure[CQ_PHASES] = {[CQ_MARTENSITE] = 1.0};
    cq_matrix matrix = {soaked->soak.carbon_solution_wt, soaked->soak.carbide, 0.0, 0.0};
    cq_spot spot;
    for (int n = 0; n < CQ_PHASES; n++) {
        spot.fraction[n] = share_of(p, (cq_phase)n);
    }
    const double fresh = cq_hardness_points(cq_hardness_mixture_HV(steel, &matrix, pure, 0.0));
    const double M = spot.fraction[CQ_MARTENSITE];
    const cq_formation formation = {critical.Ms_K, critical.alpha_per_K, M + spot.fraction[CQ_AUSTENITE]};
    const cq_softening soft = cq_autotemper_of(&p->self, 0, steel, matrix.carbon_solution_wt, fresh, M, &formation);
    matrix.softening_HRC = soft.loss_HRC;
    matrix.parameter = soft.parameter;
    spot.HV = cq_hardness_mixture_HV(steel, &matrix, spot.fraction, p->s[p->now].hard_HV[0]);
    spot.HRC = cq_hardness_HRC(spot.HV);
    return spot;
}

enum { PATH_MOST = 800 };

/* Temperature at which the share gone by diffusion passes `goal`; NaN if it never does. */
static double passes_K(const double *T_K, const double *gone, size_t n, double goal) {
    for (size_t i = 1; i < n; i++) {
        if (gone[i - 1] < goal && gone[i] >= goal) {
            return T_K[i - 1] + (T_K[i] - T_K[i - 1]) * (goal - gone[i - 1]) / (gone[i] - gone[i - 1]);
        }
    }
    return NAN;
}

static cq_status cool(cq_cooled *to, const cq_steel *steel, const cq_soaked *soaked, double rate_K_s) {
    const double step_K = 2.0, austenite = soaked->soak.austenite, rest = 1.0 - austenite;
    double T_K[PATH_MOST], gone[PATH_MOST];
    piece p;
    if (piece_create(&p, soaked) != CQ_OK) {
        return CQ_ERR_MEMORY;
    }
    size_t n = 0;
    T_K[n] = soaked->from_K;
    gone[n++] = 0.0;
    while (T_K[n - 1] > ROOM_K && n < PATH_MOST) {
        T_K[n] = fmax(T_K[n - 1] - step_K, ROOM_K);
        piece_step(&p, soaked, T_K[n - 1], T_K[n], (T_K[n - 1] - T_K[n]) / rate_K_s);
        gone[n] = (share_of(&p, CQ_FERRITE) + share_of(&p, CQ_PEARLITE) + share_of(&p, CQ_BAINITE) - rest) / austenite;
        n++;
    }
    to->rate_K_s = rate_K_s;
    to->start_K = passes_K(T_K, gone, n, 0.01);
    to->finish_K = isnan(to->start_K) ? NAN : passes_K(T_K, gone, n, 0.99 * gone[n - 1]);
    to->spot = spot_of(&p, steel, soaked);
    piece_free(&p);
    return CQ_OK;
}

cq_status cq_card_continuous(cq_steel_card *card, const cq_soaked *s) {
    /* from three times what hardens in full down to a twentieth of what still leaves some martensite */
    const double high = !isnan(card->full_rate_K_s)   ? 3.0 * card->full_rate_K_s
                        : !isnan(card->half_rate_K_s) ? 8.0 * card->half_rate_K_s
                                                      : 1000.0;
    const double low = isnan(card->none_rate_K_s) ? 1e-4 * high : 0.05 * card->none_rate_K_s;
    cq_status status = CQ_OK;
    for (int n = 0; n < CQ_CARD_RATES && status == CQ_OK; n++) {
        status = cool(&card->continuous[n], card->steel, s, high * pow(low / high, n / (CQ_CARD_RATES - 1.0)));
    }
    return status;
}

/* ---- quenched, tempered ------------------------------------------------------------------------------------------ */

cq_status cq_card_quenched(cq_steel_card *card, const cq_soaked *s) {
    const cq_matrix matrix = {s->soak.carbon_solution_wt, s->soak.carbide, 0.0, 0.0};
    piece p;
    if (piece_create(&p, s) != CQ_OK) {
        return CQ_ERR_MEMORY;
    }
    piece_step(&p, s, ROOM_K, ROOM_K, 0.0); /* at once: nothing but martensite, none of it tempered by itself */
    card->as_quenched = spot_of(&p, card->steel, s);
    for (int n = 0; n < CQ_CARD_TEMPERS; n++) {
        cq_tempered *t = &card->temper[n];
        t->temp_K = 100.0 + 25.0 * n + ZERO_C;
        const cq_temper hours[2] = {{t->temp_K, 3600.0}, {t->temp_K, 3600.0}};
        const double hard = p.s[p.now].hard_HV[0];
        t->once_HV = cq_temper_mixture_HV(card->steel, &matrix, card->as_quenched.fraction, hard, hours, 1);
        t->twice_HV = cq_temper_mixture_HV(card->steel, &matrix, card->as_quenched.fraction, hard, hours, 2);
    }
    piece_free(&p);
    return CQ_OK;
}
