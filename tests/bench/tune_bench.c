/* tune_bench.c - four hundred twins of a shop's evidence: how often the 90 % interval of each number holds the truth.
 * Arguments: folder of the profiles, twins (400), "line" to have a knife's line among the evidence. */
#include "../twins.h"

#include <time.h>

int main(int argc, char **argv) {
    twins t;
    twin_count count = {.twins = 0};
    const unsigned long wanted = argc > 2 ? strtoul(argv[2], NULL, 10) : 400;
    if (argc < 2 || !twins_open(&t, argv[1], argc > 3)) {
        return 2;
    }
    const clock_t begun = clock();
    for (unsigned long k = 0; k < wanted; k++) {
        if (!twin_tune(&t, 1000003ULL * (k + 1), &count)) {
            printf("twin %lu failed\n", k);
        }
    }
    twins_print(&count);
    printf("  %.2f s of CPU a twin\n", (double)(clock() - begun) / CLOCKS_PER_SEC / (double)wanted);
    twins_close(&t);
    return 0;
}
