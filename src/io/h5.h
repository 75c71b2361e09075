/* h5.h - HDF5 files built in memory, so that a full disk never meets HDF5 and the same content gives the same bytes. */
#ifndef CQ_IO_H5_H
#define CQ_IO_H5_H

#include <hdf5.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* HDF5 prints its errors unless told not to; the handler that was set comes back at the end. */
typedef struct cq_h5_silence {
    H5E_auto2_t call;
    void *data;
} cq_h5_silence;
void cq_h5_silence_begin(cq_h5_silence *silence);
void cq_h5_silence_end(const cq_h5_silence *silence);

/* A file being made; any failed call is remembered. */
typedef struct cq_h5 {
    hid_t file, plain; /* plain: creation properties of data sets, without object times */
    bool failed;
    cq_h5_silence silence;
} cq_h5;
void cq_h5_begin(cq_h5 *h5);
/* The whole file as bytes (cq_memory_free); NULL if anything failed. */
char *cq_h5_image(cq_h5 *h5, size_t *length);
void cq_h5_end(cq_h5 *h5);

void cq_h5_note(cq_h5 *h5, herr_t result);
void cq_h5_attribute(cq_h5 *h5, hid_t object, const char *name, const char *text);
void cq_h5_attribute_number(cq_h5 *h5, hid_t object, const char *name, int value);
void cq_h5_attribute_count(cq_h5 *h5, hid_t object, const char *name, uint64_t value);
/* Close with H5Gclose; below 0 if it could not be made. */
hid_t cq_h5_group(cq_h5 *h5, hid_t parent, const char *name);
/* A data set with its attributes. dims: rank entries. Close with H5Dclose. */
hid_t cq_h5_set(cq_h5 *h5, hid_t parent, const char *name, hid_t type, int rank, const hsize_t *dims, const char *unit,
                const char *long_name, const char *axes);
/* Doubles, and a text, as a data set. */
void cq_h5_put(cq_h5 *h5, hid_t parent, const char *name, int rank, const hsize_t *dims, const double *values,
               const char *unit, const char *long_name, const char *axes);
void cq_h5_text(cq_h5 *h5, hid_t parent, const char *name, const char *text, const char *long_name);

/* Open for reading, without a lock: the files are whole at every moment, also while somebody writes rows. Below 0 if it
 * is no HDF5 file. */
hid_t cq_h5_open(const char *path);

/* What the root says of itself; format stays as it is and version too where it says nothing of the expected kind. */
void cq_h5_read_marks(hid_t file, char format[64], int *version);

#endif
