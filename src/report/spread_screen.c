/* spread_screen.c - what the tolerances do, on one screen of 24 lines. */
#include "report/spread_words.h"

#include "base/memory.h"
#include "report/words.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum {
    COLUMNS = 80,
    MOST_ROWS = 8,
    FEWEST_ROWS = 5,
    LINES = 23
}; /* of inputs; of the screen, with one line to spare */

/* Characters, not bytes, to the width of a column. */
static void add_cell(cq_text *t, int columns, bool right, const char *text) {
    int used = 0;
    for (const char *c = text; *c != '\0'; c++) {
        used += ((unsigned char)*c & 0xc0) != 0x80;
    }
    const int blanks = used < columns ? columns - used : 0;
    cq_text_add(t, "%*s%s%*s", right ? blanks : 0, "", text, right ? 0 : blanks, "");
}

static double height(double m, cq_unit_system units) {
    return units == CQ_UNITS_US ? m / 0.0254 : 1e3 * m;
}

/* "9.1", "0.36". */
static const char *number(double m, cq_unit_system units, char to[CQ_SPREAD_WORDS]) {
    snprintf(to, CQ_SPREAD_WORDS, units == CQ_UNITS_US ? "%.2f" : "%.1f", height(m, units));
    return to;
}

static const char *length_unit(cq_unit_system units) {
    return units == CQ_UNITS_US ? "in" : "mm";
}

/* ---- the answer -------------------------------------------------------------------------------------------------- */

static void add_line(cq_text *t, const cq_spread *s, cq_unit_system units) {
    const cq_percentiles *line = &s->figure[CQ_FIGURE_LINE];
    const double planned = s->has_planned ? s->planned[CQ_FIGURE_LINE] : NAN;
    char low[CQ_SPREAD_WORDS], middle[CQ_SPREAD_WORDS], high[CQ_SPREAD_WORDS], as[CQ_SPREAD_WORDS + 32] = "";
    char share[CQ_SPREAD_WORDS], some[CQ_SPREAD_WORDS + 48] = "";
    if (isfinite(planned)) {
        char words[CQ_SPREAD_WORDS];
        snprintf(as, sizeof as, "; as planned %s %s", number(planned, units, words), length_unit(units));
    }
    if (line->n == 0) {
        cq_paragraph_add(t, COLUMNS, "", "No hardening line (hamon) in any blade%s.", as);
        return;
    }
    if (line->n < s->done) {
        snprintf(some, sizeof some, " that have one (%s in 100)", cq_spread_hundred(s->line.share, share));
    }
    number(line->p5.value, units, low);
    number(line->p95.value, units, high);
    number(line->p50.value, units, middle);
    if (isnan(line->p50.error)) {
        cq_paragraph_add(t, COLUMNS, "",
                         "Hardening line (hamon) %s to %s %s above the edge flat, %s in the middle%s. Too few lines "
                         "(%zu of %zu blades) to say how sure.",
                         low, high, length_unit(units), middle, as, line->n, s->done);
        return;
    }
    cq_paragraph_add(t, COLUMNS, "",
                     "Hardening line (hamon) %s to %s %s above the edge flat in nine of ten blades%s, %s %s in the "
                     "middle%s.",
                     low, high, length_unit(units), some, middle, length_unit(units), as);
}

/* Of few blades a share in a hundred would say more than is known: they are counted. */
enum { FEWEST_IN_100 = 20 };

/* "96" of 100, or how many of the few there are. */
static char *told_share(const cq_chance *c, char to[CQ_SPREAD_WORDS]) {
    if (c->n < FEWEST_IN_100) {
        snprintf(to, CQ_SPREAD_WORDS, "%.0f", c->share * (double)c->n);
        return to;
    }
    return cq_spread_hundred(c->share, to);
}

