/* study_bench.c - what many runs cost: runs a second on one thread, on two, and in two processes side by side, with the
 * memory they take. Ratios within one run; prints, never judges.
 */
#include <clayquench/io.h>
#include <clayquench/study.h>
#include <stdio.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

enum { RUNS = 100, ROUNDS = 3 };

static cq_plan shared;

static cq_status give_plan(void *context, size_t run, cq_plan *plan, cq_error *error) {
    (void)context, (void)run, (void)error;
    *plan = shared;
    plan->arena = NULL;
    return CQ_OK;
}

static double now_s(void) {
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static void carry_out(size_t runs, int threads) {
    const cq_study_source source = {give_plan, NULL, NULL};
    const cq_study_options options = {.threads = threads};
    cq_study_table *table = NULL;
    if (cq_study_table_create(&table, runs, 0, NULL) >= 0) {
        cq_study_go(table, &source, &options, NULL, NULL);
    }
    cq_study_table_free(table);
}

/* Wall seconds for RUNS runs on `threads` threads of each of `processes` processes. */
static double wall_s(int processes, int threads) {
    const double begun = now_s();
    for (int p = 0; p < processes; p++) {
        const pid_t child = fork();
        if (child == 0) {
            carry_out(RUNS, threads);
            _exit(0);
        }
    }
    while (wait(NULL) > 0) {
    }
    return now_s() - begun;
}

static double memory_MB(void) {
    struct rusage usage;
    getrusage(RUSAGE_CHILDREN, &usage);
    return (double)usage.ru_maxrss / 1024.0;
}

int main(int argc, char **argv) {
    char path[1024];
    const char *folders[] = {argc == 2 ? argv[1] : "profiles"};
    const cq_search search = {1, folders};
    snprintf(path, sizeof path, "%s/plans/sloyd-knife.yaml", folders[0]);
    cq_plan_init(&shared);
    if (cq_plan_read(&shared, path, &search, NULL) < 0) {
        printf("%s cannot be read\n", path);
        return 2;
    }
    double one = 1e9, two = 1e9, processes = 1e9;
    for (int n = 0; n < ROUNDS; n++) { /* the best of each: others use the machine too */
        const double a = wall_s(1, 1), b = wall_s(1, 2), c = wall_s(2, 1);
        one = a < one ? a : one;
        two = b < two ? b : two;
        processes = c < processes ? c : processes;
    }
    printf("sloyd-knife, %d runs: one thread %.1f runs/s, two threads %.1f runs/s\n", RUNS, RUNS / one, RUNS / two);
    printf("two processes side by side %.1f runs/s: two threads do %.0f %% of that\n", 2.0 * RUNS / processes,
           100.0 * (RUNS / two) / (2.0 * RUNS / processes));
    printf("1000 runs at that rate: %.1f s; peak memory %.1f MB\n", 10.0 * two * 100.0 / RUNS, memory_MB());
    cq_plan_clear(&shared);
    return 0;
}
