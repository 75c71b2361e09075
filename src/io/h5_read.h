/* h5_read.h - data sets and texts of an HDF5 file, read into an arena. */
#ifndef CQ_IO_H5_READ_H
#define CQ_IO_H5_READ_H

#include "base/memory.h"
#include "io/h5.h"

/* A file being read. failed: something is missing or of another shape; from then on nothing is read. */
typedef struct cq_h5_source {
    hid_t file;
    cq_arena *arena;
    bool failed, short_of_memory;
} cq_h5_source;

/* Room in the arena, filled with zeros; NULL and failed where there is none. */
void *cq_h5_take(cq_h5_source *s, size_t n, size_t size);

/* Opens a data set of doubles (or whole numbers) of this rank and gives its extent; below 0 and failed if it is none.
 * fetch reads all of it and closes it. */
hid_t cq_h5_open_set(cq_h5_source *s, const char *path, int rank, hsize_t dims[3]);
void cq_h5_fetch(cq_h5_source *s, hid_t set, hid_t type, void *to);

double cq_h5_number(cq_h5_source *s, const char *group, const char *name);
/* A row of numbers of any length up to `most`. */
double *cq_h5_row(cq_h5_source *s, const char *path, size_t most, size_t *n);
/* A table of at most `most` rows of `columns` numbers into `to`; *n rows. */
void cq_h5_rows(cq_h5_source *s, const char *path, size_t columns, size_t most, double *to, size_t *n);
/* A field over the cells (or over the nodes) of a grid. */
double *cq_h5_field(cq_h5_source *s, const char *group, const char *name, int along, int across);
/* The text of an open attribute or data set; NULL and failed if it is none. */
char *cq_h5_take_text(cq_h5_source *s, hid_t from, bool attribute);
/* Is it of this rank? Its extent then. */
bool cq_h5_extent(hid_t set, int rank, hsize_t *dims);
/* A text; NULL if it is not there, which is a fault only where it must be. */
char *cq_h5_text_of(cq_h5_source *s, const char *path, bool must);

#endif
