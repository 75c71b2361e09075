/* The runner: the same rows whatever the threads, failures counted, blocks, parts, and a clean end. */
#include "../../suite.h"

#include "../../studies.h"
#include "base/memory.h"

#include <string.h>

static cq_study_table *made_by(int threads, size_t part, size_t parts) {
    cq_study_table *table = study_table();
    const cq_study_options options = {.threads = threads, .part = part, .parts = parts};
    ck_assert_int_eq(cq_study_go(table, &study_source, &options, NULL, NULL), CQ_OK);
    return table;
}

START_TEST(threads_do_not_show) {
    cq_study_table *one = made_by(1, 1, 1), *four = made_by(4, 1, 1);
    ck_assert_uint_eq(cq_study_table_count(one, STUDY_RUNS, CQ_ROW_DONE), STUDY_RUNS - 1);
    study_same_rows(one, four);
    /* thicker plates are softer in the middle: the rows are of their own plans */
    ck_assert_double_gt(one->row[0].value[CQ_FIGURE_BODY_HV], one->row[23].value[CQ_FIGURE_BODY_HV] + 50.0);
    cq_study_table_free(one);
    cq_study_table_free(four);
}
END_TEST

START_TEST(a_failing_run_is_named) {
    cq_study_table *table = made_by(2, 1, 1);
    ck_assert_int_eq(table->row[SOUR].state, CQ_ROW_FAILED);
    ck_assert_str_eq(table->row[SOUR].message, "blade.thickness: none; expected a thickness");
    ck_assert(isnan(table->row[SOUR].value[CQ_FIGURE_BODY_HV]));
    ck_assert_uint_eq(cq_study_table_count(table, STUDY_RUNS, CQ_ROW_FAILED), 1);
    cq_study_table_free(table);
}
END_TEST

START_TEST(parts_make_the_whole) {
    cq_study_table *whole = made_by(2, 1, 1), *joined = study_table();
    for (size_t part = 1; part <= 3; part++) {
        cq_study_table *one = made_by(2, part, 3);
        for (size_t run = 0; run < STUDY_RUNS; run++) {
            if (run % 3 == part - 1) {
                joined->row[run] = one->row[run];
            } else {
                ck_assert_int_eq(one->row[run].state, CQ_ROW_OPEN);
            }
        }
        cq_study_table_free(one);
    }
    study_same_rows(whole, joined);
    cq_study_table_free(whole);
    cq_study_table_free(joined);
}
END_TEST

typedef struct listener {
    size_t rows, blocks, stop_at, refuse_at;
    const cq_study_table *table;
} listener;

static cq_status on_row(void *context, size_t run, const cq_row *row, cq_error *error) {
    listener *l = context;
    (void)run;
    ck_assert_int_ne(row->state, CQ_ROW_OPEN);
    return ++l->rows == l->refuse_at ? cq_error_say(error, CQ_ERR_FILE, "", "", "", "full") : CQ_OK;
}

static bool on_block(void *context, size_t through) {
    listener *l = context;
    l->blocks++;
    ck_assert_uint_eq(cq_study_table_count(l->table, through, CQ_ROW_OPEN), 0);
    if (l->rows > 0) { /* made by this call: nobody ran ahead */
        ck_assert_uint_eq(l->rows, through);
    }
    return through >= l->stop_at;
}

START_TEST(ends_at_a_block_when_it_is_enough) {
    for (int threads = 1; threads <= 4; threads++) {
        cq_study_table *table = study_table();
        listener l = {.stop_at = 12, .table = table};
        const cq_study_options options = {.threads = threads, .block = 5};
        ck_assert_int_eq(
            cq_study_go(table, &study_source, &options, &(cq_study_sink){on_row, NULL, on_block, &l}, NULL), CQ_OK);
        ck_assert_uint_eq(l.blocks, 3);
        ck_assert_uint_eq(l.rows, 15);
        /* the same again: every row is there, nothing is run, the same end */
        l.rows = l.blocks = 0;
        ck_assert_int_eq(
            cq_study_go(table, &study_source, &options, &(cq_study_sink){on_row, NULL, on_block, &l}, NULL), CQ_OK);
        ck_assert_uint_eq(l.rows, 0);
        ck_assert_uint_eq(l.blocks, 3);
        cq_study_table_free(table);
    }
}
END_TEST

