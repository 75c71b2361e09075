/* lesson_steel.c - the lesson on the steel: what the batch does, what the soak does, why a long blade dips and curves.
 */
#include "report/lesson_telling.h"
#include "report/quantities.h"

#include <math.h>

/* "761 °C (1402 °F)" */
static const char *both(cq_teaching *t, double kelvin) {
    char words[CQ_QUANTITY];
    return cq_telling_say(&t->telling, "%s", cq_celsius_both(kelvin, words));
}

/* ---- 5: manganese ------------------------------------------------------------------------------------------------ */

static void tell_manganese(cq_page *page, cq_teaching *t) {
    static const char *const heads[] = {"manganese", "critical rate", "line above the edge", "spine", "what it is"};
    const char *cells[5 * CQ_LESSON_RUNS];
    const size_t n = t->lesson->n[CQ_LESSON_MANGANESE];
    for (size_t k = 0; k < n; k++) {
        const char **row = cells + 5 * k;
        cq_text line = {NULL, 0, 0, false};
        cq_length_add(&line, &t->telling, cq_lesson_key(t, CQ_LESSON_MANGANESE, k, "line.surface_mm"));
        row[0] = t->lesson->run[CQ_LESSON_MANGANESE][k].value;
        row[1] = cq_telling_say(
            &t->telling, "%s\u00a0°C/s",
            cq_lesson_number(t, CQ_AS_WHOLE, cq_lesson_key(t, CQ_LESSON_MANGANESE, k, "critical_rate_K_s")));
        row[2] = cq_telling_keep(&t->telling, &line);
        row[3] = cq_lesson_hardness(t, cq_lesson_key(t, CQ_LESSON_MANGANESE, k, "spine"));
        row[4] = cq_verdict_words(cq_lesson_result(t, CQ_LESSON_MANGANESE, k)->verdict);
    }
    const cq_page_table table = {.caption = "The washed knife, of four batches of the same steel",
                                 .columns = 5,
                                 .rows = n,
                                 .heads = heads,
                                 .cells = cells,
                                 .numbers = true};
    cq_page_section(page, "manganese", "5. What does manganese do?");
    cq_lesson_say(
        page, "Manganese slows the turning to pearlite: it moves the nose to the right. The blade cools as before, but "
              "has more time. Batches sold under one name differ in it by twice as much and more; the certificate "
              "tells.");
    cq_lesson_chart(
        page, t, cq_lesson_manganese,
        "Chart: temperature of three places of the knife against time on a logarithmic scale, over the curves of "
        "half transformed for the batch with least and the one with most manganese; the latter lies to the "
        "right.",
        "Half transformed, for the poorest (thin) and the richest batch (thick), and three places of the knife.");
    cq_page_put_table(page, &table);
    cq_text text = {NULL, 0, 0, false};
    const double first = cq_lesson_result(t, CQ_LESSON_MANGANESE, 0)->line_surface_m,
                 last = cq_lesson_result(t, CQ_LESSON_MANGANESE, n - 1)->line_surface_m;
    if (first < last) {
        cq_text_add(&text, "From the first to the last batch the line climbs from ");
        cq_number_add(&text, &t->telling, CQ_AS_MM, "manganese.0.line.surface_mm");
        cq_text_add(&text, " to ");
        cq_number_add(&text, &t->telling, CQ_AS_MM, "manganese.%zu.line.surface_mm", n - 1);
        cq_text_add(&text, "\u00a0mm, with nothing changed at the anvil. More still, and the back hardens too: steels "
                           "with much manganese show no line.");
        cq_lesson_say(page, cq_telling_keep(&t->telling, &text));
    }
    cq_lesson_plan(page, t, CQ_LESSON_MANGANESE);
    cq_text_add(&text,
                "The place 9\u00a0mm above the edge: its curve passes between the two noses, so it is pearlite in "
                "the poor batch and martensite in the rich one. The edge is left of both, the body right of "
                "both, and neither cares.");
    cq_lesson_ask(page, t,
                  "Which of the three places in the chart decides where the line lies, and why do the other two not?",
                  &text);
}

/* ---- 6: soak ----------------------------------------------------------------------------------------------------- */

enum { SOAK_COLUMNS = 7 };

static void row_soak(cq_teaching *t, const char **row, size_t k) {
    const cq_result *r = cq_lesson_result(t, CQ_LESSON_SOAK, k);
    cq_text line = {NULL, 0, 0, false}, carbon = {NULL, 0, 0, false}, turned = {NULL, 0, 0, false};
    cq_length_add(&line, &t->telling, cq_lesson_key(t, CQ_LESSON_SOAK, k, "line.surface_mm"));
    cq_number_add(&carbon, &t->telling, CQ_AS_HUNDREDTH, "soak.%zu.soak.carbon_in_solution_wt", k);
    cq_number_add(&turned, &t->telling, CQ_AS_PERCENT, "soak.%zu.soak.austenite", k);
    cq_text_add(&carbon, "%s", isnan(r->carbon_in_solution_wt) ? "" : "\u00a0%");
    cq_text_add(&turned, "\u00a0%%");
    row[0] = both(t, r->plan->heat.temperature_K);
    row[1] = cq_telling_keep(&t->telling, &turned);
    row[2] = cq_telling_keep(&t->telling, &carbon);
    row[3] = cq_lesson_hardness(t, cq_lesson_key(t, CQ_LESSON_SOAK, k, "edge"));
    row[4] = cq_telling_keep(&t->telling, &line);
    row[5] = cq_lesson_number(t, CQ_AS_TENTH, cq_lesson_key(t, CQ_LESSON_SOAK, k, "soak.grain_ASTM"));
    row[6] = r->crack.known ? cq_crack_class_words(r->crack.class_n) : "–";
}