/* "hard edge, soft back 96 (95 to 97)", the likeliest first. */
static void add_verdicts(cq_text *t, const cq_spread *s) {
    char words[700];
    size_t n = 0;
    bool told[CQ_VERDICT_INERT + 1] = {false};
    const bool few = s->done < FEWEST_IN_100;
    const char *pieces = s->hard_spine.n > 0 ? "blades" : "pieces";
    char first[32], of[32];
    for (int k = 0; k <= CQ_VERDICT_INERT; k++) {
        int best = -1;
        for (int v = 0; v <= CQ_VERDICT_INERT; v++) {
            best = !told[v] && (best < 0 || s->verdict[v].share > s->verdict[best].share) ? v : best;
        }
        told[best] = true;
        const cq_chance *c = &s->verdict[best];
        char share[CQ_SPREAD_WORDS], low[CQ_SPREAD_WORDS], high[CQ_SPREAD_WORDS];
        if (c->share > 0.0) {
            n += (size_t)snprintf(words + n, sizeof words - n, "%s%s %s", n > 0 ? "; " : "",
                                  cq_spread_verdict_words(s, (cq_verdict)best), told_share(c, share));
            if (!few) {
                n += (size_t)snprintf(words + n, sizeof words - n, " (%s to %s)", cq_spread_hundred(c->low, low),
                                      cq_spread_hundred(c->high, high));
            }
        }
    }
    snprintf(of, sizeof of, "Of %zu %s:", few ? s->done : (size_t)100, pieces);
    snprintf(first, sizeof first, "%-15s", of);
    cq_paragraph_add(t, COLUMNS, first, "%s.", n > 0 ? words : "none was computed");
    snprintf(of, sizeof of, few ? "Hard of %zu:" : "Hard in %zu:", few ? s->done : (size_t)100);
    snprintf(first, sizeof first, "%-15s", of);
    char edge[CQ_SPREAD_WORDS], body[CQ_SPREAD_WORDS], spine[CQ_SPREAD_WORDS];
    if (s->hard_spine.n > 0) {
        cq_paragraph_add(t, COLUMNS, first, "edge %s, mid-height %s, %s %s.", told_share(&s->hard_edge, edge),
                         told_share(&s->hard_body, body), s->double_edged ? "second edge" : "spine (mune)",
                         told_share(&s->hard_spine, spine));
    } else if (s->hard_edge.n > 0) {
        cq_paragraph_add(t, COLUMNS, first, "face %s, centre %s.", told_share(&s->hard_edge, edge),
                         told_share(&s->hard_body, body));
    }
}

static void add_hardness(cq_text *t, const cq_spread *s) {
    const cq_percentiles *q = &s->figure[CQ_FIGURE_EDGE_HRC], *a = &s->figure[CQ_FIGURE_EDGE_TEMPER_HRC];
    char temper[96] = "";
    const char *first = s->hard_spine.n > 0 ? "Edge:          " : "Face:          ";
    if (a->n > 0) {
        snprintf(temper, sizeof temper, "; after temper %.1f to %.1f HRC", a->p5.value, a->p95.value);
    }
    if (q->n > 0) {
        cq_paragraph_add(t, COLUMNS, first, "%.1f to %.1f HRC%s, %.1f in the middle%s.", q->p5.value, q->p95.value,
                         isnan(q->p50.error) ? "" : " in nine of ten", q->p50.value, temper);
    }
}

/* ---- what it hangs on -------------------------------------------------------------------------------------------- */

/* Inputs whose slope a smith asks for: told even where their share is small, as far as there is room. */
static const cq_uncertain_kind ASKED[] = {CQ_UNCERTAIN_SOAK, CQ_UNCERTAIN_EDGE_COAT, CQ_UNCERTAIN_COAT,
                                          CQ_UNCERTAIN_PULL, CQ_UNCERTAIN_BATH_TEMPERATURE};
enum { ASKED_N = sizeof ASKED / sizeof ASKED[0], KEPT_FOR_ASKED = 3 };

