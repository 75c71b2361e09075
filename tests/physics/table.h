/* table.h - a table of checks: check, source, expected, got, accepted. A check that fails with the shipped laws is
 * marked as a known miss; the test fails when a known miss starts to pass, so that the mark is taken off. */
#ifndef TEST_PHYSICS_TABLE_H
#define TEST_PHYSICS_TABLE_H

#include <stdbool.h>
#include <stdio.h>

static int failures;

static inline void row(const char *check, const char *source, double expected, double got, double low, double high,
                       bool known_miss) {
    const bool passed = got >= low && got <= high;
    const bool good = passed != known_miss;
    failures += !good;
    printf("%-44s %-22s %9.4g %9.4g   %.4g..%.4g %s\n", check, source, expected, got, low, high,
           good     ? (known_miss ? "known miss" : "ok")
           : passed ? "PASSES NOW: take the mark off"
                    : "FAILED");
}

/* A file of the data folder behind its remarks and its heading. */
static inline FILE *data_open(const char *name) {
    char path[1024], line[512];
    snprintf(path, sizeof path, "%s/%s", TEST_DATA, name);
    FILE *file = fopen(path, "r");
    if (file == NULL) {
        printf("%s cannot be read\n", path);
        failures++;
        return NULL;
    }
    do {
        if (fgets(line, sizeof line, file) == NULL) {
            break;
        }
    } while (line[0] == '#');
    return file;
}

static inline void rows_expected(const char *name, int expected, int got) {
    if (got != expected) {
        printf("%s: %d rows read, %d expected\n", name, got, expected);
        failures++;
    }
}

#endif