static void tell_soak(cq_page *page, cq_teaching *t) {
    static const char *const heads[SOAK_COLUMNS] = {"soak",           "turned at heat",      "carbon in what turned",
                                                    "edge",           "line above the edge", "grain, ASTM",
                                                    "risk of a crack"};
    const char *cells[SOAK_COLUMNS * CQ_LESSON_RUNS];
    const size_t n = t->lesson->n[CQ_LESSON_SOAK];
    for (size_t k = 0; k < n; k++) {
        row_soak(t, cells + SOAK_COLUMNS * k, k);
    }
    const cq_page_table table = {.caption =
                                     "The washed knife of mill stock (coarsely spheroidised), five minutes at heat",
                                 .columns = SOAK_COLUMNS,
                                 .rows = n,
                                 .heads = heads,
                                 .cells = cells,
                                 .numbers = true};
    cq_page_section(page, "soak", "6. What do 20\u00a0°C of soak do?");
    cq_lesson_say(
        page,
        "A smith who judges heat by colour comes within 25\u00a0°C (45\u00a0°F) at best, and usually within "
        "50\u00a0°C (90\u00a0°F). How much are 20 of them worth? It depends on which side of a cliff one stands.");
    cq_lesson_chart(
        page, t, cq_lesson_soak,
        "Chart: hardness of the edge against soak temperature. Soft below the temperature at which austenite "
        "begins, hard above it, and nearly level from there on.",
        "Each dot is a run, 20\u00a0°C (36\u00a0°F) apart.");
    cq_page_put_table(page, &table);
    cq_lesson_say(
        page,
        "Below Ae1 nothing turns to austenite and nothing can harden, however fast it is cooled. Just above it part "
        "of the steel has not turned yet, and stock from the mill holds its carbon in round grains that dissolve "
        "slowly: 20\u00a0°C more make the edge harder. (What turns first sits around those grains and is the "
        "richest in carbon; its share falls a little when the poor rest turns too.) After that each 20\u00a0°C buy "
        "next to nothing, and "
        "further up they cost: grain coarsens (a smaller number), the edge chips, and cracks come nearer.");
    cq_lesson_plan(page, t, CQ_LESSON_SOAK);
    cq_text text = {NULL, 0, 0, false};
    cq_text_add(&text,
                "Near the cliff, too cool: there the whole edge is lost. Far above it neither matters for hardness, "
                "but what too hot costs cannot be seen on the finished blade. Half-way, some 60 to 80\u00a0°C above "
                "Ae1, an error of 20\u00a0°C either way does least.");
    cq_lesson_ask(page, t, "Is it worse to be 20\u00a0°C too cool or 20\u00a0°C too hot?", &text);
}

/* ---- 7: curve ---------------------------------------------------------------------------------------------------- */

/* Means over the steel below (hard zone) and above the line. */
typedef struct zones {
    double low_K, high_K, low_martensite, high_turned; /* turned: pearlite and bainite */
} zones;

static zones zones_of(const cq_result *r, const cq_frame *f) {
    const cq_grid *g = r->grid;
    double area[2] = {0.0, 0.0}, T[2] = {0.0, 0.0}, share[2] = {0.0, 0.0};
    for (int cell = 0; cell < g->along * g->across; cell++) {
        if (g->kind[cell] == CQ_CELL_STEEL) {
            const int z = g->center_x_m[cell] > r->line_surface_m;
            const double turned = z == 0 ? f->fraction[CQ_MARTENSITE][cell]
                                         : f->fraction[CQ_PEARLITE][cell] + f->fraction[CQ_BAINITE][cell];
            area[z] += g->area_m2[cell];
            T[z] += g->area_m2[cell] * f->temp_K[cell];
            share[z] += g->area_m2[cell] * turned;
        }
    }
    return (zones){T[0] / area[0], T[1] / area[1], share[0] / area[0], share[1] / area[1]};
}

static const cq_frame *frame_near(const cq_result *r, double time_s) {
    size_t best = 0;
    for (size_t f = 1; f < r->frames_n; f++) { /* the last one for what never comes */
        best = !isfinite(time_s)                                                            ? f
               : fabs(r->frames[f].time_s - time_s) < fabs(r->frames[best].time_s - time_s) ? f
                                                                                            : best;
    }
    return &r->frames[best];
}