/* Which inputs are told: the strongest, then those that are asked for, then the strongest of the others. */
static void choose(const cq_spread *s, const size_t *order, size_t rows, bool told[CQ_UNCERTAINS]) {
    size_t n = 0;
    for (; n < s->inputs_n && n + KEPT_FOR_ASKED < rows; n++) {
        told[order[n]] = true;
    }
    for (size_t a = 0; a < ASKED_N; a++) {
        for (size_t k = 0; k < s->inputs_n && n < rows; k++) {
            if (s->input[k].kind == ASKED[a] && !told[k]) {
                told[k] = true;
                n++;
            }
        }
    }
    for (size_t o = 0; o < s->inputs_n && n < rows; o++) {
        n += !told[order[o]];
        told[order[o]] = true;
    }
}

/* A wash is changed by hundredths of a millimetre. */
static double told_step(const cq_uncertain *u, cq_unit_system units) {
    return cq_spread_step(u, units) * (u->kind == CQ_UNCERTAIN_EDGE_COAT ? 0.1 : 1.0);
}

/* No "-0.00". */
static double plain(double v) {
    return fabs(v) < 0.5e-3 ? 0.0 : v;
}

static void add_row(cq_text *t, const cq_spread *s, const cq_spread_topic *topic, size_t k, cq_unit_system units) {
    const cq_influence *f = topic->influence;
    const bool line = topic->length;
    const cq_uncertain *u = &s->input[k];
    char words[2 * CQ_SPREAD_WORDS], part[CQ_SPREAD_WORDS];
    const double step = told_step(u, units), scale = line ? height(1.0, units) : topic->factor;
    cq_text_add(t, cq_spread_is_noise(f, k) ? "~ " : "  ");
    add_cell(t, 25, false, cq_uncertain_words(u->kind));
    snprintf(words, sizeof words, "%.0f ± %.0f %%", 100.0 * fmax(0.0, f->share[k].value), 100.0 * f->share[k].error);
    add_cell(t, 10, true, words);
    snprintf(words, sizeof words,
             line && units == CQ_UNITS_US ? "%+.3f ± %.3f"
             : line                       ? "%+.2f ± %.2f"
                                          : "%+.0f ± %.0f",
             plain(scale * step * f->slope[k].value), scale * step * f->slope[k].error);
    add_cell(t, line ? 15 : 13, true, words);
    snprintf(words, sizeof words, " %s per %s", line ? length_unit(units) : topic->unit,
             cq_spread_step_words(u, step, units, part));
    add_cell(t, line ? 17 : 19, false, words);
    snprintf(words, sizeof words, "± %s%s", cq_spread_scatter_words(u, units, part),
             u->origin == CQ_ORIGIN_DEFAULT ? " *" : "");
    cq_text_add(t, "%s\n", words);
}

static void add_influence(cq_text *t, const cq_spread *s, size_t rows_most, cq_unit_system units) {
    cq_spread_topic topic;
    if (!cq_spread_topic_of(s, &topic)) {
        cq_paragraph_add(t, COLUMNS, "", "Too few blades (%zu) to say what it hangs on.", s->on_edge.n);
        return;
    }
    const cq_influence *f = topic.influence;
    bool noise = false;
    size_t order[CQ_UNCERTAINS];
    bool told[CQ_UNCERTAINS] = {false};
    double others = 0.0;
    cq_spread_order(s, f, order, true);
    choose(s, order, rows_most, told);
    cq_paragraph_add(t, COLUMNS, "", "%s: share and slope (± nine in ten), known to (± two in three)", topic.moves);
    for (size_t o = 0; o < s->inputs_n; o++) {
        if (told[order[o]]) {
            add_row(t, s, &topic, order[o], units);
            noise = noise || cq_spread_is_noise(f, order[o]);
        } else {
            others += f->share[order[o]].value;
        }
    }
    cq_paragraph_add(t, COLUMNS, "  ", "All others %.0f %%, acting on each other %.0f ± %.0f %%%s.",
                     100.0 * fmax(0.0, others), 100.0 * fmax(0.0, f->rest.value), 100.0 * f->rest.error,
                     noise ? "; ~ not told from noise" : "");
}

