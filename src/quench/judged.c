/* judged.c - a heat that is judged by its colour: what to look for, and what the eye errs by. */
#include "quench/run.h"

#include "base/units.h"

#include <clayquench/glow.h>

void cq_run_judged_notice(cq_run *run) {
    const cq_heat_plan *heat = &run->plan->heat;
    if (heat->judged == CQ_JUDGED_THERMOMETER || heat->start_K > 0.0) {
        return;
    }
    const bool dark = heat->judged == CQ_JUDGED_COLOUR_DARK;
    const cq_glow glow = cq_glow_of(heat->temperature_K, CQ_GLOW_SCALE, dark ? CQ_GLOW_DARK : CQ_GLOW_DAYLIGHT);
    char at[40], alike[40], best[40], usual[40];
    cq_temperature_text(heat->temperature_K, at, sizeof at);
    cq_difference_text(CQ_GLOW_EYE_BEST_K, best, sizeof best);
    cq_difference_text(CQ_GLOW_EYE_USUAL_K, usual, sizeof usual);
    cq_temperature_text(cq_glow_alike(heat->temperature_K, CQ_GLOW_DARK, CQ_GLOW_DAYLIGHT), alike, sizeof alike);
    cq_run_notice(
        run, "judged-by-colour", 1,
        "%s is %s in %s (in the trade %s); daylight shows the dark's colour at %s. The eye errs by %s at best, "
        "%s usually (common practice, no source)",
        at, glow.word, dark ? "the dark" : "daylight", cq_glow_trade_word(heat->temperature_K), alike, best, usual);
}
