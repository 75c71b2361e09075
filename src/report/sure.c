/* sure.c - what a spread study of the same plan, stored beside the result, says of how sure it is. */
#include <clayquench/report_page.h>

#include <clayquench/spread.h>
#include <string.h>

enum { FEWEST = 20 };              /* fewer runs say nothing about one case in twenty */
static const double MOSTLY = 0.90; /* of the runs must have a line at all */

static bool is_of(const cq_study_about *about, const cq_plan *plan) {
    return strcmp(about->kind, "spread") == 0 && about->plans_n == 1 && about->parts <= 1 && plan->text != NULL &&
           strcmp(about->plan_texts[0], plan->text) == 0;
}

cq_spread *cq_report_beside(const cq_study_read *study, const cq_plan *plan) {
    const cq_study_about *about = &study->about;
    cq_uncertain inputs[CQ_UNCERTAINS];
    cq_spread_wish wish;
    cq_spread *spread = NULL;
    size_t n = 0;
    if (!is_of(about, plan) || cq_spread_settings_read(about->settings, inputs, &n, &wish) < 0 ||
        n != study->table->inputs_n) {
        return NULL;
    }
    const size_t samples = study->ended > 0 ? study->ended : about->runs_n;
    const cq_spread_rows rows = {study->table, samples, inputs, n, NULL, ""};
    if (cq_spread_create(&spread, &rows, &wish) < 0) {
        return NULL;
    }
    if (spread->done < FEWEST) {
        cq_spread_free(spread);
        return NULL;
    }
    return spread;
}

bool cq_report_is_sure(const cq_spread *beside) {
    return beside != NULL && beside->line.share >= MOSTLY;
}
