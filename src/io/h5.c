/* h5.c - see h5.h. */
#include "io/h5.h"

#include "base/memory.h"

#include <string.h>

enum { GROW_BY = 1 << 20 };

void cq_h5_silence_begin(cq_h5_silence *silence) {
    H5Eget_auto2(H5E_DEFAULT, &silence->call, &silence->data);
    H5Eset_auto2(H5E_DEFAULT, NULL, NULL);
}

void cq_h5_silence_end(const cq_h5_silence *silence) {
    H5Eset_auto2(H5E_DEFAULT, silence->call, silence->data);
}

void cq_h5_begin(cq_h5 *h5) {
    h5->failed = false;
    cq_h5_silence_begin(&h5->silence);
    hid_t creation = H5Pcreate(H5P_FILE_CREATE), access = H5Pcreate(H5P_FILE_ACCESS);
    H5Pset_obj_track_times(creation, false);
    H5Pset_fapl_core(access, GROW_BY, false);
    h5->plain = H5Pcreate(H5P_DATASET_CREATE);
    H5Pset_obj_track_times(h5->plain, false);
    h5->file = H5Fcreate("memory.h5", H5F_ACC_TRUNC, creation, access); /* a name only: nothing is opened on disk */
    h5->failed = h5->file < 0;
    H5Pclose(access);
    H5Pclose(creation);
}

char *cq_h5_image(cq_h5 *h5, size_t *length) {
    cq_h5_note(h5, h5->failed ? -1 : H5Fflush(h5->file, H5F_SCOPE_LOCAL));
    const ssize_t size = h5->failed ? -1 : H5Fget_file_image(h5->file, NULL, 0);
    char *image = size > 0 ? cq_memory_zero((size_t)size, 1) : NULL;
    if (image == NULL || H5Fget_file_image(h5->file, image, (size_t)size) < 0) {
        cq_memory_free(image);
        return NULL;
    }
    *length = (size_t)size;
    return image;
}

void cq_h5_end(cq_h5 *h5) {
    if (h5->file >= 0) {
        H5Fclose(h5->file);
    }
    H5Pclose(h5->plain);
    cq_h5_silence_end(&h5->silence);
}

void cq_h5_note(cq_h5 *h5, herr_t result) {
    h5->failed = h5->failed || result < 0;
}

static void write_attribute(cq_h5 *h5, hid_t object, const char *name, hid_t type, const void *value) {
    hid_t space = H5Screate(H5S_SCALAR);
    hid_t attribute = H5Acreate2(object, name, type, space, H5P_DEFAULT, H5P_DEFAULT);
    cq_h5_note(h5, attribute < 0 ? -1 : H5Awrite(attribute, type, value));
    if (attribute >= 0) {
        H5Aclose(attribute);
    }
    H5Sclose(space);
}

void cq_h5_attribute(cq_h5 *h5, hid_t object, const char *name, const char *text) {
    hid_t type = H5Tcopy(H5T_C_S1);
    H5Tset_size(type, strlen(text) + 1);
    H5Tset_cset(type, H5T_CSET_UTF8);
    write_attribute(h5, object, name, type, text);
    H5Tclose(type);
}

void cq_h5_attribute_number(cq_h5 *h5, hid_t object, const char *name, int value) {
    write_attribute(h5, object, name, H5T_NATIVE_INT, &value);
}

void cq_h5_attribute_count(cq_h5 *h5, hid_t object, const char *name, uint64_t value) {
    write_attribute(h5, object, name, H5T_NATIVE_UINT64, &value);
}

hid_t cq_h5_group(cq_h5 *h5, hid_t parent, const char *name) {
    hid_t properties = H5Pcreate(H5P_GROUP_CREATE);
    H5Pset_obj_track_times(properties, false);
    hid_t made = H5Gcreate2(parent, name, H5P_DEFAULT, properties, H5P_DEFAULT);
    H5Pclose(properties);
    h5->failed = h5->failed || made < 0;
    return made;
}

hid_t cq_h5_set(cq_h5 *h5, hid_t parent, const char *name, hid_t type, int rank, const hsize_t *dims, const char *unit,
                const char *long_name, const char *axes) {
    hid_t space = rank > 0 ? H5Screate_simple(rank, dims, NULL) : H5Screate(H5S_SCALAR);
    hid_t set = H5Dcreate2(parent, name, type, space, H5P_DEFAULT, h5->plain, H5P_DEFAULT);
    H5Sclose(space);
    if (set < 0) {
        h5->failed = true;
        return set;
    }
    cq_h5_attribute(h5, set, "unit", unit);
    cq_h5_attribute(h5, set, "long_name", long_name);
    cq_h5_attribute(h5, set, "axes", axes);
    return set;
}

void cq_h5_put(cq_h5 *h5, hid_t parent, const char *name, int rank, const hsize_t *dims, const double *values,
               const char *unit, const char *long_name, const char *axes) {
    hid_t set = cq_h5_set(h5, parent, name, H5T_NATIVE_DOUBLE, rank, dims, unit, long_name, axes);
    if (set >= 0) {
        cq_h5_note(h5, H5Dwrite(set, H5T_NATIVE_DOUBLE, H5S_ALL, H5S_ALL, H5P_DEFAULT, values));
        H5Dclose(set);
    }
}

void cq_h5_text(cq_h5 *h5, hid_t parent, const char *name, const char *text, const char *long_name) {
    text = text == NULL ? "" : text;
    hid_t type = H5Tcopy(H5T_C_S1);
    H5Tset_size(type, strlen(text) + 1);
    H5Tset_cset(type, H5T_CSET_UTF8);
    hid_t set = cq_h5_set(h5, parent, name, type, 0, NULL, "", long_name, "");
    if (set >= 0) {
        cq_h5_note(h5, H5Dwrite(set, type, H5S_ALL, H5S_ALL, H5P_DEFAULT, text));
        H5Dclose(set);
    }
    H5Tclose(type);
}

hid_t cq_h5_open(const char *path) {
    hid_t access = H5Pcreate(H5P_FILE_ACCESS);
    H5Pset_file_locking(access, false, true);
    hid_t file = H5Fopen(path, H5F_ACC_RDONLY, access);
    H5Pclose(access);
    return file;
}

void cq_h5_read_marks(hid_t file, char format[64], int *version) {
    hid_t a = H5Aopen(file, "format", H5P_DEFAULT), b = H5Aopen(file, "version", H5P_DEFAULT);
    hid_t a_type = a < 0 ? -1 : H5Aget_type(a), b_type = b < 0 ? -1 : H5Aget_type(b);
    hid_t a_space = a < 0 ? -1 : H5Aget_space(a), b_space = b < 0 ? -1 : H5Aget_space(b);
    if (a_type >= 0 && H5Tget_class(a_type) == H5T_STRING && H5Tis_variable_str(a_type) == 0 &&
        H5Tget_size(a_type) < 64 && H5Sget_simple_extent_npoints(a_space) == 1) {
        H5Aread(a, a_type, format);
    }
    if (b_type >= 0 && H5Tget_class(b_type) == H5T_INTEGER && H5Sget_simple_extent_npoints(b_space) == 1) {
        H5Aread(b, H5T_NATIVE_INT, version);
    }
    const hid_t opened[] = {a_type, b_type, a_space, b_space, a, b};
    for (size_t n = 0; n < sizeof opened / sizeof opened[0]; n++) {
        if (opened[n] >= 0) {
            H5Idec_ref(opened[n]);
        }
    }
}
