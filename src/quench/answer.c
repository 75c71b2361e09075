/* answer.c - from the final fields to what the smith asked: the verdict, how hard edge, body and spine are, the fields.
 */
#include "quench/built.h"
#include "quench/places.h"

#include "base/memory.h"

#include <math.h>
#include <string.h>

static const double FAINT_HV = 120.0; /* least contrast of edge against spine that etches as a line */

const char *cq_verdict_words(cq_verdict verdict) {
    static const char *const words[] = {
        [CQ_VERDICT_NO_EDGE] = "no hard edge",       [CQ_VERDICT_THROUGH] = "hard right through",
        [CQ_VERDICT_BROKEN] = "broken line",         [CQ_VERDICT_SPINE] = "hard spine",
        [CQ_VERDICT_FAINT] = "faint line",           [CQ_VERDICT_GOOD] = "hard edge, soft back",
        [CQ_VERDICT_INERT] = "steel does not harden"};
    return words[verdict];
}

static cq_status tabulate(cq_run *run, const double *hardness) {
    cq_profile_along *a = &run->result.along;
    const size_t n = (size_t)run->steel_rows;
    double *block = cq_memory_zero(8 * n, sizeof(double));
    if (block == NULL) {
        return CQ_ERR_MEMORY;
    }
    *a = (cq_profile_along){
        n, block, block + n, block + 2 * n, block + 3 * n, block + 4 * n, block + 5 * n, block + 6 * n, block + 7 * n};
    const double *M = cq_run_martensite(run);
    for (int row = 0; row < run->steel_rows; row++) {
        a->height_m[row] = cq_run_height_of_row(run, row);
        a->martensite_left[row] = cq_clamped(cq_run_below_face(run, M, row, CQ_SIDE_LEFT, 0.0), 0.0, 1.0);
        a->martensite_right[row] = cq_clamped(cq_run_below_face(run, M, row, CQ_SIDE_RIGHT, 0.0), 0.0, 1.0);
        a->martensite_mid[row] = cq_clamped(cq_run_on_mid_plane(run, M, row), 0.0, 1.0);
        a->hardness_left_HV[row] = cq_run_below_face(run, hardness, row, CQ_SIDE_LEFT, 0.0);
        a->hardness_right_HV[row] = cq_run_below_face(run, hardness, row, CQ_SIDE_RIGHT, 0.0);
        a->hardness_mid_HV[row] = cq_run_on_mid_plane(run, hardness, row);
        a->tempered_mid_HV[row] = a->hardness_mid_HV[row]; /* until tempered */
    }
    return CQ_OK;
}

/* What is meant to stay soft: the spine; between two edges the body. */
static const cq_spot *back_of(const cq_run *run) {
    return run->section->family == CQ_FAMILY_DOUBLE_EDGED ? &run->result.body : &run->result.spine;
}

static cq_verdict judge(const cq_run *run) {
    const cq_result *r = &run->result;
    const cq_profile_along *a = &r->along;
    bool everywhere = true;
    for (size_t i = 0; i < a->n; i++) {
        everywhere = everywhere && a->martensite_left[i] >= CQ_HARD && a->martensite_right[i] >= CQ_HARD &&
                     a->martensite_mid[i] >= CQ_HARD;
    }
    if (!(r->edge.fraction[CQ_MARTENSITE] >= CQ_HARD)) {
        return CQ_VERDICT_NO_EDGE;
    }
    if (everywhere) {
        return CQ_VERDICT_THROUGH;
    }
    if (cq_count_crossings(r, a->martensite_left) > 2 || cq_count_crossings(r, a->martensite_right) > 2) {
        return CQ_VERDICT_BROKEN;
    }
    if (back_of(run)->fraction[CQ_MARTENSITE] >= CQ_HARD) {
        return CQ_VERDICT_SPINE;
    }
    return r->contrast_HV < FAINT_HV ? CQ_VERDICT_FAINT : CQ_VERDICT_GOOD;
}

/* ---- fields ------------------------------------------------------------------------------------------------------ */

/* hardness: of every packed cell; unused where nothing hardens. */
static cq_status lay_out_fields(cq_run *run, const double *hardness) {
    cq_result *r = &run->result;
    const cq_grid *g = run->grid;
    const size_t cells = (size_t)g->along * (size_t)g->across;
    double *block = cq_memory_zero((3 + CQ_PHASES) * cells, sizeof(double));
    if (block == NULL) {
        return CQ_ERR_MEMORY;
    }
    r->hardness_HV = block;
    r->peak_rate_K_s = block + cells;
    r->temp_K = block + 2 * cells;
    for (int p = 0; p < CQ_PHASES; p++) {
        r->fraction[p] = block + (size_t)(3 + p) * cells;
    }
    for (size_t c = 0; c < cells; c++) {
        r->hardness_HV[c] = r->peak_rate_K_s[c] = NAN;
    }
    for (int i = 0; i < g->along; i++) {
        memcpy(r->temp_K + (size_t)i * (size_t)g->across, run->heat->T + cq_heat_at(run->heat, i, 0),
               (size_t)g->across * sizeof(double));
    }
    for (int row = 0; row < run->steel_rows; row++) {
        for (int j = 0; j < run->steel_across; j++) {
            const size_t packed = (size_t)row * (size_t)run->steel_across + (size_t)j;
            const size_t cell = (size_t)(g->steel_i0 + row) * (size_t)g->across + (size_t)(g->steel_j0 + j);
            r->peak_rate_K_s[cell] = run->peak_rate[packed];
            if (run->transforming) {
                r->hardness_HV[cell] = hardness[packed];
                for (int p = 0; p < CQ_PHASES; p++) {
                    r->fraction[p][cell] = run->structure[run->now].fraction[p][packed];
                }
            }
        }
    }
    return CQ_OK;
}

