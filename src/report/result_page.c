/* result_page.c - what the page of one result says, in reading order: the answer, what comes out, what was planned and
 * what to mind, why it comes out so, what else was noticed, lines for what really came out, words and sources.
 */
#include "report/result_figures.h"
#include "report/result_numbers.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

/* ---- the answer in words ----------------------------------------------------------------------------------------- */

static void add_sure(cq_text *text, const cq_telling *t) {
    if (cq_report_is_sure(t->wish->beside)) {
        const cq_percentiles *line = &t->wish->beside->figure[CQ_FIGURE_LINE];
        cq_text_add(text, ", sure to lie between %.1f and %.1f\u00a0mm in nine cases of ten", 1e3 * line->p5.value,
                    1e3 * line->p95.value);
    }
}

/* "Hard edge, soft back: hard to 11.0 mm (7/16 in) above the edge, ..." */
static const char *answer(cq_telling *t) {
    const cq_result *r = t->result;
    cq_text text = {NULL, 0, 0, false};
    char verdict[96];
    if (!r->transforming) {
        cq_page_plain(&text, r->plan->steel.name == NULL ? "This material" : r->plan->steel.name, false);
        cq_text_add(&text, " does not harden: temperatures only.");
        return cq_telling_keep(t, &text);
    }
    if (r->grid->one_dimensional) {
        cq_text_add(&text, "Test piece without a hardening line: face ");
        cq_hardness_add(&text, t, "edge");
        cq_text_add(&text, ", centre ");
        cq_hardness_add(&text, t, "body");
        cq_text_add(&text, ".");
        return cq_telling_keep(t, &text);
    }
    const char *words = cq_telling_words(t, "verdict");
    snprintf(verdict, sizeof verdict, "%s", words == NULL ? cq_verdict_words(r->verdict) : words);
    verdict[0] = (char)toupper((unsigned char)verdict[0]);
    cq_text_add(&text, CQ_MARK_STRONG "%s" CQ_MARK_WEAK ": ", verdict);
    if (isnan(cq_telling_number(t, "line.surface_mm"))) {
        cq_text_add(&text, "no hardening line (hamon)");
    } else {
        cq_text_add(&text, "hard to ");
        cq_length_add(&text, t, "line.surface_mm");
        cq_text_add(&text, " above the edge");
        add_sure(&text, t);
    }
    const bool tempered = !isnan(cq_telling_number(t, "edge_after_temper.HV"));
    cq_text_add(&text, ", edge ");
    cq_hardness_add(&text, t, "edge");
    if (tempered) {
        cq_text_add(&text, " as quenched, ");
        cq_hardness_add(&text, t, "edge_after_temper");
        cq_text_add(&text, " after temper");
    }
    cq_text_add(&text, ".");
    return cq_telling_keep(t, &text);
}

static const char *title_of(cq_telling *t) {
    const char *title = t->result->plan->title;
    cq_text text = {NULL, 0, 0, false};
    if (title == NULL || title[0] == '\0') {
        cq_text_add(&text, "Quench");
    } else {
        cq_page_plain(&text, title, false);
    }
    return cq_telling_keep(t, &text);
}

/* ---- pictures ---------------------------------------------------------------------------------------------------- */

#define SIDE_CAPTION                                                                                                   \
    "The side, as this one section would have it along the whole length; right of the dashed line the point, which "   \
    "is not computed."

static bool is_coated(const cq_result *r) {
    const cq_coat *coat = &r->plan->coat;
    return coat->n > 0 || coat->edge_m > 0.0 || coat->spine_m > 0.0;
}

static const char *section_caption(const cq_result *r) {
    const bool line = isfinite(r->line_surface_m);
    return is_coated(r) ? line ? "Section with clay (hatched; a thin wash is a brown line) and the hardening line, to "
                                 "scale."
                               : "Section with clay (hatched; a thin wash is a brown line), to scale."
           : line       ? "Section, all bare, and the hardening line, to scale."
                        : "Section, all bare, to scale.";
}

