/* sure.c - how sure the line's height is, from a spread study of the same plan stored beside the result. */
#include <clayquench/report_page.h>

#include <clayquench/spread.h>
#include <math.h>
#include <string.h>

enum { FEWEST = 20 };              /* fewer runs say nothing about one case in twenty */
static const double MOSTLY = 0.90; /* of the runs must have a line at all */

static bool is_of(const cq_study_about *about, const cq_plan *plan) {
    return strcmp(about->kind, "spread") == 0 && about->plans_n == 1 && about->parts <= 1 && plan->text != NULL &&
           strcmp(about->plan_texts[0], plan->text) == 0;
}

double cq_report_sure_mm(const cq_study_read *study, const cq_plan *plan) {
    const cq_study_about *about = &study->about;
    cq_uncertain inputs[CQ_UNCERTAINS];
    cq_spread_wish wish;
    cq_spread *spread = NULL;
    size_t n = 0;
    if (!is_of(about, plan) || cq_spread_settings_read(about->settings, inputs, &n, &wish) < 0 ||
        n != study->table->inputs_n) {
        return NAN;
    }
    const size_t samples = study->ended > 0 ? study->ended : about->runs_n;
    const cq_spread_rows rows = {study->table, samples, inputs, n, NULL, ""};
    if (cq_spread_create(&spread, &rows, &wish) < 0) {
        return NAN;
    }
    const cq_percentiles *line = &spread->figure[CQ_FIGURE_LINE];
    const bool told = spread->done >= FEWEST && spread->line.share >= MOSTLY;
    const double sure_mm = told ? 500.0 * (line->p95.value - line->p5.value) : NAN;
    cq_spread_free(spread);
    return sure_mm;
}
