/* h5_read.c - see h5_read.h. */
#include "io/h5_read.h"

#include <math.h>
#include <stdio.h>

enum { LARGEST_TEXT = 64 * 1024 * 1024 };

void *cq_h5_take(cq_h5_source *s, size_t n, size_t size) {
    void *taken = s->failed ? NULL : cq_arena_take(s->arena, n, size);
    s->short_of_memory = s->short_of_memory || (taken == NULL && !s->failed);
    s->failed = s->failed || taken == NULL;
    return taken;
}

bool cq_h5_extent(hid_t set, int rank, hsize_t *dims) {
    hid_t space = set < 0 ? -1 : H5Dget_space(set);
    const bool good = space >= 0 && H5Sget_simple_extent_ndims(space) == rank &&
                      (rank == 0 || H5Sget_simple_extent_dims(space, dims, NULL) == rank);
    if (space >= 0) {
        H5Sclose(space);
    }
    return good;
}

hid_t cq_h5_open_set(cq_h5_source *s, const char *path, int rank, hsize_t dims[3]) {
    hid_t set = s->failed ? -1 : H5Dopen2(s->file, path, H5P_DEFAULT), type = set < 0 ? -1 : H5Dget_type(set);
    const bool good = type >= 0 && (H5Tget_class(type) == H5T_FLOAT || H5Tget_class(type) == H5T_INTEGER) &&
                      cq_h5_extent(set, rank, dims);
    if (type >= 0) {
        H5Tclose(type);
    }
    s->failed = s->failed || !good;
    if (!good && set >= 0) {
        H5Dclose(set);
    }
    return good ? set : -1;
}

void cq_h5_fetch(cq_h5_source *s, hid_t set, hid_t type, void *to) {
    if (set >= 0) {
        s->failed = s->failed || to == NULL || H5Dread(set, type, H5S_ALL, H5S_ALL, H5P_DEFAULT, to) < 0;
        H5Dclose(set);
    }
}

double cq_h5_number(cq_h5_source *s, const char *group, const char *name) {
    char path[128];
    double value = NAN;
    hsize_t none[3];
    snprintf(path, sizeof path, "%s/%s", group, name);
    cq_h5_fetch(s, cq_h5_open_set(s, path, 0, none), H5T_NATIVE_DOUBLE, &value);
    return value;
}

double *cq_h5_row(cq_h5_source *s, const char *path, size_t most, size_t *n) {
    hsize_t dims[3] = {0};
    hid_t set = cq_h5_open_set(s, path, 1, dims);
    s->failed = s->failed || dims[0] > most;
    double *values = cq_h5_take(s, (size_t)dims[0] + 1, sizeof *values);
    *n = values == NULL ? 0 : (size_t)dims[0];
    cq_h5_fetch(s, set, H5T_NATIVE_DOUBLE, values);
    return values;
}

void cq_h5_rows(cq_h5_source *s, const char *path, size_t columns, size_t most, double *to, size_t *n) {
    hsize_t dims[3] = {0};
    hid_t set = cq_h5_open_set(s, path, 2, dims);
    s->failed = s->failed || dims[0] > most || dims[1] != columns;
    *n = s->failed ? 0 : (size_t)dims[0];
    cq_h5_fetch(s, set, H5T_NATIVE_DOUBLE, s->failed ? NULL : to);
}

double *cq_h5_field(cq_h5_source *s, const char *group, const char *name, int along, int across) {
    char path[128];
    hsize_t dims[3] = {0};
    snprintf(path, sizeof path, "%s/%s", group, name);
    hid_t set = cq_h5_open_set(s, path, 2, dims);
    s->failed = s->failed || dims[0] != (hsize_t)along || dims[1] != (hsize_t)across;
    double *values = cq_h5_take(s, (size_t)along * (size_t)across, sizeof *values);
    cq_h5_fetch(s, set, H5T_NATIVE_DOUBLE, values);
    return values;
}

char *cq_h5_take_text(cq_h5_source *s, hid_t from, bool attribute) {
    hid_t type = s->failed || from < 0 ? -1 : attribute ? H5Aget_type(from) : H5Dget_type(from);
    char *text = NULL;
    if (type >= 0 && H5Tget_class(type) == H5T_STRING && H5Tis_variable_str(type) == 0 &&
        H5Tget_size(type) < LARGEST_TEXT) {
        text = cq_h5_take(s, H5Tget_size(type) + 1, 1);
    }
    const herr_t read = text == NULL ? -1
                        : attribute  ? H5Aread(from, type, text)
                                     : H5Dread(from, type, H5S_ALL, H5S_ALL, H5P_DEFAULT, text);
    if (type >= 0) {
        H5Tclose(type);
    }
    s->failed = s->failed || read < 0;
    return s->failed ? NULL : text;
}

char *cq_h5_text_of(cq_h5_source *s, const char *path, bool must) {
    if (s->failed || (!must && H5Lexists(s->file, path, H5P_DEFAULT) <= 0)) {
        return NULL;
    }
    hid_t set = H5Dopen2(s->file, path, H5P_DEFAULT);
    char *text = cq_h5_take_text(s, set, false);
    if (set >= 0) {
        H5Dclose(set);
    }
    return text;
}
