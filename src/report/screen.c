/* screen.c - the answer in the trade's words on one screen of 24 lines and 80 columns.
 *
 * Most answers fit as they are. Where notices and cautions crowd it, the screen is written again with less: routine
 * notices share a line, then cautions are shortened from the least grave up, then the answer, then the other notices.
 */
#include <clayquench/report.h>

#include "base/memory.h"
#include "hardness/hardness.h"
#include "report/advice.h"
#include "report/distortion_words.h"
#include "report/heats.h"
#include "report/quantities.h"
#include "report/screen_notes.h"
#include "report/words.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

enum { COLUMNS = CQ_SCREEN_COLUMNS, WORDS = 64 };

/* How closely the answer is told. */
typedef enum tightness { WHOLE, CLOSE, BARE } tightness;

/* A paragraph within the screen. */
#define add_paragraph(text, ...) cq_paragraph_add(text, COLUMNS, __VA_ARGS__)

/* One more part of a list of at most `room` bytes, or "..." where that is the end of it; false then. */
static bool put(char *list, size_t room, const char *part) {
    const char *more = ", ...";
    const size_t used = strlen(list);
    if (used + strlen(part) + strlen(more) <= room) {
        strcpy(list + used, part);
        return true;
    }
    strcpy(list + used, more);
    return false;
}

/* ---- quantities in words ----------------------------------------------------------------------------------------- */

/* "11.2 mm", "0.441 in"; "none" where there is no such height. */
static void plain_length_words(double metres, cq_unit_system units, char to[WORDS]) {
    if (isnan(metres)) {
        snprintf(to, WORDS, "none");
    } else if (units == CQ_UNITS_US) {
        snprintf(to, WORDS, "%.3f in", metres / 0.0254);
    } else {
        snprintf(to, WORDS, "%.1f mm", 1e3 * metres);
    }
}

/* The same, an inch with its nearest 64th: "0.441 in (7/16)". */
static void length_words(double metres, cq_unit_system units, char to[WORDS]) {
    plain_length_words(metres, units, to);
    if (isnan(metres) || units == CQ_UNITS_METRIC) {
        return;
    }
    char fraction[CQ_QUANTITY];
    const size_t used = strlen(to);
    snprintf(to + used, WORDS - used, " (%s)", cq_inch_fraction(metres, fraction));
}

/* Where martensite falls from nine tenths to one tenth of the edge's. */
static void band_words(const cq_result *r, cq_unit_system units, char to[3 * WORDS]) {
    char low[WORDS], high[WORDS];
    plain_length_words(r->line_band90_m, units, low);
    plain_length_words(r->line_band10_m, units, high);
    if (isnan(r->line_band90_m) || isnan(r->line_band10_m)) {
        snprintf(to, 3 * WORDS, isnan(r->line_band90_m) ? "from the edge on" : "from %s on", low);
    } else {
        snprintf(to, 3 * WORDS, "%s to %s", low, high);
    }
}

static void temperature_words(double kelvin, cq_unit_system units, char to[WORDS]) {
    const double celsius = kelvin - 273.15;
    snprintf(to, WORDS, "%.0f %s", units == CQ_UNITS_US ? 1.8 * celsius + 32.0 : celsius,
             units == CQ_UNITS_US ? "°F" : "°C");
}

static void hardness_words(double HV, double HRC, char to[WORDS]) {
    if (isnan(HV)) {
        snprintf(to, WORDS, "-");
    } else if (isnan(HRC)) {
        snprintf(to, WORDS, "%.0f HV", HV);
    } else {
        snprintf(to, WORDS, "%.0f HV (%.1f HRC)", HV, HRC);
    }
}

/* The scale a shop reads, where it has a value. */
static void short_hardness_words(const cq_spot *s, char to[WORDS]) {
    snprintf(to, WORDS, isnan(s->HRC) ? "%.0f HV" : "%.1f HRC", isnan(s->HRC) ? s->HV : s->HRC);
}

