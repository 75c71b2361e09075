/* Twins of a shop's evidence, as many as a suite can wait for; tests/bench/tune_bench.c has four hundred. */
#include "../suite.h"
#include "../twins.h"

enum { TWINS = 16 };

/* Of 16 intervals that hold the truth nine times in ten, fewer than 11 do with a chance of 1 in 300. */
START_TEST(intervals_hold) {
    twins t;
    twin_count count = {.twins = 0};
    ck_assert(twins_open(&t, CQ_PROFILES, false));
    for (unsigned long k = 0; k < TWINS; k++) {
        ck_assert(twin_tune(&t, 7919ULL * (k + 1), &count));
    }
    twins_print(&count);
    for (int k = 0; k < CQ_TUNABLES; k++) {
        ck_assert_uint_eq(count.drawn[k], TWINS);
        ck_assert_uint_ge(count.within[k], 11);
    }
    /* what the coupons are for is learnt; with intervals as wide as the prior the count above could not fail */
    ck_assert(count.left[CQ_TUNABLE_CLAY] < 0.6 * TWINS && count.left[CQ_TUNABLE_TIME] < 0.5 * TWINS);
    ck_assert(count.left[CQ_TUNABLE_STRENGTH] < 0.5 * TWINS);
    twins_close(&t);
}
END_TEST

int main(void) {
    TCase *tc = tcase_create("twins");
    tcase_set_timeout(tc, 500);
    tcase_add_test(tc, intervals_hold);
    return run_case(tc, "twins");
}
