/* plan_mutations.c - fixed mutations of real files through the fuzz target: the same ones in every run.
 *
 *     plan_mutations PROFILES BROKEN [COUNT [SEED]]
 */
#define _POSIX_C_SOURCE 200809L
#include "base/units.h"

#include <dirent.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

enum { MOST_SEEDS = 200, LARGEST = 16384, DEFAULT_COUNT = 4000 };
static char *seed_text[MOST_SEEDS];
static size_t seed_size[MOST_SEEDS], seeds_n;

static uint64_t state = 1;

/* xorshift64*: the same numbers everywhere. */
static uint32_t draw(uint32_t below) {
    state ^= state >> 12;
    state ^= state << 25;
    state ^= state >> 27;
    return (uint32_t)((state * 0x2545F4914F6CDD1DULL) >> 32) % below;
}

static int by_name(const struct dirent **a, const struct dirent **b) {
    return strcmp((*a)->d_name, (*b)->d_name);
}

static void take_folder(const char *folder) {
    struct dirent **entries = NULL;
    const int n = scandir(folder, &entries, NULL, by_name);
    for (int e = 0; e < n; e++) {
        char path[4096];
        const size_t length = strlen(entries[e]->d_name);
        snprintf(path, sizeof path, "%s/%s", folder, entries[e]->d_name);
        FILE *file = length > 5 && strcmp(entries[e]->d_name + length - 5, ".yaml") == 0 && seeds_n < MOST_SEEDS
                         ? fopen(path, "rb")
                         : NULL;
        if (file != NULL) {
            seed_text[seeds_n] = calloc(1, LARGEST);
            seed_size[seeds_n] = fread(seed_text[seeds_n], 1, LARGEST / 4, file);
            seeds_n++;
            fclose(file);
        }
        free(entries[e]);
    }
    free(entries);
}

/* Replace [at, at + gone) of the text by n bytes; whatever does not fit is left as it was. */
static void splice(char *text, size_t *size, size_t at, size_t gone, const char *bytes, size_t n) {
    if (*size - gone + n >= LARGEST) {
        return;
    }
    memmove(text + at + n, text + at + gone, *size - at - gone);
    memcpy(text + at, bytes, n);
    *size = *size - gone + n;
}

static void mutate(char *text, size_t *size) {
    static const char *const words[] = {"~",
                                        "null",
                                        "true",
                                        "-",
                                        "{",
                                        "}",
                                        "[",
                                        "]",
                                        ":",
                                        ",",
                                        "\n",
                                        "  ",
                                        "\t",
                                        "*a",
                                        "&a ",
                                        "!!int ",
                                        "|\n",
                                        "---\n",
                                        "? ",
                                        "0 mm",
                                        "-1 mm",
                                        "1e999 mm",
                                        "nan °C",
                                        "1/0 in",
                                        "8 s",
                                        "9 %",
                                        "°",
                                        "from: 1084",
                                        "value: ",
                                        "[[20 °C, 3 W/m/K]]",
                                        "coat: ",
                                        "steps:",
                                        "mix: ",
                                        "ridge: {at: 3 mm}",
                                        "until: ",
                                        "section: ",
                                        "round",
                                        "convex",
                                        "outline",
                                        "points: [[0 mm, 1 mm], [28 mm, 2 mm]]",
                                        "one-sided",
                                        "groove: {at: 9 mm, width: 4 mm, depth: 0.2 mm}",
                                        "grid: {refine: 8}",
                                        "zones: 1\n",
                                        "\xff",
                                        "\xc2",
                                        "\xef\xbb\xbf",
                                        "\r\n",
                                        "\"",
                                        "'",
                                        "#",
                                        "%YAML 1.1\n",
                                        "<<: ",
                                        "999999999999999999999"};
    const size_t at = draw((uint32_t)*size + 1), left = *size - at,
                 some = left == 0 ? 0 : draw((uint32_t)(left < 40 ? left : 40)) + 1;
    char piece[64];
    switch (draw(7)) {
    case 0: /* another byte */
        if (left > 0) {
            text[at] = (char)draw(256);
        }
        break;
    case 1: /* a word in between */
    case 2: {
        const char *word = words[draw(sizeof words / sizeof words[0])];
        splice(text, size, at, 0, word, strlen(word));
        break;
    }
    case 3: /* a word in place of something */
    {
        const char *word = words[draw(sizeof words / sizeof words[0])];
        splice(text, size, at, some, word, strlen(word));
        break;
    }
    case 4: /* something left out */
        splice(text, size, at, some, "", 0);
        break;
    case 5: { /* something doubled elsewhere */
        const size_t to = draw((uint32_t)*size + 1);
        memcpy(piece, text + at, some);
        splice(text, size, to, 0, piece, some);
        break;
    }
    default: { /* a piece of another file */
        const size_t other = draw((uint32_t)seeds_n);
        const size_t from = draw((uint32_t)seed_size[other] + 1), room = seed_size[other] - from,
                     n = room < 60 ? room : 60;
        splice(text, size, at, 0, seed_text[other] + from, n);
        break;
    }
    }
}

int main(int argc, char **argv) {
    static char text[LARGEST];
    if (argc < 3) {
        fprintf(stderr, "plan_mutations PROFILES BROKEN [COUNT [SEED]]\n");
        return EXIT_FAILURE;
    }
    char folder[4096];
    snprintf(folder, sizeof folder, "%s/plans", argv[1]);
    take_folder(folder);
    take_folder(folder); /* twice: good plans come more often than broken ones */
    take_folder(argv[2]);
    const long count = argc > 3 ? strtol(argv[3], NULL, 10) : DEFAULT_COUNT;
    state = argc > 4 ? strtoull(argv[4], NULL, 10) | 1 : 0x9E3779B97F4A7C15ULL;
    cq_units *units = cq_units_open(); /* kept open, so that it is not loaded for every text */
    for (long i = 0; i < count && seeds_n > 0; i++) {
        const size_t seed = i % 3 == 0 ? (size_t)i / 3 % seeds_n : draw(seeds_n < 6 ? (uint32_t)seeds_n : 6);
        size_t size = seed_size[seed];
        memcpy(text, seed_text[seed], size);
        for (uint32_t m = draw(4) + (i >= (long)seeds_n); m > 0; m--) {
            mutate(text, &size);
        }
        char *exact = malloc(size > 0 ? size : 1); /* so that a sanitizer sees a read beyond the end */
        memcpy(exact, text, size);
        LLVMFuzzerTestOneInput((const uint8_t *)exact, size);
        free(exact);
    }
    cq_units_close(units);
    for (size_t s = 0; s < seeds_n; s++) {
        free(seed_text[s]);
    }
    printf("%ld texts from %zu files\n", count, seeds_n);
    return seeds_n > 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