/* "martensite 90 %, retained austenite 10 %": what there is at least 1 % of, most first, as far as `room` goes. */
static void structure_words(const cq_result *r, const cq_spot *s, size_t room, char to[160]) {
    const bool rich = r->carbon_in_solution_wt > 0.77; /* of the eutectoid: what comes first is cementite */
    const bool formed =
        s->fraction[CQ_FERRITE] < (rich ? 0.1 : 0.6); /* more never forms on cooling: the heat left it */
    const char *const words[CQ_PHASES] = {[CQ_AUSTENITE] = "retained austenite",
                                          [CQ_FERRITE] = !formed ? "not turned at heat"
                                                         : rich  ? "cementite"
                                                                 : "ferrite",
                                          [CQ_PEARLITE] = "fine pearlite (troostite)",
                                          [CQ_BAINITE] = "bainite",
                                          [CQ_MARTENSITE] = "martensite"};
    bool told[CQ_PHASES] = {false};
    to[0] = '\0';
    for (int n = 0; n < CQ_PHASES; n++) {
        int most = -1;
        for (int p = 0; p < CQ_PHASES; p++) {
            if (!told[p] && (most < 0 || s->fraction[p] > s->fraction[most])) {
                most = p;
            }
        }
        told[most] = true;
        if (s->fraction[most] >= 0.01) {
            char part[WORDS];
            snprintf(part, sizeof part, "%s%s %.0f %%", to[0] != '\0' ? ", " : "", words[most],
                     100.0 * s->fraction[most]);
            if (!put(to, room, part)) {
                return;
            }
        }
    }
}

static void film_words(const cq_film *f, tightness tight, char to[WORDS]) {
    if (f->state == CQ_FILM_COLLAPSED) {
        snprintf(to, WORDS, tight == WHOLE ? "collapsed at %.2f s" : "until %.2f s", f->time_s);
    } else {
        snprintf(to, WORDS, "%s", f->state == CQ_FILM_NONE ? "none" : "lasted");
    }
}

/* When a place falls through 500 degC; one that is hotter at the end of the steps does so in the air behind them. */
static void crossing_words(const cq_result *r, const cq_trace *trace, char to[WORDS]) {
    if (!isnan(trace->t500_s)) {
        snprintf(to, WORDS, "%.2f s", trace->t500_s);
    } else {
        const bool hot = trace->n > 0 && trace->temp_K[trace->n - 1] > 773.15;
        snprintf(to, WORDS, hot && r->air_after_s > 0.0 ? "after the steps" : "never");
    }
}

static void add_title(cq_text *t, const cq_plan *plan, tightness tight) {
    const char *title = plan->title == NULL || plan->title[0] == '\0' ? "Quench" : plan->title;
    if (tight == WHOLE) {
        add_paragraph(t, "", "%s", title);
    } else {
        cq_line_add(t, COLUMNS, title);
    }
    cq_text_add(t, "\n");
}

/* ---- the answer -------------------------------------------------------------------------------------------------- */

/* One sentence: the verdict, where the line is, how hard the edge. */
static void add_answer(cq_text *t, const cq_result *r, cq_unit_system units, tightness tight) {
    char verdict[WORDS], edge[WORDS], surface[WORDS];
    snprintf(verdict, sizeof verdict, "%s", cq_verdict_words(r->verdict));
    verdict[0] = (char)toupper((unsigned char)verdict[0]);
    short_hardness_words(&r->edge, edge);
    if (isnan(r->line_surface_m)) {
        add_paragraph(t, "", "%s: no hardening line (hamon), edge %s.", verdict, edge);
    } else {
        if (tight == BARE) {
            plain_length_words(r->line_surface_m, units, surface);
        } else {
            length_words(r->line_surface_m, units, surface);
        }
        add_paragraph(t, "", "%s: line (hamon) %s above the edge flat, edge %s.", verdict, surface, edge);
    }
}

