/* quench_bench.c - what a run costs: best time of the time loop over many runs, per cell and step, and peak memory.
 * Prints, never judges: the numbers belong to the machine they were taken on.
 */
#include <clayquench/clayquench.h>
#include <stdbool.h>
#include <stdio.h>
#include <sys/resource.h>

/* The plan's air and its last bath by turns: 2 s in, 3 s out, 3 s in, 5 s out, in to the end. */
static void go_in_and_out(cq_plan *plan, cq_step_plan steps[6]) {
    static const double for_s[5] = {0.0, 2.0, 3.0, 3.0, 5.0}; /* the first keeps its own */
    const cq_step_plan air = plan->steps[0], bath = plan->steps[plan->steps_n - 1];
    for (int n = 0; n < 6; n++) {
        steps[n] = n % 2 == 0 ? air : bath;
        if (n > 0 && n < 5) {
            steps[n].for_s = for_s[n];
            steps[n].until_K = 0.0;
        }
    }
    plan->steps = steps;
    plan->steps_n = 6;
}

/* Nanoseconds per cell and step; 0 if the plan cannot be read. */
static double measure(const char *folder, const char *name, bool in_and_out) {
    enum { RUNS = 30 };
    char path[1024];
    snprintf(path, sizeof path, "%s/plans/%s.yaml", folder, name);
    const char *folders[] = {folder};
    const cq_search search = {1, folders};
    cq_error error = CQ_ERROR_INIT;
    cq_plan plan;
    cq_plan_init(&plan);
    if (cq_plan_read(&plan, path, &search, &error) < 0) {
        printf("%s cannot be read\n", path);
        cq_error_clear(&error);
        return 0.0;
    }
    cq_step_plan five[6];
    if (in_and_out) {
        go_in_and_out(&plan, five);
    }
    double best = 1e9, line = 0.0;
    size_t steps = 0, cells = 1;
    for (int n = 0; n < RUNS; n++) {
        cq_run *run = NULL;
        if (cq_run_create(&run, &plan, NULL, &error) >= 0 && cq_run_go(run, NULL, &error) >= 0) {
            const cq_result *r = cq_run_result(run);
            best = r->core_s < best ? r->core_s : best;
            steps = r->steps + r->rejected;
            cells = r->cells;
            line = 1e3 * r->line_surface_m;
        }
        cq_run_free(run);
    }
    const double each_ns = 1e9 * best / (double)(steps * cells);
    printf("%-16s %6.2f ms  %4zu steps tried x %5zu cells  %6.1f ns per cell and step  line %.3f mm\n",
           in_and_out ? "  2-3-3-5" : name, 1e3 * best, steps, cells, each_ns, line);
    cq_plan_clear(&plan);
    cq_error_clear(&error);
    return each_ns;
}

int main(int argc, char **argv) {
    if (argc != 2) {
        return 2;
    }
    const double straight = measure(argv[1], "sloyd-knife", false), turns = measure(argv[1], "sloyd-knife", true);
    printf("  2-3-3-5 against one immersion, per cell and step: %.2f\n", straight > 0.0 ? turns / straight : 0.0);
    measure(argv[1], "kitchen-slicer", false);
    measure(argv[1], "long-blade", false);
    struct rusage usage;
    getrusage(RUSAGE_SELF, &usage);
    printf("peak memory %.1f MB\n", (double)usage.ru_maxrss / 1024.0);
    return 0;
}