static void put_section(cq_page *page, cq_telling *t) {
    const cq_result *r = t->result;
    char alt[400];
    const double line_mm = 1e3 * r->line_surface_m;
    cq_text shown = {NULL, 0, 0, false};
    cq_text_add(&shown, "Cross-section lying on its side, edge to the left, drawn to scale%s: %.1f mm high; %s.",
                is_coated(r) ? " with its clay" : "", 1e3 * r->section->height_m,
                r->transforming ? cq_verdict_words(r->verdict) : "the steel does not harden");
    if (r->transforming) {
        cq_text_add(&shown, " Colours show hardness: %.0f HV at the edge, %.0f HV at the %s.", r->edge.HV, r->spine.HV,
                    cq_section_top_words(r->section));
    }
    const cq_page_figure section = {.width = CQ_FIGURE_WIDTH,
                                    .height = cq_section_figure_tall(r),
                                    .draw = cq_section_figure,
                                    .context = r,
                                    .alt = cq_telling_keep(t, &shown),
                                    .caption = section_caption(r),
                                    .half = true};
    cq_page_put_figure(page, &section);
    snprintf(alt, sizeof alt, "Right side of the blade, point to the right, edge down. %s%s",
             isnan(line_mm) ? "There is no hardening line."
                            : "The hardening line runs along it; hard steel below is pale.",
             is_coated(r) ? " The coat of clay is hatched." : "");
    const cq_page_figure side = {.width = CQ_FIGURE_WIDTH,
                                 .height = cq_side_figure_tall(r),
                                 .draw = cq_side_figure,
                                 .context = r,
                                 .alt = cq_telling_say(t, "%s", alt),
                                 .caption = is_coated(r) ? SIDE_CAPTION " Hatched: the coat." : SIDE_CAPTION,
                                 .half = true};
    cq_page_put_figure(page, &side);
}

/* When a place fell below 500 degC, if it did in the steps. */
static void add_below(cq_text *to, const char *place, double t500_s) {
    if (isnan(t500_s)) {
        cq_text_add(to, " The %s does not fall below 500 °C in the steps.", place);
    } else {
        cq_text_add(to, " The %s is below 500 °C after %.2f s.", place, t500_s);
    }
}

static void put_charts(cq_page *page, cq_telling *t) {
    const cq_result *r = t->result;
    const bool piece = r->grid->one_dimensional;
    char alt[400];
    cq_text shown = {NULL, 0, 0, false};
    cq_text_add(&shown, "Chart: temperature of %s against time on a logarithmic scale%s.",
                piece ? "face and centre" : "edge, body and spine",
                r->transforming ? ", over the curves at which austenite turns to pearlite and bainite" : "");
    add_below(&shown, piece ? "face" : "edge", r->traces[CQ_TRACE_EDGE].t500_s);
    add_below(&shown, piece ? "centre" : "body", r->traces[CQ_TRACE_BODY].t500_s);
    const cq_page_figure cooling = {
        .width = CQ_FIGURE_WIDTH,
        .height = cq_chart_figure_tall(),
        .draw = cq_cooling_figure,
        .context = r,
        .alt = cq_telling_keep(t, &shown),
        .caption =
            r->transforming
                ? "Cooling over the steel's transformation chart. Left of the grey curves down to Ms: martensite. "
                  "Grey: 1, 50 and 99 % turned if held at that temperature."
                : "Cooling.",
        .half = true};
    cq_page_put_figure(page, &cooling);
    if (r->along.n == 0 || piece || !r->transforming) {
        return;
    }
    snprintf(alt, sizeof alt,
             "Chart: hardness against height above the edge. As quenched %.0f HV at the edge, %.0f HV at the %s.",
             r->edge.HV, r->spine.HV, cq_section_top_words(r->section));
    const cq_page_figure along = {.width = CQ_FIGURE_WIDTH,
                                  .height = cq_chart_figure_tall(),
                                  .draw = cq_along_figure,
                                  .context = r,
                                  .alt = cq_telling_say(t, "%s", alt),
                                  .caption = r->plan->temper_n > 0
                                                 ? "Hardness along the height before and after temper."
                                                 : "Hardness along the height; no temper is planned.",
                                  .half = true};
    cq_page_put_figure(page, &along);
}