/* Heights where a face changes, of a broken line or two edges. */
static void add_crossings(cq_text *t, const cq_result *r, cq_unit_system units, tightness tight) {
    enum { MOST = 16 * 16 };
    const bool several = r->verdict == CQ_VERDICT_BROKEN || r->section->family == CQ_FAMILY_DOUBLE_EDGED;
    char list[MOST + WORDS] = "";
    for (size_t n = 0; several && n < r->crossings_n; n++) {
        char height[WORDS], part[WORDS + 4];
        plain_length_words(r->crossings_m[n], units, height);
        snprintf(part, sizeof part, "%s%s", n == 0 ? "" : ", ", height);
        if (!put(list, tight == WHOLE ? MOST : 52, part)) { /* what stands before it takes 28 columns */
            break;
        }
    }
    if (list[0] != '\0') {
        add_paragraph(t, "  ", "hard and soft change at %s", list);
    }
}

static void add_line(cq_text *t, const cq_result *r, cq_unit_system units, tightness tight) {
    char a[WORDS], b[WORDS], band[3 * WORDS], mid[WORDS], ground[2 * WORDS] = "";
    if (isnan(r->line_surface_m) || tight == BARE) {
        return;
    }
    plain_length_words(r->line_mid_m, units, mid);
    band_words(r, units, band);
    if (!isnan(r->line_ground_m)) {
        plain_length_words(r->line_ground_m, units, a);
        snprintf(ground, sizeof ground, tight == WHOLE ? "; after grinding %s" : "; ground %s", a);
    }
    add_paragraph(t, "  ", "%sband (habuchi) %s; mid-plane %s%s", tight == WHOLE ? "transition " : "", band, mid,
                  ground);
    if (!(fabs(r->line_left_m - r->line_right_m) < 5e-5)) {
        length_words(r->line_left_m, units, a);
        length_words(r->line_right_m, units, b);
        add_paragraph(t, "  ", "left face: %s; right face: %s", a, b);
    }
    add_crossings(t, r, units, tight);
}

static void add_spot(cq_text *t, const cq_result *r, const char *place, const cq_spot *s, tightness tight) {
    char hardness[WORDS], structure[160], first[2 * WORDS];
    hardness_words(s->HV, s->HRC, hardness);
    structure_words(r, s, tight == WHOLE ? sizeof structure - 1 : 53, structure); /* 27 columns before it */
    snprintf(first, sizeof first, "  %-6s %-17s  ", place, hardness);
    add_paragraph(t, first, "%s", structure);
}

static void add_hardness(cq_text *t, const cq_result *r, tightness tight) {
    const bool piece = r->grid->one_dimensional;
    char edge[WORDS], spine[WORDS];
    cq_text_add(t, "As quenched\n");
    add_spot(t, r, piece ? "face" : "edge", &r->edge, tight);
    add_spot(t, r, piece ? "centre" : "body", &r->body, tight);
    if (!piece) {
        add_spot(t, r, r->section->family == CQ_FAMILY_DOUBLE_EDGED ? "edge 2" : "spine", &r->spine, tight);
    }
    if (r->edge_softening_HRC >= 0.5) {
        add_paragraph(t, "  ", "returning heat has tempered the edge: %.1f HRC lost", r->edge_softening_HRC);
    }
    hardness_words(r->edge_temper_HV, r->edge_temper_HRC, edge);
    hardness_words(r->spine_temper_HV, r->spine_temper_HRC, spine);
    const char *temper = tight == WHOLE ? " (yaki-modoshi)" : "";
    if (!isnan(r->edge_temper_HV) && piece) {
        add_paragraph(t, "", "After temper%s: face %s", temper, edge);
    } else if (!isnan(r->edge_temper_HV)) {
        add_paragraph(t, "", "After temper%s: edge %s, %s %s", temper, edge, cq_section_top_words(r->section), spine);
    }
}