enum { TURN_COLUMNS = 7 };

static void row_turn(cq_teaching *t, const char **row, const char *what, double time_s, const char *time,
                     const char *rise) {
    const cq_result *r = cq_lesson_result(t, CQ_LESSON_CURVE, 0);
    const zones z = zones_of(r, frame_near(r, time_s));
    row[0] = what;
    row[1] = time;
    row[2] = rise;
    row[3] = both(t, z.low_K);
    row[4] = cq_telling_say(&t->telling, "%.0f\u00a0%%", 100.0 * z.low_martensite);
    row[5] = both(t, z.high_K);
    row[6] = cq_telling_say(&t->telling, "%.0f\u00a0%%", 100.0 * z.high_turned);
}

static void table_turns(cq_page *page, cq_teaching *t) {
    static const char *const heads[] = {
        "the blade", "after", "rise", "hard zone", "of it martensite", "soft zone", "of it pearlite or bainite"};
    const cq_curve *c = &cq_lesson_result(t, CQ_LESSON_CURVE, 0)->curve;
    const char *cells[TURN_COLUMNS * 10];
    size_t rows = 0;
    for (size_t n = 0; n < c->turns_n && rows < 8; n++, rows++) {
        cq_text rise = {NULL, 0, 0, false}, time = {NULL, 0, 0, false};
        cq_number_add(&time, &t->telling, CQ_AS_TENTH, "curve.0.curve.turns.%zu.time_s", n);
        cq_text_add(&time, "\u00a0s");
        cq_number_add(&rise, &t->telling, CQ_AS_SIGNED_MM, "curve.0.curve.turns.%zu.rise_mm", n);
        cq_text_add(&rise, "\u00a0mm");
        const char *kept = cq_telling_keep(&t->telling, &time);
        row_turn(t, cells + TURN_COLUMNS * rows, c->turns[n].dip ? "dips" : "crests", c->turns[n].time_s, kept,
                 cq_telling_keep(&t->telling, &rise));
    }
    cq_text rise = {NULL, 0, 0, false};
    cq_number_add(&rise, &t->telling, CQ_AS_SIGNED_MM, "curve.0.curve.rise_mm");
    cq_text_add(&rise, "\u00a0mm");
    row_turn(t, cells + TURN_COLUMNS * rows++, "is cold", HUGE_VAL, "the end", cq_telling_keep(&t->telling, &rise));
    const cq_page_table table = {.caption = "Means below and above the line; rise: + toward the spine",
                                 .columns = TURN_COLUMNS,
                                 .rows = rows,
                                 .heads = heads,
                                 .cells = cells,
                                 .numbers = true};
    cq_page_put_table(page, &table);
}

static void tell_curve(cq_page *page, cq_teaching *t) {
    const cq_result *r = cq_lesson_result(t, CQ_LESSON_CURVE, 0);
    const cq_page_figure figure = {
        CQ_FIGURE_WIDTH,
        cq_chart_figure_tall(),
        cq_curve_figure,
        r,
        "Chart: curve of a long blade against time on a logarithmic scale. It dips toward the edge, "
        "crests, dips again, and ends near where it began.",
        "Up is toward the spine (mune). Red bar: what comes out, and how far it may be off.",
        false};
    cq_page_section(page, "curve", "7. Why does a long blade dip before it curves?");
    cq_lesson_say(
        page,
        "The knife is too short to show it, a long blade is not. Watch its curve (sori) while it lies in the water: "
        "it moves by far more than what is left in the end.");
    cq_page_put_figure(page, &figure);
    table_turns(page, t);
    cq_lesson_say(page, "Four things happen one after another, and each bends the blade like a strip of two metals.");
    static const char *const things[] = {
        "The edge cools first and shrinks, while the back is hot and long: the blade dips toward the edge.",
        "The edge turns to martensite and swells; meanwhile the back cools and shrinks. Both bend it back, toward the "
        "spine.",
        "The back turns to fine pearlite and swells in its turn: the blade dips again.",
        "The back cools to the end and shrinks, against an edge that is hard and gives no more: the blade rises. What "
        "is left is the small difference of large movements, which is why its size is so hard to foretell."};
    cq_page_list(page, 4, things, false);
    cq_lesson_plan(page, t, CQ_LESSON_CURVE);
    cq_text text = {NULL, 0, 0, false};
    cq_text_add(
        &text,
        "At the first dip it is bent the other way, toward the edge: who pulls it then and reads the curve "
        "believes it failed. It also stops the cooling with the back still austenite, which changes all "
        "that follows; and heat that flows back from there tempers the edge. Let the water last 4 s in the plan, "
        "put 3 s of air and water again behind it, and compare.");
    cq_lesson_ask(
        page, t, "A smith pulls the blade after four seconds to look at it. What does he see, and what has he changed?",
        &text);
}

void cq_lesson_tell_steel(cq_page *page, cq_teaching *t) {
    tell_manganese(page, t);
    tell_soak(page, t);
    tell_curve(page, t);
}