/* Share of the steel of a frame that is martensite, by area. */
static double martensite_of(const cq_result *r, const cq_frame *f) {
    double sum = 0.0, area = 0.0;
    for (int cell = 0; cell < r->grid->along * r->grid->across; cell++) {
        if (r->grid->kind[cell] == CQ_CELL_STEEL) {
            sum += r->transforming ? r->grid->area_m2[cell] * f->fraction[CQ_MARTENSITE][cell] : 0.0;
            area += r->grid->area_m2[cell];
        }
    }
    return sum / area;
}

static void put_film(cq_page *page, cq_telling *t) {
    const cq_result *r = t->result;
    const cq_film_reel reel = cq_film_choose(r);
    const char *alt[CQ_FILM_FRAMES], *caption[CQ_FILM_FRAMES];
    bool key[CQ_FILM_FRAMES] = {false};
    if (r->grid->one_dimensional) {
        return;
    }
    if (reel.n < 2) {
        cq_page_text(page, "This result holds no frames: run the plan with -o DIR to see the quench in time.");
        return;
    }
    for (size_t k = 0; k < CQ_FILM_KEYS; k++) {
        key[reel.first_key + k * (reel.n - 1 - reel.first_key) / (CQ_FILM_KEYS - 1)] = true;
    }
    for (size_t n = 0; n < reel.n; n++) {
        const cq_frame *f = &r->frames[reel.at[n]];
        const double edge = cq_frame_place_K(r, f, CQ_TRACE_EDGE) - 273.15;
        const double spine = cq_frame_place_K(r, f, CQ_TRACE_SPINE) - 273.15;
        const double hard = 100.0 * martensite_of(r, f);
        caption[n] = cq_telling_say(t,
                                    "%.2f\u00a0s: edge %.0f\u00a0°C (%.0f\u00a0°F), spine %.0f\u00a0°C (%.0f\u00a0°F), "
                                    "martensite %.0f\u00a0%% of the steel%s",
                                    f->time_s, edge, 1.8 * edge + 32.0, spine, 1.8 * spine + 32.0, hard,
                                    f->time_s > r->end_time_s + 1e-9 ? ", after cooling on in air" : "");
        alt[n] = cq_telling_say(t, "The section after %.2f s: temperature above, martensite below; edge %s, spine %s.",
                                f->time_s, cq_face_state(r, CQ_TRACE_EDGE, f->time_s),
                                cq_face_state(r, CQ_TRACE_SPINE, f->time_s));
    }
    const cq_page_film film = {.width = CQ_FIGURE_WIDTH,
                               .height = cq_film_figure_tall(r),
                               .draw = cq_film_figure,
                               .context = &reel,
                               .n = reel.n,
                               .alt = alt,
                               .caption = caption,
                               .key = key,
                               .name = "The quench in time"};
    cq_page_put_film(page, &film);
}

/* ---- paragraphs -------------------------------------------------------------------------------------------------- */

/* An end of the transition band; where it never ends, it reaches the blade's own end. */
static void add_band_end(cq_text *text, const cq_telling *t, const char *key, const char *otherwise) {
    if (isnan(cq_telling_number(t, key))) {
        cq_text_add(text, "the %s itself", otherwise);
    } else {
        cq_length_add(text, t, key);
    }
}

