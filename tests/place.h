/* place.h - a folder of a test's own, and paths in it. Set up before a test, removed with all it holds after it. */
#ifndef TEST_PLACE_H
#define TEST_PLACE_H

#include <check.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static char place[64];

static inline void place_make(void) {
    enum { FILLED_IN = 6 }; /* places that mkdtemp wants as X */
    memset(place, 0, sizeof place);
    strcpy(place, "/tmp/clayquench-");
    memset(place + strlen(place), 'X', FILLED_IN);
    ck_assert_ptr_nonnull(mkdtemp(place));
}

static inline void place_remove(void) {
    char command[96];
    snprintf(command, sizeof command, "rm -rf '%s'", place);
    ck_assert_int_eq(system(command), 0);
}

/* The last eight paths asked for stay good. */
static inline char *in_place(const char *name) {
    static char path[8][256];
    static int next;
    char *to = path[next++ % 8];
    snprintf(to, sizeof path[0], "%s/%s", place, name);
    return to;
}

#endif