/* ---- how sure ---------------------------------------------------------------------------------------------------- */

static void add_sureness(cq_text *t, const cq_spread *s, cq_unit_system units) {
    const cq_percentiles *line = &s->figure[CQ_FIGURE_LINE];
    char sure[160] = "", failed[CQ_SPREAD_WORDS] = "", wish[64] = "";
    if (isfinite(line->p50.error)) {
        const int digits = units == CQ_UNITS_US ? 3 : 2;
        snprintf(sure, sizeof sure, "; middle of the line sure to ± %.*f %s, ends to %.*f and %.*f", digits,
                 height(line->p50.error, units), length_unit(units), digits, height(line->p5.error, units), digits,
                 height(line->p95.error, units));
    }
    if (s->failed > 0) {
        cq_paragraph_add(t, COLUMNS, "! ",
                         "All figures leave out the %zu failed sample%s, of %zu; they may be one-sided.", s->failed,
                         s->failed > 1 ? "s" : "", s->done + s->failed);
        snprintf(failed, sizeof failed, ", %zu failed (first: sample %zu)", s->failed, s->failure[0]);
    }
    if (s->wish.precision_m > 0.0) {
        snprintf(wish, sizeof wish, " (wished: %.2g %s%s)", height(s->wish.precision_m, units), length_unit(units),
                 isfinite(line->p50.error) ? "" : ", not reached");
    }
    cq_paragraph_add(t, COLUMNS, "", "%zu blade%s%s, seed %llu%s%s.", s->done, s->done == 1 ? "" : "s", failed,
                     (unsigned long long)s->wish.seed, sure, wish);
}

/* What the plan does not say. */
static void add_defaults(cq_text *t, const cq_spread *s, cq_unit_system units) {
    char words[600], part[CQ_SPREAD_WORDS];
    size_t n = 0, held = 0;
    for (size_t k = 0; k < s->inputs_n; k++) {
        held += s->held[k];
        if (s->input[k].origin == CQ_ORIGIN_DEFAULT) {
            n += (size_t)snprintf(words + n, sizeof words - n, "%s%s %s", n > 0 ? ", " : "",
                                  cq_uncertain_key(s->input[k].kind),
                                  cq_spread_scatter_words(&s->input[k], units, part));
        }
    }
    if (n > 0) {
        cq_paragraph_add(t, COLUMNS, "* ", "usual, not in the plan: %s.", words);
    }
    if (held > 0) {
        cq_paragraph_add(t, COLUMNS, "! ", "%zu values were held within their physical range; --json says which.",
                         held);
    }
}

static size_t lines_of(const char *text) {
    size_t lines = 0;
    for (; text != NULL && *text != '\0'; text++) {
        lines += *text == '\n';
    }
    return lines;
}

cq_status cq_spread_screen(const cq_spread *s, cq_unit_system units, char **text) {
    cq_text t = {NULL, 0, 0, false};
    for (size_t rows = MOST_ROWS; rows == MOST_ROWS || (rows >= FEWEST_ROWS && lines_of(t.bytes) > LINES); rows--) {
        cq_memory_free(t.bytes);
        t = (cq_text){NULL, 0, 0, t.failed};
        cq_paragraph_add(&t, COLUMNS, "", "%.56s: what the tolerances do", s->title[0] == '\0' ? "The plan" : s->title);
        add_line(&t, s, units);
        add_verdicts(&t, s);
        add_hardness(&t, s);
        add_influence(&t, s, rows, units);
        add_sureness(&t, s, units);
        add_defaults(&t, s, units);
    }
    if (t.failed) {
        cq_memory_free(t.bytes);
        return CQ_ERR_MEMORY;
    }
    *text = t.bytes;
    return CQ_OK;
}