static void add_contrast(cq_text *text, const cq_telling *t, const char *top) {
    const bool harder = cq_telling_number(t, "line.contrast_HV") >= 0.0;
    cq_text_add(text, "%s", harder ? "The edge is " : "Softer at the edge: its hardness less that of the ");
    cq_text_add(text, "%s%s", harder ? "" : top, harder ? "" : " is ");
    cq_number_add(text, t, CQ_AS_WHOLE, "line.contrast_HV");
    cq_text_add(text, harder ? "\u00a0HV harder than the %s." : "\u00a0HV.", top);
}

static void tell_line(cq_page *page, cq_telling *t) {
    cq_text text = {NULL, 0, 0, false};
    const char *top = t->result->section->family == CQ_FAMILY_DOUBLE_EDGED ? "body" : "spine";
    if (!t->result->has_line) {
        return;
    }
    if (isnan(cq_telling_number(t, "line.surface_mm"))) {
        add_contrast(&text, t, top);
        cq_page_text(page, cq_telling_keep(t, &text));
        return;
    }
    cq_text_add(&text, "The transition band (habuchi) runs from ");
    add_band_end(&text, t, "line.band_mm.0", "edge");
    cq_text_add(&text, " to ");
    add_band_end(&text, t, "line.band_mm.1", cq_section_top_words(t->result->section));
    cq_text_add(&text, "; on the mid-plane the line lies at ");
    cq_length_add(&text, t, "line.mid_mm");
    if (fabs(t->result->line_left_m - t->result->line_right_m) > 5e-5) {
        cq_text_add(&text, "; left face ");
        cq_length_add(&text, t, "line.left_mm");
        cq_text_add(&text, ", right face ");
        cq_length_add(&text, t, "line.right_mm");
    }
    if (!isnan(cq_telling_number(t, "line.ground_mm"))) {
        cq_text_add(&text, "; after grinding ");
        cq_length_add(&text, t, "line.ground_mm");
    }
    cq_text_add(&text, ". ");
    add_contrast(&text, t, top);
    cq_page_text(page, cq_telling_keep(t, &text));
}

static void add_crossing(cq_text *text, const cq_telling *t, const char *place, const char *key) {
    cq_text_add(text, " The %s ", place);
    if (isnan(cq_telling_number(t, key))) {
        cq_text_add(text, "did not pass 500\u00a0°C (932\u00a0°F) in the steps.");
        return;
    }
    cq_text_add(text, "passed 500\u00a0°C (932\u00a0°F) after ");
    cq_number_add(text, t, CQ_AS_HUNDREDTH, "%s", key);
    cq_text_add(text, "\u00a0s.");
}

static void tell_steel(cq_page *page, cq_telling *t) {
    cq_text text = {NULL, 0, 0, false};
    if (!t->result->transforming) {
        return;
    }
    cq_text_add(&text, "After the soak ");
    cq_number_add(&text, t, CQ_AS_HUNDREDTH, "soak.carbon_in_solution_wt");
    cq_text_add(&text, " %% carbon is in solution; martensite begins at ");
    cq_temperature_add(&text, t, "soak.Ms_C");
    cq_text_add(&text, " (Ms). Cooling faster than ");
    cq_number_add(&text, t, CQ_AS_WHOLE, "critical_rate_K_s");
    cq_text_add(&text, " °C per second hardens in full.");
    const bool piece = t->result->grid->one_dimensional;
    add_crossing(&text, t, piece ? "face" : "edge", "probes.edge.t500_s");
    add_crossing(&text, t, piece ? "centre" : "body", "probes.body.t500_s");
    cq_page_text(page, cq_telling_keep(t, &text));
}

static void tell_cautions(cq_page *page, cq_telling *t) {
    const json_t *all = cq_telling_at(t, "cautions");
    const char **items = cq_arena_take(t->arena, json_array_size(all) + 1, sizeof *items);
    size_t n = 0;
    t->failed = t->failed || items == NULL;
    for (; items != NULL && n < json_array_size(all); n++) {
        cq_text text = {NULL, 0, 0, false};
        cq_page_plain(&text, json_string_value(json_array_get(all, n)), false);
        items[n] = cq_telling_keep(t, &text);
    }
    cq_page_section(page, "cautions", "Mind, the gravest first");
    cq_page_list(page, n, items, true);
}

