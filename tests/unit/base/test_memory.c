/* test_memory.c - the checked allocator and the arena. */
#include "../../suite.h"
#include "base/memory.h"

#include <check.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

START_TEST(gives_zeroed_aligned_memory) {
    for (size_t n = 0; n < 300; n += 7) {
        unsigned char *block = cq_memory_zero(n, 3);
        ck_assert_ptr_nonnull(block);
        ck_assert_uint_eq((uintptr_t)block % 64, 0);
        for (size_t i = 0; i < 3 * n; i++) {
            ck_assert_uint_eq(block[i], 0);
        }
        cq_memory_free(block);
    }
    cq_memory_free(NULL);
}
END_TEST

START_TEST(refuses_overflow) {
    ck_assert_ptr_null(cq_memory_zero(SIZE_MAX / 4, 8));
    ck_assert_ptr_null(cq_memory_grow(NULL, SIZE_MAX / 4, 8));
    cq_arena *arena = cq_arena_create();
    ck_assert_ptr_null(cq_arena_take(arena, SIZE_MAX / 4, 8));
    cq_arena_free(arena);
}
END_TEST

START_TEST(fails_on_demand) {
    const unsigned long before = cq_memory_count();
    cq_memory_fail_after(2);
    void *first = cq_memory_zero(1, 8), *second = cq_memory_grow(NULL, 1, 8), *third = cq_memory_zero(1, 8);
    ck_assert_ptr_null(cq_memory_grow(second, 100, 8)); /* leaves `second` as it was */
    cq_memory_fail_after(-1);
    ck_assert_ptr_nonnull(first);
    ck_assert_ptr_nonnull(second);
    ck_assert_ptr_null(third);
    ck_assert_uint_eq(cq_memory_count() - before, 4);
    cq_memory_free(first);
    cq_memory_free(second);
}
END_TEST

START_TEST(arena_keeps_its_pieces_in_place) {
    enum { PIECES = 500 };
    cq_arena *arena = cq_arena_create();
    char *piece[PIECES];
    for (int i = 0; i < PIECES; i++) {
        const size_t size = (size_t)(i * 37 % 900 + 1); /* across several blocks, some larger than one */
        piece[i] = cq_arena_take(arena, i % 50 == 0 ? 40000 : size, 1);
        ck_assert_ptr_nonnull(piece[i]);
        ck_assert_uint_eq((uintptr_t)piece[i] % 16, 0);
        ck_assert_int_eq(piece[i][0], 0);
        memset(piece[i], i % 100 + 1, size);
    }
    for (int i = 0; i < PIECES; i++) {
        ck_assert_int_eq(piece[i][(size_t)(i * 37 % 900)], i % 100 + 1);
    }
    const char *text = cq_arena_text(arena, "clay and more", 4);
    ck_assert_str_eq(text, "clay");
    cq_arena_free(arena);
    cq_arena_free(NULL);
}
END_TEST

START_TEST(arena_survives_a_failure) {
    cq_arena *arena = cq_arena_create();
    ck_assert_ptr_nonnull(cq_arena_take(arena, 100, 1));
    cq_memory_fail_after(0);
    ck_assert_ptr_null(cq_arena_take(arena, 1000000, 1));
    ck_assert_ptr_null(cq_arena_create());
    ck_assert_ptr_null(
        cq_arena_take(arena, 1, 1)); /* there is room in the block: a fault test must reach it all the same */
    ck_assert_ptr_null(cq_arena_text(arena, "clay", 4));
    cq_memory_fail_after(-1);
    ck_assert_ptr_nonnull(cq_arena_take(arena, 1000000, 1));
    cq_arena_free(arena);
}
END_TEST

int main(void) {
    Suite *suite = suite_create("memory");
    TCase *tcase = tcase_create("memory");
    tcase_add_test(tcase, gives_zeroed_aligned_memory);
    tcase_add_test(tcase, refuses_overflow);
    tcase_add_test(tcase, fails_on_demand);
    tcase_add_test(tcase, arena_keeps_its_pieces_in_place);
    tcase_add_test(tcase, arena_survives_a_failure);
    suite_add_tcase(suite, tcase);
    return run_suite(suite);
}
