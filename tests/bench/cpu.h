/* cpu.h - CPU time of the calling thread. */
#ifndef TEST_BENCH_CPU_H
#define TEST_BENCH_CPU_H

#include <time.h>

static inline double cpu_s(void) {
    struct timespec t;
    clock_gettime(CLOCK_THREAD_CPUTIME_ID, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

#endif
