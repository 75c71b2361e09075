/* study_layout.h - how a study lies in its file; shared by those who write, read and join.
 *
 *     /            format, version, kind, settings, seed, part, parts
 *     /plans/N     text; attribute name        /profiles/NAME  text
 *     /axes/N      words, one a line; attributes key, unit, long_name
 *     /inputs      [run][input]                /ended          runs after which it was enough, 0: not known
 *     /runs        [run]: one member per figure, message, state. The state comes last: a record that was cut short
 *                  while it was written still says "open".
 */
#ifndef CQ_IO_STUDY_LAYOUT_H
#define CQ_IO_STUDY_LAYOUT_H

#include "io/h5.h"

#include <clayquench/study_file.h>

enum { CQ_STUDY_VERSION = 1 };
#define CQ_STUDY_FORMAT "clayquench-study"
enum { CQ_RECORD_STATE_AT = 8 * CQ_FIGURES + CQ_ROW_MESSAGE, CQ_RECORD_SIZE = CQ_RECORD_STATE_AT + 1 };

/* The record's type, for files and memory alike; closed with H5Tclose. */
hid_t cq_study_record_type(void);
void cq_study_record_of(unsigned char record[CQ_RECORD_SIZE], const cq_row *row);
void cq_study_record_read(cq_row *row, const unsigned char record[CQ_RECORD_SIZE]);

/* Places in the file, for writing rows where they stand. */
typedef struct cq_study_places {
    uint64_t runs, ended;
} cq_study_places;

/* The whole file in memory (cq_memory_free); rows are those of the table. NULL: no memory. */
char *cq_study_image(const cq_study_about *about, const cq_study_table *table, uint64_t ended, size_t *length);
/* CQ_ERR_FORMAT if it is no study. */
cq_status cq_study_places_of(cq_study_places *places, const char *path, cq_error *error);

/* What differs between two studies, in words; NULL if nothing does. Parts are compared only if `parts` says so. */
const char *cq_study_difference(const cq_study_about *a, const cq_study_about *b, bool parts);

#endif
