/* compare.c - the command that lays plans, or one plan with keys varied, side by side. */
#include "cli/varying.h"

#include <stdio.h>

static bool fits(const cq_varying *v) {
    (void)v;
    return true;
}

static cq_status json(const cq_varying *v, char **text) {
    return cq_compare_json(&v->comparison, text);
}

static cq_status screen(const cq_varying *v, cq_unit_system units, char **text) {
    return cq_compare_screen(&v->comparison, units, text);
}

static cq_status draw(const cq_varying *v, cq_picture_format format, unsigned char **bytes, size_t *length) {
    return cq_compare_picture_draw(&v->comparison, format, bytes, length);
}

static int run(const cq_call *call) {
    static const cq_varying_kind kind = {"compare", false, fits, json, screen, draw};
    if (call->operands_n == 1 && call->many_n == 0 && !cq_varying_is_study(call->operands[0])) {
        fputs("clayquench compare: error: one plan and nothing varied; expected a second PLAN, or for instance\n"
              "         --vary 'steps.1.at=30 °C,45 °C,60 °C'\n",
              stderr);
        return CQ_EXIT_USAGE;
    }
    return cq_varying_run(call, &kind);
}

const cq_command cq_command_compare = {
    .name = "compare",
    .operands = "PLAN...",
    .operands_min = 1,
    .operands_max = 1000,
    .summary = "plans side by side, or one with keys varied",
    .description =
        "Runs every PLAN, or every combination of the values given by --vary, and lays the answers side by side:\n"
        "line, transition band, edge, spine and verdict, with what differs from the first run. KEY is a path\n"
        "into the plan, lists counted from 0; values are written as in plans, or as a range:\n"
        "    --vary steps.1.in=water,brine-10,canola    --vary 'clay.coat.2.thickness=1..4 mm by 0.5 mm'\n"
        "    --vary 'steel.batch.Mn=0.35 %,0.75 %'      --vary 'steps.1.at=20..80 °C by 20 K'\n"
        "clay.coat.*.thickness sets every point of the coat. A run that fails is a row with its reason; the exit is 0\n"
        "as long as one run has an answer. With -o, what was carried out is kept as it comes;\n"
        "the same command goes on from there.\n",
    .many = "vary",
    .options = cq_varying_options,
    .run = run,
};
