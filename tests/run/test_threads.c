/* Runs side by side: four different plans on four threads give the bits of the same plans run one after the other.
 * Under a thread sanitizer (meson setup -Db_sanitize=thread) it also tells of memory that two runs share.
 *
 * With two arguments, T and N, it measures instead: N runs of the first plan on each of T threads. Two of these
 * programs with T = 1 side by side are what T = 2 is compared with.
 */
#include "plans.h"

#include <math.h>
#include <pthread.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

enum { PLANS = 4, ROUNDS = 3 };

static const cq_coat_point BODY[] = {{8e-3, 0, 0}, {11e-3, 2e-3, 2e-3}, {28e-3, 2e-3, 2e-3}};
static const cq_coat_point ONE_FACE[] = {{6e-3, 0.05e-3, 0.1e-3}, {11e-3, 2e-3, 0.5e-3}, {28e-3, 2.5e-3, 1e-3}};
static const cq_lost_plan LOST[] = {{.after_s = 3.0, .from_m = 14e-3, .to_m = 18e-3, .face = CQ_FACE_LEFT}};

static const double METAL_K[1] = {25.0}, METAL_C[1] = {4.1e6};

typedef struct job {
    cq_plan plan;
    cq_step_plan steps[2];
    cq_run *run;
    cq_status status;
} job;

/* Half grid with clay; full grid whose patch falls off, swept by a bath that warms; a bevel, bare, spine cooler; a
 * round that does not transform. */
static void lay_out(job jobs[PLANS]) {
    for (int n = 0; n < PLANS; n++) {
        start_plan(&jobs[n].plan, jobs[n].steps, 30 + 5 * n);
        jobs[n].plan.blade = sloyd_blade();
    }
    jobs[0].plan.coat = (cq_coat){3, BODY, 0.1e-3, 2e-3};
    jobs[1].plan.coat = (cq_coat){3, ONE_FACE, 0.0, 0.0};
    jobs[1].plan.lost = LOST;
    jobs[1].plan.lost_n = 1;
    jobs[1].plan.blade.length_m = 0.11;
    jobs[1].steps[1].entry = CQ_ENTRY_EDGE_FIRST;
    jobs[1].steps[1].speed_m_s = 0.5;
    jobs[1].steps[1].bath.volume_m3 = 2e-3;
    jobs[2].plan.blade = single_bevel_blade();
    jobs[2].plan.heat.spine_below_K = 30;
    jobs[3].plan.blade = (cq_blade){.family = CQ_FAMILY_ROUND, .spine_m = 12.5e-3};
    jobs[3].plan.steel = (cq_steel){.name = "constant",
                                    .kind = CQ_STEEL_INERT,
                                    .conductivity_W_mK = {1, AT, METAL_K, CQ_INTERPOLATE_LINEAR},
                                    .heat_capacity_J_m3K = {1, AT, METAL_C, CQ_INTERPOLATE_LINEAR},
                                    .emissivity = 0.8};
    for (int n = 0; n < PLANS; n++) {
        jobs[n].plan.steps = jobs[n].steps;
    }
}

static void *carry_out(void *context) {
    job *j = context;
    j->run = NULL;
    j->status = cq_run_create(&j->run, &j->plan, NULL, NULL);
    j->status = j->status < 0 ? j->status : cq_run_go(j->run, NULL, NULL);
    return NULL;
}

static bool same_bits(const double *a, const double *b, size_t n) {
    return memcmp(a, b, n * sizeof(double)) == 0;
}

static bool same(const cq_result *a, const cq_result *b) {
    const size_t cells = (size_t)a->grid->along * (size_t)a->grid->across;
    bool equal = a->steps == b->steps && a->rejected == b->rejected && a->notices_n == b->notices_n &&
                 same_bits(&a->heat_out_J_m, &b->heat_out_J_m, 1) && same_bits(&a->line_mid_m, &b->line_mid_m, 1) &&
                 same_bits(&a->line_surface_m, &b->line_surface_m, 1) && same_bits(a->temp_K, b->temp_K, cells) &&
                 same_bits(a->hardness_HV, b->hardness_HV, cells);
    for (int p = 0; p < CQ_PHASES; p++) {
        equal = equal && same_bits(a->fraction[p], b->fraction[p], cells);
    }
    for (size_t t = 0; t < a->traces_n; t++) {
        equal = equal && a->traces[t].n == b->traces[t].n &&
                same_bits(a->traces[t].temp_K, b->traces[t].temp_K, a->traces[t].n) &&
                same_bits(a->traces[t].time_s, b->traces[t].time_s, a->traces[t].n);
    }
    return equal;
}

/* One round of all plans on threads against the runs made one after the other; how many differ. */
static int differing(const job *serial) {
    job side[PLANS];
    pthread_t thread[PLANS];
    lay_out(side);
    for (int n = 0; n < PLANS; n++) {
        if (pthread_create(&thread[n], NULL, carry_out, &side[n]) != 0) {
            printf("no thread to be had\n");
            exit(1);
        }
    }
    int wrong = 0;
    for (int n = 0; n < PLANS; n++) {
        pthread_join(thread[n], NULL);
    }
    for (int n = 0; n < PLANS; n++) {
        if (side[n].status < 0 || !same(cq_run_result(serial[n].run), cq_run_result(side[n].run))) {
            printf("plan %d differs on a thread\n", n);
            wrong++;
        }
        cq_run_free(side[n].run);
    }
    return wrong;
}

static double seconds(clockid_t which) {
    struct timespec t;
    clock_gettime(which, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static int runs;

static void *carry_out_many(void *context) {
    const job *first = context;
    for (int n = 0; n < runs; n++) {
        job again = *first;
        again.plan.steps = again.steps;
        carry_out(&again);
        cq_run_free(again.run);
    }
    return NULL;
}

static void measure(int threads) {
    job jobs[PLANS];
    pthread_t thread[PLANS];
    lay_out(jobs);
    const double wall = seconds(CLOCK_MONOTONIC), cpu = seconds(CLOCK_PROCESS_CPUTIME_ID);
    for (int n = 0; n < threads; n++) {
        if (pthread_create(&thread[n], NULL, carry_out_many, &jobs[0]) != 0) {
            exit(1);
        }
    }
    for (int n = 0; n < threads; n++) {
        pthread_join(thread[n], NULL);
    }
    printf("%d threads: %.2f ms wall and %.2f ms CPU per run\n", threads,
           1e3 * (seconds(CLOCK_MONOTONIC) - wall) / (runs * threads),
           1e3 * (seconds(CLOCK_PROCESS_CPUTIME_ID) - cpu) / (runs * threads));
}

int main(int argc, char **argv) {
    if (argc == 3) {
        runs = atoi(argv[2]);
        measure(atoi(argv[1]));
        return 0;
    }
    job serial[PLANS];
    lay_out(serial);
    int wrong = 0;
    for (int n = 0; n < PLANS; n++) {
        carry_out(&serial[n]);
        if (serial[n].status < 0) {
            printf("plan %d does not run\n", n);
            return 1;
        }
        printf("plan %d: %s, %zu steps\n", n, cq_status_sentence(serial[n].status),
               cq_run_result(serial[n].run)->steps);
    }
    for (int n = 0; n < ROUNDS && wrong == 0; n++) {
        wrong += differing(serial);
    }
    for (int n = 0; n < PLANS; n++) {
        cq_run_free(serial[n].run);
    }
    return wrong != 0;
}
