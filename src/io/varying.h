/* varying.h - what the files behind vary.h share: a key found in the list of fields, its values, its place in a tree.
 */
#ifndef CQ_IO_VARYING_H
#define CQ_IO_VARYING_H

#include "io/reader.h"

#include <clayquench/vary.h>

enum { CQ_VARY_DEPTH = 8 };

typedef enum cq_vary_kind {
    CQ_VARY_QUANTITY, /* with a unit */
    CQ_VARY_NUMBER,   /* without */
    CQ_VARY_WHOLE,    /* the same, whole */
    CQ_VARY_CHOICE,   /* a word of the field's choices, or true and false */
    CQ_VARY_NAME      /* of a profile */
} cq_vary_kind;

/* A key as typed, its parts between the dots, and what may stand there. */
typedef struct cq_vary_key {
    const char *text;
    size_t n;
    const char *part[CQ_VARY_DEPTH];
    const cq_field *field;
    cq_vary_kind kind;
    const char *profile;        /* kind of the profile whose name it is, else NULL */
    const char *const *choices; /* NULL-terminated */
    const char *word;           /* what may stand there in place of a quantity; NULL: nothing */
    double least, most;         /* SI; least >= most: no range */
    const cq_node *spec;        /* place for complaints */
} cq_vary_key;

/* vary_key.c: find the key in the list of fields and in the plan. False after a complaint. */
bool cq_vary_key_read(cq_reader *r, const cq_node *root, const char *text, const cq_node *spec, cq_vary_key *key);

/* What kind of quantity it is. */
cq_dimension cq_vary_dimension(const cq_vary_key *key);

/* vary_values.c: the values behind '='. False after a complaint. axis->key, meaning and own are left alone. */
bool cq_vary_values_read(cq_reader *r, const cq_vary_key *key, const char *text, cq_vary_axis *axis);
/* One value in the axis' unit; NaN for words. No complaint. */
double cq_vary_number(const cq_reader *r, const cq_vary_key *key, const char *unit, const char *text);

/* vary_tree.c: `root` with `value` set at the key, in the reader's arena; NULL after a complaint or when memory is
 * short. */
cq_node *cq_vary_set(cq_reader *r, const cq_node *root, const cq_vary_key *key, cq_node *value);
/* The text that stands there, names followed into their profiles; NULL if there is none, or not one. */
const char *cq_vary_get(cq_reader *r, const cq_node *root, const cq_vary_key *key);

#endif
