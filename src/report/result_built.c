/* result_built.c - of a result's page: which steel lies where, carbon on the move, the skin, and what the fire did. */
#include "report/result_figures.h"
#include "report/result_numbers.h"

#include "quench/zones.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static void put_build(cq_page *page, cq_telling *t) {
    const cq_result *r = t->result;
    char alt[1000];
    size_t n = (size_t)snprintf(alt, sizeof alt, "The section lying on its side, edge to the left, built as %s: ",
                                cq_build_words(r->plan->zones.build));
    for (size_t z = 0; z < r->plan->zones.n && n + 120 < sizeof alt; z++) {
        const char *name = r->plan->zones.zone[z].steel.name;
        n += (size_t)snprintf(alt + n, sizeof alt - n, "%s%.60s %.0f %%", z == 0 ? "" : ", ",
                              name == NULL ? "own steel" : name, 100.0 * r->built.share[z]);
    }
    const cq_page_figure build = {.width = CQ_FIGURE_WIDTH,
                                  .height = cq_build_figure_tall(r),
                                  .draw = cq_build_figure,
                                  .context = r,
                                  .alt = cq_telling_say(t, "%s.", alt),
                                  .caption = "Which steel lies where, as planned.",
                                  .half = true};
    cq_page_put_figure(page, &build);
}

static void put_carbon(cq_page *page, cq_telling *t) {
    const cq_result *r = t->result;
    double low = HUGE_VAL, high = 0.0;
    for (int c = 0; c < r->grid->along * r->grid->across; c++) {
        if (r->grid->kind[c] == CQ_CELL_STEEL) {
            low = fmin(low, r->built.carbon_wt[c]);
            high = fmax(high, r->built.carbon_wt[c]);
        }
    }
    const cq_page_figure carbon = {.width = CQ_FIGURE_WIDTH,
                                   .height = cq_section_figure_tall(r),
                                   .draw = cq_carbon_figure,
                                   .context = r,
                                   .alt =
                                       cq_telling_say(t,
                                                      "The section lying on its side, edge to the left. Colours show "
                                                      "carbon when the quench begins, from %.2f to %.2f %%.",
                                                      low, high),
                                   .caption = "Carbon when the quench begins, and the hardening line.",
                                   .half = true};
    cq_page_put_figure(page, &carbon);
}

static void tell_zones(cq_page *page, cq_telling *t) {
    cq_text text = {NULL, 0, 0, false};
    const char *built = cq_telling_words(t, "build.construction");
    cq_text_add(&text, "Built as %s. ", built == NULL ? "several steels" : built);
    if (t->result->plan->zones.heats_n > 0) {
        cq_text_add(&text, "Welding and forging spread the carbon over ");
        cq_number_add(&text, t, CQ_AS_HUNDREDTH, "build.spread_mm");
        cq_text_add(&text, "\u00a0mm across a weld (from nine tenths of the step to one tenth); ");
    } else {
        cq_text_add(&text, "No welding heats are told: each steel keeps its carbon. ");
    }
    cq_text_add(&text, "%s mean of the section is ", t->result->plan->zones.heats_n > 0 ? "the" : "The");
    cq_number_add(&text, t, CQ_AS_HUNDREDTH, "build.mean_carbon_wt");
    cq_text_add(&text, " %% of carbon.");
    cq_page_text(page, cq_telling_keep(t, &text));
}

static void tell_skin(cq_page *page, cq_telling *t) {
    cq_text text = {NULL, 0, 0, false};
    cq_text_add(&text, "The skin lost carbon: nine tenths of it are there again ");
    cq_number_add(&text, t, CQ_AS_HUNDREDTH, "skin.depth_mm");
    cq_text_add(&text, "\u00a0mm below the face, ");
    cq_number_add(&text, t, CQ_AS_HUNDREDTH, "skin.face_carbon_wt");
    cq_text_add(&text, " %% at the edge's face");
    if (t->result->plan->grind_m > 0.0) {
        cq_text_add(&text, ", ");
        cq_number_add(&text, t, CQ_AS_HUNDREDTH, "skin.ground_carbon_wt");
        cq_text_add(&text, " %% after grinding");
    }
    if (!isnan(cq_telling_number(t, "skin.file.HV"))) {
        cq_text_add(&text, ". At the edge's face a file meets ");
        cq_hardness_add(&text, t, "skin.file");
        if (t->result->plan->grind_m > 0.0) {
            cq_text_add(&text, ", after grinding ");
            cq_hardness_add(&text, t, "skin.file_ground");
        }
    }
    cq_text_add(&text, ".");
    cq_page_text(page, cq_telling_keep(t, &text));
}

static void tell_fire(cq_page *page, cq_telling *t) {
    cq_text text = {NULL, 0, 0, false};
    cq_text_add(&text, "Out of the fire the edge was at ");
    cq_temperature_add(&text, t, "fire.edge_C");
    cq_text_add(&text, ", its grain ");
    cq_number_add(&text, t, CQ_AS_TENTH, "fire.edge_grain_ASTM");
    cq_text_add(&text, " (ASTM, larger is finer); the %s at ", cq_section_top_words(t->result->section));
    cq_temperature_add(&text, t, "fire.spine_C");
    cq_text_add(&text, ", grain ");
    cq_number_add(&text, t, CQ_AS_TENTH, "fire.spine_grain_ASTM");
    cq_text_add(&text, ".");
    cq_page_text(page, cq_telling_keep(t, &text));
}

void cq_tell_built(cq_page *page, cq_telling *t) {
    const cq_built *b = &t->result->built;
    const bool fired = t->result->fired.edge_K > 0.0; /* NaN: no fire */
    if (!b->several && !b->skinned && !fired) {
        return;
    }
    cq_page_section(page, "built", b->several || b->skinned ? "What the quench found" : "What the fire left");
    if (b->several) {
        tell_zones(page, t);
    }
    if (b->skinned) {
        tell_skin(page, t);
    }
    if (fired) {
        tell_fire(page, t);
    }
    if (b->several && b->zone != NULL) {
        put_build(page, t);
    }
    if (b->carbon_wt != NULL && !t->result->grid->one_dimensional) {
        put_carbon(page, t);
    }
}
