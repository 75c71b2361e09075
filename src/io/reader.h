/* reader.h - what the files that turn YAML into plans and profiles share. */
#ifndef CQ_IO_READER_H
#define CQ_IO_READER_H

#include "io/fields.h"
#include "io/yaml.h"

#include <clayquench/io.h>

typedef struct cq_reader {
    cq_arena *arena;
    cq_units *units;
    const char *folder;       /* looked up first */
    const cq_search *search;
    cq_error *error;
    cq_status status;         /* worst so far */
    int depth;                /* of profiles naming profiles */
    const char *chain[16];    /* their names */
    size_t profiles_n;
    const char *profile_names[64], *profile_texts[64];
} cq_reader;

/* Read all fields of `map` that belong to `owner` into `target`; complain about unknown, reserved and faulty ones. `path`
 * is the key path up to and including the dot. Returns the number of complaints made. */
size_t cq_reader_fields(cq_reader *r, const cq_node *map, cq_owner owner, const char *path, void *target);

/* One quantity; false and a complaint if faulty. */
bool cq_reader_quantity(cq_reader *r, const cq_node *at, const char *key, cq_dimension dimension, double least, double most,
                        double *si);
void cq_reader_complain(cq_reader *r, cq_status status, const cq_node *at, const char *key, const char *expected,
                        const char *remedy, const char *found_format, ...) __attribute__((format(printf, 7, 8)));

/* The value of a property: itself, or the `value` of a mapping with value, source, valid, uncertainty. */
const cq_node *cq_reader_value(const cq_node *node);

/* A mapping with `from:` (or `grade:`) chains resolved: profiles of `kind` laid under it. A bare name gives the profile.
 * NULL after a complaint. */
const cq_node *cq_reader_resolve(cq_reader *r, const cq_node *node, const char *kind, const char *key);

/* profile.c */
bool cq_read_blade(cq_reader *r, const cq_node *map, const char *path, cq_blade *blade);
bool cq_read_steel(cq_reader *r, const cq_node *map, const char *path, cq_steel *steel);
bool cq_read_clay(cq_reader *r, const cq_node *map, const char *path, cq_clay *clay);
bool cq_read_bath(cq_reader *r, const cq_node *map, const char *path, cq_bath *bath);
/* plan_read.c */
void cq_read_plan(cq_reader *r, const cq_node *root, cq_plan *plan);

/* files.c: whole file into the arena; complaint if it cannot. */
cq_status cq_file_load(cq_source *source, const char *path, cq_arena *arena, cq_error *error);

#endif
