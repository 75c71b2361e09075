/* short_memory.h - a page that is made whichever allocation fails: the same bytes twice, or CQ_ERR_MEMORY. */
#ifndef TEST_REPORT_SHORT_MEMORY_H
#define TEST_REPORT_SHORT_MEMORY_H

#include "base/memory.h"

#include <check.h>
#include <clayquench/clayquench.h>

typedef cq_status make_page(cq_page_medium medium, unsigned char **bytes, size_t *length);

static inline void page_tells_short_memory(make_page *make, cq_page_medium medium) {
    unsigned char *whole, *bytes;
    size_t whole_n, length;
    ck_assert_int_eq(make(medium, &whole, &whole_n), CQ_OK);
    const unsigned long before = cq_memory_count();
    ck_assert_int_eq(make(medium, &bytes, &length), CQ_OK);
    const long all = (long)(cq_memory_count() - before);
    ck_assert_uint_eq(length, whole_n);
    ck_assert_mem_eq(bytes, whole, length);
    cq_text_free((char *)bytes);
    ck_assert_int_gt(all, 40);
    for (long n = 0; n < all; n += 1 + all / 24) {
        cq_memory_fail_once_after(n);
        const cq_status status = make(medium, &bytes, &length);
        cq_memory_fail_after(-1);
        ck_assert_msg(status == CQ_ERR_MEMORY, "allocation %ld of %ld: status %d", n, all, status);
    }
    cq_text_free((char *)whole);
}

#endif