/* On one line, in shorter words where it takes more. */
static void add_film(cq_text *t, const cq_result *r, tightness tight) {
    const bool two = r->section->family == CQ_FAMILY_DOUBLE_EDGED;
    char edge[WORDS], body[WORDS], spine[WORDS], line[4 * WORDS];
    for (tightness close = tight == WHOLE ? WHOLE : CLOSE; close <= CLOSE; close++) {
        film_words(&r->film_edge, close, edge);
        film_words(&r->film_body, close, body);
        film_words(&r->film_spine, close, spine);
        snprintf(line, sizeof line, "Vapour film: edge %s, body %s, %s%s %s.", edge, body,
                 cq_section_top_words(r->section), two || close != WHOLE ? "" : " (mune)", spine);
        if (strlen(line) <= COLUMNS) {
            break;
        }
    }
    if (r->grid->one_dimensional) {
        add_paragraph(t, "", "Vapour film: %s.", edge);
    } else {
        add_paragraph(t, "", "%s", line);
    }
}

static void add_quench(cq_text *t, const cq_result *r, cq_unit_system units, tightness tight) {
    const bool piece = r->grid->one_dimensional;
    char edge[WORDS], body[WORDS], spine[WORDS], limit[WORDS], Ms[WORDS];
    add_film(t, r, tight);
    crossing_words(r, &r->traces[CQ_TRACE_EDGE], edge);
    crossing_words(r, &r->traces[CQ_TRACE_BODY], body);
    crossing_words(r, &r->traces[CQ_TRACE_SPINE], spine);
    temperature_words(773.15, units, limit);
    if (piece) {
        add_paragraph(t, "", "Below %s: face %s, centre %s.", limit, edge, body);
    } else {
        add_paragraph(t, "", "Below %s: edge %s, body %s, %s %s.", limit, edge, body, cq_section_top_words(r->section),
                      spine);
    }
    if (r->transforming && tight != BARE && isnan(r->carbon_in_solution_wt)) {
        add_paragraph(t, "", "No austenite at this heat: no critical rate, no carbon in solution, no Ms.");
    } else if (r->transforming && tight != BARE) {
        char rate[WORDS];
        snprintf(rate, sizeof rate, r->soak_austenite > 0.97 ? "none found" : "none: part stays soft");
        const bool us = units == CQ_UNITS_US;
        if (!isnan(r->critical_rate_K_s)) {
            snprintf(rate, sizeof rate, "%.0f %s/s", (us ? 1.8 : 1.0) * r->critical_rate_K_s, us ? "°F" : "°C");
        }
        temperature_words(r->Ms_K, units, Ms);
        add_paragraph(t, "", "Critical rate %s; %.2f %% C in solution; martensite begins at %s (Ms).", rate,
                      r->carbon_in_solution_wt, Ms);
    }
    add_paragraph(t, "", "Energy closes to %.2g %% in %zu steps on %zu cells (%.0f ms).", 100.0 * r->energy_imbalance,
                  r->steps, r->cells, 1e3 * r->core_s);
}

/* What it is made of, and what a file says of its skin. */
static void add_build(cq_text *t, const cq_result *r, cq_unit_system units, tightness tight) {
    const cq_zones *z = &r->plan->zones;
    char list[4 * WORDS] = "", file[WORDS], ground[WORDS], line[WORDS];
    for (size_t n = 0; n < z->n; n++) {
        char part[2 * WORDS];
        snprintf(part, sizeof part, "%s%.40s %.0f %%", n == 0 ? "" : ", ",
                 z->zone[n].steel.name == NULL ? "own steel" : z->zone[n].steel.name, 100.0 * r->built.share[n]);
        if (!put(list, sizeof list - 1, part)) {
            break;
        }
    }
    if (z->n > 0) {
        add_paragraph(t, "", "Built as %s: %s.", cq_build_words(z->build), list);
    }
    if (r->built.skinned && tight != BARE && !isnan(r->built.file_HV)) {
        hardness_words(r->built.file_HV, cq_hardness_HRC(r->built.file_HV), file);
        hardness_words(r->built.ground_HV, cq_hardness_HRC(r->built.ground_HV), ground);
        add_paragraph(
            t, "",
            "Skin: a file meets %s at the edge's face, %s after grinding (feels 0.02 mm; common practice, no source).",
            file, ground);
        if (isnan(r->line_surface_m) && !isnan(r->line_ground_m)) {
            length_words(r->line_ground_m, units, line);
            add_paragraph(t, "", "The skin hides the line (hamon): ground, it shows at %s.", line);
        }
    }
}

