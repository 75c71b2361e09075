/* quench_bench.c - what a run costs: best time of the time loop over many runs, per cell and step, and peak memory.
 * Prints, never judges: the numbers belong to the machine they were taken on.
 */
#include <clayquench/clayquench.h>
#include <stdio.h>
#include <sys/resource.h>

static void measure(const char *folder, const char *name) {
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
        return;
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
    printf("%-16s %6.2f ms  %4zu steps tried x %5zu cells  %6.1f ns per cell and step  line %.3f mm\n", name,
           1e3 * best, steps, cells, 1e9 * best / (double)(steps * cells), line);
    cq_plan_clear(&plan);
    cq_error_clear(&error);
}

int main(int argc, char **argv) {
    if (argc != 2) {
        return 2;
    }
    measure(argv[1], "sloyd-knife");
    measure(argv[1], "kitchen-slicer");
    measure(argv[1], "long-blade");
    struct rusage usage;
    getrusage(RUSAGE_SELF, &usage);
    printf("peak memory %.1f MB\n", (double)usage.ru_maxrss / 1024.0);
    return 0;
}
