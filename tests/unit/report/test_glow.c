/* Hot steel's colours and folded bars told: within a screen in either units, complete or out of memory. */
#include "../../suite.h"
#include "base/memory.h"

#include <clayquench/io.h>
#include <clayquench/report_fold.h>
#include <clayquench/report_glow.h>
#include <string.h>

static void expect_screen(const char *text) {
    size_t lines = 0, columns = 0;
    for (const char *p = text; *p != '\0'; p++) {
        columns += ((unsigned char)*p & 0xc0) != 0x80;
        if (*p == '\n') {
            ck_assert_uint_le(columns, 81);
            columns = 0;
            lines++;
        }
    }
    ck_assert_msg(lines <= 24, "%zu lines:\n%s", lines, text);
}

static cq_fold_card *bar(size_t folds, size_t heats_n) {
    static const double carbon[] = {1.1, 0.0};
    static cq_fold_heat heats[CQ_FOLD_HEATS];
    for (size_t n = 0; n < CQ_FOLD_HEATS; n++) {
        heats[n] = (cq_fold_heat){1073.15, 30.0 + 1e4 * (double)n};
    }
    const cq_fold_wish wish = {2e-3, 7, 2, carbon, folds, heats_n, heats};
    cq_fold_card *card = NULL;
    ck_assert_int_eq(cq_fold_card_create(&card, &wish, NULL), CQ_OK);
    return card;
}

START_TEST(screens_fit) {
    for (int units = CQ_UNITS_METRIC; units <= CQ_UNITS_US; units++) {
        char *text = NULL;
        ck_assert_int_eq(cq_report_glow_screen((cq_unit_system)units, CQ_INK_PLAIN, &text), CQ_OK);
        expect_screen(text);
        ck_assert_ptr_null(strchr(text, '\033'));
        cq_text_free(text);
        ck_assert_int_eq(cq_report_glow_screen((cq_unit_system)units, CQ_INK_COLOURED, &text), CQ_OK);
        ck_assert_ptr_nonnull(strstr(text, "\033[48;2;"));
        cq_text_free(text);
        for (size_t heats = 1; heats <= CQ_FOLD_HEATS; heats += 9) {
            cq_fold_card *card = bar(heats % 20, heats);
            ck_assert_int_eq(cq_report_fold_screen(card, (cq_unit_system)units, &text), CQ_OK);
            expect_screen(text);
            cq_text_free(text);
            cq_fold_card_free(card);
        }
    }
}
END_TEST

START_TEST(memory_runs_out) {
    cq_fold_card *card = bar(3, 2);
    for (int what = 0; what < 5; what++) {
        for (long n = 0;; n++) {
            char *text = NULL;
            unsigned char *bytes = NULL;
            size_t length = 0;
            cq_memory_fail_after(n);
            const cq_status status = what == 0   ? cq_report_glow_screen(CQ_UNITS_METRIC, CQ_INK_PLAIN, &text)
                                     : what == 1 ? cq_report_glow_json(&text)
                                     : what == 2 ? cq_report_fold_screen(card, CQ_UNITS_US, &text)
                                     : what == 3 ? cq_report_fold_json(card, &text)
                                                 : cq_glow_picture_draw(CQ_UNITS_US, CQ_FORMAT_SVG, &bytes, &length);
            cq_memory_fail_after(-1);
            if (status == CQ_OK) {
                ck_assert_int_gt(n, 0);
                cq_text_free(text);
                cq_text_free((char *)bytes);
                break;
            }
            ck_assert_int_eq(status, CQ_ERR_MEMORY);
            ck_assert(text == NULL && bytes == NULL);
        }
    }
    cq_fold_card_free(card);
}
END_TEST

START_TEST(same_bytes) {
    for (int format = 0; format < CQ_FORMATS; format++) {
        unsigned char *bytes[2];
        size_t length[2];
        for (int n = 0; n < 2; n++) {
            ck_assert_int_eq(cq_glow_picture_draw(CQ_UNITS_METRIC, (cq_picture_format)format, &bytes[n], &length[n]),
                             CQ_OK);
        }
        ck_assert(length[0] == length[1] && memcmp(bytes[0], bytes[1], length[0]) == 0);
        cq_text_free((char *)bytes[0]);
        cq_text_free((char *)bytes[1]);
    }
}
END_TEST

int main(void) {
    TCase *tc = tcase_create("glow and fold");
    tcase_set_timeout(tc, 100);
    tcase_add_test(tc, screens_fit);
    tcase_add_test(tc, memory_runs_out);
    tcase_add_test(tc, same_bytes);
    return run_case(tc, "glow and fold");
}
