/* The crack index: what counts, what it is weighed with, the classes. */
#include "../../suite.h"
#include "mechanics/crack.h"

#include <math.h>

START_TEST(only_tension_in_cold_martensite_counts) {
    const double T[] = {300, 300, 500, 300, 300}, M[] = {0.9, 0.2, 0.9, 0.9, 0.5},
                 s[] = {-500e6, 400e6, 400e6, 100e6, 150e6};
    const double severity[] = {1, 1, 1, 1, 1};
    const cq_crack_fields f = {5, T, M, s, severity};
    cq_crack crack = {0};
    ck_assert(cq_crack_look(&crack, &f, 3.0));
    ck_assert_uint_eq(crack.worst.cell, 3); /* 0 is compressed, 1 has too little martensite, 2 is hot, 4 is less */
    ck_assert_double_lt(fabs(crack.worst.index_Pa - 90e6), 1.0);
    ck_assert(!cq_crack_look(&crack, &f, 4.0)); /* no worse than before: the first time stands */
    ck_assert_double_lt(fabs(crack.worst.time_s - 3.0), 1e-12);
    ck_assert_double_lt(fabs(crack.worst.tension_Pa - 100e6), 1.0);
}
END_TEST

START_TEST(finish_thickness_carbon_and_grain_weigh) {
    const double base = cq_crack_severity(CQ_FINISH_GROUND, 2e-3, 0.8, 8.0);
    ck_assert_double_lt(fabs(base - 1.0), 0.01);
    ck_assert_double_lt(cq_crack_severity(CQ_FINISH_POLISHED, 2e-3, 0.8, 8.0), 0.7 * base);
    ck_assert_double_gt(cq_crack_severity(CQ_FINISH_SCRATCHED, 2e-3, 0.8, 8.0), 1.5 * base);
    ck_assert_double_gt(cq_crack_severity(CQ_FINISH_SCRATCHED, 0.5e-3, 0.8, 8.0),
                        1.1 * cq_crack_severity(CQ_FINISH_SCRATCHED, 2e-3, 0.8, 8.0));
    ck_assert_double_lt(fabs(cq_crack_severity(CQ_FINISH_GROUND, 2e-3, 1.0, 8.0) / base - 1.25), 1e-9);
    ck_assert_double_lt(fabs(cq_crack_severity(CQ_FINISH_GROUND, 2e-3, 0.8, 6.0) / base - sqrt(2.0)), 1e-9);
}
END_TEST

START_TEST(words_and_classes) {
    ck_assert_int_eq(cq_finish_of(NULL), CQ_FINISH_GROUND);
    ck_assert_int_eq(cq_finish_of("polished"), CQ_FINISH_POLISHED);
    ck_assert_int_eq(cq_finish_of("scratched-across"), CQ_FINISH_SCRATCHED);
    ck_assert_int_eq(cq_crack_class_of(0.0), CQ_CRACK_LOW);
    ck_assert_int_eq(cq_crack_class_of(200e6), CQ_CRACK_MEDIUM);
    ck_assert_int_eq(cq_crack_class_of(500e6), CQ_CRACK_HIGH);
}
END_TEST

/* The index climbs in jumps and by rounding; what is told is the first moment near the top, and each class's own. */
START_TEST(a_plateau_does_not_choose_the_moment) {
    static const struct {
        double time_s, stress_MPa;
        int cause;
    } climb[] = {{1, 0.5, 0}, {2, 60, 1}, {3, 130, 2}, {4, 290, 3}, {187, 294, 4}, {422, 294.1, 5}};
    const double T[] = {300}, M[] = {1}, severity[] = {1};
    cq_crack crack = {0};
    for (size_t n = 0; n < sizeof climb / sizeof climb[0]; n++) {
        const double s[] = {climb[n].stress_MPa * 1e6};
        ck_assert(cq_crack_look(&crack, &(cq_crack_fields){1, T, M, s, severity}, climb[n].time_s));
        cq_crack_keep(&crack, climb[n].cause);
        if (n == 0) { /* below the first rung */
            ck_assert_double_lt(fabs(cq_crack_nearly_worst(&crack)->time_s - 1.0), 1e-12);
        }
    }
    const cq_crack_moment *most = cq_crack_nearly_worst(&crack);
    ck_assert_double_lt(fabs(most->time_s - 4.0), 1e-12);
    ck_assert_int_eq(most->cause, 3);
    ck_assert_double_lt(fabs(crack.worst.time_s - 422.0), 1e-12);
    ck_assert_double_lt(fabs(crack.since[CQ_CRACK_LOW].time_s - 1.0), 1e-12);
    ck_assert_double_lt(fabs(crack.since[CQ_CRACK_MEDIUM].time_s - 3.0), 1e-12);
    ck_assert(!(crack.since[CQ_CRACK_HIGH].index_Pa > 0.0));
}
END_TEST

int main(void) {
    TCase *tc = tcase_create("crack");
    tcase_add_test(tc, only_tension_in_cold_martensite_counts);
    tcase_add_test(tc, finish_thickness_carbon_and_grain_weigh);
    tcase_add_test(tc, words_and_classes);
    tcase_add_test(tc, a_plateau_does_not_choose_the_moment);
    return run_case(tc, "crack");
}
