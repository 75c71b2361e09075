/* fields.h - the one list of what a plan or profile may say: drives reading, checking, explain and the key table. */
#ifndef CQ_IO_FIELDS_H
#define CQ_IO_FIELDS_H

#include "base/units.h"

#include <stdbool.h>
#include <stddef.h>

typedef enum cq_field_kind {
    CQ_FIELD_QUANTITY, /* double at offset, SI */
    CQ_FIELD_TABLE,    /* cq_table at offset: x kelvin, y of the dimension */
    CQ_FIELD_TEXT,     /* const char * at offset */
    CQ_FIELD_INTEGER,  /* int at offset */
    CQ_FIELD_NUMBER,   /* double without unit at offset */
    CQ_FIELD_FLAG,     /* bool at offset: true or false */
    CQ_FIELD_OWN,      /* read by code of its own */
    CQ_FIELD_RESERVED  /* known, not in this version: a complaint, never silence */
} cq_field_kind;

/* What a mapping describes. */
typedef enum cq_owner {
    CQ_OWNER_PLAN, CQ_OWNER_BLADE, CQ_OWNER_RIDGE, CQ_OWNER_STEEL, CQ_OWNER_CLAY_LAYER, CQ_OWNER_CLAY, CQ_OWNER_COAT,
    CQ_OWNER_HEAT, CQ_OWNER_BATH, CQ_OWNER_STEP, CQ_OWNER_TEMPER, CQ_OWNER_FINISH, CQ_OWNER_RECORD, CQ_OWNER_PROBE,
    CQ_OWNER_GRID, CQ_OWNERS
} cq_owner;

typedef struct cq_field {
    cq_owner owner;
    const char *key;
    cq_field_kind kind;
    cq_dimension dimension;
    double least, most; /* SI; both 0: no range */
    size_t offset;
    const char *words;  /* one sentence */
} cq_field;

extern const cq_field CQ_FIELDS[];
extern const size_t CQ_FIELDS_N;
extern const char *const CQ_OWNER_PATH[CQ_OWNERS]; /* "clay.coat." etc., for explain and the key table */

const cq_field *cq_field_find(cq_owner owner, const char *key);
/* Key of the same owner nearest to `key` in spelling; NULL if none is near. */
const char *cq_field_nearest(cq_owner owner, const char *key);
/* Edits between two words. */
size_t cq_word_distance(const char *a, const char *b);

#endif