/* As it left the fire. */
static void add_fire(cq_text *t, const cq_result *r, cq_unit_system units, tightness tight) {
    char edge[WORDS], spine[WORDS];
    if (!(r->fired.edge_K > 0.0) || tight == BARE) { /* NaN: no fire */
        return;
    }
    temperature_words(r->fired.edge_K, units, edge);
    temperature_words(r->fired.spine_K, units, spine);
    add_paragraph(t, "", "Left the fire: edge %s, grain %.1f (ASTM); %s %s, grain %.1f; as aimed at: %.1f.", edge,
                  r->fired.edge_grain_ASTM, cq_section_top_words(r->section), spine, r->fired.spine_grain_ASTM,
                  r->fired.even_grain_ASTM);
}

static void add_all(cq_text *t, const cq_result *r, const cq_crack_advice *advice, cq_unit_system units,
                    tightness tight, cq_telling_size size) {
    const cq_plan *plan = r->plan;
    add_title(t, plan, tight);
    add_build(t, r, units, tight);
    add_fire(t, r, units, tight);
    if (!r->transforming) {
        add_paragraph(t, "", "%s does not harden%s.", plan->steel.name == NULL ? "This material" : plan->steel.name,
                      r->curve.known ? "" : ": temperatures only");
    } else if (r->grid->one_dimensional) {
        char face[WORDS], centre[WORDS];
        short_hardness_words(&r->edge, face);
        short_hardness_words(&r->body, centre);
        add_paragraph(t, "", "Test piece without a hardening line: face %s, centre %s.", face, centre);
        add_hardness(t, r, tight);
    } else {
        add_answer(t, r, units, tight);
        if (tight != BARE) {
            cq_heats_add(t, r, units);
        }
        add_line(t, r, units, tight);
        add_hardness(t, r, tight);
    }
    cq_distortion_add(t, r, units, size);
    if (advice != NULL) {
        cq_advice_add(t, r, advice, units, tight != WHOLE);
    }
    add_quench(t, r, units, tight);
}

/* The next thing to leave out; false when nothing is left to leave. */
static bool tighten(cq_notes_wish *notes, tightness *tight, cq_telling_size *size) {
    if (!notes->fold_routine) {
        notes->fold_routine = true;
    } else if (*size < CQ_TELL_ENOUGH) {
        (*size)++;
    } else if (notes->cautions_whole > 1) { /* the gravest stays */
        notes->cautions_whole--;
    } else if (*tight == WHOLE) {
        *tight = CLOSE;
        *size = CQ_TELL_BRIEF;
    } else if (*size < CQ_TELL_LEAST) {
        (*size)++;
    } else if (*tight == CLOSE) {
        *tight = BARE;
    } else if (notes->told > 0) {
        notes->told--;
    } else {
        return false;
    }
    return true;
}

cq_status cq_report_screen(const cq_result *r, cq_unit_system units, char **text) {
    return cq_report_screen_advised(r, NULL, units, text);
}

cq_status cq_report_screen_advised(const cq_result *r, const cq_crack_advice *advice, cq_unit_system units,
                                   char **text) {
    cq_notes_wish notes = {false, r->cautions_n, cq_notes_news(r)};
    tightness tight = WHOLE;
    cq_telling_size size = CQ_TELL_ALL;
    cq_text t = {NULL, 0, 0, false};
    do {
        t.length = 0;
        add_all(&t, r, advice, units, tight, size);
        cq_notes_add(&t, r, &notes);
    } while (!t.failed && cq_text_lines(&t) > CQ_SCREEN_LINES && tighten(&notes, &tight, &size));
    if (t.failed) {
        cq_memory_free(t.bytes);
        return CQ_ERR_MEMORY;
    }
    *text = t.bytes;
    return CQ_OK;
}