static void tell_notices(cq_page *page, cq_telling *t) {
    const json_t *all = cq_telling_at(t, "notices");
    const char **items = cq_arena_take(t->arena, json_array_size(all) + 1, sizeof *items);
    size_t n = 0;
    t->failed = t->failed || items == NULL;
    for (; items != NULL && n < json_array_size(all); n++) {
        const json_t *one = json_array_get(all, n);
        const json_int_t times = json_integer_value(json_object_get(one, "count"));
        cq_text text = {NULL, 0, 0, false};
        cq_page_plain(&text, json_string_value(json_object_get(one, "sentence")), false);
        if (times > 1) {
            cq_text_add(&text, " (%lld times)", (long long)times);
        }
        items[n] = cq_telling_keep(t, &text);
    }
    cq_page_section(page, "notices", "What the run noticed");
    if (n == 0) {
        cq_page_text(page, "Nothing.");
    } else {
        cq_page_list(page, n, items, false);
    }
    cq_text text = {NULL, 0, 0, false};
    cq_text_add(&text, "Energy closes to ");
    cq_number_add(&text, t, CQ_AS_PERCENT_2, "energy.imbalance");
    cq_text_add(&text, " %% in ");
    cq_number_add(&text, t, CQ_AS_WHOLE, "solver.steps");
    cq_text_add(&text, " steps on ");
    cq_number_add(&text, t, CQ_AS_WHOLE, "solver.cells");
    cq_text_add(&text, " cells.");
    cq_page_text(page, cq_telling_keep(t, &text));
}

static void tell_words(cq_page *page) {
    static const char *const terms[][2] = {
        {"hardening line (hamon)",
         "where the steel's surface changes from hard to soft: half of it is martensite there"},
        {"hardened zone (yakiba)", "the steel between edge and line"},
        {"transition band (habuchi)", "from nine tenths to one tenth of the edge's martensite"},
        {"martensite", "the hard structure that steel takes when it is cooled faster than its critical rate"},
        {"fine pearlite (troostite)", "the softer, tough structure of steel that cooled more slowly"},
        {"bainite", "a structure between the two"},
        {"retained austenite", "steel that has not turned when it is cold; tempering turns it"},
        {"Ae1, Ms",
         "two temperatures: below the first austenite can begin to turn, below the second it turns to martensite"},
        {"vapour film",
         "steam that keeps water off the hot face; where it collapses the face is wetted and cools fast"},
        {"HV, HRC", "Vickers and Rockwell hardness; Rockwell C has no value below 20"},
        {"curve (sori), spine (mune), ridge (shinogi), groove (hi)", "shape of the blade, in the trade's words"},
        {"temper (yaki-modoshi)",
         "warming after the quench that takes brittleness from martensite, and some hardness"}};
    cq_page_section(page, "words", "Words");
    cq_page_terms(page, sizeof terms / sizeof terms[0], terms);
}

static void tell_sources(cq_page *page, cq_telling *t) {
    cq_text text = {NULL, 0, 0, false};
    const char *program = cq_telling_words(t, "program");
    cq_page_section(page, "sources", "Sources and version");
    cq_text_add(&text, "Computed by %s, written down by clayquench " CQ_VERSION ", from the plan ",
                program == NULL ? "clayquench" : program);
    const char *file = t->result->plan->file, *slash = file == NULL ? NULL : strrchr(file, '/');
    cq_page_plain(&text, file == NULL || file[0] == '\0' ? "made by hand" : slash == NULL ? file : slash + 1, false);
    cq_text_add(&text,
                ". Profiles it used, with the keys of their sources; the program's references.bib tells what each is. "
                "The laws behind the answer and what they were measured against stand in its README and DEVELOPERS.");
    cq_page_text(page, cq_telling_keep(t, &text));
    cq_list_sources(page, t, &t->result->plan, 1);
    if (t->result->plan->text != NULL && t->result->plan->text[0] != '\0') {
        cq_page_plain(&text, t->result->plan->text, true);
        cq_page_listing(page, "The plan as it was written", cq_telling_keep(t, &text));
    }
}

