/* status.c - status sentences and the list of complaints. */
#include "base/memory.h"

#include <clayquench/status.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

const char *cq_status_sentence(cq_status status) {
    switch (status) {
#define SENTENCE_CASE(name, value, sentence)                                                                           \
    case name:                                                                                                         \
        return sentence;
        CQ_STATUS_LIST(SENTENCE_CASE)
#undef SENTENCE_CASE
    }
    return "unknown status";
}

void cq_error_clear(cq_error *error) {
    if (error == NULL) {
        return;
    }
    cq_memory_free(error->items);
    *error = (cq_error)CQ_ERROR_INIT;
}

cq_status cq_error_add(cq_error *error, const cq_complaint *complaint) {
    if (error == NULL) {
        return complaint->status;
    }
    if (error->count == error->capacity) {
        size_t wanted = error->capacity == 0 ? 4 : 2 * error->capacity;
        cq_complaint *grown = cq_memory_grow(error->items, wanted, sizeof *grown);
        if (grown == NULL) {
            error->lost++;
            return complaint->status;
        }
        error->items = grown;
        error->capacity = wanted;
    }
    error->items[error->count++] = *complaint;
    return complaint->status;
}

static void copy_text(char *to, size_t size, const char *from) {
    snprintf(to, size, "%s", from == NULL ? "" : from);
}

cq_status cq_error_say(cq_error *error, cq_status status, const char *key, const char *expected, const char *remedy,
                       const char *found_format, ...) {
    cq_complaint complaint;
    memset(&complaint, 0, sizeof complaint);
    complaint.status = status;
    copy_text(complaint.key, sizeof complaint.key, key);
    copy_text(complaint.expected, sizeof complaint.expected, expected);
    copy_text(complaint.remedy, sizeof complaint.remedy, remedy);
    va_list arguments;
    va_start(arguments, found_format);
    vsnprintf(complaint.found, sizeof complaint.found, found_format, arguments);
    va_end(arguments);
    return cq_error_add(error, &complaint);
}
