/* memory.c - checked allocation with a fault counter, and the arena. */
#include "base/memory.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

enum { CACHE_LINE = 64, ARENA_BLOCK = 16384 };

static _Thread_local long successes_left = -1;
static _Thread_local int fails_once;
static _Thread_local unsigned long allocations;

void cq_memory_fail_after(long successes) {
    successes_left = successes;
    fails_once = 0;
}

void cq_memory_fail_once_after(long successes) {
    successes_left = successes;
    fails_once = 1;
}

unsigned long cq_memory_count(void) {
    return allocations;
}

static int allocation_allowed(void) {
    allocations++;
    if (successes_left < 0) {
        return 1;
    }
    const int allowed = successes_left > 0;
    successes_left -= allowed || fails_once ? 1 : 0; /* -1: never again */
    return allowed;
}

void *cq_memory_zero(size_t n, size_t size) {
    if ((size != 0 && n > SIZE_MAX / 2 / size) || !allocation_allowed()) {
        return NULL;
    }
    size_t bytes = n * size;
    bytes = bytes == 0 ? CACHE_LINE : (bytes + CACHE_LINE - 1) / CACHE_LINE * CACHE_LINE;
    void *block = aligned_alloc(CACHE_LINE, bytes);
    if (block != NULL) {
        memset(block, 0, bytes);
    }
    return block;
}

void *cq_memory_grow(void *block, size_t n, size_t size) {
    if ((size != 0 && n > SIZE_MAX / 2 / size) || !allocation_allowed()) {
        return NULL;
    }
    return realloc(block, n * size == 0 ? 1 : n * size);
}

void cq_memory_free(void *block) {
    free(block);
}

struct cq_arena {
    struct arena_block {
        struct arena_block *next;
        size_t used, size;
    } * blocks;
};

cq_arena *cq_arena_create(void) {
    return cq_memory_zero(1, sizeof(cq_arena));
}

void cq_arena_free(cq_arena *arena) {
    if (arena == NULL) {
        return;
    }
    for (struct arena_block *block = arena->blocks; block != NULL;) {
        struct arena_block *next = block->next;
        cq_memory_free(block);
        block = next;
    }
    cq_memory_free(arena);
}

void *cq_arena_take(cq_arena *arena, size_t n, size_t size) {
    if ((size != 0 && n > SIZE_MAX / 4 / size) || !allocation_allowed()) { /* each piece counts, not only each block */
        return NULL;
    }
    const size_t align = 16, header = (sizeof(struct arena_block) + align - 1) / align * align;
    size_t bytes = (n * size + align - 1) / align * align;
    struct arena_block *block = arena->blocks;
    if (block == NULL || block->size - block->used < bytes) {
        size_t room = bytes > ARENA_BLOCK ? bytes : ARENA_BLOCK;
        block = cq_memory_zero(1, header + room);
        if (block == NULL) {
            return NULL;
        }
        block->size = room;
        block->next = arena->blocks;
        arena->blocks = block;
    }
    void *piece = (char *)block + header + block->used;
    block->used += bytes;
    return piece;
}

char *cq_arena_text(cq_arena *arena, const char *text, size_t length) {
    char *copy = cq_arena_take(arena, length + 1, 1);
    if (copy != NULL) {
        memcpy(copy, text, length);
    }
    return copy;
}