static bool no_more(void *context, size_t done, size_t planned) {
    ck_assert_uint_eq(planned, STUDY_RUNS);
    *(size_t *)context = done;
    return done < 3;
}

START_TEST(stops_cleanly_and_goes_on) {
    cq_study_table *whole = made_by(2, 1, 1), *table = study_table();
    size_t done = 0;
    const cq_study_options options = {.threads = 2};
    cq_status status = CQ_ERR_CANCELLED;
    for (int calls = 0; status == CQ_ERR_CANCELLED && calls < 100; calls++) {
        const size_t before = STUDY_RUNS - cq_study_table_count(table, STUDY_RUNS, CQ_ROW_OPEN);
        done = 0;
        status = cq_study_go(table, &study_source, &options, &(cq_study_sink){NULL, no_more, NULL, &done}, NULL);
        if (before >= 3) {
            break; /* the watch says no at once from here on */
        }
    }
    status = cq_study_go(table, &study_source, &options, NULL, NULL);
    ck_assert_int_eq(status, CQ_OK);
    study_same_rows(whole, table);
    cq_study_table_free(whole);
    cq_study_table_free(table);
}
END_TEST

/* A run that takes far longer than the calling thread waits before it looks up. */
static cq_status make_long(void *context, size_t run, cq_plan *plan, cq_error *error) {
    (void)error;
    cq_step_plan *steps = context;
    (void)run;
    start_plan(plan, steps, 40);
    plan->blade = sloyd_blade();
    plan->grid = (cq_grid_wish){200, 16, 12, 3};
    return CQ_OK;
}

static bool stop_now(void *context, size_t done, size_t planned) {
    (void)context, (void)done, (void)planned;
    return false;
}

START_TEST(a_run_under_way_is_given_up) {
    cq_study_table *table = NULL;
    cq_step_plan steps[2];
    const cq_study_source source = {make_long, NULL, steps};
    ck_assert_int_ge(cq_study_table_create(&table, 1, 0, NULL), 0);
    ck_assert_int_eq(cq_study_go(table, &source, &(cq_study_options){.threads = 1},
                                 &(cq_study_sink){NULL, stop_now, NULL, NULL}, NULL),
                     CQ_ERR_CANCELLED);
    ck_assert_int_eq(table->row[0].state, CQ_ROW_OPEN);
    cq_study_table_free(table);
}
END_TEST

START_TEST(a_row_that_cannot_be_kept_ends_it) {
    cq_study_table *table = study_table();
    listener l = {.refuse_at = 4, .table = table};
    cq_error error = CQ_ERROR_INIT;
    const cq_study_options options = {.threads = 3};
    ck_assert_int_eq(cq_study_go(table, &study_source, &options, &(cq_study_sink){on_row, NULL, NULL, &l}, &error),
                     CQ_ERR_FILE);
    ck_assert_uint_eq(error.count, 1);
    ck_assert_str_eq(error.items[0].found, "full");
    ck_assert_uint_ge(cq_study_table_count(table, STUDY_RUNS, CQ_ROW_OPEN), STUDY_RUNS - 5);
    cq_error_clear(&error);
    cq_study_table_free(table);
}
END_TEST

int main(void) {
    TCase *tc = tcase_create("runner");
    tcase_set_timeout(tc, 120);
    tcase_add_test(tc, threads_do_not_show);
    tcase_add_test(tc, a_failing_run_is_named);
    tcase_add_test(tc, parts_make_the_whole);
    tcase_add_test(tc, ends_at_a_block_when_it_is_enough);
    tcase_add_test(tc, stops_cleanly_and_goes_on);
    tcase_add_test(tc, a_run_under_way_is_given_up);
    tcase_add_test(tc, a_row_that_cannot_be_kept_ends_it);
    return run_case(tc, "runner");
}
