/* section_bench.c - the clay-coated section of physics/coated_section_reference.py, heat only, beside SUNDIALS CVODE
 * with KLU and SciPy's solve_ivp on the same equations in space: CPU time of the time loop at equal error. Prints,
 * never judges.
 *
 *     section_bench LIBRARY REFERENCE PYTHON SCRIPT
 *
 * Error: the largest over all steel cells and all tabulated times against CVODE at a tight tolerance. Each of our
 * tolerances is compared with the quickest run of each rival whose error is not larger. CVODE gets rate and analytic
 * Jacobian compiled, SciPy the same ("/C") or a rate in NumPy ("/np"). LIBRARY is section_system.c for Python,
 * REFERENCE a file to write. */
#include "../coated_section.h"
#include "cpu.h"
#include "cvode_rival.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { REFINE = 1, MOST_RUNS = 100 };
static const double TIGHT = 1e-9; /* relative; its own error is far below a millikelvin */

typedef struct run {
    char method[24];
    double tolerance;
    long steps;
    double cpu_ms, error_K;
} run;

typedef struct runs {
    int n;
    run run[MOST_RUNS];
} runs;

static void keep(runs *all, const run *one) {
    if (all->n < MOST_RUNS) {
        all->run[all->n++] = *one;
    }
}

/* ---- ours -------------------------------------------------------------------------------------------------------- */

static double frames_error(const section_system *s, const cq_result *r, const double *exact_K) {
    const int cells = section_system_cells(s);
    double worst = 0.0;
    unsigned met = 0;
    for (size_t f = 0; f < r->frames_n; f++) {
        for (int t = 0; t < TIMES; t++) {
            if (fabs(r->frames[f].time_s - AT_S[t]) > 1e-9) {
                continue;
            }
            met |= 1u << t;
            for (int c = 0; c < cells; c++) {
                const double error = fabs(r->frames[f].temp_K[section_system_place(s, c)] - exact_K[t * cells + c]);
                if (section_system_is_steel(s, c) && !(error <= worst)) {
                    worst = error;
                }
            }
        }
    }
    return met == (1u << TIMES) - 1u ? worst : NAN;
}

static bool ours(const section_system *s, double tolerance_K, const double *exact_K, run *out) {
    enum { REPEATS = 60 };
    cq_plan plan;
    cq_step_plan step;
    coated_section_plan(&plan, &step, REFINE);
    *out = (run){.method = "clayquench", .tolerance = tolerance_K, .cpu_ms = 1e9};
    for (int n = 0; n <= REPEATS; n++) { /* the first keeps the fields, the others are timed */
        const cq_run_options options = {.keep_frames = n == 0, .tolerance_K = tolerance_K};
        cq_run *one = NULL;
        if (cq_run_create(&one, &plan, &options, NULL) < 0 || cq_run_go(one, NULL, NULL) < 0) {
            cq_run_free(one);
            return false;
        }
        const cq_result *r = cq_run_result(one);
        if (n == 0) {
            out->error_K = frames_error(s, r, exact_K);
            out->steps = (long)(r->steps + r->rejected);
        } else {
            out->cpu_ms = fmin(out->cpu_ms, 1e3 * r->core_s);
        }
        cq_run_free(one);
    }
    return true;
}

/* ---- rivals ------------------------------------------------------------------------------------------------------ */

static double fields_error(const section_system *s, const double *T_K, const double *exact_K) {
    const int cells = section_system_cells(s);
    double worst = 0.0;
    for (int n = 0; n < TIMES * cells; n++) {
        const double error = fabs(T_K[n] - exact_K[n]);
        if (section_system_is_steel(s, n % cells) && !(error <= worst)) {
            worst = error;
        }
    }
    return worst;
}

static void run_cvode(section_system *s, double start_K, const double *exact_K, double *T_K, runs *all) {
    enum { REPEATS = 5 };
    for (int n = 0; n <= 16; n++) {
        run one = {.method = "CVODE+KLU", .tolerance = pow(10.0, -2.0 - 0.25 * n), .cpu_ms = 1e9};
        bool done = true;
        for (int r = 0; r < REPEATS && done; r++) {
            cvode_cost cost;
            done = cvode_solve(s, start_K, AT_S, TIMES, one.tolerance, T_K, &cost);
            one.cpu_ms = fmin(one.cpu_ms, 1e3 * cost.cpu_s);
            one.steps = cost.steps;
        }
        if (done) {
            one.error_K = fields_error(s, T_K, exact_K);
            keep(all, &one);
        }
    }
}

static bool write_reference(const char *path, const double *exact_K, size_t n) {
    FILE *f = fopen(path, "wb");
    const bool written = f != NULL && fwrite(exact_K, sizeof *exact_K, n, f) == n;
    return f != NULL && fclose(f) == 0 && written;
}

