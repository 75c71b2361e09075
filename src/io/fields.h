/* fields.h - the one list of what a plan or profile may say: drives reading, checking, explain and the key table. */
#ifndef CQ_IO_FIELDS_H
#define CQ_IO_FIELDS_H

#include "base/units.h"

#include <stdbool.h>
#include <stddef.h>

typedef enum cq_field_kind {
    CQ_FIELD_QUANTITY, /* double at offset, SI */
    CQ_FIELD_PERCENT,  /* a share, double at offset in per cent */
    CQ_FIELD_TOLD,     /* a quantity that is checked and kept in the text, but nothing computes with it */
    CQ_FIELD_TABLE,    /* cq_table at offset: x kelvin, y of the dimension */
    CQ_FIELD_TEXT,     /* const char * at offset; one of `choices` if there are any */
    CQ_FIELD_CHOICE,   /* int (or enum) at offset: index of one of `choices` */
    CQ_FIELD_INTEGER,  /* int at offset */
    CQ_FIELD_NUMBER,   /* double without unit at offset */
    CQ_FIELD_FLAG,     /* bool at offset: true or false */
    CQ_FIELD_OWN,      /* read by code of its own */
    CQ_FIELD_RESERVED  /* known, not in this version: a complaint, never silence */
} cq_field_kind;

/* What a mapping describes. */
typedef enum cq_owner {
    CQ_OWNER_PLAN,
    CQ_OWNER_BLADE,
    CQ_OWNER_RIDGE,
    CQ_OWNER_GROOVE,
    CQ_OWNER_STEEL,
    CQ_OWNER_ELEMENTS,
    CQ_OWNER_DIAGRAM,
    CQ_OWNER_CLAY_LAYER,
    CQ_OWNER_CLAY,
    CQ_OWNER_COAT,
    CQ_OWNER_LOST,
    CQ_OWNER_ZONES,
    CQ_OWNER_PIECE,
    CQ_OWNER_WELD,
    CQ_OWNER_SKIN,
    CQ_OWNER_HEAT,
    CQ_OWNER_FIRE,
    CQ_OWNER_STEP,
    CQ_OWNER_BATH,
    CQ_OWNER_TEMPER,
    CQ_OWNER_HEATS,
    CQ_OWNER_FINISH,
    CQ_OWNER_TOLERANCES,
    CQ_OWNER_RECORD,
    CQ_OWNER_PROBE,
    CQ_OWNER_GRID,
    CQ_OWNER_EVIDENCE,
    CQ_OWNER_ITEM,    /* of evidence */
    CQ_OWNER_PROFILE, /* what every blade, steel, clay and bath may also say */
    CQ_OWNER_VALUE,   /* a value with its source */
    CQ_OWNERS
} cq_owner;

/* One key. `allowed` and `needed` are sets of variants of the owner, bit v for variant v: cq_family of a blade and
 * its ridge, cq_steel_kind, cq_build of zones, cq_bath_kind; every other owner has the one variant 0. */
typedef struct cq_field {
    cq_owner owner;
    const char *key;
    cq_field_kind kind;
    cq_dimension dimension;
    double least, most; /* SI; both 0: no range */
    double fallback;    /* SI; NaN: none */
    size_t offset;
    unsigned allowed, needed;
    const char *const *choices, *const *later; /* NULL-terminated; `later` words are reserved */
    const char *words;                         /* one sentence */
} cq_field;

extern const cq_field CQ_FIELDS[];
extern const size_t CQ_FIELDS_N;

/* "clay.coat.N." etc.: where an owner's keys stand, for explain and the key table. */
const char *cq_owner_path(cq_owner owner);
/* "a flat section", "an inert steel": a variant of an owner, for complaints. */
const char *cq_owner_variant(cq_owner owner, int variant);
int cq_owner_variants(cq_owner owner);
/* True for blades, steels, clays and baths: they may also say what CQ_OWNER_PROFILE lists. */
bool cq_owner_is_profile(cq_owner owner);

/* The field, also one of CQ_OWNER_PROFILE where that applies; NULL if there is none. */
const cq_field *cq_field_find(cq_owner owner, const char *key);
/* Key of the same owner nearest to `key` in spelling; NULL if none is near. */
const char *cq_field_nearest(cq_owner owner, const char *key);
/* The owner's keys of this version, "C, Si, Mn", as far as they fit. Returns `to`. */
char *cq_field_list(cq_owner owner, char *to, size_t size);
/* "flat, convex or ridged". Returns `to`. */
char *cq_choice_list(const char *const *choices, char *to, size_t size);
/* Write every fallback of the owner into `target`; the rest of it is left alone. */
void cq_fields_default(cq_owner owner, void *target);
/* Edits between two words. */
size_t cq_word_distance(const char *a, const char *b);

#endif
