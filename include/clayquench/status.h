/* status.h - how a call says what became of it.
 *
 * Every function that can fail returns a cq_status: 0 is done, a negative value failed and left its outputs
 * untouched, a positive value is done with something to tell. Details go into a cq_error, which collects complaints
 * (checking a plan collects every complaint of the file, a computation adds one). The library never prints or exits.
 */
#ifndef CLAYQUENCH_STATUS_H
#define CLAYQUENCH_STATUS_H

#include <stddef.h>

/* One list gives the enumerator, its value and its sentence. */
#define CQ_STATUS_LIST(X)                                                                                              \
    X(CQ_OK, 0, "done")                                                                                                \
    X(CQ_NOTICED, 1, "done, with notices")                                                                             \
    X(CQ_ERR_MEMORY, -1, "not enough memory")                                                                          \
    X(CQ_ERR_ARGUMENT, -2, "an argument is outside its documented range")                                              \
    X(CQ_ERR_PLAN, -3, "the plan or profile has faults")                                                               \
    X(CQ_ERR_FILE, -4, "a file could not be read or written")                                                          \
    X(CQ_ERR_GEOMETRY, -5, "the section or its clay cannot be meshed")                                                 \
    X(CQ_ERR_STEP, -6, "a time step failed at the smallest step size")                                                 \
    X(CQ_ERR_UNREACHABLE, -7, "a step's end condition cannot be reached")                                              \
    X(CQ_ERR_CANCELLED, -8, "stopped by the observer")                                                                 \
    X(CQ_ERR_FORMAT, -9, "a result file is not one this version reads")

typedef enum cq_status {
#define CQ_STATUS_ENUM(name, value, sentence) name = (value),
    CQ_STATUS_LIST(CQ_STATUS_ENUM)
#undef CQ_STATUS_ENUM
} cq_status;

/* Sentence for a status; a fixed string, never NULL. */
const char *cq_status_sentence(cq_status status);

/* One complaint: where it is, what stood there, what was expected, what to do. Empty strings mean "not known"; line
 * and column count from 1, 0 means no place. `source_line` is the text of that line, for a caret under `column`. */
typedef struct cq_complaint {
    cq_status status;
    int line, column;
    char file[256];
    char key[128];         /* key path, lists counted from 0: steps.1.for */
    char found[192];       /* what was found */
    char expected[256];    /* what was expected */
    char remedy[256];      /* what to do */
    char source_line[256]; /* the line of the file, without its newline */
} cq_complaint;

/* A list of complaints, in file order. Starts as CQ_ERROR_INIT; cq_error_clear releases it and makes it empty again.
 * Memory: if a complaint cannot be stored because memory ran out, `lost` counts it. */
typedef struct cq_error {
    size_t count, capacity, lost;
    cq_complaint *items;
} cq_error;

#define CQ_ERROR_INIT                                                                                                  \
    { 0, 0, 0, NULL }

void cq_error_clear(cq_error *error);

/* Append a copy of `complaint`; `error` may be NULL (then nothing is kept). Returns complaint->status. */
cq_status cq_error_add(cq_error *error, const cq_complaint *complaint);

/* Append a complaint without a place in a file, with printf-like `found`, plain `expected` and `remedy`
 * (NULL = empty). Returns `status`, so a caller can write: return cq_error_say(err, CQ_ERR_STEP, ...). */
cq_status cq_error_say(cq_error *error, cq_status status, const char *key, const char *expected, const char *remedy,
                       const char *found_format, ...) __attribute__((format(printf, 6, 7)));

#endif