/* Lines of scipy_rival.py; anything else is passed on. */
static void run_scipy(char **argv, double start_K, runs *all) {
    char command[4096], line[256];
    int used =
        snprintf(command, sizeof command, "OMP_NUM_THREADS=1 OPENBLAS_NUM_THREADS=1 '%s' '%s' '%s' '%s' %d %.17g",
                 argv[3], argv[4], argv[1], argv[2], REFINE, start_K);
    for (int t = 0; t < TIMES && used < (int)sizeof command - 32; t++) {
        used += snprintf(command + used, sizeof command - (size_t)used, " %.17g", AT_S[t]);
    }
    FILE *f = popen(command, "r");
    while (f != NULL && fgets(line, sizeof line, f) != NULL) {
        run one;
        char method[16];
        if (sscanf(line, "%15s %lf %ld %lf %lf", method, &one.tolerance, &one.steps, &one.cpu_ms, &one.error_K) == 5) {
            snprintf(one.method, sizeof one.method, "SciPy %s", method);
            keep(all, &one);
        } else {
            printf("SciPy: %s", line);
        }
    }
    if (f != NULL) {
        pclose(f);
    }
}

/* ---- table ------------------------------------------------------------------------------------------------------- */

static void print_run(const run *one, const run *mine, int cells) {
    printf("  %-14s %9.1e %7ld %10.2f %9.4f %7.1f %8.1f\n", one->method, one->tolerance, one->steps, one->cpu_ms,
           one->error_K, one->cpu_ms / mine->cpu_ms, 1e6 * one->cpu_ms / ((double)one->steps * cells));
}

static void compare(const run *mine, const runs *rivals, int cells) {
    print_run(mine, mine, cells);
    static const char *const METHODS[] = {"CVODE+KLU",     "SciPy LSODA/C",  "SciPy BDF/C",
                                          "SciPy Radau/C", "SciPy LSODA/np", "SciPy BDF/np"};
    for (size_t m = 0; m < sizeof METHODS / sizeof METHODS[0]; m++) {
        const run *best = NULL;
        for (int n = 0; n < rivals->n; n++) {
            const run *one = &rivals->run[n];
            if (strcmp(one->method, METHODS[m]) == 0 && one->error_K <= mine->error_K &&
                (best == NULL || one->cpu_ms < best->cpu_ms)) {
                best = one;
            }
        }
        if (best != NULL) {
            print_run(best, mine, cells);
        } else {
            printf("  %-14s no run as good\n", METHODS[m]);
        }
    }
}

int main(int argc, char **argv) {
    if (argc != 5) {
        return 2;
    }
    static runs rivals;
    section_system *s = section_system_create(REFINE);
    if (s == NULL) {
        return 1;
    }
    const int cells = section_system_cells(s);
    const size_t values = (size_t)TIMES * (size_t)cells;
    double *exact_K = malloc(values * sizeof *exact_K), *T_K = malloc(values * sizeof *T_K);
    cq_plan plan;
    cq_step_plan step;
    coated_section_plan(&plan, &step, REFINE);
    cvode_cost cost;
    if (exact_K == NULL || T_K == NULL || !cvode_solve(s, plan.heat.start_K, AT_S, TIMES, TIGHT, exact_K, &cost) ||
        !write_reference(argv[2], exact_K, values)) {
        printf("no reference\n");
        return 1;
    }
    printf("coated section, %d cells, %d nonzeros, %g s of quench; reference: CVODE at %.0e, %ld steps\n", cells,
           section_system_nonzeros(s), AT_S[TIMES - 1], TIGHT, cost.steps);
    run_cvode(s, plan.heat.start_K, exact_K, T_K, &rivals);
    run_scipy(argv, plan.heat.start_K, &rivals);
    printf("  %-14s %9s %7s %10s %9s %7s %8s\n", "method", "tolerance", "steps", "CPU ms", "error K", "times",
           "ns/cell");
    static const double TOLERANCES_K[] = {1.5, 0.5, 0.15}; /* the first is what a run takes by itself */
    for (int n = 0; n < 3; n++) {
        run mine;
        if (ours(s, TOLERANCES_K[n], exact_K, &mine)) {
            compare(&mine, &rivals, cells);
        }
    }
    printf("ladders of the rivals: tolerance, steps, CPU ms, error K\n");
    for (int n = 0; n < rivals.n; n++) {
        const run *one = &rivals.run[n];
        printf("  %-14s %9.1e %7ld %10.2f %9.4f\n", one->method, one->tolerance, one->steps, one->cpu_ms, one->error_K);
    }
    free(exact_K);
    free(T_K);
    section_system_free(s);
    return 0;
}
