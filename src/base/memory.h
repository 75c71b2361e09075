/* memory.h - the checked allocator and the arena.
 *
 * All memory of the library comes from here, so that a test can make the n-th allocation fail (cq_memory_fail_after).
 * An arena owns many small pieces that are released together; pieces never move.
 */
#ifndef CQ_BASE_MEMORY_H
#define CQ_BASE_MEMORY_H

#include <stddef.h>

/* n * size zeroed bytes, 64-byte aligned; NULL when memory is short or the product overflows. n == 0 gives a valid
 * pointer. */
void *cq_memory_zero(size_t n, size_t size);
/* Resize a block from cq_memory_zero / cq_memory_grow (plain alignment, not zeroed); NULL leaves `block` as it was. */
void *cq_memory_grow(void *block, size_t n, size_t size);
void cq_memory_free(void *block);

/* For tests: let the next `successes` allocations pass and every later one fail; negative: never fail (default).
 * Counted per thread; a piece of an arena counts like any other, whether or not it needs a new block. */
void cq_memory_fail_after(long successes);
/* The same, but only one fails: whoever does not look at what he got goes on with a hole. */
void cq_memory_fail_once_after(long successes);
/* Allocations asked for by this thread since it started. */
unsigned long cq_memory_count(void);

typedef struct cq_arena cq_arena;
cq_arena *cq_arena_create(void);
void cq_arena_free(cq_arena *arena);
void *cq_arena_take(cq_arena *arena, size_t n, size_t size);           /* zeroed; NULL when memory is short */
char *cq_arena_text(cq_arena *arena, const char *text, size_t length); /* copy, NUL-terminated */

#endif
