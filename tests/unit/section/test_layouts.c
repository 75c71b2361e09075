/* test_layouts.c - random clay on random blades must give a valid grid, and lack of memory a clean refusal.
 *
 * With a number as argument that many layouts are tried (the suite tries 2000).
 */
#include "base/memory.h"
#include "sections.h"

#include <malloc.h>
#include <stdio.h>
#include <stdlib.h>

static int layouts = 2000;

/* Refused layouts are counted; on blades with no flank above 40 degrees and no hollow, every one can be built. */
START_TEST(random_layouts) {
    uint64_t state = 20240229;
    int refused = 0, sloped = 0;
    for (int n = 0; n < layouts; n++) {
        cq_coat_point points[MOST_POINTS];
        cq_outline_point outline[2 * OUTLINE_POINTS];
        const cq_blade blade = random_blade(&state, outline);
        const cq_coat coat = random_coat(&state, blade.height_m, points);
        const cq_grid_wish wish = {20 + random_below(&state, 100), 2 + random_below(&state, 7),
                                   1 + random_below(&state, 7), 1};
        cq_section *section = NULL;
        cq_grid *grid = NULL;
        cq_error error = CQ_ERROR_INIT;
        const cq_status status = cq_section_create(&section, &blade, &coat, &error);
        sloped += status == CQ_NOTICED;
        if (status < 0 || cq_grid_create(&grid, section, &wish, &error) < 0) {
            refused++;
            ck_assert_uint_eq(error.count, 1);
            ck_assert_int_eq(error.items[0].status, CQ_ERR_GEOMETRY);
            printf("layout %d refused: %s: %s\n", n, error.items[0].key, error.items[0].found);
        } else {
            ck_assert(cq_section_is_valid(section));
            ck_assert(cq_grid_is_valid(grid));
        }
        cq_grid_free(grid);
        cq_section_free(section);
        cq_error_clear(&error);
    }
    ck_assert_int_eq(refused, 0);
    ck_assert_int_gt(sloped, layouts / 4); /* the generator does make steps */
}
END_TEST

/* Lets the first, second, third ... allocation fail until all is built; returns how many there are. */
static long fail_every_allocation(void) {
    const cq_blade blade = ridged_blade(28, 1.2, 3.2, 20, 8);
    const cq_coat_point points[] = {sides(0, 1, 0.5), sides(9, 0.3, 0.5), sides(9, 3, 0), sides(14, 0, 2)};
    const cq_coat coat = {4, points, 1 * MM, 2 * MM};
    const cq_grid_wish wish = {20, 2, 2, 1};
    bool built = false;
    long n = 0;
    for (; !built; n++) {
        cq_section *section = NULL;
        cq_grid *grid = NULL;
        cq_memory_fail_after(n);
        cq_status status = cq_section_create(&section, &blade, &coat, NULL);
        if (status >= 0) {
            status = cq_grid_create(&grid, section, &wish, NULL);
        }
        cq_memory_fail_after(-1);
        built = status >= 0;
        ck_assert(built || (status == CQ_ERR_MEMORY && grid == NULL));
        cq_grid_free(grid);
        cq_section_free(section);
    }
    return n - 1;
}

/* A clean status each time and nothing left behind: the heap stays the same size once the allocator's caches are warm.
 */
START_TEST(every_allocation_may_fail) {
    ck_assert_int_gt((int)fail_every_allocation(), 30); /* the counter does reach the grid's arrays */
    for (int n = 0; n < 5; n++) {
        fail_every_allocation();
    }
    const size_t before = mallinfo2().uordblks;
    for (int n = 0; n < 5; n++) {
        fail_every_allocation();
    }
    const size_t after = mallinfo2().uordblks;
    ck_assert_uint_eq(after, before);
}
END_TEST

int main(int argc, char **argv) {
    layouts = argc > 1 ? atoi(argv[1]) : layouts;
    Suite *suite = suite_create("layouts");
    TCase *tc = tcase_create("layouts");
    tcase_set_timeout(tc, 120);
    tcase_add_test(tc, random_layouts);
    tcase_add_test(tc, every_allocation_may_fail);
    suite_add_tcase(suite, tc);
    return run_suite(suite);
}
