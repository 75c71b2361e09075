/* map.c - the command that varies two keys and shows line and verdict as a map. */
#include "cli/varying.h"

#include <clayquench/report_map.h>
#include <math.h>
#include <stdio.h>

/* Both axes are numbers, two at least, none twice in other words; false, and said, if not. */
static bool axes_fit(const cq_varying *v) {
    const cq_vary_axis *axes;
    const size_t n = cq_vary_axes(v->vary[0], &axes);
    for (size_t a = 0; a < n; a++) {
        bool good = axes[a].n >= 2;
        for (size_t i = 0; i < axes[a].n; i++) {
            good = good && !isnan(axes[a].number[i]);
            for (size_t j = 0; j < i && good; j++) {
                good = fabs(axes[a].number[i] - axes[a].number[j]) > 0.0;
            }
        }
        if (!good) {
            fprintf(
                stderr,
                "clayquench map: error: --vary %s; expected two different numbers or more, for instance\n"
                "         --vary 'heat.temperature=760..840 °C by 10 K'; words can be laid side by side by 'compare'\n",
                axes[a].key);
            return false;
        }
    }
    return true;
}

static cq_map map_of(const cq_varying *v) {
    const cq_vary_axis *axes;
    cq_vary_axes(v->vary[0], &axes);
    return (cq_map){&v->comparison, &axes[0], &axes[1], NULL};
}

static cq_status json(const cq_varying *v, char **text) {
    const cq_map map = map_of(v);
    return cq_map_json(&map, text);
}

/* The plan as it is, beside the study's runs; false if it has no answer. */
static bool run_own(const cq_varying *v, cq_row *row) {
    const cq_run_options options = {.skip_curve = true};
    cq_error ignored = CQ_ERROR_INIT; /* the map says then that it tells the nearest run */
    cq_run *run = NULL;
    const bool ran =
        cq_run_create(&run, cq_vary_base(v->vary[0]), &options, &ignored) >= 0 && cq_run_go(run, NULL, &ignored) >= 0;
    if (ran) {
        cq_figures_of(cq_run_result(run), row->value);
        row->state = CQ_ROW_DONE;
    }
    cq_error_clear(&ignored);
    cq_run_free(run);
    return ran;
}

static cq_status screen(const cq_varying *v, cq_unit_system units, char **text) {
    cq_row own = {.state = CQ_ROW_OPEN};
    cq_map map = map_of(v);
    if (!isnan(map.x->own_number) && !isnan(map.y->own_number) && run_own(v, &own)) {
        map.own = &own;
    }
    return cq_map_screen(&map, units, text);
}

static cq_status draw(const cq_varying *v, cq_picture_format format, unsigned char **bytes, size_t *length) {
    const cq_map map = map_of(v);
    return cq_map_picture_draw(&map, format, bytes, length);
}

static int run(const cq_call *call) {
    static const cq_varying_kind kind = {"map", true, axes_fit, json, screen, draw};
    if (call->many_n != 2 && !cq_varying_is_study(call->operands[0])) {
        fprintf(stderr,
                "clayquench map: error: %zu times --vary; expected it twice, for instance\n"
                "         --vary 'clay.coat.2.thickness=0.5..3 mm by 0.5 mm' --vary 'heat.temperature=760..840 °C by "
                "10 K'\n",
                call->many_n);
        return CQ_EXIT_USAGE;
    }
    return cq_varying_run(call, &kind);
}

const cq_command cq_command_map = {
    .name = "map",
    .operands = "PLAN",
    .operands_min = 1,
    .operands_max = 1,
    .summary = "two keys varied: line and verdict as a map",
    .description =
        "Runs PLAN for every pair of values of two keys and shows where the line comes to lie, where the verdict\n"
        "changes and where the plan itself stands. Keys and ranges are written as for 'compare':\n"
        "    --vary 'clay.coat.2.thickness=0.5..3 mm by 0.5 mm' --vary 'heat.temperature=760..840 °C by 10 K'\n"
        "The first runs across, the second up. With -o, DIR gets the map as SVG, PNG and PDF, map.json, map.csv\n"
        "and study.h5, where runs are kept as they come; the same command goes on from there.\n",
    .many = "vary",
    .options = cq_varying_options,
    .run = run,
};
