/* critical_size.c - plates and rounds run through the simulator: their cooling, and the largest that hardens to its
 * centre. */
#include "study/card.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static const double CLOSE =
    0.005; /* of the size: far below the spread between heats, and one bath is not mistaken for another */
static const double HALF = 0.5; /* martensite at the centre */

cq_status cq_size_run(cq_run **run, cq_plan *plan, cq_step_plan *step, cq_coat_point coat[1], const cq_size_wish *w,
                      double size_m, cq_error *error) {
    cq_plan_init(plan);
    plan->blade = (cq_blade){.family = w->family, .spine_m = size_m};
    plan->steel = *w->steel;
    plan->heat.temperature_K = w->soak.temperature_K;
    plan->heat.hold_s = w->soak.hold_s;
    plan->heat.stock = w->soak.stock;
    plan->grid = (cq_grid_wish){8, 4, 5, 1};
    if (w->clay != NULL) {
        plan->clay = *w->clay;
        coat[0] = (cq_coat_point){0.0, w->clay_m, w->clay_m};
        plan->coat = (cq_coat){1, coat, 0.0, 0.0};
    }
    /* left in until as cold as where structure is read, or nearly as cold as the bath */
    *step = (cq_step_plan){.bath = w->bath->bath, .at_K = w->bath->at_K, .until_K = fmax(298.0, w->bath->at_K + 3.0)};
    plan->steps = step;
    plan->steps_n = 1;
    const cq_run_options options = {.tolerance_K = 3.0};
    cq_status status = cq_run_create(run, plan, &options, error);
    if (status < 0) {
        return status;
    }
    status = cq_run_go(*run, NULL, error);
    if (status < 0) {
        cq_run_free(*run);
    }
    return status;
}

static cq_status centre_martensite(double *M, const cq_size_wish *w, double size_m, cq_error *error) {
    cq_plan plan;
    cq_step_plan step;
    cq_coat_point coat[1];
    cq_run *run;
    const cq_status status = cq_size_run(&run, &plan, &step, coat, w, size_m, error);
    if (status >= 0) {
        *M = cq_run_result(run)->body.fraction[CQ_MARTENSITE];
        cq_run_free(run);
    }
    return status;
}

/* Martensite falls from most to none within a third of the size: bracket outward from the guess, then halve. */
cq_status cq_critical_size_find(cq_critical_size *found, const cq_size_wish *w, double guess_m, cq_error *error) {
    const double stride = 1.5;
    double low = 0.0, high = INFINITY, at = fmin(fmax(guess_m, CQ_CARD_SMALLEST_M), CQ_CARD_LARGEST_M), M;
    *found = (cq_critical_size){CQ_SIZE_FOUND, NAN, NAN, NAN};
    while (!(high < low * (1.0 + CLOSE))) {
        const cq_status status = centre_martensite(&M, w, at, error);
        if (status < 0) {
            return status;
        }
        *(M >= HALF ? &low : &high) = at;
        if (low >= CQ_CARD_LARGEST_M || high <= CQ_CARD_SMALLEST_M) {
            found->state = low >= CQ_CARD_LARGEST_M ? CQ_SIZE_ANY : CQ_SIZE_NONE;
            return CQ_OK;
        }
        at = !isfinite(high) ? fmin(low * stride, CQ_CARD_LARGEST_M)
             : low > 0.0     ? sqrt(low * high)
                             : fmax(high / stride, CQ_CARD_SMALLEST_M);
    }
    const double spread = exp(CQ_SIZE_OF_TIME * w->steel->time_factor_ln_sigma);
    found->size_m = sqrt(low * high);
    found->low_m = found->size_m / spread;
    found->high_m = found->size_m * spread;
    return CQ_OK;
}

/* ---- cooling curves ---------------------------------------------------------------------------------------------- */

/* The trace at times spread evenly over their logarithm. */
static void thin_out(cq_cooling *to, const cq_trace *t) {
    const double first = 0.02, last = t->n > 0 ? t->time_s[t->n - 1] : 0.0;
    to->n = 0;
    for (size_t i = 0, at = 1; i < CQ_CARD_POINTS && last > first; i++) {
        const double time = first * pow(last / first, (double)i / (CQ_CARD_POINTS - 1));
        while (at + 1 < t->n && t->time_s[at] < time) {
            at++;
        }
        const double u = (time - t->time_s[at - 1]) / (t->time_s[at] - t->time_s[at - 1]);
        to->time_s[i] = time;
        to->temp_K[i] = t->temp_K[at - 1] + u * (t->temp_K[at] - t->temp_K[at - 1]);
        to->n++;
    }
}

cq_status cq_card_coolings(cq_steel_card *card, const cq_card_wish *wish, cq_error *error) {
    const size_t n = wish->baths_n + (wish->baths_n > 0 && wish->clay != NULL);
    for (size_t i = 0; i < n; i++) {
        const bool coated = i == wish->baths_n;
        const cq_card_bath *bath = &wish->baths[coated ? 0 : i];
        const cq_size_wish w = {.steel = card->steel,
                                .soak = card->soak,
                                .bath = bath,
                                .clay = coated ? wish->clay : NULL,
                                .clay_m = CQ_CARD_CLAY_M,
                                .family = CQ_FAMILY_PLATE};
        cq_cooling *to = &card->cooling[i];
        cq_plan plan;
        cq_step_plan step;
        cq_coat_point coat[1];
        cq_run *run;
        const cq_status status = cq_size_run(&run, &plan, &step, coat, &w, CQ_CARD_PLATE_M, error);
        if (status < 0) {
            return status;
        }
        thin_out(to, &cq_run_result(run)->traces[CQ_TRACE_BODY]);
        snprintf(to->name, sizeof to->name, "%.40s%s", bath->bath.name == NULL ? "own bath" : bath->bath.name,
                 coated ? " under clay" : "");
        cq_run_free(run);
        card->coolings_n++;
    }
    return CQ_OK;
}
