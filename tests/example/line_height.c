/* line_height.c - the smallest program on the library: runs a plan and prints where the hard line lies.
 *
 *     cc line_height.c $(pkg-config --cflags --libs clayquench) -o line_height
 *     ./line_height my-plan.yaml "$(pkg-config --variable=profiles clayquench)"
 */
#include <clayquench/clayquench.h>
#include <math.h>
#include <stdio.h>

static int complain(const cq_error *error, cq_status status) {
    fprintf(stderr, "%s\n", cq_status_sentence(status));
    for (size_t i = 0; i < error->count; i++) {
        fprintf(stderr, "%s:%d: %s\n", error->items[i].file, error->items[i].line, error->items[i].found);
    }
    return 1;
}

int main(int argc, char **argv) {
    if (argc != 3) {
        fprintf(stderr, "usage: %s PLAN PROFILE-FOLDER\n", argv[0]);
        return 2;
    }
    const char *folders[] = {argv[2]};
    const cq_search search = {1, folders};
    cq_error error = CQ_ERROR_INIT;
    cq_plan plan;
    cq_plan_init(&plan);
    cq_run *run = NULL;

    cq_status status = cq_plan_read(&plan, argv[1], &search, &error);
    if (status >= 0) {
        status = cq_run_create(&run, &plan, NULL, &error);
    }
    if (status >= 0) {
        status = cq_run_go(run, NULL, &error);
    }

    int code = 0;
    if (status < 0) {
        code = complain(&error, status);
    } else {
        const cq_result *result = cq_run_result(run);
        if (isfinite(result->line_surface_m)) {
            printf("line: %.2f mm above the edge; %s\n", 1e3 * result->line_surface_m,
                   cq_verdict_words(result->verdict));
        } else {
            printf("line: none; %s\n", cq_verdict_words(result->verdict));
        }
    }
    cq_run_free(run);
    cq_plan_clear(&plan);
    cq_error_clear(&error);
    return code;
}
