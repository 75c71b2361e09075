/* kinetics_bench.c - what the transformation kernels cost per cell and step, where something happens and where nothing
 * does. Prints, never judges: the numbers belong to the machine they were taken on.
 */
#include "kinetics/kinetics.h"

#include <stdio.h>
#include <time.h>

enum {
    CELLS = 1600,
    STEPS = 200,
    REPEATS = 60
}; /* about the cells of a demo section; two structures fit in the second cache */

static double seconds(void) {
    struct timespec now;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

typedef struct bench {
    const cq_clock *clock;
    cq_structure from, to;
    double T_K[CELLS], slope_per_K[CELLS];
} bench;

static void diffusional(bench *b) {
    cq_kinetics_step(b->clock, &b->from, &b->to, 0, CELLS, b->T_K, 1e-3);
}

static void athermal(bench *b) {
    cq_martensite_step(b->clock, &b->from, &b->to, 0, CELLS, b->T_K, b->slope_per_K);
}

/* Best of many repeats, ns per cell, at temperatures spread evenly over the cells. */
static double best_ns(bench *b, void (*step)(bench *), double low_K, double high_K) {
    for (int c = 0; c < CELLS; c++) {
        b->T_K[c] = low_K + (high_K - low_K) * c / CELLS;
    }
    diffusional(b); /* `to` holds a whole state */
    double best = 1e9;
    for (int n = 0; n < REPEATS; n++) {
        const double begin = seconds();
        for (int s = 0; s < STEPS; s++) {
            step(b);
        }
        const double ns = 1e9 * (seconds() - begin) / ((double)STEPS * CELLS);
        best = ns < best ? ns : best;
    }
    return best;
}

int main(void) {
    const cq_steel steel = {.composition_wt = {.C = 0.84, .Mn = 0.75, .Si = 0.22, .Cr = 0.08, .Ni = 0.06, .Mo = 0.01},
                            .grain_ASTM = 8.0,
                            .time_factor = 1.0};
    const cq_soak_wish wish = {1073.15, 300.0, CQ_STOCK_NORMALISED};
    const cq_soak soak = cq_soak_of(&steel, &wish);
    static bench b;
    cq_clock *clock = NULL;
    const double begin = seconds();
    if (cq_clock_create(&clock, &steel, &soak, NULL) != CQ_OK || cq_structure_create(&b.from, CELLS) != CQ_OK ||
        cq_structure_create(&b.to, CELLS) != CQ_OK) {
        return 1;
    }
    const double created = seconds();
    const double rate_K_s = cq_clock_critical_rate(clock, &soak, 1073.15, 0.03);
    const double found = seconds();
    b.clock = clock;
    cq_structure_begin(&b.from, 0, CELLS, &soak, 1073.15);
    printf("%-44s %6.2f ns per cell and step\n", "austenite above Ae1, nothing happens",
           best_ns(&b, diffusional, 1020, 1070));
    const double active = best_ns(&b, diffusional, 450, 950), idle = best_ns(&b, diffusional, 300, 420);
    printf("%-44s %6.2f ns per cell and step, %.1f times as much\n", "austenite at 180 to 680 degC, transforming",
           active, active / idle);
    printf("%-44s %6.2f ns per cell and step\n", "below 150 degC, nothing happens", idle);
    printf("%-44s %6.2f ns per cell and step\n", "martensite, above its start", best_ns(&b, athermal, 550, 950));
    printf("%-44s %6.2f ns per cell and step\n", "martensite forming, 27 to 180 degC", best_ns(&b, athermal, 300, 450));
    printf("%-44s %6.2f ms; its critical rate (%.1f K/s) %.2f ms\n", "tables of one steel and soak",
           1e3 * (created - begin), rate_K_s, 1e3 * (found - created));
    cq_structure_free(&b.from);
    cq_structure_free(&b.to);
    cq_clock_free(clock);
    return 0;
}