/* ---- the whole --------------------------------------------------------------------------------------------------- */

static void write_page(cq_page *page, void *context) {
    cq_telling *t = context;
    const cq_result *r = t->result;
    const bool drawn = !r->grid->one_dimensional;
    cq_page_title(page, "Quench of a blade, computed beforehand: an estimate, not a clearance", title_of(t), answer(t));
    if (drawn) {
        put_section(page, t);
    }
    if (r->transforming) {
        cq_page_section(page, "outcome", "What comes out");
        tell_line(page, t);
        cq_table_outcome(page, t);
    }
    cq_tell_sure(page, t);
    cq_tell_distortion(page, t);
    cq_tell_built(page, t);
    cq_page_section(page, "plan", "What is planned");
    cq_table_recipe(page, t);
    if (r->transforming) {
        cq_tell_glow(page, t);
    }
    tell_cautions(page, t);
    cq_page_section(page, "why", "Why it comes out so");
    tell_steel(page, t);
    put_charts(page, t);
    cq_page_section(page, "quench", "The quench in time");
    put_film(page, t);
    cq_table_seconds(page, t);
    tell_notices(page, t);
    cq_tell_really(page, t);
    tell_words(page);
    tell_sources(page, t);
}

static cq_status make(cq_telling *t, unsigned char **bytes, size_t *length, cq_page_gaps *gaps) {
    cq_text title = {NULL, 0, 0, false};
    cq_text_add(&title, "%s · clayquench report", title_of(t));
    const cq_page_wish wish = {
        .medium = t->wish->medium,
        .paper = t->wish->paper,
        .title = cq_telling_keep(t, &title),
        .description = "Where the hardening line of a clay-coated blade will lie, how hard it will be, and why",
        .foot = "An estimate, not a clearance. Local codes and licensed practice come first. clayquench " CQ_VERSION};
    const cq_status status = t->failed ? CQ_ERR_MEMORY : cq_page_make(&wish, write_page, t, bytes, length, gaps);
    if (status >= 0 && t->failed) {
        cq_memory_free(*bytes);
        *bytes = NULL;
        return CQ_ERR_MEMORY;
    }
    return status;
}

cq_status cq_report_page(const cq_result *result, const cq_report_wish *wish, unsigned char **bytes, size_t *length,
                         cq_page_gaps *gaps, cq_error *error) {
    char *own = NULL;
    cq_status status = wish->summary == NULL ? cq_report_json(result, &own) : CQ_OK;
    if (status < 0) {
        return cq_error_say(error, status, "", "", "", "%s", cq_status_sentence(status));
    }
    json_error_t fault;
    json_t *root = json_loads(wish->summary == NULL ? own : wish->summary, 0, &fault);
    cq_telling t = {.result = result, .root = root, .wish = wish, .arena = cq_arena_create()};
    if (root == NULL && wish->summary != NULL) {
        status = cq_error_say(error, CQ_ERR_FORMAT, "", "the JSON of a summary", "run the plan again",
                              "the stored summary cannot be read: %.80s", fault.text);
    } else if (root == NULL || t.arena == NULL) {
        status = cq_error_say(error, CQ_ERR_MEMORY, "", "", "", "%s", cq_status_sentence(CQ_ERR_MEMORY));
    } else if ((status = make(&t, bytes, length, gaps)) < 0) {
        status = cq_error_say(error, status, "", "", "", "%s", cq_status_sentence(status));
    }
    json_decref(root);
    cq_arena_free(t.arena);
    cq_memory_free(own);
    return status;
}