/* ---- the answer -------------------------------------------------------------------------------------------------- */

static cq_spot no_spot(void) {
    cq_spot spot = {NAN, NAN, {NAN, NAN, NAN, NAN, NAN}};
    return spot;
}

static void no_answer(cq_result *r) {
    r->line_left_m = r->line_right_m = r->line_surface_m = r->line_mid_m = r->line_band90_m = r->line_band10_m =
        r->line_ground_m = NAN;
    r->edge = r->body = r->spine = no_spot();
    r->edge_softening_HRC = r->edge_temper_HV = r->edge_temper_HRC = r->spine_temper_HV = r->spine_temper_HRC = NAN;
    r->body_temper_HV = r->body_temper_HRC = NAN;
    r->soak_austenite = r->soak_spine_austenite = NAN;
    r->wear_m = r->contrast_HV = r->critical_rate_K_s = r->Ae1_K = r->Ms_K = r->carbon_in_solution_wt = r->grain_ASTM =
        NAN;
    r->verdict = CQ_VERDICT_INERT;
}

/* What the soak left, at the edge and at the spine. */
static void answer_soak(cq_run *run) {
    cq_result *r = &run->result;
    const cq_run_soak *at_edge = cq_run_soak_at(run, cq_run_edge_cell(run)),
                      *at_spine = cq_run_soak_at(run, cq_run_spine_cell(run));
    const cq_criticals critical = cq_clock_criticals(at_edge->clock);
    r->Ae1_K = critical.Ae1_K;
    if (at_edge->soak.austenite > CQ_AUSTENITE_SEEN) { /* else there is none that could have them */
        r->Ms_K = critical.Ms_K;
        r->carbon_in_solution_wt = at_edge->soak.carbon_solution_wt;
        r->grain_ASTM = at_edge->soak.grain_ASTM;
    }
    r->soak_austenite = at_edge->soak.austenite;
    r->soak_spine_austenite = at_spine->soak.austenite;
    if (run->fire != NULL) {
        r->fired.edge_grain_ASTM = at_edge->soak.grain_ASTM;
        r->fired.spine_grain_ASTM = at_spine->soak.grain_ASTM;
        const cq_soak_wish even = {run->plan->heat.temperature_K, 300.0, run->plan->heat.stock};
        r->fired.even_grain_ASTM = cq_soak_of(&at_edge->steel, &even).grain_ASTM;
    }
    r->critical_rate_K_s = cq_clock_critical_rate(at_edge->clock, &at_edge->soak, at_edge->temperature_K, 0.03);
}

/* A plate or round: hard through, at its face alone, or not. */
static cq_verdict judge_piece(const cq_result *r) {
    const bool face = r->edge.fraction[CQ_MARTENSITE] >= CQ_HARD, centre = r->body.fraction[CQ_MARTENSITE] >= CQ_HARD;
    return !face ? CQ_VERDICT_NO_EDGE : centre ? CQ_VERDICT_THROUGH : CQ_VERDICT_GOOD;
}

static cq_status answer_places(cq_run *run) {
    cq_result *r = &run->result;
    const double height = run->section->height_m;
    r->has_line = !run->grid->one_dimensional;
    const cq_place edge = cq_run_place(run, r->has_line ? CQ_INSET_M : 0.0, cq_run_edge_face(run));
    const cq_place body = cq_run_place(run, r->has_line ? 0.5 * height : 0.0, CQ_FACE_MID);
    r->edge = edge.spot;
    r->body = body.spot;
    r->edge_softening_HRC = cq_place_softening_HRC(&edge);
    if (!r->has_line) {
        r->verdict = judge_piece(r);
        return cq_run_answer_tempers(run, &edge, &body, NULL);
    }
    const cq_place spine = cq_run_place(run, height - CQ_INSET_M, CQ_FACE_MID);
    r->spine = spine.spot;
    r->contrast_HV = r->edge.HV - back_of(run)->HV;
    const cq_status status = cq_run_find_line(run);
    r->verdict = judge(run);
    return status < 0 ? status : cq_run_answer_tempers(run, &edge, &body, &spine);
}

cq_status cq_run_answer(cq_run *run) {
    cq_result *r = &run->result;
    no_answer(r);
    r->wear_HRC = run->plan->wear_HRC;
    double *hardness = cq_memory_zero(run->steel_n, sizeof(double));
    if (hardness == NULL) {
        return CQ_ERR_MEMORY;
    }
    if (run->transforming) {
        cq_run_soften(run);
        for (size_t c = 0; c < run->steel_n; c++) {
            hardness[c] = cq_run_cell_HV(run, c);
        }
    }
    cq_status status = lay_out_fields(run, hardness);
    status = status < 0 ? status : cq_run_built_answer(run);
    if (status == CQ_OK && run->transforming) {
        status = tabulate(run, hardness);
        if (status == CQ_OK) {
            answer_soak(run);
            status = answer_places(run);
        }
    }
    cq_memory_free(hardness);
    return status;
}
