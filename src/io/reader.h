/* reader.h - what the files that turn YAML into plans and profiles share. */
#ifndef CQ_IO_READER_H
#define CQ_IO_READER_H

#include "io/fields.h"
#include "io/yaml.h"

#include <clayquench/io.h>

/* A profile that was read: once per reader, however often it is named. */
typedef struct cq_profile_read {
    const char *kind, *name, *path;
    const cq_source *source;
    const cq_node *root; /* NULL: it had faults, already told */
    bool used;           /* by the plan being read; a list kept for many plans holds more */
    bool open;           /* its from: is being followed; meeting it again is a circle */
    struct cq_profile_read *before;
} cq_profile_read;

typedef struct cq_reader {
    cq_arena *arena;
    cq_units *units;
    const char *folder; /* looked up first */
    const cq_search *search;
    const cq_given_profiles *given; /* not NULL: profiles come from here alone */
    cq_error *error;
    cq_status status;          /* CQ_ERR_MEMORY, else CQ_ERR_PLAN after a complaint */
    size_t faults;             /* complaints made; no more than the first CQ_FAULTS_TOLD are kept */
    size_t told_before;        /* complaints `error` held when reading began */
    cq_profile_read *profiles; /* the last one read */
} cq_reader;

enum { CQ_FAULTS_TOLD = 500, CQ_KEY_SIZE = 192 };

/* plan_file.c: begin, with an arena and the units. cq_reader_end sorts the complaints made and, after a failure,
 * releases the arena and leaves a word; cq_reader_close lets go of the units too. */
cq_status cq_reader_open(cq_reader *r, const char *folder, const cq_search *search, cq_error *error);
cq_status cq_reader_end(cq_reader *r, cq_status status, const char *name);
cq_status cq_reader_close(cq_reader *r, cq_status status, const char *name);
/* The folder a file lies in, for cq_reader_open. */
const char *cq_folder_of(const char *path, char folder[1024]);
/* The format of a plan's tree; NULL after a complaint. */
const char *cq_plan_format(cq_reader *r, const cq_node *root);
/* A plan's tree, whose source is `source`, read and checked into *plan, which then owns the reader's arena. */
cq_status cq_read_tree(cq_reader *r, const cq_node *root, const cq_source *source, cq_plan *plan);

/* Write a key path ("clay.coat.3.at") into `to`, cut if it is too long. Returns `to`. */
char *cq_key_join(char to[CQ_KEY_SIZE], const char *format, ...) __attribute__((format(printf, 2, 3)));

/* Read all fields of `map` that belong to `owner` into `target`; complain about unknown, reserved, faulty, misplaced
 * and missing ones. `path` is the key path up to and including the dot; `variant` of the owner, -1 if not known. Fields
 * of kind OWN are only checked for being allowed and there. */
void cq_reader_fields(cq_reader *r, const cq_node *map, cq_owner owner, int variant, const char *path, void *target);

/* Index of the choice that stands under `key` of `map`; -1 if there is none of them. No complaint. */
int cq_reader_choice(const cq_node *map, cq_owner owner, const char *key);

/* One quantity; false and a complaint if faulty. least >= most: no range. */
bool cq_reader_quantity(cq_reader *r, const cq_node *at, const char *key, cq_dimension dimension, double least,
                        double most, double *si);

void cq_reader_complain(cq_reader *r, const cq_node *at, const char *key, const char *expected, const char *remedy,
                        const char *found_format, ...) __attribute__((format(printf, 6, 7)));

/* n * size zeroed bytes of the arena; NULL and status CQ_ERR_MEMORY when memory is short. */
void *cq_reader_take(cq_reader *r, size_t n, size_t size);

/* The value of a property: itself, or the `value` of a mapping with value, source, valid, uncertainty. */
const cq_node *cq_reader_value(const cq_node *node);

/* lookup.c: a mapping with `from:` (or `grade:`) chains resolved: profiles of `kind` laid under it. A bare name gives
 * the profile. NULL after a complaint, or when memory is short. */
const cq_node *cq_reader_resolve(cq_reader *r, const cq_node *node, const char *kind, const char *key);

/* profile.c: mappings into descriptions. */
void cq_read_blade(cq_reader *r, const cq_node *map, const char *path, cq_blade *blade);
void cq_read_steel(cq_reader *r, const cq_node *map, const char *path, cq_steel *steel);
/* diagram.c: isothermal: of a steel whose composition has been read. */
void cq_read_diagram(cq_reader *r, const cq_node *steel, const char *path, cq_steel *to);
/* Elements under `name` of a mapping, laid on *c. */
void cq_read_elements(cq_reader *r, const cq_node *map, const char *name, const char *path, cq_composition *c);
void cq_read_clay(cq_reader *r, const cq_node *map, const char *path, cq_clay *clay);
void cq_read_bath(cq_reader *r, const cq_node *map, const char *path, cq_bath *bath);

/* zones_read.c: zones: of a plan's mapping, whose edge's steel becomes the plan's; skin: and heat.fire: */
void cq_read_zones(cq_reader *r, const cq_node *root, cq_plan *plan);
void cq_read_skin(cq_reader *r, const cq_node *root, cq_plan *plan);
/* `path`: of the heat, dot included. */
void cq_read_fire(cq_reader *r, const cq_node *heat, const char *path, cq_plan *plan);

/* plan_read.c: a plan's mapping into the plan. Returns the parts (CQ_PART_...) that had no faults. */
unsigned cq_read_plan(cq_reader *r, const cq_node *root, cq_plan *plan);

/* files.c: complain of a file: what is wrong and, unless 0, the errno that says why. Returns CQ_ERR_FILE. */
cq_status cq_file_fault(cq_error *error, const char *path, const char *what, int why);
/* Whole file into the arena; complaint if it cannot. */
cq_status cq_file_load(cq_source *source, const char *path, cq_arena *arena, cq_error *error);
/* Value of a top-level `key: value` line, without parsing the file: enough for lists. Empty if there is none. */
void cq_file_peek(const char *path, const char *key, char *to, size_t size);

#endif
