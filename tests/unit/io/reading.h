/* reading.h - what the tests of this floor share: a plan of every part, and how to read and run. */
#ifndef CQ_TEST_READING_H
#define CQ_TEST_READING_H

#include "../../suite.h"

#include <clayquench/io.h>

#include <check.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* A plan that stands alone: no profile has a part in it. */
static const char PLATE[] = "format: clayquench-plan 1\n"
                            "blade: {section: plate, thickness: 4 mm}\n"
                            "steel: {kind: inert, conductivity: 30 W/m/K, heat-capacity: 4.5 MJ/m^3/K}\n"
                            "start: 800 °C\n"
                            "steps:\n"
                            "  - {in: {kind: table, heat-transfer: 2000 W/m^2/K}, at: 20 °C, for: 2 s}\n";

static const char *const SHIPPED_FOLDERS[] = {CQ_PROFILES};
static const cq_search SHIPPED = {1, SHIPPED_FOLDERS};

/* The complaints of the last read, released by the next one or by forget(). */
static cq_error told = CQ_ERROR_INIT;

static inline void forget(void) {
    cq_error_clear(&told);
}

static inline cq_status read_text(cq_plan *plan, const char *text) {
    forget();
    cq_plan_init(plan);
    return cq_plan_read_text(plan, text, strlen(text), "test.yaml", NULL, &SHIPPED, &told);
}

/* Read what must be good. */
static inline void read_good(cq_plan *plan, const char *text) {
    const cq_status status = read_text(plan, text);
    ck_assert_msg(status == CQ_OK, "%s: %s %s", cq_status_sentence(status), told.count > 0 ? told.items[0].key : "",
                  told.count > 0 ? told.items[0].found : "");
    ck_assert_uint_eq(told.count, 0);
}

/* Read what must be refused with exactly one complaint about `key`. */
static inline void read_bad(const char *text, const char *key) {
    cq_plan plan;
    ck_assert_int_eq(read_text(&plan, text), CQ_ERR_PLAN);
    ck_assert_ptr_null(plan.arena);
    ck_assert_msg(told.count == 1 && strcmp(told.items[0].key, key) == 0, "%zu complaints, the first about '%s': %s",
                  told.count, told.items[0].key, told.items[0].found);
}

/* `text` with the first `from` replaced by `to`; released with free. */
static inline char *with(const char *text, const char *from, const char *to) {
    const char *at = strstr(text, from);
    ck_assert_ptr_nonnull(at);
    const size_t before = (size_t)(at - text), size = strlen(text) + strlen(to) + 1;
    char *changed = malloc(size);
    ck_assert_ptr_nonnull(changed);
    snprintf(changed, size, "%.*s%s%s", (int)before, text, to, at + strlen(from));
    return changed;
}

#endif
