/* result_sure.c - how sure an answer is: what a study of the same plan's tolerances, stored beside the result, found.
 */
#include "report/quantities.h"
#include "report/result_numbers.h"
#include "report/spread_words.h"

#include <math.h>

enum { MOVERS = 3 };

static void add_line(cq_text *text, const cq_spread *s) {
    const cq_percentiles *line = &s->figure[CQ_FIGURE_LINE];
    char low[CQ_QUANTITY], middle[CQ_QUANTITY], high[CQ_QUANTITY];
    if (line->n == 0) {
        cq_text_add(text, " None of them has a hardening line (hamon).");
        return;
    }
    cq_text_add(text, " In nine of ten that have one the line lies between %s and %s, in the middle at %s.",
                cq_length_both(line->p5.value, low), cq_length_both(line->p95.value, high),
                cq_length_both(line->p50.value, middle));
}

/* " Of 100 blades 99: hard edge, soft back; 0.8: hard right through." */
static void add_verdicts(cq_text *text, const cq_spread *s) {
    const char *before = " Of 100 blades ";
    for (int v = 0; v <= CQ_VERDICT_INERT; v++) {
        char words[CQ_SPREAD_WORDS];
        if (s->verdict[v].share > 0.0) {
            cq_text_add(text, "%s%s: %s", before, cq_spread_hundred(s->verdict[v].share, words),
                        cq_spread_verdict_words(s, (cq_verdict)v));
            before = "; ";
        }
    }
    cq_text_add(text, ".");
}

static void add_movers(cq_text *text, const cq_spread *s) {
    size_t order[CQ_UNCERTAINS], told = 0;
    cq_spread_order(s, &s->on_line, order, true);
    for (size_t o = 0; o < s->inputs_n && told < MOVERS; o++) {
        char words[CQ_SPREAD_WORDS];
        if (!isfinite(s->on_line.share[order[o]].value) || cq_spread_is_noise(&s->on_line, order[o])) {
            continue;
        }
        cq_text_add(text, "%s%s (± %s)", told == 0 ? " What moves the line most: " : ", ",
                    cq_uncertain_words(s->input[order[o]].kind),
                    cq_spread_scatter_words(&s->input[order[o]], CQ_UNITS_METRIC, words));
        told++;
    }
    cq_text_add(text, "%s", told == 0 ? "" : ".");
}

void cq_tell_sure(cq_page *page, cq_telling *t) {
    const cq_spread *s = t->wish->beside;
    cq_text text = {NULL, 0, 0, false};
    if (s == NULL || !t->result->transforming || t->result->grid->one_dimensional) {
        return;
    }
    cq_page_section(page, "sure", "How sure that is");
    cq_text_add(&text, "A study of this plan's tolerances lies beside the result: %zu blades.", s->done);
    add_line(&text, s);
    add_verdicts(&text, s);
    add_movers(&text, s);
    cq_page_text(page, cq_telling_keep(t, &text));
}
